/*
 * Trucks over the day of a duty: each whole day at own speeds; and leg by leg, each at a common speed of its own, which
 * all begin with the charge and the heat that the legs before it at their common speeds have left them.
 */
#include "lineup/compare_day.h"
#include "duty/day.h"
#include "duty/told.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ written out */

double evn_compare_start_payload_kg(const evn_comparison *c, const evn_compare_side *s)
{
    double asked_kg = c->ask.load_case.payload_kg;
    return isnan(asked_kg) ? s->who->truck->payload->mass_kg : asked_kg;
}

static bool write_day(evn_compare_work *w, evn_compare_side *s, evn_basis basis, evn_report *report)
{
    evn_day_plan *p = &s->day[basis];
    return evn_day_plan_make(p, w->of->duty, evn_compare_start_payload_kg(w->of, s), w->of->arena, report) &&
           evn_day_plan_reports(p, evn_report_is_strict(report), report);
}

bool evn_compare_day_write(evn_compare_work *w, evn_report *report)
{
    bool all = true;
    for (size_t i = 0; all && i < w->of->count; i++) {
        evn_compare_side *s = &w->of->side[i];
        s->carried[0] = evn_carried_new();
        s->carried[1] = evn_carried_new();
        all = s->carried[0] && s->carried[1] && write_day(w, s, EVN_BASIS_OWN, report) &&
              write_day(w, s, EVN_BASIS_COMMON, report);
    }
    return all;
}

/* In the seasons of the duty in which it is not compared; as drive and range refuse it. */
static bool stands_in_others(const evn_comparison *c, const evn_compare_side *s)
{
    bool all = true;
    for (size_t k = 0; k < c->duty->seasons.count; k++) {
        evn_conditions asked = c->any_season;
        if (k == c->season)
            continue;
        asked.load_case.payload_kg = evn_compare_start_payload_kg(c, s);
        evn_rig *rig = evn_day_stand(s->who->truck, c->duty, k, &asked, s->outcome[EVN_BASIS_OWN].report);
        all = all && rig;
        evn_rig_free(rig);
    }
    return all;
}

void evn_compare_day_suits(const evn_comparison *c, evn_compare_side *s)
{
    bool stands = stands_in_others(c, s);
    if (evn_duty_suits(c->duty, &s->day[EVN_BASIS_OWN], s->rig, s->outcome[EVN_BASIS_OWN].report) && stands)
        return;
    evn_rig_free(s->rig);
    s->rig = NULL;
}

/* Legs at the common speed have before those who were asked for the one who tells what speeds they reached. */
static bool sample_day(evn_compare_work *w, size_t truck, evn_basis basis)
{
    const evn_compare_how *how = w->how;
    evn_compare_side *s = &w->of->side[truck];
    evn_day_plan *p = &s->day[basis];
    bool room = true;
    for (size_t k = 0; room && k < p->count; k++) {
        bool reaches = basis == EVN_BASIS_COMMON && p->of[k].leg;
        evn_samplers asked = {NULL, 0};
        if (how->phase_samplers)
            asked = how->phase_samplers(how->self, truck, s->rig, basis, k);
        room = evn_day_plan_sample(p, k, reaches ? s->sampler[basis].at : NULL, asked, w->of->arena);
    }
    return room;
}

bool evn_compare_day_sample(evn_compare_work *w)
{
    bool room = true;
    for (size_t i = 0; room && i < w->of->count; i++)
        if (w->of->side[i].rig)
            room = sample_day(w, i, EVN_BASIS_OWN) && sample_day(w, i, EVN_BASIS_COMMON);
    return room;
}

void evn_compare_day_end(evn_compare_side *s)
{
    for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
        evn_day_plan_end(&s->day[basis]);
    evn_carried_free(s->carried[0]);
    evn_carried_free(s->carried[1]);
}

/* ------------------------------------------------------------------------------------------------ what it came to */

/* False when memory is out. */
static bool sum_up(evn_compare_side *s, evn_basis basis)
{
    const evn_day_plan *p = &s->day[basis];
    evn_outcome *o = &s->outcome[basis];
    evn_share_of *of = calloc(p->count, sizeof *of);
    size_t count = 0;
    for (size_t k = 0; of && k < p->count; k++)
        if (p->phase[k].results)
            of[count++] = (evn_share_of){p->phase[k].results, 1};
    o->results = of && count > 0 ? evn_results_together(of, count, true, o->status) : NULL;
    free(of);
    evn_day_tell(p->phase, p->of, p->count, NULL, o->report);
    return of && (count == 0 || o->results);
}

/* ------------------------------------------------------------------------------------------------ own speeds */

bool evn_compare_day_own(evn_compare_work *w)
{
    evn_comparison *c = w->of;
    bool all = true;
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->rig)
            continue;
        evn_run *run = evn_compare_add_run(w, s, &s->outcome[EVN_BASIS_OWN]);
        run->phase = s->day[EVN_BASIS_OWN].phase;
        run->phases = s->day[EVN_BASIS_OWN].count;
    }
    all = evn_compare_drive(w);
    for (size_t i = 0; i < c->count; i++)
        if (c->side[i].rig)
            all = sum_up(&c->side[i], EVN_BASIS_OWN) && all;
    return all;
}

/* ------------------------------------------------------------------------------------------------ one phase */

/* The rig of its payload that the day at own speeds has made, if it came so far. */
static const evn_rig *rig_for(const evn_compare_side *s, double payload)
{
    const evn_day_plan *own = &s->day[EVN_BASIS_OWN];
    for (size_t k = 0; k < own->count; k++)
        if (own->phase[k].made && own->phase[k].payload_kg == payload)
            return own->phase[k].made;
    return NULL;
}

/* A run of this one phase, with what the phases before it have left. */
static evn_run *add_phase(evn_compare_work *w, evn_compare_side *s, evn_phase *phase)
{
    evn_run *run = evn_compare_add_run(w, s, &s->outcome[EVN_BASIS_COMMON]);
    phase->rig = rig_for(s, phase->payload_kg);
    run->phase = phase;
    run->phases = 1;
    run->begins = s->carried[0];
    return run;
}

static bool has_finished(const evn_phase *p) { return p->results && strcmp(p->status, "finished") == 0; }

/* What was found so far is told of the truck that takes part no longer. */
static bool leave_out(evn_compare_side *s)
{
    const evn_day_plan *p = &s->day[EVN_BASIS_COMMON];
    evn_report *report = s->outcome[EVN_BASIS_COMMON].report;
    evn_day_tell(p->phase, p->of, p->count, NULL, report);
    return evn_compare_leave_out(s, report);
}

static void go_on(evn_compare_side *s)
{
    evn_carried *before = s->carried[0];
    s->carried[0] = s->carried[1];
    s->carried[1] = before;
}

/* All of them carry on from it, and those that did not finish it take part no longer. */
static bool end_phase(evn_compare_work *w, size_t index)
{
    bool all = true;
    for (size_t i = 0; i < w->of->count; i++) {
        evn_compare_side *s = &w->of->side[i];
        if (s->in && has_finished(&s->day[EVN_BASIS_COMMON].phase[index]))
            go_on(s);
        else if (s->in)
            all = leave_out(s) && all;
    }
    return all;
}

static bool drive_stop(evn_compare_work *w, size_t index)
{
    for (size_t i = 0; i < w->of->count; i++) {
        evn_compare_side *s = &w->of->side[i];
        if (!s->in)
            continue;
        evn_run *run = add_phase(w, s, &s->day[EVN_BASIS_COMMON].phase[index]);
        evn_common_ask(run, NULL);
        run->leaves = s->carried[1];
    }
    return evn_compare_drive(w) && (evn_runs_stopped(&w->runs) || end_phase(w, index));
}

/* ------------------------------------------------------------------------------------------------ a leg */

/* Each as fast as it can from where it stands; what it reached lowers the ceiling. */
static bool find_reached(evn_compare_work *w, size_t index, evn_ceiling *ceiling)
{
    evn_phase exact[EVN_LINEUP_MOST];
    evn_comparison *c = w->of;
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->in)
            continue;
        exact[i] = s->day[EVN_BASIS_COMMON].phase[index];
        exact[i].sampler = s->sampler[EVN_BASIS_COMMON].at;
        exact[i].samplers = 1;
        add_phase(w, s, &exact[i])->driving.driver = EVN_DRIVER_EXACT;
    }
    bool all = evn_compare_drive(w);
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->in)
            continue;
        if (all && !has_finished(&exact[i]))
            all = evn_runs_stopped(&w->runs) || leave_out(s);
        else if (all)
            all = evn_ceiling_lower(ceiling, &s->reach.speeds);
        evn_results_free(exact[i].results);
        evn_rig_free(exact[i].made);
    }
    evn_common_thin(ceiling);
    return all;
}

/* Its findings are those of the last time that it is driven. */
static bool renew(evn_phase *p)
{
    bool strict = evn_report_is_strict(p->report);
    evn_results_free(p->results);
    evn_rig_free(p->made);
    evn_report_free(p->report);
    p->results = NULL;
    p->made = NULL;
    p->report = evn_report_new();
    if (p->report)
        evn_report_be_strict(p->report, strict);
    return p->report;
}

/* All below the ceiling; who falls short of it lowers it. */
static bool drive_round(evn_compare_work *w, size_t index, evn_ceiling *ceiling, bool *kept)
{
    evn_comparison *c = w->of;
    bool all = true;
    for (size_t i = 0; all && i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        evn_phase *phase = &s->day[EVN_BASIS_COMMON].phase[index];
        if (!s->in)
            continue;
        all = renew(phase);
        phase->ceiling = ceiling;
        evn_run *run = add_phase(w, s, phase);
        evn_common_ask(run, NULL);
        run->leaves = s->carried[1];
    }
    all = all && evn_compare_drive(w);
    *kept = true;
    for (size_t i = 0; all && i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        const evn_phase *phase = &s->day[EVN_BASIS_COMMON].phase[index];
        if (s->in && has_finished(phase) && !evn_reach_keeps(&s->reach, phase->results))
            *kept = false;
    }
    return all;
}

static bool lower(const evn_comparison *c, size_t index, evn_ceiling *ceiling)
{
    bool all = true;
    for (size_t i = 0; all && i < c->count; i++)
        if (c->side[i].in && has_finished(&c->side[i].day[EVN_BASIS_COMMON].phase[index]))
            all = evn_ceiling_lower(ceiling, &c->side[i].reach.speeds);
    evn_common_thin(ceiling);
    return all;
}

/* The furthest below the common speed, of all legs. */
static void note_below(evn_comparison *c, double below_km_h[])
{
    for (size_t i = 0; i < c->count; i++)
        if (c->side[i].in)
            below_km_h[i] = fmax(below_km_h[i], c->side[i].reach.below_km_h);
}

static bool any_in(const evn_comparison *c)
{
    bool any = false;
    for (size_t i = 0; i < c->count; i++)
        any = any || c->side[i].in;
    return any;
}

static bool drive_leg(evn_compare_work *w, size_t index, unsigned *rounds, double below_km_h[])
{
    evn_ceiling ceiling = {0};
    bool kept = false, all = find_reached(w, index, &ceiling);
    for (unsigned round = 0; all && !kept && round < EVN_ROUNDS_MOST && any_in(w->of); round++) {
        all = (round == 0 || lower(w->of, index, &ceiling)) && drive_round(w, index, &ceiling, &kept);
        *rounds = round + 1 > *rounds ? round + 1 : *rounds;
        if (evn_runs_stopped(&w->runs))
            break;
    }
    for (size_t i = 0; i < w->of->count; i++)
        w->of->side[i].day[EVN_BASIS_COMMON].phase[index].ceiling = NULL;
    evn_ceiling_clear(&ceiling);
    note_below(w->of, below_km_h);
    return all && (evn_runs_stopped(&w->runs) || end_phase(w, index));
}

/* ------------------------------------------------------------------------------------------------ the whole day */

/* How many runs are to come, about: each leg once as fast as can be, and in two rounds. */
static size_t expected(const evn_comparison *c)
{
    size_t runs = 0;
    for (size_t i = 0; i < c->count; i++)
        for (size_t k = 0; c->side[i].in && k < c->side[i].day[EVN_BASIS_COMMON].count; k++)
            runs += c->side[i].day[EVN_BASIS_COMMON].phase[k].cycle ? 1 + EVN_ROUNDS_USUAL : 1;
    return runs;
}

static bool finish(evn_compare_side *s, double below_km_h)
{
    s->reach.below_km_h = below_km_h;
    s->outcome[EVN_BASIS_COMMON].status = "finished";
    return sum_up(s, EVN_BASIS_COMMON);
}

bool evn_compare_day_common(evn_compare_work *w, unsigned *rounds)
{
    evn_comparison *c = w->of;
    double below_km_h[EVN_LINEUP_MOST] = {0};
    size_t phases = 0;
    bool all = true;
    for (size_t i = 0; all && i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        s->in = s->rig;
        phases = s->day[EVN_BASIS_COMMON].count;
        all = s->in || evn_compare_leave_out(s, s->outcome[EVN_BASIS_OWN].report);
    }
    *rounds = 0;
    evn_runs_expect(&w->runs, expected(c));
    for (size_t k = 0; all && k < phases && any_in(c) && !evn_runs_stopped(&w->runs); k++) {
        bool leg = c->side[0].day[EVN_BASIS_COMMON].phase[k].cycle;
        all = leg ? drive_leg(w, k, rounds, below_km_h) : drive_stop(w, k);
    }
    for (size_t i = 0; all && i < c->count && !evn_runs_stopped(&w->runs); i++)
        if (c->side[i].in)
            all = finish(&c->side[i], below_km_h[i]);
    return all;
}

/* ------------------------------------------------------------------------------------------------ calls */

static const evn_day_plan *day_of(const evn_comparison *c, size_t truck, evn_basis basis)
{
    bool there = c && c->duty && truck < c->count && (basis == EVN_BASIS_OWN || basis == EVN_BASIS_COMMON);
    return there && c->side[truck].rig ? &c->side[truck].day[basis] : NULL;
}

bool evn_comparison_day(const evn_comparison *c, size_t truck, evn_basis basis, evn_day_season *out)
{
    const evn_day_plan *p = day_of(c, truck, basis);
    if (!p || !out)
        return false;
    const evn_outcome *o = &c->side[truck].outcome[basis];
    *out = (evn_day_season){
        .share = (double)NAN, .load_case = c->ask.load_case, .status = o->status, .results = o->results};
    out->load_case.payload_kg = evn_compare_start_payload_kg(c, &c->side[truck]);
    evn_day_plan_reserve(p, out);
    return true;
}

bool evn_comparison_phase_at(const evn_comparison *c, size_t truck, evn_basis basis, size_t phase, evn_day_phase *out)
{
    const evn_day_plan *p = day_of(c, truck, basis);
    return p && out && evn_day_plan_phase_at(p, phase, out);
}

double evn_comparison_demanded_reserve_soc(const evn_comparison *c)
{
    return c && c->duty && c->duty->demands ? c->duty->demands->reserve_soc : (double)NAN;
}
