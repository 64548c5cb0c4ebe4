/* Which trucks are loaded beyond what their files permit: gross mass, and axle by axle. */
#include "show/compare_loaded.h"
#include "show/figures.h"
#include <stdio.h>
#include <string.h>

enum { KEY = EVN_OVERLOAD_AXLE };

static const char axles[] = "axle_loads.", permitted[] = ".permitted_kg";

/* The name of the axle that a key is of: "drive" of "axle_loads.drive.permitted_kg". False: the key is another. */
static bool axle_of(const char *key, char name[KEY])
{
    size_t bytes = strlen(key), head = strlen(axles), tail = strlen(permitted);
    if (strncmp(key, axles, head) != 0 || bytes <= head + tail || bytes - head - tail >= KEY ||
        strcmp(key + bytes - tail, permitted) != 0)
        return false;
    snprintf(name, KEY, "%.*s", (int)(bytes - head - tail), key + head);
    return true;
}

static bool gross_of(const evn_figures *rig, evn_overload *out)
{
    out->axle[0] = '\0';
    out->load_kg = evn_figures_value(rig, "masses.gross_kg");
    out->permitted_kg = evn_figures_value(rig, "masses.permitted_gross_kg");
    return out->load_kg > out->permitted_kg; /* what is not stated is NAN, and not exceeded */
}

bool evn_compare_overload_at(const evn_compare_story *story, size_t truck, size_t index, evn_overload *out)
{
    evn_figures rig = evn_figures_of_rig(evn_comparison_rig(story->comparison, truck));
    evn_quantity what;
    char key[2 * KEY];
    if (gross_of(&rig, out) && index-- == 0)
        return true;
    for (size_t k = 0; evn_figures_at(&rig, k, &what, &out->permitted_kg); k++) {
        if (!axle_of(what.key, out->axle))
            continue;
        snprintf(key, sizeof key, "%s%s.load_kg", axles, out->axle);
        out->load_kg = evn_figures_value(&rig, key);
        if (out->load_kg > out->permitted_kg && index-- == 0)
            return true;
    }
    return false;
}

bool evn_compare_overloaded(const evn_compare_story *story, size_t truck)
{
    evn_overload is;
    return evn_compare_overload_at(story, truck, 0, &is);
}
