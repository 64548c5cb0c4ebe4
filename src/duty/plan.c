/* The day written out: rounds repeated, legs parted at their stops, payloads and lengths of stops put in. */
#include "core/arena.h"
#include "cycle/resolve.h"
#include "duty/duty.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PATH = 96 };

typedef struct writer {
    evn_day_plan *plan;
    const evn_duty_file *duty;
    evn_arena *arena;
    char path[PATH];        /* to what is written out now */
    double payload_kg;      /* by now */
    unsigned round, rounds; /* of all rounds of the day, counted on from one list of them to the next; 0: in none */
    unsigned rounds_done, all_rounds;
    evn_report *report;
} writer;

/* NULL when memory is out. */
static evn_phase *add(writer *w, evn_phase_of of)
{
    evn_day_plan *p = w->plan;
    evn_phase *s = &p->phase[p->count];
    of.path = evn_arena_text(w->arena, w->path, strlen(w->path));
    if (!of.path) {
        evn_say(w->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out writing out the day");
        return NULL;
    }
    of.round = w->round;
    of.rounds = w->rounds;
    p->of[p->count++] = of;
    *s = (evn_phase){.payload_kg = w->payload_kg, .part = {(double)NAN, (double)NAN, false}, .begin_soc = (double)NAN};
    return s;
}

/* ------------------------------------------------------------------------------------------------ stops */

static evn_curve connector_of(const evn_charging_file *c)
{
    double w[EVN_CURVE_POINTS_MAX], soc = 0;
    size_t count = c->soc.count;
    evn_curve curve;
    for (size_t k = 0; k < count; k++)
        w[k] = c->power_kw.at[k] * 1e3;
    if (count == 0)
        w[0] = c->connector_kw * 1e3;
    evn_curve_make(&curve, count > 0 ? c->soc.at : &soc, w, count > 0 ? count : 1, true);
    return curve;
}

static evn_standing standing_of(const evn_stop_file *s, const evn_standing *otherwise)
{
    const evn_charging_file *c = s->charging;
    evn_standing standing = *otherwise;
    if (!isnan(s->duration_min))
        standing.duration_s = s->duration_min * 60;
    if (!isnan(s->takeoff_kw)) {
        standing.takeoff = (evn_takeoff_ask){s->takeoff_kw * 1e3, s->takeoff_s};
        standing.takeoff_by_truck = false;
    }
    standing.charges = c;
    standing.until_soc = (double)INFINITY;
    standing.grid_efficiency = (double)NAN;
    if (!c)
        return standing;
    standing.connector_w = connector_of(c);
    standing.until_soc = isnan(c->until_soc) ? (double)INFINITY : c->until_soc;
    standing.grid_efficiency = c->efficiency;
    return standing;
}

/* What is loaded or delivered is so at the end of the stop. What the stop does not state is as `otherwise`. */
static bool write_stop(writer *w, const evn_stop_file *s, const evn_standing *otherwise)
{
    evn_phase *phase = add(w, (evn_phase_of){.name = s->name, .stop = s});
    if (!phase)
        return false;
    phase->standing = standing_of(s, otherwise);
    double then_kg = !isnan(s->payload_kg) ? s->payload_kg : w->payload_kg;
    then_kg += isnan(s->payload_change_kg) ? 0 : s->payload_change_kg;
    if (then_kg < 0) {
        evn_duty_say(w->duty, w->path, "payload_change_kg", EVN_FAULT_DISAGREES, w->report,
                     "the stop '%.60s' takes %g kg off a truck that carries %g kg; expected no more than it carries",
                     s->name, -s->payload_change_kg, w->payload_kg);
        return false;
    }
    w->payload_kg = then_kg;
    return true;
}

/* ------------------------------------------------------------------------------------------------ legs */

/* What the cycle's own stop at a place has. */
static evn_standing stop_of_cycle(const evn_cycle_file *c, double place_m)
{
    const evn_stops_file *s = c->stops;
    evn_standing own = {.takeoff_by_truck = s->takeoff_kw.count == 0};
    for (size_t k = 0; k < s->place_m.count; k++) {
        if (fabs(s->place_m.at[k] - place_m) > EVN_APART_LEAST)
            continue;
        own.duration_s = s->wait_s.at[k];
        if (!own.takeoff_by_truck)
            own.takeoff = (evn_takeoff_ask){s->takeoff_kw.at[k] * 1e3, s->takeoff_s.at[k]};
    }
    return own;
}

/* As the leg is driven. */
static double way_m(const evn_leg_file *leg, double place_m)
{
    return leg->direction == EVN_DIRECTION_BACK ? evn_cycle_length_m(leg->cycle) - place_m : place_m;
}

static bool write_part(writer *w, const evn_leg_file *leg, unsigned part, double from_m, double to_m)
{
    evn_phase_of of = {.name = leg->name, .leg = leg, .part = part, .parts = (unsigned)leg->stops.count + 1};
    evn_phase *s = add(w, of);
    if (!s)
        return false;
    s->cycle = leg->cycle;
    s->reversed = leg->direction == EVN_DIRECTION_BACK;
    s->part = (evn_course_part){from_m, to_m, part > 1};
    return true;
}

static bool write_leg(writer *w, const evn_leg_file *leg)
{
    double from_m = (double)NAN;
    unsigned part = 1;
    size_t length = strlen(w->path);
    if (!isnan(leg->payload_kg))
        w->payload_kg = leg->payload_kg;
    for (size_t k = 0; k < leg->stops.count; k++) {
        const evn_stop_file *s = leg->stops.at[k].item;
        double at_m = way_m(leg, s->place_m);
        evn_standing own = stop_of_cycle(leg->cycle, s->place_m);
        bool fits = write_part(w, leg, part++, from_m, at_m);
        snprintf(w->path + length, sizeof w->path - length, ".stops[%zu].stop", k);
        fits = fits && write_stop(w, s, &own);
        w->path[length] = '\0';
        if (!fits)
            return false;
        from_m = at_m;
    }
    return write_part(w, leg, part, from_m, (double)NAN);
}

/* ------------------------------------------------------------------------------------------------ the day */

/* The step of a list, which stands at `list` of the duty. */
static bool write_step(writer *w, const evn_step *step, const char *list, size_t index)
{
    static const evn_standing until_charged = {.duration_s = (double)INFINITY};
    snprintf(w->path, sizeof w->path, "%s[%zu].%s", list, index, step->kind == EVN_DAY_LEG ? "leg" : "stop");
    return step->kind == EVN_DAY_LEG ? write_leg(w, step->item) : write_stop(w, step->item, &until_charged);
}

static bool write_rounds(writer *w, const evn_rounds_file *rounds, size_t index)
{
    char list[PATH / 2];
    bool fits = true;
    snprintf(list, sizeof list, "day[%zu].rounds.each", index);
    w->rounds = w->all_rounds;
    for (unsigned times = 0; fits && times < (unsigned)rounds->times; times++) {
        w->round = ++w->rounds_done;
        for (size_t k = 0; fits && k < rounds->each.count; k++)
            fits = write_step(w, &rounds->each.at[k], list, k);
    }
    w->round = w->rounds = 0;
    return fits;
}

static unsigned all_rounds(const evn_duty_file *d)
{
    unsigned sum = 0;
    for (size_t k = 0; k < d->day.count; k++)
        if (d->day.at[k].kind == EVN_DAY_ROUNDS)
            sum += (unsigned)((const evn_rounds_file *)d->day.at[k].item)->times;
    return sum;
}

bool evn_day_plan_make(evn_day_plan *plan, const evn_duty_file *d, double payload_kg, evn_arena *arena,
                       evn_report *report)
{
    size_t most = evn_duty_phase_count(d);
    bool fits = true;
    *plan = (evn_day_plan){evn_arena_take(arena, most * sizeof *plan->phase),
                           evn_arena_take(arena, most * sizeof *plan->of), 0};
    if (!plan->phase || !plan->of) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out writing out the day");
        return false;
    }
    writer w = {.plan = plan,
                .duty = d,
                .arena = arena,
                .payload_kg = payload_kg,
                .all_rounds = all_rounds(d),
                .report = report};
    for (size_t k = 0; fits && k < d->day.count; k++)
        fits = d->day.at[k].kind == EVN_DAY_ROUNDS ? write_rounds(&w, d->day.at[k].item, k)
                                                   : write_step(&w, &d->day.at[k], "day", k);
    return fits;
}

bool evn_day_plan_reports(evn_day_plan *p, bool strict, evn_report *report)
{
    bool all = true;
    for (size_t k = 0; all && k < p->count; k++) {
        p->phase[k].report = evn_report_new();
        all = p->phase[k].report;
        if (all)
            evn_report_be_strict(p->phase[k].report, strict);
    }
    if (!all)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the day");
    return all;
}

void evn_day_plan_end(evn_day_plan *p)
{
    for (size_t k = 0; k < p->count; k++) {
        evn_results_free(p->phase[k].results);
        evn_rig_free(p->phase[k].made);
        evn_report_free(p->phase[k].report);
    }
}
