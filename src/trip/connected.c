/* Which drive units pull. */
#include "trip/trip.h"

bool evn_connected(const evn_trip *trip, size_t unit)
{
    return !trip->box[unit].shifting && !evn_is_open(trip->box[unit].now);
}

size_t evn_connected_count(const evn_trip *trip)
{
    size_t count = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        count += evn_connected(trip, u);
    return count;
}
