/*
 * What must hold of grip whatever the truck does: more adhesion and locks never take force away, an axle that lifts
 * never costs rolling resistance, and runs over changes of adhesion, locks and stance close their balance and keep
 * their schedule however closely they are integrated.
 */
#define _POSIX_C_SOURCE 200809L
#include "../published/plain_truck.h"
#include "../schedules/schedule.h"
#include "../unit/lorry.h"
#include "api/objects.h"
#include "pull/instant.h"
#include "pull/limits.h"
#include "trip/drive.h"
#include <stdint.h>

enum { MOMENTS = 400 };

typedef struct lot {
    uint64_t state; /* not 0 */
} lot;

static double roll(lot *with, double low, double high)
{
    with->state ^= with->state << 13;
    with->state ^= with->state >> 7;
    with->state ^= with->state << 17;
    return low + (high - low) * ((double)(with->state >> 11) / 9007199254740992.0);
}

/* ------------------------------------------------------------------------------------------------ trucks */

#define AID ", lifts: {request: down, start_aid: {below_km_h: 30, axle_load_kg: 14000}}"
#define EACH_AXLE                                                                                                      \
    "drive_units: {first: {axles: [2], " LORRY_MOTORS ", path: []}, second: {axles: [3], " LORRY_MOTORS                \
    ", path: [], axle_differential_lock: true}}\n"
#define LOCKS ", axle_differential_lock: true, inter_axle_lock: true"

static const char *const trucks[] = {
    LORRY_6X2("1.2", "0.006", AID) LORRY_DRIVES_ONE(", axle_differential_lock: true"),
    LORRY_TANDEM("1.3") LORRY_DRIVES_BOTH(LOCKS),
    LORRY_TANDEM("1.3") EACH_AXLE,
};
enum { TRUCKS = sizeof trucks / sizeof *trucks };

typedef struct ready {
    evn_report *report;
    evn_truck *truck;
    evn_rig *rig;
} ready;

static ready ready_of(const char *text, const evn_load_case *load_case)
{
    char path[PATH_BYTES];
    ready r = {.report = evn_report_new()};
    write_file("truck.yaml", text);
    evn_finding finding = {.text = ""};
    evn_truck_load(in_folder(path, "truck.yaml"), &r.truck, r.report);
    evn_report_at(r.report, 0, &finding);
    ck_assert_msg(r.truck, "%s", finding.text);
    evn_rig_prepare(r.truck, load_case, &r.rig, r.report);
    evn_report_at(r.report, 0, &finding);
    ck_assert_msg(r.rig, "%s", finding.text);
    return r;
}

static void ready_end(ready *r)
{
    evn_rig_free(r->rig);
    evn_truck_free(r->truck);
    evn_report_free(r->report);
}

/* ------------------------------------------------------------------------------------------------ moments */

typedef struct moment {
    evn_given at;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} moment;

static void roll_moment(moment *m, const evn_rig *rig, lot *with)
{
    m->at = (evn_given){.rig = rig,
                        .tangent = roll(with, -0.1, 0.1),
                        .rolling_factor = roll(with, 0.8, 3),
                        .adhesion = roll(with, 0.1, 0.8),
                        .adhesion_other_side = roll(with, 0.1, 0.8),
                        .speed_m_s = roll(with, 0, 20),
                        .asked_m_s2 = roll(with, -2, 0),
                        .soc = 0.5,
                        .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], m->degc[u]);
        m->at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], 0), .degc = m->degc[u]};
    }
}

/* Magnitude of what motors and tyres give, pulling or pushing. */
static double most_n(const evn_given *at, bool pulling)
{
    evn_pull p = {.at = *at};
    evn_pull_make(&p);
    return (pulling ? 1 : -1) * evn_pull_most_n(&p, pulling);
}

static evn_given with_locks(const evn_given *at, bool axles, bool branches)
{
    evn_given locked = *at;
    for (size_t u = 0; u < at->rig->unit_count; u++) {
        locked.unit[u].axles_locked = axles;
        locked.unit[u].branches_locked = branches && at->rig->unit[u].branch_count > 0;
    }
    return locked;
}

/* At least as much, to what searches leave. */
static void at_least(double more_n, double less_n, const char *what)
{
    ck_assert_msg(more_n >= less_n - 1e-6 * (1e3 + fabs(less_n)), "%s: %.17g, %.17g", what, more_n, less_n);
}

START_TEST(more_adhesion_of_either_side_never_takes_force_away)
{
    evn_load_case load_case = evn_conditions_default().load_case;
    ready r = ready_of(trucks[_i], &load_case);
    lot with = {UINT64_C(0x9e3779b97f4a7c15)};
    for (int k = 0; k < MOMENTS; k++) {
        moment m;
        roll_moment(&m, r.rig, &with);
        bool axles = roll(&with, 0, 1) < 0.5, branches = roll(&with, 0, 1) < 0.5;
        evn_given less = with_locks(&m.at, axles, branches), more = less;
        more.adhesion += roll(&with, 0, 0.3);
        more.adhesion_other_side += roll(&with, 0, 0.3);
        for (int pulling = 0; pulling < 2; pulling++)
            at_least(most_n(&more, pulling), most_n(&less, pulling), "more adhesion");
    }
    ready_end(&r);
}
END_TEST

START_TEST(a_locked_differential_never_gives_less_than_an_open_one)
{
    evn_load_case load_case = evn_conditions_default().load_case;
    ready r = ready_of(trucks[_i], &load_case);
    lot with = {UINT64_C(0x2545f4914f6cdd1d)};
    bool more = false;
    for (int k = 0; k < MOMENTS; k++) {
        moment m;
        roll_moment(&m, r.rig, &with);
        evn_given open = with_locks(&m.at, false, false), axles = with_locks(&m.at, true, false);
        evn_given branches = with_locks(&m.at, false, true), both = with_locks(&m.at, true, true);
        for (int pulling = 0; pulling < 2; pulling++) {
            double open_n = most_n(&open, pulling), both_n = most_n(&both, pulling);
            at_least(most_n(&axles, pulling), open_n, "axles locked");
            at_least(most_n(&branches, pulling), open_n, "branches locked");
            at_least(both_n, most_n(&axles, pulling), "both locked, not axles alone");
            at_least(both_n, most_n(&branches, pulling), "both locked, not branches alone");
            more = more || both_n > 1.1 * open_n;
        }
    }
    ck_assert(more);
    ready_end(&r);
}
END_TEST

/* Power in and out of one instant: what the terminals give goes to lines of the ledger, to the last watt. */
START_TEST(locked_branches_share_so_that_each_is_loaded_alike_and_no_power_is_lost)
{
    evn_load_case load_case = evn_conditions_default().load_case;
    ready r = ready_of(trucks[1], &load_case);
    lot with = {UINT64_C(0x853c49e6748fea9b)};
    for (int k = 0; k < MOMENTS; k++) {
        moment m;
        evn_instant n;
        roll_moment(&m, r.rig, &with);
        m.at.adhesion = m.at.adhesion_other_side = 0.5;
        m.at.asked_m_s2 = roll(&with, -0.3, 0.3);
        n.pull.at = with_locks(&m.at, true, true);
        evn_instant_make(&n);
        double sum_w = 0;
        for (int line = 0; line < EVN_LINE_COUNT; line++)
            sum_w += n.flow.w[line];
        ck_assert_double_eq_tol(sum_w, n.load_w, 1e-8 * (1e5 + fabs(n.load_w)));
    }
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ rolling */

static double rolling_n(const evn_given *at)
{
    evn_pull p = {.at = *at};
    evn_pull_make(&p);
    return p.road.rolling_at_rest_n;
}

#define MORE_TAG(lifts) LORRY_6X2("1.2", "0.009", lifts) LORRY_DRIVES_ONE("")

START_TEST(load_that_a_lifting_axle_leaves_never_adds_to_rolling_resistance)
{
    evn_load_case up_case = evn_conditions_default().load_case;
    up_case.lifting_axle = EVN_LIFTING_AXLE_UP;
    evn_load_case down_case = evn_conditions_default().load_case;
    const char *const alike = LORRY_6X2("1.2", "0.006", AID) LORRY_DRIVES_ONE(""), *const unlike = MORE_TAG(AID);
    lot with = {UINT64_C(0x14057b7ef767814f)};
    for (int k = 0; k < 2; k++) {
        ready down = ready_of(k == 0 ? alike : unlike, &down_case), up = ready_of(k == 0 ? alike : unlike, &up_case);
        for (int i = 0; i < 50; i++) {
            moment m;
            roll_moment(&m, down.rig, &with);
            double down_n = rolling_n(&m.at);
            m.at.start_aid = true;
            double aid_n = rolling_n(&m.at);
            m.at.start_aid = false;
            m.at.rig = up.rig;
            double up_n = rolling_n(&m.at);
            if (k == 0) { /* alike: where the load stands is of no account */
                ck_assert_double_eq_tol(aid_n, down_n, 1e-9 * down_n);
                ck_assert_double_eq_tol(up_n, down_n, 1e-9 * down_n);
            } else { /* its tyres roll worse than those that take its load */
                ck_assert_double_lt(aid_n, 0.99 * down_n);
                ck_assert_double_lt(up_n, 0.99 * aid_n);
            }
        }
        ready_end(&down);
        ready_end(&up);
    }
}
END_TEST

/* Steady on the level nothing but rolling resistance is to be pulled: with start aid below its speed, without above. */
START_TEST(start_aid_holds_below_its_speed_and_not_above)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    evn_conditions ask = plain_ask(0);
    const double km_h[] = {5, 28, 30, 31, 60};
    write_file("truck.yaml", MORE_TAG(AID));
    for (size_t i = 0; i < sizeof km_h / sizeof *km_h; i++) {
        write_steady("steady.yaml", km_h[i], 20, 0);
        drive d = drive_files(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "steady.yaml"), &ask);
        const evn_axle_load *tag = km_h[i] < 30 ? &d.rig->start_aid.load[2] : &d.rig->axle[2].load;
        double expected_n = 9.81 * (0.006 * 26000 + 0.003 * tag->cosine_kg);
        ck_assert_double_eq_tol(cell(&d, d.rows / 2, "wheel_force_kn") * 1e3, expected_n, 1e-6 * expected_n);
        drive_end(&d);
    }
}
END_TEST

/* The wheel force in the row at that time. */
static double force_at_n(const drive *d, double time_s)
{
    for (size_t k = 0; k < d->rows; k++)
        if (fabs(cell(d, k, "time_s") - time_s) < 1e-6)
            return cell(d, k, "wheel_force_kn") * 1e3;
    ck_abort_msg("no row at %g s", time_s);
    return 0;
}

START_TEST(start_aid_ends_as_the_truck_gets_faster_and_begins_again_as_it_gets_slower)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    evn_conditions ask = plain_ask(0);
    write_file("truck.yaml", MORE_TAG(AID));
    write_file("cycle.yaml",
               "name: up and down\ninvented: true\nspeed: {time_s: [0, 10, 20, 40, 60, 80, 100, 120, 140], "
               "speed_km_h: [0, 25, 25, 45, 45, 29.3, 29.3, 10, 10]}\n");
    drive d = drive_files(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask);
    const struct {
        double time_s;
        bool aid;
    } row[] = {{15, true}, {50, false}, {90, false}, {130, true}}; /* 29.3 km/h: it begins again well below its speed */
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const evn_axle_load *tag = row[i].aid ? &d.rig->start_aid.load[2] : &d.rig->axle[2].load;
        double expected_n = 9.81 * (0.006 * 26000 + 0.003 * tag->cosine_kg);
        ck_assert_double_eq_tol(force_at_n(&d, row[i].time_s), expected_n, 1e-6 * expected_n);
    }
    ck_assert_double_lt(result_of(&d, "balance_error"), 1e-9);
    drive_end(&d);
}
END_TEST

/* On 10 % with 0.5 and 0.2 under its sides: locked 0.35 of 19 t carry what 40 t need, open 0.2 of twice 8 t do not. */
START_TEST(locks_hold_below_their_speed_where_the_road_states_its_adhesion_and_not_above)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], cycle[400];
    evn_conditions ask = plain_ask(0);
    const struct {
        double km_h;
        const char *surface;
        bool held;
    } row[] = {{10, "adhesion: [0.5], adhesion_other_side: [0.2]", false},
               {19, "adhesion: [0.5], adhesion_other_side: [0.2]", true}, /* begins 0.35 m/s below 20 km/h */
               {30, "adhesion: [0.5], adhesion_other_side: [0.2]", true},
               {30, "adhesion: [0.5]", false},
               {10, "rolling_factor: [1]", false}};
    write_file("truck.yaml", LORRY_TANDEM("0") LORRY_DRIVES_BOTH(LOCKS));
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        snprintf(cycle, sizeof cycle,
                 "name: steady\ninvented: true\nspeed: {time_s: [0, 2], speed_km_h: [%g, %g]}\n"
                 "road: {place_m: [0, 100], grade_percent: [10, 10]}\nsurface: {place_m: [0], %s}\n",
                 row[i].km_h, row[i].km_h, row[i].surface);
        write_file("cycle.yaml", cycle);
        drive d = drive_files(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask);
        ck_assert_msg((held_s(&d, "adhesion") > 0) == row[i].held, "%g km/h, %s", row[i].km_h, row[i].surface);
        drive_end(&d);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

static const char cycle_text[] =
    "name: grip\ninvented: true\nlength_m: 1500\n"
    "speed: {place_m: [0, 300, 700, 1000], limit_km_h: [40, 20, 30, 50]}\n"
    "stops: {place_m: [300, 900], wait_s: [5, 5]}\n"
    "road: {place_m: [0, 200, 250, 500, 550, 900, 950, 1500], grade_percent: [0, 0, 4, 4, -3, -3, 2, 2], "
    "level_beyond: true}\n"
    "surface: {place_m: [0, 120, 260, 420, 700, 960, 1200], kind: [dry, wet, gravel, snow, soil, wet, snow], "
    "adhesion_other_side: [0.75, 0.2, 0.5, 0.2, 0.4, 0.15, 0.3]}\n";

static void drive_out(const ready *r, evn_driver driver, double accuracy, schedule *s)
{
    char path[PATH_BYTES];
    evn_cycle *cycle = NULL;
    evn_driving driving = evn_conditions_default().driving;
    driving.driver = driver;
    driving.accuracy = accuracy;
    write_file("cycle.yaml", cycle_text);
    evn_cycle_load(in_folder(path, "cycle.yaml"), &cycle, r->report);
    evn_finding finding = {.text = ""};
    evn_report_at(r->report, 0, &finding);
    ck_assert_msg(cycle, "%s", finding.text);
    evn_course *course = evn_drive_course_of(r->rig, cycle->file, &driving, NULL, r->report);
    ck_assert_ptr_nonnull(course);
    ck_assert(schedule_drive(r->rig, course, &driving, &evn_cvode, s, r->report));
    evn_results *results = NULL;
    evn_drive(r->rig, cycle, &driving, NULL, &results, r->report);
    double error;
    ck_assert_ptr_nonnull(results);
    ck_assert_str_eq(evn_results_status(results), "finished");
    ck_assert(evn_results_get(results, "balance_error", &error));
    ck_assert_double_lt(error, 2e-5);
    evn_results_free(results);
    schedule by_arkode; /* the other integrator sees the same */
    ck_assert(schedule_drive(r->rig, course, &driving, &evn_arkode, &by_arkode, r->report));
    ck_assert_double_eq_tol(by_arkode.battery_kwh, s->battery_kwh, 1e-4 * fabs(s->battery_kwh));
    schedule_free(&by_arkode);
    evn_course_free(course);
    evn_cycle_free(cycle);
}

START_TEST(runs_over_changes_of_grip_close_and_keep_their_schedule_at_any_accuracy)
{
    evn_load_case load_case = evn_conditions_default().load_case;
    ready r = ready_of(trucks[_i % TRUCKS], &load_case);
    evn_driver driver = _i < TRUCKS ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
    schedule coarse, fine;
    char why[400] = "";
    drive_out(&r, driver, 1e-6, &coarse);
    drive_out(&r, driver, 1e-8, &fine);
    ck_assert_msg(schedule_same(&coarse, &fine, why, sizeof why), "%s", why);
    size_t held = 0;
    for (size_t k = 0; k < fine.lane[SCHEDULE_LIMIT].count; k++)
        held += fine.lane[SCHEDULE_LIMIT].span[k].value != 0;
    ck_assert_uint_ge(held, 1); /* adhesion holds it somewhere */
    schedule_free(&coarse);
    schedule_free(&fine);
    ready_end(&r);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("grips");
    TCase *moments = tcase_create("moments"), *runs = tcase_create("runs");
    tcase_add_checked_fixture(moments, folder_begin, folder_end);
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(moments, more_adhesion_of_either_side_never_takes_force_away, 0, TRUCKS);
    tcase_add_loop_test(moments, a_locked_differential_never_gives_less_than_an_open_one, 0, 2);
    tcase_add_test(moments, locked_branches_share_so_that_each_is_loaded_alike_and_no_power_is_lost);
    tcase_add_test(moments, load_that_a_lifting_axle_leaves_never_adds_to_rolling_resistance);
    tcase_add_test(runs, start_aid_holds_below_its_speed_and_not_above);
    tcase_add_test(runs, locks_hold_below_their_speed_where_the_road_states_its_adhesion_and_not_above);
    tcase_add_test(runs, start_aid_ends_as_the_truck_gets_faster_and_begins_again_as_it_gets_slower);
    tcase_add_loop_test(runs, runs_over_changes_of_grip_close_and_keep_their_schedule_at_any_accuracy, 0, 2 * TRUCKS);
    suite_add_tcase(suite, moments);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
