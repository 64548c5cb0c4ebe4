/* Of all claims on a number those that count, tried at both ends, told apart by datum, and sorted. */
#include "uncertainty/data.h"
#include "core/change.h"
#include "core/words.h"
#include "uncertainty/claims.h"
#include "uncertainty/identity.h"
#include <math.h>
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

static list sorted(const list *of, int (*order)(const void *, const void *))
{
    if (of->count > 1)
        qsort(of->at, of->count, sizeof *of->at, order);
    return *of;
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

/* ------------------------------------------------------------------------------------------------ both ends */

enum { TWINS_MOST = 64 };

typedef struct trial {
    evn_claims *claims;
    const evn_claim *claim; /* the first on the number */
    double half;            /* of all on it together */
    bool adds;
    evn_claim *twin[TWINS_MOST]; /* it, and those on numbers that err as one with it in the same truck */
    size_t twins;
} trial;

static bool same_text(const char *a, const char *b) { return a == b || (a && b && strcmp(a, b) == 0); }

/* Whether two claims err as one on the like number of another object: of a part that a truck has twice, motors of one
 * drive unit, which must be alike. */
static bool are_twins(const evn_claims *c, const evn_claim *a, const evn_claim *b)
{
    if (!b->entry || a->in != b->in || a->truck != b->truck || a->field != b->field || *a->at != *b->at ||
        a->half_width != b->half_width || strcmp(a->path + strlen(a->of), b->path + strlen(b->of)) != 0)
        return false;
    if (a->entry->errs_with || b->entry->errs_with)
        return same_text(a->entry->errs_with, b->entry->errs_with);
    const evn_value *x = evn_claim_entry_place(c, a), *y = evn_claim_entry_place(c, b);
    return x && y && same_text(x->file, y->file) && x->line == y->line && x->column == y->column;
}

static void find_twins(trial *t, const list *l)
{
    t->twins = 0;
    for (size_t k = 0; k < l->count && t->twins < TWINS_MOST; k++)
        if (l->at[k] == t->claim || are_twins(t->claims, t->claim, l->at[k]))
            t->twin[t->twins++] = l->at[k];
}

static bool refuse(const trial *t, evn_fault fault, double end, const char *why)
{
    const evn_value *row = evn_claim_entry_place(t->claims, t->claim);
    const char *path = evn_claim_whole_path(t->claims, t->claim, t->claim->path);
    evn_say(t->claims->report, fault, evn_place_spot(row, t->claims->report), evn_nowhere,
            "%s would be %.6g at an end of %s, %.6g; %s", path ? path : t->claim->path, end,
            t->adds ? "its half widths together" : "its half width", t->half, why);
    return false;
}

/* Warnings stand beside it, what is unusual. */
static bool first_error(const evn_report *report, evn_finding *out)
{
    for (size_t k = 0; evn_report_at(report, k, out); k++)
        if (out->severity == EVN_ERROR)
            return true;
    return false;
}

/* Whether what holds the number takes it at an end; the rules of the truck around it too. */
static bool rules_take(const trial *t, double end)
{
    void *copy;
    const evn_object *root = evn_claim_root(t->claims, t->claim, &copy);
    evn_report *aside = evn_report_new();
    evn_change change[TWINS_MOST];
    evn_finding said;
    double nominal = *t->claim->at;
    for (size_t k = 0; k < t->twins; k++)
        change[k] = (evn_change){t->twin[k]->path, end};
    bool taken = aside && evn_numbers_set(root, copy, change, t->twins, aside);
    for (size_t k = 0; k < t->twins; k++)
        *t->twin[k]->at = nominal;
    if (!aside)
        evn_claims_no_memory(t->claims);
    else if (!taken && first_error(aside, &said))
        refuse(t, EVN_FAULT_DISAGREES, end, said.text);
    evn_report_free(aside);
    return taken;
}

static bool end_fits(const trial *t, double end)
{
    char expected[EVN_BOUNDS_BYTES + sizeof "expected "] = "expected ";
    const evn_field *f = t->claim->field;
    if (end >= f->least && end <= f->most)
        return rules_take(t, end);
    evn_bounds_text(expected + strlen(expected), f->least, f->most, f->key);
    return refuse(t, EVN_FAULT_OUT_OF_RANGE, end, expected);
}

/* A default is no statement of the file: where a bound is near it is as wide as that leaves room. */
static void narrow(evn_claim *claim)
{
    double room = fmin(*claim->at - claim->field->least, claim->field->most - *claim->at);
    claim->half_width = fmin(claim->half_width, fmax(room, 0));
}

static bool try_number(evn_claims *c, const list *l, evn_claim **on, size_t count)
{
    trial t = {.claims = c, .claim = on[0], .adds = count > 1};
    if (!on[0]->entry) {
        narrow(on[0]);
        return true;
    }
    for (size_t i = 0; i < count; i++)
        t.half += fabs(on[i]->half_width);
    if (t.half == 0)
        return true;
    find_twins(&t, l);
    return end_fits(&t, *on[0]->at - t.half) && end_fits(&t, *on[0]->at + t.half);
}

/* All that is wrong is said. */
static bool try_all(evn_claims *c, const list *l)
{
    bool all = true;
    for (size_t k = 0, claims; k < l->count && !c->failed; k += claims) {
        claims = on_one_number(l, k);
        all = try_number(c, l, &l->at[k], claims) && all;
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
                                                 .nominal = *claim->at,
                                                 .half_width = claim->half_width,
                                                 .shape = claim->shape,
                                                 .least = claim->field->least,
                                                 .most = claim->field->most};
    return whole || evn_claims_no_memory(c);
}

static bool assemble(evn_claims *c, const list *l, evn_data *out)
{
    size_t *datum_of = evn_arena_take(c->aside, (l->count + 1) * sizeof *datum_of);
    out->moved = evn_arena_take(c->arena, (l->count + 1) * sizeof *out->moved);
    if (!datum_of || !out->moved)
        return evn_claims_no_memory(c);
    if (!evn_data_identify(c, l->at, l->count, datum_of, out))
        return false;
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

static bool gather(evn_claims *c, evn_data *out)
{
    if (!evn_claims_gather(c))
        return false;
    list all = {evn_arena_take(c->aside, (c->count + 1) * sizeof *all.at), c->count};
    if (!all.at)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < c->count; k++)
        all.at[k] = &c->at[k];
    sorted(&all, by_number);
    keep_outermost(&all);
    if (!try_all(c, &all))
        return false;
    drop_what_stays(&all);
    sorted(&all, by_order);
    return assemble(c, &all, out);
}

bool evn_data_gather(const evn_erring *of, evn_arena *arena, evn_data *out, evn_report *report)
{
    evn_claims c = {.of = of, .arena = arena, .aside = evn_arena_new(), .report = report};
    *out = (evn_data){0};
    bool gathered = c.aside ? gather(&c, out) : evn_claims_no_memory(&c);
    evn_arena_free(c.aside);
    return gathered;
}
