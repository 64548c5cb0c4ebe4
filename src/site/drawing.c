/* A truck as boxes in space, for a drawing to scale. */
#include "site/list.h"
#include "site/stand.h"
#include "site/weighed.h"
#include <math.h>
#include <stdlib.h>

enum { SHAPES_MOST = 160 };

/* Looks of things that no key states: beams, pairs of tyres, coupling. */
static const double BEAM_M = 0.13, PAIR_GAP_M = 0.035, COUPLING_HALF_M = 0.45, TRAILER_BEAM_M = 0.25;

struct evn_drawing {
    evn_site list; /* of texts */
    evn_site_shape shape[SHAPES_MOST];
    size_t count;
    const char *missing;
    double front_m, rear_m;
};

typedef struct drawer {
    evn_site_work *w;
    evn_drawing *to;
    evn_stand stand;
} drawer;

static evn_site_shape *add(drawer *d, evn_site_part part, const char *name)
{
    static evn_site_shape beyond; /* rows bound the counts: there is room for all */
    if (d->to->count == SHAPES_MOST)
        return &beyond;
    evn_site_shape *s = &d->to->shape[d->to->count++];
    *s = (evn_site_shape){.part = part, .name = name};
    return s;
}

/* ------------------------------------------------------------------------------------------------ boxes */

static void put_box(evn_site_shape *s, const evn_box_file *b, double behind_m, double line_m)
{
    s->from_m = behind_m + b->behind_m - b->length_m / 2;
    s->to_m = behind_m + b->behind_m + b->length_m / 2;
    s->left_m = b->across_m - b->width_m / 2;
    s->right_m = b->across_m + b->width_m / 2;
    s->low_m = line_m + b->bottom_over_axles_m;
    s->high_m = s->low_m + b->height_m;
}

static void add_outline(drawer *d, evn_site_part part, const evn_outline_file *o)
{
    if (!o)
        return;
    evn_site_shape *s = add(d, part, NULL);
    s->from_m = o->from_behind_m;
    s->to_m = o->from_behind_m + o->length_m;
    s->left_m = -o->width_m / 2;
    s->right_m = o->width_m / 2;
    s->low_m = evn_stand_frame_m(&d->stand, (s->from_m + s->to_m) / 2) + o->bottom_over_axles_m;
    s->high_m = s->low_m + o->height_m;
}

static void add_rails(drawer *d)
{
    const evn_frame_file *f = d->w->truck->frame;
    for (int side = -1; side <= 1; side += 2) {
        evn_site_shape *s = add(d, EVN_PART_RAIL, NULL);
        double outer_m = side * f->rails_width_m / 2, inner_m = outer_m - side * f->rail_width_m;
        s->from_m = f->from_behind_m;
        s->to_m = f->from_behind_m + f->length_m;
        s->left_m = fmin(outer_m, inner_m);
        s->right_m = fmax(outer_m, inner_m);
        s->high_m = evn_stand_frame_m(&d->stand, s->from_m) + f->rail_top_over_axles_m;
        s->low_m = s->high_m - f->rail_depth_m;
        s->rise_m = evn_stand_frame_m(&d->stand, s->to_m) - evn_stand_frame_m(&d->stand, s->from_m);
    }
}

/* ------------------------------------------------------------------------------------------------ axles and tyres */

static bool is_driven(const evn_truck_file *t, size_t axle)
{
    const evn_unit_file *unit = t->drive_units.item;
    bool driven = false;
    for (size_t u = 0; u < t->drive_units.count; u++)
        for (size_t k = 0; k < unit[u].axles.count; k++)
            driven = driven || unit[u].axles.at[k] == (double)axle + 1;
    return driven;
}

typedef struct wheels {
    double behind_m, centre_m, radius_m, track_m, width_m;
    size_t on_side; /* tyres */
    bool driven, trailer;
    const char *name;
} wheels;

static void add_beam(drawer *d, const wheels *a)
{
    evn_site_shape *s = add(d, EVN_PART_AXLE, a->name);
    s->from_m = a->behind_m - BEAM_M / 2;
    s->to_m = a->behind_m + BEAM_M / 2;
    s->low_m = a->centre_m - BEAM_M / 2;
    s->high_m = a->centre_m + BEAM_M / 2;
    s->left_m = -a->track_m / 2;
    s->right_m = a->track_m / 2;
    s->driven = a->driven;
    s->trailer = a->trailer;
}

/* The circle stands on the ground where the tyre is flattened: below it nothing is drawn. */
static void add_tyres(drawer *d, const wheels *a)
{
    double pitch_m = a->width_m + PAIR_GAP_M;
    for (int side = -1; side <= 1; side += 2)
        for (size_t k = 0; k < a->on_side; k++) {
            evn_site_shape *s = add(d, EVN_PART_TYRE, NULL);
            double middle_m = side * a->track_m / 2 + ((double)k - ((double)a->on_side - 1) / 2) * pitch_m;
            s->from_m = a->behind_m - a->radius_m;
            s->to_m = a->behind_m + a->radius_m;
            s->low_m = a->centre_m - a->radius_m;
            s->high_m = a->centre_m + a->radius_m;
            s->left_m = middle_m - a->width_m / 2;
            s->right_m = middle_m + a->width_m / 2;
            s->driven = a->driven;
            s->trailer = a->trailer;
        }
}

static wheels wheels_of(const drawer *d, size_t axle)
{
    const evn_axle_file *a = (const evn_axle_file *)d->w->truck->axles.item + axle;
    /* a lifted axle hangs so far over the ground; how far is its maker's */
    static const double LIFTED_M = 0.08;
    double radius_m = a->tyre->free_radius_m;
    return (wheels){.behind_m = a->behind_front_axle_m,
                    .centre_m = d->stand.lifted[axle] ? radius_m + LIFTED_M : d->stand.centre_m[axle],
                    .radius_m = radius_m,
                    .track_m = a->track_m,
                    .width_m = a->tyre->width_m,
                    .on_side = (size_t)ceil(a->tyres / 2),
                    .driven = is_driven(d->w->truck, axle),
                    .name = d->w->truck->axles.name[axle]};
}

/* ------------------------------------------------------------------------------------------------ trailer */

static void each_trailer_axle(drawer *d, void (*put)(drawer *, const wheels *))
{
    const evn_trailer_file *t = d->w->truck->trailer;
    evn_at_rest at;
    evn_weighed weighed;
    if (!t || !t->outline || isnan(t->tyre->free_radius_m) || isnan(t->tyre->width_m))
        return;
    evn_truck_at_rest(d->w->truck, d->w->masses, 0, &at);
    evn_weighed_of(d->w->truck, &at, false, &weighed);
    double on_axle = t->tyres / t->axles;
    for (size_t k = weighed.motor_axles; k < weighed.count; k++) {
        wheels a = {.behind_m = weighed.axle[k].place_m,
                    .centre_m = t->tyre->rolling_radius_m,
                    .radius_m = t->tyre->free_radius_m,
                    .track_m =
                        isnan(t->track_m) ? t->outline->width_m - ceil(on_axle / 2) * t->tyre->width_m : t->track_m,
                    .width_m = t->tyre->width_m,
                    .on_side = (size_t)ceil(on_axle / 2),
                    .trailer = true};
        put(d, &a);
    }
}

static void add_trailer(drawer *d)
{
    const evn_trailer_file *t = d->w->truck->trailer;
    if (!t || !t->outline)
        return;
    double kingpin_m = evn_coupling_of(d->w->truck)->behind_front_axle_m;
    evn_site_shape *body = add(d, EVN_PART_TRAILER, NULL);
    *body = (evn_site_shape){.part = EVN_PART_TRAILER,
                             .from_m = kingpin_m - t->outline->ahead_of_kingpin_m,
                             .to_m = kingpin_m + t->outline->behind_kingpin_m,
                             .low_m = t->outline->floor_height_m,
                             .high_m = t->outline->top_height_m,
                             .left_m = -t->outline->width_m / 2,
                             .right_m = t->outline->width_m / 2,
                             .trailer = true};
    evn_site_shape *beam = add(d, EVN_PART_RAIL, NULL);
    *beam = *body;
    beam->part = EVN_PART_RAIL;
    beam->from_m = kingpin_m + COUPLING_HALF_M;
    beam->high_m = body->low_m;
    beam->low_m = body->low_m - TRAILER_BEAM_M;
}

static void add_coupling(drawer *d)
{
    const evn_coupling_file *f = d->w->truck->fifth_wheel;
    if (!f)
        return;
    evn_site_shape *s = add(d, EVN_PART_FIFTH_WHEEL, "fifth wheel");
    s->from_m = f->behind_front_axle_m - COUPLING_HALF_M;
    s->to_m = f->behind_front_axle_m + COUPLING_HALF_M;
    s->left_m = -COUPLING_HALF_M;
    s->right_m = COUPLING_HALF_M;
    s->low_m = evn_stand_frame_m(&d->stand, f->behind_front_axle_m) + d->w->truck->frame->rail_top_over_axles_m;
    s->high_m = fmax(f->height_m, s->low_m + 0.02);
}

/* ------------------------------------------------------------------------------------------------ drive and battery */

static void add_pack(drawer *d)
{
    const evn_many *boxes = &d->w->truck->battery->boxes;
    const evn_pack_box_file *box = boxes->item;
    for (size_t k = 0; k < boxes->count; k++)
        put_box(add(d, EVN_PART_BATTERY, evn_site_text(d->w, "battery box %s", boxes->name[k])), &box[k].box, 0,
                evn_stand_frame_m(&d->stand, box[k].box.behind_m));
}

static void add_shafts(drawer *d)
{
    evn_lows lows;
    evn_lows_of(d->w, &lows);
    for (size_t k = 0; k < lows.count; k++) {
        const evn_low *l = &lows.at[k];
        if (!l->turns)
            continue;
        double low_m = evn_low_end_m(l, &d->stand, false), thick_m = l->right_m - l->left_m;
        evn_site_shape *s = add(d, EVN_PART_SHAFT, l->what);
        s->from_m = l->from_m;
        s->to_m = l->to_m;
        s->left_m = l->left_m;
        s->right_m = l->right_m;
        s->low_m = low_m;
        s->high_m = low_m + thick_m;
        s->rise_m = evn_low_end_m(l, &d->stand, true) - low_m;
    }
}

static void add_units(drawer *d)
{
    static const evn_site_part parts[] = {EVN_PART_MOTOR, EVN_PART_GEARBOX, EVN_PART_AXLE_DRIVE, EVN_PART_HOUSING};
    const evn_truck_file *t = d->w->truck;
    for (size_t u = 0; u < t->drive_units.count; u++) {
        const evn_unit_file *unit = (const evn_unit_file *)t->drive_units.item + u;
        const evn_unit_housing_file *housing = unit->housings.item;
        for (size_t k = 0; k < unit->housings.count; k++) {
            size_t axle = isnan(housing[k].on_axle) ? EVN_AXLES_MAX : (size_t)housing[k].on_axle - 1;
            bool on_axle = axle < t->axles.count;
            const char *name = evn_site_housing(d->w, u, k);
            put_box(add(d, parts[housing[k].holds], name), &housing[k].box, on_axle ? d->stand.behind_m[axle] : 0,
                    on_axle ? wheels_of(d, axle).centre_m : evn_stand_frame_m(&d->stand, housing[k].box.behind_m));
        }
    }
}

/* ------------------------------------------------------------------------------------------------ the whole */

static const char *missing_of(drawer *d)
{
    const evn_axle_file *axle = d->w->truck->axles.item;
    if (!d->w->truck->frame)
        return "frame";
    for (size_t k = 0; k < d->w->truck->axles.count; k++) {
        const char *key = isnan(axle[k].tyre->free_radius_m) ? "tyre.free_radius_m"
                          : isnan(axle[k].tyre->width_m)     ? "tyre.width_m"
                          : isnan(axle[k].track_m)           ? "track_m"
                                                             : NULL;
        if (key)
            return evn_site_text(d->w, "axles.%s.%s", d->w->truck->axles.name[k], key);
    }
    return d->stand.missing;
}

static void draw(drawer *d)
{
    const evn_frame_file *f = d->w->truck->frame;
    size_t axles = d->w->truck->axles.count;
    d->to->front_m = -f->front_overhang_m;
    d->to->rear_m = d->stand.behind_m[axles - 1] + f->rear_overhang_m;
    add_trailer(d);
    add_outline(d, EVN_PART_CAB, f->cab);
    add_outline(d, f->body_shape == EVN_BODY_TIPPING ? EVN_PART_TIPPER : EVN_PART_BODY, f->body);
    add_rails(d);
    add_coupling(d);
    add_pack(d);
    for (size_t k = 0; k < axles; k++) {
        wheels a = wheels_of(d, k);
        add_beam(d, &a);
    }
    each_trailer_axle(d, add_beam);
    for (size_t k = 0; k < axles; k++) {
        wheels a = wheels_of(d, k);
        add_tyres(d, &a);
    }
    each_trailer_axle(d, add_tyres);
    add_shafts(d);
    add_units(d);
}

static evn_status make(drawer *d, const evn_load_case *load_case)
{
    evn_rig *rig = NULL;
    if (!evn_truck_unit_masses(d->w->truck, d->w->masses))
        return EVN_NO_RESULT;
    bool made = evn_rig_make(d->w->truck, load_case, &rig, d->w->report);
    if (made)
        d->stand = evn_stand_of(d->w, rig);
    evn_rig_free(rig);
    if (!made)
        return EVN_BAD_INPUT;
    d->to->missing = missing_of(d);
    if (!d->to->missing)
        draw(d);
    return EVN_DONE;
}

evn_status evn_drawing_make(const evn_truck_file *truck, const evn_load_case *load_case, evn_drawing **out,
                            evn_report *report)
{
    evn_drawing *to = calloc(1, sizeof *to);
    evn_status status = EVN_NO_RESULT;
    if (to)
        to->list.arena = evn_arena_new();
    if (to && to->list.arena) {
        evn_site_work w = {.to = &to->list, .truck = truck, .load_case = load_case, .report = report};
        drawer d = {.w = &w, .to = to};
        status = make(&d, load_case);
    }
    if (status == EVN_NO_RESULT || (status == EVN_DONE && to->list.short_of_memory)) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out drawing a truck");
        status = EVN_NO_RESULT;
    }
    if (status == EVN_DONE)
        *out = to;
    else
        evn_drawing_free(to);
    return status;
}

void evn_drawing_free(evn_drawing *d)
{
    if (!d)
        return;
    evn_arena_free(d->list.arena);
    free(d);
}

bool evn_drawing_at(const evn_drawing *d, size_t index, evn_site_shape *out)
{
    if (!d || !out || index >= d->count)
        return false;
    *out = d->shape[index];
    return true;
}

const char *evn_drawing_missing(const evn_drawing *d) { return d ? d->missing : NULL; }

bool evn_drawing_ends(const evn_drawing *d, double *front_m, double *rear_m)
{
    if (!d || !front_m || !rear_m || d->missing)
        return false;
    *front_m = d->front_m;
    *rear_m = d->rear_m;
    return true;
}
