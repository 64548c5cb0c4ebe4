/* Work of the power take-off in runs, against closed forms, and refusals of what nothing can do. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define SINGLE "tests/trucks/single-speed.yaml"
#define OFFER(more)                                                                                                    \
    "drive_units: {rear: {takeoff: {ratio: 1.2, efficiency: 0.97, torque_limit_nm: 1000, speed_limit_rpm: 2500" more   \
    "}}}\n"
#define WORK "power_take_off: {speed_rpm: 1500, stop_kw: 20, stop_s: 60}"
#define MOTOR(more)                                                                                                    \
    "power_take_off: {speed_rpm: 1500, motor_gear_efficiency: 0.95, motor_ratio: 2, motor: {peak_torque_nm: 200, "     \
    "peak_power_kw: 60, top_speed_rpm: 4000, reference_voltage_v: 680, mass_kg: 60, efficiency: 0.9, inverter: "       \
    "{efficiency: 0.97, mass_kg: 10}}" more "}"
#define ROUTE "length_m: 2000\nspeed: {place_m: [0], limit_km_h: [50]}\n"
#define AT_THE_END ROUTE "stops: {place_m: [2000], wait_s: [100]}"
#define ONE_STOP ROUTE "stops: {place_m: [1000], wait_s: [100]}"

static const double PI = 3.14159265358979323846;

static scene strict_scene(const char *truck, const char *changes, const char *cycle)
{
    scene it = scene_of(truck, changes, cycle);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.accuracy = 1e-8;
    it.ask.driving.trace_interval_s = 5;
    return it;
}

static double at(const drive *run, const scene *it, size_t row, const char *key)
{
    return at_row(&it->rows, row, column(run, key));
}

/* First row in which the take-off works, and the last. */
static size_t work_begins(const drive *run, const scene *it)
{
    size_t row = 0;
    while (row + 1 < it->rows.rows && at(run, it, row, "power_take_off_kw") <= 0)
        row++;
    return row;
}
static size_t work_ends(const drive *run, const scene *it)
{
    size_t row = it->rows.rows - 1;
    while (row > 0 && at(run, it, row, "power_take_off_kw") <= 0)
        row--;
    return row;
}

/* ------------------------------------------------------------------------------------------------ motors of a unit */

/* Numbers of the truck's file typed in: loss law, inverter, gearbox drag at 1800 rpm, resistance of the copper. */
static void hold_point(const drive *run, const scene *it, size_t row, double shaft_w)
{
    double w = 1800 * PI / 30, drag_nm = 2.5 + 7 * 1800.0 / 4500, t = shaft_w / 0.97 / w + drag_nm;
    double copper = (235 + at(run, it, row, "winding_temperature_degc")) / (235 + 100.0), share = t / 2500;
    double motor_w = 115 + 5.5 * w + 0.043 * w * w + 0.00395 * t * t * copper;
    double inverter_w = 380 + 3040 * share + 2280 * share * share;
    ck_assert_double_eq_tol(at(run, it, row, "power_take_off_kw"), shaft_w / 1e3, 1e-12);
    ck_assert_double_eq_tol(at(run, it, row, "motor_torque_nm"), t, 1e-9);
    ck_assert_double_eq_tol(at(run, it, row, "motor_speed_rpm"), 1800, 1e-9);
    ck_assert_double_eq_tol(at(run, it, row, "motor_losses_kw"), motor_w / 1e3, 1e-9);
    ck_assert_double_eq_tol(at(run, it, row, "inverter_losses_kw"), inverter_w / 1e3, 1e-9);
    ck_assert_double_eq_tol(at(run, it, row, "bus_kw"), (t * w + motor_w + inverter_w) / 1e3, 1e-9);
}

START_TEST(motors_of_a_unit_lose_at_the_point_of_the_work_by_their_own_laws)
{
    scene it = strict_scene(FOUR, OFFER("") WORK, ONE_STOP);
    drive run = play(&it);
    must_finish(&run);
    size_t begin = work_begins(&run, &it), end = work_ends(&run, &it);
    ck_assert_uint_gt(end, begin + 5);
    for (size_t row = begin; row <= end; row++)
        hold_point(&run, &it, row, 20e3);
    scene_end(&it, &run);
}
END_TEST

/* Beside the same run without work: the stop at the end is the only difference, motors rest there. */
START_TEST(work_at_a_stop_is_power_times_time_and_gears_lose_of_what_goes_in)
{
    scene it = strict_scene(FOUR, OFFER("") WORK, AT_THE_END), idle = strict_scene(FOUR, OFFER(""), AT_THE_END);
    drive run = play(&it), rests = play(&idle);
    must_finish(&run);
    must_finish(&rests);
    double work = 20.0 * 60 / 3600, w = 1800 * PI / 30, drag_nm = 2.5 + 7 * 1800.0 / 4500;
    double gears =
        result(&run, "energy_balance.gearbox_losses_kwh") - result(&rests, "energy_balance.gearbox_losses_kwh");
    ck_assert_double_eq_tol(result(&run, "energy_balance.power_take_off_kwh"), work, 1e-9);
    ck_assert_double_eq(result(&run, "power_take_off_missed_kwh"), 0);
    ck_assert_double_eq_tol(result(&run, "power_take_off_stop_s"), 60, 1e-9);
    ck_assert_double_eq_tol(gears, work * (1 / 0.97 - 1) + drag_nm * w * 60 / 3.6e6, 1e-7);
    ck_assert_double_eq_tol(result(&run, "drive_units.rear.resting_s"),
                            result(&rests, "drive_units.rear.resting_s") - 60, 1e-6);
    scene_end(&it, &run);
    scene_end(&idle, &rests);
}
END_TEST

START_TEST(work_begins_with_the_stop_and_ends_at_its_known_time)
{
    scene it = strict_scene(FOUR, OFFER(""),
                            ROUTE "stops: {place_m: [1000], wait_s: [100], takeoff_kw: [12], "
                                  "takeoff_s: [37.5]}");
    it.changes = OFFER("") "power_take_off: {speed_rpm: 1500}";
    drive run = play(&it);
    must_finish(&run);
    size_t begin = work_begins(&run, &it), end = work_ends(&run, &it);
    ck_assert_double_eq_tol(at(&run, &it, end, "time_s") - at(&run, &it, begin, "time_s"), 37.5, 1e-9);
    ck_assert_double_eq_tol(at(&run, &it, end + 1, "time_s"), at(&run, &it, end, "time_s"), 1e-9);
    ck_assert_double_eq(at(&run, &it, end + 1, "bus_kw"), 0); /* then the motors rest */
    ck_assert_double_eq(at(&run, &it, begin - 1, "power_take_off_kw"), 0);
    ck_assert_double_eq_tol(result(&run, "energy_balance.power_take_off_kwh"), 12 * 37.5 / 3600, 1e-9);
    scene_end(&it, &run);
}
END_TEST

/* One node: the winding nears coolant + resistance * its loss. */
START_TEST(motors_are_heated_by_the_work)
{
    scene it = strict_scene(FOUR, OFFER("") "power_take_off: {speed_rpm: 1500, stop_kw: 60, stop_s: 2400}",
                            ROUTE "stops: {place_m: [1000], wait_s: [2400]}");
    drive run = play(&it);
    must_finish(&run);
    size_t end = work_ends(&run, &it);
    double steady = 65 + 7.5 * at(&run, &it, end, "motor_losses_kw");
    ck_assert_double_gt(steady, 80);
    ck_assert_double_eq_tol(at(&run, &it, end, "winding_temperature_degc"), steady, 1e-2);
    scene_end(&it, &run);
}
END_TEST

START_TEST(work_that_hot_motors_cannot_give_is_told_as_missed)
{
    scene it = strict_scene(FOUR, OFFER("") "power_take_off: {speed_rpm: 1500, stop_kw: 120, stop_s: 1500}",
                            ROUTE "stops: {place_m: [1000], wait_s: [1500]}");
    char changes[600];
    snprintf(
        changes, sizeof changes,
        "drive_units: {rear: {motors: {a: {winding: {derate_from_degc: 78, derate_to_degc: 90}}}, takeoff: {ratio: "
        "1.2, efficiency: 0.97, torque_limit_nm: 1000, speed_limit_rpm: 2500}}}\n"
        "power_take_off: {speed_rpm: 1500, stop_kw: 120, stop_s: 1500}");
    it.changes = changes;
    drive run = play(&it);
    must_finish(&run);
    size_t end = work_ends(&run, &it);
    double degc = at(&run, &it, end, "winding_temperature_degc"), w = 1800 * PI / 30;
    double share = (90 - degc) / 12,
           most_nm = share * fmin(2500, 380e3 * at(&run, &it, end, "battery_voltage_v") / 680 / w);
    double done = result(&run, "energy_balance.power_take_off_kwh"), missed = result(&run, "power_take_off_missed_kwh");
    ck_assert_double_gt(missed, 0.1);
    ck_assert_double_eq_tol(done + missed, 120.0 * 1500 / 3600, 1e-9);
    ck_assert_double_lt(at(&run, &it, end, "motor_torque_nm"), 1.02 * most_nm);
    hold_point(&run, &it, end, 1e3 * at(&run, &it, end, "power_take_off_kw"));
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a motor of its own
 */

START_TEST(a_motor_of_its_own_draws_the_work_over_all_its_efficiencies)
{
    scene it = strict_scene(SINGLE, MOTOR(", stop_kw: 20, stop_s: 60"), ONE_STOP);
    scene idle = strict_scene(SINGLE, MOTOR(""), ONE_STOP);
    drive run = play(&it), rests = play(&idle);
    must_finish(&run);
    must_finish(&rests);
    double work = 20.0 * 60 / 3600, at_motor = work / 0.95, motor = at_motor * (1 / 0.9 - 1);
    ck_assert_double_eq_tol(result(&run, "energy_balance.power_take_off_kwh"), work, 1e-9);
    ck_assert_double_eq_tol(result(&run, "power_take_off_gear_losses_kwh"), at_motor - work, 1e-9);
    ck_assert_double_eq_tol(result(&run, "power_take_off_motor_losses_kwh"), motor, 1e-9);
    ck_assert_double_eq_tol(result(&run, "power_take_off_inverter_losses_kwh"), (at_motor + motor) * (1 / 0.97 - 1),
                            1e-9);
    ck_assert_double_eq_tol(result(&run, "terminal_kwh") - result(&rests, "terminal_kwh"), work / 0.95 / 0.9 / 0.97,
                            1e-7);
    ck_assert_double_eq_tol(result(&run, "energy_balance.motor_losses_kwh"),
                            result(&run, "drive_units.rear.motor_losses_kwh") + motor, 1e-9);
    scene_end(&it, &run);
    scene_end(&idle, &rests);
}
END_TEST

START_TEST(what_runs_from_start_to_end_is_its_share_of_the_time_but_for_the_work_of_stops)
{
    scene it = strict_scene(SINGLE, MOTOR(", stop_kw: 20, stop_s: 60, running_kw: 8, running_share: 0.25"), ONE_STOP);
    drive run = play(&it);
    must_finish(&run);
    double work = 20.0 * 60 / 3600 + 0.25 * 8 * (result(&run, "duration_s") - 60) / 3600;
    ck_assert_double_eq_tol(result(&run, "energy_balance.power_take_off_kwh"), work, 1e-9);
    ck_assert_double_eq_tol(result(&run, "power_take_off_gear_losses_kwh"), work * (1 / 0.95 - 1), 1e-9);
    ck_assert_double_eq_tol(result(&run, "power_take_off_motor_losses_kwh"), work / 0.95 * (1 / 0.9 - 1), 1e-9);
    ck_assert_double_eq(result(&run, "power_take_off_missed_kwh"), 0);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_motor_of_its_own_weighs_and_a_take_off_does_too)
{
    scene plain = strict_scene(FOUR, "", ONE_STOP), own = strict_scene(FOUR, MOTOR(""), ONE_STOP);
    scene offered = strict_scene(FOUR, OFFER(", mass_kg: 25"), ONE_STOP);
    drive run = play(&plain), with = play(&own), by_unit = play(&offered);
    ck_assert_double_eq_tol(result(&with, "gross_mass_kg") - result(&run, "gross_mass_kg"), 70, 1e-6);
    ck_assert_double_eq_tol(result(&by_unit, "gross_mass_kg") - result(&run, "gross_mass_kg"), 25, 1e-6);
    scene_end(&plain, &run);
    scene_end(&own, &with);
    scene_end(&offered, &by_unit);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ neutral */

/* What a unit only offers changes no digit; work that nobody asks, and stops too short for it, nothing but the steps.
 */
START_TEST(a_take_off_without_work_changes_nothing)
{
    static const char *const changes[] = {OFFER(""), OFFER("") "power_take_off: {speed_rpm: 1500}",
                                          OFFER("") "power_take_off: {speed_rpm: 1500, stop_kw: 20, stop_s: 101}"};
    const double share = _i > 0 ? 1e-5 : 0;
    scene plain = strict_scene(FOUR, "", ONE_STOP), it = strict_scene(FOUR, changes[_i], ONE_STOP);
    drive run = play(&plain), other = play(&it);
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_results_at(run.results, k, &what, &value); k++)
        ck_assert_msg(isnan(value) || strcmp(what.key, "balance_error") == 0 ||
                          fabs(result(&other, what.key) - value) <= share * fmax(fabs(value), 1),
                      "%s: %.17g, %.17g", what.key, result(&other, what.key), value);
    scene_end(&plain, &run);
    scene_end(&it, &other);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ refusals */

static const struct refusal {
    const char *truck, *changes, *key; /* the line that is named holds the key */
    const char *text;
} refusals[] = {
    {FOUR, WORK, "power_take_off", "work that nothing drives; expected takeoff"},
    {FOUR, "power_take_off: {driven_by: takeoff, speed_rpm: 1500}", "driven_by", "no drive unit offers one"},
    {FOUR, "power_take_off: {driven_by: motor, speed_rpm: 1500}", "driven_by", "without a motor"},
    {FOUR, OFFER("") "power_take_off: {speed_rpm: 2600}", "speed_rpm", "speed_limit_rpm"},
    {FOUR, OFFER("") "power_take_off: {speed_rpm: 1500, stop_kw: 170, stop_s: 9}", "stop_kw", "torque_limit_nm"},
    {FOUR, OFFER("") "power_take_off: {speed_rpm: 1500, stop_kw: 17}", "stop_kw", "without stop_s"},
    {FOUR, OFFER("") "power_take_off: {speed_rpm: 1500, stop_s: 17}", "stop_s", "without stop_kw"},
    {FOUR, OFFER("") "power_take_off: {speed_rpm: 1500, running_kw: 3}", "running_kw", "expected a motor of its own"},
    {FOUR, OFFER("") "power_take_off: {driven_by: takeoff, speed_rpm: 1500, running_kw: 3}", "running_kw",
     "turn with the wheels"},
    {FOUR, MOTOR(", stop_kw: 60, stop_s: 5"), "stop_kw", "what its motor has"},
    {FOUR, MOTOR(", running_kw: 60"), "running_kw", "what its motor has"},
    {SINGLE, OFFER(""), "takeoff", "expected a gearbox or a disconnect"},
    {FOUR, "drive_units: {rear: {takeoff: {torque_limit_nm: 5}}}", "takeoff", "speed_limit_rpm"},
    {FOUR, "power_take_off: {stop_kw: 5}", "power_take_off", "speed_rpm"},
    {FOUR, OFFER(", effciency: 0.9"), "effciency", "efficiency"},
};

/* The line of the file, behind its first, in which the key stands first. */
static unsigned line_with(const char *text, const char *key)
{
    unsigned line = 1;
    const char *place = strstr(strchr(text, '\n'), key);
    ck_assert_ptr_nonnull(place);
    for (const char *c = text; c < place; c++)
        line += *c == '\n';
    return line;
}

START_TEST(what_nothing_can_do_is_refused_where_it_stands)
{
    const struct refusal *r = &refusals[_i];
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding found;
    bool told = false;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, r->truck, r->changes);
    write_file("truck.yaml", text);
    ck_assert_int_eq(evn_truck_load(in_folder(path, "truck.yaml"), &truck, report), EVN_BAD_INPUT);
    ck_assert_ptr_null(truck);
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        if (found.severity == EVN_ERROR && strstr(found.text, r->text)) {
            told = true;
            ck_assert_msg(found.file && strstr(found.file, "truck.yaml"), "%s", found.text);
            ck_assert_msg(found.line == line_with(text, r->key), "%u: %s", found.line, found.text);
        }
    ck_assert_msg(told, "%s", first_finding(report));
    evn_report_free(report);
}
END_TEST

static const struct cycle_refusal {
    const char *stops, *key, *text;
} cycle_refusals[] = {
    {"wait_s: [30],\n takeoff_kw: [5],\n takeoff_s: [31]", "takeoff_s", "work of 31 s at a stop of 30 s"},
    {"wait_s: [30],\n takeoff_kw: [5]", "takeoff_kw", "takeoff_s"},
    {"wait_s: [30],\n takeoff_kw: [5, 6],\n takeoff_s: [3, 3]", "takeoff_kw", "2 values"},
    {"wait_s: [30],\n takeoff_kw: [5],\n takeoff_s: [0]", "takeoff_s", "both above 0 or both 0"},
    {"wait_s: [30],\n takeoff_kw: [0],\n takeoff_s: [4]", "takeoff_kw", "both above 0 or both 0"},
    {"wait_s: [30],\n takeoff_kw: [-1],\n takeoff_s: [4]", "takeoff_kw", "-1"},
};

START_TEST(work_of_a_stop_that_does_not_fit_it_is_refused_where_it_stands)
{
    const struct cycle_refusal *r = &cycle_refusals[_i];
    char path[PATH_BYTES], text[1000];
    evn_report *report = evn_report_new();
    evn_cycle *cycle = NULL;
    evn_finding found = {.text = "nothing"};
    snprintf(text, sizeof text, "name: a\ninvented: true\n" ROUTE "stops: {place_m: [1000],\n %s}\n", r->stops);
    write_file("cycle.yaml", text);
    ck_assert_int_eq(evn_cycle_load(in_folder(path, "cycle.yaml"), &cycle, report), EVN_BAD_INPUT);
    ck_assert(evn_report_at(report, 0, &found));
    ck_assert_msg(strstr(found.text, r->text), "%s", found.text);
    ck_assert_msg(found.line == line_with(text, r->key), "%u: %s", found.line, found.text);
    evn_report_free(report);
}
END_TEST

START_TEST(a_truck_without_the_power_refuses_the_cycle_before_it_drives)
{
    static const struct {
        const char *changes, *text;
    } rows[] = {{"", "Tractor with four gears has none"},
                {OFFER("") "power_take_off: {speed_rpm: 1500}", "expected at most 157.08 kW, by the torque"},
                {MOTOR(""), "expected at most 57 kW, by what its motors have"}};
    scene it = strict_scene(FOUR, rows[_i].changes,
                            ROUTE "stops: {place_m: [1000], wait_s: [100], takeoff_kw: [170], takeoff_s: [5]}");
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_BAD_INPUT);
    ck_assert_ptr_null(run.results);
    bool told = false;
    evn_finding found;
    for (size_t k = 0; evn_report_at(run.report, k, &found); k++)
        told = told || strstr(found.text, rows[_i].text);
    ck_assert_msg(told, "%s", first_finding(run.report));
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("take-off runs");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_test(runs, motors_of_a_unit_lose_at_the_point_of_the_work_by_their_own_laws);
    tcase_add_test(runs, work_at_a_stop_is_power_times_time_and_gears_lose_of_what_goes_in);
    tcase_add_test(runs, work_begins_with_the_stop_and_ends_at_its_known_time);
    tcase_add_test(runs, motors_are_heated_by_the_work);
    tcase_add_test(runs, work_that_hot_motors_cannot_give_is_told_as_missed);
    tcase_add_test(runs, a_motor_of_its_own_draws_the_work_over_all_its_efficiencies);
    tcase_add_test(runs, what_runs_from_start_to_end_is_its_share_of_the_time_but_for_the_work_of_stops);
    tcase_add_test(runs, a_motor_of_its_own_weighs_and_a_take_off_does_too);
    tcase_add_loop_test(runs, a_take_off_without_work_changes_nothing, 0, 3);
    tcase_add_loop_test(runs, what_nothing_can_do_is_refused_where_it_stands, 0,
                        (int)(sizeof refusals / sizeof *refusals));
    tcase_add_loop_test(runs, work_of_a_stop_that_does_not_fit_it_is_refused_where_it_stands, 0,
                        (int)(sizeof cycle_refusals / sizeof *cycle_refusals));
    tcase_add_loop_test(runs, a_truck_without_the_power_refuses_the_cycle_before_it_drives, 0, 3);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
