/* The trace of a run as CSV: one header line of column keys, one line for each row. */
#ifndef EVENER_SHOW_TRACE_CSV_H
#define EVENER_SHOW_TRACE_CSV_H
#include "evener/evener.h"
#include "evener/traces.h"
#include <stdio.h>

typedef struct evn_trace_csv {
    FILE *stream;
    int error_number; /* of the first write that failed; 0: none did */
} evn_trace_csv;

/* Texts and keys that a spreadsheet would take for a formula (=, +, -, @ first) have an apostrophe before them. */

/* Keys with underscores for dots. */
void evn_trace_csv_head(evn_trace_csv *, const evn_rig *);
void evn_trace_csv_columns(evn_trace_csv *, const evn_trace_column *, size_t count); /* the same of these */
void evn_trace_csv_key(evn_trace_csv *, const char *key, bool first);
void evn_trace_csv_text(evn_trace_csv *, const char *text, bool first); /* a field as it is, but for the apostrophe */

/* Ten digits; what is not finite is an empty field. `self` is an evn_trace_csv, as evn_watcher.sample wants it. */
void evn_trace_csv_row(void *self, const double *row, size_t columns);

/* Ends a line, and notes what could not be written. */
void evn_trace_csv_end_line(evn_trace_csv *);

#endif
