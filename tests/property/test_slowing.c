/*
 * Braking shared between motors, retarder, brake resistor and friction brakes: at any instant, and over runs. Numbers
 * of the rig are set in memory where only the instant is asked, and written over a truck file where a run is.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/course_probe.h"
#include "../unit/scene.h"
#include "pull/instant.h"
#include "pull/prices.h"

#define TWINS "tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml"
#define TANDEM "tests/vehicles/trucks/tractor-6x4-eaxle.yaml"
#define TIPPER "tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml"
#define PLAIN "tests/trucks/single-speed.yaml"

static const char *const trucks[] = {TRACTOR, TWINS, TANDEM, TIPPER, PLAIN};
enum { TRUCKS = sizeof trucks / sizeof *trucks };

/* ------------------------------------------------------------------------------------------------ instants */

typedef struct moment { /* an instant, its room for temperatures beside it */
    evn_instant is;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} moment;

static evn_rig *rig_of(const char *path)
{
    evn_conditions plain = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_truck *truck = load_truck(path);
    evn_rig_prepare(truck, &plain.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

static void moment_of(moment *m, const evn_rig *rig, double speed_m_s, double asked_m_s2, double soc, evn_limit push)
{
    m->is.pull.at = (evn_given){.rig = rig,
                                .rolling_factor = 1,
                                .speed_m_s = speed_m_s,
                                .asked_m_s2 = asked_m_s2,
                                .soc = soc,
                                .push = push,
                                .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], m->degc[u]);
        m->is.pull.at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], rig->unit[u].gear_count - 1),
                                                 .degc = m->degc[u]};
    }
    evn_instant_make(&m->is);
}

/* The limit of motors, pack or tyres that leaves least to the motors. */
static void moment_limited(moment *m, const evn_rig *rig, double speed_m_s, double asked_m_s2, double soc)
{
    static const evn_limit limits[] = {EVN_BY_MOTOR, EVN_BY_PACK, EVN_BY_ADHESION};
    evn_limit worst = EVN_FREE;
    moment_of(m, rig, speed_m_s, asked_m_s2, soc, EVN_FREE);
    double least = m->is.limited.unit_n;
    for (size_t k = 0; k < 3; k++) {
        moment_of(m, rig, speed_m_s, asked_m_s2, soc, limits[k]);
        bool apart = limits[k] == EVN_BY_PACK && m->is.limited.beyond_pack_w <= 0; /* the motors bind first */
        if (!apart && m->is.limited.unit_n > least) {
            least = m->is.limited.unit_n;
            worst = limits[k];
        }
    }
    moment_of(m, rig, speed_m_s, asked_m_s2, soc, worst);
}

static void give_retarder(evn_rig *r, double force_n, double power_w, double endurance_m_s2)
{
    r->has_part[EVN_RETARDER] = true;
    const evn_unit *last = &r->unit[r->unit_count - 1];
    r->retarder = (evn_retarder){.axle = last->branch_count ? last->branch[0].axle : last->axle,
                                 .force_limit_n = force_n,
                                 .power_limit_w = power_w,
                                 .fade_from_m_s = 6,
                                 .fade_to_m_s = 2,
                                 .endurance_m_s2 = endurance_m_s2};
}

static double axle_n(const evn_instant *is, size_t axle)
{
    const evn_rig *r = is->pull.at.rig;
    return evn_axle_load_n(&r->axle[axle].load, r->gravity_m_s2, is->pull.road.slope_cos, is->pull.road.slope_sin,
                           is->accel_m_s2, is->brake_n);
}

/* Friction braking force of an axle over its load. */
static double friction_use(const evn_instant *is, size_t axle)
{
    return is->pull.at.rig->axle[axle].friction_share * is->brake_n / axle_n(is, axle);
}

/* ------------------------------------------------------------------------------------------------ the share of motors
 */

/* Of what is needed beyond what the units drag: that is what a share of nothing leaves to them. */
START_TEST(half_of_the_braking_force_is_left_to_friction_brakes)
{
    evn_rig *rig = rig_of(trucks[_i]);
    rig->adhesion_regenerating = 10;
    for (double v = 5; v < 25; v += 4) {
        moment none, half;
        rig->motor_share = 0;
        moment_of(&none, rig, v, -1.2, 0.5, EVN_FREE);
        rig->motor_share = 0.5;
        moment_of(&half, rig, v, -1.2, 0.5, EVN_FREE);
        const evn_instant *is = &half.is;
        double idle_n = none.is.limited.unit_n, asked_n = is->need_n - idle_n, near_n = 1e-9 * fabs(asked_n);
        ck_assert(asked_n < -1e4);
        ck_assert_double_eq_tol(is->limited.unit_n - idle_n, 0.5 * asked_n, near_n);
        ck_assert_double_eq_tol(is->brake_n * is->pull.road.brake_factor, -0.5 * asked_n, near_n);
        ck_assert_double_eq_tol(is->accel_m_s2, -1.2, 1e-12);
    }
    evn_rig_free(rig);
}
END_TEST

START_TEST(a_pull_is_the_motors_alone_whatever_their_share_of_braking)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment whole, part;
    moment_of(&whole, rig, 15, 0.2, 0.5, EVN_FREE);
    rig->motor_share = 0.3;
    moment_of(&part, rig, 15, 0.2, 0.5, EVN_FREE);
    ck_assert(part.is.limited.unit_n == whole.is.limited.unit_n && part.is.limited.unit_n > 0);
    ck_assert(part.is.brake_n == 0);
    ck_assert(part.is.bus_w == whole.is.bus_w);
    evn_rig_free(rig);
}
END_TEST

/* Without a share their torque is none, and what the driveline drags is not paid for by a pull against the brakes. */
START_TEST(motors_without_a_share_neither_brake_nor_pull_against_the_brakes)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment m;
    rig->motor_share = 0;
    for (double a = -2; a < 0.05; a += 0.1) {
        moment_of(&m, rig, 20, a, 0.5, EVN_FREE);
        ck_assert_double_ge(m.is.brake_n, 0);
        for (size_t u = 0; u < rig->unit_count; u++) {
            ck_assert_double_ge(m.is.unit_motor_nm[u], -1e-5);
            if (m.is.brake_n > 1e-3)
                ck_assert_double_le(m.is.unit_motor_nm[u], 1e-5);
        }
    }
    ck_assert(m.is.brake_n == 0 && m.is.want_n == m.is.need_n); /* the last asks for less than the drag */
    evn_rig_free(rig);
}
END_TEST

static drive play_exactly(scene *it)
{
    it->ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(it);
    must_finish(&run);
    return run;
}

static const char ups_and_downs[] =
    "speed: {place_m: [0, 1500, 3000, 4500], limit_km_h: [60, 40, 70, 50]}\nlength_m: 6000\n"
    "road: {place_m: [1000, 1200, 3000, 3400, 5000], grade_percent: [0, 3, 0, -4, 0]}\n"
    "stops: {place_m: [2500], wait_s: [5]}";

/* Of a truck with one setting, so that none is another one's gain. */
START_TEST(no_share_comes_to_what_a_truck_without_regeneration_needs)
{
    scene none = scene_of(PLAIN, "brakes: {motor_share: 0}", ups_and_downs);
    scene off = scene_of(PLAIN, "brakes: {regeneration: false}", ups_and_downs);
    drive a = play_exactly(&none), b = play_exactly(&off);
    ck_assert_double_eq_tol(result(&a, "battery_kwh"), result(&b, "battery_kwh"), 1e-5 * result(&b, "battery_kwh"));
    ck_assert_double_eq_tol(result(&a, "regenerative_braking_kwh"), result(&b, "regenerative_braking_kwh"), 1e-4);
    ck_assert_double_eq_tol(result(&a, "motor_braking_share"), result(&b, "motor_braking_share"), 1e-4);
    scene_end(&none, &a);
    scene_end(&off, &b);
}
END_TEST

START_TEST(the_motors_part_of_braking_work_is_told_and_follows_their_share)
{
    scene all = scene_of(PLAIN, "adhesion: {regenerating: 10}", ups_and_downs);
    scene half = scene_of(PLAIN, "adhesion: {regenerating: 10}\nbrakes: {motor_share: 0.5}", ups_and_downs);
    drive a = play_exactly(&all), b = play_exactly(&half);
    double held = result(&b, "regenerative_braking_kwh"), friction = result(&b, "energy_balance.friction_brakes_kwh");
    ck_assert_double_gt(result(&a, "motor_braking_share"), result(&b, "motor_braking_share") + 0.2);
    ck_assert_double_eq_tol(result(&b, "motor_braking_share"), held / (held + friction), 1e-12);
    ck_assert_double_gt(result(&b, "regenerated_kwh"), 0.3 * result(&a, "regenerated_kwh"));
    scene_end(&all, &a);
    scene_end(&half, &b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limit of a unit */

START_TEST(no_unit_brakes_with_more_than_its_limit_and_others_take_the_rest)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment m;
    rig->adhesion_regenerating = 10;
    double limit_n = 4000;
    rig->unit[0].braking_force_limit_n = limit_n;
    for (double a = -2; a < -0.4; a += 0.1) {
        moment_limited(&m, rig, 20, a, 0.5);
        ck_assert_double_ge(m.is.force_n[0], -limit_n * (1 + 1e-9));
        ck_assert_double_eq_tol(m.is.limited.unit_n - m.is.brake_n * m.is.pull.road.brake_factor, m.is.need_n, 1e-6);
    }
    moment_limited(&m, rig, 20, -1.5, 0.5);
    ck_assert_double_eq_tol(m.is.force_n[0], -limit_n, 1e-3);
    if (rig->unit_count > 1)
        ck_assert_double_lt(m.is.force_n[1], -limit_n);
    evn_rig_free(rig);
}
END_TEST

START_TEST(a_run_keeps_the_limit_of_the_file)
{
    scene it = scene_of(PLAIN, "drive_units: {rear: {braking_force_limit_kn: 12}}", ups_and_downs);
    drive run = play_exactly(&it);
    size_t at = column(&run, "wheel_force_kn");
    double least = 0;
    for (size_t k = 0; k < it.rows.rows; k++)
        least = fmin(least, at_row(&it.rows, k, at));
    ck_assert_double_eq_tol(least, -12, 1e-6);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ margin */

/* Of trucks with one driven axle a unit: where tyres hold, the driven axle uses more than the front one by just this.
 */
START_TEST(where_it_holds_the_driven_axle_uses_more_than_the_front_one_by_just_the_margin)
{
    static const char *const of[] = {TRACTOR, PLAIN, TIPPER};
    evn_rig *rig = rig_of(of[_i]);
    moment m;
    size_t met = 0;
    double near = rig->unit_count > 1 ? 1e-8 : 1e-9; /* units that share a force do so to 1e-8 */
    rig->adhesion_regenerating = 0.6;
    for (double margin = 0; margin < 0.2; margin += 0.02)
        for (double a = -3; a < -0.2; a += 0.2) {
            rig->regenerating_margin = margin;
            moment_limited(&m, rig, 20, a, 0.5);
            for (size_t u = 0; u < rig->unit_count; u++) {
                size_t axle = rig->unit[u].axle;
                double friction = friction_use(&m.is, axle) - friction_use(&m.is, 0);
                double over = friction - m.is.force_n[u] / axle_n(&m.is, axle), nm = m.is.unit_motor_nm[u];
                if (nm > -1e-5 ||
                    m.is.force_n[u] > -1) /* what friction brakes and drag do, no limit of the motors helps */
                    continue;
                ck_assert_double_le(over, margin + near);
                evn_limit push = m.is.pull.at.push;
                bool by_motors = nm < (1 - 1e-6) * m.is.pull.team.unit[u].least_nm;
                if ((push == EVN_BY_MOTOR || push == EVN_BY_ADHESION) && !by_motors) {
                    ck_assert_double_eq_tol(over, margin, near);
                    met++;
                }
            }
        }
    ck_assert_uint_gt(met, 20);
    evn_rig_free(rig);
}
END_TEST

START_TEST(more_adhesion_never_leaves_less_to_the_motors)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment m;
    rig->resistor_w = 1e9; /* what a pack takes hangs on how units share */
    for (double a = -3; a < -0.2; a += 0.4) {
        double before = (double)INFINITY;
        for (double margin = 0; margin < 0.3; margin += 0.02) {
            rig->regenerating_margin = margin;
            rig->adhesion_regenerating = 0.3;
            moment_limited(&m, rig, 20, a, 0.5);
            ck_assert_double_le(m.is.limited.unit_n, before + 1e-6);
            before = m.is.limited.unit_n;
        }
        for (double use = 0.3; use < 0.6; use += 0.05) {
            rig->adhesion_regenerating = use;
            moment_limited(&m, rig, 20, a, 0.5);
            ck_assert_double_le(m.is.limited.unit_n, before + 1e-6);
            before = m.is.limited.unit_n;
        }
    }
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ retarder */

START_TEST(a_retarder_takes_what_motors_leave_up_to_its_limits_and_friction_brakes_the_rest)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment with, without;
    size_t full = 0, whole = 0;
    double soc = rig->pack.usable_to - 0.002;
    rig->adhesion_regenerating = 10;
    for (double v = 1; v < 25; v += 1.5)
        for (double a = -1.5; a < 0; a += 0.1) {
            rig->has_part[EVN_RETARDER] = false;
            moment_limited(&without, rig, v, a, soc);
            give_retarder(rig, 15e3, 120e3, (double)INFINITY);
            moment_limited(&with, rig, v, a, soc);
            const evn_instant *is = &with.is;
            double left_n = without.is.brake_n * is->pull.road.brake_factor;
            double most_n = fmin(15e3, 120e3 / v) * fmin(fmax((v - 2) / 4, 0), 1);
            ck_assert(is->limited.unit_n == without.is.limited.unit_n); /* the motors come first */
            ck_assert_double_eq_tol(is->retarder_n + is->brake_n * is->pull.road.brake_factor, left_n, 1e-7);
            ck_assert_double_le(is->retarder_n, fmin(most_n, left_n) + 1e-7);
            ck_assert_double_ge(is->retarder_n, 0);
            ck_assert_double_eq_tol(is->flow.w[EVN_RETARDER], is->retarder_n * v, 1e-6);
            ck_assert(is->retarder_w == is->flow.w[EVN_RETARDER]);
            full += is->retarder_n > 0 && is->retarder_n >= most_n - 1e-7;
            whole += is->retarder_n > 0 && is->brake_n < 1e-7;
        }
    ck_assert(full > 0 && whole > 0);
    evn_rig_free(rig);
}
END_TEST

START_TEST(retarder_and_motors_of_an_axle_stay_within_what_it_carries)
{
    evn_rig *rig = rig_of(TRACTOR);
    moment m;
    size_t met = 0;
    rig->motor_share = 0.4;
    rig->adhesion_regenerating = 0.1;
    give_retarder(rig, 60e3, 1e7, (double)INFINITY);
    for (double a = -3; a < -0.1; a += 0.1) {
        moment_limited(&m, rig, 15, a, 0.5);
        size_t axle = rig->unit[0].axle;
        double use = (m.is.retarder_n - m.is.force_n[0]) / axle_n(&m.is, axle);
        ck_assert_double_le(use, 0.1 + 1e-9);
        met += m.is.retarder_n > 100 && m.is.brake_n > 100;
        if (m.is.retarder_n > 0 && m.is.brake_n > 1)
            ck_assert_double_eq_tol(use, 0.1, 1e-9);
    }
    ck_assert_uint_gt(met, 3);
    evn_rig_free(rig);
}
END_TEST

/*
 * A step of the integrator may end past the end of braking. What is left to retarder and brakes is below zero there,
 * and the retarder goes on with it: were it cut off at zero, the friction brakes' line would have its kink.
 */
START_TEST(a_retarder_goes_through_zero_with_what_motors_leave)
{
    moment m;
    evn_rig *rig = rig_of(PLAIN);
    give_retarder(rig, 3e4, 1e6, (double)INFINITY);
    rig->unit[0].braking_force_limit_n = 5e3;
    for (int side = -1; side <= 1; side += 2) {
        moment_of(&m, rig, 15, 0, 0.5, EVN_BY_ADHESION);
        double asked = (-5e3 + side - m.is.pull.road.base_n) / m.is.pull.road.mass_kg;
        moment_of(&m, rig, 15, asked, 0.5, EVN_BY_ADHESION);
        ck_assert_double_eq_tol(m.is.limited.unit_n, -5e3, 1e-6);
        ck_assert_double_eq_tol(m.is.retarder_n, -side, 1e-6);
        ck_assert_double_eq_tol(m.is.brake_n, 0, 1e-9);
    }
    evn_rig_free(rig);
}
END_TEST

START_TEST(a_retarder_for_endurance_is_let_go_where_more_is_demanded)
{
    evn_rig *rig = rig_of(TRACTOR);
    moment m;
    rig->motor_share = 0;
    give_retarder(rig, 15e3, 1e7, 0.7);
    moment_of(&m, rig, 20, -0.699, 0.5, EVN_FREE);
    ck_assert_double_eq_tol(m.is.retarder_n, 15e3, 1e-6);
    moment_of(&m, rig, 20, -0.735, 0.5, EVN_FREE);
    ck_assert_double_eq_tol(m.is.retarder_n, 7.5e3, 1e-6);
    moment_of(&m, rig, 20, -0.771, 0.5, EVN_FREE);
    ck_assert(m.is.retarder_n == 0 && m.is.brake_n > 0);
    evn_rig_free(rig);
}
END_TEST

#define RETARDER "retarder: {axle: 2, torque_limit_nm: 9000, power_limit_kw: 150, used_for: all}\n"

START_TEST(a_retarder_takes_from_friction_brakes_alone)
{
    scene with = scene_of(TRACTOR, RETARDER "brakes: {motor_share: 0.5}", ups_and_downs);
    scene without = scene_of(TRACTOR, "brakes: {motor_share: 0.5}", ups_and_downs);
    drive a = play_exactly(&with), b = play_exactly(&without);
    double retarder = result(&a, "energy_balance.retarder_kwh"), held = result(&a, "regenerative_braking_kwh");
    double friction = result(&a, "energy_balance.friction_brakes_kwh"), missing;
    ck_assert_double_gt(retarder, 0.1);
    ck_assert_double_eq_tol(retarder + friction, result(&b, "energy_balance.friction_brakes_kwh"), 1e-3 * retarder);
    ck_assert_double_eq_tol(result(&a, "battery_kwh"), result(&b, "battery_kwh"), 1e-4);
    ck_assert_double_eq_tol(result(&a, "motor_braking_share"), held / (held + retarder + friction), 1e-12);
    ck_assert(!evn_results_get(b.results, "energy_balance.retarder_kwh", &missing));
    double most_kn = 0, most_kw = 0;
    for (size_t k = 0; k < with.rows.rows; k++) {
        double kn = at_row(&with.rows, k, column(&a, "retarder_force_kn"));
        most_kn = fmax(most_kn, kn);
        most_kw = fmax(most_kw, kn * at_row(&with.rows, k, column(&a, "speed_km_h")) / 3.6);
    }
    ck_assert_double_le(most_kn, 9000 / 0.492 / 1e3 + 1e-6);
    ck_assert_double_eq_tol(most_kw, 150, 1e-3);
    scene_end(&with, &a);
    scene_end(&without, &b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ brake resistor */

START_TEST(a_resistor_takes_exactly_what_the_pack_refuses)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment m;
    rig->adhesion_regenerating = 10;
    rig->resistor_w = 5e5;
    double top = rig->pack.usable_to;
    for (double soc = top - 0.012; soc <= top; soc += 0.003)
        for (double a = -0.8; a < 0; a += 0.1) {
            moment_of(&m, rig, 15, a, fmin(soc, top), EVN_FREE);
            evn_flow unbooked = {{0}};
            double offered_w = -(m.is.bus_w + evn_loads_w(&rig->loads, (double)NAN, 20, &unbooked));
            double refused_w = fmax(offered_w - m.is.pull.feed.charge_w, 0);
            ck_assert_double_eq_tol(m.is.resistor_w, fmin(refused_w, 5e5), 1e-6);
            ck_assert_double_eq_tol(-m.is.load_w, offered_w - m.is.resistor_w, 1e-6);
            ck_assert(m.is.resistor_w == 0 || m.is.resistor_w >= 5e5 ||
                      fabs(m.is.load_w + m.is.pull.feed.charge_w) < 1e-6);
        }
    evn_rig_free(rig);
}
END_TEST

START_TEST(at_the_limit_of_pack_and_resistor_both_take_all_they_can)
{
    evn_rig *rig = rig_of(trucks[_i]);
    moment m;
    rig->adhesion_regenerating = 10;
    rig->resistor_w = 4e4;
    moment_limited(&m, rig, 15, -1.5, rig->pack.usable_to - 0.001);
    ck_assert_int_eq(m.is.pull.at.push, EVN_BY_PACK);
    ck_assert_double_eq_tol(m.is.resistor_w, 4e4, 1e-3);
    ck_assert_double_eq_tol(-m.is.load_w, m.is.pull.feed.charge_w, 1e-3);
    evn_rig_free(rig);
}
END_TEST

static const char descent[] = "length_m: 8000\nspeed: {place_m: [0, 8000], limit_km_h: [50, 50]}\n"
                              "road: {place_m: [0, 1000, 1500, 7000, 7500], grade_percent: [0, 0, -4, -4, 0]}";
#define FREE_TYRES "adhesion: {regenerating: 10}\nbattery: {start_soc: 0.94, usable_to_soc: 0.94}\n"

/* From the full pack all that it refuses goes into the resistor, and no friction brake is needed on the descent. */
START_TEST(with_a_resistor_the_motors_hold_a_descent_on_a_full_pack)
{
    scene with = scene_of(TRACTOR, FREE_TYRES "brake_resistor: {power_kw: 400}", descent);
    scene without = scene_of(TRACTOR, FREE_TYRES, descent);
    drive a = play_exactly(&with), b = play_exactly(&without);
    double burnt = result(&a, "energy_balance.brake_resistor_kwh");
    ck_assert_double_gt(burnt, 5);
    ck_assert_double_gt(result(&b, "energy_balance.friction_brakes_kwh"), burnt);
    ck_assert_double_lt(result(&a, "energy_balance.friction_brakes_kwh"),
                        0.1 * result(&b, "energy_balance.friction_brakes_kwh"));
    ck_assert_double_le(result(&a, "final_soc"), 0.94 + 1e-9);
    scene_end(&with, &a);
    scene_end(&without, &b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ all together */

static void give_all(evn_rig *r)
{
    r->motor_share = 0.8;
    r->regenerating_margin = 0.1;
    r->resistor_w = 6e4;
    r->has_part[EVN_BRAKE_RESISTOR] = true;
    r->unit[0].braking_force_limit_n = 20e3;
    give_retarder(r, 12e3, 15e4, 1);
}

START_TEST(the_energy_of_any_instant_closes_with_all_of_it)
{
    evn_rig *rig = rig_of(trucks[_i]);
    dice with = {11};
    give_all(rig);
    for (int k = 0; k < 400; k++) {
        moment m;
        double top = rig->pack.usable_to, sum = 0, volts;
        moment_limited(&m, rig, roll(&with, 1, 24), roll(&with, -3, 0.1), roll(&with, top - 0.02, top));
        for (int line = 0; line < EVN_LINE_COUNT; line++)
            sum += m.is.flow.w[line];
        volts = m.is.pull.feed.open_circuit_v;
        ck_assert_double_eq_tol(sum, volts * m.is.current_a, 1e-6 * (1e4 + fabs(m.is.need_n) * 25));
        if (m.is.pull.at.push != EVN_FREE)
            ck_assert_double_ge(m.is.brake_n, -1e-6);
    }
    evn_rig_free(rig);
}
END_TEST

static const char all_parts[] = RETARDER "brake_resistor: {power_kw: 60}\nbrakes: {motor_share: 0.8}\n"
                                         "adhesion: {regenerating_margin: 0.1}\nbattery: {start_soc: 0.93}";

START_TEST(runs_with_all_of_it_close_and_do_not_depend_on_the_accuracy)
{
    static const char *const of[] = {TRACTOR, TWINS, TANDEM};
    static const char *const keys[] = {"battery_kwh", "energy_balance.friction_brakes_kwh",
                                       "energy_balance.retarder_kwh", "energy_balance.brake_resistor_kwh",
                                       "regenerative_braking_kwh"};
    for (int driver = 0; driver < 2; driver++) {
        scene rough = scene_of(of[_i], all_parts, ups_and_downs), fine = scene_of(of[_i], all_parts, ups_and_downs);
        rough.ask.driving.driver = fine.ask.driving.driver = driver ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
        fine.ask.driving.accuracy = 1e-8;
        drive a = play(&rough), b = play(&fine);
        must_finish(&a);
        must_finish(&b);
        for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
            ck_assert_double_eq_tol(result(&a, keys[k]), result(&b, keys[k]), 2e-4);
        scene_end(&rough, &a);
        scene_end(&fine, &b);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is refused */

static void must_refuse(const char *changes, const char *piece)
{
    char path[PATH_BYTES], text[1000], here[300];
    evn_truck *truck = NULL;
    evn_report *report = evn_report_new();
    evn_finding found = {.text = ""};
    bool said = false;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, TRACTOR, changes);
    write_file("truck.yaml", text);
    ck_assert_int_ne(evn_truck_load(in_folder(path, "truck.yaml"), &truck, report), EVN_DONE);
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        said = said || (strstr(found.text, piece) && found.line == 2);
    ck_assert_msg(said, "no finding with '%s'; first: %s", piece, first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
}

START_TEST(a_retarder_needs_a_driven_axle_one_limit_and_a_fade_of_some_width)
{
    must_refuse("retarder: {axle: 1, torque_limit_nm: 9000, power_limit_kw: 150}", "which no drive unit drives");
    must_refuse("retarder: {axle: 2, power_limit_kw: 150}", "neither torque_limit_nm and");
    must_refuse("retarder: {axle: 2, torque_limit_nm: 9000, braking_force_limit_kn: 9, power_limit_kw: 150}", "both");
    must_refuse("retarder: {axle: 2, torque_limit_nm: 9000, power_limit_kw: 150, fade_from_km_h: 5}", "fades out at 5");
    must_refuse("brakes: {motor_share: 1.1}", "motor_share");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slowing");
    TCase *instants = tcase_create("instants"), *runs = tcase_create("runs");
    tcase_add_loop_test(instants, half_of_the_braking_force_is_left_to_friction_brakes, 0, TRUCKS);
    tcase_add_loop_test(instants, a_pull_is_the_motors_alone_whatever_their_share_of_braking, 0, TRUCKS);
    tcase_add_loop_test(instants, motors_without_a_share_neither_brake_nor_pull_against_the_brakes, 0, TRUCKS);
    tcase_add_loop_test(instants, no_unit_brakes_with_more_than_its_limit_and_others_take_the_rest, 0, TRUCKS);
    tcase_add_loop_test(instants, where_it_holds_the_driven_axle_uses_more_than_the_front_one_by_just_the_margin, 0, 3);
    tcase_add_loop_test(instants, more_adhesion_never_leaves_less_to_the_motors, 0, TRUCKS);
    tcase_add_loop_test(instants, a_retarder_takes_what_motors_leave_up_to_its_limits_and_friction_brakes_the_rest, 0,
                        TRUCKS);
    tcase_add_test(instants, retarder_and_motors_of_an_axle_stay_within_what_it_carries);
    tcase_add_test(instants, a_retarder_goes_through_zero_with_what_motors_leave);
    tcase_add_test(instants, a_retarder_for_endurance_is_let_go_where_more_is_demanded);
    tcase_add_loop_test(instants, a_resistor_takes_exactly_what_the_pack_refuses, 0, TRUCKS);
    tcase_add_loop_test(instants, at_the_limit_of_pack_and_resistor_both_take_all_they_can, 0, TRUCKS);
    tcase_add_loop_test(instants, the_energy_of_any_instant_closes_with_all_of_it, 0, TRUCKS);
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_test(runs, no_share_comes_to_what_a_truck_without_regeneration_needs);
    tcase_add_test(runs, the_motors_part_of_braking_work_is_told_and_follows_their_share);
    tcase_add_test(runs, a_run_keeps_the_limit_of_the_file);
    tcase_add_test(runs, a_retarder_takes_from_friction_brakes_alone);
    tcase_add_test(runs, with_a_resistor_the_motors_hold_a_descent_on_a_full_pack);
    tcase_add_loop_test(runs, runs_with_all_of_it_close_and_do_not_depend_on_the_accuracy, 0, 3);
    tcase_add_test(runs, a_retarder_needs_a_driven_axle_one_limit_and_a_fade_of_some_width);
    suite_add_tcase(suite, instants);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
