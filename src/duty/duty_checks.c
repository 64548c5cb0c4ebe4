/* Rules between the keys of a duty. */
#include "duty/duty_checks.h"
#include "cycle/cycle_checks.h"
#include "cycle/resolve.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PATH = 120 };

/* ------------------------------------------------------------------------------------------------ stops */

void evn_charging_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_charging_file *c = self;
    char path[PATH];
    if (c->soc.count == 0 && c->power_kw.count == 0)
        return;
    if (!evn_check_curve(&c->soc, "soc", 1e-3, &c->power_kw, "power_kw", seat, report))
        return;
    for (size_t k = 0; k < c->power_kw.count; k++) {
        if (c->power_kw.at[k] <= c->connector_kw)
            continue;
        snprintf(path, sizeof path, "power_kw[%zu]", k);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "%g kW of a connector that gives %g kW; expected at most that", c->power_kw.at[k], c->connector_kw);
    }
}

void evn_stop_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_stop_file *s = self;
    if (!isnan(s->payload_kg) && !isnan(s->payload_change_kg))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "payload_change_kg",
                   "payload_kg and payload_change_kg together; expected one of them");
    if ((s->takeoff_kw > 0) != (s->takeoff_s > 0))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, s->takeoff_kw > 0 ? "takeoff_kw" : "takeoff_s",
                   "%s; expected both above 0 or neither",
                   s->takeoff_kw > 0 ? "power of the take-off without takeoff_s"
                                     : "a time of the take-off without takeoff_kw");
}

/* Work that outlasts a stop of so many seconds. */
static void check_work(const evn_stop_file *s, const char *path, double seconds, double lasts_s, const evn_seat *seat,
                       evn_report *report)
{
    char at[PATH];
    if (!(seconds > lasts_s))
        return;
    snprintf(at, sizeof at, "%.80s.%s", path, isnan(s->takeoff_s) ? "duration_min" : "takeoff_s");
    evn_say_at(report, seat, EVN_FAULT_DISAGREES, at,
               "work of the power take-off of %.10g s at the stop '%.60s' of %.10g s; expected at most as long as it "
               "lasts",
               seconds, s->name, lasts_s);
}

/* Of one between legs. */
static void check_stop_between(const evn_stop_file *s, const char *path, const evn_seat *seat, evn_report *report)
{
    char at[PATH];
    if (!isnan(s->place_m)) {
        snprintf(at, sizeof at, "%.100s.place_m", path);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, at,
                   "a place of the stop '%.60s', which stands between legs; expected one only of stops within a leg",
                   s->name);
    }
    check_work(s, path, s->takeoff_s, s->duration_min * 60, seat, report);
    if (s->takeoff_s > 0 && isnan(s->duration_min)) {
        snprintf(at, sizeof at, "%.100s.takeoff_s", path);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, at,
                   "work of the power take-off at the stop '%.60s', of which nothing says how long it lasts at least; "
                   "expected duration_min",
                   s->name);
    }
    if (!isnan(s->duration_min) || (s->charging && !isnan(s->charging->until_soc)))
        return;
    evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, path,
               "nothing says how long the stop '%.60s' lasts; expected duration_min, or charging with until_soc",
               s->name);
}

/* ------------------------------------------------------------------------------------------------ legs */

/* The stop of a cycle at a place; as many as there are: none. */
static size_t stop_at(const evn_cycle_file *cycle, double place_m)
{
    size_t k = 0;
    while (cycle->stops && k < cycle->stops->place_m.count &&
           fabs(cycle->stops->place_m.at[k] - place_m) > EVN_APART_LEAST)
        k++;
    return k;
}

static bool is_stop_of(const evn_cycle_file *cycle, double place_m)
{
    return cycle->stops && stop_at(cycle, place_m) < cycle->stops->place_m.count && place_m > EVN_APART_LEAST &&
           place_m < evn_cycle_length_m(cycle) - EVN_APART_LEAST;
}

/* The nearest at which the leg may stop; NAN: its cycle has none between its ends. */
static double nearest_stop_m(const evn_cycle_file *cycle, double place_m)
{
    double nearest_m = (double)NAN;
    for (size_t k = 0; cycle->stops && k < cycle->stops->place_m.count; k++) {
        double at_m = cycle->stops->place_m.at[k];
        if (is_stop_of(cycle, at_m) && !(fabs(at_m - place_m) >= fabs(nearest_m - place_m)))
            nearest_m = at_m;
    }
    return nearest_m;
}

static void say_no_stop(const evn_leg_file *leg, double place_m, const char *path, const evn_seat *seat,
                        evn_report *report)
{
    double nearest_m = nearest_stop_m(leg->cycle, place_m);
    char nearest[60] = "; it has none";
    if (isfinite(nearest_m))
        snprintf(nearest, sizeof nearest, "; nearest is %.10g m", nearest_m);
    evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
               "the cycle of leg '%.60s' has no stop at %.10g m; expected one of its stops between its ends%s",
               leg->name, place_m, nearest);
}

/* Its work, or else that of the cycle's stop, and its own length, or else that of the cycle's stop. */
static void check_work_within(const evn_stop_file *s, const evn_stops_file *of, size_t at, const char *path,
                              const evn_seat *seat, evn_report *report)
{
    double cycle_s = at < of->takeoff_s.count ? of->takeoff_s.at[at] : 0;
    double lasts_s = isnan(s->duration_min) ? of->wait_s.at[at] : s->duration_min * 60;
    if (at < of->wait_s.count)
        check_work(s, path, isnan(s->takeoff_s) ? cycle_s : s->takeoff_s, lasts_s, seat, report);
}

static void check_stop_within(const evn_leg_file *leg, size_t k, const evn_seat *seat, evn_report *report)
{
    const evn_stop_file *s = leg->stops.at[k].item, *before = k > 0 ? leg->stops.at[k - 1].item : NULL;
    char path[PATH];
    if (isnan(s->place_m)) {
        snprintf(path, sizeof path, "stops[%zu].stop", k);
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, path,
                   "no place_m of the stop '%.60s' within a leg; expected the place of a stop of its cycle", s->name);
        return;
    }
    snprintf(path, sizeof path, "stops[%zu].stop.place_m", k);
    if (!is_stop_of(leg->cycle, s->place_m)) {
        say_no_stop(leg, s->place_m, path, seat, report);
        return;
    }
    bool back = leg->direction == EVN_DIRECTION_BACK;
    if (before && !isnan(before->place_m) && (back ? s->place_m >= before->place_m : s->place_m <= before->place_m))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "the stop at %.10g m behind that at %.10g m; expected stops as they come on the way %s", s->place_m,
                   before->place_m, back ? "back, places falling" : "out, places rising");
    snprintf(path, sizeof path, "stops[%zu].stop", k);
    check_work_within(s, leg->cycle->stops, stop_at(leg->cycle, s->place_m), path, seat, report);
}

void evn_leg_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_leg_file *leg = self;
    bool trace = evn_speed_view_of(leg->cycle->speed).form == EVN_FORM_TRACE;
    if (trace && leg->direction == EVN_DIRECTION_BACK)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "direction",
                   "leg '%.60s' is driven back, and its cycle is a trace over time, whose speeds belong to its clock; "
                   "expected out, or a cycle of limits over place",
                   leg->name);
    if (trace && leg->stops.count > 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "stops",
                   "stops within leg '%.60s', whose cycle is a trace over time; expected a cycle of limits over place",
                   leg->name);
    for (size_t k = 0; !trace && k < leg->stops.count; k++)
        check_stop_within(leg, k, seat, report);
}

/* ------------------------------------------------------------------------------------------------ rounds, the duty */

static void check_stops_between(const evn_steps *steps, const char *key, const evn_seat *seat, evn_report *report)
{
    char path[PATH];
    for (size_t k = 0; k < steps->count; k++) {
        snprintf(path, sizeof path, "%s[%zu].stop", key, k);
        if (steps->at[k].kind == EVN_DAY_STOP)
            check_stop_between(steps->at[k].item, path, seat, report);
    }
}

void evn_rounds_check(const void *self, const evn_seat *seat, evn_report *report)
{
    check_stops_between(&((const evn_rounds_file *)self)->each, "each", seat, report);
}

void evn_ground_demands_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_ground_demands_file *g = self;
    bool track = g->unevenness != EVN_UNEVENNESS_AS_ROUTE || !isnan(g->unevenness_m3);
    bool asked = !isnan(g->speed_km_h) || !isnan(g->empty_speed_km_h);
    if (g->unevenness != EVN_UNEVENNESS_AS_ROUTE && !isnan(g->unevenness_m3))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "unevenness_m3",
                   "unevenness and unevenness_m3 together; expected one of them");
    if (asked && !track)
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, isnan(g->speed_km_h) ? "empty_speed_km_h" : "speed_km_h",
                   "a speed on a track of which nothing says how uneven it is; expected unevenness, a class of ISO "
                   "8608, or unevenness_m3");
    if (!isnan(g->shaken_m_s2) && (!track || isnan(g->speed_km_h)))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "shaken_m_s2",
                   "shaken_m_s2 is given, and no %s; expected a track and the speed on it",
                   track ? "speed_km_h" : "unevenness");
    if ((g->rut_mm > 0 || g->crown_mm > 0) && isnan(g->clearance_mm))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, g->rut_mm > 0 ? "rut_mm" : "crown_mm",
                   "ruts or a crown, and no clearance_mm; expected the height over that ground, 0 or more");
}

void evn_duty_demands_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_duty_demands_file *d = self;
    bool second = d->abilities && !isnan(d->abilities->start_grade_percent) && !isnan(d->steepest_start_percent) &&
                  d->abilities->start_surface == EVN_SURFACE_AS_CYCLE;
    if (second)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "abilities.start_grade_percent",
                   "a start on the ground as the truck states beside steepest_start_percent, which is the same; "
                   "expected one of them, or start_surface");
}

void evn_season_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_season_file *s = self;
    if (!isnan(s->load_case->payload_kg))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "load_case.payload_kg",
                   "a payload of the season; expected payloads at legs and stops of the day, which are those of all "
                   "seasons");
}

static size_t phases_of(const evn_step *step)
{
    if (step->kind == EVN_DAY_STOP)
        return 1;
    return 1 + 2 * ((const evn_leg_file *)step->item)->stops.count;
}

size_t evn_duty_phase_count(const evn_duty_file *d)
{
    size_t count = 0;
    for (size_t k = 0; k < d->day.count; k++) {
        const evn_step *step = &d->day.at[k];
        const evn_rounds_file *rounds = step->kind == EVN_DAY_ROUNDS ? step->item : NULL;
        size_t each = rounds ? 0 : phases_of(step);
        for (size_t i = 0; rounds && i < rounds->each.count; i++)
            each += phases_of(&rounds->each.at[i]);
        count += rounds ? (size_t)rounds->times * each : each;
    }
    return count;
}

static bool has_leg(const evn_duty_file *d)
{
    for (size_t k = 0; k < d->day.count; k++) {
        const evn_rounds_file *rounds = d->day.at[k].kind == EVN_DAY_ROUNDS ? d->day.at[k].item : NULL;
        if (d->day.at[k].kind == EVN_DAY_LEG)
            return true;
        for (size_t i = 0; rounds && i < rounds->each.count; i++)
            if (rounds->each.at[i].kind == EVN_DAY_LEG)
                return true;
    }
    return false;
}

/* Paths to what it states are looked up by it. */
static void check_season_name(const char *name, const evn_seat *seat, evn_report *report)
{
    enum { KEY_MOST = 1024 }; /* of YAML; a longer one is told at `seasons` */
    char path[KEY_MOST + 16];
    if (strlen(name) <= EVN_SEASON_NAME_MOST)
        return;
    snprintf(path, sizeof path, "seasons.%s", strlen(name) <= KEY_MOST ? name : "");
    evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, path, "a season's name of %zu bytes; expected at most %d",
               strlen(name), EVN_SEASON_NAME_MOST);
}

static void check_seasons(const evn_duty_file *d, const evn_seat *seat, evn_report *report)
{
    const evn_season_file *season = d->seasons.item;
    double sum = 0;
    for (size_t k = 0; k < d->seasons.count; k++) {
        sum += season[k].share;
        check_season_name(d->seasons.name[k], seat, report);
    }
    if (d->seasons.count > 0 && fabs(sum - 1) > 1e-3)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "seasons", "shares of the seasons sum to %.6g; expected 1", sum);
}

/* What is carried as far as the duty itself tells; NAN: as the truck brings it. Each stop is told of once. */
typedef struct carried {
    double payload_kg;
    bool said;
    const evn_seat *seat;
    evn_report *report;
} carried;

static void carry_over_stop(carried *c, const evn_stop_file *s, const char *path)
{
    char at[PATH];
    double then_kg = isnan(s->payload_kg) ? c->payload_kg : s->payload_kg;
    then_kg += isnan(s->payload_change_kg) ? 0 : s->payload_change_kg;
    if (then_kg < 0 && !c->said) {
        snprintf(at, sizeof at, "%.90s.payload_change_kg", path);
        evn_say_at(c->report, c->seat, EVN_FAULT_DISAGREES, at,
                   "the stop '%.60s' takes %g kg off a truck that carries %g kg; expected no more than it carries",
                   s->name, -s->payload_change_kg, c->payload_kg);
        c->said = true;
    }
    c->payload_kg = then_kg;
}

static void carry_over_step(carried *c, const evn_step *step, const char *path)
{
    char at[PATH];
    const evn_leg_file *leg = step->kind == EVN_DAY_LEG ? step->item : NULL;
    if (!leg) {
        snprintf(at, sizeof at, "%.100s.stop", path);
        carry_over_stop(c, step->item, at);
        return;
    }
    c->payload_kg = isnan(leg->payload_kg) ? c->payload_kg : leg->payload_kg;
    for (size_t k = 0; k < leg->stops.count; k++) {
        snprintf(at, sizeof at, "%.70s.leg.stops[%zu].stop", path, k);
        carry_over_stop(c, leg->stops.at[k].item, at);
    }
}

/* More is delivered than is carried: the first stop that does. Rounds are gone through as often as they are driven. */
static void check_payloads(const evn_duty_file *d, const evn_seat *seat, evn_report *report)
{
    carried c = {(double)NAN, false, seat, report};
    char path[PATH];
    for (size_t k = 0; k < d->day.count; k++) {
        const evn_rounds_file *rounds = d->day.at[k].kind == EVN_DAY_ROUNDS ? d->day.at[k].item : NULL;
        snprintf(path, sizeof path, "day[%zu]", k);
        if (!rounds)
            carry_over_step(&c, &d->day.at[k], path);
        for (double round = 0; rounds && !c.said && round < rounds->times; round++)
            for (size_t i = 0; i < rounds->each.count; i++) {
                snprintf(path, sizeof path, "day[%zu].rounds.each[%zu]", k, i);
                carry_over_step(&c, &rounds->each.at[i], path);
            }
    }
}

void evn_duty_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_duty_file *d = self;
    size_t phases = evn_duty_phase_count(d);
    if (!d->invented && (!d->source || d->source[0] == '\0'))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "source",
                   "nothing says where the duty comes from; expected source, or invented: true");
    if (!has_leg(d))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "day", "a day without a leg; expected at least one");
    if (phases > EVN_PHASES_MOST)
        evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, "day", "a day of %zu legs and stops; expected at most %d", phases,
                   EVN_PHASES_MOST);
    check_stops_between(&d->day, "day", seat, report);
    check_seasons(d, seat, report);
    check_payloads(d, seat, report);
}
