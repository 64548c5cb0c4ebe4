/* evener limits: what trucks can do, before any route, and what binds it. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_limits.h"
#include "cli/call.h"
#include "cli/groups.h"
#include "cli/lineup_names.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "show/document.h"
#include "show/limits_story.h"
#include "show/out_file.h"
#include "show/plot/plot.h"
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

enum { TRUCKS = EVN_LIMITS_TRUCKS_MOST, GROUPS_MOST = 32 };

typedef struct limits_args {
    evn_load_args load;
    evn_asked asked;
    evn_texts groups;
    bool json, plot, digits, only_forces;
    const char *csv, *page; /* NULL: none */
} limits_args;

static void set_defaults(void *args) { *(limits_args *)args = (limits_args){.json = false}; }

typedef struct limits_run {
    evn_call call;
    const limits_args *args;
    evn_conditions ask;
    evn_demands demands;
    size_t count; /* trucks */
    evn_lineup_names names;
    evn_truck *truck[TRUCKS];
    char *title[TRUCKS]; /* NULL: no other bears its short name */
    evn_rig *rig[TRUCKS];
    evn_limits *limits[TRUCKS];
    size_t done; /* trucks found */
    evn_out_file csv, page;
} limits_run;

/* ------------------------------------------------------------------------------------------------ arguments */

static size_t names_of_groups(const char *names[GROUPS_MOST])
{
    const char *title, *help;
    size_t count = 0;
    names[count++] = EVN_LIMITS_ALL;
    while (count < GROUPS_MOST && evn_limits_group_at(count - 1, &names[count], &title, &help))
        count++;
    return count;
}

static bool groups_fit(limits_run *run)
{
    const char *names[GROUPS_MOST];
    size_t count = names_of_groups(names);
    return evn_groups_fit(&run->args->groups, names, count, &run->call.mishap);
}

static bool arguments_fit(limits_run *run)
{
    while (run->call.operands[run->count] && run->count < TRUCKS)
        run->count++;
    if (run->call.operands[run->count])
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "more than %d trucks; one to %d were expected",
                       TRUCKS, TRUCKS);
    else if (run->args->plot && run->args->json)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--plot and --json both want standard output; one of them was expected");
    return !evn_mishap_happened(&run->call.mishap) && groups_fit(run);
}

/* ------------------------------------------------------------------------------------------------ loading */

static bool tell_apart(limits_run *run)
{
    const char *short_name[TRUCKS], *name[TRUCKS];
    for (size_t i = 0; i < run->count; i++) {
        short_name[i] = evn_truck_short_name(run->truck[i]);
        name[i] = run->names.at[i];
    }
    return evn_titles_tell_apart(run->title, short_name, name, run->count) || evn_mishap_no_memory(&run->call.mishap);
}

/* All files are read even if the first is refused: all that is wrong comes out at once. */
static bool load(limits_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    if (!evn_lineup_names_make(&run->names, run->call.operands, run->count))
        return evn_mishap_no_memory(&run->call.mishap);
    if (!evn_lineup_names_fit(&run->names, run->args->load.set.at, &run->call.mishap))
        return false;
    bool all = true;
    for (size_t i = 0; i < run->count; i++) {
        how.truck_name = run->names.at[i];
        all = evn_truck_load_with(run->call.operands[i], &how, &run->truck[i], run->call.report) == EVN_DONE && all;
    }
    for (size_t i = 0; all && i < run->count; i++)
        all = evn_rig_prepare(run->truck[i], &run->ask.load_case, &run->rig[i], run->call.report) == EVN_DONE;
    return all && tell_apart(run);
}

/* ------------------------------------------------------------------------------------------------ finding */

static bool go_on(void *self, double done_share)
{
    limits_run *run = self;
    return evn_call_go_on(&run->call, ((double)run->done + done_share) / (double)run->count);
}

static bool all_met(const limits_run *run)
{
    bool all = true;
    for (size_t i = 0; i < run->count; i++)
        all = all && evn_limits_does_all(run->limits[i]);
    return all;
}

/* Of several trucks what decides them, unless groups are asked for: all of it would be some hundred lines. */
static bool tells_in_short(const limits_run *run) { return run->count > 1 && !run->args->groups.at[0]; }

/* Of the next truck. False, with what was half found dropped, where that did not come to its end. */
static bool find_next(limits_run *run, evn_status *status)
{
    const limits_args *args = run->args;
    evn_limits_how how = {.only_forces = args->only_forces,
                          .only_deciding = !args->json && !args->csv && !args->page && tells_in_short(run),
                          .demands = &run->demands,
                          .self = run,
                          .go_on = go_on};
    evn_limits **out = &run->limits[run->done];
    if (!go_on(run, 0)) { /* what follows from forces alone does not look for signals */
        evn_mishap_say(&run->call.mishap, "interrupted", EVN_NO_RESULT,
                       "interrupted; the limits of %zu of %zu trucks were found", run->done, run->count);
        *status = EVN_NO_RESULT;
        return false;
    }
    *status = evn_limits_find(run->rig[run->done], &run->ask.driving, &how, out, run->call.report);
    if (*status < EVN_NO_RESULT && *out)
        return true;
    evn_limits_free(*out);
    *out = NULL;
    return false;
}

/* One after the other: each takes less than a second. */
static evn_status find(void *self)
{
    limits_run *run = self;
    evn_status status = EVN_DONE;
    run->call.progress = evn_progress_begin(run->call.console, "all limits");
    while (run->done < run->count && find_next(run, &status))
        run->done++;
    evn_progress_end(&run->call.progress);
    return status == EVN_DONE && !all_met(run) ? EVN_ANSWER_NO : status;
}

/* ------------------------------------------------------------------------------------------------ telling it */

static const char *status_name(const limits_run *run)
{
    if (run->done < run->count || run->count == 0 || evn_mishap_happened(&run->call.mishap))
        return run->call.stopped ? "interrupted" : "failed";
    return "finished";
}

/* `truck` has room for all. */
static evn_limits_story story_of(const limits_run *run, evn_limits_truck truck[TRUCKS])
{
    for (size_t i = 0; i < run->count; i++) {
        const char *name = i < run->names.count ? run->names.at[i] : run->call.operands[i];
        truck[i] = (evn_limits_truck){name, run->title[i], run->truck[i], run->rig[i], run->limits[i]};
    }
    return (evn_limits_story){.status = status_name(run),
                              .truck = truck,
                              .count = run->count,
                              .ask = run->ask,
                              .demands = run->demands,
                              .only_forces = run->args->only_forces,
                              .groups = run->args->groups.at};
}

static bool put_pictures(const limits_run *run, const evn_limits_story *story, const evn_look *look)
{
    bool made = true;
    for (size_t i = 0; made && run->args->plot && i < story->count; i++)
        if (story->truck[i].limits)
            made = evn_plot_forces(story->truck[i].rig, story->count > 1 ? evn_limits_title(&story->truck[i]) : NULL,
                                   run->call.console->out, look);
    return made;
}

static bool tell(void *self)
{
    const limits_run *run = self;
    evn_limits_truck truck[TRUCKS];
    evn_limits_story story = story_of(run, truck);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_limits_json(&story, &run->call.findings, run->call.console->out);
    static const char *const deciding[] = {EVN_LIMITS_DECIDING, NULL};
    story.in_short = tells_in_short(run);
    if (story.in_short)
        story.groups = deciding;
    return !run->limits[0] ||
           (evn_limits_words(&story, run->call.console->out, &look) && put_pictures(run, &story, &look));
}

/* ------------------------------------------------------------------------------------------------ files */

/* One of the parts of the report that are lines of words, to be freed; NULL when memory is out. */
static char *lines_of(const evn_limits_story *story, bool (*write)(const evn_limits_story *, FILE *))
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    bool made = to && write(story, to);
    if (to && fclose(to) == 0 && made)
        return text;
    free(text);
    return NULL;
}

static bool page_written(limits_run *run, const evn_limits_story *story)
{
    evn_html_truck trucks[TRUCKS];
    char title[64];
    if (!run->page.stream)
        return true;
    snprintf(title, sizeof title, "What %zu trucks can do", story->count);
    for (size_t i = 0; i < story->count; i++) {
        const evn_limits_truck *of = &story->truck[i];
        trucks[i] =
            (evn_html_truck){.name = of->name, .title = evn_limits_title(of), .truck = of->truck, .rig = of->rig};
    }
    char *answer = lines_of(story, evn_limits_answer_lines), *trust = lines_of(story, evn_limits_trust_lines);
    json_t *result = evn_limits_document(story);
    evn_findings findings = {0};
    evn_findings_add_report(&findings, run->call.report);
    evn_html_page page = {.kind = "limits",
                          .title = story->count > 1 ? title : evn_truck_name(story->truck[0].truck),
                          .result = result,
                          .answer = answer,
                          .trust = trust,
                          .truck = trucks,
                          .truck_count = story->count,
                          .command = run->call.console->words};
    bool made = answer && trust && result && evn_document_findings(result, &findings);
    made = made ? evn_page_write(&run->page, &page, &run->call.mishap) : evn_mishap_no_memory(&run->call.mishap);
    json_decref(result);
    free(answer);
    free(trust);
    return made;
}

/* All or none: none after an interrupt. */
static void write_files(void *self, evn_status found)
{
    limits_run *run = self;
    evn_limits_truck truck[TRUCKS];
    evn_limits_story story = story_of(run, truck);
    (void)found;
    if (run->done == run->count && (!run->csv.stream || evn_limits_csv(&story, run->csv.stream)) &&
        page_written(run, &story))
        evn_call_commit(&run->call, (evn_out_file *const[]){&run->csv, &run->page}, 2);
}

static evn_status work(void *self)
{
    limits_run *run = self;
    run->args = run->call.args;
    run->ask = evn_conditions_default();
    run->demands = evn_demands_default();
    evn_load_begin(&run->args->load, run->call.report);
    if (!arguments_fit(run))
        return EVN_BAD_INPUT;
    bool asked = evn_asked_apply(&run->args->asked, &run->ask, run->call.report) &&
                 evn_asked_demand(&run->args->asked, &run->demands, run->call.report);
    if (!load(run) || !asked)
        return evn_report_status(run->call.report);
    const evn_output output[] = {{.option = "--csv", .path = run->args->csv, .file = &run->csv},
                                 {.option = "--page", .path = run->args->page, .file = &run->page, .page = true}};
    return evn_outputs_work(&run->call, output, sizeof output / sizeof *output, find, write_files);
}

static void forget(void *self)
{
    limits_run *run = self;
    for (size_t i = 0; i < run->count; i++) {
        evn_limits_free(run->limits[i]);
        evn_rig_free(run->rig[i]);
        evn_truck_free(run->truck[i]);
        free(run->title[i]);
    }
    evn_lineup_names_free(&run->names);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const evn_operand operands[] = {
    {"TRUCK",
     "a truck: its file (YAML), or its name as 'evener list' shows it; up to twelve, "
     "side by side",
     {EVN_TAKES_INPUT, "truck", NULL}}};

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(limits_args, load, "truck", "another value than the files', for this time; once for each"),
    {.name = "group",
     .argument = "GROUP",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(limits_args, groups),
     .takes = {EVN_TAKES_LIMITS, NULL, NULL},
     .help = "no other figures than those of this group, or all; once for each"},
    {.name = "only-forces",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(limits_args, only_forces),
     .help = "only what follows from forces: nothing is driven, which is quick"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(limits_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "plot",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(limits_args, plot),
     .help = "wheel force over speed with the road load on grades, as a picture in the terminal"},
    EVN_DIGITS_OPTION(limits_args, digits),
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(limits_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "all figures, a row for each truck and figure"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(limits_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "the figures with charts, to be opened in a browser"},
};

static const char *const notes[] = {
    "Tells what a truck can do before any route: the grades on which it starts, and what else its groups of figures "
    "hold. Each figure stands with the limit that binds it, that is the one without which alone it would be better, "
    "and with the limit that would bind next.",
    "Of one truck the words tell all figures; of several what decides them, and with --group what is asked for.",
    "What a duty demands is judged where it is given (--start-grade-percent and what follows): yes or no for each "
    "truck, with what binds. Where one of them does not do all of it, the exit code is 1.",
    "How the truck is driven matters where a figure is found by driving; what else the options of driving say is for "
    "routes. The state of charge at the start is that of all figures but those that name another.",
    EVN_SET_NOTE " With several trucks 'trucks.NAME.KEY' is for one of them, named by its file without the ending; any "
                 "other key is for all.",
    EVN_PAGE_NOTE " Ctrl-C ends the search and reports the trucks that are found; files are not written then.",
    "The figures are for comparing layouts. How a loaded vehicle is started on a grade, taken downhill and braked is "
    "for local regulation, approved testing and licensed practice.",
    NULL};

static const char *const examples[] = {"evener limits tractor-4x2-central",
                                       "evener limits tipper-8x4-central tipper-8x2-eaxle --group start",
                                       "evener limits tipper-8x4-central tipper-8x2-eaxle --group all",
                                       "evener limits TRUCK --payload-kg 0 --start-soc 0.6 --plot",
                                       "evener limits TRUCK OTHER --set trucks.OTHER.body.mass_kg=4000",
                                       "evener limits TRUCK OTHER --start-grade-percent 15 --start-surface soil",
                                       "evener limits TRUCK --csv limits.csv --page limits.html",
                                       "evener limits TRUCK --only-forces --json | jq '.trucks[0].figures.start'",
                                       NULL};

const evn_command evn_command_limits = {.name = "limits",
                                        .summary = "what trucks can do, before any route, and what binds it",
                                        .schema = EVN_LIMITS_SCHEMA,
                                        .operands = operands,
                                        .operand_count = 1,
                                        .operands_many = true,
                                        .options = options,
                                        .option_count = sizeof options / sizeof options[0],
                                        .asks = evn_asks_and_demands,
                                        .asked_offset = offsetof(limits_args, asked),
                                        .notes = notes,
                                        .examples = examples,
                                        .args_size = sizeof(limits_args),
                                        .defaults = set_defaults,
                                        .run_size = sizeof(limits_run),
                                        .work = work,
                                        .tell = tell,
                                        .forget = forget};
