/*
 * How each result of a run comes about, as data beside its row: a formula that can be worked out, or what is
 * integrated, counted or watched over the run, and what all of it is worked out of.
 */
#ifndef EVENER_TRIP_FORMULAS_H
#define EVENER_TRIP_FORMULAS_H
#include "evener/explain.h"

/*
 * Names in formulas and inputs: keys of results ("battery_kwh"), of figures of the truck ("masses.body_kg"), and behind
 * "truck:", "cycle:", "load_case:" and "driving:" paths of what was read and asked. NAME is the axle or drive unit of
 * the result itself; '*' is any (core/formula.h).
 */
typedef struct evn_result_way {
    const char *key; /* of the result or figure, NAME in it; "limit.adhesion": of a limit, whatever it binds */
    evn_known_by by;
    const char
        *formula;       /* BY_FORMULA: what gives the value (core/formula.h); else in words, at an instant, or of all */
    double within;      /* of BY_FORMULA: how closely, relative to its terms */
    const char *agrees; /* a formula of other results that gives the same; NULL: none */
    double agrees_within;
    const char *inputs; /* of what has no formula: names with blanks between; NULL: none */
    const char *source; /* where the formula is published; NULL: a definition, or said with the keys */
    const char *unless; /* a name: where something fits it the next row of the key holds; NULL: always */
} evn_result_way;

#define EVN_ROUNDING 1e-12
#define EVN_INTEGRATED                                                                                                 \
    1e-5 /* between what is integrated apart: the accuracy of a run is 1e-6 unless another is asked */

/* The index-th of all. NULL: no more. */
const evn_result_way *evn_result_way_at(size_t index);

#endif
