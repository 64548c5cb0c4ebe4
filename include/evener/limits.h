/*
 * limits.h: what a truck can do, before any route: starting, climbing, changing up, descending, braking. Each figure
 * says which limit binds it, and which would bind next.
 */
#ifndef EVENER_LIMITS_H
#define EVENER_LIMITS_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * A figure of a list. Its key is GROUP.ROW.COLUMN, "start.dry.once_percent"; figures of one group come together, and
 * those of one row. A limit binds a figure where the figure would be better without that limit alone; which would bind
 * next is asked in the same way once that one is lifted. Limits: "motor_torque", "motor_power", "motor_speed",
 * "winding_temperature", "inverter_temperature", "brake_temperature", "battery_power", "battery_charge", "adhesion",
 * "gear_change", "no_drive" (nothing is left that could), "off" (regeneration is switched off), "low_speed" (it is
 * faded there), "motor_share" (friction brakes have a stated share of all braking), "no_heat_data" (no file states how
 * it heats).
 */
typedef struct evn_limits_figure {
    evn_quantity what;
    const char *group;                 /* "start" */
    const char *row, *row_label;       /* "dry", "dry road" */
    const char *column, *column_label; /* "once_percent", "once" */
    double value;                      /* NAN: there is none; the limit says why */
    bool beyond;                       /* what was searched ended there: the true one is better still */
    const char *limit, *limit_label;   /* that binds; NULL: none does */
    const char *next, *next_label;     /* that would bind next; NULL: none is known */
    double next_value;                 /* the figure once the first is lifted; NAN: as good as wanted, or not known */
    double low, high;                  /* with the ends of the surface's range of adhesion; NAN: no such range */
} evn_limits_figure;

/* A group of figures: "start", its title and what holds for all of it. False: no more. */
EVN_API bool evn_limits_group_at(size_t index, const char **group, const char **title, const char **help);

/* All limits that a figure may name, with their labels. False: no more. */
EVN_API bool evn_limits_bound_at(size_t index, const char **limit, const char **label);

/*
 * What a truck must be able to do, as the duty has it: a key each of the kind "demands", which lineups hold. A speed on
 * a grade and the grade need each other; so does what is asked of starting the grade.
 */
struct evn_demands {
    double start_grade_percent; /* 0 to 100; NAN, the default: not asked; it moves off from rest on this grade */
    evn_surface start_surface;  /* default EVN_SURFACE_AS_CYCLE: the ground as the driving asks, else as the truck
                                   states; on which starting is asked for, and told */
    bool change_up;             /* default false; on that grade and ground it also changes up and goes on pulling */
    double climb_grade_percent; /* 0 to 100; NAN, the default: not asked; on which it holds climb_speed_km_h */
    double climb_speed_km_h;    /* 1 to 150; NAN, the default: not asked */
    bool climb_continuous; /* default false; for as long as it likes, by the heat of windings and inverters with the
                              coolant of the truck's file; else at the temperatures of the start */
    double descent_grade_percent; /* 0 to 100; NAN, the default: not asked; that motors alone hold down */
    double descent_speed_km_h;    /* 1 to 150; default 30; at which the descent is asked for, and told */
    double descent_soc;           /* 0 to 1; NAN, the default: that of the load case; state of charge, likewise */
};

EVN_API evn_demands evn_demands_default(void);
/* As evn_load_case_set and evn_load_case_get; of a flag the value is 0 or 1. */
EVN_API bool evn_demands_set(evn_demands *, const char *key, double value, evn_report *);
EVN_API bool evn_demands_get(const evn_demands *, const char *key, double *value);
/* What the lineup demands of its trucks; of what was loaded already nothing: evn_demands_default. */
EVN_API evn_demands evn_lineup_demands(const evn_lineup *);

/* What runs as well as forces are asked for; all zero does. */
typedef struct evn_limits_how {
    bool only_forces;           /* what follows from forces alone: none of the figures that are found by driving */
    bool only_deciding;         /* the group "deciding" alone, which comparisons tell: from forces too */
    bool only_demands;          /* what is demanded alone, from forces: no figures, and no limits that bind */
    const evn_demands *demands; /* that are judged; NULL: none */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as that of evn_watcher; may be NULL */
} evn_limits_how;

/*
 * Finds them all, for a rig (its load case, its state of charge at the start) and a driving (its driver, surface and
 * accuracy; what else it holds is for routes). `how` may be NULL. EVN_DONE; EVN_BAD_INPUT: a member of the driving or
 * of the demands is out of its bounds ("out_of_range", "unknown_choice"), or a demand lacks its other half
 * ("missing_key"); EVN_NO_RESULT: ended by go_on ("interrupted"), or memory is out.
 *
 * The figures are for comparing layouts. How a loaded vehicle may be started, driven downhill and braked is for local
 * regulation, approved testing and licensed practice.
 */
EVN_API evn_status evn_limits_find(const evn_rig *, const evn_driving *, const evn_limits_how *how, evn_limits **out,
                                   evn_report *);
EVN_API void evn_limits_free(evn_limits *);
EVN_API size_t evn_limits_count(const evn_limits *);
EVN_API bool evn_limits_at(const evn_limits *, size_t index, evn_limits_figure *out);
EVN_API bool evn_limits_get(const evn_limits *, const char *key, evn_limits_figure *out);

/*
 * One demand, held against what the truck can. Its key is "start", "change_up", "climb" or "descent"; label and short
 * label say what is demanded ("starting on 15 %, soil") and what it can ("starts on", of so many per cent). Limits are
 * those of figures.
 */
typedef struct evn_limits_verdict {
    evn_quantity what; /* with the unit of all its values */
    double demanded;
    double value; /* NAN: the demand is not met, and the limit says why; NULL: of a continuous speed, where the
                     truck's files state nothing of heat */
    bool beyond;  /* what was searched ended there */
    bool met;
    const char *limit, *limit_label; /* as in evn_limits_figure */
    const char *next, *next_label;
    double next_value;
    double low, high; /* of starting on ground that is named: with the ends of its range of adhesion; else NAN */
} evn_limits_verdict;
EVN_API bool evn_limits_demand_at(const evn_limits *, size_t index, evn_limits_verdict *out); /* false: no more */

/*
 * Those of a truck of a comparison, by forces: the group "deciding", and what the lineup demands. Belongs to the
 * comparison. NULL: the truck could not be prepared.
 */
EVN_API const evn_limits *evn_comparison_limits(const evn_comparison *, size_t truck);

#ifdef __cplusplus
}
#endif
#endif
