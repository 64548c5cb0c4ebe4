/* Where heat, grip and brakes meet: the speed that heat holds, a retarder's heat and its part in ideal distribution,
 * and the margin of the driven axle there. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "core/units.h"
#include "pull/adhesion_use.h"
#include "pull/friction.h"
#include "pull/instant.h"
#include "trip/held_speed.h"
#include "trip/stall.h"
#include "trip/too_hot.h"
#include "truck/steady.h"

#define SINGLE "tests/trucks/single-speed.yaml"
#define TWO "tests/trucks/two-units.yaml"
#define WARM "tests/trucks/warm.yaml"
#define COOLED "tests/trucks/cooled.yaml"

/* A truck of the tree with something written over it. */
static evn_rig *rig_with(const char *truck_path, const char *changes)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = evn_report_new();
    evn_load_case ask = evn_conditions_default().load_case;
    evn_truck *truck = NULL;
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, truck_path, changes);
    write_file("truck.yaml", text);
    if (evn_truck_load(in_folder(path, "truck.yaml"), &truck, report) == EVN_DONE)
        evn_rig_prepare(truck, &ask, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

typedef struct moment { /* an instant, its room for temperatures beside it */
    evn_instant is;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} moment;

static void moment_of(moment *m, const evn_rig *rig, double speed_m_s, double asked_m_s2, evn_limit push)
{
    m->is.pull.at = (evn_given){.rig = rig,
                                .rolling_factor = 1,
                                .speed_m_s = speed_m_s,
                                .asked_m_s2 = asked_m_s2,
                                .soc = 0.5,
                                .push = push,
                                .coolant_degc = rig->cooling.start_degc,
                                .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], m->degc[u]);
        m->is.pull.at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], rig->unit[u].gear_count - 1),
                                                 .degc = m->degc[u]};
    }
    evn_instant_make(&m->is);
}

/* ------------------------------------------------------------------------------------------------ held by heat */

/* Two units in unlike gears: what each bears is a speed of its motors. */
static void hot_pair(evn_trip *t, const evn_rig *rig, double first_rad_s, double second_rad_s)
{
    *t = (evn_trip){.rig = rig, .motion = EVN_MOVING, .law = EVN_HOLDING};
    evn_hold_nothing(t);
    t->box[0].now = evn_all_engaged(&rig->unit[0], 0);
    t->box[1].now = evn_all_engaged(&rig->unit[1], 1);
    t->hot[0] = (evn_hot){.now = EVN_HEAT_SPEED_HELD, .held_rad_s = first_rad_s};
    t->hot[1] = (evn_hot){.now = EVN_HEAT_PULSES_OFF, .held_rad_s = second_rad_s};
    evn_act_hold_for_heat(t);
}

/* Ratios and radii as the file states them: 2.7 x 2.4 x 2.46 and 1.0 x 2.4 x 2.2, 0.492 m. */
START_TEST(heat_holds_what_the_unit_that_bears_least_bears_in_its_gear)
{
    static evn_trip t;
    evn_rig *rig = rig_with(TWO, "");
    double first_m_s = 500 / (2.7 * 2.4 * 2.46) * 0.492, second_m_s = 300 / (1.0 * 2.4 * 2.2) * 0.492;
    ck_assert_double_lt(first_m_s, second_m_s);
    hot_pair(&t, rig, 500, 300);
    ck_assert_double_eq_tol(t.held_m_s[EVN_HOLDER_HEAT], first_m_s, 1e-9);
    hot_pair(&t, rig, 5000, 300);
    ck_assert_double_eq_tol(t.held_m_s[EVN_HOLDER_HEAT], second_m_s, 1e-9);
    ck_assert_int_eq(evn_held_by(&t), EVN_HOLDER_HEAT);
    evn_rig_free(rig);
}
END_TEST

START_TEST(what_heat_holds_is_released_by_the_last_unit_that_has_cooled)
{
    static evn_trip t;
    evn_rig *rig = rig_with(TWO, "");
    hot_pair(&t, rig, 500, 300);
    t.hot[0].now = EVN_HEAT_BORNE;
    evn_act_hold_for_heat(&t);
    ck_assert_double_eq_tol(t.held_m_s[EVN_HOLDER_HEAT], 300 / (1.0 * 2.4 * 2.2) * 0.492, 1e-9);
    t.box[1].now = (evn_setting){0, 0}; /* a unit whose disconnect is open is not turned */
    evn_act_hold_for_heat(&t);
    ck_assert(isinf(evn_held_speed_m_s(&t)));
    ck_assert_int_eq(t.law, EVN_CAPPED);
    evn_rig_free(rig);
}
END_TEST

/* Its speed is where losses without torque come to stand at the end of derating, less a fiftieth: with pulses those of
 * iron, friction and what always runs, without them of the drag alone. */
#define HEATS_ON(share)                                                                                                \
    "drive_units: {rear: {motors: {a: {loss: {constant_w: 3000, speed_w_per_rad_s: 60}, field_weakening: "             \
    "{characteristic_current_share: " share "}, winding: {start_degc: 178}, housing: {start_degc: 170, "               \
    "resistance_k_per_kw: 15, time_constant_s: 60, time_constant_low_s: 50, time_constant_high_s: 100}}}}}"

static void hold_down(const evn_rig *rig, evn_too_hot expected, bool pulses_off)
{
    static evn_trip t;
    moment m;
    evn_report *report = evn_report_new();
    const evn_unit *u = &rig->unit[0];
    evn_setting top_gear = evn_all_engaged(u, u->gear_count - 1);
    double v = 0.9 * evn_unit_top_rad_s(u) / u->gear[top_gear.gear].total_ratio / rig->unit_rad_m[0];
    moment_of(&m, rig, v, 0, EVN_FREE);
    t = (evn_trip){.rig = rig, .report = report, .motion = EVN_STANDING, .states = evn_states_of(rig)};
    evn_states_start(&t.states, t.y);
    t.box[0].now = top_gear;
    evn_hold_nothing(&t);
    evn_act_too_hot(&t, &m.is);
    ck_assert_int_eq(t.hot[0].now, expected);
    evn_turning at = {top_gear, 0, m.is.pull.feed.open_circuit_v, m.is.pull.at.coolant_degc};
    at.setting.pulses_off = pulses_off;
    double bears_rad_s = evn_unit_speed_held_rad_s(u, &at);
    ck_assert(bears_rad_s > 10 && bears_rad_s < evn_unit_top_rad_s(u));
    double held_rad_s = t.held_m_s[EVN_HOLDER_HEAT] * rig->unit_rad_m[0] * u->gear[top_gear.gear].total_ratio;
    ck_assert_double_eq_tol(held_rad_s, 0.98 * bears_rad_s, 1e-9 * bears_rad_s);
    evn_report_free(report);
}

START_TEST(heat_holds_a_little_less_than_what_losses_without_torque_let_with_pulses_and_without)
{
    evn_rig *weakened = rig_with(WARM, HEATS_ON("3")), *strong = rig_with(WARM, HEATS_ON("0.1"));
    hold_down(weakened, EVN_HEAT_SPEED_HELD, false);
    hold_down(strong, EVN_HEAT_PULSES_OFF, true);
    evn_rig_free(weakened);
    evn_rig_free(strong);
}
END_TEST

/* Warm, and not too hot to pull: but heat has put its pulses off, and they come back at 162.5 degC. */
START_TEST(a_truck_that_cannot_move_off_without_pulses_says_from_when_on_it_can)
{
    static evn_trip t;
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_with(WARM, "");
    evn_road_stretch road = {.end_m = 100, .rolling_factor = 1, .adhesion = (double)NAN};
    evn_course course = {.road = &road, .road_count = 1};
    t = (evn_trip){.rig = rig, .course = &course, .report = report, .states = evn_states_of(rig)};
    t.motion = EVN_STANDING;
    evn_states_start(&t.states, t.y);
    t.y[t.states.nodes_at[0]] = 168;
    t.hot[0].now = EVN_HEAT_PULSES_OFF;
    evn_stall_say(&t);
    const char *told = first_finding(report);
    ck_assert_msg(strstr(told, "drive unit rear is without pulses"), "%s", told);
    ck_assert_msg(strstr(told, "its winding is at 168.0 degC; expected at most 162.5"), "%s", told);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a retarder */

#define RETARDER "retarder: {axle: 2, braking_force_limit_kn: 20, power_limit_kw: 400, used_for: all"

/* Of what it brakes, its stated share and no more, beside what units give off. */
START_TEST(the_coolant_has_its_share_of_a_retarder_s_heat)
{
    moment m;
    evn_rig *without = rig_with(COOLED, RETARDER "}"), *with = rig_with(COOLED, RETARDER ", coolant_share: 0.7}");
    moment_of(&m, without, 15, -2.5, EVN_BY_MOTOR);
    double units_w = evn_instant_to_coolant_w(&m.is);
    moment_of(&m, with, 15, -2.5, EVN_BY_MOTOR);
    ck_assert_double_gt(m.is.retarder_n, 5e3);
    ck_assert_double_eq_tol(evn_instant_to_coolant_w(&m.is), units_w + 0.7 * m.is.retarder_n * 15, 1e-6);
    evn_rig_free(without);
    evn_rig_free(with);
}
END_TEST

/* T = z N with all that brakes an axle: motors and retarder at the second, friction brakes at each. */
START_TEST(ideal_distribution_counts_the_retarder_at_its_axle)
{
    moment m;
    double friction_n[EVN_AXLES_MAX];
    evn_rig *rig = rig_with(SINGLE, "brakes: {distribution: ideal}\n" RETARDER "}");
    rig->motor_share = 0.1;
    moment_of(&m, rig, 15, -3, EVN_FREE);
    evn_forces all = {m.is.force_n, m.is.accel_m_s2, m.is.brake_n, m.is.retarder_n};
    double z = evn_pull_braking_rate(&m.is.pull, &all);
    ck_assert_double_gt(m.is.retarder_n, 1e3);
    evn_friction_forces(&m.is, friction_n);
    for (size_t k = 0; k < rig->axle_count; k++) {
        double load_n = evn_axle_load_n(&rig->axle[k].load, rig->gravity_m_s2, m.is.pull.road.slope_cos,
                                        m.is.pull.road.slope_sin, m.is.accel_m_s2, m.is.brake_n);
        double others_n = k == 1 ? m.is.retarder_n - m.is.force_n[0] : 0;
        ck_assert_double_eq_tol((friction_n[k] + others_n) / load_n, z, 1e-12);
    }
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ margin, ideal */

/* Where the margin holds the driven axle, it has no friction brakes: those of all others brake in proportion to their
 * loads, so that the front axle uses what all of these do. */
START_TEST(with_ideal_distribution_too_the_driven_axle_uses_more_than_the_front_one_by_the_margin)
{
    moment m;
    double use[EVN_AXLES_MAX], friction_n[EVN_AXLES_MAX];
    evn_rig *rig = rig_with(SINGLE, "brakes: {distribution: ideal}");
    rig->adhesion_regenerating = 0.8;
    size_t axle = rig->unit[0].axle, met = 0;
    for (double margin = 0.01; margin < 0.1; margin += 0.02)
        for (double a = -2; a < -0.4; a += 0.2) {
            rig->regenerating_margin = margin;
            moment_of(&m, rig, 8, a, EVN_BY_ADHESION);
            evn_forces all = {m.is.force_n, m.is.accel_m_s2, m.is.brake_n, 0};
            evn_pull_adhesion_use(&m.is.pull, &all, use);
            evn_friction_shared(&m.is.pull, &all, friction_n);
            if (m.is.brake_n < 100 || -m.is.force_n[0] < 100)
                continue;
            ck_assert_double_eq_tol(use[axle] - use[0], margin, 1e-8);
            ck_assert_double_eq(friction_n[axle], 0);
            met++;
        }
    ck_assert_uint_gt(met, 10);
    evn_rig_free(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("seams");
    TCase *tests = tcase_create("seams");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, heat_holds_what_the_unit_that_bears_least_bears_in_its_gear);
    tcase_add_test(tests, what_heat_holds_is_released_by_the_last_unit_that_has_cooled);
    tcase_add_test(tests, heat_holds_a_little_less_than_what_losses_without_torque_let_with_pulses_and_without);
    tcase_add_test(tests, a_truck_that_cannot_move_off_without_pulses_says_from_when_on_it_can);
    tcase_add_test(tests, the_coolant_has_its_share_of_a_retarder_s_heat);
    tcase_add_test(tests, ideal_distribution_counts_the_retarder_at_its_axle);
    tcase_add_test(tests, with_ideal_distribution_too_the_driven_axle_uses_more_than_the_front_one_by_the_margin);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
