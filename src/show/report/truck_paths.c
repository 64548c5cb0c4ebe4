/* The paths of a truck's values, a line each, with the names and places in lists that this truck has. */
#include "evener/values.h"
#include "show/text.h"
#include "show/truck_story.h"

void evn_truck_paths(const evn_truck_story *story, FILE *to)
{
    evn_value value;
    for (size_t i = 0; evn_truck_value_at(story->truck, i, &value); i++) {
        if (value.kind == EVN_VALUE_GROUP || value.kind == EVN_VALUE_STEPS || value.kind == EVN_VALUE_STEP)
            continue;
        evn_put_safe(to, value.path);
        fputc('\n', to);
    }
}
