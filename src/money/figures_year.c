/* Figures of a year's costs, of the battery over the years, and of what is left. */
#include "money/figures.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ a year */

static void put_maintenance(const evn_figures_filling *f)
{
    char key[EVN_FIGURE_KEY], term[2 * EVN_FIGURE_KEY];
    evn_figure_line formula = {.length = 0};
    evn_figure_given(f, "prices.maintenance_per_km",
                     (evn_figure_told){f->per_km, "maintenance of what all trucks have", 4},
                     f->prices->running->maintenance_per_km, "running.maintenance_per_km of the prices");
    evn_figure_add_term(&formula, "{prices.maintenance_per_km}");
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++) {
        const evn_part_price_file *p = f->prices->parts->of[k];
        if (!evn_figures_have_class(f, k) || !p || p->maintenance_per_km == 0)
            continue;
        snprintf(key, sizeof key, "prices.%s.maintenance_per_km", evn_part_class_names[k]);
        evn_figure_given(f, key, (evn_figure_told){f->per_km, "maintenance of a piece", 5},
                         p->maintenance_per_km * evn_exchange_rate(f->prices, p->currency), "parts of the prices");
        snprintf(term, sizeof term, "{bought.%s.count} * {%s}", evn_part_class_names[k], key);
        evn_figure_add_term(&formula, term);
    }
    evn_figure_by(f, "maintenance.per_km", (evn_figure_told){f->per_km, "maintenance", 4},
                  f->p->account.maintenance_per_km, formula.at);
    evn_figure_by(f, "year.maintenance", (evn_figure_told){f->money, "maintenance", 0}, f->p->account.maintenance,
                  "{maintenance.per_km} * {annual_km}");
}

static void put_tyres(const evn_figures_filling *f)
{
    char key[EVN_FIGURE_KEY], from[EVN_FIGURE_KEY], term[4 * EVN_FIGURE_KEY];
    evn_figure_line formula = {.length = 0};
    for (size_t k = 0; k < EVN_TYRE_PLACES; k++) {
        const evn_tyre_price_file *p = f->prices->tyres->of[k];
        const char *name = evn_tyre_place_names[k];
        if (!(f->p->bought.tyres[k] > 0) || !p)
            continue;
        snprintf(key, sizeof key, "tyres.%s.count", name);
        evn_figure_given(f, key, (evn_figure_told){"", "tyres", 0}, f->p->bought.tyres[k], "the truck's file");
        snprintf(key, sizeof key, "prices.tyres.%s.each", name);
        snprintf(from, sizeof from, "tyres.%s.each of the prices", name);
        evn_figure_given(f, key, (evn_figure_told){f->money, "price of a tyre", 0},
                         p->each * evn_exchange_rate(f->prices, p->currency), from);
        snprintf(key, sizeof key, "prices.tyres.%s.life_km", name);
        snprintf(from, sizeof from, "tyres.%s.life_km of the prices", name);
        evn_figure_given(f, key, (evn_figure_told){"km", "life of a tyre", 0}, p->life_km, from);
        snprintf(term, sizeof term, "{tyres.%s.count} * {prices.tyres.%s.each} / {prices.tyres.%s.life_km}", name, name,
                 name);
        evn_figure_add_term(&formula, term);
    }
    evn_figure_by(f, "tyres.per_km", (evn_figure_told){f->per_km, "tyres", 4}, f->p->account.tyres_per_km,
                  formula.length ? formula.at : "0");
    evn_figure_by(f, "year.tyres", (evn_figure_told){f->money, "tyres", 0}, f->p->account.tyres,
                  "{tyres.per_km} * {annual_km}");
}

static void put_payload(const evn_figures_filling *f)
{
    const evn_payload_value_file *v = f->prices->payload;
    const evn_account *a = &f->p->account;
    evn_figure_by(f, "payload.lost_t", (evn_figure_told){"t", "payload that it may carry less than the best", 2},
                  a->lost_t, "{masses.may_carry_most_t} - {masses.may_carry_t}");
    if (!v) {
        evn_figure_given(f, "year.payload", (evn_figure_told){f->money, "payload not carried", 0}, 0,
                         "payload of the prices is not given");
        return;
    }
    evn_figure_given(f, "prices.payload.per_t_km", (evn_figure_told){f->per_t_km, "value of payload", 3}, v->per_t_km,
                     "payload.per_t_km of the prices");
    evn_figure_given(f, "prices.payload.limited_share",
                     (evn_figure_told){"", "share of the distance limited by mass", 3}, v->limited_share,
                     "payload.limited_share of the prices");
    evn_figure_by(f, "year.payload", (evn_figure_told){f->money, "payload not carried", 0}, a->payload,
                  "{payload.lost_t} * {prices.payload.limited_share} * {prices.payload.per_t_km} * {annual_km}");
}

void evn_figures_of_year(const evn_figures_filling *f)
{
    const evn_running_file *r = f->prices->running;
    const evn_account *a = &f->p->account;
    put_maintenance(f);
    put_tyres(f);
    evn_figure_given(f, "prices.insurance_per_year", (evn_figure_told){f->money, "insurance of a truck", 0},
                     r->insurance_per_year, "running.insurance_per_year of the prices");
    evn_figure_given(f, "prices.insurance_percent", (evn_figure_told){"%", "insurance of its price", 2},
                     r->insurance_percent, "running.insurance_percent of the prices");
    evn_figure_by(f, "year.insurance", (evn_figure_told){f->money, "insurance", 0}, a->insurance,
                  "{prices.insurance_per_year} + {prices.insurance_percent} / 100 * {price.total}");
    evn_figure_given(f, "year.vehicle_tax", (evn_figure_told){f->money, "vehicle tax", 0}, a->vehicle_tax,
                     "running.vehicle_tax_per_year of the prices");
    evn_figure_given(f, "prices.toll_per_km", (evn_figure_told){f->per_km, "toll", 4}, r->toll_per_km,
                     "running.toll_per_km of the prices");
    evn_figure_by(f, "year.toll", (evn_figure_told){f->money, "toll", 0}, a->toll,
                  "{prices.toll_per_km} * {annual_km}");
    evn_figure_given(f, "prices.driver_per_h", (evn_figure_told){f->money, "driver's hour", 2}, r->driver_per_h,
                     "running.driver_per_h of the prices");
    bool has_power = !isnan(f->prices->energy->depot->connector_kw) && a->depot_day_kwh > 0;
    evn_figure_by(f, "year.hours", (evn_figure_told){"h", "hours of a year, on the road, at stops and charging", 0},
                  a->hours,
                  has_power ? "{days} * ({day.h} + {energy.depot.day_kwh} * {prices.depot.charger_efficiency} / "
                              "{prices.depot.connector_kw})"
                            : "{days} * {day.h}");
    evn_figure_by(f, "year.driver", (evn_figure_told){f->money, "driver", 0}, a->driver,
                  "{prices.driver_per_h} * {day.h} * {days}");
    put_payload(f);
    evn_figure_by(
        f, "year.total", (evn_figure_told){f->money, "costs of a year", 0}, a->yearly,
        "{year.energy} + {year.demand} + {year.maintenance} + {year.tyres} + {year.insurance} + {year.vehicle_tax} + "
        "{year.toll} + {year.driver} + {year.payload}");
}

/* ------------------------------------------------------------------------------------------------ battery */

static void put_ageing(const evn_figures_filling *f)
{
    const evn_cell_ageing_file *g = f->prices->battery_ageing;
    evn_figure_given(f, "prices.ageing.cell_v", (evn_figure_told){"V", "mean voltage of a cell", 2}, g->cell_v,
                     "battery_ageing.cell_v of the prices");
    evn_figure_given(f, "prices.ageing.cell_degc", (evn_figure_told){"degC", "mean temperature of cells", 0},
                     g->cell_degc, "battery_ageing.cell_degc of the prices");
    evn_figure_given(f, "prices.ageing.calendar_factor", (evn_figure_told){"", "factor of ageing by time", 2},
                     g->calendar_factor, "battery_ageing.calendar_factor of the prices");
    evn_figure_given(f, "prices.ageing.cycle_factor", (evn_figure_told){"", "factor of ageing by charge", 2},
                     g->cycle_factor, "battery_ageing.cycle_factor of the prices");
    evn_figure_given(f, "prices.ageing.end_share", (evn_figure_told){"", "capacity at which it is replaced", 2},
                     g->end_share, "battery_ageing.end_share of the prices");
    evn_figure_given(
        f, "ageing.by_time", (evn_figure_told){"", "loss of capacity per day^0.75", 8},
        g->calendar_factor * evn_ageing_by_time(g->cell_v, g->cell_degc),
        "calendar_factor (7.542 cell_v - 23.75) 1e6 exp(-6976 / (cell_degc + 273.15)), Schmalstieg et al. 2014");
    evn_figure_by(
        f, "ageing.by_charge", (evn_figure_told){"", "loss of capacity per root of Ah of a cell", 8},
        g->cycle_factor * evn_ageing_by_charge(g->cell_v, f->p->use.depth),
        "{prices.ageing.cycle_factor} * (0.007348 * ({prices.ageing.cell_v} - 3.667)^2 + 0.00076 + 0.004081 * "
        "{day.depth})");
    evn_figure_given(
        f, "battery.years_to_replacement", (evn_figure_told){"a", "life of a battery", 2},
        f->p->account.years_to_replacement,
        "years y at which 1 - {ageing.by_time} (365.25 y)^0.75 - {ageing.by_charge} (4.3 {battery.full_cycles} "
        "y)^0.5 is {prices.ageing.end_share}");
}

/* What the size of the least battery is held against. */
static void put_lowest(const evn_figures_filling *f)
{
    const evn_account *a = &f->p->account;
    evn_figure_given(f, "battery.lowest_after", (evn_figure_told){"a", "age of the battery at its lowest", 2},
                     a->lowest_after,
                     a->years_to_replacement < 1
                         ? "battery.years_to_replacement, since it goes when it ends"
                         : "the least of years and battery.years_to_replacement rounded up: to the end of that year");
    evn_figure_by(f, "battery.capacity_lowest", (evn_figure_told){"", "capacity at its lowest", 3}, a->lowest_capacity,
                  "1 - {ageing.by_time} * (365.25 * {battery.lowest_after})^0.75 - {ageing.by_charge} * (4.3 * "
                  "{battery.full_cycles} * {battery.lowest_after})^0.5");
}

void evn_figures_of_battery(const evn_figures_filling *f)
{
    const evn_account *a = &f->p->account;
    const evn_cell_ageing_file *g = f->prices->battery_ageing;
    evn_figure_line capacity = {.length = 0};
    evn_figure_by(f, "battery.full_cycles", (evn_figure_told){"1/a", "full cycles a year", 0}, a->full_cycles,
                  "{day.discharged_kwh} / {battery.kwh} * {days}");
    if (g)
        put_ageing(f);
    evn_figure_given(f, "battery.replacements", (evn_figure_told){"", "replacements", 0}, a->replacements,
                     !g ? "battery_ageing of the prices is not given"
                     : a->years_to_replacement < 1
                         ? "one after another, each as long as battery.years_to_replacement, before the last year ends"
                         : "years at whose end a battery is at its end, before the last");
    evn_figure_given(f, "battery.last_replaced", (evn_figure_told){"a", "last replaced after", 2}, a->last_replaced,
                     "the last of them; 0: never");
    evn_figure_add(&capacity,
                   "1 - {ageing.by_time} * (365.25 * ({years} - {battery.last_replaced}))^0.75 - {ageing.by_charge} * "
                   "(4.3 * {battery.full_cycles} * ({years} - {battery.last_replaced}))^0.5");
    evn_figure_by(f, "battery.capacity_end", (evn_figure_told){"", "capacity at the end", 3}, a->capacity_end,
                  g ? capacity.at : "1");
    if (g)
        put_lowest(f);
    if (g && !isnan(g->replacement_per_kwh)) {
        evn_figure_given(f, "prices.replacement_per_kwh", (evn_figure_told){f->per_kwh, "price of another battery", 0},
                         g->replacement_per_kwh, "battery_ageing.replacement_per_kwh of the prices");
        evn_figure_by(f, "battery.replacement", (evn_figure_told){f->money, "replacement of a battery", 0},
                      a->replacement, "{prices.replacement_per_kwh} * {battery.kwh}");
    } else
        evn_figure_by(f, "battery.replacement", (evn_figure_told){f->money, "replacement of a battery", 0},
                      a->replacement, "{price.battery}");
}

void evn_figures_of_residual(const evn_figures_filling *f)
{
    const evn_residual_file *r = f->prices->residual;
    const evn_account *a = &f->p->account;
    if (!r) {
        evn_figure_given(f, "residual.truck", (evn_figure_told){f->money, "left of the truck", 0}, 0,
                         "residual of the prices is not given");
        evn_figure_given(f, "residual.battery", (evn_figure_told){f->money, "left of the battery", 0}, 0,
                         "residual of the prices is not given");
        return;
    }
    evn_figure_given(f, "prices.residual.truck_loss_percent", (evn_figure_told){"%", "loss of value a year", 1},
                     r->truck_loss_percent, "residual.truck_loss_percent of the prices");
    evn_figure_given(f, "prices.residual.battery_loss_percent",
                     (evn_figure_told){"%", "loss of the battery's value a year", 1}, r->battery_loss_percent,
                     "residual.battery_loss_percent of the prices");
    evn_figure_by(f, "residual.truck", (evn_figure_told){f->money, "left of the truck", 0}, a->residual_truck,
                  "({price.total} - {price.battery}) * (1 - {prices.residual.truck_loss_percent} / 100)^{years}");
    evn_figure_by(f, "residual.battery", (evn_figure_told){f->money, "left of the battery", 0}, a->residual_battery,
                  a->last_replaced > 0
                      ? "{battery.replacement} * (1 - {prices.residual.battery_loss_percent} / 100)^({years} - "
                        "{battery.last_replaced})"
                      : "{price.battery} * (1 - {prices.residual.battery_loss_percent} / 100)^{years}");
}
