/* A table of text cells that fits into a width. */
#ifndef EVENER_SHOW_TABLE_H
#define EVENER_SHOW_TABLE_H
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef struct evn_table_column {
    const char *heading; /* copied */
    bool to_the_right;   /* numbers */
    bool folds;          /* words: its cells may take several lines */
} evn_table_column;

typedef struct evn_table evn_table;

/* NULL when memory is out. Without headings only the cells are printed. */
evn_table *evn_table_new(const evn_table_column *columns, size_t count, bool headings);
void evn_table_free(evn_table *);

/* One text for each column; NULL is an empty cell. The texts are copied. False when memory is out. */
bool evn_table_row(evn_table *, const char *const *cells);

/*
 * Every line after the indent, without blanks at its end, columns as wide as their widest cell. Where that is more than
 * `width` columns in all, words and headings are folded; where that is not enough, a wide first column stands above the
 * others, line by line; else the columns stand in blocks below each other, each with the first. No number is cut.
 * Columns in which nothing stands take no room. False when memory is out.
 */
bool evn_table_print(const evn_table *, FILE *, const char *indent, size_t width);

#endif
