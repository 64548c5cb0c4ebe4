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

double evn_map_fit_w(const evn_map_fit *fit, double torque_nm, double w)
{
    double term[EVN_MAP_TERMS], sum = 0;
    terms_of(fit, torque_nm, w, term);
    for (size_t k = 0; k < EVN_MAP_TERMS; k++)
        sum += fit->c[k] * term[k];
    return sum;
}

double evn_map_fit_copper_share(const evn_map_fit *fit, double torque_nm, double w)
{
    double term[EVN_MAP_TERMS], sum = 0;
    terms_of(fit, torque_nm, w, term);
    for (size_t k = 0; k < EVN_MAP_TERMS; k++)
        sum += fit->c[k] * term[k];
    return sum > 0 ? fit->c[COPPER] * term[COPPER] / sum : 0;
}

/* Sums of products of the terms and the measured losses. */
typedef struct normal {
    double with[EVN_MAP_TERMS][EVN_MAP_TERMS], right[EVN_MAP_TERMS], square;
} normal;

typedef struct sample { /* the measured cells of one voltage */
    const evn_map_points *points;
    const double *loss_w;
    size_t step; /* of a large map not every one is taken */
    double floor_w;
} sample;

/* Errors count by their share of the loss, small losses a little less: rounding of efficiencies grows with the power.
 */
static void sum_up(const sample *c, const evn_map_fit *fit, normal *n)
{
    memset(n, 0, sizeof *n);
    size_t all = c->points->speeds * c->points->torques, seen = 0;
    for (size_t k = 0; k < all; k++) {
        if (isnan(c->loss_w[k]) || seen++ % c->step)
            continue;
        double term[EVN_MAP_TERMS], weight = 1 / (c->loss_w[k] + c->floor_w);
        terms_of(fit, c->points->torque_nm[k % c->points->torques], c->points->speed_rad_s[k / c->points->torques],
                 term);
        double loss = c->loss_w[k] * weight;
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

/* Least squares at or above 0: of all sets of terms the best whose coefficients are. */
static double best_set(const sample *c, evn_map_fit *fit, unsigned terms)
{
    normal n;
    sum_up(c, fit, &n);
    double best = n.square, try[EVN_MAP_TERMS];
    memset(fit->c, 0, sizeof fit->c);
    for (unsigned set = 1; set <= terms; set++) {
        if ((set & ~terms) || !solve_set(&n, set, try))
            continue;
        double left = left_over(&n, try);
        if (left < best) {
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

/* The characteristic current: the best of a row, then the best around it. */
static void search_share(const sample *c, evn_map_fit *fit, unsigned terms)
{
    double none = with_share(c, fit, terms, 0), best = none, share = 0;
    for (int k = 3; k <= 15; k++) {
        double left = with_share(c, fit, terms, 0.1 * k);
        if (left < best) {
            best = left;
            share = 0.1 * k;
        }
    }
    if (share <= 0 || best > 0.999 * none) { /* the map does not show it */
        with_share(c, fit, terms, 0);
        return;
    }
    shares at = {c, fit, terms};
    with_share(c, fit, terms, evn_root_least(left_with, &at, share - 0.1, share + 0.1, 1e-6));
}

void evn_map_fit_make(evn_map_fit *fit, const evn_map_points *p, const double *loss_w, bool with_inverter)
{
    enum { CELLS_ENOUGH = 2000 };
    size_t measured = 0, all = p->speeds * p->torques;
    double sum = 0;
    for (size_t k = 0; k < all; k++)
        if (!isnan(loss_w[k])) {
            measured++;
            sum += loss_w[k];
        }
    fit->characteristic_share = 0;
    memset(fit->c, 0, sizeof fit->c);
    if (sum <= 0)
        return;
    sample c = {p, loss_w, 1 + measured / CELLS_ENOUGH, 0.1 * sum / (double)measured};
    search_share(&c, fit, with_inverter ? 31u : 15u);
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

/* One round: open cells that see known ones get a ratio, above 0; they count as known from the next round on. */
static bool fill_round(const evn_map_points *p, uint8_t *state, double *ratio)
{
    bool some = false;
    for (size_t i = 0; i < p->speeds; i++)
        for (size_t j = 0; j < p->torques; j++) {
            size_t k = i * p->torques + j;
            if (state[k] != OPEN)
                continue;
            around a = look_around(p, state, ratio, i, j);
            if (a.weight > 0) {
                ratio[k] = a.sum / a.weight;
                some = true;
            }
        }
    for (size_t k = 0; k < p->speeds * p->torques && some; k++)
        if (state[k] == OPEN && ratio[k] > 0)
            state[k] = FILLED;
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
        double fit_w = evn_map_fit_w(fit, p->torque_nm[k % p->torques], p->speed_rad_s[k / p->torques]);
        filled[k] = isnan(loss_w[k]) ? OPEN : MEASURED;
        ratio[k] = filled[k] == MEASURED ? ratio_of(loss_w[k], fit_w) : 0;
    }
    while (fill_round(p, filled, ratio)) {
    }
    for (size_t k = 0; k < cells; k++) {
        filled[k] = filled[k] != MEASURED;
        if (filled[k])
            loss_w[k] = ratio[k] * evn_map_fit_w(fit, p->torque_nm[k % p->torques], p->speed_rad_s[k / p->torques]);
    }
}
