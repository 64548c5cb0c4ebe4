/* The fit of a loss map: least squares with coefficients at or above 0, and what it fills. */
#include "core/root.h"
#include "truck/map.h"
#include <math.h>
#include <string.h>

/*
 * Share of the maximum current that weakens the field, for torque share t at x times base speed; the voltage limit of a
 * machine without saliency solved for the direct-axis current (machine equations):
 *   i_d = kappa (1 - sqrt((1 + 1/kappa^2)/x^2 - (t/kappa)^2)), not below 0.
 * Beyond the reach of the voltage the root has no real value: the whole kappa is taken.
 */
double evn_weakening_share(double k, double t, double x)
{
    if (k <= 0 || x <= 1) /* below base speed the root is above 1 for every t <= 1 */
        return 0;
    double under = (1 + 1 / (k * k)) / (x * x) - t * t / (k * k);
    if (under >= 1)
        return 0;
    return under > 0 ? k * (1 - sqrt(under)) : k;
}

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

static void sum_up(const sample *c, const evn_map_fit *fit, normal *n)
{
    memset(n, 0, sizeof *n);
    size_t all = c->points->speeds * c->points->torques, seen = 0;
    for (size_t k = 0; k < all; k++) {
        if (isnan(c->loss_w[k]) || (c->reached_only && !is_reached(fit, c->points, k)) || seen++ % c->each)
            continue;
        double term[EVN_MAP_TERMS], weight = weight_of(c->loss_w[k], c->mean_w);
        terms_of(fit, c->points->torque_nm[k % c->points->torques], c->points->speed_rad_s[k / c->points->torques],
                 term);
        double loss = c->loss_w[k] / c->mean_w * weight;
        for (size_t a = 0; a < EVN_MAP_TERMS; a++) {
            term[a] *= weight;
            n->right[a] += term[a] * loss;
            for (size_t b = 0; b <= a; b++)
                n->with[a][b] += term[a] * term[b];
        }
        n->square += loss * loss;
    }
}

/* Cholesky over the terms of a set; false where they do not stand apart, or where a coefficient comes out below 0. */
static bool solve_set(const normal *n, unsigned set, double c[EVN_MAP_TERMS])
{
    double root[EVN_MAP_TERMS][EVN_MAP_TERMS], z[EVN_MAP_TERMS] = {0};
    size_t at[EVN_MAP_TERMS], count = 0;
    for (size_t k = 0; k < EVN_MAP_TERMS; k++) {
        c[k] = 0;
        if (set >> k & 1u)
            at[count++] = k;
    }
    for (size_t a = 0; a < count; a++) {
        z[a] = n->right[at[a]];
        for (size_t b = 0; b <= a; b++) {
            double sum = n->with[at[a]][at[b]];
            for (size_t k = 0; k < b; k++)
                sum -= root[a][k] * root[b][k];
            if (a == b && !(sum > 1e-10 * n->with[at[a]][at[a]]))
                return false;
            root[a][b] = a == b ? sqrt(sum) : sum / root[b][b];
        }
        for (size_t k = 0; k < a; k++)
            z[a] -= root[a][k] * z[k];
        z[a] /= root[a][a];
    }
    for (size_t a = count; a-- > 0;) {
        for (size_t k = a + 1; k < count; k++)
            z[a] -= root[k][a] * z[k];
        z[a] /= root[a][a];
        c[at[a]] = z[a];
        if (z[a] < 0)
            return false;
    }
    return true;
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

static size_t size_of(unsigned set)
{
    size_t count = 0;
    for (; set; set >>= 1)
        count += set & 1u;
    return count;
}

/*
 * Least squares at or above 0: of all sets of terms the best whose coefficients are, and which has fewer terms than
 * there are cells. Where cells cannot tell two sets apart, rounding does not choose: the earlier one stays, so w before
 * w^2 and the square of the current before the current.
 */
static double best_set(const sample *c, evn_map_fit *fit, unsigned terms)
{
    normal n;
    sum_up(c, fit, &n);
    double best = n.square, try[EVN_MAP_TERMS];
    memset(fit->c, 0, sizeof fit->c);
    for (unsigned set = 1; set <= terms; set++) {
        if ((set & ~terms) || size_of(set) >= c->measured || !solve_set(&n, set, try))
            continue;
        double left = left_over(&n, try);
        if (left < best - DROWNS * n.square) {
            best = left;
            memcpy(fit->c, try, sizeof fit->c);
        }
    }
    return best;
}

static double with_share(const sample *c, evn_map_fit *fit, unsigned terms, double share)
{
    fit->characteristic_share = share;
    return best_set(c, fit, terms);
}

typedef struct shares { /* what a fit leaves, over its characteristic current */
    const sample *of;
    evn_map_fit *fit;
    unsigned terms;
} shares;

static double left_with(void *self, double share)
{
    const shares *s = self;
    return with_share(s->of, s->fit, s->terms, share);
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
    enum { CELLS_ENOUGH = 300 };
    sample some = *c, reached;
    some.each = 1 + c->measured / CELLS_ENOUGH;
    reached = some;
    reached.reached_only = true;
    double of_some = best_share(&(shares){&some, fit, terms}), of_reached = best_share(&(shares){&reached, fit, terms});
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
