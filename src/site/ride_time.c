/* Two masses over a profile, over time. */
#include "site/ride_time.h"
#include "trip/solver.h"
#include "truck/suspension.h"
#include <math.h>
#include <string.h>

enum { BODY, BODY_RATE, WHEEL, WHEEL_RATE, SQUARES, OFF_GROUND = SQUARES + EVN_RIDES, STATES };
enum { LIFTS_OFF, LANDS, WATCHES };
enum { LOOKS = 4 }; /* within each step, for what is largest */

typedef struct ride {
    const evn_profile *profile;
    const evn_ride_drive *drive;
    const evn_solver_kind *kind;
    evn_solver *solver;
    bool in_air, counts;
    evn_ride_driven *to;
} ride;

typedef struct forces {
    double tyre_n, pushing_n; /* less that at rest: as it is, and as it would be if the tyre could pull */
    double value[EVN_RIDES];
} forces;

static double stop_n(double squeeze_m, double stiffness_n_m)
{
    return squeeze_m > 0 ? stiffness_n_m * squeeze_m * squeeze_m / (2 * EVN_STOP_SQUEEZE_M) : 0;
}

static forces forces_at(const ride *r, double t, const double *y)
{
    const evn_quarter *q = r->drive->car;
    const evn_ride_stops *stops = r->drive->stops;
    double height_m, slope, travel = y[BODY] - y[WHEEL];
    evn_profile_at(r->profile, r->drive->speed_m_s * t, &height_m, &slope);
    double spring_n = -q->spring_n_m * travel - q->damper_n_s_m * (y[BODY_RATE] - y[WHEEL_RATE]) +
                      stop_n(-travel - stops->bump_m, stops->stiffness_n_m) -
                      stop_n(travel - stops->rebound_m, stops->stiffness_n_m);
    forces f;
    f.pushing_n = q->tyre_n_m * (height_m - y[WHEEL]) + q->tyre_n_s_m * (slope * r->drive->speed_m_s - y[WHEEL_RATE]);
    /* Whether in the air or not: a dip below zero within one step is not seen as an event, and pulls nothing either. */
    f.tyre_n = fmax(f.pushing_n, -r->drive->static_n);
    f.value[EVN_RIDE_BODY] = spring_n / q->sprung_kg;
    f.value[EVN_RIDE_TRAVEL] = travel;
    f.value[EVN_RIDE_TYRE] = f.tyre_n;
    f.value[EVN_RIDE_WHEEL] = (f.tyre_n - spring_n) / q->unsprung_kg;
    return f;
}

static bool rate(double t, const double *y, double *dy, void *self)
{
    const ride *r = self;
    forces f = forces_at(r, t, y);
    dy[BODY] = y[BODY_RATE];
    dy[WHEEL] = y[WHEEL_RATE];
    dy[BODY_RATE] = f.value[EVN_RIDE_BODY];
    dy[WHEEL_RATE] = f.value[EVN_RIDE_WHEEL];
    for (int k = 0; k < EVN_RIDES; k++)
        dy[SQUARES + k] = f.value[k] * f.value[k];
    dy[OFF_GROUND] = r->in_air;
    return isfinite(dy[WHEEL_RATE]) && isfinite(dy[BODY_RATE]);
}

static void watch(double t, const double *y, double *g, void *self)
{
    const ride *r = self;
    double share = isinf(r->drive->static_n) ? 1 : 1 + forces_at(r, t, y).pushing_n / r->drive->static_n;
    g[LIFTS_OFF] = (r->in_air ? 1 : share) + EVN_TOUCH;
    g[LANDS] = (r->in_air ? -share : 1) + EVN_TOUCH;
}

static void watch_some(double t, const double *y, uint64_t wanted, double *g, void *self)
{
    (void)wanted; /* both come of one force */
    watch(t, y, g, self);
}

/* ------------------------------------------------------------------------------------------------ what is largest */

static void note(ride *r, double t, const double *y)
{
    forces f = forces_at(r, t, y);
    for (int k = 0; k < EVN_RIDES; k++)
        r->to->most[k] = fmax(r->to->most[k], fabs(f.value[k]));
    r->to->least_tyre_n = fmin(r->to->least_tyre_n, f.tyre_n);
    r->to->most_bump_m = fmax(r->to->most_bump_m, -f.value[EVN_RIDE_TRAVEL]);
    r->to->most_rebound_m = fmax(r->to->most_rebound_m, f.value[EVN_RIDE_TRAVEL]);
}

static bool step(double from, double to, const double *y, void *self)
{
    ride *r = self;
    double back[STATES];
    for (int k = 1; k < LOOKS && r->counts; k++) {
        double t = from + (to - from) * k / LOOKS;
        r->kind->look_back(r->solver, t, back);
        note(r, t, back);
    }
    if (r->counts)
        note(r, to, y);
    return true;
}

/* ------------------------------------------------------------------------------------------------ driving */

static void set_tolerances(const ride *r, double tolerance[STATES])
{
    static const double TWO_PI = 6.283185307179586;
    double body_hz, wheel_hz, size_m = r->drive->usual_m * r->drive->accuracy;
    evn_quarter_modes_hz(r->drive->car, &body_hz, &wheel_hz);
    tolerance[BODY] = tolerance[WHEEL] = size_m;
    tolerance[BODY_RATE] = size_m * TWO_PI * body_hz;
    tolerance[WHEEL_RATE] = size_m * TWO_PI * wheel_hz;
    for (int k = SQUARES; k < STATES; k++)
        tolerance[k] = (double)INFINITY; /* nothing hangs on them: as close as the others */
}

/* False: the integrator gave up. */
static bool go_to(ride *r, double until, double *t, double y[STATES], const double tolerance[STATES])
{
    while (*t < until) {
        uint64_t hit, watched = UINT64_C(1) << (r->in_air ? LANDS : LIFTS_OFF);
        const evn_pace pace = {watched, tolerance, 0, (double)INFINITY};
        r->kind->restart(r->solver, *t, y, &pace);
        evn_reached end = r->kind->go(r->solver, until, t, y, &hit);
        if (end == EVN_GAVE_UP)
            return false;
        if (end != EVN_REACHED_EVENT)
            continue;
        r->in_air = !r->in_air;
        r->to->lift_offs += r->in_air && r->counts;
    }
    return true;
}

static bool drive_all(ride *r, const double tolerance[STATES])
{
    double y[STATES] = {0}, t = -r->drive->lead_s, duration_s = r->drive->way_m / r->drive->speed_m_s;
    if (!go_to(r, 0, &t, y, tolerance))
        return false;
    memset(y + SQUARES, 0, (STATES - SQUARES) * sizeof *y);
    r->counts = true;
    if (!go_to(r, duration_s, &t, y, tolerance))
        return false;
    for (int k = 0; k < EVN_RIDES; k++)
        r->to->rms[k] = sqrt(y[SQUARES + k] / duration_s);
    r->to->off_ground_share = y[OFF_GROUND] / duration_s;
    return true;
}

evn_ride_end evn_ride_over(const evn_profile *profile, const evn_ride_drive *drive, evn_ride_driven *out)
{
    double tolerance[STATES];
    ride r = {.profile = profile, .drive = drive, .kind = &evn_cvode, .to = out};
    *out = (evn_ride_driven){0};
    set_tolerances(&r, tolerance);
    const evn_system system = {STATES, WATCHES, drive->accuracy, tolerance, rate, watch, watch_some, step, &r, NULL};
    r.solver = r.kind->create(&system);
    if (!r.solver)
        return EVN_RIDE_NO_MEMORY;
    bool done = drive_all(&r, tolerance);
    r.kind->drop(r.solver);
    return done ? EVN_RIDE_DONE : EVN_RIDE_GAVE_UP;
}
