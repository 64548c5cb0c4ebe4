/* How a truck stands, and what of it hangs low. */
#include "site/stand.h"
#include "truck/unit.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ wheels and frame */

static const char *missing_of(evn_site_work *w, size_t axle)
{
    const evn_axle_file *a = (const evn_axle_file *)w->truck->axles.item + axle;
    const char *key = isnan(a->tyre->free_radius_m)             ? "tyre.free_radius_m"
                      : isnan(a->tyre->vertical_stiffness_kn_m) ? "tyre.vertical_stiffness_kn_m"
                                                                : NULL;
    return key ? evn_site_text(w, "axles.%s.%s", w->truck->axles.name[axle], key) : NULL;
}

static void put_support(evn_stand *s, const evn_truck_file *t, int support, double *behind_m, double *height_m)
{
    const evn_axle_file *axle = t->axles.item;
    double count = 0;
    *behind_m = *height_m = 0;
    for (size_t k = 0; k < s->axles; k++) {
        if (axle[k].support != support || s->lifted[k])
            continue;
        *behind_m += s->behind_m[k];
        *height_m += s->centre_m[k] - s->spring_m[k];
        count++;
    }
    *behind_m /= count;
    *height_m /= count;
}

static double load_n(const evn_rig *r, size_t axle)
{
    return r->axle[axle].lifted ? 0 : evn_axle_load_n(&r->axle[axle].load, r->gravity_m_s2, 1, 0, 0, 0);
}

/* What the springs of an axle give by, from the truck without payload on all its axles: what is not sprung cancels out.
 */
static double spring_m(const evn_axle_file *a, double more_n)
{
    const evn_suspension_file *s = a->suspension;
    return s && !s->air && !isnan(s->stiffness_kn_m) ? more_n / (2 * s->stiffness_kn_m * 1e3) : 0;
}

evn_stand evn_stand_of(evn_site_work *w, const evn_rig *r)
{
    const evn_axle_file *axle = w->truck->axles.item;
    evn_stand s = {.axles = r->truck_axles};
    evn_at_rest as_written;
    evn_truck_at_rest(w->truck, w->masses, 0, &as_written);
    for (size_t k = 0; k < s.axles; k++) {
        const evn_tyre_file *tyre = axle[k].tyre;
        s.lifted[k] = r->axle[k].lifted;
        s.behind_m[k] = axle[k].behind_front_axle_m;
        s.load_n[k] = load_n(r, k);
        s.spring_m[k] = spring_m(&axle[k], s.load_n[k] - as_written.load_kg[k] * r->gravity_m_s2);
        s.centre_m[k] = tyre->free_radius_m - s.load_n[k] / (axle[k].tyres * tyre->vertical_stiffness_kn_m * 1e3);
        if (!s.missing && !s.lifted[k])
            s.missing = missing_of(w, k);
    }
    put_support(&s, w->truck, EVN_FRONT_SUPPORT, &s.front_behind_m, &s.front_m);
    put_support(&s, w->truck, EVN_REAR_SUPPORT, &s.rear_behind_m, &s.rear_m);
    return s;
}

double evn_stand_frame_m(const evn_stand *s, double behind_m)
{
    double along = (behind_m - s->front_behind_m) / (s->rear_behind_m - s->front_behind_m);
    return s->front_m + along * (s->rear_m - s->front_m);
}

/* ------------------------------------------------------------------------------------------------ ground */

/* Between the tyres of a pair, from sidewall to sidewall: common practice, no source. */
static const double PAIR_GAP_M = 0.035;

/* Width of the tyres on one side of an axle. */
static double wheel_width_m(const evn_axle_file *a)
{
    double side = ceil(a->tyres / 2);
    return side * a->tyre->width_m + (side - 1) * PAIR_GAP_M;
}

static const char *missing_width(evn_site_work *w, size_t axle)
{
    const evn_axle_file *a = (const evn_axle_file *)w->truck->axles.item + axle;
    const char *key = isnan(a->track_m) ? "track_m" : isnan(a->tyre->width_m) ? "tyre.width_m" : NULL;
    return key ? evn_site_text(w, "axles.%s.%s", w->truck->axles.name[axle], key) : NULL;
}

/* The ruts are as wide as all wheels that go in them. */
evn_ground evn_ground_of(evn_site_work *w)
{
    const evn_axle_file *axle = w->truck->axles.item;
    evn_ground g = {w->ask.rut_mm / 1e3, w->ask.crown_mm / 1e3, (double)INFINITY, 0, NULL};
    for (size_t k = 0; k < w->truck->axles.count; k++) {
        double half = wheel_width_m(&axle[k]) / 2;
        g.inner_m = fmin(g.inner_m, axle[k].track_m / 2 - half);
        g.outer_m = fmax(g.outer_m, axle[k].track_m / 2 + half);
        if (!g.missing && (g.rut_m > 0 || g.crown_m > 0))
            g.missing = missing_width(w, k);
    }
    return g;
}

double evn_ground_highest_m(const evn_ground *g, double from_m, double to_m)
{
    if (g->rut_m <= 0 && g->crown_m <= 0)
        return 0;
    double nearest = from_m > 0 ? from_m : to_m < 0 ? -to_m : 0, furthest = fmax(fabs(from_m), fabs(to_m));
    double height = furthest > g->outer_m ? g->rut_m : 0;
    if (nearest < g->inner_m) {
        double share = nearest / g->inner_m;
        height = g->rut_m + g->crown_m * (1 - share * share);
    }
    return height;
}

double evn_tangent_rad(double radius_m, double ahead_m, double height_m)
{
    static const double QUARTER_RAD = 1.57079632679489661923;
    double distance = hypot(ahead_m, radius_m - height_m);
    if (distance <= radius_m)
        return QUARTER_RAD;
    double angle = atan2(ahead_m, radius_m - height_m) - acos(radius_m / distance);
    return fmin(fmax(angle, 0), QUARTER_RAD);
}

/* ------------------------------------------------------------------------------------------------ what hangs low */

/* Counts of axles, units, housings and boxes are bounded by their rows: fewer than there is room for. */
static void add_low(evn_lows *l, evn_low low)
{
    if (l->count < EVN_LOWS_MOST)
        l->at[l->count++] = low;
}

static evn_low box_low(const evn_box_file *b, const char *what, size_t axle, double axle_behind_m)
{
    double behind_m = axle_behind_m + b->behind_m;
    return (evn_low){.what = what,
                     .axle = axle,
                     .rear_axle = axle,
                     .from_m = behind_m - b->length_m / 2,
                     .to_m = behind_m + b->length_m / 2,
                     .from_low_m = b->bottom_over_axles_m,
                     .to_low_m = b->bottom_over_axles_m,
                     .left_m = b->across_m - b->width_m / 2,
                     .right_m = b->across_m + b->width_m / 2};
}

/* The middle of an axle's body is as wide as its bowl; what matters is that it hangs over the middle of the ground. */
static const double BOWL_HALF_M = 0.2;

static void add_axles(evn_site_work *w, evn_lows *l)
{
    const evn_axle_file *axle = w->truck->axles.item;
    for (size_t k = 0; k < w->truck->axles.count; k++) {
        double behind_m = axle[k].behind_front_axle_m;
        if (!isnan(axle[k].bowl_below_centre_m))
            add_low(l, (evn_low){evn_site_text(w, "body of axle %s", w->truck->axles.name[k]), k, k, false, false,
                                 behind_m, behind_m, -axle[k].bowl_below_centre_m, -axle[k].bowl_below_centre_m,
                                 -BOWL_HALF_M, BOWL_HALF_M});
    }
}

const char *evn_site_housing(evn_site_work *w, size_t unit, size_t housing)
{
    const evn_unit_file *u = (const evn_unit_file *)w->truck->drive_units.item + unit;
    const evn_unit_housing_file *h = (const evn_unit_housing_file *)u->housings.item + housing;
    if (h->holds == EVN_HOUSES_AXLE_DRIVE && !isnan(h->on_axle) && h->on_axle <= (double)w->truck->axles.count)
        return evn_site_text(w, "housing of the electric axle at axle %s",
                             w->truck->axles.name[(size_t)h->on_axle - 1]);
    return evn_site_text(w, "%s of drive unit %s", u->housings.name[housing], w->truck->drive_units.name[unit]);
}

static void add_housings(evn_site_work *w, size_t unit, evn_lows *l)
{
    const evn_unit_file *u = (const evn_unit_file *)w->truck->drive_units.item + unit;
    const evn_unit_housing_file *housing = u->housings.item;
    const evn_axle_file *axle = w->truck->axles.item;
    for (size_t k = 0; k < u->housings.count; k++) {
        bool on_axle = !isnan(housing[k].on_axle) && housing[k].on_axle <= (double)w->truck->axles.count;
        size_t at = on_axle ? (size_t)housing[k].on_axle - 1 : EVN_AXLES_MAX;
        const char *what = evn_site_housing(w, unit, k);
        evn_low low = box_low(&housing[k].box, what, at, on_axle ? axle[at].behind_front_axle_m : 0);
        low.drives = true;
        add_low(l, low);
    }
}

static void add_pack(evn_site_work *w, evn_lows *l)
{
    const evn_pack_box_file *box = w->truck->battery->boxes.item;
    for (size_t k = 0; k < w->truck->battery->boxes.count; k++)
        add_low(l, box_low(&box[k].box, evn_site_text(w, "battery box %s", w->truck->battery->boxes.name[k]),
                           EVN_AXLES_MAX, 0));
}

/* ---- propeller shafts: from the rearmost housing on the frame to the middle of the axle, and on to the next axle */

/* The thickest of a path's; 0: it has none; NAN: one does not say. */
static double shafts_diameter_m(const evn_steps *path)
{
    double thickest_m = 0, diameter_m;
    for (size_t k = 0; k < path->count; k++)
        if (evn_propeller_shaft_diameter_m(&path->at[k], &diameter_m))
            thickest_m = isnan(diameter_m) || diameter_m > thickest_m ? diameter_m : thickest_m;
    return thickest_m;
}

static const evn_box_file *rearmost_on_frame(const evn_unit_file *u)
{
    const evn_unit_housing_file *housing = u->housings.item;
    const evn_box_file *rearmost = NULL;
    for (size_t k = 0; k < u->housings.count; k++) {
        const evn_box_file *b = &housing[k].box;
        if (isnan(housing[k].on_axle) &&
            (!rearmost || b->behind_m + b->length_m / 2 > rearmost->behind_m + rearmost->length_m / 2))
            rearmost = b;
    }
    return rearmost;
}

static void add_shaft(evn_site_work *w, evn_lows *l, double diameter_m, evn_low shaft)
{
    if (isnan(diameter_m) && !l->missing)
        l->missing = "diameter_m of a propeller shaft";
    if (!(diameter_m > 0))
        return;
    const evn_axle_file *axle = w->truck->axles.item;
    shaft.what = evn_site_text(w, "propeller shaft to axle %s", w->truck->axles.name[shaft.rear_axle]);
    shaft.turns = true;
    shaft.to_m = axle[shaft.rear_axle].behind_front_axle_m;
    shaft.from_low_m -= diameter_m / 2;
    shaft.to_low_m = -diameter_m / 2;
    shaft.left_m += -diameter_m / 2;
    shaft.right_m += diameter_m / 2;
    add_low(l, shaft);
}

static void add_first_shaft(evn_site_work *w, const evn_unit_file *u, size_t unit, evn_lows *l)
{
    double diameter_m = shafts_diameter_m(&u->path);
    const evn_box_file *from = rearmost_on_frame(u);
    size_t to = (size_t)u->axles.at[0] - 1;
    if (diameter_m == 0 || to >= w->truck->axles.count)
        return;
    if (!from) {
        if (!l->missing)
            l->missing = evn_site_text(w, "drive_units.%s.housings", w->truck->drive_units.name[unit]);
        return;
    }
    add_shaft(w, l, diameter_m,
              (evn_low){.axle = EVN_AXLES_MAX,
                        .rear_axle = to,
                        .from_m = from->behind_m + from->length_m / 2,
                        .from_low_m = from->bottom_over_axles_m + from->height_m / 2,
                        .left_m = fmin(from->across_m, 0),
                        .right_m = fmax(from->across_m, 0)});
}

static void add_shafts(evn_site_work *w, size_t unit, evn_lows *l)
{
    const evn_unit_file *u = (const evn_unit_file *)w->truck->drive_units.item + unit;
    const evn_branch_file *branch = u->branches.item;
    const evn_axle_file *axle = w->truck->axles.item;
    add_first_shaft(w, u, unit, l);
    for (size_t b = 1; b < u->branches.count; b++) {
        size_t from = (size_t)branch[b - 1].axle - 1, to = (size_t)branch[b].axle - 1;
        if (from < w->truck->axles.count && to < w->truck->axles.count)
            add_shaft(w, l, shafts_diameter_m(&branch[b].path),
                      (evn_low){.axle = from, .rear_axle = to, .from_m = axle[from].behind_front_axle_m});
    }
}

/* An end of the truck, over all of the frame's width: it hangs over the middle of the ground, wherever it ends. */
static evn_low overhang(const evn_frame_file *f, const char *what, double behind_m, double bottom_m)
{
    double half_m = f->rails_width_m / 2;
    return (evn_low){what,     EVN_AXLES_MAX, EVN_AXLES_MAX, false,   false, behind_m,
                     behind_m, bottom_m,      bottom_m,      -half_m, half_m};
}

static void add_overhangs(evn_site_work *w, evn_lows *l)
{
    const evn_axle_file *axle = w->truck->axles.item;
    const evn_frame_file *f = w->truck->frame;
    if (!f)
        return;
    double rear_m = axle[w->truck->axles.count - 1].behind_front_axle_m + f->rear_overhang_m;
    add_low(l, overhang(f, "front overhang", -f->front_overhang_m, f->front_bottom_over_axles_m));
    add_low(l, overhang(f, "rear overhang", rear_m, f->rear_bottom_over_axles_m));
}

void evn_lows_of(evn_site_work *w, evn_lows *l)
{
    *l = (evn_lows){.count = 0};
    add_overhangs(w, l);
    add_axles(w, l);
    for (size_t k = 0; k < w->truck->drive_units.count; k++) {
        add_housings(w, k, l);
        add_shafts(w, k, l);
    }
    add_pack(w, l);
}

/* ------------------------------------------------------------------------------------------------ how low */

bool evn_low_is_lifted(const evn_low *l, const evn_stand *s)
{
    return (l->axle < s->axles && s->lifted[l->axle]) || (l->rear_axle < s->axles && s->lifted[l->rear_axle]);
}

double evn_low_end_m(const evn_low *l, const evn_stand *s, bool rear_end)
{
    size_t axle = rear_end ? l->rear_axle : l->axle;
    double line_m = axle < s->axles ? s->centre_m[axle] : evn_stand_frame_m(s, rear_end ? l->to_m : l->from_m);
    return line_m + (rear_end ? l->to_low_m : l->from_low_m);
}

double evn_low_over_ground_m(const evn_low *l, const evn_stand *s, const evn_ground *g)
{
    return fmin(evn_low_end_m(l, s, false), evn_low_end_m(l, s, true)) - evn_ground_highest_m(g, l->left_m, l->right_m);
}
