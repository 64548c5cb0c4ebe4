/* Stated stops as a table in the terminal. */
#ifndef EVENER_SHOW_STOPS_TEXT_H
#define EVENER_SHOW_STOPS_TEXT_H
#include "evener/charts.h"
#include "show/look.h"
#include <stdio.h>

/* The chart is that of evn_chart_of_braking_to_rest. False when memory is out. */
bool evn_stops_text(const evn_chart *, FILE *, const evn_look *);

#endif
