/* The group "ride": axles over a rough road, what shakes the machine, and how fast each may go. */
#include "core/units.h"
#include "site/ride_tell.h"
#include <math.h>

/* The axle that lets it go slowest decides. */
static void put_slowest(const evn_ride_scene *s, const evn_site_name *name, const evn_site_column *column, bool empty)
{
    const evn_ride_axle *slowest = NULL;
    double least_m_s = (double)INFINITY;
    const char *no_leg = empty ? s->no_empty : s->no_laden;
    if (empty ? s->not_empty : s->not_laden)
        return;
    if (no_leg) {
        evn_ride_put(s, name, column, (double)NAN, (double)NAN, no_leg, NULL);
        return;
    }
    for (size_t k = 0; k < s->axles; k++) {
        const evn_ride_axle *a = &s->axle[k];
        double m_s = empty ? a->fastest_empty_m_s : a->fastest_m_s;
        bool unknown = empty ? a->unknown_empty : a->unknown;
        if (isnan(m_s) && !unknown)
            continue;
        if (unknown) {
            evn_ride_put_fastest(s, a, name, column, 0);
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
    evn_ride_put(s, name, column, least_m_s / EVN_M_S_PER_KM_H, (double)NAN, why, EVN_RIDE_ONE_THIRD);
}

static void put_truck(const evn_ride_scene *s)
{
    static const evn_site_name name = {"ride", "truck", "all of the truck"};
    put_slowest(s, &name, &evn_ride_fastest_column, false);
    put_slowest(s, &name, &evn_ride_fastest_empty_column, true);
    double wear = 0;
    for (size_t k = 0; k < s->axles; k++)
        wear += !s->axle[k].there ? 0 : s->axle[k].unknown ? (double)NAN : evn_ride_wear_of(&s->axle[k]);
    const evn_ride_axle *unknown = NULL;
    for (size_t k = 0; k < s->axles && !unknown; k++)
        unknown = s->axle[k].there && s->axle[k].unknown ? &s->axle[k] : NULL;
    const evn_ride_axle known = {.linear = true, .off_bump = true, .off_rebound = true};
    evn_ride_put_of(s, unknown ? unknown : &known, &name, &evn_ride_wear_column, wear, (double)NAN, EVN_RIDE_AASHO);
}

/* Told once, not for each of its axles: a trailer's file has no keys for what a ride of them would need. */
static void put_trailer(const evn_ride_scene *s)
{
    static const evn_site_name name = {"ride", "trailer", "axles of the trailer"};
    if (s->w->truck->trailer)
        evn_ride_put(s, &name, &evn_ride_fastest_column, (double)NAN, (double)NAN,
                     "not known: not looked at; a trailer has no keys for the mass of an axle and its suspension",
                     NULL);
}

static void put_all(const evn_ride_scene *s)
{
    evn_ride_put_road(s);
    put_truck(s);
    for (size_t k = 0; k < s->axles; k++)
        if (s->axle[k].there)
            evn_ride_put_axle(s, k);
    put_trailer(s);
    for (size_t u = 0; u < s->w->laden->unit_count; u++)
        evn_ride_put_unit(s, u);
    for (size_t k = 0; k < s->axles && s->w->ask.over_time; k++)
        if (s->axle[k].there && !s->axle[k].unknown)
            evn_ride_put_over_time(s, k);
}

void evn_site_ride(evn_site_work *w)
{
    evn_ride_scene s;
    bool along = !evn_ride_asks_track(&w->ask);
    evn_ride_leg whole = evn_ride_whole(w->route);
    if (along && w->duty && !w->route)
        evn_ride_over_legs(w, put_all);
    else if (evn_ride_scene_make(w, along && w->route ? &whole : NULL, w->laden, &s))
        put_all(&s);
}
