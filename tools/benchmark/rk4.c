/* The classical Runge-Kutta method at a fixed step, with events located on the curve through its ends. */
#include "rk4.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { STATES_MAX = 64 };
static const double LEAST_STEP_S = 1e-9; /* what is nearer to a known time belongs to the step that ends there */

struct evn_solver {
    evn_system system;
    double step_s;
    double t0, t1;                                   /* last step, before an event cut it */
    double y0[STATES_MAX], y1[STATES_MAX];           /* states at its ends */
    double f0[STATES_MAX], f1[STATES_MAX];           /* rates at its ends */
    double g0[EVN_WATCHES_MAX], g1[EVN_WATCHES_MAX]; /* watches at its ends */
    bool has_end_rate;
};

static evn_solver *create(const evn_system *system, double step_s)
{
    evn_solver *s = system->states <= STATES_MAX ? calloc(1, sizeof *s) : NULL;
    if (!s)
        return NULL;
    s->system = *system;
    s->step_s = step_s;
    return s;
}

static evn_solver *create_coarse(const evn_system *system) { return create(system, 0.05); }

static evn_solver *create_fine(const evn_system *system) { return create(system, 0.01); }

static void drop(evn_solver *s) { free(s); }

static void restart(evn_solver *s, double t, const double *y, const evn_pace *pace)
{
    (void)pace; /* the fixed step is below any bound */
    s->t0 = s->t1 = t;
    memcpy(s->y1, y, s->system.states * sizeof *y);
    s->has_end_rate = false;
}

/* ------------------------------------------------------------------------------------------------ one step */

static bool rate(const evn_solver *s, double t, const double *y, double *dy)
{
    return s->system.rate(t, y, dy, s->system.self);
}

/* Rate at the end of the last step; it serves the next step as its first stage. */
static bool end_rate(evn_solver *s)
{
    if (!s->has_end_rate)
        s->has_end_rate = rate(s, s->t1, s->y1, s->f1);
    return s->has_end_rate;
}

static void along(const evn_solver *s, const double *k, double h, double *z)
{
    for (size_t i = 0; i < s->system.states; i++)
        z[i] = s->y0[i] + h * k[i];
}

static bool take_step(evn_solver *s, double to)
{
    double k2[STATES_MAX], k3[STATES_MAX], k4[STATES_MAX], z[STATES_MAX];
    size_t bytes = s->system.states * sizeof *z;
    if (!end_rate(s))
        return false;
    s->t0 = s->t1;
    memcpy(s->y0, s->y1, bytes);
    memcpy(s->f0, s->f1, bytes);
    double h = to - s->t0, middle = s->t0 + 0.5 * h;
    along(s, s->f0, 0.5 * h, z);
    if (!rate(s, middle, z, k2))
        return false;
    along(s, k2, 0.5 * h, z);
    if (!rate(s, middle, z, k3))
        return false;
    along(s, k3, h, z);
    if (!rate(s, to, z, k4))
        return false;
    for (size_t i = 0; i < s->system.states; i++)
        s->y1[i] = s->y0[i] + h / 6 * (s->f0[i] + 2 * (k2[i] + k3[i]) + k4[i]);
    s->t1 = to;
    s->has_end_rate = false;
    return true;
}

/* On the cubic Hermite curve of the last step, at a share of it from 0 to 1. */
static bool within(evn_solver *s, double share, double *y)
{
    if (!end_rate(s))
        return false;
    double h = s->t1 - s->t0, u = share, w = 1 - u;
    double a = w * w * (1 + 2 * u), b = u * u * (1 + 2 * w), c = u * w * w * h, d = -u * u * w * h;
    for (size_t i = 0; i < s->system.states; i++)
        y[i] = a * s->y0[i] + b * s->y1[i] + c * s->f0[i] + d * s->f1[i];
    return true;
}

static void look_back(evn_solver *s, double t, double *y)
{
    double h = s->t1 - s->t0;
    if (h <= 0 || !within(s, (t - s->t0) / h, y))
        memcpy(y, s->y1, s->system.states * sizeof *y);
}

/* ------------------------------------------------------------------------------------------------ events */

/* A watch that began at zero, or within round-off below it, is due only once it is clearly below. */
static double level(double begin) { return begin > 0 ? 0 : 2 * EVN_CROSSED; }

static uint64_t falls(const evn_solver *s, const double *from, const double *to)
{
    uint64_t hit = 0;
    for (size_t k = 0; k < s->system.watches; k++) {
        double at = level(s->g0[k]);
        if (from[k] > at && to[k] <= at)
            hit |= UINT64_C(1) << k;
    }
    return hit;
}

typedef struct bracket {
    double low, high; /* shares of the step */
    double g_low[EVN_WATCHES_MAX], g_high[EVN_WATCHES_MAX];
    double weight_low, weight_high; /* Illinois: an end that stays twice running counts for half */
    int moved;                      /* the end that moved last: -1 low, 1 high */
    uint64_t hit;                   /* watches that fall within */
} bracket;

/* Where the first of the watches would fall on its own straight line. */
static double guess(const evn_solver *s, const bracket *b)
{
    double first = b->high;
    for (size_t k = 0; k < s->system.watches; k++) {
        if (!(b->hit >> k & 1u))
            continue;
        double above = b->weight_low * (b->g_low[k] - level(s->g0[k]));
        double below = b->weight_high * (level(s->g0[k]) - b->g_high[k]);
        first = fmin(first, b->low + (b->high - b->low) * above / (above + below));
    }
    return first;
}

static void narrow(const evn_solver *s, bracket *b, double share, const double *g)
{
    size_t bytes = s->system.watches * sizeof *g;
    uint64_t hit = falls(s, b->g_low, g);
    if (hit) {
        b->weight_low = b->moved > 0 ? 0.5 * b->weight_low : 1;
        b->weight_high = 1;
        b->moved = 1;
        b->high = share;
        b->hit = hit;
        memcpy(b->g_high, g, bytes);
        return;
    }
    b->weight_high = b->moved < 0 ? 0.5 * b->weight_high : 1;
    b->weight_low = 1;
    b->moved = -1;
    b->low = share;
    memcpy(b->g_low, g, bytes);
}

/* The last step ends at its first event. False: the rates are not finite. */
static bool cut_at_event(evn_solver *s, uint64_t *hit)
{
    const double h = s->t1 - s->t0, close = 1e-12 * (1 + fabs(s->t1)) / h;
    bracket b = {.high = 1, .weight_low = 1, .weight_high = 1, .hit = *hit};
    double y[STATES_MAX], g[EVN_WATCHES_MAX];
    memcpy(b.g_low, s->g0, sizeof b.g_low);
    memcpy(b.g_high, s->g1, sizeof b.g_high);
    for (int i = 0; i < 200 && b.high - b.low > close; i++) {
        double margin = fmin(0.5 * (b.high - b.low), 0.4 * close);
        double share = fmin(fmax(guess(s, &b), b.low + margin), b.high - margin);
        if (i % 8 == 7)
            share = 0.5 * (b.low + b.high);
        if (!within(s, share, y))
            return false;
        s->system.watch(s->t0 + share * h, y, g, s->system.self);
        narrow(s, &b, share, g);
    }
    *hit = b.hit;
    if (b.high < 1) {
        if (!within(s, b.high, y))
            return false;
        memcpy(s->y1, y, s->system.states * sizeof *y);
        s->t1 = s->t0 + b.high * h;
        s->has_end_rate = false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ the loop */

static evn_reached advance(evn_solver *s, double until, uint64_t *hit)
{
    const evn_system *on = &s->system;
    on->watch(s->t1, s->y1, s->g0, on->self);
    for (;;) {
        double to = s->t1 + s->step_s;
        if (!take_step(s, to > until - LEAST_STEP_S ? until : to))
            return EVN_GAVE_UP;
        on->watch(s->t1, s->y1, s->g1, on->self);
        *hit = falls(s, s->g0, s->g1);
        if (*hit && !cut_at_event(s, hit))
            return EVN_GAVE_UP;
        if (!on->step(s->t0, s->t1, s->y1, on->self))
            return EVN_STOPPED;
        if (*hit)
            return EVN_REACHED_EVENT;
        if (s->t1 >= until)
            return EVN_REACHED_TIME;
        memcpy(s->g0, s->g1, on->watches * sizeof *s->g0);
    }
}

static evn_reached go(evn_solver *s, double until, double *t, double *y, uint64_t *hit)
{
    *hit = 0;
    evn_reached end = advance(s, until, hit);
    *t = s->t1;
    memcpy(y, s->y1, s->system.states * sizeof *y);
    return end;
}

static const char *why(const evn_solver *s)
{
    (void)s;
    return "the rates are not finite";
}

const evn_solver_kind evn_rk4 = {"rk4", create_coarse, restart, go, look_back, why, drop};
const evn_solver_kind evn_rk4_fine = {"rk4_fine", create_fine, restart, go, look_back, why, drop};
