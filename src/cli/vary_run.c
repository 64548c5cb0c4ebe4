/* Driving the variants of a study, with progress, files and what is told behind it. */
#define _POSIX_C_SOURCE 200809L
#include "cli/vary_run.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/vary_files.h"
#include "show/text.h"
#include <inttypes.h>
#include <math.h>
#include <string.h>

enum { PARTS_MOST = 100000 };

/* ------------------------------------------------------------------------------------------------ progress */

static double seconds_since(const struct timespec *begin)
{
    struct timespec now = *begin;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - begin->tv_sec) + 1e-9 * (double)(now.tv_nsec - begin->tv_nsec);
}

/* "1200 of 10000 variants, 18.2 a second, 8 min left, 3 failed; Ctrl-C stops" */
static void put_words(const evn_vary_run *run, const evn_vary_progress *p, char *out, size_t size)
{
    char left[40];
    double rate = (double)p->driven / (seconds_since(&run->begin) + 1e-9);
    int used = snprintf(out, size, "%" PRIu64, p->done);
    if (p->of > 0)
        used += snprintf(out + used, size - (size_t)used, " of %" PRIu64, p->of);
    used += snprintf(out + used, size - (size_t)used, " variants, %.1f a second", rate);
    if (p->of > p->done && rate > 0) {
        evn_format_duration(left, sizeof left, round((double)(p->of - p->done) / rate));
        used += snprintf(out + used, size - (size_t)used, ", %s left", left);
    }
    if (p->failed > 0)
        used += snprintf(out + used, size - (size_t)used, ", %" PRIu64 " failed", p->failed);
    snprintf(out + used, size - (size_t)used, "; Ctrl-C stops");
}

static bool go_on(void *self, const evn_vary_progress *progress)
{
    evn_vary_run *run = self;
    char words[160];
    put_words(run, progress, words, sizeof words);
    evn_progress_tell(&run->call.progress, words);
    run->call.stopped = run->call.stopped || evn_interrupt_seen(&run->call.interrupt);
    return !run->call.stopped;
}

/* ------------------------------------------------------------------------------------------------ work */

bool evn_vary_arguments_fit(evn_vary_run *run)
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

static evn_status drive(evn_vary_run *run)
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

static evn_vary_story story_of(const evn_vary_run *run)
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
static evn_status drive_and_write(evn_vary_run *run)
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

evn_status evn_vary_drive(evn_vary_run *run)
{
    const evn_output output[] = {{"--store", run->args->store}, {"--csv", run->args->csv}, {"--page", run->args->page}};
    if (!evn_asked_apply(&run->args->asked, &run->ask, run->call.report))
        return evn_report_status(run->call.report);
    if (!evn_outputs_fit(output, sizeof output / sizeof *output, run->call.report, &run->call.mishap))
        return EVN_BAD_INPUT;
    return drive_and_write(run);
}

bool evn_vary_tell(void *self)
{
    const evn_vary_run *run = self;
    evn_vary_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_vary_json(&story, &run->call.findings, run->call.console->out);
    return !run->has_table || evn_vary_words(&story, run->call.console->out, &look);
}

void evn_vary_forget(void *self)
{
    evn_vary_run *run = self;
    if (run->has_table)
        evn_vary_table_free(&run->table);
    evn_variants_free(run->variants);
    evn_study_free(run->study);
}
