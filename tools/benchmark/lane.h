/* One truck, one cycle, one driver: prepared once, driven many times. */
#ifndef EVENER_BENCHMARK_LANE_H
#define EVENER_BENCHMARK_LANE_H
#include "core/arena.h"
#include "trip/drive.h"

typedef struct evn_lane {
    evn_report *report;
    evn_truck *truck;
    evn_rig *rig;
    evn_arena *arena;
    evn_course *course;
    evn_conditions ask;
    const char *cycle_name; /* the file's, without folder and ending */
    const char *driver_name;
    char name[64];
} evn_lane;

typedef struct evn_outcome {
    double seconds;     /* of the clock on the wall, from the call to its return */
    double cpu_seconds; /* of this process: steadier where others load the machine */
    double battery_kwh, duration_s, distance_km, balance_error;
    unsigned long steps, events;
    const char *status; /* of the results: "finished", or why the run ended before the end of the cycle */
} evn_outcome;

/* False after saying on stderr what went wrong. */
bool evn_lane_open(evn_lane *, const char *truck, const char *cycle, evn_driver);
void evn_lane_close(evn_lane *);
bool evn_lane_drive(evn_lane *, const evn_solver_kind *, double accuracy, const evn_watch *, evn_outcome *);

/* Why a run ended early; NULL: it did not. */
const char *evn_early_end(const evn_outcome *);

double evn_wall_s(void);

#endif
