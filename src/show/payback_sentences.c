/* What the dearer truck earns in sentences, which the media share. */
#include "show/assess_story.h"
#include "show/payback_story.h"
#include "show/text.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { NUMBER = 40, FAILS = 480 };

const char *evn_payback_basis_name(evn_payback_basis basis)
{
    return basis == EVN_PAYBACK_LEAST_BATTERY ? "least_battery" : "as_lineup";
}

const char *evn_payback_basis_title(evn_payback_basis basis)
{
    return basis == EVN_PAYBACK_LEAST_BATTERY ? "Each with the smallest battery that does the day"
                                              : "Each with its own battery";
}

const char *evn_payback_basis_words(evn_payback_basis basis)
{
    return basis == EVN_PAYBACK_LEAST_BATTERY
               ? "Each truck has the smallest battery of its own cells that does the day in every season in the worst "
                 "state to which it comes itself. Batteries, their price, mass and ageing are not alike; what the day "
                 "asks is. They are found for the distance a year that is asked; advice and field at others keep them "
                 "(--annual-km finds them for another)."
               : "Each truck has the battery of its file. Reserves at the end of the day are not alike: a truck that "
                 "takes less ends with a higher state of charge, which nothing is paid for.";
}

const char *evn_payback_why_not(const evn_payback_story *story, size_t truck, evn_payback_basis basis)
{
    static const struct {
        const char *status, *words;
    } rows[] = {{"no_battery", "no size of its battery does the day"},
                {"a_cycle", "the lineup drives a cycle, which is no day that a battery has to do"},
                {"not_asked", "it was not asked for"},
                {"battery_empty", "its battery runs empty before the day ends"},
                {"cannot_start", "it cannot move off on the way"},
                {"not_charged", "a stop does not come to the charge that it waits for"},
                {"interrupted", "it was interrupted"}};
    const char *status = evn_payback_status(story->payback, truck, basis);
    if (status && strcmp(status, "finished") == 0)
        return NULL;
    for (size_t k = 0; status && k < sizeof rows / sizeof *rows; k++)
        if (strcmp(rows[k].status, status) == 0)
            return rows[k].words;
    return "it could not be driven";
}

/* ------------------------------------------------------------------------------------------------ what is not alike */

bool evn_payback_given(const evn_payback_story *story, size_t truck, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_equalised e;
    char value[NUMBER];
    if (!evn_payback_equalised(story->payback, truck, &e))
        return false;
    bool gross = !isnan(e.payload_kg);
    if (!gross && e.torque_scale == 1)
        return false;
    const char *title = evn_lineup_truck_title(story->lineup, truck);
    evn_format_decimals(value, sizeof value, gross ? 0 : 3, gross ? e.payload_kg : e.torque_scale);
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             gross ? "Made equal in gross mass: %.80s carries %s kg."
                   : "Made equal in peak wheel power: torque of the motors of %.80s times %s.",
             title, value);
    return true;
}

bool evn_payback_batteries(const evn_payback_story *story, evn_payback_basis basis,
                           char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    static const double TOLD = 0.5; /* kWh */
    size_t length = 0, bytes = EVN_PAYBACK_SENTENCE_BYTES;
    double kwh, least = (double)INFINITY, most = 0;
    char number[NUMBER];
    for (size_t k = 0; k < evn_payback_truck_count(story->payback); k++) {
        if (!evn_payback_get(story->payback, k, basis, "battery.kwh", &kwh))
            continue;
        least = fmin(least, kwh);
        most = fmax(most, kwh);
        evn_format_decimals(number, sizeof number, 0, kwh);
        if (length < bytes)
            length += (size_t)snprintf(
                out + length, bytes - length, "%s %.60s %s kWh",
                length > 0 ? "," : "Batteries are not alike:", evn_lineup_truck_title(story->lineup, k), number);
    }
    if (basis != EVN_PAYBACK_AS_LINEUP || !(most - least > TOLD))
        return false;
    if (length < bytes)
        snprintf(out + length, bytes - length, ". What a truck saves by its battery its layout does not.");
    return true;
}

static bool jumps(const evn_payback_story *story, size_t truck, evn_payback_basis basis, const char *key)
{
    evn_payback_figure f;
    for (size_t k = 0; evn_payback_figure_at(story->payback, truck, basis, k, &f); k++)
        if (strcmp(f.what.key, key) == 0)
            return strstr(f.from, "jumps over 0");
    return false;
}

/* "Of these distances of slippery 102943 and 107962 km are jumps: a battery is replaced once more there." */
static void jump_words(const evn_payback_story *story, size_t truck, evn_payback_basis basis, char out[])
{
    char key[EVN_PAYBACK_KEY_BYTES], number[NUMBER];
    size_t length = 0, bytes = EVN_PAYBACK_SENTENCE_BYTES;
    double km;
    for (size_t k = 1; snprintf(key, sizeof key, "extra.turns_at_km.%zu", k) > 0 &&
                       evn_payback_get(story->payback, truck, basis, key, &km);
         k++) {
        if (!jumps(story, truck, basis, key) || length >= bytes)
            continue;
        evn_format_decimals(number, sizeof number, 0, km);
        if (length == 0)
            length +=
                (size_t)snprintf(out, bytes, "%.80s turns by a jump, where a battery is replaced once more, at %s",
                                 evn_lineup_truck_title(story->lineup, truck), number);
        else
            length += (size_t)snprintf(out + length, bytes - length, ", %s", number);
    }
    if (length > 0 && length < bytes)
        snprintf(out + length, bytes - length, " km a year.");
}

bool evn_payback_note(const evn_payback_story *story, size_t truck, evn_payback_basis basis, size_t index,
                      char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    double more, rates;
    out[0] = '\0';
    if (index == 0)
        jump_words(story, truck, basis, out);
    else if (index == 1 && evn_payback_get(story->payback, truck, basis, "extra.invested", &more) && more < 0 &&
             evn_payback_get(story->payback, truck, basis, "extra.rates_of_return", &rates) && rates > 0)
        snprintf(
            out, EVN_PAYBACK_SENTENCE_BYTES,
            "Less is laid out for %.80s than for the first: its rates of return are those of what is saved at once "
            "and paid later, and do not say what it earns.",
            evn_lineup_truck_title(story->lineup, truck));
    return index < 2;
}

static const char *axles_of(const evn_payback_story *story, size_t truck)
{
    return evn_truck_axle_configuration(evn_lineup_truck(story->lineup, truck));
}

bool evn_payback_axles(const evn_payback_story *story, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    size_t count = evn_payback_truck_count(story->payback), used;
    bool alike = true;
    for (size_t k = 1; k < count; k++)
        alike = alike && strcmp(axles_of(story, 0), axles_of(story, k)) == 0;
    if (alike)
        return false;
    used = (size_t)snprintf(out, EVN_PAYBACK_SENTENCE_BYTES, EVN_PAYBACK_AXLES);
    for (size_t k = 0; k < count && used < EVN_PAYBACK_SENTENCE_BYTES; k++)
        used += (size_t)snprintf(out + used, EVN_PAYBACK_SENTENCE_BYTES - used, "%s %.60s: %s", k > 0 ? ";" : "",
                                 evn_lineup_truck_title(story->lineup, k), axles_of(story, k));
    if (used < EVN_PAYBACK_SENTENCE_BYTES)
        snprintf(out + used, EVN_PAYBACK_SENTENCE_BYTES - used, ". " EVN_PAYBACK_TRACTION);
    return true;
}

/* ------------------------------------------------------------------------------------------------ which to buy */

static void whole(char out[NUMBER], double value) { evn_format_decimals(out, NUMBER, 0, value); }

/* " It is bought for 2100 EUR more than central drive; the answer turns to that where it is 9400 EUR more." */
static void extra_words(const evn_payback_story *story, const evn_payback_advice *a, char *out, size_t bytes)
{
    const char *currency = evn_prices_currency(story->prices);
    char is[NUMBER], turns[NUMBER];
    out[0] = '\0';
    if (isnan(a->turns_at_extra_price))
        return;
    whole(is, fabs(a->extra_price));
    whole(turns, fabs(a->turns_at_extra_price));
    snprintf(out, bytes, " It is bought for %s %.12s %s than %.80s; the answer turns to that where it is %s %.12s %s.",
             is, currency, a->extra_price < 0 ? "less" : "more", evn_lineup_truck_title(story->lineup, a->next), turns,
             currency, a->turns_at_extra_price < 0 ? "less" : "more");
}

/* "At 250 000 km a year one truck cannot do it: 25.7 h a day on the road, at stops and charging. It takes 2." */
static void beyond_words(const evn_payback_story *story, const evn_payback_advice *a, char out[])
{
    char km[NUMBER], hours[NUMBER], trucks[NUMBER];
    whole(km, a->annual_km);
    evn_format_decimals(hours, sizeof hours, 2, a->hours_a_day);
    whole(trucks, a->trucks);
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "%s km a year take %s trucks, or cannot be done by one truck: %s h a day on the road, at stops and "
             "charging, with %.80s. No truck is advised.",
             km, trucks, hours, evn_lineup_truck_title(story->lineup, a->best));
}

/* "At 250 000 km a year the battery of central, found for 120 000 km, comes to less than it was sized for ..." */
static void short_words(const evn_payback_story *story, const evn_payback_advice *a, char out[])
{
    char km[NUMBER], found[NUMBER];
    whole(km, a->annual_km);
    whole(found, evn_payback_annual_km(story->payback));
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "At %s km a year no battery that was found for %s km suffices: each comes to less of its capacity than it "
             "was sized for, and does not do the day at its end. No truck is advised; --annual-km %.0f finds larger "
             "ones.",
             km, found, a->annual_km);
}

const char *evn_payback_standing_with(evn_payback_basis basis)
{
    return basis == EVN_PAYBACK_LEAST_BATTERY ? "with the battery of its file" : "";
}

/* " It fails what the duty demands: rules on loads.", of another battery than that of its file with that word. */
static void fails_words(const evn_payback_story *story, evn_payback_basis basis, size_t truck, const char *subject,
                        char *out, size_t bytes)
{
    const char *with = evn_payback_standing_with(basis);
    char fails[EVN_ASSESS_SENTENCE_BYTES];
    out[0] = '\0';
    evn_assess_fails_words(story->standing, truck, fails);
    if (fails[0] != '\0')
        snprintf(out, bytes, " %.80s fails what the duty demands%s%s: %.300s.", subject, with[0] ? ", " : "", with,
                 fails);
}

/* "At 60 000 km a year plain and twin cost alike: 1.2345 EUR/km, with no difference that its digits bear out." */
static void alike_words(const evn_payback_story *story, evn_payback_basis basis, const evn_payback_advice *a,
                        char out[])
{
    const char *best = evn_lineup_truck_title(story->lineup, a->best);
    const char *next = evn_lineup_truck_title(story->lineup, a->next);
    char km[NUMBER], cost[NUMBER], others[NUMBER] = "", of_best[FAILS], of_next[FAILS];
    fails_words(story, basis, a->best, best, of_best, sizeof of_best);
    fails_words(story, basis, a->next, next, of_next, sizeof of_next);
    whole(km, a->annual_km);
    evn_format_decimals(cost, sizeof cost, 4, a->per_km);
    if (a->alike > 1)
        snprintf(others, sizeof others, ", as %zu other%s", a->alike - 1, a->alike > 2 ? "s do" : " does");
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "At %s km a year %.80s and %.80s cost alike: %s %.12s/km%s, with no difference that these digits bear "
             "out.%s%s",
             km, best, next, cost, evn_prices_currency(story->prices), others, of_best, of_next);
}

/* " It pays less for energy (0.0138) and drive (0.0003), and more for tyres (0.0002)." */
static void reason_words(const evn_payback_story *story, evn_payback_basis basis, size_t index, char *out, size_t bytes)
{
    enum { TOLD = 3 };
    static const double least_told = 5e-5; /* less is 0.0000 */
    size_t length = 0, told[2] = {0};
    out[0] = '\0';
    for (size_t more = 0; more < 2; more++) {
        evn_payback_reason r, list[TOLD];
        for (size_t k = 0; told[more] < TOLD && evn_payback_reason_at(story->payback, basis, index, k, &r); k++)
            if (fabs(r.per_km) >= least_told && (r.per_km < 0) == (more == 1))
                list[told[more]++] = r;
        for (size_t k = 0; k < told[more] && length < bytes; k++) {
            char by[NUMBER];
            evn_format_decimals(by, sizeof by, 4, fabs(list[k].per_km));
            const char *before = k == 0 && more == 0     ? " It pays less for "
                                 : k == 0 && told[0] > 0 ? ", and more for "
                                 : k == 0                ? " It pays more for "
                                 : k + 1 == told[more]   ? " and "
                                                         : ", ";
            length += (size_t)snprintf(out + length, bytes - length, "%s%s (%s)", before, list[k].label, by);
        }
    }
    if (length > 0 && length < bytes)
        snprintf(out + length, bytes - length, ".");
}

static bool others_meet(const evn_payback_story *story, evn_payback_basis basis, size_t truck)
{
    bool any = false;
    for (size_t k = 0; k < evn_payback_truck_count(story->payback); k++)
        any = any || (k != truck && evn_payback_meets_demands(story->payback, k, basis));
    return any;
}

bool evn_payback_sentence(const evn_payback_story *story, evn_payback_basis basis, size_t index,
                          char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_payback_advice a;
    char km[NUMBER], cost[NUMBER], less[NUMBER], extra[400], why[400], fails[FAILS];
    if (!evn_payback_advice_at(story->payback, basis, index, &a))
        return false;
    if (a.trucks > 1 || a.battery_short) {
        (a.trucks > 1 ? beyond_words : short_words)(story, &a, out);
        return true;
    }
    if (a.alike > 0) {
        alike_words(story, basis, &a, out);
        return true;
    }
    const char *currency = evn_prices_currency(story->prices), *best = evn_lineup_truck_title(story->lineup, a.best);
    whole(km, a.annual_km);
    fails_words(story, basis, a.best, "It", fails, sizeof fails);
    evn_format_decimals(cost, sizeof cost, 4, a.per_km);
    if (a.next == SIZE_MAX) {
        snprintf(out, EVN_PAYBACK_SENTENCE_BYTES, "At %s km a year %.80s costs %s %.12s/km; no other does %s.%s", km,
                 best, cost, currency,
                 others_meet(story, basis, a.best) ? "such a year alone and with the battery that was found"
                                                   : "what the duty demands",
                 fails);
        return true;
    }
    evn_format_decimals(less, sizeof less, 4, a.next_per_km - a.per_km);
    extra_words(story, &a, extra, sizeof extra);
    reason_words(story, basis, index, why, sizeof why);
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "At %s km a year %.80s costs least: %s %.12s/km, %s less than %.80s.%s%s%s", km, best, cost, currency,
             less, evn_lineup_truck_title(story->lineup, a.next), fails, why, extra);
    return true;
}

static bool any_tried(const evn_payback_story *story)
{
    evn_payback_try t;
    bool any = false;
    for (size_t k = 0; k < evn_payback_truck_count(story->payback); k++)
        any = any || evn_payback_try_at(story->payback, k, 0, &t);
    return any;
}

bool evn_payback_stops_sentence(const evn_payback_story *story, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    const char *begin = any_tried(story) ? "The duty states its charging stops: "
                                         : "Charging stops are as the duty states them, with any battery: ";
    char minutes[NUMBER], kw[NUMBER], soc[NUMBER], times[NUMBER];
    size_t bytes = EVN_PAYBACK_SENTENCE_BYTES, length = 0;
    evn_payback_stop s;
    for (size_t k = 0; length < bytes && evn_payback_stop_at(story->payback, k, &s); k++) {
        whole(minutes, s.duration_min);
        whole(kw, s.connector_kw);
        whole(soc, 100 * s.until_soc);
        times[0] = '\0';
        if (s.times > 1)
            snprintf(times, sizeof times, " (%zu times)", s.times);
        length += (size_t)snprintf(
            out + length, bytes - length, "%s%.60s%s %s%s with %s kW%s%s%s", k == 0 ? begin : "; ", s.name, times,
            isnan(s.duration_min) ? "until charged" : minutes, isnan(s.duration_min) ? "" : " min", kw,
            isnan(s.until_soc) ? "" : ", up to ", isnan(s.until_soc) ? "" : soc, isnan(s.until_soc) ? "" : " %");
    }
    if (length > 0 && length < bytes)
        snprintf(out + length, bytes - length, "%s",
                 any_tried(story)
                     ? ". Others are tried for the smallest battery."
                     : ". None is made longer for a smaller one: --longer-stops and --stop-powers try that.");
    return length > 0;
}

/* "30 min longer with 600 kW", "as the duty states". */
static void try_words(const evn_payback_try *t, char *out, size_t bytes)
{
    char minutes[NUMBER], kw[NUMBER];
    bool longer = t->longer_min > 0, stronger = !isnan(t->connector_kw);
    whole(minutes, t->longer_min);
    whole(kw, t->connector_kw);
    if (!longer && !stronger)
        snprintf(out, bytes, "as the duty states");
    else
        snprintf(out, bytes, "%s%s%s%s%s", longer ? minutes : "", longer ? " min longer" : "as long as stated",
                 stronger ? " with " : "", stronger ? kw : "", stronger ? " kW" : "");
}

/* The one that costs least of those that were not taken. False: none has costs. */
static bool next_try(const evn_payback_story *story, size_t truck, evn_payback_try *out)
{
    evn_payback_try t;
    bool any = false;
    for (size_t k = 0; evn_payback_try_at(story->payback, truck, k, &t); k++) {
        if (t.chosen || isnan(t.per_km) || (any && t.per_km >= out->per_km))
            continue;
        *out = t;
        any = true;
    }
    return any;
}

bool evn_payback_tried_sentence(const evn_payback_story *story, size_t truck, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    char stops[NUMBER * 3], cost[NUMBER], kwh[NUMBER];
    const char *currency = evn_prices_currency(story->prices);
    evn_payback_try is = {.chosen = false}, other;
    size_t count = 0, bytes = EVN_PAYBACK_SENTENCE_BYTES;
    for (evn_payback_try t; evn_payback_try_at(story->payback, truck, count, &t); count++)
        if (t.chosen)
            is = t;
    if (!is.chosen)
        return false;
    try_words(&is, stops, sizeof stops);
    evn_format_decimals(cost, sizeof cost, 4, is.per_km);
    whole(kwh, is.battery_kwh);
    size_t length = (size_t)snprintf(
        out, bytes, "%.80s: stops %s cost least of the %zu that were tried, %s %.12s/km with a battery of %s kWh.",
        evn_lineup_truck_title(story->lineup, truck), stops, count, cost, currency, kwh);
    /* Against what the duty states, or, where that is taken, the best of the others. */
    bool told = is.longer_min > 0 || !isnan(is.connector_kw)
                    ? evn_payback_try_at(story->payback, truck, 0, &other) && !isnan(other.per_km)
                    : next_try(story, truck, &other);
    if (told && length < bytes) {
        try_words(&other, stops, sizeof stops);
        evn_format_decimals(cost, sizeof cost, 4, other.per_km);
        whole(kwh, other.battery_kwh);
        snprintf(out + length, bytes - length, " Stops %s: %s %.12s/km with %s kWh.", stops, cost, currency, kwh);
    }
    return true;
}

const char *evn_payback_not_counted(size_t index)
{
    static const char *const all[] = {
        "wear of tyres by torque: they wear by distance, where they are, as the prices have it",
        "room that a layout frees for a larger battery ('evener site' tells it)",
        "charging stops of other lengths and powers than those that are tried",
        "inflation, and prices that change over the years",
        "a battery's growing resistance in the energy of later years",
        "a truck's time in the workshop, and trailers",
        "what traction on a slippery road is worth"};
    return index < sizeof all / sizeof *all ? all[index] : NULL;
}

static bool saying_of(const evn_payback_story *story, size_t truck, evn_payback_basis basis, evn_payback_saying *out)
{
    return evn_payback_saying_of(story->payback, truck, basis, out) && !isnan(out->in_two_years);
}

bool evn_payback_saying_sentence(const evn_payback_story *story, size_t truck, evn_payback_basis basis,
                                 char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    char is[NUMBER], one[NUMBER], two[NUMBER];
    evn_payback_saying s;
    if (!saying_of(story, truck, basis, &s))
        return false;
    evn_payback_saying earlier;
    bool first = true;
    for (size_t k = 1; k < truck; k++)
        first = first && !saying_of(story, k, basis, &earlier);
    const char *currency = evn_prices_currency(story->prices);
    whole(is, s.extra_price);
    whole(one, s.in_one_year);
    whole(two, s.in_two_years);
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "%s of %.80s against %.80s of %s %.12s in two years, of %s %.12s in one; it is %s %.12s.",
             first ? EVN_PAYBACK_SAYING : "Up to one", evn_lineup_truck_title(story->lineup, truck),
             evn_lineup_truck_title(story->lineup, 0), two, currency, one, currency, is, currency);
    return true;
}

bool evn_payback_unheld(const evn_payback_story *story, evn_payback_basis basis, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    const char *why = evn_payback_why_not(story, 0, basis);
    bool others = false;
    for (size_t k = 1; k < evn_payback_truck_count(story->payback); k++)
        others = others || !evn_payback_why_not(story, k, basis);
    if (!why || !others)
        return false;
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "Nothing is held against %.80s, the first, since it has no costs: no payback, no net present value%s.",
             evn_lineup_truck_title(story->lineup, 0), story->draws > 0 ? ", and not how sure they are" : "");
    return true;
}

/* Marginal among the verdicts of what stands: what is missing lies within how sure it is. */
static bool is_marginal(const evn_payback_story *story, size_t truck, const char *key)
{
    evn_assessed is;
    for (size_t k = 0; evn_assessed_at(story->standing, truck, k, &is); k++)
        if (strcmp(is.what.key, key) == 0)
            return is.verdict == EVN_VERDICT_MARGINAL;
    return false;
}

bool evn_payback_unmet(const evn_payback_story *story, size_t truck, evn_payback_basis basis, size_t index,
                       char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_day_demand d;
    if (evn_payback_why_not(story, truck, basis)) /* no demand is looked at of a day without an end */
        return false;
    for (size_t k = 0; evn_payback_demand_at(story->payback, truck, basis, k, &d); k++) {
        char is[NUMBER], wanted[NUMBER];
        double times = d.what.kind == EVN_SHARE ? 100 : 1;
        const char *unit = d.what.kind == EVN_SHARE ? "%" : d.what.unit;
        if (d.met || index-- > 0)
            continue;
        evn_format_decimals(is, sizeof is, d.what.digits, times * d.value);
        evn_format_decimals(wanted, sizeof wanted, d.what.digits, times * d.demanded);
        snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
                 "%.80s cannot be bought for this duty: %s %s %s, of which it demands %s %s. Its costs are told, but "
                 "it is out of what to buy.%s",
                 evn_lineup_truck_title(story->lineup, truck), d.what.label, is, unit, wanted, unit,
                 is_marginal(story, truck, d.what.key)
                     ? " What is missing lies within how sure it is: 'evener assess' has it as marginal, not as a fail."
                     : "");
        return true;
    }
    return false;
}

/* ------------------------------------------------------------------------------------------------ how sure */

bool evn_payback_drawn(const evn_payback_story *story, evn_payback_basis basis, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_payback_physics p;
    evn_payback_sure s = {.draws = 0};
    for (size_t k = 1; k < evn_payback_truck_count(story->payback) && s.draws == 0; k++)
        evn_payback_sure_of(story->payback, k, basis, &s);
    if (s.draws == 0)
        return false;
    if (evn_payback_physics_of(story->payback, &p))
        snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
                 "%zu draws of what errs in the prices, and of %zu values of the trucks that err, by first order: %zu "
                 "runs over the distinct legs and stops of the day%s%.80s.",
                 s.draws, p.data, p.runs, p.season ? " in " : "", p.season ? p.season : "");
    else
        snprintf(out, EVN_PAYBACK_SENTENCE_BYTES, "%zu draws of what errs in the prices.", s.draws);
    return true;
}
