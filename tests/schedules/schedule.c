/*
 * Records the schedule of a run from behind its integrator, which is restarted after every event: there the trip is
 * looked at. And holds two of them against each other.
 */
#include "schedule.h"
#include "trip/trip.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ values of lanes */

enum { LIMITS = EVN_BY_SHIFT + 1 };

enum { GEAR = 256, BRANCHES = 65536 };

static int setting_value(evn_setting s)
{
    return BRANCHES * s.open + (evn_is_open(s) ? 0 : GEAR * (s.gear + 1) + s.engaged);
}

/* A change under way counts as done: what is recorded is when it begins. */
static int value_now(const evn_trip *t, size_t lane)
{
    if (lane == SCHEDULE_MOTION)
        return (int)t->motion;
    if (lane == SCHEDULE_LIMIT)
        return (int)t->pull + LIMITS * (int)t->push;
    const evn_box *box = &t->box[lane - SCHEDULE_UNIT];
    return setting_value(box->shifting || box->closing ? box->next : box->now);
}

static void say_value(const schedule *s, size_t lane, int value, char *out, size_t bytes)
{
    static const char *const motions[] = {"moving", "standing", "ended"};
    static const char *const limits[] = {"no limit", "motors", "battery", "adhesion", "a pause"};
    if (lane == SCHEDULE_MOTION)
        snprintf(out, bytes, "%s", motions[value]);
    else if (lane == SCHEDULE_LIMIT && value >= LIMITS)
        snprintf(out, bytes, "limited by %s, braking", limits[value / LIMITS]);
    else if (lane == SCHEDULE_LIMIT)
        snprintf(out, bytes, "limited by %s", limits[value]);
    else if (value % BRANCHES == 0)
        snprintf(out, bytes, "%s disconnected", s->rig->unit[lane - SCHEDULE_UNIT].name);
    else
        snprintf(out, bytes, "%s in gear %d with motors %#x, branches %#x open",
                 s->rig->unit[lane - SCHEDULE_UNIT].name, value % BRANCHES / GEAR, (unsigned)value % GEAR,
                 (unsigned)value / BRANCHES);
}

/* ------------------------------------------------------------------------------------------------ recording */

static bool add(schedule_lane *lane, schedule_span span)
{
    if (lane->count == lane->room) {
        size_t room = lane->room > 0 ? 2 * lane->room : 64;
        schedule_span *more = realloc(lane->span, room * sizeof *more);
        if (!more)
            return false;
        lane->span = more;
        lane->room = room;
    }
    lane->span[lane->count++] = span;
    return true;
}

static void look(schedule *s, const evn_trip *t)
{
    double place_m = t->y[EVN_Y_PLACE];
    for (size_t k = 0; k < SCHEDULE_UNIT + t->rig->unit_count; k++) {
        schedule_lane *lane = &s->lane[k];
        int value = value_now(t, k);
        if (lane->count == 0 || lane->span[lane->count - 1].value != value)
            s->lost = !add(lane, (schedule_span){value, t->t, place_m}) || s->lost;
    }
}

/* The integrator of the run, with one more behind it that does the work. */
struct evn_solver {
    evn_system system;
    schedule *to;
    evn_solver *within;
};

static evn_solver *create(const evn_system *system)
{
    evn_solver *s = calloc(1, sizeof *s);
    if (s)
        s->system = *system;
    return s;
}

static void restart(evn_solver *s, double time_s, const double *y, const evn_pace *pace)
{
    const evn_trip *trip = s->system.self;
    s->to = trip->watch->self;
    if (!s->within)
        s->within = s->to->kind->create(&s->system);
    s->to->lost = s->to->lost || !s->within;
    look(s->to, trip);
    if (s->within)
        s->to->kind->restart(s->within, time_s, y, pace);
}

static evn_reached go(evn_solver *s, double until, double *time_s, double *y, uint64_t *hit)
{
    return s->within ? s->to->kind->go(s->within, until, time_s, y, hit) : EVN_GAVE_UP;
}

static void look_back(evn_solver *s, double time_s, double *y) { s->to->kind->look_back(s->within, time_s, y); }
static const char *why_not(const evn_solver *s) { return s->within ? s->to->kind->why(s->within) : "memory ran out"; }

static void drop(evn_solver *s)
{
    if (s->within) {
        const evn_trip *trip = s->system.self;
        s->to->end_s = trip->t;
        s->to->end_m = trip->y[EVN_Y_PLACE];
        s->to->status = trip->status;
        s->to->events = trip->events;
        s->to->kind->drop(s->within);
    }
    free(s);
}

static const evn_solver_kind recording = {"recording", create, restart, go, look_back, why_not, drop};

bool schedule_drive(const evn_rig *rig, const evn_course *course, const evn_driving *driving,
                    const evn_solver_kind *kind, schedule *out, evn_report *report)
{
    *out = (schedule){.rig = rig, .kind = kind};
    evn_watch watch = {.self = out};
    evn_results *results = NULL;
    evn_drive_course(rig, course, driving, &watch, &recording, &results, report);
    bool driven = results && evn_results_get(results, "battery_kwh", &out->battery_kwh);
    evn_results_free(results);
    return driven && !out->lost;
}

void schedule_free(schedule *s)
{
    for (size_t k = 0; k < SCHEDULE_LANES; k++)
        free(s->lane[k].span);
    *s = (schedule){0};
}

/* ------------------------------------------------------------------------------------------------ comparing */

static bool same_time(double a_s, double b_s)
{
    return fabs(a_s - b_s) <= SCHEDULE_TIME_S + SCHEDULE_SHARE * fmax(a_s, b_s);
}
static bool same_place(double a_m, double b_m)
{
    return fabs(a_m - b_m) <= SCHEDULE_PLACE_M + SCHEDULE_SHARE * fmax(a_m, b_m);
}
static bool same_span(schedule_span a, schedule_span b)
{
    return a.value == b.value && same_time(a.time_s, b.time_s) && same_place(a.place_m, b.place_m);
}

static double length_s(const schedule *s, const schedule_lane *lane, size_t k)
{
    return (k + 1 < lane->count ? lane->span[k + 1].time_s : s->end_s) - lane->span[k].time_s;
}

/* What came before goes on in its place. */
static void leave_out(schedule_lane *lane, size_t k)
{
    size_t until = k + 1;
    if (k > 0 && until < lane->count && lane->span[k - 1].value == lane->span[until].value)
        until++;
    memmove(lane->span + k, lane->span + until, (lane->count - until) * sizeof *lane->span);
    lane->count -= until - k;
}

static bool copy(const schedule_lane *from, schedule_lane *to)
{
    *to = (schedule_lane){malloc((from->count + 1) * sizeof *to->span), from->count, from->count + 1};
    if (to->span && from->count > 0)
        memcpy(to->span, from->span, from->count * sizeof *to->span);
    return to->span;
}

/* The shortest of them; the count where there is none. */
static size_t shortest(const schedule *s, const schedule_lane *lane)
{
    size_t least = lane->count;
    for (size_t k = 0; k < lane->count; k++)
        if (least == lane->count || length_s(s, lane, k) < length_s(s, lane, least))
            least = k;
    return least;
}

/* Without limits, and breaks between two of them, that last no longer than counts: the shortest first, so that a limit
 * which was left for a moment is one. */
static bool copy_held(const schedule *s, const schedule_lane *from, schedule_lane *to)
{
    if (!copy(from, to))
        return false;
    for (size_t k; (k = shortest(s, to)) < to->count && length_s(s, to, k) <= SCHEDULE_HELD_S;)
        leave_out(to, k);
    return true;
}

/* So little longer than what counts that the other schedule may have it a little shorter. */
static bool barely_held(const schedule *s, const schedule_lane *lane, size_t k)
{
    if (k >= lane->count)
        return false;
    return length_s(s, lane, k) <= SCHEDULE_HELD_S + SCHEDULE_TIME_S + SCHEDULE_SHARE * lane->span[k].time_s;
}

/* Where two lanes differ first; the greater count of spans, where they are the same. Limits barely held are left out
 * on the way. */
static size_t first_difference(const schedule *a, schedule_lane *in_a, const schedule *b, schedule_lane *in_b,
                               bool limits)
{
    size_t k = 0;
    while (k < in_a->count || k < in_b->count) {
        if (k < in_a->count && k < in_b->count && same_span(in_a->span[k], in_b->span[k])) {
            k++;
            continue;
        }
        if (limits && barely_held(a, in_a, k))
            leave_out(in_a, k);
        else if (limits && barely_held(b, in_b, k))
            leave_out(in_b, k);
        else
            break;
        k -= k > 0;
    }
    return k;
}

typedef struct difference {
    double time_s; /* INFINITY: none */
    size_t lane;
    schedule_span in_a, in_b; /* NAN: none there */
} difference;

static schedule_span span_at(const schedule_lane *lane, size_t k)
{
    return k < lane->count ? lane->span[k] : (schedule_span){0, (double)NAN, (double)NAN};
}

/* False: memory ran out. */
static bool look_for_difference(const schedule *a, const schedule *b, size_t lane, difference *earliest)
{
    bool limits = lane == SCHEDULE_LIMIT;
    schedule_lane in_a = {0}, in_b = {0};
    bool ok = limits ? copy_held(a, &a->lane[lane], &in_a) && copy_held(b, &b->lane[lane], &in_b)
                     : copy(&a->lane[lane], &in_a) && copy(&b->lane[lane], &in_b);
    if (ok) {
        size_t k = first_difference(a, &in_a, b, &in_b, limits);
        schedule_span x = span_at(&in_a, k), y = span_at(&in_b, k);
        double time_s = fmin(x.time_s, y.time_s); /* of a number and none, the number */
        if ((k < in_a.count || k < in_b.count) && time_s < earliest->time_s)
            *earliest = (difference){time_s, lane, x, y};
    }
    free(in_a.span);
    free(in_b.span);
    return ok;
}

static void say_span(const schedule *s, size_t lane, schedule_span span, char *out, size_t bytes)
{
    char value[80];
    if (isnan(span.time_s)) {
        snprintf(out, bytes, "nothing");
        return;
    }
    say_value(s, lane, span.value, value, sizeof value);
    snprintf(out, bytes, "%s from %.4f s, %.2f m", value, span.time_s, span.place_m);
}

bool schedule_same(const schedule *a, const schedule *b, char *why, size_t bytes)
{
    difference d = {.time_s = (double)INFINITY};
    char in_a[160], in_b[160];
    for (size_t lane = 0; lane < SCHEDULE_LANES; lane++)
        if (!look_for_difference(a, b, lane, &d)) {
            snprintf(why, bytes, "memory ran out");
            return false;
        }
    if (d.time_s < (double)INFINITY) {
        say_span(a, d.lane, d.in_a, in_a, sizeof in_a);
        say_span(b, d.lane, d.in_b, in_b, sizeof in_b);
        snprintf(why, bytes, "%s against %s", in_a, in_b);
        return false;
    }
    bool ends = a->status == b->status && same_time(a->end_s, b->end_s) && same_place(a->end_m, b->end_m);
    if (!ends)
        snprintf(why, bytes, "%s at %.4f s, %.2f m against %s at %.4f s, %.2f m", evn_trip_status_names[a->status],
                 a->end_s, a->end_m, evn_trip_status_names[b->status], b->end_s, b->end_m);
    return ends;
}
