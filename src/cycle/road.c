/* Road stretches: grade or elevation, repeated or not, cut by steps of surface and heading, collinear neighbours
 * merged. */
#include "cycle/road.h"
#include "core/units.h"
#include "cycle/surface.h"
#include <math.h>
#include <stdlib.h>

/* What is left of the road beyond a point closer than this to the end of the course is not worth a stretch. */
#define REST_OF_ROAD_M 1e-6
/* A point this near to the line through its neighbours lies on it; as a tangent. */
#define ON_THE_LINE 1e-13

evn_road_walk evn_road_walk_start(const evn_road_file *file, double length_m)
{
    evn_road_walk walk = {.view = evn_road_view_of(file), .length_m = length_m};
    if (walk.view.form == EVN_ROAD_UNCLEAR)
        walk.view.axis.count = 0;
    return walk;
}

/* Next piece of the profile, not yet cut at the end of the course; may have no length. */
static evn_road_piece next_of_profile(evn_road_walk *walk)
{
    const evn_road_view *view = &walk->view;
    size_t points = view->axis.count;
    if (walk->next == points)
        return (evn_road_piece){walk->at_m, walk->length_m, 0.0, 0.0};
    double period_m = view->axis.at[points - 1];
    evn_road_piece piece = {walk->at_m, walk->round * period_m + view->axis.at[walk->next], 0.0, 0.0};
    if (walk->next > 0) {
        piece.tangent_begin = evn_road_tangent_begin(view, walk->next - 1);
        piece.tangent_end = evn_road_tangent_end(view, walk->next - 1);
    }
    walk->next++;
    if (walk->next == points && view->repeat) {
        walk->round += 1.0;
        walk->next = 0;
    }
    return piece;
}

static double tangent_at(const evn_road_piece *piece, double place_m)
{
    double share = (place_m - piece->begin_m) / (piece->end_m - piece->begin_m);
    return piece->tangent_begin + (piece->tangent_end - piece->tangent_begin) * share;
}

bool evn_road_walk_next(evn_road_walk *walk, evn_road_piece *out)
{
    if (!(walk->at_m < walk->length_m))
        return false;
    do {
        *out = next_of_profile(walk);
    } while (out->end_m <= out->begin_m);
    if (out->end_m > walk->length_m) {
        out->tangent_end = tangent_at(out, walk->length_m);
        out->end_m = walk->length_m;
    } else if (walk->length_m - out->end_m < REST_OF_ROAD_M) {
        out->end_m = walk->length_m;
    }
    walk->at_m = out->end_m;
    return true;
}

/*
 * The integral of sin(atan p) = p / sqrt(1 + p^2) over a line p of slope k is (sqrt(1 + p1^2) - sqrt(1 + p0^2)) / k.
 * Written as a quotient of sums, k cancels: nothing is lost where the slope of p is small, and a constant p needs no
 * case of its own.
 */
static double rise_m(double way_m, double p0, double p1)
{
    return way_m * (p0 + p1) / (sqrt(1.0 + p0 * p0) + sqrt(1.0 + p1 * p1));
}

double evn_road_piece_rise_m(const evn_road_piece *piece)
{
    return rise_m(piece->end_m - piece->begin_m, piece->tangent_begin, piece->tangent_end);
}

double evn_road_height_m(const evn_road_stretch *stretch, double place_m)
{
    double way_m = place_m - stretch->begin_m;
    double p0 = stretch->tangent_begin;
    return stretch->height_begin_m + rise_m(way_m, p0, p0 + stretch->tangent_slope * way_m);
}

/* ------------------------------------------------------------------------------------------------ building */

typedef struct rough_stretch { /* a piece, the surface on it, and where it leads */
    evn_road_piece piece;
    evn_footing footing;
    double heading_deg; /* NAN: not known */
} rough_stretch;

static bool same_heading(double a, double b) { return a == b || (isnan(a) && isnan(b)); }

/* True when the point between the two lies on the straight line through their ends, and surface and heading go on. */
static bool is_one_line(const rough_stretch *a, const rough_stretch *b)
{
    evn_road_piece whole = {a->piece.begin_m, b->piece.end_m, a->piece.tangent_begin, b->piece.tangent_end};
    double line = tangent_at(&whole, a->piece.end_m);
    return evn_same_footing(&a->footing, &b->footing) && same_heading(a->heading_deg, b->heading_deg) &&
           fabs(line - a->piece.tangent_end) <= ON_THE_LINE && fabs(line - b->piece.tangent_begin) <= ON_THE_LINE;
}

typedef struct paver { /* lays stretches one behind the other */
    rough_stretch *laid;
    size_t count;
} paver;

static void lay(paver *onto, rough_stretch next)
{
    rough_stretch *last = onto->count > 0 ? &onto->laid[onto->count - 1] : NULL;
    if (last && is_one_line(last, &next)) {
        last->piece.end_m = next.piece.end_m;
        last->piece.tangent_end = next.piece.tangent_end;
    } else {
        onto->laid[onto->count++] = next;
    }
}

static size_t count_pieces(const evn_cycle_file *cycle, double length_m)
{
    evn_road_walk walk = evn_road_walk_start(cycle->road, length_m);
    evn_road_piece piece;
    size_t count = 0;
    while (evn_road_walk_next(&walk, &piece))
        count++;
    return count;
}

/* Steps of surface or heading nearer than this to a point of the road are taken to be there. */
static bool splits(const evn_road_piece *piece, double step_m)
{
    return step_m - piece->begin_m >= REST_OF_ROAD_M && piece->end_m - step_m >= REST_OF_ROAD_M;
}

/* What the asked surface, where one is, makes of the cycle's own. */
static evn_footing as_asked(evn_footing of, size_t surface)
{
    return surface > 0 ? evn_footing_as(of, &evn_surface_kinds[surface - 1]) : of;
}

typedef struct steps_ahead { /* of surface and heading: those that hold, and those not yet passed */
    const evn_surface_file *surface;
    const evn_heading_file *heading;
    size_t asked, next_surface, next_heading;
    evn_footing footing;
    double heading_deg;
} steps_ahead;

static double next_at(const evn_list *places, size_t next)
{
    return next < places->count ? places->at[next] : (double)INFINITY;
}

static double next_step_m(const steps_ahead *s)
{
    return fmin(next_at(&s->surface->place_m, s->next_surface), next_at(&s->heading->place_m, s->next_heading));
}

/* All that begins at the place of the next step. */
static void take_step(steps_ahead *s)
{
    double step_m = next_step_m(s);
    if (next_at(&s->surface->place_m, s->next_surface) == step_m)
        s->footing = as_asked(evn_footing_from(s->surface, s->next_surface++), s->asked);
    if (next_at(&s->heading->place_m, s->next_heading) == step_m)
        s->heading_deg = s->heading->heading_deg.at[s->next_heading++];
}

static void lay_all(paver *onto, const evn_cycle_file *cycle, double length_m, size_t asked)
{
    static const evn_surface_file no_surface;
    static const evn_heading_file no_heading;
    steps_ahead ahead = {.surface = cycle->surface ? cycle->surface : &no_surface,
                         .heading = cycle->heading ? cycle->heading : &no_heading,
                         .asked = asked,
                         .footing = as_asked(evn_footing_before(), asked),
                         .heading_deg = (double)NAN};
    evn_road_walk walk = evn_road_walk_start(cycle->road, length_m);
    evn_road_piece piece;
    while (evn_road_walk_next(&walk, &piece)) {
        while (piece.end_m - next_step_m(&ahead) >= REST_OF_ROAD_M) {
            double step_m = next_step_m(&ahead);
            if (splits(&piece, step_m)) {
                evn_road_piece first = {piece.begin_m, step_m, piece.tangent_begin, tangent_at(&piece, step_m)};
                lay(onto, (rough_stretch){first, ahead.footing, ahead.heading_deg});
                piece.begin_m = step_m;
                piece.tangent_begin = first.tangent_end;
            }
            take_step(&ahead);
        }
        lay(onto, (rough_stretch){piece, ahead.footing, ahead.heading_deg});
    }
}

static void finish(evn_road_stretch *road, const rough_stretch *laid, size_t count)
{
    double height_m = 0.0;
    for (size_t i = 0; i < count; i++) {
        const evn_road_piece *piece = &laid[i].piece;
        road[i] = (evn_road_stretch){
            .begin_m = piece->begin_m,
            .end_m = piece->end_m,
            .tangent_begin = piece->tangent_begin,
            .tangent_slope = (piece->tangent_end - piece->tangent_begin) / (piece->end_m - piece->begin_m),
            .rolling_factor = laid[i].footing.rolling_factor,
            .has_heading = !isnan(laid[i].heading_deg),
            .heading_rad = laid[i].heading_deg * EVN_PI / 180,
            .height_begin_m = height_m,
            .adhesion = laid[i].footing.adhesion,
            .adhesion_other_side = laid[i].footing.adhesion_other_side,
        };
        height_m += evn_road_piece_rise_m(piece);
    }
}

/* The way back: the last stretch first, what rose falls. Joints are the same differences on both sides, to the bit. */
static void turn_round(rough_stretch *laid, size_t count, double length_m)
{
    for (size_t i = 0; i < count; i++) {
        evn_road_piece *p = &laid[i].piece;
        *p = (evn_road_piece){length_m - p->end_m, length_m - p->begin_m, -p->tangent_end, -p->tangent_begin};
        laid[i].heading_deg += laid[i].heading_deg < 180 ? 180 : -180;
    }
    for (size_t i = 0; i < count / 2; i++) {
        rough_stretch first = laid[i];
        laid[i] = laid[count - 1 - i];
        laid[count - 1 - i] = first;
    }
}

bool evn_road_build(evn_course *course, const evn_cycle_file *cycle, const evn_course_ask *ask, evn_report *report)
{
    size_t most = count_pieces(cycle, course->length_m) + (cycle->surface ? cycle->surface->place_m.count : 0) +
                  (cycle->heading ? cycle->heading->place_m.count : 0);
    paver onto = {calloc(most, sizeof *onto.laid), 0};
    if (onto.laid) {
        lay_all(&onto, cycle, course->length_m, ask->surface);
        if (ask->reversed)
            turn_round(onto.laid, onto.count, course->length_m);
        course->road = calloc(onto.count, sizeof *course->road);
    }
    if (course->road) {
        finish(course->road, onto.laid, onto.count);
        course->road_count = onto.count;
    } else {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "no memory for the road of the course");
    }
    free(onto.laid);
    return course->road;
}
