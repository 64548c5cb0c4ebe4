/* A comparison beside another of the same trucks with other data: verdicts, lines that moved, what is refused. */
#define _XOPEN_SOURCE 700
#include "evener/beside.h"
#include "folder.h"
#include "trip_probe.h"

#define CENTRAL "tests/trucks/plain/tractor-4x2-central.yaml"
#define EAXLE "tests/trucks/plain/tractor-4x2-eaxle.yaml"
#define ROUND "cycles/scenarios/haulage-round.yaml"

typedef struct meeting { /* one lineup, compared */
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_conditions ask;
    evn_report *report;
} meeting;

typedef struct pair {
    meeting here, there;
    evn_beside *beside;
} pair;

/* Two trucks by their names, each with what is set beside its file; a third where it has a name. */
typedef struct wanted {
    const char *head, *name[3], *file[3], *beside[3];
    const char *cycle;
} wanted;

static wanted plain(void)
{
    return (wanted){
        "driving: {accuracy: 1e-10}", {"central", "eaxle", NULL}, {CENTRAL, EAXLE, EAXLE}, {"", "", ""}, HILL};
}

static meeting load(const wanted *w)
{
    char here[300], text[3000], path[PATH_BYTES];
    meeting m = {.report = evn_report_new()};
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    int used = snprintf(text, sizeof text, "name: a test\ninvented: true\ncycle: {use: %s/%s}\n%s\ntrucks:\n", here,
                        w->cycle, w->head);
    for (int i = 0; i < 3 && w->name[i]; i++)
        used += snprintf(text + used, sizeof text - (size_t)used, "  %s: {use: %s/%s%s%s}\n", w->name[i], here,
                         w->file[i], w->beside[i][0] ? ", " : "", w->beside[i]);
    ck_assert_int_lt(used, (int)sizeof text);
    write_file("lineup.yaml", text);
    evn_lineup_load(in_folder(path, "lineup.yaml"), &m.lineup, m.report);
    ck_assert_msg(m.lineup, "%s", first_finding(m.report));
    m.ask = evn_lineup_ask(m.lineup);
    return m;
}

static meeting compare(const wanted *w)
{
    meeting m = load(w);
    ck_assert(evn_compare(m.lineup, &m.ask, NULL, &m.comparison, m.report) <= EVN_ANSWER_NO);
    ck_assert_ptr_nonnull(m.comparison);
    return m;
}

static pair hold(const wanted *here, const wanted *there)
{
    pair p = {.here = compare(here), .there = compare(there)};
    ck_assert_int_eq(evn_beside_fits(p.here.lineup, &p.here.ask, p.there.lineup, &p.there.ask, p.here.report),
                     EVN_DONE);
    ck_assert_int_eq(
        evn_beside_hold(p.here.lineup, p.here.comparison, p.there.lineup, p.there.comparison, &p.beside, p.here.report),
        EVN_DONE);
    return p;
}

static void meeting_end(meeting *m)
{
    evn_comparison_free(m->comparison);
    evn_lineup_free(m->lineup);
    evn_report_free(m->report);
}

static void pair_end(pair *p)
{
    evn_beside_free(p->beside);
    meeting_end(&p->here);
    meeting_end(&p->there);
}

static double result_of(const meeting *m, size_t truck, const char *key)
{
    double value = (double)NAN;
    const evn_outcome *outcome = evn_comparison_outcome(m->comparison, truck, EVN_BASIS_COMMON);
    ck_assert(evn_results_get(evn_outcome_results(outcome), key, &value));
    return value;
}

static double difference_of(const meeting *m, size_t truck, const char *key)
{
    const evn_outcome *outcome = evn_comparison_outcome(m->comparison, truck, EVN_BASIS_COMMON);
    char wanted_key[100];
    evn_quantity what;
    double value;
    snprintf(wanted_key, sizeof wanted_key, "difference.%s", key);
    for (size_t i = 0; evn_outcome_difference_at(outcome, i, &what, &value); i++)
        if (strcmp(what.key, wanted_key) == 0)
            return value;
    ck_abort_msg("no %s", wanted_key);
}

/* Gears of the electric axle so bad that it uses more than the central drive. */
static const char bad_gears[] = "drive_units: {rear: {gearbox: {efficiencies: [0.9, 0.9]}}}";

static wanted with_bad_gears(void)
{
    wanted w = plain();
    w.beside[1] = bad_gears;
    return w;
}

/* ------------------------------------------------------------------------------------------------ lines */

START_TEST(what_lines_moved_adds_up_to_what_the_difference_moved)
{
    wanted here = plain(), there = with_bad_gears();
    here.cycle = there.cycle = ROUND;
    pair p = hold(&here, &there);
    double sum[3] = {0}, moved = 0, last = (double)INFINITY;
    evn_beside_line line;
    size_t lines = 0;
    for (; evn_beside_line_at(p.beside, 1, lines, &line); lines++) {
        for (int k = 0; k < 2; k++)
            sum[k] += line.difference_kwh_km[k];
        moved += line.moved_kwh_km;
        ck_assert(fabs(line.moved_kwh_km) <= last);
        last = fabs(line.moved_kwh_km);
    }
    ck_assert_uint_gt(lines, 10);
    double of_here = difference_of(&p.here, 1, "kwh_per_km"), of_there = difference_of(&p.there, 1, "kwh_per_km");
    ck_assert_double_eq_tol(sum[EVN_BESIDE_HERE] - of_here, 0, 1e-9);
    ck_assert_double_eq_tol(sum[EVN_BESIDE_THERE], of_there, 1e-9);
    ck_assert_double_eq_tol(moved, of_there - of_here, 1e-9);
    pair_end(&p);
}
END_TEST

START_TEST(each_line_is_its_difference_per_km_of_both)
{
    wanted here = plain(), there = with_bad_gears();
    pair p = hold(&here, &there);
    evn_beside_line line;
    for (size_t k = 0; evn_beside_line_at(p.beside, 1, k, &line); k++) {
        double of_here = difference_of(&p.here, 1, line.what.key) / result_of(&p.here, 1, "distance_km");
        double of_there = difference_of(&p.there, 1, line.what.key) / result_of(&p.there, 1, "distance_km");
        ck_assert_double_eq_tol(line.difference_kwh_km[EVN_BESIDE_HERE], of_here, 1e-8);
        ck_assert_double_eq_tol(line.difference_kwh_km[EVN_BESIDE_THERE], of_there, 1e-8);
        ck_assert_str_eq(line.what.unit, "kWh/km");
    }
    ck_assert(evn_beside_line_at(p.beside, 1, 0, &line));
    ck_assert_str_eq(line.what.key, "energy_balance.gearbox_losses_kwh");
    ck_assert_double_gt(line.moved_kwh_km, 0.05);
    pair_end(&p);
}
END_TEST

START_TEST(beside_itself_nothing_moves)
{
    wanted same = plain();
    pair p = hold(&same, &same);
    evn_beside_line line;
    evn_beside_verdict here, there;
    for (size_t k = 0; evn_beside_line_at(p.beside, 1, k, &line); k++)
        ck_assert_double_eq(line.moved_kwh_km, 0);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_HERE, &here));
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_THERE, &there));
    ck_assert_double_eq(here.lead_points, there.lead_points);
    ck_assert_int_eq(evn_beside_answers(p.beside), EVN_BESIDE_SAME);
    pair_end(&p);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ verdicts */

START_TEST(another_truck_is_lowest_where_the_gears_lose_more)
{
    wanted here = plain(), there = with_bad_gears();
    pair p = hold(&here, &there);
    evn_beside_truck is;
    evn_beside_verdict v;
    ck_assert(evn_beside_truck_at(p.beside, 1, &is));
    ck_assert_double_eq(is.kwh_per_km[EVN_BESIDE_HERE], result_of(&p.here, 1, "kwh_per_km"));
    ck_assert_double_eq(is.use[EVN_BESIDE_THERE], result_of(&p.there, 1, "kwh_per_km"));
    double first = result_of(&p.there, 0, "kwh_per_km");
    ck_assert_double_eq_tol(is.percent[EVN_BESIDE_THERE], 100 * (is.use[EVN_BESIDE_THERE] / first - 1), 1e-9);
    ck_assert_double_lt(is.percent[EVN_BESIDE_HERE], -EVN_BESIDE_CLOSE_POINTS);
    ck_assert_double_gt(is.percent[EVN_BESIDE_THERE], EVN_BESIDE_CLOSE_POINTS);
    ck_assert_int_eq(is.against_first, EVN_BESIDE_OTHER);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_HERE, &v));
    ck_assert(v.lowest == 1 && v.next == 0 && !v.close);
    ck_assert_double_eq_tol(v.lead_points, -is.percent[EVN_BESIDE_HERE], 1e-12);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_THERE, &v));
    ck_assert(v.lowest == 0 && v.next == 1 && !v.close);
    ck_assert_double_eq_tol(v.lead_points, is.percent[EVN_BESIDE_THERE], 1e-12);
    ck_assert_int_eq(evn_beside_answers(p.beside), EVN_BESIDE_OTHER);
    pair_end(&p);
}
END_TEST

/* Trucks that are one but for a little drag area: on which side of the first the second lies. */
static pair nearly_alike(double here_m2, double there_m2)
{
    char beside[2][100];
    wanted w[2] = {plain(), plain()};
    double area_m2[2] = {here_m2, there_m2};
    for (int k = 0; k < 2; k++) {
        snprintf(beside[k], sizeof beside[k], "body: {drag_area_m2: %g}", area_m2[k]);
        w[k].file[1] = CENTRAL;
        w[k].beside[1] = beside[k];
    }
    return hold(&w[0], &w[1]);
}

START_TEST(less_than_half_a_point_decides_nothing)
{
    evn_beside_verdict v;
    evn_beside_truck is;
    pair p = nearly_alike(5.374, 5.9); /* of 5.4 m2; alike within 0.5 % */
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_HERE, &v) && v.lowest == 1 && v.close);
    ck_assert(evn_beside_truck_at(p.beside, 1, &is));
    ck_assert(is.percent[EVN_BESIDE_HERE] < 0 && is.percent[EVN_BESIDE_HERE] > -EVN_BESIDE_CLOSE_POINTS);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_THERE, &v) && v.lowest == 0 && !v.close);
    ck_assert_int_eq(is.against_first, EVN_BESIDE_OPEN);
    ck_assert(is.alike[EVN_BESIDE_HERE] && !is.alike[EVN_BESIDE_THERE]);
    ck_assert_int_eq(evn_beside_answers(p.beside), EVN_BESIDE_OPEN);
    pair_end(&p);
    p = nearly_alike(5.37, 4.9);
    ck_assert_int_eq(evn_beside_answers(p.beside), EVN_BESIDE_SAME);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_HERE, &v) && v.close);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_THERE, &v) && !v.close);
    pair_end(&p);
}
END_TEST

static evn_beside_data data_of(const evn_beside *beside, const char *key)
{
    evn_beside_data data;
    for (size_t k = 0; evn_beside_data_at(beside, k, &data); k++)
        if (strcmp(data.row.what.key, key) == 0)
            return data;
    ck_abort_msg("no %s", key);
}

START_TEST(what_else_differs_is_told_of_the_first_truck_in_which_it_does)
{
    wanted here = plain(), there = plain();
    there.beside[0] = "auxiliaries: {power_kw: 1.92}";
    there.beside[1] = "auxiliaries: {power_kw: 1.92}, body: {drag_area_m2: 6}";
    pair p = hold(&here, &there);
    evn_beside_data data = data_of(p.beside, "auxiliaries_kw");
    ck_assert(!data.alike && data.truck == 0);
    ck_assert_double_eq_tol(data.value[EVN_BESIDE_HERE], 5, 1e-12);
    ck_assert_double_eq_tol(data.value[EVN_BESIDE_THERE], 1.92, 1e-12);
    data = data_of(p.beside, "drag_area_m2");
    ck_assert(!data.alike && data.truck == 1);
    ck_assert_double_eq_tol(data.value[EVN_BESIDE_HERE], 5.4, 1e-12);
    ck_assert_double_eq_tol(data.value[EVN_BESIDE_THERE], 6, 1e-12);
    data = data_of(p.beside, "usable_battery_kwh");
    ck_assert(data.alike && data.truck == 0 && data.value[EVN_BESIDE_HERE] == data.value[EVN_BESIDE_THERE]);
    pair_end(&p);
}
END_TEST

START_TEST(trucks_are_found_by_their_names)
{
    wanted here = plain(), there = with_bad_gears();
    here.name[2] = there.name[1] = "second";
    there.name[2] = "eaxle";
    there.beside[2] = there.beside[1];
    there.beside[1] = "body: {drag_area_m2: 5.0}";
    pair p = hold(&here, &there);
    evn_beside_truck is;
    ck_assert(evn_beside_truck_at(p.beside, 1, &is));
    ck_assert_uint_eq(is.place_there, 2);
    ck_assert_double_eq(is.use[EVN_BESIDE_THERE], result_of(&p.there, 2, "kwh_per_km"));
    ck_assert_double_gt(is.percent[EVN_BESIDE_THERE], 0);
    ck_assert(evn_beside_truck_at(p.beside, 2, &is));
    ck_assert_uint_eq(is.place_there, 1);
    ck_assert_double_lt(is.percent[EVN_BESIDE_THERE], 0);
    pair_end(&p);
}
END_TEST

START_TEST(a_truck_that_does_not_finish_leaves_no_verdict)
{
    wanted here = plain(), there = plain();
    there.beside[1] = "battery: {usable_from_soc: 0.89}"; /* it starts at 0.9 */
    pair p = hold(&here, &there);
    evn_beside_truck is;
    evn_beside_verdict v;
    evn_beside_line line;
    ck_assert(evn_beside_truck_at(p.beside, 1, &is));
    ck_assert(isnan(is.percent[EVN_BESIDE_THERE]) && isnan(is.use[EVN_BESIDE_THERE]));
    ck_assert(isfinite(is.percent[EVN_BESIDE_HERE]));
    ck_assert_int_eq(is.against_first, EVN_BESIDE_UNKNOWN);
    ck_assert(evn_beside_verdict_of(p.beside, EVN_BESIDE_HERE, &v));
    ck_assert(!evn_beside_verdict_of(p.beside, EVN_BESIDE_THERE, &v));
    ck_assert_int_eq(evn_beside_answers(p.beside), EVN_BESIDE_UNKNOWN);
    ck_assert(!evn_beside_line_at(p.beside, 1, 0, &line));
    pair_end(&p);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is refused */

static void refused(const wanted *there, const char *words)
{
    wanted here = plain();
    meeting a = load(&here), b = load(there);
    ck_assert_int_eq(evn_beside_fits(a.lineup, &a.ask, b.lineup, &b.ask, a.report), EVN_BAD_INPUT);
    ck_assert_msg(strstr(first_finding(a.report), words), "%s", first_finding(a.report));
    meeting_end(&a);
    meeting_end(&b);
}

START_TEST(other_roads_loads_or_trucks_do_not_stand_beside_each_other)
{
    wanted w = plain();
    w.cycle = ROUND;
    refused(&w, "expected the same cycle");
    w = plain();
    w.head = "driving: {accuracy: 1e-10}\nload_case: {payload_kg: 20000}";
    refused(&w, "payload_kg");
    w = plain();
    w.head = "driving: {accuracy: 1e-10, driver: exact}";
    refused(&w, "driver");
    w = plain();
    w.name[1] = "other";
    refused(&w, "no truck named 'eaxle'");
    w = plain();
    w.name[2] = "third";
    refused(&w, "no truck named 'third'");
    w = plain();
    w.name[0] = "eaxle";
    w.name[1] = "central";
    refused(&w, "the first truck");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("beside");
    TCase *it = tcase_create("beside");
    tcase_set_timeout(it, 60);
    tcase_add_checked_fixture(it, folder_begin, folder_end);
    tcase_add_test(it, what_lines_moved_adds_up_to_what_the_difference_moved);
    tcase_add_test(it, each_line_is_its_difference_per_km_of_both);
    tcase_add_test(it, beside_itself_nothing_moves);
    tcase_add_test(it, another_truck_is_lowest_where_the_gears_lose_more);
    tcase_add_test(it, less_than_half_a_point_decides_nothing);
    tcase_add_test(it, what_else_differs_is_told_of_the_first_truck_in_which_it_does);
    tcase_add_test(it, trucks_are_found_by_their_names);
    tcase_add_test(it, a_truck_that_does_not_finish_leaves_no_verdict);
    tcase_add_test(it, other_roads_loads_or_trucks_do_not_stand_beside_each_other);
    suite_add_tcase(suite, it);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
