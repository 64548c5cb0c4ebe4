/* A table of some columns that stay and groups of columns that stand side by side as far as the width goes. */
#ifndef EVENER_SHOW_WIDE_TABLE_H
#define EVENER_SHOW_WIDE_TABLE_H
#include "show/report/table.h"

typedef struct evn_wide_table evn_wide_table;

/*
 * `columns`: those that stay, then those of the first group, and so on, each group of as many. Headings are copied.
 * NULL when memory is out.
 */
evn_wide_table *evn_wide_new(const evn_table_column *columns, size_t stay, size_t groups, size_t per_group);
void evn_wide_free(evn_wide_table *);

/* One text for each column, copied; NULL is an empty cell. False when memory is out. */
bool evn_wide_row(evn_wide_table *, const char *const *cells);

/* Blocks of as many groups as fit into so many columns, at least one each, an empty line between blocks. Columns in
 * which nothing stands take no room. False when memory is out. */
bool evn_wide_print(const evn_wide_table *, FILE *, const char *indent, size_t width);

#endif
