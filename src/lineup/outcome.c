/* Differences of one truck's results against those of the first. */
#include "lineup/outcome.h"
#include "runs/runs.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool evn_outcome_begin(evn_outcome *o, bool strict)
{
    *o = (evn_outcome){.status = EVN_RUN_FAILED, .report = evn_report_new()};
    if (o->report)
        evn_report_be_strict(o->report, strict);
    return o->report;
}

void evn_outcome_end(evn_outcome *o)
{
    evn_results_free(o->results);
    evn_report_free(o->report);
    free(o->difference);
}

bool evn_outcome_finished(const evn_outcome *o) { return strcmp(o->status, "finished") == 0; }

const char *evn_outcome_why(const evn_report *report)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        if (found.severity == EVN_ERROR)
            return found.text;
    return "it did not finish";
}

static evn_spot spot_in(evn_report *report, const char *file, unsigned line, unsigned column)
{
    return file ? (evn_spot){evn_report_file(report, file), line, column} : evn_nowhere;
}

void evn_outcome_say_why(const evn_report *of, const char *name, evn_report *whole)
{
    evn_finding found;
    size_t said = 0;
    for (size_t i = 0; evn_report_at(of, i, &found); i++) {
        if (found.severity != EVN_ERROR)
            continue;
        evn_spot at = spot_in(whole, found.file, found.line, found.column);
        evn_spot used_from = spot_in(whole, found.used_from_file, found.used_from_line, found.used_from_column);
        evn_say(whole, EVN_FAULT_NOT_FINISHED, at, used_from, "%s: %s", name, found.text);
        said++;
    }
    if (said == 0)
        evn_say(whole, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere, "%s: %s", name, evn_outcome_why(of));
}

/* ------------------------------------------------------------------------------------------------ differences */

/* Yes and no have no difference, and a balance error says nothing about a truck. */
static bool can_differ(const evn_quantity *what)
{
    return what->kind != EVN_YES_NO && strcmp(what->key, "balance_error") != 0;
}

static double percent_of(double value, double first)
{
    if (value == first)
        return 0;
    return first != 0 ? 100 * (value - first) / fabs(first) : (double)NAN;
}

static bool put(evn_outcome *o, const char *group, evn_quantity what, double value, evn_arena *arena)
{
    size_t bytes = strlen(group) + strlen(what.key) + 2;
    char *key = evn_arena_take(arena, bytes);
    if (!key)
        return false;
    snprintf(key, bytes, "%s.%s", group, what.key);
    what.key = key;
    o->difference[o->difference_count++] = (evn_result){what, value};
    return true;
}

static bool put_both(evn_outcome *o, const evn_quantity *what, double value, double first, evn_arena *arena)
{
    evn_quantity percent = {what->key,        "%", "difference against the first truck, of the first's",
                            EVN_REAL,         1,   what->label,
                            what->short_label};
    return put(o, "difference", *what, value - first, arena) &&
           put(o, "percent", percent, percent_of(value, first), arena);
}

/* Room for twice so many more differences. */
static bool make_room(evn_outcome *o, size_t count)
{
    evn_result *larger = realloc(o->difference, (o->difference_count + 2 * count + 1) * sizeof *larger);
    o->difference = larger ? larger : o->difference;
    return larger;
}

static bool is_of_balance(const evn_quantity *what)
{
    static const char balance[] = "energy_balance.";
    return strncmp(what->key, balance, sizeof balance - 1) == 0;
}

/* The next row of the energy balance, in the order of the ledger; false: no more. */
static bool next_line(size_t *row, evn_quantity *what)
{
    while (evn_result_row_at((*row)++, what))
        if (is_of_balance(what))
            return true;
    return false;
}

void evn_balance_lines_add(evn_balance_lines *to, const evn_outcome *o)
{
    size_t row = 0;
    evn_quantity what;
    double value;
    for (int line = 0; evn_outcome_finished(o) && next_line(&row, &what); line++)
        to->told[line] = to->told[line] || evn_results_get(o->results, what.key, &value);
}

static double kwh_of(const evn_outcome *o, const char *key)
{
    double value;
    return evn_results_get(o->results, key, &value) ? value : 0;
}

static bool put_balance(evn_outcome *o, const evn_outcome *first, const evn_balance_lines *lines, evn_arena *arena)
{
    size_t row = 0;
    evn_quantity what;
    bool all = true;
    for (int line = 0; all && next_line(&row, &what); line++)
        if (lines->told[line])
            all = put_both(o, &what, kwh_of(o, what.key), kwh_of(first, what.key), arena);
    return all;
}

/* The energy balance as a whole, where its first line stands. */
bool evn_outcome_hold_against(evn_outcome *o, const evn_outcome *first, const evn_balance_lines *lines,
                              evn_arena *arena)
{
    if (!evn_outcome_finished(o) || !evn_outcome_finished(first))
        return true;
    size_t count = evn_results_count(o->results);
    bool all = make_room(o, count + EVN_LINE_COUNT), balance_told = false;
    for (size_t i = 0; all && i < count; i++) {
        evn_quantity what;
        double value, other;
        evn_results_at(o->results, i, &what, &value);
        if (is_of_balance(&what)) {
            all = balance_told || put_balance(o, first, lines, arena);
            balance_told = true;
        } else if (can_differ(&what) && evn_results_get(first->results, what.key, &other)) {
            all = put_both(o, &what, value, other, arena);
        }
    }
    return all;
}

static const evn_rig_figure *figure_of(const evn_rig *rig, const char *key)
{
    for (size_t i = 0; i < rig->figure_count; i++)
        if (strcmp(rig->figure[i].what.key, key) == 0)
            return &rig->figure[i];
    return NULL;
}

bool evn_outcome_weigh_against(evn_outcome *o, const evn_rig *rig, const evn_rig *first, evn_arena *arena)
{
    static const char masses[] = "masses.";
    if (!rig || !first)
        return true;
    bool all = make_room(o, rig->figure_count);
    for (size_t i = 0; all && i < rig->figure_count; i++) {
        const evn_rig_figure *own = &rig->figure[i], *other = figure_of(first, own->what.key);
        if (other && strncmp(own->what.key, masses, sizeof masses - 1) == 0)
            all = put_both(o, &own->what, own->value, other->value, arena);
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ calls */

const char *evn_outcome_status(const evn_outcome *o) { return o ? o->status : NULL; }
const evn_results *evn_outcome_results(const evn_outcome *o) { return o ? o->results : NULL; }
const evn_report *evn_outcome_report(const evn_outcome *o) { return o ? o->report : NULL; }
size_t evn_outcome_difference_count(const evn_outcome *o) { return o ? o->difference_count : 0; }

bool evn_outcome_difference_at(const evn_outcome *o, size_t index, evn_quantity *out, double *value)
{
    if (!o || !out || !value || index >= o->difference_count)
        return false;
    *out = o->difference[index].what;
    *value = o->difference[index].value;
    return true;
}
