/* Limits that a file states and a run meets or passes: what is told, by which name, and that the run ends. */
#define _POSIX_C_SOURCE 200809L
#include "scene.h"
#include "trip/headway.h"
#include "trip/passed.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define BRAKED "tests/trucks/friction-brakes.yaml"
#define WARM "tests/trucks/warm.yaml"
#define TWINS "tests/trucks/plain/tractor-4x2-two-eaxles.yaml"
#define TANDEM "tests/trucks/plain/tractor-6x4-eaxle.yaml"
#define TIPPER "tests/trucks/plain/tipper-8x4-eaxle.yaml"

static const char *finding_of(const drive *run, const char *fault, const char *piece)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(run->report, k, &found); k++)
        if (strcmp(found.fault, fault) == 0 && strstr(found.text, piece))
            return found.text;
    return NULL;
}

static void must_tell(const drive *run, const char *fault, const char *piece)
{
    ck_assert_msg(finding_of(run, fault, piece), "no %s with '%s'; first: %s", fault, piece,
                  first_finding(run->report));
}

/* A cycle of the tree by its path, in a scene. */
static drive play_over(scene *it, char cycle[400], const char *path)
{
    char here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(cycle, 400, "extends: %.290s/%.90s", here, path);
    it->cycle = cycle;
    return play(it);
}

/* ------------------------------------------------------------------------------------------------ corners */

START_TEST(two_alike_units_begin_to_derate_within_a_hair_without_throwing_each_other_back)
{
    char cycle[400];
    scene it = scene_of(TWINS,
                        "drive_units:\n  leading: {gearbox: {shift: {price_kj: 1, dwell_s: 1}}}\n"
                        "  trailing: {gearbox: {shift: {price_kj: 1, dwell_s: 1}}}",
                        NULL);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play_over(&it, cycle, "cycles/scenarios/pass-road.yaml");
    must_finish(&run);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ passed */

#define RAISED "drive_units: {leading: {motors: {a: {peak_torque_nm: 1400}, b: {peak_torque_nm: 1400}}}}"

START_TEST(a_winding_that_derating_cannot_hold_is_a_finding_with_place_and_time)
{
    char cycle[400];
    scene it = scene_of(TANDEM, RAISED, NULL);
    drive run = play_over(&it, cycle, "cycles/reference/cruise-65.yaml");
    ck_assert_str_eq(evn_results_status(run.results), "finished");
    ck_assert_int_eq(run.status, EVN_DONE);
    double peak = result(&run, "peak_winding_temperature_degc");
    ck_assert_double_gt(peak, 200);
    const char *text = finding_of(&run, "limit_passed", "winding of drive unit leading");
    ck_assert_ptr_nonnull(text);
    double told, km, s;
    ck_assert_int_eq(sscanf(text, "winding of drive unit leading at %lf degC at %lf km, %lf s", &told, &km, &s), 3);
    ck_assert_double_eq_tol(told, peak, 0.1);
    ck_assert(km > 1 && km < result(&run, "distance_km") && s > 60 && s < result(&run, "duration_s"));
    ck_assert_ptr_nonnull(strstr(text, "expected at most 175 degC, where derating ends"));
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_strict_report_takes_a_limit_that_is_passed_for_an_error_and_has_the_results)
{
    evn_conditions ask = evn_conditions_default();
    drive run = {.report = evn_report_new()};
    char path[PATH_BYTES], here[300], text[800];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, TANDEM, RAISED);
    write_file("truck.yaml", text);
    evn_truck *truck = load_truck(in_folder(path, "truck.yaml"));
    evn_cycle *cycle = load_cycle("cycles/reference/cruise-65.yaml");
    ck_assert(!evn_report_be_strict(run.report, true));
    ck_assert(evn_report_be_strict(run.report, true));
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &run.rig, run.report), EVN_DONE);
    run.status = evn_drive(run.rig, cycle, &ask.driving, NULL, &run.results, run.report);
    ck_assert_int_eq(run.status, EVN_BAD_INPUT);
    ck_assert_str_eq(evn_results_status(run.results), "finished");
    evn_truck_free(truck);
    evn_cycle_free(cycle);
    drive_end(&run);
}
END_TEST

START_TEST(a_truck_that_keeps_its_limits_is_told_of_none)
{
    char cycle[400];
    scene it = scene_of(TANDEM, NULL, NULL);
    drive run = play_over(&it, cycle, "cycles/scenarios/pass-road.yaml");
    must_finish(&run);
    ck_assert(!was_said(&run, "limit_passed"));
    scene_end(&it, &run);
}
END_TEST

/* Losses without torque grow with the winding until no pack could feed them. */
START_TEST(losses_beyond_what_the_pack_can_give_end_the_run_by_name_with_every_limit_on_the_way)
{
    scene it =
        scene_of(TIPPER, "drive_units: {leading: {motors: {a: {peak_torque_nm: 4080}, b: {peak_torque_nm: 4080}}}}",
                 "length_m: 20000\nspeed: {place_m: [0], limit_km_h: [60]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.load_case.headwind_m_s = -30;
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_ANSWER_NO);
    ck_assert_str_eq(evn_results_status(run.results), "battery_too_weak");
    must_tell(&run, "battery_too_weak", "as much as its battery can give");
    must_tell(&run, "limit_passed", "winding");
    must_tell(&run, "limit_passed", "kW, the discharge limit");
    must_tell(&run, "limit_passed", "V, the minimum voltage");
    scene_end(&it, &run);
}
END_TEST

/* What the watches saw at one time, each limit reached or passed by two in a hundred. */
static void see(evn_trip *t, int passed, double by)
{
    const evn_pack *p = &t->rig->pack;
    const evn_unit *u = &t->rig->unit[0];
    t->seen = (evn_seen){1, 0, 0.5 * (p->minimum_v + p->maximum_v), p->out.limit_w, 1e5, {0}, 0};
    switch (passed) {
    case EVN_PASSED_WINDING:
        t->y[t->states.nodes_at[0]] = by * evn_unit_winding_limit_degc(u);
        break;
    case EVN_PASSED_INVERTER:
        t->seen.inverter_degc[0] = by * evn_unit_inverter_limit_degc(u);
        break;
    case EVN_PASSED_MOTOR_SPEED:
        t->seen.motor_rad_s[0] = by * evn_unit_top_rad_s(u);
        break;
    case EVN_PASSED_DISCHARGE:
        t->seen.terminal_w = by * t->seen.discharge_w;
        break;
    case EVN_PASSED_CHARGE:
        t->seen.terminal_w = -by * t->seen.charge_w;
        break;
    case EVN_PASSED_LOW_VOLTAGE:
        t->seen.terminal_v = p->minimum_v / by;
        break;
    case EVN_PASSED_COOLANT:
        t->y[t->states.at[EVN_Y_COOLANT]] = by * t->rig->cooling.limit_degc;
        break;
    case EVN_PASSED_BATTERY:
        t->y[t->states.at[EVN_Y_BATTERY]] = by * p->heat.limit_degc;
        break;
    case EVN_PASSED_BRAKE:
        t->y[t->states.axle_brake_degc_at[2]] = by * t->rig->axle[2].brake.limit_degc;
        break;
    case EVN_PASSED_FRICTION_POWER:
        t->seen.friction_w = by * t->rig->friction_limit_w;
        break;
    case EVN_PASSED_ADHESION:
        t->seen.adhesion = 0.3;
        t->seen.braking_rate = by * t->seen.adhesion;
        break;
    default:
        t->seen.terminal_v = by * p->maximum_v;
    }
}

START_TEST(each_limit_is_told_by_its_name_where_it_is_passed_and_not_where_it_is_reached)
{
    static const char *const names[EVN_PASSED_COUNT] = {"degC, where derating ends",
                                                        "most 110 degC, where derating ends",
                                                        "rpm, its top speed",
                                                        "kW, the discharge limit",
                                                        "the charge limit",
                                                        "V, the minimum voltage",
                                                        "V, the maximum voltage",
                                                        "degC, the limit of the coolant",
                                                        "degC, the limit of the battery",
                                                        "degC, the limit of the friction brakes",
                                                        "kW, the limit of friction braking power",
                                                        "the adhesion of the place"};
    static evn_trip trip;
    evn_load_case ask = evn_conditions_default().load_case;
    evn_truck *truck = load_truck(_i < EVN_PASSED_COOLANT    ? WARM
                                  : _i == EVN_PASSED_COOLANT ? "tests/trucks/cooled.yaml"
                                  : _i == EVN_PASSED_BATTERY ? "tests/trucks/judged-battery.yaml"
                                                             : BRAKED);
    evn_rig *rig = NULL;
    for (int beyond = 0; beyond < 2; beyond++) {
        evn_report *report = evn_report_new();
        evn_finding found;
        if (!rig)
            ck_assert_int_eq(evn_rig_prepare(truck, &ask, &rig, report), EVN_DONE);
        memset(&trip, 0, sizeof trip);
        trip.rig = rig;
        trip.report = report;
        trip.states = evn_states_of(rig);
        trip.motion = EVN_MOVING;
        see(&trip, _i, beyond ? 1.02 : 1);
        evn_passed_note(&trip, 1, trip.y);
        evn_passed_say(&trip);
        ck_assert_uint_eq(evn_report_count(report), (size_t)beyond);
        ck_assert(!beyond || (evn_report_at(report, 0, &found) && strstr(found.text, names[_i])));
        ck_assert(!beyond || _i != EVN_PASSED_BATTERY || strstr(found.text, "battery at"));
        ck_assert(!beyond || _i != EVN_PASSED_BRAKE || strstr(found.text, "axle trailer at"));
        evn_report_free(report);
    }
    evn_rig_free(rig);
    evn_truck_free(truck);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ stalls */

static const struct {
    const char *changes, *road, *piece, *other;
} stalls[] = {
    /* a winding that leaves four per cent of the torque */
    {"drive_units: {rear: {motors: {a: {winding: {start_degc: 174, time_constant_s: 100000}}}}}", "4",
     "winding of drive unit rear is at 174", "first gear"},
    {"adhesion: {driving: 0.05}", "6", "driven tyres carry", "first gear"},
    {"drive_units: {rear: {motors: {a: {peak_torque_nm: 100, peak_power_kw: 30}}}}", "8", "its motors give", "winding"},
};

/* "needs 51.2 kN ... 5.7 kN": what is needed is more than what there is. */
START_TEST(a_truck_that_cannot_move_off_is_told_what_binds_it_with_both_forces)
{
    char cycle[300];
    snprintf(
        cycle, sizeof cycle,
        "length_m: 900\nspeed: {place_m: [0], limit_km_h: [60]}\nroad: {place_m: [0, 900], grade_percent: [%s, %s]}",
        stalls[_i].road, stalls[_i].road);
    scene it = scene_of(FOUR, stalls[_i].changes, cycle);
    drive run = play(&it);
    ck_assert_str_eq(evn_results_status(run.results), "stalled");
    const char *text = finding_of(&run, "cannot_start", stalls[_i].piece);
    ck_assert_msg(text, "%s", first_finding(run.report));
    ck_assert_msg(!strstr(text, stalls[_i].other), "%s", text);
    double needed, there, tangent = strtod(stalls[_i].road, NULL) / 100, sine = tangent / sqrt(1 + tangent * tangent);
    const char *at = strstr(text, "it needs ");
    ck_assert(at && sscanf(at, "it needs %lf kN", &needed) == 1);
    double grade_kn = result(&run, "gross_mass_kg") * 9.80665 * sine / 1e3;
    ck_assert_msg(needed > grade_kn && needed < 1.5 * grade_kn, "%g kN needed, %g by the grade alone", needed,
                  grade_kn);
    for (at = strstr(at, " kN") + 3; *at && !(*at >= '0' && *at <= '9'); at++) {
    }
    ck_assert(sscanf(at, "%lf kN", &there) == 1);
    ck_assert_double_lt(there, needed);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ headway */

enum { TOO_MUCH = 100001 };

/* Steps that a trip may take at one place and time before it is given up. */
static unsigned long steps_until_lost(evn_trip *t, double time_s, double place_m)
{
    unsigned long steps = 1;
    while (steps <= 2 * TOO_MUCH && evn_headway_after_step(t, time_s, place_m))
        steps++;
    return steps;
}

START_TEST(much_computing_for_no_way_loses_a_run_and_way_stretches_or_waiting_do_not)
{
    static evn_trip t;
    memset(&t, 0, sizeof t);
    t.motion = EVN_MOVING;
    ck_assert_uint_eq(steps_until_lost(&t, 1, 0), TOO_MUCH);
    memset(&t.headway, 0, sizeof t.headway);
    for (unsigned long k = 0; k < 3 * TOO_MUCH; k++) {
        double place_m = (double)k / 900; /* a hundred metres in 90000 steps */
        ck_assert(evn_headway_after_step(&t, 1, place_m));
    }
    memset(&t.headway, 0, sizeof t.headway);
    for (unsigned long k = 0; k < 3 * TOO_MUCH; k++) {
        t.road_at = k / 90000; /* a stretch of the road each */
        ck_assert(evn_headway_after_step(&t, 1, 0));
    }
    memset(&t.headway, 0, sizeof t.headway);
    t.motion = EVN_STANDING;
    for (unsigned long k = 0; k < 3 * TOO_MUCH; k++)
        ck_assert(evn_headway_after_step(&t, (double)k / 1000, 0)); /* a minute in 60000 */
    t.motion = EVN_MOVING;
    memset(&t.headway, 0, sizeof t.headway);
    unsigned long events = 1;
    while (events <= TOO_MUCH && evn_headway_after_event(&t, 0))
        events++;
    ck_assert_uint_eq(events, TOO_MUCH / 10 + 1);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ balance */

START_TEST(the_balance_of_a_run_of_six_seconds_closes_to_2e_5)
{
    static const char *const trucks[] = {TWINS, TANDEM, TIPPER, "tests/vehicles/trucks/tractor-4x2-central.yaml"};
    scene it = scene_of(trucks[_i / 2], NULL, "speed: {time_s: [0, 3, 6], speed_km_h: [0, 9, 0]}");
    it.ask.driving.driver = _i % 2 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
    drive run = play(&it);
    must_finish(&run); /* asks for the 2e-5 */
    ck_assert_double_lt(result(&run, "duration_s"), 8);
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("trip limits");
    TCase *limits = tcase_create("limits");
    tcase_add_checked_fixture(limits, folder_begin, folder_end);
    tcase_add_test(limits, two_alike_units_begin_to_derate_within_a_hair_without_throwing_each_other_back);
    tcase_add_test(limits, a_winding_that_derating_cannot_hold_is_a_finding_with_place_and_time);
    tcase_add_test(limits, a_strict_report_takes_a_limit_that_is_passed_for_an_error_and_has_the_results);
    tcase_add_test(limits, a_truck_that_keeps_its_limits_is_told_of_none);
    tcase_add_test(limits, losses_beyond_what_the_pack_can_give_end_the_run_by_name_with_every_limit_on_the_way);
    tcase_add_loop_test(limits, each_limit_is_told_by_its_name_where_it_is_passed_and_not_where_it_is_reached, 0,
                        EVN_PASSED_COUNT);
    tcase_add_loop_test(limits, a_truck_that_cannot_move_off_is_told_what_binds_it_with_both_forces, 0,
                        sizeof stalls / sizeof *stalls);
    tcase_add_test(limits, much_computing_for_no_way_loses_a_run_and_way_stretches_or_waiting_do_not);
    tcase_add_loop_test(limits, the_balance_of_a_run_of_six_seconds_closes_to_2e_5, 0, 8);
    suite_add_tcase(suite, limits);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
