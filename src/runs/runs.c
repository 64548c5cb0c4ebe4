/* Lists of runs: shared among threads, each result kept at its place, so that nothing depends on who drove it when. */
#define _POSIX_C_SOURCE 200809L
#include "runs/runs.h"
#include "core/pool.h"
#include "trip/takeoff_work.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ progress, stop */

/* With the lock held. */
static void tell(evn_runs *all)
{
    double done = (double)all->finished + all->under_way_share;
    double share = all->total > 0 ? fmin(done / (double)all->total, 1) : 1;
    all->told_share = fmax(all->told_share, share);
    if (!all->stopped && all->how.go_on)
        all->stopped = !all->how.go_on(all->how.self, all->told_share);
}

void evn_runs_begin(evn_runs *all, const evn_runs_how *how)
{
    *all = (evn_runs){.how = *how, .lock = PTHREAD_MUTEX_INITIALIZER};
}

void evn_runs_end(evn_runs *all) { pthread_mutex_destroy(&all->lock); }

void evn_runs_expect(evn_runs *all, size_t to_come)
{
    pthread_mutex_lock(&all->lock);
    all->total = all->finished + to_come;
    tell(all);
    pthread_mutex_unlock(&all->lock);
}

bool evn_runs_stopped(evn_runs *all)
{
    pthread_mutex_lock(&all->lock);
    bool stopped = all->stopped;
    pthread_mutex_unlock(&all->lock);
    return stopped;
}

typedef struct flight { /* one run under way */
    evn_runs *all;
    const evn_run *run;
    double share; /* of it that is counted as done */
    size_t phase; /* under way; all before it are done */
} flight;

/* False: it must not begin. */
static bool take_off(flight *f)
{
    evn_runs *all = f->all;
    pthread_mutex_lock(&all->lock);
    bool begins = !all->stopped;
    all->under_way += begins;
    pthread_mutex_unlock(&all->lock);
    return begins;
}

static bool go_on(void *self, double done_share)
{
    flight *f = self;
    evn_runs *all = f->all;
    double phases = f->run->phases > 0 ? (double)f->run->phases : 1;
    double more = fmax(((double)f->phase + done_share) / phases - f->share, 0);
    f->share += more;
    pthread_mutex_lock(&all->lock);
    all->under_way_share += more;
    tell(all);
    bool on = !all->stopped;
    pthread_mutex_unlock(&all->lock);
    return on && !(f->run->enough && f->run->enough(f->run->enough_self));
}

/* Where none is under way nothing is left of their shares, not even what rounding leaves. */
static void land(flight *f)
{
    evn_runs *all = f->all;
    pthread_mutex_lock(&all->lock);
    all->finished++;
    all->under_way--;
    all->under_way_share = all->under_way > 0 ? all->under_way_share - f->share : 0;
    tell(all);
    pthread_mutex_unlock(&all->lock);
}

/* ------------------------------------------------------------------------------------------------ one run */

typedef struct list {
    evn_runs *all;
    evn_run *run;
} list;

static void prepare(void *self, size_t index)
{
    evn_run *r = &((list *)self)->run[index];
    if (!r->rig && !r->made)
        evn_rig_make(r->truck, &r->load_case, &r->made, r->report);
}

static void drive_over(evn_run *r, const evn_rig *rig, const evn_watch *watch)
{
    if (!evn_driving_fits(&r->driving, r->report)) /* before a course is made with it */
        return;
    evn_course *course = evn_drive_course_of(rig, r->cycle, &r->driving, r->ceiling, r->report);
    if (course)
        evn_drive_course(rig, course, &r->driving, watch, evn_driving_solver(&r->driving), &r->results, r->report);
    evn_course_free(course);
}

/* ------------------------------------------------------------------------------------------------ phases */

/* Payloads that come again have one rig. NULL: said. */
static const evn_rig *rig_of_phase(evn_run *r, size_t index)
{
    evn_phase *s = &r->phase[index];
    evn_load_case with = r->load_case;
    if (s->rig)
        return s->rig;
    with.payload_kg = s->payload_kg;
    for (size_t k = 0; k < r->phases; k++)
        if (r->phase[k].made && r->phase[k].payload_kg == s->payload_kg)
            return r->phase[k].made;
    evn_rig_make(r->truck, &with, &s->made, s->report);
    return s->made;
}

static evn_course *course_of_phase(const evn_run *r, const evn_phase *s, const evn_carried *carried)
{
    if (!s->cycle)
        return evn_course_of_stop(evn_carried_place_m(carried), s->report);
    evn_course *c = evn_drive_course_along(s->rig, s->cycle, s->reversed, &r->driving, NULL, s->report);
    /* the ceiling is of the part: beyond its ends it knows nothing */
    if (!c ||
        (evn_course_take_part(c, &s->part, s->report) && (!s->ceiling || evn_course_lower(c, s->ceiling, s->report))))
        return c;
    evn_course_free(c);
    return NULL;
}

static void drive_phase(evn_run *r, size_t index, evn_carried *carried, flight *f)
{
    evn_phase *s = &r->phase[index];
    evn_watch watch = {s->sampler, s->samplers, f, go_on, NULL};
    evn_phase_ask ask = {carried, s->cycle ? NULL : &s->standing};
    s->rig = rig_of_phase(r, index);
    s->status = EVN_RUN_FAILED;
    if (!s->rig)
        return;
    s->begin_soc = evn_carried_soc(carried, s->rig);
    evn_course *course = course_of_phase(r, s, carried);
    if (course)
        evn_drive_phase(s->rig, course, &r->driving, &watch, evn_driving_solver(&r->driving), &ask, &s->results,
                        s->report);
    evn_course_free(course);
    s->status = s->results ? evn_results_status(s->results) : EVN_RUN_FAILED;
}

static bool has_finished(const evn_phase *s) { return s->results && strcmp(s->status, "finished") == 0; }

/* Before the day begins, that nothing is driven in vain: whether its stops can be had. False: said there. */
static bool stops_fit(evn_run *r)
{
    for (size_t k = 0; k < r->phases; k++) {
        evn_phase *s = &r->phase[k];
        if (s->cycle || (s->standing.takeoff.power_w <= 0 && !s->standing.takeoff_by_truck))
            continue;
        const evn_rig *rig = rig_of_phase(r, k);
        if (!rig || !evn_takeoff_standing_fits(rig, &s->standing, s->report))
            return false;
    }
    return true;
}

static void drive_phases(evn_run *r, flight *f)
{
    evn_carried *carried = evn_carried_new();
    bool on = carried && evn_driving_fits(&r->driving, r->report);
    r->status = EVN_RUN_FAILED;
    if (!carried)
        evn_say(r->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out setting up the day");
    on = on && stops_fit(r);
    if (on && r->begins)
        evn_carried_copy(carried, r->begins);
    for (f->phase = 0; on && f->phase < r->phases; f->phase++) {
        drive_phase(r, f->phase, carried, f);
        r->status = r->phase[f->phase].status;
        on = has_finished(&r->phase[f->phase]);
    }
    if (on && r->leaves)
        evn_carried_copy(r->leaves, carried);
    evn_carried_free(carried);
}

/* ------------------------------------------------------------------------------------------------ driving */

static void drive(void *self, size_t index)
{
    list *l = self;
    evn_run *r = &l->run[index];
    flight f = {l->all, r, 0, 0};
    evn_watch watch = {r->sampler, r->samplers, &f, go_on, r->collective};
    r->status = "interrupted";
    if (!take_off(&f))
        return;
    if (r->phases > 0) {
        drive_phases(r, &f);
    } else {
        prepare(l, index);
        const evn_rig *rig = r->rig ? r->rig : r->made;
        if (rig)
            drive_over(r, rig, &watch);
        r->status = r->results ? evn_results_status(r->results) : EVN_RUN_FAILED;
    }
    land(&f);
}

/* ------------------------------------------------------------------------------------------------ lists */

void evn_runs_prepare(evn_runs *all, evn_run *run, size_t count)
{
    list l = {all, run};
    evn_pool_run(all->how.threads, count, prepare, &l);
}

void evn_runs_drive(evn_runs *all, evn_run *run, size_t count)
{
    list l = {all, run};
    pthread_mutex_lock(&all->lock);
    if (all->total < all->finished + count)
        all->total = all->finished + count;
    pthread_mutex_unlock(&all->lock);
    evn_pool_run(all->how.threads, count, drive, &l);
}

void evn_run_forget(evn_run *r)
{
    evn_results_free(r->results);
    evn_rig_free(r->made);
    r->results = NULL;
    r->made = NULL;
}
