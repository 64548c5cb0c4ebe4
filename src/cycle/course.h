/*
 * The course: a cycle made ready to drive. Two lists over place, because a truck stands on the road but aims at a speed
 * further ahead: stretches of the plan (straight in v^2 over place, that is: of constant acceleration) and stretches of
 * the road (straight in tangent of the slope). Neighbours on one straight line are merged, so that a constant costs no
 * restart of the integrator. Immutable, shared by threads.
 *
 * A trace v(t) of straight lines is exactly v^2(s) of straight lines; points of rest become waits.
 */
#ifndef EVENER_CYCLE_COURSE_H
#define EVENER_CYCLE_COURSE_H
#include "core/takeoff_ask.h"
#include "cycle/cycle.h"

typedef struct evn_plan_stretch {
    double begin_m, end_m;   /* begin of the next = end of this, to the bit */
    double v2_begin, v2_end; /* plan's squared speed, m2/s2; exactly 0 at rest, never negative */
    double accel_m_s2;       /* (v2_end - v2_begin) / (2 length) */
    double wait_s;           /* time at rest before this stretch is begun; 0 unless v2_begin is 0 */
    evn_takeoff_ask takeoff; /* work of the power take-off within that wait, from its beginning */
    double clock_s;          /* the cycle's own clock when this stretch is begun, after the wait */
    double asked_v2_begin,
        asked_v2_end; /* before a truck's top speed or endurance braking cut it; equal unless one did */
    bool endured;     /* endurance braking cut it */
} evn_plan_stretch;

typedef struct evn_road_stretch {
    double begin_m, end_m;
    double tangent_begin, tangent_slope; /* tangent of the slope angle, and its change per metre */
    double rolling_factor;
    bool has_heading;
    double heading_rad;                   /* clockwise from north; of no meaning where there is none */
    double height_begin_m;                /* integral of sin(atan(tangent)) from the start of the course */
    double adhesion, adhesion_other_side; /* peak coefficient, of the left and of the right wheels; NAN: not stated */
} evn_road_stretch;

typedef struct evn_course {
    evn_plan_stretch *plan;
    evn_road_stretch *road;
    size_t plan_count, road_count; /* at least 1 each; both lists begin at begin_m and end at length_m */
    double begin_m;                /* 0; of a part (part.h) where it begins, and its road may reach beyond both ends */
    double length_m;               /* where it ends */
    double clock_begin_s;          /* 0; of a part when it is begun */
    double clock_end_s;            /* of the plan, waits included */
    double final_wait_s;           /* at rest after the last stretch */
    evn_takeoff_ask final_takeoff; /* work there */
    /* The trace, for cycles over time: the band of 40 CFR 1066.425 is judged on it. NULL and 0 for limits over place.
     */
    double *trace_time_s, *trace_speed_m_s;
    size_t trace_count;
} evn_course;

typedef struct evn_course_ask {
    double comfort_acceleration_m_s2, comfort_braking_m_s2; /* corners of a plan over speed limits */
    double top_speed_m_s;                                   /* of the truck; INFINITY: none */
    size_t surface;     /* whose adhesion holds all the way: 1 to EVN_SURFACE_KINDS (surface.h); 0: the cycle's own */
    double descent_m_s; /* on descents at most: endurance braking with a set speed; 0: none */
    double descent_tangent; /* a road that falls by this or more is one; above 0 */
    bool reversed;          /* the way back: from the end to the beginning; only of limits over place */
} evn_course_ask;

/* NULL when the report holds an error (memory, or braking beyond 8 m/s2). */
evn_course *evn_course_prepare(const evn_cycle_file *, const evn_course_ask *, evn_report *);
void evn_course_free(evn_course *);

/* Height above the start at a place on this stretch; closed form. */
double evn_road_height_m(const evn_road_stretch *, double place_m);

/*
 * Highest and lowest trace speed within 1.0 s of a time on the cycle's clock (40 CFR 1066.425(b)(1), without its 2
 * mph). Exact for straight lines between the points. Outside the trace its end values hold.
 */
void evn_course_band(const evn_course *, double clock_s, double *lowest_m_s, double *highest_m_s);

#endif
