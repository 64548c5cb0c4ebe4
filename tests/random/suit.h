/*
 * What hangs together beyond one key: axles in a row, ratios that fall, a motor that is fast enough for its gears, maps
 * that cover it. Most of what is invented becomes a truck, or a cycle, that the loader takes.
 */
#ifndef EVENER_TESTS_SUIT_H
#define EVENER_TESTS_SUIT_H
#include "invent.h"

void suit_truck(inventor *, draft *truck);
void suit_cycle(inventor *, draft *cycle, const draft *truck);
/* What is asked of a run with that truck. */
void suit_load_case(inventor *, draft *load_case, const draft *truck);
void suit_driving(inventor *, draft *driving);

#endif
