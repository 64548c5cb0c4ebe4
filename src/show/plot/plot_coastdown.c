/* Residuals of coast-downs as a picture: by how much each band of speed is held back more than the fit tells. */
#include "show/coastdown_story.h"
#include "show/plot/plot.h"
#include <stdlib.h>

bool evn_coastdown_plot(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    evn_coastdown_band band;
    size_t count = 0;
    while (evn_coastdown_band_at(s->coastdown, count, &band))
        count++;
    double *x = malloc((count + 1) * sizeof *x), *y = malloc((count + 1) * sizeof *y);
    bool made = x && y;
    for (size_t k = 0; made && evn_coastdown_band_at(s->coastdown, k, &band); k++) {
        x[k] = band.speed_km_h;
        y[k] = band.force_n - band.fitted_n;
    }
    made = made &&
           evn_plot_scatter(
               &(evn_plot_dots){"Force of bands of speed less that of the fit", "km/h", "N", x, y, count, 0}, to, look);
    free(x);
    free(y);
    return made;
}
