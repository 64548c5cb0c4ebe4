/* How far into a day the truck carries the payload that is asked: until a leg or stop states one. */
#include "duty/duty.h"
#include <math.h>
#include <stdio.h>

enum { PATH = 100 };

typedef struct walk {
    bool carried; /* a leg has begun with what is asked */
    bool stated;
    const char *name; /* of what states another */
    bool stop;
    char path[PATH]; /* to it */
    double kg;       /* that it states */
} walk;

static void state(walk *w, double kg, const char *name, bool stop, const char *path)
{
    if (w->stated || isnan(kg))
        return;
    w->stated = true;
    w->name = name;
    w->stop = stop;
    w->kg = kg;
    snprintf(w->path, sizeof w->path, "%s", path);
}

static void walk_step(walk *w, const evn_step *step, const char *path)
{
    if (step->kind == EVN_DAY_STOP) {
        const evn_stop_file *s = step->item;
        state(w, s->payload_kg, s->name, true, path);
        return;
    }
    const evn_leg_file *leg = step->item;
    state(w, leg->payload_kg, leg->name, false, path);
    w->carried = w->carried || !w->stated;
    for (size_t k = 0; k < leg->stops.count; k++) {
        const evn_stop_file *s = leg->stops.at[k].item;
        state(w, s->payload_kg, s->name, true, path);
    }
}

/* What is stated within rounds is so from the first of them on. */
static walk walk_day(const evn_duty_file *d)
{
    walk w = {0};
    char path[PATH];
    for (size_t k = 0; k < d->day.count; k++) {
        const evn_step *step = &d->day.at[k];
        const evn_rounds_file *rounds = step->kind == EVN_DAY_ROUNDS ? step->item : NULL;
        snprintf(path, sizeof path, "day[%zu].%s", k, step->kind == EVN_DAY_LEG ? "leg" : "stop");
        if (!rounds)
            walk_step(&w, step, path);
        for (size_t i = 0; rounds && i < rounds->each.count; i++) {
            const evn_step *each = &rounds->each.at[i];
            snprintf(path, sizeof path, "day[%zu].rounds.each[%zu].%s", k, i,
                     each->kind == EVN_DAY_LEG ? "leg" : "stop");
            walk_step(&w, each, path);
        }
    }
    return w;
}

bool evn_duty_file_payload_until(const evn_duty_file *d, const char **name, bool *stop)
{
    walk w = walk_day(d);
    *name = w.name;
    *stop = w.stop;
    return w.stated;
}

bool evn_duty_takes_payload(const evn_duty_file *d, const evn_load_case *asked, evn_report *report)
{
    walk w = walk_day(d);
    if (isnan(asked->payload_kg) || w.carried)
        return true;
    evn_duty_say(
        d, w.path, "payload_kg", EVN_FAULT_DISAGREES, report,
        "a payload of %g kg is asked for, and no leg of the day carries it: %s '%.60s' states %g kg before any "
        "is driven; expected the day's own, set there: --set 'duty.%.90s.payload_kg=%g'",
        asked->payload_kg, w.stop ? "stop" : "leg", w.name, w.kg, w.path, asked->payload_kg);
    return false;
}
