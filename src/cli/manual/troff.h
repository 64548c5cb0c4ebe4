/* Text for troff. */
#ifndef EVENER_CLI_MANUAL_TROFF_H
#define EVENER_CLI_MANUAL_TROFF_H
#include <stdio.h>

/* A dot or a quote that begins a line is no request: called before its text. */
void evn_troff_start(const char *text, FILE *);

/*
 * One character of UTF-8; returns the bytes it took. A dash is written \\-, so that it can be copied and searched; what
 * is not ASCII by its number, which needs no encoding to be known.
 */
size_t evn_troff_char(const char *at, FILE *);

/* A whole text, at the beginning of a line or within it. */
void evn_troff_text(const char *text, FILE *);

#endif
