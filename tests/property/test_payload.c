/* Payloads, loads at rest and rules: what must hold of any truck and any load. */
#define _POSIX_C_SOURCE 200809L
#include "api/objects.h"
#include "random/dice.h"
#include "site/payload_left.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>

static evn_rule_verdict verdict[EVN_VERDICTS_MOST];

static const char *const trucks[] = {"vehicles/trucks/tractor-4x2-central.yaml",
                                     "vehicles/trucks/tractor-6x2-eaxle.yaml", "vehicles/trucks/rigid-6x2-central.yaml",
                                     "vehicles/trucks/tipper-8x2-eaxle.yaml",
                                     "vehicles/trucks/tipper-8x4-two-eaxles.yaml"};
enum { TRUCKS = sizeof trucks / sizeof trucks[0] };
static const char *const sets[] = {"vehicles/rules/eu-96-53.yaml", "vehicles/rules/us-bridge-formula.yaml",
                                   "vehicles/rules/own.yaml"};
enum { SETS = sizeof sets / sizeof sets[0] };

typedef struct scene {
    evn_truck *truck;
    evn_rules *rules;
    evn_unit_masses masses[EVN_UNITS_MAX];
    evn_arena *arena;
} scene;

static scene scene_of(const char *truck, const char *rules, const char *const *values)
{
    scene s = {.arena = evn_arena_new()};
    evn_report *report = evn_report_new();
    evn_truck_load_with(truck, &(evn_load){.set = values}, &s.truck, report);
    evn_rules_load(rules, &s.rules, report);
    ck_assert(s.truck && s.rules && s.arena && evn_truck_unit_masses(s.truck->file, s.masses));
    evn_report_free(report);
    return s;
}

static void scene_end(scene *s)
{
    evn_truck_free(s->truck);
    evn_rules_free(s->rules);
    evn_arena_free(s->arena);
}

static evn_payload_left left_of(const scene *s, bool with_rules, bool anywhere)
{
    const evn_payload_ask ask = {with_rules ? s->rules->file : NULL, false, anywhere};
    evn_payload_left left;
    ck_assert(evn_payload_left_of(s->truck->file, s->masses, &ask, s->arena, &left));
    return left;
}

static evn_weighed loaded(const scene *s, double payload_kg, double at_m, evn_at_rest *at)
{
    evn_truck_file with = *s->truck->file;
    evn_payload_file payload = *with.payload;
    evn_weighed weighed;
    payload.centre_behind_m = at_m;
    with.payload = &payload;
    evn_truck_at_rest(&with, s->masses, payload_kg, at);
    evn_weighed_of(&with, at, false, &weighed);
    return weighed;
}

/* Whether the file's limits and all clauses are kept. */
static bool all_kept(const scene *s, double payload_kg, double at_m)
{
    const evn_truck_file *t = s->truck->file;
    const evn_axle_file *axle = t->axles.item;
    evn_at_rest at;
    evn_weighed weighed = loaded(s, payload_kg, at_m, &at);
    bool kept = at.truck.kg + at.trailer.kg <= t->body->permitted_gross_kg;
    for (size_t k = 0; k < at.count; k++)
        kept = kept && at.load_kg[k] >= 0 &&
               at.load_kg[k] <= (k < at.truck_axles ? axle[k].permitted_kg : t->trailer->permitted_axles_kg);
    for (size_t k = 0, n = evn_rules_judge(s->rules->file, &weighed, EVN_AT_MOST_AS_LOADED, verdict); k < n; k++)
        kept = kept && verdict[k].met == EVN_IS;
    return kept;
}

/* The largest payload is the border: a gram less is allowed, a gram more is not. */
START_TEST(the_largest_payload_is_where_limits_begin_to_be_passed)
{
    for (size_t k = 0; k < SETS; k++) {
        scene s = scene_of(trucks[_i], sets[k], NULL);
        for (int anywhere = 0; anywhere < 2; anywhere++) {
            evn_payload_left left = left_of(&s, true, anywhere);
            if (!(left.kg > 0))
                continue;
            ck_assert_msg(all_kept(&s, left.kg - 1e-3, left.at_m), "%s, %s: %g kg at %g m, %s", trucks[_i], sets[k],
                          left.kg, left.at_m, left.binds);
            ck_assert(!all_kept(&s, left.kg + 1e-3, left.at_m));
            ck_assert_ptr_nonnull(left.binds);
        }
        scene_end(&s);
    }
}
END_TEST

/* What is carried together does not get less, and what is passed stays so. A single axle may carry less: the front axle
 * of a tractor whose fifth wheel is behind its rear axles' centre. */
START_TEST(more_payload_is_never_easier)
{
    scene s = scene_of(trucks[_i], sets[0], NULL);
    const evn_clause_file *clause = s.rules->file->clauses.item;
    double at_m = s.truck->file->payload->centre_behind_m, left_kg = left_of(&s, true, false).kg;
    static double margin[EVN_CLAUSES_MOST], was[EVN_CLAUSES_MOST];
    for (size_t c = 0; c < EVN_CLAUSES_MOST; c++)
        was[c] = (double)INFINITY;
    for (double kg = 0; kg < 1.4 * left_kg; kg += left_kg / 37) {
        evn_at_rest at;
        evn_weighed weighed = loaded(&s, kg, at_m, &at);
        for (size_t c = 0; c < EVN_CLAUSES_MOST; c++)
            margin[c] = (double)INFINITY;
        for (size_t k = 0, n = evn_rules_judge(s.rules->file, &weighed, EVN_AT_MOST_AS_LOADED, verdict); k < n; k++) {
            size_t c = verdict[k].clause;
            if (clause[c].limits != EVN_CLAUSE_DRIVEN_SHARE && clause[c].limits != EVN_CLAUSE_AXLE_LOAD &&
                !clause[c].instead_of)
                margin[c] = fmin(margin[c], verdict[k].limit - verdict[k].actual);
        }
        for (size_t c = 0; c < EVN_CLAUSES_MOST; c++)
            ck_assert_msg(!(margin[c] > was[c] + 1e-9) || isinf(was[c]) || isinf(margin[c]), "%s at %g kg: clause %zu",
                          trucks[_i], kg, c);
        if (kg > left_kg + 1e-3)
            ck_assert(!all_kept(&s, kg, at_m));
        for (size_t c = 0; c < EVN_CLAUSES_MOST; c++)
            was[c] = margin[c];
    }
    scene_end(&s);
}
END_TEST

/* 100 kg more of battery or body never leave more payload; rules never do, nor is a place of one's own choice worse. */
START_TEST(what_weighs_more_never_leaves_more_payload)
{
    static const char *const heavy[] = {"body.mass_kg=7900", NULL}, *const light[] = {"body.mass_kg=4000", NULL};
    scene a = scene_of(trucks[_i], sets[0], light), b = scene_of(trucks[_i], sets[0], heavy);
    for (int anywhere = 0; anywhere < 2; anywhere++) {
        double light_kg = left_of(&a, false, anywhere).kg, heavy_kg = left_of(&b, false, anywhere).kg;
        ck_assert_msg(!(heavy_kg > light_kg), "%s: %g kg, heavier %g", trucks[_i], light_kg, heavy_kg);
        ck_assert(!(left_of(&a, true, anywhere).kg > light_kg));
        ck_assert(left_of(&a, false, true).kg >= left_of(&a, false, false).kg - 1e-6);
    }
    scene_end(&a);
    scene_end(&b);
}
END_TEST

/* Wherever it is loaded, and whatever stands behind: reactions come to the weight. */
START_TEST(reactions_sum_to_the_weight)
{
    dice d = dice_of(36, (uint64_t)_i);
    scene s = scene_of(trucks[_i], sets[0], NULL);
    for (int k = 0; k < 300; k++) {
        evn_at_rest at;
        evn_weighed weighed = loaded(&s, dice_between(&d, 0, 40000), dice_between(&d, -2, 10), &at);
        double sum = 0, mass = at.truck.kg + at.trailer.kg, axles = 0;
        for (size_t i = 0; i < at.count; i++)
            sum += at.load_kg[i];
        for (size_t i = 0; i < weighed.count; i++)
            axles += weighed.axle[i].load_kg;
        ck_assert_double_le(fabs(sum / mass - 1), 1e-9);
        ck_assert_double_le(fabs(axles / mass - 1), 1e-9);
        ck_assert_double_le(fabs((weighed.motor_kg + weighed.trailer_kg) / mass - 1), 1e-9);
    }
    scene_end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the search */

enum { LIMITS = 7 };

static bool allowed(const evn_load_limit limit[], double kg, double moment, double hair)
{
    bool all = true;
    for (size_t k = 0; k < LIMITS; k++)
        all = all && limit[k].base_kg + limit[k].per_kg * kg + limit[k].per_kg_m * moment <= limit[k].limit_kg + hair;
    return all;
}

/* The most of all corners where two edges meet, the ends of the stretch among them. */
static double by_corners(const evn_load_limit limit[], double from_m, double to_m, double most_kg)
{
    double a[LIMITS + 3], b[LIMITS + 3], c[LIMITS + 3], most = (double)NAN; /* a p + b q = c */
    for (size_t k = 0; k < LIMITS; k++) {
        a[k] = limit[k].per_kg;
        b[k] = limit[k].per_kg_m;
        c[k] = limit[k].limit_kg - limit[k].base_kg;
    }
    a[LIMITS] = from_m, b[LIMITS] = -1, c[LIMITS] = 0;
    a[LIMITS + 1] = to_m, b[LIMITS + 1] = -1, c[LIMITS + 1] = 0;
    a[LIMITS + 2] = 1, b[LIMITS + 2] = 0, c[LIMITS + 2] = most_kg;
    for (size_t i = 0; i < LIMITS + 3; i++)
        for (size_t k = 0; k < i; k++) {
            double under = a[i] * b[k] - a[k] * b[i];
            double p = (c[i] * b[k] - c[k] * b[i]) / under, q = (a[i] * c[k] - a[k] * c[i]) / under;
            bool on_stretch = q >= from_m * p - 1e-6 && q <= to_m * p + 1e-6 && p >= 0 && p <= most_kg + 1e-6;
            if (under != 0 && on_stretch && allowed(limit, p, q, 1e-5) && !(p <= most))
                most = p;
        }
    return most;
}

START_TEST(the_largest_load_is_that_of_the_best_corner)
{
    dice d = dice_of(11, (uint64_t)_i);
    evn_load_limit limit[LIMITS];
    for (size_t k = 0; k < LIMITS; k++)
        limit[k] = (evn_load_limit){dice_between(&d, 0, 6000), dice_between(&d, -0.2, 1.2), dice_between(&d, -0.2, 0.2),
                                    dice_between(&d, 5000, 20000), "limit"};
    double from_m = dice_between(&d, 0, 4), to_m = from_m + dice_between(&d, 0.1, 3);
    evn_largest_load found = evn_largest_load_of(limit, LIMITS, from_m, to_m, 50000);
    double best = by_corners(limit, from_m, to_m, 50000);
    ck_assert_msg(isnan(best) == isnan(found.kg) && !(fabs(best - found.kg) > 1e-3), "%g by corners, %g found", best,
                  found.kg);
    if (!isnan(found.kg))
        ck_assert(allowed(limit, found.kg, found.kg * (isnan(found.at_m) ? 0 : found.at_m), 1e-5));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("payload");
    TCase *payload = tcase_create("payload");
    tcase_add_loop_test(payload, the_largest_payload_is_where_limits_begin_to_be_passed, 0, TRUCKS);
    tcase_add_loop_test(payload, more_payload_is_never_easier, 0, TRUCKS);
    tcase_add_loop_test(payload, what_weighs_more_never_leaves_more_payload, 0, TRUCKS);
    tcase_add_loop_test(payload, reactions_sum_to_the_weight, 0, TRUCKS);
    tcase_add_loop_test(payload, the_largest_load_is_that_of_the_best_corner, 0, 100);
    suite_add_tcase(suite, payload);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
