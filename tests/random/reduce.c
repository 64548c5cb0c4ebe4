/* Makes failing cases smaller: keys dropped, lists halved, numbers rounded, one at a time. */
#include "reduce.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* For a run that does not end: sooner than the whole time, of which the smaller case is judged again by its caller. */
enum { PATIENCE_S = 4 };

typedef struct reducing {
    const random_case *of;
    trial_fault fault;
    const char *folder;
    bool changed, could_not_write;
} reducing;

static bool still_fails(reducing *r)
{
    if (!case_write(r->of, r->folder)) {
        r->could_not_write = true;
        return false;
    }
    trial_verdict v = trial_drive(r->folder, r->fault == TRIAL_NOT_ENDED ? PATIENCE_S : TRIAL_WITHIN_S);
    return v.fault[r->fault];
}

static void try_drop(reducing *r, draft *d)
{
    d->dropped = true;
    if (still_fails(r))
        r->changed = true;
    else
        d->dropped = false;
}

/* All lists of a map that are as long as this one: axis and values go together. */
enum { TOGETHER_MOST = 8 };
static size_t lists_like(draft *map, const draft *like, draft *out[TOGETHER_MOST])
{
    size_t count = 0;
    for (draft *d = map->first; d && count < TOGETHER_MOST; d = d->next)
        if (d->kind == DRAFT_LIST && d->count == like->count)
            out[count++] = d;
    return count;
}

static void try_shorten(reducing *r, draft *map)
{
    for (draft *d = map->first; d; d = d->next) {
        draft *together[TOGETHER_MOST];
        size_t from = d->count, count = lists_like(map, d, together);
        if (d->dropped || d->kind != DRAFT_LIST || from < 2)
            continue;
        for (size_t k = 0; k < count; k++)
            together[k]->count = from / 2;
        bool fails = still_fails(r);
        r->changed = r->changed || fails;
        for (size_t k = 0; !fails && k < count; k++)
            together[k]->count = from;
    }
}

static double rounded(double x)
{
    char text[40];
    snprintf(text, sizeof text, "%.2g", x);
    return strtod(text, NULL);
}

static void try_round(reducing *r, draft *d)
{
    double before = d->number;
    if (d->kind != DRAFT_NUMBER || rounded(before) == before)
        return;
    d->number = rounded(before);
    if (!still_fails(r))
        d->number = before;
}

static void reduce_map(reducing *r, draft *map)
{
    for (draft *d = map->first; d && !r->could_not_write; d = d->next) {
        if (d->dropped)
            continue;
        try_drop(r, d);
        if (!d->dropped && (d->kind == DRAFT_MAP || d->kind == DRAFT_STEPS || d->kind == DRAFT_TABLE))
            reduce_map(r, d);
        if (!d->dropped)
            try_round(r, d);
    }
    try_shorten(r, map);
}

bool case_reduce(random_case *c, trial_fault fault, const char *folder)
{
    enum { ROUNDS_MOST = 4 };
    reducing r = {c, fault, folder, true, false};
    for (int k = 0; k < ROUNDS_MOST && r.changed && !r.could_not_write; k++) {
        r.changed = false;
        reduce_map(&r, c->kept);
        reduce_map(&r, c->cycle);
        reduce_map(&r, c->truck);
    }
    return case_write(c, folder) && !r.could_not_write;
}
