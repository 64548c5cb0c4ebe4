/* The least battery with which each truck does its day (least_size.c), with the charging stops as they are or others.
 */
#include "duty/charging_stops.h"
#include "money/days.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ its stops */

size_t evn_days_tries(const evn_payback_how *how) { return (how->longer_count + 1) * (how->power_count + 1); }

static evn_payback_try try_at(const evn_payback_how *how, size_t index)
{
    size_t longer = index % (how->longer_count + 1), power = index / (how->longer_count + 1);
    return (evn_payback_try){.longer_min = longer > 0 ? how->longer_min[longer - 1] : 0,
                             .connector_kw = power > 0 ? how->stop_kw[power - 1] : (double)NAN,
                             .battery_kwh = (double)NAN,
                             .per_km = (double)NAN};
}

/* One way of stopping; as a duty in the arena. */
static bool drive_try(const evn_payback *b, const evn_payback_of *of, size_t k, evn_payback_try *t, evn_paying *p,
                      evn_days_progress *steps, evn_report *report)
{
    const evn_duty_file *duty = of->duty;
    if (t->longer_min > 0 || !isnan(t->connector_kw))
        duty = evn_duty_with_stops(of->duty, t->longer_min, t->connector_kw, b->arena);
    p->age_years = (double)NAN;
    if (!duty || !evn_days_size(of, k, duty, &b->paying[EVN_PAYBACK_AS_LINEUP][k], p, steps, report))
        return false;
    t->status = p->status;
    return true;
}

/* What keeps what the duty demands goes before what does not, then what costs less per km; of those alike the
 * first. */
static bool is_better(const evn_paying *p, const evn_payback_try *t, const evn_paying *than, const evn_payback_try *of)
{
    if (p->there != than->there || !p->there)
        return p->there && !than->there;
    if (p->use.meets != than->use.meets)
        return p->use.meets;
    return t->per_km < of->per_km && !evn_costs_alike(t->per_km, of->per_km);
}

/* All ways of stopping, of which one is chosen once those of all trucks are there; errors of one of several are told
 * where none does. */
static bool drive_tries(evn_payback *b, const evn_payback_of *of, size_t k, evn_days_progress *steps,
                        evn_report *report)
{
    size_t count = evn_days_tries(steps->how), there = 0;
    double from = steps->from, span = steps->span / (double)count;
    evn_paying *own = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k];
    evn_payback_try *tries = evn_arena_take(b->arena, count * sizeof *tries);
    evn_paying *p = evn_arena_take(b->arena, count * sizeof *p); /* trucks of other sizes point into themselves */
    evn_report *aside = evn_report_new();
    bool room = tries && p && aside;
    for (size_t i = 0; room && i < count && !steps->stopped; i++) {
        steps->from = from + span * (double)i;
        steps->span = span;
        memset(&p[i], 0, sizeof p[i]);
        tries[i] = try_at(steps->how, i);
        room = drive_try(b, of, k, &tries[i], &p[i], steps, count > 1 ? aside : report);
        there += p[i].there;
    }
    if (room && count > 1 && !steps->stopped && there == 0)
        evn_days_hand_on(aside, of->who[k].name, report);
    evn_report_free(aside);
    own->tries = tries;
    own->driven = p;
    own->try_count = room && !steps->stopped ? count : 0; /* which costs least of some is not known */
    if (steps->stopped)
        own->status = "interrupted";
    return room;
}

void evn_days_price_tries(evn_payback *b, size_t k, double may_carry_most_t)
{
    evn_paying *own = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k];
    for (size_t i = 0; i < own->try_count; i++) {
        const evn_paying *p = &own->driven[i];
        evn_account account;
        evn_account_ask ask = b->paying[EVN_PAYBACK_AS_LINEUP][k].ask;
        ask.bought = &p->bought;
        ask.use = &p->use;
        ask.may_carry_most_t = may_carry_most_t;
        if (!p->there)
            continue;
        evn_account_of(&ask, &account);
        own->tries[i].battery_kwh = p->use.pack_kwh;
        own->tries[i].per_km = account.per_km;
    }
}

/* What is not carried is counted against the most that any of them may carry. */
static double most_t(const evn_payback *b)
{
    double most = 0;
    for (size_t k = 0; k < b->count; k++)
        for (size_t i = 0; i < b->paying[EVN_PAYBACK_LEAST_BATTERY][k].try_count; i++) {
            const evn_paying *p = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k].driven[i];
            most = p->there ? fmax(most, p->use.may_carry_t) : most;
        }
    return most;
}

static void choose(evn_payback *b)
{
    double most = most_t(b);
    for (size_t k = 0; k < b->count; k++) {
        evn_paying *own = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k];
        const evn_paying *p = own->driven;
        evn_payback_try *tries = own->tries;
        size_t count = own->try_count, best = 0;
        evn_days_price_tries(b, k, most);
        for (size_t i = 1; i < count; i++)
            if (is_better(&p[i], &tries[i], &p[best], &tries[best]))
                best = i;
        if (count == 0)
            continue;
        *own = p[best];
        own->tries = tries;
        own->driven = p;
        own->try_count = count > 1 ? count : 0;
        own->chosen = best;
    }
}

/* ------------------------------------------------------------------------------------------------ all trucks */

bool evn_days_least(evn_payback *b, const evn_payback_of *of, evn_days_progress *steps, double from, double to,
                    evn_report *report)
{
    bool room = true;
    for (size_t k = 0; room && k < b->count && !steps->stopped; k++) {
        const evn_paying *own = &b->paying[EVN_PAYBACK_AS_LINEUP][k];
        evn_paying *p = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k];
        steps->from = from + (to - from) * (double)k / (double)b->count;
        steps->span = (to - from) / (double)b->count;
        if (of->is_cycle)
            p->status = "a_cycle";
        else if (!own->there)
            p->status = own->status;
        else
            room = drive_tries(b, of, k, steps, report);
    }
    if (room)
        choose(b);
    return room;
}
