/* Lines of a CSV file and their cells, whatever separates them. */
#ifndef EVENER_READ_ROWS_H
#define EVENER_READ_ROWS_H
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct evn_cell {
    const char *at; /* without quotes and the spaces around */
    size_t length;
} evn_cell;

typedef struct evn_row {
    const char *begin, *end; /* without the line end */
    uint32_t line;
} evn_row;

typedef struct evn_rows {
    const char *at, *end; /* what is left */
    uint32_t line;        /* last line taken */
} evn_rows;

/* The next line that is neither empty nor a comment; false: no more. */
bool evn_rows_next(evn_rows *, evn_row *);

/* The column, in characters from 1, at which a place in a row stands. */
uint32_t evn_row_column(const evn_row *, const char *at);

/*
 * Takes the next cell of a row; *at, which begins as the row's begin, is left behind the separator, or NULL after the
 * last cell. False: a quote stays open, and the cell is where it was opened.
 */
bool evn_row_cell(const evn_row *, char separator, const char **at, evn_cell *);

/* What is between two places, without the spaces around. */
evn_cell evn_cell_trimmed(const char *begin, const char *end, char separator);

#endif
