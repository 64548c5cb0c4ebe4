/* Pictures for the terminal: dots where they belong, peaks kept, scales that fit. */
#define _POSIX_C_SOURCE 200809L
#include "show/plot/plot.h"
#include "trip_probe.h"
#include <locale.h>
#include <stdlib.h>
#include <string.h>

typedef struct text {
    char *at;
    size_t bytes;
} text;

static text row_of(const evn_plot_canvas *canvas, size_t row)
{
    text out = {0};
    FILE *to = open_memstream(&out.at, &out.bytes);
    ck_assert_ptr_nonnull(to);
    evn_plot_canvas_row(canvas, row, to);
    ck_assert_int_eq(fclose(to), 0);
    return out;
}

static void must_show(const evn_plot_canvas *canvas, size_t row, const char *wanted)
{
    text is = row_of(canvas, row);
    ck_assert_str_eq(is.at, wanted);
    free(is.at);
}

START_TEST(a_span_fills_the_dots_between_its_ends)
{
    evn_plot_canvas *canvas = evn_plot_canvas_new(2, 1, true);
    evn_plot_canvas_span(canvas, 0, 0, 1);     /* the left half, all four dots: 1 2 3 7 */
    evn_plot_canvas_span(canvas, 3, 1, 1);     /* the right half, uppermost: 4 */
    evn_plot_canvas_span(canvas, 9, 0, 1);     /* beyond the canvas */
    evn_plot_canvas_span(canvas, 1, 0.9, 0.1); /* nothing lies between */
    must_show(canvas, 0, "\u2847\u2808");
    evn_plot_canvas_free(canvas);
}
END_TEST

START_TEST(without_block_characters_it_is_plain_ascii)
{
    evn_plot_canvas *canvas = evn_plot_canvas_new(5, 1, false);
    evn_plot_canvas_span(canvas, 0, 0, 1);
    evn_plot_canvas_span(canvas, 2, 0, 0);
    evn_plot_canvas_span(canvas, 4, 1, 1);
    evn_plot_canvas_span(canvas, 6, 0.4, 0.6);
    must_show(canvas, 0, "|.'- ");
    evn_plot_canvas_free(canvas);
}
END_TEST

START_TEST(what_is_beyond_the_scale_stays_at_its_edge)
{
    evn_plot_canvas *canvas = evn_plot_canvas_new(1, 2, false);
    evn_plot_canvas_span(canvas, 0, 3, 4);
    must_show(canvas, 0, "'");
    must_show(canvas, 1, " ");
    evn_plot_canvas_free(canvas);
}
END_TEST

START_TEST(steps_of_an_axis_are_one_two_or_five_times_a_power_of_ten)
{
    static const double range[] = {64.2, 12, 0.52, 350, 1}, wanted[] = {20, 5, 0.2, 100, 0.5};
    static const size_t parts[] = {5, 3, 3, 5, 2};
    for (size_t k = 0; k < 5; k++)
        ck_assert_double_eq_tol(evn_plot_step(range[k], parts[k]), wanted[k], 1e-12);
    ck_assert_double_eq(evn_plot_step(0, 5), 1);
    ck_assert_double_eq(evn_plot_step(5, 0), 1);
}
END_TEST

START_TEST(a_picture_fits_the_window)
{
    static const unsigned columns[] = {0, 1, 30, 80, 140, 5000};
    static const size_t wanted[] = {70, 20, 20, 70, 130, 200};
    for (size_t k = 0; k < 6; k++) {
        evn_look look = {.columns = columns[k]};
        ck_assert_uint_eq(evn_plot_columns(&look), wanted[k]);
    }
}
END_TEST

/* Rows as a run gives them: a peak of one row among a thousand is there, and gaps are bridged. */
START_TEST(no_peak_is_lost_and_no_gap_is_left)
{
    evn_conditions ask = evn_conditions_default();
    drive run = drive_whole("tests/trucks/four-speed.yaml", "cycles/scenarios/hill.yaml", &ask, NULL);
    evn_cycle *cycle = NULL;
    ck_assert_int_eq(evn_cycle_load("cycles/scenarios/hill.yaml", &cycle, run.report), EVN_DONE);
    size_t columns = evn_trace_column_count(run.rig), place = column(&run, "place_m"),
           speed = column(&run, "speed_km_h"), soc = column(&run, "soc");
    double row[128] = {0}, low, high, first, last, least;
    evn_plot_run *picture = evn_plot_run_new(run.rig, cycle, 30);
    ck_assert_ptr_nonnull(picture);
    ck_assert(!evn_plot_run_speed(picture, 0, &low, &high));
    for (int k = 0; k <= 1000; k++) {
        row[place] = 12000.0 * k / 1000;
        row[speed] = k == 503 ? 77 : 50;
        row[soc] = 0.9 - 0.3 * sin(k * 3.14159265358979 / 1000);
        if (k < 700 || k == 1000)
            evn_plot_run_sample(picture, row, columns);
    }
    for (size_t half = 0; half < 60; half++) {
        ck_assert(evn_plot_run_speed(picture, half, &low, &high));
        ck_assert_double_eq(low, 50);
        ck_assert_double_eq(high, half == 60 * 503 / 1000 ? 77 : 50);
    }
    ck_assert(!evn_plot_run_speed(picture, 60, &low, &high));
    ck_assert(evn_plot_run_charge(picture, &first, &last, &least));
    ck_assert_double_eq_tol(first, 0.9, 1e-12);
    ck_assert_double_eq_tol(last, 0.9, 1e-12);
    ck_assert_double_eq_tol(least, 0.6, 1e-12);
    evn_plot_run_free(picture);
    evn_cycle_free(cycle);
    drive_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plot");
    TCase *parts = tcase_create("parts");
    tcase_add_test(parts, a_span_fills_the_dots_between_its_ends);
    tcase_add_test(parts, without_block_characters_it_is_plain_ascii);
    tcase_add_test(parts, what_is_beyond_the_scale_stays_at_its_edge);
    tcase_add_test(parts, steps_of_an_axis_are_one_two_or_five_times_a_power_of_ten);
    tcase_add_test(parts, a_picture_fits_the_window);
    tcase_add_test(parts, no_peak_is_lost_and_no_gap_is_left);
    suite_add_tcase(suite, parts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
