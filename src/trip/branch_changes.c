/*
 * Branches of a through-drive that open and close, the gear and the motors as they are.
 *
 * The stretch that stands still while a branch is open has no motor of its own. Opened, it comes to rest by its own
 * drag, and its energy is lost. Closed, it is brought to speed by friction at a synchroniser whose other side keeps its
 * speed: that side gives inertia x speed^2, of which one half is lost (first law: the torque is the same on both sides,
 * the mean speed of the one half that of the other).
 */
#include "trip/branch_changes.h"
#include "pull/change_price.h"
#include "trip/lumps.h"
#include <math.h>

static bool opens(evn_setting from, evn_setting to, size_t branch)
{
    return !evn_is_branch_open(from, branch) && evn_is_branch_open(to, branch);
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

void evn_branches_book(evn_trip *trip, size_t unit, evn_setting to)
{
    evn_branch_gain gain = evn_branch_gain_of(trip->rig, unit, trip->box[unit].now, to, trip->y[EVN_Y_SPEED]);
    evn_book_synchronising(trip, unit, gain.motors_j);
    evn_take_from_bus(trip, unit, 2 * gain.sped_up_j);
    trip->shifting_j[unit] += gain.sped_up_j + gain.left_j;
}
