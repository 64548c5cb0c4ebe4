/* Ageing of cells by time and by charge. */
#include "money/ageing.h"
#include "core/root.h"
#include <math.h>

double evn_ageing_by_time(double cell_v, double cell_degc)
{
    return fmax(7.542 * cell_v - 23.75, 0) * 1e6 * exp(-6976 / (cell_degc + 273.15));
}

double evn_ageing_by_charge(double cell_v, double depth)
{
    double off = cell_v - 3.667;
    return 7.348e-3 * off * off + 7.60e-4 + 4.081e-3 * depth;
}

double evn_ageing_capacity(const evn_ageing *a, double years)
{
    double charge_ah = 2 * EVN_AGEING_CELL_AH * a->full_cycles_a_year * years;
    return 1 - a->by_time * pow(EVN_DAYS_A_YEAR * years, 0.75) - a->by_charge * sqrt(charge_ah);
}

typedef struct wanted {
    const evn_ageing *ageing;
    double share;
} wanted;

static double too_much(void *self, double years)
{
    const wanted *w = self;
    return evn_ageing_capacity(w->ageing, years) - w->share;
}

double evn_ageing_years_to(const evn_ageing *a, double share)
{
    static const double FAR = 1000;
    wanted w = {a, share};
    evn_known now = {0, 1 - share}, far = {FAR, too_much(&w, FAR)};
    if (far.error > 0)
        return (double)INFINITY;
    return evn_root_between(too_much, &w, now, far, &(evn_between){0, 1e-12, 200}).x;
}
