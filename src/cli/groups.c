/* The option --group of commands that tell figures in groups. */
#include "cli/groups.h"
#include "show/names.h"
#include <stdio.h>
#include <string.h>

static void say_no_group(const char *given, const char *const *names, size_t count, evn_mishap *mishap)
{
    const char *nearest = evn_name_nearest(given, names, sizeof *names, count);
    char list[512] = "";
    for (size_t i = 0; i < count; i++)
        snprintf(list + strlen(list), sizeof list - strlen(list), "%s%s", i > 0 ? ", " : "", names[i]);
    evn_mishap_say(mishap, "usage", EVN_BAD_INPUT, "--group '%s' is none; one of %s was expected%s%s%s", given, list,
                   nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

bool evn_groups_fit(const evn_texts *asked, const char *const *names, size_t count, evn_mishap *mishap)
{
    for (size_t i = 0; asked->at[i]; i++) {
        size_t k = 0;
        while (k < count && strcmp(names[k], asked->at[i]) != 0)
            k++;
        if (k == count) {
            say_no_group(asked->at[i], names, count, mishap);
            return false;
        }
    }
    return true;
}
