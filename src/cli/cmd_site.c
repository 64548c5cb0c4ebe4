/* evener site: trucks where they work, as figures: how high they stand, what they have room for. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_site.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "cli/site_run.h"
#include "show/names.h"
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

static void set_defaults(void *args)
{
    *(evn_site_args *)args = (evn_site_args){.rut_mm = (double)NAN,
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

/* ------------------------------------------------------------------------------------------------ finding */

/* Of a run that got to its end; of any other there is none, and why. */
static void put_use(evn_energy_use *use, const evn_results *results, evn_status status, const char *over)
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
static evn_status use_over_cycle(evn_site_run *run, const evn_truck *truck, evn_energy_use *use)
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

static evn_status use_over_duty(evn_site_run *run, const evn_truck *truck, evn_energy_use *use)
{
    evn_day *day = NULL;
    evn_day_season season = {.results = NULL};
    evn_status status = evn_drive_duty(truck, run->duty, &run->ask, NULL, &day, run->call.report);
    bool there = day && evn_day_season_at(day, evn_day_worst_season(day), &season);
    put_use(use, there ? season.results : NULL, status, evn_duty_name(run->duty));
    evn_day_free(day);
    return status;
}

static evn_status find_use(evn_site_run *run, size_t index)
{
    evn_energy_use *use = &run->use[index];
    use->kwh_per_km = run->site_ask.kwh_per_km;
    return run->driven ? use_over_cycle(run, run->of[index], use)
           : run->duty ? use_over_duty(run, run->of[index], use)
                       : EVN_DONE;
}

static evn_site_ask ask_of(const evn_site_run *run, size_t index)
{
    const evn_energy_use *use = &run->use[index];
    evn_site_ask ask = run->site_ask;
    ask.use_from = use->from[0] ? use->from : NULL;
    if (!isnan(use->kwh_per_km))
        evn_site_ask_set(&ask, "kwh_per_km", use->kwh_per_km, run->call.report);
    return ask;
}

static evn_status find(void *self)
{
    evn_site_run *run = self;
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

/* ------------------------------------------------------------------------------------------------ the whole */

static evn_status work(void *self)
{
    evn_site_run *run = self;
    run->args = run->call.args;
    run->ask = evn_conditions_default();
    run->site_ask = evn_site_ask_default();
    evn_load_begin(&run->args->load, run->call.report);
    if (!evn_site_arguments_fit(run))
        return EVN_BAD_INPUT;
    bool loaded = evn_site_load(run);
    if (!evn_site_asks_fit(run) || !loaded)
        return evn_report_status(run->call.report);
    const evn_output output[] = {{.option = "--csv", .path = run->args->csv, .file = &run->csv},
                                 {.option = "--page", .path = run->args->page, .file = &run->page, .page = true}};
    return evn_outputs_work(&run->call, output, sizeof output / sizeof *output, find, evn_site_write_files);
}

static void forget(void *self)
{
    evn_site_run *run = self;
    for (size_t i = 0; i < run->count; i++) {
        evn_site_free(run->site[i]);
        evn_truck_free(run->truck[i]);
        free(run->title[i]);
    }
    evn_cycle_free(run->cycle);
    evn_duty_free(run->legs);
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
     .offset = offsetof(evn_site_args, member_),                                                                       \
     .least = -1e12,                                                                                                   \
     .most = 1e12,                                                                                                     \
     .facts = facts_,                                                                                                  \
     .help = help_}

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(evn_site_args, load, "truck", "another value than the files', for this time; once for each"),
    {.name = "group",
     .argument = "GROUP",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(evn_site_args, groups),
     .takes = {EVN_TAKES_SITE, NULL, NULL},
     .help = "no other figures than those of this group: clearance, packaging, ride, axle_loads, rules, payload or "
             "rollover; once for each"},
    {.name = "all",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_site_args, all),
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
     .offset = offsetof(evn_site_args, over),
     .takes = {EVN_TAKES_INPUT, "cycle duty", NULL},
     .help = "a cycle, or the day of a duty, that each truck drives for that use, the battery as it is in its file"},
    {.name = "cycle",
     .argument = "CYCLE",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(evn_site_args, cycle),
     .takes = {EVN_TAKES_INPUT, "cycle duty", NULL},
     .help =
         "a route, by file or name, whose target speeds and surfaces the ride goes over, or a duty, for each of its "
         "legs with what is carried on it; of a lineup its own unless another is given. A route's surface may be a "
         "track as measured, height by height ('evener keys profile')"},
    {.name = "unevenness",
     .argument = "as_route|A|B|C|D|E|F|G|H",
     .kind = EVN_OPTION_CHOICE,
     .offset = offsetof(evn_site_args, unevenness),
     .choices = evn_unevenness_names,
     .help = "one track instead of the route: its class of ISO 8608; C where there is no route"},
    SITE_NUMBER("unevenness-m3", unevenness_m3, "1e-8 to 1",
                "the same as a number: density of the road's height at 0.1 cycles/m"),
    SITE_NUMBER("speed-km-h", speed_km_h, "1 to 150", "speed on that track; 40 where none is given"),
    SITE_NUMBER("ride-s", ride_s, "600; 1 to 1e6", "how long it is driven, for the largest values to expect"),
    SITE_NUMBER("ride-to-hz", ride_to_hz, "80; 1 to 1000", "upper end of the band in which rides are asked"),
    {.name = "over-time",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_site_args, over_time),
     .help = "rides over time too, with bump stops and tyres that leave the road"},
    SITE_NUMBER("seed", seed, "1; 0 to 1e9", "of the profile that is driven over time"),
    {.name = "rules",
     .argument = "RULES",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(evn_site_args, rules),
     .takes = {EVN_TAKES_INPUT, "rules", NULL},
     .help = "a set of rules on masses and axle loads, by file or name: each clause with its margin; where one is not "
             "met, or cannot be judged, the exit code is 1"},
    {.name = "intermodal",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_site_args, intermodal),
     .help = "in intermodal transport, for which rules may allow more"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_site_args, json),
     .help = "one JSON document, also when something fails"},
    EVN_DIGITS_OPTION(evn_site_args, digits),
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(evn_site_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "all figures, a row for each truck and figure"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(evn_site_args, page),
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
                                       "evener site tipper-8x4-central --group ride --cycle tipper-rounds",
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
                                      .asked_offset = offsetof(evn_site_args, asked),
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(evn_site_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(evn_site_run),
                                      .work = work,
                                      .tell = evn_site_tell,
                                      .forget = forget};
