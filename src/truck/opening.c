/* What of a branch turns while its disconnects are open, and what that takes. */
#include "truck/opening.h"
#include <math.h>

void evn_opening_note(evn_opening *o, const evn_lowering *low, size_t below)
{
    bool stated = !isnan(low->disconnect_price_j);
    o->price.is_stated = stated && (!o->can || o->price.is_stated);
    o->price.stated_j += stated ? low->disconnect_price_j : 0;
    o->price.wear_j += stated ? 0 : low->disconnect_wear_j;
    if (!o->can)
        o->below = below;
    o->can = true;
    o->above_from = below;
    o->time_s = fmax(o->time_s, low->disconnect_time_s);
}

static double inertia_kg_m2(const evn_stage *stage, const double speed_ratio[], size_t from, size_t to)
{
    double sum = 0;
    for (size_t i = from; i < to; i++)
        sum += stage[i].inertia_kg_m2 * speed_ratio[i] * speed_ratio[i];
    return sum;
}

void evn_opening_make(evn_opening *o, const evn_stage *stage, const double speed_ratio[], size_t count, double ratio)
{
    double own_ratio[EVN_CHAIN_MAX], wheel_side = o->above_from < count ? speed_ratio[o->above_from] : ratio;
    if (!o->can)
        return;
    for (size_t i = o->above_from; i < count; i++)
        own_ratio[i - o->above_from] = speed_ratio[i] / wheel_side;
    o->above_ratio = ratio / wheel_side;
    o->below_map = evn_chain_map_of(stage, speed_ratio, o->below);
    o->above_map = evn_chain_map_of(stage + o->above_from, own_ratio, count - o->above_from);
    o->below_kg_m2 = inertia_kg_m2(stage, speed_ratio, 0, o->below);
    o->still_kg_m2 = inertia_kg_m2(stage, speed_ratio, o->below, o->above_from);
    o->above_kg_m2 = inertia_kg_m2(stage, speed_ratio, o->above_from, count) / (ratio * ratio);
}

double evn_opening_below_nm(const evn_opening *o, const evn_stage *stage, const double speed_ratio[],
                            double wheel_rad_s, double wheel_accel, const double degc[], evn_flow *flow)
{
    double nm = evn_chain_down(&o->below_map, stage, speed_ratio, o->below, 0, wheel_rad_s, wheel_accel, degc);
    if (flow)
        evn_chain_up(&o->below_map, stage, o->below, (evn_shaft){nm, wheel_rad_s, wheel_accel}, degc, flow);
    return nm;
}

double evn_opening_above_nm(const evn_opening *o, const evn_stage *stage, size_t count, double split_rad_s,
                            double split_accel, const double degc[], evn_flow *flow)
{
    evn_shaft free_end = {0, split_rad_s / o->above_ratio, split_accel / o->above_ratio};
    return evn_chain_up(&o->above_map, stage + o->above_from, count - o->above_from, free_end, degc, flow).torque_nm;
}
