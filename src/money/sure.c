/*
 * How sure it is that a truck pays: prices, mileage and the difference of energy drawn together, all trucks with the
 * same draw. Scrambled points and quantiles are those of comparisons (uncertainty/sobol.h, spread.h).
 */
#include "core/change.h"
#include "core/field_copy.h"
#include "core/uncertain.h"
#include "money/physics.h"
#include "uncertainty/shape.h"
#include "uncertainty/sobol.h"
#include "uncertainty/spread.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { DATA_MOST = 64, MOVED_MOST = 400 };

typedef struct moved { /* a number of the variant that a datum moves */
    double *at;
    double nominal, half_width, offset, least, most;
    evn_error_shape shape;
    size_t datum;
} moved;

typedef struct drawing {
    evn_payback *payback;
    evn_payback_basis basis;
    evn_prices_file *variant;
    const char *label[DATA_MOST], *errs_with[DATA_MOST];
    size_t data;    /* of the prices; behind them the energy of each truck, behind that data of the trucks */
    size_t physics; /* so many of these */
    size_t all;
    moved moved[MOVED_MOST];
    size_t count;
    bool more; /* there was no room for all */
    double energy_percent;
    /* Of a draw the share of all that the deviation of each lies above; or one alone, one standard uncertainty up or
     * down, all others in the middle. */
    bool drawn;
    double u[EVN_SOBOL_DIMENSIONS_MOST];
    size_t alone;
    int sign;
    double *standards;                                     /* room for deviations of data of the trucks */
    double value[EVN_LINEUP_MOST], years[EVN_LINEUP_MOST]; /* of the last one, against the first */
    double saved[EVN_LINEUP_MOST][EVN_FLOW_MOST];          /* by the end of each year, discounted */
} drawing;

/* ------------------------------------------------------------------------------------------------ what errs */

/* Values of entries with one label err as one. */
static size_t datum_of(drawing *d, const char *name, const evn_uncertain_file *e)
{
    for (size_t k = 0; e->errs_with && k < d->data; k++)
        if (d->errs_with[k] && strcmp(d->errs_with[k], e->errs_with) == 0)
            return k;
    d->label[d->data] = name;
    d->errs_with[d->data] = e->errs_with;
    return d->data++;
}

static void put_numbers(drawing *d, size_t datum, const evn_uncertain_file *e, const evn_named *n)
{
    bool bounded = n->field->shape == EVN_NUMBER || n->field->shape == EVN_LIST;
    d->more = d->more || n->count > MOVED_MOST - d->count;
    for (size_t k = 0; k < n->count && d->count < MOVED_MOST; k++)
        d->moved[d->count++] = (moved){.at = &n->at[k],
                                       .nominal = n->at[k],
                                       .half_width = evn_half_width(e->half_width, e->relative, n->at[k]),
                                       .offset = evn_range_offset(e, n->at[k]),
                                       .least = bounded ? n->field->least : 0,
                                       .most = bounded ? n->field->most : (double)INFINITY,
                                       .shape = (evn_error_shape)e->shape,
                                       .datum = datum};
}

static void gather(drawing *d, evn_report *aside)
{
    const evn_many *u = &d->variant->uncertain;
    const evn_uncertain_file *e = u->item;
    d->more = u->count > DATA_MOST;
    for (size_t k = 0; k < u->count && d->data < DATA_MOST; k++) {
        size_t datum = datum_of(d, u->name[k], &e[k]);
        for (size_t i = 0; i < e[k].of.count; i++) {
            evn_named named;
            if (evn_numbers_named(&evn_prices_object, d->variant, e[k].of.at[i], &named, aside))
                put_numbers(d, datum, &e[k], &named);
        }
    }
}

/* In half widths. */
static double deviation_of(const drawing *d, size_t datum, evn_error_shape shape)
{
    if (d->drawn)
        return evn_deviation(shape, d->u[datum]);
    return datum == d->alone ? d->sign * evn_standard_share(shape) : 0;
}

/* Each number anew from all that move it. */
static void move(drawing *d)
{
    for (size_t k = 0; k < d->count; k++)
        *d->moved[k].at = d->moved[k].nominal;
    for (size_t k = 0; k < d->count; k++) {
        const moved *m = &d->moved[k];
        double by = m->offset + m->half_width * deviation_of(d, m->datum, m->shape);
        *m->at = fmin(fmax(*m->at + by, m->least), m->most);
    }
}

/* ------------------------------------------------------------------------------------------------ one of them */

/* Held against the first, and both have a day that the physics can move. */
static bool is_drawn(const drawing *d, size_t truck)
{
    const evn_physics *y = d->payback->physics;
    return d->payback->paying[d->basis][truck].held_against && (!y || ((y->in & 1) && (y->in >> truck & 1)));
}

/* What the physics moves; as much on both bases. */
static void move_day(const drawing *d, size_t truck, evn_use *u)
{
    if (!d->payback->physics)
        return;
    evn_day_parts by = evn_physics_moved(d->payback->physics, truck, d->standards);
    if (u->surplus_kwh > 0) /* it takes what moves, before the depot does */
        u->surplus_kwh = fmax(u->surplus_kwh - by.of[EVN_DAY_BATTERY_KWH] + by.of[EVN_DAY_STORED_KWH], 0);
    u->battery_kwh += by.of[EVN_DAY_BATTERY_KWH];
    u->worst_depot_kwh += by.of[EVN_DAY_BATTERY_KWH] - by.of[EVN_DAY_STORED_KWH];
    u->stored_kwh += by.of[EVN_DAY_STORED_KWH];
    u->charged_kwh += by.of[EVN_DAY_CHARGED_KWH];
    u->charged_from_grid_kwh += by.of[EVN_DAY_FROM_GRID_KWH];
    u->charged_unstated_kwh += by.of[EVN_DAY_UNSTATED_KWH];
    u->discharged_kwh += by.of[EVN_DAY_DISCHARGED_KWH];
    u->h += by.of[EVN_DAY_H];
}

/* Deviations of a datum of the trucks in standard uncertainties, by which their slopes are. */
static void put_standards(drawing *d)
{
    for (size_t k = 0; k < d->physics; k++) {
        evn_error_shape shape = d->payback->physics->shape[k];
        d->standards[k] = deviation_of(d, d->data + d->payback->count + k, shape) / evn_standard_share(shape);
    }
}

static void reckon(drawing *d)
{
    evn_paying *p = d->payback->paying[d->basis];
    evn_account first, other;
    evn_account_ask ask = p[0].ask;
    evn_use of_first = p[0].use;
    move(d);
    put_standards(d);
    move_day(d, 0, &of_first);
    ask.use = &of_first;
    ask.prices = d->variant;
    ask.annual_km = d->payback->km_errs ? d->variant->annual_km : ask.annual_km;
    evn_account_of(&ask, &first);
    for (size_t k = 1; k < d->payback->count; k++) {
        double flow[EVN_FLOW_MOST], off = d->energy_percent / 100 * deviation_of(d, d->data + k, EVN_NORMAL);
        evn_use use = p[k].use;
        evn_account_ask of = ask;
        if (!is_drawn(d, k))
            continue;
        move_day(d, k, &use);
        use.battery_kwh *= 1 + off;
        use.discharged_kwh *= 1 + off;
        use.worst_depot_kwh *= 1 + off;
        of.name = p[k].ask.name;
        of.bought = p[k].ask.bought;
        of.use = &use;
        evn_account_of(&of, &other);
        double sum = 0;
        for (unsigned y = 0; y <= d->payback->years; y++) {
            flow[y] = other.flow[y] - first.flow[y];
            sum += flow[y] * evn_factor_pf(other.rate, y);
            d->saved[k][y] = sum;
        }
        d->value[k] = first.present_cost - other.present_cost;
        d->years[k] = evn_paid_back_of(flow, d->payback->years + 1, 0).years;
    }
}

/* ------------------------------------------------------------------------------------------------ what they tell */

static int compare(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return a < b ? -1 : a > b;
}

/* Room for what each truck comes to in each draw. */
typedef struct drawn {
    size_t draws, years;   /* of flows, the beginning included */
    double *value, *saved; /* [truck][draw], [truck][year][draw] */
} drawn;

static double *value_of(const drawn *to, size_t truck) { return to->value + truck * to->draws; }

static double *saved_of(const drawn *to, size_t truck, size_t year)
{
    return to->saved + (truck * to->years + year) * to->draws;
}

static void draw_all(drawing *d, uint64_t seed, const drawn *to)
{
    d->drawn = true;
    for (size_t k = 0; k < to->draws; k++) {
        uint32_t group = (uint32_t)(k % EVN_DRAW_GROUPS), index = (uint32_t)(k / EVN_DRAW_GROUPS);
        for (size_t i = 0; i < d->all; i++)
            d->u[i] = evn_sobol(seed, group, index, (uint32_t)i);
        reckon(d);
        for (size_t t = 1; t < d->payback->count; t++) {
            evn_paying_sure *s = &d->payback->paying[d->basis][t].sure;
            value_of(to, t)[k] = d->value[t];
            s->pays += d->value[t] > 0 ? 1 / (double)to->draws : 0;
            for (unsigned y = 0; y < to->years; y++) {
                s->within[y] += d->years[t] <= y ? 1 / (double)to->draws : 0;
                saved_of(to, t, y)[k] = d->saved[t][y];
            }
        }
    }
}

static int by_share(const void *left, const void *right)
{
    const evn_payback_cause *a = left, *b = right;
    return a->share > b->share ? -1 : a->share < b->share;
}

/* One standard uncertainty up and down; of the energy of other trucks nothing moves here. */
static void find_causes(drawing *d)
{
    size_t energy = d->data, trucks = energy + d->payback->count;
    d->drawn = false;
    for (size_t i = 0; i < d->all; i++) {
        double up[EVN_LINEUP_MOST] = {0};
        d->alone = i;
        d->sign = 1;
        reckon(d);
        memcpy(up, d->value, sizeof up);
        d->sign = -1;
        reckon(d);
        for (size_t t = 1; t < d->payback->count; t++) {
            evn_paying_sure *s = &d->payback->paying[d->basis][t].sure;
            const char *label = i < energy    ? d->label[i]
                                : i >= trucks ? d->payback->physics->label[i - trucks]
                                              : "energy use";
            if (i < energy || i >= trucks || (i == energy + t && !d->payback->physics && d->energy_percent > 0))
                s->cause[s->causes++] = (evn_payback_cause){label, 0.5 * (up[t] - d->value[t]), 0};
        }
    }
}

static void put_shares(evn_paying_sure *s)
{
    double sum = 0;
    for (size_t k = 0; k < s->causes; k++)
        sum += s->cause[k].value * s->cause[k].value;
    for (size_t k = 0; sum > 0 && k < s->causes; k++)
        s->cause[k].share = s->cause[k].value * s->cause[k].value / sum;
    qsort(s->cause, s->causes, sizeof *s->cause, by_share);
}

static evn_payback_band band_of(double *value, size_t draws)
{
    qsort(value, draws, sizeof *value, compare);
    return (evn_payback_band){evn_spread_quantile(value, draws, EVN_INTERVAL_BELOW),
                              evn_spread_quantile(value, draws, 0.5),
                              evn_spread_quantile(value, draws, 1 - EVN_INTERVAL_BELOW)};
}

static void put_sure(evn_paying_sure *s, const drawn *from, size_t truck)
{
    evn_payback_band all = band_of(value_of(from, truck), from->draws);
    s->draws = from->draws;
    s->low = all.low;
    s->median = all.median;
    s->high = all.high;
    for (size_t y = 0; y < from->years; y++)
        s->band[y] = band_of(saved_of(from, truck, y), from->draws);
    put_shares(s);
}

static bool make_room(drawing *d)
{
    evn_payback *b = d->payback;
    d->physics = b->physics ? b->physics->facts.data : 0;
    d->variant = evn_object_copy(&evn_prices_object, b->prices, b->arena);
    d->standards = evn_arena_take(b->arena, (d->physics + 1) * sizeof *d->standards);
    bool made = d->variant && d->standards;
    for (size_t t = 1; made && t < b->count; t++) {
        evn_paying_sure *s = &b->paying[d->basis][t].sure;
        s->cause = evn_arena_take(b->arena, (DATA_MOST + 1 + d->physics) * sizeof *s->cause);
        made = s->cause;
    }
    return made;
}

static bool all_had_room(drawing *d, evn_report *report)
{
    d->all = d->data + d->payback->count + d->physics;
    if (d->all > EVN_SOBOL_DIMENSIONS_MOST) {
        evn_say(report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere,
                "%zu values that err, of prices and trucks; expected %d at most", d->all, EVN_SOBOL_DIMENSIONS_MOST);
        return false;
    }
    if (d->more)
        evn_say(report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere,
                "more is uncertain in the prices than draws have room for; expected %d entries of uncertain and %d "
                "numbers at most",
                DATA_MOST, MOVED_MOST);
    return !d->more;
}

bool evn_payback_draw(evn_payback *b, evn_payback_basis basis, const evn_payback_how *how, evn_report *report)
{
    if (!b->paying[basis][0].there)
        return true;
    drawing *d = calloc(1, sizeof *d);
    drawn to = {.draws = how->draws, .years = b->years + 1};
    to.value = calloc(b->count * to.draws, sizeof *to.value);
    to.saved = calloc(b->count * to.years * to.draws, sizeof *to.saved);
    evn_report *aside = evn_report_new();
    bool room = d && to.value && to.saved && aside;
    if (room) {
        *d = (drawing){.payback = b, .basis = basis, .energy_percent = how->energy_percent};
        room = make_room(d);
    }
    if (room) {
        gather(d, aside);
        room = all_had_room(d, report);
    }
    if (room) {
        draw_all(d, how->seed, &to);
        find_causes(d);
    }
    for (size_t t = 1; room && t < b->count; t++)
        if (is_drawn(d, t))
            put_sure(&b->paying[basis][t].sure, &to, t);
    evn_report_free(aside);
    free(to.value);
    free(to.saved);
    free(d);
    return room;
}
