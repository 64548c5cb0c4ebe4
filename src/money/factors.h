/*
 * Factors of compound interest, in the notation of textbooks of engineering economics: F/P is what turns a present sum
 * P into a future one F. Amounts fall due at the ends of years, a present sum at the beginning of the first. `rate` is
 * the interest of a year as a share, above -1; `years` from 0, for A/P and A/F from 1. At a rate of 0 they are the
 * limits.
 */
#ifndef EVENER_MONEY_FACTORS_H
#define EVENER_MONEY_FACTORS_H

enum { EVN_MONEY_YEARS_MOST = 40 };

double evn_factor_fp(double rate, unsigned years); /* (1 + i)^n: compound amount of a single sum */
double evn_factor_pf(double rate, unsigned years); /* its inverse: present worth of a single sum */
double evn_factor_fa(double rate, unsigned years); /* ((1 + i)^n - 1) / i: compound amount of a yearly sum */
double evn_factor_af(double rate, unsigned years); /* its inverse: sinking fund */
double evn_factor_pa(double rate, unsigned years); /* (1 - (1 + i)^-n) / i: present worth of a yearly sum */
double evn_factor_ap(double rate, unsigned years); /* its inverse: annuity, capital recovery */
/* Present worth of sums 0, 1, 2, ... at the ends of years 1, 2, 3, ...: a gradient. */
double evn_factor_pg(double rate, unsigned years);

#endif
