/*
 * A way with a stop on it, driven whole and in two parts: the second part starts with the charge that the first ended
 * with. A truck at rest has no memory but its charge and the warmth of its windings; without windings all must add up.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"

static const evn_driver drivers[] = {EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT};

/* Three gears, losses of every kind, no winding; and the same with one. */
#define MOTOR                                                                                                          \
    "peak_torque_nm: 1800, peak_power_kw: 300, top_speed_rpm: 4500, rotor_inertia_kg_m2: 0.6, loss: {constant_w: "     \
    "120, "                                                                                                            \
    "speed_w_per_rad_s: 5, speed_squared_w_per_rad2_s2: 0.04, torque_squared_w_per_nm2: 0.004, winding_degc: 100}, "   \
    "field_weakening: {characteristic_current_share: 0.8}, inverter: {constant_w: 300, current_w: 2500, "              \
    "current_squared_w: 2000}"
#define WINDING                                                                                                        \
    ", winding: {coolant_degc: 65, resistance_k_per_kw: 7.5, time_constant_s: 180, derate_from_degc: 150, "            \
    "derate_to_degc: 175}"
#define TRUCK(more)                                                                                                    \
    "battery: {resistance_ohm: 0.08}\n"                                                                                \
    "auxiliaries: {power_kw: 5}\n"                                                                                     \
    "drive_units: {rear: {motors: {a: {" MOTOR more "}}, gearbox: {ratios: [4.8, 2.6, 1.4], efficiencies: [0.98, "     \
    "0.98, 0.985], input_inertia_kg_m2: 0.1, shift: {time_s: 0.5, price_kj: 20, dwell_s: 2, "                          \
    "synchronising_loss_share: 0.1}}, path: [final_drive: {ratio: 4.1, efficiency: 0.965, drag: {at: motor_side, "     \
    "speed_rpm: [0, 2500], torque_nm: [4, 12]}}]}}\n"

#define WHOLE                                                                                                          \
    "length_m: 3500\n"                                                                                                 \
    "speed: {place_m: [0, 900, 2000, 2800], limit_km_h: [50, 70, 60, 80]}\n"                                           \
    "stops: {place_m: [2000], wait_s: [25]}\n"                                                                         \
    "surface: {place_m: [2400], rolling_factor: [1.3]}\n"                                                              \
    "road: {place_m: [0, 400, 500, 1200, 1300, 2000, 2300, 2400, 3300, 3500], grade_percent: [0, 0, 4, 4, -3, -3, "    \
    "-3, 2, 2, 0]}\n"
#define FIRST                                                                                                          \
    "length_m: 2000\n"                                                                                                 \
    "speed: {place_m: [0, 900], limit_km_h: [50, 70]}\n"                                                               \
    "stops: {place_m: [2000], wait_s: [25]}\n"                                                                         \
    "road: {place_m: [0, 400, 500, 1200, 1300, 2000], grade_percent: [0, 0, 4, 4, -3, -3]}\n"
#define SECOND                                                                                                         \
    "length_m: 1500\n"                                                                                                 \
    "speed: {place_m: [0, 800], limit_km_h: [60, 80]}\n"                                                               \
    "surface: {place_m: [400], rolling_factor: [1.3]}\n"                                                               \
    "road: {place_m: [0, 300, 400, 1300, 1500], grade_percent: [-3, -3, 2, 2, 0]}\n"

static drive part(const char *truck, const char *cycle, evn_driver driver, double soc)
{
    scene it = scene_of("tests/trucks/ideal.yaml", truck, cycle);
    it.ask.driving.driver = driver;
    it.ask.driving.accuracy = 1e-9;
    it.ask.load_case.start_soc = soc;
    drive run = play(&it);
    must_finish(&run);
    trace_end(&it.rows);
    return run;
}

typedef struct parts {
    drive whole, first, second;
} parts;

static parts drive_parts(const char *truck, evn_driver driver)
{
    parts of = {.whole = part(truck, WHOLE, driver, 0.8), .first = part(truck, FIRST, driver, 0.8)};
    of.second = part(truck, SECOND, driver, result(&of.first, "final_soc"));
    return of;
}

static void parts_end(parts *of)
{
    drive_end(&of->whole);
    drive_end(&of->first);
    drive_end(&of->second);
}

/* What the parts lack, of a result that adds up. */
static double lacking(const parts *of, const char *key)
{
    return result(&of->whole, key) - result(&of->first, key) - result(&of->second, key);
}

/* Between two runs at accuracy 1e-9 some 1e-9 of the energy that moved may lie. */
START_TEST(a_run_split_at_a_stop_and_joined_is_the_whole_run)
{
    parts of = drive_parts(TRUCK(""), drivers[_i]);
    evn_quantity what;
    double value, drawn = result(&of.whole, "discharged_kwh");
    size_t lines = 0;
    for (size_t k = 0; evn_results_at(of.whole.results, k, &what, &value); k++) {
        bool adds_up = strncmp(what.key, "energy_balance.", 15) == 0 || strcmp(what.key, "battery_kwh") == 0 ||
                       strcmp(what.key, "discharged_kwh") == 0 || strcmp(what.key, "regenerated_kwh") == 0 ||
                       strcmp(what.key, "regenerative_braking_kwh") == 0;
        if (!adds_up)
            continue;
        lines++;
        ck_assert_msg(fabs(lacking(&of, what.key)) <= 2e-8 * drawn, "%s lacks %g kWh of %g drawn", what.key,
                      lacking(&of, what.key), drawn);
    }
    ck_assert_uint_gt(lines, 15);
    ck_assert_double_eq_tol(lacking(&of, "duration_s"), 0, 1e-5);
    ck_assert_double_eq_tol(lacking(&of, "distance_km"), 0, 1e-9);
    ck_assert_double_eq(lacking(&of, "gear_changes"), 1); /* at the stop, back into the gear that moves off */
    ck_assert_double_gt(result(&of.whole, "gear_changes"), 3);
    ck_assert_double_eq_tol(result(&of.whole, "final_soc"), result(&of.second, "final_soc"), 1e-9);
    parts_end(&of);
}
END_TEST

/* The second part starts with cold windings: this is no test that cannot fail. */
START_TEST(windings_that_start_cold_again_make_a_difference)
{
    parts of = drive_parts(TRUCK(WINDING), drivers[_i]);
    ck_assert_double_gt(fabs(lacking(&of, "energy_balance.motor_losses_kwh")),
                        1e-6 * result(&of.whole, "discharged_kwh"));
    parts_end(&of);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("split");
    TCase *stop = tcase_create("stop");
    tcase_add_checked_fixture(stop, folder_begin, folder_end);
    tcase_add_loop_test(stop, a_run_split_at_a_stop_and_joined_is_the_whole_run, 0, 2);
    tcase_add_loop_test(stop, windings_that_start_cold_again_make_a_difference, 0, 2);
    suite_add_tcase(suite, stop);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
