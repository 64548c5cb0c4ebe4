/* The size of the least battery with which a truck does its day in the worst state to which that very battery comes. */
#include "duty/range.h"
#include "duty/reach.h"
#include "money/days.h"
#include <math.h>
#include <string.h>

/* What a battery has of its capacity in its worst year, and after how many years by the prices' law. */
typedef struct state {
    double capacity, years;
} state;

/* ------------------------------------------------------------------------------------------------ its age */

/* The least of its capacity that a file of a battery can state. */
static const double LEAST_CAPACITY = 0.3;

static double last_of(evn_list l) { return l.at[l.count - 1]; }

/* Years in the battery's own file at which it has so much of its capacity: the prices' law and the file's list name one
 * age by different years. */
static double age_in_file(const evn_battery_ageing_file *a, double capacity)
{
    for (size_t k = 1; k < a->years.count; k++) {
        double high = a->capacity_factor.at[k - 1], low = a->capacity_factor.at[k];
        if (low <= capacity && high > low)
            return a->years.at[k - 1] + (a->years.at[k] - a->years.at[k - 1]) * fmax(high - capacity, 0) / (high - low);
    }
    return last_of(a->years);
}

/* A truck whose battery's file does not state that age, with the prices' law: so much is left of its capacity, its
 * resistance is the highest that the file states. */
typedef struct aged_truck {
    evn_truck_file truck;
    evn_battery_file battery;
    evn_battery_ageing_file ageing;
    double years[2], capacity[2], resistance[2];
} aged_truck;

static void age_by_law(aged_truck *a, const evn_truck_file *t, state at)
{
    const evn_battery_ageing_file *own = t->battery->ageing;
    double resistance = own ? last_of(own->resistance_factor) : 1;
    *a = (aged_truck){*t, *t->battery, {.source = NULL}, {0, at.years}, {1, at.capacity}, {resistance, resistance}};
    a->ageing.years = (evn_list){a->years, 2};
    a->ageing.capacity_factor = (evn_list){a->capacity, 2};
    a->ageing.resistance_factor = (evn_list){a->resistance, 2};
    a->battery.ageing = &a->ageing;
    a->truck.battery = &a->battery;
}

/* How old, and which truck of that age is looked at: its own, or in `aged`. */
static const evn_truck_file *put_age(const evn_truck_file *t, state at, evn_paying *p, aged_truck *aged)
{
    const evn_battery_ageing_file *own = t->battery->ageing;
    p->capacity = at.capacity;
    p->ages_by_law = at.capacity < (own ? last_of(own->capacity_factor) : 1);
    p->age_years = p->ages_by_law ? at.years : own ? age_in_file(own, at.capacity) : 0;
    if (!p->ages_by_law)
        return t;
    age_by_law(aged, t, at);
    return &aged->truck;
}

/* ------------------------------------------------------------------------------------------------ one size */

/* Whose battery is sized, over which duty. */
typedef struct sizing {
    const evn_payback_of *of;
    size_t k;
    const evn_duty_file *duty;
    const evn_paying *own; /* with its own battery */
    evn_days_progress *steps;
    evn_report *report;
} sizing;

static bool heaviest_kg(const sizing *z, double *kg, evn_report *report)
{
    evn_day_plan plan;
    evn_arena *arena = evn_arena_new();
    double asked = z->of->ask->load_case.payload_kg;
    bool made =
        arena && evn_day_plan_make(&plan, z->of->duty, isnan(asked) ? z->of->who[z->k].truck->payload->mass_kg : asked,
                                   arena, report);
    if (made)
        *kg = evn_day_reach_heaviest_kg(&plan);
    if (arena)
        evn_arena_free(arena);
    return made;
}

/* The size of the battery that does the day in a state; false: there is none, and why. */
static bool size_battery(const sizing *z, state at, evn_paying *p, evn_report *report)
{
    const evn_truck_file *t = z->of->who[z->k].truck;
    double payload_kg;
    evn_range_pack pack = {.found = false};
    p->status = "no_battery";
    if (!heaviest_kg(z, &payload_kg, report))
        return false;
    aged_truck aged;
    const evn_truck_file *old = put_age(t, at, p, &aged);
    evn_range_how how = {.payload_kg = &payload_kg,
                         .payloads = 1,
                         .age_years = &p->age_years,
                         .ages = 1,
                         .threads = z->steps->how->threads,
                         .self = z->steps,
                         .go_on = evn_days_go_on};
    evn_range *range = evn_range_make(old, z->duty, z->of->ask, &how, report);
    bool found = evn_range_pack_of(range, &pack) && pack.found;
    p->size = pack.size;
    p->kg_per_kwh = pack.kg_per_kwh;
    evn_range_free(range);
    return found;
}

/* Finds it and drives its day; `p->there` where both went well. False: memory is out, or a day does not do (said). */
static bool drive_sized(const sizing *z, state at, evn_paying *p)
{
    evn_days_progress *steps = z->steps;
    evn_report *aside = evn_report_new();
    if (!aside)
        return false;
    p->there = false;
    steps->span *= 0.8;
    bool sized = size_battery(z, at, p, aside);
    steps->from += steps->span;
    steps->span *= 0.25;
    if (steps->stopped)
        p->status = "interrupted";
    if (!sized && !steps->stopped) /* what was found of a size that does is told with its day */
        evn_days_hand_on(aside, z->of->who[z->k].name, z->report);
    evn_report_free(aside);
    if (!sized || steps->stopped)
        return true;
    evn_sized_truck_make(&p->sized, z->of->who[z->k].truck, p->size, p->kg_per_kwh);
    return evn_days_drive(z->of, z->k, &p->sized.truck, z->duty, p, steps, z->report);
}

/* ------------------------------------------------------------------------------------------------ its own state */

/* The worst state to which a battery comes that was driven new. */
static state worst_of(const sizing *z, const evn_bought *bought, const evn_use *use)
{
    evn_account a;
    evn_account_ask ask = z->own->ask;
    ask.bought = bought;
    ask.use = use;
    evn_account_of(&ask, &a);
    return (state){a.lowest_capacity, a.lowest_after};
}

/* The same of one that is larger by as much as another capacity asks for, from what was driven: the day takes nearly as
 * much of it, and so a share of its charge that goes against its size. */
static state guessed(const sizing *z, const evn_paying *p, double capacity)
{
    evn_use use = p->use;
    double times = p->capacity / capacity;
    use.pack_kwh *= times;
    use.depth /= times;
    return worst_of(z, &p->bought, &use);
}

/* The highest capacity between two at which a battery that is sized for it has so much in its worst year; by halves,
 * for it jumps where a battery is replaced a year later. NAN: none down to the lower. */
static double guess(const sizing *z, const evn_paying *p, double low, double high)
{
    if (guessed(z, p, low).capacity < low)
        return (double)NAN;
    for (int k = 0; k < 40; k++) {
        double middle = 0.5 * (low + high);
        if (guessed(z, p, middle).capacity >= middle)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Of its capacity: how much more than it was sized for it may have in its worst year, what is taken off what is guessed
 * so that it is not less, and the least by which two sizes of a search differ. */
static const double TOLERANCE = 0.002, MARGIN = 0.0002, STEP = 0.0002;
enum { ROUNDS = 8 };

/* What is known of capacities for which it was sized: the highest that suffices, and the lowest that does not. */
typedef struct bounds {
    double low, high;
    evn_paying best; /* of the first */
    bool any;
} bounds;

/* Takes in what came of a round; false: the search is over. */
static bool learn(const sizing *z, bounds *known, const evn_paying *p, state *next)
{
    state is = {0};
    bool suffices = p->there && (is = worst_of(z, &p->bought, &p->use)).capacity >= p->capacity;
    if (suffices) {
        known->best = *p;
        known->best.found_lowest = is.capacity;
        known->any = true;
        known->low = p->capacity;
    } else if (p->there || known->any)
        known->high = p->capacity;
    else
        known->low = p->capacity; /* no size does: it has to be a better state, if one is known to be too good */
    if ((suffices && is.capacity - p->capacity <= TOLERANCE) || known->high - known->low < 2 * STEP)
        return false;
    double to = p->there ? guess(z, p, known->low, fmin(known->high, 1)) - MARGIN : (double)NAN;
    if (isnan(to) && p->there && !known->any)
        return false; /* it ages the faster, however large it is */
    if (isnan(to) || !(to > known->low && to < known->high))
        to = 0.5 * (known->low + fmin(known->high, 1));
    *next = (state){to, p->there ? guessed(z, p, to).years : next->years};
    return p->there || known->high <= 1; /* where none does in the first state, none does in a worse one */
}

bool evn_days_size(const evn_payback_of *of, size_t k, const evn_duty_file *duty, const evn_paying *own, evn_paying *p,
                   evn_days_progress *steps, evn_report *report)
{
    const sizing z = {of, k, duty, own, steps, report};
    bounds known = {.low = LEAST_CAPACITY, .high = 2};
    state next = {fmax(own->account.lowest_capacity, LEAST_CAPACITY), own->account.lowest_after};
    double from = steps->from, span = steps->span;
    bool room = true, on = true;
    for (int round = 0; room && on && round < ROUNDS && !steps->stopped; round++) {
        steps->from = from;
        steps->span = 0.5 * span;
        from += steps->span;
        span -= steps->span;
        room = drive_sized(&z, next, p);
        on = room && !steps->stopped && learn(&z, &known, p, &next);
    }
    if (!room || steps->stopped)
        return room;
    if (known.any) {
        *p = known.best;
        evn_sized_truck_make(&p->sized, of->who[k].truck, p->size, p->kg_per_kwh);
        return true;
    }
    p->there = false;
    p->status = "no_battery";
    evn_days_say_not_finished(of->who[k].name, "has no battery of another size that does the day", p->status, report);
    return true;
}
