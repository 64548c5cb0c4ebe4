/* What a trip does at its limits: on slopes, with an empty or a full pack, with hot motors, at the ends of a cycle. */
#define _POSIX_C_SOURCE 200809L
#include "folder.h"
#include "scene.h"
#include "truck/rig.h"

#define IDEAL "tests/trucks/ideal.yaml"
#define SINGLE "tests/trucks/single-speed.yaml"
#define FOUR "tests/trucks/four-speed.yaml"

static double held_s(const drive *run, const char *limit)
{
    evn_limitation held;
    for (size_t k = 0; evn_results_limitation_at(run->results, k, &held); k++)
        if (strcmp(held.limit, limit) == 0)
            return held.duration_s;
    return 0;
}

static double highest(const drive *run, const trace *rows, const char *key)
{
    double most = -(double)INFINITY;
    for (size_t k = 0; k < rows->rows; k++)
        most = fmax(most, at_row(rows, k, column(run, key)));
    return most;
}

static double lowest(const drive *run, const trace *rows, const char *key)
{
    double least = (double)INFINITY;
    for (size_t k = 0; k < rows->rows; k++)
        least = fmin(least, at_row(rows, k, column(run, key)));
    return least;
}

static const evn_driver both[] = {EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT};

/* ------------------------------------------------------------------------------------------------ slopes */

#define SLOPE(percent) "road: {place_m: [0, 500], grade_percent: [" #percent ", " #percent "]}\n"
#define HALF_KM "length_m: 500\nspeed: {place_m: [0], limit_km_h: [60]}\n"

START_TEST(a_launch_uphill_takes_a_gear_that_starts)
{
    scene it = scene_of(FOUR, NULL, HALF_KM SLOPE(12));
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    size_t row = 0, accel = column(&run, "acceleration_m_s2");
    while (at_row(&it.rows, row, accel) == 0)
        row++;
    /* 40 t at 12 % need 48.5 kN; 3rd gear reaches 31 kN, 2nd 55 kN, 1st 65 kN by adhesion */
    ck_assert_double_le(at_row(&it.rows, row, column(&run, "gear")), 2);
    ck_assert_double_gt(at_row(&it.rows, row, accel), 0.1);
    ck_assert_double_gt(at_row(&it.rows, row, column(&run, "wheel_force_kn")), 48);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_launch_downhill_takes_a_higher_gear_than_uphill)
{
    double gear[2];
    const char *const cycles[] = {HALF_KM SLOPE(-5), HALF_KM SLOPE(12)};
    for (size_t k = 0; k < 2; k++) {
        scene it = scene_of(FOUR, NULL, cycles[k]);
        drive run = play(&it);
        must_finish(&run);
        gear[k] = at_row(&it.rows, 1, column(&run, "gear"));
        scene_end(&it, &run);
    }
    ck_assert_double_gt(gear[0], gear[1]);
}
END_TEST

static void must_stall(scene *it, double least_km)
{
    drive run = play(it);
    ck_assert_int_eq(run.status, EVN_ANSWER_NO);
    ck_assert(was_said(&run, "cannot_start"));
    ck_assert_str_eq(evn_results_status(run.results), "stalled");
    ck_assert_double_ge(result(&run, "distance_km"), least_km);
    ck_assert_double_lt(result(&run, "distance_km"), 0.5);
    ck_assert(isnan(result(&run, "delay_s")));
    ck_assert(result(&run, "energy_balance.kinetic_kwh") == 0);
    ck_assert_double_ge(result(&run, "peak_winding_temperature_degc"), 65); /* it starts at its coolant's */
    ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
    ck_assert_double_ge(lowest(&run, &it->rows, "speed_km_h"), -1e-9);
    scene_end(it, &run);
}

START_TEST(a_truck_that_cannot_start_stalls_and_says_so)
{
    scene it = scene_of(FOUR, NULL, HALF_KM SLOPE(40));
    it.ask.driving.driver = both[_i];
    must_stall(&it, 0);
}
END_TEST

START_TEST(a_truck_that_a_slope_stops_stalls_there)
{
    scene it = scene_of(FOUR, NULL, HALF_KM "road: {place_m: [200, 220, 500], grade_percent: [0, 40, 40]}");
    it.ask.driving.driver = both[_i];
    must_stall(&it, 0.2);
}
END_TEST

START_TEST(a_long_pause_on_a_slope_costs_speed_and_a_truck_brought_to_rest_starts_again)
{
    scene it = scene_of(FOUR, "drive_units: {rear: {gearbox: {shift: {time_s: 8, price_kj: 1}}}}", HALF_KM SLOPE(7));
    drive run = play(&it);
    must_finish(&run);
    size_t speed = column(&run, "speed_km_h"), place = column(&run, "place_m"), gear = column(&run, "gear");
    size_t rests = 0, losses = 0;
    for (size_t k = 1; k < it.rows.rows; k++) {
        double before = at_row(&it.rows, k - 1, speed), now = at_row(&it.rows, k, speed);
        bool pause = at_row(&it.rows, k - 1, gear) == 0;
        ck_assert_double_ge(now, -1e-9);
        ck_assert_double_ge(at_row(&it.rows, k, place), at_row(&it.rows, k - 1, place) - 1e-9);
        ck_assert(!pause || now <= before + 1e-9);
        losses += pause && now < before - 1;
        rests += pause && before > 0 && now <= 0;
    }
    ck_assert_uint_gt(losses, 5);
    ck_assert_uint_ge(rests, 1);
    ck_assert_double_gt(held_s(&run, "gear_change"), 8);
    ck_assert_double_eq_tol(result(&run, "distance_km"), 0.5, 1e-9);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

START_TEST(a_truck_goes_no_faster_than_its_motor_turns)
{
    scene it = scene_of(FOUR, "drive_units: {rear: {motors: {a: {top_speed_rpm: 1600}}}}",
                        "length_m: 4000\nspeed: {place_m: [0], limit_km_h: [90]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    double top_km_h = 1600 * acos(-1) / 30 / 3.7 * 0.492 * 3.6;
    ck_assert_double_le(highest(&run, &it.rows, "speed_km_h"), top_km_h * (1 + 1e-6));
    ck_assert_double_gt(highest(&run, &it.rows, "speed_km_h"), 0.999 * top_km_h);
    ck_assert_double_gt(held_s(&run, "top_speed"), 60);
    ck_assert_double_gt(result(&run, "delay_s"), 15);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_run_ends_where_the_pack_is_empty)
{
    scene it = scene_of(FOUR, NULL, "length_m: 50000\nspeed: {place_m: [0], limit_km_h: [80]}");
    it.ask.driving.driver = both[_i];
    it.ask.load_case.start_soc = 0.1;
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_ANSWER_NO);
    ck_assert(was_said(&run, "battery_empty"));
    ck_assert_str_eq(evn_results_status(run.results), "battery_empty");
    ck_assert_double_eq_tol(result(&run, "final_soc"), 0.06, 1e-6);
    ck_assert_double_lt(result(&run, "distance_km"), 49);
    ck_assert_double_gt(result(&run, "distance_km"), 5);
    ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
    ck_assert_double_gt(result(&run, "energy_balance.kinetic_kwh"), 0); /* it still rolls */
    scene_end(&it, &run);
}
END_TEST

static bool not_for_ever(void *self, double done_share)
{
    (void)done_share;
    return --*(int *)self > 0;
}

#define DOWNHILL                                                                                                       \
    "length_m: 6000\nspeed: {place_m: [0], limit_km_h: [50]}\nroad: {place_m: [0, 6000], grade_percent: [-6, -6]}"

START_TEST(a_full_pack_takes_no_charge_and_friction_brakes_the_truck_instead)
{
    int patience = 100; /* questions, one in a thousand steps: far more than such a run has */
    scene it = scene_of(FOUR, NULL, DOWNHILL);
    it.ask.driving.driver = both[_i];
    it.ask.load_case.start_soc = 0.94;
    it.watcher = (evn_watcher){.self = &patience, .go_on = not_for_ever};
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_le(result(&run, "final_soc"), 0.94 + 1e-9);
    ck_assert_double_lt(result(&run, "regenerated_kwh"), 1.01 * result(&run, "discharged_kwh"));
    /* 39775 kg fall by 359 m: 38.9 kWh, of which tyres and air take about 5 */
    ck_assert_double_gt(result(&run, "energy_balance.friction_brakes_kwh"), 25);
    scene_end(&it, &run);
}
END_TEST

START_TEST(without_regeneration_the_motors_never_brake)
{
    double brakes_kwh[2], battery_kwh[2];
    for (int off = 0; off < 2; off++) {
        scene it = scene_of(FOUR, off ? "brakes: {regeneration: false}" : NULL, DOWNHILL);
        it.ask.driving.driver = both[_i];
        it.ask.load_case.start_soc = 0.5;
        drive run = play(&it);
        must_finish(&run);
        brakes_kwh[off] = result(&run, "energy_balance.friction_brakes_kwh");
        battery_kwh[off] = result(&run, "battery_kwh");
        if (off) {
            ck_assert_double_ge(lowest(&run, &it.rows, "motor_torque_nm"), -1e-6);
            ck_assert_double_lt(result(&run, "regenerated_kwh"), 0.05); /* of rotors slowed at gear changes */
        } else {
            ck_assert_double_lt(lowest(&run, &it.rows, "motor_torque_nm"), -500);
        }
        scene_end(&it, &run);
    }
    ck_assert_double_gt(brakes_kwh[1], brakes_kwh[0] + 20);
    ck_assert_double_lt(battery_kwh[0], 0);
    ck_assert_double_gt(battery_kwh[1], 0);
}
END_TEST

START_TEST(regeneration_fades_out_as_the_truck_slows)
{
    scene it = scene_of(FOUR, NULL, "length_m: 600\nspeed: {place_m: [0], limit_km_h: [40]}");
    it.ask.driving.driver = both[_i];
    it.ask.driving.trace_interval_s = 0.1;
    drive run = play(&it);
    must_finish(&run);
    size_t speed = column(&run, "speed_km_h"), torque = column(&run, "motor_torque_nm");
    size_t brake = column(&run, "friction_brake_force_kn"), place = column(&run, "place_m"), below = 0, above = 0;
    for (size_t k = 0; k < it.rows.rows; k++) {
        double v = at_row(&it.rows, k, speed);
        if (at_row(&it.rows, k, place) < 300 || v <= 0)
            continue;
        if (v < 5) {
            ck_assert_double_ge(at_row(&it.rows, k, torque), -1e-6);
            ck_assert_double_gt(at_row(&it.rows, k, brake), 10);
            below++;
        } else if (v < 10) {
            ck_assert_double_ge(at_row(&it.rows, k, torque), -2500 * (v - 5) / 5 - 1e-6);
        } else if (at_row(&it.rows, k, torque) < 0) {
            above++;
        }
    }
    ck_assert_uint_gt(below, 10);
    ck_assert_uint_gt(above, 10);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_hot_motor_gives_less_and_the_truck_is_slower)
{
    double time_s[2];
    for (int hot = 0; hot < 2; hot++) {
        scene it = scene_of(FOUR, hot ? "drive_units: {rear: {motors: {a: {winding: {start_degc: 170}}}}}" : NULL,
                            "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [80]}");
        it.ask.driving.driver = both[_i];
        drive run = play(&it);
        must_finish(&run);
        time_s[hot] = result(&run, "duration_s");
        ck_assert(hot == (held_s(&run, "winding_temperature") > 10));
        ck_assert(!hot || fabs(result(&run, "peak_winding_temperature_degc") - 170) < 1e-3);
        scene_end(&it, &run);
    }
    ck_assert_double_gt(time_s[1], time_s[0] + 5);
}
END_TEST

START_TEST(where_no_file_states_how_windings_heat_there_is_no_temperature_of_them)
{
    scene it = scene_of(SINGLE, NULL, HALF_KM);
    drive run = play(&it);
    must_finish(&run);
    ck_assert(isnan(result(&run, "peak_winding_temperature_degc")));
    ck_assert(isnan(result(&run, "drive_units.rear.peak_winding_temperature_degc")));
    scene_end(&it, &run);
}
END_TEST

START_TEST(tyres_pull_no_harder_than_adhesion_times_load)
{
    scene it = scene_of(FOUR, "adhesion: {driving: 0.15, regenerating: 0.05}",
                        "length_m: 2000\nspeed: {place_m: [0], limit_km_h: [60]}\n"
                        "road: {place_m: [0, 2000], grade_percent: [2, 2]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_gt(held_s(&run, "adhesion"), 10);
    size_t force = column(&run, "wheel_force_kn"), accel = column(&run, "acceleration_m_s2"),
           brake = column(&run, "friction_brake_force_kn");
    size_t pulls = 0, brakes = 0;
    double cosine = 1 / sqrt(1 + 0.02 * 0.02);
    for (size_t k = 0; k < it.rows.rows; k++) {
        double tyre_n = 1000 * at_row(&it.rows, k, force);
        double load_n = evn_axle_load_n(&run.rig->axle[1].load, 9.80665, cosine, 0.02 * cosine,
                                        at_row(&it.rows, k, accel), 1000 * at_row(&it.rows, k, brake));
        ck_assert_double_le(tyre_n, 0.15 * load_n * (1 + 1e-6));
        ck_assert_double_ge(tyre_n, -0.05 * load_n * (1 + 1e-6));
        pulls += tyre_n > 0.15 * load_n * (1 - 1e-6);
        brakes += tyre_n < -0.05 * load_n * (1 - 1e-6);
    }
    ck_assert_uint_gt(pulls, 5);
    ck_assert_uint_gt(brakes, 2);
    scene_end(&it, &run);
}
END_TEST

/* Where load moves to the driven axle faster than adhesion uses it up, no force is too much. */
START_TEST(tyres_that_stick_to_the_road_never_limit)
{
    scene it = scene_of(IDEAL, "adhesion: {driving: 100, regenerating: 100}", HALF_KM SLOPE(5));
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    ck_assert(held_s(&run, "adhesion") == 0);
    scene_end(&it, &run);
}
END_TEST

/* A steady speed uphill that needs within a few newtons what adhesion gives: on the plan or off it, the truck gets on.
 */
START_TEST(a_truck_at_the_very_edge_of_its_adhesion_gets_on)
{
    int patience = 100; /* questions, one in a thousand steps: far more than such a run has */
    const double accuracy[] = {1e-3, 1e-4, 1e-5, 1e-6, 1e-8};
    scene it = scene_of(FOUR,
                        "adhesion: {driving: 0.1186}\nbattery: {resistance_ohm: 0.09685, discharge_limit_kw: 221.7}\n"
                        "brakes: {fade_from_km_h: 6.43, fade_to_km_h: 2.43}\nauxiliaries: {power_kw: 17.1}\n"
                        "drive_units: {rear: {gearbox: {shift: {price_kj: 95.8, dwell_s: 3.29}}, "
                        "motors: {a: {peak_torque_nm: 3673.4, winding: {start_degc: 84.85}}}}}",
                        "length_m: 4900\n"
                        "speed: {place_m: [0, 891, 1559, 1822, 2885, 3770, 4229], "
                        "limit_km_h: [73.19, 24.49, 27.07, 92.74, 18.96, 50.7, 52.45]}\n"
                        "road: {place_m: [0, 506, 743, 1323, 1522, 1914], "
                        "grade_percent: [2.15, 0.053, 5.38, -1.9, -3.04, 0.18]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.accuracy = accuracy[_i];
    it.ask.load_case.start_soc = 0.94;
    it.ask.load_case.payload_kg = 0;
    it.watcher = (evn_watcher){.self = &patience, .go_on = not_for_ever};
    drive run = play(&it);
    ck_assert_msg(run.status == EVN_DONE, "%s", first_finding(run.report));
    scene_end(&it, &run);
}
END_TEST

/* The pause of a gear change, uphill, in the last metre before a stop: the truck must still arrive, not creep. */
START_TEST(a_gear_change_just_before_a_stop_does_not_keep_the_truck_from_it)
{
    int patience = 100;
    scene it =
        scene_of(FOUR,
                 "drive_units: {rear: {gearbox: {shift: {time_s: 0.1, price_kj: 7}}, "
                 "motors: {a: {peak_torque_nm: 3336, peak_power_kw: 503}}}}\n"
                 "battery: {charge_limit_kw: 0}\nadhesion: {driving: 0.361}",
                 "speed: {time_s: [0, 30, 60, 90, 120, 150], speed_km_h: [45.22, 12.31, 42.81, 21.5, 0, 13.49]}\n"
                 "road: {place_m: [0, 393, 878, 1232], grade_percent: [2.69, 0.497, 4.45, -0.426]}");
    it.ask.load_case.start_soc = 0.36662187516603467;
    it.ask.load_case.payload_kg = 4962.8;
    it.watcher = (evn_watcher){.self = &patience, .go_on = not_for_ever};
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_lt(result(&run, "duration_s"), 170);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ ends */

START_TEST(a_cycle_may_begin_and_end_moving)
{
    scene it = scene_of(IDEAL, NULL, "speed: {time_s: [0, 60, 100], speed_km_h: [36, 72, 54]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    /* 18 t, six wheels of 10 kg m2 at 0.5 m, a rotor of 0.5 kg m2 at ratio 10 */
    double effective_kg = 18000 + 6 * 10 / 0.25 + 0.5 * 100 / 0.25;
    double kinetic_kwh = 0.5 * effective_kg * (15.0 * 15 - 10 * 10) / 3.6e6;
    bool exact = both[_i] == EVN_DRIVER_EXACT;
    ck_assert_double_eq_tol(result(&run, "energy_balance.kinetic_kwh"), kinetic_kwh, exact ? 1e-9 : 0.05 * kinetic_kwh);
    ck_assert_double_eq_tol(result(&run, "duration_s"), 100, exact ? 1e-9 : 1);
    ck_assert_double_eq_tol(result(&run, "distance_km"), (60 * 15 + 40 * 17.5) / 1000, 1e-9);
    ck_assert_double_eq_tol(at_row(&it.rows, 0, column(&run, "speed_km_h")), 36, 1e-9);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_truck_still_behind_its_plan_where_a_cycle_ends_moving_finishes)
{
    scene it = scene_of(FOUR, NULL, "speed: {time_s: [0, 20], speed_km_h: [0, 80]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq_tol(result(&run, "distance_km"), 0.5 * 20 * 80 / 3.6 / 1000, 1e-9);
    ck_assert_double_gt(result(&run, "delay_s"), 1);
    ck_assert_double_gt(result(&run, "energy_balance.kinetic_kwh"), 0);
    scene_end(&it, &run);
}
END_TEST

START_TEST(an_empty_truck_needs_less_and_has_no_energy_per_tonne)
{
    double energy_kwh[2];
    for (int empty = 0; empty < 2; empty++) {
        scene it = scene_of(FOUR, NULL, HALF_KM);
        it.ask.driving.driver = both[_i];
        it.ask.load_case.payload_kg = empty ? 0 : (double)NAN;
        drive run = play(&it);
        must_finish(&run);
        energy_kwh[empty] = result(&run, "battery_kwh");
        ck_assert(empty == isnan(result(&run, "kwh_per_t_km")));
        ck_assert_double_eq_tol(result(&run, "gross_mass_kg"), empty ? 16975 : 39775, 1e-9);
        scene_end(&it, &run);
    }
    ck_assert_double_lt(energy_kwh[1], 0.7 * energy_kwh[0]);
}
END_TEST

START_TEST(a_truck_without_a_gearbox_stays_in_its_one_gear)
{
    scene it = scene_of(SINGLE, NULL, "length_m: 3000\nspeed: {place_m: [0, 1500], limit_km_h: [80, 30]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    must_finish(&run);
    ck_assert(result(&run, "gear_changes") == 0 && result(&run, "energy_balance.gear_change_losses_kwh") == 0);
    ck_assert(highest(&run, &it.rows, "gear") == 1 && lowest(&run, &it.rows, "gear") == 1);
    scene_end(&it, &run);
}
END_TEST

/* Expected: the time between rows at which the column names a limit is that limit's time in the results. */
START_TEST(the_trace_names_the_limit_that_acts_as_long_as_the_results_have_it)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = _i == 0 ? EVN_DRIVER_HUMAN : EVN_DRIVER_EXACT;
    trace rows = {0};
    drive run = drive_whole(TRACTOR, HILL, &ask, &rows);
    size_t time = column(&run, "time_s"), by = column(&run, "limited_by"), seen = 0;
    const char *limit, *label;
    for (size_t k = 0; evn_limit_at(k, &limit, &label); k++) {
        double held = 0;
        for (size_t row = 0; row + 1 < rows.rows; row++)
            if (at_row(&rows, row, by) == (double)(k + 1))
                held += at_row(&rows, row + 1, time) - at_row(&rows, row, time);
        ck_assert_msg(fabs(held - held_s(&run, limit)) < 1e-6, "%s: %.9g s for %.9g", label, held, held_s(&run, limit));
        seen += held > 0;
    }
    ck_assert_uint_ge(seen, 2);
    trace_end(&rows);
    drive_end(&run);
}
END_TEST

START_TEST(a_run_can_be_ended_from_outside)
{
    int patience = 3;
    evn_conditions ask = evn_conditions_default();
    evn_watcher watcher = {.self = &patience, .go_on = not_for_ever};
    ask.driving.driver = both[_i];
    drive run = drive_any(FOUR, URBAN, &ask, &watcher);
    ck_assert_int_eq(run.status, EVN_NO_RESULT);
    ck_assert_int_eq(patience, 0);
    ck_assert(was_said(&run, "interrupted"));
    ck_assert_str_eq(evn_results_status(run.results), "interrupted");
    ck_assert_double_gt(result(&run, "distance_km"), 0.1);
    ck_assert_double_lt(result(&run, "distance_km"), 11);
    ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
    drive_end(&run);
}
END_TEST

START_TEST(what_cannot_be_asked_of_a_run_is_bad_input)
{
    for (int k = 0; k < 14; k++) {
        evn_conditions ask = evn_conditions_default();
        double *const member[] = {&ask.driving.accuracy,
                                  &ask.driving.accuracy,
                                  &ask.driving.accuracy,
                                  &ask.driving.accuracy,
                                  &ask.driving.speed_gain_1_s,
                                  &ask.driving.speed_gain_1_s,
                                  &ask.driving.look_ahead_s,
                                  &ask.driving.look_ahead_s,
                                  &ask.driving.comfort_acceleration_m_s2,
                                  &ask.driving.comfort_acceleration_m_s2,
                                  &ask.driving.comfort_braking_m_s2,
                                  &ask.driving.comfort_braking_m_s2,
                                  &ask.driving.trace_interval_s,
                                  &ask.driving.trace_interval_s};
        const double value[] = {2e-3, 1e-13,       0, (double)NAN, 0, 20, 0,
                                100,  (double)NAN, 0, (double)NAN, 0, 0,  (double)NAN};
        *member[k] = value[k];
        drive run = drive_any(FOUR, HILL, &ask, NULL);
        ck_assert_msg(run.status == EVN_BAD_INPUT && !run.results, "case %d gave status %d", k, run.status);
        ck_assert_msg(was_said(&run, "out_of_range"), "case %d: %s", k, first_finding(run.report));
        drive_end(&run);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("trip");
    TCase *scenes = tcase_create("scenes");
    tcase_add_checked_fixture(scenes, folder_begin, folder_end);
    tcase_add_loop_test(scenes, a_launch_uphill_takes_a_gear_that_starts, 0, 2); /* 0: human, 1: exact */
    tcase_add_test(scenes, a_launch_downhill_takes_a_higher_gear_than_uphill);
    tcase_add_loop_test(scenes, a_truck_that_cannot_start_stalls_and_says_so, 0, 2);
    tcase_add_loop_test(scenes, a_truck_that_a_slope_stops_stalls_there, 0, 2);
    tcase_add_test(scenes, a_long_pause_on_a_slope_costs_speed_and_a_truck_brought_to_rest_starts_again);
    tcase_add_loop_test(scenes, a_truck_goes_no_faster_than_its_motor_turns, 0, 2);
    tcase_add_loop_test(scenes, a_run_ends_where_the_pack_is_empty, 0, 2);
    tcase_add_loop_test(scenes, a_full_pack_takes_no_charge_and_friction_brakes_the_truck_instead, 0, 2);
    tcase_add_loop_test(scenes, without_regeneration_the_motors_never_brake, 0, 2);
    tcase_add_loop_test(scenes, regeneration_fades_out_as_the_truck_slows, 0, 2);
    tcase_add_loop_test(scenes, a_hot_motor_gives_less_and_the_truck_is_slower, 0, 2);
    tcase_add_test(scenes, where_no_file_states_how_windings_heat_there_is_no_temperature_of_them);
    tcase_add_loop_test(scenes, tyres_pull_no_harder_than_adhesion_times_load, 0, 2);
    tcase_add_loop_test(scenes, tyres_that_stick_to_the_road_never_limit, 0, 2);
    tcase_add_loop_test(scenes, a_truck_at_the_very_edge_of_its_adhesion_gets_on, 0, 5);
    tcase_add_test(scenes, a_gear_change_just_before_a_stop_does_not_keep_the_truck_from_it);
    tcase_add_loop_test(scenes, a_cycle_may_begin_and_end_moving, 0, 2);
    tcase_add_loop_test(scenes, a_truck_still_behind_its_plan_where_a_cycle_ends_moving_finishes, 0, 2);
    tcase_add_loop_test(scenes, an_empty_truck_needs_less_and_has_no_energy_per_tonne, 0, 2);
    tcase_add_loop_test(scenes, a_truck_without_a_gearbox_stays_in_its_one_gear, 0, 2);
    tcase_add_loop_test(scenes, the_trace_names_the_limit_that_acts_as_long_as_the_results_have_it, 0, 2);
    tcase_add_loop_test(scenes, a_run_can_be_ended_from_outside, 0, 2);
    tcase_add_test(scenes, what_cannot_be_asked_of_a_run_is_bad_input);
    suite_add_tcase(suite, scenes);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
