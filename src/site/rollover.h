/*
 * Static rollover threshold of a rigid vehicle: the lateral acceleration, in g, at which the load of one side is gone.
 *   a/g = sum(N_k T_k / 2) / (W h)      T/2h where all axles have one track (any textbook of vehicle dynamics)
 * N axle load, T track, W weight, h height of the common centre of gravity. An upper bound: tyres and suspension give
 * way, the load shifts, and what happens over time tips a vehicle earlier.
 */
#ifndef EVENER_SITE_ROLLOVER_H
#define EVENER_SITE_ROLLOVER_H
#include <stddef.h>

/* NAN where a track is, or where the height is not above 0. Loads in any unit, all alike. */
double evn_static_rollover_g(const double load[], const double track_m[], size_t axles, double centre_height_m);

#endif
