/* Peaks of temperatures; limits that decide only within the range of a time constant. */
#include "trip/hottest.h"
#include "trip/moment.h"
#include <math.h>

static const evn_heat *heat_of(const evn_trip *t, size_t unit) { return &t->rig->unit[unit].motor[0].heat; }

void evn_hottest_begin(evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        const evn_heat *h = heat_of(t, u);
        const double *degc = evn_states_degc(&t->states, t->y, u);
        evn_hottest *most = &t->hottest[u];
        *most =
            (evn_hottest){.housing_degc = evn_heat_housing_degc(h, degc),
                          .inverter_degc = evn_heat_inverter_degc(
                              h, degc, &(evn_heat_gains){.coolant_degc = evn_states_coolant_degc(&t->states, t->y)})};
        for (int k = 0; k < EVN_OILS; k++)
            most->oil_degc[k] = evn_unit_oil_degc(&t->rig->unit[u], (evn_oil_place)k, degc);
        for (int k = 0; k < EVN_PACES; k++)
            most->winding_degc[k] = evn_heat_winding_degc(h, degc, (evn_heat_pace)k);
    }
}

static void note_windings(const evn_trip *t, double place_m, const double *degc, size_t unit, evn_hottest *most)
{
    const evn_heat *h = heat_of(t, unit);
    for (int k = 0; k < (h->ranged ? EVN_PACES : 1); k++) {
        double now = evn_heat_winding_degc(h, degc, (evn_heat_pace)k);
        if (now > most->winding_degc[k])
            most->place_m[k] = place_m;
        most->winding_degc[k] = fmax(most->winding_degc[k], now);
    }
}

void evn_hottest_note(evn_trip *t, double time_s, const double *y)
{
    double place_m = evn_trip_place_m(t, time_s, y);
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        const double *degc = evn_states_degc(&t->states, y, u);
        evn_hottest *most = &t->hottest[u];
        note_windings(t, place_m, degc, u, most);
        most->housing_degc = fmax(most->housing_degc, evn_heat_housing_degc(heat_of(t, u), degc));
        for (int k = 0; k < EVN_OILS; k++)
            most->oil_degc[k] = fmax(most->oil_degc[k], evn_unit_oil_degc(&t->rig->unit[u], (evn_oil_place)k, degc));
        most->inverter_degc = fmax(most->inverter_degc, t->seen.inverter_degc[u]);
    }
}

double evn_hottest_winding_low_degc(const evn_hottest *most)
{
    const double *degc = most->winding_degc;
    return fmin(degc[EVN_AS_STATED], fmin(degc[EVN_AT_LOW], degc[EVN_AT_HIGH]));
}

double evn_hottest_winding_high_degc(const evn_hottest *most)
{
    const double *degc = most->winding_degc;
    return fmax(degc[EVN_AS_STATED], fmax(degc[EVN_AT_LOW], degc[EVN_AT_HIGH]));
}

/*
 * With short time constants a winding is hotter after an overload, with long ones less: a limit that bound, though it
 * would not with the long ones, or did not, though it would with the short ones, hangs on what is not known.
 */
static void say_of(const evn_trip *t, size_t unit)
{
    const evn_heat *h = heat_of(t, unit);
    const evn_hottest *most = &t->hottest[unit];
    double from = h->winding_range.from_degc;
    bool bound = most->winding_degc[EVN_AS_STATED] > from;
    evn_heat_pace other = bound ? EVN_AT_HIGH : EVN_AT_LOW;
    if ((most->winding_degc[other] > from) == bound)
        return;
    evn_say(
        t->report, EVN_FAULT_NOT_DECIDED, evn_nowhere, evn_nowhere,
        "whether the winding of drive unit %s derates is not decided: it comes to %.1f degC at %.3f km, and to %.1f "
        "degC at %.3f km with the %s of its time constants (winding %g to %g s); expected both on one side of "
        "%g degC, where derating begins; a narrower range or more distance to the limit would help",
        t->rig->unit[unit].name, most->winding_degc[EVN_AS_STATED], most->place_m[EVN_AS_STATED] / 1000,
        most->winding_degc[other], most->place_m[other] / 1000, bound ? "longest" : "shortest",
        h->winding_s[EVN_AT_LOW], h->winding_s[EVN_AT_HIGH], from);
}

void evn_hottest_say(const evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (heat_of(t, u)->ranged)
            say_of(t, u);
}
