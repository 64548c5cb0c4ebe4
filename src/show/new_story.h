/* A file for people to fill in: every value with its meaning, its bounds and what is usual beside it. */
#ifndef EVENER_SHOW_NEW_STORY_H
#define EVENER_SHOW_NEW_STORY_H
#include "evener/values.h"
#include "show/findings.h"

#define EVN_NEW_SCHEMA "evener.new/1"

typedef struct evn_new_story {
    const evn_part *part;
    const char *kind;
    const char *like;   /* the file whose values these are; NULL: the example's */
    const char *folder; /* of the new file, from the root: paths of other files start from it; NULL: from the root */
} evn_new_story;

/* False when memory is out. */
bool evn_new_file(const evn_new_story *, FILE *);

/* One JSON document; NULL file: nothing was written. False when memory is out. */
bool evn_new_json(const char *kind, const char *file, const evn_findings *, FILE *);

#endif
