/* A pack that ends the run. */
#include "trip/pack_ends.h"
#include "trip/acts.h"
#include "trip/drive.h"
#include <math.h>
#include <stdio.h>

/* A stop of a day has no way, but a time, where it does not last until a charge is reached. */
static void say_empty_in_stop(const evn_trip *t, double soc)
{
    char wanted[40] = "the stop";
    if (isfinite(t->standing->duration_s))
        snprintf(wanted, sizeof wanted, "its %.1f min", t->standing->duration_s / 60);
    evn_say(t->report, EVN_FAULT_BATTERY_EMPTY, evn_nowhere, evn_nowhere,
            "the usable charge of %s ends after %.1f min of the stop, at a state of charge of %.1f %%; expected enough "
            "for %s; a larger battery, a fuller one or less work at the stop would do",
            t->rig->truck_name, t->t / 60, 100 * soc, wanted);
}

void evn_act_pack_empty(evn_trip *t, const evn_instant *is, double place_m)
{
    if (t->standing) {
        say_empty_in_stop(t, is->pull.at.soc);
        evn_act_end(t, EVN_STATUS_BATTERY_EMPTY);
        return;
    }
    evn_say(t->report, EVN_FAULT_BATTERY_EMPTY, evn_nowhere, evn_nowhere,
            "the usable charge of %s ends at %.3f km, at a state of charge of %.1f %%; expected enough for %.3f km; a "
            "larger "
            "battery, a fuller one or a shorter cycle would do",
            t->rig->truck_name, place_m / 1000, 100 * is->pull.at.soc, t->course->length_m / 1000);
    evn_act_end(t, EVN_STATUS_BATTERY_EMPTY);
}

void evn_act_pack_too_weak(evn_trip *t, const evn_instant *is, double place_m)
{
    evn_say(
        t->report, EVN_FAULT_BATTERY_TOO_WEAK, evn_nowhere, evn_nowhere,
        "the battery of %s gives at most %.1f kW at %.3f km, at a state of charge of %.1f %%; auxiliaries and motors "
        "that stand ready need %.1f kW; expected more",
        t->rig->truck_name, is->pull.feed.most_w / 1e3, place_m / 1000, 100 * is->pull.at.soc,
        evn_instant_floor_w(&is->pull) / 1e3);
    evn_act_end(t, EVN_STATUS_BATTERY_TOO_WEAK);
}

void evn_act_pack_overdrawn(evn_trip *t, const evn_instant *is, double place_m)
{
    evn_say(t->report, EVN_FAULT_BATTERY_TOO_WEAK, evn_nowhere, evn_nowhere,
            "%s takes %.0f kW at %.3f km, at a state of charge of %.1f %%: as much as its battery can give at all, "
            "%.0f V of "
            "open circuit over %.3g ohm; expected losses that the battery can feed, or less resistance",
            t->rig->truck_name, is->load_w / 1e3, place_m / 1000, 100 * is->pull.at.soc, is->pull.feed.open_circuit_v,
            is->pull.feed.resistance_ohm);
    evn_act_end(t, EVN_STATUS_BATTERY_TOO_WEAK);
}
