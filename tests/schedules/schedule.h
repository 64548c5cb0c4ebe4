/*
 * The schedule of a run: when the truck moves and stands, which limit holds it, and which setting each drive unit has.
 * Candidates, corners and edges of bands are no part of it. Two schedules are held against each other within stated
 * tolerances.
 */
#ifndef EVENER_TESTS_SCHEDULE_H
#define EVENER_TESTS_SCHEDULE_H
#include "trip/drive.h"
#include "trip/solver.h"

enum { SCHEDULE_MOTION, SCHEDULE_LIMIT, SCHEDULE_UNIT, SCHEDULE_LANES = SCHEDULE_UNIT + EVN_UNITS_MAX };

/* What holds from here on, until the next span of its lane or the end. */
typedef struct schedule_span {
    int value;
    double time_s, place_m;
} schedule_span;

typedef struct schedule_lane {
    schedule_span *span;
    size_t count, room;
} schedule_lane;

typedef struct schedule {
    const evn_rig *rig;
    const evn_solver_kind *kind;
    schedule_lane lane[SCHEDULE_LANES];
    double end_s, end_m, battery_kwh;
    int status; /* EVN_STATUS_ of trip.h */
    unsigned long events;
    bool lost; /* memory ran out */
} schedule;

/* Drives by this integrator and records. False: there are no results (said), or memory ran out. schedule_free either
 * way. */
bool schedule_drive(const evn_rig *, const evn_course *, const evn_driving *, const evn_solver_kind *, schedule *out,
                    evn_report *);
void schedule_free(schedule *);

/*
 * Whether two schedules of one truck on one course are the same: the same changes of settings, the same stops, the same
 * limits held longer than SCHEDULE_HELD_S, at the same times and places within the tolerances below. Where they are
 * not, `why` receives the earliest difference.
 */
#define SCHEDULE_HELD_S 0.5
#define SCHEDULE_TIME_S 0.05
#define SCHEDULE_PLACE_M 0.5
#define SCHEDULE_SHARE 1e-4 /* of the time, and of the place, beside these */
bool schedule_same(const schedule *, const schedule *other, char *why, size_t bytes);

#endif
