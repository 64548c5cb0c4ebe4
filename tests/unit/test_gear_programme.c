/*
 * The dynamic programme of tools/gear-rule: by hand on three legs, and against all sequences, one by one, of small
 * problems made by a seeded row of random numbers.
 */
#include "../../tools/gear_rule/programme.h"
#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* ------------------------------------------------------------------------------------------------ by hand */

/* Two gears, a change up gives 2 J at 1 m/s and costs 1 J of wear, a change down takes 3 J and costs 1 J. */
static const evn_programme_change two_gears[] = {{0}, {-2, 1, 1, 0}, {3, 1, 1, 0}, {0}};
static const evn_leg three_legs[] = {{1, false, 0}, {1, false, 0}, {4, true, 0}};
/* Low is dearer by 10 J on the first two legs, and cheaper by 20 J on the last. */
static const double three_legs_j[] = {110, 100, 110, 100, 100, 120};
static const evn_programme by_hand = {.units = 1,
                                      .settings = {2},
                                      .joint = 2,
                                      .change = {two_gears},
                                      .legs = 3,
                                      .leg = three_legs,
                                      .leg_j = three_legs_j};

START_TEST(three_legs_by_hand)
{
    evn_account driven = evn_programme_driven(&by_hand), least, within;
    double bound_j;
    ck_assert_double_eq(driven.cost_j, 320);
    ck_assert_double_eq(driven.energy_j, 320);
    ck_assert_double_eq(driven.standing_j, 100);
    ck_assert_uint_eq(evn_changes_of(&driven), 0);
    /* Up at once: 100 + 100 - 2 + 1; down at twice the speed, four times the energy: 12 + 1 + 100. Or stay up: 120. */
    ck_assert(evn_programme_least(&by_hand, 0, &least));
    ck_assert_double_eq(least.cost_j, 100 + 100 - 2 + 1 + 12 + 1 + 100);
    ck_assert_double_eq(least.energy_j, 100 + 100 - 2 + 12 + 100);
    ck_assert_double_eq(least.standing_j, 101);
    ck_assert_uint_eq(least.gears, 2);
    /* Dearer by 5 J a change: none is 320 J, up and to stay there 319 + 5 J, the two changes 312 + 10 J. */
    ck_assert(evn_programme_least(&by_hand, 5, &least));
    ck_assert_double_eq(least.cost_j, 320);
    /* With one at most 319 J is the least. No multiplier finds it: at 4 J none and two come to the same, 320 J, and
     * that less 4 J bounds the least with one. */
    ck_assert(evn_programme_within(&by_hand, 1, &within, &bound_j));
    ck_assert_double_eq(within.cost_j, 320);
    ck_assert_double_eq_tol(bound_j, 316, 1e-3);
}
END_TEST

START_TEST(a_setting_that_cannot_be_driven_is_never_used)
{
    double leg_j[] = {100, 1, 100, EVN_PROGRAMME_NEVER_J, 100, 1};
    evn_programme p = by_hand;
    evn_account least;
    p.leg_j = leg_j;
    ck_assert(evn_programme_least(&p, 0, &least));
    /* Up for the first leg, down for the second, up again where v2 is 4: 1 + 100 + 1, and -2 + 3 - 8 + 3 of changes. */
    ck_assert_double_eq(least.cost_j, 1 + 100 + 1 - 2 + 3 - 8 + 3);
    ck_assert_uint_eq(least.gears, 3);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ all sequences */

enum { LEGS = 5, FIRST = 2, SECOND = 3, JOINT = FIRST * SECOND, PROBLEMS = 60 };

typedef struct made { /* two units */
    evn_programme_change first[FIRST * FIRST], second[SECOND * SECOND];
    evn_leg leg[LEGS];
    double leg_j[LEGS * JOINT];
    evn_programme programme;
} made;

static double random_of(uint64_t *seed) /* Knuth's MMIX generator, from memory; 0 to 1 */
{
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (double)(*seed >> 11) / 9007199254740992.0;
}

static void make_changes(evn_programme_change change[], size_t settings, uint8_t gears, uint64_t *seed)
{
    for (size_t i = 0; i < settings * settings; i++)
        change[i] = (evn_programme_change){4 * random_of(seed) - 1, 3 * random_of(seed), gears, !gears};
}

static void make(made *m, uint64_t *seed)
{
    make_changes(m->first, FIRST, 1, seed);
    make_changes(m->second, SECOND, 0, seed);
    for (size_t i = 0; i < LEGS; i++)
        m->leg[i] = (evn_leg){2 * random_of(seed), random_of(seed) < 0.3, (size_t)(JOINT * random_of(seed))};
    for (size_t i = 0; i < LEGS * JOINT; i++)
        m->leg_j[i] = 20 * random_of(seed);
    m->programme = (evn_programme){.units = 2,
                                   .settings = {FIRST, SECOND},
                                   .joint = JOINT,
                                   .change = {m->first, m->second},
                                   .legs = LEGS,
                                   .leg = m->leg,
                                   .leg_j = m->leg_j};
}

/*
 * Written out here anew, with nothing of the programme: what a sequence costs, and how many changes it has. Between two
 * legs a unit changes once at most.
 */
static double cost_of(const made *m, const size_t way[], unsigned long *changes)
{
    double sum = 0;
    size_t before = m->leg[0].driven;
    *changes = 0;
    for (size_t i = 0; i < LEGS; before = way[i++]) {
        size_t from[] = {before % FIRST, before / FIRST}, to[] = {way[i] % FIRST, way[i] / FIRST};
        const evn_programme_change *one = &m->first[from[0] * FIRST + to[0]],
                                   *two = &m->second[from[1] * SECOND + to[1]];
        sum += from[0] != to[0] ? one->energy_j_s2_m2 * m->leg[i].v2 + one->wear_j : 0;
        sum += from[1] != to[1] ? two->energy_j_s2_m2 * m->leg[i].v2 + two->wear_j : 0;
        *changes += from[0] != to[0];
        *changes += from[1] != to[1];
        sum += m->leg_j[i * JOINT + way[i]];
    }
    return sum;
}

enum { MOST_CHANGES = 2 * LEGS };

/* least[n]: with at most n changes. */
static void try_all(const made *m, double per_change_j, double least[MOST_CHANGES + 1], double *least_weighed)
{
    size_t sequences = 1, way[LEGS];
    unsigned long changes;
    for (size_t i = 0; i < LEGS; i++)
        sequences *= JOINT;
    *least_weighed = (double)INFINITY;
    for (size_t n = 0; n <= MOST_CHANGES; n++)
        least[n] = (double)INFINITY;
    for (size_t s = 0; s < sequences; s++) {
        for (size_t i = 0, rest = s; i < LEGS; i++, rest /= JOINT)
            way[i] = rest % JOINT;
        double cost = cost_of(m, way, &changes);
        *least_weighed = fmin(*least_weighed, cost + per_change_j * (double)changes);
        for (size_t n = changes; n <= MOST_CHANGES; n++)
            least[n] = fmin(least[n], cost);
    }
}

START_TEST(the_least_of_all_sequences_is_found)
{
    uint64_t seed = 1;
    made m;
    double least[MOST_CHANGES + 1], weighed;
    evn_account a;
    for (int k = 0; k < PROBLEMS; k++) {
        make(&m, &seed);
        try_all(&m, 1.5, least, &weighed);
        ck_assert(evn_programme_least(&m.programme, 0, &a));
        ck_assert_double_eq_tol(a.cost_j, least[MOST_CHANGES], 1e-9);
        ck_assert(evn_programme_least(&m.programme, 1.5, &a));
        ck_assert_double_eq_tol(a.cost_j + 1.5 * (double)evn_changes_of(&a), weighed, 1e-9);
    }
}
END_TEST

START_TEST(with_so_many_changes_the_least_lies_between_bound_and_what_was_found)
{
    uint64_t seed = 2;
    made m;
    double least[MOST_CHANGES + 1], weighed, bound_j;
    unsigned met = 0, asked = 0;
    evn_account a;
    for (int k = 0; k < PROBLEMS; k++) {
        make(&m, &seed);
        try_all(&m, 0, least, &weighed);
        for (unsigned long n = 0; n <= MOST_CHANGES; n++) {
            ck_assert(evn_programme_within(&m.programme, n, &a, &bound_j));
            ck_assert_uint_le(evn_changes_of(&a), n);
            ck_assert_double_ge(a.cost_j, least[n] - 1e-9);
            ck_assert_double_le(bound_j, least[n] + 1e-9);
            met += a.cost_j < least[n] + 1e-9;
            asked++;
        }
    }
    ck_assert_uint_gt(met, asked * 3 / 4); /* where the least over n is not convex a multiplier misses it */
}
END_TEST

START_TEST(the_rules_own_sequence_is_summed_as_it_was)
{
    uint64_t seed = 3;
    made m;
    size_t way[LEGS];
    unsigned long changes;
    for (int k = 0; k < PROBLEMS; k++) {
        make(&m, &seed);
        for (size_t i = 0; i < LEGS; i++)
            way[i] = m.leg[i].driven;
        evn_account a = evn_programme_driven(&m.programme);
        ck_assert_double_eq_tol(a.cost_j, cost_of(&m, way, &changes), 1e-9);
        ck_assert_uint_eq(evn_changes_of(&a), changes);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("gear_programme");
    TCase *tests = tcase_create("programme");
    tcase_add_test(tests, three_legs_by_hand);
    tcase_add_test(tests, a_setting_that_cannot_be_driven_is_never_used);
    tcase_add_test(tests, the_least_of_all_sequences_is_found);
    tcase_add_test(tests, with_so_many_changes_the_least_lies_between_bound_and_what_was_found);
    tcase_add_test(tests, the_rules_own_sequence_is_summed_as_it_was);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
