/*
 * Motors that are scaled: one is the same as a file written out with the scaled numbers, it is as efficient at the same
 * share of its torque and the same speed, and two of half the length on one shaft are one of the whole.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "core/arena.h"
#include "truck/rig.h"

#define NODES "coolant_degc: 60, resistance_k_per_kw: "
#define RATED(nm, kw) "rated_continuous_torque_nm: " nm ", rated_continuous_power_kw: " kw
/* As stated, and by hand at k = 0.6 and b = 1.25: torque 0.6, power and inverter 0.75, resistances 1/0.6 or 1/0.75. */
#define STATED                                                                                                         \
    "peak_torque_nm: 2000, peak_power_kw: 320, top_speed_rpm: 4500, torque_at_rest_share: 0.8, full_torque_from_rpm: " \
    "60, rotor_inertia_kg_m2: 0.5, mass_kg: 200, " RATED(                                                              \
        "1000", "200") ", loss: {constant_w: 120, "                                                                    \
                       "speed_w_per_rad_s: 5, speed_squared_w_per_rad2_s2: 0.03, torque_squared_w_per_nm2: 0.003}, "   \
                       "field_weakening: "                                                                             \
                       "{characteristic_current_share: 0.8}, winding: {" NODES                                         \
                       "12, time_constant_s: 90, derate_from_degc: 140, "                                              \
                       "derate_to_degc: 165}, housing: {resistance_k_per_kw: 6, time_constant_s: 300}, inverter: "     \
                       "{constant_w: 300, "                                                                            \
                       "current_w: 2400, current_squared_w: 1800, mass_kg: 24, heat: {" NODES                          \
                       "6, time_constant_s: 10, "                                                                      \
                       "derate_from_degc: 95, derate_to_degc: 110}}"
#define WRITTEN                                                                                                        \
    "peak_torque_nm: 1200, peak_power_kw: 240, top_speed_rpm: 4500, torque_at_rest_share: 0.8, full_torque_from_rpm: " \
    "60, rotor_inertia_kg_m2: 0.3, mass_kg: 120, " RATED(                                                              \
        "600", "150") ", loss: {constant_w: 72, "                                                                      \
                      "speed_w_per_rad_s: 3, speed_squared_w_per_rad2_s2: 0.018, torque_squared_w_per_nm2: 0.005}, "   \
                      "field_weakening: "                                                                              \
                      "{characteristic_current_share: 0.8}, winding: {" NODES                                          \
                      "20, time_constant_s: 90, derate_from_degc: 140, "                                               \
                      "derate_to_degc: 165}, housing: {resistance_k_per_kw: 10, time_constant_s: 300}, inverter: "     \
                      "{constant_w: 225, "                                                                             \
                      "current_w: 1800, current_squared_w: 1350, mass_kg: 18, heat: {" NODES                           \
                      "8, time_constant_s: 10, "                                                                       \
                      "derate_from_degc: 95, derate_to_degc: 110}}"
/* A map that includes its inverter; k = 0.6. The third row is not on the law. */
#define MAP_STATED                                                                                                     \
    "peak_torque_nm: 2000, peak_power_kw: 320, top_speed_rpm: 3500, rotor_inertia_kg_m2: 0.5, mass_kg: 200, map: "     \
    "{includes_inverter: true, inverter_loss_share: 0.3, speed_rpm: [0, 1000, 2000, 3500], torque_nm: [0, 1000, "      \
    "2000], loss_w: [110, 5000, 18700, 1100, 6000, 19700, 3100, 9500, 24000, 7700, 13600, 26300]}"
#define MAP_WRITTEN                                                                                                    \
    "peak_torque_nm: 1200, peak_power_kw: 192, top_speed_rpm: 3500, rotor_inertia_kg_m2: 0.3, mass_kg: 120, map: "     \
    "{includes_inverter: true, inverter_loss_share: 0.3, speed_rpm: [0, 1000, 2000, 3500], torque_nm: [0, 600, 1200]," \
    " loss_w: [66, 3000, 11220, 660, 3600, 11820, 1860, 5700, 14400, 4620, 8160, 15780]}"

#define UNIT(motors) UNIT_WITH(motors, "")
#define UNIT_WITH(motors, more)                                                                                        \
    "drive_units: {rear: {motors: {" motors "}" more                                                                   \
    ", gearbox: {ratios: [4.8, 2.6, 1.4], efficiencies: [0.98, 0.98, 0.985],"                                          \
    " shift: {time_s: 0.5, price_kj: 20}}, path: [final_drive: {ratio: 4.1, efficiency: 0.965}]}}\n"                   \
    "battery: {resistance_ohm: 0.05}\n"
#define HILLS                                                                                                          \
    "length_m: 4000\nspeed: {place_m: [0, 900, 2800], limit_km_h: [50, 75, 60]}\nroad: {place_m: [0, 400, 500, 1200, " \
    "1300, 2000, 2300, 2400, 3600], grade_percent: [0, 0, 6, 6, -4, -4, -4, 2, 2]}\n"

static drive run_of(const char *changes)
{
    scene it = scene_of("tests/trucks/ideal.yaml", changes, HILLS);
    it.ask.driving.accuracy = 1e-8;
    drive run = play(&it);
    must_finish(&run);
    trace_end(&it.rows);
    return run;
}

static bool near(double a, double b, double relative) { return fabs(a - b) <= relative * fmax(fabs(a), fabs(b)); }

static void same_figures(const drive *a, const drive *b)
{
    evn_quantity what, other;
    double x, y;
    size_t count = 0;
    for (; evn_rig_figure_at(a->rig, count, &what, &x); count++) {
        if (!evn_rig_figure_at(b->rig, count, &other, &y) || strcmp(what.key, other.key) != 0)
            break; /* what only a scaled motor tells stands at the end */
        ck_assert_msg((isnan(x) && isnan(y)) || near(x, y, 1e-12), "%s: %.17g and %.17g", what.key, x, y);
    }
    ck_assert(count > 20);
}

/* Every result: runs of one truck differ by round-off of their numbers only. */
static void same_results(const drive *a, const drive *b, double relative)
{
    evn_quantity what;
    double x, y;
    size_t count = 0;
    for (; evn_results_at(a->results, count, &what, &x); count++) {
        ck_assert(evn_results_get(b->results, what.key, &y));
        ck_assert_msg((isnan(x) && isnan(y)) || near(x, y, relative) || fabs(x - y) < 1e-9, "%s: %.17g and %.17g",
                      what.key, x, y);
    }
    ck_assert(count > 40);
}

static void same_as_written(const char *scaled, const char *written)
{
    drive a = run_of(scaled), b = run_of(written);
    same_figures(&a, &b);
    same_results(&a, &b, 1e-9);
    drive_end(&a);
    drive_end(&b);
}

START_TEST(a_scaled_motor_is_one_written_out)
{
    same_as_written(UNIT("a: {" STATED ", scale: {torque: 0.6, base_speed: 1.25}}"), UNIT("a: {" WRITTEN "}"));
    same_as_written(UNIT("a: {" MAP_STATED ", scale: {torque: 0.6}}"), UNIT("a: {" MAP_WRITTEN "}"));
    same_as_written(UNIT("a: {" STATED ", scale: {}}"), UNIT("a: {" STATED "}"));
}
END_TEST

/* ------------------------------------------------------------------------------------------------ at one instant */

static evn_rig *rig_of(const char *name, const char *changes)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/tests/trucks/ideal.yaml\n%s", here, changes);
    write_file(name, text);
    evn_truck *truck = load_truck(in_folder(path, name));
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* Power from the bus of all motors, for a share of their peak torque. */
static double bus_w(const evn_unit *u, double share, double rad_s, evn_flow *flow)
{
    double degc[EVN_NODES_MAX];
    evn_unit_reference_degc(u, degc);
    *flow = (evn_flow){{0}};
    return evn_unit_motors_w(u, evn_all_engaged(u, 0), share * evn_unit_peak_nm(u), rad_s, 700, degc, flow);
}

/* Over shares of the torque and speeds to top speed, `times` the power and each loss. */
static void scales(const char *stated, const char *scaled, double times, double inverter_times, double most_rad_s)
{
    evn_rig *one = rig_of("stated.yaml", stated), *other = rig_of("scaled.yaml", scaled);
    const evn_unit *a = &one->unit[0], *b = &other->unit[0];
    for (double share = -1; share <= 1; share += 0.125)
        for (double w = 0; w <= most_rad_s; w += most_rad_s / 16) {
            evn_flow x, y;
            double p = bus_w(a, share, w, &x), q = bus_w(b, share, w, &y);
            ck_assert_msg(near(times * x.w[EVN_MOTOR], y.w[EVN_MOTOR], 1e-12), "motor at %g, %g", share, w);
            ck_assert_msg(near(inverter_times * x.w[EVN_INVERTER], y.w[EVN_INVERTER], 1e-12), "inverter at %g, %g",
                          share, w);
            ck_assert_double_gt(x.w[EVN_INVERTER], 0);
            ck_assert(times != inverter_times || fabs(times * p - q) <= 1e-12 * evn_unit_peak_nm(a) * most_rad_s);
        }
    evn_rig_free(one);
    evn_rig_free(other);
}

/* The same efficiency at the same share of the torque and the same speed; over base speed too. */
START_TEST(efficiency_stays_with_the_active_length)
{
    double top_rad_s = 4500 * acos(-1) / 30;
    scales(UNIT("a: {" STATED "}"), UNIT("a: {" STATED ", scale: {torque: 1.7}}"), 1.7, 1.7, top_rad_s);
    scales(UNIT("a: {" MAP_STATED "}"), UNIT("a: {" MAP_STATED ", scale: {torque: 0.35}}"), 0.35, 0.35,
           top_rad_s * 35 / 45);
}
END_TEST

/* Below base speed, 320 kW / 2000 Nm = 160 rad/s, the machine loses what it did, and its inverter b times that. */
START_TEST(turns_change_the_current_alone_below_base_speed)
{
    scales(UNIT("a: {" STATED "}"), UNIT("a: {" STATED ", scale: {base_speed: 1.5}}"), 1, 1.5, 160);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ two halves */

/* Nothing else differs: lengths add up on one shaft. */
START_TEST(two_of_half_the_length_are_one)
{
    drive one = run_of(UNIT("a: {" STATED "}"));
    drive two = run_of(UNIT_WITH("a: {" STATED ", scale: {torque: 0.5}}, b: {" STATED ", scale: {torque: 0.5}}",
                                 ", engagement: {fewest: 2}"));
    static const char *const keys[] = {"battery_kwh",
                                       "energy_balance.motor_losses_kwh",
                                       "energy_balance.inverter_losses_kwh",
                                       "energy_balance.battery_losses_kwh",
                                       "regenerated_kwh",
                                       "duration_s",
                                       "gross_mass_kg",
                                       "peak_winding_temperature_degc"};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        ck_assert_msg(near(result(&one, keys[k]), result(&two, keys[k]), 1e-9), "%s: %.15g and %.15g", keys[k],
                      result(&one, keys[k]), result(&two, keys[k]));
    drive_end(&one);
    drive_end(&two);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ refusals */

static const struct {
    const char *motor, *piece;
} wrong[] = {
    {MAP_STATED ", scale: {base_speed: 1.2}", "beside a loss map"},
    {STATED ", scale: {base_speed: 3}", "base speed would be 4583.66 rpm"},
    {STATED ", scale: {base_speed: 0.1, torque: 0.05}", "torque"},
    {STATED ", scale: {torque: 11}", "torque"},
};

START_TEST(what_scaling_cannot_make_is_refused)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding f;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "extends: %s/tests/trucks/ideal.yaml\ndrive_units: {rear: {motors: {a: {%s}}, path: [final_drive: {ratio: "
             "10, efficiency: 1}]}}\n",
             here, wrong[_i].motor);
    write_file("truck.yaml", text);
    evn_truck_load(in_folder(path, "truck.yaml"), &truck, report);
    ck_assert_ptr_null(truck);
    ck_assert(evn_report_at(report, 0, &f) && f.line == 2);
    bool found = false;
    for (size_t k = 0; evn_report_at(report, k, &f); k++)
        found = found || (f.severity == EVN_ERROR && strstr(f.text, wrong[_i].piece));
    ck_assert_msg(found, "'%s': %s", wrong[_i].piece, first_finding(report));
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("motor scale");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 60);
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, a_scaled_motor_is_one_written_out);
    tcase_add_test(all, efficiency_stays_with_the_active_length);
    tcase_add_test(all, turns_change_the_current_alone_below_base_speed);
    tcase_add_test(all, two_of_half_the_length_are_one);
    tcase_add_loop_test(all, what_scaling_cannot_make_is_refused, 0, sizeof wrong / sizeof *wrong);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
