/* How far days get where the duty demands a longer distance than they have. */
#ifndef EVENER_DUTY_DRIVEN_ON_H
#define EVENER_DUTY_DRIVEN_ON_H
#include "duty/duty.h"

typedef struct evn_driven_on {
    size_t season;            /* index among the duty's; 0 where it has none */
    double battery_age_years; /* in that season */
    double distance_km;       /* out: to the reserve, at most till the demanded one is reached; NAN: not found */
    bool met;                 /* out */
} evn_driven_on;

/* Each day is driven on from its beginning until what the duty demands is reached, or its reserve is met, as range does
 * it (RANGE.md). False: the runs were stopped, or memory is out (said). */
bool evn_driven_on_find(evn_driven_on *, size_t count, const evn_truck_file *, const evn_duty_file *,
                        const evn_conditions *, evn_runs *, evn_report *);

#endif
