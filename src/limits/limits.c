/* The list of figures: groups in their order, answers, and what holds it all. */
#include "limits/limits.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct group_row {
    const char *key, *title, *help;
    void (*find)(evn_limits_work *);
} group_row;

/* In the order in which they are told. */
static const group_row groups[] = {
    {"start", "starting", "steepest grade on which it moves off from rest, loaded as it is", evn_limits_start},
    {"going", "going on", "what it can once it has started: changing up", evn_limits_going},
    {"climb", "climbing", "grades and speeds at which the truck keeps its speed", evn_limits_climb},
    {"derating", "time to derating", "how long the fastest speed on a grade lasts", evn_limits_derating},
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

struct evn_limits {
    evn_arena *arena;
    evn_limits_figure *figure;
    size_t count, room;
    bool short_of_memory;
};

typedef struct bound_row {
    const char *key, *label;
} bound_row;
static const bound_row bounds[EVN_BOUND_COUNT] = {{NULL, NULL},
#define X(name, key, label) {key, label},
                                                  EVN_BOUNDS(X)
#undef X
};

bool evn_limits_group_at(size_t index, const char **group, const char **title, const char **help)
{
    if (index >= GROUPS || !group || !title || !help)
        return false;
    *group = groups[index].key;
    *title = groups[index].title;
    *help = groups[index].help;
    return true;
}

bool evn_limits_bound_at(size_t index, const char **limit, const char **label)
{
    if (index >= EVN_BOUND_COUNT - 1 || !limit || !label)
        return false;
    *limit = bounds[index + 1].key;
    *label = bounds[index + 1].label;
    return true;
}

/* ------------------------------------------------------------------------------------------------ answers */

evn_answer evn_answer_of(double value)
{
    return (evn_answer){.value = value, .next_value = (double)NAN, .low = (double)NAN, .high = (double)NAN};
}

/* Nothing is less than any figure. */
static bool gains(double value, double over)
{
    return !isnan(value) && (isnan(over) || value > over + 1e-7 * (1e-3 + fabs(over)));
}

/* The limit whose lifting gains most over a figure; NONE: no single one does. */
static evn_bound most_gained(evn_able *able, void *self, const evn_bound limits[], unsigned lifted, double over,
                             double *most)
{
    evn_bound best = EVN_BOUND_NONE;
    *most = over;
    for (; *limits != EVN_BOUND_NONE; limits++) {
        if (evn_is_lifted(lifted, *limits))
            continue;
        double value = able(self, lifted | evn_lift(*limits));
        if (gains(value, *most)) {
            *most = value;
            best = *limits;
        }
    }
    return best;
}

evn_answer evn_answer_by(evn_able *able, void *self, const evn_bound limits[])
{
    double beyond;
    evn_answer a = evn_answer_of(able(self, 0));
    a.bound = most_gained(able, self, limits, 0, a.value, &a.next_value);
    if (a.bound == EVN_BOUND_NONE) {
        a.bound = limits[0];
        a.next_value = able(self, evn_lift(limits[0]));
    }
    a.next = most_gained(able, self, limits, evn_lift(a.bound), a.next_value, &beyond);
    return a;
}

/* ------------------------------------------------------------------------------------------------ the list */

const char *evn_limits_text(evn_limits_work *w, const char *format, ...)
{
    char text[4400];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    const char *kept = evn_arena_text(w->to->arena, text, strlen(text));
    w->to->short_of_memory = w->to->short_of_memory || !kept;
    return kept ? kept : "";
}

evn_rig *evn_limits_rig_copy(evn_limits_work *w, const evn_rig *rig)
{
    evn_rig *copy = evn_arena_take(w->to->arena, sizeof *copy);
    w->to->short_of_memory = w->to->short_of_memory || !copy;
    if (copy)
        *copy = *rig;
    return copy;
}

static evn_limits_figure *add_figure(evn_limits *l)
{
    if (l->count == l->room) {
        size_t room = l->room ? 2 * l->room : 128;
        evn_limits_figure *more = realloc(l->figure, room * sizeof *more);
        l->short_of_memory = l->short_of_memory || !more;
        if (!more)
            return NULL;
        l->figure = more;
        l->room = room;
    }
    return &l->figure[l->count++];
}

void evn_limits_add(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column,
                    const evn_answer *a)
{
    evn_limits_figure *f = add_figure(w->to);
    if (!f)
        return;
    const char *key = evn_limits_text(w, "%s.%s.%s", name->group, name->row, column->key);
    const char *label = evn_limits_text(w, "%s, %s", name->row_label, column->label);
    *f = (evn_limits_figure){.what = {key, column->unit, column->help, EVN_REAL, column->digits, label, label},
                             .group = name->group,
                             .row = name->row,
                             .row_label = name->row_label,
                             .column = column->key,
                             .column_label = column->label,
                             .value = a->value,
                             .beyond = a->beyond,
                             .limit = bounds[a->bound].key,
                             .limit_label = bounds[a->bound].label,
                             .next = bounds[a->next].key,
                             .next_label = bounds[a->next].label,
                             .next_value = a->next_value,
                             .low = a->low,
                             .high = a->high};
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

/* False when memory is out. */
static bool set_rigs(evn_limits_work *w, const evn_rig *r)
{
    w->rig[EVN_FORWARDS] = r;
    w->rig[EVN_REVERSING] = reversed(w->to->arena, r);
    for (int way = 0; way < EVN_WAYS && w->rig[way]; way++)
        w->free_tyres[way] = with_free_tyres(w->to->arena, w->rig[way]);
    return w->rig[EVN_REVERSING] && w->free_tyres[EVN_FORWARDS] && w->free_tyres[EVN_REVERSING];
}

static void find_all(evn_limits_work *w)
{
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

void evn_limits_free(evn_limits *l)
{
    if (!l)
        return;
    evn_arena_free(l->arena);
    free(l->figure);
    free(l);
}

evn_status evn_limits_make(const evn_rig *r, const evn_driving *driving, const evn_limits_how *how, evn_limits **out,
                           evn_report *report)
{
    evn_limits *l = calloc(1, sizeof *l);
    evn_limits_work w = {.to = l, .driving = *driving, .report = report};
    if (l)
        l->arena = evn_arena_new();
    if (!l || !l->arena || !set_rigs(&w, r)) {
        if (l)
            l->short_of_memory = true;
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

size_t evn_limits_count(const evn_limits *l) { return l ? l->count : 0; }

bool evn_limits_at(const evn_limits *l, size_t index, evn_limits_figure *out)
{
    if (!l || !out || index >= l->count)
        return false;
    *out = l->figure[index];
    return true;
}

bool evn_limits_get(const evn_limits *l, const char *key, evn_limits_figure *out)
{
    for (size_t k = 0; key && out && k < evn_limits_count(l); k++)
        if (strcmp(l->figure[k].what.key, key) == 0)
            return evn_limits_at(l, k, out);
    return false;
}
