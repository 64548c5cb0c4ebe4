#include "cli/cmd_keys.h"
#include "show/document.h"
#include "show/keys_story.h"
#include <stddef.h>
#include <string.h>

typedef struct keys_args {
    bool json, faults, paths;
} keys_args;

static void set_defaults(void *args) { *(keys_args *)args = (keys_args){.json = false}; }

typedef struct keys_run {
    const evn_console *console;
    const keys_args *args;
    evn_report *report;
    evn_mishap mishap;
    bool out_of_memory;
} keys_run;

/* ------------------------------------------------------------------------------------------------ in words */

/* A bare name may be a key of many kinds; where it is a kind, that is what is meant. */
static bool is_bare_key(const char *path)
{
    evn_kind kind;
    return strpbrk(path, ".[") == NULL && !evn_kind_get(path, &kind);
}

static void show_path(keys_run *run, const char *path)
{
    evn_key_place place;
    bool found = false;
    if (is_bare_key(path)) {
        run->out_of_memory |= !evn_keys_everywhere(path, &found, run->console->out, &run->console->out_look);
        if (found)
            return;
    }
    if (evn_key_find(path, &place, run->report))
        run->out_of_memory |= !evn_keys_text(path, &place, run->console->out, &run->console->out_look);
}

/* Nothing is shown when one of the paths leads nowhere. */
static bool all_lead_somewhere(keys_run *run, const char *const *paths)
{
    evn_key_place place;
    bool all = true;
    for (size_t i = 0; paths[i] != NULL; i++)
        all = evn_key_find(paths[i], &place, run->report) && all;
    return all;
}

static void show_paths(keys_run *run, const char *const *paths)
{
    if (paths[0] == NULL) {
        run->out_of_memory = !evn_keys_overview(run->console->out, &run->console->out_look);
        return;
    }
    if (!all_lead_somewhere(run, paths))
        return;
    for (size_t i = 0; paths[i] != NULL; i++) {
        if (i > 0)
            fputc('\n', run->console->out);
        show_path(run, paths[i]);
    }
}

/* ------------------------------------------------------------------------------------------------ as a schema */

enum { KINDS_MOST = 64 };

static void show_schema(keys_run *run, const char *const *paths)
{
    const char *kinds[KINDS_MOST] = {"truck", "cycle", "lineup"};
    size_t count = paths[0] == NULL ? 3 : 0;
    for (size_t i = 0; paths[i] != NULL; i++) {
        evn_key_place place;
        if (!evn_key_find(paths[i], &place, run->report))
            continue;
        if (place.inner == NULL || count == KINDS_MOST)
            evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT,
                           "a schema of '%s'; expected at most 64 kinds, such as truck, cycle or motor", paths[i]);
        else
            kinds[count++] = place.inner;
    }
    if (evn_report_status(run->report) == EVN_DONE && !evn_mishap_happened(&run->mishap))
        run->out_of_memory = !evn_keys_schema(kinds, count, run->console->out);
}

/* ------------------------------------------------------------------------------------------------ as bare paths */

static void list_paths(keys_run *run, const char *const *paths)
{
    if (paths[0] == NULL)
        evn_keys_all_paths(run->console->out);
    else if (all_lead_somewhere(run, paths))
        for (size_t i = 0; paths[i] != NULL; i++) {
            evn_key_place place;
            if (evn_key_find(paths[i], &place, run->report))
                evn_keys_paths(paths[i], &place, run->console->out);
        }
}

/* ------------------------------------------------------------------------------------------------ faults */

static void show_faults(keys_run *run, const char *const *paths)
{
    if (paths[0] != NULL)
        evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT,
                       "--faults and the path of a key; one of them was expected");
    else if (run->args->json)
        run->out_of_memory = !evn_faults_json(run->console->out);
    else
        run->out_of_memory = !evn_faults_text(run->console->out, &run->console->out_look);
}

/* ------------------------------------------------------------------------------------------------ the command */

static evn_status finish(keys_run *run)
{
    evn_findings findings = {0};
    evn_findings_add_mishap(&findings, &run->mishap);
    evn_findings_add_report(&findings, run->report);
    evn_findings_print(&findings, run->console->err, &run->console->err_look);
    if (findings.count > 0 && run->args->json)
        run->out_of_memory |= !evn_document_failure(EVN_KEYS_SCHEMA, &findings, run->console->out);
    return evn_mishap_happened(&run->mishap) ? run->mishap.status : evn_report_status(run->report);
}

static void show(keys_run *run, const char *const *paths)
{
    if (run->args->paths && (run->args->json || run->args->faults))
        evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT, "--paths with --%s; one of them was expected",
                       run->args->json ? "json" : "faults");
    else if (run->args->paths)
        list_paths(run, paths);
    else if (run->args->faults)
        show_faults(run, paths);
    else if (run->args->json)
        show_schema(run, paths);
    else
        show_paths(run, paths);
}

static evn_status run(const evn_console *console, const char *const *operands, const void *args)
{
    keys_run run = {.console = console, .args = args, .report = evn_report_new()};
    evn_status status = EVN_NO_RESULT;
    run.out_of_memory = run.report == NULL;
    if (run.report != NULL) {
        show(&run, operands);
        status = finish(&run);
    }
    if (run.out_of_memory) {
        evn_mishap mishap = {0};
        evn_mishap_say(&mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        status = evn_command_mishap(&mishap, console);
    }
    evn_report_free(run.report);
    return status;
}

static const evn_operand operands[] = {{"PATH", "a kind, or the dotted path of a key"}};

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
                                       NULL};

const evn_command evn_command_keys = {.name = "keys",
                                      .summary = "reference of every key that a file may hold",
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
                                      .run = run};
