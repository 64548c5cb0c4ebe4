/* Every public call, given what its header does not allow: NULL, indices and enumerators that there are not, numbers
 * that are none. Each refuses it as evener.h says, crashes on nothing and takes nothing in silence. */
#define _XOPEN_SOURCE 700
#include "evener/assess.h"
#include "evener/beside.h"
#include "evener/catalogue.h"
#include "evener/causes.h"
#include "evener/charts.h"
#include "evener/coastdown.h"
#include "evener/collectives.h"
#include "evener/duty.h"
#include "evener/explain.h"
#include "evener/kept.h"
#include "evener/keys.h"
#include "evener/likeness.h"
#include "evener/limits.h"
#include "evener/logs.h"
#include "evener/match.h"
#include "evener/matrices.h"
#include "evener/payback.h"
#include "evener/range.h"
#include "evener/rules.h"
#include "evener/site.h"
#include "evener/uncertainty.h"
#include "evener/values.h"
#include "evener/vary.h"
#include "folder.h"
#include "trip_probe.h"
#include <stdint.h>

#define UNITS "tests/trucks/two-units.yaml"
#define LINEUP "tests/vehicles/lineups/demo.yaml"
enum { TWO = 2, FAR = 99 };
#define DUTY_TEXT                                                                                                      \
    "name: A leg\ninvented: true\nday:\n  - leg: {name: a, cycle: {name: c, invented: true, length_m: 300, speed: "    \
    "{place_m: [0], limit_km_h: [40]}}}\n"

/* ------------------------------------------------------------------------------------------------ what there is */

typedef struct scene {
    evn_conditions ask;
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_results *results;
    evn_lineup *lineup;
    evn_comparison *comparison;
    const evn_outcome *outcome;
    evn_kept *kept;
    evn_check *check;
    evn_catalogue *catalogue;
    evn_part *part;
    evn_chart *chart;
    evn_census *census;
    evn_adhesion_use *use;
    evn_limits *limits;
    evn_duty *duty;
    evn_day *day;
    evn_range *range;
    evn_collective *collective;
    evn_truck_data *data;
    evn_uncertainty *uncertainty;
    double *row;
    size_t columns;
} scene;

static const evn_uncertainty_how first_order = {.method = EVN_UNCERTAINTY_FIRST_ORDER};
static const double no_payload_kg[] = {0};
static const evn_range_how short_range = {.payload_kg = no_payload_kg, .payloads = 1, .only_distances = true};
static scene s; /* made once, before the tests: each runs on a copy, in a process of its own */

static void scene_begin(void)
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    folder_begin();
    s = (scene){.ask = evn_conditions_default()};
    s.truck = load_truck(UNITS);
    s.cycle = load_cycle(HILL);
    evn_rig_prepare(s.truck, &s.ask.load_case, &s.rig, report);
    evn_drive(s.rig, s.cycle, &s.ask.driving, NULL, &s.results, report);
    evn_lineup_load(LINEUP, &s.lineup, report);
    evn_compare(s.lineup, &s.ask, NULL, &s.comparison, report);
    s.outcome = evn_comparison_outcome(s.comparison, 1, EVN_BASIS_OWN);
    s.kept = evn_kept_new(in_folder(path, "kept.yaml"));
    evn_kept_add(s.kept, UNITS, HILL, &s.ask, NULL, report);
    evn_kept_check(s.kept, &(evn_check_how){0}, &s.check, report);
    evn_catalogue_open(NULL, &s.catalogue, report);
    evn_part_example("motor", &s.part, report);
    evn_chart_of_forces(s.rig, &s.chart, report);
    s.census = evn_census_new(s.rig);
    s.use = evn_adhesion_use_new(s.rig);
    evn_limits_find(s.rig, &s.ask.driving, &(evn_limits_how){.only_forces = true}, &s.limits, report);
    write_file("duty.yaml", DUTY_TEXT);
    evn_duty_load(in_folder(path, "duty.yaml"), &s.duty, report);
    evn_drive_duty(s.truck, s.duty, &s.ask, NULL, &s.day, report);
    evn_conditions nearly_empty = s.ask;
    nearly_empty.load_case.start_soc = 0.0605;
    evn_range_find(s.truck, s.duty, &nearly_empty, &short_range, &s.range, report);
    s.collective = evn_collective_new(s.rig);
    evn_truck_data_find(s.truck, &s.data, report);
    evn_uncertainty_find(s.lineup, s.comparison, &first_order, &s.uncertainty, report);
    s.columns = evn_trace_column_count(s.rig);
    s.row = calloc(s.columns, sizeof *s.row);
    ck_assert_msg(evn_report_status(report) == EVN_DONE, "%s", first_finding(report));
    ck_assert(s.results && s.outcome && s.check && s.catalogue && s.part && s.chart && s.census && s.use && s.limits &&
              s.day && s.range && s.collective && s.data && s.uncertainty && s.row);
    evn_report_free(report);
}

static void scene_end(void)
{
    free(s.row);
    evn_uncertainty_free(s.uncertainty);
    evn_truck_data_free(s.data);
    evn_limits_free(s.limits);
    evn_range_free(s.range);
    evn_day_free(s.day);
    evn_duty_free(s.duty);
    evn_collective_free(s.collective);
    evn_adhesion_use_free(s.use);
    evn_census_free(s.census);
    evn_chart_free(s.chart);
    evn_part_free(s.part);
    evn_catalogue_free(s.catalogue);
    evn_check_free(s.check);
    evn_kept_free(s.kept);
    evn_comparison_free(s.comparison);
    evn_lineup_free(s.lineup);
    evn_results_free(s.results);
    evn_rig_free(s.rig);
    evn_cycle_free(s.cycle);
    evn_truck_free(s.truck);
    folder_end();
}

/* ------------------------------------------------------------------------------------------------ refused */

static void must_have_said(evn_report *report, evn_status status, const char *fault, const char *call)
{
    evn_finding found;
    ck_assert_msg(status == EVN_BAD_INPUT, "%s: status %d", call, (int)status);
    ck_assert_msg(evn_report_status(report) == EVN_BAD_INPUT && evn_report_at(report, 0, &found), "%s said nothing",
                  call);
    ck_assert_msg(strcmp(found.fault, fault) == 0, "%s: %s: %s", call, found.fault, found.text);
    evn_report_free(report);
}

/* Each makes the call with a report of its own, by the name of `report`. */
#define FINDS(fault, call)                                                                                             \
    do {                                                                                                               \
        evn_report *report = evn_report_new();                                                                         \
        evn_status status = (call);                                                                                    \
        must_have_said(report, status, fault, #call);                                                                  \
    } while (0)
#define REFUSES(call) FINDS("usage", call)
/* Calls that tell only whether. */
#define REFUSES_TO(call) FINDS("usage", (call) ? EVN_DONE : evn_report_status(report))
/* Calls without a report: what they give where there is nothing. */
#define NOTHING(call) ck_assert_msg(!(call), "%s gives something", #call)
/* Refused, and the handle, which held something else before, is NULL. */
#define REFUSES_HANDLE(type, call)                                                                                     \
    do {                                                                                                               \
        type *out = (type *)&s;                                                                                        \
        REFUSES(call);                                                                                                 \
        ck_assert_msg(!out, "%s leaves its handle", #call);                                                            \
    } while (0)
/* The same with another fault. */
#define REFUSES_HANDLE_AS(fault, type, call)                                                                           \
    do {                                                                                                               \
        type *out = (type *)&s;                                                                                        \
        FINDS(fault, call);                                                                                            \
        ck_assert_msg(!out, "%s leaves its handle", #call);                                                            \
    } while (0)
/* The same without a report: the status alone tells. */
#define REFUSES_NO_REPORT(type, call)                                                                                  \
    do {                                                                                                               \
        type *out = (type *)&s;                                                                                        \
        ck_assert_msg((call) == EVN_BAD_INPUT && !out, "%s", #call);                                                   \
    } while (0)

static evn_quantity what;
static double value;

/* ------------------------------------------------------------------------------------------------ evener.h */

static void reports(void)
{
    evn_finding found;
    evn_report *report = evn_report_new();
    NOTHING(evn_report_count(NULL));
    NOTHING(evn_report_left_out(NULL));
    NOTHING(evn_report_at(NULL, 0, &found));
    NOTHING(evn_report_at(report, 0, NULL));
    NOTHING(evn_report_at(report, FAR, &found));
    NOTHING(evn_report_file_at(NULL, 0));
    NOTHING(evn_report_file_at(report, FAR));
    ck_assert_int_eq(evn_report_status(NULL), EVN_BAD_INPUT);
    ck_assert(!evn_report_be_strict(NULL, true));
    evn_report_free(report);
    evn_report_free(NULL);
}

static void loading_trucks(void)
{
    const evn_load how = {0};
    REFUSES_HANDLE(evn_truck, evn_truck_load(NULL, &out, report));
    REFUSES(evn_truck_load(UNITS, NULL, report));
    REFUSES_NO_REPORT(evn_truck, evn_truck_load(UNITS, &out, NULL));
    REFUSES_HANDLE(evn_truck, evn_truck_load_with(NULL, &how, &out, report));
    REFUSES_HANDLE(evn_truck, evn_truck_load_with(UNITS, NULL, &out, report));
    REFUSES(evn_truck_load_with(UNITS, &how, NULL, report));
    REFUSES_NO_REPORT(evn_truck, evn_truck_load_with(UNITS, &how, &out, NULL));
    evn_truck_free(NULL);
}

static void loading_cycles(void)
{
    const evn_load how = {0};
    REFUSES_HANDLE(evn_cycle, evn_cycle_load(NULL, &out, report));
    REFUSES(evn_cycle_load(HILL, NULL, report));
    REFUSES_NO_REPORT(evn_cycle, evn_cycle_load(HILL, &out, NULL));
    REFUSES_HANDLE(evn_cycle, evn_cycle_load_with(NULL, &how, &out, report));
    REFUSES_HANDLE(evn_cycle, evn_cycle_load_with(HILL, NULL, &out, report));
    REFUSES(evn_cycle_load_with(HILL, &how, NULL, report));
    REFUSES_NO_REPORT(evn_cycle, evn_cycle_load_with(HILL, &how, &out, NULL));
    evn_cycle_free(NULL);
}

static void trucks_and_cycles(void)
{
    NOTHING(evn_truck_name(NULL));
    NOTHING(evn_truck_short_name(NULL));
    NOTHING(evn_truck_invented(NULL));
    NOTHING(evn_truck_axle_configuration(NULL));
    NOTHING(evn_truck_brake_distribution(NULL));
    NOTHING(evn_truck_axle_count(NULL));
    NOTHING(evn_truck_driven_axle_count(NULL));
    ck_assert_double_nan(evn_truck_drag_area_m2(NULL));
    NOTHING(evn_cycle_name(NULL));
    NOTHING(evn_cycle_source(NULL));
    NOTHING(evn_cycle_figure_count(NULL));
    NOTHING(evn_cycle_figure_at(NULL, 0, &what, &value));
    NOTHING(evn_cycle_figure_at(s.cycle, 0, NULL, &value));
    NOTHING(evn_cycle_figure_at(s.cycle, 0, &what, NULL));
    NOTHING(evn_cycle_figure_at(s.cycle, FAR, &what, &value));
}

static void members_of_conditions(void)
{
    evn_conditions ask = s.ask;
    REFUSES_TO(evn_load_case_set(NULL, "payload_kg", 1, report));
    REFUSES_TO(evn_load_case_set(&ask.load_case, NULL, 1, report));
    NOTHING(evn_load_case_set(&ask.load_case, "payload_kg", 1, NULL));
    REFUSES_TO(evn_driving_set(NULL, "accuracy", 1e-6, report));
    REFUSES_TO(evn_driving_set(&ask.driving, NULL, 1e-6, report));
    NOTHING(evn_driving_set(&ask.driving, "accuracy", 1e-4, NULL));
    NOTHING(evn_load_case_get(NULL, "payload_kg", &value));
    NOTHING(evn_load_case_get(&ask.load_case, NULL, &value));
    NOTHING(evn_load_case_get(&ask.load_case, "payload_kg", NULL));
    NOTHING(evn_driving_get(NULL, "accuracy", &value));
    NOTHING(evn_driving_get(&ask.driving, NULL, &value));
    NOTHING(evn_driving_get(&ask.driving, "accuracy", NULL));
    NOTHING(evn_conditions_before_seasons(NULL, "payload_kg"));
    NOTHING(evn_conditions_before_seasons(&ask, NULL));
    NOTHING(evn_conditions_before_seasons(&ask, "accuracy"));
    ck_assert(memcmp(&ask, &s.ask, sizeof ask) == 0);
}

static void rigs(void)
{
    REFUSES_HANDLE(evn_rig, evn_rig_prepare(NULL, &s.ask.load_case, &out, report));
    REFUSES_HANDLE(evn_rig, evn_rig_prepare(s.truck, NULL, &out, report));
    REFUSES(evn_rig_prepare(s.truck, &s.ask.load_case, NULL, report));
    REFUSES_NO_REPORT(evn_rig, evn_rig_prepare(s.truck, &s.ask.load_case, &out, NULL));
    evn_rig_free(NULL);
    NOTHING(evn_rig_figure_count(NULL));
    NOTHING(evn_rig_figure_at(NULL, 0, &what, &value));
    NOTHING(evn_rig_figure_at(s.rig, 0, NULL, &value));
    NOTHING(evn_rig_figure_at(s.rig, 0, &what, NULL));
    NOTHING(evn_rig_figure_at(s.rig, SIZE_MAX, &what, &value));
    evn_fact fact;
    NOTHING(evn_rig_fact_at(NULL, 0, &fact));
    NOTHING(evn_rig_fact_at(s.rig, 0, NULL));
    NOTHING(evn_rig_fact_at(s.rig, SIZE_MAX, &fact));
    NOTHING(evn_rig_unit_count(NULL));
    NOTHING(evn_rig_unit_name(NULL, 0));
    NOTHING(evn_rig_unit_name(s.rig, FAR));
}

static void drives(void)
{
    const evn_driving *driving = &s.ask.driving;
    REFUSES_HANDLE(evn_results, evn_drive(NULL, s.cycle, driving, NULL, &out, report));
    REFUSES_HANDLE(evn_results, evn_drive(s.rig, NULL, driving, NULL, &out, report));
    REFUSES_HANDLE(evn_results, evn_drive(s.rig, s.cycle, NULL, NULL, &out, report));
    REFUSES(evn_drive(s.rig, s.cycle, driving, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_results, evn_drive(s.rig, s.cycle, driving, NULL, &out, NULL));
    evn_results_free(NULL);
}

static void results(void)
{
    evn_limitation held;
    evn_friction_cause cause;
    evn_peak_temperature peak;
    const char *limit, *label;
    NOTHING(evn_results_friction_cause_at(NULL, 0, &cause));
    NOTHING(evn_results_friction_cause_at(s.results, 0, NULL));
    NOTHING(evn_results_friction_cause_at(s.results, FAR, &cause));
    NOTHING(evn_results_peak_temperature_at(NULL, 0, &peak));
    NOTHING(evn_results_peak_temperature_at(s.results, 0, NULL));
    NOTHING(evn_results_peak_temperature_at(s.results, FAR, &peak));
    NOTHING(evn_results_status(NULL));
    NOTHING(evn_results_count(NULL));
    NOTHING(evn_results_at(NULL, 0, &what, &value));
    NOTHING(evn_results_at(s.results, 0, NULL, &value));
    NOTHING(evn_results_at(s.results, 0, &what, NULL));
    NOTHING(evn_results_at(s.results, evn_results_count(s.results), &what, &value));
    NOTHING(evn_results_get(NULL, "duration_s", &value));
    NOTHING(evn_results_get(s.results, NULL, &value));
    NOTHING(evn_results_get(s.results, "duration_s", NULL));
    NOTHING(evn_results_get(s.results, "no_such_key", &value));
    NOTHING(evn_headline_at(0, NULL));
    NOTHING(evn_headline_at(FAR, &what));
    NOTHING(evn_headline_at(SIZE_MAX, &what));
    NOTHING(evn_result_row_at(0, NULL));
    NOTHING(evn_result_row_at(FAR, &what));
    NOTHING(evn_result_row_at(SIZE_MAX, &what));
    NOTHING(evn_limit_at(0, NULL, &label));
    NOTHING(evn_limit_at(0, &limit, NULL));
    NOTHING(evn_limit_at(FAR, &limit, &label));
    NOTHING(evn_limit_at(SIZE_MAX, &limit, &label));
    NOTHING(evn_results_limitation_count(NULL));
    NOTHING(evn_results_limitation_at(NULL, 0, &held));
    NOTHING(evn_results_limitation_at(s.results, 0, NULL));
    NOTHING(evn_results_limitation_at(s.results, FAR, &held));
}

static void loading_lineups(void)
{
    const evn_load how = {0};
    REFUSES_HANDLE(evn_lineup, evn_lineup_load(NULL, &out, report));
    REFUSES(evn_lineup_load(LINEUP, NULL, report));
    REFUSES_NO_REPORT(evn_lineup, evn_lineup_load(LINEUP, &out, NULL));
    REFUSES_HANDLE(evn_lineup, evn_lineup_load_with(NULL, &how, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_load_with(LINEUP, NULL, &out, report));
    REFUSES(evn_lineup_load_with(LINEUP, &how, NULL, report));
    REFUSES_NO_REPORT(evn_lineup, evn_lineup_load_with(LINEUP, &how, &out, NULL));
    evn_lineup_free(NULL);
}

static void lineups(void)
{
    const evn_truck *const trucks[TWO] = {s.truck, s.truck}, *const short_of_one[TWO] = {s.truck, NULL};
    const char *const names[TWO] = {"one", "two"}, *const unnamed[TWO] = {"one", NULL};
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(NULL, names, TWO, s.cycle, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(short_of_one, names, TWO, s.cycle, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(trucks, NULL, TWO, s.cycle, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(trucks, unnamed, TWO, s.cycle, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(trucks, names, FAR, s.cycle, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(trucks, names, SIZE_MAX, s.cycle, &out, report));
    REFUSES_HANDLE(evn_lineup, evn_lineup_of(trucks, names, TWO, NULL, &out, report));
    REFUSES(evn_lineup_of(trucks, names, TWO, s.cycle, NULL, report));
    REFUSES_NO_REPORT(evn_lineup, evn_lineup_of(trucks, names, TWO, s.cycle, &out, NULL));
    NOTHING(evn_lineup_name(NULL));
    NOTHING(evn_lineup_source(NULL));
    NOTHING(evn_lineup_truck_count(NULL));
    NOTHING(evn_lineup_truck_name(NULL, 0));
    NOTHING(evn_lineup_truck_name(s.lineup, TWO));
    NOTHING(evn_lineup_truck_title(NULL, 0));
    NOTHING(evn_lineup_truck_title(s.lineup, TWO));
    NOTHING(evn_lineup_truck(NULL, 0));
    NOTHING(evn_lineup_truck(s.lineup, TWO));
    NOTHING(evn_lineup_cycle(NULL));
    NOTHING(evn_lineup_duty(NULL));
    NOTHING(evn_lineup_over(NULL));
    NOTHING(evn_lineup_over_source(NULL));
    NOTHING(evn_lineup_has_duty(NULL));
    NOTHING(evn_lineup_duty(NULL));
    NOTHING(evn_lineup_season_name(NULL));
    NOTHING(evn_lineup_season_count(NULL));
    const evn_conditions plain = evn_conditions_default(), asked = evn_lineup_ask(NULL);
    const evn_conditions in_season = evn_lineup_in_season(NULL, NULL);
    ck_assert(memcmp(&plain, &asked, sizeof plain) == 0);
    ck_assert(memcmp(&plain, &in_season, sizeof plain) == 0);
}

static void comparisons(void)
{
    REFUSES_HANDLE(evn_comparison, evn_compare(NULL, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_comparison, evn_compare(s.lineup, NULL, NULL, &out, report));
    REFUSES(evn_compare(s.lineup, &s.ask, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_comparison, evn_compare(s.lineup, &s.ask, NULL, &out, NULL));
    evn_comparison_free(NULL);
    NOTHING(evn_comparison_rig(NULL, 0));
    NOTHING(evn_comparison_rig(s.comparison, TWO));
    NOTHING(evn_comparison_outcome(NULL, 0, EVN_BASIS_OWN));
    NOTHING(evn_comparison_outcome(s.comparison, TWO, EVN_BASIS_OWN));
    NOTHING(evn_comparison_outcome(s.comparison, 0, (evn_basis)FAR));
    NOTHING(evn_comparison_outcome(s.comparison, 0, (evn_basis)(EVN_BASIS_COMMON + 1)));
    NOTHING(evn_comparison_figure_count(NULL));
    NOTHING(evn_comparison_figure_at(NULL, 0, &what, &value));
    NOTHING(evn_comparison_figure_at(s.comparison, 0, NULL, &value));
    NOTHING(evn_comparison_figure_at(s.comparison, 0, &what, NULL));
    NOTHING(evn_comparison_figure_at(s.comparison, FAR, &what, &value));
}

static void likenesses(void)
{
    evn_likeness_row row;
    evn_likeness is;
    evn_equalised given;
    const evn_compare_how how = {.equal = (evn_equal)FAR}, below = {.equal = (evn_equal)-1};
    REFUSES_HANDLE(evn_comparison, evn_compare(s.lineup, &s.ask, &how, &out, report));
    REFUSES_HANDLE(evn_comparison, evn_compare(s.lineup, &s.ask, &below, &out, report));
    NOTHING(evn_likeness_row_at(0, NULL));
    NOTHING(evn_likeness_row_at(FAR, &row));
    NOTHING(evn_comparison_likeness_at(NULL, 0, 0, &is));
    NOTHING(evn_comparison_likeness_at(s.comparison, TWO, 0, &is));
    NOTHING(evn_comparison_likeness_at(s.comparison, 0, FAR, &is));
    NOTHING(evn_comparison_likeness_at(s.comparison, 0, 0, NULL));
    NOTHING(evn_comparison_likeness_between(NULL, 0, 0, 0, &is));
    NOTHING(evn_comparison_likeness_between(s.comparison, TWO, 0, 0, &is));
    NOTHING(evn_comparison_likeness_between(s.comparison, 0, TWO, 0, &is));
    NOTHING(evn_comparison_likeness_between(s.comparison, 0, 0, FAR, &is));
    NOTHING(evn_comparison_likeness_between(s.comparison, 0, 0, 0, NULL));
    NOTHING(evn_comparison_is_alike(NULL, 0));
    NOTHING(evn_comparison_is_alike(s.comparison, TWO));
    NOTHING(evn_comparison_equalised(NULL, 0, &given));
    NOTHING(evn_comparison_equalised(s.comparison, TWO, &given));
    NOTHING(evn_comparison_equalised(s.comparison, 0, NULL));
    ck_assert_int_eq(evn_lineup_equal(NULL), EVN_EQUAL_PAYLOAD);
}

static void causes_of_differences(void)
{
    const evn_causes_how how = {.threads = 1};
    evn_causes_pair pair;
    evn_cause_row row;
    evn_cause_part part;
    evn_cause_line line;
    evn_cause_law law;
    evn_cause_merge merge;
    evn_cause_exchange exchange;
    const char *path;
    REFUSES_HANDLE(evn_causes, evn_causes_find(NULL, &how, &out, report));
    REFUSES_HANDLE(evn_causes, evn_causes_find(s.comparison, NULL, &out, report));
    REFUSES(evn_causes_find(s.comparison, &how, NULL, report));
    REFUSES_NO_REPORT(evn_causes, evn_causes_find(s.comparison, &how, &out, NULL));
    ck_assert_uint_eq(evn_causes_runs(NULL, &how), 0);
    ck_assert_uint_eq(evn_causes_runs(s.comparison, NULL), 0);
    evn_causes_free(NULL);
    NOTHING(evn_causes_partial(NULL));
    NOTHING(evn_causes_key(NULL));
    ck_assert_uint_eq(evn_causes_against(NULL), 0);
    NOTHING(evn_causes_differing_at(NULL, 1, EVN_CAUSE_BODY, 0, &path));
    NOTHING(evn_cause_row_at(FAR, &row));
    NOTHING(evn_cause_row_at(0, NULL));
    NOTHING(evn_causes_pair_at(NULL, 1, &pair));
    NOTHING(evn_causes_part_at(NULL, 1, 0, &part));
    NOTHING(evn_causes_exchange_at(NULL, 1, 0, 0, &exchange));
    NOTHING(evn_causes_line_at(NULL, 1, 0, 0, &line));
    NOTHING(evn_causes_law_at(NULL, 1, 0, &law));
    NOTHING(evn_causes_merge_at(NULL, 1, 0, &merge));
}

static void besides(void)
{
    evn_beside *beside = NULL;
    evn_beside_truck truck;
    evn_beside_line line;
    evn_beside_data data;
    evn_beside_verdict verdict;
    evn_report *finds = evn_report_new();
    ck_assert_int_eq(evn_beside_hold(s.lineup, s.comparison, s.lineup, s.comparison, &beside, finds), EVN_DONE);
    evn_report_free(finds);
    REFUSES(evn_beside_fits(NULL, &s.ask, s.lineup, &s.ask, report));
    REFUSES(evn_beside_fits(s.lineup, NULL, s.lineup, &s.ask, report));
    REFUSES(evn_beside_fits(s.lineup, &s.ask, NULL, &s.ask, report));
    REFUSES(evn_beside_fits(s.lineup, &s.ask, s.lineup, NULL, report));
    REFUSES_HANDLE(evn_beside, evn_beside_hold(NULL, s.comparison, s.lineup, s.comparison, &out, report));
    REFUSES_HANDLE(evn_beside, evn_beside_hold(s.lineup, NULL, s.lineup, s.comparison, &out, report));
    REFUSES_HANDLE(evn_beside, evn_beside_hold(s.lineup, s.comparison, NULL, s.comparison, &out, report));
    REFUSES_HANDLE(evn_beside, evn_beside_hold(s.lineup, s.comparison, s.lineup, NULL, &out, report));
    REFUSES(evn_beside_hold(s.lineup, s.comparison, s.lineup, s.comparison, NULL, report));
    NOTHING(evn_beside_truck_at(NULL, 0, &truck));
    NOTHING(evn_beside_truck_at(beside, FAR, &truck));
    NOTHING(evn_beside_truck_at(beside, 0, NULL));
    NOTHING(evn_beside_line_at(NULL, 0, 0, &line));
    NOTHING(evn_beside_line_at(beside, FAR, 0, &line));
    NOTHING(evn_beside_line_at(beside, 0, FAR, &line));
    NOTHING(evn_beside_line_at(beside, 0, 0, NULL));
    NOTHING(evn_beside_data_at(NULL, 0, &data));
    NOTHING(evn_beside_data_at(beside, FAR, &data));
    NOTHING(evn_beside_data_at(beside, 0, NULL));
    NOTHING(evn_beside_verdict_of(NULL, EVN_BESIDE_HERE, &verdict));
    NOTHING(evn_beside_verdict_of(beside, (evn_beside_side)FAR, &verdict));
    NOTHING(evn_beside_verdict_of(beside, EVN_BESIDE_HERE, NULL));
    ck_assert_int_eq(evn_beside_answers(NULL), EVN_BESIDE_UNKNOWN);
    evn_beside_free(beside);
    evn_beside_free(NULL);
}

static void outcomes(void)
{
    NOTHING(evn_outcome_status(NULL));
    NOTHING(evn_outcome_results(NULL));
    NOTHING(evn_outcome_report(NULL));
    NOTHING(evn_outcome_difference_count(NULL));
    NOTHING(evn_outcome_difference_at(NULL, 0, &what, &value));
    NOTHING(evn_outcome_difference_at(s.outcome, 0, NULL, &value));
    NOTHING(evn_outcome_difference_at(s.outcome, 0, &what, NULL));
    NOTHING(evn_outcome_difference_at(s.outcome, SIZE_MAX, &what, &value));
}

/* ------------------------------------------------------------------------------------------------ beside it */

static void keys(void)
{
    evn_kind kind;
    evn_key key;
    evn_key_place place;
    evn_fault_meaning fault;
    evn_renaming renaming;
    char now[FAR];
    NOTHING(evn_kind_at(0, NULL));
    NOTHING(evn_kind_at(evn_kind_count(), &kind));
    NOTHING(evn_kind_get(NULL, &kind));
    NOTHING(evn_kind_get("truck", NULL));
    NOTHING(evn_kind_get("no_such_kind", &kind));
    NOTHING(evn_key_at(NULL, 0, &key));
    NOTHING(evn_key_at("truck", 0, NULL));
    NOTHING(evn_key_at("truck", FAR, &key));
    NOTHING(evn_key_step(NULL, "path", 0));
    NOTHING(evn_key_step("drive_unit", NULL, 0));
    NOTHING(evn_key_step("drive_unit", "path", FAR));
    REFUSES_TO(evn_key_find(NULL, &place, report));
    REFUSES_TO(evn_key_find("truck.name", NULL, report));
    NOTHING(evn_key_find("truck.name", &place, NULL));
    NOTHING(evn_fault_at(0, NULL));
    NOTHING(evn_fault_at(evn_fault_count(), &fault));
    NOTHING(evn_renamed_at(0, NULL));
    NOTHING(evn_renamed_at(FAR, &renaming));
    NOTHING(evn_renamed_at(SIZE_MAX, &renaming));
    NOTHING(evn_renamed_key(NULL, now, sizeof now));
    NOTHING(evn_renamed_key("shifts", NULL, sizeof now));
    NOTHING(evn_renamed_key("shifts", now, 0));
}

static void catalogues(void)
{
    evn_item item;
    evn_catalogue *none;
    REFUSES(evn_catalogue_open(NULL, NULL, report));
    REFUSES(evn_catalogue_open_named(NULL, NULL, &none, report));
    REFUSES(evn_catalogue_open_named(NULL, "hill", NULL, report));
    REFUSES_NO_REPORT(evn_catalogue, evn_catalogue_open_named(NULL, "hill", &out, NULL));
    REFUSES_NO_REPORT(evn_catalogue, evn_catalogue_open(NULL, &out, NULL));
    evn_catalogue_free(NULL);
    NOTHING(evn_file_kind(NULL, NULL));
    NOTHING(evn_file_kind("/nowhere/at/all", "no kind"));
    NOTHING(evn_catalogue_at(NULL, 0, &item));
    NOTHING(evn_catalogue_at(s.catalogue, 0, NULL));
    NOTHING(evn_catalogue_at(s.catalogue, SIZE_MAX, &item));
}

static void values(void)
{
    evn_value at;
    char hash[EVN_HASH_BYTES] = "x";
    NOTHING(evn_truck_value_count(NULL));
    NOTHING(evn_truck_value_at(NULL, 0, &at));
    NOTHING(evn_truck_value_at(s.truck, 0, NULL));
    NOTHING(evn_truck_value_at(s.truck, SIZE_MAX, &at));
    evn_truck_hash(NULL, hash);
    ck_assert_str_eq(hash, "");
    hash[0] = 'x';
    evn_cycle_hash(NULL, hash);
    ck_assert_str_eq(hash, "");
    evn_truck_hash(s.truck, NULL);
    evn_cycle_hash(s.cycle, NULL);
}

static void explanations(void)
{
    evn_explained_run run = {s.truck, s.cycle, s.rig, &s.ask, s.results}, lacks = run;
    evn_explanation *made = NULL;
    evn_explained row;
    char key[EVN_WHY_KEY_BYTES];
    evn_report *finds = evn_report_new();
    ck_assert_int_eq(evn_explain(&run, "kwh_per_km", &made, finds), EVN_DONE);
    NOTHING(evn_explanation_count(NULL));
    NOTHING(evn_explanation_at(NULL, 0, &row));
    NOTHING(evn_explanation_at(made, 0, NULL));
    NOTHING(evn_explanation_at(made, evn_explanation_count(made), &row));
    NOTHING(evn_explain_why_at(0, NULL));
    NOTHING(evn_explain_why_at(FAR, key));
    evn_explanation_free(NULL);
    evn_explanation_free(made);
    evn_report_free(finds);
    REFUSES_HANDLE(evn_explanation, evn_explain(NULL, "kwh_per_km", &out, report));
    REFUSES_HANDLE(evn_explanation, evn_explain(&run, NULL, &out, report));
    REFUSES(evn_explain(&run, "kwh_per_km", NULL, report));
    REFUSES_NO_REPORT(evn_explanation, evn_explain(&run, "kwh_per_km", &out, NULL));
    lacks.truck = NULL;
    REFUSES_HANDLE(evn_explanation, evn_explain(&lacks, "kwh_per_km", &out, report));
    lacks = run;
    lacks.cycle = NULL;
    REFUSES_HANDLE(evn_explanation, evn_explain(&lacks, "kwh_per_km", &out, report));
    lacks = run;
    lacks.rig = NULL;
    REFUSES_HANDLE(evn_explanation, evn_explain(&lacks, "kwh_per_km", &out, report));
    lacks = run;
    lacks.ask = NULL;
    REFUSES_HANDLE(evn_explanation, evn_explain(&lacks, "kwh_per_km", &out, report));
    lacks = run;
    lacks.results = NULL;
    REFUSES_HANDLE(evn_explanation, evn_explain(&lacks, "kwh_per_km", &out, report));
}

static void parts(void)
{
    evn_value at;
    REFUSES_HANDLE(evn_part, evn_part_load(NULL, "tests/vehicles/parts/battery-600.yaml", &out, report));
    REFUSES_HANDLE(evn_part, evn_part_load("battery", NULL, &out, report));
    REFUSES_HANDLE(evn_part, evn_part_load("no_such_kind", "x.yaml", &out, report));
    REFUSES(evn_part_load("battery", "tests/vehicles/parts/battery-600.yaml", NULL, report));
    REFUSES_NO_REPORT(evn_part, evn_part_load("battery", "tests/vehicles/parts/battery-600.yaml", &out, NULL));
    REFUSES_HANDLE(evn_part, evn_part_example(NULL, &out, report));
    REFUSES_HANDLE(evn_part, evn_part_example("no_such_kind", &out, report));
    REFUSES(evn_part_example("motor", NULL, report));
    REFUSES_NO_REPORT(evn_part, evn_part_example("motor", &out, NULL));
    evn_part_free(NULL);
    NOTHING(evn_part_value_at(NULL, 0, &at));
    NOTHING(evn_part_value_at(s.part, 0, NULL));
    NOTHING(evn_part_value_at(s.part, SIZE_MAX, &at));
}

#define DRAG "body.drag_area_m2"

static void variants_of_trucks(void)
{
    const evn_change drag = {DRAG, 5}, pathless = {NULL, 5};
    value = 7;
    REFUSES_HANDLE(evn_truck, evn_truck_copy(NULL, &out, report));
    REFUSES(evn_truck_copy(s.truck, NULL, report));
    REFUSES_NO_REPORT(evn_truck, evn_truck_copy(s.truck, &out, NULL));
    REFUSES(evn_truck_number(NULL, DRAG, &value, report));
    REFUSES(evn_truck_number(s.truck, NULL, &value, report));
    REFUSES(evn_truck_number(s.truck, DRAG, NULL, report));
    ck_assert_int_eq(evn_truck_number(s.truck, DRAG, &value, NULL), EVN_BAD_INPUT);
    ck_assert_double_eq(value, 7);
    REFUSES(evn_truck_set_numbers(NULL, &drag, 1, report));
    REFUSES(evn_truck_set_numbers(s.truck, NULL, 1, report));
    REFUSES(evn_truck_set_numbers(s.truck, &pathless, 1, report));
    ck_assert_int_eq(evn_truck_set_numbers(s.truck, &drag, 1, NULL), EVN_BAD_INPUT);
    REFUSES(evn_truck_set_number(NULL, DRAG, 5, report));
    REFUSES(evn_truck_set_number(s.truck, NULL, 5, report));
    ck_assert_int_eq(evn_truck_set_number(s.truck, DRAG, 5, NULL), EVN_BAD_INPUT);
    ck_assert_double_ne(evn_truck_drag_area_m2(s.truck), 5);
}

static void variants_of_cycles(void)
{
    const evn_change longer = {"length_m", 13000}, pathless = {NULL, 5};
    value = 7;
    REFUSES_HANDLE(evn_cycle, evn_cycle_copy(NULL, &out, report));
    REFUSES(evn_cycle_copy(s.cycle, NULL, report));
    REFUSES_NO_REPORT(evn_cycle, evn_cycle_copy(s.cycle, &out, NULL));
    REFUSES(evn_cycle_number(NULL, "length_m", &value, report));
    REFUSES(evn_cycle_number(s.cycle, NULL, &value, report));
    REFUSES(evn_cycle_number(s.cycle, "length_m", NULL, report));
    ck_assert_int_eq(evn_cycle_number(s.cycle, "length_m", &value, NULL), EVN_BAD_INPUT);
    ck_assert_double_eq(value, 7);
    REFUSES(evn_cycle_set_numbers(NULL, &longer, 1, report));
    REFUSES(evn_cycle_set_numbers(s.cycle, NULL, 1, report));
    REFUSES(evn_cycle_set_numbers(s.cycle, &pathless, 1, report));
    ck_assert_int_eq(evn_cycle_set_numbers(s.cycle, &longer, 1, NULL), EVN_BAD_INPUT);
    REFUSES(evn_cycle_set_number(NULL, "length_m", 13000, report));
    REFUSES(evn_cycle_set_number(s.cycle, NULL, 13000, report));
    ck_assert_int_eq(evn_cycle_set_number(s.cycle, "length_m", 13000, NULL), EVN_BAD_INPUT);
}

static void traces(void)
{
    evn_trace_column column;
    NOTHING(evn_trace_column_count(NULL));
    NOTHING(evn_trace_column_at(NULL, 0, &column));
    NOTHING(evn_trace_column_at(s.rig, 0, NULL));
    NOTHING(evn_trace_column_at(s.rig, s.columns, &column));
    NOTHING(evn_trace_column_at(s.rig, SIZE_MAX, &column));
    evn_quantity of_any;
    NOTHING(evn_trace_quantity_at(0, NULL));
    NOTHING(evn_trace_quantity_at(SIZE_MAX, &of_any));
    ck_assert(evn_trace_quantity_at(0, &of_any));
}

static void charts(void)
{
    evn_chart_free(NULL);
    NOTHING(evn_chart_column_count(NULL));
    NOTHING(evn_chart_column_at(NULL, 0, &what));
    NOTHING(evn_chart_column_at(s.chart, 0, NULL));
    NOTHING(evn_chart_column_at(s.chart, FAR, &what));
    NOTHING(evn_chart_row_count(NULL));
    NOTHING(evn_chart_row(NULL, 0));
    NOTHING(evn_chart_row(s.chart, SIZE_MAX));
    REFUSES_HANDLE(evn_chart, evn_chart_of_road(NULL, &out, report));
    REFUSES(evn_chart_of_road(s.cycle, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_road(s.cycle, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_limits(NULL, &out, report));
    REFUSES(evn_chart_of_limits(s.cycle, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_limits(s.cycle, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_stops(NULL, &out, report));
    REFUSES(evn_chart_of_stops(s.cycle, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_stops(s.cycle, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_forces(NULL, &out, report));
    REFUSES(evn_chart_of_forces(s.rig, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_forces(s.rig, &out, NULL));
}

static void charts_of_units(void)
{
    size_t past = evn_rig_unit_count(s.rig);
    REFUSES_HANDLE(evn_chart, evn_chart_of_motor(NULL, 0, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_motor(s.rig, FAR, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_motor(s.rig, past, &out, report));
    REFUSES(evn_chart_of_motor(s.rig, 0, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_motor(s.rig, 0, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_envelope(NULL, 0, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_envelope(s.rig, FAR, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_envelope(s.rig, past, &out, report));
    REFUSES(evn_chart_of_envelope(s.rig, 0, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_envelope(s.rig, 0, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_points(NULL, 0, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_points(s.census, FAR, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_points(s.census, past, &out, report));
    REFUSES(evn_chart_of_points(s.census, 0, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_points(s.census, 0, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_settings(NULL, 0, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_settings(s.census, FAR, &out, report));
    REFUSES_HANDLE(evn_chart, evn_chart_of_settings(s.census, past, &out, report));
    REFUSES(evn_chart_of_settings(s.census, 0, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_settings(s.census, 0, &out, NULL));
}

static void charts_of_heat(void)
{
    REFUSES_HANDLE(evn_chart, evn_chart_of_heat_limits(NULL, &out, report));
    REFUSES(evn_chart_of_heat_limits(s.rig, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_heat_limits(s.rig, &out, NULL));
}

static void charts_of_braking(void)
{
    REFUSES_HANDLE(evn_chart, evn_chart_of_braking_shares(NULL, &out, report));
    REFUSES(evn_chart_of_braking_shares(s.rig, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_braking_shares(s.rig, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_braking_to_rest(NULL, &out, report));
    REFUSES(evn_chart_of_braking_to_rest(s.rig, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_braking_to_rest(s.rig, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_motor_braking(NULL, &out, report));
    REFUSES(evn_chart_of_motor_braking(s.rig, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_motor_braking(s.rig, &out, NULL));
    REFUSES_HANDLE(evn_chart, evn_chart_of_adhesion_use(NULL, &out, report));
    REFUSES(evn_chart_of_adhesion_use(s.use, NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_adhesion_use(s.use, &out, NULL));
    REFUSES(evn_chart_of_adhesion_bands(NULL, report));
    REFUSES_NO_REPORT(evn_chart, evn_chart_of_adhesion_bands(&out, NULL));
}

static size_t points_of_use(void)
{
    evn_report *report = evn_report_new();
    evn_chart *chart = NULL;
    ck_assert_int_eq(evn_chart_of_adhesion_use(s.use, &chart, report), EVN_DONE);
    size_t rows = evn_chart_row_count(chart);
    evn_chart_free(chart);
    evn_report_free(report);
    return rows;
}

/* Rows in which nothing brakes do not count, nor those of another number of columns. */
static void adhesion_uses(void)
{
    NOTHING(evn_adhesion_use_new(NULL));
    evn_adhesion_use_free(NULL);
    evn_adhesion_use_sample(NULL, s.row, s.columns);
    evn_adhesion_use_sample(s.use, NULL, s.columns);
    evn_adhesion_use_sample(s.use, s.row, s.columns - 1);
    evn_adhesion_use_sample(s.use, s.row, s.columns);
    for (size_t k = 0; k < s.columns; k++)
        s.row[k] = (double)NAN;
    evn_adhesion_use_sample(s.use, s.row, s.columns);
    ck_assert_uint_eq(points_of_use(), 0);
    for (size_t k = 0; k < s.columns; k++)
        s.row[k] = 0; /* as the next walk expects it */
}

static size_t points_of_census(void)
{
    evn_chart *chart = NULL;
    evn_report *report = evn_report_new();
    ck_assert_int_eq(evn_chart_of_points(s.census, 0, &chart, report), EVN_DONE);
    size_t rows = evn_chart_row_count(chart);
    evn_chart_free(chart);
    evn_report_free(report);
    return rows;
}

/* Rows that are not of the rig's trace do not count; a tenth of a second of a real one does. */
static void censuses(void)
{
    NOTHING(evn_census_new(NULL));
    evn_census_free(NULL);
    evn_census_sample(s.census, s.row, s.columns);
    evn_census_sample(NULL, s.row, s.columns);
    evn_census_sample(s.census, NULL, s.columns);
    s.row[0] = 1;
    evn_census_sample(s.census, s.row, s.columns - 1);
    evn_census_sample(s.census, s.row, SIZE_MAX);
    s.row[0] = (double)INFINITY;
    evn_census_sample(s.census, s.row, s.columns);
    s.row[0] = (double)NAN;
    evn_census_sample(s.census, s.row, s.columns);
    ck_assert_uint_eq(points_of_census(), 0);
    s.row[0] = 0.1;
    evn_census_sample(s.census, s.row, s.columns);
    ck_assert_uint_eq(points_of_census(), 1);
}

static void kept_files(void)
{
    REFUSES_HANDLE(evn_kept, evn_kept_load(NULL, &out, report));
    REFUSES(evn_kept_load("tests/kept/reference.yaml", NULL, report));
    REFUSES_NO_REPORT(evn_kept, evn_kept_load("tests/kept/reference.yaml", &out, NULL));
    REFUSES_HANDLE(evn_kept, evn_kept_load_renamed(NULL, &out, report));
    REFUSES(evn_kept_load_renamed("tests/kept/reference.yaml", NULL, report));
    REFUSES_NO_REPORT(evn_kept, evn_kept_load_renamed("tests/kept/reference.yaml", &out, NULL));
    NOTHING(evn_kept_new(NULL));
    evn_kept_free(NULL);
    REFUSES(evn_kept_add(NULL, UNITS, HILL, &s.ask, NULL, report));
    REFUSES(evn_kept_add(s.kept, NULL, HILL, &s.ask, NULL, report));
    REFUSES(evn_kept_add(s.kept, UNITS, NULL, &s.ask, NULL, report));
    REFUSES(evn_kept_add(s.kept, UNITS, HILL, NULL, NULL, report));
    ck_assert_int_eq(evn_kept_add(s.kept, TRACTOR, HILL, &s.ask, NULL, NULL), EVN_BAD_INPUT);
    REFUSES(evn_kept_add_lineup(NULL, LINEUP, NULL, report));
    REFUSES(evn_kept_add_lineup(s.kept, NULL, NULL, report));
    ck_assert_int_eq(evn_kept_add_lineup(s.kept, LINEUP, NULL, NULL), EVN_BAD_INPUT);
    ck_assert_uint_eq(evn_kept_count(s.kept), 1);
}

static void kept_runs(void)
{
    evn_kept_run run;
    evn_kept_tolerance tolerance;
    const char *key;
    NOTHING(evn_kept_count(NULL));
    NOTHING(evn_kept_at(NULL, 0, &run));
    NOTHING(evn_kept_at(s.kept, 0, NULL));
    NOTHING(evn_kept_at(s.kept, FAR, &run));
    NOTHING(evn_kept_result_at(NULL, 0, 0, &key, &value));
    NOTHING(evn_kept_result_at(s.kept, FAR, 0, &key, &value));
    NOTHING(evn_kept_result_at(s.kept, 0, FAR, &key, &value));
    NOTHING(evn_kept_result_at(s.kept, 0, 0, NULL, &value));
    NOTHING(evn_kept_result_at(s.kept, 0, 0, &key, NULL));
    NOTHING(evn_kept_tolerance_at(NULL, 0, &tolerance));
    NOTHING(evn_kept_tolerance_at(s.kept, 0, NULL));
    NOTHING(evn_kept_tolerance_at(s.kept, FAR, &tolerance));
    NOTHING(evn_kept_about(NULL));
    NOTHING(evn_kept_program(NULL));
    NOTHING(evn_result_is_kept(NULL));
    ck_assert_int_eq(evn_hold_against(s.kept, NULL, 1, 1).moved, EVN_MOVED);
    ck_assert_int_eq(evn_hold_against(NULL, "duration_s", 1, (double)NAN).moved, EVN_MOVED_TO_NONE);
    ck_assert_int_eq(evn_hold_against(NULL, "duration_s", (double)INFINITY, 1).moved, EVN_MOVED_TO_NONE);
}

static void checks(void)
{
    const evn_check_how how = {0};
    evn_checked checked;
    evn_moved_quantity moved;
    REFUSES_HANDLE(evn_check, evn_kept_check(NULL, &how, &out, report));
    REFUSES_HANDLE(evn_check, evn_kept_check(s.kept, NULL, &out, report));
    REFUSES(evn_kept_check(s.kept, &how, NULL, report));
    REFUSES_NO_REPORT(evn_check, evn_kept_check(s.kept, &how, &out, NULL));
    evn_check_free(NULL);
    NOTHING(evn_check_count(NULL));
    NOTHING(evn_check_at(NULL, 0, &checked));
    NOTHING(evn_check_at(s.check, 0, NULL));
    NOTHING(evn_check_at(s.check, FAR, &checked));
    NOTHING(evn_check_moved_at(NULL, 0, 0, &moved));
    NOTHING(evn_check_moved_at(s.check, FAR, 0, &moved));
    NOTHING(evn_check_moved_at(s.check, 0, FAR, &moved));
    NOTHING(evn_check_moved_at(s.check, 0, 0, NULL));
}

/* ------------------------------------------------------------------------------------------------ limits */

static void demands(void)
{
    evn_demands plain = evn_demands_default(), d = plain;
    REFUSES_TO(evn_demands_set(NULL, "descent_soc", 0.5, report));
    REFUSES_TO(evn_demands_set(&d, NULL, 0.5, report));
    NOTHING(evn_demands_set(&d, "descent_soc", 0.5, NULL));
    NOTHING(evn_demands_get(NULL, "descent_soc", &value));
    NOTHING(evn_demands_get(&d, NULL, &value));
    NOTHING(evn_demands_get(&d, "descent_soc", NULL));
    ck_assert(memcmp(&d, &plain, sizeof d) == 0);
    d = evn_lineup_demands(NULL);
    ck_assert(memcmp(&d, &plain, sizeof d) == 0);
}

static void sets_of_rules(void)
{
    static const char path[] = "vehicles/rules/own.yaml";
    evn_rules *rules = NULL;
    REFUSES_HANDLE(evn_rules, evn_rules_load(NULL, &out, report));
    REFUSES(evn_rules_load(path, NULL, report));
    REFUSES_NO_REPORT(evn_rules, evn_rules_load(path, &out, NULL));
    NOTHING(evn_rules_name(NULL));
    NOTHING(evn_rules_source(NULL));
    NOTHING(evn_rules_clause_count(NULL));
    NOTHING(evn_rules_clause_name(NULL, 0));
    evn_rules_free(NULL);
    evn_report *said = evn_report_new();
    ck_assert_int_eq(evn_rules_load(path, &rules, said), EVN_DONE);
    evn_report_free(said);
    ck_assert_uint_eq(evn_rules_clause_count(rules), TWO);
    ck_assert_str_eq(evn_rules_clause_name(rules, 0), "axle");
    NOTHING(evn_rules_clause_name(rules, FAR));
    ck_assert_ptr_nonnull(evn_rules_name(rules));
    ck_assert_str_eq(evn_rules_source(rules), "invented");
    evn_rules_free(rules);
}

static const char PRICES[] = "vehicles/prices/fleet.yaml";

#define STUDY "tests/studies/loss-balance.yaml"

static bool take_variant(void *self, const evn_variant *v)
{
    (void)v;
    ++*(size_t *)self;
    return true;
}

static void refused_studies(void)
{
    static const evn_load as_is = {0};
    static const evn_tune_how tune = {0};
    REFUSES_HANDLE(evn_study, evn_study_load(NULL, &out, report));
    REFUSES(evn_study_load(STUDY, NULL, report));
    REFUSES_NO_REPORT(evn_study, evn_study_load(STUDY, &out, NULL));
    REFUSES_HANDLE(evn_study, evn_study_load_with(STUDY, NULL, &out, report));
    REFUSES_HANDLE(evn_study, evn_study_tune(NULL, &as_is, &tune, &out, report));
    REFUSES_HANDLE(evn_study, evn_study_tune(STUDY, NULL, &tune, &out, report));
    REFUSES_HANDLE(evn_study, evn_study_tune(STUDY, &as_is, NULL, &out, report));
    REFUSES(evn_study_tune(STUDY, &as_is, &tune, NULL, report));
    NOTHING(evn_study_name(NULL));
    NOTHING(evn_study_source(NULL));
    NOTHING(evn_study_searches(NULL));
    NOTHING(evn_study_text(NULL));
    ck_assert(evn_study_ask(NULL).driving.driver == evn_conditions_default().driving.driver);
    evn_study_free(NULL);
}

static void refused_variants(const evn_study *study, const evn_variants *v)
{
    const evn_conditions ask = evn_study_ask(study);
    const evn_vary_how how = {.part = 3, .parts = 2}, lone = {.part = 1};
    const char *const none[] = {NULL}, *const unknown[] = {"final_drove >= 3", NULL},
                      *const half[] = {"final_drive", NULL};
    size_t count = 0;
    evn_conditions far = ask;
    far.driving.accuracy = 1;
    REFUSES_HANDLE(evn_variants, evn_vary(NULL, &ask, NULL, &out, report));
    REFUSES_HANDLE(evn_variants, evn_vary(study, NULL, NULL, &out, report));
    REFUSES(evn_vary(study, &ask, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_variants, evn_vary(study, &ask, NULL, &out, NULL));
    REFUSES_HANDLE(evn_variants, evn_vary(study, &ask, &how, &out, report));
    REFUSES_HANDLE(evn_variants, evn_vary(study, &ask, &lone, &out, report));
    REFUSES_HANDLE_AS("out_of_range", evn_variants, evn_vary(study, &far, NULL, &out, report));
    REFUSES(evn_vary_merge(NULL, 1, "out.sqlite", report));
    REFUSES(evn_vary_merge(none, 1, "out.sqlite", report));
    REFUSES(evn_vary_merge(none, 0, "out.sqlite", report));
    REFUSES(evn_vary_merge(unknown, 1, NULL, report));
    REFUSES_HANDLE(evn_variants, evn_variants_open(NULL, &out, report));
    REFUSES(evn_variants_open(STUDY, NULL, report));
    REFUSES_HANDLE_AS("syntax", evn_variants, evn_variants_open(STUDY, &out, report));
    REFUSES(evn_variants_each(NULL, &(evn_variants_ask){0}, &count, take_variant, report));
    REFUSES(evn_variants_each(v, NULL, &count, take_variant, report));
    REFUSES(evn_variants_each(v, &(evn_variants_ask){0}, &count, NULL, report));
    FINDS("unknown_key", evn_variants_each(v, &(evn_variants_ask){.by = "kwh"}, &count, take_variant, report));
    FINDS("unknown_key", evn_variants_each(v, &(evn_variants_ask){.where = unknown}, &count, take_variant, report));
    FINDS("syntax", evn_variants_each(v, &(evn_variants_ask){.where = half}, &count, take_variant, report));
    ck_assert_uint_eq(count, 0);
}

static void variants(void)
{
    static const char *const set[] = {"plan=grid", "variables.final_drive.count=3", "cycle.length_m=3000", NULL};
    evn_report *said = evn_report_new();
    evn_study *study = NULL;
    evn_variants *v = NULL;
    evn_variants_column column;
    const char *key, *text;
    size_t count = 0;
    refused_studies();
    evn_study_load_with(STUDY, &(evn_load){.set = set}, &study, said);
    ck_assert_str_eq(evn_study_name(study), "Balance of losses");
    ck_assert_str_eq(evn_study_source(study), "invented");
    NOTHING(evn_study_searches(study));
    NOTHING(evn_study_text(study));
    const evn_conditions ask = evn_study_ask(study);
    ck_assert_int_eq(evn_vary(study, &ask, NULL, &v, said), EVN_DONE);
    refused_variants(study, v);
    NOTHING(evn_variants_count(NULL));
    NOTHING(evn_variants_expected(NULL));
    NOTHING(evn_variants_failed(NULL));
    NOTHING(evn_variants_failed(v));
    ck_assert(evn_variants_count(v) == 4 && evn_variants_expected(v) == 4); /* with the truck as it is */
    NOTHING(evn_variants_truck_count(NULL));
    NOTHING(evn_variants_truck_name(NULL, 0));
    NOTHING(evn_variants_truck_name(v, 1));
    ck_assert_str_eq(evn_variants_truck_name(v, 0), "");
    NOTHING(evn_variants_column_count(NULL));
    NOTHING(evn_variants_column_at(NULL, 0, &column));
    NOTHING(evn_variants_column_at(v, 0, NULL));
    NOTHING(evn_variants_column_at(v, evn_variants_column_count(v), &column));
    NOTHING(evn_variants_fact(NULL, "study"));
    NOTHING(evn_variants_fact(v, NULL));
    NOTHING(evn_variants_fact(v, "studies"));
    NOTHING(evn_variants_fact_at(NULL, 0, &key, &text));
    NOTHING(evn_variants_fact_at(v, 0, NULL, &text));
    NOTHING(evn_variants_fact_at(v, 0, &key, NULL));
    NOTHING(evn_variants_fact_at(v, 1000, &key, &text));
    evn_variants_each(v, &(evn_variants_ask){0}, &count, take_variant, said);
    ck_assert_uint_eq(count, 4);
    evn_variants_free(v);
    evn_variants_free(NULL);
    evn_study_free(study);
    evn_report_free(said);
}

static void prices(void)
{
    evn_prices *read = NULL;
    REFUSES_HANDLE(evn_prices, evn_prices_load(NULL, &out, report));
    REFUSES(evn_prices_load(PRICES, NULL, report));
    REFUSES_NO_REPORT(evn_prices, evn_prices_load(PRICES, &out, NULL));
    NOTHING(evn_prices_name(NULL));
    NOTHING(evn_prices_source(NULL));
    NOTHING(evn_prices_invented(NULL));
    NOTHING(evn_prices_currency(NULL));
    evn_prices_free(NULL);
    evn_report *said = evn_report_new();
    ck_assert_int_eq(evn_prices_load(PRICES, &read, said), EVN_DONE);
    evn_report_free(said);
    ck_assert_ptr_nonnull(evn_prices_name(read));
    ck_assert_ptr_nonnull(evn_prices_source(read));
    ck_assert(evn_prices_invented(read));
    ck_assert_str_eq(evn_prices_currency(read), "EUR");
    evn_prices_free(read);
}

static void refused_paybacks(const evn_prices *p)
{
    evn_payback_how how = {.annual_km = 99};
    REFUSES_HANDLE(evn_payback, evn_payback_find(NULL, p, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_payback, evn_payback_find(s.lineup, NULL, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_payback, evn_payback_find(s.lineup, p, NULL, NULL, &out, report));
    REFUSES(evn_payback_find(s.lineup, p, &s.ask, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_payback, evn_payback_find(s.lineup, p, &s.ask, NULL, &out, NULL));
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
    how.annual_km = (double)NAN;
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
    how = (evn_payback_how){.draws = 17};
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
    how = (evn_payback_how){.energy_percent = -1};
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
    how = (evn_payback_how){.physics = true};
    REFUSES_HANDLE(evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
    how = (evn_payback_how){.draws = 16, .physics = true, .energy_percent = 2};
    REFUSES_HANDLE(evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
    how = (evn_payback_how){.years = 41};
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &how, &out, report));
}

static void paybacks(void)
{
    static const evn_payback_how how = {.annual_km = 100000, .only_as_lineup = true, .draws = 16};
    const evn_payback_basis own = EVN_PAYBACK_AS_LINEUP;
    char key[EVN_PAYBACK_KEY_BYTES];
    evn_prices *p = NULL;
    evn_payback *b = NULL;
    evn_payback_figure figure;
    evn_payback_advice advice;
    evn_payback_turn turn;
    evn_payback_sure sure;
    evn_payback_cause cause;
    evn_report *said = evn_report_new();
    evn_prices_load(PRICES, &p, said);
    refused_paybacks(p);
    ck_assert_int_eq(evn_payback_find(s.lineup, p, &s.ask, &how, &b, said), EVN_DONE);
    ck_assert(evn_payback_truck_count(b) >= TWO && evn_payback_years(b) == 8);
    ck_assert_double_eq(evn_payback_annual_km(b), 100000);
    NOTHING(evn_payback_truck_count(NULL));
    NOTHING(evn_payback_years(NULL));
    NOTHING(!isnan(evn_payback_annual_km(NULL)));
    NOTHING(evn_payback_status(NULL, 0, own));
    NOTHING(evn_payback_status(b, FAR, own));
    NOTHING(evn_payback_status(b, 0, (evn_payback_basis)FAR));
    NOTHING(evn_payback_figure_at(NULL, 0, own, 0, &figure));
    NOTHING(evn_payback_figure_at(b, FAR, own, 0, &figure));
    NOTHING(evn_payback_figure_at(b, 0, own, 100 * FAR, &figure));
    NOTHING(evn_payback_figure_at(b, 0, own, 0, NULL));
    NOTHING(evn_payback_get(NULL, 0, own, "years", &value));
    NOTHING(evn_payback_get(b, 0, own, NULL, &value));
    NOTHING(evn_payback_get(b, 0, own, "yeers", &value));
    NOTHING(evn_payback_get(b, 0, own, "years", NULL));
    NOTHING(evn_payback_input_at(NULL, 0, own, 0, 0, key, &value));
    NOTHING(evn_payback_input_at(b, 0, own, 100 * FAR, 0, key, &value));
    NOTHING(evn_payback_input_at(b, 0, own, 0, 0, key, &value)); /* what was asked for has no formula */
    NOTHING(evn_payback_input_at(b, 0, own, 3, 0, NULL, &value));
    NOTHING(evn_payback_input_at(b, 0, own, 3, 0, key, NULL));
    NOTHING(evn_payback_input_at(b, 0, own, 3, FAR, key, &value));
    evn_equalised given;
    evn_day_demand demand;
    evn_payback_reason reason;
    NOTHING(evn_payback_partial(NULL));
    NOTHING(evn_payback_equalised(NULL, 0, &given));
    NOTHING(evn_payback_equalised(b, FAR, &given));
    NOTHING(evn_payback_equalised(b, 0, NULL));
    NOTHING(evn_payback_demand_at(NULL, 0, own, 0, &demand));
    NOTHING(evn_payback_demand_at(b, FAR, own, 0, &demand));
    NOTHING(evn_payback_demand_at(b, 0, own, FAR, &demand));
    NOTHING(evn_payback_demand_at(b, 0, own, 0, NULL));
    NOTHING(evn_payback_meets_demands(NULL, 0, own));
    NOTHING(evn_payback_meets_demands(b, FAR, own));
    NOTHING(evn_payback_reason_at(NULL, own, 0, 0, &reason));
    NOTHING(evn_payback_reason_at(b, own, FAR, 0, &reason));
    NOTHING(evn_payback_reason_at(b, own, 0, FAR, &reason));
    NOTHING(evn_payback_reason_at(b, own, 0, 0, NULL));
    NOTHING(evn_payback_advice_at(NULL, own, 0, &advice));
    NOTHING(evn_payback_advice_at(b, own, FAR, &advice));
    NOTHING(evn_payback_advice_at(b, own, 0, NULL));
    NOTHING(evn_payback_advice_at(b, EVN_PAYBACK_LEAST_BATTERY, 0, &advice)); /* it was not asked for */
    NOTHING(evn_payback_turn_at(NULL, own, 0, 1, &turn));
    NOTHING(evn_payback_turn_at(b, own, 0, 0, &turn)); /* the first against itself */
    NOTHING(evn_payback_turn_at(b, own, FAR, 1, &turn));
    NOTHING(evn_payback_turn_at(b, own, 0, 1, NULL));
    evn_payback_cell cell;
    ck_assert(evn_payback_cell_at(b, own, 14, 7, &cell) && cell.annual_km == 300000 && cell.best < FAR);
    NOTHING(evn_payback_cell_at(NULL, own, 0, 0, &cell));
    NOTHING(evn_payback_cell_at(b, own, EVN_PAYBACK_FIELD_DISTANCES, 0, &cell));
    NOTHING(evn_payback_cell_at(b, own, 0, EVN_PAYBACK_FIELD_PRICES, &cell));
    NOTHING(evn_payback_cell_at(b, own, 0, 0, NULL));
    NOTHING(evn_payback_cell_at(b, EVN_PAYBACK_LEAST_BATTERY, 0, 0, &cell)); /* it was not asked for */
    NOTHING(evn_payback_cell_value(NULL, own, 0, 0, 1, &value));
    NOTHING(evn_payback_cell_value(b, own, 0, 0, 0, &value)); /* the first against itself */
    NOTHING(evn_payback_cell_value(b, own, FAR, 0, 1, &value));
    NOTHING(evn_payback_cell_value(b, own, 0, FAR, 1, &value));
    NOTHING(evn_payback_cell_value(b, own, 0, 0, 1, NULL));
    evn_payback_border border;
    NOTHING(evn_payback_border_at(NULL, own, 0, 0, &border));
    NOTHING(evn_payback_border_at(b, own, FAR, 0, &border));
    NOTHING(evn_payback_border_at(b, own, 0, FAR, &border));
    NOTHING(evn_payback_border_at(b, own, 0, 0, NULL));
    NOTHING(evn_payback_border_at(b, EVN_PAYBACK_LEAST_BATTERY, 0, 0, &border)); /* it was not asked for */
    evn_payback_saying saying;
    ck_assert(evn_payback_saying_of(b, 1, own, &saying) && saying.annual_km == 150000);
    NOTHING(evn_payback_saying_of(NULL, 1, own, &saying));
    NOTHING(evn_payback_saying_of(b, 0, own, &saying)); /* the first against itself */
    NOTHING(evn_payback_saying_of(b, FAR, own, &saying));
    NOTHING(evn_payback_saying_of(b, 1, own, NULL));
    NOTHING(evn_payback_line_at(NULL, own, 0, 1, &value));
    NOTHING(evn_payback_line_at(b, own, 0, 0, &value)); /* likewise */
    NOTHING(evn_payback_line_at(b, own, FAR, 1, &value));
    NOTHING(evn_payback_line_at(b, own, 0, 1, NULL));
    ck_assert(evn_payback_sure_of(b, 1, own, &sure) && sure.draws == 16);
    NOTHING(evn_payback_sure_of(NULL, 1, own, &sure));
    NOTHING(evn_payback_sure_of(b, 0, own, &sure)); /* the first against itself */
    NOTHING(evn_payback_sure_of(b, 1, own, NULL));
    NOTHING(evn_payback_within(NULL, 1, own, 1, &value));
    NOTHING(evn_payback_within(b, 1, own, FAR, &value));
    NOTHING(evn_payback_within(b, 1, own, 1, NULL));
    evn_payback_band band;
    ck_assert(evn_payback_band_at(b, 1, own, 8, &band) && band.low <= band.high);
    NOTHING(evn_payback_band_at(NULL, 1, own, 1, &band));
    NOTHING(evn_payback_band_at(b, 0, own, 1, &band)); /* the first against itself */
    NOTHING(evn_payback_band_at(b, 1, own, FAR, &band));
    NOTHING(evn_payback_band_at(b, 1, own, 1, NULL));
    evn_payback_stop stop;
    NOTHING(evn_payback_stop_at(NULL, 0, &stop));
    NOTHING(evn_payback_stop_at(b, FAR, &stop));
    NOTHING(evn_payback_stop_at(b, 0, NULL));
    evn_payback_try try;
    NOTHING(evn_payback_try_at(NULL, 0, 0, &try));
    NOTHING(evn_payback_try_at(b, FAR, 0, &try));
    NOTHING(evn_payback_try_at(b, 0, 0, &try)); /* none was asked for */
    NOTHING(evn_payback_try_at(b, 0, 0, NULL));
    evn_payback *there = NULL;
    REFUSES_HANDLE(evn_payback, evn_payback_at_distance(NULL, 60000, &out, report));
    REFUSES(evn_payback_at_distance(b, 60000, NULL, report));
    REFUSES_NO_REPORT(evn_payback, evn_payback_at_distance(b, 60000, &out, NULL));
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_at_distance(b, 99, &out, report));
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_at_distance(b, (double)NAN, &out, report));
    ck_assert_int_eq(evn_payback_at_distance(b, 60000, &there, said), EVN_DONE);
    ck_assert(evn_payback_annual_km(there) == 60000);
    evn_payback_free(there);
    const evn_payback_how without = {.longer_count = 1},
                          none_long = {.longer_min = (const double[]){0}, .longer_count = 1};
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &without, &out, report));
    REFUSES_HANDLE_AS("out_of_range", evn_payback, evn_payback_find(s.lineup, p, &s.ask, &none_long, &out, report));
    evn_payback *again = NULL;
    const evn_payback_how with_physics = {.draws = 16, .physics = true};
    REFUSES_HANDLE(evn_payback, evn_payback_again(NULL, p, NULL, &out, report));
    REFUSES_HANDLE(evn_payback, evn_payback_again(b, NULL, NULL, &out, report));
    REFUSES(evn_payback_again(b, p, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_payback, evn_payback_again(b, p, NULL, &out, NULL));
    REFUSES_HANDLE(evn_payback, evn_payback_again(b, p, &with_physics, &out, report)); /* of which it has none */
    ck_assert_int_eq(evn_payback_again(b, p, &how, &again, said), EVN_DONE);
    evn_payback_free(again);
    evn_report_free(said);
    evn_payback_physics physics;
    evn_payback_energy energy;
    NOTHING(evn_payback_physics_runs(NULL, NULL));
    NOTHING(evn_payback_physics_of(NULL, &physics));
    NOTHING(evn_payback_physics_of(b, &physics)); /* it was not asked for */
    NOTHING(evn_payback_energy_of(NULL, 1, &energy));
    NOTHING(evn_payback_energy_of(b, 1, &energy));
    NOTHING(evn_payback_cause_at(NULL, 1, own, 0, &cause));
    NOTHING(evn_payback_cause_at(b, 1, own, FAR, &cause));
    NOTHING(evn_payback_cause_at(b, 1, own, 0, NULL));
    evn_payback_free(NULL);
    evn_payback_free(b);
    evn_prices_free(p);
}

/* Its own lineup: that of the scene drives a cycle. */
static void assessments(void)
{
    static const evn_assess_how standing = {.only_standing = true};
    char path[PATH_BYTES], text[PATH_BYTES * 4];
    const char *root = getenv("EVENER_SOURCE");
    evn_lineup *l = NULL;
    evn_assessment *a = NULL;
    evn_assessed is;
    evn_assess_input in;
    evn_assess_turn t;
    evn_assess_choice c;
    evn_report *said = evn_report_new();
    snprintf(
        text, sizeof text,
        "name: two\ninvented: true\nduty: {use: duty.yaml, demands: {takeoff_kw: 10}}\ntrucks:\n  a: {use: %s/%s}\n"
        "  b: {use: %s/%s}\n",
        root, UNITS, root, UNITS);
    write_file("assess.yaml", text);
    evn_lineup_load(in_folder(path, "assess.yaml"), &l, said);
    ck_assert_msg(l, "%s", first_finding(said));
    evn_assess_how how = {.energy_percent = 51};
    REFUSES_HANDLE(evn_assessment, evn_assess(NULL, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_assessment, evn_assess(l, NULL, NULL, &out, report));
    REFUSES(evn_assess(l, &s.ask, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_assessment, evn_assess(l, &s.ask, NULL, &out, NULL));
    REFUSES_HANDLE_AS("missing_key", evn_assessment, evn_assess(s.lineup, &s.ask, NULL, &out, report));
    REFUSES_HANDLE_AS("out_of_range", evn_assessment, evn_assess(l, &s.ask, &how, &out, report));
    how = (evn_assess_how){.annual_km = 99};
    REFUSES_HANDLE_AS("out_of_range", evn_assessment, evn_assess(l, &s.ask, &how, &out, report));
    how = (evn_assess_how){.years = 41};
    REFUSES_HANDLE_AS("out_of_range", evn_assessment, evn_assess(l, &s.ask, &how, &out, report));
    ck_assert_int_eq(evn_assess(l, &s.ask, &standing, &a, said), EVN_ANSWER_NO);
    how = (evn_assess_how){.prepared = a}; /* which has no days */
    REFUSES_HANDLE(evn_assessment, evn_assess(l, &s.ask, &how, &out, report));
    evn_report_free(said);
    ck_assert(evn_assessment_truck_count(a) == TWO && evn_assessment_demand_count(a) == 1);
    NOTHING(evn_verdict_name((evn_verdict)FAR));
    NOTHING(evn_lineup_demands_more(NULL));
    NOTHING(evn_lineup_demands_more(s.lineup));
    NOTHING(evn_assessment_truck_count(NULL));
    NOTHING(evn_assessment_demand_count(NULL));
    NOTHING(evn_assessment_of(NULL, 0));
    NOTHING(evn_assessment_of(a, FAR));
    NOTHING(evn_assessed_at(NULL, 0, 0, &is));
    NOTHING(evn_assessed_at(a, FAR, 0, &is));
    NOTHING(evn_assessed_at(a, 0, FAR, &is));
    NOTHING(evn_assessed_at(a, 0, 0, NULL));
    NOTHING(evn_assess_input_at(NULL, 0, 0, 0, &in));
    NOTHING(evn_assess_input_at(a, FAR, 0, 0, &in));
    NOTHING(evn_assess_input_at(a, 0, FAR, 0, &in));
    NOTHING(evn_assess_input_at(a, 0, 0, FAR, &in));
    NOTHING(evn_assess_input_at(a, 0, 0, 0, NULL));
    NOTHING(evn_assess_turn_at(NULL, 0, &t));
    NOTHING(evn_assess_turn_at(a, FAR, &t));
    NOTHING(evn_assess_turn_at(a, 0, NULL));
    NOTHING(evn_assessment_choice(NULL, &c));
    NOTHING(evn_assessment_choice(a, NULL));
    evn_assessment_free(NULL);
    evn_assessment_free(a);
    evn_lineup_free(l);
}

static void sites(void)
{
    evn_site_ask plain = evn_site_ask_default(), ask = plain;
    evn_site_figure figure;
    const char *key, *title, *help;
    REFUSES_TO(evn_site_ask_set(NULL, "rut_mm", 50, report));
    REFUSES_TO(evn_site_ask_set(&ask, NULL, 50, report));
    NOTHING(evn_site_ask_set(&ask, "rut_mm", 50, NULL));
    FINDS("out_of_range", evn_site_ask_set(&ask, "rut_mm", -1, report) ? EVN_DONE : evn_report_status(report));
    NOTHING(evn_site_ask_get(NULL, "rut_mm", &value));
    NOTHING(evn_site_ask_get(&ask, NULL, &value));
    NOTHING(evn_site_ask_get(&ask, "rut_mm", NULL));
    ck_assert(memcmp(&ask, &plain, sizeof ask) == 0);
    REFUSES_HANDLE(evn_site, evn_site_find(NULL, &s.ask.load_case, &ask, &out, report));
    REFUSES_HANDLE(evn_site, evn_site_find(s.truck, NULL, &ask, &out, report));
    REFUSES_HANDLE(evn_site, evn_site_find(s.truck, &s.ask.load_case, NULL, &out, report));
    REFUSES(evn_site_find(s.truck, &s.ask.load_case, &ask, NULL, report));
    REFUSES_NO_REPORT(evn_site, evn_site_find(s.truck, &s.ask.load_case, &ask, &out, NULL));
    ask.crown_mm = (double)NAN;
    REFUSES_HANDLE_AS("out_of_range", evn_site, evn_site_find(s.truck, &s.ask.load_case, &ask, &out, report));
    NOTHING(evn_site_count(NULL));
    NOTHING(evn_site_at(NULL, 0, &figure));
    NOTHING(evn_site_get(NULL, "clearance.frame.laden_mm", &figure));
    NOTHING(evn_site_group_at(99, &key, &title, &help));
    NOTHING(evn_site_group_at(0, NULL, &title, &help));
    NOTHING(evn_site_group_at(0, &key, NULL, &help));
    NOTHING(evn_site_group_at(0, &key, &title, NULL));
    ck_assert(evn_site_meets_all(NULL)); /* of no figure no limit is passed */
    evn_site_free(NULL);
}

static void drawings(void)
{
    evn_site_shape shape;
    double front_m, rear_m;
    REFUSES_HANDLE(evn_drawing, evn_drawing_of(NULL, &s.ask.load_case, &out, report));
    REFUSES_HANDLE(evn_drawing, evn_drawing_of(s.truck, NULL, &out, report));
    REFUSES(evn_drawing_of(s.truck, &s.ask.load_case, NULL, report));
    REFUSES_NO_REPORT(evn_drawing, evn_drawing_of(s.truck, &s.ask.load_case, &out, NULL));
    NOTHING(evn_drawing_at(NULL, 0, &shape));
    NOTHING(evn_drawing_missing(NULL));
    NOTHING(evn_drawing_ends(NULL, &front_m, &rear_m));
    evn_drawing_free(NULL);
}

static void duties(void)
{
    char path[PATH_BYTES];
    evn_load how = {0};
    evn_day_season season;
    evn_day_phase phase;
    evn_day_demand demand;
    in_folder(path, "duty.yaml");
    REFUSES_HANDLE(evn_duty, evn_duty_load(NULL, &out, report));
    REFUSES(evn_duty_load(path, NULL, report));
    REFUSES_NO_REPORT(evn_duty, evn_duty_load(path, &out, NULL));
    REFUSES_HANDLE(evn_duty, evn_duty_load_with(NULL, &how, &out, report));
    REFUSES_HANDLE(evn_duty, evn_duty_load_with(path, NULL, &out, report));
    REFUSES(evn_duty_load_with(path, &how, NULL, report));
    REFUSES_NO_REPORT(evn_duty, evn_duty_load_with(path, &how, &out, NULL));
    REFUSES_HANDLE(evn_day, evn_drive_duty(NULL, s.duty, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_day, evn_drive_duty(s.truck, NULL, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_day, evn_drive_duty(s.truck, s.duty, NULL, NULL, &out, report));
    REFUSES(evn_drive_duty(s.truck, s.duty, &s.ask, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_day, evn_drive_duty(s.truck, s.duty, &s.ask, NULL, &out, NULL));
    NOTHING(evn_duty_name(NULL));
    NOTHING(evn_duty_source(NULL));
    ck_assert(isnan(evn_duty_working_days_per_year(NULL)));
    NOTHING(evn_duty_season_count(NULL));
    NOTHING(evn_duty_season_name(NULL, 0));
    NOTHING(evn_duty_season_name(s.duty, FAR));
    const char *until;
    bool stop;
    NOTHING(evn_duty_payload_until(NULL, &until, &stop));
    NOTHING(evn_duty_payload_until(s.duty, NULL, &stop));
    NOTHING(evn_duty_payload_until(s.duty, &until, NULL));
    NOTHING(evn_day_season_at(NULL, 0, &season));
    NOTHING(evn_day_season_at(s.day, 0, NULL));
    NOTHING(evn_day_season_at(s.day, FAR, &season));
    NOTHING(evn_day_rig(NULL, 0));
    NOTHING(evn_day_rig(s.day, FAR));
    NOTHING(evn_day_worst_season(NULL));
    NOTHING(evn_day_phase_at(NULL, 0, 0, &phase));
    NOTHING(evn_day_phase_at(s.day, 0, 0, NULL));
    NOTHING(evn_day_phase_at(s.day, FAR, 0, &phase));
    NOTHING(evn_day_phase_at(s.day, 0, FAR, &phase));
    NOTHING(evn_comparison_day(NULL, 0, EVN_BASIS_OWN, &season));
    NOTHING(evn_comparison_day(s.comparison, 0, EVN_BASIS_OWN, NULL));
    NOTHING(evn_comparison_day(s.comparison, 0, EVN_BASIS_OWN, &season)); /* over a cycle */
    NOTHING(evn_comparison_phase_at(NULL, 0, EVN_BASIS_OWN, 0, &phase));
    NOTHING(evn_comparison_phase_at(s.comparison, 0, EVN_BASIS_OWN, 0, NULL));
    NOTHING(evn_comparison_phase_at(s.comparison, FAR, EVN_BASIS_OWN, FAR, &phase));
    NOTHING(evn_comparison_season_at(NULL, 0, 0, &season));
    NOTHING(evn_comparison_season_at(s.comparison, 0, 0, NULL));
    NOTHING(evn_comparison_season_at(s.comparison, 0, 0, &season)); /* over a cycle */
    NOTHING(evn_comparison_season_why(NULL, 0, 0));
    NOTHING(evn_comparison_season_why(s.comparison, 0, 0));
    NOTHING(evn_comparison_worst_season(NULL, 0, &(size_t){0}));
    NOTHING(evn_comparison_day_demand_at(NULL, 0, 0, &(const char *){NULL}, &(evn_day_demand){0}));
    ck_assert(isnan(evn_comparison_demanded_reserve_soc(NULL)));
    ck_assert(isnan(evn_comparison_demanded_reserve_soc(s.comparison)));
    char hash[EVN_HASH_BYTES] = "left";
    evn_duty_hash(s.duty, NULL);
    evn_duty_hash(NULL, hash);
    ck_assert_str_eq(hash, "");
    NOTHING(evn_day_year(NULL));
    NOTHING(evn_day_demand_at(NULL, 0, 0, &demand));
    NOTHING(evn_day_demand_at(s.day, 0, 0, NULL));
    NOTHING(evn_day_demand_at(s.day, FAR, 0, &demand));
    NOTHING(evn_day_demand_at(s.day, 0, FAR, &demand));
    evn_day_free(NULL);
    evn_duty_free(NULL);
}

static void ranges(void)
{
    static const double below[] = {-1}, beyond[] = {41};
    evn_range_how how = {0};
    evn_range_cell cell;
    evn_range_goal goal;
    evn_range_pack pack;
    REFUSES_HANDLE(evn_duty, evn_duty_of_cycle(NULL, &out, report));
    REFUSES(evn_duty_of_cycle(s.cycle, NULL, report));
    REFUSES_NO_REPORT(evn_duty, evn_duty_of_cycle(s.cycle, &out, NULL));
    REFUSES_HANDLE(evn_range, evn_range_find(NULL, s.duty, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_range, evn_range_find(s.truck, NULL, &s.ask, NULL, &out, report));
    REFUSES_HANDLE(evn_range, evn_range_find(s.truck, s.duty, NULL, NULL, &out, report));
    REFUSES(evn_range_find(s.truck, s.duty, &s.ask, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_range, evn_range_find(s.truck, s.duty, &s.ask, NULL, &out, NULL));
    how = (evn_range_how){.payload_kg = below, .payloads = 1};
    REFUSES_HANDLE_AS("out_of_range", evn_range, evn_range_find(s.truck, s.duty, &s.ask, &how, &out, report));
    how = (evn_range_how){.payload_kg = below, .payloads = EVN_RANGE_PAYLOADS_MOST + 1};
    REFUSES_HANDLE_AS("out_of_range", evn_range, evn_range_find(s.truck, s.duty, &s.ask, &how, &out, report));
    how = (evn_range_how){.age_years = beyond, .ages = 1};
    REFUSES_HANDLE_AS("out_of_range", evn_range, evn_range_find(s.truck, s.duty, &s.ask, &how, &out, report));
    how = (evn_range_how){.distance_km = 5001};
    REFUSES_HANDLE_AS("out_of_range", evn_range, evn_range_find(s.truck, s.duty, &s.ask, &how, &out, report));
    how = (evn_range_how){.pack_kg_per_kwh = (double)NAN};
    REFUSES_HANDLE_AS("out_of_range", evn_range, evn_range_find(s.truck, s.duty, &s.ask, &how, &out, report));
    NOTHING(evn_range_cell_at(NULL, 0, &cell));
    NOTHING(evn_range_cell_at(s.range, 0, NULL));
    NOTHING(evn_range_cell_at(s.range, FAR, &cell));
    NOTHING(evn_range_worst(NULL));
    NOTHING(evn_range_goal_of(NULL, &goal));
    NOTHING(evn_range_goal_of(s.range, NULL));
    NOTHING(evn_range_pack_of(NULL, &pack));
    evn_range_load load;
    NOTHING(evn_range_load_at(NULL, 0, &load));
    NOTHING(evn_range_load_at(s.range, 0, NULL));
    NOTHING(evn_range_pack_of(s.range, NULL));
    evn_range_free(NULL);
}

static void limits_of_a_truck(void)
{
    evn_limits_how how = {.only_forces = true};
    evn_limits_figure figure;
    evn_limits_verdict verdict;
    const char *key, *title, *help;
    REFUSES_HANDLE(evn_limits, evn_limits_find(NULL, &s.ask.driving, &how, &out, report));
    REFUSES_HANDLE(evn_limits, evn_limits_find(s.rig, NULL, &how, &out, report));
    REFUSES(evn_limits_find(s.rig, &s.ask.driving, &how, NULL, report));
    REFUSES_NO_REPORT(evn_limits, evn_limits_find(s.rig, &s.ask.driving, &how, &out, NULL));
    NOTHING(evn_limits_count(NULL));
    NOTHING(evn_limits_at(NULL, 0, &figure));
    NOTHING(evn_limits_at(s.limits, 0, NULL));
    NOTHING(evn_limits_at(s.limits, SIZE_MAX, &figure));
    NOTHING(evn_limits_get(NULL, "start.dry.once_percent", &figure));
    NOTHING(evn_limits_get(s.limits, NULL, &figure));
    NOTHING(evn_limits_get(s.limits, "start.dry.once_percent", NULL));
    NOTHING(evn_limits_get(s.limits, "no_such_key", &figure));
    NOTHING(evn_limits_group_at(0, NULL, &title, &help));
    NOTHING(evn_limits_group_at(0, &key, NULL, &help));
    NOTHING(evn_limits_group_at(0, &key, &title, NULL));
    NOTHING(evn_limits_group_at(SIZE_MAX, &key, &title, &help));
    NOTHING(evn_limits_bound_at(0, NULL, &title));
    NOTHING(evn_limits_bound_at(0, &key, NULL));
    NOTHING(evn_limits_bound_at(SIZE_MAX, &key, &title));
    NOTHING(evn_limits_demand_at(NULL, 0, &verdict));
    NOTHING(evn_limits_demand_at(s.limits, 0, NULL));
    NOTHING(evn_limits_demand_at(s.limits, SIZE_MAX, &verdict));
    NOTHING(evn_comparison_limits(NULL, 0));
    NOTHING(evn_comparison_limits(s.comparison, FAR));
    evn_limits_free(NULL);
}

/* ------------------------------------------------------------------------------------------------ all of them */

static void damages(void)
{
    static const evn_damage wrong[] = {{0.99, 0}, {100.1, 0}, {(double)NAN, 0}, {-3, 0},         {(double)INFINITY, 0},
                                       {3, 0.5},  {3, -1},    {3, 1.1e12},      {3, (double)NAN}};
    static const evn_damage right[] = {{1, 0}, {100, 1}, {10.0 / 3, 1e12}};
    evn_collective_sum sum;
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++)
        NOTHING(evn_collective_sum_of(s.collective, 0, 1, &wrong[k], &sum));
    for (size_t k = 0; k < sizeof right / sizeof *right; k++)
        ck_assert(evn_collective_sum_of(s.collective, 0, EVN_ALL_GEARS, &right[k], &sum));
}

static void collectives(void)
{
    static const evn_damage by = {EVN_DAMAGE_EXPONENT, 0};
    evn_collective_shaft shaft;
    evn_collective_sum sum;
    evn_collective_cell cell;
    NOTHING(evn_collective_new(NULL));
    evn_collective_free(NULL);
    NOTHING(evn_collective_shaft_at(NULL, 0, &shaft));
    NOTHING(evn_collective_shaft_at(s.collective, 0, NULL));
    NOTHING(evn_collective_shaft_at(s.collective, FAR, &shaft));
    NOTHING(evn_collective_shaft_at(s.collective, SIZE_MAX, &shaft));
    NOTHING(evn_collective_sum_of(NULL, 0, 1, &by, &sum));
    NOTHING(evn_collective_sum_of(s.collective, FAR, 1, &by, &sum));
    NOTHING(evn_collective_sum_of(s.collective, 0, FAR, &by, &sum));
    NOTHING(evn_collective_sum_of(s.collective, 0, 1, NULL, &sum));
    NOTHING(evn_collective_sum_of(s.collective, 0, 1, &by, NULL));
    NOTHING(evn_collective_cell_at(NULL, 0, 1, 0, 0, &cell));
    NOTHING(evn_collective_cell_at(s.collective, FAR, 1, 0, 0, &cell));
    NOTHING(evn_collective_cell_at(s.collective, 0, FAR, 0, 0, &cell));
    NOTHING(evn_collective_cell_at(s.collective, 0, 1, 1000, 0, &cell));
    NOTHING(evn_collective_cell_at(s.collective, 0, 1, SIZE_MAX, 0, &cell));
    NOTHING(evn_collective_cell_at(s.collective, 0, 1, 0, 1000, &cell));
    NOTHING(evn_collective_cell_at(s.collective, 0, 1, 0, 0, NULL));
    /* of a run that never was: nothing, and no torque to refer to */
    ck_assert(evn_collective_sum_of(s.collective, 0, 1, &by, &sum));
    ck_assert(sum.both.revolutions == 0 && sum.both.duration_s == 0 && isnan(sum.both.equivalent_nm));
    damages();
}

static void stated_data(void)
{
    evn_datum datum;
    REFUSES_HANDLE(evn_truck_data, evn_truck_data_find(NULL, &out, report));
    REFUSES(evn_truck_data_find(s.truck, NULL, report));
    REFUSES_NO_REPORT(evn_truck_data, evn_truck_data_find(s.truck, &out, NULL));
    evn_truck_data_free(NULL);
    NOTHING(evn_truck_datum_at(NULL, 0, &datum));
    NOTHING(evn_truck_datum_at(s.data, 0, NULL));
    NOTHING(evn_truck_datum_at(s.data, FAR, &datum));
    REFUSES_HANDLE(evn_uncertainties, evn_uncertainties_load(NULL, &out, report));
    REFUSES(evn_uncertainties_load(HILL, NULL, report));
    REFUSES_NO_REPORT(evn_uncertainties, evn_uncertainties_load(HILL, &out, NULL));
    evn_uncertainties_free(NULL);
    ck_assert(isnan(evn_uncertainty_work(NULL)));
    REFUSES(evn_uncertainty_check(NULL, NULL, report));
    ck_assert_int_eq(evn_uncertainty_check(s.lineup, NULL, NULL), EVN_BAD_INPUT);
}

static void logs(void)
{
    evn_import_column column;
    REFUSES_HANDLE(evn_import, evn_import_log(NULL, NULL, &out, report));
    REFUSES(evn_import_log(HILL, NULL, NULL, report));
    REFUSES_NO_REPORT(evn_import, evn_import_log(HILL, NULL, &out, NULL));
    evn_import_how how = evn_import_default();
    how.gap_s = (double)NAN;
    evn_import *im = NULL;
    evn_report *report = evn_report_new();
    ck_assert_int_eq(evn_import_log(HILL, &how, &im, report), EVN_BAD_INPUT);
    ck_assert(!im && evn_report_count(report) == 1);
    evn_report_free(report);
    evn_import_free(NULL);
    ck_assert(!evn_import_tells(NULL) && !evn_import_cycle_of(NULL));
    NOTHING(evn_import_column_at(NULL, 0, &column));
    NOTHING(evn_import_column_at(NULL, 0, NULL));
}

static void coastdowns(void)
{
    const char *const logs[] = {HILL, NULL};
    evn_coastdown_how how = evn_coastdown_how_default();
    evn_coastdown_run run;
    evn_coastdown_figure figure;
    evn_coastdown_told told;
    evn_coastdown_band band;
    evn_coastdown *none = NULL;
    evn_report *said = evn_report_new();
    ck_assert_int_eq(evn_coastdown_find(logs, 1, &how, &none, said), EVN_BAD_INPUT); /* no mass */
    ck_assert(!none && evn_report_count(said) == 1);
    evn_report_free(said);
    how.mass_kg = 30000;
    REFUSES_HANDLE(evn_coastdown, evn_coastdown_find(NULL, 1, &how, &out, report));
    REFUSES_HANDLE(evn_coastdown, evn_coastdown_find(logs, 2, &how, &out, report));
    REFUSES_HANDLE(evn_coastdown, evn_coastdown_find(logs, 1, NULL, &out, report));
    REFUSES(evn_coastdown_find(logs, 1, &how, NULL, report));
    REFUSES_NO_REPORT(evn_coastdown, evn_coastdown_find(logs, 1, &how, &out, NULL));
    evn_coastdown_free(NULL);
    NOTHING(evn_coastdown_run_at(NULL, 0, &run));
    NOTHING(evn_coastdown_figure_at(NULL, EVN_COASTDOWN_FIT, 0, &figure));
    NOTHING(evn_coastdown_told_of(NULL, &told));
    NOTHING(evn_coastdown_band_at(NULL, 0, &band));
}

static void matches(void)
{
    evn_match_how how = evn_match_how_default(), short_blocks = how, unknown = how;
    evn_match_error error;
    evn_match_energy energy;
    evn_match_found found;
    evn_match_explained explained;
    evn_match_row row;
    short_blocks.block_s = 1;
    unknown.explain = 1u << EVN_MATCH_PARAMETERS;
    REFUSES_HANDLE(evn_match, evn_match_find(NULL, HILL, &s.ask, &how, &out, report));
    REFUSES_HANDLE(evn_match, evn_match_find(s.truck, NULL, &s.ask, &how, &out, report));
    REFUSES_HANDLE(evn_match, evn_match_find(s.truck, HILL, NULL, &how, &out, report));
    REFUSES_HANDLE(evn_match, evn_match_find(s.truck, HILL, &s.ask, NULL, &out, report));
    REFUSES(evn_match_find(s.truck, HILL, &s.ask, &how, NULL, report));
    REFUSES_NO_REPORT(evn_match, evn_match_find(s.truck, HILL, &s.ask, &how, &out, NULL));
    evn_match *m = NULL;
    evn_report *report = evn_report_new();
    ck_assert_int_eq(evn_match_find(s.truck, HILL, &s.ask, &short_blocks, &m, report), EVN_BAD_INPUT);
    ck_assert_int_eq(evn_match_find(s.truck, HILL, &s.ask, &unknown, &m, report), EVN_BAD_INPUT);
    ck_assert(!m && evn_report_count(report) == 2);
    evn_report_free(report);
    evn_match_free(NULL);
    ck_assert(!evn_match_import(NULL) && !evn_match_results(NULL) && isnan(evn_match_correlation(NULL, 0, 1)));
    ck_assert(!evn_match_word(EVN_MATCH_PARAMETERS) && evn_match_word(EVN_MATCH_DRAG));
    ck_assert_int_eq(evn_match_conditions(NULL).driving.driver, evn_conditions_default().driving.driver);
    NOTHING(evn_match_error_at(NULL, 0, &error));
    NOTHING(evn_match_energy_of(NULL, &energy));
    NOTHING(evn_match_found_at(NULL, 0, &found));
    NOTHING(evn_match_explained_of(NULL, &explained));
    NOTHING(evn_match_row_at(NULL, 0, &row));
}

static void matrices(void)
{
    const evn_matrix_sheet sheet = {HILL, (double)NAN};
    const evn_matrix_ask ask = {.values = "efficiency [%]"};
    evn_matrix_cell cell;
    REFUSES_HANDLE(evn_matrix, evn_matrix_read(NULL, 1, &ask, &out, report));
    REFUSES_HANDLE(evn_matrix, evn_matrix_read(&sheet, 1, NULL, &out, report));
    REFUSES_HANDLE(evn_matrix, evn_matrix_read(&sheet, 0, &ask, &out, report));
    REFUSES(evn_matrix_read(&sheet, 1, &ask, NULL, report));
    REFUSES_NO_REPORT(evn_matrix, evn_matrix_read(&sheet, 1, &ask, &out, NULL));
    evn_matrix_free(NULL);
    ck_assert(!evn_matrix_tells(NULL));
    NOTHING(evn_matrix_cell_at(NULL, 0, &cell));
    NOTHING(evn_matrix_cell_at(NULL, 0, NULL));
    const evn_loss_ask of = {.ratio = 4};
    REFUSES_HANDLE(evn_loss_fit, evn_loss_fit_table(NULL, &of, &out, report));
    REFUSES_HANDLE(evn_loss_fit, evn_loss_fit_table(HILL, NULL, &out, report));
    REFUSES(evn_loss_fit_table(HILL, &of, NULL, report));
    REFUSES_NO_REPORT(evn_loss_fit, evn_loss_fit_table(HILL, &of, &out, NULL));
    evn_loss_fit_free(NULL);
    ck_assert(!evn_loss_fit_tells(NULL));
}

static void uncertainties(void)
{
    const evn_uncertainty_how off = {.method = EVN_UNCERTAINTY_OFF}, other = {.method = (evn_uncertainty_method)FAR},
                              few = {.method = EVN_UNCERTAINTY_DRAWS, .draws = EVN_DRAWS_LEAST - EVN_DRAW_GROUPS},
                              uneven = {.method = EVN_UNCERTAINTY_DRAWS, .draws = EVN_DRAWS_LEAST + 1};
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(NULL, s.comparison, &first_order, &out, report));
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(s.lineup, NULL, &first_order, &out, report));
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(s.lineup, s.comparison, NULL, &out, report));
    REFUSES(evn_uncertainty_find(s.lineup, s.comparison, &first_order, NULL, report));
    REFUSES_NO_REPORT(evn_uncertainty, evn_uncertainty_find(s.lineup, s.comparison, &first_order, &out, NULL));
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(s.lineup, s.comparison, &off, &out, report));
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(s.lineup, s.comparison, &other, &out, report));
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(s.lineup, s.comparison, &few, &out, report));
    REFUSES_HANDLE(evn_uncertainty, evn_uncertainty_find(s.lineup, s.comparison, &uneven, &out, report));
    evn_uncertainty_free(NULL);
    NOTHING(evn_uncertainty_key(NULL));
    ck_assert_uint_eq(evn_uncertainty_ranked(NULL, 0), SIZE_MAX);
    ck_assert_uint_eq(evn_uncertainty_ranked(s.uncertainty, TWO), SIZE_MAX);
    ck_assert_uint_eq(evn_uncertainty_how_found(NULL).data, 0);
}

static void differences_that_are_sure(void)
{
    const evn_basis own = EVN_BASIS_OWN, none = (evn_basis)FAR;
    const evn_uncertainty_method first = EVN_UNCERTAINTY_FIRST_ORDER;
    const evn_uncertainty *u = s.uncertainty;
    evn_sureness sure;
    evn_share share;
    evn_datum datum;
    evn_datum_number number;
    ck_assert(evn_uncertainty_of(u, 1, 0, own, &sure) && evn_uncertainty_share_at(u, 1, 0, own, 0, &share));
    NOTHING(evn_uncertainty_between(NULL, 1, 0, own, first, &sure));
    NOTHING(evn_uncertainty_between(u, 1, 0, own, first, NULL));
    NOTHING(evn_uncertainty_between(u, TWO, 0, own, first, &sure));
    NOTHING(evn_uncertainty_between(u, 1, TWO, own, first, &sure));
    NOTHING(evn_uncertainty_between(u, 1, 1, own, first, &sure));
    NOTHING(evn_uncertainty_between(u, 1, 0, none, first, &sure));
    NOTHING(evn_uncertainty_between(u, 1, 0, own, EVN_UNCERTAINTY_DRAWS, &sure));
    NOTHING(evn_uncertainty_between(u, 1, 0, own, (evn_uncertainty_method)FAR, &sure));
    NOTHING(evn_uncertainty_of(NULL, 1, 0, own, &sure));
    NOTHING(evn_uncertainty_of(u, 1, 0, own, NULL));
    NOTHING(evn_uncertainty_of(u, 1, TWO, own, &sure));
    NOTHING(evn_uncertainty_datum_at(NULL, 0, &datum));
    NOTHING(evn_uncertainty_datum_at(u, 0, NULL));
    NOTHING(evn_uncertainty_datum_at(u, FAR, &datum));
    NOTHING(evn_uncertainty_number_at(NULL, 0, &number));
    NOTHING(evn_uncertainty_number_at(u, 0, NULL));
    NOTHING(evn_uncertainty_number_at(u, FAR, &number));
    NOTHING(evn_uncertainty_share_at(NULL, 1, 0, own, 0, &share));
    NOTHING(evn_uncertainty_share_at(u, 1, 0, own, 0, NULL));
    NOTHING(evn_uncertainty_share_at(u, TWO, 0, own, 0, &share));
    NOTHING(evn_uncertainty_share_at(u, 1, 0, none, 0, &share));
    NOTHING(evn_uncertainty_share_at(u, 1, 0, own, FAR, &share));
    evn_failed_draws failed;
    NOTHING(evn_uncertainty_failed_at(NULL, 0, &failed));
    NOTHING(evn_uncertainty_failed_at(u, 0, &failed)); /* first order has none */
    NOTHING(evn_uncertainty_failed_at(u, TWO, &failed));
    NOTHING(evn_uncertainty_failed_at(u, 0, NULL));
    NOTHING(evn_uncertainty_draw_at(NULL, 0, 0, &value));
    NOTHING(evn_uncertainty_draw_at(u, 0, 0, &value)); /* first order has none */
    NOTHING(evn_uncertainty_draw_at(u, 0, 0, NULL));
}

/* What refuses, and the public calls that it walks over, all that its headers declare between them. */
static const struct {
    void (*walk)(void);
    const char *calls;
} walks[] = {
    {reports,
     "evn_report_be_strict evn_report_count evn_report_left_out evn_report_at evn_report_file_at evn_report_status "
     "evn_report_free"},
    {loading_trucks, "evn_truck_load evn_truck_load_with evn_truck_free"},
    {loading_cycles, "evn_cycle_load evn_cycle_load_with evn_cycle_free"},
    {trucks_and_cycles,
     "evn_truck_name evn_truck_short_name evn_truck_invented evn_truck_axle_configuration evn_truck_axle_count "
     "evn_truck_brake_distribution evn_truck_driven_axle_count evn_truck_drag_area_m2 evn_cycle_name evn_cycle_source "
     "evn_cycle_figure_count evn_cycle_figure_at"},
    {members_of_conditions, "evn_load_case_set evn_load_case_get evn_driving_set evn_driving_get "
                            "evn_conditions_before_seasons"},
    {rigs, "evn_rig_prepare evn_rig_free evn_rig_figure_count evn_rig_figure_at evn_rig_fact_at evn_rig_unit_count "
           "evn_rig_unit_name"},
    {drives, "evn_drive evn_results_free"},
    {explanations, "evn_explain evn_explanation_free evn_explanation_count evn_explanation_at evn_explain_why_at"},
    {results, "evn_results_status evn_results_count evn_results_at evn_results_get evn_headline_at "
              "evn_result_row_at evn_limit_at evn_results_limitation_count evn_results_limitation_at "
              "evn_results_friction_cause_at evn_results_peak_temperature_at"},
    {loading_lineups, "evn_lineup_load evn_lineup_load_with evn_lineup_free"},
    {lineups, "evn_lineup_of evn_lineup_name evn_lineup_source evn_lineup_truck_count evn_lineup_truck_name "
              "evn_lineup_truck_title evn_lineup_truck evn_lineup_cycle evn_lineup_over evn_lineup_over_source "
              "evn_lineup_has_duty evn_lineup_duty evn_lineup_season_name evn_lineup_season_count "
              "evn_lineup_in_season evn_lineup_ask"},
    {comparisons, "evn_compare evn_comparison_free evn_comparison_rig evn_comparison_outcome "
                  "evn_comparison_figure_count evn_comparison_figure_at"},
    {causes_of_differences,
     "evn_cause_row_at evn_causes_runs evn_causes_find evn_causes_free evn_causes_partial evn_causes_key "
     "evn_causes_against evn_causes_differing_at "
     "evn_causes_pair_at evn_causes_part_at evn_causes_line_at evn_causes_law_at evn_causes_merge_at "
     "evn_causes_exchange_at evn_causes_source"},
    {besides,
     "evn_beside_fits evn_beside_hold evn_beside_free evn_beside_truck_at evn_beside_line_at evn_beside_data_at "
     "evn_beside_verdict_of evn_beside_answers"},
    {likenesses,
     "evn_likeness_row_at evn_comparison_likeness_at evn_comparison_likeness_between evn_comparison_is_alike "
     "evn_lineup_equal "
     "evn_comparison_equalised"},
    {outcomes, "evn_outcome_status evn_outcome_results evn_outcome_report evn_outcome_difference_count "
               "evn_outcome_difference_at"},
    {keys, "evn_kind_at evn_kind_get evn_key_at evn_key_step evn_key_find evn_fault_at "
           "evn_renamed_at evn_renamed_key"},
    {catalogues, "evn_catalogue_open evn_catalogue_open_named evn_catalogue_free evn_catalogue_at evn_file_kind"},
    {values, "evn_truck_value_count evn_truck_value_at evn_truck_hash evn_cycle_hash evn_lineup_over_hash"},
    {parts, "evn_part_load evn_part_example evn_part_free evn_part_value_at"},
    {variants_of_trucks, "evn_truck_copy evn_truck_number evn_truck_set_numbers evn_truck_set_number"},
    {variants_of_cycles, "evn_cycle_copy evn_cycle_number evn_cycle_set_numbers evn_cycle_set_number"},
    {traces, "evn_trace_column_count evn_trace_column_at evn_trace_quantity_at"},
    {charts, "evn_chart_free evn_chart_column_count evn_chart_column_at evn_chart_row_count evn_chart_row "
             "evn_chart_of_road evn_chart_of_limits evn_chart_of_stops evn_chart_of_forces"},
    {charts_of_units, "evn_chart_of_motor evn_chart_of_envelope evn_chart_of_points evn_chart_of_settings"},
    {charts_of_heat, "evn_chart_of_heat_limits"},
    {charts_of_braking, "evn_chart_of_braking_shares evn_chart_of_braking_to_rest evn_chart_of_motor_braking "
                        "evn_chart_of_adhesion_use evn_chart_of_adhesion_bands"},
    {demands, "evn_demands_default evn_demands_set evn_demands_get evn_lineup_demands"},
    {sets_of_rules, "evn_rules_load evn_rules_free evn_rules_name evn_rules_source evn_rules_clause_count "
                    "evn_rules_clause_name"},
    {variants, "evn_study_load evn_study_load_with evn_study_tune evn_study_free evn_study_name evn_study_source "
               "evn_study_ask evn_study_searches evn_study_text evn_vary evn_vary_merge evn_variants_open "
               "evn_variants_free evn_variants_fact evn_variants_fact_at evn_variants_count evn_variants_expected "
               "evn_variants_failed evn_variants_truck_count evn_variants_truck_name evn_variants_column_count "
               "evn_variants_column_at evn_variants_each"},
    {prices, "evn_prices_load evn_prices_free evn_prices_name evn_prices_source evn_prices_invented "
             "evn_prices_currency"},
    {paybacks,
     "evn_payback_find evn_payback_free evn_payback_truck_count evn_payback_annual_km evn_payback_years "
     "evn_payback_partial evn_payback_equalised evn_payback_demand_at evn_payback_meets_demands "
     "evn_payback_reason_at "
     "evn_payback_status evn_payback_figure_at evn_payback_get evn_payback_input_at evn_payback_advice_at "
     "evn_payback_cell_at evn_payback_cell_value evn_payback_line_at evn_payback_border_at evn_payback_saying_of "
     "evn_payback_turn_at evn_payback_sure_of evn_payback_within evn_payback_band_at evn_payback_cause_at "
     "evn_payback_stop_at evn_payback_try_at evn_payback_at_distance evn_payback_again evn_payback_physics_runs "
     "evn_payback_physics_of evn_payback_energy_of"},
    {assessments, "evn_assess evn_assessment_free evn_assessment_truck_count evn_assessment_demand_count "
                  "evn_assessment_of evn_assessed_at evn_assess_input_at evn_assess_turn_at evn_assessment_choice "
                  "evn_verdict_name evn_lineup_demands_more"},
    {sites, "evn_site_group_at evn_site_ask_default evn_site_ask_set evn_site_ask_get evn_site_find evn_site_free "
            "evn_site_count evn_site_at evn_site_get evn_site_meets_all"},
    {drawings, "evn_drawing_of evn_drawing_free evn_drawing_at evn_drawing_missing evn_drawing_ends"},
    {duties, "evn_duty_load evn_duty_load_with evn_duty_free evn_duty_name evn_duty_source "
             "evn_duty_working_days_per_year evn_duty_season_count evn_duty_season_name evn_duty_payload_until "
             "evn_drive_duty evn_day_free "
             "evn_duty_hash evn_comparison_day evn_comparison_phase_at evn_comparison_demanded_reserve_soc "
             "evn_comparison_season_at evn_comparison_season_why evn_comparison_worst_season "
             "evn_comparison_day_demand_at evn_day_season_at evn_day_rig evn_day_worst_season evn_day_phase_at "
             "evn_day_year evn_day_demand_at"},
    {ranges, "evn_duty_of_cycle evn_range_find evn_range_free evn_range_cell_at evn_range_worst evn_range_goal_of "
             "evn_range_pack_of evn_range_load_at"},
    {limits_of_a_truck, "evn_limits_find evn_limits_free evn_limits_count evn_limits_at evn_limits_get "
                        "evn_limits_group_at evn_limits_bound_at evn_limits_demand_at evn_comparison_limits"},
    {adhesion_uses, "evn_adhesion_use_new evn_adhesion_use_free evn_adhesion_use_sample"},
    {censuses, "evn_census_new evn_census_free evn_census_sample"},
    {collectives, "evn_collective_new evn_collective_free evn_collective_shaft_at evn_collective_sum_of "
                  "evn_collective_cell_at"},
    {stated_data, "evn_truck_data_find evn_truck_data_free evn_truck_datum_at evn_uncertainties_load "
                  "evn_uncertainties_free evn_uncertainty_work evn_uncertainty_check"},
    {logs, "evn_import_log evn_import_free evn_import_tells evn_import_cycle_of evn_import_column_at"},
    {coastdowns, "evn_coastdown_find evn_coastdown_free evn_coastdown_run_at evn_coastdown_figure_at "
                 "evn_coastdown_told_of evn_coastdown_band_at"},
    {matches, "evn_match_find evn_match_free evn_match_word evn_match_import evn_match_results evn_match_conditions "
              "evn_match_error_at evn_match_energy_of evn_match_found_at evn_match_correlation evn_match_explained_of "
              "evn_match_row_at"},
    {matrices, "evn_matrix_read evn_matrix_free evn_matrix_tells evn_matrix_cell_at evn_loss_fit_table "
               "evn_loss_fit_free evn_loss_fit_tells"},
    {uncertainties, "evn_uncertainty_find evn_uncertainty_free evn_uncertainty_key evn_uncertainty_ranked "
                    "evn_uncertainty_how_found"},
    {differences_that_are_sure, "evn_uncertainty_between evn_uncertainty_of evn_uncertainty_datum_at "
                                "evn_uncertainty_number_at evn_uncertainty_share_at evn_uncertainty_failed_at "
                                "evn_uncertainty_draw_at"},
    {kept_files, "evn_kept_load evn_kept_load_renamed evn_kept_new evn_kept_free evn_kept_add evn_kept_add_lineup"},
    {kept_runs, "evn_kept_count evn_kept_at evn_kept_result_at evn_kept_tolerance_at evn_kept_about "
                "evn_kept_program evn_result_is_kept evn_hold_against"},
    {checks, "evn_kept_check evn_check_free evn_check_count evn_check_at evn_check_moved_at"},
    {NULL, "evn_version evn_report_new evn_conditions_default evn_import_default evn_coastdown_how_default "
           "evn_match_how_default evn_kind_count evn_fault_count"}, /* take
                       nothing
                     */
};
enum { WALKS = sizeof walks / sizeof walks[0] - 1 };

START_TEST(a_call_refuses_what_its_header_does_not_allow) { walks[_i].walk(); }
END_TEST

static bool is_word_of(const char *words, const char *name)
{
    size_t length = strlen(name);
    for (const char *at = words; (at = strstr(at, name)); at += length)
        if ((at == words || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0'))
            return true;
    return false;
}

static bool is_walked(const char *name)
{
    for (size_t i = 0; i <= WALKS; i++)
        if (is_word_of(walks[i].calls, name))
            return true;
    return false;
}

/* The declaration's name is the last word before its parenthesis. */
static size_t count_calls(const char *path)
{
    static char header[100000];
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    size_t length = fread(header, 1, sizeof header - 1, file), count = 0;
    fclose(file);
    header[length] = '\0';
    for (char *at = header; (at = strstr(at, "EVN_API ")); at++, count++) {
        char name[100];
        size_t end = strcspn(at, "("), begin = end;
        if (strncmp(at, "EVN_API __attribute__", 21) == 0) { /* its definition */
            count--;
            continue;
        }
        while (at[begin - 1] != ' ' && at[begin - 1] != '*')
            begin--;
        snprintf(name, sizeof name, "%.*s", (int)(end - begin), at + begin);
        ck_assert_msg(is_walked(name), "%s of %s is not among the walks", name, path);
    }
    return count;
}

START_TEST(every_public_call_is_among_the_walks)
{
    static const char *const headers[] = {
        "evener",  "causes", "keys",     "catalogue", "values",      "traces",  "charts", "collectives", "kept",
        "limits",  "duty",   "likeness", "beside",    "uncertainty", "explain", "range",  "site",        "rules",
        "payback", "assess", "logs",     "matrices",  "coastdown",   "match",   "vary"};
    size_t declared = 0, walked = 0;
    for (size_t i = 0; i < sizeof headers / sizeof headers[0]; i++) {
        char path[100];
        snprintf(path, sizeof path, "include/evener/%s.h", headers[i]);
        declared += count_calls(path);
    }
    for (size_t i = 0; i <= WALKS; i++)
        for (const char *c = walks[i].calls; *c; c++)
            walked += c == walks[i].calls || c[-1] == ' ';
    ck_assert_uint_eq(declared, walked);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ conditions */

/* What no condition may be; the rest is as by default. */
static const struct {
    const char *key, *fault;
    double value;
} wrong[] = {
    {"driver", "unknown_choice", 77},
    {"driver", "unknown_choice", -1},
    {"speed_gain_1_s", "out_of_range", (double)NAN},
    {"look_ahead_s", "out_of_range", (double)INFINITY},
    {"comfort_acceleration_m_s2", "out_of_range", -(double)INFINITY},
    {"comfort_braking_m_s2", "out_of_range", (double)NAN},
    {"accuracy", "out_of_range", (double)NAN},
    {"trace_interval_s", "out_of_range", (double)INFINITY},
    {"payload_kg", "out_of_range", (double)INFINITY},
    {"start_soc", "out_of_range", -(double)INFINITY},
    {"gravity_m_s2", "out_of_range", (double)NAN},
    {"air_density_kg_m3", "out_of_range", (double)INFINITY},
    {"altitude_m", "out_of_range", (double)NAN},
    {"temperature_degc", "out_of_range", (double)INFINITY},
    {"headwind_m_s", "out_of_range", (double)NAN},
};
enum { WRONG = sizeof wrong / sizeof wrong[0], OF_DRIVING = 8 };

/* Written by hand, as a caller may. */
static evn_conditions with_wrong(size_t index)
{
    evn_conditions ask = evn_conditions_default();
    double *const member[WRONG] = {NULL,
                                   NULL,
                                   &ask.driving.speed_gain_1_s,
                                   &ask.driving.look_ahead_s,
                                   &ask.driving.comfort_acceleration_m_s2,
                                   &ask.driving.comfort_braking_m_s2,
                                   &ask.driving.accuracy,
                                   &ask.driving.trace_interval_s,
                                   &ask.load_case.payload_kg,
                                   &ask.load_case.start_soc,
                                   &ask.load_case.gravity_m_s2,
                                   &ask.load_case.air_density_kg_m3,
                                   &ask.load_case.altitude_m,
                                   &ask.load_case.temperature_degc,
                                   &ask.load_case.headwind_m_s};
    if (member[index]) {
        *member[index] = wrong[index].value;
        return ask;
    }
    int driver = (int)wrong[index].value;
    memcpy(&ask.driving.driver, &driver, sizeof driver);
    return ask;
}

START_TEST(a_driver_of_77_and_numbers_that_are_none_are_refused_by_every_call_that_takes_conditions)
{
    evn_conditions ask = with_wrong((size_t)_i), before = evn_conditions_default(), set = before;
    const char *fault = wrong[_i].fault;
    if (_i < OF_DRIVING)
        FINDS(fault, evn_drive(s.rig, s.cycle, &ask.driving, NULL, &(evn_results *){NULL}, report));
    else
        FINDS(fault, evn_rig_prepare(s.truck, &ask.load_case, &(evn_rig *){NULL}, report));
    FINDS(fault, evn_compare(s.lineup, &ask, NULL, &(evn_comparison *){NULL}, report));
    FINDS(fault, evn_kept_add(s.kept, TRACTOR, HILL, &ask, NULL, report));
    ck_assert_uint_eq(evn_kept_count(s.kept), 1);
    if (_i < OF_DRIVING)
        FINDS(fault, evn_driving_set(&set.driving, wrong[_i].key, wrong[_i].value, report) ? EVN_DONE : EVN_BAD_INPUT);
    else
        FINDS(fault,
              evn_load_case_set(&set.load_case, wrong[_i].key, wrong[_i].value, report) ? EVN_DONE : EVN_BAD_INPUT);
    ck_assert(memcmp(&set, &before, sizeof set) == 0);
}
END_TEST

START_TEST(numbers_that_are_none_do_not_change_a_truck_or_a_cycle)
{
    const double none[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    double area = evn_truck_drag_area_m2(s.truck);
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        FINDS("not_a_number", evn_truck_set_number(s.truck, DRAG, none[i], report));
        if (i > 0) /* NAN is "not given" there, where the road may end at its last point */
            FINDS("not_a_number", evn_cycle_set_number(s.cycle, "length_m", none[i], report));
    }
    ck_assert_double_eq(evn_truck_drag_area_m2(s.truck), area);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ samplers */

static void take_row(void *self, const double *row, size_t columns)
{
    (void)row;
    (void)columns;
    *(size_t *)self += 1;
}

static evn_samplers samplers(void *self, size_t truck, const evn_rig *rig, evn_basis basis)
{
    (void)truck;
    (void)rig;
    (void)basis;
    return *(evn_samplers *)self;
}

START_TEST(samplers_that_are_none_are_refused_in_the_report_of_each_run)
{
    size_t rows = 0;
    const evn_sampler none[] = {{&rows, 1, NULL, NULL},
                                {&rows, (double)NAN, NULL, take_row},
                                {&rows, (double)INFINITY, NULL, take_row},
                                {&rows, -1, NULL, take_row}};
    const evn_samplers lists[] = {{&none[0], 1}, {&none[1], 1}, {&none[2], 1}, {&none[3], 1}, {NULL, 1}};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        evn_samplers list = lists[i];
        evn_compare_how how = {.self = &list, .samplers = samplers};
        evn_comparison *comparison = NULL;
        evn_report *report = evn_report_new();
        evn_finding found;
        ck_assert_int_eq(evn_compare(s.lineup, &s.ask, &how, &comparison, report), EVN_ANSWER_NO);
        const evn_outcome *outcome = evn_comparison_outcome(comparison, 0, EVN_BASIS_OWN);
        ck_assert_ptr_null(evn_outcome_results(outcome));
        ck_assert(evn_report_at(evn_outcome_report(outcome), 0, &found));
        ck_assert_str_eq(found.fault, i == 0 || i == 4 ? "usage" : "out_of_range");
        evn_comparison_free(comparison);
        evn_report_free(report);
    }
    ck_assert_uint_eq(rows, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("refusals");
    TCase *tests = tcase_create("refusals");
    tcase_add_unchecked_fixture(tests, scene_begin, scene_end);
    tcase_add_loop_test(tests, a_call_refuses_what_its_header_does_not_allow, 0, WALKS);
    tcase_add_test(tests, every_public_call_is_among_the_walks);
    tcase_add_loop_test(tests, a_driver_of_77_and_numbers_that_are_none_are_refused_by_every_call_that_takes_conditions,
                        0, WRONG);
    tcase_add_test(tests, numbers_that_are_none_do_not_change_a_truck_or_a_cycle);
    tcase_add_test(tests, samplers_that_are_none_are_refused_in_the_report_of_each_run);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
