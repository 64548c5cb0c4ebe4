/* What evener site reads: its options as they go together, trucks or a lineup, and what they ride and drive. */
#define _POSIX_C_SOURCE 200809L
#include "cli/groups.h"
#include "cli/site_run.h"
#include "evener/catalogue.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { GROUPS_MOST = 32 };

/* ------------------------------------------------------------------------------------------------ arguments */

static size_t names_of_groups(const char *names[GROUPS_MOST])
{
    const char *title, *help;
    size_t count = 0;
    while (count < GROUPS_MOST && evn_site_group_at(count, &names[count], &title, &help))
        count++;
    return count;
}

static bool groups_fit(evn_site_run *run)
{
    const char *names[GROUPS_MOST];
    size_t count = names_of_groups(names);
    return evn_groups_fit(&run->args->groups, names, count, &run->call.mishap);
}

static bool is_lineup(const char *path)
{
    const char *kind = evn_file_kind(path, "truck");
    return kind && strcmp(kind, "lineup") == 0;
}

static bool asks_for_group(const evn_site_args *a, const char *group)
{
    for (size_t i = 0; a->groups.at[i]; i++)
        if (strcmp(a->groups.at[i], group) == 0)
            return true;
    return false;
}

/* Options of which one is for nothing beside, or without, another. */
static bool pairs_fit(evn_site_run *run)
{
    const evn_site_args *a = run->args;
    bool class_of = a->unevenness > EVN_UNEVENNESS_AS_ROUTE, number = !isnan(a->unevenness_m3);
    const struct {
        bool meets;
        const char *text;
    } pairs[] = {
        {a->over && !isnan(a->kwh_per_km), "--over and --kwh-per-km both say the energy use; one of them was expected"},
        {asks_for_group(a, "rules") && !a->rules,
         "--group rules without a set of rules; --rules was expected beside it"},
        {a->intermodal && !a->rules, "--intermodal is for rules alone; --rules was expected beside it"},
        {!isnan(a->seed) && !a->over_time, "--seed is for rides over time; --over-time was expected beside it"},
        {class_of && number,
         "--unevenness and --unevenness-m3 both say how uneven the track is; one of them was expected"},
        {a->cycle && class_of, "--cycle and --unevenness: a route or one track; one of them was expected"},
        {a->cycle && number, "--cycle and --unevenness-m3: a route or one track; one of them was expected"},
        {a->cycle && !isnan(a->speed_km_h), "--cycle and --speed-km-h: a route or one track; one of them was expected"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
        if (pairs[i].meets) {
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "%s", pairs[i].text);
            return false;
        }
    return true;
}

bool evn_site_arguments_fit(evn_site_run *run)
{
    size_t lineups = 0;
    while (run->call.operands[run->count] && run->count < EVN_SITE_TRUCKS_MOST)
        lineups += is_lineup(run->call.operands[run->count++]);
    if (run->call.operands[run->count])
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "more than %d trucks; one to %d were expected",
                       EVN_SITE_TRUCKS_MOST, EVN_SITE_TRUCKS_MOST);
    else if (lineups > 0 && run->count > 1)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "a lineup beside another file; trucks, or one lineup alone, were expected");
    return !evn_mishap_happened(&run->call.mishap) && groups_fit(run) && pairs_fit(run);
}

static bool put(evn_site_run *run, const char *key, double value)
{
    return isnan(value) || evn_site_ask_set(&run->site_ask, key, value, run->call.report);
}

bool evn_site_asks_fit(evn_site_run *run)
{
    const evn_site_args *a = run->args;
    bool fits = evn_asked_apply(&a->asked, &run->ask, run->call.report);
    fits = put(run, "rut_mm", a->rut_mm) && fits;
    fits = put(run, "crown_mm", a->crown_mm) && fits;
    fits = put(run, "clearance_mm", a->clearance_mm) && fits;
    fits = put(run, "unevenness", a->unevenness < 0 ? (double)NAN : a->unevenness) && fits;
    fits = put(run, "unevenness_m3", a->unevenness_m3) && fits;
    fits = put(run, "speed_km_h", a->speed_km_h) && fits;
    fits = put(run, "ride_s", a->ride_s) && fits;
    fits = put(run, "ride_to_hz", a->ride_to_hz) && fits;
    fits = put(run, "over_time", a->over_time) && fits;
    fits = put(run, "seed", a->seed) && fits;
    fits = put(run, "intermodal", a->intermodal) && fits;
    return put(run, "kwh_per_km", a->kwh_per_km) && fits;
}

/* ------------------------------------------------------------------------------------------------ loading */

static bool tell_apart(evn_site_run *run)
{
    const char *short_name[EVN_SITE_TRUCKS_MOST], *name[EVN_SITE_TRUCKS_MOST];
    for (size_t i = 0; i < run->count; i++) {
        short_name[i] = evn_truck_short_name(run->of[i]);
        name[i] = run->name[i];
    }
    return evn_titles_tell_apart(run->title, short_name, name, run->count) || evn_mishap_no_memory(&run->call.mishap);
}

/* A lineup's trucks, and what it asks of the load, unless the command line asks otherwise. */
static bool load_lineup(evn_site_run *run, const evn_load *how)
{
    if (evn_lineup_load_with(run->call.operands[0], how, &run->lineup, run->call.report) != EVN_DONE)
        return false;
    size_t count = evn_lineup_truck_count(run->lineup);
    if (count > EVN_SITE_TRUCKS_MOST) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "a lineup of %zu trucks; one to %d were expected",
                       count, EVN_SITE_TRUCKS_MOST);
        return false;
    }
    run->count = count;
    run->ask = evn_lineup_ask(run->lineup);
    for (size_t i = 0; i < count; i++) {
        run->of[i] = evn_lineup_truck(run->lineup, i);
        run->name[i] = evn_lineup_truck_name(run->lineup, i);
    }
    return true;
}

/* All files are read even if the first is refused: all that is wrong comes out at once. */
static bool load_trucks(evn_site_run *run, evn_load how)
{
    if (!evn_lineup_names_make(&run->names, run->call.operands, run->count))
        return evn_mishap_no_memory(&run->call.mishap);
    if (!evn_lineup_names_fit(&run->names, run->args->load.set.at, &run->call.mishap))
        return false;
    bool all = true;
    for (size_t i = 0; i < run->count; i++) {
        how.truck_name = run->name[i] = run->names.at[i];
        all = evn_truck_load_with(run->call.operands[i], &how, &run->truck[i], run->call.report) == EVN_DONE && all;
        run->of[i] = run->truck[i];
    }
    return all;
}

/* A cycle or a duty. What is set beside the files is for trucks. */
static bool load_driven(evn_site_run *run, const char *path, evn_cycle **cycle, evn_duty **duty)
{
    const evn_load as_written = {.strict = run->args->load.strict};
    const char *kind = evn_file_kind(path, "cycle");
    return kind && strcmp(kind, "duty") == 0
               ? evn_duty_load_with(path, &as_written, duty, run->call.report) == EVN_DONE
               : evn_cycle_load_with(path, &as_written, cycle, run->call.report) == EVN_DONE;
}

static bool load_over(evn_site_run *run)
{
    return !run->args->over || load_driven(run, run->args->over, &run->driven, &run->duty);
}

/* What the ride goes over, as asked for; else what the lineup drives. */
static bool load_route(evn_site_run *run)
{
    const char *path = run->args->cycle;
    if (path && !load_driven(run, path, &run->cycle, &run->legs))
        return false;
    run->site_ask.route = path ? run->cycle : evn_lineup_cycle(run->lineup);
    run->site_ask.duty = path ? run->legs : evn_lineup_duty(run->lineup);
    return true;
}

bool evn_site_load(evn_site_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    bool all = is_lineup(run->call.operands[0]) ? load_lineup(run, &how) : load_trucks(run, how);
    if (run->args->rules)
        all = evn_rules_load(run->args->rules, &run->rules, run->call.report) == EVN_DONE && all;
    run->site_ask.rules = run->rules;
    return load_over(run) && load_route(run) && all && tell_apart(run);
}
