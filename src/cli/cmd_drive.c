/* evener drive: one truck over one cycle, with its trace, page and pictures. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_drive.h"
#include "cli/call.h"
#include "cli/drive_day.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "evener/catalogue.h"
#include "show/csv/collective_csv.h"
#include "show/csv/trace_csv.h"
#include "show/document.h"
#include "show/drive_story.h"
#include "show/out_file.h"
#include "show/plot/plot.h"
#include "show/text.h"
#include <errno.h>
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

typedef struct drive_args {
    evn_load_args load;
    evn_asked asked;
    bool json, plot, digits;
    const char *trace;                          /* NULL: none; "-": standard output */
    const char *page;                           /* NULL: none */
    const char *collective;                     /* likewise */
    const char *csv;                            /* of a duty; likewise */
    double damage_exponent, damage_revolutions; /* NAN: not given */
} drive_args;

static void set_defaults(void *args)
{
    *(drive_args *)args = (drive_args){.damage_exponent = (double)NAN, .damage_revolutions = (double)NAN};
}

/* ------------------------------------------------------------------------------------------------ one run */

typedef struct drive_run {
    evn_call call;
    const drive_args *args;
    evn_conditions ask;
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_results *results;
    evn_limitation *limitation;
    size_t limitation_count;
    evn_chart *stops; /* NULL until the run gave results */
    evn_out_file file;
    evn_trace_csv trace; /* its stream is NULL without --trace */
    evn_out_file page, loads;
    evn_collective *collective; /* NULL: not asked for */
    evn_html_run *over_time;    /* for the page; NULL without one */
    evn_plot_run *picture;      /* for the terminal; NULL without one */
    evn_drive_day day;          /* where a duty stands in place of the cycle */
    bool is_day;
} drive_run;

static bool traces_to_out(const drive_run *run) { return run->args->trace && strcmp(run->args->trace, "-") == 0; }

/* The trace has standard output to itself. */
static FILE *told_to(const drive_run *run)
{
    return traces_to_out(run) ? run->call.console->err : run->call.console->out;
}

static evn_look told_look(const drive_run *run)
{
    const evn_console *console = run->call.console;
    return evn_look_with(traces_to_out(run) ? &console->err_look : &console->out_look, run->args->digits);
}

static bool load(drive_run *run)
{
    const char *const *operands = run->call.operands;
    /* Both are read even if the first is refused: all that is wrong comes out at once. */
    evn_load how = evn_load_of(&run->args->load);
    bool truck = evn_truck_load_with(operands[0], &how, &run->truck, run->call.report) == EVN_DONE;
    bool cycle = evn_cycle_load_with(operands[1], &how, &run->cycle, run->call.report) == EVN_DONE;
    return truck && cycle && evn_rig_prepare(run->truck, &run->ask.load_case, &run->rig, run->call.report) == EVN_DONE;
}

static bool open_trace(drive_run *run)
{
    if (!run->args->trace)
        return true;
    if (traces_to_out(run)) {
        run->trace.stream = run->call.console->out;
    } else {
        if (!evn_out_open(&run->file, run->args->trace, &run->call.mishap))
            return false;
        run->trace.stream = run->file.stream;
    }
    evn_trace_csv_head(&run->trace, run->rig);
    return true;
}

static bool go_on(void *self, double done_share)
{
    drive_run *run = self;
    bool unread = traces_to_out(run) && run->trace.error_number == EPIPE; /* who asked for the rows went away */
    return evn_call_go_on(&run->call, done_share) && !unread;
}

static void take_sample(void *self, const double *row, size_t columns)
{
    drive_run *run = self;
    if (run->trace.stream)
        evn_trace_csv_row(&run->trace, row, columns);
    if (run->over_time)
        evn_html_run_sample(run->over_time, row, columns);
    if (run->picture)
        evn_plot_run_sample(run->picture, row, columns);
}

static bool is_watched(const drive_run *run) { return run->trace.stream || run->over_time || run->picture; }

static bool begin_picture(drive_run *run)
{
    if (!run->args->plot)
        return true;
    evn_look look = told_look(run);
    run->picture = evn_plot_run_new(run->rig, run->cycle, evn_plot_columns(&look));
    if (!run->picture)
        evn_mishap_no_memory(&run->call.mishap);
    return run->picture;
}

static bool open_page(drive_run *run)
{
    if (!evn_page_open(&run->page, run->args->page, &run->call.mishap))
        return false;
    if (!run->page.stream)
        return true;
    run->over_time = evn_html_run_new(run->rig, EVN_HTML_WHOLE);
    if (!run->over_time)
        evn_mishap_no_memory(&run->call.mishap);
    return run->over_time;
}

static bool open_collective(drive_run *run)
{
    if (!run->args->collective)
        return true;
    if (!evn_out_open(&run->loads, run->args->collective, &run->call.mishap))
        return false;
    run->collective = evn_collective_new(run->rig);
    if (!run->collective)
        evn_mishap_no_memory(&run->call.mishap);
    return run->collective;
}

static bool write_collective(drive_run *run)
{
    evn_trace_csv csv = {.stream = run->loads.stream};
    evn_collective_csv(run->collective, &csv);
    if (csv.error_number != 0)
        evn_out_failed(&run->loads, &run->call.mishap, csv.error_number);
    return csv.error_number == 0;
}

/* A run that ended early leaves its rows under another name: what bears the name that was asked for is whole. */
static void keep_partial(drive_run *run)
{
    if (!evn_out_keep_partial(&run->file, &run->call.mishap))
        return;
    fputs("evener: the run ended early; the trace up to there is kept in '", run->call.console->err);
    evn_put_safe(run->call.console->err, run->args->trace);
    fputs(".partial'\n", run->call.console->err);
}

static void say_trace_failed(drive_run *run)
{
    if (run->file.stream)
        evn_out_failed(&run->file, &run->call.mishap, run->trace.error_number);
    else
        evn_mishap_say(&run->call.mishap, "cannot_write", EVN_BAD_IO, "cannot write standard output: %s",
                       strerror(run->trace.error_number));
}

static evn_status drive(drive_run *run)
{
    evn_watcher watcher = {
        .self = run, .go_on = go_on, .sample = is_watched(run) ? take_sample : NULL, .collective = run->collective};
    run->call.progress = evn_progress_begin(run->call.console, "the cycle");
    evn_status status = evn_drive(run->rig, run->cycle, &run->ask.driving, &watcher, &run->results, run->call.report);
    evn_progress_end(&run->call.progress);
    if (run->results)
        evn_chart_of_braking_to_rest(run->rig, &run->stops, run->call.report);
    return status;
}

/* ------------------------------------------------------------------------------------------------ telling it */

static bool copy_limitations(drive_run *run)
{
    size_t count = run->results ? evn_results_limitation_count(run->results) : 0;
    run->limitation = calloc(count + 1, sizeof *run->limitation);
    if (!run->limitation)
        return false;
    for (size_t i = 0; i < count; i++)
        if (evn_results_limitation_at(run->results, i, &run->limitation[run->limitation_count]))
            run->limitation_count++;
    return true;
}

/* An output that was asked for and is not there makes the whole a failure, whatever was computed. */
static const char *status_name(const drive_run *run)
{
    return !run->results || evn_mishap_happened(&run->call.mishap) ? "failed" : evn_results_status(run->results);
}

static evn_damage damage_of(const drive_args *args)
{
    return (evn_damage){isnan(args->damage_exponent) ? EVN_DAMAGE_EXPONENT : args->damage_exponent,
                        isnan(args->damage_revolutions) ? 0 : args->damage_revolutions};
}

static evn_drive_story story_of(const drive_run *run)
{
    return (evn_drive_story){.status = status_name(run),
                             .truck = run->truck ? evn_truck_name(run->truck) : NULL,
                             .truck_invented = run->truck && evn_truck_invented(run->truck),
                             .cycle = run->cycle ? evn_cycle_name(run->cycle) : NULL,
                             .cycle_source = run->cycle ? evn_cycle_source(run->cycle) : NULL,
                             .ask = run->ask,
                             .figures = evn_figures_of_results(run->results),
                             .limitation = run->limitation,
                             .limitation_count = run->limitation_count,
                             .results = run->results,
                             .stops = run->stops,
                             .collective = run->collective,
                             .damage = damage_of(run->args)};
}

/* Name of the truck's file without folder and ending: short enough to stand beside a line. */
static char *short_name(const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path, *dot = strrchr(name, '.');
    return strndup(name, dot && dot > name ? (size_t)(dot - name) : strlen(name));
}

static char *title_of(const drive_run *run)
{
    const char *truck = evn_truck_name(run->truck), *cycle = evn_cycle_name(run->cycle);
    size_t bytes = strlen(truck) + strlen(cycle) + sizeof " over ";
    char *title = malloc(bytes);
    if (title)
        snprintf(title, bytes, "%s over %s", truck, cycle);
    return title;
}

/* Answer and trust as lines, to be freed. False when memory is out. */
static bool lines_of(const evn_drive_story *story, const evn_findings *findings, char **answer, char **trust)
{
    size_t bytes = 0;
    FILE *to = open_memstream(answer, &bytes);
    bool made = to && evn_drive_answer_lines(story, findings, to);
    made = to && fclose(to) == 0 && made;
    to = open_memstream(trust, &bytes);
    if (!to)
        return false;
    evn_drive_trust_lines(story, to);
    return fclose(to) == 0 && made;
}

static bool write_page(drive_run *run)
{
    evn_drive_story story = story_of(run);
    story.status = evn_results_status(run->results);
    char *answer = NULL, *trust = NULL, *title = title_of(run), *name = short_name(run->call.operands[0]);
    json_t *result = evn_drive_document(&story);
    const char *title_name = evn_truck_short_name(run->truck);
    evn_html_truck truck = {
        name, title_name ? title_name : name, run->truck, run->rig, run->over_time, run->results, run->collective};
    evn_html_page page = {.kind = "drive",
                          .title = title,
                          .result = result,
                          .cycle = run->cycle,
                          .truck = &truck,
                          .truck_count = 1,
                          .command = run->call.console->words};
    evn_findings findings = {0};
    evn_findings_add_report(&findings, run->call.report);
    bool made = lines_of(&story, &findings, &answer, &trust) && title && name && result &&
                evn_document_findings(result, &findings);
    page.answer = answer;
    page.trust = trust;
    made = made ? evn_page_write(&run->page, &page, &run->call.mishap) : evn_mishap_no_memory(&run->call.mishap);
    json_decref(result);
    free(answer);
    free(trust);
    free(title);
    free(name);
    return made;
}

/* Trace, page and collectives, all or none: a run that gave no whole result has none; one that a strict report took a
 * warning of amiss has all. */
static void write_files(drive_run *run, evn_status status)
{
    bool whole = status != EVN_NO_RESULT && run->results;
    if (!copy_limitations(run))
        evn_mishap_no_memory(&run->call.mishap);
    else if (run->trace.error_number != 0)
        say_trace_failed(run);
    else if (run->file.stream && status == EVN_NO_RESULT)
        keep_partial(run);
    else if (whole && (!run->page.stream || write_page(run)) && (!run->loads.stream || write_collective(run)))
        evn_call_commit(&run->call, (evn_out_file *const[]){&run->file, &run->page, &run->loads}, 3);
}

/* Signals are held from before the files are opened until they are ended. */
static evn_status drive_and_write(drive_run *run)
{
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&run->call.interrupt);
    if (begin_picture(run) && open_page(run) && open_collective(run) && open_trace(run)) {
        status = drive(run);
        write_files(run, status);
    }
    evn_out_drop(&run->file);
    evn_out_drop(&run->page);
    evn_out_drop(&run->loads);
    evn_interrupt_end(&run->call.interrupt);
    return status;
}

static bool tell(void *self)
{
    const drive_run *run = self;
    if (run->is_day)
        return evn_drive_day_tell(&run->call, &run->day, run->args->digits);
    const evn_findings *findings = &run->call.findings;
    evn_drive_story story = story_of(run);
    if (run->args->json)
        return evn_drive_json(&story, findings, run->call.console->out);
    if (!run->results)
        return true;
    story.status = evn_results_status(run->results);
    evn_plot_truck truck = {NULL, run->picture, run->results, false};
    evn_look look = told_look(run);
    return evn_drive_text(&story, findings, told_to(run), &look) &&
           (!run->picture || evn_plot_print(run->cycle, &truck, 1, told_to(run), &look));
}

static void forget(void *self)
{
    drive_run *run = self;
    evn_drive_day_forget(&run->day);
    free(run->limitation);
    evn_chart_free(run->stops);
    evn_html_run_free(run->over_time);
    evn_plot_run_free(run->picture);
    evn_collective_free(run->collective);
    evn_results_free(run->results);
    evn_rig_free(run->rig);
    evn_cycle_free(run->cycle);
    evn_truck_free(run->truck);
}

/* What is said of the damage is for what is counted. */
static bool damage_fits(drive_run *run)
{
    const drive_args *args = run->args;
    const char *lone = !isnan(args->damage_exponent)      ? "--damage-exponent"
                       : !isnan(args->damage_revolutions) ? "--damage-revolutions"
                                                          : NULL;
    if (!lone || args->collective)
        return true;
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                   "%s stands without --collective; a file for the load collectives was expected", lone);
    return false;
}

static bool arguments_fit(drive_run *run)
{
    if (!damage_fits(run))
        return false;
    if (run->args->plot && run->args->json) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--plot and --json both want standard output; one of them was expected");
        return false;
    }
    if (traces_to_out(run) && run->args->json) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--trace - and --json both want standard output; one of them was expected; name a file for the "
                       "trace");
        return false;
    }
    return true;
}

/* What is of one cycle is not of a day of many, and the other way round. */
static bool is_for_what_is_driven(drive_run *run)
{
    const drive_args *args = run->args;
    const char *lone = !run->is_day ? (args->csv ? "--csv" : NULL) : args->collective ? "--collective" : NULL;
    if (!lone)
        return true;
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "%s with %s '%s'; it is for %s", lone,
                   run->is_day ? "the duty" : "the cycle", run->call.operands[1],
                   run->is_day ? "a single cycle: drive those of the duty's legs one by one" : "a duty, leg by leg");
    return false;
}

static evn_status work_day(drive_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    char *name = short_name(run->call.operands[0]);
    evn_truck_load_with(run->call.operands[0], &how, &run->truck, run->call.report);
    run->day = (evn_drive_day){.truck = run->truck,
                               .ask = run->ask,
                               .csv = run->args->csv,
                               .trace = run->args->trace,
                               .page = run->args->page,
                               .name = name,
                               .plot = run->args->plot};
    evn_status status = EVN_NO_RESULT;
    if (name)
        status = evn_drive_day_work(&run->call, &run->day, &run->args->load);
    else
        evn_mishap_no_memory(&run->call.mishap);
    free(name);
    return status;
}

static bool outputs_fit(drive_run *run)
{
    const evn_output output[] = {{.option = "--trace", .path = traces_to_out(run) ? NULL : run->args->trace},
                                 {.option = "--page", .path = run->args->page},
                                 {.option = "--collective", .path = run->args->collective}};
    return evn_outputs_fit(output, sizeof output / sizeof output[0], run->call.report, &run->call.mishap);
}

static evn_status work(void *self)
{
    drive_run *run = self;
    run->args = run->call.args;
    run->ask = evn_conditions_default();
    evn_load_begin(&run->args->load, run->call.report);
    const char *kind = evn_file_kind(run->call.operands[1], "cycle");
    run->is_day = kind && strcmp(kind, "duty") == 0;
    if (!is_for_what_is_driven(run) || !arguments_fit(run))
        return EVN_BAD_INPUT;
    evn_asked_apply(&run->args->asked, &run->ask, run->call.report);
    if (run->is_day)
        return work_day(run);
    if (!load(run))
        return evn_report_status(run->call.report);
    if (!outputs_fit(run))
        return EVN_BAD_INPUT;
    return drive_and_write(run);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(drive_args, load, "truck", "another value than the files', for this run; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(drive_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "plot",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(drive_args, plot),
     .help = "the route with the run over it (of a duty: the charge over the day), and the energy balance, as pictures "
             "in the terminal"},
    {.name = "trace",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(drive_args, trace),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "the run over time, of a duty with season, leg or stop and the clock of the day; - is standard output"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(drive_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "the run with charts, to be opened in a browser"},
    {.name = "collective",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(drive_args, collective),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "load collectives (load spectra) of each shaft and gear: time and revolutions at torque and speed; what "
             "they come to also in report, document and page"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(drive_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "of a duty: its legs and stops, a line each"},
    {.name = "damage-exponent",
     .argument = "K",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(drive_args, damage_exponent),
     .least = 1,
     .most = 100,
     .help = "exponent of the damage-equivalent torque, the slope of the life curve",
     .facts = "3.333, 1 to 100"},
    {.name = "damage-revolutions",
     .argument = "N",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(drive_args, damage_revolutions),
     .least = 1,
     .most = 1e12,
     .help = "revolutions that it refers to; not given: all of the shaft",
     .facts = "1 to 1e12"},
    EVN_DIGITS_OPTION(drive_args, digits),
};

static const evn_operand operands[] = {
    {"TRUCK", "a truck: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "truck", NULL}},
    {"CYCLE",
     "a cycle, or a duty, a working day of several: its file (YAML), or its name",
     {EVN_TAKES_INPUT, "cycle duty", NULL}}};

static const char *const notes[] = {
    "The report tells the results, the energy balance, what limited the truck, how it braked and how hot its parts "
    "became, and accuracy and validity. "
    "With --trace - the trace goes to standard output and the report to standard error.",
    EVN_SET_NOTE " Keys that begin with 'cycle.' are for the cycle, with 'duty.' for the duty, all others for the "
                 "truck.",
    "A duty is driven whole, in each of its seasons: charge, temperatures and the clock are carried from leg to leg "
    "and "
    "through its stops. What is told leg by leg, in pictures and on the page is of the season that leaves the least "
    "reserve; table of legs and trace have all.",
    EVN_PAGE_NOTE,
    "A load collective parts pulling from braking, since teeth are loaded on one flank at a time. Its equivalent "
    "torque "
    "is (sum n |T|^k / N)^(1/k) over revolutions n, linear damage accumulation (Palmgren, Miner; from memory). The "
    "exponent k is that of the part's life curve: 10/3 for roller bearings, 3 for ball bearings (ISO 281, from "
    "memory); "
    "gear teeth and shafts have others (ISO 6336: some 6 to 17, from memory). What parts must bear is for approved "
    "testing and licensed practice.",
    "Trace, page and load collectives are written whole, all or none: where one cannot be written the others are not "
    "either, and files that were there before stay. A run that ends early (Ctrl-C, or an integration that cannot go "
    "on) leaves the rows it "
    "has "
    "in FILE.csv.partial and touches nothing else.",
    NULL};

static const char *const examples[] = {"evener drive tractor-4x2-central urban-schedule-heavy",
                                       "evener drive TRUCK CYCLE --payload-kg 12000 --driver exact",
                                       "evener drive TRUCK CYCLE --set 'drive_units.rear.gearbox.ratios[0]=5.2'",
                                       "evener drive TRUCK CYCLE --set cycle.name=Dry",
                                       "evener drive TRUCK CYCLE --trace run.csv --trace-interval-s 0.5",
                                       "evener drive TRUCK CYCLE --plot",
                                       "evener drive TRUCK CYCLE --page run.html",
                                       "evener drive TRUCK CYCLE --collective loads.csv --damage-exponent 6",
                                       "evener drive TRUCK DUTY --csv legs.csv",
                                       "evener drive TRUCK DUTY --plot --page day.html",
                                       "evener drive TRUCK CYCLE --json | jq .energy_balance",
                                       NULL};

const evn_command evn_command_drive = {.name = "drive",
                                       .summary = "one truck over one cycle, or over the day of a duty",
                                       .schema = EVN_DRIVE_SCHEMA,
                                       .operands = operands,
                                       .operand_count = 2,
                                       .options = options,
                                       .option_count = sizeof options / sizeof options[0],
                                       .asks = evn_ask_kinds,
                                       .asked_offset = offsetof(drive_args, asked),
                                       .notes = notes,
                                       .examples = examples,
                                       .args_size = sizeof(drive_args),
                                       .defaults = set_defaults,
                                       .run_size = sizeof(drive_run),
                                       .work = work,
                                       .tell = tell,
                                       .forget = forget};
