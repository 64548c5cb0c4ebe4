/* Keeps the rows of a day, and writes them with what they are of, which is known when the day has ended. */
#define _POSIX_C_SOURCE 200809L
#include "show/csv/day_trace_csv.h"
#include "show/csv/trace_csv.h"
#include "show/figures.h"
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
    const evn_rig *rig;   /* which tells the columns of its rows; NULL: none came */
    size_t columns, time; /* so many, and that of the time */
    FILE *kept;           /* its rows one behind another */
    phase_rows **phase;
    size_t phases;
    int error_number; /* of the first write that failed, EINVAL of a row of another rig; 0: none did */
} season_rows;

struct evn_day_trace {
    season_rows *season;
    size_t seasons;
};

evn_day_trace *evn_day_trace_new(size_t seasons, int *error_number)
{
    evn_day_trace *t = calloc(1, sizeof *t);
    errno = ENOMEM;
    if (t)
        t->season = calloc(seasons, sizeof *t->season);
    bool made = t && t->season;
    if (made)
        t->seasons = seasons;
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
    if (columns != p->of->columns && p->of->error_number == 0)
        p->of->error_number = EINVAL;
    if (p->of->error_number != 0)
        return;
    errno = 0;
    if (fwrite(row, sizeof *row, columns, p->of->kept) != columns)
        p->of->error_number = errno != 0 ? errno : EIO;
    p->rows++;
}

evn_sampler evn_day_trace_next(evn_day_trace *t, size_t season, const evn_rig *rig, double interval_s)
{
    season_rows *s = &t->season[season];
    s->rig = rig;
    s->columns = evn_trace_column_count(rig);
    s->time = evn_figures_column(rig, "time_s");
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

/* Columns of all seasons, each once. */
typedef struct all_columns {
    evn_trace_column *column;
    size_t count, **place; /* of each column of a season's rows among all, by season */
    double *row;           /* room for one */
} all_columns;

static bool same_text(const char *a, const char *b) { return a && b ? strcmp(a, b) == 0 : a == b; }

static bool same_column(const evn_trace_column *a, const evn_trace_column *b)
{
    return same_text(a->what.key, b->what.key) && same_text(a->drive_unit, b->drive_unit) &&
           same_text(a->axle, b->axle) && same_text(a->consumer, b->consumer);
}

/* The place of a column; one that is not there yet comes to stand behind that which it follows in its season. */
static size_t place_of(all_columns *all, const evn_trace_column *is, size_t behind)
{
    for (size_t k = 0; k < all->count; k++)
        if (same_column(&all->column[k], is))
            return k;
    memmove(&all->column[behind + 1], &all->column[behind], (all->count - behind) * sizeof *is);
    all->column[behind] = *is;
    all->count++;
    return behind;
}

static void gather(all_columns *all, const evn_rig *rig)
{
    evn_trace_column is;
    size_t behind = 0;
    for (size_t i = 0; evn_trace_column_at(rig, i, &is); i++)
        behind = place_of(all, &is, behind) + 1;
}

/* When all of them stand where they stay. */
static void find_places(all_columns *all, const evn_rig *rig, size_t *place)
{
    evn_trace_column is;
    for (size_t i = 0; evn_trace_column_at(rig, i, &is); i++)
        place[i] = place_of(all, &is, 0);
}

static void end_columns(all_columns *all, size_t seasons)
{
    for (size_t k = 0; all->place && k < seasons; k++)
        free(all->place[k]);
    free(all->place);
    free(all->column);
    free(all->row);
}

/* False when memory is out; to be ended either way. */
static bool gather_all(all_columns *all, const evn_day_trace *t)
{
    size_t most = 1;
    for (size_t k = 0; k < t->seasons; k++)
        most += t->season[k].columns;
    *all = (all_columns){calloc(most, sizeof *all->column), 0, calloc(t->seasons, sizeof *all->place),
                         calloc(most, sizeof *all->row)};
    bool room = all->column && all->place && all->row;
    for (size_t k = 0; room && k < t->seasons; k++)
        gather(all, t->season[k].rig);
    for (size_t k = 0; room && k < t->seasons; k++) {
        all->place[k] = calloc(t->season[k].columns + 1, sizeof *all->place[k]);
        room = all->place[k];
        if (room)
            find_places(all, t->season[k].rig, all->place[k]);
    }
    return room;
}

/* A row of its season among all columns: what the season does not have is an empty field. */
static void put_row(const season_rows *s, const double *row, const all_columns *all, const size_t *place,
                    evn_trace_csv *csv)
{
    for (size_t i = 0; i < all->count; i++)
        all->row[i] = (double)NAN;
    for (size_t i = 0; i < s->columns; i++)
        all->row[place[i]] = row[i];
    evn_trace_csv_row(csv, all->row, all->count);
}

/* False when memory is out. */
static bool put_season(season_rows *s, const evn_day_strip *day, const all_columns *all, const size_t *place,
                       evn_trace_csv *csv)
{
    double *row = malloc((s->columns + 1) * sizeof *row);
    rewind(s->kept);
    for (size_t k = 0; row && k < s->phases && k < day->phases; k++)
        for (size_t i = 0; i < s->phase[k]->rows && csv->error_number == 0; i++) {
            errno = 0;
            if (fread(row, sizeof *row, s->columns, s->kept) != s->columns) {
                csv->error_number = errno != 0 ? errno : EIO;
                break;
            }
            put_of(day->season.name, &day->phase[k], day->phase[k].begin_s + row[s->time], csv);
            put_row(s, row, all, place, csv);
        }
    bool room = row;
    free(row);
    return room;
}

bool evn_day_trace_csv(evn_day_trace *t, const evn_day_strip *day, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    all_columns all;
    bool room = gather_all(&all, t);
    fputs("season,name,kind,round,part,clock_s,", to);
    if (room)
        evn_trace_csv_columns(&csv, all.column, all.count);
    for (size_t k = 0; room && k < t->seasons; k++) {
        season_rows *s = &t->season[k];
        if (csv.error_number == 0)
            csv.error_number = s->error_number;
        if (csv.error_number == 0)
            room = put_season(s, &day[k], &all, all.place[k], &csv);
    }
    end_columns(&all, t->seasons);
    *error_number = room ? csv.error_number : ENOMEM;
    return *error_number == 0;
}
