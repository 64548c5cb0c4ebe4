/* The record of a run by its name. */
#include "show/check_story.h"
#include <string.h>

bool evn_check_find(const evn_check *check, const char *name, size_t *index, evn_checked *out)
{
    for (*index = 0; check && evn_check_at(check, *index, out); ++*index)
        if (strcmp(out->name, name) == 0)
            return true;
    return false;
}
