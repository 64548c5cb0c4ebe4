/* Numbers of a filled struct by its table: bounds in words, whether all fit, one by its key. */
#include "core/field_number.h"
#include "core/field_walk.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ bounds */

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

/* ------------------------------------------------------------------------------------------------ fitting */

static size_t choice_count(const evn_field *field)
{
    size_t count = 0;
    while (field->choices[count])
        count++;
    return count;
}

static bool is_number(const evn_field *field) { return field->shape == EVN_NUMBER || field->shape == EVN_COUNT; }

static bool choice_fits(const evn_field *field, double value, evn_report *report)
{
    double count = (double)choice_count(field);
    if (value >= 0 && value < count && value == floor(value))
        return true;
    evn_say(report, EVN_FAULT_UNKNOWN_CHOICE, evn_nowhere, evn_nowhere, "%s is choice %g; expected 0 to %g, %s to %s",
            field->key, value, count - 1, field->choices[0], field->choices[choice_count(field) - 1]);
    return false;
}

static bool number_fits(const evn_field *field, double value, evn_report *report)
{
    char bounds[EVN_BOUNDS_BYTES];
    const char *unit = evn_unit_of(field->key);
    bool none_is_a_value = isnan(field->fallback) && field->presence != EVN_REQUIRED;
    bool whole = field->shape == EVN_COUNT;
    if (isnan(value) ? none_is_a_value : evn_within_bounds(field, value) && (!whole || value == floor(value)))
        return true;
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "%s is %.10g%s%s; expected %s%s%s%s", field->key,
            value, unit[0] ? " " : "", unit, evn_bounds_text(bounds, field->least, field->most, field->key),
            whole ? ", whole" : "", field->source ? "; source: " : "", field->source ? field->source : "");
    return false;
}

static bool fits(const evn_field *field, double value, evn_report *report)
{
    return is_number(field) ? number_fits(field, value, report) : choice_fits(field, value, report);
}

static double at_field(const evn_field *field, const void *self)
{
    const void *member = (const char *)self + field->offset;
    double number;
    int choice;
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
        if (is_number(field) || field->shape == EVN_CHOICE)
            all = fits(field, at_field(field, self), report) && all;
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ by key */

static const evn_field *number_at(const evn_object *object, const char *key)
{
    const evn_field *field = evn_field_named(object, key, strlen(key));
    return field && (is_number(field) || field->shape == EVN_CHOICE) ? field : NULL;
}

static void say_unusual(const evn_field *field, double value, evn_report *report)
{
    char bounds[EVN_BOUNDS_BYTES];
    const char *unit = evn_unit_of(field->key);
    evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere, "%s is %.10g%s%s; expected %s in a sound design",
            field->key, value, unit[0] ? " " : "", unit,
            evn_bounds_text(bounds, field->usual_low, field->usual_high, field->key));
}

bool evn_number_put(const evn_object *object, void *self, const char *key, double value, evn_report *report)
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
        say_unusual(field, value, report);
    int choice = (int)value;
    void *member = (char *)self + field->offset;
    if (field->shape == EVN_CHOICE)
        memcpy(member, &choice, sizeof choice);
    else
        memcpy(member, &value, sizeof value);
    return true;
}

bool evn_number_get(const evn_object *object, const void *self, const char *key, double *value)
{
    const evn_field *field = number_at(object, key);
    if (field)
        *value = at_field(field, self);
    return field != NULL;
}
