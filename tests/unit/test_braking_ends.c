/* Where braking comes to its ends: a lifted axle, the margin of two driven axles, the road's adhesion, a full battery
 * with a retarder, and a grade that nothing holds. */
#define _POSIX_C_SOURCE 200809L
#include "core/units.h"
#include "scene.h"
#include "truck/rig.h"

#define DOWN(speed, grade)                                                                                             \
    "length_m: 4000\nspeed: {place_m: [0], limit_km_h: [" speed "]}\n"                                                 \
    "road: {place_m: [300, 400, 3600, 3700], grade_percent: [0, " grade ", " grade ", 0]}\n"
#define RETARDER "retarder: {axle: 2, power_limit_kw: 400, torque_limit_nm: 25000, used_for: all}"

static const char *finding_of(const drive *run, const char *fault, const char *piece)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(run->report, k, &found); k++)
        if (strcmp(found.fault, fault) == 0 && strstr(found.text, piece))
            return found.text;
    return NULL;
}

START_TEST(a_lifted_axle_has_no_part_in_stated_shares)
{
    scene it =
        scene_of("tests/vehicles/trucks/rigid-6x2-central.yaml",
                 "brakes: {distribution: stated, regeneration: false}\n"
                 "axles: {front: {friction_share: 0.4}, drive: {friction_share: 0.4}, tag: {friction_share: 0.2, "
                 "lifts: {request: up}}}\npayload: {mass_kg: 0}",
                 DOWN("30", "-5"));
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq(run.rig->axle[2].friction_share, 0);
    ck_assert_double_eq_tol(run.rig->axle[0].friction_share, 0.5, 1e-12);
    ck_assert_double_eq(result(&run, "axles.tag.friction_brakes_kwh"), 0);
    double all = result(&run, "energy_balance.friction_brakes_kwh");
    ck_assert_double_eq_tol(result(&run, "axles.drive.friction_brakes_kwh"), all / 2, 1e-9 * all);
    scene_end(&it, &run);
}
END_TEST

static size_t column_of(const drive *run, const char *key, const char *axle)
{
    evn_trace_column c;
    for (size_t k = 0; evn_trace_column_at(run->rig, k, &c); k++)
        if (strcmp(c.what.key, key) == 0 && (axle ? c.axle && strcmp(c.axle, axle) == 0 : !c.axle))
            return k;
    ck_abort_msg("no column %s", key);
    return 0;
}

static double load_n(const evn_rig *r, size_t axle, double tangent, double brake_n)
{
    double cosine = 1 / sqrt(1 + tangent * tangent);
    return evn_axle_load_n(&r->axle[axle].load, r->gravity_m_s2, cosine, tangent * cosine, 0, brake_n);
}

/* Both driven axles brake by their motors alone, and use more than the front axles by just the margin. */
START_TEST(two_driven_axles_keep_the_margin_where_friction_follows_the_loads)
{
    scene it = scene_of("tests/vehicles/trucks/tipper-8x4-central.yaml",
                        "brakes: {distribution: ideal}\nadhesion: {regenerating_margin: 0.02}", DOWN("30", "-6"));
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.load_case.start_soc = 0.5;
    drive run = play(&it);
    must_finish(&run);
    const evn_rig *r = run.rig;
    size_t middle = it.rows.rows / 2, columns = it.rows.columns;
    const double *row = it.rows.value + middle * columns;
    double v = row[column_of(&run, "speed_km_h", NULL)] * EVN_M_S_PER_KM_H;
    double brake_n = 1e3 * row[column_of(&run, "friction_brake_force_kn", NULL)];
    double motors_n = -1e3 * row[column_of(&run, "wheel_force_kn", NULL)];
    double front_n = 1e3 * row[column_of(&run, "axle_friction_braking_kw", "front")] / v;
    ck_assert_double_gt(brake_n, 1000);
    ck_assert_double_lt(row[column_of(&run, "axle_friction_braking_kw", "leading")], 0.01);
    /* the transfer gear leaves one of them a little less: the mean is just below the margin */
    double driven_n = load_n(r, 2, -0.06, brake_n) + load_n(r, 3, -0.06, brake_n);
    double over = motors_n / driven_n - front_n / load_n(r, 0, -0.06, brake_n);
    ck_assert_double_le(over, 0.02 + 1e-6);
    ck_assert_double_ge(over, 0.019);
    scene_end(&it, &run);
}
END_TEST

START_TEST(braking_that_the_road_does_not_carry_is_told)
{
    for (int slippery = 0; slippery < 2; slippery++) {
        scene it = scene_of("tests/vehicles/trucks/rigid-6x2-central.yaml", NULL,
                            slippery ? DOWN("30", "-9") "surface: {place_m: [0], adhesion: [0.08]}"
                                     : DOWN("30", "-9") "surface: {place_m: [0], adhesion: [0.5]}");
        drive run = play(&it);
        const char *text = finding_of(&run, "limit_passed", "the adhesion of the place");
        ck_assert((text != NULL) == slippery);
        ck_assert(!text || strstr(text, "local regulation"));
        scene_end(&it, &run);
    }
}
END_TEST

/* What a full battery refuses the retarder takes, and no brake is said to be hot. */
START_TEST(a_retarder_that_took_what_was_refused_is_named)
{
    scene it = scene_of(TRACTOR, RETARDER, DOWN("30", "-6"));
    it.ask.load_case.start_soc = 0.94;
    drive run = play(&it);
    must_finish(&run);
    const char *text = finding_of(&run, "battery_full", "the retarder took it instead; expected");
    ck_assert_ptr_nonnull(text);
    scene_end(&it, &run);
}
END_TEST

static double mean_speed_holding(const char *changes)
{
    scene it = scene_of(TRACTOR, changes, DOWN("80", "-6"));
    it.ask.load_case.start_soc = 0.94;
    it.ask.driving.endurance = EVN_ENDURANCE_HOLDABLE;
    drive run = play(&it);
    must_finish(&run);
    ck_assert((finding_of(&run, "not_held", "holds no speed above 10 km/h") != NULL) == !changes);
    double speed = result(&run, "mean_speed_km_h");
    scene_end(&it, &run);
    return speed;
}

START_TEST(a_retarder_holds_a_full_truck_downhill_and_without_one_it_is_told_that_nothing_does)
{
    double without = mean_speed_holding(NULL), with = mean_speed_holding(RETARDER);
    ck_assert_double_lt(without, 20);
    ck_assert_double_gt(with, 2 * without);
}
END_TEST

/* Motors that take half of the braking hold a grade faster with the same battery. */
START_TEST(what_motors_hold_downhill_is_their_share)
{
    double speed[2];
    for (int half = 0; half < 2; half++) {
        scene it = scene_of(TRACTOR,
                            half ? "battery: {charge_limit_kw: 100}\nbrakes: {motor_share: 0.5}"
                                 : "battery: {charge_limit_kw: 100}",
                            DOWN("80", "-5"));
        it.ask.load_case.start_soc = 0.5;
        it.ask.driving.endurance = EVN_ENDURANCE_HOLDABLE;
        drive run = play(&it);
        must_finish(&run);
        speed[half] = result(&run, "mean_speed_km_h");
        scene_end(&it, &run);
    }
    ck_assert_double_gt(speed[1], 1.2 * speed[0]);
}
END_TEST

START_TEST(a_quick_inverter_is_as_cold_as_its_coolant_at_the_start)
{
    scene it = scene_of(TRACTOR, NULL, "length_m: 500\nspeed: {place_m: [0], limit_km_h: [20]}\n");
    it.ask.load_case.temperature_degc = -20;
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_lt(result(&run, "drive_units.rear.peak_inverter_temperature_degc"), 55);
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("braking ends");
    TCase *tests = tcase_create("braking ends");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_lifted_axle_has_no_part_in_stated_shares);
    tcase_add_test(tests, two_driven_axles_keep_the_margin_where_friction_follows_the_loads);
    tcase_add_test(tests, braking_that_the_road_does_not_carry_is_told);
    tcase_add_test(tests, a_retarder_that_took_what_was_refused_is_named);
    tcase_add_test(tests, a_retarder_holds_a_full_truck_downhill_and_without_one_it_is_told_that_nothing_does);
    tcase_add_test(tests, what_motors_hold_downhill_is_their_share);
    tcase_add_test(tests, a_quick_inverter_is_as_cold_as_its_coolant_at_the_start);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
