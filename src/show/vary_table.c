/* Variants at hand: the best of each truck, how flat it is, the front, shares of variance. */
#define _POSIX_C_SOURCE 200809L
#include "show/vary_story.h"
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ reading */

static bool take_columns(evn_vary_table *t)
{
    evn_variants_column c;
    size_t all = evn_variants_column_count(t->of);
    t->column = calloc(all + 1, sizeof *t->column);
    for (size_t k = 0; t->column && evn_variants_column_at(t->of, k, &c); k++)
        if (c.varies && t->inputs < EVN_VARY_INPUTS_MOST)
            t->column[t->inputs++] = c;
    for (size_t k = 0; t->column && evn_variants_column_at(t->of, k, &c); k++)
        if (c.aimed != EVN_AIMED_NOT && t->aims < EVN_VARY_AIMS) {
            t->aim_column[t->aims] = k;
            t->column[t->inputs + t->aims++] = c;
        }
    return t->column;
}

static bool more_room(evn_vary_table *t)
{
    size_t room = t->room > 0 ? 2 * t->room : 256, width = t->inputs + t->aims;
    uint64_t *id = realloc(t->id, room * sizeof *id);
    t->id = id ? id : t->id;
    unsigned char *truck = realloc(t->truck, room);
    t->truck = truck ? truck : t->truck;
    unsigned char *state = realloc(t->state, room);
    t->state = state ? state : t->state;
    double *value = realloc(t->value, room * (width + 1) * sizeof *value);
    t->value = value ? value : t->value;
    bool all = id && truck && state && value;
    t->room = all ? room : t->room;
    return all;
}

/* Its place among the texts that came up; NAN when memory is out. */
static double text_place(evn_vary_table *t, const char *text)
{
    for (size_t k = 0; k < t->texts; k++)
        if (strcmp(t->text[k], text) == 0)
            return (double)k;
    char **more = realloc(t->text, (t->texts + 1) * sizeof *more);
    char *copy = more ? strdup(text) : NULL;
    t->text = more ? more : t->text;
    if (!copy)
        return (double)NAN;
    t->text[t->texts] = copy;
    return (double)t->texts++;
}

const char *evn_vary_constraint(const evn_vary_table *t, size_t index)
{
    char key[40];
    snprintf(key, sizeof key, "constraint.%zu", index + 1);
    return t->of && index < EVN_VARY_CONSTRAINTS_MOST ? evn_variants_fact(t->of, key) : NULL;
}

/* "masses.gross_kg <= 44000: found 45120" is of the constraint that it begins with. */
static void count_broken(evn_vary_table *t, const char *unmet)
{
    const char *text;
    for (size_t k = 0; (text = evn_vary_constraint(t, k)); k++) {
        size_t length = strlen(text);
        if (strncmp(unmet, text, length) == 0 && unmet[length] == ':') {
            t->broken[k]++;
            return;
        }
    }
}

/* Why it is not to be taken. */
static void take_reason(evn_vary_table *t, const evn_variant *v)
{
    if (v->unmet)
        count_broken(t, v->unmet);
    if (t->state[t->rows - 1] != EVN_VARY_FAILED || t->reason)
        return;
    t->reason = strdup(v->finding ? v->finding : v->status);
    t->reason_id = v->id;
    t->no_memory = t->no_memory || !t->reason;
}

static bool take(void *self, const evn_variant *v)
{
    evn_vary_table *t = self;
    size_t width = t->inputs + t->aims;
    if (t->rows == t->room && !more_room(t)) {
        t->no_memory = true;
        return false;
    }
    double *at = t->value + t->rows * width;
    for (size_t k = 0; k < t->inputs; k++)
        at[k] = t->column[k].is_text ? text_place(t, v->text[k] ? v->text[k] : "") : v->value[k];
    for (size_t k = 0; k < t->aims; k++)
        at[t->inputs + k] = v->value[t->aim_column[k]];
    t->id[t->rows] = v->id;
    t->truck[t->rows] = 0;
    for (size_t k = 0; k < t->trucks; k++)
        if (strcmp(evn_variants_truck_name(t->of, k), v->truck) == 0)
            t->truck[t->rows] = (unsigned char)k;
    bool finished = strcmp(v->status, "finished") == 0;
    t->state[t->rows++] = v->may_be ? EVN_VARY_MAY_BE : finished ? EVN_VARY_BREAKS : EVN_VARY_FAILED;
    take_reason(t, v);
    return true;
}

bool evn_vary_table_read(evn_vary_table *t, const evn_variants *v, evn_report *report)
{
    *t = (evn_vary_table){.of = v, .trucks = evn_variants_truck_count(v)};
    evn_variants_ask all = {0};
    if (!take_columns(t))
        return false;
    evn_status before = evn_report_status(report);
    evn_status status = evn_variants_each(v, &all, t, take, report);
    return status == before && !t->no_memory;
}

void evn_vary_table_free(evn_vary_table *t)
{
    for (size_t k = 0; k < t->texts; k++)
        free(t->text[k]);
    free(t->text);
    free(t->reason);
    free(t->column);
    free(t->id);
    free(t->truck);
    free(t->state);
    free(t->value);
    *t = (evn_vary_table){0};
}

/* How many variants a search takes is not known beforehand. */
bool evn_vary_is_searched(const evn_vary_table *t) { return t->of && evn_variants_expected(t->of) == 0; }

const char *evn_vary_text_at(const evn_vary_table *t, size_t row, size_t input)
{
    double place = evn_vary_at(t, row, input);
    return place >= 0 && place < (double)t->texts ? t->text[(size_t)place] : "";
}

/* ------------------------------------------------------------------------------------------------ the best */

/* Less is better, whatever is wanted. */
static double cost(const evn_vary_table *t, size_t row, size_t aim)
{
    double value = evn_vary_at(t, row, t->inputs + aim);
    return t->column[t->inputs + aim].aimed == EVN_AIMED_MOST ? -value : value;
}

static bool counts(const evn_vary_table *t, size_t row, size_t truck)
{
    return t->truck[row] == truck && t->state[row] == EVN_VARY_MAY_BE && !isnan(cost(t, row, 0));
}

/* Nearer to an end than this share of the range is at it. */
static const double AT_END = 5e-3;

typedef struct tried { /* of a number, by the variants of a truck, those that may not be among them */
    double least, most;
    double near_low,
        near_high; /* so near to an end of its range is at it; of a list the least and the most are its ends */
} tried;

/* How near to an end of a range is at it: of samples over several variables, each of which has values of its own, what
 * lies between two of them. */
static double room_at_end(const evn_vary_table *t, size_t truck, size_t input, double value)
{
    size_t rows = 0, same = 0;
    for (size_t row = 0; row < t->rows; row++)
        if (t->truck[row] == truck) {
            rows++;
            same += evn_vary_at(t, row, input) == value;
        }
    return same == 1 && t->inputs > 1 ? fmax(AT_END, 2 / (double)rows) : AT_END;
}

static tried tried_of(const evn_vary_table *t, size_t truck, size_t input, double value)
{
    const evn_variants_column *c = &t->column[input];
    tried out = {(double)INFINITY, -(double)INFINITY, 0, 0};
    for (size_t row = 0; row < t->rows; row++)
        if (t->truck[row] == truck) {
            out.least = fmin(out.least, evn_vary_at(t, row, input));
            out.most = fmax(out.most, evn_vary_at(t, row, input));
        }
    double room = isnan(c->from) ? 0 : room_at_end(t, truck, input, value) * (c->to - c->from);
    out.near_low = isnan(c->from) ? out.least : fmax(out.least, c->from + room);
    out.near_high = isnan(c->from) ? out.most : fmin(out.most, c->to - room);
    return out;
}

/* At an edge is the best where nothing was tried beyond it, or where an end of its range is near, and where the result
 * gets worse away from there: not where variants as good lie over more than half of what was tried. */
static void find_edges(const evn_vary_table *t, size_t truck, evn_vary_best *b)
{
    for (size_t k = 0; k < t->inputs; k++) {
        double value = evn_vary_at(t, (size_t)b->row, k);
        if (t->column[k].is_text)
            continue;
        tried of = tried_of(t, truck, k, value);
        double half = (of.most - of.least) / 2;
        if (!(half > 0))
            continue;
        b->low_edge[k] = value <= of.near_low && b->flat_high[k] - value <= half;
        b->high_edge[k] = !b->low_edge[k] && value >= of.near_high && value - b->flat_low[k] <= half;
    }
}

static void find_flat(const evn_vary_table *t, size_t truck, evn_vary_best *b)
{
    double best = cost(t, (size_t)b->row, 0);
    for (size_t k = 0; k < t->inputs; k++)
        b->flat_low[k] = b->flat_high[k] = evn_vary_at(t, (size_t)b->row, k);
    for (size_t row = 0; row < t->rows; row++) {
        if (!counts(t, row, truck) || cost(t, row, 0) - best > EVN_VARY_FLAT_SHARE * fabs(best))
            continue;
        b->flat_rows++;
        for (size_t k = 0; k < t->inputs; k++) {
            b->flat_low[k] = fmin(b->flat_low[k], evn_vary_at(t, row, k));
            b->flat_high[k] = fmax(b->flat_high[k], evn_vary_at(t, row, k));
        }
    }
}

static void find_as_is(const evn_vary_table *t, size_t truck, evn_vary_best *b)
{
    for (size_t row = 0; row < t->rows; row++)
        if (t->id[row] == truck + 1 && t->id[row] <= t->trucks && t->state[row] != EVN_VARY_FAILED)
            b->as_is = (long)row;
    if (b->as_is >= 0 && b->row >= 0) {
        double best = cost(t, (size_t)b->row, 0), is = cost(t, (size_t)b->as_is, 0);
        b->as_is_worse_percent = best != 0 ? 100 * (is - best) / fabs(best) : (double)NAN;
    }
}

evn_vary_best evn_vary_best_of(const evn_vary_table *t, size_t truck)
{
    evn_vary_best b = {.row = EVN_VARY_NONE, .as_is = EVN_VARY_NONE, .as_is_worse_percent = (double)NAN};
    for (size_t row = 0; row < t->rows; row++)
        if (counts(t, row, truck) && (b.row < 0 || cost(t, row, 0) < cost(t, (size_t)b.row, 0)))
            b.row = (long)row;
    if (b.row >= 0) {
        find_flat(t, truck, &b);
        find_edges(t, truck, &b);
    }
    find_as_is(t, truck, &b);
    return b;
}

typedef struct ranked {
    double first, second;
    size_t row;
} ranked;

static int by_first(const void *one, const void *other)
{
    const ranked *a = one, *b = other;
    if (a->first != b->first)
        return a->first < b->first ? -1 : 1;
    if (a->second != b->second)
        return a->second < b->second ? -1 : 1;
    return a->row < b->row ? -1 : a->row > b->row;
}

static bool differ(const evn_vary_table *t, size_t one, size_t other, const double *apart)
{
    bool differ = false;
    for (size_t k = 0; k < t->inputs; k++)
        differ = differ || fabs(evn_vary_at(t, one, k) - evn_vary_at(t, other, k)) > apart[k];
    return differ;
}

size_t evn_vary_best_rows(const evn_vary_table *t, size_t truck, size_t out[EVN_VARY_BEST_ROWS])
{
    static const double APART = 0.01; /* of what was tried */
    double apart[EVN_VARY_INPUTS_MOST];
    ranked *all = calloc(t->rows + 1, sizeof *all);
    size_t there = 0, count = 0;
    for (size_t row = 0; all && row < t->rows; row++)
        if (counts(t, row, truck))
            all[there++] = (ranked){cost(t, row, 0), 0, row};
    if (all)
        qsort(all, there, sizeof *all, by_first);
    for (size_t k = 0; k < t->inputs; k++) {
        tried of = tried_of(t, truck, k, 0);
        apart[k] = t->column[k].is_text ? 0 : APART * (of.most - of.least);
    }
    for (size_t k = 0; k < there && count < EVN_VARY_BEST_ROWS; k++) {
        bool fresh = true;
        for (size_t i = 0; fresh && i < count; i++)
            fresh = differ(t, all[k].row, out[i], apart);
        if (fresh)
            out[count++] = all[k].row;
    }
    free(all);
    return count;
}

evn_status evn_vary_each_best(const evn_vary_table *t, void *self, bool (*row)(void *self, const evn_variant *),
                              evn_report *report)
{
    evn_status status = evn_report_status(report), before = status;
    for (size_t truck = 0; truck < t->trucks && status == before; truck++) {
        size_t best[EVN_VARY_BEST_ROWS], count = evn_vary_best_rows(t, truck, best);
        for (size_t k = 0; k < count && status == before; k++) {
            char id[40];
            snprintf(id, sizeof id, "id = %" PRIu64, t->id[best[k]]);
            status = evn_variants_each(t->of, &(evn_variants_ask){.where = (const char *const[]){id, NULL}}, self, row,
                                       report);
        }
    }
    return status;
}

double evn_vary_against_first(const evn_vary_table *t, size_t truck)
{
    evn_vary_best first = evn_vary_best_of(t, 0), own = evn_vary_best_of(t, truck);
    if (truck == 0 || first.row < 0 || own.row < 0)
        return (double)NAN;
    double of_first = evn_vary_at(t, (size_t)first.row, t->inputs), is = evn_vary_at(t, (size_t)own.row, t->inputs);
    return of_first != 0 ? 100 * (is - of_first) / fabs(of_first) : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ the front */

/* By more than what accuracy and rounding may do to a result of two variants that are the same in it. */
static bool is_below(double one, double other)
{
    static const double NOISE = 1e-6;
    return isinf(other) || other - one > NOISE * fmax(fabs(one), fabs(other));
}

size_t *evn_vary_front(const evn_vary_table *t, size_t truck, size_t *count)
{
    ranked *all = t->aims == EVN_VARY_AIMS ? calloc(t->rows + 1, sizeof *all) : NULL;
    size_t *front = all ? calloc(t->rows + 1, sizeof *front) : NULL, there = 0;
    double least = (double)INFINITY, last = 0;
    *count = 0;
    for (size_t row = 0; front && row < t->rows; row++)
        if (counts(t, row, truck) && !isnan(cost(t, row, 1)))
            all[there++] = (ranked){cost(t, row, 0), cost(t, row, 1), row};
    if (front)
        qsort(all, there, sizeof *all, by_first);
    for (size_t k = 0; front && k < there; k++) {
        if (!is_below(all[k].second, least))
            continue;
        least = all[k].second;
        /* no better than the one before in the first, and better in the second: in its place */
        bool in_place = *count > 0 && !is_below(last, all[k].first);
        *count -= in_place ? 1 : 0;
        last = in_place ? last : all[k].first;
        front[(*count)++] = all[k].row;
    }
    free(all);
    return front;
}

/* ------------------------------------------------------------------------------------------------ shares */

typedef struct pair {
    double x, y;
} pair;

static int by_x(const void *one, const void *other)
{
    const pair *a = one, *b = other;
    return a->x < b->x ? -1 : a->x > b->x;
}

enum { CLASSES = 20, VALUES_MOST = 40, ROWS_LEAST = 8 };

static size_t values_in(const pair *p, size_t count)
{
    size_t values = count > 0 ? 1 : 0;
    for (size_t k = 1; k < count; k++)
        values += p[k].x != p[k - 1].x;
    return values;
}

/* The end of the class that begins there: of equal values, or of so many variants. */
static size_t class_end(const pair *p, size_t count, size_t begin, bool by_value, size_t of_class)
{
    size_t end = begin;
    if (!by_value)
        return begin + of_class < count ? begin + of_class : count;
    while (end < count && p[end].x == p[begin].x)
        end++;
    return end;
}

/* Where each value comes as often as any other, as in a grid, the others balance out within a class. */
static bool is_balanced(const pair *p, size_t count, size_t values)
{
    bool balanced = count % values == 0;
    for (size_t begin = 0; balanced && begin < count; begin += count / values)
        balanced = class_end(p, count, begin, true, 0) == begin + count / values;
    return balanced;
}

static double ratio_of(const pair *p, size_t count)
{
    double mean = 0, all = 0, between = 0;
    size_t values = values_in(p, count), classes = 0;
    bool by_value = values <= VALUES_MOST;
    size_t of_class = (count + CLASSES - 1) / CLASSES;
    for (size_t k = 0; k < count; k++)
        mean += p[k].y / (double)count;
    for (size_t k = 0; k < count; k++)
        all += (p[k].y - mean) * (p[k].y - mean);
    for (size_t begin = 0, end; begin < count; begin = end) {
        double own = 0;
        end = class_end(p, count, begin, by_value, of_class);
        for (size_t k = begin; k < end; k++)
            own += p[k].y / (double)(end - begin);
        between += (own - mean) * (own - mean) * (double)(end - begin);
        classes++;
    }
    if (!(all > 0) || classes >= count)
        return (double)NAN;
    if (by_value && is_balanced(p, count, values))
        return between / all;
    double left = (1 - between / all) * (double)(count - 1) / (double)(count - classes);
    return fmax(1 - left, 0);
}

/* The truck as it is, which is none of the plan. */
static bool is_as_is(const evn_vary_table *t, size_t row) { return t->id[row] <= t->trucks; }

double evn_vary_share(const evn_vary_table *t, size_t truck, size_t input, size_t aim)
{
    pair *p = calloc(t->rows + 1, sizeof *p);
    size_t count = 0;
    for (size_t row = 0; p && row < t->rows; row++)
        if (t->truck[row] == truck && !is_as_is(t, row) && t->state[row] != EVN_VARY_FAILED &&
            !isnan(cost(t, row, aim)))
            p[count++] = (pair){evn_vary_at(t, row, input), cost(t, row, aim)};
    double share = (double)NAN;
    if (p && count >= ROWS_LEAST) {
        qsort(p, count, sizeof *p, by_x);
        share = ratio_of(p, count);
    }
    free(p);
    return share;
}
