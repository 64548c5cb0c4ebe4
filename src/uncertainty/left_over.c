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
    evn_say(c->report, EVN_FAULT_LEFT_OVER, evn_place_spot(evn_claim_entry_place(c, claim), c->report), evn_nowhere,
            "%s falls where what errs with '%s' rises, and all of that is stated anew: it does not err by this entry; "
            "state it beside, with the errs_with of what is stated anew",
            path ? path : claim->path, claim->entry->errs_with);
}

bool evn_left_over_drop(evn_claims *c, evn_claim **list, size_t *count)
{
    const evn_uncertain_file *said = NULL;
    bool *counts = evn_arena_take(c->aside, (c->count + 1) * sizeof *counts);
    size_t kept = 0;
    if (!counts)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < *count; k++)
        counts[list[k]->order] = true;
    for (size_t k = 0; k < *count; k++) {
        if (!is_left_over(c, counts, list[k])) {
            list[kept++] = list[k];
            continue;
        }
        if (list[k]->entry != said)
            say(c, list[k]);
        said = list[k]->entry;
    }
    *count = kept;
    return true;
}
