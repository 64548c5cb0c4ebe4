/* Rows of the group "ride": what shakes the machine of a drive unit, and its mounting. */
#include "site/ride_tell.h"
#include <math.h>

static const evn_site_column machine_column = {"machine_kg", "kg", "machine", "motors, inverters and gearbox", 0,
                                               AT_MOST};
static const evn_site_column machine_unsprung_column = {
    "machine_unsprung_kg", "kg", "of that unsprung", "by the stated share, or by where it is", 0, AT_MOST};
static const evn_site_column shake_column = {
    "shake_m_s2",
    "m/s2",
    "shaken, RMS",
    "of its centre: its unsprung share of the axle's acceleration, the rest of the body's above it",
    1,
    AT_MOST};
static const evn_site_column shake_peak_column = {
    "shake_peak_m_s2", "m/s2", "shaken, largest", "that is expected, to either side", 0, AT_MOST};
static const evn_site_column mounting_column = {
    "mounting_kn", "kN", "mounting, RMS", "force on all that holds it: its whole mass times that, beside its weight", 2,
    AT_MOST};
static const evn_site_column mounting_peak_column = {
    "mounting_peak_kn", "kN", "mounting, largest", "that is expected, to either side", 1, AT_MOST};

/* The share of a machine's mass that goes up and down with the axle. */
static double share_of(const evn_unit_bearing *b)
{
    return b->machine_kg > 0 ? b->machine_unsprung_kg / b->machine_kg : 0;
}

void evn_ride_put_unit(const evn_ride_scene *s, size_t u)
{
    const evn_rig *r = s->laden;
    const evn_unit_bearing *b = &s->bearing[u];
    const evn_ride_axle *a = &s->axle[r->unit[u].axle];
    double none = (double)NAN, part = share_of(b);
    const char *where = part >= 1 ? "on the axle" : part > 0 ? "partly on the axle" : "at the frame";
    const evn_site_name name = {"ride", evn_site_text(s->w, "unit_%s", r->unit[u].name),
                                evn_site_text(s->w, "drive unit %s", r->unit[u].name)};
    const char *share = isnan(((const evn_unit_file *)s->w->truck->drive_units.item + u)->unsprung_share)
                            ? (b->on_axle ? "no propeller shaft: all" : "behind a propeller shaft: none")
                            : where;
    evn_ride_put(s, &name, &machine_column, b->machine_kg, none, where, NULL);
    evn_ride_put(s, &name, &machine_unsprung_column, b->machine_unsprung_kg, none, share, NULL);
    if (!a->there)
        return;
    evn_ride_shaken shaken = {none, none};
    if (!a->unknown)
        shaken = evn_ride_between(&s->route, &a->car, part, s->w->ask.ride_to_hz);
    evn_ride_put_of(s, a, &name, &shake_column, shaken.rms, none, EVN_RIDE_BY_FREQUENCY);
    evn_ride_put_of(s, a, &name, &shake_peak_column, shaken.peak, none, EVN_RIDE_DAVENPORT);
    evn_ride_put_of(s, a, &name, &mounting_column, b->machine_kg * shaken.rms / 1e3, none, EVN_RIDE_BY_FREQUENCY);
    evn_ride_put_of(s, a, &name, &mounting_peak_column, b->machine_kg * shaken.peak / 1e3, none, EVN_RIDE_DAVENPORT);
}
