/* The fit of a loss map: least squares with coefficients at or above 0, and what it fills. */
#include "core/root.h"
#include "truck/map.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ the fit */

enum { COPPER = 3 }; /* index of the term that grows with the winding's resistance */

static void terms_of(const evn_map_fit *fit, double torque_nm, double w, double term[EVN_MAP_TERMS])
{
    double x = w / fit->base_rad_s, t = torque_nm / fit->peak_nm;
    double id =
        evn_weakening_share(fit->characteristic_share, fmin(fabs(t), 1), x); /* above 1 it would jump at x = 1 */
    term[0] = 1;
    term[1] = x;
    term[2] = x * x;
    term[COPPER] = t * t + id * id;
    term[4] = sqrt(term[COPPER]);
}

double evn_map_fit_w(const evn_map_fit *fit, double torque_nm, double w, double *copper_w)
{
    double term[EVN_MAP_TERMS];
    terms_of(fit, torque_nm, w, term);
    *copper_w = fit->c[COPPER] * term[COPPER];
    return fit->c[0] + fit->c[1] * term[1] + fit->c[2] * term[2] + *copper_w + fit->c[4] * term[4];
}

/* Of the cell k of a layer. */
static double fit_of_cell(const evn_map_fit *fit, const evn_map_points *p, size_t k)
{
    double copper_w;
    return evn_map_fit_w(fit, p->torque_nm[k % p->torques], p->speed_rad_s[k / p->torques], &copper_w);
}

/* Sums of products of the terms and the measured losses. */
typedef struct normal {
    double with[EVN_MAP_TERMS][EVN_MAP_TERMS], right[EVN_MAP_TERMS], square;
} normal;

typedef struct sample { /* the measured cells of one voltage */
    const evn_map_points *points;
    const double *loss_w;
    bool reached_only;     /* without those beyond the peak power */
    size_t measured, each; /* every each-th is taken */
    double mean_w;
} sample;

/* A hair is allowed: cells on the envelope are often the last that were measured. */
static bool is_reached(const evn_map_fit *fit, const evn_map_points *p, size_t k)
{
    return fabs(p->torque_nm[k % p->torques]) * p->speed_rad_s[k / p->torques] <=
           1.001 * fit->peak_nm * fit->base_rad_s;
}

/*
 * Errors count by their share of the loss, small losses a little less: rounding of efficiencies grows with the power.
 * All is as shares of the mean loss, so that losses of any size can be squared.
 */
static double weight_of(double loss_w, double mean_w) { return 1 / (loss_w / mean_w + 0.1); }

/* A measured cell as the sums take it: what of it does not change with the characteristic current. */
typedef struct sampled {
    double x, t, t2;            /* speed over base speed, torque over peak torque (at most 1), its square as it is */
    double weight, loss;        /* of its error; times the loss */
    double term[EVN_MAP_TERMS]; /* times the weight; those before COPPER */
} sampled;

/* False: it does not count. */
static bool cell_of(const sample *c, const evn_map_fit *fit, size_t k, size_t *seen, sampled *out)
{
    if (isnan(c->loss_w[k]) || (c->reached_only && !is_reached(fit, c->points, k)) || (*seen)++ % c->each)
        return false;
    double t = c->points->torque_nm[k % c->points->torques] / fit->peak_nm;
    double x = c->points->speed_rad_s[k / c->points->torques] / fit->base_rad_s;
    double weight = weight_of(c->loss_w[k], c->mean_w);
    *out = (sampled){.x = x, .t = fmin(fabs(t), 1), .t2 = t * t, .weight = weight};
    out->loss = c->loss_w[k] / c->mean_w * weight;
    out->term[0] = weight;
    out->term[1] = x * weight;
    out->term[2] = x * x * weight;
    return true;
}

static void add_terms(normal *n, const sampled *c, const double *term, size_t from, size_t to)
{
    for (size_t a = from; a < to; a++) {
        n->right[a] += term[a] * c->loss;
        for (size_t b = 0; b <= a; b++)
            n->with[a][b] += term[a] * term[b];
    }
}

static void add_fixed(normal *n, const sampled *c)
{
    add_terms(n, c, c->term, 0, COPPER);
    n->square += c->loss * c->loss;
}

static void add_current(normal *n, const sampled *c, double share)
{
    double term[EVN_MAP_TERMS] = {c->term[0], c->term[1], c->term[2]};
    double id = evn_weakening_share(share, c->t, c->x), current2 = c->t2 + id * id;
    term[COPPER] = current2 * c->weight;
    term[4] = sqrt(current2) * c->weight;
    add_terms(n, c, term, COPPER, EVN_MAP_TERMS);
}

static void sum_up(const sample *c, const evn_map_fit *fit, normal *n)
{
    size_t all = c->points->speeds * c->points->torques, seen = 0;
    sampled one;
    memset(n, 0, sizeof *n);
    for (size_t k = 0; k < all; k++)
        if (cell_of(c, fit, k, &seen, &one)) {
            add_fixed(n, &one);
            add_current(n, &one, fit->characteristic_share);
        }
}

/* Cholesky over the terms of a set, and the right side brought forward. */
typedef struct factor {
    double root[EVN_MAP_TERMS][EVN_MAP_TERMS], z[EVN_MAP_TERMS];
    size_t at[EVN_MAP_TERMS], count;
    bool stands; /* the terms stand apart */
} factor;

/* Of a set with one more term, behind all others. */
static void add_row(const normal *n, const factor *of, size_t term, factor *out)
{
    *out = *of;
    size_t a = out->count++;
    out->at[a] = term;
    if (!out->stands)
        return;
    for (size_t b = 0; b <= a; b++) {
        double sum = n->with[term][out->at[b]];
        for (size_t k = 0; k < b; k++)
            sum -= out->root[a][k] * out->root[b][k];
        out->stands = a != b || sum > 1e-10 * n->with[term][term];
        out->root[a][b] = a == b ? sqrt(sum) : sum / out->root[b][b];
    }
    double z = n->right[term];
    for (size_t k = 0; k < a; k++)
        z -= out->root[a][k] * out->z[k];
    out->z[a] = z / out->root[a][a];
}

/* False where the terms do not stand apart, or where a coefficient comes out below 0. */
static bool solve(const factor *f, double c[EVN_MAP_TERMS])
{
    double z[EVN_MAP_TERMS];
    memset(c, 0, EVN_MAP_TERMS * sizeof *c);
    memcpy(z, f->z, sizeof z);
    for (size_t a = f->stands ? f->count : 0; a-- > 0;) {
        for (size_t k = a + 1; k < f->count; k++)
            z[a] -= f->root[k][a] * z[k];
        z[a] /= f->root[a][a];
        c[f->at[a]] = z[a];
        if (z[a] < 0)
            return false;
    }
    return f->stands;
}

/* What the sum of squares falls to with these coefficients at their least-squares values: square - c right. */
static double left_over(const normal *n, const double c[EVN_MAP_TERMS])
{
    double left = n->square;
    for (size_t k = 0; k < EVN_MAP_TERMS; k++)
        left -= c[k] * n->right[k];
    return left;
}

#define DROWNS 1e-12 /* of the sum of squares: rounding may make as much */

static size_t highest_of(unsigned set)
{
    size_t k = 0;
    while (set >>= 1)
        k++;
    return k;
}

/*
 * Least squares at or above 0: of all sets of terms the best whose coefficients are, and which has fewer terms than
 * there are cells. Where cells cannot tell two sets apart, rounding does not choose: the earlier one stays, so w before
 * w^2 and the square of the current before the current.
 */
static double best_set(const normal *n, size_t measured, unsigned terms, evn_map_fit *fit)
{
    factor of[1u << EVN_MAP_TERMS];
    double best = n->square, try[EVN_MAP_TERMS];
    memset(fit->c, 0, sizeof fit->c);
    of[0] = (factor){.stands = true};
    for (unsigned set = 1; set <= terms; set++) {
        size_t last = highest_of(set);
        add_row(n, &of[set ^ 1u << last], last, &of[set]);
        if (of[set].count >= measured || !solve(&of[set], try))
            continue;
        double left = left_over(n, try);
        if (left < best - DROWNS * n->square) {
            best = left;
            memcpy(fit->c, try, sizeof fit->c);
        }
    }
    return best;
}

static double with_share(const sample *c, evn_map_fit *fit, unsigned terms, double share)
{
    normal n;
    fit->characteristic_share = share;
    sum_up(c, fit, &n);
    return best_set(&n, c->measured, terms, fit);
}

enum { CELLS_ENOUGH = 300 };

typedef struct shares { /* what a fit leaves, over its characteristic current */
    evn_map_fit *fit;
    unsigned terms;
    size_t measured;
    normal fixed;                   /* sums of what does not change with it */
    sampled cell[CELLS_ENOUGH + 1]; /* whose current changes */
    size_t count;
} shares;

/* Below base speed nothing weakens the field. Such cells come first, so that all is added up in the order of the cells.
 */
static void set_shares(shares *s, const sample *c, evn_map_fit *fit, unsigned terms)
{
    size_t all = c->points->speeds * c->points->torques, seen = 0;
    *s = (shares){.fit = fit, .terms = terms, .measured = c->measured};
    for (size_t k = 0; k < all; k++) {
        sampled *one = &s->cell[s->count];
        if (!cell_of(c, fit, k, &seen, one))
            continue;
        add_fixed(&s->fixed, one);
        if (one->x <= 1)
            add_current(&s->fixed, one, 0);
        else
            s->count++;
    }
}

static double left_with(void *self, double share)
{
    const shares *s = self;
    normal n = s->fixed;
    for (size_t k = 0; k < s->count; k++)
        add_current(&n, &s->cell[k], share);
    s->fit->characteristic_share = share;
    return best_set(&n, s->measured, s->terms, s->fit);
}

/* The best around each dip of a row over all characteristic currents that a motor may have. */
static double best_share(shares *over)
{
    static const double least = 0.05, most = 5, step = 1.02;
    double best = left_with(over, 0), before = best, here = best, share = 0;
    for (double k = least; k < most * step; k *= step) {
        double next = left_with(over, k);
        if (here < before && here <= next) {
            double dip = evn_root_least(left_with, over, k / (step * step), k, 1e-6), left = left_with(over, dip);
            share = left < best ? dip : share;
            best = fmin(best, left);
        }
        before = here;
        here = next;
    }
    return share;
}

/*
 * The characteristic current; 0 where it takes less than a fifth off what the fit leaves. Where the voltage no longer
 * reaches, the weakening current has a corner, at another share for each cell beyond the peak power: beside such
 * corners the search may miss the best, so it is made without these cells too. Of a large map some cells are searched,
 * and all decide.
 */
static double search_share(const sample *c, evn_map_fit *fit, unsigned terms)
{
    sample some = *c;
    shares over;
    some.each = 1 + c->measured / CELLS_ENOUGH;
    set_shares(&over, &some, fit, terms);
    double of_some = best_share(&over);
    some.reached_only = true;
    set_shares(&over, &some, fit, terms);
    double of_reached = best_share(&over);
    double left = with_share(c, fit, terms, of_some), other = with_share(c, fit, terms, of_reached);
    double none = with_share(c, fit, terms, 0), share = other < left ? of_reached : of_some;
    left = fmin(left, other);
    bool shown = left < 0.8 * none && none - left > DROWNS * (double)c->measured;
    return shown ? share : 0;
}

/* The measured cells of one voltage; their mean is 0 where none loses anything. */
static sample sample_of(const evn_map_points *p, const double *loss_w)
{
    sample c = {.points = p, .loss_w = loss_w, .each = 1};
    double sum = 0;
    for (size_t k = 0; k < p->speeds * p->torques; k++)
        if (!isnan(loss_w[k])) {
            c.measured++;
            sum += loss_w[k];
        }
    c.mean_w = c.measured ? sum / (double)c.measured : 0;
    return c;
}

static void scale(evn_map_fit *fit, double mean_w)
{
    for (size_t k = 0; k < EVN_MAP_TERMS; k++)
        fit->c[k] *= mean_w;
}

/* ------------------------------------------------------------------------------------------------ whether it helps */

/*
 * How well measured cells are told by those around them: each inner one is left out in turn, along each axis, and the
 * polynomial through those next to it on both sides is asked instead; with a fit, of what the losses differ from it. So
 * fits are held against each other, and against none.
 */
typedef struct leaving_out {
    const sample *of;
    const evn_map_fit *fit; /* NULL: the losses themselves */
    size_t side;            /* so many on each side: 1 for the straight line, 2 for the cubic */
    double squares;         /* of what is missed, as shares of the loss */
    size_t count;
} leaving_out;

typedef struct row { /* cells along one axis */
    const double *axis;
    size_t count, first, stride;
} row;

/* The polynomial through the points from `low` to `high` but one, there (Lagrange). */
static double told_by_others(const double *x, const double *y, size_t low, size_t high, size_t out)
{
    double sum = 0;
    for (size_t a = low; a <= high; a++) {
        double part = a == out ? 0 : y[a];
        for (size_t b = low; b <= high; b++)
            if (a != out && b != out && a != b)
                part *= (x[out] - x[b]) / (x[a] - x[b]);
        sum += part;
    }
    return sum;
}

static void leave_out_along(leaving_out *to, const row *r)
{
    enum { MOST = EVN_MAP_AXIS_MOST + 3 }; /* an axis that was widened */
    double x[MOST], y[MOST], weight[MOST];
    size_t n = 0;
    for (size_t k = 0; k < r->count; k++) {
        size_t cell = r->first + k * r->stride;
        double loss_w = to->of->loss_w[cell];
        if (isnan(loss_w))
            continue;
        x[n] = r->axis[k];
        y[n] = loss_w - (to->fit ? fit_of_cell(to->fit, to->of->points, cell) : 0);
        weight[n++] = weight_of(loss_w, to->of->mean_w) / to->of->mean_w;
    }
    for (size_t k = 1; k + 1 < n; k++) {
        size_t low = k > to->side ? k - to->side : 0, high = k + to->side < n ? k + to->side : n - 1;
        double missed = weight[k] * (y[k] - told_by_others(x, y, low, high, k));
        to->squares += missed * missed;
        to->count++;
    }
}

/* Root mean square of what is missed, as a share of the loss. */
static double missed_with(const evn_map_fit *fit, const sample *c, size_t side)
{
    const evn_map_points *p = c->points;
    leaving_out all = {.of = c, .fit = fit, .side = side};
    for (size_t i = 0; i < p->speeds; i++)
        leave_out_along(&all, &(row){p->torque_nm, p->torques, i * p->torques, 1});
    for (size_t j = 0; j < p->torques; j++)
        leave_out_along(&all, &(row){p->speed_rad_s, p->speeds, j, p->torques});
    return all.count ? sqrt(all.squares / (double)all.count) : 0;
}

static const double ALIKE = 1e-6; /* shares of the loss; two that miss by less are alike */

/* By straight lines: what is linear, as no motor's loss is, comes out as it is. */
bool evn_map_fit_helps(const evn_map_fit *fit, const evn_map_points *p, const double *loss_w)
{
    sample c = sample_of(p, loss_w);
    return c.mean_w > 0 && missed_with(fit, &c, 1) <= missed_with(NULL, &c, 1) + ALIKE;
}

/* The weakening current may follow what is something else: by cubics, which show the corners that it then brings. */
void evn_map_fit_make(evn_map_fit *fit, const evn_map_points *p, const double *loss_w, bool with_inverter)
{
    sample c = sample_of(p, loss_w);
    fit->characteristic_share = 0;
    memset(fit->c, 0, sizeof fit->c);
    if (c.mean_w <= 0)
        return;
    unsigned terms = with_inverter ? 31u : 15u;
    evn_map_fit without = *fit;
    with_share(&c, fit, terms, search_share(&c, fit, terms));
    with_share(&c, &without, terms, 0);
    scale(fit, c.mean_w);
    scale(&without, c.mean_w);
    if (missed_with(&without, &c, 2) < missed_with(fit, &c, 2) - ALIKE)
        *fit = without;
}

/* ------------------------------------------------------------------------------------------------ filling */

enum { MEASURED, FILLED, OPEN };

typedef struct around { /* ratios of known cells over the fit, weighted by nearness */
    double sum, weight;
} around;

static void add(around *to, double ratio, double distance)
{
    double weight = 1 / (distance * distance);
    to->sum += weight * ratio;
    to->weight += weight;
}

/* Nearest known cells up and down both axes, distances as shares of the axes. */
static around look_around(const evn_map_points *p, const uint8_t *state, const double *ratio, size_t i, size_t j)
{
    around a = {0, 0};
    double w = p->speed_rad_s[p->speeds - 1] - p->speed_rad_s[0], t = p->torque_nm[p->torques - 1] - p->torque_nm[0];
    for (size_t k = i; k-- > 0;)
        if (state[k * p->torques + j] != OPEN) {
            add(&a, ratio[k * p->torques + j], (p->speed_rad_s[i] - p->speed_rad_s[k]) / w);
            break;
        }
    for (size_t k = i + 1; k < p->speeds; k++)
        if (state[k * p->torques + j] != OPEN) {
            add(&a, ratio[k * p->torques + j], (p->speed_rad_s[k] - p->speed_rad_s[i]) / w);
            break;
        }
    for (size_t k = j; k-- > 0;)
        if (state[i * p->torques + k] != OPEN) {
            add(&a, ratio[i * p->torques + k], (p->torque_nm[j] - p->torque_nm[k]) / t);
            break;
        }
    for (size_t k = j + 1; k < p->torques; k++)
        if (state[i * p->torques + k] != OPEN) {
            add(&a, ratio[i * p->torques + k], (p->torque_nm[k] - p->torque_nm[j]) / t);
            break;
        }
    return a;
}

/* One round: open cells that see known ones get a ratio, and count as known from the next round on. False: none. */
static bool fill_round(const evn_map_points *p, uint8_t *state, double *ratio)
{
    size_t cells = p->speeds * p->torques;
    bool some = false;
    for (size_t k = 0; k < cells; k++) {
        around a = {0, 0};
        if (state[k] == OPEN)
            a = look_around(p, state, ratio, k / p->torques, k % p->torques);
        if (a.weight > 0)
            ratio[k] = a.sum / a.weight;
    }
    for (size_t k = 0; k < cells; k++)
        if (state[k] == OPEN && ratio[k] > 0) {
            state[k] = FILLED;
            some = true;
        }
    return some;
}

/* Known cells over the fit; far from it only because the fit is a smooth one: a filled cell takes no more than a
 * factor 2. */
static double ratio_of(double loss_w, double fit_w)
{
    double ratio = fit_w > 0 ? loss_w / fit_w : 1;
    return fmin(fmax(ratio, 0.5), 2);
}

void evn_map_fill(const evn_map_fit *fit, const evn_map_points *p, double *loss_w, uint8_t *filled, double *ratio)
{
    size_t cells = p->speeds * p->torques;
    for (size_t k = 0; k < cells; k++) {
        filled[k] = isnan(loss_w[k]) ? OPEN : MEASURED;
        ratio[k] = filled[k] == MEASURED ? ratio_of(loss_w[k], fit_of_cell(fit, p, k)) : 0;
    }
    while (fill_round(p, filled, ratio)) {
    }
    for (size_t k = 0; k < cells; k++) {
        filled[k] = filled[k] != MEASURED;
        if (filled[k])
            loss_w[k] = ratio[k] * fit_of_cell(fit, p, k);
    }
}
