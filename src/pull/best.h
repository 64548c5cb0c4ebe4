/* The settings in which units pull, or push, most. */
#ifndef EVENER_PULL_BEST_H
#define EVENER_PULL_BEST_H
#include "pull/pull.h"

/* Whether its motors may turn as fast as this speed and setting ask of them. */
bool evn_member_can_turn(const evn_pull *, size_t unit, const evn_member *);

/*
 * All motors of a unit, in the gear whose motors give most at this speed and the asked acceleration, pulling or
 * pushing; a unit whose motors would turn too fast in all gears is disconnected where it can be.
 */
evn_setting evn_pull_best_setting(const evn_pull *, size_t unit, bool pulling);

/* Each unit in that setting, none of them shifting; what follows from it is made anew. */
void evn_pull_take_best(evn_pull *, bool pulling);

#endif
