/* The group "axle_loads": what stands on each axle, laden and empty, and which part of the truck puts it there. */
#include "site/site.h"
#include "truck/takeoff.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const char group[] = "axle_loads";
static const evn_site_column laden = {
    "laden_kg", "kg", "laden", "load at rest, on level ground, with the payload as asked", 0, true};
static const evn_site_column empty = {"empty_kg", "kg", "empty", "load at rest, on level ground, without payload",
                                      0,          true};

static void add(evn_site_work *w, const char *row, const char *label, const evn_site_column *column, double value,
                double limit, const char *why)
{
    const evn_site_name name = {group, row, label};
    evn_site_answer a = evn_site_value(value, why);
    a.limit = limit;
    evn_site_add(w, &name, column, &a);
}

/* ------------------------------------------------------------------------------------------------ axles */

static void add_axle(evn_site_work *w, size_t k)
{
    const evn_axle *with = &w->laden->axle[k], *without = &w->empty->axle[k];
    bool own = k < w->laden->truck_axles;
    const char *label = own ? evn_site_text(w, "on axle %s", with->name) : "on the trailer's axles";
    const char *key = evn_site_text(w, own ? "axles.%s.permitted_kg" : "trailer.permitted_axles_kg", with->name);
    const char *why = isnan(with->permitted_kg) ? evn_site_text(w, "%s is not stated", key) : key;
    const char *row = own ? evn_site_text(w, "axle_%s", with->name) : "trailer_axles";
    add(w, row, label, &laden, with->lifted ? 0 : with->load.cosine_kg, with->permitted_kg,
        with->lifted ? "lifted" : why);
    add(w, row, label, &empty, without->lifted ? 0 : without->load.cosine_kg, with->permitted_kg,
        without->lifted ? "lifted" : NULL);
}

static double coupling_kg(const evn_rig *r)
{
    double own = 0;
    for (size_t k = 0; k < r->truck_axles; k++)
        own += r->axle[k].load.cosine_kg;
    return own;
}

/* What the trailer puts on the truck: the truck's axles carry that beside its own mass. */
static void add_coupling(evn_site_work *w)
{
    const evn_truck_file *t = w->truck;
    evn_at_rest with, without;
    if (!t->trailer)
        return;
    evn_truck_at_rest(t, w->masses, w->laden->payload_kg, &with);
    evn_truck_at_rest(t, w->masses, 0, &without);
    const char *label = t->drawbar ? "on the drawbar" : "on the fifth wheel";
    add(w, "coupling", label, &laden, coupling_kg(w->laden) - with.truck.kg, (double)NAN,
        t->drawbar && !isnan(t->trailer->front_axles_behind_kingpin_m) ? "the drawbar is hinged" : NULL);
    add(w, "coupling", label, &empty, coupling_kg(w->empty) - without.truck.kg, (double)NAN, NULL);
}

static void add_gross(evn_site_work *w)
{
    double most_kg = w->truck->body->permitted_gross_kg;
    const char *why = isnan(most_kg) ? "body.permitted_gross_kg is not stated" : "body.permitted_gross_kg";
    add(w, "gross", "whole mass", &laden, w->laden->mass_kg, most_kg, why);
    add(w, "gross", "whole mass", &empty, w->empty->mass_kg, most_kg, NULL);
}

/* ------------------------------------------------------------------------------------------------ parts */

/* Sums over the axles of a support, and of the trailer. */
enum { FRONT, REAR, TRAILER, PLACES };
static const evn_site_column on[PLACES] = {
    [FRONT] = {"front_kg", "kg", "front axles", "what of its weight the front axles carry", 0, true},
    [REAR] = {"rear_kg", "kg", "rear axles", "what of its weight the rear axles carry", 0, true},
    [TRAILER] = {"trailer_kg", "kg", "trailer", "what of its weight the trailer's axles carry", 0, true},
};

static void sums(const evn_truck_file *t, const evn_at_rest *at, double sum_kg[PLACES])
{
    const evn_axle_file *axle = t->axles.item;
    sum_kg[FRONT] = sum_kg[REAR] = sum_kg[TRAILER] = 0;
    for (size_t k = 0; k < at->count; k++)
        sum_kg[k == at->truck_axles ? TRAILER : axle[k].support == EVN_FRONT_SUPPORT ? FRONT : REAR] += at->load_kg[k];
}

static evn_mass_at joined(evn_mass_at a, evn_mass_at b)
{
    double kg = a.kg + b.kg;
    return (evn_mass_at){kg, (a.kg * a.x_m + b.kg * b.x_m) / kg, (a.kg * a.z_m + b.kg * b.z_m) / kg};
}

/* What a mass on the truck puts where: loads at rest go linearly with masses and their moments. */
static void reactions(const evn_site_work *w, evn_mass_at part, double sum_kg[PLACES])
{
    evn_truck_file with = *w->truck;
    evn_body_file body = *w->truck->body;
    evn_at_rest before, after;
    double was_kg[PLACES];
    evn_mass_at both = joined((evn_mass_at){body.mass_kg, body.centre_behind_front_axle_m, body.centre_height_m}, part);
    body.mass_kg = both.kg;
    body.centre_behind_front_axle_m = both.x_m;
    body.centre_height_m = both.z_m;
    with.body = &body;
    evn_truck_at_rest(w->truck, w->masses, 0, &before);
    evn_truck_at_rest(&with, w->masses, 0, &after);
    sums(w->truck, &before, was_kg);
    sums(w->truck, &after, sum_kg);
    for (int k = 0; k < PLACES; k++)
        sum_kg[k] -= was_kg[k];
}

static void add_sums(evn_site_work *w, const char *row, const char *label, const double sum_kg[PLACES], const char *why)
{
    for (int k = 0; k < PLACES; k++)
        if (k != TRAILER || w->truck->trailer)
            add(w, row, label, &on[k], sum_kg[k], (double)NAN, k == 0 ? why : NULL);
}

static void add_part(evn_site_work *w, const char *row, const char *label, evn_mass_at part)
{
    double sum_kg[PLACES];
    if (part.kg <= 0)
        return;
    reactions(w, part, sum_kg);
    add_sums(w, row, label, sum_kg, evn_site_text(w, "%.0f kg at %.2f m", part.kg, part.x_m));
}

/* Whether all boxes say how many modules they hold; how many those are. */
static double modules_of(const evn_battery_file *b)
{
    const evn_pack_box_file *box = b->boxes.item;
    double sum = 0;
    for (size_t k = 0; k < b->boxes.count; k++)
        sum += box[k].modules;
    return sum;
}

/* A pack stands where its file says; its boxes, with their parts of its mass, may come to another centre. */
static void add_battery(evn_site_work *w)
{
    const evn_battery_file *b = w->truck->battery;
    const evn_pack_box_file *box = b->boxes.item;
    evn_mass_at pack = {b->mass_kg, b->centre_behind_front_axle_m, b->centre_height_m};
    double modules = modules_of(b), left_kg[PLACES], moment = 0;
    if (!(modules > 0) || pack.kg <= 0) {
        add_part(w, "battery", "battery", pack);
        return;
    }
    reactions(w, pack, left_kg);
    for (size_t k = 0; k < b->boxes.count; k++) {
        double kg = pack.kg * box[k].modules / modules, box_kg[PLACES] = {0};
        evn_mass_at part = {kg, box[k].box.behind_m, pack.z_m};
        const char *name = b->boxes.name[k];
        if (kg > 0)
            reactions(w, part, box_kg);
        add_part(w, evn_site_text(w, "battery_%s", name), evn_site_text(w, "battery box %s", name), part);
        for (int p = 0; p < PLACES; p++)
            left_kg[p] -= box_kg[p];
        moment += kg * part.x_m;
    }
    if (fabs(left_kg[FRONT]) >= 0.5)
        add_sums(w, "battery_place", "battery, by its centre", left_kg,
                 evn_site_text(w, "more than by its boxes: stated at %.2f m, its modules are at %.2f m", pack.x_m,
                               moment / pack.kg));
}

static void add_axles_themselves(evn_site_work *w)
{
    const evn_axle_file *axle = w->truck->axles.item;
    evn_mass_at all = {0};
    for (size_t k = 0; k < w->truck->axles.count; k++)
        if (axle[k].mass_kg > 0)
            all = joined(all, (evn_mass_at){axle[k].mass_kg, axle[k].behind_front_axle_m, 0});
    add_part(w, "axles", "axles themselves", all);
}

static void add_take_off(evn_site_work *w)
{
    double kg = evn_takeoff_motor_kg(w->truck);
    if (kg > 0)
        add_part(w, "power_take_off", "motor of the power take-off",
                 (evn_mass_at){kg, w->truck->power_take_off->motor_behind_front_axle_m, 0});
}

/* Payload and empty trailer: what there is more with them. */
static void add_payload_and_trailer(evn_site_work *w)
{
    evn_truck_file alone = *w->truck;
    evn_trailer_file light;
    evn_at_rest with, without, bare;
    double full_kg[PLACES], none_kg[PLACES], bare_kg[PLACES];
    evn_truck_at_rest(w->truck, w->masses, w->laden->payload_kg, &with);
    evn_truck_at_rest(w->truck, w->masses, 0, &without);
    sums(w->truck, &with, full_kg);
    sums(w->truck, &without, none_kg);
    for (int k = 0; k < PLACES; k++)
        full_kg[k] -= none_kg[k];
    if (w->truck->trailer) {
        light = *w->truck->trailer;
        light.mass_kg = 0;
        alone.trailer = &light;
        evn_truck_at_rest(&alone, w->masses, 0, &bare);
        sums(w->truck, &bare, bare_kg);
        for (int k = 0; k < PLACES; k++)
            none_kg[k] -= bare_kg[k];
        add_sums(w, "trailer", "trailer, empty", none_kg, evn_site_text(w, "%.0f kg", w->truck->trailer->mass_kg));
    }
    if (w->laden->payload_kg > 0)
        add_sums(w, "payload", "payload", full_kg,
                 evn_site_text(w, "%.0f kg, %.2f m behind the %s", w->laden->payload_kg,
                               w->truck->payload->centre_behind_m, w->truck->fifth_wheel ? "kingpin" : "front axle"));
}

/* How the loads go with the place of the payload. */
static void add_place(evn_site_work *w)
{
    static const double moved_m = 0.1;
    evn_truck_file with = *w->truck;
    evn_payload_file payload = *w->truck->payload;
    evn_at_rest before, after;
    double was_kg[PLACES], is_kg[PLACES];
    if (w->laden->payload_kg <= 0)
        return;
    payload.centre_behind_m += moved_m;
    payload.trailer_centre_behind_m += moved_m;
    with.payload = &payload;
    evn_truck_at_rest(w->truck, w->masses, w->laden->payload_kg, &before);
    evn_truck_at_rest(&with, w->masses, w->laden->payload_kg, &after);
    sums(w->truck, &before, was_kg);
    sums(w->truck, &after, is_kg);
    for (int k = 0; k < PLACES; k++)
        is_kg[k] -= was_kg[k];
    add_sums(w, "payload_moved", "payload 100 mm further back", is_kg, "more than with the payload as stated");
}

void evn_site_axle_loads(evn_site_work *w)
{
    const evn_truck_file *t = w->truck;
    for (size_t k = 0; k < w->laden->axle_count; k++)
        add_axle(w, k);
    add_coupling(w);
    add_gross(w);
    add_part(w, "body", "frame, cab and body",
             (evn_mass_at){t->body->mass_kg, t->body->centre_behind_front_axle_m, t->body->centre_height_m});
    add_axles_themselves(w);
    for (size_t k = 0; k < t->drive_units.count; k++)
        add_part(w, evn_site_text(w, "unit_%s", t->drive_units.name[k]),
                 evn_site_text(w, "drive unit %s", t->drive_units.name[k]), evn_truck_unit_at(t, k, &w->masses[k]));
    add_take_off(w);
    add_battery(w);
    add_payload_and_trailer(w);
    add_place(w);
}
