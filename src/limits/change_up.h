/* Changing up: see change_up.c. */
#ifndef EVENER_LIMITS_CHANGE_UP_H
#define EVENER_LIMITS_CHANGE_UP_H
#include "limits/abilities.h"

typedef struct evn_change_up {
    evn_scene scene; /* its own */
    double tangent;
    bool by_rolling; /* how much rolling resistance it can, by its factor, on the tangent as it is; else how much grade
                      */
    double up_to;    /* where the search ends */
    double after_m_s[EVN_UNITS_MAX]; /* speed that is left when the gap of a unit ends */
    unsigned lifted, lifted_too;     /* the second: beside what is lifted to see what binds */
} evn_change_up;
evn_change_up evn_change_up_of(const evn_scene *);

/* Steepest tangent, or greatest factor of the rolling resistance, without the limits of `lifted`; NAN: none. An
 * `evn_able`. */
double evn_change_up_most(void *change_up, unsigned lifted);
/* With what binds it; gear_change where an instant change would do more. */
evn_answer evn_change_up_answer(evn_change_up *);

/* Speed at which a unit changes, so that after_m_s of it is left, others pulling in the gears of the scene. */
double evn_change_up_before_m_s(evn_change_up *, size_t unit);
/* Of all changes, the most speed that is lost, as much as is asked of the change-up. */
double evn_change_up_most_lost_m_s(evn_change_up *);

#endif
