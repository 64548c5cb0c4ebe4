/* What the dearer truck earns as CSV: a line for each basis, truck and figure. */
#include "show/csv/trace_csv.h"
#include "show/payback_story.h"
#include <math.h>

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

static void put_text(const char *text, evn_trace_csv *csv) { evn_trace_csv_text(csv, text ? text : "", false); }

bool evn_payback_csv(const evn_payback_story *story, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    evn_payback_figure f;
    fputs("basis,truck,key,label,unit,value,formula,from", to);
    evn_trace_csv_end_line(&csv);
    for (int basis = EVN_PAYBACK_AS_LINEUP; basis <= EVN_PAYBACK_LEAST_BATTERY; basis++)
        for (size_t k = 0; k < evn_payback_truck_count(story->payback); k++)
            for (size_t i = 0; evn_payback_figure_at(story->payback, k, (evn_payback_basis)basis, i, &f); i++) {
                evn_trace_csv_text(&csv, evn_payback_basis_name((evn_payback_basis)basis), true);
                put_text(evn_lineup_truck_name(story->lineup, k), &csv);
                put_text(f.what.key, &csv);
                put_text(f.what.label, &csv);
                put_text(f.what.unit, &csv);
                put_number(f.value, &csv);
                put_text(f.formula, &csv);
                put_text(f.from, &csv);
                evn_trace_csv_end_line(&csv);
            }
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
