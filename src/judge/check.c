/* Kept runs are driven again, and each result is held against what was kept, by its tolerance. */
#include "judge/check.h"
#include "core/arena.h"
#include "runs/runs.h"
#include "trip/results.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct verdict { /* on one run */
    evn_due due;
    evn_checked_state state;
    const evn_moved_quantity *moved;
    size_t moved_count;
} verdict;

struct evn_check {
    evn_arena *arena;
    evn_run *run; /* [count], of their own allocation, and so are the verdicts */
    verdict *verdict;
    size_t count;
};

/* ------------------------------------------------------------------------------------------------ comparing */

static bool is_in(const evn_numbers *kept, const char *key)
{
    for (size_t k = 0; k < kept->count; k++)
        if (strcmp(kept->name[k], key) == 0)
            return true;
    return false;
}

typedef struct tally {
    evn_moved_quantity *to; /* NULL while counting */
    size_t count;
} tally;

static void note(tally *of, evn_moved_quantity q)
{
    if (q.moved == EVN_MOVED_NOT)
        return;
    if (of->to)
        of->to[of->count] = q;
    of->count++;
}

/* What is there and was not kept is no difference, unless it is always kept. */
static size_t count_moved(const evn_numbers *kept, const evn_results *results, const evn_tolerances_file *tolerances,
                          evn_moved_quantity *to)
{
    tally of = {to, 0};
    for (size_t k = 0; k < kept->count; k++) {
        double now = (double)NAN;
        bool there = evn_results_get(results, kept->name[k], &now);
        evn_moved_quantity q = evn_hold_quantity(tolerances, kept->name[k], kept->value[k], now);
        q.moved = there ? q.moved : EVN_MOVED_GONE;
        note(&of, q);
    }
    evn_quantity what;
    double now;
    for (size_t k = 0; evn_results_at(results, k, &what, &now); k++)
        if (evn_result_is_kept(what.key) && !is_in(kept, what.key))
            note(&of, (evn_moved_quantity){what.key, EVN_MOVED_NEW, (double)NAN, now, (double)NAN});
    return of.count;
}

/* False when memory is out. */
static bool compare(evn_check *check, size_t index, const evn_tolerances_file *tolerances)
{
    const evn_run *run = &check->run[index];
    verdict *v = &check->verdict[index];
    const evn_kept_run_file *kept = v->due.kept;
    if (!run->results || strcmp(run->status, "interrupted") == 0) {
        v->state = EVN_CHECKED_NOT_RUN;
        return true;
    }
    if (kept->results.count == 0 || !kept->status) {
        v->state = EVN_CHECKED_NEW;
        return true;
    }
    v->moved_count = count_moved(&kept->results, run->results, tolerances, NULL);
    evn_moved_quantity *moved = evn_arena_take(check->arena, (v->moved_count + 1) * sizeof *moved);
    if (!moved)
        return false;
    count_moved(&kept->results, run->results, tolerances, moved);
    v->moved = moved;
    bool same_end = strcmp(kept->status, run->status) == 0;
    v->state = same_end && v->moved_count == 0 ? EVN_CHECKED_SAME : EVN_CHECKED_MOVED;
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool set_up(evn_check *check, const evn_due *due, size_t count)
{
    check->arena = evn_arena_new();
    check->run = calloc(count + 1, sizeof *check->run);
    check->verdict = calloc(count + 1, sizeof *check->verdict);
    if (!check->arena || !check->run || !check->verdict)
        return false;
    check->count = count;
    for (size_t k = 0; k < count; k++) {
        check->verdict[k].due = due[k];
        check->run[k] = (evn_run){.truck = due[k].truck,
                                  .load_case = due[k].ask.load_case,
                                  .cycle = due[k].cycle,
                                  .driving = due[k].ask.driving,
                                  .report = evn_report_new()};
        if (!check->run[k].report)
            return false;
    }
    return true;
}

/* How many have what they need, which are the first. */
static size_t say_unread(evn_check *check)
{
    size_t driven = 0;
    while (driven < check->count && check->run[driven].truck)
        driven++;
    for (size_t k = driven; k < check->count; k++)
        evn_say(check->run[k].report, EVN_FAULT_CANNOT_READ, evn_nowhere, evn_nowhere,
                "its truck or its cycle cannot be read; expected files that are there and right");
    return driven;
}

static void drive(evn_check *check, size_t driven, const evn_check_how *how, evn_report *report)
{
    evn_runs runs;
    evn_runs_begin(&runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    evn_runs_drive(&runs, check->run, driven);
    if (evn_runs_stopped(&runs))
        evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                "interrupted; what had finished by then is there");
    evn_runs_end(&runs);
}

evn_check *evn_check_runs(const evn_due *due, size_t count, const evn_tolerances_file *tolerances,
                          const evn_check_how *how, evn_report *report)
{
    evn_check *check = calloc(1, sizeof *check);
    bool made = check && set_up(check, due, count);
    if (made)
        drive(check, say_unread(check), how, report);
    for (size_t k = 0; made && k < count; k++)
        made = compare(check, k, tolerances);
    if (made)
        return check;
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out checking");
    evn_check_free(check);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ calls */

void evn_check_free(evn_check *check)
{
    if (!check)
        return;
    for (size_t k = 0; check->run && k < check->count; k++) {
        evn_run_forget(&check->run[k]);
        evn_report_free(check->run[k].report);
    }
    if (check->arena)
        evn_arena_free(check->arena);
    free(check->run);
    free(check->verdict);
    free(check);
}

size_t evn_check_count(const evn_check *check) { return check ? check->count : 0; }

bool evn_check_at(const evn_check *check, size_t index, evn_checked *out)
{
    if (!check || !out || index >= check->count)
        return false;
    const evn_run *run = &check->run[index];
    const verdict *v = &check->verdict[index];
    *out = (evn_checked){v->due.name, v->state, run->results, run->report, v->moved_count};
    return true;
}

bool evn_check_moved_at(const evn_check *check, size_t index, size_t quantity, evn_moved_quantity *out)
{
    if (!check || !out || index >= check->count || quantity >= check->verdict[index].moved_count)
        return false;
    *out = check->verdict[index].moved[quantity];
    return true;
}
