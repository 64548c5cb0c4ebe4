/* evener assess: each truck held against every demand of its duty, and which layout that advises. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_assess.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/priced_lineup.h"
#include "show/assess_story.h"
#include <math.h>
#include <stddef.h>

typedef struct assess_args {
    evn_load_args load;
    evn_asked asked;
    bool json, digits, only_standing, inputs;
    const char *prices, *csv, *junit, *page; /* NULL: not given */
    double annual_km;                        /* NAN: likewise */
    double energy_percent;                   /* likewise */
    size_t years;                            /* 0: likewise */
} assess_args;

static void set_defaults(void *args)
{
    *(assess_args *)args = (assess_args){.annual_km = (double)NAN, .energy_percent = (double)NAN};
}

typedef struct assess_run {
    evn_call call;
    const assess_args *args;
    evn_priced_lineup of;
    evn_assessment *assessment;
    evn_out_file csv, junit, page;
} assess_run;

/* ------------------------------------------------------------------------------------------------ work */

static evn_status find(void *self)
{
    assess_run *run = self;
    const assess_args *a = run->args;
    evn_assess_how how = {.prices = run->of.prices,
                          .energy_percent = isnan(a->energy_percent) ? 0 : a->energy_percent,
                          .annual_km = isnan(a->annual_km) ? 0 : a->annual_km,
                          .years = (unsigned)a->years,
                          .only_standing = a->only_standing,
                          .self = &run->call,
                          .go_on = evn_call_go_on};
    run->call.progress = evn_progress_begin(run->call.console, "the days");
    evn_status status = evn_assess(run->of.lineup, &run->of.ask, &how, &run->assessment, run->call.report);
    evn_progress_end(&run->call.progress);
    return status;
}

static evn_assess_story story_of(const assess_run *run)
{
    bool there = run->assessment && !evn_mishap_happened(&run->call.mishap);
    return (evn_assess_story){.status = run->call.stopped ? "interrupted"
                                        : there           ? "finished"
                                                          : "failed",
                              .lineup = run->of.lineup,
                              .prices = run->of.prices,
                              .ask = run->of.ask,
                              .assessment = run->assessment,
                              .inputs = run->args->inputs,
                              .only_standing = run->args->only_standing};
}

static bool csv_written(assess_run *run, const evn_assess_story *story)
{
    int error_number = 0;
    if (!run->csv.stream || evn_assess_csv(story, run->csv.stream, &error_number))
        return true;
    evn_out_failed(&run->csv, &run->call.mishap, error_number);
    return false;
}

static bool page_written(assess_run *run, const evn_assess_story *story)
{
    char title[64];
    if (!run->page.stream)
        return true;
    snprintf(title, sizeof title, "Verdicts on %zu trucks", evn_lineup_truck_count(run->of.lineup));
    evn_html_page page = {
        .kind = "assess", .title = title, .trust = EVN_ASSESS_MARGINAL "\n" EVN_ASSESS_CAUTION "\n", .assess = story};
    return evn_priced_lineup_page(&run->of, &run->call, &run->page, &page, evn_assess_document(story));
}

/* All or none: none after an interrupt. */
static void write_files(void *self, evn_status found)
{
    assess_run *run = self;
    evn_assess_story story = story_of(run);
    (void)found;
    if (!run->assessment || run->call.stopped || !csv_written(run, &story) || !page_written(run, &story))
        return;
    if (run->junit.stream)
        evn_assess_junit(&story, run->junit.stream);
    evn_call_commit(&run->call, (evn_out_file *const[]){&run->csv, &run->junit, &run->page}, 3);
}

static evn_status work(void *self)
{
    assess_run *run = self;
    const assess_args *a = run->args = run->call.args;
    const evn_output output[] = {{.option = "--csv", .path = a->csv, .file = &run->csv},
                                 {.option = "--junit", .path = a->junit, .file = &run->junit},
                                 {.option = "--page", .path = a->page, .file = &run->page, .page = true}};
    run->of.ask = evn_conditions_default();
    evn_load_begin(&a->load, run->call.report);
    if (!evn_priced_lineup_read(&run->of, &run->call, &a->load, a->prices) ||
        !evn_priced_lineup_asked(&run->of, &run->call, &a->asked))
        return evn_report_status(run->call.report);
    return evn_outputs_work(&run->call, output, sizeof output / sizeof *output, find, write_files);
}

static bool tell(void *self)
{
    const assess_run *run = self;
    evn_assess_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_assess_json(&story, &run->call.findings, run->call.console->out);
    return !run->assessment || evn_assess_words(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    assess_run *run = self;
    evn_assessment_free(run->assessment);
    evn_priced_lineup_free(&run->of);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    {.name = "prices",
     .argument = "PRICES",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(assess_args, prices),
     .takes = {EVN_TAKES_INPUT, "prices", NULL},
     .help = "what all costs: a file of prices (YAML), or its name as 'evener list' shows it; not given: years to "
             "payback are not known, and energy tells which to take"},
    {.name = "annual-km",
     .argument = "KM",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(assess_args, annual_km),
     .least = 100,
     .most = 1e6,
     .help = "distance a year; not given: as the prices say, else the working days of the duty times its day",
     .facts = "100 to 1000000"},
    {.name = "years",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(assess_args, years),
     .least = 1,
     .most = 40,
     .help = "how long the trucks are kept; not given: as the prices say",
     .facts = "1 to 40"},
    {.name = "energy-percent",
     .argument = "PERCENT",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(assess_args, energy_percent),
     .least = 0.01,
     .most = 50,
     .help = "by which the energy of a day may be off, as half width of a normal distribution, such as 'evener "
             "compare' tells of a like cycle",
     .facts = "4; 0.01 to 50"},
    {.name = "only-standing",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(assess_args, only_standing),
     .help = "only what needs no day: nothing is driven, which takes a second or two; reserves, distance and years to "
             "payback are not asked"},
    {.name = "inputs",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(assess_args, inputs),
     .help = "each verdict with its formula, what goes into it and where that stands or is found"},
    EVN_LOAD_OPTIONS(assess_args, load, "lineup", "another value than the files', for this time; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(assess_args, json),
     .help = "one JSON document, also when something fails: each verdict with its formula and what went into it"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(assess_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a line for each truck and demand"},
    {.name = "junit",
     .argument = "FILE.xml",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(assess_args, junit),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "each demand of each truck a test, as XML that build servers read; marginal and not known are skipped"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(assess_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "the verdicts, what decided and what each is made of, to be opened in a browser"},
    EVN_DIGITS_OPTION(assess_args, digits),
};

static const evn_operand operands[] = {{"LINEUP",
                                        "a lineup with a duty that demands something: its file (YAML), or its name as "
                                        "'evener list' shows it",
                                        {EVN_TAKES_INPUT, "lineup", NULL}}};

static const char *const notes[] = {
    "Holds each truck against every demand of the duty (evener keys duty.demands) and says pass, marginal, fail or not "
    "known, with margin, reason and place. Each value is that of the command that finds it: drive, range, limits, "
    "site, payback.",
    "Marginal is a margin within its uncertainty: of what stands by first order over the truck's data that err, of the "
    "day by --energy-percent, of a payback by draws. So is what is kept without the spare that the duty asks "
    "(spare_percent).",
    "Advised is, of the trucks that pass all, the one of least cost per km, without prices of least energy. There are "
    "no weights: a truck that fails one demand is not advised, whatever else it does well.",
    "For each fail, and for which layout is advised, it tells the smallest change of one datum that would turn it.",
    "The exit code is 1 where no truck passes all that is demanded.",
    EVN_ASSESS_CAUTION,
    EVN_SET_NOTE,
    NULL};

static const char *const examples[] = {"evener assess motorway-assess --prices fleet",
                                       "evener assess tipper-assess --only-standing",
                                       "evener assess tipper-assess --prices fleet --inputs",
                                       "evener assess LINEUP --prices PRICES --csv verdicts.csv --junit verdicts.xml",
                                       "evener assess LINEUP --prices PRICES --page verdicts.html",
                                       "evener assess LINEUP --json | jq '.advice'",
                                       NULL};

const evn_command evn_command_assess = {.name = "assess",
                                        .summary = "one verdict per demand, and which layout that advises",
                                        .schema = EVN_ASSESS_SCHEMA,
                                        .operands = operands,
                                        .operand_count = 1,
                                        .options = options,
                                        .option_count = sizeof options / sizeof options[0],
                                        .asks = evn_ask_kinds,
                                        .asked_offset = offsetof(assess_args, asked),
                                        .notes = notes,
                                        .examples = examples,
                                        .args_size = sizeof(assess_args),
                                        .defaults = set_defaults,
                                        .run_size = sizeof(assess_run),
                                        .work = work,
                                        .tell = tell,
                                        .forget = forget};
