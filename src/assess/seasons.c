/* What stands in all seasons of a duty: of each demand the season that keeps it least surely. */
#include "assess/assess.h"
#include <math.h>

bool evn_is_failed(const evn_found *f, const evn_spread *s)
{
    return f->known && (isnan(f->margin) || f->margin < -s->half_width.better);
}

/* What fails is worse than what may, else what is less sure to be kept, or has less beyond the spare that is asked;
 * what is not known at all is worst. */
static bool is_less_sure(const evn_found *f, const evn_spread *s, const evn_found *than, const evn_spread *than_s,
                         double spare)
{
    bool fails = evn_is_failed(f, s), than_fails = evn_is_failed(than, than_s);
    if (fails != than_fails)
        return fails;
    if (isnan(than->margin) || isnan(f->margin))
        return !isnan(than->margin);
    return f->margin - fmax(s->half_width.worse, spare * fabs(f->demanded)) <
           than->margin - fmax(than_s->half_width.worse, spare * fabs(than->demanded));
}

/* Of the season what hangs on it; in the first all. */
static unsigned wanted_in(const evn_stand_ask *s, size_t season)
{
    unsigned wanted = s->wanted;
    for (int k = 0; season > 0 && k < EVN_DEMAND_KINDS; k++)
        if (evn_demand_rows[k].of != EVN_OF_LIMITS)
            wanted &= ~(1u << k);
    return wanted;
}

bool evn_stand_surely(const evn_stand_ask *s, const evn_truck_file *truck, const evn_data *data, size_t index,
                      evn_found found[EVN_DEMAND_KINDS], evn_spread spread[EVN_DEMAND_KINDS], evn_report *report)
{
    size_t seasons = s->duty->seasons.count > 0 ? s->duty->seasons.count : 1;
    double spare = s->demands.spare_percent / 100;
    for (size_t k = 0; k < seasons; k++) {
        evn_found here[EVN_DEMAND_KINDS] = {{0}};
        evn_spread sure[EVN_DEMAND_KINDS] = {{{0, 0}, false}};
        evn_stand_ask ask = *s;
        ask.only_season = k;
        ask.wanted = wanted_in(s, k);
        if (!evn_stand(&ask, truck, here, report) || !evn_stand_spread(&ask, truck, data, index, here, sure))
            return false;
        for (int i = 0; i < EVN_DEMAND_KINDS; i++)
            if (ask.wanted >> i & 1u && (k == 0 || is_less_sure(&here[i], &sure[i], &found[i], &spread[i], spare))) {
                found[i] = here[i];
                spread[i] = sure[i];
            }
    }
    return true;
}
