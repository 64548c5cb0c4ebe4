/* A log as it was read: a table of columns by quantity, in SI units, row by row as the file has them. */
#ifndef EVENER_LOG_LOG_H
#define EVENER_LOG_LOG_H
#include "core/arena.h"
#include "core/report.h"
#include "evener/logs.h"

/* X(enum name, name in files and options, name of the house's column with its unit, dimension, help) */
#define EVN_LOG_QUANTITIES(X)                                                                                          \
    X(TIME, "time", "time_s", TIME, "time, in seconds or as ISO 8601 with date")                                       \
    X(PLACE, "place", "place_m", LENGTH, "distance that was driven, as an odometer counts it")                         \
    X(SPEED, "speed", "speed_m_s", SPEED, "speed of the vehicle")                                                      \
    X(ALTITUDE, "altitude", "altitude_m", LENGTH, "altitude of the vehicle")                                           \
    X(LATITUDE, "latitude", "latitude_deg", ANGLE, "latitude, WGS 84, north above 0")                                  \
    X(LONGITUDE, "longitude", "longitude_deg", ANGLE, "longitude, WGS 84, east above 0")                               \
    X(GRADE, "grade", "grade_ratio", RATIO, "grade of the road, tangent of the slope angle, climbing above 0")         \
    X(HEADING, "heading", "heading_deg", ANGLE, "where the vehicle drives to, clockwise from north")                   \
    X(POWER, "power", "power_w", POWER, "power at the battery's terminals, discharging above 0")                       \
    X(ENERGY, "energy", "energy_j", ENERGY, "energy discharged from the battery since any beginning, net")             \
    X(VOLTAGE, "voltage", "voltage_v", VOLTAGE, "voltage at the battery's terminals")                                  \
    X(CURRENT, "current", "current_a", CURRENT, "current of the battery, discharging above 0")                         \
    X(CHARGE, "charge", "charge_ratio", RATIO, "state of charge")                                                      \
    X(MOTOR_SPEED, "motor_speed", "motor_speed_rad_s", TURNING, "speed of the motor")                                  \
    X(MOTOR_TORQUE, "motor_torque", "motor_torque_nm", TORQUE, "torque of the motor, pulling above 0")                 \
    X(GEAR, "gear", "gear_number", NUMBER, "gear that is engaged; 0: none")                                            \
    X(BRAKE, "brake", "brake_ratio", RATIO, "how far the brake pedal is pressed, or 1 where it is and 0 where not")    \
    X(WIND_SPEED, "wind_speed", "wind_speed_m_s", SPEED, "speed of the wind over ground")                              \
    X(WIND_FROM, "wind_from", "wind_from_deg", ANGLE, "where the wind comes from, clockwise from north")               \
    X(AIR_SPEED, "air_speed", "air_speed_m_s", SPEED, "speed of the air along the vehicle, from ahead above 0")        \
    X(AIR_TEMPERATURE, "air_temperature", "air_temperature_degc", TEMPERATURE, "temperature of the air")               \
    X(AIR_PRESSURE, "air_pressure", "air_pressure_pa", PRESSURE, "pressure of the air at the place")                   \
    X(AIR_DENSITY, "air_density", "air_density_kg_m3", DENSITY, "density of the air")                                  \
    X(HUMIDITY, "humidity", "humidity_ratio", RATIO, "relative humidity of the air")

typedef enum evn_log_quantity {
#define X(name, word, column, dimension, help) EVN_LOG_##name,
    EVN_LOG_QUANTITIES(X)
#undef X
        EVN_LOG_QUANTITY_COUNT
} evn_log_quantity;

/* "speed"; "speed_m_s"; one line of meaning. */
const char *evn_log_word(evn_log_quantity);
const char *evn_log_column_name(evn_log_quantity);
const char *evn_log_help(evn_log_quantity);

typedef enum evn_log_form { EVN_LOG_CSV, EVN_LOG_GPX } evn_log_form;

/* Where a column came from, for what is told: its name and unit as the file has them. */
typedef struct evn_log_origin {
    const char *name, *unit; /* NULL where the log does not have the quantity */
} evn_log_origin;

/*
 * Rows stand as in the file: times may repeat or go back, cells may be empty (NAN). All of this lives in the arena.
 */
typedef struct evn_log {
    const char *file; /* as findings name it */
    evn_log_form form;
    size_t rows;
    const double *column[EVN_LOG_QUANTITY_COUNT]; /* [rows], SI as the names say; NULL: the log does not have it */
    evn_log_origin origin[EVN_LOG_QUANTITY_COUNT];
    const uint32_t *line;    /* [rows] */
    const uint32_t *segment; /* [rows]: of a GPX track, 0 first; NULL: one piece */
    double begin_unix_s;     /* of time_s 0, where times bear a date: seconds since 1970-01-01T00:00:00 UTC; NAN else */
    bool local_time;         /* times bear a date and no zone: taken as if they were UTC */
    char separator, decimal; /* of a CSV file */
    const char *unread;      /* names of its other columns, "a, b, c", cut when they are many; NULL: none */
    bool cut_short;          /* the last line is not whole, and was left out */
    size_t empty_cells;      /* of the columns above */
} evn_log;

/*
 * Reads a log; the form is told by how the file begins. Times bear no sense but order here: where they are numbers they
 * stand as they are, where they bear a date they count from the first row. NULL when something is wrong (said with
 * file, line and column). `ask` may be NULL.
 */
const evn_log *evn_log_read(const char *path, const evn_log_ask *ask, evn_arena *, evn_report *);

/* The same from bytes in memory; `name` stands for the file in messages. */
const evn_log *evn_log_read_bytes(const char *bytes, size_t length, const char *name, const evn_log_ask *ask,
                                  evn_arena *, evn_report *);

/* Where a row stands, for findings. */
evn_spot evn_log_row(const evn_log *, size_t row, evn_report *);

/*
 * False, and said, where the log lacks one of these quantities (ends with EVN_LOG_QUANTITY_COUNT) for what is wanted:
 * "no speed in this log; expected time and speed for ...".
 */
bool evn_log_has(const evn_log *, const evn_log_quantity *, const char *wanted_for, evn_report *);

/* ------------------------------------------------------------------------------------------------ times in order */

/* What was done so that time rises from row to row. */
typedef struct evn_log_order {
    size_t repeated;  /* rows left out whose time was that of the row before */
    size_t backward;  /* rows left out that went back behind a time already there */
    size_t no_time;   /* rows left out without a time */
    size_t gaps;      /* steps longer than the gap that was asked */
    double longest_s; /* of the steps */
    double median_s;  /* step, after leaving out */
} evn_log_order;

/*
 * The rows with time rising by at least 1 ms: of rows of one time the first stays; a row that goes back is left out,
 * and so are those after it until time is beyond the latest again. Where more than a tenth of all rows would go, that
 * is said
 * ("disagrees") at the first of them and NULL returned: two logs in one file, or times of another unit. Columns are
 * new, in the arena; the log stays as it is.
 */
const evn_log *evn_log_ordered(const evn_log *, double gap_s, evn_log_order *, evn_arena *, evn_report *);

#endif
