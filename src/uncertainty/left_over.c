/* Drops values that fall with a datum of which nothing rises any longer. */
#include "uncertainty/left_over.h"
#include <math.h>
#include <string.h>

/* Whether both are in one object, stated with one label. */
static bool goes_with(const evn_claim *a, const evn_claim *b)
{
    return a->entry && b->entry && a->in == b->in && a->truck == b->truck && a->entry->errs_with &&
           b->entry->errs_with && strcmp(a->entry->errs_with, b->entry->errs_with) == 0;
}

/* `counts`: by the order of claims, from 1 on. */
static bool is_left_over(const evn_claims *c, const bool *counts, const evn_claim *claim)
{
    bool rose = false;
    if (!claim->entry || !(claim->half_width < 0))
        return false;
    for (size_t k = 0; k < c->count; k++) {
        const evn_claim *other = &c->at[k];
        if (!(other->half_width > 0) || !goes_with(claim, other))
            continue;
        if (counts[other->order])
            return false;
        rose = true;
    }
    return rose;
}

static void say(evn_claims *c, const evn_claim *claim)
{
    const char *path = evn_claim_whole_path(c, claim, claim->path);
    evn_say(
        c->report, EVN_FAULT_LEFT_OVER, evn_place_spot(evn_claim_entry_place(c, claim), c->report), evn_nowhere,
        "%s falls where what errs with '%s' rises, and all of that is stated anew: what falls with it in this truck "
        "errs no longer; state it beside, with the errs_with of what is stated anew",
        path ? path : claim->path, claim->entry->errs_with);
}

static bool is_said(evn_claim *const *dropped, size_t count, const evn_claim *claim)
{
    for (size_t k = 0; k < count; k++)
        if (goes_with(dropped[k], claim))
            return true;
    return false;
}

bool evn_left_over_drop(evn_claims *c, evn_claim **list, size_t *count)
{
    bool *counts = evn_arena_take(c->aside, (c->count + 1) * sizeof *counts);
    evn_claim **dropped = evn_arena_take(c->aside, (*count + 1) * sizeof *dropped);
    size_t kept = 0, gone = 0;
    if (!counts || !dropped)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < *count; k++)
        counts[list[k]->order] = true;
    for (size_t k = 0; k < *count; k++) {
        evn_claim *claim = list[k];
        if (!is_left_over(c, counts, claim)) {
            list[kept++] = claim;
            continue;
        }
        if (!is_said(dropped, gone, claim))
            say(c, claim);
        dropped[gone++] = claim;
    }
    *count = kept;
    return true;
}
