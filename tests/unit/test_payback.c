/* Costs of a truck against formulas by hand: prices, tariffs, currencies, batteries that are replaced, what turns. */
#include "api/objects.h"
#include "money/account.h"
#include "read/read.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TOL 1e-9

static evn_arena *arena;
static evn_report *report;
static evn_bought bought;
static evn_use use;

static const char plain[] = "name: by hand\ncurrency: EUR\ninterest_percent: 5\nyears: 4\nbase_price: 50000\n"
                            "parts: {motor: {each: 100, per_kw: 10}, battery: {per_kwh: 200}, axle: {per_kg: 4}}\n"
                            "energy: {depot: {price_per_kwh: 0.2, charger_efficiency: 0.8}}\n"
                            "tyres: {steered: {each: 400, life_km: 100000}}\n";

static void set_up(void)
{
    arena = evn_arena_new();
    report = evn_report_new();
    memset(&bought, 0, sizeof bought);
    bought.part[0] = (evn_bought_part){EVN_CLASS_motor, "a", 300, 0, 80};
    bought.part[1] = (evn_bought_part){EVN_CLASS_motor, "b", 200, 0, 60};
    bought.part[2] = (evn_bought_part){EVN_CLASS_axle, "front", 0, 0, 700};
    bought.part[3] = (evn_bought_part){EVN_CLASS_battery, "battery", 0, 500, 3000};
    bought.count = 4;
    bought.tyres[EVN_TYRES_STEERED] = 2;
    use = (evn_use){.status = "finished",
                    .km = 400,
                    .h = 6,
                    .t_km = 8000,
                    .battery_kwh = 600,
                    .discharged_kwh = 700,
                    .worst_depot_kwh = 640,
                    .depth = 0.8,
                    .pack_kwh = 500,
                    .pack_v = 700,
                    .pack_ohm = 0.05,
                    .may_carry_t = 22};
}

static void tear_down(void)
{
    evn_arena_free(arena);
    evn_report_free(report);
}

/* The plain prices with more behind them. */
static const evn_prices_file *prices_of(const char *more)
{
    char text[4000];
    int length = snprintf(text, sizeof text, "%s%s", plain, more);
    ck_assert(length > 0 && (size_t)length < sizeof text);
    return evn_read_bytes(text, (size_t)length, "vehicles/prices/test.yaml", &evn_prices_object, NULL, arena, report);
}

static evn_account_ask ask_of(const evn_prices_file *prices)
{
    return (evn_account_ask){.prices = prices,
                             .name = "truck",
                             .bought = &bought,
                             .use = &use,
                             .annual_km = 100000,
                             .years = 4,
                             .may_carry_most_t = 24,
                             .energy_price_factor = 1};
}

static evn_account account_with(const char *more)
{
    const evn_prices_file *prices = prices_of(more);
    ck_assert_msg(prices, "prices are refused");
    evn_account_ask ask = ask_of(prices);
    evn_account a;
    evn_account_of(&ask, &a);
    return a;
}

static double sum_of_parts(const evn_account *a)
{
    double sum = 0;
    for (size_t k = 0; k < EVN_COST_COUNT; k++)
        sum += a->part_per_km[k];
    return sum;
}

/* ------------------------------------------------------------------------------------------------ costs */

START_TEST(the_price_of_a_truck_is_that_of_its_parts)
{
    evn_account a = account_with("");
    ck_assert_double_eq_tol(a.drive_price, 2 * 100 + 500 * 10, TOL);
    ck_assert_double_eq_tol(a.battery_price, 500 * 200, TOL);
    ck_assert_double_eq_tol(a.price, 50000 + 700 * 4 + 5200 + 100000, TOL);
    ck_assert_double_eq_tol(a.invested, a.price, TOL);
    a = account_with("base_prices: {truck: 60000, other: 1}\npurchase_tax_percent: 10\nsubsidy: {amount: 3000, "
                     "percent: 20, most: 25000}\n");
    ck_assert_double_eq_tol(a.price, 168000, TOL);
    ck_assert_double_eq_tol(a.invested, 168000 * 1.1 - 25000, TOL);
}
END_TEST

START_TEST(a_plain_truck_costs_what_a_formula_by_hand_says)
{
    evn_account a = account_with("");
    double days = 250, energy = days * 600 / 0.8 * 0.2, tyres = 2 * 400 / 100000.0 * 100000;
    double annuity = 0.05 / (1 - pow(1.05, -4));
    ck_assert_double_eq_tol(a.energy, energy, TOL);
    ck_assert_double_eq_tol(a.yearly, energy + tyres, TOL);
    ck_assert_double_eq_tol(a.per_km, (158000 * annuity + energy + tyres) / 100000, 1e-12);
    ck_assert_double_eq_tol(a.per_t_km, a.per_km / 20, 1e-12);
    ck_assert_double_eq_tol(sum_of_parts(&a), a.per_km, 1e-12);
    ck_assert(isinf(a.years_to_replacement) && a.replacements == 0);
}
END_TEST

START_TEST(what_a_year_takes_is_the_sum_of_its_causes)
{
    evn_account a = account_with("running: {maintenance_per_km: 0.05, insurance_per_year: 1000, insurance_percent: 1, "
                                 "vehicle_tax_per_year: 500, toll_per_km: 0.1, driver_per_h: 30}\n"
                                 "payload: {per_t_km: 0.04, limited_share: 0.5}\n");
    ck_assert_double_eq_tol(a.maintenance, 5000, TOL);
    ck_assert_double_eq_tol(a.insurance, 1000 + 1580, TOL);
    ck_assert_double_eq_tol(a.toll, 10000, TOL);
    ck_assert_double_eq_tol(a.driver, 30 * 6 * 250, TOL);
    ck_assert_double_eq_tol(a.payload, 2 * 0.5 * 0.04 * 100000, TOL);
    ck_assert_double_eq_tol(
        a.yearly, a.energy + a.maintenance + a.tyres + a.insurance + 500 + a.toll + a.driver + a.payload, TOL);
    ck_assert_double_eq_tol(sum_of_parts(&a), a.per_km, 1e-12);
}
END_TEST

START_TEST(a_tariff_is_averaged_over_the_hours_of_charging_over_midnight_too)
{
    static const struct {
        double from_h, to_h, price;
    } rows[] = {{20, 5, (1 * 0.30 + 8 * 0.10) / 9},
                {8, 12, 0.30},
                {0, 24, (15 * 0.30 + 9 * 0.10) / 24},
                {4, 7, (2 * 0.10 + 0.30) / 3}};
    double from_h[] = {6, 21}, price[] = {0.30, 0.10};
    evn_tariff_file tariff = {{from_h, 2}, {price, 2}};
    const evn_prices_file *prices = prices_of("");
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        evn_charging_place_file p = {.price_per_kwh = (double)NAN,
                                     .tariff = &tariff,
                                     .charging_from_h = rows[k].from_h,
                                     .charging_to_h = rows[k].to_h};
        ck_assert_double_eq_tol(evn_place_price(prices, &p), rows[k].price, 1e-12);
    }
}
END_TEST

START_TEST(stops_and_depot_are_paid_for_apart_and_the_depot_for_its_power)
{
    char text[2000];
    use.charged_kwh = use.charged_unstated_kwh = 200;
    use.stored_kwh = 190;
    snprintf(text, sizeof text, "%s", plain);
    char *at = strstr(text, "energy:");
    char *end = strchr(at, '\n');
    char rest[200];
    snprintf(rest, sizeof rest, "%s", end);
    snprintf(at, sizeof text - (size_t)(at - text),
             "energy: {depot: {price_per_kwh: 0.2, charger_efficiency: 0.8, charging_from_h: 22, charging_to_h: 6, "
             "demand_charge_per_kw_year: 50}, stops: {price_per_kwh: 0.5, charger_efficiency: 0.9}}%s",
             rest);
    const evn_prices_file *prices =
        evn_read_bytes(text, strlen(text), "vehicles/prices/test.yaml", &evn_prices_object, NULL, arena, report);
    ck_assert_ptr_nonnull(prices);
    evn_account_ask ask = ask_of(prices);
    evn_account a;
    evn_account_of(&ask, &a);
    ck_assert_double_eq_tol(a.energy, 250 * ((600 - 190) / 0.8 * 0.2 + 200 / 0.9 * 0.5), 1e-8);
    ck_assert_double_eq_tol(a.demand, 640 / 0.8 / 8 * 50, 1e-9);
    use.charged_from_grid_kwh = 210; /* the duty states its chargers' efficiency, which it keeps */
    use.charged_unstated_kwh = 0;
    evn_account_of(&ask, &a);
    ck_assert_double_eq_tol(a.stops_day_kwh, 210, TOL);
    use.charged_unstated_kwh = 90; /* of another stop, which does not */
    evn_account_of(&ask, &a);
    ck_assert_double_eq_tol(a.stops_day_kwh, 210 + 90 / 0.9, TOL);
    use.stored_kwh = 630; /* more than the day takes: the depot pays nothing back */
    use.surplus_kwh = 30;
    evn_account_of(&ask, &a);
    ck_assert_double_eq_tol(a.depot_day_kwh, 0, TOL);
    ck_assert_double_eq_tol(a.energy, 250 * (210 + 90 / 0.9) * 0.5, 1e-8);
}
END_TEST

START_TEST(other_currencies_count_at_their_rates)
{
    char text[2000];
    snprintf(text, sizeof text, "%sexchange_rates: {NOK: 0.09}\n", plain);
    char *at = strstr(text, "per_kwh: 200}"), after[1500];
    snprintf(after, sizeof after, "%s", at + strlen("per_kwh: 200}"));
    snprintf(at, sizeof text - (size_t)(at - text), "per_kwh: 2000, currency: NOK}%s", after);
    const evn_prices_file *prices =
        evn_read_bytes(text, strlen(text), "vehicles/prices/test.yaml", &evn_prices_object, NULL, arena, report);
    ck_assert_ptr_nonnull(prices);
    ck_assert_double_eq_tol(evn_bought_price(prices, &bought.part[3]), 500 * 2000 * 0.09, 1e-9);
}
END_TEST

START_TEST(a_truck_is_bought_of_all_parts_of_its_file)
{
    evn_truck *truck = NULL;
    double count[EVN_CLASS_COUNT] = {0}, kw[EVN_CLASS_COUNT] = {0};
    evn_report *said = evn_report_new();
    ck_assert_int_eq(evn_truck_load("vehicles/trucks/tractor-6x4-central.yaml", &truck, said), EVN_DONE);
    evn_bought_of(truck->file, &bought);
    for (size_t k = 0; k < bought.count; k++) {
        count[bought.part[k].of] += 1;
        kw[bought.part[k].of] += bought.part[k].kw;
    }
    ck_assert(count[EVN_CLASS_motor] == 1 && count[EVN_CLASS_gearbox] == 1 && count[EVN_CLASS_battery] == 1);
    ck_assert(count[EVN_CLASS_axle] == 3 && count[EVN_CLASS_final_drive] == 2);
    ck_assert_double_eq_tol(kw[EVN_CLASS_final_drive], kw[EVN_CLASS_motor], 1e-9); /* each bears its share */
    ck_assert(bought.tyres[EVN_TYRES_STEERED] == 2 && bought.tyres[EVN_TYRES_DRIVEN] == 8);
    ck_assert(bought.tyres[EVN_TYRES_CARRYING] == 0 && bought.tyres[EVN_TYRES_TRAILER] == 6);
    evn_truck_free(truck);
    evn_report_free(said);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ batteries */

START_TEST(a_battery_is_replaced_at_the_end_of_the_year_in_which_it_ends_but_not_of_the_last)
{
    evn_account a = account_with("battery_ageing: {cycle_factor: 0.9, end_share: 0.8, replacement_per_kwh: 150}\n"
                                 "residual: {truck_loss_percent: 20, battery_loss_percent: 50}\n");
    double each = ceil(a.years_to_replacement);
    ck_assert(a.years_to_replacement > 1 && each < 4);
    unsigned expected = 0, last = 0;
    for (unsigned y = 1; y < 4; y++)
        if (fmod(y, each) == 0) {
            expected++;
            last = y;
            ck_assert_double_eq_tol(a.flow[y], -a.yearly - 75000, TOL);
        }
    ck_assert_uint_eq(a.replacements, expected);
    ck_assert_double_eq(a.last_replaced, last);
    ck_assert_double_eq(a.lowest_after, each); /* it drives the year in which it ends to its end */
    ck_assert(a.lowest_capacity < 0.8 && a.lowest_capacity <= a.capacity_end);
    ck_assert_double_eq_tol(a.residual_battery, 75000 * pow(0.5, 4 - last), TOL);
    ck_assert_double_eq_tol(a.residual_truck, 58000 * pow(0.8, 4), 1e-8);
    ck_assert_double_eq_tol(a.flow[4], -a.yearly + a.residual_battery + a.residual_truck, TOL);
    ck_assert_double_eq_tol(sum_of_parts(&a), a.per_km, 1e-12);
}
END_TEST

START_TEST(batteries_that_do_not_last_a_year_are_all_paid_for)
{
    evn_account a = account_with("battery_ageing: {cycle_factor: 2, end_share: 0.8, replacement_per_kwh: 150}\n"
                                 "residual: {truck_loss_percent: 20, battery_loss_percent: 50}\n");
    double life = a.years_to_replacement, paid = 0, by_then = 0;
    ck_assert_msg(life > 0 && life < 0.5, "%g", life);
    for (unsigned y = 1; y < 4; y++) {
        paid += -a.flow[y] - a.yearly;
        ck_assert_double_eq_tol(paid, 75000 * floor(y / life), 1e-6);
        by_then = floor(y / life);
    }
    double all = ceil(4 / life) - 1; /* in 4 years, the first with the truck */
    ck_assert_uint_eq(a.replacements, (unsigned)all);
    ck_assert_double_eq_tol(-a.flow[4] - a.yearly + a.residual_battery + a.residual_truck, 75000 * (all - by_then),
                            1e-6);
    ck_assert_double_eq_tol(a.last_replaced, all * life, 1e-9);
    ck_assert(a.capacity_end >= 0.8 && a.capacity_end < 1);
    ck_assert_double_eq(a.lowest_after, life);
    ck_assert_double_eq_tol(a.lowest_capacity, 0.8, 1e-9);
    ck_assert_double_eq_tol(sum_of_parts(&a), a.per_km, 1e-12);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ turning */

START_TEST(at_each_turn_both_trucks_cost_the_same)
{
    const evn_prices_file *prices = prices_of("running: {insurance_percent: 1.5}\npurchase_tax_percent: 5\n"
                                              "residual: {truck_loss_percent: 20, battery_loss_percent: 25}\n");
    evn_use saves = use;
    evn_bought dearer = bought;
    saves.battery_kwh = 570;
    dearer.part[0].kw += 200;
    evn_account_ask first = ask_of(prices), other = first;
    evn_against g;
    evn_account a, b;
    other.use = &saves;
    other.bought = &dearer;
    evn_account_against(&first, &other, &g);
    ck_assert(g.invested > 0 && g.rates.count == 1 && g.turns_at_km.count == 1);
    evn_account_of(&first, &a);
    evn_account_of(&other, &b);
    double is = b.price - a.price;
    other.price_more = g.turns_at_price - is;
    evn_account_of(&other, &b);
    ck_assert_double_eq_tol(a.present_cost, b.present_cost, 1e-6);
    other.price_more = 0;
    first.energy_price_factor = other.energy_price_factor = g.turns_at_energy_price / 0.2;
    evn_account_of(&first, &a);
    evn_account_of(&other, &b);
    ck_assert_double_eq_tol(a.present_cost, b.present_cost, 1e-6);
    first.energy_price_factor = other.energy_price_factor = 1;
    first.annual_km = other.annual_km = g.turns_at_km.at[0];
    evn_account_of(&first, &a);
    evn_account_of(&other, &b);
    ck_assert_double_eq_tol(a.present_cost, b.present_cost, 1e-6);
    ck_assert_double_eq_tol(evn_net_present_value(g.flow, 5, g.rates.rate[0]), 0, 1e-6);
}
END_TEST

START_TEST(the_price_of_a_truck_rises_by_what_it_saves_until_both_cost_the_same)
{
    evn_use saves = use;
    saves.battery_kwh = 570;
    evn_account_ask first = ask_of(prices_of("")), other = first;
    evn_account a, b;
    other.use = &saves;
    /* 30 kWh a day at 0.8 of a charger, 250 days, 0.2 per kWh; P/A over 4 years at 5 % */
    double rise = evn_account_turning_rise(&first, &other), saved = 30 / 0.8 * 250 * 0.2;
    ck_assert_double_eq_tol(rise, saved * (1 - pow(1.05, -4)) / 0.05, 1e-6);
    other.price_more = rise;
    evn_account_of(&first, &a);
    evn_account_of(&other, &b);
    ck_assert_double_eq_tol(a.per_km, b.per_km, 1e-9);
}
END_TEST

START_TEST(costs_are_alike_within_half_of_their_last_digit_alone)
{
    ck_assert(evn_costs_alike(2, 2) && evn_costs_alike(2, 2.00009) && evn_costs_alike(0.2, 0.20004));
    ck_assert(!evn_costs_alike(2, 2.0002) && !evn_costs_alike(2, 1.9998) && !evn_costs_alike(0.2, 0.2001));
}
END_TEST

START_TEST(hours_of_a_year_are_those_of_its_days_and_of_charging_where_its_power_is_stated)
{
    evn_account a = account_with("");
    ck_assert_double_eq_tol(a.hours, 250 * 6, TOL);
    char text[2000], *at;
    snprintf(text, sizeof text, "%s", plain);
    at = strstr(text, "charger_efficiency: 0.8");
    snprintf(at, sizeof text - (size_t)(at - text),
             "charger_efficiency: 0.8, connector_kw: 100}}\n"
             "tyres: {steered: {each: 400, life_km: 100000}}\n");
    const evn_prices_file *prices =
        evn_read_bytes(text, strlen(text), "vehicles/prices/test.yaml", &evn_prices_object, NULL, arena, report);
    ck_assert_ptr_nonnull(prices);
    evn_account_ask ask = ask_of(prices);
    evn_account_of(&ask, &a);
    ck_assert_double_eq_tol(a.hours, 250 * (6 + 600 / a.pack_efficiency / 100), 1e-9);
    ck_assert(a.pack_efficiency > 0.9 && a.pack_efficiency < 1);
}
END_TEST

START_TEST(the_value_at_any_price_of_energy_is_straight_and_zero_at_the_factor_that_turns_it)
{
    const evn_prices_file *prices = prices_of("");
    evn_use saves = use;
    evn_bought dearer = bought;
    saves.battery_kwh = 570;
    dearer.part[0].kw += 200;
    evn_account_ask first = ask_of(prices), other = first;
    other.use = &saves;
    other.bought = &dearer;
    /* 30 kWh a day at 0.8 of a charger, 250 days, 0.2 per kWh; 200 kW at 10 each; P/A over 4 years at 5 % */
    double pa = (1 - pow(1.05, -4)) / 0.05, saved = 30 / 0.8 * 250 * 0.2;
    double turns = 2000 / (saved * pa);
    ck_assert_double_eq_tol(evn_account_turning_factor(&first, &other), turns, 1e-12);
    for (int k = 0; k < 3; k++) {
        first.energy_price_factor = other.energy_price_factor = k;
        ck_assert_double_eq_tol(evn_account_value_against(&first, &other), k * saved * pa - 2000, 1e-8);
    }
    first.energy_price_factor = other.energy_price_factor = turns;
    ck_assert_double_eq_tol(evn_account_value_against(&first, &other), 0, 1e-8);
}
END_TEST

START_TEST(a_subsidy_that_meets_its_most_between_turns_the_answer_where_it_should)
{
    const evn_prices_file *prices = prices_of("subsidy: {percent: 30, most: 48000}\n");
    evn_use saves = use;
    saves.battery_kwh = 500;
    evn_account_ask first = ask_of(prices), other = first;
    evn_against g;
    evn_account a, b;
    other.use = &saves;
    evn_account_against(&first, &other, &g);
    other.price_more = g.turns_at_price;
    evn_account_of(&first, &a);
    evn_account_of(&other, &b);
    ck_assert_double_eq_tol(a.present_cost, b.present_cost, 1e-4);
    ck_assert_double_eq_tol(b.subsidy, 48000, TOL);
}
END_TEST

START_TEST(the_price_that_pays_back_in_years_follows_a_subsidy_to_its_most_and_back)
{
    evn_use saves = use;
    evn_account a, b;
    saves.battery_kwh = 300; /* 300 kWh a day at 0.8 of a charger, 250 days, 0.2 per kWh: 18750 a year */
    double saved = 300 / 0.8 * 250 * 0.2;
    /* Price 158000, 10 % of subsidy, 5 % of tax, 1 % of insurance a year. With a most of 17000 it is met at 170000:
     * 12000 more cost 12000 (1 + 0.05 - 0.1 + 0.02), what is left of two years' savings buys at 1 + 0.05 + 0.02. */
    static const struct {
        double most, more;
    } rows[] = {{17000, 12000 + (2 * 18750 - 12000 * 0.97) / 1.07}, {1e6, 2 * 18750 / 0.97}, {15000, 2 * 18750 / 1.07}};
    ck_assert_double_eq_tol(saved, 18750, 1e-9);
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        char text[300];
        snprintf(text, sizeof text,
                 "subsidy: {percent: 10, most: %g}\npurchase_tax_percent: 5\nrunning: {insurance_percent: 1}\n",
                 rows[k].most);
        evn_account_ask first = ask_of(prices_of(text)), other = first;
        other.use = &saves;
        ck_assert_double_eq_tol(evn_account_price_for(&first, &other, 2), rows[k].more, 1e-6);
        other.price_more = rows[k].more; /* there it does, also told from there */
        evn_account_of(&first, &a);
        evn_account_of(&other, &b);
        double sum = 0;
        for (unsigned y = 0; y <= 2; y++)
            sum += b.flow[y] - a.flow[y];
        ck_assert_double_eq_tol(sum, 0, 1e-6);
        ck_assert_double_eq_tol(evn_account_price_for(&first, &other, 2), rows[k].more, 1e-6);
        other.price_more = 80000; /* from far above the most down again */
        ck_assert_double_eq_tol(evn_account_price_for(&first, &other, 2), rows[k].more, 1e-6);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ faults */

/* Among warnings of unusual values. */
static bool first_error(evn_finding *out)
{
    size_t at = 0;
    while (evn_report_at(report, at, out) && out->severity != EVN_ERROR)
        at++;
    return evn_report_at(report, at, out);
}

static const struct {
    const char *more, *fault, *text;
} wrong[] = {
    {"years: 41\n", "duplicate_key", "years"},
    {"annual_km: 0\n", "out_of_range", "annual_km"},
    {"purchase_tax_percent: -1\n", "out_of_range", "purchase_tax_percent"},
    {"base_prices: {truck: -5}\n", "out_of_range", "expected 0 to"},
    {"exchange_rates: {NOK: 0}\n", "out_of_range", "above 0"},
    {"exchange_rates: {EUR: 1}\n", "disagrees", "own currency"},
    {"uncertain: {no: {of: [parts.motor.per_kwx], relative: 0.1}}\n", "unknown_key", "per_kw"},
};

START_TEST(prices_that_do_not_do_are_refused_with_the_fault)
{
    evn_finding f;
    ck_assert_ptr_null(prices_of(wrong[_i].more));
    ck_assert(first_error(&f));
    ck_assert_str_eq(f.fault, wrong[_i].fault);
    ck_assert_msg(strstr(f.text, wrong[_i].text), "%s", f.text);
    ck_assert(f.line > 0 && f.column > 0);
}
END_TEST

START_TEST(a_part_without_a_price_is_named_with_the_key)
{
    const evn_prices_file *prices = prices_of("");
    const evn_price_places none = {NULL, 0};
    evn_finding f;
    ck_assert(evn_bought_has_prices(&bought, "truck", prices, &none, report));
    bought.part[bought.count++] = (evn_bought_part){EVN_CLASS_gearbox, "drive_units.rear.gearbox", 500, 0, 150};
    ck_assert(!evn_bought_has_prices(&bought, "truck", prices, &none, report));
    ck_assert(first_error(&f));
    ck_assert_str_eq(f.fault, "missing_key");
    ck_assert_msg(strstr(f.text, "drive_units.rear.gearbox") && strstr(f.text, "parts.gearbox"), "%s", f.text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("payback");
    TCase *costs = tcase_create("costs"), *turns = tcase_create("turns"), *faults = tcase_create("faults");
    TCase *all[] = {costs, turns, faults};
    tcase_add_test(costs, the_price_of_a_truck_is_that_of_its_parts);
    tcase_add_test(costs, a_plain_truck_costs_what_a_formula_by_hand_says);
    tcase_add_test(costs, what_a_year_takes_is_the_sum_of_its_causes);
    tcase_add_test(costs, a_tariff_is_averaged_over_the_hours_of_charging_over_midnight_too);
    tcase_add_test(costs, stops_and_depot_are_paid_for_apart_and_the_depot_for_its_power);
    tcase_add_test(costs, other_currencies_count_at_their_rates);
    tcase_add_test(costs, a_truck_is_bought_of_all_parts_of_its_file);
    tcase_add_test(costs, a_battery_is_replaced_at_the_end_of_the_year_in_which_it_ends_but_not_of_the_last);
    tcase_add_test(costs, batteries_that_do_not_last_a_year_are_all_paid_for);
    tcase_add_test(turns, at_each_turn_both_trucks_cost_the_same);
    tcase_add_test(turns, the_price_of_a_truck_rises_by_what_it_saves_until_both_cost_the_same);
    tcase_add_test(turns, costs_are_alike_within_half_of_their_last_digit_alone);
    tcase_add_test(costs, hours_of_a_year_are_those_of_its_days_and_of_charging_where_its_power_is_stated);
    tcase_add_test(turns, the_value_at_any_price_of_energy_is_straight_and_zero_at_the_factor_that_turns_it);
    tcase_add_test(turns, a_subsidy_that_meets_its_most_between_turns_the_answer_where_it_should);
    tcase_add_test(turns, the_price_that_pays_back_in_years_follows_a_subsidy_to_its_most_and_back);
    tcase_add_loop_test(faults, prices_that_do_not_do_are_refused_with_the_fault, 0,
                        (int)(sizeof wrong / sizeof *wrong));
    tcase_add_test(faults, a_part_without_a_price_is_named_with_the_key);
    for (size_t k = 0; k < sizeof all / sizeof *all; k++) {
        tcase_add_checked_fixture(all[k], set_up, tear_down);
        suite_add_tcase(suite, all[k]);
    }
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
