/* Any bytes as a file of kept runs: read or refused; of what was read every run and every number can be told. */
#define _XOPEN_SOURCE 700
#include "evener/kept.h"
#include "fuzz.h"
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static const char *file(void);
static void forget_file(void) { unlink(file()); }

/* The file of all inputs, one after the other. Trucks and cycles are found by the search path: here. */
static const char *file(void)
{
    static char path[] = "/tmp/evener-fuzz-kept.XXXXXX";
    static bool made;
    if (!made) {
        int end = mkstemp(path);
        must_hold(end >= 0 && close(end) == 0 && setenv("EVENER_PATH", ".", 1) == 0);
        made = true;
        must_hold(atexit(forget_file) == 0);
    }
    return path;
}

static void write_file(const uint8_t *bytes, size_t length)
{
    FILE *to = fopen(file(), "wb");
    must_hold(to);
    must_hold(fwrite(bytes, 1, length, to) == length);
    must_hold(fclose(to) == 0);
}

static void check_run(const evn_kept *kept, size_t index)
{
    evn_kept_run run;
    const char *key;
    double value;
    must_hold(evn_kept_at(kept, index, &run));
    must_hold(run.name && run.truck && run.truck_hash && run.cycle_hash && run.ask_hash);
    must_hold((run.lineup != NULL) != (run.cycle != NULL));
    for (size_t i = 0; evn_kept_result_at(kept, index, i, &key, &value); i++) {
        must_hold(i < run.result_count && !isinf(value));
        evn_moved_quantity same = evn_hold_against(kept, key, value, value);
        must_hold(same.moved == EVN_MOVED_NOT);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    evn_kept *kept;
    evn_kept_tolerance tolerance;
    write_file(bytes, length);
    evn_status status = evn_kept_load(file(), &kept, a.report);
    must_hold(kept || status != EVN_DONE);
    for (size_t i = 0; kept && i < evn_kept_count(kept); i++)
        check_run(kept, i);
    for (size_t i = 0; kept && evn_kept_tolerance_at(kept, i, &tolerance); i++)
        must_hold(tolerance.absolute >= 0 && tolerance.relative >= 0);
    evn_kept_free(kept);
    attempt_end(&a);
    return 0;
}
