/* Kept results held against new ones, in words: what moved, and a line that sums up. */
#include "show/check_story.h"
#include "show/findings.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 48 };

/* ------------------------------------------------------------------------------------------------ what moved */

static void format_number(char out[CELL], double value)
{
    if (isfinite(value))
        snprintf(out, CELL, "%.9g", value);
    else
        snprintf(out, CELL, "none");
}

static void format_by(char out[CELL], const evn_moved_quantity *q)
{
    double by = q->now - q->kept;
    if (q->moved == EVN_MOVED_NEW)
        snprintf(out, CELL, "new");
    else if (q->moved == EVN_MOVED_GONE)
        snprintf(out, CELL, isnan(q->kept) && !isnan(q->now) ? "new" : "gone");
    else if (!isfinite(by))
        snprintf(out, CELL, "-");
    else
        snprintf(out, CELL, "%+.3g", by);
}

/* How many times its tolerance it moved. */
static void format_times(char out[CELL], const evn_moved_quantity *q)
{
    double times = fabs(q->now - q->kept) / q->tolerance;
    if (isfinite(times))
        snprintf(out, CELL, times < 1000 ? "%.1f x" : "%.0f x", times);
    else
        snprintf(out, CELL, "-");
}

static bool moved_row(evn_table *table, const evn_moved_quantity *q)
{
    char kept[CELL], now[CELL], by[CELL], tolerance[CELL], times[CELL];
    format_number(kept, q->kept);
    format_number(now, q->now);
    format_by(by, q);
    snprintf(tolerance, sizeof tolerance, isfinite(q->tolerance) ? "%.3g" : "-", q->tolerance);
    format_times(times, q);
    return evn_table_row(table, (const char *const[]){q->key, kept, now, by, tolerance, times});
}

static bool is_ledger(const evn_moved_quantity *q) { return strncmp(q->key, "energy_balance", 14) == 0; }

/* The energy balance last, its largest change first: it tells where the rest comes from. */
static int by_weight(const void *a, const void *b)
{
    const evn_moved_quantity *x = a, *y = b;
    if (is_ledger(x) != is_ledger(y))
        return is_ledger(x) ? 1 : -1;
    double dx = fabs(x->now - x->kept), dy = fabs(y->now - y->kept);
    if (is_ledger(x) && dx != dy)
        return dx < dy ? 1 : -1;
    return strcmp(x->key, y->key);
}

bool evn_moved_table(const evn_moved_quantity *list, size_t count, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"", false, true},   {"kept", true, false},      {"now", true, false},
                                               {"by", true, false}, {"tolerance", true, false}, {"moved", true, false}};
    evn_moved_quantity *sorted = malloc((count + 1) * sizeof *sorted);
    evn_table *table = evn_table_new(columns, 6, true);
    bool made = table && sorted;
    if (made) {
        memcpy(sorted, list, count * sizeof *sorted);
        qsort(sorted, count, sizeof *sorted, by_weight);
    }
    for (size_t i = 0; made && i < count; i++)
        made = moved_row(table, &sorted[i]);
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    free(sorted);
    return made;
}

/* ------------------------------------------------------------------------------------------------ one run */

/* What nothing is recorded of may have changed as well. */
static const char *unrecorded(const evn_kept_run *run)
{
    return !run->kept_truck_hash   ? "its truck"
           : !run->kept_cycle_hash ? "its cycle"
           : !run->kept_ask_hash   ? "its load case and driving"
                                   : NULL;
}

#define SAY(...) evn_put_sentence(to, evn_look_prose(look), "  ", __VA_ARGS__)

static bool put_changes(const evn_kept_run *run, FILE *to, const evn_look *look)
{
    bool made = !run->truck_changed || SAY("The truck has changed since it was recorded.");
    if (run->lineup && (run->cycle_changed || run->ask_changed))
        return made && SAY("The lineup has changed since it was recorded: its cycle, or what it asks.");
    made = made && (!run->cycle_changed || SAY("The cycle has changed since it was recorded."));
    return made && (!run->ask_changed || SAY("Load case or driving has changed since it was recorded."));
}

static bool put_why(const evn_check_story *story, const evn_kept_run *run, FILE *to, const evn_look *look)
{
    const char *program = evn_kept_program(story->kept);
    bool other_program = program && strcmp(program, evn_version()) != 0;
    const char *or_machine = other_program ? "" : ", or the machine,";
    bool made = put_changes(run, to, look);
    if (other_program)
        made = made && SAY("Recorded by version %s, driven by version %s.", program, evn_version());
    if (run->truck_changed || run->cycle_changed || run->ask_changed)
        return made;
    if (unrecorded(run))
        return made && SAY("Without a record of %s: it may have changed, or the program%s moved it.", unrecorded(run),
                           or_machine);
    return made && SAY("Truck, cycle, load case and driving are as recorded: the program%s moved it.", or_machine);
}

static bool put_quantities(const evn_check_story *story, size_t index, const evn_checked *checked, FILE *to,
                           const evn_look *look)
{
    evn_moved_quantity *list = calloc(checked->moved_count + 1, sizeof *list);
    if (!list)
        return false;
    for (size_t k = 0; k < checked->moved_count; k++)
        evn_check_moved_at(story->check, index, k, &list[k]);
    bool made = checked->moved_count == 0 || evn_moved_table(list, checked->moved_count, to, look);
    free(list);
    return made;
}

static bool put_reason(const evn_checked *checked, FILE *to, const evn_look *look)
{
    const char *why = evn_report_first_error(checked->report);
    return SAY("could not be driven: %s", why ? why : "interrupted");
}

static const char *word_of(evn_checked_state state)
{
    static const char *const words[] = {[EVN_CHECKED_SAME] = "same",
                                        [EVN_CHECKED_MOVED] = "moved",
                                        [EVN_CHECKED_NEW] = "nothing recorded yet",
                                        [EVN_CHECKED_NOT_RUN] = "not driven"};
    return words[state];
}

static bool put_run(const evn_check_story *story, size_t index, const evn_kept_run *run, const evn_checked *checked,
                    FILE *to, const evn_look *look)
{
    evn_style_begin(to, look, checked->state == EVN_CHECKED_NEW ? EVN_STYLE_STRONG : EVN_STYLE_WARNING);
    bool made = evn_put_sentence(to, evn_look_prose(look), "", "%s: %s", run->name, word_of(checked->state));
    evn_style_end(to, look, EVN_STYLE_WARNING);
    if (checked->state == EVN_CHECKED_NOT_RUN)
        made = made && put_reason(checked, to, look);
    if (checked->state != EVN_CHECKED_MOVED)
        return made;
    const char *now = evn_results_status(checked->results);
    if (run->status && strcmp(run->status, now) != 0)
        made = made && SAY("It ended otherwise: %s when recorded, %s now.", run->status, now);
    made = made && put_quantities(story, index, checked, to, look) && put_why(story, run, to, look);
    fputc('\n', to);
    return made;
}

#undef SAY

/* ------------------------------------------------------------------------------------------------ the whole */

bool evn_check_text(const evn_check_story *story, FILE *to, const evn_look *look)
{
    size_t of[4] = {0}, left_out = 0, index;
    evn_kept_run run;
    evn_checked checked;
    bool made = true;
    for (size_t i = 0; made && evn_kept_at(story->kept, i, &run); i++) {
        if (!evn_check_find(story->check, run.name, &index, &checked)) {
            left_out++;
            continue;
        }
        of[checked.state]++;
        if (checked.state != EVN_CHECKED_SAME)
            made = put_run(story, index, &run, &checked, to, look);
    }
    fprintf(to, "%zu run%s: %zu the same, %zu moved", of[0] + of[1] + of[2] + of[3],
            of[0] + of[1] + of[2] + of[3] == 1 ? "" : "s", of[EVN_CHECKED_SAME], of[EVN_CHECKED_MOVED]);
    if (of[EVN_CHECKED_NEW] > 0)
        fprintf(to, ", %zu without a record", of[EVN_CHECKED_NEW]);
    if (of[EVN_CHECKED_NOT_RUN] > 0)
        fprintf(to, ", %zu not driven", of[EVN_CHECKED_NOT_RUN]);
    if (left_out > 0)
        fprintf(to, "; %zu left out", left_out);
    fputs(".\n", to);
    return made;
}
