/*
 * Road load from coast-downs: what a vehicle that rolls freely loses of its speed tells what holds it back. Speeds over
 * time in, the coefficients of rolling resistance and air drag with intervals out. COASTDOWN.md says what is done and
 * why. No logs here, no files: gather.h makes the runs.
 */
#ifndef EVENER_COASTDOWN_COASTDOWN_H
#define EVENER_COASTDOWN_COASTDOWN_H
#include "coastdown/normal.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct evn_coast_vehicle {
    double mass_kg;     /* as weighed */
    double rotating_kg; /* of what turns with the wheels, as mass on top */
    double gravity_m_s2;
} evn_coast_vehicle;

typedef struct evn_coast_sample {
    double time_s, speed_m_s;
    double grade;        /* tangent of the slope in the direction of travel, above zero uphill */
    double headwind_m_s; /* measured, along the road against the vehicle */
} evn_coast_sample;

/* One coasting, from a high speed to a low one. */
typedef struct evn_coast_run {
    const evn_coast_sample *at; /* in the order of time, at least two */
    size_t count;
    double density_kg_m3;
    bool back;    /* against the direction of the others */
    size_t group; /* runs that belong together, one out and one back: their mean errs as one */
} evn_coast_run;

/*
 * What is sought. The road load is
 *   m g cos(slope) (ROLLING + ROLLING_S_M v) + 1/2 rho DRAG (v + w)^2 + m g sin(slope),
 * w the headwind as measured and WIND, which blows against runs out and with runs back.
 */
typedef enum evn_coast_law {
    EVN_COAST_ROLLING,     /* 1 */
    EVN_COAST_DRAG,        /* m2 */
    EVN_COAST_ROLLING_S_M, /* s/m */
    EVN_COAST_WIND,        /* m/s */
    EVN_COAST_LAWS
} evn_coast_law;

typedef struct evn_coast_road_load {
    double of[EVN_COAST_LAWS];
} evn_coast_road_load;

/* Which of them, as bits 1 << law; the others stay what they were given as. */
typedef unsigned evn_coast_sought;

typedef struct evn_coast_found {
    bool there; /* false: nothing could be found, and why: */
    const char *why_not;
    evn_coast_road_load load;    /* of what was not sought: as given */
    double half[EVN_COAST_LAWS]; /* half of the 95 % interval; NAN: not sought */
    bool by_scatter;             /* intervals tell the scatter between groups; else the noise within runs alone */
    double correlation[EVN_COAST_LAWS][EVN_COAST_LAWS];
    double rms;  /* of the residuals: N of the regression, m/s of the fit */
    size_t rows; /* of the regression: bands of speed; of the fit: samples */
    size_t groups;
} evn_coast_found;

/* ---------------------------------------------------------------------------------------------- motion (motion.c) */

/* Speeds at the samples of a run that begins with speed `first_m_s`. With `slope`: of each sample the derivatives of
 * the speed by all laws, and by the first speed last. */
enum { EVN_COAST_SLOPES = EVN_COAST_LAWS + 1 };
void evn_coast_motion(const evn_coast_vehicle *, const evn_coast_run *, const evn_coast_road_load *, double first_m_s,
                      double *speed_m_s, double (*slope)[EVN_COAST_SLOPES]);

/* What holds it back at one instant, over its mass with what turns. */
double evn_coast_deceleration_m_s2(const evn_coast_vehicle *, const evn_coast_run *, const evn_coast_road_load *,
                                   double grade, double headwind_m_s, double speed_m_s);

/* ------------------------------------------------------------------------------------- regression (regression.c) */

/* Of a band of speed that a run goes through: force that slows it, without grade and rotating mass: m g c + 1/2 rho A
 * v2. */
typedef struct evn_coast_band {
    size_t run;
    double speed_m_s, speed2_m2_s2; /* mean of it, and of its square with the wind */
    double slope_cos, density_kg_m3;
    double force_n, duration_s;
} evn_coast_band;

/*
 * Bands of `width_m_s` of all runs from the highest on, at most `room` of them; returns how many there are, stored or
 * not. `wind_m_s`, in the direction of runs back, is taken as measured on top.
 */
size_t evn_coast_bands(const evn_coast_vehicle *, const evn_coast_run *, size_t runs, double width_m_s, double wind_m_s,
                       evn_coast_band *out, size_t room);

/* Least squares of the force over the square of the speed: ROLLING and DRAG. */
void evn_coast_regress(const evn_coast_vehicle *, const evn_coast_run *, size_t runs, const evn_coast_band *,
                       size_t bands, evn_coast_found *out);

/* --------------------------------------------------------------------------------------------------- fit (fit.c) */

/* Of each run by itself: rolling and drag that fit it best with all else as found, and how well. */
typedef struct evn_coast_own {
    double rolling, drag_area_m2, rms_m_s;
    double first_m_s; /* speed that the fit begins it with */
} evn_coast_own;

/*
 * Fits the equations of motion to the speeds of all runs at once, each with a first speed of its own, by
 * Levenberg-Marquardt (cminpack). `load` is where it begins, and what stays of that which is not sought. `own`: so many
 * as runs. False when memory is out.
 */
bool evn_coast_fit(const evn_coast_vehicle *, const evn_coast_run *, size_t runs, evn_coast_sought,
                   const evn_coast_road_load *, evn_coast_own *own, evn_coast_found *out);

#endif
