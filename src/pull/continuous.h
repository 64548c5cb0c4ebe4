/* What the units give for ever: heat of windings and inverters. */
#ifndef EVENER_PULL_CONTINUOUS_H
#define EVENER_PULL_CONTINUOUS_H
#include "pull/pull.h"
#include "truck/steady.h"

/*
 * Tyre force of all units together at constant speed, each in the gear in which it bears most, or in that of `gear`,
 * counted from 1, where it is not 0 (NULL: none is); at most what its motors and tyres can; the pack is not asked. By
 * both parts or some of them that heat. NAN: of a unit nothing is known of its heat.
 */
double evn_pull_continuous_n(const evn_pull *, evn_parts_that_heat, const uint8_t gear[]);

#endif
