/* evener site: trucks where they work, as figures: how high they stand, what they have room for. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_site.h"
#include "cli/call.h"
#include "cli/groups.h"
#include "cli/lineup_names.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "evener/catalogue.h"
#include "evener/duty.h"
#include "show/document.h"
#include "show/names.h"
#include "show/out_file.h"
#include "show/site_story.h"
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

enum { TRUCKS = EVN_SITE_TRUCKS_MOST, GROUPS_MOST = 32 };

typedef struct site_args {
    evn_load_args load;
    evn_asked asked;
    evn_texts groups;
    bool json, digits, intermodal, all;
    const char *rules;                                 /* NULL: none */
    const char *csv, *page, *cycle, *over;             /* NULL: none */
    double rut_mm, crown_mm, clearance_mm, kwh_per_km; /* NAN: not given */
    int unevenness;                                    /* -1: not given */
    double unevenness_m3, speed_km_h, ride_s, ride_to_hz, seed;
    bool over_time;
} site_args;

static void set_defaults(void *args)
{
    *(site_args *)args = (site_args){.rut_mm = (double)NAN,
                                     .crown_mm = (double)NAN,
                                     .clearance_mm = (double)NAN,
                                     .kwh_per_km = (double)NAN,
                                     .unevenness = -1,
                                     .unevenness_m3 = (double)NAN,
                                     .speed_km_h = (double)NAN,
                                     .ride_s = (double)NAN,
                                     .ride_to_hz = (double)NAN,
                                     .seed = (double)NAN};
}

/* Energy from the battery per km, as given or driven. */
typedef struct energy_use {
    double kwh_per_km; /* NAN: none */
    char status[48];   /* of the run; "": none, or finished */
    char from[200];    /* where it comes from, or why there is none; "": as given */
} energy_use;

typedef struct site_run {
    evn_call call;
    const site_args *args;
    evn_conditions ask;
    evn_site_ask site_ask;
    size_t count;       /* trucks */
    evn_lineup *lineup; /* that holds them; NULL: trucks by themselves */
    evn_cycle *cycle;   /* the route as asked for; NULL: none */
    evn_cycle *driven;  /* that each drives for its energy use; NULL: none, or a duty */
    evn_duty *duty;     /* likewise */
    evn_lineup_names names;
    evn_rules *rules;            /* NULL: none */
    evn_truck *truck[TRUCKS];    /* of those by themselves */
    const evn_truck *of[TRUCKS]; /* all */
    const char *name[TRUCKS];
    char *title[TRUCKS]; /* NULL: no other bears its short name */
    energy_use use[TRUCKS];
    evn_site *site[TRUCKS];
    evn_out_file csv, page;
} site_run;

/* ------------------------------------------------------------------------------------------------ arguments */

static size_t names_of_groups(const char *names[GROUPS_MOST])
{
    const char *title, *help;
    size_t count = 0;
    while (count < GROUPS_MOST && evn_site_group_at(count, &names[count], &title, &help))
        count++;
    return count;
}

static bool groups_fit(site_run *run)
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

static bool asks_for_group(const site_args *a, const char *group)
{
    for (size_t i = 0; a->groups.at[i]; i++)
        if (strcmp(a->groups.at[i], group) == 0)
            return true;
    return false;
}

/* Options of which one is for nothing beside, or without, another. */
static bool pairs_fit(site_run *run)
{
    const site_args *a = run->args;
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

static bool arguments_fit(site_run *run)
{
    size_t lineups = 0;
    while (run->call.operands[run->count] && run->count < TRUCKS)
        lineups += is_lineup(run->call.operands[run->count++]);
    if (run->call.operands[run->count])
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "more than %d trucks; one to %d were expected",
                       TRUCKS, TRUCKS);
    else if (lineups > 0 && run->count > 1)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "a lineup beside another file; trucks, or one lineup alone, were expected");
    return !evn_mishap_happened(&run->call.mishap) && groups_fit(run) && pairs_fit(run);
}

static bool put(site_run *run, const char *key, double value)
{
    return isnan(value) || evn_site_ask_set(&run->site_ask, key, value, run->call.report);
}

static bool asks_fit(site_run *run)
{
    const site_args *a = run->args;
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

static bool shares_short_name(const site_run *run, size_t index)
{
    const char *own = evn_truck_short_name(run->of[index]), *other;
    bool shared = false;
    for (size_t i = 0; own && i < run->count; i++) {
        other = evn_truck_short_name(run->of[i]);
        shared = shared || (i != index && other && strcmp(own, other) == 0);
    }
    return shared;
}

/* "central drive (tractor)", of trucks that bear the same short name, as comparisons have it. */
static bool tell_apart(site_run *run)
{
    for (size_t i = 0; i < run->count; i++) {
        if (!shares_short_name(run, i))
            continue;
        const char *shared = evn_truck_short_name(run->of[i]), *name = run->name[i];
        size_t bytes = strlen(shared) + strlen(name) + sizeof " ()";
        run->title[i] = malloc(bytes);
        if (!run->title[i])
            return evn_mishap_no_memory(&run->call.mishap);
        snprintf(run->title[i], bytes, "%s (%s)", shared, name);
    }
    return true;
}

/* A lineup's trucks, and what it asks of the load, unless the command line asks otherwise. */
static bool load_lineup(site_run *run, const evn_load *how)
{
    if (evn_lineup_load_with(run->call.operands[0], how, &run->lineup, run->call.report) != EVN_DONE)
        return false;
    size_t count = evn_lineup_truck_count(run->lineup);
    if (count > TRUCKS) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "a lineup of %zu trucks; one to %d were expected",
                       count, TRUCKS);
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
static bool load_trucks(site_run *run, evn_load how)
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

/* What is set beside the files is for trucks. */
static bool load_over(site_run *run)
{
    const evn_load as_written = {.strict = run->args->load.strict};
    const char *path = run->args->over, *kind = path ? evn_file_kind(path, "cycle") : NULL;
    if (!path)
        return true;
    return kind && strcmp(kind, "duty") == 0
               ? evn_duty_load_with(path, &as_written, &run->duty, run->call.report) == EVN_DONE
               : evn_cycle_load_with(path, &as_written, &run->driven, run->call.report) == EVN_DONE;
}

/* The cycle as asked for, else that of a lineup. */
static bool load_route(site_run *run)
{
    const evn_load as_written = {.strict = run->args->load.strict};
    if (run->args->cycle &&
        evn_cycle_load_with(run->args->cycle, &as_written, &run->cycle, run->call.report) != EVN_DONE)
        return false;
    run->site_ask.route = run->cycle ? run->cycle : run->lineup ? evn_lineup_cycle(run->lineup) : NULL;
    return true;
}

static bool load(site_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    bool all = is_lineup(run->call.operands[0]) ? load_lineup(run, &how) : load_trucks(run, how);
    if (run->args->rules)
        all = evn_rules_load(run->args->rules, &run->rules, run->call.report) == EVN_DONE && all;
    run->site_ask.rules = run->rules;
    return load_over(run) && load_route(run) && all && tell_apart(run);
}

/* ------------------------------------------------------------------------------------------------ finding */

/* Of a run that got to its end; of any other there is none, and why. */
static void put_use(energy_use *use, const evn_results *results, evn_status status, const char *over)
{
    const char *ended = results ? evn_results_status(results) : "failed";
    bool finished = status == EVN_DONE && results && evn_results_get(results, "kwh_per_km", &use->kwh_per_km);
    if (finished) {
        snprintf(use->from, sizeof use->from, "over %.100s", over);
        return;
    }
    use->kwh_per_km = (double)NAN;
    snprintf(use->status, sizeof use->status, "%s", strcmp(ended, "finished") == 0 ? "failed" : ended);
    snprintf(use->from, sizeof use->from, "%.100s was not driven to its end: %s", over, use->status);
    for (char *c = strrchr(use->from, ':'); c && *c; c++)
        *c = *c == '_' ? ' ' : *c;
}

/* Energy from the battery per km over the cycle, or over the duty's day in the season that leaves least. */
static evn_status use_over_cycle(site_run *run, const evn_truck *truck, energy_use *use)
{
    evn_rig *rig = NULL;
    evn_results *results = NULL;
    evn_status status = evn_rig_prepare(truck, &run->ask.load_case, &rig, run->call.report);
    if (status == EVN_DONE)
        status = evn_drive(rig, run->driven, &run->ask.driving, NULL, &results, run->call.report);
    put_use(use, results, status, evn_cycle_name(run->driven));
    evn_results_free(results);
    evn_rig_free(rig);
    return status;
}

static evn_status use_over_duty(site_run *run, const evn_truck *truck, energy_use *use)
{
    evn_day *day = NULL;
    evn_day_season season = {.results = NULL};
    evn_status status = evn_drive_duty(truck, run->duty, &run->ask, NULL, &day, run->call.report);
    bool there = day && evn_day_season_at(day, evn_day_worst_season(day), &season);
    put_use(use, there ? season.results : NULL, status, evn_duty_name(run->duty));
    evn_day_free(day);
    return status;
}

static evn_status find_use(site_run *run, size_t index)
{
    energy_use *use = &run->use[index];
    use->kwh_per_km = run->site_ask.kwh_per_km;
    return run->driven ? use_over_cycle(run, run->of[index], use)
           : run->duty ? use_over_duty(run, run->of[index], use)
                       : EVN_DONE;
}

static evn_site_ask ask_of(const site_run *run, size_t index)
{
    const energy_use *use = &run->use[index];
    evn_site_ask ask = run->site_ask;
    ask.use_from = use->from[0] ? use->from : NULL;
    if (!isnan(use->kwh_per_km))
        evn_site_ask_set(&ask, "kwh_per_km", use->kwh_per_km, run->call.report);
    return ask;
}

static evn_status find(site_run *run)
{
    bool all_met = true;
    evn_status worst = EVN_DONE;
    for (size_t i = 0; i < run->count; i++) {
        evn_status driven = find_use(run, i);
        evn_site_ask ask = ask_of(run, i);
        evn_status status = evn_site_find(run->of[i], &run->ask.load_case, &ask, &run->site[i], run->call.report);
        worst = status > worst ? status : worst;
        worst = driven > worst ? driven : worst;
        all_met = all_met && run->site[i] && evn_site_meets_all(run->site[i]);
    }
    evn_status said = evn_report_status(run->call.report);
    worst = said > worst ? said : worst;
    return worst == EVN_DONE && !all_met ? EVN_ANSWER_NO : worst;
}

static bool all_found(const site_run *run)
{
    bool all = run->count > 0;
    for (size_t i = 0; i < run->count; i++)
        all = all && run->site[i];
    return all;
}

/* ------------------------------------------------------------------------------------------------ telling it */

/* Of the first truck that did not get to the end of the run for its energy use; all did: "finished". */
static const char *status_of(const site_run *run)
{
    for (size_t i = 0; i < run->count; i++)
        if (run->use[i].status[0])
            return run->use[i].status;
    return "finished";
}

/* `truck` has room for all. */
static evn_site_story story_of(const site_run *run, evn_site_truck truck[TRUCKS])
{
    bool found = all_found(run) && !evn_mishap_happened(&run->call.mishap);
    for (size_t i = 0; i < run->count; i++)
        truck[i] = (evn_site_truck){run->name[i] ? run->name[i] : run->call.operands[i],
                                    run->title[i],
                                    run->of[i],
                                    run->site[i],
                                    run->use[i].kwh_per_km,
                                    run->use[i].status[0] != '\0'};
    return (evn_site_story){.status = found ? status_of(run) : "failed",
                            .truck = truck,
                            .count = run->count,
                            .ask = run->ask,
                            .site_ask = run->site_ask,
                            .groups = run->args->groups.at,
                            .brief = !run->args->all && !run->args->groups.at[0]};
}

static bool tell(void *self)
{
    const site_run *run = self;
    evn_site_truck truck[TRUCKS];
    evn_site_story story = story_of(run, truck);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_site_json(&story, &run->call.findings, run->call.console->out);
    return !all_found(run) || evn_site_words(&story, run->call.console->out, &look);
}

/* One line for each truck: its name, and what of its demands it misses. To be freed; NULL when memory is out. */
static char *answer_lines(const evn_site_story *story)
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    bool made = to && evn_site_answer_lines(story, to);
    if (to && fclose(to) == 0 && made)
        return text;
    free(text);
    return NULL;
}

static bool page_written(site_run *run, const evn_site_story *story)
{
    evn_html_truck trucks[TRUCKS];
    char title[64];
    if (!run->page.stream)
        return true;
    snprintf(title, sizeof title, "Where %zu trucks work", story->count);
    for (size_t i = 0; i < story->count; i++)
        trucks[i] = (evn_html_truck){
            .name = story->truck[i].name, .title = evn_site_title(&story->truck[i]), .truck = story->truck[i].truck};
    char *answer = answer_lines(story);
    json_t *result = evn_site_document(story);
    evn_findings findings = {0};
    evn_findings_add_report(&findings, run->call.report);
    evn_html_page page = {.kind = "site",
                          .title = story->count > 1 ? title : evn_truck_name(story->truck[0].truck),
                          .result = result,
                          .answer = answer,
                          .trust = EVN_SITE_CAUTION "\n",
                          .truck = trucks,
                          .truck_count = story->count,
                          .command = run->call.console->words,
                          .site = story};
    bool made = answer && result && evn_document_findings(result, &findings);
    made = made ? evn_page_write(&run->page, &page, &run->call.mishap) : evn_mishap_no_memory(&run->call.mishap);
    json_decref(result);
    free(answer);
    return made;
}

static bool open_files(site_run *run)
{
    return (!run->args->csv || evn_out_open(&run->csv, run->args->csv, &run->call.mishap)) &&
           evn_page_open(&run->page, run->args->page, &run->call.mishap);
}

/* All or none. */
static void write_files(site_run *run)
{
    evn_site_truck truck[TRUCKS];
    evn_site_story story = story_of(run, truck);
    if ((!run->csv.stream || evn_site_csv(&story, run->csv.stream)) && page_written(run, &story))
        evn_call_commit(&run->call, (evn_out_file *const[]){&run->csv, &run->page}, 2);
}

/* Signals are held from before the files are opened until they are ended. */
static evn_status find_and_write(site_run *run)
{
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&run->call.interrupt);
    if (open_files(run)) {
        status = find(run);
        if (all_found(run))
            write_files(run);
    }
    evn_out_drop(&run->csv);
    evn_out_drop(&run->page);
    evn_interrupt_end(&run->call.interrupt);
    return status;
}

static bool outputs_fit(site_run *run)
{
    const evn_output output[] = {{"--csv", run->args->csv}, {"--page", run->args->page}};
    return evn_outputs_fit(output, sizeof output / sizeof output[0], run->call.report, &run->call.mishap);
}

static evn_status work(void *self)
{
    site_run *run = self;
    run->args = run->call.args;
    run->ask = evn_conditions_default();
    run->site_ask = evn_site_ask_default();
    evn_load_begin(&run->args->load, run->call.report);
    if (!arguments_fit(run))
        return EVN_BAD_INPUT;
    bool loaded = load(run);
    if (!asks_fit(run) || !loaded)
        return evn_report_status(run->call.report);
    if (!outputs_fit(run))
        return EVN_BAD_INPUT;
    return find_and_write(run);
}

static void forget(void *self)
{
    site_run *run = self;
    for (size_t i = 0; i < run->count; i++) {
        evn_site_free(run->site[i]);
        evn_truck_free(run->truck[i]);
        free(run->title[i]);
    }
    evn_cycle_free(run->cycle);
    evn_lineup_free(run->lineup);
    evn_rules_free(run->rules);
    evn_cycle_free(run->driven);
    evn_duty_free(run->duty);
    evn_lineup_names_free(&run->names);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_operand operands[] = {
    {"TRUCK",
     "a truck: its file (YAML), or its name as 'evener list' shows it; up to twelve, side by side; or one lineup, for "
     "its trucks",
     {EVN_TAKES_INPUT, "truck lineup", NULL}}};

/* A number of what is asked of the site; its bounds stand in the table of the site's asks, which judges them. */
#define SITE_NUMBER(text, member_, facts_, help_)                                                                      \
    {.name = text,                                                                                                     \
     .argument = "X",                                                                                                  \
     .kind = EVN_OPTION_NUMBER,                                                                                        \
     .offset = offsetof(site_args, member_),                                                                           \
     .least = -1e12,                                                                                                   \
     .most = 1e12,                                                                                                     \
     .facts = facts_,                                                                                                  \
     .help = help_}

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(site_args, load, "truck", "another value than the files', for this time; once for each"),
    {.name = "group",
     .argument = "GROUP",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(site_args, groups),
     .help = "no other figures than those of this group: clearance, packaging, ride, axle_loads, rules, payload or "
             "rollover; once for each"},
    {.name = "all",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(site_args, all),
     .help = "in words every figure with what decides it; without, those that matter most"},
    SITE_NUMBER("rut-mm", rut_mm, "0; 0 to 1000", "depth of the ruts that the wheels stand in"),
    SITE_NUMBER("crown-mm", crown_mm, "0; 0 to 1000",
                "how much higher than beside the ruts the ground is midway between them"),
    SITE_NUMBER("clearance-mm", clearance_mm, "0 to 2000",
                "height over the ground that all that hangs low must have; where a truck has less the exit code is 1"),
    SITE_NUMBER("kwh-per-km", kwh_per_km, "0.05 to 20", "energy use from the battery, for its range"),
    {.name = "over",
     .argument = "CYCLE",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(site_args, over),
     .takes = {EVN_TAKES_INPUT, "cycle duty", NULL},
     .help = "a cycle, or the day of a duty, that each truck drives for that use, the battery as it is in its file"},
    {.name = "cycle",
     .argument = "CYCLE",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(site_args, cycle),
     .takes = {EVN_TAKES_INPUT, "cycle", NULL},
     .help =
         "a route, by file or name, whose target speeds and surfaces the ride goes over; of a lineup its own unless "
         "another is given. Its surface may be a track as measured, height by height ('evener keys profile')"},
    {.name = "unevenness",
     .argument = "as_route|A|B|C|D|E|F|G|H",
     .kind = EVN_OPTION_CHOICE,
     .offset = offsetof(site_args, unevenness),
     .choices = evn_unevenness_names,
     .help = "one track instead of the route: its class of ISO 8608; C where there is no route"},
    SITE_NUMBER("unevenness-m3", unevenness_m3, "1e-8 to 1",
                "the same as a number: density of the road's height at 0.1 cycles/m"),
    SITE_NUMBER("speed-km-h", speed_km_h, "1 to 150", "speed on that track; 40 where none is given"),
    SITE_NUMBER("ride-s", ride_s, "600; 1 to 1e6", "how long it is driven, for the largest values to expect"),
    SITE_NUMBER("ride-to-hz", ride_to_hz, "80; 1 to 1000", "upper end of the band in which rides are asked"),
    {.name = "over-time",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(site_args, over_time),
     .help = "rides over time too, with bump stops and tyres that leave the road"},
    SITE_NUMBER("seed", seed, "1; 0 to 1e9", "of the profile that is driven over time"),
    {.name = "rules",
     .argument = "RULES",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(site_args, rules),
     .takes = {EVN_TAKES_INPUT, "rules", NULL},
     .help = "a set of rules on masses and axle loads, by file or name: each clause with its margin; where one is not "
             "met, or cannot be judged, the exit code is 1"},
    {.name = "intermodal",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(site_args, intermodal),
     .help = "in intermodal transport, for which rules may allow more"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(site_args, json),
     .help = "one JSON document, also when something fails"},
    EVN_DIGITS_OPTION(site_args, digits),
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(site_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "all figures, a row for each truck and figure"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(site_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "the frames to scale and the figures, to be opened in a browser"},
};

static const char *const notes[] = {
    "Tells of trucks where they work, what decides first: what hangs how low over the ground (clearance), what the "
    "frame has room for "
    "(packaging), how axles ride over rough roads (ride), what they carry (axle_loads), how far rules are kept "
    "(rules), "
    "what payload is left (payload), and the static threshold at which a vehicle tips (rollover). Each figure stands "
    "with what decides it, and "
    "with its margin where a limit holds; a figure for which a file lacks data says which key is not stated.",
    EVN_SET_NOTE " With several trucks 'trucks.NAME.KEY' is for one of them, named by its file without the ending; any "
                 "other key is for all.",
    EVN_PAGE_NOTE " Of a site it has each truck's frame from the side and from below, to scale from the file.",
    EVN_SITE_CAUTION, NULL};

static const char *const examples[] = {"evener site tipper-8x4-central",
                                       "evener site tipper-8x4-central tipper-8x2-eaxle --rut-mm 120 --crown-mm 60",
                                       "evener site tipper-out --all",
                                       "evener site tipper-out --group clearance",
                                       "evener site tipper-out --group ride --unevenness E --speed-km-h 25",
                                       "evener site tipper-out --group ride --cycle MEASURED.yaml --over-time",
                                       "evener site tractor-4x2-central --rules eu-96-53 --group rules",
                                       "evener site TRUCK --payload-kg 0 --clearance-mm 260",
                                       "evener site TRUCK OTHER --csv site.csv --page site.html",
                                       "evener site TRUCK --json | jq '.trucks[0].figures.clearance'",
                                       NULL};

const evn_command evn_command_site = {.name = "site",
                                      .summary = "trucks where they work: clearance, room, rides, loads, payload",
                                      .schema = EVN_SITE_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 1,
                                      .operands_many = true,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .asks = evn_asks_load_case,
                                      .asked_offset = offsetof(site_args, asked),
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(site_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(site_run),
                                      .work = work,
                                      .tell = tell,
                                      .forget = forget};
