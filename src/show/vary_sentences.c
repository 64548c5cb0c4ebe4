/* Sentences on the variants of a study: how many, the best of each truck, how flat it is, against the file's and the
 * first truck's. */
#include "show/text.h"
#include "show/vary_story.h"
#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void add(char out[EVN_VARY_SENTENCES], const char *format, ...) __attribute__((format(printf, 2, 3)));
static void add(char out[EVN_VARY_SENTENCES], const char *format, ...)
{
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    vsnprintf(out + used, EVN_VARY_SENTENCES - used, format, values);
    va_end(values);
}

const char *evn_vary_truck_words(const evn_vary_table *t, size_t truck)
{
    return t->trucks > 1 ? evn_variants_truck_name(t->of, truck) : "";
}

void evn_vary_number_words(const evn_quantity *what, bool all_digits, double value, char out[EVN_VARY_CELL])
{
    char number[EVN_VARY_CELL / 2];
    evn_look look = {.all_digits = all_digits};
    evn_quantity finer = *what;
    finer.digits += what->kind == EVN_REAL ? 2 : 0;
    evn_format_value(number, sizeof number, &look, &finer, value);
    const char *unit = evn_shown_unit(what);
    snprintf(out, EVN_VARY_CELL, "%s%s%.20s", number, unit[0] != '\0' ? " " : "", unit);
}

void evn_vary_value_words(double value, int digits, char out[EVN_VARY_CELL])
{
    bool long_one = fabs(value) >= pow(10, digits) && fabs(value) < 1e15;
    if (long_one)
        snprintf(out, EVN_VARY_CELL, "%.0f", value);
    else
        snprintf(out, EVN_VARY_CELL, "%.*g", digits, value);
}

/* Both ends of a range with the digits that tell them apart. */
static void range_words(double low, double high, char out[2 * EVN_VARY_CELL])
{
    char from[EVN_VARY_CELL], to[EVN_VARY_CELL];
    int digits = 4;
    do {
        evn_vary_value_words(low, digits, from);
        evn_vary_value_words(high, digits, to);
    } while (strcmp(from, to) == 0 && ++digits <= 12);
    snprintf(out, 2 * EVN_VARY_CELL, "%.40s to %.40s", from, to);
}

void evn_vary_input_words(const evn_vary_table *t, size_t row, size_t input, bool all_digits, char out[EVN_VARY_CELL])
{
    if (t->column[input].is_text)
        snprintf(out, EVN_VARY_CELL, "%s", evn_vary_text_at(t, row, input));
    else
        evn_vary_value_words(evn_vary_at(t, row, input), all_digits ? 12 : 4, out);
}

void evn_vary_inputs_words(const evn_vary_table *t, size_t row, bool all_digits, char out[EVN_VARY_SENTENCES])
{
    out[0] = '\0';
    for (size_t k = 0; k < t->inputs; k++) {
        char value[EVN_VARY_CELL];
        evn_vary_input_words(t, row, k, all_digits, value);
        add(out, "%s%s %s", k > 0 ? ", " : "", t->column[k].what.key, value);
    }
}

/* ", first of all speed >= 80 (3), masses.gross_kg <= 44000 (1)" */
static void add_broken(const evn_vary_table *t, char out[EVN_VARY_SENTENCES])
{
    const char *text;
    bool any = false;
    for (size_t k = 0; (text = evn_vary_constraint(t, k)); k++)
        if (t->broken[k] > 0) {
            add(out, "%s%.150s (%zu)", any ? ", " : ", of which each breaks first ", text, t->broken[k]);
            any = true;
        }
}

void evn_vary_count_sentence(const evn_vary_table *t, char out[EVN_VARY_SENTENCES])
{
    uint64_t count = evn_variants_count(t->of), failed = evn_variants_failed(t->of), breaks = 0;
    uint64_t expected = evn_variants_expected(t->of);
    for (size_t row = 0; row < t->rows; row++)
        breaks += t->state[row] == EVN_VARY_BREAKS;
    out[0] = '\0';
    add(out, "%.300s: %" PRIu64 " variant%s", evn_variants_fact(t->of, "study"), count, count == 1 ? "" : "s");
    if (expected > count)
        add(out, " of %" PRIu64, expected);
    add(out, " over %.300s", evn_variants_fact(t->of, "over"));
    if (failed > 0)
        add(out, "; %" PRIu64 " came to no end", failed);
    if (breaks > 0)
        add(out, "; %" PRIu64 " break%s a constraint", breaks, breaks == 1 ? "s" : "");
    add_broken(t, out);
    add(out, ".");
    if (t->reason)
        add(out, " The first that came to no end, %" PRIu64 ": %.600s.", t->reason_id, t->reason);
    if (evn_vary_is_searched(t))
        add(out, " A search knows what lies near where it went: other samples or more starts may find better.");
}

/* ------------------------------------------------------------------------------------------------ the best */

static void add_edge(const evn_vary_table *t, const evn_vary_best *b, char out[EVN_VARY_SENTENCES])
{
    bool any = false;
    for (size_t k = 0; k < t->inputs; k++)
        if (b->low_edge[k] || b->high_edge[k]) {
            add(out, "%s%s (its %s)", any ? ", " : "\nIt is at the edge of ", t->column[k].what.key,
                b->low_edge[k] ? "least" : "most");
            any = true;
        }
    if (any)
        add(out, ": beyond it may be better.");
}

static void add_flat(const evn_vary_table *t, const evn_vary_best *b, char out[EVN_VARY_SENTENCES])
{
    char range[2 * EVN_VARY_CELL];
    bool any = false;
    add(out, "\nWithin %g %% of it: %zu variant%s, ", 100 * EVN_VARY_FLAT_SHARE, b->flat_rows,
        b->flat_rows == 1 ? "" : "s");
    for (size_t k = 0; k < t->inputs; k++)
        if (!t->column[k].is_text && b->flat_high[k] > b->flat_low[k]) {
            range_words(b->flat_low[k], b->flat_high[k], range);
            add(out, "%s%s %s", any ? ", " : "", t->column[k].what.key, range);
            any = true;
        }
    add(out, any ? "." : "no other value.");
}

static void add_as_is(const evn_vary_table *t, const evn_vary_best *b, char out[EVN_VARY_SENTENCES])
{
    char value[EVN_VARY_CELL];
    if (b->as_is < 0)
        return;
    evn_vary_number_words(&t->column[t->inputs].what, false, evn_vary_at(t, (size_t)b->as_is, t->inputs), value);
    add(out, "\nAs the file has it: %s", value);
    if (!isnan(b->as_is_worse_percent))
        add(out, ", %.2f %% %s than the best", fabs(b->as_is_worse_percent),
            b->as_is_worse_percent < 0 ? "better" : "worse");
    add(out, "%s.", t->state[b->as_is] == EVN_VARY_BREAKS ? "; it breaks a constraint" : "");
}

static void add_against_first(const evn_vary_table *t, size_t truck, char out[EVN_VARY_SENTENCES])
{
    double percent = evn_vary_against_first(t, truck);
    if (!isnan(percent))
        add(out, "\nEach at its best, that is %.2f %% %s than of %.200s.", fabs(percent), percent < 0 ? "less" : "more",
            evn_vary_truck_words(t, 0));
}

void evn_vary_best_sentences(const evn_vary_table *t, size_t truck, bool all_digits, char out[EVN_VARY_SENTENCES])
{
    char inputs[EVN_VARY_SENTENCES], value[EVN_VARY_CELL];
    const evn_variants_column *aim = &t->column[t->inputs];
    const char *name = evn_vary_truck_words(t, truck);
    evn_vary_best b = evn_vary_best_of(t, truck);
    out[0] = '\0';
    add(out, "%.200s%s", name, name[0] != '\0' ? ": " : "");
    if (b.row < 0) {
        add(out, "%sone of the variants may be.", name[0] != '\0' ? "n" : "N");
        add_as_is(t, &b, out);
        return;
    }
    evn_vary_inputs_words(t, (size_t)b.row, all_digits, inputs);
    evn_vary_number_words(&aim->what, all_digits, evn_vary_at(t, (size_t)b.row, t->inputs), value);
    add(out, "%s %s %s%s is %s, with %.1500s.", name[0] != '\0' ? "the" : "The",
        aim->aimed == EVN_AIMED_MOST ? "most" : "least", aim->what.label,
        evn_vary_is_searched(t) ? " found by the search" : "", value, inputs);
    add_edge(t, &b, out);
    add_flat(t, &b, out);
    add_as_is(t, &b, out);
    add_against_first(t, truck, out);
}
