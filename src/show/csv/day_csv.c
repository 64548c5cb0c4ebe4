/* A working day as CSV: a line for each leg, or part of one, and stop of each season. */
#include "show/csv/trace_csv.h"
#include "show/day_story.h"
#include <math.h>

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

static void put_text(const char *text, evn_trace_csv *csv) { evn_trace_csv_text(csv, text ? text : "", false); }

/* All rows of the whole day, which has those of each phase; of a phase that lacks one the field is empty. */
static void put_head(const evn_results *day, evn_trace_csv *csv)
{
    evn_quantity what;
    double value;
    fputs("season,name,kind,round,rounds,part,parts,cycle,direction,begin_s,begin_km,begin_soc,status", csv->stream);
    for (size_t k = 0; evn_results_at(day, k, &what, &value); k++)
        evn_trace_csv_key(csv, what.key, false);
    evn_trace_csv_end_line(csv);
}

static void put_phase(const char *season, const evn_day_phase *p, const evn_results *day, evn_trace_csv *csv)
{
    evn_quantity what;
    double value, own;
    evn_trace_csv_text(csv, season ? season : "", true);
    put_text(p->name, csv);
    put_text(p->stop ? "stop" : "leg", csv);
    put_number(p->round, csv);
    put_number(p->rounds, csv);
    put_number(p->part, csv);
    put_number(p->parts, csv);
    put_text(p->cycle, csv);
    put_text(p->stop ? "" : p->back ? "back" : "out", csv);
    put_number(p->begin_s, csv);
    put_number(p->begin_km, csv);
    put_number(p->begin_soc, csv);
    put_text(p->status, csv);
    for (size_t k = 0; evn_results_at(day, k, &what, &value); k++)
        put_number(evn_results_get(p->results, what.key, &own) ? own : (double)NAN, csv);
    evn_trace_csv_end_line(csv);
}

/* Of the season that got furthest: seasons have the same rows but for what few legs have. */
static const evn_results *rows_of(const evn_day *day)
{
    const evn_results *most = NULL;
    evn_day_season s;
    for (size_t k = 0; evn_day_season_at(day, k, &s); k++)
        if (evn_results_count(s.results) > evn_results_count(most))
            most = s.results;
    return most;
}

bool evn_day_csv(const evn_day_story *story, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    const evn_results *rows = rows_of(story->day);
    evn_day_season season;
    evn_day_phase p;
    put_head(rows, &csv);
    for (size_t k = 0; evn_day_season_at(story->day, k, &season); k++)
        for (size_t i = 0; evn_day_phase_at(story->day, k, i, &p); i++)
            put_phase(season.name, &p, rows, &csv);
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
