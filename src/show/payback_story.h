/* What the dearer truck earns, as it is told in words, JSON or CSV. */
#ifndef EVENER_SHOW_PAYBACK_STORY_H
#define EVENER_SHOW_PAYBACK_STORY_H
#include "evener/assess.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_PAYBACK_SCHEMA "evener.payback/1"

typedef struct evn_payback_story {
    const char *status;       /* "finished", "failed", "interrupted" */
    const evn_lineup *lineup; /* NULL: not read */
    const evn_prices *prices; /* likewise */
    evn_conditions ask;
    const evn_payback *payback;     /* NULL: nothing was found */
    const evn_assessment *standing; /* what needs no day of the duty's other demands; NULL: there are none */
} evn_payback_story;

/* Of what was found. False when memory is out. */
bool evn_payback_words(const evn_payback_story *, FILE *, const evn_look *);
/* With or without. */
bool evn_payback_json(const evn_payback_story *, const evn_findings *, FILE *);
/* A line for each basis, truck and figure. False: `error_number` tells why. */
bool evn_payback_csv(const evn_payback_story *, FILE *, int *error_number);

/* "as_lineup", "least_battery"; and what is alike on it and what is not, in words. */
const char *evn_payback_basis_name(evn_payback_basis);
const char *evn_payback_basis_words(evn_payback_basis);

enum { EVN_PAYBACK_SENTENCE_BYTES = 1200 };
/* Which to buy at the index-th distance, why, and at what extra price that turns. False: no such, no two trucks have
 * costs, or none does what the duty demands. */
bool evn_payback_sentence(const evn_payback_story *, evn_payback_basis, size_t index,
                          char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* The index-th demand of the duty that a truck does not meet, for which it is out of what to buy. False: no more. */
bool evn_payback_unmet(const evn_payback_story *, size_t truck, evn_payback_basis, size_t index,
                       char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* Why a truck has no costs on a basis, in words; NULL: it has. */
const char *evn_payback_why_not(const evn_payback_story *, size_t truck, evn_payback_basis);

/* What ends every report. */
#define EVN_PAYBACK_CAUTION                                                                                            \
    "These are estimates for comparing layouts, with the prices as they are written: no offer, no advice on finance "  \
    "or "                                                                                                              \
    "tax. Ageing of batteries is a law of cells, not a warranty."

#endif
