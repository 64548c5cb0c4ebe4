/* What the parts of the reader of logs share. */
#ifndef EVENER_LOG_READER_H
#define EVENER_LOG_READER_H
#include "log/mapping.h"
#include "log/units.h"

typedef struct evn_log_reader {
    const char *bytes, *name;
    size_t length;
    uint32_t file; /* its number in the report */
    const evn_log_ask *ask;
    const evn_mapping_file *mapping; /* NULL: none */
    evn_arena *keep;
    evn_report *report;
    size_t errors_most; /* of the report's, at which reading ends */
} evn_log_reader;

/* Says once that memory ran out; always NULL. */
evn_log *evn_log_no_memory(evn_log_reader *);

/* The form of the bytes, and a log of it; NULL: said. */
evn_log *evn_log_read_csv(evn_log_reader *);
evn_log *evn_log_read_gpx(evn_log_reader *);

/* One column that is wanted of a CSV log. */
typedef struct evn_log_column {
    size_t cell; /* in each row */
    evn_log_quantity quantity;
    const evn_log_unit *unit; /* NULL: of times with date */
    evn_cell name, unit_text; /* as the header has them */
    bool stamps;
    double *value;
} evn_log_column;

typedef struct evn_log_columns {
    evn_log_column at[EVN_LOG_QUANTITY_COUNT];
    size_t count, cells; /* cells of the header */
    evn_row header;
    char separator;
} evn_log_columns;

/*
 * Which column of the header is which: what was asked first, then the mapping, then names that speak for themselves.
 * Units that the header does not say are looked for in the row below, which is a row of units then (*units_row). False:
 * said.
 */
bool evn_log_columns_find(evn_log_reader *, evn_log_columns *, const evn_row *below, bool *units_row);

bool evn_log_say(evn_log_reader *, const evn_row *, const char *at, evn_fault, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* True where the value lies within what its quantity can be; else it is said. */
bool evn_log_value_fits(evn_log_reader *, evn_spot, evn_log_quantity, double value, const evn_log_unit *);

#endif
