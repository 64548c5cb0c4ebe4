/* Notes of a run, taken by an integrator that passes everything on to CVODE and looks at the trip as it goes. */
#include "noting.h"
#include "pull/change_price.h"
#include "pull/member.h"
#include "pull/prices.h"
#include "trip/moment.h"
#include "trip/trip.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { JOINT_MOST = 1024 };
_Static_assert((int)EVN_UNITS_MAX <= (int)EVN_PROGRAMME_UNITS, "room for all units");

struct evn_notes {
    const evn_rig *rig;
    double interval_s, next_s, last_s, last_m_s;
    double apart_w, apart_j; /* see evn_notes_apart_j */
    bool failed;
    evn_programme programme;
    size_t room;
    evn_leg *leg;
    double *leg_j, *before_w, *now_w; /* of each joint setting */
    evn_programme_change *change[EVN_UNITS_MAX];
};

/* ------------------------------------------------------------------------------------------------ changes */

/* What a change truly takes, whatever price a file states for the rule. */
static void unstate(evn_rig *r)
{
    for (size_t u = 0; u < r->unit_count; u++) {
        evn_unit *unit = &r->unit[u];
        unit->shift_price_j = unit->engage_price_j = (double)NAN;
        unit->disconnect.is_stated = false;
        for (size_t k = 0; k < unit->branch_count; k++)
            unit->branch[k].opening.price.is_stated = false;
    }
}

/* From the battery, at a truck speed: what is to turn faster, and what is lost. */
static double taken_j(const evn_rig *r, size_t unit, evn_setting from, evn_setting to, double synchronising_j, double v)
{
    if (from.open != to.open) {
        evn_branch_gain gain = evn_branch_gain_of(r, unit, from, to, v);
        return gain.motors_j + r->unit[unit].synchronising_loss_share * fabs(gain.motors_j) + 2 * gain.sped_up_j;
    }
    double kept = evn_kept_kg_m2(&r->unit[unit], from, to);
    return evn_freed_j(r, unit, to, kept, v) - evn_freed_j(r, unit, from, kept, v) + synchronising_j;
}

/* All energies of a change go with the square of the speed: asked at 1 m/s they are their own factors. */
static evn_programme_change one_change(evn_instant *n, size_t unit, evn_setting from, evn_setting to)
{
    const evn_rig *r = n->pull.at.rig;
    n->pull.at.speed_m_s = 1;
    n->pull.at.unit[unit].setting = from;
    evn_change_price price = evn_change_price_at(n, unit, to, false);
    bool gear = from.gear != to.gear && !evn_is_open(from) && !evn_is_open(to);
    return (evn_programme_change){taken_j(r, unit, from, to, price.synchronising_j, 1), price.wear_j, gear, !gear};
}

/* Branches open and close by themselves, with gear and motors as they are: where both differ it is two changes. */
static evn_programme_change change_of(evn_instant *n, size_t unit, evn_setting from, evn_setting to)
{
    evn_setting between = to;
    between.open = from.open;
    if (from.open == to.open || evn_same_setting(from, between))
        return evn_same_setting(from, to) ? (evn_programme_change){0} : one_change(n, unit, from, to);
    evn_programme_change first = one_change(n, unit, from, between), then = one_change(n, unit, between, to);
    return (evn_programme_change){first.energy_j_s2_m2 + then.energy_j_s2_m2, first.wear_j + then.wear_j,
                                  (uint8_t)(first.gears + then.gears), (uint8_t)(first.others + then.others)};
}

static bool find_changes(evn_notes *notes)
{
    evn_rig *truth = malloc(sizeof *truth);
    evn_instant *n = calloc(1, sizeof *n);
    bool ok = truth && n;
    if (ok) {
        *truth = *notes->rig;
        unstate(truth);
        n->pull.at.rig = truth;
    }
    for (size_t u = 0; ok && u < notes->rig->unit_count; u++) {
        size_t count = truth->unit[u].setting_count;
        const evn_setting *s = truth->unit[u].setting;
        notes->change[u] = calloc(count * count, sizeof *notes->change[u]);
        ok = notes->change[u];
        for (size_t i = 0; ok && i < count * count; i++)
            notes->change[u][i] = change_of(n, u, s[i / count], s[i % count]);
        notes->programme.change[u] = notes->change[u];
    }
    free(truth);
    free(n);
    return ok;
}

/* ------------------------------------------------------------------------------------------------ one row */

static double battery_w(const evn_instant *n, double load_w)
{
    double v = n->pull.feed.open_circuit_v;
    return v * evn_pack_current_a(n->pull.feed.resistance_ohm, v, load_w);
}

/* What the battery gives where the units draw so much; NAN: more than it can. It takes no more than it may: friction
 * brakes or the brake resistor burn the rest. */
static double drawn_w(const evn_instant *n, double bus_w)
{
    double load_w = fmax(bus_w + n->load_w - n->bus_w + n->resistor_w, -n->pull.feed.charge_w);
    return load_w > n->pull.feed.most_w ? (double)NAN : battery_w(n, load_w);
}

/* The next joint setting; returns whether there is one. */
static bool count_on(const evn_programme *p, size_t setting[])
{
    for (size_t u = 0; u < p->units; u++) {
        if (++setting[u] < p->settings[u])
            return true;
        setting[u] = 0;
    }
    return false;
}

static void weigh_at_rest(const evn_notes *notes, const evn_instant *n, double w[])
{
    const evn_programme *p = &notes->programme;
    evn_flow unbooked = {{0}};
    size_t setting[EVN_UNITS_MAX] = {0}, s = 0;
    do {
        double bus_w = 0;
        for (size_t u = 0; u < p->units; u++) {
            evn_setting as = notes->rig->unit[u].setting[setting[u]];
            as.pulses_off = n->pull.at.unit[u].setting.pulses_off;
            bus_w += evn_unit_ready_w(&notes->rig->unit[u], as, &unbooked);
        }
        w[s++] = drawn_w(n, bus_w);
    } while (count_on(p, setting));
}

static double moving_w(const evn_instant *n, const evn_team *team)
{
    static const double SLACK_N = 1;
    double v = n->pull.at.speed_m_s, turning_kg = 0;
    evn_cost cost;
    if (!evn_instant_cost(n, team, &cost) || cost.missing_n > SLACK_N)
        return (double)NAN;
    for (size_t u = 0; u < n->pull.at.rig->unit_count; u++)
        turning_kg += team->unit[u].turning_kg;
    return drawn_w(n, cost.losses_w + (cost.given_n + turning_kg * n->accel_m_s2) * v);
}

static void weigh_moving(const evn_notes *notes, const evn_instant *n, double w[])
{
    const evn_programme *p = &notes->programme;
    evn_member member[EVN_UNITS_MAX][EVN_SETTINGS_MAX];
    size_t setting[EVN_UNITS_MAX] = {0}, s = 0;
    for (size_t u = 0; u < p->units; u++)
        for (size_t k = 0; k < p->settings[u]; k++)
            member[u][k] = evn_pull_member(&n->pull, u, notes->rig->unit[u].setting[k], false);
    do {
        evn_team team = {.connected = 0};
        for (size_t u = 0; u < p->units; u++) {
            team.unit[u] = member[u][setting[u]];
            team.connected += team.unit[u].connected;
        }
        w[s++] = moving_w(n, &team);
    } while (count_on(p, setting));
}

/* Number of the joint setting that the trip has. False: it is none of the units'. */
static bool find_driven(const evn_notes *notes, const evn_trip *trip, size_t *joint)
{
    size_t stride = 1;
    *joint = 0;
    for (size_t u = 0; u < notes->rig->unit_count; u++) {
        const evn_unit *unit = &notes->rig->unit[u];
        size_t k = 0;
        while (k < unit->setting_count && !evn_same_setting(unit->setting[k], trip->box[u].now))
            k++;
        if (k == unit->setting_count)
            return false;
        *joint += k * stride;
        stride *= unit->setting_count;
    }
    return true;
}

/*
 * The force that the run has is what is needed of each setting; where its own motors held it back, others may give it
 * with less. What it drew itself is known.
 */
static void weigh(evn_notes *notes, const evn_trip *trip, double t, const double *y, size_t driven, double w[])
{
    evn_instant n;
    evn_instant_at(trip, t, y, &n);
    double own_w = battery_w(&n, n.load_w);
    if (n.pull.at.pull == EVN_BY_MOTOR) {
        n.pull.at.asked_m_s2 = n.accel_m_s2;
        n.pull.at.pull = EVN_FREE;
        evn_instant_make(&n);
    }
    if (n.pull.at.at_rest)
        weigh_at_rest(notes, &n, w);
    else
        weigh_moving(notes, &n, w);
    notes->apart_w = isnan(w[driven]) ? 0 : fabs(w[driven] - own_w);
    w[driven] = own_w;
}

/* ------------------------------------------------------------------------------------------------ legs */

static bool make_room(evn_notes *notes)
{
    size_t room = notes->room ? 2 * notes->room : 4096;
    if (notes->programme.legs < notes->room)
        return true;
    evn_leg *leg = realloc(notes->leg, room * sizeof *leg);
    notes->leg = leg ? leg : notes->leg;
    double *leg_j = realloc(notes->leg_j, room * notes->programme.joint * sizeof *leg_j);
    notes->leg_j = leg_j ? leg_j : notes->leg_j;
    notes->room = leg && leg_j ? room : notes->room;
    return leg && leg_j;
}

/* By the trapezium over two rows, between which the run is smooth. */
static bool add_leg(evn_notes *notes, bool standing, size_t driven, double t)
{
    evn_programme *p = &notes->programme;
    if (!make_room(notes))
        return false;
    double *j = &notes->leg_j[p->legs * p->joint], length_s = t - notes->last_s;
    for (size_t s = 0; s < p->joint; s++) {
        double sum_w = notes->before_w[s] + notes->now_w[s];
        j[s] = isnan(sum_w) ? EVN_PROGRAMME_NEVER_J : 0.5 * length_s * sum_w;
    }
    notes->apart_j += length_s * notes->apart_w;
    notes->leg[p->legs++] = (evn_leg){notes->last_m_s * notes->last_m_s, standing, driven};
    return true;
}

static void note(evn_notes *notes, const evn_trip *trip, double t, const double *y, bool begins)
{
    size_t driven;
    double *spare = notes->before_w;
    if (notes->failed || trip->motion == EVN_ENDED || (!begins && t <= notes->last_s))
        return;
    notes->failed = !find_driven(notes, trip, &driven);
    if (notes->failed)
        return;
    weigh(notes, trip, t, y, driven, notes->now_w);
    if (!begins)
        notes->failed = !add_leg(notes, trip->motion == EVN_STANDING, driven, t);
    notes->before_w = notes->now_w;
    notes->now_w = spare;
    notes->last_s = t;
    notes->last_m_s = evn_trip_given(trip, t, y).speed_m_s;
}

/* ------------------------------------------------------------------------------------------------ the integrator */

struct evn_solver {
    evn_solver *inner;
    evn_system system; /* the trip's own */
};

static evn_notes *notes_of(const evn_solver *s)
{
    const evn_trip *trip = s->system.self;
    return trip->watch->self;
}

static bool rate(double t, const double *y, double *dy, void *self)
{
    const evn_solver *s = self;
    return s->system.rate(t, y, dy, s->system.self);
}

static void watch(double t, const double *y, double *g, void *self)
{
    const evn_solver *s = self;
    s->system.watch(t, y, g, s->system.self);
}

static void watch_some(double t, const double *y, uint64_t wanted, double *g, void *self)
{
    const evn_solver *s = self;
    s->system.watch_some(t, y, wanted, g, s->system.self);
}

static bool step(double from, double to, const double *y, void *self)
{
    evn_solver *s = self;
    evn_notes *notes = notes_of(s);
    double then[EVN_Y_MOST];
    for (; notes->next_s < to; notes->next_s += notes->interval_s) {
        if (notes->next_s <= from)
            continue;
        evn_cvode.look_back(s->inner, notes->next_s, then);
        note(notes, s->system.self, notes->next_s, then, false);
    }
    return s->system.step(from, to, y, s->system.self);
}

static evn_solver *create(const evn_system *system)
{
    evn_solver *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    evn_system passed = *system;
    passed.rate = rate;
    passed.watch = watch;
    passed.watch_some = watch_some;
    passed.step = step;
    passed.self = s;
    s->system = *system;
    s->inner = evn_cvode.create(&passed);
    if (s->inner)
        return s;
    free(s);
    return NULL;
}

static void restart(evn_solver *s, double t, const double *y, const evn_pace *pace)
{
    note(notes_of(s), s->system.self, t, y, true);
    evn_cvode.restart(s->inner, t, y, pace);
}

static evn_reached go(evn_solver *s, double until, double *t, double *y, uint64_t *hit)
{
    evn_reached reached = evn_cvode.go(s->inner, until, t, y, hit);
    note(notes_of(s), s->system.self, *t, y, false);
    return reached;
}

static void look_back(evn_solver *s, double t, double *y) { evn_cvode.look_back(s->inner, t, y); }
static const char *why(const evn_solver *s) { return evn_cvode.why(s->inner); }

static void drop(evn_solver *s)
{
    evn_cvode.drop(s->inner);
    free(s);
}

const evn_solver_kind evn_noting_cvode = {"noting cvode", create, restart, go, look_back, why, drop};

/* ------------------------------------------------------------------------------------------------ the notes */

evn_notes *evn_notes_new(const evn_rig *rig, double interval_s)
{
    evn_notes *notes = calloc(1, sizeof *notes);
    if (!notes)
        return NULL;
    notes->rig = rig;
    notes->interval_s = notes->next_s = interval_s;
    evn_programme *p = &notes->programme;
    p->units = rig->unit_count;
    p->joint = 1;
    for (size_t u = 0; u < p->units; u++) {
        p->settings[u] = rig->unit[u].setting_count;
        p->joint *= p->settings[u];
    }
    notes->before_w = calloc(p->joint, sizeof(double));
    notes->now_w = calloc(p->joint, sizeof(double));
    if (p->joint <= JOINT_MOST && notes->before_w && notes->now_w && find_changes(notes))
        return notes;
    evn_notes_free(notes);
    return NULL;
}

void evn_notes_free(evn_notes *notes)
{
    if (!notes)
        return;
    for (size_t u = 0; u < EVN_UNITS_MAX; u++)
        free(notes->change[u]);
    free(notes->leg);
    free(notes->leg_j);
    free(notes->before_w);
    free(notes->now_w);
    free(notes);
}

bool evn_notes_programme(const evn_notes *notes, evn_programme *out)
{
    *out = notes->programme;
    out->leg = notes->leg;
    out->leg_j = notes->leg_j;
    return !notes->failed && out->legs > 0;
}

double evn_notes_apart_j(const evn_notes *notes) { return notes->apart_j; }
