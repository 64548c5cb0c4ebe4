/* Bands of speed of coast-downs as CSV. */
#include "show/coastdown_story.h"
#include "show/csv/trace_csv.h"

static void put_band(const evn_coastdown *c, const evn_coastdown_band *b, evn_trace_csv *csv)
{
    evn_coastdown_run run;
    evn_coastdown_run_at(c, b->run, &run);
    fprintf(csv->stream, "%zu,%zu,%s,%.12g,%.12g,%.12g,%.12g", b->run + 1, run.pair, run.back ? "back" : "out",
            b->speed_km_h, b->force_n, b->fitted_n, b->force_n - b->fitted_n);
    evn_trace_csv_end_line(csv);
}

bool evn_coastdown_csv(const evn_coastdown_story *s, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    evn_coastdown_band band;
    fputs("run,pair,direction,speed_km_h,force_n,fitted_n,residual_n", to);
    evn_trace_csv_end_line(&csv);
    for (size_t k = 0; evn_coastdown_band_at(s->coastdown, k, &band); k++)
        put_band(s->coastdown, &band, &csv);
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
