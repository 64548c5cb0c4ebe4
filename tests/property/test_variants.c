/*
 * What ships, copied and changed in memory: the same to the bit as the file with the same value set beside it. Paths
 * that nobody would write do no harm; they are drawn from a fixed start.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/trip_probe.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "core/field_hash.h"
#include "cycle/cycle.h"
#include "duty/duty.h"
#include "evener/keys.h"
#include "lineup/lineup.h"
#include "read/read.h"
#include "truck/truck.h"
#include <glob.h>

#define TWO_EAXLES "tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml"
#define SHORT "cycles/reference/ece-15.yaml"

static evn_report *new_report(void)
{
    evn_report *report = evn_report_new();
    ck_assert_ptr_nonnull(report);
    return report;
}

/* ------------------------------------------------------------------------------------------------ trucks and cycles */

/* A truck or a cycle behind one set of calls. */
typedef struct thing {
    evn_truck *truck;
    evn_cycle *cycle;
} thing;

static thing load(bool is_truck, const char *path, const char *set, evn_report *report)
{
    const char *sets[] = {set, NULL};
    evn_load how = {.set = sets, .only_cycle = true};
    thing it = {0};
    if (is_truck)
        evn_truck_load_with(path, &how, &it.truck, report);
    else
        evn_cycle_load_with(path, &how, &it.cycle, report);
    return it;
}

static void thing_end(thing it)
{
    evn_truck_free(it.truck);
    evn_cycle_free(it.cycle);
}

static thing copy_of(thing it)
{
    evn_report *report = new_report();
    thing copy = {0};
    evn_status status =
        it.truck ? evn_truck_copy(it.truck, &copy.truck, report) : evn_cycle_copy(it.cycle, &copy.cycle, report);
    ck_assert_int_eq(status, EVN_DONE);
    evn_report_free(report);
    return copy;
}

static void hash_of(thing it, char out[EVN_HASH_BYTES])
{
    if (it.truck)
        evn_truck_hash(it.truck, out);
    else
        evn_cycle_hash(it.cycle, out);
}

static evn_status set(thing it, const char *path, double value, evn_report *report)
{
    return it.truck ? evn_truck_set_number(it.truck, path, value, report)
                    : evn_cycle_set_number(it.cycle, path, value, report);
}

static double number(thing it, const char *path)
{
    evn_report *report = new_report();
    double value = -1e99;
    evn_status status =
        it.truck ? evn_truck_number(it.truck, path, &value, report) : evn_cycle_number(it.cycle, path, &value, report);
    ck_assert_msg(status == EVN_DONE, "%s: %s", path, first_finding(report));
    evn_report_free(report);
    return value;
}

/* ------------------------------------------------------------------------------------------------ every number */

enum { NUMBER_PATH_BYTES = 300 };
typedef void (*visit)(const char *file, thing original, const char *path, double value);

/* Of a list its first number and its last. */
static void visit_value(const char *file, thing original, const evn_value *value, visit act)
{
    char path[NUMBER_PATH_BYTES];
    bool given = value->origin != EVN_NOT_GIVEN;
    if (value->kind == EVN_VALUE_NUMBER)
        act(file, original, value->path, given ? value->numbers[0] : (double)NAN);
    for (size_t i = 0; value->kind == EVN_VALUE_NUMBERS && i < value->count;
         i += i + 1 < value->count ? value->count - 1 : 1) {
        snprintf(path, sizeof path, "%s[%zu]", value->path, i);
        act(file, original, path, value->numbers[i]);
    }
}

static size_t visit_numbers(bool is_truck, const char *file, visit act)
{
    evn_report *report = new_report();
    evn_part *part = NULL;
    evn_value value;
    size_t count = 0;
    evn_part_load(is_truck ? "truck" : "cycle", file, &part, report);
    thing original = load(is_truck, file, NULL, report);
    ck_assert_msg(part && (original.truck || original.cycle), "%s", first_finding(report));
    for (; evn_part_value_at(part, count, &value); count++)
        visit_value(file, original, &value, act);
    thing_end(original);
    evn_part_free(part);
    evn_report_free(report);
    return count;
}

static void visit_all(visit act)
{
    static const char *const folders[] = {"tests/vehicles/trucks/*.yaml", "cycles/reference/*.yaml",
                                          "cycles/scenarios/*.yaml"};
    for (size_t k = 0; k < 3; k++) {
        glob_t files;
        ck_assert_int_eq(glob(folders[k], 0, NULL, &files), 0);
        for (size_t i = 0; i < files.gl_pathc; i++)
            ck_assert_uint_gt(visit_numbers(k == 0, files.gl_pathv[i], act), 0);
        globfree(&files);
    }
}

static void set_to_itself(const char *file, thing original, const char *path, double value)
{
    char before[EVN_HASH_BYTES], after[EVN_HASH_BYTES];
    evn_report *report = new_report();
    thing copy = copy_of(original);
    double found = number(copy, path);
    ck_assert_msg(found == value || (isnan(found) && isnan(value)), "%s: %s is %.17g, not %.17g", file, path, found,
                  value);
    hash_of(original, before);
    ck_assert_msg(set(copy, path, value, report) == EVN_DONE, "%s: %s", file, first_finding(report));
    hash_of(copy, after);
    ck_assert_str_eq(after, before);
    thing_end(copy);
    evn_report_free(report);
}

START_TEST(every_shipped_number_is_found_by_its_path_and_set_to_itself_changes_nothing) { visit_all(set_to_itself); }
END_TEST

/* What both say is said in the same words, errors one for one. The reader may warn about what did not change. */
static void same_findings(const char *path, const evn_report *ours, const evn_report *theirs)
{
    evn_finding a, b;
    size_t errors = 0;
    for (size_t i = 0; evn_report_at(theirs, i, &b); i++)
        errors += b.severity == EVN_ERROR;
    for (size_t i = 0; evn_report_at(ours, i, &a); i++) {
        bool said = false;
        for (size_t k = 0; evn_report_at(theirs, k, &b); k++)
            said = said || (a.severity == b.severity && strcmp(a.fault, b.fault) == 0 && strcmp(a.text, b.text) == 0);
        ck_assert_msg(said, "%s: the reader does not say: %s", path, a.text);
        errors -= a.severity == EVN_ERROR;
    }
    ck_assert_msg(errors == 0, "%s: the reader finds other errors: %s", path, first_finding(theirs));
}

/* Set in memory and set beside the file: both refuse it in the same words, or both come to the same. */
static bool set_both_ways(const char *file, thing original, const char *path, double value)
{
    char beside[NUMBER_PATH_BYTES + 40], before[EVN_HASH_BYTES], ours[EVN_HASH_BYTES], theirs[EVN_HASH_BYTES];
    evn_report *memory = new_report(), *reader = new_report();
    thing copy = copy_of(original);
    snprintf(beside, sizeof beside, "%s=%.17g", path, value);
    thing read = load(original.truck, file, beside, reader);
    bool taken = set(copy, path, value, memory) == EVN_DONE;
    ck_assert_msg(taken == (read.truck || read.cycle), "%s: %s: %s", file, beside,
                  first_finding(taken ? reader : memory));
    same_findings(beside, memory, reader);
    hash_of(copy, ours);
    hash_of(original, before);
    if (taken)
        hash_of(read, theirs);
    ck_assert_str_eq(ours, taken ? theirs : before);
    ck_assert_msg(!taken || strcmp(ours, before) != 0, "the hash does not see %s", beside);
    thing_end(read);
    thing_end(copy);
    evn_report_free(memory);
    evn_report_free(reader);
    return taken;
}

static size_t changed;

static void set_a_little_higher(const char *file, thing original, const char *path, double value)
{
    double other = isnan(value) ? 1 : value == floor(value) ? value + 1 : value * 1.01;
    changed += set_both_ways(file, original, path, other);
}

START_TEST(every_number_of_a_truck_changed_in_memory_gives_the_hash_of_the_same_set_beside_its_file)
{
    static const char *const trucks[] = {TRACTOR, TWO_EAXLES, "tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml"};
    changed = 0;
    visit_numbers(true, trucks[_i], set_a_little_higher);
    ck_assert_uint_gt(changed, 50);
}
END_TEST

START_TEST(every_number_of_a_cycle_changed_in_memory_gives_the_hash_of_the_same_set_beside_its_file)
{
    changed = 0;
    visit_numbers(false, HILL, set_a_little_higher);
    visit_numbers(false, CRUISE, set_a_little_higher);
    visit_numbers(false, "cycles/scenarios/delivery-day.yaml", set_a_little_higher);
    visit_numbers(false, "cycles/reference/sort-1.yaml", set_a_little_higher);
    ck_assert_uint_gt(changed, 4);
}
END_TEST

static void set_beyond_its_bounds(const char *file, thing original, const char *path, double value)
{
    (void)value;
    char below[NUMBER_PATH_BYTES];
    evn_report *report = new_report();
    evn_key_place at;
    evn_key key;
    snprintf(below, sizeof below, "truck.%s", path);
    if (below[strlen(below) - 1] == ']')
        *strrchr(below, '[') = '\0'; /* an item has the bounds of its list */
    ck_assert_msg(evn_key_find(below, &at, report), "%s: %s", below, first_finding(report));
    ck_assert(evn_key_at(at.holder, at.index, &key));
    if (isfinite(key.least))
        ck_assert(!set_both_ways(file, original, path, nextafter(key.least, -(double)INFINITY)));
    if (isfinite(key.most))
        ck_assert(!set_both_ways(file, original, path, nextafter(key.most, (double)INFINITY)));
    changed += isfinite(key.least) ? 1 : 0;
    evn_report_free(report);
}

START_TEST(a_number_just_beyond_each_bound_is_refused_in_the_words_of_the_reader)
{
    changed = 0;
    visit_numbers(true, TWO_EAXLES, set_beyond_its_bounds);
    ck_assert_uint_gt(changed, 100);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ copies */

static void copy_outlives(const char *pattern, const evn_object *object)
{
    static const char *const search[] = {"vehicles", "cycles", NULL};
    glob_t files;
    ck_assert_int_eq(glob(pattern, 0, NULL, &files), 0);
    for (size_t i = 0; i < files.gl_pathc; i++) {
        evn_report *report = new_report();
        evn_arena *arena = evn_arena_new(), *other = evn_arena_new();
        const void *read = evn_read_file(files.gl_pathv[i], object, search, arena, report);
        ck_assert_msg(read, "%s: %s", files.gl_pathv[i], first_finding(report));
        void *copy = evn_object_copy(object, read, other);
        ck_assert_ptr_nonnull(copy);
        uint64_t hash = evn_object_hash(object, read);
        evn_arena_free(arena); /* a sanitizer sees each look that the copy still takes there */
        ck_assert(evn_object_hash(object, copy) == hash);
        evn_arena_free(other);
        evn_report_free(report);
    }
    globfree(&files);
}

START_TEST(copies_of_all_that_ships_stand_when_what_was_read_is_gone)
{
    copy_outlives("tests/vehicles/trucks/*.yaml", &evn_truck_object);
    copy_outlives("cycles/reference/*.yaml", &evn_cycle_object);
    copy_outlives("cycles/scenarios/*.yaml", &evn_cycle_object);
    copy_outlives("cycles/duties/*.yaml", &evn_duty_object);
    copy_outlives("tests/vehicles/lineups/*.yaml", &evn_lineup_object);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

/* All results, bit for bit. */
static void same_results(const drive *a, const drive *b)
{
    evn_quantity what;
    double x, y;
    ck_assert_uint_eq(evn_results_count(a->results), evn_results_count(b->results));
    for (size_t i = 0; evn_results_at(a->results, i, &what, &x); i++) {
        ck_assert(evn_results_at(b->results, i, &what, &y));
        ck_assert_msg(memcmp(&x, &y, sizeof x) == 0, "%s: %.17g and %.17g", what.key, x, y);
    }
}

/* Drives, with a truck that is gone before it does. */
static drive drive_thing(evn_truck *truck, const evn_cycle *cycle)
{
    evn_conditions ask = evn_conditions_default();
    drive out = {.report = new_report()};
    evn_rig_prepare(truck, &ask.load_case, &out.rig, out.report);
    ck_assert_msg(out.rig, "%s", first_finding(out.report));
    evn_truck_free(truck);
    out.status = evn_drive(out.rig, cycle, &ask.driving, NULL, &out.results, out.report);
    ck_assert_msg(out.results, "%s", first_finding(out.report));
    return out;
}

START_TEST(a_number_changed_in_memory_drives_to_the_bits_of_the_same_set_beside_the_files)
{
    static const struct {
        const char *truck, *path;
        double value;
    } rows[] = {{TRACTOR, "body.mass_kg", 6100},
                {TRACTOR, "battery.resistance_ohm", 0.07},
                {TWO_EAXLES, "drive_units.tag.path[0].mesh.ratio", 3},
                {TWO_EAXLES, "axles.drive.tyre.rolling_resistance_coefficient", 0.007}};
    evn_report *report = new_report();
    char beside[200];
    snprintf(beside, sizeof beside, "%s=%.17g", rows[_i].path, rows[_i].value);
    thing plain = load(true, rows[_i].truck, NULL, report), read = load(true, rows[_i].truck, beside, report);
    ck_assert_msg(read.truck, "%s", first_finding(report));
    evn_cycle *cycle = load_cycle(SHORT);
    thing copy = copy_of(plain), same = copy_of(plain);
    ck_assert_msg(set(copy, rows[_i].path, rows[_i].value, report) == EVN_DONE, "%s", first_finding(report));
    drive a = drive_thing(copy.truck, cycle), b = drive_thing(read.truck, cycle);
    drive c = drive_thing(plain.truck, cycle), d = drive_thing(same.truck, cycle);
    same_results(&a, &b);
    same_results(&c, &d);
    ck_assert_double_ne(result(&a, "battery_kwh"), result(&c, "battery_kwh"));
    drive_end(&a);
    drive_end(&b);
    drive_end(&c);
    drive_end(&d);
    evn_cycle_free(cycle);
    evn_report_free(report);
}
END_TEST

START_TEST(a_changed_truck_lists_no_values_and_counts_its_wheels_anew)
{
    evn_report *report = new_report();
    evn_truck *truck = load_truck(TRACTOR), *copy = NULL;
    evn_value value;
    ck_assert_uint_gt(evn_truck_value_count(truck), 0);
    ck_assert_int_eq(evn_truck_copy(truck, &copy, report), EVN_DONE);
    ck_assert_uint_eq(evn_truck_value_count(copy), 0);
    ck_assert(!evn_truck_value_at(copy, 0, &value));
    ck_assert_str_eq(evn_truck_name(copy), evn_truck_name(truck));
    ck_assert_str_eq(evn_truck_axle_configuration(copy), "4x2");
    ck_assert_int_ne(evn_truck_set_number(truck, "body.mass_kg", -1, report), EVN_DONE);
    ck_assert_uint_gt(evn_truck_value_count(truck), 0); /* nothing has changed */
    evn_report_free(report);
    report = new_report();
    ck_assert_int_eq(evn_truck_set_number(truck, "body.mass_kg", 6100, report), EVN_DONE);
    ck_assert_uint_eq(evn_truck_value_count(truck), 0);
    evn_truck_free(copy);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ any bytes */

enum { INPUTS = 10000, BYTES_MOST = 120, INPUTS_OF_A_COPY = 100 };

static const char *const pieces[] = {"body",
                                     "mass_kg",
                                     ".",
                                     "[0]",
                                     "[1]",
                                     "[",
                                     "]",
                                     "drive_units",
                                     "rear",
                                     "front",
                                     "path",
                                     "battery",
                                     "=",
                                     "[999]",
                                     "..",
                                     "gearbox.ratios",
                                     "motors",
                                     "motor",
                                     "map",
                                     "loss",
                                     "use",
                                     "extends",
                                     "\xff",
                                     "\xc3\xa4",
                                     "\n",
                                     "\033[0m",
                                     "trailer",
                                     "axles",
                                     "[18446744073709551616]",
                                     "tyre",
                                     "name"};
static const char *const paths[] = {"body.mass_kg",
                                    "drive_units.rear.gearbox.ratios[0]",
                                    "battery.charge_taper.soc[1]",
                                    "axles.front.tyre.rolling_radius_m",
                                    "drive_units.rear.path[0].mesh.ratio",
                                    "brakes.regeneration",
                                    "axles.front.support",
                                    "invented"};

typedef struct source {
    unsigned long long state;
} source;

/* xorshift64*, the same on every machine. */
static size_t draw(source *from, size_t below)
{
    from->state ^= from->state >> 12;
    from->state ^= from->state << 25;
    from->state ^= from->state >> 27;
    return (size_t)((from->state * 2685821657736338717ULL) >> 33) % below;
}

static void draw_path(source *from, char out[BYTES_MOST])
{
    size_t at = 0;
    if (draw(from, 2) == 0)
        at = (size_t)snprintf(out, BYTES_MOST, "%s", paths[draw(from, sizeof paths / sizeof paths[0])]);
    for (size_t i = draw(from, at > 0 ? 3 : 8); i-- > 0 && at + 30 < BYTES_MOST;) {
        size_t kind = draw(from, 4);
        if (kind == 0 && at > 0)
            out[draw(from, at)] = (char)(1 + draw(from, 255));
        else if (kind == 1 && at > 0)
            at = draw(from, at);
        else
            at += (size_t)snprintf(out + at, BYTES_MOST - at, "%s%s", draw(from, 2) ? "." : "",
                                   pieces[draw(from, sizeof pieces / sizeof pieces[0])]);
    }
    out[at] = '\0';
}

static double draw_number(source *from)
{
    static const double odd[] = {0, 1, -1, 2, 1e308, -1e308, 5e-324, 0.5, 1e6, -0.0};
    size_t which = draw(from, 14);
    if (which == 10)
        return (double)NAN;
    if (which == 11)
        return (double)INFINITY;
    return which < 10 ? odd[which] : (double)draw(from, 100000) / 1000;
}

/* Taken: it stands there. Refused: said, and nothing has changed. */
static bool try_one(evn_truck *truck, const char *path, double value)
{
    char before[EVN_HASH_BYTES], after[EVN_HASH_BYTES];
    double found = -1e99;
    evn_report *report = new_report();
    evn_truck_hash(truck, before);
    bool taken = evn_truck_set_number(truck, path, value, report) == EVN_DONE;
    evn_truck_hash(truck, after);
    if (taken) {
        ck_assert_int_eq(evn_truck_number(truck, path, &found, report), EVN_DONE);
        ck_assert(found == value || (isnan(found) && isnan(value)));
    } else {
        ck_assert_str_eq(before, after);
        ck_assert_uint_gt(evn_report_count(report), 0);
        ck_assert_int_eq(evn_report_status(report), EVN_BAD_INPUT);
    }
    evn_report_free(report);
    return taken;
}

START_TEST(whatever_path_and_number_is_given_it_is_taken_or_said_and_nothing_else_happens)
{
    source from = {20260801};
    char path[BYTES_MOST];
    size_t taken = 0;
    thing original = {.truck = load_truck("tests/vehicles/trucks/tractor-4x2-eaxle.yaml")}, copy = copy_of(original);
    for (size_t i = 0; i < INPUTS; i++) {
        if (i % INPUTS_OF_A_COPY == 0) {
            thing_end(copy);
            copy = copy_of(original);
        }
        draw_path(&from, path);
        taken += try_one(copy.truck, path, draw_number(&from));
    }
    ck_assert_uint_gt(taken, 100);
    ck_assert_uint_lt(taken, INPUTS / 2);
    thing_end(copy);
    thing_end(original);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("variants");
    TCase *all = tcase_create("all"), *runs = tcase_create("runs");
    tcase_add_test(all, every_shipped_number_is_found_by_its_path_and_set_to_itself_changes_nothing);
    tcase_add_loop_test(all, every_number_of_a_truck_changed_in_memory_gives_the_hash_of_the_same_set_beside_its_file,
                        0, 3);
    tcase_add_test(all, every_number_of_a_cycle_changed_in_memory_gives_the_hash_of_the_same_set_beside_its_file);
    tcase_add_test(all, a_number_just_beyond_each_bound_is_refused_in_the_words_of_the_reader);
    tcase_add_test(all, copies_of_all_that_ships_stand_when_what_was_read_is_gone);
    tcase_add_test(all, whatever_path_and_number_is_given_it_is_taken_or_said_and_nothing_else_happens);
    tcase_add_test(runs, a_changed_truck_lists_no_values_and_counts_its_wheels_anew);
    tcase_add_loop_test(runs, a_number_changed_in_memory_drives_to_the_bits_of_the_same_set_beside_the_files, 0, 4);
    suite_add_tcase(suite, all);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
