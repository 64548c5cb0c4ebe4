/* Stated stops and use of adhesion, against closed forms of a plain truck and the axle loads of its file. */
#define _POSIX_C_SOURCE 200809L
#include "evener/charts.h"
#include "scene.h"

static const double GRAVITY = 9.80665;

/* Of the truck below: one motor, one gear, nothing that turns but its wheels, no slip, no losses but the gear's. */
static const double PEAK_NM = 1800, PEAK_W = 300e3, RATIO = 10, EFFICIENCY = 0.96, RADIUS_M = 0.5, MASS_KG = 18000;
static const double WHEELS_KG = 6 * 10 / (0.5 * 0.5), ROLLING = 0.006, AIR_KG_M = 0.5 * 1.2 * 6;
#define TRUCK(more)                                                                                                    \
    "body: {mass_kg: 5000}\nauxiliaries: {power_kw: 0}\n"                                                              \
    "drive_units: {rear: {motors: {a: {peak_torque_nm: 1800, peak_power_kw: 300, top_speed_rpm: 4500, "                \
    "reference_voltage_v: 700, rotor_inertia_kg_m2: 0}}, path: [final_drive: {ratio: 10, efficiency: 0.96}]}}\n" more

static double cell(const evn_chart *chart, size_t row, const char *key)
{
    evn_quantity what;
    for (size_t k = 0; evn_chart_column_at(chart, k, &what); k++)
        if (strcmp(what.key, key) == 0)
            return evn_chart_row(chart, row)[k];
    ck_abort_msg("no column %s", key);
}

static evn_rig *rig_of(const char *changes)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/tests/trucks/ideal.yaml\n%s", here, changes);
    write_file("truck.yaml", text);
    evn_truck *truck = load_truck(in_folder(path, "truck.yaml"));
    evn_conditions ask = evn_conditions_default();
    ask.load_case.air_density_kg_m3 = 1.2;
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ stated stops */

typedef struct stop { /* what limits a stop beside the motor's envelope */
    const char *changes;
    double charge_w, fade_from_m_s, fade_to_m_s, adhesion_n; /* INFINITY: none */
} stop;

static const stop stops[] = {
    {TRUCK(""), (double)INFINITY, 0, 0},
    {TRUCK("battery: {charge_limit_kw: 90}\n"), 90e3, 0, 0},
    {TRUCK("brakes: {fade_from_km_h: 36, fade_to_km_h: 18}\n"), (double)INFINITY, 10, 5},
    {TRUCK("brakes: {fade_from_km_h: 18, fade_to_km_h: 18}\n"), (double)INFINITY, 5, 5},
};

static double demanded_n(double v, double deceleration)
{
    return (MASS_KG + WHEELS_KG) * deceleration - MASS_KG * GRAVITY * ROLLING - AIR_KG_M * v * v;
}

/* No losses but those of the gear: the pack takes what the motor's shaft gives, and braking the gear helps. */
static double motors_n(const stop *it, double v, double deceleration)
{
    double w = v / RADIUS_M * RATIO, nm = fmin(PEAK_NM, PEAK_W / w);
    double fade = v > it->fade_from_m_s  ? 1
                  : v <= it->fade_to_m_s ? 0
                                         : (v - it->fade_to_m_s) / (it->fade_from_m_s - it->fade_to_m_s);
    double most = fmin(fade * nm, it->charge_w / w) * RATIO / EFFICIENCY / RADIUS_M;
    return fmin(most, demanded_n(v, deceleration));
}

static double share_of_stop(const stop *it, double deceleration, double from_m_s, double *demanded_j)
{
    enum { STEPS = 200000 };
    double motors = 0, demanded = 0;
    for (int k = 0; k < STEPS; k++) {
        double v = from_m_s * (k + 0.5) / STEPS, weight = v * from_m_s / STEPS / deceleration;
        motors += weight * motors_n(it, v, deceleration);
        demanded += weight * demanded_n(v, deceleration);
    }
    *demanded_j = demanded;
    return motors / demanded;
}

START_TEST(the_share_of_a_stop_is_the_integral_over_it)
{
    static const double decelerations[] = {0.5, 1, 3};
    const stop *it = &stops[_i];
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_of(it->changes);
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_braking_to_rest(rig, &chart, report), EVN_DONE);
    ck_assert_uint_eq(evn_chart_row_count(chart), 3);
    for (size_t row = 0; row < 3; row++) {
        double demanded_j, share = share_of_stop(it, decelerations[row], 80 / 3.6, &demanded_j);
        ck_assert_double_eq(cell(chart, row, "deceleration_m_s2"), decelerations[row]);
        ck_assert_double_eq_tol(cell(chart, row, "from_speed_km_h"), 80, 1e-12);
        ck_assert_double_eq_tol(cell(chart, row, "demanded_kwh"), demanded_j / 3.6e6, 1e-6 * demanded_j / 3.6e6);
        ck_assert_double_eq_tol(cell(chart, row, "motor_share"), share, 1e-4);
        ck_assert_double_eq_tol(cell(chart, row, "by_motors_kwh"), share * demanded_j / 3.6e6,
                                1e-3 * demanded_j / 3.6e6);
    }
    ck_assert_double_lt(cell(chart, 2, "motor_share"), 0.9);
    evn_chart_free(chart);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

START_TEST(the_share_over_speed_is_that_of_the_envelope)
{
    const stop *it = &stops[_i];
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_of(it->changes);
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_braking_shares(rig, &chart, report), EVN_DONE);
    for (size_t row = 1; row < evn_chart_row_count(chart); row++) {
        double v = cell(chart, row, "speed_km_h") / 3.6;
        ck_assert_double_eq_tol(cell(chart, row, "deceleration_0.5_m_s2.motor_share"),
                                motors_n(it, v, 0.5) / demanded_n(v, 0.5), 1e-6);
        ck_assert_double_eq_tol(cell(chart, row, "deceleration_3_m_s2.motor_share"),
                                motors_n(it, v, 3) / demanded_n(v, 3), 1e-6);
    }
    evn_chart_free(chart);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

/* Tyres on such a ground slow the truck by themselves. */
START_TEST(where_nothing_is_demanded_there_is_no_share)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_of(TRUCK("axles: {front: {tyre: {rolling_resistance_coefficient: 0.06}}, "
                                "rear: {tyre: {rolling_resistance_coefficient: 0.06}}}\n"));
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_braking_to_rest(rig, &chart, report), EVN_DONE);
    ck_assert_double_eq(cell(chart, 0, "demanded_kwh"), 0);
    ck_assert(isnan(cell(chart, 0, "motor_share")));
    ck_assert_double_gt(cell(chart, 2, "motor_share"), 0);
    evn_chart_free(chart);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ adhesion */

/* A row of a trace in which the truck brakes. */
static void set_row(const evn_rig *rig, double *row, double speed_km_h, double accel, double wheel_kn, double brake_kn)
{
    evn_trace_column column;
    for (size_t k = 0; evn_trace_column_at(rig, k, &column); k++) {
        const char *key = column.what.key;
        row[k] = strcmp(key, "speed_km_h") == 0                ? speed_km_h
                 : strcmp(key, "acceleration_m_s2") == 0       ? accel
                 : strcmp(key, "wheel_force_kn") == 0          ? wheel_kn
                 : strcmp(key, "friction_brake_force_kn") == 0 ? brake_kn
                                                               : 0;
    }
}

/*
 * Two axles 4.5 m apart, centre of gravity h high: a deceleration a moves m a h/L from the rear to the front. Centre of
 * gravity and axle loads at rest by the masses of the file; friction brakes by loads at rest.
 */
START_TEST(use_is_force_over_load_of_each_axle)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_of(TRUCK(""));
    size_t columns = evn_trace_column_count(rig);
    double *row = calloc(columns, sizeof *row), front_kg = 0, rear_kg = 0;
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_rig_figure_at(rig, k, &what, &value); k++) {
        front_kg = strcmp(what.key, "axle_loads.front.load_kg") == 0 ? value : front_kg;
        rear_kg = strcmp(what.key, "axle_loads.rear.load_kg") == 0 ? value : rear_kg;
    }
    ck_assert_double_eq_tol(front_kg + rear_kg, MASS_KG, 1e-6);
    /* body 5000 kg at 1.0 m, payload 9000 at 1.5, battery 2200 and axles 1800 at the heights of the file */
    evn_adhesion_use *use = evn_adhesion_use_new(rig);
    ck_assert(row && use);
    double brake_n = 20e3, motors_only_n = 15e3;
    set_row(rig, row, 50, 0, 0, brake_n / 1e3); /* no deceleration: no transfer but that of the brakes themselves */
    evn_adhesion_use_sample(use, row, columns);
    set_row(rig, row, 50, 0, -motors_only_n / 1e3, 0);
    evn_adhesion_use_sample(use, row, columns);
    set_row(rig, row, 50, -1, 5, 0); /* pulls */
    evn_adhesion_use_sample(use, row, columns);
    set_row(rig, row, 0, 0, 0, brake_n / 1e3); /* stands */
    evn_adhesion_use_sample(use, row, columns);
    evn_adhesion_use_sample(use, row, columns - 1);
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_adhesion_use(use, &chart, report), EVN_DONE);
    ck_assert_uint_eq(evn_chart_row_count(chart), 2);
    ck_assert_double_eq_tol(cell(chart, 0, "braking_rate"), brake_n / (MASS_KG * GRAVITY), 1e-9);
    ck_assert_double_eq_tol(cell(chart, 0, "front_axle_use"), brake_n / (MASS_KG * GRAVITY), 1e-9);
    ck_assert_double_eq_tol(cell(chart, 0, "driven_axle_use"), brake_n / (MASS_KG * GRAVITY), 1e-9);
    ck_assert_double_eq_tol(cell(chart, 1, "braking_rate"), motors_only_n / (MASS_KG * GRAVITY), 1e-9);
    ck_assert_double_eq(cell(chart, 1, "front_axle_use"), 0);
    ck_assert_double_eq_tol(cell(chart, 1, "driven_axle_use"), motors_only_n / (rear_kg * GRAVITY), 1e-9);
    evn_chart_free(chart);
    evn_adhesion_use_free(use);
    evn_rig_free(rig);
    free(row);
    evn_report_free(report);
}
END_TEST

/* Loads of a braked run move by m a h/L, as much off one axle as on the other. */
START_TEST(a_deceleration_loads_the_front_axle)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_of(TRUCK(""));
    size_t columns = evn_trace_column_count(rig);
    double *row = calloc(columns, sizeof *row);
    evn_adhesion_use *use = evn_adhesion_use_new(rig);
    ck_assert(row && use);
    double brake_n = 54e3, accel = -3;
    set_row(rig, row, 50, accel, 0, brake_n / 1e3);
    evn_adhesion_use_sample(use, row, columns);
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_adhesion_use(use, &chart, report), EVN_DONE);
    double front = cell(chart, 0, "front_axle_use"), rear = cell(chart, 0, "driven_axle_use");
    double rate = cell(chart, 0, "braking_rate"), rest_kg[2] = {0, 0};
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_rig_figure_at(rig, k, &what, &value); k++) {
        rest_kg[0] = strcmp(what.key, "axle_loads.front.load_kg") == 0 ? value : rest_kg[0];
        rest_kg[1] = strcmp(what.key, "axle_loads.rear.load_kg") == 0 ? value : rest_kg[1];
    }
    double front_n = brake_n * rest_kg[0] / MASS_KG / front, rear_n = brake_n * rest_kg[1] / MASS_KG / rear;
    ck_assert(front < rate && rate < rear);
    ck_assert_double_eq_tol(front_n + rear_n, MASS_KG * GRAVITY, 1e-3 * MASS_KG * GRAVITY);
    double h_m = (front_n - rest_kg[0] * GRAVITY) * 4.5 / (MASS_KG * -accel);
    ck_assert(h_m > 1.0 && h_m < 1.5); /* between body and payload */
    evn_chart_free(chart);
    evn_adhesion_use_free(use);
    evn_rig_free(rig);
    free(row);
    evn_report_free(report);
}
END_TEST

/* However many rows there are, some hundred points stay, the strongest and the weakest braking among them. */
START_TEST(points_stay_few_and_cover_all)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_of(TRUCK(""));
    size_t columns = evn_trace_column_count(rig);
    double *row = calloc(columns, sizeof *row), least = 1, most = 0;
    evn_adhesion_use *use = evn_adhesion_use_new(rig);
    ck_assert(row && use);
    for (int k = 0; k < 100; k++)
        for (int j = 0; j < 100; j++) {
            set_row(rig, row, 50, -0.04 * k, -0.3 * j, 1 + 0.9 * k);
            evn_adhesion_use_sample(use, row, columns);
        }
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_adhesion_use(use, &chart, report), EVN_DONE);
    size_t rows = evn_chart_row_count(chart);
    ck_assert(rows > 50 && rows <= 300);
    for (size_t k = 0; k < rows; k++) {
        least = fmin(least, cell(chart, k, "braking_rate"));
        most = fmax(most, cell(chart, k, "braking_rate"));
    }
    ck_assert_double_lt(least, 0.02);
    ck_assert_double_gt(most, 0.95 * (89.1 + 1 + 29.7) * 1e3 / (MASS_KG * GRAVITY));
    evn_chart_free(chart);
    evn_adhesion_use_free(use);
    evn_rig_free(rig);
    free(row);
    evn_report_free(report);
}
END_TEST

/* A unit of two axles hands its braking to both: the more used one is told. */
START_TEST(of_several_driven_axles_the_most_used_is_told)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck("tests/vehicles/trucks/tipper-8x4-central.yaml");
    evn_cycle *cycle = load_cycle(HILL);
    evn_rig *rig = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    evn_adhesion_use *use = evn_adhesion_use_new(rig);
    evn_watcher watcher = {.self = use, .sample = evn_adhesion_use_sample};
    evn_results *results = NULL;
    ck_assert_int_eq(evn_drive(rig, cycle, &ask.driving, &watcher, &results, report), EVN_DONE);
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_adhesion_use(use, &chart, report), EVN_DONE);
    ck_assert_uint_gt(evn_chart_row_count(chart), 20);
    for (size_t k = 0; k < evn_chart_row_count(chart); k++) {
        double rate = cell(chart, k, "braking_rate");
        ck_assert(rate > 0.001 && rate < 0.3);
        ck_assert_double_ge(cell(chart, k, "front_axle_use"), -1e-12);
        ck_assert_double_gt(cell(chart, k, "driven_axle_use"), rate); /* motors brake at two of four axles */
    }
    evn_chart_free(chart);
    evn_results_free(results);
    evn_adhesion_use_free(use);
    evn_rig_free(rig);
    evn_cycle_free(cycle);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

START_TEST(bands_are_the_lines_they_are_said_to_be)
{
    evn_report *report = evn_report_new();
    evn_chart *bands = NULL;
    ck_assert_int_eq(evn_chart_of_adhesion_bands(&bands, report), EVN_DONE);
    ck_assert_uint_eq(evn_chart_row_count(bands), 61);
    for (size_t row = 0; row < 61; row++) {
        double z = cell(bands, row, "braking_rate"), k;
        ck_assert_double_eq_tol(z, 0.01 * (double)row, 1e-12);
        ck_assert_double_eq(cell(bands, row, "ideal_use"), z);
        bool within = row >= 15 && row <= 30;
        ck_assert_int_eq(isnan(cell(bands, row, "band_low_use")), !within);
        if (within) {
            ck_assert_double_eq_tol(cell(bands, row, "band_low_use"), z - 0.08, 1e-12);
            ck_assert_double_eq_tol(cell(bands, row, "band_high_use"), z + 0.08, 1e-12);
        }
        k = cell(bands, row, "band_above_use");
        ck_assert_int_eq(isnan(k), row < 30);
        if (row >= 30)
            ck_assert_double_eq_tol(z, 0.3 + 0.74 * (k - 0.38), 1e-12);
        k = cell(bands, row, "least_rate_use");
        ck_assert_int_eq(isnan(k), row < 10 || row > 52);
        if (row >= 10 && row <= 52) {
            ck_assert_double_eq_tol(z, 0.1 + 0.7 * (k - 0.2), 1e-12);
            ck_assert(k >= 0.2 - 1e-12 && k <= 0.8 + 1e-12);
        }
    }
    evn_chart_free(bands);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("braking_charts");
    TCase *braking = tcase_create("braking");
    tcase_add_checked_fixture(braking, folder_begin, folder_end);
    tcase_add_loop_test(braking, the_share_of_a_stop_is_the_integral_over_it, 0, sizeof stops / sizeof *stops);
    tcase_add_loop_test(braking, the_share_over_speed_is_that_of_the_envelope, 0, sizeof stops / sizeof *stops);
    tcase_add_test(braking, where_nothing_is_demanded_there_is_no_share);
    tcase_add_test(braking, use_is_force_over_load_of_each_axle);
    tcase_add_test(braking, a_deceleration_loads_the_front_axle);
    tcase_add_test(braking, points_stay_few_and_cover_all);
    tcase_add_test(braking, of_several_driven_axles_the_most_used_is_told);
    tcase_add_test(braking, bands_are_the_lines_they_are_said_to_be);
    suite_add_tcase(suite, braking);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
