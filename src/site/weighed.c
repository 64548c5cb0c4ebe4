/* From a truck's file and its loads at rest to what rules look at. */
#include "site/weighed.h"
#include <math.h>

static bool is_driven(const evn_truck_file *t, size_t axle)
{
    const evn_unit_file *unit = t->drive_units.item;
    for (size_t k = 0; k < t->drive_units.count; k++)
        for (size_t i = 0; i < unit[k].axles.count; i++)
            if (unit[k].axles.at[i] == (double)axle + 1)
                return true;
    return false;
}

/* Common practice, no source: trailers of two and three axles have one in front, those of more have two. */
static size_t hinged_front_axles(double axles) { return axles < 4 ? 1 : 2; }

static void add(evn_weighed *s, evn_weighed_axle axle)
{
    if (s->count < EVN_WEIGHED_AXLES_MOST)
        s->axle[s->count++] = axle;
}

/* Axles of one group of the trailer, which share its load equally, around its centre. */
static void add_group(evn_weighed *s, const evn_trailer_file *t, double centre_m, double group_kg, size_t count)
{
    double apart_m = s->spacing_stated ? t->axle_spacing_m : 0;
    for (size_t k = 0; k < count; k++)
        add(s, (evn_weighed_axle){.name = "trailer",
                                  .place_m = centre_m + ((double)k - ((double)count - 1) / 2) * apart_m,
                                  .load_kg = group_kg / (double)count,
                                  .of_trailer = true,
                                  .twin_tyres = t->tyres >= 4 * t->axles,
                                  .air = t->springs == EVN_SPRINGS_AIR     ? EVN_IS
                                         : t->springs == EVN_SPRINGS_STEEL ? EVN_IS_NOT
                                                                           : EVN_IS_NOT_KNOWN});
}

static void add_trailer(evn_weighed *s, const evn_truck_file *t, const evn_at_rest *at)
{
    const evn_trailer_file *trailer = t->trailer;
    const evn_coupling_file *coupling = evn_coupling_of(t);
    double front_m = trailer->front_axles_behind_kingpin_m, rear_m = trailer->axles_behind_kingpin_m;
    double kingpin_m = coupling->behind_front_axle_m;
    s->trailer_kg = at->load_kg[at->truck_axles];
    s->axles_stated = !isnan(trailer->axles);
    s->spacing_stated = !isnan(trailer->axle_spacing_m);
    if (!s->axles_stated)
        return;
    size_t axles = (size_t)trailer->axles;
    if (isnan(front_m)) {
        add_group(s, trailer, kingpin_m + rear_m, s->trailer_kg, axles);
        return;
    }
    s->front_axles = hinged_front_axles(trailer->axles);
    /* moments about the rear group: N_front (rear - front) = m g (rear - x) */
    double front_kg = s->trailer_kg * (rear_m - at->trailer.x_m) / (rear_m - front_m);
    add_group(s, trailer, kingpin_m + front_m, front_kg, s->front_axles);
    add_group(s, trailer, kingpin_m + rear_m, s->trailer_kg - front_kg, axles - s->front_axles);
}

void evn_weighed_of(const evn_truck_file *t, const evn_at_rest *at, bool intermodal, evn_weighed *out)
{
    const evn_axle_file *axle = t->axles.item;
    *out = (evn_weighed){.has_trailer = t->trailer,
                         .at_drawbar = t->drawbar,
                         .motor_axles = t->axles.count,
                         .extra_kg = t->body->zero_emission_extra_kg,
                         .intermodal = intermodal};
    for (size_t k = 0; k < t->axles.count; k++) {
        add(out, (evn_weighed_axle){.name = t->axles.name[k],
                                    .place_m = axle[k].behind_front_axle_m,
                                    .load_kg = at->load_kg[k],
                                    .driven = is_driven(t, k),
                                    .twin_tyres = axle[k].tyres >= 4,
                                    .air = !axle[k].suspension       ? EVN_IS_NOT_KNOWN
                                           : axle[k].suspension->air ? EVN_IS
                                                                     : EVN_IS_NOT});
        out->motor_kg += at->load_kg[k];
    }
    if (t->trailer)
        add_trailer(out, t, at);
}

/* Whether an axle stands together with the next one. */
static bool stand_together(const evn_weighed *s, size_t k, double below_m)
{
    if (k + 1 >= s->count || s->axle[k].of_trailer != s->axle[k + 1].of_trailer)
        return false;
    if (s->axle[k].of_trailer)
        return k + 1 - s->motor_axles != s->front_axles || s->front_axles == 0;
    return s->axle[k + 1].place_m - s->axle[k].place_m < below_m;
}

size_t evn_weighed_groups(const evn_weighed *s, double below_m, evn_axle_group out[EVN_WEIGHED_AXLES_MOST])
{
    size_t groups = 0;
    for (size_t k = 0; k < s->count; k++) {
        evn_axle_group g = {k, 1, (double)INFINITY};
        while (stand_together(s, k, below_m)) {
            g.spacing_m = fmin(g.spacing_m, s->axle[k + 1].place_m - s->axle[k].place_m);
            g.count++;
            k++;
        }
        if (g.count > 1 && s->axle[g.first].of_trailer && !s->spacing_stated)
            g.spacing_m = (double)NAN;
        if (g.count > 1)
            out[groups++] = g;
    }
    return groups;
}
