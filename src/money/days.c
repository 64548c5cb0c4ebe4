/* Trucks as a lineup has them, driven over the day of its duty. */
#include "money/days.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ progress */

bool evn_days_go_on(void *self, double share)
{
    evn_days_progress *p = self;
    if (p->how->go_on && !p->how->go_on(p->how->self, fmin(p->from + p->span * share, 1)))
        p->stopped = true;
    return !p->stopped;
}

/* ------------------------------------------------------------------------------------------------ findings */

void evn_days_hand_on(const evn_report *aside, const char *truck, evn_report *report)
{
    evn_finding f;
    for (size_t k = 0; evn_report_at(aside, k, &f); k++) {
        if (f.severity != EVN_ERROR)
            continue;
        evn_spot at = evn_nowhere, used_from = evn_nowhere;
        if (f.file)
            at = (evn_spot){evn_report_file(report, f.file), f.line, f.column};
        evn_say(report, evn_fault_named(f.fault), at, used_from, "%s: %s", truck, f.text);
    }
}

void evn_days_say_not_finished(const char *truck, const char *what, const char *status, evn_report *report)
{
    evn_say(report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere, "%s %s: %s; there are no costs of it", truck,
            what, status);
}

/* ------------------------------------------------------------------------------------------------ days */

bool evn_days_drive(const evn_payback_of *of, size_t k, const evn_truck_file *t, const evn_duty_file *duty,
                    evn_paying *p, evn_days_progress *steps, evn_report *report)
{
    evn_day_how how = {.threads = steps->how->threads, .self = steps, .go_on = evn_days_go_on};
    evn_conditions ask = *of->ask;
    evn_report *aside = evn_report_new();
    if (!aside)
        return false;
    p->given = of->given[k];
    if (!isnan(p->given.payload_kg))
        ask.load_case.payload_kg = p->given.payload_kg;
    evn_bought_of(t, &p->bought);
    bool found = evn_use_find(t, duty, &ask, &how, &p->use, aside);
    if (!steps->stopped)
        evn_days_hand_on(aside, of->who[k].name, report);
    evn_report_free(aside);
    p->status = steps->stopped ? "interrupted" : p->use.status;
    p->there = found && strcmp(p->status, "finished") == 0;
    if (!p->there && !steps->stopped)
        evn_days_say_not_finished(of->who[k].name, "does not come to the end of its day", p->status, report);
    return true;
}

bool evn_days_as_lineup(evn_payback *b, const evn_payback_of *of, evn_days_progress *steps, double share,
                        evn_report *report)
{
    bool room = true;
    for (size_t k = 0; room && k < b->count && !steps->stopped; k++) {
        steps->from = share * (double)k / (double)b->count;
        steps->span = share / (double)b->count;
        room = evn_days_drive(of, k, of->who[k].truck, of->duty, &b->paying[EVN_PAYBACK_AS_LINEUP][k], steps, report);
    }
    return room;
}
