/* The figures of several trucks as one list of rows. */
#include "show/limits_story.h"
#include <stdlib.h>
#include <string.h>

const char *evn_limits_title(const evn_limits_truck *truck)
{
    const char *title = truck->title || !truck->truck ? truck->title : evn_truck_short_name(truck->truck);
    return title ? title : truck->name;
}

bool evn_limits_does_all(const evn_limits *limits)
{
    evn_limits_verdict verdict;
    bool all = true;
    for (size_t i = 0; evn_limits_demand_at(limits, i, &verdict); i++)
        all = all && verdict.met;
    return all;
}

bool evn_limits_tells(const evn_limits_story *story, const char *group)
{
    bool told = !story->groups || !story->groups[0];
    for (size_t i = 0; !told && story->groups[i]; i++)
        told = strcmp(story->groups[i], group) == 0 || strcmp(story->groups[i], EVN_LIMITS_ALL) == 0;
    return told;
}

/* Its place; the count where it is not there. */
static size_t place_of(const evn_limits_rows *rows, const char *key)
{
    size_t at = 0;
    while (at < rows->count && strcmp(rows->at[at].what.key, key) != 0)
        at++;
    return at;
}

static bool insert(evn_limits_rows *rows, size_t at, const evn_limits_figure *figure)
{
    evn_limits_figure *larger = realloc(rows->at, (rows->count + 1) * sizeof *larger);
    if (!larger)
        return false;
    rows->at = larger;
    memmove(&larger[at + 1], &larger[at], (rows->count - at) * sizeof *larger);
    larger[at] = *figure;
    rows->count++;
    return true;
}

/* What the trucks before lack stands behind what it stands behind here. */
static bool add_truck(const evn_limits_story *story, const evn_limits *limits, evn_limits_rows *rows)
{
    evn_limits_figure figure;
    size_t next = 0;
    bool made = true;
    for (size_t i = 0; made && evn_limits_at(limits, i, &figure); i++) {
        if (!evn_limits_tells(story, figure.group))
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

bool evn_limits_rows_of(const evn_limits_story *story, evn_limits_rows *out)
{
    *out = (evn_limits_rows){.count = 0};
    bool made = true;
    for (size_t i = 0; made && i < story->count; i++)
        made = add_truck(story, story->truck[i].limits, out);
    if (!made)
        evn_limits_rows_free(out);
    return made;
}

void evn_limits_rows_free(evn_limits_rows *rows)
{
    free(rows->at);
    *rows = (evn_limits_rows){.count = 0};
}
