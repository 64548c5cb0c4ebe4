/* Hill starts, adhesion of the place, differentials open and locked, and a lifting axle, against closed forms. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/lorry.h"
#include "checked.h"
#include "plain_truck.h"
#include "pull/launch.h"
#include "pull/limits.h"

/* A rig that is ready: its file is driven level and slow, without anything in its way. */
static drive ready(const char *text, const evn_conditions *ask)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    write_file("lorry.yaml", text);
    write_steady("steady.yaml", 10, 2, 0);
    return drive_files(in_folder(truck_path, "lorry.yaml"), in_folder(cycle_path, "steady.yaml"), ask);
}

static drive plain_ready(double mass_kg, double driven_kg)
{
    plain_truck truck = plain_truck_of(mass_kg);
    truck.rolling = 0.006;
    truck.driven_load_kg = driven_kg;
    evn_conditions ask = plain_ask(0);
    return drive_steady(&truck, 10, 2, 0, &ask);
}

/* What is asked of a launch: slope, adhesion of either side, locks, stance. */
typedef struct start {
    double tangent, adhesion, other_side;
    bool axles_locked, branches_locked, start_aid;
} start;

static evn_launch_reach launch_of(const evn_rig *rig, const start *s)
{
    static double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
    evn_given at = {.rig = rig,
                    .tangent = s->tangent,
                    .rolling_factor = 1,
                    .adhesion = s->adhesion,
                    .adhesion_other_side = s->other_side,
                    .start_aid = s->start_aid,
                    .soc = 0.5,
                    .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], degc[u]);
        at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], 0),
                                      .degc = degc[u],
                                      .axles_locked = s->axles_locked,
                                      .branches_locked = s->branches_locked};
    }
    return evn_launch_reach_of(&at);
}

static double steepest_percent(const evn_rig *rig, start s)
{
    double low = 0, high = 0.6;
    for (int i = 0; i < 60; i++) {
        s.tangent = 0.5 * (low + high);
        evn_launch_reach l = launch_of(rig, &s);
        *(l.both_n > l.need_n ? &low : &high) = s.tangent;
    }
    return 100 * low;
}

/* ------------------------------------------------------------------------------------------------ hill starts */

START_TEST(a_hill_start_on_12_percent_needs_the_published_force)
{
    const published from = {"m g (sin + cr cos) on 12 %; cr 0.006, 9.81 m/s2", RECOMPUTED};
    const double mass_kg[] = {18000, 26000, 40000, 44000}, force_n[] = {22091, 31909, 49090, 53999};
    const double torque_nm[] = {11045, 15954, 24545, 27000};
    for (size_t i = 0; i < 4; i++) {
        drive d = plain_ready(mass_kg[i], 0.25 * mass_kg[i]);
        evn_launch_reach l = launch_of(d.rig, &(start){.tangent = 0.12});
        check_value(&from, l.need_n, RELATIVE, force_n[i], 1e-4, "N", "tyre force, %g kg", mass_kg[i]);
        check_value(&from, l.need_n * d.rig->axle[2].radius_m, RELATIVE, torque_nm[i], 1e-4, "Nm",
                    "torque at the wheels, %g kg, radius 0.5 m", mass_kg[i]);
        drive_end(&d);
    }
}
END_TEST

START_TEST(the_adhesion_that_this_start_needs_is_the_published_one)
{
    const published from = {"F/(N cos) on 12 %, one driven axle of 11.5 t, static load; cr 0.006", RECOMPUTED};
    const double mass_kg[] = {40000, 44000}, needed[] = {0.438, 0.482};
    for (size_t i = 0; i < 2; i++) {
        drive d = plain_ready(mass_kg[i], 11500);
        double low = 0.01, high = 1;
        for (int k = 0; k < 50; k++) {
            double mu = 0.5 * (low + high);
            evn_launch_reach l = launch_of(d.rig, &(start){.tangent = 0.12, .adhesion = mu, .other_side = mu});
            *(l.both_n > l.need_n ? &high : &low) = mu;
        }
        check_value(&from, high, RELATIVE, needed[i], 1e-3, "1", "adhesion needed, %g kg", mass_kg[i]);
        drive_end(&d);
    }
}
END_TEST

/* What a run on a grade ends with where the cycle states the surface; starts at each stop. */
static bool starts(double mass_kg, double driven_kg, double grade_percent, const char *surface, double *duration_s)
{
    char cycle[700];
    snprintf(cycle, sizeof cycle,
             "name: starts\ninvented: true\nlength_m: 100\nspeed: {place_m: [0], limit_km_h: [10]}\n"
             "stops: {place_m: [20, 40, 60, 80], wait_s: [20, 20, 20, 20]}\n"
             "road: {place_m: [0, 100], grade_percent: [%.17g, %.17g], level_beyond: true}\n"
             "surface: {place_m: [0], %s}\n",
             grade_percent, grade_percent, surface);
    write_file("starts.yaml", cycle);
    plain_truck truck = plain_truck_of(mass_kg);
    truck.rolling = 0.006;
    truck.driven_load_kg = driven_kg;
    truck.driving = 0.01; /* of no account where the cycle states the adhesion */
    evn_conditions ask = plain_ask(0);
    drive d = drive_plain(&truck, "starts.yaml", &ask);
    bool finished = strcmp(evn_results_status(d.results), "finished") == 0;
    ck_assert(finished || strcmp(evn_results_status(d.results), "stalled") == 0);
    *duration_s = result_of(&d, "duration_s");
    drive_end(&d);
    return finished;
}

START_TEST(five_starts_in_five_minutes_on_12_percent_take_the_adhesion_that_the_force_needs)
{
    const published from = {"Regulation (EU) 1230/2012 Annex I: five starts within five minutes on 12 %", FROM_MEMORY};
    double duration_s;
    ck_assert(starts(44000, 11500, 12, "adhesion: [0.5], rolling_factor: [1]", &duration_s));
    check_value(&from, duration_s, BELOW, 300, 0, "s", "time for five starts, 44 t, adhesion 0.5");
    ck_assert(!starts(44000, 11500, 12, "adhesion: [0.48]", &duration_s));
    ck_assert(!starts(44000, 11500, 12, "kind: [snow], rolling_factor: [1]", &duration_s));
}
END_TEST

START_TEST(the_grade_that_adhesion_of_the_place_allows_is_the_published_one)
{
    const published from = {"mu N_driven/W - cr; 40 t, cr 0.006", RECOMPUTED};
    const struct {
        double driven_kg, mu, percent;
    } row[] = {{11500, 0.3, 8.025}, {11500, 0.5, 13.775}, {11500, 0.8, 22.4},
               {19000, 0.3, 13.65}, {19000, 0.5, 23.15},  {19000, 0.8, 37.4}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        drive d = plain_ready(40000, row[i].driven_kg);
        start s = {.adhesion = row[i].mu, .other_side = row[i].mu};
        check_value(&from, steepest_percent(d.rig, s), RELATIVE, row[i].percent, 1e-9, "%",
                    "steepest start, %g kg driven, adhesion of the place %g", row[i].driven_kg, row[i].mu);
        drive_end(&d);
    }
    double duration_s;
    ck_assert(starts(40000, 11500, 0.995 * 13.775, "adhesion: [0.5]", &duration_s));
    ck_assert(!starts(40000, 11500, 1.001 * 13.775, "adhesion: [0.5]", &duration_s));
}
END_TEST

START_TEST(motors_brake_with_their_share_of_the_adhesion_of_the_place)
{
    const published from = {"z = mu (a/L)/(1 + mu h/L); 18 t, 11.5 t driven, h 1.1 m, L 3.8 m, level", CLOSED_FORM};
    plain_truck truck = plain_truck_of(18000);
    truck.driven_load_kg = 11500;
    truck.wheelbase_m = 3.8;
    truck.centre_height_m = 1.1;
    evn_conditions ask = plain_ask(0);
    drive d = drive_steady(&truck, 10, 2, 0, &ask);
    double degc[EVN_NODES_MAX], low = 0, high = 1;
    evn_unit_start_degc(&d.rig->unit[0], degc);
    for (int i = 0; i < 60; i++) {
        double z = 0.5 * (low + high);
        evn_pull pull = {.at = {.rig = d.rig,
                                .rolling_factor = 1,
                                .adhesion = 0.75,
                                .adhesion_other_side = 0.75,
                                .speed_m_s = 20,
                                .asked_m_s2 = -z * 9.81,
                                .soc = 0.5,
                                .fade = EVN_FADE_BY_SPEED,
                                .unit = {{.setting = evn_all_engaged(&d.rig->unit[0], 0), .degc = degc}}}};
        evn_pull_make(&pull);
        *(-evn_pull_most_n(&pull, false) > z * 9.81 * d.rig->mass_kg ? &low : &high) = z;
    }
    check_value(&from, low, RELATIVE, 0.1763, 1e-3, "g", "most braking by 0.4 of the adhesion of the place, 0.75");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ differentials */

START_TEST(an_axle_on_split_adhesion_carries_twice_its_poorer_side_open_and_the_sum_locked)
{
    const published open = {"equal torques: 2 min(mu) N/2; 40 t, 11.5 t driven, 0.5 and 0.2, cr 0.006", CLOSED_FORM};
    const published locked = {"each wheel its own: (mu_l + mu_r) N/2; 40 t, 11.5 t driven, 0.5 and 0.2, cr 0.006",
                              CLOSED_FORM};
    drive d = plain_ready(40000, 11500);
    const double mu[] = {0.5, 0.2};
    for (size_t side = 0; side < 2; side++) { /* whichever side is the poorer */
        start s = {.adhesion = mu[side], .other_side = mu[1 - side]};
        check_value(&open, steepest_percent(d.rig, s), RELATIVE, 100 * (0.2 * 11.5 / 40 - 0.006), 1e-9, "%",
                    "steepest start, differential open");
        s.axles_locked = true;
        check_value(&locked, steepest_percent(d.rig, s), RELATIVE, 100 * (0.35 * 11.5 / 40 - 0.006), 1e-9, "%",
                    "steepest start, differential locked");
    }
    drive_end(&d);
}
END_TEST

START_TEST(two_axles_carry_twice_the_lighter_one_open_and_their_sum_locked)
{
    const published open = {
        "equal torques T/r = mu N/(1 - mu/k) of the lighter axle, forces T/r/(1 + T/(r k N)); 11 t and "
        "8 t of 40 t, cr 0.006, slip stiffness k 20",
        CLOSED_FORM};
    const published locked = {"mu (N_1 + N_2)/W - cr; 11 t and 8 t of 40 t, cr 0.006", CLOSED_FORM};
    const published both = {"(mu_l + mu_r)/2 (N_1 + N_2)/W - cr; 11 t and 8 t of 40 t, cr 0.006", CLOSED_FORM};
    evn_conditions ask = plain_ask(0);
    drive d = ready(LORRY_TANDEM("0") LORRY_DRIVES_BOTH(""), &ask);
    start s = {.adhesion = 0.3, .other_side = 0.3};
    double hub = 0.3 * 0.2 / (1 - 0.3 / 20);
    check_value(&open, steepest_percent(d.rig, s), RELATIVE, 100 * (0.06 + hub / (1 + hub / (20 * 0.275)) - 0.006),
                1e-7, "%", "steepest start, all open");
    s.branches_locked = true;
    check_value(&locked, steepest_percent(d.rig, s), RELATIVE, 13.65, 1e-9, "%",
                "steepest start, inter-axle differential locked");
    s = (start){.adhesion = 0.5, .other_side = 0.1, .branches_locked = true, .axles_locked = true};
    check_value(&both, steepest_percent(d.rig, s), RELATIVE, 13.65, 1e-9, "%", "steepest start, all locked");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ lifting axle */

/* Reactions of a rigid body of 26 t at 3.5 m, on level ground: their sum, and moments about the front axle. */
static void balances(const evn_axle_load *load[3], const char *stance)
{
    const published from = {"forces and moments of a body at rest: sum N = m, sum N x = m x", CLOSED_FORM};
    const double place_m[] = {0, 4, 5.35};
    double sum_kg = 0, moment_kg_m = 0;
    for (size_t k = 0; k < 3; k++) {
        sum_kg += load[k]->cosine_kg;
        moment_kg_m += load[k]->cosine_kg * place_m[k];
    }
    check_value(&from, sum_kg, RELATIVE, 26000, 1e-12, "kg", "sum of the axle loads, %s", stance);
    check_value(&from, moment_kg_m, RELATIVE, 26000 * 3.5, 1e-12, "kg m", "their moment about the front axle, %s",
                stance);
}

static void driving_balances(const evn_rig *rig, const char *stance)
{
    balances((const evn_axle_load *[]){&rig->axle[0].load, &rig->axle[1].load, &rig->axle[2].load}, stance);
}

#define AID ", lifts: {request: down, start_aid: {below_km_h: 30, axle_load_kg: 14000}}"

START_TEST(a_lifting_axle_leaves_its_load_to_the_others_by_the_balance_of_moments)
{
    const published from = {"moments of a body of 26 t at 3.5 m on axles at 0, 4 and 5.35 m", CLOSED_FORM};
    evn_conditions ask = plain_ask(0);
    drive d = ready(LORRY_6X2("1.2", "0.006", AID) LORRY_DRIVES_ONE(""), &ask);
    const evn_stance *aid = &d.rig->start_aid;
    driving_balances(d.rig, "all axles down");
    double rear_kg = 26000 * 3.5 / (4 + 0.45 * 1.35);
    check_value(&from, d.rig->axle[1].load.cosine_kg, RELATIVE, 0.55 * rear_kg, 1e-12, "kg", "driven axle, all down");
    ck_assert(aid->there);
    balances((const evn_axle_load *[]){&aid->load[0], &aid->load[1], &aid->load[2]}, "start aid");
    check_value(&from, aid->load[1].cosine_kg, RELATIVE, 14000, 1e-9, "kg", "driven axle, start aid to 14 t");
    check_value(&from, aid->load[2].cosine_kg, RELATIVE, (26000 * 3.5 - 14000 * 4) / 5.35, 1e-9, "kg",
                "lifting axle, start aid to 14 t");
    start s = {.adhesion = 0.4, .other_side = 0.4, .start_aid = true};
    evn_launch_reach l = launch_of(d.rig, &s);
    double transfer = 0.4 * aid->load[1].cosine_kg * 9.81;
    check_value(&from, l.tyres_n, RELATIVE, transfer, 1e-12, "N", "carried at rest with start aid, adhesion 0.4");
    drive_end(&d);
    ask.load_case.lifting_axle = EVN_LIFTING_AXLE_UP;
    d = ready(LORRY_6X2("1.2", "0.006", AID) LORRY_DRIVES_ONE(""), &ask);
    driving_balances(d.rig, "last axle up");
    check_value(&from, d.rig->axle[1].load.cosine_kg, RELATIVE, 26000 * 3.5 / 4, 1e-12, "kg",
                "driven axle, last one up");
    ck_assert(d.rig->axle[2].lifted && d.rig->axle[2].load.cosine_kg == 0 && !d.rig->start_aid.there);
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("grip, published");
    TCase *tests = tcase_create("grip");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_hill_start_on_12_percent_needs_the_published_force);
    tcase_add_test(tests, the_adhesion_that_this_start_needs_is_the_published_one);
    tcase_add_test(tests, five_starts_in_five_minutes_on_12_percent_take_the_adhesion_that_the_force_needs);
    tcase_add_test(tests, the_grade_that_adhesion_of_the_place_allows_is_the_published_one);
    tcase_add_test(tests, motors_brake_with_their_share_of_the_adhesion_of_the_place);
    tcase_add_test(tests, an_axle_on_split_adhesion_carries_twice_its_poorer_side_open_and_the_sum_locked);
    tcase_add_test(tests, two_axles_carry_twice_the_lighter_one_open_and_their_sum_locked);
    tcase_add_test(tests, a_lifting_axle_leaves_its_load_to_the_others_by_the_balance_of_moments);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
