/* Masses, axle loads and the rollover threshold against what is published of rules and against closed forms. */
#define _POSIX_C_SOURCE 200809L
#include "api/objects.h"
#include "checked.h"
#include "site/payload_left.h"
#include "site/rollover.h"
#include <string.h>

/* Sources of the figures of the European set: public tables of the directive, not its own text. */
#define EU "96/53/EC Annex I, in public tables of axle loads and of vehicle weights"
#define EU_PARTLY "96/53/EC Annex I, from memory"

static evn_rule_verdict verdict[EVN_VERDICTS_MOST];

static evn_rules *rules_of(const char *path)
{
    evn_report *report = evn_report_new();
    evn_rules *rules = NULL;
    evn_rules_load(path, &rules, report);
    evn_finding first = {.text = ""};
    evn_report_at(report, 0, &first);
    ck_assert_msg(rules && evn_report_count(report) == 0, "%s", first.text);
    evn_report_free(report);
    return rules;
}

/* ------------------------------------------------------------------------------------------------ by hand */

/* A vehicle of axles that nothing is on: driven ones bear twin tyres on air. */
static evn_weighed axles_at(size_t motor, const double place_m[], const char *driven, size_t trailer, double kingpin_m,
                            double apart_m)
{
    evn_weighed s = {.motor_axles = motor,
                     .count = motor + trailer,
                     .has_trailer = trailer > 0,
                     .axles_stated = true,
                     .spacing_stated = true,
                     .extra_kg = 0};
    for (size_t k = 0; k < motor; k++) {
        bool is_driven = driven[k] == 'd';
        s.axle[k] = (evn_weighed_axle){"own", place_m[k], 1000, false, is_driven, is_driven, EVN_IS_NOT};
        s.motor_kg += 1000;
    }
    for (size_t k = 0; k < trailer; k++) {
        s.axle[motor + k] =
            (evn_weighed_axle){"trailer", kingpin_m + (double)k * apart_m, 1000, true, false, false, EVN_IS};
        s.trailer_kg += 1000;
    }
    return s;
}

static void set_air(evn_weighed *s, evn_known_as air)
{
    for (size_t k = 0; k < s->motor_axles; k++)
        s->axle[k].air = air;
}

/* The limit that the set has for these axles; 0 axles: for the vehicle or all of this kind of clause. */
static double limit_of(const evn_rules *rules, const evn_weighed *s, evn_clause_limits kind, size_t first, size_t axles)
{
    const evn_clause_file *clause = rules->file->clauses.item;
    double limit = (double)NAN;
    for (size_t k = 0, n = evn_rules_judge(rules->file, s, EVN_AT_MOST_AS_LOADED, verdict); k < n; k++)
        if (clause[verdict[k].clause].limits == (int)kind && verdict[k].axles == axles &&
            (axles == 0 || verdict[k].first == first)) {
            ck_assert_msg(isnan(limit), "two limits for one");
            limit = verdict[k].limit;
        }
    return limit;
}

static double tandem_limit(const evn_rules *rules, double apart_m, evn_known_as air, double axle_kg)
{
    const double place_m[] = {0, 4, 4 + apart_m};
    evn_weighed s = axles_at(3, place_m, "odd", 0, 0, 0);
    set_air(&s, air);
    s.axle[1].load_kg = s.axle[2].load_kg = axle_kg;
    return limit_of(rules, &s, EVN_CLAUSE_GROUP_LOAD, 1, 2);
}

static double trailer_group_limit(const evn_rules *rules, size_t axles, double apart_m)
{
    const double place_m[] = {0, 3.8};
    evn_weighed s = axles_at(2, place_m, "od", axles, 9, apart_m);
    return limit_of(rules, &s, EVN_CLAUSE_GROUP_LOAD, 2, axles);
}

START_TEST(eu_axle_loads_are_those_of_the_directive)
{
    const published from = {EU, READ_IN_SOURCE};
    const double place_m[] = {0, 3.8};
    evn_rules *eu = rules_of("vehicles/rules/eu-96-53.yaml");
    evn_weighed s = axles_at(2, place_m, "od", 0, 0, 0);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_AXLE_LOAD, 1, 1), ABSOLUTE, 11500, 0, "kg", "driven axle");
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_AXLE_LOAD, 0, 1), ABSOLUTE, 10000, 0, "kg", "other axle");
    check_value(&from, tandem_limit(eu, 0.99, EVN_IS, 5000), ABSOLUTE, 11500, 0, "kg", "motor tandem, 0.99 m");
    check_value(&from, tandem_limit(eu, 1.0, EVN_IS, 5000), ABSOLUTE, 16000, 0, "kg", "motor tandem, 1.0 m");
    check_value(&from, tandem_limit(eu, 1.29, EVN_IS, 5000), ABSOLUTE, 16000, 0, "kg", "motor tandem, 1.29 m");
    check_value(&from, tandem_limit(eu, 1.35, EVN_IS_NOT, 9600), ABSOLUTE, 18000, 0, "kg",
                "motor tandem on steel, 1.35 m");
    check_value(&from, tandem_limit(eu, 1.35, EVN_IS, 9600), ABSOLUTE, 19000, 0, "kg", "motor tandem on air, 1.35 m");
    check_value(&from, tandem_limit(eu, 1.35, EVN_IS_NOT, 9500), ABSOLUTE, 19000, 0, "kg",
                "motor tandem on steel, 1.35 m, 9.5 t an axle");
    check_value(&from, trailer_group_limit(eu, 2, 0.95), ABSOLUTE, 11000, 0, "kg", "trailer tandem, 0.95 m");
    check_value(&from, trailer_group_limit(eu, 2, 1.2), ABSOLUTE, 16000, 0, "kg", "trailer tandem, 1.2 m");
    check_value(&from, trailer_group_limit(eu, 2, 1.31), ABSOLUTE, 18000, 0, "kg", "trailer tandem, 1.31 m");
    check_value(&from, trailer_group_limit(eu, 2, 1.81), ABSOLUTE, 20000, 0, "kg", "trailer tandem, 1.81 m");
    check_value(&from, trailer_group_limit(eu, 3, 1.29), ABSOLUTE, 21000, 0, "kg", "trailer tri-axle, 1.29 m");
    check_value(&from, trailer_group_limit(eu, 3, 1.35), ABSOLUTE, 24000, 0, "kg", "trailer tri-axle, 1.35 m");
    evn_rules_free(eu);
}
END_TEST

static const double FOUR_M[] = {0, 1.95, 5.05, 6.4};

static evn_weighed rigid(size_t axles, double extra_kg)
{
    static const double three_m[] = {0, 4.5, 5.85};
    evn_weighed s = axles_at(axles, axles == 4 ? FOUR_M : three_m, axles == 4 ? "oodd" : "odd", 0, 0, 0);
    set_air(&s, EVN_IS);
    s.extra_kg = extra_kg;
    return s;
}

static evn_weighed train(size_t motor, size_t trailer, double apart_m, double extra_kg)
{
    static const double place_m[] = {0, 3.3, 4.65};
    evn_weighed s = axles_at(motor, place_m, motor == 2 ? "od" : "odo", trailer, 9, apart_m);
    s.extra_kg = extra_kg;
    return s;
}

START_TEST(eu_masses_are_those_of_the_directive_with_its_allowance)
{
    const published from = {EU, READ_IN_SOURCE}, memory = {EU_PARTLY, FROM_MEMORY};
    const published allowed = {"public table of a member state's masses, after 96/53/EC as amended by 2019/1242",
                               READ_IN_SOURCE};
    evn_rules *eu = rules_of("vehicles/rules/eu-96-53.yaml");
    evn_weighed s = rigid(2, 0);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 18000, 0, "kg", "two axles");
    s = rigid(2, 3000);
    check_value(&allowed, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 20000, 0, "kg",
                "two axles, zero emission, 3 t more");
    s = rigid(2, 1500);
    check_value(&allowed, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 19500, 0, "kg",
                "two axles, zero emission, 1.5 t more");
    s = rigid(3, 0);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 26000, 0, "kg", "three axles on air");
    s.axle[1].load_kg = 9600;
    set_air(&s, EVN_IS_NOT);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 25000, 0, "kg",
                "three axles on steel, 9.6 t on one");
    s = rigid(3, 3000);
    check_value(&allowed, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 28000, 0, "kg",
                "three axles, zero emission");
    s = rigid(4, 3000);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_MOTOR_MASS, 0, 0), ABSOLUTE, 32000, 0, "kg", "four axles");
    s = train(2, 2, 1.31, 0);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_WHOLE_MASS, 0, 0), ABSOLUTE, 36000, 0, "kg", "two and two axles");
    s.extra_kg = 2400;
    check_value(&allowed, limit_of(eu, &s, EVN_CLAUSE_WHOLE_MASS, 0, 0), ABSOLUTE, 38000, 0, "kg",
                "two and two axles, zero emission");
    s = train(2, 2, 1.9, 0);
    set_air(&s, EVN_IS);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_WHOLE_MASS, 0, 0), ABSOLUTE, 38000, 0, "kg",
                "two and two axles, 1.9 m apart, on air");
    s = train(2, 3, 1.31, 0);
    check_value(&from, limit_of(eu, &s, EVN_CLAUSE_WHOLE_MASS, 0, 0), ABSOLUTE, 40000, 0, "kg", "five axles");
    s.intermodal = true;
    check_value(&memory, limit_of(eu, &s, EVN_CLAUSE_WHOLE_MASS, 0, 0), ABSOLUTE, 42000, 0, "kg",
                "two and three axles, intermodal");
    s = train(3, 3, 1.31, 0);
    s.intermodal = true;
    check_value(&memory, limit_of(eu, &s, EVN_CLAUSE_WHOLE_MASS, 0, 0), ABSOLUTE, 44000, 0, "kg",
                "three and three axles, intermodal");
    evn_rules_free(eu);
}
END_TEST

static const evn_rule_verdict *verdict_on(const evn_rules *rules, const evn_weighed *s, evn_clause_limits kind)
{
    const evn_clause_file *clause = rules->file->clauses.item;
    for (size_t k = 0, n = evn_rules_judge(rules->file, s, EVN_AT_MOST_AS_LOADED, verdict); k < n; k++)
        if (clause[verdict[k].clause].limits == (int)kind)
            return &verdict[k];
    return NULL;
}

START_TEST(eu_driven_share_and_length_rule_are_those_of_the_directive)
{
    const published from = {EU ", notes", READ_IN_SOURCE};
    evn_rules *eu = rules_of("vehicles/rules/eu-96-53.yaml");
    evn_weighed s = train(2, 3, 1.31, 0);
    s.axle[1].load_kg = 10000;
    s.motor_kg = 17000;
    s.trailer_kg = 23000;
    const evn_rule_verdict *share = verdict_on(eu, &s, EVN_CLAUSE_DRIVEN_SHARE);
    check_value(&from, share->limit, ABSOLUTE, 25, 0, "%", "least share on driven axles");
    check_value(&from, share->actual, ABSOLUTE, 25, 1e-12, "%", "10 t of 40 t");
    ck_assert_int_eq(share->met, EVN_IS);
    s.axle[1].load_kg = 9999;
    ck_assert_int_eq(verdict_on(eu, &s, EVN_CLAUSE_DRIVEN_SHARE)->met, EVN_IS_NOT);
    s = rigid(4, 0);
    s.motor_kg = 32000;
    const evn_rule_verdict *length = verdict_on(eu, &s, EVN_CLAUSE_MASS_PER_LENGTH);
    check_value(&from, length->limit * 6.4, RELATIVE, 32000, 1e-12, "kg",
                "four axles over 6.4 m: five times the metres");
    ck_assert_int_eq(length->met, EVN_IS);
    s.axle[3].place_m = 6.39;
    ck_assert_int_eq(verdict_on(eu, &s, EVN_CLAUSE_MASS_PER_LENGTH)->met, EVN_IS_NOT);
    evn_rules_free(eu);
}
END_TEST

START_TEST(what_is_not_known_of_a_vehicle_is_told_and_not_guessed)
{
    evn_rules *eu = rules_of("vehicles/rules/eu-96-53.yaml");
    const double place_m[] = {0, 4, 5.35};
    evn_weighed s = axles_at(3, place_m, "odd", 0, 0, 0);
    set_air(&s, EVN_IS_NOT_KNOWN);
    s.axle[1].load_kg = s.axle[2].load_kg = 9600;
    const evn_rule_verdict *tandem = verdict_on(eu, &s, EVN_CLAUSE_GROUP_LOAD);
    ck_assert_double_eq(tandem->limit, 18000);
    ck_assert_int_eq(tandem->met, EVN_IS_NOT);
    ck_assert_ptr_nonnull(tandem->missing);
    s = train(2, 3, 1.31, 0);
    s.spacing_stated = false;
    tandem = verdict_on(eu, &s, EVN_CLAUSE_GROUP_LOAD);
    ck_assert_int_eq(tandem->met, EVN_IS_NOT_KNOWN);
    ck_assert_str_eq(tandem->missing, "trailer.axle_spacing_m");
    s = train(2, 0, 0, (double)NAN);
    s.has_trailer = true;
    s.axles_stated = false;
    s.trailer_kg = 20000;
    const evn_rule_verdict *whole = verdict_on(eu, &s, EVN_CLAUSE_WHOLE_MASS);
    ck_assert_int_eq(whole->met, EVN_IS_NOT_KNOWN);
    ck_assert_str_eq(whole->missing, "trailer.axles");
    ck_assert_str_eq(verdict_on(eu, &s, EVN_CLAUSE_MOTOR_MASS)->missing, "body.zero_emission_extra_kg");
    evn_rules_free(eu);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bridge formula */

#define KG_PER_LB 0.45359237
#define M_PER_FT 0.3048

START_TEST(bridge_formula_gives_the_published_table)
{
    const published read = {"W = 500 (LN/(N-1) + 12N + 36), examples of the federal bridge formula", READ_IN_SOURCE};
    const published table = {"W = 500 (LN/(N-1) + 12N + 36), to the nearest 500 lb", RECOMPUTED};
    static const struct row {
        size_t n;
        double feet, lb;
        bool seen;
    } rows[] = {{2, 4, 34000, true},   {5, 48, 78000, true},  {5, 51, 80000, true},  {4, 37, 66500, true},
                {4, 36, 66000, true},  {4, 38, 67500, true},  {4, 39, 68000, false}, {2, 9, 39000, false},
                {3, 20, 51000, false}, {5, 60, 85500, false}, {6, 60, 90000, false}, {7, 60, 95000, false}};
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++)
        check_value(rows[k].seen ? &read : &table,
                    evn_bridge_formula_kg(rows[k].feet * M_PER_FT, rows[k].n) / KG_PER_LB, RELATIVE, rows[k].lb, 1e-12,
                    "lb", "%zu axles over %g ft", rows[k].n, rows[k].feet);
    const double tandems_m[] = {0, 1.3, 9.7, 11.0}, spread_m[] = {0, 3, 8, 11.0};
    evn_weighed row = axles_at(4, tandems_m, "oodd", 0, 0, 0);
    check_value(&read, evn_bridge_row_kg(&row, 0, 4) / KG_PER_LB, RELATIVE, 68000, 1e-12, "lb",
                "two tandems over 36 ft");
    row = axles_at(4, spread_m, "oodd", 0, 0, 0);
    check_value(&read, evn_bridge_row_kg(&row, 0, 4) / KG_PER_LB, RELATIVE, 66000, 1e-12, "lb",
                "four axles over 36 ft");
    const published limits = {"23 CFR 658.17, in public answers on it", READ_IN_SOURCE};
    evn_rules *us = rules_of("vehicles/rules/us-bridge-formula.yaml");
    const double place_m[] = {0, 4, 5.3};
    evn_weighed s = axles_at(3, place_m, "odd", 0, 0, 0);
    check_value(&limits, limit_of(us, &s, EVN_CLAUSE_AXLE_LOAD, 0, 1) / KG_PER_LB, RELATIVE, 20000, 1e-5, "lb", "axle");
    const evn_rule_verdict *gross = verdict_on(us, &s, EVN_CLAUSE_WHOLE_MASS);
    check_value(&limits, gross->limit / KG_PER_LB, RELATIVE, 80000, 1e-5, "lb", "gross");
    check_value(&limits, verdict_on(us, &s, EVN_CLAUSE_GROUP_LOAD)->limit / KG_PER_LB, RELATIVE, 34000, 1e-5, "lb",
                "tandem");
    evn_rules_free(us);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ at rest */

static const char *const trucks[] = {
    "vehicles/trucks/tractor-4x2-central.yaml", "vehicles/trucks/tractor-6x2-eaxle.yaml",
    "vehicles/trucks/rigid-6x2-central.yaml",   "vehicles/trucks/tipper-8x2-eaxle.yaml",
    "vehicles/trucks/tipper-8x4-central.yaml",  "vehicles/trucks/tractor-6x4-two-eaxles.yaml"};

static evn_truck *truck_of(const char *path, const char *const *sets)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_truck_load_with(path, &(evn_load){.set = sets}, &truck, report);
    evn_finding first = {.text = ""};
    evn_report_at(report, 0, &first);
    ck_assert_msg(truck, "%s", first.text);
    evn_report_free(report);
    return truck;
}

/* Sum of moments of what stands on the road and of what is carried about the front axle, over the greatest of them. */
static double moment_left(const evn_truck_file *t, const evn_at_rest *at)
{
    const evn_axle_file *axle = t->axles.item;
    const evn_coupling_file *coupling = t->drawbar ? t->drawbar : t->fifth_wheel;
    double carried = at->truck.kg * at->truck.x_m, held = 0;
    for (size_t k = 0; k < at->truck_axles; k++)
        held += at->load_kg[k] * axle[k].behind_front_axle_m;
    if (t->trailer)
        carried += (at->trailer.kg - at->load_kg[at->truck_axles]) * coupling->behind_front_axle_m;
    return (held - carried) / carried;
}

static void check_at_rest(const char *name, const evn_truck_file *t, double payload_kg)
{
    const published from = {"static moment balance", CLOSED_FORM};
    evn_unit_masses masses[EVN_UNITS_MAX];
    evn_at_rest at;
    ck_assert(evn_truck_unit_masses(t, masses));
    evn_truck_at_rest(t, masses, payload_kg, &at);
    double sum = 0, mass = at.truck.kg + at.trailer.kg;
    for (size_t k = 0; k < at.count; k++)
        sum += at.load_kg[k];
    check_value(&from, sum / mass, RELATIVE, 1, 1e-9, "1", "%s, %.0f kg: sum of reactions over weight", name,
                payload_kg);
    check_value(&from, moment_left(t, &at), ABSOLUTE, 0, 1e-9, "1", "%s, %.0f kg: moments about the front axle", name,
                payload_kg);
    if (t->trailer && isnan(t->trailer->front_axles_behind_kingpin_m))
        check_value(&from, at.load_kg[at.truck_axles] * t->trailer->axles_behind_kingpin_m, RELATIVE,
                    at.trailer.kg * at.trailer.x_m, 1e-9, "kg m", "%s, %.0f kg: moments about the kingpin", name,
                    payload_kg);
}

START_TEST(reactions_balance_weight_and_moments)
{
    evn_truck *truck = truck_of(trucks[_i], NULL);
    check_at_rest(strrchr(trucks[_i], '/') + 1, truck->file, 0);
    check_at_rest(strrchr(trucks[_i], '/') + 1, truck->file, truck->file->payload->mass_kg);
    evn_truck_free(truck);
}
END_TEST

/* A hinged drawbar carries nothing; a rigid one what moments about the axle group leave. */
static const char *const HINGED[] = {"drawbar.behind_front_axle_m=7",
                                     "trailer={use: vehicles/parts/trailer-3-axle.yaml, "
                                     "front_axles_behind_kingpin_m: 2.5}",
                                     "payload.trailer_share=0.5", "payload.trailer_centre_behind_m=5", NULL};
static const char *const RIGID[] = {"drawbar.behind_front_axle_m=7",
                                    "trailer={use: vehicles/parts/trailer-3-axle.yaml}", "payload.trailer_share=0.4",
                                    "payload.trailer_centre_behind_m=7.6", NULL};

static void check_drawbar(const char *const *sets, const char *name, double on_drawbar_kg)
{
    const published from = {"moments about the axles of a trailer at a drawbar", CLOSED_FORM};
    evn_truck *truck = truck_of("vehicles/trucks/rigid-6x2-central.yaml", sets);
    evn_unit_masses masses[EVN_UNITS_MAX];
    evn_at_rest at;
    check_at_rest(name, truck->file, 12000);
    ck_assert(evn_truck_unit_masses(truck->file, masses));
    evn_truck_at_rest(truck->file, masses, 12000, &at);
    check_value(&from, at.trailer.kg - at.load_kg[3], ABSOLUTE, on_drawbar_kg, 1e-8, "kg", "%s: load on the hitch",
                name);
    evn_truck_free(truck);
}

START_TEST(a_drawbar_carries_what_its_kind_can)
{
    check_drawbar(HINGED, "hinged drawbar", 0);
    /* 7000 kg at 5.2 m, 4800 kg at 7.6 m, axles at 7.7 m behind the eye */
    check_drawbar(RIGID, "rigid drawbar", (7000 * (7.7 - 5.2) + 4800 * (7.7 - 7.6)) / 7.7);
}
END_TEST

START_TEST(axles_of_a_hinged_trailer_share_by_moments)
{
    const published from = {"moments about the rear axles: N (L - l) = m g (L - x)", CLOSED_FORM};
    evn_truck *truck = truck_of("vehicles/trucks/rigid-6x2-central.yaml", HINGED);
    evn_unit_masses masses[EVN_UNITS_MAX];
    evn_at_rest at;
    evn_weighed s;
    ck_assert(evn_truck_unit_masses(truck->file, masses));
    evn_truck_at_rest(truck->file, masses, 12000, &at);
    evn_weighed_of(truck->file, &at, false, &s);
    double front_kg = (7000 * (7.7 - 5.2) + 6000 * (7.7 - 5)) / (7.7 - 2.5);
    ck_assert_uint_eq(s.count, 6);
    check_value(&from, s.axle[3].load_kg, RELATIVE, front_kg, 1e-12, "kg", "front axle of the trailer");
    check_value(&from, s.axle[5].load_kg, RELATIVE, (13000 - front_kg) / 2, 1e-12, "kg", "one of its rear axles");
    evn_truck_free(truck);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ rollover */

START_TEST(the_rollover_threshold_is_track_over_twice_the_height)
{
    const published from = {"a/g = T/2h of a rigid vehicle", RECOMPUTED};
    const double load[] = {7000, 11000};
    static const double row[][3] = {{1.90, 2.00, 0.475}, {1.86, 2.11, 0.441}, {2.05, 1.80, 0.569}};
    for (size_t k = 0; k < 3; k++) {
        const double track_m[] = {row[k][0], row[k][0]};
        check_value(&from, evn_static_rollover_g(load, track_m, 2, row[k][1]), ABSOLUTE, row[k][2], 5e-4, "g",
                    "track %g m, height %g m", row[k][0], row[k][1]);
    }
    const double wide_m[] = {2.0, 1.8};
    check_value(&from, evn_static_rollover_g(load, wide_m, 2, 2), RELATIVE, (7 * 2.0 + 11 * 1.8) / 18 / 4, 1e-12, "g",
                "tracks by their loads");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules");
    TCase *sets = tcase_create("rules");
    tcase_add_test(sets, eu_axle_loads_are_those_of_the_directive);
    tcase_add_test(sets, eu_masses_are_those_of_the_directive_with_its_allowance);
    tcase_add_test(sets, eu_driven_share_and_length_rule_are_those_of_the_directive);
    tcase_add_test(sets, what_is_not_known_of_a_vehicle_is_told_and_not_guessed);
    tcase_add_test(sets, bridge_formula_gives_the_published_table);
    TCase *loads = tcase_create("loads at rest");
    tcase_add_loop_test(loads, reactions_balance_weight_and_moments, 0, (int)(sizeof trucks / sizeof trucks[0]));
    tcase_add_test(loads, a_drawbar_carries_what_its_kind_can);
    tcase_add_test(loads, axles_of_a_hinged_trailer_share_by_moments);
    tcase_add_test(loads, the_rollover_threshold_is_track_over_twice_the_height);
    suite_add_tcase(suite, sets);
    suite_add_tcase(suite, loads);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
