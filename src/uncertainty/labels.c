/* Looks for labels of errs_with that nothing else bears while a near one is borne. */
#include "uncertainty/labels.h"
#include "core/words.h"
#include <string.h>

static const char *label_of(const evn_claim *claim)
{
    return claim->entry ? claim->entry->errs_with : claim->usual->errs_with;
}

/* Whether two claims are of one statement: the same entry, in whatever trucks use the file it stands in. */
static bool same_statement(const evn_claims *c, const evn_claim *a, const evn_claim *b)
{
    const evn_value *one = evn_claim_entry_place(c, a), *other = evn_claim_entry_place(c, b);
    if (!one || !other)
        return a->entry == b->entry;
    return one->line == other->line && one->column == other->column && strcmp(one->file, other->file) == 0;
}

/* Whether only the statement of the k-th claim bears its label, of which that claim is the first. */
static bool is_alone(const evn_claims *c, evn_claim *const *list, size_t count, size_t k)
{
    for (size_t i = 0; i < count; i++) {
        const char *label = label_of(list[i]);
        if (i == k || !label || strcmp(label, label_of(list[k])) != 0)
            continue;
        if (i < k || !same_statement(c, list[i], list[k]))
            return false;
    }
    return true;
}

/* The others that are borne. */
static size_t others(evn_claim *const *list, size_t count, const char *label, const char **out)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
        const char *other = label_of(list[i]);
        if (other && strcmp(other, label) != 0)
            out[found++] = other;
    }
    return found;
}

void evn_labels_look(evn_claims *c, evn_claim *const *list, size_t count)
{
    const char **names = evn_arena_take(c->aside, (count + 1) * sizeof *names);
    if (!names) {
        evn_claims_no_memory(c);
        return;
    }
    for (size_t k = 0; k < count; k++) {
        const char *label = list[k]->entry ? label_of(list[k]) : NULL;
        if (!label || !is_alone(c, list, count, k))
            continue;
        const char *near = evn_nearest(label, names, others(list, count, label, names));
        if (near)
            evn_say(c->report, EVN_FAULT_LONE_LABEL, evn_place_spot(evn_claim_entry_place(c, list[k]), c->report),
                    evn_nowhere, "nothing else errs with '%s', so that it errs by itself; nearest is '%s'", label,
                    near);
    }
}
