/* Runs of a comparison that are driven together, and trucks that are left out. */
#include "lineup/compare_work.h"
#include <math.h>

evn_load_case evn_compare_load_case_of(const evn_comparison *c, const evn_compare_side *s)
{
    evn_load_case own = c->ask.load_case;
    if (!isnan(s->given.payload_kg))
        own.payload_kg = s->given.payload_kg;
    for (size_t k = 0; k < s->day[EVN_BASIS_OWN].count; k++)
        own.payload_kg = fmax(k > 0 ? own.payload_kg : 0, s->day[EVN_BASIS_OWN].phase[k].payload_kg);
    return own;
}

evn_run *evn_compare_add_run(evn_compare_work *w, const evn_compare_side *s, evn_outcome *o)
{
    evn_run *run = &w->run[w->count];
    *run = (evn_run){.rig = s->rig,
                     .truck = s->who->truck,
                     .load_case = evn_compare_load_case_of(w->of, s),
                     .cycle = w->of->cycle,
                     .driving = w->of->ask.driving,
                     .report = o->report};
    w->outcome[w->count++] = o;
    return run;
}

void evn_compare_sample(evn_run *run, evn_samplers all)
{
    run->sampler = all.at;
    run->samplers = all.count;
}

bool evn_compare_drive(evn_compare_work *w)
{
    bool room = true;
    evn_runs_drive(&w->runs, w->run, w->count);
    for (size_t k = 0; k < w->count; k++) {
        w->outcome[k]->results = w->run[k].results;
        w->outcome[k]->status = w->run[k].status;
    }
    w->count = 0;
    for (size_t i = 0; i < w->of->count; i++)
        room = room && !w->of->side[i].reach.out_of_memory;
    return room;
}

bool evn_compare_renew(evn_outcome *o)
{
    bool strict = evn_report_is_strict(o->report);
    evn_outcome_end(o);
    return evn_outcome_begin(o, strict);
}

bool evn_compare_leave_out(evn_compare_side *s, const evn_report *reason)
{
    evn_outcome *common = &s->outcome[EVN_BASIS_COMMON], before = *common;
    s->in = false;
    bool begun = evn_outcome_begin(common, evn_report_is_strict(before.report));
    common->status = EVN_OUTCOME_LEFT_OUT;
    if (begun)
        evn_say(common->report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere, "left out of the common speed: %s",
                evn_outcome_why(reason));
    evn_outcome_end(&before);
    return begun;
}
