/*
 * What a change of setting costs, held against hand calculations from the numbers of the truck's file: the energy of
 * rotor and input shaft, the pause, motors that rest; and that the rule pays what is booked, and does not hunt.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "pull/change_price.h"
#include "pull/prices.h"
#include <math.h>

/* Of its file: rotor 0.67 and input 0.08 kg m2; ratios 5.6, 3.1, 1.75, 1 and 3.7 behind them. */
#define FOUR "tests/trucks/four-speed.yaml"
#define SINGLE "tests/trucks/single-speed.yaml"
static const double TURNS_KG_M2 = 0.67 + 0.08, RATIO[] = {5.6, 3.1, 1.75, 1}, FINAL = 3.7, LOSS_SHARE = 0.15;
static const evn_driver both[] = {EVN_DRIVER_EXACT, EVN_DRIVER_HUMAN};

typedef struct stand {
    evn_rig rig; /* with prices as they come of themselves */
    evn_rig *read;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
    evn_instant is;
} stand;

static void stand_begin(stand *s, const char *path, size_t gear, double speed_m_s, double accel_m_s2)
{
    evn_conditions plain = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(path);
    evn_rig_prepare(truck, &plain.load_case, &s->read, report);
    ck_assert_msg(s->read, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    s->rig = *s->read;
    s->rig.unit[0].shift_price_j = (double)NAN;
    s->rig.unit[0].shift_wear_j = 2000;
    s->is = (evn_instant){.pull.at = {.rig = &s->rig,
                                      .rolling_factor = 1,
                                      .speed_m_s = speed_m_s,
                                      .asked_m_s2 = accel_m_s2,
                                      .soc = 0.6,
                                      .fade = EVN_FADE_BY_SPEED}};
    evn_unit_start_degc(&s->rig.unit[0], s->degc[0]);
    s->is.pull.at.unit[0] = (evn_unit_given){.setting = evn_all_engaged(&s->rig.unit[0], gear), .degc = s->degc[0]};
    evn_instant_make(&s->is);
}
static void stand_end(stand *s) { evn_rig_free(s->read); }

/* Kinetic energy of what turns with the motor: E = J w^2 / 2 (elementary mechanics), of which the stated share is lost.
 */
static double lost_by_hand_j(size_t from, size_t to, double wheel_rad_s)
{
    double w1 = RATIO[from] * FINAL * wheel_rad_s, w2 = RATIO[to] * FINAL * wheel_rad_s;
    return LOSS_SHARE * 0.5 * TURNS_KG_M2 * fabs(w2 * w2 - w1 * w1);
}

START_TEST(synchronising_costs_its_share_of_what_rotor_and_input_shaft_gain_or_lose)
{
    static const double speeds_m_s[] = {2, 8, 15};
    for (size_t k = 0; k < 3; k++)
        for (size_t from = 0; from < 4; from++)
            for (size_t to = 0; to < 4; to++) {
                stand s;
                stand_begin(&s, FOUR, from, speeds_m_s[k], 0);
                double rad_s = speeds_m_s[k] / s.rig.axle[1].radius_m;
                evn_setting setting = evn_all_engaged(&s.rig.unit[0], to);
                evn_change_price price = evn_change_price_at(&s.is, 0, setting, false);
                if (from != to) {
                    ck_assert_double_eq_tol(price.synchronising_j, lost_by_hand_j(from, to, rad_s), 1e-6);
                    ck_assert(price.wear_j == 2000 && price.traction_j == 0 && price.way_back_j == 0);
                    ck_assert_double_eq_tol(evn_change_price_j(&s.is, 0, setting, false),
                                            lost_by_hand_j(from, to, rad_s) + 2000, 1e-6);
                }
                stand_end(&s);
            }
}
END_TEST

START_TEST(a_stated_price_takes_the_place_of_all)
{
    stand s;
    stand_begin(&s, FOUR, 1, 10, 0.3);
    s.rig.unit[0].shift_price_j = 30e3;
    ck_assert(evn_change_price_j(&s.is, 0, evn_all_engaged(&s.rig.unit[0], 2), true) == 30e3);
    stand_end(&s);
}
END_TEST

/* The same truck on a grade, in gear or between two gears; returns the force that its motors give. */
static double on_grade(stand *s, double tangent, bool shifting)
{
    s->is.pull.at.tangent = tangent;
    s->is.pull.at.unit[0].shifting = shifting;
    evn_instant_make(&s->is);
    return s->is.limited.unit_n;
}
static double losses_now_w(const stand *s) /* by the lines of the balance */
{
    double sum = 0;
    for (int line = EVN_UNIT_LINES; line < EVN_LINE_COUNT; line++)
        sum += s->is.unit_flow[0].w[line];
    return sum;
}

/* Braking, the pause of 0.6 s costs what the motors would have taken at the tyres, less their losses: these bound it.
 * Pulling, the losses at no force and at twice the force, less twice those at this one (prices.h); not the work that is
 * only done later. */
START_TEST(a_pause_costs_braking_what_the_motors_would_have_taken_and_pulling_only_losses)
{
    stand s;
    stand_begin(&s, FOUR, 1, 12, -0.4);
    evn_change_price braking = evn_change_price_at(&s.is, 0, evn_all_engaged(&s.rig.unit[0], 2), true);
    double taken_w = -s.is.limited.unit_n * 12, losses_w = s.is.bus_w + taken_w;
    ck_assert_double_gt(taken_w, 1e5);
    ck_assert_double_lt(braking.traction_j, 0.6 * taken_w);
    ck_assert_double_gt(braking.traction_j, 0.97 * 0.6 * (taken_w - losses_w)); /* the path drags on */
    ck_assert_double_gt(braking.way_back_j, 0);
    stand_end(&s);

    /* Up a grade at constant speed: losses at this force, at twice the force on a steeper grade, and in neutral. */
    stand_begin(&s, FOUR, 1, 8, 0);
    double tangent = 0.03, force_n = on_grade(&s, tangent, false), once_w = losses_now_w(&s);
    double paused_j = evn_change_price_at(&s.is, 0, evn_all_engaged(&s.rig.unit[0], 2), true).traction_j;
    on_grade(&s, tangent, true);
    double neutral_w = losses_now_w(&s), dragged_n = (neutral_w - s.is.bus_w) / 8, steeper = tangent, off_n;
    for (int k = 0; k < 20 && fabs(off_n = 2 * force_n + dragged_n - on_grade(&s, steeper, false)) > 0.01; k++)
        steeper += off_n / (s.rig.mass_kg * 9.80665);
    double twice_w = losses_now_w(&s), by_hand_j = 0.6 * (neutral_w + twice_w - 2 * once_w);
    ck_assert_double_eq_tol(paused_j, by_hand_j, 0.1 * by_hand_j); /* steeper, the driven axle slips less */
    ck_assert_double_lt(paused_j, 0.1 * 0.6 * force_n * 8);        /* not the work itself */
    stand_end(&s);
}
END_TEST

/* On prescribed speed: the sum of what the rule was charged for at each change, by hand, is the line of the balance. */
START_TEST(what_is_booked_is_what_each_change_was_charged_with)
{
    scene it = scene_of(FOUR, NULL, "speed: {time_s: [0, 60, 90, 130], speed_km_h: [0, 70, 70, 0]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.accuracy = 1e-9;
    drive run = play(&it);
    must_finish(&run);
    double charged_j = 0, before = 0, radius_m = run.rig->axle[1].radius_m;
    size_t gear = column(&run, "gear"), speed = column(&run, "speed_km_h");
    for (size_t row = 0; row < it.rows.rows; row++) {
        double now = at_row(&it.rows, row, gear), v = at_row(&it.rows, row, speed) / 3.6;
        if (before > 0 && now > 0 && now != before)
            charged_j += lost_by_hand_j((size_t)before - 1, (size_t)now - 1, v / radius_m);
        before = now > 0 ? now : before;
    }
    ck_assert_double_ge(result(&run, "gear_changes"), 4);
    ck_assert_double_eq_tol(result(&run, "energy_balance.gear_change_losses_kwh") * 3.6e6, charged_j, 1e-3 * charged_j);
    ck_assert_double_eq_tol(result(&run, "gear_changes_per_100_km"),
                            100 * result(&run, "gear_changes") / result(&run, "distance_km"), 1e-9);
    scene_end(&it, &run);
}
END_TEST

#define OWN_PRICE(dwell_s)                                                                                             \
    "drive_units: {rear: {gearbox: {shift: {price_kj: 0.1, synchronising_loss_share: 0, dwell_s: " dwell_s "}}}}"

/* Nowhere is a gear kept busy: at any held speed, those where two gears cost the same among them, a truck that starts
 * and stops changes up and down, and little more. A price of next to nothing is the hardest case. */
START_TEST(no_held_speed_makes_the_gears_hunt)
{
    char cycle[200];
    snprintf(cycle, sizeof cycle,
             "length_m: 6000\nspeed: {place_m: [0], limit_km_h: [%d]}\nstops: {place_m: [6000], wait_s: [0]}",
             20 + 3 * (_i / 2));
    scene it = scene_of(FOUR, OWN_PRICE("0.5"), cycle);
    it.ask.driving.driver = both[_i % 2];
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_le(result(&run, "gear_changes"), 10);
    scene_end(&it, &run);
}
END_TEST

/* The motor of this truck stands ready with 150 W, its inverter with 400 W (its file): that long and no longer. */
START_TEST(motors_rest_in_a_stop_and_only_before_it_they_stand_ready)
{
    double losses_kwh[2], resting_s[2], balance_kwh[2];
    for (size_t k = 0; k < 2; k++) {
        scene it = scene_of(SINGLE, k == 0 ? NULL : "drive_units: {rear: {engagement: {rest_after_s: 1000000}}}",
                            "length_m: 2000\nspeed: {place_m: [0], limit_km_h: [50]}\n"
                            "stops: {place_m: [0, 1000, 1500], wait_s: [20, 100, 2]}");
        it.ask.driving.driver = both[_i];
        it.ask.driving.accuracy = 1e-9;
        drive run = play(&it);
        must_finish(&run);
        losses_kwh[k] =
            result(&run, "energy_balance.motor_losses_kwh") + result(&run, "energy_balance.inverter_losses_kwh");
        balance_kwh[k] = result(&run, "battery_kwh");
        resting_s[k] = result(&run, "drive_units.rear.resting_s");
        scene_end(&it, &run);
    }
    double expected_s = both[_i] == EVN_DRIVER_EXACT ? 120 : 114; /* the stop of 2 s is too short for either */
    ck_assert_double_eq_tol(resting_s[0], expected_s, 1e-6);
    ck_assert(resting_s[1] == 0);
    ck_assert_double_eq_tol((losses_kwh[1] - losses_kwh[0]) * 3.6e6, 550 * expected_s, 50);
    ck_assert_double_gt(balance_kwh[1] - balance_kwh[0], losses_kwh[1] - losses_kwh[0] - 1e-5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("change price");
    TCase *tests = tcase_create("prices");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, synchronising_costs_its_share_of_what_rotor_and_input_shaft_gain_or_lose);
    tcase_add_test(tests, a_stated_price_takes_the_place_of_all);
    tcase_add_test(tests, a_pause_costs_braking_what_the_motors_would_have_taken_and_pulling_only_losses);
    tcase_add_test(tests, what_is_booked_is_what_each_change_was_charged_with);
    tcase_add_loop_test(tests, no_held_speed_makes_the_gears_hunt, 0, 50);
    tcase_add_loop_test(tests, motors_rest_in_a_stop_and_only_before_it_they_stand_ready, 0, 2);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
