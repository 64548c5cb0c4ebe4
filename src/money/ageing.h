/*
 * Ageing of cells by time and by charge, in the form of Schmalstieg et al., J. Power Sources 257 (2014) 325-334, for
 * a cell of 2.15 Ah with nickel, manganese and cobalt (as coded in a public aircraft-design library; the paper from
 * memory):
 *   capacity = 1 - a t^0.75 - b sqrt(Q)
 *   a = (7.542 U - 23.75) 1e6 exp(-6976 / T),  b = 7.348e-3 (U_rms - 3.667)^2 + 7.60e-4 + 4.081e-3 D
 * with t in days, T in kelvin, U the mean voltage of a cell, D the depth of its cycles, Q in Ah, in and out together.
 */
#ifndef EVENER_MONEY_AGEING_H
#define EVENER_MONEY_AGEING_H

#define EVN_AGEING_CELL_AH 2.15
#define EVN_DAYS_A_YEAR 365.25

double evn_ageing_by_time(double cell_v, double cell_degc); /* a, per day^0.75 */
double evn_ageing_by_charge(double cell_v, double depth);   /* b, per sqrt(Ah) of such a cell */

typedef struct evn_ageing {
    double by_time, by_charge; /* a and b, with the factors of the prices */
    double full_cycles_a_year; /* charge out over the capacity when new */
} evn_ageing;

/* Share of the new capacity after so many years; charge in and out are alike. */
double evn_ageing_capacity(const evn_ageing *, double years);
/* Years until a share is met; INFINITY: never. */
double evn_ageing_years_to(const evn_ageing *, double share);

#endif
