/* Tables of two axes: curves of curves. */
#include "core/grid.h"

void evn_grid_make(evn_grid *g, const double *at, size_t rows, const double *x, size_t columns, const double *value)
{
    static const double anywhere = 0;
    size_t count = columns ? columns : 1;
    g->rows = rows;
    for (size_t k = 0; k < rows; k++) {
        g->at[k] = at[k];
        evn_curve_make(&g->row[k], columns ? x : &anywhere, value + k * count, count, true);
    }
}

double evn_grid_at(const evn_grid *g, double x, double at)
{
    enum { AROUND = 4 }; /* the rows that the slopes at both ends of a piece hang on */
    double value[AROUND], slope[2];
    size_t last = g->rows - 1, k = 0;
    if (at <= g->at[0])
        return evn_curve_at(&g->row[0], x);
    if (at >= g->at[last])
        return evn_curve_at(&g->row[last], x);
    while (k + 2 < g->rows && at >= g->at[k + 1])
        k++;
    size_t from = k > 0 ? k - 1 : 0, to = k + 2 < g->rows ? k + 2 : last, count = to - from + 1, left = k - from;
    for (size_t i = from; i <= to; i++)
        value[i - from] = evn_curve_at(&g->row[i], x);
    for (size_t end = 0; end < 2; end++)
        slope[end] = evn_curve_slope(g->at + from, value, count, left + end);
    return evn_curve_piece(g->at + k, value + left, slope, at);
}
