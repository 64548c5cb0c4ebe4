/* evener payback: what the dearer truck earns, year by year, and which to buy. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_payback.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "evener/uncertainty.h"
#include "show/out_file.h"
#include "show/payback_story.h"
#include <math.h>
#include <stddef.h>

typedef struct payback_args {
    evn_load_args load;
    evn_asked asked;
    bool json, digits, own_batteries;
    const char *prices, *csv; /* NULL: not given */
    double annual_km;         /* NAN: likewise */
    size_t years;             /* 0: likewise */
    size_t draws, seed;
    double energy_percent; /* NAN: not given */
} payback_args;

static void set_defaults(void *args)
{
    *(payback_args *)args = (payback_args){.annual_km = (double)NAN, .energy_percent = (double)NAN};
}

typedef struct payback_run {
    evn_call call;
    const payback_args *args;
    evn_conditions ask;
    evn_lineup *lineup;
    evn_prices *prices;
    evn_payback *payback;
    evn_assessment *standing; /* NULL: the duty demands nothing that needs it */
} payback_run;

/* ------------------------------------------------------------------------------------------------ work */

/* Both files are read even if the first is refused: all that is wrong comes out at once. */
static bool load(payback_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    bool lineup = evn_lineup_load_with(run->call.operands[0], &how, &run->lineup, run->call.report) == EVN_DONE;
    return evn_prices_load(run->args->prices, &run->prices, run->call.report) == EVN_DONE && lineup;
}

/* What the duty demands of ground, loads and take-off, by what needs no day. */
static evn_status find_standing(payback_run *run, evn_status status)
{
    if (run->call.stopped || !evn_lineup_demands_more(run->lineup))
        return status;
    evn_assess_how how = {.only_standing = true};
    evn_status said = evn_assess(run->lineup, &run->ask, &how, &run->standing, run->call.report);
    return said > status ? said : status;
}

static evn_status find(payback_run *run)
{
    const payback_args *a = run->args;
    evn_payback_how how = {.annual_km = isnan(a->annual_km) ? 0 : a->annual_km,
                           .years = (unsigned)a->years,
                           .only_as_lineup = a->own_batteries,
                           .draws = a->draws,
                           .seed = a->seed,
                           .energy_percent = isnan(a->energy_percent) ? 0 : a->energy_percent,
                           .self = &run->call,
                           .go_on = evn_call_go_on};
    run->call.progress = evn_progress_begin(run->call.console, "the days");
    evn_status status = evn_payback_find(run->lineup, run->prices, &run->ask, &how, &run->payback, run->call.report);
    evn_progress_end(&run->call.progress);
    return run->payback ? find_standing(run, status) : status;
}

static evn_payback_story story_of(const payback_run *run)
{
    bool there = run->payback && !evn_mishap_happened(&run->call.mishap);
    return (evn_payback_story){.status = run->call.stopped ? "interrupted"
                                         : there           ? "finished"
                                                           : "failed",
                               .lineup = run->lineup,
                               .prices = run->prices,
                               .ask = run->ask,
                               .payback = run->payback,
                               .standing = run->standing};
}

static void write_csv(payback_run *run, evn_out_file *file)
{
    evn_payback_story story = story_of(run);
    int error_number = 0;
    if (evn_payback_csv(&story, file->stream, &error_number))
        evn_call_commit(&run->call, &(evn_out_file *){file}, 1);
    else
        evn_out_failed(file, &run->call.mishap, error_number);
}

/* Signals are held from before the file is opened until it is ended. */
static evn_status find_and_write(payback_run *run)
{
    evn_out_file file = {0};
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&run->call.interrupt);
    if (!run->args->csv || evn_out_open(&file, run->args->csv, &run->call.mishap)) {
        status = find(run);
        if (file.stream && run->payback && !run->call.stopped)
            write_csv(run, &file);
    }
    evn_out_drop(&file);
    evn_interrupt_end(&run->call.interrupt);
    return status;
}

static evn_status work(void *self)
{
    payback_run *run = self;
    run->args = run->call.args;
    run->ask = evn_conditions_default();
    const evn_output output[] = {{"--csv", run->args->csv}};
    evn_load_begin(&run->args->load, run->call.report);
    if (!run->args->prices) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "no prices; --prices with a file of prices was expected, such as one of 'evener list prices'");
        return EVN_BAD_INPUT;
    }
    if (!isnan(run->args->energy_percent) && run->args->draws == 0) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--energy-percent is for draws alone; --draws was expected beside it");
        return EVN_BAD_INPUT;
    }
    if (!load(run))
        return evn_report_status(run->call.report);
    run->ask = evn_lineup_ask(run->lineup);
    if (!evn_asked_apply(&run->args->asked, &run->ask, run->call.report))
        return evn_report_status(run->call.report);
    if (!evn_outputs_fit(output, 1, run->call.report, &run->call.mishap))
        return EVN_BAD_INPUT;
    return find_and_write(run);
}

static bool tell(void *self)
{
    const payback_run *run = self;
    evn_payback_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_payback_json(&story, &run->call.findings, run->call.console->out);
    return !run->payback || evn_payback_words(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    payback_run *run = self;
    evn_assessment_free(run->standing);
    evn_payback_free(run->payback);
    evn_prices_free(run->prices);
    evn_lineup_free(run->lineup);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    {.name = "prices",
     .argument = "PRICES",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(payback_args, prices),
     .takes = {EVN_TAKES_INPUT, "prices", NULL},
     .help =
         "what trucks, parts, energy and all else cost: a file of prices (YAML), or its name as 'evener list' shows "
         "it; always needed"},
    {.name = "annual-km",
     .argument = "KM",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(payback_args, annual_km),
     .least = 100,
     .most = 1e6,
     .help = "distance a year; not given: as the prices say, else the working days of the duty times its day",
     .facts = "100 to 1000000"},
    {.name = "years",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(payback_args, years),
     .least = 1,
     .most = 40,
     .help = "how long the trucks are kept; not given: as the prices say",
     .facts = "1 to 40"},
    {.name = "own-batteries",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(payback_args, own_batteries),
     .help = "each truck with the battery of its file only: the smallest that does the day is not looked for, which "
             "takes most of the time"},
    {.name = "draws",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(payback_args, draws),
     .least = EVN_DRAWS_LEAST,
     .most = EVN_DRAWS_MOST,
     .help = "how sure it is: so many draws of what the prices say of how far they may be off (uncertain), a multiple "
             "of 4; not given: none",
     .facts = "16 to 65536"},
    {.name = "seed",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(payback_args, seed),
     .most = 1000000,
     .help = "other draws; the same seed gives the same",
     .facts = "0"},
    {.name = "energy-percent",
     .argument = "PERCENT",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(payback_args, energy_percent),
     .most = 50,
     .help = "by which the energy of each other truck may be off against the first, as half width of a normal "
             "distribution, such as 'evener compare' tells of a like cycle; not given: not at all. For --draws",
     .facts = "0 to 50"},
    EVN_LOAD_OPTIONS(payback_args, load, "lineup", "another value than the files', for this time; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(payback_args, json),
     .help = "one JSON document, also when something fails: each figure with its formula and what went into it"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(payback_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a line for each basis, truck and figure"},
    EVN_DIGITS_OPTION(payback_args, digits),
};

static const evn_operand operands[] = {
    {"LINEUP", "a lineup: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "lineup", NULL}}};

static const char *const notes[] = {
    "The day of the lineup's duty is driven by each truck in every season, which count by their shares of the year; a "
    "lineup over a cycle drives that. The price of a truck follows from what it is bought of: base, motors, inverters, "
    "gears, shafts, axles, battery, as its file has them and by prices per piece, kW, kWh or kg. Each truck is held "
    "against the first.",
    "There are two bases: each with the battery of its file, and each with the smallest battery that does the day in "
    "every season at its last year's age. Costs per km spread what is bought evenly over the years at the interest of "
    "the prices; replaced batteries and what is left at the end count. A rate of return is told with all others that "
    "the flow has: there may be none, one or several.",
    "A truck that does not do what the duty demands (a steepest start, a reserve) has its costs, but is out of what to "
    "buy. What the lineup makes equal counts as in comparisons.",
    "The exit code is 1 where a truck does not come to the end of its day, no battery of another size does it, or the "
    "day does not come to what the duty demands; the others are told none the less. Interrupted (code 3), what was "
    "whole by then is told and marked; files are not written.",
    EVN_SET_NOTE,
    NULL};

static const char *const examples[] = {"evener payback motorway-day --prices fleet",
                                       "evener payback motorway-day --prices fleet --annual-km 150000 --years 6",
                                       "evener payback motorway --prices fleet --annual-km 120000 --own-batteries",
                                       "evener payback LINEUP --prices PRICES --csv costs.csv",
                                       "evener payback LINEUP --prices PRICES --json | jq '.bases[0].advice'",
                                       NULL};

const evn_command evn_command_payback = {.name = "payback",
                                         .summary = "what the dearer truck earns, and which to buy",
                                         .schema = EVN_PAYBACK_SCHEMA,
                                         .operands = operands,
                                         .operand_count = 1,
                                         .options = options,
                                         .option_count = sizeof options / sizeof options[0],
                                         .asks = evn_ask_kinds,
                                         .asked_offset = offsetof(payback_args, asked),
                                         .notes = notes,
                                         .examples = examples,
                                         .args_size = sizeof(payback_args),
                                         .defaults = set_defaults,
                                         .run_size = sizeof(payback_run),
                                         .work = work,
                                         .tell = tell,
                                         .forget = forget};
