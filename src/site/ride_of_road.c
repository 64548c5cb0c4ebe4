/* Rows of the group "ride": the road, and how fast it is driven. */
#include "core/units.h"
#include "cycle/surface.h"
#include "site/ride_golden.h"
#include "site/ride_road.h"
#include "site/ride_tell.h"
#include <math.h>

/* None of these has a limit; over a duty the fastest and roughest leg is told, and the longest. */
static const evn_site_column speed_column = {"speed_km_h", "km/h", "mean speed", "over the time in motion", 1, AT_MOST};
static const evn_site_column rough_column = {
    "roughest_cm3", "cm3", "unevenness, roughest", "density of its height at 0.1 cycles/m", 0, AT_MOST};
static const evn_site_column rough_low_column = {
    "rough_low_cm3", "cm3", "unevenness, at least", "lower end of 95 of 100 such roads", 0, AT_MOST};
static const evn_site_column rough_high_column = {
    "rough_high_cm3", "cm3", "unevenness, at most", "upper end of 95 of 100 such roads", 0, AT_MOST};
static const evn_site_column iri_column = {
    "iri_m_km", "m/km", "roughness index", "International Roughness Index that the roughest has on the mean",
    1,          AT_MOST};

static const evn_site_column short_column = {
    "short_waves_percent",
    "%",
    "shorter waves",
    "of the variance of its heights, longer waves left out: waves too short to count, which nothing here sees",
    1,
    AT_MOST};
static const evn_site_column long_column = {
    "long_waves_percent", "%", "longer waves", "of the variance of its heights: hills, too long to count", 1, AT_MOST};

static const evn_site_column band_column = {
    "to_hz", "Hz", "asked up to", "upper end of the band; waves of the road end at 2.83 cycles/m too", 0, AT_MOST};
static const evn_site_column time_column = {
    "for_s", "s", "in motion", "time within which the largest values are expected", 0, AT_MOST};

static void put_roughness(const evn_ride_scene *s, const evn_site_name *name, const char *uneven_of)
{
    const evn_spectrum *spectrum = evn_ride_spectrum(&s->route);
    double rough_m3 = spectrum ? evn_spectrum_density_m3(spectrum, EVN_WAVE_REFERENCE_M1) : s->route.roughest_m3;
    double iri = spectrum ? evn_spectrum_iri_m_km(spectrum) : evn_road_iri_m_km(s->route.roughest_m3);
    evn_ride_put(s, name, &rough_column, rough_m3 * 1e6, (double)NAN, spectrum ? "spectrum as measured" : uneven_of,
                 "ISO 8608, from memory");
    evn_ride_put(s, name, &iri_column, iri, (double)NAN, NULL, "golden car on white slope (ASTM E1926)");
}

/* A track as measured: what its lines near 0.1 cycles/m say, how far that may be off, and its own index. */
static void put_track(const evn_ride_scene *s, const evn_site_name *name)
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
    evn_ride_put(s, name, &rough_column, t->unevenness_m3 * 1e6, none, which, octave);
    evn_ride_put(s, name, &rough_low_column, t->low_m3 * 1e6, none, NULL, chi);
    evn_ride_put(s, name, &rough_high_column, t->high_m3 * 1e6, none, NULL, chi);
    evn_ride_put(s, name, &short_column, 100 * t->short_share, none,
                 evn_site_text(s->w, "left out: shorter than %.2f m", 1 / t->to_m1), NULL);
    evn_ride_put(s, name, &long_column, 100 * t->long_share, none, "left out: longer than 91 m", NULL);
    evn_ride_put(s, name, &iri_column, t->iri_m_km, none, NULL, "golden car over the track itself (ASTM E1926)");
}

void evn_ride_put_road(const evn_ride_scene *s)
{
    static const evn_site_name name = {"ride", "road", "road"};
    const evn_site_ask *ask = &s->w->ask;
    bool asks_uneven = !isnan(ask->unevenness_m3) || ask->unevenness != EVN_UNEVENNESS_AS_ROUTE;
    const char *speed_of = s->along                  ? "target speeds of the route"
                           : !isnan(ask->speed_km_h) ? "as asked"
                                                     : "not asked, no route: 40 km/h";
    const char *uneven_of = s->along      ? "surfaces of the route"
                            : asks_uneven ? "as asked"
                                          : "not asked, no route: class C";
    double none = (double)NAN;
    evn_ride_put(s, &name, &speed_column, s->route.way_m / s->route.time_s / EVN_M_S_PER_KM_H, none, speed_of, NULL);
    if (s->measured)
        put_track(s, &name);
    else
        put_roughness(s, &name, uneven_of);
    evn_ride_put(s, &name, &band_column, s->w->ask.ride_to_hz, none, NULL, NULL);
    evn_ride_put(s, &name, &time_column, s->route.time_s, none, NULL, NULL);
}
