/*
 * Where a function of one number is zero, or least. Each search takes an `evn_error`: the function less what is wanted
 * of it. They keep nothing and take no memory; the function may leave by-products in `self`, which are then those of
 * the last place asked, and that is the place returned.
 */
#ifndef EVENER_CORE_ROOT_H
#define EVENER_CORE_ROOT_H
#include <stdbool.h>

typedef double evn_error(void *self, double x);

typedef struct evn_root {
    double x, error; /* the place asked last, and the function there */
    bool found;      /* the error is within the tolerance */
} evn_root;

/* A place and the function there. */
typedef struct evn_known {
    double x, error;
} evn_known;

/*
 * Secant steps from a known place and a guess (textbooks of numerical analysis): for functions that are nearly
 * straight. Ends when the error is within the tolerance, after so many steps, when two errors are the same (a level
 * function), or when a step would lead out of [least, most]; the function is never asked there.
 */
typedef struct evn_secant {
    double tolerance;       /* on the error, absolute ... */
    double tolerance_per_x; /* ... and on top of it per unit of |x| */
    double least, most;     /* -INFINITY, INFINITY: anywhere */
    int steps;
} evn_secant;
evn_root evn_root_secant(evn_error *, void *self, evn_known from, double guess, const evn_secant *how);

/*
 * Between two known places whose errors differ in sign: regula falsi, the error of the end that stays halved (Illinois:
 * Dowell and Jarratt, BIT 11, 1971, from memory), and every fourth time the middle. For any continuous function. Ends
 * when the error is within the tolerance, when the places are closer than x_tolerance of their sizes, or after so many
 * steps.
 */
typedef struct evn_between {
    double tolerance, x_tolerance;
    int steps;
} evn_between;
evn_root evn_root_between(evn_error *, void *self, evn_known low, evn_known high, const evn_between *how);

/*
 * The same for a function that may jump over zero: there is no zero then, and of the two sides of the jump that of
 * `kept` is returned, always, so that what is found goes on evenly with what the function hangs on.
 */
evn_root evn_root_short_of(evn_error *, void *self, evn_known kept, evn_known other, const evn_between *how);

/*
 * From a known place outwards, the first time by a step and each further time by twice the last, until the error
 * changes its sign, and then between the last two places: for functions that fall or rise all the way, bends and all.
 * Not found after so many steps outwards, or where the step is 0.
 */
evn_root evn_root_outwards(evn_error *, void *self, evn_known from, double step, const evn_between *how);

/* Place where a function with one minimum between two places is least: golden section, to x_tolerance of the width. */
double evn_root_least(evn_error *, void *self, double low, double high, double x_tolerance);

#endif
