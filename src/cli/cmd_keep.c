/* evener keep: results recorded, to check new ones against. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_keep.h"
#include "cli/file_lock.h"
#include "cli/kept_run.h"
#include "cli/load_options.h"
#include "show/out_file.h"
#include "show/text.h"
#include <stddef.h>
#include <string.h>
#include <unistd.h>

typedef struct keep_args {
    bool json, accept, all;
    evn_asked asked;
    evn_texts set, trucks, cycles, lineups;
    const char *only;
    size_t threads;
} keep_args;

static void set_defaults(void *args) { *(keep_args *)args = (keep_args){.json = false}; }

typedef struct keep_run {
    evn_kept_drive drive;
    evn_file_lock lock;
    evn_out_file file;
    bool written;
} keep_run;

typedef struct tally {
    size_t same, moved, fresh, not_driven;
} tally;

static tally count(const evn_check *check)
{
    tally t = {0};
    evn_checked run;
    for (size_t i = 0; check && evn_check_at(check, i, &run); i++) {
        t.same += run.state == EVN_CHECKED_SAME;
        t.moved += run.state == EVN_CHECKED_MOVED;
        t.fresh += run.state == EVN_CHECKED_NEW;
        t.not_driven += run.state == EVN_CHECKED_NOT_RUN;
    }
    return t;
}

/* ------------------------------------------------------------------------------------------------ what to drive */

static bool load(evn_kept_drive *drive, bool renamed)
{
    const char *path = drive->call.operands[0];
    if (access(path, F_OK) == 0)
        return (renamed ? evn_kept_load_renamed : evn_kept_load)(path, &drive->kept, drive->call.report) == EVN_DONE;
    drive->kept = evn_kept_new(drive->call.operands[0]);
    return drive->kept;
}

/* What is asked of runs wants runs that are added, and those of a lineup ask for themselves. */
static bool asks_fit(evn_kept_drive *drive, const keep_args *args)
{
    char name[EVN_ASK_NAME_BYTES];
    bool asked = evn_asked_first(&args->asked, name), lineup = args->lineups.count > 0, pairs = args->trucks.count > 0;
    if (asked && lineup)
        evn_mishap_say(&drive->call.mishap, "usage", EVN_BAD_INPUT,
                       "--%s beside --lineup, whose runs are as the lineup asks; expected --set, such as --set "
                       "load_case.payload_kg=5000",
                       name);
    else if (asked && !pairs)
        evn_mishap_say(&drive->call.mishap, "usage", EVN_BAD_INPUT,
                       "--%s without --truck; it is asked of runs that are added, and none was named", name);
    else if (args->set.count > 0 && pairs == lineup)
        evn_mishap_say(&drive->call.mishap, "usage", EVN_BAD_INPUT,
                       "--set %s; it is for runs that are added, and its keys are those of one kind",
                       pairs ? "beside both --truck and --lineup; one of them was expected"
                             : "without --truck or --lineup; one of them was expected");
    return !evn_mishap_happened(&drive->call.mishap);
}

static bool pairs_fit(evn_kept_drive *drive, const keep_args *args)
{
    if ((args->trucks.count == 0) != (args->cycles.count == 0))
        evn_mishap_say(
            &drive->call.mishap, "usage", EVN_BAD_INPUT,
            "--truck without --cycle, or the other way round; expected both: each truck is driven over each cycle");
    return !evn_mishap_happened(&drive->call.mishap) && asks_fit(drive, args);
}

/* Every truck on every cycle named. */
static bool add_pairs(evn_kept_drive *drive, const keep_args *args)
{
    evn_conditions ask = evn_conditions_default();
    if (!pairs_fit(drive, args) || !evn_asked_apply(&args->asked, &ask, drive->call.report))
        return false;
    for (size_t t = 0; t < args->trucks.count; t++)
        for (size_t c = 0; c < args->cycles.count; c++)
            evn_kept_add(drive->kept, args->trucks.at[t], args->cycles.at[c], &ask, args->set.at, drive->call.report);
    for (size_t l = 0; l < args->lineups.count; l++)
        evn_kept_add_lineup(drive->kept, args->lineups.at[l], args->set.at, drive->call.report);
    bool well = evn_report_status(drive->call.report) == EVN_DONE;
    if (well && evn_kept_count(drive->kept) == 0)
        evn_mishap_say(&drive->call.mishap, "usage", EVN_BAD_INPUT,
                       "'%s' is not there, and no runs are named; expected --truck and --cycle, or --lineup",
                       drive->call.operands[0]);
    return well && !evn_mishap_happened(&drive->call.mishap);
}

/* ------------------------------------------------------------------------------------------------ writing */

/* Somebody may have written the file by other means than this program, which a lock does not keep away. */
static bool is_as_read(keep_run *run)
{
    const char *path = run->drive.call.operands[0];
    if (evn_file_lock_unchanged(&run->lock, path))
        return true;
    evn_mishap_say(&run->drive.call.mishap, "cannot_write", EVN_BAD_IO,
                   "cannot write '%s': it was changed by somebody else since it was read; nothing was written", path);
    return false;
}

static bool write_file(keep_run *run, bool all)
{
    evn_check_story story = evn_kept_drive_story(&run->drive);
    evn_kept_file_put(&story, all, run->file.stream);
    return is_as_read(run) && evn_call_commit(&run->drive.call, (evn_out_file *const[]){&run->file}, 1);
}

/* New runs are recorded; what moved only when that is accepted; nothing when a run could not be driven. */
static evn_status record(keep_run *run, const keep_args *args)
{
    tally t = count(run->drive.check);
    if (t.not_driven > 0 || (t.moved > 0 && !args->accept))
        return t.not_driven > 0 ? EVN_NO_RESULT : EVN_ANSWER_NO;
    if (t.fresh > 0 || args->accept)
        run->written = write_file(run, args->all);
    return EVN_DONE;
}

static bool put_end(const evn_kept_drive *drive, bool written)
{
    char counts[128];
    tally t = count(drive->check);
    snprintf(counts, sizeof counts, "recorded (%zu new, %zu moved, %zu as they were)", t.fresh, t.moved, t.same);
    const char *end = evn_mishap_happened(&drive->call.mishap) ? "not written"
                      : written                                ? counts
                      : t.moved > 0                            ? "left as it is; --accept records what moved"
                      : t.not_driven > 0                       ? "left as it is; a run could not be driven"
                                                               : "left as it is; nothing moved";
    return evn_put_sentence(drive->call.console->out, evn_look_prose(&drive->call.console->out_look), "", "%s: %s.",
                            drive->call.operands[0], end);
}

/* The file is opened before anything is driven: what cannot be written is said whether or not there will be need. */
static evn_status drive_and_record(keep_run *run, const keep_args *args)
{
    evn_kept_drive *drive = &run->drive;
    if (!evn_out_open(&run->file, drive->call.operands[0], &drive->call.mishap))
        return EVN_BAD_IO;
    evn_status status = evn_kept_drive_all(drive, args->only, args->threads);
    if (drive->check)
        status = record(run, args);
    evn_out_drop(&run->file);
    return status;
}

/* While the file is locked: what another evener keep adds meanwhile would be lost. */
static evn_status read_drive_record(keep_run *run, const keep_args *args)
{
    evn_kept_drive *drive = &run->drive;
    if (!load(drive, args->accept) || !add_pairs(drive, args))
        return evn_report_status(drive->call.report);
    evn_interrupt_begin(&drive->call.interrupt);
    evn_status status = drive_and_record(run, args);
    evn_interrupt_end(&drive->call.interrupt);
    return status;
}

static evn_status work(void *self)
{
    keep_run *run = self;
    evn_call *call = &run->drive.call;
    if (!evn_file_lock_take(&run->lock, call->operands[0], call->console->err, &call->mishap))
        return EVN_BAD_IO;
    evn_status status = read_drive_record(run, call->args);
    evn_file_lock_end(&run->lock);
    return status;
}

/* What moved, and nothing of runs that are recorded for the first time. */
static bool tell(void *self)
{
    const keep_run *run = self;
    const evn_call *call = &run->drive.call;
    const evn_console *console = call->console;
    evn_check_story story = evn_kept_drive_story(&run->drive);
    if (call->json)
        return evn_check_json(&story, EVN_KEEP_SCHEMA, call->status, &call->findings, console->out);
    if (!story.check && call->status == EVN_BAD_IO && evn_mishap_happened(&call->mishap))
        put_end(&run->drive, false);
    if (!story.check)
        return true;
    tally t = count(story.check);
    bool made = (t.moved == 0 && t.not_driven == 0) || evn_check_text(&story, console->out, &console->out_look);
    return put_end(&run->drive, run->written) && made;
}

static const evn_operand operands[] = {
    {"FILE", "the file of kept results (YAML); it need not be there yet", {EVN_TAKES_RECORD, "kept", NULL}}};

static const evn_option options[] = {
    {.name = "truck",
     .argument = "TRUCK",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(keep_args, trucks),
     .takes = {EVN_TAKES_INPUT, "truck", NULL},
     .help = "adds runs of this truck, by file or name, over each --cycle; may be given again"},
    {.name = "cycle",
     .argument = "CYCLE",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(keep_args, cycles),
     .takes = {EVN_TAKES_INPUT, "cycle", NULL},
     .help = "adds runs of each --truck over this cycle; may be given again"},
    {.name = "lineup",
     .argument = "LINEUP",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(keep_args, lineups),
     .takes = {EVN_TAKES_INPUT, "lineup", NULL},
     .help = "adds a run of each truck of this lineup, as it asks; may be given again"},
    EVN_SET_OPTION(keep_args, set, "truck",
                   "another value than the files', for the runs that are added; once for each"),
    {.name = "accept",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(keep_args, accept),
     .help = "records what moved; without it only new runs are recorded, and nothing when something moved"},
    {.name = "all",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(keep_args, all),
     .help = "records every result, those of drive units and axles too"},
    {.name = "only",
     .argument = "PATTERN",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(keep_args, only),
     .help = "drives the runs whose name holds this; others stay as they are"},
    {.name = "threads",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(keep_args, threads),
     .most = 64,
     .help = "runs at a time; 0: as many as there are processors"},
    {.name = "json", .kind = EVN_OPTION_FLAG, .offset = offsetof(keep_args, json), .help = "one JSON document"},
};

static const char *const notes[] = {
    "Drives the runs of the file and records what came of them, with the version of "
    "the program and a hash of each truck "
    "and cycle, so that 'evener check' can tell later what changed. Nothing is "
    "overwritten silently: what moved is shown, "
    "and recorded only with --accept.",
    "Options of the load case and of the driving are of the runs that are added, and so "
    "are values that are set; both are recorded with them. Paths in such values start "
    "from the folder of the file, as those in it do.",
    EVN_SET_NOTE,
    "The file is written whole or not at all; a second 'evener keep' on it waits until the first is done. Of its "
    "comments only the text of `about` "
    "stays. Tolerances may be changed in "
    "it by hand.",
    NULL};

static const char *const examples[] = {"evener keep kept.yaml --truck tractor-4x2-central --cycle hill",
                                       "evener keep kept.yaml --truck TRUCK --cycle CYCLE --payload-kg 12000",
                                       "evener keep kept.yaml --lineup vehicles/lineups/mountain.yaml",
                                       "evener keep kept.yaml",
                                       "evener keep kept.yaml --accept --only hill",
                                       NULL};

const evn_command evn_command_keep = {.name = "keep",
                                      .summary = "record results, to check new ones against",
                                      .schema = EVN_KEEP_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 1,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .asks = evn_ask_kinds,
                                      .asked_offset = offsetof(keep_args, asked),
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(keep_args),
                                      .defaults = set_defaults,
                                      .run_size = sizeof(keep_run),
                                      .work = work,
                                      .tell = tell,
                                      .forget = evn_kept_drive_forget};
