/* The report on a study: the best of each truck, how flat it is and whether at an edge, the front, the first rows. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/table.h"
#include "show/text.h"
#include "show/vary_story.h"
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = EVN_VARY_CELL, WORDS = 2000, TOLD_COLUMNS_MOST = 40 };
static const char indent[] = "  ";

typedef struct vary_report {
    const evn_vary_story *story;
    const evn_vary_table *table;
    FILE *to;
    const evn_look *look;
} vary_report;

static void heading(const vary_report *r, const char *text)
{
    fputc('\n', r->to);
    evn_put_styled(r->to, r->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", r->to);
}

/* ------------------------------------------------------------------------------------------------ the answer */

/* Lines of sentences, each a paragraph. */
static bool put_sentences(const vary_report *r, const char *lines)
{
    char one[EVN_VARY_SENTENCES];
    bool made = true;
    for (const char *at = lines; made && *at != '\0';) {
        size_t bytes = strcspn(at, "\n");
        snprintf(one, sizeof one, "%.*s", (int)bytes, at);
        made = evn_put_sentence(r->to, evn_look_prose(r->look), "", "%s", one);
        at += bytes + (at[bytes] == '\n');
    }
    return made;
}

static bool put_count(const vary_report *r)
{
    char words[EVN_VARY_SENTENCES];
    evn_vary_count_sentence(r->table, words);
    return put_sentences(r, words);
}

static bool put_best(const vary_report *r, size_t truck)
{
    char words[EVN_VARY_SENTENCES];
    evn_vary_best_sentences(r->table, truck, r->look->all_digits, words);
    return put_sentences(r, words);
}

/* ------------------------------------------------------------------------------------------------ tables */

typedef struct told { /* columns of a table of rows */
    const vary_report *r;
    evn_variants_column column[TOLD_COLUMNS_MOST];
    size_t place[TOLD_COLUMNS_MOST], count; /* among those of the variants */
    evn_table *table;
    bool trucks, states, made;
} told;

static bool is_told(const evn_variants *v, const evn_variants_column *c)
{
    char key[40];
    const char *text;
    for (unsigned k = 1; snprintf(key, sizeof key, "constraint.%u", k), (text = evn_variants_fact(v, key)); k++) {
        size_t length = strlen(c->what.key);
        if (strncmp(text, c->what.key, length) == 0 && strchr(" <>", text[length]))
            return true;
    }
    return c->varies || c->aimed != EVN_AIMED_NOT;
}

static void choose_columns(told *t)
{
    const evn_variants *v = t->r->story->variants;
    evn_variants_column c;
    for (size_t k = 0; t->count < TOLD_COLUMNS_MOST - 4 && evn_variants_column_at(v, k, &c); k++)
        if (is_told(v, &c)) {
            t->place[t->count] = k;
            t->column[t->count++] = c;
        }
}

static bool begin_table(told *t)
{
    evn_table_column head[TOLD_COLUMNS_MOST + 4] = {{"id", true, false}};
    char text[TOLD_COLUMNS_MOST][CELL * 2];
    size_t count = 1;
    if (t->trucks)
        head[count++] = (evn_table_column){"truck", false, true};
    for (size_t k = 0; k < t->count; k++) {
        const evn_variants_column *c = &t->column[k];
        if (c->varies)
            snprintf(text[k], sizeof text[k], "%s", c->what.key);
        else
            evn_format_heading(text[k], sizeof text[k], t->r->look, c->what.short_label, &c->what);
        head[count++] = (evn_table_column){text[k], !c->is_text, true};
    }
    if (t->states)
        head[count++] = (evn_table_column){"may be", false, true};
    t->table = evn_table_new(head, count, true);
    return t->table;
}

static void state_words(const evn_variant *v, char *out, size_t size)
{
    if (v->may_be)
        snprintf(out, size, "yes");
    else if (v->unmet)
        snprintf(out, size, "no: %s", v->unmet);
    else
        snprintf(out, size, "%s%s%s", v->status, v->finding ? ": " : "", v->finding ? v->finding : "");
}

static bool put_row(void *self, const evn_variant *v)
{
    told *t = self;
    char text[TOLD_COLUMNS_MOST][CELL], id[32], state[WORDS];
    const char *cell[TOLD_COLUMNS_MOST + 4];
    size_t count = 0;
    snprintf(id, sizeof id, "%" PRIu64, v->id);
    cell[count++] = id;
    if (t->trucks)
        cell[count++] = v->truck;
    for (size_t k = 0; k < t->count; k++) {
        const evn_variants_column *c = &t->column[k];
        evn_quantity finer = c->what;
        finer.digits += c->what.kind == EVN_REAL ? 2 : 0;
        if (c->is_text)
            snprintf(text[k], CELL, "%s", v->text[t->place[k]] ? v->text[t->place[k]] : "");
        else if (c->varies)
            evn_vary_value_words(v->value[t->place[k]], 5, text[k]);
        else
            evn_format_value(text[k], CELL, t->r->look, &finer, v->value[t->place[k]]);
        cell[count++] = text[k];
    }
    if (t->states) {
        state_words(v, state, sizeof state);
        char *safe = evn_safe_text(state);
        cell[count++] = safe ? safe : "";
        t->made = evn_table_row(t->table, cell) && safe;
        free(safe);
    } else {
        t->made = evn_table_row(t->table, cell);
    }
    return t->made;
}

/* `ask` NULL: the best of each truck. */
static bool put_table(const vary_report *r, const evn_variants_ask *ask, bool states)
{
    told *t = calloc(1, sizeof *t);
    bool made = t;
    if (made) {
        *t = (told){.r = r, .trucks = evn_variants_truck_count(r->story->variants) > 1, .states = states, .made = true};
        choose_columns(t);
        made = begin_table(t);
    }
    if (made) {
        if (ask)
            evn_variants_each(r->story->variants, ask, t, put_row, r->story->report);
        else
            evn_vary_each_best(r->table, t, put_row, r->story->report);
        made = t->made && evn_table_print(t->table, r->to, indent, evn_look_width(r->look));
        evn_table_free(t->table);
    }
    free(t);
    return made;
}

static bool put_first_rows(const vary_report *r)
{
    bool any = false;
    for (size_t k = 0; k < r->table->trucks; k++)
        any = any || evn_vary_best_of(r->table, k).row >= 0;
    if (!any)
        return true;
    heading(r, r->table->trucks > 1 ? "The best ten of each truck" : "The best ten");
    return put_table(r, NULL, false);
}

static bool put_front_of(const vary_report *r, size_t truck)
{
    size_t count, *front = evn_vary_front(r->table, truck, &count);
    const evn_vary_table *t = r->table;
    evn_table_column head[] = {{t->column[t->inputs].what.label, true, true},
                               {t->column[t->inputs + 1].what.label, true, true},
                               {"with", false, true}};
    evn_table *table = front ? evn_table_new(head, 3, true) : NULL;
    bool made = table;
    for (size_t k = 0; made && k < count; k++) {
        char first[EVN_VARY_CELL], second[EVN_VARY_CELL], inputs[EVN_VARY_SENTENCES];
        evn_vary_number_words(&t->column[t->inputs].what, r->look->all_digits, evn_vary_at(t, front[k], t->inputs),
                              first);
        evn_vary_number_words(&t->column[t->inputs + 1].what, r->look->all_digits,
                              evn_vary_at(t, front[k], t->inputs + 1), second);
        evn_vary_inputs_words(t, front[k], r->look->all_digits, inputs);
        made = evn_table_row(table, (const char *const[]){first, second, inputs});
    }
    made = made && evn_table_print(table, r->to, indent, evn_look_width(r->look));
    if (table)
        evn_table_free(table);
    free(front);
    return made;
}

static bool put_fronts(const vary_report *r)
{
    bool made = true;
    for (size_t k = 0; made && r->table->aims == EVN_VARY_AIMS && k < r->table->trucks; k++) {
        char words[CELL * 2];
        const char *name = evn_vary_truck_words(r->table, k);
        snprintf(words, sizeof words, "The front: variants that none betters in both%s%.90s",
                 name[0] != '\0' ? ", " : "", name);
        heading(r, words);
        made = put_front_of(r, k);
    }
    return made;
}

/* A column for each aim. */
static bool put_shares_of(const vary_report *r, size_t truck)
{
    const evn_vary_table *t = r->table;
    evn_table_column head[EVN_VARY_AIMS + 1] = {{"share of the variance, %", false, true}};
    for (size_t aim = 0; aim < t->aims; aim++)
        head[aim + 1] = (evn_table_column){t->column[t->inputs + aim].what.label, true, true};
    evn_table *table = evn_table_new(head, t->aims + 1, true);
    bool made = table, any = false;
    for (size_t k = 0; made && k < t->inputs; k++) {
        char text[EVN_VARY_AIMS][CELL];
        const char *cell[EVN_VARY_AIMS + 1] = {t->column[k].what.key};
        for (size_t aim = 0; aim < t->aims; aim++) {
            double share = evn_vary_share(t, truck, k, aim);
            any = any || !isnan(share);
            evn_format_decimals(text[aim], CELL, 0, 100 * share);
            cell[aim + 1] = text[aim];
        }
        made = evn_table_row(table, cell);
    }
    if (made && any) {
        char words[CELL * 2];
        const char *name = evn_vary_truck_words(t, truck);
        snprintf(words, sizeof words, "What matters, each by itself%s%.90s", name[0] != '\0' ? ", " : "", name);
        heading(r, words);
        made = evn_table_print(table, r->to, indent, evn_look_width(r->look));
    }
    if (table)
        evn_table_free(table);
    return made;
}

static bool put_shares(const vary_report *r)
{
    bool made = true;
    for (size_t k = 0; made && r->table->inputs > 1 && k < r->table->trucks; k++)
        made = put_shares_of(r, k);
    if (made && r->table->inputs > 1 && evn_vary_is_searched(r->table)) {
        fputc('\n', r->to);
        made = put_sentences(r, EVN_VARY_SEARCHED_SHARES);
    }
    return made;
}

/* ------------------------------------------------------------------------------------------------ calls */

bool evn_vary_words(const evn_vary_story *story, FILE *to, const evn_look *look)
{
    vary_report r = {story, story->table, to, look};
    bool made = put_count(&r);
    for (size_t k = 0; made && k < r.table->trucks; k++) {
        fputc('\n', to);
        made = put_best(&r, k);
    }
    return made && put_fronts(&r) && put_first_rows(&r) && put_shares(&r);
}

bool evn_vary_rows(const evn_vary_story *story, FILE *to, const evn_look *look)
{
    vary_report r = {story, story->table, to, look};
    return put_count(&r) && fputc('\n', to) != EOF && put_table(&r, story->ask, !story->ask->only_may_be);
}
