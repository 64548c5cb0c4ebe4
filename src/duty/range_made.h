/* What stands behind an evn_range, for its two halves: the table of distances and the battery. */
#ifndef EVENER_DUTY_RANGE_MADE_H
#define EVENER_DUTY_RANGE_MADE_H
#include "core/arena.h"
#include "duty/day.h"
#include "duty/range.h"
#include "duty/reach.h"

enum { EVN_RANGE_LOADS_MOST = EVN_AXLES_MAX + 1 };

struct evn_range {
    evn_arena *arena;
    const evn_truck_file *truck;
    const evn_duty_file *duty;
    evn_conditions ask;
    double payload_kg[EVN_RANGE_PAYLOADS_MOST], age_years[EVN_RANGE_AGES_MOST];
    size_t payloads, ages, seasons;
    unsigned days_most;
    evn_range_goal goal;
    evn_day_reach *reach; /* payload by payload, of each age by age, of each season by season */
    size_t cells, worst;
    evn_range_pack pack;
    evn_range_load load[EVN_RANGE_LOADS_MOST]; /* with the battery that is found */
    size_t loads;
};

/* Those with the first payload. */
static inline size_t evn_range_first_cells(const evn_range *r) { return r->seasons * r->ages; }

/* What is asked of a cell, with the truck as it is. */
evn_day_reach evn_range_ask_of(const evn_range *, size_t cell);

/* NULL: the only one, without a name. */
const char *evn_range_season_of(const evn_range *, size_t cell);

/* Behind the table. False: the runs were stopped, or memory is out (said). */
bool evn_range_find_pack(evn_range *, double kg_per_kwh, evn_runs *, evn_report *);

#endif
