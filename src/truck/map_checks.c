/* What is told of a loss map while its motor is read: points far from the law of losses, wide steps between them. */
#include "core/units.h"
#include "truck/map.h"
#include <math.h>

/* Common practice, no source. A fifth: losses that follow no law may be right, but are worth a second look. */
#define USUAL_FARTHEST 0.2
#define USUAL_STEP 0.25 /* of top speed and of peak torque */
#define HAIR 1e-9       /* a quarter is a quarter, whatever unit it was written in */

static void check_distance(const evn_map_quality *q, const evn_seat *motor, evn_report *report)
{
    if (q->farthest > USUAL_FARTHEST)
        evn_say_at(
            report, motor, EVN_FAULT_COARSE_MAP, "map",
            "a point of the loss map, at %.6g rpm and %.6g Nm, is %.0f %% of the loss off the law that is "
            "fitted to all of them; usual is at most %g %%; look for a slip there, or give more points around it",
            q->farthest_rad_s / EVN_RAD_S_PER_RPM, q->farthest_nm, 100 * q->farthest, 100 * USUAL_FARTHEST);
}

/* One finding for each axis: its widest step. */
static void check_steps(const evn_map_quality *q, const evn_map_machine *machine, const evn_seat *motor,
                        evn_report *report)
{
    if (q->step_rad_s > USUAL_STEP * machine->top_rad_s * (1 + HAIR))
        evn_say_at(report, motor, EVN_FAULT_COARSE_MAP, "map",
                   "cells of the loss map are up to %.6g rpm wide, from %.6g rpm on, %.0f %% of top speed; usual is at "
                   "most %g %%; between its points a motor is taken to follow the fitted law",
                   q->step_rad_s / EVN_RAD_S_PER_RPM, q->after_rad_s / EVN_RAD_S_PER_RPM,
                   100 * q->step_rad_s / machine->top_rad_s, 100 * USUAL_STEP);
    if (q->step_nm > USUAL_STEP * machine->peak_nm * (1 + HAIR))
        evn_say_at(report, motor, EVN_FAULT_COARSE_MAP, "map",
                   "cells of the loss map are up to %.6g Nm wide, from %.6g Nm on, %.0f %% of peak torque; usual is at "
                   "most %g %%; between its points a motor is taken to follow the fitted law",
                   q->step_nm, q->after_nm, 100 * q->step_nm / machine->peak_nm, 100 * USUAL_STEP);
}

double evn_map_check(const evn_map_file *f, const evn_map_machine *machine, const evn_seat *motor, evn_report *report)
{
    double idle_w = (double)NAN;
    evn_arena *scratch = evn_arena_new();
    const evn_map *m = scratch ? evn_map_keep(f, machine, scratch) : NULL;
    if (m) {
        check_distance(&m->quality, motor, report);
        check_steps(&m->quality, machine, motor, report);
        idle_w = f->loss_factor * evn_map_loss_w(m, 0, machine->top_rad_s, m->reference_v, 1);
    }
    evn_arena_free(scratch);
    return idle_w;
}
