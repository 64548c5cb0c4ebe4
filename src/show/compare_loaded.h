/* Which trucks of a comparison are loaded beyond what their files permit. One place for terminal and page. */
#ifndef EVENER_SHOW_COMPARE_LOADED_H
#define EVENER_SHOW_COMPARE_LOADED_H
#include "show/compare_story.h"

enum { EVN_OVERLOAD_AXLE = 128 };

/* One load beyond what is permitted, at rest on level ground. */
typedef struct evn_overload {
    char axle[EVN_OVERLOAD_AXLE]; /* name of the axle; empty: the gross mass */
    double load_kg, permitted_kg;
} evn_overload;

/* Of a truck: the gross mass first, then its axles. False: no more. */
bool evn_compare_overload_at(const evn_compare_story *, size_t truck, size_t index, evn_overload *out);
bool evn_compare_overloaded(const evn_compare_story *, size_t truck);

#endif
