#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_compare.h"
#include "cli/compare_run.h"
#include "cli/page_file.h"
#include <math.h>
#include <stddef.h>
#include <stdlib.h>

/* In the order of evn_driver. */
static const char *const driver_names[] = {"human", "exact", NULL};

static void set_defaults(void *args)
{
    evn_conditions ask = evn_conditions_default();
    const double none = (double)NAN;
    ask.load_case = (evn_load_case){none, none, none, none, none, none, none};
    *(evn_compare_args *)args = (evn_compare_args){.ask = ask, .driver = -1, .threads = none};
}

/* ------------------------------------------------------------------------------------------------ loading */

static size_t operand_count(const evn_compare_run *run)
{
    size_t count = 0;
    while (run->operands[count] != NULL)
        count++;
    return count;
}

/* All files are read even if the first is refused: all that is wrong comes out at once. */
static bool load_trucks(evn_compare_run *run)
{
    size_t count = operand_count(run);
    evn_load how = evn_load_of(&run->args->load);
    run->truck = calloc(count, sizeof(evn_truck *));
    if (run->truck == NULL || !evn_lineup_names_make(&run->names, run->operands, count)) {
        evn_mishap_say(&run->mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        return false;
    }
    if (!evn_lineup_names_fit(&run->names, run->args->load.set.at, &run->mishap))
        return false;
    bool all = true;
    for (size_t i = 0; i < count; i++) {
        how.truck_name = run->names.at[i];
        all = evn_truck_load_with(run->operands[i], &how, &run->truck[i], run->report) == EVN_DONE && all;
    }
    all = evn_cycle_load_with(run->args->cycle, &how, &run->cycle, run->report) == EVN_DONE && all;
    return all && evn_lineup_of((const evn_truck *const *)run->truck, (const char *const *)run->names.at, count,
                                run->cycle, &run->lineup, run->report) == EVN_DONE;
}

static bool load(evn_compare_run *run)
{
    if (run->args->cycle != NULL)
        return load_trucks(run);
    evn_load how = evn_load_of(&run->args->load);
    return evn_lineup_load_with(run->operands[0], &how, &run->lineup, run->report) == EVN_DONE;
}

static void replace(double *value, double by) { *value = isnan(by) ? *value : by; }

/* What the lineup asks, and over it what the command line does. */
static evn_conditions ask_of(const evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    const evn_load_case *by = &args->ask.load_case;
    evn_conditions ask = evn_lineup_ask(run->lineup);
    ask.driving.driver = args->driver >= 0 ? args->driver : ask.driving.driver;
    ask.driving.accuracy = args->ask.driving.accuracy;
    ask.driving.trace_interval_s = args->ask.driving.trace_interval_s;
    replace(&ask.load_case.payload_kg, args->ask.load_case.payload_kg);
    replace(&ask.load_case.start_soc, args->ask.load_case.start_soc);
    replace(&ask.load_case.gravity_m_s2, by->gravity_m_s2);
    replace(&ask.load_case.air_density_kg_m3, by->air_density_kg_m3);
    replace(&ask.load_case.altitude_m, by->altitude_m);
    replace(&ask.load_case.temperature_degc, by->temperature_degc);
    replace(&ask.load_case.headwind_m_s, by->headwind_m_s);
    return ask;
}

/* ------------------------------------------------------------------------------------------------ comparing */

static bool go_on(void *self, double done_share)
{
    evn_compare_run *run = self;
    evn_progress_show(&run->progress, done_share);
    run->stopped = run->stopped || evn_interrupt_seen(&run->interrupt);
    return !run->stopped;
}

static evn_status compare(evn_compare_run *run)
{
    double threads = run->args->threads;
    evn_compare_how how = {
        .threads = isnan(threads) ? 0 : (size_t)threads, .self = run, .go_on = go_on, .samplers = evn_compare_samplers};
    run->progress = evn_progress_begin(run->console, "all runs");
    evn_status status = evn_compare(run->lineup, &run->ask, &how, &run->comparison, run->report);
    evn_progress_end(&run->progress);
    return status;
}

/* ------------------------------------------------------------------------------------------------ telling it */

static const char *status_name(const evn_compare_run *run)
{
    if (run->comparison == NULL || evn_mishap_happened(&run->mishap))
        return "failed";
    if (run->stopped)
        return "interrupted";
    return evn_report_status(run->report) == EVN_ANSWER_NO ? "incomplete" : "finished";
}

static evn_compare_story story_of(const evn_compare_run *run)
{
    return (evn_compare_story){.status = status_name(run),
                               .lineup = run->lineup,
                               .comparison = run->comparison,
                               .driver = run->ask.driving.driver,
                               .accuracy = run->ask.driving.accuracy};
}

static bool tell(evn_compare_run *run)
{
    evn_compare_story story = story_of(run);
    evn_findings findings = {0};
    evn_findings_add_mishap(&findings, &run->mishap);
    evn_findings_add_report(&findings, run->report);
    evn_findings_print(&findings, run->console->err, &run->console->err_look);
    if (run->args->json)
        return evn_compare_json(&story, &findings, run->console->out);
    return run->comparison == NULL ||
           (evn_compare_text(&story, run->console->out, &run->console->out_look) && evn_compare_pictures(run));
}

/* ------------------------------------------------------------------------------------------------ the command */

static bool arguments_fit(evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    if (args->plot && args->json) {
        evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT,
                       "--plot and --json both want standard output; one of them was expected");
        return false;
    }
    if (args->cycle == NULL && run->operands[1] != NULL) {
        evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT,
                       "several files without --cycle; one lineup, or trucks with --cycle CYCLE, were expected");
        return false;
    }
    if (!isnan(args->threads) && args->threads != floor(args->threads)) {
        evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT, "--threads is %g; a whole number was expected",
                       args->threads);
        return false;
    }
    return true;
}

static evn_status run_compare(evn_compare_run *run)
{
    if (!arguments_fit(run) || !load(run))
        return evn_report_status(run->report);
    run->ask = ask_of(run);
    if (!evn_compare_open(run)) {
        evn_compare_drop(run);
        return EVN_BAD_IO;
    }
    evn_interrupt_begin(&run->interrupt);
    evn_status status = compare(run);
    evn_compare_story story = story_of(run);
    evn_compare_write(run, &story);
    evn_interrupt_end(&run->interrupt);
    return run->stopped ? EVN_NO_RESULT : status;
}

static void forget(evn_compare_run *run)
{
    evn_compare_forget_runs(run);
    evn_comparison_free(run->comparison);
    evn_lineup_free(run->lineup);
    for (size_t i = 0; run->truck != NULL && run->operands[i] != NULL; i++)
        evn_truck_free(run->truck[i]);
    free(run->truck);
    evn_lineup_names_free(&run->names);
    evn_cycle_free(run->cycle);
    evn_report_free(run->report);
}

static evn_status run(const evn_console *console, const char *const *operands, const void *args)
{
    evn_compare_run run = {.console = console, .args = args, .operands = operands, .report = evn_report_new()};
    bool told = false;
    evn_status status = EVN_NO_RESULT;
    if (run.report != NULL) {
        status = run_compare(&run);
        if (evn_mishap_happened(&run.mishap))
            status = run.mishap.status;
        told = tell(&run);
    }
    if (!told) {
        evn_mishap mishap = {0};
        evn_mishap_say(&mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        status = evn_command_mishap(&mishap, console);
    }
    forget(&run);
    return status;
}

/* ------------------------------------------------------------------------------------------------ tables */

#define NUMBER(option_name, sign, member, low, high, meaning)                                                          \
    {.name = (option_name),                                                                                            \
     .argument = (sign),                                                                                               \
     .kind = EVN_OPTION_NUMBER,                                                                                        \
     .offset = offsetof(evn_compare_args, member),                                                                     \
     .least = (low),                                                                                                   \
     .most = (high),                                                                                                   \
     .help = (meaning)}

#define TEXT(option_name, sign, member, meaning)                                                                       \
    {.name = (option_name),                                                                                            \
     .argument = (sign),                                                                                               \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(evn_compare_args, member),                                                                     \
     .help = (meaning)}

static const evn_option options[] = {
    TEXT("cycle", "CYCLE", cycle, "a cycle file (YAML): the operands are trucks then"),
    {.name = "driver",
     .argument = "human|exact",
     .kind = EVN_OPTION_CHOICE,
     .offset = offsetof(evn_compare_args, driver),
     .choices = driver_names,
     .help = "at their own speeds; the lineup's if not given, else human"},
    NUMBER("payload-kg", "N", ask.load_case.payload_kg, 0, 1e6,
           "of each truck; the lineup's, else each truck's own if not given"),
    EVN_LOAD_OPTIONS(evn_compare_args, load, "another value than the files', for this time; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "plot",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, plot),
     .help = "the route with the runs over it, and where the energy went, as pictures in the terminal"},
    TEXT("csv", "FILE.csv", csv, "all results, a row for each truck and basis"),
    TEXT("page", "FILE.html", page, "the comparison with charts, to be opened in a browser"),
    TEXT("trace-dir", "FOLDER", trace_dir, "the runs over time, a CSV file for each truck and basis"),
    NUMBER("trace-interval-s", "X", ask.driving.trace_interval_s, 1e-3, 86400, "time between rows; events add rows"),
    NUMBER("threads", "N", threads, 1, 64, "runs at the same time; as many as processors if not given"),
    NUMBER("accuracy", "X", ask.driving.accuracy, 1e-12, 1e-3, "tolerance of the integration, 1e-12 to 1e-3"),
    NUMBER("start-soc", "X", ask.load_case.start_soc, 0, 1,
           "charge at the start, 0 to 1; each truck's own if not given"),
    NUMBER("air-density-kg-m3", "X", ask.load_case.air_density_kg_m3, 0, 10,
           "from altitude and temperature if not given"),
    NUMBER("altitude-m", "X", ask.load_case.altitude_m, -1000, 11000, "above the sea"),
    NUMBER("temperature-degc", "X", ask.load_case.temperature_degc, -80, 80,
           "of the air; that of the standard atmosphere if not given"),
    NUMBER("headwind-m-s", "X", ask.load_case.headwind_m_s, -60, 60, "along the road; negative from behind"),
    NUMBER("gravity-m-s2", "X", ask.load_case.gravity_m_s2, 0, 30, "acceleration of free fall"),
};

#undef NUMBER
#undef TEXT

static const evn_operand operands[] = {
    {"FILE", "a lineup file (YAML); with --cycle two to twelve truck files, the first held against the others"}};

static const char *const notes[] = {
    "Drives all trucks over one cycle and holds the others against the first: who uses least and by how much, who "
    "arrives when, what held them back, and where the energy goes line by line.",
    "A truck that climbs slower saves air drag. So there are two bases: each truck at its own speeds, and all at one "
    "common speed, the lowest that any of them reaches at each place when it is driven exactly. A truck that cannot "
    "finish does not stop the others: its column says so, and the exit code is 1.",
    EVN_SET_NOTE " Keys are those of the lineup: trucks.central.battery.capacity_ah, cycle.name, payload_kg. With "
                 "--cycle trucks are named by their files without the ending, and a key that begins with neither "
                 "'trucks.' nor 'cycle.' is for all trucks.",
    "What the command line says of driver, payload and conditions goes before what the lineup says. Files are written "
    "whole or not at all; those in the folder of traces are NAME-own.csv and NAME-common.csv. Ctrl-C ends the runs "
    "that have not finished and reports those that have.",
    EVN_PAGE_NOTE,
    NULL};

static const char *const examples[] = {
    "evener compare vehicles/lineups/demo.yaml",
    "evener compare LINEUP --driver exact --payload-kg 12000",
    "evener compare LINEUP --set trucks.central.body.drag_area_m2=5.0",
    "evener compare vehicles/trucks/tractor-4x2-*.yaml --cycle cycles/scenarios/hill.yaml",
    "evener compare LINEUP --plot",
    "evener compare LINEUP --page comparison.html",
    "evener compare LINEUP --csv results.csv --trace-dir traces",
    "evener compare LINEUP --json | jq '.trucks[] | [.name, .common.percent.kwh_per_km]'",
    NULL};

const evn_command evn_command_compare = {.name = "compare",
                                         .summary = "several trucks side by side over one cycle",
                                         .schema = EVN_COMPARE_SCHEMA,
                                         .operands = operands,
                                         .operand_count = 1,
                                         .operands_many = true,
                                         .options = options,
                                         .option_count = sizeof options / sizeof options[0],
                                         .notes = notes,
                                         .examples = examples,
                                         .args_size = sizeof(evn_compare_args),
                                         .defaults = set_defaults,
                                         .run = run};
