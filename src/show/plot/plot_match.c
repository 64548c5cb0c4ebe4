/* Energy differences between a run and a log as a picture: what has come together along the log. */
#include "show/match_story.h"
#include "show/plot/plot.h"
#include <math.h>
#include <stdlib.h>

bool evn_match_plot(const evn_match_story *s, FILE *to, const evn_look *look)
{
    enum { DOTS_MOST = 2000 };
    evn_match_row row;
    size_t rows = 0, count = 0;
    while (evn_match_row_at(s->match, rows, &row))
        rows++;
    size_t every = rows / DOTS_MOST + 1;
    double *x = malloc((DOTS_MOST + 1) * sizeof *x), *y = malloc((DOTS_MOST + 1) * sizeof *y);
    bool made = x && y;
    for (size_t k = 0; made && k < rows && evn_match_row_at(s->match, k, &row); k += every) {
        if (isnan(row.energy_kwh))
            continue;
        x[count] = row.place_m / 1000;
        y[count++] = row.run_energy_kwh - row.energy_kwh;
    }
    made = made &&
           evn_plot_scatter(&(evn_plot_dots){"Energy of the run less that of the log", "km", "kWh", x, y, count, 2}, to,
                            look);
    free(x);
    free(y);
    return made;
}
