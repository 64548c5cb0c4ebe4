/* Which to buy at a distance a year, and at which extra price that turns. */
#include "money/advice.h"
#include <math.h>
#include <stdint.h>

/* A calendar year's. */
static const double HOURS_A_DAY = 24, DAYS_A_YEAR = 365;

double evn_money_hours_a_day(const evn_account *a) { return a->hours / DAYS_A_YEAR; }

double evn_money_trucks_for(double hours_a_day) { return fmax(ceil(hours_a_day / HOURS_A_DAY), 1); }

static bool does_it(const evn_payback *b, size_t k, evn_payback_basis basis)
{
    const evn_paying *p = &b->paying[basis][k];
    return p->there && p->use.meets;
}

bool evn_money_battery_suffices(const evn_payback *b, size_t k, evn_payback_basis basis, double annual_km)
{
    const evn_paying *p = &b->paying[basis][k];
    evn_account a;
    if (basis != EVN_PAYBACK_LEAST_BATTERY || !p->there)
        return true;
    evn_payback_at_km(b, k, basis, annual_km, &a);
    return a.lowest_capacity >= p->capacity;
}

/* How well a truck is fit for a distance; 0: not at all. */
static int fit_at(const evn_payback *b, size_t k, evn_payback_basis basis, double annual_km)
{
    evn_account a;
    if (!does_it(b, k, basis))
        return 0;
    evn_payback_at_km(b, k, basis, annual_km, &a);
    if (evn_money_trucks_for(evn_money_hours_a_day(&a)) > 1)
        return 1;
    return evn_money_battery_suffices(b, k, basis, annual_km) ? 3 : 2;
}

bool evn_money_takes_part(const evn_payback *b, size_t truck, evn_payback_basis basis, double annual_km)
{
    int most = 1, own = fit_at(b, truck, basis, annual_km);
    for (size_t k = 0; own > 0 && k < b->count; k++) {
        int fit = fit_at(b, k, basis, annual_km);
        most = fit > most ? fit : most;
    }
    return own == most;
}

evn_money_ranked evn_money_rank(const evn_payback *b, evn_payback_basis basis, double annual_km)
{
    evn_money_ranked r = {SIZE_MAX, SIZE_MAX, (double)INFINITY, (double)INFINITY};
    for (size_t k = 0; k < b->count; k++) {
        evn_account a;
        if (!evn_money_takes_part(b, k, basis, annual_km))
            continue;
        evn_payback_at_km(b, k, basis, annual_km, &a);
        if (a.per_km < r.per_km) {
            r.next = r.best;
            r.next_per_km = r.per_km;
            r.best = k;
            r.per_km = a.per_km;
        } else if (a.per_km < r.next_per_km) {
            r.next = k;
            r.next_per_km = a.per_km;
        }
    }
    return r;
}

/* How many cost as much as the best. */
static size_t alike_at(const evn_payback *b, evn_payback_basis basis, const evn_payback_advice *a)
{
    size_t alike = 0;
    evn_account other;
    for (size_t k = 0; k < b->count; k++) {
        if (k == a->best || !evn_money_takes_part(b, k, basis, a->annual_km))
            continue;
        evn_payback_at_km(b, k, basis, a->annual_km, &other);
        alike += evn_costs_alike(a->per_km, other.per_km);
    }
    return alike;
}

/* At which extra price of the best the next takes over. */
static void put_turn(const evn_payback *b, evn_payback_basis basis, evn_payback_advice *a)
{
    evn_account best, other;
    a->extra_price = a->turns_at_extra_price = (double)NAN;
    if (a->next == SIZE_MAX)
        return;
    evn_account_ask of_best = b->paying[basis][a->best].ask, of_next = b->paying[basis][a->next].ask;
    of_best.annual_km = of_next.annual_km = a->annual_km;
    evn_account_of(&of_best, &best);
    evn_account_of(&of_next, &other);
    a->extra_price = best.price - other.price;
    a->turns_at_extra_price = a->extra_price + evn_account_turning_rise(&of_next, &of_best);
}

bool evn_money_advise(const evn_payback *b, evn_payback_basis basis, double annual_km, evn_payback_advice *out)
{
    evn_money_ranked r = evn_money_rank(b, basis, annual_km);
    evn_account best;
    size_t there = 0;
    for (size_t k = 0; k < b->count; k++)
        there += b->paying[basis][k].there;
    if (there < 2 || r.best == SIZE_MAX)
        return false;
    *out = (evn_payback_advice){
        .annual_km = annual_km, .best = r.best, .per_km = r.per_km, .next = r.next, .next_per_km = r.next_per_km};
    evn_payback_at_km(b, r.best, basis, annual_km, &best);
    out->hours_a_day = evn_money_hours_a_day(&best);
    out->trucks = evn_money_trucks_for(out->hours_a_day);
    out->battery_short = !evn_money_battery_suffices(b, r.best, basis, annual_km);
    out->alike = alike_at(b, basis, out);
    put_turn(b, basis, out);
    return true;
}
