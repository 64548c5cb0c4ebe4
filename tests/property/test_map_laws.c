/*
 * Loss maps of motors that follow the law of losses, or nearly: few points cost nothing where they follow it, more
 * points help where they do not, and the law never costs more than interpolation of the losses themselves.
 */
#include "../unit/course_probe.h"
#include "core/units.h"
#include "truck/map.h"
#include <stdlib.h>

enum { AXIS_MOST = 40, POINTS_MOST = AXIS_MOST * AXIS_MOST, MOTORS = 100 };

/* A motor: c0 + c1 x + c2 x^2 + c3 (t^2 + i_d^2) + c4 sqrt(t^2 + i_d^2), and beside the law a smooth bump of it. */
typedef struct motor {
    evn_map_machine machine;
    double c[5], characteristic_share, bump;
    bool with_inverter;
} motor;

static double base_rad_s(const motor *m) { return m->machine.peak_w / m->machine.peak_nm; }
static double most_nm(const motor *m, double w) { return fmin(m->machine.peak_nm, m->machine.peak_w / w); }

static double true_w(const motor *m, double nm, double w)
{
    double t = fabs(nm) / m->machine.peak_nm, x = w / base_rad_s(m);
    double id = evn_weakening_share(m->characteristic_share, t, x), i2 = t * t + id * id;
    double law = m->c[0] + m->c[1] * x + m->c[2] * x * x + m->c[3] * i2 + m->c[4] * sqrt(i2);
    return law * (1 + m->bump * sin(5 * t) * cos(2 * x));
}

static motor roll_motor(dice *with)
{
    motor m = {.with_inverter = roll_count(with, 0, 1)};
    double nm = roll(with, 200, 4000), base = roll(with, 100, 500), scale = nm * base;
    m.machine = (evn_map_machine){nm, nm * base, base * roll(with, 2.2, 3.5), 680};
    m.c[0] = scale * roll(with, 0.0001, 0.002);
    m.c[1] = scale * roll(with, 0, 0.006);
    m.c[2] = scale * roll(with, 0, 0.003);
    m.c[3] = scale * roll(with, 0.02, 0.12);
    m.c[4] = m.with_inverter ? scale * roll(with, 0.003, 0.01) : 0;
    m.characteristic_share = roll_count(with, 0, 3) ? roll(with, 0.6, 1.2) : 0;
    return m;
}

/* The points of a map, and what is made of them. */
typedef struct thinned {
    double rpm[AXIS_MOST], nm[AXIS_MOST], column[3][POINTS_MOST];
    uint32_t line[POINTS_MOST];
    size_t speeds, torques;
    evn_sheet sheet;
    evn_map_file file;
    evn_arena *arena;
    const evn_map *map;
} thinned;

static void take_axis(double *x, size_t count, double from, double to)
{
    for (size_t k = 0; k < count; k++)
        x[k] = from + (to - from) * (double)k / (double)(count - 1);
}

/* Cells that the motor does not reach are holes, as on a bench, or are there, as from a calculation. */
static void make_map(thinned *to, const motor *m, bool holes)
{
    static const char *const names[] = {"speed_rpm", "torque_nm", "loss_w"};
    static const double *columns[3];
    size_t row = 0;
    for (size_t i = 0; i < to->speeds; i++)
        for (size_t j = 0; j < to->torques; j++, row++) {
            double w = to->rpm[i] * EVN_RAD_S_PER_RPM;
            bool reached = fabs(to->nm[j]) <= most_nm(m, w) * (1 + 1e-9);
            to->column[0][row] = to->rpm[i];
            to->column[1][row] = to->nm[j];
            to->column[2][row] = holes && !reached ? (double)NAN : true_w(m, to->nm[j], w);
            to->line[row] = (uint32_t)row + 2;
        }
    for (size_t k = 0; k < 3; k++)
        columns[k] = to->column[k];
    to->sheet = (evn_sheet){.columns = 3, .rows = row, .name = names, .column = columns, .line = to->line};
    to->file = (evn_map_file){.table = &to->sheet, .winding_degc = 100, .includes_inverter = m->with_inverter};
    to->arena = evn_arena_new();
    to->map = evn_map_make(&to->file, &m->machine, to->arena);
    ck_assert_ptr_nonnull(to->map);
}

static void evenly(thinned *to, const motor *m, size_t speeds, size_t torques, bool two_sided)
{
    double peak = m->machine.peak_nm;
    to->speeds = speeds;
    to->torques = torques;
    take_axis(to->rpm, speeds, 0, m->machine.top_rad_s / EVN_RAD_S_PER_RPM);
    take_axis(to->nm, torques, two_sided ? -peak : 0, peak);
}

typedef double loss_at(const void *of, double nm, double w);
static double by_map(const void *of, double nm, double w) { return evn_map_loss_w(of, nm, w, 680, 1); }

enum { LOOKS = 37 };

/* Distance from the truth over the envelope, as a share of the loss. */
typedef struct errors {
    double greatest, mean; /* mean: root mean square */
} errors;

static errors errors_of(loss_at *loss, const void *of, const motor *m)
{
    double greatest = 0, square = 0;
    for (int i = 0; i <= LOOKS; i++)
        for (int j = -LOOKS; j <= LOOKS; j++) {
            double w = m->machine.top_rad_s * i / LOOKS, nm = most_nm(m, w) * j / LOOKS, truth = true_w(m, nm, w);
            double error = fabs(loss(of, nm, w) - truth) / truth;
            greatest = fmax(greatest, error);
            square += error * error;
        }
    return (errors){greatest, sqrt(square / ((LOOKS + 1) * (2 * LOOKS + 1)))};
}

/* ------------------------------------------------------------------------------------------------ lawful motors */

static const double ALLOWED = 2e-3; /* share of the loss */

static void check_lawful(const motor *m, thinned *map, bool holes, const char *what)
{
    make_map(map, m, holes);
    double error = errors_of(by_map, map->map, m).greatest;
    if (!(error <= ALLOWED))
        ck_abort_msg("%s: off by %g of the loss; characteristic current %g for %g, inverter %d", what, error,
                     map->map->layer[0].fit.characteristic_share, m->characteristic_share, m->with_inverter);
    evn_arena_free(map->arena);
}

START_TEST(five_speeds_by_five_torques_give_the_losses_of_a_lawful_motor)
{
    dice with = {20250301};
    static thinned map;
    for (int k = 0; k < MOTORS; k++) {
        motor m = roll_motor(&with);
        evenly(&map, &m, 5, 5, false);
        check_lawful(&m, &map, false, "all cells");
        check_lawful(&m, &map, true, "cells within the envelope");
        evenly(&map, &m, 5, 9, true);
        check_lawful(&m, &map, true, "both signs of torque");
    }
}
END_TEST

/* As 0 and 400 Nm of a motor of 560 Nm. Two torques alone cannot tell an inverter from a winding below base speed. */
START_TEST(two_torques_give_the_losses_of_a_lawful_motor)
{
    dice with = {20250302};
    static thinned map;
    for (int k = 0; k < MOTORS; k++) {
        motor m = roll_motor(&with);
        if (m.with_inverter && m.characteristic_share == 0)
            m.characteristic_share = 0.8;
        evenly(&map, &m, 12, 2, false);
        map.nm[1] = m.machine.peak_nm * 400 / 560;
        check_lawful(&m, &map, false, "0 and 400 Nm of 560");
    }
}
END_TEST

/* As 100, 400, 2000 and 4000 Nm. */
START_TEST(torques_without_zero_give_the_losses_of_a_lawful_motor)
{
    dice with = {20250303};
    static thinned map;
    for (int k = 0; k < MOTORS; k++) {
        motor m = roll_motor(&with);
        evenly(&map, &m, 12, 4, false);
        map.nm[0] = m.machine.peak_nm * 0.025;
        map.nm[1] = m.machine.peak_nm * 0.1;
        map.nm[2] = m.machine.peak_nm * 0.5;
        check_lawful(&m, &map, true, "without 0 Nm");
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ others */

/* Monotone cubic with the slopes of parabolas, cut (Hyman 1983, from memory): of the losses themselves. */
static double secant(const double *x, const double *y, size_t k) { return (y[k + 1] - y[k]) / (x[k + 1] - x[k]); }

static double cut(double slope, double beside)
{
    return slope * beside <= 0 ? 0 : copysign(fmin(fabs(slope), 3 * fabs(beside)), slope);
}

static double slope_at(const double *x, const double *y, size_t count, size_t k)
{
    if (k == 0)
        return cut(secant(x, y, 0) + (secant(x, y, 0) - secant(x, y, 1)) * (x[1] - x[0]) / (x[2] - x[0]),
                   secant(x, y, 0));
    if (k == count - 1)
        return cut(secant(x, y, k - 1) +
                       (secant(x, y, k - 1) - secant(x, y, k - 2)) * (x[k] - x[k - 1]) / (x[k] - x[k - 2]),
                   secant(x, y, k - 1));
    double left = secant(x, y, k - 1), right = secant(x, y, k);
    double middle = (left * (x[k + 1] - x[k]) + right * (x[k] - x[k - 1])) / (x[k + 1] - x[k - 1]);
    return left * right <= 0 ? 0 : cut(cut(middle, left), right);
}

static double cubic_at(const double *x, const double *y, size_t count, double at)
{
    size_t k = 0;
    while (k + 2 < count && at >= x[k + 1])
        k++;
    double h = x[k + 1] - x[k], u = (at - x[k]) / h, s = secant(x, y, k);
    double from = slope_at(x, y, count, k), to = slope_at(x, y, count, k + 1);
    return y[k] + h * u * (from + u * (3 * s - 2 * from - to + u * (from + to - 2 * s)));
}

static double by_cubics(const void *of, double nm, double w)
{
    const thinned *map = of;
    double along[AXIS_MOST];
    for (size_t i = 0; i < map->speeds; i++)
        along[i] = cubic_at(map->nm, &map->column[2][i * map->torques], map->torques, fabs(nm));
    return cubic_at(map->rpm, along, map->speeds, w / EVN_RAD_S_PER_RPM);
}

/* Points at which the bump is hardly seen may be told better by chance: by no more than this. */
static const double HAIR = 2e-3;

START_TEST(more_points_of_a_motor_beside_the_law_help_and_the_law_costs_nothing)
{
    enum { SIZES = 4 };
    static const size_t points[SIZES] = {5, 9, 17, 33};
    static thinned map;
    dice with = {20250304};
    double sum[SIZES] = {0}, plain_sum[SIZES] = {0};
    for (int k = 0; k < MOTORS; k++) {
        motor m = roll_motor(&with);
        double before = (double)INFINITY;
        m.bump = 0.05;
        for (int n = 0; n < SIZES; n++) {
            evenly(&map, &m, points[n], points[n], false);
            make_map(&map, &m, false);
            double error = errors_of(by_map, map.map, &m).mean, plain = errors_of(by_cubics, &map, &m).mean;
            if (!(error < before && error <= plain + HAIR))
                ck_abort_msg("motor %d, %zu points: %g of the loss, with fewer %g, by cubics %g", k, points[n], error,
                             before, plain);
            before = error;
            sum[n] += error;
            plain_sum[n] += plain;
            evn_arena_free(map.arena);
        }
    }
    for (int n = 0; n < SIZES; n++)
        ck_assert_double_lt(sum[n], 0.5 * plain_sum[n]); /* measured: 0.17 to 0.25 */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("map_laws");
    TCase *laws = tcase_create("laws");
    tcase_add_test(laws, five_speeds_by_five_torques_give_the_losses_of_a_lawful_motor);
    tcase_add_test(laws, two_torques_give_the_losses_of_a_lawful_motor);
    tcase_add_test(laws, torques_without_zero_give_the_losses_of_a_lawful_motor);
    tcase_add_test(laws, more_points_of_a_motor_beside_the_law_help_and_the_law_costs_nothing);
    suite_add_tcase(suite, laws);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
