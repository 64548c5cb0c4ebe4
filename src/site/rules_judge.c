/* Whom a clause is held against, what is measured there, and which of several stands. */
#include "site/rules_judge.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ what is judged */

typedef struct subject { /* of a clause: axles in a row */
    size_t first, count;
    bool whole; /* a vehicle or all, not single axles */
    double spacing_m;
} subject;

static subject motor_vehicle(const evn_weighed *s) { return (subject){0, s->motor_axles, true, (double)NAN}; }

static subject trailer(const evn_weighed *s)
{
    return (subject){s->motor_axles, s->count - s->motor_axles, true, (double)NAN};
}

static subject all_of(const evn_weighed *s) { return (subject){0, s->count, true, (double)NAN}; }

/* The nearest two axles of the trailer's groups. */
static double trailer_spacing_m(const evn_weighed *s)
{
    evn_axle_group group[EVN_WEIGHED_AXLES_MOST];
    double nearest_m = (double)INFINITY;
    if (!s->spacing_stated)
        return (double)NAN;
    for (size_t k = 0, count = evn_weighed_groups(s, 0, group); k < count; k++)
        nearest_m = fmin(nearest_m, group[k].spacing_m);
    return nearest_m;
}

/* Axles of a trailer whose number is not stated: a place for what cannot be told of them. */
static size_t unknown_axles(const evn_weighed *s, subject *out)
{
    if (!s->has_trailer || s->axles_stated)
        return 0;
    *out = (subject){s->motor_axles, 0, false, (double)NAN};
    return 1;
}

static size_t subjects_of(const evn_rules_file *r, const evn_clause_file *c, const evn_weighed *s,
                          subject out[EVN_WEIGHED_AXLES_MOST])
{
    evn_axle_group group[EVN_WEIGHED_AXLES_MOST];
    size_t count = 0;
    switch (c->limits) {
    case EVN_CLAUSE_AXLE_LOAD:
        for (; count < s->count; count++)
            out[count] = (subject){count, 1, false, (double)NAN};
        return count + unknown_axles(s, &out[count]);
    case EVN_CLAUSE_GROUP_LOAD:
        count = evn_weighed_groups(s, r->group_below_m, group);
        for (size_t k = 0; k < count; k++)
            out[k] = (subject){group[k].first, group[k].count, false, group[k].spacing_m};
        return count + unknown_axles(s, &out[count]);
    case EVN_CLAUSE_MOTOR_MASS:
    case EVN_CLAUSE_MASS_PER_LENGTH:
        out[0] = motor_vehicle(s);
        return 1;
    case EVN_CLAUSE_TRAILER_MASS:
        out[0] = trailer(s);
        return s->has_trailer ? 1 : 0;
    default:
        out[0] = all_of(s);
        out[0].spacing_m = trailer_spacing_m(s);
        return 1;
    }
}

/* ------------------------------------------------------------------------------------------------ conditions */

typedef struct holding { /* whether conditions are met, and what is missing to tell */
    evn_known_as met;
    const char *missing;
} holding;

static void and_known(holding *h, bool met)
{
    if (!met)
        h->met = EVN_IS_NOT;
}

/* What is met for certain or is not goes before what is not known. */
static void and_with(holding *h, evn_known_as met, const char *missing)
{
    if (met == EVN_IS_NOT)
        h->met = EVN_IS_NOT;
    if (met == EVN_IS_NOT_KNOWN && h->met == EVN_IS) {
        h->met = EVN_IS_NOT_KNOWN;
        h->missing = missing;
    }
}

static evn_known_as within(double value, double from, double to)
{
    bool asked = !isnan(from) || !isnan(to);
    if (asked && isnan(value))
        return EVN_IS_NOT_KNOWN;
    return value < from || value > to ? EVN_IS_NOT : EVN_IS;
}

static const char axles_key[] = "trailer.axles", spacing_key[] = "trailer.axle_spacing_m",
                  suspension_key[] = "the suspension of an axle";

static bool has_driven(const evn_weighed *s, const subject *at)
{
    bool driven = false;
    for (size_t k = at->first; k < at->first + at->count; k++)
        driven = driven || s->axle[k].driven;
    return driven;
}

/* Those of its axles that the build of axles is asked of: the driven ones; all, where none is. */
static bool counts(const evn_weighed *s, const subject *at, size_t axle)
{
    return !has_driven(s, at) || s->axle[axle].driven;
}

static void and_build(holding *h, const evn_clause_file *c, const evn_weighed *s, const subject *at, evn_at_most how)
{
    bool stated = !isnan(c->axle_at_most_kg);
    and_known(h, !stated || how != EVN_AT_MOST_NONE);
    for (size_t k = at->first; k < at->first + at->count; k++) {
        const evn_weighed_axle *axle = &s->axle[k];
        if (!counts(s, at, k))
            continue;
        and_known(h, !c->twin_tyres || axle->twin_tyres);
        and_known(h, !stated || how == EVN_AT_MOST_ALL || axle->load_kg <= c->axle_at_most_kg);
        if (c->air_suspension)
            and_with(h, axle->air, suspension_key);
    }
}

static void and_spacing(holding *h, const evn_clause_file *c, double spacing_m)
{
    bool asked = !isnan(c->spacing_from_m) || !isnan(c->spacing_above_m) || !isnan(c->spacing_to_m) ||
                 !isnan(c->spacing_below_m);
    if (!asked)
        return;
    if (isnan(spacing_m)) {
        and_with(h, EVN_IS_NOT_KNOWN, spacing_key);
        return;
    }
    and_known(h, !(spacing_m < c->spacing_from_m) && !(spacing_m <= c->spacing_above_m));
    and_known(h, !(spacing_m > c->spacing_to_m) && !(spacing_m >= c->spacing_below_m));
}

static bool fits_combination(const evn_clause_file *c, const evn_weighed *s)
{
    switch (c->combination) {
    case EVN_COMBINATION_ALONE:
        return !s->has_trailer;
    case EVN_COMBINATION_SEMITRAILER:
        return s->has_trailer && !s->at_drawbar;
    case EVN_COMBINATION_DRAWBAR:
        return s->has_trailer && s->at_drawbar;
    case EVN_COMBINATION_TRAILER:
        return s->has_trailer;
    default:
        return true;
    }
}

static double trailer_axles(const evn_weighed *s)
{
    if (!s->has_trailer)
        return 0;
    return s->axles_stated ? (double)(s->count - s->motor_axles) : (double)NAN;
}

static bool is_of_motor_vehicle(const evn_clause_file *c)
{
    return c->limits == EVN_CLAUSE_MOTOR_MASS || c->limits == EVN_CLAUSE_MASS_PER_LENGTH;
}

static holding conditions(const evn_clause_file *c, const evn_weighed *s, const subject *at, evn_at_most how)
{
    holding h = {EVN_IS, NULL};
    bool of_trailer = at->first >= s->motor_axles;
    bool with_trailer = at->first + at->count == s->count && s->has_trailer;
    double of_them = with_trailer && !s->axles_stated && !is_of_motor_vehicle(c) ? (double)NAN : (double)at->count;
    if (at->count == 0)
        and_with(&h, EVN_IS_NOT_KNOWN, axles_key);
    and_known(&h, fits_combination(c, s));
    and_known(&h, !c->intermodal || s->intermodal);
    and_known(&h, c->of == EVN_OF_ANY || at->whole || of_trailer == (c->of == EVN_OF_TRAILER));
    and_known(&h, c->driven == EVN_DRIVEN_ANY || has_driven(s, at) == (c->driven == EVN_DRIVEN_YES));
    and_with(&h, within((double)s->motor_axles, c->motor_axles_from, c->motor_axles_to), NULL);
    and_with(&h, within(trailer_axles(s), c->trailer_axles_from, c->trailer_axles_to), axles_key);
    and_with(&h, within(of_them, c->axles_from, c->axles_to), axles_key);
    and_spacing(&h, c, at->spacing_m);
    and_build(&h, c, s, at, how);
    return h;
}

/* ------------------------------------------------------------------------------------------------ figures */

static double sum_kg(const evn_weighed *s, size_t first, size_t count)
{
    double sum = 0;
    for (size_t k = first; k < first + count; k++)
        sum += s->axle[k].load_kg;
    return sum;
}

static double length_m(const evn_weighed *s, size_t first, size_t count)
{
    return s->axle[first + count - 1].place_m - s->axle[first].place_m;
}

static double driven_kg(const evn_weighed *s)
{
    double sum = 0;
    for (size_t k = 0; k < s->motor_axles; k++)
        sum += s->axle[k].driven ? s->axle[k].load_kg : 0;
    return sum;
}

static double actual_of(const evn_clause_file *c, const evn_weighed *s, const subject *at)
{
    switch (c->limits) {
    case EVN_CLAUSE_MOTOR_MASS:
        return s->motor_kg;
    case EVN_CLAUSE_TRAILER_MASS:
        return s->trailer_kg;
    case EVN_CLAUSE_WHOLE_MASS:
        return s->motor_kg + s->trailer_kg;
    case EVN_CLAUSE_DRIVEN_SHARE:
        return 100 * driven_kg(s) / (s->motor_kg + s->trailer_kg);
    case EVN_CLAUSE_MASS_PER_LENGTH:
        return s->motor_kg / length_m(s, 0, s->motor_axles);
    default:
        return sum_kg(s, at->first, at->count);
    }
}

static double allowance_kg(const evn_clause_file *c, const evn_weighed *s)
{
    return isnan(c->zero_emission_most_kg) || isnan(s->extra_kg) ? 0 : fmin(c->zero_emission_most_kg, s->extra_kg);
}

static evn_rule_verdict verdict_of(const evn_clause_file *c, size_t clause, const evn_weighed *s, const subject *at,
                                   const holding *h)
{
    evn_rule_verdict v = {.clause = clause,
                          .first = at->first,
                          .axles = at->whole ? 0 : at->count,
                          .actual = actual_of(c, s, at),
                          .allowance_kg = allowance_kg(c, s),
                          .missing = h->missing};
    v.limit = c->limits == EVN_CLAUSE_DRIVEN_SHARE      ? c->least_percent
              : c->limits == EVN_CLAUSE_MASS_PER_LENGTH ? c->most_kg_per_m
                                                        : c->most_kg + v.allowance_kg;
    bool met = c->limits == EVN_CLAUSE_DRIVEN_SHARE ? v.actual >= v.limit : v.actual <= v.limit;
    v.met = h->met == EVN_IS_NOT_KNOWN ? EVN_IS_NOT_KNOWN : met ? EVN_IS : EVN_IS_NOT;
    if (!isnan(c->zero_emission_most_kg) && isnan(s->extra_kg) && !v.missing)
        v.missing = "body.zero_emission_extra_kg";
    return v;
}

double evn_bridge_formula_kg(double row_m, size_t axles)
{
    static const double m_per_ft = 0.3048, kg_per_lb = 0.45359237;
    double feet = round(row_m / m_per_ft), n = (double)axles;
    double lb = 500 * round(feet * n / (n - 1) + 12 * n + 36);
    return lb * kg_per_lb;
}

/* Two tandems in a row, the outermost axles 36 ft and more apart, may bear 34 000 lb each (23 CFR 658.17(e)). */
static bool are_two_tandems(const evn_weighed *s, size_t first, size_t axles)
{
    static const double tandem_m = 96 * 0.0254, apart_m = 36 * 0.3048, hair_m = 1e-9;
    return axles == 4 && length_m(s, first, 2) <= tandem_m + hair_m && length_m(s, first + 1, 2) > tandem_m + hair_m &&
           length_m(s, first + 2, 2) <= tandem_m + hair_m && length_m(s, first, 4) >= apart_m - hair_m;
}

double evn_bridge_row_kg(const evn_weighed *s, size_t first, size_t axles)
{
    static const double two_tandems_kg = 68000 * 0.45359237;
    double kg = evn_bridge_formula_kg(length_m(s, first, axles), axles);
    return are_two_tandems(s, first, axles) ? fmax(kg, two_tandems_kg) : kg;
}

/* Of all rows of neighbouring axles that which leaves least. */
static evn_rule_verdict bridge_verdict(size_t clause, const evn_weighed *s, const holding *h)
{
    evn_rule_verdict least = {.clause = clause, .limit = (double)NAN, .actual = (double)NAN};
    for (size_t first = 0; first < s->count; first++)
        for (size_t n = 2; first + n <= s->count; n++) {
            evn_rule_verdict v = {clause, first,  n,   sum_kg(s, first, n), evn_bridge_row_kg(s, first, n),
                                  0,      EVN_IS, NULL};
            if (isnan(least.limit) || v.limit - v.actual < least.limit - least.actual)
                least = v;
        }
    least.met = h->met == EVN_IS_NOT_KNOWN ? EVN_IS_NOT_KNOWN : least.actual <= least.limit ? EVN_IS : EVN_IS_NOT;
    least.missing = h->missing;
    if (s->has_trailer && !(s->axles_stated && s->spacing_stated)) {
        least.met = EVN_IS_NOT_KNOWN;
        least.missing = s->axles_stated ? spacing_key : axles_key;
    }
    return least;
}

/* ------------------------------------------------------------------------------------------------ which stands */

static bool is_instead_of(const evn_rules_file *r, size_t clause, size_t other)
{
    const evn_clause_file *c = r->clauses.item;
    const char *name = c[clause].instead_of;
    return name && strcmp(name, r->clauses.name[other]) == 0;
}

static bool share_a_place(const evn_rules_file *r, size_t a, size_t b)
{
    const evn_clause_file *c = r->clauses.item;
    return a != b && (is_instead_of(r, a, b) || is_instead_of(r, b, a) ||
                      (c[a].instead_of && c[b].instead_of && strcmp(c[a].instead_of, c[b].instead_of) == 0));
}

static bool same_subject(const evn_rule_verdict *a, const evn_rule_verdict *b)
{
    return a->first == b->first && a->axles == b->axles;
}

/* Another one stands in its place: it allows more, or as much and was there first. */
static bool gives_way(const evn_rules_file *r, const evn_rule_verdict all[], size_t count, size_t k)
{
    const evn_rule_verdict *own = &all[k];
    for (size_t i = 0; i < count; i++) {
        const evn_rule_verdict *other = &all[i];
        if (!share_a_place(r, own->clause, other->clause) || !same_subject(own, other) ||
            other->met == EVN_IS_NOT_KNOWN)
            continue;
        if (own->met == EVN_IS_NOT_KNOWN || other->limit > own->limit || (other->limit == own->limit && i < k))
            return true;
    }
    return false;
}

/* What stands though one that is not known could allow more says so. */
static void tell_missing(const evn_rules_file *r, evn_rule_verdict all[], size_t count)
{
    for (size_t k = 0; k < count; k++)
        for (size_t i = 0; i < count; i++)
            if (all[k].met != EVN_IS_NOT_KNOWN && all[i].met == EVN_IS_NOT_KNOWN && all[i].limit > all[k].limit &&
                share_a_place(r, all[k].clause, all[i].clause) && same_subject(&all[k], &all[i]) && !all[k].missing)
                all[k].missing = all[i].missing;
}

size_t evn_rules_judge(const evn_rules_file *r, const evn_weighed *s, evn_at_most how, evn_rule_verdict out[])
{
    const evn_clause_file *clause = r->clauses.item;
    subject at[EVN_WEIGHED_AXLES_MOST];
    bool away[EVN_VERDICTS_MOST];
    size_t count = 0, kept = 0;
    for (size_t k = 0; k < r->clauses.count; k++) {
        bool bridge = clause[k].limits == EVN_CLAUSE_BRIDGE;
        for (size_t i = 0, n = subjects_of(r, &clause[k], s, at); i < n; i++) {
            holding h = conditions(&clause[k], s, &at[i], how);
            if (h.met != EVN_IS_NOT)
                out[count++] = bridge ? bridge_verdict(k, s, &h) : verdict_of(&clause[k], k, s, &at[i], &h);
        }
    }
    tell_missing(r, out, count);
    for (size_t k = 0; k < count; k++)
        away[k] = gives_way(r, out, count, k);
    for (size_t k = 0; k < count; k++)
        if (!away[k])
            out[kept++] = out[k];
    return kept;
}

/* ------------------------------------------------------------------------------------------------ linear in loads */

double evn_rule_linear_kg(const evn_rules_file *r, const evn_rule_verdict *v, const evn_weighed *s, double *limit_kg)
{
    const evn_clause_file *c = (const evn_clause_file *)r->clauses.item + v->clause;
    subject at = {v->first, v->axles, v->axles == 0, (double)NAN};
    *limit_kg = v->limit;
    if (c->limits == EVN_CLAUSE_DRIVEN_SHARE) {
        *limit_kg = 0;
        return v->limit / 100 * (s->motor_kg + s->trailer_kg) - driven_kg(s);
    }
    if (c->limits == EVN_CLAUSE_MASS_PER_LENGTH) {
        *limit_kg = v->limit * length_m(s, 0, s->motor_axles);
        return s->motor_kg;
    }
    return actual_of(c, s, &at);
}
