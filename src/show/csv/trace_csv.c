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

/* Quoted where CSV asks for it; with dots as they are or as underscores. */
static void put_field(evn_trace_csv *csv, const char *text, bool first, char dot)
{
    if (!first)
        fputc(',', csv->stream);
    bool quoted = strpbrk(text, ",\"\r\n") != NULL;
    if (quoted)
        fputc('"', csv->stream);
    for (; *text != '\0'; text++) {
        if (*text == '"')
            fputc('"', csv->stream);
        fputc(*text == '.' ? dot : *text, csv->stream);
    }
    if (quoted)
        fputc('"', csv->stream);
}

/* A key may carry a name from the truck file. */
void evn_trace_csv_key(evn_trace_csv *csv, const char *key, bool first) { put_field(csv, key, first, '_'); }

void evn_trace_csv_text(evn_trace_csv *csv, const char *text, bool first) { put_field(csv, text, first, '.'); }

void evn_trace_csv_head(evn_trace_csv *csv, const evn_rig *rig)
{
    size_t columns = evn_trace_column_count(rig);
    errno = 0;
    for (size_t i = 0; i < columns; i++) {
        evn_quantity what = {.key = ""};
        evn_trace_column_at(rig, i, &what);
        evn_trace_csv_key(csv, what.key, i == 0);
    }
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
