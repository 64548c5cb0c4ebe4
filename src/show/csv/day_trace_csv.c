/* Keeps the rows of a day, and writes them with what they are of, which is known when the day has ended. */
#define _POSIX_C_SOURCE 200809L
#include "show/csv/day_trace_csv.h"
#include "show/csv/trace_csv.h"
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct phase_rows { /* of a leg or stop */
    struct season_rows *of;
    off_t from; /* in the file */
    size_t rows;
} phase_rows;

typedef struct season_rows {
    FILE *kept; /* its rows one behind another */
    phase_rows **phase;
    size_t phases;
    int error_number; /* of the first write that failed; 0: none did */
} season_rows;

struct evn_day_trace {
    season_rows *season;
    size_t seasons, columns, time;
};

static size_t time_of(const evn_rig *rig)
{
    evn_trace_column column;
    for (size_t k = 0; evn_trace_column_at(rig, k, &column); k++)
        if (strcmp(column.what.key, "time_s") == 0)
            return k;
    return 0;
}

evn_day_trace *evn_day_trace_new(const evn_rig *rig, size_t seasons, int *error_number)
{
    evn_day_trace *t = calloc(1, sizeof *t);
    errno = ENOMEM;
    if (t)
        t->season = calloc(seasons, sizeof *t->season);
    bool made = t && t->season;
    if (made)
        *t = (evn_day_trace){t->season, seasons, evn_trace_column_count(rig), time_of(rig)};
    for (size_t k = 0; made && k < seasons; k++) {
        t->season[k].kept = tmpfile();
        made = t->season[k].kept;
    }
    if (made)
        return t;
    *error_number = errno;
    evn_day_trace_free(t);
    return NULL;
}

void evn_day_trace_free(evn_day_trace *t)
{
    for (size_t k = 0; t && t->season && k < t->seasons; k++) {
        season_rows *s = &t->season[k];
        if (s->kept)
            fclose(s->kept);
        for (size_t i = 0; i < s->phases; i++)
            free(s->phase[i]);
        free(s->phase);
    }
    if (t)
        free(t->season);
    free(t);
}

/* Rows of a leg that is driven anew, as the last one there is, stand where those of the last time stood. */
static void begin(void *self)
{
    phase_rows *p = self;
    errno = 0;
    if (p->rows > 0 && fseeko(p->of->kept, p->from, SEEK_SET) != 0 && p->of->error_number == 0)
        p->of->error_number = errno != 0 ? errno : EIO;
    p->from = ftello(p->of->kept);
    p->rows = 0;
}

static void take_row(void *self, const double *row, size_t columns)
{
    phase_rows *p = self;
    if (p->of->error_number != 0)
        return;
    errno = 0;
    if (fwrite(row, sizeof *row, columns, p->of->kept) != columns)
        p->of->error_number = errno != 0 ? errno : EIO;
    p->rows++;
}

evn_sampler evn_day_trace_next(evn_day_trace *t, size_t season, double interval_s)
{
    season_rows *s = &t->season[season];
    phase_rows **all = realloc(s->phase, (s->phases + 1) * sizeof *all), *next = NULL;
    if (all) {
        s->phase = all;
        next = calloc(1, sizeof *next);
    }
    if (next) {
        next->of = s;
        s->phase[s->phases++] = next;
    }
    return (evn_sampler){next, interval_s, begin, take_row};
}

/* ------------------------------------------------------------------------------------------------ as CSV */

static void put_number(double value, evn_trace_csv *csv) { fprintf(csv->stream, ",%.10g", value); }

static void put_of(const char *season, const evn_day_phase *p, double clock_s, evn_trace_csv *csv)
{
    evn_trace_csv_text(csv, season ? season : "", true);
    evn_trace_csv_text(csv, p->name, false);
    evn_trace_csv_text(csv, p->stop ? "stop" : "leg", false);
    put_number(p->round, csv);
    put_number(p->part, csv);
    put_number(clock_s, csv);
    fputc(',', csv->stream);
}

static bool put_season(evn_day_trace *t, season_rows *s, const evn_day_strip *day, evn_trace_csv *csv)
{
    double *row = malloc(t->columns * sizeof *row);
    bool room = row;
    rewind(s->kept);
    for (size_t k = 0; row && k < s->phases && k < day->phases; k++)
        for (size_t i = 0; i < s->phase[k]->rows && csv->error_number == 0; i++) {
            errno = 0;
            if (fread(row, sizeof *row, t->columns, s->kept) != t->columns) {
                csv->error_number = errno != 0 ? errno : EIO;
                break;
            }
            put_of(day->season.name, &day->phase[k], day->phase[k].begin_s + row[t->time], csv);
            evn_trace_csv_row(csv, row, t->columns);
        }
    free(row);
    return room;
}

bool evn_day_trace_csv(evn_day_trace *t, const evn_rig *rig, const evn_day_strip *day, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    fputs("season,name,kind,round,part,clock_s,", to);
    evn_trace_csv_head(&csv, rig);
    for (size_t k = 0; k < t->seasons; k++) {
        season_rows *s = &t->season[k];
        if (csv.error_number == 0)
            csv.error_number = s->error_number;
        if (csv.error_number == 0 && !put_season(t, s, &day[k], &csv))
            csv.error_number = ENOMEM;
    }
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
