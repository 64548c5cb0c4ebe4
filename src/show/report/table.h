/* A table of text cells, columns as wide as their widest cell. */
#ifndef EVENER_SHOW_TABLE_H
#define EVENER_SHOW_TABLE_H
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef struct evn_table_column {
    const char *heading;
    bool to_the_right; /* numbers */
} evn_table_column;

typedef struct evn_table evn_table;

/* NULL when memory is out. Without headings only the cells are printed. */
evn_table *evn_table_new(const evn_table_column *columns, size_t count, bool headings);
void evn_table_free(evn_table *);

/* One text for each column; NULL is an empty cell. The texts are copied. False when memory is out. */
bool evn_table_row(evn_table *, const char *const *cells);

/* Every line after the indent, without blanks at its end. False when memory is out. */
bool evn_table_print(const evn_table *, FILE *, const char *indent);

#endif
