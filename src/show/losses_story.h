/* Losses of gears as measured, fitted: the part file, and what was found in words or in JSON. */
#ifndef EVENER_SHOW_LOSSES_STORY_H
#define EVENER_SHOW_LOSSES_STORY_H
#include "evener/matrices.h"
#include "show/findings.h"

#define EVN_LOSSES_SCHEMA "evener.losses/1"

typedef struct evn_losses_story {
    const evn_loss_fit *fit;  /* NULL: refused */
    const char *table, *part; /* files; part NULL: none was written */
} evn_losses_story;

/* Both false when memory is out. */
bool evn_losses_text(const evn_losses_story *, FILE *, const evn_look *);
bool evn_losses_json(const evn_losses_story *, const evn_findings *, FILE *);

/* What could not be written stays with the stream. */
void evn_losses_yaml(const evn_losses_story *, FILE *);

#endif
