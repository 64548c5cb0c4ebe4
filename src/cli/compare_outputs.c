/* What a comparison writes besides its report: traces, CSV, page, pictures. */
#define _POSIX_C_SOURCE 200809L
#include "cli/compare_run.h"
#include "cli/lineup_names.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "show/csv/trace_csv.h"
#include "show/names.h"
#include "show/text.h"
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { CELL = 64 };

/* ------------------------------------------------------------------------------------------------ files */

static bool make_folder(evn_compare_run *run)
{
    const char *folder = run->args->trace_dir;
    if (folder == NULL)
        return true;
    struct stat there;
    bool is_there = (mkdir(folder, 0777) == 0 || errno == EEXIST) && stat(folder, &there) == 0;
    bool is_folder = is_there && S_ISDIR(there.st_mode);
    if (is_folder && access(folder, W_OK | X_OK) == 0)
        return true;
    evn_mishap_say(&run->call.mishap, "cannot_write", EVN_BAD_IO, "cannot write into the folder '%s': %s", folder,
                   strerror(is_there && !is_folder ? ENOTDIR : errno));
    return false;
}

/* The paths of the traces, in the order in which they are written; to be freed, as far as they are there. */
static bool name_traces(const evn_compare_run *run, evn_output *trace, size_t count)
{
    bool named = true;
    for (size_t i = 0; i < count && named; i++) {
        evn_basis basis = i % 2 == 0 ? EVN_BASIS_OWN : EVN_BASIS_COMMON;
        const char *truck = evn_lineup_truck_name(run->lineup, i / 2);
        trace[i] =
            (evn_output){"--trace-dir", evn_lineup_trace_path(run->args->trace_dir, truck, evn_basis_name(basis))};
        named = trace[i].path != NULL;
    }
    return named;
}

static bool outputs_fit(evn_compare_run *run)
{
    size_t traces = run->args->trace_dir != NULL ? 2 * evn_lineup_truck_count(run->lineup) : 0;
    evn_output *output = calloc(2 + traces, sizeof *output);
    bool named = output != NULL && name_traces(run, output + 2, traces), fit = false;
    if (named) {
        output[0] = (evn_output){"--csv", run->args->csv};
        output[1] = (evn_output){"--page", run->args->page};
        fit = evn_outputs_fit(output, 2 + traces, run->call.report, &run->call.mishap);
    } else {
        evn_mishap_no_memory(&run->call.mishap);
    }
    for (size_t i = 2; output != NULL && i < 2 + traces; i++)
        free((char *)output[i].path);
    free(output);
    return fit;
}

bool evn_compare_open(evn_compare_run *run)
{
    return make_folder(run) && outputs_fit(run) &&
           (run->args->csv == NULL || evn_out_open(&run->csv, run->args->csv, &run->call.mishap)) &&
           evn_page_open(&run->page, run->args->page, &run->call.mishap);
}

typedef struct watched { /* one run that is driven again for its trace, or for the page */
    evn_compare_run *run;
    evn_trace_csv csv;
    evn_html_run *over_time;
    evn_plot_run *picture;
} watched;

static void take_sample(void *self, const double *row, size_t columns)
{
    watched *w = self;
    evn_trace_csv_row(&w->csv, row, columns);
}

static void take_for_pictures(void *self, const double *row, size_t columns)
{
    watched *w = self;
    if (w->over_time != NULL)
        evn_html_run_sample(w->over_time, row, columns);
    if (w->picture != NULL)
        evn_plot_run_sample(w->picture, row, columns);
}

static bool watch_on(void *self, double done_share)
{
    watched *w = self;
    (void)done_share;
    w->run->call.stopped = w->run->call.stopped || evn_interrupt_seen(&w->run->call.interrupt);
    return !w->run->call.stopped && w->csv.error_number == 0;
}

static void write_trace(evn_compare_run *run, size_t truck, evn_basis basis)
{
    evn_out_file file;
    char *path =
        evn_lineup_trace_path(run->args->trace_dir, evn_lineup_truck_name(run->lineup, truck), evn_basis_name(basis));
    if (path == NULL || !evn_out_open(&file, path, &run->call.mishap)) {
        free(path);
        return;
    }
    watched w = {.run = run, .csv = {.stream = file.stream}};
    evn_watcher watcher = {&w, take_sample, watch_on};
    evn_trace_csv_head(&w.csv, evn_comparison_rig(run->comparison, truck));
    evn_report *report = evn_report_new();
    evn_status status = EVN_NO_RESULT;
    if (report != NULL)
        status = evn_comparison_watch(run->comparison, truck, basis, &watcher, report);
    evn_report_free(report);
    if (w.csv.error_number != 0)
        evn_out_failed(&file, &run->call.mishap, w.csv.error_number);
    if (w.csv.error_number == 0 && (status == EVN_DONE || status == EVN_ANSWER_NO))
        evn_out_commit(&file, &run->call.mishap);
    else
        evn_out_drop(&file);
    free(path);
}

static void write_traces(evn_compare_run *run)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    for (size_t i = 0; run->args->trace_dir != NULL && i < 2 * count && !evn_mishap_happened(&run->call.mishap); i++) {
        evn_basis basis = i % 2 == 0 ? EVN_BASIS_OWN : EVN_BASIS_COMMON;
        const evn_outcome *outcome = evn_comparison_outcome(run->comparison, i / 2, basis);
        if (evn_outcome_results(outcome) != NULL && !run->call.stopped)
            write_trace(run, i / 2, basis);
    }
}

/* ------------------------------------------------------------------------------------------------ the page */

/* Drives a truck at its own speeds again for the page and the terminal, as far as they are wanted. */
static bool watch_truck(evn_compare_run *run, size_t truck, bool page)
{
    const evn_rig *rig = evn_comparison_rig(run->comparison, truck);
    const evn_outcome *outcome = evn_comparison_outcome(run->comparison, truck, EVN_BASIS_OWN);
    if (rig == NULL || evn_outcome_results(outcome) == NULL)
        return true;
    watched w = {.run = run};
    evn_report *report = evn_report_new();
    if (page)
        w.over_time = run->over_time[truck] = evn_html_run_new(rig);
    if (run->args->plot)
        w.picture = run->picture[truck] =
            evn_plot_run_new(rig, evn_lineup_cycle(run->lineup), evn_plot_columns(&run->call.console->out_look));
    bool made = report != NULL && (!page || w.over_time != NULL) && (!run->args->plot || w.picture != NULL);
    evn_watcher watcher = {&w, take_for_pictures, watch_on};
    if (made)
        evn_comparison_watch(run->comparison, truck, EVN_BASIS_OWN, &watcher, report);
    evn_report_free(report);
    return made;
}

/* False when memory is out. */
static bool watch_trucks(evn_compare_run *run)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    bool page = run->page.stream != NULL, made = true;
    if (run->comparison == NULL || (!page && !run->args->plot))
        return true;
    run->over_time = calloc(count, sizeof *run->over_time);
    run->picture = calloc(count, sizeof *run->picture);
    made = run->over_time != NULL && run->picture != NULL;
    for (size_t i = 0; made && i < count && !run->call.stopped; i++)
        made = watch_truck(run, i, page);
    if (!made)
        evn_mishap_no_memory(&run->call.mishap);
    return made;
}

static evn_html_truck page_truck(evn_compare_run *run, size_t index)
{
    const evn_outcome *outcome = evn_comparison_outcome(run->comparison, index, EVN_BASIS_OWN);
    return (evn_html_truck){.name = evn_lineup_truck_name(run->lineup, index),
                            .truck = evn_lineup_truck(run->lineup, index),
                            .rig = evn_comparison_rig(run->comparison, index),
                            .run = run->over_time[index],
                            .results = evn_outcome_results(outcome)};
}

/* One of the parts of the report that are lines of words, to be freed; NULL when memory is out. */
static char *lines_of(const evn_compare_story *story, bool (*write)(const evn_compare_story *, FILE *))
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    bool made = to != NULL && write(story, to);
    if (to != NULL && fclose(to) == 0 && made)
        return text;
    free(text);
    return NULL;
}

/* The lineup's name, else how many go where; to be freed, NULL when memory is out. */
static char *title_of(const evn_compare_run *run)
{
    const char *name = evn_lineup_name(run->lineup), *cycle = evn_cycle_name(evn_lineup_cycle(run->lineup));
    if (name != NULL)
        return strdup(name);
    size_t bytes = strlen(cycle) + CELL;
    char *title = malloc(bytes);
    if (title != NULL)
        snprintf(title, bytes, "%zu trucks over %s", evn_lineup_truck_count(run->lineup), cycle);
    return title;
}

static void fill_page(evn_compare_run *run, const evn_compare_story *story, const evn_html_truck *trucks)
{
    char *title = title_of(run), *answer = lines_of(story, evn_compare_answer_lines),
         *trust = lines_of(story, evn_compare_trust_lines);
    json_t *result = evn_compare_document(story);
    evn_html_page page = {.kind = "compare",
                          .title = title,
                          .result = result,
                          .answer = answer,
                          .trust = trust,
                          .cycle = evn_lineup_cycle(run->lineup),
                          .truck = trucks,
                          .truck_count = evn_lineup_truck_count(run->lineup),
                          .command = run->call.console->words};
    bool made = title != NULL && answer != NULL && trust != NULL && result != NULL;
    evn_page_close(&run->page, made ? &page : NULL, &run->call.mishap);
    if (!made)
        evn_mishap_no_memory(&run->call.mishap);
    json_decref(result);
    free(title);
    free(answer);
    free(trust);
}

static void write_page(evn_compare_run *run, const evn_compare_story *story)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    if (run->page.stream == NULL)
        return;
    bool whole = run->over_time != NULL && !run->call.stopped && !evn_mishap_happened(&run->call.mishap);
    evn_html_truck *trucks = whole ? calloc(count, sizeof *trucks) : NULL;
    for (size_t i = 0; trucks != NULL && i < count; i++)
        trucks[i] = page_truck(run, i);
    if (trucks != NULL)
        fill_page(run, story, trucks);
    else
        evn_page_close(&run->page, NULL, &run->call.mishap);
    free(trucks);
}

/* Behind the words, where it was asked for. False when memory is out. */
bool evn_compare_pictures(const evn_compare_run *run)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    if (run->picture == NULL || !run->args->plot || run->call.stopped)
        return true;
    evn_plot_truck *trucks = calloc(count, sizeof *trucks);
    for (size_t i = 0; trucks != NULL && i < count; i++)
        trucks[i] = (evn_plot_truck){evn_lineup_truck_name(run->lineup, i), run->picture[i],
                                     evn_outcome_results(evn_comparison_outcome(run->comparison, i, EVN_BASIS_OWN))};
    bool made = trucks != NULL && evn_plot_print(evn_lineup_cycle(run->lineup), trucks, count, run->call.console->out,
                                                 &run->call.console->out_look);
    free(trucks);
    return made;
}

static void write_csv(evn_compare_run *run, const evn_compare_story *story)
{
    if (run->csv.stream == NULL)
        return;
    if (run->comparison == NULL) {
        evn_out_drop(&run->csv);
    } else if (evn_compare_csv(story, run->csv.stream)) {
        evn_out_commit(&run->csv, &run->call.mishap);
    } else {
        evn_out_drop(&run->csv);
        evn_mishap_no_memory(&run->call.mishap);
    }
}

void evn_compare_write(evn_compare_run *run, const evn_compare_story *story)
{
    if (run->comparison != NULL)
        write_traces(run);
    write_csv(run, story);
    watch_trucks(run);
    write_page(run, story);
}

void evn_compare_drop(evn_compare_run *run)
{
    evn_out_drop(&run->csv);
    evn_out_drop(&run->page);
}

void evn_compare_forget_runs(evn_compare_run *run)
{
    size_t count = run->lineup != NULL ? evn_lineup_truck_count(run->lineup) : 0;
    for (size_t i = 0; run->over_time != NULL && i < count; i++)
        evn_html_run_free(run->over_time[i]);
    for (size_t i = 0; run->picture != NULL && i < count; i++)
        evn_plot_run_free(run->picture[i]);
    free(run->over_time);
    free(run->picture);
}
