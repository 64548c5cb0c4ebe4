/*
 * Every figure of a truck with what it follows from: formulas that another program can work out again, down to what was
 * driven and to the prices as they are written.
 */
#include "money/payback.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = 96, TEXT = 2000 };

/* What a list is filled from. */
typedef struct filling {
    evn_money_figures *to;
    const evn_prices_file *prices;
    const evn_payback *payback;
    const evn_paying *p;
    const char *money, *per_km, *per_t_km, *per_kwh, *per_kw_year;
} filling;

/* ------------------------------------------------------------------------------------------------ the list */

static const char *kept(evn_money_figures *to, const char *text)
{
    char *copy = text ? evn_arena_text(to->arena, text, strlen(text)) : NULL;
    to->broken = to->broken || (text && !copy);
    return copy;
}

static bool has_room(evn_money_figures *to)
{
    if (to->count < to->room)
        return true;
    size_t room = to->room > 0 ? 2 * to->room : 256;
    evn_money_figure *larger = evn_arena_take(to->arena, room * sizeof *larger);
    to->broken = to->broken || !larger;
    if (!larger)
        return false;
    if (to->count > 0)
        memcpy(larger, to->at, to->count * sizeof *larger);
    to->at = larger;
    to->room = room;
    return true;
}

typedef struct told { /* how a figure is told */
    const char *unit, *label;
    int digits;
} told;

/* One that follows from others by a formula, or from elsewhere; one of both is given. */
static void put(const filling *f, const char *key, told as, double value, const char *formula, const char *from)
{
    if (f->to->broken || !has_room(f->to))
        return;
    f->to->at[f->to->count++] = (evn_money_figure){.key = kept(f->to, key),
                                                   .unit = as.unit,
                                                   .label = kept(f->to, as.label),
                                                   .formula = kept(f->to, formula),
                                                   .from = kept(f->to, from),
                                                   .value = value,
                                                   .digits = as.digits};
}

static void by(const filling *f, const char *key, told as, double value, const char *formula)
{
    put(f, key, as, value, formula, NULL);
}

static void given(const filling *f, const char *key, told as, double value, const char *from)
{
    put(f, key, as, value, NULL, from);
}

/* A text that grows. */
typedef struct line {
    char at[TEXT];
    size_t length;
} line;

__attribute__((format(printf, 2, 3))) static void add(line *l, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    int more = vsnprintf(l->at + l->length, sizeof l->at - l->length, format, values);
    va_end(values);
    if (more > 0 && l->length + (size_t)more < sizeof l->at)
        l->length += (size_t)more;
}

static void add_term(line *l, const char *term) { add(l, "%s%s", l->length > 0 ? " + " : "", term); }

/* ------------------------------------------------------------------------------------------------ price */

static void put_rate(const filling *f, const char *holder, const char *currency)
{
    char key[KEY];
    snprintf(key, sizeof key, "prices.%.60s.exchange_rate", holder);
    if (currency)
        given(f, key, (told){"", "rate of exchange", 4}, evn_exchange_rate(f->prices, currency),
              "exchange_rates of the prices");
}

/* One way of pricing a class, and its term. */
static void put_measure(const filling *f, const char *class, const char *measure, const char *of, double price,
                        line *formula)
{
    char key[KEY], from[KEY], term[2 * KEY];
    if (isnan(price))
        return;
    snprintf(key, sizeof key, "prices.%.40s.%.20s", class, measure);
    snprintf(from, sizeof from, "parts.%.40s.%.20s of the prices", class, measure);
    given(f, key, (told){f->money, "price of parts", 2}, price, from);
    snprintf(term, sizeof term, "{bought.%.40s.%.10s} * {%.90s}", class, of, key);
    add_term(formula, term);
}

static void put_class(const filling *f, evn_part_class of)
{
    const char *class = evn_part_class_names[of];
    const evn_part_price_file *p = f->prices->parts->of[of];
    char key[KEY];
    double count = 0, kw = 0, kwh = 0, kg = 0;
    line formula = {.length = 0};
    for (size_t k = 0; k < f->p->bought.count; k++) {
        const evn_bought_part *part = &f->p->bought.part[k];
        if (part->of != of)
            continue;
        count += 1;
        kw += part->kw;
        kwh += part->kwh;
        kg += part->kg;
    }
    if (count == 0)
        return;
    const struct {
        const char *of, *unit, *label;
        double value;
        int digits;
    } amounts[] = {{"count", "", "pieces", count, 0},
                   {"kw", "kW", "power", kw, 1},
                   {"kwh", "kWh", "energy", kwh, 1},
                   {"kg", "kg", "mass", kg, 0}};
    for (size_t k = 0; k < sizeof amounts / sizeof *amounts; k++) {
        snprintf(key, sizeof key, "bought.%s.%s", class, amounts[k].of);
        if (amounts[k].value > 0)
            given(f, key, (told){amounts[k].unit, amounts[k].label, amounts[k].digits}, amounts[k].value,
                  "the truck's file, all its parts of this class");
    }
    put_measure(f, class, "each", "count", p->each, &formula);
    put_measure(f, class, "per_kw", "kw", p->per_kw > 0 ? p->per_kw : (double)NAN, &formula);
    put_measure(f, class, "per_kwh", "kwh", p->per_kwh > 0 ? p->per_kwh : (double)NAN, &formula);
    put_measure(f, class, "per_kg", "kg", p->per_kg > 0 ? p->per_kg : (double)NAN, &formula);
    put_rate(f, class, p->currency);
    line whole = {.length = 0};
    add(&whole, p->currency ? "(%s) * {prices.%s.exchange_rate}" : "%s", formula.length > 0 ? formula.at : "0", class);
    snprintf(key, sizeof key, "price.%s", class);
    by(f, key, (told){f->money, evn_part_class_names[of], 0}, f->p->account.class_price[of], whole.at);
}

static bool has_class(const filling *f, size_t of)
{
    for (size_t k = 0; k < f->p->bought.count; k++)
        if (f->p->bought.part[k].of == of)
            return true;
    return false;
}

static void put_subsidy(const filling *f)
{
    const evn_subsidy_file *s = f->prices->subsidy;
    const evn_account *a = &f->p->account;
    bool capped = a->subsidy < s->amount + s->percent / 100 * a->price;
    given(f, "prices.subsidy.amount", (told){f->money, "subsidy of a truck", 0}, s->amount,
          "subsidy.amount of the prices");
    given(f, "prices.subsidy.percent", (told){"%", "subsidy of its price", 1}, s->percent,
          "subsidy.percent of the prices");
    if (!isnan(s->most))
        given(f, "prices.subsidy.most", (told){f->money, "subsidy at most", 0}, s->most, "subsidy.most of the prices");
    by(f, "price.subsidy", (told){f->money, "subsidy", 0}, a->subsidy,
       capped ? "{prices.subsidy.most}" : "{prices.subsidy.amount} + {prices.subsidy.percent} / 100 * {price.total}");
}

static void put_price(const filling *f)
{
    const evn_account *a = &f->p->account;
    line drive = {.length = 0};
    char term[KEY];
    given(f, "price.base", (told){f->money, "base", 0}, a->base_price, "base_price or base_prices of the prices");
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++) {
        put_class(f, (evn_part_class)k);
        snprintf(term, sizeof term, "{price.%s}", evn_part_class_names[k]);
        if (has_class(f, k) && k != EVN_CLASS_battery && k != EVN_CLASS_axle)
            add_term(&drive, term);
    }
    by(f, "price.drive", (told){f->money, "drive", 0}, a->drive_price, drive.length > 0 ? drive.at : "0");
    by(f, "price.total", (told){f->money, "price", 0}, a->price,
       "{price.base} + {price.axle} + {price.drive} + {price.battery}");
    given(f, "prices.purchase_tax_percent", (told){"%", "tax on buying", 1}, f->prices->purchase_tax_percent,
          "purchase_tax_percent of the prices");
    by(f, "price.tax", (told){f->money, "tax on buying", 0}, a->tax,
       "{prices.purchase_tax_percent} / 100 * {price.total}");
    put_subsidy(f);
    by(f, "price.invested", (told){f->money, "investment", 0}, a->invested,
       "{price.total} + {price.tax} - {price.subsidy}");
}

/* ------------------------------------------------------------------------------------------------ energy */

static void put_day(const filling *f)
{
    static const char driven[] = "the day driven, mean of its seasons by their shares";
    const evn_use *u = &f->p->use;
    const told kwh = {"kWh", "", 1};
    const struct {
        const char *key;
        told as;
        double value;
        const char *from;
    } rows[] = {
        {"day.km", {"km", "distance of a day", 1}, u->km, driven},
        {"day.h", {"h", "duration of a day", 2}, u->h, driven},
        {"day.t_km", {"t km", "payload times distance of a day", 0}, u->t_km, driven},
        {"day.battery_kwh", {kwh.unit, "net battery energy of a day", 1}, u->battery_kwh, driven},
        {"day.discharged_kwh", {kwh.unit, "discharged in a day", 1}, u->discharged_kwh, driven},
        {"day.charged_kwh", {kwh.unit, "charged at stops", 1}, u->charged_kwh, driven},
        {"day.stored_kwh", {kwh.unit, "charged at stops and stored", 1}, u->stored_kwh, driven},
        {"day.worst_depot_kwh",
         {kwh.unit, "charged at the depot in the worst season, within the battery", 1},
         u->worst_depot_kwh,
         "the day driven, net battery energy less what stops stored, the most of its seasons"},
        {"day.depth",
         {"", "depth of discharge", 3},
         u->depth,
         "the day driven, state of charge at its begin less the lowest, the most of its seasons"},
        {"battery.kwh", {kwh.unit, "battery, new", 1}, u->pack_kwh, "the battery's open-circuit voltage and capacity"},
        {"battery.v", {"V", "mean open-circuit voltage", 1}, u->pack_v, "the battery's energy over its capacity"},
        {"battery.ohm", {"ohm", "resistance of the battery", 4}, u->pack_ohm, "the battery's file"},
        {"masses.kerb_kg", {"kg", "kerb mass", 0}, u->kerb_kg, "the truck's file"},
        {"masses.may_carry_t",
         {"t", "payload that it may carry", 2},
         u->may_carry_t,
         "the most with which no permitted mass of the truck's file is passed"},
        {"masses.may_carry_most_t",
         {"t", "payload that the best of the trucks may carry", 2},
         f->p->ask.may_carry_most_t,
         "the greatest masses.may_carry_t of the trucks on this basis"},
    };
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        given(f, rows[k].key, rows[k].as, rows[k].value, rows[k].from);
    if (!isnan(f->p->age_years))
        given(f, "battery.sized_at_years", (told){"a", "age of the battery for its size", 1}, f->p->age_years,
              "years of the battery's own file at which it has the least capacity that the prices' ageing leaves the "
              "truck's own battery");
}

/* What the lineup gave it, and what the duty demands of it. */
static void put_asked(const filling *f)
{
    const evn_equalised *e = &f->p->given;
    char key[KEY], label[KEY];
    if (!isnan(e->payload_kg))
        given(f, "equal.payload_kg", (told){"kg", "payload given to be equal in gross mass", 0}, e->payload_kg,
              "the lineup's equal");
    if (e->torque_scale != 1)
        given(f, "equal.torque_scale", (told){"", "torque of its motors, to be equal in power", 4}, e->torque_scale,
              "the lineup's equal");
    for (size_t k = 0; k < f->p->use.demanded.count; k++) {
        const evn_day_demand *d = &f->p->use.demanded.demand[k];
        snprintf(key, sizeof key, "demand.%.40s", d->what.key);
        given(f, key, (told){d->what.unit, d->what.label, 3}, d->value,
              "the day driven, in the season in which it keeps what is demanded the least");
        snprintf(key, sizeof key, "demanded.%.40s", d->what.key);
        snprintf(label, sizeof label, "%.60s demanded", d->what.label);
        given(f, key, (told){d->what.unit, label, 3}, d->demanded, "demands of the duty");
    }
}

static void put_place(const filling *f, const char *name, const evn_charging_place_file *p, double price)
{
    char key[KEY], from[KEY];
    snprintf(key, sizeof key, "energy.%s.price", name);
    snprintf(from, sizeof from, "energy.%s of the prices%s", name,
             p->tariff ? ", mean of its tariff over the hours of charging" : "");
    given(f, key, (told){f->per_kwh, "price of energy", 4}, price, from);
    snprintf(key, sizeof key, "prices.%s.charger_efficiency", name);
    snprintf(from, sizeof from, "energy.%s.charger_efficiency of the prices", name);
    given(f, key, (told){"", "efficiency of the charger", 3}, p->charger_efficiency, from);
}

static void put_energy(const filling *f)
{
    const evn_account *a = &f->p->account;
    const evn_use *u = &f->p->use;
    const evn_charging_place_file *depot = f->prices->energy->depot, *stops = f->prices->energy->stops;
    by(f, "days", (told){"1/a", "days a year", 1}, a->days, "{annual_km} / {day.km}");
    put_place(f, "depot", depot, a->depot_price_per_kwh);
    if (isnan(depot->connector_kw))
        given(f, "energy.pack_efficiency", (told){"", "efficiency of charging within the battery", 4},
              a->pack_efficiency, "1: energy.depot.connector_kw of the prices is not given");
    else {
        given(f, "prices.depot.connector_kw", (told){"kW", "power at the depot", 0}, depot->connector_kw,
              "energy.depot.connector_kw of the prices");
        by(f, "energy.pack_efficiency", (told){"", "efficiency of charging within the battery", 4}, a->pack_efficiency,
           "2 / (1 + (1 + 4 * {battery.ohm} * {prices.depot.connector_kw} * 1000 / {battery.v}^2)^0.5)");
    }
    by(f, "energy.depot.day_kwh", (told){"kWh", "from the grid at the depot", 1}, a->depot_day_kwh,
       "({day.battery_kwh} - {day.stored_kwh}) / ({energy.pack_efficiency} * {prices.depot.charger_efficiency})");
    if (u->charged_kwh == 0)
        given(f, "energy.stops.day_kwh", (told){"kWh", "from the grid at stops", 1}, 0, "no stop charges");
    else {
        put_place(f, "stops", stops, a->stops_price_per_kwh);
        if (!isnan(u->charged_from_grid_kwh))
            given(f, "energy.stops.day_kwh", (told){"kWh", "from the grid at stops", 1}, a->stops_day_kwh,
                  "the day driven, with the efficiency of the duty's chargers");
        else
            by(f, "energy.stops.day_kwh", (told){"kWh", "from the grid at stops", 1}, a->stops_day_kwh,
               "{day.charged_kwh} / {prices.stops.charger_efficiency}");
    }
    by(f, "year.energy", (told){f->money, "energy", 0}, a->energy,
       u->charged_kwh == 0 ? "{days} * {energy.depot.day_kwh} * {energy.depot.price}"
                           : "{days} * ({energy.depot.day_kwh} * {energy.depot.price} + {energy.stops.day_kwh} * "
                             "{energy.stops.price})");
    by(f, "energy.kwh_per_km", (told){"kWh/km", "energy from the grid", 4},
       (a->depot_day_kwh + a->stops_day_kwh) / u->km, "({energy.depot.day_kwh} + {energy.stops.day_kwh}) / {day.km}");
    given(f, "prices.depot.charging_h", (told){"h", "hours of charging a day", 1}, evn_place_hours(depot),
          "energy.depot.charging_from_h and charging_to_h of the prices");
    given(f, "prices.depot.demand_charge", (told){f->per_kw_year, "demand charge", 2},
          depot->demand_charge_per_kw_year * evn_exchange_rate(f->prices, depot->currency),
          "energy.depot.demand_charge_per_kw_year of the prices");
    by(f, "energy.demand_kw", (told){"kW", "power from the grid at the depot", 1}, a->demand_kw,
       a->demand_kw > 0 ? "{day.worst_depot_kwh} / ({energy.pack_efficiency} * {prices.depot.charger_efficiency}) / "
                          "{prices.depot.charging_h}"
                        : "0");
    by(f, "year.demand", (told){f->money, "demand charge", 0}, a->demand,
       "{energy.demand_kw} * {prices.depot.demand_charge}");
}

/* ------------------------------------------------------------------------------------------------ a year */

static void put_maintenance(const filling *f)
{
    char key[KEY], term[2 * KEY];
    line formula = {.length = 0};
    given(f, "prices.maintenance_per_km", (told){f->per_km, "maintenance of what all trucks have", 4},
          f->prices->running->maintenance_per_km, "running.maintenance_per_km of the prices");
    add_term(&formula, "{prices.maintenance_per_km}");
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++) {
        const evn_part_price_file *p = f->prices->parts->of[k];
        if (!has_class(f, k) || !p || p->maintenance_per_km == 0)
            continue;
        snprintf(key, sizeof key, "prices.%s.maintenance_per_km", evn_part_class_names[k]);
        given(f, key, (told){f->per_km, "maintenance of a piece", 5},
              p->maintenance_per_km * evn_exchange_rate(f->prices, p->currency), "parts of the prices");
        snprintf(term, sizeof term, "{bought.%s.count} * {%s}", evn_part_class_names[k], key);
        add_term(&formula, term);
    }
    by(f, "maintenance.per_km", (told){f->per_km, "maintenance", 4}, f->p->account.maintenance_per_km, formula.at);
    by(f, "year.maintenance", (told){f->money, "maintenance", 0}, f->p->account.maintenance,
       "{maintenance.per_km} * {annual_km}");
}

static void put_tyres(const filling *f)
{
    char key[KEY], from[KEY], term[4 * KEY];
    line formula = {.length = 0};
    for (size_t k = 0; k < EVN_TYRE_PLACES; k++) {
        const evn_tyre_price_file *p = f->prices->tyres->of[k];
        const char *name = evn_tyre_place_names[k];
        if (!(f->p->bought.tyres[k] > 0) || !p)
            continue;
        snprintf(key, sizeof key, "tyres.%s.count", name);
        given(f, key, (told){"", "tyres", 0}, f->p->bought.tyres[k], "the truck's file");
        snprintf(key, sizeof key, "prices.tyres.%s.each", name);
        snprintf(from, sizeof from, "tyres.%s.each of the prices", name);
        given(f, key, (told){f->money, "price of a tyre", 0}, p->each * evn_exchange_rate(f->prices, p->currency),
              from);
        snprintf(key, sizeof key, "prices.tyres.%s.life_km", name);
        snprintf(from, sizeof from, "tyres.%s.life_km of the prices", name);
        given(f, key, (told){"km", "life of a tyre", 0}, p->life_km, from);
        snprintf(term, sizeof term, "{tyres.%s.count} * {prices.tyres.%s.each} / {prices.tyres.%s.life_km}", name, name,
                 name);
        add_term(&formula, term);
    }
    by(f, "tyres.per_km", (told){f->per_km, "tyres", 4}, f->p->account.tyres_per_km, formula.length ? formula.at : "0");
    by(f, "year.tyres", (told){f->money, "tyres", 0}, f->p->account.tyres, "{tyres.per_km} * {annual_km}");
}

static void put_payload(const filling *f)
{
    const evn_payload_value_file *v = f->prices->payload;
    const evn_account *a = &f->p->account;
    by(f, "payload.lost_t", (told){"t", "payload that it may carry less than the best", 2}, a->lost_t,
       "{masses.may_carry_most_t} - {masses.may_carry_t}");
    if (!v) {
        given(f, "year.payload", (told){f->money, "payload not carried", 0}, 0, "payload of the prices is not given");
        return;
    }
    given(f, "prices.payload.per_t_km", (told){f->per_t_km, "value of payload", 3}, v->per_t_km,
          "payload.per_t_km of the prices");
    given(f, "prices.payload.limited_share", (told){"", "share of the distance limited by mass", 3}, v->limited_share,
          "payload.limited_share of the prices");
    by(f, "year.payload", (told){f->money, "payload not carried", 0}, a->payload,
       "{payload.lost_t} * {prices.payload.limited_share} * {prices.payload.per_t_km} * {annual_km}");
}

static void put_year(const filling *f)
{
    const evn_running_file *r = f->prices->running;
    const evn_account *a = &f->p->account;
    put_maintenance(f);
    put_tyres(f);
    given(f, "prices.insurance_per_year", (told){f->money, "insurance of a truck", 0}, r->insurance_per_year,
          "running.insurance_per_year of the prices");
    given(f, "prices.insurance_percent", (told){"%", "insurance of its price", 2}, r->insurance_percent,
          "running.insurance_percent of the prices");
    by(f, "year.insurance", (told){f->money, "insurance", 0}, a->insurance,
       "{prices.insurance_per_year} + {prices.insurance_percent} / 100 * {price.total}");
    given(f, "year.vehicle_tax", (told){f->money, "vehicle tax", 0}, a->vehicle_tax,
          "running.vehicle_tax_per_year of the prices");
    given(f, "prices.toll_per_km", (told){f->per_km, "toll", 4}, r->toll_per_km, "running.toll_per_km of the prices");
    by(f, "year.toll", (told){f->money, "toll", 0}, a->toll, "{prices.toll_per_km} * {annual_km}");
    given(f, "prices.driver_per_h", (told){f->money, "driver's hour", 2}, r->driver_per_h,
          "running.driver_per_h of the prices");
    by(f, "year.driver", (told){f->money, "driver", 0}, a->driver, "{prices.driver_per_h} * {day.h} * {days}");
    put_payload(f);
    by(f, "year.total", (told){f->money, "costs of a year", 0}, a->yearly,
       "{year.energy} + {year.demand} + {year.maintenance} + {year.tyres} + {year.insurance} + {year.vehicle_tax} + "
       "{year.toll} + {year.driver} + {year.payload}");
}

/* ------------------------------------------------------------------------------------------------ battery */

static void put_ageing(const filling *f)
{
    const evn_cell_ageing_file *g = f->prices->battery_ageing;
    given(f, "prices.ageing.cell_v", (told){"V", "mean voltage of a cell", 2}, g->cell_v,
          "battery_ageing.cell_v of the prices");
    given(f, "prices.ageing.cell_degc", (told){"degC", "mean temperature of cells", 0}, g->cell_degc,
          "battery_ageing.cell_degc of the prices");
    given(f, "prices.ageing.calendar_factor", (told){"", "factor of ageing by time", 2}, g->calendar_factor,
          "battery_ageing.calendar_factor of the prices");
    given(f, "prices.ageing.cycle_factor", (told){"", "factor of ageing by charge", 2}, g->cycle_factor,
          "battery_ageing.cycle_factor of the prices");
    given(f, "prices.ageing.end_share", (told){"", "capacity at which it is replaced", 2}, g->end_share,
          "battery_ageing.end_share of the prices");
    given(f, "ageing.by_time", (told){"", "loss of capacity per day^0.75", 8},
          g->calendar_factor * evn_ageing_by_time(g->cell_v, g->cell_degc),
          "calendar_factor (7.542 cell_v - 23.75) 1e6 exp(-6976 / (cell_degc + 273.15)), Schmalstieg et al. 2014");
    by(f, "ageing.by_charge", (told){"", "loss of capacity per root of Ah of a cell", 8},
       g->cycle_factor * evn_ageing_by_charge(g->cell_v, f->p->use.depth),
       "{prices.ageing.cycle_factor} * (0.007348 * ({prices.ageing.cell_v} - 3.667)^2 + 0.00076 + 0.004081 * "
       "{day.depth})");
    given(f, "battery.years_to_replacement", (told){"a", "life of a battery", 2}, f->p->account.years_to_replacement,
          "years y at which 1 - {ageing.by_time} (365.25 y)^0.75 - {ageing.by_charge} (4.3 {battery.full_cycles} "
          "y)^0.5 is {prices.ageing.end_share}");
}

static void put_battery(const filling *f)
{
    const evn_account *a = &f->p->account;
    const evn_cell_ageing_file *g = f->prices->battery_ageing;
    line capacity = {.length = 0};
    by(f, "battery.full_cycles", (told){"1/a", "full cycles a year", 0}, a->full_cycles,
       "{day.discharged_kwh} / {battery.kwh} * {days}");
    if (g)
        put_ageing(f);
    given(f, "battery.replacements", (told){"", "replacements", 0}, a->replacements,
          g ? "years at whose end a battery is at its end, before the last"
            : "battery_ageing of the prices is not given");
    given(f, "battery.last_replaced", (told){"a", "last replaced at the end of year", 0}, a->last_replaced,
          "the last of them; 0: never");
    add(&capacity, "1 - {ageing.by_time} * (365.25 * ({years} - {battery.last_replaced}))^0.75 - {ageing.by_charge} * "
                   "(4.3 * {battery.full_cycles} * ({years} - {battery.last_replaced}))^0.5");
    by(f, "battery.capacity_end", (told){"", "capacity at the end", 3}, a->capacity_end, g ? capacity.at : "1");
    if (g && !isnan(g->replacement_per_kwh)) {
        given(f, "prices.replacement_per_kwh", (told){f->per_kwh, "price of another battery", 0},
              g->replacement_per_kwh, "battery_ageing.replacement_per_kwh of the prices");
        by(f, "battery.replacement", (told){f->money, "replacement of a battery", 0}, a->replacement,
           "{prices.replacement_per_kwh} * {battery.kwh}");
    } else
        by(f, "battery.replacement", (told){f->money, "replacement of a battery", 0}, a->replacement,
           "{price.battery}");
}

static void put_residual(const filling *f)
{
    const evn_residual_file *r = f->prices->residual;
    const evn_account *a = &f->p->account;
    if (!r) {
        given(f, "residual.truck", (told){f->money, "left of the truck", 0}, 0, "residual of the prices is not given");
        given(f, "residual.battery", (told){f->money, "left of the battery", 0}, 0,
              "residual of the prices is not given");
        return;
    }
    given(f, "prices.residual.truck_loss_percent", (told){"%", "loss of value a year", 1}, r->truck_loss_percent,
          "residual.truck_loss_percent of the prices");
    given(f, "prices.residual.battery_loss_percent", (told){"%", "loss of the battery's value a year", 1},
          r->battery_loss_percent, "residual.battery_loss_percent of the prices");
    by(f, "residual.truck", (told){f->money, "left of the truck", 0}, a->residual_truck,
       "({price.total} - {price.battery}) * (1 - {prices.residual.truck_loss_percent} / 100)^{years}");
    by(f, "residual.battery", (told){f->money, "left of the battery", 0}, a->residual_battery,
       a->last_replaced > 0 ? "{battery.replacement} * (1 - {prices.residual.battery_loss_percent} / 100)^({years} - "
                              "{battery.last_replaced})"
                            : "{price.battery} * (1 - {prices.residual.battery_loss_percent} / 100)^{years}");
}

/* ------------------------------------------------------------------------------------------------ flow */

/* A battery is replaced at the end of that year. */
static bool replaced_in(const evn_account *a, unsigned year)
{
    return year > 0 && a->replacements > 0 && year <= a->last_replaced &&
           year % (a->last_replaced / a->replacements) == 0;
}

static void put_flow(const filling *f)
{
    const evn_account *a = &f->p->account;
    unsigned years = f->payback->years;
    char key[KEY], label[KEY];
    for (unsigned k = 0; k <= years; k++) {
        line formula = {.length = 0};
        add(&formula, "0 - %s", k == 0 ? "{price.invested}" : "{year.total}");
        if (replaced_in(a, k))
            add(&formula, " - {battery.replacement}");
        if (k == years)
            add(&formula, " + {residual.truck} + {residual.battery}");
        snprintf(key, sizeof key, "flow.%u", k);
        snprintf(label, sizeof label, "cash flow of year %u", k);
        by(f, key, (told){f->money, label, 0}, a->flow[k], formula.at);
        formula.length = 0;
        add(&formula, "{flow.%u} / (1 + {interest})^%u", k, k);
        snprintf(key, sizeof key, "present.%u", k);
        snprintf(label, sizeof label, "present value of year %u", k);
        by(f, key, (told){f->money, label, 0}, a->flow[k] * evn_factor_pf(a->rate, k), formula.at);
    }
    by(f, "cost.present", (told){f->money, "present value of all costs", 0}, a->present_cost, "0 - sum{present.*}");
    by(f, "cost.per_km", (told){f->per_km, "cost per km", 4}, a->per_km, "{cost.present} * {factor.ap} / {annual_km}");
    if (!isnan(a->per_t_km))
        by(f, "cost.per_t_km", (told){f->per_t_km, "cost per tonne-kilometre", 5}, a->per_t_km,
           "{cost.per_km} * {day.km} / {day.t_km}");
}

/* ------------------------------------------------------------------------------------------------ breakdown */

static void put_parts(const filling *f)
{
    const evn_account *a = &f->p->account;
    char term[KEY];
    line replaced = {.length = 0};
    double present = 0;
    for (unsigned k = 1; k <= f->payback->years; k++)
        if (replaced_in(a, k)) {
            snprintf(term, sizeof term, "{battery.replacement} / (1 + {interest})^%u", k);
            add_term(&replaced, term);
            present += a->replacement * evn_factor_pf(a->rate, k);
        }
    by(f, "battery.present_replacements", (told){f->money, "present value of replacements", 0}, present,
       replaced.length > 0 ? replaced.at : "0");
    const struct {
        const char *key, *formula;
    } rows[EVN_COST_COUNT] = {
        [EVN_COST_BASE] =
            {"per_km.base",
             "({price.invested} - ({price.drive} + {price.battery}) * {price.invested} / {price.total} - "
             "(1 - {price.drive} / ({price.total} - {price.battery})) * {residual.truck} * {factor.pf}) * "
             "{factor.ap} / {annual_km}"},
        [EVN_COST_DRIVE] = {"per_km.drive",
                            "({price.drive} * {price.invested} / {price.total} - {price.drive} / ({price.total} - "
                            "{price.battery}) * {residual.truck} * {factor.pf}) * {factor.ap} / {annual_km}"},
        [EVN_COST_BATTERY] = {"per_km.battery",
                              "({price.battery} * {price.invested} / {price.total} + {battery.present_replacements} - "
                              "{residual.battery} * {factor.pf}) * {factor.ap} / {annual_km}"},
        [EVN_COST_ENERGY] = {"per_km.energy", "{year.energy} / {annual_km}"},
        [EVN_COST_DEMAND] = {"per_km.demand", "{year.demand} / {annual_km}"},
        [EVN_COST_MAINTENANCE] = {"per_km.maintenance", "{year.maintenance} / {annual_km}"},
        [EVN_COST_TYRES] = {"per_km.tyres", "{year.tyres} / {annual_km}"},
        [EVN_COST_INSURANCE] = {"per_km.insurance", "{year.insurance} / {annual_km}"},
        [EVN_COST_TAX_AND_TOLL] = {"per_km.tax_and_toll", "({year.vehicle_tax} + {year.toll}) / {annual_km}"},
        [EVN_COST_DRIVER] = {"per_km.driver", "{year.driver} / {annual_km}"},
        [EVN_COST_PAYLOAD] = {"per_km.payload", "{year.payload} / {annual_km}"},
    };
    for (size_t k = 0; k < EVN_COST_COUNT; k++)
        by(f, rows[k].key, (told){f->per_km, evn_cost_labels[k], 4}, a->part_per_km[k], rows[k].formula);
}

/* ------------------------------------------------------------------------------------------------ the first */

static void put_extra_flow(const filling *f)
{
    const evn_against *g = &f->p->against;
    double rate = f->p->account.rate, sum = 0, discounted = 0;
    char key[KEY], label[KEY], formula[2 * KEY];
    for (unsigned k = 0; k <= f->payback->years; k++) {
        double present = g->flow[k] * evn_factor_pf(rate, k);
        snprintf(key, sizeof key, "extra.flow.%u", k);
        snprintf(label, sizeof label, "saved in year %u", k);
        snprintf(formula, sizeof formula, "{flow.%u} - {first.flow.%u}", k, k);
        by(f, key, (told){f->money, label, 0}, g->flow[k], formula);
        snprintf(key, sizeof key, "extra.present.%u", k);
        snprintf(label, sizeof label, "its present value, year %u", k);
        snprintf(formula, sizeof formula, "{extra.flow.%u} / (1 + {interest})^%u", k, k);
        by(f, key, (told){f->money, label, 0}, present, formula);
        sum += g->flow[k];
        discounted += present;
        snprintf(key, sizeof key, "extra.sum.%u", k);
        snprintf(label, sizeof label, "saved up to year %u", k);
        if (k == 0)
            snprintf(formula, sizeof formula, "{extra.flow.0}");
        else
            snprintf(formula, sizeof formula, "{extra.sum.%u} + {extra.flow.%u}", k - 1, k);
        by(f, key, (told){f->money, label, 0}, sum, formula);
        snprintf(key, sizeof key, "extra.discounted.%u", k);
        snprintf(label, sizeof label, "discounted, up to year %u", k);
        if (k == 0)
            snprintf(formula, sizeof formula, "{extra.present.0}");
        else
            snprintf(formula, sizeof formula, "{extra.discounted.%u} + {extra.present.%u}", k - 1, k);
        by(f, key, (told){f->money, label, 0}, discounted, formula);
    }
}

static void put_rates(const filling *f)
{
    const evn_rates_of_return *r = &f->p->against.rates;
    char key[KEY], from[2 * KEY];
    given(f, "extra.rates_of_return", (told){"", "rates of return", 0}, (double)r->count,
          "how many rates above -1 there are at which the sum of extra.flow.k / (1 + rate)^k is 0; all are found");
    for (size_t k = 0; k < r->count; k++) {
        snprintf(key, sizeof key, "extra.rate_of_return.%zu", k + 1);
        snprintf(from, sizeof from, "rate at which the sum of extra.flow.k / (1 + rate)^k is 0%s",
                 r->touches[k] ? ", which it only touches" : "");
        given(f, key, (told){"", "rate of return", 4}, r->rate[k], from);
    }
}

/* What the value against the first loses with each unit of price: with tax, subsidy, insurance and what is left. */
static double value_per_price(const filling *f, line *formula)
{
    const evn_prices_file *p = f->prices;
    const evn_account *a = &f->p->account;
    unsigned years = f->payback->years;
    bool capped = a->subsidy < p->subsidy->amount + p->subsidy->percent / 100 * a->price;
    double per =
        1 + p->purchase_tax_percent / 100 + p->running->insurance_percent / 100 * evn_factor_pa(a->rate, years);
    add(formula, "1 + {prices.purchase_tax_percent} / 100 + {prices.insurance_percent} / 100 / {factor.ap}");
    if (!capped) {
        per -= p->subsidy->percent / 100;
        add(formula, " - {prices.subsidy.percent} / 100");
    }
    if (p->residual) {
        per -= pow(1 - p->residual->truck_loss_percent / 100, years) * evn_factor_pf(a->rate, years);
        add(formula, " - (1 - {prices.residual.truck_loss_percent} / 100)^{years} * {factor.pf}");
    }
    return per;
}

static void put_turns(const filling *f, const evn_account *first)
{
    const evn_against *g = &f->p->against;
    const evn_account *a = &f->p->account;
    char key[KEY];
    line formula = {.length = 0};
    double per = value_per_price(f, &formula), line_turns = a->price - first->price + g->present_value / per;
    by(f, "extra.value_per_price", (told){"", "value lost with each unit of price", 4}, per, formula.at);
    if (fabs(line_turns - g->turns_at_price) <= 1e-6 * (1 + fabs(line_turns)))
        by(f, "extra.turns_at_price", (told){f->money, "extra price at which the answer turns", 0}, g->turns_at_price,
           "{extra.price} + {extra.present_value} / {extra.value_per_price}");
    else
        given(f, "extra.turns_at_price", (told){f->money, "extra price at which the answer turns", 0},
              g->turns_at_price,
              "extra price at which extra.present_value is 0, found step by step: the subsidy meets its most between");
    by(f, "extra.present_energy", (told){f->money, "present value of the energy saved", 0},
       (first->energy - a->energy) * evn_factor_pa(a->rate, f->payback->years),
       "({first.year.energy} - {year.energy}) / {factor.ap}");
    by(f, "extra.turns_at_energy_price", (told){f->per_kwh, "price of energy at which it turns", 4},
       g->turns_at_energy_price, "{energy.depot.price} * (1 - {extra.present_value} / {extra.present_energy})");
    given(f, "extra.turns_at_km.count", (told){"", "distances a year at which it turns", 0},
          (double)g->turns_at_km.count, "between 1000 and 400000 km, looked at every 1000 km");
    for (size_t k = 0; k < g->turns_at_km.count; k++) {
        snprintf(key, sizeof key, "extra.turns_at_km.%zu", k + 1);
        given(f, key, (told){"km", "distance a year at which it turns", 0}, g->turns_at_km.at[k],
              g->turns_at_km.jumps[k]
                  ? "annual_km at which extra.present_value jumps over 0, since a battery is replaced once more"
                  : "annual_km at which extra.present_value is 0");
    }
}

/* By which extra price the simple payback would be so many years: of those before the last, which leaves something. */
static void put_price_for(const filling *f, double extra_price, unsigned years)
{
    const evn_prices_file *p = f->prices;
    char key[KEY], label[KEY], formula[4 * KEY];
    double sum = 0, per = 1 + p->purchase_tax_percent / 100 + years * p->running->insurance_percent / 100;
    bool capped = f->p->account.subsidy < p->subsidy->amount + p->subsidy->percent / 100 * f->p->account.price;
    if (years >= f->payback->years)
        return;
    for (unsigned k = 0; k <= years; k++)
        sum += f->p->against.flow[k];
    per -= capped ? 0 : p->subsidy->percent / 100;
    snprintf(key, sizeof key, "extra.price_for_%u", years);
    snprintf(label, sizeof label, "extra price with which it pays back in %u year%s", years, years == 1 ? "" : "s");
    snprintf(formula, sizeof formula,
             "{extra.price} + {extra.sum.%u} / (1 + {prices.purchase_tax_percent} / 100 + %u * "
             "{prices.insurance_percent} / 100%s)",
             years, years, capped ? "" : " - {prices.subsidy.percent} / 100");
    by(f, key, (told){f->money, label, 0}, extra_price + sum / per, formula);
}

static void put_against(const filling *f, const evn_account *first)
{
    const evn_against *g = &f->p->against;
    const evn_account *a = &f->p->account;
    by(f, "extra.price", (told){f->money, "extra price", 0}, a->price - first->price,
       "{price.total} - {first.price.total}");
    by(f, "extra.invested", (told){f->money, "extra investment", 0}, g->invested,
       "{price.invested} - {first.price.invested}");
    by(f, "extra.yearly", (told){f->money, "saved in a year", 0}, first->yearly - a->yearly,
       "{first.year.total} - {year.total}");
    put_extra_flow(f);
    by(f, "extra.present_value", (told){f->money, "net present value", 0}, g->present_value, "sum{extra.present.*}");
    given(f, "extra.payback", (told){"a", "simple payback", 2}, g->simple.years,
          "when extra.sum comes to 0 for good, evenly within a year; none: not within the years");
    given(f, "extra.payback_first", (told){"a", "simple payback, for the first time", 2}, g->simple.first_years,
          "when extra.sum first comes to 0");
    given(f, "extra.discounted_payback", (told){"a", "discounted payback", 2}, g->discounted.years,
          "when extra.discounted comes to 0 for good, evenly within a year; none: not within the years");
    put_rates(f);
    put_price_for(f, a->price - first->price, 1);
    put_price_for(f, a->price - first->price, 2);
    put_turns(f, first);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static const char *unit_of(evn_payback *b, const char *currency, const char *per)
{
    char text[40];
    snprintf(text, sizeof text, "%.12s%s", currency, per);
    return evn_arena_text(b->arena, text, strlen(text));
}

static void put_all(const filling *f)
{
    const evn_payback *b = f->payback;
    double rate = f->p->account.rate;
    given(f, "annual_km", (told){"km", "distance a year", 0}, b->annual_km, b->annual_km_from);
    given(f, "years", (told){"a", "years", 0}, b->years, "asked for, or years of the prices");
    given(f, "interest", (told){"", "interest a year", 4}, rate, "interest_percent of the prices over 100");
    by(f, "factor.pf", (told){"", "P/F over the years", 6}, evn_factor_pf(rate, b->years),
       "(1 + {interest})^(0 - {years})");
    by(f, "factor.ap", (told){"", "A/P over the years", 6}, evn_factor_ap(rate, b->years),
       rate == 0 ? "1 / {years}" : "{interest} / (1 - {factor.pf})");
    put_asked(f);
    put_day(f);
    put_price(f);
    put_energy(f);
    put_year(f);
    put_battery(f);
    put_residual(f);
    put_flow(f);
    put_parts(f);
}

bool evn_payback_figures(evn_payback *b, size_t truck, evn_payback_basis basis)
{
    evn_paying *p = &b->paying[basis][truck];
    const char *currency = b->prices->currency;
    filling f = {&p->figures,
                 b->prices,
                 b,
                 p,
                 unit_of(b, currency, ""),
                 unit_of(b, currency, "/km"),
                 unit_of(b, currency, "/(t km)"),
                 unit_of(b, currency, "/kWh"),
                 unit_of(b, currency, "/(kW a)")};
    if (!p->there)
        return true;
    p->figures = (evn_money_figures){.arena = b->arena,
                                     .broken = !f.money || !f.per_km || !f.per_t_km || !f.per_kwh || !f.per_kw_year};
    put_all(&f);
    if (p->held_against)
        put_against(&f, &b->paying[basis][0].account);
    return !p->figures.broken;
}

const evn_money_figure *evn_payback_find_figure(const evn_payback *b, size_t truck, evn_payback_basis basis,
                                                const char *key, size_t length)
{
    static const char first[] = "first.";
    size_t skipped = sizeof first - 1;
    if (length > skipped && strncmp(key, first, skipped) == 0) {
        key += skipped;
        length -= skipped;
        truck = 0;
    }
    const evn_money_figures *f = &b->paying[basis][truck].figures;
    for (size_t k = 0; k < f->count; k++)
        if (strlen(f->at[k].key) == length && strncmp(f->at[k].key, key, length) == 0)
            return &f->at[k];
    return NULL;
}
