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

/* ------------------------------------------------------------------------------------------------ losses of gears */

/*
 * Losses of an axle, a gearbox in one gear or a pair of gears as they are measured over speed, torque and oil
 * temperature, fitted by the law that parts of the program follow: a share of the load, and a drag over speed that goes
 * with the oil's temperature. What the fit leaves is told; it stands in src/log/LOSSES.md of the source tree.
 */
typedef struct evn_loss_ask {
    double ratio;    /* motor-side speed over wheel-side speed, 0.05 to 50 */
    bool motor_side; /* speed, torque and loss are those of the shaft on the motor side; else on the wheel side */
} evn_loss_ask;

typedef struct evn_loss_fit evn_loss_fit;

/*
 * Reads a table with columns speed_rpm, torque_nm, one of loss_nm, loss_w and loss_kw, and oil_degc where there are
 * several temperatures. EVN_DONE, or why not, said with line and column. NULL in `out` then.
 */
EVN_API evn_status evn_loss_fit_table(const char *path, const evn_loss_ask *, evn_loss_fit **out, evn_report *);
EVN_API void evn_loss_fit_free(evn_loss_fit *);

/* What was found. Drag: the friction torque at `speed_rpm`, with the oil at `reference_degc`, on the side of the table.
 */
typedef struct evn_loss_told {
    size_t points, fitted;    /* of the table; of these with torque of 0 or more, which the fit is made by */
    double ratio, efficiency; /* of the load alone, as final_drive and mesh state it */
    bool motor_side;
    const double *speed_rpm, *drag_nm; /* [speeds] */
    size_t speeds;
    const double *oil_degc, *drag_factor; /* [oils]; none: one temperature, or none said */
    size_t oils;
    double reference_degc;                                /* NAN: none said */
    double off_rms, off_most;                             /* of the fit from the table, as a share of the mean loss */
    double most_speed_rpm, most_torque_nm, most_oil_degc; /* where it is furthest off */
    double off_pushing_rms; /* the same of torques below 0, which nothing was fitted to; NAN: none */
} evn_loss_told;
EVN_API const evn_loss_told *evn_loss_fit_tells(const evn_loss_fit *);

#ifdef __cplusplus
}
#endif
#endif
