/* How text may look on a stream: colour only on a terminal that wants it, block characters only where they show. */
#ifndef EVENER_SHOW_LOOK_H
#define EVENER_SHOW_LOOK_H
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef enum evn_style {
    EVN_STYLE_PLAIN,
    EVN_STYLE_STRONG,
    EVN_STYLE_FAINT,
    EVN_STYLE_WARNING,
    EVN_STYLE_ERROR
} evn_style;

typedef struct evn_look {
    bool colour;      /* the stream is a terminal, NO_COLOR is not set, TERM is not dumb */
    bool utf8;        /* the reader's locale is UTF-8 */
    bool terminal;    /* whoever reads sees lines, not a file */
    unsigned columns; /* that the reader has: of $COLUMNS, else of the terminal; 0: neither says */
    bool all_digits;  /* figures with all digits that are computed, not only those that the data deserve */
} evn_look;

/* Decimals for a figure that deserves so many. NULL: no more than these. */
enum { EVN_ALL_DIGITS = 99 };
int evn_look_digits(const evn_look *, int digits);

/* Both streams of the program, decided once. */
typedef struct evn_console {
    FILE *out, *err;
    evn_look out_look, err_look;
    bool err_is_terminal;
    const char *const *words; /* of the command line, from the program's name on; ends with NULL */
} evn_console;

evn_look evn_look_of(FILE *, bool utf8);

enum { EVN_COLUMNS_UNKNOWN = 80, EVN_COLUMNS_LEAST = 60, EVN_COLUMNS_MOST = 200, EVN_PROSE_COLUMNS_MOST = 80 };

/*
 * Columns that a line may fill, one less than there are: of 80 where that is not known, of 60 where there are less.
 * Lines of prose stay readable at 80 however many there are.
 */
size_t evn_look_width(const evn_look *);
size_t evn_look_prose(const evn_look *);
evn_console evn_console_of(FILE *out, FILE *err, bool utf8, const char *const *words);

/* Between the two calls the stream shows the style; both write nothing without colour. */
void evn_style_begin(FILE *, const evn_look *, evn_style);
void evn_style_end(FILE *, const evn_look *, evn_style);
void evn_put_styled(FILE *, const evn_look *, evn_style, const char *text);

/* A bar of share (0 to 1) of so many columns; nothing for shares that are not positive. `size` >= 4 * columns + 1. */
void evn_format_bar(char *out, size_t size, const evn_look *, double share, unsigned columns);

#endif
