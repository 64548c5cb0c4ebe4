/*
 * Studies: plans hold what their names promise, a search finds optima that follow by hand, and rows are those of single
 * runs.
 */
#define _POSIX_C_SOURCE 200809L
#include "core/arena.h"
#include "evener/vary.h"
#include "vary/plan.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ plans */

enum { VARIABLES = 3 };

typedef struct planned {
    evn_arena *arena;
    evn_report *report;
    evn_variable_file variable[VARIABLES];
    evn_study_file study;
    evn_plan plan;
} planned;

static const double three[] = {10, 20, 40};

static void plan_study(planned *p, evn_plan_kind kind, double samples)
{
    static const char *const names[] = {"range", "list", "whole"};
    const double none = (double)NAN;
    *p = (planned){.arena = evn_arena_new(), .report = evn_report_new()};
    p->variable[0] = (evn_variable_file){.from = 1, .to = 2, .step = none, .count = 5, .as_is = none};
    p->variable[1] =
        (evn_variable_file){.values = {three, 3}, .from = none, .to = none, .step = none, .count = none, .as_is = none};
    p->variable[2] = (evn_variable_file){.from = 3, .to = 6, .step = none, .count = none, .whole = true, .as_is = none};
    p->study = (evn_study_file){.variables = {names, p->variable, VARIABLES}, .plan = (int)kind, .samples = samples};
    ck_assert(evn_plan_make(&p->plan, &p->study, p->arena, p->report));
}

static void forget(planned *p)
{
    evn_arena_free(p->arena);
    evn_report_free(p->report);
}

START_TEST(a_grid_is_all_with_all_the_last_running_fastest)
{
    planned p;
    plan_study(&p, EVN_PLAN_GRID, (double)NAN);
    ck_assert_uint_eq(p.plan.points, 5 * 3 * 4);
    for (uint64_t k = 0; k < p.plan.points; k++) {
        ck_assert_double_eq(evn_plan_value(&p.plan, k, 0), 1 + (double)(k / 12) / 4);
        ck_assert_double_eq(evn_plan_value(&p.plan, k, 1), three[k / 4 % 3]);
        ck_assert_double_eq(evn_plan_value(&p.plan, k, 2), 3 + (double)(k % 4));
    }
    forget(&p);
}
END_TEST

START_TEST(a_step_ends_at_the_end_or_before_it)
{
    planned p;
    plan_study(&p, EVN_PLAN_GRID, (double)NAN);
    p.variable[0].count = (double)NAN;
    p.variable[0].step = 0.1; /* ten times which is not quite 1 */
    ck_assert(evn_plan_make(&p.plan, &p.study, p.arena, p.report));
    ck_assert_uint_eq(p.plan.values[0], 11);
    p.variable[0].step = 0.3;
    ck_assert(evn_plan_make(&p.plan, &p.study, p.arena, p.report));
    ck_assert_uint_eq(p.plan.values[0], 4);
    forget(&p);
}
END_TEST

START_TEST(whole_numbers_of_a_grid_are_whole)
{
    planned p;
    plan_study(&p, EVN_PLAN_GRID, (double)NAN);
    p.variable[0] = p.variable[2];
    p.variable[0].from = 1;
    p.variable[0].to = 6;
    p.variable[0].count = 4; /* 1, 2.67, 4.33 and 6 */
    ck_assert(evn_plan_make(&p.plan, &p.study, p.arena, p.report));
    static const double whole[] = {1, 3, 4, 6};
    for (uint64_t k = 0; k < p.plan.points; k++)
        ck_assert_double_eq(evn_plan_value(&p.plan, k, 0), whole[k / 12]);
    forget(&p);
}
END_TEST

/* McKay, Beckman and Conover (1979): of so many equal parts of a range each is met once. */
START_TEST(a_latin_hypercube_meets_each_part_once)
{
    enum { SAMPLES = 97 };
    planned p;
    plan_study(&p, EVN_PLAN_LATIN, SAMPLES);
    for (size_t v = 0; v < 2; v++) {
        int met[SAMPLES] = {0};
        p.variable[1] = p.variable[0];
        for (uint64_t k = 0; k < SAMPLES; k++)
            met[(int)floor((evn_plan_value(&p.plan, k, v) - 1) * SAMPLES)]++;
        for (size_t k = 0; k < SAMPLES; k++)
            ck_assert_int_eq(met[k], 1);
    }
    forget(&p);
}
END_TEST

/* Of a (t, m, s)-net in base 2 each of 2^m equal parts holds one of 2^m points (Sobol, 1967). */
START_TEST(sobol_points_meet_each_part_once)
{
    enum { SAMPLES = 256 };
    planned p;
    plan_study(&p, EVN_PLAN_SOBOL, SAMPLES);
    int met[SAMPLES] = {0}, whole[4] = {0};
    for (uint64_t k = 0; k < SAMPLES; k++) {
        met[(int)floor((evn_plan_value(&p.plan, k, 0) - 1) * SAMPLES)]++;
        whole[(int)evn_plan_value(&p.plan, k, 2) - 3]++;
    }
    for (size_t k = 0; k < SAMPLES; k++)
        ck_assert_int_eq(met[k], 1);
    for (size_t k = 0; k < 4; k++)
        ck_assert_int_eq(whole[k], SAMPLES / 4);
    forget(&p);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ searches */

typedef struct best {
    double input[2], value; /* of the aim */
    bool there;
    const evn_variants *of;
} best;

static bool take(void *self, const evn_variant *v)
{
    best *b = self;
    evn_variants_column c;
    *b = (best){{v->value[0], v->value[1]}, (double)NAN, true, b->of};
    for (size_t k = 0; evn_variants_column_at(b->of, k, &c); k++)
        if (c.aimed != EVN_AIMED_NOT)
            b->value = v->value[k];
    return false;
}

static evn_variants *drive_part(const char *path, const char *const *set, unsigned part, unsigned parts,
                                double payload_kg)
{
    evn_report *report = evn_report_new();
    evn_study *study = NULL;
    evn_variants *variants = NULL;
    evn_finding first = {.text = ""};
    evn_study_load_with(path, &(evn_load){.set = set}, &study, report);
    evn_report_at(report, 0, &first);
    ck_assert_msg(study, "%s", first.text);
    evn_conditions ask = evn_study_ask(study);
    ask.load_case.payload_kg = isnan(payload_kg) ? ask.load_case.payload_kg : payload_kg;
    evn_vary(study, &ask, &(evn_vary_how){.threads = 1, .part = part, .parts = parts}, &variants, report);
    ck_assert_ptr_nonnull(variants);
    evn_study_free(study);
    evn_report_free(report);
    return variants;
}

static evn_variants *drive_study(const char *path, const char *const *set)
{
    return drive_part(path, set, 0, 0, (double)NAN);
}

typedef struct air { /* work against it, of each variant */
    const evn_variants *of;
    double kwh[4];
    size_t count;
} air;

static bool take_air(void *self, const evn_variant *v)
{
    air *a = self;
    evn_variants_column c;
    for (size_t k = 0; a->count < 4 && evn_variants_column_at(a->of, k, &c); k++)
        if (strcmp(c.what.key, "energy_balance.air_drag_kwh") == 0)
            a->kwh[a->count++] = v->value[k];
    return true;
}

static best best_of(const evn_variants *v, const char *by, bool most)
{
    best b = {.of = v};
    evn_report *report = evn_report_new();
    evn_variants_ask ask = {.by = by, .most_first = most, .only_may_be = true, .most = 1};
    evn_variants_each(v, &ask, &b, take, report);
    evn_report_free(report);
    ck_assert(b.there);
    return b;
}

/*
 * Losses a w^2 + b M^2 of the motor at w = i v / r and M = F r / i are least where both are the same (closed form):
 * i = r (b / a)^(1/4) (F / v)^(1/2). The force from masses, rolling resistance and air of tests/trucks/ideal.yaml; the
 * launch, 1000 km before the end, asks for more torque, so that a little more than that is best.
 */
START_TEST(a_search_finds_where_losses_are_balanced)
{
    const double mass_kg = 5000 + 700 + 1100 + 9000 + 2200, v = 20, r = 0.5;
    const double force_n = mass_kg * 9.80665 * 0.006 + 0.5 * 1.225 * 6 * v * v;
    const double by_hand = r * pow(0.004 / 0.04, 0.25) * sqrt(force_n / v);
    evn_variants *found = drive_study("tests/studies/loss-balance.yaml", NULL);
    best b = best_of(found, "kwh_per_km", false);
    ck_assert_double_ge(b.input[0], 0.998 * by_hand);
    ck_assert_double_le(b.input[0], 1.012 * by_hand);
    evn_variants_free(found);
}
END_TEST

/* The most payload below a gross mass is what is left above the mass without it. */
START_TEST(a_search_goes_up_to_a_constraint)
{
    static const char *const set[] = {
        "variables={payload: {keys: [payload.mass_kg], from: 1000, to: 20000}, drag: {keys: [body.drag_area_m2], from: "
        "4, to: 7}}",
        "variables.final_drive.keys=[truck.body.centre_height_m]",
        "variables.final_drive.from=1",
        "variables.final_drive.to=1.1",
        "variables.final_drive.as_is=1",
        "least=[]",
        "most=[masses.payload_kg]",
        "constraints=['masses.gross_kg <= 21000']",
        "cycle.length_m=3000",
        NULL};
    evn_variants *found = drive_study("tests/studies/loss-balance.yaml", set);
    evn_variants_column c;
    size_t payload = 0;
    while (evn_variants_column_at(found, payload, &c) && strcmp(c.what.key, "payload") != 0)
        payload++;
    ck_assert_uint_lt(payload, 2);
    best b = best_of(found, "masses.payload_kg", true);
    ck_assert_double_le(b.input[payload], 12000 + 1e-6);
    ck_assert_double_ge(b.input[payload], 12000 - 12);
    evn_variants_free(found);
}
END_TEST

/* On a hill some stall, and have results of the part of the road that they came over: a search goes back from these,
 * and does not take them for the better. The grid says what there is to be found. */
START_TEST(a_search_does_not_go_where_trucks_stall)
{
    static const char *const set[] = {
        "truck.drive_units.rear.motors.a.peak_torque_nm=2000",
        "truck.drive_units.rear.motors.a.loss.speed_squared_w_per_rad2_s2=0.3",
        "truck.drive_units.rear.motors.a.loss.torque_squared_w_per_nm2=0.0001",
        "cycle={name: Hill, invented: true, length_m: 3000, speed: {place_m: [0], limit_km_h: [36]}, road: {place_m: "
        "[2000, 2100, 2500, 2600], grade_percent: [0, 14, 14, 0]}}",
        "variables.final_drive.from=3",
        "variables.final_drive.to=12",
        "variables.torque={keys: [drive_units.rear.motors.a.peak_torque_nm], from: 600, to: 2400}",
        "evaluations=40",
        "plan=search",
        NULL};
    const char *grid[sizeof set / sizeof *set];
    memcpy(grid, set, sizeof grid);
    grid[sizeof set / sizeof *set - 2] = "plan=grid"; /* in place of the search */
    evn_variants *searched = drive_study("tests/studies/loss-balance.yaml", set);
    evn_variants *all = drive_study("tests/studies/loss-balance.yaml", grid);
    ck_assert_uint_gt(evn_variants_failed(all), 0);
    ck_assert_uint_lt(2 * evn_variants_failed(searched), evn_variants_count(searched));
    ck_assert_double_lt(best_of(searched, "kwh_per_km", false).value, best_of(all, "kwh_per_km", false).value);
    evn_variants_free(searched);
    evn_variants_free(all);
}
END_TEST

/* At one motion the work against the air goes with the drag area (closed form), here a factor on that of the file. */
START_TEST(a_formula_takes_what_the_file_has_times_the_variable)
{
    static const char *const set[] = {"variables.final_drive={from: 1, to: 2, count: 2, as_is: 1}",
                                      "variables.final_drive.keys=[]",
                                      "set=['body.drag_area_m2 = {was} * {final_drive}']",
                                      "plan=grid",
                                      "cycle.length_m=5000",
                                      NULL};
    evn_variants *found = drive_study("tests/studies/loss-balance.yaml", set);
    evn_report *report = evn_report_new();
    air a = {.of = found};
    evn_variants_each(found, &(evn_variants_ask){0}, &a, take_air, report);
    ck_assert_uint_eq(a.count, 3); /* as it is, and both */
    ck_assert_double_eq(a.kwh[0], a.kwh[1]);
    ck_assert_double_eq_tol(a.kwh[2] / a.kwh[1], 2, 1e-4);
    const double steady_kwh = 0.5 * 1.225 * 6 * 20 * 20 * 5000 / 3.6e6; /* the launch takes some of it off */
    ck_assert_double_ge(a.kwh[0], 0.9 * steady_kwh);
    ck_assert_double_le(a.kwh[0], steady_kwh);
    evn_report_free(report);
    evn_variants_free(found);
}
END_TEST

/* Of a search the parts share trucks and combinations, here three masses. */
START_TEST(parts_of_a_search_are_the_whole)
{
    static const char *const set[] = {"variables.mass={keys: [body.mass_kg], values: [5000, 5500, 6000]}",
                                      "variables.final_drive.as_is=10",
                                      "evaluations=8",
                                      "samples=4",
                                      "cycle.length_m=3000",
                                      NULL};
    static const char path[] = "tests/studies/loss-balance.yaml";
    evn_variants *whole = drive_study(path, set);
    uint64_t count = 0;
    for (unsigned part = 1; part <= 2; part++) {
        evn_variants *one = drive_part(path, set, part, 2, (double)NAN);
        ck_assert_uint_gt(evn_variants_count(one), 0);
        count += evn_variants_count(one);
        evn_variants_free(one);
    }
    ck_assert_uint_eq(count, evn_variants_count(whole));
    evn_variants_free(whole);
}
END_TEST

START_TEST(what_is_asked_beside_a_study_is_asked_of_its_variants)
{
    static const char *const set[] = {
        "plan=grid", "variables.final_drive.to=3", "least=[]", "most=[masses.payload_kg]", "cycle.length_m=3000", NULL};
    evn_variants *found = drive_part("tests/studies/loss-balance.yaml", set, 0, 0, 1234);
    ck_assert_double_eq(best_of(found, "masses.payload_kg", true).value, 1234);
    evn_variants_free(found);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("vary");
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 60);
    tcase_add_test(all, a_grid_is_all_with_all_the_last_running_fastest);
    tcase_add_test(all, a_step_ends_at_the_end_or_before_it);
    tcase_add_test(all, a_latin_hypercube_meets_each_part_once);
    tcase_add_test(all, sobol_points_meet_each_part_once);
    tcase_add_test(all, a_search_finds_where_losses_are_balanced);
    tcase_add_test(all, a_search_goes_up_to_a_constraint);
    tcase_add_test(all, a_search_does_not_go_where_trucks_stall);
    tcase_add_test(all, a_formula_takes_what_the_file_has_times_the_variable);
    tcase_add_test(all, whole_numbers_of_a_grid_are_whole);
    tcase_add_test(all, parts_of_a_search_are_the_whole);
    tcase_add_test(all, what_is_asked_beside_a_study_is_asked_of_its_variants);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
