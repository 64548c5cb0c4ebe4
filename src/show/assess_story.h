/* Verdicts on trucks, as they are told in words, JSON, CSV or as tests. */
#ifndef EVENER_SHOW_ASSESS_STORY_H
#define EVENER_SHOW_ASSESS_STORY_H
#include "evener/assess.h"
#include "show/findings.h"
#include "show/look.h"
#include <jansson.h>
#include <stdio.h>

#define EVN_ASSESS_SCHEMA "evener.assess/1"

typedef struct evn_assess_story {
    const char *status;       /* "finished", "failed", "interrupted" */
    const evn_lineup *lineup; /* NULL: not read */
    const evn_prices *prices; /* NULL: none */
    evn_conditions ask;
    const evn_assessment *assessment; /* NULL: none was made */
    bool inputs;                      /* words tell what each verdict is made of */
    bool only_standing;               /* what needs no day was asked alone */
} evn_assess_story;

/* Of what was found. False when memory is out. */
bool evn_assess_words(const evn_assess_story *, FILE *, const evn_look *);
/* With or without; without findings. NULL when memory is out. */
json_t *evn_assess_document(const evn_assess_story *);
/* The same with findings, printed. False when memory is out. */
bool evn_assess_json(const evn_assess_story *, const evn_findings *, FILE *);
/* A line for each truck and demand. False: `error_number` tells why. */
bool evn_assess_csv(const evn_assess_story *, FILE *, int *error_number);
/* Each truck's demand a test: a pass is well, a fail is a failure, what is marginal or not known is skipped. */
void evn_assess_junit(const evn_assess_story *, FILE *);

enum { EVN_ASSESS_SENTENCE_BYTES = 2000 };
/* Which layout that advises. */
void evn_assess_advice_words(const evn_assess_story *, char out[EVN_ASSESS_SENTENCE_BYTES]);
/* What decided of a truck: what it fails, what is marginal, what is not known. */
void evn_assess_truck_words(const evn_assess_story *, size_t truck, char out[EVN_ASSESS_SENTENCE_BYTES]);
/* The first sentence of that alone: "central drive: fail, not all that is demanded is kept." */
void evn_assess_whole_words(const evn_assess_story *, size_t truck, char out[EVN_ASSESS_SENTENCE_BYTES]);
/* One demand of it: "start, soil: 12.10 %, at least 15.00 % (-2.90 %, sure to 1.20 %), adhesion, winter" */
void evn_assess_verdict_words(const evn_assessed *, char out[EVN_ASSESS_SENTENCE_BYTES]);
/* "at least 15.00 %". False: of rules each clause has a limit of its own. */
bool evn_assess_demanded_words(const evn_assessed *, char *out, size_t bytes);
/* "central drive, start, soil: demanded 12.1 % instead of 15 %". False: no more. */
bool evn_assess_turn_words(const evn_assess_story *, size_t index, char out[EVN_ASSESS_SENTENCE_BYTES]);
/* "13.20 %" */
void evn_assess_amount(char *out, size_t bytes, const evn_quantity *, double value);
/* "1.20 %"; below the last digit that is told "0.001 m/s2", never 0 */
void evn_assess_sure_words(const evn_assessed *, char *out, size_t bytes);
const char *evn_verdict_words(evn_verdict); /* "not known" */

/* What a truck fails, "rules on loads, payload"; empty: nothing, or no assessment. Told beside who leads in comparisons
 * and costs. */
void evn_assess_fails_words(const evn_assessment *, size_t truck, char out[EVN_ASSESS_SENTENCE_BYTES]);
/* Of all trucks of the lineup: "failed by electric axle (rules on loads); marginal, within how sure it is or its spare:
 * central drive (start, soil)."; empty likewise. */
void evn_assess_unfit_words(const evn_lineup *, const evn_assessment *, char out[EVN_ASSESS_SENTENCE_BYTES]);

#define EVN_ASSESS_MARGINAL                                                                                            \
    "Marginal is what lies within its uncertainty (half width of the 90 % interval), or is kept without the spare "    \
    "that is asked."

#define EVN_ASSESS_CAUTION                                                                                             \
    "These verdicts are engineering estimates for comparing layouts. Local regulation, approved testing and licensed " \
    "practice decide on braking, loads and stability."

#endif
