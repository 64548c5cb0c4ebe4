/* What a truck costs. */
#include "money/account.h"
#include <math.h>
#include <string.h>

const char *const evn_cost_labels[EVN_COST_COUNT] = {[EVN_COST_BASE] = "base and axles",
                                                     [EVN_COST_DRIVE] = "drive",
                                                     [EVN_COST_BATTERY] = "battery",
                                                     [EVN_COST_ENERGY] = "energy",
                                                     [EVN_COST_DEMAND] = "demand charge",
                                                     [EVN_COST_MAINTENANCE] = "maintenance",
                                                     [EVN_COST_TYRES] = "tyres",
                                                     [EVN_COST_INSURANCE] = "insurance",
                                                     [EVN_COST_TAX_AND_TOLL] = "vehicle tax and toll",
                                                     [EVN_COST_DRIVER] = "driver",
                                                     [EVN_COST_PAYLOAD] = "payload not carried"};

const char *const evn_cost_keys[EVN_COST_COUNT] = {
    [EVN_COST_BASE] = "base",     [EVN_COST_DRIVE] = "drive",         [EVN_COST_BATTERY] = "battery",
    [EVN_COST_ENERGY] = "energy", [EVN_COST_DEMAND] = "demand",       [EVN_COST_MAINTENANCE] = "maintenance",
    [EVN_COST_TYRES] = "tyres",   [EVN_COST_INSURANCE] = "insurance", [EVN_COST_TAX_AND_TOLL] = "tax_and_toll",
    [EVN_COST_DRIVER] = "driver", [EVN_COST_PAYLOAD] = "payload",
};

/* ------------------------------------------------------------------------------------------------ energy */

double evn_place_hours(const evn_charging_place_file *p)
{
    double hours = p->charging_to_h - p->charging_from_h;
    return hours > 0 ? hours : hours + 24;
}

/* Sum of price times hours between two hours of one day. */
static double priced_hours(const evn_tariff_file *t, double from_h, double to_h)
{
    size_t count = t->from_h.count;
    double sum = 0;
    for (size_t k = 0; k <= count; k++) { /* before the first hour the last price holds on */
        double begin = k == 0 ? 0 : t->from_h.at[k - 1], end = k == count ? 24 : t->from_h.at[k];
        double hours = fmin(end, to_h) - fmax(begin, from_h);
        sum += hours > 0 ? hours * t->price_per_kwh.at[(k + count - 1) % count] : 0;
    }
    return sum;
}

double evn_place_price(const evn_prices_file *prices, const evn_charging_place_file *p)
{
    double price = p->price_per_kwh, from = p->charging_from_h, to = p->charging_to_h;
    if (p->tariff && from < to)
        price = priced_hours(p->tariff, from, to) / (to - from);
    else if (p->tariff)
        price = (priced_hours(p->tariff, from, 24) + priced_hours(p->tariff, 0, to)) / evn_place_hours(p);
    return price * evn_exchange_rate(prices, p->currency);
}

double evn_pack_charging_efficiency(double open_circuit_v, double resistance_ohm, double terminal_kw)
{
    double fall = 4 * resistance_ohm * terminal_kw * 1000 / (open_circuit_v * open_circuit_v);
    return 2 / (1 + sqrt(1 + fall));
}

static void put_energy(const evn_account_ask *q, evn_account *a)
{
    const evn_use *u = q->use;
    const evn_charging_place_file *depot = q->prices->energy->depot, *stops = q->prices->energy->stops;
    a->pack_efficiency =
        isnan(depot->connector_kw) ? 1 : evn_pack_charging_efficiency(u->pack_v, u->pack_ohm, depot->connector_kw);
    double to_grid = 1 / (a->pack_efficiency * depot->charger_efficiency);
    a->depot_day_kwh = fmax(u->battery_kwh - u->stored_kwh + u->surplus_kwh, 0) * to_grid; /* it buys nothing back */
    a->stops_day_kwh = u->charged_from_grid_kwh;
    if (u->charged_unstated_kwh != 0)
        a->stops_day_kwh += u->charged_unstated_kwh / (stops ? stops->charger_efficiency : (double)NAN);
    a->depot_price_per_kwh = evn_place_price(q->prices, depot) * q->energy_price_factor;
    a->stops_price_per_kwh = stops ? evn_place_price(q->prices, stops) * q->energy_price_factor : 0;
    a->energy = a->days * (a->depot_day_kwh * a->depot_price_per_kwh + a->stops_day_kwh * a->stops_price_per_kwh);
    a->demand_kw = fmax(u->worst_depot_kwh * to_grid / evn_place_hours(depot), 0);
    a->demand = a->demand_kw * depot->demand_charge_per_kw_year * evn_exchange_rate(q->prices, depot->currency);
}

/* ------------------------------------------------------------------------------------------------ price */

static double base_price(const evn_prices_file *p, const char *name)
{
    for (size_t k = 0; k < p->base_prices.count; k++)
        if (strcmp(p->base_prices.name[k], name) == 0)
            return p->base_prices.value[k];
    return p->base_price;
}

static void put_price(const evn_account_ask *q, evn_account *a)
{
    const evn_prices_file *p = q->prices;
    a->base_price = base_price(p, q->name);
    for (size_t k = 0; k < q->bought->count; k++)
        a->class_price[q->bought->part[k].of] += evn_bought_price(p, &q->bought->part[k]);
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++)
        a->drive_price += k == EVN_CLASS_battery || k == EVN_CLASS_axle ? 0 : a->class_price[k];
    a->drive_price += q->price_more;
    a->battery_price = a->class_price[EVN_CLASS_battery];
    a->price = a->base_price + a->class_price[EVN_CLASS_axle] + a->drive_price + a->battery_price;
    a->tax = p->purchase_tax_percent / 100 * a->price;
    a->subsidy = p->subsidy->amount + p->subsidy->percent / 100 * a->price;
    if (!isnan(p->subsidy->most))
        a->subsidy = fmin(a->subsidy, p->subsidy->most);
    a->invested = a->price + a->tax - a->subsidy;
}

/* ------------------------------------------------------------------------------------------------ a year */

static double maintenance_per_km(const evn_account_ask *q)
{
    double sum = q->prices->running->maintenance_per_km;
    for (size_t k = 0; k < q->bought->count; k++) {
        const evn_part_price_file *p = q->prices->parts->of[q->bought->part[k].of];
        sum += p ? p->maintenance_per_km * evn_exchange_rate(q->prices, p->currency) : 0;
    }
    return sum;
}

static double tyres_per_km(const evn_account_ask *q)
{
    double sum = 0;
    for (size_t k = 0; k < EVN_TYRE_PLACES; k++) {
        const evn_tyre_price_file *p = q->prices->tyres->of[k];
        if (q->bought->tyres[k] > 0 && p)
            sum += q->bought->tyres[k] * p->each / p->life_km * evn_exchange_rate(q->prices, p->currency);
    }
    return sum;
}

static void put_year(const evn_account_ask *q, evn_account *a)
{
    const evn_running_file *r = q->prices->running;
    const evn_payload_value_file *v = q->prices->payload;
    a->maintenance_per_km = maintenance_per_km(q);
    a->maintenance = a->maintenance_per_km * q->annual_km;
    a->tyres_per_km = tyres_per_km(q);
    a->tyres = a->tyres_per_km * q->annual_km;
    a->insurance = r->insurance_per_year + r->insurance_percent / 100 * a->price;
    a->vehicle_tax = r->vehicle_tax_per_year;
    a->toll = r->toll_per_km * q->annual_km;
    a->driver = r->driver_per_h * q->use->h * a->days;
    a->lost_t = fmax(q->may_carry_most_t - q->use->may_carry_t, 0);
    a->payload = v ? a->lost_t * v->limited_share * v->per_t_km * q->annual_km : 0;
    a->yearly = a->energy + a->demand + a->maintenance + a->tyres + a->insurance + a->vehicle_tax + a->toll +
                a->driver + a->payload;
}

static void put_hours(const evn_account_ask *q, evn_account *a)
{
    const evn_charging_place_file *depot = q->prices->energy->depot;
    double at_terminals_kwh = fmax(a->depot_day_kwh * depot->charger_efficiency, 0);
    a->hours = a->days * (q->use->h + (isnan(depot->connector_kw) ? 0 : at_terminals_kwh / depot->connector_kw));
}

/* ------------------------------------------------------------------------------------------------ battery */

/* At the end of each year in which it would come to its end, but not of the last. */
static void replace_by_years(const evn_account_ask *q, evn_account *a)
{
    double each = ceil(a->years_to_replacement);
    while (a->last_replaced + each < q->years) {
        a->last_replaced += each;
        a->replaced[(unsigned)a->last_replaced]++;
        a->replacements++;
    }
}

/* One that does not last a year cannot wait for its end: one after another as it lasts, paid for at the end of the
 * year; none at the end of the last. No more than one a day. */
static void replace_within_years(const evn_account_ask *q, evn_account *a)
{
    double life = fmax(a->years_to_replacement, 1 / EVN_DAYS_A_YEAR);
    for (unsigned k = 1; k <= q->years; k++) {
        unsigned by_then = (unsigned)(k < q->years ? floor(k / life) : ceil(k / life) - 1);
        a->replaced[k] = by_then - a->replacements;
        a->replacements = by_then;
    }
    a->last_replaced = a->replacements * life;
}

/* One that is replaced at the end of a year drives that year to its end; one that does not last a year goes when it
 * ends. */
static void put_lowest(const evn_account_ask *q, const evn_ageing *age, evn_account *a)
{
    double life = a->years_to_replacement;
    a->lowest_after = fmin(life < 1 ? life : ceil(life), q->years);
    a->lowest_capacity = evn_ageing_capacity(age, a->lowest_after);
}

static void put_replacements(const evn_account_ask *q, evn_account *a)
{
    const evn_cell_ageing_file *g = q->prices->battery_ageing;
    const evn_use *u = q->use;
    a->full_cycles = u->discharged_kwh / u->pack_kwh * a->days;
    a->capacity_end = a->lowest_capacity = 1;
    a->years_to_replacement = (double)INFINITY;
    a->replacement = a->battery_price;
    if (!g)
        return;
    evn_ageing age = {g->calendar_factor * evn_ageing_by_time(g->cell_v, g->cell_degc),
                      g->cycle_factor * evn_ageing_by_charge(g->cell_v, u->depth), a->full_cycles};
    if (!isnan(g->replacement_per_kwh))
        a->replacement = g->replacement_per_kwh * u->pack_kwh;
    a->years_to_replacement = evn_ageing_years_to(&age, g->end_share);
    if (a->years_to_replacement < 1)
        replace_within_years(q, a);
    else
        replace_by_years(q, a);
    for (unsigned k = 1; k <= q->years; k++)
        a->flow[k] -= a->replaced[k] * a->replacement;
    a->capacity_end = evn_ageing_capacity(&age, q->years - a->last_replaced);
    put_lowest(q, &age, a);
}

static void put_residual(const evn_account_ask *q, evn_account *a)
{
    const evn_residual_file *r = q->prices->residual;
    if (!r)
        return;
    double battery = a->last_replaced > 0 ? a->replacement : a->battery_price;
    a->residual_truck = (a->price - a->battery_price) * pow(1 - r->truck_loss_percent / 100, q->years);
    a->residual_battery = battery * pow(1 - r->battery_loss_percent / 100, q->years - a->last_replaced);
}

/* ------------------------------------------------------------------------------------------------ together */

/* Shares of tax and subsidy go with the price; what of the truck is left goes with what it was bought for. */
static void put_parts(const evn_account_ask *q, evn_account *a)
{
    double spread = evn_factor_ap(a->rate, q->years) / q->annual_km, last = evn_factor_pf(a->rate, q->years);
    double replaced = 0, *part = a->part_per_km;
    for (unsigned k = 1; k <= q->years; k++)
        replaced -= a->flow[k] * evn_factor_pf(a->rate, k);
    double body = a->price - a->battery_price, of_drive = body > 0 ? a->drive_price / body : 0;
    double taxed = a->price > 0 ? a->invested / a->price : 1;
    part[EVN_COST_DRIVE] = (a->drive_price * taxed - of_drive * a->residual_truck * last) * spread;
    part[EVN_COST_BATTERY] = (a->battery_price * taxed + replaced - a->residual_battery * last) * spread;
    part[EVN_COST_BASE] =
        (a->invested - (a->drive_price + a->battery_price) * taxed - (1 - of_drive) * a->residual_truck * last) *
        spread;
    part[EVN_COST_ENERGY] = a->energy / q->annual_km;
    part[EVN_COST_DEMAND] = a->demand / q->annual_km;
    part[EVN_COST_MAINTENANCE] = a->maintenance_per_km;
    part[EVN_COST_TYRES] = a->tyres_per_km;
    part[EVN_COST_INSURANCE] = a->insurance / q->annual_km;
    part[EVN_COST_TAX_AND_TOLL] = (a->vehicle_tax + a->toll) / q->annual_km;
    part[EVN_COST_DRIVER] = a->driver / q->annual_km;
    part[EVN_COST_PAYLOAD] = a->payload / q->annual_km;
}

void evn_account_of(const evn_account_ask *q, evn_account *a)
{
    memset(a, 0, sizeof *a);
    a->rate = q->prices->interest_percent / 100;
    a->days = q->annual_km / q->use->km;
    put_price(q, a);
    put_energy(q, a);
    put_year(q, a);
    put_hours(q, a);
    put_replacements(q, a);
    put_residual(q, a);
    put_parts(q, a); /* the flow has nothing but replacements yet */
    a->flow[0] = -a->invested;
    for (unsigned k = 1; k <= q->years; k++)
        a->flow[k] -= a->yearly;
    a->flow[q->years] += a->residual_truck + a->residual_battery;
    a->present_cost = -evn_net_present_value(a->flow, q->years + 1, a->rate);
    a->per_km = a->present_cost * evn_factor_ap(a->rate, q->years) / q->annual_km;
    a->per_t_km = a->per_km * q->use->km / q->use->t_km;
}

bool evn_account_subsidy_at_most(const evn_account *a, const evn_prices_file *p)
{
    return a->subsidy < p->subsidy->amount + p->subsidy->percent / 100 * a->price;
}

double evn_account_per_price(const evn_account *a, const evn_prices_file *p, unsigned years)
{
    double per =
        1 + p->purchase_tax_percent / 100 + p->running->insurance_percent / 100 * evn_factor_pa(a->rate, years);
    if (!evn_account_subsidy_at_most(a, p))
        per -= p->subsidy->percent / 100;
    if (p->residual)
        per -= pow(1 - p->residual->truck_loss_percent / 100, years) * evn_factor_pf(a->rate, years);
    return per;
}

/* ------------------------------------------------------------------------------------------------ against the first */

typedef struct both {
    evn_account_ask first, other;
} both;

static double value_of(const both *b)
{
    evn_account first, other;
    evn_account_of(&b->first, &first);
    evn_account_of(&b->other, &other);
    return first.present_cost - other.present_cost;
}

static double value_at_km(void *self, double km)
{
    both b = *(const both *)self;
    b.first.annual_km = b.other.annual_km = km;
    return value_of(&b);
}

static double value_with_price(const both *given, double more)
{
    both b = *given;
    b.other.price_more += more;
    return value_of(&b);
}

static double value_with_energy(const both *given, double factor)
{
    both b = *given;
    b.first.energy_price_factor *= factor;
    b.other.energy_price_factor *= factor;
    return value_of(&b);
}

double evn_account_value_against(const evn_account_ask *first, const evn_account_ask *other)
{
    return value_of(&(both){*first, *other});
}

double evn_account_turning_factor(const evn_account_ask *first, const evn_account_ask *other)
{
    both b = {*first, *other};
    return evn_turns_straight(0, value_with_energy(&b, 0), 1, value_with_energy(&b, 1));
}

/* Straight in the price but for a subsidy that has its most: there the search goes on from where the line led. */
static double turning_rise(const both *b, double is)
{
    double more = 0, at = value_with_price(b, 0);
    for (int k = 0; k < 8 && isfinite(more) && fabs(at) > 1e-9 * (1 + fabs(is)); k++) {
        double next = more + 1000;
        more = evn_turns_straight(more, at, next, value_with_price(b, next));
        at = value_with_price(b, more);
    }
    return more;
}

double evn_account_turning_rise(const evn_account_ask *first, const evn_account_ask *other)
{
    return turning_rise(&(both){*first, *other}, 0);
}

double evn_account_price_to_most(const evn_account *a, const evn_prices_file *p)
{
    const evn_subsidy_file *s = p->subsidy;
    return isnan(s->most) || s->percent == 0 ? (double)NAN : (s->most - s->amount) / (s->percent / 100) - a->price;
}

/* Straight in the price on either side of where the subsidy meets its most. */
double evn_account_rise_for(const evn_account *a, const evn_prices_file *p, double saved, unsigned years,
                            double *to_most)
{
    double at_most = 1 + p->purchase_tax_percent / 100 + years * p->running->insurance_percent / 100;
    double below = at_most - p->subsidy->percent / 100, kink = evn_account_price_to_most(a, p);
    bool capped = evn_account_subsidy_at_most(a, p);
    double here = capped ? at_most : below, there = capped ? below : at_most;
    double rise = saved / here;
    bool meets = capped ? rise < kink : rise > kink; /* NAN: never */
    *to_most = meets ? kink : (double)NAN;
    return meets ? kink + (saved - kink * here) / there : rise;
}

double evn_account_price_for(const evn_account_ask *first, const evn_account_ask *other, unsigned years)
{
    evn_account a, b;
    evn_account_of(first, &a);
    evn_account_of(other, &b);
    double sum = 0, to_most;
    for (unsigned k = 0; k <= years && k < other->years; k++)
        sum += b.flow[k] - a.flow[k];
    return years < other->years ? b.price - a.price + evn_account_rise_for(&b, other->prices, sum, years, &to_most)
                                : (double)NAN;
}

bool evn_costs_alike(double per_km, double other_per_km)
{
    static const double share = 5e-5, least = 5e-5; /* half of the last of five digits, and of four decimals */
    return fabs(other_per_km - per_km) <= fmax(share * fabs(per_km), least);
}

void evn_account_against(const evn_account_ask *first, const evn_account_ask *other, evn_against *out)
{
    static const size_t STEPS = 399;
    evn_account of_first, of_other;
    both b = {*first, *other};
    size_t count = other->years + 1;
    memset(out, 0, sizeof *out);
    evn_account_of(first, &of_first);
    evn_account_of(other, &of_other);
    for (size_t k = 0; k < count; k++)
        out->flow[k] = of_other.flow[k] - of_first.flow[k];
    out->invested = of_other.invested - of_first.invested;
    out->simple = evn_paid_back_of(out->flow, count, 0);
    out->discounted = evn_paid_back_of(out->flow, count, of_other.rate);
    out->present_value = evn_net_present_value(out->flow, count, of_other.rate);
    out->rates = evn_rates_of_return_of(out->flow, count);
    double is = of_other.price - of_first.price;
    out->turns_at_price = is + turning_rise(&b, is);
    out->turns_at_energy_price = evn_account_turning_factor(first, other) * of_other.depot_price_per_kwh;
    out->turns_at_km = evn_turns_between(value_at_km, &b, EVN_TURNS_FROM_KM, EVN_TURNS_TO_KM, STEPS);
}
