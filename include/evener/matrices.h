/*
 * matrices.h: maps and loss tables in matrix form, as suppliers send them, made tables that files of the program take:
 * one axis across the first line, the other down the first column, sheets of several voltages or oil temperatures.
 */
#ifndef EVENER_MATRICES_H
#define EVENER_MATRICES_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One matrix: a CSV file, and what the whole of it was measured at. */
typedef struct evn_matrix_sheet {
    const char *path;
    double at; /* in the unit of `sheets`; NAN: not said, for one sheet alone */
} evn_matrix_sheet;

/* What a matrix holds; each text is a quantity with its unit in brackets. */
typedef struct evn_matrix_ask {
    const char *across;              /* "speed [rpm]" or "torque [Nm]"; NULL: speed in rpm */
    const char *down;                /* the other of the two; NULL: torque in Nm */
    const char *values;              /* "efficiency [%]", "efficiency [1]", "loss [W]", "loss [kW]", "loss [Nm]" */
    const char *sheets;              /* "voltage [V]" or "oil [degC]"; NULL: voltage */
    const char *separator, *decimal; /* as in evn_log_ask */
    unsigned header_line;            /* that holds the axis across; 0: the first that is neither empty nor a comment */
} evn_matrix_ask;

typedef struct evn_matrix evn_matrix; /* all sheets, read */

/* EVN_DONE, or why not, said with line and column. NULL in `out` then. */
EVN_API evn_status evn_matrix_read(const evn_matrix_sheet *, size_t count, const evn_matrix_ask *, evn_matrix **out,
                                   evn_report *);
EVN_API void evn_matrix_free(evn_matrix *);

/* What was read. Efficiencies are shares. */
typedef struct evn_matrix_told {
    size_t sheets, cells, empty; /* cells: with a value */
    size_t reversed;             /* cells left out since the speed is below 0: the motor turned the other way round */
    const char *value_column;    /* "efficiency", "loss_w" or "loss_nm" */
    const char *sheet_column;    /* "voltage_v", "oil_degc"; NULL: one sheet at nothing said */
    double speed_least_rpm, speed_most_rpm, torque_least_nm, torque_most_nm, value_least, value_most;
    double best_speed_rpm, best_torque_nm; /* where the efficiency is highest, or the loss least */
    char separator, decimal;
} evn_matrix_told;
EVN_API const evn_matrix_told *evn_matrix_tells(const evn_matrix *);

/* One cell that holds a value, sheet by sheet, by speed and torque. False: no more. */
typedef struct evn_matrix_cell {
    double sheet, speed_rpm, torque_nm, value;
} evn_matrix_cell;
EVN_API bool evn_matrix_cell_at(const evn_matrix *, size_t index, evn_matrix_cell *out);

#ifdef __cplusplus
}
#endif
#endif
