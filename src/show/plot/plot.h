/* Pictures for the terminal: trucks ranked, the route with the runs over it, where the energy went, wheel force over
 * speed. */
#ifndef EVENER_SHOW_PLOT_H
#define EVENER_SHOW_PLOT_H
#include "evener/evener.h"
#include "show/day_strip.h"
#include "show/look.h"

enum { EVN_PLOT_MARGIN = 8, EVN_PLOT_LEAST = 20, EVN_PLOT_MOST = 200 };

/* Columns that the picture itself has within the window (80 where it has no width), behind its scale. */
size_t evn_plot_columns(const evn_look *);

/* A run gathered in columns along the route, each half a column with its lowest and highest speed: no peak is lost.
 * Give it the rows of the trace. */
typedef struct evn_plot_run evn_plot_run;
evn_plot_run *evn_plot_run_new(const evn_rig *, const evn_cycle *, size_t columns); /* NULL when memory is out */
void evn_plot_run_free(evn_plot_run *);
void evn_plot_run_sample(void *run, const double *row, size_t columns); /* as evn_watcher.sample wants it */

/* Half columns 0 to 2 * columns - 1; false where the truck has not been. */
bool evn_plot_run_speed(const evn_plot_run *, size_t half, double *lowest_km_h, double *highest_km_h);
bool evn_plot_run_charge(const evn_plot_run *, double *first, double *last, double *least); /* false: no rows */

typedef struct evn_plot_truck {
    const char *name;           /* NULL: there is but one */
    const evn_plot_run *run;    /* NULL: it was not driven */
    const evn_results *results; /* likewise */
    bool stopped;               /* short of the end: its energy is that of a shorter road */
} evn_plot_truck;

/* Both pictures; trucks that have names are told to be at their own speeds. Of several, those that stopped say where,
 * and have no bars beside those that did not. False when memory is out. */
bool evn_plot_print(const evn_cycle *, const evn_plot_truck *, size_t count, FILE *, const evn_look *);

/* The energy balance alone. */
bool evn_plot_balance(const evn_plot_truck *, size_t count, FILE *, const evn_look *);

/* Days over one clock, a strip of each; `season` NULL: of none. False when memory is out. */
bool evn_plot_day(const evn_day_strip *, size_t count, const char *season, FILE *, const evn_look *);

/* Wheel force over speed with the road load on grades; `name` NULL: there is but one. False when memory is out. */
bool evn_plot_forces(const evn_rig *, const char *name, FILE *, const evn_look *);

/* A truck against the first, in per cent, with its interval where one was found. */
typedef struct evn_plot_ranked {
    const char *name;
    double percent, low_percent, high_percent;
    bool sure;
} evn_plot_ranked;

typedef struct evn_plot_ranking {
    const char *title, *first; /* the truck that the others are held against */
    const char *by;            /* "by first order"; NULL: no intervals */
} evn_plot_ranking;

/* Trucks in the order given, the first as the line to hold against. False when memory is out. */
bool evn_plot_ranked_print(const evn_plot_ranked *, size_t count, const evn_plot_ranking *, FILE *, const evn_look *);

/* A step of the way from one truck to another: what it adds, or a truck with its whole value. */
typedef struct evn_plot_step_of {
    const char *name;
    double value;
    bool whole;
} evn_plot_step_of;

typedef struct evn_plot_bridge {
    const char *title, *unit;
    const char *note; /* a sentence behind the legend; NULL: none */
    int digits;
} evn_plot_bridge;

/* In the order given. False when memory is out. */
bool evn_plot_bridge_print(const evn_plot_step_of *, size_t count, const evn_plot_bridge *, FILE *, const evn_look *);

/* Dots about a line of zero: what is off what was expected, over one quantity. */
typedef struct evn_plot_dots {
    const char *title, *x_unit, *y_unit;
    const double *x, *y;
    size_t count;
    int digits; /* of the scale of y */
} evn_plot_dots;
/* False when memory is out. */
bool evn_plot_scatter(const evn_plot_dots *, FILE *, const evn_look *);

/* ---- its parts */
/* The first so many columns of a text, filled up with blanks; a wide sign that stands across the end becomes a blank.
 */
void evn_plot_put_cut(FILE *, const char *text, size_t columns);

typedef struct evn_plot_canvas evn_plot_canvas; /* so many columns and rows of characters */
evn_plot_canvas *evn_plot_canvas_new(size_t columns, size_t rows, bool utf8);
void evn_plot_canvas_free(evn_plot_canvas *);
/* Fills half a column between two shares of the height, 0 at the foot to 1. */
void evn_plot_canvas_span(evn_plot_canvas *, size_t half, double from, double to);
void evn_plot_canvas_row(const evn_plot_canvas *, size_t row, FILE *); /* 0 is the uppermost */

/* A step of 1, 2 or 5 times a power of ten that divides a range into at most so many parts. */
double evn_plot_step(double range, size_t parts_most);

#endif
