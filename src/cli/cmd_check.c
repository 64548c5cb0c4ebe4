/* evener check: kept runs driven again, and what moved. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_check.h"
#include "cli/kept_run.h"
#include "cli/outputs.h"
#include "show/out_file.h"
#include <stddef.h>

typedef struct check_args {
    bool json, tap;
    const char *junit, *only;
    size_t threads;
} check_args;

static void set_defaults(void *args) { *(check_args *)args = (check_args){.json = false}; }

typedef struct check_run {
    evn_kept_drive drive;
    evn_out_file junit;
} check_run;

static bool open_junit(check_run *run, const char *path)
{
    evn_call *call = &run->drive.call;
    const evn_output output = {.option = "--junit", .path = path};
    return !path ||
           (evn_outputs_fit(&output, 1, call->report, &call->mishap) && evn_out_open(&run->junit, path, &call->mishap));
}

static evn_status check_and_write(check_run *run, const check_args *args)
{
    evn_kept_drive *drive = &run->drive;
    if (!open_junit(run, args->junit))
        return EVN_BAD_IO;
    evn_status status = evn_kept_drive_all(drive, args->only, args->threads);
    evn_check_story story = evn_kept_drive_story(drive);
    if (drive->check && run->junit.stream && evn_call_may_commit(&drive->call)) {
        evn_check_junit(&story, run->junit.stream);
        evn_call_commit(&drive->call, (evn_out_file *const[]){&run->junit}, 1);
    }
    evn_out_drop(&run->junit);
    return status;
}

static evn_status work(void *self)
{
    check_run *run = self;
    evn_kept_drive *drive = &run->drive;
    const check_args *args = drive->call.args;
    if (args->json && args->tap) {
        evn_mishap_say(&drive->call.mishap, "usage", EVN_BAD_INPUT,
                       "--json and --tap both want standard output; one of them was expected");
        return EVN_BAD_INPUT;
    }
    evn_status status = evn_kept_load(drive->call.operands[0], &drive->kept, drive->call.report);
    if (!drive->kept || status == EVN_BAD_IO)
        return status == EVN_BAD_IO ? status : evn_report_status(drive->call.report);
    evn_interrupt_begin(&drive->call.interrupt);
    status = check_and_write(run, args);
    evn_interrupt_end(&drive->call.interrupt);
    return status;
}

static bool tell(void *self)
{
    const evn_kept_drive *drive = &((const check_run *)self)->drive;
    const check_args *args = drive->call.args;
    const evn_console *console = drive->call.console;
    evn_check_story story = evn_kept_drive_story(drive);
    if (args->json)
        return evn_check_json(&story, EVN_CHECK_SCHEMA, drive->call.status, &drive->call.findings, console->out);
    if (!drive->check)
        return true;
    if (!args->tap)
        return evn_check_text(&story, console->out, &console->out_look);
    evn_check_tap(&story, console->out);
    return true;
}

static const evn_operand operands[] = {
    {"FILE", "a file of kept results (YAML), as evener keep writes it", {EVN_TAKES_INPUT, "kept", NULL}}};

static const evn_option options[] = {
    {.name = "only",
     .argument = "PATTERN",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(check_args, only),
     .help = "runs whose name holds this, or fits it where it holds * or ?"},
    {.name = "threads",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(check_args, threads),
     .most = 64,
     .help = "runs at a time; 0: as many as there are processors"},
    {.name = "json", .kind = EVN_OPTION_FLAG, .offset = offsetof(check_args, json), .help = "one JSON document"},
    {.name = "tap",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(check_args, tap),
     .help = "a line for each run, as the Test Anything Protocol has it"},
    {.name = "junit",
     .argument = "FILE.xml",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(check_args, junit),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "besides: the XML that build servers read"},
};

static const char *const notes[] = {
    "Drives the runs of the file again and prints only what moved: each quantity, by how much against its tolerance, "
    "with "
    "the lines of the energy balance that moved it last; and whether truck, cycle or program changed since.",
    "Exit code 0 only if every run was driven and every kept quantity is where it was. A quantity that is gone or is "
    "no "
    "number any more has moved. Tolerances stand in the file, one for each kind of quantity, which the end of its name "
    "tells.",
    NULL};

static const char *const examples[] = {"evener check tests/kept/reference.yaml",
                                       "evener check kept.yaml --only 'tractor*hill'",
                                       "evener check kept.yaml --junit report.xml", NULL};

const evn_command evn_command_check = {.name = "check",
                                       .summary = "drive kept runs again and say what moved",
                                       .schema = EVN_CHECK_SCHEMA,
                                       .operands = operands,
                                       .operand_count = 1,
                                       .options = options,
                                       .option_count = sizeof options / sizeof options[0],
                                       .notes = notes,
                                       .examples = examples,
                                       .args_size = sizeof(check_args),
                                       .defaults = set_defaults,
                                       .run_size = sizeof(check_run),
                                       .work = work,
                                       .tell = tell,
                                       .forget = evn_kept_drive_forget};
