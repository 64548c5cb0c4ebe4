/* Words and numbers as people read them: safe names, paragraphs, durations, decimals. */
#ifndef EVENER_SHOW_TEXT_H
#define EVENER_SHOW_TEXT_H
#include "evener/evener.h"
#include "show/look.h"
#include <stdint.h>
#include <stdio.h>

/* Stands for a byte that begins no UTF-8 sequence. */
#define EVN_NO_CODE UINT32_MAX

/* Reads one code point of a string; returns the bytes it takes: 0 at the end, 1 with EVN_NO_CODE at a stray byte. */
size_t evn_utf8_next(const char *at, uint32_t *code);

/* True for a code point that moves the cursor, starts a terminal command or turns the direction of writing round. */
bool evn_code_is_control(uint32_t code);

/* Writes text that came from a file or the command line: control characters and stray bytes appear as \x1b, \u{202e}.
 */
void evn_put_safe(FILE *, const char *text);

/* The same as a string to be freed; NULL when memory is out. */
char *evn_safe_text(const char *text);

/*
 * Bytes of a text (already safe) that make its next line of so many columns, at least one: up to a blank, of a word
 * that is longer than the line up to a sign in it, else as many as there is room for.
 */
size_t evn_line_bytes(const char *text, size_t width);

/* Whether a sign of a text is a blank within a value, where no line ends: "6.2| %", "2| min| 10| s", ">| 99.9". */
bool evn_is_within_value(const char *text, size_t at);

/*
 * Writes words (already safe), broken so that no line has more than `width` columns, each line after the indent. The
 * first `column` columns are written already; 0: the indent comes first.
 */
void evn_put_paragraph_within(FILE *, size_t width, size_t column, const char *indent, const char *text);

/* The same behind `column` columns and a gap, or on the next line where the first word has no room there. */
void evn_put_behind(FILE *, size_t width, size_t column, size_t gap, const char *indent, const char *text);

/* The same of a sentence written as printf does, its texts made safe: control characters come out as above. False when
 * memory is out. */
bool evn_put_sentence(FILE *, size_t width, const char *indent, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* Columns that a code point takes in a terminal, as the locale says: two for East Asian signs, none for accents that
 * join the letter before. One where the locale does not know. */
size_t evn_code_columns(uint32_t code);

/* Columns of a string, and of its first so many bytes. */
size_t evn_text_columns(const char *text);
size_t evn_columns_within(const char *text, size_t bytes);

/* 42.5 s; 12 min 05 s; 3 h 07 min. Not finite: "-". */
void evn_format_duration(char *out, size_t size, double duration_s);
/* "1:06": hours and whole minutes; not finite or below zero: "-". */
void evn_format_clock(char *out, size_t size, double time_s);

/* So many decimals, without a sign before a zero; EVN_ALL_DIGITS (look.h): twelve significant digits. Not finite: "-".
 */
void evn_format_decimals(char *out, size_t size, int digits, double value);

/*
 * The value as its quantity says: yes, no, not judged; a whole number; decimals, or all digits where the look wants
 * them (NULL: it does not). Without the unit, which is what evn_shown_unit says.
 */
void evn_format_value(char *out, size_t size, const evn_look *, const evn_quantity *, double value);

/* Of a share, which is told in per cent, "%"; else the quantity's own. And the value in that unit. */
const char *evn_shown_unit(const evn_quantity *);
double evn_shown_value(const evn_quantity *, double value);

/* True where decimals show nothing but zeros. */
bool evn_looks_like_nothing(int digits, double value);

/* "final state of charge, %": a label with its unit, as rows and columns are headed; none of times that bear their own.
 */
void evn_format_heading(char *out, size_t size, const evn_look *, const char *label, const evn_quantity *);

/* The label of a result; where its key is that of a drive unit or an axle, "drive unit rear: motor losses". */
void evn_format_result_label(char *out, size_t size, const evn_quantity *);

/* The shortest decimal number that reads back as the same value. */
void evn_format_exact(char out[32], double value);

/* "air_density_kg_m3" in kg/m3 -> "air density kg m3": a key of a file as words, less a unit that stands at its end. */
void evn_format_label(char *out, size_t size, const char *key, const char *unit);

#endif
