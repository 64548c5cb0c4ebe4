/* What a cycle is, before any truck drives it, in words or in JSON. */
#ifndef EVENER_SHOW_CYCLE_STORY_H
#define EVENER_SHOW_CYCLE_STORY_H
#include "show/figures.h"
#include "show/findings.h"

#define EVN_CYCLE_SCHEMA "evener.cycle/2"

/* Both false when memory is out. */
bool evn_cycle_text(const evn_cycle *, FILE *, const evn_look *);
bool evn_cycle_json(const evn_cycle *, const evn_findings *, FILE *); /* NULL cycle: status "failed" */

#endif
