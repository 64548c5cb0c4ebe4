/* A comparison over a duty is made in one of its seasons; in the others each truck drives the day at its own speeds, so
 * that it is told what it leaves in each. */
#include "duty/day.h"
#include "duty/told.h"
#include "lineup/compare_day.h"
#include "truck/load_case.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ runs */

static bool has_others(const evn_compare_work *w)
{
    return w->of->duty && w->of->duty->seasons.count > 1 && w->how->all_seasons;
}

size_t evn_compare_seasons_runs(const evn_compare_work *w)
{
    size_t trucks = 0;
    for (size_t i = 0; i < w->of->count; i++)
        trucks += w->of->side[i].rig ? 1 : 0;
    return has_others(w) ? trucks * (w->of->duty->seasons.count - 1) : 0;
}

/* False when memory is out (or said). */
static bool set_up(evn_comparison *c, evn_compare_side *s, size_t season, evn_run *run)
{
    evn_compare_season *is = &s->season[season];
    bool strict = evn_report_is_strict(s->outcome[EVN_BASIS_OWN].report);
    is->load_case = evn_duty_load_case(c->duty, season, &c->any_season);
    is->load_case.payload_kg = evn_compare_start_payload_kg(c, s);
    if (!evn_outcome_begin(&is->outcome, strict) ||
        !evn_day_plan_make(&is->plan, c->duty, is->load_case.payload_kg, c->arena, is->outcome.report) ||
        !evn_day_plan_reports(&is->plan, strict, is->outcome.report))
        return false;
    *run = (evn_run){.truck = s->who->truck,
                     .load_case = is->load_case,
                     .phase = is->plan.phase,
                     .phases = is->plan.count,
                     .driving = c->ask.driving,
                     .report = is->outcome.report};
    return true;
}

/* False when memory is out. */
static bool sum_up(evn_compare_season *is, const evn_run *run)
{
    evn_share_of *of = calloc(is->plan.count, sizeof *of);
    size_t count = 0;
    for (size_t k = 0; of && k < is->plan.count; k++)
        if (is->plan.phase[k].results)
            of[count++] = (evn_share_of){is->plan.phase[k].results, 1};
    is->outcome.status = run->status;
    is->outcome.results = of && count > 0 ? evn_results_together(of, count, true, run->status) : NULL;
    free(of);
    evn_day_tell(is->plan.phase, is->plan.of, is->plan.count, NULL, is->outcome.report);
    return of && (count == 0 || is->outcome.results);
}

bool evn_compare_seasons_drive(evn_compare_work *w)
{
    evn_comparison *c = w->of;
    size_t most = evn_compare_seasons_runs(w), count = 0, seasons = most > 0 ? c->duty->seasons.count : 0;
    evn_run *run = calloc(most + 1, sizeof *run);
    evn_compare_season **of = calloc(most + 1, sizeof(evn_compare_season *));
    bool all = run && of;
    for (size_t i = 0; all && i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->rig || most == 0)
            continue;
        s->season = calloc(seasons, sizeof *s->season);
        all = s->season;
        for (size_t k = 0; all && k < seasons; k++) {
            if (k == c->season)
                continue;
            all = set_up(c, s, k, &run[count]);
            of[count++] = &s->season[k];
        }
    }
    if (all)
        evn_runs_drive(&w->runs, run, count);
    for (size_t k = 0; all && k < count; k++)
        all = sum_up(of[k], &run[k]);
    free(run);
    free(of);
    return all;
}

void evn_compare_seasons_say_unfinished(const evn_comparison *c, const evn_compare_side *s, evn_report *report)
{
    enum { NAME = 200 };
    for (size_t k = 0; s->season && k < c->duty->seasons.count; k++) {
        char name[NAME];
        const evn_outcome *o = &s->season[k].outcome;
        if (k == c->season || evn_outcome_finished(o) || strcmp(o->status, "interrupted") == 0)
            continue;
        snprintf(name, sizeof name, "%.100s, %.60s", s->who->name, c->duty->seasons.name[k]);
        evn_outcome_say_why(o->report, name, report);
    }
}

void evn_compare_seasons_end(const evn_comparison *c, evn_compare_side *s)
{
    for (size_t k = 0; s->season && k < c->duty->seasons.count; k++) {
        evn_day_plan_end(&s->season[k].plan);
        evn_outcome_end(&s->season[k].outcome);
    }
    free(s->season);
}

/* ------------------------------------------------------------------------------------------------ calls */

/* NULL: no such season was driven. */
static const evn_compare_side *side_of(const evn_comparison *c, size_t truck, size_t season)
{
    bool there = c && c->duty && truck < c->count && season < c->duty->seasons.count;
    const evn_compare_side *s = there ? &c->side[truck] : NULL;
    return s && s->rig && (s->season || c->duty->seasons.count == 1) ? s : NULL;
}

bool evn_comparison_season_at(const evn_comparison *c, size_t truck, size_t season, evn_day_season *out)
{
    const evn_compare_side *s = out ? side_of(c, truck, season) : NULL;
    if (!s)
        return false;
    if (season == c->season) {
        evn_comparison_day(c, truck, EVN_BASIS_OWN, out);
    } else {
        const evn_compare_season *is = &s->season[season];
        *out =
            (evn_day_season){.load_case = is->load_case, .status = is->outcome.status, .results = is->outcome.results};
        evn_day_plan_reserve(&is->plan, out);
    }
    out->name = c->duty->seasons.name[season];
    out->share = ((const evn_season_file *)c->duty->seasons.item)[season].share;
    return true;
}

const char *evn_comparison_season_why(const evn_comparison *c, size_t truck, size_t season)
{
    const evn_compare_side *s = side_of(c, truck, season);
    const evn_outcome *o = !s ? NULL : season == c->season ? &s->outcome[EVN_BASIS_OWN] : &s->season[season].outcome;
    return o && !evn_outcome_finished(o) ? evn_outcome_why(o->report) : NULL;
}

static bool was_stopped(const evn_day_season *s) { return strcmp(s->status, "interrupted") == 0; }

bool evn_comparison_worst_season(const evn_comparison *c, size_t truck, size_t *out)
{
    evn_day_season is, worst_is;
    size_t worst = 0;
    if (!out || !evn_comparison_season_at(c, truck, 0, &worst_is))
        return false;
    bool alike = true, known = !was_stopped(&worst_is);
    for (size_t k = 1; evn_comparison_season_at(c, truck, k, &is); k++) {
        known = known && !was_stopped(&is);
        if (evn_day_season_is_worse(&is, &worst_is)) {
            alike = false;
            worst = k;
            worst_is = is;
        } else if (evn_day_season_is_worse(&worst_is, &is)) {
            alike = false;
        }
    }
    *out = worst;
    return known && !alike;
}
