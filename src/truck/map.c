/* Loss maps: slopes, interpolation, and the making of a map from its points. */
#include "truck/map.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ slopes */

typedef struct line { /* values along one axis */
    const double *x, *y;
    size_t count, stride; /* of y */
} line;

static double secant(const line *l, size_t k)
{
    return (l->y[(k + 1) * l->stride] - l->y[k * l->stride]) / (l->x[k + 1] - l->x[k]);
}

/* Cut to where a cubic stays monotone beside this secant (Fritsch and Carlson 1980; Hyman 1983; from memory). */
static double cut(double slope, double beside)
{
    if (slope * beside <= 0)
        return 0;
    return fabs(slope) > 3 * fabs(beside) ? 3 * beside : slope;
}

/* Slope of the parabola through a point and its neighbours, cut; 0 at a turning point. Two points: the straight line.
 */
static double slope_at(const line *l, size_t k)
{
    size_t last = l->count - 1;
    if (last == 1)
        return secant(l, 0);
    if (k == 0 || k == last) {
        size_t near = k ? last - 1 : 0, far = k ? last - 2 : 1;
        double a = l->x[near + 1] - l->x[near], b = l->x[far + 1] - l->x[far];
        return cut(((2 * a + b) * secant(l, near) - a * secant(l, far)) / (a + b), secant(l, near));
    }
    double left = secant(l, k - 1), right = secant(l, k);
    double a = l->x[k] - l->x[k - 1], b = l->x[k + 1] - l->x[k];
    if (left * right <= 0)
        return 0;
    return cut(cut((b * left + a * right) / (a + b), left), right);
}

static double along_speed(const evn_map *m, const double *node, size_t i, size_t j, size_t member)
{
    line l = {m->speed_rad_s, node + EVN_NODE_DOUBLES * j + member, m->speeds, EVN_NODE_DOUBLES * m->torques};
    return slope_at(&l, i);
}

static double along_torque(const evn_map *m, const double *node, size_t i, size_t j, size_t member)
{
    line l = {m->torque_nm, node + EVN_NODE_DOUBLES * i * m->torques + member, m->torques, EVN_NODE_DOUBLES};
    return slope_at(&l, j);
}

/*
 * Holds the mixed derivative where the Bernstein coefficient next to the node, f + h f_x/3 + k f_y/3 + h k f_xy/9, with
 * f counted from the least node, is not below 0 in any of the four cells around: the surface does not dip below its
 * nodes. That range is never empty: f_x f_y/f lies in it, since the monotone slopes keep f + h f_x/3 and f + k f_y/3 at
 * or above 0.
 */
static double held_mixed(const evn_map *m, const double *node, size_t i, size_t j, double mixed, double least)
{
    const double *n = node + EVN_NODE_DOUBLES * (i * m->torques + j);
    double low = -(double)INFINITY, high = (double)INFINITY;
    for (int quarter = 0; quarter < 4; quarter++) {
        bool right = quarter & 1, up = quarter & 2;
        if ((right ? i + 1 == m->speeds : i == 0) || (up ? j + 1 == m->torques : j == 0))
            continue;
        double h = right ? m->speed_rad_s[i + 1] - m->speed_rad_s[i] : m->speed_rad_s[i - 1] - m->speed_rad_s[i];
        double k = up ? m->torque_nm[j + 1] - m->torque_nm[j] : m->torque_nm[j - 1] - m->torque_nm[j];
        double without = n[EVN_NODE_VALUE] - least + h * n[EVN_NODE_BY_SPEED] / 3 + k * n[EVN_NODE_BY_TORQUE] / 3;
        double edge = -9 * without / (h * k);
        if (h * k > 0)
            low = fmax(low, edge);
        else
            high = fmin(high, edge);
    }
    return fmax(fmin(mixed, high), low);
}

static double least_of(const evn_map *m, const double *node)
{
    double least = node[EVN_NODE_VALUE];
    for (size_t c = 1; c < m->speeds * m->torques; c++)
        least = fmin(least, node[EVN_NODE_DOUBLES * c + EVN_NODE_VALUE]);
    return least;
}

static void set_slopes(const evn_map *m, double *node)
{
    double least = least_of(m, node);
    for (size_t i = 0; i < m->speeds; i++)
        for (size_t j = 0; j < m->torques; j++) {
            double *n = node + EVN_NODE_DOUBLES * (i * m->torques + j);
            n[EVN_NODE_BY_SPEED] = along_speed(m, node, i, j, EVN_NODE_VALUE);
            n[EVN_NODE_BY_TORQUE] = along_torque(m, node, i, j, EVN_NODE_VALUE);
        }
    for (size_t i = 0; i < m->speeds; i++)
        for (size_t j = 0; j < m->torques; j++) {
            double mixed =
                (along_speed(m, node, i, j, EVN_NODE_BY_TORQUE) + along_torque(m, node, i, j, EVN_NODE_BY_SPEED)) / 2;
            node[EVN_NODE_DOUBLES * (i * m->torques + j) + EVN_NODE_BY_BOTH] = held_mixed(m, node, i, j, mixed, least);
        }
}

/* ------------------------------------------------------------------------------------------------ evaluation */

/* The piece that holds x: between its left point and the next; the last one at the upper end. */
static size_t piece_of(const double *x, size_t count, double at)
{
    size_t low = 0, high = count - 1;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (at >= x[middle])
            low = middle;
        else
            high = middle;
    }
    return low;
}

typedef struct spot { /* a point of the grid: its cell, and how far into it, 0 to 1 */
    size_t i, j;
    double u, v, h, k;
} spot;

static spot spot_at(const evn_map *m, double torque_nm, double w)
{
    spot s = {.i = piece_of(m->speed_rad_s, m->speeds, w), .j = piece_of(m->torque_nm, m->torques, torque_nm)};
    s.h = m->speed_rad_s[s.i + 1] - m->speed_rad_s[s.i];
    s.k = m->torque_nm[s.j + 1] - m->torque_nm[s.j];
    s.u = (w - m->speed_rad_s[s.i]) / s.h;
    s.v = (torque_nm - m->torque_nm[s.j]) / s.k;
    return s;
}

/* Cubic Hermite weights of value and slope at the two ends. */
static void weights(double u, double h, double value[2], double slope[2])
{
    double r = 1 - u;
    value[0] = (1 + 2 * u) * r * r;
    value[1] = u * u * (3 - 2 * u);
    slope[0] = h * u * r * r;
    slope[1] = -h * u * u * r;
}

/* Of what the nodes hold. */
static double surface_w(const evn_map *m, const evn_map_layer *layer, const spot *s)
{
    double value_u[2], slope_u[2], value_v[2], slope_v[2], sum = 0;
    weights(s->u, s->h, value_u, slope_u);
    weights(s->v, s->k, value_v, slope_v);
    for (size_t a = 0; a < 2; a++)
        for (size_t b = 0; b < 2; b++) {
            const double *n = layer->node + EVN_NODE_DOUBLES * ((s->i + a) * m->torques + s->j + b);
            sum += value_v[b] * (value_u[a] * n[EVN_NODE_VALUE] + slope_u[a] * n[EVN_NODE_BY_SPEED]) +
                   slope_v[b] * (value_u[a] * n[EVN_NODE_BY_TORQUE] + slope_u[a] * n[EVN_NODE_BY_BOTH]);
        }
    return sum;
}

/*
 * No loss is below 0: where fit and nodes sum up to less than the bend, the sum is bent into 0, smoothly. The bend lies
 * below every loss of a motor that follows the law, so that nothing of it is bent.
 */
static double bent_w(double sum_w, double bend_w)
{
    if (sum_w >= bend_w)
        return sum_w;
    double above = sum_w + bend_w;
    return above > 0 ? above * above / (4 * bend_w) : 0;
}

/* The sum that is bent into this loss. */
static double unbent_w(double loss_w, double bend_w)
{
    return loss_w >= bend_w ? loss_w : 2 * sqrt(bend_w * loss_w) - bend_w;
}

static double held_within(double x, double low, double high) { return x < low ? low : x > high ? high : x; }

/* A point as the map knows it: on its side, and the nearest to it on the grid. */
typedef struct place {
    double torque_nm, w, torque_on_nm, w_on;
    bool beyond;
} place;

static place place_of(const evn_map *m, double torque_nm, double w)
{
    place p = {.torque_nm = m->mirrored ? fabs(torque_nm) : torque_nm, .w = w > 0 ? w : 0};
    p.torque_on_nm = held_within(p.torque_nm, m->torque_nm[0], m->torque_nm[m->torques - 1]);
    p.w_on = held_within(p.w, m->speed_rad_s[0], m->speed_rad_s[m->speeds - 1]);
    p.beyond = p.torque_on_nm != p.torque_nm || p.w_on != p.w;
    return p;
}

static double layer_w(const evn_map *m, const evn_map_layer *layer, const place *p, const spot *s, double copper_factor)
{
    double copper_w = 0, fit_w = 0, edge_w = 0, unused;
    if (layer->on_fit || p->beyond || copper_factor != 1)
        fit_w = edge_w = evn_map_fit_w(&layer->fit, p->torque_nm, p->w, &copper_w);
    if (p->beyond)
        edge_w = evn_map_fit_w(&layer->fit, p->torque_on_nm, p->w_on, &unused);
    double loss =
        bent_w(surface_w(m, layer, s) + (layer->on_fit ? edge_w : 0), layer->bend_w) + fmax(fit_w - edge_w, 0);
    if (copper_factor != 1 && fit_w > 0)
        loss *= 1 + (copper_factor - 1) * copper_w / fit_w;
    return loss;
}

/* The layer below a voltage and the share of the one above it. */
static size_t layer_of(const evn_map *m, double voltage_v, double *share)
{
    *share = 0;
    if (m->layers == 1 || voltage_v <= m->layer[0].voltage_v)
        return 0;
    size_t k = 0;
    while (k + 1 < m->layers && voltage_v >= m->layer[k + 1].voltage_v)
        k++;
    if (k + 1 < m->layers)
        *share = (voltage_v - m->layer[k].voltage_v) / (m->layer[k + 1].voltage_v - m->layer[k].voltage_v);
    return k;
}

double evn_map_loss_w(const evn_map *m, double torque_nm, double w, double voltage_v, double copper_factor)
{
    double share;
    place p = place_of(m, torque_nm, w);
    spot s = spot_at(m, p.torque_on_nm, p.w_on);
    size_t k = layer_of(m, voltage_v, &share);
    double loss = layer_w(m, &m->layer[k], &p, &s, copper_factor);
    if (share > 0)
        loss += share * (layer_w(m, &m->layer[k + 1], &p, &s, copper_factor) - loss);
    return loss;
}

static double copper_share(const evn_map_layer *layer, const place *p, double copper_factor)
{
    double copper_w, fit_w = evn_map_fit_w(&layer->fit, p->torque_nm, p->w, &copper_w);
    double grown_w = fit_w + (copper_factor - 1) * copper_w;
    return grown_w > 0 ? copper_factor * copper_w / grown_w : 0;
}

double evn_map_copper_w(const evn_map *m, double torque_nm, double w, double voltage_v, double copper_factor,
                        double loss_w)
{
    double between;
    place p = place_of(m, torque_nm, w);
    size_t k = layer_of(m, voltage_v, &between);
    double share = copper_share(&m->layer[k], &p, copper_factor);
    if (between > 0)
        share += between * (copper_share(&m->layer[k + 1], &p, copper_factor) - share);
    return share * loss_w;
}

double evn_map_drag_nm(const evn_map *m, double w)
{
    double least = 1e-6 * m->speed_rad_s[1]; /* nearer to rest the quotient is held: its limit is the slope there */
    double at = w > least ? w : least;
    double more = evn_map_loss_w(m, 0, at, m->reference_v, 1) - m->rest_w;
    return fmax(more, 0) / at;
}

static bool layer_is_filled(const evn_map *m, const evn_map_layer *layer, const spot *s)
{
    const uint8_t *f = layer->filled + s->i * m->torques + s->j;
    double below = f[0] * (1 - s->u) + f[m->torques] * s->u;
    double above = f[1] * (1 - s->u) + f[m->torques + 1] * s->u;
    return below * (1 - s->v) + above * s->v > 0.5;
}

bool evn_map_is_filled(const evn_map *m, double torque_nm, double w, double voltage_v)
{
    double share;
    place p = place_of(m, torque_nm, w);
    spot s = spot_at(m, p.torque_on_nm, p.w_on);
    size_t k = layer_of(m, voltage_v, &share);
    return p.beyond || layer_is_filled(m, &m->layer[share > 0.5 ? k + 1 : k], &s);
}

/* ------------------------------------------------------------------------------------------------ making */

/* An axis that begins at or below `from` and reaches `to`, holds 0, and the points between; room for three more. */
static size_t widened(double *to_x, const double *x, size_t count, double from, double to)
{
    size_t n = 0;
    if (from < x[0])
        to_x[n++] = from;
    for (size_t k = 0; k < count; k++) {
        if (n && to_x[n - 1] < 0 && x[k] > 0)
            to_x[n++] = 0;
        to_x[n++] = x[k];
    }
    if (to > x[count - 1]) {
        if (x[count - 1] < 0 && to > 0)
            to_x[n++] = 0;
        to_x[n++] = to;
    }
    return n;
}

/* The same points on a grid that holds all that the motor can do. False: memory ran out. */
static bool widen(const evn_map_points *p, const evn_map_machine *machine, evn_arena *arena, evn_map_points *out)
{
    *out = *p;
    out->speed_rad_s = evn_arena_take(arena, (p->speeds + 3) * sizeof(double));
    out->torque_nm = evn_arena_take(arena, (p->torques + 3) * sizeof(double));
    if (!out->speed_rad_s || !out->torque_nm)
        return false;
    out->speeds = widened(out->speed_rad_s, p->speed_rad_s, p->speeds, 0, machine->top_rad_s);
    out->torques =
        widened(out->torque_nm, p->torque_nm, p->torques, p->two_sided ? -machine->peak_nm : 0, machine->peak_nm);
    size_t cells = out->voltages * out->speeds * out->torques;
    out->loss_w = evn_arena_take(arena, cells * sizeof(double));
    if (!out->loss_w)
        return false;
    for (size_t c = 0; c < cells; c++)
        out->loss_w[c] = (double)NAN;
    for (size_t v = 0; v < p->voltages; v++)
        for (size_t i = 0; i < p->speeds; i++)
            for (size_t j = 0; j < p->torques; j++) {
                size_t to_i = piece_of(out->speed_rad_s, out->speeds + 1, p->speed_rad_s[i]);
                size_t to_j = piece_of(out->torque_nm, out->torques + 1, p->torque_nm[j]);
                out->loss_w[(v * out->speeds + to_i) * out->torques + to_j] =
                    p->loss_w[(v * p->speeds + i) * p->torques + j];
            }
    return true;
}

/* Base speed of one voltage: where the power envelope takes over from the torque. */
static double base_rad_s(const evn_map_machine *machine, double voltage_v)
{
    double share = isnan(voltage_v) ? 1 : voltage_v / machine->reference_v;
    return machine->peak_w * share / machine->peak_nm;
}

/*
 * Half the least of what was measured and of the fit there, and not so little that the bend is as good as a kink: where
 * something was measured to lose nothing.
 */
static double bend_of(const evn_map_fit *fit, const evn_map_points *p, const double *loss_w)
{
    double least = (double)INFINITY, most = 0, unused;
    for (size_t c = 0; c < p->speeds * p->torques; c++) {
        double fit_w = evn_map_fit_w(fit, p->torque_nm[c % p->torques], p->speed_rad_s[c / p->torques], &unused);
        least = fmin(least, fmin(loss_w[c], fit_w));
        most = fmax(most, loss_w[c]);
    }
    return fmax(0.5 * least, 1e-6 * most);
}

/* What the nodes hold of the losses. */
static void set_values(const evn_map_layer *layer, const evn_map_points *p, const double *loss_w, double *node)
{
    for (size_t c = 0; c < p->speeds * p->torques; c++) {
        double unused, at_nm = p->torque_nm[c % p->torques], at_rad_s = p->speed_rad_s[c / p->torques];
        double less_w = layer->on_fit ? evn_map_fit_w(&layer->fit, at_nm, at_rad_s, &unused) : 0;
        node[EVN_NODE_DOUBLES * c + EVN_NODE_VALUE] = unbent_w(loss_w[c], layer->bend_w) - less_w;
    }
}

static bool make_layer(evn_map *m, size_t v, const evn_map_points *p, const evn_map_machine *machine, evn_arena *arena,
                       double *ratio)
{
    size_t cells = p->speeds * p->torques;
    double *loss = p->loss_w + v * cells, *node = evn_arena_take(arena, EVN_NODE_DOUBLES * cells * sizeof *node);
    uint8_t *filled = evn_arena_take(arena, cells);
    if (!node || !filled)
        return false;
    evn_map_layer *layer = &m->layer[v];
    *layer = (evn_map_layer){.voltage_v = p->voltage_v[v], .node = node, .filled = filled};
    layer->fit.base_rad_s = base_rad_s(machine, p->voltage_v[v]);
    layer->fit.peak_nm = machine->peak_nm;
    evn_map_fit_make(&layer->fit, p, loss, m->includes_inverter);
    layer->on_fit = evn_map_fit_helps(&layer->fit, p, loss);
    evn_map_judge_cells(&m->quality, &layer->fit, p, loss);
    evn_map_fill(&layer->fit, p, loss, filled, ratio);
    for (size_t c = 0; c < cells; c++)
        m->any_filled = m->any_filled || filled[c];
    layer->bend_w = bend_of(&layer->fit, p, loss);
    set_values(layer, p, loss, node);
    set_slopes(m, node);
    return true;
}

/* The scratch memory is another arena's: what a map keeps is nodes and axes. */
static bool make_in(evn_map *m, const evn_map_points *read, const evn_map_machine *machine, evn_arena *arena,
                    evn_arena *scratch)
{
    evn_map_points p;
    if (!widen(read, machine, scratch, &p))
        return false;
    double *speed = evn_arena_take(arena, p.speeds * sizeof *speed);
    double *torque = evn_arena_take(arena, p.torques * sizeof *torque);
    double *ratio = evn_arena_take(scratch, p.speeds * p.torques * sizeof *ratio);
    if (!speed || !torque || !ratio)
        return false;
    memcpy(speed, p.speed_rad_s, p.speeds * sizeof *speed);
    memcpy(torque, p.torque_nm, p.torques * sizeof *torque);
    m->speeds = p.speeds;
    m->torques = p.torques;
    m->layers = p.voltages;
    m->speed_rad_s = speed;
    m->torque_nm = torque;
    m->mirrored = !p.two_sided;
    m->quality = (evn_map_quality){0};
    evn_map_judge_axes(&m->quality, &p, machine);
    bool all = true;
    for (size_t v = 0; v < p.voltages; v++)
        all = all && make_layer(m, v, &p, machine, arena, ratio);
    return all;
}

const evn_map *evn_map_make_of(const evn_map_points *read, const evn_map_file *f, const evn_map_machine *machine,
                               evn_arena *arena)
{
    evn_arena *scratch = evn_arena_new();
    evn_map *m = evn_arena_take(arena, sizeof *m);
    bool made = false;
    if (scratch && m) {
        m->includes_inverter = f->includes_inverter;
        m->winding_degc = f->winding_degc;
        m->reference_v = machine->reference_v;
        made = make_in(m, read, machine, arena, scratch);
        if (made)
            m->rest_w = evn_map_loss_w(m, 0, 0, m->reference_v, 1);
    }
    evn_arena_free(scratch);
    return made ? m : NULL;
}

const evn_map *evn_map_make(const evn_map_file *f, const evn_map_machine *machine, evn_arena *arena)
{
    evn_arena *scratch = evn_arena_new();
    evn_map_points read;
    bool sound = scratch && evn_map_points_read(f, NULL, scratch, &read, NULL);
    const evn_map *made = sound ? evn_map_make_of(&read, f, machine, arena) : NULL;
    evn_arena_free(scratch);
    return made;
}

static void *copy_of(const void *from, size_t bytes, evn_arena *arena)
{
    void *copy = evn_arena_take(arena, bytes);
    return copy ? memcpy(copy, from, bytes) : NULL;
}

const evn_map *evn_map_copy(const evn_map *from, evn_arena *arena)
{
    size_t cells = from->speeds * from->torques;
    evn_map *m = copy_of(from, sizeof *from, arena);
    if (!m)
        return NULL;
    m->speed_rad_s = copy_of(from->speed_rad_s, from->speeds * sizeof *from->speed_rad_s, arena);
    m->torque_nm = copy_of(from->torque_nm, from->torques * sizeof *from->torque_nm, arena);
    bool all = m->speed_rad_s && m->torque_nm;
    for (size_t v = 0; v < m->layers; v++) {
        evn_map_layer *layer = &m->layer[v];
        layer->node = copy_of(layer->node, EVN_NODE_DOUBLES * cells * sizeof *layer->node, arena);
        layer->filled = copy_of(layer->filled, cells * sizeof *layer->filled, arena);
        all = all && layer->node && layer->filled;
    }
    return all ? m : NULL;
}

static void times(evn_map_layer *layer, double *node, size_t cells, double factor)
{
    for (size_t k = 0; k < EVN_MAP_TERMS; k++)
        layer->fit.c[k] *= factor;
    layer->bend_w *= factor;
    for (size_t c = 0; c < EVN_NODE_DOUBLES * cells; c++)
        node[c] *= factor;
}

const evn_map *evn_map_times(const evn_map *from, double factor, evn_arena *arena)
{
    size_t cells = from->speeds * from->torques;
    evn_map *m = factor == 1 ? NULL : copy_of(from, sizeof *from, arena);
    if (!m)
        return factor == 1 ? from : NULL;
    m->rest_w *= factor;
    for (size_t v = 0; v < m->layers; v++) {
        double *node = copy_of(m->layer[v].node, EVN_NODE_DOUBLES * cells * sizeof *node, arena);
        if (!node)
            return NULL;
        times(&m->layer[v], node, cells, factor);
        m->layer[v].node = node;
    }
    return m;
}

static double *numbers_times(const double *from, size_t count, double factor, evn_arena *arena)
{
    double *made = copy_of(from, count * sizeof *made, arena);
    for (size_t k = 0; made && k < count; k++)
        made[k] *= factor;
    return made;
}

static const double *node_stretched(const double *from, size_t cells, evn_map_stretch by, evn_arena *arena)
{
    const double factor[EVN_NODE_DOUBLES] = {[EVN_NODE_VALUE] = by.loss,
                                             [EVN_NODE_BY_SPEED] = by.loss / by.speed,
                                             [EVN_NODE_BY_TORQUE] = by.loss / by.torque,
                                             [EVN_NODE_BY_BOTH] = by.loss / by.speed / by.torque};
    double *made = copy_of(from, EVN_NODE_DOUBLES * cells * sizeof *made, arena);
    for (size_t k = 0; made && k < EVN_NODE_DOUBLES * cells; k++)
        made[k] *= factor[k % EVN_NODE_DOUBLES];
    return made;
}

const evn_map *evn_map_stretched(const evn_map *from, evn_map_stretch by, evn_arena *arena)
{
    evn_map *m = copy_of(from, sizeof *from, arena);
    if (!m)
        return NULL;
    m->rest_w *= by.loss;
    m->speed_rad_s = numbers_times(from->speed_rad_s, from->speeds, by.speed, arena);
    m->torque_nm = numbers_times(from->torque_nm, from->torques, by.torque, arena);
    bool all = m->speed_rad_s && m->torque_nm;
    for (size_t v = 0; v < m->layers; v++) {
        evn_map_layer *layer = &m->layer[v];
        for (size_t k = 0; k < EVN_MAP_TERMS; k++)
            layer->fit.c[k] *= by.loss;
        layer->fit.base_rad_s *= by.speed;
        layer->fit.peak_nm *= by.torque;
        layer->bend_w *= by.loss;
        layer->node = node_stretched(layer->node, from->speeds * from->torques, by, arena);
        all = all && layer->node;
    }
    return all ? m : NULL;
}
