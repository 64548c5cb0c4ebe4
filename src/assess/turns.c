/*
 * What would turn a fail, or the choice: the smallest change of one datum, the rest as it is, found by asking the same
 * judge again between where it is and where it is turned.
 */
#include "assess/assess.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "core/root.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double EVEN = 1e-6; /* trucks alike have nothing between them that would turn it */
enum { HALVINGS = 14, PATH = 200 };
static const double LEAST_KM_H = 1;  /* of a ride */
static const double DEARER_MOST = 5; /* times what energy costs */
static const double RATIO_MOST = 2;  /* a factor on all gears beyond that is another gearbox */

typedef struct turning {
    evn_assessment *of;
    const evn_assess_of *from;
    size_t truck, demand;
    evn_demand_kind kind;
    evn_stand_ask ask;
    evn_truck_file *copy; /* whose gears are changed */
    evn_report *aside;
} turning;

static void add_both(turning *t, const char *datum, const char *unit, double from, double to, double to_pass)
{
    evn_assessment *a = t->of;
    if (a->turns < EVN_ASSESS_TURNS_MOST)
        a->turn[a->turns++] =
            (evn_assess_turn){t->truck, t->demand, SIZE_MAX, datum, unit, from, to, (double)NAN, to_pass};
}

/* Where it was looked for up to here, and not found. */
static void add_none(turning *t, const char *datum, const char *unit, double from, double reach)
{
    evn_assessment *a = t->of;
    if (a->turns < EVN_ASSESS_TURNS_MOST)
        a->turn[a->turns++] =
            (evn_assess_turn){t->truck, t->demand, SIZE_MAX, datum, unit, from, (double)NAN, reach, (double)NAN};
}

static void add(turning *t, const char *datum, const char *unit, double from, double to)
{
    add_both(t, datum, unit, from, to, (double)NAN);
}

/* What may be demanded for a pass: the value less how sure it is, and less the spare. NAN: none. */
static double surely_kept(const evn_assessed *is, double u)
{
    double share = is->spare / fabs(is->demanded);
    if (is->at_most)
        return share < 1 ? fmax(is->value + u, is->value / (1 - share)) : (double)NAN;
    return fmin(is->value - u, is->value / (1 + share));
}

/* What a pass leaves beyond the demand, as sure as the value is now; of rules in proportion, as margin_of. */
static double beyond(const turning *t)
{
    const evn_assess_cell *c = evn_assess_cell_of(t->of, t->truck, t->demand);
    double more = fmax(c->spread.half_width.worse, c->is.spare);
    return t->kind == EVN_DEMAND_RULES ? more / fabs(c->is.demanded) : more;
}

/* ------------------------------------------------------------------------------------------------ what stands */

/* Below 0: not kept; by all that is demanded and more where it cannot at all. Of rules in proportion to the limit: from
 * where it is to where it is turned another clause, in another unit, may be the least kept. */
static double margin_of(turning *t)
{
    evn_found found[EVN_DEMAND_KINDS] = {{0}};
    const evn_found *f = &found[t->kind];
    bool known = evn_stand(&t->ask, t->copy, found, t->aside) && f->known;
    if (!known || isnan(f->margin))
        return -2 * (1 + fabs(f->demanded));
    return t->kind == EVN_DEMAND_RULES ? f->margin / fabs(f->demanded) : f->margin;
}

typedef void set_datum(turning *, double);

typedef struct asking {
    turning *turning;
    set_datum *set;
    double beyond; /* the margin that is wanted */
} asking;

static double margin_at(void *self, double x)
{
    asking *a = self;
    a->set(a->turning, x);
    return margin_of(a->turning) - a->beyond;
}

/* The place nearest to `is` at which it is kept with so much beyond, towards `end`; NAN: not even there. */
static double turned(turning *t, set_datum *set, double is, double end, double beyond)
{
    asking a = {t, set, beyond};
    evn_known missed = {is, margin_at(&a, is)}, kept = {end, margin_at(&a, end)};
    evn_between how = {.tolerance = 1e-4 * fabs(missed.error), .x_tolerance = 1e-5, .steps = HALVINGS};
    double to =
        kept.error >= 0 && missed.error < 0 ? evn_root_short_of(margin_at, &a, kept, missed, &how).x : (double)NAN;
    set(t, is);
    return to;
}

static void set_payload(turning *t, double kg) { t->ask.payload_kg = kg; }
static void set_speed(turning *t, double km_h) { t->ask.ground.speed_km_h = km_h; }
static void set_rut(turning *t, double mm) { t->ask.ground.rut_mm = mm; }

static void scale_gears(turning *t, double factor)
{
    const evn_truck_file *own = t->from->who[t->truck].truck;
    for (size_t u = 0; u < own->drive_units.count; u++) {
        char path[PATH];
        evn_named is, of;
        snprintf(path, sizeof path, "drive_units.%.120s.gearbox.ratios", own->drive_units.name[u]);
        if (!evn_numbers_named(&evn_truck_object, own, path, &is, t->aside) ||
            !evn_numbers_named(&evn_truck_object, t->copy, path, &of, t->aside))
            continue;
        for (size_t k = 0; k < is.count; k++)
            of.at[k] = is.at[k] * factor;
    }
}

static bool hangs_on_payload(evn_demand_kind k)
{
    return (k >= EVN_DEMAND_STEEPEST_START && k <= EVN_DEMAND_TRACK) || k == EVN_DEMAND_SHAKEN || k == EVN_DEMAND_RULES;
}

static bool hangs_on_gears(evn_demand_kind k) { return k >= EVN_DEMAND_STEEPEST_START && k <= EVN_DEMAND_CLIMB; }

typedef struct way { /* by which it may turn: of what, from where it is to the end of its range */
    set_datum *set;
    const char *datum, *unit;
    double is, end;
} way;

static bool turn_by(turning *t, const way *w)
{
    double to = turned(t, w->set, w->is, w->end, 0);
    if (!isnan(to))
        add_both(t, w->datum, w->unit, w->is, to, turned(t, w->set, w->is, w->end, beyond(t)));
    return !isnan(to);
}

static void turn_standing(turning *t)
{
    const evn_ground_demands_file *g = &t->ask.ground;
    const way payload = {set_payload, "payload of the day", "kg", t->ask.payload_kg, 0};
    const way ruts = {set_rut, "depth of ruts", "mm", g->rut_mm, 0};
    const way speed = {set_speed, "speed on the track", "km/h", g->speed_km_h, LEAST_KM_H};
    const way shorter = {scale_gears, "ratios of all gears, factor", "", 1, RATIO_MOST};
    const way longer = {scale_gears, "ratios of all gears, factor", "", 1, 1 / RATIO_MOST};
    if (hangs_on_payload(t->kind))
        turn_by(t, &payload);
    if (t->kind == EVN_DEMAND_CLEARANCE && g->rut_mm > 0)
        turn_by(t, &ruts);
    if (t->kind == EVN_DEMAND_SHAKEN && g->speed_km_h > LEAST_KM_H)
        turn_by(t, &speed);
    if (hangs_on_gears(t->kind) && !turn_by(t, &shorter))
        turn_by(t, &longer);
}

/* ------------------------------------------------------------------------------------------------ the day */

/*
 * A day that stops before its end: what it would have drawn to there, as much to the kilometre as until it stopped,
 * against what may be drawn until the reserve is met.
 */
static double lower_of_stopped(const turning *t, const evn_use *u, const evn_assessed *is)
{
    double reserve = 0;
    if (t->kind == EVN_DEMAND_RESERVE_SOC)
        reserve = is->demanded;
    else if (t->kind == EVN_DEMAND_RESERVE_KWH)
        reserve = is->demanded / u->end_kwh;
    double may = u->stopped_drawn - reserve, would = u->stopped_drawn * t->of->day_km / u->stopped_km;
    return 1 - may / would;
}

/* Closed forms: charge goes with energy, and so does the distance to the reserve. */
static void turn_day(turning *t, const evn_assessed *is)
{
    const evn_use *u = &t->of->use[t->truck];
    double by = (double)NAN;
    if (strcmp(u->status, "battery_empty") != 0 && strcmp(u->status, "finished") != 0)
        return; /* less energy moves no truck off that cannot start */
    if (!isnan(u->stopped_km)) {
        by = t->kind == EVN_DEMAND_DISTANCE ? 1 - is->value / is->demanded : lower_of_stopped(t, u, is);
        if (by > 0 && by < 1)
            add(t, "energy of the day, as much to each km, lower by", "%", 0, 100 * by);
        return;
    }
    if (t->kind == EVN_DEMAND_RESERVE_SOC)
        by = -is->margin / u->drawn;
    else if (t->kind == EVN_DEMAND_RESERVE_KWH)
        by = -is->margin / (u->drawn * u->end_kwh);
    else if (t->kind == EVN_DEMAND_DISTANCE)
        by = 1 - is->value / is->demanded;
    if (isfinite(by) && by > 0 && by < 1)
        add(t, "energy of the day, lower by", "%", 0, 100 * by);
}

/* ------------------------------------------------------------------------------------------------ costs */

typedef struct costs {
    evn_account_ask first, other;
    double years; /* NAN: the difference of costs */
} costs;

static double paid_by(const costs *c)
{
    evn_against g;
    evn_account_against(&c->first, &c->other, &g);
    return isnan(g.simple.years) ? (double)INFINITY : g.simple.years;
}

typedef void set_cost(costs *, double);
static void set_km(costs *c, double km) { c->first.annual_km = c->other.annual_km = km; }
static void set_price(costs *c, double more) { c->other.price_more = more; }
static void set_energy_price(costs *c, double f) { c->first.energy_price_factor = c->other.energy_price_factor = f; }

static double paid_at(costs c, set_cost *set, double is, double end)
{
    double kept = end, missed = is;
    set(&c, end);
    if (paid_by(&c) > c.years)
        return (double)NAN;
    for (int k = 0; k < 2 * HALVINGS; k++) {
        double middle = (kept + missed) / 2;
        set(&c, middle);
        if (paid_by(&c) <= c.years)
            kept = middle;
        else
            missed = middle;
    }
    return kept;
}

static const double HOURS_A_YEAR = 24 * 365;

/* What one truck drives in a year that is under way, at stops or charging all day and night; of both the less. */
static double reach_km(const evn_payback *b, size_t truck, size_t other)
{
    const evn_paying *p = b->paying[EVN_PAYBACK_AS_LINEUP];
    double hours = fmax(p[truck].account.hours, p[other].account.hours);
    return hours > 0 ? fmin(b->annual_km * HOURS_A_YEAR / hours, EVN_TURNS_TO_KM) : EVN_TURNS_TO_KM;
}

static void turn_payback(turning *t, const evn_assessed *is)
{
    const evn_payback *b = t->of->payback;
    const evn_paying *p = b->paying[EVN_PAYBACK_AS_LINEUP];
    if (!p[t->truck].held_against)
        return;
    costs c = {p[0].ask, p[t->truck].ask, is->demanded};
    double reach = reach_km(b, t->truck, 0), to = paid_at(c, set_km, b->annual_km, reach);
    if (b->annual_km < reach && !isnan(to))
        add(t, "annual distance", "km", b->annual_km, to);
    else
        add_none(t, "annual distance", "km", b->annual_km, reach);
    double extra = p[t->truck].account.price - p[0].account.price;
    to = paid_at(c, set_price, 0, -p[t->truck].account.price);
    if (!isnan(to))
        add(t, "price more than the first", b->prices->currency, extra, extra + to);
    to = paid_at(c, set_energy_price, 1, DEARER_MOST);
    if (!isnan(to))
        add(t, "price of energy, factor", "", 1, to);
}

/* ------------------------------------------------------------------------------------------------ the choice */

static void add_of_choice(turning *t, size_t demand, size_t about, const evn_assessed *is, double to)
{
    evn_assessment *a = t->of;
    if (a->turns < EVN_ASSESS_TURNS_MOST && isfinite(to) && to > 0)
        a->turn[a->turns++] = (evn_assess_turn){SIZE_MAX,     demand, about,       "demanded", is->what.unit,
                                                is->demanded, to,     (double)NAN, (double)NAN};
}

/* What is demanded where the advised ceases to be it: it passes no longer or, the nearest of those that are marginal,
 * fails. NAN: not of this demand. */
static double lost_at(const turning *t, size_t truck, size_t demand)
{
    const evn_assess_cell *c = evn_assess_cell_of(t->of, truck, demand);
    const evn_assessed *is = &c->is;
    double away = is->at_most ? -1 : 1;
    bool told = is->verdict == EVN_VERDICT_PASS || is->verdict == EVN_VERDICT_MARGINAL;
    if (t->of->kind[demand] == EVN_DEMAND_DAY || (t->of->kind[demand] == EVN_DEMAND_DISTANCE && is->uncertainty == 0))
        return (double)NAN; /* that of the day; where more is demanded it is driven on */
    if (!told || isnan(is->value) || !isnan(is->probability) || t->of->kind[demand] == EVN_DEMAND_RULES)
        return (double)NAN;
    if (t->of->choice.marginal)
        return is->value + away * c->spread.half_width.better;
    return surely_kept(is, c->spread.half_width.worse);
}

/* Of all that is demanded what has to change least, in proportion, for the only one to be it no longer. */
static void turn_only_one(turning *t)
{
    size_t truck = t->of->choice.advised, nearest = SIZE_MAX;
    double least = (double)INFINITY;
    for (size_t k = 0; k < t->of->demands; k++) {
        const evn_assessed *is = &evn_assess_cell_of(t->of, truck, k)->is;
        double share = fabs(lost_at(t, truck, k) / is->demanded - 1);
        if (share > EVEN && share < least) {
            least = share;
            nearest = k;
        }
    }
    if (nearest != SIZE_MAX)
        add_of_choice(t, nearest, truck, &evn_assess_cell_of(t->of, truck, nearest)->is, lost_at(t, truck, nearest));
}

/* The one demand that another does not pass, so that it would be another one to choose; SIZE_MAX: it is not one. */
static size_t only_unpassed(const evn_assessment *a, size_t truck)
{
    size_t found = SIZE_MAX, count = 0;
    for (size_t k = 0; k < a->demands; k++)
        if (evn_assess_cell_of(a, truck, k)->is.verdict > EVN_VERDICT_PASS) {
            found = k;
            count++;
        }
    return count == 1 ? found : SIZE_MAX;
}

/* In how many whole years it has surely paid back; NAN: not in those that are counted. */
static double surely_paid(const evn_assessment *a, size_t truck)
{
    const evn_paying_sure *s = &a->payback->paying[EVN_PAYBACK_AS_LINEUP][truck].sure;
    for (unsigned k = 1; s->draws > 0 && k <= a->payback->years; k++)
        if (s->within[k] >= EVN_ASSESS_SURE)
            return k;
    return (double)NAN;
}

/* Where none passes: at what is demanded of each that is in doubt the nearest passes it. */
static void turn_nearest(turning *t)
{
    size_t truck = t->of->choice.advised;
    for (size_t k = 0; k < t->of->demands; k++) {
        const evn_assess_cell *c = evn_assess_cell_of(t->of, truck, k);
        if (c->is.verdict == EVN_VERDICT_MARGINAL && t->of->kind[k] != EVN_DEMAND_DAY &&
            t->of->kind[k] != EVN_DEMAND_RULES && !isnan(c->is.value) && isnan(c->is.probability))
            add_of_choice(t, k, truck, &c->is, surely_kept(&c->is, c->spread.half_width.worse));
    }
}

/* Who is marginal by one demand alone would pass as well where less were demanded; of a fail its own turns tell. */
static void turn_others(turning *t)
{
    evn_assessment *a = t->of;
    for (size_t k = 0; k < a->count; k++) {
        size_t demand = only_unpassed(a, k);
        if (k == a->choice.advised || demand == SIZE_MAX || a->kind[demand] == EVN_DEMAND_DAY)
            continue;
        const evn_assess_cell *c = evn_assess_cell_of(a, k, demand);
        if (c->is.verdict != EVN_VERDICT_MARGINAL)
            continue;
        double to =
            a->kind[demand] == EVN_DEMAND_PAYBACK ? surely_paid(a, k) : surely_kept(&c->is, c->spread.half_width.worse);
        add_of_choice(t, demand, k, &c->is, to);
    }
}

static void turn_choice(turning *t)
{
    const evn_assess_choice *c = &t->of->choice;
    evn_against g;
    t->truck = t->demand = SIZE_MAX;
    if (c->advised != SIZE_MAX && !c->marginal)
        turn_others(t);
    if (c->advised != SIZE_MAX && c->marginal)
        turn_nearest(t);
    if (c->advised != SIZE_MAX && c->next == SIZE_MAX)
        turn_only_one(t);
    if (c->advised == SIZE_MAX || c->next == SIZE_MAX)
        return;
    if (!c->by_cost) {
        if (c->value < c->next_value * (1 - EVEN))
            add(t, "energy of the next, lower by", "%", 0, 100 * (1 - c->value / c->next_value));
        return;
    }
    const evn_payback *b = t->of->payback;
    const evn_paying *p = b->paying[EVN_PAYBACK_AS_LINEUP];
    evn_account_against(&p[c->next].ask, &p[c->advised].ask, &g);
    double km = (double)NAN, reach = reach_km(b, c->advised, c->next); /* the nearest */
    for (size_t k = 0; k < g.turns_at_km.count && g.turns_at_km.at[k] <= reach; k++)
        if (isnan(km) || fabs(log(g.turns_at_km.at[k] / b->annual_km)) < fabs(log(km / b->annual_km)))
            km = g.turns_at_km.at[k];
    if (c->next_value - c->value <= EVEN * fabs(c->value))
        return;
    if (!isnan(km))
        add(t, "annual distance", "km", b->annual_km, km);
    else
        add_none(t, "annual distance", "km", b->annual_km, reach);
    if (isfinite(g.turns_at_price))
        add(t, "price of the advised more than of the next", b->prices->currency,
            p[c->advised].account.price - p[c->next].account.price, g.turns_at_price);
    if (g.turns_at_energy_price > 0 &&
        g.turns_at_energy_price <= DEARER_MOST * p[c->advised].account.depot_price_per_kwh)
        add(t, "price of energy at the depot", b->prices->currency, p[c->advised].account.depot_price_per_kwh,
            g.turns_at_energy_price);
}

/* ------------------------------------------------------------------------------------------------ all */

/* What is sure, and kept without the spare alone: closed form. */
static void turn_spare(turning *t)
{
    const evn_assessed *is = &evn_assess_cell_of(t->of, t->truck, t->demand)->is;
    double u = isnan(is->uncertainty) ? 0 : is->uncertainty;
    if (is->verdict == EVN_VERDICT_MARGINAL && isnan(is->probability) && is->margin >= u && is->margin < is->spare)
        add(t, "spare that is asked", "%", 100 * is->spare / fabs(is->demanded), 100 * is->margin / fabs(is->demanded));
}

/* Closed form: what the truck can; of years the next whole ones, as the duty takes no others. */
static void turn_demanded(turning *t, const evn_assessed *is)
{
    const evn_assess_cell *c = evn_assess_cell_of(t->of, t->truck, t->demand);
    double to = is->value, to_pass = surely_kept(is, c->spread.half_width.worse);
    if (t->kind == EVN_DEMAND_PAYBACK) {
        to = ceil(to);
        to_pass = (double)NAN;
    }
    add_both(t, "demanded", is->what.unit, is->demanded, to, to_pass > 0 ? to_pass : (double)NAN);
}

static void turn(turning *t)
{
    const evn_demand_row *row = &evn_demand_rows[t->kind];
    const evn_assessed *is = &evn_assess_cell_of(t->of, t->truck, t->demand)->is;
    if (isfinite(is->value) && is->value != 0 && t->kind != EVN_DEMAND_RULES) /* nothing is no demand */
        turn_demanded(t, is);
    evn_assess_stand_ask(t->of, t->from, t->truck, &t->ask);
    t->ask.wanted = 1u << t->kind;
    t->ask.arena = NULL;
    if (row->of == EVN_OF_LIMITS || row->of == EVN_OF_SITE)
        turn_standing(t);
    else if (row->of == EVN_OF_DAY && t->of->use)
        turn_day(t, is);
    else if (row->of == EVN_OF_COSTS && t->of->payback)
        turn_payback(t, is);
}

bool evn_assess_find_turns(evn_assessment *a, const evn_assess_of *of)
{
    turning t = {.of = a, .from = of, .aside = evn_report_new()};
    bool made = t.aside;
    for (size_t i = 0; made && i < a->count; i++) {
        evn_arena *arena = evn_arena_new();
        t.copy = arena ? evn_object_copy(&evn_truck_object, of->who[i].truck, arena) : NULL;
        made = t.copy;
        for (size_t k = 0; made && k < a->demands; k++) {
            t.truck = i;
            t.demand = k;
            t.kind = a->kind[k];
            if (evn_assess_cell_of(a, i, k)->is.verdict == EVN_VERDICT_FAIL)
                turn(&t);
            else
                turn_spare(&t);
        }
        if (arena)
            evn_arena_free(arena);
    }
    if (made)
        turn_choice(&t);
    evn_report_free(t.aside);
    return made;
}
