/*
 * Settings planned ahead, as far as the motion is prescribed: a dynamic programme over the joint settings of all units
 * (Bellman 1957, Dynamic Programming; from memory), in pieces of the way ahead on which each joint setting loses a
 * known power, and between which each unit changes at its price.
 */
#include "trip/foresight.h"
#include "core/root.h"
#include "pull/beside.h"
#include "pull/change_price.h"
#include "pull/member.h"
#include "pull/prices.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include "trip/way_ahead.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* How far ahead, and in what steps: what is further off decides less. */
static const double HORIZON_S = 300, BENDS_S = 20, LEAST_STEP_S = 0.5, STEP_SHARE = 0.2, MOST_BEHIND_S = 5;
static const double NEAR_S = 3, LOOK_AGAIN_S = 60, LOOK_AGAIN_BEHIND_S = 10, SAME_TIME_S = 1e-9;
enum { MOST_JOINT = 80, MOST_PIECES = 120 };

/* ------------------------------------------------------------------------------------------------ settings */

/* Price of a change at a speed v: fixed_j + by_v2_j v^2 (what synchronising loses goes with the energy of what turns).
 */
typedef struct price {
    double fixed_j, by_v2;
} price;

typedef struct option { /* what a unit may be in */
    const evn_setting *setting;
    size_t count, first,
        stride;         /* first: its first one among those of all units; stride: in the number of the joint setting */
    const price *price; /* [from * count + to] */
} option;

typedef struct choice { /* of all units */
    size_t units, joint, present;
    option of[EVN_UNITS_MAX];
    price pool[MOST_JOINT * MOST_JOINT];
} choice;

static size_t joint_settings(const evn_trip *t)
{
    size_t joint = 1;
    for (size_t u = 0; u < t->rig->unit_count && joint <= MOST_JOINT; u++)
        joint *= evn_heat_holds(t, u) ? 1 : t->rig->unit[u].setting_count;
    return joint;
}

static price price_of_one(evn_instant *n, size_t unit, evn_setting from, evn_setting to)
{
    double v2 = n->pull.at.speed_m_s * n->pull.at.speed_m_s;
    n->pull.at.unit[unit].setting = from;
    evn_change_price p = evn_change_price_at(n, unit, to, false);
    return (price){p.wear_j + p.stated_j, p.synchronising_j / v2};
}

/* Branches open and close by themselves, with gear and motors as they are: where both differ it is two changes. */
static price price_between(evn_instant *n, size_t unit, evn_setting from, evn_setting to)
{
    evn_setting between = to;
    between.open = from.open;
    if (evn_same_setting(from, to))
        return (price){0, 0};
    if (evn_same_setting(from, between) || evn_same_setting(between, to))
        return price_of_one(n, unit, from, to);
    price first = price_of_one(n, unit, from, between), then = price_of_one(n, unit, between, to);
    return (price){first.fixed_j + then.fixed_j, first.by_v2 + then.by_v2};
}

static size_t number_of(const option *o, evn_setting s)
{
    for (size_t k = 0; k < o->count; k++)
        if (evn_same_setting(o->setting[k], s))
            return k;
    return 0;
}

/* Prices do not need the instant beyond its settings and speed, as long as changes take no time. */
static void choice_of(const evn_trip *t, const evn_given *now, evn_instant *scratch, choice *c)
{
    static const double ANY_M_S = 10;
    price *free_pool = c->pool;
    size_t first = 0;
    c->units = t->rig->unit_count;
    c->joint = 1;
    c->present = 0;
    for (size_t u = 0; u < c->units; u++) {
        const evn_unit *unit = &t->rig->unit[u];
        bool held = evn_heat_holds(t, u);
        option *o = &c->of[u];
        *o = (option){.setting = held ? &now->unit[u].setting : unit->setting,
                      .count = held ? 1 : unit->setting_count,
                      .first = first,
                      .stride = c->joint,
                      .price = free_pool};
        first += o->count;
        scratch->pull.at = *now;
        scratch->pull.at.speed_m_s = ANY_M_S;
        for (size_t i = 0; i < o->count * o->count && o->count > 1; i++)
            *free_pool++ = price_between(scratch, u, o->setting[i / o->count], o->setting[i % o->count]);
        c->present += c->joint * number_of(o, now->unit[u].setting);
        c->joint *= o->count;
    }
}

static size_t setting_in(const option *o, size_t joint) { return joint / o->stride % o->count; }

/* ------------------------------------------------------------------------------------------------ one piece */

typedef struct piece {
    evn_ahead at; /* where it begins */
    double begin_s, length_s, accel_m_s2;
    bool held_back; /* behind the plan, in all settings */
    double w[MOST_JOINT];
    uint8_t to[MOST_JOINT]; /* what each joint setting is left for where the piece begins */
} piece;

typedef struct evn_foresight {
    choice choice;
    evn_given now;
    double now_m_s2; /* acceleration that it has now */
    evn_instant is;
    evn_member member[MOST_JOINT + EVN_UNITS_MAX]; /* of the first unit's settings, the second's, ... */
    double missing_n[MOST_JOINT], least_missing_n; /* at the instant that was weighed last */
    double short_m_s2; /* of the acceleration that it was weighed at, in the setting that has most of it */
    piece piece[MOST_PIECES];
    size_t pieces;
} programme;

/*
 * What cannot be taken costs so much that nothing else counts, and little enough to be added up; what would not stay,
 * or leaves the plan, a hundredth: where nothing else is left, it is still taken before what cannot be.
 */
static const double NEVER_W = 1e11, RULED_OUT_W = 1e9;
static const double SLACK_N = 1; /* what is missing less than this is not */
/* Of the force: a setting that just gives it here may not a step further on, and would have to be left at once. */
static const double RESERVE = 1e-3;

static evn_team team_of(const programme *p, size_t joint)
{
    const choice *c = &p->choice;
    evn_team team;
    team.connected = 0;
    for (size_t u = 0; u < c->units; u++) {
        team.unit[u] = p->member[c->of[u].first + setting_in(&c->of[u], joint)];
        team.connected += team.unit[u].connected;
    }
    return team;
}

static void find_members(programme *p)
{
    const choice *c = &p->choice;
    for (size_t u = 0; u < c->units; u++)
        for (size_t k = 0; k < c->of[u].count; k++)
            p->member[c->of[u].first + k] = evn_pull_member(&p->is.pull, u, c->of[u].setting[k], false);
}

/* Mass that all stands for that turns with the units. */
static double turning_kg(const evn_instant *n, const evn_team *team)
{
    double sum_kg = 0;
    for (size_t u = 0; u < n->pull.at.rig->unit_count; u++)
        sum_kg += team->unit[u].turning_kg;
    return sum_kg;
}

/* At the terminals, out of the pack. */
static double load_w(const evn_instant *n, const evn_team *team, const evn_cost *cost)
{
    evn_flow unbooked = {{0}};
    const evn_given *at = &n->pull.at;
    double wheels_w = (cost->given_n + turning_kg(n, team) * n->accel_m_s2) * at->speed_m_s;
    return cost->losses_w + wheels_w + evn_beside_w(at, &unbooked, NULL);
}

/*
 * Losses, what friction brakes burn though motors could have taken it, or the pack refuses, and what is missing: it is
 * made up for later. What the pack does not give is missing too.
 */
static void weigh_joint(programme *p, size_t joint, double *w)
{
    const evn_instant *n = &p->is;
    evn_team team = team_of(p, joint);
    evn_cost cost;
    *w = NEVER_W;
    p->missing_n[joint] = 0;
    if (!evn_instant_cost(n, &team, &cost))
        return;
    double v = n->pull.at.speed_m_s, load = load_w(n, &team, &cost);
    double not_given_w = fmax(load - n->pull.feed.most_w, 0), refused_w = fmax(-n->pull.feed.charge_w - load, 0);
    *w = evn_cost_w(&cost, v) + refused_w;
    p->missing_n[joint] = cost.missing_n + not_given_w / fmax(v, 1);
    double moved_kg = n->pull.road.mass_kg + turning_kg(n, &team); /* slower, what turns takes less too */
    p->short_m_s2 = fmin(p->short_m_s2, fmax(p->missing_n[joint], 0) / moved_kg);
}

/* Where units do not give what is wanted, all that is open closes, and all motors are engaged (changes.c). */
static bool would_be_undone(const programme *p, size_t joint, bool pulling)
{
    const evn_given *at = &p->is.pull.at;
    bool closes = pulling || at->speed_m_s > at->rig->fade_from_m_s;
    for (size_t u = 0; u < p->choice.units; u++) {
        evn_setting s = p->choice.of[u].setting[setting_in(&p->choice.of[u], joint)];
        if (evn_is_open(s) ? closes : (closes && s.open != 0) || !evn_has_all_engaged(&at->rig->unit[u], s))
            return true;
    }
    return false;
}

/*
 * What does not bring the force is held back by motors, or by the tyres of one axle alone. On the plan the truck would
 * leave it, where another setting brings more: by little it may, as behind the plan it may fall back a little further
 * for what that saves. And whatever is open closes at the very instant at which a limit begins to bind, pushing too.
 */
static void rule_out(programme *p, const piece *x, double w[])
{
    static const double LITTLE = 0.005; /* of the force */
    double slack_n = SLACK_N + LITTLE * fabs(p->is.need_n);
    for (size_t j = 0; j < p->choice.joint; j++) {
        bool pulling = p->missing_n[j] > SLACK_N, pushing = p->missing_n[j] < -SLACK_N;
        bool leaves = !x->at.behind && pulling && p->missing_n[j] > p->least_missing_n + slack_n;
        if (leaves || (((pulling && !x->held_back) || pushing) && would_be_undone(p, j, pulling)))
            w[j] += RULED_OUT_W;
    }
}

static void weigh(programme *p, const piece *x, const evn_ahead *at, double w[])
{
    evn_ahead_outline(&p->now, at, x->accel_m_s2, &p->is);
    p->is.need_n *= 1 + RESERVE;
    find_members(p);
    p->least_missing_n = p->short_m_s2 = (double)INFINITY;
    for (size_t j = 0; j < p->choice.joint; j++) {
        weigh_joint(p, j, &w[j]);
        if (w[j] < NEVER_W)
            p->least_missing_n = fmin(p->least_missing_n, fmax(p->missing_n[j], 0));
    }
    rule_out(p, x, w);
}

/* ------------------------------------------------------------------------------------------------ the programme */

static double plan_accel_m_s2(const evn_ahead *a) { return a->trip->course->plan[a->plan_at].accel_m_s2; }

/*
 * A piece on the plan ends where this bends: near by at every bend, further off at the last one that is about as far.
 * Likewise where the road bends: what is weighed in the middle of a piece is its mean where all goes straight over it.
 */
static double piece_on_plan_s(evn_ahead at, double begin_s)
{
    static const double FROM = 0.2, TO = 1.2; /* of the step */
    double step_s = fmax(LEAST_STEP_S, STEP_SHARE * begin_s), ends_s = step_s, at_s = 0;
    for (bool ends = false; !ends && !at.stopped;) {
        at_s += evn_ahead_kink_s(&at);
        if (at_s > TO * step_s)
            break;
        bool bends = evn_ahead_to_kink(&at);
        ends = bends && begin_s < BENDS_S;
        if (ends || at_s >= FROM * step_s)
            ends_s = at_s;
    }
    return ends_s;
}

/* Weighed in its middle. False: no setting holds the plan there. */
static bool look_on_plan(programme *p, piece *x, evn_ahead *a)
{
    evn_ahead end = *a, middle = *a;
    x->length_s = piece_on_plan_s(*a, x->begin_s);
    x->length_s -= evn_ahead_go(&end, x->length_s);
    if (x->length_s >= SAME_TIME_S) {
        evn_ahead_go(&middle, 0.5 * x->length_s);
        x->accel_m_s2 = plan_accel_m_s2(&middle);
        weigh(p, x, &middle, x->w);
        if (p->least_missing_n > SLACK_N)
            return false;
    }
    *a = end;
    return true;
}

/* Behind the plan what is missing in the best setting, in the middle of the piece, says how fast it goes on. */
static void look_behind(programme *p, piece *x, evn_ahead *a)
{
    x->length_s = fmin(fmax(LEAST_STEP_S, STEP_SHARE * x->begin_s), MOST_BEHIND_S);
    double asked_m_s2 = evn_ahead_asks(a, x->length_s);
    double before_m_s2 = p->pieces > 0 ? p->piece[p->pieces - 1].accel_m_s2 : p->now_m_s2;
    evn_ahead middle = *a;
    evn_ahead_go_behind(&middle, 0.5 * x->length_s, fmin(asked_m_s2, before_m_s2));
    x->accel_m_s2 = asked_m_s2;
    weigh(p, x, &middle, x->w);
    x->held_back = isfinite(p->least_missing_n) && p->least_missing_n > SLACK_N;
    if (x->held_back) { /* weighed at what it has of it: rotors of a low gear take more of what is asked for */
        x->accel_m_s2 -= p->short_m_s2;
        weigh(p, x, &middle, x->w);
    }
    evn_ahead_go_behind(a, x->length_s, x->accel_m_s2);
}

static void look_ahead(programme *p, evn_ahead a)
{
    double at_s = 0;
    p->pieces = 0;
    while (p->pieces < MOST_PIECES && at_s < HORIZON_S && !a.stopped) {
        piece *x = &p->piece[p->pieces];
        x->begin_s = at_s;
        x->at = a;
        x->held_back = false;
        if (!a.behind)
            a.behind = !look_on_plan(p, x, &a);
        if (a.behind) {
            x->at.behind = true;
            look_behind(p, x, &a);
        }
        at_s += x->length_s;
        p->pieces += x->length_s >= SAME_TIME_S;
    }
}

/* The least where one unit may change first, in place. Where now and later cost the same it is later, else the last
 * digits would decide. */
static const double SAME_J = 1;
static void relax(const choice *c, size_t unit, double v2, double cost_j[], uint8_t to[])
{
    const option *o = &c->of[unit];
    double least_j[MOST_JOINT];
    uint8_t best[MOST_JOINT];
    for (size_t j = 0; j < c->joint; j++) {
        size_t from = setting_in(o, j), base = j - from * o->stride;
        least_j[j] = cost_j[j];
        best[j] = to[j];
        for (size_t k = 0; k < o->count; k++) {
            const price *p = &o->price[from * o->count + k];
            size_t there = base + k * o->stride;
            double changed_j = cost_j[there] + p->fixed_j + p->by_v2 * v2;
            if (k != from && changed_j < least_j[j] - SAME_J) {
                least_j[j] = changed_j;
                best[j] = to[there];
            }
        }
    }
    memcpy(cost_j, least_j, c->joint * sizeof *cost_j);
    memcpy(to, best, c->joint * sizeof *to);
}

/* From the end: at rest, and beyond the horizon, all settings are alike. */
static void solve(programme *p)
{
    const choice *c = &p->choice;
    double cost_j[MOST_JOINT] = {0};
    for (size_t k = p->pieces; k-- > 0;) {
        piece *x = &p->piece[k];
        for (size_t j = 0; j < c->joint; j++) {
            cost_j[j] += x->w[j] * x->length_s;
            x->to[j] = (uint8_t)j;
        }
        for (size_t u = 0; u < c->units; u++)
            if (c->of[u].count > 1)
                relax(c, u, x->at.speed_m_s * x->at.speed_m_s, cost_j, x->to);
    }
}

/* ------------------------------------------------------------------------------------------------ when, to the instant
 */

typedef struct changing { /* from the present joint setting to another one, within a piece */
    programme *p;
    const piece *in;
    size_t to;
    double w[MOST_JOINT];
} changing;

/* By how much the price of a change rises in a second. */
static double price_rise_w(const programme *p, size_t to, double v_m_s, double accel_m_s2)
{
    double by_v2 = 0;
    for (size_t u = 0; u < p->choice.units; u++) {
        const option *o = &p->choice.of[u];
        if (o->count > 1)
            by_v2 += o->price[setting_in(o, p->choice.present) * o->count + setting_in(o, to)].by_v2;
    }
    return 2 * by_v2 * v_m_s * accel_m_s2;
}

/* What waiting loses there: below zero, it pays to wait. */
static double waiting_w(void *self, double in_s)
{
    static const double MOST_W = 1e5; /* beyond it only its sign counts */
    changing *c = self;
    evn_ahead at = c->in->at;
    double accel = c->in->accel_m_s2;
    if (at.behind)
        evn_ahead_go_behind(&at, in_s, accel);
    else
        evn_ahead_go(&at, in_s);
    weigh(c->p, c->in, &at, c->w);
    double lost_w = c->w[c->p->choice.present] - c->w[c->to] + price_rise_w(c->p, c->to, at.speed_m_s, accel);
    return fmax(-MOST_W, fmin(lost_w, MOST_W));
}

/* Where waiting begins to lose, within a piece; of a jump the side on which both settings can be taken, if any. */
static double change_in_s(programme *p, const piece *in, size_t to)
{
    static const double NEAR_W = 1e-6, NEAR = 1e-6;
    changing c = {.p = p, .in = in, .to = to};
    double end_s = (1 - NEAR) * in->length_s;
    evn_known begin = {0, waiting_w(&c, 0)}, end = {end_s, waiting_w(&c, end_s)};
    if (begin.error >= 0)
        return 0;
    if (end.error <= 0)
        return in->length_s;
    double x_s = evn_root_between(waiting_w, &c, begin, end, &(evn_between){NEAR_W, NEAR, 60}).x;
    if (c.w[to] >= RULED_OUT_W)
        return fmin(x_s + 2 * NEAR * in->length_s, in->length_s);
    return c.w[p->choice.present] >= RULED_OUT_W ? fmax(x_s - 2 * NEAR * in->length_s, 0) : x_s;
}

/* The programme knows the piece at whose begin it changes: at best it is within that one or the one before. */
static double change_at_s(programme *p, size_t k, size_t to)
{
    if (k > 0) {
        const piece *before = &p->piece[k - 1];
        double in_s = change_in_s(p, before, to);
        if (in_s < before->length_s)
            return before->begin_s + in_s;
    }
    return p->piece[k].begin_s + change_in_s(p, &p->piece[k], to);
}

/* ------------------------------------------------------------------------------------------------ what follows */

evn_foresight *evn_foresight_new(void) { return malloc(sizeof(programme)); }

void evn_foresight_free(evn_foresight *p) { free(p); }

bool evn_foresees(const evn_trip *t)
{
    if (!t->foresight || !evn_is_exact(t) || t->motion != EVN_MOVING)
        return false;
    size_t joint = joint_settings(t);
    return joint > 1 && joint <= MOST_JOINT;
}

/* The piece from `from` on at whose begin a joint setting is left. */
static size_t next_change(const programme *p, size_t joint, size_t from)
{
    size_t k = from;
    while (k < p->pieces && p->piece[k].to[joint] == joint)
        k++;
    return k;
}

/* Far off pieces are long: asked again before the change, the plan is finer there. Behind the plan little is sure. */
static double look_in_s(const programme *p, size_t change)
{
    double most_s = p->pieces > 0 && p->piece[0].at.behind ? LOOK_AGAIN_BEHIND_S : LOOK_AGAIN_S;
    if (change == p->pieces)
        return most_s;
    return fmin(change > 1 ? p->piece[change - 1].begin_s : p->piece[change].begin_s, most_s);
}

evn_foreseen evn_foresee(const evn_trip *t)
{
    programme *p = t->foresight;
    p->now = evn_trip_given(t, t->t, t->y);
    p->now_m_s2 = evn_instant_seen(t, t->t, t->y)->accel_m_s2;
    choice_of(t, &p->now, &p->is, &p->choice);
    look_ahead(p, evn_ahead_of(t));
    solve(p);
    size_t present = p->choice.present, k = next_change(p, present, 0);
    if (k == p->pieces || p->piece[k].begin_s > NEAR_S)
        return (evn_foreseen){.next_s = t->t + look_in_s(p, k)};
    size_t to = p->piece[k].to[present];
    evn_foreseen f = {.changes = true, .at_s = t->t + change_at_s(p, k, to)};
    f.next_s = fmax(f.at_s, t->t + look_in_s(p, next_change(p, to, k + 1)));
    for (size_t u = 0; u < p->choice.units; u++)
        f.to[u] = p->choice.of[u].setting[setting_in(&p->choice.of[u], to)];
    return f;
}
