/*
 * What is not known of values: what entries may name and what is refused, whose entry counts, which values err as one,
 * how far each number goes.
 */
#define _XOPEN_SOURCE 700
#include "api/erring.h"
#include "api/objects.h"
#include "core/arena.h"
#include "core/uncertain.h"
#include "evener/uncertainty.h"
#include "folder.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TOLERANCE 1e-12

/* ------------------------------------------------------------------------------------------------ scenes */

typedef struct scene { /* a lineup of two trucks in the test's folder */
    evn_report *report;
    evn_lineup *lineup;
    evn_uncertainties *beside;
    evn_arena *arena;
    evn_data data;
    bool gathered;
} scene;

/* A truck of the tests with a gearbox file of the folder, and what is added at its top. */
static void write_truck(const char *name, const char *source, const char *added)
{
    char text[3000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    int length = snprintf(text, sizeof text, "extends: %s/tests/vehicles/trucks/%s\n%s\n", here, source, added);
    ck_assert_int_lt(length, (int)sizeof text);
    write_file(name, text);
}

static void write_lineup(const char *added, const char *trucks)
{
    char text[3000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    int length = snprintf(text, sizeof text,
                          "name: test\ninvented: true\ncycle: {use: %s/cycles/scenarios/hill.yaml}\n%s\ntrucks:\n%s",
                          here, added, trucks);
    ck_assert_int_lt(length, (int)sizeof text);
    write_file("lineup.yaml", text);
}

#define GEARBOX                                                                                                        \
    "ratios: [6, 2]\nefficiencies: [0.98, 0.97]\nmass_kg: 100\ndrag: {at: motor_side, speed_rpm: [0, 100], "           \
    "torque_nm: [2, 4]}\n"

static void begin(void)
{
    folder_begin();
    write_file("gearbox.yaml", GEARBOX "uncertain:\n  own: {of: [efficiencies], half_width: 0.004}\n");
    write_truck("a.yaml", "tractor-4x2-central.yaml", "drive_units: {rear: {gearbox: {use: gearbox.yaml}}}");
    write_truck("b.yaml", "tractor-4x2-central.yaml", "drive_units: {rear: {gearbox: {use: gearbox.yaml}}}");
    write_lineup("", "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
}

static void gather(scene *s)
{
    evn_erring erring = evn_lineup_erring(s->lineup, s->beside);
    s->arena = evn_arena_new();
    ck_assert_ptr_nonnull(s->arena);
    s->gathered = evn_data_gather(&erring, s->arena, &s->data, s->report);
}

static scene scene_with(const char *const *set, const char *beside)
{
    char path[PATH_BYTES];
    scene s = {.report = evn_report_new()};
    evn_finding first = {.text = "nothing"};
    evn_load how = {.set = set};
    evn_status status = evn_lineup_load_with(in_folder(path, "lineup.yaml"), &how, &s.lineup, s.report);
    evn_report_at(s.report, 0, &first);
    ck_assert_msg(status == EVN_DONE, "%s:%u: %s", first.file ? first.file : "-", first.line, first.text);
    if (beside) {
        write_file("beside.yaml", beside);
        status = evn_uncertainties_load(in_folder(path, "beside.yaml"), &s.beside, s.report);
        evn_report_at(s.report, 0, &first);
        ck_assert_msg(status == EVN_DONE, "%s", first.text);
    }
    gather(&s);
    return s;
}

static scene sound_scene(const char *const *set, const char *beside)
{
    scene s = scene_with(set, beside);
    evn_finding first = {.text = ""};
    evn_report_at(s.report, 0, &first);
    ck_assert_msg(s.gathered && evn_report_count(s.report) == 0, "%s", first.text);
    return s;
}

static void end(scene *s)
{
    evn_arena_free(s->arena);
    evn_uncertainties_free(s->beside);
    evn_lineup_free(s->lineup);
    evn_report_free(s->report);
}

/* Rows of a number: how many, and the first. */
static const evn_moved *rows_of(const scene *s, size_t truck, const char *path, size_t *count)
{
    const evn_moved *first = NULL;
    *count = 0;
    for (size_t k = 0; k < s->data.moved_count; k++) {
        const evn_moved *m = &s->data.moved[k];
        if (m->in != EVN_IN_TRUCK || m->truck != truck || strcmp(m->path, path) != 0)
            continue;
        ck_assert_msg(!first || m == first + *count, "rows of %s are apart", path);
        first = first ? first : m;
        ++*count;
    }
    return first;
}

static const evn_moved *row_of(const scene *s, size_t truck, const char *path)
{
    size_t count;
    const evn_moved *row = rows_of(s, truck, path, &count);
    ck_assert_msg(count == 1, "%zu rows of %s", count, path);
    return row;
}

static bool errs(const scene *s, size_t truck, const char *path)
{
    size_t count;
    return rows_of(s, truck, path, &count);
}

static const evn_datum *datum_of(const scene *s, const evn_moved *row)
{
    ck_assert_uint_lt(row->datum, s->data.count);
    return &s->data.datum[row->datum];
}

#define EFFICIENCY "drive_units.rear.gearbox.efficiencies[0]"
#define SECOND "drive_units.rear.gearbox.efficiencies[1]"
#define GEARBOX_DRAG "drive_units.rear.gearbox.drag.torque_nm[1]"
#define DRAG_AREA "body.drag_area_m2"
#define PACK "battery.resistance_ohm"

/* ------------------------------------------------------------------------------------------------ refused */

static const struct refusal {
    const char *entry; /* at line 3 of the truck, as the entry "e" */
    unsigned column;
    const char *fault, *words;
} refused_when_read[] = {
    {"{of: [body.drag_aera_m2], relative: 0.1}", 12, "unknown_key", "nearest is 'drag_area_m2'"},
    {"{of: [body.mass_kg, axles.frnt.mass_kg], relative: 0.1}", 26, "unknown_key", "nearest is 'front'"},
    {"{of: [axles.front.tyres], relative: 0.1}", 12, "wrong_shape", "is a count"},
    {"{of: [axles.front.support], relative: 0.1}", 12, "wrong_shape", "one of some words"},
    {"{of: [brakes.regeneration], relative: 0.1}", 12, "wrong_shape", "true or false"},
    {"{of: [axles.front.load_share], relative: 0.1}", 12, "wrong_shape", "is not given"},
    {"{of: [body], relative: 0.1}", 12, "wrong_shape", "is no number"},
    {"{of: [name], relative: 0.1}", 12, "wrong_shape", "is no number"},
    {"{of: [body..mass_kg], relative: 0.1}", 12, "syntax", "an empty step"},
    {"{of: [\"drive_units.rear.gearbox.ratios[9]\"], relative: 0.1}", 12, "out_of_range", "expected a place from 0"},
    {"{of: [drive_units.rear.gearbox.efficiencies], half_width: 0.5}", 12, "out_of_range", "would be"},
    {"{of: [body.mass_kg, body.mass_kg], relative: 0.1}", 26, "disagrees", "named twice"},
    {"{of: [battery.open_circuit.voltage_v, \"battery.open_circuit.voltage_v[1]\"], relative: 0.01}", 44, "disagrees",
     "named twice"},
    {"{of: [], relative: 0.1}", 11, "out_of_range", "expected 1 to 64"},
    {"{relative: 0.1}", 6, "missing_key", "no key 'of'"},
    {"{of: [body.mass_kg]}", 6, "missing_key", "expected half_width or relative"},
    {"{of: [body.mass_kg], relative: 0.1, half_width: 3}", 37, "disagrees", "expected one of them"},
    {"{of: [body.mass_kg], relative: 1.5}", 37, "out_of_range", "expected -1 to 1"},
    {"{of: [body.mass_kg], relative: 0.1, offset: -0.11}", 50, "disagrees", "would lie outside of its range"},
    {"{of: [body.mass_kg], half_width: -3, offset: 4}", 51, "disagrees", "more than half_width -3"},
    {"{of: [drive_units.rear.gearbox.efficiencies], half_width: 0.02, offset: 0.011}", 12, "out_of_range",
     "would be 1.011 at an end"},
    {"{of: [body.mass_kg], relative: 0.1, shape: gauss}", 49, "unknown_choice", "rectangular, triangular, normal"},
    {"{of: [body.mass_kg], relative: 0.1, errs_with: a b}", 53, "disagrees", "expected letters, digits"},
    {"{of: [body.mass_kg], relative: 0.1, errs_with: \"\"}", 53, "wrong_shape", "expected text"},
    {"{of: [body.mass_kg], relativ: 0.1}", 27, "unknown_key", "nearest is 'relative'"},
};

START_TEST(what_an_entry_cannot_name_is_refused_where_it_is_read)
{
    const struct refusal *r = &refused_when_read[_i];
    char text[600], path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding first;
    snprintf(text, sizeof text, "uncertain:\n  e: %s", r->entry);
    write_truck("bad.yaml", "tractor-4x2-central.yaml", text);
    ck_assert_int_eq(evn_truck_load(in_folder(path, "bad.yaml"), &truck, report), EVN_BAD_INPUT);
    ck_assert_ptr_null(truck);
    ck_assert(evn_report_at(report, 0, &first));
    ck_assert_msg(strcmp(first.fault, r->fault) == 0 && strstr(first.text, r->words), "%s: %u:%u %s: %s", r->entry,
                  first.line, first.column, first.fault, first.text);
    ck_assert_msg(first.line == 3 && first.column == r->column, "%s: at %u:%u: %s", r->entry, first.line, first.column,
                  first.text);
    ck_assert_ptr_nonnull(strstr(first.file, "bad.yaml"));
    evn_report_free(report);
}
END_TEST

static const struct far_refusal {
    const char *in_lineup, *beside, *fault, *words;
    unsigned line;
} refused_when_gathered[] = {
    {"uncertain:\n  e: {of: [trucks.c.body.mass_kg], relative: 0.1}", NULL, "unknown_key", "no truck 'c'", 5},
    {"uncertain:\n  e: {of: [trucks.a.body.mas_kg], relative: 0.1}", NULL, "unknown_key", "nearest is 'mass_kg'", 5},
    {"uncertain:\n  e: {of: [trucks.a], relative: 0.1}", NULL, "unknown_key",
     "'a' is a truck; expected the path of a value of it: trucks.a.", 5},
    {"uncertain:\n  e: {of: [trucks.a.uncertain.x.relative], relative: 0.1}", NULL, "unknown_key",
     "no 'x' in 'uncertain', which holds none", 5},
    {"uncertain:\n  e: {of: [trucks.a.], relative: 0.1}", NULL, "syntax", "an empty step", 5},
    {"uncertain:\n  e: {of: [body.mas_kg], relative: 0.1}", NULL, "unknown_key", "nearest is 'mass_kg'", 5},
    {"uncertain:\n  e: {of: [cycle.nme], relative: 0.1}", NULL, "unknown_key", "in cycle", 5},
    {"uncertain:\n  e: {of: [load_case.payload_kg], relative: 0.1}", NULL, "wrong_shape", "is not given", 5},
    {"", "name: t\ninvented: true\nuncertain:\n  e: {of: [body.mas_kg], relative: 0.1}", "unknown_key",
     "nearest is 'mass_kg'", 4},
    {"uncertain:\n  e: {of: [trucks.a.drive_units.rear.gearbox.efficiencies], half_width: 0.5}", NULL, "out_of_range",
     "would be 0.48 at an end of its half width, 0.5; expected 0.5 to 1", 5},
    {"uncertain:\n  e: {of: [trucks.a.drive_units.rear.gearbox.efficiencies], half_width: 0.025}", NULL, "out_of_range",
     "would be 1.005 at an end of its half width, 0.025; expected 0.5 to 1", 5},
    {"uncertain:\n  e: {of: [body.mass_kg], relative: 0.6}\n  f: {of: [body.mass_kg], relative: -0.6}", NULL,
     "out_of_range", "its half widths together", 5},
    {"uncertain:\n  e: {of: [battery.usable_from_soc], half_width: 0.9}", NULL, "out_of_range", "battery.usable", 5},
    {"uncertain:\n  e: {of: [brakes.fade_to_km_h], half_width: 5.5}", NULL, "out_of_range", "brakes.fade_to_km_h", 5},
    {"uncertain:\n  e: {of: [brakes.fade_from_km_h], half_width: 6}", NULL, "disagrees",
     "expected at or below fade_from_km_h", 5},
    {"uncertain:\n  e: {of: [battery.minimum_voltage_v], half_width: 100}", NULL, "disagrees",
     "expected below the lowest open-circuit voltage", 5},
    {"uncertain:\n  e: {of: [\"drive_units.rear.gearbox.ratios[0]\"], half_width: 4.5}", NULL, "disagrees",
     "expected falling ratios", 5},
};

START_TEST(what_a_lineup_cannot_name_and_what_rules_would_not_take_is_refused_at_the_entry)
{
    const struct far_refusal *r = &refused_when_gathered[_i];
    evn_finding first;
    write_lineup(r->in_lineup, "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    scene s = scene_with(NULL, r->beside);
    ck_assert(!s.gathered);
    ck_assert(evn_report_at(s.report, 0, &first));
    ck_assert_msg(strcmp(first.fault, r->fault) == 0 && strstr(first.text, r->words), "%s: %s", first.fault,
                  first.text);
    ck_assert_ptr_nonnull(strstr(first.file, r->beside ? "beside.yaml" : "lineup.yaml"));
    ck_assert_msg(first.line == r->line && first.column > 0, "at %u:%u: %s", first.line, first.column, first.text);
    ck_assert(isnan(evn_uncertainty_work(s.lineup)) == !r->beside);
    end(&s);
}
END_TEST

START_TEST(a_file_of_uncertainties_says_where_it_comes_from)
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_uncertainties *u = NULL;
    evn_finding first;
    write_file("beside.yaml", "name: t\nuncertain: {e: {of: [body.mass_kg], relative: 0.1}}\n");
    ck_assert_int_eq(evn_uncertainties_load(in_folder(path, "beside.yaml"), &u, report), EVN_BAD_INPUT);
    ck_assert_ptr_null(u);
    ck_assert(evn_report_at(report, 0, &first));
    ck_assert_str_eq(first.fault, "missing_key");
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what errs as one */

START_TEST(a_part_that_two_trucks_use_errs_alike_in_both)
{
    scene s = sound_scene(NULL, NULL);
    const evn_moved *a = row_of(&s, 0, EFFICIENCY), *b = row_of(&s, 1, EFFICIENCY);
    const evn_datum *datum = datum_of(&s, a);
    ck_assert_uint_eq(a->datum, b->datum);
    ck_assert_uint_eq(a->datum, row_of(&s, 0, SECOND)->datum);
    ck_assert_uint_eq(datum->values, 4);
    ck_assert_uint_eq(datum->trucks, 3);
    ck_assert_ptr_nonnull(strstr(datum->file, "gearbox.yaml"));
    ck_assert_uint_eq(datum->line, 6);
    ck_assert_str_eq(datum->label, "own (gearbox)");
    ck_assert_str_eq(datum->path, "trucks.a." EFFICIENCY);
    ck_assert(!datum->by_default && !datum->errs_with && !datum->source);
    /* Defaults of the same file likewise: the gearbox's drag, the battery. */
    ck_assert_uint_eq(row_of(&s, 0, GEARBOX_DRAG)->datum, row_of(&s, 1, GEARBOX_DRAG)->datum);
    ck_assert_uint_eq(row_of(&s, 0, PACK)->datum, row_of(&s, 1, PACK)->datum);
    ck_assert(datum_of(&s, row_of(&s, 0, PACK))->by_default);
    /* What both extend. */
    ck_assert_uint_eq(row_of(&s, 0, "body.mass_kg")->datum, row_of(&s, 1, "body.mass_kg")->datum);
    end(&s);
}
END_TEST

START_TEST(a_part_that_is_used_twice_in_one_truck_errs_alike_in_both_places)
{
    write_file("shaft.yaml", "drag_nm: 1.5\nuncertain: {own: {of: [drag_nm], relative: 0.2}}\n");
    write_truck("a.yaml", "tractor-4x2-central.yaml",
                "drive_units: {rear: {path: [centre_bearing: {use: shaft.yaml}, centre_bearing: {use: shaft.yaml}, "
                "final_drive: {ratio: 3, efficiency: 0.96}, wheel_end: {}]}}");
    scene s = sound_scene(NULL, NULL);
    ck_assert_uint_eq(row_of(&s, 0, "drive_units.rear.path[0].centre_bearing.drag_nm")->datum,
                      row_of(&s, 0, "drive_units.rear.path[1].centre_bearing.drag_nm")->datum);
    ck_assert_uint_eq(datum_of(&s, row_of(&s, 0, "drive_units.rear.path[0].centre_bearing.drag_nm"))->values, 2);
    end(&s);
}
END_TEST

START_TEST(parts_of_files_of_their_own_err_by_themselves)
{
    write_file("other.yaml", GEARBOX "uncertain:\n  own: {of: [efficiencies], half_width: 0.004}\n");
    write_truck("b.yaml", "tractor-4x2-central.yaml", "drive_units: {rear: {gearbox: {use: other.yaml}}}");
    scene s = sound_scene(NULL, NULL);
    ck_assert_uint_ne(row_of(&s, 0, EFFICIENCY)->datum, row_of(&s, 1, EFFICIENCY)->datum);
    ck_assert_uint_ne(row_of(&s, 0, GEARBOX_DRAG)->datum, row_of(&s, 1, GEARBOX_DRAG)->datum);
    ck_assert_uint_eq(datum_of(&s, row_of(&s, 1, EFFICIENCY))->trucks, 2);
    end(&s);
}
END_TEST

START_TEST(a_label_joins_parts_and_keys_and_defaults)
{
    write_file("gearbox.yaml",
               GEARBOX "uncertain:\n  law: {of: [efficiencies], half_width: -0.004, errs_with: mesh}\n");
    write_file("other.yaml", GEARBOX "uncertain: {x: {of: [efficiencies], half_width: 0.001, errs_with: mesh}, "
                                     "y: {of: [mass_kg], relative: 0.1, shape: normal, errs_with: drag_area}}\n");
    write_truck("b.yaml", "tractor-4x2-central.yaml", "drive_units: {rear: {gearbox: {use: other.yaml}}}");
    scene s = sound_scene(NULL, NULL);
    const evn_moved *a = row_of(&s, 0, EFFICIENCY), *b = row_of(&s, 1, EFFICIENCY);
    ck_assert_uint_eq(a->datum, b->datum);
    ck_assert_double_eq_tol(a->half_width, -0.004, TOLERANCE); /* against the other */
    ck_assert_double_eq_tol(b->half_width, 0.001, TOLERANCE);
    ck_assert_double_eq_tol(datum_of(&s, a)->half_width, 0.004, TOLERANCE);
    ck_assert_str_eq(datum_of(&s, a)->errs_with, "mesh");
    ck_assert_str_eq(datum_of(&s, a)->label, "mesh");
    /* The default label of a key, and an entry that bears it. */
    ck_assert_uint_eq(row_of(&s, 0, DRAG_AREA)->datum, row_of(&s, 1, DRAG_AREA)->datum);
    ck_assert_uint_eq(row_of(&s, 0, DRAG_AREA)->datum, row_of(&s, 1, "drive_units.rear.gearbox.mass_kg")->datum);
    ck_assert_str_eq(datum_of(&s, row_of(&s, 0, DRAG_AREA))->label, "drag area");
    end(&s);
}
END_TEST

START_TEST(a_value_that_is_set_errs_by_itself_and_one_with_an_entry_with_the_entry)
{
    const char *set[] = {"trucks.b.battery.resistance_ohm=0.05", "trucks.b." SECOND "=0.975", NULL};
    scene s = sound_scene(set, NULL);
    ck_assert_uint_ne(row_of(&s, 0, PACK)->datum, row_of(&s, 1, PACK)->datum);
    ck_assert_uint_eq(datum_of(&s, row_of(&s, 1, PACK))->trucks, 2);
    ck_assert_double_eq_tol(row_of(&s, 1, PACK)->half_width, 0.01, TOLERANCE);
    ck_assert_uint_eq(row_of(&s, 0, SECOND)->datum, row_of(&s, 1, SECOND)->datum);
    ck_assert_double_eq_tol(row_of(&s, 1, SECOND)->nominal, 0.975, TOLERANCE);
    end(&s);
}
END_TEST

START_TEST(losses_of_one_motor_err_as_one_and_those_of_its_inverter_apart)
{
    static const char *const loss[] = {"constant_w", "speed_w_per_rad_s", "speed_squared_w_per_rad2_s2",
                                       "torque_squared_w_per_nm2"};
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml", "");
    scene s = sound_scene(NULL, NULL);
    char path[100];
    size_t first = SIZE_MAX;
    for (size_t k = 0; k < 4; k++) {
        snprintf(path, sizeof path, "drive_units.rear.motors.a.loss.%s", loss[k]);
        const evn_moved *row = row_of(&s, 0, path);
        first = k == 0 ? row->datum : first;
        ck_assert_uint_eq(row->datum, first);
        ck_assert_double_eq_tol(row->half_width, 0.14 * row->nominal, TOLERANCE);
    }
    ck_assert_uint_ne(row_of(&s, 0, "drive_units.rear.motors.a.inverter.constant_w")->datum, first);
    /* Two motors of one file: one datum; with maps, their factor. */
    const evn_moved *map = row_of(&s, 1, "drive_units.rear.motors.a.map.loss_factor");
    ck_assert_uint_eq(map->datum, row_of(&s, 1, "drive_units.rear.motors.b.map.loss_factor")->datum);
    ck_assert_double_eq(map->nominal, 1);
    ck_assert_str_eq(datum_of(&s, map)->label, "motor losses (motor-axle-240)");
    end(&s);
}
END_TEST

#define ALIKE_MOTOR                                                                                                    \
    "peak_torque_nm: 560\npeak_power_kw: 240\ntop_speed_rpm: 9500\nloss: {constant_w: 30, speed_w_per_rad_s: 1, "      \
    "speed_squared_w_per_rad2_s2: 0.003, torque_squared_w_per_nm2: 0.04}\ninverter: {constant_w: 90, current_w: 400, " \
    "current_squared_w: 900}\n"

/* What must be alike moves together while its ends are tried; what errs by itself cannot stay alike. */
START_TEST(motors_that_must_be_alike_are_tried_together)
{
    evn_finding first;
    write_file("motor.yaml", ALIKE_MOTOR "uncertain: {own: {of: [inverter.constant_w], relative: 0.3}}\n");
    write_file("other.yaml", ALIKE_MOTOR "uncertain: {own: {of: [inverter.constant_w], relative: 0.3}}\n");
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml",
                "drive_units: {rear: {motors: {a: {use: motor.yaml}, b: {use: motor.yaml}}}}");
    scene s = sound_scene(NULL, NULL);
    ck_assert_uint_eq(row_of(&s, 1, "drive_units.rear.motors.a.inverter.constant_w")->datum,
                      row_of(&s, 1, "drive_units.rear.motors.b.inverter.constant_w")->datum);
    end(&s);
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml",
                "drive_units: {rear: {motors: {a: {use: motor.yaml}, b: {use: other.yaml}}}}");
    s = scene_with(NULL, NULL);
    ck_assert(!s.gathered && evn_report_at(s.report, 0, &first));
    ck_assert_msg(strstr(first.text, "motor b differs from motor a in inverter"), "%s", first.text);
    end(&s);
}
END_TEST

START_TEST(trucks_without_places_err_by_themselves_but_for_labels)
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *read, *copy;
    evn_cycle *cycle;
    scene s = {.report = report};
    ck_assert_int_eq(evn_truck_load(in_folder(path, "a.yaml"), &read, report), EVN_DONE);
    ck_assert_int_eq(evn_truck_copy(read, &copy, report), EVN_DONE);
    ck_assert_int_eq(evn_cycle_load("cycles/scenarios/hill.yaml", &cycle, report), EVN_DONE);
    const evn_truck *const both[] = {copy, copy}, *const as_read[] = {read, read};
    const char *const names[] = {"one", "other"};
    ck_assert_int_eq(evn_lineup_of(both, names, 2, cycle, &s.lineup, report), EVN_DONE);
    gather(&s);
    ck_assert(s.gathered);
    ck_assert_uint_ne(row_of(&s, 0, PACK)->datum, row_of(&s, 1, PACK)->datum);
    ck_assert_uint_ne(row_of(&s, 0, EFFICIENCY)->datum, row_of(&s, 1, EFFICIENCY)->datum);
    ck_assert_uint_eq(row_of(&s, 0, EFFICIENCY)->datum, row_of(&s, 0, SECOND)->datum);
    ck_assert_uint_eq(row_of(&s, 0, DRAG_AREA)->datum, row_of(&s, 1, DRAG_AREA)->datum);
    ck_assert_ptr_null(datum_of(&s, row_of(&s, 0, EFFICIENCY))->file);
    evn_arena_free(s.arena);
    evn_lineup_free(s.lineup);
    ck_assert_int_eq(evn_lineup_of(as_read, names, 2, cycle, &s.lineup, report), EVN_DONE);
    gather(&s);
    ck_assert(s.gathered);
    ck_assert_uint_eq(row_of(&s, 0, PACK)->datum, row_of(&s, 1, PACK)->datum);
    ck_assert_uint_eq(row_of(&s, 0, EFFICIENCY)->datum, row_of(&s, 1, EFFICIENCY)->datum);
    end(&s);
    evn_cycle_free(cycle);
    evn_truck_free(copy);
    evn_truck_free(read);
}
END_TEST

START_TEST(no_two_data_are_called_alike)
{
    write_truck("a.yaml", "tractor-4x2-central.yaml", "");
    write_truck("b.yaml", "tractor-4x2-two-eaxles.yaml", "");
    scene s = sound_scene(NULL, NULL);
    ck_assert_uint_gt(s.data.count, 15);
    for (size_t i = 0; i < s.data.count; i++)
        for (size_t k = 0; k < i; k++)
            ck_assert_str_ne(s.data.datum[i].label, s.data.datum[k].label);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ which counts */

static double half_of(const scene *s, size_t truck, const char *path) { return row_of(s, truck, path)->half_width; }

START_TEST(the_outermost_statement_of_a_value_counts)
{
    scene s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(half_of(&s, 0, EFFICIENCY), 0.004, TOLERANCE); /* the part's, before the key's 0.01 */
    end(&s);

    write_truck("a.yaml", "tractor-4x2-central.yaml",
                "drive_units: {rear: {gearbox: {use: gearbox.yaml}, uncertain: {u: {of: "
                "[\"gearbox.efficiencies[0]\"], half_width: 0.003}}}}");
    s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(half_of(&s, 0, EFFICIENCY), 0.003, TOLERANCE); /* the unit's, before the part's, ... */
    ck_assert_double_eq_tol(half_of(&s, 0, SECOND), 0.004, TOLERANCE);     /* ... of this value alone */
    ck_assert_double_eq_tol(half_of(&s, 1, EFFICIENCY), 0.004, TOLERANCE);
    end(&s);

    write_truck("a.yaml", "tractor-4x2-central.yaml",
                "uncertain: {t: {of: [drive_units.rear.gearbox.efficiencies], half_width: 0.002}}\n"
                "drive_units: {rear: {gearbox: {use: gearbox.yaml}, uncertain: {u: {of: "
                "[\"gearbox.efficiencies[0]\"], half_width: 0.003}}}}");
    s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(half_of(&s, 0, EFFICIENCY), 0.002, TOLERANCE);
    ck_assert_double_eq_tol(half_of(&s, 0, SECOND), 0.002, TOLERANCE);
    end(&s);

    write_lineup("uncertain: {l: {of: [trucks.a."
                 "drive_units.rear.gearbox.efficiencies], half_width: 0.001}}",
                 "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(half_of(&s, 0, EFFICIENCY), 0.001, TOLERANCE);
    ck_assert_double_eq_tol(half_of(&s, 1, EFFICIENCY), 0.004, TOLERANCE);
    end(&s);

    s = sound_scene(NULL, "name: t\ninvented: true\nuncertain: {f: {of: [drive_units.rear.gearbox.efficiencies], "
                          "half_width: 0.005, shape: triangular, source: measured}}\n");
    ck_assert_double_eq_tol(half_of(&s, 0, EFFICIENCY), 0.005, TOLERANCE);
    ck_assert_double_eq_tol(half_of(&s, 1, EFFICIENCY), 0.005, TOLERANCE);
    const evn_datum *datum = datum_of(&s, row_of(&s, 0, EFFICIENCY));
    ck_assert_int_eq(datum->shape, EVN_TRIANGULAR);
    ck_assert_str_eq(datum->source, "measured");
    ck_assert_ptr_nonnull(strstr(datum->file, "beside.yaml"));
    ck_assert_uint_eq(datum->line, 3);
    ck_assert_uint_eq(datum->trucks, 3);
    end(&s);
}
END_TEST

START_TEST(a_half_width_of_nothing_takes_a_default_away)
{
    write_lineup("uncertain: {l: {of: [body.drag_area_m2, trucks.b.battery.resistance_ohm], half_width: 0}}",
                 "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    scene s = sound_scene(NULL, NULL);
    ck_assert(!errs(&s, 0, DRAG_AREA) && !errs(&s, 1, DRAG_AREA) && errs(&s, 0, PACK) && !errs(&s, 1, PACK));
    for (size_t k = 0; k < s.data.count; k++)
        ck_assert_str_ne(s.data.datum[k].label, "drag area");
    end(&s);
}
END_TEST

START_TEST(entries_of_one_object_add_in_one_number)
{
    write_file("gearbox.yaml", GEARBOX "uncertain:\n  law: {of: [efficiencies], half_width: 0.003, errs_with: mesh}\n"
                                       "  own: {of: [efficiencies], relative: 0.01, shape: normal}\n");
    scene s = sound_scene(NULL, NULL);
    size_t count;
    const evn_moved *rows = rows_of(&s, 0, SECOND, &count);
    ck_assert_uint_eq(count, 2);
    ck_assert_uint_ne(rows[0].datum, rows[1].datum);
    ck_assert_double_eq_tol(rows[0].half_width + rows[1].half_width, 0.003 + 0.0097, TOLERANCE);
    ck_assert_int_eq(rows[0].shape + rows[1].shape, EVN_RECTANGULAR + EVN_NORMAL);
    end(&s);
}
END_TEST

/* Both could not stand at these ends together: each is tried with the other as it is. */
START_TEST(data_are_tried_one_after_the_other)
{
    write_lineup("uncertain: {e: {of: [brakes.fade_to_km_h], half_width: 3}, f: {of: [brakes.fade_from_km_h], "
                 "half_width: 3}}",
                 "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    scene s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(row_of(&s, 0, "brakes.fade_to_km_h")->nominal, 5, TOLERANCE);
    ck_assert_double_eq_tol(half_of(&s, 0, "brakes.fade_from_km_h"), 3, TOLERANCE);
    end(&s);
}
END_TEST

/* What errs as one names a number once, whatever entries and words say so. */
START_TEST(a_number_that_one_datum_moves_twice_is_refused)
{
    static const char *const twice[] = {
        "uncertain:\n  e: {of: [body.mass_kg, trucks.a.body.mass_kg], relative: 0.1}",
        "uncertain:\n  d: {of: [body.mass_kg], relative: 0.1, errs_with: m}\n  e: {of: [trucks.b.body.mass_kg], "
        "half_width: 100, errs_with: m}",
    };
    evn_finding first;
    write_lineup(twice[_i], "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    scene s = scene_with(NULL, NULL);
    ck_assert(!s.gathered && evn_report_at(s.report, 0, &first));
    ck_assert_msg(strcmp(first.fault, "disagrees") == 0 && strstr(first.text, "is named twice by what errs as one"),
                  "%s: %s", first.fault, first.text);
    ck_assert_msg(strstr(first.file, "lineup.yaml") && first.line == 5 + (unsigned)_i, "at line %u", first.line);
    end(&s);
}
END_TEST

/* Warned of at its entry, once, however many trucks use the file; a label that is near none, and one that others bear,
 * are as they should be. Labels take what names of entries take. */
START_TEST(a_label_that_looks_mistyped_is_warned_of)
{
    write_file("gearbox.yaml", GEARBOX "uncertain:\n"
                                       "  law: {of: [efficiencies], half_width: 0.003, errs_with: größe}\n"
                                       "  drag: {of: [drag.torque_nm], relative: 0.1, errs_with: größe}\n"
                                       "  own: {of: [ratios], relative: 0.001, errs_with: gröse}\n"
                                       "  mass: {of: [mass_kg], relative: 0.1, errs_with: scales}\n");
    evn_finding is;
    scene s = scene_with(NULL, NULL);
    ck_assert(s.gathered && evn_report_at(s.report, 0, &is));
    ck_assert_uint_eq(evn_report_count(s.report), 1);
    ck_assert_msg(strcmp(is.fault, "lone_label") == 0 && strstr(is.text, "nearest is 'größe'"), "%s", is.text);
    ck_assert(strstr(is.file, "gearbox.yaml") && is.line == 8);
    end(&s);
}
END_TEST

START_TEST(each_number_of_a_list_moves_by_its_own_half_width)
{
    write_file("gearbox.yaml", GEARBOX "uncertain: {own: {of: [drag.torque_nm], relative: 0.1}}\n");
    scene s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(half_of(&s, 0, "drive_units.rear.gearbox.drag.torque_nm[0]"), 0.2, TOLERANCE);
    ck_assert_double_eq_tol(half_of(&s, 0, "drive_units.rear.gearbox.drag.torque_nm[1]"), 0.4, TOLERANCE);
    ck_assert_double_eq_tol(datum_of(&s, row_of(&s, 0, GEARBOX_DRAG))->relative, 0.1, TOLERANCE);
    ck_assert_double_eq_tol(row_of(&s, 0, GEARBOX_DRAG)->most, 5000, TOLERANCE);
    end(&s);
}
END_TEST

/* The middle of a range: in the unit of the values, or a share of each; those of several entries add; near a bound of
 * its key it may stand off it. */
START_TEST(a_range_may_be_uneven_about_its_value)
{
    write_file("gearbox.yaml", GEARBOX "uncertain:\n"
                                       "  law: {of: [efficiencies], half_width: -0.015, offset: -0.010, errs_with: m}\n"
                                       "  own: {of: [efficiencies], relative: 0.02, offset: -0.005}\n"
                                       "  drag: {of: [drag.torque_nm], relative: 0.5, offset: 0.4}\n");
    scene s = sound_scene(NULL, NULL);
    size_t count;
    const evn_moved *rows = rows_of(&s, 0, SECOND, &count);
    ck_assert_uint_eq(count, 2);
    ck_assert_double_eq_tol(rows[0].offset + rows[1].offset, -0.010 - 0.005 * 0.97, TOLERANCE);
    ck_assert_double_eq_tol(row_of(&s, 0, GEARBOX_DRAG)->offset, 0.4 * 4, TOLERANCE);
    ck_assert_double_eq_tol(datum_of(&s, row_of(&s, 0, GEARBOX_DRAG))->offset, 0.4 * 2, TOLERANCE);
    ck_assert(row_of(&s, 0, DRAG_AREA)->offset == 0);
    end(&s);
}
END_TEST

/* What a part states of a value that was written over is as narrow as its bounds leave room on the nearer side: of
 * 0.997 it would reach from 0.972 to 1.012, of which 3/15 are left. */
START_TEST(an_uneven_range_narrows_about_its_value)
{
    const char *const set[] = {"trucks.a.drive_units.rear.gearbox.efficiencies=[0.98, 0.997]", NULL};
    write_file("gearbox.yaml", GEARBOX "uncertain: {own: {of: [efficiencies], half_width: 0.02, offset: -0.005}}\n");
    scene s = scene_with(set, NULL);
    evn_finding is;
    ck_assert(s.gathered && evn_report_count(s.report) == 1 && evn_report_at(s.report, 0, &is));
    ck_assert_msg(strcmp(is.fault, "narrowed_range") == 0 &&
                      strstr(is.text, "efficiencies[1] is written over as 0.997, where its bounds leave a half width "
                                      "of 0.004 of the 0.02"),
                  "%s", is.text);
    ck_assert_msg(strstr(is.file, "gearbox.yaml") && is.line == 5, "%u", is.line);
    ck_assert_double_eq_tol(row_of(&s, 0, SECOND)->half_width, 0.004, 1e-9);
    ck_assert_double_eq_tol(row_of(&s, 0, SECOND)->offset, -0.001, 1e-9);
    ck_assert_double_eq_tol(row_of(&s, 1, SECOND)->half_width, 0.02, TOLERANCE);
    end(&s);
}
END_TEST

/* Torque falls where efficiencies rise. Who states these anew in one truck leaves the torques there alone; not in the
 * other truck, nor where some of them still rise, nor where the torques are stated anew too. */
START_TEST(what_fell_with_values_that_are_stated_anew_errs_no_longer)
{
    static const char *const anew[] = {
        "trucks.a.drive_units.rear.gearbox.efficiencies]", "\"trucks.a.drive_units.rear.gearbox.efficiencies[0]\"]",
        "trucks.a.drive_units.rear.gearbox.efficiencies, trucks.a.drive_units.rear.gearbox.drag.torque_nm]"};
    char added[300];
    evn_finding is;
    write_file("gearbox.yaml", GEARBOX "uncertain:\n"
                                       "  law: {of: [efficiencies], half_width: 0.004, errs_with: m}\n"
                                       "  drag: {of: [drag.torque_nm], relative: -0.2, errs_with: m}\n");
    snprintf(added, sizeof added, "uncertain: {mine: {of: [%s, relative: 0.01}}", anew[_i]);
    write_lineup(added, "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    scene s = scene_with(NULL, NULL);
    bool left = _i == 0;
    ck_assert(s.gathered);
    ck_assert_uint_eq(evn_report_count(s.report), left ? 1 : 0);
    ck_assert(errs(&s, 0, GEARBOX_DRAG) == !left && errs(&s, 1, GEARBOX_DRAG));
    if (left) {
        ck_assert(evn_report_at(s.report, 0, &is));
        ck_assert_msg(strcmp(is.fault, "left_over") == 0 && strstr(is.text, "trucks.a.drive_units.rear.gearbox.drag") &&
                          strstr(is.text, "errs with 'm' rises"),
                      "%s", is.text);
        ck_assert_msg(strstr(is.file, "gearbox.yaml") && is.line == 7, "%s:%u", is.file, is.line);
    }
    end(&s);
}
END_TEST

START_TEST(a_default_is_as_narrow_as_bounds_leave_room)
{
    write_file("gearbox.yaml", "ratios: [6, 2]\nefficiencies: [1, 0.997]\n");
    scene s = sound_scene(NULL, NULL);
    ck_assert(!errs(&s, 0, EFFICIENCY));
    ck_assert_double_eq_tol(half_of(&s, 0, SECOND), 0.003, TOLERANCE);
    end(&s);
}
END_TEST

START_TEST(cycle_and_load_case_may_err_and_move_all_trucks)
{
    write_lineup("load_case: {headwind_m_s: 1}\nuncertain: {w: {of: [load_case.headwind_m_s], half_width: 2}, r: {of: "
                 "[cycle.road.grade_percent], half_width: 0.05}}",
                 "  a: {use: a.yaml}\n  b: {use: b.yaml}\n");
    scene s = sound_scene(NULL, NULL);
    size_t wind = 0, grades = 0;
    for (size_t k = 0; k < s.data.moved_count; k++) {
        const evn_moved *m = &s.data.moved[k];
        if (m->in == EVN_IN_TRUCK)
            continue;
        ck_assert_uint_eq(datum_of(&s, m)->trucks, 3);
        wind += m->in == EVN_IN_LOAD_CASE && strcmp(m->path, "headwind_m_s") == 0 && m->nominal == 1;
        grades += m->in == EVN_IN_CYCLE && strncmp(m->path, "road.grade_percent[", 19) == 0;
    }
    ck_assert_uint_eq(wind, 1);
    ck_assert_uint_gt(grades, 3);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what sees nothing */

START_TEST(hashes_of_trucks_do_not_see_what_is_not_known_of_them)
{
    char path[PATH_BYTES], with[EVN_HASH_BYTES], without[EVN_HASH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck;
    ck_assert_int_eq(evn_truck_load(in_folder(path, "a.yaml"), &truck, report), EVN_DONE);
    evn_truck_hash(truck, with);
    evn_truck_free(truck);
    write_file("gearbox.yaml", GEARBOX);
    ck_assert_int_eq(evn_truck_load(in_folder(path, "a.yaml"), &truck, report), EVN_DONE);
    evn_truck_hash(truck, without);
    ck_assert_str_eq(with, without);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

#define LOSS_FACTOR(motor) "drive_units.rear.motors." motor ".map.loss_factor"

START_TEST(motors_of_a_unit_err_as_one)
{
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml",
                "drive_units: {rear: {uncertain: {own: {of: [motors.a.map.loss_factor, motors.b.map.loss_factor], "
                "half_width: 0.05}}}}");
    scene s = sound_scene(NULL, NULL);
    ck_assert_double_eq_tol(half_of(&s, 1, LOSS_FACTOR("a")), 0.05, TOLERANCE);
    ck_assert_uint_eq(row_of(&s, 1, LOSS_FACTOR("a"))->datum, row_of(&s, 1, LOSS_FACTOR("b"))->datum);
    end(&s);

    /* Set, each by a text of its own: alike still. */
    const char *set[] = {"trucks.b." LOSS_FACTOR("a") "=1.1", "trucks.b." LOSS_FACTOR("b") "=1.1", NULL};
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml", "");
    s = sound_scene(set, NULL);
    ck_assert_uint_eq(row_of(&s, 1, LOSS_FACTOR("a"))->datum, row_of(&s, 1, LOSS_FACTOR("b"))->datum);
    ck_assert_double_eq_tol(half_of(&s, 1, LOSS_FACTOR("b")), 0.154, TOLERANCE);
    end(&s);

    /* One that errs without the other is no unit any more. */
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml",
                "drive_units: {rear: {motors: {a: {uncertain: {own: {of: [map.loss_factor], half_width: 0.05}}}}}}");
    s = scene_with(NULL, NULL);
    evn_finding first;
    ck_assert(!s.gathered && evn_report_at(s.report, 0, &first));
    ck_assert_str_eq(first.fault, "disagrees");
    ck_assert_ptr_nonnull(strstr(first.text, "expected motors that are alike"));
    ck_assert_ptr_nonnull(strstr(first.file, "b.yaml"));
    end(&s);
}
END_TEST

START_TEST(a_motor_file_that_a_unit_uses_twice_states_for_both)
{
    char here[300], text[800];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "extends: %s/tests/vehicles/parts/motor-axle-240.yaml\nuncertain: {own: {of: [map.loss_factor, "
             "mass_kg], relative: 0.05}}\n",
             here);
    write_file("motor.yaml", text);
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml",
                "drive_units: {rear: {motors: {a: {use: motor.yaml}, b: {use: motor.yaml}}}}");
    scene s = sound_scene(NULL, NULL);
    ck_assert_uint_eq(row_of(&s, 1, LOSS_FACTOR("a"))->datum, row_of(&s, 1, LOSS_FACTOR("b"))->datum);
    ck_assert_uint_eq(datum_of(&s, row_of(&s, 1, LOSS_FACTOR("a")))->values, 4);
    end(&s);
}
END_TEST

/* A remark in one of two motors makes them no other motors. */
START_TEST(motors_are_alike_whatever_is_said_of_them)
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    write_truck("b.yaml", "tractor-4x2-eaxle.yaml",
                "drive_units: {rear: {motors: {a: {uncertain: {own: {of: [mass_kg], half_width: 5}}}}}}");
    ck_assert_int_eq(evn_truck_load(in_folder(path, "b.yaml"), &truck, report), EVN_DONE);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

START_TEST(the_work_is_counted)
{
    scene s = sound_scene(NULL, NULL);
    size_t runs = 0;
    for (size_t k = 0; k < s.data.count; k++)
        runs += (size_t)(s.data.datum[k].trucks & 1) + (size_t)(s.data.datum[k].trucks >> 1 & 1);
    ck_assert_double_eq_tol(evn_uncertainty_work(s.lineup), 12.0 * (double)runs, 1e-9); /* the hill is 12 km long */
    ck_assert(isnan(evn_uncertainty_work(NULL)));
    end(&s);
}
END_TEST

static void with_folder(TCase *of)
{
    tcase_add_checked_fixture(of, begin, folder_end);
    tcase_set_timeout(of, 60);
}

int main(void)
{
    const char *source = getenv("EVENER_SOURCE");
    if (source && chdir(source) != 0)
        return EXIT_FAILURE;
    Suite *suite = suite_create("uncertain data");
    TCase *refused = tcase_create("refused"), *one = tcase_create("as one"), *which = tcase_create("which counts");
    with_folder(refused);
    with_folder(one);
    with_folder(which);
    tcase_add_loop_test(refused, what_an_entry_cannot_name_is_refused_where_it_is_read, 0,
                        sizeof refused_when_read / sizeof *refused_when_read);
    tcase_add_loop_test(refused, what_a_lineup_cannot_name_and_what_rules_would_not_take_is_refused_at_the_entry, 0,
                        sizeof refused_when_gathered / sizeof *refused_when_gathered);
    tcase_add_test(refused, a_file_of_uncertainties_says_where_it_comes_from);
    tcase_add_test(one, a_part_that_two_trucks_use_errs_alike_in_both);
    tcase_add_test(one, a_part_that_is_used_twice_in_one_truck_errs_alike_in_both_places);
    tcase_add_test(one, parts_of_files_of_their_own_err_by_themselves);
    tcase_add_test(one, a_label_joins_parts_and_keys_and_defaults);
    tcase_add_test(one, a_value_that_is_set_errs_by_itself_and_one_with_an_entry_with_the_entry);
    tcase_add_test(one, losses_of_one_motor_err_as_one_and_those_of_its_inverter_apart);
    tcase_add_test(one, motors_that_must_be_alike_are_tried_together);
    tcase_add_test(one, trucks_without_places_err_by_themselves_but_for_labels);
    tcase_add_test(one, no_two_data_are_called_alike);
    tcase_add_test(which, the_outermost_statement_of_a_value_counts);
    tcase_add_test(which, a_half_width_of_nothing_takes_a_default_away);
    tcase_add_test(which, entries_of_one_object_add_in_one_number);
    tcase_add_test(which, data_are_tried_one_after_the_other);
    tcase_add_loop_test(which, a_number_that_one_datum_moves_twice_is_refused, 0, 2);
    tcase_add_test(which, a_label_that_looks_mistyped_is_warned_of);
    tcase_add_test(which, each_number_of_a_list_moves_by_its_own_half_width);
    tcase_add_test(which, a_range_may_be_uneven_about_its_value);
    tcase_add_test(which, an_uneven_range_narrows_about_its_value);
    tcase_add_loop_test(which, what_fell_with_values_that_are_stated_anew_errs_no_longer, 0, 3);
    tcase_add_test(which, a_default_is_as_narrow_as_bounds_leave_room);
    tcase_add_test(which, cycle_and_load_case_may_err_and_move_all_trucks);
    tcase_add_test(which, hashes_of_trucks_do_not_see_what_is_not_known_of_them);
    tcase_add_test(one, motors_of_a_unit_err_as_one);
    tcase_add_test(one, a_motor_file_that_a_unit_uses_twice_states_for_both);
    tcase_add_test(one, motors_are_alike_whatever_is_said_of_them);
    tcase_add_test(which, the_work_is_counted);
    suite_add_tcase(suite, refused);
    suite_add_tcase(suite, one);
    suite_add_tcase(suite, which);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
