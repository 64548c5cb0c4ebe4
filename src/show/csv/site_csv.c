/* Trucks where they work as CSV: a line for each truck and figure. */
#include "show/csv/trace_csv.h"
#include "show/site_story.h"
#include <math.h>

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

static void put_text(const char *text, evn_trace_csv *csv) { evn_trace_csv_text(csv, text ? text : "", false); }

static void put_figure(const evn_site_truck *truck, const evn_site_figure *f, evn_trace_csv *csv)
{
    evn_trace_csv_text(csv, truck->name, true);
    put_text(evn_site_title(truck), csv);
    put_text(f->what.key, csv);
    put_text(f->group, csv);
    put_text(f->row_label, csv);
    put_text(f->column_label, csv);
    put_text(f->what.unit, csv);
    put_number(f->value, csv);
    put_number(f->limit, csv);
    put_number(f->margin, csv);
    put_text(f->demanded ? "yes" : "no", csv);
    put_text(f->why, csv);
    put_text(f->source, csv);
    evn_trace_csv_end_line(csv);
}

bool evn_site_csv(const evn_site_story *story, FILE *to)
{
    evn_trace_csv csv = {.stream = to};
    evn_site_figure figure;
    fputs("truck,short_name,key,group,row,column,unit,value,limit,margin,demanded,why,source\n", to);
    for (size_t i = 0; i < story->count; i++)
        for (size_t k = 0; evn_site_at(story->truck[i].site, k, &figure); k++)
            if (evn_site_tells(story, figure.group))
                put_figure(&story->truck[i], &figure, &csv);
    return true;
}
