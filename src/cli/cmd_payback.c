/* evener payback: what the dearer truck earns, year by year, and which to buy. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_payback.h"
#include "cli/look_options.h"
#include "cli/number_list.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "cli/priced_lineup.h"
#include "evener/uncertainty.h"
#include "show/payback_story.h"
#include <math.h>
#include <stddef.h>

typedef struct payback_args {
    evn_load_args load;
    evn_asked asked;
    bool json, digits, own_batteries, physics;
    const char *prices, *csv, *page, *uncertain; /* NULL: not given */
    double annual_km;                            /* NAN: likewise */
    size_t years;                                /* 0: likewise */
    size_t draws, seed, threads;
    double energy_percent;                  /* NAN: not given */
    const char *longer_stops, *stop_powers; /* NULL: likewise */
} payback_args;

static void set_defaults(void *args)
{
    *(payback_args *)args = (payback_args){.annual_km = (double)NAN, .energy_percent = (double)NAN};
}

typedef struct payback_run {
    evn_call call;
    const payback_args *args;
    evn_priced_lineup of;
    evn_uncertainties *uncertain;
    evn_payback *payback;
    double longer_min[EVN_PAYBACK_TRIES_MOST], stop_kw[EVN_PAYBACK_TRIES_MOST];
    size_t longer_count, power_count;
    evn_out_file csv, page;
    evn_assessment *standing; /* NULL: the duty demands nothing that needs it */
} payback_run;

/* ------------------------------------------------------------------------------------------------ work */

/* All files are read even if the first is refused: all that is wrong comes out at once. */
static bool load(payback_run *run)
{
    const payback_args *a = run->args;
    bool read = evn_priced_lineup_read(&run->of, &run->call, &a->load, a->prices);
    return (!a->uncertain || evn_uncertainties_load(a->uncertain, &run->uncertain, run->call.report) == EVN_DONE) &&
           read;
}

static bool with_physics(const payback_run *run) { return run->args->physics || run->args->uncertain; }

/* How many runs it takes is told before they are begun. */
static void tell_runs(const payback_run *run)
{
    if (with_physics(run))
        fprintf(run->call.console->err,
                "evener: how far energies may be off takes %zu runs over the distinct legs and stops of the day\n",
                evn_payback_physics_runs(run->of.lineup, run->uncertain));
}

/* What the duty demands of ground, loads and take-off, by what needs no day. */
static evn_status find_standing(payback_run *run, evn_status status)
{
    if (run->call.stopped || !evn_lineup_demands_more(run->of.lineup))
        return status;
    evn_assess_how how = {.only_standing = true};
    evn_status said = evn_assess(run->of.lineup, &run->of.ask, &how, &run->standing, run->call.report);
    return said > status ? said : status;
}

static evn_status find(void *self)
{
    payback_run *run = self;
    const payback_args *a = run->args;
    evn_payback_how how = {.annual_km = isnan(a->annual_km) ? 0 : a->annual_km,
                           .years = (unsigned)a->years,
                           .only_as_lineup = a->own_batteries,
                           .draws = a->draws,
                           .seed = a->seed,
                           .energy_percent = isnan(a->energy_percent) ? 0 : a->energy_percent,
                           .physics = with_physics(run),
                           .beside = run->uncertain,
                           .longer_min = run->longer_min,
                           .longer_count = run->longer_count,
                           .stop_kw = run->stop_kw,
                           .power_count = run->power_count,
                           .threads = a->threads,
                           .self = &run->call,
                           .go_on = evn_call_go_on};
    tell_runs(run);
    run->call.progress = evn_progress_begin(run->call.console, "the days");
    evn_status status =
        evn_payback_find(run->of.lineup, run->of.prices, &run->of.ask, &how, &run->payback, run->call.report);
    evn_progress_end(&run->call.progress);
    return run->payback ? find_standing(run, status) : status;
}

static evn_payback_story story_of(const payback_run *run)
{
    bool there = run->payback && !evn_mishap_happened(&run->call.mishap);
    return (evn_payback_story){.status = run->call.stopped ? "interrupted"
                                         : there           ? "finished"
                                                           : "failed",
                               .lineup = run->of.lineup,
                               .prices = run->of.prices,
                               .ask = run->of.ask,
                               .payback = run->payback,
                               .draws = run->args->draws,
                               .standing = run->standing};
}

static bool csv_written(payback_run *run, const evn_payback_story *story)
{
    int error_number = 0;
    if (!run->csv.stream || evn_payback_csv(story, run->csv.stream, &error_number))
        return true;
    evn_out_failed(&run->csv, &run->call.mishap, error_number);
    return false;
}

static bool page_written(payback_run *run, const evn_payback_story *story)
{
    char title[64];
    if (!run->page.stream)
        return true;
    snprintf(title, sizeof title, "Which of %zu trucks to buy", evn_lineup_truck_count(run->of.lineup));
    evn_html_page page = {.kind = "payback", .title = title, .trust = EVN_PAYBACK_CAUTION "\n", .payback = story};
    return evn_priced_lineup_page(&run->of, &run->call, &run->page, &page, evn_payback_document(story));
}

/* All or none: none after an interrupt. */
static void write_files(void *self, evn_status found)
{
    payback_run *run = self;
    evn_payback_story story = story_of(run);
    (void)found;
    if (run->payback && !run->call.stopped && csv_written(run, &story) && page_written(run, &story))
        evn_call_commit(&run->call, (evn_out_file *const[]){&run->csv, &run->page}, 2);
}

/* What goes with draws alone, and not together. */
static bool draws_fit(payback_run *run)
{
    const payback_args *a = run->args;
    bool energy = !isnan(a->energy_percent);
    const char *lone = energy ? "--energy-percent" : a->physics ? "--physics" : a->uncertain ? "--uncertain" : NULL;
    if (lone && a->draws == 0)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "%s is for draws alone; --draws was expected beside it", lone);
    else if (energy && with_physics(run))
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--energy-percent with %s, which finds how far energies may be off; one of them was expected",
                       a->physics ? "--physics" : "--uncertain");
    return !evn_mishap_happened(&run->call.mishap);
}

/* Other charging stops are for the least battery. */
static bool stops_fit(payback_run *run)
{
    const payback_args *a = run->args;
    const char *given = a->longer_stops ? "--longer-stops" : a->stop_powers ? "--stop-powers" : NULL;
    const evn_number_list longer = {"--longer-stops", a->longer_stops, 1, 600, EVN_PAYBACK_TRIES_MOST};
    const evn_number_list powers = {"--stop-powers", a->stop_powers, 1, 10000, EVN_PAYBACK_TRIES_MOST};
    if (given && a->own_batteries) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "%s with --own-batteries, which looks for no smallest battery; one of them was expected", given);
        return false;
    }
    return evn_number_list_read(&longer, run->longer_min, &run->longer_count, &run->call.mishap) &&
           evn_number_list_read(&powers, run->stop_kw, &run->power_count, &run->call.mishap);
}

static evn_status work(void *self)
{
    payback_run *run = self;
    const payback_args *a = run->args = run->call.args;
    const evn_output output[] = {{.option = "--csv", .path = a->csv, .file = &run->csv},
                                 {.option = "--page", .path = a->page, .file = &run->page, .page = true}};
    run->of.ask = evn_conditions_default();
    evn_load_begin(&a->load, run->call.report);
    if (!a->prices) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "no prices; --prices with a file of prices was expected, such as one of 'evener list prices'");
        return EVN_BAD_INPUT;
    }
    if (!draws_fit(run) || !stops_fit(run))
        return EVN_BAD_INPUT;
    if (!load(run) || !evn_priced_lineup_asked(&run->of, &run->call, &a->asked))
        return evn_report_status(run->call.report);
    return evn_outputs_work(&run->call, output, sizeof output / sizeof *output, find, write_files);
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
    evn_uncertainties_free(run->uncertain);
    evn_priced_lineup_free(&run->of);
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
    {.name = "longer-stops",
     .argument = "A,B,C",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(payback_args, longer_stops),
     .help = "minutes by which the duty's charging stops may be longer, up to 4, for the smallest battery: each truck "
             "takes what costs least per km, its driver's time counted; each takes as long as the smallest battery "
             "alone. Not given: as the duty states"},
    {.name = "stop-powers",
     .argument = "A,B,C",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(payback_args, stop_powers),
     .help =
         "kW that connectors at these stops may have instead, up to 4, tried with each length; energy has the price "
         "of stops whatever the power. Not given: as the duty states"},
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
             "distribution, such as 'evener compare' tells of a like cycle; not given: not at all. For --draws, in "
             "place of --physics",
     .facts = "0 to 50"},
    {.name = "physics",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(payback_args, physics),
     .help = "for --draws: what trucks and lineup state of how far their values may be off counts too, by first order "
             "of each day, driven again where a value moves it; how many runs it takes is told beforehand"},
    {.name = "uncertain",
     .argument = "FILE",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(payback_args, uncertain),
     .takes = {EVN_TAKES_INPUT, "uncertainties", NULL},
     .help = "what is not known of the trucks' data, by file or name: goes before what trucks and lineup state; asks "
             "for --physics"},
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
     .help = "a line for each basis, truck and figure, and of how sure these are"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(payback_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "which to buy, with charts and all tables, to be opened in a browser"},
    {.name = "threads",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(payback_args, threads),
     .most = 64,
     .help = "runs at a time; 0: as many as there are processors. The figures are the same"},
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
    "every season in the worst state to which it comes itself. Costs per km spread what is bought evenly over the "
    "years at the interest of "
    "the prices; replaced batteries and what is left at the end count. A rate of return is told with all others that "
    "the flow has: there may be none, one or several.",
    "A truck that does not do what the duty demands (a steepest start, a reserve) has its costs, but is out of what to "
    "buy. What the lineup makes equal counts as in comparisons.",
    "--draws asks how sure all that is: percentiles of the net present value and of what is saved by each year, and "
    "the "
    "probability of having paid back, from prices that may be off; with --physics from values of the trucks that may "
    "be "
    "off as well. These move each truck's day by first order, in the lineup's season; what errs in several trucks "
    "alike "
    "errs in them together, as in comparisons. Interrupted before all is there nothing is told of how sure it is.",
    "The exit code is 1 where a truck does not come to the end of its day, no battery of another size does it, or the "
    "day does not come to what the duty demands; the others are told none the less. Interrupted (code 3), what was "
    "whole by then is told and marked; files are not written.",
    EVN_PAGE_NOTE
    " Of what trucks earn it has the cash flow with its band of draws, costs per km by what they are for, "
    "and a field of distances and prices of energy with the line where the answer turns.",
    EVN_SET_NOTE,
    NULL};

static const char *const examples[] = {"evener payback motorway-day --prices fleet",
                                       "evener payback motorway-day --prices fleet --annual-km 150000 --years 6",
                                       "evener payback motorway --prices fleet --annual-km 120000 --own-batteries",
                                       "evener payback motorway-day --prices fleet --draws 1024 --physics",
                                       "evener payback LINEUP --prices PRICES --csv costs.csv",
                                       "evener payback motorway-day --prices fleet --longer-stops 15,30",
                                       "evener payback motorway-day --prices fleet --draws 4096 --page payback.html",
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
