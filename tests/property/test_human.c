/* The human driver over traces that dip and nearly stop: he keeps to the dips, and brakes within bounds. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "trip/laws.h"

static const char *const trucks[] = {"tests/vehicles/trucks/tractor-4x2-central.yaml",
                                     "tests/vehicles/trucks/tipper-8x4-central.yaml",
                                     "tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml"};
enum { TRUCKS = sizeof trucks / sizeof *trucks, POINTS = 24, CYCLES = 36 };

static double roll(uint32_t *seed, double low, double high)
{
    *seed = *seed * 1664525u + 1013904223u; /* Numerical Recipes' constants, from memory */
    return low + (high - low) * (*seed >> 8) / 16777216.0;
}

/* A trace that speeds up harder than a laden truck can, slows down hard, and often nearly stops. Its hardest braking.
 */
static double put_trace(char *text, size_t room, uint32_t seed)
{
    static const double near_rest_km_h[] = {0, 0.005, 0.02, 0.1, 0.5, 3};
    static const double braking_m_s2[] = {0.4, 1, 4}; /* most, of one trace */
    double time_s[POINTS] = {0}, km_h[POINTS] = {0}, hardest = 0, most = braking_m_s2[seed / 7919 % 3];
    for (size_t k = 1; k < POINTS; k++) {
        double step_s = floor(roll(&seed, 1, 4.99)), change = roll(&seed, -most, 2) * step_s * 3.6;
        km_h[k] = fmin(fmax(km_h[k - 1] + change, 0), 60);
        if (k + 1 == POINTS || roll(&seed, 0, 1) < 0.25) {
            km_h[k] = k + 1 == POINTS ? 0 : near_rest_km_h[(size_t)roll(&seed, 0, 5.99)];
            step_s = fmax(step_s, ceil((km_h[k - 1] - km_h[k]) / 3.6 / most));
        }
        if (km_h[k] < 0.0036)
            km_h[k] = 0;
        time_s[k] = time_s[k - 1] + step_s;
        hardest = fmax(hardest, (km_h[k - 1] - km_h[k]) / 3.6 / step_s);
    }
    size_t at = (size_t)snprintf(text, room, "speed: {time_s: [0");
    for (size_t k = 1; k < POINTS; k++)
        at += (size_t)snprintf(text + at, room - at, ", %g", time_s[k]);
    at += (size_t)snprintf(text + at, room - at, "], speed_km_h: [0");
    for (size_t k = 1; k < POINTS; k++)
        at += (size_t)snprintf(text + at, room - at, ", %.4f", km_h[k]);
    at += (size_t)snprintf(text + at, room - at, "]}");
    ck_assert_uint_lt(at, room);
    return hardest;
}

typedef struct ride {
    scene it;
    drive run;
    double hardest_m_s2; /* of the trace */
    char cycle[1200];
} ride;

static void ride_on(ride *r, unsigned index)
{
    r->hardest_m_s2 = put_trace(r->cycle, sizeof r->cycle, 7919 * (index + 1));
    r->it = scene_of(trucks[index % TRUCKS], NULL, r->cycle);
    r->it.ask.driving.trace_interval_s = 0.05;
    r->run = play(&r->it);
    must_finish(&r->run);
}

START_TEST(a_human_driver_is_nowhere_faster_than_his_plan)
{
    static ride r;
    ride_on(&r, (unsigned)_i);
    size_t speed = column(&r.run, "speed_km_h"), plan = column(&r.run, "target_speed_km_h");
    for (size_t k = 0; k < r.it.rows.rows; k++) {
        double over = at_row(&r.it.rows, k, speed) - at_row(&r.it.rows, k, plan);
        ck_assert_msg(over < 0.02, "%g km/h above the plan of %g in row %zu of\n%s", over, at_row(&r.it.rows, k, plan),
                      k, r.cycle);
    }
    scene_end(&r.it, &r.run);
}
END_TEST

/* On a plan that he keeps to, corrections are small: a tenth of the comfortable is plenty for them. */
START_TEST(a_human_driver_brakes_at_most_a_fifth_harder_than_his_plan)
{
    static ride r;
    ride_on(&r, (unsigned)_i);
    size_t accel = column(&r.run, "acceleration_m_s2");
    double most = 1.2 * r.hardest_m_s2 + 0.1 * r.it.ask.driving.comfort_braking_m_s2;
    for (size_t k = 0; k < r.it.rows.rows; k++)
        ck_assert_msg(at_row(&r.it.rows, k, accel) > -most, "%g m/s2 in row %zu of\n%s", at_row(&r.it.rows, k, accel),
                      k, r.cycle);
    scene_end(&r.it, &r.run);
}
END_TEST

/* What he asks for at a speed, where the plan brakes with 2.6 m/s2 and is at 0.01 km/h. */
static double asked_m_s2(double speed_km_h)
{
    static const evn_plan_stretch plan[] = {{.end_m = 10, .v2_begin = 52, .accel_m_s2 = -2.6}};
    static const evn_course course = {.plan = (evn_plan_stretch *)plan, .plan_count = 1};
    static evn_trip trip;
    double y[EVN_Y_MOST] = {0};
    trip.course = &course;
    trip.driving = evn_conditions_default().driving;
    y[EVN_Y_PLACE] = (52 - pow(0.01 / 3.6, 2)) / 5.2;
    y[EVN_Y_SPEED] = speed_km_h / 3.6;
    return evn_following_asks(&trip, y);
}

/* What looks past the last stretch of a course that ends at speed is not there. */
START_TEST(a_truck_behind_a_plan_that_ends_at_speed_gets_to_its_end)
{
    static const double look_ahead_s[] = {0.5, 2, 5};
    scene it = scene_of(trucks[0], NULL, "speed: {time_s: [0, 20, 40], speed_km_h: [0, 90, 90]}");
    it.ask.driving.look_ahead_s = look_ahead_s[_i];
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq_tol(result(&run, "distance_km"), 0.75, 1e-6);
    scene_end(&it, &run);
}
END_TEST

START_TEST(nobody_brakes_without_bounds_for_a_hundredth_of_a_km_h)
{
    const double above_km_h[] = {0.0101, 0.012, 0.02, 0.1, 1, 10, 80};
    for (size_t k = 0; k < sizeof above_km_h / sizeof *above_km_h; k++) {
        double asked = asked_m_s2(above_km_h[k]);
        ck_assert_msg(asked > -1.2 * 2.6 - 0.7 && asked < -2.6, "%g m/s2 at %g km/h", asked, above_km_h[k]);
    }
    /* and without a bend where he is on the plan */
    double below = (asked_m_s2(0.01) - asked_m_s2(0.00999)) / 1e-5,
           above = (asked_m_s2(0.01001) - asked_m_s2(0.01)) / 1e-5;
    ck_assert_msg(fabs(above - below) < 0.01 * fabs(below), "%g below, %g above", below, above);
}
END_TEST

/* Plan and speed by place: the truck is at the bottom of the dip what the dip is. */
START_TEST(a_dip_that_is_shorter_than_the_look_ahead_is_kept_by_who_catches_up)
{
    scene it = scene_of(trucks[0], NULL,
                        "speed: {time_s: [0, 4, 9, 10, 11, 12, 13, 14], speed_km_h: [0, 30, 30, 20, 3, 12, 8, 0]}");
    it.ask.driving.trace_interval_s = 0.02;
    drive run = play(&it);
    must_finish(&run);
    size_t speed = column(&run, "speed_km_h"), place = column(&run, "place_m");
    double nearest_m = 1e9, there_km_h = 0, bottom_m = (30 / 2.0 * 4 + 30 * 5 + 25 + 11.5) / 3.6;
    for (size_t k = 0; k < it.rows.rows; k++) {
        double off = fabs(at_row(&it.rows, k, place) - bottom_m);
        if (off < nearest_m) {
            nearest_m = off;
            there_km_h = at_row(&it.rows, k, speed);
        }
    }
    ck_assert_double_lt(nearest_m, 0.05);
    ck_assert_msg(there_km_h < 3.3, "%g km/h at the bottom of a dip to 3", there_km_h);
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("human");
    TCase *human = tcase_create("human");
    tcase_add_checked_fixture(human, folder_begin, folder_end);
    tcase_add_loop_test(human, a_human_driver_is_nowhere_faster_than_his_plan, 0, CYCLES);
    tcase_add_loop_test(human, a_human_driver_brakes_at_most_a_fifth_harder_than_his_plan, 0, CYCLES);
    tcase_add_loop_test(human, a_truck_behind_a_plan_that_ends_at_speed_gets_to_its_end, 0, 3);
    tcase_add_test(human, nobody_brakes_without_bounds_for_a_hundredth_of_a_km_h);
    tcase_add_test(human, a_dip_that_is_shorter_than_the_look_ahead_is_kept_by_who_catches_up);
    suite_add_tcase(suite, human);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
