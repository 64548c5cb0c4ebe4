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

/* Dots and brackets in a name would make paths to it ambiguous. */
size_t evn_sound_name(const char *text) { return strcspn(text, " \t\n.[]{}=,:'\""); }

static const char *phrase_of(evn_shape shape)
{
    static const char *const phrases[] = {
        [EVN_NUMBER] = "a number",
        [EVN_COUNT] = "a whole number",
        [EVN_FLAG] = "true or false",
        [EVN_TEXT] = "text",
        [EVN_CHOICE] = "one of ",
        [EVN_LIST] = "a list of numbers",
        [EVN_ONE] = "a map of keys ",
        [EVN_MANY] = "a map of names, each with a map of keys ",
        [EVN_STEPS] = "a list of maps, each with one key that names what it is: ",
        [EVN_SHEET] = "the path of a CSV file",
        [EVN_FIGURES] = "a map of names, each with a number or none",
        [EVN_TEXTS] = "a list of texts",
    };
    return phrases[shape];
}

const char *evn_expected(char out[EVN_PHRASE_BYTES], const evn_field *field)
{
    char more[EVN_PHRASE_BYTES] = "";
    const char *unit = evn_unit_of(field->key);
    if (field->shape == EVN_NUMBER || field->shape == EVN_COUNT || field->shape == EVN_LIST)
        snprintf(more, sizeof more, "%s%s", unit[0] == '\0' ? "" : " in ", unit);
    else if (field->shape == EVN_CHOICE)
        evn_name_all(more, field->choices, evn_choice_count(field));
    else if (field->shape == EVN_ONE || field->shape == EVN_MANY)
        snprintf(more, sizeof more, "(%s)", field->of->name);
    else if (field->shape == EVN_STEPS)
        snprintf(more, sizeof more, "- %s: {...}", field->kinds[0].key);
    snprintf(out, EVN_PHRASE_BYTES, "%s%.200s", phrase_of(field->shape), more);
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
