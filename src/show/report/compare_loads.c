/* Which trucks of a comparison are loaded beyond what their files permit: gross mass, and axle by axle. */
#define _POSIX_C_SOURCE 200809L
#include "show/compare_loaded.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <stdlib.h>

static const char indent[] = "  ";

/* "electric axle: gross mass 26400 of 26000 kg; axle drive 12023 of 11500 kg." False: it is loaded as is permitted. */
static bool put_truck(const evn_compare_report *report, FILE *to, size_t truck)
{
    evn_overload is;
    size_t count = 0;
    fprintf(to, "%s", report->name[truck]);
    for (; evn_compare_overload_at(report->story, truck, count, &is); count++) {
        fprintf(to, "%s%s", count == 0 ? ": " : "; ", is.axle[0] ? "axle " : "gross mass");
        evn_put_safe(to, is.axle);
        fprintf(to, " %.0f of %.0f kg", is.load_kg, is.permitted_kg);
    }
    fputc('.', to);
    return count > 0;
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
