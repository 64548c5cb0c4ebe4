/* A hydraulic pump at the power take-off, against closed forms. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "checked.h"
#include "evener/duty.h"

/* 200 bar and 60 l/min are 20 kW of oil flow; the pump takes 1/0.85 of that at its shaft. */
static const published pump = {"P = p Q / eta, T = P / omega: 200 bar, 60 l/min, overall efficiency 0.85, 1500 rpm",
                               CLOSED_FORM};
#define PRESSURE_PA 200e5
#define FLOW_M3_S (60e-3 / 60)
#define SHAFT_KW (PRESSURE_PA * FLOW_M3_S / 0.85 / 1e3)

static double at_work(const drive *run, const scene *it, const char *key)
{
    size_t row = 0;
    while (row + 1 < it->rows.rows && at_row(&it->rows, row, column(run, "power_take_off_kw")) <= 0)
        row++;
    return at_row(&it->rows, row, column(run, key));
}

START_TEST(a_pump_takes_the_power_of_its_oil_over_its_efficiency)
{
    char changes[500];
    snprintf(
        changes, sizeof changes,
        "drive_units: {rear: {takeoff: {at: motor, ratio: 1, efficiency: 1, torque_limit_nm: 400, speed_limit_rpm: "
        "2000}}}\npower_take_off: {speed_rpm: 1500, stop_kw: %.17g, stop_s: 60}",
        SHAFT_KW);
    scene it =
        scene_of("tests/trucks/four-speed.yaml", changes,
                 "length_m: 1500\nspeed: {place_m: [0], limit_km_h: [50]}\nstops: {place_m: [800], wait_s: [90]}");
    drive run = play(&it);
    must_finish(&run);
    check_value(&pump, at_work(&run, &it, "power_take_off_kw"), RELATIVE, 23.52941, 1e-6, "kW", "power at the shaft");
    check_value(&pump, at_work(&run, &it, "motor_torque_nm"), RELATIVE, 149.79289, 1e-6, "Nm",
                "torque of the motors that turn with it");
    check_value(&pump, 0.85 * result(&run, "energy_balance.power_take_off_kwh"), RELATIVE, 20.0 / 60, 1e-6, "kWh",
                "work of a minute in the oil");
    scene_end(&it, &run);
}
END_TEST

/* Six minutes of the pump in a day of two rounds, 210 days a year: 2 kWh of oil flow a round. */
START_TEST(a_pump_at_the_stops_of_a_day_does_its_work_in_day_and_year)
{
    char text[1000], here[300], path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_duty *duty = NULL;
    evn_day *day = NULL;
    evn_day_season season;
    double day_kwh = (double)NAN, year_kwh = (double)NAN;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "extends: %s/tests/trucks/four-speed.yaml\ndrive_units: {rear: {takeoff: {torque_limit_nm: 400, "
             "speed_limit_rpm: 2000}}}\npower_take_off: {speed_rpm: 1500}\n",
             here);
    write_file("truck.yaml", text);
    snprintf(
        text, sizeof text,
        "name: d\ninvented: true\nworking_days_per_year: 210\nday:\n  - rounds:\n      times: 2\n      each:\n"
        "        - leg: {name: l, cycle: {name: c, invented: true, length_m: 500, speed: {place_m: [0], limit_km_h: "
        "[40]}}}\n        - stop: {name: tip, duration_min: 8, takeoff_kw: %.17g, takeoff_s: 360}\n",
        SHAFT_KW);
    write_file("day.yaml", text);
    evn_truck *truck = load_truck(in_folder(path, "truck.yaml"));
    evn_duty_load(in_folder(path, "day.yaml"), &duty, report);
    ck_assert_msg(evn_drive_duty(truck, duty, &ask, NULL, &day, report) == EVN_DONE, "%s", first_finding(report));
    ck_assert(evn_day_season_at(day, 0, &season));
    evn_results_get(season.results, "energy_balance.power_take_off_kwh", &day_kwh);
    evn_results_get(evn_day_year(day), "energy_balance.power_take_off_kwh", &year_kwh);
    check_value(&pump, 0.85 * day_kwh, RELATIVE, 4, 1e-9, "kWh", "work of two rounds of six minutes in the oil");
    check_value(&pump, 0.85 * year_kwh, RELATIVE, 840, 1e-9, "kWh", "work of 210 such days in the oil");
    evn_day_free(day);
    evn_duty_free(duty);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("take-off");
    TCase *of = tcase_create("pump");
    tcase_add_checked_fixture(of, folder_begin, folder_end);
    tcase_add_test(of, a_pump_takes_the_power_of_its_oil_over_its_efficiency);
    tcase_add_test(of, a_pump_at_the_stops_of_a_day_does_its_work_in_day_and_year);
    suite_add_tcase(suite, of);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
