/* Reads values that hold no object, each with its bounds, and says what was expected. */
#include "read/value.h"
#include "read/number.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { HINTS_MOST = 100 }; /* after so many faults no more distances between words are measured */

/* ---------------------------------------------------------------------------------------------------- phrases */

static size_t choice_count(const evn_field *field)
{
    size_t count = 0;
    while (field->choices[count] != NULL) {
        count++;
    }
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

const char *evn_nearest_hint(evn_reading *reading, char out[EVN_PHRASE_BYTES], const char *found,
                             const char *const *names, size_t count)
{
    out[0] = '\0';
    const char *nearest = reading->hints++ < HINTS_MOST ? evn_nearest(found, names, count) : NULL;
    if (nearest != NULL) {
        snprintf(out, EVN_PHRASE_BYTES, "; nearest is '%s'", nearest);
    }
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
    }
    return out;
}

static const char *found_phrase(char out[EVN_QUOTE_BYTES], const evn_node *node)
{
    switch ((evn_node_kind)node->kind) {
    case EVN_NODE_MAP:
        return "a map";
    case EVN_NODE_LIST:
        return "a list";
    case EVN_NODE_SCALAR:
        if (node->plain && node->text[0] == '\0') {
            return "nothing";
        }
        return evn_quote(out, node->text, strlen(node->text));
    case EVN_NODE_BROKEN:
        break;
    }
    return "something faulty";
}

static const char *shape_hint(const evn_field *field, const evn_node *node)
{
    bool scalar = node->kind == EVN_NODE_SCALAR && node->text[0] != '\0';
    double number;
    if (field->shape == EVN_LIST && scalar) {
        return evn_number_read(node->text, strlen(node->text), &number) == NULL
                   ? "; put a single number in brackets: [1.5]"
                   : "; numbers stand in brackets: [1, 2.5]";
    }
    if (field->shape == EVN_MANY && node->kind == EVN_NODE_LIST) {
        return "; each has a name: a: {...}";
    }
    if ((field->shape == EVN_ONE || field->shape == EVN_MANY) && scalar) {
        return "; to bring in a file write {use: PATH}";
    }
    return "";
}

bool evn_say_wrong_shape(evn_reading *reading, const evn_field *field, const evn_node *node)
{
    if (node->kind != EVN_NODE_BROKEN) {
        char found[EVN_QUOTE_BYTES], expected[EVN_PHRASE_BYTES];
        evn_say_value(reading, node, EVN_FAULT_WRONG_SHAPE, "%s holds %s; expected %s%s", field->key,
                      found_phrase(found, node), evn_expected(expected, field), shape_hint(field, node));
    }
    return false;
}

/* True for a scalar that holds something; false (said) for everything else. */
static bool is_filled_scalar(evn_reading *reading, const evn_field *field, const evn_node *node)
{
    return (node->kind == EVN_NODE_SCALAR && node->text[0] != '\0') || evn_say_wrong_shape(reading, field, node);
}

/* ---------------------------------------------------------------------------------------------------- numbers */

/* What a message calls a value: the key, with the place in the list where it is an item. */
typedef struct label {
    const evn_field *field;
    size_t index;
    bool item;
} label;

enum { LABEL_BYTES = 120 };

static const char *label_text(char out[LABEL_BYTES], label l)
{
    if (l.item) {
        snprintf(out, LABEL_BYTES, "%s[%zu]", l.field->key, l.index);
    } else {
        snprintf(out, LABEL_BYTES, "%s", l.field->key);
    }
    return out;
}

/* "500 to 60000 kg", "at least 0 kg", "at most 1". */
static const char *bounds_text(char out[EVN_PHRASE_BYTES], double least, double most, const evn_field *field)
{
    const char *unit = evn_unit_of(field->key);
    const char *space = unit[0] == '\0' ? "" : " ";
    if (isinf(most)) {
        snprintf(out, EVN_PHRASE_BYTES, "at least %.10g%s%s", least, space, unit);
    } else if (isinf(least)) {
        snprintf(out, EVN_PHRASE_BYTES, "at most %.10g%s%s", most, space, unit);
    } else {
        snprintf(out, EVN_PHRASE_BYTES, "%.10g to %.10g%s%s", least, most, space, unit);
    }
    return out;
}

static bool outside_usual(const evn_field *field, double value)
{
    bool stated = field->usual_low != 0.0 || field->usual_high != 0.0;
    return stated && (value < field->usual_low || value > field->usual_high);
}

static bool within_bounds(evn_reading *reading, label l, const evn_node *node, double value)
{
    const evn_field *field = l.field;
    if (!(value < field->least) && !(value > field->most)) {
        return true;
    }
    char name[LABEL_BYTES], bounds[EVN_PHRASE_BYTES];
    const char *unit = evn_unit_of(field->key);
    evn_say_value(reading, node, EVN_FAULT_OUT_OF_RANGE, "%s is %.10g%s%s; expected %s%s%s", label_text(name, l), value,
                  unit[0] == '\0' ? "" : " ", unit, bounds_text(bounds, field->least, field->most, field),
                  field->source == NULL ? "" : "; source: ", field->source == NULL ? "" : field->source);
    return false;
}

static void say_unusual(evn_reading *reading, label l, const evn_node *node, double value, size_t others)
{
    const evn_field *field = l.field;
    char name[LABEL_BYTES], bounds[EVN_PHRASE_BYTES], more[64] = "";
    const char *unit = evn_unit_of(field->key);
    if (others > 0) {
        snprintf(more, sizeof more, "; so are %zu more of the list", others);
    }
    evn_say_value(reading, node, EVN_FAULT_UNUSUAL_VALUE, "%s is %.10g%s%s; expected %s in a sound design%s",
                  label_text(name, l), value, unit[0] == '\0' ? "" : " ", unit,
                  bounds_text(bounds, field->usual_low, field->usual_high, field), more);
}

static bool parse_number(evn_reading *reading, label l, const evn_node *node, double *value)
{
    char name[LABEL_BYTES], quoted[EVN_QUOTE_BYTES], found[EVN_QUOTE_BYTES];
    if (!node->plain) {
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is the text %s; expected a number without quotes",
                      label_text(name, l), evn_quote(quoted, node->text, strlen(node->text)));
        return false;
    }
    const char *why = evn_number_read(node->text, strlen(node->text), value);
    if (why != NULL) {
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is %s; expected a plain decimal number; %s",
                      label_text(name, l), found_phrase(found, node), why);
        return false;
    }
    if (l.field->shape == EVN_COUNT && *value != floor(*value)) {
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is %s; expected a whole number", label_text(name, l),
                      evn_quote(quoted, node->text, strlen(node->text)));
        return false;
    }
    return within_bounds(reading, l, node, *value);
}

bool evn_fill_number(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    label l = {field, 0, false};
    double value;
    if (!is_filled_scalar(reading, field, node) || !parse_number(reading, l, node, &value)) {
        return false;
    }
    if (outside_usual(field, value)) {
        say_unusual(reading, l, node, value, 0);
    }
    memcpy(member, &value, sizeof value);
    return true;
}

/* ---------------------------------------------------------------------------------------------------- lists */

bool evn_count_fits(evn_reading *reading, const evn_field *field, const evn_node *node)
{
    bool limited = field->count_most != 0;
    if (node->count >= field->count_least && (!limited || node->count <= field->count_most)) {
        return true;
    }
    const char *things = field->shape == EVN_LIST ? "values" : field->shape == EVN_STEPS ? "steps" : "names";
    char most[48] = "or more";
    if (limited) {
        snprintf(most, sizeof most, "to %zu", field->count_most);
    }
    evn_say_value(reading, node, EVN_FAULT_OUT_OF_RANGE, "%s holds %zu %s; expected %zu %s", field->key, node->count,
                  things, field->count_least, most);
    return false;
}

static bool fill_item(evn_reading *reading, label l, const evn_node *item, double *value)
{
    if (item->kind == EVN_NODE_SCALAR && (item->text[0] != '\0' || !item->plain)) {
        return parse_number(reading, l, item, value);
    }
    if (item->kind != EVN_NODE_BROKEN) {
        char name[LABEL_BYTES], found[EVN_QUOTE_BYTES];
        evn_say_value(reading, item, EVN_FAULT_WRONG_SHAPE, "%s holds %s; expected a number", label_text(name, l),
                      found_phrase(found, item));
    }
    return false;
}

/* One warning for a list, at the first of its unusual values. */
static void warn_of_list(evn_reading *reading, const evn_field *field, const evn_node *node, const double *at)
{
    size_t unusual = 0, first_index = 0, index = 0;
    const evn_node *first = NULL;
    for (const evn_node *item = node->first; item != NULL; item = item->next, index++) {
        if (!outside_usual(field, at[index])) {
            continue;
        }
        if (unusual++ == 0) {
            first = item;
            first_index = index;
        }
    }
    if (first != NULL) {
        say_unusual(reading, (label){field, first_index, true}, first, at[first_index], unusual - 1);
    }
}

bool evn_fill_list(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_LIST) {
        return evn_say_wrong_shape(reading, field, node);
    }
    double *at = evn_arena_take(reading->keep, node->count * sizeof *at);
    if (at == NULL) {
        return evn_reading_out_of_memory(reading);
    }
    bool sound = evn_count_fits(reading, field, node);
    size_t index = 0;
    for (const evn_node *item = node->first; item != NULL; item = item->next, index++) {
        sound = fill_item(reading, (label){field, index, true}, item, &at[index]) && sound;
    }
    if (sound) {
        warn_of_list(reading, field, node, at);
    }
    evn_list list = {at, node->count};
    memcpy(member, &list, sizeof list);
    return sound;
}

/* ---------------------------------------------------------------------------------------------------- figures */

static bool is_none(const evn_node *node)
{
    return node->kind == EVN_NODE_SCALAR && node->plain && strcmp(node->text, "none") == 0;
}

/* A number of any size: the name, and not a table, says what it is. */
static bool fill_figure(evn_reading *reading, const evn_node *node, double *value)
{
    *value = (double)NAN;
    if (is_none(node)) {
        return true;
    }
    if (node->kind == EVN_NODE_BROKEN) {
        return false;
    }
    const char *wrong = NULL;
    bool scalar = node->kind == EVN_NODE_SCALAR && node->plain;
    if (!scalar || (wrong = evn_number_read(node->text, strlen(node->text), value)) != NULL) {
        char found[EVN_QUOTE_BYTES];
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is %s; expected a plain decimal number or none%s%s",
                      node->key, found_phrase(found, node), wrong != NULL ? "; " : "", wrong != NULL ? wrong : "");
        return false;
    }
    return true;
}

bool evn_fill_figures(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_MAP) {
        return evn_say_wrong_shape(reading, field, node);
    }
    const char **name = evn_arena_take(reading->keep, node->count * sizeof *name);
    double *value = evn_arena_take(reading->keep, node->count * sizeof *value);
    bool sound = !node->incomplete && evn_count_fits(reading, field, node);
    size_t count = 0;
    for (const evn_node *at = node->first; name != NULL && value != NULL && at != NULL; at = at->next, count++) {
        name[count] = evn_arena_text(reading->keep, at->key, strlen(at->key));
        if (name[count] == NULL) {
            return evn_reading_out_of_memory(reading);
        }
        sound = fill_figure(reading, at, &value[count]) && sound;
    }
    if (name == NULL || value == NULL) {
        return evn_reading_out_of_memory(reading);
    }
    evn_numbers figures = {name, value, count};
    memcpy(member, &figures, sizeof figures);
    return sound;
}

/* ---------------------------------------------------------------------------------------------------- words */

bool evn_fill_flag(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (!is_filled_scalar(reading, field, node)) {
        return false;
    }
    bool flag = strcmp(node->text, "true") == 0;
    if (!node->plain || (!flag && strcmp(node->text, "false") != 0)) {
        char quoted[EVN_QUOTE_BYTES];
        evn_say_value(reading, node, EVN_FAULT_UNKNOWN_CHOICE,
                      "%s is %s%s; expected true or false; no other word is a flag here, not yes, no, on or off",
                      field->key, node->plain ? "" : "the text ", evn_quote(quoted, node->text, strlen(node->text)));
        return false;
    }
    memcpy(member, &flag, sizeof flag);
    return true;
}

bool evn_fill_text(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (!is_filled_scalar(reading, field, node)) {
        return false;
    }
    if (node->plain && (strcmp(node->text, "~") == 0 || strcmp(node->text, "null") == 0)) {
        evn_say_value(
            reading, node, EVN_FAULT_WRONG_SHAPE,
            "%s holds %s, which stands for nothing; expected text; leave the key out, or put the text in quotes",
            field->key, node->text);
        return false;
    }
    const char *text = evn_arena_text(reading->keep, node->text, strlen(node->text));
    if (text == NULL) {
        return evn_reading_out_of_memory(reading);
    }
    memcpy(member, &text, sizeof text);
    return true;
}

bool evn_fill_choice(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (!is_filled_scalar(reading, field, node)) {
        return false;
    }
    size_t count = choice_count(field);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(node->text, field->choices[i]) == 0) {
            int choice = (int)i;
            memcpy(member, &choice, sizeof choice);
            return true;
        }
    }
    char quoted[EVN_QUOTE_BYTES], expected[EVN_PHRASE_BYTES], hint[EVN_PHRASE_BYTES];
    evn_say_value(reading, node, EVN_FAULT_UNKNOWN_CHOICE, "%s is %s; expected %s%s", field->key,
                  evn_quote(quoted, node->text, strlen(node->text)), evn_expected(expected, field),
                  evn_nearest_hint(reading, hint, node->text, field->choices, count));
    return false;
}
