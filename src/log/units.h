/* Units that logs are written in, and what of the house's each is. */
#ifndef EVENER_LOG_UNITS_H
#define EVENER_LOG_UNITS_H
#include "core/words.h"
#include "log/log.h"
#include "read/rows.h"

typedef enum evn_dimension {
    EVN_DIMENSION_TIME,
    EVN_DIMENSION_LENGTH,
    EVN_DIMENSION_SPEED,
    EVN_DIMENSION_ANGLE,
    EVN_DIMENSION_RATIO,
    EVN_DIMENSION_POWER,
    EVN_DIMENSION_ENERGY,
    EVN_DIMENSION_VOLTAGE,
    EVN_DIMENSION_CURRENT,
    EVN_DIMENSION_TURNING,
    EVN_DIMENSION_TORQUE,
    EVN_DIMENSION_NUMBER,
    EVN_DIMENSION_TEMPERATURE,
    EVN_DIMENSION_PRESSURE,
    EVN_DIMENSION_DENSITY
} evn_dimension;

typedef struct evn_log_unit {
    evn_dimension dimension;
    const char *text, *suffix; /* "km/h"; "km_h", which names of columns end in; each NULL where there is none */
    double factor, offset;     /* SI = factor * (value + offset) */
} evn_log_unit;

/* The unit of that text, or of that suffix; NULL: none of the dimension. Upper and lower case are the same. */
const evn_log_unit *evn_log_unit_of(evn_dimension, evn_cell text);
const evn_log_unit *evn_log_unit_by_suffix(evn_dimension, evn_cell suffix);

/* "s, ms, min, h". Returns `out`. */
const char *evn_log_units_text(char out[EVN_PHRASE_BYTES], evn_dimension);

/* Where a name of a quantity needs no unit beside it: degrees of a latitude, a number; NULL: it needs one. */
const evn_log_unit *evn_log_unit_implied(evn_log_quantity);

evn_dimension evn_log_dimension(evn_log_quantity);

/* The quantity of a word, or of another word for it (elevation, distance, lat); -1: none. */
int evn_log_quantity_named(evn_cell word);

/*
 * The quantity and unit of a column by its name alone: "speed_km_h" or "speed"; unit NULL: not said. -1: none. A unit
 * in brackets behind the name is taken off before (evn_log_name_split).
 */
int evn_log_quantity_of_column(evn_cell name, const evn_log_unit **unit);

/* "speed [km/h]" to "speed" and "km/h"; the unit is empty where there are no brackets at the end. */
void evn_log_name_split(evn_cell whole, evn_cell *name, evn_cell *unit);

/* What a quantity holds in any sound log, in its SI unit, and what is wrong else most often. */
typedef struct evn_log_bounds {
    double least, most;
} evn_log_bounds;
evn_log_bounds evn_log_bounds_of(evn_log_quantity);

#endif
