/* A log made a cycle: what evener/logs.h tells, and the parts that make it. */
#ifndef EVENER_LOG_IMPORT_H
#define EVENER_LOG_IMPORT_H
#include "log/elevation.h"
#include "log/log.h"

struct evn_import {
    evn_arena *arena;
    const evn_log *log; /* as it was read */
    evn_import_told told;
    evn_import_cycle cycle;
};

/* Fills an import whose arena, in which the log lives too, is there. False: said. */
bool evn_import_of_log(evn_import *, const evn_log *, const evn_import_how *, evn_report *);

/* Whether each number of it is one that it can hold; else it is said. */
bool evn_import_how_fits(const evn_import_how *, evn_report *);

/*
 * The speed that the log has, in the best of the forms that it has: speeds, else places, else positions. Gaps are
 * counted and bridged, or refused with their line.
 */
bool evn_measured_find(const evn_log *ordered, const evn_import_how *, evn_measured *, evn_import_told *, evn_arena *,
                       evn_report *);

/* Distances that the log tells by other columns than that of its speed: beside each other they show units mixed up. */
bool evn_distances_agree(const evn_log *ordered, const evn_measured *, evn_import_told *, evn_arena *, evn_report *);

/* Speed limits and stops of the motion. False: memory is out. */
bool evn_limits_of_motion(const evn_motion *, double step_m_s, evn_import_cycle *, evn_arena *);

/* Work at the wheels of a truck of a few figures. */
void evn_work_of(const evn_motion *, const evn_elevation *, const evn_import_how *, evn_import_work *);

#endif
