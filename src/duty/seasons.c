/* What the seasons of a duty state of the load case, and which load case the day has in each. */
#include "core/arena.h"
#include "duty/duty.h"
#include "truck/load_case.h"
#include <stdio.h>
#include <string.h>

/* Whether a season writes a key, be it its default: what it does not write holds as it is asked. */
static uint64_t stated_by(const evn_duty_places *places, const char *season)
{
    enum { PATH = EVN_SEASON_NAME_MOST + 120 };
    uint64_t stated = 0;
    for (size_t k = 0; k < evn_load_case_object.field_count; k++) {
        char path[PATH];
        snprintf(path, sizeof path, "seasons.%s.load_case.%s", season, evn_load_case_object.fields[k].key);
        const evn_value *v = evn_duty_value_at(places, path, strlen(path));
        if (v && (v->origin == EVN_FROM_FILE || v->origin == EVN_FROM_SET))
            stated |= (uint64_t)1 << k;
    }
    return stated;
}

bool evn_duty_place(evn_duty_file *d, const evn_duty_places *places, evn_arena *arena)
{
    d->places = *places;
    if (d->seasons.count == 0)
        return true;
    evn_season_file *season = evn_arena_take(arena, d->seasons.count * sizeof *season);
    if (!season)
        return false;
    memcpy(season, d->seasons.item, d->seasons.count * sizeof *season);
    for (size_t k = 0; k < d->seasons.count; k++)
        season[k].stated = stated_by(places, d->seasons.name[k]);
    d->seasons.item = season;
    return true;
}

evn_load_case evn_duty_load_case(const evn_duty_file *d, size_t season, const evn_conditions *asked)
{
    if (d->seasons.count == 0)
        return asked->load_case;
    const evn_season_file *of = (const evn_season_file *)d->seasons.item + season;
    return evn_load_case_over(&asked->load_case, of->load_case, of->stated & ~asked->before_seasons);
}
