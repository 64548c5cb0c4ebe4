/* Work of the power take-off at the stops of a day: on the ledger of stop, day and year, and refused before the day
 * begins where the truck cannot. */
#define _XOPEN_SOURCE 700
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "evener/duty.h"

#define OFFER                                                                                                          \
    "drive_units: {rear: {takeoff: {ratio: 1.2, efficiency: 0.97, torque_limit_nm: 1000, speed_limit_rpm: 2500}}}\n"
#define BY_UNIT OFFER "power_take_off: {speed_rpm: 1500}\n"
#define OF_TRUCK OFFER "power_take_off: {speed_rpm: 1500, stop_kw: 30, stop_s: 25}\n"
#define BY_MOTOR                                                                                                       \
    "power_take_off: {speed_rpm: 1500, motor_gear_efficiency: 0.95, motor_ratio: 2, motor: {peak_torque_nm: 200, "     \
    "peak_power_kw: 60, top_speed_rpm: 4000, reference_voltage_v: 680, mass_kg: 60, efficiency: 0.9, inverter: "       \
    "{efficiency: 0.97, mass_kg: 10}}}\n"
#define LEG "leg: {name: way, payload_kg: 8000, cycle: {use: way.yaml}}"
#define CYCLE                                                                                                          \
    "name: Way\ninvented: true\nlength_m: 900\nspeed: {place_m: [0], limit_km_h: [40]}\n"                              \
    "stops: {place_m: [300, 600], wait_s: [20, 60]"
#define TIP "stop: {name: tip, duration_min: 3, takeoff_kw: 24, takeoff_s: 90, payload_kg: 0}"
#define WORK "energy_balance.power_take_off_kwh"

typedef struct day {
    evn_truck *truck;
    evn_duty *duty;
    evn_day *day;
    evn_report *report;
    evn_status status;
} day;

static day drive_day(const char *changes, const char *steps, const char *more)
{
    char text[2000], here[300], path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    day d = {.report = evn_report_new()};
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/tests/trucks/four-speed.yaml\n%s", here, changes);
    write_file("truck.yaml", text);
    snprintf(text, sizeof text, "name: A day\ninvented: true\nday: [%s]\n%s", steps, more);
    write_file("day.yaml", text);
    d.truck = load_truck(in_folder(path, "truck.yaml"));
    evn_duty_load(in_folder(path, "day.yaml"), &d.duty, d.report);
    ck_assert_msg(d.duty, "%s", first_finding(d.report));
    d.status = evn_drive_duty(d.truck, d.duty, &ask, NULL, &d.day, d.report);
    return d;
}

static day drive_whole_day(const char *changes, const char *steps, const char *more)
{
    day d = drive_day(changes, steps, more);
    ck_assert_msg(d.status == EVN_DONE, "%s", first_finding(d.report));
    return d;
}

static void day_end(day *d)
{
    evn_day_free(d->day);
    evn_duty_free(d->duty);
    evn_truck_free(d->truck);
    evn_report_free(d->report);
}

static double of(const evn_results *r, const char *key)
{
    double value = (double)NAN;
    ck_assert_msg(evn_results_get(r, key, &value), "there is no result %s", key);
    return value;
}

static evn_day_phase phase(const day *d, size_t index)
{
    evn_day_phase p;
    ck_assert(evn_day_phase_at(d->day, 0, index, &p) && p.results);
    return p;
}

static const evn_results *whole(const day *d)
{
    evn_day_season s;
    ck_assert(evn_day_season_at(d->day, 0, &s) && s.results);
    return s.results;
}

static void begin(void)
{
    folder_begin();
    write_file("way.yaml", CYCLE "}\n");
    write_file("work.yaml", CYCLE ", takeoff_kw: [0, 18], takeoff_s: [0, 45]}\n");
    write_file("last.yaml", "name: Way\ninvented: true\nlength_m: 900\nspeed: {place_m: [0], limit_km_h: [40]}\nstops: "
                            "{place_m: [300, 600, 900], wait_s: [20, 60, 180], takeoff_kw: [0, 0, 24], takeoff_s: "
                            "[0, 0, 90]}\n");
}

static void end(void)
{
    empty_folder(test_folder, 1);
    rmdir(test_folder);
}

static const char *const drives[] = {BY_UNIT, BY_MOTOR};

START_TEST(work_at_a_stop_is_power_times_time_in_stop_day_and_year)
{
    day d = drive_whole_day(drives[_i], "rounds: {times: 3, each: [" LEG ", " TIP "]}", "working_days_per_year: 200\n");
    for (size_t k = 0; k < 6; k++) {
        evn_day_phase p = phase(&d, k);
        ck_assert_double_eq_tol(of(p.results, WORK), p.stop ? 24 * 90 / 3600.0 : 0, 1e-12);
        ck_assert_double_eq_tol(of(p.results, "power_take_off_stop_s"), p.stop ? 90 : 0, 1e-9);
        ck_assert_double_lt(of(p.results, "balance_error"), 2e-5);
    }
    ck_assert_double_eq_tol(of(whole(&d), WORK), 3 * 0.6, 1e-12);
    ck_assert_double_eq_tol(of(whole(&d), "power_take_off_stop_s"), 270, 1e-9);
    ck_assert_double_lt(of(whole(&d), "balance_error"), 2e-5);
    ck_assert_double_eq_tol(of(evn_day_year(d.day), WORK), 200 * 3 * 0.6, 1e-9);
    day_end(&d);
}
END_TEST

/* The stop at the end of the cycle asks the same. */
START_TEST(a_stop_of_the_day_costs_what_the_same_stop_of_a_cycle_does)
{
    day own = drive_whole_day(drives[_i], LEG ", " TIP, "");
    day cycle = drive_whole_day(drives[_i], "leg: {name: way, payload_kg: 8000, cycle: {use: last.yaml}}", "");
    double kwh = of(whole(&cycle), "battery_kwh");
    ck_assert_double_eq_tol(of(whole(&own), "battery_kwh"), kwh, 2e-5 * kwh);
    ck_assert_double_eq_tol(of(whole(&own), "energy_balance.motor_losses_kwh"),
                            of(whole(&cycle), "energy_balance.motor_losses_kwh"), 2e-5 * kwh);
    ck_assert_double_eq_tol(of(whole(&own), "energy_balance.gearbox_losses_kwh"),
                            of(whole(&cycle), "energy_balance.gearbox_losses_kwh"), 2e-5 * kwh);
    day_end(&own);
    day_end(&cycle);
}
END_TEST

/* 24 kW at the shaft are 24 / 0.95 / 0.9 / 0.97 at the bus; the same stop without work is what it stands beside. */
START_TEST(a_motor_of_its_own_draws_the_work_over_its_efficiencies)
{
    day works = drive_whole_day(BY_MOTOR, LEG ", " TIP, "");
    day rests = drive_whole_day(BY_MOTOR, LEG ", stop: {name: tip, duration_min: 3, payload_kg: 0}", "");
    static const char *const lines[] = {WORK, "energy_balance.gearbox_losses_kwh", "energy_balance.motor_losses_kwh",
                                        "energy_balance.inverter_losses_kwh"};
    double more = 0;
    for (size_t k = 0; k < sizeof lines / sizeof *lines; k++)
        more += of(phase(&works, 1).results, lines[k]) - of(phase(&rests, 1).results, lines[k]);
    ck_assert_double_eq_tol(more, 0.6 / 0.95 / 0.9 / 0.97, 1e-9);
    day_end(&works);
    day_end(&rests);
}
END_TEST

#define PARTED(stop)                                                                                                   \
    "leg: {name: way, payload_kg: 8000, cycle: {use: %s}, stops: [stop: {name: two, place_m: 600" stop "}]}"

static double work_at_parted_stop(const char *truck, const char *cycle, const char *format)
{
    char steps[400];
    snprintf(steps, sizeof steps, format, cycle);
    day d = drive_whole_day(truck, steps, "");
    double kj = 3600 * of(phase(&d, 1).results, WORK);
    ck_assert(phase(&d, 1).stop);
    day_end(&d);
    return kj;
}

START_TEST(a_stop_that_parts_a_leg_keeps_the_work_of_its_cycle_or_of_the_truck_unless_it_states_its_own)
{
    ck_assert_double_eq_tol(work_at_parted_stop(BY_UNIT, "work.yaml", PARTED("")), 18 * 45, 1e-6);
    ck_assert_double_eq_tol(work_at_parted_stop(BY_UNIT, "work.yaml", PARTED(", takeoff_kw: 10, takeoff_s: 30")), 300,
                            1e-6);
    ck_assert_double_eq(work_at_parted_stop(BY_UNIT, "work.yaml", PARTED(", takeoff_kw: 0, takeoff_s: 0")), 0);
    ck_assert_double_eq_tol(work_at_parted_stop(OF_TRUCK, "way.yaml", PARTED("")), 30 * 25, 1e-6);
    ck_assert_double_eq(work_at_parted_stop(OF_TRUCK, "way.yaml", PARTED(", duration_min: 0.4")), 0);
    ck_assert_double_eq(work_at_parted_stop(OF_TRUCK, "way.yaml", PARTED(", takeoff_kw: 0, takeoff_s: 0")), 0);
}
END_TEST

/* Tipping and charging are not asked by a truck of a day whose stops say what is done there. */
START_TEST(a_stop_between_legs_has_no_work_but_its_own)
{
    day d = drive_whole_day(OF_TRUCK, LEG ", stop: {name: gate, duration_min: 5}", "");
    ck_assert_double_eq(of(phase(&d, 1).results, WORK), 0);
    day_end(&d);
}
END_TEST

START_TEST(work_while_it_is_charged_is_fed_from_the_connector_first)
{
#define PLUGGED "stop: {name: yard, duration_min: 10, charging: {connector_kw: 60}"
    day works = drive_whole_day(BY_UNIT, LEG ", " PLUGGED ", takeoff_kw: 24, takeoff_s: 600}", "");
    day rests = drive_whole_day(BY_UNIT, LEG ", " PLUGGED "}", "");
    const evn_results *w = phase(&works, 1).results, *r = phase(&rests, 1).results;
    ck_assert_double_eq_tol(of(w, WORK), 4, 1e-9);
    ck_assert_double_lt(of(w, "balance_error"), 2e-5);
    ck_assert_double_eq_tol(of(w, "charged_kwh"), of(r, "charged_kwh"), 1e-6); /* the connector gives all it has */
    double less_kwh = of(r, "charged_stored_kwh") - of(w, "charged_stored_kwh");
    ck_assert_double_gt(less_kwh, 4);
    ck_assert_double_lt(less_kwh, 6);
    day_end(&works);
    day_end(&rests);
}
END_TEST

static const struct refusal {
    const char *truck, *steps, *words;
} refusals[] = {
    {"", LEG ", " TIP, "stop 'tip': 24 kW are asked of a power take-off, and "},
    {BY_UNIT, LEG ", stop: {name: drum, duration_min: 3, takeoff_kw: 240, takeoff_s: 90}",
     "stop 'drum': 240 kW are asked of the power take-off of "},
};

/* As an error: what is unlikely of the same place may be told before it. */
static bool is_told(const evn_report *report, const char *words)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        if (found.severity == EVN_ERROR && strstr(found.text, words))
            return true;
    return false;
}

START_TEST(what_the_truck_cannot_do_at_a_stop_is_refused_before_anything_is_driven)
{
    evn_day_phase p;
    day d = drive_day(refusals[_i].truck, refusals[_i].steps, "");
    ck_assert_int_eq(d.status, EVN_BAD_INPUT);
    ck_assert(is_told(d.report, refusals[_i].words));
    ck_assert(!evn_day_phase_at(d.day, 0, 0, &p) || !p.results);
    day_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("work of a day");
    TCase *work = tcase_create("stops");
    tcase_add_checked_fixture(work, begin, end);
    tcase_add_loop_test(work, work_at_a_stop_is_power_times_time_in_stop_day_and_year, 0, 2);
    tcase_add_loop_test(work, a_stop_of_the_day_costs_what_the_same_stop_of_a_cycle_does, 0, 2);
    tcase_add_test(work, a_motor_of_its_own_draws_the_work_over_its_efficiencies);
    tcase_add_test(work, a_stop_that_parts_a_leg_keeps_the_work_of_its_cycle_or_of_the_truck_unless_it_states_its_own);
    tcase_add_test(work, a_stop_between_legs_has_no_work_but_its_own);
    tcase_add_test(work, work_while_it_is_charged_is_fed_from_the_connector_first);
    tcase_add_loop_test(work, what_the_truck_cannot_do_at_a_stop_is_refused_before_anything_is_driven, 0, 2);
    suite_add_tcase(suite, work);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
