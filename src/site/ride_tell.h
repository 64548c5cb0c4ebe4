/* Rows of the group "ride", a file for each thing that they are of, and what they share. */
#ifndef EVENER_SITE_RIDE_TELL_H
#define EVENER_SITE_RIDE_TELL_H
#include "site/ride_scene.h"

/* Sources of figures. */
#define EVN_RIDE_BY_FREQUENCY "two masses on the road's spectrum by frequency (ISO 8608, from memory)"
#define EVN_RIDE_DAVENPORT "expected largest of a Gaussian process (Davenport 1964, from memory)"
#define EVN_RIDE_ONE_THIRD "linear figures hold while the RMS is below a third: common practice, no source"
#define EVN_RIDE_NOT_VALID "not valid" /* what a figure's words begin with where the tyre leaves the road */
#define EVN_RIDE_AASHO "AASHO road test, fourth power, from memory"

/* Of a column's limit. */
enum { AT_MOST = true, AT_LEAST = false };

extern const evn_site_column evn_ride_wear_column, evn_ride_fastest_column, evn_ride_fastest_empty_column;

/* `limit` NAN: none. */
void evn_ride_put(const evn_ride_scene *, const evn_site_name *, const evn_site_column *, double value, double limit,
                  const char *why, const char *source);
/* What hangs on the suspension: unknown where a key is not stated, and marked where the tyre leaves the road or the
 * travel passes a stop. */
void evn_ride_put_of(const evn_ride_scene *, const evn_ride_axle *, const evn_site_name *, const evn_site_column *,
                     double value, double limit, const char *source);
void evn_ride_put_fastest(const evn_ride_scene *, const evn_ride_axle *, const evn_site_name *, const evn_site_column *,
                          double m_s);
/* Why linear figures of an axle stand for nothing, or for little; NULL: they hold. */
const char *evn_ride_marked(const evn_ride_axle *);

/* Of an axle of which all is known. */
double evn_ride_wear_of(const evn_ride_axle *);

void evn_ride_put_road(const evn_ride_scene *);
void evn_ride_put_axle(const evn_ride_scene *, size_t axle);
void evn_ride_put_unit(const evn_ride_scene *, size_t unit);
void evn_ride_put_over_time(const evn_ride_scene *, size_t axle);

#endif
