/* Trucks with some blocks of one truck and the others of another: which block each key is of, and what becomes of units
 * that are built unlike. */
#define _XOPEN_SOURCE 700
#include "api/objects.h"
#include "causes/laws.h"
#include "causes/mixture.h"
#include "causes/paths.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "core/field_hash.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TRUCKS "tests/vehicles/trucks/"
#define SHIPPED "vehicles/trucks/"
#define ALL (EVN_HYBRIDS_MOST - 1)

typedef struct scene { /* two trucks of the tests */
    evn_report *report;
    evn_truck *truck[2];
    evn_arena *arena;
    evn_donors from;
} scene;

static scene scene_of(const char *first, const char *other)
{
    const char *path[2] = {first, other};
    scene s = {.report = evn_report_new(), .arena = evn_arena_new()};
    for (int i = 0; i < 2; i++)
        ck_assert_int_eq(evn_truck_load(path[i], &s.truck[i], s.report), EVN_DONE);
    s.from = (evn_donors){s.truck[0]->file, s.truck[1]->file, s.arena};
    return s;
}

static void end(scene *s)
{
    for (int i = 0; i < 2; i++)
        evn_truck_free(s->truck[i]);
    evn_arena_free(s->arena);
    evn_report_free(s->report);
}

static evn_hybrid made(scene *s, unsigned set)
{
    evn_hybrid hybrid;
    ck_assert(evn_hybrid_make(&s->from, set, &hybrid));
    return hybrid;
}

static evn_hybrid sound(scene *s, unsigned set)
{
    evn_hybrid hybrid = made(s, set);
    ck_assert_msg(hybrid.sound, "%s", hybrid.reason);
    return hybrid;
}

static uint64_t hash_of(const evn_truck_file *truck) { return evn_object_hash(&evn_truck_object, truck); }

/* ------------------------------------------------------------------------------------------------ keys and blocks */

static size_t walk(const evn_object *object)
{
    size_t keys = 0;
    for (size_t k = 0; k < object->field_count; k++) {
        const evn_field *field = &object->fields[k];
        int block = evn_block_of(object, field);
        ck_assert_msg(block != EVN_BLOCK_UNKNOWN, "key %s of %s is of no block; expected a row in causes/blocks.c",
                      field->key, object->name);
        ck_assert_int_lt(block, EVN_CAUSE_COUNT);
        keys++;
        if (block == EVN_BLOCK_PARTED && field->of)
            keys += walk(field->of);
        for (const evn_kind_row *kind = field->kinds; block == EVN_BLOCK_PARTED && kind && kind->key; kind++)
            keys += walk(kind->object);
    }
    return keys;
}

START_TEST(every_key_of_a_truck_is_of_a_block) { ck_assert_uint_gt(walk(&evn_truck_object), 100); }
END_TEST

static const struct {
    const char *path;
    double value;
    evn_cause cause;
} changes[] = {
    {"body.mass_kg", 4000, EVN_CAUSE_BODY},
    {"body.drag_area_m2", 5, EVN_CAUSE_BODY},
    {"axles.leading.tyre.rolling_resistance_coefficient", 0.007, EVN_CAUSE_BODY},
    {"axles.leading.mass_kg", 700, EVN_CAUSE_BODY},
    {"trailer.mass_kg", 7100, EVN_CAUSE_BODY},
    {"payload.mass_kg", 20000, EVN_CAUSE_BODY},
    {"battery.resistance_ohm", 0.02, EVN_CAUSE_BODY},
    {"brakes.motor_share", 0.9, EVN_CAUSE_BODY},
    {"adhesion.driving", 0.5, EVN_CAUSE_BODY},
    {"auxiliaries.power_kw", 4, EVN_CAUSE_AUXILIARIES},
    {"cooling.fan_power_kw", 3.5, EVN_CAUSE_AUXILIARIES},
    {"drive_units.rear.locks_below_km_h", 15, EVN_CAUSE_DRIVEN_AXLES},
    {"drive_units.rear.branches.leading.torque_share", 0.4, EVN_CAUSE_DRIVEN_AXLES},
    {"axles.trailing.hub_drag.torque_nm[0]", 9, EVN_CAUSE_HUBS},
    {"trailer.hub_drag.torque_nm[0]", 20, EVN_CAUSE_HUBS},
    {"drive_units.rear.motors.a.mass_kg", 301, EVN_CAUSE_DRIVETRAIN},
    {"drive_units.rear.gearbox.ratios[0]", 9.5, EVN_CAUSE_DRIVETRAIN},
    {"drive_units.rear.path[1].propeller_shaft.mass_kg", 70, EVN_CAUSE_DRIVETRAIN},
    {"drive_units.rear.machine_height_m", 0.7, EVN_CAUSE_DRIVETRAIN},
    {"drive_units.rear.gearbox.shift.dwell_s", 1, EVN_CAUSE_SWITCHING},
    {"drive_units.rear.engagement.dwell_s", 1, EVN_CAUSE_SWITCHING},
};

/* A truck and itself with one number changed. */
START_TEST(a_key_goes_with_its_block_and_with_no_other)
{
    scene s = scene_of(SHIPPED "tractor-6x4-central.yaml", SHIPPED "tractor-6x4-central.yaml");
    evn_truck_file *other = evn_object_copy(&evn_truck_object, s.from.first, s.arena);
    double *at = evn_number_place(&evn_truck_object, other, changes[_i].path, s.report);
    ck_assert_msg(at, "%s", changes[_i].path);
    ck_assert_double_ne(*at, changes[_i].value);
    *at = changes[_i].value;
    s.from.other = other;
    for (unsigned cause = 0; cause < EVN_CAUSE_COUNT; cause++) {
        evn_hybrid with = made(&s, 1u << cause), without = made(&s, ALL & ~(1u << cause));
        bool moves = cause == (unsigned)changes[_i].cause;
        ck_assert_msg((hash_of(&with.truck) == hash_of(other)) == moves, "%s with block %u", changes[_i].path, cause);
        ck_assert_msg((hash_of(&without.truck) == hash_of(s.from.first)) == moves, "%s without block %u",
                      changes[_i].path, cause);
    }
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the two ends */

static const char *const pairs[][2] = {
    {TRUCKS "tractor-4x2-central.yaml", TRUCKS "tractor-4x2-eaxle.yaml"},
    {TRUCKS "tractor-6x4-central.yaml", TRUCKS "tractor-6x4-two-eaxles.yaml"},
    {TRUCKS "tractor-6x4-central.yaml", TRUCKS "tractor-6x4-eaxle.yaml"},
    {TRUCKS "rigid-6x2-eaxle.yaml", TRUCKS "rigid-6x2-two-eaxles.yaml"},
    {TRUCKS "tipper-8x4-two-eaxles.yaml", TRUCKS "tipper-8x4-central.yaml"},
    {TRUCKS "tipper-8x4-eaxle.yaml", TRUCKS "tractor-4x2-central.yaml"},
};

START_TEST(with_no_block_it_is_the_first_truck_and_with_all_the_other)
{
    scene s = scene_of(pairs[_i][0], pairs[_i][1]);
    evn_hybrid none = sound(&s, 0), all = sound(&s, ALL);
    ck_assert_uint_eq(hash_of(&none.truck), hash_of(s.from.first));
    ck_assert_uint_eq(hash_of(&all.truck), hash_of(s.from.other));
    end(&s);
}
END_TEST

/* What no rule of the tables refuses can be made ready to drive, and weighs what its parts weigh. */
START_TEST(every_sound_hybrid_can_be_made_ready)
{
    scene s = scene_of(pairs[_i][0], pairs[_i][1]);
    size_t count = 0;
    for (unsigned set = 0; set <= ALL; set++) {
        evn_hybrid hybrid = made(&s, set);
        const evn_load_case load = evn_conditions_default().load_case;
        evn_rig *rig = NULL;
        if (!hybrid.sound)
            continue;
        count++;
        evn_rig_make(&hybrid.truck, &load, &rig, s.report);
        ck_assert_msg(rig, "set %u: %s", set, evn_report_errors(s.report) ? "refused" : "?");
        evn_rig_free(rig);
    }
    ck_assert_uint_ge(count, 8);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ driven axles */

static const evn_unit_file *unit_of(const evn_hybrid *h, size_t k)
{
    ck_assert_uint_lt(k, h->truck.drive_units.count);
    return (const evn_unit_file *)h->truck.drive_units.item + k;
}

static void expect_path(const evn_steps *path, const char *const *kinds)
{
    for (size_t k = 0; k < path->count; k++)
        ck_assert_str_eq(evn_stage_kind_rows[path->at[k].kind].key, kinds[k]);
    ck_assert_ptr_null(kinds[path->count]);
}

static const unsigned drivetrain = 1u << EVN_CAUSE_DRIVETRAIN, axles = 1u << EVN_CAUSE_DRIVEN_AXLES,
                      switching = 1u << EVN_CAUSE_SWITCHING;

/* The second axle gets an axle drive like the first's, and the through-drive of the truck that has one. */
START_TEST(a_second_driven_axle_comes_with_the_through_drive_of_the_other)
{
    static const char *const before[] = {"universal_joint", "propeller_shaft", "centre_bearing", "universal_joint",
                                         NULL},
                             *const leading[] = {"final_drive", NULL}, *const trailing[] = {"mesh",
                                                                                            "universal_joint",
                                                                                            "propeller_shaft",
                                                                                            "universal_joint",
                                                                                            "final_drive",
                                                                                            NULL};
    scene s = scene_of(SHIPPED "tractor-6x2-central.yaml", SHIPPED "tractor-6x4-central.yaml");
    evn_hybrid hybrid = sound(&s, axles);
    const evn_unit_file *unit = unit_of(&hybrid, 0);
    const evn_branch_file *branch = unit->branches.item;
    ck_assert_uint_eq(unit->branches.count, 2);
    ck_assert_uint_eq(unit->axles.count, 2);
    expect_path(&unit->path, before);
    expect_path(&branch[0].path, leading);
    expect_path(&branch[1].path, trailing);
    evn_hybrid opens = sound(&s, axles | switching);
    branch = unit_of(&opens, 0)->branches.item;
    ck_assert_ptr_null(evn_first_disconnect(&branch[0].path));
    ck_assert(evn_is_disconnect(&branch[1].path.at[0]));
    ck_assert(evn_is_disconnect(&branch[1].path.at[branch[1].path.count - 1]));
    end(&s);
}
END_TEST

START_TEST(with_one_axle_less_through_drive_and_second_axle_drive_fall_away)
{
    static const char *const path[] = {"universal_joint", "propeller_shaft", "centre_bearing",
                                       "universal_joint", "final_drive",     NULL};
    scene s = scene_of(SHIPPED "tractor-6x4-central.yaml", SHIPPED "tractor-6x2-central.yaml");
    evn_hybrid hybrid = sound(&s, axles);
    const evn_unit_file *unit = unit_of(&hybrid, 0);
    ck_assert_uint_eq(unit->branches.count, 0);
    ck_assert_uint_eq(unit->axles.count, 1);
    ck_assert_double_eq(unit->axles.at[0], 2);
    expect_path(&unit->path, path);
    end(&s);
}
END_TEST

START_TEST(of_two_electric_axles_on_one_all_motors_work_on_it)
{
    scene s = scene_of(SHIPPED "tractor-6x2-central.yaml", SHIPPED "tractor-6x4-two-eaxles.yaml");
    evn_hybrid hybrid = sound(&s, drivetrain);
    ck_assert_uint_eq(hybrid.truck.drive_units.count, 1);
    ck_assert_uint_eq(unit_of(&hybrid, 0)->motors.count, 2);
    ck_assert_double_eq(unit_of(&hybrid, 0)->axles.at[0], 2);
    ck_assert_uint_eq(unit_of(&hybrid, 0)->branches.count, 0);
    end(&s);
}
END_TEST

/* An inter-axle differential behind the gearbox: the planet set and the differential stand twice. */
START_TEST(an_electric_axle_drives_a_second_one_by_an_axle_drive_more)
{
    static const char *const own[] = {"planet_set", "differential", NULL};
    scene s = scene_of(SHIPPED "tractor-6x2-eaxle.yaml", SHIPPED "tractor-6x4-two-eaxles.yaml");
    evn_hybrid hybrid = sound(&s, axles);
    const evn_unit_file *unit = unit_of(&hybrid, 0);
    const evn_branch_file *branch = unit->branches.item;
    ck_assert_uint_eq(unit->path.count, 0);
    ck_assert_uint_eq(unit->branches.count, 2);
    expect_path(&branch[0].path, own);
    expect_path(&branch[1].path, own);
    ck_assert_double_eq(branch[1].axle, 3);
    end(&s);
}
END_TEST

START_TEST(what_is_built_unlike_is_no_truck_and_says_why)
{
    scene s = scene_of(TRUCKS "tipper-8x4-central.yaml", TRUCKS "tractor-4x2-central.yaml");
    evn_hybrid body = made(&s, 1u << EVN_CAUSE_BODY);
    ck_assert(!body.sound && body.reason[0] != '\0');
    end(&s);
}
END_TEST

static const evn_hub_drag_file *hub_of(const evn_truck_file *truck, size_t axle)
{
    return ((const evn_axle_file *)truck->axles.item)[axle].hub_drag;
}

/* Two axles against three: the third has its own hubs, whichever truck gives them to the other two. */
START_TEST(an_axle_that_only_one_truck_has_comes_and_goes_with_its_hubs)
{
    scene s = scene_of(SHIPPED "tractor-4x2-central.yaml", SHIPPED "tractor-6x2-central.yaml");
    const evn_truck_file *two = s.from.first, *three = s.from.other;
    evn_hybrid hubs = sound(&s, 1u << EVN_CAUSE_HUBS), body = sound(&s, 1u << EVN_CAUSE_BODY);
    ck_assert_uint_eq(hubs.truck.axles.count, 2);
    ck_assert_uint_eq(body.truck.axles.count, 3);
    for (size_t k = 0; k < 2; k++) {
        ck_assert_ptr_eq(hub_of(&hubs.truck, k), hub_of(three, k));
        ck_assert_ptr_eq(hub_of(&body.truck, k), hub_of(two, k));
    }
    ck_assert_ptr_eq(hub_of(&body.truck, 2), hub_of(three, 2));
    ck_assert_ptr_nonnull(hub_of(three, 2));
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ laws */

static evn_rig *rig_of(const evn_truck_file *truck)
{
    const evn_load_case load = evn_conditions_default().load_case;
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    ck_assert_int_eq(evn_rig_make(truck, &load, &rig, report), true);
    evn_report_free(report);
    return rig;
}

/* Loss of a motor at shares of its peak torque and base speed, of its peak power: a law put over tells the same there.
 */
static double loss_share(const evn_unit *u, double torque, double speed)
{
    double degc[EVN_NODES_MAX], base = u->motor[0].peak_w / u->motor[0].peak_nm;
    const evn_setting all = evn_all_engaged(u, 0);
    evn_unit_reference_degc(u, degc);
    double nm = torque * u->motor[0].peak_nm * (double)u->motor_count, rad_s = speed * base;
    double w = evn_unit_motors_w(u, all, nm, rad_s, u->motor[0].reference_v, degc, NULL);
    return (w - nm * rad_s) / (u->motor[0].peak_w * (double)u->motor_count);
}

static double figure_of(const evn_rig *rig, const char *key)
{
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_rig_figure_at(rig, k, &what, &value); k++)
        if (strcmp(what.key, key) == 0)
            return value;
    return 0;
}

/* What of a truck weighs and is neither body, axles, battery, trailer nor load. */
static double drivetrain_kg(const evn_rig *rig)
{
    return rig->mass_kg - rig->payload_kg - figure_of(rig, "masses.body_kg") - figure_of(rig, "masses.axles_kg") -
           figure_of(rig, "masses.battery_kg") - figure_of(rig, "masses.trailer_kg");
}

static void expect_laws(const evn_rig *first, const evn_rig *other, evn_arena *arena)
{
    evn_rig *rig = malloc(sizeof *rig);
    ck_assert_ptr_nonnull(rig);
    *rig = *first;
    ck_assert_ptr_null(evn_law_put(EVN_LAW_LOAD, rig, other, arena));
    ck_assert_double_eq_tol(evn_rig_load_exponent(rig), evn_rig_load_exponent(other), 1e-14);
    ck_assert_double_eq_tol(evn_rig_drag_n(rig), evn_rig_drag_n(first), 1e-10);
    *rig = *first;
    ck_assert_ptr_null(evn_law_put(EVN_LAW_DRAG, rig, other, arena));
    ck_assert_double_eq_tol(evn_rig_drag_n(rig), evn_rig_drag_n(other), 1e-9);
    ck_assert_double_eq_tol(evn_rig_load_exponent(rig), evn_rig_load_exponent(first), 1e-14);
    *rig = *first;
    ck_assert_ptr_null(evn_law_put(EVN_LAW_MASS, rig, other, arena));
    ck_assert_double_eq_tol(rig->mass_kg - first->mass_kg, drivetrain_kg(other) - drivetrain_kg(first), 1e-9);
    ck_assert_double_eq_tol(rig->rolling.cosine_kg / rig->mass_kg, first->rolling.cosine_kg / first->mass_kg, 1e-14);
    for (size_t axle = 0; axle < rig->axle_count; axle++)
        ck_assert_double_eq_tol(rig->axle[axle].load.cosine_kg / rig->mass_kg,
                                first->axle[axle].load.cosine_kg / first->mass_kg, 1e-14);
    *rig = *first;
    ck_assert_ptr_null(evn_law_put(EVN_LAW_INVERTERS, rig, other, arena));
    ck_assert_ptr_null(evn_law_put(EVN_LAW_MOTORS, rig, other, arena));
    for (double torque = -0.9; torque <= 0.91; torque += 0.3)
        for (double speed = 0.3; speed < 1; speed += 0.3)
            ck_assert_double_eq_tol(loss_share(&rig->unit[0], torque, speed),
                                    loss_share(&other->unit[0], torque, speed), 1e-9);
    free(rig);
}

START_TEST(a_law_put_over_is_that_of_the_other)
{
    scene s = scene_of(pairs[_i][0], pairs[_i][1]);
    evn_rig *first = rig_of(s.from.first), *other = rig_of(s.from.other);
    expect_laws(first, other, s.arena);
    evn_rig_free(first);
    evn_rig_free(other);
    end(&s);
}
END_TEST

START_TEST(a_law_of_its_own_changes_nothing)
{
    scene s = scene_of(pairs[0][0], pairs[0][0]);
    evn_rig *first = rig_of(s.from.first);
    expect_laws(first, first, s.arena);
    evn_rig_free(first);
    end(&s);
}
END_TEST

/* Of the pairs none; each of a truck and itself with other numbers. */
START_TEST(one_layout_is_one_with_other_data_and_no_other)
{
    scene s = scene_of(pairs[_i][0], pairs[_i][1]);
    ck_assert(!evn_laid_out_alike(s.from.first, s.from.other));
    ck_assert(!evn_laid_out_alike(s.from.other, s.from.first));
    evn_truck_file *same = evn_object_copy(&evn_truck_object, s.from.first, s.arena);
    evn_unit_file *unit = evn_copied(same->drive_units.item, same->drive_units.count * sizeof *unit, s.arena);
    evn_motor_file *motor = evn_copied(unit[0].motors.item, unit[0].motors.count * sizeof *motor, s.arena);
    motor[0].peak_torque_nm *= 1.2;
    unit[0].motors.item = motor;
    same->drive_units.item = unit;
    ck_assert(evn_laid_out_alike(s.from.first, same));
    unit[0].path.count--;
    ck_assert(!evn_laid_out_alike(s.from.first, same));
    end(&s);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hybrids");
    TCase *tests = tcase_create("hybrids");
    int two = (int)(sizeof pairs / sizeof pairs[0]);
    tcase_add_test(tests, every_key_of_a_truck_is_of_a_block);
    tcase_add_loop_test(tests, a_key_goes_with_its_block_and_with_no_other, 0,
                        (int)(sizeof changes / sizeof changes[0]));
    tcase_add_loop_test(tests, with_no_block_it_is_the_first_truck_and_with_all_the_other, 0, two);
    tcase_add_loop_test(tests, every_sound_hybrid_can_be_made_ready, 0, two);
    tcase_add_test(tests, a_second_driven_axle_comes_with_the_through_drive_of_the_other);
    tcase_add_test(tests, with_one_axle_less_through_drive_and_second_axle_drive_fall_away);
    tcase_add_test(tests, of_two_electric_axles_on_one_all_motors_work_on_it);
    tcase_add_test(tests, an_electric_axle_drives_a_second_one_by_an_axle_drive_more);
    tcase_add_test(tests, what_is_built_unlike_is_no_truck_and_says_why);
    tcase_add_test(tests, an_axle_that_only_one_truck_has_comes_and_goes_with_its_hubs);
    tcase_add_loop_test(tests, a_law_put_over_is_that_of_the_other, 0, two);
    tcase_add_test(tests, a_law_of_its_own_changes_nothing);
    tcase_add_loop_test(tests, one_layout_is_one_with_other_data_and_no_other, 0, two);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
