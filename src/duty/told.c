/* What the reports of a day's phases hold, told in that of the whole. */
#include "duty/told.h"
#include <stdio.h>

enum { NAME = 200 };

static void where(char *out, size_t size, const evn_phase_of *of, const char *name)
{
    int used = snprintf(out, size, "%.60s%s%s '%.60s'", name ? name : "", name ? ", " : "", of->leg ? "leg" : "stop",
                        of->name);
    if (of->round > 0 && used > 0 && (size_t)used < size)
        snprintf(out + used, size - (size_t)used, " of round %u of %u", of->round, of->rounds);
}

static void tell(const evn_phase *phase, const evn_phase_of *of, size_t count, const char *name, bool answers,
                 bool *told, evn_report *report)
{
    for (size_t k = 0; k < count; k++) {
        char at[NAME];
        evn_finding found;
        where(at, sizeof at, &of[k], name);
        for (size_t i = 0; phase[k].report && evn_report_at(phase[k].report, i, &found); i++) {
            evn_fault fault = evn_fault_named(found.fault);
            bool warning = evn_fault_rows[fault].severity == EVN_WARNING;
            bool answer = evn_fault_rows[fault].status == EVN_ANSWER_NO || fault == EVN_FAULT_INTERRUPTED;
            if ((!answer || answers) && !(warning && told[fault]))
                evn_say(report, fault, evn_nowhere, evn_nowhere, "%s: %s", at, found.text);
            told[fault] = true;
        }
    }
}

void evn_day_tell(const evn_phase *phase, const evn_phase_of *of, size_t count, const char *name, evn_report *report)
{
    bool told[EVN_FAULT_COUNT] = {false};
    tell(phase, of, count, name, true, told, report);
}

void evn_day_tell_beside_answers(const evn_day_plan *p, const char *name, bool told[], evn_report *report)
{
    tell(p->phase, p->of, p->count, name, false, told, report);
}
