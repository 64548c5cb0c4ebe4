/*
 * A run as a programme over its settings: while a truck is driven, each fine row of the run is asked what every joint
 * setting of its units would take from the battery there - the same road, speed, acceleration, temperatures and state
 * of charge, by the very costs and limits that the gear rule has (pull/prices.h).
 */
#ifndef EVENER_GEAR_RULE_NOTING_H
#define EVENER_GEAR_RULE_NOTING_H
#include "programme.h"
#include "trip/drive.h"

typedef struct evn_notes evn_notes;

/* Rows at this interval, and at events. NULL: memory ran out, or there are too many joint settings. */
evn_notes *evn_notes_new(const evn_rig *, double interval_s);
void evn_notes_free(evn_notes *);

/* For a run that is driven with a watch whose `self` are the notes. */
extern const evn_solver_kind evn_noting_cvode;

/* What was noted; false: memory ran out, or the run had a setting that is none of its units'. */
bool evn_notes_programme(const evn_notes *, evn_programme *);

/* How far what the run drew is from what the same settings are weighed at as all others are; of those rows where they
 * could be taken by the rules for others too. Without a sign, summed over the run. */
double evn_notes_apart_j(const evn_notes *);

#endif
