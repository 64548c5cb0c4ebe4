/*
 * Gears compared at one instant: what each would lose for the force that is wanted. The price of a gear, the gear of a
 * launch.
 */
#include "trip/motion.h"
#include <math.h>
#include <string.h>

static const double NEVER_W = 1e15; /* a gear that would overspeed the motor */

static double motor_rad_s(const evn_trip *trip, const evn_now *n, uint8_t gear)
{
    return n->speed_m_s / evn_driven_axle(trip->rig)->radius_m * trip->rig->unit[0].gear[gear].total_ratio;
}

/* Jumps in speed: for watches only, never for a rate. */
static bool overspeeds(const evn_trip *trip, const evn_now *n, uint8_t gear)
{
    return motor_rad_s(trip, n, gear) > 0.98 * evn_unit_top_rad_s(&trip->rig->unit[0]);
}

static double unit_losses_w(const evn_flow *f)
{
    double sum = 0;
    for (int i = EVN_UNIT_LINES; i < EVN_LINE_COUNT; i++)
        sum += f->w[i];
    return sum;
}

/*
 * What a gear costs for a wanted tyre force: its losses, and one watt for each watt that is wanted and does not reach
 * the road (or, braking, that the friction brakes burn instead).
 */
double evn_gear_cost_w(const evn_trip *trip, const double *y, const evn_now *n, uint8_t gear, double want_n,
                       double accel)
{
    const evn_unit *u = &trip->rig->unit[0];
    evn_setting s = {gear, trip->box[0].now.engaged};
    double w = motor_rad_s(trip, n, gear);
    evn_supply pull = evn_pull_supply(trip, y, n), push = evn_push_supply(trip, y, n);
    double most = evn_unit_most_motor_nm(u, s, w, &pull), least = evn_unit_least_motor_nm(u, s, w, &push), got = want_n;
    evn_flow f = {{0}};
    evn_at_work at = evn_drive_unit(trip, y, n, s, want_n, accel, &f);
    if (at.motor_nm > most || at.motor_nm < least) {
        got = evn_force_of_motor(trip, n, s, at.motor_nm > most ? most : least, accel);
        memset(&f, 0, sizeof f);
        evn_drive_unit(trip, y, n, s, got, accel, &f);
    }
    return unit_losses_w(&f) + fabs(want_n - got) * n->speed_m_s;
}

/* Other limits than the motor's hold in every gear alike: what they leave is what is wanted. */
double evn_wanted_n(const evn_trip *trip, const evn_now *n)
{
    bool other = trip->pull == EVN_BY_PACK || trip->pull == EVN_BY_ADHESION || trip->push == EVN_BY_PACK ||
                 trip->push == EVN_BY_ADHESION;
    return other ? n->unit_n : n->need_n;
}

void evn_now_costs(const evn_trip *trip, const double *y, evn_now *n)
{
    double want = evn_wanted_n(trip, n);
    for (size_t k = 0; k < trip->rig->unit[0].gear_count; k++)
        n->cost_w[k] =
            overspeeds(trip, n, (uint8_t)k) ? NEVER_W : evn_gear_cost_w(trip, y, n, (uint8_t)k, want, n->accel_m_s2);
}

/* The trip as it would be, moving here at a low speed in a gear: for choosing the gear of a launch. */
static void launch_instant(const evn_trip *trip, const double *y, double speed_m_s, uint8_t gear, evn_trip *as,
                           double *z, evn_now *n)
{
    *as = *trip;
    as->motion = EVN_MOVING;
    as->pull = as->push = EVN_FREE;
    as->box[0].now.gear = gear;
    memcpy(z, y, EVN_Y_COUNT * sizeof *z);
    memset(n, 0, sizeof *n);
    evn_set_pack_limits(as, z, n);
    n->speed_m_s = speed_m_s;
    n->place_m = z[EVN_Y_PLACE];
    evn_set_road(as, n);
    evn_set_motor_limits(as, z, n);
}

double evn_launch_accel(const evn_trip *trip, const double *y, uint8_t gear)
{
    evn_trip as;
    double z[EVN_Y_COUNT];
    evn_now n;
    launch_instant(trip, y, 0, gear, &as, z, &n);
    double motor = evn_coupled_force(&as, &n, as.box[0].now, n.most_nm, evn_force_of_motor);
    return evn_free_accel(&n, fmin(motor, evn_adhesion_pull_n(as.rig, &n)));
}

double evn_launch_cost_w(const evn_trip *trip, const double *y, uint8_t gear, double accel_m_s2)
{
    evn_trip as;
    double z[EVN_Y_COUNT];
    evn_now n;
    launch_instant(trip, y, 2.0, gear, &as, z, &n);
    return evn_gear_cost_w(&as, z, &n, gear, n.base_n + n.mass_kg * accel_m_s2, accel_m_s2);
}
