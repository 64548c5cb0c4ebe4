/* What is recorded of a variant: results, figures before driving, limits, charge over a day. */
#ifndef EVENER_VARY_COLUMNS_H
#define EVENER_VARY_COLUMNS_H
#include "limits/limits.h"
#include "vary/seats.h"

enum { EVN_COLUMNS_MOST = 320 };

typedef enum evn_column_of {
    EVN_COLUMN_RESULT,  /* of the run, or of the day */
    EVN_COLUMN_FIGURE,  /* of the truck made ready: masses */
    EVN_COLUMN_LIMIT,   /* "limits.GROUP.ROW.COLUMN" */
    EVN_COLUMN_DEMAND,  /* "limits.demanded.KEY": what it can, of what the lineup demands */
    EVN_COLUMN_DEMANDS, /* "limits.demands_met" */
    EVN_COLUMN_DAY      /* "day.lowest_soc" */
} evn_column_of;

typedef struct evn_column {
    evn_column_of of;
    evn_quantity what;   /* its key as it is recorded */
    const char *own_key; /* as its source names it */
} evn_column;

typedef struct evn_bound_on { /* a constraint */
    size_t column;
    evn_sense sense;
    double bound;
    const char *text;
} evn_bound_on;

typedef struct evn_aim { /* an objective */
    size_t column;
    bool most;
} evn_aim;

typedef struct evn_columns {
    evn_column *at;
    size_t count;
    evn_bound_on bound[EVN_FEW_TEXTS];
    size_t bounds;
    evn_aim aim[EVN_OBJECTIVES_MOST];
    size_t aims;
    bool limits, all_limits, deciding; /* which of them are asked for: any, beyond what decides, what decides */
} evn_columns;

/* `rigs` of so many trucks, made ready as they are; a key must be known of one of them. False: said. */
bool evn_columns_make(evn_columns *, const evn_study_file *, const evn_rig *const *rigs, size_t count,
                      const evn_conditions *, const evn_study_reader *, evn_arena *, evn_report *);

/* What a driven variant is asked. */
typedef struct evn_driven {
    const evn_rig *rig;
    const evn_results *results;
    const evn_limits *limits;  /* NULL: not asked */
    const evn_day_season *day; /* NULL: no day */
} evn_driven;
double evn_column_value(const evn_column *, const evn_driven *); /* NAN: it has no such value */

/* The first constraint that values break; NULL: none. NAN breaks it. */
const evn_bound_on *evn_columns_broken(const evn_columns *, const double *values);

/* How limits are asked. */
evn_limits_how evn_columns_limits_how(const evn_columns *, const evn_demands *);

#endif
