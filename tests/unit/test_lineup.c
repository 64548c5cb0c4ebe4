/* Lineups by the public calls: loading, both bases, differences, trucks that do not finish, an interrupt. */
#define _XOPEN_SOURCE 700
#include "folder.h"
#include "lineup/outcome.h"
#include "trip_probe.h"

#define ONE_NODE "tests/trucks/plain/tractor-4x2-central.yaml"
#define SHIPPED_EAXLE "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"
#define EAXLE "tests/trucks/plain/tractor-4x2-eaxle.yaml"
#define DEMO "tests/vehicles/lineups/demo.yaml"

typedef struct meeting { /* one comparison */
    evn_report *report;
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_status status;
} meeting;

/* A lineup on the hill of trucks written as "name: {use: HERE/PATH, ...}" lines; HERE stands for the working folder. */
static void write_lineup(const char *head, const char *trucks)
{
    char here[300], text[4000];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    size_t used = (size_t)snprintf(
        text, sizeof text, "name: a test\ninvented: true\ncycle: {use: %s/%s}\n%s\ntrucks:\n", here, HILL, head);
    for (const char *at = trucks; *at != '\0';) {
        bool marked = strncmp(at, "HERE", 4) == 0;
        used += (size_t)snprintf(text + used, sizeof text - used, marked ? "%s" : "%.1s", marked ? here : at);
        at += marked ? 4 : 1;
    }
    ck_assert_uint_lt(used, sizeof text);
    write_file("lineup.yaml", text);
}

static meeting load(const char *path, const char *const *set)
{
    meeting m = {.report = evn_report_new()};
    evn_load how = {.set = set};
    m.status = evn_lineup_load_with(path, &how, &m.lineup, m.report);
    return m;
}

static meeting compare_with(const char *path, const evn_conditions *ask, const evn_compare_how *how)
{
    meeting m = load(path, NULL);
    ck_assert_msg(m.status == EVN_DONE, "%s", first_finding(m.report));
    evn_conditions own = evn_lineup_ask(m.lineup);
    m.status = evn_compare(m.lineup, ask ? ask : &own, how, &m.comparison, m.report);
    return m;
}

static meeting compare_written(const char *head, const char *trucks)
{
    char path[PATH_BYTES];
    write_lineup(head, trucks);
    return compare_with(in_folder(path, "lineup.yaml"), NULL, NULL);
}

static void meeting_end(meeting *m)
{
    evn_comparison_free(m->comparison);
    evn_lineup_free(m->lineup);
    evn_report_free(m->report);
}

static const evn_outcome *outcome(const meeting *m, size_t truck, evn_basis basis)
{
    const evn_outcome *o = evn_comparison_outcome(m->comparison, truck, basis);
    ck_assert_ptr_nonnull(o);
    return o;
}

static double result_of(const meeting *m, size_t truck, evn_basis basis, const char *key)
{
    double value = (double)NAN;
    const evn_results *results = evn_outcome_results(outcome(m, truck, basis));
    ck_assert_ptr_nonnull(results);
    ck_assert(evn_results_get(results, key, &value));
    return value;
}

static double difference_of(const meeting *m, size_t truck, evn_basis basis, const char *key)
{
    const evn_outcome *o = outcome(m, truck, basis);
    evn_quantity what;
    double value;
    for (size_t i = 0; evn_outcome_difference_at(o, i, &what, &value); i++)
        if (strcmp(what.key, key) == 0)
            return value;
    ck_abort_msg("no difference %s", key);
}

static double figure_of(const meeting *m, const char *key)
{
    evn_quantity what;
    double value;
    for (size_t i = 0; evn_comparison_figure_at(m->comparison, i, &what, &value); i++)
        if (strcmp(what.key, key) == 0)
            return value;
    ck_abort_msg("no figure %s", key);
}

#define CENTRAL "  central: {use: HERE/" ONE_NODE "}\n"
#define AXLE "  axle: {use: HERE/" EAXLE "}\n"

/* ------------------------------------------------------------------------------------------------ loading */

START_TEST(the_shipped_lineup_is_read_with_names_trucks_and_what_it_asks)
{
    meeting m = load(DEMO, NULL);
    ck_assert_int_eq(m.status, EVN_DONE);
    ck_assert_uint_eq(evn_lineup_truck_count(m.lineup), 2);
    ck_assert_str_eq(evn_lineup_truck_name(m.lineup, 1), "electric_axle");
    ck_assert_ptr_null(evn_lineup_truck_name(m.lineup, 2));
    ck_assert_ptr_null(evn_lineup_truck(m.lineup, 2));
    ck_assert_str_eq(evn_lineup_source(m.lineup), "invented");
    ck_assert_str_eq(evn_truck_axle_configuration(evn_lineup_truck(m.lineup, 0)), "4x2");
    ck_assert_uint_eq(evn_truck_axle_count(evn_lineup_truck(m.lineup, 0)), 2);
    ck_assert_uint_eq(evn_truck_driven_axle_count(evn_lineup_truck(m.lineup, 0)), 1);
    ck_assert(evn_lineup_ask(m.lineup).load_case.payload_kg == 22800 &&
              evn_lineup_ask(m.lineup).driving.driver == EVN_DRIVER_HUMAN);
    meeting_end(&m);
}
END_TEST

START_TEST(what_stands_beside_use_wins_and_what_is_set_wins_over_that)
{
    static const char *const set[] = {
        "trucks.axle.body.drag_area_m2=4.9", "load_case.payload_kg=1000", "driving.driver=exact",
        "load_case.headwind_m_s=3",          "cycle.name=Another",        NULL};
    char path[PATH_BYTES];
    write_lineup("load_case: {payload_kg: 5}",
                 "  central: {use: HERE/" ONE_NODE ", body: {drag_area_m2: 5.1}}\n  axle: {use: HERE/" EAXLE
                 ", body: {drag_area_m2: 5.2}}\n");
    meeting m = load(in_folder(path, "lineup.yaml"), set);
    ck_assert_msg(m.status == EVN_DONE, "%s", first_finding(m.report));
    ck_assert_double_eq(evn_truck_drag_area_m2(evn_lineup_truck(m.lineup, 0)), 5.1);
    ck_assert_double_eq(evn_truck_drag_area_m2(evn_lineup_truck(m.lineup, 1)), 4.9);
    evn_conditions ask = evn_lineup_ask(m.lineup);
    ck_assert(ask.load_case.payload_kg == 1000 && ask.driving.driver == EVN_DRIVER_EXACT &&
              ask.load_case.headwind_m_s == 3);
    ck_assert_str_eq(evn_cycle_name(evn_lineup_cycle(m.lineup)), "Another");
    meeting_end(&m);
}
END_TEST

static void must_refuse(const char *head, const char *trucks, const char *fault)
{
    char path[PATH_BYTES];
    write_lineup(head, trucks);
    meeting m = load(in_folder(path, "lineup.yaml"), NULL);
    evn_finding found = {.fault = "none"};
    ck_assert_int_eq(m.status, EVN_BAD_INPUT);
    ck_assert_ptr_null(m.lineup);
    evn_report_at(m.report, 0, &found);
    ck_assert_str_eq(found.fault, fault);
    ck_assert_uint_gt(found.line, 0);
    meeting_end(&m);
}

START_TEST(lineups_that_cannot_be_are_refused_at_their_place)
{
    must_refuse("", CENTRAL, "out_of_range");
    must_refuse("driving: {driver: racing}", CENTRAL AXLE, "unknown_choice");
    must_refuse("", CENTRAL "  a/b: {use: HERE/" EAXLE "}\n", "unknown_key");
    must_refuse("", CENTRAL "  gone: {use: HERE/none.yaml}\n", "not_found");
    must_refuse("load_case: {gravity: 9}", CENTRAL AXLE, "unknown_key");
}
END_TEST

START_TEST(a_lineup_of_loaded_trucks_wants_names_that_differ)
{
    evn_report *report = evn_report_new();
    evn_truck *one = load_truck(ONE_NODE), *other = load_truck(EAXLE);
    evn_cycle *cycle = NULL;
    evn_lineup *lineup = NULL;
    ck_assert_int_eq(evn_cycle_load(HILL, &cycle, report), EVN_DONE);
    const evn_truck *trucks[] = {one, other};
    ck_assert_int_eq(evn_lineup_of(trucks, (const char *const[]){"a", "a"}, 2, cycle, &lineup, report), EVN_BAD_INPUT);
    ck_assert_int_eq(evn_lineup_of(trucks, (const char *const[]){"a", "b"}, 1, cycle, &lineup, report), EVN_BAD_INPUT);
    evn_report_free(report);
    report = evn_report_new();
    ck_assert_int_eq(evn_lineup_of(trucks, (const char *const[]){"a", "b"}, 2, cycle, &lineup, report), EVN_DONE);
    ck_assert_str_eq(evn_truck_name(evn_lineup_truck(lineup, 1)), evn_truck_name(other));
    ck_assert_ptr_null(evn_lineup_name(lineup));
    evn_lineup_free(lineup);
    evn_cycle_free(cycle);
    evn_truck_free(one);
    evn_truck_free(other);
    evn_report_free(report);
}
END_TEST

/* Told apart by their names in the lineup; a short name that no other bears stands alone. */
START_TEST(a_truck_is_called_by_its_short_name_else_by_its_name_with_blanks_and_told_apart_where_another_is_called_so)
{
    static const char *const expected[] = {"central drive (first)", "central drive (second_one)", "electric axle",
                                           "four speeds and more", "central drive (central_drive)"};
    char path[PATH_BYTES];
    write_lineup("", "  first: {use: HERE/" ONE_NODE "}\n  second_one: {use: HERE/" ONE_NODE "}\n" AXLE
                     "  four_speeds_and_more: {use: HERE/tests/trucks/four-speed.yaml}\n"
                     "  central_drive: {use: HERE/tests/trucks/four-speed.yaml}\n");
    meeting m = load(in_folder(path, "lineup.yaml"), NULL);
    ck_assert_msg(m.status == EVN_DONE, "%s", first_finding(m.report));
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        ck_assert_str_eq(evn_lineup_truck_title(m.lineup, i), expected[i]);
    ck_assert_ptr_null(evn_lineup_truck_title(m.lineup, 5));
    meeting_end(&m);
    static const char *const set[] = {"trucks.second_one.short_name=other gears", NULL};
    m = load(path, set);
    ck_assert_msg(m.status == EVN_DONE, "%s", first_finding(m.report));
    ck_assert_str_eq(evn_lineup_truck_title(m.lineup, 1), "other gears");
    ck_assert_str_eq(evn_lineup_truck_title(m.lineup, 0), "central drive (first)"); /* for the sake of the last */
    ck_assert_str_eq(evn_truck_short_name(evn_lineup_truck(m.lineup, 1)), "other gears");
    ck_assert_ptr_null(evn_truck_short_name(evn_lineup_truck(m.lineup, 3)));
    meeting_end(&m);
}
END_TEST

/* By whole parts of their names, of those alone that bear the title; something is left of each. */
START_TEST(trucks_of_one_title_are_told_apart_by_what_their_names_do_not_share)
{
    static const struct {
        const char *name[3], *title[3];
    } cases[] = {
        {{"tipper_8x4_central", "rigid_6x2_central", "tractor_central"},
         {"central drive (tipper_8x4)", "central drive (rigid_6x2)", "central drive (tractor)"}},
        {{"a_short_one", "a_long_one", "a_one"},
         {"central drive (short_one)", "central drive (long_one)", "central drive (one)"}},
        {{"new_short_one", "new_long_one", "new_old_one"},
         {"central drive (short)", "central drive (long)", "central drive (old)"}},
        {{"truck", "truck_2", "truck-3"},
         {"central drive (truck)", "central drive (truck_2)", "central drive (truck-3)"}},
        {{"a_b", "a-b", "a_c"}, {"central drive (a_b)", "central drive (a-b)", "central drive (a_c)"}},
        {{"abc_x", "abd_x", "ab_x"}, {"central drive (abc)", "central drive (abd)", "central drive (ab)"}},
    };
    evn_truck *central = load_truck(ONE_NODE);
    evn_cycle *cycle = load_cycle(HILL);
    const evn_truck *const trucks[] = {central, central, central};
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        meeting m = {.report = evn_report_new()};
        ck_assert_int_eq(evn_lineup_of(trucks, cases[c].name, 3, cycle, &m.lineup, m.report), EVN_DONE);
        for (size_t i = 0; i < 3; i++)
            ck_assert_str_eq(evn_lineup_truck_title(m.lineup, i), cases[c].title[i]);
        meeting_end(&m);
    }
    evn_cycle_free(cycle);
    evn_truck_free(central);
}
END_TEST

START_TEST(loaded_trucks_are_called_likewise)
{
    meeting m = {.report = evn_report_new()};
    evn_truck *central = load_truck(ONE_NODE), *plain = load_truck("tests/trucks/four-speed.yaml");
    evn_cycle *cycle = load_cycle(HILL);
    const evn_truck *const trucks[] = {central, plain, central};
    const char *const names[] = {"as_it_is", "four_speed", "again"};
    ck_assert_int_eq(evn_lineup_of(trucks, names, 3, cycle, &m.lineup, m.report), EVN_DONE);
    ck_assert_str_eq(evn_lineup_truck_title(m.lineup, 0), "central drive (as_it_is)");
    ck_assert_str_eq(evn_lineup_truck_title(m.lineup, 1), "four speed");
    ck_assert_str_eq(evn_lineup_truck_title(m.lineup, 2), "central drive (again)");
    ck_assert_str_eq(evn_lineup_truck_name(m.lineup, 0), "as_it_is");
    meeting_end(&m);
    evn_cycle_free(cycle);
    evn_truck_free(plain);
    evn_truck_free(central);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ comparing */

START_TEST(own_results_are_those_of_the_truck_driven_alone)
{
    meeting m = compare_with(DEMO, NULL, NULL);
    evn_conditions ask = evn_lineup_ask(m.lineup);
    drive alone = drive_any(SHIPPED_EAXLE, HILL, &ask, NULL);
    const evn_results *own = evn_outcome_results(outcome(&m, 1, EVN_BASIS_OWN));
    ck_assert_uint_eq(evn_results_count(own), evn_results_count(alone.results));
    for (size_t i = 0; i < evn_results_count(own); i++) {
        evn_quantity what;
        double value, other;
        ck_assert(evn_results_at(own, i, &what, &value) && evn_results_at(alone.results, i, &what, &other));
        ck_assert(memcmp(&value, &other, sizeof value) == 0);
    }
    drive_end(&alone);
    meeting_end(&m);
}
END_TEST

START_TEST(the_first_against_itself_has_no_difference)
{
    meeting m = compare_with(DEMO, NULL, NULL);
    for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
        const evn_outcome *o = outcome(&m, 0, (evn_basis)basis);
        evn_quantity what;
        double value;
        ck_assert_uint_gt(evn_outcome_difference_count(o), 60);
        for (size_t i = 0; evn_outcome_difference_at(o, i, &what, &value); i++)
            ck_assert_msg(value == 0, "%s is %g", what.key, value);
    }
    meeting_end(&m);
}
END_TEST

START_TEST(differences_are_taken_from_the_results)
{
    meeting m = compare_with(DEMO, NULL, NULL);
    for (int k = EVN_BASIS_OWN; k <= EVN_BASIS_COMMON; k++) {
        evn_basis basis = (evn_basis)k;
        double one = result_of(&m, 1, basis, "battery_kwh"), first = result_of(&m, 0, basis, "battery_kwh");
        ck_assert_double_eq_tol(difference_of(&m, 1, basis, "difference.battery_kwh"), one - first, 1e-12);
        ck_assert_double_eq_tol(difference_of(&m, 1, basis, "percent.battery_kwh"), 100 * (one / first - 1), 1e-9);
    }
    ck_assert_double_lt(difference_of(&m, 1, EVN_BASIS_OWN, "difference.masses.kerb_kg"), 0);
    meeting_end(&m);
}
END_TEST

/* Of a number below zero a smaller one is less: the percent has the sign of the difference. */
START_TEST(a_percent_has_the_sign_of_its_difference)
{
    static evn_result firsts[] = {{{"grade_kwh", "kWh", "", EVN_REAL, 3}, -4},
                                  {{"air_kwh", "kWh", "", EVN_REAL, 3}, 4}},
                      others[] = {{{"grade_kwh", "kWh", "", EVN_REAL, 3}, -5},
                                  {{"air_kwh", "kWh", "", EVN_REAL, 3}, 5}};
    static const struct {
        const char *key;
        double value;
    } rows[] = {
        {"difference.grade_kwh", -1}, {"percent.grade_kwh", -25}, {"difference.air_kwh", 1}, {"percent.air_kwh", 25}};
    evn_results first = {.result = firsts, .count = 2}, other = {.result = others, .count = 2};
    evn_outcome a = {.status = "finished", .results = &first}, b = {.status = "finished", .results = &other};
    evn_arena *arena = evn_arena_new();
    evn_balance_lines none = {{false}};
    ck_assert(evn_outcome_hold_against(&b, &a, &none, arena));
    ck_assert_uint_eq(evn_outcome_difference_count(&b), 4);
    for (size_t i = 0; i < 4; i++) {
        evn_quantity what;
        double value;
        ck_assert(evn_outcome_difference_at(&b, i, &what, &value));
        ck_assert_str_eq(what.key, rows[i].key);
        ck_assert_double_eq(value, rows[i].value);
    }
    free(b.difference);
    evn_arena_free(arena);
}
END_TEST

static bool is_of_balance(const char *key) { return strncmp(key, "difference.energy_balance.", 26) == 0; }

/* The differences of all lines of the energy balance together; to what closes each truck's own. */
static void ck_differences_add_up(const meeting *m, size_t truck, evn_basis basis)
{
    const evn_outcome *o = outcome(m, truck, basis);
    double sum = 0, drawn_kwh = result_of(m, truck, basis, "discharged_kwh");
    evn_quantity what;
    double value;
    for (size_t i = 0; evn_outcome_difference_at(o, i, &what, &value); i++)
        sum += is_of_balance(what.key) ? value : 0;
    ck_assert_double_eq_tol(sum, difference_of(m, truck, basis, "difference.battery_kwh"), 1e-5 * drawn_kwh);
}

/* Parts that some trucks lack: their lines are among the differences of all, whichever is the first. */
START_TEST(differences_of_the_energy_balance_add_up_whoever_lacks_a_part)
{
#define WITHOUT_PARTS "  plain: {use: HERE/tests/trucks/single-speed.yaml}\n"
#define WITH_RETARDER "  slowed: {use: HERE/tests/trucks/retarder.yaml}\n"
#define WITH_LOOP "  cooled: {use: HERE/tests/trucks/cooled.yaml}\n"
    static const char *const orders[] = {WITHOUT_PARTS WITH_LOOP WITH_RETARDER, WITH_RETARDER WITH_LOOP WITHOUT_PARTS};
    static const char retarder[] = "energy_balance.retarder_kwh";
    static const size_t slowed[] = {2, 0};
    for (size_t n = 0; n < 2; n++) {
        meeting m = compare_written("load_case: {start_soc: 0.9}", orders[n]);
        ck_assert_int_eq(m.status, EVN_DONE);
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
            double braked_kwh = result_of(&m, slowed[n], (evn_basis)basis, retarder);
            ck_assert_double_gt(braked_kwh, 0.1);
            for (size_t i = 1; i < 3; i++) {
                ck_differences_add_up(&m, i, (evn_basis)basis);
                double expected = i == slowed[n] ? braked_kwh : slowed[n] == 0 ? -braked_kwh : 0;
                ck_assert_double_eq(difference_of(&m, i, (evn_basis)basis, "difference.energy_balance.retarder_kwh"),
                                    expected);
            }
        }
        meeting_end(&m);
    }
}
END_TEST

START_TEST(trucks_with_the_same_parameters_give_the_same_results)
{
    meeting m = compare_written("", CENTRAL "  twin: {use: HERE/" ONE_NODE ", body: {drag_area_m2: 5.4}}\n");
    ck_assert_int_eq(m.status, EVN_DONE);
    for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
        const evn_outcome *twin = outcome(&m, 1, (evn_basis)basis);
        evn_quantity what;
        double value;
        for (size_t i = 0; evn_outcome_difference_at(twin, i, &what, &value); i++)
            ck_assert_msg(value == 0, "%s is %g", what.key, value);
    }
    meeting_end(&m);
}
END_TEST

/* A light truck, one of little power, one held by its tyres: the same time for all to 1e-4, on the plan of none above.
 */
START_TEST(at_the_common_speed_unlike_trucks_take_the_same_time)
{
    /* the last of them is neither the fastest nor the slowest */
    meeting m = compare_written("", CENTRAL "  slippery: {use: HERE/" ONE_NODE ", adhesion: {driving: 0.35}}\n"
                                            "  weak: {use: HERE/" EAXLE ", battery: {discharge_limit_kw: 250}}\n"
                                            "  light: {use: HERE/" ONE_NODE ", payload: {mass_kg: 4000}}\n" AXLE);
    ck_assert_msg(m.status == EVN_DONE, "%s", first_finding(m.report));
    ck_assert_double_eq(figure_of(&m, "common.trucks"), 5);
    ck_assert_double_le(figure_of(&m, "common.rounds"), 4);
    ck_assert_double_lt(figure_of(&m, "common.duration_spread"), 1e-4);
    double least_s = (double)INFINITY, most_s = 0;
    for (size_t i = 0; i < 5; i++) {
        double s = result_of(&m, i, EVN_BASIS_COMMON, "duration_s"),
               first = result_of(&m, 0, EVN_BASIS_COMMON, "duration_s");
        least_s = fmin(least_s, s);
        most_s = fmax(most_s, s);
        ck_assert_double_eq_tol(s, first, 1e-4 * first);
        ck_assert_double_gt(s, result_of(&m, i, EVN_BASIS_OWN, "duration_s") * 0.99);
        ck_assert_double_lt(fabs(result_of(&m, i, EVN_BASIS_COMMON, "delay_s")), 1e-4 * first);
        ck_assert_double_lt(result_of(&m, i, EVN_BASIS_COMMON, "balance_error"), 2e-5);
    }
    double last_s = result_of(&m, 4, EVN_BASIS_COMMON, "duration_s");
    ck_assert_msg(least_s < last_s && last_s < most_s, "%.9f %.9f %.9f", least_s, last_s, most_s);
    ck_assert_double_eq(figure_of(&m, "common.duration_spread_s"), most_s - least_s);
    meeting_end(&m);
}
END_TEST

/*
 * The heavier of two that are alike in all else is the slower: the common speed is its own. At these masses a gear
 * saves just its price between the start and the first rise: on either basis the plan has to see the same saving.
 */
static const int heavy_kg[] = {5050, 5200, 5350};
START_TEST(the_common_speed_of_a_slower_twin_is_its_own)
{
    char trucks[300];
    snprintf(trucks, sizeof trucks, CENTRAL "  heavy: {use: HERE/" ONE_NODE ", body: {mass_kg: %d}}\n", heavy_kg[_i]);
    meeting m = compare_written("driving: {driver: exact}", trucks);
    double own = result_of(&m, 1, EVN_BASIS_OWN, "duration_s"),
           common = result_of(&m, 1, EVN_BASIS_COMMON, "duration_s");
    ck_assert_double_eq_tol(common, own, 1e-4 * own);
    double use = result_of(&m, 1, EVN_BASIS_OWN, "battery_kwh");
    ck_assert_double_eq_tol(result_of(&m, 1, EVN_BASIS_COMMON, "battery_kwh"), use, 1e-3 * use);
    ck_assert_double_eq(result_of(&m, 1, EVN_BASIS_COMMON, "gear_changes"),
                        result_of(&m, 1, EVN_BASIS_OWN, "gear_changes"));
    ck_assert_double_gt(common, result_of(&m, 0, EVN_BASIS_OWN, "duration_s"));
    meeting_end(&m);
}
END_TEST

START_TEST(trucks_that_do_not_finish_do_not_stop_the_others)
{
    meeting m = compare_written("", CENTRAL "  stuck: {use: HERE/" ONE_NODE ", adhesion: {driving: 0.2}}\n"
                                            "  unfit: {use: HERE/" ONE_NODE ", payload: {centre_behind_m: 14}}\n" AXLE);
    ck_assert_int_eq(m.status, EVN_ANSWER_NO);
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 1, EVN_BASIS_OWN)), "stalled");
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 1, EVN_BASIS_COMMON)), "left_out");
    ck_assert_ptr_null(evn_outcome_results(outcome(&m, 1, EVN_BASIS_COMMON)));
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 2, EVN_BASIS_OWN)), "failed");
    ck_assert_ptr_null(evn_comparison_rig(m.comparison, 2));
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 3, EVN_BASIS_COMMON)), "finished");
    ck_assert_double_eq(figure_of(&m, "common.trucks"), 2);
    size_t said = 0;
    evn_finding found;
    for (size_t i = 0; evn_report_at(m.report, i, &found); i++)
        said += strcmp(found.fault, "not_finished") == 0;
    ck_assert_uint_eq(said, 2);
    ck_assert_ptr_null(evn_comparison_outcome(m.comparison, 4, EVN_BASIS_OWN));
    meeting_end(&m);
}
END_TEST

START_TEST(an_ask_out_of_range_is_said_once_and_gives_nothing)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.accuracy = 1;
    meeting m = compare_with(DEMO, &ask, NULL);
    ck_assert_int_eq(m.status, EVN_BAD_INPUT);
    ck_assert_ptr_null(m.comparison);
    ck_assert_uint_eq(evn_report_count(m.report), 1);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ watching */

typedef struct patience {
    unsigned asked, until;
    double furthest;
    bool back; /* the share went down */
} patience;

static bool go_on(void *self, double done_share)
{
    patience *of = self;
    of->back = of->back || done_share < of->furthest;
    of->furthest = done_share;
    return ++of->asked < of->until;
}

START_TEST(an_interrupt_leaves_what_has_finished)
{
    patience of = {.until = 1};
    meeting whole = compare_with(DEMO, NULL, &(evn_compare_how){.threads = 1, .self = &of, .go_on = go_on});
    ck_assert_int_eq(whole.status, EVN_NO_RESULT);
    ck_assert_str_eq(evn_outcome_status(outcome(&whole, 0, EVN_BASIS_OWN)), "interrupted");
    meeting_end(&whole);

    of = (patience){.until = 1000000};
    whole = compare_with(DEMO, NULL, &(evn_compare_how){.threads = 1, .self = &of, .go_on = go_on});
    ck_assert_int_eq(whole.status, EVN_DONE);
    ck_assert(!of.back && of.furthest == 1);

    patience half = {.until = of.asked / 2};
    meeting m = compare_with(DEMO, NULL, &(evn_compare_how){.threads = 1, .self = &half, .go_on = go_on});
    ck_assert_int_eq(m.status, EVN_NO_RESULT);
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 0, EVN_BASIS_OWN)), "finished");
    ck_assert(result_of(&m, 0, EVN_BASIS_OWN, "battery_kwh") == result_of(&whole, 0, EVN_BASIS_OWN, "battery_kwh"));
    ck_assert_str_ne(evn_outcome_status(outcome(&m, 1, EVN_BASIS_COMMON)), "finished");
    meeting_end(&m);
    meeting_end(&whole);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ sampling */

typedef struct tape { /* rows of one run */
    trace rows;
    unsigned begun;
} tape;

enum { TRUCKS_MOST = 5, INTERVALS = 2 };
static const double intervals_s[INTERVALS] = {1, 0.3};

typedef struct recorder { /* of all runs of a comparison */
    tape tape[TRUCKS_MOST][2][INTERVALS];
    evn_sampler asked[INTERVALS];
    size_t asks;
    size_t order[2 * TRUCKS_MOST]; /* 2 truck + basis, as it was asked */
} recorder;

static void wind_back(void *self)
{
    tape *of = self;
    of->begun++;
    of->rows.rows = 0;
}

static void record(void *self, const double *row, size_t columns)
{
    tape *of = self;
    keep_row(&of->rows, row, columns);
}

static evn_samplers record_all(void *self, size_t truck, const evn_rig *rig, evn_basis basis)
{
    recorder *of = self;
    ck_assert_ptr_nonnull(rig);
    of->order[of->asks++] = 2 * truck + (size_t)basis;
    for (size_t k = 0; k < INTERVALS; k++)
        of->asked[k] = (evn_sampler){&of->tape[truck][basis][k], intervals_s[k], wind_back, record};
    return (evn_samplers){of->asked, INTERVALS};
}

static void recorder_end(recorder *of)
{
    for (size_t i = 0; i < TRUCKS_MOST; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            for (size_t k = 0; k < INTERVALS; k++)
                trace_end(&of->tape[i][basis][k].rows);
}

static void must_be_same_rows(const trace *one, const trace *other)
{
    ck_assert_uint_gt(one->rows, 100);
    ck_assert_uint_eq(one->rows, other->rows);
    ck_assert_uint_eq(one->columns, other->columns);
    ck_assert_mem_eq(one->value, other->value, one->rows * one->columns * sizeof *one->value);
}

START_TEST(the_rows_of_a_comparison_are_those_of_each_truck_driven_alone_at_each_interval)
{
    recorder of = {.asks = 0};
    evn_conditions ask = evn_conditions_default();
    ask.load_case.payload_kg = 22800;
    ask.driving.driver = (evn_driver)_i;
    meeting m = compare_with(DEMO, &ask, &(evn_compare_how){.self = &of, .samplers = record_all});
    ck_assert_int_eq(m.status, EVN_DONE);
    for (size_t k = 0; k < INTERVALS; k++) {
        trace rows = {NULL, 0, 0, 0};
        ask.driving.trace_interval_s = intervals_s[k];
        drive alone = drive_whole(SHIPPED_EAXLE, HILL, &ask, &rows);
        must_be_same_rows(&of.tape[1][EVN_BASIS_OWN][k].rows, &rows);
        trace_end(&rows);
        drive_end(&alone);
    }
    recorder_end(&of);
    meeting_end(&m);
}
END_TEST

/* Pulling hard at unlike limits, these are not at one speed before it is lowered once more; with 25 t they are. */
#define LADEN "load_case: {payload_kg: 30000}"
#define UNLIKE CENTRAL AXLE "  four: {use: HERE/tests/trucks/four-speed.yaml}\n"

static meeting compare_unlike(size_t threads, recorder *of)
{
    char path[PATH_BYTES];
    write_lineup(LADEN, UNLIKE);
    return compare_with(in_folder(path, "lineup.yaml"), NULL,
                        &(evn_compare_how){.threads = threads, .self = of, .samplers = of ? record_all : NULL});
}

START_TEST(each_run_is_driven_once_and_each_further_round_drops_the_rows_before)
{
    recorder of = {.asks = 0};
    meeting m = compare_unlike(2, &of);
    ck_assert_msg(m.status == EVN_DONE, "%s", first_finding(m.report));
    unsigned rounds = (unsigned)figure_of(&m, "common.rounds");
    ck_assert_uint_eq(rounds, 2);
    for (size_t i = 0; i < 3; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
            const tape *t = &of.tape[i][basis][0];
            ck_assert_uint_eq(t->begun, basis == EVN_BASIS_OWN ? 1 : rounds);
            ck_assert(at_row(&t->rows, 0, 0) == 0);
            for (size_t row = 1; row < t->rows.rows; row++)
                ck_assert_double_ge(at_row(&t->rows, row, 0), at_row(&t->rows, row - 1, 0));
            ck_assert(at_row(&t->rows, t->rows.rows - 1, 0) == result_of(&m, i, (evn_basis)basis, "duration_s"));
            ck_assert_double_eq_tol(at_row(&t->rows, t->rows.rows - 1, 1), 12000, 1e-6);
        }
    recorder_end(&of);
    meeting_end(&m);
}
END_TEST

static void must_be_same_results(const evn_outcome *one, const evn_outcome *other)
{
    const evn_results *a = evn_outcome_results(one), *b = evn_outcome_results(other);
    evn_quantity what;
    double x, y;
    ck_assert(a && b);
    ck_assert_uint_eq(evn_results_count(a), evn_results_count(b));
    for (size_t k = 0; evn_results_at(a, k, &what, &x) && evn_results_at(b, k, &what, &y); k++)
        ck_assert_msg(memcmp(&x, &y, sizeof x) == 0, "%s is %.17g and %.17g", what.key, x, y);
}

static void must_have_same_results(const meeting *one, const meeting *other, size_t trucks)
{
    for (size_t i = 0; i < trucks; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            must_be_same_results(outcome(one, i, (evn_basis)basis), outcome(other, i, (evn_basis)basis));
}

START_TEST(results_and_rows_are_the_same_at_any_number_of_threads_and_without_samplers)
{
    static const size_t threads[] = {2, 8};
    recorder first = {.asks = 0};
    meeting one = compare_unlike(1, &first), bare = compare_unlike(1, NULL);
    must_have_same_results(&one, &bare, 3);
    for (size_t k = 0; k < sizeof threads / sizeof threads[0]; k++) {
        recorder other = {.asks = 0};
        meeting m = compare_unlike(threads[k], &other);
        must_have_same_results(&one, &m, 3);
        ck_assert_uint_eq(other.asks, 6);
        for (size_t i = 0; i < 6; i++) {
            ck_assert_uint_eq(other.order[i], i);
            must_be_same_rows(&first.tape[i / 2][i % 2][1].rows, &other.tape[i / 2][i % 2][1].rows);
        }
        recorder_end(&other);
        meeting_end(&m);
    }
    recorder_end(&first);
    meeting_end(&one);
    meeting_end(&bare);
}
END_TEST

START_TEST(the_common_speed_is_the_same_whichever_driver_was_asked_for)
{
    char path[PATH_BYTES];
    meeting m[2];
    for (int driver = EVN_DRIVER_HUMAN; driver <= EVN_DRIVER_EXACT; driver++) {
        write_lineup(driver == EVN_DRIVER_HUMAN ? LADEN : LADEN "\ndriving: {driver: exact}", UNLIKE);
        m[driver] = compare_with(in_folder(path, "lineup.yaml"), NULL, NULL);
    }
    ck_assert_double_eq(figure_of(&m[0], "common.rounds"), figure_of(&m[1], "common.rounds"));
    for (size_t i = 0; i < 3; i++)
        must_be_same_results(outcome(&m[0], i, EVN_BASIS_COMMON), outcome(&m[1], i, EVN_BASIS_COMMON));
    ck_assert(result_of(&m[0], 0, EVN_BASIS_OWN, "battery_kwh") != result_of(&m[1], 0, EVN_BASIS_OWN, "battery_kwh"));
    meeting_end(&m[0]);
    meeting_end(&m[1]);
}
END_TEST

static evn_samplers too_dense(void *self, size_t truck, const evn_rig *rig, evn_basis basis)
{
    recorder *of = self;
    (void)rig;
    of->asked[0] = (evn_sampler){&of->tape[truck][basis][0], 0, NULL, record};
    return (evn_samplers){of->asked, truck == 1};
}

START_TEST(a_sampler_without_an_interval_fails_its_run_and_says_so)
{
    recorder of = {.asks = 0};
    meeting m = compare_with(DEMO, NULL, &(evn_compare_how){.self = &of, .samplers = too_dense});
    evn_finding found = {.text = ""};
    ck_assert_int_ne(m.status, EVN_DONE);
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 0, EVN_BASIS_OWN)), "finished");
    ck_assert_str_eq(evn_outcome_status(outcome(&m, 1, EVN_BASIS_OWN)), "failed");
    evn_report_at(evn_outcome_report(outcome(&m, 1, EVN_BASIS_OWN)), 0, &found);
    ck_assert_ptr_nonnull(strstr(found.text, "every 0 s; expected 0.001 to 86400"));
    recorder_end(&of);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ suite */

int main(void)
{
    Suite *suite = suite_create("lineup");
    TCase *tests = tcase_create("lineup");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, the_shipped_lineup_is_read_with_names_trucks_and_what_it_asks);
    tcase_add_test(tests, what_stands_beside_use_wins_and_what_is_set_wins_over_that);
    tcase_add_test(tests, lineups_that_cannot_be_are_refused_at_their_place);
    tcase_add_test(tests, a_lineup_of_loaded_trucks_wants_names_that_differ);
    tcase_add_test(
        tests,
        a_truck_is_called_by_its_short_name_else_by_its_name_with_blanks_and_told_apart_where_another_is_called_so);
    tcase_add_test(tests, trucks_of_one_title_are_told_apart_by_what_their_names_do_not_share);
    tcase_add_test(tests, loaded_trucks_are_called_likewise);
    tcase_add_test(tests, own_results_are_those_of_the_truck_driven_alone);
    tcase_add_test(tests, the_first_against_itself_has_no_difference);
    tcase_add_test(tests, differences_are_taken_from_the_results);
    tcase_add_test(tests, differences_of_the_energy_balance_add_up_whoever_lacks_a_part);
    tcase_add_test(tests, a_percent_has_the_sign_of_its_difference);
    tcase_add_test(tests, trucks_with_the_same_parameters_give_the_same_results);
    tcase_add_test(tests, at_the_common_speed_unlike_trucks_take_the_same_time);
    tcase_add_loop_test(tests, the_common_speed_of_a_slower_twin_is_its_own, 0, 3);
    tcase_add_test(tests, trucks_that_do_not_finish_do_not_stop_the_others);
    tcase_add_test(tests, an_ask_out_of_range_is_said_once_and_gives_nothing);
    tcase_add_test(tests, an_interrupt_leaves_what_has_finished);
    tcase_add_loop_test(tests, the_rows_of_a_comparison_are_those_of_each_truck_driven_alone_at_each_interval,
                        EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT + 1);
    tcase_add_test(tests, each_run_is_driven_once_and_each_further_round_drops_the_rows_before);
    tcase_add_test(tests, results_and_rows_are_the_same_at_any_number_of_threads_and_without_samplers);
    tcase_add_test(tests, the_common_speed_is_the_same_whichever_driver_was_asked_for);
    tcase_add_test(tests, a_sampler_without_an_interval_fails_its_run_and_says_so);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
