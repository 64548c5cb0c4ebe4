/* Limits of a payload, as linear functions of it and of its moment. */
#include "site/payload_left.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ in words */

const char *evn_rule_subject(char out[EVN_SUBJECT_BYTES], const evn_rules_file *r, const evn_weighed *s,
                             const evn_rule_verdict *v)
{
    static const char *const wholes[] = {[EVN_CLAUSE_MOTOR_MASS] = "motor vehicle",
                                         [EVN_CLAUSE_TRAILER_MASS] = "trailer",
                                         [EVN_CLAUSE_WHOLE_MASS] = "all",
                                         [EVN_CLAUSE_DRIVEN_SHARE] = "driven axles",
                                         [EVN_CLAUSE_MASS_PER_LENGTH] = "motor vehicle",
                                         [EVN_CLAUSE_BRIDGE] = "all"};
    const evn_clause_file *c = (const evn_clause_file *)r->clauses.item + v->clause;
    size_t last = v->first + v->axles - 1;
    if (v->axles == 0)
        snprintf(out, EVN_SUBJECT_BYTES, "%s",
                 c->limits < EVN_CLAUSE_MOTOR_MASS ? "axles of the trailer" : wholes[c->limits]);
    else if (v->axles == 1 && s->axle[v->first].of_trailer)
        snprintf(out, EVN_SUBJECT_BYTES, "trailer's axle %zu", v->first - s->motor_axles + 1);
    else if (v->axles == 1)
        snprintf(out, EVN_SUBJECT_BYTES, "%.100s", s->axle[v->first].name);
    else if (s->axle[v->first].of_trailer)
        snprintf(out, EVN_SUBJECT_BYTES, "%zu axles of the trailer", v->axles);
    else
        snprintf(out, EVN_SUBJECT_BYTES, "%.70s to %.70s", s->axle[v->first].name, s->axle[last].name);
    return out;
}

/* ------------------------------------------------------------------------------------------------ the truck, loaded */

enum { EMPTY, AHEAD, BEHIND, LOADINGS };

typedef struct loaded {
    double kg, at_m;
    evn_at_rest rest;
    evn_weighed weighed;
} loaded;

typedef struct work {
    const evn_truck_file *truck;
    const evn_payload_ask *ask;
    evn_arena *arena;
    loaded at[LOADINGS];
    evn_load_limit *limit;
    size_t count, room;
    const char *missing;
    bool short_of_memory;
} work;

static void load(loaded *l, const evn_truck_file *t, const evn_unit_masses masses[], bool intermodal)
{
    evn_truck_file with = *t;
    evn_payload_file payload = *t->payload;
    payload.centre_behind_m = l->at_m;
    with.payload = &payload;
    evn_truck_at_rest(&with, masses, l->kg, &l->rest);
    evn_weighed_of(&with, &l->rest, intermodal, &l->weighed);
}

static bool make_room(work *w)
{
    if (w->count < w->room)
        return true;
    size_t room = w->room ? 2 * w->room : 64;
    evn_load_limit *more = realloc(w->limit, room * sizeof *more);
    w->short_of_memory = w->short_of_memory || !more;
    if (!more)
        return false;
    w->limit = more;
    w->room = room;
    return true;
}

/* A quantity that is so much at each of the loadings. */
static void add(work *w, const double value[LOADINGS], double limit_kg, const char *name)
{
    const loaded *a = &w->at[AHEAD], *b = &w->at[BEHIND];
    double ahead = (value[AHEAD] - value[EMPTY]) / a->kg, behind = (value[BEHIND] - value[EMPTY]) / b->kg;
    double per_kg_m = (behind - ahead) / (b->at_m - a->at_m);
    if (isnan(limit_kg) || !make_room(w))
        return;
    const char *kept = evn_arena_text(w->arena, name, strlen(name));
    w->short_of_memory = w->short_of_memory || !kept;
    w->limit[w->count++] = (evn_load_limit){value[EMPTY], ahead - per_kg_m * a->at_m, per_kg_m, limit_kg, kept};
}

static void add_gross(work *w)
{
    double kg[LOADINGS];
    for (size_t i = 0; i < LOADINGS; i++)
        kg[i] = w->at[i].rest.truck.kg + w->at[i].rest.trailer.kg;
    add(w, kg, w->truck->body->permitted_gross_kg, "body.permitted_gross_kg");
}

static void add_axle(work *w, size_t entry)
{
    const evn_truck_file *t = w->truck;
    const evn_axle_file *axle = t->axles.item;
    bool own = entry < t->axles.count;
    double kg[LOADINGS], less[LOADINGS];
    char permitted[200], lifted[200];
    for (size_t i = 0; i < LOADINGS; i++) {
        kg[i] = w->at[i].rest.load_kg[entry];
        less[i] = -kg[i];
    }
    snprintf(permitted, sizeof permitted, own ? "axles.%.120s.permitted_kg" : "trailer.permitted_axles_kg",
             own ? t->axles.name[entry] : "");
    snprintf(lifted, sizeof lifted, "no load left on %.120s", own ? t->axles.name[entry] : "the trailer's axles");
    add(w, kg, own ? axle[entry].permitted_kg : t->trailer->permitted_axles_kg, permitted);
    add(w, less, 0, lifted);
}

/* ------------------------------------------------------------------------------------------------ rules */

static void add_clause(work *w, const evn_rule_verdict *v)
{
    const evn_rules_file *r = w->ask->rules;
    double kg[LOADINGS], limit_kg = (double)NAN;
    char subject[EVN_SUBJECT_BYTES], name[400];
    if (v->met == EVN_IS_NOT_KNOWN) {
        w->missing = v->missing;
        return;
    }
    for (size_t i = 0; i < LOADINGS; i++)
        kg[i] = evn_rule_linear_kg(r, v, &w->at[i].weighed, &limit_kg);
    snprintf(name, sizeof name, "clause %.100s, %s", r->clauses.name[v->clause],
             evn_rule_subject(subject, r, &w->at[EMPTY].weighed, v));
    add(w, kg, limit_kg, name);
}

/* What clauses that hold only up to a load of each axle ask of the axles. */
static void add_at_most(work *w, const evn_rule_verdict *v)
{
    const evn_clause_file *c = (const evn_clause_file *)w->ask->rules->clauses.item + v->clause;
    const evn_weighed *s = &w->at[EMPTY].weighed;
    bool any = false;
    if (isnan(c->axle_at_most_kg))
        return;
    size_t first = v->axles > 0 ? v->first : 0, end = v->axles > 0 ? v->first + v->axles : s->count;
    for (size_t k = first; k < end; k++)
        any = any || s->axle[k].driven;
    for (size_t k = first; k < end; k++) {
        double kg[LOADINGS];
        char name[300];
        if (any && !s->axle[k].driven)
            continue;
        for (size_t i = 0; i < LOADINGS; i++)
            kg[i] = w->at[i].weighed.axle[k].load_kg;
        snprintf(name, sizeof name, "%.0f kg on %.100s for clause %.100s", c->axle_at_most_kg, s->axle[k].name,
                 w->ask->rules->clauses.name[v->clause]);
        add(w, kg, c->axle_at_most_kg, name);
    }
}

/* The bridge formula has a limit for each row of axles; a verdict is of one. */
static void add_rows(work *w, size_t clause)
{
    const evn_weighed *s = &w->at[EMPTY].weighed;
    for (size_t first = 0; first < s->count; first++)
        for (size_t n = 2; first + n <= s->count; n++) {
            const evn_rule_verdict row = {
                .clause = clause, .first = first, .axles = n, .limit = evn_bridge_row_kg(s, first, n), .met = EVN_IS};
            add_clause(w, &row);
        }
}

/* False: memory ran out. */
static bool add_rules(work *w, evn_at_most how)
{
    evn_rule_verdict *verdict = calloc(EVN_VERDICTS_MOST, sizeof *verdict);
    if (!verdict)
        return false;
    size_t count = evn_rules_judge(w->ask->rules, &w->at[EMPTY].weighed, how, verdict);
    const evn_clause_file *c = w->ask->rules->clauses.item;
    for (size_t k = 0; k < count; k++) {
        if (c[verdict[k].clause].limits == EVN_CLAUSE_BRIDGE && verdict[k].met != EVN_IS_NOT_KNOWN)
            add_rows(w, verdict[k].clause);
        else
            add_clause(w, &verdict[k]);
        if (how == EVN_AT_MOST_ALL)
            add_at_most(w, &verdict[k]);
    }
    free(verdict);
    return true;
}

/* ------------------------------------------------------------------------------------------------ the largest */

static const double PAYLOAD_MOST_KG = 500000; /* the bound of the key */

static evn_payload_left largest(work *w, double from_m, double to_m)
{
    evn_largest_load found = evn_largest_load_of(w->limit, w->count, from_m, to_m, PAYLOAD_MOST_KG);
    evn_payload_left left = {found.kg, found.at_m, NULL, NULL};
    char both[700];
    bool two = found.binds < w->count && found.beside < w->count;
    if (found.binds < w->count)
        left.binds = w->limit[found.binds].name;
    if (two && found.beside != found.binds) {
        snprintf(both, sizeof both, "%.300s; and %.300s", left.binds, w->limit[found.beside].name);
        left.binds = evn_arena_text(w->arena, both, strlen(both));
        w->short_of_memory = w->short_of_memory || !left.binds;
    }
    return left;
}

static bool find(work *w, double from_m, double to_m, evn_at_most how, evn_payload_left *out)
{
    w->count = 0;
    add_gross(w);
    for (size_t k = 0; k < w->at[EMPTY].rest.count; k++)
        add_axle(w, k);
    if (w->ask->rules && !add_rules(w, how))
        return false;
    *out = largest(w, from_m, to_m);
    return !w->short_of_memory;
}

bool evn_payload_left_of(const evn_truck_file *t, const evn_unit_masses masses[], const evn_payload_ask *ask,
                         evn_arena *arena, evn_payload_left *out)
{
    const evn_payload_file *p = t->payload;
    bool anywhere = ask->anywhere && !isnan(p->centre_from_m);
    double from_m = anywhere ? p->centre_from_m : p->centre_behind_m;
    double to_m = anywhere ? p->centre_to_m : p->centre_behind_m;
    work *w = calloc(1, sizeof *w);
    if (!w)
        return false;
    w->truck = t;
    w->ask = ask;
    w->arena = arena;
    w->at[EMPTY] = (loaded){.kg = 0, .at_m = from_m};
    w->at[AHEAD] = (loaded){.kg = 1000, .at_m = from_m};
    w->at[BEHIND] = (loaded){.kg = 1000, .at_m = from_m + 1};
    for (size_t i = 0; i < LOADINGS; i++)
        load(&w->at[i], t, masses, ask->intermodal);
    evn_payload_left other = {(double)NAN, (double)NAN, NULL, NULL};
    bool made =
        find(w, from_m, to_m, EVN_AT_MOST_NONE, out) && (!ask->rules || find(w, from_m, to_m, EVN_AT_MOST_ALL, &other));
    if (other.kg > out->kg || isnan(out->kg))
        *out = other.kg > 0 || isnan(out->kg) ? other : *out;
    if (w->missing)
        *out = (evn_payload_left){(double)NAN, (double)NAN, NULL, w->missing};
    free(w->limit);
    free(w);
    return made;
}
