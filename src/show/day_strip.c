/* Gathers the charge over a day, and puts it together with the day's legs and stops. */
#include "show/day_strip.h"
#include "show/figures.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Nothing that a picture of a day shows happens to a battery between two rows so far apart. */
#define APART_S 10.0

typedef struct reel { /* of a leg or stop */
    evn_day_tape *of;
    size_t columns; /* of a row, and of them ... */
    size_t time, charge;
    evn_day_point *point; /* clocks from where it began; the last is the last row, however near */
    size_t count, room;
} reel;

struct evn_day_tape {
    reel **reel;
    size_t count;
    bool incomplete; /* memory was out, or a row was of another rig */
};

evn_day_tape *evn_day_tape_new(void) { return calloc(1, sizeof(evn_day_tape)); }

void evn_day_tape_free(evn_day_tape *t)
{
    for (size_t k = 0; t && k < t->count; k++) {
        free(t->reel[k]->point);
        free(t->reel[k]);
    }
    if (t)
        free(t->reel);
    free(t);
}

/* A leg that is driven anew has the rows of the last time. */
static void wind_back(void *self) { ((reel *)self)->count = 0; }

static bool make_room(reel *r)
{
    size_t room = r->room > 0 ? 2 * r->room : 64;
    evn_day_point *more = r->count < r->room ? r->point : realloc(r->point, room * sizeof *more);
    if (!more)
        return false;
    r->room = r->count < r->room ? r->room : room;
    r->point = more;
    return true;
}

/* Seasons and trucks have tapes of their own, so that no two threads write to one. */
static void take_row(void *self, const double *row, size_t columns)
{
    reel *r = self;
    if (columns != r->columns) {
        r->of->incomplete = true;
        return;
    }
    double time_s = row[r->time];
    bool replaces = r->count > 1 && time_s - r->point[r->count - 2].clock_s < APART_S;
    if (replaces)
        r->count--;
    else if (!make_room(r)) {
        r->of->incomplete = true;
        return;
    }
    r->point[r->count++] = (evn_day_point){time_s, row[r->charge]};
}

evn_sampler evn_day_tape_next(evn_day_tape *t, const evn_rig *rig)
{
    reel **all = realloc(t->reel, (t->count + 1) * sizeof *all), *next = NULL;
    if (all) {
        t->reel = all;
        next = calloc(1, sizeof *next);
    }
    if (next) {
        *next = (reel){.of = t,
                       .columns = evn_trace_column_count(rig),
                       .time = evn_figures_column(rig, "time_s"),
                       .charge = evn_figures_column(rig, "soc")};
        t->reel[t->count++] = next;
    }
    return (evn_sampler){next, APART_S, wind_back, take_row};
}

/* ------------------------------------------------------------------------------------------------ the day */

static double result(const evn_results *r, const char *key)
{
    double value;
    return evn_results_get(r, key, &value) ? value : (double)NAN;
}

double evn_day_phase_end_s(const evn_day_phase *p)
{
    double lasts_s = result(p->results, "duration_s");
    return p->begin_s + (isnan(lasts_s) ? 0 : lasts_s);
}

bool evn_day_phase_charges(const evn_day_phase *p) { return p->stop && isfinite(result(p->results, "charged_kwh")); }

typedef struct told { /* of which day */
    const evn_day *day;
    size_t season;
    const evn_comparison *compared;
    size_t truck;
    evn_basis basis;
} told;

static bool phase_at(const told *of, size_t phase, evn_day_phase *out)
{
    return of->day ? evn_day_phase_at(of->day, of->season, phase, out)
                   : evn_comparison_phase_at(of->compared, of->truck, of->basis, phase, out);
}

static bool put_phases(evn_day_strip *s, const told *of)
{
    evn_day_phase p;
    size_t count = 0;
    while (phase_at(of, count, &p) && p.status)
        count++;
    s->phase = calloc(count + 1, sizeof *s->phase);
    for (; s->phase && s->phases < count; s->phases++)
        phase_at(of, s->phases, &s->phase[s->phases]);
    if (s->phase && count > 0)
        s->end_s = evn_day_phase_end_s(&s->phase[count - 1]);
    return s->phase;
}

static bool put_points(evn_day_strip *s, const evn_day_tape *tape)
{
    size_t count = 0;
    if (!tape)
        return true;
    for (size_t k = 0; k < s->phases && k < tape->count; k++)
        count += tape->reel[k]->count;
    s->point = calloc(count + 1, sizeof *s->point);
    for (size_t k = 0; s->point && k < s->phases && k < tape->count; k++)
        for (size_t i = 0; i < tape->reel[k]->count; i++) {
            evn_day_point is = tape->reel[k]->point[i];
            s->point[s->points++] = (evn_day_point){s->phase[k].begin_s + is.clock_s, is.soc};
        }
    return s->point;
}

static bool put_together(evn_day_strip *s, const told *of, double demanded_soc, const evn_day_tape *tape)
{
    s->usable_soc = s->season.lowest_soc - s->season.reserve_soc;
    s->demanded_soc = s->usable_soc + demanded_soc;
    return put_phases(s, of) && put_points(s, tape) && !(tape && tape->incomplete);
}

bool evn_day_strip_of(evn_day_strip *s, const evn_day *day, size_t season, const evn_day_tape *tape)
{
    double demanded_soc = (double)NAN;
    evn_day_demand d;
    *s = (evn_day_strip){0};
    evn_day_season_at(day, season, &s->season);
    for (size_t k = 0; evn_day_demand_at(day, season, k, &d); k++)
        if (strcmp(d.what.key, "reserve_soc") == 0)
            demanded_soc = d.demanded;
    return put_together(s, &(told){day, season, NULL, 0, EVN_BASIS_OWN}, demanded_soc, tape);
}

bool evn_day_strip_of_compared(evn_day_strip *s, const evn_comparison *c, size_t truck, evn_basis basis,
                               const evn_day_tape *tape)
{
    *s = (evn_day_strip){0};
    if (!evn_comparison_day(c, truck, basis, &s->season))
        return true;
    return put_together(s, &(told){NULL, 0, c, truck, basis}, evn_comparison_demanded_reserve_soc(c), tape);
}

void evn_day_strip_end(evn_day_strip *s)
{
    free(s->phase);
    free(s->point);
    *s = (evn_day_strip){0};
}
