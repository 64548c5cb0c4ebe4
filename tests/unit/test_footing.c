/* What a road is of: kinds and lists of a surface, the course that is made of them, and what is asked instead; a
 * lifting axle's keys; what is said where open differentials keep a truck from moving off. */
#define _POSIX_C_SOURCE 200809L
#include "../published/plain_truck.h"
#include "api/objects.h"
#include "core/arena.h"
#include "course_probe.h"
#include "cycle/surface.h"
#include "lorry.h"
#include "read/read.h"
#include "truck/rig.h"

#define HEAD "name: test\ninvented: true\nlength_m: 1000\nspeed: {place_m: [0], limit_km_h: [30]}\n"

/* ------------------------------------------------------------------------------------------------ courses */

typedef struct stretch {
    double end_m, rolling_factor, adhesion, other_side; /* NAN: not stated */
} stretch;

static void check_course(const char *text, size_t asked, const stretch *expected, size_t count)
{
    evn_arena *arena = evn_arena_new();
    evn_report *report = evn_report_new();
    const evn_cycle_file *cycle =
        evn_read_bytes(text, strlen(text), "given.yaml", &evn_cycle_object, NULL, arena, report);
    evn_finding finding = {.text = ""};
    evn_report_at(report, 0, &finding);
    ck_assert_msg(cycle, "%s", finding.text);
    evn_course_ask ask = no_top;
    ask.surface = asked;
    evn_course *course = evn_course_prepare(cycle, &ask, report);
    ck_assert_ptr_nonnull(course);
    ck_assert_uint_eq(course->road_count, count);
    for (size_t i = 0; i < count; i++) {
        const evn_road_stretch *is = &course->road[i];
        ck_assert(is->end_m == expected[i].end_m && is->rolling_factor == expected[i].rolling_factor);
        ck_assert(is->adhesion == expected[i].adhesion || (isnan(is->adhesion) && isnan(expected[i].adhesion)));
        ck_assert(is->adhesion_other_side == expected[i].other_side ||
                  (isnan(is->adhesion_other_side) && isnan(expected[i].other_side)));
    }
    evn_course_free(course);
    evn_report_free(report);
    evn_arena_free(arena);
}

#define COURSE(text, asked, ...)                                                                                       \
    check_course(text, asked, (const stretch[]){__VA_ARGS__}, sizeof((const stretch[]){__VA_ARGS__}) / sizeof(stretch))
static const double none = (double)NAN;

START_TEST(a_kind_brings_adhesion_and_rolling_resistance_where_the_lists_say_nothing)
{
    COURSE(HEAD "surface: {place_m: [100, 200, 300, 400, 500], kind: [dry, wet, gravel, soil, snow]}\n", 0,
           {100, 1, none, none}, {200, 1, 0.75, 0.75}, {300, 1, 0.5, 0.5}, {400, 2.5, 0.5, 0.5}, {500, 12, 0.4, 0.4},
           {1000, 1.5, 0.2, 0.2});
    COURSE(HEAD "surface: {place_m: [100, 200], kind: [gravel, snow], rolling_factor: [2, 3], adhesion: [0.55, 0.25], "
                "adhesion_other_side: [0.55, 0.15]}\n",
           0, {100, 1, none, none}, {200, 2, 0.55, 0.55}, {1000, 3, 0.25, 0.15});
}
END_TEST

START_TEST(a_change_of_either_side_cuts_the_road_and_nothing_else_does)
{
    COURSE(HEAD "surface: {place_m: [0, 200, 400, 600], adhesion: [0.5, 0.5, 0.5, 0.3], adhesion_other_side: [0.5, "
                "0.2, 0.2, 0.2]}\n",
           0, {200, 1, 0.5, 0.5}, {600, 1, 0.5, 0.2}, {1000, 1, 0.3, 0.2});
    COURSE(HEAD "surface: {place_m: [200, 400], kind: [dry, dry], adhesion: [0.7, 0.7]}\n", 0, {200, 1, none, none},
           {1000, 1, 0.7, 0.7});
    COURSE(HEAD "surface: {place_m: [200], rolling_factor: [2]}\n", 0, {200, 1, none, none}, {1000, 2, none, none});
}
END_TEST

START_TEST(a_surface_that_is_asked_for_brings_its_adhesion_all_the_way_and_leaves_the_rolling_resistance)
{
    COURSE(HEAD, EVN_SURFACE_SNOW, {1000, 1, 0.2, 0.2});
    COURSE(HEAD "surface: {place_m: [300], kind: [soil], adhesion_other_side: [0.1]}\n", EVN_SURFACE_WET,
           {300, 1, 0.5, 0.5}, {1000, 12, 0.5, 0.5});
}
END_TEST

START_TEST(every_kind_has_its_middle_within_its_range_and_can_be_asked_for)
{
    for (size_t i = 0; i < EVN_SURFACE_KINDS; i++) {
        const evn_surface_kind *k = &evn_surface_kinds[i];
        ck_assert(k->adhesion_least < k->adhesion && k->adhesion < k->adhesion_most);
        ck_assert_str_eq(evn_surface_choices[i + 1], k->name);
        char told[60];
        snprintf(told, sizeof told, "%s %g (%g to %g)", k->name, k->adhesion, k->adhesion_least, k->adhesion_most);
        ck_assert_msg(strstr(EVN_SURFACE_RANGES, told), "%s is not told", told);
    }
}
END_TEST

START_TEST(an_unknown_kind_is_told_with_the_nearest)
{
    char path[PATH_BYTES];
    evn_cycle *cycle = NULL;
    evn_report *report = evn_report_new();
    evn_finding finding;
    write_file("cycle.yaml", HEAD "surface: {place_m: [0], kind: [gravl]}\n");
    ck_assert_int_ne(evn_cycle_load(in_folder(path, "cycle.yaml"), &cycle, report), EVN_DONE);
    ck_assert(evn_report_at(report, 0, &finding));
    ck_assert_msg(strstr(finding.text, "nearest is 'gravel'"), "%s", finding.text);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ lifting axle */

static evn_rig *rig_of(const char *text, evn_lifting_axle asked, evn_report *report)
{
    char path[PATH_BYTES];
    evn_truck *truck = NULL;
    evn_rig *rig = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    load_case.lifting_axle = asked;
    write_file("truck.yaml", text);
    if (evn_truck_load(in_folder(path, "truck.yaml"), &truck, report) == EVN_DONE)
        evn_rig_prepare(truck, &load_case, &rig, report);
    evn_truck_free(truck);
    return rig;
}

static bool said(const evn_report *report, const char *what)
{
    evn_finding finding;
    bool found = false;
    for (size_t i = 0; evn_report_at(report, i, &finding); i++)
        found = found || strstr(finding.text, what);
    return found;
}

static void lifted_is(const char *text, evn_lifting_axle asked, bool lifted)
{
    evn_report *report = evn_report_new();
    evn_finding finding = {.text = ""};
    evn_rig *rig = rig_of(text, asked, report);
    evn_report_at(report, 0, &finding);
    ck_assert_msg(rig, "%s", finding.text);
    ck_assert(rig->axle[2].lifted == lifted);
    ck_assert((rig->axle[2].load.cosine_kg == 0) == lifted);
    evn_rig_free(rig);
    evn_report_free(report);
}

/* Lifted, its driven axle carries 22.75 t. */
#define LORRY(lifts) LORRY_6X2("1.2", "0.006", lifts) LORRY_DRIVES_ONE("")

START_TEST(an_axle_is_lifted_by_request_and_load)
{
    lifted_is(LORRY(""), EVN_LIFTING_AXLE_UP, false);              /* it cannot */
    lifted_is(LORRY(", lifts: {}"), EVN_LIFTING_AXLE_AUTO, false); /* more than permitted */
    lifted_is(LORRY(", lifts: {lower_above_load_kg: 22751}"), EVN_LIFTING_AXLE_AUTO, true);
    lifted_is(LORRY(", lifts: {lower_above_load_kg: 22749}"), EVN_LIFTING_AXLE_AUTO, false);
    lifted_is(LORRY(", lifts: {request: up}"), EVN_LIFTING_AXLE_AUTO, true);
    lifted_is(LORRY(", lifts: {request: up}"), EVN_LIFTING_AXLE_DOWN, false);
    lifted_is(LORRY(", lifts: {request: down}"), EVN_LIFTING_AXLE_AUTO, false);
    lifted_is(LORRY(", lifts: {request: down}"), EVN_LIFTING_AXLE_UP, true);
}
END_TEST

START_TEST(start_aid_lifts_the_axle_altogether_where_that_is_not_enough_and_does_nothing_where_it_is_not_needed)
{
    evn_report *report = evn_report_new();
    evn_rig *rig =
        rig_of(LORRY(", lifts: {request: down, start_aid: {axle_load_kg: 30000}}"), EVN_LIFTING_AXLE_AUTO, report);
    ck_assert(rig && rig->start_aid.there && rig->start_aid.load[2].cosine_kg == 0);
    ck_assert_double_eq_tol(rig->start_aid.load[1].cosine_kg, 22750, 1e-6);
    ck_assert_double_eq_tol(rig->start_aid.below_m_s, 30 / 3.6, 1e-12);
    ck_assert(said(report, "start aid puts 22750 kg on axle driven"));
    evn_rig_free(rig);
    rig = rig_of(LORRY(", lifts: {request: down, start_aid: {axle_load_kg: 9000}}"), EVN_LIFTING_AXLE_AUTO, report);
    ck_assert(rig && !rig->start_aid.there);
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

#define DRIVEN(axle) "drive_units: {rear: {axles: [" axle "], " LORRY_MOTORS ", path: []}}\n"

static const struct {
    const char *text, *why;
} wrong[] = {
    {LORRY(", lifts: {start_aid: {below_km_h: 30}}"), "axle_load_kg"},
    {LORRY_6X2("1.2", "0.006", ", lifts: {request: up}") DRIVEN("3"), "lifts and is driven"},
    {LORRY_6X2("1.2", "0.006", ", lifts: {request: down, start_aid: {axle_load_kg: 14000}}") DRIVEN("1"),
     "without a driven axle beside it"},
    {LORRY_6X2("1.2", "0.006", "") LORRY_DRIVES_ONE(", inter_axle_lock: true"), "a lock between axles"},
};

static void refused(const char *text, const char *why)
{
    evn_report *report = evn_report_new();
    ck_assert_ptr_null(rig_of(text, EVN_LIFTING_AXLE_AUTO, report));
    ck_assert_msg(said(report, why), "not said: %s", why);
    evn_report_free(report);
}

/* Both stances stand among the figures, the aid's where there is one. */
static double figure_of(const evn_rig *rig, const char *key)
{
    for (size_t i = 0; i < rig->figure_count; i++)
        if (strcmp(rig->figure[i].what.key, key) == 0)
            return rig->figure[i].value;
    return (double)NAN;
}

START_TEST(figures_tell_the_loads_of_both_stances)
{
    evn_report *report = evn_report_new();
    evn_rig *rig =
        rig_of(LORRY(", lifts: {request: down, start_aid: {axle_load_kg: 13500}}"), EVN_LIFTING_AXLE_AUTO, report);
    ck_assert(rig && !said(report, "start aid puts"));
    ck_assert_double_eq_tol(figure_of(rig, "axle_loads.driven.start_aid_load_kg"), 13500, 1e-6);
    ck_assert_double_eq(figure_of(rig, "axle_loads.driven.load_kg"), rig->axle[1].load.cosine_kg);
    evn_rig_free(rig);
    rig = rig_of(LORRY(""), EVN_LIFTING_AXLE_AUTO, report);
    ck_assert(rig && isnan(figure_of(rig, "axle_loads.driven.start_aid_load_kg")));
    evn_rig_free(rig);
    evn_report_free(report);
}
END_TEST

START_TEST(keys_that_contradict_each_other_are_refused) { refused(wrong[_i].text, wrong[_i].why); }
END_TEST

START_TEST(an_axle_of_which_nothing_says_up_to_which_load_it_is_up_is_refused)
{
    char text[] = LORRY(", lifts: {}");
    static const char permitted[] = "permitted_kg: 11500, ";
    memset(strstr(text, permitted), ' ', strlen(permitted));
    refused(text, "nothing says up to which load axle tag stays up");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ moving off */

/* What is said of a tandem that tries 14 % with 0.5 under one side and 0.2 under the other. */
static void try_start(const char *truck, const char *why)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    evn_conditions ask = plain_ask(0);
    write_file("truck.yaml", truck);
    write_file("cycle.yaml", "name: start\ninvented: true\nlength_m: 100\nspeed: {place_m: [0], limit_km_h: [10]}\n"
                             "road: {place_m: [0, 100], grade_percent: [14, 14]}\n"
                             "surface: {place_m: [0], adhesion: [0.5], adhesion_other_side: [0.2]}\n");
    drive d = drive_files(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask);
    ck_assert_str_eq(evn_results_status(d.results), why ? "stalled" : "finished");
    ck_assert_msg(!why || said(d.report, why), "not said: %s", why);
    drive_end(&d);
}

START_TEST(a_truck_that_open_differentials_keep_from_moving_off_is_told_what_they_cost)
{
    /* 0.2 of twice 8 t, and a little of slip; 0.35 of 19 t */
    try_start(LORRY_TANDEM("0") LORRY_DRIVES_BOTH(""), "with its differentials locked they would carry 64.6 kN");
    try_start(LORRY_TANDEM("0") LORRY_DRIVES_BOTH(", axle_differential_lock: true"),
              "with its differentials locked they would carry 64.6 kN");
    try_start(LORRY_TANDEM("0") LORRY_DRIVES_BOTH(", axle_differential_lock: true, inter_axle_lock: true"), NULL);
    try_start(LORRY_TANDEM("0") LORRY_DRIVES_BOTH(", inter_axle_lock: true"), "0.5 and 0.2 on either side");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("footing");
    TCase *courses = tcase_create("courses"), *axle = tcase_create("lifting axle"), *start = tcase_create("moving off");
    tcase_add_checked_fixture(courses, folder_begin, folder_end);
    tcase_add_checked_fixture(axle, folder_begin, folder_end);
    tcase_add_checked_fixture(start, folder_begin, folder_end);
    tcase_add_test(courses, a_kind_brings_adhesion_and_rolling_resistance_where_the_lists_say_nothing);
    tcase_add_test(courses, a_change_of_either_side_cuts_the_road_and_nothing_else_does);
    tcase_add_test(courses,
                   a_surface_that_is_asked_for_brings_its_adhesion_all_the_way_and_leaves_the_rolling_resistance);
    tcase_add_test(courses, every_kind_has_its_middle_within_its_range_and_can_be_asked_for);
    tcase_add_test(courses, an_unknown_kind_is_told_with_the_nearest);
    tcase_add_test(axle, an_axle_is_lifted_by_request_and_load);
    tcase_add_test(axle, figures_tell_the_loads_of_both_stances);
    tcase_add_test(
        axle, start_aid_lifts_the_axle_altogether_where_that_is_not_enough_and_does_nothing_where_it_is_not_needed);
    tcase_add_test(axle, an_axle_of_which_nothing_says_up_to_which_load_it_is_up_is_refused);
    tcase_add_loop_test(axle, keys_that_contradict_each_other_are_refused, 0, sizeof wrong / sizeof *wrong);
    tcase_add_test(start, a_truck_that_open_differentials_keep_from_moving_off_is_told_what_they_cost);
    suite_add_tcase(suite, courses);
    suite_add_tcase(suite, axle);
    suite_add_tcase(suite, start);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
