/* Threads that drive variants, and the rows that they leave. */
#define _POSIX_C_SOURCE 200809L
#include "vary/crew.h"
#include <stdlib.h>
#include <string.h>

/* Rows that wait at most, and for how long: what an end of the program loses. */
enum { PENDING_MOST = 256, WAIT_MS = 1000, TELL_MS = 100, MS_PER_S = 1000, NS_PER_MS = 1000000 };

static struct timespec now(void)
{
    struct timespec at = {0};
    clock_gettime(CLOCK_MONOTONIC, &at);
    return at;
}

static bool is_over(const struct timespec *since, const struct timespec *at, long ms)
{
    return (at->tv_sec - since->tv_sec) * MS_PER_S + (at->tv_nsec - since->tv_nsec) / NS_PER_MS >= ms;
}

/* ------------------------------------------------------------------------------------------------ with the lock */

static void tell(evn_crew *c, bool always)
{
    struct timespec at = now();
    if (c->stopped || !c->how->go_on || (!always && !is_over(&c->told, &at, TELL_MS)))
        return;
    c->told = at;
    c->stopped = !c->how->go_on(c->how->self, &c->progress);
}

static void write_pending(evn_crew *c)
{
    if (c->count > 0 && !c->failed && !evn_store_put(c->store, c->is, c->pending, c->count, c->report))
        c->failed = true;
    c->count = 0;
    c->written = now();
}

static void keep(evn_crew *c, const evn_row *row)
{
    struct timespec at = now();
    evn_row *to = &c->pending[c->count++];
    double *values = to->value;
    *to = *row;
    to->value = values;
    memcpy(values, row->value, c->is->columns->count * sizeof *values);
    c->progress.done++;
    c->progress.driven++;
    c->progress.failed += strcmp(row->status, "finished") != 0;
    if (c->count == PENDING_MOST || is_over(&c->written, &at, WAIT_MS))
        write_pending(c);
    tell(c, false);
}

/* ------------------------------------------------------------------------------------------------ calls */

/* While a variant is driven. */
static bool go_on(void *self, double done_share)
{
    evn_crew *c = self;
    (void)done_share;
    pthread_mutex_lock(&c->lock);
    tell(c, false);
    bool on = !c->stopped && !c->failed;
    pthread_mutex_unlock(&c->lock);
    return on;
}

bool evn_crew_begin(evn_crew *c, const evn_variants_of *of, const evn_store_is *is, evn_store *store,
                    const evn_vary_how *how, evn_report *report)
{
    *c = (evn_crew){.of = *of, .is = is, .how = how, .store = store, .report = report};
    pthread_mutex_init(&c->lock, NULL);
    c->of.self = c;
    c->of.go_on = go_on;
    c->pending = calloc(PENDING_MOST, sizeof *c->pending);
    c->values = calloc(PENDING_MOST * (is->columns->count + 1), sizeof *c->values);
    c->written = now();
    bool room = c->pending && c->values;
    for (size_t k = 0; room && k < PENDING_MOST; k++)
        c->pending[k].value = c->values + k * (is->columns->count + 1);
    c->progress.done = evn_store_count(store);
    c->progress.failed = evn_store_failed(store);
    if (!room)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the variants");
    return room;
}

bool evn_crew_end(evn_crew *c)
{
    if (c->pending)
        write_pending(c);
    tell(c, true);
    free(c->pending);
    free(c->values);
    pthread_mutex_destroy(&c->lock);
    return !c->failed;
}

bool evn_crew_goes_on(evn_crew *c) { return go_on(c, 0); }

static bool drive(evn_crew *c, evn_row *row)
{
    bool room = evn_variant_drive(&c->of, row);
    bool whole = room && strcmp(row->status, "interrupted") != 0;
    pthread_mutex_lock(&c->lock);
    if (!room && !c->failed) {
        evn_say(c->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a variant");
        c->failed = true;
    }
    if (whole && !c->failed)
        keep(c, row);
    bool on = whole && !c->failed;
    pthread_mutex_unlock(&c->lock);
    return on;
}

bool evn_crew_drive_new(evn_crew *c, evn_row *row)
{
    pthread_mutex_lock(&c->lock);
    bool on = !c->stopped && !c->failed, there = on && evn_store_has(c->store, row->id);
    pthread_mutex_unlock(&c->lock);
    return on && (there || drive(c, row));
}

/* What waits to be written is there too. */
static bool find_pending(evn_crew *c, evn_row *row)
{
    for (size_t k = 0; k < c->count; k++)
        if (c->pending[k].id == row->id) {
            memcpy(row->value, c->pending[k].value, c->is->columns->count * sizeof *row->value);
            row->finished = c->pending[k].finished;
            row->may_be = c->pending[k].may_be;
            return true;
        }
    return false;
}

bool evn_crew_drive(evn_crew *c, evn_row *row)
{
    pthread_mutex_lock(&c->lock);
    bool on = !c->stopped && !c->failed;
    bool there = on && (find_pending(c, row) || evn_store_get(c->store, c->is, row->id, row));
    pthread_mutex_unlock(&c->lock);
    return on && (there || drive(c, row));
}
