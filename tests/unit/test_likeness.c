/* Likeness: its table, what a truck has in it held against hand formulas, the verdict; trucks made equal. */
#define _XOPEN_SOURCE 700
#include "core/units.h"
#include "evener/keys.h"
#include "folder.h"
#include "lineup/likeness.h"
#include "show/names.h"
#include "trip_probe.h"

#define DEMO "tests/vehicles/lineups/demo.yaml"
#define IDEAL "tests/trucks/ideal.yaml"
#define CENTRAL "tests/vehicles/trucks/tractor-4x2-central.yaml"
#define EAXLE "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"

typedef struct meeting { /* one comparison */
    evn_report *report;
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_status status;
} meeting;

static meeting compare(const char *path, const char *const *set, evn_equal equal)
{
    meeting m = {.report = evn_report_new()};
    const evn_load how = {.set = set};
    ck_assert_msg(evn_lineup_load_with(path, &how, &m.lineup, m.report) == EVN_DONE, "%s", first_finding(m.report));
    evn_conditions ask = evn_lineup_ask(m.lineup);
    m.status = evn_compare(m.lineup, &ask, &(evn_compare_how){.equal = equal}, &m.comparison, m.report);
    return m;
}

/* Two trucks on the hill, with the payloads of their files. */
static meeting compare_two(const char *first, const char *second, const char *const *set, evn_equal equal)
{
    char here[300], text[2000], path[PATH_BYTES];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "name: a test\ninvented: true\ncycle: {use: %s/%s}\ntrucks:\n  first: {use: %s/%s}\n  second: {use: "
             "%s/%s}\n",
             here, HILL, here, first, here, second);
    write_file("pair.yaml", text);
    return compare(in_folder(path, "pair.yaml"), set, equal);
}

/* Of one file, the second with something set. */
static meeting compare_pair(const char *truck, const char *const *set, evn_equal equal)
{
    return compare_two(truck, truck, set, equal);
}

static void meeting_end(meeting *m)
{
    evn_comparison_free(m->comparison);
    evn_lineup_free(m->lineup);
    evn_report_free(m->report);
}

static evn_likeness likeness_of(const meeting *m, size_t truck, evn_likeness_place row)
{
    evn_likeness is;
    ck_assert(evn_comparison_likeness_at(m->comparison, truck, row, &is));
    return is;
}

static double value_of(const meeting *m, size_t truck, evn_likeness_place row)
{
    return likeness_of(m, truck, row).value;
}

static evn_equalised given_to(const meeting *m, size_t truck)
{
    evn_equalised given;
    ck_assert(evn_comparison_equalised(m->comparison, truck, &given));
    return given;
}

static void ck_is_near(double value, double expected, double relative)
{
    ck_assert_msg(fabs(value - expected) <= relative * fabs(expected), "%.12g for %.12g", value, expected);
}

/* ------------------------------------------------------------------------------------------------ the table */

/* Written down here once more: what is alike must not become something else unseen. All of them are common practice,
 * no source; LIKENESS.md argues for them. */
static const struct {
    const char *key;
    double tolerance;
    bool of_first;
} expected[] = {
    {"peak_wheel_power_kw", 0.03, true},
    {"continuous_wheel_power_kw", 0.03, true},
    {"force_from_rest_kn", 0.1, true},
    {"speed_on_3_percent_km_h", 0.03, true},
    {"installed_motor_power_kw", 0.06, true},
    {"driven_axles", 0, false},
    {"axles", 0, false},
    {"rolling_resistance_coefficient", 0.005, true},
    {"driven_rolling_radius_m", 0.005, true},
    {"hub_drag_n", 0.05, true},
    {"drag_area_m2", 0.005, true},
    {"auxiliaries_kw", 0.005, true},
    {"take_off_work_kwh", 0.005, true},
    {"usable_battery_kwh", 0.005, true},
    {"battery_resistance_ohm", 0.005, true},
    {"battery_discharge_kw", 0.005, true},
    {"battery_charge_kw", 0.005, true},
    {"payload_kg", 0.5, false},
    {"gross_mass_kg", 0.5, false},
};

START_TEST(the_table_holds_these_rows_with_these_tolerances)
{
    evn_likeness_row row;
    ck_assert_uint_eq(sizeof expected / sizeof *expected, EVN_LIKENESS_COUNT);
    for (size_t k = 0; k < EVN_LIKENESS_COUNT; k++) {
        ck_assert(evn_likeness_row_at(k, &row));
        ck_assert_str_eq(row.what.key, expected[k].key);
        ck_assert_double_eq(row.tolerance, expected[k].tolerance);
        ck_assert_int_eq(row.of_first, expected[k].of_first);
        ck_assert(row.source && row.source[0] && row.what.label[0] && row.what.help[0]);
    }
    ck_assert(!evn_likeness_row_at(EVN_LIKENESS_COUNT, &row));
}
END_TEST

static bool is_alike(size_t row, double value, double first, evn_equal by)
{
    evn_likeness_of_truck own = {{0}, {0}}, other = {{0}, {0}};
    own.value[row] = value;
    other.value[row] = first;
    return evn_likeness_judge(row, &own, &other, by).alike;
}

START_TEST(the_verdict_of_each_row_flips_at_its_tolerance)
{
    const double first = 40, inside = 1 - 1e-9, outside = 1 + 1e-9;
    for (size_t k = 0; k < EVN_LIKENESS_COUNT; k++) {
        evn_equal by = k == EVN_LIKENESS_GROSS_MASS ? EVN_EQUAL_GROSS : EVN_EQUAL_POWER;
        double reach = expected[k].tolerance * (expected[k].of_first ? first : 1);
        for (int sign = -1; sign <= 1; sign += 2) {
            ck_assert_msg(is_alike(k, first + sign * reach * inside, first, by), "%s", expected[k].key);
            double beyond = reach > 0 ? reach * outside : 1;
            ck_assert_msg(!is_alike(k, first + sign * beyond, first, by), "%s", expected[k].key);
        }
        ck_assert(is_alike(k, (double)NAN, (double)NAN, by)); /* of both nothing is known */
        ck_assert(!is_alike(k, (double)NAN, first, by) && !is_alike(k, first, (double)NAN, by));
    }
}
END_TEST

START_TEST(of_payload_and_gross_mass_the_one_in_common_is_judged)
{
    ck_assert(!is_alike(EVN_LIKENESS_PAYLOAD, 1, 2, EVN_EQUAL_PAYLOAD));
    ck_assert(!is_alike(EVN_LIKENESS_PAYLOAD, 1, 2, EVN_EQUAL_POWER));
    ck_assert(is_alike(EVN_LIKENESS_PAYLOAD, 1, 2, EVN_EQUAL_GROSS));
    ck_assert(is_alike(EVN_LIKENESS_GROSS_MASS, 1, 2, EVN_EQUAL_PAYLOAD));
    ck_assert(is_alike(EVN_LIKENESS_GROSS_MASS, 1, 2, EVN_EQUAL_POWER));
    ck_assert(!is_alike(EVN_LIKENESS_GROSS_MASS, 1, 2, EVN_EQUAL_GROSS));
}
END_TEST

/* ------------------------------------------------------------------------------------------------ by hand */

#define OF_SECOND "trucks.second."
#define MOTOR OF_SECOND "drive_units.rear.motors.a."

/*
 * One gear, ratio i = 10 of efficiency 0.96, drag D = 50 Nm at the wheels, motor of T = 1900 Nm and P = 300 kW at the
 * battery's voltage, wheels of r = 0.5 m. Most power at the wheels is that at base speed P/T, beyond which the drag
 * alone takes more: P eta - D (P/T)/i, at (P/T)/i r. From rest (T i eta - D)/r.
 */
static const char *const one_gear[] = {MOTOR "peak_torque_nm=1900",
                                       MOTOR "peak_power_kw=300",
                                       MOTOR "reference_voltage_v=700",
                                       OF_SECOND "drive_units.rear.path[0].final_drive.efficiency=0.96",
                                       OF_SECOND "drive_units.rear.path[0].final_drive.drag={at: wheel_side, "
                                                 "speed_rpm: [0, 600], torque_nm: [50, 50]}",
                                       NULL};

START_TEST(wheel_power_of_a_truck_with_one_gear_is_that_of_a_hand_formula)
{
    const double base_rad_s = 300e3 / 1900, wheel_rad_s = base_rad_s / 10;
    meeting m = compare_pair(IDEAL, one_gear, EVN_EQUAL_AS_LINEUP);
    evn_likeness peak = likeness_of(&m, 1, EVN_LIKENESS_PEAK_WHEEL_POWER);
    ck_is_near(peak.value, (300e3 * 0.96 - 50 * wheel_rad_s) / 1e3, 1e-7);
    ck_is_near(peak.at_km_h, wheel_rad_s * 0.5 * 3.6, 1e-6);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_FORCE_FROM_REST), (1900 * 10 * 0.96 - 50) / 0.5 / 1e3, 1e-9);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_INSTALLED_POWER), 300, 1e-12);
    ck_assert(isnan(value_of(&m, 1, EVN_LIKENESS_CONTINUOUS_WHEEL_POWER))); /* of its heat nothing is stated */
    ck_assert(!peak.alike && !evn_comparison_is_alike(m.comparison, 1));
    meeting_end(&m);
}
END_TEST

/* The battery gives 200 kW less 5 kW of auxiliaries to motors without loss: eta of it at the wheels. */
START_TEST(a_weak_battery_holds_wheel_power)
{
    const char *set[] = {MOTOR "peak_power_kw=300",
                         MOTOR "reference_voltage_v=700",
                         OF_SECOND "drive_units.rear.path[0].final_drive.efficiency=0.96",
                         OF_SECOND "battery.discharge_limit_kw=200",
                         OF_SECOND "auxiliaries={power_kw: 5}",
                         NULL};
    meeting m = compare_pair(IDEAL, set, EVN_EQUAL_AS_LINEUP);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_PEAK_WHEEL_POWER), (200 - 5) * 0.96, 1e-6);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_AUXILIARIES), 5, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_DISCHARGE_LIMIT), 200, 1e-12);
    meeting_end(&m);
}
END_TEST

/* What only speeds beyond 90 km/h would give does not count: below base speed power goes with speed. */
START_TEST(wheel_power_is_asked_up_to_90_km_h)
{
    const char *set[] = {MOTOR "peak_torque_nm=500", MOTOR "peak_power_kw=900", MOTOR "reference_voltage_v=700", NULL};
    meeting m = compare_pair(IDEAL, set, EVN_EQUAL_AS_LINEUP);
    evn_likeness peak = likeness_of(&m, 1, EVN_LIKENESS_PEAK_WHEEL_POWER);
    ck_is_near(peak.value, 500 * 10 / 0.5 * 25 / 1e3, 1e-9);
    ck_is_near(peak.at_km_h, 90, 1e-9);
    meeting_end(&m);
}
END_TEST

START_TEST(tyres_cut_the_force_from_rest)
{
    const char *set[] = {OF_SECOND "adhesion.driving=0.3", NULL};
    meeting m = compare_pair(IDEAL, set, EVN_EQUAL_AS_LINEUP);
    evn_quantity what;
    double load_kg = 0, value;
    const evn_rig *rig = evn_comparison_rig(m.comparison, 1);
    for (size_t i = 0; evn_rig_figure_at(rig, i, &what, &value); i++)
        if (strcmp(what.key, "axle_loads.rear.load_kg") == 0)
            load_kg = value;
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_FORCE_FROM_REST), 0.3 * load_kg * 9.80665 / 1e3, 1e-9);
    meeting_end(&m);
}
END_TEST

/* T over r at 80 km/h, of a line from 12 Nm at rest to 20 Nm at 600 rpm, of a path's wheel end and of an axle's key; a
 * hub reduction's drag is the layout's own. */
START_TEST(hub_drag_counts_bearings_of_all_wheels_and_no_hub_reduction)
{
    const double rad_s = 80 / 3.6 / 0.5, each_n = (12 + 8 * rad_s * 30 / EVN_PI / 600) / 0.5;
#define LINE "speed_rpm: [0, 600], torque_nm: [12, 20]}"
    static const struct {
        const char *path, *front;
        double axles;
    } cases[] = {
        {"[{final_drive: {ratio: 10, efficiency: 1}}, {wheel_end: {drag: {at: wheel_side, " LINE "}}]", NULL, 1},
        {"[{final_drive: {ratio: 10, efficiency: 1}}, {wheel_end: {drag: {at: wheel_side, " LINE "}}]",
         OF_SECOND "axles.front.hub_drag={" LINE, 2},
        {"[{final_drive: {ratio: 5, efficiency: 1}}, {wheel_end: {ratio: 2, drag: {at: wheel_side, " LINE "}}]", NULL,
         0}};
#undef LINE
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char path[400];
        snprintf(path, sizeof path, OF_SECOND "drive_units.rear.path=%s", cases[k].path);
        const char *set[] = {path, cases[k].front, NULL};
        meeting m = compare_pair(IDEAL, set, EVN_EQUAL_AS_LINEUP);
        ck_assert_double_eq_tol(value_of(&m, 1, EVN_LIKENESS_HUB_DRAG), cases[k].axles * each_n, 1e-9);
        ck_assert_double_eq(value_of(&m, 0, EVN_LIKENESS_HUB_DRAG), 0);
        meeting_end(&m);
    }
}
END_TEST

START_TEST(body_tyres_and_battery_are_those_of_the_file)
{
    const char *set[] = {OF_SECOND "body.drag_area_m2=6.1",
                         OF_SECOND "axles.rear.tyre.rolling_radius_m=0.52",
                         OF_SECOND "axles.rear.tyre.rolling_resistance_coefficient=0.007",
                         OF_SECOND "axles.front.tyre.rolling_resistance_coefficient=0.007",
                         OF_SECOND "battery.usable_from_soc=0.1",
                         OF_SECOND "battery.resistance_ohm=0.03",
                         OF_SECOND "payload.mass_kg=8000",
                         NULL};
    meeting m = compare_pair(IDEAL, set, EVN_EQUAL_AS_LINEUP);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_DRAG_AREA), 6.1, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_ROLLING_RADIUS), 0.52, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_ROLLING_RESISTANCE), 0.007, 1e-9);
    ck_is_near(value_of(&m, 0, EVN_LIKENESS_USABLE_ENERGY), 1000 * 700 / 1e3, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_USABLE_ENERGY), 0.9 * 1000 * 700 / 1e3, 1e-9);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_BATTERY_RESISTANCE), 0.03, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_PAYLOAD), 8000, 1e-12);
    ck_is_near(value_of(&m, 0, EVN_LIKENESS_GROSS_MASS) - value_of(&m, 1, EVN_LIKENESS_GROSS_MASS), 1000, 1e-9);
    ck_assert(!likeness_of(&m, 1, EVN_LIKENESS_USABLE_ENERGY).alike && !likeness_of(&m, 1, EVN_LIKENESS_PAYLOAD).alike);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ verdicts */

START_TEST(two_identical_trucks_are_alike)
{
    meeting m = compare_pair(CENTRAL, NULL, EVN_EQUAL_AS_LINEUP);
    for (size_t k = 0; k < EVN_LIKENESS_COUNT; k++) {
        evn_likeness is = likeness_of(&m, 1, (evn_likeness_place)k);
        ck_assert(is.alike && is.value == is.first && !isnan(is.value));
    }
    ck_assert(evn_comparison_is_alike(m.comparison, 0) && evn_comparison_is_alike(m.comparison, 1));
    meeting_end(&m);
}
END_TEST

/* 480 against 380 kW of motors; tyres, body, battery and load are one. */
START_TEST(of_the_demo_power_is_what_is_not_alike)
{
    static const evn_likeness_place unlike[] = {EVN_LIKENESS_PEAK_WHEEL_POWER, EVN_LIKENESS_CONTINUOUS_WHEEL_POWER,
                                                EVN_LIKENESS_SPEED_ON_3_PERCENT, EVN_LIKENESS_INSTALLED_POWER};
    meeting m = compare(DEMO, NULL, EVN_EQUAL_AS_LINEUP);
    size_t found = 0;
    for (size_t k = 0; k < EVN_LIKENESS_COUNT; k++)
        if (!likeness_of(&m, 1, (evn_likeness_place)k).alike) {
            ck_assert_uint_lt(found, sizeof unlike / sizeof *unlike);
            ck_assert_uint_eq(k, unlike[found++]);
        }
    ck_assert_uint_eq(found, sizeof unlike / sizeof *unlike);
    ck_assert(evn_comparison_is_alike(m.comparison, 0) && !evn_comparison_is_alike(m.comparison, 1));
    ck_is_near(value_of(&m, 0, EVN_LIKENESS_INSTALLED_POWER), 380, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_INSTALLED_POWER), 480, 1e-12);
    evn_limits_figure held;
    ck_assert(
        evn_limits_get(evn_comparison_limits(m.comparison, 0), "deciding.speed_on_3_percent.balanced_km_h", &held));
    ck_assert_double_eq(value_of(&m, 0, EVN_LIKENESS_SPEED_ON_3_PERCENT), held.value);
    ck_assert(
        evn_limits_get(evn_comparison_limits(m.comparison, 1), "deciding.speed_on_3_percent.balanced_km_h", &held));
    ck_assert_double_gt(held.value, 90); /* the limiter's */
    ck_assert_double_eq(value_of(&m, 1, EVN_LIKENESS_SPEED_ON_3_PERCENT), 90);
    meeting_end(&m);
}
END_TEST

START_TEST(a_truck_that_cannot_be_prepared_is_not_judged)
{
    const char *set[] = {"load_case.start_soc=0.05", "trucks.second.battery.usable_from_soc=0.1", NULL};
    meeting m = compare_pair(IDEAL, set, EVN_EQUAL_AS_LINEUP);
    evn_likeness is;
    ck_assert_ptr_nonnull(m.comparison);
    ck_assert_ptr_null(evn_comparison_rig(m.comparison, 1));
    ck_assert(!evn_comparison_likeness_at(m.comparison, 1, 0, &is) && !evn_comparison_is_alike(m.comparison, 1));
    ck_assert(evn_comparison_likeness_at(m.comparison, 0, 0, &is) && evn_comparison_is_alike(m.comparison, 0));
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ made equal */

static double energy_of(const meeting *m, evn_basis basis)
{
    double kwh = (double)NAN;
    evn_results_get(evn_outcome_results(evn_comparison_outcome(m->comparison, 1, basis)), "battery_kwh", &kwh);
    ck_assert(!isnan(kwh));
    return kwh;
}

/* To the bit: what was changed in memory is what a file with that value set beside it is. */
static void ck_same_energy(const meeting *m, const meeting *stated)
{
    for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
        ck_assert_double_eq(energy_of(m, (evn_basis)basis), energy_of(stated, (evn_basis)basis));
}

START_TEST(equal_gross_gives_the_payload_that_the_kerb_mass_leaves)
{
    meeting as_is = compare(DEMO, NULL, EVN_EQUAL_AS_LINEUP), m = compare(DEMO, NULL, EVN_EQUAL_GROSS);
    double first_kg = value_of(&as_is, 0, EVN_LIKENESS_GROSS_MASS);
    double kerb_kg = value_of(&as_is, 1, EVN_LIKENESS_GROSS_MASS) - value_of(&as_is, 1, EVN_LIKENESS_PAYLOAD);
    ck_assert(given_to(&as_is, 1).by == EVN_EQUAL_PAYLOAD && isnan(given_to(&as_is, 1).payload_kg));
    ck_assert(given_to(&m, 0).by == EVN_EQUAL_GROSS && isnan(given_to(&m, 0).payload_kg));
    ck_is_near(given_to(&m, 1).payload_kg, first_kg - kerb_kg, 1e-12);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_GROSS_MASS), first_kg, 1e-12);
    ck_assert(likeness_of(&m, 1, EVN_LIKENESS_GROSS_MASS).alike && likeness_of(&m, 1, EVN_LIKENESS_GROSS_MASS).judged);
    ck_assert(likeness_of(&m, 1, EVN_LIKENESS_PAYLOAD).alike && !likeness_of(&m, 1, EVN_LIKENESS_PAYLOAD).judged);
    ck_assert_double_gt(fabs(energy_of(&m, EVN_BASIS_OWN) - energy_of(&as_is, EVN_BASIS_OWN)), 1e-4);
    meeting_end(&as_is);
    meeting_end(&m);
}
END_TEST

START_TEST(equal_gross_is_the_truck_whose_file_states_that_payload)
{
    char payload[64];
    meeting m = compare_two(CENTRAL, EAXLE, NULL, EVN_EQUAL_GROSS);
    snprintf(payload, sizeof payload, "trucks.second.payload.mass_kg=%.17g", given_to(&m, 1).payload_kg);
    meeting stated = compare_two(CENTRAL, EAXLE, (const char *[]){payload, NULL}, EVN_EQUAL_PAYLOAD);
    ck_same_energy(&m, &stated);
    meeting_end(&stated);
    meeting_end(&m);
}
END_TEST

/* Without losses power at the wheels is that of the motors: 300 kW for 240 is 1.25 times the torque. */
START_TEST(equal_power_scales_motors_without_losses_by_the_ratio_of_their_powers)
{
    const char *set[] = {"trucks.first.drive_units.rear.motors.a.peak_power_kw=300",
                         "trucks.first.drive_units.rear.motors.a.reference_voltage_v=700", MOTOR "peak_power_kw=240",
                         MOTOR "reference_voltage_v=700", NULL};
    meeting m = compare_pair(IDEAL, set, EVN_EQUAL_POWER);
    ck_assert_msg(m.comparison, "%s", first_finding(m.report));
    ck_assert_double_eq(given_to(&m, 0).torque_scale, 1);
    ck_is_near(given_to(&m, 1).torque_scale, 1.25, 1e-8);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_PEAK_WHEEL_POWER), 300, 1e-8);
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_INSTALLED_POWER), 300, 1e-8);
    meeting_end(&m);
}
END_TEST

/* Over a scale that the file states already it is a factor. */
START_TEST(equal_power_is_the_truck_whose_file_states_that_scale)
{
    char a[96], b[96];
    meeting m = compare(DEMO, NULL, EVN_EQUAL_POWER);
    ck_assert_msg(m.comparison, "%s", first_finding(m.report));
    double factor = given_to(&m, 1).torque_scale;
    ck_is_near(value_of(&m, 1, EVN_LIKENESS_PEAK_WHEEL_POWER), value_of(&m, 0, EVN_LIKENESS_PEAK_WHEEL_POWER), 1e-8);
    ck_assert(factor > 0.75 && factor < 0.8); /* 380 of 480 kW, and an axle that loses less */
    snprintf(a, sizeof a, "trucks.electric_axle.drive_units.rear.motors.a.scale={torque: %.17g}", factor);
    snprintf(b, sizeof b, "trucks.electric_axle.drive_units.rear.motors.b.scale={torque: %.17g}", factor);
    const char *set[] = {a, b, NULL};
    meeting stated = compare(DEMO, set, EVN_EQUAL_PAYLOAD);
    ck_same_energy(&m, &stated);
    meeting_end(&stated);
    const char *half[] = {"trucks.electric_axle.drive_units.rear.motors.a.scale={torque: 0.5}",
                          "trucks.electric_axle.drive_units.rear.motors.b.scale={torque: 0.5}", NULL};
    meeting from_half = compare(DEMO, half, EVN_EQUAL_POWER);
    ck_is_near(given_to(&from_half, 1).torque_scale, 2 * factor, 1e-7);
    meeting_end(&from_half);
    meeting_end(&m);
}
END_TEST

static size_t count_with(const evn_report *report, const char *words)
{
    size_t count = 0;
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        count += strstr(found.text, words) ? 1 : 0;
    return count;
}

/* Its maps were told where they were read; that it is scaled to less than half is new, of each motor. */
START_TEST(what_scaling_makes_unusual_is_told_with_the_name_of_the_truck_and_nothing_twice)
{
    const char *set[] = {"trucks.central.drive_units.rear.motors.a.scale={torque: 0.6}",
                         "trucks.electric_axle.drive_units.rear.motors.a.map.off_law_share=0.001",
                         "trucks.electric_axle.drive_units.rear.motors.b.map.off_law_share=0.001", NULL};
    meeting m = compare(DEMO, set, EVN_EQUAL_POWER);
    ck_assert_msg(m.comparison, "%s", first_finding(m.report));
    ck_assert_double_lt(given_to(&m, 1).torque_scale, 0.5);
    ck_assert_uint_eq(count_with(m.report, "off the law"), 1); /* of one file, used twice */
    ck_assert_uint_eq(count_with(m.report, "electric_axle, its motors scaled by 0.4"), 2);
    ck_assert_uint_eq(count_with(m.report, "rear.motors.b.scale.torque"), 1);
    meeting_end(&m);
}
END_TEST

/* Two comparisons that tell one report of trucks of the same names. */
START_TEST(a_comparison_is_called_what_it_is_asked_to_be)
{
    meeting m = {.report = evn_report_new()};
    ck_assert_int_eq(evn_lineup_load(DEMO, &m.lineup, m.report), EVN_DONE);
    evn_conditions ask = evn_lineup_ask(m.lineup);
    evn_demands demands = evn_demands_default();
    demands.start_grade_percent = 30;
    evn_compare_how what = {.demands = &demands, .called = "the other"};
    m.status = evn_compare(m.lineup, &ask, &what, &m.comparison, m.report);
    ck_assert_int_eq(m.status, EVN_ANSWER_NO);
    ck_assert_uint_eq(count_with(m.report, "the other: central: starting on 30 %"), 1);
    ck_assert_uint_eq(count_with(m.report, "the other: electric_axle: starting on 30 %"), 1);
    meeting_end(&m);
}
END_TEST

START_TEST(what_cannot_be_made_equal_is_refused)
{
    static const struct {
        const char *const set[4];
        evn_equal equal;
        const char *words;
    } cases[] = {
        {{"trucks.electric_axle.battery.discharge_limit_kw=200"}, EVN_EQUAL_POWER, "its battery or its tyres"},
        {{"trucks.electric_axle.body.mass_kg=30000"}, EVN_EQUAL_GROSS, "without payload"},
        {{"load_case.start_soc=0.999"}, EVN_EQUAL_GROSS, "cannot be made ready"},
        {{"load_case.start_soc=0.999"}, EVN_EQUAL_POWER, "cannot be made ready"},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        meeting m = compare(DEMO, cases[k].set, cases[k].equal);
        ck_assert_int_eq(m.status, EVN_BAD_INPUT);
        ck_assert_ptr_null(m.comparison);
        evn_finding found;
        ck_assert(evn_report_at(m.report, 0, &found));
        ck_assert_str_eq(found.fault, "cannot_be_equal");
        ck_assert_msg(strstr(found.text, cases[k].words), "%s", found.text);
        ck_assert_msg(strstr(found.text, k < 2 ? "electric_axle" : "central"), "%s", found.text);
        meeting_end(&m);
    }
}
END_TEST

/* The key of the lineup; an ask of the call goes before it. */
START_TEST(a_lineup_says_what_its_trucks_are_made_equal_in)
{
    const char *set[] = {"equal=gross", NULL};
    meeting m = compare(DEMO, set, EVN_EQUAL_AS_LINEUP), other = compare(DEMO, set, EVN_EQUAL_PAYLOAD);
    ck_assert_int_eq(evn_lineup_equal(m.lineup), EVN_EQUAL_GROSS);
    ck_assert_int_eq(given_to(&m, 1).by, EVN_EQUAL_GROSS);
    ck_assert_int_eq(given_to(&other, 1).by, EVN_EQUAL_PAYLOAD);
    meeting_end(&m);
    meeting_end(&other);
}
END_TEST

/* Written by documents and taken by the option; those of the key. */
START_TEST(words_of_equal_are_those_of_the_key)
{
    evn_key key;
    size_t k = 0;
    while (evn_key_at("lineup", k, &key) && strcmp(key.key, "equal") != 0)
        k++;
    ck_assert_str_eq(key.key, "equal");
    k = 0;
    for (; key.choices[k]; k++)
        ck_assert_str_eq(key.choices[k], evn_equal_names[k]);
    ck_assert_ptr_null(evn_equal_names[k]);
    ck_assert_uint_eq(k, EVN_EQUAL_POWER);
    ck_assert_str_eq(key.fallback_word, "payload");
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("likeness");
    tcase_add_checked_fixture(cases, folder_begin, folder_end);
    tcase_add_test(cases, the_table_holds_these_rows_with_these_tolerances);
    tcase_add_test(cases, the_verdict_of_each_row_flips_at_its_tolerance);
    tcase_add_test(cases, of_payload_and_gross_mass_the_one_in_common_is_judged);
    tcase_add_test(cases, wheel_power_of_a_truck_with_one_gear_is_that_of_a_hand_formula);
    tcase_add_test(cases, a_weak_battery_holds_wheel_power);
    tcase_add_test(cases, wheel_power_is_asked_up_to_90_km_h);
    tcase_add_test(cases, tyres_cut_the_force_from_rest);
    tcase_add_test(cases, hub_drag_counts_bearings_of_all_wheels_and_no_hub_reduction);
    tcase_add_test(cases, body_tyres_and_battery_are_those_of_the_file);
    tcase_add_test(cases, two_identical_trucks_are_alike);
    tcase_add_test(cases, of_the_demo_power_is_what_is_not_alike);
    tcase_add_test(cases, a_truck_that_cannot_be_prepared_is_not_judged);
    tcase_add_test(cases, equal_gross_gives_the_payload_that_the_kerb_mass_leaves);
    tcase_add_test(cases, equal_gross_is_the_truck_whose_file_states_that_payload);
    tcase_add_test(cases, equal_power_scales_motors_without_losses_by_the_ratio_of_their_powers);
    tcase_add_test(cases, equal_power_is_the_truck_whose_file_states_that_scale);
    tcase_add_test(cases, what_scaling_makes_unusual_is_told_with_the_name_of_the_truck_and_nothing_twice);
    tcase_add_test(cases, a_comparison_is_called_what_it_is_asked_to_be);
    tcase_add_test(cases, what_cannot_be_made_equal_is_refused);
    tcase_add_test(cases, words_of_equal_are_those_of_the_key);
    tcase_add_test(cases, a_lineup_says_what_its_trucks_are_made_equal_in);
    Suite *suite = suite_create("likeness");
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
