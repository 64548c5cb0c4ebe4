/* How a run braked and how hot its parts became, in the terminal. */
#ifndef EVENER_SHOW_BRAKES_TEXT_H
#define EVENER_SHOW_BRAKES_TEXT_H
#include "evener/evener.h"
#include "show/look.h"
#include <stdio.h>

/*
 * Sentences without a line break: what share of the braking work motors took, why friction brakes took the rest, and of
 * each kind of part where the hottest stands against its limit. False: nothing is known of it.
 */
bool evn_brakes_sentences(const evn_results *, const evn_look *, FILE *);

/* Peak temperatures as a table. False when memory is out. */
bool evn_temperatures_table(const evn_results *, FILE *, const evn_look *);

extern const char evn_brakes_caution[];

#endif
