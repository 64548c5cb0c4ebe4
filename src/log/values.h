/* Cells of a log as values: numbers with a decimal point or comma, times as ISO 8601 writes them. */
#ifndef EVENER_LOG_VALUES_H
#define EVENER_LOG_VALUES_H
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * A decimal number. *decimal is '.' or ',' once it is known which of them parts decimals, 0 before, and is set by the
 * first number that has one. NULL, or why not: "one mark that parts decimals, none between thousands".
 */
const char *evn_log_number(const char *text, size_t length, char *decimal, double *value);

typedef struct evn_stamp {
    int64_t second; /* since 1970-01-01T00:00:00 UTC, without leap seconds */
    double fraction;
    bool zoned; /* it says how far its clock is off UTC; else it is taken as UTC */
} evn_stamp;

/*
 * A date and time as ISO 8601 writes them: 2026-05-04T08:15:30.25Z, 2026-05-04 08:15:30,25+02:00, 20260504T081530Z.
 * NULL, or why not.
 */
const char *evn_stamp_read(const char *text, size_t length, evn_stamp *out);

/* Whether a text is meant as one, well written or not: digits and a '-', or a 'T' behind eight of them. */
bool evn_stamp_meant(const char *text, size_t length);

#endif
