/* Layouts held against each other: what is equal gives equal results, and the driver does not decide between them. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define TWO "tests/trucks/two-units.yaml"
#define TANDEM "tests/trucks/tandem.yaml"

static const evn_driver both[] = {EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT};

/* A truck file in a temporary folder that builds on one of the tests. */
static const char *truck_with(char out[PATH_BYTES], const char *name, const char *base, const char *changes)
{
    char text[6000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, base, changes);
    write_file(name, text);
    return in_folder(out, name);
}

static double energy(const char *truck, const char *cycle, const evn_conditions *ask, double *duration_s)
{
    drive run = drive_whole(truck, cycle, ask, NULL);
    double kwh = result(&run, "battery_kwh");
    ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
    if (duration_s != NULL)
        *duration_s = result(&run, "duration_s");
    drive_end(&run);
    return kwh;
}

/* ------------------------------------------------------------------------------------------------ equal parameters */

/* The chassis motor at the axle, its shaft's joints gone, and a mesh with the figures of the hypoid gear: the same
 * losses under other names. */
#define SAME_PATH                                                                                                      \
    "{drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [21, 40]}, ratio: 3.7, efficiency: 0.965, "               \
    "inertia_kg_m2: 1.2, mass_kg: 200}"

START_TEST(two_layouts_with_equal_parameters_give_equal_results)
{
    char central[PATH_BYTES], axle[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = both[_i];
    truck_with(central, "central.yaml", FOUR,
               "drive_units: {rear: {machine_behind_front_axle_m: 3.9, path: [universal_joint: {angle_deg: 0}, "
               "propeller_shaft: {mass_kg: 0}, final_drive: " SAME_PATH ", wheel_end: {}]}}");
    truck_with(axle, "axle.yaml", FOUR,
               "drive_units: {rear: {machine_behind_front_axle_m: 3.9, path: [mesh: " SAME_PATH "]}}");
    double time_a, time_b, a = energy(central, HILL, &ask, &time_a), b = energy(axle, HILL, &ask, &time_b);
    ck_assert_double_eq_tol(a, b, 1e-6 * a); /* other lines of the ledger bring other steps of the integrator */
    ck_assert_double_eq_tol(time_a, time_b, 1e-6 * time_a);
}
END_TEST

/* Every key of the motor of four-speed.yaml at half its size. */
#define HALF                                                                                                           \
    "peak_torque_nm: 1250, peak_power_kw: 190, top_speed_rpm: 3500, reference_voltage_v: 680, rotor_inertia_kg_m2: "   \
    "0.335, mass_kg: 127.5, loss: {constant_w: 57.5, speed_w_per_rad_s: 2.75, speed_squared_w_per_rad2_s2: 0.0215, "   \
    "torque_squared_w_per_nm2: 0.0079, winding_degc: 100}, field_weakening: {characteristic_current_share: 0.8}, "     \
    "inverter: {constant_w: 190, current_w: 1520, current_squared_w: 1140, mass_kg: 15}, winding: {coolant_degc: 65, " \
    "resistance_k_per_kw: 15, time_constant_s: 180, derate_from_degc: 150, derate_to_degc: 175}"

/* One motor on the shaft, or two of half the size: the same losses when both always work. */
START_TEST(two_half_motors_are_one_motor)
{
    char one[PATH_BYTES], two[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = both[_i];
    truck_with(one, "one.yaml", FOUR,
               "drive_units: {rear: {motors: {a: {field_weakening: {characteristic_current_share: 0.8}}}}}");
    truck_with(two, "two.yaml", FOUR,
               "drive_units: {rear: {engagement: {fewest: 2}, motors: {a: {" HALF "}, b: {" HALF "}}}}");
    double time_a, time_b, a = energy(one, HILL, &ask, &time_a), b = energy(two, HILL, &ask, &time_b);
    ck_assert_double_eq_tol(a, b, 1e-8 * a);
    ck_assert_double_eq_tol(time_a, time_b, 1e-8 * time_a);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ exchange */

/* Both rear axles carry alike and roll alike: it does not matter which unit drives which. */
START_TEST(front_and_rear_unit_exchanged_give_equal_energy)
{
    char exchanged[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = both[_i];
    truck_with(exchanged, "exchanged.yaml", TWO,
               "axles: {second: {mass_kg: 820}}\n"
               "drive_units: {leading: {axles: [3]}, trailing: {axles: [2]}}");
    double time_a, time_b, a = energy(TWO, HILL, &ask, &time_a), b = energy(exchanged, HILL, &ask, &time_b);
    /* not to the last digit: the machines hang at their axles, and the loads move by some kilograms */
    ck_assert_double_eq_tol(a, b, 2e-4 * a);
    ck_assert_double_eq_tol(time_a, time_b, 2e-4 * time_a);
    truck_with(exchanged, "still.yaml", TWO,
               "drive_units: {leading: {axles: [3], machine_behind_front_axle_m: 4.575}, trailing: {axles: [2], "
               "machine_behind_front_axle_m: 4.575}}");
    char still[PATH_BYTES];
    truck_with(still, "as-it-is.yaml", TWO,
               "drive_units: {leading: {machine_behind_front_axle_m: 4.575}, trailing: {machine_behind_front_axle_m: "
               "4.575}}");
    a = energy(still, HILL, &ask, &time_a);
    b = energy(exchanged, HILL, &ask, &time_b);
    ck_assert_double_eq_tol(a, b, 2e-5 * a); /* masses of the paths at their axles alone are left */
    ck_assert_double_eq_tol(time_a, time_b, 2e-5 * time_a);
}
END_TEST

/* The branches of a tandem exchanged: which one is written first does not matter. */
START_TEST(the_order_of_branches_does_not_matter)
{
    char exchanged[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = both[_i];
    truck_with(exchanged, "exchanged.yaml", TANDEM,
               "drive_units: {rear: {branches: {leading: {axle: 3}, trailing: {axle: 2}}}}");
    double a = energy(TANDEM, HILL, &ask, NULL), b = energy(exchanged, HILL, &ask, NULL);
    ck_assert_double_eq_tol(a, b, 1e-4 * a); /* 85 kg of transfer gear and shaft change their axle */
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the driver */

/*
 * Half and twice the gain change each run by a tenth of a per cent or so, and the difference of layouts by less than a
 * tenth of a percentage point. On cycles of a kilometre that cannot hold: one gear change more or less, whose price is
 * 30 kJ, is half a per cent of what they take.
 */
START_TEST(the_gain_of_the_driver_does_not_decide_between_layouts)
{
    static const char *const trucks[] = {TRACTOR, "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"};
    static const char *const cycles[] = {"cycles/scenarios/pass-road.yaml", "cycles/scenarios/haulage-round.yaml",
                                         "cycles/scenarios/delivery-day.yaml"};
    static const double gains_1_s[] = {0.25, 0.5, 1};
    double kwh[2][3];
    for (size_t t = 0; t < 2; t++)
        for (size_t g = 0; g < 3; g++) {
            evn_conditions ask = evn_conditions_default();
            ask.driving.speed_gain_1_s = gains_1_s[g];
            kwh[t][g] = energy(trucks[t], cycles[_i], &ask, NULL);
        }
    for (size_t g = 0; g < 3; g += 2) {
        double moved = 100 * (kwh[1][g] / kwh[0][g] - kwh[1][1] / kwh[0][1]);
        ck_assert_msg(fabs(moved) < 0.1, "gain %g moves the difference by %.3f points", gains_1_s[g], moved);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("layouts");
    TCase *layouts = tcase_create("layouts");
    tcase_add_checked_fixture(layouts, folder_begin, folder_end);
    tcase_add_loop_test(layouts, two_layouts_with_equal_parameters_give_equal_results, 0, 2); /* human, exact */
    tcase_add_loop_test(layouts, two_half_motors_are_one_motor, 0, 2);
    tcase_add_loop_test(layouts, front_and_rear_unit_exchanged_give_equal_energy, 0, 2);
    tcase_add_loop_test(layouts, the_order_of_branches_does_not_matter, 0, 2);
    tcase_add_loop_test(layouts, the_gain_of_the_driver_does_not_decide_between_layouts, 0, 3);
    suite_add_tcase(suite, layouts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
