/* One way to walk quantities and values, whichever call of the library they come from. */
#include "show/figures.h"
#include "evener/traces.h"
#include <math.h>
#include <string.h>

static size_t results_count(const void *of) { return evn_results_count(of); }

static bool results_at(const void *of, size_t index, evn_quantity *what, double *value)
{
    return evn_results_at(of, index, what, value);
}

static size_t cycle_count(const void *of) { return evn_cycle_figure_count(of); }

static bool cycle_at(const void *of, size_t index, evn_quantity *what, double *value)
{
    return evn_cycle_figure_at(of, index, what, value);
}

evn_figures evn_figures_of_results(const evn_results *results)
{
    return (evn_figures){.of = results, .count = results_count, .at = results_at};
}

evn_figures evn_figures_of_cycle(const evn_cycle *cycle)
{
    return (evn_figures){.of = cycle, .count = cycle_count, .at = cycle_at};
}

static size_t rig_count(const void *of) { return evn_rig_figure_count(of); }

static bool rig_at(const void *of, size_t index, evn_quantity *what, double *value)
{
    return evn_rig_figure_at(of, index, what, value);
}

evn_figures evn_figures_of_rig(const evn_rig *rig)
{
    return (evn_figures){.of = rig, .count = rig_count, .at = rig_at};
}

static size_t difference_count(const void *of) { return evn_outcome_difference_count(of); }

static bool difference_at(const void *of, size_t index, evn_quantity *what, double *value)
{
    return evn_outcome_difference_at(of, index, what, value);
}

evn_figures evn_figures_of_differences(const evn_outcome *outcome)
{
    return (evn_figures){.of = outcome, .count = difference_count, .at = difference_at};
}

static size_t comparison_count(const void *of) { return evn_comparison_figure_count(of); }

static bool comparison_at(const void *of, size_t index, evn_quantity *what, double *value)
{
    return evn_comparison_figure_at(of, index, what, value);
}

evn_figures evn_figures_of_comparison(const evn_comparison *comparison)
{
    return (evn_figures){.of = comparison, .count = comparison_count, .at = comparison_at};
}

size_t evn_figures_count(const evn_figures *figures) { return !figures->of ? 0 : figures->count(figures->of); }

bool evn_figures_at(const evn_figures *figures, size_t index, evn_quantity *what, double *value)
{
    return figures->of && figures->at(figures->of, index, what, value);
}

bool evn_figures_find(const evn_figures *figures, const char *key, evn_quantity *what, double *value)
{
    size_t count = evn_figures_count(figures);
    for (size_t i = 0; i < count; i++)
        if (evn_figures_at(figures, i, what, value) && strcmp(what->key, key) == 0)
            return true;
    return false;
}

double evn_figures_value(const evn_figures *figures, const char *key)
{
    evn_quantity what;
    double value;
    return evn_figures_find(figures, key, &what, &value) ? value : (double)NAN;
}

bool evn_figures_next(const evn_figures *figures, int behind_rank, evn_quantity *what, double *value)
{
    evn_quantity next;
    double next_value;
    what->rank = 0;
    for (size_t i = 0; evn_figures_at(figures, i, &next, &next_value); i++)
        if (next.rank > behind_rank && (what->rank == 0 || next.rank < what->rank)) {
            *what = next;
            *value = next_value;
        }
    return what->rank > 0;
}

size_t evn_figures_column(const evn_rig *rig, const char *key)
{
    evn_trace_column column;
    for (size_t k = 0; evn_trace_column_at(rig, k, &column); k++)
        if (strcmp(column.what.key, key) == 0)
            return k;
    return 0;
}
