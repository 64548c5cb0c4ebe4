/* Any loss map, with any holes: no loss below zero, none that jumps, and what was measured comes out. */
#include "../unit/course_probe.h"
#include "core/units.h"
#include "truck/map.h"
#include <stdlib.h>
#include <string.h>

enum { MAPS = 400, POINTS = 400, AXIS = 12 };

typedef struct any_map {
    double speed_rpm[AXIS], torque_nm[AXIS], column[4][2 * AXIS * AXIS];
    uint32_t line[2 * AXIS * AXIS];
    size_t speeds, torques;
    evn_sheet sheet;
    evn_map_file file;
    evn_map_machine machine;
    const evn_map *map;
    evn_arena *arena;
} any_map;

static const char *const names[] = {"speed_rpm", "torque_nm", "loss_w", "voltage_v"};

static void roll_axis(double *x, size_t count, double from, double to, dice *with)
{
    double at = from;
    for (size_t k = 0; k < count; k++) {
        x[k] = at;
        at += roll(with, 0.2, 2) * (to - from) / (double)count;
    }
}

/* Losses that jump up and down by whole decades, some of them 0, and one cell in five a hole. */
static double roll_loss(dice *with)
{
    double what = roll(with, 0, 1);
    return what < 0.2 ? (double)NAN : what < 0.3 ? 0 : pow(10, roll(with, 0, 5));
}

static void roll_map(any_map *to, dice *with)
{
    static const double *columns[4];
    size_t voltages = roll_count(with, 1, 2), row = 0;
    to->speeds = roll_count(with, 3, AXIS);
    to->torques = roll_count(with, 3, AXIS);
    roll_axis(to->speed_rpm, to->speeds, roll_count(with, 0, 1) ? 0 : 300, 5000, with);
    roll_axis(to->torque_nm, to->torques, roll_count(with, 0, 1) ? -400 : roll(with, 0, 50), 400, with);
    for (size_t v = 0; v < voltages; v++)
        for (size_t k = 0; k < to->speeds * to->torques; k++, row++) {
            to->column[0][row] = to->speed_rpm[k / to->torques];
            to->column[1][row] = to->torque_nm[k % to->torques];
            to->column[2][row] = k < 4 ? 100 : roll_loss(with);
            to->column[3][row] = 500 + 200.0 * (double)v;
            to->line[row] = (uint32_t)row + 2;
        }
    for (size_t k = 0; k < 4; k++)
        columns[k] = to->column[k];
    to->sheet = (evn_sheet){.columns = 4, .rows = row, .name = names, .column = columns, .line = to->line};
    to->file = (evn_map_file){.table = &to->sheet, .winding_degc = 100, .includes_inverter = roll_count(with, 0, 1)};
    to->machine = (evn_map_machine){roll(with, 200, 600), roll(with, 5e4, 2e5), roll(with, 200, 900), 650};
    to->arena = evn_arena_new();
    to->map = evn_map_make(&to->file, &to->machine, to->arena);
    ck_assert_ptr_nonnull(to->map);
}

static double loss_at(const any_map *of, const double at[4])
{
    return evn_map_loss_w(of->map, at[0], at[1], at[2], at[3]);
}

static void roll_point(double at[4], dice *with)
{
    at[0] = roll(with, -700, 700);
    at[1] = roll(with, 0, 1000);
    at[2] = roll(with, 400, 800);
    at[3] = roll(with, 0.7, 1.4);
}

START_TEST(no_loss_is_below_zero_and_every_loss_is_finite)
{
    dice with = {20240607};
    static any_map any;
    for (int m = 0; m < MAPS; m++) {
        roll_map(&any, &with);
        for (int k = 0; k < POINTS; k++) {
            double at[4];
            roll_point(at, &with);
            double loss = loss_at(&any, at);
            if (!(loss >= 0 && isfinite(loss)))
                ck_abort_msg("map %d: %g W at %g Nm, %g rad/s, %g V", m, loss, at[0], at[1], at[2]);
            if (!(evn_map_drag_nm(any.map, at[1]) >= 0))
                ck_abort_msg("map %d: drag at %g rad/s", m, at[1]);
        }
        evn_arena_free(any.arena);
    }
}
END_TEST

/*
 * Along a line between two points that are near each other the loss is halved again and again: where it jumped, half of
 * the line would keep the jump.
 */
static double jump_between(const any_map *of, double a[4], double b[4])
{
    for (int k = 0; k < 40; k++) {
        double middle[4];
        for (int i = 0; i < 4; i++)
            middle[i] = 0.5 * (a[i] + b[i]);
        bool first = fabs(loss_at(of, middle) - loss_at(of, a)) > fabs(loss_at(of, b) - loss_at(of, middle));
        memcpy(first ? b : a, middle, sizeof middle);
    }
    return fabs(loss_at(of, b) - loss_at(of, a));
}

START_TEST(no_loss_jumps_across_cells_edges_voltages_or_zero_torque)
{
    dice with = {7};
    static any_map any;
    for (int m = 0; m < MAPS; m++) {
        roll_map(&any, &with);
        for (int k = 0; k < POINTS / 10; k++) {
            double a[4], b[4];
            roll_point(a, &with);
            roll_point(b, &with);
            double jump = jump_between(&any, a, b);
            if (jump > 1e-3)
                ck_abort_msg("map %d: %g W at %g Nm, %g rad/s, %g V", m, jump, a[0], a[1], a[2]);
        }
        evn_arena_free(any.arena);
    }
}
END_TEST

START_TEST(every_measured_cell_comes_out_as_it_was_measured)
{
    dice with = {99};
    static any_map any;
    for (int m = 0; m < MAPS; m++) {
        roll_map(&any, &with);
        for (size_t row = 0; row < any.sheet.rows; row++) {
            double loss = any.column[2][row];
            double got = evn_map_loss_w(any.map, any.column[1][row], any.column[0][row] * EVN_RAD_S_PER_RPM,
                                        any.column[3][row], 1);
            if (!isnan(loss) && !(fabs(got - loss) <= 1e-9 * (1 + loss)))
                ck_abort_msg("map %d: %g W for %g W", m, got, loss);
        }
        evn_arena_free(any.arena);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("maps");
    TCase *any = tcase_create("any");
    tcase_add_test(any, no_loss_is_below_zero_and_every_loss_is_finite);
    tcase_add_test(any, no_loss_jumps_across_cells_edges_voltages_or_zero_torque);
    tcase_add_test(any, every_measured_cell_comes_out_as_it_was_measured);
    suite_add_tcase(suite, any);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
