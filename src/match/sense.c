/*
 * Whether energies of a log can be what they are called, against those of a run that drives its speed and its road with
 * the truck's mass. Energies of ten seconds: power of single rows hangs on noise, and a minute hides who brakes.
 */
#include "match/match.h"
#include <math.h>
#include <string.h>

/* Common practice, no source: no truck takes a hundred times what another of its mass does on its road. */
static const double TIMES = 100;
/* Of log and run, the cosine of the angle between their energies: 1 is alike, -1 turned over. */
static const double TURNED = -0.5;
static const double SHORT_S = 10;
enum { BLOCKS_LEAST = 6 };

typedef struct sums {
    double log2, run2, both;
} sums;

static sums sums_of(const evn_match_blocks *b, const double *run_j)
{
    sums s = {0};
    for (size_t k = 0; k < b->count; k++) {
        s.log2 += b->lost[k] ? 0 : b->log_j[k] * b->log_j[k];
        s.run2 += b->lost[k] ? 0 : run_j[k] * run_j[k];
        s.both += b->lost[k] ? 0 : b->log_j[k] * run_j[k];
    }
    return s;
}

static bool refuse_turned(const evn_measured_rows *log, evn_spot spot, evn_report *report)
{
    evn_say(report, EVN_FAULT_DISAGREES, spot, evn_nowhere,
            strcmp(log->energy_from, "charge") == 0
                ? "the log's %s rises where the truck takes from its battery and falls where it brakes; the other was "
                  "expected"
                : "the log's %s is below 0 where the truck takes from its battery and above where it brakes; "
                  "discharging above 0 was expected, or --charging-positive",
            log->energy_from);
    return false;
}

bool evn_match_makes_sense(const evn_measured_rows *log, const evn_log *read, const evn_modelled *run, evn_arena *arena,
                           evn_report *report)
{
    evn_match_blocks b;
    double *run_j = NULL;
    if (!log->energy_j)
        return true;
    if (evn_match_blocks_of(log, SHORT_S, &b, arena))
        run_j = evn_arena_take(arena, (b.count + 1) * sizeof *run_j);
    if (!run_j) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
        return false;
    }
    evn_match_blocks_run(&b, run, run_j);
    sums s = sums_of(&b, run_j);
    evn_spot spot = {evn_report_file(report, read->file), 0, 0};
    double times = sqrt(s.log2 / s.run2);
    if (b.held < BLOCKS_LEAST || !(s.run2 > 0) || !(s.log2 > 0))
        return true;
    if (times < TIMES && times > 1 / TIMES)
        return s.both > TURNED * sqrt(s.log2 * s.run2) || refuse_turned(log, spot, report);
    evn_say(report, EVN_FAULT_DISAGREES, spot, evn_nowhere,
            "the log's %s is %s what its speed and the mass of the truck ask for, %.3g times as much; expected less "
            "than %g times apart: --column '%s=NAME [UNIT]' tells another unit",
            log->energy_from, times > 1 ? "far above" : "far below", times, TIMES,
            strcmp(log->energy_from, "voltage and current") == 0 ? "current" : log->energy_from);
    return false;
}
