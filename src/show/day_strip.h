/* The charge of a battery over a day, leg by leg and stop by stop: what pictures of a day are drawn from. */
#ifndef EVENER_SHOW_DAY_STRIP_H
#define EVENER_SHOW_DAY_STRIP_H
#include "evener/duty.h"
#include "evener/traces.h"

/* Rows of a day as they come: the charge every ten seconds or so in each of its legs and stops. */
typedef struct evn_day_tape evn_day_tape;
evn_day_tape *evn_day_tape_new(void); /* NULL when memory is out */
void evn_day_tape_free(evn_day_tape *);
/* Who takes the rows of the next leg or stop, which have this rig's columns; of other rows no strip is made. Its `self`
 * is NULL when memory is out. */
evn_sampler evn_day_tape_next(evn_day_tape *, const evn_rig *);

/* The charge at an instant of the day. */
typedef struct evn_day_point {
    double clock_s, soc;
} evn_day_point;

/* A day as pictures show it. */
typedef struct evn_day_strip {
    const char *name;      /* of the truck; NULL: there is but one */
    evn_day_season season; /* what came of it */
    evn_day_phase *phase;  /* that were begun, so many */
    size_t phases;
    evn_day_point *point; /* in the order of time, so many */
    size_t points;
    double end_s;        /* where it ended */
    double usable_soc;   /* lower end of the battery's usable window */
    double demanded_soc; /* what the duty wants to be left, with that; NAN: nothing */
} evn_day_strip;

/* Of a truck that was driven over a duty in a season; no tape (NULL), no points. False when memory is out, or a
 * row was of another rig; to be ended either way. */
bool evn_day_strip_of(evn_day_strip *, const evn_day *, size_t season, const evn_day_tape *);
/* Of a truck of a comparison over a duty; one that could not be prepared has no phases. */
bool evn_day_strip_of_compared(evn_day_strip *, const evn_comparison *, size_t truck, evn_basis, const evn_day_tape *);
void evn_day_strip_end(evn_day_strip *);

/* When a leg or stop ended; where it began, if nothing came of it. */
double evn_day_phase_end_s(const evn_day_phase *);
/* A stop at which the battery was charged. */
bool evn_day_phase_charges(const evn_day_phase *);

#endif
