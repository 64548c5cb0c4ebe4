/* Plain decimal numbers, and nothing else that other programs take for a number. */
#ifndef EVENER_READ_NUMBER_H
#define EVENER_READ_NUMBER_H
#include <stddef.h>

/*
 * NULL and the value when the text is a plain decimal number: digits, a point between digits, an exponent. Otherwise
 * what keeps it from being one, as a hint. The thread's locale must have the decimal point (evn_read_file sees to it).
 */
const char *evn_number_read(const char *text, size_t length, double *value);

#endif
