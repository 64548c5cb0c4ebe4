/* The least battery with which a truck does its day at the prices' age, with the charging stops as they are or others.
 */
#include "duty/charging_stops.h"
#include "duty/range.h"
#include "duty/reach.h"
#include "money/days.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ its age */

/* Years in the battery's own file at which it has so much of its capacity: the prices' law and the file's list name one
 * age by different years. */
static double age_in_file(const evn_battery_ageing_file *a, double capacity)
{
    for (size_t k = 1; k < a->years.count; k++) {
        double high = a->capacity_factor.at[k - 1], low = a->capacity_factor.at[k];
        if (low <= capacity && high > low)
            return a->years.at[k - 1] + (a->years.at[k] - a->years.at[k - 1]) * fmax(high - capacity, 0) / (high - low);
    }
    return a->years.at[a->years.count - 1];
}

double evn_days_least_capacity(const evn_paying *p)
{
    const evn_cell_ageing_file *g = p->ask.prices->battery_ageing;
    if (!g)
        return 1;
    return p->account.replacements > 0 ? fmin(g->end_share, p->account.capacity_end) : p->account.capacity_end;
}

/* Years after which it is that, by the law. */
static double age_by_law(const evn_paying *p)
{
    const evn_account *a = &p->account;
    const evn_cell_ageing_file *g = p->ask.prices->battery_ageing;
    return a->replacements > 0 && g->end_share < a->capacity_end ? a->years_to_replacement
                                                                 : p->ask.years - a->last_replaced;
}

/* A truck whose battery's file states no ageing, with that of the prices' law: so much is left of its capacity at an
 * age, its resistance stays as it is. */
typedef struct aged_truck {
    evn_truck_file truck;
    evn_battery_file battery;
    evn_battery_ageing_file ageing;
    double years[2], capacity[2], resistance[2];
} aged_truck;

/* The least that a file of a battery can state; one that is older by the law is looked at as that. */
static const double LEAST_CAPACITY = 0.3;

static void age_by(aged_truck *a, const evn_truck_file *t, double years, double capacity)
{
    *a = (aged_truck){*t, *t->battery, {.source = NULL}, {0, years}, {1, fmax(capacity, LEAST_CAPACITY)}, {1, 1}};
    a->ageing.years = (evn_list){a->years, 2};
    a->ageing.capacity_factor = (evn_list){a->capacity, 2};
    a->ageing.resistance_factor = (evn_list){a->resistance, 2};
    a->battery.ageing = &a->ageing;
    a->truck.battery = &a->battery;
}

/* How old, and which truck of that age is looked at: its own, or in `aged`. */
static const evn_truck_file *put_age(const evn_truck_file *t, const evn_paying *own, evn_paying *p, aged_truck *aged)
{
    p->capacity = evn_days_least_capacity(own);
    p->ages_by_law = !t->battery->ageing && p->capacity < 1;
    if (!p->ages_by_law) {
        p->age_years = t->battery->ageing ? age_in_file(t->battery->ageing, p->capacity) : 0;
        return t;
    }
    p->age_years = age_by_law(own);
    age_by(aged, t, p->age_years, p->capacity);
    return &aged->truck;
}

static bool heaviest_kg(const evn_payback_of *of, const evn_truck_file *t, double *kg, evn_report *report)
{
    evn_day_plan plan;
    evn_arena *arena = evn_arena_new();
    double asked = of->ask->load_case.payload_kg;
    bool made = arena && evn_day_plan_make(&plan, of->duty, isnan(asked) ? t->payload->mass_kg : asked, arena, report);
    if (made)
        *kg = evn_day_reach_heaviest_kg(&plan);
    if (arena)
        evn_arena_free(arena);
    return made;
}

/* ------------------------------------------------------------------------------------------------ its size */

/* The size of the battery that does the day; false: there is none, and why. */
static bool size_battery(const evn_payback_of *of, size_t k, const evn_duty_file *duty, const evn_paying *own,
                         evn_paying *p, evn_days_progress *steps, evn_report *report)
{
    const evn_truck_file *t = of->who[k].truck;
    double payload_kg;
    evn_range_pack pack = {.found = false};
    p->status = "no_battery";
    if (!heaviest_kg(of, t, &payload_kg, report))
        return false;
    aged_truck aged;
    const evn_truck_file *old = put_age(t, own, p, &aged);
    evn_range_how how = {.payload_kg = &payload_kg,
                         .payloads = 1,
                         .age_years = &p->age_years,
                         .ages = 1,
                         .threads = steps->how->threads,
                         .self = steps,
                         .go_on = evn_days_go_on};
    evn_range *range = evn_range_make(old, duty, of->ask, &how, report);
    bool found = evn_range_pack_of(range, &pack) && pack.found;
    if (found)
        evn_sized_truck_make(&p->sized, t, pack.size, pack.kg_per_kwh);
    evn_range_free(range);
    return found;
}

/* With stops of the duty as they are, or others. */
static bool drive_sized(const evn_payback_of *of, size_t k, const evn_duty_file *duty, const evn_paying *own,
                        evn_paying *p, evn_days_progress *steps, evn_report *report)
{
    evn_report *aside = evn_report_new();
    if (!aside)
        return false;
    steps->span *= 0.8;
    bool sized = size_battery(of, k, duty, own, p, steps, aside);
    steps->from += steps->span;
    steps->span *= 0.25;
    if (steps->stopped)
        p->status = "interrupted";
    if (!sized && !steps->stopped) { /* what was found of a size that does is told with its day */
        evn_days_hand_on(aside, of->who[k].name, report);
        evn_days_say_not_finished(of->who[k].name, "has no battery of another size that does the day", p->status,
                                  report);
    }
    evn_report_free(aside);
    return !sized || steps->stopped || evn_days_drive(of, k, &p->sized.truck, duty, p, steps, report);
}

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
    if (!duty || !drive_sized(of, k, duty, &b->paying[EVN_PAYBACK_AS_LINEUP][k], p, steps, report))
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
