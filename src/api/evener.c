/* The public calls that join the reader with the rooms behind it. */
#include "evener/evener.h"
#include "api/objects.h"
#include "api/search.h"
#include "core/field_hash.h"
#include "core/field_number.h"
#include "duty/duty.h"
#include "lineup/lineup.h"
#include "runs/runs.h"
#include "truck/load_case.h"
#include "truck/rig.h"
#include "vary/study.h"
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef EVN_VERSION
#error "EVN_VERSION comes from the build"
#endif

const char *evn_version(void) { return EVN_VERSION; }

/* ------------------------------------------------------------------------------------------------ loading */

/*
 * What of a value set beside the files is the key of this object: behind "cycle.", "duty.", "trucks.NAME.", or all of
 * it. NULL: it is for another.
 */
static const char *key_for(const char *text, const evn_object *object, const evn_load *how)
{
    static const char cycle[] = "cycle.", trucks[] = "trucks.", duty[] = "duty.";
    size_t skip = sizeof trucks - 1;
    if (object == &evn_lineup_object || object == &evn_study_object)
        return text;
    if (strncmp(text, duty, sizeof duty - 1) == 0)
        return object == &evn_duty_object ? text + sizeof duty - 1 : NULL;
    if (object == &evn_duty_object)
        return NULL;
    if (strncmp(text, cycle, sizeof cycle - 1) == 0)
        return object == &evn_cycle_object ? text + sizeof cycle - 1 : NULL;
    if (object == &evn_cycle_object)
        return how->only_cycle ? text : NULL;
    if (!how->truck_name || strncmp(text, trucks, skip) != 0)
        return text;
    size_t length = strlen(how->truck_name);
    bool named = strncmp(text + skip, how->truck_name, length) == 0 && text[skip + length] == '.';
    return named ? text + skip + length + 1 : NULL;
}

/* Those of the values set beside the files that are for this one; each keeps its number. False when memory is out. */
static bool pick_sets(evn_arena *arena, const evn_load *how, const evn_object *object, evn_read_more *more)
{
    size_t count = 0;
    while (how->set && how->set[count])
        count++;
    evn_read_set *sets = evn_arena_take(arena, count * sizeof *sets);
    if (!sets)
        return false;
    for (size_t k = 0; k < count; k++) {
        const char *key = key_for(how->set[k], object, how);
        if (key)
            sets[more->set_count++] = (evn_read_set){how->set[k], (size_t)(key - how->set[k]), (unsigned)k + 1};
    }
    more->sets = sets;
    return true;
}

const void *evn_load_object(const char *path, const evn_object *object, const evn_load *how, evn_value_list *values,
                            evn_arena **arena, evn_report *report)
{
    return evn_load_object_text(NULL, path, object, how, values, arena, report);
}

const void *evn_load_object_text(const char *text, const char *path, const evn_object *object, const evn_load *how,
                                 evn_value_list *values, evn_arena **arena, evn_report *report)
{
    const char *search[EVN_SEARCH_FOLDERS];
    const void *file = NULL;
    evn_read_more more = {.search = search, .set_beside = how->set_beside, .strict = how->strict, .values = values};
    *arena = evn_arena_new();
    if (!*arena || !evn_search_folders(*arena, search) || !pick_sets(*arena, how, object, &more))
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out reading %s", path);
    else
        file = text ? evn_read_bytes_with(text, strlen(text), path, object, &more, *arena, report)
                    : evn_read_file_with(path, object, &more, *arena, report);
    if (!file) {
        evn_arena_free(*arena);
        *arena = NULL;
    }
    return file;
}

evn_truck evn_truck_on(evn_arena *arena, const evn_truck_file *file, evn_value_list values)
{
    evn_truck truck = {.arena = arena, .file = file, .values = values};
    evn_axle_configuration(truck.axle_configuration, file);
    return truck;
}

static void memory_ran_out(evn_arena *arena, const char *path, evn_report *report)
{
    evn_arena_free(arena);
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out reading %s", path);
}

evn_status evn_truck_load(const char *path, evn_truck **out, evn_report *report)
{
    return evn_truck_load_with(path, &(evn_load){0}, out, report);
}

evn_status evn_cycle_load(const char *path, evn_cycle **out, evn_report *report)
{
    return evn_cycle_load_with(path, &(evn_load){0}, out, report);
}

evn_status evn_truck_load_with(const char *path, const evn_load *how, evn_truck **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_truck_file *file = evn_load_object(path, &evn_truck_object, how, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    *out = malloc(sizeof **out);
    if (*out)
        **out = evn_truck_on(arena, file, values);
    else
        memory_ran_out(arena, path, report);
    return evn_report_status(report);
}

evn_status evn_cycle_load_with(const char *path, const evn_load *how, evn_cycle **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_cycle_file *file = evn_load_object(path, &evn_cycle_object, how, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    *out = malloc(sizeof **out);
    if (*out)
        **out = (evn_cycle){arena, file, values};
    else
        memory_ran_out(arena, path, report);
    return evn_report_status(report);
}

void evn_truck_free(evn_truck *t)
{
    if (t)
        evn_arena_free(t->arena);
    free(t);
}

void evn_cycle_free(evn_cycle *c)
{
    if (c)
        evn_arena_free(c->arena);
    free(c);
}

const char *evn_truck_name(const evn_truck *t) { return t ? t->file->name : NULL; }
const char *evn_truck_short_name(const evn_truck *t) { return t ? t->file->short_name : NULL; }
bool evn_truck_invented(const evn_truck *t) { return t && t->file->invented; }
const char *evn_truck_axle_configuration(const evn_truck *t) { return t ? t->axle_configuration : NULL; }
size_t evn_truck_axle_count(const evn_truck *t) { return t ? evn_truck_axles_of(t->file) : 0; }
size_t evn_truck_driven_axle_count(const evn_truck *t) { return t ? evn_truck_driven_axles_of(t->file) : 0; }
const char *evn_truck_brake_distribution(const evn_truck *t)
{
    return t ? evn_brake_distributions[t->file->brakes->distribution] : NULL;
}
double evn_truck_drag_area_m2(const evn_truck *t) { return t ? t->file->body->drag_area_m2 : (double)NAN; }
const char *evn_cycle_name(const evn_cycle *c) { return c ? c->file->name : NULL; }

const char *evn_cycle_source(const evn_cycle *c)
{
    const char *source = c ? c->file->source : NULL;
    return c && !source ? "invented" : source;
}

void evn_hash_text(char out[EVN_HASH_BYTES], uint64_t hash) { snprintf(out, EVN_HASH_BYTES, "%016" PRIx64, hash); }

void evn_truck_hash(const evn_truck *t, char out[EVN_HASH_BYTES])
{
    if (out)
        out[0] = '\0';
    if (t && out)
        evn_hash_text(out, evn_object_hash(&evn_truck_object, t->file));
}

void evn_cycle_hash(const evn_cycle *c, char out[EVN_HASH_BYTES])
{
    if (out)
        out[0] = '\0';
    if (c && out)
        evn_hash_text(out, evn_object_hash(&evn_cycle_object, c->file));
}

size_t evn_truck_value_count(const evn_truck *t) { return t ? t->values.count : 0; }

bool evn_truck_value_at(const evn_truck *t, size_t index, evn_value *out)
{
    if (!t || !out || index >= t->values.count)
        return false;
    *out = t->values.at[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ cycle figures */

size_t evn_cycle_figure_count(const evn_cycle *c) { return c ? evn_cycle_figures_count : 0; }

bool evn_cycle_figure_at(const evn_cycle *c, size_t index, evn_quantity *out, double *value)
{
    if (!c || !out || !value || index >= evn_cycle_figures_count)
        return false;
    *out = evn_cycle_figures[index].what;
    *value = evn_cycle_figures[index].of(c->file);
    return true;
}

/* ------------------------------------------------------------------------------------------------ runs */

evn_conditions evn_conditions_default(void)
{
    evn_conditions ask;
    evn_object_default(&evn_load_case_object, &ask.load_case, NULL);
    evn_object_default(&evn_driving_object, &ask.driving, NULL);
    ask.before_seasons = 0;
    return ask;
}

bool evn_conditions_before_seasons(evn_conditions *ask, const char *key)
{
    unsigned row;
    bool there = ask && key && evn_load_case_row(key, &row);
    if (there)
        ask->before_seasons |= (uint64_t)1 << row;
    return there;
}

bool evn_load_case_set(evn_load_case *c, const char *key, double value, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"load_case", c}, {"key", key}, {0}}))
        return false;
    return evn_field_number_put(&evn_load_case_object, c, key, value, report);
}

bool evn_load_case_get(const evn_load_case *c, const char *key, double *value)
{
    return c && key && value && evn_field_number_get(&evn_load_case_object, c, key, value);
}

bool evn_driving_set(evn_driving *d, const char *key, double value, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"driving", d}, {"key", key}, {0}}))
        return false;
    return evn_field_number_put(&evn_driving_object, d, key, value, report);
}

bool evn_driving_get(const evn_driving *d, const char *key, double *value)
{
    return d && key && value && evn_field_number_get(&evn_driving_object, d, key, value);
}

evn_status evn_rig_prepare(const evn_truck *t, const evn_load_case *load_case, evn_rig **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"truck", t}, {"load_case", load_case}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_rig_make(t->file, load_case, out, report);
    return evn_report_status(report);
}

size_t evn_rig_figure_count(const evn_rig *rig) { return rig ? rig->figure_count : 0; }

bool evn_rig_figure_at(const evn_rig *rig, size_t index, evn_quantity *out, double *value)
{
    if (!rig || !out || !value || index >= rig->figure_count)
        return false;
    *out = rig->figure[index].what;
    *value = rig->figure[index].value;
    return true;
}

bool evn_rig_fact_at(const evn_rig *rig, size_t index, evn_fact *out)
{
    if (!rig || !out || index >= rig->fact_count)
        return false;
    *out = rig->fact[index];
    return true;
}

evn_status evn_drive(const evn_rig *rig, const evn_cycle *cycle, const evn_driving *driving, const evn_watcher *watcher,
                     evn_results **out, evn_report *report)
{
    static const evn_watcher nobody = {.self = NULL};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"rig", rig}, {"cycle", cycle}, {"driving", driving}, {"out", out}, {0}}))
        return evn_report_status(report);
    const evn_watcher *w = watcher ? watcher : &nobody;
    evn_sampler sampler = {w->self, driving->trace_interval_s, NULL, w->sample};
    evn_run run = {.rig = rig,
                   .cycle = cycle->file,
                   .driving = *driving,
                   .sampler = &sampler,
                   .samplers = w->sample ? 1 : 0,
                   .collective = w->collective,
                   .report = report};
    evn_runs runs;
    evn_runs_begin(&runs, &(evn_runs_how){1, w->self, w->go_on});
    evn_runs_drive(&runs, &run, 1);
    evn_runs_end(&runs);
    *out = run.results;
    return evn_report_status(report);
}
