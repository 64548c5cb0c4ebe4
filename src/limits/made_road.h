/*
 * Roads made for one question, and a run over one: a constant grade, a speed to begin and to hold, stops. The run is
 * that of any cycle: rules, heat, charge and limits of trip, through the room runs.
 */
#ifndef EVENER_LIMITS_MADE_ROAD_H
#define EVENER_LIMITS_MADE_ROAD_H
#include "cycle/surface.h"
#include "limits/scene.h"

enum { EVN_MADE_STOPS_MAX = 8 };

typedef struct evn_made_road {
    double speed_m_s; /* that is asked for */
    double length_m, tangent;
    bool from_rest; /* begins and ends at rest; else it begins at the speed, and ends with it */
    double rolling_factor;
    double adhesion; /* 0: as the truck states */
    size_t stops;    /* on the way, evenly: from_rest only; each takes wait_s */
    double wait_s;
} evn_made_road;

/* On the ground of a scene, which the condition `surface` may have chosen: what is driven stands on what was asked. */
evn_made_road evn_made_road_of(const evn_scene *, double speed_m_s, double length_m, double tangent);

/* What came of it. A run that its sampler ends early has results up to there. */
typedef struct evn_made_run {
    evn_results *results; /* NULL: none; to be given up by evn_made_run_end */
    const char *status;   /* of the run; never NULL */
    bool finished;
} evn_made_run;

/* `sampler` may be NULL. Findings of these runs are nobody's: what they came to is the answer. */
evn_made_run evn_made_run_of(evn_limits_work *, const evn_rig *, const evn_driving *, const evn_made_road *,
                             const evn_sampler *);
/* The same, until its sampler has seen enough: asked now and then of the sampler's self. */
evn_made_run evn_made_run_until(evn_limits_work *, const evn_rig *, const evn_driving *, const evn_made_road *,
                                const evn_sampler *, bool (*enough)(void *self));
void evn_made_run_end(evn_made_run *);

/* What of the battery ended it early: its charge, or its power; NONE: neither. */
evn_bound evn_made_ended_by(const evn_made_run *);
double evn_made_result(const evn_made_run *, const char *key); /* NAN: none */

#endif
