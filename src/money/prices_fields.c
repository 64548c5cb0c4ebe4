/* The keys of a file of prices, and the rules between them. */
#include "core/change.h"
#include "core/uncertain.h"
#include "money/factors.h"
#include "money/prices.h"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))
#define MOST 1e9 /* of any amount */

const char *const evn_part_class_names[] = {
#define X(key, what) #key,
    EVN_PART_CLASSES(X)
#undef X
        NULL};
const char *const evn_tyre_place_names[] = {"steered", "driven", "carrying", "trailer", NULL};

/* An amount of money that may be left out. */
#define AMOUNT(name, member_name, otherwise, text)                                                                     \
    {.key = name, .shape = EVN_NUMBER, .most = MOST, .fallback = otherwise, .offset = MEMBER(member_name), .help = text}
#define PERCENT(name, member_name, most_percent, text)                                                                 \
    {.key = name, .shape = EVN_NUMBER, .most = most_percent, .offset = MEMBER(member_name), .help = text}
#define CURRENCY                                                                                                       \
    {.key = "currency",                                                                                                \
     .shape = EVN_TEXT,                                                                                                \
     .offset = MEMBER(currency),                                                                                       \
     .help = "of these amounts; not given: the file's. One of exchange_rates"}
#define NOT_GIVEN ((double)NAN)

/* ------------------------------------------------------------------------------------------------ parts */

#define MEMBER(member) offsetof(evn_part_price_file, member)
static const evn_field part_price_fields[] = {
    AMOUNT("each", each, NOT_GIVEN, "price of a piece; the prices of one part that are given add up"),
    AMOUNT("per_kw", per_kw, NOT_GIVEN, "price per kW"),
    AMOUNT("per_kwh", per_kwh, NOT_GIVEN, "price per kWh, of the battery"),
    AMOUNT("per_kg", per_kg, NOT_GIVEN, "price per kg of the mass that the part states"),
    AMOUNT("maintenance_per_km", maintenance_per_km, 0, "what keeping a piece up costs per km; not given: nothing"),
    CURRENCY,
    EVN_SOURCE_FIELD(evn_part_price_file),
};
#undef MEMBER

static void check_part_price(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_part_price_file *p = self;
    if (isnan(p->each) && isnan(p->per_kw) && isnan(p->per_kwh) && isnan(p->per_kg))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "each",
                   "a part without a price; expected each, per_kw, per_kwh or per_kg");
}
static const evn_object part_price_object = {.name = "part_price",
                                             .help = "price of a class of parts",
                                             .size = sizeof(evn_part_price_file),
                                             .fields = part_price_fields,
                                             .field_count = COUNT(part_price_fields),
                                             .check = check_part_price};

static const evn_field part_prices_fields[] = {
#define X(name, what)                                                                                                  \
    {.key = #name,                                                                                                     \
     .shape = EVN_ONE,                                                                                                 \
     .of = &part_price_object,                                                                                         \
     .offset = offsetof(evn_part_prices_file, of) + EVN_CLASS_##name * sizeof(void *),                                 \
     .help = what},
    EVN_PART_CLASSES(X)
#undef X
};
static const evn_object part_prices_object = {.name = "part_prices",
                                              .help = "prices of parts by class; of all classes that a truck has",
                                              .size = sizeof(evn_part_prices_file),
                                              .fields = part_prices_fields,
                                              .field_count = COUNT(part_prices_fields)};

/* ------------------------------------------------------------------------------------------------ energy */

static const evn_field tariff_fields[] = {
    {.key = "from_h",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 24,
     .apart_least = 0.01,
     .count_least = 1,
     .count_most = 48,
     .offset = offsetof(evn_tariff_file, from_h),
     .help = "hours of the day, rising, from which on each price holds; the last holds on until the first"},
    {.key = "price_per_kwh",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = MOST,
     .count_least = 1,
     .count_most = 48,
     .offset = offsetof(evn_tariff_file, price_per_kwh),
     .help = "price of energy from the grid, for each of these hours"},
};

static void check_tariff(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_tariff_file *t = self;
    evn_check_curve(&t->from_h, "from_h", 0.01, &t->price_per_kwh, "price_per_kwh", seat, report);
}
static const evn_object tariff_object = {.name = "tariff",
                                         .help = "price of energy by the time of day",
                                         .size = sizeof(evn_tariff_file),
                                         .fields = tariff_fields,
                                         .field_count = COUNT(tariff_fields),
                                         .check = check_tariff};

#define MEMBER(member) offsetof(evn_charging_place_file, member)
static const evn_field place_fields[] = {
    AMOUNT("price_per_kwh", price_per_kwh, NOT_GIVEN, "price of energy from the grid at any hour; or `tariff`"),
    {.key = "tariff",
     .shape = EVN_ONE,
     .of = &tariff_object,
     .offset = MEMBER(tariff),
     .help = "its price by the time of day"},
    {.key = "charging_from_h",
     .shape = EVN_NUMBER,
     .most = 24,
     .fallback = 0,
     .offset = MEMBER(charging_from_h),
     .help = "hour of the day from which on it is charged here, evenly; for the tariff and the demand charge"},
    {.key = "charging_to_h",
     .shape = EVN_NUMBER,
     .most = 24,
     .fallback = 24,
     .offset = MEMBER(charging_to_h),
     .help = "... and up to which; before charging_from_h: over midnight"},
    {.key = "charger_efficiency",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.3,
     .most = 1,
     .usual_low = 0.85,
     .usual_high = 0.98,
     .source = "common practice, no source",
     .offset = MEMBER(charger_efficiency),
     .help = "energy at the battery's terminals over that from the grid; a duty's stop that states its own keeps it"},
    {.key = "connector_kw",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 10000,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(connector_kw),
     .help = "power at the terminals, for the battery's own loss while it is charged at the depot; not given: that is "
             "left out. Of stops the duty says it"},
    AMOUNT("demand_charge_per_kw_year", demand_charge_per_kw_year, 0,
           "what each kW from the grid costs a year, of the energy of a day in its worst season over the hours of "
           "charging; at the depot"),
    CURRENCY,
    EVN_SOURCE_FIELD(evn_charging_place_file),
};
#undef MEMBER

static void check_place(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_charging_place_file *p = self;
    if (isnan(p->price_per_kwh) && !p->tariff)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "price_per_kwh",
                   "energy without a price; expected price_per_kwh or tariff");
    if (!isnan(p->price_per_kwh) && p->tariff)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "tariff", "a tariff beside price_per_kwh; expected one of them");
    if (p->charging_from_h == p->charging_to_h)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "charging_to_h",
                   "charging from %g to %g h, which is no time; expected another hour, 0 to 24 for the whole day",
                   p->charging_from_h, p->charging_to_h);
}
static const evn_object place_object = {.name = "charging_place",
                                        .help = "where energy is bought",
                                        .size = sizeof(evn_charging_place_file),
                                        .fields = place_fields,
                                        .field_count = COUNT(place_fields),
                                        .check = check_place};

static const evn_field energy_fields[] = {
    {.key = "depot",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .of = &place_object,
     .offset = offsetof(evn_energy_prices_file, depot),
     .help = "where the battery is charged between the days with what no stop has charged"},
    {.key = "stops",
     .shape = EVN_ONE,
     .of = &place_object,
     .offset = offsetof(evn_energy_prices_file, stops),
     .help = "where the stops of a duty charge; needed for a duty that has such"},
};
static const evn_object energy_object = {.name = "energy_prices",
                                         .help = "prices of energy by place",
                                         .size = sizeof(evn_energy_prices_file),
                                         .fields = energy_fields,
                                         .field_count = COUNT(energy_fields)};

/* ------------------------------------------------------------------------------------------------ tyres */

#define MEMBER(member) offsetof(evn_tyre_price_file, member)
static const evn_field tyre_price_fields[] = {
    {.key = "each",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = MOST,
     .offset = MEMBER(each),
     .help = "price of a tyre, mounted"},
    {.key = "life_km",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1000,
     .most = 2e6,
     .usual_low = 40000,
     .usual_high = 300000,
     .source = "common practice, no source",
     .offset = MEMBER(life_km),
     .help = "distance until it is worn"},
    CURRENCY,
    EVN_SOURCE_FIELD(evn_tyre_price_file),
};
#undef MEMBER
static const evn_object tyre_price_object = {.name = "tyre_price",
                                             .help = "price and life of tyres",
                                             .size = sizeof(evn_tyre_price_file),
                                             .fields = tyre_price_fields,
                                             .field_count = COUNT(tyre_price_fields)};
#define TYRES(name, place, text)                                                                                       \
    {.key = name,                                                                                                      \
     .shape = EVN_ONE,                                                                                                 \
     .of = &tyre_price_object,                                                                                         \
     .offset = offsetof(evn_tyre_prices_file, of) + (place) * sizeof(void *),                                          \
     .help = text}
static const evn_field tyre_prices_fields[] = {
    TYRES("steered", EVN_TYRES_STEERED, "of the front axle, where it is not driven"),
    TYRES("driven", EVN_TYRES_DRIVEN, "of driven axles"),
    TYRES("carrying", EVN_TYRES_CARRYING, "of the other axles of the truck"),
    TYRES("trailer", EVN_TYRES_TRAILER, "of the trailer"),
};
static const evn_object tyre_prices_object = {.name = "tyre_prices",
                                              .help = "tyres by where they are worn; of all places that a truck has",
                                              .size = sizeof(evn_tyre_prices_file),
                                              .fields = tyre_prices_fields,
                                              .field_count = COUNT(tyre_prices_fields)};

/* ------------------------------------------------------------------------------------------------ years */

#define MEMBER(member) offsetof(evn_cell_ageing_file, member)
#define LAW "Schmalstieg et al., J. Power Sources 257 (2014) 325-334, as coded in a public library (MONEY.md)"
static const evn_field cell_ageing_fields[] = {
    {.key = "cell_degc",
     .shape = EVN_NUMBER,
     .least = -20,
     .most = 60,
     .usual_low = 10,
     .usual_high = 40,
     .fallback = 25,
     .offset = MEMBER(cell_degc),
     .source = LAW,
     .help = "mean temperature of the cells all year, for their ageing with time"},
    {.key = "cell_v",
     .shape = EVN_NUMBER,
     .least = 3.3,
     .most = 4.2,
     .fallback = 3.7,
     .offset = MEMBER(cell_v),
     .source = LAW,
     .help = "mean voltage of a cell"},
    {.key = "calendar_factor",
     .shape = EVN_NUMBER,
     .most = 10,
     .fallback = 1,
     .offset = MEMBER(calendar_factor),
     .help = "times the law's loss of capacity with time; 1: cells of 2014"},
    {.key = "cycle_factor",
     .shape = EVN_NUMBER,
     .most = 10,
     .fallback = 1,
     .offset = MEMBER(cycle_factor),
     .help = "times the law's loss with charge that went through; 1: cells of 2014"},
    {.key = "end_share",
     .shape = EVN_NUMBER,
     .least = 0.3,
     .most = 0.99,
     .usual_low = 0.6,
     .usual_high = 0.85,
     .fallback = 0.8,
     .source = "common practice, no source",
     .offset = MEMBER(end_share),
     .help = "share of its new capacity at which a battery is replaced, at the end of that year"},
    AMOUNT("replacement_per_kwh", replacement_per_kwh, NOT_GIVEN,
           "price of another battery, what the old one brings taken off; not given: as it is bought"),
    EVN_SOURCE_FIELD(evn_cell_ageing_file),
};
#undef MEMBER
static const evn_object cell_ageing_object = {.name = "cell_ageing",
                                              .help = "ageing of cells by time and by charge, and replacement",
                                              .size = sizeof(evn_cell_ageing_file),
                                              .fields = cell_ageing_fields,
                                              .field_count = COUNT(cell_ageing_fields)};

#define MEMBER(member) offsetof(evn_residual_file, member)
static const evn_field residual_fields[] = {
    {.key = "truck_loss_percent",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 100,
     .offset = MEMBER(truck_loss_percent),
     .help = "loss of value a year, of what it still is, of the truck without its battery"},
    {.key = "battery_loss_percent",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 100,
     .offset = MEMBER(battery_loss_percent),
     .help = "the same of the battery, from when it was new or replaced"},
    EVN_SOURCE_FIELD(evn_residual_file),
};
#undef MEMBER
static const evn_object residual_object = {.name = "residual",
                                           .help = "what is left of the price after the years",
                                           .size = sizeof(evn_residual_file),
                                           .fields = residual_fields,
                                           .field_count = COUNT(residual_fields)};

#define MEMBER(member) offsetof(evn_running_file, member)
static const evn_field running_fields[] = {
    AMOUNT("maintenance_per_km", maintenance_per_km, 0, "keeping up what all trucks have; parts state their own"),
    AMOUNT("insurance_per_year", insurance_per_year, 0, "insurance whatever the truck cost"),
    PERCENT("insurance_percent", insurance_percent, 100, "insurance a year, of the price of the truck without tax"),
    AMOUNT("vehicle_tax_per_year", vehicle_tax_per_year, 0, "tax on having the truck"),
    AMOUNT("toll_per_km", toll_per_km, 0, "toll, over all that is driven"),
    AMOUNT("driver_per_h", driver_per_h, 0, "the driver's time, stops included; a slower truck takes more of it"),
    EVN_SOURCE_FIELD(evn_running_file),
};
#undef MEMBER
static const evn_object running_object = {.name = "running",
                                          .help = "costs beside energy, tyres and parts; what is not given is nothing",
                                          .size = sizeof(evn_running_file),
                                          .fields = running_fields,
                                          .field_count = COUNT(running_fields)};

#define MEMBER(member) offsetof(evn_subsidy_file, member)
static const evn_field subsidy_fields[] = {
    AMOUNT("amount", amount, 0, "what is given for each truck"),
    PERCENT("percent", percent, 100, "... and of its price without tax"),
    AMOUNT("most", most, NOT_GIVEN, "both together at most; not given: as much as comes out"),
    EVN_SOURCE_FIELD(evn_subsidy_file),
};
#undef MEMBER
static const evn_object subsidy_object = {.name = "subsidy",
                                          .help = "what others pay of a truck",
                                          .size = sizeof(evn_subsidy_file),
                                          .fields = subsidy_fields,
                                          .field_count = COUNT(subsidy_fields)};

#define MEMBER(member) offsetof(evn_payload_value_file, member)
static const evn_field payload_fields[] = {
    {.key = "per_t_km",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = MOST,
     .offset = MEMBER(per_t_km),
     .help = "what a tonne-kilometre that is not carried costs"},
    {.key = "limited_share",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 1,
     .offset = MEMBER(limited_share),
     .help = "share of the distance on which mass limits what is carried, so that payload that a truck may carry less "
             "than the one that may carry most is lost"},
    EVN_SOURCE_FIELD(evn_payload_value_file),
};
#undef MEMBER
static const evn_object payload_object = {.name = "payload_value",
                                          .help = "what payload is worth",
                                          .size = sizeof(evn_payload_value_file),
                                          .fields = payload_fields,
                                          .field_count = COUNT(payload_fields)};

/* ------------------------------------------------------------------------------------------------ the file */

#define MEMBER(member) offsetof(evn_prices_file, member)
#define GROUP(name, member_name, must, object, text)                                                                   \
    {.key = name, .shape = EVN_ONE, .presence = must, .of = object, .offset = MEMBER(member_name), .help = text}
static const evn_field prices_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "name for people: whose prices, of when"},
    {.key = "source", .shape = EVN_TEXT, .offset = MEMBER(source), .help = "where they come from"},
    {.key = "invented", .shape = EVN_FLAG, .offset = MEMBER(invented), .help = "true where nobody asks these prices"},
    {.key = "currency",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(currency),
     .help = "label of the currency that all amounts are in, up to 12 bytes; it is only told"},
    {.key = "exchange_rates",
     .shape = EVN_FIGURES,
     .offset = MEMBER(exchange_rates),
     .help =
         "what one unit of another currency is worth, by its label; for amounts that state a currency of their own"},
    {.key = "interest_percent",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = -99.9999, /* (1 + i)^-40 is a number still */
     .most = 1000,
     .usual_low = 0,
     .usual_high = 20,
     .source = "common practice, no source",
     .offset = MEMBER(interest_percent),
     .help = "interest a year, with which money of other years is discounted; above -100"},
    {.key = "years",
     .shape = EVN_COUNT,
     .least = 1,
     .most = EVN_MONEY_YEARS_MOST,
     .usual_low = 3,
     .usual_high = 15,
     .fallback = 8,
     .source = "common practice, no source",
     .offset = MEMBER(years),
     .help = "how long the trucks are kept"},
    {.key = "annual_km",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 1e6,
     .fallback = NOT_GIVEN,
     .offset = MEMBER(annual_km),
     .help = "distance a year; not given: the working days times the distance of the day"},
    {.key = "working_days_per_year",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 366,
     .fallback = 250,
     .source = "common practice, no source",
     .offset = MEMBER(working_days_per_year),
     .help = "days on which the trucks drive, where the duty does not say it"},
    {.key = "base_price",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = MOST,
     .offset = MEMBER(base_price),
     .help = "price of a truck without the parts that have prices of their own: frame, cab, body; without the trailer"},
    {.key = "base_prices",
     .shape = EVN_FIGURES,
     .offset = MEMBER(base_prices),
     .help = "the same of single trucks, by their names in the lineup"},
    PERCENT("purchase_tax_percent", purchase_tax_percent, 200, "tax on buying, where it is not refunded"),
    GROUP("subsidy", subsidy, EVN_DEFAULTED, &subsidy_object, "what others pay of a truck"),
    GROUP("parts", parts, EVN_REQUIRED, &part_prices_object, "prices of parts by class"),
    GROUP("energy", energy, EVN_REQUIRED, &energy_object, "prices of energy by place"),
    GROUP("tyres", tyres, EVN_REQUIRED, &tyre_prices_object, "tyres by where they are worn"),
    GROUP("battery_ageing", battery_ageing, EVN_OPTIONAL, &cell_ageing_object,
          "when the battery is replaced; not given: never"),
    GROUP("residual", residual, EVN_OPTIONAL, &residual_object,
          "what is left of the price after the years; not given: nothing"),
    GROUP("running", running, EVN_DEFAULTED, &running_object, "costs beside energy, tyres and parts"),
    GROUP("payload", payload, EVN_OPTIONAL, &payload_object,
          "what payload is worth; not given: what a truck cannot carry costs nothing"),
    EVN_UNCERTAIN_FIELD(evn_prices_file),
};
#undef MEMBER

double evn_exchange_rate(const evn_prices_file *p, const char *currency)
{
    if (!currency || strcmp(currency, p->currency) == 0)
        return 1;
    for (size_t k = 0; k < p->exchange_rates.count; k++)
        if (strcmp(p->exchange_rates.name[k], currency) == 0)
            return p->exchange_rates.value[k];
    return (double)NAN;
}

static void check_currency(const evn_prices_file *p, const char *holder, const char *name, const char *currency,
                           const evn_seat *seat, evn_report *report)
{
    char path[80];
    if (!isnan(evn_exchange_rate(p, currency)))
        return;
    snprintf(path, sizeof path, "%s.%s.currency", holder, name);
    const char *nearest = evn_nearest(currency, p->exchange_rates.name, p->exchange_rates.count);
    evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
               "an amount in %.40s, of which no rate is stated; expected %.40s or one of exchange_rates%s%.40s",
               currency, p->currency, nearest ? ", nearest is " : "", nearest ? nearest : "");
}

static void check_rates(const evn_prices_file *p, const evn_seat *seat, evn_report *report)
{
    char path[120];
    for (size_t k = 0; k < p->exchange_rates.count; k++) {
        snprintf(path, sizeof path, "exchange_rates.%.80s", p->exchange_rates.name[k]);
        if (!(p->exchange_rates.value[k] > 0 && p->exchange_rates.value[k] < MOST))
            evn_say_at(report, seat, EVN_FAULT_OUT_OF_RANGE, path, "a rate of %g; expected one above 0 and below %g",
                       p->exchange_rates.value[k], MOST);
        if (strcmp(p->exchange_rates.name[k], p->currency) == 0)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                       "a rate of the file's own currency; expected those of others");
    }
}

static void check_base_prices(const evn_prices_file *p, const evn_seat *seat, evn_report *report)
{
    char path[120];
    for (size_t k = 0; k < p->base_prices.count; k++) {
        snprintf(path, sizeof path, "base_prices.%.80s", p->base_prices.name[k]);
        if (!(p->base_prices.value[k] >= 0 && p->base_prices.value[k] <= MOST))
            evn_say_at(report, seat, EVN_FAULT_OUT_OF_RANGE, path, "%g; expected 0 to %g", p->base_prices.value[k],
                       MOST);
    }
}

static void check_prices(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_prices_file *p = self;
    size_t length = strlen(p->currency);
    if (length == 0 || length > 12)
        evn_say_at(report, seat, EVN_FAULT_OUT_OF_RANGE, "currency",
                   "a label of %zu bytes; expected 1 to 12, such as EUR", length);
    check_rates(p, seat, report);
    check_base_prices(p, seat, report);
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++)
        if (p->parts->of[k])
            check_currency(p, "parts", evn_part_class_names[k], p->parts->of[k]->currency, seat, report);
    for (size_t k = 0; k < EVN_TYRE_PLACES; k++)
        if (p->tyres->of[k])
            check_currency(p, "tyres", evn_tyre_place_names[k], p->tyres->of[k]->currency, seat, report);
    check_currency(p, "energy", "depot", p->energy->depot->currency, seat, report);
    if (p->energy->stops)
        check_currency(p, "energy", "stops", p->energy->stops->currency, seat, report);
}
#define PRICES(later)                                                                                                  \
    {.name = "prices",                                                                                                 \
     .help = "prices of trucks, of what they take and of what is earned with them",                                    \
     .size = sizeof(evn_prices_file),                                                                                  \
     .fields = prices_fields,                                                                                          \
     .field_count = COUNT(prices_fields),                                                                              \
     .check = check_prices,                                                                                            \
     .absent_later = (later)}
const evn_object evn_prices_object = PRICES(false), evn_prices_for_trucks_object = PRICES(true);

bool evn_prices_uncertain_fit(const evn_prices_file *p, const evn_price_places *places, evn_report *report)
{
    const evn_uncertain_file *e = p->uncertain.item;
    bool fit = true;
    for (size_t k = 0; k < p->uncertain.count; k++)
        for (size_t i = 0; i < e[k].of.count; i++) {
            char path[120];
            evn_named named;
            evn_naming_trouble why;
            if (evn_uncertain_named(&evn_prices_object, p, e[k].of.at[i], &named, &why))
                continue;
            snprintf(path, sizeof path, "uncertain.%.80s.of[%zu]", p->uncertain.name[k], i);
            evn_prices_say(places, path, why.fault, report, "%s", why.words);
            fit = false;
        }
    return fit;
}
