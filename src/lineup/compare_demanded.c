/* What the duty of a comparison demands, held against the day of each truck at its own speeds, as drive holds it. */
#include "duty/day.h"
#include "lineup/compare_day.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static size_t seasons_of(const evn_comparison *c) { return c->duty->seasons.count > 0 ? c->duty->seasons.count : 1; }

static const char *season_name(const evn_comparison *c, size_t season)
{
    return c->duty->seasons.count > 0 ? c->duty->seasons.name[season] : NULL;
}

/* False: it was not driven there. */
static bool day_in(const evn_comparison *c, size_t truck, size_t season, evn_day_season *out)
{
    return season == c->season ? evn_comparison_day(c, truck, EVN_BASIS_OWN, out)
                               : evn_comparison_season_at(c, truck, season, out);
}

static bool judge(evn_compare_work *w, size_t truck, size_t season, evn_report *report)
{
    evn_comparison *c = w->of;
    evn_compare_side *s = &c->side[truck];
    evn_day_season is;
    if (!day_in(c, truck, season, &is))
        return true;
    evn_driven_on on = {season, is.load_case.battery_age_years, (double)NAN, false};
    bool more = evn_duty_wants_more(c->duty->demands, &is);
    evn_conditions ask = c->any_season;
    ask.load_case.payload_kg = evn_compare_start_payload_kg(c, s);
    bool found =
        !more || evn_driven_on_find(&on, 1, s->who->truck, c->duty, &ask, &w->runs, s->outcome[EVN_BASIS_OWN].report);
    if (evn_runs_stopped(&w->runs))
        return true;
    const evn_day_plan *plan = season == c->season ? &s->day[EVN_BASIS_OWN] : &s->season[season].plan;
    if (found)
        evn_duty_judge(&s->verdicts[season], c->duty->demands, &is, plan, more ? &on : NULL, &c->ask.driving, report);
    return found;
}

bool evn_compare_day_judge(evn_compare_work *w, evn_report *report)
{
    evn_comparison *c = w->of;
    bool all = true;
    for (size_t i = 0; all && c->duty && i < c->count && !evn_runs_stopped(&w->runs); i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->rig)
            continue;
        s->verdicts = evn_arena_take(c->arena, seasons_of(c) * sizeof *s->verdicts);
        all = s->verdicts;
        if (all)
            memset(s->verdicts, 0, seasons_of(c) * sizeof *s->verdicts);
        for (size_t k = 0; all && k < seasons_of(c); k++)
            all = judge(w, i, k, report);
    }
    return all;
}

void evn_compare_day_say_unmet(const evn_comparison *c, const evn_compare_side *s, evn_report *report)
{
    enum { NAME = 200 };
    evn_day_season is;
    for (size_t k = 0; s->verdicts && k < seasons_of(c); k++) {
        char of[NAME];
        const char *season = season_name(c, k);
        snprintf(of, sizeof of, "%.100s%s%.60s", s->who->name, season ? ", " : "", season ? season : "");
        if (day_in(c, (size_t)(s - c->side), k, &is) && strcmp(is.status, "finished") == 0)
            evn_duty_say_unmet(&s->verdicts[k], of, report);
    }
}

bool evn_comparison_day_demand_at(const evn_comparison *c, size_t truck, size_t index, const char **season,
                                  evn_day_demand *out)
{
    if (!c || !c->duty || !season || !out || truck >= c->count || !c->side[truck].verdicts)
        return false;
    for (size_t k = 0; k < seasons_of(c); k++) {
        const evn_duty_verdicts *v = &c->side[truck].verdicts[k];
        if (index < v->count) {
            *season = season_name(c, k);
            *out = v->demand[index];
            return true;
        }
        index -= v->count;
    }
    return false;
}
