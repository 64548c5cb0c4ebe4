/* How numbers of a run come about, as words and as JSON. */
#ifndef EVENER_SHOW_EXPLAIN_STORY_H
#define EVENER_SHOW_EXPLAIN_STORY_H
#include "evener/explain.h"
#include "show/findings.h"

#define EVN_EXPLAIN_SCHEMA "evener.explain/1"

typedef struct evn_explain_story {
    const char *status; /* of the run: "finished", "stalled", ... */
    const char *truck, *cycle;
    const char *basis;   /* of a comparison: "own", "common"; NULL: a run by itself */
    double torque_scale; /* of its motors, given by the comparison; 1: what files hold is what was driven */
    const evn_explanation *const *explanation;
    size_t count;
    size_t depth; /* rows that are deeper are folded away in words */
    /* Whether an option asked for a key of the load case or of the driving. */
    const void *asked;
    bool (*asked_by_option)(const void *asked, const char *kind, const char *key);
} evn_explain_story;

/* "over_run" and "integrated over the run", of how a row is known. */
const char *evn_known_by_word(evn_known_by);
const char *evn_known_by_phrase(evn_known_by);

/* Where what is written or asked comes from: "file", "set", "default", "not_given", "option", "lineup". */
const char *evn_explained_origin(const evn_explain_story *, const evn_explained *);

/* Both false when memory is out. */
bool evn_explain_text(const evn_explain_story *, FILE *, const evn_look *);
bool evn_explain_json(const evn_explain_story *, const evn_findings *, FILE *);

#endif
