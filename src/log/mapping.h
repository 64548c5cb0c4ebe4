/* How the columns of a log are named and separated, as a file says it. */
#ifndef EVENER_LOG_MAPPING_H
#define EVENER_LOG_MAPPING_H
#include "core/field.h"

typedef enum evn_log_separator {
    EVN_SEPARATOR_FOUND_OUT,
    EVN_SEPARATOR_COMMA,
    EVN_SEPARATOR_SEMICOLON,
    EVN_SEPARATOR_TAB,
    EVN_SEPARATOR_BAR
} evn_log_separator;
typedef enum evn_log_decimal { EVN_DECIMAL_FOUND_OUT, EVN_DECIMAL_POINT, EVN_DECIMAL_COMMA } evn_log_decimal;
extern const char *const evn_log_separators[]; /* by value; ends with NULL */
extern const char *const evn_log_decimals[];

typedef struct evn_mapping_column {
    const char *name, *unit; /* unit NULL: as the log's header says */
} evn_mapping_column;

typedef struct evn_mapping_file {
    const char *name;
    int separator, decimal;
    double header_line; /* NAN: the first that is neither empty nor a comment */
    evn_many columns;   /* evn_mapping_column by quantity */
} evn_mapping_file;
extern const evn_object evn_mapping_object;

#endif
