/* The price of a change of setting at one instant, and the energies that a change sets free or has to bring. */
#include "pull/change_price.h"
#include "pull/prices.h"
#include <math.h>

double evn_kept_kg_m2(const evn_unit *u, evn_setting from, evn_setting to)
{
    return evn_is_open(from) || evn_is_open(to) ? u->below_inertia_kg_m2 : u->path_inertia_kg_m2;
}

double evn_freed_j(const evn_rig *r, size_t unit, evn_setting s, double kept_kg_m2, double speed_m_s)
{
    double rad_s = speed_m_s * evn_rig_setting_rad_m(r, unit, s);
    return evn_is_open(s) ? 0 : 0.5 * (evn_unit_inertia_kg_m2(&r->unit[unit], s) - kept_kg_m2) * rad_s * rad_s;
}

/* ------------------------------------------------------------------------------------------------ branches */

static bool opens(evn_setting from, evn_setting to, size_t branch)
{
    return !evn_is_branch_open(from, branch) && evn_is_branch_open(to, branch);
}

/* Energy of the stretch of a branch that opens, at the speed of its wheels. */
static double still_j(const evn_rig *r, const evn_branch *b, double speed_m_s)
{
    double wheel_rad_s = speed_m_s / r->axle[b->axle].radius_m;
    return 0.5 * b->opening.still_kg_m2 * wheel_rad_s * wheel_rad_s;
}

/* Energy of all that turns with a unit: of its chain, and of its branches. */
static double turning_j(const evn_rig *r, size_t unit, evn_setting s, double speed_m_s)
{
    const evn_unit *u = &r->unit[unit];
    double w = speed_m_s * evn_rig_setting_rad_m(r, unit, s);
    double sum = 0.5 * evn_unit_inertia_kg_m2(u, s) * w * w;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += 0.5 * evn_rig_branch_kg(r, unit, s, k) * speed_m_s * speed_m_s;
    return sum;
}

evn_branch_gain evn_branch_gain_of(const evn_rig *r, size_t unit, evn_setting from, evn_setting to, double speed_m_s)
{
    const evn_unit *u = &r->unit[unit];
    evn_branch_gain gain = {turning_j(r, unit, to, speed_m_s) - turning_j(r, unit, from, speed_m_s), 0, 0};
    for (size_t k = 0; k < u->branch_count; k++) {
        gain.sped_up_j += opens(to, from, k) ? still_j(r, &u->branch[k], speed_m_s) : 0;
        gain.left_j += opens(from, to, k) ? still_j(r, &u->branch[k], speed_m_s) : 0;
    }
    /* where radii differ the dividing point turns at another speed than before: that is the motors' affair */
    gain.motors_j += gain.left_j - gain.sped_up_j;
    return gain;
}

/* Disconnects of branches whose price is stated count so; of the others wear, and the losses of the whole change. */
static evn_change_price of_branches(const evn_rig *r, size_t unit, evn_setting from, evn_setting to, double speed_m_s)
{
    const evn_unit *u = &r->unit[unit];
    evn_change_price price = {0};
    bool all_stated = true;
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_opening *o = &u->branch[k].opening;
        if (evn_is_branch_open(from, k) == evn_is_branch_open(to, k))
            continue;
        price.stated_j += o->price.stated_j;
        price.wear_j += o->price.wear_j;
        all_stated = all_stated && o->price.is_stated;
    }
    if (all_stated)
        return price;
    evn_branch_gain gain = evn_branch_gain_of(r, unit, from, to, speed_m_s);
    price.synchronising_j = u->synchronising_loss_share * fabs(gain.motors_j) + gain.sped_up_j + gain.left_j;
    return price;
}

/* ------------------------------------------------------------------------------------------------ the price */

static evn_change_price of_disconnect(const evn_unit *u, double synchronising_j)
{
    evn_change_price price = {.wear_j = u->disconnect.wear_j, .stated_j = u->disconnect.stated_j};
    if (!u->disconnect.is_stated)
        price.synchronising_j = synchronising_j;
    return price;
}

/* Of a change of the number of motors, gear and branches as they are. */
static evn_change_price of_number(const evn_unit *u, double synchronising_j)
{
    if (!isnan(u->engage_price_j))
        return (evn_change_price){.stated_j = u->engage_price_j};
    return (evn_change_price){.synchronising_j = synchronising_j, .wear_j = u->engage_wear_j};
}

/*
 * Who does not know the way ahead comes back from a higher gear when he brakes, and then friction brakes have the
 * pause: a share of what they would take counts beforehand. The share is the least that the human driver needs;
 * measured (NUMERICS.md).
 */
static double way_back_j(const evn_instant *n, size_t unit, evn_setting to)
{
    static const double BRAKING_M_S2 = 0.7, SHARE = 0.3; /* comfortable; of all ways back. Common practice, no source */
    const evn_unit *u = &n->pull.at.rig->unit[unit];
    if (to.gear <= n->pull.at.unit[unit].setting.gear)
        return 0;
    return SHARE * u->shift_time_s * evn_instant_braking_gap_w(n, unit, to, BRAKING_M_S2);
}

static evn_change_price of_gear(const evn_instant *n, size_t unit, evn_setting to, double synchronising_j,
                                bool takes_time)
{
    const evn_unit *u = &n->pull.at.rig->unit[unit];
    if (!isnan(u->shift_price_j))
        return (evn_change_price){.stated_j = u->shift_price_j};
    evn_change_price price = {.synchronising_j = synchronising_j, .wear_j = u->shift_wear_j};
    if (takes_time) {
        price.traction_j = u->shift_time_s * evn_instant_gap_w(n, unit);
        price.way_back_j = way_back_j(n, unit, to);
    }
    return price;
}

evn_change_price evn_change_price_at(const evn_instant *n, size_t unit, evn_setting to, bool takes_time)
{
    const evn_given *at = &n->pull.at;
    const evn_unit *u = &at->rig->unit[unit];
    evn_setting from = at->unit[unit].setting;
    if (from.open != to.open)
        return of_branches(at->rig, unit, from, to, at->speed_m_s);
    double kept = evn_kept_kg_m2(u, from, to);
    double gain_j =
        evn_freed_j(at->rig, unit, to, kept, at->speed_m_s) - evn_freed_j(at->rig, unit, from, kept, at->speed_m_s);
    double lost_j = u->synchronising_loss_share * fabs(gain_j);
    if (evn_is_open(from) || evn_is_open(to))
        return of_disconnect(u, lost_j);
    if (from.gear == to.gear)
        return of_number(u, lost_j);
    evn_change_price price = of_gear(n, unit, to, lost_j, takes_time);
    if (from.engaged != to.engaged) { /* both at once: their rotors are in the gear's lump already */
        evn_change_price number = of_number(u, 0);
        price.wear_j += number.wear_j;
        price.stated_j += number.stated_j;
    }
    return price;
}

double evn_change_price_j(const evn_instant *n, size_t unit, evn_setting to, bool takes_time)
{
    evn_change_price p = evn_change_price_at(n, unit, to, takes_time);
    return p.synchronising_j + p.traction_j + p.way_back_j + p.wear_j + p.stated_j;
}
