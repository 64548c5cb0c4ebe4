/* Factors of compound interest. */
#include "money/factors.h"
#include <math.h>

/* By way of log1p and expm1: (1 + i)^n - 1 keeps its digits where the rate is small. */
static double grown(double rate, double years) { return expm1(years * log1p(rate)); }

double evn_factor_fp(double rate, unsigned years) { return exp(years * log1p(rate)); }

double evn_factor_pf(double rate, unsigned years) { return exp(-(double)years * log1p(rate)); }

double evn_factor_fa(double rate, unsigned years) { return rate == 0 ? years : grown(rate, years) / rate; }

double evn_factor_af(double rate, unsigned years) { return 1 / evn_factor_fa(rate, years); }

double evn_factor_pa(double rate, unsigned years) { return rate == 0 ? years : -grown(rate, -(double)years) / rate; }

double evn_factor_ap(double rate, unsigned years) { return 1 / evn_factor_pa(rate, years); }

double evn_factor_pg(double rate, unsigned years)
{
    double sum = 0;
    for (unsigned k = 2; k <= years; k++)
        sum += (k - 1) * evn_factor_pf(rate, k);
    return sum;
}
