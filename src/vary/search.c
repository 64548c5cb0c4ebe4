/*
 * The best of each truck in each combination of choices and whole numbers (a cell): a survey of points that fill the
 * space, local searches from the best of them, and for two aims searches of the first below bounds on the second. A
 * search asks the crew for each point by an id of its own, so that one that was interrupted runs again over what is
 * kept and goes on where it ended.
 */
#include "vary/search.h"
#include "core/pool.h"
#include "vary/local.h"
#include "vary/plan.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SURVEY_USUAL = 16 }; /* of the survey: for each number that varies */
_Static_assert((int)EVN_VARIABLES_MOST <= (int)EVN_LOCAL_NUMBERS_MOST, "all may be continuous");
_Static_assert((int)EVN_FEW_TEXTS + 1 <= (int)EVN_LOCAL_BOUNDS_MOST, "constraints, and a bound on the second aim");

typedef struct point {            /* one that was driven */
    double x[EVN_VARIABLES_MOST]; /* of the continuous ones, as shares of their ranges */
    double cost[EVN_OBJECTIVES_MOST];
    double broken; /* how far constraints are; 0: it may be; INFINITY: it came to no end */
} point;

typedef struct searching {
    evn_crew *crew;
    const evn_vary_how *how;
    const evn_study_file *study;
    size_t trucks, cells, units;                /* a unit is a truck in a cell */
    size_t numbers, number[EVN_VARIABLES_MOST]; /* continuous variables */
    size_t survey, starts, evaluations, front;  /* front: points between its ends; 0: one aim */
    bool as_is;
    point *surveyed;     /* of each unit so many */
    point *first;        /* of each unit the truck as it is; broken is INFINITY where it is not in that cell */
    struct found *found; /* of each local search; see local_of */
} searching;

typedef struct found {
    point *at;
    size_t count;
} found;

typedef struct asking { /* by one local search */
    searching *s;
    size_t unit, search;
    size_t aim;
    double below;  /* the second aim's cost; INFINITY: no bound */
    double beyond; /* the cost of what came to no end */
    found *to;
} asking;

/* ------------------------------------------------------------------------------------------------ ids */

static size_t searches(const searching *s) { return s->starts * s->crew->is->columns->aims + s->front; }
static uint64_t span(const searching *s) { return s->survey + (uint64_t)searches(s) * s->evaluations; }

/* Behind those of the trucks as they are. */
static uint64_t id_of(const searching *s, size_t unit, uint64_t within)
{
    return s->trucks + 1 + unit * span(s) + within;
}

static size_t truck_of(const searching *s, size_t unit) { return unit / s->cells; }
static size_t cell_of(const searching *s, size_t unit) { return unit % s->cells; }

static bool is_mine(const searching *s, size_t unit)
{
    return s->how->parts == 0 || unit % s->how->parts == s->how->part - 1;
}

/* ------------------------------------------------------------------------------------------------ points */

static void put_inputs(const searching *s, size_t cell, const double *x, double *input)
{
    size_t next = s->numbers;
    for (size_t v = s->study->variables.count; v-- > 0;) {
        const evn_variable_file *of = evn_study_variable(s->study, v);
        size_t count = evn_variable_count(of);
        if (count == 0) {
            input[v] = evn_variable_at_share(of, x[--next]);
        } else {
            input[v] = evn_variable_value(of, cell % count);
            cell /= count;
        }
    }
}

static double excess(const evn_bound_on *b, const double *values)
{
    double by = b->sense == EVN_AT_LEAST ? b->bound - values[b->column] : values[b->column] - b->bound;
    return isnan(by) ? 1 : by / fmax(fabs(b->bound), 1e-6);
}

/* What stalled, or ran empty, has results of part of the road: they are not compared. */
static void judge(const searching *s, const evn_row *row, point *p)
{
    const evn_columns *c = s->crew->is->columns;
    bool there = row->finished;
    p->broken = 0;
    for (size_t k = 0; k < c->aims; k++) {
        double value = row->value[c->aim[k].column];
        p->cost[k] = c->aim[k].most ? -value : value;
        there = there && isfinite(value);
    }
    for (size_t k = 0; k < c->bounds; k++)
        p->broken += fmax(excess(&c->bound[k], row->value), 0);
    if (!there)
        p->broken = (double)INFINITY;
}

/* `values` has room for all columns. False: the crew stopped. */
static bool drive(const searching *s, size_t unit, uint64_t within, point *p, double *values)
{
    evn_row row = {.id = id_of(s, unit, within), .truck = truck_of(s, unit), .value = values};
    put_inputs(s, cell_of(s, unit), p->x, row.input);
    bool on = evn_crew_drive(s->crew, &row);
    if (on)
        judge(s, &row, p);
    return on;
}

/* ------------------------------------------------------------------------------------------------ the survey */

static void survey_one(void *self, size_t job)
{
    searching *s = self;
    size_t unit = job / s->survey, k = job % s->survey;
    double values[EVN_COLUMNS_MOST];
    point *p = &s->surveyed[job];
    p->broken = (double)INFINITY;
    if (!is_mine(s, unit))
        return;
    for (size_t n = 0; n < s->numbers; n++)
        p->x[n] = evn_survey_share(s->study, (uint32_t)cell_of(s, unit), (uint32_t)k, n);
    drive(s, unit, k, p, values);
}

/* The truck as it is, where its values are of this cell. */
static void take_first(searching *s, size_t unit)
{
    double input[EVN_VARIABLES_MOST], values[EVN_COLUMNS_MOST];
    evn_row row = {.id = truck_of(s, unit) + 1, .truck = truck_of(s, unit), .value = values};
    point *p = &s->first[unit];
    size_t n = 0;
    bool here = s->as_is && is_mine(s, unit);
    p->broken = (double)INFINITY;
    put_inputs(s, cell_of(s, unit), p->x, input);
    for (size_t v = 0; v < s->study->variables.count; v++) {
        const evn_variable_file *of = evn_study_variable(s->study, v);
        row.input[v] = of->as_is;
        if (evn_variable_count(of) == 0)
            p->x[n++] = (of->as_is - of->from) / (of->to - of->from);
        else
            here = here && input[v] == of->as_is;
    }
    for (size_t k = 0; k < n; k++)
        here = here && p->x[k] >= 0 && p->x[k] <= 1;
    if (here && evn_crew_drive(s->crew, &row))
        judge(s, &row, p);
}

/* ------------------------------------------------------------------------------------------------ local searches */

/* For what came to no end a cost beyond all of the survey. */
static double beyond(const searching *s, size_t unit, size_t aim)
{
    double least = (double)INFINITY, most = -(double)INFINITY;
    for (size_t k = 0; k < s->survey; k++) {
        const point *p = &s->surveyed[unit * s->survey + k];
        if (isinf(p->broken))
            continue;
        least = fmin(least, p->cost[aim]);
        most = fmax(most, p->cost[aim]);
    }
    return isinf(most) ? 0 : most + (most - least) + 0.1 * fabs(most);
}

static bool at(void *self, const double *x, double *value, double *broken)
{
    asking *a = self;
    const searching *s = a->s;
    const evn_columns *c = s->crew->is->columns;
    double values[EVN_COLUMNS_MOST];
    point *p = &a->to->at[a->to->count];
    memcpy(p->x, x, s->numbers * sizeof *x);
    if (a->to->count == s->evaluations ||
        !drive(s, a->unit, s->survey + (uint64_t)a->search * s->evaluations + a->to->count, p, values))
        return false;
    a->to->count++;
    bool there = !isinf(p->broken);
    *value = there ? p->cost[a->aim] : a->beyond;
    for (size_t k = 0; k < c->bounds; k++)
        broken[k] = there ? excess(&c->bound[k], values) : 1;
    if (!isinf(a->below))
        broken[c->bounds] = there ? (p->cost[1] - a->below) / fmax(fabs(a->below), 1e-6) : 1;
    return true;
}

/* The better one that may be, with the second aim's cost below a bound; NULL: neither is. */
static const point *better(const point *best, const point *p, size_t aim, double below)
{
    bool may_be = p->broken == 0 && p->cost[1] <= below;
    return may_be && (!best || p->cost[aim] < best->cost[aim]) ? p : best;
}

static const point *best_found(const found *of, size_t aim, double below)
{
    const point *best = NULL;
    for (size_t k = 0; k < of->count; k++)
        best = better(best, &of->at[k], aim, below);
    return best;
}

/* A search that ends early, as at an edge beyond which trucks stall, begins anew with wide steps from the best that it
 * found, for as long as that helps and it has variants left. */
static void search_from(searching *s, size_t unit, size_t search, size_t aim, double below, const point *from)
{
    static const double HELPS = 1e-4; /* of what is aimed at */
    found *to = &s->found[unit * searches(s) + search];
    asking a = {s, unit, search, aim, below, beyond(s, unit, aim), to};
    evn_local l = {s->numbers, s->crew->is->columns->bounds + (isinf(below) ? 0 : 1), s->evaluations, &a, at};
    to->at = calloc(s->evaluations + 1, sizeof *to->at);
    for (double last = (double)INFINITY; to->at && from && l.evaluations > 0 && evn_crew_goes_on(s->crew);) {
        size_t before = to->count;
        evn_local_search(&l, from->x);
        from = best_found(to, aim, below);
        l.evaluations = s->evaluations - to->count;
        if (!from || to->count == before || !(last - from->cost[aim] > HELPS * fabs(from->cost[aim])))
            break;
        last = from->cost[aim];
    }
}

/* Whether a point is the better one to begin with: what may be first, by cost; of what may not be what breaks least. */
static bool is_better(const point *p, const point *than, size_t aim)
{
    return p->broken != than->broken ? p->broken < than->broken : p->cost[aim] < than->cost[aim];
}

/* The rank-th best of a unit's survey; of those alike the earlier. NULL: there is none that came to its end. */
static const point *ranked(const searching *s, size_t unit, size_t rank, size_t aim)
{
    const point *p = &s->surveyed[unit * s->survey];
    for (size_t k = 0; k < s->survey; k++) {
        size_t before = 0;
        for (size_t i = 0; i < s->survey; i++)
            before += is_better(&p[i], &p[k], aim) || (i < k && !is_better(&p[k], &p[i], aim));
        if (before == rank)
            return isinf(p[k].broken) ? NULL : &p[k];
    }
    return NULL;
}

/* The first of the starts is the truck as it is, where it may be. */
static const point *start_of(const searching *s, size_t unit, size_t start, size_t aim)
{
    const point *first = &s->first[unit];
    bool counts = first->broken == 0;
    return counts && start == 0 ? first : ranked(s, unit, start - (counts ? 1 : 0), aim);
}

static void search_one(void *self, size_t job)
{
    searching *s = self;
    size_t each = s->starts * s->crew->is->columns->aims, unit = job / each, search = job % each;
    size_t aim = search / s->starts;
    const point *from = is_mine(s, unit) ? start_of(s, unit, search % s->starts, aim) : NULL;
    if (from && evn_crew_goes_on(s->crew))
        search_from(s, unit, search, aim, (double)INFINITY, from);
}

/* ------------------------------------------------------------------------------------------------ the front */

/* Of all that the unit's survey and its searches for one aim found, the best in an aim with the other below a bound. */
static const point *best_below(const searching *s, size_t unit, size_t aim, double below)
{
    const point *best = NULL;
    const found *f = &s->found[unit * searches(s)];
    for (size_t k = 0; k < s->survey; k++)
        best = better(best, &s->surveyed[unit * s->survey + k], aim, below);
    for (size_t i = 0; i < s->starts * EVN_OBJECTIVES_MOST; i++)
        for (size_t k = 0; k < f[i].count; k++)
            best = better(best, &f[i].at[k], aim, below);
    return best;
}

static void front_one(void *self, size_t job)
{
    searching *s = self;
    size_t unit = job / s->front, k = job % s->front;
    const point *first = best_below(s, unit, 0, (double)INFINITY), *second = best_below(s, unit, 1, (double)INFINITY);
    if (!first || !second || !(first->cost[1] > second->cost[1]) || !evn_crew_goes_on(s->crew))
        return;
    double share = (double)(k + 1) / (double)(s->front + 1);
    double below = second->cost[1] + share * (first->cost[1] - second->cost[1]);
    const point *from = best_below(s, unit, 0, below);
    if (from)
        search_from(s, unit, s->starts * EVN_OBJECTIVES_MOST + k, 0, below, from);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void count_cells(searching *s)
{
    s->cells = evn_search_cells(s->study);
    for (size_t v = 0; v < s->study->variables.count; v++)
        if (evn_variable_count(evn_study_variable(s->study, v)) == 0)
            s->number[s->numbers++] = v;
}

static void set_up(searching *s)
{
    const evn_study_file *study = s->study;
    size_t aims = s->crew->is->columns->aims;
    s->units = s->trucks * s->cells;
    s->survey =
        s->numbers == 0 ? 1 : (size_t)(isnan(study->samples) ? (double)(SURVEY_USUAL * s->numbers) : study->samples);
    s->starts = s->numbers == 0 ? 0 : (size_t)study->starts;
    s->evaluations = (size_t)study->evaluations;
    s->front = aims == EVN_OBJECTIVES_MOST && s->numbers > 0 ? (size_t)study->front_points - 2 : 0;
    s->as_is = true;
    for (size_t v = 0; v < study->variables.count; v++)
        s->as_is = s->as_is && !isnan(evn_study_variable(study, v)->as_is);
}

static void search_all(searching *s)
{
    size_t threads = s->how->threads;
    evn_pool_run(threads, s->units * s->survey, survey_one, s);
    for (size_t unit = 0; unit < s->units; unit++)
        take_first(s, unit);
    evn_pool_run(threads, s->units * s->starts * s->crew->is->columns->aims, search_one, s);
    evn_pool_run(threads, s->units * s->front, front_one, s);
}

void evn_search_all(evn_crew *crew, size_t trucks, const evn_vary_how *how, evn_report *report)
{
    searching s = {.crew = crew, .how = how, .study = crew->is->study, .trucks = trucks};
    count_cells(&s);
    set_up(&s);
    s.surveyed = calloc(s.units * s.survey + 1, sizeof *s.surveyed);
    s.first = calloc(s.units + 1, sizeof *s.first);
    s.found = calloc(s.units * searches(&s) + 1, sizeof *s.found);
    if (s.surveyed && s.first && s.found)
        search_all(&s);
    else
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the search");
    for (size_t k = 0; s.found && k < s.units * searches(&s); k++)
        free(s.found[k].at);
    free(s.surveyed);
    free(s.first);
    free(s.found);
}
