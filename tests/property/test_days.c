/* Days of several phases: what is carried from one to the next, stops that are lived through, and what they come to
 * together. */
#define _XOPEN_SOURCE 700
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "api/objects.h"
#include "core/report.h"
#include "core/units.h"
#include "duty/duty.h"
#include "evener/duty.h"

#define IDEAL "tests/trucks/ideal.yaml"
#define WARM_TRACTOR "vehicles/trucks/tractor-4x2-central.yaml"
#define WARM_TIPPER "vehicles/trucks/tipper-8x4-two-eaxles.yaml"
#define COOLED "tests/trucks/cooled.yaml"
#define BRAKES "tests/trucks/friction-brakes.yaml"
#define NONE ((double)NAN)

enum { PHASES = 4 };

typedef struct row { /* some phases of one truck over one cycle */
    evn_truck *truck;
    evn_cycle *cycle;
    evn_report *report;
    evn_phase phase[PHASES];
    evn_run run;
} row;

static evn_phase way(const row *r, double from_m, double to_m, bool begins_at_once)
{
    return (evn_phase){
        .payload_kg = 8000, .cycle = r->cycle->file, .part = {from_m, to_m, begins_at_once}, .report = r->report};
}

static evn_phase stands(const row *r, double duration_s)
{
    evn_standing standing = {.duration_s = duration_s, .until_soc = (double)INFINITY, .grid_efficiency = NONE};
    return (evn_phase){.payload_kg = 8000, .part = {NONE, NONE, false}, .standing = standing, .report = r->report};
}

static row row_of(const char *truck, const char *cycle, evn_driver driver)
{
    evn_conditions ask = evn_conditions_default();
    row r = {.truck = load_truck(truck), .cycle = load_cycle(cycle), .report = evn_report_new()};
    ask.driving.driver = driver;
    ask.load_case.payload_kg = 8000;
    ask.load_case.start_soc = 0.7;
    r.run = (evn_run){.truck = r.truck->file, .load_case = ask.load_case, .driving = ask.driving, .report = r.report};
    return r;
}

/* Drives what was put into the phases. */
static void drive_row(row *r, size_t count)
{
    evn_runs runs;
    r->run.phase = r->phase;
    r->run.phases = count;
    evn_runs_begin(&runs, &(evn_runs_how){1, NULL, NULL});
    evn_runs_drive(&runs, &r->run, 1);
    evn_runs_end(&runs);
    ck_assert_msg(strcmp(r->run.status, "finished") == 0, "%s: %s", r->run.status, first_finding(r->report));
}

static evn_results *together(const row *r)
{
    evn_share_of of[PHASES];
    for (size_t k = 0; k < r->run.phases; k++)
        of[k] = (evn_share_of){r->phase[k].results, 1};
    evn_results *all = evn_results_together(of, r->run.phases, true, "finished");
    ck_assert_ptr_nonnull(all);
    return all;
}

static void row_end(row *r)
{
    for (size_t k = 0; k < r->run.phases; k++) {
        evn_results_free(r->phase[k].results);
        evn_rig_free(r->phase[k].made);
    }
    evn_report_free(r->report);
    evn_cycle_free(r->cycle);
    evn_truck_free(r->truck);
}

static double of(const evn_results *r, const char *key)
{
    double value = NONE;
    ck_assert_msg(evn_results_get(r, key, &value), "there is no result %s", key);
    return value;
}

/* ------------------------------------------------------------------------------------------------ a leg that is cut */

typedef struct truck_and_driver {
    const char *truck;
    evn_driver driver;
} truck_and_driver;

static const truck_and_driver cuts[] = {
    {WARM_TRACTOR, EVN_DRIVER_HUMAN}, {WARM_TRACTOR, EVN_DRIVER_EXACT}, {WARM_TIPPER, EVN_DRIVER_HUMAN},
    {WARM_TIPPER, EVN_DRIVER_EXACT},  {COOLED, EVN_DRIVER_HUMAN},       {BRAKES, EVN_DRIVER_HUMAN},
};
enum { CUTS = sizeof cuts / sizeof *cuts };

/* Every result within what the steps of two integrations may differ by; counts alike. */
static void must_agree(const evn_results *cut, const evn_results *whole, double share)
{
    evn_quantity what;
    double x, y;
    double kwh = of(whole, "discharged_kwh"), time_s = of(whole, "duration_s");
    ck_assert_uint_eq(evn_results_count(cut), evn_results_count(whole));
    for (size_t k = 0; evn_results_at(whole, k, &what, &x); k++) {
        ck_assert_msg(evn_results_get(cut, what.key, &y), "%s is missing", what.key);
        if (isnan(x) && isnan(y))
            continue;
        if (strcmp(what.key, "balance_error") == 0 || strstr(what.key, "filled_map_s") ||
            strcmp(what.key, "friction_brakes_peak_kw") == 0)
            continue; /* of arithmetic, and of where steps end */
        double scale = strcmp(what.unit, "kWh") == 0 ? kwh : strcmp(what.unit, "s") == 0 ? time_s : fmax(fabs(x), 1);
        double most = what.kind == EVN_WHOLE ? 0 : share * scale;
        ck_assert_msg(fabs(x - y) <= most, "%s is %.12g cut and %.12g whole", what.key, y, x);
    }
}

/* The stop of the hill road is at 6 km, half way up the hill: windings are hot there, and the truck has changed gear.
 */
START_TEST(a_leg_that_is_cut_at_a_stop_comes_to_what_the_whole_leg_does)
{
    row whole = row_of(cuts[_i].truck, HILL, cuts[_i].driver), cut = row_of(cuts[_i].truck, HILL, cuts[_i].driver);
    whole.phase[0] = way(&whole, NONE, NONE, false);
    drive_row(&whole, 1);
    cut.phase[0] = way(&cut, NONE, 6000, false);
    cut.phase[1] = way(&cut, 6000, NONE, false); /* begins with the wait */
    drive_row(&cut, 2);
    evn_results *all = together(&cut);
    must_agree(all, whole.phase[0].results, 2e-5);
    evn_results_free(all);
    row_end(&cut);
    row_end(&whole);
}
END_TEST

START_TEST(a_wait_of_the_cycle_is_what_a_stop_of_its_own_is)
{
    row whole = row_of(cuts[_i].truck, HILL, cuts[_i].driver), cut = row_of(cuts[_i].truck, HILL, cuts[_i].driver);
    whole.phase[0] = way(&whole, NONE, NONE, false);
    drive_row(&whole, 1);
    cut.phase[0] = way(&cut, NONE, 6000, false);
    cut.phase[1] = stands(&cut, 30);
    cut.phase[2] = way(&cut, 6000, NONE, true);
    drive_row(&cut, 3);
    evn_results *all = together(&cut);
    ck_assert_double_eq_tol(of(cut.phase[1].results, "duration_s"), 30, 1e-9);
    ck_assert_double_eq_tol(of(all, "duration_s"), of(whole.phase[0].results, "duration_s"), 0.01);
    ck_assert_double_eq_tol(of(all, "battery_kwh"), of(whole.phase[0].results, "battery_kwh"),
                            2e-5 * of(all, "discharged_kwh"));
    ck_assert_double_eq_tol(of(all, "final_soc"), of(whole.phase[0].results, "final_soc"), 1e-6);
    evn_results_free(all);
    row_end(&cut);
    row_end(&whole);
}
END_TEST

/* By this test's own sum over the ledger's lines. */
static double open_of(const evn_results *r)
{
    evn_quantity what;
    double value, stored = 0, open_kwh = of(r, "battery_kwh");
    evn_results_get(r, "charged_stored_kwh", &stored);
    for (size_t k = 0; evn_results_at(r, k, &what, &value); k++)
        open_kwh -= strncmp(what.key, "energy_balance.", 15) == 0 ? value : 0;
    return fabs(open_kwh - stored) / (of(r, "discharged_kwh") + of(r, "regenerated_kwh") + stored);
}

START_TEST(the_balance_of_each_phase_closes_and_so_does_that_of_all_together)
{
    row r = row_of(WARM_TRACTOR, HILL, EVN_DRIVER_HUMAN);
    r.phase[0] = way(&r, NONE, 6000, false);
    r.phase[1] = stands(&r, 900);
    r.phase[1].standing.charges = true;
    evn_curve_make(&r.phase[1].standing.connector_w, (double[]){0}, (double[]){90e3}, 1, true);
    r.phase[2] = way(&r, 6000, NONE, true);
    drive_row(&r, 3);
    evn_results *all = together(&r);
    double sum = 0;
    for (size_t k = 0; k < 3; k++) {
        ck_assert_double_lt(open_of(r.phase[k].results), 2e-5);
        sum += of(r.phase[k].results, "battery_kwh");
    }
    ck_assert_double_lt(open_of(all), 2e-5);
    ck_assert_double_eq_tol(of(all, "balance_error"), open_of(all), 1e-12);
    ck_assert_double_eq_tol(of(all, "battery_kwh"), sum, 1e-9);
    ck_assert_double_gt(of(all, "charged_stored_kwh"), 10);
    evn_results_free(all);
    row_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ closed forms */

/* A pack of one voltage, so that its current at constant power is constant. */
static row flat_row(const char *const *set)
{
    row r = row_of(IDEAL, HILL, EVN_DRIVER_EXACT);
    const evn_load how = {.set = set};
    evn_truck_free(r.truck);
    evn_status status = evn_truck_load_with(IDEAL, &how, &r.truck, r.report);
    ck_assert_msg(status == EVN_DONE, "%s", first_finding(r.report));
    r.run.truck = r.truck->file;
    return r;
}

static const char *const flat[] = {"battery.open_circuit={soc: [0, 1], voltage_v: [650, 650]}",
                                   "battery.resistance_ohm=0.08",
                                   "auxiliaries.power_kw=6",
                                   "battery.charge_limit_kw=400",
                                   "battery.charge_taper={soc: [0, 1], share: [1, 1]}",
                                   NULL};

/* P = E I - R I^2, the smaller current: closed form. */
static double current_a(double power_w) { return (650 - sqrt(650 * 650 - 4 * 0.08 * power_w)) / (2 * 0.08); }

START_TEST(a_wait_takes_the_power_of_what_runs_times_its_time)
{
    static const double TIME_S = 1800;
    row r = flat_row(flat);
    r.phase[0] = stands(&r, TIME_S);
    drive_row(&r, 1);
    const evn_results *is = r.phase[0].results;
    double ready_w = (of(is, "energy_balance.motor_losses_kwh") + of(is, "energy_balance.inverter_losses_kwh")) *
                     EVN_J_PER_KWH / TIME_S;
    double i = current_a(6000 + ready_w);
    ck_assert_double_eq_tol(of(is, "energy_balance.auxiliaries_kwh"), 6000 * TIME_S / EVN_J_PER_KWH, 1e-9);
    ck_assert_double_eq_tol(of(is, "battery_kwh"), 650 * i * TIME_S / EVN_J_PER_KWH, 1e-7);
    ck_assert_double_eq_tol(of(is, "energy_balance.battery_losses_kwh"), 0.08 * i * i * TIME_S / EVN_J_PER_KWH, 1e-7);
    ck_assert_double_eq(of(is, "distance_km"), 0);
    ck_assert_double_eq(of(is, "delay_s"), 0);
    row_end(&r);
}
END_TEST

static void plug_in(evn_phase *p, double connector_w, double until_soc)
{
    p->standing.charges = true;
    p->standing.until_soc = until_soc;
    evn_curve_make(&p->standing.connector_w, (double[]){0}, &connector_w, 1, true);
}

START_TEST(charging_loses_the_square_of_the_current_times_the_resistance)
{
    static const double TIME_S = 1200, CONNECTOR_W = 150e3;
    row r = flat_row(flat);
    r.phase[0] = stands(&r, TIME_S);
    plug_in(&r.phase[0], CONNECTOR_W, (double)INFINITY);
    r.phase[0].standing.grid_efficiency = 0.94;
    drive_row(&r, 1);
    const evn_results *is = r.phase[0].results;
    double runs_w = -of(is, "terminal_kwh") * EVN_J_PER_KWH / TIME_S; /* what arrives at the terminals */
    double i = -current_a(-runs_w), charged_kwh = CONNECTOR_W * TIME_S / EVN_J_PER_KWH;
    ck_assert_double_eq_tol(of(is, "charged_kwh"), charged_kwh, 1e-8);
    ck_assert_double_eq_tol(of(is, "energy_balance.charging_kwh"), -charged_kwh, 1e-8);
    ck_assert_double_eq_tol(of(is, "charged_from_grid_kwh"), charged_kwh / 0.94, 1e-8);
    ck_assert_double_le(runs_w, CONNECTOR_W - 6000 + 1e-3);
    ck_assert_double_eq_tol(of(is, "energy_balance.battery_losses_kwh"), 0.08 * i * i * TIME_S / EVN_J_PER_KWH, 1e-7);
    ck_assert_double_eq_tol(of(is, "charged_stored_kwh"), 650 * i * TIME_S / EVN_J_PER_KWH, 1e-6);
    ck_assert_double_eq_tol(of(is, "battery_kwh"), 0, 1e-9);
    ck_assert_double_eq(of(is, "regenerated_kwh"), 0);
    row_end(&r);
}
END_TEST

START_TEST(a_stop_without_a_duration_lasts_until_the_charge_that_is_asked_is_there)
{
    row r = flat_row(flat);
    r.phase[0] = stands(&r, (double)INFINITY);
    plug_in(&r.phase[0], 150e3, 0.8);
    drive_row(&r, 1);
    const evn_results *is = r.phase[0].results;
    double runs_w = -of(is, "terminal_kwh") * EVN_J_PER_KWH / of(is, "duration_s");
    double charge_as = 0.1 * r.truck->file->battery->capacity_ah * 3600;
    ck_assert_double_eq_tol(of(is, "final_soc"), 0.8, 1e-7);
    ck_assert_double_eq_tol(of(is, "duration_s"), charge_as / -current_a(-runs_w), 0.05);
    row_end(&r);
}
END_TEST

/* The rest of the stop the connector feeds what runs, and the battery keeps its charge. */
START_TEST(a_stop_that_lasts_on_keeps_the_charge_that_was_asked)
{
    row r = flat_row(flat);
    r.phase[0] = stands(&r, 3 * 3600);
    plug_in(&r.phase[0], 150e3, 0.75);
    drive_row(&r, 1);
    const evn_results *is = r.phase[0].results;
    ck_assert_double_eq_tol(of(is, "final_soc"), 0.75, 1e-7);
    ck_assert_double_eq_tol(of(is, "duration_s"), 3 * 3600, 1e-9);
    ck_assert_double_eq_tol(of(is, "energy_balance.auxiliaries_kwh"), 18, 1e-8);
    ck_assert_double_lt(open_of(is), 2e-5);
    row_end(&r);
}
END_TEST

START_TEST(a_battery_takes_no_more_than_its_own_limit_of_a_stronger_connector)
{
    row r = flat_row(flat);
    r.phase[0] = stands(&r, 600);
    plug_in(&r.phase[0], 2e6, (double)INFINITY);
    drive_row(&r, 1);
    ck_assert_double_eq_tol(of(r.phase[0].results, "terminal_kwh"), -400 * 600 / 3600.0, 1e-4);
    row_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ two alike legs */

/* What is not modelled to heat carries its charge alone: the second leg is a run that starts with it. */
START_TEST(a_day_of_two_alike_legs_is_two_runs_of_which_the_second_starts_where_the_first_ended)
{
    row day = row_of(IDEAL, HILL, EVN_DRIVER_HUMAN);
    day.phase[0] = way(&day, NONE, NONE, false);
    day.phase[1] = way(&day, NONE, NONE, false);
    drive_row(&day, 2);
    evn_conditions ask = {day.run.load_case, day.run.driving};
    for (size_t k = 0; k < 2; k++) {
        drive alone = drive_whole(IDEAL, HILL, &ask, NULL);
        const evn_results *leg = day.phase[k].results;
        ck_assert_double_eq_tol(of(leg, "battery_kwh"), result(&alone, "battery_kwh"),
                                1e-6 * result(&alone, "battery_kwh"));
        ck_assert_double_eq_tol(of(leg, "final_soc"), result(&alone, "final_soc"), 1e-8);
        ck_assert_double_eq_tol(of(leg, "duration_s"), result(&alone, "duration_s"), 1e-3);
        ck_assert_double_eq_tol(day.phase[k].begin_soc, ask.load_case.start_soc, 1e-12);
        ask.load_case.start_soc = result(&alone, "final_soc");
        drive_end(&alone);
    }
    row_end(&day);
}
END_TEST

/* Begun hot, it ends hotter than one that begins as its rig says. */
START_TEST(a_second_leg_begins_with_the_heat_of_the_first)
{
    row day = row_of(WARM_TIPPER, HILL, EVN_DRIVER_HUMAN);
    day.phase[0] = way(&day, NONE, NONE, false);
    day.phase[1] = way(&day, NONE, NONE, false);
    drive_row(&day, 2);
    ck_assert_double_gt(of(day.phase[1].results, "peak_winding_temperature_degc"),
                        of(day.phase[0].results, "peak_winding_temperature_degc") + 1);
    row_end(&day);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ whole days */

#define DAY_HEAD "name: A day\ninvented: true\nday:\n"
#define OVER_HILL "cycle: {use: hill.yaml}"

/* With what it was driven with, which it refers to. */
typedef struct driven {
    evn_truck *truck;
    evn_duty *duty;
    evn_day *day;
} driven;

static void driven_end(driven *d)
{
    evn_day_free(d->day);
    evn_duty_free(d->duty);
    evn_truck_free(d->truck);
}

static driven drive_day_so(const char *truck_path, const char *text, double payload_kg, const evn_day_how *how)
{
    char path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(truck_path);
    evn_duty *duty = NULL;
    evn_day *day = NULL;
    write_file("day.yaml", text);
    ask.load_case.payload_kg = payload_kg;
    evn_duty_load(in_folder(path, "day.yaml"), &duty, report);
    ck_assert_msg(duty, "%s", first_finding(report));
    evn_status status = evn_drive_duty(truck, duty, &ask, how, &day, report);
    ck_assert_msg(day && status == EVN_DONE, "%s", first_finding(report));
    evn_report_free(report);
    return (driven){truck, duty, day};
}

static driven drive_day(const char *truck_path, const char *text, double payload_kg)
{
    return drive_day_so(truck_path, text, payload_kg, NULL);
}

static evn_day_season only(const driven *d)
{
    evn_day_season s;
    ck_assert(evn_day_season_at(d->day, 0, &s));
    return s;
}

static void day_begin(void)
{
    folder_begin();
    write_file("hill.yaml",
               "name: Short hill\ninvented: true\nlength_m: 3000\nspeed: {place_m: [0], limit_km_h: [60]}\n"
               "road: {place_m: [500, 700, 1200, 1400], grade_percent: [0, 5, 5, 0]}\n"
               "stops: {place_m: [1000, 2000], wait_s: [20, 40]}\n");
}

static void folder_gone(void)
{
    empty_folder(test_folder, 1);
    rmdir(test_folder);
}

START_TEST(a_stop_of_no_time_changes_nothing)
{
    driven with = drive_day(WARM_TRACTOR,
                            DAY_HEAD "  - leg: {name: a, " OVER_HILL "}\n  - stop: {name: none, "
                                     "duration_min: 0}\n  - leg: {name: b, " OVER_HILL "}\n",
                            9000);
    driven without = drive_day(WARM_TRACTOR,
                               DAY_HEAD "  - leg: {name: a, " OVER_HILL "}\n  - leg: {name: b, " OVER_HILL "}\n", 9000);
    const evn_results *x = only(&with).results, *y = only(&without).results;
    ck_assert_double_eq_tol(of(x, "battery_kwh"), of(y, "battery_kwh"), 1e-9);
    ck_assert_double_eq_tol(of(x, "duration_s"), of(y, "duration_s"), 1e-9);
    ck_assert_double_eq_tol(of(x, "final_soc"), of(y, "final_soc"), 1e-12);
    driven_end(&with);
    driven_end(&without);
}
END_TEST

START_TEST(stops_in_a_row_may_change_places)
{
#define STOP_A "  - stop: {name: a, duration_min: 3}\n"
#define STOP_B "  - stop: {name: b, duration_min: 11}\n"
    driven ab = drive_day(WARM_TRACTOR, DAY_HEAD STOP_A STOP_B "  - leg: {name: l, " OVER_HILL "}\n", 9000);
    driven ba = drive_day(WARM_TRACTOR, DAY_HEAD STOP_B STOP_A "  - leg: {name: l, " OVER_HILL "}\n", 9000);
    ck_assert_double_eq_tol(of(only(&ab).results, "battery_kwh"), of(only(&ba).results, "battery_kwh"), 1e-4);
    ck_assert_double_eq_tol(only(&ab).lowest_soc, only(&ba).lowest_soc, 1e-6);
    driven_end(&ab);
    driven_end(&ba);
}
END_TEST

START_TEST(the_reserve_falls_with_the_payload)
{
    double last = (double)INFINITY;
    for (size_t k = 0; k < 3; k++) {
        driven day = drive_day(WARM_TRACTOR, DAY_HEAD "  - rounds: {times: 2, each: [leg: {name: l, " OVER_HILL "}]}\n",
                               8000.0 * (double)k);
        ck_assert_double_lt(only(&day).reserve_kwh, last - 0.1);
        ck_assert_double_gt(only(&day).reserve_kwh, 0);
        last = only(&day).reserve_kwh;
        driven_end(&day);
    }
}
END_TEST

START_TEST(a_leg_is_parted_at_its_stops_and_carries_there_what_they_leave)
{
    static const double payload_kg[] = {9000, 9000, 6500, 6500, 0};
    for (int back = 0; back < 2; back++) {
        char text[600];
        snprintf(text, sizeof text,
                 DAY_HEAD
                 "  - leg: {name: l, " OVER_HILL ", direction: %s, stops: [stop: {name: one, place_m: %d, "
                 "payload_change_kg: -2500}, stop: {name: two, place_m: %d, payload_kg: 0, duration_min: 2}]}\n",
                 back ? "back" : "out", back ? 2000 : 1000, back ? 1000 : 2000);
        driven day = drive_day(WARM_TRACTOR, text, 9000);
        evn_day_phase p;
        double km = 0;
        size_t k = 0;
        for (; evn_day_phase_at(day.day, 0, k, &p); k++) {
            ck_assert_uint_lt(k, 5);
            ck_assert_double_eq(p.payload_kg, payload_kg[k]);
            ck_assert_double_eq(of(p.results, "payload_kg"), payload_kg[k]);
            ck_assert_int_eq(p.stop, k % 2);
            ck_assert_double_eq_tol(p.begin_km, km, 1e-9);
            km += of(p.results, "distance_km");
        }
        ck_assert_uint_eq(k, 5);
        ck_assert_double_eq_tol(km, 3, 1e-6);
        const evn_results *all = only(&day).results;
        ck_assert_double_eq_tol(of(all, "kwh_per_km"), of(all, "battery_kwh") / km, 1e-9);
        ck_assert_double_gt(of(all, "payload_kg"), 4000);
        ck_assert_double_lt(of(all, "payload_kg"), 7000);
        evn_day_phase_at(day.day, 0, 1, &p);
        ck_assert_double_eq_tol(of(p.results, "duration_s"), back ? 40 : 20, 1e-9); /* the cycle's own wait */
        evn_day_phase_at(day.day, 0, 3, &p);
        ck_assert_double_eq_tol(of(p.results, "duration_s"), 120, 1e-9);
        driven_end(&day);
    }
}
END_TEST

/* Out and back the heights are the same ones: what rose falls. */
START_TEST(the_way_back_falls_where_the_way_out_rises)
{
    driven day = drive_day(
        WARM_TRACTOR,
        DAY_HEAD "  - leg: {name: out, " OVER_HILL "}\n  - leg: {name: back, " OVER_HILL ", direction: back}\n", 9000);
    evn_day_phase out, back;
    ck_assert(evn_day_phase_at(day.day, 0, 0, &out) && evn_day_phase_at(day.day, 0, 1, &back));
    double rise_kwh = of(out.results, "energy_balance.potential_kwh");
    ck_assert_double_gt(rise_kwh, 0.5);
    ck_assert_double_eq_tol(of(back.results, "energy_balance.potential_kwh"), -rise_kwh, 1e-6);
    ck_assert_double_eq_tol(of(back.results, "distance_km"), of(out.results, "distance_km"), 1e-9);
    ck_assert_double_gt(of(out.results, "battery_kwh"), of(back.results, "battery_kwh"));
    driven_end(&day);
}
END_TEST

START_TEST(a_year_is_the_days_of_its_seasons)
{
    driven day = drive_day(WARM_TRACTOR,
                           DAY_HEAD "  - leg: {name: l, " OVER_HILL "}\nworking_days_per_year: 200\nseasons: {cold: "
                                    "{share: 0.25, load_case: {temperature_degc: -10}}, warm: {share: 0.75}}\n",
                           9000);
    evn_day_season cold, warm;
    ck_assert(evn_day_season_at(day.day, 0, &cold) && evn_day_season_at(day.day, 1, &warm));
    ck_assert_double_gt(of(cold.results, "battery_kwh"), of(warm.results, "battery_kwh"));
    ck_assert_uint_eq(evn_day_worst_season(day.day), 0);
    const evn_results *year = evn_day_year(day.day);
    double days_kwh = 50 * of(cold.results, "battery_kwh") + 150 * of(warm.results, "battery_kwh");
    ck_assert_double_eq_tol(of(year, "battery_kwh"), days_kwh, 1e-9 * days_kwh);
    ck_assert_double_eq_tol(of(year, "distance_km"), 600, 1e-6);
    ck_assert_double_eq_tol(of(year, "kwh_per_km"), days_kwh / 600, 1e-9);
    ck_assert_double_eq_tol(of(year, "final_soc"), cold.lowest_soc, 1e-12);
    driven_end(&day);
}
END_TEST

typedef struct reel { /* rows of a leg or stop */
    size_t begun, rows;
    double first_s, last_s;
} reel;

enum { SEASONS = 2, LEGS = 3 };

typedef struct watched {
    reel reel[SEASONS][LEGS];
    evn_sampler sampler;
    size_t asked;
} watched;

static void begin(void *self) { ((reel *)self)->begun++; }

/* The time is the first column of every trace. */
static void take(void *self, const double *at, size_t columns)
{
    reel *r = self;
    ck_assert_uint_gt(columns, 10);
    r->first_s = r->rows++ == 0 ? at[0] : r->first_s;
    r->last_s = at[0];
}

static evn_samplers sample(void *self, size_t season, const evn_rig *rig, size_t phase)
{
    watched *w = self;
    ck_assert_uint_gt(evn_trace_column_count(rig), 10); /* of the season that is to come */
    ck_assert_uint_lt(season, SEASONS);
    ck_assert_uint_lt(phase, LEGS);
    ck_assert_uint_eq(w->asked++, LEGS * season + phase); /* in their order */
    w->sampler = (evn_sampler){&w->reel[season][phase], 5, begin, take};
    return (evn_samplers){phase == 1 ? NULL : &w->sampler, phase == 1 ? 0 : 1};
}

START_TEST(rows_come_of_each_leg_that_is_sampled_from_its_begin_to_its_end_and_change_nothing)
{
    static const char text[] = DAY_HEAD "  - leg: {name: out, " OVER_HILL "}\n  - stop: {name: s, duration_min: 1}\n"
                                        "  - leg: {name: back, " OVER_HILL ", direction: back}\n"
                                        "seasons: {cold: {share: 0.5, load_case: {temperature_degc: -10}}, warm: "
                                        "{share: 0.5}}\n";
    watched w = {0};
    driven with = drive_day_so(WARM_TRACTOR, text, 9000, &(evn_day_how){.self = &w, .samplers = sample});
    driven without = drive_day(WARM_TRACTOR, text, 9000);
    ck_assert_uint_eq(w.asked, SEASONS * LEGS);
    for (size_t season = 0; season < SEASONS; season++)
        for (size_t k = 0; k < LEGS; k++) {
            const reel *r = &w.reel[season][k];
            evn_day_phase a, b;
            ck_assert(evn_day_phase_at(with.day, season, k, &a) && evn_day_phase_at(without.day, season, k, &b));
            ck_assert(of(a.results, "battery_kwh") == of(b.results, "battery_kwh"));
            ck_assert_uint_eq(r->begun, k == 1 ? 0 : 1);
            ck_assert_double_eq(r->first_s, 0);
            if (k != 1)
                ck_assert_double_eq_tol(r->last_s, of(a.results, "duration_s"), 1e-9);
        }
    driven_end(&with);
    driven_end(&without);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("days");
    TCase *phases = tcase_create("phases"), *days = tcase_create("days");
    tcase_add_loop_test(phases, a_leg_that_is_cut_at_a_stop_comes_to_what_the_whole_leg_does, 0, CUTS);
    tcase_add_loop_test(phases, a_wait_of_the_cycle_is_what_a_stop_of_its_own_is, 0, CUTS);
    tcase_add_test(phases, the_balance_of_each_phase_closes_and_so_does_that_of_all_together);
    tcase_add_test(phases, a_wait_takes_the_power_of_what_runs_times_its_time);
    tcase_add_test(phases, charging_loses_the_square_of_the_current_times_the_resistance);
    tcase_add_test(phases, a_stop_without_a_duration_lasts_until_the_charge_that_is_asked_is_there);
    tcase_add_test(phases, a_stop_that_lasts_on_keeps_the_charge_that_was_asked);
    tcase_add_test(phases, a_battery_takes_no_more_than_its_own_limit_of_a_stronger_connector);
    tcase_add_test(phases, a_day_of_two_alike_legs_is_two_runs_of_which_the_second_starts_where_the_first_ended);
    tcase_add_test(phases, a_second_leg_begins_with_the_heat_of_the_first);
    tcase_add_checked_fixture(days, day_begin, folder_gone);
    tcase_add_test(days, a_stop_of_no_time_changes_nothing);
    tcase_add_test(days, stops_in_a_row_may_change_places);
    tcase_add_test(days, the_reserve_falls_with_the_payload);
    tcase_add_test(days, a_leg_is_parted_at_its_stops_and_carries_there_what_they_leave);
    tcase_add_test(days, the_way_back_falls_where_the_way_out_rises);
    tcase_add_test(days, a_year_is_the_days_of_its_seasons);
    tcase_add_test(days, rows_come_of_each_leg_that_is_sampled_from_its_begin_to_its_end_and_change_nothing);
    suite_add_tcase(suite, phases);
    suite_add_tcase(suite, days);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
