/* CVODE behind the four calls, of SUNDIALS 6.0 and later and 7.x. */
#include "trip/solver.h"
#include "trip/sundials.h"
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

enum { MOST_STEPS = 200000000, IDLE_STEPS = 20000 };

struct evn_solver {
    evn_system system;
    evn_sundials sundials;
    N_Vector y, tolerance, look; /* look: borrows the array that look_back fills */
    SUNNonlinearSolver fixed_point;
    void *cvode;
    double g[EVN_WATCHES_MAX]; /* watches where they were last asked for: after a quiet step, at its end */
    double whole_t;            /* where all of them were asked for last, and which of them were below zero there */
    double whole_g[EVN_WATCHES_MAX];
    uint64_t falling;
    size_t at[EVN_WATCHES_MAX], shown, room; /* watches that CVODE is shown, and of how many it knows */
    double from;                             /* begin of the last step */
    double idle_since;
    long steps, idle_steps;
    bool rate_failed, unfit; /* unfit: a setting was refused; go() then gives up */
};

static int rate(sunrealtype t, N_Vector y, N_Vector dy, void *self)
{
    evn_solver *s = self;
    if (s->system.rate(t, NV_DATA_S(y), NV_DATA_S(dy), s->system.self))
        return 0;
    s->rate_failed = true;
    return 1; /* recoverable: a smaller step may avoid it */
}

/* CVODE is shown those that may fall only: it looks at every one after every step. */
static int watch(sunrealtype t, N_Vector y, sunrealtype *g, void *self)
{
    evn_solver *s = self;
    bool searching = s->falling && t < s->whole_t; /* for the first of these */
    if (searching) {
        memcpy(s->g, s->whole_g, sizeof s->g);
        s->system.watch_some(t, NV_DATA_S(y), s->falling, s->g, s->system.self);
    } else {
        s->system.watch(t, NV_DATA_S(y), s->g, s->system.self);
        s->falling = 0;
        s->whole_t = t;
        memcpy(s->whole_g, s->g, sizeof s->g);
    }
    for (size_t k = s->shown; k < s->room; k++)
        g[k] = 1;
    for (size_t k = 0; k < s->shown; k++) {
        g[k] = s->g[s->at[k]];
        if (!searching && g[k] <= 0)
            s->falling |= UINT64_C(1) << s->at[k];
    }
    return 0;
}

#if SUNDIALS_VERSION_MAJOR >= 7
static bool silence_cvode(evn_solver *s)
{
    (void)s; /* the context's handler hears it */
    return true;
}
#else
static bool silence_cvode(evn_solver *s)
{
    return !CVodeSetErrHandlerFn(s->cvode, evn_sundials_hear, &s->sundials) && !CVodeSetErrFile(s->cvode, NULL);
}
#endif

static void drop(evn_solver *s)
{
    if (!s)
        return;
    if (s->cvode)
        CVodeFree(&s->cvode);
    if (s->fixed_point)
        SUNNonlinSolFree(s->fixed_point);
    if (s->y)
        N_VDestroy(s->y);
    if (s->look)
        N_VDestroy(s->look);
    if (s->tolerance)
        N_VDestroy(s->tolerance);
    evn_sundials_end(&s->sundials);
    free(s);
}

static bool set_up_vectors(evn_solver *s)
{
    if (!evn_sundials_begin(&s->sundials))
        return false;
    s->y = evn_sundials_vector(&s->sundials, s->system.states);
    s->tolerance = evn_sundials_vector(&s->sundials, s->system.states);
    if (!s->y || !s->tolerance)
        return false;
    s->look = N_VNewEmpty_Serial((sunindextype)s->system.states, s->sundials.context);
    if (!s->look)
        return false;
    N_VConst(0, s->y);
    memcpy(NV_DATA_S(s->tolerance), s->system.tolerance, s->system.states * sizeof(double));
    return true;
}

/* CVODE takes memory for so many: more than apply together in any shipped run (22), so that no restart takes more. */
enum { SHOWN_USUALLY = 24 };

static bool make_room(evn_solver *s, size_t count)
{
    int down[EVN_WATCHES_MAX];
    for (size_t k = 0; k < count; k++)
        down[k] = -1;
    s->room = count;
    return !CVodeRootInit(s->cvode, (int)count, watch) && !CVodeSetRootDirection(s->cvode, down) &&
           !CVodeSetNoInactiveRootWarn(s->cvode);
}

static size_t usual_room(const evn_solver *s)
{
    return s->system.watches < SHOWN_USUALLY ? s->system.watches : SHOWN_USUALLY;
}

/* False: refused. */
static bool show_watches(evn_solver *s, uint64_t watched)
{
    s->shown = 0;
    for (size_t k = 0; k < s->system.watches; k++)
        if (watched >> k & 1u)
            s->at[s->shown++] = k;
    return s->shown <= s->room || make_room(s, s->system.watches);
}

static bool set_up_cvode(evn_solver *s)
{
    s->cvode = CVodeCreate(CV_ADAMS, s->sundials.context);
    s->fixed_point = SUNNonlinSol_FixedPoint(s->y, 0, s->sundials.context);
    return s->cvode && s->fixed_point && silence_cvode(s) && !CVodeInit(s->cvode, rate, 0, s->y) &&
           !CVodeSVtolerances(s->cvode, 0, s->tolerance) && !CVodeSetUserData(s->cvode, s) &&
           !CVodeSetNonlinearSolver(s->cvode, s->fixed_point) && !CVodeSetMaxHnilWarns(s->cvode, -1) &&
           make_room(s, usual_room(s));
}

static evn_solver *create(const evn_system *system)
{
    evn_solver *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    s->system = *system;
    if (set_up_vectors(s) && set_up_cvode(s))
        return s;
    drop(s);
    return NULL;
}

static void restart(evn_solver *s, double t, const double *y, const evn_pace *pace)
{
    memcpy(NV_DATA_S(s->tolerance), pace->tolerance, s->system.states * sizeof(double));
    memcpy(NV_DATA_S(s->y), y, s->system.states * sizeof *y);
    s->from = t;
    s->idle_since = t;
    s->idle_steps = 0;
    s->rate_failed = false;
    s->falling = 0;
    s->sundials.said[0] = '\0';
    s->unfit = !show_watches(s, pace->watched) || CVodeReInit(s->cvode, t, s->y) ||
               CVodeSVtolerances(s->cvode, 0, s->tolerance) || CVodeSetInitStep(s->cvode, pace->first_step_s) ||
               CVodeSetMaxStep(s->cvode, isinf(pace->longest_step_s) ? 0 : pace->longest_step_s); /* 0: any */
}

/* A watch that began at zero and went down shows no change of sign: CVODE does not see it, its value does. */
static uint64_t crossed(const evn_solver *s)
{
    uint64_t hit = 0;
    for (size_t k = 0; k < s->shown; k++)
        if (s->g[s->at[k]] < EVN_CROSSED)
            hit |= UINT64_C(1) << s->at[k];
    return hit;
}

static uint64_t roots(const evn_solver *s)
{
    int found[EVN_WATCHES_MAX];
    uint64_t hit = 0;
    CVodeGetRootInfo(s->cvode, found);
    for (size_t k = 0; k < s->shown; k++)
        if (found[k])
            hit |= UINT64_C(1) << s->at[k];
    return hit;
}

static bool makes_headway(evn_solver *s, double t)
{
    if (++s->steps > MOST_STEPS)
        return false;
    if (t - s->idle_since > 1e-6) {
        s->idle_since = t;
        s->idle_steps = 0;
        return true;
    }
    return ++s->idle_steps < IDLE_STEPS;
}

static evn_reached give_up(evn_solver *s, int flag)
{
    if (s->rate_failed)
        snprintf(s->sundials.said, sizeof s->sundials.said, "the rates are not finite");
    else if (!s->sundials.said[0])
        snprintf(s->sundials.said, sizeof s->sundials.said,
                 flag < 0 ? "integrator code %d" : "no headway after many steps", flag);
    return EVN_GAVE_UP;
}

static evn_reached go(evn_solver *s, double until, double *t, double *y, uint64_t *hit)
{
    evn_reached end = EVN_REACHED_TIME;
    *hit = 0;
    if (s->unfit || CVodeSetStopTime(s->cvode, until))
        return give_up(s, CV_ILL_INPUT);
    for (double reached = *t;;) {
        s->from = reached;
        int flag = CVode(s->cvode, until, s->y, &reached, CV_ONE_STEP);
        if (flag < 0 || !isfinite(reached)) {
            end = give_up(s, flag);
            break;
        }
        *t = reached;
        if (!s->system.step(s->from, reached, NV_DATA_S(s->y), s->system.self)) {
            end = EVN_STOPPED;
            break;
        }
        *hit = flag == CV_ROOT_RETURN ? roots(s) : s->shown ? crossed(s) : 0;
        if (*hit) {
            end = EVN_REACHED_EVENT;
            break;
        }
        if (flag == CV_TSTOP_RETURN || reached >= until)
            break;
        if (!makes_headway(s, reached)) {
            end = give_up(s, 0);
            break;
        }
    }
    memcpy(y, NV_DATA_S(s->y), s->system.states * sizeof *y);
    return end;
}

static void look_back(evn_solver *s, double t, double *y)
{
    N_VSetArrayPointer(y, s->look);
    if (CVodeGetDky(s->cvode, t, 0, s->look)) /* only outside the last step */
        memcpy(y, NV_DATA_S(s->y), s->system.states * sizeof *y);
}

static const char *why(const evn_solver *s) { return s->sundials.said[0] ? s->sundials.said : "no reason was given"; }

const evn_solver_kind evn_cvode = {"cvode", create, restart, go, look_back, why, drop};
