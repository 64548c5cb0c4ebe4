/* Rows of the group "ride": an axle over time, with stops and a tyre that leaves the road. */
#include "core/units.h"
#include "site/list.h"
#include "site/ride_tell.h"
#include <math.h>

static const char by_time[] = "two masses over a profile by CVODE";

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
static evn_profile_ask by_lot(const evn_ride_scene *s, const evn_ride_axle *a)
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
static evn_ride_end ride_period(const evn_ride_scene *s, size_t k, evn_ride_driven *out)
{
    static const double LEAD_S = 20, ACCURACY = 1e-4, LEAST_TRAVEL_M = 1e-6;
    const evn_ride_axle *a = &s->axle[k];
    const evn_profile_ask ask = s->measured ? itself(&s->track) : by_lot(s, a);
    double speed_m_s = a->ride.worst_speed_m_s;
    evn_profile profile;
    evn_moments linear[EVN_RIDES];
    if (!evn_profile_make(&ask, &profile))
        return EVN_RIDE_NO_MEMORY;
    evn_quarter_on_spectrum(&a->car, evn_ride_spectrum(&s->route), a->ride.worst_m3, speed_m_s,
                            evn_band_of_road(speed_m_s), linear);
    double usual_m = fmax(linear[EVN_RIDE_TRAVEL].rms, LEAST_TRAVEL_M);
    const evn_ride_drive drive = {&a->car, &a->stops,        a->static_n, speed_m_s,
                                  LEAD_S,  profile.length_m, usual_m,     ACCURACY};
    evn_ride_end end = evn_ride_over(&profile, &drive, out);
    evn_profile_free(&profile);
    return end;
}

void evn_ride_put_over_time(const evn_ride_scene *s, size_t k)
{
    const evn_ride_axle *a = &s->axle[k];
    const evn_site_name name = {"ride", evn_site_text(s->w, "%s_over_time", a->name),
                                evn_site_text(s->w, "axle %s, over time", a->name)};
    double speed_km_h = a->ride.worst_speed_m_s / EVN_M_S_PER_KM_H, none = (double)NAN;
    evn_ride_driven d;
    evn_ride_end end = ride_period(s, k, &d);
    if (end != EVN_RIDE_DONE) {
        s->w->to->short_of_memory = s->w->to->short_of_memory || end == EVN_RIDE_NO_MEMORY;
        evn_ride_put(s, &name, &body_time_column, none, none, "none: the integrator gave up", by_time);
        return;
    }
    const char *how = s->measured ? evn_site_text(s->w, "at %.0f km/h, the track as measured", speed_km_h)
                                  : evn_site_text(s->w, "at %.0f km/h, seed %.0f", speed_km_h, s->w->ask.seed);
    evn_ride_put(s, &name, &body_time_column, d.rms[EVN_RIDE_BODY], none, how, by_time);
    evn_ride_put(s, &name, &travel_time_column, d.most_bump_m * 1e3,
                 isinf(a->stops.bump_m) ? none : a->stops.bump_m * 1e3, NULL, by_time);
    evn_ride_put(s, &name, &coefficient_time_column, d.rms[EVN_RIDE_TYRE] / a->static_n, none, NULL, by_time);
    evn_ride_put(s, &name, &own_time_column, d.rms[EVN_RIDE_WHEEL], none, NULL, by_time);
    evn_ride_put(s, &name, &own_peak_time_column, d.most[EVN_RIDE_WHEEL], none, NULL, by_time);
    evn_ride_put(s, &name, &air_time_column, 100 * d.off_ground_share, none, NULL, by_time);
}
