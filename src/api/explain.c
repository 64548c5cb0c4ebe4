/* How a number of a run comes about: the table of ways (trip/formulas.h) followed down to what files hold and runs ask.
 */
#define _POSIX_C_SOURCE 200809L
#include "evener/explain.h"
#include "api/explained_thing.h"
#include "api/explanation.h"
#include "core/words.h"
#include "trip/formulas.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct work {
    const evn_explained_run *run;
    evn_explanation *to;
    bool out_of_memory;
} work;

/* ------------------------------------------------------------------------------------------------ values */

static bool value_of(void *self, evn_formula_name name, size_t index, double *out)
{
    const work *w = self;
    evn_thing found;
    bool there = evn_thing_at(w->run, name, index, &found);
    if (there)
        *out = found.value;
    return there;
}

static bool is_there(const work *w, const char *name)
{
    evn_thing found;
    return evn_thing_at(w->run, evn_thing_name(name), 0, &found);
}

/* ------------------------------------------------------------------------------------------------ ways */

#define NAME "NAME"

/* Whether a key is that of a row, and the name that stands for NAME in it. */
static bool is_of(const char *row, const char *key, const char **name, size_t *length)
{
    const char *at = strstr(row, NAME);
    *name = key;
    *length = 0;
    if (!at)
        return strcmp(row, key) == 0;
    size_t before = (size_t)(at - row), behind = strlen(at) - strlen(NAME), all = strlen(key);
    if (all <= before + behind || strncmp(row, key, before) != 0 || strcmp(at + strlen(NAME), key + all - behind) != 0)
        return false;
    *name = key + before;
    *length = all - before - behind;
    return !memchr(*name, '.', *length);
}

/* NULL: a figure of which nothing more is told. */
static const evn_result_way *way_of(const work *w, const char *key, const char **name, size_t *length)
{
    const evn_result_way *way;
    for (size_t i = 0; (way = evn_result_way_at(i)); i++)
        if (is_of(way->key, key, name, length) && (!way->unless || !is_there(w, way->unless)))
            return way;
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ words */

static const char *keep(work *w, const char *text, size_t length)
{
    char *kept = evn_arena_text(w->to->arena, text, length);
    w->out_of_memory = w->out_of_memory || !kept;
    return kept;
}

/* "cycle.speed", "load_case.altitude_m". */
static const char *key_behind(work *w, const char *kind, const char *key)
{
    size_t length = strlen(kind) + 1 + strlen(key);
    char *text = evn_arena_take(w->to->arena, length + 1);
    w->out_of_memory = w->out_of_memory || !text;
    if (text)
        snprintf(text, length + 1, "%s.%s", kind, key);
    return text;
}

/* Whose values a pattern of results takes together. */
static const char *owners_of(evn_formula_name name)
{
    static const char units[] = "drive_units.*", axles[] = "axles.*";
    if (strncmp(name.text, units, strlen(units)) == 0)
        return " of the drive units";
    return strncmp(name.text, axles, strlen(axles)) == 0 ? " of the axles" : "";
}

/* "truck:body.mass_kg" as rows bear it, "cycle:speed" as "cycle.speed". */
static void put_path(evn_formula_name name, FILE *to)
{
    evn_thing_begins(&name, "truck:");
    for (size_t i = 0; i < name.length; i++)
        fputc(name.text[i] == ':' ? '.' : name.text[i], to);
}

static void put_word(void *self, evn_formula_name name, FILE *to)
{
    static const char lines[] = "energy_balance.*";
    const work *w = self;
    evn_thing found;
    bool there = evn_thing_at(w->run, name, 0, &found) && found.kind == RESULT;
    const char *elsewhere = there ? NULL : evn_thing_label_elsewhere(name);
    if (name.many && strncmp(name.text, lines, strlen(lines)) == 0)
        fputs("all lines of the energy balance", to);
    else if (there)
        fprintf(to, "%s%s", found.what.label, owners_of(name));
    else if (elsewhere) /* of a part that this truck lacks */
        fprintf(to, "%s%s", elsewhere, owners_of(name));
    else
        put_path(name, to);
}

static const char *words_of(work *w, const char *formula)
{
    char *text = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&text, &size);
    if (to)
        evn_formula_tell(formula, to, w, put_word);
    bool made = to && fclose(to) == 0;
    const char *kept = made ? keep(w, text, size) : NULL;
    w->out_of_memory = w->out_of_memory || !made;
    free(text);
    return kept;
}

/* ------------------------------------------------------------------------------------------------ checks */

static void add_check(work *w, evn_explained *row, const char *formula, double within)
{
    evn_formula_found found = evn_formula_evaluate(formula, (evn_formula_values){w, value_of});
    bool neither = isnan(found.value) && isnan(row->value);
    double difference = found.value - row->value, tolerance = within * found.size;
    row->check[row->checks++] = (evn_explained_check){
        .formula = words_of(w, formula),
        .expression = formula,
        .gives = found.value,
        .difference = neither ? 0 : difference,
        .tolerance = neither ? 0 : tolerance,
        .agrees = found.sound && (neither || fabs(difference) <= tolerance),
    };
}

static bool any_is_there(const work *w, const char *formula)
{
    evn_formula_name name;
    evn_thing found;
    for (size_t i = 0; evn_formula_name_at(formula, i, &name); i++)
        if (evn_thing_at(w->run, name, 0, &found))
            return true;
    return false;
}

/* ------------------------------------------------------------------------------------------------ rows */

static const size_t nowhere = SIZE_MAX;

/* The index of the new row; nowhere when memory is out. */
static size_t add(work *w, evn_explained row)
{
    size_t at = w->out_of_memory ? nowhere : evn_explanation_add(w->to, row);
    w->out_of_memory = at == nowhere;
    return at;
}

static bool was_explained(const work *w, const char *key)
{
    for (size_t i = 0; i < w->to->count; i++)
        if (!w->to->at[i].again && strcmp(w->to->at[i].key, key) == 0)
            return true;
    return false;
}

/* Among the rows below one that has just been made, one deeper. */
static bool is_input_of(const work *w, size_t parent, const char *key)
{
    for (size_t i = parent + 1; i < w->to->count; i++)
        if (w->to->at[i].depth == w->to->at[parent].depth + 1 && strcmp(w->to->at[i].key, key) == 0)
            return true;
    return false;
}

static void add_thing(work *w, size_t parent, evn_thing *of);

/* All that fit a name, as inputs of a row. */
static void add_inputs(work *w, size_t parent, evn_formula_name name)
{
    evn_thing found;
    for (size_t i = 0; !w->out_of_memory && evn_thing_at(w->run, name, i, &found); i++)
        add_thing(w, parent, &found);
}

static void add_inputs_of_formula(work *w, size_t parent, const char *formula)
{
    evn_formula_name name;
    for (size_t i = 0; evn_formula_name_at(formula, i, &name); i++)
        add_inputs(w, parent, name);
}

/* The names of a list, with blanks between; each with the row's own name for NAME. */
static void add_inputs_listed(work *w, size_t parent, const char *list, const char *own, size_t own_length)
{
    for (const char *at = list + strspn(list, " "); *at != '\0' && !w->out_of_memory; at += strspn(at, " ")) {
        size_t length = strcspn(at, " ");
        const char *hole = strstr(at, NAME);
        char *text = evn_arena_take(w->to->arena, length + own_length + 1);
        w->out_of_memory = !text;
        if (!text)
            return;
        if (hole && hole < at + length) {
            size_t before = (size_t)(hole - at), behind = length - before - strlen(NAME);
            memcpy(text, at, before);
            memcpy(text + before, own, own_length);
            memcpy(text + before + own_length, hole + strlen(NAME), behind);
        } else {
            memcpy(text, at, length);
        }
        add_inputs(w, parent, evn_thing_name(text));
        at += length;
    }
}

static void count_input(work *w, size_t parent)
{
    if (parent != nowhere)
        w->to->at[parent].inputs++;
}

static unsigned depth_below(const work *w, size_t parent)
{
    return parent == nowhere ? 0 : w->to->at[parent].depth + 1;
}

/* What the truck can, with the limit that binds it. */
static void add_ability(work *w, size_t parent, const evn_thing *of)
{
    evn_explained row = {.depth = depth_below(w, parent),
                         .key = of->full_key,
                         .label = of->what.label,
                         .unit = of->what.unit,
                         .help = of->what.help,
                         .by = EVN_KNOWN_AS_SOUGHT,
                         .what = of->what,
                         .value = of->value,
                         .formula = of->what.help};
    char limit[64];
    size_t at = add(w, row);
    if (at == nowhere)
        return;
    count_input(w, parent);
    snprintf(limit, sizeof limit, "limit.%s", of->limit ? of->limit : "");
    if (of->limit)
        add_inputs(w, at, evn_thing_name(limit));
}

static void add_quantity(work *w, size_t parent, const evn_thing *of)
{
    const char *own = "", *key = of->what.key;
    size_t own_length = 0;
    const evn_result_way *way = way_of(w, key, &own, &own_length);
    evn_explained row = {.depth = depth_below(w, parent),
                         .key = of->full_key,
                         .label = of->what.label,
                         .unit = of->what.unit,
                         .help = of->what.help,
                         .by = way ? way->by : EVN_KNOWN_FROM_TRUCK,
                         .what = of->what,
                         .value = of->value,
                         .source = way ? way->source : NULL,
                         .again = was_explained(w, key)};
    row.what.key = row.key;
    if (way && !row.again) {
        bool algebraic = way->by == EVN_KNOWN_BY_FORMULA;
        if (algebraic)
            add_check(w, &row, way->formula, way->within);
        row.formula = algebraic ? row.check[0].formula : way->formula;
        if (way->agrees && any_is_there(w, way->agrees))
            add_check(w, &row, way->agrees, way->agrees_within);
    }
    size_t at = w->out_of_memory ? nowhere : add(w, row);
    if (at == nowhere)
        return;
    count_input(w, parent);
    if (!way || row.again)
        return;
    if (way->by == EVN_KNOWN_BY_FORMULA)
        add_inputs_of_formula(w, at, way->formula);
    if (way->inputs)
        add_inputs_listed(w, at, way->inputs, own, own_length);
}

static void add_asked(work *w, size_t parent, const evn_thing *of)
{
    const evn_key *key = &of->key;
    bool is_word = key->shape == EVN_KEY_CHOICE || key->shape == EVN_KEY_FLAG;
    evn_explained row = {.depth = depth_below(w, parent),
                         .key = of->full_key,
                         .label = "",
                         .unit = key->unit,
                         .help = key->help,
                         .by = EVN_KNOWN_AS_ASKED,
                         .value = of->value,
                         .source = key->source[0] != '\0' ? key->source : NULL};
    if (is_word)
        row.word = key->choices ? key->choices[(size_t)of->value] : of->value > 0 ? "true" : "false";
    row.by_default = is_word ? strcmp(row.word, key->fallback_word) == 0
                             : of->value == key->fallback || (isnan(of->value) && isnan(key->fallback));
    row.again = was_explained(w, row.key);
    if (add(w, row) != nowhere)
        count_input(w, parent);
}

/* ------------------------------------------------------------------------------------------------ what files hold */

static const char *key_of_value(work *w, const evn_value *v, bool of_cycle)
{
    return of_cycle ? key_behind(w, "cycle", v->path) : v->path;
}

static size_t add_value(work *w, size_t parent, const evn_value *v, const char *key)
{
    evn_explained row = {.depth = depth_below(w, parent),
                         .key = key,
                         .label = "",
                         .unit = v->unit,
                         .help = v->help,
                         .by = EVN_KNOWN_AS_WRITTEN,
                         .value = evn_value_number(v),
                         .written = v,
                         .source = v->source};
    if (!key)
        return nowhere;
    row.again = was_explained(w, row.key);
    size_t at = add(w, row);
    if (at != nowhere)
        count_input(w, parent);
    return at;
}

static bool is_told(const evn_value *v)
{
    return !v->remark && !evn_value_is_group(v) && strcmp(v->key, "source") != 0 && strcmp(v->key, "name") != 0 &&
           v->origin != EVN_NOT_GIVEN;
}

/* A group with all values below it; where it says where its own come from, that is the group's. */
static void add_written(work *w, size_t parent, const evn_thing *of)
{
    bool of_cycle = of->kind == OF_CYCLE;
    const evn_value_list *list = of_cycle ? &w->run->cycle->values : &w->run->truck->values;
    size_t group = add_value(w, parent, of->written, of->full_key);
    if (group == nowhere || !evn_value_is_group(of->written) || w->to->at[group].again)
        return;
    for (size_t i = of->index + 1; i < list->count && list->at[i].depth > of->written->depth; i++) {
        const evn_value *v = &list->at[i];
        if (!is_told(v))
            continue;
        bool first = w->to->at[group].inputs == 0;
        add_value(w, group, v, key_of_value(w, v, of_cycle));
        if (first && !w->out_of_memory)
            w->to->at[group].source = v->source;
    }
}

/* Of memory that is out: NULL. */
static const char *key_of(work *w, const evn_thing *of)
{
    if (of->kind == RESULT)
        return keep(w, of->what.key, strlen(of->what.key));
    if (of->kind == ASKED)
        return key_behind(w, of->asked_kind, of->key.key);
    return key_of_value(w, of->written, of->kind == OF_CYCLE);
}

/* Once among the inputs of a row. */
static void add_thing(work *w, size_t parent, evn_thing *of)
{
    of->full_key = key_of(w, of);
    if (!of->full_key || (parent != nowhere && is_input_of(w, parent, of->full_key)))
        return;
    if (of->kind == RESULT && of->sought)
        add_ability(w, parent, of);
    else if (of->kind == RESULT)
        add_quantity(w, parent, of);
    else if (of->kind == ASKED)
        add_asked(w, parent, of);
    else
        add_written(w, parent, of);
}

/* ------------------------------------------------------------------------------------------------ the whole */

enum { NAMES_MOST = 512 };

static void say_unknown(const evn_explained_run *run, const char *key, evn_report *report)
{
    const char *names[NAMES_MOST];
    char phrase[EVN_PHRASE_BYTES], quoted[EVN_QUOTE_BYTES], now[EVN_PHRASE_BYTES];
    size_t count = 0;
    evn_quantity what;
    double value;
    for (size_t i = 0; count < NAMES_MOST && evn_results_at(run->results, i, &what, &value); i++)
        names[count++] = what.key;
    for (size_t i = 0; count < NAMES_MOST && evn_rig_figure_at(run->rig, i, &what, &value); i++)
        names[count++] = what.key;
    evn_limits_figure figure;
    for (size_t i = 0; count < NAMES_MOST && evn_limits_at(run->limits, i, &figure); i++)
        names[count++] = figure.what.key;
    evn_quote(quoted, key, strlen(key));
    if (evn_renamed_key(key, now, sizeof now))
        evn_say(report, EVN_FAULT_UNKNOWN_KEY, evn_nowhere, evn_nowhere, "no result %s; it is called '%s' now", quoted,
                now);
    else
        evn_say(report, EVN_FAULT_UNKNOWN_KEY, evn_nowhere, evn_nowhere,
                "the run has no result %s; expected a key as --json of a run has it%s", quoted,
                evn_nearest_phrase(phrase, key, names, count));
}

evn_status evn_explain(const evn_explained_run *run, const char *key, evn_explanation **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"run", run}, {"key", key}, {"out", out}, {0}}) ||
        !evn_not_null(report, __func__,
                      (const evn_argument[]){{"run.truck", run->truck},
                                             {"run.cycle", run->cycle},
                                             {"run.rig", run->rig},
                                             {"run.ask", run->ask},
                                             {"run.results", run->results},
                                             {0}}))
        return evn_report_status(report);
    if (evn_explains_why(key))
        return evn_explain_cause(run, key, out, report);
    evn_thing found = {.kind = RESULT};
    if (strchr(key, '*') ||
        !evn_thing_of_results(run, evn_thing_name(key), 0, &found)) { /* a pattern would find one of several */
        say_unknown(run, key, report);
        return evn_report_status(report);
    }
    work w = {.run = run, .to = evn_explanation_new()};
    w.out_of_memory = !w.to;
    if (w.to)
        add_thing(&w, nowhere, &found);
    if (w.out_of_memory) {
        evn_explanation_free(w.to);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out explaining %s", key);
    } else {
        *out = w.to;
    }
    return evn_report_status(report);
}
