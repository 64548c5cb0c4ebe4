/* Numbers behind pictures, against closed forms, the files they come from, and runs. */
#define _POSIX_C_SOURCE 200809L
#include "evener/charts.h"
#include "scene.h"

static const double PI = 3.14159265358979323846;

/* Of the truck below: one motor, one gear, no winding, no slip. */
static const double PEAK_NM = 1800, PEAK_W = 300e3, RATIO = 10, EFFICIENCY = 0.96, RADIUS_M = 0.5, MASS_KG = 18000;
static const double C0_W = 120, C1_W_S = 5, C2_W_S2 = 0.04, C3_W_NM2 = 0.004, I0_W = 300, I1_W = 2500, I2_W = 2000;
#define MOTOR                                                                                                          \
    "peak_torque_nm: 1800, peak_power_kw: 300, top_speed_rpm: 4500, rotor_inertia_kg_m2: 0.5, reference_voltage_v: "   \
    "700, loss: {constant_w: 120, speed_w_per_rad_s: 5, speed_squared_w_per_rad2_s2: 0.04, torque_squared_w_per_nm2: " \
    "0.004, winding_degc: 100}, inverter: {constant_w: 300, current_w: 2500, current_squared_w: 2000}"
#define WINDING                                                                                                        \
    ", winding: {coolant_degc: 65, resistance_k_per_kw: 7.5, time_constant_s: 180, derate_from_degc: 150, "            \
    "derate_to_degc: 175}"
#define TRUCK(more)                                                                                                    \
    "body: {mass_kg: 5000}\nauxiliaries: {power_kw: 0}\n"                                                              \
    "drive_units: {rear: {motors: {a: {" MOTOR more "}}, path: [final_drive: {ratio: 10, efficiency: 0.96}]}}\n"

static double cell(const evn_chart *chart, size_t row, const char *key)
{
    evn_quantity what;
    for (size_t k = 0; evn_chart_column_at(chart, k, &what); k++)
        if (strcmp(what.key, key) == 0)
            return evn_chart_row(chart, row)[k];
    ck_abort_msg("no column %s", key);
}

static evn_report *fresh(void)
{
    evn_report *report = evn_report_new();
    ck_assert_ptr_nonnull(report);
    return report;
}

static evn_rig *rig_of(const char *changes, double soc)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_report *report = fresh();
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/tests/trucks/ideal.yaml\n%s", here, changes);
    write_file("truck.yaml", text);
    evn_truck *truck = load_truck(in_folder(path, "truck.yaml"));
    evn_conditions ask = evn_conditions_default();
    ask.load_case.start_soc = soc;
    ask.load_case.air_density_kg_m3 = 1.2;
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ the route */

START_TEST(the_road_is_that_of_the_file)
{
    evn_report *report = fresh();
    evn_cycle *cycle = load_cycle(HILL);
    evn_chart *road = NULL;
    ck_assert_int_eq(evn_chart_of_road(cycle, &road, report), EVN_DONE);
    size_t rows = evn_chart_row_count(road);
    double climbed = 0, last_place = 0, last_height = 0;
    ck_assert_double_eq(cell(road, 0, "place_m"), 0);
    ck_assert_double_eq(cell(road, rows - 1, "place_m"), 12000);
    for (size_t row = 0; row < rows; row++) {
        double place = cell(road, row, "place_m"), height = cell(road, row, "elevation_m");
        ck_assert_double_ge(place, last_place);
        climbed += fmax(height - last_height, 0);
        last_place = place;
        last_height = height;
    }
    /* as `cycle info` has it, which the reader's tests hold against the file */
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_cycle_figure_at(cycle, k, &what, &value); k++)
        if (strcmp(what.key, "climb_m") == 0)
            ck_assert_double_eq_tol(climbed, value, 0.02);
    ck_assert_double_eq_tol(last_height, 0, 1e-9);
    evn_chart_free(road);
    evn_cycle_free(cycle);
    evn_report_free(report);
}
END_TEST

static evn_cycle *cycle_of(const char *text)
{
    char path[PATH_BYTES], all[2000];
    snprintf(all, sizeof all, "name: a chart\ninvented: true\n%s", text);
    write_file("cycle.yaml", all);
    return load_cycle(in_folder(path, "cycle.yaml"));
}

START_TEST(limits_are_steps_and_stops_have_their_waits)
{
    static const double place_m[] = {0, 300, 300, 900, 900, 1000}, limit_km_h[] = {50, 50, 80, 80, 30, 30};
    evn_report *report = fresh();
    evn_cycle *cycle = cycle_of("length_m: 1000\nspeed: {place_m: [0, 300, 900], limit_km_h: [50, 80, 30]}\n"
                                "stops: {place_m: [400, 700], wait_s: [5, 12]}\n"
                                "surface: {place_m: [500], rolling_factor: [1.4]}\n");
    evn_chart *limits = NULL, *stops = NULL, *road = NULL;
    ck_assert_int_eq(evn_chart_of_limits(cycle, &limits, report), EVN_DONE);
    ck_assert_uint_eq(evn_chart_row_count(limits), 6);
    for (size_t row = 0; row < 6; row++) {
        ck_assert_double_eq_tol(cell(limits, row, "place_m"), place_m[row], 1e-9);
        ck_assert_double_eq_tol(cell(limits, row, "limit_km_h"), limit_km_h[row], 1e-9);
    }
    ck_assert_int_eq(evn_chart_of_stops(cycle, &stops, report), EVN_DONE);
    ck_assert_uint_eq(evn_chart_row_count(stops), 2);
    ck_assert_double_eq_tol(cell(stops, 0, "place_m"), 400, 1e-9);
    ck_assert_double_eq_tol(cell(stops, 1, "wait_s"), 12, 1e-9);
    ck_assert_int_eq(evn_chart_of_road(cycle, &road, report), EVN_DONE);
    for (size_t row = 0; row < evn_chart_row_count(road); row++)
        ck_assert_double_eq(cell(road, row, "elevation_m"), 0);
    ck_assert_double_eq(cell(road, 0, "rolling_factor"), 1);
    ck_assert_double_eq(cell(road, evn_chart_row_count(road) - 1, "rolling_factor"), 1.4);
    evn_chart_free(limits);
    evn_chart_free(stops);
    evn_chart_free(road);
    evn_cycle_free(cycle);
    evn_report_free(report);
}
END_TEST

/* v is straight over time: over place its square is, and each row lies on that line. */
START_TEST(speeds_over_time_are_shown_over_place)
{
    evn_report *report = fresh();
    evn_cycle *cycle = cycle_of("speed: {time_s: [0, 20, 30, 50], speed_km_h: [0, 72, 72, 0]}\n");
    evn_chart *speeds = NULL;
    ck_assert_int_eq(evn_chart_of_limits(cycle, &speeds, report), EVN_DONE);
    size_t rows = evn_chart_row_count(speeds);
    ck_assert_uint_gt(rows, 40);
    for (size_t row = 0; row < rows; row++) {
        double s = cell(speeds, row, "place_m"), v = cell(speeds, row, "limit_km_h") / 3.6;
        double v2 = s < 200 ? 2 * s : s < 400 ? 400 : 2 * (600 - s);
        ck_assert_double_eq_tol(v * v, v2, 1e-6);
    }
    ck_assert_double_eq_tol(cell(speeds, rows - 1, "place_m"), 600, 1e-9);
    evn_chart_free(speeds);
    evn_cycle_free(cycle);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ forces */

START_TEST(force_over_speed_is_peak_torque_then_peak_power)
{
    evn_report *report = fresh();
    evn_rig *rig = rig_of(TRUCK(""), 0.5);
    evn_chart *forces = NULL;
    ck_assert_int_eq(evn_chart_of_forces(rig, &forces, report), EVN_DONE);
    for (size_t row = 0; row < evn_chart_row_count(forces); row++) {
        double v = cell(forces, row, "speed_km_h") / 3.6, w = v / RADIUS_M * RATIO;
        double nm = w > 0 ? fmin(PEAK_NM, PEAK_W / w) : PEAK_NM, pull = nm * RATIO * EFFICIENCY / RADIUS_M;
        ck_assert_double_eq_tol(cell(forces, row, "peak_driving_kn"), pull / 1e3, 1e-9 * pull);
        ck_assert_double_eq_tol(cell(forces, row, "rear.1.driving_kn"), pull / 1e3, 1e-9 * pull);
        ck_assert_double_eq_tol(cell(forces, row, "peak_braking_kn"),
                                v > 0 ? nm * RATIO / EFFICIENCY / RADIUS_M / 1e3 : 0, 1e-9 * pull);
        ck_assert(isnan(cell(forces, row, "continuous_driving_kn")));
        for (int percent = 0; percent <= 25; percent += percent == 0 ? 6 : 19) {
            char key[64];
            snprintf(key, sizeof key, "road_load.%d_percent_kn", percent);
            double slope = atan(percent / 100.0), g = 9.80665;
            double load = MASS_KG * g * (0.006 * cos(slope) + sin(slope)) + 0.5 * 1.2 * 6 * v * v;
            ck_assert_double_eq_tol(cell(forces, row, key), load / 1e3, 1e-9);
        }
    }
    size_t last = evn_chart_row_count(forces) - 1;
    ck_assert_double_eq_tol(cell(forces, last, "speed_km_h"), 4500 * PI / 30 / RATIO * RADIUS_M * 3.6, 1e-9);
    evn_chart_free(forces);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

START_TEST(tyres_and_pack_limit_the_force)
{
    evn_report *report = fresh();
    evn_rig *slippery = rig_of(TRUCK("") "adhesion: {driving: 0.2, regenerating: 0.1}\n", 0.5);
    evn_rig *weak = rig_of(TRUCK("") "battery: {discharge_limit_kw: 120, charge_limit_kw: 80}\n", 0.5);
    evn_chart *forces = NULL;
    evn_quantity what;
    double load_kg = 0;
    for (size_t k = 0; evn_rig_figure_at(slippery, k, &what, &load_kg); k++)
        if (strcmp(what.key, "axle_loads.rear.load_kg") == 0)
            break;
    ck_assert_int_eq(evn_chart_of_forces(slippery, &forces, report), EVN_DONE);
    ck_assert_double_eq_tol(cell(forces, 5, "peak_driving_kn"), 0.2 * load_kg * 9.80665e-3, 1e-9);
    ck_assert_double_eq_tol(cell(forces, 5, "peak_braking_kn"), 0.1 * load_kg * 9.80665e-3, 1e-9);
    evn_chart_free(forces);
    ck_assert_int_eq(evn_chart_of_forces(weak, &forces, report), EVN_DONE);
    for (size_t row = 40; row < evn_chart_row_count(forces); row++) {
        double v = cell(forces, row, "speed_km_h") / 3.6, w = v / RADIUS_M * RATIO;
        double nm = cell(forces, row, "peak_driving_kn") * 1e3 * RADIUS_M / RATIO / EFFICIENCY, share = nm / PEAK_NM;
        double bus = nm * w + C0_W + C1_W_S * w + C2_W_S2 * w * w + C3_W_NM2 * nm * nm + I0_W + I1_W * share +
                     I2_W * share * share;
        ck_assert_double_eq_tol(bus, 120e3, 1);
    }
    evn_chart_free(forces);
    evn_rig_free(slippery);
    evn_rig_free(weak);
    evn_report_free(report);
}
END_TEST

/* An endless climb: the force that a run holds at its steady speed is that of the chart. */
START_TEST(a_run_held_back_on_a_climb_pulls_as_the_chart_says)
{
    evn_report *report = fresh();
    evn_rig *rig = rig_of(TRUCK(""), 0.5);
    scene it = scene_of("tests/trucks/ideal.yaml", TRUCK(""),
                        "length_m: 9000\nspeed: {place_m: [0], limit_km_h: [80]}\n"
                        "road: {place_m: [0, 9000], grade_percent: [8, 8]}\n");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.load_case.air_density_kg_m3 = 1.2;
    drive run = play(&it);
    must_finish(&run);
    evn_chart *forces = NULL;
    ck_assert_int_eq(evn_chart_of_forces(rig, &forces, report), EVN_DONE);
    size_t speed = column(&run, "speed_km_h"), pull = column(&run, "wheel_force_kn"), place = column(&run, "place_m"),
           row = 0;
    const double *at = it.rows.value;
    while (at[place] < 7000)
        at += it.rows.columns;
    while (cell(forces, row + 1, "speed_km_h") < at[speed])
        row++;
    double low = cell(forces, row, "speed_km_h"), high = cell(forces, row + 1, "speed_km_h");
    double share = (at[speed] - low) / (high - low);
    double charted =
        (1 - share) * cell(forces, row, "peak_driving_kn") + share * cell(forces, row + 1, "peak_driving_kn");
    ck_assert_double_lt(at[speed], 79);
    ck_assert_double_eq_tol(charted, at[pull], 2e-4 * at[pull]);
    evn_chart_free(forces);
    evn_rig_free(rig);
    scene_end(&it, &run);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ motors */

START_TEST(a_map_holds_the_losses_of_the_file)
{
    evn_report *report = fresh();
    evn_rig *rig = rig_of(TRUCK(""), 0.5);
    evn_chart *motor = NULL;
    size_t held = 0;
    ck_assert_int_eq(evn_chart_of_motor(rig, 0, &motor, report), EVN_DONE);
    for (size_t row = 0; row < evn_chart_row_count(motor); row++) {
        double w = cell(motor, row, "speed_rpm") * PI / 30, nm = cell(motor, row, "torque_nm");
        bool beyond = fabs(nm) > (w > 0 ? fmin(PEAK_NM, PEAK_W / w) : PEAK_NM) * (1 + 1e-9);
        ck_assert_int_eq(isnan(cell(motor, row, "loss_kw")), beyond);
        if (beyond)
            continue;
        double share = fabs(nm) / PEAK_NM;
        double loss =
            C0_W + C1_W_S * w + C2_W_S2 * w * w + C3_W_NM2 * nm * nm + I0_W + I1_W * share + I2_W * share * share;
        double shaft = nm * w, bus = shaft + loss;
        ck_assert_double_eq_tol(cell(motor, row, "loss_kw"), loss / 1e3, 1e-9);
        double wanted = shaft > 0 ? shaft / bus : shaft < 0 && bus < 0 ? bus / shaft : (double)NAN;
        ck_assert_int_eq(isnan(cell(motor, row, "efficiency")), isnan(wanted));
        if (!isnan(wanted))
            ck_assert_double_eq_tol(cell(motor, row, "efficiency"), wanted, 1e-9);
        held++;
    }
    ck_assert_uint_gt(held, 800);
    evn_chart_free(motor);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

/* The coolant carries off (150 - 65) K over 7.5 K/kW with the copper at 150 degC. */
START_TEST(continuous_torque_is_what_the_coolant_carries_off)
{
    evn_report *report = fresh();
    evn_rig *rig = rig_of(TRUCK(WINDING), 0.5), *bare = rig_of(TRUCK(""), 0.5);
    evn_chart *with = NULL, *without = NULL;
    ck_assert_int_eq(evn_chart_of_envelope(rig, 0, &with, report), EVN_DONE);
    ck_assert_int_eq(evn_chart_of_envelope(bare, 0, &without, report), EVN_DONE);
    double bearable_w = (150.0 - 65) / 7.5 * 1e3, copper = C3_W_NM2 * (235.0 + 150) / (235 + 100);
    for (size_t row = 0; row < evn_chart_row_count(with); row++) {
        double w = cell(with, row, "speed_rpm") * PI / 30, peak = w > 0 ? fmin(PEAK_NM, PEAK_W / w) : PEAK_NM;
        double rest = bearable_w - C0_W - C1_W_S * w - C2_W_S2 * w * w;
        double wanted = rest > 0 ? fmin(sqrt(rest / copper), peak) : 0;
        ck_assert_double_eq_tol(cell(with, row, "peak_driving_nm"), peak, 1e-9 * peak);
        ck_assert_double_eq_tol(cell(with, row, "peak_braking_nm"), -peak, 1e-9 * peak);
        ck_assert_double_eq_tol(cell(with, row, "continuous_nm"), wanted, 1e-6 * PEAK_NM);
        ck_assert(isnan(cell(without, row, "continuous_nm")));
    }
    evn_chart_free(with);
    evn_chart_free(without);
    evn_rig_free(rig);
    evn_rig_free(bare);
    evn_report_free(report);
}
END_TEST

/* ---------------------------------------------------------------------------------------------- where the time went */

static double seconds_of(evn_chart *chart)
{
    double sum = 0;
    for (size_t row = 0; row < evn_chart_row_count(chart); row++)
        sum += cell(chart, row, "duration_s");
    evn_chart_free(chart);
    return sum;
}

START_TEST(all_time_of_a_run_is_somewhere)
{
    static const char *const trucks[] = {"tests/trucks/two-units.yaml", "tests/trucks/four-speed.yaml"};
    evn_report *report = fresh();
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(trucks[_i]);
    evn_cycle *cycle = load_cycle(HILL);
    evn_rig *rig = NULL;
    evn_results *results = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    evn_census *census = evn_census_new(rig);
    ck_assert_ptr_nonnull(census);
    evn_watcher watcher = {.self = census, .sample = evn_census_sample};
    ck_assert_int_eq(evn_drive(rig, cycle, &ask.driving, &watcher, &results, report), EVN_DONE);
    double duration;
    ck_assert(evn_results_get(results, "duration_s", &duration));
    for (size_t unit = 0; unit < evn_rig_unit_count(rig); unit++) {
        evn_chart *points = NULL, *settings = NULL;
        ck_assert_int_eq(evn_chart_of_points(census, unit, &points, report), EVN_DONE);
        ck_assert_int_eq(evn_chart_of_settings(census, unit, &settings, report), EVN_DONE);
        double shares = 0;
        for (size_t row = 0; row < evn_chart_row_count(settings); row++)
            shares += cell(settings, row, "share");
        for (size_t row = 1; row < evn_chart_row_count(points); row++)
            ck_assert_double_le(cell(points, row, "duration_s"), cell(points, row - 1, "duration_s"));
        ck_assert_double_eq_tol(shares, 1, 1e-9);
        ck_assert_double_eq_tol(seconds_of(points), duration, 1e-8 * duration);
        ck_assert_double_eq_tol(seconds_of(settings), duration, 1e-8 * duration);
        ck_assert_ptr_nonnull(evn_rig_unit_name(rig, unit));
    }
    ck_assert_ptr_null(evn_rig_unit_name(rig, evn_rig_unit_count(rig)));
    evn_census_free(census);
    evn_results_free(results);
    evn_rig_free(rig);
    evn_cycle_free(cycle);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

/* A unit with an open disconnect is at work by no motor for as long as the results say. */
START_TEST(time_disconnected_is_that_of_the_results)
{
    evn_report *report = fresh();
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT; /* changes take no time: none at work is disconnected */
    evn_truck *truck = load_truck("tests/trucks/two-units.yaml");
    evn_cycle *cycle = load_cycle(HILL);
    evn_rig *rig = NULL;
    evn_results *results = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    evn_census *census = evn_census_new(rig);
    evn_watcher watcher = {.self = census, .sample = evn_census_sample};
    ck_assert_int_eq(evn_drive(rig, cycle, &ask.driving, &watcher, &results, report), EVN_DONE);
    double open_s, idle_s = 0;
    ck_assert(evn_results_get(results, "drive_units.trailing.disconnected_s", &open_s));
    evn_chart *settings = NULL;
    ck_assert_int_eq(evn_chart_of_settings(census, 1, &settings, report), EVN_DONE);
    for (size_t row = 0; row < evn_chart_row_count(settings); row++)
        idle_s += cell(settings, row, "motors") == 0 ? cell(settings, row, "duration_s") : 0;
    ck_assert_double_gt(open_s, 10);
    ck_assert_double_eq_tol(idle_s, open_s, 1e-6 * open_s);
    evn_chart_free(settings);
    evn_census_free(census);
    evn_results_free(results);
    evn_rig_free(rig);
    evn_cycle_free(cycle);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

static evn_chart *limits_of(const char *path)
{
    evn_report *report = fresh();
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(path);
    evn_rig *rig = NULL;
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    ck_assert_int_eq(evn_chart_of_heat_limits(rig, &chart, report), EVN_DONE);
    ck_assert_uint_eq(evn_chart_row_count(chart), 1);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
    return chart;
}

/* As the files have them; what a truck does not state is not there. */
START_TEST(limits_of_temperatures_are_those_of_the_files)
{
    static const struct {
        const char *truck, *key;
        double degc;
    } rows[] = {
        {"tests/trucks/warm.yaml", "drive_units.rear.winding_derate_from_degc", 150},
        {"tests/trucks/warm.yaml", "drive_units.rear.winding_derate_to_degc", 175},
        {"tests/trucks/warm.yaml", "drive_units.rear.inverter_derate_from_degc", 90},
        {"tests/trucks/warm.yaml", "drive_units.rear.inverter_derate_to_degc", 110},
        {"tests/trucks/cooled.yaml", "coolant_limit_degc", 70},
        {"tests/trucks/cooled.yaml", "drive_units.rear.inverter_derate_from_degc", (double)NAN},
        {"tests/trucks/cooled.yaml", "axles.drive.brake_limit_degc", (double)NAN},
        {"tests/trucks/friction-brakes.yaml", "axles.front.brake_limit_degc", 400},
        {"tests/trucks/friction-brakes.yaml", "axles.trailer.brake_limit_degc", 400},
        {"tests/trucks/friction-brakes.yaml", "coolant_limit_degc", (double)NAN},
    };
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        evn_chart *chart = limits_of(rows[k].truck);
        double degc = cell(chart, 0, rows[k].key);
        ck_assert_msg(isnan(rows[k].degc) ? isnan(degc) : degc == rows[k].degc, "%s: %s is %g", rows[k].truck,
                      rows[k].key, degc);
        evn_chart_free(chart);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("chart");
    TCase *charts = tcase_create("charts");
    tcase_add_checked_fixture(charts, folder_begin, folder_end);
    tcase_add_test(charts, the_road_is_that_of_the_file);
    tcase_add_test(charts, limits_are_steps_and_stops_have_their_waits);
    tcase_add_test(charts, speeds_over_time_are_shown_over_place);
    tcase_add_test(charts, force_over_speed_is_peak_torque_then_peak_power);
    tcase_add_test(charts, tyres_and_pack_limit_the_force);
    tcase_add_test(charts, a_run_held_back_on_a_climb_pulls_as_the_chart_says);
    tcase_add_test(charts, a_map_holds_the_losses_of_the_file);
    tcase_add_test(charts, continuous_torque_is_what_the_coolant_carries_off);
    tcase_add_loop_test(charts, all_time_of_a_run_is_somewhere, 0, 2);
    tcase_add_test(charts, time_disconnected_is_that_of_the_results);
    tcase_add_test(charts, limits_of_temperatures_are_those_of_the_files);
    suite_add_tcase(suite, charts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
