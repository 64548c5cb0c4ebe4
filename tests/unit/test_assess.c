/* Verdicts on demands: against closed forms of a truck without losses, the rule between pass and fail, what turns them,
 * which truck is advised. */
#define _POSIX_C_SOURCE 200809L
#include "evener/assess.h"
#include "evener/site.h"
#include "folder.h"
#include <math.h>
#include <stdint.h>

enum { TEXT = 6000 };
static evn_report *report;
static evn_lineup *lineup;
static evn_assessment *assessment;

static void set_up(void)
{
    folder_begin();
    report = evn_report_new();
}

static void tear_down(void)
{
    evn_assessment_free(assessment);
    evn_lineup_free(lineup);
    evn_report_free(report);
    assessment = NULL;
    lineup = NULL;
    folder_end();
}

/* 4000 N at the wheels, 18000 kg with the payload, rolling resistance 0.006. */
#define WEAK "drive_units: {rear: {motors: {a: {peak_torque_nm: 200}}}}"
#define MASS_KG 18000.0
#define PAYLOAD_KG 9000.0
#define FORCE_N 4000.0
#define ROLLING 0.006
#define GRAVITY 9.80665

static void write_lineup(const char *demands, const char *first, const char *second)
{
    char text[TEXT];
    const char *root = getenv("EVENER_SOURCE");
    snprintf(text, sizeof text,
             "name: A day\ninvented: true\nday:\n"
             "  - leg: {name: out, cycle: {name: flat, invented: true, length_m: 3000, speed: {place_m: [0], "
             "limit_km_h: [30]}}, payload_kg: 9000}\n"
             "  - stop: {name: tip, duration_min: 1, payload_kg: 0}\n"
             "working_days_per_year: 200\n"
             "seasons: {cold: {share: 0.5, load_case: {temperature_degc: -15}}, warm: {share: 0.5}}\n"
             "demands: %s\n",
             demands);
    write_file("day.yaml", text);
    snprintf(text, sizeof text,
             "name: Two\ninvented: true\nduty: {use: day.yaml}\ntrucks:\n"
             "  one: {use: %s/tests/trucks/ideal.yaml, %s}\n  other: {use: %s/tests/trucks/ideal.yaml, %s}\n",
             root, first, root, second);
    write_file("two.yaml", text);
}

static const char *first_error(void)
{
    evn_finding f;
    for (size_t k = 0; evn_report_at(report, k, &f); k++)
        if (f.severity == EVN_ERROR)
            return f.text;
    return "nothing";
}

static evn_status assess_as(const char *demands, const char *first, const char *second, const evn_assess_how *how)
{
    char path[PATH_BYTES];
    write_lineup(demands, first, second);
    evn_lineup_load(in_folder(path, "two.yaml"), &lineup, report);
    ck_assert_msg(lineup, "%s", first_error());
    evn_conditions ask = evn_lineup_ask(lineup);
    return evn_assess(lineup, &ask, how, &assessment, report);
}

static const evn_assess_how standing = {.only_standing = true, .threads = 1};

static void assess_standing(const char *demands, const char *truck)
{
    assess_as(demands, truck, truck, &standing);
    ck_assert_msg(assessment, "%s", first_error());
}

static evn_assessed verdict_of(size_t truck, const char *key)
{
    evn_assessed is;
    for (size_t k = 0; evn_assessed_at(assessment, truck, k, &is); k++)
        if (strcmp(is.what.key, key) == 0)
            return is;
    ck_abort_msg("nothing is demanded of %s", key);
    return is;
}

/* The truck's turn of a demand by a datum. */
static double turned_to(size_t truck, const char *key, const char *datum)
{
    evn_assess_turn t;
    evn_assessed is;
    for (size_t k = 0; evn_assess_turn_at(assessment, k, &t); k++)
        if (t.truck == truck && evn_assessed_at(assessment, truck, t.demand, &is) && strcmp(is.what.key, key) == 0 &&
            strcmp(t.datum, datum) == 0)
            return t.to;
    return (double)NAN;
}

/* F = m (g (sin + f cos) + a), a = 1 mm/s2: it moves off. */
static double start_percent(double force_n, double mass_kg)
{
    double low = 0, high = 1;
    for (int k = 0; k < 60; k++) {
        double tangent = (low + high) / 2, cosine = 1 / sqrt(1 + tangent * tangent);
        double needed = mass_kg * (GRAVITY * (tangent * cosine + ROLLING * cosine) + 1e-3);
        if (needed < force_n)
            low = tangent;
        else
            high = tangent;
    }
    return 100 * low;
}

/* ------------------------------------------------------------------------------------------------ values */

START_TEST(a_start_is_that_of_the_forces_and_its_margin_the_difference)
{
    double can = start_percent(FORCE_N, MASS_KG);
    assess_standing("{abilities: {start_grade_percent: 1}}", WEAK);
    evn_assessed is = verdict_of(0, "start");
    ck_assert_double_eq_tol(is.value, can, 0.002); /* rotors and wheels take part too */
    ck_assert_double_eq_tol(is.margin, is.value - 1, 1e-12);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_PASS);
    ck_assert_str_eq(is.why, "motor torque binds");
    ck_assert_ptr_nonnull(strstr(is.where, "9000 kg of payload"));
}
END_TEST

/* By first order: sin = F/(m g) - f cos, so that one kilogram more moves it by -F/(m2 g). It is by far the most of what
 * errs; steps of one standard uncertainty bend it by 1 %. */
START_TEST(how_sure_a_start_is_follows_from_the_mass_that_errs)
{
    double of_kg = 100 * FORCE_N / (MASS_KG * MASS_KG * GRAVITY), standard_kg = 3000 / sqrt(3);
    assess_standing("{abilities: {start_grade_percent: 1}}",
                    WEAK ", uncertain: {mass: {of: [body.mass_kg], half_width: 3000, source: of the test}}");
    evn_assessed is = verdict_of(0, "start");
    ck_assert_double_eq_tol(is.uncertainty / (1.6448536 * standard_kg * of_kg), 1, 0.03);
}
END_TEST

/* Wind moves a descent, and how sure one is hangs on the truck: the same in any. */
START_TEST(how_sure_a_descent_is_is_found_in_still_air)
{
    static const char unsure[] =
        WEAK ", uncertain: {mass: {of: [body.mass_kg], half_width: 3000, source: of the test}}";
    double sure[2], value[2];
    for (int k = 0; k < 2; k++) {
        char path[PATH_BYTES];
        write_lineup("{abilities: {descent_grade_percent: 1, descent_speed_km_h: 30}}", unsure, unsure);
        evn_lineup_load(in_folder(path, "two.yaml"), &lineup, report);
        ck_assert_msg(lineup, "%s", first_error());
        evn_conditions ask = evn_lineup_ask(lineup);
        ask.load_case.wind_m_s = k == 0 ? 0 : 15;
        evn_assess(lineup, &ask, &standing, &assessment, report);
        ck_assert_msg(assessment, "%s", first_error());
        sure[k] = verdict_of(0, "descent").uncertainty;
        value[k] = verdict_of(0, "descent").value;
        if (k == 0) {
            evn_assessment_free(assessment);
            evn_lineup_free(lineup);
        }
    }
    ck_assert_double_gt(fabs(value[1] - value[0]), 0.05);
    ck_assert_double_gt(sure[0], 0.01);
    ck_assert_double_eq_tol(sure[1], sure[0], 1e-9);
}
END_TEST

START_TEST(what_lies_within_its_uncertainty_is_marginal_on_both_sides)
{
    static const struct {
        const char *demands;
        evn_verdict verdict;
    } rows[] = {{"{abilities: {start_grade_percent: 1.5}}", EVN_VERDICT_PASS},
                {"{abilities: {start_grade_percent: 1.62}}", EVN_VERDICT_MARGINAL},
                {"{abilities: {start_grade_percent: 1.69}}", EVN_VERDICT_MARGINAL},
                {"{abilities: {start_grade_percent: 1.85}}", EVN_VERDICT_FAIL}};
    assess_standing(rows[_i].demands,
                    WEAK ", uncertain: {mass: {of: [body.mass_kg], half_width: 500, source: of the test}}");
    ck_assert_int_eq(verdict_of(0, "start").verdict, rows[_i].verdict);
    ck_assert_int_eq(evn_assessment_of(assessment, 0), rows[_i].verdict);
}
END_TEST

START_TEST(a_spare_that_is_not_kept_is_marginal_and_turns_at_what_is_left)
{
    assess_standing("{spare_percent: 20, abilities: {start_grade_percent: 1.5}}", WEAK);
    evn_assessed is = verdict_of(0, "start");
    ck_assert_double_eq_tol(is.spare, 0.3, 1e-12);
    ck_assert(is.margin > is.uncertainty && is.margin < is.spare);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_MARGINAL);
    ck_assert_double_eq_tol(turned_to(0, "start", "spare that is asked"), 100 * is.margin / 1.5, 1e-9);
}
END_TEST

/* On ground of which only a range of adhesion is known that range goes in too: 0.15 to 0.3 of snow. */
START_TEST(the_range_of_the_grounds_adhesion_makes_a_start_less_sure)
{
    assess_standing("{abilities: {start_grade_percent: 5, start_surface: snow}}", "name: strong");
    double sure = verdict_of(0, "start").uncertainty;
    ck_assert(sure > 2 && sure < 10);
    evn_assessment_free(assessment);
    evn_lineup_free(lineup);
    assess_standing("{abilities: {start_grade_percent: 5}}", "name: strong");
    ck_assert(verdict_of(0, "start").uncertainty < 0.1 * sure);
}
END_TEST

/* Of what the ground is nothing is known but the truck's own number: said where that binds, and only there. */
START_TEST(ground_as_the_truck_states_it_has_no_range_which_is_said)
{
    assess_standing("{steepest_start_percent: 2}", "adhesion: {driving: 0.2, regenerating: 0.15}");
    ck_assert_ptr_nonnull(strstr(verdict_of(0, "steepest_start_percent").why, "adhesion"));
    ck_assert_ptr_nonnull(
        strstr(verdict_of(0, "steepest_start_percent").left_out, "no range of the ground's adhesion"));
    evn_assessment_free(assessment);
    evn_lineup_free(lineup);
    assess_standing("{steepest_start_percent: 1}", WEAK);
    const char *left_out = verdict_of(0, "steepest_start_percent").left_out;
    ck_assert(!left_out || !strstr(left_out, "adhesion"));
}
END_TEST

START_TEST(what_no_file_states_is_not_known_and_named)
{
    assess_standing("{ground: {clearance_mm: 100, unevenness: D, speed_km_h: 20}}", WEAK);
    evn_assessed is = verdict_of(0, "clearance_mm");
    ck_assert_int_eq(is.verdict, EVN_VERDICT_NOT_KNOWN);
    ck_assert(isnan(is.value));
    ck_assert_ptr_nonnull(is.missing);
    ck_assert_int_eq(verdict_of(0, "track_km_h").verdict, EVN_VERDICT_NOT_KNOWN);
    ck_assert_int_eq(evn_assessment_of(assessment, 0), EVN_VERDICT_NOT_KNOWN);
}
END_TEST

START_TEST(a_truck_without_a_take_off_gives_none)
{
    assess_standing("{takeoff_kw: 20}", WEAK);
    evn_assessed is = verdict_of(0, "takeoff_kw");
    ck_assert_double_eq(is.value, 0);
    ck_assert_double_eq(is.margin, -20);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
    ck_assert_ptr_nonnull(strstr(is.left_out, "states how far off it may be")); /* not sure to 0 */
}
END_TEST

/* A rule of one clause: the whole mass. */
START_TEST(rules_are_held_with_the_heaviest_payload_of_the_day)
{
    static const char rules[] = "{rules: {name: own, invented: true, clauses: {gross: {limits: mass, most_kg: 17500, "
                                "status: own, source: invented}}}, payload_kg: 8000}";
    assess_standing(rules, "body: {permitted_gross_kg: 30000}");
    evn_assessed is = verdict_of(0, "rules");
    ck_assert_double_eq_tol(is.value, MASS_KG, 1e-6);
    ck_assert_double_eq_tol(is.margin, -500, 1e-6);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
    ck_assert_double_eq_tol(turned_to(0, "rules", "payload of the day"), PAYLOAD_KG - 500, 2);
    is = verdict_of(0, "payload_kg");
    ck_assert_double_eq_tol(is.value, PAYLOAD_KG - 500, 1e-3);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_PASS);
}
END_TEST

START_TEST(a_clause_of_a_share_is_told_in_its_own_unit_and_direction)
{
    static const char rules[] = "{rules: {name: own, invented: true, clauses: {share: {limits: driven_share, "
                                "least_percent: 99, status: own, source: invented}}}}";
    assess_standing(rules, "name: a");
    evn_assessed is = verdict_of(0, "rules");
    ck_assert_str_eq(is.what.unit, "%");
    ck_assert(!is.at_most);
    ck_assert_double_eq(is.demanded, 99);
    ck_assert_double_eq_tol(is.margin, is.value - 99, 1e-12);
    ck_assert_str_eq(is.formula, "{value} - {demanded}");
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
}
END_TEST

/* Its own 9000 kg are more than is permitted. */
START_TEST(a_payload_for_which_no_limit_leaves_room_fails_and_is_not_unknown)
{
    static const char rules[] = "{rules: {name: own, invented: true, clauses: {gross: {limits: mass, most_kg: 5000, "
                                "status: own, source: invented}}}, payload_kg: 8000}";
    assess_standing(rules, "body: {permitted_gross_kg: 30000}");
    evn_assessed is = verdict_of(0, "payload_kg");
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
    ck_assert_ptr_null(is.missing);
    ck_assert_ptr_nonnull(strstr(is.why, "not even without payload"));
}
END_TEST

/* Two gears: speed on a grade has steps from gear to gear. */
START_TEST(no_steeper_climb_passes_where_a_gentler_one_does_not)
{
    evn_verdict before = EVN_VERDICT_PASS;
    size_t kinds = 0;
    for (int k = 0; k < 8; k++) {
        char demands[200];
        snprintf(demands, sizeof demands, "{abilities: {climb_grade_percent: %.2f, climb_speed_km_h: 30}}",
                 0.9 + 0.12 * k);
        assess_standing(demands, WEAK);
        evn_verdict is = verdict_of(0, "climb").verdict;
        ck_assert_int_ge(is, before);
        kinds += is != before;
        before = is;
        evn_assessment_free(assessment);
        evn_lineup_free(lineup);
        evn_report_free(report);
        assessment = NULL;
        lineup = NULL;
        report = evn_report_new();
    }
    ck_assert_uint_eq(kinds, 2); /* pass, marginal, fail */
}
END_TEST

/* Of a climb U has two sides: what is short by less than the draws reach is marginal, and no fail. */
START_TEST(a_climb_that_is_short_by_less_than_it_is_sure_to_is_marginal)
{
    static const char unsure[] =
        WEAK ", uncertain: {mass: {of: [body.mass_kg], half_width: 2500, source: of the test}}";
    char demands[120];
    assess_standing("{abilities: {climb_grade_percent: 1.2, climb_speed_km_h: 5}}", unsure);
    double can = verdict_of(0, "climb").value;
    evn_assessment_free(assessment);
    evn_lineup_free(lineup);
    snprintf(demands, sizeof demands, "{abilities: {climb_grade_percent: 1.2, climb_speed_km_h: %.6g}}", can * 1.005);
    assess_standing(demands, unsure);
    evn_assessed is = verdict_of(0, "climb");
    ck_assert_double_lt(is.margin, 0);
    ck_assert_double_gt(is.uncertainty, -is.margin);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_MARGINAL);
}
END_TEST

START_TEST(changing_up_is_never_surer_than_starting_on_the_same_grade)
{
    assess_standing("{abilities: {start_grade_percent: 12, start_surface: soil, change_up: true}}", "name: a");
    evn_assessed start = verdict_of(0, "start"), up = verdict_of(0, "change_up");
    ck_assert(up.margin - up.uncertainty <= start.margin - start.uncertainty + 0.01);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what turns it */

/* At the edge of a fail the same value, and as sure: what passes surely carries less. */
START_TEST(a_turn_tells_where_it_is_just_kept_and_where_it_passes)
{
    double kept, sure = (double)NAN;
    evn_assess_turn t;
    assess_standing("{abilities: {start_grade_percent: 2}}", WEAK);
    kept = turned_to(0, "start", "payload of the day");
    evn_assessed is = verdict_of(0, "start");
    for (size_t k = 0; evn_assess_turn_at(assessment, k, &t); k++)
        if (t.truck == 0 && strcmp(t.datum, "payload of the day") == 0)
            sure = t.to_pass;
    ck_assert_double_lt(sure, kept);
    double u = start_percent(FORCE_N, MASS_KG - PAYLOAD_KG + sure) - 2;
    ck_assert_double_eq_tol(u, is.uncertainty, 0.1 * is.uncertainty + 0.003);
}
END_TEST

START_TEST(a_payload_that_turns_a_start_is_that_of_the_forces)
{
    assess_standing("{abilities: {start_grade_percent: 2}}", WEAK);
    double can = start_percent(FORCE_N, MASS_KG), kg = turned_to(0, "start", "payload of the day");
    ck_assert_int_eq(verdict_of(0, "start").verdict, EVN_VERDICT_FAIL);
    ck_assert_double_eq_tol(turned_to(0, "start", "demanded"), can, 0.002);
    ck_assert_double_eq_tol(start_percent(FORCE_N, MASS_KG - PAYLOAD_KG + kg), 2, 0.003);
}
END_TEST

/* Wheel force goes with the ratio; the truck drives its gears through the final drive of 10. */
START_TEST(a_ratio_that_turns_a_start_is_that_of_the_forces)
{
    assess_standing(
        "{abilities: {start_grade_percent: 2}}",
        "drive_units: {rear: {motors: {a: {peak_torque_nm: 200}}, gearbox: {ratios: [1], efficiencies: [1]}}}");
    double factor = turned_to(0, "start", "ratios of all gears, factor");
    ck_assert_double_eq_tol(start_percent(factor * FORCE_N, MASS_KG), 2, 0.003);
}
END_TEST

/* U of the mass in kg; with less payload a share in % is the clause that is kept least, by far less than that number.
 */
START_TEST(a_payload_that_passes_rules_surely_is_found_across_clauses_of_several_units)
{
    evn_assess_turn t;
    double sure = (double)NAN;
    assess_standing("{rules: {name: own, invented: true, clauses: {gross: {limits: mass, most_kg: 17500, status: own, "
                    "source: invented}, share: {limits: driven_share, least_percent: 20, status: own, source: "
                    "invented}}}}",
                    "body: {permitted_gross_kg: 30000}, uncertain: {mass: {of: [body.mass_kg], half_width: 500, "
                    "source: of the test}}");
    evn_assessed is = verdict_of(0, "rules");
    ck_assert_str_eq(is.what.unit, "kg");
    for (size_t k = 0; evn_assess_turn_at(assessment, k, &t); k++)
        if (t.truck == 0 && strcmp(t.datum, "payload of the day") == 0)
            sure = t.to_pass;
    ck_assert_double_eq_tol(is.uncertainty, 1.6448536 * 500 / sqrt(3), 2);
    ck_assert_double_eq_tol(sure, PAYLOAD_KG - 500 - is.uncertainty, 3);
}
END_TEST

START_TEST(what_would_have_to_leave_its_range_is_not_told)
{
    assess_standing("{abilities: {start_grade_percent: 60}}", WEAK);
    ck_assert(isnan(turned_to(0, "start", "payload of the day")));
    ck_assert(!isnan(turned_to(0, "start", "demanded")));
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the day */

typedef struct counting {
    size_t calls;
} counting;

static bool count_calls(void *self, double share)
{
    counting *c = self;
    (void)share;
    c->calls++;
    return true;
}

START_TEST(a_reserve_is_that_of_the_driven_day_and_sure_to_what_its_energy_is)
{
    evn_assess_how how = {.energy_percent = 10, .threads = 1};
    ck_assert_int_eq(assess_as("{reserve_soc: 0.1, distance_km: 3}", "name: a", "name: b", &how), EVN_DONE);
    evn_assessed is = verdict_of(0, "reserve_soc");
    evn_conditions ask = evn_lineup_ask(lineup);
    evn_day *day = NULL;
    evn_day_season s;
    ck_assert_int_eq(evn_drive_duty(evn_lineup_truck(lineup, 0), evn_lineup_duty(lineup), &ask, NULL, &day, report),
                     EVN_DONE);
    ck_assert(evn_day_season_at(day, evn_day_worst_season(day), &s));
    ck_assert_double_eq_tol(is.value, s.reserve_soc, 1e-12);
    ck_assert_double_eq_tol(is.uncertainty, 1.6448536 / 2 * 0.1 * (s.begin_soc - s.lowest_soc), 1e-9);
    ck_assert_msg(strstr(is.where, s.name), "%s", is.where);
    is = verdict_of(0, "distance_km");
    ck_assert_double_eq(is.margin, 0);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_PASS);
    evn_day_free(day);
}
END_TEST

START_TEST(a_prepared_day_is_not_driven_again_and_gives_the_same_verdicts)
{
    counting c = {0};
    evn_assess_how how = {.threads = 1, .self = &c, .go_on = count_calls};
    evn_assessment *again = NULL;
    evn_assessed first, second;
    assess_as("{reserve_soc: 0.1, distance_km: 3, abilities: {start_grade_percent: 2}}", "name: a", "name: b", &how);
    ck_assert_uint_gt(c.calls, 0);
    c.calls = 0;
    how.prepared = assessment;
    evn_conditions ask = evn_lineup_ask(lineup);
    evn_assess(lineup, &ask, &how, &again, report);
    ck_assert_uint_eq(c.calls, 0);
    for (size_t k = 0; evn_assessed_at(assessment, 1, k, &first); k++) {
        ck_assert(evn_assessed_at(again, 1, k, &second));
        ck_assert_int_eq(first.verdict, second.verdict);
        ck_assert_double_eq(first.value, second.value);
        ck_assert_double_eq(first.uncertainty, second.uncertainty);
    }
    evn_assessment_free(again);
}
END_TEST

/* 0.7 kWh are not enough for the 3 km with which the day begins; as much to each km: closed form. */
START_TEST(a_day_that_stops_tells_how_far_it_came_and_what_its_energy_would_have_to_be)
{
    evn_assess_how how = {.threads = 1};
    assess_as("{reserve_soc: 0.1, distance_km: 3}", "battery: {capacity_ah: 1}", "name: b", &how);
    ck_assert_msg(assessment, "%s", first_error());
    evn_assessed is = verdict_of(0, "distance_km");
    ck_assert(is.value > 0.1 && is.value < 2.9);
    ck_assert_double_eq_tol(is.margin, is.value - 3, 1e-12);
    ck_assert_double_lt(is.value, verdict_of(0, "day_km").value); /* the reserve is met before */
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
    ck_assert_double_eq_tol(is.uncertainty, 1.6448536 / 2 * 0.04 * is.value, 1e-7);
    ck_assert_msg(strstr(is.why, "battery empty after ") && strstr(is.why, " of 3.0 km of the day"), "%s", is.why);
    static const char lower[] = "energy of the day, as much to each km, lower by";
    ck_assert_double_eq_tol(turned_to(0, "distance_km", lower), 100 * (1 - is.value / 3), 1e-9);
    ck_assert_double_eq_tol(turned_to(0, "reserve_soc", lower), turned_to(0, "distance_km", lower),
                            4); /* it speeds up first */
    is = verdict_of(0, "day_km");
    ck_assert_double_eq_tol(turned_to(0, "day_km", lower), 100 * (1 - is.value / 3), 1e-9);
    ck_assert_int_eq(verdict_of(0, "reserve_soc").verdict, EVN_VERDICT_FAIL);
}
END_TEST

#define SLIPPERY "body: {drag_area_m2: 3}"

/* 700 V at any charge: a reserve in kWh is one of charge times 2.8 kWh, in how sure it is and in what turns it. */
START_TEST(a_reserve_of_energy_is_that_of_charge_times_what_the_battery_holds)
{
    static const char *const lower[] = {"energy of the day, lower by",
                                        "energy of the day, as much to each km, lower by"};
    static const char *const battery[] = {"battery: {capacity_ah: 4}", "battery: {capacity_ah: 1}"};
    double kwh = (_i == 0 ? 4 : 1) * 0.7;
    char demands[100];
    evn_assess_how how = {.threads = 1};
    snprintf(demands, sizeof demands, "{reserve_soc: 0.3, reserve_kwh: %.17g}", 0.3 * kwh);
    assess_as(demands, battery[_i], "name: b", &how);
    evn_assessed soc = verdict_of(0, "reserve_soc"), of_kwh = verdict_of(0, "reserve_kwh");
    ck_assert_int_eq(soc.verdict, EVN_VERDICT_FAIL);
    ck_assert_int_eq(of_kwh.verdict, EVN_VERDICT_FAIL);
    ck_assert_double_eq_tol(of_kwh.uncertainty, kwh * soc.uncertainty, 1e-6);
    ck_assert_double_gt(turned_to(0, "reserve_soc", lower[_i]), 1);
    ck_assert_double_eq_tol(turned_to(0, "reserve_kwh", lower[_i]), turned_to(0, "reserve_soc", lower[_i]), 1e-4);
    if (_i == 0) /* charge goes with energy: less of it by so much leaves the reserve */
        ck_assert_double_eq_tol(soc.value + turned_to(0, "reserve_soc", lower[0]) / 100 * soc.uncertainty /
                                                (1.6448536 / 2 * 0.04),
                                0.3, 1e-6);
}
END_TEST

/* It ends, under its reserve: what counts is where that was met, and not the length of the day. */
START_TEST(a_distance_per_charge_is_that_to_the_reserve_also_within_the_day)
{
    evn_assess_how how = {.threads = 1};
    assess_as("{reserve_soc: 0.2, distance_km: 2.5}", "battery: {capacity_ah: 4}", "name: b", &how);
    evn_assessed is = verdict_of(0, "distance_km"), reserve = verdict_of(0, "reserve_soc");
    ck_assert_int_eq(verdict_of(0, "day_km").verdict, EVN_VERDICT_PASS);
    ck_assert(reserve.margin < 0);
    ck_assert(is.value > 0.5 && is.value < 2.5);
    ck_assert_double_eq_tol(is.margin, is.value - 2.5, 1e-12);
    ck_assert_double_gt(is.uncertainty, 0);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
    ck_assert_double_eq(verdict_of(1, "distance_km").value, 3);
}
END_TEST

/* No reserve is asked: a day that stops is no day, and what its part took per km ranks nobody. */
START_TEST(a_day_that_is_not_done_fails_and_is_never_advised)
{
    evn_assess_choice c;
    evn_assess_how how = {.threads = 1};
    assess_as("{abilities: {start_grade_percent: 1}}", "name: a", SLIPPERY ", battery: {capacity_ah: 1}", &how);
    evn_assessed is = verdict_of(1, "day_km");
    ck_assert_int_eq(is.verdict, EVN_VERDICT_FAIL);
    ck_assert(is.value > 0.1 && is.value < 2.9);
    ck_assert_double_eq(is.demanded, 3);
    ck_assert_int_eq(verdict_of(0, "day_km").verdict, EVN_VERDICT_PASS);
    ck_assert(evn_assessment_choice(assessment, &c));
    ck_assert_uint_eq(c.advised, 0);
    ck_assert(c.next == SIZE_MAX);
}
END_TEST

/* It ends, but with so much more energy it would stop short by what is then missing: closed form. */
START_TEST(a_day_that_just_ends_is_sure_to_what_it_would_stop_short_by)
{
    evn_assess_how how = {.energy_percent = 50, .threads = 1};
    assess_as("{reserve_soc: 0.001}", "battery: {capacity_ah: 4}", "name: b", &how);
    evn_assessed is = verdict_of(0, "day_km"), reserve = verdict_of(0, "reserve_soc");
    double drawn = reserve.uncertainty / (1.6448536 / 2 * 0.5);
    ck_assert_msg(reserve.value > 0 && reserve.value < reserve.uncertainty, "%g of %g", reserve.value,
                  reserve.uncertainty);
    ck_assert_double_eq_tol(is.uncertainty, 3 * (reserve.uncertainty - reserve.value) / drawn, 1e-6);
    ck_assert_int_eq(is.verdict, EVN_VERDICT_MARGINAL);
    ck_assert_double_eq(verdict_of(1, "day_km").uncertainty, 0);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ which truck */

START_TEST(advised_is_of_those_that_pass_the_one_of_least_energy)
{
    evn_assess_choice c;
    evn_assess_how how = {.threads = 1};
    assess_as("{reserve_soc: 0.1}", "name: a", SLIPPERY, &how);
    ck_assert(evn_assessment_choice(assessment, &c));
    ck_assert_uint_eq(c.advised, 1);
    ck_assert_uint_eq(c.next, 0);
    ck_assert(c.apart && !c.marginal && !c.by_cost && !c.open);
    ck_assert(c.next_value - c.value > c.uncertainty);
}
END_TEST

START_TEST(a_truck_that_fails_one_demand_is_not_advised_whatever_it_takes)
{
    evn_assess_choice c;
    evn_assess_how how = {.threads = 1};
    ck_assert_int_eq(
        assess_as("{reserve_soc: 0.1, abilities: {start_grade_percent: 2}}", "name: a", SLIPPERY ", " WEAK, &how),
        EVN_DONE);
    ck_assert(evn_assessment_choice(assessment, &c));
    ck_assert_uint_eq(c.advised, 0);
    ck_assert(c.next == SIZE_MAX);
    ck_assert_int_eq(evn_assessment_of(assessment, 1), EVN_VERDICT_FAIL);
}
END_TEST

/* The other fails; the one that is left passes no longer where so much is demanded that it is not sure to be kept. */
START_TEST(where_one_truck_alone_passes_its_nearest_demand_turns_the_choice)
{
    evn_assess_turn t;
    bool told = false;
    assess_as("{abilities: {start_grade_percent: 1.5}}", WEAK,
              "drive_units: {rear: {motors: {a: {"
              "peak_torque_nm: 100}}}}",
              &(evn_assess_how){.threads = 1});
    evn_assessed is = verdict_of(0, "start");
    ck_assert_int_eq(evn_assessment_of(assessment, 1), EVN_VERDICT_FAIL);
    for (size_t k = 0; evn_assess_turn_at(assessment, k, &t); k++)
        if (t.truck == SIZE_MAX && t.demand != SIZE_MAX) {
            ck_assert_uint_eq(t.about, 0);
            ck_assert_double_eq_tol(t.to, is.value - is.uncertainty, 1e-12);
            told = true;
        }
    ck_assert(told);
}
END_TEST

/* Air is denser in the cold, and a climb slower. */
START_TEST(a_demand_is_told_of_the_season_that_keeps_it_least)
{
    assess_standing("{abilities: {climb_grade_percent: 0.2, climb_speed_km_h: 30}}", SLIPPERY ", " WEAK);
    evn_assessed is = verdict_of(0, "climb");
    ck_assert_msg(strstr(is.where, "season cold"), "%s", is.where);
}
END_TEST

START_TEST(trucks_alike_cannot_be_told_apart)
{
    evn_assess_choice c;
    evn_assess_how how = {.threads = 1};
    assess_as("{reserve_soc: 0.1}", "name: a", "name: b", &how);
    ck_assert(evn_assessment_choice(assessment, &c));
    ck_assert(c.next != SIZE_MAX && !c.apart);
    ck_assert_uint_eq(c.alike, 3);
    evn_assess_turn t;
    ck_assert(!evn_assess_turn_at(assessment, 0, &t));
}
END_TEST

START_TEST(where_none_passes_none_is_advised_and_the_answer_is_no)
{
    evn_assess_choice c;
    ck_assert_int_eq(assess_as("{abilities: {start_grade_percent: 2}}", WEAK, WEAK, &standing), EVN_ANSWER_NO);
    ck_assert(evn_assessment_choice(assessment, &c));
    ck_assert(c.advised == SIZE_MAX);
}
END_TEST

/* Nothing is driven, and nothing has to rank the only one that fails nothing. */
START_TEST(without_days_the_only_one_that_fails_nothing_is_nearest)
{
    evn_assess_choice c;
    static const char unsure[] = WEAK ", uncertain: {mass: {of: [body.mass_kg], half_width: 500, source: of the test}}";
    static const char weaker[] = "drive_units: {rear: {motors: {a: {peak_torque_nm: 100}}}}";
    ck_assert_int_eq(assess_as("{abilities: {start_grade_percent: 1.62}}", unsure, weaker, &standing), EVN_ANSWER_NO);
    ck_assert(evn_assessment_choice(assessment, &c));
    ck_assert(c.marginal && c.advised == 0 && c.next == SIZE_MAX && isnan(c.value));
    evn_assessed is = verdict_of(0, "start"); /* at which demand it passes is told first */
    evn_assess_turn t;
    size_t k = 0;
    while (evn_assess_turn_at(assessment, k, &t) && t.truck != SIZE_MAX)
        k++;
    ck_assert_uint_eq(t.about, 0);
    ck_assert_double_lt(t.to, 1.62);
    ck_assert_double_eq_tol(t.to, is.value - is.uncertainty, 1e-9);
    evn_assessment_free(assessment);
    evn_lineup_free(lineup);
    evn_report_free(report);
    report = evn_report_new();
    assess_as("{abilities: {start_grade_percent: 1.62}}", unsure, unsure, &standing);
    ck_assert(evn_assessment_choice(assessment, &c) && c.advised == SIZE_MAX);
}
END_TEST

START_TEST(without_prices_a_payback_is_not_known_and_leaves_the_choice_open)
{
    evn_assess_choice c;
    evn_assess_how how = {.threads = 1};
    assess_as("{reserve_soc: 0.1, payback_years: 4}", "name: a", SLIPPERY, &how);
    ck_assert_int_eq(verdict_of(0, "payback_years").verdict, EVN_VERDICT_NOT_ASKED);
    ck_assert_int_eq(verdict_of(1, "payback_years").verdict, EVN_VERDICT_NOT_KNOWN);
    ck_assert_ptr_nonnull(strstr(verdict_of(1, "payback_years").missing, "--prices"));
    ck_assert(evn_assessment_choice(assessment, &c) && c.open);
    ck_assert(c.unpriced && c.advised == SIZE_MAX);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ traced */

START_TEST(every_verdict_is_traced_to_its_inputs_and_where_they_stand)
{
    evn_assess_input in;
    evn_assessed is;
    assess_standing("{abilities: {start_grade_percent: 1}, takeoff_kw: 20, payload_kg: 8000}",
                    WEAK ", body: {permitted_gross_kg: 30000}");
    for (size_t k = 0; evn_assessed_at(assessment, 0, k, &is); k++) {
        double value = (double)NAN, demanded = (double)NAN;
        bool placed = false;
        for (size_t i = 0; evn_assess_input_at(assessment, 0, k, i, &in); i++) {
            if (strcmp(in.key, "value") == 0)
                value = in.value;
            if (strcmp(in.key, "demanded") == 0) {
                demanded = in.value;
                placed = strstr(in.from, "day.yaml:");
            }
            ck_assert_ptr_nonnull(in.from);
        }
        ck_assert_str_eq(is.formula, "{value} - {demanded}");
        ck_assert_double_eq_tol(is.margin, value - demanded, 1e-9);
        ck_assert_msg(placed, "%s", is.what.key);
    }
}
END_TEST

START_TEST(a_lineup_over_a_cycle_and_a_duty_without_demands_are_refused)
{
    char path[PATH_BYTES], text[TEXT];
    snprintf(text, sizeof text, "%s/tests/vehicles/lineups/demo.yaml", getenv("EVENER_SOURCE"));
    evn_conditions ask = evn_conditions_default();
    evn_lineup_load(text, &lineup, report);
    ck_assert_int_eq(evn_assess(lineup, &ask, NULL, &assessment, report), EVN_BAD_INPUT);
    ck_assert_ptr_null(assessment);
    evn_lineup_free(lineup);
    write_lineup("{spare_percent: 5}", "name: a", "name: b");
    evn_report_free(report);
    report = evn_report_new();
    evn_lineup_load(in_folder(path, "two.yaml"), &lineup, report);
    ck_assert_int_eq(evn_assess(lineup, &ask, NULL, &assessment, report), EVN_BAD_INPUT);
    ck_assert_ptr_nonnull(strstr(first_error(), "demands nothing that could be judged"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("assess");
    TCase *tests = tcase_create("assess");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_start_is_that_of_the_forces_and_its_margin_the_difference);
    tcase_add_test(tests, how_sure_a_start_is_follows_from_the_mass_that_errs);
    tcase_add_test(tests, how_sure_a_descent_is_is_found_in_still_air);
    tcase_add_loop_test(tests, what_lies_within_its_uncertainty_is_marginal_on_both_sides, 0, 4);
    tcase_add_test(tests, a_spare_that_is_not_kept_is_marginal_and_turns_at_what_is_left);
    tcase_add_test(tests, the_range_of_the_grounds_adhesion_makes_a_start_less_sure);
    tcase_add_test(tests, ground_as_the_truck_states_it_has_no_range_which_is_said);
    tcase_add_test(tests, what_no_file_states_is_not_known_and_named);
    tcase_add_test(tests, a_truck_without_a_take_off_gives_none);
    tcase_add_test(tests, rules_are_held_with_the_heaviest_payload_of_the_day);
    tcase_add_test(tests, a_clause_of_a_share_is_told_in_its_own_unit_and_direction);
    tcase_add_test(tests, a_payload_for_which_no_limit_leaves_room_fails_and_is_not_unknown);
    tcase_add_test(tests, no_steeper_climb_passes_where_a_gentler_one_does_not);
    tcase_add_test(tests, a_climb_that_is_short_by_less_than_it_is_sure_to_is_marginal);
    tcase_add_test(tests, changing_up_is_never_surer_than_starting_on_the_same_grade);
    tcase_add_test(tests, a_turn_tells_where_it_is_just_kept_and_where_it_passes);
    tcase_add_test(tests, a_payload_that_turns_a_start_is_that_of_the_forces);
    tcase_add_test(tests, a_ratio_that_turns_a_start_is_that_of_the_forces);
    tcase_add_test(tests, a_payload_that_passes_rules_surely_is_found_across_clauses_of_several_units);
    tcase_add_test(tests, what_would_have_to_leave_its_range_is_not_told);
    tcase_add_test(tests, a_reserve_is_that_of_the_driven_day_and_sure_to_what_its_energy_is);
    tcase_add_test(tests, a_prepared_day_is_not_driven_again_and_gives_the_same_verdicts);
    tcase_add_test(tests, advised_is_of_those_that_pass_the_one_of_least_energy);
    tcase_add_test(tests, a_truck_that_fails_one_demand_is_not_advised_whatever_it_takes);
    tcase_add_test(tests, a_day_that_stops_tells_how_far_it_came_and_what_its_energy_would_have_to_be);
    tcase_add_test(tests, a_distance_per_charge_is_that_to_the_reserve_also_within_the_day);
    tcase_add_loop_test(tests, a_reserve_of_energy_is_that_of_charge_times_what_the_battery_holds, 0, 2);
    tcase_add_test(tests, a_day_that_is_not_done_fails_and_is_never_advised);
    tcase_add_test(tests, a_day_that_just_ends_is_sure_to_what_it_would_stop_short_by);
    tcase_add_test(tests, where_one_truck_alone_passes_its_nearest_demand_turns_the_choice);
    tcase_add_test(tests, a_demand_is_told_of_the_season_that_keeps_it_least);
    tcase_add_test(tests, trucks_alike_cannot_be_told_apart);
    tcase_add_test(tests, where_none_passes_none_is_advised_and_the_answer_is_no);
    tcase_add_test(tests, without_days_the_only_one_that_fails_nothing_is_nearest);
    tcase_add_test(tests, without_prices_a_payback_is_not_known_and_leaves_the_choice_open);
    tcase_add_test(tests, every_verdict_is_traced_to_its_inputs_and_where_they_stand);
    tcase_add_test(tests, a_lineup_over_a_cycle_and_a_duty_without_demands_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
