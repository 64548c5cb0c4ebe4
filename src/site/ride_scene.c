/* The road as asked, and each axle of the truck upon it. */
#include "site/ride_scene.h"
#include "core/units.h"
#include "cycle/surface.h"
#include <math.h>

const evn_axle_file *evn_ride_file_of(const evn_ride_scene *s, size_t k)
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

bool evn_ride_asks_track(const evn_site_ask *ask)
{
    return !isnan(ask->unevenness_m3) || ask->unevenness != EVN_UNEVENNESS_AS_ROUTE || !isnan(ask->speed_km_h);
}

/* Waves that nothing here sees, where they are more than a few per cent of a track (common practice, no source). */
static void warn_of_short_waves(const evn_ride_scene *s)
{
    static const double FEW = 0.03;
    const evn_measured *t = &s->track;
    if (t->short_share > FEW)
        evn_say(s->w->report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s: %.1f %% of the variance of the track's heights lies in waves shorter than %.2f m, which do not "
                "count; expected at most %.0f %%",
                s->w->truck->name, 100 * t->short_share, 1 / t->to_m1, 100 * FEW);
}

/* False: said. */
static bool set_along(evn_ride_scene *s, const evn_ride_leg *leg)
{
    const evn_surface_file *surface = leg->cycle->surface;
    const evn_profile_file *profile = surface ? surface->profile : NULL;
    s->measured = profile;
    if (profile && !evn_measured_of(profile, evn_site_arena(s->w), &s->track)) {
        evn_site_short_of_memory(s->w);
        return false;
    }
    if (s->measured)
        warn_of_short_waves(s);
    return evn_ride_route_of(leg, s->measured ? &s->track.spectrum : NULL, &s->route, s->w->report);
}

/* False: said. */
static bool set_route(evn_ride_scene *s, const evn_ride_leg *leg)
{
    const evn_site_ask *ask = &s->w->ask;
    double speed_km_h = isnan(ask->speed_km_h) ? 40 : ask->speed_km_h;
    if (leg)
        return set_along(s, leg);
    s->route = evn_ride_track(unevenness_m3(ask), speed_km_h * EVN_M_S_PER_KM_H, ask->ride_s);
    return true;
}

static evn_axle_masses masses_of(const evn_ride_scene *s, const evn_rig *r, size_t k)
{
    evn_axle_masses m = {.load_kg = r->axle[k].load.cosine_kg};
    for (size_t u = 0; u < r->unit_count; u++)
        m.drive_kg += s->bearing[u].unsprung_kg[k];
    m.unsprung_kg = evn_ride_file_of(s, k)->mass_kg + m.drive_kg;
    return m;
}

/* What its file does not state, in words; NULL: nothing. */
static const char *missing_of(const evn_ride_scene *s, size_t k)
{
    const evn_axle_file *a = evn_ride_file_of(s, k);
    const char *name = s->w->truck->axles.name[k];
    if (!a->suspension)
        return evn_site_unknown(s->w, evn_site_text(s->w, "axles.%s.suspension", name)).why;
    if (isnan(a->tyre->vertical_stiffness_kn_m))
        return evn_site_unknown(s->w, evn_site_text(s->w, "axles.%s.tyre.vertical_stiffness_kn_m", name)).why;
    return NULL;
}

/* An axle that bears no more than what goes up and down with it has no body above it to ride; NULL: it bears more. */
static const char *bears_itself(const evn_ride_scene *s, size_t k, const evn_axle_masses *m)
{
    if (m->load_kg > m->unsprung_kg)
        return NULL;
    return evn_site_text(s->w, "not known: axle %s bears %.0f kg, no more than its unsprung mass of %.0f kg",
                         s->w->truck->axles.name[k], m->load_kg, m->unsprung_kg);
}

static double fastest_m_s(const evn_ride_route *r, const evn_quarter *car, double static_n)
{
    return evn_quarter_fastest_m_s(car, static_n, evn_ride_spectrum(r), r->roughest_m3);
}

/*
 * Stops are stated from where the axle stands loaded as is asked. With another load, as on a leg of a duty, steel
 * springs have given by more, or by less, and have left that much of the way to each stop; air springs keep it.
 */
static evn_ride_stops stops_of(const evn_ride_scene *s, size_t k)
{
    const evn_suspension_file *springs = evn_ride_file_of(s, k)->suspension;
    const evn_rig *asked = s->w->laden;
    evn_ride_stops stops = evn_axle_stops(springs);
    if (springs->air || isnan(springs->stiffness_kn_m) || asked->axle[k].lifted)
        return stops;
    double more_kg = s->axle[k].laden.load_kg - asked->axle[k].load.cosine_kg;
    double gives_m = more_kg * asked->gravity_m_s2 / (2 * springs->stiffness_kn_m * 1e3);
    stops.bump_m = fmax(stops.bump_m - gives_m, 0);
    stops.rebound_m = fmax(stops.rebound_m + gives_m, 0);
    return stops;
}

static void set_axle(evn_ride_scene *s, size_t k)
{
    const evn_rig *laden = s->laden, *empty = s->w->empty;
    evn_ride_axle *a = &s->axle[k];
    a->name = s->w->truck->axles.name[k];
    a->fastest_m_s = a->fastest_empty_m_s = (double)NAN;
    a->laden = masses_of(s, laden, k);
    a->empty = masses_of(s, empty, k);
    a->there = !laden->axle[k].lifted;
    a->unknown = a->unknown_empty = a->there ? missing_of(s, k) : NULL;
    if (a->there && !a->unknown) {
        a->unknown = bears_itself(s, k, &a->laden);
        a->unknown_empty = empty->axle[k].lifted ? NULL : bears_itself(s, k, &a->empty);
    }
    if (!a->there || a->unknown)
        return;
    a->car = evn_axle_quarter(evn_ride_file_of(s, k), &a->laden);
    a->car_empty = evn_axle_quarter(evn_ride_file_of(s, k), &a->empty);
    a->static_n = a->laden.load_kg * laden->gravity_m_s2 / 2;
    a->static_empty_n = a->empty.load_kg * empty->gravity_m_s2 / 2;
    a->ride = evn_ride_along(&s->route, &a->car, s->w->ask.ride_to_hz);
    a->linear = a->ride.worst_tyre_n < EVN_LINEAR_LOAD_MOST * a->static_n;
    a->stops = stops_of(s, k);
    a->off_bump = !(a->ride.peak[EVN_RIDE_TRAVEL] > a->stops.bump_m);
    a->off_rebound = !(a->ride.peak[EVN_RIDE_TRAVEL] > a->stops.rebound_m);
    a->fastest_m_s = fastest_m_s(&s->route, &a->car, a->static_n);
    if (!empty->axle[k].lifted && !a->unknown_empty)
        a->fastest_empty_m_s = fastest_m_s(&s->route, &a->car_empty, a->static_empty_n);
}

bool evn_ride_scene_make(evn_site_work *w, const evn_ride_leg *leg, const evn_rig *rig, evn_ride_scene *out)
{
    *out = (evn_ride_scene){.w = w, .laden = rig, .along = leg, .axles = w->truck->axles.count};
    if (!set_route(out, leg))
        return false;
    for (size_t u = 0; u < w->laden->unit_count; u++)
        if (!evn_unit_bearing_of((const evn_unit_file *)w->truck->drive_units.item + u, &w->laden->unit[u],
                                 &out->bearing[u])) {
            evn_site_short_of_memory(w);
            return false;
        }
    for (size_t k = 0; k < out->axles; k++)
        set_axle(out, k);
    return true;
}
