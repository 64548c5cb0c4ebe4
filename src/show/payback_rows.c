/* Rows of the tables on what the dearer truck earns. */
#include "show/payback_rows.h"
#include "show/text.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const evn_payback_row demands[] = {
    {"demanded.reserve_soc", "reserve of charge demanded", "%", 1, 100, false, NULL},
    {"demand.reserve_soc", "reserve of charge", "%", 1, 100, false, NULL},
    {"demanded.reserve_kwh", "reserve of energy demanded", "kWh", 1, 1, false, NULL},
    {"demand.reserve_kwh", "reserve of energy", "kWh", 1, 1, false, NULL},
    {"demanded.steepest_start_percent", "steepest start demanded", "%", 1, 1, false, NULL},
    {"demand.steepest_start_percent", "steepest start", "%", 1, 1, false, NULL},
    {"battery.sized_at_capacity", "battery's capacity for its size", "%", 0, 100, false, NULL},
    {"battery.capacity_lowest", "battery's capacity at its lowest", "%", 0, 100, false, NULL},
    {"battery.replacements", "batteries replaced", "", 0, 1, false, NULL}};

static const evn_payback_row costs[] = {{"price.total", "price", "", 0, 1, true, NULL},
                                        {"battery.kwh", "battery", "kWh", 0, 1, false, NULL},
                                        {"stops.longer_min", "charging stops longer by", "min", 0, 1, false, NULL},
                                        {"stops.connector_kw", "connector of them", "kW", 0, 1, false, NULL},
                                        {"masses.may_carry_t", "payload that it may carry", "t", 2, 1, false, NULL},
                                        {"energy.kwh_per_km", "energy from the grid", "kWh/km", 3, 1, false, NULL},
                                        {"year.total", "costs of a year", "", 0, 1, true, NULL},
                                        {"battery.years_to_replacement", "life of the battery", "a", 1, 1, false, NULL},
                                        {"battery.replacements", "replacements of it", "", 0, 1, false, NULL},
                                        {"cost.per_km", "cost per km", "/km", 4, 1, true, NULL},
                                        {"cost.per_t_km", "cost per tonne-kilometre", "/(t km)", 5, 1, true, NULL}};

static const evn_payback_row parts[] = {{"per_km.base", "base and axles", "/km", 4, 1, true, NULL},
                                        {"per_km.drive", "drive", "/km", 4, 1, true, NULL},
                                        {"per_km.battery", "battery", "/km", 4, 1, true, NULL},
                                        {"per_km.energy", "energy", "/km", 4, 1, true, NULL},
                                        {"per_km.demand", "demand charge", "/km", 4, 1, true, NULL},
                                        {"per_km.maintenance", "maintenance", "/km", 4, 1, true, NULL},
                                        {"per_km.tyres", "tyres", "/km", 4, 1, true, NULL},
                                        {"per_km.insurance", "insurance", "/km", 4, 1, true, NULL},
                                        {"per_km.tax_and_toll", "vehicle tax and toll", "/km", 4, 1, true, NULL},
                                        {"per_km.driver", "driver", "/km", 4, 1, true, NULL},
                                        {"per_km.payload", "payload not carried", "/km", 4, 1, true, NULL},
                                        {"cost.per_km", "together", "/km", 4, 1, true, NULL}};

static const evn_payback_row parts_per_t_km[] = {
    {"per_t_km.base", "base and axles", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.drive", "drive", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.battery", "battery", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.energy", "energy", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.demand", "demand charge", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.maintenance", "maintenance", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.tyres", "tyres", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.insurance", "insurance", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.tax_and_toll", "vehicle tax and toll", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.driver", "driver", "/(t km)", 5, 1, true, NULL},
    {"per_t_km.payload", "payload not carried", "/(t km)", 5, 1, true, NULL},
    {"cost.per_t_km", "together", "/(t km)", 5, 1, true, NULL}};

static const evn_payback_row against[] = {
    {"extra.price", "extra price", "", 0, 1, true, NULL},
    {"extra.invested", "extra investment", "", 0, 1, true, NULL},
    {"extra.yearly", "saved in a year", "", 0, 1, true, NULL},
    {"extra.payback", "simple payback", "a", 1, 1, false, NULL},
    {"extra.discounted_payback", "discounted payback", "a", 1, 1, false, NULL},
    {"extra.present_value", "net present value", "", 0, 1, true, NULL},
    {"extra.turns_at_price", "extra price at which it turns", "", 0, 1, true, NULL},
    {"extra.price_for_1", "extra price that pays back in 1 year", "", 0, 1, true, NULL},
    {"extra.price_for_2", "extra price that pays back in 2 years", "", 0, 1, true, NULL},
    {"extra.turns_at_energy_price", "depot price at which it turns, stops in step", "/kWh", 3, 1, true, NULL},
    {"extra.rates_of_return", "rates of return", "%", 1, 100, false, "extra.rate_of_return"},
    {"extra.turns_at_km.count", "distances a year at which it turns", "km", 0, 1, false, "extra.turns_at_km"}};

static const struct {
    const evn_payback_row *at;
    size_t count;
    const char *title;
} groups[] = {[EVN_PAYBACK_DEMANDS] = {demands, sizeof demands / sizeof *demands,
                                       "What the duty demands, in the season that is worst for it"},
              [EVN_PAYBACK_COSTS] = {costs, sizeof costs / sizeof *costs, "What each costs"},
              [EVN_PAYBACK_PARTS] = {parts, sizeof parts / sizeof *parts, "Cost per km by what it is for"},
              [EVN_PAYBACK_PARTS_PER_T_KM] = {parts_per_t_km, sizeof parts_per_t_km / sizeof *parts_per_t_km,
                                              "Cost per tonne-kilometre by what it is for"},
              [EVN_PAYBACK_AGAINST] = {against, sizeof against / sizeof *against, "Against the first"}};

const evn_payback_row *evn_payback_row_at(evn_payback_group group, size_t index)
{
    return index < groups[group].count ? &groups[group].at[index] : NULL;
}

bool evn_payback_group_there(const evn_payback_story *story, evn_payback_basis basis, evn_payback_group group)
{
    const evn_payback_row *row;
    double value;
    for (size_t k = 0; (row = evn_payback_row_at(group, k)); k++)
        for (size_t t = 0; t < evn_payback_truck_count(story->payback); t++)
            if (evn_payback_get(story->payback, t, basis, row->key, &value))
                return true;
    return false;
}

const char *evn_payback_group_title(evn_payback_group group) { return groups[group].title; }

void evn_payback_row_label(const evn_payback_story *story, const evn_payback_row *row,
                           char out[EVN_PAYBACK_LABEL_BYTES])
{
    snprintf(out, EVN_PAYBACK_LABEL_BYTES, "%s%s%.12s%s", row->label, row->money || row->unit[0] ? ", " : "",
             row->money ? evn_prices_currency(story->prices) : "", row->unit);
}

/* The first of them, "12.4, 310.0", and how many more there are; or "none". A table has no room for all; documents do.
 */
enum { SEVERAL_TOLD = 4 };

static void put_several(const evn_payback_story *story, size_t truck, evn_payback_basis basis,
                        const evn_payback_row *row, int digits, double count, char out[EVN_PAYBACK_CELL_BYTES])
{
    char key[EVN_PAYBACK_KEY_BYTES], one[80];
    size_t used = 0;
    double value, told = fmin(count, SEVERAL_TOLD);
    snprintf(out, EVN_PAYBACK_CELL_BYTES, "none");
    for (size_t i = 1; (double)i <= told && used < EVN_PAYBACK_CELL_BYTES; i++) {
        snprintf(key, sizeof key, "%s.%zu", row->each, i);
        if (!evn_payback_get(story->payback, truck, basis, key, &value))
            continue;
        evn_format_decimals(one, sizeof one, digits, value * row->times);
        used += (size_t)snprintf(out + used, EVN_PAYBACK_CELL_BYTES - used, "%s%.20s", used > 0 ? ", " : "", one);
    }
    if (count > told && used < EVN_PAYBACK_CELL_BYTES)
        snprintf(out + used, EVN_PAYBACK_CELL_BYTES - used, ", %.0f more", count - told);
}

bool evn_payback_row_cell(const evn_payback_story *story, size_t truck, evn_payback_basis basis,
                          const evn_payback_row *row, int digits, char out[EVN_PAYBACK_CELL_BYTES])
{
    double value;
    if (!evn_payback_get(story->payback, truck, basis, row->key, &value))
        return false;
    /* Energy has no price below 0, and a payback that never comes is none. */
    bool none = isnan(value) || (strcmp(row->key, "extra.turns_at_energy_price") == 0 && value < 0);
    if (row->each)
        put_several(story, truck, basis, row, digits, value, out);
    else if (none || isinf(value))
        snprintf(out, EVN_PAYBACK_CELL_BYTES, "%s", none ? "none" : "never");
    else
        evn_format_decimals(out, EVN_PAYBACK_CELL_BYTES, digits, value * row->times);
    return true;
}
