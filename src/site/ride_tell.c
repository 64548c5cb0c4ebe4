/* What all rows of a ride share: values, marks where linear figures do not hold, and what is not stated. */
#include "site/ride_tell.h"
#include "core/units.h"
#include "site/ride_worst.h"
#include <math.h>

const evn_site_column evn_ride_wear_column = {
    "wear", "", "road wear", "fourth power of its load over 10 t, times the road stress", 2, AT_MOST};
const evn_site_column evn_ride_fastest_column = {
    "fastest_km_h",
    "km/h",
    "fastest, laden",
    "at which the RMS tyre load is a third of that at rest, on the roughest",
    0,
    AT_LEAST};
const evn_site_column evn_ride_fastest_empty_column = {"fastest_empty_km_h",       "km/h", "fastest, empty",
                                                       "the same without payload", 0,      AT_LEAST};

static void add(const evn_ride_scene *s, const evn_site_name *name, const evn_site_column *column,
                const evn_site_answer *a)
{
    if (s->worst)
        evn_ride_worst_add(s->worst, name, column, a);
    else
        evn_site_add(s->w, name, column, a);
}

void evn_ride_put(const evn_ride_scene *s, const evn_site_name *name, const evn_site_column *column, double value,
                  double limit, const char *why, const char *source)
{
    evn_site_answer a = evn_site_value(value, why);
    a.limit = limit;
    a.source = source;
    add(s, name, column, &a);
}

const char *evn_ride_marked(const evn_ride_axle *a)
{
    return !a->linear                        ? EVN_RIDE_NOT_VALID
           : !a->off_bump && !a->off_rebound ? "but for bump and rebound stops, which it hits"
           : !a->off_bump                    ? "but for bump stops, which it hits"
           : !a->off_rebound                 ? "but for rebound stops, which it hits"
                                             : NULL;
}

void evn_ride_put_of(const evn_ride_scene *s, const evn_ride_axle *a, const evn_site_name *name,
                     const evn_site_column *column, double value, double limit, const char *source)
{
    if (a->unknown) {
        evn_site_answer unknown = evn_site_value((double)NAN, a->unknown);
        add(s, name, column, &unknown);
        return;
    }
    evn_ride_put(s, name, column, value, limit, evn_ride_marked(a), source);
}

void evn_ride_put_fastest(const evn_ride_scene *s, const evn_ride_axle *a, const evn_site_name *name,
                          const evn_site_column *column, double m_s)
{
    bool laden = column == &evn_ride_fastest_column;
    const char *no_leg = laden ? s->no_laden : s->no_empty, *unknown = laden ? a->unknown : a->unknown_empty;
    if (laden ? s->not_laden : s->not_empty)
        return;
    m_s = no_leg || unknown ? (double)NAN : m_s;
    const char *why = no_leg ? no_leg : unknown ? unknown : m_s >= EVN_RIDE_MOST_M_S ? "none up to 150 km/h" : NULL;
    evn_ride_put(s, name, column, m_s / EVN_M_S_PER_KM_H, (double)NAN, why, unknown ? NULL : EVN_RIDE_ONE_THIRD);
}
