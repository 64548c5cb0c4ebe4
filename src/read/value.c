/* Reads values that hold no object, each with its bounds, and says what was expected. */
#include "read/value.h"
#include "read/number.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { HINTS_MOST = 100 }; /* after so many faults no more distances between words are measured */

/* ---------------------------------------------------------------------------------------------------- phrases */

const char *evn_nearest_hint(evn_reading *reading, char out[EVN_PHRASE_BYTES], const char *found,
                             const char *const *names, size_t count)
{
    out[0] = '\0';
    if (reading->hints++ < HINTS_MOST)
        evn_nearest_phrase(out, found, names, count);
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
        if (node->plain && node->text[0] == '\0')
            return "nothing";
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
        return !evn_number_read(node->text, strlen(node->text), &number) ? "; put a single number in brackets: [1.5]"
                                                                         : "; numbers stand in brackets: [1, 2.5]";
    }
    if (field->shape == EVN_TEXTS && scalar)
        return "; put a single text in brackets and quotes: [\"text\"]";
    if (field->shape == EVN_MANY && node->kind == EVN_NODE_LIST)
        return "; each has a name: a: {...}";
    if ((field->shape == EVN_ONE || field->shape == EVN_MANY) && scalar)
        return "; to bring in a file write {use: PATH}";
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

static evn_where where_is(const evn_node *node) { return (evn_where){evn_node_spot(node), node->source->used_from}; }

static bool parse_number(evn_reading *reading, evn_label l, const evn_node *node, double *value)
{
    char name[EVN_LABEL_BYTES], quoted[EVN_QUOTE_BYTES], found[EVN_QUOTE_BYTES];
    evn_quote(quoted, node->text, strlen(node->text));
    if (!node->plain) {
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is the text %s; expected a number without quotes",
                      evn_label_text(name, l), quoted);
        return false;
    }
    const char *why = evn_number_read(node->text, strlen(node->text), value);
    if (why) {
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is %s; expected a plain decimal number; %s",
                      evn_label_text(name, l), found_phrase(found, node), why);
        return false;
    }
    return evn_number_fits(reading->report, l, where_is(node), *value, quoted);
}

bool evn_fill_number(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    evn_label l = {field, 0, false};
    double value;
    if (!is_filled_scalar(reading, field, node) || !parse_number(reading, l, node, &value))
        return false;
    if (!evn_within_usual(field, value))
        evn_say_unusual(reading->report, l, where_is(node), value, 0);
    memcpy(member, &value, sizeof value);
    return true;
}

/* ---------------------------------------------------------------------------------------------------- lists */

bool evn_count_fits(evn_reading *reading, const evn_field *field, const evn_node *node)
{
    bool limited = field->count_most != 0;
    if (node->count >= field->count_least && (!limited || node->count <= field->count_most))
        return true;
    const char *things = field->shape == EVN_LIST    ? "value"
                         : field->shape == EVN_TEXTS ? "text"
                         : field->shape == EVN_STEPS ? "step"
                                                     : "name";
    char most[48] = "or more";
    if (limited)
        snprintf(most, sizeof most, "to %zu", field->count_most);
    evn_say_value(reading, node, EVN_FAULT_OUT_OF_RANGE, "%s holds %zu %s%s; expected %zu %s", field->key, node->count,
                  things, node->count == 1 ? "" : "s", field->count_least, most);
    return false;
}

static bool fill_item(evn_reading *reading, evn_label l, const evn_node *item, double *value)
{
    if (item->kind == EVN_NODE_SCALAR && (item->text[0] != '\0' || !item->plain))
        return parse_number(reading, l, item, value);
    if (item->kind != EVN_NODE_BROKEN) {
        char name[EVN_LABEL_BYTES], found[EVN_QUOTE_BYTES];
        evn_say_value(reading, item, EVN_FAULT_WRONG_SHAPE, "%s holds %s; expected a number", evn_label_text(name, l),
                      found_phrase(found, item));
    }
    return false;
}

/* One warning for a list, at the first of its unusual values. */
static void warn_of_list(evn_reading *reading, const evn_field *field, const evn_node *node, const double *at)
{
    size_t unusual = 0, first_index = 0, index = 0;
    const evn_node *first = NULL;
    for (const evn_node *item = node->first; item; item = item->next, index++) {
        if (evn_within_usual(field, at[index]))
            continue;
        if (unusual++ == 0) {
            first = item;
            first_index = index;
        }
    }
    if (first) {
        evn_say_unusual(reading->report, (evn_label){field, first_index, true}, where_is(first), at[first_index],
                        unusual - 1);
    }
}

bool evn_fill_list(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_LIST)
        return evn_say_wrong_shape(reading, field, node);
    double *at = evn_arena_take(reading->keep, node->count * sizeof *at);
    if (!at)
        return evn_reading_out_of_memory(reading);
    bool sound = evn_count_fits(reading, field, node);
    size_t index = 0;
    for (const evn_node *item = node->first; item; item = item->next, index++)
        sound = fill_item(reading, (evn_label){field, index, true}, item, &at[index]) && sound;
    if (sound)
        warn_of_list(reading, field, node, at);
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
    if (is_none(node))
        return true;
    if (node->kind == EVN_NODE_BROKEN)
        return false;
    const char *wrong = NULL;
    bool scalar = node->kind == EVN_NODE_SCALAR && node->plain;
    if (!scalar || (wrong = evn_number_read(node->text, strlen(node->text), value))) {
        char found[EVN_QUOTE_BYTES];
        evn_say_value(reading, node, EVN_FAULT_NOT_A_NUMBER, "%s is %s; expected a plain decimal number or none%s%s",
                      node->key, found_phrase(found, node), wrong ? "; " : "", wrong ? wrong : "");
        return false;
    }
    return true;
}

bool evn_fill_figures(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_MAP)
        return evn_say_wrong_shape(reading, field, node);
    const char **name = evn_arena_take(reading->keep, node->count * sizeof *name);
    double *value = evn_arena_take(reading->keep, node->count * sizeof *value);
    bool sound = !node->incomplete && evn_count_fits(reading, field, node);
    size_t count = 0;
    for (const evn_node *at = node->first; name && value && at; at = at->next, count++) {
        name[count] = evn_arena_text(reading->keep, at->key, strlen(at->key));
        if (!name[count])
            return evn_reading_out_of_memory(reading);
        sound = fill_figure(reading, at, &value[count]) && sound;
    }
    if (!name || !value)
        return evn_reading_out_of_memory(reading);
    evn_numbers figures = {name, value, count};
    memcpy(member, &figures, sizeof figures);
    return sound;
}

/* ---------------------------------------------------------------------------------------------------- words */

bool evn_fill_flag(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (!is_filled_scalar(reading, field, node))
        return false;
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

/* The text of a scalar, kept; NULL (said) where there is none. */
static const char *keep_text(evn_reading *reading, const evn_field *field, const evn_node *node)
{
    if (!is_filled_scalar(reading, field, node))
        return NULL;
    if (node->plain && (strcmp(node->text, "~") == 0 || strcmp(node->text, "null") == 0)) {
        evn_say_value(
            reading, node, EVN_FAULT_WRONG_SHAPE,
            "%s holds %s, which stands for nothing; expected text; leave the key out, or put the text in quotes",
            field->key, node->text);
        return NULL;
    }
    const char *text = evn_arena_text(reading->keep, node->text, strlen(node->text));
    if (!text)
        evn_reading_out_of_memory(reading);
    return text;
}

bool evn_fill_text(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    const char *text = keep_text(reading, field, node);
    if (!text)
        return false;
    memcpy(member, &text, sizeof text);
    return true;
}

bool evn_fill_texts(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_LIST)
        return evn_say_wrong_shape(reading, field, node);
    const char **at = evn_arena_take(reading->keep, (node->count + 1) * sizeof *at);
    if (!at)
        return evn_reading_out_of_memory(reading);
    bool sound = evn_count_fits(reading, field, node);
    size_t index = 0;
    for (const evn_node *item = node->first; item; item = item->next, index++) {
        at[index] = keep_text(reading, field, item);
        sound = at[index] && sound;
    }
    at[index] = NULL;
    evn_text_list list = {at, node->count};
    memcpy(member, &list, sizeof list);
    return sound;
}

bool evn_fill_choice(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (!is_filled_scalar(reading, field, node))
        return false;
    size_t count = 0;
    for (; field->choices[count]; count++) {
        if (strcmp(node->text, field->choices[count]) == 0) {
            int choice = (int)count;
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
