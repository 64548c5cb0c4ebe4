/* Inputs that fit together or do not: losses and torque, paths, courses and their roads; and constant efficiencies. */
#define _POSIX_C_SOURCE 200809L
#include "scene.h"

#define IDEAL "tests/trucks/ideal.yaml"
#define TANDEM "tests/trucks/tandem.yaml"
#define TRACTOR_4X2 "tests/vehicles/trucks/tractor-4x2-central.yaml"
#define TRACTOR_6X4 "tests/vehicles/trucks/tractor-6x4-eaxle.yaml"

/* ------------------------------------------------------------------------------------------------ what is found */

typedef struct look {
    evn_report *report;
    evn_truck *truck;
    evn_cycle *cycle;
} look;

static const evn_finding *found(const look *l, const char *fault, const char *piece)
{
    static evn_finding f;
    for (size_t k = 0; evn_report_at(l->report, k, &f); k++)
        if (strcmp(f.fault, fault) == 0 && strstr(f.text, piece))
            return &f;
    return NULL;
}

static look look_at_truck(const char *base, const char *changes)
{
    look l = {.report = evn_report_new()};
    char path[PATH_BYTES], here[300], text[1500];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, base, changes);
    write_file("truck.yaml", text);
    evn_truck_load(in_folder(path, "truck.yaml"), &l.truck, l.report);
    return l;
}

static look look_at_cycle(const char *text)
{
    look l = {.report = evn_report_new()};
    char path[PATH_BYTES], whole[1500];
    snprintf(whole, sizeof whole, "name: a course\ninvented: true\n%s\n", text);
    write_file("cycle.yaml", whole);
    evn_cycle_load(in_folder(path, "cycle.yaml"), &l.cycle, l.report);
    return l;
}

static void look_away(look *l)
{
    evn_truck_free(l->truck);
    evn_cycle_free(l->cycle);
    evn_report_free(l->report);
}

/* ------------------------------------------------------------------------------------------------ trucks */

static const struct {
    const char *base, *changes, *fault, *piece;
    bool loads;
} trucks[] = {
    {TRACTOR_6X4, "drive_units: {leading: {motors: {a: {peak_torque_nm: 1400}, b: {peak_torque_nm: 1400}}}}",
     "unusual_value", "lost at peak torque and base speed", true},
    {TRACTOR_6X4, "drive_units: {leading: {motors: {a: {peak_torque_nm: 1400}, b: {peak_torque_nm: 1400}}}}",
     "unusual_value", "bring the winding to", true},
    {TRACTOR_4X2, "drive_units: {rear: {path: [final_drive: {ratio: 4, efficiency: 0.96}]}}", "unusual_value",
     "without wheel_end", true},
    {TRACTOR_4X2, "drive_units: {rear: {path: [mesh: {ratio: 4, efficiency: 0.96}, wheel_end: {}]}}", "unusual_value",
     "without differential", true},
    {TANDEM, "drive_units: {rear: {branches: {trailing: {path: [final_drive: {ratio: 4.6, efficiency: 0.96}]}}}}",
     "disagrees", "one ratio for all axles", false},
    {TRACTOR_4X2, "drive_units: {rear: {motors: {a: {efficiency: 0.93}}}}", "disagrees", "constant efficiency", false},
    {TRACTOR_4X2, "drive_units: {rear: {motors: {a: {inverter: {efficiency: 0.97}}}}}", "disagrees",
     "constant efficiency", false},
};

START_TEST(what_cannot_belong_together_in_a_truck_is_told_where_it_stands)
{
    look l = look_at_truck(trucks[_i].base, trucks[_i].changes);
    const evn_finding *f = found(&l, trucks[_i].fault, trucks[_i].piece);
    ck_assert_msg(f, "no '%s'; first: %s", trucks[_i].piece, first_finding(l.report));
    ck_assert(f->file && f->line > 0 && f->column > 0);
    ck_assert(trucks[_i].loads == !!l.truck);
    look_away(&l);
}
END_TEST

START_TEST(shipped_trucks_draw_none_of_these)
{
    static const char *const shipped[] = {TRACTOR_4X2, TRACTOR_6X4, "tests/vehicles/trucks/tractor-6x4-central.yaml",
                                          "tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml",
                                          "tests/vehicles/trucks/tipper-8x4-central.yaml"};
    for (size_t k = 0; k < sizeof shipped / sizeof *shipped; k++) {
        look l = look_at_truck(shipped[k], "");
        ck_assert_msg(l.truck && evn_report_count(l.report) == 0, "%s: %s", shipped[k], first_finding(l.report));
        look_away(&l);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ courses */

#define LIMIT "speed: {place_m: [0], limit_km_h: [50]}\n"
static const struct {
    const char *text, *fault, *piece; /* NULL: nothing is found */
    bool loads;
} courses[] = {
    {"length_m: 1500\n" LIMIT "road: {table: road.csv}", "disagrees", "known for 1000 m", false},
    {"length_m: 1000\n" LIMIT "road: {table: road.csv}", NULL, NULL, true},
    {"length_m: 800\n" LIMIT "road: {table: road.csv}", NULL, NULL, true},
    {"length_m: 1500\n" LIMIT "road: {table: road.csv, level_beyond: true}", NULL, NULL, true},
    {"length_m: 1500\n" LIMIT "road: {table: road.csv, repeat: true}", NULL, NULL, true},
    {"speed: {time_s: [0, 100, 200], speed_km_h: [0, 72, 0]}\nroad: {table: road.csv}", "disagrees", "known for 1000 m",
     false},
    {"speed: {time_s: [0, 40, 80], speed_km_h: [0, 72, 0]}\nroad: {table: road.csv}", NULL, NULL, true},
    {"length_m: 1500\n" LIMIT "road: {place_m: [0, 1000], grade_percent: [0, 3]}", "unusual_value",
     "ends on a grade of 3 %", true},
    {"length_m: 1500\n" LIMIT "road: {place_m: [0, 1000], grade_percent: [0, 0]}", NULL, NULL, true},
    {"length_m: 1500\n" LIMIT "road: {place_m: [0, 500, 500, 1500], grade_percent: [0, 0, 4, 4]}", NULL, NULL, true},
    {"length_m: 1500\n" LIMIT "road: {place_m: [0, 500, 500, 500, 1500], grade_percent: [0, 0, 2, 4, 4]}", "disagrees",
     "place_m goes from 500 to 500", false},
    {"length_m: 1500\n" LIMIT "road: {place_m: [0, 500, 500, 1500], elevation_m: [0, 0, 4, 4]}", "disagrees",
     "place_m goes from 500 to 500", false},
};

START_TEST(a_course_beyond_its_road_is_refused_unless_the_file_says_what_goes_on)
{
    write_file("road.csv", "place_m,grade_percent\n0,0\n500,2\n1000,0\n");
    look l = look_at_cycle(courses[_i].text);
    ck_assert_msg(courses[_i].loads == !!l.cycle, "%s", first_finding(l.report));
    if (!courses[_i].fault) {
        ck_assert_msg(evn_report_count(l.report) == 0, "%s", first_finding(l.report));
    } else {
        const evn_finding *f = found(&l, courses[_i].fault, courses[_i].piece);
        ck_assert_msg(f && f->line > 0 && f->column > 0, "%s", first_finding(l.report));
    }
    look_away(&l);
}
END_TEST

/* Level, then 4 % from one place on: what is lifted is sin(atan 0.04) of the way behind it, and not a metre more. */
START_TEST(a_step_of_grade_at_one_place_lifts_from_that_place_on)
{
    scene it = scene_of(IDEAL, NULL,
                        "length_m: 1500\n" LIMIT "road: {place_m: [0, 500, 500, 1500], grade_percent: [0, 0, 4, 4]}");
    it.ask.driving.driver = _i ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
    drive run = play(&it);
    must_finish(&run);
    double lift_m = 1000 * 0.04 / sqrt(1 + 0.04 * 0.04);
    double kwh = result(&run, "gross_mass_kg") * 9.80665 * lift_m / 3.6e6;
    ck_assert_double_eq_tol(result(&run, "energy_balance.potential_kwh"), kwh, 1e-7 * kwh);
    size_t place = column(&run, "place_m"), grade = column(&run, "grade_percent");
    for (size_t k = 0; k < it.rows.rows; k++) {
        double m = at_row(&it.rows, k, place), percent = at_row(&it.rows, k, grade);
        ck_assert(fabs(percent) < 1e-9 || fabs(percent - 4) < 1e-9);
        ck_assert(fabs(m - 500) < 1e-6 || (m > 500) == (percent > 2));
    }
    scene_end(&it, &run);
}
END_TEST

/* Rolling resistance loads the axles, and so itself: beyond bounds the truck would be driven by it. */
START_TEST(a_ground_on_which_no_wheel_rolls_is_refused)
{
    scene it = scene_of(IDEAL, "axles: {front: {tyre: {rolling_resistance_coefficient: 0.1}}}",
                        "length_m: 1500\n" LIMIT "surface: {place_m: [0], rolling_factor: [40]}");
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_BAD_INPUT);
    ck_assert_ptr_null(run.results);
    ck_assert_msg(was_said(&run, "out_of_range") && strstr(first_finding(run.report), "axle front"), "%s",
                  first_finding(run.report));
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ efficiencies */

/*
 * A hill up and down, the ideal truck with constant efficiencies: of what passes the shaft, 1/e - 1 is lost pulling and
 * 1 - e pushing (definition of efficiency). Worked out from the rows of the trace by the trapezoidal rule, a row each
 * hundredth of a second and at events.
 */
START_TEST(constant_efficiencies_lose_their_share_of_what_passes_either_way)
{
    scene it =
        scene_of(IDEAL, "drive_units: {rear: {motors: {a: {efficiency: 0.93, inverter: {efficiency: 0.97}}}}}",
                 "length_m: 1500\n" LIMIT "road: {place_m: [0, 300, 600, 900, 1200], grade_percent: [0, 5, 0, -5, 0]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.trace_interval_s = 0.01;
    drive run = play(&it);
    must_finish(&run);
    size_t time = column(&run, "time_s"), rpm = column(&run, "motor_speed_rpm"), nm = column(&run, "motor_torque_nm");
    double motor_j = 0, inverter_j = 0, before_motor_w = 0, before_inverter_w = 0;
    for (size_t k = 0; k < it.rows.rows; k++) {
        double shaft_w = at_row(&it.rows, k, nm) * at_row(&it.rows, k, rpm) * 3.14159265358979323846 / 30;
        double motor_w = shaft_w > 0 ? shaft_w * (1 / 0.93 - 1) : -shaft_w * (1 - 0.93), in_w = shaft_w + motor_w;
        double inverter_w = in_w > 0 ? in_w * (1 / 0.97 - 1) : -in_w * (1 - 0.97);
        double step_s = k > 0 ? at_row(&it.rows, k, time) - at_row(&it.rows, k - 1, time) : 0;
        motor_j += 0.5 * (motor_w + before_motor_w) * step_s;
        inverter_j += 0.5 * (inverter_w + before_inverter_w) * step_s;
        before_motor_w = motor_w;
        before_inverter_w = inverter_w;
    }
    ck_assert_double_gt(motor_j, 1e5);
    ck_assert_double_eq_tol(result(&run, "energy_balance.motor_losses_kwh") * 3.6e6, motor_j, 1e-4 * motor_j);
    ck_assert_double_eq_tol(result(&run, "energy_balance.inverter_losses_kwh") * 3.6e6, inverter_j, 1e-4 * inverter_j);
    scene_end(&it, &run);
}
END_TEST

/* The shaft's efficiency is a stage's: a gear pair of the ratio 1 with the same efficiency is the same truck. */
START_TEST(a_propeller_shafts_efficiency_is_that_of_a_stage)
{
    static const char *const paths[] = {"propeller_shaft: {efficiency: 0.98}", "mesh: {ratio: 1, efficiency: 0.98}"};
    double kwh[2], lost[2];
    for (int k = 0; k < 2; k++) {
        char changes[300];
        snprintf(changes, sizeof changes,
                 "drive_units: {rear: {path: [%s, final_drive: {ratio: 4, efficiency: 0.96}, wheel_end: {}]}}",
                 paths[k]);
        scene it = scene_of(TRACTOR_4X2, changes, "length_m: 1500\n" LIMIT);
        drive run = play(&it);
        must_finish(&run);
        kwh[k] = result(&run, "battery_kwh");
        lost[k] =
            result(&run, k == 0 ? "energy_balance.propeller_shaft_losses_kwh" : "energy_balance.gearbox_losses_kwh");
        scene_end(&it, &run);
    }
    ck_assert_double_eq_tol(kwh[0], kwh[1], 2e-6 * kwh[1]);
    ck_assert_double_gt(lost[0], 0.001);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fits");
    TCase *fits = tcase_create("fits");
    tcase_add_checked_fixture(fits, folder_begin, folder_end);
    tcase_add_loop_test(fits, what_cannot_belong_together_in_a_truck_is_told_where_it_stands, 0,
                        sizeof trucks / sizeof *trucks);
    tcase_add_test(fits, shipped_trucks_draw_none_of_these);
    tcase_add_loop_test(fits, a_course_beyond_its_road_is_refused_unless_the_file_says_what_goes_on, 0,
                        sizeof courses / sizeof *courses);
    tcase_add_loop_test(fits, a_step_of_grade_at_one_place_lifts_from_that_place_on, 0, 2);
    tcase_add_test(fits, a_ground_on_which_no_wheel_rolls_is_refused);
    tcase_add_test(fits, constant_efficiencies_lose_their_share_of_what_passes_either_way);
    tcase_add_test(fits, a_propeller_shafts_efficiency_is_that_of_a_stage);
    suite_add_tcase(suite, fits);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
