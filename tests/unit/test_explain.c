/*
 * How numbers come about: the language of formulas by hand, the table of ways against all results that there are, every
 * formula against the results of runs, and where inputs are said to come from against files written here.
 */
#define _POSIX_C_SOURCE 200809L
#include "core/formula.h"
#include "evener/charts.h"
#include "evener/explain.h"
#include "evener/keys.h"
#include "folder.h"
#include "trip/formulas.h"
#include "trip_probe.h"

/* ------------------------------------------------------------------------------------------------ formulas */

typedef struct named {
    const char *name;
    double value;
} named;
static const named some[] = {{"two", 2},   {"three", 3},  {"none", (double)NAN},
                             {"a.x.m", 5}, {"a.y.m", -7}, {"a.y.z.m", 11}};

static bool value_of(void *self, evn_formula_name name, size_t index, double *out)
{
    (void)self;
    for (size_t i = 0; i < sizeof some / sizeof *some; i++)
        if (evn_formula_fits(name, some[i].name) && index-- == 0) {
            *out = some[i].value;
            return true;
        }
    return false;
}

static evn_formula_found found_of(const char *formula)
{
    return evn_formula_evaluate(formula, (evn_formula_values){NULL, value_of});
}

static void gives(const char *formula, double expected)
{
    evn_formula_found found = found_of(formula);
    ck_assert_msg(found.sound && fabs(found.value - expected) < 1e-12, "%s gives %g; expected %g", formula, found.value,
                  expected);
}

START_TEST(formulas_give_what_their_signs_mean)
{
    gives("1 + 2 * 3", 7);
    gives("(1 + 2) * 3", 9);
    gives("8 / 4 / 2", 1);
    gives("8 - 4 - 2", 2);
    gives("2 * 3 ^ 2", 18);
    gives("{three} - {two}", 1);
    gives("100*{three}/{two}", 150);
    gives("abs({two} - {three})", 1);
    gives("sum{a.*.m}", 5 - 7);
    gives("greatest{a.*.m}", 5);
    gives("sum{b.*}", 0);
    gives("first({none}, {two})", 2);
    gives("first({absent}, {two} + 1)", 3);
    gives("first({three}, {two})", 3);
    gives("first({none} + 1, {two})", 2);
}
END_TEST

START_TEST(a_formula_says_how_large_its_terms_are)
{
    ck_assert_double_eq_tol(found_of("{three} - {two}").size, 5, 1e-12);
    ck_assert_double_eq_tol(found_of("sum{a.*.m} / {two}").size, 6, 1e-12);
}
END_TEST

START_TEST(what_is_no_formula_or_names_nothing_is_not_sound)
{
    static const char *const wrong[] = {"", "1 +", "(1", "1)", "{two", "{absent}", "2 2", "{two} + {absent}", "x"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        ck_assert_msg(!found_of(wrong[i]).sound, "'%s' is sound", wrong[i]);
    ck_assert(isnan(found_of("greatest{b.*}").value));
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the table */

static bool has_way(const char *key)
{
    const evn_result_way *way;
    for (size_t i = 0; (way = evn_result_way_at(i)); i++)
        if (strcmp(way->key, key) == 0)
            return true;
    return false;
}

START_TEST(every_result_that_a_run_may_have_has_its_way)
{
    evn_quantity what;
    size_t count = 0;
    for (; evn_result_row_at(count, &what); count++)
        ck_assert_msg(has_way(what.key), "nothing says how %s comes about", what.key);
    ck_assert_uint_gt(count, 60);
}
END_TEST

START_TEST(every_way_is_that_of_a_result_or_of_a_mass_and_says_something)
{
    const evn_result_way *way;
    evn_quantity what;
    for (size_t i = 0; (way = evn_result_way_at(i)); i++) {
        bool known = strncmp(way->key, "masses.", 7) == 0 || strncmp(way->key, "limit", 5) == 0;
        for (size_t k = 0; !known && evn_result_row_at(k, &what); k++)
            known = strcmp(what.key, way->key) == 0;
        ck_assert_msg(known, "%s is no result", way->key);
        ck_assert_msg(way->formula && way->formula[0] != '\0', "%s says nothing", way->key);
        ck_assert_msg((way->by == EVN_KNOWN_BY_FORMULA) == (way->within > 0),
                      "%s: a bound without a formula, or a formula "
                      "without",
                      way->key);
        ck_assert_msg(!way->agrees == (way->agrees_within <= 0), "%s: likewise of what agrees", way->key);
    }
}
END_TEST

START_TEST(every_limit_that_may_bind_a_run_or_a_figure_has_its_way)
{
    const char *limit, *label;
    char key[64];
    size_t count = 0, of_runs = 0;
    for (; evn_limits_bound_at(count, &limit, &label); count++) {
        snprintf(key, sizeof key, "limit.%s", limit);
        ck_assert_msg(has_way(key), "nothing says what %s hangs on", key);
    }
    for (; evn_limit_at(of_runs, &limit, &label); of_runs++) {
        snprintf(key, sizeof key, "limit.%s", limit);
        ck_assert_msg(has_way(key), "nothing says what %s hangs on", key);
    }
    ck_assert(count > 10 && of_runs > 7);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ of runs */

typedef struct scene {
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_results *results;
    evn_conditions ask;
    evn_report *report;
} scene;

static scene scene_of(const char *truck, const char *cycle)
{
    scene s = {.truck = load_truck(truck), .cycle = load_cycle(cycle), .report = evn_report_new()};
    s.ask = evn_conditions_default();
    s.ask.load_case.altitude_m = 650;
    s.ask.load_case.temperature_degc = 31;
    evn_rig_prepare(s.truck, &s.ask.load_case, &s.rig, s.report);
    ck_assert_msg(s.rig, "%s", first_finding(s.report));
    evn_drive(s.rig, s.cycle, &s.ask.driving, NULL, &s.results, s.report);
    ck_assert_msg(s.results, "%s", first_finding(s.report));
    return s;
}

static void scene_end(scene *s)
{
    evn_results_free(s->results);
    evn_rig_free(s->rig);
    evn_cycle_free(s->cycle);
    evn_truck_free(s->truck);
    evn_report_free(s->report);
}

static evn_explanation *explained(const scene *s, const char *key)
{
    evn_explained_run run = {s->truck, s->cycle, s->rig, &s->ask, s->results};
    evn_explanation *e = NULL;
    evn_report *report = evn_report_new();
    ck_assert_msg(evn_explain(&run, key, &e, report) == EVN_DONE, "%s: %s", key, first_finding(report));
    ck_assert_uint_gt(evn_explanation_count(e), 0);
    evn_report_free(report);
    return e;
}

/* Of the first row with this key; the explanation must have one. */
static evn_explained row_of(const evn_explanation *e, const char *key)
{
    evn_explained row;
    for (size_t i = 0; evn_explanation_at(e, i, &row); i++)
        if (strcmp(row.key, key) == 0)
            return row;
    ck_abort_msg("%s is no part of the explanation", key);
    return row;
}

typedef struct told {
    size_t formulas, agreements, telling; /* of the formulas, those whose value is a number other than 0 */
} told;

static void hold_checks(const evn_explained *row, const char *truck, told *count)
{
    bool by_formula = row->by == EVN_KNOWN_BY_FORMULA;
    ck_assert_msg(!by_formula || row->again || row->checks > 0, "%s of %s was not worked out", row->key, truck);
    for (size_t k = 0; k < row->checks; k++) {
        const evn_explained_check *c = &row->check[k];
        ck_assert_msg(c->agrees, "%s of %s is %.12g; %s gives %.12g, %g apart; allowed %g", row->key, truck, row->value,
                      c->expression, c->gives, c->difference, c->tolerance);
        ck_assert_msg(!isfinite(row->value) || fabs(c->gives - row->value) <= c->tolerance, "%s", row->key);
    }
    count->formulas += by_formula ? 1 : 0;
    count->agreements += row->checks - (by_formula ? 1 : 0);
    count->telling += by_formula && isfinite(row->value) && row->value != 0 ? 1 : 0;
}

static told hold_all(const char *truck, const char *cycle)
{
    scene s = scene_of(truck, cycle);
    evn_quantity what;
    double value;
    told count = {0};
    for (size_t i = 0; evn_results_at(s.results, i, &what, &value); i++) {
        evn_explanation *e = explained(&s, what.key);
        evn_explained row;
        ck_assert(evn_explanation_at(e, 0, &row));
        ck_assert_str_eq(row.key, what.key);
        ck_assert(row.value == value || (isnan(row.value) && isnan(value)));
        ck_assert_msg(row.formula && row.formula[0] != '\0', "%s", row.key);
        hold_checks(&row, truck, &count);
        evn_explanation_free(e);
    }
    for (size_t i = 0; evn_rig_figure_at(s.rig, i, &what, &value); i++)
        if (strncmp(what.key, "masses.", 7) == 0) {
            evn_explanation *e = explained(&s, what.key);
            evn_explained row;
            ck_assert(evn_explanation_at(e, 0, &row));
            hold_checks(&row, truck, &count);
            evn_explanation_free(e);
        }
    scene_end(&s);
    return count;
}

/* Those of plain words: mean speed, use by km and t km, net battery energy, braking share, two peaks, two of gear
 * changes, two masses, air density, balance error, auxiliaries, eight sums of units, nine masses. */
START_TEST(every_formula_gives_the_result_of_every_truck)
{
    static const char *const trucks[] = {"tests/trucks/four-speed.yaml",
                                         "tests/trucks/two-units.yaml",
                                         "tests/trucks/tandem-disconnect.yaml",
                                         "tests/trucks/cooled.yaml",
                                         "tests/trucks/friction-brakes.yaml",
                                         "tests/trucks/retarder.yaml",
                                         "tests/trucks/take-off.yaml",
                                         "tests/vehicles/trucks/rigid-6x2-central.yaml",
                                         "tests/vehicles/trucks/tractor-6x4-two-eaxles.yaml"};
    for (size_t i = 0; i < sizeof trucks / sizeof *trucks; i++) {
        told count = hold_all(trucks[i], HILL);
        ck_assert_msg(count.formulas >= 26, "%s: %zu formulas were worked out", trucks[i], count.formulas);
        ck_assert_msg(count.telling >= 20, "%s: %zu of them told something", trucks[i], count.telling);
        ck_assert_msg(count.agreements >= 4, "%s: %zu other sums were held", trucks[i], count.agreements);
    }
}
END_TEST

/* What is explained with another load case than it was driven with does not agree, and that is said. */
START_TEST(a_formula_that_does_not_give_the_value_is_told_so)
{
    scene s = scene_of("tests/trucks/four-speed.yaml", HILL);
    scene other = s;
    other.ask.load_case.payload_kg = 10000;
    evn_explanation *e = explained(&other, "payload_kg");
    evn_explained row = row_of(e, "payload_kg");
    ck_assert(!row.check[0].agrees);
    ck_assert_double_eq_tol(row.check[0].gives, 10000, 1e-9);
    ck_assert_double_eq_tol(row.check[0].difference, 10000 - 22800, 1e-9);
    evn_explanation_free(e);
    scene_end(&s);
}
END_TEST

START_TEST(what_a_drive_unit_loses_is_explained_by_its_own_parts)
{
    scene s = scene_of("tests/trucks/two-units.yaml", HILL);
    size_t own = 0;
    for (size_t u = 0; u < evn_rig_unit_count(s.rig); u++) {
        char key[200], prefix[100];
        evn_explained row;
        snprintf(prefix, sizeof prefix, "drive_units.%s.", evn_rig_unit_name(s.rig, u));
        snprintf(key, sizeof key, "%smotor_losses_kwh", prefix);
        evn_explanation *e = explained(&s, key);
        for (size_t i = 0; evn_explanation_at(e, i, &row); i++, own++)
            ck_assert_msg(strncmp(row.key, prefix, strlen(prefix)) == 0, "%s explains %s", row.key, key);
        evn_explanation_free(e);
    }
    ck_assert_uint_gt(own, 20);
    scene_end(&s);
}
END_TEST

START_TEST(what_limits_a_run_and_what_the_truck_can_are_explained_by_the_limit)
{
    scene s = scene_of(TRACTOR, HILL);
    evn_limits *limits = NULL;
    evn_limitation longest;
    evn_limits_figure figure;
    char key[64];
    size_t bound = 0;
    evn_limits_find(s.rig, &s.ask.driving, &(evn_limits_how){.only_forces = true}, &limits, s.report);
    ck_assert_ptr_nonnull(limits);
    evn_explained_run run = {s.truck, s.cycle, s.rig, &s.ask, s.results, limits};
    ck_assert(evn_results_limitation_at(s.results, 0, &longest));
    snprintf(key, sizeof key, "limited_by.%s", longest.limit);
    evn_explanation *e = NULL;
    ck_assert_int_eq(evn_explain(&run, key, &e, s.report), EVN_DONE);
    ck_assert_double_eq_tol(row_of(e, key).value, longest.duration_s, 1e-12);
    snprintf(key, sizeof key, "limit.%s", longest.limit);
    ck_assert_uint_gt(row_of(e, key).inputs, 0);
    evn_explanation_free(e);
    for (size_t i = 0; evn_limits_at(limits, i, &figure); i++) {
        ck_assert_int_eq(evn_explain(&run, figure.what.key, &e, s.report), EVN_DONE);
        evn_explained row = row_of(e, figure.what.key);
        ck_assert(row.value == figure.value || (isnan(row.value) && isnan(figure.value)));
        ck_assert_int_eq(row.by, EVN_KNOWN_AS_SOUGHT);
        ck_assert_msg(row.inputs == (figure.limit ? 1 : 0), "%s: %zu inputs", figure.what.key, row.inputs);
        bound += row.inputs;
        evn_explanation_free(e);
    }
    ck_assert_uint_gt(bound, 20);
    evn_limits_free(limits);
    scene_end(&s);
}
END_TEST

START_TEST(a_run_that_ended_early_is_explained_alike)
{
    scene s = scene_of(TRACTOR, HILL);
    evn_results *half = NULL;
    evn_conditions ask = s.ask;
    ask.load_case.start_soc = 0.0601;
    evn_rig *rig = NULL;
    evn_rig_prepare(s.truck, &ask.load_case, &rig, s.report);
    ck_assert_msg(rig, "%s", first_finding(s.report));
    ck_assert_int_eq(evn_drive(rig, s.cycle, &ask.driving, NULL, &half, s.report), EVN_ANSWER_NO);
    scene early = s;
    early.rig = rig;
    early.results = half;
    early.ask = ask;
    evn_explanation *e = explained(&early, "kwh_per_km");
    evn_explained row = row_of(e, "kwh_per_km");
    ck_assert(row.checks == 1 && row.check[0].agrees);
    evn_explanation_free(e);
    evn_results_free(half);
    evn_rig_free(rig);
    scene_end(&s);
}
END_TEST

START_TEST(a_truck_with_scaled_motors_tells_masses_without_a_formula_that_would_not_hold)
{
    static const char *const set[] = {"drive_units.rear.motors.a.scale={torque: 0.8}", NULL};
    scene s = scene_of(TRACTOR, HILL);
    evn_truck *scaled = NULL;
    evn_rig *rig = NULL;
    ck_assert_int_eq(evn_truck_load_with(TRACTOR, &(evn_load){.set = set}, &scaled, s.report), EVN_DONE);
    evn_rig_prepare(scaled, &s.ask.load_case, &rig, s.report);
    ck_assert_msg(rig, "%s", first_finding(s.report));
    evn_explained_run run = {scaled, s.cycle, rig, &s.ask, s.results};
    evn_explanation *e = NULL;
    ck_assert_int_eq(evn_explain(&run, "masses.machines_kg", &e, s.report), EVN_DONE);
    evn_explained row = row_of(e, "masses.machines_kg");
    ck_assert_int_eq(row.by, EVN_KNOWN_FROM_TRUCK);
    ck_assert_uint_eq(row.checks, 0);
    row = row_of(e, "drive_units.rear.motors.a.scale.torque");
    ck_assert_int_eq(row.written->origin, EVN_FROM_SET);
    evn_explanation_free(e);
    evn_rig_free(rig);
    evn_truck_free(scaled);
    scene_end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ words and order */

START_TEST(use_per_kilometre_is_told_from_energy_and_distance_down_to_the_parts)
{
    scene s = scene_of("tests/trucks/four-speed.yaml", HILL);
    evn_explanation *e = explained(&s, "kwh_per_km");
    evn_explained row;
    ck_assert(evn_explanation_at(e, 0, &row));
    ck_assert_str_eq(row.formula, "net battery energy / distance");
    ck_assert_uint_eq(row.inputs, 2);
    ck_assert(evn_explanation_at(e, 1, &row));
    ck_assert_str_eq(row.key, "battery_kwh");
    ck_assert_str_eq(row.formula, "discharged - regenerated");
    ck_assert_str_eq(row.check[1].formula, "sum of all lines of the energy balance");
    ck_assert_uint_eq(row.depth, 1);
    row = row_of(e, "battery.resistance_ohm");
    ck_assert_int_eq(row.by, EVN_KNOWN_AS_WRITTEN);
    ck_assert_uint_eq(row.depth, 4);
    evn_explanation_free(e);
    e = explained(&s, "drive_units.rear.motor_losses_kwh");
    row = row_of(e, "drive_units.rear.motors.a.loss.constant_w");
    ck_assert_double_eq_tol(row.value, 115, 1e-12);
    evn_explanation_free(e);
    scene_end(&s);
}
END_TEST

/* Rows that count so many inputs have so many rows one deeper below them, and all rows are below the first. */
START_TEST(inputs_are_the_rows_one_deeper)
{
    scene s = scene_of("tests/trucks/tandem-disconnect.yaml", HILL);
    evn_explanation *e = explained(&s, "kwh_per_t_km");
    evn_explained row, below;
    for (size_t i = 0; evn_explanation_at(e, i, &row); i++) {
        size_t inputs = 0;
        ck_assert((i == 0) == (row.depth == 0));
        for (size_t k = i + 1; evn_explanation_at(e, k, &below) && below.depth > row.depth; k++)
            inputs += below.depth == row.depth + 1 ? 1 : 0;
        ck_assert_msg(inputs == row.inputs, "%s counts %zu inputs and has %zu", row.key, row.inputs, inputs);
    }
    evn_explanation_free(e);
    scene_end(&s);
}
END_TEST

START_TEST(what_was_asked_is_told_apart_from_what_is_so_by_default)
{
    scene s = scene_of("tests/trucks/four-speed.yaml", HILL);
    evn_explanation *e = explained(&s, "air_density_kg_m3");
    evn_explained row = row_of(e, "load_case.altitude_m");
    ck_assert_int_eq(row.by, EVN_KNOWN_AS_ASKED);
    ck_assert(!row.by_default && row.value == 650);
    row = row_of(e, "load_case.air_density_kg_m3");
    ck_assert(row.by_default && isnan(row.value));
    ck_assert_str_eq(row_of(e, "air_density_kg_m3").source, "ISO 2533");
    evn_explanation_free(e);
    e = explained(&s, "delay_s");
    row = row_of(e, "driving.driver");
    ck_assert_str_eq(row.word, "human");
    ck_assert(row.by_default);
    evn_explanation_free(e);
    scene_end(&s);
}
END_TEST

START_TEST(a_key_that_no_result_has_is_told_the_nearest)
{
    scene s = scene_of("tests/trucks/four-speed.yaml", HILL);
    evn_explained_run run = {s.truck, s.cycle, s.rig, &s.ask, s.results};
    evn_report *report = evn_report_new();
    evn_explanation *e = NULL;
    evn_finding finding;
    ck_assert_int_eq(evn_explain(&run, "kwh_per_kn", &e, report), EVN_BAD_INPUT);
    ck_assert_ptr_null(e);
    ck_assert(evn_report_at(report, 0, &finding));
    ck_assert_str_eq(finding.fault, "unknown_key");
    ck_assert_ptr_nonnull(strstr(finding.text, "nearest is 'kwh_per_km'"));
    evn_report_free(report);
    scene_end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ sources */

#define BODY                                                                                                           \
    "body: {mass_kg: 4200, centre_behind_front_axle_m: 0.9, centre_height_m: 1.1, drag_area_m2: 5.4, "                 \
    "permitted_gross_kg: 42000}\n"
#define AXLES                                                                                                          \
    "axles:\n  front: {behind_front_axle_m: 0, support: front, tyres: 2, mass_kg: 620, permitted_kg: 8000, tyre: "     \
    "{use: "                                                                                                           \
    "tyre.yaml}}\n"                                                                                                    \
    "  drive: {behind_front_axle_m: 3.8, support: rear, tyres: 4, mass_kg: 820, permitted_kg: 11500, tyre: {use: "     \
    "tyre.yaml, inertia_kg_m2: 15}}\n"

static void write_truck(void)
{
    write_file("tyre.yaml",
               "source: measured on a drum\nrolling_resistance_coefficient: 0.006\nrolling_radius_m: 0.5\n");
    write_file("base.yaml",
               "source: from the drawing office\ninvented: true\n" BODY AXLES
               "payload: {mass_kg: 8000, centre_behind_m: 3}\nbattery: {capacity_ah: 750, resistance_ohm: 0.04, "
               "open_circuit: {soc: [0, 1], voltage_v: [580, 741]}, discharge_limit_kw: 600, charge_limit_kw: "
               "400, mass_kg: 3500, source: the maker's sheet}\n");
    write_file(
        "truck.yaml",
        "extends: base.yaml\nname: T\nsource: the layout by hand\nauxiliaries: {power_kw: 5}\n"
        "drive_units:\n  rear:\n    axles: [2]\n    motors:\n      a: {peak_torque_nm: 2400, peak_power_kw: 360, "
        "top_speed_rpm: 3500, rotor_inertia_kg_m2: 0.65, mass_kg: 250, loss: {constant_w: 110, speed_w_per_rad_s: "
        "5.3, speed_squared_w_per_rad2_s2: 0.042, torque_squared_w_per_nm2: 0.0041}, field_weakening: "
        "{characteristic_current_share: 0.8}, inverter: {constant_w: 360, current_w: 2900, current_squared_w: 2200, "
        "mass_kg: 30}}\n    path: [mesh: {ratio: 8, efficiency: 0.985, mass_kg: 120}, differential: {efficiency: "
        "0.998, mass_kg: 40}, wheel_end: {drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [12, 20]}}]\n");
}

static const char *source_in(const evn_truck *truck, const char *path)
{
    evn_value v;
    for (size_t i = 0; evn_truck_value_at(truck, i, &v); i++)
        if (strcmp(v.path, path) == 0)
            return v.source;
    ck_abort_msg("no value %s", path);
    return NULL;
}

START_TEST(every_value_has_the_source_of_the_file_or_part_that_holds_it)
{
    char path[PATH_BYTES];
    static const char *const set[] = {"axles.front.mass_kg=600", NULL};
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    folder_begin();
    write_truck();
    evn_truck_load_with(in_folder(path, "truck.yaml"), &(evn_load){.set = set}, &truck, report);
    ck_assert_msg(truck, "%s", first_finding(report));
    ck_assert_str_eq(source_in(truck, "body.mass_kg"), "from the drawing office");
    ck_assert_str_eq(source_in(truck, "auxiliaries.power_kw"), "the layout by hand");
    ck_assert_str_eq(source_in(truck, "axles.drive.tyre.rolling_radius_m"), "measured on a drum");
    ck_assert_str_eq(source_in(truck, "axles.drive.tyre.inertia_kg_m2"), "from the drawing office");
    ck_assert_str_eq(source_in(truck, "battery.capacity_ah"), "the maker's sheet");
    ck_assert_str_eq(source_in(truck, "battery.open_circuit.soc"), "the maker's sheet");
    ck_assert_str_eq(source_in(truck, "adhesion.driving"), "common practice, no source");
    ck_assert_ptr_null(source_in(truck, "axles.front.mass_kg"));
    evn_truck_free(truck);
    evn_report_free(report);
    empty_folder(test_folder, 0);
    ck_assert_int_eq(rmdir(test_folder), 0);
}
END_TEST

/* Losses, drags and curves of a battery are often from another paper than the part that holds them. */
START_TEST(objects_within_a_part_have_a_source_of_their_own)
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    folder_begin();
    write_truck();
    write_file(
        "own.yaml",
        "extends: truck.yaml\nsource: the layout anew\n"
        "battery: {open_circuit: {soc: [0, 1], voltage_v: [590, 740], source: a slow discharge}, charge_taper: {soc: "
        "[0.8, 0.9], share: [1, 0.5], source: a charging log}}\n"
        "drive_units:\n  rear:\n    motors:\n      a: {loss: {constant_w: 120, speed_w_per_rad_s: 5, source: a "
        "test bench}, field_weakening: {source: an open terminal run}}\n    path: [mesh: {ratio: 8, efficiency: 0.985, "
        "drag: {at: wheel_side, speed_rpm: [0], "
        "torque_nm: [9], source: run down}}, differential: {efficiency: 0.998}, wheel_end: {}]\n");
    evn_truck_load_with(in_folder(path, "own.yaml"), &(evn_load){.set = NULL}, &truck, report);
    ck_assert_msg(truck, "%s", first_finding(report));
    ck_assert_str_eq(source_in(truck, "battery.open_circuit.voltage_v"), "a slow discharge");
    ck_assert_str_eq(source_in(truck, "battery.charge_taper.share"), "a charging log");
    ck_assert_str_eq(source_in(truck, "battery.capacity_ah"), "the maker's sheet");
    ck_assert_str_eq(source_in(truck, "drive_units.rear.motors.a.loss.constant_w"), "a test bench");
    ck_assert_str_eq(source_in(truck, "drive_units.rear.motors.a.field_weakening.characteristic_current_share"),
                     "the layout by hand");
    ck_assert_str_eq(source_in(truck, "drive_units.rear.motors.a.loss.torque_squared_w_per_nm2"), "the layout by hand");
    ck_assert_str_eq(source_in(truck, "drive_units.rear.path[0].mesh.drag.torque_nm"), "run down");
    ck_assert_str_eq(source_in(truck, "drive_units.rear.path[0].mesh.ratio"), "the layout anew");
    evn_truck_free(truck);
    evn_report_free(report);
    empty_folder(test_folder, 0);
    ck_assert_int_eq(rmdir(test_folder), 0);
}
END_TEST

static Suite *explain_suite(void)
{
    Suite *suite = suite_create("explain");
    TCase *tests = tcase_create("explain");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, formulas_give_what_their_signs_mean);
    tcase_add_test(tests, a_formula_says_how_large_its_terms_are);
    tcase_add_test(tests, what_is_no_formula_or_names_nothing_is_not_sound);
    tcase_add_test(tests, every_result_that_a_run_may_have_has_its_way);
    tcase_add_test(tests, every_way_is_that_of_a_result_or_of_a_mass_and_says_something);
    tcase_add_test(tests, every_limit_that_may_bind_a_run_or_a_figure_has_its_way);
    tcase_add_test(tests, what_limits_a_run_and_what_the_truck_can_are_explained_by_the_limit);
    tcase_add_test(tests, every_formula_gives_the_result_of_every_truck);
    tcase_add_test(tests, a_formula_that_does_not_give_the_value_is_told_so);
    tcase_add_test(tests, what_a_drive_unit_loses_is_explained_by_its_own_parts);
    tcase_add_test(tests, a_run_that_ended_early_is_explained_alike);
    tcase_add_test(tests, a_truck_with_scaled_motors_tells_masses_without_a_formula_that_would_not_hold);
    tcase_add_test(tests, use_per_kilometre_is_told_from_energy_and_distance_down_to_the_parts);
    tcase_add_test(tests, inputs_are_the_rows_one_deeper);
    tcase_add_test(tests, what_was_asked_is_told_apart_from_what_is_so_by_default);
    tcase_add_test(tests, a_key_that_no_result_has_is_told_the_nearest);
    tcase_add_test(tests, every_value_has_the_source_of_the_file_or_part_that_holds_it);
    tcase_add_test(tests, objects_within_a_part_have_a_source_of_their_own);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    SRunner *runner = srunner_create(explain_suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
