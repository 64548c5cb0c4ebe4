/* Sobol points, scrambled (nested uniform scrambling, Owen 1995): each point evenly distributed, all of them even. */
#ifndef EVENER_UNCERTAINTY_SOBOL_H
#define EVENER_UNCERTAINTY_SOBOL_H
#include <stddef.h>
#include <stdint.h>

enum { EVN_SOBOL_DIMENSIONS_MOST = 1024 };

/*
 * Coordinate `dimension` (below EVN_SOBOL_DIMENSIONS_MOST) of point `index` of the sequence scrambled by `seed` and
 * `group`, within (0, 1), ends excluded. A function of its arguments alone, so that threads and order do not matter.
 * Other groups are independent of it.
 */
double evn_sobol(uint64_t seed, uint32_t group, uint32_t index, uint32_t dimension);

/* The same coordinate before it is scrambled, in units of 2^-32; points in the order of the Gray code (Antonov and
 * Saleev 1979). */
uint32_t evn_sobol_plain(uint32_t index, uint32_t dimension);

#endif
