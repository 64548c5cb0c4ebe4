/* Kept runs driven again, and each quantity held against what was kept. */
#ifndef EVENER_JUDGE_CHECK_H
#define EVENER_JUDGE_CHECK_H
#include "evener/kept.h"
#include "judge/kept.h"
#include "trip/drive.h"
#include "truck/truck.h"

/* One run to drive again. What it points to must outlive the check. */
typedef struct evn_due {
    const char *name;
    const evn_truck_file
        *truck; /* NULL: it, or the cycle, could not be read; such runs come last, and are not driven */
    const evn_cycle_file *cycle;
    evn_conditions ask;
    const evn_kept_run_file *kept;
} evn_due;

/*
 * Drives all on up to so many threads (0: as many as there are processors) and compares; the same bytes whatever their
 * number. NULL only when memory is out (said). `due` need not outlive the call, what it points to must.
 */
evn_check *evn_check_runs(const evn_due *due, size_t count, const evn_tolerances_file *, const evn_check_how *,
                          evn_report *);

#endif
