/* Variants of a study as a JSON document: the answer first, then what was recorded of the rows that are told. */
#include "show/document.h"
#include "show/json_number.h"
#include "show/vary_story.h"
#include <math.h>
#include <stdlib.h>

typedef struct listing {
    const evn_vary_story *story;
    json_t *list;
    bool made;
} listing;

/* ------------------------------------------------------------------------------------------------ rows */

static bool put_cell(json_t *at, const evn_variants_column *c, double value, const char *text)
{
    return evn_json_put(at, c->what.key, c->is_text ? evn_json_text(text) : evn_json_value(c->what.kind, value));
}

static json_t *row_json(const evn_variants *of, const evn_variant *v)
{
    json_t *at = json_object(), *inputs = json_object(), *results = json_object();
    evn_variants_column c;
    bool made =
        at && inputs && results && evn_json_put(at, "id", json_integer((json_int_t)v->id)) &&
        evn_json_put(at, "truck", evn_json_text(v->truck[0] != '\0' ? v->truck : NULL)) &&
        evn_json_put(at, "as_the_file_has_it", json_boolean(v->is_as_is)) &&
        evn_json_put(at, "status", evn_json_text(v->status)) && evn_json_put(at, "may_be", json_boolean(v->may_be)) &&
        evn_json_put(at, "unmet", evn_json_text(v->unmet)) && evn_json_put(at, "fault", evn_json_text(v->fault)) &&
        evn_json_put(at, "finding", evn_json_text(v->finding));
    for (size_t k = 0; made && evn_variants_column_at(of, k, &c); k++)
        made = put_cell(c.varies ? inputs : results, &c, v->value[k], v->text[k]);
    if (made && evn_json_put(at, "inputs", json_incref(inputs)) && evn_json_put(at, "results", json_incref(results))) {
        json_decref(inputs);
        json_decref(results);
        return at;
    }
    json_decref(inputs);
    json_decref(results);
    json_decref(at);
    return NULL;
}

static bool add_row(void *self, const evn_variant *v)
{
    listing *l = self;
    l->made = json_array_append_new(l->list, row_json(l->story->variants, v)) == 0;
    return l->made;
}

/* What is asked for, else the best of each truck. NULL when memory is out. */
static json_t *rows_json(const evn_vary_story *story)
{
    listing l = {story, json_array(), true};
    if (!l.list)
        return NULL;
    if (story->ask)
        evn_variants_each(story->variants, story->ask, &l, add_row, story->report);
    else
        evn_vary_each_best(story->table, &l, add_row, story->report);
    if (l.made)
        return l.list;
    json_decref(l.list);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ the answer */

static json_t *inputs_json(const evn_vary_table *t, size_t row)
{
    json_t *at = json_object();
    bool made = at;
    for (size_t k = 0; made && k < t->inputs; k++)
        made = put_cell(at, &t->column[k], evn_vary_at(t, row, k),
                        t->column[k].is_text ? evn_vary_text_at(t, row, k) : NULL);
    if (made)
        return at;
    json_decref(at);
    return NULL;
}

static json_t *point_json(const evn_vary_table *t, long row)
{
    if (row < 0)
        return json_null();
    json_t *at = json_object();
    bool made = at && evn_json_put(at, "id", json_integer((json_int_t)t->id[row])) &&
                evn_json_put(at, "inputs", inputs_json(t, (size_t)row)) &&
                evn_json_put(at, "may_be", json_boolean(t->state[row] == EVN_VARY_MAY_BE));
    for (size_t k = 0; made && k < t->aims; k++)
        made = put_cell(at, &t->column[t->inputs + k], evn_vary_at(t, (size_t)row, t->inputs + k), NULL);
    if (made)
        return at;
    json_decref(at);
    return NULL;
}

static bool put_ends(json_t *at, const evn_vary_table *t, const evn_vary_best *b)
{
    json_t *edges = json_object(), *flat = json_object();
    bool made = edges && flat;
    for (size_t k = 0; made && b->row >= 0 && k < t->inputs; k++) {
        const char *name = t->column[k].what.key;
        if (t->column[k].is_text)
            continue;
        if (b->low_edge[k] || b->high_edge[k])
            made = evn_json_put(edges, name, json_string(b->low_edge[k] ? "least" : "most"));
        json_t *ends = json_array();
        made = made && ends && json_array_append_new(ends, evn_json_real(b->flat_low[k])) == 0 &&
               json_array_append_new(ends, evn_json_real(b->flat_high[k])) == 0;
        made = evn_json_put(flat, name, ends) && made;
    }
    made = evn_json_put(at, "at_the_edge", edges) && made;
    return evn_json_put(at, "within_0_1_percent", flat) && made &&
           evn_json_put(at, "variants_within_0_1_percent", json_integer((json_int_t)b->flat_rows));
}

static bool put_front(json_t *at, const evn_vary_table *t, size_t truck)
{
    size_t count = 0, *front = evn_vary_front(t, truck, &count);
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && front && k < count; k++)
        made = json_array_append_new(list, point_json(t, (long)front[k])) == 0;
    free(front);
    return evn_json_put(at, "front", list) && made;
}

static bool put_shares(json_t *at, const evn_vary_table *t, size_t truck)
{
    static const char *const keys[EVN_VARY_AIMS] = {"shares_of_variance", "shares_of_variance_of_second"};
    bool made = evn_json_put(at, "shares_are_of",
                             json_string(evn_vary_is_searched(t) ? "where the search went" : "the variants asked for"));
    for (size_t aim = 0; made && aim < t->aims; aim++) {
        json_t *shares = json_object();
        made = shares;
        for (size_t k = 0; made && k < t->inputs; k++)
            made = evn_json_put(shares, t->column[k].what.key, evn_json_real(evn_vary_share(t, truck, k, aim)));
        made = evn_json_put(at, keys[aim], shares) && made;
    }
    return made;
}

static json_t *answer_json(const evn_vary_table *t, size_t truck)
{
    json_t *at = json_object();
    evn_vary_best b = evn_vary_best_of(t, truck);
    const char *name = evn_variants_truck_name(t->of, truck);
    if (at && evn_json_put(at, "truck", evn_json_text(name && name[0] != '\0' ? name : NULL)) &&
        evn_json_put(at, "best", point_json(t, b.row)) && put_ends(at, t, &b) &&
        evn_json_put(at, "as_the_file_has_it", point_json(t, b.as_is)) &&
        evn_json_put(at, "as_the_file_has_it_worse_percent", evn_json_real(b.as_is_worse_percent)) &&
        evn_json_put(at, "best_against_first_truck_percent", evn_json_real(evn_vary_against_first(t, truck))) &&
        put_front(at, t, truck) && put_shares(at, t, truck))
        return at;
    json_decref(at);
    return NULL;
}

static bool put_answer(json_t *document, const evn_vary_table *t)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && k < t->trucks; k++)
        made = json_array_append_new(list, answer_json(t, k)) == 0;
    return evn_json_put(document, "answer", list) && made;
}

/* ------------------------------------------------------------------------------------------------ the study */

static bool put_columns(json_t *document, const evn_variants *v)
{
    static const char *const aims[] = {NULL, "least", "most"};
    json_t *list = json_array();
    evn_variants_column c;
    bool made = list;
    for (size_t k = 0; made && evn_variants_column_at(v, k, &c); k++) {
        json_t *row = evn_document_row(c.what.key, &c.what);
        made = row && evn_json_put(row, "varies", json_boolean(c.varies)) &&
               evn_json_put(row, "aim", evn_json_text(aims[c.aimed])) &&
               evn_json_put(row, "from", evn_json_real(c.from)) && evn_json_put(row, "to", evn_json_real(c.to));
        made = row && json_array_append_new(list, row) == 0 && made;
    }
    return evn_json_put(document, "columns", list) && made;
}

/* Why variants are not to be taken: how many break which constraint first, and the first that came to no end. */
static bool put_reasons(json_t *document, const evn_vary_table *t)
{
    json_t *broken = json_object(), *first = t->reason ? json_object() : json_null();
    const char *text;
    bool made = broken && first;
    for (size_t k = 0; made && (text = evn_vary_constraint(t, k)); k++)
        made = json_object_set_new(broken, text, json_integer((json_int_t)t->broken[k])) == 0;
    if (made && t->reason)
        made = evn_json_put(first, "id", json_integer((json_int_t)t->reason_id)) &&
               evn_json_put(first, "reason", evn_json_text(t->reason));
    made = evn_json_put(document, "first_broken_constraints", broken) && made;
    return evn_json_put(document, "first_that_came_to_no_end", first) && made;
}

static bool put_study(json_t *document, const evn_vary_story *story)
{
    json_t *facts = json_object();
    const char *key, *value;
    bool made = facts;
    for (size_t k = 0; made && evn_variants_fact_at(story->variants, k, &key, &value); k++)
        made = json_object_set_new(facts, key, evn_json_text(value)) == 0;
    made = evn_json_put(document, "facts", facts) && made;
    return made && evn_json_put(document, "store", evn_json_text(story->store)) &&
           evn_json_put(document, "count", json_integer((json_int_t)evn_variants_count(story->variants))) &&
           evn_json_put(document, "expected", json_integer((json_int_t)evn_variants_expected(story->variants))) &&
           evn_json_put(document, "failed", json_integer((json_int_t)evn_variants_failed(story->variants))) &&
           put_columns(document, story->variants);
}

json_t *evn_vary_document(const evn_vary_story *story)
{
    json_t *document = evn_document_begin(EVN_VARY_SCHEMA, story->status);
    bool made = document;
    if (made && story->table)
        made = put_answer(document, story->table) && put_study(document, story) &&
               put_reasons(document, story->table) && evn_json_put(document, "variants", rows_json(story));
    if (made)
        return document;
    json_decref(document);
    return NULL;
}

bool evn_vary_json(const evn_vary_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_vary_document(story);
    return document && evn_document_end(document, findings, to);
}
