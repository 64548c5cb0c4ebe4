/* evener vary: drives the variants of a study, or what of them is not driven yet. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_vary.h"
#include "cli/look_options.h"
#include "cli/page_file.h"
#include "cli/vary_files.h"
#include "cli/vary_run.h"
#include <stddef.h>

typedef struct whole { /* all that this command takes */
    evn_vary_args args;
} whole;

static void set_defaults(void *args) { *(whole *)args = (whole){.args.threads = 0}; }

static evn_status work(void *self)
{
    evn_vary_run *run = self;
    run->args = &((const whole *)run->call.args)->args;
    evn_load how = evn_load_of(&run->args->load);
    run->ask = evn_conditions_default();
    evn_load_begin(&run->args->load, run->call.report);
    if (!evn_vary_arguments_fit(run))
        return EVN_BAD_INPUT;
    if (evn_study_load_with(run->call.operands[0], &how, &run->study, run->call.report) != EVN_DONE || !run->study)
        return evn_report_status(run->call.report);
    run->ask = evn_study_ask(run->study);
    return evn_vary_drive(run);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(whole, args.load, "vary", "another value than the study's, for this time; once for each"),
    EVN_VARY_OPTIONS(whole, args),
};

static const evn_operand operands[] = {
    {"STUDY", "a study: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "vary", NULL}}};

static const char *const notes[] = {
    "A study names a truck with what it drives, or a lineup; what varies of it, as lists, ranges, choices of parts or "
    "words, and keys that follow from them by formulas; and how variants are chosen: all of a grid, samples, or a "
    "search for the best. 'evener new vary' writes one to begin with. Each variant drives at its own speeds.",
    "A variant that cannot be, or does not come to its end, is kept with its reason, and one that breaks a constraint "
    "is marked; neither is ever the best. The best is told with what it is within 0.1 % of, and as at the edge where "
    "something that varies is at an end of its range.",
    "Rows do not depend on threads, parts or interruptions. With --store at most the last second is lost, whatever "
    "ends the program, and a full disk is code 4 with all before it kept. Columns of the store's table 'variants' are "
    "the keys; any program for SQLite reads it.",
    EVN_PAGE_NOTE,
    "'evener vary show' tells what a store holds, sorted and picked; 'evener vary merge' joins parts.",
    "The exit code is 1 where no variant came to its end.",
    EVN_SET_NOTE " Keys are those of the study: truck.KEY, lineup.trucks.NAME.KEY, samples.",
    NULL};

static const char *const examples[] = {"evener vary final-drive",
                                       "evener vary STUDY --store study.sqlite",
                                       "evener vary STUDY --store part-2.sqlite --part 2/8",
                                       "evener vary final-drive --set variables.final_drive.count=5 --csv rows.csv",
                                       "evener vary STUDY --store study.sqlite --page study.html",
                                       "evener vary STUDY --json | jq '.answer[0].best'",
                                       NULL};

const evn_command evn_command_vary = {.name = "vary",
                                      .summary = "many variants, and the best of them",
                                      .schema = EVN_VARY_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 1,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .asks = evn_ask_kinds,
                                      .asked_offset = offsetof(whole, args.asked),
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(whole),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(evn_vary_run),
                                      .work = work,
                                      .tell = evn_vary_tell,
                                      .forget = evn_vary_forget};
