/* Motion that is prescribed by place, speed and a known time, and how it begins and ends. */
#include "trip/prescribe.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ sides of corners */

void evn_set_sides(evn_trip *trip)
{
    evn_pull p = {.at = evn_trip_given(trip, trip->t, trip->y)};
    evn_pull_make(&p);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        trip->base_passed[u] = evn_connected(trip, u) && evn_pull_past_base_rad_s(&p, u) > 0;
        trip->derating[u] = evn_pull_past_derating_k(&p, u) > 0;
    }
    trip->fade_side = evn_fade_side(trip->rig, p.at.speed_m_s);
}

/* ------------------------------------------------------------------------------------------------ prescribed motion */

void evn_set_road_end(evn_trip *trip)
{
    const evn_road_stretch *road = &trip->course->road[trip->road_at];
    evn_prescribed *p = &trip->seg;
    double d = road->end_m - p->place_m, v2_end = p->speed_m_s * p->speed_m_s + 2 * p->accel_m_s2 * d;
    p->road_end_s = (double)INFINITY;
    if (road->end_m >= evn_plan_now(trip)->end_m - 1e-9)
        return; /* the plan ends first, or at the same place */
    double reached = p->speed_m_s + sqrt(fmax(v2_end, 0));
    if (reached > 0)
        p->road_end_s = p->begin_s + 2 * d / reached;
}

/* A place within round-off of the end of a stretch of road is on the next one. */
void evn_step_onto_road(evn_trip *trip)
{
    while (trip->road_at + 1 < trip->course->road_count &&
           trip->y[EVN_Y_PLACE] >= trip->course->road[trip->road_at].end_m - 1e-9)
        trip->road_at++;
}

static void prescribe(evn_trip *trip, double speed_m_s, double accel_m_s2, double end_s)
{
    if (trip->law != EVN_PRESCRIBED)
        evn_foresee_anew(trip);
    trip->law = EVN_PRESCRIBED;
    trip->y[EVN_Y_SPEED] = speed_m_s;
    trip->seg = (evn_prescribed){trip->t, trip->y[EVN_Y_PLACE], speed_m_s, accel_m_s2, end_s, (double)INFINITY};
    evn_step_onto_road(trip);
    evn_set_road_end(trip);
}

/* On the plan from here to the end of its stretch; onto a stop by the deceleration that the rest of the way needs. */
void evn_follow_plan(evn_trip *trip)
{
    while (evn_plan_now(trip)->end_m - trip->y[EVN_Y_PLACE] <= 1e-9 && evn_plan_now(trip)->v2_end > 0 &&
           trip->plan_at + 1 < trip->course->plan_count)
        trip->plan_at++; /* at the end of a stretch, to round-off: on the next one */
    const evn_plan_stretch *p = evn_plan_now(trip);
    double rest = p->end_m - trip->y[EVN_Y_PLACE];
    if (rest <= 1e-9) {
        prescribe(trip, sqrt(p->v2_end), 0, trip->t);
        return;
    }
    double v0 = sqrt(evn_plan_v2(p, trip->y[EVN_Y_PLACE])), v1 = sqrt(p->v2_end);
    double a = (p->v2_end - v0 * v0) / (2 * rest);
    prescribe(trip, v0, a, trip->t + 2 * rest / (v0 + v1));
}

void evn_find_stop(evn_trip *trip)
{
    trip->stop_at = trip->plan_at;
    while (trip->stop_at < trip->course->plan_count && trip->course->plan[trip->stop_at].v2_end > 0)
        trip->stop_at++;
}

void evn_begin_meeting(evn_trip *trip)
{
    const evn_plan_stretch *p = evn_plan_now(trip);
    double rest = p->end_m - trip->y[EVN_Y_PLACE], v = trip->y[EVN_Y_SPEED], v_end = sqrt(p->v2_end);
    if (rest <= 1e-9 || v + v_end <= 0) {
        prescribe(trip, v_end, 0, trip->t);
        return;
    }
    prescribe(trip, v, (p->v2_end - v * v) / (2 * rest), trip->t + 2 * rest / (v + v_end));
}

/* What was prescribed becomes free at its present speed and place. */
void evn_set_free(evn_trip *trip)
{
    trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
    trip->y[EVN_Y_PLACE] = evn_prescribed_place(&trip->seg, trip->t);
    trip->law = evn_is_exact(trip) ? EVN_CAPPED : EVN_HALTING;
    trip->at_edge = false;
    evn_foresee_anew(trip);
}
