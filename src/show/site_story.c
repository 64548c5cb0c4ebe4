/* The figures of several trucks at a site as one list of rows. */
#include "show/site_story.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *evn_site_title(const evn_site_truck *truck)
{
    const char *title = truck->title || !truck->truck ? truck->title : evn_truck_short_name(truck->truck);
    return title ? title : truck->name;
}

bool evn_site_tells(const evn_site_story *story, const char *group)
{
    bool told = !story->groups || !story->groups[0];
    for (size_t i = 0; !told && story->groups[i]; i++)
        told = strcmp(story->groups[i], group) == 0;
    return told;
}

bool evn_site_is_brief(const evn_site_story *story, const evn_site_figure *row)
{
    static const char *const columns[] = {"clearance.laden_mm",
                                          "clearance.approach_deg",
                                          "clearance.departure_deg",
                                          "clearance.ramp_deg",
                                          "packaging.lost_modules",
                                          "packaging.range_km",
                                          "ride.legs",
                                          "ride.unsprung_kg",
                                          "ride.load_coefficient",
                                          "axle_loads.laden_kg",
                                          "rules.not_met",
                                          "payload.as_placed_kg",
                                          "payload.placed_best_kg",
                                          "rollover.laden_g",
                                          "rollover.empty_g"};
    char column[128];
    evn_site_figure f;
    snprintf(column, sizeof column, "%s.%s", row->group, row->column);
    for (size_t k = 0; k < sizeof columns / sizeof columns[0]; k++)
        if (strcmp(column, columns[k]) == 0)
            return true;
    if (strcmp(row->what.key, "ride.trailer.fastest_km_h") == 0)
        return true;
    for (size_t i = 0; i < story->count; i++)
        if (evn_site_get(story->truck[i].site, row->what.key, &f) && f.margin < 0)
            return true;
    return strcmp(row->column, "modules") == 0 && (strcmp(row->row, "full") == 0 || strcmp(row->row, "largest") == 0);
}

static size_t place_of(const evn_site_rows *rows, const char *key)
{
    size_t at = 0;
    while (at < rows->count && strcmp(rows->at[at].what.key, key) != 0)
        at++;
    return at;
}

static bool insert(evn_site_rows *rows, size_t at, const evn_site_figure *figure)
{
    evn_site_figure *larger = realloc(rows->at, (rows->count + 1) * sizeof *larger);
    if (!larger)
        return false;
    rows->at = larger;
    memmove(&larger[at + 1], &larger[at], (rows->count - at) * sizeof *larger);
    larger[at] = *figure;
    rows->count++;
    return true;
}

/* What the trucks before lack stands behind what it stands behind here. */
static bool add_truck(const evn_site_story *story, const evn_site *site, evn_site_rows *rows)
{
    evn_site_figure figure;
    size_t next = 0;
    bool made = true;
    for (size_t i = 0; made && evn_site_at(site, i, &figure); i++) {
        if (!evn_site_tells(story, figure.group))
            continue;
        size_t at = place_of(rows, figure.what.key);
        if (at == rows->count) {
            at = next;
            made = insert(rows, at, &figure);
        }
        next = at + 1;
    }
    return made;
}

bool evn_site_rows_of(const evn_site_story *story, evn_site_rows *out)
{
    *out = (evn_site_rows){.count = 0};
    bool made = true;
    for (size_t i = 0; made && i < story->count; i++)
        made = add_truck(story, story->truck[i].site, out);
    if (!made)
        evn_site_rows_free(out);
    return made;
}

void evn_site_rows_free(evn_site_rows *rows)
{
    free(rows->at);
    *rows = (evn_site_rows){.count = 0};
}
