/* Any bytes as a log, CSV or GPX: read or refused; what was read is put in order and made a cycle where that can be. */
#include "fuzz.h"
#include "log/import.h"
#include <math.h>

static void check_log(const evn_log *log)
{
    must_hold(log->rows > 0);
    for (size_t k = 1; k < log->rows; k++)
        must_hold(log->line[k] >= log->line[k - 1]);
    for (int q = 0; q < EVN_LOG_QUANTITY_COUNT; q++)
        for (size_t k = 0; log->column[q] && k < log->rows; k++)
            must_hold(!isinf(log->column[q][k]));
}

static void check_cycle(const evn_import *im)
{
    const evn_import_cycle *c = &im->cycle;
    for (size_t k = 0; k < c->times; k++)
        must_hold(isfinite(c->speed_m_s[k]) && c->speed_m_s[k] >= 0 && (k == 0 || c->time_s[k] > c->time_s[k - 1]));
    for (size_t k = 0; k < c->grades; k++)
        must_hold(isfinite(c->grade_ratio[k]) && (k == 0 || c->grade_place_m[k] > c->grade_place_m[k - 1]));
    for (size_t k = 1; k < c->limits; k++)
        must_hold(c->limit_place_m[k] > c->limit_place_m[k - 1] && c->limit_m_s[k] > 0);
}

static void import(const uint8_t *bytes, size_t length, evn_import_over over)
{
    attempt a = attempt_begin();
    evn_import im = {.arena = a.arena};
    evn_import_how how = evn_import_default();
    how.over = over;
    const evn_log *log = evn_log_read_bytes((const char *)bytes, length, "fuzz.log", NULL, a.arena, a.report);
    must_hold((log != NULL) == !evn_report_failed(a.report));
    if (log) {
        check_log(log);
        bool made = evn_import_of_log(&im, log, &how, a.report);
        must_hold(made == !evn_report_failed(a.report));
        if (made)
            check_cycle(&im);
    }
    attempt_end(&a);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    import(bytes, length, EVN_OVER_TIME);
    import(bytes, length, EVN_OVER_PLACE);
    return 0;
}
