/* Reports of a day's legs and stops, in the report of the whole. */
#ifndef EVENER_DUTY_TOLD_H
#define EVENER_DUTY_TOLD_H
#include "duty/duty.h"

/*
 * What is found in the reports of a day's phases, told once each in the report of the whole: errors with the leg or
 * stop where they were found, of warnings of a kind the first.
 */
void evn_day_tell(const evn_phase *, const evn_phase_of *, size_t count, const char *season, evn_report *);

/*
 * The same of a day that may end before its end: that it did, and where, is its answer and not told here. Of warnings
 * of a kind the first of several days: `told` is EVN_FAULT_COUNT long, and remembers.
 */
void evn_day_tell_beside_answers(const evn_day_plan *, const char *season, bool told[], evn_report *);

#endif
