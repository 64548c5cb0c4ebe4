/* Phases of a day as they are told: who takes their rows, what came of each, and the charge that they leave. */
#include "core/units.h"
#include "duty/day.h"
#include <math.h>
#include <string.h>

bool evn_day_plan_sample(evn_day_plan *p, size_t phase, const evn_sampler *first, evn_samplers asked, evn_arena *arena)
{
    static const evn_sampler nobody = {0}; /* which its run refuses */
    if (asked.count > 0 && !asked.at)
        asked = (evn_samplers){&nobody, 1};
    size_t count = asked.count + (first ? 1 : 0);
    evn_sampler *all = count > 0 ? evn_arena_take(arena, count * sizeof *all) : NULL;
    if (count > 0 && !all)
        return false;
    if (first)
        all[0] = *first;
    for (size_t k = 0; k < asked.count; k++)
        all[count - asked.count + k] = asked.at[k];
    p->phase[phase].sampler = all;
    p->phase[phase].samplers = count;
    return true;
}

static double result(const evn_results *r, const char *key)
{
    double value;
    return evn_results_get(r, key, &value) ? value : (double)NAN;
}

static void add_up(const evn_day_plan *p, size_t phase, evn_day_phase *out)
{
    out->begin_s = out->begin_km = 0;
    for (size_t k = 0; k < phase; k++) {
        out->begin_s += result(p->phase[k].results, "duration_s");
        out->begin_km += result(p->phase[k].results, "distance_km");
    }
}

/* Parts of a leg are one of it. */
static bool begins_one(const evn_phase_of *of) { return !of->leg || of->part == 1; }

/* Which of the legs or stops of its name and direction it is; and whether legs of its name go both ways. */
static void tell_apart(const evn_day_plan *p, size_t phase, evn_day_phase *out)
{
    const evn_phase_of *is = &p->of[phase];
    for (size_t k = 0; k < p->count; k++) {
        const evn_phase_of *of = &p->of[k];
        bool alike = !of->leg == !is->leg && strcmp(of->name, is->name) == 0;
        bool same_way = p->phase[k].reversed == p->phase[phase].reversed;
        out->both_ways = out->both_ways || (alike && !same_way);
        if (!alike || !same_way || of->round != is->round || !begins_one(of))
            continue;
        out->times++;
        out->time += k <= phase ? 1 : 0;
    }
}

evn_day_phase evn_day_phase_of(const evn_day_plan *p, size_t phase)
{
    const evn_phase *is = &p->phase[phase];
    const evn_phase_of *of = &p->of[phase];
    evn_day_phase out = {.name = of->name,
                         .stop = !of->leg,
                         .round = of->round,
                         .rounds = of->rounds,
                         .part = of->part,
                         .parts = of->parts,
                         .cycle = of->leg ? of->leg->cycle->name : NULL,
                         .back = is->reversed,
                         .payload_kg = is->payload_kg,
                         .begin_s = (double)NAN,
                         .begin_km = (double)NAN,
                         .begin_soc = is->begin_soc,
                         .status = is->status,
                         .results = is->results};
    tell_apart(p, phase, &out);
    return out;
}

bool evn_day_plan_phase_at(const evn_day_plan *p, size_t phase, evn_day_phase *out)
{
    if (phase >= p->count)
        return false;
    *out = evn_day_phase_of(p, phase);
    if (p->phase[phase].status)
        add_up(p, phase, out);
    return true;
}

static bool fails(const evn_day_season *s) { return !s->status || strcmp(s->status, "finished") != 0; }

bool evn_day_season_is_worse(const evn_day_season *s, const evn_day_season *than)
{
    if (fails(s) != fails(than))
        return fails(s);
    return fails(s) ? result(s->results, "distance_km") < result(than->results, "distance_km")
                    : s->reserve_soc < than->reserve_soc;
}

void evn_day_plan_reserve(const evn_day_plan *p, evn_day_season *out)
{
    const evn_rig *rig = p->phase[0].rig;
    out->begin_soc = out->lowest_soc = out->reserve_soc = out->reserve_kwh = (double)NAN;
    if (!rig)
        return;
    out->begin_soc = out->lowest_soc = p->phase[0].begin_soc;
    for (size_t k = 0; k < p->count; k++)
        if (p->phase[k].results)
            out->lowest_soc = fmin(out->lowest_soc, result(p->phase[k].results, "final_soc"));
    const evn_pack *pack = &rig->pack;
    out->reserve_soc = out->lowest_soc - pack->usable_from;
    out->reserve_kwh = pack->capacity_as *
                       evn_curve_integral(&pack->open_circuit_v, pack->usable_from, out->lowest_soc) / EVN_J_PER_KWH;
}
