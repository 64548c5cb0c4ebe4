/*
 * The largest load within limits that go linearly with it and with its moment: base + per_kg p + per_kg_m q <= limit,
 * where q = p x and the place x may be anywhere from one end of a stretch to the other. What is allowed is convex, so
 * the load is found by bisection. Plain numbers.
 */
#ifndef EVENER_SITE_LARGEST_LOAD_H
#define EVENER_SITE_LARGEST_LOAD_H
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct evn_load_limit {
    double base_kg, per_kg, per_kg_m; /* the quantity without the load, with each kg, with each kg m */
    double limit_kg;
    const char *name;
} evn_load_limit;

#define EVN_NO_LIMIT SIZE_MAX

typedef struct evn_largest_load {
    double kg;            /* NAN: no load, not even none, is within all limits */
    double at_m;          /* a place at which it is; NAN: none */
    size_t binds, beside; /* limits that hold it down; EVN_NO_LIMIT: none, or the end of the stretch */
} evn_largest_load;

/* Loads up to `most_kg`, placed from `from_m` to `to_m`. */
evn_largest_load evn_largest_load_of(const evn_load_limit limit[], size_t count, double from_m, double to_m,
                                     double most_kg);

#endif
