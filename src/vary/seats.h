/*
 * Copies of what varies, whose numbers are written and driven again and again: one for each thread that drives, so that
 * files are read once and memory does not grow with the number of variants. Loss maps that were fitted are found again
 * by what they were made of.
 */
#ifndef EVENER_VARY_SEATS_H
#define EVENER_VARY_SEATS_H
#include "core/arena.h"
#include "vary/study.h"
#include <pthread.h>
#include <stdint.h>

/* A key that a study sets to a number. */
typedef struct evn_set_number {
    const char *path;    /* from the root of the study */
    const char *formula; /* NULL: the value of the variable */
    const char *key;     /* of the study, where it is named */
    size_t variable;
} evn_set_number;

/* A study as read with one combination of choices. */
typedef struct evn_base {
    const evn_study_file *file; /* NULL: it cannot be read so */
    double *was;                /* of each number that is set, NAN: the key is not given */
    const char *why;            /* there is no file */
    const char *key;            /* of the study, that sets what cannot be; NULL: not known */
    evn_fault fault;
} evn_base;

/* Reads a study with values set beside it ("KEY=VALUE", ends with NULL), into memory that lasts as long as the
 * reading. NULL: said. */
typedef const evn_study_file *evn_study_read(void *self, const char *const *sets, evn_report *);

/* How a study is read: with values set beside, of which the caller's own come first; and where its keys stand. */
typedef struct evn_study_reader {
    void *self;
    evn_study_read *read;
    size_t sets_before;
    evn_spot (*spot)(void *self, const char *key, evn_report *);
} evn_study_reader;

typedef struct evn_seat_of_study { /* one copy */
    evn_arena *arena;
    size_t base;
    evn_study_file *file;
    struct evn_seat_of_study *next;
} evn_vary_seat;

typedef struct evn_seats {
    const evn_study_file *study; /* as written */
    evn_conditions ask;
    evn_arena *arena; /* of what all share */
    evn_set_number *number;
    size_t numbers;
    evn_base *base;
    size_t bases;
    pthread_mutex_t lock; /* of the next */
    evn_vary_seat *free;
} evn_seats;

/* Reads all combinations. False (said): a key that is set is not there, or none of them can be read. Bounds of numbers
 * are those of their keys, asked of each variant. */
bool evn_seats_make(evn_seats *, const evn_study_file *, const evn_conditions *, const evn_study_reader *,
                    evn_report *);
void evn_seats_end(evn_seats *);

/* The combination of choices in so many values of variables. */
size_t evn_seats_base(const evn_seats *, const double *values);

/* A copy of that combination for the caller alone, until it is left. NULL when memory is out. */
evn_vary_seat *evn_seat_take(evn_seats *, size_t base);
void evn_seat_leave(evn_seats *, evn_vary_seat *);

/* Writes the values of all variables. False (said): a number is refused by its key, or by a rule; nothing changed. */
bool evn_seat_write(const evn_seats *, evn_vary_seat *, const double *values, evn_report *);

#endif
