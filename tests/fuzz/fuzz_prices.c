/* Any bytes as a file of prices: read or refused; what was read prices a made-up truck, and what it costs by parts adds
 * up wherever it is a number. */
#include "fuzz.h"
#include "money/account.h"
#include "read/read.h"
#include <math.h>

static void price(const evn_prices_file *prices, double stops_kwh)
{
    static evn_bought bought;
    evn_use use = {.status = "finished",
                   .km = 400,
                   .h = 6,
                   .t_km = 8000,
                   .battery_kwh = 600,
                   .stored_kwh = stops_kwh,
                   .charged_kwh = stops_kwh,
                   .charged_from_grid_kwh = (double)NAN,
                   .discharged_kwh = 700,
                   .worst_depot_kwh = 600,
                   .depth = 0.8,
                   .pack_kwh = 500,
                   .pack_v = 700,
                   .pack_ohm = 0.05,
                   .may_carry_t = 22};
    evn_account a;
    evn_against against;
    double sum = 0;
    bought.count = EVN_CLASS_COUNT;
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++)
        bought.part[k] = (evn_bought_part){(evn_part_class)k, "part", 100, 500, 80};
    for (size_t k = 0; k < EVN_TYRE_PLACES; k++)
        bought.tyres[k] = 2;
    const evn_account_ask ask = {.prices = prices,
                                 .name = "truck",
                                 .bought = &bought,
                                 .use = &use,
                                 .annual_km = isnan(prices->annual_km) ? 100000 : prices->annual_km,
                                 .years = (unsigned)prices->years,
                                 .may_carry_most_t = 24,
                                 .energy_price_factor = 1};
    evn_account_of(&ask, &a);
    evn_account_against(&ask, &ask, &against);
    must_hold(against.rates.count == 0 || isnan(a.price));
    for (size_t k = 0; k < EVN_COST_COUNT; k++)
        sum += a.part_per_km[k];
    must_hold(!isfinite(a.per_km) || !isfinite(sum) || fabs(sum - a.per_km) <= 1e-6 * (1 + fabs(a.per_km)));
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    const evn_prices_file *prices = evn_read_bytes((const char *)bytes, length, "vehicles/prices/fuzz.yaml",
                                                   &evn_prices_object, NULL, a.arena, a.report);
    must_hold((prices != NULL) == !evn_report_failed(a.report));
    if (prices) {
        price(prices, 0);
        if (prices->energy->stops)
            price(prices, 200);
    }
    attempt_end(&a);
    return 0;
}
