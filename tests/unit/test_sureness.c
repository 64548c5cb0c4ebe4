/* Which trucks of a comparison can be told apart, and who leads: the one rule of all media, held against the intervals.
 */
#define _XOPEN_SOURCE 700
#include "folder.h"
#include "show/compare_sureness.h"
#include "show/plot/plot.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define HUMP "tests/vehicles/routes/hump.yaml"
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

static meeting meet_trucks(const char *trucks, evn_uncertainty_method method)
{
    char here[300], text[3000], path[PATH_BYTES];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "name: a test\ninvented: true\ncycle: {use: %s/%s}\ndriving: {driver: exact}\ntrucks:\n%s", here, HUMP,
             trucks);
    write_file("three.yaml", text);
    meeting m = {.report = evn_report_new()};
    evn_lineup_load(in_folder(path, "three.yaml"), &m.lineup, m.report);
    evn_finding first = {.text = ""};
    evn_report_at(m.report, 0, &first);
    ck_assert_msg(m.lineup, "%s", first.text);
    evn_conditions ask = evn_lineup_ask(m.lineup);
    ck_assert_int_eq(evn_compare(m.lineup, &ask, NULL, &m.comparison, m.report), EVN_DONE);
    const evn_uncertainty_how how = {.method = method, .draws = 20};
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

/* The meeting that most tests look at, by how sure it is was found: driven once for all of them, none changes it. */
static meeting shared[] = {
    [EVN_UNCERTAINTY_OFF] = {0}, [EVN_UNCERTAINTY_FIRST_ORDER] = {0}, [EVN_UNCERTAINTY_DRAWS] = {0}};
enum { METHODS = sizeof shared / sizeof *shared };

/* Central drive with worn gears, an electric axle, and the same with gears that lose a little more: too little to be
 * told. */
static void shared_begin(void)
{
    char here[300], trucks[2000];
    folder_begin();
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(trucks, sizeof trucks,
             "  central: {use: %s/%s, drive_units: {rear: {gearbox: {efficiencies: [0.93, 0.93, 0.93, 0.93]}}}}\n"
             "  eaxle: {use: %s/%s}\n"
             "  worn: {use: %s/%s, drive_units: {rear: {gearbox: {efficiencies: [0.987, 0.987]}}}}\n",
             here, CENTRAL, here, EAXLE, here, EAXLE);
    for (int method = 0; method < METHODS; method++)
        shared[method] = meet_trucks(trucks, (evn_uncertainty_method)method);
    folder_end();
}

static void shared_end(void)
{
    for (int method = 0; method < METHODS; method++)
        meeting_end(&shared[method]);
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
    meeting m = shared[_i == 0 ? EVN_UNCERTAINTY_FIRST_ORDER : EVN_UNCERTAINTY_DRAWS];
    for (size_t i = 0; i < TRUCKS; i++)
        for (size_t k = 0; k < i; k++)
            for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
                must_be_turned(&m, i, k, (evn_basis)basis);
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
    meeting m = shared[method[_i]];
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
}
END_TEST

START_TEST(each_is_told_against_the_first_and_the_best_against_the_runner_up)
{
    meeting m = shared[EVN_UNCERTAINTY_OFF];
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
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the relation */

static evn_apart word(const meeting *m, size_t truck, size_t other)
{
    evn_compare_apart apart;
    ck_assert(evn_compare_tell_apart(&m->story, truck, other, EVN_BASIS_COMMON, &apart));
    return apart.is;
}

static void leading_must_be(const meeting *m, size_t one, size_t other)
{
    size_t leading[TRUCKS];
    ck_assert_uint_eq(evn_compare_leading(&m->story, EVN_BASIS_COMMON, false, leading), 2);
    ck_assert_uint_eq(leading[0], one);
    ck_assert_uint_eq(leading[1], other);
}

/* a and b cannot be told apart, nor b and c, but a is lower than c: by the rule of thumb, each 0.3 to 0.4 points above
 * the one before. */
START_TEST(one_that_the_lowest_is_told_from_does_not_lead)
{
    char here[300], trucks[2000];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(trucks, sizeof trucks,
             "  a: {use: %s/%s}\n  b: {use: %s/%s, auxiliaries: {power_kw: 5.4}}\n  c: {use: %s/%s, auxiliaries: "
             "{power_kw: 5.8}}\n",
             here, CENTRAL, here, CENTRAL, here, CENTRAL);
    meeting m = meet_trucks(trucks, EVN_UNCERTAINTY_OFF);
    ck_assert_int_eq(word(&m, 0, 1), EVN_CANNOT_BE_TOLD_APART);
    ck_assert_int_eq(word(&m, 1, 2), EVN_CANNOT_BE_TOLD_APART);
    ck_assert_int_eq(word(&m, 0, 2), EVN_IS_LOWER);
    leading_must_be(&m, 0, 1);
    meeting_end(&m);
}
END_TEST

/* The lowest, whose gears are hardly known, can be told from neither of the others; but these two, which err alike, can
 * be told from each other. */
START_TEST(one_that_another_of_those_that_lead_is_told_from_does_not_lead)
{
    char here[300], trucks[2500];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(trucks, sizeof trucks,
             "  a: {use: %s/%s, drive_units: {rear: {gearbox: {efficiencies: [0.97, 0.97], uncertain: {gears: {of: "
             "[efficiencies], relative: 0.03, shape: rectangular, source: invented}}}}}}\n"
             "  b: {use: %s/%s}\n"
             "  c: {use: %s/%s, auxiliaries: {power_kw: 8}}\n",
             here, EAXLE, here, CENTRAL, here, CENTRAL);
    meeting m = meet_trucks(trucks, EVN_UNCERTAINTY_FIRST_ORDER);
    ck_assert(use_of(&m, 0, EVN_BASIS_COMMON) < use_of(&m, 1, EVN_BASIS_COMMON));
    ck_assert_int_eq(word(&m, 0, 1), EVN_CANNOT_BE_TOLD_APART);
    ck_assert_int_eq(word(&m, 0, 2), EVN_CANNOT_BE_TOLD_APART);
    ck_assert_int_eq(word(&m, 1, 2), EVN_IS_LOWER);
    leading_must_be(&m, 0, 1);
    meeting_end(&m);
}
END_TEST

/* The electric axles have 480 kW, the central drive 380: alike with each other, not with the first. */
START_TEST(a_truck_is_held_for_likeness_against_the_one_that_is_asked)
{
    meeting m = shared[EVN_UNCERTAINTY_OFF];
    evn_likeness is;
    ck_assert(evn_compare_alike_with(&m.story, 2, 1));
    ck_assert(evn_compare_alike_with(&m.story, 0, 0));
    ck_assert(!evn_compare_alike_with(&m.story, 2, 0));
    ck_assert(!evn_compare_alike_with(&m.story, 0, 2));
    ck_assert(evn_comparison_likeness_between(m.comparison, 2, 1, 0, &is));
    ck_assert_double_eq_tol(is.first, is.value, 2e-2 * is.value);
}
END_TEST

/* How sure it is was not found, asked or too much to find unasked: no word is told, and nobody leads alone. */
START_TEST(where_how_sure_was_not_found_no_truck_is_told_from_another)
{
    meeting m = shared[EVN_UNCERTAINTY_OFF];
    evn_compare_apart apart;
    size_t leading[TRUCKS];
    m.story.sure = _i == 0 ? EVN_SURE_NOT_FOUND : EVN_SURE_TOO_MUCH;
    ck_assert(evn_compare_tell_apart(&m.story, 0, 1, EVN_BASIS_COMMON, &apart));
    ck_assert(apart.open && !apart.sure && apart.is == EVN_CANNOT_BE_TOLD_APART && fabs(apart.percent) > 5);
    ck_assert_uint_eq(evn_compare_leading(&m.story, EVN_BASIS_COMMON, false, leading), TRUCKS);
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

/* 27 columns of names at most of 60 (a third), and intervals on the next line where the lines would get too short. */
START_TEST(the_picture_marks_cut_names_and_cuts_no_interval)
{
    const evn_plot_ranked truck[] = {{"an axle with a name that goes on", -6, -8, -4, true},
                                     {"another axle with such a name", -5, -7.5, -0.04, true},
                                     {"central", 0, 0, 0, false}};
    const evn_plot_ranking of = {"Ranked", "central", "by first order"};
    const evn_look look = {.columns = 60};
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    ck_assert_ptr_nonnull(to);
    ck_assert(evn_plot_ranked_print(truck, 3, &of, to, &look));
    ck_assert_int_eq(fclose(to), 0);
    ck_assert_msg(strstr(text, "\n  an axle with a na..  "), "%s", text);
    ck_assert_msg(strstr(text, "\n  another axle with..  "), "%s", text);
    ck_assert_msg(strstr(text, "(-8.0 to -4.0)\n") && strstr(text, "(-7.5 to -0.04)\n"), "%s", text);
    for (char *line = text; line; line = strchr(line, '\n') ? strchr(line, '\n') + 1 : NULL)
        ck_assert_msg(strcspn(line, "\n") < 60, "%s", line);
    ck_assert_msg(strstr(text, "  Names in full, from above: an axle with a name that goes"), "%s", text);
    ck_assert_msg(strstr(text, "another axle with such a name\n"), "%s", text);
    free(text);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("sureness");
    tcase_set_timeout(cases, 0);
    tcase_add_unchecked_fixture(cases, shared_begin, shared_end);
    tcase_add_checked_fixture(cases, folder_begin, folder_end);
    tcase_add_loop_test(cases, a_pair_has_one_verdict_whichever_way_round_it_is_asked, 0, 2);
    tcase_add_loop_test(cases, the_lowest_leads_with_those_that_cannot_be_told_apart_from_it, 0, 3);
    tcase_add_test(cases, each_is_told_against_the_first_and_the_best_against_the_runner_up);
    tcase_add_test(cases, one_that_the_lowest_is_told_from_does_not_lead);
    tcase_add_test(cases, one_that_another_of_those_that_lead_is_told_from_does_not_lead);
    tcase_add_test(cases, a_truck_is_held_for_likeness_against_the_one_that_is_asked);
    tcase_add_loop_test(cases, where_how_sure_was_not_found_no_truck_is_told_from_another, 0, 2);
    tcase_add_test(cases, the_picture_puts_dot_and_ends_where_they_belong);
    tcase_add_test(cases, the_picture_marks_cut_names_and_cuts_no_interval);
    Suite *suite = suite_create("sureness");
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
