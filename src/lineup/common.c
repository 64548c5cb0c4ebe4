/* One round at a common speed: what is asked of a run, what its truck reached, and whether it kept the speed. */
#include "lineup/common.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

/* Rows of the runs that the ceiling is made of. */
#define SAMPLE_S 0.5
/* Share of v^2 by which a ceiling may pass beside the speeds it was made of. */
#define THIN_SHARE 5e-5
/* The common speed is kept when no truck takes longer than its plan by more than this share of it ... */
#define LATE_SHARE 4e-5
/* ... or is ever further below it than this, km/h. */
#define BELOW_KM_H 0.25

/* ------------------------------------------------------------------------------------------------ speeds reached */

static void begin_rows(void *self)
{
    evn_reach *r = self;
    evn_ceiling_clear(&r->speeds);
    r->below_km_h = 0;
}

static void take_row(void *self, const double *row, size_t columns)
{
    evn_reach *r = self;
    (void)columns;
    double v = row[r->speed] * EVN_M_S_PER_KM_H;
    r->below_km_h = fmax(r->below_km_h, row[r->plan] - row[r->speed]);
    r->out_of_memory = !evn_ceiling_add(&r->speeds, row[r->place], v * v) || r->out_of_memory;
}

static size_t column_of(const evn_rig *rig, const char *key)
{
    evn_trace_column column;
    size_t k = 0;
    while (evn_trace_column_at(rig, k, &column) && strcmp(column.what.key, key) != 0)
        k++;
    return k;
}

evn_sampler evn_reach_sampler(evn_reach *r, const evn_rig *rig)
{
    r->place = column_of(rig, "place_m");
    r->speed = column_of(rig, "speed_km_h");
    r->plan = column_of(rig, "target_speed_km_h");
    return (evn_sampler){r, SAMPLE_S, begin_rows, take_row};
}

void evn_reach_end(evn_reach *r) { evn_ceiling_clear(&r->speeds); }

bool evn_is_in_time(const evn_results *results, double late_share)
{
    double duration_s, extra_s;
    evn_results_get(results, "duration_s", &duration_s);
    evn_results_get(results, "delay_s", &extra_s);
    return fabs(extra_s) <= late_share * duration_s;
}

bool evn_reach_keeps(const evn_reach *r, const evn_results *results)
{
    return evn_is_in_time(results, LATE_SHARE) && r->below_km_h <= BELOW_KM_H;
}

/* ------------------------------------------------------------------------------------------------ rounds */

void evn_common_ask(evn_run *run, const evn_ceiling *ceiling)
{
    run->driving.driver = EVN_DRIVER_EXACT;
    run->driving.endurance = EVN_ENDURANCE_OFF; /* in the ceiling already, that of each truck */
    run->ceiling = ceiling;
}

void evn_common_thin(evn_ceiling *ceiling) { evn_ceiling_thin(ceiling, THIN_SHARE); }
