/* Numbers of objects in memory by dotted path: asked for, and changed as if they had been read so. */
#ifndef EVENER_CORE_CHANGE_H
#define EVENER_CORE_CHANGE_H
#include "core/field.h"
#include "evener/values.h"

/*
 * The number that a path names: of a number, a count, an item of a list, a figure; a flag is 0 or 1, a choice its place
 * among the choices, from 0; NAN is "not given", or a figure that is none. False (said) when the path names no number.
 */
bool evn_number_get(const evn_object *, const void *self, const char *path, double *out, evn_report *);

/* Numbers that can be off: one, or a whole list. */
typedef struct evn_named {
    const evn_field *field;
    double *at; /* in the struct, `count` of them; for who owns it to write */
    size_t count;
    bool item; /* one of a list */
} evn_named;

/*
 * What a path names. False (said) where that is no number that can be off by a little: a count, a flag, a choice, or a
 * value that is not given.
 */
bool evn_numbers_named(const evn_object *, const void *self, const char *path, evn_named *out, evn_report *);

/*
 * Where the number that a path names stands, to be written without a rule asked: of a number, a count, an item of a
 * list, a figure. NULL (said) when the path names none of these.
 */
double *evn_number_place(const evn_object *, void *self, const char *path, evn_report *);

/*
 * Changes all of the numbers, or none where one of them is refused. Bounds are those of the keys, in the reader's
 * words; then the rules of each object that holds a changed number are checked, the innermost first. What is found is
 * located by paths: they stand where else a file is named. NAN makes a number "not given" where its key knows that.
 */
bool evn_numbers_set(const evn_object *, void *self, const evn_change *, size_t count, evn_report *);

#endif
