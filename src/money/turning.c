/* Levelised costs, and where differences of costs turn. */
#include "money/turning.h"
#include "core/root.h"
#include "money/factors.h"
#include <math.h>

double evn_turns_straight(double x0, double at_x0, double x1, double at_x1)
{
    if (at_x0 == 0 && at_x1 != 0)
        return x0;
    return at_x1 == at_x0 ? (double)NAN : x0 - at_x0 * (x1 - x0) / (at_x1 - at_x0);
}

static void put(evn_turns *turns, double x, bool jumps)
{
    if (turns->count == EVN_TURNS_MOST) {
        turns->more = true;
        return;
    }
    turns->at[turns->count] = x;
    turns->jumps[turns->count++] = jumps;
}

/* A search that ends far from zero, beside what the difference is at the ends, has found a jump. */
static void put_between(evn_turns *turns, evn_difference *of, void *self, evn_known low, evn_known high)
{
    static const evn_between how = {0, 1e-14, 200};
    evn_root root = evn_root_between(of, self, low, high, &how);
    put(turns, root.x, fabs(root.error) > 1e-6 * fmax(fabs(low.error), fabs(high.error)));
}

evn_turns evn_turns_between(evn_difference *of, void *self, double low, double high, size_t steps)
{
    evn_turns turns = {.count = 0};
    evn_known last = {low, of(self, low)};
    double before = last.error; /* the last that was not 0 */
    for (size_t k = 1; k <= steps; k++) {
        double x = low + (high - low) * (double)k / (double)steps;
        evn_known next = {x, of(self, x)};
        if (last.error == 0 && next.error != 0 && before * next.error <= 0)
            put(&turns, last.x, false);
        else if (last.error * next.error < 0)
            put_between(&turns, of, self, last, next);
        before = next.error != 0 ? next.error : before;
        last = next;
    }
    if (last.error == 0 && before != 0)
        put(&turns, last.x, false);
    return turns;
}

double evn_levelised_per_km(const evn_levelised *l)
{
    double yearly = l->capital * evn_factor_ap(l->rate, l->years) + l->yearly;
    return yearly / l->annual_km + l->per_kwh * l->kwh_per_km + l->others_per_km;
}

double evn_levelised_per_t_km(const evn_levelised *l, double payload_t) { return evn_levelised_per_km(l) / payload_t; }
