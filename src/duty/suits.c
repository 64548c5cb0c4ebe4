/* Whether a truck can do what a duty asks of it at its stops; what it cannot is said where the duty asks it. */
#include "cycle/resolve.h"
#include "duty/duty.h"
#include "trip/takeoff_work.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PATH = 160 };

/* ------------------------------------------------------------------------------------------------ places */

typedef struct seat {
    evn_seat is; /* first: what it is handed over as */
    const evn_duty_places *places;
    evn_report *report;
} seat;

const evn_value *evn_duty_value_at(const evn_duty_places *p, const char *path, size_t length)
{
    size_t less = p->less ? strlen(p->less) : 0, more = p->more ? strlen(p->more) : 0;
    if (length < less || strncmp(path, p->less ? p->less : "", less) != 0)
        return NULL;
    for (size_t k = 0; k < p->count; k++) {
        const char *row = p->at[k].path;
        if (strncmp(row, p->more ? p->more : "", more) == 0 && strlen(row) == more + length - less &&
            strncmp(row + more, path + less, length - less) == 0)
            return &p->at[k];
    }
    return NULL;
}

/* So much of a path as leads to what holds its last key. */
static size_t without_last(const char *path, size_t length)
{
    while (length > 0 && path[length - 1] != '.')
        length--;
    return length > 0 ? length - 1 : 0;
}

/* That of the value, or of the nearest that holds it and is written somewhere. */
static evn_spot spot(const evn_seat *self, const char *path, evn_spot *used_from)
{
    const seat *s = (const seat *)self;
    const evn_value *v = NULL;
    for (size_t length = strlen(path); length > 0; length = without_last(path, length)) {
        v = evn_duty_value_at(s->places, path, length);
        if (v && v->file)
            break;
        v = NULL;
    }
    *used_from = evn_nowhere;
    if (!v)
        return evn_nowhere;
    if (v->used_from_file)
        *used_from = (evn_spot){evn_report_file(s->report, v->used_from_file), v->used_from_line, v->used_from_column};
    return (evn_spot){evn_report_file(s->report, v->file), v->line, v->column};
}

void evn_duty_say(const evn_duty_file *d, const char *path, const char *key, evn_fault fault, evn_report *report,
                  const char *format, ...)
{
    char at[PATH];
    const seat s = {{spot}, &d->places, report};
    evn_spot used_from;
    snprintf(at, sizeof at, "%.100s%s%.50s", path, path[0] ? "." : "", key);
    evn_spot is = evn_seat_of(&s.is, at, &used_from);
    va_list values;
    va_start(values, format);
    evn_vsay(report, fault, is, used_from, format, values);
    va_end(values);
}

/* ------------------------------------------------------------------------------------------------ stops */

/* A stop that lasts until a charge is reached ends only within the usable window. */
static bool charging_ends(const evn_duty_file *d, const evn_phase_of *of, const evn_standing *s, const evn_rig *rig,
                          evn_report *report)
{
    double most = rig->pack.usable_to;
    if (!s->charges || isfinite(s->duration_s) || !(s->until_soc > most + 1e-9))
        return true;
    evn_duty_say(
        d, of->path, "charging.until_soc", EVN_FAULT_DISAGREES, report,
        "the stop '%.60s' lasts until a charge of %g (until_soc), and the battery of %.200s is charged to %g at most, "
        "the end of its usable window; expected until_soc up to there, or duration_min",
        of->name, s->until_soc, rig->truck_name, most);
    return false;
}

static bool stop_suits(const evn_duty_file *d, const evn_phase_of *of, const evn_standing *s, const evn_rig *rig,
                       evn_report *report)
{
    char why[EVN_TAKEOFF_WHY_BYTES];
    bool ends = charging_ends(d, of, s, rig, report);
    if (!evn_takeoff_refuses(rig, (double)NAN, evn_takeoff_ask_of(rig, s), why, sizeof why))
        return ends;
    evn_duty_say(d, of->path, "takeoff_kw", EVN_FAULT_DISAGREES, report, "stop '%.60s': %s", of->name, why);
    return false;
}

/* ------------------------------------------------------------------------------------------------ cycles */

/* Whether the leg parts at this place: its own stop there says what is asked. */
static bool parts_at(const evn_leg_file *leg, double place_m)
{
    for (size_t k = 0; k < leg->stops.count; k++)
        if (fabs(((const evn_stop_file *)leg->stops.at[k].item)->place_m - place_m) <= EVN_APART_LEAST)
            return true;
    return false;
}

/* The first that it cannot is said. */
static bool leg_suits(const evn_duty_file *d, const evn_phase_of *of, const evn_rig *rig, evn_report *report)
{
    const evn_stops_file *s = of->leg->cycle->stops;
    char why[EVN_TAKEOFF_WHY_BYTES];
    for (size_t k = 0; s && k < s->takeoff_kw.count; k++) {
        evn_takeoff_ask ask = {s->takeoff_kw.at[k] * 1e3, s->takeoff_s.at[k]};
        if (parts_at(of->leg, s->place_m.at[k]) || !evn_takeoff_refuses(rig, s->place_m.at[k], ask, why, sizeof why))
            continue;
        evn_duty_say(d, of->path, "cycle.stops.takeoff_kw", EVN_FAULT_DISAGREES, report, "leg '%.60s': %s", of->name,
                     why);
        return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ the day */

/* Of a round that comes again, or a part of a leg of which the first was asked. */
static bool came_before(const evn_day_plan *p, size_t phase)
{
    for (size_t k = 0; k < phase; k++)
        if (p->of[k].leg == p->of[phase].leg && p->of[k].stop == p->of[phase].stop)
            return true;
    return false;
}

bool evn_duty_suits(const evn_duty_file *d, const evn_day_plan *p, const evn_rig *rig, evn_report *report)
{
    bool all = true;
    for (size_t k = 0; k < p->count; k++) {
        const evn_phase_of *of = &p->of[k];
        if (came_before(p, k))
            continue;
        all = (of->leg ? leg_suits(d, of, rig, report) : stop_suits(d, of, &p->phase[k].standing, rig, report)) && all;
    }
    return all;
}
