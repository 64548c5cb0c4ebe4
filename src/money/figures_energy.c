/* Figures of the day driven and of the energy that it takes. */
#include "money/figures.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Of the ways of stopping that were tried for the least battery, that of least cost per km. */
static void put_chosen_stops(const evn_figures_filling *f)
{
    static const char from[] = "of the ways of stopping that were tried, that of least cost per km";
    const evn_paying *p = f->p;
    if (p->try_count == 0)
        return;
    evn_figure_given(f, "stops.longer_min", (evn_figure_told){"min", "charging stops longer than stated by", 0},
                     p->tries[p->chosen].longer_min, from);
    if (!isnan(p->tries[p->chosen].connector_kw))
        evn_figure_given(f, "stops.connector_kw", (evn_figure_told){"kW", "connector of charging stops", 0},
                         p->tries[p->chosen].connector_kw, from);
}

void evn_figures_of_day(const evn_figures_filling *f)
{
    static const char driven[] = "the day driven, mean of its seasons by their shares";
    const evn_use *u = &f->p->use;
    const evn_figure_told kwh = {"kWh", "", 1};
    const struct {
        const char *key;
        evn_figure_told as;
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
        evn_figure_given(f, rows[k].key, rows[k].as, rows[k].value, rows[k].from);
    put_chosen_stops(f);
    if (isnan(f->p->age_years))
        return;
    evn_figure_given(
        f, "battery.sized_at_years", (evn_figure_told){"a", "age of the battery for its size", 1}, f->p->age_years,
        f->p->ages_by_law
            ? "years after which the prices' ageing leaves it that capacity, which the battery's file does not state"
            : "years of the battery's own file at which it has that capacity");
    evn_figure_given(
        f, "battery.sized_at_capacity",
        (evn_figure_told){"", "share of its capacity for which its size is looked for", 3}, f->p->capacity,
        "found with the size: battery.capacity_lowest is not less, and by 0.002 more at most but where it jumps");
}

/* What the lineup gave it, and what the duty demands of it. */
void evn_figures_of_asked(const evn_figures_filling *f)
{
    const evn_equalised *e = &f->p->given;
    char key[EVN_FIGURE_KEY], label[EVN_FIGURE_KEY];
    if (!isnan(e->payload_kg))
        evn_figure_given(f, "equal.payload_kg", (evn_figure_told){"kg", "payload given to be equal in gross mass", 0},
                         e->payload_kg, "the lineup's equal");
    if (e->torque_scale != 1)
        evn_figure_given(f, "equal.torque_scale",
                         (evn_figure_told){"", "torque of its motors, to be equal in power", 4}, e->torque_scale,
                         "the lineup's equal");
    for (size_t k = 0; k < f->p->use.demanded.count; k++) {
        const evn_day_demand *d = &f->p->use.demanded.demand[k];
        snprintf(key, sizeof key, "demand.%.40s", d->what.key);
        bool no_further = strcmp(d->what.key, "distance_km") == 0 && d->value == d->demanded;
        evn_figure_given(f, key, (evn_figure_told){d->what.unit, d->what.label, 3}, d->value,
                         no_further ? "the day driven on from its beginning as far as is demanded, and no further"
                                    : "the day driven, in the season in which it keeps what is demanded the least");
        snprintf(key, sizeof key, "demanded.%.40s", d->what.key);
        snprintf(label, sizeof label, "%.60s demanded", d->what.label);
        evn_figure_given(f, key, (evn_figure_told){d->what.unit, label, 3}, d->demanded, "demands of the duty");
    }
}

static void put_place(const evn_figures_filling *f, const char *name, const evn_charging_place_file *p, double price)
{
    char key[EVN_FIGURE_KEY], from[EVN_FIGURE_KEY];
    snprintf(key, sizeof key, "energy.%s.price", name);
    snprintf(from, sizeof from, "energy.%s of the prices%s", name,
             p->tariff ? ", mean of its tariff over the hours of charging" : "");
    evn_figure_given(f, key, (evn_figure_told){f->per_kwh, "price of energy", 4}, price, from);
    snprintf(key, sizeof key, "prices.%s.charger_efficiency", name);
    snprintf(from, sizeof from, "energy.%s.charger_efficiency of the prices", name);
    evn_figure_given(f, key, (evn_figure_told){"", "efficiency of the charger", 3}, p->charger_efficiency, from);
}

/* A stop that states the efficiency of its charger keeps it; the prices' is for all others. */
static void put_from_grid_at_stops(const evn_figures_filling *f)
{
    static const evn_figure_told told = {"kWh", "from the grid at stops", 1};
    const evn_use *u = &f->p->use;
    double kwh = f->p->account.stops_day_kwh;
    if (u->charged_unstated_kwh == 0) {
        evn_figure_given(f, "energy.stops.day_kwh", told, kwh,
                         "the day driven, with the efficiency of the duty's chargers");
        return;
    }
    if (u->charged_from_grid_kwh == 0) {
        evn_figure_by(f, "energy.stops.day_kwh", told, kwh, "{day.charged_kwh} / {prices.stops.charger_efficiency}");
        return;
    }
    evn_figure_given(f, "day.charged_from_grid_kwh",
                     (evn_figure_told){"kWh", "from the grid at stops that state an efficiency", 1},
                     u->charged_from_grid_kwh, "the day driven, with the efficiency of the duty's chargers");
    evn_figure_given(f, "day.charged_unstated_kwh",
                     (evn_figure_told){"kWh", "charged at stops that state no efficiency", 1}, u->charged_unstated_kwh,
                     "the day driven, mean of its seasons by their shares");
    evn_figure_by(f, "energy.stops.day_kwh", told, kwh,
                  "{day.charged_from_grid_kwh} + {day.charged_unstated_kwh} / {prices.stops.charger_efficiency}");
}

void evn_figures_of_energy(const evn_figures_filling *f)
{
    const evn_account *a = &f->p->account;
    const evn_use *u = &f->p->use;
    const evn_charging_place_file *depot = f->prices->energy->depot, *stops = f->prices->energy->stops;
    evn_figure_by(f, "days", (evn_figure_told){"1/a", "days a year", 1}, a->days, "{annual_km} / {day.km}");
    put_place(f, "depot", depot, a->depot_price_per_kwh);
    if (isnan(depot->connector_kw))
        evn_figure_given(f, "energy.pack_efficiency",
                         (evn_figure_told){"", "efficiency of charging within the battery", 4}, a->pack_efficiency,
                         "1: energy.depot.connector_kw of the prices is not given");
    else {
        evn_figure_given(f, "prices.depot.connector_kw", (evn_figure_told){"kW", "power at the depot", 0},
                         depot->connector_kw, "energy.depot.connector_kw of the prices");
        evn_figure_by(f, "energy.pack_efficiency",
                      (evn_figure_told){"", "efficiency of charging within the battery", 4}, a->pack_efficiency,
                      "2 / (1 + (1 + 4 * {battery.ohm} * {prices.depot.connector_kw} * 1000 / {battery.v}^2)^0.5)");
    }
    if (u->surplus_kwh > 0)
        evn_figure_given(f, "day.surplus_kwh",
                         (evn_figure_told){"kWh", "stored at stops beyond what the day took, not paid back", 1},
                         u->surplus_kwh, "the day driven, mean of its seasons by their shares, of those that have any");
    evn_figure_by(
        f, "energy.depot.day_kwh", (evn_figure_told){"kWh", "from the grid at the depot", 1}, a->depot_day_kwh,
        u->surplus_kwh > 0 ? "({day.battery_kwh} - {day.stored_kwh} + {day.surplus_kwh}) / ({energy.pack_efficiency} * "
                             "{prices.depot.charger_efficiency})"
                           : "({day.battery_kwh} - {day.stored_kwh}) / ({energy.pack_efficiency} * "
                             "{prices.depot.charger_efficiency})");
    if (u->charged_kwh == 0)
        evn_figure_given(f, "energy.stops.day_kwh", (evn_figure_told){"kWh", "from the grid at stops", 1}, 0,
                         "no stop charges");
    else {
        put_place(f, "stops", stops, a->stops_price_per_kwh);
        put_from_grid_at_stops(f);
    }
    evn_figure_by(f, "year.energy", (evn_figure_told){f->money, "energy", 0}, a->energy,
                  u->charged_kwh == 0
                      ? "{days} * {energy.depot.day_kwh} * {energy.depot.price}"
                      : "{days} * ({energy.depot.day_kwh} * {energy.depot.price} + {energy.stops.day_kwh} * "
                        "{energy.stops.price})");
    evn_figure_by(f, "energy.kwh_per_km", (evn_figure_told){"kWh/km", "energy from the grid", 4},
                  (a->depot_day_kwh + a->stops_day_kwh) / u->km,
                  "({energy.depot.day_kwh} + {energy.stops.day_kwh}) / {day.km}");
    evn_figure_given(f, "prices.depot.charging_h", (evn_figure_told){"h", "hours of charging a day", 1},
                     evn_place_hours(depot), "energy.depot.charging_from_h and charging_to_h of the prices");
    evn_figure_given(f, "prices.depot.demand_charge", (evn_figure_told){f->per_kw_year, "demand charge", 2},
                     depot->demand_charge_per_kw_year * evn_exchange_rate(f->prices, depot->currency),
                     "energy.depot.demand_charge_per_kw_year of the prices");
    evn_figure_by(f, "energy.demand_kw", (evn_figure_told){"kW", "power from the grid at the depot", 1}, a->demand_kw,
                  a->demand_kw > 0
                      ? "{day.worst_depot_kwh} / ({energy.pack_efficiency} * {prices.depot.charger_efficiency}) / "
                        "{prices.depot.charging_h}"
                      : "0");
    evn_figure_by(f, "year.demand", (evn_figure_told){f->money, "demand charge", 0}, a->demand,
                  "{energy.demand_kw} * {prices.depot.demand_charge}");
}
