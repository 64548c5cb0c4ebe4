/* Lots of cases. */
#include "lot.h"

static void count(lot_tally *t, uint64_t index, const trial_verdict *v)
{
    t->driven++;
    t->failed += trial_failed(v);
    t->ends[v->end]++;
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        t->faults[k] += v->fault[k];
    t->processor_s += v->processor_s;
    if (v->processor_s > t->longest_s) {
        t->longest_s = v->processor_s;
        t->longest = index;
    }
}

lot_tally lot_drive(const lot *l)
{
    lot_tally tally = {0};
    bool more = true;
    for (uint64_t k = l->first; more && k < l->first + l->count; k++) {
        random_case c = case_invent(l->seed, k, l->wide);
        more = case_write(&c, l->folder);
        tally.could_not_write = !more;
        if (more) {
            trial_verdict v = trial_drive(l->folder, TRIAL_WITHIN_S);
            count(&tally, k, &v);
            more = !l->judged || l->judged(l->self, k, &c, &v);
        }
        case_free(&c);
    }
    return tally;
}

double lot_accepted_share(const lot_tally *t)
{
    size_t refused = t->ends[TRIAL_REFUSED_FILE] + t->ends[TRIAL_REFUSED_RIG];
    return t->driven ? 1 - (double)refused / (double)t->driven : 0;
}
