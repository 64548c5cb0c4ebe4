/*
 * A vehicle as rules look at it: axles with places, loads and what they are. Plain numbers, so that a clause can be
 * held against any of them; stood_of (weighed.c) makes it of a truck's file.
 */
#ifndef EVENER_SITE_STOOD_H
#define EVENER_SITE_STOOD_H
#include "truck/rig.h"

typedef enum evn_known_as { EVN_IS_NOT_KNOWN, EVN_IS_NOT, EVN_IS } evn_known_as;

enum { EVN_WEIGHED_AXLES_MOST = 14 };

typedef struct evn_weighed_axle {
    const char *name;
    double place_m; /* behind the front axle */
    double load_kg;
    bool of_trailer, driven, twin_tyres;
    evn_known_as air;
} evn_weighed_axle;

typedef struct evn_weighed {
    evn_weighed_axle axle[EVN_WEIGHED_AXLES_MOST]; /* from the front; of a trailer only where their number is stated */
    size_t count, motor_axles;
    size_t front_axles; /* of a trailer at a hinged drawbar: of its axles so many stand in front; 0: one group */
    bool has_trailer, at_drawbar, axles_stated, spacing_stated;
    double motor_kg, trailer_kg; /* sums of axle loads */
    double extra_kg;             /* of the zero-emission drivetrain; NAN: not stated */
    bool intermodal;
} evn_weighed;

/* The truck of the file with these loads at rest. Names point into the file. */
void evn_weighed_of(const evn_truck_file *, const evn_at_rest *, bool intermodal, evn_weighed *out);

/* Neighbouring axles that stand together. */
typedef struct evn_axle_group {
    size_t first, count;
    double spacing_m; /* of the nearest two; NAN: a single axle, or not stated */
} evn_axle_group;
/* Groups of two and more axles, from the front. */
size_t evn_weighed_groups(const evn_weighed *, double below_m, evn_axle_group out[EVN_WEIGHED_AXLES_MOST]);

#endif
