/* What the dearer truck earns in sentences, which the media share. */
#include "show/assess_story.h"
#include "show/payback_story.h"
#include "show/text.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { NUMBER = 40 };

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
               ? "Each truck has the smallest battery of its own cells that does the day in every season at its last "
                 "year's age. Batteries, their price, mass and ageing are not alike; what the day asks is."
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

/* " Against central drive, electric axle is bought for 2100 EUR more; ... turns where that is 9400 EUR more." */
static void extra_words(const evn_payback_story *story, evn_payback_basis basis, size_t index, size_t truck, char *out,
                        size_t bytes)
{
    const char *currency = evn_prices_currency(story->prices), *first = evn_lineup_truck_title(story->lineup, 0);
    char is[NUMBER], turns[NUMBER];
    evn_payback_turn t;
    out[0] = '\0';
    if (!evn_payback_turn_at(story->payback, basis, index, truck, &t) || isnan(t.turns_at_extra_price))
        return;
    whole(is, fabs(t.extra_price));
    whole(turns, fabs(t.turns_at_extra_price));
    snprintf(
        out, bytes,
        " Against %.80s, %.80s is bought for %s %.12s %s; the answer between these two turns where that is %s %.12s "
        "%s.",
        first, evn_lineup_truck_title(story->lineup, truck), is, currency, t.extra_price < 0 ? "less" : "more", turns,
        currency, t.turns_at_extra_price < 0 ? "less" : "more");
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

/* " It fails rules on loads, which the duty demands." */
static void fails_words(const evn_payback_story *story, size_t truck, char *out, size_t bytes)
{
    char fails[EVN_ASSESS_SENTENCE_BYTES];
    out[0] = '\0';
    evn_assess_fails_words(story->standing, truck, fails);
    if (fails[0] != '\0')
        snprintf(out, bytes, " It fails what the duty demands: %.300s.", fails);
}

bool evn_payback_sentence(const evn_payback_story *story, evn_payback_basis basis, size_t index,
                          char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_payback_advice a;
    char km[NUMBER], cost[NUMBER], less[NUMBER], extra[400], why[400], fails[360];
    if (!evn_payback_advice_at(story->payback, basis, index, &a))
        return false;
    const char *currency = evn_prices_currency(story->prices), *best = evn_lineup_truck_title(story->lineup, a.best);
    whole(km, a.annual_km);
    fails_words(story, a.best, fails, sizeof fails);
    evn_format_decimals(cost, sizeof cost, 4, a.per_km);
    if (a.next == SIZE_MAX) {
        snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
                 "At %s km a year %.80s costs %s %.12s/km; no other does what the duty demands.%s", km, best, cost,
                 currency, fails);
        return true;
    }
    evn_format_decimals(less, sizeof less, 4, a.next_per_km - a.per_km);
    extra_words(story, basis, index, a.best > 0 ? a.best : a.next, extra, sizeof extra);
    reason_words(story, basis, index, why, sizeof why);
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES,
             "At %s km a year %.80s costs least: %s %.12s/km, %s less than %.80s.%s%s%s", km, best, cost, currency,
             less, evn_lineup_truck_title(story->lineup, a.next), fails, why, extra);
    return true;
}

bool evn_payback_stops_sentence(const evn_payback_story *story, char out[EVN_PAYBACK_SENTENCE_BYTES])
{
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
        length += (size_t)snprintf(out + length, bytes - length, "%s%.60s%s %s%s with %s kW%s%s%s",
                                   k == 0 ? "Charging stops are as the duty states them, with any battery: " : "; ",
                                   s.name, times, isnan(s.duration_min) ? "until charged" : minutes,
                                   isnan(s.duration_min) ? "" : " min", kw, isnan(s.until_soc) ? "" : ", up to ",
                                   isnan(s.until_soc) ? "" : soc, isnan(s.until_soc) ? "" : " %");
    }
    if (length > 0 && length < bytes)
        snprintf(out + length, bytes - length, ". None is made longer for a smaller one.");
    return length > 0;
}

const char *evn_payback_not_counted(size_t index)
{
    static const char *const all[] = {
        "wear of tyres by torque: they wear by distance, where they are, as the prices have it",
        "room that a layout frees for a larger battery ('evener site' tells it)",
        "charging stops longer or shorter than the duty states",
        "inflation, and prices that change over the years",
        "a battery's growing resistance in the energy of later years",
        "a truck's time in the workshop, and trailers",
        "what traction on a slippery road is worth"};
    return index < sizeof all / sizeof *all ? all[index] : NULL;
}

bool evn_payback_unmet(const evn_payback_story *story, size_t truck, evn_payback_basis basis, size_t index,
                       char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_day_demand d;
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
                 "it is out of what to buy.",
                 evn_lineup_truck_title(story->lineup, truck), d.what.label, is, unit, wanted, unit);
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
