/*
 * logs.h: what was measured on the road, as loggers and satellite receivers write it: CSV files of any separator and
 * GPX 1.1. A log is told column by column what it holds; nothing is guessed in silence.
 */
#ifndef EVENER_LOGS_H
#define EVENER_LOGS_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * How a CSV log is to be read. All zero: the separator and the decimal mark are found out from the file (and told), and
 * columns by their names: those of the house ("speed_km_h"), or a quantity with its unit ("speed [km/h]", "Altitude
 * (m)"). A mapping is a YAML file of the kind `log` that says the same; what stands here comes before what stands
 * there. GPX files say all of this themselves.
 */
typedef struct evn_log_ask {
    const char *mapping;        /* path of a YAML file; NULL: none */
    const char *const *columns; /* "speed=v_gps [km/h]": quantity, name in the file, unit; ends with NULL; NULL: none */
    const char *separator;      /* "comma", "semicolon", "tab", "bar"; NULL: found out */
    const char *decimal;        /* "point", "comma"; NULL: found out */
    unsigned header_line;       /* that names the columns; 0: the first that is neither empty nor a comment */
} evn_log_ask;

#ifdef __cplusplus
}
#endif
#endif
