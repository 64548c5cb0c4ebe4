/*
 * Branches of a through-drive that open and close, the gear and the motors as they are.
 *
 * The stretch that stands still while a branch is open has no motor of its own. Opened, it comes to rest by its own
 * drag, and its energy is lost. Closed, it is brought to speed by friction at a synchroniser whose other side keeps its
 * speed: that side gives inertia x speed^2, of which one half is lost (first law: the torque is the same on both sides,
 * the mean speed of the one half that of the other).
 */
#include "trip/branch_changes.h"
#include "trip/lumps.h"
#include <math.h>

static bool opens(evn_setting from, evn_setting to, size_t branch)
{
    return !evn_is_branch_open(from, branch) && evn_is_branch_open(to, branch);
}

double evn_branches_price_j(const evn_unit *u, evn_setting from, evn_setting to)
{
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        if (evn_is_branch_open(from, k) != evn_is_branch_open(to, k))
            sum += u->branch[k].opening.price_j;
    return sum;
}

double evn_branches_close_s(const evn_unit *u, evn_setting from, evn_setting to)
{
    double longest = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        if (opens(to, from, k))
            longest = fmax(longest, u->branch[k].opening.time_s);
    return longest;
}

void evn_branches_count(evn_trip *trip, size_t unit, evn_setting to)
{
    evn_box *box = &trip->box[unit];
    for (size_t k = 0; k < trip->rig->unit[unit].branch_count; k++)
        box->branch_openings += opens(box->now, to, k);
    if (box->now.open != 0)
        box->branch_s += trip->t - box->branch_since_s;
    box->branch_since_s = trip->t;
}

/* Energy of the stretch of a branch that opens, at the speed of its wheels. */
static double still_j(const evn_trip *trip, size_t unit, size_t branch)
{
    const evn_branch *b = &trip->rig->unit[unit].branch[branch];
    double wheel_rad_s = trip->y[EVN_Y_SPEED] / trip->rig->axle[b->axle].radius_m;
    return 0.5 * b->opening.still_kg_m2 * wheel_rad_s * wheel_rad_s;
}

/* Energy of all that turns with a unit at the present speed: of its chain, and of its branches. */
static double turning_j(const evn_trip *trip, size_t unit, evn_setting s)
{
    const evn_unit *u = &trip->rig->unit[unit];
    double v = trip->y[EVN_Y_SPEED], w = v * evn_rig_setting_rad_m(trip->rig, unit, s);
    double sum = 0.5 * evn_unit_inertia_kg_m2(u, s) * w * w;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += 0.5 * evn_rig_branch_kg(trip->rig, unit, s, k) * v * v;
    return sum;
}

void evn_branches_book(evn_trip *trip, size_t unit, evn_setting to)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_setting from = trip->box[unit].now;
    double gain_j = turning_j(trip, unit, to) - turning_j(trip, unit, from), sped_up_j = 0, left_j = 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        sped_up_j += opens(to, from, k) ? still_j(trip, unit, k) : 0;
        left_j += opens(from, to, k) ? still_j(trip, unit, k) : 0;
    }
    /* where radii differ the dividing point turns at another speed than before: that is the motors' affair */
    evn_book_synchronising(trip, unit, gain_j - sped_up_j + left_j);
    evn_take_from_bus(trip, unit, 2 * sped_up_j);
    trip->shifting_j[unit] += sped_up_j + left_j;
}
