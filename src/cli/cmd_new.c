/* evener new: a commented file to start from. */
#define _XOPEN_SOURCE 700
#include "cli/cmd_new.h"
#include "cli/call.h"
#include "cli/inputs.h"
#include "show/new_story.h"
#include "show/out_file.h"
#include "show/text.h"
#include <errno.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

typedef struct new_args {
    const char *like; /* NULL: the example */
    bool force, json;
} new_args;

static void set_defaults(void *args) { *(new_args *)args = (new_args){.like = NULL}; }

typedef struct new_run {
    evn_call call;
    const new_args *args;
    const char *kind, *path;
    evn_inputs inputs;
    evn_part *part;
    char *folder; /* of the new file, from the root */
    bool written;
} new_run;

static bool to_out(const new_run *run) { return strcmp(run->path, "-") == 0; }

/* ------------------------------------------------------------------------------------------------ whose values */

/* A path is taken as it is: parts of several kinds have the same keys. */
static bool is_of_kind(new_run *run, const evn_input *found)
{
    char is[EVN_KIND_PHRASE], wanted[EVN_KIND_PHRASE];
    if (found->path == run->args->like || strcmp(found->kind, run->kind) == 0)
        return true;
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                   "--like is '%s': this is %s; %s was expected; did you mean: evener new %s %s --like %s",
                   run->args->like, evn_kind_phrase(is, found->kind), evn_kind_phrase(wanted, run->kind), found->kind,
                   run->path, run->args->like);
    return false;
}

static bool load(new_run *run, const char **like)
{
    *like = NULL;
    if (!run->args->like)
        return evn_part_example(run->kind, &run->part, run->call.report) == EVN_DONE;
    evn_kind kind;
    if (!evn_kind_get(run->kind, &kind)) /* said with the nearest name */
        return evn_part_example(run->kind, &run->part, run->call.report) == EVN_DONE;
    evn_input found;
    if (!evn_input_find(&run->inputs, run->args->like, run->kind, &found, &run->call.mishap) ||
        !is_of_kind(run, &found))
        return false;
    *like = found.path;
    return evn_part_load(run->kind, *like, &run->part, run->call.report) == EVN_DONE;
}

/* ------------------------------------------------------------------------------------------------ the file */

/* The folder that the new file will stand in, links followed. */
static bool find_folder(new_run *run)
{
    const char *slash = strrchr(run->path, '/');
    size_t length = slash ? (size_t)(slash - run->path) : 0;
    char *given = !slash ? strdup(".") : length == 0 ? strdup("/") : strndup(run->path, length);
    if (!given)
        return evn_mishap_no_memory(&run->call.mishap);
    run->folder = realpath(given, NULL);
    if (!run->folder)
        evn_mishap_say(&run->call.mishap, "cannot_write", EVN_BAD_IO, "cannot write '%s': %s", run->path,
                       strerror(errno));
    free(given);
    return run->folder;
}

static bool may_write(new_run *run)
{
    struct stat there;
    if (run->args->force || lstat(run->path, &there) != 0 || (!S_ISREG(there.st_mode) && !S_ISLNK(there.st_mode)))
        return true;
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                   "'%s' is there already; another name was expected; --force "
                   "writes over it",
                   run->path);
    return false;
}

/* Ends the file; not over one that came to be there meanwhile, unless that was asked for. */
static bool commit(new_run *run, evn_out_file *file)
{
    if (run->args->force)
        return evn_call_commit(&run->call, (evn_out_file *const[]){file}, 1);
    return evn_call_may_commit(&run->call) && evn_out_commit_new(file, &run->call.mishap);
}

/* While signals are held. */
static bool write_file(new_run *run, const evn_new_story *story)
{
    evn_out_file file;
    if (!evn_out_open(&file, run->path, &run->call.mishap))
        return false;
    bool written = (evn_new_file(story, file.stream) || evn_mishap_no_memory(&run->call.mishap)) && commit(run, &file);
    evn_out_drop(&file);
    return written;
}

static bool write_to_file(new_run *run, const evn_new_story *story)
{
    evn_interrupt_begin(&run->call.interrupt);
    bool written = write_file(run, story);
    evn_interrupt_end(&run->call.interrupt);
    return written;
}

static void write_new(new_run *run)
{
    const char *like;
    if (to_out(run) && run->args->json) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "the file as - and --json both want standard output; one of them was expected");
        return;
    }
    if (!to_out(run) && !may_write(run))
        return;
    if (!load(run, &like) || (!to_out(run) && !find_folder(run)))
        return;
    evn_new_story story = {.part = run->part, .kind = run->kind, .like = like, .folder = run->folder};
    run->written = to_out(run) ? evn_new_file(&story, run->call.console->out) || evn_mishap_no_memory(&run->call.mishap)
                               : write_to_file(run, &story);
}

/* ------------------------------------------------------------------------------------------------ the command */

static evn_status work(void *self)
{
    new_run *run = self;
    run->args = run->call.args;
    run->kind = run->call.operands[0];
    run->path = run->call.operands[1];
    write_new(run);
    return evn_report_status(run->call.report);
}

static bool tell(void *self)
{
    const new_run *run = self;
    FILE *out = run->call.console->out;
    char phrase[EVN_KIND_PHRASE];
    if (run->args->json)
        return evn_new_json(run->kind, run->written ? run->path : NULL, &run->call.findings, out);
    if (run->written && !to_out(run)) {
        evn_put_safe(out, run->path);
        fprintf(out, ": %s\n", evn_kind_phrase(phrase, run->kind));
    }
    return true;
}

static void forget(void *self)
{
    new_run *run = self;
    free(run->folder);
    evn_part_free(run->part);
    evn_inputs_free(&run->inputs);
}

static const evn_operand operands[] = {
    {"KIND",
     "truck, cycle, lineup, motor, gearbox, battery, ...; 'evener keys' lists them",
     {EVN_TAKES_KIND, NULL, NULL}},
    {"FILE", "the file to write; - is standard output", {EVN_TAKES_FILE, NULL, NULL}}};

static const evn_option options[] = {
    {.name = "like",
     .argument = "NAME",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(new_args, like),
     .takes = {EVN_TAKES_LIKE, NULL, NULL},
     .help = "with the values of a file that 'evener list' shows, or of a path"},
    {.name = "force",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(new_args, force),
     .help = "write over a file that is there"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(new_args, json),
     .help = "one JSON document that tells what was written"},
};

static const char *const notes[] = {
    "Writes a file with a comment to each key: its meaning, unit, default, bounds, and what is usual. It loads and "
    "drives as it is: without --like its values are those of an invented example. Keys that are not given stand behind "
    "a '#'.",
    "With --like everything that the other file extends or uses is put into this one, which stands alone; only CSV "
    "files "
    "stay where they are, and the new file names them by their path from there.",
    "The file is written whole or not at all, and not over another unless --force says so.", NULL};

static const char *const examples[] = {
    "evener new truck mine.yaml", "evener new truck mine.yaml --like tractor-4x2-central",
    "evener new motor vehicles/parts/my-motor.yaml --like motor-chassis-550", "evener new cycle - | less", NULL};

const evn_command evn_command_new = {.name = "new",
                                     .summary = "a commented file to start from",
                                     .schema = EVN_NEW_SCHEMA,
                                     .operands = operands,
                                     .operand_count = 2,
                                     .options = options,
                                     .option_count = sizeof options / sizeof options[0],
                                     .notes = notes,
                                     .examples = examples,
                                     .args_size = sizeof(new_args),
                                     .defaults = set_defaults,
                                     .run_size = sizeof(new_run),
                                     .work = work,
                                     .tell = tell,
                                     .forget = forget};
