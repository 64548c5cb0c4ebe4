/* What the dearer truck earns in sentences, which the media share. */
#include "show/payback_story.h"
#include "show/text.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NUMBER = 40 };

const char *evn_payback_basis_name(evn_payback_basis basis)
{
    return basis == EVN_PAYBACK_LEAST_BATTERY ? "least_battery" : "as_lineup";
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

bool evn_payback_sentence(const evn_payback_story *story, evn_payback_basis basis, size_t index,
                          char out[EVN_PAYBACK_SENTENCE_BYTES])
{
    evn_payback_advice a;
    char km[NUMBER], cost[NUMBER], less[NUMBER], extra[400];
    if (!evn_payback_advice_at(story->payback, basis, index, &a))
        return false;
    const char *currency = evn_prices_currency(story->prices);
    whole(km, a.annual_km);
    evn_format_decimals(cost, sizeof cost, 4, a.per_km);
    evn_format_decimals(less, sizeof less, 4, a.next_per_km - a.per_km);
    extra_words(story, basis, index, a.best > 0 ? a.best : a.next, extra, sizeof extra);
    snprintf(out, EVN_PAYBACK_SENTENCE_BYTES, "At %s km a year %.80s costs least: %s %.12s/km, %s less than %.80s.%s",
             km, evn_lineup_truck_title(story->lineup, a.best), cost, currency, less,
             evn_lineup_truck_title(story->lineup, a.next), extra);
    return true;
}
