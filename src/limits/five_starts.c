/*
 * Five starts in five minutes: the steepest grade on which the truck moves off from rest five times and each time 10 m
 * up at 5 km/h at most, each time beginning a minute after the last. Asked of a legal hill start on at least 12 %,
 * loaded to the greatest mass of the combination (Reg. (EU) 1230/2012 Annex I Part C, seen quoted in a public
 * engineering note; distance and speed of a start are our own, common practice, no source).
 *
 * It is driven, so that what the motors warm up by is that of any run, and what they cool by in the waits. On no
 * steeper grade than one start can it start five times: mostly that grade is driven once, and holds.
 */
#include "limits/five_starts.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

enum { STARTS = 5 };
static const double START_M = 10, SPEED_M_S = 5 * EVN_M_S_PER_KM_H, EVERY_S = 60, ALL_WITHIN_S = 300;

/* On the grade of one start it moves by 1 mm/s2, and 10 m would take two minutes: so much less leaves enough. */
static const double EASIER_PERCENT = 0.1;
static const double FOUND_TO_PERCENT = 0.1;

typedef struct five {
    evn_limits_work *work;
    const evn_rig *rig;
    const evn_scene *scene;
    evn_bound by; /* that held the last try that failed */
} five;

/* ------------------------------------------------------------------------------------------------ one grade */

static evn_made_run drive(const five *f, double percent, size_t starts, double wait_s)
{
    evn_driving driving = f->work->driving;
    evn_made_road road = evn_made_road_of(f->scene, SPEED_M_S, (double)starts * START_M, percent / 100);
    driving.driver = EVN_DRIVER_EXACT;
    driving.endurance = EVN_ENDURANCE_OFF;
    road.from_rest = true;
    road.stops = starts - 1;
    road.wait_s = wait_s;
    return evn_made_run_of(f->work, f->rig, &driving, &road, NULL);
}

static evn_bound bound_named(const char *key)
{
    const char *limit, *label;
    for (size_t k = 0; evn_limits_bound_at(k, &limit, &label); k++)
        if (strcmp(limit, key) == 0)
            return (evn_bound)(k + 1);
    return EVN_BOUND_NONE;
}

/* Heat, where it held the truck at all: the first starts were held by what holds one; else what held it longest. */
static evn_bound held_by(const evn_made_run *run)
{
    evn_limitation l;
    evn_bound longest = EVN_BOUND_NONE;
    if (evn_made_ended_by(run) != EVN_BOUND_NONE)
        return evn_made_ended_by(run);
    for (size_t k = 0; run->results && evn_results_limitation_at(run->results, k, &l); k++) {
        evn_bound each = bound_named(l.limit);
        if (each == EVN_BOUND_WINDING || each == EVN_BOUND_INVERTER)
            return each;
        longest = longest ? longest : each;
    }
    return longest;
}

/* Driven for its time, the first start cold: how long each then has to wait. Above a minute: too long. */
static double one_start_s(five *f, double percent)
{
    evn_made_run run = drive(f, percent, 1, 0);
    double s = run.finished ? evn_made_result(&run, "duration_s") : (double)INFINITY;
    f->by = s <= EVERY_S ? f->by : held_by(&run);
    evn_made_run_end(&run);
    return s;
}

static bool starts_five_times(five *f, double percent)
{
    double one_s = one_start_s(f, percent);
    if (!(one_s <= EVERY_S))
        return false;
    evn_made_run run = drive(f, percent, STARTS, EVERY_S - one_s);
    bool does = run.finished && evn_made_result(&run, "duration_s") <= ALL_WITHIN_S;
    f->by = does ? f->by : held_by(&run);
    evn_made_run_end(&run);
    return does;
}

/* ------------------------------------------------------------------------------------------------ the grade */

/* What derating takes is mostly little: looked for from the grade of one start down, further each time. */
static double held_below(five *f, double *lost_percent)
{
    double step = EASIER_PERCENT;
    while (*lost_percent > 0 && !evn_runs_stopped(f->work->runs)) {
        double easier = fmax(*lost_percent - step, 0);
        if (starts_five_times(f, easier))
            return easier;
        *lost_percent = easier;
        step *= 2;
    }
    return (double)NAN;
}

static double steepest_between(five *f, double held_percent, double lost_percent)
{
    while (lost_percent - held_percent > 1.01 * FOUND_TO_PERCENT && !evn_runs_stopped(f->work->runs)) {
        double middle = 0.5 * (held_percent + lost_percent);
        if (starts_five_times(f, middle))
            held_percent = middle;
        else
            lost_percent = middle;
    }
    return held_percent;
}

/* Where one start binds: by the same, and what comes next of five starts is not known. */
static evn_answer as_once(const evn_answer *once, double percent)
{
    evn_answer a = evn_answer_of(percent);
    a.beyond = once->beyond;
    a.bound = once->bound;
    a.next = once->next;
    return a;
}

evn_answer evn_five_starts(evn_limits_work *w, evn_way way, const evn_scene *scene, const evn_answer *once)
{
    double most = once->value - EASIER_PERCENT;
    five f = {w, w->rig[way], scene, EVN_BOUND_NONE};
    if (!(most >= 0))
        return as_once(once, (double)NAN);
    if (starts_five_times(&f, most))
        return as_once(once, most);
    double lost = most, held = held_below(&f, &lost);
    evn_answer a = evn_answer_of(steepest_between(&f, held, lost));
    a.bound = f.by;
    a.next = once->bound;
    a.next_value = most;
    return a;
}
