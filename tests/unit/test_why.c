/* Why two trucks differ: parts that add up, closed forms of single causes, blocks that must be merged, what is told of
 * a comparison that was stopped. */
#define _XOPEN_SOURCE 700
#include "evener/causes.h"
#include "evener/likeness.h"
#include "folder.h"
#include "trip_probe.h"

#define PLAIN "tests/trucks/plain/"
#define CENTRAL PLAIN "tractor-4x2-central.yaml"
#define EAXLE PLAIN "tractor-4x2-eaxle.yaml"

typedef struct wanted { /* two trucks, with what is set beside their files */
    const char *head, *file[2], *beside[2];
    const char *cycle; /* NULL: the hill */
    const char *third; /* beside the first's file makes a third truck; NULL: none */
} wanted;

typedef struct scene {
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_causes *causes;
    evn_report *report;
    evn_causes_pair pair;
} scene;

static scene compared(const wanted *w)
{
    char here[300], text[3000], path[PATH_BYTES];
    scene s = {.report = evn_report_new()};
    folder_begin();
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    int used = snprintf(text, sizeof text, "name: a test\ninvented: true\ncycle: {%s%s%s}\n%s\ntrucks:\n",
                        w->cycle ? "" : "use: ", w->cycle ? "" : here, w->cycle ? w->cycle : "/" HILL, w->head);
    for (int i = 0; i < 2; i++)
        used += snprintf(text + used, sizeof text - (size_t)used, "  %s: {use: %s/%s%s%s}\n", i == 0 ? "a" : "b", here,
                         w->file[i], w->beside[i][0] ? ", " : "", w->beside[i]);
    if (w->third)
        used +=
            snprintf(text + used, sizeof text - (size_t)used, "  c: {use: %s/%s, %s}\n", here, w->file[0], w->third);
    ck_assert_int_lt(used, (int)sizeof text);
    write_file("lineup.yaml", text);
    evn_lineup_load(in_folder(path, "lineup.yaml"), &s.lineup, s.report);
    ck_assert_msg(s.lineup, "%s", first_finding(s.report));
    evn_conditions ask = evn_lineup_ask(s.lineup);
    evn_compare(s.lineup, &ask, NULL, &s.comparison, s.report);
    ck_assert_ptr_nonnull(s.comparison);
    folder_end();
    return s;
}

static scene parted(const wanted *w)
{
    scene s = compared(w);
    ck_assert_msg(evn_causes_find(s.comparison, &(evn_causes_how){0}, &s.causes, s.report) == EVN_DONE, "%s",
                  first_finding(s.report));
    ck_assert(evn_causes_pair_at(s.causes, 1, &s.pair));
    ck_assert_int_eq(s.pair.state, EVN_CAUSES_FOUND);
    ck_assert(s.pair.kept);
    return s;
}

static void end(scene *s)
{
    evn_causes_free(s->causes);
    evn_comparison_free(s->comparison);
    evn_lineup_free(s->lineup);
    evn_report_free(s->report);
}

/* The part that holds a cause. */
static evn_cause_part part_of(const scene *s, evn_cause cause)
{
    evn_cause_part part;
    size_t k = 0;
    while (evn_causes_part_at(s->causes, 1, k, &part) && !(part.causes >> cause & 1u))
        k++;
    ck_assert(part.causes >> cause & 1u);
    return part;
}

static double result_of(const scene *s, size_t truck, const char *key)
{
    double value;
    const evn_outcome *o = evn_comparison_outcome(s->comparison, truck, EVN_BASIS_COMMON);
    ck_assert(evn_results_get(evn_outcome_results(o), key, &value));
    return value;
}

#define SHORT                                                                                                          \
    "name: short, source: invented, length_m: 1200, speed: {place_m: [0, 600], limit_km_h: [60, 40]}, "                \
    "road: {place_m: [0, 1100], grade_percent: [1, 1]}"

/* ------------------------------------------------------------------------------------------------ sums */

static const wanted unlike = {
    "driving: {accuracy: 1e-7}",
    {CENTRAL, EAXLE},
    {"", "auxiliaries: {power_kw: 6}, body: {drag_area_m2: 5.6}, axles: {front: {hub_drag: {speed_rpm: [0], torque_nm: "
         "[7]}}}"},
    SHORT};

static void expect_sums(const scene *s)
{
    double all = 0;
    evn_cause_part part;
    for (size_t k = 0; evn_causes_part_at(s->causes, 1, k, &part); k++) {
        double lines = 0;
        evn_cause_line line;
        for (size_t i = 0; evn_causes_line_at(s->causes, 1, k, i, &line); i++)
            lines += line.part;
        ck_assert_double_eq_tol(lines, part.part, 1e-12);
        ck_assert_double_le(part.least, part.percent + 1e-12);
        ck_assert_double_ge(part.most, part.percent - 1e-12);
        ck_assert(!part.alike || (part.part == 0 && part.least == 0 && part.most == 0));
        all += part.part;
    }
    ck_assert_double_eq_tol(all, s->pair.other_parted - s->pair.first_parted, 1e-9 * fabs(s->pair.first_parted));
    ck_assert_double_eq_tol(s->pair.layout + s->pair.rest + s->pair.mixed, all, 1e-12);
}

START_TEST(parts_add_up_to_the_difference_and_lines_to_their_part)
{
    scene s = parted(&unlike);
    expect_sums(&s);
    ck_assert_uint_eq(s.pair.hybrids, 32); /* all but how they switch differs, or part of it */
    ck_assert(part_of(&s, EVN_CAUSE_DRIVEN_AXLES).alike);
    ck_assert_double_gt(part_of(&s, EVN_CAUSE_BODY).part, 0);
    ck_assert_double_gt(part_of(&s, EVN_CAUSE_HUBS).part, 0);
    end(&s);
}
END_TEST

/* A line of the balance that only one cause moves is of that part alone. */
START_TEST(a_line_belongs_to_the_cause_that_moves_it)
{
    scene s = parted(&unlike);
    double hours = s.pair.duration_s / 3600, km = result_of(&s, 0, "distance_km");
    evn_cause_part part;
    evn_cause_line line;
    for (size_t k = 0; evn_causes_part_at(s.causes, 1, k, &part); k++)
        for (size_t i = 0; evn_causes_line_at(s.causes, 1, k, i, &line); i++)
            if (strcmp(line.what.key, "auxiliaries") == 0)
                ck_assert_double_eq_tol(line.part, part.causes >> EVN_CAUSE_AUXILIARIES & 1u ? hours / km : 0, 1e-5);
    end(&s);
}
END_TEST

START_TEST(what_differs_in_nothing_has_no_parts)
{
    scene s = parted(&(wanted){"", {CENTRAL, CENTRAL}, {"", ""}});
    evn_cause_part part;
    expect_sums(&s);
    ck_assert_uint_eq(s.pair.hybrids, 1);
    for (size_t k = 0; evn_causes_part_at(s.causes, 1, k, &part); k++)
        ck_assert(part.alike && part.part == 0);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ closed forms */

#define LATE 4e-5 /* share of the time by which a truck may be late at a common speed */
#define IDEAL "battery: {resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}}"

/* Without resistance in the battery, and at one voltage, what the bus takes more is what the battery gives more: power
 * times time. */
START_TEST(auxiliaries_make_their_power_times_time_beside_anything_else)
{
    scene s = parted(&(wanted){"driving: {accuracy: 1e-10}",
                               {CENTRAL, CENTRAL},
                               {IDEAL, IDEAL ", auxiliaries: {power_kw: 9}, body: {drag_area_m2: 6}"}});
    double hours = s.pair.duration_s / 3600, km = result_of(&s, 0, "distance_km");
    evn_cause_part aux = part_of(&s, EVN_CAUSE_AUXILIARIES);
    ck_assert_uint_eq(s.pair.hybrids, 4);
    ck_assert_double_eq_tol(aux.part, 4 * hours / km, LATE * aux.part);
    ck_assert_double_eq_tol(aux.least, aux.most, LATE * aux.percent); /* its single effect, in any order */
    ck_assert_double_gt(part_of(&s, EVN_CAUSE_BODY).part, 0);
    expect_sums(&s);
    end(&s);
}
END_TEST

/* The lighter truck was given more to carry: that goes with its body. */
START_TEST(trucks_made_equal_are_parted_with_what_they_were_given)
{
    scene s = parted(&(wanted){"equal: gross", {CENTRAL, EAXLE}, {"", ""}, SHORT});
    evn_equalised given;
    ck_assert(evn_comparison_equalised(s.comparison, 1, &given));
    ck_assert_double_gt(given.payload_kg, 22900);
    evn_cause_line line;
    ck_assert_str_eq(evn_causes_key(s.causes), "kwh_per_t_km");
    ck_assert(evn_causes_line_at(s.causes, 1, 0, 0, &line));
    ck_assert_str_eq(line.what.unit, "kWh/(t km)");
    ck_assert_double_eq_tol(s.pair.first_parted, s.pair.first, 1e-3 * s.pair.first);
    ck_assert_double_eq_tol(s.pair.other_parted, s.pair.other, 1e-3 * s.pair.other);
    ck_assert_double_lt(part_of(&s, EVN_CAUSE_BODY).part, 0);
    expect_sums(&s);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ merged */

static bool merged(const scene *s, evn_cause one, evn_cause other) { return part_of(s, one).causes >> other & 1u; }

/* Bearings of the wheels stated at the axle in one, in the path of the other: between them counted twice. */
START_TEST(hubs_stated_in_the_path_are_told_with_the_drivetrain)
{
    scene s =
        parted(&(wanted){"",
                         {CENTRAL, EAXLE},
                         {"", "axles: {drive: {hub_drag: {speed_rpm: [0], torque_nm: [15]}}}, drive_units: {rear: "
                              "{path: [mesh: {ratio: 5.9, efficiency: 0.98}, differential: {}]}}"}});
    evn_cause_merge is;
    ck_assert(merged(&s, EVN_CAUSE_HUBS, EVN_CAUSE_DRIVETRAIN));
    ck_assert(evn_causes_merge_at(s.causes, 1, 0, &is));
    ck_assert_int_eq(is.one, EVN_CAUSE_HUBS);
    ck_assert_int_eq(is.other, EVN_CAUSE_DRIVETRAIN);
    ck_assert_ptr_nonnull(strstr(is.reason, "counted twice"));
    ck_assert(!evn_causes_merge_at(s.causes, 1, 1, &is));
    ck_assert_double_ne(s.pair.mixed, 0);
    expect_sums(&s);
    end(&s);
}
END_TEST

/* A light truck with little power: the heavy one with it would crawl. */
START_TEST(a_hybrid_that_cannot_follow_merges_the_blocks_that_make_it_slow)
{
    scene s =
        parted(&(wanted){"",
                         {CENTRAL, CENTRAL},
                         {"", "payload: {mass_kg: 1000}, drive_units: {rear: {motors: {a: {peak_power_kw: 200}}}}"}});
    ck_assert(merged(&s, EVN_CAUSE_BODY, EVN_CAUSE_DRIVETRAIN));
    ck_assert(!merged(&s, EVN_CAUSE_BODY, EVN_CAUSE_HUBS));
    expect_sums(&s);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ how it is found */

/* The exchanges of a part, of which those from the first truck and to the other begin and end there. How many. */
static size_t exchanges_sum_to(const scene *s, size_t k, double part)
{
    evn_cause_exchange is, last = {0};
    double sum = 0, orders = 0;
    size_t count = 0;
    for (; evn_causes_exchange_at(s->causes, 1, k, count, &is); count++) {
        if (count == 0)
            ck_assert(is.before == 0 && is.without == s->pair.first_parted);
        sum += is.weight * (is.with - is.without);
        orders += is.weight;
        last = is;
    }
    ck_assert(last.with == s->pair.other_parted);
    ck_assert_double_eq_tol(sum, part, 1e-12);
    ck_assert_double_eq_tol(orders, 1, 1e-12);
    return count;
}

static void holds_exchanges_against_parts(const wanted *w)
{
    scene s = parted(w);
    evn_cause_part part;
    size_t count = 0, differing = 0;
    for (size_t k = 0; evn_causes_part_at(s.causes, 1, k, &part); k++)
        differing += !part.alike;
    for (size_t k = 0; evn_causes_part_at(s.causes, 1, k, &part); k++)
        if (!part.alike)
            count += exchanges_sum_to(&s, k, part.part);
    ck_assert_uint_gt(differing, 1);
    ck_assert_uint_eq(count, differing << (differing - 1));
    end(&s);
}

START_TEST(exchanges_of_a_block_sum_to_its_part)
{
    holds_exchanges_against_parts(&(wanted){"", {CENTRAL, EAXLE}, {"", "auxiliaries: {power_kw: 9}"}, SHORT});
}
END_TEST

START_TEST(a_truck_alone_is_parted_as_among_all_and_others_are_not)
{
    scene s = parted(&(wanted){"", {CENTRAL, EAXLE}, {"", "auxiliaries: {power_kw: 9}"}, SHORT});
    evn_causes *alone, *none;
    evn_cause_part one, other;
    evn_causes_pair pair;
    ck_assert_int_eq(evn_causes_find(s.comparison, &(evn_causes_how){.one_alone = true, .truck = 1}, &alone, s.report),
                     EVN_DONE);
    ck_assert_int_eq(evn_causes_find(s.comparison, &(evn_causes_how){.one_alone = true}, &none, s.report), EVN_DONE);
    ck_assert(evn_causes_pair_at(none, 1, &pair) && pair.state == EVN_CAUSES_STOPPED);
    for (size_t k = 0; evn_causes_part_at(s.causes, 1, k, &one); k++) {
        ck_assert(evn_causes_part_at(alone, 1, k, &other));
        ck_assert(memcmp(&one.part, &other.part, sizeof one.part) == 0);
    }
    evn_causes_free(alone);
    evn_causes_free(none);
    end(&s);
}
END_TEST

static bool never(void *self, double share)
{
    (void)self, (void)share;
    return false;
}

static bool has_finding(const evn_report *report, const char *text)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        if (strcmp(found.text, text) == 0)
            return true;
    return false;
}

START_TEST(one_that_is_stopped_says_so_and_parts_nothing)
{
    scene s = compared(&unlike);
    evn_cause_part part;
    ck_assert_int_eq(evn_causes_find(s.comparison, &(evn_causes_how){.go_on = never}, &s.causes, s.report),
                     EVN_NO_RESULT);
    ck_assert(evn_causes_partial(s.causes));
    ck_assert(has_finding(s.report, "interrupted; no causes were whole by then"));
    ck_assert(evn_causes_pair_at(s.causes, 1, &s.pair));
    ck_assert_int_eq(s.pair.state, EVN_CAUSES_STOPPED);
    ck_assert(!evn_causes_part_at(s.causes, 1, 0, &part));
    end(&s);
}
END_TEST

START_TEST(any_number_of_threads_finds_the_same)
{
    scene s = parted(&unlike);
    evn_causes *again;
    evn_cause_part one, other;
    ck_assert_int_eq(evn_causes_find(s.comparison, &(evn_causes_how){.threads = 1}, &again, s.report), EVN_DONE);
    for (size_t k = 0; evn_causes_part_at(s.causes, 1, k, &one); k++) {
        ck_assert(evn_causes_part_at(again, 1, k, &other));
        ck_assert(memcmp(&one.part, &other.part, sizeof one.part) == 0);
        ck_assert(memcmp(&one.least, &other.least, sizeof one.least) == 0);
    }
    evn_causes_free(again);
    end(&s);
}
END_TEST

/* In the same draws: what is alike makes nothing in any of them, and the parts add up in each. */
START_TEST(parts_have_intervals_in_the_same_draws)
{
    scene s = compared(&(wanted){"", {CENTRAL, EAXLE}, {"", "axles: {drive: {mass_kg: 820}}"}, SHORT});
    evn_sureness all;
    evn_uncertainty *sure;
    const evn_uncertainty_how by = {.method = EVN_UNCERTAINTY_DRAWS, .draws = 16, .seed = 3};
    ck_assert_int_eq(evn_uncertainty_find(s.lineup, s.comparison, &by, &sure, s.report), EVN_DONE);
    const evn_causes_how how = {.draws = sure};
    ck_assert_int_eq(evn_causes_find(s.comparison, &how, &s.causes, s.report), EVN_DONE);
    ck_assert(evn_causes_pair_at(s.causes, 1, &s.pair));
    ck_assert_uint_eq(evn_causes_runs(s.comparison, &how), s.pair.hybrids * 17 + 5);
    ck_assert_uint_eq(s.pair.draws_done, 16);
    evn_cause_part is = part_of(&s, EVN_CAUSE_DRIVETRAIN);
    ck_assert(is.sure && is.low_percent < is.percent && is.percent < is.high_percent);
    ck_assert(evn_uncertainty_between(sure, 1, 0, EVN_BASIS_COMMON, EVN_UNCERTAINTY_DRAWS, &all));
    /* Nothing else differs, and the draws are the same; all of it lies about the difference as compared, parts about
     * that at the speed of the hybrids. */
    double moved = evn_uncertainty_how_found(sure).speed_moved_percent;
    ck_assert_double_lt(moved, 0.2);
    ck_assert_double_eq_tol(is.low_percent, all.low_percent, moved + 0.05);
    ck_assert_double_eq_tol(is.high_percent, all.high_percent, moved + 0.05);
    ck_assert_double_eq_tol(is.high_percent - is.low_percent, all.high_percent - all.low_percent, 0.1);
    is = part_of(&s, EVN_CAUSE_DRIVEN_AXLES);
    ck_assert(is.sure && is.low_percent == 0 && is.high_percent == 0);
    evn_uncertainty_free(sure);
    end(&s);
}
END_TEST

START_TEST(laws_and_their_remainder_are_the_part_of_the_drivetrain)
{
    scene s = parted(&unlike);
    double sum = 0;
    evn_cause_law law;
    size_t count = 0;
    for (; evn_causes_law_at(s.causes, 1, count, &law); count++)
        sum += law.found ? law.part : 0;
    ck_assert_uint_eq(count, 6);
    ck_assert_str_eq(law.key, "remainder");
    ck_assert_double_eq_tol(sum, part_of(&s, EVN_CAUSE_DRIVETRAIN).part, 1e-12);
    end(&s);
}
END_TEST

static bool differs_in(const scene *s, evn_cause cause, const char *path)
{
    const char *is;
    for (size_t k = 0; evn_causes_differing_at(s->causes, 1, cause, k, &is); k++)
        if (strcmp(is, path) == 0)
            return true;
    return false;
}

START_TEST(what_differs_is_named_with_the_cause_that_holds_it)
{
    const char *path;
    scene s =
        parted(&(wanted){"",
                         {CENTRAL, CENTRAL},
                         {"", "battery: {discharge_limit_kw: 600}, auxiliaries: {power_kw: 6}, payload: {mass_kg: "
                              "19000}, axles: {front: {mass_kg: 650, hub_drag: {speed_rpm: [0], torque_nm: [9]}}}"},
                         SHORT});
    ck_assert(differs_in(&s, EVN_CAUSE_BODY, "battery.discharge_limit_kw"));
    ck_assert(differs_in(&s, EVN_CAUSE_BODY, "payload.mass_kg"));
    ck_assert(differs_in(&s, EVN_CAUSE_BODY, "axles.front.mass_kg"));
    ck_assert(!evn_causes_differing_at(s.causes, 1, EVN_CAUSE_BODY, 3, &path));
    ck_assert(differs_in(&s, EVN_CAUSE_AUXILIARIES, "auxiliaries.power_kw"));
    ck_assert(differs_in(&s, EVN_CAUSE_HUBS, "axles.front.hub_drag"));
    ck_assert(!evn_causes_differing_at(s.causes, 1, EVN_CAUSE_DRIVEN_AXLES, 0, &path));
    end(&s);
}
END_TEST

#define STEEP                                                                                                          \
    "name: steep, source: invented, length_m: 1500, speed: {place_m: [0], limit_km_h: [70]}, "                         \
    "road: {place_m: [0, 1400], grade_percent: [8, 8]}"

/* More power in the other truck carries what its gears lose; the first truck with such gears is a tenth slower uphill,
 * and what it takes then is not what gears make: a hybrid as slow as that is merged. */
START_TEST(a_law_with_which_the_first_truck_falls_behind_is_not_told_as_exchanged)
{
    scene s = parted(&(wanted){"",
                               {CENTRAL, CENTRAL},
                               {"", "drive_units: {rear: {motors: {a: {peak_power_kw: 700, peak_torque_nm: 3200}}, "
                                    "gearbox: {efficiencies: [0.9, 0.9, 0.9, 0.9]}}}"},
                               STEEP});
    evn_cause_law law;
    size_t k = 0;
    while (evn_causes_law_at(s.causes, 1, k, &law) && strcmp(law.key, "load_losses") != 0)
        k++;
    ck_assert_str_eq(law.key, "load_losses");
    ck_assert_msg(!law.found, "told as %+.1f %%, of a part of %+.1f %%", law.percent,
                  part_of(&s, EVN_CAUSE_DRIVETRAIN).percent);
    ck_assert_ptr_nonnull(law.why_not);
    end(&s);
}
END_TEST

/* How far the common speed of all lies under that of the first truck and another one alone. */
static double held_down_km_h(const scene *s, size_t truck)
{
    evn_causes_pair is;
    ck_assert(evn_causes_pair_at(s->causes, truck, &is));
    ck_assert_int_eq(is.state, EVN_CAUSES_FOUND);
    return is.below_pair_km_h - is.slower_km_h;
}

#define UPHILL                                                                                                         \
    "name: uphill, source: invented, length_m: 800, speed: {place_m: [0], limit_km_h: [70]}, "                         \
    "road: {place_m: [0, 700], grade_percent: [3, 3]}"
#define WEAKER "battery: {discharge_limit_kw: 250}"

START_TEST(of_two_trucks_nobody_else_holds_the_pair_down)
{
    scene s = parted(&(wanted){"", {CENTRAL, CENTRAL}, {"", WEAKER}, UPHILL});
    ck_assert_double_eq(held_down_km_h(&s, 1), 0);
    ck_assert_double_ge(s.pair.below_pair_km_h, 0);
    end(&s);
}
END_TEST

/* By as much as the lineup of the two alone is faster, which is another comparison; the slowest by nothing. */
START_TEST(a_third_truck_that_is_slowest_holds_the_pair_down_by_what_the_two_alone_are_faster)
{
    scene two = compared(&(wanted){"", {CENTRAL, CENTRAL}, {"", WEAKER}, UPHILL});
    scene s = parted(&(wanted){"", {CENTRAL, CENTRAL}, {"", WEAKER}, UPHILL, "battery: {discharge_limit_kw: 150}"});
    double faster = result_of(&two, 0, "mean_speed_km_h") - result_of(&s, 0, "mean_speed_km_h");
    ck_assert_double_gt(faster, 1);
    ck_assert_double_eq_tol(held_down_km_h(&s, 1), faster, 0.01 * faster);
    ck_assert_double_eq_tol(held_down_km_h(&s, 2), 0, 0.01 * faster);
    end(&two);
    end(&s);
}
END_TEST

START_TEST(without_the_first_truck_there_is_nothing_to_part)
{
    scene s = compared(&(wanted){"", {CENTRAL, EAXLE}, {"battery: {discharge_limit_kw: 1}", ""}});
    ck_assert_int_eq(evn_causes_find(s.comparison, &(evn_causes_how){0}, &s.causes, s.report), EVN_ANSWER_NO);
    ck_assert_ptr_null(s.causes);
    ck_assert_uint_eq(evn_causes_runs(s.comparison, &(evn_causes_how){0}), 0);
    end(&s);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("why");
    TCase *tests = tcase_create("why");
    tcase_add_test(tests, parts_add_up_to_the_difference_and_lines_to_their_part);
    tcase_add_test(tests, exchanges_of_a_block_sum_to_its_part);
    tcase_add_test(tests, a_truck_alone_is_parted_as_among_all_and_others_are_not);
    tcase_add_test(tests, a_line_belongs_to_the_cause_that_moves_it);
    tcase_add_test(tests, what_differs_in_nothing_has_no_parts);
    tcase_add_test(tests, auxiliaries_make_their_power_times_time_beside_anything_else);
    tcase_add_test(tests, trucks_made_equal_are_parted_with_what_they_were_given);
    tcase_add_test(tests, hubs_stated_in_the_path_are_told_with_the_drivetrain);
    tcase_add_test(tests, a_hybrid_that_cannot_follow_merges_the_blocks_that_make_it_slow);
    tcase_add_test(tests, one_that_is_stopped_says_so_and_parts_nothing);
    tcase_add_test(tests, any_number_of_threads_finds_the_same);
    tcase_add_test(tests, parts_have_intervals_in_the_same_draws);
    tcase_add_test(tests, laws_and_their_remainder_are_the_part_of_the_drivetrain);
    tcase_add_test(tests, what_differs_is_named_with_the_cause_that_holds_it);
    tcase_add_test(tests, a_law_with_which_the_first_truck_falls_behind_is_not_told_as_exchanged);
    tcase_add_test(tests, of_two_trucks_nobody_else_holds_the_pair_down);
    tcase_add_test(tests, a_third_truck_that_is_slowest_holds_the_pair_down_by_what_the_two_alone_are_faster);
    tcase_add_test(tests, without_the_first_truck_there_is_nothing_to_part);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
