/*
 * Trucks, cycles and what is asked of them, drawn by lot from the field tables: what the loader takes is driven to an
 * end, with numbers that are numbers, losses that are losses, no stated limit passed in silence and energy that
 * balances. tools/random-trucks drives more of them, and keeps those that fail as files.
 */
#include "../random/limits.h"
#include "../random/lot.h"
#include "api/kinds.h"
#include "core/uncertain.h"
#include "evener/uncertainty.h"
#include <check.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SEED = 3, COUNT = 200 };

/* ------------------------------------------------------------------------------------------------ the lot */

static bool tell(void *self, uint64_t index, random_case *c, const trial_verdict *v)
{
    (void)self, (void)c;
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        if (v->fault[k])
            fprintf(stderr, "tools/random-trucks --seed %d --first %" PRIu64 " --count 1 --keep FOLDER: %s: %s\n", SEED,
                    index, trial_fault_meanings[k], v->why[k]);
    return true;
}

START_TEST(what_is_drawn_by_lot_is_driven_to_an_end_within_all_it_states)
{
    char folder[CASE_FOLDER_BYTES];
    ck_assert(case_folder(folder));
    lot_tally tally = lot_drive(&(lot){.seed = SEED, .count = COUNT, .folder = folder, .judged = tell});
    case_remove(folder);
    ck_assert_uint_eq(tally.driven, COUNT);
    ck_assert_uint_eq(tally.failed, 0);
    /* A lot that the loader refuses proves nothing of the runs; one that all finish, nothing of the other ends. */
    ck_assert_double_ge(lot_accepted_share(&tally), 0.6);
    ck_assert_uint_ge(tally.ends[TRIAL_FINISHED], COUNT / 2);
    ck_assert_uint_ge(tally.ends[TRIAL_STALLED], 1);
    ck_assert_uint_ge(tally.ends[TRIAL_BATTERY_EMPTY], 1);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ cases that failed */

/* Files under tests/random/cases: cases that once failed, without what the fault did not need. */
static const char *const failed_once[] = {"balance-downhill",
                                          "balance-without-pack",
                                          "closes-a-branch-too-fast",
                                          "closes-a-branch-while-it-speeds-up",
                                          "creeps-at-its-limit",
                                          "disconnects-both-units",
                                          "ideal-past-the-end-of-braking",
                                          "inverter-without-resistance",
                                          "limited-in-the-last-millimetre",
                                          "no-end",
                                          "pull-limited-while-braked",
                                          "pack-binds-within-motors",
                                          "pack-charged-beyond-its-limit",
                                          "pack-charged-beyond-its-window",
                                          "pack-limit-at-a-jump",
                                          "pack-takes-no-push-between",
                                          "retarder-fades-within-a-step",
                                          "retarder-past-the-end-of-braking",
                                          "runs-hot",
                                          "synchronising-moves-the-voltage",
                                          "winding-too-hot",
                                          "winding-too-hot-at-start"};

START_TEST(what_failed_once_passes)
{
    enum { WITHIN_S = 5 }; /* they are short: each ends within a tenth of a second */
    char folder[200];
    snprintf(folder, sizeof folder, "tests/random/cases/%s", failed_once[_i]);
    trial_verdict v = trial_drive(folder, WITHIN_S);
    ck_assert_msg(v.end != TRIAL_REFUSED_FILE && v.end != TRIAL_REFUSED_RIG, "%s", v.refusal);
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        ck_assert_msg(!v.fault[k], "tools/random-trucks --again %s: %s: %s", folder, trial_fault_meanings[k], v.why[k]);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is drawn */

enum { FIELDS_MOST = 64 };
typedef struct seen {
    evn_objects all;
    bool field[EVN_OBJECTS_MOST][FIELDS_MOST];
} seen;

static size_t place_of(const seen *s, const evn_object *object)
{
    size_t at = 0;
    while (at < s->all.count && s->all.at[at] != object)
        at++;
    ck_assert_uint_lt(at, s->all.count);
    return at;
}

static void mark(seen *s, const evn_object *object, const draft *map);

static void mark_below(seen *s, const evn_field *f, const draft *d)
{
    if (f->shape == EVN_ONE)
        mark(s, f->of, d);
    for (size_t k = 0; f->shape == EVN_MANY && k < draft_count(d); k++)
        mark(s, f->of, draft_child(d, k));
    for (size_t k = 0; f->shape == EVN_STEPS && k < draft_count(d); k++)
        for (const evn_kind_row *kind = f->kinds; kind->key; kind++)
            if (strcmp(kind->key, draft_child(d, k)->key) == 0)
                mark(s, kind->object, draft_child(d, k));
}

static void mark(seen *s, const evn_object *object, const draft *map)
{
    size_t at = place_of(s, object);
    ck_assert_uint_le(object->field_count, FIELDS_MOST);
    for (size_t k = 0; k < object->field_count; k++) {
        const draft *d = draft_get(map, object->fields[k].key);
        s->field[at][k] = s->field[at][k] || d;
        if (d)
            mark_below(s, &object->fields[k], d);
    }
}

START_TEST(every_key_of_trucks_cycles_and_what_is_asked_is_drawn)
{
    static const char *const whole[] = {"truck", "cycle", "load_case", "driving"};
    static seen s;
    for (size_t k = 0; k < 4; k++)
        evn_objects_add(&s.all, evn_kind_object(whole[k]));
    for (uint64_t k = 0; k < COUNT; k++) {
        random_case c = case_invent(SEED, k, 0);
        const draft *run = draft_get(draft_get(c.kept, "runs"), "random");
        mark(&s, evn_kind_object("truck"), c.truck);
        mark(&s, evn_kind_object("cycle"), c.cycle);
        mark(&s, evn_kind_object("load_case"), draft_get(run, "load_case"));
        mark(&s, evn_kind_object("driving"), draft_get(run, "driving"));
        case_free(&c);
    }
    for (size_t o = 0; o < s.all.count; o++)
        for (size_t k = 0; k < s.all.at[o]->field_count && s.all.at[o] != &evn_uncertain_object; k++)
            ck_assert_msg(s.field[o][k] || s.all.at[o]->fields[k].remark, "%s of %s is never drawn",
                          s.all.at[o]->fields[k].key, s.all.at[o]->name);
}
END_TEST

/* What the loader takes is never refused for how far its values may be off where no file says it. */
START_TEST(defaults_of_what_may_be_off_fit_whatever_is_drawn)
{
    char folder[CASE_FOLDER_BYTES], path[CASE_FOLDER_BYTES + 20];
    size_t taken = 0, found = 0;
    ck_assert(case_folder(folder));
    for (uint64_t k = 0; k < COUNT; k++) {
        random_case c = case_invent(SEED, k, 0.3);
        evn_report *report = evn_report_new();
        evn_truck *truck = NULL;
        evn_truck_data *data = NULL;
        evn_datum datum;
        evn_finding first = {.text = "nothing"};
        ck_assert(case_write(&c, folder));
        snprintf(path, sizeof path, "%s/truck.yaml", folder);
        if (evn_truck_load(path, &truck, report) == EVN_DONE) {
            evn_status status = evn_truck_data_find(truck, &data, report);
            evn_report_at(report, 0, &first);
            ck_assert_msg(status == EVN_DONE, "case %" PRIu64 ": %s", k, first.text);
            taken++;
            found += evn_truck_datum_at(data, 0, &datum);
        }
        evn_truck_data_free(data);
        evn_truck_free(truck);
        evn_report_free(report);
        case_free(&c);
    }
    case_remove(folder);
    ck_assert_uint_gt(taken, COUNT / 4);
    ck_assert_uint_eq(found, taken);
}
END_TEST

/* ---- how often */
static const draft *below(const draft *map, const char *key) { return map ? draft_get(map, key) : NULL; }
static bool is_word(const draft *map, const char *key, const char *word)
{
    const draft *d = below(map, key);
    return d && strcmp(d->word, word) == 0;
}
static bool lists_word(const draft *map, const char *key, const char *word)
{
    const draft *d = below(map, key);
    return d && strstr(d->word, word);
}
static const draft *driving_of(const random_case *c)
{
    return draft_get(draft_get(draft_get(c->kept, "runs"), "random"), "driving");
}

/* One axle, or unit, at least of which this is so. */
static bool any(const draft *many, bool (*is_so)(const draft *))
{
    for (size_t k = 0; k < draft_count(many); k++)
        if (is_so(draft_child(many, k)))
            return true;
    return false;
}
static bool any_axle(const random_case *c, bool (*is_so)(const draft *))
{
    return any(draft_get(c->truck, "axles"), is_so);
}
static bool any_unit(const random_case *c, bool (*is_so)(const draft *))
{
    return any(draft_get(c->truck, "drive_units"), is_so);
}
static const draft *motor_of(const draft *unit) { return draft_child(draft_get(unit, "motors"), 0); }
static const draft *inverter_heat_of(const draft *unit) { return below(below(motor_of(unit), "inverter"), "heat"); }
static bool unit_housing(const draft *unit) { return draft_get(motor_of(unit), "housing"); }
static bool unit_slow_inverter(const draft *unit)
{
    const draft *heat = inverter_heat_of(unit);
    return heat && draft_number(heat, "time_constant_s", 0) >= 5;
}
static bool unit_quick_inverter(const draft *unit) { return inverter_heat_of(unit) && !unit_slow_inverter(unit); }
static bool unit_range(const draft *unit) { return below(below(motor_of(unit), "winding"), "time_constant_low_s"); }
static bool unit_axle_lock(const draft *unit) { return is_word(unit, "axle_differential_lock", "true"); }
static bool unit_inter_axle_lock(const draft *unit) { return is_word(unit, "inter_axle_lock", "true"); }
static bool unit_force_limit(const draft *unit) { return draft_get(unit, "braking_force_limit_kn"); }
static bool opens(const draft *branch) { return below(below(branch, "path"), "disconnect"); }
static bool unit_branch_opens(const draft *unit)
{
    const draft *branches = draft_get(unit, "branches");
    return branches && any(branches, opens);
}
static bool axle_brake(const draft *axle) { return draft_get(axle, "friction_brake"); }
static bool axle_brake_limit(const draft *axle) { return below(below(axle, "friction_brake"), "limit_degc"); }
static bool axle_lifts(const draft *axle) { return draft_get(axle, "lifts"); }
static bool axle_start_aid(const draft *axle) { return below(below(axle, "lifts"), "start_aid"); }

#define OF_UNIT(name)                                                                                                  \
    static bool name(const random_case *c) { return any_unit(c, unit_##name); }
#define OF_AXLE(name)                                                                                                  \
    static bool name(const random_case *c) { return any_axle(c, axle_##name); }
#define OF_TRUCK(name, path)                                                                                           \
    static bool name(const random_case *c) { return path; }
OF_UNIT(housing)
OF_UNIT(slow_inverter)
OF_UNIT(quick_inverter)
OF_UNIT(range)
OF_UNIT(axle_lock)
OF_UNIT(inter_axle_lock)
OF_UNIT(force_limit)
OF_UNIT(branch_opens)
OF_AXLE(brake)
OF_AXLE(brake_limit)
OF_AXLE(lifts)
OF_AXLE(start_aid)
OF_TRUCK(cooling, draft_get(c->truck, "cooling"))
OF_TRUCK(cooling_limit, below(draft_get(c->truck, "cooling"), "limit_degc"))
OF_TRUCK(power_limit, below(draft_get(c->truck, "brakes"), "friction_power_limit_kw"))
OF_TRUCK(ideal, is_word(draft_get(c->truck, "brakes"), "distribution", "ideal"))
OF_TRUCK(stated, is_word(draft_get(c->truck, "brakes"), "distribution", "stated"))
OF_TRUCK(motor_share, below(draft_get(c->truck, "brakes"), "motor_share"))
OF_TRUCK(margin, below(draft_get(c->truck, "adhesion"), "regenerating_margin"))
OF_TRUCK(retarder, draft_get(c->truck, "retarder"))
OF_TRUCK(retarder_heats, below(draft_get(c->truck, "retarder"), "coolant_share") && cooling(c))
OF_TRUCK(resistor, draft_get(c->truck, "brake_resistor"))
OF_TRUCK(set_speed, is_word(driving_of(c), "endurance", "set_speed"))
OF_TRUCK(holdable, is_word(driving_of(c), "endurance", "holdable"))
OF_TRUCK(dry, lists_word(draft_get(c->cycle, "surface"), "kind", "dry"))
OF_TRUCK(wet, lists_word(draft_get(c->cycle, "surface"), "kind", "wet"))
OF_TRUCK(gravel, lists_word(draft_get(c->cycle, "surface"), "kind", "gravel"))
OF_TRUCK(soil, lists_word(draft_get(c->cycle, "surface"), "kind", "soil"))
OF_TRUCK(snow, lists_word(draft_get(c->cycle, "surface"), "kind", "snow"))
OF_TRUCK(split, below(draft_get(c->cycle, "surface"), "adhesion_other_side"))

/* What heat, grip and brakes hang on is stated often enough that runs meet it, together with the rest too. */
static const struct {
    const char *what;
    bool (*stated)(const random_case *);
} stated_often[] = {
    {"housing", housing},
    {"inverter that heats as a node", slow_inverter},
    {"inverter that heats at once", quick_inverter},
    {"range of a time constant", range},
    {"cooling", cooling},
    {"limit of the coolant", cooling_limit},
    {"friction brake that heats", brake},
    {"limit of a friction brake", brake_limit},
    {"limit of friction braking power", power_limit},
    {"ideal distribution", ideal},
    {"stated distribution", stated},
    {"motors' share of braking", motor_share},
    {"margin of regenerating", margin},
    {"limit of a unit's braking force", force_limit},
    {"retarder", retarder},
    {"retarder that heats the coolant", retarder_heats},
    {"brake resistor", resistor},
    {"lifting axle", lifts},
    {"start aid", start_aid},
    {"axle differential lock", axle_lock},
    {"inter-axle lock", inter_axle_lock},
    {"disconnect in a branch", branch_opens},
    {"endurance at a set speed", set_speed},
    {"endurance at the speed that can be held", holdable},
    {"dry", dry},
    {"wet", wet},
    {"gravel", gravel},
    {"soil", soil},
    {"snow", snow},
    {"adhesion of the other side", split},
};

START_TEST(what_heat_grip_and_brakes_hang_on_is_stated_often)
{
    enum { DRAWN = 1000, LEAST = 50, ROWS = sizeof stated_often / sizeof *stated_often };
    size_t times[ROWS] = {0};
    for (uint64_t k = 0; k < DRAWN; k++) {
        random_case c = case_invent(SEED, k, 0);
        for (size_t row = 0; row < ROWS; row++)
            times[row] += stated_often[row].stated(&c);
        case_free(&c);
    }
    for (size_t row = 0; row < ROWS; row++)
        ck_assert_msg(times[row] >= LEAST, "%s: stated by %zu of %d", stated_often[row].what, times[row], (int)DRAWN);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the judge */

/* A file that is another, as long as nothing is put beside. */
static draft *like(evn_arena *arena, const char *path)
{
    char whole[1000];
    draft *file = draft_new(arena, DRAFT_MAP, "file");
    snprintf(whole, sizeof whole, "%s/%s", getenv("EVENER_SOURCE"), path);
    draft_put_word(arena, file, "extends", whole);
    return file;
}

/* A shipped truck on a shipped cycle, with another drag area and another accuracy, that may take so long. */
static trial_verdict judge_shipped(double drag_area_m2, double accuracy, int within_s)
{
    char folder[CASE_FOLDER_BYTES];
    evn_arena *arena = evn_arena_new();
    random_case c = {.arena = arena, .kept = draft_new(arena, DRAFT_MAP, "kept")};
    c.truck = like(arena, "tests/vehicles/trucks/tractor-4x2-central.yaml");
    draft_put_number(arena, draft_put(arena, c.truck, "body", DRAFT_MAP), "drag_area_m2", drag_area_m2);
    c.cycle = like(arena, "cycles/scenarios/hill.yaml");
    draft *run = draft_put(arena, draft_put(arena, c.kept, "runs", DRAFT_MAP), "one", DRAFT_MAP);
    draft_put_word(arena, run, "truck", "truck.yaml");
    draft_put_word(arena, run, "cycle", "cycle.yaml");
    draft_put_number(arena, draft_put(arena, run, "driving", DRAFT_MAP), "accuracy", accuracy);
    ck_assert(case_folder(folder) && case_write(&c, folder));
    trial_verdict v = trial_drive(folder, within_s);
    case_remove(folder);
    case_free(&c);
    return v;
}

START_TEST(a_shipped_truck_passes)
{
    trial_verdict v = judge_shipped(5.4, 1e-6, TRIAL_WITHIN_S);
    ck_assert_int_eq(v.end, TRIAL_FINISHED);
    ck_assert(!trial_failed(&v));
}
END_TEST

START_TEST(what_is_refused_with_its_place_is_no_fault)
{
    trial_verdict v = judge_shipped(-1, 1e-6, TRIAL_WITHIN_S);
    ck_assert_int_eq(v.end, TRIAL_REFUSED_FILE);
    ck_assert_msg(strstr(v.refusal, "out_of_range") && !trial_failed(&v), "%s", v.refusal);
}
END_TEST

START_TEST(a_run_that_takes_too_long_is_ended_and_told)
{
    trial_verdict v = judge_shipped(5.4, 1e-9, 0);
    ck_assert(v.fault[TRIAL_NOT_ENDED]);
}
END_TEST

/* One row, all of it far inside every limit, but for one column. The truck's speed is 36 km/h. */
static void judge_row(const char *file, const char *column, double value, trial_verdict *v)
{
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck;
    evn_rig *rig;
    limits_watch watch;
    double row[COLUMNS_MOST] = {0};
    ck_assert_int_eq(evn_truck_load(file, &truck, report), EVN_DONE);
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    limits_begin(&watch, truck, rig, v);
    for (size_t k = 0; k < watch.columns; k++) {
        const char *key = watch.column[k].what.key;
        row[k] = strcmp(key, "soc") == 0                 ? 0.5
                 : strcmp(key, "battery_voltage_v") == 0 ? 680
                 : strcmp(key, "speed_km_h") == 0        ? 36
                 : strstr(key, "permitted_")             ? 300
                                                         : 0;
        if (strcmp(key, column) == 0)
            row[k] = value;
    }
    limits_sample(&watch, row, watch.columns);
    limits_end(&watch, report);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}

/* The limits of that truck: 700 kW out, 430 kW in, 520 to 780 V, charge 0.06 to 0.94, 3500 rpm, 600 kW of friction
 * brakes; winding 175 degC, inverter 155, coolant 75, friction brakes of each axle 450. The other's battery 55 degC;
 * over temperature it gives 630 kW at most, and takes 344, and at this instant 300 both ways. */
#define BATTERY "tests/trucks/judged-battery.yaml"
static const struct {
    const char *column;
    double within, beyond;
    trial_fault fault;
    const char *truck; /* NULL: the first */
} limits[] = {
    {"terminal_kw", 700, 703, TRIAL_DISCHARGE},
    {"terminal_kw", -430, -433, TRIAL_CHARGE},
    {"battery_voltage_v", 520, 518, TRIAL_VOLTAGE_LOW},
    {"battery_voltage_v", 780, 782, TRIAL_VOLTAGE_HIGH},
    {"soc", 0.06, 0.0599, TRIAL_CHARGE_STATE},
    {"soc", 0.94, 0.9401, TRIAL_CHARGE_STATE},
    {"winding_temperature_degc", 175, 175.2, TRIAL_WINDING},
    {"inverter_temperature_degc", 155, 155.3, TRIAL_INVERTER},
    {"coolant_temperature_degc", 75, 75.3, TRIAL_COOLANT},
    {"battery_temperature_degc", 55, 55.3, TRIAL_BATTERY, BATTERY},
    {"permitted_discharge_kw", 630, 631, TRIAL_DISCHARGE, BATTERY},
    {"permitted_charge_kw", 344, 345, TRIAL_CHARGE, BATTERY},
    {"terminal_kw", 300, 303, TRIAL_DISCHARGE, BATTERY},
    {"terminal_kw", -300, -303, TRIAL_CHARGE, BATTERY},
    {"axle_brake_temperature_degc", 450, 450.3, TRIAL_AXLE_BRAKE},
    {"friction_brake_force_kn", 60, 60.1, TRIAL_FRICTION_POWER},
    {"motor_speed_rpm", 3500, 3510, TRIAL_SPEED},
    {"motor_losses_kw", 0, -0.1, TRIAL_LOSS_NEGATIVE},
    {"wheel_force_kn", 1e3, (double)NAN, TRIAL_NOT_FINITE},
};

START_TEST(each_limit_is_seen_where_it_is_passed_and_not_where_it_is_reached)
{
    trial_verdict reached = {0}, passed = {0};
    const char *file = limits[_i].truck ? limits[_i].truck : "tests/trucks/judged.yaml";
    judge_row(file, limits[_i].column, limits[_i].within, &reached);
    judge_row(file, limits[_i].column, limits[_i].beyond, &passed);
    ck_assert(!trial_failed(&reached));
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        ck_assert_msg(passed.fault[k] == (k == (int)limits[_i].fault), "%s: %s", limits[_i].column,
                      trial_fault_names[k]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("random_trucks");
    TCase *lots = tcase_create("lots");
    tcase_set_timeout(lots, 110); /* in case many do not end: each ends itself after TRIAL_WITHIN_S */
    tcase_add_test(lots, what_is_drawn_by_lot_is_driven_to_an_end_within_all_it_states);
    suite_add_tcase(suite, lots);
    TCase *cases = tcase_create("cases");
    tcase_add_loop_test(cases, what_failed_once_passes, 0, sizeof failed_once / sizeof *failed_once);
    tcase_add_test(cases, every_key_of_trucks_cycles_and_what_is_asked_is_drawn);
    tcase_add_test(cases, defaults_of_what_may_be_off_fit_whatever_is_drawn);
    tcase_add_test(cases, what_heat_grip_and_brakes_hang_on_is_stated_often);
    tcase_add_test(cases, a_shipped_truck_passes);
    tcase_add_test(cases, what_is_refused_with_its_place_is_no_fault);
    tcase_add_test(cases, a_run_that_takes_too_long_is_ended_and_told);
    tcase_add_loop_test(cases, each_limit_is_seen_where_it_is_passed_and_not_where_it_is_reached, 0,
                        sizeof limits / sizeof *limits);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
