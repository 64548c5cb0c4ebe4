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
    unsigned lifted, lifted_too; /* the second: beside what is lifted to see what binds */
} evn_change_up;
evn_change_up evn_change_up_of(const evn_scene *);

/* Steepest tangent, or greatest factor of the rolling resistance, without the limits of `lifted`; NAN: none. An
 * `evn_able`. */
double evn_change_up_most(void *change_up, unsigned lifted);
/* With what binds it; gear_change where an instant change would do more. */
evn_answer evn_change_up_answer(evn_change_up *);

/* Speed that the truck loses while a unit changes, and comes to rest with, others pulling in the gears of the scene. */
double evn_change_up_lost_m_s(evn_change_up *, size_t unit);

#endif
