/* What follows from one instant without any trip, and the table of a trip's states. */
#define _POSIX_C_SOURCE 200809L
#include "folder.h"
#include "pull/instant.h"
#include "pull/limits.h"
#include "pull/prices.h"
#include "scene.h"
#include "trip/states.h"

#define TWO "tests/trucks/plain/tractor-4x2-two-eaxles.yaml"

static evn_rig *rig_of(const char *path)
{
    evn_conditions plain = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_truck *truck = load_truck(path);
    evn_rig_prepare(truck, &plain.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

typedef struct stand { /* a state with room for its temperatures */
    evn_given at;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} stand;

static void stand_of(stand *s, const evn_rig *rig, double speed_m_s, double asked_m_s2)
{
    s->at = (evn_given){.rig = rig,
                        .rolling_factor = 1,
                        .speed_m_s = speed_m_s,
                        .asked_m_s2 = asked_m_s2,
                        .soc = 0.6,
                        .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], s->degc[u]);
        s->at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], rig->unit[u].gear_count - 1),
                                         .degc = s->degc[u]};
    }
}

static evn_instant instant_of(const stand *s)
{
    evn_instant is = {.pull.at = s->at};
    evn_instant_make(&is);
    return is;
}

/* ------------------------------------------------------------------------------------------------ the instant */

/* Where no limit binds and no gear changes, a row of a trace holds the whole state that the instant is made of. */
START_TEST(rows_of_a_trip_are_what_the_instant_gives_for_their_state)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    trace rows = {NULL, 0, 0, 0};
    drive run = drive_whole(TRACTOR, CRUISE, &ask, &rows);
    size_t held = 0;
    for (size_t k = 0; k < rows.rows; k++) {
        double v = at_row(&rows, k, column(&run, "speed_km_h")) / 3.6, gear = at_row(&rows, k, column(&run, "gear"));
        double brake = at_row(&rows, k, column(&run, "friction_brake_force_kn"));
        double below = at_row(&rows, k, column(&run, "target_speed_km_h")) / 3.6 - v;
        if (v < 1 || gear < 1 || brake != 0 || fabs(below) > 1e-9)
            continue; /* at rest, in a pause, braked, or held back */
        stand s;
        stand_of(&s, run.rig, v, at_row(&rows, k, column(&run, "acceleration_m_s2")));
        s.at.tangent = at_row(&rows, k, column(&run, "grade_percent")) / 100;
        s.at.soc = at_row(&rows, k, column(&run, "soc"));
        s.at.unit[0].setting = evn_all_engaged(&run.rig->unit[0], (size_t)gear - 1);
        s.degc[0][0] = at_row(&rows, k, column(&run, "winding_temperature_degc"));
        evn_instant is = instant_of(&s);
        ck_assert_double_eq_tol(is.limited.unit_n / 1e3, at_row(&rows, k, column(&run, "wheel_force_kn")), 1e-9);
        ck_assert_double_eq_tol(is.motor_nm, at_row(&rows, k, column(&run, "motor_torque_nm")), 1e-7);
        ck_assert_double_eq_tol(is.load_w / 1e3, at_row(&rows, k, column(&run, "terminal_kw")), 1e-8);
        ck_assert_double_eq_tol(is.rolling_n / 1e3, at_row(&rows, k, column(&run, "rolling_resistance_kn")), 1e-9);
        held++;
    }
    ck_assert_uint_gt(held, 200);
    trace_end(&rows);
    drive_end(&run);
}
END_TEST

START_TEST(the_forces_of_an_instant_are_those_of_the_handbook)
{
    evn_rig *rig = rig_of(TRACTOR);
    stand s;
    stand_of(&s, rig, 20, 0);
    s.at.tangent = 0.05;
    evn_instant is = instant_of(&s);
    double cosine = 1 / sqrt(1.0025), g = 9.80665;
    ck_assert_double_eq_tol(is.grade_n, rig->mass_kg * g * 0.05 * cosine, 1e-6);
    ck_assert_double_eq_tol(is.air_n, rig->air_kg_m * 400, 1e-9);
    ck_assert_double_eq_tol(is.limited.unit_n, is.grade_n + is.air_n + is.rolling_n, 1e-6);
    ck_assert_double_eq_tol(is.flow.w[EVN_GRADE], is.grade_n * 20, 1e-6);
    evn_rig_free(rig);
}
END_TEST

START_TEST(at_rest_motors_stand_ready_and_nothing_moves)
{
    evn_rig *rig = rig_of(TWO);
    stand s;
    stand_of(&s, rig, 0, 0);
    s.at.at_rest = true;
    evn_instant is = instant_of(&s);
    double ready_w = 0;
    for (size_t u = 0; u < rig->unit_count; u++)
        for (size_t i = 0; i < rig->unit[u].motor_count; i++)
            ready_w += rig->unit[u].motor[i].constant_w + rig->unit[u].motor[i].inverter_constant_w;
    ck_assert_double_eq_tol(is.load_w, ready_w + rig->loads.auxiliaries_w, 1e-9);
    ck_assert_double_eq_tol(evn_instant_floor_w(&is.pull), is.load_w, 1e-9);
    ck_assert(is.limited.unit_n == 0 && is.accel_m_s2 == 0 && is.flow.w[EVN_KINETIC] == 0);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a held speed */

/* Rotors take no torque where the speed is held; free to accelerate, the same motors push the truck by less. */
START_TEST(a_held_speed_spends_nothing_on_what_turns)
{
    evn_rig *rig = rig_of(TRACTOR);
    const evn_unit *u = &rig->unit[0];
    rig->axle[u->axle].slip_stiffness = (double)INFINITY; /* which would grow with the load that acceleration shifts */
    stand s;
    stand_of(&s, rig, 5, 0);
    s.at.unit[0].setting = evn_all_engaged(u, 1);
    evn_pull free_to_go = {.at = s.at}, held = {.at = s.at};
    held.at.steady = true;
    evn_pull_make(&free_to_go);
    evn_pull_make(&held);
    double free_n = evn_team_pull_n(&free_to_go, &free_to_go.team, 1), held_n = evn_team_pull_n(&held, &held.team, 1);
    double accel = evn_pull_accel(&free_to_go, free_n), rad_m = rig->unit_rad_m[0];
    ck_assert(evn_pull_accel(&held, held_n) == 0 && accel > 0.1);
    double spin_n = evn_unit_inertia_kg_m2(u, s.at.unit[0].setting) * rad_m * rad_m * accel;
    ck_assert_double_gt(held_n - free_n, 0.8 * spin_n); /* the losses that it would have passed are saved too */
    ck_assert_double_lt(held_n - free_n, 1.05 * spin_n);
    evn_rig_free(rig);
}
END_TEST

START_TEST(what_pack_motors_and_tyres_allow_together_is_the_least_of_them)
{
    evn_rig *rig = rig_of(TRACTOR);
    stand s;
    stand_of(&s, rig, 15, 0);
    s.at.steady = true;
    evn_pull p = {.at = s.at};
    evn_pull_make(&p);
    double motors_n = evn_pull_most_n(&p, true), beyond_w;
    rig->pack.out.limit_w = 100e3;
    evn_pull_make(&p);
    double pack_n = evn_pull_most_n(&p, true);
    ck_assert_double_lt(pack_n, 0.5 * motors_n);
    ck_assert_double_eq_tol(pack_n, evn_pack_limit_n(&p, true, &beyond_w), 1e-9);
    ck_assert_double_gt(beyond_w, 0);
    rig->adhesion_driving = 0.01;
    evn_pull_make(&p);
    ck_assert_double_eq_tol(evn_pull_most_n(&p, true), 0.01 * rig->axle[1].load.cosine_kg * 9.80665, 1e-6);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ prices */

START_TEST(the_price_of_the_present_setting_is_what_the_units_lose_now)
{
    evn_rig *rig = rig_of(TRACTOR);
    stand s;
    stand_of(&s, rig, 12, 0.1);
    evn_instant is = instant_of(&s);
    evn_prices prices;
    evn_instant_prices(&is, &prices);
    double lost_w = 0;
    for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++)
        lost_w += is.flow.w[k];
    ck_assert_double_eq_tol(prices.now_w, lost_w, 1e-6);
    size_t own = 0, last = rig->unit[0].setting_count - 1;
    while (!evn_same_setting(rig->unit[0].setting[own], s.at.unit[0].setting))
        own++;
    ck_assert(prices.w[0][own] == prices.now_w);
    evn_setting other = rig->unit[0].setting[own == last ? own - 1 : last];
    stand changed = s;
    changed.at.unit[0].setting = other;
    changed.at.unit[0].degc = changed.degc[0];
    evn_instant then = instant_of(&changed);
    evn_instant_prices(&then, &prices);
    ck_assert_double_eq_tol(evn_instant_forgone_w(&is, 0, other), lost_w - prices.now_w, 1e-6);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ states */

START_TEST(each_state_has_the_error_scale_of_its_kind)
{
    evn_rig *rig = rig_of(TWO);
    evn_states s = evn_states_of(rig);
    double tolerance[EVN_Y_MOST], y[EVN_Y_MOST];
    size_t of_truck = 0;
    for (size_t k = 0; k < EVN_Y_COUNT; k++)
        of_truck += s.at[k] < EVN_Y_MOST;
    ck_assert_uint_eq(s.count, of_truck + 2 * (1 + EVN_U_COUNT));
    evn_states_tolerance(&s, 1e-6, 1, tolerance);
    evn_states_start(&s, y);
    ck_assert_double_eq_tol(tolerance[EVN_Y_PLACE], 3e-5, 1e-18);
    ck_assert_double_eq_tol(tolerance[EVN_Y_SPEED], 3e-6, 1e-19);
    ck_assert_double_eq_tol(tolerance[EVN_Y_CHARGE], 1e-6 * 0.05 * rig->pack.capacity_as, 1e-12);
    ck_assert_double_eq_tol(tolerance[EVN_Y_FORGONE], 1, 1e-12);
    for (size_t u = 0; u < 2; u++) {
        ck_assert_double_eq_tol(tolerance[s.nodes_at[u]], 5e-5, 1e-16);
        ck_assert(evn_states_degc(&s, y, u)[0] == 65);
        for (size_t k = 0; k < EVN_U_COUNT; k++) {
            ck_assert_double_eq_tol(tolerance[evn_states_unit(&s, u, k)], 1, 1e-12);
            ck_assert(y[evn_states_unit(&s, u, k)] == 0);
        }
    }
    /* while little energy has moved: a share of it for energies and charge, of the rest nothing changes */
    evn_states_tolerance(&s, 1e-6, 0.25, tolerance);
    ck_assert_double_eq_tol(tolerance[EVN_Y_FORGONE], 0.25, 1e-12);
    ck_assert_double_eq_tol(tolerance[EVN_Y_CHARGE], 0.25e-6 * 0.05 * rig->pack.capacity_as, 1e-12);
    ck_assert_double_eq_tol(tolerance[evn_states_unit(&s, 1, EVN_U_MOTOR)], 0.25, 1e-12);
    ck_assert_double_eq_tol(tolerance[EVN_Y_SPEED], 3e-6, 1e-19);
    y[EVN_Y_DRAWN] = 3e6;
    y[EVN_Y_TERMINAL] = 1e6; /* two of the three given back */
    ck_assert_double_eq_tol(evn_states_energy_share(y), 0.5, 1e-12);
    y[EVN_Y_DRAWN] = y[EVN_Y_TERMINAL] = 0;
    ck_assert(evn_states_energy_share(y) > 0 && evn_states_energy_share(y) < 0.01);
    y[EVN_Y_DRAWN] = 1e9;
    ck_assert_double_eq(evn_states_energy_share(y), 1);
    evn_rig_free(rig);
}
END_TEST

/* No state is shared, none is left out: each place belongs to one row. */
START_TEST(every_place_of_the_state_vector_belongs_to_one_state)
{
    evn_rig *rig = rig_of(TWO);
    evn_states s = evn_states_of(rig);
    int owners[EVN_Y_MOST] = {0};
    for (size_t k = 0; k < EVN_Y_COUNT; k++)
        if (s.at[k] < EVN_Y_MOST)
            owners[s.at[k]]++;
    for (size_t u = 0; u < rig->unit_count; u++) {
        const evn_node_row *rows;
        for (size_t k = 0; k < evn_unit_nodes(&rig->unit[u], &rows); k++)
            owners[s.nodes_at[u] + k]++;
        for (size_t k = 0; k < EVN_U_COUNT; k++)
            owners[evn_states_unit(&s, u, k)]++;
    }
    for (size_t k = 0; k < s.count; k++)
        ck_assert_int_eq(owners[k], 1);
    evn_rig_free(rig);
}
END_TEST

START_TEST(a_state_is_told_by_its_name_and_unit)
{
    evn_rig *rig = rig_of(TWO);
    evn_states s = evn_states_of(rig);
    char name[EVN_STATE_NAME_BYTES];
    ck_assert_str_eq(evn_states_name(&s, EVN_Y_SPEED, name), "speed, m/s");
    ck_assert_str_eq(evn_states_name(&s, EVN_Y_FORGONE, name), "gain of another setting, J");
    ck_assert_str_eq(evn_states_name(&s, s.nodes_at[1], name), "trailing.winding, degC");
    ck_assert_str_eq(evn_states_name(&s, evn_states_unit(&s, 0, EVN_U_GEARBOX), name), "leading.gearbox losses, J");
    evn_rig_free(rig);
}
END_TEST

START_TEST(what_a_line_holds_is_read_from_its_own_state)
{
    evn_rig *rig = rig_of(TWO);
    evn_states s = evn_states_of(rig);
    double y[EVN_Y_MOST];
    for (size_t k = 0; k < s.count; k++)
        y[k] = (double)k + 0.5;
    ck_assert(evn_states_line_j(&s, y, EVN_FRICTION_BRAKES) == y[EVN_Y_BRAKES]);
    ck_assert(evn_states_line_j(&s, y, EVN_AIR) == y[EVN_Y_AIR]);
    ck_assert(evn_states_line_j(&s, y, EVN_GRADE) == 0); /* a store */
    ck_assert(evn_states_unit_line_j(&s, y, 1, EVN_INVERTER) == y[evn_states_unit(&s, 1, EVN_U_INVERTER)]);
    ck_assert(evn_states_unit_line_j(&s, y, 0, EVN_SHIFTING) == 0); /* in lumps */
    evn_rig_free(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pull");
    TCase *instants = tcase_create("instants"), *states = tcase_create("states");
    tcase_add_checked_fixture(instants, folder_begin, folder_end);
    tcase_add_test(instants, rows_of_a_trip_are_what_the_instant_gives_for_their_state);
    tcase_add_test(instants, the_forces_of_an_instant_are_those_of_the_handbook);
    tcase_add_test(instants, at_rest_motors_stand_ready_and_nothing_moves);
    tcase_add_test(instants, a_held_speed_spends_nothing_on_what_turns);
    tcase_add_test(instants, what_pack_motors_and_tyres_allow_together_is_the_least_of_them);
    tcase_add_test(instants, the_price_of_the_present_setting_is_what_the_units_lose_now);
    tcase_add_test(states, each_state_has_the_error_scale_of_its_kind);
    tcase_add_test(states, every_place_of_the_state_vector_belongs_to_one_state);
    tcase_add_test(states, a_state_is_told_by_its_name_and_unit);
    tcase_add_test(states, what_a_line_holds_is_read_from_its_own_state);
    suite_add_tcase(suite, instants);
    suite_add_tcase(suite, states);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
