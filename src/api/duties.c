/* Duties behind evener/duty.h. */
#include "api/objects.h"
#include "core/field_hash.h"
#include "core/field_number.h"
#include "duty/day.h"
#include "duty/range.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include <math.h>
#include <stdlib.h>

/* What a day of one leg is made of. */
typedef struct leg_alone {
    evn_duty_file file;
    evn_step step;
    evn_leg_file leg;
    evn_duty_demands_file demands;
} leg_alone;

evn_status evn_duty_load(const char *path, evn_duty **out, evn_report *report)
{
    return evn_duty_load_with(path, &(evn_load){0}, out, report);
}

evn_status evn_duty_load_with(const char *path, const evn_load *how, evn_duty **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_duty_file *file = evn_load_object(path, &evn_duty_object, how, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    evn_duty *duty = evn_arena_take(arena, sizeof *duty);
    evn_duty_file *placed = evn_arena_take(arena, sizeof *placed);
    if (placed)
        *placed = *file;
    evn_duty_places places = {.at = values.at, .count = values.count};
    if (duty && placed && evn_duty_place(placed, &places, arena)) {
        *duty = (evn_duty){arena, placed};
        *out = duty;
    } else {
        evn_arena_free(arena);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out reading %s", path);
    }
    return evn_report_status(report);
}

evn_status evn_duty_of_cycle(const evn_cycle *cycle, evn_duty **out, evn_report *report)
{
    static const double none = (double)NAN;
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"cycle", cycle}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    leg_alone *day = arena ? evn_arena_take(arena, sizeof *day) : NULL;
    evn_duty *duty = day ? evn_arena_take(arena, sizeof *duty) : NULL;
    if (!duty) {
        if (arena)
            evn_arena_free(arena);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the cycle");
        return evn_report_status(report);
    }
    const evn_cycle_file *f = cycle->file;
    day->leg = (evn_leg_file){.name = f->name, .cycle = f, .direction = EVN_DIRECTION_OUT, .payload_kg = none};
    day->step = (evn_step){EVN_DAY_LEG, &day->leg};
    day->demands = (evn_duty_demands_file){.reserve_soc = none,
                                           .reserve_kwh = none,
                                           .steepest_start_percent = none,
                                           .distance_km = none,
                                           .payload_kg = none,
                                           .takeoff_kw = none,
                                           .payback_years = none};
    day->file = (evn_duty_file){.name = f->name,
                                .source = f->source,
                                .invented = f->invented,
                                .day = {&day->step, 1},
                                .working_days_per_year = none,
                                .demands = &day->demands,
                                .places = {cycle->values.at, cycle->values.count, NULL, "day[0].leg.cycle."}};
    *duty = (evn_duty){.arena = arena, .file = &day->file};
    *out = duty;
    return evn_report_status(report);
}

void evn_duty_free(evn_duty *d)
{
    if (d)
        evn_arena_free(d->arena);
}

const char *evn_duty_name(const evn_duty *d) { return d ? d->file->name : NULL; }

const char *evn_duty_source(const evn_duty *d)
{
    const char *source = d ? d->file->source : NULL;
    return d && !source ? "invented" : source;
}

double evn_duty_working_days_per_year(const evn_duty *d) { return d ? d->file->working_days_per_year : (double)NAN; }

size_t evn_duty_season_count(const evn_duty *d)
{
    if (!d)
        return 0;
    return d->file->seasons.count > 0 ? d->file->seasons.count : 1;
}

const char *evn_duty_season_name(const evn_duty *d, size_t index)
{
    return d && index < d->file->seasons.count ? d->file->seasons.name[index] : NULL;
}

const evn_duty_file *evn_duty_file_of(const evn_duty *d) { return d ? d->file : NULL; }

bool evn_duty_payload_until(const evn_duty *d, const char **name, bool *stop)
{
    return d && name && stop && evn_duty_file_payload_until(d->file, name, stop);
}

void evn_duty_hash(const evn_duty *d, char out[EVN_HASH_BYTES])
{
    if (out)
        out[0] = '\0';
    if (d && out)
        evn_hash_text(out, evn_object_hash(&evn_duty_object, d->file));
}

evn_status evn_drive_duty(const evn_truck *t, const evn_duty *d, const evn_conditions *ask, const evn_day_how *how,
                          evn_day **out, evn_report *report)
{
    static const evn_day_how plain = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"truck", t}, {"duty", d}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    bool fits = evn_object_fits(&evn_load_case_object, &ask->load_case, report);
    fits = evn_driving_fits(&ask->driving, report) && fits;
    fits = evn_duty_takes_payload(d->file, &ask->load_case, report) && fits;
    if (fits)
        *out = evn_day_drive(t->file, d->file, ask, how ? how : &plain, report);
    return evn_report_status(report);
}

/* ------------------------------------------------------------------------------------------------ distances */

static bool number_fits(const char *what, double value, double most, evn_report *report)
{
    if (value >= 0 && value <= most)
        return true;
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "%s is %g; expected 0 to %g", what, value, most);
    return false;
}

static bool list_fits(const char *what, const double *at, size_t count, size_t count_most, double most,
                      evn_report *report)
{
    bool fits = count <= count_most && (at || count == 0);
    if (!fits)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "%zu values of %s; expected none to %zu",
                count, what, count_most);
    for (size_t k = 0; fits && k < count; k++)
        fits = number_fits(what, at[k], most, report);
    return fits;
}

static bool range_how_fits(const evn_range_how *how, evn_report *report)
{
    static const double DISTANCE_MOST_KM = 5000, PACK_MOST_KG_PER_KWH = 100;
    return list_fits("payload_kg", how->payload_kg, how->payloads, EVN_RANGE_PAYLOADS_MOST, 500000, report) &&
           list_fits("age_years", how->age_years, how->ages, EVN_RANGE_AGES_MOST, EVN_BATTERY_YEARS_MOST, report) &&
           number_fits("distance_km", how->distance_km, DISTANCE_MOST_KM, report) &&
           number_fits("pack_kg_per_kwh", how->pack_kg_per_kwh, PACK_MOST_KG_PER_KWH, report);
}

evn_status evn_range_find(const evn_truck *t, const evn_duty *d, const evn_conditions *ask, const evn_range_how *how,
                          evn_range **out, evn_report *report)
{
    static const evn_range_how plain = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"truck", t}, {"duty", d}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    bool fits = evn_object_fits(&evn_load_case_object, &ask->load_case, report);
    fits = evn_driving_fits(&ask->driving, report) && fits;
    fits = range_how_fits(how ? how : &plain, report) && fits;
    fits = evn_duty_takes_payload(d->file, &ask->load_case, report) && fits;
    if (fits)
        *out = evn_range_make(t->file, d->file, ask, how ? how : &plain, report);
    return evn_report_status(report);
}
