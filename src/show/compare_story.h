/* Several trucks side by side as they are told: in words, in JSON, as CSV. */
#ifndef EVENER_SHOW_COMPARE_STORY_H
#define EVENER_SHOW_COMPARE_STORY_H
#include "evener/beside.h"
#include "evener/likeness.h"
#include "evener/limits.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_COMPARE_SCHEMA "evener.compare/2"

typedef struct evn_compare_story {
    const char *status;               /* "finished", "incomplete", "interrupted", "failed" */
    const evn_lineup *lineup;         /* NULL: not read */
    const evn_comparison *comparison; /* NULL: none */
    evn_conditions ask;
    evn_demands demands;
    const evn_lineup *beside_lineup; /* NULL: none is held beside it */
    const evn_beside *beside;        /* NULL: likewise, or it did not come to that */
} evn_compare_story;

/* For a comparison that is there. All false when memory is out. */
bool evn_compare_text(const evn_compare_story *, FILE *, const evn_look *);
/* What it begins and ends with, each paragraph on a line of its own, for other media. */
bool evn_compare_answer_lines(const evn_compare_story *, FILE *);
bool evn_compare_trust_lines(const evn_compare_story *, FILE *);
bool evn_compare_csv(const evn_compare_story *, FILE *); /* a row for each truck and basis */

/* With or without a comparison. The document, without findings; NULL when memory is out. */
json_t *evn_compare_document(const evn_compare_story *);
bool evn_compare_json(const evn_compare_story *, const evn_findings *, FILE *);

#endif
