/*
 * The common speed of changed trucks: that of the comparison, lowered where trucks limit it to what they would reach if
 * they were heavier by a margin, so that most can follow; that of draws is lowered once more (UNCERTAINTY.md).
 */
#ifndef EVENER_UNCERTAINTY_SPEED_H
#define EVENER_UNCERTAINTY_SPEED_H
#include "lineup/common.h"

/* Share of its mass by which each truck is made heavier. */
#define EVN_SPEED_MARGIN 0.04

/*
 * `margin` is 0 where a heavier truck did not finish, and the speed is the comparison's. Nothing is said when it was
 * stopped. False (said) when memory is out.
 */
bool evn_draw_speed(const evn_comparison *, uint64_t in, evn_runs *, evn_ceiling *out, double *margin, evn_report *);

#endif
