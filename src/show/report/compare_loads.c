/* Which trucks of a comparison are loaded beyond what their files permit: gross mass, and axle by axle. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = 128 };

static const char indent[] = "  ", axles[] = "axle_loads.", permitted[] = ".permitted_kg";

/* "; axle drive 12023 of 11500 kg", of what is more than permitted. */
static bool put_beyond(FILE *to, double load_kg, double permitted_kg, const char *before, const char *what,
                       const char *name)
{
    if (!(load_kg > permitted_kg))
        return false;
    fprintf(to, "%s%s", before, what);
    evn_put_safe(to, name);
    fprintf(to, " %.0f of %.0f kg", load_kg, permitted_kg);
    return true;
}

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

/* "electric axle: axle drive 12023 of 11500 kg." False: it is loaded as is permitted. */
static bool put_truck(const evn_compare_report *report, FILE *to, size_t truck)
{
    evn_figures rig = evn_figures_of_rig(evn_comparison_rig(report->story->comparison, truck));
    evn_quantity what;
    double limit_kg;
    char name[KEY], key[2 * KEY];
    fprintf(to, "%s", report->name[truck]);
    bool any = put_beyond(to, evn_figures_value(&rig, "masses.gross_kg"),
                          evn_figures_value(&rig, "masses.permitted_gross_kg"), ": ", "gross mass", "");
    for (size_t k = 0; evn_figures_at(&rig, k, &what, &limit_kg); k++) {
        if (!axle_of(what.key, name))
            continue;
        snprintf(key, sizeof key, "%s%s.load_kg", axles, name);
        any = put_beyond(to, evn_figures_value(&rig, key), limit_kg, any ? "; " : ": ", "axle ", name) || any;
    }
    fputc('.', to);
    return any;
}

/* The heading stands before the first only. False when memory is out. */
static bool tell_truck(const evn_compare_report *report, size_t truck, bool *any)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    bool told = put_truck(report, memory, truck), made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && told) {
        if (!*any)
            evn_compare_heading(report, "What is loaded beyond what is permitted");
        evn_compare_paragraph(report, EVN_STYLE_WARNING, indent, text);
        *any = true;
    }
    free(text);
    return made;
}

bool evn_compare_loads(const evn_compare_report *report)
{
    bool made = true, any = false;
    for (size_t i = 0; made && i < report->count; i++)
        made = tell_truck(report, i, &any);
    if (made && any)
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent,
                              "At rest on level ground, by what the files permit. What a vehicle and its axles may "
                              "carry is for local regulation and licensed practice to decide.");
    return made;
}
