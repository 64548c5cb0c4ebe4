/* Progress per computing effort: counted since the last hundred metres, stretch of the course, or minute of a wait. */
#include "trip/headway.h"

/*
 * In steps of the integrator; an event, with its restart, takes about ten. A truck in traffic needs some hundred for a
 * hundred metres, and one or two thousand at an accuracy of 1e-12.
 */
enum { MOST_EFFORT = 100000, EFFORT_OF_EVENT = 10 };
static const double WAY_M = 100, WAIT_S = 60;

static bool spend(evn_trip *t, double time_s, double place_m, unsigned long effort)
{
    evn_headway *h = &t->headway;
    bool waited = t->motion == EVN_STANDING && time_s - h->since_s >= WAIT_S;
    bool further = place_m - h->since_m >= WAY_M || t->road_at > h->road_at || t->plan_at > h->plan_at;
    if (waited || further)
        *h = (evn_headway){place_m, time_s, t->road_at, t->plan_at > h->plan_at ? t->plan_at : h->plan_at, 0, false};
    h->spent += effort;
    h->lost = h->spent > MOST_EFFORT;
    return !h->lost;
}

bool evn_headway_after_step(evn_trip *t, double time_s, double place_m) { return spend(t, time_s, place_m, 1); }

bool evn_headway_after_event(evn_trip *t, size_t rule)
{
    t->lately[t->events++ % EVN_LATELY] = rule;
    return spend(t, t->t, t->y[EVN_Y_PLACE], EFFORT_OF_EVENT);
}
