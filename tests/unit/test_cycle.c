/* The cycle as it is written: its keys, the rules between them, and its figures. */
#define _POSIX_C_SOURCE 200809L
#include "core/arena.h"
#include "core/units.h"
#include "course_probe.h"
#include "read/read.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ------------------------------------------------------------------------------------------------ reading */

typedef struct reading {
    evn_arena *arena;
    evn_report *report;
    const evn_cycle_file *cycle; /* NULL: refused */
} reading;

static reading read_text(const char *text, const char *name)
{
    reading it = {evn_arena_new(), evn_report_new(), NULL};
    ck_assert(it.arena && it.report);
    it.cycle = evn_read_bytes(text, strlen(text), name, &evn_cycle_object, NULL, it.arena, it.report);
    return it;
}

static void done(reading it)
{
    evn_report_free(it.report);
    evn_arena_free(it.arena);
}

#define HEAD "name: test\ninvented: true\n"

typedef struct refusal { /* one fault, at this line (from 1) of the text */
    const char *text, *fault;
    unsigned line;
} refusal;

static void check_refused(const refusal *of, const char *name)
{
    reading it = read_text(of->text, name);
    evn_finding found;
    ck_assert_msg(evn_report_at(it.report, 0, &found), "accepted: %s", of->text);
    ck_assert_msg(!it.cycle && evn_report_count(it.report) == 1, "%s, for\n%s", found.text, of->text);
    ck_assert_msg(strcmp(found.fault, of->fault) == 0, "%s: %s, for\n%s", found.fault, found.text, of->text);
    ck_assert_msg(found.line == of->line, "line %u: %s, for\n%s", found.line, found.text, of->text);
    ck_assert_msg(found.text[strlen(found.text) - 1] != '.', "%s", found.text);
    done(it);
}

static const refusal refusals[] = {
    /* one of the ways to write a speed */
    {HEAD "speed: {}\n", "missing_key", 3},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, 1], place_m: [0], limit_km_h: [5]}\n", "disagrees", 3},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, 1], limit_km_h: [5]}\n", "disagrees", 3},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, 1], place_m: [0]}\n", "disagrees", 3},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, 1], speed_mph: [0, 1]}\n", "disagrees", 3},
    {HEAD "speed: {time_s: [0, 1]}\n", "missing_key", 3},
    {HEAD "speed: {speed_mph: [0, 1]}\n", "missing_key", 3},
    {HEAD "length_m: 10\nspeed: {place_m: [0]}\n", "missing_key", 4},
    {HEAD "length_m: 10\nspeed: {limit_km_h: [30]}\n", "missing_key", 4},
    /* lists that belong together */
    {HEAD "speed: {time_s: [0, 1, 2], speed_km_h: [0, 1]}\n", "disagrees", 3},
    {HEAD "speed: {time_s: [0], speed_km_h: [9]}\n", "disagrees", 3},
    {HEAD "speed:\n  time_s: [0, 1,\n    1]\n  speed_km_h: [0, 1, 2]\n", "disagrees", 5},
    {HEAD "speed:\n  time_s: [0, 2,\n    1.5]\n  speed_km_h: [0, 1, 2]\n", "disagrees", 5},
    {HEAD "speed:\n  time_s: [0, 1,\n    1.0001]\n  speed_km_h: [0, 1, 1]\n", "disagrees", 5},
    {HEAD "length_m: 900\nspeed: {place_m: [0, 500, 500], limit_km_h: [30, 40, 50]}\n", "disagrees", 4},
    {HEAD "length_m: 900\nspeed: {place_m: [10], limit_km_h: [30]}\n", "disagrees", 4},
    /* bounds */
    {HEAD "speed: {time_s: [0, 100], speed_km_h: [0, 217]}\n", "out_of_range", 3},
    {HEAD "speed: {time_s: [0, 100], speed_mph: [0, 135]}\n", "out_of_range", 3},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, -1]}\n", "out_of_range", 3},
    {HEAD "length_m: 900\nspeed: {place_m: [0], limit_km_h: [0]}\n", "out_of_range", 4},
    {HEAD "length_m: 0.5\nspeed: {place_m: [0], limit_km_h: [30]}\n", "out_of_range", 3},
    /* driving */
    {HEAD "speed:\n  time_s: [0, 10, 11]\n  speed_km_h: [0, 50,\n   20]\n", "braking_too_hard", 6},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, 0]}\n", "disagrees", 3},
    /* length */
    {HEAD "speed: {place_m: [0], limit_km_h: [30]}\n", "missing_key", 1},
    {HEAD "length_m: 5\nspeed: {time_s: [0, 1], speed_km_h: [0, 1]}\n", "disagrees", 3},
    /* where it comes from */
    {"name: test\nspeed: {time_s: [0, 1], speed_km_h: [0, 1]}\n", "missing_key", 1},
    {"name: test\ninvented: false\nspeed: {time_s: [0, 1], speed_km_h: [0, 1]}\n", "missing_key", 1},
    {"invented: true\nspeed: {time_s: [0, 1], speed_km_h: [0, 1]}\n", "missing_key", 1},
    {HEAD, "missing_key", 1},
};

START_TEST(a_cycle_that_contradicts_itself_is_refused_at_its_place) { check_refused(&refusals[_i], "given.yaml"); }
END_TEST

#define LIMITS HEAD "length_m: 1000\nspeed: {place_m: [0], limit_km_h: [30]}\n"

static const refusal road_refusals[] = {
    {LIMITS "road: {}\n", "missing_key", 5},
    {LIMITS "road: {place_m: [0, 9]}\n", "missing_key", 5},
    {LIMITS "road: {grade_percent: [0, 1]}\n", "missing_key", 5},
    {LIMITS "road: {place_m: [0, 9], grade_percent: [0, 1], elevation_m: [0, 1]}\n", "disagrees", 5},
    {LIMITS "road: {place_m: [0, 9], grade_percent: [0, 1, 2]}\n", "disagrees", 5},
    {LIMITS "road: {place_m: [0], grade_percent: [1]}\n", "disagrees", 5},
    {LIMITS "road: {place_m: [0, 20, 10], grade_percent: [0, 1, 0]}\n", "disagrees", 5},
    {LIMITS "road: {place_m: [0, 9], grade_percent: [0, 51]}\n", "out_of_range", 5},
    {LIMITS "road:\n  place_m: [0, 10]\n  elevation_m: [0,\n   5]\n", "out_of_range", 8},
    {LIMITS "road: {place_m: [0, 9], grade_percent: [0, 1], repeat: true}\n", "disagrees", 5},
    {LIMITS "stops: {place_m: [500]}\n", "missing_key", 5},
    {LIMITS "stops: {place_m: [500, 600], wait_s: [1]}\n", "disagrees", 5},
    {LIMITS "stops: {place_m: [500, 500.5], wait_s: [1, 1]}\n", "disagrees", 5},
    {LIMITS "stops: {place_m: [0.5], wait_s: [1]}\n", "disagrees", 5},
    {LIMITS "stops: {place_m: [999.5], wait_s: [1]}\n", "disagrees", 5},
    {LIMITS "stops:\n  place_m: [500,\n    1001]\n  wait_s: [1, 1]\n", "disagrees", 7},
    {LIMITS "stops: {place_m: [500], wait_s: [-1]}\n", "out_of_range", 5},
    {LIMITS "surface: {place_m: [0, 5], rolling_factor: [1]}\n", "disagrees", 5},
    {LIMITS "surface: {place_m: [5, 5], rolling_factor: [1, 2]}\n", "disagrees", 5},
    {LIMITS "surface: {place_m: [5], rolling_factor: [0]}\n", "out_of_range", 5},
    {LIMITS "surface: {place_m: [5]}\n", "missing_key", 5},
    {LIMITS "surface:\n  place_m: [5, 9]\n  kind: [dry,\n    sand]\n", "unknown_choice", 8},
    {LIMITS "surface: {place_m: [5, 9], kind: [dry]}\n", "disagrees", 5},
    {LIMITS "surface: {place_m: [5], adhesion: [0.5, 0.4]}\n", "disagrees", 5},
    {LIMITS "surface: {place_m: [5], adhesion: [0]}\n", "out_of_range", 5},
    {LIMITS "surface: {place_m: [5], rolling_factor: [1], adhesion_other_side: [0.5]}\n", "disagrees", 5},
    {HEAD "speed: {time_s: [0, 1], speed_km_h: [0, 1]}\nstops: {place_m: [500], wait_s: [1]}\n", "disagrees", 4},
};

START_TEST(a_road_that_contradicts_itself_is_refused_at_its_place) { check_refused(&road_refusals[_i], "given.yaml"); }
END_TEST

START_TEST(a_whole_cycle_is_read_and_driven)
{
    reading it = read_text("name: All of it\nsource: \"a book\"\nlength_m: 3000\n"
                           "speed: {place_m: [0, 900], limit_km_h: [60, 80]}\n"
                           "road: {place_m: [0, 400, 800], elevation_m: [10, 12, 10], repeat: true}\n"
                           "stops: {place_m: [0, 1500, 3000], wait_s: [1, 2, 3]}\n"
                           "surface: {place_m: [100], rolling_factor: [1.1]}\n",
                           "given.yaml");
    ck_assert_uint_eq(evn_report_count(it.report), 0);
    ck_assert_ptr_nonnull(it.cycle);
    ck_assert_str_eq(it.cycle->source, "a book");
    evn_course *course = prepare(it.cycle, &no_top);
    check_promises(course);
    ck_assert(course->length_m == 3000.0 && course->plan[0].wait_s == 1.0 && course->final_wait_s == 3.0);
    ck_assert_uint_eq(course->road_count,
                      9); /* 100 m of smooth road, then three rises and falls and half of a fourth */
    evn_course_free(course);
    done(it);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ tables */

static char folder[] = "/tmp/evener-cycle-XXXXXX";

static void make_folder(void) { ck_assert_ptr_nonnull(mkdtemp(folder)); }

static void remove_folder(void)
{
    char path[80];
    snprintf(path, sizeof path, "%s/table.csv", folder);
    ck_assert_int_eq(remove(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
    memcpy(folder + strlen(folder) - 6, "XXXXXX", 6);
}

static reading read_with_table(const char *table, const char *text)
{
    char path[80];
    snprintf(path, sizeof path, "%s/table.csv", folder);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(table, file), 0);
    ck_assert_int_eq(fclose(file), 0);
    snprintf(path, sizeof path, "%s/given.yaml", folder);
    return read_text(text, path);
}

typedef struct table_refusal {
    const char *table, *text, *fault;
    unsigned line; /* of the table */
} table_refusal;

#define BY_TABLE HEAD "speed: {table: table.csv}\n"
#define ROAD_BY_TABLE LIMITS "road: {table: table.csv}\n"

static const table_refusal table_refusals[] = {
    {"time_s,speed\n0,0\n9,9\n", BY_TABLE, "unknown_key", 1},
    {"# a comment\ntime_s,speed_kmh\n0,0\n9,9\n", BY_TABLE, "unknown_key", 2},
    {"time_s,distance_m\n0,0\n9,9\n", BY_TABLE, "missing_key", 1},
    {"speed_m_s\n0\n9\n", BY_TABLE, "missing_key", 1},
    {"time_s,speed_m_s,speed_km_h\n0,0,0\n9,9,9\n", BY_TABLE, "disagrees", 1},
    {"time_s,speed_m_s,speed_km_h,speed_mph\n0,0,0,0\n9,9,9,9\n", BY_TABLE, "disagrees", 1},
    {"time_s,speed_m_s,place_m,limit_km_h\n0,0,0,0\n9,9,9,9\n", BY_TABLE, "disagrees", 1},
    {"place_m,distance_m,limit_km_h\n0,0,9\n9,9,9\n", BY_TABLE, "disagrees", 1},
    {"time_s,speed_m_s\n0,0\n9,61\n", BY_TABLE, "out_of_range", 3},
    {"time_s,speed_mph\n0,0\n9,-1\n18,0\n", BY_TABLE, "out_of_range", 3},
    {"place_m,limit_km_h\n0,50\n9,0\n", BY_TABLE, "out_of_range", 3},
    {"time_s,speed_m_s\n0,0\n9,6\n# note\n9,7\n", BY_TABLE, "disagrees", 5},
    {"time_s,speed_m_s\n0,0\n9,20\n10,10\n", BY_TABLE, "braking_too_hard", 4},
    {"time_s,speed_m_s\n0,5\n", BY_TABLE, "disagrees", 1},
    {"place_m,grade_percent\n0,0\n9,51\n", ROAD_BY_TABLE, "out_of_range", 3},
    {"place_m,elevation_m\n0,0\n10,6\n", ROAD_BY_TABLE, "out_of_range", 3},
    {"place_m,grade_percent,elevation_m\n0,0,0\n9,1,1\n", ROAD_BY_TABLE, "disagrees", 1},
    {"time_s,grade_percent\n0,0\n9,1\n", ROAD_BY_TABLE, "missing_key", 1},
    {"distance_m,place_m,grade_percent\n0,0,0\n9,9,1\n", ROAD_BY_TABLE, "disagrees", 1},
};

START_TEST(a_table_that_says_too_much_or_too_little_is_refused_at_its_line)
{
    const table_refusal *of = &table_refusals[_i];
    reading it = read_with_table(of->table, of->text);
    evn_finding found;
    ck_assert_msg(evn_report_at(it.report, 0, &found), "accepted: %s", of->table);
    ck_assert_msg(!it.cycle && evn_report_count(it.report) == 1, "%s, for\n%s", found.text, of->table);
    ck_assert_msg(strcmp(found.fault, of->fault) == 0, "%s: %s, for\n%s", found.fault, found.text, of->table);
    ck_assert_msg(found.line == of->line, "line %u: %s, for\n%s", found.line, found.text, of->table);
    ck_assert_ptr_nonnull(strstr(found.file, "table.csv"));
    ck_assert_ptr_nonnull(strstr(found.used_from_file, "given.yaml"));
    done(it);
}
END_TEST

START_TEST(a_mistyped_column_is_answered_with_the_name_nearest_to_it)
{
    reading it = read_with_table("time_s,speed_kmh\n0,0\n9,9\n", BY_TABLE);
    evn_finding found;
    ck_assert(evn_report_at(it.report, 0, &found));
    ck_assert_ptr_nonnull(strstr(found.text, "speed_km_h"));
    done(it);
}
END_TEST

START_TEST(a_table_beside_lists_is_refused)
{
    const char *const texts[] = {HEAD "speed: {table: table.csv, time_s: [0, 1], speed_km_h: [0, 1]}\n",
                                 LIMITS "road: {table: table.csv, place_m: [0, 9], grade_percent: [0, 1]}\n"};
    for (size_t i = 0; i < 2; i++) {
        reading it = read_with_table("time_s,speed_m_s,distance_m,grade_percent\n0,0,0,0\n9,9,40.5,1\n", texts[i]);
        evn_finding found;
        ck_assert(!it.cycle && evn_report_count(it.report) == 1 && evn_report_at(it.report, 0, &found));
        ck_assert_str_eq(found.fault, "disagrees");
        done(it);
    }
}
END_TEST

START_TEST(one_table_may_hold_speed_and_road)
{
    reading it = read_with_table("time_s,speed_m_s,distance_m,elevation_m\n0,0,0,100\n10,20,100,104\n20,20,300,100\n",
                                 HEAD "speed: {table: table.csv}\nroad: {table: table.csv}\n");
    ck_assert_ptr_nonnull(it.cycle);
    evn_course *course = prepare(it.cycle, &no_top);
    check_promises(course);
    ck_assert_double_eq_tol(course->length_m, 300.0, 1e-12);
    ck_assert_double_eq_tol(height_at(course, 100.0), 4.0, 1e-12);
    ck_assert_double_eq_tol(height_at(course, 300.0), 0.0, 1e-12);
    evn_course_free(course);
    done(it);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ figures */

static double figure(const evn_cycle_file *cycle, const char *key)
{
    for (size_t i = 0; i < evn_cycle_figures_count; i++)
        if (strcmp(evn_cycle_figures[i].what.key, key) == 0)
            return evn_cycle_figures[i].of(cycle);
    ck_abort_msg("no figure %s", key);
    return 0.0;
}

typedef struct expected {
    const char *key;
    double value; /* NAN: limits do not say */
} expected;

static void check_figures(const evn_cycle_file *cycle, const expected *figures, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        double found = figure(cycle, figures[i].key);
        bool same = isnan(figures[i].value) ? (bool)isnan(found) : fabs(found - figures[i].value) <= 1e-9;
        ck_assert_msg(same, "%s is %.12g, expected %.12g", figures[i].key, found, figures[i].value);
    }
}

START_TEST(figures_of_a_trace_are_exact)
{
    evn_speed_file speed = {.time_s = LIST(5, 10, 20, 30, 40, 45, 50), .speed_km_h = LIST(0, 0, 36, 54, 0, 0, 18)};
    evn_road_file road = {.place_m = LIST(0, 100, 200), .grade_percent = LIST(-4, 4, 0)};
    evn_cycle_file cycle = {.name = "t", .invented = true, .length_m = (double)NAN, .speed = &speed, .road = &road};
    /* m: 0 + 50 + 125 + 75 + 0 + 12.5 */
    double fall_m = 50.0 * 0.04 / (1.0 + sqrt(1.0016)), climb_m = 3.0 * fall_m;
    const expected figures[] = {
        {"distance_km", 0.2625},
        {"duration_s", 45.0},
        {"mean_speed_km_h", 262.5 / 45.0 * 3.6},
        {"running_mean_speed_km_h", 262.5 / 35.0 * 3.6},
        {"max_speed_km_h", 54.0},
        {"mean_limit_km_h", (double)NAN},
        {"standing_s", 10.0},
        {"standing_share", 10.0 / 45.0},
        {"stops", 1.0},
        {"max_acceleration_m_s2", 1.0},
        {"max_braking_m_s2", 1.5},
        {"positive_kinetic_j_kg", 112.5 + 12.5},
        {"relative_positive_acceleration_m_s2", 125.0 / 262.5},
        {"climb_m", climb_m},
        {"descent_m", fall_m},
        {"net_elevation_m", climb_m - fall_m},
        {"max_grade_percent", 4.0},
        {"min_grade_percent", -4.0},
    };
    ck_assert_uint_eq(sizeof figures / sizeof figures[0], evn_cycle_figures_count);
    check_figures(&cycle, figures, evn_cycle_figures_count);
}
END_TEST

/* 4 % up to 2 % down: level after two thirds. */
START_TEST(a_slope_that_changes_sign_between_two_points_climbs_and_falls)
{
    evn_speed_file speed = {.time_s = LIST(0, 100), .speed_km_h = LIST(10.8, 10.8)};
    evn_road_file road = {.place_m = LIST(0, 300), .grade_percent = LIST(4, -2)};
    evn_cycle_file cycle = {.name = "t", .invented = true, .length_m = (double)NAN, .speed = &speed, .road = &road};
    const expected figures[] = {{"climb_m", 200.0 * 0.04 / (1.0 + sqrt(1.0016))},
                                {"descent_m", 100.0 * 0.02 / (1.0 + sqrt(1.0004))}};
    check_figures(&cycle, figures, 2);
}
END_TEST

START_TEST(figures_of_limits_say_only_what_limits_say)
{
    evn_speed_file speed = {.place_m = LIST(0, 1000, 2000), .limit_km_h = LIST(50, 100, 20)};
    evn_stops_file stops = {.place_m = LIST(0, 500, 1500), .wait_s = LIST(5, 10, 20)};
    evn_cycle_file cycle = {.name = "t", .invented = true, .length_m = (double)NAN, .speed = &speed, .stops = &stops};
    const expected figures[] = {
        {"distance_km", 2.0},
        {"duration_s", (double)NAN},
        {"mean_speed_km_h", (double)NAN},
        {"running_mean_speed_km_h", (double)NAN},
        {"max_speed_km_h", 100.0},
        {"mean_limit_km_h", 2.0 / (1.0 / 50.0 + 1.0 / 100.0)},
        {"standing_s", 35.0},
        {"standing_share", (double)NAN},
        {"stops", 3.0},
        {"max_acceleration_m_s2", (double)NAN},
        {"max_braking_m_s2", (double)NAN},
        {"positive_kinetic_j_kg", (double)NAN},
        {"relative_positive_acceleration_m_s2", (double)NAN},
        {"climb_m", 0.0},
        {"descent_m", 0.0},
        {"net_elevation_m", 0.0},
        {"max_grade_percent", 0.0},
        {"min_grade_percent", 0.0},
    };
    ck_assert_uint_eq(sizeof figures / sizeof figures[0], evn_cycle_figures_count);
    check_figures(&cycle, figures, evn_cycle_figures_count);
}
END_TEST

START_TEST(figures_and_course_agree_on_distance_and_height)
{
    const char *const paths[] = {"cycles/reference/urban-schedule-heavy.yaml", "cycles/reference/urban-schedule.yaml",
                                 "cycles/reference/cruise-65.yaml", "cycles/scenarios/hill.yaml"};
    for (size_t i = 0; i < 4; i++) {
        reading it = {evn_arena_new(), evn_report_new(), NULL};
        it.cycle = evn_read_file(paths[i], &evn_cycle_object, NULL, it.arena, it.report);
        ck_assert_ptr_nonnull(it.cycle);
        evn_course *course = prepare(it.cycle, &no_top);
        check_promises(course);
        ck_assert(figure(it.cycle, "distance_km") == course->length_m / 1000.0);
        ck_assert_double_eq_tol(figure(it.cycle, "net_elevation_m"), height_at(course, course->length_m), 1e-9);
        evn_course_free(course);
        done(it);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ tables of keys */

static void check_object(const evn_object *object)
{
    ck_assert(object->name && object->help && object->field_count > 0);
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        ck_assert(field->help && !strchr(field->help, '\n'));
        ck_assert(field->offset < object->size);
        bool number = field->shape == EVN_NUMBER || field->shape == EVN_LIST;
        ck_assert_msg(!number || field->least < field->most, "%s.%s", object->name, field->key);
        bool usual = field->usual_low != 0.0 || field->usual_high != 0.0;
        ck_assert(!usual || (field->usual_low >= field->least && field->usual_high <= field->most));
        if (field->shape == EVN_ONE)
            check_object(field->of);
    }
}

START_TEST(every_key_has_bounds_and_a_meaning) { check_object(&evn_cycle_object); }
END_TEST

START_TEST(figures_have_keys_of_their_own)
{
    for (size_t i = 0; i < evn_cycle_figures_count; i++) {
        ck_assert(evn_cycle_figures[i].what.help && evn_cycle_figures[i].what.unit);
        for (size_t j = 0; j < i; j++)
            ck_assert_str_ne(evn_cycle_figures[i].what.key, evn_cycle_figures[j].what.key);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the hill */

START_TEST(the_hill_road_is_what_its_file_says)
{
    reading it = {evn_arena_new(), evn_report_new(), NULL};
    it.cycle = evn_read_file("cycles/scenarios/hill.yaml", &evn_cycle_object, NULL, it.arena, it.report);
    ck_assert_ptr_nonnull(it.cycle);
    ck_assert(it.cycle->invented && !it.cycle->source);
    ck_assert_double_eq_tol(figure(it.cycle, "net_elevation_m"), 0.0, 1e-9);
    ck_assert_double_eq_tol(figure(it.cycle, "max_grade_percent"), 8.0, 1e-12);
    ck_assert_double_eq_tol(figure(it.cycle, "min_grade_percent"), -8.0, 1e-12);
    evn_course *course = prepare(it.cycle, &no_top);
    check_promises(course);
    const evn_plan_stretch *stop = plan_at(course, 5999.0);
    ck_assert(stop->end_m == 6000.0 && stop->v2_end == 0.0 && stop[1].wait_s == 30.0);
    ck_assert_double_eq_tol(tangent_of(road_at(course, 6000.0), 6000.0), 0.08, 1e-15);
    evn_course_free(course);
    done(it);
}
END_TEST

static Suite *cycle_suite(void)
{
    Suite *suite = suite_create("cycle");
    TCase *keys = tcase_create("keys"), *tables = tcase_create("tables"), *figures = tcase_create("figures");
    tcase_add_loop_test(keys, a_cycle_that_contradicts_itself_is_refused_at_its_place, 0,
                        sizeof refusals / sizeof refusals[0]);
    tcase_add_loop_test(keys, a_road_that_contradicts_itself_is_refused_at_its_place, 0,
                        sizeof road_refusals / sizeof road_refusals[0]);
    tcase_add_test(keys, a_whole_cycle_is_read_and_driven);
    tcase_add_test(keys, every_key_has_bounds_and_a_meaning);
    tcase_add_test(keys, the_hill_road_is_what_its_file_says);
    tcase_add_checked_fixture(tables, make_folder, remove_folder);
    tcase_add_loop_test(tables, a_table_that_says_too_much_or_too_little_is_refused_at_its_line, 0,
                        sizeof table_refusals / sizeof table_refusals[0]);
    tcase_add_test(tables, a_mistyped_column_is_answered_with_the_name_nearest_to_it);
    tcase_add_test(tables, a_table_beside_lists_is_refused);
    tcase_add_test(tables, one_table_may_hold_speed_and_road);
    tcase_add_test(figures, figures_of_a_trace_are_exact);
    tcase_add_test(figures, a_slope_that_changes_sign_between_two_points_climbs_and_falls);
    tcase_add_test(figures, figures_of_limits_say_only_what_limits_say);
    tcase_add_test(figures, figures_and_course_agree_on_distance_and_height);
    tcase_add_test(figures, figures_have_keys_of_their_own);
    suite_add_tcase(suite, keys);
    suite_add_tcase(suite, tables);
    suite_add_tcase(suite, figures);
    return suite;
}

int main(void)
{
    SRunner *runner = srunner_create(cycle_suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
