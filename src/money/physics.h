/*
 * What data of the trucks that err do to their day, by first order: each datum one standard uncertainty up and down,
 * and only trucks that it moves driven again. Prices and mileage are drawn with that (sure.c, MONEY.md).
 */
#ifndef EVENER_MONEY_PHYSICS_H
#define EVENER_MONEY_PHYSICS_H
#include "money/payback.h"
#include "uncertainty/data.h"

typedef enum evn_day_part { /* of a day of one truck */
                            EVN_DAY_BATTERY_KWH,
                            EVN_DAY_DISCHARGED_KWH,
                            EVN_DAY_H,
                            EVN_DAY_STORED_KWH,
                            EVN_DAY_CHARGED_KWH,
                            EVN_DAY_FROM_GRID_KWH, /* these two as of evn_use */
                            EVN_DAY_UNSTATED_KWH,
                            EVN_DAY_PARTS
} evn_day_part;

typedef struct evn_day_parts {
    double of[EVN_DAY_PARTS]; /* NAN: it did not come to its end */
} evn_day_parts;

struct evn_physics {
    const char **label;     /* of each datum */
    evn_error_shape *shape; /* likewise */
    evn_payback_physics facts;
    evn_day_parts is[EVN_LINEUP_MOST];    /* in the season that was driven, as they are */
    evn_day_parts moves[EVN_LINEUP_MOST]; /* from there to the middle of all ranges */
    evn_day_parts *slope;                 /* [datum][truck], for one standard uncertainty up; 0: nothing */
    size_t trucks;
    uint64_t in; /* bit i: truck i comes to the end of that day, as it is and in the middle */
};

/* Runs that it takes: each datum up and down of each truck that it moves, and the trucks as they are; in the middle of
 * their ranges too where these are not even. */
size_t evn_physics_runs(const evn_data *, uint64_t trucks);

/*
 * Drives so many trucks (bit i: truck i): distinct legs and stops of the day in one season, each counted as often as it
 * comes; all of them where stops charge. Into the arena. NULL: stopped, or said.
 */
evn_physics *evn_physics_find(const evn_payback_of *, uint64_t trucks, const evn_runs_how *, evn_arena *, evn_report *);

/* By how much the day of a truck differs from that of the truck as it is, where each datum errs by so many standard
 * uncertainties. */
evn_day_parts evn_physics_moved(const evn_physics *, size_t truck, const double *standards);

/* As evn_payback_energy_of. */
bool evn_physics_energy(const evn_physics *, size_t truck, evn_payback_energy *out);

#endif
