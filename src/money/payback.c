/* Trucks of a lineup held against its first by what they cost. */
#include "money/payback.h"
#include "core/curve.h"
#include "money/advice.h"
#include "money/days.h"
#include "money/physics.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double ADVISED_KM[] = {60000, 120000, 250000};

/* ------------------------------------------------------------------------------------------------ costs */

static double most_t(const evn_paying *p, size_t count)
{
    double most = 0;
    for (size_t k = 0; k < count; k++)
        most = p[k].there ? fmax(most, p[k].use.may_carry_t) : most;
    return most;
}

/* What is not carried counts against so much. */
static void reckon_against(evn_payback *b, evn_payback_basis basis, double carries_most_t)
{
    evn_paying *p = b->paying[basis];
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
        if (basis == EVN_PAYBACK_LEAST_BATTERY)
            evn_days_price_tries(b, k, carries_most_t);
    }
}

static void reckon(evn_payback *b, evn_payback_basis basis)
{
    reckon_against(b, basis, most_t(b->paying[basis], b->count));
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

static evn_payback *room_for(const char *const *name, const char *const *title, size_t count,
                             const evn_prices_file *prices, const evn_payback_how *how)
{
    evn_arena *arena = evn_arena_new();
    evn_payback *b = arena ? evn_arena_take(arena, sizeof *b) : NULL;
    const char **names = b ? evn_arena_take(arena, 2 * count * sizeof *names) : NULL; /* titles behind them */
    if (names)
        *b = (evn_payback){.arena = arena, .prices = prices, .count = count, .name = names, .title = names + count};
    for (size_t basis = 0; names && basis < EVN_PAYBACK_BASES; basis++) {
        evn_paying *p = evn_arena_take(arena, count * sizeof *p);
        for (size_t k = 0; p && k < count; k++) {
            memset(&p[k], 0, sizeof p[k]);
            p[k].age_years = (double)NAN;
            p[k].status = "not_asked";
            names[k] = name[k];
            names[count + k] = title[k];
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
    static const double least_times = 18; /* as many runs as the trucks as they are */
    size_t seasons = of->duty->seasons.count > 0 ? of->duty->seasons.count : 1;
    double first = (double)(of->count * seasons),
           least = how->only_as_lineup || of->is_cycle ? 0 : least_times * first * (double)evn_days_tries(how);
    double all = first + least + (of->errs ? (double)evn_physics_runs(of->errs, (UINT64_C(1) << of->count) - 1) : 0);
    return (work_shares){first / all, (first + least) / all};
}

static void say_stopped(const char *what, evn_report *report)
{
    evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere, "interrupted; %s", what);
}

static evn_payback *give_up(evn_payback *b, const evn_days_progress *steps, evn_report *report)
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

static bool any_held(const evn_payback *b)
{
    bool any = false;
    for (size_t k = 0; k < b->count; k++)
        any = any || b->paying[EVN_PAYBACK_AS_LINEUP][k].held_against;
    return any;
}

static void say_not_driven(const evn_payback *b, evn_report *report)
{
    evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
            "how far energies may be off was not looked for, and none of its runs driven: nothing is held against %s, "
            "the first, %s",
            b->title[0],
            b->paying[EVN_PAYBACK_AS_LINEUP][0].there ? "since no other truck has costs" : "which has no costs");
}

/* Data of the trucks that err, for draws. False: said; stopped, the answer is partial. */
static bool find_physics(evn_payback *b, const evn_payback_of *of, const evn_payback_how *how, evn_days_progress *steps,
                         double share, evn_report *report)
{
    evn_runs_how runs = {.threads = how->threads, .self = steps, .go_on = evn_days_go_on};
    uint64_t trucks = 0;
    if (!of->errs || steps->stopped)
        return true;
    if (!any_held(b)) {
        say_not_driven(b, report);
        return true;
    }
    steps->from = share;
    steps->span = 1 - share;
    for (size_t k = 0; k < b->count; k++)
        trucks |= (uint64_t)b->paying[EVN_PAYBACK_AS_LINEUP][k].there << k;
    b->physics = evn_physics_find(of, trucks, &runs, b->arena, report);
    return b->physics || steps->stopped;
}

static bool put_figures(evn_payback *b)
{
    for (size_t basis = 0; basis < EVN_PAYBACK_BASES; basis++) {
        b->ranked[basis] = evn_money_rank(b, (evn_payback_basis)basis, b->annual_km);
        for (size_t k = 0; k < b->count; k++)
            if (!evn_payback_figures(b, k, (evn_payback_basis)basis))
                return false;
    }
    return true;
}

/* Draws and figures of what is there. False when memory is out, or as evn_payback_draw. */
static bool put_answers(evn_payback *b, const evn_payback_how *how, evn_report *report)
{
    for (size_t basis = 0; how->draws > 0 && !b->partial && basis < EVN_PAYBACK_BASES; basis++)
        if (!evn_payback_draw(b, (evn_payback_basis)basis, how, report))
            return false;
    return put_figures(b);
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

/* Other charging stops are of a day that has some. */
static bool tries_fit(const evn_payback *b, const evn_payback_how *how, evn_report *report)
{
    if (evn_days_tries(how) == 1 || b->stops > 0)
        return true;
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
            "longer stops or other powers of them, and '%.80s' has no stop that charges; expected a duty with one",
            b->duty);
    return false;
}

evn_payback *evn_payback_make(const evn_payback_of *of, const evn_payback_how *how, evn_report *report)
{
    evn_days_progress steps = {.how = how};
    bool both = !how->only_as_lineup;
    work_shares share = shares_of(of, how);
    const char *names[EVN_LINEUP_MOST];
    for (size_t k = 0; k < of->count; k++)
        names[k] = of->who[k].name;
    if (!base_prices_fit(names, of->count, of->prices, of->places, report) || !all_have_prices(of, report) ||
        !evn_prices_uncertain_fit(of->prices, of->places, report))
        return give_up(NULL, &steps, report);
    evn_payback *b = room_for(names, of->title, of->count, of->prices, how);
    if (!b || !put_duty(b, of->duty->name, of->duty->working_days_per_year) || !put_stops(b, of, report) ||
        !tries_fit(b, how, report) || !evn_days_as_lineup(b, of, &steps, share.as_lineup, report) ||
        (steps.stopped && !may_be_told(b)))
        return give_up(b, &steps, report);
    if (!stops_have_prices(b, of->places, report) || !has_distance(b, how, report))
        return give_up(b, &steps, report);
    put_distance(b, how);
    put_advised(b);
    if (steps.stopped)
        mark_stopped(b, EVN_PAYBACK_AS_LINEUP);
    reckon(b, EVN_PAYBACK_AS_LINEUP);
    if (both && !evn_days_least(b, of, &steps, share.as_lineup, share.least, report))
        return give_up(b, &steps, report);
    if (both && steps.stopped)
        mark_stopped(b, EVN_PAYBACK_LEAST_BATTERY);
    reckon(b, EVN_PAYBACK_LEAST_BATTERY);
    if (!find_physics(b, of, how, &steps, share.least, report))
        return give_up(b, &steps, report);
    b->partial = steps.stopped;
    evn_payback_say_unusual(b, report);
    if (b->partial)
        say_stopped("the accounts of trucks that had come to the end of their day are told", report);
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

/* What was found of trucks and days, without what followed from prices. False when memory is out. */
static bool take_over(evn_payback *b, evn_paying *p, const evn_paying *driven)
{
    for (size_t k = 0; k < b->count; k++) {
        size_t bytes = driven[k].try_count * sizeof *driven[k].tries;
        p[k] = driven[k];
        p[k].tries = bytes > 0 ? evn_arena_take(b->arena, bytes) : NULL; /* what they cost is its own */
        if (bytes > 0 && !p[k].tries)
            return false;
        if (bytes > 0)
            memcpy(p[k].tries, driven[k].tries, bytes);
        p[k].held_against = false;
        memset(&p[k].sure, 0, sizeof p[k].sure);
        memset(&p[k].figures, 0, sizeof p[k].figures);
    }
    return true;
}

/* The least battery is another one where law, years or distance leave it another capacity than that it was found with.
 */
static void leave_out_aged(evn_payback *b)
{
    evn_paying *least = b->paying[EVN_PAYBACK_LEAST_BATTERY];
    for (size_t k = 0; k < b->count; k++) {
        if (!least[k].there || least[k].account.lowest_capacity == least[k].found_lowest)
            continue;
        least[k].there = false;
        least[k].status = "not_asked";
    }
}

evn_payback *evn_payback_remake(const evn_payback *driven, const evn_prices_file *prices,
                                const evn_price_places *places, const evn_payback_how *how, evn_report *report)
{
    evn_days_progress none = {.how = how};
    if (!bought_have_prices(driven, prices, places, report) || !evn_prices_uncertain_fit(prices, places, report))
        return give_up(NULL, &none, report);
    evn_payback *b = room_for(driven->name, driven->title, driven->count, prices, how);
    if (!b || !put_duty(b, driven->duty, driven->working_days_per_year))
        return give_up(b, &none, report);
    for (size_t basis = 0; basis < (how->only_as_lineup ? 1 : EVN_PAYBACK_BASES); basis++)
        if (!take_over(b, b->paying[basis], driven->paying[basis]))
            return give_up(b, &none, report);
    b->physics = how->physics ? driven->physics : NULL;
    b->stop = driven->stop;
    b->stops = driven->stops;
    if (!stops_have_prices(b, places, report) || !has_distance(b, how, report))
        return give_up(b, &none, report);
    put_distance(b, how);
    put_advised(b);
    reckon(b, EVN_PAYBACK_AS_LINEUP);
    reckon(b, EVN_PAYBACK_LEAST_BATTERY);
    leave_out_aged(b);
    reckon(b, EVN_PAYBACK_LEAST_BATTERY);
    b->partial = driven->partial;
    evn_payback_say_unusual(b, report);
    return put_answers(b, how, report) ? b : give_up(b, &none, report);
}

/* The same trucks and days at a distance, of which nothing is reckoned yet. NULL when memory is out. */
static evn_payback *copy_of(const evn_payback *is, double annual_km)
{
    const evn_payback_how how = {.annual_km = annual_km, .years = is->years};
    evn_payback *b = room_for(is->name, is->title, is->count, is->prices, &how);
    bool there = b && put_duty(b, is->duty, is->working_days_per_year);
    for (size_t basis = 0; there && basis < EVN_PAYBACK_BASES; basis++)
        there = take_over(b, b->paying[basis], is->paying[basis]);
    if (!there) {
        if (b)
            evn_arena_free(b->arena);
        return NULL;
    }
    b->stop = is->stop;
    b->stops = is->stops;
    b->partial = is->partial;
    put_distance(b, &how);
    put_advised(b);
    return b;
}

static evn_payback *with_figures(evn_payback *b, evn_report *report)
{
    const evn_days_progress none = {.how = NULL};
    return b && put_figures(b) ? b : give_up(b, &none, report);
}

evn_payback *evn_payback_move(const evn_payback *is, double annual_km, evn_report *report)
{
    evn_payback *b = copy_of(is, annual_km);
    for (size_t basis = 0; b && basis < EVN_PAYBACK_BASES; basis++)
        reckon(b, (evn_payback_basis)basis);
    return with_figures(b, report);
}

evn_payback *evn_payback_stopped(const evn_payback *is, size_t truck, size_t tried, evn_report *report)
{
    const evn_paying *as_is = &is->paying[EVN_PAYBACK_LEAST_BATTERY][truck];
    evn_payback *b = copy_of(is, is->annual_km);
    if (b) {
        evn_paying *p = &b->paying[EVN_PAYBACK_LEAST_BATTERY][truck];
        evn_payback_try *tries = p->tries;
        *p = as_is->driven[tried];
        p->tries = tries;
        p->driven = as_is->driven;
        p->try_count = as_is->try_count;
        p->chosen = tried;
        b->annual_km_from = is->annual_km_from;
        reckon(b, EVN_PAYBACK_AS_LINEUP);
        reckon_against(b, EVN_PAYBACK_LEAST_BATTERY, as_is->ask.may_carry_most_t);
    }
    return with_figures(b, report);
}
