/* Friction brakes of the axles against published figures: work and power of braking tests, heat of drums, load
 * transfer. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "plain_truck.h"
#include "truck/rig.h"

#define M_PER_MILE 1609.344
#define W_PER_HP 745.6998715822702

static double degc_of_degf(double degf) { return (degf - 32) / 1.8; }

/* The plain truck with friction brakes only, and what is written over it; no rotor, no tyre turns with any mass. */
static drive drive_braked(plain_truck truck, const char *over, const char *cycle, const evn_conditions *ask)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], text[3000];
    truck.regeneration = 0;
    write_plain_truck(&truck, "truck.yaml");
    snprintf(text, sizeof text, "extends: truck.yaml\n%s\n", over);
    write_file("braked.yaml", text);
    return drive_files(in_folder(truck_path, "braked.yaml"), in_folder(cycle_path, cycle), ask);
}

static double axles_j(const drive *d)
{
    return (result_of(d, "axles.first.friction_brakes_kwh") + result_of(d, "axles.second.friction_brakes_kwh") +
            result_of(d, "axles.driven.friction_brakes_kwh")) *
           EVN_J_PER_KWH;
}

/* ------------------------------------------------------------------------------------------------ work, power */

START_TEST(repeated_braking_from_60_to_30_km_h_heats_by_its_kinetic_energy)
{
    const published from = {"UN R13 Annex 4, Type-I: 60 to 30 km/h, 60 s, 20 times; Directive 71/320/EEC Annex II "
                            "1.3.1: kinetic energy (60^2 - 30^2)/3.6^2/2 J per kg",
                            RECOMPUTED};
    enum { TIMES = 20 };
    char text[3000];
    size_t used = (size_t)snprintf(text, sizeof text, "name: fade\ninvented: true\nspeed:\n  time_s: [0");
    for (int k = 0; k < TIMES; k++)
        used +=
            (size_t)snprintf(text + used, sizeof text - used, ", %.9g, %d", 60 * k + (60 - 30) / 3.6 / 3, 60 * k + 60);
    used += (size_t)snprintf(text + used, sizeof text - used, "]\n  speed_km_h: [60");
    for (int k = 0; k < TIMES; k++)
        used += (size_t)snprintf(text + used, sizeof text - used, ", 30, 60");
    snprintf(text + used, sizeof text - used, "]\n");
    write_file("fade.yaml", text);
    evn_conditions ask = plain_ask(0);
    drive d = drive_braked(plain_truck_of(40000), "brakes: {distribution: ideal}", "fade.yaml", &ask);
    check_value(&from, axles_j(&d) / 40 / TIMES, RELATIVE, 104.17e3, 1e-4, "J/t",
                "friction braking of all axles, per tonne and application");
    check_value(&from, axles_j(&d), RELATIVE, 83.33e6, 1e-4, "J", "friction braking of 40 t, twenty applications");
    const published power = {"m a v at 60 km/h and 3 m/s2", CLOSED_FORM};
    check_value(&power, result_of(&d, "friction_brakes_peak_kw"), RELATIVE, 40e3 * 3 * 60 / 3.6 / 1e3, 1e-6, "kW",
                "peak friction braking power");
    check_value(&power, result_of(&d, "friction_brakes_mean_kw"), RELATIVE, 40e3 * 3 * 45 / 3.6 / 1e3, 1e-6, "kW",
                "mean friction braking power while braking");
    drive_end(&d);
}
END_TEST

START_TEST(long_descents_turn_potential_energy_into_heat_of_the_friction_brakes)
{
    const published from = {
        "UN R13 Annex 4, Type-II and Type-IIA: 30 km/h, 6 km, 6 % and 7 %; m g sin(atan p) d, 40 t, 9.81 m/s2",
        RECOMPUTED};
    const struct {
        double percent, mj, kw;
    } row[] = {{6, 141.01, 195.8}, {7, 164.41, 228.3}};
    for (size_t i = 0; i < 2; i++) {
        evn_conditions ask = plain_ask(0);
        write_steady("descent.yaml", 30, 720, -row[i].percent);
        drive d = drive_braked(plain_truck_of(40000), "brakes: {distribution: ideal}", "descent.yaml", &ask);
        check_value(&from, axles_j(&d), RELATIVE, row[i].mj * 1e6, 1e-3, "J", "friction braking of all axles, %g %%",
                    row[i].percent);
        check_value(&from, result_of(&d, "friction_brakes_mean_kw"), RELATIVE, row[i].kw, 1e-3, "kW",
                    "mean friction braking power, %g %%", row[i].percent);
        check_value(&from, result_of(&d, "friction_brakes_peak_kw"), RELATIVE, row[i].kw, 1e-3, "kW",
                    "peak friction braking power, %g %%", row[i].percent);
        drive_end(&d);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ drums */

/* Ten drums on three axles: two, four, four, each axle braking for its drums. */
static const char ten_drums[] =
    "brakes: {distribution: stated}\n"
    "axles:\n"
    "  first: {friction_share: 0.2, friction_brake: {heat_capacity_kj_per_k: 78.6, standing_w_per_k: 26.8, "
    "at_80_km_h_w_per_k: 54.8, start_degc: 65.555555}}\n"
    "  second: {friction_share: 0.4, friction_brake: {heat_capacity_kj_per_k: 157.2, standing_w_per_k: 53.6, "
    "at_80_km_h_w_per_k: 109.6, start_degc: 65.555555}}\n"
    "  driven: {friction_share: 0.4, friction_brake: {heat_capacity_kj_per_k: 157.2, standing_w_per_k: 53.6, "
    "at_80_km_h_w_per_k: 109.6, start_degc: 65.555555}}\n";

static const published drums = {
    "grade severity model of heavy trucks: 393 kJ/K for ten drums, 13.4, 21.8 and 27.4 W/K each at rest, 48 and 80 "
    "km/h; "
    "T = T0 + (Te - T0)(1 - exp(-K1 L/V)), 75000 lb, 6 %, 5 mi, 40 mph, 90 degF around, 150 degF at first",
    FROM_MEMORY};

START_TEST(drums_on_a_descent_come_to_the_temperature_of_the_grade_severity_model)
{
    const double m_s = 40 * EVN_M_S_PER_MPH, braking_w = 285.4 * W_PER_HP;
    evn_conditions ask = plain_ask(0);
    ask.load_case.temperature_degc = degc_of_degf(90);
    plain_truck truck = plain_truck_of(braking_w / m_s / (9.81 * sin(atan(0.06))));
    write_steady("descent.yaml", m_s * 3.6, 5 * M_PER_MILE / m_s, -6);
    drive d = drive_braked(truck, ten_drums, "descent.yaml", &ask);
    check_value(&drums, result_of(&d, "peak_brake_temperature_degc"), ABSOLUTE, degc_of_degf(518), 0.5, "degC",
                "hottest brakes after the descent");
    static const char *const keys[] = {"axles.first.peak_brake_temperature_degc",
                                       "axles.second.peak_brake_temperature_degc",
                                       "axles.driven.peak_brake_temperature_degc"};
    for (size_t k = 0; k < 3; k++)
        check_value(&drums, result_of(&d, keys[k]), ABSOLUTE, 270, 0.5, "degC", "brakes of axle %zu after the descent",
                    k + 1);
    drive_end(&d);
}
END_TEST

START_TEST(drums_cool_with_the_time_constants_of_the_grade_severity_model)
{
    const struct {
        double km_h, w_k, minutes;
    } row[] = {{0, 13.4, 49}, {48, 21.8, 30}, {80, 27.4, 24}};
    const evn_axle_brake_file file = {39.3, 13.4, 27.4, (double)NAN, (double)NAN};
    const evn_axle_brake drum = evn_axle_brake_of(&file, 20);
    for (size_t i = 0; i < 3; i++) {
        double w_k = evn_axle_brake_cooling_w_k(&drum, row[i].km_h * EVN_M_S_PER_KM_H);
        check_value(&drums, w_k, ABSOLUTE, row[i].w_k, 0.05, "W/K", "cooling of one drum at %g km/h", row[i].km_h);
        double k_s = evn_axle_brake_rate_k_s(&drum, 120, 20, row[i].km_h * EVN_M_S_PER_KM_H, 0);
        check_value(&drums, -100 / k_s / 60, ABSOLUTE, row[i].minutes, 0.5, "min", "time constant at %g km/h",
                    row[i].km_h);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ load transfer */

/* Of the first row in which the truck brakes by more than half of what is wanted. */
static double axle_kn(const drive *d, const char *axle, double braking_kn)
{
    evn_trace_column column;
    for (size_t row = 0; row < d->rows; row++) {
        double speed_m_s = cell(d, row, "speed_km_h") / 3.6;
        if (speed_m_s < 1 || cell(d, row, "friction_brake_force_kn") < 0.5 * braking_kn)
            continue;
        for (size_t k = 0; evn_trace_column_at(d->rig, k, &column); k++)
            if (column.axle && strcmp(column.axle, axle) == 0 &&
                strcmp(column.what.key, "axle_friction_braking_kw") == 0)
                return d->cell[row * d->columns + k] / speed_m_s;
    }
    ck_abort_msg("axle %s does not brake", axle);
    return 0;
}

START_TEST(ideal_distribution_follows_the_load_that_braking_shifts)
{
    const published from = {
        "UN R13 Annex 10: N1 = P1 + z (h/E) P, T/N alike; 6.5 and 11.5 t, h 1.1 m, E 3.8 m, z 0.5, 9.81 m/s2",
        FROM_MEMORY};
    plain_truck truck = plain_truck_of(18000);
    truck.driven_load_kg = 11500;
    truck.wheelbase_m = 3.8;
    truck.centre_height_m = 1.1;
    write_file("stop.yaml", "name: stop\ninvented: true\nspeed: {time_s: [0, 3.058103976, 5.096839959], speed_km_h: "
                            "[90, 36, 0]}\n");
    evn_conditions ask = plain_ask(0);
    drive d = drive_braked(truck, "brakes: {distribution: ideal}", "stop.yaml", &ask);
    const double braking_kn = 0.5 * 18 * 9.81;
    check_value(&from, axle_kn(&d, "first", braking_kn) + axle_kn(&d, "second", braking_kn), RELATIVE, 0.5 * 89.323,
                1e-4, "kN", "friction braking force in front at 0.5 g");
    check_value(&from, axle_kn(&d, "driven", braking_kn), RELATIVE, 0.5 * 87.257, 1e-4, "kN",
                "friction braking force of the driven axle at 0.5 g");
    drive_end(&d);
    d = drive_braked(truck, "brakes: {friction_power_limit_kw: 1e6}", "stop.yaml", &ask);
    check_value(&from, axle_kn(&d, "driven", braking_kn), RELATIVE, 0.5 * 11.5 * 9.81, 1e-6, "kN",
                "the same by loads at rest");
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("friction brakes, published");
    TCase *tests = tcase_create("brake heat");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, repeated_braking_from_60_to_30_km_h_heats_by_its_kinetic_energy);
    tcase_add_test(tests, long_descents_turn_potential_energy_into_heat_of_the_friction_brakes);
    tcase_add_test(tests, drums_on_a_descent_come_to_the_temperature_of_the_grade_severity_model);
    tcase_add_test(tests, drums_cool_with_the_time_constants_of_the_grade_severity_model);
    tcase_add_test(tests, ideal_distribution_follows_the_load_that_braking_shifts);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
