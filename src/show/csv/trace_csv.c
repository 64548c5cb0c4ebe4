/* Rows of CSV with fields quoted where they must be; the first write that failed is remembered. */
#include "show/csv/trace_csv.h"
#include <errno.h>
#include <math.h>
#include <string.h>

void evn_trace_csv_end_line(evn_trace_csv *csv)
{
    fputc('\n', csv->stream);
    if (csv->error_number == 0 && ferror(csv->stream) != 0)
        csv->error_number = errno != 0 ? errno : EIO;
}

static bool wants_quotes(const char *text) { return strpbrk(text, ",\"\r\n"); }

/* With dots as they are or as underscores. */
static void put_text(evn_trace_csv *csv, const char *text, char dot)
{
    for (; *text != '\0'; text++) {
        if (*text == '"')
            fputc('"', csv->stream);
        fputc(*text == '.' ? dot : *text, csv->stream);
    }
}

/* What spreadsheets take for a formula: an apostrophe before it makes it a text to them. */
static bool is_formula(const char *text) { return text[0] != '\0' && strchr("=+-@\t\r", text[0]); }

/* What the key belongs to (NULL: nothing) before it, and a dot between; quoted where CSV asks for it. */
static void put_field(evn_trace_csv *csv, const char *of, const char *text, bool first, char dot)
{
    bool quoted = wants_quotes(text) || (of && wants_quotes(of));
    if (!first)
        fputc(',', csv->stream);
    if (quoted)
        fputc('"', csv->stream);
    if (is_formula(of ? of : text))
        fputc('\'', csv->stream);
    if (of) {
        put_text(csv, of, dot);
        fputc(dot, csv->stream);
    }
    put_text(csv, text, dot);
    if (quoted)
        fputc('"', csv->stream);
}

/* A key may carry a name from the truck file. */
void evn_trace_csv_key(evn_trace_csv *csv, const char *key, bool first) { put_field(csv, NULL, key, first, '_'); }

void evn_trace_csv_text(evn_trace_csv *csv, const char *text, bool first) { put_field(csv, NULL, text, first, '.'); }

static void put_column(evn_trace_csv *csv, const evn_trace_column *is, bool first)
{
    put_field(csv, is->axle ? is->axle : is->consumer ? is->consumer : is->drive_unit, is->what.key, first, '_');
}

void evn_trace_csv_head(evn_trace_csv *csv, const evn_rig *rig)
{
    evn_trace_column column;
    errno = 0;
    for (size_t i = 0; evn_trace_column_at(rig, i, &column); i++)
        put_column(csv, &column, i == 0);
    evn_trace_csv_end_line(csv);
}

void evn_trace_csv_columns(evn_trace_csv *csv, const evn_trace_column *column, size_t count)
{
    errno = 0;
    for (size_t i = 0; i < count; i++)
        put_column(csv, &column[i], i == 0);
    evn_trace_csv_end_line(csv);
}

void evn_trace_csv_row(void *self, const double *row, size_t columns)
{
    evn_trace_csv *csv = self;
    if (csv->error_number != 0)
        return;
    errno = 0;
    for (size_t i = 0; i < columns; i++) {
        if (i > 0)
            fputc(',', csv->stream);
        if (isfinite(row[i]))
            fprintf(csv->stream, "%.10g", row[i]);
    }
    evn_trace_csv_end_line(csv);
}
