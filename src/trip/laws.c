/* What speed the plan wants at a place, and what acceleration the driver asks for to hold it. */
#include "trip/laws.h"
#include "trip/held_speed.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ plan */

double evn_plan_v2(const evn_plan_stretch *p, double place_m)
{
    return fmax(p->v2_begin + 2 * p->accel_m_s2 * (place_m - p->begin_m), 0);
}

size_t evn_plan_index(const evn_course *c, double place_m, size_t hint)
{
    size_t k = hint < c->plan_count ? hint : c->plan_count - 1;
    while (k > 0 && place_m < c->plan[k].begin_m)
        k--;
    while (k + 1 < c->plan_count && place_m >= c->plan[k].end_m)
        k++;
    return k;
}

/* The plan before a truck's top speed cut it. */
static double asked_v2(const evn_plan_stretch *p, double place_m)
{
    double share = (place_m - p->begin_m) / (p->end_m - p->begin_m);
    return fmax(p->asked_v2_begin + share * (p->asked_v2_end - p->asked_v2_begin), 0);
}

double evn_plan_speed(const evn_course *c, double place_m, size_t *hint)
{
    size_t k = *hint = evn_plan_index(c, place_m, *hint);
    return sqrt(asked_v2(&c->plan[k], fmin(place_m, c->plan[k].end_m)));
}

double evn_prescribed_speed(const evn_prescribed *p, double t)
{
    return fmax(p->speed_m_s + p->accel_m_s2 * (t - p->begin_s), 0);
}

double evn_prescribed_place(const evn_prescribed *p, double t)
{
    double dt = t - p->begin_s;
    return p->place_m + (p->speed_m_s + 0.5 * p->accel_m_s2 * dt) * dt;
}

/* ------------------------------------------------------------------------------------------------ laws */

static double look_ahead_m(const evn_trip *trip, const double *y)
{
    return y[EVN_Y_SPEED] * trip->driving.look_ahead_s + trip->ahead_m;
}

double evn_preview_m(const evn_trip *trip, const double *y) { return y[EVN_Y_PLACE] + look_ahead_m(trip, y); }

/* The constant acceleration that meets the plan's speed at the place looked to. */
double evn_preview_asks(const evn_trip *trip, const double *y)
{
    const evn_course *c = trip->course;
    double ahead = look_ahead_m(trip, y), v = y[EVN_Y_SPEED];
    double v2 = trip->plan_at < c->plan_count ? evn_plan_v2(&c->plan[trip->plan_at], y[EVN_Y_PLACE] + ahead)
                                              : c->plan[c->plan_count - 1].v2_end;
    return (v2 - v * v) / (2 * ahead);
}

/* What is above zero and small is kept; what is large is brought below `most`, without a bend. */
static double eased(double x, double most) { return x / (1 + x / most); }

/*
 * A braking plan is followed in proportion, by (v/v_plan)^2: a truck below it then comes to rest where the plan does,
 * and not before. Above it the share, without a bend, ends at a fifth more: nobody brakes without bounds for a
 * hundredth of a km/h, where the plan is nearly at rest.
 */
static double braking_share(double v2, double plan2)
{
    static const double MOST_ABOVE = 0.2;
    if (v2 <= plan2)
        return plan2 > 0 ? v2 / plan2 : 1;
    return plan2 > 0 ? 1 + eased((v2 - plan2) / plan2, MOST_ABOVE) : 1 + MOST_ABOVE;
}

/*
 * The plan's acceleration here, and a correction of the speed: gain (v_plan^2 - v^2)/(2 v + 1 m/s), which is gain times
 * the difference of the speeds and stays smooth at rest, where v_plan over place is not; braking, within the
 * comfortable.
 */
double evn_following_asks(const evn_trip *trip, const double *y)
{
    const evn_plan_stretch *p = &trip->course->plan[trip->plan_at];
    double v = y[EVN_Y_SPEED], plan2 = evn_plan_v2(p, y[EVN_Y_PLACE]);
    double share = p->accel_m_s2 < 0 ? braking_share(v * v, plan2) : 1;
    double correction = trip->driving.speed_gain_1_s * (plan2 - v * v) / (2 * v + 1);
    if (correction < 0)
        correction = -eased(-correction, trip->driving.comfort_braking_m_s2);
    return share * p->accel_m_s2 + correction;
}

/* Comfortable, or a fifth above what the plan itself asks: else a steep plan could never be caught up with. */
double evn_cap_over(const evn_trip *trip, const evn_plan_stretch *plan)
{
    return fmax(trip->driving.comfort_acceleration_m_s2, 1.2 * plan->accel_m_s2);
}

double evn_cap_m_s2(const evn_trip *trip)
{
    const evn_course *c = trip->course;
    return evn_cap_over(trip, &c->plan[trip->plan_at < c->plan_count ? trip->plan_at : c->plan_count - 1]);
}

/*
 * The place ahead where the plan has to be met: end of the stretch aimed at. Up to that place what is prescribed
 * (evn_begin_meeting) asks for the same: else a limit that holds the one and not the other would be taken and left
 * again within the last millimetre. Bounded, since what is forgone for a better setting is integrated.
 */
static double halting_asks(const evn_trip *trip, const double *y)
{
    static const double MOST_M_S2 = 1e4;
    const evn_plan_stretch *p = &trip->course->plan[trip->plan_at];
    double rest = p->end_m - y[EVN_Y_PLACE], over_v2 = p->v2_end - y[EVN_Y_SPEED] * y[EVN_Y_SPEED];
    return fmax(fmin(over_v2 / (2 * fmax(rest, 1e-9)), MOST_M_S2), -MOST_M_S2);
}

/* Braking within the comfortable, without a bend; who is far below asks for more than any other law. */
double evn_held_asks(const evn_trip *trip, double speed_m_s)
{
    double over = trip->driving.speed_gain_1_s * (speed_m_s - evn_held_speed_m_s(trip));
    return over > 0 ? -eased(over, trip->driving.comfort_braking_m_s2) : -over;
}

double evn_law_asks(const evn_trip *trip, const double *y)
{
    switch (trip->law) {
    case EVN_PRESCRIBED:
        return trip->seg.accel_m_s2;
    case EVN_FOLLOWING:
        return evn_following_asks(trip, y);
    case EVN_PREVIEW:
        return evn_preview_asks(trip, y);
    case EVN_CAPPED:
        return evn_cap_m_s2(trip);
    case EVN_HALTING:
        return halting_asks(trip, y);
    case EVN_HOLDING:
        return evn_held_asks(trip, y[EVN_Y_SPEED]);
    }
    return 0;
}
