/* Coast-downs as they stand in logs: wind by the speed of the air, wind across, and figures that no vehicle has. */
#define _XOPEN_SOURCE 700
#include "evener/coastdown.h"
#include "folder.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* 36 t with 1 t that turns, rolling coefficient 0.006, drag area 5.4 m2 in air of 1.2 kg/m3: invented. */
#define MASS_KG 36000.0
#define ROTATING_KG 1000.0
#define ROLLING 0.006
#define DRAG_AREA_M2 5.4
#define DENSITY 1.2
#define GRAVITY 9.80665
#define STEP_S 0.2

/* A pair of runs, small steps by the midpoint of each, in a wind against the first. `across_m_s`: NAN: no such column.
 */
static void write_log(const char *path, double wind_m_s, double across_m_s, double grade_percent)
{
    FILE *to = fopen(path, "w");
    double t = 0;
    ck_assert_ptr_nonnull(to);
    fprintf(to, "time_s,speed_m_s,heading_deg,grade [%%],%s\n",
            isnan(across_m_s) ? "air_speed_m_s" : "wind_speed_m_s,wind_from_deg");
    for (int run = 0; run < 2; run++, t += 100) {
        double sign = run == 0 ? 1 : -1, head_m_s = sign * wind_m_s;
        for (double v = 85 / 3.6; v > 14 / 3.6; t += STEP_S) {
            fprintf(to, "%.1f,%.9f,%d,%g,", t, v, run == 0 ? 0 : 180, sign * grade_percent);
            if (isnan(across_m_s))
                fprintf(to, "%.9f\n", v + head_m_s);
            else
                fprintf(to, "%g,90\n", across_m_s);
            for (int k = 0; k < 20; k++) {
                double air = v + head_m_s, force = MASS_KG * GRAVITY * ROLLING + DENSITY / 2 * DRAG_AREA_M2 * air * air;
                v -= STEP_S / 20 * force / (MASS_KG + ROTATING_KG);
            }
        }
    }
    ck_assert_int_eq(fclose(to), 0);
}

static evn_status find(const char *path, evn_coastdown **out, evn_report *report)
{
    evn_coastdown_how how = evn_coastdown_how_default();
    how.mass_kg = MASS_KG;
    how.rotating_kg = ROTATING_KG;
    how.air_density_kg_m3 = DENSITY;
    return evn_coastdown_find(&path, 1, &how, out, report);
}

/* The fit's figure of a log with these, without a key its residuals, RMS in km/h; NAN: nothing was found. */
static double figure_of(const char *key, double wind_m_s, double across_m_s, double grade_percent)
{
    char path[PATH_BYTES];
    evn_coastdown *c = NULL;
    evn_coastdown_figure f = {.value = (double)NAN};
    evn_report *report = evn_report_new();
    folder_begin();
    write_log(in_folder(path, "log.csv"), wind_m_s, across_m_s, grade_percent);
    evn_coastdown_told told;
    if (find(path, &c, report) == EVN_DONE && evn_coastdown_told_of(c, &told)) {
        f.value = told.rms_km_h;
        for (size_t k = 0; key && evn_coastdown_figure_at(c, EVN_COASTDOWN_FIT, k, &f); k++)
            if (strcmp(f.what.key, key) == 0)
                break;
    }
    evn_coastdown_free(c);
    evn_report_free(report);
    folder_end();
    return f.value;
}

/* With the other sign runs out and back err against each other: their mean would be right, the residuals would not. */
START_TEST(wind_is_the_speed_of_the_air_less_that_of_the_vehicle)
{
    ck_assert_double_lt(fabs(figure_of("drag_area_m2", 3, (double)NAN, 0) / DRAG_AREA_M2 - 1), 1e-3);
    ck_assert_double_lt(fabs(figure_of("rolling_coefficient", 3, (double)NAN, 0) / ROLLING - 1), 1e-3);
    ck_assert_double_lt(figure_of(NULL, 3, (double)NAN, 0), 0.01);
}
END_TEST

/* 8 km/h: from memory of SAE J1263. */
START_TEST(wind_across_is_allowed_up_to_its_limit)
{
    ck_assert_double_lt(fabs(figure_of("drag_area_m2", 0, 2, 0) / DRAG_AREA_M2 - 1), 1e-3);
    ck_assert(isnan(figure_of("drag_area_m2", 0, 3, 0)));
}
END_TEST

/* A level road that is called one of 3 % up out, and down back: forces of 10 kN and more apart, which no vehicle has.
 */
START_TEST(figures_that_no_vehicle_has_are_refused)
{
    ck_assert(isnan(figure_of("drag_area_m2", 0, 0, 3)));
    ck_assert(isnan(figure_of("drag_area_m2", 0, (double)NAN, 3)));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("coast_logs");
    TCase *tests = tcase_create("coast_logs");
    tcase_add_test(tests, wind_is_the_speed_of_the_air_less_that_of_the_vehicle);
    tcase_add_test(tests, wind_across_is_allowed_up_to_its_limit);
    tcase_add_test(tests, figures_that_no_vehicle_has_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
