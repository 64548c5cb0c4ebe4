/*
 * What a truck holds downhill and starts on, by its limits and by driving: each figure is looked for on the road, two
 * tenths of a point below it and above it. Roads of this test are written as files and driven by the public calls.
 */
#define _POSIX_C_SOURCE 200809L
#include "../published/plain_truck.h"
#include "evener/limits.h"
#include <stdarg.h>

static const char *const trucks[] = {
    "tests/vehicles/trucks/tractor-4x2-central.yaml", "tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml",
    "tests/vehicles/trucks/tractor-6x4-eaxle.yaml", "tests/vehicles/trucks/tipper-8x4-central.yaml",
    "tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml"};
enum { TRUCKS = sizeof trucks / sizeof *trucks };
static const double POINTS = 0.2;

/* ------------------------------------------------------------------------------------------------ limits */

typedef struct found {
    evn_truck *truck;
    evn_rig *rig;
    evn_limits *limits;
    evn_report *report;
} found;

static found find(const char *path, const evn_conditions *ask, bool only_forces)
{
    found f = {.report = evn_report_new()};
    const evn_limits_how how = {.only_forces = only_forces};
    evn_finding first = {.text = ""};
    evn_truck_load(path, &f.truck, f.report);
    evn_report_at(f.report, 0, &first);
    ck_assert_msg(f.truck, "%s", first.text);
    evn_rig_prepare(f.truck, &ask->load_case, &f.rig, f.report);
    ck_assert_ptr_nonnull(f.rig);
    evn_limits_find(f.rig, &ask->driving, &how, &f.limits, f.report);
    ck_assert_ptr_nonnull(f.limits);
    return f;
}

static void found_end(found *f)
{
    evn_limits_free(f->limits);
    evn_rig_free(f->rig);
    evn_truck_free(f->truck);
    evn_report_free(f->report);
}

__attribute__((format(printf, 2, 3))) static evn_limits_figure figure(const found *f, const char *key, ...)
{
    char text[200];
    va_list values;
    va_start(values, key);
    vsnprintf(text, sizeof text, key, values);
    va_end(values);
    evn_limits_figure out;
    ck_assert_msg(evn_limits_get(f->limits, text, &out), "no figure %s", text);
    return out;
}

/* ------------------------------------------------------------------------------------------------ driving */

static drive hold_downhill(const char *truck, double km_h, double seconds, double percent, const evn_conditions *ask)
{
    char path[PATH_BYTES];
    write_steady("downhill.yaml", km_h, seconds, -percent);
    return drive_files(truck, in_folder(path, "downhill.yaml"), ask);
}

static evn_conditions exact(void)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.trace_interval_s = 0.1;
    return ask;
}

/* At the end of a run, when gears are chosen. */
static double last_of(const drive *d, const char *key) { return cell(d, d->rows - 1, key); }

/* ------------------------------------------------------------------------------------------------ descents */

static double friction_kn(const char *truck, double km_h, double percent, const evn_conditions *ask)
{
    drive d = hold_downhill(truck, km_h, 3, percent, ask);
    double kn = last_of(&d, "friction_brake_force_kn");
    ck_assert_double_eq_tol(last_of(&d, "speed_km_h"), km_h, 1e-6);
    drive_end(&d);
    return kn;
}

/* Motors alone below, friction brakes above: at its end, when gears are chosen, and before the pack has filled. */
static void check_held_up_to(const char *truck, double km_h, double percent, const evn_conditions *at, const char *what)
{
    double below_kn = friction_kn(truck, km_h, percent - POINTS, at);
    double above_kn = friction_kn(truck, km_h, percent + POINTS, at);
    ck_assert_msg(below_kn < 1e-6, "%s, %s, %g km/h: friction %g kN at %g %% less", truck, what, km_h, below_kn,
                  POINTS);
    ck_assert_msg(above_kn > 0.1, "%s, %s, %g km/h: friction %g kN at %g %% more", truck, what, km_h, above_kn, POINTS);
}

START_TEST(descents_are_held_by_motors_alone_up_to_the_grade_that_is_told)
{
    static const char *const column[] = {"at_start_soc_percent", "half_charged_percent", "full_percent"};
    static const double soc[] = {(double)NAN, 0.5, 0.94}; /* of the shipped packs' windows */
    const char *truck = trucks[_i];
    evn_conditions ask = exact();
    found f = find(truck, &ask, true);
    for (int km_h = 30; km_h <= 50; km_h += 20) {
        double percent[3];
        for (int k = 0; k < 3; k++) {
            evn_limits_figure told = figure(&f, "descent.%d_km_h.%s", km_h, column[k]);
            evn_conditions at = ask;
            at.load_case.start_soc = soc[k];
            percent[k] = told.value;
            ck_assert(told.limit && told.next && told.next_value > told.value);
            check_held_up_to(truck, km_h, told.value, &at, column[k]);
        }
        ck_assert(percent[2] < percent[0] && percent[0] <= percent[1]);
        ck_assert_str_eq(figure(&f, "descent.%d_km_h.full_percent", km_h).limit, "battery_power");
    }
    found_end(&f);
}
END_TEST

/* A truck with something written over it. */
static const char *changed(char path[PATH_BYTES], const char *truck, const char *changes)
{
    char text[2000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, truck, changes);
    write_file("changed.yaml", text);
    return in_folder(path, "changed.yaml");
}

static evn_limits_figure descent_of(const char *truck, const char *changes, const evn_conditions *ask, const char *key)
{
    char path[PATH_BYTES];
    found f = find(changed(path, truck, changes), ask, true);
    evn_limits_figure told = figure(&f, "descent.%s", key);
    static char limit[40]; /* it outlives the list */
    snprintf(limit, sizeof limit, "%s", told.limit ? told.limit : "");
    told.limit = limit;
    found_end(&f);
    return told;
}

START_TEST(what_binds_a_descent_is_what_holds_it)
{
    static const char truck[] = "tests/vehicles/trucks/tractor-4x2-central.yaml";
    const struct {
        const char *changes, *key, *limit;
    } row[] = {{"", "30_km_h.half_charged_percent", "adhesion"},
               {"adhesion: {regenerating: 3}", "30_km_h.half_charged_percent", "motor_power"},
               {"adhesion: {regenerating: 3}", "30_km_h.at_start_soc_percent", "battery_power"},
               {"adhesion: {regenerating: 3}\nbattery: {charge_limit_kw: 100}", "50_km_h.half_charged_percent",
                "battery_power"},
               {"brakes: {motor_share: 0.9}", "30_km_h.half_charged_percent", "motor_share"},
               {"brakes: {regeneration: false}", "30_km_h.half_charged_percent", "off"},
               {"brakes: {fade_from_km_h: 40, fade_to_km_h: 20}", "30_km_h.half_charged_percent", "low_speed"}};
    char path[PATH_BYTES];
    evn_conditions ask = exact();
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        evn_limits_figure told = descent_of(truck, row[i].changes, &ask, row[i].key);
        evn_conditions at = ask;
        at.load_case.start_soc = strstr(row[i].key, "half") ? 0.5 : (double)NAN;
        ck_assert_msg(strcmp(told.limit, row[i].limit) == 0, "%s: %s", row[i].changes, told.limit);
        check_held_up_to(changed(path, truck, row[i].changes), atof(row[i].key), told.value, &at, row[i].changes);
    }
}
END_TEST

/* 14 rad/s at half a metre: 25 km/h. */
START_TEST(speeds_beyond_the_top_speed_are_not_held)
{
    char path[PATH_BYTES];
    evn_conditions ask = exact();
    plain_truck truck = plain_truck_of(18000);
    static const char *const key[] = {"descent.30_km_h.full_percent",        "descent.50_km_h.continuous_percent",
                                      "long_descent.type_2.regenerated_kwh", "long_descent.type_2a.below_full_percent",
                                      "braking.50_km_h.motors_kn",           "braking.80_km_h.ideal_share"};
    truck.motor = "peak_torque_nm: 1e5, peak_power_kw: 1e5, top_speed_rpm: 134, reference_voltage_v: 700";
    write_plain_truck(&truck, "slow.yaml");
    found f = find(in_folder(path, "slow.yaml"), &ask, false);
    for (size_t k = 0; k < sizeof key / sizeof *key; k++) {
        evn_limits_figure told = figure(&f, "%s", key[k]);
        ck_assert(isnan(told.value));
        ck_assert_str_eq(told.limit, "motor_speed");
    }
    ck_assert(isfinite(figure(&f, "braking.20_km_h.motors_kn").value));
    found_end(&f);
}
END_TEST

START_TEST(a_resistor_takes_what_a_full_battery_refuses_and_a_retarder_is_no_motor)
{
    static const char truck[] = "tests/vehicles/trucks/tractor-4x2-central.yaml", key[] = "50_km_h.full_percent";
    evn_conditions ask = exact();
    double bare = descent_of(truck, "", &ask, key).value;
    const char *resistor = "brake_resistor: {power_kw: 100}";
    double resisted = descent_of(truck, resistor, &ask, key).value;
    double retarded =
        descent_of(truck, "retarder: {axle: 2, braking_force_limit_kn: 20, power_limit_kw: 300}", &ask, key).value;
    /* 100 kW at 50 km/h of some 40 t: 1.8 % and what the chain loses on the way */
    ck_assert_double_gt(resisted, bare + 1.5);
    ck_assert_double_lt(resisted, bare + 2.6);
    ck_assert_double_eq_tol(retarded, bare, 0.02);
    char path[PATH_BYTES];
    evn_conditions at = ask;
    at.load_case.start_soc = 0.94;
    check_held_up_to(changed(path, truck, resistor), 50, resisted, &at, "resistor");
}
END_TEST

/* Long enough for windings to come to rest, and a pack that hardly fills meanwhile. */
START_TEST(a_descent_that_is_held_for_ever_heats_no_winding_to_its_derating)
{
    static const char truck[] = "tests/trucks/plain/tractor-4x2-central.yaml";
    static const char changes[] = "adhesion: {regenerating: 3}\n"
                                  "battery: {capacity_ah: 1e6, charge_limit_kw: 2000}";
    char path[PATH_BYTES];
    evn_conditions ask = exact();
    ask.driving.trace_interval_s = 100;
    evn_limits_figure told = descent_of(truck, changes, &ask, "50_km_h.continuous_percent");
    ck_assert_str_eq(told.limit, "winding_temperature");
    ck_assert_double_gt(told.next_value, told.value + 2 * POINTS);
    double degc[2];
    for (int k = 0; k < 2; k++) {
        drive d = hold_downhill(changed(path, truck, changes), 50, 4000, told.value + (k ? POINTS : -POINTS), &ask);
        degc[k] = result_of(&d, "peak_winding_temperature_degc");
        drive_end(&d);
    }
    evn_peak_temperature peak = {.from_degc = 150};
    ck_assert_double_lt(degc[0], peak.from_degc);
    ck_assert_double_gt(degc[1], peak.from_degc);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ long descents */

static double friction_kwh(const drive *d) { return result_of(d, "energy_balance.friction_brakes_kwh"); }

static double most_friction_kw(const drive *d)
{
    double most = 0;
    for (size_t k = 0; k < d->rows; k++)
        most = fmax(most, cell(d, k, "friction_brake_force_kn") * cell(d, k, "speed_km_h") / 3.6);
    return most;
}

static const double NO_KWH = 1e-6, SOC_POINTS = 0.002;

static void check_long_descent(const found *f, const char *truck, const char *row, double percent)
{
    const double seconds = 6 / 30.0 * 3600;
    evn_conditions ask = exact();
    evn_limits_figure below = figure(f, "long_descent.%s.below_full_percent", row);
    drive d = hold_downhill(truck, 30, seconds, percent, &ask);
    ck_assert_double_eq_tol(figure(f, "long_descent.%s.regenerated_kwh", row).value, result_of(&d, "regenerated_kwh"),
                            1e-3);
    ck_assert_double_eq_tol(figure(f, "long_descent.%s.friction_kwh", row).value, friction_kwh(&d), 2e-3);
    ck_assert_double_eq_tol(figure(f, "long_descent.%s.peak_friction_kw", row).value, most_friction_kw(&d), 1);
    drive_end(&d);
    if (isnan(below.value)) {
        ck_assert_str_ne(below.limit, "battery_power");
        return;
    }
    for (int k = 0; k < 2; k++) {
        ask.load_case.start_soc = 0.94 - below.value / 100 + (k ? SOC_POINTS : -SOC_POINTS);
        d = hold_downhill(truck, 30, seconds, percent, &ask);
        ck_assert_msg((friction_kwh(&d) > NO_KWH) == (k == 1), "%s %s: friction %g kWh from %g", truck, row,
                      friction_kwh(&d), ask.load_case.start_soc);
        drive_end(&d);
    }
}

START_TEST(long_descents_need_no_friction_brakes_from_the_charge_that_is_told)
{
    evn_conditions ask = evn_conditions_default();
    found f = find(trucks[_i], &ask, false);
    check_long_descent(&f, trucks[_i], "type_2", 6);
    check_long_descent(&f, trucks[_i], "type_2a", 7);
    double gentle = figure(&f, "long_descent.type_2.below_full_percent").value;
    ck_assert(!(figure(&f, "long_descent.type_2a.below_full_percent").value <= gentle));
    found_end(&f);
}
END_TEST

/* Full, motors get rid of nothing, and what a retarder and a resistor take is told as a run has it. */
START_TEST(what_retarder_and_resistor_take_on_a_long_descent_is_told)
{
    static const char truck[] = "tests/vehicles/trucks/tractor-4x2-central.yaml";
    static const char others[] = "retarder: {axle: 2, braking_force_limit_kn: 10, power_limit_kw: 300}\n"
                                 "brake_resistor: {power_kw: 60}";
    char path[PATH_BYTES];
    evn_conditions ask = exact();
    evn_limits_figure none;
    ask.load_case.start_soc = 0.94;
    found f = find(changed(path, truck, others), &ask, false);
    drive d = hold_downhill(path, 30, 6 / 30.0 * 3600, 6, &ask);
    double retarded = result_of(&d, "energy_balance.retarder_kwh");
    double resisted = result_of(&d, "energy_balance.brake_resistor_kwh");
    ck_assert_double_gt(retarded, 5);
    ck_assert_double_gt(resisted, 5);
    ck_assert_double_eq_tol(figure(&f, "long_descent.type_2.retarder_kwh").value, retarded, 2e-3);
    ck_assert_double_eq_tol(figure(&f, "long_descent.type_2.resistor_kwh").value, resisted, 2e-3);
    drive_end(&d);
    found_end(&f);
    f = find(truck, &ask, false);
    ck_assert(!evn_limits_get(f.limits, "long_descent.type_2.retarder_kwh", &none));
    ck_assert(!evn_limits_get(f.limits, "long_descent.type_2.resistor_kwh", &none));
    found_end(&f);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ five starts */

/* Five moves of 10 m at 5 km/h at most; the road's surface is one line of YAML, or none. */
static drive start_often(const char *truck, int starts, double wait_s, double percent, const char *surface)
{
    char cycle[900], path[PATH_BYTES];
    int length_m = 10 * starts;
    evn_conditions ask = exact();
    snprintf(cycle, sizeof cycle,
             "name: starts\ninvented: true\nlength_m: %d\nspeed: {place_m: [0], limit_km_h: [5]}\n%s"
             "road: {place_m: [0, %d], grade_percent: [%.17g, %.17g], level_beyond: true}\n%s",
             length_m, starts > 1 ? "STOPS" : "", length_m, percent, percent, surface);
    char *stops = strstr(cycle, "STOPS"), text[1100];
    if (stops)
        snprintf(text, sizeof text, "%.*sstops: {place_m: [10, 20, 30, 40], wait_s: [%.17g, %.17g, %.17g, %.17g]}\n%s",
                 (int)(stops - cycle), cycle, wait_s, wait_s, wait_s, wait_s, stops + 5);
    else
        snprintf(text, sizeof text, "%s", cycle);
    write_file("starts.yaml", text);
    return drive_files(truck, in_folder(path, "starts.yaml"), &ask);
}

static bool finished(const drive *d) { return strcmp(evn_results_status(d->results), "finished") == 0; }

static bool starts_five_times(const char *truck, double percent, const char *surface)
{
    drive d = start_often(truck, 1, 0, percent, surface);
    double once_s = finished(&d) ? result_of(&d, "duration_s") : (double)INFINITY;
    drive_end(&d);
    if (once_s > 60)
        return false;
    d = start_often(truck, 5, 60 - once_s, percent, surface);
    bool does = finished(&d) && result_of(&d, "duration_s") <= 300;
    drive_end(&d);
    return does;
}

static void check_starts(const char *truck, const evn_limits_figure *five, const char *surface)
{
    ck_assert_msg(starts_five_times(truck, five->value - POINTS, surface), "%s: %s less", truck, five->what.key);
    ck_assert_msg(!starts_five_times(truck, five->value + POINTS, surface), "%s: %s more", truck, five->what.key);
}

START_TEST(a_truck_starts_five_times_up_to_the_grade_that_is_told)
{
    evn_conditions ask = evn_conditions_default();
    found f = find(trucks[_i], &ask, false);
    const struct {
        const char *row, *surface;
    } on[] = {{"as_stated", ""},
              {"dry", "surface: {place_m: [0], kind: [dry]}\n"},
              {"soil", "surface: {place_m: [0], kind: [soil]}\n"},
              {"snow", "surface: {place_m: [0], kind: [snow]}\n"}};
    for (size_t k = 0; k < sizeof on / sizeof *on; k++) {
        evn_limits_figure once = figure(&f, "start.%s.once_percent", on[k].row);
        evn_limits_figure five = figure(&f, "start.%s.five_percent", on[k].row);
        ck_assert_double_le(five.value, once.value);
        check_starts(trucks[_i], &five, on[k].surface);
    }
    ck_assert_double_le(figure(&f, "start.snow.five_percent").value, figure(&f, "start.wet.five_percent").value);
    ck_assert_double_le(figure(&f, "start.wet.five_percent").value, figure(&f, "start.dry.five_percent").value);
    found_end(&f);
}
END_TEST

/* Motors that get hot in half a minute, and cool within the waits or do not: heat binds, and waits count. */
START_TEST(windings_that_cannot_cool_in_the_waits_bind_five_starts)
{
    static const char truck[] = "tests/trucks/plain/tractor-4x2-central.yaml";
    static const char *const changes[] = {
        "adhesion: {driving: 3}\ndrive_units: {rear: {motors: {a: {winding: {time_constant_s: 120, "
        "resistance_k_per_kw: 20}}}}}",
        "adhesion: {driving: 3}\ndrive_units: {rear: {motors: {a: {winding: {time_constant_s: 20, "
        "resistance_k_per_kw: 3.4}}}}}"};
    char path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    for (int k = 0; k < 2; k++) {
        const char *hot = changed(path, truck, changes[k]);
        found f = find(hot, &ask, false);
        evn_limits_figure once = figure(&f, "start.as_stated.once_percent");
        evn_limits_figure five = figure(&f, "start.as_stated.five_percent");
        ck_assert_str_eq(five.limit, "winding_temperature");
        ck_assert_double_lt(five.value, once.value - (k == 0 ? 1 : 0.1));
        check_starts(hot, &five, "");
        found_end(&f);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ reversing */

#define TYRE(coefficient) "tyre: {rolling_resistance_coefficient: " coefficient ", rolling_radius_m: 0.5}"
#define UNIT(axle, machine_m)                                                                                          \
    "drive_units: {rear: {axles: [" axle "], motors: {motor: {peak_torque_nm: 3e3, peak_power_kw: 1e4, "               \
    "top_speed_rpm: 1e5, reference_voltage_v: 700, mass_kg: 300}}, machine_behind_front_axle_m: " machine_m            \
    ", machine_height_m: 0.7, path: [final_drive: {ratio: 12, efficiency: 0.95}]}}\n"
#define REST                                                                                                           \
    "battery: {capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, "                    \
    "discharge_limit_kw: 1e5, charge_limit_kw: 1e5, start_soc: 0.5}\n"

/* Front and rear exchanged: axles, tyres, centres of gravity; what led follows. */
static const char as_it_is[] =
    "name: lorry\ninvented: true\n"
    "body: {mass_kg: 8000, centre_behind_front_axle_m: 1.4, centre_height_m: 1.1, "
    "drag_area_m2: 5}\n"
    "axles:\n"
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, mass_kg: 600, " TYRE(
        "0.006") "}\n"
                 "  rear: {behind_front_axle_m: 4.2, support: rear, tyres: 4, mass_kg: 900, " TYRE(
                     "0.009") "}\n"
                              "payload: {mass_kg: 9000, centre_behind_m: 3.4, centre_height_m: 1.7}\n" UNIT("2", "3")
                                  REST;
static const char mirrored[] =
    "name: lorry\ninvented: true\n"
    "body: {mass_kg: 8000, centre_behind_front_axle_m: 2.8, centre_height_m: 1.1, "
    "drag_area_m2: 5}\n"
    "axles:\n"
    "  rear: {behind_front_axle_m: 0, support: front, tyres: 4, mass_kg: 900, " TYRE(
        "0.009") "}\n"
                 "  front: {behind_front_axle_m: 4.2, support: rear, tyres: 2, mass_kg: 600, " TYRE(
                     "0.006") "}\n"
                              "payload: {mass_kg: 9000, centre_behind_m: 0.8, centre_height_m: 1.7}\n" UNIT("1", "1.2")
                                  REST;

START_TEST(reversing_is_driving_the_mirrored_truck_forwards)
{
    static const char *const row[] = {"as_stated", "dry", "wet", "gravel", "soil", "snow"};
    char path[PATH_BYTES], mirror_path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    write_file("lorry.yaml", as_it_is);
    write_file("mirrored.yaml", mirrored);
    found f = find(in_folder(path, "lorry.yaml"), &ask, false);
    found m = find(in_folder(mirror_path, "mirrored.yaml"), &ask, false);
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        double back = figure(&f, "start.%s.reversing_percent", row[k]).value;
        double back_five = figure(&f, "start.%s.reversing_five_percent", row[k]).value;
        ck_assert_double_eq_tol(back, figure(&m, "start.%s.once_percent", row[k]).value, 1e-6);
        ck_assert_double_eq_tol(back_five, figure(&m, "start.%s.five_percent", row[k]).value, 1e-6);
        ck_assert_double_eq_tol(figure(&m, "start.%s.reversing_percent", row[k]).value,
                                figure(&f, "start.%s.once_percent", row[k]).value, 1e-6);
        ck_assert_double_eq_tol(figure(&m, "start.%s.reversing_five_percent", row[k]).value,
                                figure(&f, "start.%s.five_percent", row[k]).value, 1e-6);
    }
    evn_limits_figure five = figure(&f, "start.wet.reversing_five_percent");
    ck_assert_str_eq(five.limit, "adhesion");
    ck_assert_double_lt(five.value, figure(&f, "start.wet.five_percent").value - 3);
    check_starts(mirror_path, &five, "surface: {place_m: [0], kind: [wet]}\n");
    found_end(&f);
    found_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ more and less */

START_TEST(more_payload_is_never_easier)
{
    const char *truck = trucks[_i];
    double descent = (double)INFINITY, start = (double)INFINITY;
    for (int t = 4; t <= 20; t += 4) {
        evn_conditions ask = exact();
        ask.load_case.payload_kg = 1000.0 * t;
        ask.load_case.start_soc = 0.94;
        found f = find(truck, &ask, true);
        double now = figure(&f, "descent.30_km_h.at_start_soc_percent").value;
        double starts = figure(&f, "start.as_stated.once_percent").value;
        evn_limits_figure s = figure(&f, "start.as_stated.once_percent");
        /* where the battery or the motors bind: more load on driven axles lets them carry more */
        ck_assert_double_le(now, descent);
        if (strcmp(s.limit, "motor_torque") == 0)
            ck_assert_double_le(starts, start);
        descent = now;
        start = starts;
        found_end(&f);
    }
}
END_TEST

/* Kinds of ground from little adhesion to much; dry and wet roll alike, so that the same road is driven. */
START_TEST(more_adhesion_is_never_worse)
{
    static const evn_surface grounds[] = {EVN_SURFACE_SNOW, EVN_SURFACE_WET, EVN_SURFACE_DRY};
    double descent = 0, braking = 0;
    for (int k = 0; k < 3; k++) {
        evn_conditions ask = exact();
        ask.load_case.start_soc = 0.5;
        ask.driving.surface = grounds[k];
        found f = find(trucks[_i], &ask, true);
        double descends = figure(&f, "descent.30_km_h.at_start_soc_percent").value;
        double brakes = figure(&f, "braking.30_km_h.motors_kn").value;
        ck_assert_double_ge(descends, descent);
        ck_assert_double_ge(brakes, braking);
        if (k > 0)
            check_held_up_to(trucks[_i], 30, descends, &ask, "ground");
        descent = descends;
        braking = brakes;
        found_end(&f);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ braking */

/* Slowing through a speed at a deceleration, on the level: friction brakes there? */
static double friction_slowing_kn(const char *truck, double km_h, double decel_m_s2, const evn_conditions *ask)
{
    char text[400], path[PATH_BYTES];
    double from = fmin(km_h + 20, 84), to = km_h - 4;
    snprintf(text, sizeof text,
             "name: slowing\ninvented: true\nspeed: {time_s: [0, 3, %.17g], speed_km_h: [%.17g, "
             "%.17g, %.17g]}\n",
             3 + (from - to) / 3.6 / decel_m_s2, from, from, to);
    write_file("slowing.yaml", text);
    drive d = drive_files(truck, in_folder(path, "slowing.yaml"), ask);
    double kn = cell_where(&d, "speed_km_h", km_h, "friction_brake_force_kn");
    drive_end(&d);
    return kn;
}

START_TEST(motors_alone_slow_the_truck_by_the_deceleration_that_is_told)
{
    static const int speeds_km_h[] = {20, 30, 50, 80};
    const char *truck = trucks[_i];
    evn_conditions ask = exact();
    ask.driving.trace_interval_s = 0.02;
    found f = find(truck, &ask, true);
    for (size_t k = 0; k < 4; k++) {
        evn_limits_figure told = figure(&f, "braking.%d_km_h.deceleration_m_s2", speeds_km_h[k]);
        double gentle = friction_slowing_kn(truck, speeds_km_h[k], 0.93 * told.value, &ask);
        double hard = friction_slowing_kn(truck, speeds_km_h[k], 1.05 * told.value, &ask);
        ck_assert_msg(gentle < 1e-3 && hard > 0.1, "%s %d km/h: %g, %g kN", truck, speeds_km_h[k], gentle, hard);
    }
    found_end(&f);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("descents");
    TCase *tests = tcase_create("descents");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, descents_are_held_by_motors_alone_up_to_the_grade_that_is_told, 0, TRUCKS);
    tcase_add_test(tests, what_binds_a_descent_is_what_holds_it);
    tcase_add_test(tests, speeds_beyond_the_top_speed_are_not_held);
    tcase_add_test(tests, a_resistor_takes_what_a_full_battery_refuses_and_a_retarder_is_no_motor);
    tcase_add_test(tests, a_descent_that_is_held_for_ever_heats_no_winding_to_its_derating);
    tcase_add_loop_test(tests, long_descents_need_no_friction_brakes_from_the_charge_that_is_told, 0, TRUCKS);
    tcase_add_test(tests, what_retarder_and_resistor_take_on_a_long_descent_is_told);
    tcase_add_loop_test(tests, a_truck_starts_five_times_up_to_the_grade_that_is_told, 0, TRUCKS);
    tcase_add_test(tests, windings_that_cannot_cool_in_the_waits_bind_five_starts);
    tcase_add_test(tests, reversing_is_driving_the_mirrored_truck_forwards);
    tcase_add_loop_test(tests, more_payload_is_never_easier, 0, TRUCKS);
    tcase_add_loop_test(tests, more_adhesion_is_never_worse, 0, TRUCKS);
    tcase_add_loop_test(tests, motors_alone_slow_the_truck_by_the_deceleration_that_is_told, 0, TRUCKS);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
