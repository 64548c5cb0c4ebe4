/* Limits of a truck on hills, against closed forms and published figures: starting, long descents, braking by motors.
 */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "evener/charts.h"
#include "evener/limits.h"
#include "plain_truck.h"

typedef struct found {
    evn_truck *truck;
    evn_rig *rig;
    evn_limits *limits;
    evn_report *report;
} found;

static const evn_conditions *nine_point_eighty_one(void)
{
    static evn_conditions ask;
    ask = plain_ask(0);
    return &ask;
}

/* The truck with something written over it. */
static found find_with(const plain_truck *truck, const char *over)
{
    char path[PATH_BYTES], text[300];
    found f = {.report = evn_report_new()};
    const evn_conditions *ask = nine_point_eighty_one();
    write_plain_truck(truck, "truck.yaml");
    snprintf(text, sizeof text, "extends: truck.yaml\n%s\n", over);
    write_file("over.yaml", text);
    ck_assert(evn_truck_load(in_folder(path, "over.yaml"), &f.truck, f.report) == EVN_DONE);
    ck_assert(evn_rig_prepare(f.truck, &ask->load_case, &f.rig, f.report) == EVN_DONE);
    ck_assert(evn_limits_find(f.rig, &ask->driving, NULL, &f.limits, f.report) == EVN_DONE);
    return f;
}

static found find(const plain_truck *truck) { return find_with(truck, ""); }

static void found_end(found *f)
{
    evn_limits_free(f->limits);
    evn_rig_free(f->rig);
    evn_truck_free(f->truck);
    evn_report_free(f->report);
}

static evn_limits_figure figure(const found *f, const char *key)
{
    evn_limits_figure out;
    ck_assert_msg(evn_limits_get(f->limits, key, &out), "no figure %s", key);
    return out;
}

/* It moves off where it accelerates by 1 mm/s2, which is worth so much of a grade; a truck on a road moves a little. */
static const double MOVES_PERCENT = 0.0115;

/* ------------------------------------------------------------------------------------------------ starting */

START_TEST(the_published_torque_at_the_wheels_starts_on_12_percent)
{
    const published from = {"m g (sin + cr cos) on 12 %; cr 0.006, 9.81 m/s2, radius 0.5 m", RECOMPUTED};
    const double mass_kg[] = {18000, 26000, 40000, 44000}, torque_nm[] = {11045, 15954, 24545, 27000};
    for (size_t i = 0; i < 4; i++) {
        char motor[200];
        plain_truck truck = plain_truck_of(mass_kg[i]);
        snprintf(motor, sizeof motor,
                 "peak_torque_nm: %.17g, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700",
                 torque_nm[i]);
        truck.motor = motor;
        truck.rolling = 0.006;
        found f = find(&truck);
        evn_limits_figure once = figure(&f, "start.as_stated.once_percent");
        check_value(&from, once.value, ABSOLUTE, 12, MOVES_PERCENT, "%", "steepest start, %g kg, %g Nm at the wheels",
                    mass_kg[i], torque_nm[i]);
        ck_assert_str_eq(once.limit, "motor_torque");
        const published five = {"Regulation (EU) 1230/2012 Annex I: five starts within five minutes on 12 %",
                                FROM_MEMORY};
        check_value(&five, figure(&f, "start.as_stated.five_percent").value, ABSOLUTE, 12, 0.1 + MOVES_PERCENT, "%",
                    "five starts within five minutes, %g kg, %g Nm at the wheels, motors that do not heat", mass_kg[i],
                    torque_nm[i]);
        found_end(&f);
    }
}
END_TEST

START_TEST(the_published_adhesion_starts_on_12_percent)
{
    const published from = {"F/(N cos) on 12 %, one driven axle of 11.5 t, static load; cr 0.006", RECOMPUTED};
    const double mass_kg[] = {40000, 44000}, needed[] = {0.438, 0.482};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = plain_truck_of(mass_kg[i]);
        truck.rolling = 0.006;
        truck.driven_load_kg = 11500;
        truck.driving = needed[i];
        found f = find(&truck);
        evn_limits_figure once = figure(&f, "start.as_stated.once_percent");
        /* the published adhesions are rounded to three digits: half of the last is worth 0.014 points */
        check_value(&from, once.value, ABSOLUTE, 12, MOVES_PERCENT + 0.0145, "%", "steepest start, %g kg, adhesion %g",
                    mass_kg[i], needed[i]);
        ck_assert_str_eq(once.limit, "adhesion");
        found_end(&f);
    }
}
END_TEST

START_TEST(the_grade_of_a_start_that_adhesion_allows_is_the_published_one)
{
    const published from = {"mu N_driven/W - cr; 40 t, cr 0.006", RECOMPUTED};
    const struct {
        double driven_kg, mu, percent;
    } row[] = {{11500, 0.3, 8.025}, {11500, 0.5, 13.775}, {11500, 0.8, 22.4},
               {19000, 0.3, 13.65}, {19000, 0.5, 23.15},  {19000, 0.8, 37.4}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        plain_truck truck = plain_truck_of(40000);
        truck.rolling = 0.006;
        truck.driven_load_kg = row[i].driven_kg;
        truck.driving = row[i].mu;
        found f = find(&truck);
        check_value(&from, figure(&f, "start.as_stated.once_percent").value, ABSOLUTE, row[i].percent, MOVES_PERCENT,
                    "%", "steepest start, %g kg driven, adhesion %g, its limits", row[i].driven_kg, row[i].mu);
        found_end(&f);
    }
}
END_TEST

/* tan (1 - mu h/L) = mu a/L - cr: the slope presses on the rear axle by m g sin h/L, forwards; in reverse it lifts. */
START_TEST(load_transfer_helps_a_driven_rear_axle_uphill_and_takes_from_it_in_reverse)
{
    const published from = {"mu N = W (sin + cr cos), N = W (a/L cos +- h/L sin): moments about the other axle",
                            CLOSED_FORM};
    const double height_m = 1.5, base_m = 3.5, mu = 0.5, cr = 0.006, share = 0.4;
    for (int level = 0; level < 2; level++) {
        plain_truck truck = plain_truck_of(26000);
        truck.rolling = cr;
        truck.driven_load_kg = share * 26000;
        truck.centre_height_m = level ? 0 : height_m;
        truck.driving = mu;
        found f = find(&truck);
        double shift = mu * truck.centre_height_m / base_m;
        check_value(&from, figure(&f, "start.as_stated.once_percent").value, ABSOLUTE,
                    100 * (mu * share - cr) / (1 - shift), 2 * MOVES_PERCENT, "%",
                    "steepest start of a driven rear axle, centre of gravity at %g m", truck.centre_height_m);
        check_value(&from, figure(&f, "start.as_stated.reversing_percent").value, ABSOLUTE,
                    100 * (mu * share - cr) / (1 + shift), 2 * MOVES_PERCENT, "%",
                    "the same in reverse, centre of gravity at %g m", truck.centre_height_m);
        found_end(&f);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ descending */

START_TEST(a_descent_that_tyres_hold_follows_from_the_moments)
{
    const published from = {"mu N = W (sin - cr cos), N = W (a/L cos - h/L sin): moments about the other axle",
                            CLOSED_FORM};
    const double mu = 0.25, cr = 0.006, share = 0.4, base_m = 3.5;
    for (int level = 0; level < 2; level++) {
        plain_truck truck = plain_truck_of(26000);
        truck.rolling = cr;
        truck.driven_load_kg = share * 26000;
        truck.centre_height_m = level ? 0 : 1.5;
        truck.regenerating = mu;
        found f = find(&truck);
        evn_limits_figure held = figure(&f, "descent.30_km_h.at_start_soc_percent");
        check_value(&from, held.value, RELATIVE, 100 * (mu * share + cr) / (1 + mu * truck.centre_height_m / base_m),
                    1e-6, "%", "steepest descent held by motors, centre of gravity at %g m", truck.centre_height_m);
        ck_assert_str_eq(held.limit, "adhesion");
        found_end(&f);
    }
}
END_TEST

START_TEST(a_descent_that_the_battery_holds_takes_its_power)
{
    const published from = {"P = m g v (sin - cr cos)", CLOSED_FORM};
    const double mass_kg = 40000, charge_w = 200e3, v = 50 / 3.6, cr = 0.006;
    plain_truck truck = plain_truck_of(mass_kg);
    truck.rolling = cr;
    truck.pack = "capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, "
                 "discharge_limit_kw: 1e5, charge_limit_kw: 200, start_soc: 0.5";
    found f = find(&truck);
    evn_limits_figure held = figure(&f, "descent.50_km_h.at_start_soc_percent");
    double tangent = held.value / 100, cosine = 1 / sqrt(1 + tangent * tangent);
    check_value(&from, mass_kg * 9.81 * v * cosine * (tangent - cr), RELATIVE, charge_w, 1e-6, "W",
                "charging power on the steepest descent that motors hold");
    ck_assert_str_eq(held.limit, "battery_power");
    found_end(&f);
}
END_TEST

START_TEST(long_descents_set_free_and_regenerate_the_published_energy)
{
    const published from = {
        "UN R13 Annex 4, Type-II and Type-IIA: 30 km/h, 6 km, 6 % and 7 %; m g sin(atan p) d, 40 t, 9.81 m/s2",
        RECOMPUTED};
    const struct {
        const char *potential, *regenerated, *friction;
        double kwh;
    } row[] = {{"long_descent.type_2.potential_kwh", "long_descent.type_2.regenerated_kwh",
                "long_descent.type_2.friction_kwh", 39.17},
               {"long_descent.type_2a.potential_kwh", "long_descent.type_2a.regenerated_kwh",
                "long_descent.type_2a.friction_kwh", 45.67}};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = plain_truck_of(40000);
        found f = find(&truck);
        check_value(&from, figure(&f, row[i].potential).value, RELATIVE, row[i].kwh, 1e-3, "kWh", "potential energy");
        check_value(&from, figure(&f, row[i].regenerated).value, RELATIVE, row[i].kwh, 1e-3, "kWh",
                    "regenerated, nothing lost");
        ck_assert_double_eq_tol(figure(&f, row[i].friction).value, 0, 1e-6);
        found_end(&f);
        truck.regeneration = 0;
        f = find(&truck);
        check_value(&from, figure(&f, row[i].friction).value, RELATIVE, row[i].kwh, 1e-3, "kWh",
                    "friction braking without regeneration");
        found_end(&f);
    }
}
END_TEST

/* Charge at constant voltage: 45.67 kWh of so many; the pack's limit falls to nothing within its last hundredth. */
START_TEST(a_long_descent_must_begin_as_far_below_full_as_its_energy_needs)
{
    const published from = {"energy over capacity, and where the last hundredth still takes the power: P/P_limit of it",
                            CLOSED_FORM};
    const double capacity_kwh = 700 * 500 / 1e3, limit_kw = 1000;
    plain_truck truck = plain_truck_of(40000);
    truck.pack = "capacity_ah: 500, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, "
                 "discharge_limit_kw: 1e5, charge_limit_kw: 1000, start_soc: 0.5, usable_to_soc: 0.95";
    found f = find(&truck);
    check_value(&from, figure(&f, "long_descent.type_2.below_full_percent").value / 100, ABSOLUTE,
                39.17 / capacity_kwh + 0.01 * 195.8 / limit_kw, 6e-4, "1", "below full, 6 %%");
    check_value(&from, figure(&f, "long_descent.type_2a.below_full_percent").value / 100, ABSOLUTE,
                45.67 / capacity_kwh + 0.01 * 228.3 / limit_kw, 6e-4, "1", "below full, 7 %%");
    found_end(&f);
}
END_TEST

/* What it takes falls with its charge, and half charged it takes too little for either: 1 - soc of 300 kW at the end.
 */
START_TEST(a_long_descent_may_have_to_begin_less_than_half_charged)
{
    const published from = {"energy over capacity, and the charge at which what the battery takes is the power",
                            CLOSED_FORM};
    const double capacity_kwh = 700 * 500 / 1e3, limit_kw = 300;
    plain_truck truck = plain_truck_of(40000);
    truck.pack = "capacity_ah: 500, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, "
                 "discharge_limit_kw: 1e5, charge_limit_kw: 300, charge_taper: {soc: [0, 1], share: [1, 0]}, "
                 "start_soc: 0.5, usable_to_soc: 0.95";
    found f = find(&truck);
    check_value(&from, figure(&f, "long_descent.type_2.below_full_percent").value / 100, ABSOLUTE,
                0.95 - (1 - 195.8 / limit_kw) + 39.17 / capacity_kwh, 6e-4, "1", "below full, 6 %%, a low charge");
    check_value(&from, figure(&f, "long_descent.type_2a.below_full_percent").value / 100, ABSOLUTE,
                0.95 - (1 - 228.3 / limit_kw) + 45.67 / capacity_kwh, 6e-4, "1", "below full, 7 %%, a low charge");
    found_end(&f);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ braking */

START_TEST(one_driven_axle_brakes_by_the_published_rate)
{
    const published from = {
        "z = mu (a/L)/(1 + mu h/L), from dN = z m g h/L; a/L 11.5/18, h/L 1.1/3.8 (UN R13 Annex 10, "
        "from memory)",
        CLOSED_FORM};
    const double mu = 0.3, share = 11.5 / 18, mass_kg = 18000;
    plain_truck truck = plain_truck_of(mass_kg);
    truck.driven_load_kg = 11500;
    truck.wheelbase_m = 3.8;
    truck.centre_height_m = 1.1;
    truck.regenerating = mu;
    found f = find(&truck);
    double z = mu * share / (1 + mu * 1.1 / 3.8);
    check_value(&from, figure(&f, "braking.50_km_h.deceleration_m_s2").value / 9.81, RELATIVE, 0.1763, 1e-3, "1",
                "rate of braking by motors alone, adhesion 0.3");
    check_value(&from, figure(&f, "braking.50_km_h.motors_kn").value, RELATIVE, z * mass_kg * 9.81 / 1e3, 1e-6, "kN",
                "braking force of the motors, adhesion 0.3");
    check_value(&from, figure(&f, "braking.50_km_h.adhesion_used").value, RELATIVE, mu, 1e-6, "1",
                "adhesion used by the driven axle");
    check_value(&from, figure(&f, "braking.50_km_h.ideal_share").value, RELATIVE, 1 / (share - z * 1.1 / 3.8), 1e-6,
                "1", "braking of the driven axle over the ideal one");
    found_end(&f);
}
END_TEST

static double chart_value(const evn_chart *chart, size_t row, const char *key)
{
    evn_quantity what;
    for (size_t k = 0; evn_chart_column_at(chart, k, &what); k++)
        if (strcmp(what.key, key) == 0)
            return evn_chart_row(chart, row)[k];
    ck_abort_msg("no column %s", key);
    return 0;
}

START_TEST(lines_beside_braking_by_motors_are_those_of_the_published_transfer)
{
    const published from = {"z = mu (a/L)/(1 + mu h/L) of the weight; T = z N, N = W (a/L - z h/L); a/L 11.5/18, h/L "
                            "1.1/3.8 (UN R13 Annex 10, from memory)",
                            CLOSED_FORM};
    const double weight_kn = 18 * 9.81, share = 11.5 / 18, shift = 1.1 / 3.8;
    plain_truck truck = plain_truck_of(18000);
    truck.driven_load_kg = 11500;
    truck.wheelbase_m = 3.8;
    truck.centre_height_m = 1.1;
    truck.motor = "peak_torque_nm: 20e3, peak_power_kw: 1e5, top_speed_rpm: 700, reference_voltage_v: 700";
    found f = find_with(&truck, "adhesion: {regenerating_share: 0.4}"); /* of dry 0.75: 0.3 */
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_motor_braking(f.rig, &chart, f.report), EVN_DONE);
    size_t half = evn_chart_row_count(chart) / 2;
    check_value(&from, chart_value(chart, half, "driven_tyres.dry_kn") / weight_kn, RELATIVE, 0.1763, 1e-3, "1",
                "what a driven axle brakes over the weight, adhesion 0.3");
    check_value(&from, chart_value(chart, half, "driven_tyres.snow_kn"), RELATIVE,
                weight_kn * 0.08 * share / (1 + 0.08 * shift), 1e-6, "kN", "what a driven axle brakes, adhesion 0.08");
    for (int k = 1; k <= 5; k++) {
        char key[40];
        snprintf(key, sizeof key, "ideal.z_0.%d_kn", k);
        check_value(&from, chart_value(chart, half, key), RELATIVE, weight_kn * 0.1 * k * (share - 0.1 * k * shift),
                    1e-6, "kN", "ideal braking of the driven axle, z 0.%d", k);
    }
    check_value(&from, chart_value(chart, half, "motors_kn"), RELATIVE, 20e3 / 0.5 / 1e3, 1e-6, "kN",
                "braking force of motors of 20 kNm at 0.5 m");
    evn_chart_free(chart);
    found_end(&f);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hills, published");
    TCase *tests = tcase_create("hill");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, the_published_torque_at_the_wheels_starts_on_12_percent);
    tcase_add_test(tests, the_published_adhesion_starts_on_12_percent);
    tcase_add_test(tests, the_grade_of_a_start_that_adhesion_allows_is_the_published_one);
    tcase_add_test(tests, load_transfer_helps_a_driven_rear_axle_uphill_and_takes_from_it_in_reverse);
    tcase_add_test(tests, a_descent_that_tyres_hold_follows_from_the_moments);
    tcase_add_test(tests, a_descent_that_the_battery_holds_takes_its_power);
    tcase_add_test(tests, long_descents_set_free_and_regenerate_the_published_energy);
    tcase_add_test(tests, a_long_descent_must_begin_as_far_below_full_as_its_energy_needs);
    tcase_add_test(tests, a_long_descent_may_have_to_begin_less_than_half_charged);
    tcase_add_test(tests, one_driven_axle_brakes_by_the_published_rate);
    tcase_add_test(tests, lines_beside_braking_by_motors_are_those_of_the_published_transfer);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
