/* Whether what came of a log is what a truck on a road does; where not, the log is wrong, and no smoothing made it
 * right. */
#ifndef EVENER_LOG_PLAUSIBLE_H
#define EVENER_LOG_PLAUSIBLE_H
#include "log/import.h"

/* A column of speeds whose unit changes from one row to the next is refused at that row. */
bool evn_speeds_keep_their_unit(const evn_log *ordered, double gap_s, evn_report *);

/* Place by an odometer and place by speed hold against each other, piece by piece; else it is said where not. */
bool evn_odometer_keeps_pace(const evn_log *ordered, const evn_motion *, const evn_import_told *, evn_report *);

/* Braking, acceleration and grades within bounds; the worst of each is told. False: said at its row. */
bool evn_motion_is_a_trucks(const evn_log *ordered, const evn_motion *, evn_import_told *, evn_report *);
bool evn_road_is_a_road(const evn_log *ordered, const evn_motion *, const evn_elevation *, evn_import_told *,
                        evn_report *);

#endif
