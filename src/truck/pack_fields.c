/* Field tables of what a battery may say of temperature, duration and age. */
#include "core/uncertain.h"
#include "truck/pack.h"
#include "truck/truck.h"
#include "truck/usual.h"
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Rows of tables lie at least this far apart: what is nearer bends like a jump. */
#define APART_LEAST_K 1
#define YEARS_APART_LEAST 0.1

enum { VALUES_MAX = (int)EVN_GRID_ROWS_MAX * (int)EVN_GRID_ROWS_MAX };

/* ------------------------------------------------------------------------------------------------ tables */

/* The axes of a table; `of` is the struct of the file. */
#define AXES(of)                                                                                                       \
    {.key = "temperature_degc",                                                                                        \
     .shape = EVN_LIST,                                                                                                \
     .presence = EVN_REQUIRED,                                                                                         \
     .least = -60,                                                                                                     \
     .most = 100,                                                                                                      \
     .offset = offsetof(of, temperature_degc),                                                                         \
     .count_least = 1,                                                                                                 \
     .apart_least = APART_LEAST_K,                                                                                     \
     .count_most = EVN_GRID_ROWS_MAX,                                                                                  \
     .help = "temperatures of the battery, rising; beyond the ends the values there hold"},                            \
        {.key = "soc",                                                                                                 \
         .shape = EVN_LIST,                                                                                            \
         .most = 1,                                                                                                    \
         .offset = offsetof(of, soc),                                                                                  \
         .count_least = 1,                                                                                             \
         .apart_least = EVN_SOC_APART_LEAST,                                                                           \
         .count_most = EVN_GRID_ROWS_MAX,                                                                              \
         .help = "states of charge, 0 to 1, rising; not given: alike at each"}

/* Each axis rises, and each temperature has a value for each state of charge. */
static void check_values(const evn_list *degc, const evn_list *soc, const evn_list *value, const char *key,
                         const evn_seat *seat, evn_report *report)
{
    size_t columns = soc->count ? soc->count : 1;
    if (value->count != degc->count * columns)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key,
                   "%zu values; expected %zu: for each of %zu temperatures one at each of %zu states of charge",
                   value->count, degc->count * columns, degc->count, columns);
}

static void check_rises(const evn_list *x, const char *key, double apart_least, const evn_seat *seat,
                        evn_report *report)
{
    if (x->count)
        evn_check_curve(x, key, apart_least, x, key, seat, report);
}

static const evn_field resistance_fields[] = {
    AXES(evn_resistance_factors_file),
    {.key = "factor",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 100,
     .usual_low = 0.5,
     .usual_high = 10,
     .offset = offsetof(evn_resistance_factors_file, factor),
     .count_least = 1,
     .count_most = VALUES_MAX,
     .uncertain = &evn_usual_battery_resistance_factor,
     .source =
         "whole cells follow exp(E/(R T)) with E of 20 to 30 kJ/mol: 1.9 to 3 at 0 degC and 3.4 to 8.6 at -20 degC "
         "of that at 25 degC, from memory",
     .help = "of resistance_ohm, which is that of a factor of 1; temperature by temperature, each for all states of "
             "charge"},
    EVN_SOURCE_FIELD(evn_resistance_factors_file),
    EVN_UNCERTAIN_FIELD(evn_resistance_factors_file),
};
static void check_resistance(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_resistance_factors_file *f = self;
    check_rises(&f->temperature_degc, "temperature_degc", APART_LEAST_K, seat, report);
    check_rises(&f->soc, "soc", EVN_SOC_APART_LEAST, seat, report);
    check_values(&f->temperature_degc, &f->soc, &f->factor, "factor", seat, report);
}
const evn_object evn_resistance_factors_object = {"resistance_factors",
                                                  "resistance of the battery over temperature and state of charge",
                                                  sizeof(evn_resistance_factors_file),
                                                  resistance_fields,
                                                  COUNT(resistance_fields),
                                                  check_resistance};

static const evn_field shares_fields[] = {
    AXES(evn_power_shares_file),
    {.key = "share",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 1,
     .offset = offsetof(evn_power_shares_file, share),
     .count_least = 1,
     .count_most = VALUES_MAX,
     .source = "common practice, no source: charging none at 0 degC or between -20 and 0, all from 15 to 25 on, less "
               "above 45; also for braking energy",
     .help =
         "of the limit, that the battery bears for 10 s; temperature by temperature, each for all states of charge"},
    {.key = "continuous_share",
     .shape = EVN_LIST,
     .most = 1,
     .offset = offsetof(evn_power_shares_file, continuous_share),
     .count_least = 1,
     .count_most = VALUES_MAX,
     .source = "common practice, no source: a half to three quarters of that for 10 s",
     .help = "of the limit, that it bears for any time; not above share; not given: as share"},
    {.key = "recovery_s",
     .shape = EVN_NUMBER,
     .least = 10,
     .most = 3600,
     .usual_low = 20,
     .usual_high = 300,
     .fallback = 60,
     .offset = offsetof(evn_power_shares_file, recovery_s),
     .source = "common practice, no source",
     .help = "with continuous_share: time constant with which a battery at rest comes back to its power for 10 s"},
    EVN_SOURCE_FIELD(evn_power_shares_file),
    EVN_UNCERTAIN_FIELD(evn_power_shares_file),
};
static void check_shares(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_power_shares_file *f = self;
    check_rises(&f->temperature_degc, "temperature_degc", APART_LEAST_K, seat, report);
    check_rises(&f->soc, "soc", EVN_SOC_APART_LEAST, seat, report);
    check_values(&f->temperature_degc, &f->soc, &f->share, "share", seat, report);
    if (!f->continuous_share.count)
        return;
    check_values(&f->temperature_degc, &f->soc, &f->continuous_share, "continuous_share", seat, report);
    for (size_t k = 0; k < f->share.count && k < f->continuous_share.count; k++)
        if (f->continuous_share.at[k] > f->share.at[k]) {
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, "continuous_share",
                       "value %zu is %g; expected at most that of share, %g", k + 1, f->continuous_share.at[k],
                       f->share.at[k]);
            return;
        }
}
const evn_object evn_power_shares_object = {"power_shares",
                                            "a limit of power over temperature, state of charge and duration",
                                            sizeof(evn_power_shares_file),
                                            shares_fields,
                                            COUNT(shares_fields),
                                            check_shares};

/* ------------------------------------------------------------------------------------------------ age */

static const evn_field ageing_fields[] = {
    {.key = "years",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = EVN_BATTERY_YEARS_MOST,
     .offset = offsetof(evn_battery_ageing_file, years),
     .count_least = 2,
     .apart_least = YEARS_APART_LEAST,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "age in years, rising from 0"},
    {.key = "capacity_factor",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.3,
     .most = 1,
     .usual_low = 0.6,
     .usual_high = 1,
     .offset = offsetof(evn_battery_ageing_file, capacity_factor),
     .count_least = 2,
     .count_most = EVN_CURVE_POINTS_MAX,
     .source = "common practice, no source: 0.7 to 0.8 at the end of life",
     .help = "of capacity_ah at each; 1 at 0 years"},
    {.key = "resistance_factor",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 10,
     .usual_low = 1,
     .usual_high = 2.5,
     .offset = offsetof(evn_battery_ageing_file, resistance_factor),
     .count_least = 2,
     .count_most = EVN_CURVE_POINTS_MAX,
     .source = "common practice, no source: 1.3 to 2 at the end of life",
     .help = "of resistance_ohm at each, at any temperature; 1 at 0 years"},
    EVN_SOURCE_FIELD(evn_battery_ageing_file),
    EVN_UNCERTAIN_FIELD(evn_battery_ageing_file),
};

static void check_new(const evn_list *l, const char *key, double expected, const evn_seat *seat, evn_report *report)
{
    if (l->at[0] != expected)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key, "begins at %g; expected %g, a new battery", l->at[0],
                   expected);
}

static void check_ageing(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_battery_ageing_file *f = self;
    evn_check_curve(&f->years, "years", YEARS_APART_LEAST, &f->capacity_factor, "capacity_factor", seat, report);
    evn_check_curve(&f->years, "years", YEARS_APART_LEAST, &f->resistance_factor, "resistance_factor", seat, report);
    check_new(&f->years, "years", 0, seat, report);
    check_new(&f->capacity_factor, "capacity_factor", 1, seat, report);
    check_new(&f->resistance_factor, "resistance_factor", 1, seat, report);
}
const evn_object evn_battery_ageing_object = {
    "battery_ageing",
    "what age makes of the battery; limits stay as they are, and voltages bind earlier",
    sizeof(evn_battery_ageing_file),
    ageing_fields,
    COUNT(ageing_fields),
    check_ageing};

/* ------------------------------------------------------------------------------------------------ heat */

/* Between two temperatures cooling or heating rises; a step would rattle. */
static const double RANGE_LEAST_K = 1;

#define HEAT_KW(of, what)                                                                                              \
    {.key = "heat_kw",                                                                                                 \
     .shape = EVN_NUMBER,                                                                                              \
     .presence = EVN_REQUIRED,                                                                                         \
     .least = 0.01,                                                                                                    \
     .most = 200,                                                                                                      \
     .usual_low = 1,                                                                                                   \
     .usual_high = 30,                                                                                                 \
     .offset = offsetof(of, heat_kw),                                                                                  \
     .source = "common practice, no source",                                                                           \
     .help = what}

static const evn_field cooling_fields[] = {
    HEAT_KW(evn_battery_cooling_file, "most heat that it takes from the battery"),
    {.key = "coefficient_of_performance",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 100,
     .usual_low = 1.5,
     .usual_high = 20,
     .fallback = 3,
     .offset = offsetof(evn_battery_cooling_file, coefficient_of_performance),
     .source = "common practice, no source: 2 to 4 of a refrigerating circuit, more of a radiator with pump and fan",
     .help = "heat taken, over the power from the d.c. bus for it"},
    {.key = "from_degc",
     .shape = EVN_NUMBER,
     .least = -20,
     .most = 80,
     .usual_low = 20,
     .usual_high = 40,
     .fallback = 28,
     .offset = offsetof(evn_battery_cooling_file, from_degc),
     .source = "common practice, no source",
     .help = "temperature of the battery from which it cools, rising smoothly ..."},
    {.key = "full_degc",
     .shape = EVN_NUMBER,
     .least = -20,
     .most = 80,
     .usual_low = 25,
     .usual_high = 45,
     .fallback = 34,
     .offset = offsetof(evn_battery_cooling_file, full_degc),
     .source = "common practice, no source",
     .help = "... to the most at this one"},
};
static void check_cooling(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_battery_cooling_file *c = self;
    if (c->full_degc < c->from_degc + RANGE_LEAST_K)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "full_degc",
                   "cools most at %g degC; expected at least %g K above from_degc, %g", c->full_degc, RANGE_LEAST_K,
                   c->from_degc);
}
static const evn_object battery_cooling_object = {
    "battery_cooling", "cooling of the battery", sizeof(evn_battery_cooling_file),
    cooling_fields,    COUNT(cooling_fields),    check_cooling};

static const evn_field heating_fields[] = {
    HEAT_KW(evn_battery_heating_file, "most heat that it brings into the battery"),
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 10,
     .usual_low = 0.8,
     .usual_high = 4,
     .fallback = 0.95,
     .offset = offsetof(evn_battery_heating_file, efficiency),
     .source = "common practice, no source: a resistance heater; a heat pump above 1",
     .help = "heat brought, over the power from the d.c. bus for it"},
    {.key = "to_degc",
     .shape = EVN_NUMBER,
     .least = -40,
     .most = 40,
     .usual_low = -5,
     .usual_high = 20,
     .fallback = 10,
     .offset = offsetof(evn_battery_heating_file, to_degc),
     .source = "common practice, no source",
     .help = "temperature of the battery below which it heats, rising smoothly ..."},
    {.key = "full_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 40,
     .usual_low = -20,
     .usual_high = 15,
     .fallback = 5,
     .offset = offsetof(evn_battery_heating_file, full_degc),
     .source = "common practice, no source",
     .help = "... to the most at this one"},
};
static void check_heating(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_battery_heating_file *h = self;
    if (h->full_degc > h->to_degc - RANGE_LEAST_K)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "full_degc",
                   "heats most at %g degC; expected at least %g K below to_degc, %g", h->full_degc, RANGE_LEAST_K,
                   h->to_degc);
}
static const evn_object battery_heating_object = {
    "battery_heating", "heating of the battery", sizeof(evn_battery_heating_file),
    heating_fields,    COUNT(heating_fields),    check_heating};

static const evn_field heat_fields[] = {
    {.key = "heat_capacity_kj_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 10,
     .most = 1e5,
     .usual_low = 500,
     .usual_high = 8000,
     .offset = offsetof(evn_battery_heat_file, heat_capacity_kj_per_k),
     .uncertain = &evn_usual_battery_heat_capacity,
     .source = "cells 0.9 to 1.6 kJ/(kg K), from memory",
     .help = "heat that warms the battery by 1 K, as one body"},
    {.key = "to_air_w_per_k",
     .shape = EVN_NUMBER,
     .most = 2000,
     .usual_low = 5,
     .usual_high = 150,
     .offset = offsetof(evn_battery_heat_file, to_air_w_per_k),
     .source = "common practice, no source",
     .help = "heat that its housing gives off per K above the ambient air"},
    {.key = "cooling",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_heat_file, cooling),
     .of = &battery_cooling_object,
     .help = "its own cooling, at the d.c. bus; not given: none"},
    {.key = "heating",
     .shape = EVN_ONE,
     .offset = offsetof(evn_battery_heat_file, heating),
     .of = &battery_heating_object,
     .help = "its own heating, at the d.c. bus; not given: none"},
    {.key = "limit_degc",
     .shape = EVN_NUMBER,
     .least = 20,
     .most = 100,
     .usual_low = 40,
     .usual_high = 65,
     .fallback = (double)NAN,
     .offset = offsetof(evn_battery_heat_file, limit_degc),
     .source = "common practice, no source; makers of batteries state it",
     .help = "temperature that a run may not pass without being told; not given: none. What a battery may reach is for "
             "its maker, local regulation and licensed practice"},
    {.key = "start_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 100,
     .fallback = (double)NAN,
     .offset = offsetof(evn_battery_heat_file, start_degc),
     .help = "at the start of a run; not given: that of the air"},
    EVN_SOURCE_FIELD(evn_battery_heat_file),
    EVN_UNCERTAIN_FIELD(evn_battery_heat_file),
};

/* A body that follows what it is cooled by within seconds would hold every step of a run to that. */
static const double TIME_CONSTANT_LEAST_S = 60;

static void check_heat(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_battery_heat_file *h = self;
    double kw_per_k = h->to_air_w_per_k / 1e3;
    /* the smooth rise is steepest in its middle, 1.5 times its mean */
    if (h->cooling)
        kw_per_k += 1.5 * h->cooling->heat_kw / fmax(h->cooling->full_degc - h->cooling->from_degc, RANGE_LEAST_K);
    if (h->heating)
        kw_per_k += 1.5 * h->heating->heat_kw / fmax(h->heating->to_degc - h->heating->full_degc, RANGE_LEAST_K);
    if (h->heat_capacity_kj_per_k < TIME_CONSTANT_LEAST_S * kw_per_k)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "heat_capacity_kj_per_k",
                   "%g kJ/K follow air, cooling and heating, together %.3g kW/K, within %.2g s; expected at least %g s",
                   h->heat_capacity_kj_per_k, kw_per_k, h->heat_capacity_kj_per_k / kw_per_k, TIME_CONSTANT_LEAST_S);
    if (h->cooling && h->heating && h->heating->to_degc > h->cooling->from_degc)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "heating.to_degc",
                   "heats up to %g degC; expected at most cooling.from_degc, %g", h->heating->to_degc,
                   h->cooling->from_degc);
}
const evn_object evn_battery_heat_object = {"battery_heat",
                                            "temperature of the battery, as one body",
                                            sizeof(evn_battery_heat_file),
                                            heat_fields,
                                            COUNT(heat_fields),
                                            check_heat};
