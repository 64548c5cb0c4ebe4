/* Roads made for one question, and the run over one. */
#include "limits/made_road.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

evn_made_road evn_made_road_of(const evn_scene *ground, double speed_m_s, double length_m, double tangent)
{
    return (evn_made_road){.speed_m_s = speed_m_s,
                           .length_m = length_m,
                           .tangent = tangent,
                           .rolling_factor = ground->rolling_factor,
                           .adhesion = ground->adhesion};
}

/* The cycle with all that it leads to. */
typedef struct made {
    double time_s[2], speed_km_h[2], zero, limit_km_h, place_m[2], grade_percent[2], stop_m[EVN_MADE_STOPS_MAX],
        wait_s[EVN_MADE_STOPS_MAX], factor, adhesion;
    evn_speed_file speed;
    evn_road_file road;
    evn_stops_file stops;
    evn_surface_file surface;
    evn_cycle_file cycle;
} made;

static void set_speed(made *m, const evn_made_road *of)
{
    double km_h = of->speed_m_s / EVN_M_S_PER_KM_H;
    m->limit_km_h = m->speed_km_h[0] = m->speed_km_h[1] = km_h;
    m->time_s[1] = of->length_m / of->speed_m_s;
    if (of->from_rest) {
        m->speed.place_m = (evn_list){&m->zero, 1};
        m->speed.limit_km_h = (evn_list){&m->limit_km_h, 1};
        m->cycle.length_m = of->length_m;
    } else {
        m->speed.time_s = (evn_list){m->time_s, 2};
        m->speed.speed_km_h = (evn_list){m->speed_km_h, 2};
        m->cycle.length_m = (double)NAN;
    }
}

static void set_stops(made *m, const evn_made_road *of)
{
    for (size_t k = 0; k < of->stops; k++) {
        m->stop_m[k] = of->length_m * (double)(k + 1) / (double)(of->stops + 1);
        m->wait_s[k] = of->wait_s;
    }
    m->stops = (evn_stops_file){{m->stop_m, of->stops}, {m->wait_s, of->stops}};
    if (of->stops > 0)
        m->cycle.stops = &m->stops;
}

static void set_road(made *m, const evn_made_road *of)
{
    m->place_m[1] = of->length_m;
    m->grade_percent[0] = m->grade_percent[1] = 100 * of->tangent;
    m->road = (evn_road_file){.place_m = {m->place_m, 2}, .grade_percent = {m->grade_percent, 2}, .level_beyond = true};
    m->factor = of->rolling_factor;
    m->adhesion = of->adhesion;
    m->surface = (evn_surface_file){.place_m = {&m->zero, 1}, .rolling_factor = {&m->factor, 1}};
    if (of->adhesion > 0)
        m->surface.adhesion = (evn_list){&m->adhesion, 1};
    m->cycle.road = &m->road;
    m->cycle.surface = &m->surface;
}

/* Above any speed: it cuts nothing, and where there is one nobody judges how a trace is kept, with steps of half a
 * second (trip/drive.c). */
static evn_ceiling_point sky_point = {0, (double)INFINITY};
static const evn_ceiling sky = {&sky_point, 1, 1};

evn_made_run evn_made_run_of(evn_limits_work *w, const evn_rig *rig, const evn_driving *driving,
                             const evn_made_road *of, const evn_sampler *sampler)
{
    return evn_made_run_until(w, rig, driving, of, sampler, NULL);
}

evn_made_run evn_made_run_until(evn_limits_work *w, const evn_rig *rig, const evn_driving *driving,
                                const evn_made_road *of, const evn_sampler *sampler, bool (*enough)(void *self))
{
    made m = {.cycle = {.name = "made for one question", .invented = true, .speed = &m.speed}};
    set_speed(&m, of);
    set_stops(&m, of);
    set_road(&m, of);
    evn_run run = {.rig = rig,
                   .cycle = &m.cycle,
                   .driving = *driving,
                   .ceiling = &sky,
                   .sampler = sampler,
                   .samplers = sampler ? 1 : 0,
                   .enough = enough,
                   .enough_self = sampler ? sampler->self : NULL,
                   .report = evn_report_new()};
    run.driving.surface = EVN_SURFACE_AS_CYCLE; /* the road has it */
    if (!run.report) {
        evn_say(w->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out finding limits");
        return (evn_made_run){.status = EVN_RUN_FAILED};
    }
    evn_runs_drive(w->runs, &run, 1);
    evn_made_run came = {run.results, run.status, strcmp(run.status, "finished") == 0};
    run.results = NULL;
    evn_run_forget(&run);
    evn_report_free(run.report);
    return came;
}

void evn_made_run_end(evn_made_run *run)
{
    evn_results_free(run->results);
    *run = (evn_made_run){.status = EVN_RUN_FAILED};
}

evn_bound evn_made_ended_by(const evn_made_run *run)
{
    if (strcmp(run->status, "battery_empty") == 0)
        return EVN_BOUND_CHARGE;
    return strcmp(run->status, "battery_too_weak") == 0 ? EVN_BOUND_PACK : EVN_BOUND_NONE;
}

double evn_made_result(const evn_made_run *run, const char *key)
{
    double value = (double)NAN;
    return run->results && evn_results_get(run->results, key, &value) ? value : (double)NAN;
}
