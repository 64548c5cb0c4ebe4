/* What both integrators of SUNDIALS stand on: its context, whose messages are kept and never printed. */
#ifndef EVENER_TRIP_SUNDIALS_H
#define EVENER_TRIP_SUNDIALS_H
#include <stdbool.h>
#include <stddef.h>
#include <sundials/sundials_config.h>
#include <sundials/sundials_context.h>
#include <sundials/sundials_nvector.h>
#include <sundials/sundials_types.h>

_Static_assert(sizeof(sunrealtype) == sizeof(double), "SUNDIALS must be built for double precision");

typedef struct evn_sundials {
    SUNContext context;
    char said[160]; /* the last message; "": none */
} evn_sundials;

/* It must stay where it is until its end. False: memory ran out; end it all the same. */
bool evn_sundials_begin(evn_sundials *);
void evn_sundials_end(evn_sundials *);

/* A vector of so many doubles, whose sums and copies take one pass over it where those of the library take one for each
 * summand: to the same bits. NULL: memory ran out. */
N_Vector evn_sundials_vector(const evn_sundials *, size_t count);

#if SUNDIALS_VERSION_MAJOR < 7
/* The error handler of an integrator; `self` is the evn_sundials. From 7.0 the context has one. */
void evn_sundials_hear(int code, const char *module, const char *function, char *message, void *self);
#endif

#endif
