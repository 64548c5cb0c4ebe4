/* One YAML file that stands alone: no extends, no use, every number to its last bit; defaults are left to the program.
 */
#include "show/text.h"
#include "show/truck_story.h"
#include "show/yaml/yaml.h"
#include <stdlib.h>
#include <string.h>

static bool is_written(const evn_value *value)
{
    return value->origin == EVN_FROM_FILE || value->origin == EVN_FROM_SET;
}

/* What stands behind the key; `empty`: nothing is written below a group. */
static void put_value(FILE *to, const evn_value *value, bool empty)
{
    switch (value->kind) {
    case EVN_VALUE_GROUP:
    case EVN_VALUE_STEP:
        fputs(empty ? " {}" : "", to);
        break;
    case EVN_VALUE_STEPS:
        fputs(empty ? " []" : "", to);
        break;
    case EVN_VALUE_NUMBER:
    case EVN_VALUE_NUMBERS:
        fputc(' ', to);
        evn_put_yaml_numbers(to, value);
        break;
    case EVN_VALUE_WORD:
        fprintf(to, " %s", value->text);
        break;
    case EVN_VALUE_TEXT:
        fputc(' ', to);
        evn_put_yaml_text(to, value->text);
        break;
    case EVN_VALUE_TEXTS:
        fputc(' ', to);
        evn_put_yaml_texts(to, value->texts);
        break;
    case EVN_VALUE_FILE:
        fputc(' ', to);
        evn_put_yaml_text(to, value->text);
        fputs(" # a file of its own, by its path from the root", to);
        break;
    }
    fputc('\n', to);
}

/* True when a row that is written stands below this one. */
static bool holds_written(const evn_truck *truck, size_t index)
{
    evn_value above, value;
    if (!evn_truck_value_at(truck, index, &above))
        return false;
    while (evn_truck_value_at(truck, ++index, &value) && value.depth > above.depth)
        if (is_written(&value))
            return true;
    return false;
}

static void put_head(const evn_truck_story *story, FILE *to)
{
    fprintf(to, "# Put together by evener %s from ", evn_version());
    evn_put_safe(to, story->file);
    fputs(" and the files it extends and uses.\n", to);
    for (size_t i = 0; story->set && story->set[i]; i++) {
        fputs("# --set ", to);
        evn_put_safe(to, story->set[i]);
        fputc('\n', to);
    }
    fputs("# Keys that are not written have their defaults.\n", to);
}

bool evn_truck_flat(const evn_truck_story *story, FILE *to)
{
    evn_value value;
    put_head(story, to);
    for (size_t i = 0; evn_truck_value_at(story->truck, i, &value); i++) {
        if (!is_written(&value))
            continue;
        fprintf(to, "%*s%s", (int)value.depth * 2, "", value.kind == EVN_VALUE_STEP ? "- " : "");
        evn_put_yaml_key(to, value.key);
        put_value(to, &value, !holds_written(story->truck, i));
    }
    return true;
}
