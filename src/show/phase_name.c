/* What a leg or stop of a day is called in tables, and why a day ended in it. */
#include "show/day_story.h"
#include <string.h>

const char *evn_phase_name(char out[EVN_PHASE_NAME_BYTES], const evn_day_phase *p)
{
    int used = snprintf(out, EVN_PHASE_NAME_BYTES, "%.100s", p->name);
    if (p->both_ways)
        used += snprintf(out + used, EVN_PHASE_NAME_BYTES - (size_t)used, ", %s", p->back ? "back" : "out");
    if (p->times > 1)
        used += snprintf(out + used, EVN_PHASE_NAME_BYTES - (size_t)used, " (%u)", p->time);
    if (p->parts > 1)
        used += snprintf(out + used, EVN_PHASE_NAME_BYTES - (size_t)used, ", part %u", p->part);
    if (p->rounds > 1)
        snprintf(out + used, EVN_PHASE_NAME_BYTES - (size_t)used, ", round %u", p->round);
    return out;
}

const char *evn_day_end_words(const char *status)
{
    if (strcmp(status, "battery_empty") == 0)
        return "the battery is empty";
    if (strcmp(status, "stalled") == 0)
        return "it stalls";
    if (strcmp(status, "battery_too_weak") == 0)
        return "it asks more than its battery gives";
    return strcmp(status, "not_charged") == 0 ? "the battery is not charged" : "it was stopped";
}
