/* How fast two trucks of a comparison would drive in common without the others. */
#ifndef EVENER_CAUSES_PAIR_SPEED_H
#define EVENER_CAUSES_PAIR_SPEED_H
#include "causes/mixture.h"

enum { EVN_PAIR_RUNS = 4 }; /* that it usually takes: each at its own speed, then both at one */

/* Mean of the speed that two trucks alone drive in common; NAN: stopped, or rounds ran out before.
 * False when memory is out. */
bool evn_pair_mean_km_h(const evn_comparison *, const size_t truck[2], const evn_mixing *, double *mean_km_h);

#endif
