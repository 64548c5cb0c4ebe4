/* Of all claims on a number those that count, told apart by datum, tried at both ends, and sorted. */
#include "uncertainty/data.h"
#include "core/change.h"
#include "core/words.h"
#include "uncertainty/claims.h"
#include "uncertainty/identity.h"
#include "uncertainty/labels.h"
#include "uncertainty/left_over.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct list { /* claims that count */
    evn_claim **at;
    size_t count;
} list;

/* ------------------------------------------------------------------------------------------------ which count */

static int by_number(const void *a, const void *b)
{
    const evn_claim *x = *(evn_claim *const *)a, *y = *(evn_claim *const *)b;
    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    if (x->rank != y->rank)
        return x->rank < y->rank ? -1 : 1;
    return x->order < y->order ? -1 : 1;
}

static int by_order(const void *a, const void *b)
{
    const evn_claim *x = *(evn_claim *const *)a, *y = *(evn_claim *const *)b;
    return x->order < y->order ? -1 : x->order > y->order;
}

static void sort(list *of, int (*order)(const void *, const void *))
{
    if (of->count > 1)
        qsort(of->at, of->count, sizeof *of->at, order);
}

/* Claims on one number stand together from `k` on; how many. */
static size_t on_one_number(const list *l, size_t k)
{
    size_t end = k + 1;
    while (end < l->count && l->at[end]->at == l->at[k]->at)
        end++;
    return end - k;
}

/* Those of the outermost of each number; one path for each. */
static void keep_outermost(list *l)
{
    size_t kept = 0;
    for (size_t k = 0, claims; k < l->count; k += claims) {
        claims = on_one_number(l, k);
        int rank = l->at[k]->rank;
        const char *path = l->at[k]->path;
        for (size_t i = k; i < k + claims; i++)
            if (l->at[i]->rank == rank) {
                l->at[i]->path = path;
                l->at[kept++] = l->at[i];
            }
    }
    l->count = kept;
}

/* ------------------------------------------------------------------------------------------------ bounds */

static bool refuse_bounds(evn_claims *c, const evn_claim *claim, double end, double half, bool adds)
{
    char bounds[EVN_BOUNDS_BYTES];
    const evn_value *row = evn_claim_entry_place(c, claim);
    const char *path = evn_claim_whole_path(c, claim, claim->path);
    evn_say(c->report, EVN_FAULT_OUT_OF_RANGE, evn_place_spot(row, c->report), evn_nowhere,
            "%s would be %.6g at an end of %s, %.6g; expected %s", path ? path : claim->path, end,
            adds ? "its half widths together" : "its half width", half,
            evn_bounds_text(bounds, claim->field->least, claim->field->most, claim->field->key));
    return false;
}

/* The share of a range about a number, from `low` below it to `high` above it, that its bounds leave room for. */
static double room_of(const evn_claim *claim, double low, double high)
{
    double below = fmax(*claim->at - claim->field->least, 0), above = fmax(claim->field->most - *claim->at, 0);
    return fmin(low > below ? below / low : 1, high > above ? above / high : 1);
}

static void narrow(evn_claims *c, evn_claim **on, size_t count, double half, double room)
{
    const evn_claim *stated = NULL;
    for (size_t i = 0; i < count; i++) {
        on[i]->half_width *= room;
        on[i]->offset *= room;
        stated = stated || !on[i]->entry ? stated : on[i];
    }
    if (!stated)
        return;
    const char *path = evn_claim_whole_path(c, stated, stated->path);
    evn_say(c->report, EVN_FAULT_NARROWED_RANGE, evn_place_spot(evn_claim_entry_place(c, stated), c->report),
            evn_nowhere,
            "%s is written over as %.6g, where its bounds leave a half width of %.6g of the %.6g that its part states; "
            "an entry of the truck or the lineup states it anew",
            path ? path : stated->path, stated->nominal, room * half, half);
}

/* Of all claims on a number together. A default, and what a part states of a value that was written over, is no
 * statement about this value: where a bound is near it is as wide as that leaves room, which is said of what a part
 * states. */
static bool fits_bounds(evn_claims *c, evn_claim **on, size_t count)
{
    double half = 0, offset = 0, value = *on[0]->at;
    bool stated = false;
    for (size_t i = 0; i < count; i++) {
        half += fabs(on[i]->half_width);
        offset += on[i]->offset;
        stated = stated || (on[i]->entry && !evn_claim_is_written_over(c, on[i]));
    }
    double room = room_of(on[0], half - offset, half + offset), middle = value + offset;
    if (room >= 1)
        return true;
    if (!stated)
        narrow(c, on, count, half, room);
    double end = middle - half < on[0]->field->least ? middle - half : middle + half;
    return !stated || refuse_bounds(c, on[0], end, half, count > 1);
}

/* All that is wrong is said. */
static bool all_fit_bounds(evn_claims *c, const list *l)
{
    bool all = true;
    for (size_t k = 0, claims; k < l->count && !c->failed; k += claims) {
        claims = on_one_number(l, k);
        all = fits_bounds(c, &l->at[k], claims) && all;
    }
    return all && !c->failed;
}

static void drop_what_stays(list *l)
{
    size_t kept = 0;
    for (size_t k = 0; k < l->count; k++)
        if (l->at[k]->half_width != 0)
            l->at[kept++] = l->at[k];
    l->count = kept;
}

/* ------------------------------------------------------------------------------------------------ what is moved */

static int by_place(const void *a, const void *b)
{
    const evn_moved *x = a, *y = b;
    if (x->in != y->in)
        return x->in < y->in ? -1 : 1;
    if (x->truck != y->truck)
        return x->truck < y->truck ? -1 : 1;
    int order = strcmp(x->path, y->path);
    return order != 0 ? order : x->datum < y->datum ? -1 : x->datum > y->datum;
}

/* False when memory is out. */
static bool add_moved(evn_claims *c, const evn_claim *claim, size_t datum, evn_data *out)
{
    const char *path = evn_claim_whole_path(c, claim, claim->path);
    const char *whole = path ? evn_arena_text(c->arena, path, strlen(path)) : NULL;
    out->moved[out->moved_count++] = (evn_moved){.datum = datum,
                                                 .in = claim->in,
                                                 .truck = claim->truck,
                                                 .path = claim->path,
                                                 .whole_path = whole,
                                                 .nominal = claim->nominal,
                                                 .half_width = claim->half_width,
                                                 .offset = claim->offset,
                                                 .shape = claim->shape,
                                                 .least = claim->field->least,
                                                 .most = claim->field->most};
    return whole || evn_claims_no_memory(c);
}

static bool assemble(evn_claims *c, const list *l, const size_t *datum_of, evn_data *out)
{
    out->moved = evn_arena_take(c->arena, (l->count + 1) * sizeof *out->moved);
    if (!out->moved)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < l->count; k++) {
        const evn_claim *claim = l->at[k];
        evn_datum *datum = &out->datum[datum_of[k]];
        uint64_t all = (UINT64_C(1) << c->of->count) - 1;
        datum->values++;
        datum->trucks |= claim->in == EVN_IN_TRUCK ? UINT64_C(1) << claim->truck : all;
        if (!add_moved(c, claim, datum_of[k], out))
            return false;
    }
    if (out->moved_count > 1)
        qsort(out->moved, out->moved_count, sizeof *out->moved, by_place);
    return true;
}

/* ------------------------------------------------------------------------------------------------ rules */

/* What errs as one in one truck, or in the cycle, on its way to an end. */
typedef struct trial {
    const evn_claim **moved;
    evn_change *change;
    size_t count;
    const evn_claim *stated; /* the first that an entry states; NULL: all by default */
} trial;

static void say_refused(evn_claims *c, const trial *t, double end, const char *why)
{
    char others[EVN_PHRASE_BYTES] = "";
    const evn_value *row = evn_claim_entry_place(c, t->stated);
    const char *path = evn_claim_whole_path(c, t->stated, t->stated->path);
    if (t->count > 1)
        snprintf(others, sizeof others, " (with %zu that err alike)", t->count - 1);
    evn_say(c->report, EVN_FAULT_DISAGREES, evn_place_spot(row, c->report), evn_nowhere,
            "%s would be %.6g at an end of its half width, %.6g%s; %s", path ? path : t->stated->path,
            t->stated->nominal + t->stated->offset + end * t->stated->half_width, fabs(t->stated->half_width), others,
            why);
}

/* Warnings, of what is unusual there, may stand before it. */
static bool first_error(const evn_report *report, evn_finding *out)
{
    for (size_t k = 0; evn_report_at(report, k, out); k++)
        if (out->severity == EVN_ERROR)
            return true;
    return false;
}

/* Whether all that holds the numbers takes them there; they are put back. */
static bool rules_take(evn_claims *c, const trial *t, double end)
{
    void *copy;
    const evn_object *root = evn_claim_root(c, t->moved[0], &copy);
    evn_report *aside = evn_report_new();
    evn_finding said;
    for (size_t k = 0; k < t->count; k++) {
        const evn_claim *m = t->moved[k];
        t->change[k] = (evn_change){m->path, m->nominal + m->offset + end * m->half_width};
    }
    bool taken = aside && evn_numbers_set(root, copy, t->change, t->count, aside);
    for (size_t k = 0; taken && k < t->count; k++)
        *t->moved[k]->at = t->moved[k]->nominal;
    if (!aside)
        evn_claims_no_memory(c);
    else if (!taken && first_error(aside, &said))
        say_refused(c, t, end, said.text);
    evn_report_free(aside);
    return taken;
}

static bool same_root(const evn_claim *a, const evn_claim *b) { return a->in == b->in && a->truck == b->truck; }

/* The claims of a datum from the k-th on that are in one object with it; each once, with the first of them. */
static bool collect(trial *t, const list *l, const size_t *datum_of, size_t k)
{
    t->count = 0;
    t->stated = NULL;
    for (size_t i = 0; i < l->count; i++) {
        if (datum_of[i] != datum_of[k] || !same_root(l->at[i], l->at[k]))
            continue;
        if (i < k)
            return false;
        t->moved[t->count++] = l->at[i];
        t->stated = t->stated || !l->at[i]->entry ? t->stated : l->at[i];
    }
    return t->stated;
}

static bool all_fit_rules(evn_claims *c, const list *l, const size_t *datum_of)
{
    trial t = {evn_arena_take(c->aside, (l->count + 1) * sizeof *t.moved),
               evn_arena_take(c->aside, (l->count + 1) * sizeof *t.change), 0, NULL};
    bool all = true;
    if (!t.moved || !t.change)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < l->count && !c->failed; k++)
        if (collect(&t, l, datum_of, k))
            all = rules_take(c, &t, -1) && rules_take(c, &t, 1) && all;
    return all && !c->failed;
}

/* A number that one datum moves twice would move by the sum of both. */
static bool once_each(evn_claims *c, const list *l, const size_t *datum_of, const evn_data *data)
{
    bool all = true;
    for (size_t k = 1; k < l->count; k++)
        for (size_t i = 0; i < k; i++) {
            const evn_claim *claim = l->at[k];
            if (l->at[i]->at != claim->at || datum_of[i] != datum_of[k])
                continue;
            const char *path = evn_claim_whole_path(c, claim, claim->path);
            evn_say(c->report, EVN_FAULT_DISAGREES, evn_place_spot(evn_claim_entry_place(c, claim), c->report),
                    evn_nowhere, "%s is named twice by what errs as one, '%s'; expected it once",
                    path ? path : claim->path, data->datum[datum_of[k]].label);
            all = false;
            break;
        }
    return all;
}

static bool gather(evn_claims *c, evn_data *out)
{
    if (!evn_claims_gather(c))
        return false;
    list all = {evn_arena_take(c->aside, (c->count + 1) * sizeof *all.at), c->count};
    if (!all.at)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < c->count; k++)
        all.at[k] = &c->at[k];
    sort(&all, by_number);
    keep_outermost(&all);
    if (!evn_left_over_drop(c, all.at, &all.count))
        return false;
    if (!all_fit_bounds(c, &all))
        return false;
    drop_what_stays(&all);
    sort(&all, by_order);
    size_t *datum_of = evn_arena_take(c->aside, (all.count + 1) * sizeof *datum_of);
    if (!datum_of)
        return evn_claims_no_memory(c);
    if (!evn_data_identify(c, all.at, all.count, datum_of, out))
        return false;
    evn_labels_look(c, all.at, all.count);
    return !c->failed && once_each(c, &all, datum_of, out) && all_fit_rules(c, &all, datum_of) &&
           assemble(c, &all, datum_of, out);
}

bool evn_data_gather(const evn_erring *of, evn_arena *arena, evn_data *out, evn_report *report)
{
    evn_claims c = {.of = of, .arena = arena, .aside = evn_arena_new(), .report = report};
    *out = (evn_data){0};
    bool gathered = c.aside ? gather(&c, out) : evn_claims_no_memory(&c);
    evn_arena_free(c.aside);
    return gathered;
}

/* Rows of one datum need not stand together. */
size_t evn_data_uneven(const evn_data *data)
{
    size_t uneven = 0;
    for (size_t d = 0; d < data->count; d++) {
        bool off = false;
        for (size_t k = 0; k < data->moved_count; k++)
            off = off || (data->moved[k].datum == d && data->moved[k].offset != 0);
        uneven += off;
    }
    return uneven;
}
