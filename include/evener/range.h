/*
 * range.h: how far a truck gets on the day of a duty before its reserve of charge is met, by season, payload and age of
 * the battery, and the size of battery that the day takes. How both are defined stands in src/duty/RANGE.md of the
 * source tree.
 */
#ifndef EVENER_RANGE_H
#define EVENER_RANGE_H

#include "evener/duty.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A day that is one leg, the cycle: the duty borrows it, and the cycle must outlive it. */
EVN_API evn_status evn_duty_of_cycle(const evn_cycle *, evn_duty **out, evn_report *);

typedef struct evn_range evn_range;

enum { EVN_RANGE_PAYLOADS_MOST = 8, EVN_RANGE_AGES_MOST = 8 };

/* All zero does. */
typedef struct evn_range_how {
    /* Heaviest payloads of the day, 0 to 500000; those of all its legs and stops go with them in proportion. None: as
     * written, half of it, and none. */
    const double *payload_kg;
    size_t payloads;
    /* Ages of the battery, 0 to 40; they stand over the load case's battery_age_years. None: that of the load case,
     * where that is 0 also 5 years or as far as the battery states its ageing. */
    const double *age_years;
    size_t ages;
    double distance_km;     /* what has to be reached, up to 5000; 0: the day, and the distance that it demands */
    double pack_kg_per_kwh; /* mass of another size of battery, 0 to 100; 0: as the truck's own (see RANGE.md) */
    bool only_distances;    /* no other size of battery is looked for */
    size_t threads;         /* the results are the same bytes; 0: as many as processors */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as in evn_compare_how */
} evn_range_how;

/*
 * Finds distances and the battery that the day takes. `how` may be NULL. EVN_DONE, also where the reserve is met before
 * the day ends: that is an answer; or EVN_ANSWER_NO where the duty demands a reserve or a distance, or `how` a
 * distance, and the truck does not come to it with the first of the payloads in every season and at every age
 * ("demand_not_met"). NULL in `out` only where the ask or the duty does not do, the work was stopped, or memory is out.
 * What was found keeps nothing of truck and duty but their data, which must outlive it.
 */
EVN_API evn_status evn_range_find(const evn_truck *, const evn_duty *, const evn_conditions *, const evn_range_how *,
                                  evn_range **out, evn_report *);
EVN_API void evn_range_free(evn_range *);

/* One season, payload and age. */
typedef struct evn_range_cell {
    const char *season;             /* NULL: the only one, without a name */
    double payload_kg, age_years;   /* the heaviest of the day; of the battery */
    double begin_soc, floor_soc;    /* charge at the start, and that at which the reserve is met */
    bool does_it;                   /* what has to be reached is reached before the reserve is met */
    double distance_km, duration_s; /* to the reserve, by the run, or to where it ended otherwise */
    bool unlimited;                 /* it was not met: at least that distance, and: */
    bool sustained;                 /* charging gives back what the day takes, day after day */
    const char
        *status; /* why it ended: "battery_empty": the reserve is met; "finished": unlimited; else as of results */
    double reserve_soc, reserve_kwh; /* of the whole day, as in evn_day_season; NAN: the day did not come to its end */
    double more_km;          /* of distance_km beyond what has to be reached; below zero: what is missing; at least 0
                                where it is sustained */
    unsigned day;            /* from 1, in which it ended */
    evn_day_phase ends_in;   /* leg or stop; its name is NULL where the day was not begun */
    double into_km;          /* of its way driven by then */
    evn_load_case load_case; /* as it was driven in: the season's over that asked for */
} evn_range_cell;
/* Driven on from its beginning a day ends at the latest behind this distance, or what has to be reached. */
#define EVN_RANGE_KM_MOST 2000
EVN_API bool evn_range_cell_at(const evn_range *, size_t index, evn_range_cell *out);
/* Of those with the first payload that which gets least far beyond, or is furthest from, what has to be reached. */
EVN_API size_t evn_range_worst(const evn_range *);

/* What has to be reached, and what was demanded as reserve above the usable window's lower end; NAN: not demanded. */
typedef struct evn_range_goal {
    double distance_km, day_km;
    double reserve_soc, reserve_kwh;
    bool demanded; /* the duty or the ask demands reserve or distance */
} evn_range_goal;
EVN_API bool evn_range_goal_of(const evn_range *, evn_range_goal *out);

/* The smallest battery of the truck's own cells with which it reaches that, in every season and at every age, with the
 * first payload less what that battery takes of it. */
typedef struct evn_range_pack {
    bool sought, found;
    double own_kwh, own_kg;     /* the truck's battery, new, between 0 and 1 of state of charge */
    double kwh, kg, size;       /* the one that is found; NAN: none; size: over the truck's own */
    double kg_per_kwh;          /* with which its mass goes */
    double payload_kg, lost_kg; /* the heaviest that is left, and what is lost */
    const char *bound_by;       /* what holds the payload: "permitted_gross", or the name of an axle; NULL: nothing */
    double bound_over_kg; /* by which the truck as it is passes that already, and may go on doing so; 0: it does not */
    double day_duration_s, own_day_duration_s; /* of the day that comes nearest to what has to be reached, with it and
                                                  with the truck's own; NAN: it does not come to its end */
    size_t asked_by;                           /* index of the cell that asks for it */
    double most_kwh;                           /* none found: the largest that was looked at */
    const char *why_not; /* none found: "charge" (that of the start is the reserve), "mass", "distance", "status"; NULL:
                            found */
    const char *status;  /* with "status": how the run with the largest ended */
    double most_distance_km; /* none found: how far the largest gets */
} evn_range_pack;
EVN_API bool evn_range_pack_of(const evn_range *, evn_range_pack *out);

/* What weighs on the road with the battery that is found and the payload that is left, on level road: the gross mass,
 * then axle by axle, the trailer's together. False: there are no more, or none is found. */
typedef struct evn_range_load {
    const char *axle; /* its name, or "trailer"; NULL: the gross mass */
    double kg, permitted_kg;
    const char *missing; /* permitted_kg is NAN: the key of the truck's file that would state it; NULL: it does */
} evn_range_load;
EVN_API bool evn_range_load_at(const evn_range *, size_t index, evn_range_load *out);

#ifdef __cplusplus
}
#endif
#endif
