/*
 * What tools/gear-rule weighs a run by: costs of joint settings against whole instants with those settings, sums of the
 * notes against the run that they are of, and a steady drive whose best gear is known.
 */
#define _POSIX_C_SOURCE 200809L
#include "../../tools/gear_rule/noting.h"
#include "../unit/scene.h"
#include "api/objects.h"
#include "pull/change_price.h"
#include "pull/member.h"
#include "pull/prices.h"

static const char *const trucks[] = {
    "tests/vehicles/trucks/tractor-4x2-central.yaml", "tests/vehicles/trucks/tractor-6x4-central.yaml",
    "tests/vehicles/trucks/tractor-6x4-eaxle.yaml", "tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml",
    "tests/trucks/tandem-disconnect.yaml"};
enum { TRUCKS = sizeof trucks / sizeof *trucks, NODES = 64 };

static evn_rig *rig_of(const char *path)
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_truck *truck = load_truck(path);
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ instants */

static evn_given given_of(const evn_rig *rig, double degc[EVN_UNITS_MAX][NODES], double speed, double accel)
{
    evn_given at = {.rig = rig,
                    .rolling_factor = 1,
                    .adhesion = (double)NAN,
                    .adhesion_other_side = (double)NAN,
                    .speed_m_s = speed,
                    .asked_m_s2 = accel,
                    .soc = 0.6,
                    .coolant_degc = evn_rig_coolant_degc(rig),
                    .fade = EVN_FADE_BY_SPEED};
    at.adhesion = at.adhesion_other_side = 0;
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], degc[u]);
        at.unit[u].degc = degc[u];
        at.unit[u].setting = rig->unit[u].setting[0];
    }
    return at;
}

/* Of settings of the first unit, with those of others as they are: the whole instant made with it tells the bus power
 * by another way, through forces and flows. Returns whether it could be compared. */
static bool hold_against_instant(const evn_instant *n, size_t setting)
{
    const evn_rig *r = n->pull.at.rig;
    evn_instant then = *n;
    evn_team team = n->pull.team;
    evn_cost cost;
    team.connected -= team.unit[0].connected;
    team.unit[0] = evn_pull_member(&n->pull, 0, r->unit[0].setting[setting], false);
    team.connected += team.unit[0].connected;
    if (!evn_instant_cost(n, &team, &cost) || fabs(cost.missing_n) > 1e-3)
        return false;
    then.pull.at.unit[0].setting = r->unit[0].setting[setting];
    evn_instant_make(&then);
    double turning_kg = 0, v = n->pull.at.speed_m_s;
    for (size_t u = 0; u < r->unit_count; u++)
        turning_kg += team.unit[u].turning_kg;
    double bus_w = cost.losses_w + (cost.given_n + turning_kg * n->accel_m_s2) * v;
    ck_assert_double_eq_tol(bus_w, then.bus_w, 1e-6 * (1e3 + fabs(then.bus_w)));
    return true;
}

START_TEST(costs_of_settings_are_those_of_whole_instants_with_them)
{
    double degc[EVN_UNITS_MAX][NODES];
    unsigned compared = 0;
    for (size_t k = 0; k < TRUCKS; k++) {
        evn_rig *rig = rig_of(trucks[k]);
        for (double v = 3; v < 24; v += 4)
            for (double a = -0.4; a < 0.5; a += 0.2) {
                evn_instant n = {.pull.at = given_of(rig, degc, v, a)};
                evn_instant_make(&n);
                for (size_t s = 0; s < rig->unit[0].setting_count; s++)
                    compared += hold_against_instant(&n, s);
            }
        evn_rig_free(rig);
    }
    ck_assert_uint_gt(compared, 200);
}
END_TEST

/* The one knows a dwell (overspeed within it), the other none: of those that both take. */
START_TEST(costs_in_parts_are_the_prices_of_the_rule)
{
    double degc[EVN_UNITS_MAX][NODES];
    evn_prices prices;
    unsigned compared = 0, short_ones = 0;
    for (size_t k = 0; k < TRUCKS; k++) {
        evn_rig *rig = rig_of(trucks[k]);
        for (double v = 3; v < 24; v += 4)
            for (double a = -1.6; a < 1.3; a += 0.4) {
                evn_instant n = {.pull.at = given_of(rig, degc, v, a)};
                evn_instant_make(&n);
                evn_instant_prices(&n, &prices);
                for (size_t s = 0; s < rig->unit[0].setting_count; s++) {
                    evn_team team = n.pull.team;
                    evn_cost cost;
                    team.connected -= team.unit[0].connected;
                    team.unit[0] = evn_pull_member(&n.pull, 0, rig->unit[0].setting[s], false);
                    team.connected += team.unit[0].connected;
                    if (!evn_instant_cost(&n, &team, &cost) || prices.w[0][s] >= EVN_NEVER_W)
                        continue;
                    /* all speeds are above a walk: a missing newton counts by the speed, pulling or braking */
                    double w = cost.losses_w + fabs(cost.missing_n) * v;
                    ck_assert_double_eq_tol(w, prices.w[0][s], 1e-6 * (1e3 + prices.w[0][s]));
                    compared++;
                    short_ones += fabs(cost.missing_n) > 1;
                }
            }
        evn_rig_free(rig);
    }
    ck_assert_uint_gt(compared, 300);
    ck_assert_uint_gt(short_ones, 20);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

typedef struct noted {
    evn_rig *rig;
    evn_notes *notes;
    evn_programme programme;
    double battery_j;
} noted;

static noted note_run(const char *truck, const char *cycle_path)
{
    noted out = {.rig = rig_of(truck)};
    evn_report *report = evn_report_new();
    evn_driving driving = evn_conditions_default().driving;
    evn_cycle *cycle = load_cycle(cycle_path);
    evn_results *results = NULL;
    driving.driver = EVN_DRIVER_EXACT;
    evn_course *course = evn_drive_course_of(out.rig, cycle->file, &driving, NULL, report);
    ck_assert_ptr_nonnull(course);
    out.notes = evn_notes_new(out.rig, 0.25);
    ck_assert_ptr_nonnull(out.notes);
    evn_watch watch = {.self = out.notes};
    evn_drive_course(out.rig, course, &driving, &watch, &evn_noting_cvode, &results, report);
    ck_assert_msg(results, "%s", first_finding(report));
    ck_assert_str_eq(evn_results_status(results), "finished");
    ck_assert(evn_results_get(results, "battery_kwh", &out.battery_j));
    out.battery_j *= 3.6e6;
    ck_assert(evn_notes_programme(out.notes, &out.programme));
    evn_results_free(results);
    evn_course_free(course);
    evn_cycle_free(cycle);
    evn_report_free(report);
    return out;
}

static void noted_end(noted *of)
{
    evn_notes_free(of->notes);
    evn_rig_free(of->rig);
}

/* The trapezium over rows 0.25 s apart, lumps of changes included, against the run's own integral. */
START_TEST(notes_sum_up_to_the_energy_of_their_run)
{
    for (size_t k = 0; k < TRUCKS; k++) {
        noted run = note_run(trucks[k], URBAN);
        evn_account driven = evn_programme_driven(&run.programme), least;
        ck_assert_double_eq_tol(driven.energy_j / run.battery_j, 1, 1e-4);
        ck_assert_uint_gt(evn_changes_of(&driven), 10);
        ck_assert_double_lt(evn_notes_apart_j(run.notes), 1e-3 * run.battery_j);
        ck_assert(evn_programme_least(&run.programme, 0, &least));
        ck_assert_double_lt(least.cost_j, driven.cost_j);
        ck_assert_double_gt(least.cost_j, 0.9 * driven.cost_j);
        noted_end(&run);
    }
}
END_TEST

/*
 * With one speed held on a level road for hours, the best is the setting that draws least there, whatever it costs to
 * get to it; the rule, whose only job that is, has found it too: what both take differs by the start and the stop
 * alone.
 */
START_TEST(on_a_steady_drive_the_best_is_the_setting_that_draws_least)
{
    noted run = note_run("tests/vehicles/trucks/tractor-6x4-eaxle.yaml", CRUISE);
    const evn_programme *p = &run.programme;
    size_t middle = p->legs / 2, best = 0;
    for (size_t s = 1; s < p->joint; s++)
        if (p->leg_j[middle * p->joint + s] < p->leg_j[middle * p->joint + best])
            best = s;
    ck_assert_uint_eq(p->leg[middle].driven, best);
    evn_account driven = evn_programme_driven(p), least;
    ck_assert(evn_programme_least(p, 0, &least));
    ck_assert_double_le(least.cost_j, driven.cost_j);
    ck_assert_double_gt(least.cost_j, 0.999 * driven.cost_j);
    noted_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("gear_rule");
    TCase *tests = tcase_create("notes");
    tcase_add_test(tests, costs_of_settings_are_those_of_whole_instants_with_them);
    tcase_add_test(tests, costs_in_parts_are_the_prices_of_the_rule);
    tcase_add_test(tests, notes_sum_up_to_the_energy_of_their_run);
    tcase_add_test(tests, on_a_steady_drive_the_best_is_the_setting_that_draws_least);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
