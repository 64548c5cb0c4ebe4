/*
 * Any motor and inverter at any temperatures: heat is kept, a hotter part never leaves more torque, and none is left
 * beyond the end of derating; and whole runs: what is lost is stored or carried off, at any accuracy alike.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/course_probe.h"
#include "../unit/scene.h"
#include "core/units.h"
#include "pull/pull.h"

#define WARM "tests/trucks/warm.yaml"

enum { HEATS = 2000 };

/* ------------------------------------------------------------------------------------------------ nodes */

typedef struct files {
    evn_winding_file winding;
    evn_housing_file housing;
    evn_inverter_heat_file inverter;
} files;

static bool toss(dice *with) { return roll(with, 0, 1) < 0.5; }

static evn_heat roll_heat(files *f, dice *with)
{
    double low = toss(with) ? roll(with, 30, 60) : (double)NAN;
    f->winding = (evn_winding_file){.coolant_degc = roll(with, 20, 70),
                                    .resistance_k_per_kw = roll(with, 1, 20),
                                    .time_constant_s = roll(with, 60, 300),
                                    .derate_from_degc = roll(with, 120, 150),
                                    .derate_to_degc = roll(with, 151, 200),
                                    .start_degc = (double)NAN,
                                    .time_constant_low_s = low,
                                    .time_constant_high_s = 10 * low};
    f->housing = (evn_housing_file){.resistance_k_per_kw = roll(with, 1, 20),
                                    .time_constant_s = roll(with, 100, 1000),
                                    .start_degc = (double)NAN,
                                    .time_constant_low_s = low,
                                    .time_constant_high_s = 40 * low};
    f->inverter = (evn_inverter_heat_file){.coolant_degc = (double)NAN,
                                           .resistance_k_per_kw = roll(with, 1, 20),
                                           .time_constant_s = roll(with, 0.1, 12),
                                           .derate_from_degc = roll(with, 80, 100),
                                           .derate_to_degc = roll(with, 101, 150),
                                           .start_degc = (double)NAN};
    bool winding = toss(with);
    return evn_heat_of(winding ? &f->winding : NULL, winding && toss(with) ? &f->housing : NULL,
                       toss(with) ? &f->inverter : NULL, 100);
}

/* Into the nodes of one pace; a node's rate times its capacity, tau/R. */
static double stored_w(const evn_heat *h, const double rate[])
{
    double sum = h->winding ? rate[0] * h->winding_s[0] / h->winding_k_w : 0;
    if (h->housing)
        sum += rate[1] * h->housing_s[0] / h->housing_k_w;
    if (h->inverter && !h->quick)
        sum += rate[h->housing ? 2 : 1] * h->inverter_s / h->inverter_k_w;
    return sum;
}

START_TEST(what_is_lost_is_stored_or_goes_to_the_coolant)
{
    dice with = {1};
    size_t nodes = 0;
    for (int k = 0; k < HEATS; k++) {
        files f;
        evn_heat h = roll_heat(&f, &with);
        double degc[EVN_NODES_MAX], rate[EVN_NODES_MAX];
        evn_heat_gains g = {roll(&with, 0, 1e4), roll(&with, 0, 1e4), roll(&with, 0, 1e4),
                            toss(&with) ? roll(&with, 0, 90) : (double)NAN};
        for (size_t n = 0; n < h.nodes; n++)
            degc[n] = roll(&with, -20, 200);
        evn_heat_rates(&h, degc, &g, rate);
        double in_w = g.copper_w + g.other_w + g.inverter_w;
        ck_assert_double_eq_tol(stored_w(&h, rate) + evn_heat_to_coolant_w(&h, degc, &g), in_w, 1e-9 * (1e5 + in_w));
        nodes += h.nodes;
    }
    ck_assert_uint_gt(nodes, 2 * HEATS);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ torque */

static evn_rig *rig_of(const char *changes)
{
    char path[PATH_BYTES], here[300], text[1200];
    evn_report *report = evn_report_new();
    evn_load_case ask = evn_conditions_default().load_case;
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/" WARM "\n%s\n", here, changes);
    write_file("truck.yaml", text);
    evn_truck *truck = load_truck(in_folder(path, "truck.yaml"));
    ck_assert_int_eq(evn_rig_prepare(truck, &ask, &rig, report), EVN_DONE);
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

typedef struct limits {
    double most_nm, least_nm, inverter_degc;
} limits;

static limits limits_at(const evn_rig *rig, const double degc[], double coolant_degc, double speed_m_s, size_t gear)
{
    evn_pull p = {.at = {.rig = rig,
                         .rolling_factor = 1,
                         .speed_m_s = speed_m_s,
                         .soc = 0.5,
                         .coolant_degc = coolant_degc,
                         .fade = EVN_FADE_BY_SPEED}};
    p.at.unit[0] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[0], gear), .degc = degc};
    evn_pull_make(&p);
    const evn_member *m = &p.team.unit[0];
    evn_flow own = {{0}};
    evn_unit_motors_w(&rig->unit[0], m->setting, m->most_nm, m->motor_rad_s, p.feed.open_circuit_v, degc, &own);
    return (limits){m->most_nm, m->least_nm,
                    evn_unit_inverter_degc(&rig->unit[0], m->setting, degc, coolant_degc, &own)};
}

static const char *const inverters[] = {
    "", "drive_units: {rear: {motors: {a: {inverter: {heat: {time_constant_s: 1, resistance_k_per_kw: 8}}}}}}"};

START_TEST(a_hotter_part_never_leaves_more_torque_and_none_beyond_the_end)
{
    dice with = {7};
    evn_rig *rig = rig_of(inverters[_i]);
    const evn_heat *h = &rig->unit[0].motor[0].heat;
    size_t derated = 0, none = 0;
    for (int k = 0; k < HEATS; k++) {
        double degc[EVN_NODES_MAX], coolant = roll(&with, 20, 110), speed = roll(&with, 0, 12);
        size_t gear = (size_t)roll(&with, 0, 3);
        for (size_t n = 0; n < h->nodes; n++)
            degc[n] = roll(&with, 60, 190);
        degc[2] = h->quick ? degc[2] : roll(&with, 60, 115);
        limits cool = limits_at(rig, degc, coolant, speed, gear), hot = cool;
        for (size_t part = 0; part <= h->nodes; part++) {
            *(part < h->nodes ? &degc[part] : &coolant) += roll(&with, 0, 5);
            hot = limits_at(rig, degc, coolant, speed, gear);
            ck_assert_double_le(hot.most_nm, cool.most_nm * (1 + 1e-9) + 1e-9);
            ck_assert_double_ge(hot.least_nm, cool.least_nm * (1 + 1e-9) - 1e-9);
            cool = hot;
        }
        bool beyond = degc[0] >= 175 || (h->quick ? hot.inverter_degc >= 110 : degc[2] >= 110);
        ck_assert_msg(!beyond || (hot.most_nm == 0 && hot.least_nm == 0), "%g Nm", hot.most_nm);
        ck_assert(!h->quick || hot.most_nm == 0 || hot.inverter_degc < 110);
        derated += hot.most_nm > 0 && hot.inverter_degc > 90;
        none += beyond;
    }
    ck_assert(derated > 50 && none > 50);
    evn_rig_free(rig);
}
END_TEST

/* The torque changes by little when a temperature does: at both ends of derating and where the inverter takes over. */
START_TEST(derating_has_no_steps)
{
    dice with = {11};
    evn_rig *rig = rig_of(inverters[_i]);
    double degc[EVN_NODES_MAX] = {100, 90, 80, 100, 90, 100, 90}, coolant = 20;
    double speed = roll(&with, 2, 10), before = limits_at(rig, degc, coolant, speed, 1).most_nm, first = before;
    for (int k = 0; k < 40000; k++) {
        coolant += 0.003;
        degc[0] += 0.003;
        degc[2] += 0.001;
        double now = limits_at(rig, degc, coolant, speed, 1).most_nm;
        ck_assert_double_le(fabs(now - before), 0.001 * first);
        before = now;
    }
    ck_assert_double_gt(first, 1000);
    ck_assert_double_eq(before, 0);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

#define HILLS                                                                                                          \
    "length_m: 12000\nspeed: {place_m: [0], limit_km_h: [70]}\nroad: {place_m: [0, 3000, 6000, 9000, 12000], "         \
    "grade_percent: [0, 5, -4, 3, 0]}"
#define HOT "drive_units: {rear: {motors: {a: {winding: {start_degc: 100}, inverter: {heat: {start_degc: 85}}}}}}"

static scene hot_hills(double accuracy)
{
    scene it = scene_of(WARM, HOT, HILLS);
    it.ask.driving.accuracy = accuracy;
    return it;
}

START_TEST(what_a_run_loses_is_stored_in_its_nodes_or_carried_off)
{
    scene it = hot_hills(1e-7);
    it.ask.driving.trace_interval_s = 0.1;
    drive run = play(&it);
    must_finish(&run);
    const evn_heat *h = &run.rig->unit[0].motor[0].heat;
    size_t time = column(&run, "time_s"), winding = column(&run, "winding_temperature_degc");
    size_t housing = column(&run, "housing_temperature_degc"), inverter = column(&run, "inverter_temperature_degc");
    double motor_j = 0, inverter_j = 0;
    for (size_t k = 1; k < it.rows.rows; k++) {
        double dt = at_row(&it.rows, k, time) - at_row(&it.rows, k - 1, time);
        motor_j += dt * (0.5 * (at_row(&it.rows, k, housing) + at_row(&it.rows, k - 1, housing)) - 65) / h->housing_k_w;
        inverter_j +=
            dt * (0.5 * (at_row(&it.rows, k, inverter) + at_row(&it.rows, k - 1, inverter)) - 65) / h->inverter_k_w;
    }
    size_t last = it.rows.rows - 1;
    motor_j += (at_row(&it.rows, last, winding) - 100) * h->winding_s[0] / h->winding_k_w;
    motor_j += (at_row(&it.rows, last, housing) - 65) * h->housing_s[0] / h->housing_k_w;
    inverter_j += (at_row(&it.rows, last, inverter) - 85) * h->inverter_s / h->inverter_k_w;
    double lost_j = result(&run, "energy_balance.motor_losses_kwh") * EVN_J_PER_KWH;
    ck_assert_double_eq_tol(motor_j, lost_j, 1e-4 * lost_j);
    lost_j = result(&run, "energy_balance.inverter_losses_kwh") * EVN_J_PER_KWH;
    ck_assert_double_eq_tol(inverter_j, lost_j, 1e-4 * lost_j);
    scene_end(&it, &run);
}
END_TEST

static const char *const peaks[] = {"winding_temperature", "winding_temperature_low", "winding_temperature_high",
                                    "housing_temperature", "inverter_temperature"};
enum { PEAKS = sizeof peaks / sizeof *peaks };

static void peaks_at(double accuracy, evn_integrator integrator, double peak[PEAKS])
{
    scene it = hot_hills(accuracy);
    it.ask.driving.integrator = integrator;
    drive run = play(&it);
    must_finish(&run);
    for (size_t k = 0; k < PEAKS; k++) {
        char key[80];
        snprintf(key, sizeof key, "drive_units.rear.peak_%s_degc", peaks[k]);
        peak[k] = result(&run, key);
    }
    scene_end(&it, &run);
}

START_TEST(peaks_are_the_same_at_any_accuracy_and_by_both_integrators)
{
    double fine[PEAKS], coarse[PEAKS], other[PEAKS];
    peaks_at(1e-9, EVN_INTEGRATOR_CVODE, fine);
    peaks_at(1e-6, EVN_INTEGRATOR_CVODE, coarse);
    peaks_at(1e-6, EVN_INTEGRATOR_ARKODE, other);
    for (size_t k = 0; k < PEAKS; k++) {
        ck_assert_double_eq_tol(coarse[k], fine[k], 0.05);
        ck_assert_double_eq_tol(other[k], fine[k], 0.05);
    }
    ck_assert(fine[1] < fine[0] && fine[0] < fine[2]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("warmth");
    TCase *tests = tcase_create("warmth");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, what_is_lost_is_stored_or_goes_to_the_coolant);
    tcase_add_loop_test(tests, a_hotter_part_never_leaves_more_torque_and_none_beyond_the_end, 0, 2);
    tcase_add_loop_test(tests, derating_has_no_steps, 0, 2);
    tcase_add_test(tests, what_a_run_loses_is_stored_in_its_nodes_or_carried_off);
    tcase_add_test(tests, peaks_are_the_same_at_any_accuracy_and_by_both_integrators);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
