/*
 * How far a truck gets on a duty until its reserve is met: the day is driven, and driven on from its beginning, until
 * the charge is there (RANGE.md). Many at the same time, each with a truck of its own.
 */
#ifndef EVENER_DUTY_REACH_H
#define EVENER_DUTY_REACH_H
#include "duty/duty.h"

typedef struct evn_day_reach {
    /* What is asked. */
    const evn_truck_file *truck;
    const evn_duty_file *duty;
    size_t season;          /* index among the duty's; 0 where it has none */
    evn_conditions ask;     /* its age stands over the season's */
    double payload_kg;      /* the heaviest of the day; NAN: as written */
    double most_payload_kg; /* none of its legs and stops has more; INFINITY: no such bound */
    double enough_km;       /* behind a day with which so much is reached it is not driven on; INFINITY: till the end */
    unsigned days_most;     /* at least 1 */

    /* What came of it. */
    evn_load_case load_case; /* as it was driven in */
    double begin_soc, floor_soc;
    double distance_km, duration_s, drawn_kwh; /* the last: out of the battery, charging left out */
    double day_duration_s;                     /* of the first day; NAN: it did not come to its end */
    unsigned days;                             /* whole ones */
    bool sustained;                    /* one of them left as much charge as it began with: it goes on for ever */
    double lowest_soc, day_lowest_soc; /* at the ends of legs and stops, of all and of the first day */
    double left_kwh, day_left_kwh;     /* in the battery at lowest_soc above floor_soc, at day_lowest_soc above
                                          the usable window's end */
    double short_kwh;   /* what stops behind the last leg of a day would have taken beyond the reserve; 0: none */
    const char *status; /* of the last leg or stop: "finished", "battery_empty" where the reserve is met, ... */
    size_t phase;       /* the last that was begun */
    double phase_km;

    /* Its own. */
    evn_truck_file as_driven; /* its battery ends at floor_soc */
    evn_battery_file battery;
    evn_arena *arena;
    evn_day_plan plan;
    evn_carried *carried;
    bool ended;
} evn_day_reach;

/* Drives all of them. False, with those that were ended, where the runs were stopped, memory is out, or the duty does
 * not do (said). Each must be given up afterwards. */
bool evn_day_reach_find(evn_day_reach *, size_t count, evn_runs *, evn_report *);
void evn_day_reach_end(evn_day_reach *);

/* The heaviest payload of a day as it is written. */
double evn_day_reach_heaviest_kg(const evn_day_plan *);

/* Days that are driven on at most, whatever their length. */
enum { EVN_DAYS_MOST = 10000 };
/* Kilometres that sums of legs may differ by. */
#define EVN_ALIKE_KM 1e-6

/* Whether it reaches a distance; that of whole days with what their last stops take. */
bool evn_day_reach_does(const evn_day_reach *, double distance_km);

/* How far it gets beyond a distance; below zero: what is missing. Behind a day that was not driven on what is left in
 * the battery counts by what the day took. It goes through zero evenly with what the reserve hangs on. */
double evn_day_reach_beyond_km(const evn_day_reach *, double distance_km);
/* Whether the first is the worse case of such a distance: of one that ends and one that goes on day after day the
 * former, else the one that gets less far beyond it. */
bool evn_day_reach_is_worse(const evn_day_reach *, const evn_day_reach *, double distance_km);

#endif
