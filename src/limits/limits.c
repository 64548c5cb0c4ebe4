/* The groups of figures in their order, and finding them. */
#include "limits/limits.h"
#include "limits/demands.h"
#include "limits/list.h"
#include <math.h>
#include <stdlib.h>

typedef struct group_row {
    const char *key, *title, *help;
    void (*find)(evn_limits_work *);
} group_row;

/* In the order in which they are told. */
static const group_row groups[] = {
    {"deciding", "what decides", "the figures that comparisons carry, as demanded where something is",
     evn_limits_deciding},
    {"start", "starting", "steepest grade on which it moves off from rest, loaded as it is", evn_limits_start},
    {"going", "going on",
     "what it can once it has started: changing up, every drive unit with gears from its first into its second, one "
     "after another",
     evn_limits_going},
    {"climb", "climbing", "grades and speeds at which the truck keeps its speed", evn_limits_climb},
    {"derating", "time to derating",
     "how long the fastest speed on a grade lasts in the gears that a run takes; a lower gear may last longer",
     evn_limits_derating},
    {"sprint", "accelerating", "times from rest on the level, loaded as it is", evn_limits_sprint},
    {"descent", "descending", "steepest grade on which motors alone hold a speed downhill, without friction brakes",
     evn_limits_descent},
    {"long_descent", "long descents",
     "6 km at 30 km/h, driven from the state of charge of the start: what battery and friction brakes get; how a "
     "loaded "
     "vehicle is taken downhill is for local regulation, approved testing and licensed practice",
     evn_limits_long_descent},
    {"braking", "braking by motors",
     "on the level, most that motors alone brake at the state of charge of the start; what brakes must do is for local "
     "regulation, approved testing and licensed practice",
     evn_limits_braking},
};
enum { GROUPS = sizeof groups / sizeof *groups };

bool evn_limits_group_at(size_t index, const char **group, const char **title, const char **help)
{
    if (index >= GROUPS || !group || !title || !help)
        return false;
    *group = groups[index].key;
    *title = groups[index].title;
    *help = groups[index].help;
    return true;
}

/* ------------------------------------------------------------------------------------------------ finding them */

/*
 * In reverse the rear end leads: seen along the way it goes, what acceleration, slope and brakes shift between the
 * axles has the other sign, and so has the wind. Everything else is the same truck.
 */
static void reverse(evn_axle_load *load)
{
    load->along_kg = -load->along_kg;
    load->brake = -load->brake;
}

static evn_rig *reversed(evn_arena *arena, const evn_rig *forwards)
{
    evn_rig *r = evn_arena_take(arena, sizeof *r);
    if (!r)
        return NULL;
    *r = *forwards;
    r->headwind_m_s = -r->headwind_m_s;
    for (size_t k = 0; k < r->axle_count; k++) {
        reverse(&r->axle[k].load);
        reverse(&r->start_aid.load[k]);
    }
    reverse(&r->rolling);
    reverse(&r->rolling_s_m);
    reverse(&r->start_aid.rolling);
    reverse(&r->start_aid.rolling_s_m);
    return r;
}

static evn_rig *with_free_tyres(evn_arena *arena, const evn_rig *as_is)
{
    evn_rig *r = evn_arena_take(arena, sizeof *r);
    if (!r)
        return NULL;
    *r = *as_is;
    r->regenerating_margin = (double)INFINITY;
    for (size_t u = 0; u < r->unit_count; u++)
        r->unit[u].braking_force_limit_n = (double)INFINITY;
    return r;
}

/* False when memory is out. Where answers are plain nothing is lifted, and nothing reverses. */
static bool set_rigs(evn_limits_work *w, const evn_rig *r)
{
    if (w->plain) {
        w->rig[EVN_FORWARDS] = w->free_tyres[EVN_FORWARDS] = r;
        w->rig[EVN_REVERSING] = w->free_tyres[EVN_REVERSING] = r;
        return true;
    }
    w->rig[EVN_FORWARDS] = r;
    w->rig[EVN_REVERSING] = reversed(w->to->arena, r);
    for (int way = 0; way < EVN_WAYS && w->rig[way]; way++)
        w->free_tyres[way] = with_free_tyres(w->to->arena, w->rig[way]);
    return w->rig[EVN_REVERSING] && w->free_tyres[EVN_FORWARDS] && w->free_tyres[EVN_REVERSING];
}

static void find_all(evn_limits_work *w)
{
    evn_limits_judge(w);
    for (size_t k = 0; k < GROUPS; k++)
        groups[k].find(w);
}

static void find_by_driving_too(evn_limits_work *w, const evn_limits_how *how)
{
    evn_runs runs;
    evn_runs_begin(&runs, &(evn_runs_how){1, how->self, how->go_on});
    w->runs = &runs;
    find_all(w);
    if (evn_runs_stopped(&runs))
        evn_say(w->report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                "interrupted while the limits of %s were found by driving", w->rig[EVN_FORWARDS]->truck_name);
    evn_runs_end(&runs);
}

evn_status evn_limits_make(const evn_rig *r, const evn_driving *driving, const evn_limits_how *how, evn_limits **out,
                           evn_report *report)
{
    evn_limits *l = calloc(1, sizeof *l);
    evn_limits_work w = {.to = l, .driving = *driving, .plain = how->only_demands, .report = report};
    if (how->demands)
        w.demands = *how->demands;
    else
        evn_object_default(&evn_demands_object, &w.demands, NULL);
    if (l)
        l->arena = evn_arena_new();
    if (!l || !l->arena || !set_rigs(&w, r)) {
        if (l)
            l->short_of_memory = true;
    } else if (how->only_demands) {
        evn_limits_judge(&w);
    } else if (how->only_deciding) {
        evn_limits_judge(&w);
        evn_limits_deciding(&w);
    } else if (how->only_forces) {
        find_all(&w);
    } else {
        find_by_driving_too(&w, how);
    }
    if (!l || l->short_of_memory) {
        evn_limits_free(l);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out finding limits");
        return EVN_NO_RESULT;
    }
    *out = l;
    return evn_report_status(report);
}
