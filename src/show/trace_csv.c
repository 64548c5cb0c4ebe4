#include "show/trace_csv.h"
#include <errno.h>
#include <math.h>
#include <string.h>

void evn_trace_csv_end_line(evn_trace_csv *csv)
{
    fputc('\n', csv->stream);
    if (csv->error_number == 0 && ferror(csv->stream) != 0)
        csv->error_number = errno != 0 ? errno : EIO;
}

/* A key may carry a name from the truck file: it is quoted where CSV asks for it. */
void evn_trace_csv_key(evn_trace_csv *csv, const char *key, bool first)
{
    if (!first)
        fputc(',', csv->stream);
    bool quoted = strpbrk(key, ",\"\r\n") != NULL;
    if (quoted)
        fputc('"', csv->stream);
    for (; *key != '\0'; key++) {
        if (*key == '"')
            fputc('"', csv->stream);
        fputc(*key == '.' ? '_' : *key, csv->stream);
    }
    if (quoted)
        fputc('"', csv->stream);
}

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
