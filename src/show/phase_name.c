/* What a leg or stop of a day is called in tables. */
#include "show/day_story.h"
#include <string.h>

const char *evn_phase_name(char out[EVN_PHASE_NAME_BYTES], const evn_day_phase *p)
{
    int used = snprintf(out, EVN_PHASE_NAME_BYTES, "%.100s", p->name);
    if (p->parts > 1)
        used += snprintf(out + used, EVN_PHASE_NAME_BYTES - (size_t)used, ", part %u", p->part);
    if (p->rounds > 1)
        snprintf(out + used, EVN_PHASE_NAME_BYTES - (size_t)used, ", round %u", p->round);
    return out;
}
