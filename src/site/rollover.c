/* The rollover threshold of a rigid vehicle. */
#include "site/rollover.h"
#include <math.h>

double evn_static_rollover_g(const double load[], const double track_m[], size_t axles, double centre_height_m)
{
    double weight = 0, moment_m = 0;
    for (size_t k = 0; k < axles; k++) {
        weight += load[k];
        moment_m += load[k] * track_m[k] / 2;
    }
    return centre_height_m > 0 && weight > 0 ? moment_m / (weight * centre_height_m) : (double)NAN;
}
