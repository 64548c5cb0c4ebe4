/* Options that take several numbers. */
#include "cli/number_list.h"
#include "cli/options.h"
#include <math.h>
#include <string.h>

bool evn_number_list_read(const evn_number_list *list, double *out, size_t *count, evn_mishap *mishap)
{
    enum { NUMBER_BYTES = 64 };
    for (const char *at = list->text; at; at = strchr(at, ',') ? strchr(at, ',') + 1 : NULL) {
        char one[NUMBER_BYTES] = "";
        size_t bytes = strcspn(at, ",");
        double value = (double)NAN;
        if (bytes < sizeof one)
            memcpy(one, at, bytes);
        bool fits = *count < list->room && evn_number_parse(one, &value) && value >= list->least && value <= list->most;
        if (!fits) {
            evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                           "%s is '%s'; one to %zu numbers from %g to %g with commas between were expected",
                           list->option, list->text, list->room, list->least, list->most);
            return false;
        }
        for (size_t k = 0; k < *count; k++)
            if (out[k] == value) {
                evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "%s is '%s', with %g more than once; once was expected",
                               list->option, list->text, value);
                return false;
            }
        out[(*count)++] = value;
    }
    return true;
}
