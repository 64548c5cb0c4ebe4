/* Drives kept runs on a pool of threads and counts, for each, the quantities that moved beyond their tolerance. */
#include "judge/check.h"
#include "core/arena.h"
#include "core/pool.h"
#include "trip/results.h"
#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

typedef struct run {
    evn_due due;
    evn_report *report;
    evn_rig *rig;
    evn_results *results;
    evn_checked_state state;
    const evn_moved_quantity *moved;
    size_t moved_count;
} run;

struct evn_check {
    evn_arena *arena;
    run *run;
    size_t count;
};

typedef struct work {
    evn_check *check;
    const evn_tolerances_file *tolerances;
    const evn_check_how *how;
    pthread_mutex_t lock;
    size_t done;
    bool stopped;
} work;

/* ------------------------------------------------------------------------------------------------ driving */

/* Asked from any thread, one at a time. */
static bool go_on(void *self, double done_share)
{
    work *w = self;
    (void)done_share;
    pthread_mutex_lock(&w->lock);
    double share = (double)w->done / (double)w->check->count;
    w->stopped = w->stopped || (w->how->go_on && !w->how->go_on(w->how->self, share));
    bool stopped = w->stopped;
    pthread_mutex_unlock(&w->lock);
    return !stopped;
}

static void drive(void *self, size_t index)
{
    work *w = self;
    run *r = &w->check->run[index];
    evn_watcher watcher = {.self = w, .go_on = go_on};
    if (go_on(w, 0) && evn_rig_make(r->due.truck, &r->due.ask.load_case, &r->rig, r->report)) {
        evn_course *course = evn_drive_course_of(r->rig, r->due.cycle, &r->due.ask.driving, NULL, r->report);
        if (course)
            evn_drive_course(r->rig, course, &r->due.ask.driving, &watcher, &evn_cvode, &r->results, r->report);
        evn_course_free(course);
    }
    pthread_mutex_lock(&w->lock);
    w->done++;
    pthread_mutex_unlock(&w->lock);
    go_on(w, 0);
}

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
static size_t count_moved(const run *r, const evn_tolerances_file *tolerances, evn_moved_quantity *to)
{
    const evn_numbers *kept = &r->due.kept->results;
    tally of = {to, 0};
    for (size_t k = 0; k < kept->count; k++) {
        double now = (double)NAN;
        bool there = evn_results_get(r->results, kept->name[k], &now);
        evn_moved_quantity q = evn_hold_quantity(tolerances, kept->name[k], kept->value[k], now);
        q.moved = there ? q.moved : EVN_MOVED_GONE;
        note(&of, q);
    }
    evn_quantity what;
    double now;
    for (size_t k = 0; evn_results_at(r->results, k, &what, &now); k++)
        if (evn_result_is_kept(what.key) && !is_in(kept, what.key))
            note(&of, (evn_moved_quantity){what.key, EVN_MOVED_NEW, (double)NAN, now, (double)NAN});
    return of.count;
}

/* False when memory is out. */
static bool compare(evn_check *check, run *r, const evn_tolerances_file *tolerances)
{
    const evn_kept_run_file *kept = r->due.kept;
    if (!r->results || strcmp(evn_results_status(r->results), "interrupted") == 0) {
        r->state = EVN_CHECKED_NOT_RUN;
        return true;
    }
    if (kept->results.count == 0 || !kept->status) {
        r->state = EVN_CHECKED_NEW;
        return true;
    }
    r->moved_count = count_moved(r, tolerances, NULL);
    evn_moved_quantity *moved = evn_arena_take(check->arena, (r->moved_count + 1) * sizeof *moved);
    if (!moved)
        return false;
    count_moved(r, tolerances, moved);
    r->moved = moved;
    bool same_end = strcmp(kept->status, evn_results_status(r->results)) == 0;
    r->state = same_end && r->moved_count == 0 ? EVN_CHECKED_SAME : EVN_CHECKED_MOVED;
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool set_up(evn_check *check, const evn_due *due, size_t count)
{
    check->arena = evn_arena_new();
    check->run = calloc(count + 1, sizeof *check->run);
    if (!check->arena || !check->run)
        return false;
    check->count = count;
    for (size_t k = 0; k < count; k++) {
        check->run[k].due = due[k];
        check->run[k].report = evn_report_new();
        if (!check->run[k].report)
            return false;
    }
    return true;
}

evn_check *evn_check_runs(const evn_due *due, size_t count, const evn_tolerances_file *tolerances,
                          const evn_check_how *how, evn_report *report)
{
    evn_check *check = calloc(1, sizeof *check);
    work w = {.check = check, .tolerances = tolerances, .how = how, .lock = PTHREAD_MUTEX_INITIALIZER};
    bool made = check && set_up(check, due, count);
    if (made)
        evn_pool_run(how->threads, count, drive, &w);
    for (size_t k = 0; made && k < count; k++)
        made = compare(check, &check->run[k], tolerances);
    pthread_mutex_destroy(&w.lock);
    if (made && w.stopped)
        evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                "interrupted; what had finished by then is there");
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
        evn_results_free(check->run[k].results);
        evn_rig_free(check->run[k].rig);
        evn_report_free(check->run[k].report);
    }
    if (check->arena)
        evn_arena_free(check->arena);
    free(check->run);
    free(check);
}

size_t evn_check_count(const evn_check *check) { return check->count; }

bool evn_check_at(const evn_check *check, size_t index, evn_checked *out)
{
    if (index >= check->count)
        return false;
    const run *r = &check->run[index];
    *out = (evn_checked){r->due.name, r->state, r->results, r->report, r->moved_count};
    return true;
}

bool evn_check_moved_at(const evn_check *check, size_t index, size_t quantity, evn_moved_quantity *out)
{
    if (index >= check->count || quantity >= check->run[index].moved_count)
        return false;
    *out = check->run[index].moved[quantity];
    return true;
}
