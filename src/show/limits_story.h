/* What trucks can do, as it is told: in words, in JSON, as CSV. */
#ifndef EVENER_SHOW_LIMITS_STORY_H
#define EVENER_SHOW_LIMITS_STORY_H
#include "evener/limits.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_LIMITS_SCHEMA "evener.limits/1"

enum { EVN_LIMITS_TRUCKS_MOST = 12 };

typedef struct evn_limits_truck {
    const char *name;         /* for columns and files */
    const char *title;        /* where others bear the same short name; NULL: it is the short name, else the name */
    const evn_truck *truck;   /* NULL: not read */
    const evn_rig *rig;       /* NULL: not prepared */
    const evn_limits *limits; /* NULL: not found */
} evn_limits_truck;

typedef struct evn_limits_story {
    const char *status; /* "finished", "interrupted", "failed" */
    const evn_limits_truck *truck;
    size_t count;
    evn_conditions ask;
    evn_demands demands;
    bool only_forces;
    const char *const *groups; /* that are told, ends with NULL; none, or "all" among them: all */
    bool in_short;             /* only what decides, as no group was asked for: words say how to have the rest */
} evn_limits_story;

/* For trucks of which one at least was found. All false when memory is out. */
bool evn_limits_words(const evn_limits_story *, FILE *, const evn_look *);
/* What it begins and ends with, each paragraph on a line of its own, for other media. */
bool evn_limits_answer_lines(const evn_limits_story *, FILE *);
bool evn_limits_trust_lines(const evn_limits_story *, FILE *);
bool evn_limits_csv(const evn_limits_story *, FILE *); /* a row for each truck and figure */

/* With or without figures. The document, without findings; NULL when memory is out. */
json_t *evn_limits_document(const evn_limits_story *);
/* Each demand held against what the truck can, as documents list it. NULL when memory is out. */
json_t *evn_limits_verdicts_json(const evn_limits *);
bool evn_limits_json(const evn_limits_story *, const evn_findings *, FILE *);

#define EVN_LIMITS_ALL "all"

/* The group that answers first, whatever groups are told. */
#define EVN_LIMITS_DECIDING "deciding"

/* As it is called in sentences and charts: its short name, else that of its file. */
const char *evn_limits_title(const evn_limits_truck *);

/* Whether it does all that is demanded of it; true where nothing is. */
bool evn_limits_does_all(const evn_limits *);

bool evn_limits_tells(const evn_limits_story *, const char *group);

/* The figures that any of the trucks has, each once, in the order of the groups: of each the first truck's that has it,
 * of which names, label and unit count. */
typedef struct evn_limits_rows {
    evn_limits_figure *at;
    size_t count;
} evn_limits_rows;
bool evn_limits_rows_of(const evn_limits_story *, evn_limits_rows *out); /* false when memory is out */
void evn_limits_rows_free(evn_limits_rows *);

#endif
