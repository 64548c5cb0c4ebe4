/* Lineups behind evener/evener.h. */
#include "api/erring.h"
#include "api/objects.h"
#include "core/field_hash.h"
#include "core/field_number.h"
#include "limits/demands.h"
#include "lineup/lineup.h"
#include "truck/load_case.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIELDS_MOST = 16 }; /* of a lineup */

struct evn_lineup {
    evn_arena *arena;
    const evn_lineup_file *file; /* NULL: of what was loaded already */
    evn_contender *who;
    const char **title; /* of each, in sentences */
    evn_truck *truck;
    size_t count;
    evn_cycle cycle;
    evn_duty duty;
    evn_value_list values;   /* paths from the lineup's root */
    evn_load_case load_case; /* of its own; the usual one without a file */
};

static evn_status no_memory(evn_arena *arena, evn_report *report)
{
    if (arena)
        evn_arena_free(arena);
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the lineup");
    return evn_report_status(report);
}

/* Room for so many trucks; NULL when memory is out. */
static evn_lineup *lineup_in(evn_arena *arena, size_t count)
{
    evn_lineup *l = evn_arena_take(arena, sizeof *l);
    evn_contender *who = evn_arena_take(arena, count * sizeof *who);
    const char **title = evn_arena_take(arena, count * sizeof *title);
    evn_truck *truck = evn_arena_take(arena, count * sizeof *truck);
    if (!l || !who || !title || !truck)
        return NULL;
    *l = (evn_lineup){.arena = arena, .who = who, .title = title, .truck = truck, .count = count};
    return l;
}

/* ------------------------------------------------------------------------------------------------ titles */

/* The name in the lineup as words: "electric_axle" reads "electric axle". */
static const char *as_words(evn_arena *arena, const char *name)
{
    char *words = evn_arena_text(arena, name, strlen(name));
    for (char *at = words; at && *at != '\0'; at++)
        *at = *at == '_' ? ' ' : *at;
    return words;
}

/* Of a name the bytes from its begin, or from its end, to that of its next part: "tipper_8x4_central", 7 and 8. */
static size_t part_of(const char *name, size_t length, bool at_end)
{
    for (size_t i = 0; i < length; i++)
        if (strchr("_-", name[at_end ? length - 1 - i : i]))
            return i + 1;
    return 0; /* one part alone */
}

/* What is left of a truck's name without the parts that all those of its title begin with, and end with. */
typedef struct rest {
    size_t skip, drop;
} rest;

/* One part more that all of them share, and that leaves something of each. */
static bool share_more(const evn_lineup *l, size_t index, const bool alike[], rest of, bool at_end)
{
    const char *one = l->who[index].name;
    size_t all = strlen(one), length = part_of(one + of.skip, all - of.skip - of.drop, at_end);
    for (size_t k = 0; length > 0 && k < l->count; k++) {
        const char *other = l->who[k].name;
        size_t bytes = strlen(other);
        if (!alike[k])
            continue;
        if (part_of(other + of.skip, bytes - of.skip - of.drop, at_end) != length ||
            (at_end ? memcmp(other + bytes - of.drop - length, one + all - of.drop - length, length)
                    : memcmp(other + of.skip, one + of.skip, length)) != 0)
            return false;
    }
    return length > 0;
}

static rest unshared(const evn_lineup *l, size_t index, const bool alike[])
{
    const char *name = l->who[index].name;
    rest of = {0};
    while (share_more(l, index, alike, of, false))
        of.skip += part_of(name + of.skip, strlen(name) - of.skip - of.drop, false);
    while (share_more(l, index, alike, of, true))
        of.drop += part_of(name + of.skip, strlen(name) - of.skip - of.drop, true);
    return of;
}

/*
 * "central drive (tractor)", of trucks that bear the same short name (`alike`, itself among them), by what their names
 * do not share: tractor_central and tipper_central.
 */
static const char *told_apart(evn_lineup *l, size_t index, const bool alike[])
{
    const char *title = l->title[index], *name = l->who[index].name;
    rest of = unshared(l, index, alike);
    size_t bytes = strlen(title) + strlen(name) + sizeof " ()";
    char *text = evn_arena_take(l->arena, bytes);
    if (text)
        snprintf(text, bytes, "%s (%.*s)", title, (int)(strlen(name) - of.skip - of.drop), name + of.skip);
    return text;
}

static const char *wanted_title(evn_lineup *l, size_t index)
{
    const evn_contender *who = &l->who[index];
    bool given = who->truck->short_name && who->truck->short_name[0] != '\0';
    return given ? who->truck->short_name : as_words(l->arena, who->name);
}

static bool all_differ(const evn_lineup *l)
{
    for (size_t i = 0; i < l->count; i++)
        for (size_t k = 0; k < i; k++)
            if (strcmp(l->title[i], l->title[k]) == 0)
                return false;
    return true;
}

/* How many bear the title that one wanted, itself among them. */
static size_t find_alike(const evn_lineup *l, const char *const wanted[], size_t index, bool alike[])
{
    size_t count = 0;
    for (size_t k = 0; k < l->count; k++) {
        alike[k] = strcmp(wanted[index], wanted[k]) == 0;
        count += alike[k];
    }
    return count;
}

/* False when memory is out. */
static bool give_titles(evn_lineup *l)
{
    const char *wanted[EVN_LINEUP_MOST];
    bool alike[EVN_LINEUP_MOST], all = true;
    for (size_t i = 0; i < l->count; i++) {
        wanted[i] = l->title[i] = wanted_title(l, i);
        all = all && wanted[i];
    }
    for (size_t i = 0; all && i < l->count; i++) {
        if (find_alike(l, wanted, i, alike) > 1)
            l->title[i] = told_apart(l, i, alike);
        all = l->title[i];
    }
    if (all && !all_differ(l))
        for (size_t i = 0; i < l->count; i++)
            l->title[i] = l->who[i].name;
    return all;
}

/* ------------------------------------------------------------------------------------------------ from a file */

evn_status evn_lineup_load(const char *path, evn_lineup **out, evn_report *report)
{
    return evn_lineup_load_with(path, &(evn_load){0}, out, report);
}

/* The rows below a path, so many levels deep, with paths from there. False: memory is out. */
static bool take_below(evn_arena *arena, const evn_value_list *all, const char *path, unsigned depth,
                       evn_value_list *out)
{
    size_t length = strlen(path), count = 0;
    evn_value *at = evn_arena_take(arena, (all->count + 1) * sizeof *at);
    for (size_t i = 0; at && i < all->count; i++) {
        const evn_value *v = &all->at[i];
        if (strncmp(v->path, path, length) != 0 || v->path[length] != '.')
            continue;
        at[count] = *v;
        at[count].path += length + 1;
        at[count++].depth -= depth;
    }
    *out = (evn_value_list){at, at ? count : 0};
    return at;
}

/* To each truck and to the cycle their own of all values of the lineup. */
static bool part_values(evn_lineup *l)
{
    bool all = !l->cycle.file || take_below(l->arena, &l->values, "cycle", 1, &l->cycle.values);
    for (size_t i = 0; all && i < l->count; i++) {
        size_t bytes = sizeof "trucks." + strlen(l->who[i].name);
        char *path = evn_arena_take(l->arena, bytes);
        all = path;
        if (path)
            snprintf(path, bytes, "trucks.%s", l->who[i].name);
        all = all && take_below(l->arena, &l->values, path, 2, &l->truck[i].values);
    }
    return all;
}

/* A lineup that tells where the values of its duty stand. NULL when memory is out. */
static const evn_lineup_file *with_places(evn_arena *arena, const evn_lineup_file *file, const evn_value_list *values)
{
    evn_lineup_file *placed = evn_arena_take(arena, sizeof *placed);
    evn_duty_file *duty = evn_arena_take(arena, sizeof *duty);
    if (!placed || !duty || !file->duty)
        return placed && duty ? file : NULL;
    *placed = *file;
    *duty = *file->duty;
    if (!evn_duty_place(duty, &(evn_duty_places){values->at, values->count, "duty.", NULL}, arena))
        return NULL;
    placed->duty = duty;
    return placed;
}

evn_status evn_lineup_load_with(const char *path, const evn_load *how, evn_lineup **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_lineup_file *file = evn_load_object(path, &evn_lineup_object, how, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    evn_lineup *l = lineup_in(arena, file->trucks.count);
    if (!l)
        return no_memory(arena, report);
    const evn_truck_file *truck = file->trucks.item;
    l->file = with_places(arena, file, &values);
    if (!l->file)
        return no_memory(arena, report);
    l->values = values;
    l->load_case = *file->load_case;
    l->cycle = (evn_cycle){.file = file->cycle};
    l->duty = (evn_duty){.file = l->file->duty}; /* which knows what its seasons state */
    for (size_t i = 0; i < l->count; i++) {
        l->who[i] = (evn_contender){file->trucks.name[i], &truck[i]};
        l->truck[i] = evn_truck_on(NULL, &truck[i], (evn_value_list){0});
    }
    if (!give_titles(l) || !part_values(l))
        return no_memory(arena, report);
    *out = l;
    return evn_report_status(report);
}

/* ------------------------------------------------------------------------------------------------ of what is loaded */

static bool names_fit(const char *const *names, size_t count, evn_report *report)
{
    if (count < EVN_LINEUP_LEAST || count > EVN_LINEUP_MOST) {
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%zu in a lineup; expected %d to %d trucks", count,
                EVN_LINEUP_LEAST, EVN_LINEUP_MOST);
        return false;
    }
    for (size_t i = 0; i < count; i++)
        if (!evn_not_null(report, "evn_lineup_of", (const evn_argument[]){{"one of names", names[i]}, {0}}))
            return false;
    for (size_t i = 0; i < count; i++) {
        bool fits = evn_lineup_name_fits(names[i]);
        for (size_t k = 0; k < i; k++)
            fits = fits && strcmp(names[i], names[k]) != 0;
        if (!fits) {
            evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                    "the name '%s' in a lineup; expected names that differ and can be part of the name of a file",
                    names[i]);
            return false;
        }
    }
    return true;
}

/* Rows of a truck's values, with paths from the root of the lineup. False: memory is out. */
static bool take_values(evn_lineup *l, const char *name, const evn_value_list *of, evn_value *at)
{
    for (size_t k = 0; k < of->count; k++) {
        size_t bytes = sizeof "trucks.." + strlen(name) + strlen(of->at[k].path);
        char *path = evn_arena_take(l->arena, bytes);
        if (!path)
            return false;
        snprintf(path, bytes, "trucks.%s.%s", name, of->at[k].path);
        at[k] = of->at[k];
        at[k].path = path;
    }
    return true;
}

/* None of trucks that were copied or changed. False: memory is out. */
static bool give_values(evn_lineup *l, const evn_truck *const *trucks)
{
    size_t count = 0;
    for (size_t i = 0; i < l->count; i++)
        count += trucks[i]->values.count;
    evn_value *at = evn_arena_take(l->arena, (count + 1) * sizeof *at);
    bool all = at;
    l->values = (evn_value_list){at, 0};
    for (size_t i = 0; all && i < l->count; i++) {
        all = take_values(l, l->who[i].name, &trucks[i]->values, at + l->values.count);
        l->values.count += trucks[i]->values.count;
    }
    return all;
}

static bool trucks_given(const evn_truck *const *trucks, size_t count, evn_report *report)
{
    for (size_t i = 0; i < count; i++)
        if (!evn_not_null(report, "evn_lineup_of", (const evn_argument[]){{"one of trucks", trucks[i]}, {0}}))
            return false;
    return true;
}

evn_status evn_lineup_of(const evn_truck *const *trucks, const char *const *names, size_t count, const evn_cycle *cycle,
                         evn_lineup **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(
            report, __func__,
            (const evn_argument[]){{"trucks", trucks}, {"names", names}, {"cycle", cycle}, {"out", out}, {0}}))
        return evn_report_status(report);
    if (!names_fit(names, count, report) || !trucks_given(trucks, count, report))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    evn_lineup *l = arena ? lineup_in(arena, count) : NULL;
    if (!l)
        return no_memory(arena, report);
    l->cycle = (evn_cycle){.file = cycle->file, .values = cycle->values};
    for (size_t i = 0; i < count; i++) {
        const char *name = evn_arena_text(arena, names[i], strlen(names[i]));
        if (!name)
            return no_memory(arena, report);
        l->who[i] = (evn_contender){name, trucks[i]->file};
        l->truck[i] = evn_truck_on(NULL, trucks[i]->file, trucks[i]->values);
    }
    l->load_case = evn_conditions_default().load_case;
    if (!give_titles(l) || !give_values(l, trucks))
        return no_memory(arena, report);
    *out = l;
    return evn_report_status(report);
}

/* ------------------------------------------------------------------------------------------------ calls */

void evn_lineup_free(evn_lineup *l)
{
    if (l)
        evn_arena_free(l->arena);
}

static const evn_duty_file *duty_of(const evn_lineup *l) { return l && l->file ? l->file->duty : NULL; }

/* What trucks are made equal in counts where it is anything but the payload that they are given. */
static bool counts_in_hash(const evn_lineup *l, const evn_field *field)
{
    if (strcmp(field->key, evn_lineup_equal_key) == 0)
        return evn_lineup_wants_equal(l->file) != EVN_EQUAL_PAYLOAD;
    if (field->of == &evn_duty_object)
        return l->file->duty;
    return field->of != &evn_demands_object;
}

/* Demands change no run: what was kept before lineups had any has the same hash still. */
uint64_t evn_lineup_hash(const evn_lineup *l)
{
    evn_field runs[FIELDS_MOST];
    evn_lineup_file without_trucks = *l->file;
    evn_object of_runs = evn_lineup_object;
    of_runs.field_count = 0;
    for (size_t k = 0; k < evn_lineup_object.field_count && of_runs.field_count < FIELDS_MOST; k++)
        if (counts_in_hash(l, &evn_lineup_object.fields[k]))
            runs[of_runs.field_count++] = evn_lineup_object.fields[k];
    of_runs.fields = runs;
    without_trucks.trucks.count = 0;
    return evn_object_hash(&of_runs, &without_trucks);
}

const char *evn_lineup_name(const evn_lineup *l) { return l && l->file ? l->file->name : NULL; }

const char *evn_lineup_source(const evn_lineup *l)
{
    bool read = l && l->file;
    const char *source = read ? l->file->source : NULL;
    return read && !source ? "invented" : source;
}

size_t evn_lineup_truck_count(const evn_lineup *l) { return l ? l->count : 0; }

const char *evn_lineup_truck_name(const evn_lineup *l, size_t index)
{
    return l && index < l->count ? l->who[index].name : NULL;
}

const char *evn_lineup_truck_title(const evn_lineup *l, size_t index)
{
    return l && index < l->count ? l->title[index] : NULL;
}

const evn_truck *evn_lineup_truck(const evn_lineup *l, size_t index)
{
    return l && index < l->count ? &l->truck[index] : NULL;
}

evn_erring evn_lineup_states(const evn_lineup *l)
{
    return (evn_erring){.who = l->who,
                        .count = l->count,
                        .cycle = l->cycle.file,
                        .load_case = &l->load_case,
                        .uncertain = l->file ? &l->file->uncertain : NULL,
                        .values = {l->values.at, l->values.count}};
}

const evn_cycle *evn_lineup_cycle(const evn_lineup *l) { return l && l->cycle.file ? &l->cycle : NULL; }

const char *evn_lineup_over(const evn_lineup *l)
{
    const evn_duty_file *duty = duty_of(l);
    return duty ? duty->name : evn_cycle_name(evn_lineup_cycle(l));
}

const char *evn_lineup_over_source(const evn_lineup *l)
{
    const evn_duty_file *duty = duty_of(l);
    if (!duty)
        return evn_cycle_source(evn_lineup_cycle(l));
    return duty->source ? duty->source : "invented";
}

uint64_t evn_lineup_duty_hash(const evn_lineup *l)
{
    const evn_duty_file *duty = duty_of(l);
    const evn_season_file *season = duty ? evn_lineup_season(l->file) : NULL;
    uint64_t of_season = season ? evn_object_hash(&evn_load_case_object, season->load_case) : 0;
    return duty ? evn_object_hash(&evn_duty_object, duty) ^ (of_season << 1) : 0;
}

void evn_lineup_over_hash(const evn_lineup *l, char out[EVN_HASH_BYTES])
{
    if (out)
        out[0] = '\0';
    if (l && out && duty_of(l))
        evn_hash_text(out, evn_lineup_duty_hash(l));
    else if (l)
        evn_cycle_hash(&l->cycle, out);
}

const evn_duty *evn_lineup_duty(const evn_lineup *l) { return duty_of(l) ? &l->duty : NULL; }
const evn_duty_file *evn_lineup_duty_file(const evn_lineup *l) { return duty_of(l); }

bool evn_lineup_has_duty(const evn_lineup *l) { return duty_of(l); }

size_t evn_lineup_season_place(const evn_lineup *l)
{
    const evn_duty_file *duty = duty_of(l);
    const evn_season_file *season = duty ? evn_lineup_season(l->file) : NULL;
    return season ? (size_t)(season - (const evn_season_file *)duty->seasons.item) : 0;
}

const char *evn_lineup_season_name(const evn_lineup *l)
{
    const evn_duty_file *duty = duty_of(l);
    return duty && duty->seasons.count > 0 ? duty->seasons.name[evn_lineup_season_place(l)] : NULL;
}

size_t evn_lineup_season_count(const evn_lineup *l)
{
    const evn_duty_file *duty = duty_of(l);
    return duty ? duty->seasons.count : 0;
}

evn_conditions evn_lineup_in_season(const evn_lineup *l, const evn_conditions *ask)
{
    evn_conditions in = ask ? *ask : evn_conditions_default();
    const evn_season_file *season = duty_of(l) ? evn_lineup_season(l->file) : NULL;
    if (season)
        in.load_case = evn_duty_load_case(duty_of(l), evn_lineup_season_place(l), &in);
    return in;
}

evn_conditions evn_lineup_ask(const evn_lineup *l)
{
    return l && l->file ? evn_lineup_asks(l->file) : evn_conditions_default();
}

evn_demands evn_lineup_demands(const evn_lineup *l) { return l && l->file ? *l->file->demands : evn_demands_default(); }

evn_equal evn_lineup_equal(const evn_lineup *l)
{
    return l && l->file ? evn_lineup_wants_equal(l->file) : EVN_EQUAL_PAYLOAD;
}

bool evn_lineup_equal_fits(const evn_lineup *l, evn_equal equal, evn_report *report)
{
    if (!duty_of(l) || equal != EVN_EQUAL_GROSS)
        return true;
    evn_say(report, EVN_FAULT_CANNOT_BE_EQUAL, evn_nowhere, evn_nowhere,
            "trucks to be equal in gross mass over a duty, whose legs and stops say what is carried; expected payload "
            "or power");
    return false;
}

/* False: said. */
static bool find_equal(const evn_lineup *l, evn_equal *equal, evn_report *report)
{
    if (*equal == EVN_EQUAL_AS_LINEUP)
        *equal = evn_lineup_equal(l);
    if (*equal >= EVN_EQUAL_PAYLOAD && *equal <= EVN_EQUAL_POWER)
        return true;
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "equal of evn_compare is %d; expected one of evn_equal",
            (int)*equal);
    return false;
}

evn_status evn_compare(const evn_lineup *l, const evn_conditions *ask, const evn_compare_how *how, evn_comparison **out,
                       evn_report *report)
{
    static const evn_compare_how plain = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"lineup", l}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_demands demands = how && how->demands ? *how->demands : evn_lineup_demands(l);
    bool demanded = evn_demands_fit(&demands, report);
    if (!evn_object_fits(&evn_load_case_object, &ask->load_case, report) || !demanded) /* once, not for each truck */
        return evn_report_status(report);
    evn_compare_how as_asked = how ? *how : plain;
    as_asked.demands = &demands;
    if (!find_equal(l, &as_asked.equal, report) || !evn_lineup_equal_fits(l, as_asked.equal, report))
        return evn_report_status(report);
    if (duty_of(l) && !evn_duty_takes_payload(duty_of(l), &ask->load_case, report))
        return evn_report_status(report);
    evn_conditions in = evn_lineup_in_season(l, ask);
    evn_compared_over over = {l->cycle.file, duty_of(l), evn_lineup_season_place(l), ask};
    *out = evn_compare_trucks(l->who, l->count, &over, &in, &as_asked, report);
    return evn_report_status(report);
}
