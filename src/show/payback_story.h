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
    size_t draws;                   /* that were asked for */
    const evn_assessment *standing; /* what needs no day of the duty's other demands; NULL: there are none */
} evn_payback_story;

/* Of what was found. False when memory is out. */
bool evn_payback_words(const evn_payback_story *, FILE *, const evn_look *);
/* With or without. The document alone, without findings, is NULL when memory is out. */
json_t *evn_payback_document(const evn_payback_story *);
bool evn_payback_json(const evn_payback_story *, const evn_findings *, FILE *);
/* A line for each basis, truck and figure, behind them of how sure these are. False: `error_number` tells why. */
bool evn_payback_csv(const evn_payback_story *, FILE *, int *error_number);

/* "as_lineup", "least_battery"; as a heading; and what is alike on it and what is not, in words. */
const char *evn_payback_basis_name(evn_payback_basis);
const char *evn_payback_basis_title(evn_payback_basis);
const char *evn_payback_basis_words(evn_payback_basis);

enum { EVN_PAYBACK_SENTENCE_BYTES = 1200 };
/* Which to buy at the index-th distance, why, and at what extra price that turns. False: no such, no two trucks have
 * costs, or none does what the duty demands. */
bool evn_payback_sentence(const evn_payback_story *, evn_payback_basis, size_t index,
                          char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* What was drawn of what errs. False: nothing. */
bool evn_payback_drawn(const evn_payback_story *, evn_payback_basis, char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* The saying of the trade, and the extra price with which it would hold of a truck; of each behind the first that has
 * one, that price alone. False: that is not known. */
bool evn_payback_saying_sentence(const evn_payback_story *, size_t truck, evn_payback_basis,
                                 char out[EVN_PAYBACK_SENTENCE_BYTES]);
#define EVN_PAYBACK_SAYING                                                                                             \
    "Common practice, no source: a fleet of 150000 km a year or more recovers an electric axle's extra price in one "  \
    "to two years. At that distance, not discounted, that holds up to an extra price"

/* Why nothing is held against the first, and whether how sure it is was asked in vain. False: it is. */
bool evn_payback_unheld(const evn_payback_story *, evn_payback_basis, char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* With which battery a truck's verdicts as it stands are told on a basis: "" its own, that of its file. */
const char *evn_payback_standing_with(evn_payback_basis);

/* The index-th demand of the duty that a truck does not meet, for which it is out of what to buy. False: no more. */
bool evn_payback_unmet(const evn_payback_story *, size_t truck, evn_payback_basis, size_t index,
                       char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* What the lineup gave a truck to be equal to the first. False: nothing that is other than in its file. */
bool evn_payback_given(const evn_payback_story *, size_t truck, char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* Batteries of the trucks' files where they are not alike: what one saves by its battery its layout does not. False:
 * they are, or it is the other basis. */
bool evn_payback_batteries(const evn_payback_story *, evn_payback_basis, char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* The index-th of what has to be known to read what a truck is told against the first: distances at which it turns by a
 * jump, rates of return of one that is bought for less. Empty: not so. False: no more. */
bool evn_payback_note(const evn_payback_story *, size_t truck, evn_payback_basis, size_t index,
                      char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* Driven axles where they are not alike: such trucks do not start alike on a slippery hill, and what that is worth
 * stands in no price. False: they are. */
bool evn_payback_axles(const evn_payback_story *, char out[EVN_PAYBACK_SENTENCE_BYTES]);
#define EVN_PAYBACK_AXLES "Driven axles are not alike either:"
#define EVN_PAYBACK_TRACTION "What traction is worth stands in no price; 'evener limits' tells what each starts on."

/* How long the day's stops charge as the duty states: "rest 45 min with 400 kW, up to 90 %". False: it charges at none.
 */
bool evn_payback_stops_sentence(const evn_payback_story *, char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* Which way of stopping was taken for a truck's least battery, and what another would cost. False: none was tried, or
 * none has costs. */
bool evn_payback_tried_sentence(const evn_payback_story *, size_t truck, char out[EVN_PAYBACK_SENTENCE_BYTES]);

/* What stands in no cost, one after another; NULL: no more. */
const char *evn_payback_not_counted(size_t index);

/* Why a truck has no costs on a basis, in words; NULL: it has. */
const char *evn_payback_why_not(const evn_payback_story *, size_t truck, evn_payback_basis);

/* What ends every report. */
#define EVN_PAYBACK_CAUTION                                                                                            \
    "These are estimates for comparing layouts, with the prices as they are written: no offer, no advice on finance "  \
    "or "                                                                                                              \
    "tax. Ageing of batteries is a law of cells, not a warranty."

#endif
