/* evener match: a truck held against a log of its drive. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_match.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/log_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "show/match_story.h"
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

typedef struct match_args {
    evn_load_args load;
    evn_log_args log;
    evn_asked asked;
    evn_match_how how;
    bool json, digits, plot;
    const char *explain, *csv, *page; /* NULL: not given */
} match_args;

static void set_defaults(void *args) { *(match_args *)args = (match_args){.how = evn_match_how_default()}; }

typedef struct match_run {
    evn_call call;
    const match_args *args;
    evn_conditions ask;
    evn_match_how how;
    evn_truck *truck;
    evn_match *match;
    evn_out_file csv, page;
} match_run;

/* ------------------------------------------------------------------------------------------------ arguments */

/* The parameter of a word of so many bytes; EVN_MATCH_PARAMETERS: none. */
static size_t parameter_of(const char *word, size_t bytes)
{
    size_t k = 0;
    while (k < EVN_MATCH_PARAMETERS) {
        const char *name = evn_match_word((evn_match_parameter)k);
        if (strlen(name) == bytes && strncmp(name, word, bytes) == 0)
            break;
        k++;
    }
    return k;
}

static bool refuse_word(match_run *run, const char *word, size_t bytes)
{
    const char *names[EVN_MATCH_PARAMETERS];
    char found[64];
    snprintf(found, sizeof found, "%.*s", (int)(bytes < sizeof found ? bytes : sizeof found - 1), word);
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        names[k] = evn_match_word((evn_match_parameter)k);
    const char *near = evn_name_nearest(found, names, sizeof *names, EVN_MATCH_PARAMETERS);
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                   "--explain names '%s'; rolling, drag_area, mass, auxiliaries, headwind or regeneration with commas "
                   "between, or none, "
                   "was expected%s%s%s",
                   found, near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "");
    return false;
}

/* "rolling,drag_area", or "none". */
static bool explain_fits(match_run *run)
{
    const char *at = run->args->explain;
    if (!at)
        return true;
    run->how.explain = 0;
    if (strcmp(at, "none") == 0)
        return true;
    for (;;) {
        size_t bytes = strcspn(at, ","), k = parameter_of(at, bytes);
        if (k == EVN_MATCH_PARAMETERS)
            return refuse_word(run, at, bytes);
        run->how.explain |= 1u << k;
        if (at[bytes] == '\0')
            return true;
        at += bytes + 1;
    }
}

/* ------------------------------------------------------------------------------------------------ work */

static evn_match_story story_of(const match_run *run)
{
    const evn_results *results = evn_match_results(run->match);
    bool mishap = evn_mishap_happened(&run->call.mishap);
    return (evn_match_story){.status = mishap              ? "failed"
                                       : run->call.stopped ? "interrupted"
                                       : results           ? evn_results_status(results)
                                                           : "failed",
                             .truck = run->truck ? evn_truck_name(run->truck) : NULL,
                             .truck_invented = run->truck && evn_truck_invented(run->truck),
                             .log = run->call.operands[0] ? run->call.operands[1] : NULL,
                             .match = run->match};
}

static bool came_to_its_end(const match_run *run)
{
    const evn_results *results = evn_match_results(run->match);
    return results && strcmp(evn_results_status(results), "finished") == 0;
}

static evn_status find(match_run *run)
{
    run->call.progress = evn_progress_begin(run->call.console, "the log");
    evn_status status =
        evn_match_find(run->truck, run->call.operands[1], &run->ask, &run->how, &run->match, run->call.report);
    evn_progress_end(&run->call.progress);
    return status;
}

static bool write_page(match_run *run)
{
    evn_match_story story = story_of(run);
    evn_look look = {.utf8 = true};
    json_t *document = evn_match_document(&story);
    char *answer = evn_match_answer(&story, &look), *trust = evn_match_trust(&story);
    const evn_html_truck truck = {
        .name = "truck", .title = story.truck, .truck = run->truck, .results = evn_match_results(run->match)};
    evn_html_page page = {.kind = "match",
                          .title = story.truck,
                          .result = document,
                          .answer = answer,
                          .trust = trust,
                          .truck = &truck,
                          .truck_count = 1,
                          .command = run->call.console->words,
                          .match = &story};
    bool made = document && answer && trust && evn_page_write(&run->page, &page, &run->call.mishap);
    json_decref(document);
    free(answer);
    free(trust);
    return made;
}

static void write_files(match_run *run)
{
    evn_match_story story = story_of(run);
    int error_number = 0;
    if (run->page.stream && !write_page(run))
        return;
    if (run->csv.stream && !evn_match_csv(&story, run->csv.stream, &error_number)) {
        evn_out_failed(&run->csv, &run->call.mishap, error_number);
        return;
    }
    evn_call_commit(&run->call, (evn_out_file *[]){&run->csv, &run->page}, 2);
}

/* Signals are held from before the files are opened until they are ended. */
static evn_status find_and_write(match_run *run)
{
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&run->call.interrupt);
    if ((!run->args->csv || evn_out_open(&run->csv, run->args->csv, &run->call.mishap)) &&
        evn_page_open(&run->page, run->args->page, &run->call.mishap)) {
        status = find(run);
        if (came_to_its_end(run))
            write_files(run);
    }
    evn_out_drop(&run->csv);
    evn_out_drop(&run->page);
    evn_interrupt_end(&run->call.interrupt);
    return status;
}

static evn_status work(void *self)
{
    match_run *run = self;
    run->args = run->call.args;
    const evn_output output[] = {{"--csv", run->args->csv}, {"--page", run->args->page}};
    evn_load how = evn_load_of(&run->args->load);
    run->ask = evn_conditions_default();
    run->how = run->args->how;
    run->how.import.log = evn_log_asked(&run->args->log);
    run->how.self = &run->call;
    run->how.go_on = evn_call_go_on;
    evn_load_begin(&run->args->load, run->call.report);
    if (run->args->plot && run->args->json) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--plot and --json both want standard output; one of them was expected");
        return EVN_BAD_INPUT;
    }
    if (!explain_fits(run))
        return EVN_BAD_INPUT;
    evn_asked_apply(&run->args->asked, &run->ask, run->call.report);
    if (evn_truck_load_with(run->call.operands[0], &how, &run->truck, run->call.report) != EVN_DONE)
        return evn_report_status(run->call.report);
    if (!evn_outputs_fit(output, sizeof output / sizeof output[0], run->call.report, &run->call.mishap))
        return EVN_BAD_INPUT;
    return find_and_write(run);
}

static bool tell(void *self)
{
    const match_run *run = self;
    const match_args *args = run->call.args;
    evn_match_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, args->digits);
    if (args->json) {
        if (!came_to_its_end(run))
            story.match = NULL;
        return evn_match_json(&story, &run->call.findings, run->call.console->out);
    }
    return !came_to_its_end(run) || (evn_match_text(&story, run->call.console->out, &look) &&
                                     (!args->plot || evn_match_plot(&story, run->call.console->out, &look)));
}

static void forget(void *self)
{
    match_run *run = self;
    evn_match_free(run->match);
    evn_truck_free(run->truck);
}

/* ------------------------------------------------------------------------------------------------ tables */

#define NUMBER(key, argument_, member, least_, most_, help_, facts_)                                                   \
    {.name = (key),                                                                                                    \
     .argument = (argument_),                                                                                          \
     .kind = EVN_OPTION_NUMBER,                                                                                        \
     .offset = offsetof(match_args, how.member),                                                                       \
     .least = (least_),                                                                                                \
     .most = (most_),                                                                                                  \
     .help = (help_),                                                                                                  \
     .facts = (facts_)}

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(match_args, load, "truck", "another value than the file's, for this run; once for each"),
    {.name = "explain",
     .argument = "A,B,C",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(match_args, explain),
     .help = "parameters that may explain what differs: rolling, drag_area, mass, auxiliaries, headwind, regeneration; "
             "or none",
     .facts = "rolling,drag_area,auxiliaries,regeneration"},
    NUMBER("block-s", "S", block_s, 5, 3600, "energies are held against each other in blocks of so long",
           "60; 5 to 3600"),
    {.name = "charging-positive",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(match_args, how.charging_positive),
     .help = "power, current and energy of the log are above 0 while the battery is charged"},
    EVN_LOG_OPTIONS(match_args, log),
    NUMBER("from-s", "S", import.from_s, 0, 1e7, "what is before it is left out, from the log's first time",
           "0 to 1e7"),
    NUMBER("to-s", "S", import.to_s, 0, 1e7, "what is behind it likewise; 0: to the end", "0 to 1e7"),
    NUMBER("speed-width-s", "S", import.speed_width_s, 0.5, 120,
           "waves of speed that are smoothed away; not given: as the log's noise asks for", "0.5 to 120"),
    NUMBER("grade-width-m", "M", import.grade_width_m, 20, 5000,
           "waves of the road that are smoothed away; not given: as the log's noise asks for", "20 to 5000"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(match_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(match_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help =
         "a line for each row of the log: its values, those of the run, and those of the run with what explains it"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(match_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a page with log and run over each other"},
    {.name = "plot",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(match_args, plot),
     .help = "energy of the run less that of the log along the way, as a picture in the terminal"},
    EVN_DIGITS_OPTION(match_args, digits),
};

static const evn_operand operands[] = {
    {"TRUCK", "a truck: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "truck", NULL}},
    {"LOG",
     "a log of its drive (CSV or GPX) with time and speed, altitude or grade, and what to hold the run against: power, "
     "voltage and current, energy, charge, motor_speed",
     {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    "The log is made a cycle as 'evener import' does it, and driven by the driver that --driver names, a human one "
    "unless it is given. "
    "Charge at the start and temperature of the air are those of the log, where it has them and no option says "
    "otherwise. Energies are held against each other in blocks of a minute, as powers of single rows hang on "
    "accelerations, which a speed with noise does not tell.",
    "Values of a few parameters are looked for with which the blocks differ least, each with an interval of 95 %: mean "
    "rolling coefficient, drag area, gross mass, steady auxiliaries, headwind, and how much of what the run returns to "
    "the "
    "battery by braking the log returned, since no two drivers brake alike. Mass and rolling resistance look alike "
    "on "
    "a level road at steady speed, headwind and drag area on a way in one direction: what the log cannot tell apart is "
    "said, and --explain leaves parameters as they are stated.",
    "A difference that is found is no fault: the exit code is 0. 'evener show TRUCK' tells where a stated value "
    "stands.",
    EVN_LOG_NOTE,
    EVN_SET_NOTE,
    EVN_PAGE_NOTE,
    NULL};

static const char *const examples[] = {"evener match tractor-4x2-central delivery.csv",
                                       "evener match TRUCK LOG --payload-kg 18200 --explain rolling,drag_area",
                                       "evener match TRUCK LOG --csv beside.csv --page beside.html",
                                       "evener match TRUCK LOG --column 'power=p_bat [kW]' --plot",
                                       "evener match TRUCK LOG --json | jq .energy.difference_percent",
                                       NULL};

const evn_command evn_command_match = {.name = "match",
                                       .summary = "a truck held against a log of its drive",
                                       .schema = EVN_MATCH_SCHEMA,
                                       .operands = operands,
                                       .operand_count = 2,
                                       .options = options,
                                       .option_count = sizeof options / sizeof options[0],
                                       .asks = evn_ask_kinds,
                                       .asked_offset = offsetof(match_args, asked),
                                       .notes = notes,
                                       .examples = examples,
                                       .args_size = sizeof(match_args),
                                       .defaults = set_defaults,
                                       .run_size = sizeof(match_run),
                                       .work = work,
                                       .tell = tell,
                                       .forget = forget};
