/* Verdicts as CSV: a line for each truck and demand. */
#include "show/assess_story.h"
#include "show/csv/trace_csv.h"
#include <math.h>

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

static void put_text(const char *text, evn_trace_csv *csv) { evn_trace_csv_text(csv, text ? text : "", false); }

bool evn_assess_csv(const evn_assess_story *story, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    evn_assessed is;
    fputs("truck,demand,label,verdict,unit,demanded,value,margin,uncertainty,probability,spare,why,where,missing,"
          "source,left_out",
          to);
    evn_trace_csv_end_line(&csv);
    for (size_t k = 0; k < evn_assessment_truck_count(story->assessment); k++)
        for (size_t i = 0; evn_assessed_at(story->assessment, k, i, &is); i++) {
            evn_trace_csv_text(&csv, evn_lineup_truck_name(story->lineup, k), true);
            put_text(is.what.key, &csv);
            put_text(is.what.label, &csv);
            put_text(evn_verdict_name(is.verdict), &csv);
            put_text(is.what.unit, &csv);
            put_number(is.demanded, &csv);
            put_number(is.value, &csv);
            put_number(is.margin, &csv);
            put_number(is.uncertainty, &csv);
            put_number(is.probability, &csv);
            put_number(is.spare, &csv);
            put_text(is.why, &csv);
            put_text(is.where, &csv);
            put_text(is.missing, &csv);
            put_text(is.source, &csv);
            put_text(is.left_out, &csv);
            evn_trace_csv_end_line(&csv);
        }
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
