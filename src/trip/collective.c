/*
 * Load collectives: where the time and the revolutions of a run's shafts go. Each step of the integrator is halved
 * until torques and speed run straight in every part, and a straight part is divided where it crosses from class to
 * class.
 */
#include "trip/collective.h"
#include "core/units.h"
#include "pull/shafts.h"
#include "trip/moment.h"
#include "truck/shafts.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HALVINGS = 10, MIDDLE = EVN_TORQUE_CLASSES / 2 };

typedef struct cell {
    double duration_s, revolutions, torque_turns; /* sum of torque times revolutions: the mean torque is known */
} cell;

typedef struct tally { /* of a shaft in one gear */
    cell at[EVN_TORQUE_CLASSES][EVN_SPEED_CLASSES];
    double least_nm, most_nm;
} tally;

typedef struct look { /* at an instant: torques of one shaft each */
    double time_s, place_m, speed_m_s;
    evn_place *shaft;
} look;

struct evn_collective {
    const evn_rig *rig;
    evn_named_shaft *shaft;
    size_t count;
    double *torque_class_nm, *speed_class_rpm;
    tally **of; /* of each shaft, its gears from 0 on */
    evn_place *place;
    look look[HALVINGS + 2];
    double bend_classes;
};

/* ------------------------------------------------------------------------------------------------ classes */

/* The next of 1, 2, 2.5, 5 times a power of ten: borders that can be read. */
static double round_up(double width)
{
    static const double steps[] = {1, 2, 2.5, 5, 10};
    double power = pow(10, floor(log10(width)));
    size_t k = 0;
    while (k + 1 < sizeof steps / sizeof *steps && steps[k] * power < width * (1 - 1e-12))
        k++;
    return steps[k] * power;
}

static size_t class_of(double value, double width, size_t zero, size_t count)
{
    double at = floor(value / width) + (double)zero;
    return at <= 0 || isnan(at) ? 0 : at >= (double)count ? count - 1 : (size_t)at;
}

/* Where straight lines cross borders of classes, one after the other; beyond 1: no more. */
typedef struct borders {
    double from, change, width, next, step; /* of the value; `next`: the border, in classes */
} borders;

static borders borders_of(double from, double to, double width)
{
    bool rises = to > from;
    double next = rises ? floor(from / width) + 1 : ceil(from / width) - 1;
    return (borders){from, to - from, width, next, rises ? 1 : -1};
}

static double crossing(const borders *b) { return b->change == 0 ? 2 : (b->next * b->width - b->from) / b->change; }

/* ------------------------------------------------------------------------------------------------ adding */

/* A share of a stretch that stays within one class, from `begin` to `end` of it. */
static void add_within(evn_collective *c, size_t shaft, tally *to, const evn_collective_stretch *s, double begin,
                       double end)
{
    double nm = s->to_nm - s->from_nm, rpm = s->to_rpm - s->from_rpm, middle = 0.5 * (begin + end);
    size_t torque = class_of(s->from_nm + middle * nm, c->torque_class_nm[shaft], MIDDLE, EVN_TORQUE_CLASSES);
    size_t speed = class_of(s->from_rpm + middle * rpm, c->speed_class_rpm[shaft], 0, EVN_SPEED_CLASSES);
    double whole = 0.5 * (s->from_rpm + s->to_rpm), mean_rpm = s->from_rpm + middle * rpm;
    double turns = whole > 0 ? s->revolutions * (end - begin) * mean_rpm / whole : s->revolutions * (end - begin);
    /* mean of torque times speed over that of the speed, both straight */
    double mean_nm = s->from_nm + middle * nm;
    if (mean_rpm > 0)
        mean_nm += nm * rpm * (end - begin) * (end - begin) / 12 / mean_rpm;
    cell *at = &to->at[torque][speed];
    at->duration_s += s->duration_s * (end - begin);
    at->revolutions += turns;
    at->torque_turns += mean_nm * turns;
}

void evn_collective_add(evn_collective *c, size_t shaft, size_t gear, const evn_collective_stretch *s)
{
    tally *to = &c->of[shaft][gear];
    borders torque = borders_of(s->from_nm, s->to_nm, c->torque_class_nm[shaft]);
    borders speed = borders_of(s->from_rpm, s->to_rpm, c->speed_class_rpm[shaft]);
    for (double begin = 0, end = 0; end < 1; begin = end) {
        double next_torque = crossing(&torque), next_speed = crossing(&speed);
        end = fmin(fmin(next_torque, next_speed), 1);
        torque.next += next_torque <= end ? torque.step : 0;
        speed.next += next_speed <= end ? speed.step : 0;
        if (end > begin)
            add_within(c, shaft, to, s, begin, end);
    }
    to->least_nm = fmin(to->least_nm, fmin(s->from_nm, s->to_nm));
    to->most_nm = fmax(to->most_nm, fmax(s->from_nm, s->to_nm));
}

/* ------------------------------------------------------------------------------------------------ a run's steps */

static const evn_place *place_of(const evn_unit_places *of, const evn_named_shaft *s)
{
    switch (s->of) {
    case EVN_SHAFT_OF_MOTOR:
        return &of->motor;
    case EVN_SHAFT_OF_INPUT:
        return &of->input;
    case EVN_SHAFT_OF_PATH:
        return &of->path[s->place];
    case EVN_SHAFT_OF_BRANCH:
        break;
    }
    return &of->branch[s->branch][s->place];
}

static void look_at(const evn_collective *c, const evn_trip *t, double time_s, look *out)
{
    double y[EVN_Y_MOST];
    evn_instant is;
    evn_unit_places of;
    t->kind->look_back(t->solver, time_s, y);
    evn_instant_at(t, time_s, y, &is);
    out->time_s = time_s;
    out->place_m = evn_trip_place_m(t, time_s, y);
    out->speed_m_s = is.pull.at.speed_m_s;
    for (size_t k = 0; k < c->count; k++) {
        const evn_named_shaft *s = &c->shaft[k];
        if (k == 0 || s->unit != c->shaft[k - 1].unit)
            evn_instant_places(&is, s->unit, &of);
        out->shaft[k] = *place_of(&of, s);
        if (s->of != EVN_SHAFT_OF_MOTOR) /* that is one's already */
            out->shaft[k].nm /= (double)s->alike;
    }
}

static double rpm_of(const look *at, size_t shaft)
{
    return at->shaft[shaft].rad_m * at->speed_m_s / EVN_RAD_S_PER_RPM;
}

/* Whether the middle of a part of a step is off the straight line between its ends. */
static bool bends(const evn_collective *c, const look *a, const look *middle, const look *b)
{
    for (size_t k = 0; k < c->count; k++) {
        double nm = middle->shaft[k].nm - 0.5 * (a->shaft[k].nm + b->shaft[k].nm);
        double rpm = rpm_of(middle, k) - 0.5 * (rpm_of(a, k) + rpm_of(b, k));
        if (fabs(nm) > c->bend_classes * c->torque_class_nm[k] || fabs(rpm) > c->bend_classes * c->speed_class_rpm[k])
            return true;
    }
    return false;
}

/* Revolutions are those of the way, so that all of them are the run's distance. */
static void add_straight(evn_collective *c, const evn_trip *t, const look *a, const look *b)
{
    for (size_t k = 0; k < c->count; k++) {
        const evn_box *box = &t->box[c->shaft[k].unit];
        double rad_m = a->shaft[k].rad_m;
        size_t gear = box->shifting || evn_is_open(box->now) ? 0 : box->now.gear + 1u;
        if (rad_m > 0)
            evn_collective_add(c, k, gear,
                               &(evn_collective_stretch){a->shaft[k].nm, b->shaft[k].nm, rpm_of(a, k), rpm_of(b, k),
                                                         b->time_s - a->time_s,
                                                         rad_m * (b->place_m - a->place_m) / (2 * EVN_PI)});
    }
}

static void add_part(evn_collective *c, const evn_trip *t, const look *a, const look *b, size_t halved)
{
    look *middle = &c->look[halved];
    look_at(c, t, 0.5 * (a->time_s + b->time_s), middle);
    if (halved + 1 < HALVINGS && bends(c, a, middle, b)) {
        add_part(c, t, a, middle, halved + 1);
        add_part(c, t, middle, b, halved + 1);
        return;
    }
    add_straight(c, t, a, middle);
    add_straight(c, t, middle, b);
}

void evn_collective_note(evn_collective *c, const evn_trip *t, double from_s, double to_s)
{
    look *a = &c->look[HALVINGS], *b = &c->look[HALVINGS + 1];
    if (t->motion != EVN_MOVING || to_s <= from_s)
        return;
    look_at(c, t, from_s, a);
    look_at(c, t, to_s, b);
    add_part(c, t, a, b, 0);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static size_t gears_of(const evn_collective *c, size_t shaft) { return c->rig->unit[c->shaft[shaft].unit].gear_count; }

bool evn_collective_is_of(const evn_collective *c, const evn_rig *r) { return c->rig == r; }

void evn_collective_begin(evn_collective *c)
{
    for (size_t k = 0; k < c->count; k++)
        memset(c->of[k], 0, (gears_of(c, k) + 1) * sizeof **c->of);
}

void evn_collective_divide_to(evn_collective *c, double classes) { c->bend_classes = classes; }

/* One class is left beyond the peak torque at rest, for rotors that slow down. */
static bool make_shaft(evn_collective *c, size_t k)
{
    c->torque_class_nm[k] = round_up(c->shaft[k].peak_nm / (MIDDLE - 1));
    c->speed_class_rpm[k] = round_up(c->shaft[k].top_rad_s / EVN_RAD_S_PER_RPM / EVN_SPEED_CLASSES);
    c->of[k] = calloc(gears_of(c, k) + 1, sizeof **c->of);
    return c->of[k];
}

/* False: memory ran out. */
static bool make(evn_collective *c)
{
    c->shaft = calloc(c->rig->unit_count * EVN_UNIT_SHAFTS_MAX, sizeof *c->shaft);
    if (!c->shaft)
        return false;
    c->count = evn_shafts_name(c->rig, c->shaft);
    c->torque_class_nm = calloc(c->count, sizeof *c->torque_class_nm);
    c->speed_class_rpm = calloc(c->count, sizeof *c->speed_class_rpm);
    c->of = calloc(c->count, sizeof *c->of);
    c->place = calloc(c->count * (HALVINGS + 2), sizeof *c->place);
    bool made = c->torque_class_nm && c->speed_class_rpm && c->of && c->place;
    for (size_t k = 0; made && k < c->count; k++)
        made = make_shaft(c, k);
    for (size_t k = 0; made && k < HALVINGS + 2; k++)
        c->look[k].shaft = c->place + k * c->count;
    return made;
}

evn_collective *evn_collective_new(const evn_rig *r)
{
    evn_collective *c = r ? calloc(1, sizeof *c) : NULL;
    if (!c)
        return NULL;
    c->rig = r;
    c->bend_classes = 0.02;
    if (make(c))
        return c;
    evn_collective_free(c);
    return NULL;
}

void evn_collective_free(evn_collective *c)
{
    if (!c)
        return;
    for (size_t k = 0; c->of && k < c->count; k++)
        free(c->of[k]);
    free(c->of);
    free(c->place);
    free(c->speed_class_rpm);
    free(c->torque_class_nm);
    free(c->shaft);
    free(c);
}

/* ------------------------------------------------------------------------------------------------ what came of it */

bool evn_collective_shaft_at(const evn_collective *c, size_t shaft, evn_collective_shaft *out)
{
    if (!c || !out || shaft >= c->count)
        return false;
    const evn_named_shaft *s = &c->shaft[shaft];
    *out = (evn_collective_shaft){.drive_unit = c->rig->unit[s->unit].name,
                                  .axle = s->axle,
                                  .shaft = s->key,
                                  .label = s->label,
                                  .alike = s->alike,
                                  .gears = gears_of(c, shaft),
                                  .torque_classes = EVN_TORQUE_CLASSES,
                                  .speed_classes = EVN_SPEED_CLASSES,
                                  .torque_class_nm = c->torque_class_nm[shaft],
                                  .speed_class_rpm = c->speed_class_rpm[shaft]};
    return true;
}

static void gather(cell *sum, const cell *more)
{
    sum->duration_s += more->duration_s;
    sum->revolutions += more->revolutions;
    sum->torque_turns += more->torque_turns;
}

/* Of a class of torque, in one gear or in all, at one speed or at all. */
static cell sum_of_class(const evn_collective *c, size_t shaft, size_t gear, size_t torque, size_t speed)
{
    cell sum = {0};
    for (size_t g = 0; g <= gears_of(c, shaft); g++)
        for (size_t k = 0; k < EVN_SPEED_CLASSES; k++)
            if ((gear == EVN_ALL_GEARS || g == gear) && (speed == EVN_ALL_SPEEDS || k == speed))
                gather(&sum, &c->of[shaft][g].at[torque][k]);
    return sum;
}

static bool is_there(const evn_collective *c, size_t shaft, size_t gear)
{
    return c && shaft < c->count && (gear == EVN_ALL_GEARS || gear <= gears_of(c, shaft));
}

bool evn_collective_cell_at(const evn_collective *c, size_t shaft, size_t gear, size_t torque_class, size_t speed_class,
                            evn_collective_cell *out)
{
    bool all = speed_class == EVN_ALL_SPEEDS;
    if (!is_there(c, shaft, gear) || !out || torque_class >= EVN_TORQUE_CLASSES ||
        (!all && speed_class >= EVN_SPEED_CLASSES))
        return false;
    cell of = sum_of_class(c, shaft, gear, torque_class, speed_class);
    double nm = c->torque_class_nm[shaft], rpm = c->speed_class_rpm[shaft];
    double from_nm = nm * ((double)torque_class - MIDDLE), from_rpm = all ? 0 : rpm * (double)speed_class;
    *out = (evn_collective_cell){.torque_from_nm = from_nm,
                                 .torque_to_nm = from_nm + nm,
                                 .speed_from_rpm = from_rpm,
                                 .speed_to_rpm = from_rpm + (all ? rpm * EVN_SPEED_CLASSES : rpm),
                                 .mean_nm = of.revolutions > 0 ? of.torque_turns / of.revolutions : from_nm + 0.5 * nm,
                                 .duration_s = of.duration_s,
                                 .revolutions = of.revolutions};
    return true;
}

/* ------------------------------------------------------------------------------------------------ damage */

typedef struct damage { /* summed up as a share of that of the largest torque, which no exponent makes overflow */
    evn_damage by;
    double largest_nm, sum, turns;
} damage;

/* Adds a class of torque in one gear to a side, and what it does to the damage. */
static void add_class(const cell *of, damage *d, evn_collective_side *side)
{
    side->duration_s += of->duration_s;
    side->revolutions += of->revolutions;
    side->work_kwh += 2 * EVN_PI * of->torque_turns / EVN_J_PER_KWH;
    if (of->revolutions > 0 && d->largest_nm > 0)
        d->sum += of->revolutions * pow(fabs(of->torque_turns / of->revolutions) / d->largest_nm, d->by.exponent);
}

static void add_side(const evn_collective *c, size_t shaft, size_t gear, size_t from, size_t to, damage *d,
                     evn_collective_side *side)
{
    for (size_t g = 0; g <= gears_of(c, shaft); g++)
        for (size_t k = from; k < to; k++) {
            cell of = sum_of_class(c, shaft, g, k, EVN_ALL_SPEEDS);
            if (gear == EVN_ALL_GEARS || g == gear)
                add_class(&of, d, side);
        }
}

static double equivalent_nm(const damage *d, double sum)
{
    return d->turns > 0 ? d->largest_nm * pow(sum / d->turns, 1 / d->by.exponent) : (double)NAN;
}

static void set_most(const evn_collective *c, size_t shaft, size_t gear, evn_collective_sum *out)
{
    for (size_t g = 0; g <= gears_of(c, shaft); g++)
        if (gear == EVN_ALL_GEARS || g == gear) {
            out->pulling.most_nm = fmax(out->pulling.most_nm, c->of[shaft][g].most_nm);
            out->braking.most_nm = fmax(out->braking.most_nm, -c->of[shaft][g].least_nm);
        }
    out->both.most_nm = fmax(out->pulling.most_nm, out->braking.most_nm);
}

static double turns_of(const evn_collective *c, size_t shaft)
{
    double sum = 0;
    for (size_t k = 0; k < EVN_TORQUE_CLASSES; k++)
        sum += sum_of_class(c, shaft, EVN_ALL_GEARS, k, EVN_ALL_SPEEDS).revolutions;
    return sum;
}

static bool damage_fits(const evn_damage *d)
{
    return d && d->exponent >= 1 && d->exponent <= 100 &&
           (d->revolutions == 0 || (d->revolutions >= 1 && d->revolutions <= 1e12));
}

bool evn_collective_sum_of(const evn_collective *c, size_t shaft, size_t gear, const evn_damage *by,
                           evn_collective_sum *out)
{
    if (!is_there(c, shaft, gear) || !damage_fits(by) || !out)
        return false;
    *out = (evn_collective_sum){.both = {0}};
    set_most(c, shaft, gear, out);
    damage d = {*by, out->both.most_nm, 0, by->revolutions > 0 ? by->revolutions : turns_of(c, shaft)};
    add_side(c, shaft, gear, 0, MIDDLE, &d, &out->braking);
    out->braking.equivalent_nm = equivalent_nm(&d, d.sum);
    double braking = d.sum;
    add_side(c, shaft, gear, MIDDLE, EVN_TORQUE_CLASSES, &d, &out->pulling);
    out->pulling.equivalent_nm = equivalent_nm(&d, d.sum - braking);
    out->both.equivalent_nm = equivalent_nm(&d, d.sum);
    out->both.duration_s = out->braking.duration_s + out->pulling.duration_s;
    out->both.revolutions = out->braking.revolutions + out->pulling.revolutions;
    out->both.work_kwh = out->braking.work_kwh + out->pulling.work_kwh;
    out->braking.work_kwh = fabs(out->braking.work_kwh);
    return true;
}
