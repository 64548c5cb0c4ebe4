/* How numbers come about, as a tree in the terminal: each number, then what it is made of, deeper. */
#define _POSIX_C_SOURCE 200809L
#include "show/explain_story.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct telling {
    const evn_explain_story *story;
    const evn_explanation *of;
    FILE *to;
    const evn_look *look;
    bool failed;    /* memory is out */
    bool folded;    /* something was deeper */
    size_t deepest; /* of all rows */
} telling;

/* The group that rows stand in. */
typedef struct place {
    const char *key;           /* NULL: in none */
    const char *file, *source; /* the source that was told last in it */
    unsigned depth;
} place;

#define ROUNDING 1e-12 /* below it no difference is told: last digits are those of a machine */
enum { CELL = 64, MARGIN = 64, STEP = 2, DEEPEST_MARGIN = 12 };

static bool is_group(const evn_explained *row)
{
    return row->written && (row->written->kind == EVN_VALUE_GROUP || row->written->kind == EVN_VALUE_STEPS ||
                            row->written->kind == EVN_VALUE_STEP);
}

/* ------------------------------------------------------------------------------------------------ paragraphs */

typedef struct written {
    FILE *to;
    char *text;
    size_t size;
} written;

static void begin(telling *t, written *w)
{
    *w = (written){.to = NULL};
    w->to = open_memstream(&w->text, &w->size);
    t->failed = t->failed || !w->to;
}

/* Writes what was gathered as one paragraph, so deep. */
static void end(telling *t, written *w, size_t depth, evn_style style)
{
    char margin[MARGIN];
    bool made = w->to && fclose(w->to) == 0;
    char *safe = made ? evn_safe_text(w->text) : NULL;
    size_t columns = STEP * depth < DEEPEST_MARGIN ? STEP * depth : DEEPEST_MARGIN;
    snprintf(margin, sizeof margin, "%*s", (int)columns, "");
    t->failed = t->failed || !safe;
    if (safe) {
        evn_style_begin(t->to, t->look, style);
        evn_put_paragraph_within(t->to, evn_look_prose(t->look), 0, margin, safe);
        evn_style_end(t->to, t->look, style);
    }
    free(safe);
    free(w->text);
}

/* ------------------------------------------------------------------------------------------------ values */

static void put_numbers(const evn_value *v, FILE *to)
{
    enum { SHOWN = 8 };
    char number[32];
    fputc('[', to);
    for (size_t i = 0; i < v->count && i < SHOWN; i++) {
        evn_format_exact(number, v->numbers[i]);
        fprintf(to, "%s%s", i > 0 ? ", " : "", number);
    }
    if (v->count > SHOWN)
        fprintf(to, ", ... %zu in all", v->count);
    fputc(']', to);
}

static void put_quantity(const telling *t, const evn_explained *row, FILE *to)
{
    char text[CELL];
    const char *unit = evn_shown_unit(&row->what);
    evn_format_value(text, sizeof text, t->look, &row->what, row->value);
    fprintf(to, "%s%s%s", text, unit[0] != '\0' ? " " : "", unit);
}

static void put_value(const telling *t, const evn_explained *row, FILE *to)
{
    char number[32];
    if (row->what.key) {
        put_quantity(t, row, to);
        return;
    }
    if (row->word) {
        fputs(row->word, to);
    } else if (row->written && row->written->text) {
        fputs(row->written->text, to);
    } else if (row->written && row->written->kind == EVN_VALUE_NUMBERS) {
        put_numbers(row->written, to);
    } else if (isnan(row->value)) {
        fputs("not given", to);
        return;
    } else {
        evn_format_exact(number, row->value);
        fputs(number, to);
    }
    if (row->unit[0] != '\0')
        fprintf(to, " %s", row->unit);
}

/* ------------------------------------------------------------------------------------------------ origins */

static void put_place(const char *file, unsigned line, FILE *to)
{
    fputs(file, to);
    if (line > 0)
        fprintf(to, ":%u", line);
}

static void put_option(const char *key, FILE *to)
{
    fputs("option --", to);
    for (const char *at = strchr(key, '.') + 1; *at != '\0'; at++)
        fputc(*at == '_' ? '-' : *at, to);
}

/* Of a value in a part with that file: the line alone. */
static void put_origin(const telling *t, const evn_explained *row, const char *file_above, FILE *to)
{
    const char *origin = evn_explained_origin(t->story, row);
    const evn_value *v = row->written;
    if (v && v->file) {
        if (file_above && v->line > 0 && strcmp(v->file, file_above) == 0)
            fprintf(to, "line %u", v->line);
        else
            put_place(v->file, v->line, to);
        if (v->changed_by)
            fprintf(to, ", changed by %s", v->changed_by);
    } else if (strcmp(origin, "option") == 0) {
        put_option(row->key, to);
    } else if (strcmp(origin, "lineup") == 0) {
        fputs("asked by the lineup", to);
    } else {
        fputs("default", to);
    }
}

/* The file that a group's values come from: of a part that of the first value which came with it. NULL: no file. */
static const char *file_of(const telling *t, size_t index, const evn_explained *group)
{
    const evn_value *v = group->written;
    evn_explained row;
    for (size_t i = index + 1; v->used_from_file && evn_explanation_at(t->of, i, &row) && row.depth > group->depth; i++)
        if (row.written && row.written->used_from_file && row.written->used_from_line == v->used_from_line &&
            strcmp(row.written->used_from_file, v->used_from_file) == 0)
            return row.written->file;
    return v->file;
}

/* A part, with who uses it; else where the group stands. */
static void put_group_origin(const evn_value *v, const char *file, FILE *to)
{
    if (!file) {
        fputs("default", to);
    } else if (v->used_from_file) {
        fprintf(to, "%s, used at ", file);
        put_place(v->used_from_file, v->used_from_line, to);
    } else {
        put_place(v->file, v->line, to);
    }
}

/* ------------------------------------------------------------------------------------------------ rows */

static bool is_told(const telling *t, const evn_explained *row) { return row->depth <= t->story->depth; }

/* Whether the row that explains a key further up is told. */
static bool is_shown_above(const telling *t, size_t index, const char *key)
{
    evn_explained row;
    for (size_t i = 0; i < index && evn_explanation_at(t->of, i, &row); i++)
        if (!row.again && strcmp(row.key, key) == 0)
            return is_told(t, &row);
    return false;
}

/* ".loss.constant_w" of a value below a group, the whole key of all else. */
static void put_key(const evn_explained *row, const place *group, FILE *to)
{
    size_t length = group ? strlen(group->key) : 0;
    fputs(group && strncmp(row->key, group->key, length) == 0 ? row->key + length : row->key, to);
}

static bool has_origin(const telling *t, const evn_explained *row)
{
    return !row->what.key && strcmp(evn_explained_origin(t->story, row), "not_given") != 0;
}

/* "kwh_per_km: energy consumption, 1.31 kWh/km"; "battery.mass_kg: 3600 kg; packs/a.yaml:16". */
static void put_head(telling *t, size_t index, const evn_explained *row, const place *group)
{
    written w;
    begin(t, &w);
    if (!w.to)
        return;
    put_key(row, group, w.to);
    if (row->label[0] != '\0')
        fprintf(w.to, ": %s", row->label);
    if (!is_group(row) && row->by != EVN_KNOWN_AS_LIMIT) {
        fputs(row->label[0] != '\0' ? ", " : ": ", w.to);
        put_value(t, row, w.to);
    }
    fputs(has_origin(t, row) ? "; " : "", w.to);
    if (is_group(row))
        put_group_origin(row->written, file_of(t, index, row), w.to);
    else if (has_origin(t, row))
        put_origin(t, row, group ? group->file : NULL, w.to);
    if (row->again && (row->what.key || is_group(row)))
        fputs(is_shown_above(t, index, row->key) ? "; explained above" : "; explained deeper above", w.to);
    end(t, &w, row->depth, row->what.key ? EVN_STYLE_STRONG : EVN_STYLE_PLAIN);
}

/* How far a formula is from the value, in words. */
static void put_agreement(const evn_explained_check *c, const char *unit, FILE *to)
{
    char gives[32];
    if (!c->agrees) {
        evn_format_exact(gives, c->gives);
        fprintf(to, "; this gives %s, which does NOT agree", gives);
    } else if (isnan(c->gives)) {
        fputs("; of which there is none", to);
    } else if (fabs(c->difference) <= ROUNDING * fabs(c->gives)) {
        fputs("; agrees", to);
    } else {
        fprintf(to, "; agrees to %.1g%s%s", fabs(c->difference), unit[0] != '\0' ? " " : "", unit);
    }
}

static void put_check(telling *t, const evn_explained *row, size_t index)
{
    written w;
    const evn_explained_check *c = &row->check[index];
    begin(t, &w);
    if (!w.to)
        return;
    bool is_formula = index == 0 && row->by == EVN_KNOWN_BY_FORMULA;
    fprintf(w.to, is_formula ? "= %s" : "the same: %s", c->formula);
    put_agreement(c, row->unit, w.to);
    end(t, &w, row->depth + 1, c->agrees ? EVN_STYLE_PLAIN : EVN_STYLE_ERROR);
}

static void put_words(telling *t, const evn_explained *row, const char *before, const char *text)
{
    written w;
    begin(t, &w);
    if (!w.to)
        return;
    fprintf(w.to, "%s%s", before, text);
    end(t, &w, row->depth + 1, EVN_STYLE_FAINT);
}

static void put_formula(telling *t, const evn_explained *row)
{
    if (row->formula && !row->again && row->by != EVN_KNOWN_BY_FORMULA)
        put_words(t, row, evn_known_by_phrase(row->by), row->formula);
    for (size_t i = 0; i < row->checks; i++)
        put_check(t, row, i);
}

/* Once for a part, and for what says something else than what it stands below. */
static void put_source(telling *t, const evn_explained *row, const char *above)
{
    if (row->source && !row->again && (!above || strcmp(above, row->source) != 0))
        put_words(t, row, "source: ", row->source);
}

static void put_folded(telling *t, const evn_explained *row)
{
    written w;
    begin(t, &w);
    if (!w.to)
        return;
    fprintf(w.to, "(%zu %s below)", row->inputs, row->inputs == 1 ? "input" : "inputs");
    end(t, &w, row->depth + 1, EVN_STYLE_FAINT);
    t->folded = true;
}

static void put_row(telling *t, size_t index, const evn_explained *row, const place *group)
{
    put_head(t, index, row, group);
    put_formula(t, row);
    put_source(t, row, group ? group->source : NULL);
    if (row->depth == t->story->depth && row->inputs > 0)
        put_folded(t, row);
}

static void put_explanation(telling *t)
{
    evn_explained row;
    place group = {.key = NULL};
    for (size_t i = 0; evn_explanation_at(t->of, i, &row); i++) {
        t->deepest = row.depth > t->deepest ? row.depth : t->deepest;
        if (!is_told(t, &row))
            continue;
        bool inside = group.key && row.written && !is_group(&row) && row.depth == group.depth + 1;
        put_row(t, i, &row, inside ? &group : NULL);
        if (is_group(&row))
            group = (place){row.key, file_of(t, i, &row), row.source, row.depth};
        else if (!inside)
            group.key = NULL;
        else if (row.source)
            group.source = row.source;
    }
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool put_answer(const telling *t)
{
    const evn_explain_story *story = t->story;
    bool made = evn_put_sentence(t->to, evn_look_prose(t->look), "", "%s on %s%s%s; the run %s.", story->truck,
                                 story->cycle, story->basis ? ", in the comparison, " : "",
                                 !story->basis                         ? ""
                                 : strcmp(story->basis, "common") == 0 ? "at the common speed"
                                                                       : "at its own speed",
                                 strcmp(story->status, "finished") == 0 ? "finished" : "ended early");
    if (made && story->torque_scale != 1)
        made = evn_put_sentence(t->to, evn_look_prose(t->look), "",
                                "The comparison made it equal in power: it drove with the torque of its motors times "
                                "%.4f, on scale.torque, which stands in no file; figures of motors below are as files "
                                "hold them.",
                                story->torque_scale);
    fputc('\n', t->to);
    return made;
}

bool evn_explain_text(const evn_explain_story *story, FILE *to, const evn_look *look)
{
    telling t = {.story = story, .to = to, .look = look};
    bool made = put_answer(&t);
    for (size_t i = 0; made && i < story->count; i++) {
        if (i > 0)
            fputc('\n', to);
        t.of = story->explanation[i];
        put_explanation(&t);
    }
    if (made && t.folded) {
        fputc('\n', to);
        made = evn_put_sentence(
            to, evn_look_prose(look), "",
            "Folded at depth %zu of %zu; --depth N tells more. A value is told with its file and line, "
            "and where that says it has it from.",
            story->depth, t.deepest);
    }
    return made && !t.failed;
}
