/* How axles share the friction braking force at an instant, what an event books, and what of it a file may state. */
#define _POSIX_C_SOURCE 200809L
#include "api/objects.h"
#include "core/units.h"
#include "pull/branches.h"
#include "pull/friction.h"
#include "scene.h"
#include "trip/acts.h"
#include "trip/axle_brakes.h"
#include "trip/drive.h"
#include "trip/kinetic.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define SINGLE "tests/trucks/single-speed.yaml"
#define TANDEM "tests/trucks/tandem.yaml"
#define TWO "tests/trucks/two-units.yaml"
#define BRAKED "tests/trucks/friction-brakes.yaml"

/* A truck of the tree with something written over it. NULL: it is refused; the report says by what. */
static evn_rig *rig_with(const char *truck_path, const char *changes, evn_report *report)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_load_case ask = evn_conditions_default().load_case;
    evn_truck *truck = NULL;
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, truck_path, changes);
    write_file("truck.yaml", text);
    if (evn_truck_load(in_folder(path, "truck.yaml"), &truck, report) == EVN_DONE)
        evn_rig_prepare(truck, &ask, &rig, report);
    evn_truck_free(truck);
    return rig;
}

static evn_rig *sound_rig(const char *truck_path, const char *changes)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_with(truck_path, changes, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ an instant */

typedef struct moment {
    evn_instant is;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX], friction_n[EVN_AXLES_MAX], motor_n[EVN_AXLES_MAX];
} moment;

/* Braking at a limit of the motors, friction brakes for the rest. */
static void brake(moment *m, const evn_rig *rig, evn_limit limit, double speed_m_s, double asked_m_s2)
{
    m->is.pull.at = (evn_given){.rig = rig,
                                .tangent = -0.02,
                                .rolling_factor = 1,
                                .speed_m_s = speed_m_s,
                                .asked_m_s2 = asked_m_s2,
                                .soc = 0.5,
                                .push = limit,
                                .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], m->degc[u]);
        m->is.pull.at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], rig->unit[u].gear_count - 1),
                                                 .degc = m->degc[u]};
    }
    evn_instant_make(&m->is);
    evn_friction_forces(&m->is, m->friction_n);
    memset(m->motor_n, 0, sizeof m->motor_n);
    for (size_t u = 0; u < rig->unit_count; u++) {
        const evn_unit *unit = &rig->unit[u];
        double each_n[EVN_BRANCHES_MAX];
        if (unit->branch_count == 0)
            m->motor_n[unit->axle] = -m->is.force_n[u];
        else
            evn_branches_divide(&m->is.pull, u, &m->is.pull.team.unit[u], m->is.force_n[u], m->is.accel_m_s2, each_n);
        for (size_t k = 0; k < unit->branch_count; k++)
            m->motor_n[unit->branch[k].axle] = -each_n[k];
    }
}

static double load_n(const moment *m, size_t axle)
{
    const evn_instant *is = &m->is;
    return evn_axle_load_n(&is->pull.at.rig->axle[axle].load, EVN_STANDARD_GRAVITY_M_S2, is->pull.road.slope_cos,
                           is->pull.road.slope_sin, is->accel_m_s2, is->brake_n);
}

static double sum_n(const moment *m)
{
    double sum = 0;
    for (size_t k = 0; k < m->is.pull.at.rig->axle_count; k++)
        sum += m->friction_n[k];
    return sum;
}

static const char *const trucks[] = {FOUR, SINGLE, TANDEM, TWO};
enum { TRUCKS = sizeof trucks / sizeof *trucks };

START_TEST(ideal_distribution_brakes_each_axle_by_its_load_of_the_moment_and_none_more_than_its_motors)
{
    evn_rig *rig = sound_rig(trucks[_i], "brakes: {distribution: ideal}");
    size_t alike = 0, left_to_motors = 0;
    for (double asked = -0.1; asked > -7; asked *= 1.15)
        for (int limit = EVN_BY_MOTOR; limit <= EVN_BY_ADHESION; limit++) {
            moment m;
            brake(&m, rig, (evn_limit)limit, 20, asked);
            if (m.is.brake_n <= 1)
                continue;
            ck_assert_double_eq_tol(sum_n(&m), m.is.brake_n, 1e-9 * m.is.brake_n);
            double z = (m.friction_n[0] + m.motor_n[0]) / load_n(&m, 0); /* the front axle has no motors */
            ck_assert_double_gt(z, 0);
            for (size_t k = 0; k < rig->axle_count; k++) {
                double own = (m.friction_n[k] + m.motor_n[k]) / load_n(&m, k);
                ck_assert_double_ge(m.friction_n[k], 0);
                alike += m.friction_n[k] > 0;
                left_to_motors += m.friction_n[k] <= 0;
                if (m.friction_n[k] > 0)
                    ck_assert_double_eq_tol(own, z, 1e-9);
                else
                    ck_assert_double_ge(own, z - 1e-9);
            }
        }
    ck_assert_uint_gt(alike, 20);
    ck_assert_uint_gt(left_to_motors, 3);
    evn_rig_free(rig);
}
END_TEST

/* A step may end past the end of braking: a hair below zero the force is that of a hair above it, the other way. */
START_TEST(ideal_distribution_goes_through_zero_by_the_axles_that_braked_last)
{
    moment m;
    double above_n[EVN_AXLES_MAX], below_n[EVN_AXLES_MAX];
    evn_rig *rig = sound_rig(TANDEM, "brakes: {distribution: ideal}");
    brake(&m, rig, EVN_BY_MOTOR, 15, -2);
    evn_forces forces = {m.is.force_n, m.is.accel_m_s2, 10, 0};
    evn_friction_shared(&m.is.pull, &forces, above_n);
    forces.brake_n = -10;
    evn_friction_shared(&m.is.pull, &forces, below_n);
    ck_assert_double_eq(above_n[rig->unit[0].branch[0].axle], 0); /* its motors do more alone */
    for (size_t k = 0; k < rig->axle_count; k++)
        ck_assert_double_eq(below_n[k], -above_n[k]);
    evn_rig_free(rig);
}
END_TEST

START_TEST(loads_at_rest_and_stated_shares_hold_whatever_the_motors_do)
{
    static const double stated[] = {0.2, 0.3, 0.5};
    for (int k = 0; k < 2; k++) {
        evn_rig *rig = sound_rig(FOUR, k == 0 ? "brakes: {distribution: loads_at_rest}"
                                              : "brakes: {distribution: stated}\n"
                                                "axles: {front: {friction_share: 0.4}, drive: {friction_share: 0.6}}\n"
                                                "trailer: {friction_share: 1}");
        moment m;
        brake(&m, rig, EVN_BY_ADHESION, 20, -3);
        ck_assert_double_gt(m.is.brake_n, 1e4);
        for (size_t a = 0; a < 3; a++) {
            double share = k == 0 ? rig->axle[a].load.cosine_kg / rig->mass_kg : stated[a];
            ck_assert_double_eq_tol(m.friction_n[a], share * m.is.brake_n, 1e-9 * m.is.brake_n);
        }
        evn_rig_free(rig);
    }
}
END_TEST

/* Moments about the trailer's axles and the fifth wheel: what the trailer's own brakes hold does not pass the coupling.
 */
START_TEST(load_transfer_by_braking_follows_the_stated_share_of_the_trailer)
{
    static const double shares[] = {0, 0.25, 1};
    for (size_t k = 0; k < 3; k++) {
        char changes[300];
        snprintf(changes, sizeof changes,
                 "brakes: {distribution: stated}\n"
                 "axles: {front: {friction_share: %g}, drive: {friction_share: 0}}\ntrailer: {friction_share: %g}",
                 1 - shares[k], shares[k]);
        evn_rig *rig = sound_rig(FOUR, changes);
        double press = 1.15 * shares[k] / 7.7; /* on the fifth wheel, for each newton of braking */
        double front = (press * (3.9 - 3.3) - 1.15 * shares[k]) / 3.9;
        ck_assert_double_eq_tol(rig->axle[2].load.brake, -press, 1e-12);
        ck_assert_double_eq_tol(rig->axle[0].load.brake, front, 1e-12);
        ck_assert_double_eq_tol(rig->axle[1].load.brake, press - front, 1e-12);
        evn_rig_free(rig);
    }
}
END_TEST

/*
 * Ideal distribution takes axle loads whose load transfer is that of shares at rest. With the trailer's own share they
 * follow in closed form where no axle is left to its motors: F = z N, N = A/(1 + z h/L) with A without its own brakes.
 */
START_TEST(loads_of_ideal_distribution_are_off_by_less_than_a_fiftieth_of_the_trailer_s_load)
{
    double worst = 0;
    for (int motors = 0; motors < 2; motors++) {
        evn_rig *rig = sound_rig(FOUR, motors ? "brakes: {distribution: ideal}"
                                              : "brakes: {distribution: ideal, regeneration: false}");
        for (double asked = -0.3; asked > -6; asked -= 0.3) {
            moment m;
            brake(&m, rig, EVN_BY_ADHESION, 20, asked);
            if (m.is.brake_n <= 0)
                continue;
            double z = m.friction_n[2] / load_n(&m, 2); /* the trailer has no motors */
            double without_n = load_n(&m, 2) - rig->axle[2].load.brake * m.is.brake_n;
            double exact_n = without_n / (1 + z * 1.15 / 7.7);
            worst = fmax(worst, fabs(load_n(&m, 2) / exact_n - 1));
        }
        evn_rig_free(rig);
    }
    ck_assert_double_lt(worst, 0.02);
    ck_assert_double_gt(worst, 1e-3);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ at an event */

/* A plan that is met from above: what the brakes take at once heats each axle by its share. */
START_TEST(braking_that_an_event_books_at_once_heats_the_axles_too)
{
    static const char *const ways[] = {"brakes: {distribution: loads_at_rest}", "brakes: {distribution: ideal}"};
    write_file("cycle.yaml", "name: steady\ninvented: true\nspeed: {time_s: [0, 60], speed_km_h: [60, 60]}\n");
    char path[PATH_BYTES];
    for (size_t k = 0; k < 2; k++) {
        static evn_trip trip;
        static evn_last last;
        evn_driving driving = evn_conditions_default().driving;
        driving.driver = EVN_DRIVER_EXACT;
        evn_rig *rig = sound_rig(BRAKED, ways[k]);
        evn_cycle *cycle = load_cycle(in_folder(path, "cycle.yaml"));
        evn_report *report = evn_report_new();
        evn_course *course = evn_drive_course_of(rig, cycle->file, &driving, NULL, report);
        ck_assert_ptr_nonnull(course);
        last = (evn_last){.there = false};
        trip = (evn_trip){.rig = rig, .course = course, .driving = driving, .report = report, .last = &last};
        trip.states = evn_states_of(rig);
        evn_act_begin(&trip);
        double before_degc[3];
        for (size_t a = 0; a < 3; a++)
            before_degc[a] = evn_axle_brake_degc(&trip.states, trip.y, a);
        double planned_j = evn_trip_kinetic_j(&trip);
        trip.y[EVN_Y_SPEED] += 1;
        double taken_j = evn_trip_kinetic_j(&trip) - planned_j, sum_j = 0;
        evn_act_rejoin(&trip);
        ck_assert_double_gt(taken_j, 1e5);
        ck_assert_double_eq_tol(trip.lump_j[EVN_FRICTION_BRAKES], taken_j, 1e-6 * taken_j);
        for (size_t a = 0; a < 3; a++) {
            double own_j = taken_j * rig->axle[a].load.cosine_kg / rig->mass_kg;
            ck_assert_double_eq_tol(evn_axle_brake_j(&trip, a), own_j, 1e-6 * own_j);
            ck_assert_double_eq_tol(evn_axle_brake_degc(&trip.states, trip.y, a) - before_degc[a],
                                    own_j / (a < 2 ? 78.6e3 : 235.8e3), 1e-6);
            sum_j += evn_axle_brake_j(&trip, a);
        }
        ck_assert_double_eq_tol(sum_j, trip.lump_j[EVN_FRICTION_BRAKES], 1e-9 * taken_j);
        evn_course_free(course);
        evn_report_free(report);
        evn_cycle_free(cycle);
        evn_rig_free(rig);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ files */

static const struct {
    const char *truck, *changes, *piece;
} refused[] = {
    {FOUR, "brakes: {distribution: stated}\naxles: {front: {friction_share: 0.5}, drive: {friction_share: 0.5}}",
     "stated shares without trailer.friction_share"},
    {FOUR, "brakes: {distribution: stated}\naxles: {front: {friction_share: 0.5}}\ntrailer: {friction_share: 0.5}",
     "stated shares without axles.drive.friction_share"},
    {FOUR,
     "brakes: {distribution: stated}\naxles: {front: {friction_share: 0}, drive: {friction_share: 0}}\n"
     "trailer: {friction_share: 0}",
     "all 0; expected one above 0"},
    {FOUR, "trailer: {friction_share: 0.5}", "only brakes.distribution: stated uses"},
    {FOUR, "brakes: {distribution: ideal}\naxles: {front: {friction_share: 0.5}}",
     "only brakes.distribution: stated uses"},
    {BRAKED, "axles: {front: {friction_brake: {at_80_km_h_w_per_k: 20}}}", "expected at or above that at rest"},
};

START_TEST(what_a_file_states_of_friction_brakes_must_hang_together)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_with(refused[_i].truck, refused[_i].changes, report);
    evn_finding found;
    bool told = false;
    ck_assert_ptr_null(rig);
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        told = told || (found.severity == EVN_ERROR && strstr(found.text, refused[_i].piece) && found.line > 0);
    ck_assert_msg(told, "'%s' is not told; first: %s", refused[_i].piece, first_finding(report));
    evn_report_free(report);
}
END_TEST

START_TEST(the_air_around_is_that_of_the_load_case_or_of_the_standard_atmosphere)
{
    const struct {
        double altitude_m, asked_degc, degc;
    } row[] = {{0, (double)NAN, 15}, {1000, (double)NAN, 8.501}, {1000, -10, -10}};
    evn_truck *truck = load_truck(BRAKED);
    for (size_t k = 0; k < 3; k++) {
        evn_report *report = evn_report_new();
        evn_load_case ask = evn_conditions_default().load_case;
        evn_rig *rig = NULL;
        ask.altitude_m = row[k].altitude_m;
        ask.temperature_degc = row[k].asked_degc;
        ck_assert_int_eq(evn_rig_prepare(truck, &ask, &rig, report), EVN_DONE);
        ck_assert_double_eq_tol(rig->ambient_degc, row[k].degc, 1e-3);
        ck_assert_double_eq_tol(rig->axle[2].brake.start_degc, row[k].degc, 1e-3);
        evn_rig_free(rig);
        evn_report_free(report);
    }
    evn_truck_free(truck);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("friction brakes");
    TCase *tests = tcase_create("friction");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_loop_test(
        tests, ideal_distribution_brakes_each_axle_by_its_load_of_the_moment_and_none_more_than_its_motors, 0, TRUCKS);
    tcase_add_test(tests, ideal_distribution_goes_through_zero_by_the_axles_that_braked_last);
    tcase_add_test(tests, loads_at_rest_and_stated_shares_hold_whatever_the_motors_do);
    tcase_add_test(tests, load_transfer_by_braking_follows_the_stated_share_of_the_trailer);
    tcase_add_test(tests, loads_of_ideal_distribution_are_off_by_less_than_a_fiftieth_of_the_trailer_s_load);
    tcase_add_test(tests, braking_that_an_event_books_at_once_heats_the_axles_too);
    tcase_add_loop_test(tests, what_a_file_states_of_friction_brakes_must_hang_together, 0,
                        (int)(sizeof refused / sizeof *refused));
    tcase_add_test(tests, the_air_around_is_that_of_the_load_case_or_of_the_standard_atmosphere);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
