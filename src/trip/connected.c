/* Which drive units pull, and what their heat leaves of their settings. */
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

evn_setting evn_heat_allows(const evn_trip *t, size_t unit, evn_setting s)
{
    if (t->hot[unit].now == EVN_HEAT_OPENED)
        return (evn_setting){0, 0};
    s.pulses_off = t->hot[unit].now == EVN_HEAT_PULSES_OFF && !evn_is_open(s);
    return s;
}

bool evn_heat_holds(const evn_trip *t, size_t unit)
{
    return t->hot[unit].now == EVN_HEAT_OPENED || t->hot[unit].now == EVN_HEAT_PULSES_OFF;
}
