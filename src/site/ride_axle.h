/*
 * What of a truck goes up and down with which axle, and each axle as a quarter car (ride_quarter.h): half of what it
 * carries, and half of it.
 */
#ifndef EVENER_SITE_RIDE_AXLE_H
#define EVENER_SITE_RIDE_AXLE_H
#include "site/ride_quarter.h"
#include "site/ride_time.h"
#include "truck/rig.h"
#include "truck/truck.h"

/*
 * A drive unit's mass, by what carries it. Motors, inverters and gearbox: the stated share is unsprung; where none is
 * stated all of it without a propeller shaft in the path, else nothing. Stages of the path: ahead of its last propeller
 * shaft at the frame, behind it at the (first) driven axle, the shaft itself half and half; without one all at that
 * axle. Stages of a branch likewise between the first driven axle and its own.
 */
typedef struct evn_unit_bearing {
    bool on_axle; /* no propeller shaft leads to it */
    double machine_kg;
    double machine_unsprung_kg;        /* of that, at its first axle */
    double unsprung_kg[EVN_AXLES_MAX]; /* of all its parts, by axle */
} evn_unit_bearing;
/* False: memory is out. */
bool evn_unit_bearing_of(const evn_unit_file *, const evn_unit *, evn_unit_bearing *out);

typedef struct evn_axle_masses {
    double load_kg;     /* at rest on the level */
    double drive_kg;    /* parts of drive units among what is unsprung */
    double unsprung_kg; /* those, and the axle's own mass */
} evn_axle_masses;

/*
 * One side of the axle. Its spring carries what is sprung; where a natural frequency is stated the stiffness is that of
 * this load.
 */
evn_quarter evn_axle_quarter(const evn_axle_file *, const evn_axle_masses *);
evn_ride_stops evn_axle_stops(const evn_suspension_file *);

/* What its dynamic tyre load may be of that at rest before linear figures stand for nothing: the tyre leaves the road.
 */
#define EVN_LINEAR_LOAD_MOST (1.0 / 3)
#define EVN_RIDE_MOST_M_S (150 / 3.6)
/*
 * Lowest speed at which the RMS dynamic tyre load reaches that share of the one at rest; EVN_RIDE_MOST_M_S: none up to
 * there. On a road as measured, so many times as dense; NULL: of the classes, the factor its unevenness.
 */
double evn_quarter_fastest_m_s(const evn_quarter *, double static_n, const evn_spectrum *, double factor);

#endif
