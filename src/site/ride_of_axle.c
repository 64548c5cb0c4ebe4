/* Rows of the group "ride": an axle, its springs, what the drive adds, how fast it may go. */
#include "core/units.h"
#include "site/ride_tell.h"
#include <math.h>

static const char directive[] = "as good as air at a driven axle, at most 2.0 Hz, damping above 0.20, without dampers "
                                "at most half of that: Directive 96/53/EC, Annex II; asked of none but to be called so";

static const evn_site_column sprung_column = {
    "sprung_kg", "kg", "sprung", "what the axle carries beyond what goes up and down with its wheels", 0, AT_MOST};
static const evn_site_column unsprung_column = {
    "unsprung_kg", "kg", "unsprung", "its mass, and parts of drive units that go up and down with it", 0, AT_MOST};
static const evn_site_column drive_column = {"drive_kg", "kg", "of that drive", "parts of drive units", 0, AT_MOST};
static const evn_site_column frequency_column = {
    "frequency_hz", "Hz", "body frequency", "free oscillation of the body on springs and tyres", 2, AT_MOST};
static const evn_site_column damping_column = {
    "damping", "", "body damping", "ratio by successive peaks of that oscillation", 2, AT_LEAST};
static const evn_site_column without_column = {
    "damping_without", "", "without dampers", "that ratio without dampers, over that with them", 2, AT_MOST};
static const evn_site_column body_column = {
    "body_m_s2", "m/s2", "body, RMS", "vertical acceleration of the body above the axle", 2, AT_MOST};
static const evn_site_column travel_column = {"travel_mm", "mm", "travel, RMS", "of the suspension", 1, AT_MOST};
static const evn_site_column travel_peak_column = {
    "travel_peak_mm",
    "mm",
    "travel, largest",
    "that is expected to one side; the limit is the nearer of bump and rebound stop",
    0,
    AT_MOST};
static const evn_site_column tyre_column = {
    "tyre_kn", "kN", "tyre load, RMS", "of all tyres of the axle, less that at rest, both sides as one", 2, AT_MOST};
static const evn_site_column coefficient_column = {"load_coefficient",
                                                   "",
                                                   "load coefficient",
                                                   "RMS of the tyre load where it is largest, over that at rest",
                                                   3,
                                                   AT_MOST};
static const evn_site_column stress_column = {
    "stress_factor", "", "road stress", "1 + 6 s2 + 3 s4 of the load coefficient s over all of the way", 3, AT_MOST};
static const evn_site_column own_column = {"own_m_s2", "m/s2", "axle, RMS", "vertical acceleration of what is unsprung",
                                           1,          AT_MOST};
static const evn_site_column own_peak_column = {
    "own_peak_m_s2", "m/s2", "axle, largest", "that is expected of it, to either side", 0, AT_MOST};
static const evn_site_column drive_tyre_column = {"drive_tyre_percent",
                                                  "%",
                                                  "drive: tyre load",
                                                  "what unsprung parts of the drive add to the RMS tyre load",
                                                  1,
                                                  AT_MOST};
static const evn_site_column drive_own_column = {
    "drive_own_percent", "%", "drive: axle", "and to the RMS acceleration of what is unsprung", 1, AT_MOST};
/* Of springs at a driven axle: whether they are as good as air, which is no limit to anything else. */
static const char *like_air(const evn_suspension_file *springs, bool driven, double hz, double ratio, double without)
{
    if (springs->air || !driven)
        return springs->air ? "air" : "not air";
    switch (evn_springs_like_air(hz, ratio, without)) {
    case EVN_LIKE_AIR_YES:
        return "not air, but as good";
    case EVN_LIKE_AIR_UNKNOWN:
        return "not air; as good where dampers bring at least half (damper_share is not stated)";
    case EVN_LIKE_AIR_NO:
        break;
    }
    return "not air, nor called as good; no axle needs to be";
}

static void put_springs(const evn_ride_scene *s, const evn_ride_axle *a, size_t k, const evn_site_name *name)
{
    double hz = (double)NAN, ratio = (double)NAN, none = (double)NAN;
    bool driven = s->laden->axle[k].driven_by < EVN_UNITS_MAX;
    bool swings = !a->unknown && evn_quarter_body_free(&a->car, &hz, &ratio);
    if (a->unknown || !swings) {
        evn_ride_put_of(s, a, name, &frequency_column, none, none, NULL);
        evn_ride_put_of(s, a, name, &damping_column, none, none, NULL);
        return;
    }
    const evn_suspension_file *springs = evn_ride_file_of(s, k)->suspension;
    double without = evn_quarter_damping_without(&a->car, springs->damper_share);
    evn_ride_put(s, name, &frequency_column, hz, none, springs->air ? "air" : "not air", driven ? directive : NULL);
    evn_ride_put(s, name, &damping_column, ratio, none, like_air(springs, driven, hz, ratio, without),
                 driven ? directive : NULL);
    if (!isnan(springs->damper_share))
        evn_ride_put(s, name, &without_column, without, none, NULL, driven ? directive : NULL);
}

/* Against the axle without any part of a drive unit, the body the same. */
static void put_drive(const evn_ride_scene *s, const evn_ride_axle *a, const evn_site_name *name)
{
    double tyre = (double)NAN, own = (double)NAN;
    if (a->laden.drive_kg <= 0)
        return;
    if (!a->unknown) {
        evn_quarter without = a->car;
        without.unsprung_kg -= a->laden.drive_kg / 2;
        evn_ride_result less = evn_ride_along(&s->route, &without, s->w->ask.ride_to_hz);
        tyre = 100 * (a->ride.rms[EVN_RIDE_TYRE] / less.rms[EVN_RIDE_TYRE] - 1);
        own = 100 * (a->ride.rms[EVN_RIDE_WHEEL] / less.rms[EVN_RIDE_WHEEL] - 1);
    }
    evn_ride_put_of(s, a, name, &drive_tyre_column, tyre, (double)NAN, EVN_RIDE_BY_FREQUENCY);
    evn_ride_put_of(s, a, name, &drive_own_column, own, (double)NAN, EVN_RIDE_BY_FREQUENCY);
}

static void put_coefficient(const evn_ride_scene *s, const evn_ride_axle *a, const evn_site_name *name)
{
    if (a->unknown) {
        evn_ride_put_of(s, a, name, &coefficient_column, 0, 0, NULL);
        return;
    }
    const char *why =
        a->linear ? evn_ride_marked(a)
                  : evn_site_text(s->w, EVN_RIDE_NOT_VALID ": the tyre leaves the road; slower than %.0f km/h it is",
                                  a->fastest_m_s / EVN_M_S_PER_KM_H);
    evn_ride_put(s, name, &coefficient_column, a->ride.worst_tyre_n / a->static_n, EVN_LINEAR_LOAD_MOST, why,
                 EVN_RIDE_ONE_THIRD);
}

static double stress_of(const evn_ride_axle *a)
{
    return evn_road_stress_factor(a->ride.rms[EVN_RIDE_TYRE] / a->static_n);
}
double evn_ride_wear_of(const evn_ride_axle *a) { return evn_axle_damage(a->laden.load_kg, 10000) * stress_of(a); }

void evn_ride_put_axle(const evn_ride_scene *s, size_t k)
{
    const evn_ride_axle *a = &s->axle[k];
    const evn_ride_result *r = &a->ride;
    const evn_site_name name = {"ride", a->name, evn_site_text(s->w, "axle %s", a->name)};
    double none = (double)NAN, sprung_kg = a->laden.load_kg - a->laden.unsprung_kg;
    evn_ride_put(s, &name, &sprung_column, sprung_kg > 0 ? sprung_kg : none, none, sprung_kg > 0 ? NULL : a->unknown,
                 NULL);
    evn_ride_put(s, &name, &unsprung_column, a->laden.unsprung_kg, none, NULL, NULL);
    evn_ride_put(s, &name, &drive_column, a->laden.drive_kg, none, NULL, NULL);
    put_springs(s, a, k, &name);
    evn_ride_put_of(s, a, &name, &body_column, r->rms[EVN_RIDE_BODY], none, EVN_RIDE_BY_FREQUENCY);
    evn_ride_put_of(s, a, &name, &travel_column, r->rms[EVN_RIDE_TRAVEL] * 1e3, none, EVN_RIDE_BY_FREQUENCY);
    double nearer_m = fmin(a->stops.bump_m, a->stops.rebound_m);
    evn_ride_put_of(s, a, &name, &travel_peak_column, r->peak[EVN_RIDE_TRAVEL] * 1e3,
                    a->unknown || isinf(nearer_m) ? none : nearer_m * 1e3, EVN_RIDE_DAVENPORT);
    evn_ride_put_of(s, a, &name, &tyre_column, 2 * r->rms[EVN_RIDE_TYRE] / 1e3, none, EVN_RIDE_BY_FREQUENCY);
    put_coefficient(s, a, &name);
    evn_ride_put_of(s, a, &name, &stress_column, a->unknown ? none : stress_of(a), none,
                    "Eisenmann; OECD DIVINE report, from memory");
    evn_ride_put_of(s, a, &name, &evn_ride_wear_column, a->unknown ? none : evn_ride_wear_of(a), none, EVN_RIDE_AASHO);
    evn_ride_put_of(s, a, &name, &own_column, r->rms[EVN_RIDE_WHEEL], none, EVN_RIDE_BY_FREQUENCY);
    evn_ride_put_of(s, a, &name, &own_peak_column, r->peak[EVN_RIDE_WHEEL], none, EVN_RIDE_DAVENPORT);
    put_drive(s, a, &name);
    evn_ride_put_fastest(s, a, &name, &evn_ride_fastest_column, a->fastest_m_s);
    if (!s->w->empty->axle[k].lifted)
        evn_ride_put_fastest(s, a, &name, &evn_ride_fastest_empty_column, a->fastest_empty_m_s);
}
