/* How a part of the difference of two trucks comes about: each exchange that it is averaged of, with its hybrids; and
 * the lines of speed. */
#define _POSIX_C_SOURCE 200809L
#include "api/explanation.h"
#include "core/words.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define WHY "why."
enum { TEXT_BYTES = 1024, NAME_BYTES = 240 }; /* names of all causes have room */
static const double rounding = 1e-12;         /* of the sizes that are summed up */

/* ------------------------------------------------------------------------------------------------ keys */

typedef enum speed_line { OWN_SPEED, LOWERED_SPEED, SPEED_LINES } speed_line;
enum { KEYS = EVN_CAUSE_COUNT + SPEED_LINES };
static const struct {
    const char *key, *label, *help;
} speed_lines[SPEED_LINES] = {
    [OWN_SPEED] = {WHY "speed", "own speeds less common speed",
                   "what the difference is more at own speeds than at the common one"},
    [LOWERED_SPEED] = {WHY "lowered_speed", "lower speed of the hybrids",
                       "what the difference is more at the common speed than at the one that all hybrids drive"},
};

bool evn_explain_why_at(size_t index, char key[EVN_WHY_KEY_BYTES])
{
    evn_cause_row row;
    if (!key || index >= KEYS)
        return false;
    if (evn_cause_row_at(index, &row))
        snprintf(key, EVN_WHY_KEY_BYTES, WHY "%s", row.key);
    else
        snprintf(key, EVN_WHY_KEY_BYTES, "%s", speed_lines[index - EVN_CAUSE_COUNT].key);
    return true;
}

bool evn_explains_why(const char *key) { return strncmp(key, WHY, strlen(WHY)) == 0; }

/* Its place among the keys; their number where it is none. */
static size_t place_of(const char *key)
{
    char is[EVN_WHY_KEY_BYTES];
    size_t at = 0;
    while (evn_explain_why_at(at, is) && strcmp(is, key) != 0)
        at++;
    return at;
}

/* ------------------------------------------------------------------------------------------------ rows */

typedef struct work {
    const evn_explained_run *run;
    evn_explanation *to;
    evn_quantity energy; /* unit and digits of all that is told */
    bool out_of_memory;
} work;

static const char *text(work *w, const char *format, ...) __attribute__((format(printf, 2, 3)));
static const char *text(work *w, const char *format, ...)
{
    char made[TEXT_BYTES];
    va_list list;
    va_start(list, format);
    vsnprintf(made, sizeof made, format, list);
    va_end(list);
    const char *kept = evn_arena_text(w->to->arena, made, strlen(made));
    w->out_of_memory = w->out_of_memory || !kept;
    return kept ? kept : "";
}

static evn_explained row_of(const work *w, unsigned depth, const char *key, const char *label, double value)
{
    evn_explained row = {
        .depth = depth, .key = key, .label = label, .unit = w->energy.unit, .help = "", .value = value};
    row.what = w->energy;
    row.what.key = key;
    row.what.label = row.what.short_label = label;
    return row;
}

static void add(work *w, evn_explained row)
{
    if (!w->out_of_memory)
        w->out_of_memory = evn_explanation_add(w->to, row) == SIZE_MAX;
}

/* Holds the value against what the told inputs give. */
static void check(evn_explained *row, const char *formula, const char *expression, double gives, double size)
{
    bool neither = isnan(gives) && isnan(row->value);
    double difference = gives - row->value;
    row->check[row->checks++] = (evn_explained_check){.formula = formula,
                                                      .expression = expression,
                                                      .gives = gives,
                                                      .difference = neither ? 0 : difference,
                                                      .tolerance = neither ? 0 : rounding * size,
                                                      .agrees = neither || fabs(difference) <= rounding * size};
}

/* ------------------------------------------------------------------------------------------------ a part */

/* "body, tyres and mass + hub drag", or by keys "body+hub_drag". */
static const char *joined(work *w, unsigned causes, bool by_key)
{
    char made[NAME_BYTES] = "";
    evn_cause_row row;
    for (size_t c = 0; evn_cause_row_at(c, &row); c++)
        if (causes >> c & 1u) {
            size_t used = strlen(made);
            snprintf(made + used, sizeof made - used, "%s%s",
                     used == 0 ? ""
                     : by_key  ? "+"
                               : " + ",
                     by_key ? row.key : row.label);
        }
    return text(w, "%s", made);
}

/* Whether a set holds no cause that differs, or all of them: such a hybrid is one of the two trucks. */
typedef enum which { FIRST, HYBRID, OTHER } which;

static const char *hybrid_name(work *w, which is, unsigned exchanged)
{
    if (is != HYBRID)
        return w->run->called[is == OTHER];
    return text(w, "%s with %s of %s", w->run->called[0], joined(w, exchanged, false), w->run->called[1]);
}

static void add_hybrid(work *w, const char *of, const char *end, which is, unsigned exchanged, double value)
{
    evn_explained row = row_of(w, 2, text(w, "%s.%s", of, end), hybrid_name(w, is, exchanged), value);
    row.help = "energy consumption at the one speed that all hybrids drive";
    row.by = EVN_KNOWN_OVER_RUN;
    add(w, row);
}

static void add_exchange(work *w, const char *of, unsigned own, bool last, const evn_cause_exchange *is)
{
    const char *key =
        is->before == 0 ? text(w, "%s.first", of) : text(w, "%s.after.%s", of, joined(w, is->before, true));
    const char *label =
        is->before == 0 ? "exchanged first" : text(w, "exchanged after %s", joined(w, is->before, false));
    evn_explained row = row_of(w, 1, key, label, is->weight * (is->with - is->without));
    row.by = EVN_KNOWN_BY_EXCHANGE;
    row.help = "weight * (with it - without it)";
    row.inputs = 3;
    add(w, row);
    evn_explained weight = row_of(w, 2, text(w, "%s.weight", key), "share of all orders", is->weight);
    weight.by = EVN_KNOWN_BY_EXCHANGE;
    weight.unit = weight.what.unit = "";
    weight.what.digits = 4;
    weight.help = "|S|! * (n - |S| - 1)! / n!, S what was exchanged before";
    add(w, weight);
    add_hybrid(w, key, "with", last ? OTHER : HYBRID, is->before | own, is->with);
    add_hybrid(w, key, "without", is->before == 0 ? FIRST : HYBRID, is->before, is->without);
}

/* What the exchanges come to, how large what they are made of is, and how many there are. */
static size_t sum_of(const work *w, size_t part, double *gives, double *size)
{
    evn_cause_exchange is;
    size_t count = 0;
    *gives = *size = 0;
    for (; evn_causes_exchange_at(w->run->causes, w->run->place, part, count, &is); count++) {
        *gives += is.weight * (is.with - is.without);
        *size += is.weight * (fabs(is.with) + fabs(is.without));
    }
    return count;
}

/* How many blocks are exchanged in these orders. */
static size_t blocks_of(size_t exchanges)
{
    size_t count = 1;
    for (; exchanges > 1; exchanges /= 2)
        count++;
    return count;
}

/* Why blocks are exchanged as one; "" for a block by itself. */
static const char *merged_as(work *w, unsigned causes)
{
    evn_cause_merge merge;
    if ((causes & (causes - 1)) == 0)
        return "";
    for (size_t k = 0; evn_causes_merge_at(w->run->causes, w->run->place, k, &merge); k++)
        if (causes >> merge.one & 1u)
            return text(w, "; exchanged as one are %s, since apart: %s", joined(w, causes, false), merge.reason);
    return "";
}

static void add_part(work *w, const char *key, size_t index, const evn_cause_part *is)
{
    double gives, size;
    size_t exchanges = sum_of(w, index, &gives, &size);
    evn_explained row = row_of(w, 0, key, joined(w, is->causes, false), is->part);
    evn_cause_exchange exchange;
    row.by = EVN_KNOWN_AS_AVERAGE;
    row.source = evn_causes_source();
    row.help = text(w, "what its exchange changes from %s to %s, at the one speed that all hybrids drive",
                    w->run->called[0], w->run->called[1]);
    row.formula = is->alike
                      ? text(w, "nothing of it differs, so that no exchange of it makes another truck%s",
                             merged_as(w, is->causes))
                      : text(w,
                             "the sum over all sets S of the other blocks that differ of |S|! * (n - |S| - 1)! / n! * "
                             "(with it - without it), S exchanged before; n = %zu%s",
                             blocks_of(exchanges), merged_as(w, is->causes));
    check(&row, "sum of all exchanges", "sum(weight * (with - without))", gives, size);
    row.inputs = is->alike ? 0 : exchanges;
    add(w, row);
    for (size_t k = 0; k < row.inputs; k++)
        if (evn_causes_exchange_at(w->run->causes, w->run->place, index, k, &exchange))
            add_exchange(w, key, is->causes, k + 1 == exchanges, &exchange);
}

/* ------------------------------------------------------------------------------------------------ speed */

static void add_end(work *w, const char *of, const char *end, size_t truck, const char *at, double value)
{
    evn_explained row = row_of(w, 1, text(w, "%s.%s", of, end), text(w, "%s at %s", w->run->called[truck], at), value);
    row.by = EVN_KNOWN_OVER_RUN;
    row.help = "energy consumption of its run at that speed";
    add(w, row);
}

/* A difference at one speed less that at another. */
static void add_speed(work *w, speed_line line, const evn_causes_pair *pair)
{
    bool own = line == OWN_SPEED;
    const char *key = speed_lines[line].key;
    const char *at[2] = {own ? "its own speed" : "the common speed",
                         own ? "the common speed" : "the speed of the hybrids"};
    const double to[2] = {own ? pair->first_own : pair->first, own ? pair->other_own : pair->other};
    const double from[2] = {own ? pair->first : pair->first_parted, own ? pair->other : pair->other_parted};
    double told = own ? pair->own_speed : (pair->other - pair->first) - (pair->other_parted - pair->first_parted);
    evn_explained row = row_of(w, 0, key, speed_lines[line].label, told);
    row.by = EVN_KNOWN_BY_FORMULA;
    row.help = speed_lines[line].help;
    row.formula = text(w, "(%s - %s) at %s less the same at %s", w->run->called[1], w->run->called[0],
                       own ? "own speeds" : at[0], at[1]);
    check(&row, row.formula, "(other_at - first_at) - (other_less - first_less)", (to[1] - to[0]) - (from[1] - from[0]),
          fabs(to[0]) + fabs(to[1]) + fabs(from[0]) + fabs(from[1]));
    row.inputs = 4;
    add(w, row);
    add_end(w, key, "other_at", 1, at[0], to[1]);
    add_end(w, key, "first_at", 0, at[0], to[0]);
    add_end(w, key, "other_less", 1, at[1], from[1]);
    add_end(w, key, "first_less", 0, at[1], from[0]);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void say_no_cause(const char *key, evn_report *report)
{
    char at[KEYS][EVN_WHY_KEY_BYTES];
    const char *names[KEYS];
    char phrase[EVN_PHRASE_BYTES], list[EVN_PHRASE_BYTES], quoted[EVN_QUOTE_BYTES];
    size_t count = 0;
    for (; count < KEYS && evn_explain_why_at(count, at[count]); count++)
        names[count] = at[count];
    evn_say(report, EVN_FAULT_UNKNOWN_KEY, evn_nowhere, evn_nowhere,
            "no cause %s of a difference; expected one of %s%s", evn_quote(quoted, key, strlen(key)),
            evn_name_all(list, names, count), evn_nearest_phrase(phrase, key, names, count));
}

/* False (said): there is nothing parted of which the key could be told. */
static bool is_parted(const evn_explained_run *run, const char *key, evn_causes_pair *pair, evn_report *report)
{
    if (!run->causes) {
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                "'%s' is of two trucks of a comparison, a run has none; expected a truck of a lineup with its causes",
                key);
        return false;
    }
    if (!evn_not_null(
            report, "evn_explain",
            (const evn_argument[]){{"run.called[0]", run->called[0]}, {"run.called[1]", run->called[1]}, {0}}))
        return false;
    if (!evn_causes_pair_at(run->causes, run->place, pair)) {
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                "'%s' of %s: all others are held against this truck; expected another truck of the lineup", key,
                run->called[1]);
        return false;
    }
    if (pair->state == EVN_CAUSES_FOUND)
        return true;
    evn_say(report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere,
            pair->state == EVN_CAUSES_NOT_DRIVEN ? "'%s': %s did not finish at the common speed"
                                                 : "'%s' of %s: its hybrids were not driven",
            key, run->called[1]);
    return false;
}

static void explain(work *w, const char *key, size_t place, const evn_causes_pair *pair)
{
    evn_cause_part part;
    evn_cause_line line;
    if (evn_causes_line_at(w->run->causes, w->run->place, 0, 0, &line))
        w->energy = line.what;
    if (place >= EVN_CAUSE_COUNT) {
        add_speed(w, (speed_line)(place - EVN_CAUSE_COUNT), pair);
        return;
    }
    for (size_t k = 0; evn_causes_part_at(w->run->causes, w->run->place, k, &part); k++)
        if (part.causes >> place & 1u)
            add_part(w, text(w, "%s", key), k, &part);
}

evn_status evn_explain_cause(const evn_explained_run *run, const char *key, evn_explanation **out, evn_report *report)
{
    size_t place = place_of(key);
    evn_causes_pair pair;
    if (place == KEYS) {
        say_no_cause(key, report);
        return evn_report_status(report);
    }
    if (!is_parted(run, key, &pair, report))
        return evn_report_status(report);
    work w = {.run = run, .to = evn_explanation_new()};
    w.out_of_memory = !w.to;
    if (w.to)
        explain(&w, key, place, &pair);
    if (w.out_of_memory) {
        evn_explanation_free(w.to);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out explaining %s", key);
    } else {
        *out = w.to;
    }
    return evn_report_status(report);
}
