/* Numbers of a filled struct by its table: bounds in words, whether all fit, one by its key. */
#include "core/field_number.h"
#include "core/field_walk.h"
#include "core/words.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ fitting */

static bool is_number(const evn_field *field) { return field->shape == EVN_NUMBER || field->shape == EVN_COUNT; }

/* A number, or told by one. */
static bool counts(const evn_field *field)
{
    return is_number(field) || field->shape == EVN_CHOICE || field->shape == EVN_FLAG;
}

static bool choice_fits(const evn_field *field, double value, evn_report *report)
{
    double count = (double)evn_choice_count(field);
    if (value >= 0 && value < count && value == floor(value))
        return true;
    evn_say(report, EVN_FAULT_UNKNOWN_CHOICE, evn_nowhere, evn_nowhere, "%s is choice %g; expected 0 to %g, %s to %s",
            field->key, value, count - 1, field->choices[0], field->choices[evn_choice_count(field) - 1]);
    return false;
}

static bool flag_fits(const evn_field *field, double value, evn_report *report)
{
    if (value == 0 || value == 1)
        return true;
    evn_say(report, EVN_FAULT_UNKNOWN_CHOICE, evn_nowhere, evn_nowhere, "%s is %g; expected 0 or 1, false or true",
            field->key, value);
    return false;
}

static const evn_where NOWHERE; /* a struct that was not read from a file */

static bool number_fits(const evn_field *field, double value, evn_report *report)
{
    char quoted[EVN_QUOTE_BYTES];
    if (isnan(value) && isnan(field->fallback) && field->presence != EVN_REQUIRED)
        return true;
    snprintf(quoted, sizeof quoted, "'%.10g'", value);
    if (!isnan(value))
        return evn_number_fits(report, (evn_label){.field = field}, NOWHERE, value, quoted);
    char expected[EVN_PHRASE_BYTES];
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "%s is not given; expected %s", field->key,
            evn_expected(expected, field));
    return false;
}

static bool fits(const evn_field *field, double value, evn_report *report)
{
    if (field->shape == EVN_FLAG)
        return flag_fits(field, value, report);
    return is_number(field) ? number_fits(field, value, report) : choice_fits(field, value, report);
}

static double at_field(const evn_field *field, const void *self)
{
    const void *member = (const char *)self + field->offset;
    double number;
    int choice;
    if (field->shape == EVN_FLAG)
        return *(const bool *)member;
    if (field->shape == EVN_CHOICE) {
        memcpy(&choice, member, sizeof choice);
        return choice;
    }
    memcpy(&number, member, sizeof number);
    return number;
}

bool evn_object_fits(const evn_object *object, const void *self, evn_report *report)
{
    bool all = true;
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        if (counts(field))
            all = fits(field, at_field(field, self), report) && all;
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ by key */

static const evn_field *number_at(const evn_object *object, const char *key)
{
    const evn_field *field = evn_field_named(object, key, strlen(key));
    return field && counts(field) ? field : NULL;
}

bool evn_field_number_put(const evn_object *object, void *self, const char *key, double value, evn_report *report)
{
    const evn_field *field = number_at(object, key);
    if (!field) {
        evn_say(report, EVN_FAULT_UNKNOWN_KEY, evn_nowhere, evn_nowhere,
                "no key '%s' of a number in %s; expected one of its keys", key, object->name);
        return false;
    }
    if (!fits(field, value, report))
        return false;
    if (is_number(field) && !evn_within_usual(field, value))
        evn_say_unusual(report, (evn_label){.field = field}, NOWHERE, value, 0);
    void *member = (char *)self + field->offset;
    if (field->shape == EVN_FLAG) {
        *(bool *)member = value > 0;
    } else if (field->shape == EVN_CHOICE) {
        int choice = (int)value; /* fits: a small whole number */
        memcpy(member, &choice, sizeof choice);
    } else {
        memcpy(member, &value, sizeof value);
    }
    return true;
}

bool evn_field_number_get(const evn_object *object, const void *self, const char *key, double *value)
{
    const evn_field *field = number_at(object, key);
    if (field)
        *value = at_field(field, self);
    return field;
}
