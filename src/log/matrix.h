/* Matrices behind evener/matrices.h. */
#ifndef EVENER_LOG_MATRIX_H
#define EVENER_LOG_MATRIX_H
#include "core/arena.h"
#include "core/report.h"
#include "evener/matrices.h"

enum { EVN_MATRIX_AXIS_MOST = 500, EVN_MATRIX_SHEETS_MOST = 8 };

struct evn_matrix {
    evn_arena *arena;
    evn_matrix_cell *cell;
    size_t count;
    evn_matrix_told told;
};

/* Fills a matrix whose arena is there. False: said. */
bool evn_matrix_make(evn_matrix *, const evn_matrix_sheet *, size_t count, const evn_matrix_ask *, evn_report *);

/* The same of one sheet from bytes in memory, beside those that are read already. */
bool evn_matrix_add(evn_matrix *, const char *bytes, size_t length, const char *name, double at, const evn_matrix_ask *,
                    evn_report *);

#endif
