/* The phrases of findings that more than one part says, so that all say them alike. */
#include "core/words.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

const char *evn_quote(char out[EVN_QUOTE_BYTES], const char *text, size_t length)
{
    enum { SHOWN_MOST = 60 };
    size_t shown = length;
    if (length > SHOWN_MOST) {
        shown = SHOWN_MOST;
        while (shown > 0 && ((unsigned char)text[shown] & 0xc0) == 0x80)
            shown--; /* never through the middle of a character */
    }
    out[0] = '\'';
    memcpy(out + 1, text, shown);
    strcpy(out + 1 + shown, shown < length ? "...'" : "'");
    return out;
}

/* ---------------------------------------------------------------------------------------------------- keys */

static size_t choice_count(const evn_field *field)
{
    size_t count = 0;
    while (field->choices[count])
        count++;
    return count;
}

const char *evn_name_all(char out[EVN_PHRASE_BYTES], const char *const *names, size_t count)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        size_t need = strlen(names[i]) + 2;
        if (used + need + sizeof ", ..." > EVN_PHRASE_BYTES) {
            strcpy(out + used, ", ...");
            return out;
        }
        used += (size_t)snprintf(out + used, EVN_PHRASE_BYTES - used, "%s%s", i == 0 ? "" : ", ", names[i]);
    }
    return out;
}

const char *evn_nearest_phrase(char out[EVN_PHRASE_BYTES], const char *found, const char *const *names, size_t count)
{
    const char *nearest = evn_nearest(found, names, count);
    out[0] = '\0';
    if (nearest)
        snprintf(out, EVN_PHRASE_BYTES, "; nearest is '%s'", nearest);
    return out;
}

const char *evn_expected(char out[EVN_PHRASE_BYTES], const evn_field *field)
{
    char names[EVN_PHRASE_BYTES];
    const char *unit = evn_unit_of(field->key);
    const char *of = unit[0] == '\0' ? "" : " in ";
    switch (field->shape) {
    case EVN_NUMBER:
        snprintf(out, EVN_PHRASE_BYTES, "a number%s%s", of, unit);
        break;
    case EVN_COUNT:
        snprintf(out, EVN_PHRASE_BYTES, "a whole number%s%s", of, unit);
        break;
    case EVN_FLAG:
        snprintf(out, EVN_PHRASE_BYTES, "true or false");
        break;
    case EVN_TEXT:
        snprintf(out, EVN_PHRASE_BYTES, "text");
        break;
    case EVN_CHOICE:
        snprintf(out, EVN_PHRASE_BYTES, "one of %.200s", evn_name_all(names, field->choices, choice_count(field)));
        break;
    case EVN_LIST:
        snprintf(out, EVN_PHRASE_BYTES, "a list of numbers%s%s", of, unit);
        break;
    case EVN_ONE:
        snprintf(out, EVN_PHRASE_BYTES, "a map of keys (%.200s)", field->of->name);
        break;
    case EVN_MANY:
        snprintf(out, EVN_PHRASE_BYTES, "a map of names, each with a map of keys (%.160s)", field->of->name);
        break;
    case EVN_STEPS:
        snprintf(out, EVN_PHRASE_BYTES, "a list of maps, each with one key that names what it is: - %.60s: {...}",
                 field->kinds[0].key);
        break;
    case EVN_SHEET:
        snprintf(out, EVN_PHRASE_BYTES, "the path of a CSV file");
        break;
    case EVN_FIGURES:
        snprintf(out, EVN_PHRASE_BYTES, "a map of names, each with a number or none");
        break;
    case EVN_TEXTS:
        snprintf(out, EVN_PHRASE_BYTES, "a list of texts");
        break;
    }
    return out;
}

/* ---------------------------------------------------------------------------------------------------- numbers */

const char *evn_label_text(char out[EVN_LABEL_BYTES], evn_label l)
{
    if (l.item)
        snprintf(out, EVN_LABEL_BYTES, "%s[%zu]", l.field->key, l.index);
    else
        snprintf(out, EVN_LABEL_BYTES, "%s", l.field->key);
    return out;
}

const char *evn_bounds_text(char out[EVN_BOUNDS_BYTES], double least, double most, const char *key)
{
    const char *unit = evn_unit_of(key);
    const char *space = unit[0] == '\0' ? "" : " ";
    if (isinf(most))
        snprintf(out, EVN_BOUNDS_BYTES, "at least %.10g%s%s", least, space, unit);
    else if (isinf(least))
        snprintf(out, EVN_BOUNDS_BYTES, "at most %.10g%s%s", most, space, unit);
    else
        snprintf(out, EVN_BOUNDS_BYTES, "%.10g to %.10g%s%s", least, most, space, unit);
    return out;
}

bool evn_within_bounds(const evn_field *field, double value) { return value >= field->least && value <= field->most; }

bool evn_within_usual(const evn_field *field, double value)
{
    bool stated = field->usual_low != 0 || field->usual_high != 0;
    return !stated || isnan(value) || (value >= field->usual_low && value <= field->usual_high);
}

static bool within_bounds(evn_report *report, evn_label l, evn_where where, double value)
{
    const evn_field *field = l.field;
    if (isnan(value) || evn_within_bounds(field, value))
        return true;
    char name[EVN_LABEL_BYTES], bounds[EVN_BOUNDS_BYTES];
    const char *unit = evn_unit_of(field->key);
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, where.at, where.used_from, "%s is %.10g%s%s; expected %s%s%s",
            evn_label_text(name, l), value, unit[0] == '\0' ? "" : " ", unit,
            evn_bounds_text(bounds, field->least, field->most, field->key), field->source ? "; source: " : "",
            field->source ? field->source : "");
    return false;
}

bool evn_number_fits(evn_report *report, evn_label l, evn_where where, double value, const char *quoted)
{
    if (l.field->shape == EVN_COUNT && value != floor(value)) {
        char name[EVN_LABEL_BYTES];
        evn_say(report, EVN_FAULT_NOT_A_NUMBER, where.at, where.used_from, "%s is %s; expected a whole number",
                evn_label_text(name, l), quoted);
        return false;
    }
    return within_bounds(report, l, where, value);
}

void evn_say_unusual(evn_report *report, evn_label l, evn_where where, double value, size_t others)
{
    const evn_field *field = l.field;
    char name[EVN_LABEL_BYTES], bounds[EVN_BOUNDS_BYTES], more[64] = "";
    const char *unit = evn_unit_of(field->key);
    if (others > 0)
        snprintf(more, sizeof more, "; so are %zu more of the list", others);
    evn_say(report, EVN_FAULT_UNUSUAL_VALUE, where.at, where.used_from,
            "%s is %.10g%s%s; expected %s in a sound design%s", evn_label_text(name, l), value,
            unit[0] == '\0' ? "" : " ", unit, evn_bounds_text(bounds, field->usual_low, field->usual_high, field->key),
            more);
}
