/* What the state of a trip asks of the room pull at one instant. */
#include "trip/moment.h"
#include "trip/laws.h"
#include "trip/stance.h"
#include "trip/standing.h"
#include "trip/takeoff_work.h"
#include <string.h>

double evn_trip_soc(const evn_trip *trip, const double *y)
{
    return trip->rig->start_soc - y[EVN_Y_CHARGE] / trip->rig->pack.capacity_as;
}

evn_pack_now evn_trip_pack(const evn_trip *trip, const double *y)
{
    const evn_states *s = &trip->states;
    return (evn_pack_now){evn_trip_soc(trip, y), evn_states_battery_degc(s, y),
                          evn_states_if_there(s, y, EVN_Y_DISCHARGE_USED),
                          evn_states_if_there(s, y, EVN_Y_CHARGE_USED)};
}

double evn_trip_place_m(const evn_trip *trip, double t, const double *y)
{
    bool prescribed = trip->motion == EVN_MOVING && trip->law == EVN_PRESCRIBED;
    return prescribed ? evn_prescribed_place(&trip->seg, t) : y[EVN_Y_PLACE];
}

static double speed_m_s(const evn_trip *trip, double t, const double *y)
{
    if (trip->motion != EVN_MOVING)
        return 0;
    return trip->law == EVN_PRESCRIBED ? evn_prescribed_speed(&trip->seg, t) : y[EVN_Y_SPEED];
}

static void set_given(const evn_trip *trip, double t, const double *y, evn_given *at)
{
    const evn_road_stretch *road = &trip->course->road[trip->road_at];
    bool moving = trip->motion == EVN_MOVING;
    at->rig = trip->rig;
    at->tangent = road->tangent_begin + road->tangent_slope * (evn_trip_place_m(trip, t, y) - road->begin_m);
    at->rolling_factor = road->rolling_factor;
    at->has_heading = road->has_heading;
    at->heading_rad = road->heading_rad;
    at->adhesion = road->adhesion;
    at->adhesion_other_side = road->adhesion_other_side;
    at->tyres_below_k = evn_states_tyres_below_k(&trip->states, y);
    at->start_aid = trip->start_aid;
    at->speed_m_s = speed_m_s(trip, t, y);
    at->asked_m_s2 = moving ? evn_law_asks(trip, y) : 0;
    evn_pack_now pack = evn_trip_pack(trip, y);
    at->soc = pack.soc;
    at->battery_degc = pack.degc;
    at->discharge_used = pack.out_used;
    at->charge_used = pack.in_used;
    at->coolant_degc = evn_states_coolant_degc(&trip->states, y);
    at->at_rest = !moving;
    at->takeoff_w = moving ? 0 : trip->takeoff.ask.power_w;
    at->making_up = trip->made_up.on;
    at->connector_w = evn_standing_connector_w(trip, at->soc);
    at->charged = trip->charged;
    at->steady = false;
    at->pull = trip->pull;
    at->push = trip->push;
    at->fade = trip->push == EVN_BY_MOTOR ? trip->fade_side : EVN_FADE_BY_SPEED;
    bool locks = evn_stance_has_locks(trip);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        const evn_unit *unit = &trip->rig->unit[u];
        evn_setting now = trip->box[u].now;
        now.pulses_off = now.pulses_off || trip->box[u].resting;
        if (at->takeoff_w > 0)
            now = evn_takeoff_setting(trip, u, now);
        at->unit[u] = (evn_unit_given){now, trip->box[u].shifting, evn_states_degc(&trip->states, y, u),
                                       locks && trip->locked[u] && unit->has_axle_lock,
                                       locks && trip->locked[u] && unit->has_inter_axle_lock};
    }
}

evn_given evn_trip_given(const evn_trip *trip, double t, const double *y)
{
    evn_given at;
    set_given(trip, t, y, &at);
    return at;
}

void evn_instant_at(const evn_trip *trip, double t, const double *y, evn_instant *is)
{
    set_given(trip, t, y, &is->pull.at);
    evn_instant_make(is);
}

const evn_instant *evn_instant_seen(const evn_trip *trip, double t, const double *y)
{
    evn_last *last = trip->last;
    size_t bytes = trip->states.count * sizeof *y;
    if (last->there && last->t == t && memcmp(last->y, y, bytes) == 0)
        return &last->is;
    last->there = true;
    last->priced = false;
    last->t = t;
    memcpy(last->y, y, bytes);
    set_given(trip, t, last->y, &last->is.pull.at); /* its temperatures are those of the copy */
    evn_instant_make(&last->is);
    return &last->is;
}

const evn_prices *evn_prices_seen(const evn_trip *trip, double t, const double *y)
{
    const evn_instant *is = evn_instant_seen(trip, t, y);
    if (!trip->last->priced)
        evn_instant_prices(is, &trip->last->prices);
    trip->last->priced = true;
    return &trip->last->prices;
}

void evn_instant_drop(const evn_trip *trip) { trip->last->there = false; }

evn_given evn_trip_launch_given(const evn_trip *trip, const evn_setting setting[])
{
    evn_given at = evn_trip_given(trip, trip->t, trip->y);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        at.unit[u].setting = setting[u];
        at.unit[u].shifting = false;
    }
    return at;
}
