/*
 * How sure what stands is: each datum of the truck that errs moved up and down by its standard uncertainty, about the
 * middle of its range and in still air, the same judge asked, squares of half the differences added (JCGM
 * 100:2008, 5.1.2, equation 10, from memory). Where the two sides differ each counts for itself. A climb's speed goes
 * from gear to gear and is found by draws.
 */
#include "assess/assess.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "uncertainty/cases.h"
#include "uncertainty/shape.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct spreading {
    const evn_stand_ask *ask;
    const evn_data *data;
    size_t truck;
    evn_truck_file *copy;
    double **place; /* of each row of the data; NULL: of another object */
    evn_report *aside;
} spreading;

static bool ends_in(const char *text, const char *end)
{
    size_t length = strlen(text), of = strlen(end);
    return length >= of && strcmp(text + length - of, end) == 0;
}

/* What the site asks: masses, places and springs, nothing that drives. */
static bool is_of_site(const char *path)
{
    return ends_in(path, "_kg") || ends_in(path, "_m") || strstr(path, ".suspension.") ||
           ends_in(path, ".stiffness_kn_m");
}

/* False: nothing of the truck is moved by it. */
static bool touches(const spreading *s, size_t datum, bool *site)
{
    bool any = false;
    *site = false;
    for (size_t k = 0; k < s->data->moved_count; k++)
        if (s->data->moved[k].datum == datum && s->place[k]) {
            any = true;
            *site = *site || is_of_site(s->data->moved[k].path);
        }
    return any;
}

/* At so many standard uncertainties about the middle of its range. */
static void write_datum(const spreading *s, size_t datum, double sign)
{
    for (size_t k = 0; k < s->data->moved_count; k++) {
        const evn_moved *m = &s->data->moved[k];
        if (m->datum != datum || !s->place[k])
            continue;
        double value = m->nominal + m->offset + sign * m->half_width * evn_standard_share(m->shape);
        *s->place[k] = fmin(fmax(value, m->least), m->most);
    }
}

static void restore_datum(const spreading *s, size_t datum)
{
    for (size_t k = 0; k < s->data->moved_count; k++)
        if (s->data->moved[k].datum == datum && s->place[k])
            *s->place[k] = fmin(fmax(s->data->moved[k].nominal, s->data->moved[k].least), s->data->moved[k].most);
}

static bool is_site(int kind) { return evn_demand_rows[kind].of == EVN_OF_SITE; }

/* Margins with the datum moved; what was not asked of it is NAN. A truck that cannot at all comes to 0. */
static void margins_at(const spreading *s, size_t datum, double sign, const evn_stand_ask *ask,
                       double margin[EVN_DEMAND_KINDS])
{
    evn_found found[EVN_DEMAND_KINDS] = {{0}};
    write_datum(s, datum, sign);
    bool stands = evn_stand(ask, s->copy, found, s->aside);
    for (int k = 0; k < EVN_DEMAND_KINDS; k++) {
        bool known = stands && ask->wanted >> k & 1u && found[k].known;
        margin[k] = !known ? (double)NAN : isnan(found[k].margin) ? -fabs(found[k].demanded) : found[k].margin;
    }
}

typedef struct sums {
    double worse, better;           /* variances by first order */
    double step_worse, step_better; /* the widest step to either side */
} sums;

/* Two sides agree where the function is smooth enough for half their difference. */
static const double AGREES = 0.5;

static bool is_smooth(double up, double down) { return fabs(up + down) <= AGREES * fmax(fabs(up), fabs(down)); }

/*
 * A side alone. Half the way makes half the change where slopes differ, as where another limit begins to bind; where it
 * does not it is a step, as from gear to gear. Data that lead over the same step do not lead over it several times: the
 * widest counts, and counts whole.
 */
static void add_side(sums *t, double whole, double half)
{
    bool slope = fabs(half) >= 0.25 * fabs(whole) && fabs(half) <= 0.75 * fabs(whole);
    double *variance = whole < 0 ? &t->worse : &t->better, *step = whole < 0 ? &t->step_worse : &t->step_better;
    if (isnan(whole) || whole == 0)
        return;
    if (slope)
        *variance += whole * whole;
    else
        *step = fmax(*step, fabs(whole));
}

/* The same by what is moved to one side and mirrored, where nothing is known of the other. */
static void add_both(sums *t, double half)
{
    if (isnan(half))
        return;
    t->worse += half * half;
    t->better += half * half;
}

/* Of clauses the one that is told may change as data move: that which is told is followed. */
static void add_datum(const spreading *s, size_t datum, const evn_stand_ask *asked, sums sum[])
{
    double up[EVN_DEMAND_KINDS], down[EVN_DEMAND_KINDS], is[EVN_DEMAND_KINDS];
    double half_up[EVN_DEMAND_KINDS], half_down[EVN_DEMAND_KINDS];
    evn_stand_ask ask = *asked;
    margins_at(s, datum, 0, &ask, is);
    margins_at(s, datum, 1, &ask, up);
    margins_at(s, datum, -1, &ask, down);
    for (int k = 0; k < EVN_DEMAND_KINDS; k++) {
        up[k] -= is[k];
        down[k] -= is[k];
        if (isnan(up[k]) || isnan(down[k]) || is_smooth(up[k], down[k])) {
            add_both(&sum[k], isnan(up[k]) ? down[k] : isnan(down[k]) ? up[k] : (up[k] - down[k]) / 2);
            ask.wanted &= ~(1u << k);
        }
    }
    if (ask.wanted != 0) {
        margins_at(s, datum, 0.5, &ask, half_up);
        margins_at(s, datum, -0.5, &ask, half_down);
    }
    for (int k = 0; k < EVN_DEMAND_KINDS; k++)
        if (ask.wanted >> k & 1u) {
            add_side(&sum[k], up[k], half_up[k] - is[k]);
            add_side(&sum[k], down[k], half_down[k] - is[k]);
        }
    restore_datum(s, datum);
}

/* What is asked again, in still air; what has no value is not, nor forces of a datum that is the site's alone. */
static evn_stand_ask ask_again(const spreading *s, bool site, const evn_found nominal[])
{
    evn_stand_ask ask = *s->ask;
    ask.arena = NULL;
    ask.still = true;
    ask.rules_key = nominal[EVN_DEMAND_RULES].site_key;
    for (int k = 0; k < EVN_DEMAND_KINDS; k++)
        if (isnan(nominal[k].value) || k == EVN_DEMAND_CLIMB || (!site && is_site(k)))
            ask.wanted &= ~(1u << k);
    return ask;
}

/* False: memory is out. */
static bool place_all(spreading *s, const evn_truck_file *truck, evn_arena *arena)
{
    s->copy = evn_object_copy(&evn_truck_object, truck, arena);
    s->place = evn_arena_take(arena, (s->data->moved_count + 1) * sizeof *s->place);
    for (size_t k = 0; s->copy && s->place && k < s->data->moved_count; k++) {
        const evn_moved *m = &s->data->moved[k];
        bool own = m->in == EVN_IN_TRUCK && m->truck == s->truck;
        s->place[k] = own ? evn_number_place(&evn_truck_object, s->copy, m->path, s->aside) : NULL;
    }
    return s->copy && s->place;
}

/* ------------------------------------------------------------------------------------------------ draws */

static void write_draw(const spreading *s, uint32_t draw)
{
    static const uint64_t seed = 1;
    for (size_t k = 0; k < s->data->moved_count; k++) {
        const evn_moved *m = &s->data->moved[k];
        if (!s->place[k])
            continue;
        bool again = k > 0 && s->place[k - 1] == s->place[k]; /* rows of one number add */
        double value = again ? *s->place[k] : m->nominal;
        value += m->offset + m->half_width * evn_draw_deviation(seed, draw, m->datum, m->shape);
        *s->place[k] = fmin(fmax(value, m->least), m->most);
    }
}

static int by_size(const void *a, const void *b)
{
    const double *x = a, *y = b;
    return *x < *y ? -1 : *x > *y;
}

/* The value that a share of sorted ones lies below. */
static double share_below(const double *sorted, size_t count, double share)
{
    double place = fmin(fmax(share * (double)count - 0.5, 0), (double)(count - 1));
    size_t low = (size_t)place, high = low + 1 < count ? low + 1 : low;
    return sorted[low] + (place - (double)low) * (sorted[high] - sorted[low]);
}

/*
 * A climb's speed has knees and plateaus, of gears and of what heats, that no slope foretells. Draws are the same for
 * each grade and speed, and in none of them is a steeper one climbed faster: what is sure falls with the grade alone
 * (JCGM 101:2008, 7.7, from memory).
 */
static void draw_climb(spreading *s, const evn_found *nominal, evn_spread *out)
{
    double margin[EVN_ASSESS_DRAWS];
    size_t count = 0;
    evn_stand_ask ask = *s->ask;
    ask.arena = NULL;
    ask.wanted = 1u << EVN_DEMAND_CLIMB;
    ask.abilities.start_grade_percent = ask.abilities.descent_grade_percent = (double)NAN; /* nothing else is found */
    ask.abilities.change_up = false;
    for (uint32_t k = 0; k < EVN_ASSESS_DRAWS; k++) {
        evn_found found[EVN_DEMAND_KINDS] = {{0}};
        const evn_found *f = &found[EVN_DEMAND_CLIMB];
        write_draw(s, k);
        if (evn_stand(&ask, s->copy, found, s->aside) && f->known)
            margin[count++] = isnan(f->margin) ? -f->demanded : f->margin;
    }
    if (count == 0)
        return;
    qsort(margin, count, sizeof *margin, by_size);
    out->half_width.worse = fmax(nominal->margin - share_below(margin, count, 0.05), 0);
    out->half_width.better = fmax(share_below(margin, count, 0.95) - nominal->margin, 0);
}

static bool draws_climb(const spreading *s, const evn_found *nominal)
{
    bool any = false;
    for (size_t k = 0; k < s->data->moved_count; k++)
        any = any || s->place[k];
    return any && s->ask->wanted >> EVN_DEMAND_CLIMB & 1u && !isnan(nominal->value);
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* Variances of steps are none: a step is as wide as it is. */
static double half_width_of(double variance, double range, double step)
{
    double normal = EVN_ASSESS_90_PERCENT * EVN_ASSESS_90_PERCENT * (variance + range * range);
    return sqrt(normal + step * step);
}

bool evn_stand_spread(const evn_stand_ask *ask, const evn_truck_file *truck, const evn_data *data, size_t index,
                      const evn_found nominal[EVN_DEMAND_KINDS], evn_spread out[EVN_DEMAND_KINDS])
{
    sums sum[EVN_DEMAND_KINDS] = {{0, 0, 0, 0}};
    evn_arena *arena = evn_arena_new();
    spreading s = {.ask = ask, .data = data, .truck = index, .aside = evn_report_new()};
    bool made = arena && s.aside && place_all(&s, truck, arena);
    for (size_t d = 0; made && d < data->count; d++) {
        bool site;
        if (!touches(&s, d, &site))
            continue;
        evn_stand_ask again = ask_again(&s, site, nominal);
        if (again.wanted != 0)
            add_datum(&s, d, &again, sum);
    }
    for (int k = 0; made && k < EVN_DEMAND_KINDS; k++) {
        const sums *t = &sum[k];
        out[k].half_width.worse = half_width_of(t->worse, nominal[k].range.worse, t->step_worse);
        out[k].half_width.better = half_width_of(t->better, nominal[k].range.better, t->step_better);
        out[k].steps = t->step_worse > 0 || t->step_better > 0;
    }
    if (made && draws_climb(&s, &nominal[EVN_DEMAND_CLIMB]))
        draw_climb(&s, &nominal[EVN_DEMAND_CLIMB], &out[EVN_DEMAND_CLIMB]);
    evn_report_free(s.aside);
    if (arena)
        evn_arena_free(arena);
    return made;
}
