/* From a truck file to the rig: masses, axle loads, inertia, pack, slip, and what is refused. */
#define _POSIX_C_SOURCE 200809L
#include "folder.h"
#include "trip_probe.h"
#include "truck/rig.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define IDEAL "tests/trucks/ideal.yaml"
#define SINGLE "tests/trucks/single-speed.yaml"

static evn_rig *rig_of(const char *path, const evn_conditions *ask)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(path);
    evn_rig *rig = NULL;
    evn_rig_prepare(truck, &ask->load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

static evn_rig *plain_rig_of(const char *path)
{
    evn_conditions ask = evn_conditions_default();
    return rig_of(path, &ask);
}

/* A truck that is another but for what is written here; its path. */
static const char *variant(char path[PATH_BYTES], const char *base, const char *changes)
{
    char text[1000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, base, changes);
    write_file("variant.yaml", text);
    return in_folder(path, "variant.yaml");
}

/* ------------------------------------------------------------------------------------------------ masses, loads */

START_TEST(axle_loads_of_a_rigid_truck_follow_from_its_moments)
{
    evn_rig *rig = plain_rig_of(IDEAL);
    double moment = 5000 * 1.2 + 1100 * 4.5 + 2200 * 1.5 + 9000 * 3.0;
    ck_assert_double_eq_tol(rig->mass_kg, 18000, 1e-9);
    ck_assert_double_eq_tol(rig->axle[1].load.cosine_kg, moment / 4.5, 1e-9);
    ck_assert_double_eq_tol(rig->axle[0].load.cosine_kg, 18000 - moment / 4.5, 1e-9);
    evn_rig_free(rig);
}
END_TEST

START_TEST(axle_loads_of_a_semitrailer_follow_from_its_moments)
{
    evn_rig *rig = plain_rig_of(SINGLE);
    double trailer = 6800 * 5.0 + 20000 * 5.4, group = trailer / 7.6, press = 26800 - group;
    double moment = 4000 * 1.0 + 900 * 3.8 + 3500 * 1.8 + 335 * 1.7 + 393 * 3.8 + press * 3.2;
    double truck = 4000 + 600 + 900 + 3500 + 335 + 393;
    ck_assert_uint_eq(rig->axle_count, 3);
    ck_assert_double_eq_tol(rig->mass_kg, truck + 26800, 1e-9);
    ck_assert_double_eq_tol(rig->axle[2].load.cosine_kg, group, 1e-9);
    ck_assert_double_eq_tol(rig->axle[1].load.cosine_kg, moment / 3.8, 1e-9);
    ck_assert_double_eq_tol(rig->axle[0].load.cosine_kg, truck + press - moment / 3.8, 1e-9);
    evn_rig_free(rig);
}
END_TEST

START_TEST(a_group_of_axles_shares_one_load)
{
    char path[PATH_BYTES];
    evn_rig *rig =
        plain_rig_of(variant(path, IDEAL,
                             "axles: {tag: {behind_front_axle_m: 5.5, support: rear, load_share: 0.3, tyres: 2, "
                             "mass_kg: 0, tyre: {rolling_resistance_coefficient: 0.006, rolling_radius_m: 0.5}},"
                             " rear: {load_share: 0.7}}"));
    double place = 0.7 * 4.5 + 0.3 * 5.5, moment = 5000 * 1.2 + 1100 * 4.5 + 2200 * 1.5 + 9000 * 3.0;
    ck_assert_double_eq_tol(rig->axle[1].load.cosine_kg, 0.7 * moment / place, 1e-9);
    ck_assert_double_eq_tol(rig->axle[2].load.cosine_kg, 0.3 * moment / place, 1e-9);
    ck_assert_double_eq_tol(rig->axle[0].load.cosine_kg, 18000 - moment / place, 1e-9);
    evn_rig_free(rig);
}
END_TEST

static double load_n(const evn_rig *rig, size_t axle, double slope, double accel_m_s2, double brake_n)
{
    return evn_axle_load_n(&rig->axle[axle].load, 9.80665, 1 / sqrt(1 + slope * slope), slope / sqrt(1 + slope * slope),
                           accel_m_s2, brake_n);
}

START_TEST(axle_loads_add_up_to_the_weight_whatever_the_truck_does)
{
    const char *const trucks[] = {IDEAL, SINGLE, FOUR};
    for (size_t k = 0; k < 3; k++) {
        evn_rig *rig = plain_rig_of(trucks[k]);
        double sum_n = 0, slope = 0.07;
        for (size_t axle = 0; axle < rig->axle_count; axle++)
            sum_n += load_n(rig, axle, slope, 0.8, 5e4);
        ck_assert_double_eq_tol(sum_n, rig->mass_kg * 9.80665 / sqrt(1 + slope * slope), 1e-6);
        evn_rig_free(rig);
    }
}
END_TEST

START_TEST(load_moves_to_the_rear_uphill_and_when_the_truck_gathers_speed)
{
    evn_rig *rig = plain_rig_of(IDEAL);
    double height =
        (5000 * 1.0 + 700 * 0.5 + 1100 * 0.5 + 2200 * 0.8 + 9000 * 1.5) / 18000; /* of the centre of gravity */
    double moved_n = 18000 * 0.8 * height / 4.5;
    ck_assert_double_eq_tol(load_n(rig, 1, 0, 0.8, 0) - load_n(rig, 1, 0, 0, 0), moved_n, 1e-6);
    ck_assert_double_eq_tol(load_n(rig, 0, 0, 0.8, 0) - load_n(rig, 0, 0, 0, 0), -moved_n, 1e-6);
    ck_assert_double_eq_tol(load_n(rig, 0, 0, -0.8, 0) - load_n(rig, 0, 0, 0, 0), moved_n, 1e-6);
    ck_assert_double_gt(load_n(rig, 1, 0.1, 0, 0), load_n(rig, 1, 0, 0, 0));
    ck_assert_double_lt(load_n(rig, 1, -0.1, 0, 0), load_n(rig, 1, 0, 0, 0));
    evn_rig_free(rig);
    /* pulling a semitrailer takes load off the steered axle, and braking it presses on the fifth wheel */
    rig = plain_rig_of(FOUR);
    ck_assert_double_lt(load_n(rig, 0, 0, 0.8, 0), load_n(rig, 0, 0, 0, 0));
    ck_assert_double_gt(load_n(rig, 1, 0, 0.8, 0), load_n(rig, 1, 0, 0, 0));
    ck_assert_double_lt(load_n(rig, 2, 0, -0.8, 3e4), load_n(rig, 2, 0, 0, 0));
    evn_rig_free(rig);
}
END_TEST

START_TEST(turning_wheels_and_motors_weigh_as_their_inertia_says)
{
    evn_rig *rig = plain_rig_of(SINGLE);
    double wheels_kg = 2 * 13 / (0.49 * 0.49) + 4 * 15 / (0.5 * 0.5) + 6 * 17 / (0.51 * 0.51);
    ck_assert_double_eq_tol(rig->effective_kg, rig->mass_kg + wheels_kg, 1e-9);
    /* rotor 0.4 at ratio 20, mesh 0.05 and shaft 0.1 at 5, final drive 1.1 at 1 */
    ck_assert_double_eq_tol(rig->unit[0].gear[0].total_ratio, 20, 1e-12);
    ck_assert_double_eq_tol(rig->unit[0].gear[0].inertia_kg_m2, 0.4 * 400 + (0.05 + 0.1) * 25 + 1.1, 1e-9);
    ck_assert_double_eq_tol(rig->top_speed_m_s, 12000 * acos(-1) / 30 / 20 * 0.5, 1e-9);
    evn_rig_free(rig);
    rig = plain_rig_of(FOUR);
    ck_assert_uint_eq(rig->unit[0].gear_count, 4);
    ck_assert_double_eq_tol(rig->unit[0].gear[0].total_ratio, 5.6 * 3.7, 1e-12);
    ck_assert_double_eq_tol(rig->unit[0].gear[0].inertia_kg_m2,
                            (0.67 + 0.08) * pow(5.6 * 3.7, 2) + 0.12 * pow(3.7, 2) + 1.2, 1e-9);
    ck_assert_double_eq_tol(rig->top_speed_m_s, 3500 * acos(-1) / 30 / 3.7 * 0.492, 1e-9);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ payload */

START_TEST(a_payload_asked_for_takes_the_place_of_the_files_own)
{
    evn_conditions ask = evn_conditions_default();
    const double payload_kg[] = {0, 4000};
    for (size_t k = 0; k < 2; k++) {
        ask.load_case.payload_kg = payload_kg[k];
        evn_rig *rig = rig_of(IDEAL, &ask);
        double moment = 5000 * 1.2 + 1100 * 4.5 + 2200 * 1.5 + payload_kg[k] * 3.0;
        ck_assert_double_eq_tol(rig->mass_kg, 9000 + payload_kg[k], 1e-9);
        ck_assert_double_eq_tol(rig->axle[1].load.cosine_kg, moment / 4.5, 1e-9);
        evn_rig_free(rig);
    }
}
END_TEST

typedef struct refusal {
    const char *changes;
    const char *fault, *piece;
} refusal;

/* Prepares a variant; its first finding must be this one. True when there is a rig all the same. */
static bool first_says(const char *base, const refusal *of, const evn_conditions *ask)
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(variant(path, base, of->changes));
    evn_rig *rig = NULL;
    evn_finding finding = {.fault = "none", .text = "none"};
    evn_rig_prepare(truck, &ask->load_case, &rig, report);
    evn_report_at(report, 0, &finding);
    ck_assert_msg(strcmp(finding.fault, of->fault) == 0 && strstr(finding.text, of->piece),
                  "expected %s with \"%s\"; found %s: %s", of->fault, of->piece, finding.fault, finding.text);
    bool made = rig;
    ck_assert_int_eq(evn_report_status(report), made ? EVN_DONE : EVN_BAD_INPUT);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
    return made;
}

START_TEST(too_heavy_a_truck_is_warned_of_and_one_with_an_axle_in_the_air_refused)
{
    const refusal gross = {"body: {permitted_gross_kg: 17000}", "unusual_value", "18000 kg"};
    const refusal axle = {"axles: {rear: {permitted_kg: 8000}}", "unusual_value", "axle rear"};
    const refusal air = {"payload: {centre_behind_m: 12}", "disagrees", "axle front"};
    evn_conditions ask = evn_conditions_default();
    ck_assert(first_says(IDEAL, &gross, &ask));
    ck_assert(first_says(IDEAL, &axle, &ask));
    ck_assert(!first_says(IDEAL, &air, &ask));
}
END_TEST

/* Steps that bend like jumps, and gears that are one gear, cost events without end, or nothing but them. */
START_TEST(points_of_curves_and_gears_stand_apart)
{
    static const refusal near[] = {
        {"drive_units: {rear: {gearbox: {drag: {speed_rpm: [0, 0.000000001], torque_nm: [2, 900]}}}}", "disagrees",
         "drag.speed_rpm goes from 0 to 1e-09; expected a rise of at least 0.1"},
        {"drive_units: {rear: {gearbox: {ratios: [5, 3, 2.9999, 1]}}}", "disagrees",
         "ratio 2.9999 after 3; expected falling ratios, first gear first, at least 0.001 apart"},
        {"battery: {open_circuit: {soc: [0.2, 0.20001], voltage_v: [600, 700]}}", "disagrees",
         "soc goes from 0.2 to 0.20001; expected a rise of at least 0.001"},
        {"battery: {charge_taper: {soc: [0.2, 0.20001], share: [1, 0]}}", "disagrees", "soc goes from 0.2 to 0.20001"},
    };
    for (size_t k = 0; k < sizeof near / sizeof *near; k++) {
        char path[PATH_BYTES];
        evn_report *report = evn_report_new();
        evn_truck *truck = NULL;
        evn_finding found = {.fault = "none", .text = "none"};
        ck_assert_int_eq(evn_truck_load(variant(path, FOUR, near[k].changes), &truck, report), EVN_BAD_INPUT);
        evn_report_at(report, 0, &found);
        ck_assert_msg(strcmp(found.fault, near[k].fault) == 0 && strstr(found.text, near[k].piece), "%s: %s",
                      found.fault, found.text);
        ck_assert(found.line == 2 && strstr(found.file, "variant.yaml"));
        ck_assert_ptr_null(truck);
        evn_report_free(report);
    }
    char path[PATH_BYTES];
    evn_rig_free(plain_rig_of(variant(path, FOUR,
                                      "drive_units: {rear: {gearbox: {ratios: [3.003, 3.002, 3.001, 3], "
                                      "drag: {speed_rpm: [0, 0.1, 0.2], torque_nm: [1, 2, 3]}}}}\n"
                                      "battery: {open_circuit: {soc: [0.2, 0.201], voltage_v: [650, 700]}}")));
}
END_TEST

START_TEST(what_cannot_be_asked_for_is_bad_input)
{
    const refusal of = {"name: asked", "out_of_range", ""};
    for (int k = 0; k < 12; k++) {
        evn_conditions ask = evn_conditions_default();
        double *const member[] = {
            &ask.load_case.payload_kg,        &ask.load_case.payload_kg,   &ask.load_case.start_soc,
            &ask.load_case.start_soc,         &ask.load_case.gravity_m_s2, &ask.load_case.gravity_m_s2,
            &ask.load_case.air_density_kg_m3, &ask.load_case.altitude_m,   &ask.load_case.altitude_m,
            &ask.load_case.temperature_degc,  &ask.load_case.headwind_m_s, &ask.load_case.headwind_m_s};
        const double value[] = {-1,    (double)INFINITY, 0.01, 0.99, 0,          (double)NAN, -0.1,
                                20000, (double)NAN,      -80,  100,  (double)NAN};
        *member[k] = value[k];
        ck_assert_msg(!first_says(FOUR, &of, &ask), "case %d", k);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ pack, slip */

START_TEST(the_current_of_a_pack_gives_the_power_asked_for)
{
    evn_rig *rig = plain_rig_of(FOUR);
    double volt = evn_curve_at(&rig->pack.open_circuit_v, 0.5), most_w = volt * volt / (4 * 0.038);
    ck_assert_double_eq_tol(volt, 680, 1e-9);
    for (double share = -0.9; share < 1; share += 0.1) {
        double amperes = evn_pack_current_a(0.038, volt, share * most_w);
        ck_assert_double_eq_tol(volt * amperes - 0.038 * amperes * amperes, share * most_w, 1e-9 * most_w);
        ck_assert(amperes < volt / (2 * 0.038)); /* the lesser of the two currents */
    }
    ck_assert(evn_pack_current_a(0.038, volt, 0) == 0);
    ck_assert(isnan(evn_pack_current_a(0.038, volt, 1.001 * most_w)));
    evn_rig_free(rig);
}
END_TEST

static evn_pack_able pack_at(const evn_rig *rig, double soc)
{
    return evn_pack_at(&rig->pack, &(evn_pack_now){.soc = soc, .degc = rig->pack.start_degc});
}

START_TEST(a_pack_keeps_to_its_power_its_voltages_and_its_window)
{
    char path[PATH_BYTES];
    evn_rig *rig = plain_rig_of(FOUR);
    ck_assert_double_eq_tol(pack_at(rig, 0.5).most_w, 700e3, 1e-6);
    ck_assert_double_eq_tol(pack_at(rig, 0.5).charge_w, 430e3, 1e-6);
    ck_assert_double_eq_tol(pack_at(rig, 0.85).charge_w, 430e3, 1e-6);
    ck_assert(pack_at(rig, 0.94).charge_w == 0 && pack_at(rig, 0.99).charge_w == 0);
    evn_rig_free(rig);
    rig = plain_rig_of(variant(path, FOUR,
                               "battery: {discharge_limit_kw: 5000, charge_limit_kw: 5000, minimum_voltage_v: 560, "
                               "maximum_voltage_v: 760}"));
    ck_assert_double_eq_tol(pack_at(rig, 0.5).most_w, 560 * (680.0 - 560) / 0.038, 1e-6);
    ck_assert_double_eq_tol(pack_at(rig, 0.5).charge_w, 760 * (760.0 - 680) / 0.038, 1e-6);
    evn_rig_free(rig);
}
END_TEST

START_TEST(slip_takes_power_both_ways_and_comes_back_exactly)
{
    for (double force_n = -3e4; force_n <= 3e4; force_n += 1e3) {
        double hub_n = evn_slip_hub_n(force_n, 4e5);
        ck_assert(hub_n >= force_n);
        ck_assert_double_eq_tol(evn_slip_tyre_n(hub_n, 4e5), force_n, 1e-9);
    }
    /* driving the wheel turns faster than the truck rolls: by a thirtieth here, and so does its power */
    ck_assert_double_eq_tol(evn_slip_hub_n(1e4, 3e5), 1e4 / (1 - 1 / 30.0), 1e-9);
    ck_assert_double_eq_tol(evn_slip_hub_n(-1e4, 3e5), -1e4 * (1 - 1 / 30.0), 1e-9);
    ck_assert(evn_slip_hub_n(0, 3e5) == 0);
}
END_TEST

static double torque_share(const evn_unit *unit, double winding_degc)
{
    const double degc[EVN_NODES_MAX] = {winding_degc};
    return evn_unit_torque_share(unit, degc);
}

START_TEST(derating_goes_from_all_to_nothing_between_its_two_temperatures)
{
    evn_rig *rig = plain_rig_of(FOUR);
    const evn_unit *unit = &rig->unit[0];
    ck_assert(torque_share(unit, 20) == 1 && torque_share(unit, 150) == 1);
    ck_assert_double_eq_tol(torque_share(unit, 155), 0.8, 1e-12);
    ck_assert(torque_share(unit, 175) == 0 && torque_share(unit, 300) == 0);
    evn_rig_free(rig);
    rig = plain_rig_of(SINGLE); /* no winding: no derating */
    ck_assert(torque_share(&rig->unit[0], 300) == 1);
    evn_rig_free(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("truck");
    TCase *rig = tcase_create("rig");
    tcase_add_checked_fixture(rig, folder_begin, folder_end);
    tcase_add_test(rig, axle_loads_of_a_rigid_truck_follow_from_its_moments);
    tcase_add_test(rig, axle_loads_of_a_semitrailer_follow_from_its_moments);
    tcase_add_test(rig, a_group_of_axles_shares_one_load);
    tcase_add_test(rig, axle_loads_add_up_to_the_weight_whatever_the_truck_does);
    tcase_add_test(rig, load_moves_to_the_rear_uphill_and_when_the_truck_gathers_speed);
    tcase_add_test(rig, turning_wheels_and_motors_weigh_as_their_inertia_says);
    tcase_add_test(rig, a_payload_asked_for_takes_the_place_of_the_files_own);
    tcase_add_test(rig, too_heavy_a_truck_is_warned_of_and_one_with_an_axle_in_the_air_refused);
    tcase_add_test(rig, points_of_curves_and_gears_stand_apart);
    tcase_add_test(rig, what_cannot_be_asked_for_is_bad_input);
    tcase_add_test(rig, the_current_of_a_pack_gives_the_power_asked_for);
    tcase_add_test(rig, a_pack_keeps_to_its_power_its_voltages_and_its_window);
    tcase_add_test(rig, slip_takes_power_both_ways_and_comes_back_exactly);
    tcase_add_test(rig, derating_goes_from_all_to_nothing_between_its_two_temperatures);
    suite_add_tcase(suite, rig);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
