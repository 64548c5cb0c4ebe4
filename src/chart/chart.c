/* Charts: columns and rows with memory of their own. */
#include "chart/chart.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static void say_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out making a chart");
}

evn_chart *evn_chart_begin(size_t columns_room, evn_report *report)
{
    evn_chart *chart = calloc(1, sizeof *chart);
    if (chart)
        chart->arena = evn_arena_new();
    if (chart && chart->arena)
        chart->column = evn_arena_take(chart->arena, columns_room * sizeof *chart->column);
    if (!chart || !chart->arena || !chart->column) {
        evn_chart_free(chart);
        say_memory(report);
        return NULL;
    }
    chart->columns_room = columns_room;
    return chart;
}

void evn_chart_free(evn_chart *chart)
{
    if (!chart)
        return;
    evn_arena_free(chart->arena);
    free(chart->value);
    free(chart);
}

void evn_chart_add_column(evn_chart *chart, const char *key, const char *unit, const char *label, const char *help,
                          int digits)
{
    bool room = chart->columns < chart->columns_room;
    const char *kept = room ? evn_arena_text(chart->arena, key, strlen(key)) : NULL;
    const char *name = kept ? evn_arena_text(chart->arena, label, strlen(label)) : NULL;
    if (!name) {
        chart->short_of_memory = true;
        return;
    }
    chart->column[chart->columns++] = (evn_quantity){kept, unit, help, EVN_REAL, digits, name, name};
}

double *evn_chart_add_row(evn_chart *chart)
{
    if (chart->rows == chart->rows_room) {
        size_t room = chart->rows_room ? 2 * chart->rows_room : 64;
        double *value = realloc(chart->value, room * chart->columns * sizeof *value);
        chart->short_of_memory = chart->short_of_memory || !value;
        if (!value)
            return NULL;
        chart->value = value;
        chart->rows_room = room;
    }
    double *row = chart->value + chart->rows++ * chart->columns;
    for (size_t k = 0; k < chart->columns; k++)
        row[k] = (double)NAN;
    return row;
}

evn_status evn_chart_done(evn_chart *chart, evn_chart **out, evn_report *report)
{
    if (!chart->short_of_memory) {
        *out = chart;
        return EVN_DONE;
    }
    evn_chart_free(chart);
    say_memory(report);
    return EVN_NO_RESULT;
}

bool evn_chart_unit_is_there(size_t unit, size_t count, evn_report *report)
{
    if (unit < count)
        return true;
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "a chart of drive unit %zu; expected 0 to %zu", unit,
            count - 1);
    return false;
}

size_t evn_chart_column_count(const evn_chart *chart) { return chart ? chart->columns : 0; }

bool evn_chart_column_at(const evn_chart *chart, size_t index, evn_quantity *out)
{
    if (!chart || !out || index >= chart->columns)
        return false;
    *out = chart->column[index];
    return true;
}

size_t evn_chart_row_count(const evn_chart *chart) { return chart ? chart->rows : 0; }

const double *evn_chart_row(const evn_chart *chart, size_t row)
{
    return chart && row < chart->rows ? chart->value + row * chart->columns : NULL;
}
