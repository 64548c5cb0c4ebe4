/* A comparison over the day of a duty (COMMON-SPEED.md). Each call is false when memory is out, or where that is said.
 */
#ifndef EVENER_LINEUP_COMPARE_DAY_H
#define EVENER_LINEUP_COMPARE_DAY_H
#include "lineup/compare_work.h"

/* The day written out for each truck, on both bases: before they are prepared, with what they carry at most. */
bool evn_compare_day_write(evn_compare_work *, evn_report *);

/* A truck that cannot do what the duty asks of it at its stops is not driven: it is as one that could not be prepared
 * (said in its own report). */
void evn_compare_day_suits(const evn_comparison *, evn_compare_side *);

/* Who samples its phases, when all are prepared. */
bool evn_compare_day_sample(evn_compare_work *);

/* All trucks over the whole day at their own speeds, and what it came to. */
bool evn_compare_day_own(evn_compare_work *);

/* Leg by leg in their order at the common speed of each, charge and heat carried over. */
bool evn_compare_day_common(evn_compare_work *, unsigned *rounds);

/* Whole days at own speeds in the other seasons of the duty (compare_seasons.c), and how many runs they take. */
bool evn_compare_seasons_drive(evn_compare_work *);
size_t evn_compare_seasons_runs(const evn_compare_work *);
void evn_compare_seasons_end(const evn_comparison *, evn_compare_side *);
/* In which of them a truck does not come to the end of the day, and why. */
void evn_compare_seasons_say_unfinished(const evn_comparison *, const evn_compare_side *, evn_report *);

/* Holds days at own speeds against what the duty demands (compare_demanded.c); nothing where the runs were stopped. */
bool evn_compare_day_judge(evn_compare_work *, evn_report *);
/* Says what of it is not met. */
void evn_compare_day_say_unmet(const evn_comparison *, const evn_compare_side *, evn_report *);

/* Payload of a truck at the start of the day. */
double evn_compare_start_payload_kg(const evn_comparison *, const evn_compare_side *);

void evn_compare_day_end(evn_compare_side *);

#endif
