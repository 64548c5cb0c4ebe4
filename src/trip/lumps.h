/* Energy that a unit takes from the bus, or gives back, at once. */
#ifndef EVENER_TRIP_LUMPS_H
#define EVENER_TRIP_LUMPS_H
#include "trip/trip.h"

/* What the motors speed up or slow down, with its loss; and any energy from the bus, whose losses are booked elsewhere.
 */
void evn_book_synchronising(evn_trip *, size_t unit, double gain_j);
void evn_take_from_bus(evn_trip *, size_t unit, double bus_j);

#endif
