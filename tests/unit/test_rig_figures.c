/* What a truck says of itself before it drives, against the same figures worked out by hand from tests/trucks. */
#define _POSIX_C_SOURCE 200809L
#include "evener/values.h"
#include "trip_probe.h"
#include "truck/rig_figures.h"
#include "truck/universal_joint.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static evn_rig *rig_with(double payload_kg)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck("tests/trucks/four-speed.yaml");
    evn_conditions ask = evn_conditions_default();
    ask.load_case.payload_kg = payload_kg;
    evn_rig *rig = NULL;
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

static double figure(const evn_rig *rig, const char *key)
{
    evn_quantity what;
    double value;
    for (size_t i = 0; evn_rig_figure_at(rig, i, &what, &value); i++)
        if (strcmp(what.key, key) == 0)
            return value;
    ck_abort_msg("no figure %s", key);
    return (double)NAN;
}

static void expect(const evn_rig *rig, const char *key, double expected)
{
    double value = figure(rig, key);
    ck_assert_msg(fabs(value - expected) <= 1e-9 * fabs(expected), "%s is %.12g; expected %.12g", key, value, expected);
}

START_TEST(masses_by_part_add_up_to_the_gross_mass)
{
    static const char *const parts[] = {"payload_kg",  "body_kg",      "axles_kg",  "battery_kg",
                                        "machines_kg", "driveline_kg", "trailer_kg"};
    evn_rig *rig = rig_with(10000);
    double sum = 0;
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        char key[64];
        snprintf(key, sizeof key, "masses.%s", parts[i]);
        sum += figure(rig, key);
    }
    expect(rig, "masses.gross_kg", sum);
    expect(rig, "masses.kerb_kg", sum - 10000);
    expect(rig, "masses.machines_kg", 255 + 30 + 225);
    expect(rig, "masses.driveline_kg", 75 + 200);
    expect(rig, "masses.wheels_rotating_kg", 6 * 14 / (0.492 * 0.492) + 6 * 16 / (0.515 * 0.515));
    evn_rig_free(rig);
}
END_TEST

START_TEST(axle_loads_add_up_to_the_gross_mass)
{
    evn_rig *rig = rig_with((double)NAN);
    double sum = figure(rig, "axle_loads.front.load_kg") + figure(rig, "axle_loads.drive.load_kg") +
                 figure(rig, "axle_loads.trailer.load_kg");
    expect(rig, "masses.gross_kg", sum);
    expect(rig, "axle_loads.drive.permitted_kg", 11500);
    expect(rig, "axle_loads.drive.used_percent", figure(rig, "axle_loads.drive.load_kg") / 115);
    expect(rig, "adhesion.rear.pulling_kn", 0.6 * figure(rig, "axle_loads.drive.load_kg") * 9.80665e-3);
    evn_rig_free(rig);
}
END_TEST

static double joint_efficiency(double deg)
{
    const double pi = 3.14159265358979323846;
    return 1 - 4 / pi * 0.05 * 0.35 * tan(deg * pi / 180);
}

START_TEST(gears_give_what_their_ratios_say)
{
    const double pi = 3.14159265358979323846, ratios[] = {5.6, 3.1, 1.75, 1.0},
                 efficiency[] = {0.98, 0.98, 0.98, 0.992};
    evn_rig *rig = rig_with((double)NAN);
    for (size_t k = 0; k < 4; k++) {
        char key[64];
        double total = ratios[k] * 3.7;
        snprintf(key, sizeof key, "gears.rear.%zu.total_ratio", k + 1);
        expect(rig, key, total);
        snprintf(key, sizeof key, "gears.rear.%zu.top_speed_km_h", k + 1);
        expect(rig, key, 3500 * pi / 30 / total * 0.492 * 3.6);
        snprintf(key, sizeof key, "gears.rear.%zu.base_speed_km_h", k + 1);
        expect(rig, key, 380e3 / 2500 / total * 0.492 * 3.6);
        double shaft_nm = (2500 - 2.5) * ratios[k] * efficiency[k] * joint_efficiency(3) - 1.5;
        double wheel_nm = shaft_nm * joint_efficiency(5) * 3.7 * 0.965 - 21 - 12;
        snprintf(key, sizeof key, "gears.rear.%zu.peak_wheel_force_kn", k + 1);
        expect(rig, key, wheel_nm / 0.492 / 1e3);
        double inertia_kg_m2 = (0.67 + 0.08) * total * total + 0.12 * 3.7 * 3.7 + 1.2;
        snprintf(key, sizeof key, "gears.rear.%zu.rotating_kg", k + 1);
        expect(rig, key, inertia_kg_m2 / (0.492 * 0.492));
    }
    evn_rig_free(rig);
}
END_TEST

/* Source: kinematics of the joint, the output's speed between cos b and 1/cos b of the input's (Seherr-Thoss, Schmelz
 * and Aucktor, from memory). cos 60 degrees is one half. */
START_TEST(a_universal_joint_runs_ahead_by_one_over_the_cosine)
{
    ck_assert_double_eq_tol(evn_universal_joint_unevenness(3.14159265358979323846 / 3), 2, 1e-12);
    evn_rig *rig = rig_with((double)NAN);
    expect(rig, "joints.rear.path[0].greatest_speed_ratio", 1 / cos(3 * 3.14159265358979323846 / 180));
    expect(rig, "joints.rear.path[3].angle_deg", 5);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ facts */

static evn_fact fact(const evn_rig *rig, const char *key)
{
    evn_fact is;
    for (size_t i = 0; evn_rig_fact_at(rig, i, &is); i++)
        if (strcmp(is.what.key, key) == 0)
            return is;
    ck_abort_msg("no fact %s", key);
    return is;
}

/* By the file as it stands; energy of the battery by the trapezoids between its points, which its curve bends about. */
START_TEST(facts_are_those_of_the_file)
{
    evn_rig *rig = rig_with((double)NAN);
    char loads[128];
    ck_assert_str_eq(fact(rig, "motors").text, "1 of 380 kW, 2500 Nm, 3500 rpm");
    ck_assert_str_eq(fact(rig, "gear_ratios").text, "5.60, 3.10, 1.75, 1.00");
    ck_assert_str_eq(fact(rig, "final_drive").text, "final drive 3.70");
    ck_assert_ptr_nonnull(strstr(fact(rig, "total_ratios").text, "20.72, 11.47, 6.4"));
    ck_assert_str_eq(fact(rig, "tyres").text, "front 2 (0.0055), drive 4 (0.0058), trailer 6 (0.0050)");
    snprintf(loads, sizeof loads, "front %.0f of 8000, drive %.0f of 11500, trailer %.0f of 24000",
             figure(rig, "axle_loads.front.load_kg"), figure(rig, "axle_loads.drive.load_kg"),
             figure(rig, "axle_loads.trailer.load_kg"));
    ck_assert_str_eq(fact(rig, "axle_loads_kg").text, loads);
    double v = 0.05 * (580 + 612) / 2 + 0.15 * (612 + 649) / 2 + 0.3 * (649 + 680) / 2 + 0.3 * (680 + 711) / 2 +
               0.2 * (711 + 741) / 2;
    ck_assert_double_eq_tol(fact(rig, "battery_kwh").value, 0.79 * v, 2e-3 * 0.79 * v);
    ck_assert(fact(rig, "usable_battery_kwh").value < 0.9 * fact(rig, "battery_kwh").value);
    ck_assert(fact(rig, "usable_battery_kwh").value > 0.86 * fact(rig, "battery_kwh").value);
    ck_assert_double_eq_tol(fact(rig, "start_soc_percent").value, 90, 1e-9);
    ck_assert_double_eq(fact(rig, "drag_area_m2").value, 5.4);
    ck_assert_double_eq(fact(rig, "auxiliaries_kw").value, 5);
    evn_rig_free(rig);
}
END_TEST

/* Two units that are alike are told once; what sets them apart, of each. */
START_TEST(units_that_are_alike_are_told_once)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck("tests/vehicles/trucks/tractor-6x4-two-eaxles.yaml");
    evn_load_case as_written = evn_conditions_default().load_case;
    evn_rig *rig = NULL;
    evn_rig_prepare(truck, &as_written, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    ck_assert_str_eq(fact(rig, "motors").text,
                     "leading: 2 of 240 kW, 560 Nm, 10500 rpm; trailing: 1 of 240 kW, 560 Nm, 10500 rpm");
    ck_assert_str_eq(fact(rig, "gear_ratios").text, "leading, trailing: 5.25, 2.10");
    evn_rig_free(rig);
    ck_assert_int_eq(evn_truck_set_number(truck, "drive_units.leading.gearbox.ratios[0]", 8.5, report), EVN_DONE);
    evn_rig_prepare(truck, &as_written, &rig, report);
    ck_assert_ptr_nonnull(rig);
    ck_assert_str_eq(fact(rig, "gear_ratios").text, "leading: 8.50, 2.10; trailing: 5.25, 2.10");
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

static Suite *figures_suite(void)
{
    Suite *suite = suite_create("rig_figures");
    TCase *tests = tcase_create("rig_figures");
    tcase_add_test(tests, masses_by_part_add_up_to_the_gross_mass);
    tcase_add_test(tests, axle_loads_add_up_to_the_gross_mass);
    tcase_add_test(tests, gears_give_what_their_ratios_say);
    tcase_add_test(tests, a_universal_joint_runs_ahead_by_one_over_the_cosine);
    tcase_add_test(tests, facts_are_those_of_the_file);
    tcase_add_test(tests, units_that_are_alike_are_told_once);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    SRunner *runner = srunner_create(figures_suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
