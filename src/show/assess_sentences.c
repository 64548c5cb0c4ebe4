/* Verdicts in sentences, which the media share. */
#include "show/assess_story.h"
#include "show/text.h"
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

enum { NUMBER = 60 };

const char *evn_verdict_words(evn_verdict v)
{
    return v == EVN_VERDICT_NOT_ASKED ? "not asked" : v == EVN_VERDICT_NOT_KNOWN ? "not known" : evn_verdict_name(v);
}

void evn_assess_amount(char *out, size_t bytes, const evn_quantity *what, double value)
{
    char number[NUMBER];
    const char *unit = evn_shown_unit(what);
    evn_format_decimals(number, sizeof number, what->digits, evn_shown_value(what, value));
    snprintf(out, bytes, "%s%s%s", number, unit[0] ? " " : "", unit);
}

void evn_assess_sure_words(const evn_assessed *is, char *out, size_t bytes)
{
    double least = pow(10, -is->what.digits), told = evn_shown_value(&is->what, is->uncertainty);
    if (told >= least / 2)
        evn_assess_amount(out, bytes, &is->what, is->uncertainty);
    else { /* as far as its digits go: what is left out is far more than that */
        char digit[NUMBER];
        evn_format_decimals(digit, sizeof digit, is->what.digits, least);
        snprintf(out, bytes, "less than %s %s", digit, evn_shown_unit(&is->what));
    }
}

bool evn_assess_demanded_words(const evn_assessed *is, char *out, size_t bytes)
{
    char demanded[NUMBER];
    if (strcmp(is->what.key, "rules") == 0)
        return false;
    evn_assess_amount(demanded, sizeof demanded, &is->what, is->demanded);
    snprintf(out, bytes, "%s %s", is->at_most ? "at most" : "at least", demanded);
    return true;
}

/* ------------------------------------------------------------------------------------------------ putting together */

typedef struct words {
    char *out;
    size_t length;
} words;

static void put(words *w, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void put(words *w, const char *format, ...)
{
    va_list values;
    size_t room = EVN_ASSESS_SENTENCE_BYTES - w->length;
    va_start(values, format);
    int more = vsnprintf(w->out + w->length, room, format, values);
    va_end(values);
    w->length += more < 0 ? 0 : (size_t)more < room ? (size_t)more : room - 1;
}

static words begin(char out[EVN_ASSESS_SENTENCE_BYTES])
{
    out[0] = '\0';
    return (words){out, 0};
}

/* ------------------------------------------------------------------------------------------------ a truck */

/* Without the label before it, which the sentence has told. */
static const char *why_beyond_label(const evn_assessed *is)
{
    size_t length = strlen(is->what.label);
    if (!is->why || strncmp(is->why, is->what.label, length) != 0)
        return is->why;
    const char *why = is->why + length;
    why += strspn(why, ",: ");
    return why[0] ? why : NULL;
}

/* "start, soil 12.10 % of 15 % (-2.90 % +- 1.20 %; adhesion binds; season winter)" */
static void put_verdict(words *w, const evn_assessed *is)
{
    char value[NUMBER], demanded[NUMBER], margin[NUMBER];
    evn_assess_amount(value, sizeof value, &is->what, is->value);
    evn_assess_amount(demanded, sizeof demanded, &is->what, is->demanded);
    evn_assess_amount(margin, sizeof margin, &is->what, is->margin);
    put(w, "%.120s", is->what.label);
    if (is->verdict == EVN_VERDICT_NOT_KNOWN) {
        put(w, " (%.200s)", is->missing ? is->missing : "not stated");
        return;
    }
    if (isnan(is->value)) {
        put(w, ": not at all, %s demanded", demanded);
    } else {
        put(w, ": %s, %s %s (%s%s", value, is->at_most ? "at most" : "at least", demanded, is->margin > 0 ? "+" : "",
            margin);
        if (is->uncertainty > 0) {
            evn_assess_sure_words(is, margin, sizeof margin);
            put(w, ", sure to %s", margin);
        }
        if (!isnan(is->probability))
            put(w, ", in %.0f %% of draws", 100 * is->probability);
        bool sure = isnan(is->probability) ? is->margin >= is->uncertainty : is->probability >= 0.95;
        if (is->verdict == EVN_VERDICT_MARGINAL && sure) {
            evn_assess_amount(margin, sizeof margin, &is->what, is->spare);
            put(w, ", without the spare of %s", margin);
        }
        if (is->left_out)
            put(w, "; %.200s", is->left_out);
        put(w, ")");
    }
    const char *why = why_beyond_label(is);
    if (why)
        put(w, ", %.200s", why);
    if (is->where)
        put(w, ", %.120s", is->where);
}

/* All of one verdict: " Fails A; B." */
static void put_all(words *w, const evn_assess_story *s, size_t truck, evn_verdict v, const char *before)
{
    evn_assessed is;
    size_t told = 0;
    for (size_t k = 0; evn_assessed_at(s->assessment, truck, k, &is); k++) {
        if (is.verdict != v)
            continue;
        put(w, "%s", told++ == 0 ? before : "; ");
        put_verdict(w, &is);
    }
    if (told > 0)
        put(w, ".");
}

void evn_assess_verdict_words(const evn_assessed *is, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    put_verdict(&w, is);
}

static void put_whole(words *w, const evn_assess_story *s, size_t truck)
{
    evn_verdict of = evn_assessment_of(s->assessment, truck);
    static const char *const does[] = {[EVN_VERDICT_NOT_ASKED] = "not asked",
                                       [EVN_VERDICT_PASS] = "pass, of all that is demanded",
                                       [EVN_VERDICT_MARGINAL] =
                                           "marginal; nothing fails, not all is sure or with the spare that is asked",
                                       [EVN_VERDICT_NOT_KNOWN] = "not known; nothing fails of what is known",
                                       [EVN_VERDICT_FAIL] = "fail, not all that is demanded is kept"};
    put(w, "%.100s: %s.", evn_lineup_truck_title(s->lineup, truck), does[of]);
}

void evn_assess_whole_words(const evn_assess_story *s, size_t truck, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    put_whole(&w, s, truck);
}

/* The verdict is of the class as it is taken; how wide that is may decide. */
static bool is_of_a_class(const evn_assessed *is)
{
    static const char *const rides[] = {"track_km_h", "track_empty_km_h", "shaken_m_s2"};
    bool rides_it = false;
    for (size_t k = 0; k < sizeof rides / sizeof *rides; k++)
        rides_it = rides_it || strcmp(is->what.key, rides[k]) == 0;
    return rides_it && is->left_out;
}

static void put_left_out(words *w, const evn_assess_story *s, size_t truck)
{
    evn_assessed is;
    char demanded[NUMBER];
    size_t told = 0;
    for (size_t k = 0; evn_assessed_at(s->assessment, truck, k, &is); k++) {
        if (is.verdict != EVN_VERDICT_PASS || !is_of_a_class(&is))
            continue;
        evn_assess_demanded_words(&is, demanded, sizeof demanded);
        put(w, "%s%.120s, %s (%.200s)", told++ == 0 ? " Passed, as the class is taken: " : "; ", is.what.label,
            demanded, is.left_out);
    }
    if (told > 0)
        put(w, ".");
}

void evn_assess_truck_words(const evn_assess_story *s, size_t truck, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    put_whole(&w, s, truck);
    put_all(&w, s, truck, EVN_VERDICT_FAIL, " Failed: ");
    put_all(&w, s, truck, EVN_VERDICT_NOT_KNOWN, " Not known: ");
    put_all(&w, s, truck, EVN_VERDICT_MARGINAL, " Marginal: ");
    put_left_out(&w, s, truck);
}

/* ------------------------------------------------------------------------------------------------ which layout */

static size_t count_of(const evn_assess_story *s, evn_verdict v)
{
    size_t count = 0;
    for (size_t k = 0; k < evn_assessment_truck_count(s->assessment); k++)
        count += evn_assessment_of(s->assessment, k) == v;
    return count;
}

static void put_names(words *w, const evn_assess_story *s, evn_verdict v)
{
    size_t told = 0;
    for (size_t k = 0; k < evn_assessment_truck_count(s->assessment); k++)
        if (evn_assessment_of(s->assessment, k) == v)
            put(w, "%s%.100s", told++ > 0 ? ", " : "", evn_lineup_truck_title(s->lineup, k));
}

/* "a, b and c" */
static void put_alike(words *w, const evn_assess_story *s, unsigned alike)
{
    for (size_t k = 0, told = 0; alike >> k != 0; k++)
        if (alike >> k & 1u) {
            bool last = alike >> k == 1u;
            put(w, "%s%.100s", told++ == 0 ? "" : last ? " and " : ", ", evn_lineup_truck_title(s->lineup, k));
        }
}

static void put_choice(words *w, const evn_assess_story *s, const evn_assess_choice *c)
{
    char unit[NUMBER], value[NUMBER], less[NUMBER], sure[NUMBER];
    const char *advised = evn_lineup_truck_title(s->lineup, c->advised);
    int digits = c->by_cost ? 4 : 3;
    snprintf(unit, sizeof unit, "%.12s/km", c->by_cost ? evn_prices_currency(s->prices) : "kWh");
    evn_format_decimals(value, sizeof value, digits, c->value);
    if (c->next == SIZE_MAX) {
        if (c->marginal)
            put(w, "No truck passes all. Nearest is %.100s, the only one that fails nothing%s.", advised,
                c->open ? " of those that are known whole" : "");
        else
            put(w, "Advised is %.100s, as no other passes all that is demanded.", advised);
        return;
    }
    evn_format_decimals(less, sizeof less, digits, c->next_value - c->value);
    evn_format_decimals(sure, sizeof sure, digits, c->uncertainty);
    const char *next = evn_lineup_truck_title(s->lineup, c->next), *what = c->by_cost ? "cost" : "energy";
    if (!c->apart) {
        put(w, "%s ", c->marginal ? "No truck passes all; of the marginal ones" : "All is passed by more than one:");
        put_alike(w, s, c->alike);
        put(w, " cannot be told apart in %s: %s %s of %.100s, and %s more of %.100s, the next (sure to %s).", what,
            value, unit, advised, less, next, sure);
        return;
    }
    put(w, "%s%.100s: of those that %s its %s is least, %s %s, %s less than of %.100s (sure to %s).",
        c->marginal ? "No truck passes all. Nearest is " : "Advised is ", advised,
        c->marginal ? "are marginal" : "pass all", what, value, unit, less, next, sure);
}

/* Whose verdict on a demand is turned by the least change of what is demanded; false: nobody's. */
static bool nearest_turn(const evn_assess_story *s, size_t demand, evn_assess_turn *out)
{
    evn_assess_turn t;
    bool any = false;
    for (size_t k = 0; evn_assess_turn_at(s->assessment, k, &t); k++) {
        if (t.truck == SIZE_MAX || t.demand != demand || strcmp(t.datum, "demanded") != 0 || isnan(t.to))
            continue;
        if (!any || fabs(t.to - t.from) < fabs(out->to - out->from))
            *out = t;
        any = true;
    }
    return any;
}

/* Failed by each truck: what is demanded or what they share decides, and no layout. */
static bool is_failed_by_all(const evn_assess_story *s, size_t demand)
{
    evn_assessed is;
    for (size_t k = 0; evn_assessed_at(s->assessment, k, demand, &is); k++)
        if (is.verdict != EVN_VERDICT_FAIL)
            return false;
    return true;
}

/* " Failed by each: descent at 35 km/h, of which shaft comes nearest with 5.80 %; ..." */
static void put_failed_by_all(words *w, const evn_assess_story *s)
{
    evn_assessed is;
    evn_assess_turn t;
    char amount[NUMBER];
    size_t told = 0;
    for (size_t k = 0; evn_assessed_at(s->assessment, 0, k, &is); k++) {
        if (!is_failed_by_all(s, k))
            continue;
        put(w, "%s%.120s", told++ == 0 ? " Failed by each, so that no layout decides: " : "; ", is.what.label);
        if (!nearest_turn(s, k, &t))
            continue;
        evn_assess_amount(amount, sizeof amount, &is.what, t.to);
        put(w, ", of which %.100s comes nearest with %s", evn_lineup_truck_title(s->lineup, t.truck), amount);
    }
    if (told > 0)
        put(w, ".");
}

void evn_assess_advice_words(const evn_assess_story *s, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    evn_assess_choice c = {.advised = SIZE_MAX};
    evn_assessment_choice(s->assessment, &c);
    if (c.unpriced)
        put(&w, "None is advised without prices: payback against the first truck is demanded.");
    else if (c.advised != SIZE_MAX)
        put_choice(&w, s, &c);
    else if (count_of(s, EVN_VERDICT_PASS) > 0) {
        put(&w, "All that was judged is passed by ");
        put_names(&w, s, EVN_VERDICT_PASS);
        put(&w, "; no day was driven that would tell which takes least.");
    } else if (count_of(s, EVN_VERDICT_MARGINAL) > 0) {
        put(&w, "No truck passes all that is demanded. Nothing is failed by ");
        put_names(&w, s, EVN_VERDICT_MARGINAL);
        put(&w, "; no day was driven that would tell which takes least.");
    } else {
        put(&w, "No truck passes all that is demanded, and none is advised.");
        put_failed_by_all(&w, s);
    }
    if (c.open) {
        put(&w, " That is open as long as not all is known of ");
        put_names(&w, s, EVN_VERDICT_NOT_KNOWN);
        put(&w, ".");
    }
}

/* ------------------------------------------------------------------------------------------------ what turns it */

/* Rounded away from where it is (NAN: to the nearest): what is told turns it. */
static void number_words(char out[NUMBER], double value, double away_from, const char *unit)
{
    int digits = fabs(value) >= 1000 ? 0 : fabs(value) >= 100 ? 1 : fabs(value) >= 10 ? 2 : 3;
    double scale = pow(10, digits);
    char number[NUMBER / 2];
    if (value == round(value))
        digits = 0;
    if (value < away_from)
        value = floor(value * scale) / scale;
    else if (value > away_from)
        value = ceil(value * scale) / scale;
    evn_format_decimals(number, sizeof number, digits, value);
    snprintf(out, NUMBER, "%s%s%.20s", number, unit[0] ? " " : "", unit);
}

/* "annual distance 61000 km instead of 21650 km", or that none does within reach. */
static void put_turn(words *w, const evn_assess_turn *t)
{
    char from[NUMBER], to[NUMBER];
    number_words(from, t->from, (double)NAN, t->unit);
    if (isnan(t->to)) {
        number_words(to, t->reach, 0.0, t->unit);
        put(w, "no %s does up to %s, all that one truck drives in a year; it is %s", t->datum, to, from);
        return;
    }
    number_words(to, t->to, t->from, t->unit);
    put(w, "%s %s", t->datum, to);
    if (t->from != 0)
        put(w, " instead of %s", from);
}

/* "Which is advised: start, soil, demanded 18.2 % instead of 15 %, which central drive passes no longer" */
static void put_choice_by_demand(words *w, const evn_assess_story *s, const evn_assess_turn *t)
{
    char from[NUMBER], to[NUMBER];
    evn_assessed is;
    evn_assess_choice c = {.advised = SIZE_MAX};
    evn_assessment_choice(s->assessment, &c);
    evn_assessed_at(s->assessment, t->about, t->demand, &is);
    double times = is.what.kind == EVN_SHARE ? 100 : 1;
    const char *unit = evn_shown_unit(&is.what);
    number_words(from, times * t->from, (double)NAN, unit);
    number_words(to, times * t->to, times * t->from, unit);
    bool is_less = is.at_most ? t->to > t->from : t->to < t->from;
    put(w, "Which is advised: %.120s, demanded %s instead of %s: then %s %.100s", is.what.label, to, from,
        t->about != c.advised ? "there is also"
        : is_less             ? "it is a pass of"
        : c.marginal          ? "it is a fail of"
                              : "it is no longer",
        evn_lineup_truck_title(s->lineup, t->about));
}

bool evn_assess_turn_words(const evn_assess_story *s, size_t index, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    char from[NUMBER], to[NUMBER];
    evn_assess_turn t;
    evn_assessed is;
    if (!evn_assess_turn_at(s->assessment, index, &t))
        return false;
    if (t.truck == SIZE_MAX && t.demand != SIZE_MAX) {
        put_choice_by_demand(&w, s, &t);
        return true;
    }
    if (t.truck == SIZE_MAX) {
        put(&w, "Which is advised: ");
        put_turn(&w, &t);
        return true;
    }
    evn_assessed_at(s->assessment, t.truck, t.demand, &is);
    if (isnan(t.to)) {
        put(&w, "%.100s, %.120s: ", evn_lineup_truck_title(s->lineup, t.truck), is.what.label);
        put_turn(&w, &t);
        return true;
    }
    bool demanded = strcmp(t.datum, "demanded") == 0;
    double times = demanded && is.what.kind == EVN_SHARE ? 100 : 1;
    const char *unit = demanded ? evn_shown_unit(&is.what) : t.unit;
    number_words(from, times * t.from, (double)NAN, unit);
    number_words(to, times * t.to, times * t.from, unit);
    put(&w, "%.100s, %.120s: %s %s", evn_lineup_truck_title(s->lineup, t.truck), is.what.label, t.datum, to);
    if (!isnan(t.to_pass) && t.to_pass != t.to) {
        number_words(to, times * t.to_pass, times * t.from, unit);
        put(&w, is_of_a_class(&is) ? ", of the truck alone surely %s" : ", surely %s", to);
    }
    if (t.from != 0)
        put(&w, " instead of %s", from);
    return true;
}

/* ------------------------------------------------------------------------------------------------ beside others */

static size_t put_labels(words *w, const evn_assessment *a, size_t truck, evn_verdict v, const char *before)
{
    evn_assessed is;
    size_t told = 0;
    for (size_t k = 0; evn_assessed_at(a, truck, k, &is); k++)
        if (is.verdict == v)
            put(w, "%s%.120s", told++ == 0 ? before : "; ", is.what.label);
    return told;
}

/* "failed by sleek (rules on loads), heavy (start, soil; payload)": labels have commas */
static void put_all_of(words *w, const evn_lineup *lineup, const evn_assessment *a, evn_verdict v, const char *begin)
{
    size_t told = 0;
    for (size_t k = 0; k < evn_assessment_truck_count(a); k++) {
        char before[200];
        const char *between = told > 0 ? ", " : w->length > 0 ? "; " : "";
        snprintf(before, sizeof before, "%s%s%.100s (", between, told > 0 ? "" : begin,
                 evn_lineup_truck_title(lineup, k));
        if (put_labels(w, a, k, v, before) > 0) {
            put(w, ")");
            told++;
        }
    }
}

void evn_assess_fails_words(const evn_assessment *a, size_t truck, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    put_labels(&w, a, truck, EVN_VERDICT_FAIL, "");
}

void evn_assess_unfit_words(const evn_lineup *lineup, const evn_assessment *a, char out[EVN_ASSESS_SENTENCE_BYTES])
{
    words w = begin(out);
    put_all_of(&w, lineup, a, EVN_VERDICT_FAIL, "failed by ");
    put_all_of(&w, lineup, a, EVN_VERDICT_MARGINAL, "marginal, within how sure it is or its spare: ");
    put_all_of(&w, lineup, a, EVN_VERDICT_NOT_KNOWN, "not known: ");
    if (w.length > 0)
        put(&w, ".");
}
