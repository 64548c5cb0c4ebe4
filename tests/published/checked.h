/*
 * Checks against values from outside the program. Each says what is computed, from where the expected value is, and how
 * well that is known. It fails as an assertion of Check does; and where the environment variable EVENER_CHECKS names a
 * file it appends a row to it first, so that tools/verify can show every one of them, those that fail included.
 *
 * A row: name of the test, quantity, unit, kind of comparison, expected, computed, tolerance, source,
 * status; tabs between, and \t, \n and \\ for a tab, a newline and a backslash within.
 */
#ifndef EVENER_TESTS_CHECKED_H
#define EVENER_TESTS_CHECKED_H
#include <check.h>
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

typedef enum status {
    NO_STATUS, /* what is left out: such a check fails */
    READ_IN_SOURCE,
    RECOMPUTED, /* worked out from data or a formula read in the source */
    CLOSED_FORM,
    FROM_MEMORY, /* value, or data and formula behind it, without the source at hand */
    COMMON_PRACTICE
} status;

typedef struct published {
    const char *source;
    status status;
} published;

/* How the computed value compares: within a share of the expected one or within an amount of it, or on one side. */
typedef enum comparison { RELATIVE, ABSOLUTE, BELOW, ABOVE } comparison;

typedef struct checked {
    const published *from;
    const char *quantity, *unit;
    comparison by;
    double computed, expected, tolerance;
} checked;

static inline const char *status_text(status of)
{
    switch (of) {
    case READ_IN_SOURCE:
        return "read in the source";
    case RECOMPUTED:
        return "recomputed from the source";
    case CLOSED_FORM:
        return "closed form";
    case FROM_MEMORY:
        return "from memory";
    case COMMON_PRACTICE:
        return "common practice, no source";
    default:
        return "";
    }
}

static inline void put_cell(FILE *file, const char *text)
{
    for (; *text != '\0'; text++) {
        const char *instead = *text == '\t' ? "\\t" : *text == '\n' ? "\\n" : *text == '\\' ? "\\\\" : NULL;
        if (instead)
            fputs(instead, file);
        else
            fputc(*text, file);
    }
    fputc('\t', file);
}

static inline void record(const checked *it)
{
    static const char *const kinds[] = {"relative", "absolute", "below", "above"};
    const char *path = getenv("EVENER_CHECKS");
    if (!path || *path == '\0')
        return;
    FILE *file = fopen(path, "a");
    ck_assert_msg(file, "EVENER_CHECKS: cannot append to %s", path);
    put_cell(file, tcase_name());
    put_cell(file, it->quantity);
    put_cell(file, it->unit);
    put_cell(file, kinds[it->by]);
    fprintf(file, "%.17g\t%.17g\t%.17g\t", it->expected, it->computed, it->tolerance);
    put_cell(file, it->from->source);
    fprintf(file, "%s\n", status_text(it->from->status));
    ck_assert_msg(fclose(file) == 0, "EVENER_CHECKS: cannot write to %s", path);
}

static inline bool holds(const checked *it)
{
    switch (it->by) {
    case BELOW:
        return it->computed < it->expected;
    case ABOVE:
        return it->computed > it->expected;
    case RELATIVE:
        return fabs(it->computed - it->expected) <= it->tolerance * fabs(it->expected);
    default:
        return fabs(it->computed - it->expected) <= it->tolerance;
    }
}

enum { QUANTITY_BYTES = 200 };

/*
 * Compares, with `tolerance` a share of the expected value (RELATIVE) or an amount in the unit of the quantity
 * (ABSOLUTE; 0: equal); for BELOW and ABOVE `expected` is the limit, and the tolerance 0. The quantity is a format of
 * printf, with what it takes behind it; the unit is "1" for a plain number.
 */
__attribute__((format(printf, 7, 8))) static inline void check_value(const published *from, double computed,
                                                                     comparison by, double expected, double tolerance,
                                                                     const char *unit, const char *quantity, ...)
{
    char text[QUANTITY_BYTES];
    va_list values;
    va_start(values, quantity);
    int length = vsnprintf(text, sizeof text, quantity, values);
    va_end(values);
    ck_assert(length > 0 && length < QUANTITY_BYTES);
    const checked it = {from, text, unit, by, computed, expected, tolerance};
    record(&it);
    ck_assert_msg(from->source[0] != '\0' && from->status != NO_STATUS, "%s: no source or no status", text);
    ck_assert_msg(holds(&it), "%s: %.17g %s computed, %.17g expected, tolerance %g: %s", text, computed, unit, expected,
                  tolerance, from->source);
}

#endif
