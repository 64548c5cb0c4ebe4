/* Which variants a study has: the values of its variables in each of them, a function of the index alone. */
#ifndef EVENER_VARY_PLAN_H
#define EVENER_VARY_PLAN_H
#include "core/arena.h"
#include "vary/study.h"
#include <stdint.h>

#define EVN_POINTS_MOST UINT64_C(10000000)

typedef struct evn_plan {
    const evn_study_file *study;
    uint64_t points;                     /* of search: none, it finds them itself */
    size_t values[EVN_VARIABLES_MOST];   /* of a grid, and of lists and choices: how many a variable has */
    uint32_t *order[EVN_VARIABLES_MOST]; /* of a Latin hypercube: the cell of each point */
} evn_plan;

/* False (said): too many points, or memory is out. */
bool evn_plan_make(evn_plan *, const evn_study_file *, evn_arena *, evn_report *);

/* The value of a variable in a point; of choices the place of the one chosen. */
double evn_plan_value(const evn_plan *, uint64_t point, size_t variable);

/* What a variable takes at a share of its range, 0 to 1; of lists and choices one of so many equal parts. */
double evn_variable_at_share(const evn_variable_file *, double share);
/* How many values it has; 0: what lies between two ends. */
size_t evn_variable_count(const evn_variable_file *);
double evn_variable_value(const evn_variable_file *, size_t index); /* of these */

/* Combinations of choices, values and whole numbers of a search; beyond the most they are not counted to the end. */
enum { EVN_SEARCH_CELLS_MOST = 64 };
size_t evn_search_cells(const evn_study_file *);

/* A number of a point of samples within (0, 1), and points of a survey of a search, of each start of which `group` is
 * one of its own. */
double evn_survey_share(const evn_study_file *, uint32_t group, uint32_t point, size_t dimension);

#endif
