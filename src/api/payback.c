/* Prices, and what the dearer truck earns, behind evener/payback.h. */
#include "money/payback.h"
#include "api/erring.h"
#include "api/objects.h"
#include "core/field_number.h"
#include "core/formula.h"
#include "evener/range.h"
#include "evener/uncertainty.h"
#include "lineup/equal.h"
#include "money/advice.h"
#include "money/physics.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include "uncertainty/find.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ prices */

evn_status evn_prices_load(const char *path, evn_prices **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_prices_file *file =
        evn_load_object(path, &evn_prices_for_trucks_object, &(evn_load){0}, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    evn_prices *prices = evn_arena_take(arena, sizeof *prices);
    if (prices) {
        *prices = (evn_prices){arena, file, {values.at, values.count}};
        *out = prices;
    } else {
        evn_arena_free(arena);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out reading %s", path);
    }
    return evn_report_status(report);
}

void evn_prices_free(evn_prices *p)
{
    if (p)
        evn_arena_free(p->arena);
}

const char *evn_prices_name(const evn_prices *p) { return p ? p->file->name : NULL; }

const char *evn_prices_source(const evn_prices *p) { return p ? p->file->source : NULL; }

bool evn_prices_invented(const evn_prices *p) { return p && p->file->invented; }

const char *evn_prices_currency(const evn_prices *p) { return p ? p->file->currency : NULL; }

/* ------------------------------------------------------------------------------------------------ finding */

/* Numbers above 0. */
static bool tries_fit(const char *name, const double *at, size_t count, double most, evn_report *report)
{
    bool fit = count == 0 || (at && count <= EVN_PAYBACK_TRIES_MOST);
    for (size_t k = 0; fit && k < count; k++)
        fit = at[k] > 0 && at[k] <= most;
    if (!fit)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "%s does not fit; expected up to %d numbers above 0, to %g", name, EVN_PAYBACK_TRIES_MOST, most);
    return fit;
}

static bool how_fits(const evn_payback_how *how, evn_report *report)
{
    bool fits = true;
    if (!(how->annual_km == 0 || (how->annual_km >= 100 && how->annual_km <= 1e6))) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "annual_km is %g; expected 100 to 1000000, or 0: as the prices say", how->annual_km);
        fits = false;
    }
    if (how->years > EVN_MONEY_YEARS_MOST) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "years is %u; expected 1 to %d, or 0: as the prices say", how->years, EVN_MONEY_YEARS_MOST);
        fits = false;
    }
    if (how->draws > 0 &&
        (how->draws < EVN_DRAWS_LEAST || how->draws > EVN_DRAWS_MOST || how->draws % EVN_DRAW_GROUPS)) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "draws is %zu; expected %d to %d, a multiple of %d, or 0: none", how->draws, EVN_DRAWS_LEAST,
                EVN_DRAWS_MOST, EVN_DRAW_GROUPS);
        fits = false;
    }
    if (!(how->energy_percent >= 0 && how->energy_percent <= 50)) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "energy_percent is %g; expected 0 to 50",
                how->energy_percent);
        fits = false;
    }
    fits = tries_fit("longer_min", how->longer_min, how->longer_count, 600, report) && fits;
    fits = tries_fit("stop_kw", how->stop_kw, how->power_count, 10000, report) && fits;
    const char *lone = how->physics && how->draws == 0           ? "physics without draws; expected draws too"
                       : how->physics && how->energy_percent > 0 ? "energy_percent beside physics, which finds how far "
                                                                   "energies may be off; expected one of them"
                       : how->beside && !how->physics            ? "uncertainties beside without physics, which they "
                                                                   "are for; expected physics too"
                                                                 : NULL;
    if (lone)
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%s", lone);
    return fits && !lone;
}

/* What the lineup makes its trucks equal in; copies live in the arena. False: said. */
static bool make_equal(const evn_lineup *lineup, evn_payback_of *of, evn_contender who[], evn_equalised given[],
                       evn_arena *arena, evn_report *report)
{
    evn_equal by = evn_lineup_equal(lineup);
    of->given = given;
    return evn_lineup_equal_fits(lineup, by, report) &&
           evn_make_equal(who, of->count, of->ask, by, given, arena, report);
}

/* What of the trucks errs, as they are made equal. False: said. */
static bool gather(const evn_lineup *lineup, const evn_payback_how *how, evn_payback_of *of, evn_data *data,
                   evn_arena *arena, evn_report *report)
{
    evn_erring erring = evn_lineup_erring(lineup, how->beside);
    if (!how->physics)
        return true;
    erring.who = of->who;
    erring.load_case = &of->ask->load_case;
    of->errs = data;
    of->cycle = erring.cycle;
    of->season = evn_lineup_season_place(lineup);
    return evn_data_gather(&erring, arena, data, report) && evn_uncertainty_data_fit(data, report);
}

size_t evn_payback_physics_runs(const evn_lineup *lineup, const evn_uncertainties *beside)
{
    evn_arena *arena = lineup ? evn_arena_new() : NULL;
    evn_report *aside = arena ? evn_report_new() : NULL;
    evn_data data;
    size_t runs = 0;
    if (aside) {
        evn_erring erring = evn_lineup_erring(lineup, beside);
        if (evn_data_gather(&erring, arena, &data, aside))
            runs = evn_physics_runs(&data, (UINT64_C(1) << erring.count) - 1);
    }
    evn_report_free(aside);
    if (arena)
        evn_arena_free(arena);
    return runs;
}

evn_status evn_payback_find(const evn_lineup *lineup, const evn_prices *prices, const evn_conditions *ask,
                            const evn_payback_how *how, evn_payback **out, evn_report *report)
{
    static const evn_payback_how plain = {0};
    evn_contender who[EVN_LINEUP_MOST];
    evn_equalised given[EVN_LINEUP_MOST];
    const char *title[EVN_LINEUP_MOST];
    evn_data data;
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"lineup", lineup}, {"prices", prices}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    bool fits = evn_object_fits(&evn_load_case_object, &ask->load_case, report);
    fits = evn_driving_fits(&ask->driving, report) && fits;
    fits = how_fits(how ? how : &plain, report) && fits;
    evn_payback_of of = {.title = title,
                         .who = who,
                         .count = evn_lineup_truck_count(lineup),
                         .duty = evn_lineup_duty_file(lineup),
                         .prices = prices->file,
                         .places = &prices->places,
                         .ask = ask};
    for (size_t k = 0; k < of.count; k++) {
        title[k] = evn_lineup_truck_title(lineup, k);
        who[k] = (evn_contender){evn_lineup_truck_name(lineup, k), evn_lineup_truck(lineup, k)->file};
    }
    evn_duty *leg = NULL;
    if (!of.duty && fits) {
        of.is_cycle = true;
        fits = evn_duty_of_cycle(evn_lineup_cycle(lineup), &leg, report) == EVN_DONE;
        of.duty = fits ? evn_duty_file_of(leg) : NULL;
    }
    evn_arena *arena = fits ? evn_arena_new() : NULL; /* for as long as trucks are driven */
    if (fits && !arena)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out working out costs");
    if (arena && make_equal(lineup, &of, who, given, arena, report) &&
        gather(lineup, how ? how : &plain, &of, &data, arena, report))
        *out = evn_payback_make(&of, how ? how : &plain, report);
    if (arena)
        evn_arena_free(arena);
    evn_duty_free(leg);
    return evn_report_status(report);
}

evn_status evn_payback_again(const evn_payback *driven, const evn_prices *prices, const evn_payback_how *how,
                             evn_payback **out, evn_report *report)
{
    static const evn_payback_how plain = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"driven", driven}, {"prices", prices}, {"out", out}, {0}}) ||
        !how_fits(how ? how : &plain, report))
        return evn_report_status(report);
    if (how && how->physics && !driven->physics)
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                "draws with the physics of an answer that has none; expected one that was found with it");
    else
        *out = evn_payback_remake(driven, prices->file, &prices->places, how ? how : &plain, report);
    return evn_report_status(report);
}

evn_status evn_payback_at_distance(const evn_payback *driven, double annual_km, evn_payback **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"driven", driven}, {"out", out}, {0}}))
        return evn_report_status(report);
    if (annual_km >= 100 && annual_km <= 1e6)
        *out = evn_payback_move(driven, annual_km, report);
    else
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "annual_km is %g; expected 100 to 1000000",
                annual_km);
    return evn_report_status(report);
}

evn_status evn_payback_with_stops(const evn_payback *driven, size_t truck, size_t tried, evn_payback **out,
                                  evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"driven", driven}, {"out", out}, {0}}))
        return evn_report_status(report);
    const evn_paying *p = truck < driven->count ? &driven->paying[EVN_PAYBACK_LEAST_BATTERY][truck] : NULL;
    if (p && tried < p->try_count && p->driven[tried].there)
        *out = evn_payback_stopped(driven, truck, tried, report);
    else
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "truck %zu with charging stops %zu; expected some that were tried for it and have costs", truck, tried);
    return evn_report_status(report);
}

void evn_payback_free(evn_payback *b)
{
    if (b)
        evn_arena_free(b->arena);
}

/* ------------------------------------------------------------------------------------------------ results */

size_t evn_payback_truck_count(const evn_payback *b) { return b ? b->count : 0; }

double evn_payback_annual_km(const evn_payback *b) { return b ? b->annual_km : (double)NAN; }

unsigned evn_payback_years(const evn_payback *b) { return b ? b->years : 0; }

bool evn_payback_partial(const evn_payback *b) { return b && b->partial; }

static const evn_paying *paying_of(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    return b && truck < b->count && (size_t)basis < EVN_PAYBACK_BASES ? &b->paying[basis][truck] : NULL;
}

const char *evn_payback_status(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    const evn_paying *p = paying_of(b, truck, basis);
    return p ? p->status : NULL;
}

bool evn_payback_stop_at(const evn_payback *b, size_t index, evn_payback_stop *out)
{
    if (!b || !out || index >= b->stops)
        return false;
    *out = b->stop[index];
    return true;
}

bool evn_payback_try_at(const evn_payback *b, size_t truck, size_t index, evn_payback_try *out)
{
    const evn_paying *p = paying_of(b, truck, EVN_PAYBACK_LEAST_BATTERY);
    if (!p || !out || index >= p->try_count)
        return false;
    *out = p->tries[index];
    out->chosen = p->there && index == p->chosen;
    return true;
}

bool evn_payback_equalised(const evn_payback *b, size_t truck, evn_equalised *out)
{
    const evn_paying *p = paying_of(b, truck, EVN_PAYBACK_AS_LINEUP);
    if (!p || !out || p->given.by == EVN_EQUAL_AS_LINEUP)
        return false;
    *out = p->given;
    return true;
}

bool evn_payback_demand_at(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t index,
                           evn_day_demand *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || !out || index >= p->use.demanded.count)
        return false;
    *out = p->use.demanded.demand[index];
    return true;
}

bool evn_payback_meets_demands(const evn_payback *b, size_t truck, evn_payback_basis basis)
{
    const evn_paying *p = paying_of(b, truck, basis);
    return p && p->there && p->use.meets;
}

bool evn_payback_figure_at(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t index,
                           evn_payback_figure *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || !out || index >= p->figures.count)
        return false;
    const evn_money_figure *f = &p->figures.at[index];
    *out = (evn_payback_figure){.what = {.key = f->key,
                                         .unit = f->unit,
                                         .help = f->label,
                                         .kind = EVN_REAL,
                                         .digits = f->digits,
                                         .label = f->label,
                                         .short_label = f->label},
                                .value = f->value,
                                .formula = f->formula,
                                .from = f->from};
    return true;
}

bool evn_payback_get(const evn_payback *b, size_t truck, evn_payback_basis basis, const char *key, double *value)
{
    if (!paying_of(b, truck, basis) || !key || !value)
        return false;
    const evn_money_figure *f = evn_payback_find_figure(b, truck, basis, key, strlen(key));
    if (f)
        *value = f->value;
    return f;
}

/* ------------------------------------------------------------------------------------------------ inputs */

/* The index-th figure that a name or a pattern of a formula stands for. */
static const evn_money_figure *named(const evn_payback *b, size_t truck, evn_payback_basis basis, evn_formula_name name,
                                     size_t index)
{
    const evn_money_figures *f = &b->paying[basis][truck].figures;
    if (!name.many)
        return index == 0 ? evn_payback_find_figure(b, truck, basis, name.text, name.length) : NULL;
    for (size_t k = 0; k < f->count; k++)
        if (evn_formula_fits(name, f->at[k].key) && index-- == 0)
            return &f->at[k];
    return NULL;
}

static bool came_before(const char *formula, size_t index, evn_formula_name name)
{
    evn_formula_name other;
    for (size_t k = 0; k < index && evn_formula_name_at(formula, k, &other); k++)
        if (other.length == name.length && strncmp(other.text, name.text, name.length) == 0)
            return true;
    return false;
}

/* The name as the formula has it, with "first." or "next." where it is another truck's: a figure of the same truck is
 * its own.
 */
static const char *key_of(evn_formula_name name, const evn_money_figure *f, char *room, size_t bytes)
{
    static const char first[] = "first.", next[] = "next.";
    if (name.many ||
        (strncmp(name.text, first, sizeof first - 1) != 0 && strncmp(name.text, next, sizeof next - 1) != 0))
        return f->key;
    size_t length = name.length < bytes - 1 ? name.length : bytes - 1;
    memcpy(room, name.text, length);
    room[length] = '\0';
    return room;
}

bool evn_payback_input_at(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t figure, size_t index,
                          char key[EVN_PAYBACK_KEY_BYTES], double *value)
{
    const evn_paying *p = paying_of(b, truck, basis);
    evn_formula_name name;
    if (!p || figure >= p->figures.count || !p->figures.at[figure].formula || !key || !value)
        return false;
    const char *formula = p->figures.at[figure].formula;
    for (size_t k = 0; evn_formula_name_at(formula, k, &name); k++) {
        const evn_money_figure *f;
        for (size_t i = 0; !came_before(formula, k, name) && (f = named(b, truck, basis, name, i)); i++)
            if (index-- == 0) {
                char room[EVN_PAYBACK_KEY_BYTES];
                const char *text = key_of(name, f, room, sizeof room);
                memmove(key, text, strlen(text) + 1);
                *value = f->value;
                return true;
            }
    }
    return false;
}

/* ------------------------------------------------------------------------------------------------ how sure */

bool evn_payback_sure_of(const evn_payback *b, size_t truck, evn_payback_basis basis, evn_payback_sure *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || p->sure.draws == 0 || !out)
        return false;
    *out = (evn_payback_sure){p->sure.draws, p->sure.low, p->sure.median, p->sure.high, p->sure.pays};
    return true;
}

bool evn_payback_within(const evn_payback *b, size_t truck, evn_payback_basis basis, unsigned years, double *share)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || p->sure.draws == 0 || years > b->years || !share)
        return false;
    *share = p->sure.within[years];
    return true;
}

bool evn_payback_band_at(const evn_payback *b, size_t truck, evn_payback_basis basis, unsigned year,
                         evn_payback_band *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || p->sure.draws == 0 || year > b->years || !out)
        return false;
    *out = p->sure.band[year];
    return true;
}

bool evn_payback_physics_of(const evn_payback *b, evn_payback_physics *out)
{
    if (!b || !b->physics || !out)
        return false;
    *out = b->physics->facts;
    return true;
}

bool evn_payback_energy_of(const evn_payback *b, size_t truck, evn_payback_energy *out)
{
    return b && b->physics && out && evn_physics_energy(b->physics, truck, out);
}

bool evn_payback_cause_at(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t index,
                          evn_payback_cause *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || p->sure.draws == 0 || index >= p->sure.causes || !out)
        return false;
    *out = p->sure.cause[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ advice */

bool evn_payback_advice_at(const evn_payback *b, evn_payback_basis basis, size_t index, evn_payback_advice *out)
{
    return paying_of(b, 0, basis) && index < b->advised && out && evn_money_advise(b, basis, b->advised_km[index], out);
}

static int by_size(const void *left, const void *right)
{
    double a = fabs(((const evn_payback_reason *)left)->per_km), b = fabs(((const evn_payback_reason *)right)->per_km);
    return a < b ? 1 : a > b ? -1 : 0;
}

bool evn_payback_reason_at(const evn_payback *b, evn_payback_basis basis, size_t advice, size_t index,
                           evn_payback_reason *out)
{
    evn_payback_reason all[EVN_COST_COUNT];
    evn_payback_advice is;
    evn_account best, next;
    if (index >= EVN_COST_COUNT || !out || !evn_payback_advice_at(b, basis, advice, &is) || is.next == SIZE_MAX)
        return false;
    evn_payback_at_km(b, is.best, basis, is.annual_km, &best);
    evn_payback_at_km(b, is.next, basis, is.annual_km, &next);
    for (size_t k = 0; k < EVN_COST_COUNT; k++)
        all[k] = (evn_payback_reason){evn_cost_labels[k], next.part_per_km[k] - best.part_per_km[k]};
    qsort(all, EVN_COST_COUNT, sizeof *all, by_size);
    *out = all[index];
    return true;
}

bool evn_payback_turn_at(const evn_payback *b, evn_payback_basis basis, size_t index, size_t truck,
                         evn_payback_turn *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || !p->held_against || index >= b->advised || !out)
        return false;
    evn_account_ask first = b->paying[basis][0].ask, other = p->ask;
    evn_account a, of_first;
    evn_against g;
    first.annual_km = other.annual_km = b->advised_km[index];
    evn_account_of(&first, &of_first);
    evn_account_of(&other, &a);
    evn_account_against(&first, &other, &g);
    *out = (evn_payback_turn){a.per_km,       a.price - of_first.price, g.turns_at_price,
                              g.simple.years, a.depot_price_per_kwh,    g.turns_at_energy_price};
    return true;
}

bool evn_payback_saying_of(const evn_payback *b, size_t truck, evn_payback_basis basis, evn_payback_saying *out)
{
    static const double said_km = 150000; /* common practice, no source */
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || !p->held_against || !out)
        return false;
    evn_account_ask first = b->paying[basis][0].ask, other = p->ask;
    first.annual_km = other.annual_km = said_km;
    *out = (evn_payback_saying){said_km, p->account.price - b->paying[basis][0].account.price,
                                evn_account_price_for(&first, &other, 1), evn_account_price_for(&first, &other, 2)};
    return true;
}

/* ------------------------------------------------------------------------------------------------ the field */

static bool is_in_field(size_t distance, size_t price)
{
    return distance < EVN_PAYBACK_FIELD_DISTANCES && price < EVN_PAYBACK_FIELD_PRICES;
}

static double depot_price(const evn_payback *b) { return evn_place_price(b->prices, b->prices->energy->depot); }

bool evn_payback_cell_at(const evn_payback *b, evn_payback_basis basis, size_t distance, size_t price,
                         evn_payback_cell *out)
{
    if (!paying_of(b, 0, basis) || !is_in_field(distance, price) || !(depot_price(b) > 0) || !out)
        return false;
    *out = (evn_payback_cell){.annual_km = evn_payback_field_km(distance),
                              .energy_price = depot_price(b) * evn_payback_field_factor(price),
                              .best = SIZE_MAX,
                              .per_km = (double)NAN,
                              .hours_a_day = (double)NAN,
                              .trucks = (double)NAN};
    size_t there = 0;
    for (size_t k = 0; k < b->count; k++) {
        evn_account a;
        there += b->paying[basis][k].there;
        if (!evn_money_takes_part(b, k, basis, evn_payback_field_km(distance)))
            continue;
        evn_account_ask ask = evn_payback_ask_in_field(b, k, basis, distance, price);
        evn_account_of(&ask, &a);
        if (out->best == SIZE_MAX || a.per_km < out->per_km) {
            out->alike = out->best != SIZE_MAX && evn_costs_alike(a.per_km, out->per_km);
            out->best = k;
            out->per_km = a.per_km;
            out->hours_a_day = evn_money_hours_a_day(&a);
            out->trucks = evn_money_trucks_for(out->hours_a_day);
            out->battery_short = !evn_money_battery_suffices(b, k, basis, evn_payback_field_km(distance));
        } else {
            out->alike = out->alike || evn_costs_alike(out->per_km, a.per_km);
        }
    }
    return there > 1;
}

/* Over a factor on all prices of energy the cost of a truck is a straight line: between two trucks one factor turns. */
static double takes_over_at(const evn_payback *b, evn_payback_basis basis, size_t distance, size_t from, size_t to)
{
    evn_account_ask first = b->paying[basis][from].ask, other = b->paying[basis][to].ask;
    first.annual_km = other.annual_km = evn_payback_field_km(distance);
    return evn_account_turning_factor(&first, &other);
}

/* Half a step of the prices beyond the first and the last of the field. */
static double half_a_step(void) { return evn_payback_field_factor(0) / 2; }

/* Who costs least at its lower edge. SIZE_MAX: none. */
static size_t least_at_edge(const evn_payback *b, evn_payback_basis basis, size_t distance)
{
    size_t best = SIZE_MAX;
    evn_account a, least = {.per_km = (double)INFINITY};
    for (size_t k = 0; k < b->count; k++) {
        if (!evn_money_takes_part(b, k, basis, evn_payback_field_km(distance)))
            continue;
        evn_account_ask ask = evn_payback_ask_in_field(b, k, basis, distance, 0);
        ask.energy_price_factor -= half_a_step();
        evn_account_of(&ask, &a);
        if (a.per_km < least.per_km) {
            best = k;
            least = a;
        }
    }
    return best;
}

bool evn_payback_border_at(const evn_payback *b, evn_payback_basis basis, size_t distance, size_t index,
                           evn_payback_border *out)
{
    if (!paying_of(b, 0, basis) || !is_in_field(distance, 0) || !(depot_price(b) > 0) || !out)
        return false;
    double from = evn_payback_field_factor(0) - half_a_step();
    double most = evn_payback_field_factor(EVN_PAYBACK_FIELD_PRICES - 1) + half_a_step();
    size_t best = least_at_edge(b, basis, distance);
    for (size_t found = 0; best != SIZE_MAX; found++) { /* along the lowest of all lines, from one to the next */
        double at = (double)INFINITY;
        size_t next = SIZE_MAX;
        for (size_t k = 0; k < b->count; k++) {
            double factor = k == best || !evn_money_takes_part(b, k, basis, evn_payback_field_km(distance))
                                ? (double)NAN
                                : takes_over_at(b, basis, distance, best, k);
            if (factor > from && factor <= most && factor < at) {
                at = factor;
                next = k;
            }
        }
        if (next == SIZE_MAX)
            return false;
        if (found == index) {
            *out = (evn_payback_border){at * depot_price(b), best, next};
            return true;
        }
        from = at;
        best = next;
    }
    return false;
}

bool evn_payback_cell_value(const evn_payback *b, evn_payback_basis basis, size_t distance, size_t price, size_t truck,
                            double *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || !p->held_against || !is_in_field(distance, price) || !(depot_price(b) > 0) || !out)
        return false;
    evn_account_ask first = evn_payback_ask_in_field(b, 0, basis, distance, price);
    evn_account_ask other = evn_payback_ask_in_field(b, truck, basis, distance, price);
    *out = evn_account_value_against(&first, &other);
    return true;
}

bool evn_payback_line_at(const evn_payback *b, evn_payback_basis basis, size_t distance, size_t truck, double *out)
{
    const evn_paying *p = paying_of(b, truck, basis);
    if (!p || !p->held_against || !is_in_field(distance, 0) || !(depot_price(b) > 0) || !out)
        return false;
    evn_account_ask first = b->paying[basis][0].ask, other = p->ask;
    first.annual_km = other.annual_km = evn_payback_field_km(distance);
    *out = evn_account_turning_factor(&first, &other) * depot_price(b);
    return true;
}
