/* What the fuzz targets share. */
#ifndef EVENER_TESTS_FUZZ_H
#define EVENER_TESTS_FUZZ_H
#include "core/arena.h"
#include "core/report.h"
#include <stdlib.h>

/* Called by libFuzzer for each input. */
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

/* Ends the process, which libFuzzer takes as a find, where something that must hold does not. */
static inline void must_hold(bool holds)
{
    if (!holds)
        abort();
}

typedef struct attempt { /* one input */
    evn_report *report;
    evn_arena *arena;
} attempt;

static inline attempt attempt_begin(void)
{
    attempt a = {evn_report_new(), evn_arena_new()};
    must_hold(a.report && a.arena);
    return a;
}

/* Every finding can be told: it has a name, a text, and a place in a file or none at all. */
static inline void attempt_end(attempt *a)
{
    for (size_t i = 0; i < evn_report_count(a->report); i++) {
        evn_finding found;
        must_hold(evn_report_at(a->report, i, &found));
        must_hold(found.fault && found.text && found.text[0] != '\0');
        must_hold(found.file || found.line == 0);
    }
    evn_arena_free(a->arena);
    evn_report_free(a->report);
}

#endif
