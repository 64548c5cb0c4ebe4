/*
 * coastdown.h: what holds a truck back, out of logs of coast-downs: rolling coefficient and drag area with intervals,
 * by regression and by a fit of the equations of motion. How stands in src/coastdown/COASTDOWN.md of the source tree.
 *
 * A coast-down is driven on public or closed roads at speed: local regulation and those who are licensed for it say
 * where and how. What comes out holds for the truck, tyres and road of the test.
 */
#ifndef EVENER_COASTDOWN_H
#define EVENER_COASTDOWN_H

#include "evener/logs.h"

#ifdef __cplusplus
extern "C" {
#endif

/* evn_coastdown_how_default gives the defaults. */
typedef struct evn_coastdown_how {
    double mass_kg;           /* 500 to 500000; of the whole vehicle, as weighed; there is no default */
    double tyres;             /* 2 to 64; NAN, the default: none; on the road, each 56.7 kg of rotating mass */
    double rotating_kg;       /* 0 to 50000; NAN, the default: that of the tyres; what turns with the wheels, as mass */
    double gravity_m_s2;      /* 9.7 to 9.9; default 9.80665 */
    double from_km_h;         /* 20 to 200; NAN, the default: from where each run begins; samples above are left out */
    double to_km_h;           /* 1 to 150; default 15; samples below are left out */
    double band_km_h;         /* 1 to 30; default 5; width of the bands of speed of the regression */
    double grade_percent;     /* -10 to 10; NAN, the default: of the logs; in the direction of the first run */
    double air_density_kg_m3; /* 0.5 to 2; NAN, the default: of the logs, else of the standard atmosphere */
    double altitude_m;        /* -500 to 9000; NAN, the default: of the logs, else 0; for that */
    double temperature_degc;  /* -60 to 60; NAN, the default: of the logs, else of the standard atmosphere; for that */
    double headwind_m_s;      /* -20 to 20; NAN, the default: as measured, else found; against the first run */
    bool with_speed;          /* a part of rolling resistance that grows with speed is sought too */
    const size_t *back;       /* numbers, from 1, of the runs that go against the first; NULL: by heading or place */
    size_t backs;
    const evn_log_ask *log; /* how logs are read; NULL: by what they say themselves */
} evn_coastdown_how;
EVN_API evn_coastdown_how evn_coastdown_how_default(void);

typedef struct evn_coastdown evn_coastdown;

/*
 * Reads so many logs, finds the coast-downs in them, and what held the truck back. A run that does not do is left out
 * with a warning ("run_refused"). EVN_BAD_INPUT: a log cannot be read as one, a member is out of its bounds
 * ("out_of_range"), there are no coast-downs in both directions that do ("no_coasting"), or their direction is not
 * known
 * ("disagrees"); EVN_NO_RESULT: the fit came to no end ("not_finite"). There may be an object where runs were found and
 * nothing came of them.
 */
EVN_API evn_status evn_coastdown_find(const char *const *logs, size_t count, const evn_coastdown_how *,
                                      evn_coastdown **out, evn_report *);
EVN_API void evn_coastdown_free(evn_coastdown *);

/* One coasting of a log, in the order of files and rows. */
typedef struct evn_coastdown_run {
    const char *file;
    unsigned line, last_line;
    bool back;
    size_t pair; /* from 1, an out and a back that belong together; 0: it is not used */
    double from_km_h, to_km_h, duration_s;
    double wind_m_s;              /* over ground, mean; NAN: not measured */
    double air_density_kg_m3;     /* mean */
    const char *grade_from;       /* "grade", "altitude" (columns of the log), "given", "level" */
    double rolling, drag_area_m2; /* that fit this run best by itself; NAN: it is not used */
    double rms_km_h;              /* of its speeds against the fit */
    /* Why it is not used: "gap", "too_short", "braked", "uneven", "wind", "other_road", "outlier", "no_partner"; NULL:
     * it is. And that in words. */
    const char *refused, *why;
} evn_coastdown_run;
EVN_API bool evn_coastdown_run_at(const evn_coastdown *, size_t index, evn_coastdown_run *out);

typedef enum evn_coastdown_method {
    EVN_COASTDOWN_FIT,       /* of the equations of motion to speeds */
    EVN_COASTDOWN_REGRESSION /* of forces over squares of speeds, as 40 CFR 1066.310(b) does */
} evn_coastdown_method;

/* A coefficient: "rolling_coefficient", "drag_area_m2", "rolling_coefficient_s_m", "headwind_m_s", "rolling_n" (the
 * force at the mass of the test), "drag_n_s2_m2" (the force over the square of the speed, at the air density of the
 * test). */
typedef struct evn_coastdown_figure {
    evn_quantity what;
    double value, low, high; /* of its 95 % interval; NAN: not sought, as measured or given */
} evn_coastdown_figure;
EVN_API bool evn_coastdown_figure_at(const evn_coastdown *, evn_coastdown_method, size_t index,
                                     evn_coastdown_figure *out);

/* How it came about. */
typedef struct evn_coastdown_told {
    size_t runs, used, pairs;
    bool by_scatter;           /* intervals tell the scatter between pairs; else the noise within runs alone */
    double correlation;        /* of rolling coefficient and drag area, by the fit */
    double wind_correlation;   /* of wind and rolling part that grows with speed; NAN: not both sought */
    double from_km_h, to_km_h; /* that all runs that are used have in common */
    bool range_of_regulation;  /* each begins at 70 mph or more and ends at 15 mph or less */
    bool wind_found;           /* not measured, but found by the fit */
    double mass_kg, rotating_kg, air_density_kg_m3; /* of the test; density: mean */
    double rms_km_h, rms_n;                         /* of the fit, of the regression */
    /* Coefficients of a dynamometer, in N, N s/m and N s2/m2: the regression's intercept, 0, and its slope in the air
     * of 98.21 kPa and 20 degC (40 CFR 1066.310(b)(8)(ii); that air is from memory). */
    double target_a_n, target_b_n_s_m, target_c_n_s2_m2;
    double drag_per_mass_percent; /* by which the drag area rises with 1 % more mass */
} evn_coastdown_told;
EVN_API bool evn_coastdown_told_of(const evn_coastdown *, evn_coastdown_told *out);

/* A band of speed of a run: the force that slows it, less grade and rotating mass, and that of the fit there. */
typedef struct evn_coastdown_band {
    size_t run; /* index */
    double speed_km_h, force_n, fitted_n;
} evn_coastdown_band;
EVN_API bool evn_coastdown_band_at(const evn_coastdown *, size_t index, evn_coastdown_band *out);

#ifdef __cplusplus
}
#endif
#endif
