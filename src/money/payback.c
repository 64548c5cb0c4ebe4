/* Trucks of a lineup held against its first by what they cost. */
#include "money/payback.h"
#include "core/curve.h"
#include "duty/range.h"
#include "duty/reach.h"
#include "money/physics.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double ADVISED_KM[] = {60000, 120000, 250000};

/* ------------------------------------------------------------------------------------------------ progress */

typedef struct progress {
    const evn_payback_how *how;
    double from, span; /* of the whole */
    bool stopped;
} progress;

static bool go_on(void *self, double share)
{
    progress *p = self;
    if (p->how->go_on && !p->how->go_on(p->how->self, fmin(p->from + p->span * share, 1)))
        p->stopped = true;
    return !p->stopped;
}

/* ------------------------------------------------------------------------------------------------ findings */

/* What was found of one truck, with its name before it; warnings of runs are told by the commands that drive. */
static void hand_on(const evn_report *aside, const char *truck, evn_report *report)
{
    evn_finding f;
    for (size_t k = 0; evn_report_at(aside, k, &f); k++) {
        if (f.severity != EVN_ERROR)
            continue;
        evn_spot at = evn_nowhere, used_from = evn_nowhere;
        if (f.file)
            at = (evn_spot){evn_report_file(report, f.file), f.line, f.column};
        evn_say(report, evn_fault_named(f.fault), at, used_from, "%s: %s", truck, f.text);
    }
}

static void say_not_finished(const char *truck, const char *what, const char *status, evn_report *report)
{
    evn_say(report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere, "%s %s: %s; there are no costs of it", truck,
            what, status);
}

/* ------------------------------------------------------------------------------------------------ days */

static bool drive_day(const evn_payback_of *of, size_t k, const evn_truck_file *t, evn_paying *p, progress *steps,
                      size_t threads, evn_report *report)
{
    evn_day_how how = {.threads = threads, .self = steps, .go_on = go_on};
    evn_conditions ask = *of->ask;
    evn_report *aside = evn_report_new();
    if (!aside)
        return false;
    p->given = of->given[k];
    if (!isnan(p->given.payload_kg))
        ask.load_case.payload_kg = p->given.payload_kg;
    evn_bought_of(t, &p->bought);
    bool found = evn_use_find(t, of->duty, &ask, &how, &p->use, aside);
    if (!steps->stopped)
        hand_on(aside, of->who[k].name, report);
    evn_report_free(aside);
    p->status = steps->stopped ? "interrupted" : p->use.status;
    p->there = found && strcmp(p->status, "finished") == 0;
    if (!p->there && !steps->stopped)
        say_not_finished(of->who[k].name, "does not come to the end of its day", p->status, report);
    return true;
}

/* ------------------------------------------------------------------------------------------------ least battery */

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

/* The least capacity that a battery of the truck as it is has in these years. */
static double least_capacity(const evn_paying *p)
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
    p->capacity = least_capacity(own);
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

/* The size of the battery that does the day; false: there is none, and why. */
static bool size_battery(const evn_payback_of *of, size_t k, const evn_paying *own, evn_paying *p, progress *steps,
                         size_t threads, evn_report *report)
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
                         .threads = threads,
                         .self = steps,
                         .go_on = go_on};
    evn_range *range = evn_range_make(old, of->duty, of->ask, &how, report);
    bool found = evn_range_pack_of(range, &pack) && pack.found;
    if (found)
        evn_sized_truck_make(&p->sized, t, pack.size, pack.kg_per_kwh);
    evn_range_free(range);
    return found;
}

static bool drive_sized(const evn_payback_of *of, size_t k, const evn_paying *own, evn_paying *p, progress *steps,
                        size_t threads, evn_report *report)
{
    if (!own->there) {
        p->status = own->status;
        return true;
    }
    evn_report *aside = evn_report_new();
    if (!aside)
        return false;
    steps->span *= 0.8;
    bool sized = size_battery(of, k, own, p, steps, threads, aside);
    steps->from += steps->span;
    steps->span *= 0.25;
    if (steps->stopped)
        p->status = "interrupted";
    if (!sized && !steps->stopped) { /* what was found of a size that does is told with its day */
        hand_on(aside, of->who[k].name, report);
        say_not_finished(of->who[k].name, "has no battery of another size that does the day", p->status, report);
    }
    evn_report_free(aside);
    return !sized || steps->stopped || drive_day(of, k, &p->sized.truck, p, steps, threads, report);
}

/* ------------------------------------------------------------------------------------------------ costs */

static double most_t(const evn_paying *p, size_t count)
{
    double most = 0;
    for (size_t k = 0; k < count; k++)
        most = p[k].there ? fmax(most, p[k].use.may_carry_t) : most;
    return most;
}

static void reckon(evn_payback *b, evn_payback_basis basis)
{
    evn_paying *p = b->paying[basis];
    double carries_most_t = most_t(p, b->count);
    for (size_t k = 0; k < b->count; k++) {
        p[k].ask = (evn_account_ask){.prices = b->prices,
                                     .name = b->name[k],
                                     .bought = &p[k].bought,
                                     .use = &p[k].use,
                                     .annual_km = b->annual_km,
                                     .years = b->years,
                                     .may_carry_most_t = carries_most_t,
                                     .energy_price_factor = 1};
        if (p[k].there)
            evn_account_of(&p[k].ask, &p[k].account);
        p[k].held_against = k > 0 && p[k].there && p[0].there;
        if (p[k].held_against)
            evn_account_against(&p[0].ask, &p[k].ask, &p[k].against);
    }
}

void evn_payback_at_km(const evn_payback *b, size_t truck, evn_payback_basis basis, double annual_km, evn_account *out)
{
    evn_account_ask ask = b->paying[basis][truck].ask;
    ask.annual_km = annual_km;
    evn_account_of(&ask, out);
}

/* ------------------------------------------------------------------------------------------------ warnings */

static const char *const basis_names[EVN_PAYBACK_BASES] = {"with its own battery", "with the least battery"};

static void say_battery(const evn_payback *b, size_t k, evn_payback_basis basis, evn_report *report)
{
    static const double TOLD = 0.005; /* as shares are told */
    const evn_paying *p = &b->paying[basis][k];
    if (p->account.years_to_replacement < 1)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: a battery lasts %.2g years, so that it takes %u more in %u years; a sound design lasts some",
                b->name[k], basis_names[basis], p->account.years_to_replacement, p->account.replacements, b->years);
    if (p->use.surplus_kwh > 0)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: stops charge %.1f kWh a day more than it takes, which are paid for and of no use to the depot; "
                "it does not end its day as it began",
                b->name[k], basis_names[basis], p->use.surplus_kwh);
    if (!isnan(p->age_years) && least_capacity(p) < p->capacity - TOLD)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: it comes down to %.1f %% of its capacity, and its size was looked for with %.1f %%, to which "
                "the truck's own battery comes; it may not do its day at the end",
                b->name[k], basis_names[basis], 100 * least_capacity(p), 100 * p->capacity);
}

static void say_unusual(const evn_payback *b, evn_report *report)
{
    for (size_t basis = 0; basis < EVN_PAYBACK_BASES; basis++)
        for (size_t k = 0; k < b->count; k++)
            if (b->paying[basis][k].there)
                say_battery(b, k, (evn_payback_basis)basis, report);
}

/* ------------------------------------------------------------------------------------------------ the field */

double evn_payback_field_km(size_t distance) { return 20000.0 * (double)(distance + 1); }

double evn_payback_field_factor(size_t price) { return 0.25 * (double)(price + 1); }

evn_account_ask evn_payback_ask_in_field(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t distance,
                                         size_t price)
{
    evn_account_ask ask = b->paying[basis][truck].ask;
    ask.annual_km = evn_payback_field_km(distance);
    ask.energy_price_factor = evn_payback_field_factor(price);
    return ask;
}

/* ------------------------------------------------------------------------------------------------ what is asked */

/* Charging at stops needs its price, and its efficiency where the duty states none. */
static bool stops_have_prices(const evn_payback *b, const evn_price_places *places, evn_report *report)
{
    for (size_t k = 0; k < b->count; k++) {
        const evn_paying *p = &b->paying[EVN_PAYBACK_AS_LINEUP][k];
        if (!p->there || p->use.charged_kwh == 0 || b->prices->energy->stops)
            continue;
        evn_prices_say(places, "energy.stops", EVN_FAULT_MISSING_KEY, report,
                       "no price of energy at stops, and the duty '%.80s' charges at such; expected energy.stops",
                       b->duty);
        return false;
    }
    return true;
}

static void put_distance(evn_payback *b, const evn_payback_how *how)
{
    const evn_prices_file *p = b->prices;
    double days = b->working_days_per_year, km = b->paying[EVN_PAYBACK_AS_LINEUP][0].use.km;
    b->annual_km_from = "asked for";
    b->annual_km = how->annual_km;
    if (!(b->annual_km > 0)) {
        b->annual_km = p->annual_km;
        b->annual_km_from = "annual_km of the prices";
        b->km_errs = !isnan(p->annual_km);
    }
    if (isnan(b->annual_km)) {
        b->annual_km = (isnan(days) ? p->working_days_per_year : days) * km;
        b->annual_km_from = isnan(days) ? "working_days_per_year of the prices times the first truck's day"
                                        : "working_days_per_year of the duty times the first truck's day";
    }
}

static int compare(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return a < b ? -1 : a > b;
}

static void put_advised(evn_payback *b)
{
    b->advised_km[b->advised++] = b->annual_km;
    for (size_t k = 0; k < sizeof ADVISED_KM / sizeof *ADVISED_KM; k++)
        if (ADVISED_KM[k] != b->annual_km)
            b->advised_km[b->advised++] = ADVISED_KM[k];
    qsort(b->advised_km, b->advised, sizeof *b->advised_km, compare);
}

static bool all_have_prices(const evn_payback_of *of, evn_report *report)
{
    bool all = true;
    evn_bought *bought = malloc(sizeof *bought);
    if (!bought)
        return false;
    for (size_t k = 0; k < of->count; k++) {
        evn_bought_of(of->who[k].truck, bought);
        all = evn_bought_has_prices(bought, of->who[k].name, of->prices, of->places, report) && all;
    }
    free(bought);
    return all;
}

/* Base prices of trucks that the lineup does not have are mistyped. */
static bool base_prices_fit(const char *const *names, size_t count, const evn_prices_file *prices,
                            const evn_price_places *places, evn_report *report)
{
    const evn_numbers *b = &prices->base_prices;
    char path[120];
    for (size_t k = 0; k < b->count; k++) {
        bool known = false;
        for (size_t i = 0; i < count; i++)
            known = known || strcmp(names[i], b->name[k]) == 0;
        if (known)
            continue;
        const char *nearest = evn_nearest(b->name[k], names, count);
        snprintf(path, sizeof path, "base_prices.%.80s", b->name[k]);
        evn_prices_say(places, path, EVN_FAULT_DISAGREES, report,
                       "base price of '%.60s', which is no truck of the lineup; expected the name of one%s%.60s",
                       b->name[k], nearest ? ", nearest is " : "", nearest ? nearest : "");
        return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ stopped */

/* What was not come to when the work was stopped; what is whole stays. */
static void mark_stopped(evn_payback *b, evn_payback_basis basis)
{
    for (size_t k = 0; k < b->count; k++)
        if (strcmp(b->paying[basis][k].status, "not_asked") == 0)
            b->paying[basis][k].status = "interrupted";
}

/* Something is there that can be told. */
static bool may_be_told(const evn_payback *b)
{
    for (size_t k = 0; k < b->count; k++)
        if (b->paying[EVN_PAYBACK_AS_LINEUP][k].there)
            return true;
    return false;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static evn_payback *room_for(const char *const *name, size_t count, const evn_prices_file *prices,
                             const evn_payback_how *how)
{
    evn_arena *arena = evn_arena_new();
    evn_payback *b = arena ? evn_arena_take(arena, sizeof *b) : NULL;
    const char **names = b ? evn_arena_take(arena, count * sizeof *names) : NULL;
    if (names)
        *b = (evn_payback){.arena = arena, .prices = prices, .count = count, .name = names};
    for (size_t basis = 0; names && basis < EVN_PAYBACK_BASES; basis++) {
        evn_paying *p = evn_arena_take(arena, count * sizeof *p);
        for (size_t k = 0; p && k < count; k++) {
            memset(&p[k], 0, sizeof p[k]);
            p[k].age_years = (double)NAN;
            p[k].status = "not_asked";
            names[k] = name[k];
        }
        names = p ? names : NULL;
        b->paying[basis] = p;
    }
    if (!names) {
        if (arena)
            evn_arena_free(arena);
        return NULL;
    }
    b->years = how->years > 0 ? how->years : (unsigned)prices->years;
    return b;
}

/* Shares of the work by runs over a day: trucks as they are, least batteries, the physics. */
typedef struct work_shares {
    double as_lineup, least; /* done behind them */
} work_shares;

static work_shares shares_of(const evn_payback_of *of, const evn_payback_how *how)
{
    static const double least_times = 9; /* as many runs as the trucks as they are */
    size_t seasons = of->duty->seasons.count > 0 ? of->duty->seasons.count : 1;
    double first = (double)(of->count * seasons), least = how->only_as_lineup || of->is_cycle ? 0 : least_times * first;
    double all = first + least + (of->errs ? (double)evn_physics_runs(of->errs, (UINT64_C(1) << of->count) - 1) : 0);
    return (work_shares){first / all, (first + least) / all};
}

static bool drive_as_lineup(evn_payback *b, const evn_payback_of *of, const evn_payback_how *how, progress *steps,
                            double share, evn_report *report)
{
    bool room = true;
    for (size_t k = 0; room && k < b->count && !steps->stopped; k++) {
        steps->from = share * (double)k / (double)b->count;
        steps->span = share / (double)b->count;
        room = drive_day(of, k, of->who[k].truck, &b->paying[EVN_PAYBACK_AS_LINEUP][k], steps, how->threads, report);
    }
    return room;
}

static bool drive_least(evn_payback *b, const evn_payback_of *of, const evn_payback_how *how, progress *steps,
                        const work_shares *share, evn_report *report)
{
    double span = share->least - share->as_lineup;
    bool room = true;
    for (size_t k = 0; room && k < b->count && !steps->stopped; k++) {
        evn_paying *p = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k];
        steps->from = share->as_lineup + span * (double)k / (double)b->count;
        steps->span = span / (double)b->count;
        if (of->is_cycle)
            p->status = "a_cycle";
        else
            room = drive_sized(of, k, &b->paying[EVN_PAYBACK_AS_LINEUP][k], p, steps, how->threads, report);
    }
    return room;
}

static void say_stopped(const char *what, evn_report *report)
{
    evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere, "interrupted; %s", what);
}

static evn_payback *give_up(evn_payback *b, const progress *steps, evn_report *report)
{
    if (steps->stopped)
        say_stopped("no truck had come to the end of its day", report);
    else if (evn_report_errors(report) == 0)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out working out costs");
    if (b)
        evn_arena_free(b->arena);
    return NULL;
}

static bool has_distance(const evn_payback *b, const evn_payback_how *how, evn_report *report)
{
    if (b->paying[EVN_PAYBACK_AS_LINEUP][0].there || !isnan(b->prices->annual_km) || how->annual_km > 0)
        return true;
    evn_say(report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere,
            "no distance a year, since the first truck does not come to the end of its day; expected annual_km");
    return false;
}

/* Data of the trucks that err, for draws. False: said; stopped, the answer is partial. */
static bool find_physics(evn_payback *b, const evn_payback_of *of, const evn_payback_how *how, progress *steps,
                         double share, evn_report *report)
{
    evn_runs_how runs = {.threads = how->threads, .self = steps, .go_on = go_on};
    uint64_t trucks = 0;
    if (!of->errs || steps->stopped)
        return true;
    steps->from = share;
    steps->span = 1 - share;
    for (size_t k = 0; k < b->count; k++)
        trucks |= (uint64_t)b->paying[EVN_PAYBACK_AS_LINEUP][k].there << k;
    b->physics = evn_physics_find(of, trucks, &runs, b->arena, report);
    return b->physics || steps->stopped;
}

/* Draws and figures of what is there. False when memory is out, or as evn_payback_draw. */
static bool put_answers(evn_payback *b, const evn_payback_how *how, evn_report *report)
{
    for (size_t basis = 0; how->draws > 0 && !b->partial && basis < EVN_PAYBACK_BASES; basis++)
        if (!evn_payback_draw(b, (evn_payback_basis)basis, how, report))
            return false;
    for (size_t basis = 0; basis < EVN_PAYBACK_BASES; basis++)
        for (size_t k = 0; k < b->count; k++)
            if (!evn_payback_figures(b, k, (evn_payback_basis)basis))
                return false;
    return true;
}

/* A name that lives as long as the answer. False when memory is out. */
static bool put_duty(evn_payback *b, const char *name, double working_days_per_year)
{
    b->duty = evn_arena_text(b->arena, name, strlen(name));
    b->working_days_per_year = working_days_per_year;
    return b->duty;
}

static bool put_stop(evn_payback *b, const evn_stop_file *s, const evn_standing *is)
{
    for (size_t k = 0; k < b->stops; k++)
        if (strcmp(b->stop[k].name, s->name) == 0 && b->stop[k].connector_kw == s->charging->connector_kw) {
            b->stop[k].times++;
            return true;
        }
    char *name = evn_arena_text(b->arena, s->name, strlen(s->name));
    b->stop[b->stops++] =
        (evn_payback_stop){.name = name,
                           .times = 1,
                           .duration_min = isfinite(is->duration_s) ? is->duration_s / 60 : (double)NAN,
                           .connector_kw = s->charging->connector_kw,
                           .until_soc = s->charging->until_soc};
    return name;
}

/* Those that charge, of the day of the first truck. False when memory is out (or said). */
static bool put_stops(evn_payback *b, const evn_payback_of *of, evn_report *report)
{
    const evn_contender *first = &of->who[0];
    double asked = of->ask->load_case.payload_kg;
    evn_day_plan plan;
    evn_arena *arena = evn_arena_new();
    bool made = arena && evn_day_plan_make(&plan, of->duty, isnan(asked) ? first->truck->payload->mass_kg : asked,
                                           arena, report);
    if (made)
        b->stop = evn_arena_take(b->arena, (plan.count + 1) * sizeof *b->stop);
    made = made && b->stop;
    for (size_t k = 0; made && k < plan.count; k++)
        if (plan.of[k].stop && plan.of[k].stop->charging)
            made = put_stop(b, plan.of[k].stop, &plan.phase[k].standing);
    if (arena)
        evn_arena_free(arena);
    return made;
}

evn_payback *evn_payback_make(const evn_payback_of *of, const evn_payback_how *how, evn_report *report)
{
    progress steps = {.how = how};
    bool both = !how->only_as_lineup;
    work_shares share = shares_of(of, how);
    const char *names[EVN_LINEUP_MOST];
    for (size_t k = 0; k < of->count; k++)
        names[k] = of->who[k].name;
    if (!base_prices_fit(names, of->count, of->prices, of->places, report) || !all_have_prices(of, report))
        return give_up(NULL, &steps, report);
    evn_payback *b = room_for(names, of->count, of->prices, how);
    if (!b || !put_duty(b, of->duty->name, of->duty->working_days_per_year) || !put_stops(b, of, report) ||
        !drive_as_lineup(b, of, how, &steps, share.as_lineup, report) || (steps.stopped && !may_be_told(b)))
        return give_up(b, &steps, report);
    if (!stops_have_prices(b, of->places, report) || !has_distance(b, how, report))
        return give_up(b, &steps, report);
    put_distance(b, how);
    put_advised(b);
    if (steps.stopped)
        mark_stopped(b, EVN_PAYBACK_AS_LINEUP);
    reckon(b, EVN_PAYBACK_AS_LINEUP);
    if (both && !drive_least(b, of, how, &steps, &share, report))
        return give_up(b, &steps, report);
    if (both && steps.stopped)
        mark_stopped(b, EVN_PAYBACK_LEAST_BATTERY);
    reckon(b, EVN_PAYBACK_LEAST_BATTERY);
    if (!find_physics(b, of, how, &steps, share.least, report))
        return give_up(b, &steps, report);
    b->partial = steps.stopped;
    say_unusual(b, report);
    if (b->partial)
        say_stopped("what was whole by then is there", report);
    if (!put_answers(b, how, report))
        return give_up(b, &steps, report);
    return b;
}

/* ------------------------------------------------------------------------------------------------ once more */

static bool bought_have_prices(const evn_payback *driven, const evn_prices_file *prices, const evn_price_places *places,
                               evn_report *report)
{
    bool all = base_prices_fit(driven->name, driven->count, prices, places, report);
    for (size_t k = 0; k < driven->count; k++)
        all = evn_bought_has_prices(&driven->paying[EVN_PAYBACK_AS_LINEUP][k].bought, driven->name[k], prices, places,
                                    report) &&
              all;
    return all;
}

/* What was found of trucks and days, without what followed from prices. */
static void take_over(evn_paying *p, const evn_paying *driven, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        p[k] = driven[k];
        p[k].held_against = false;
        memset(&p[k].sure, 0, sizeof p[k].sure);
        memset(&p[k].figures, 0, sizeof p[k].figures);
    }
}

/* The least battery is that of another age where the law or the years leave the truck's own another capacity. */
static void leave_out_aged(evn_payback *b)
{
    evn_paying *least = b->paying[EVN_PAYBACK_LEAST_BATTERY];
    for (size_t k = 0; k < b->count; k++) {
        const evn_paying *own = &b->paying[EVN_PAYBACK_AS_LINEUP][k];
        if (!least[k].there || least_capacity(own) == least[k].capacity)
            continue;
        least[k].there = false;
        least[k].status = "not_asked";
    }
}

evn_payback *evn_payback_remake(const evn_payback *driven, const evn_prices_file *prices,
                                const evn_price_places *places, const evn_payback_how *how, evn_report *report)
{
    progress none = {.how = how};
    if (!bought_have_prices(driven, prices, places, report))
        return give_up(NULL, &none, report);
    evn_payback *b = room_for(driven->name, driven->count, prices, how);
    if (!b || !put_duty(b, driven->duty, driven->working_days_per_year))
        return give_up(b, &none, report);
    for (size_t basis = 0; basis < (how->only_as_lineup ? 1 : EVN_PAYBACK_BASES); basis++)
        take_over(b->paying[basis], driven->paying[basis], b->count);
    b->physics = how->physics ? driven->physics : NULL;
    b->stop = driven->stop;
    b->stops = driven->stops;
    if (!stops_have_prices(b, places, report) || !has_distance(b, how, report))
        return give_up(b, &none, report);
    put_distance(b, how);
    put_advised(b);
    reckon(b, EVN_PAYBACK_AS_LINEUP);
    leave_out_aged(b);
    reckon(b, EVN_PAYBACK_LEAST_BATTERY);
    b->partial = driven->partial;
    say_unusual(b, report);
    return put_answers(b, how, report) ? b : give_up(b, &none, report);
}
