/*
 * Rides over several legs, told as one: each figure is that of the leg on which it is worst. That is where least is
 * left to its limit; without one where it is largest, or least where its column wants it large. Words name that leg
 * where it is not alike on all, and another on which linear figures do not hold or nothing is known.
 */
#ifndef EVENER_SITE_RIDE_WORST_H
#define EVENER_SITE_RIDE_WORST_H
#include "site/site.h"

typedef struct evn_ride_told evn_ride_told;

typedef struct evn_ride_worst {
    evn_site_work *w;
    evn_ride_told *at;
    size_t count, room;
    size_t legs;     /* told so far, with the one that is being told */
    const char *leg; /* that one: "leg 2: back, 0 kg" */
} evn_ride_worst;

/* Rows stay together, in the order in which the first leg has them. */
void evn_ride_worst_add(evn_ride_worst *, const evn_site_name *, const evn_site_column *, const evn_site_answer *);
/* All of them to the list. */
void evn_ride_worst_tell(const evn_ride_worst *);

#endif
