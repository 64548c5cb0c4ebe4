/* Losses of gears that follow the law of parts: its coefficients come back from a table of them. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "log/loss_fit.h"
#include "truck/stage.h"
#include <string.h>
#include <unistd.h>

#define RAD_S_PER_RPM (3.14159265358979323846 / 30)
enum { PATH_BYTES = 64, SPEEDS = 5 };
static const double RATIO = 4, EFFICIENCY = 0.96, AT_REST_NM = 20, NM_PER_RPM = 0.05, COLD_FACTOR = 2;

/* A table as measured on one side, of a stage of the program: both ends of its shaft are asked of the stage itself. */
static void write_table(const char *path, bool motor_side)
{
    FILE *f = fopen(path, "w");
    ck_assert(f);
    fprintf(f, "oil_degc,speed_rpm,torque_nm,loss_w\n");
    for (int cold = 0; cold < 2; cold++)
        for (int n = 0; n < SPEEDS; n++)
            for (int t = -4; t <= 12; t += 2) {
                double rpm = 50 + 100 * n, factor = cold ? COLD_FACTOR : 1;
                evn_stage stage = {.ratio = RATIO,
                                   .pull_share = 1 / EFFICIENCY - 1,
                                   .push_share = 1 - EFFICIENCY,
                                   .drag_nm = factor * AT_REST_NM,
                                   .drag_nm_s = factor * NM_PER_RPM / RAD_S_PER_RPM};
                evn_flow flow = {{0}};
                evn_shaft in = evn_stage_up(&stage, (evn_shaft){1e3 * t, rpm * RAD_S_PER_RPM, 0}, NULL, &flow);
                double loss_w = flow.w[stage.line];
                if (motor_side && in.torque_nm >= 0)
                    fprintf(f, "%d,%.10g,%.12g,%.12g\n", cold ? 40 : 90, rpm * RATIO, in.torque_nm, loss_w);
                if (!motor_side)
                    fprintf(f, "%d,%.10g,%.10g,%.12g\n", cold ? 40 : 90, rpm, 1e3 * t, loss_w);
            }
    fclose(f);
}

static void comes_back(bool motor_side)
{
    static const published law = {"the table is made by the law itself: a share of the load, and a drag over speed",
                                  CLOSED_FORM};
    char path[PATH_BYTES] = "/tmp/evener-losses-XXXXXX";
    int file = mkstemp(path);
    ck_assert(file >= 0);
    close(file);
    write_table(path, motor_side);
    evn_report *report = evn_report_new();
    evn_loss_fit *fit = NULL;
    const evn_loss_ask ask = {RATIO, motor_side};
    evn_finding found;
    if (evn_loss_fit_table(path, &ask, &fit, report) != EVN_DONE)
        ck_abort_msg("%s", evn_report_at(report, 0, &found) ? found.text : "no reason");
    remove(path);
    const evn_loss_told *t = evn_loss_fit_tells(fit);
    const char *side = motor_side ? "motor" : "wheel";
    check_value(&law, t->efficiency, ABSOLUTE, EFFICIENCY, 1e-8, "1", "efficiency of the load, %s side", side);
    check_value(&law, t->drag_factor[0], RELATIVE, COLD_FACTOR, 1e-6, "1", "drag in cold oil over warm, %s side", side);
    ck_assert_uint_eq(t->speeds, SPEEDS);
    /* On the motor side the drag of the wheel side is seen through the ratio. */
    for (size_t k = 0; k < t->speeds; k++) {
        double rpm = motor_side ? t->speed_rpm[k] / RATIO : t->speed_rpm[k];
        double expected = AT_REST_NM + NM_PER_RPM * rpm;
        double drag = motor_side ? t->drag_nm[k] * RATIO * EFFICIENCY : t->drag_nm[k];
        check_value(&law, drag, RELATIVE, expected, 1e-6, "Nm", "drag at %g rpm of the wheel, %s side", rpm, side);
    }
    check_value(&law, t->off_rms, ABSOLUTE, 0, 1e-7, "1", "what the fit leaves, %s side", side);
    if (!motor_side)
        check_value(&law, t->off_pushing_rms, ABSOLUTE, 0, 1e-7, "1", "what it leaves of loads that push");
    evn_loss_fit_free(fit);
    evn_report_free(report);
}

START_TEST(coefficients_come_back_from_the_wheel_side) { comes_back(false); }
END_TEST

START_TEST(coefficients_come_back_from_the_motor_side) { comes_back(true); }
END_TEST

int main(void)
{
    Suite *suite = suite_create("measured losses");
    TCase *tests = tcase_create("measured losses");
    tcase_add_test(tests, coefficients_come_back_from_the_wheel_side);
    tcase_add_test(tests, coefficients_come_back_from_the_motor_side);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
