/* evener vary: drives the variants of a study, or what of them is not driven yet. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_vary.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "cli/vary_files.h"
#include "show/out_file.h"
#include "show/vary_story.h"
#include <inttypes.h>
#include <stddef.h>
#include <string.h>

enum { PARTS_MOST = 100000 };

typedef struct vary_args {
    evn_load_args load;
    evn_asked asked;
    bool json, digits;
    const char *store, *part, *csv, *page; /* NULL: not given */
    size_t threads;
} vary_args;

static void set_defaults(void *args) { *(vary_args *)args = (vary_args){.threads = 0}; }

typedef struct vary_run {
    evn_call call;
    const vary_args *args;
    evn_conditions ask;
    evn_study *study;
    evn_variants *variants;
    evn_vary_table table;
    bool has_table;
    unsigned part, parts;
    struct timespec begin;
} vary_run;

/* ------------------------------------------------------------------------------------------------ progress */

static double seconds_since(const struct timespec *begin)
{
    struct timespec now = *begin;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - begin->tv_sec) + 1e-9 * (double)(now.tv_nsec - begin->tv_nsec);
}

/* "1200 of 10000 variants, 18.2 a second, 8 min left, 3 failed; Ctrl-C stops" */
static void put_words(const vary_run *run, const evn_vary_progress *p, char *out, size_t size)
{
    double rate = (double)p->driven / (seconds_since(&run->begin) + 1e-9);
    int used = snprintf(out, size, "%" PRIu64, p->done);
    if (p->of > 0)
        used += snprintf(out + used, size - (size_t)used, " of %" PRIu64, p->of);
    used += snprintf(out + used, size - (size_t)used, " variants, %.1f a second", rate);
    if (p->of > p->done && rate > 0)
        used += snprintf(out + used, size - (size_t)used, ", %.0f min left", (double)(p->of - p->done) / rate / 60);
    if (p->failed > 0)
        used += snprintf(out + used, size - (size_t)used, ", %" PRIu64 " failed", p->failed);
    snprintf(out + used, size - (size_t)used, "; Ctrl-C stops");
}

static bool go_on(void *self, const evn_vary_progress *progress)
{
    vary_run *run = self;
    char words[160];
    put_words(run, progress, words, sizeof words);
    evn_progress_tell(&run->call.progress, words);
    run->call.stopped = run->call.stopped || evn_interrupt_seen(&run->call.interrupt);
    return !run->call.stopped;
}

/* ------------------------------------------------------------------------------------------------ work */

static bool part_fits(vary_run *run)
{
    char end;
    const char *text = run->args->part;
    if (!text)
        return true;
    bool fits = sscanf(text, "%6u/%6u%c", &run->part, &run->parts, &end) == 2 && run->part >= 1 &&
                run->part <= run->parts && run->parts <= PARTS_MOST;
    if (fits && run->args->store)
        return true;
    if (fits)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--part without --store, the file in which the part is kept; expected it too");
    else
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--part is '%s'; expected N/M with N from 1 to M, such as 2/8", text);
    return false;
}

static evn_status drive(vary_run *run)
{
    evn_vary_how how = {.store = run->args->store,
                        .part = run->part,
                        .parts = run->parts,
                        .threads = run->args->threads,
                        .self = run,
                        .go_on = go_on};
    run->call.progress = evn_progress_begin(run->call.console, "the study");
    clock_gettime(CLOCK_MONOTONIC, &run->begin);
    evn_status status = evn_vary(run->study, &run->ask, &how, &run->variants, run->call.report);
    evn_progress_end(&run->call.progress);
    return status;
}

static evn_vary_story story_of(const vary_run *run)
{
    return (evn_vary_story){.status = run->call.stopped ? "interrupted"
                                      : run->has_table  ? "finished"
                                                        : "failed",
                            .variants = run->variants,
                            .table = run->has_table ? &run->table : NULL,
                            .store = run->args->store,
                            .report = run->call.report};
}

/* Signals are held from before the files are opened until they are ended. */
static evn_status drive_and_write(vary_run *run)
{
    evn_vary_files files = {0};
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&run->call.interrupt);
    if (evn_vary_files_open(&files, run->args->csv, run->args->page, &run->call)) {
        status = drive(run);
        run->has_table = run->variants && evn_vary_table_read(&run->table, run->variants, run->call.report);
        evn_vary_story story = story_of(run);
        if (run->has_table && !run->call.stopped)
            evn_vary_files_write(&files, &story, &run->call);
    }
    evn_vary_files_drop(&files);
    evn_interrupt_end(&run->call.interrupt);
    return status;
}

static evn_status work(void *self)
{
    vary_run *run = self;
    run->args = run->call.args;
    const evn_output output[] = {{"--store", run->args->store}, {"--csv", run->args->csv}, {"--page", run->args->page}};
    evn_load how = evn_load_of(&run->args->load);
    run->ask = evn_conditions_default();
    evn_load_begin(&run->args->load, run->call.report);
    if (!part_fits(run))
        return EVN_BAD_INPUT;
    if (evn_study_load_with(run->call.operands[0], &how, &run->study, run->call.report) != EVN_DONE || !run->study)
        return evn_report_status(run->call.report);
    run->ask = evn_study_ask(run->study);
    if (!evn_asked_apply(&run->args->asked, &run->ask, run->call.report))
        return evn_report_status(run->call.report);
    if (!evn_outputs_fit(output, sizeof output / sizeof *output, run->call.report, &run->call.mishap))
        return EVN_BAD_INPUT;
    return drive_and_write(run);
}

static bool tell(void *self)
{
    const vary_run *run = self;
    evn_vary_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_vary_json(&story, &run->call.findings, run->call.console->out);
    return !run->has_table || evn_vary_words(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    vary_run *run = self;
    if (run->has_table)
        evn_vary_table_free(&run->table);
    evn_variants_free(run->variants);
    evn_study_free(run->study);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    {.name = "store",
     .argument = "FILE.sqlite",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(vary_args, store),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "where the variants are kept, as SQLite has files; where it is there, what it holds is not driven again, "
             "so that the same command goes on after whatever ended it"},
    {.name = "part",
     .argument = "N/M",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(vary_args, part),
     .takes = {EVN_TAKES_ANYTHING, NULL, NULL},
     .help = "only the N-th of M parts, each into a store of its own, on as many machines; 'evener vary merge' joins "
             "them"},
    {.name = "threads",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(vary_args, threads),
     .most = 64,
     .help = "variants at a time; 0: as many as there are processors. The rows are the same"},
    EVN_LOAD_OPTIONS(vary_args, load, "vary", "another value than the study's, for this time; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(vary_args, json),
     .help = "one JSON document, also when something fails: the best with what is told of it, and the best ten"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(vary_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a line for each variant: what varies, and all that was recorded"},
    EVN_VARY_PAGE_OPTION(vary_args, page),
    EVN_DIGITS_OPTION(vary_args, digits),
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
                                      .asked_offset = offsetof(vary_args, asked),
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(vary_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(vary_run),
                                      .work = work,
                                      .tell = tell,
                                      .forget = forget};
