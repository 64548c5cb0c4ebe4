/*
 * The drag of hubs: it is the same whether the axle states it or a wheel end of the path, of a trailer too; an axle
 * that is up has none; and what does not go together is told where it stands.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/lorry.h"
#include "../unit/scene.h"

/* Losses of every kind but slip, whose part tests/published/test_road_load.c has. */
#define DRAG(points) "speed_rpm: [0, 250, 600], torque_nm: " points
#define STRAIGHT "speed_rpm: [0, 600], torque_nm: [12, 24]"
#define TRUCK(path, front, rear)                                                                                       \
    "battery: {resistance_ohm: 0.08}\n"                                                                                \
    "axles: {front: {tyres: 2" front "}, rear: {tyres: 4" rear "}}\n"                                                  \
    "drive_units: {rear: {motors: {a: {peak_torque_nm: 1800, peak_power_kw: 300, top_speed_rpm: 4500, "                \
    "rotor_inertia_kg_m2: 0.6, loss: {constant_w: 120, speed_w_per_rad_s: 5, torque_squared_w_per_nm2: 0.004}, "       \
    "field_weakening: {characteristic_current_share: 0.8}}}, gearbox: {ratios: [4.8, 2.6, 1.4], efficiencies: [0.98, " \
    "0.98, 0.985], shift: {time_s: 0.5, price_kj: 20}}, path: [final_drive: {ratio: 4.1, efficiency: 0.965}" path      \
    "]}}\n"
#define HILLS                                                                                                          \
    "length_m: 4000\nspeed: {place_m: [0, 900, 2800], limit_km_h: [50, 70, 60]}\nstops: {place_m: [2000], wait_s: "    \
    "[20]}\nroad: {place_m: [0, 400, 500, 1200, 1300, 2000, 2300, 2400, 3600], grade_percent: [0, 0, 4, 4, -3, -3, "   \
    "-3, 2, 2]}\n"

static const char *const same[] = {"battery_kwh",
                                   "energy_balance.hub_losses_kwh",
                                   "energy_balance.motor_losses_kwh",
                                   "duration_s",
                                   "energy_balance.friction_brakes_kwh",
                                   "regenerated_kwh",
                                   "energy_balance.final_drive_losses_kwh"};

static drive run_of(const char *changes, const char *cycle, trace *rows)
{
    scene it = scene_of("tests/trucks/ideal.yaml", changes, cycle);
    it.ask.driving.accuracy = 1e-9;
    drive run = play(&it);
    must_finish(&run);
    if (rows)
        *rows = it.rows;
    else
        trace_end(&it.rows);
    return run;
}

/* Expected: equal. Without slip the chain passes on the same torque, whether it meets the drag first or the road's. */
static void compare(const char *at_axle, const char *in_path)
{
    drive axle = run_of(at_axle, HILLS, NULL), path = run_of(in_path, HILLS, NULL);
    ck_assert_double_gt(result(&axle, "energy_balance.hub_losses_kwh"), 0.01);
    for (size_t k = 0; k < sizeof same / sizeof *same; k++) {
        double a = result(&axle, same[k]), p = result(&path, same[k]);
        ck_assert_msg(fabs(a - p) <= 1e-6 * fmax(fabs(p), 1e-3), "%s: %.12g and %.12g", same[k], a, p);
    }
    ck_assert_double_eq(result(&axle, "drive_units.rear.hub_losses_kwh"), 0);
    drive_end(&axle);
    drive_end(&path);
}

START_TEST(a_driven_axles_hubs_cost_the_same_as_in_its_wheel_end)
{
    compare(TRUCK("", "", ", hub_drag: {" STRAIGHT "}"),
            TRUCK(", wheel_end: {drag: {at: wheel_side, " STRAIGHT "}}", "", ""));
    compare(TRUCK("", "", ", hub_drag: {" DRAG("[24, 14, 30]") "}"),
            TRUCK(", wheel_end: {drag: {at: wheel_side, " DRAG("[24, 14, 30]") "}}", "", ""));
}
END_TEST

/* Expected: of two straight ones the sum, wherever it stands. */
START_TEST(hubs_of_several_axles_add_up)
{
    compare(TRUCK("", ", hub_drag: {speed_rpm: [0, 600], torque_nm: [4, 10]}",
                  ", hub_drag: {speed_rpm: [0], torque_nm: [8]}"),
            TRUCK(", wheel_end: {drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [12, 18]}}", "", ""));
}
END_TEST

static size_t place_of(const drive *run, const char *key)
{
    evn_trace_column at;
    for (size_t k = 0; evn_trace_column_at(run->rig, k, &at); k++)
        if (strcmp(at.what.key, key) == 0)
            return k;
    ck_abort_msg("no column %s", key);
    return 0;
}

START_TEST(a_trailers_hubs_resist_at_its_own_tyres)
{
    scene it = scene_of("tests/trucks/four-speed.yaml", "trailer: {hub_drag: {speed_rpm: [0], torque_nm: [41.2]}}",
                        "length_m: 900\nspeed: {place_m: [0], limit_km_h: [40]}\n");
    drive run = play(&it);
    must_finish(&run);
    size_t force = place_of(&run, "hub_drag_kn"), speed = place_of(&run, "speed_km_h");
    for (size_t i = 0; i < it.rows.rows; i++) {
        const double *row = it.rows.value + i * it.rows.columns;
        if (row[speed] > 1)
            ck_assert_double_eq_tol(row[force], 0.0412 / 0.515, 1e-12);
    }
    double path_kwh = result(&run, "drive_units.rear.hub_losses_kwh");
    double own_kwh = 41.2 / 0.515 * 1e3 * result(&run, "distance_km") / 3.6e6;
    ck_assert_double_gt(path_kwh, 0);
    ck_assert_double_eq_tol(result(&run, "energy_balance.hub_losses_kwh"), path_kwh + own_kwh, 1e-7);
    scene_end(&it, &run);
}
END_TEST

/* Three axles: 8, 10 and 12 Nm at 0.5 m. */
#define HUBS(nm) ", hub_drag: {speed_rpm: [0], torque_nm: [" nm "]}"
#define LORRY(lifts)                                                                                                   \
    LORRY_6X2("1.2", "0.006", lifts HUBS("12"))                                                                        \
    "drive_units: {rear: {axles: [2], " LORRY_MOTORS ", path: [wheel_end: {}]}}\n"
#define LORRY_HUBS "axles: {front: {tyres: 2" HUBS("8") "}, driven: {tyres: 4" HUBS("10") "}}\n"

static void lorry_hubs(const char *lorry, double slow_n, double fast_n)
{
    char truck[PATH_BYTES], cycle[PATH_BYTES];
    trace rows = {0};
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    write_file("lorry.yaml", lorry);
    write_file("truck.yaml", "extends: lorry.yaml\n" LORRY_HUBS);
    write_file("cycle.yaml", "name: c\ninvented: true\nlength_m: 600\nspeed: {place_m: [0], limit_km_h: [50]}\n");
    drive run = drive_whole(in_folder(truck, "truck.yaml"), in_folder(cycle, "cycle.yaml"), &ask, &rows);
    size_t force = place_of(&run, "hub_drag_kn"), speed = place_of(&run, "speed_km_h");
    size_t slow = 0, fast = 0;
    for (size_t i = 0; i < rows.rows; i++) {
        const double *row = rows.value + i * rows.columns;
        if (row[speed] > 1 && row[speed] < 28) {
            ck_assert_msg(fabs(row[force] * 1e3 - slow_n) < 1e-9, "%s %g: %g", lorry, row[speed], row[force]);
            slow++;
        } else if (row[speed] > 31) {
            ck_assert_double_eq_tol(row[force] * 1e3, fast_n, 1e-9);
            fast++;
        }
    }
    ck_assert(slow > 3 && fast > 3);
    ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
    trace_end(&rows);
    drive_end(&run);
}

START_TEST(an_axle_that_is_up_has_none)
{
    lorry_hubs(LORRY(", lifts: {request: down}"), 60, 60);
    lorry_hubs(LORRY(", lifts: {request: up}"), 36, 36);
    lorry_hubs(LORRY(", lifts: {request: down, start_aid: {axle_load_kg: 30000}}"), 36, 60);
    lorry_hubs(LORRY(", lifts: {request: down, start_aid: {axle_load_kg: 14000}}"), 60, 60); /* it goes on turning */
}
END_TEST

static const struct {
    const char *changes, *fault, *piece;
    bool loads;
} told[] = {
    {TRUCK(", wheel_end: {drag: {at: wheel_side, " STRAIGHT "}}", "", HUBS("20")), "disagrees", "counted twice", false},
    {TRUCK(", wheel_end: {ratio: 1.5, efficiency: 0.985}", "", HUBS("20")), NULL, "counted twice", true},
    {TRUCK(", wheel_end: {drag: {at: wheel_side, speed_rpm: [0], torque_nm: [0]}}", "", HUBS("20")), NULL,
     "counted twice", true},
    {TRUCK(", wheel_end: {drag: {at: wheel_side, " STRAIGHT "}}", HUBS("20"), ""), NULL, "counted twice", true},
    {TRUCK("", "", HUBS("20")), NULL, "a loss is missing", true},
    {TRUCK("", HUBS("20"), ""), "unusual_value", "axle rear without hub_drag", true},
    {TRUCK("", "", HUBS("70")), "unusual_value", "up to 70 Nm", true},
    {TRUCK("", "", HUBS("2")), "unusual_value", "up to 2 Nm", true},
    {TRUCK("", "", ", hub_drag: {speed_rpm: [0, 300], torque_nm: [20]}"), "disagrees", "torque_nm", false},
    {TRUCK("", "", ", hub_drag: {speed_rpm: [300, 0], torque_nm: [20, 10]}"), "disagrees", "speed_rpm", false},
};

START_TEST(what_does_not_go_together_is_told)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding f;
    bool found = false;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/tests/trucks/ideal.yaml\n%s\n", here, told[_i].changes);
    write_file("truck.yaml", text);
    evn_truck_load(in_folder(path, "truck.yaml"), &truck, report);
    for (size_t k = 0; evn_report_at(report, k, &f); k++)
        if (strstr(f.text, told[_i].piece)) {
            found = true;
            ck_assert_msg(told[_i].fault, "%s", f.text);
            ck_assert_str_eq(f.fault, told[_i].fault);
            ck_assert(f.file && f.line > 1 && f.column > 0);
        }
    ck_assert_msg(found == !!told[_i].fault, "'%s': %s", told[_i].piece, first_finding(report));
    ck_assert_msg(!!truck == told[_i].loads, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hub drag");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 60);
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, a_driven_axles_hubs_cost_the_same_as_in_its_wheel_end);
    tcase_add_test(all, hubs_of_several_axles_add_up);
    tcase_add_test(all, a_trailers_hubs_resist_at_its_own_tyres);
    tcase_add_test(all, an_axle_that_is_up_has_none);
    tcase_add_loop_test(all, what_does_not_go_together_is_told, 0, sizeof told / sizeof *told);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
