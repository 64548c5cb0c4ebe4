/*
 * Torque at rest as a share of peak: the steepest start and a run through the rise of the torque, each against what
 * follows by hand; what is said of it; what is refused.
 */
#define _POSIX_C_SOURCE 200809L
#include "evener/limits.h"
#include "folder.h"
#include "trip_probe.h"

/* 20 t, one ratio of 20 to wheels of 0.5 m, a motor of 1000 Nm and 200 kW: nothing is lost but rolling resistance. */
#define MASS_KG 20000.0
#define PEAK_NM 1000.0
#define RATIO 20.0
#define RADIUS_M 0.5
#define ROLLING 0.006
#define SHARE 0.7
#define FULL_RPM 600.0
#define TYRE "tyre: {rolling_resistance_coefficient: 0.006, rolling_radius_m: 0.5, inertia_kg_m2: 0}"
#define TRUCK(of_motor)                                                                                                \
    "name: stander\ninvented: true\n"                                                                                  \
    "body: {mass_kg: 20000, centre_behind_front_axle_m: 3, centre_height_m: 0, drag_area_m2: 0}\n"                     \
    "axles:\n"                                                                                                         \
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, " TYRE "}\n"                                          \
    "  driven: {behind_front_axle_m: 4, support: rear, tyres: 4, " TYRE "}\n"                                          \
    "payload: {mass_kg: 0, centre_behind_m: 3, centre_height_m: 0}\n"                                                  \
    "battery: {capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, "                    \
    "discharge_limit_kw: 1e5, charge_limit_kw: 1e5, start_soc: 0.5}\n"                                                 \
    "adhesion: {driving: 0.8}\n"                                                                                       \
    "drive_units: {rear: {axles: [2], motors: {motor: {peak_torque_nm: 1000, peak_power_kw: 200, top_speed_rpm: "      \
    "6000, reference_voltage_v: 700" of_motor "}}, machine_height_m: 0, path: [mesh: {ratio: 20, efficiency: 1}]}}\n"
#define RISES ", torque_at_rest_share: 0.7, full_torque_from_rpm: 600"

/* ------------------------------------------------------------------------------------------------ by hand */

/* The driver's least acceleration at which a truck moves off is 1 mm/s2 (trip/acts.c). */
static double steepest_percent(double share)
{
    double force_n = share * PEAK_NM * RATIO / RADIUS_M, lean = atan(ROLLING);
    double sine = (force_n / MASS_KG - 1e-3) / 9.80665 / sqrt(1 + ROLLING * ROLLING);
    return 100 * tan(asin(sine) - lean);
}

/* 1/a on the level, at a speed below that of peak power. */
static double slowness_s2_m(double speed_m_s)
{
    double x = fmin(speed_m_s * RATIO / RADIUS_M / (FULL_RPM * 3.14159265358979323846 / 30), 1);
    double torque_nm = PEAK_NM * (SHARE + (1 - SHARE) * (3 * x * x - 2 * x * x * x));
    return 1 / (torque_nm * RATIO / RADIUS_M / MASS_KG - 9.80665 * ROLLING);
}

/* Time from rest, by Simpson's rule. */
static double seconds_to(double speed_m_s)
{
    enum { PARTS = 400 };
    double sum = slowness_s2_m(0) + slowness_s2_m(speed_m_s);
    for (int k = 1; k < PARTS; k++)
        sum += (k % 2 ? 4 : 2) * slowness_s2_m(speed_m_s * k / PARTS);
    return sum * speed_m_s / PARTS / 3;
}

/* ------------------------------------------------------------------------------------------------ starting */

static drive try_grade(const char *truck, double percent)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], text[400];
    evn_conditions ask = evn_conditions_default();
    snprintf(text, sizeof text,
             "name: start\ninvented: true\nlength_m: 60\nspeed: {place_m: [0], limit_km_h: [10]}\n"
             "road: {place_m: [0, 60], grade_percent: [%.6f, %.6f]}\n",
             percent, percent);
    write_file("truck.yaml", truck);
    write_file("cycle.yaml", text);
    return drive_any(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask, NULL);
}

static void check_start(const char *truck, double share)
{
    evn_limits *limits = NULL;
    evn_limits_figure once, back;
    double by_hand = steepest_percent(share);
    drive up = try_grade(truck, by_hand - 0.2);
    ck_assert_str_eq(evn_results_status(up.results), "finished");
    const evn_driving driving = evn_conditions_default().driving;
    ck_assert_int_eq(evn_limits_find(up.rig, &driving, &(evn_limits_how){.only_forces = true}, &limits, up.report),
                     EVN_DONE);
    ck_assert(evn_limits_get(limits, "start.as_stated.once_percent", &once));
    ck_assert(evn_limits_get(limits, "start.as_stated.reversing_percent", &back));
    ck_assert_msg(fabs(once.value - by_hand) < 1e-6, "%.9g %%, by hand %.9g %%", once.value, by_hand);
    ck_assert_msg(fabs(back.value - by_hand) < 1e-6, "backwards %.9g %%, by hand %.9g %%", back.value, by_hand);
    ck_assert_str_eq(once.limit, "motor_torque");
    evn_limits_free(limits);
    drive_end(&up);
    drive down = try_grade(truck, by_hand + 0.2);
    ck_assert_str_eq(evn_results_status(down.results), "stalled");
    drive_end(&down);
}

START_TEST(the_steepest_start_is_that_of_the_torque_at_rest)
{
    check_start(TRUCK(RISES), SHARE);
    check_start(TRUCK(""), 1);
    check_start(TRUCK(", torque_at_rest_share: 1"), 1);
}
END_TEST

static bool said(const evn_report *report, const char *fault, const char *what)
{
    evn_finding finding;
    for (size_t k = 0; evn_report_at(report, k, &finding); k++)
        if (strcmp(finding.fault, fault) == 0 && strstr(finding.text, what))
            return true;
    return false;
}

START_TEST(a_truck_that_its_torque_at_rest_keeps_from_moving_off_is_told_so)
{
    drive d = try_grade(TRUCK(RISES), 16); /* of peak torque it would: 28 kN, and 40 */
    ck_assert_msg(said(d.report, "cannot_start",
                       "its motors give 28.0 kN at rest in first gear, where those of drive unit rear have 70 % of "
                       "their peak torque; expected"),
                  "%s", first_finding(d.report));
    drive_end(&d);
    d = try_grade(TRUCK(""), 25);
    ck_assert(said(d.report, "cannot_start", "its motors give 40.0 kN at rest in first gear; expected"));
    drive_end(&d);
}
END_TEST

START_TEST(figures_tell_the_force_at_rest)
{
    double share[] = {1, SHARE};
    for (int k = 0; k < 2; k++) {
        drive d = try_grade(k ? TRUCK(RISES) : TRUCK(""), 0);
        evn_quantity what;
        double value = (double)NAN, kn = (double)NAN;
        for (size_t i = 0; evn_rig_figure_at(d.rig, i, &what, &value); i++)
            if (strcmp(what.key, "gears.rear.1.peak_wheel_force_kn") == 0)
                kn = value;
        ck_assert_double_eq_tol(kn, share[k] * PEAK_NM * RATIO / RADIUS_M / 1e3, 1e-9);
        drive_end(&d);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ through the rise */

/* Most that a row's time is off that of its speed by hand, while the motors' torque limits it. */
static double most_off_s(evn_integrator by, double accuracy)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    trace rows = {NULL, 0, 0, 0};
    ask.driving.integrator = by;
    ask.driving.accuracy = accuracy;
    ask.driving.comfort_acceleration_m_s2 = ask.driving.speed_gain_1_s = 10; /* more than the motors can */
    ask.driving.trace_interval_s = 0.05;
    write_file("truck.yaml", TRUCK(RISES));
    write_file("cycle.yaml", "name: level\ninvented: true\nlength_m: 200\nspeed: {place_m: [0], limit_km_h: [60]}\n");
    drive d = drive_whole(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask, &rows);
    size_t seconds = column(&d, "time_s"), speed = column(&d, "speed_km_h"), counted = 0;
    double most = 0;
    for (size_t k = 0; k < rows.rows; k++) {
        double v = at_row(&rows, k, speed) / 3.6;
        if (v > 4.5) /* peak power takes over at 5 m/s */
            break;
        most = fmax(most, fabs(at_row(&rows, k, seconds) - seconds_to(v)));
        counted++;
    }
    ck_assert_uint_gt(counted, 50);
    ck_assert_double_lt(result(&d, "balance_error"), 2e-5);
    trace_end(&rows);
    drive_end(&d);
    return most;
}

START_TEST(a_run_through_the_rise_takes_the_time_by_hand_and_converges_to_it)
{
    static const evn_integrator by[] = {EVN_INTEGRATOR_CVODE, EVN_INTEGRATOR_ARKODE};
    double coarse = most_off_s(by[_i], 1e-5), middle = most_off_s(by[_i], 1e-6), fine = most_off_s(by[_i], 1e-8);
    ck_assert_msg(coarse < 1e-5 && middle < 2e-6 && fine < 1e-7, "%g, %g and %g s", coarse, middle, fine);
    ck_assert_msg(fine < 0.2 * coarse, "%g, %g and %g s", coarse, middle, fine);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ refused */

static const struct {
    const char *truck, *fault, *what;
} wrong[] = {
    {TRUCK(", torque_at_rest_share: 0.7"), "disagrees", "expected full_torque_from_rpm beside it"},
    {TRUCK(", full_torque_from_rpm: 100"), "disagrees", "expected a torque_at_rest_share below 1, or neither"},
    {TRUCK(", torque_at_rest_share: 0.7, full_torque_from_rpm: 1910"), "disagrees",
     "expected below base speed, 1909.86"},
    {TRUCK(", torque_at_rest_share: 0.04, full_torque_from_rpm: 600"), "out_of_range", "0.05"},
    {TRUCK(", torque_at_rest_share: 1.01, full_torque_from_rpm: 600"), "out_of_range", "1"},
};

START_TEST(what_cannot_be_is_refused)
{
    char path[PATH_BYTES];
    evn_truck *truck = NULL;
    evn_report *report = evn_report_new();
    write_file("truck.yaml", wrong[_i].truck);
    ck_assert_int_eq(evn_truck_load(in_folder(path, "truck.yaml"), &truck, report), EVN_BAD_INPUT);
    ck_assert_msg(said(report, wrong[_i].fault, wrong[_i].what), "%s", first_finding(report));
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("standstill");
    TCase *tests = tcase_create("torque at rest");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, the_steepest_start_is_that_of_the_torque_at_rest);
    tcase_add_test(tests, a_truck_that_its_torque_at_rest_keeps_from_moving_off_is_told_so);
    tcase_add_test(tests, figures_tell_the_force_at_rest);
    tcase_add_loop_test(tests, a_run_through_the_rise_takes_the_time_by_hand_and_converges_to_it, 0, 2);
    tcase_add_loop_test(tests, what_cannot_be_is_refused, 0, sizeof wrong / sizeof *wrong);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
