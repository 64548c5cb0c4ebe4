/*
 * Demands: their rows, bounds and pairs wherever they are given; verdicts by hand on a lorry without losses; and the
 * same asked of runs, which do what is met and do not what is not.
 */
#define _XOPEN_SOURCE 700
#include "cli/command.h"
#include "cycle/surface.h"
#include "evener/limits.h"
#include "evener/values.h"
#include "limits/demands.h"
#include "lorry.h"
#include "scene.h"
#include "trip/driving.h"

#define KIND "demands"
enum { TEXT = 600 };

/* ------------------------------------------------------------------------------------------------ what is asked */

/* All that can be asked, so that no pair is torn. */
static evn_demands all_demands(void)
{
    evn_demands d = evn_demands_default();
    d.start_grade_percent = 12;
    d.change_up = true;
    d.climb_grade_percent = 3;
    d.climb_speed_km_h = 50;
    d.descent_grade_percent = 6;
    d.descent_soc = 0.5;
    return d;
}

/* Past all checks, as a C program may do it. */
static void write_number(evn_demands *d, const char *key, double value)
{
    for (size_t i = 0; i < evn_demands_object.field_count; i++)
        if (strcmp(evn_demands_object.fields[i].key, key) == 0)
            memcpy((char *)d + evn_demands_object.fields[i].offset, &value, sizeof value);
}

/* As a file, but for flags that are false and numbers that are not given. */
static void put_file(const evn_demands *d, char out[TEXT])
{
    evn_key key;
    double value;
    out[0] = '\0';
    for (size_t i = 0; evn_key_at(KIND, i, &key); i++) {
        size_t used = strlen(out);
        ck_assert(evn_demands_get(d, key.key, &value));
        if (key.shape == EVN_KEY_FLAG)
            snprintf(out + used, TEXT - used, "%s: %s\n", key.key, value > 0 ? "true" : "false");
        else if (key.choices)
            snprintf(out + used, TEXT - used, "%s: %s\n", key.key, key.choices[(size_t)value]);
        else if (!isnan(value))
            snprintf(out + used, TEXT - used, "%s: %.17g\n", key.key, value);
    }
}

/* What a file of such demands is refused for; "" where it is read. */
static const char *said_of_file(const evn_demands *d, char said[TEXT])
{
    char path[PATH_BYTES], text[TEXT];
    evn_report *report = evn_report_new();
    evn_part *part = NULL;
    evn_finding finding = {.text = ""};
    put_file(d, text);
    write_file("demands.yaml", text);
    evn_status status = evn_part_load(KIND, in_folder(path, "demands.yaml"), &part, report);
    evn_report_at(report, 0, &finding);
    snprintf(said, TEXT, "%s", status == EVN_DONE ? "" : finding.text);
    ck_assert(status == EVN_DONE || finding.line > 0);
    evn_part_free(part);
    evn_report_free(report);
    return said;
}

/* What the two calls that take demands say of them; they must say the same. */
static const char *said_of_call(const evn_demands *d, char said[TEXT])
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new(), *of_lineup = evn_report_new();
    evn_truck *truck = load_truck(TRACTOR);
    evn_rig *rig = NULL;
    evn_limits *limits = NULL;
    evn_lineup *lineup = NULL;
    evn_comparison *comparison = NULL;
    evn_finding finding = {.text = ""}, other = {.text = ""};
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    evn_status status =
        evn_limits_find(rig, &ask.driving, &(evn_limits_how){.only_deciding = true, .demands = d}, &limits, report);
    ck_assert((status == EVN_DONE) == (limits != NULL));
    evn_report_at(report, 0, &finding);
    snprintf(said, TEXT, "%s", status == EVN_DONE ? "" : finding.text);
    if (status != EVN_DONE) {
        evn_lineup_load("tests/vehicles/lineups/demo.yaml", &lineup, of_lineup);
        ck_assert_int_eq(evn_compare(lineup, &ask, &(evn_compare_how){.demands = d}, &comparison, of_lineup),
                         EVN_BAD_INPUT);
        ck_assert_ptr_null(comparison);
        evn_report_at(of_lineup, 0, &other);
        ck_assert_str_eq(other.text, said);
        ck_assert_uint_eq(evn_report_count(of_lineup), 1);
    }
    evn_lineup_free(lineup);
    evn_limits_free(limits);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(of_lineup);
    evn_report_free(report);
    return said;
}

static bool setter_takes(const char *key, double value)
{
    evn_demands d = evn_demands_default(), before = d;
    evn_report *report = evn_report_new();
    double after;
    bool taken = evn_demands_set(&d, key, value, report);
    ck_assert(taken == (evn_report_status(report) == EVN_DONE));
    ck_assert(evn_demands_get(&d, key, &after));
    ck_assert(taken ? after == value : memcmp(&d, &before, sizeof d) == 0);
    evn_report_free(report);
    return taken;
}

/* Whether the option of compare takes it, and the value arrives. */
static bool option_takes(const char *key, const char *value, double expected)
{
    char word[200], *words[] = {word};
    const char *operands[2];
    evn_option_list list;
    evn_asked asked;
    evn_parsed parsed = {.operands = operands};
    evn_mishap mishap = {0};
    evn_demands d = evn_demands_default();
    evn_conditions ask = evn_conditions_default(), plain = ask;
    evn_report *report = evn_report_new();
    double after;
    int length = snprintf(word, sizeof word, "--%s", key);
    for (char *at = word; *at; at++)
        *at = *at == '_' ? '-' : *at;
    if (value)
        snprintf(word + length, sizeof word - (size_t)length, "=%s", value);
    evn_asked_clear(&asked);
    list.count = evn_ask_options(evn_asks_and_demands, 0, &list.texts, list.at, EVN_OPTIONS_MOST);
    bool taken = evn_options_parse(list.at, list.count, 1, words, &asked, &parsed, &mishap) &&
                 evn_asked_apply(&asked, &ask, report) && evn_asked_demand(&asked, &d, report);
    ck_assert(evn_demands_get(&d, key, &after));
    ck_assert_msg(taken ? after == expected : strstr(mishap.text, "was expected") != NULL, "%s", mishap.text);
    ck_assert(memcmp(&ask, &plain, sizeof ask) == 0);
    evn_report_free(report);
    return taken;
}

/* ------------------------------------------------------------------------------------------------ rows */

START_TEST(every_member_has_a_row_and_the_defaults_are_those_of_the_rows)
{
    evn_demands plain = evn_demands_default();
    evn_key key;
    double value;
    size_t bytes = 0, rows = 0;
    for (; evn_key_at(KIND, rows, &key); rows++) {
        ck_assert(evn_demands_get(&plain, key.key, &value));
        bytes += sizeof(double); /* flags and choices, each with its room up to the next number */
        if (key.fallback_word)
            ck_assert_str_eq(key.choices ? key.choices[(size_t)value]
                             : value > 0 ? "true"
                                         : "false",
                             key.fallback_word);
        else
            ck_assert(value == key.fallback || (isnan(value) && isnan(key.fallback)));
    }
    ck_assert_uint_eq(rows, 9);
    ck_assert_uint_le(sizeof plain, bytes);
    ck_assert_uint_gt(sizeof plain, bytes - 2 * sizeof(double)); /* a flag beside a choice or flag takes no more */
}
END_TEST

START_TEST(grounds_are_the_kinds_of_surfaces_in_their_order)
{
    evn_key key;
    ck_assert(evn_key_at(KIND, 1, &key));
    ck_assert_str_eq(key.choices[0], "as_stated");
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++)
        ck_assert_str_eq(key.choices[k + 1], evn_surface_kinds[k].name);
    ck_assert_ptr_null(key.choices[EVN_SURFACE_KINDS + 1]);
}
END_TEST

static void check_edge(const char *key, double edge, double beyond)
{
    char said[TEXT], text[40];
    evn_demands d = all_demands();
    write_number(&d, key, edge);
    ck_assert_str_eq(said_of_file(&d, said), "");
    ck_assert_str_eq(said_of_call(&d, said), "");
    snprintf(text, sizeof text, "%.17g", edge);
    ck_assert(setter_takes(key, edge) && option_takes(key, text, edge));
    write_number(&d, key, beyond);
    ck_assert_msg(strstr(said_of_file(&d, said), key) && strstr(said, "expected"), "%s", said);
    ck_assert_msg(strstr(said_of_call(&d, said), key) && strstr(said, "expected"), "%s", said);
    snprintf(text, sizeof text, "%.17g", beyond);
    ck_assert(!setter_takes(key, beyond) && !option_takes(key, text, beyond));
}

START_TEST(bounds_hold_in_file_option_and_call_alike)
{
    evn_key key;
    size_t numbers = 0;
    for (size_t i = 0; evn_key_at(KIND, i, &key); i++) {
        if (key.shape != EVN_KEY_NUMBER)
            continue;
        check_edge(key.key, key.least, nextafter(key.least, -(double)INFINITY));
        check_edge(key.key, key.most, nextafter(key.most, (double)INFINITY));
        numbers++;
    }
    ck_assert_uint_eq(numbers, 6);
}
END_TEST

START_TEST(words_and_flags_are_taken_and_no_others)
{
    char said[TEXT];
    evn_demands d = all_demands();
    ck_assert(option_takes("start_surface", "soil", EVN_SURFACE_SOIL));
    ck_assert(!option_takes("start_surface", "sand", 0));
    ck_assert(option_takes("change_up", NULL, 1) && option_takes("climb_continuous", NULL, 1));
    ck_assert(setter_takes("change_up", 1) && setter_takes("change_up", 0));
    ck_assert(!setter_takes("change_up", 0.5) && !setter_takes("change_up", (double)NAN));
    ck_assert(setter_takes("start_surface", EVN_SURFACE_SNOW) && !setter_takes("start_surface", EVN_SURFACE_SNOW + 1));
    int none = 6;
    memcpy(&d.start_surface, &none, sizeof none);
    ck_assert_str_eq(said_of_call(&d, said), "start_surface is choice 6; expected 0 to 5, as_stated to snow");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ pairs */

static const struct {
    double start_grade, climb_grade, climb_speed;
    bool change_up, continuous;
    const char *said;
} pairs[] = {
    {(double)NAN, (double)NAN, (double)NAN, true, false,
     "change_up is given, and no start_grade_percent; expected the grade on which it starts, in per cent"},
    {(double)NAN, 3, (double)NAN, false, false,
     "climb_grade_percent is given, and no climb_speed_km_h; expected the speed to hold on that grade, in km/h"},
    {(double)NAN, (double)NAN, 50, false, false,
     "climb_speed_km_h is given, and no climb_grade_percent; expected the grade on which to hold it, in per cent"},
    {(double)NAN, (double)NAN, (double)NAN, false, true,
     "climb_continuous is given, and no climb_grade_percent; expected a grade in per cent, and climb_speed_km_h"},
    {12, (double)NAN, (double)NAN, true, false, ""},
    {(double)NAN, 3, 50, false, true, ""},
    {(double)NAN, (double)NAN, (double)NAN, false, false, ""},
};
enum { PAIRS = sizeof pairs / sizeof *pairs };

START_TEST(a_demand_without_its_other_half_is_refused_in_the_same_words_in_file_and_call)
{
    char said[TEXT];
    evn_demands d = evn_demands_default();
    d.start_grade_percent = pairs[_i].start_grade;
    d.change_up = pairs[_i].change_up;
    d.climb_grade_percent = pairs[_i].climb_grade;
    d.climb_speed_km_h = pairs[_i].climb_speed;
    d.climb_continuous = pairs[_i].continuous;
    ck_assert_str_eq(said_of_file(&d, said), pairs[_i].said);
    ck_assert_str_eq(said_of_call(&d, said), pairs[_i].said);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ verdicts */

typedef struct judged {
    evn_report *report;
    evn_truck *truck;
    evn_rig *rig;
    evn_limits *limits;
    evn_conditions ask;
} judged;

static judged judge_with(const char *path, const evn_load_case *load_case, const evn_demands *d)
{
    judged j = {.report = evn_report_new(), .truck = load_truck(path), .ask = evn_conditions_default()};
    evn_limits_how how = {.only_deciding = true, .demands = d};
    if (load_case)
        j.ask.load_case = *load_case;
    evn_rig_prepare(j.truck, &j.ask.load_case, &j.rig, j.report);
    ck_assert_msg(j.rig, "%s", first_finding(j.report));
    ck_assert_int_eq(evn_limits_find(j.rig, &j.ask.driving, &how, &j.limits, j.report), EVN_DONE);
    return j;
}

static judged judge_written(const char *text, const evn_demands *d)
{
    char path[PATH_BYTES];
    write_file("truck.yaml", text);
    return judge_with(in_folder(path, "truck.yaml"), NULL, d);
}

static void judged_end(judged *j)
{
    evn_limits_free(j->limits);
    evn_rig_free(j->rig);
    evn_truck_free(j->truck);
    evn_report_free(j->report);
}

static evn_limits_verdict verdict(const judged *j, const char *key)
{
    evn_limits_verdict is;
    size_t k = 0;
    while (evn_limits_demand_at(j->limits, k, &is) && strcmp(is.what.key, key) != 0)
        k++;
    ck_assert_msg(evn_limits_demand_at(j->limits, k, &is), "%s", key);
    return is;
}

static double decides(const judged *j, const char *key)
{
    evn_limits_figure is;
    ck_assert(evn_limits_get(j->limits, key, &is));
    return is.value;
}

/* One ratio of 15 at 0.5 m; nothing is lost. With 400 kW 120 kN up to 3.3 m/s. */
#define WITH_KW(power)                                                                                                 \
    LORRY_6X2("0", "0.006", "")                                                                                        \
    "adhesion: {driving: 1.2}\n"                                                                                       \
    "drive_units: {rear: {axles: [2], motors: {motor: {peak_torque_nm: 4000, peak_power_kw: " power                    \
    ", top_speed_rpm: 1e5, reference_voltage_v: 700}}, machine_height_m: 0, path: [mesh: {ratio: 15, efficiency: "     \
    "1}]}}\n"
#define WEAK WITH_KW("400")
#define WEIGHT_N (26000 * 9.80665)
#define ROLLING 0.006

/* On the driven axle, whose tyres have the stiffness 20: at a force F they slip by F/20 N. */
static double load_n(double tangent) { return 0.55 * WEIGHT_N / sqrt(1 + tangent * tangent) * 3.5 / 4.6075; }

/* Driving, the road is slower than the wheel by s = F/20 N, so that P = F v / (1 - s). */
static double climb_by_hand_m_s(double tangent)
{
    double cosine = 1 / sqrt(1 + tangent * tangent), need_n = WEIGHT_N * cosine * (tangent + ROLLING);
    double slip = need_n / (20 * load_n(tangent));
    return 400e3 * (1 - slip) / need_n;
}

START_TEST(a_speed_uphill_is_met_up_to_what_the_power_gives)
{
    evn_demands d = evn_demands_default();
    d.climb_grade_percent = 5;
    double by_hand_km_h = 3.6 * climb_by_hand_m_s(0.05);
    for (int above = 0; above < 2; above++) {
        d.climb_speed_km_h = by_hand_km_h * (above ? 1.001 : 0.999);
        judged j = judge_written(WEAK, &d);
        evn_limits_verdict is = verdict(&j, "climb");
        ck_assert_double_eq_tol(is.value, by_hand_km_h, 2e-4 * by_hand_km_h);
        ck_assert(is.met == !above);
        ck_assert_str_eq(is.limit, "motor_power");
        ck_assert_double_eq(is.demanded, d.climb_speed_km_h);
        ck_assert_double_eq_tol(decides(&j, "deciding.speed_on_3_percent.balanced_km_h"), 3.6 * climb_by_hand_m_s(0.03),
                                0.02);
        judged_end(&j);
    }
}
END_TEST

START_TEST(a_continuous_speed_of_a_truck_of_whose_heat_nothing_is_stated_is_not_met_and_says_why)
{
    evn_demands d = evn_demands_default();
    d.climb_grade_percent = 1;
    d.climb_speed_km_h = 1;
    d.climb_continuous = true;
    judged j = judge_written(WEAK, &d);
    evn_limits_verdict is = verdict(&j, "climb");
    ck_assert(!is.met && isnan(is.value));
    ck_assert_str_eq(is.limit, "no_heat_data");
    judged_end(&j);
}
END_TEST

/* Moments as in test_limits_start.c with the centre on the road: u 3.5/4.6075 = f + tan + a/g, u = 0.55 mu. */
START_TEST(starting_is_met_up_to_what_the_tyres_carry_on_the_ground_that_is_demanded)
{
    static const evn_surface on[] = {EVN_SURFACE_WET, EVN_SURFACE_SOIL, EVN_SURFACE_GRAVEL};
    evn_demands d = evn_demands_default();
    const evn_surface_kind *kind = &evn_surface_kinds[on[_i] - 1];
    double by_hand = 100 * (0.55 * kind->adhesion * 3.5 / 4.6075 - ROLLING * kind->rolling_factor - 1e-3 / 9.80665);
    d.start_surface = on[_i];
    for (int above = 0; above < 2; above++) {
        d.start_grade_percent = by_hand + (above ? 0.01 : -0.01);
        judged j = judge_written(LORRY_6X2("0", "0.006", "") "adhesion: {driving_share: 1}\n" LORRY_DRIVES_ONE(""), &d);
        evn_limits_verdict is = verdict(&j, "start");
        ck_assert_double_eq_tol(is.value, by_hand, 2e-3);
        ck_assert(is.met == !above);
        ck_assert_str_eq(is.limit, "adhesion");
        ck_assert_double_eq(decides(&j, "deciding.startability.steepest_percent"), is.value);
        judged_end(&j);
    }
}
END_TEST

/*
 * Motors of 100 kW, which at 30 km/h give at most about 12 kN; rolling resistance helps them, F = m g (sin - f cos).
 * Braking, the wheel turns slower by s = F/20 N, so that P = F v (1 - s).
 */
static double descent_by_hand(double power_w, double v)
{
    double tangent = 0;
    for (int k = 0; k < 100; k++) {
        double force_n = power_w / v, cosine = 1 / sqrt(1 + tangent * tangent);
        for (int i = 0; i < 50; i++)
            force_n = power_w / (v * (1 - force_n / (20 * load_n(tangent))));
        tangent = force_n / WEIGHT_N / cosine + ROLLING;
    }
    return 100 * tangent;
}

START_TEST(a_descent_is_met_up_to_what_the_motors_push)
{
    evn_demands d = evn_demands_default();
    double by_hand = descent_by_hand(100e3, 30 / 3.6);
    for (int above = 0; above < 2; above++) {
        d.descent_grade_percent = by_hand + (above ? 0.005 : -0.005);
        judged j = judge_written(WITH_KW("100"), &d);
        evn_limits_verdict is = verdict(&j, "descent");
        ck_assert_double_eq_tol(is.value, by_hand, 2e-3);
        ck_assert(is.met == !above);
        ck_assert_str_eq(is.limit, "motor_power");
        ck_assert_double_eq(decides(&j, "deciding.descent_held.steepest_percent"), is.value);
        judged_end(&j);
    }
}
END_TEST

START_TEST(a_charge_that_the_battery_never_has_is_not_met_by_it)
{
    evn_demands d = evn_demands_default();
    d.descent_grade_percent = 0.1;
    d.descent_soc = 1;
    judged j = judge_with(TRACTOR, NULL, &d);
    evn_limits_verdict is = verdict(&j, "descent");
    ck_assert(!is.met && isnan(is.value));
    ck_assert_str_eq(is.limit, "battery_charge");
    judged_end(&j);
}
END_TEST

START_TEST(what_is_not_demanded_is_not_judged)
{
    evn_demands d = evn_demands_default();
    evn_limits_verdict is;
    judged j = judge_with(TRACTOR, NULL, &d), none = judge_with(TRACTOR, NULL, NULL);
    ck_assert(!evn_limits_demand_at(j.limits, 0, &is) && !evn_limits_demand_at(none.limits, 0, &is));
    ck_assert_uint_eq(evn_limits_count(j.limits), 3);
    judged_end(&none);
    judged_end(&j);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ harder */

/* Grades, speeds and charges one after another, each harder than the one before. */
static void harden(evn_demands *d, int step)
{
    d->start_grade_percent = 2 + 3 * step;
    d->climb_grade_percent = 1 + step;
    d->descent_grade_percent = 2 + 2 * step;
}

START_TEST(a_harder_demand_is_never_met_where_an_easier_one_is_not)
{
    static const char *const trucks[] = {"tractor-4x2-central", "rigid-6x2-eaxle", "tipper-8x4-two-eaxles"};
    static const char *const keys[] = {"start", "change_up", "climb", "descent"};
    char path[PATH_BYTES];
    bool met[4] = {true, true, true, true};
    evn_demands d = all_demands();
    snprintf(path, sizeof path, "tests/vehicles/trucks/%s.yaml", trucks[_i]);
    d.start_surface = EVN_SURFACE_SOIL;
    for (int step = 0; step < 30; step++) {
        harden(&d, step);
        judged j = judge_with(path, NULL, &d);
        for (size_t k = 0; k < 4; k++) {
            bool now = verdict(&j, keys[k]).met;
            ck_assert_msg(met[k] || !now, "%s: %s in step %d", trucks[_i], keys[k], step);
            met[k] = now;
        }
        judged_end(&j);
    }
    for (size_t k = 0; k < 4; k++)
        ck_assert(!met[k]);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ driven */

/* The trucks of a lineup, loaded and charged as it asks, each demand as runs show it. */
typedef struct lineup {
    evn_report *report;
    evn_lineup *of;
    evn_comparison *compared;
    evn_demands demands;
} lineup;

static lineup lineup_of(const char *name)
{
    char path[PATH_BYTES];
    lineup l = {.report = evn_report_new()};
    snprintf(path, sizeof path, "tests/vehicles/lineups/%s.yaml", name);
    evn_lineup_load(path, &l.of, l.report);
    ck_assert_msg(l.of, "%s", first_finding(l.report));
    l.demands = evn_lineup_demands(l.of);
    return l;
}

static void lineup_end(lineup *l)
{
    evn_lineup_free(l->of);
    evn_report_free(l->report);
}

/* Limits with the lineup's demands on a rig of its own, charged for the descent where that is what is driven. */
static judged judged_of(const lineup *l, size_t truck, bool descending)
{
    evn_conditions ask = evn_lineup_ask(l->of);
    judged j = {.report = evn_report_new(), .ask = ask};
    if (descending && !isnan(l->demands.descent_soc))
        j.ask.load_case.start_soc = l->demands.descent_soc;
    evn_rig_prepare(evn_lineup_truck(l->of, truck), &j.ask.load_case, &j.rig, j.report);
    ck_assert_msg(j.rig, "%s", first_finding(j.report));
    evn_limits_find(j.rig, &j.ask.driving, &(evn_limits_how){.only_deciding = true, .demands = &l->demands}, &j.limits,
                    j.report);
    ck_assert_ptr_nonnull(j.limits);
    return j;
}

static drive drive_road(const judged *j, const char *road, trace *rows)
{
    char path[PATH_BYTES];
    drive run = {.report = evn_report_new()};
    evn_driving driving = j->ask.driving;
    evn_watcher watcher = {.self = rows, .sample = keep_row};
    driving.driver = EVN_DRIVER_EXACT;
    write_file("road.yaml", road);
    evn_cycle *cycle = load_cycle(in_folder(path, "road.yaml"));
    run.status = evn_drive(j->rig, cycle, &driving, &watcher, &run.results, run.report);
    ck_assert_msg(run.results, "%s", first_finding(run.report));
    run.rig = NULL; /* that of what was judged */
    evn_cycle_free(cycle);
    return run;
}

static const char *const driven_lineups[] = {"tipper-out", "mountain", "haulage"};
enum { DRIVEN = sizeof driven_lineups / sizeof *driven_lineups };

static bool starts(const judged *j, const evn_demands *d)
{
    char road[TEXT];
    trace rows = {0};
    snprintf(road, sizeof road,
             "name: ramp\ninvented: true\nlength_m: 5\nspeed: {place_m: [0], limit_km_h: [4]}\n"
             "road: {place_m: [0, 50], grade_percent: [%.9f, %.9f], level_beyond: true}\n"
             "surface: {place_m: [0], kind: [%s]}\n",
             d->start_grade_percent, d->start_grade_percent, evn_surface_kinds[d->start_surface - 1].name);
    drive run = drive_road(j, road, &rows);
    bool stalled = strcmp(evn_results_status(run.results), "stalled") == 0;
    ck_assert(stalled == (result(&run, "distance_km") < 1e-9));
    drive_end(&run);
    trace_end(&rows);
    return !stalled;
}

START_TEST(a_run_starts_where_that_is_met_and_does_not_where_it_is_not)
{
    lineup l = lineup_of(driven_lineups[_i]);
    for (size_t k = 0; k < evn_lineup_truck_count(l.of); k++) {
        judged j = judged_of(&l, k, false);
        ck_assert_msg(starts(&j, &l.demands) == verdict(&j, "start").met, "%s: %s", driven_lineups[_i],
                      evn_lineup_truck_name(l.of, k));
        judged_end(&j);
    }
    lineup_end(&l);
}
END_TEST

/* Whether all units with gears are in a higher one than the first at once, on 120 m of the ramp. */
static bool goes_up(const judged *j, const evn_demands *d)
{
    char road[TEXT];
    bool up = false;
    trace rows = {0};
    snprintf(road, sizeof road,
             "name: ramp\ninvented: true\nlength_m: 120\nspeed: {place_m: [0], limit_km_h: [40]}\n"
             "road: {place_m: [0, 500], grade_percent: [%.9f, %.9f], level_beyond: true}\n"
             "surface: {place_m: [0], kind: [%s]}\n",
             d->start_grade_percent, d->start_grade_percent, evn_surface_kinds[d->start_surface - 1].name);
    drive run = drive_road(j, road, &rows);
    for (size_t row = 0; row < rows.rows; row++) {
        bool all = true;
        evn_trace_column each;
        for (size_t k = 0; evn_trace_column_at(j->rig, k, &each); k++)
            all = all && (strcmp(each.what.key, "gear") != 0 || at_row(&rows, row, k) > 1);
        up = up || all;
    }
    drive_end(&run);
    trace_end(&rows);
    return up;
}

/* A run takes the gears that cost least, and need not change up where it can; where it cannot it does not. */
START_TEST(a_run_does_not_change_up_where_that_is_not_met_and_does_where_there_is_room)
{
    lineup l = lineup_of("tipper-out");
    for (size_t k = 0; k < evn_lineup_truck_count(l.of); k++) {
        judged j = judged_of(&l, k, false);
        ck_assert(!verdict(&j, "change_up").met && !goes_up(&j, &l.demands));
        judged_end(&j);
    }
    l.demands.start_grade_percent = 6;
    judged central = judged_of(&l, 0, false);
    ck_assert(verdict(&central, "change_up").met && goes_up(&central, &l.demands));
    judged_end(&central);
    lineup_end(&l);
}
END_TEST

/* 600 m at the speed: so short that charge and heat hardly move. Friction brakes that work more than the last digits
 * of the integration did. */
static bool held_down(const judged *j, const evn_demands *d)
{
    char road[TEXT];
    trace rows = {0};
    snprintf(road, sizeof road,
             "name: descent\ninvented: true\nspeed: {time_s: [0, 72], speed_km_h: [%.9f, %.9f]}\n"
             "road: {place_m: [0, 5000], grade_percent: [-%.9f, -%.9f], level_beyond: true}\n",
             d->descent_speed_km_h, d->descent_speed_km_h, d->descent_grade_percent, d->descent_grade_percent);
    drive run = drive_road(j, road, &rows);
    ck_assert_str_eq(evn_results_status(run.results), "finished");
    double kwh = result(&run, "energy_balance.friction_brakes_kwh");
    drive_end(&run);
    trace_end(&rows);
    return kwh < 1e-4;
}

START_TEST(a_run_needs_no_friction_brake_where_the_descent_is_met_and_does_where_it_is_not)
{
    lineup l = lineup_of(driven_lineups[_i]);
    for (size_t k = 0; k < evn_lineup_truck_count(l.of); k++) {
        judged j = judged_of(&l, k, true);
        ck_assert_msg(held_down(&j, &l.demands) == verdict(&j, "descent").met, "%s: %s", driven_lineups[_i],
                      evn_lineup_truck_name(l.of, k));
        judged_end(&j);
    }
    lineup_end(&l);
}
END_TEST

/* Begun at the speed. In twenty minutes windings and inverters are as hot as they get. */
static bool holds_up(const judged *j, double grade_percent, double speed_km_h, int duration_s)
{
    char road[TEXT];
    trace rows = {0};
    snprintf(road, sizeof road,
             "name: climb\ninvented: true\nspeed: {time_s: [0, %d], speed_km_h: [%.9f, %.9f]}\n"
             "road: {place_m: [0, 50000], grade_percent: [%.9f, %.9f], level_beyond: true}\n",
             duration_s, speed_km_h, speed_km_h, grade_percent, grade_percent);
    drive run = drive_road(j, road, &rows);
    ck_assert_str_eq(evn_results_status(run.results), "finished");
    double mean_km_h = result(&run, "mean_speed_km_h");
    drive_end(&run);
    trace_end(&rows);
    return mean_km_h > speed_km_h - 1e-3;
}

/* For as long as it likes is told at the coolant of the file, warmer than that of a loop in cool air: what is met is
 * held, and a little more may be. */
START_TEST(a_run_holds_for_long_the_speed_uphill_that_is_met)
{
    lineup l = lineup_of("mountain");
    for (size_t k = 0; k < evn_lineup_truck_count(l.of); k++) {
        judged j = judged_of(&l, k, false);
        evn_limits_verdict is = verdict(&j, "climb");
        ck_assert(l.demands.climb_continuous && is.met);
        ck_assert(holds_up(&j, l.demands.climb_grade_percent, l.demands.climb_speed_km_h, 1200));
        ck_assert(holds_up(&j, l.demands.climb_grade_percent, is.value, 1200));
        judged_end(&j);
    }
    lineup_end(&l);
}
END_TEST

/* So short that the voltage of the battery hardly falls. */
START_TEST(a_run_holds_for_ten_seconds_the_speed_uphill_that_is_met_and_not_one_that_is_not)
{
    lineup l = lineup_of("mountain");
    l.demands.climb_continuous = false;
    for (size_t k = 0; k < evn_lineup_truck_count(l.of); k++) {
        judged j = judged_of(&l, k, false);
        double can_km_h = verdict(&j, "climb").value;
        judged_end(&j);
        for (int above = 0; above < 2; above++) {
            l.demands.climb_speed_km_h = can_km_h * (above ? 1.005 : 0.995);
            j = judged_of(&l, k, false);
            ck_assert(verdict(&j, "climb").met == !above);
            ck_assert(holds_up(&j, l.demands.climb_grade_percent, l.demands.climb_speed_km_h, 10) == !above);
            judged_end(&j);
        }
    }
    lineup_end(&l);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ comparing */

START_TEST(a_comparison_finds_what_limits_find_and_says_what_is_not_met)
{
    lineup l = lineup_of("tipper-out");
    evn_conditions ask = evn_lineup_ask(l.of);
    evn_finding found;
    size_t unmet = 0, said = 0;
    ck_assert_int_eq(evn_compare(l.of, &ask, NULL, &l.compared, l.report), EVN_ANSWER_NO);
    for (size_t k = 0; k < evn_lineup_truck_count(l.of); k++) {
        judged j = judged_of(&l, k, false);
        const evn_limits *limits = evn_comparison_limits(l.compared, k);
        evn_limits_verdict is, own;
        ck_assert_str_eq(evn_outcome_status(evn_comparison_outcome(l.compared, k, EVN_BASIS_OWN)), "finished");
        for (size_t i = 0; evn_limits_demand_at(j.limits, i, &own); i++) {
            ck_assert(evn_limits_demand_at(limits, i, &is));
            ck_assert(is.value == own.value && is.met == own.met && is.limit == own.limit);
            unmet += !is.met;
        }
        judged_end(&j);
    }
    for (size_t i = 0; evn_report_at(l.report, i, &found); i++)
        said += strcmp(found.fault, "demand_not_met") == 0;
    ck_assert_uint_gt(unmet, 0);
    ck_assert_uint_eq(said, unmet);
    evn_comparison_free(l.compared);
    lineup_end(&l);
}
END_TEST

START_TEST(without_demands_the_same_lineup_is_done)
{
    lineup l = lineup_of("tipper-out");
    evn_conditions ask = evn_lineup_ask(l.of);
    evn_demands none = evn_demands_default();
    ck_assert_int_eq(evn_compare(l.of, &ask, &(evn_compare_how){.demands = &none}, &l.compared, l.report), EVN_DONE);
    evn_comparison_free(l.compared);
    lineup_end(&l);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("demands");
    TCase *rows = tcase_create("rows"), *verdicts = tcase_create("verdicts"), *driven = tcase_create("driven");
    tcase_add_checked_fixture(rows, folder_begin, folder_end);
    tcase_add_checked_fixture(verdicts, folder_begin, folder_end);
    tcase_add_checked_fixture(driven, folder_begin, folder_end);
    tcase_add_test(rows, every_member_has_a_row_and_the_defaults_are_those_of_the_rows);
    tcase_add_test(rows, grounds_are_the_kinds_of_surfaces_in_their_order);
    tcase_add_test(rows, bounds_hold_in_file_option_and_call_alike);
    tcase_add_test(rows, words_and_flags_are_taken_and_no_others);
    tcase_add_loop_test(rows, a_demand_without_its_other_half_is_refused_in_the_same_words_in_file_and_call, 0, PAIRS);
    tcase_add_test(verdicts, a_speed_uphill_is_met_up_to_what_the_power_gives);
    tcase_add_test(verdicts, a_continuous_speed_of_a_truck_of_whose_heat_nothing_is_stated_is_not_met_and_says_why);
    tcase_add_loop_test(verdicts, starting_is_met_up_to_what_the_tyres_carry_on_the_ground_that_is_demanded, 0, 3);
    tcase_add_test(verdicts, a_descent_is_met_up_to_what_the_motors_push);
    tcase_add_test(verdicts, a_charge_that_the_battery_never_has_is_not_met_by_it);
    tcase_add_test(verdicts, what_is_not_demanded_is_not_judged);
    tcase_add_loop_test(verdicts, a_harder_demand_is_never_met_where_an_easier_one_is_not, 0, 3);
    tcase_add_loop_test(driven, a_run_starts_where_that_is_met_and_does_not_where_it_is_not, 0, DRIVEN);
    tcase_add_test(driven, a_run_does_not_change_up_where_that_is_not_met_and_does_where_there_is_room);
    tcase_add_loop_test(driven, a_run_needs_no_friction_brake_where_the_descent_is_met_and_does_where_it_is_not, 0,
                        DRIVEN);
    tcase_add_test(driven, a_run_holds_for_long_the_speed_uphill_that_is_met);
    tcase_add_test(driven, a_run_holds_for_ten_seconds_the_speed_uphill_that_is_met_and_not_one_that_is_not);
    tcase_add_test(driven, a_comparison_finds_what_limits_find_and_says_what_is_not_met);
    tcase_add_test(driven, without_demands_the_same_lineup_is_done);
    suite_add_tcase(suite, rows);
    suite_add_tcase(suite, verdicts);
    suite_add_tcase(suite, driven);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
