/* A truck held against a log, as it is told in words, JSON, CSV or a page. */
#ifndef EVENER_SHOW_MATCH_STORY_H
#define EVENER_SHOW_MATCH_STORY_H
#include "evener/match.h"
#include "show/findings.h"
#include "show/look.h"
#include <jansson.h>

#define EVN_MATCH_SCHEMA "evener.match/1"

typedef struct evn_match_story {
    const char *status;      /* "finished", "failed", "interrupted", or as of a run */
    const char *truck, *log; /* NULL: not read */
    bool truck_invented;
    const evn_match *match; /* NULL: nothing was driven */
} evn_match_story;

/* Sentences that media share, a paragraph on each line: the answer, what bounds it. NULL when memory is out; to be
 * freed. */
char *evn_match_answer(const evn_match_story *, const evn_look *);
char *evn_match_trust(const evn_match_story *);

bool evn_match_text(const evn_match_story *, FILE *, const evn_look *);
bool evn_match_plot(const evn_match_story *, FILE *, const evn_look *);
bool evn_match_json(const evn_match_story *, const evn_findings *, FILE *);
/* The document itself. NULL when memory is out. */
json_t *evn_match_document(const evn_match_story *);
/* A line for each row of the log. False: `error_number` tells why. */
bool evn_match_csv(const evn_match_story *, FILE *, int *error_number);

#endif
