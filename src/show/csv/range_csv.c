/* Distances to the reserve as CSV: a line for each payload, age and season. */
#include "show/csv/trace_csv.h"
#include "show/range_story.h"
#include <math.h>

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

static void put_text(const char *text, evn_trace_csv *csv) { evn_trace_csv_text(csv, text ? text : "", false); }

static void put_cell(const evn_range_cell *c, evn_trace_csv *csv)
{
    evn_trace_csv_text(csv, c->season ? c->season : "", true);
    put_number(c->payload_kg, csv);
    put_number(c->age_years, csv);
    put_number(c->begin_soc, csv);
    put_number(c->floor_soc, csv);
    put_text(c->does_it ? "yes" : "no", csv);
    put_text(c->unlimited ? "yes" : "no", csv);
    put_text(c->status, csv);
    put_number(c->distance_km, csv);
    put_number(c->more_km, csv);
    put_number(c->duration_s, csv);
    put_number(c->reserve_soc, csv);
    put_number(c->reserve_kwh, csv);
    put_number(c->day, csv);
    put_text(c->ends_in.name, csv);
    put_number(c->ends_in.round, csv);
    put_number(c->ends_in.part, csv);
    put_number(c->into_km, csv);
    evn_trace_csv_end_line(csv);
}

bool evn_range_csv(const evn_range_story *story, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    evn_range_cell c;
    fputs("season,payload_kg,age_years,begin_soc,floor_soc,does_it,unlimited,status,distance_km,more_km,duration_s,"
          "reserve_soc,reserve_kwh,day,ends_in,round,part,into_km",
          to);
    evn_trace_csv_end_line(&csv);
    for (size_t k = 0; evn_range_cell_at(story->range, k, &c); k++)
        put_cell(&c, &csv);
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
