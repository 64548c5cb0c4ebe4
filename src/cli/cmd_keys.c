/* evener keys: the reference of every key, as words, schema or bare paths; of results; and of faults. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_keys.h"
#include "cli/call.h"
#include "show/document.h"
#include "show/keys_story.h"
#include <stddef.h>
#include <string.h>

typedef struct keys_args {
    bool json, faults, paths, results;
} keys_args;

static void set_defaults(void *args) { *(keys_args *)args = (keys_args){.json = false}; }

typedef struct keys_run {
    evn_call call;
    const keys_args *args;
    bool out_of_memory;
} keys_run;

/* ------------------------------------------------------------------------------------------------ in words */

/* A bare name may be a key of many kinds; where it is a kind, that is what is meant. */
static bool is_bare_key(const char *path)
{
    evn_kind kind;
    return !strpbrk(path, ".[") && !evn_kind_get(path, &kind);
}

static void show_path(keys_run *run, const char *path)
{
    evn_key_place place;
    bool found = false;
    if (is_bare_key(path)) {
        run->out_of_memory |= !evn_keys_everywhere(path, &found, run->call.console->out, &run->call.console->out_look);
        if (found)
            return;
    }
    if (evn_key_find(path, &place, run->call.report))
        run->out_of_memory |= !evn_keys_text(path, &place, run->call.console->out, &run->call.console->out_look);
}

/* Nothing is shown when one of the paths leads nowhere. */
static bool all_lead_somewhere(keys_run *run, const char *const *paths)
{
    evn_key_place place;
    bool all = true;
    for (size_t i = 0; paths[i]; i++)
        all = evn_key_find(paths[i], &place, run->call.report) && all;
    return all;
}

static void show_paths(keys_run *run, const char *const *paths)
{
    if (!paths[0]) {
        run->out_of_memory = !evn_keys_overview(run->call.console->out, &run->call.console->out_look);
        return;
    }
    if (!all_lead_somewhere(run, paths))
        return;
    for (size_t i = 0; paths[i]; i++) {
        if (i > 0)
            fputc('\n', run->call.console->out);
        show_path(run, paths[i]);
    }
}

/* ------------------------------------------------------------------------------------------------ as a schema */

enum { KINDS_MOST = 64 };

static void show_schema(keys_run *run, const char *const *paths)
{
    const char *kinds[KINDS_MOST] = {"truck", "cycle", "lineup"};
    size_t count = !paths[0] ? 3 : 0;
    for (size_t i = 0; paths[i]; i++) {
        evn_key_place place;
        if (!evn_key_find(paths[i], &place, run->call.report))
            continue;
        if (!place.inner || count == KINDS_MOST)
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                           "a schema of '%s'; expected at most 64 kinds, such as truck, cycle or motor", paths[i]);
        else
            kinds[count++] = place.inner;
    }
    if (evn_report_status(run->call.report) == EVN_DONE && !evn_mishap_happened(&run->call.mishap))
        run->out_of_memory = !evn_keys_schema(kinds, count, run->call.console->out);
}

/* ------------------------------------------------------------------------------------------------ as bare paths */

static void list_paths(keys_run *run, const char *const *paths)
{
    if (!paths[0])
        evn_keys_all_paths(run->call.console->out);
    else if (all_lead_somewhere(run, paths))
        for (size_t i = 0; paths[i]; i++) {
            evn_key_place place;
            if (evn_key_find(paths[i], &place, run->call.report))
                evn_keys_paths(paths[i], &place, run->call.console->out);
        }
}

/* ------------------------------------------------------------------------------------------------ lists */

/* What stands beside the keys of files: the whole list, whatever path. */
static void show_list(keys_run *run, const char *const *paths, const char *option,
                      bool (*text)(FILE *, const evn_look *), bool (*json)(FILE *))
{
    const evn_console *console = run->call.console;
    if (paths[0])
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--%s and the path of a key; one of them was expected", option);
    else
        run->out_of_memory = run->args->json ? !json(console->out) : !text(console->out, &console->out_look);
}

/* The options that want the whole output to themselves. False (said): two of them. */
static bool arguments_fit(keys_run *run)
{
    const keys_args *args = run->args;
    const char *beside = args->paths && args->json      ? "json"
                         : args->paths && args->faults  ? "faults"
                         : args->paths && args->results ? "results"
                                                        : NULL;
    if (beside)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "--paths with --%s; one of them was expected",
                       beside);
    else if (args->faults && args->results)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "--faults with --results; one of them was expected");
    return !evn_mishap_happened(&run->call.mishap);
}

/* ------------------------------------------------------------------------------------------------ the command */

/* What is asked for is written at once, so far as its paths lead somewhere. */
static evn_status work(void *self)
{
    keys_run *run = self;
    const char *const *paths = run->call.operands;
    run->args = run->call.args;
    if (!arguments_fit(run))
        return EVN_BAD_INPUT;
    if (run->args->paths)
        list_paths(run, paths);
    else if (run->args->faults)
        show_list(run, paths, "faults", evn_faults_text, evn_faults_json);
    else if (run->args->results)
        show_list(run, paths, "results", evn_results_text, evn_results_json);
    else if (run->args->json)
        show_schema(run, paths);
    else
        show_paths(run, paths);
    return evn_report_status(run->call.report);
}

static bool tell(void *self)
{
    const keys_run *run = self;
    const evn_findings *findings = &run->call.findings;
    return (!run->args->json || findings->count == 0 ||
            evn_document_failure(EVN_KEYS_SCHEMA, findings, run->call.console->out)) &&
           !run->out_of_memory;
}

static const evn_operand operands[] = {{"PATH", "a kind, or the dotted path of a key", {EVN_TAKES_KEY, NULL, NULL}}};

static const evn_option options[] = {
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(keys_args, json),
     .help = "a JSON Schema (draft-07) of files of these kinds, or of trucks and cycles"},
    {.name = "paths",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(keys_args, paths),
     .help = "nothing but the paths of these keys and all below them, a line each, as --set takes them"},
    {.name = "faults",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(keys_args, faults),
     .help = "instead: what a finding can be, and the exit code it leads to"},
    {.name = "results",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(keys_args, results),
     .help = "instead: the keys of results, rows of comparisons, limits and traces, and names that are others now"},
};

static const char *const notes[] = {
    "Without a path: the kinds of things that files hold, a line each. With one: each key with its unit, whether it is "
    "required or what its default is, the bounds outside which it is refused, what is usual (outside gives a warning), "
    "and what it means.",
    "Names of things in a path may be any: drive_units.rear.gearbox is that of every drive unit. A bare key is shown "
    "in every kind that has it.",
    "An editor that knows JSON Schema checks and completes files while they are written: evener keys truck --json > "
    "truck.schema.json, and at the top of the truck file: # yaml-language-server: $schema=truck.schema.json",
    NULL};

static const char *const examples[] = {"evener keys",
                                       "evener keys truck",
                                       "evener keys truck.battery",
                                       "evener keys drive_units.rear.gearbox.ratios",
                                       "evener keys motor tyre",
                                       "evener keys mass_kg",
                                       "evener keys --paths | grep inertia",
                                       "evener keys truck --json > truck.schema.json",
                                       "evener keys --faults",
                                       "evener keys --results",
                                       NULL};

const evn_command evn_command_keys = {.name = "keys",
                                      .summary = "reference of every key of files and results",
                                      .schema = EVN_KEYS_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 1,
                                      .operands_optional = 1,
                                      .operands_many = true,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(keys_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(keys_run),
                                      .work = work,
                                      .tell = tell};
