/* Grids, Latin hypercubes and Sobol points over the variables of a study. */
#include "vary/plan.h"
#include "uncertainty/sobol.h"
#include <math.h>

enum { VALUES_USUAL = 11, SAMPLES_USUAL = 256 };

/* Groups of scrambled points that are independent of each other. */
enum { GROUP_SAMPLES, GROUP_ORDER, GROUP_PLACE, GROUP_SURVEY };

/* ------------------------------------------------------------------------------------------------ one variable */

/* Of a range in steps: the last is at the end, or before it. */
static size_t steps_of(const evn_variable_file *v)
{
    static const double HAIR = 1e-9; /* of a step: what rounding may take off the last */
    if (!isnan(v->step))
        return (size_t)floor((v->to - v->from) / v->step + HAIR) + 1;
    double whole = v->to - v->from + 1;
    double count = isnan(v->count) ? VALUES_USUAL : v->count;
    return (size_t)(v->whole ? fmin(whole, count) : count);
}

size_t evn_variable_count(const evn_variable_file *v)
{
    if (evn_is_choice(v))
        return v->choices.count;
    if (v->values.count > 0)
        return v->values.count;
    return v->whole ? (size_t)(v->to - v->from) + 1 : 0;
}

double evn_variable_value(const evn_variable_file *v, size_t index)
{
    if (evn_is_choice(v))
        return (double)index;
    return v->values.count > 0 ? v->values.at[index] : v->from + (double)index;
}

static double step_value(const evn_variable_file *v, size_t index, size_t count)
{
    if (!isnan(v->step))
        return v->from + (double)index * v->step;
    double value = index + 1 == count ? v->to : v->from + (v->to - v->from) * (double)index / (double)(count - 1);
    return v->whole ? floor(value + 0.5) : value;
}

static bool is_range(const evn_variable_file *v) { return !evn_is_choice(v) && v->values.count == 0; }

double evn_variable_at_share(const evn_variable_file *v, double share)
{
    size_t count = evn_variable_count(v);
    if (count == 0)
        return v->from + (v->to - v->from) * share;
    return evn_variable_value(v, (size_t)fmin(floor(share * (double)count), (double)(count - 1)));
}

/* ------------------------------------------------------------------------------------------------ points */

static uint64_t seed_of(const evn_study_file *s) { return (uint64_t)s->seed; }

static uint64_t samples_of(const evn_study_file *s)
{
    return (uint64_t)(isnan(s->samples) ? SAMPLES_USUAL : s->samples);
}

/* Each order of the cells is as likely as any other (Fisher and Yates; from memory). */
static bool shuffle(evn_plan *p, size_t variable, evn_arena *arena)
{
    uint32_t *order = evn_arena_take(arena, (size_t)p->points * sizeof *order);
    for (uint32_t k = 0; order && k < p->points; k++) {
        double u = evn_sobol(seed_of(p->study), GROUP_ORDER, k, (uint32_t)variable);
        uint32_t at = (uint32_t)floor(u * (k + 1.0));
        order[k] = order[at];
        order[at] = k;
    }
    p->order[variable] = order;
    return order;
}

static bool make_grid(evn_plan *p, evn_report *report)
{
    p->points = 1;
    for (size_t k = 0; k < p->study->variables.count; k++) {
        const evn_variable_file *v = evn_study_variable(p->study, k);
        p->values[k] = is_range(v) ? steps_of(v) : evn_variable_count(v);
        if (p->values[k] > EVN_POINTS_MOST / p->points) {
            evn_say(report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere,
                    "a grid of more than %g variants; expected fewer, or plan: latin_hypercube or sobol",
                    (double)EVN_POINTS_MOST);
            return false;
        }
        p->points *= p->values[k];
    }
    return true;
}

size_t evn_search_cells(const evn_study_file *s)
{
    size_t cells = 1;
    for (size_t v = 0; v < s->variables.count; v++) {
        size_t count = evn_variable_count(evn_study_variable(s, v));
        cells *= count > 0 && cells <= EVN_SEARCH_CELLS_MOST ? count : 1;
    }
    return cells;
}

static bool cells_fit(const evn_study_file *s, evn_report *report)
{
    if (evn_search_cells(s) <= EVN_SEARCH_CELLS_MOST)
        return true;
    evn_say(
        report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere,
        "a search over more than %d combinations of choices, values and whole numbers; expected fewer, or plan: grid",
        EVN_SEARCH_CELLS_MOST);
    return false;
}

bool evn_plan_make(evn_plan *p, const evn_study_file *s, evn_arena *arena, evn_report *report)
{
    bool room = true;
    *p = (evn_plan){.study = s};
    if (s->plan == EVN_PLAN_SEARCH)
        return cells_fit(s, report);
    if (s->plan == EVN_PLAN_GRID)
        return make_grid(p, report);
    p->points = samples_of(s);
    for (size_t k = 0; s->plan == EVN_PLAN_LATIN && room && k < s->variables.count; k++)
        room = shuffle(p, k, arena);
    if (!room)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the samples");
    return room;
}

static double grid_value(const evn_plan *p, uint64_t point, size_t variable)
{
    const evn_variable_file *v = evn_study_variable(p->study, variable);
    for (size_t k = p->study->variables.count - 1; k > variable; k--)
        point /= p->values[k];
    size_t index = (size_t)(point % p->values[variable]);
    return is_range(v) ? step_value(v, index, p->values[variable]) : evn_variable_value(v, index);
}

double evn_plan_value(const evn_plan *p, uint64_t point, size_t variable)
{
    uint32_t at = (uint32_t)point, dimension = (uint32_t)variable;
    double share;
    if (p->study->plan == EVN_PLAN_GRID)
        return grid_value(p, point, variable);
    if (p->study->plan == EVN_PLAN_LATIN)
        share = (p->order[variable][at] + evn_sobol(seed_of(p->study), GROUP_PLACE, at, dimension)) / (double)p->points;
    else
        share = evn_sobol(seed_of(p->study), GROUP_SAMPLES, at, dimension);
    return evn_variable_at_share(evn_study_variable(p->study, variable), share);
}

double evn_survey_share(const evn_study_file *s, uint32_t group, uint32_t point, size_t dimension)
{
    return evn_sobol(seed_of(s), GROUP_SURVEY + group, point, (uint32_t)dimension);
}
