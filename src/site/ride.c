/* The group "ride": axles over a rough road, what shakes the machine, and how fast each may go. */
#include "core/units.h"
#include "cycle/surface.h"
#include "site/list.h"
#include "site/ride_axle.h"
#include "site/ride_golden.h"
#include "site/ride_measured.h"
#include "site/ride_road.h"
#include "site/ride_route.h"
#include <math.h>
#include <string.h>

static const char by_frequency[] = "two masses on the road's spectrum by frequency (ISO 8608, from memory)";
static const char davenport[] = "expected largest of a Gaussian process (Davenport 1964, from memory)";
static const char by_time[] = "two masses over a profile by CVODE";
static const char directive[] = "as good as air at a driven axle, at most 2.0 Hz, damping above 0.20, without dampers "
                                "at most half of that: Directive 96/53/EC, Annex II; asked of none but to be called so";
static const char one_third[] = "linear figures hold while the RMS is below a third: common practice, no source";

/* ------------------------------------------------------------------------------------------------ the scene */

typedef struct axle {
    const char *name;
    bool there;          /* on the ground and bearing more than itself */
    const char *missing; /* key that is not stated; NULL: all known */
    evn_axle_masses laden, empty;
    evn_quarter car, car_empty;
    double static_n, static_empty_n; /* of one side */
    evn_ride_result ride;
    double fastest_m_s, fastest_empty_m_s;
    bool linear;    /* the tyre stays on the road */
    bool off_stops; /* the largest travel to expect stays short of the bump stop */
} axle;

typedef struct scene {
    evn_site_work *w;
    evn_ride_route route;
    bool measured;      /* height by height: */
    evn_measured track; /* and so */
    axle axle[EVN_AXLES_MAX];
    size_t axles;
    evn_unit_bearing bearing[EVN_UNITS_MAX];
} scene;

static const evn_axle_file *file_of(const scene *s, size_t k)
{
    return (const evn_axle_file *)s->w->truck->axles.item + k;
}

/* The track as asked: its class, or the number instead of it. */
static double unevenness_m3(const evn_site_ask *ask)
{
    if (!isnan(ask->unevenness_m3))
        return ask->unevenness_m3;
    char name =
        ask->unevenness == EVN_UNEVENNESS_AS_ROUTE ? 'C' : EVN_UNEVENNESS_CLASSES[ask->unevenness - EVN_UNEVENNESS_A];
    return evn_unevenness_of_class_m3(name);
}

static bool asks_track(const evn_site_ask *ask)
{
    return !isnan(ask->unevenness_m3) || ask->unevenness != EVN_UNEVENNESS_AS_ROUTE || !isnan(ask->speed_km_h);
}

/* False: said. */
static bool set_along(scene *s)
{
    const evn_surface_file *surface = s->w->route->surface;
    const evn_profile_file *profile = surface ? surface->profile : NULL;
    s->measured = profile;
    if (profile && !evn_measured_of(profile, evn_site_arena(s->w), &s->track)) {
        evn_site_short_of_memory(s->w);
        return false;
    }
    return evn_ride_route_of(s->w->route, s->measured ? &s->track.spectrum : NULL, &s->route, s->w->report);
}

/* False: said. */
static bool set_route(scene *s)
{
    const evn_site_ask *ask = &s->w->ask;
    double speed_km_h = isnan(ask->speed_km_h) ? 40 : ask->speed_km_h;
    if (s->w->route && !asks_track(ask))
        return set_along(s);
    s->route = evn_ride_track(unevenness_m3(ask), speed_km_h * EVN_M_S_PER_KM_H, ask->ride_s);
    return true;
}

static evn_axle_masses masses_of(const scene *s, const evn_rig *r, size_t k)
{
    evn_axle_masses m = {.load_kg = r->axle[k].load.cosine_kg};
    for (size_t u = 0; u < r->unit_count; u++)
        m.drive_kg += s->bearing[u].unsprung_kg[k];
    m.unsprung_kg = file_of(s, k)->mass_kg + m.drive_kg;
    return m;
}

static const char *missing_of(const scene *s, size_t k)
{
    const evn_axle_file *a = file_of(s, k);
    const char *name = s->w->truck->axles.name[k];
    if (!a->suspension)
        return evn_site_text(s->w, "axles.%s.suspension", name);
    if (isnan(a->tyre->vertical_stiffness_kn_m))
        return evn_site_text(s->w, "axles.%s.tyre.vertical_stiffness_kn_m", name);
    return NULL;
}

static double fastest_m_s(const evn_ride_route *r, const evn_axle_masses *m, const evn_quarter *car, double static_n)
{
    bool bears = m->load_kg > m->unsprung_kg;
    return bears ? evn_quarter_fastest_m_s(car, static_n, evn_ride_spectrum(r), r->roughest_m3) : (double)NAN;
}

static void set_axle(scene *s, size_t k)
{
    const evn_rig *laden = s->w->laden, *empty = s->w->empty;
    axle *a = &s->axle[k];
    a->name = s->w->truck->axles.name[k];
    a->laden = masses_of(s, laden, k);
    a->empty = masses_of(s, empty, k);
    a->there = !laden->axle[k].lifted && a->laden.load_kg > a->laden.unsprung_kg;
    a->missing = a->there ? missing_of(s, k) : NULL;
    if (!a->there || a->missing)
        return;
    a->car = evn_axle_quarter(file_of(s, k), &a->laden);
    a->car_empty = evn_axle_quarter(file_of(s, k), &a->empty);
    a->static_n = a->laden.load_kg * laden->gravity_m_s2 / 2;
    a->static_empty_n = a->empty.load_kg * empty->gravity_m_s2 / 2;
    a->ride = evn_ride_along(&s->route, &a->car, s->w->ask.ride_to_hz);
    a->linear = a->ride.worst_tyre_n < EVN_LINEAR_LOAD_MOST * a->static_n;
    a->off_stops = !(a->ride.peak[EVN_RIDE_TRAVEL] > file_of(s, k)->suspension->bump_travel_m);
    a->fastest_m_s = fastest_m_s(&s->route, &a->laden, &a->car, a->static_n);
    a->fastest_empty_m_s =
        empty->axle[k].lifted ? (double)NAN : fastest_m_s(&s->route, &a->empty, &a->car_empty, a->static_empty_n);
}

/* ------------------------------------------------------------------------------------------------ telling */

enum { AT_MOST = true, AT_LEAST = false };

static const evn_site_column speed_column = {"speed_km_h", "km/h", "mean speed", "over the time in motion", 1,
                                             AT_LEAST};
static const evn_site_column rough_column = {
    "roughest_cm3", "cm3", "unevenness, roughest", "density of its height at 0.1 cycles/m", 0, AT_MOST};
static const evn_site_column rough_low_column = {
    "rough_low_cm3", "cm3", "unevenness, at least", "lower end of 95 of 100 such roads", 0, AT_LEAST};
static const evn_site_column rough_high_column = {
    "rough_high_cm3", "cm3", "unevenness, at most", "upper end of 95 of 100 such roads", 0, AT_MOST};
static const evn_site_column iri_column = {
    "iri_m_km", "m/km", "roughness index", "International Roughness Index that the roughest has on the mean",
    1,          AT_MOST};

static const evn_site_column band_column = {
    "to_hz", "Hz", "asked up to", "upper end of the band; waves of the road end at 2.83 cycles/m too", 0, AT_MOST};
static const evn_site_column time_column = {
    "for_s", "s", "in motion", "time within which the largest values are expected", 0, AT_LEAST};

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
    "travel_peak_mm", "mm", "travel, largest", "that is expected to one side; the limit is the bump stop", 0, AT_MOST};
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
static const evn_site_column wear_column = {
    "wear", "", "road wear", "fourth power of its load over 10 t, times the road stress", 2, AT_MOST};
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
static const evn_site_column fastest_column = {"fastest_km_h",
                                               "km/h",
                                               "fastest, laden",
                                               "at which the RMS tyre load is a third of that at rest, on the roughest",
                                               0,
                                               AT_LEAST};
static const evn_site_column fastest_empty_column = {"fastest_empty_km_h",       "km/h", "fastest, empty",
                                                     "the same without payload", 0,      AT_LEAST};

static void put(const scene *s, const evn_site_name *name, const evn_site_column *column, double value, double limit,
                const char *why, const char *source)
{
    evn_site_answer a = evn_site_value(value, why);
    a.limit = limit;
    a.source = source;
    evn_site_add(s->w, name, column, &a);
}

/* Why linear figures of an axle stand for nothing, or for little; NULL: they hold. */
static const char *marked(const axle *a)
{
    return !a->linear ? "not valid" : !a->off_stops ? "but for bump stops, which it hits" : NULL;
}

/* What hangs on the suspension: unknown where a key is not stated, and marked where the tyre leaves the road or the
 * travel passes the bump stop. */
static void put_of(const scene *s, const axle *a, const evn_site_name *name, const evn_site_column *column,
                   double value, double limit, const char *source)
{
    if (a->missing) {
        evn_site_answer unknown = evn_site_unknown(s->w, a->missing);
        evn_site_add(s->w, name, column, &unknown);
        return;
    }
    put(s, name, column, value, limit, marked(a), source);
}

static void put_fastest(const scene *s, const axle *a, const evn_site_name *name, const evn_site_column *column,
                        double m_s)
{
    if (a->missing) {
        put_of(s, a, name, column, 0, 0, NULL);
        return;
    }
    const char *why = isnan(m_s)                 ? "bears no more than itself"
                      : m_s >= EVN_RIDE_MOST_M_S ? "none up to 150 km/h"
                                                 : NULL;
    put(s, name, column, m_s / EVN_M_S_PER_KM_H, (double)NAN, why, one_third);
}

/* ------------------------------------------------------------------------------------------------ an axle */

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

static void put_springs(const scene *s, const axle *a, size_t k, const evn_site_name *name)
{
    double hz = (double)NAN, ratio = (double)NAN, none = (double)NAN;
    bool driven = s->w->laden->axle[k].driven_by < EVN_UNITS_MAX;
    bool swings = !a->missing && evn_quarter_body_free(&a->car, &hz, &ratio);
    if (a->missing || !swings) {
        put_of(s, a, name, &frequency_column, none, none, NULL);
        put_of(s, a, name, &damping_column, none, none, NULL);
        return;
    }
    const evn_suspension_file *springs = file_of(s, k)->suspension;
    double without = evn_quarter_damping_without(&a->car, springs->damper_share);
    put(s, name, &frequency_column, hz, none, springs->air ? "air" : "not air", driven ? directive : NULL);
    put(s, name, &damping_column, ratio, none, like_air(springs, driven, hz, ratio, without),
        driven ? directive : NULL);
    if (!isnan(springs->damper_share))
        put(s, name, &without_column, without, none, NULL, driven ? directive : NULL);
}

/* Against the axle without any part of a drive unit, the body the same. */
static void put_drive(const scene *s, const axle *a, const evn_site_name *name)
{
    double tyre = (double)NAN, own = (double)NAN;
    if (a->laden.drive_kg <= 0)
        return;
    if (!a->missing) {
        evn_quarter without = a->car;
        without.unsprung_kg -= a->laden.drive_kg / 2;
        evn_ride_result less = evn_ride_along(&s->route, &without, s->w->ask.ride_to_hz);
        tyre = 100 * (a->ride.rms[EVN_RIDE_TYRE] / less.rms[EVN_RIDE_TYRE] - 1);
        own = 100 * (a->ride.rms[EVN_RIDE_WHEEL] / less.rms[EVN_RIDE_WHEEL] - 1);
    }
    put_of(s, a, name, &drive_tyre_column, tyre, (double)NAN, by_frequency);
    put_of(s, a, name, &drive_own_column, own, (double)NAN, by_frequency);
}

static void put_coefficient(const scene *s, const axle *a, const evn_site_name *name)
{
    if (a->missing) {
        put_of(s, a, name, &coefficient_column, 0, 0, NULL);
        return;
    }
    const char *why = a->linear
                          ? marked(a)
                          : evn_site_text(s->w, "not valid: the tyre leaves the road; slower than %.0f km/h it is",
                                          a->fastest_m_s / EVN_M_S_PER_KM_H);
    put(s, name, &coefficient_column, a->ride.worst_tyre_n / a->static_n, EVN_LINEAR_LOAD_MOST, why, one_third);
}

static double stress_of(const axle *a) { return evn_road_stress_factor(a->ride.rms[EVN_RIDE_TYRE] / a->static_n); }
static double wear_of(const axle *a) { return evn_axle_damage(a->laden.load_kg, 10000) * stress_of(a); }

static void put_axle(const scene *s, size_t k)
{
    const axle *a = &s->axle[k];
    const evn_ride_result *r = &a->ride;
    const evn_site_name name = {"ride", a->name, evn_site_text(s->w, "axle %s", a->name)};
    double none = (double)NAN, sprung_kg = a->laden.load_kg - a->laden.unsprung_kg;
    put(s, &name, &sprung_column, sprung_kg, none, NULL, NULL);
    put(s, &name, &unsprung_column, a->laden.unsprung_kg, none, NULL, NULL);
    put(s, &name, &drive_column, a->laden.drive_kg, none, NULL, NULL);
    put_springs(s, a, k, &name);
    put_of(s, a, &name, &body_column, r->rms[EVN_RIDE_BODY], none, by_frequency);
    put_of(s, a, &name, &travel_column, r->rms[EVN_RIDE_TRAVEL] * 1e3, none, by_frequency);
    put_of(s, a, &name, &travel_peak_column, r->peak[EVN_RIDE_TRAVEL] * 1e3,
           a->missing ? none : file_of(s, k)->suspension->bump_travel_m * 1e3, davenport);
    put_of(s, a, &name, &tyre_column, 2 * r->rms[EVN_RIDE_TYRE] / 1e3, none, by_frequency);
    put_coefficient(s, a, &name);
    put_of(s, a, &name, &stress_column, a->missing ? none : stress_of(a), none,
           "Eisenmann; OECD DIVINE report, from memory");
    put_of(s, a, &name, &wear_column, a->missing ? none : wear_of(a), none,
           "AASHO road test, fourth power, from memory");
    put_of(s, a, &name, &own_column, r->rms[EVN_RIDE_WHEEL], none, by_frequency);
    put_of(s, a, &name, &own_peak_column, r->peak[EVN_RIDE_WHEEL], none, davenport);
    put_drive(s, a, &name);
    put_fastest(s, a, &name, &fastest_column, a->fastest_m_s);
    if (!s->w->empty->axle[k].lifted)
        put_fastest(s, a, &name, &fastest_empty_column, a->fastest_empty_m_s);
}

/* ------------------------------------------------------------------------------------------------ drive units */

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

static void put_unit(const scene *s, size_t u)
{
    const evn_rig *r = s->w->laden;
    const evn_unit_bearing *b = &s->bearing[u];
    const axle *a = &s->axle[r->unit[u].axle];
    double none = (double)NAN, part = share_of(b);
    const char *where = part >= 1 ? "on the axle" : part > 0 ? "partly on the axle" : "at the frame";
    const evn_site_name name = {"ride", evn_site_text(s->w, "unit_%s", r->unit[u].name),
                                evn_site_text(s->w, "drive unit %s", r->unit[u].name)};
    const char *share = isnan(((const evn_unit_file *)s->w->truck->drive_units.item + u)->unsprung_share)
                            ? (b->on_axle ? "no propeller shaft: all" : "behind a propeller shaft: none")
                            : where;
    put(s, &name, &machine_column, b->machine_kg, none, where, NULL);
    put(s, &name, &machine_unsprung_column, b->machine_unsprung_kg, none, share, NULL);
    if (!a->there)
        return;
    evn_ride_shaken shaken = {none, none};
    if (!a->missing)
        shaken = evn_ride_between(&s->route, &a->car, part, s->w->ask.ride_to_hz);
    put_of(s, a, &name, &shake_column, shaken.rms, none, by_frequency);
    put_of(s, a, &name, &shake_peak_column, shaken.peak, none, davenport);
    put_of(s, a, &name, &mounting_column, b->machine_kg * shaken.rms / 1e3, none, by_frequency);
    put_of(s, a, &name, &mounting_peak_column, b->machine_kg * shaken.peak / 1e3, none, davenport);
}

/* ------------------------------------------------------------------------------------------------ over time */

static const evn_site_column body_time_column = {
    "body_time_m_s2", "m/s2", "body, RMS", "vertical acceleration of the body above the axle", 2, AT_MOST};
static const evn_site_column travel_time_column = {
    "travel_time_mm", "mm", "travel, largest", "upwards of the wheel; the limit is the bump stop", 0, AT_MOST};
static const evn_site_column coefficient_time_column = {
    "load_coefficient_time", "", "load coefficient", "RMS of the tyre load over that at rest", 3, AT_MOST};
static const evn_site_column own_time_column = {
    "own_time_m_s2", "m/s2", "axle, RMS", "vertical acceleration of what is unsprung", 1, AT_MOST};
static const evn_site_column own_peak_time_column = {
    "own_peak_time_m_s2", "m/s2", "axle, largest", "to either side, on this profile", 0, AT_MOST};
static const evn_site_column air_time_column = {"off_ground_percent", "%", "tyre off the ground",
                                                "share of the time",  2,   AT_MOST};

/* Points of a profile that takes two minutes, so that slow rides take no longer than others; not more than 2.6 km. */
static const double PROFILE_APART_M = 0.02;
static unsigned points_log2(double speed_m_s)
{
    enum { LEAST = 10, MOST = 17 };
    static const double LASTS_S = 120;
    unsigned log2 = LEAST;
    while (log2 < MOST && ldexp(PROFILE_APART_M, (int)log2) < LASTS_S * speed_m_s)
        log2++;
    return log2;
}

/* The track as measured, whole. */
static evn_profile_ask itself(const evn_measured *track)
{
    unsigned log2 = 0;
    while (ldexp(PROFILE_APART_M, (int)log2) < track->length_m)
        log2++;
    return (evn_profile_ask){
        .apart_m = ldexp(track->length_m, -(int)log2), .points_log2 = log2, .measured = &track->line};
}

/* Lines with phases by lot, at the place of the route where the tyre load is largest. */
static evn_profile_ask by_lot(const scene *s, const axle *a)
{
    return (evn_profile_ask){.unevenness_m3 = a->ride.worst_m3,
                             .from_m1 = EVN_WAVES_FROM_M1,
                             .to_m1 = EVN_WAVES_TO_M1,
                             .apart_m = PROFILE_APART_M,
                             .points_log2 = points_log2(a->ride.worst_speed_m_s),
                             .seed = (uint64_t)s->w->ask.seed,
                             .spectrum = evn_ride_spectrum(&s->route)};
}

/* One period of a profile, at the speed at which the tyre load is largest. */
static evn_ride_end ride_period(const scene *s, size_t k, evn_ride_driven *out)
{
    static const double LEAD_S = 20, ACCURACY = 1e-4, LEAST_TRAVEL_M = 1e-6;
    const axle *a = &s->axle[k];
    const evn_profile_ask ask = s->measured ? itself(&s->track) : by_lot(s, a);
    const evn_ride_stops stops = evn_axle_stops(file_of(s, k)->suspension);
    double speed_m_s = a->ride.worst_speed_m_s;
    evn_profile profile;
    evn_moments linear[EVN_RIDES];
    if (!evn_profile_make(&ask, &profile))
        return EVN_RIDE_NO_MEMORY;
    evn_quarter_on_spectrum(&a->car, evn_ride_spectrum(&s->route), a->ride.worst_m3, speed_m_s,
                            evn_band_of_road(speed_m_s), linear);
    double usual_m = fmax(linear[EVN_RIDE_TRAVEL].rms, LEAST_TRAVEL_M);
    const evn_ride_drive drive = {&a->car, &stops, a->static_n, speed_m_s, LEAD_S, profile.length_m, usual_m, ACCURACY};
    evn_ride_end end = evn_ride_over(&profile, &drive, out);
    evn_profile_free(&profile);
    return end;
}

static void put_over_time(const scene *s, size_t k)
{
    const axle *a = &s->axle[k];
    const evn_site_name name = {"ride", evn_site_text(s->w, "%s_over_time", a->name),
                                evn_site_text(s->w, "axle %s, over time", a->name)};
    double speed_km_h = a->ride.worst_speed_m_s / EVN_M_S_PER_KM_H, none = (double)NAN;
    evn_ride_driven d;
    evn_ride_end end = ride_period(s, k, &d);
    if (end != EVN_RIDE_DONE) {
        s->w->to->short_of_memory = s->w->to->short_of_memory || end == EVN_RIDE_NO_MEMORY;
        put(s, &name, &body_time_column, none, none, "none: the integrator gave up", by_time);
        return;
    }
    const char *how = s->measured ? evn_site_text(s->w, "at %.0f km/h, the track as measured", speed_km_h)
                                  : evn_site_text(s->w, "at %.0f km/h, seed %.0f", speed_km_h, s->w->ask.seed);
    put(s, &name, &body_time_column, d.rms[EVN_RIDE_BODY], none, how, by_time);
    put(s, &name, &travel_time_column, d.most_bump_m * 1e3, file_of(s, k)->suspension->bump_travel_m * 1e3, NULL,
        by_time);
    put(s, &name, &coefficient_time_column, d.rms[EVN_RIDE_TYRE] / a->static_n, none, NULL, by_time);
    put(s, &name, &own_time_column, d.rms[EVN_RIDE_WHEEL], none, NULL, by_time);
    put(s, &name, &own_peak_time_column, d.most[EVN_RIDE_WHEEL], none, NULL, by_time);
    put(s, &name, &air_time_column, 100 * d.off_ground_share, none, NULL, by_time);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void put_roughness(const scene *s, const evn_site_name *name, const char *uneven_of)
{
    const evn_spectrum *spectrum = evn_ride_spectrum(&s->route);
    double rough_m3 = spectrum ? evn_spectrum_density_m3(spectrum, EVN_WAVE_REFERENCE_M1) : s->route.roughest_m3;
    double iri = spectrum ? evn_spectrum_iri_m_km(spectrum) : evn_road_iri_m_km(s->route.roughest_m3);
    put(s, name, &rough_column, rough_m3 * 1e6, (double)NAN, spectrum ? "spectrum as measured" : uneven_of,
        "ISO 8608, from memory");
    put(s, name, &iri_column, iri, (double)NAN, NULL, "golden car on white slope (ASTM E1926)");
}

/* A track as measured: what its lines near 0.1 cycles/m say, how far that may be off, and its own index. */
static void put_track(const scene *s, const evn_site_name *name)
{
    static const char octave[] = "mean of the lines in the octave around it (ISO 8608, from memory)",
                      chi[] = "chi-squared, two degrees of freedom a line";
    const evn_measured *t = &s->track;
    char class = evn_class_of_unevenness(t->unevenness_m3);
    char low = evn_class_of_unevenness(t->low_m3), high = evn_class_of_unevenness(t->high_m3);
    const char *which = low == high ? evn_site_text(s->w, "as measured over %.0f m: class %c", t->length_m, class)
                                    : evn_site_text(s->w, "as measured over %.0f m: class %c, within %c to %c",
                                                    t->length_m, class, low, high);
    double none = (double)NAN;
    put(s, name, &rough_column, t->unevenness_m3 * 1e6, none, which, octave);
    put(s, name, &rough_low_column, t->low_m3 * 1e6, none, NULL, chi);
    put(s, name, &rough_high_column, t->high_m3 * 1e6, none, NULL, chi);
    put(s, name, &iri_column, t->iri_m_km, none, NULL, "golden car over the track itself (ASTM E1926)");
}

static void put_road(const scene *s)
{
    static const evn_site_name name = {"ride", "road", "road"};
    const evn_site_ask *ask = &s->w->ask;
    bool along = s->w->route && !asks_track(ask);
    bool asks_uneven = !isnan(ask->unevenness_m3) || ask->unevenness != EVN_UNEVENNESS_AS_ROUTE;
    const char *speed_of = along                     ? "target speeds of the route"
                           : !isnan(ask->speed_km_h) ? "as asked"
                                                     : "not asked, no route: 40 km/h; routes of a duty are not taken";
    const char *uneven_of = along         ? "surfaces of the route"
                            : asks_uneven ? "as asked"
                                          : "not asked, no route: class C; routes of a duty are not taken";
    double none = (double)NAN;
    put(s, &name, &speed_column, s->route.way_m / s->route.time_s / EVN_M_S_PER_KM_H, none, speed_of, NULL);
    if (s->measured)
        put_track(s, &name);
    else
        put_roughness(s, &name, uneven_of);
    put(s, &name, &band_column, s->w->ask.ride_to_hz, none, NULL, NULL);
    put(s, &name, &time_column, s->route.time_s, none, NULL, NULL);
}

/* The axle that lets it go slowest decides. */
static void put_slowest(const scene *s, const evn_site_name *name, const evn_site_column *column, bool empty)
{
    const axle *slowest = NULL;
    double least_m_s = (double)INFINITY;
    for (size_t k = 0; k < s->axles; k++) {
        const axle *a = &s->axle[k];
        double m_s = empty ? a->fastest_empty_m_s : a->fastest_m_s;
        if (!a->there || (empty && isnan(m_s)))
            continue;
        if (a->missing) {
            put_fastest(s, a, name, column, 0);
            return;
        }
        if (m_s < least_m_s) {
            least_m_s = m_s;
            slowest = a;
        }
    }
    if (!slowest)
        return;
    const char *why =
        least_m_s >= EVN_RIDE_MOST_M_S ? "none up to 150 km/h" : evn_site_text(s->w, "axle %s", slowest->name);
    put(s, name, column, least_m_s / EVN_M_S_PER_KM_H, (double)NAN, why, one_third);
}

static void put_truck(const scene *s)
{
    static const evn_site_name name = {"ride", "truck", "all of the truck"};
    put_slowest(s, &name, &fastest_column, false);
    put_slowest(s, &name, &fastest_empty_column, true);
    double wear = 0;
    for (size_t k = 0; k < s->axles; k++)
        wear += !s->axle[k].there ? 0 : s->axle[k].missing ? (double)NAN : wear_of(&s->axle[k]);
    const axle *unknown = NULL;
    for (size_t k = 0; k < s->axles && !unknown; k++)
        unknown = s->axle[k].there && s->axle[k].missing ? &s->axle[k] : NULL;
    const axle known = {.linear = true, .off_stops = true};
    put_of(s, unknown ? unknown : &known, &name, &wear_column, wear, (double)NAN,
           "AASHO road test, fourth power, from memory");
}

void evn_site_ride(evn_site_work *w)
{
    scene s = {.w = w, .axles = w->truck->axles.count};
    if (!set_route(&s))
        return;
    for (size_t u = 0; u < w->laden->unit_count; u++)
        if (!evn_unit_bearing_of((const evn_unit_file *)w->truck->drive_units.item + u, &w->laden->unit[u],
                                 &s.bearing[u])) {
            w->to->short_of_memory = true;
            return;
        }
    for (size_t k = 0; k < s.axles; k++)
        set_axle(&s, k);
    put_road(&s);
    put_truck(&s);
    for (size_t k = 0; k < s.axles; k++)
        if (s.axle[k].there)
            put_axle(&s, k);
    for (size_t u = 0; u < w->laden->unit_count; u++)
        put_unit(&s, u);
    for (size_t k = 0; k < s.axles && w->ask.over_time; k++)
        if (s.axle[k].there && !s.axle[k].missing)
            put_over_time(&s, k);
}
