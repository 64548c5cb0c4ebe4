/* The group "clearance": what hangs low over the ground, and the angles that crests, hollows and ramps leave. */
#include "site/room.h"
#include "site/stand.h"
#include <math.h>

static const double RAD_DEG = 57.29577951308232;

/* What sits under an axle-mounted drive on resource haulage: common practice, no source. */
static const double UNDER_DRIVE_MM = 260;
static const char under_drive_source[] = "under a drive on the axle, resource haulage: common practice, no source";

enum { LADEN, EMPTY, STATES };
static const evn_site_column heights[STATES] = {
    [LADEN] = {"laden_mm", "mm", "laden", "lowest point over the ground, with the payload as asked", 0, false},
    [EMPTY] = {"empty_mm", "mm", "empty", "lowest point over the ground, without payload", 0, false},
};

typedef struct scene {
    evn_site_work *w;
    evn_stand stand[STATES];
    evn_ground ground;
    evn_lows lows;
} scene;

/* ------------------------------------------------------------------------------------------------ heights */

typedef bool among(const evn_low *, size_t axle);

static bool on_axle(const evn_low *l, size_t axle) { return l->axle == axle && l->rear_axle == axle && !l->turns; }
static bool on_frame(const evn_low *l, size_t axle)
{
    (void)axle;
    return l->axle == EVN_AXLES_MAX && !l->turns;
}
static bool turns(const evn_low *l, size_t axle)
{
    (void)axle;
    return l->turns;
}
static bool any(const evn_low *l, size_t axle)
{
    (void)l;
    (void)axle;
    return true;
}

/* The lowest of some; NULL: there is none. */
static const evn_low *lowest(const scene *s, int state, among *is, size_t axle, double *height_m)
{
    const evn_low *found = NULL;
    for (size_t k = 0; k < s->lows.count; k++) {
        const evn_low *l = &s->lows.at[k];
        if (!is(l, axle) || evn_low_is_lifted(l, &s->stand[state]))
            continue;
        double m = evn_low_over_ground_m(l, &s->stand[state], &s->ground);
        if (!found || m < *height_m) {
            found = l;
            *height_m = m;
        }
    }
    return found;
}

/* What must be known of all: how the truck stands, and the ground. */
static const char *missing_of_all(const scene *s, int state)
{
    return s->stand[state].missing ? s->stand[state].missing : s->ground.missing;
}

static void add_height(scene *s, const evn_site_name *name, int state, among *is, size_t axle, bool under_drive,
                       const char *missing)
{
    double height_m = (double)NAN;
    const char *lacks = missing_of_all(s, state) ? missing_of_all(s, state) : missing;
    const evn_low *low = lacks ? NULL : lowest(s, state, is, axle, &height_m);
    if (!low && !lacks)
        return;
    evn_site_answer a = lacks ? evn_site_unknown(s->w, lacks) : evn_site_value(height_m * 1e3, low->what);
    bool asked = !isnan(s->w->ask.clearance_mm);
    if (!lacks && (asked || under_drive)) {
        a.limit = asked ? s->w->ask.clearance_mm : UNDER_DRIVE_MM;
        a.source = asked ? NULL : under_drive_source;
        a.demanded = asked;
    }
    evn_site_add(s->w, name, &heights[state], &a);
}

/* ---- upwards: what goes up and down with an axle, under what is on the frame */

static const evn_site_column gap_column = {
    "bump_gap_mm",
    "mm",
    "up to the frame",
    "laden, from what the drive has on the axle to the frame above it; its limit is the travel to the bump stop",
    0,
    false};

/* The least gap from a housing to some of the frame; what is not over it does not count. */
typedef struct gap {
    double m;
    const char *from, *to;
} gap;

static void look_up(const scene *s, const evn_room *housing, const char *from, size_t axle, const evn_room *over,
                    const char *to, gap *least)
{
    const evn_stand *stand = &s->stand[LADEN];
    double along_m = fmin(housing->high[0], over->high[0]) - fmax(housing->low[0], over->low[0]);
    double across_m = fmin(housing->high[1], over->high[1]) - fmax(housing->low[1], over->low[1]);
    if (!(along_m > 0 && across_m > 0) || over->high[2] <= housing->low[2])
        return;
    double middle_m = fmax(housing->low[0], over->low[0]) + along_m / 2;
    double m = evn_stand_frame_m(stand, middle_m) + over->low[2] - stand->centre_m[axle] - housing->high[2];
    if (!(m >= least->m))
        *least = (gap){m, from, to};
}

static evn_room outline_room(const evn_outline_file *o)
{
    return (evn_room){{o->from_behind_m, -o->width_m / 2, o->bottom_over_axles_m},
                      {o->from_behind_m + o->length_m, o->width_m / 2, o->bottom_over_axles_m + o->height_m}};
}

static void look_up_all(const scene *s, const evn_room *housing, const char *from, size_t axle, gap *least)
{
    const evn_truck_file *t = s->w->truck;
    const evn_frame_file *f = t->frame;
    const evn_pack_box_file *box = t->battery->boxes.item;
    double outer_m = f->rails_width_m / 2, inner_m = outer_m - f->rail_width_m, low_m = f->rail_top_over_axles_m;
    for (int side = -1; side <= 1; side += 2) {
        evn_room rail = {{f->from_behind_m, fmin(side * inner_m, side * outer_m), low_m - f->rail_depth_m},
                         {f->from_behind_m + f->length_m, fmax(side * inner_m, side * outer_m), low_m}};
        look_up(s, housing, from, axle, &rail, "a rail of the frame", least);
    }
    for (size_t k = 0; k < t->battery->boxes.count; k++) {
        evn_room room = evn_room_of(&box[k].box);
        look_up(s, housing, from, axle, &room, evn_site_text(s->w, "battery box %s", t->battery->boxes.name[k]), least);
    }
    if (f->body) {
        evn_room body = outline_room(f->body);
        look_up(s, housing, from, axle, &body, "the body", least);
    }
    if (f->cab) {
        evn_room cab = outline_room(f->cab);
        look_up(s, housing, from, axle, &cab, "the cab", least);
    }
}

static gap gap_over(const scene *s, size_t axle, bool *drives)
{
    const evn_truck_file *t = s->w->truck;
    const evn_unit_file *unit = t->drive_units.item;
    gap least = {(double)NAN, NULL, NULL};
    *drives = false;
    for (size_t u = 0; u < t->drive_units.count; u++) {
        const evn_unit_housing_file *housing = unit[u].housings.item;
        for (size_t k = 0; k < unit[u].housings.count; k++) {
            if (housing[k].on_axle != (double)axle + 1)
                continue;
            evn_box_file box = housing[k].box;
            *drives = true;
            box.behind_m += s->stand[LADEN].behind_m[axle];
            evn_room room = evn_room_of(&box);
            if (t->frame)
                look_up_all(
                    s, &room,
                    evn_site_text(s->w, "%s of drive unit %s", unit[u].housings.name[k], t->drive_units.name[u]), axle,
                    &least);
        }
    }
    return least;
}

static void add_gap(scene *s, size_t axle, const evn_site_name *name)
{
    const evn_axle_file *file = (const evn_axle_file *)s->w->truck->axles.item + axle;
    bool drives;
    gap least = gap_over(s, axle, &drives);
    const char *lacks = s->stand[LADEN].missing ? s->stand[LADEN].missing : s->w->truck->frame ? NULL : "frame";
    if (!drives)
        return;
    evn_site_answer a =
        lacks ? evn_site_unknown(s->w, lacks) : evn_site_value(least.m * 1e3, "nothing of the frame stands over it");
    if (least.from && !lacks) {
        a.why = evn_site_text(s->w, "%s under %s", least.from, least.to);
        a.limit = file->suspension ? file->suspension->bump_travel_m * 1e3 : (double)NAN;
    }
    evn_site_add(s->w, name, &gap_column, &a);
}

static void add_axle(scene *s, size_t axle)
{
    const evn_axle_file *file = (const evn_axle_file *)s->w->truck->axles.item + axle;
    const char *called = s->w->truck->axles.name[axle];
    evn_site_name name = {"clearance", called, evn_site_text(s->w, "axle %s", called)};
    bool under_drive = false;
    for (size_t k = 0; k < s->lows.count; k++)
        under_drive = under_drive || (on_axle(&s->lows.at[k], axle) && s->lows.at[k].drives);
    const char *missing =
        isnan(file->bowl_below_centre_m) ? evn_site_text(s->w, "axles.%s.bowl_below_centre_m", called) : NULL;
    for (int state = 0; state < STATES; state++)
        if (!s->stand[state].lifted[axle])
            add_height(s, &name, state, on_axle, axle, under_drive, missing);
    if (!s->stand[LADEN].lifted[axle])
        add_gap(s, axle, &name);
}

static void add_rest(scene *s)
{
    static const evn_site_name frame = {"clearance", "frame", "on the frame"},
                               shafts = {"clearance", "shafts", "propeller shafts"},
                               truck = {"clearance", "truck", "all of the truck"};
    const char *boxes = !s->w->truck->battery->boxes.count ? "battery.boxes" : !s->w->truck->frame ? "frame" : NULL;
    for (int state = 0; state < STATES; state++)
        add_height(s, &frame, state, on_frame, 0, false, boxes);
    for (int state = 0; state < STATES; state++)
        add_height(s, &shafts, state, turns, 0, false, s->lows.missing);
    for (int state = 0; state < STATES; state++)
        add_height(s, &truck, state, any, 0, false, boxes ? boxes : s->lows.missing);
}

/* ------------------------------------------------------------------------------------------------ angles */

static const evn_site_name angles = {"clearance", "angles", "angles, laden"};
static const char iso[] = "ISO 612, from memory: tangents to the loaded tyres";
static const evn_site_column approach_column = {
    "approach_deg", "deg", "approach", "steepest ramp that the front end meets without touching", 1, false};
static const evn_site_column departure_column = {"departure_deg",
                                                 "deg",
                                                 "departure",
                                                 "steepest ramp that the rear end of the truck leaves without touching",
                                                 1,
                                                 false};
static const evn_site_column ramp_column = {
    "ramp_deg", "deg", "ramp", "angle between two slopes that meet in a crest, which it passes without touching",
    1,          false};

/* A point of the truck's lower side over flat ground. */
typedef struct point {
    double behind_m, height_m;
    const char *what;
} point;

enum { POINTS_MOST = 2 * EVN_LOWS_MOST };
typedef struct points {
    point at[POINTS_MOST];
    size_t count;
} points;

static void collect(const scene *s, points *p)
{
    const evn_stand *stand = &s->stand[LADEN];
    p->count = 0;
    for (size_t k = 0; k < s->lows.count; k++) {
        const evn_low *l = &s->lows.at[k];
        if (evn_low_is_lifted(l, stand))
            continue;
        p->at[p->count++] = (point){l->from_m, evn_low_end_m(l, stand, false), l->what};
        p->at[p->count++] = (point){l->to_m, evn_low_end_m(l, stand, true), l->what};
    }
}

/* The next axle on the ground from a place on; the count of axles: none. */
static size_t next_down(const evn_stand *s, size_t from)
{
    while (from < s->axles && s->lifted[from])
        from++;
    return from;
}

static evn_site_answer least(double angle_rad, const char *what)
{
    evn_site_answer a = evn_site_value(angle_rad * RAD_DEG, what);
    a.source = iso;
    return a;
}

/* Beyond an end of the truck: ahead of its first axle on the ground, or behind its last. */
static evn_site_answer end_angle(const scene *s, const points *p, size_t axle, double side)
{
    double angle = (double)INFINITY;
    const char *what = NULL;
    for (size_t k = 0; k < p->count; k++) {
        double beyond_m = (p->at[k].behind_m - s->stand[LADEN].behind_m[axle]) * side;
        double rad = evn_tangent_rad(s->stand[LADEN].centre_m[axle], beyond_m, p->at[k].height_m);
        if (beyond_m > 0 && rad < angle) {
            angle = rad;
            what = p->at[k].what;
        }
    }
    return least(angle, what);
}

/* Between two axles: the angle of the planes that touch the wheels of both and meet in a point of the truck. */
static void between(const scene *s, const points *p, size_t front, size_t rear, double *angle, const char **what)
{
    const evn_stand *stand = &s->stand[LADEN];
    for (size_t k = 0; k < p->count; k++) {
        double behind_m = p->at[k].behind_m - stand->behind_m[front],
               ahead_m = stand->behind_m[rear] - p->at[k].behind_m;
        if (behind_m <= 0 || ahead_m <= 0)
            continue;
        double rad = evn_tangent_rad(stand->centre_m[front], behind_m, p->at[k].height_m) +
                     evn_tangent_rad(stand->centre_m[rear], ahead_m, p->at[k].height_m);
        if (rad < *angle) {
            *angle = rad;
            *what = p->at[k].what;
        }
    }
}

static evn_site_answer ramp_angle(const scene *s, const points *p)
{
    const evn_stand *stand = &s->stand[LADEN];
    double angle = (double)INFINITY;
    const char *what = NULL;
    for (size_t k = next_down(stand, 0), next; k < stand->axles; k = next) {
        next = next_down(stand, k + 1);
        if (next < stand->axles)
            between(s, p, k, next, &angle, &what);
    }
    return isfinite(angle) ? least(angle, what) : evn_site_value((double)NAN, "nothing known hangs between axles");
}

static size_t last_down(const evn_stand *s)
{
    size_t k = s->axles - 1;
    while (k > 0 && s->lifted[k])
        k--;
    return k;
}

static void add_angles(scene *s)
{
    const evn_site_column *const columns[] = {&approach_column, &departure_column, &ramp_column};
    const char *lacks = s->stand[LADEN].missing              ? s->stand[LADEN].missing
                        : !s->w->truck->frame                ? "frame"
                        : !s->w->truck->battery->boxes.count ? "battery.boxes"
                                                             : s->lows.missing;
    evn_site_answer answer[3];
    points p;
    if (!lacks)
        collect(s, &p);
    for (int k = 0; k < 3; k++)
        answer[k] = lacks    ? evn_site_unknown(s->w, lacks)
                    : k == 0 ? end_angle(s, &p, next_down(&s->stand[LADEN], 0), -1)
                    : k == 1 ? end_angle(s, &p, last_down(&s->stand[LADEN]), 1)
                             : ramp_angle(s, &p);
    for (int k = 0; k < 3; k++)
        evn_site_add(s->w, &angles, columns[k], &answer[k]);
}

void evn_site_clearance(evn_site_work *w)
{
    scene s = {.w = w, .ground = evn_ground_of(w)};
    s.stand[LADEN] = evn_stand_of(w, w->laden);
    s.stand[EMPTY] = evn_stand_of(w, w->empty);
    evn_lows_of(w, &s.lows);
    for (size_t k = 0; k < w->truck->axles.count; k++)
        add_axle(&s, k);
    add_rest(&s);
    add_angles(&s);
}
