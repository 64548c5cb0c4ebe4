/*
 * Numbers behind pictures: columns with keys and units, rows. A chart owns all its memory. Nothing here drives; it asks
 * rig and cycle, or counts the rows of a run.
 */
#ifndef EVENER_CHART_CHART_H
#define EVENER_CHART_CHART_H
#include "core/arena.h"
#include "cycle/cycle.h"
#include "evener/charts.h"
#include "truck/rig.h"

struct evn_chart {
    evn_arena *arena;
    evn_quantity *column;
    size_t columns, columns_room;
    double *value; /* row by row */
    size_t rows, rows_room;
    bool short_of_memory;
};

/* A chart with room for so many columns; NULL (said) when memory is out. */
evn_chart *evn_chart_begin(size_t columns_room, evn_report *);

/* Adds a column; the key is copied, unit and help must last. Columns come before rows. */
void evn_chart_add_column(evn_chart *, const char *key, const char *unit, const char *label, const char *help,
                          int digits);

/* A row of NANs to be filled; valid until the next. NULL when memory is out. */
double *evn_chart_add_row(evn_chart *);

/* Hands the chart out; what ran out of memory on the way is said and freed. */
evn_status evn_chart_done(evn_chart *, evn_chart **out, evn_report *);

/* False, and said, where there is no such unit among so many. */
bool evn_chart_unit_is_there(size_t unit, size_t count, evn_report *);

/* The column of a truck's rows by its key, with the name of the unit where there are several. */
size_t evn_chart_trace_column(const evn_rig *, const char *unit, const char *key);

/* ---- the charts; each as the public call of its name */
evn_status evn_chart_forces(const evn_rig *, evn_chart **, evn_report *);
evn_status evn_chart_motor(const evn_rig *, size_t unit, evn_chart **, evn_report *);
evn_status evn_chart_envelope(const evn_rig *, size_t unit, evn_chart **, evn_report *);
evn_status evn_chart_road(const evn_cycle_file *, evn_chart **, evn_report *);
evn_status evn_chart_limits(const evn_cycle_file *, evn_chart **, evn_report *);
evn_status evn_chart_stops(const evn_cycle_file *, evn_chart **, evn_report *);
evn_status evn_chart_braking_shares(const evn_rig *, evn_chart **, evn_report *);
evn_status evn_chart_braking_to_rest(const evn_rig *, evn_chart **, evn_report *);
evn_status evn_chart_motor_braking(const evn_rig *, evn_chart **, evn_report *);
evn_status evn_chart_adhesion_use(const evn_adhesion_use *, evn_chart **, evn_report *);
evn_status evn_chart_adhesion_bands(evn_chart **, evn_report *);
evn_status evn_chart_heat_limits(const evn_rig *, evn_chart **, evn_report *);

#endif
