/* Which trucks of a comparison can be told apart, and who leads: the one rule of all media, held against the intervals.
 */
#define _XOPEN_SOURCE 700
#include "folder.h"
#include "show/compare_sureness.h"
#include "show/plot/plot.h"
#include <check.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define HILL "cycles/scenarios/hill.yaml"
#define CENTRAL "tests/vehicles/trucks/tractor-4x2-central.yaml"
#define EAXLE "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"

enum { TRUCKS = 3 };

typedef struct meeting { /* one comparison, and what is not known of its data */
    evn_report *report;
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_uncertainty *uncertainty;
    evn_compare_story story;
} meeting;

/* Central drive with worn gears, an electric axle, and the same with gears that lose a little more: too little to be
 * told. */
static meeting meet(evn_uncertainty_method method)
{
    char here[300], text[2000], path[PATH_BYTES];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "name: a test\ninvented: true\ncycle: {use: %s/%s}\ndriving: {driver: exact}\ntrucks:\n  central: {use: "
             "%s/%s, drive_units: {rear: {gearbox: {efficiencies: [0.93, 0.93, 0.93, 0.93]}}}}\n  eaxle: {use: "
             "%s/%s}\n  worn: {use: %s/%s, drive_units: {rear: {gearbox: {efficiencies: [0.987, "
             "0.987]}}}}\n",
             here, HILL, here, CENTRAL, here, EAXLE, here, EAXLE);
    write_file("three.yaml", text);
    meeting m = {.report = evn_report_new()};
    ck_assert_int_eq(evn_lineup_load(in_folder(path, "three.yaml"), &m.lineup, m.report), EVN_DONE);
    evn_conditions ask = evn_lineup_ask(m.lineup);
    ck_assert_int_eq(evn_compare(m.lineup, &ask, NULL, &m.comparison, m.report), EVN_DONE);
    const evn_uncertainty_how how = {.method = method, .draws = 16};
    if (method != EVN_UNCERTAINTY_OFF)
        ck_assert_int_eq(evn_uncertainty_find(m.lineup, m.comparison, &how, &m.uncertainty, m.report), EVN_DONE);
    m.story =
        (evn_compare_story){.lineup = m.lineup, .comparison = m.comparison, .ask = ask, .uncertainty = m.uncertainty};
    return m;
}

static void meeting_end(meeting *m)
{
    evn_uncertainty_free(m->uncertainty);
    evn_comparison_free(m->comparison);
    evn_lineup_free(m->lineup);
    evn_report_free(m->report);
}

static double use_of(const meeting *m, size_t truck, evn_basis basis)
{
    double value;
    ck_assert(evn_results_get(evn_outcome_results(evn_comparison_outcome(m->comparison, truck, basis)), "kwh_per_km",
                              &value));
    return value;
}

/* ------------------------------------------------------------------------------------------------ a pair */

static void must_be_turned(const meeting *m, size_t truck, size_t other, evn_basis basis)
{
    evn_sureness one, two;
    ck_assert(evn_compare_sure_between(m->uncertainty, truck, other, basis, EVN_UNCERTAINTY_OFF, &one));
    ck_assert(evn_compare_sure_between(m->uncertainty, other, truck, basis, EVN_UNCERTAINTY_OFF, &two));
    ck_assert_double_eq_tol(one.probability_lower + two.probability_lower, 1, 1e-12);
    ck_assert_double_eq_tol((1 + one.low_percent / 100) * (1 + two.high_percent / 100), 1, 1e-12);
    ck_assert_double_eq_tol((1 + one.high_percent / 100) * (1 + two.low_percent / 100), 1, 1e-12);
    ck_assert((one.apart == EVN_IS_LOWER) == (two.apart == EVN_IS_HIGHER));
    ck_assert((one.apart == EVN_IS_HIGHER) == (two.apart == EVN_IS_LOWER));
    ck_assert((one.apart == EVN_IS_LOWER) == (one.high_percent < 0));
    ck_assert((one.apart == EVN_IS_HIGHER) == (one.low_percent > 0));
    ck_assert((one.nominal_percent < 0) == (use_of(m, truck, basis) < use_of(m, other, basis)));
    ck_assert(one.low_percent < one.high_percent);
}

START_TEST(a_pair_has_one_verdict_whichever_way_round_it_is_asked)
{
    meeting m = meet(_i == 0 ? EVN_UNCERTAINTY_FIRST_ORDER : EVN_UNCERTAINTY_DRAWS);
    for (size_t i = 0; i < TRUCKS; i++)
        for (size_t k = 0; k < i; k++)
            for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
                must_be_turned(&m, i, k, (evn_basis)basis);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ who leads */

static size_t lowest(const meeting *m, evn_basis basis)
{
    size_t best = 0;
    for (size_t i = 1; i < TRUCKS; i++)
        best = use_of(m, i, basis) < use_of(m, best, basis) ? i : best;
    return best;
}

/* By hand: the interval against the lowest holds zero; or nobody asked, and it is less than half a point of the first.
 */
static bool leads(const meeting *m, size_t truck, size_t best, evn_basis basis)
{
    evn_sureness is;
    if (truck == best)
        return true;
    if (!m->uncertainty)
        return 100 * (use_of(m, truck, basis) - use_of(m, best, basis)) / use_of(m, 0, basis) < 0.5;
    size_t later = truck > best ? truck : best, earlier = truck > best ? best : truck;
    ck_assert(evn_uncertainty_of(m->uncertainty, later, earlier, basis, &is));
    return is.low_percent <= 0 && is.high_percent >= 0;
}

START_TEST(the_lowest_leads_with_those_that_cannot_be_told_apart_from_it)
{
    const evn_uncertainty_method method[] = {EVN_UNCERTAINTY_OFF, EVN_UNCERTAINTY_FIRST_ORDER, EVN_UNCERTAINTY_DRAWS};
    meeting m = meet(method[_i]);
    for (int b = EVN_BASIS_OWN; b <= EVN_BASIS_COMMON; b++) {
        evn_basis basis = (evn_basis)b;
        size_t ranked[TRUCKS], leading[TRUCKS], best = lowest(&m, basis), wanted = 0;
        ck_assert_uint_eq(evn_compare_rank(&m.story, basis, false, ranked), TRUCKS);
        ck_assert_uint_eq(ranked[0], best);
        ck_assert(use_of(&m, ranked[1], basis) <= use_of(&m, ranked[2], basis));
        size_t count = evn_compare_leading(&m.story, basis, false, leading);
        for (size_t k = 0; k < TRUCKS; k++)
            if (leads(&m, ranked[k], best, basis))
                ck_assert_uint_eq(leading[wanted++], ranked[k]);
        ck_assert_uint_eq(count, wanted);
        ck_assert_uint_eq(count, 2); /* the electric axles, not the central drive */
    }
    meeting_end(&m);
}
END_TEST

START_TEST(each_is_told_against_the_first_and_the_best_against_the_runner_up)
{
    meeting m = meet(EVN_UNCERTAINTY_OFF);
    evn_compare_pair pair;
    for (size_t i = 0; i < 2; i++) {
        ck_assert(evn_compare_pair_at(&m.story, i, &pair));
        ck_assert_uint_eq(pair.truck, i + 1);
        ck_assert_uint_eq(pair.other, 0);
    }
    ck_assert(evn_compare_pair_at(&m.story, 2, &pair));
    ck_assert_uint_eq(pair.truck, lowest(&m, EVN_BASIS_COMMON));
    ck_assert_uint_eq(pair.other, 3 - pair.truck);
    ck_assert(!evn_compare_pair_at(&m.story, 3, &pair));
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the picture */

START_TEST(the_picture_puts_dot_and_ends_where_they_belong)
{
    const evn_plot_ranked truck[] = {{"an axle", -6, -8, -4, true}, {"central", 0, 0, 0, false}};
    const evn_plot_ranking of = {"Ranked", "central", "by first order"};
    const evn_look look = {.columns = 60};
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    ck_assert_ptr_nonnull(to);
    ck_assert(evn_plot_ranked_print(truck, 2, &of, to, &look));
    ck_assert_int_eq(fclose(to), 0);
    /* 27 columns from -8.32, with 4 % of room, to 0: -8 stands at 26 * 0.32 / 8.32 = 1, -6 at 7, -4 at 14, 0 at 26. */
    static const char wanted[] = "\nRanked\n\n"
                                 "  an axle   [-----o------]           :  -6.0 (-8.0 to -4.0)\n"
                                 "  central                            o  0.0\n";
    ck_assert_msg(strncmp(text, wanted, sizeof wanted - 1) == 0, "%s", text);
    ck_assert_ptr_nonnull(strstr(text, "o difference; [-] 90 % interval by first order; : central\n"));
    free(text);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("sureness");
    tcase_set_timeout(cases, 0);
    tcase_add_checked_fixture(cases, folder_begin, folder_end);
    tcase_add_loop_test(cases, a_pair_has_one_verdict_whichever_way_round_it_is_asked, 0, 2);
    tcase_add_loop_test(cases, the_lowest_leads_with_those_that_cannot_be_told_apart_from_it, 0, 3);
    tcase_add_test(cases, each_is_told_against_the_first_and_the_best_against_the_runner_up);
    tcase_add_test(cases, the_picture_puts_dot_and_ends_where_they_belong);
    Suite *suite = suite_create("sureness");
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
