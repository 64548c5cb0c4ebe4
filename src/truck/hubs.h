/* What the bearings and seals of all wheels resist, made ready: a force at the tyres over road speed. */
#ifndef EVENER_TRUCK_HUBS_H
#define EVENER_TRUCK_HUBS_H
#include "core/arena.h"
#include "core/curve.h"
#include "truck/truck.h"

enum { EVN_HUBS_MAX = 8 };

/* Torque over wheel speed becomes force over road speed, torque / r at v / r. Straight ones are summed up. */
typedef struct evn_hubs {
    double at_rest_n, n_s_m;              /* of all straight ones: at rest, and per m/s */
    const evn_curve *curve[EVN_HUBS_MAX]; /* N over m/s */
    size_t curves;
} evn_hubs;

/* Adds those of an axle (NULL: none). False when memory ran out. */
bool evn_hubs_add(evn_hubs *, const evn_hub_drag_file *, double radius_m, evn_arena *);

/* Against the motion; the same at any sign of round-off about rest, where brakes hold it does nothing. */
static inline double evn_hubs_n(const evn_hubs *h, double speed_m_s)
{
    double v = speed_m_s > 0 ? speed_m_s : 0, sum = h->at_rest_n + h->n_s_m * v;
    for (size_t k = 0; k < h->curves; k++)
        sum += evn_curve_at(h->curve[k], v);
    return sum;
}

#endif
