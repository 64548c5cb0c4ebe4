/* What a comparison writes besides its report: traces while the runs go on, then the CSV file and the page. */
#define _POSIX_C_SOURCE 200809L
#include "cli/compare_run.h"
#include "cli/lineup_names.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "evener/values.h"
#include "show/compare_causes.h"
#include "show/compare_sureness.h"
#include "show/document.h"
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
    if (!folder)
        return true;
    struct stat there;
    run->made_folder = mkdir(folder, 0777) == 0;
    bool is_there = (run->made_folder || errno == EEXIST) && stat(folder, &there) == 0;
    bool is_folder = is_there && S_ISDIR(there.st_mode);
    if (is_folder && access(folder, W_OK | X_OK) == 0)
        return true;
    evn_mishap_say(&run->call.mishap, "cannot_write", EVN_BAD_IO, "cannot write into the folder '%s': %s", folder,
                   strerror(is_there && !is_folder ? ENOTDIR : errno));
    return false;
}

static size_t trace_count(const evn_compare_run *run)
{
    return run->args->trace_dir ? 2 * evn_lineup_truck_count(run->lineup) : 0;
}

static evn_basis basis_of(size_t trace) { return trace % 2 == 0 ? EVN_BASIS_OWN : EVN_BASIS_COMMON; }

/* Room for what the runs are to give. False when memory is out. */
static bool make_room(evn_compare_run *run)
{
    size_t count = evn_lineup_truck_count(run->lineup), traces = trace_count(run);
    run->over_time = calloc(count, sizeof *run->over_time);
    run->picture = calloc(count, sizeof *run->picture);
    run->tape = calloc(count, sizeof *run->tape);
    bool made = run->over_time && run->picture && run->tape;
    if (traces > 0) {
        run->trace = calloc(traces, sizeof *run->trace);
        made = made && run->trace;
    }
    for (size_t i = 0; made && i < traces; i++) {
        const char *truck = evn_lineup_truck_name(run->lineup, i / 2);
        run->trace[i].path = evn_lineup_trace_path(run->args->trace_dir, truck, evn_basis_name(basis_of(i)));
        made = run->trace[i].path;
    }
    if (!made)
        evn_mishap_no_memory(&run->call.mishap);
    return made;
}

static bool outputs_fit(evn_compare_run *run)
{
    size_t traces = trace_count(run);
    evn_output *output = calloc(2 + traces, sizeof *output);
    bool fit = false;
    if (output) {
        output[0] = (evn_output){.option = "--csv", .path = run->args->csv};
        output[1] = (evn_output){.option = "--page", .path = run->args->page};
        for (size_t i = 0; i < traces; i++)
            output[2 + i] = (evn_output){.option = "--trace-dir", .path = run->trace[i].path};
        fit = evn_outputs_fit(output, 2 + traces, run->call.report, &run->call.mishap);
    } else {
        evn_mishap_no_memory(&run->call.mishap);
    }
    free(output);
    return fit;
}

/* A run may be driven anew, and its rows taken back: a pipe or a device does not give them back. */
static bool open_trace(evn_compare_run *run, evn_compare_trace *trace)
{
    if (!evn_out_open(&trace->file, trace->path, &run->call.mishap))
        return false;
    if (!trace->file.temp)
        evn_mishap_say(&run->call.mishap, "cannot_write", EVN_BAD_IO,
                       "cannot write '%s': it is a pipe or a device; a trace of a comparison goes to a file",
                       trace->path);
    trace->csv.stream = trace->file.stream;
    return trace->file.temp;
}

bool evn_compare_open(evn_compare_run *run)
{
    bool open = make_folder(run) && make_room(run) && outputs_fit(run) &&
                (!run->args->csv || evn_out_open(&run->csv, run->args->csv, &run->call.mishap)) &&
                evn_page_open(&run->page, run->args->page, &run->call.mishap);
    for (size_t i = 0; open && i < trace_count(run); i++)
        open = open_trace(run, &run->trace[i]);
    return open;
}

/* ------------------------------------------------------------------------------------------------ rows of the runs */

/* The rows of a round before this one, and what went wrong with them, are gone. */
static void begin_trace(void *self)
{
    evn_compare_trace *trace = self;
    errno = 0;
    bool anew = evn_out_begin_anew(&trace->file);
    trace->csv.error_number = anew ? 0 : errno != 0 ? errno : EIO;
    evn_trace_csv_head(&trace->csv, trace->rig);
}

static void take_row(void *self, const double *row, size_t columns)
{
    evn_compare_trace *trace = self;
    evn_trace_csv_row(&trace->csv, row, columns);
}

static evn_sampler page_sampler(evn_compare_run *run, size_t truck, const evn_rig *rig)
{
    evn_html_run *page = run->over_time[truck] = evn_html_run_new(rig, EVN_HTML_THINNED);
    return (evn_sampler){page, run->ask.driving.trace_interval_s, NULL, evn_html_run_sample};
}

static evn_sampler picture_sampler(evn_compare_run *run, size_t truck, const evn_rig *rig)
{
    evn_plot_run *picture = run->picture[truck] =
        evn_plot_run_new(rig, evn_lineup_cycle(run->lineup), evn_plot_columns(&run->call.console->out_look));
    return (evn_sampler){picture, run->ask.driving.trace_interval_s, NULL, evn_plot_run_sample};
}

/* One whose run could not be made takes no rows. */
static size_t add_if_made(evn_compare_run *run, evn_sampler who, size_t count)
{
    run->sampler[count] = who;
    if (who.self)
        return count + 1;
    evn_mishap_no_memory(&run->call.mishap);
    return count;
}

/* Page and pictures tell of the trucks at their own speeds. */
evn_samplers evn_compare_samplers(void *self, size_t truck, const evn_rig *rig, evn_basis basis)
{
    evn_compare_run *run = self;
    size_t count = 0;
    if (run->trace) {
        evn_compare_trace *trace = &run->trace[2 * truck + (basis == EVN_BASIS_COMMON)];
        trace->rig = rig;
        run->sampler[count++] = (evn_sampler){trace, run->ask.driving.trace_interval_s, begin_trace, take_row};
    }
    if (basis == EVN_BASIS_OWN && run->page.stream)
        count = add_if_made(run, page_sampler(run, truck, rig), count);
    if (basis == EVN_BASIS_OWN && run->args->plot)
        count = add_if_made(run, picture_sampler(run, truck, rig), count);
    return (evn_samplers){run->sampler, count};
}

/* ------------------------------------------------------------------------------------------------ rows of a day */

/* Its rows are kept apart until the day has ended: only then are its legs and stops all known. */
static evn_sampler day_trace_sampler(evn_compare_run *run, evn_compare_trace *trace, const evn_rig *rig)
{
    int error_number = 0;
    trace->rig = rig;
    if (!trace->day)
        trace->day = evn_day_trace_new(1, &error_number);
    if (trace->day)
        return evn_day_trace_next(trace->day, 0, rig, run->ask.driving.trace_interval_s);
    trace->csv.error_number = error_number;
    return (evn_sampler){0};
}

static evn_sampler strip_sampler(evn_compare_run *run, size_t truck, const evn_rig *rig)
{
    if (!run->tape[truck])
        run->tape[truck] = evn_day_tape_new();
    return run->tape[truck] ? evn_day_tape_next(run->tape[truck], rig) : (evn_sampler){0};
}

static evn_sampler day_page_sampler(evn_compare_run *run, size_t truck, const evn_rig *rig)
{
    if (!run->over_time[truck])
        run->over_time[truck] = evn_html_run_new(rig, EVN_HTML_OF_DAY);
    return run->over_time[truck] ? evn_html_run_of_day(run->over_time[truck], run->ask.driving.trace_interval_s)
                                 : (evn_sampler){0};
}

evn_samplers evn_compare_phase_samplers(void *self, size_t truck, const evn_rig *rig, evn_basis basis, size_t phase)
{
    evn_compare_run *run = self;
    size_t count = 0;
    (void)phase; /* they come in their order */
    if (run->trace)
        count =
            add_if_made(run, day_trace_sampler(run, &run->trace[2 * truck + (basis == EVN_BASIS_COMMON)], rig), count);
    if (basis == EVN_BASIS_OWN && (run->args->plot || run->page.stream))
        count = add_if_made(run, strip_sampler(run, truck, rig), count);
    if (basis == EVN_BASIS_OWN && run->page.stream)
        count = add_if_made(run, day_page_sampler(run, truck, rig), count);
    return (evn_samplers){run->sampler, count};
}

/* Writes what was kept. False when memory is out. */
static bool write_day_trace(const evn_compare_run *run, size_t index)
{
    evn_compare_trace *trace = &run->trace[index];
    evn_day_strip day;
    bool made = evn_day_strip_of_compared(&day, run->comparison, index / 2, basis_of(index), NULL);
    if (made)
        evn_day_trace_csv(trace->day, &day, trace->file.stream, &trace->csv.error_number);
    evn_day_strip_end(&day);
    return made;
}

/* ------------------------------------------------------------------------------------------------ traces */

/* Ended by itself, wherever it got to. */
static bool is_whole(const evn_outcome *outcome)
{
    return evn_outcome_results(outcome) && strcmp(evn_outcome_status(outcome), "interrupted") != 0;
}

/* Traces of runs that did not end by themselves are dropped. False when another could not be written. */
static bool traces_written(evn_compare_run *run)
{
    for (size_t i = 0; i < trace_count(run); i++) {
        evn_compare_trace *trace = &run->trace[i];
        if (!is_whole(evn_comparison_outcome(run->comparison, i / 2, basis_of(i)))) {
            evn_out_drop(&trace->file);
            continue;
        }
        if (trace->day && trace->csv.error_number == 0 && !write_day_trace(run, i))
            evn_mishap_no_memory(&run->call.mishap);
        if (trace->csv.error_number != 0)
            evn_out_failed(&trace->file, &run->call.mishap, trace->csv.error_number);
    }
    return !evn_mishap_happened(&run->call.mishap);
}

/* ------------------------------------------------------------------------------------------------ the page */

static evn_html_truck page_truck(evn_compare_run *run, size_t index)
{
    const evn_outcome *outcome = evn_comparison_outcome(run->comparison, index, EVN_BASIS_OWN);
    const evn_results *results = evn_outcome_results(outcome);
    return (evn_html_truck){.name = evn_lineup_truck_name(run->lineup, index),
                            .title = evn_lineup_truck_title(run->lineup, index),
                            .truck = evn_lineup_truck(run->lineup, index),
                            .rig = evn_comparison_rig(run->comparison, index),
                            .run = results ? run->over_time[index] : NULL,
                            .results = results};
}

/* One of the parts of the report that are lines of words, to be freed; NULL when memory is out. */
static char *lines_of(const evn_compare_story *story, evn_compare_part part)
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    bool made = to && evn_compare_lines(story, part, to);
    if (to && fclose(to) == 0 && made)
        return text;
    free(text);
    return NULL;
}

/* The lineup's name, else how many go where; to be freed, NULL when memory is out. */
static char *title_of(const evn_compare_run *run)
{
    const char *name = evn_lineup_name(run->lineup), *over = evn_lineup_over(run->lineup);
    if (name)
        return strdup(name);
    size_t bytes = strlen(over) + CELL;
    char *title = malloc(bytes);
    if (title)
        snprintf(title, bytes, "%zu trucks over %s", evn_lineup_truck_count(run->lineup), over);
    return title;
}

static void end_days(const evn_compare_run *run, evn_day_strip *day)
{
    for (size_t i = 0; day && i < evn_lineup_truck_count(run->lineup); i++)
        evn_day_strip_end(&day[i]);
    free(day);
}

/* The day of each truck at its own speeds. NULL when memory is out. */
static evn_day_strip *days_of(const evn_compare_run *run)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    evn_day_strip *day = calloc(count, sizeof *day);
    bool made = day;
    for (size_t i = 0; made && i < count; i++) {
        made = evn_day_strip_of_compared(&day[i], run->comparison, i, EVN_BASIS_OWN, run->tape[i]);
        day[i].name = evn_lineup_truck_title(run->lineup, i);
    }
    if (made)
        return day;
    end_days(run, day);
    return NULL;
}

static bool fill_page(evn_compare_run *run, const evn_compare_story *story, const evn_html_truck *trucks)
{
    char *title = title_of(run), *part[EVN_PART_COUNT], hash[EVN_HASH_BYTES];
    json_t *result = evn_compare_document(story);
    evn_findings findings = {0};
    bool is_day = evn_lineup_has_duty(run->lineup);
    evn_day_strip *strip = is_day ? days_of(run) : NULL;
    evn_html_day day = {.duty = evn_lineup_over(run->lineup),
                        .source = evn_lineup_over_source(run->lineup),
                        .season = evn_lineup_season_name(run->lineup),
                        .hash = hash,
                        .strip = strip,
                        .strips = evn_lineup_truck_count(run->lineup)};
    evn_findings_add_report(&findings, run->call.report);
    bool made = title && result && (strip || !is_day) && evn_document_findings(result, &findings);
    evn_lineup_over_hash(run->lineup, hash);
    for (size_t k = 0; k < EVN_PART_COUNT; k++) {
        part[k] = lines_of(story, (evn_compare_part)k);
        made = made && part[k];
    }
    evn_html_page page = {.kind = "compare",
                          .title = title,
                          .result = result,
                          .answer = part[EVN_PART_BRIEF],
                          .notes = part[EVN_PART_NOTES],
                          .trust = part[EVN_PART_TRUST],
                          .comparison = story,
                          .part = (const char *const *)part,
                          .cycle = evn_lineup_cycle(run->lineup),
                          .day = is_day ? &day : NULL,
                          .truck = trucks,
                          .truck_count = evn_lineup_truck_count(run->lineup),
                          .command = run->call.console->words};
    made = made ? evn_page_write(&run->page, &page, &run->call.mishap) : evn_mishap_no_memory(&run->call.mishap);
    json_decref(result);
    free(title);
    end_days(run, strip);
    for (size_t k = 0; k < EVN_PART_COUNT; k++)
        free(part[k]);
    return made;
}

static bool page_written(evn_compare_run *run, const evn_compare_story *story)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    if (!run->page.stream)
        return true;
    evn_html_truck *trucks = calloc(count, sizeof *trucks);
    for (size_t i = 0; trucks && i < count; i++)
        trucks[i] = page_truck(run, i);
    bool made = trucks ? fill_page(run, story, trucks) : evn_mishap_no_memory(&run->call.mishap);
    free(trucks);
    return made;
}

/* All that finished at the common speed, against the one that all are held against; nothing where that is no
 * comparison. False when memory is out. */
bool evn_compare_ranked_picture(const void *self, const evn_compare_story *story)
{
    const evn_compare_run *run = self;
    enum { TRUCKS_MOST = 12 };
    char title[2 * CELL], by[CELL];
    size_t place[TRUCKS_MOST], count = evn_compare_rank(story, EVN_BASIS_COMMON, false, place);
    evn_plot_ranked truck[TRUCKS_MOST];
    size_t against = evn_compare_held_against(story, EVN_BASIS_COMMON);
    evn_plot_ranking of = {title, evn_lineup_truck_title(run->lineup, against), NULL};
    evn_compare_apart apart;
    if (count < 2)
        return true;
    snprintf(title, sizeof title, "Ranked: %s at the common speed, %%", evn_compare_decides_by(story)->words);
    for (size_t k = 0; k < count; k++) {
        evn_compare_tell_apart(story, place[k], against, EVN_BASIS_COMMON, &apart);
        truck[k] = (evn_plot_ranked){evn_lineup_truck_title(run->lineup, place[k]), apart.percent,
                                     apart.sureness.low_percent, apart.sureness.high_percent, apart.sure};
        if (apart.sure) {
            evn_method_words(&apart.sureness, by, sizeof by);
            of.by = by;
        }
    }
    return evn_plot_ranked_print(truck, count, &of, run->call.console->out, &run->call.console->out_look);
}

/* From the first truck to another by causes; nothing where they were not parted. False when memory is out. */
static bool bridge_picture(const evn_compare_run *run, const evn_compare_story *story, size_t truck)
{
    char title[4 * CELL], name[EVN_CAUSE_COUNT][EVN_CAUSE_NAME_BYTES];
    evn_plot_step_of step[EVN_CAUSE_COUNT + 2];
    static const char hanging[] =
        "Some of these causes hang together by order of exchange, as the report says: only their "
        "sum tells.";
    evn_causes_pair is;
    evn_cause_part part;
    size_t count = 0, hangs = 0;
    if (!evn_causes_pair_at(run->causes, truck, &is) || is.state != EVN_CAUSES_FOUND)
        return true;
    step[count++] =
        (evn_plot_step_of){evn_lineup_truck_title(run->lineup, evn_causes_against(run->causes)), is.first_parted, true};
    for (size_t k = 0; evn_causes_part_at(run->causes, truck, k, &part); k++)
        if (!part.alike) {
            step[count++] = (evn_plot_step_of){evn_cause_name(part.causes, name[k]), part.part, false};
            hangs += evn_cause_part_hangs(&part);
        }
    step[count++] = (evn_plot_step_of){evn_lineup_truck_title(run->lineup, truck), is.other_parted, true};
    snprintf(title, sizeof title, "By causes: %s at the common speed, %s", evn_compare_decides_by(story)->words,
             evn_compare_decides_by(story)->unit);
    return evn_plot_bridge_print(step, count,
                                 &(evn_plot_bridge){title, evn_compare_decides_by(story)->unit,
                                                    hangs > 1 ? hanging : NULL, evn_compare_part_digits(story)},
                                 run->call.console->out, &run->call.console->out_look);
}

static bool bridge_pictures(const evn_compare_run *run, const evn_compare_story *story)
{
    bool made = true;
    for (size_t i = 0; made && i < evn_lineup_truck_count(run->lineup); i++)
        made = bridge_picture(run, story, i);
    return made;
}

/* A strip of each truck over one clock. False when memory is out. */
static bool day_picture(const evn_compare_run *run)
{
    evn_day_strip *day = days_of(run);
    bool made = day && evn_plot_day(day, evn_lineup_truck_count(run->lineup), evn_lineup_season_name(run->lineup),
                                    run->call.console->out, &run->call.console->out_look);
    end_days(run, day);
    return made;
}

/* What they drove, and the energy of all. False when memory is out. */
static bool driven_pictures(const evn_compare_run *run, const evn_plot_truck *trucks, size_t count)
{
    FILE *to = run->call.console->out;
    const evn_look *look = &run->call.console->out_look;
    if (evn_lineup_has_duty(run->lineup))
        return day_picture(run) && evn_plot_balance(trucks, count, to, look);
    return evn_plot_print(evn_lineup_cycle(run->lineup), trucks, count, to, look);
}

bool evn_compare_pictures(const evn_compare_run *run, const evn_compare_story *story)
{
    size_t count = evn_lineup_truck_count(run->lineup);
    evn_plot_truck *trucks = calloc(count, sizeof *trucks);
    for (size_t i = 0; trucks && i < count; i++) {
        const evn_results *results = evn_outcome_results(evn_comparison_outcome(run->comparison, i, EVN_BASIS_OWN));
        trucks[i] = (evn_plot_truck){evn_lineup_truck_title(run->lineup, i), results ? run->picture[i] : NULL, results,
                                     results && !evn_compare_has_finished(story, i, EVN_BASIS_OWN)};
    }
    bool made = trucks && bridge_pictures(run, story) && driven_pictures(run, trucks, count);
    free(trucks);
    return made;
}

static bool csv_written(evn_compare_run *run, const evn_compare_story *story)
{
    return !run->csv.stream || evn_compare_csv(story, run->csv.stream) || evn_mishap_no_memory(&run->call.mishap);
}

static bool commit(evn_compare_run *run)
{
    size_t count = trace_count(run);
    evn_out_file **file = calloc(2 + count, sizeof *file);
    if (!file)
        return evn_mishap_no_memory(&run->call.mishap);
    for (size_t i = 0; i < count; i++)
        file[i] = &run->trace[i].file;
    file[count] = &run->csv;
    file[count + 1] = &run->page;
    bool kept = evn_call_commit(&run->call, file, 2 + count);
    free(file);
    return kept;
}

void evn_compare_write(evn_compare_run *run, const evn_compare_story *story)
{
    bool whole = run->comparison && !evn_mishap_happened(&run->call.mishap);
    bool kept = whole && evn_call_may_commit(&run->call) && traces_written(run) && csv_written(run, story) &&
                page_written(run, story) && commit(run);
    if (!kept)
        evn_compare_drop(run);
}

void evn_compare_drop(evn_compare_run *run)
{
    evn_out_drop(&run->csv);
    evn_out_drop(&run->page);
    for (size_t i = 0; run->trace && i < trace_count(run); i++)
        evn_out_drop(&run->trace[i].file);
    if (run->made_folder)
        rmdir(run->args->trace_dir); /* which fails, as it should, where something else is in it by now */
}

void evn_compare_forget_runs(evn_compare_run *run)
{
    size_t count = run->lineup ? evn_lineup_truck_count(run->lineup) : 0;
    for (size_t i = 0; run->over_time && i < count; i++)
        evn_html_run_free(run->over_time[i]);
    for (size_t i = 0; run->picture && i < count; i++)
        evn_plot_run_free(run->picture[i]);
    for (size_t i = 0; run->tape && i < count; i++)
        evn_day_tape_free(run->tape[i]);
    for (size_t i = 0; run->trace && i < 2 * count; i++) {
        evn_day_trace_free(run->trace[i].day);
        free(run->trace[i].path);
    }
    free(run->tape);
    free(run->trace);
    free(run->over_time);
    free(run->picture);
}
