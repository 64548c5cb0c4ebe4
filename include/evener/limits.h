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
 * "gear_change", "no_drive" (nothing is left that could), "off" (regeneration is switched off).
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

/* What runs as well as forces are asked for; all zero does. */
typedef struct evn_limits_how {
    bool only_forces; /* what follows from forces alone: none of the figures that are found by driving */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as that of evn_watcher; may be NULL */
} evn_limits_how;

/*
 * Finds them all, for a rig (its load case, its state of charge at the start) and a driving (its driver, surface and
 * accuracy; what else it holds is for routes). `how` may be NULL. EVN_DONE; EVN_BAD_INPUT: a member of the driving is
 * out of its bounds; EVN_NO_RESULT: ended by go_on ("interrupted"), or memory is out.
 *
 * The figures are for comparing layouts. How a loaded vehicle may be started, driven downhill and braked is for local
 * regulation, approved testing and licensed practice.
 */
typedef struct evn_limits evn_limits;
EVN_API evn_status evn_limits_find(const evn_rig *, const evn_driving *, const evn_limits_how *how, evn_limits **out,
                                   evn_report *);
EVN_API void evn_limits_free(evn_limits *);
EVN_API size_t evn_limits_count(const evn_limits *);
EVN_API bool evn_limits_at(const evn_limits *, size_t index, evn_limits_figure *out);
EVN_API bool evn_limits_get(const evn_limits *, const char *key, evn_limits_figure *out);

#ifdef __cplusplus
}
#endif
#endif
