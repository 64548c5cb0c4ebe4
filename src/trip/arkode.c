/*
 * An explicit Runge-Kutta pair of SUNDIALS ARKODE behind the four calls, of SUNDIALS 6.0 and later and 7.x: the 3(2)
 * pair of Bogacki and Shampine, whose last stage is the rate at the end of the step. Its stages are kept here. They
 * give the curve through a step, on which events are sought and rows of traces are read, and the integrals that nothing
 * in the library's vector depends on.
 */
#include "trip/falls.h"
#include "trip/solver.h"
#include "trip/sundials.h"
#include <arkode/arkode_erkstep.h>
#include <float.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Bogacki and Shampine, Applied Mathematics Letters 2 (1989), from memory: places and weights of the first three of
 * four stages. */
static const double STAGE_AT[] = {0, 0.5, 0.75, 1}, WEIGHT[] = {2.0 / 9, 1.0 / 3, 4.0 / 9};
enum { STAGES = 4, LATER = STAGES - 1, MOST_RETRIES = 30 };

/* Behind a restart a step goes to the next known time; where that is far, one of this length is refused less often. */
static const double FIRST_STEP_S = 5;

typedef struct stage {
    double t, *rate;
} stage;

struct evn_solver {
    evn_system system;
    evn_sundials sundials;
    N_Vector y, tolerance; /* what the library integrates */
    size_t *inside;        /* the state at each place of its vector */
    size_t inside_count;
    void *erk;

    double from, to, whole_s;  /* the last step; its length before an event cut it */
    double *begin, *end, *now; /* states at both ends of the whole step, and where it was cut */
    stage first, later[LATER];
    size_t rates;  /* behind the first stage: the next goes to later[rates % LATER] */
    double *asked; /* states at a stage, and on the curve */
    double g_begin[EVN_WATCHES_MAX], g_end[EVN_WATCHES_MAX];

    double *bound;         /* of each state's error */
    double longest_step_s; /* INFINITY: any */
    bool anew;             /* the next step begins anew, at `to` */
    bool unfit;            /* a setting was refused */
    bool rate_failed;      /* since the last step */
    double failed_s;       /* when a rate was not finite, at the last try; INFINITY: none */
    double *memory;
};

/* ------------------------------------------------------------------------------------------------ stages */

static int no_rate(sunrealtype t, N_Vector y, N_Vector dy, void *self)
{
    (void)t, (void)y, (void)self;
    N_VConst(0, dy);
    return 0;
}

static int rate(sunrealtype t, N_Vector y, N_Vector dy, void *self)
{
    evn_solver *s = self;
    stage *at = t == s->to ? &s->first : &s->later[s->rates++ % LATER];
    const double *from = NV_DATA_S(y);
    double *to = NV_DATA_S(dy);
    for (size_t k = 0; k < s->inside_count; k++)
        s->asked[s->inside[k]] = from[k];
    at->t = t;
    if (!s->system.rate(t, s->asked, at->rate, s->system.self)) {
        s->failed_s = t;
        return 1;
    }
    for (size_t k = 0; k < s->inside_count; k++)
        to[k] = at->rate[s->inside[k]];
    return 0;
}

/* Of the last step: the stage at STAGE_AT[k]. */
static const stage *stage_at(const evn_solver *s, size_t k)
{
    return k == 0 ? &s->first : &s->later[(s->rates + k - 1) % LATER];
}

/* The library asks for stages in the order of the pair, once each: the integrals rest on it. */
static bool stages_are_those_of(const evn_solver *s, double from, double step_s)
{
    for (size_t k = 0; k < STAGES; k++)
        if (!(fabs(stage_at(s, k)->t - (from + STAGE_AT[k] * step_s)) <= 1e-3 * step_s + 8 * DBL_EPSILON * fabs(from)))
            return false;
    return true;
}

/* ------------------------------------------------------------------------------------------------ the library */

#if SUNDIALS_VERSION_MAJOR > 7 || (SUNDIALS_VERSION_MAJOR == 7 && SUNDIALS_VERSION_MINOR >= 1)
/* From 7.1 all steppers share these calls. */
#define ERKStepEvolve ARKodeEvolve
#define ERKStepFree ARKodeFree
#define ERKStepSVtolerances ARKodeSVtolerances
#define ERKStepSetInitStep ARKodeSetInitStep
#define ERKStepSetMaxErrTestFails ARKodeSetMaxErrTestFails
#define ERKStepSetMaxHnilWarns ARKodeSetMaxHnilWarns
#define ERKStepSetMaxStep ARKodeSetMaxStep
#define ERKStepSetStopTime ARKodeSetStopTime
#define ERKStepSetUserData ARKodeSetUserData
#endif

#if SUNDIALS_VERSION_MAJOR >= 7
static bool silence_erk(evn_solver *s)
{
    (void)s; /* the context's handler hears it */
    return true;
}
#else
static bool silence_erk(evn_solver *s)
{
    return !ERKStepSetErrHandlerFn(s->erk, evn_sundials_hear, &s->sundials) && !ERKStepSetErrFile(s->erk, NULL);
}
#endif

static void drop(evn_solver *s)
{
    if (!s)
        return;
    if (s->erk)
        ERKStepFree(&s->erk);
    if (s->y)
        N_VDestroy(s->y);
    if (s->tolerance)
        N_VDestroy(s->tolerance);
    evn_sundials_end(&s->sundials);
    free(s->inside);
    free(s->memory);
    free(s);
}

static bool set_up_states(evn_solver *s)
{
    size_t n = s->system.states;
    double **const row[] = {&s->begin,      &s->end,           &s->now,           &s->asked,        &s->bound,
                            &s->first.rate, &s->later[0].rate, &s->later[1].rate, &s->later[2].rate};
    enum { ROWS = sizeof row / sizeof *row };
    s->memory = calloc(ROWS * n, sizeof(double));
    s->inside = calloc(n, sizeof *s->inside);
    if (!s->memory || !s->inside)
        return false;
    for (size_t k = 0; k < ROWS; k++)
        *row[k] = s->memory + k * n;
    for (size_t k = 0; k < n; k++)
        if (!s->system.aside || !s->system.aside[k])
            s->inside[s->inside_count++] = k;
    return true;
}

/* The library takes its memory with its first step: with one that leads nowhere, so that a run takes none. */
static bool takes_its_memory(evn_solver *s)
{
    double reached;
    return !ERKStepSetInitStep(s->erk, 1) && ERKStepEvolve(s->erk, 1, s->y, &reached, ARK_ONE_STEP) >= 0;
}

static bool set_up_library(evn_solver *s)
{
    if (!evn_sundials_begin(&s->sundials))
        return false;
    s->y = evn_sundials_vector(&s->sundials, s->inside_count);
    s->tolerance = evn_sundials_vector(&s->sundials, s->inside_count);
    if (!s->y || !s->tolerance)
        return false;
    N_VConst(0, s->y);
    N_VConst(1, s->tolerance);
    s->erk = ERKStepCreate(no_rate, 0, s->y, s->sundials.context);
    return s->erk && silence_erk(s) && !ERKStepSetUserData(s->erk, s) &&
           !ERKStepSetTableNum(s->erk, ARKODE_BOGACKI_SHAMPINE_4_2_3) &&
           !ERKStepSetMaxErrTestFails(s->erk, MOST_RETRIES) && !ERKStepSetMaxHnilWarns(s->erk, -1) &&
           !ERKStepSVtolerances(s->erk, 0, s->tolerance) && takes_its_memory(s);
}

static evn_solver *create(const evn_system *system)
{
    evn_solver *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    s->system = *system;
    if (set_up_states(s) && set_up_library(s))
        return s;
    drop(s);
    return NULL;
}

static void restart(evn_solver *s, double t, const double *y, const evn_pace *pace)
{
    size_t bytes = s->system.states * sizeof *y;
    s->longest_step_s = pace->longest_step_s;
    memcpy(s->bound, pace->tolerance, bytes);
    memcpy(s->now, y, bytes);
    s->from = s->to = t;
    s->whole_s = 0;
    s->anew = true;
    s->unfit = s->rate_failed = false;
    s->failed_s = (double)INFINITY;
    s->sundials.said[0] = '\0';
}

/* The library begins anew at the end of the last step. */
static void begin_anew(evn_solver *s, double first_step_s)
{
    double *y = NV_DATA_S(s->y), *tolerance = NV_DATA_S(s->tolerance);
    for (size_t k = 0; k < s->inside_count; k++) {
        y[k] = s->now[s->inside[k]];
        tolerance[k] = s->bound[s->inside[k]];
    }
    s->unfit = s->unfit || ERKStepReInit(s->erk, rate, s->to, s->y) || ERKStepSVtolerances(s->erk, 0, s->tolerance) ||
               ERKStepSetMaxStep(s->erk, isinf(s->longest_step_s) ? 0 : s->longest_step_s) || /* 0: any */
               ERKStepSetInitStep(s->erk, first_step_s);
}

/* ------------------------------------------------------------------------------------------------ one step */

/* The library takes a rate that is not finite for final; a smaller step may avoid it. Never at the begin. */
static int evolve(evn_solver *s, double until, double *reached)
{
    int flag = ARK_ILL_INPUT;
    memcpy(s->asked, s->now, s->system.states * sizeof *s->now);
    if (s->anew)
        begin_anew(s, fmin(fmin(until - s->to, FIRST_STEP_S), s->longest_step_s));
    for (int tries = 0; tries < MOST_RETRIES && !s->unfit; tries++) {
        s->failed_s = (double)INFINITY;
        flag = ERKStepSetStopTime(s->erk, until);
        flag = flag ? flag : ERKStepEvolve(s->erk, until, s->y, reached, ARK_ONE_STEP);
        s->rate_failed = s->rate_failed || isfinite(s->failed_s);
        if (isinf(s->failed_s) || s->failed_s <= s->to)
            break;
        begin_anew(s, (s->failed_s - s->to) / 8);
    }
    return flag;
}

/* What keeps a step from counting; NULL: nothing. */
static const char *unlike_a_step(const evn_solver *s, int flag, double reached)
{
    if (s->unfit || flag < 0 || isfinite(s->failed_s))
        return "the integrator refuses to go on";
    if (!isfinite(reached) || reached <= s->to)
        return "a step that leads nowhere";
    return stages_are_those_of(s, s->to, reached - s->to) ? NULL : "a step whose stages are not those of the pair";
}

/* A way within round-off of time: the library would be at its end without a step. Nothing changes on it. */
static bool is_nothing(const evn_solver *s, double until)
{
    return until - s->to <= 200 * DBL_EPSILON * (fabs(s->to) + s->whole_s);
}

static void pass_over(evn_solver *s, double until)
{
    size_t bytes = s->system.states * sizeof *s->now;
    s->from = s->to;
    s->to = until;
    s->whole_s = 0;
    s->anew = true;
    memcpy(s->begin, s->now, bytes);
    memcpy(s->end, s->now, bytes);
}

static bool take_step(evn_solver *s, double until)
{
    double reached = s->to;
    size_t bytes = s->system.states * sizeof *s->now;
    if (is_nothing(s, until)) {
        pass_over(s, until);
        return true;
    }
    if (!s->anew) { /* the last stage is the rate at its end */
        stage last = *stage_at(s, LATER);
        s->later[(s->rates + LATER - 1) % LATER] = s->first;
        s->first = last;
        s->first.t = s->to;
    }
    int flag = evolve(s, until, &reached);
    const char *unlike = unlike_a_step(s, flag, reached);
    if (unlike) {
        if (!s->sundials.said[0])
            snprintf(s->sundials.said, sizeof s->sundials.said, "%s (%d)", unlike, flag);
        return false;
    }
    s->anew = s->rate_failed = false;
    s->from = s->to;
    s->to = flag == ARK_TSTOP_RETURN ? until : reached;
    s->whole_s = s->to - s->from;
    memcpy(s->begin, s->now, bytes);
    const double *k1 = stage_at(s, 0)->rate, *k2 = stage_at(s, 1)->rate, *k3 = stage_at(s, 2)->rate;
    for (size_t k = 0; k < s->system.states; k++)
        s->end[k] = s->begin[k] + s->whole_s * (WEIGHT[0] * k1[k] + WEIGHT[1] * k2[k] + WEIGHT[2] * k3[k]);
    for (size_t k = 0; k < s->inside_count; k++)
        s->end[s->inside[k]] = NV_DATA_S(s->y)[k];
    memcpy(s->now, s->end, bytes);
    return true;
}

/* The cubic through states and rates at both ends of the last step, at a share of it. */
static void on_curve(const evn_solver *s, double share, double *y)
{
    double u = share, w = 1 - u, h = s->whole_s;
    double begin = w * w * (1 + 2 * u), end = u * u * (1 + 2 * w), first = u * w * w * h, last = -u * u * w * h;
    const double *k1 = stage_at(s, 0)->rate, *k4 = stage_at(s, LATER)->rate;
    for (size_t k = 0; k < s->system.states; k++)
        y[k] = begin * s->begin[k] + end * s->end[k] + first * k1[k] + last * k4[k];
}

/* ------------------------------------------------------------------------------------------------ events */

static void watch_on_curve(void *self, double share, uint64_t wanted, double *g)
{
    evn_solver *s = self;
    on_curve(s, share, s->asked);
    s->system.watch_some(s->from + share * s->whole_s, s->asked, wanted, g, s->system.self);
}

/* The last step ends at its first event, if there is one. */
static uint64_t cut_at_event(evn_solver *s)
{
    evn_falls falls = {s->system.watches, s->g_begin, s->g_end, watch_on_curve, s, 0};
    uint64_t hit = evn_falls_seen(&falls);
    if (!hit)
        return 0;
    falls.close = 100 * DBL_EPSILON * (s->to + s->whole_s) / s->whole_s;
    double share = evn_falls_first(&falls, &hit);
    s->anew = true;
    if (share < 1) {
        on_curve(s, share, s->now);
        s->to = s->from + share * s->whole_s;
    }
    return hit;
}

static evn_reached advance(evn_solver *s, double until, uint64_t *hit)
{
    const evn_system *on = &s->system;
    if (s->anew)
        on->watch(s->to, s->now, s->g_begin, on->self);
    while (take_step(s, until)) {
        on->watch(s->to, s->now, s->g_end, on->self);
        *hit = cut_at_event(s);
        if (!on->step(s->from, s->to, s->now, on->self))
            return EVN_STOPPED;
        if (*hit)
            return EVN_REACHED_EVENT;
        memcpy(s->g_begin, s->g_end, on->watches * sizeof *s->g_end);
        if (s->to >= until)
            return EVN_REACHED_TIME;
    }
    return EVN_GAVE_UP;
}

/* ------------------------------------------------------------------------------------------------ the calls */

static evn_reached go(evn_solver *s, double until, double *t, double *y, uint64_t *hit)
{
    *hit = 0;
    evn_reached end = advance(s, until, hit);
    *t = s->to;
    memcpy(y, s->now, s->system.states * sizeof *y);
    return end;
}

static void look_back(evn_solver *s, double t, double *y)
{
    if (s->whole_s > 0)
        on_curve(s, (t - s->from) / s->whole_s, y);
    else
        memcpy(y, s->now, s->system.states * sizeof *y);
}

static const char *why(const evn_solver *s)
{
    return s->rate_failed ? "the rates are not finite" : s->sundials.said[0] ? s->sundials.said : "no reason was given";
}

const evn_solver_kind evn_arkode = {"arkode", create, restart, go, look_back, why, drop};
