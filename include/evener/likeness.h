/*
 * likeness.h: whether the trucks of a comparison are alike in what is not their layout's own, and what makes them so.
 *
 * A difference of energy between two layouts says something of the layouts only where the trucks have the same power at
 * the wheels, tyres, body, battery and load. Each of these is a row with a tolerance; kerb mass, gears and ratios are
 * the layout's own and no unlikeness.
 */
#ifndef EVENER_LIKENESS_H
#define EVENER_LIKENESS_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct evn_likeness_row {
    evn_quantity what;  /* key "peak_wheel_power_kw" */
    double tolerance;   /* furthest from the first truck's value at which it is alike ... */
    bool of_first;      /* ... as a share of that value; else in its own unit */
    bool at_speed;      /* reached at a speed, which is told: evn_likeness.at_km_h */
    const char *source; /* of the tolerance */
} evn_likeness_row;

/* All rows, in their order, without a comparison. False: no more. */
EVN_API bool evn_likeness_row_at(size_t index, evn_likeness_row *out);

/* A truck held against the first in one row. */
typedef struct evn_likeness {
    double value, first;           /* NAN: not known */
    double at_km_h, first_at_km_h; /* speed at which it is reached; NAN: not of this row */
    bool judged;                   /* false: told only, since the comparison is made equal in something else */
    bool alike;                    /* within the tolerance, or not judged; both not known: true; one of them: false */
} evn_likeness;

/* False: no such truck or row, or the truck, or the first, could not be prepared. */
EVN_API bool evn_comparison_likeness_at(const evn_comparison *, size_t truck, size_t row, evn_likeness *out);
/* The same held against another truck, whose values stand in `first`: where the first did not finish, say. */
EVN_API bool evn_comparison_likeness_between(const evn_comparison *, size_t truck, size_t other, size_t row,
                                             evn_likeness *out);
/* Alike in all rows that are judged. False also where it, or the first, could not be prepared. */
EVN_API bool evn_comparison_is_alike(const evn_comparison *, size_t truck);

/* What a comparison makes its trucks equal in, before anything drives. Of a lineup: its key `equal`. */
EVN_API evn_equal evn_lineup_equal(const evn_lineup *); /* of what was loaded already EVN_EQUAL_PAYLOAD */

/* What a truck of a comparison was given for that. It is the truck whose file states the same. */
typedef struct evn_equalised {
    evn_equal by;        /* never EVN_EQUAL_AS_LINEUP */
    double payload_kg;   /* of its load case instead of the one asked for; NAN: that one */
    double torque_scale; /* factor on scale.torque of all its motors; 1: they are as its file states */
} evn_equalised;
EVN_API bool evn_comparison_equalised(const evn_comparison *, size_t truck, evn_equalised *out); /* false: no such */

#ifdef __cplusplus
}
#endif
#endif
