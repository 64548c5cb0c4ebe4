/* What separates the cells of a file, found out from two of its lines. */
#ifndef EVENER_LOG_SEPARATORS_H
#define EVENER_LOG_SEPARATORS_H
#include "read/rows.h"

/* Of "comma", "semicolon", "tab", "bar"; '\0' for any other word. */
char evn_separator_of_word(const char *word);
/* "point" or "comma"; '\0' for any other word. */
char evn_decimal_of_word(const char *word);

/* Cells of a row; 0 where a quote stays open. */
size_t evn_cells_of(const evn_row *, char separator);

/*
 * The one that gives both lines as many cells, two or more; else the only one that the first has; '\0': none does, or
 * (with *several) more than one. `below` may be NULL.
 */
char evn_separator_find(const evn_row *first, const evn_row *below, bool *several);

/* Empty, or what loggers write for it: NaN, NA, N/A, null, -, --. */
bool evn_cell_is_empty(evn_cell);

#endif
