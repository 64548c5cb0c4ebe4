/* Points of a ceiling, and the plan of a course cut below it. */
#include "cycle/ceiling.h"
#include "cycle/plan.h"
#include <math.h>
#include <stdlib.h>

/* A plan that is not at rest by itself is not brought there by a ceiling. */
#define LEAST_V2 (EVN_REST_BELOW_M_S * EVN_REST_BELOW_M_S)

/* ------------------------------------------------------------------------------------------------ points */

void evn_ceiling_clear(evn_ceiling *c)
{
    free(c->at);
    *c = (evn_ceiling){0};
}

bool evn_ceiling_add(evn_ceiling *c, double place_m, double v2)
{
    evn_ceiling_point *last = c->count > 0 ? &c->at[c->count - 1] : NULL;
    if (last && place_m - last->place_m < EVN_CEILING_APART_M) {
        if (v2 < LEAST_V2 &&
            last->v2 >= LEAST_V2) /* else who rests there would creep on from where the other point was */
            last->place_m = place_m;
        last->v2 = fmin(last->v2, v2);
        return true;
    }
    if (c->count == c->room) {
        size_t room = c->room > 0 ? 2 * c->room : 64;
        evn_ceiling_point *larger = realloc(c->at, room * sizeof *larger);
        if (!larger)
            return false;
        c->at = larger;
        c->room = room;
    }
    c->at[c->count++] = (evn_ceiling_point){place_m, v2};
    return true;
}

static double between(const evn_ceiling_point *a, const evn_ceiling_point *b, double place_m)
{
    return a->v2 + (b->v2 - a->v2) * ((place_m - a->place_m) / (b->place_m - a->place_m));
}

/* How many points lie at or before this place. */
static size_t points_until(const evn_ceiling *c, double place_m)
{
    size_t low = 0, high = c->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (c->at[middle].place_m <= place_m)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

double evn_ceiling_v2(const evn_ceiling *c, double place_m)
{
    size_t passed = points_until(c, place_m);
    if (c->count == 0)
        return (double)INFINITY;
    if (passed == 0 || passed == c->count)
        return c->at[passed == 0 ? 0 : c->count - 1].v2;
    return between(&c->at[passed - 1], &c->at[passed], place_m);
}

/* ------------------------------------------------------------------------------------------------ the lower of two */

/* Where two straight lines cross between two places, from their differences there; NAN: they do not. */
static double crossing_m(double from_m, double to_m, double begin, double end)
{
    bool crosses = (begin < 0) != (end < 0) && begin != 0 && end != 0;
    return crosses ? from_m + (to_m - from_m) * (begin / (begin - end)) : (double)NAN;
}

/* The next place of either; INFINITY behind the last of both. */
static double next_place(const evn_ceiling *a, size_t *i, const evn_ceiling *b, size_t *k)
{
    double x = *i < a->count ? a->at[*i].place_m : (double)INFINITY;
    double y = *k < b->count ? b->at[*k].place_m : (double)INFINITY;
    *i += x <= y && *i < a->count;
    *k += y <= x && *k < b->count;
    return fmin(x, y);
}

bool evn_ceiling_lower(evn_ceiling *c, const evn_ceiling *by)
{
    evn_ceiling made = {0};
    size_t i = 0, k = 0;
    bool all = true;
    double before_m = (double)NAN, before = 0;
    for (double at_m = next_place(c, &i, by, &k); all && at_m < (double)INFINITY; at_m = next_place(c, &i, by, &k)) {
        double one = evn_ceiling_v2(c, at_m), other = evn_ceiling_v2(by, at_m);
        double apart = isfinite(one) && isfinite(other) ? one - other : 0;
        double corner_m = isnan(before_m) ? (double)NAN : crossing_m(before_m, at_m, before, apart);
        if (corner_m - before_m > EVN_CEILING_APART_M && at_m - corner_m > EVN_CEILING_APART_M)
            all = evn_ceiling_add(&made, corner_m, evn_ceiling_v2(c, corner_m));
        all = all && evn_ceiling_add(&made, at_m, fmin(one, other));
        before_m = at_m;
        before = apart;
    }
    if (!all) {
        evn_ceiling_clear(&made);
        return false;
    }
    evn_ceiling_clear(c);
    *c = made;
    return true;
}

/* ------------------------------------------------------------------------------------------------ thinning */

typedef struct cone { /* slopes of lines from a point that pass near enough to all points behind it */
    double least, most;
} cone;

static void narrow(cone *slopes, const evn_ceiling_point *from, const evn_ceiling_point *by, double share)
{
    double way_m = by->place_m - from->place_m, room = share * by->v2;
    slopes->least = fmax(slopes->least, (by->v2 - room - from->v2) / way_m);
    slopes->most = fmin(slopes->most, (by->v2 + room - from->v2) / way_m);
}

static bool holds(const cone *slopes, const evn_ceiling_point *from, const evn_ceiling_point *to)
{
    double slope = (to->v2 - from->v2) / (to->place_m - from->place_m);
    return slope >= slopes->least && slope <= slopes->most;
}

/* The furthest point that a line from this one may go to. */
static size_t reach(const evn_ceiling *c, size_t from, double share)
{
    cone slopes = {-(double)INFINITY, (double)INFINITY};
    size_t furthest = from + 1;
    for (size_t k = from + 1; k < c->count && slopes.least <= slopes.most; k++) {
        if (holds(&slopes, &c->at[from], &c->at[k]))
            furthest = k;
        if (c->at[k].v2 < LEAST_V2)
            break;
        narrow(&slopes, &c->at[from], &c->at[k], share);
    }
    return furthest;
}

void evn_ceiling_thin(evn_ceiling *c, double share)
{
    size_t kept = 0, at = 0;
    while (at + 1 < c->count) {
        size_t next = reach(c, at, share);
        c->at[kept++] = c->at[at];
        at = next;
    }
    if (at < c->count)
        c->at[kept++] = c->at[at];
    c->count = kept;
}

/* ------------------------------------------------------------------------------------------------ cutting a plan */

typedef enum piece_kind { BETWEEN, ON_PLAN, ON_CEILING } piece_kind; /* on whose line both of its ends lie */

typedef struct cutter {
    const evn_ceiling *ceiling;
    evn_plan_stretch *out;
    size_t count;
    const evn_plan_stretch *whole; /* that is being cut */
    double at_m, v2, ceiling_v2;   /* how far it is cut */
    piece_kind last;
    bool goes_on; /* the ceiling is straight from the last piece into this stretch */
    bool apart;   /* no piece goes over the end of a stretch */
} cutter;

static double plan_v2(const evn_plan_stretch *p, double place_m)
{
    if (place_m == p->end_m)
        return p->v2_end;
    double share = (place_m - p->begin_m) / (p->end_m - p->begin_m);
    return fmax(p->v2_begin + (p->v2_end - p->v2_begin) * share, 0);
}

/* The lower of both; a plan that the ceiling hardly touches stays as it is, and so do its rests. */
static double lower_of(double plan_v2, double ceiling_v2)
{
    bool touched = ceiling_v2 < plan_v2 - EVN_CEILING_ON_PLAN * (plan_v2 + 1);
    return touched ? fmax(ceiling_v2, fmin(plan_v2, LEAST_V2)) : plan_v2;
}

static void draw_to(cutter *with, double to_m, double v2, piece_kind kind)
{
    bool first = with->at_m == with->whole->begin_m;
    bool on = kind == with->last && (first ? kind == ON_CEILING && with->goes_on : kind == ON_PLAN);
    if (!on) {
        with->out[with->count++] = (evn_plan_stretch){
            .begin_m = with->at_m, .v2_begin = with->v2, .wait_s = first ? with->whole->wait_s : 0.0};
        if (first)
            with->out[with->count - 1].takeoff = with->whole->takeoff;
    }
    evn_plan_stretch *last = &with->out[with->count - 1];
    last->end_m = with->at_m = to_m;
    last->v2_end = with->v2 = v2;
    with->last = kind;
}

static piece_kind kind_of(bool from_on_plan, bool to_on_plan)
{
    return from_on_plan && to_on_plan ? ON_PLAN : from_on_plan || to_on_plan ? BETWEEN : ON_CEILING;
}

/* On to a place up to which the ceiling is straight: at most one corner, where it crosses the plan's line. */
static void cut_to(cutter *with, double to_m)
{
    double plan_to = plan_v2(with->whole, to_m), ceiling_to = evn_ceiling_v2(with->ceiling, to_m);
    double v2 = lower_of(plan_to, ceiling_to), plan_from = plan_v2(with->whole, with->at_m);
    bool from_on = with->v2 == plan_from, to_on = v2 == plan_to;
    double corner_m = from_on != to_on && isfinite(with->ceiling_v2)
                          ? crossing_m(with->at_m, to_m, with->ceiling_v2 - plan_from, ceiling_to - plan_to)
                          : (double)NAN;
    if (corner_m - with->at_m > EVN_CEILING_APART_M && to_m - corner_m > EVN_CEILING_APART_M) {
        draw_to(with, corner_m, plan_v2(with->whole, corner_m), from_on ? ON_PLAN : ON_CEILING);
        draw_to(with, to_m, v2, from_on ? ON_CEILING : ON_PLAN);
    } else {
        draw_to(with, to_m, v2, kind_of(from_on, to_on));
    }
    with->ceiling_v2 = ceiling_to;
}

static void cut_stretch(cutter *with, const evn_plan_stretch *whole)
{
    size_t next = points_until(with->ceiling, whole->begin_m + EVN_CEILING_APART_M);
    with->goes_on = !with->apart && next == points_until(with->ceiling, whole->begin_m - EVN_CEILING_APART_M);
    with->whole = whole;
    with->at_m = whole->begin_m;
    with->ceiling_v2 = evn_ceiling_v2(with->ceiling, whole->begin_m);
    with->v2 = lower_of(whole->v2_begin, with->ceiling_v2);
    for (; next < with->ceiling->count; next++) {
        double place_m = with->ceiling->at[next].place_m;
        if (place_m > whole->end_m - EVN_CEILING_APART_M)
            break;
        cut_to(with, place_m);
    }
    cut_to(with, whole->end_m);
}

static void set_clock(evn_course *course)
{
    double clock_s = course->clock_begin_s;
    for (size_t i = 0; i < course->plan_count; i++) {
        evn_plan_stretch *stretch = &course->plan[i];
        evn_plan_close(stretch);
        clock_s += stretch->wait_s;
        stretch->clock_s = clock_s;
        clock_s += evn_plan_duration_s(stretch->end_m - stretch->begin_m, stretch->v2_begin, stretch->v2_end);
    }
    course->clock_end_s = clock_s + course->final_wait_s;
}

/* Each point of either list begins a piece, and each piece may have one corner more. */
static evn_plan_stretch *pieces_space(const evn_course *course, const evn_ceiling *ceiling, evn_report *report)
{
    return evn_plan_space(2 * (course->plan_count + ceiling->count), report);
}

/* A piece of a stretch of which asked speed and clock stay. */
static void keep_asked(evn_plan_stretch *piece, const evn_plan_stretch *whole)
{
    double way_m = whole->end_m - whole->begin_m, asked = whole->asked_v2_end - whole->asked_v2_begin;
    double from_m = piece->begin_m - whole->begin_m, to_m = piece->end_m - whole->begin_m;
    evn_plan_close(piece);
    piece->asked_v2_begin = from_m > 0 ? whole->asked_v2_begin + asked * (from_m / way_m) : whole->asked_v2_begin;
    piece->asked_v2_end = to_m < way_m ? whole->asked_v2_begin + asked * (to_m / way_m) : whole->asked_v2_end;
    piece->clock_s = whole->clock_s;
    if (from_m > 0)
        piece->clock_s += evn_plan_duration_s(from_m, whole->asked_v2_begin, piece->asked_v2_begin);
    piece->endured = piece->v2_begin < plan_v2(whole, piece->begin_m) || piece->v2_end < plan_v2(whole, piece->end_m);
}

bool evn_course_endure_below(evn_course *course, const evn_ceiling *ceiling, evn_report *report)
{
    evn_plan_stretch *plan = pieces_space(course, ceiling, report);
    if (!plan)
        return false;
    cutter with = {.ceiling = ceiling, .out = plan, .apart = true};
    for (size_t i = 0; i < course->plan_count; i++) {
        size_t first = with.count;
        cut_stretch(&with, &course->plan[i]);
        for (size_t k = first; k < with.count; k++)
            keep_asked(&plan[k], &course->plan[i]);
    }
    free(course->plan);
    course->plan = plan;
    course->plan_count = with.count;
    return true;
}

bool evn_course_lower(evn_course *course, const evn_ceiling *ceiling, evn_report *report)
{
    evn_plan_stretch *plan = pieces_space(course, ceiling, report);
    if (!plan)
        return false;
    cutter with = {.ceiling = ceiling, .out = plan};
    for (size_t i = 0; i < course->plan_count; i++)
        cut_stretch(&with, &course->plan[i]);
    free(course->plan);
    course->plan = plan;
    course->plan_count = with.count;
    free(course->trace_time_s);
    free(course->trace_speed_m_s);
    course->trace_time_s = course->trace_speed_m_s = NULL;
    course->trace_count = 0;
    set_clock(course);
    return true;
}
