/* evener range: how far a truck gets on a day before its reserve is met, and which battery the day takes. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_range.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "cli/number_list.h"
#include "cli/outputs.h"
#include "evener/catalogue.h"
#include "show/range_story.h"
#include <math.h>
#include <stddef.h>
#include <string.h>

typedef struct range_args {
    evn_load_args load;
    evn_asked asked;
    bool json, digits, only_distances;
    const char *payloads_kg, *ages_years, *csv; /* NULL: not given */
    double distance_km, pack_kg_per_kwh;        /* NAN: likewise */
} range_args;

static void set_defaults(void *args)
{
    *(range_args *)args = (range_args){.distance_km = (double)NAN, .pack_kg_per_kwh = (double)NAN};
}

typedef struct range_run {
    evn_call call;
    const range_args *args;
    evn_conditions ask;
    evn_truck *truck;
    evn_cycle *cycle; /* NULL: a duty */
    evn_duty *duty;
    evn_range *range;
    evn_out_file csv;
    double payload_kg[EVN_RANGE_PAYLOADS_MOST], age_years[EVN_RANGE_AGES_MOST];
    size_t payloads, ages;
} range_run;

/* ------------------------------------------------------------------------------------------------ arguments */

static bool lists_fit(range_run *run)
{
    static const double PAYLOAD_MOST_KG = 500000, AGE_MOST_YEARS = 40;
    const range_args *a = run->args;
    const evn_number_list payloads = {"--payloads-kg", a->payloads_kg, 0, PAYLOAD_MOST_KG, EVN_RANGE_PAYLOADS_MOST};
    const evn_number_list ages = {"--ages-years", a->ages_years, 0, AGE_MOST_YEARS, EVN_RANGE_AGES_MOST};
    return evn_number_list_read(&payloads, run->payload_kg, &run->payloads, &run->call.mishap) &&
           evn_number_list_read(&ages, run->age_years, &run->ages, &run->call.mishap);
}

/* False, with a mishap. */
static bool excluded(range_run *run, const char *one, const char *other, const char *which)
{
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "%s with %s, which %s; one of them was expected", one,
                   other, which);
    return false;
}

static bool arguments_fit(range_run *run)
{
    const range_args *a = run->args;
    if (a->only_distances && !isnan(a->pack_kg_per_kwh))
        return excluded(run, "--pack-kg-per-kwh", "--only-distances", "looks for no battery");
    if (a->ages_years && evn_asked_given(&a->asked, "load_case", "battery_age_years"))
        return excluded(run, "--battery-age-years", "--ages-years", "asks for the same of several");
    if (a->payloads_kg && evn_asked_given(&a->asked, "load_case", "payload_kg"))
        return excluded(run, "--payload-kg", "--payloads-kg", "asks for the same of several");
    return lists_fit(run);
}

/* ------------------------------------------------------------------------------------------------ work */

/* Both files are read even if the first is refused: all that is wrong comes out at once. */
static bool load(range_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    const char *kind = evn_file_kind(run->call.operands[1], "duty");
    bool truck = evn_truck_load_with(run->call.operands[0], &how, &run->truck, run->call.report) == EVN_DONE;
    if (kind && strcmp(kind, "cycle") == 0)
        return evn_cycle_load_with(run->call.operands[1], &how, &run->cycle, run->call.report) == EVN_DONE && truck &&
               evn_duty_of_cycle(run->cycle, &run->duty, run->call.report) == EVN_DONE;
    return evn_duty_load_with(run->call.operands[1], &how, &run->duty, run->call.report) == EVN_DONE && truck;
}

static evn_status find(void *self)
{
    range_run *run = self;
    const range_args *a = run->args;
    evn_range_how how = {.payload_kg = run->payload_kg,
                         .payloads = run->payloads,
                         .age_years = run->age_years,
                         .ages = run->ages,
                         .distance_km = isnan(a->distance_km) ? 0 : a->distance_km,
                         .pack_kg_per_kwh = isnan(a->pack_kg_per_kwh) ? 0 : a->pack_kg_per_kwh,
                         .only_distances = a->only_distances,
                         .self = &run->call,
                         .go_on = evn_call_go_on};
    run->call.progress = evn_progress_begin(run->call.console, "the distances");
    evn_status status = evn_range_find(run->truck, run->duty, &run->ask, &how, &run->range, run->call.report);
    evn_progress_end(&run->call.progress);
    return status;
}

static evn_range_story story_of(const range_run *run)
{
    bool there = run->range && !evn_mishap_happened(&run->call.mishap);
    return (evn_range_story){.status = there               ? "finished"
                                       : run->call.stopped ? "interrupted"
                                                           : "failed",
                             .truck = run->truck ? evn_truck_name(run->truck) : NULL,
                             .truck_invented = run->truck && evn_truck_invented(run->truck),
                             .duty = run->duty ? evn_duty_name(run->duty) : NULL,
                             .duty_source = run->duty ? evn_duty_source(run->duty) : NULL,
                             .is_cycle = run->cycle,
                             .ages_given = run->ages > 0,
                             .ask = run->ask,
                             .day = run->duty,
                             .range = run->range};
}

static void write_csv(void *self, evn_status found)
{
    range_run *run = self;
    evn_range_story story = story_of(run);
    int error_number = 0;
    (void)found;
    if (!run->csv.stream || !run->range)
        return;
    if (evn_range_csv(&story, run->csv.stream, &error_number))
        evn_call_commit(&run->call, &(evn_out_file *){&run->csv}, 1);
    else
        evn_out_failed(&run->csv, &run->call.mishap, error_number);
}

static evn_status work(void *self)
{
    range_run *run = self;
    run->args = run->call.args;
    const evn_output output = {.option = "--csv", .path = run->args->csv, .file = &run->csv};
    run->ask = evn_conditions_default();
    evn_load_begin(&run->args->load, run->call.report);
    if (!arguments_fit(run))
        return EVN_BAD_INPUT;
    evn_asked_apply(&run->args->asked, &run->ask, run->call.report);
    if (!load(run))
        return evn_report_status(run->call.report);
    return evn_outputs_work(&run->call, &output, 1, find, write_csv);
}

static bool tell(void *self)
{
    const range_run *run = self;
    evn_range_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_range_json(&story, &run->call.findings, run->call.console->out);
    return !run->range || evn_range_text(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    range_run *run = self;
    evn_range_free(run->range);
    evn_duty_free(run->duty);
    evn_cycle_free(run->cycle);
    evn_truck_free(run->truck);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(range_args, load, "truck", "another value than the files', for this run; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(range_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(range_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a line for each payload, age and season"},
    {.name = "payloads-kg",
     .argument = "A,B,C",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(range_args, payloads_kg),
     .help = "heaviest payloads of the day, up to 8; those of all its legs go with them in proportion; not given: as "
             "written, half of it, and none. The first is that which the answer is about"},
    {.name = "ages-years",
     .argument = "A,B,C",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(range_args, ages_years),
     .help = "ages of the battery, up to 8; not given: new and after 5 years where the battery states its ageing"},
    {.name = "distance-km",
     .argument = "KM",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(range_args, distance_km),
     .least = 0.1,
     .most = 5000,
     .help = "what has to be reached; not given: the day, or the distance that the duty demands where that is more",
     .facts = "0.1 to 5000"},
    {.name = "pack-kg-per-kwh",
     .argument = "KG",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(range_args, pack_kg_per_kwh),
     .least = 0.1,
     .most = 100,
     .help = "mass of a battery per kWh that it has more or less than the truck's; not given: that of the truck's over "
             "its kWh, and where its file states no mass 6.7, 150 Wh/kg with frame (common practice, no source)",
     .facts = "0.1 to 100"},
    {.name = "only-distances",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(range_args, only_distances),
     .help = "no battery of another size is looked for"},
    EVN_DIGITS_OPTION(range_args, digits),
};

static const evn_operand operands[] = {
    {"TRUCK", "a truck: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "truck", NULL}},
    {"DUTY",
     "a duty, a working day, or a cycle, which is driven again and again: its file (YAML), or its name",
     {EVN_TAKES_INPUT, "duty cycle", NULL}}};

static const char *const notes[] = {
    "The day is driven until the reserve is met: the charge that the duty demands above the lower end of the battery's "
    "usable window (reserve_soc, reserve_kwh), else that end. Behind its last leg or stop it goes on from its "
    "beginning, with charge, temperatures and payloads as they come, up to 2000 km: the distance is one that was "
    "driven, no quotient. Stops that charge charge each time.",
    "A battery of another size has more or fewer cells of the same kind in parallel: charge, limits of power, heat "
    "capacity, cooling and heating go with its size, resistance against it, voltages stay. Its mass is driven along, "
    "and where a permitted mass of the file (permitted_gross_kg, permitted_kg of an axle) would be passed, payload is "
    "left behind; where the file's truck passes it already, not more than it does. A battery is told that suffices for "
    "the first payload in every season and at every age.",
    "A reserve that is met before the day ends is an answer, and the exit code is 0. It is 1 where the duty demands a "
    "reserve or a distance, or --distance-km does, and the truck as it is does not come to it with the first payload, "
    "in the worst season and at the worst age. 'evener drive TRUCK DUTY' tells one age and payload leg by leg.",
    EVN_SET_NOTE " Keys that begin with 'duty.' are for the duty, with 'cycle.' for the cycle, all others for the "
                 "truck.",
    NULL};

static const char *const examples[] = {"evener range tractor-4x2-central-day haulage-220",
                                       "evener range TRUCK DUTY --payloads-kg 20000,10000,0 --ages-years 0,5,8",
                                       "evener range TRUCK DUTY --distance-km 250 --set battery.capacity_ah=590",
                                       "evener range TRUCK CYCLE --only-distances --temperature-degc -5",
                                       "evener range TRUCK DUTY --csv distances.csv",
                                       "evener range TRUCK DUTY --json | jq .battery",
                                       NULL};

const evn_command evn_command_range = {.name = "range",
                                       .summary = "how far on a day, and which battery the day takes",
                                       .schema = EVN_RANGE_SCHEMA,
                                       .operands = operands,
                                       .operand_count = 2,
                                       .not_of = "lineup",
                                       .in_its_place =
                                           "it takes one truck at a time: 'evener range TRUCK DUTY' for each of the "
                                           "files that the lineup names under trucks, with its duty or cycle",
                                       .options = options,
                                       .option_count = sizeof options / sizeof options[0],
                                       .asks = evn_ask_kinds,
                                       .asked_offset = offsetof(range_args, asked),
                                       .notes = notes,
                                       .examples = examples,
                                       .args_size = sizeof(range_args),
                                       .defaults = set_defaults,
                                       .run_size = sizeof(range_run),
                                       .work = work,
                                       .tell = tell,
                                       .forget = forget};
