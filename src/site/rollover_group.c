/* The group "rollover": the static threshold of a rigid vehicle, laden and empty. */
#include "site/rollover.h"
#include "site/site.h"
#include <math.h>

static const char group[] = "rollover";
static const evn_site_column laden = {
    "laden_g", "g",  "laden", "lateral acceleration at which one side lifts, rigid, with the payload as asked",
    3,         false};
static const evn_site_column empty = {"empty_g", "g", "empty", "the same without payload", 3, false};
static const char source[] = "T/2h of a rigid vehicle, closed form";

/* A unit that tips by itself, or units that tip together: axles from the first on, with what stands on them. */
typedef struct tipping {
    size_t first, count;
    evn_mass_at mass;
} tipping;

static double track_m(const evn_truck_file *t, size_t entry)
{
    return entry < t->axles.count ? ((const evn_axle_file *)t->axles.item)[entry].track_m : t->trailer->track_m;
}

static const char *missing_track(evn_site_work *w, const tipping *of)
{
    for (size_t k = of->first; k < of->first + of->count; k++)
        if (isnan(track_m(w->truck, k)))
            return k < w->truck->axles.count ? evn_site_text(w, "axles.%s.track_m", w->truck->axles.name[k])
                                             : "trailer.track_m";
    return NULL;
}

static void add(evn_site_work *w, const evn_site_name *name, const evn_site_column *column, const evn_at_rest *at,
                const tipping *of)
{
    const char *missing = missing_track(w, of);
    double track[EVN_AXLES_MAX];
    evn_site_answer a = missing ? evn_site_unknown(w, missing) : evn_site_value((double)NAN, NULL);
    for (size_t k = 0; k < of->count; k++)
        track[k] = track_m(w->truck, of->first + k);
    if (!missing) {
        a.value = evn_static_rollover_g(&at->load_kg[of->first], track, of->count, of->mass.z_m);
        a.why = evn_site_text(w, "centre of gravity %.2f m high; an upper bound", of->mass.z_m);
        a.source = source;
    }
    evn_site_add(w, name, column, &a);
}

static evn_mass_at together(const evn_at_rest *at)
{
    double kg = at->truck.kg + at->trailer.kg;
    return (evn_mass_at){kg, 0, (at->truck.kg * at->truck.z_m + at->trailer.kg * at->trailer.z_m) / kg};
}

/* A fifth wheel has tractor and semitrailer tip together; a drawbar leaves each to itself. */
static void add_loading(evn_site_work *w, const evn_site_column *column, double payload_kg)
{
    const evn_site_name whole = {group, "whole", w->truck->fifth_wheel ? "tractor and semitrailer" : "truck"};
    const evn_site_name trailer = {group, "trailer", "trailer at the drawbar"};
    evn_at_rest at;
    evn_truck_at_rest(w->truck, w->masses, payload_kg, &at);
    bool apart = w->truck->drawbar;
    add(w, &whole, column, &at, &(tipping){0, apart ? at.truck_axles : at.count, apart ? at.truck : together(&at)});
    if (apart)
        add(w, &trailer, column, &at, &(tipping){at.truck_axles, 1, at.trailer});
}

void evn_site_rollover(evn_site_work *w)
{
    add_loading(w, &laden, w->laden->payload_kg);
    add_loading(w, &empty, 0);
}
