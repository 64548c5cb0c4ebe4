/* Times in order: what repeats or goes back is left out, and counted. */
#include "log/log.h"
#include "log/spline.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_STEP_S 1e-3

typedef struct picked {
    size_t *row;
    size_t count, first_backward;
} picked;

static void pick(const evn_log *log, picked *p, evn_log_order *order)
{
    const double *t = log->column[EVN_LOG_TIME];
    double latest = -(double)INFINITY;
    for (size_t k = 0; k < log->rows; k++)
        if (isnan(t[k]))
            order->no_time++;
        else if (t[k] >= latest + LEAST_STEP_S) {
            latest = t[k];
            p->row[p->count++] = k;
        } else if (t[k] > latest - LEAST_STEP_S)
            order->repeated++;
        else if (order->backward++ == 0)
            p->first_backward = k;
}

static bool measure(const double *t, size_t count, double gap_s, evn_log_order *order, evn_arena *arena)
{
    if (count < 2)
        return true;
    double *step = evn_arena_take(arena, (count - 1) * sizeof *step);
    if (!step)
        return false;
    for (size_t k = 0; k + 1 < count; k++) {
        step[k] = t[k + 1] - t[k];
        order->gaps += step[k] > gap_s;
        order->longest_s = fmax(order->longest_s, step[k]);
    }
    order->median_s = evn_median_of(step, count - 1);
    return true;
}

static bool copy_columns(const evn_log *from, const picked *p, evn_log *to, evn_arena *arena)
{
    for (int q = 0; q < EVN_LOG_QUANTITY_COUNT; q++) {
        if (!from->column[q])
            continue;
        double *x = evn_arena_take(arena, (p->count + 1) * sizeof *x);
        if (!x)
            return false;
        for (size_t k = 0; k < p->count; k++)
            x[k] = from->column[q][p->row[k]];
        to->column[q] = x;
    }
    uint32_t *line = evn_arena_take(arena, (p->count + 1) * sizeof *line);
    uint32_t *segment = from->segment ? evn_arena_take(arena, (p->count + 1) * sizeof *segment) : NULL;
    if (!line || (from->segment && !segment))
        return false;
    for (size_t k = 0; k < p->count; k++) {
        line[k] = from->line[p->row[k]];
        if (segment)
            segment[k] = from->segment[p->row[k]];
    }
    to->line = line;
    to->segment = segment;
    to->rows = p->count;
    return true;
}

static const evn_log *no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    return NULL;
}

const evn_log *evn_log_ordered(const evn_log *log, double gap_s, evn_log_order *order, evn_arena *arena,
                               evn_report *report)
{
    static const evn_log_quantity wanted[] = {EVN_LOG_TIME, EVN_LOG_QUANTITY_COUNT};
    *order = (evn_log_order){0};
    if (!evn_log_has(log, wanted, "what is over time", report))
        return NULL;
    picked p = {.row = evn_arena_take(arena, log->rows * sizeof *p.row)};
    evn_log *out = evn_arena_take(arena, sizeof *out);
    if (!p.row || !out)
        return no_memory(report);
    pick(log, &p, order);
    if (10 * order->backward > log->rows) {
        evn_say(report, EVN_FAULT_DISAGREES, evn_log_row(log, p.first_backward, report), evn_nowhere,
                "time goes back here, and %zu of %zu rows lie behind a time that was there before; expected time to "
                "rise, but for a tenth of the rows; two logs in one file, or clocks that were set",
                order->backward, log->rows);
        return NULL;
    }
    *out = *log;
    if (!copy_columns(log, &p, out, arena) || !measure(out->column[EVN_LOG_TIME], out->rows, gap_s, order, arena))
        return no_memory(report);
    return out;
}
