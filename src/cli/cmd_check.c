#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_check.h"
#include "cli/kept_run.h"
#include "cli/outputs.h"
#include "show/out_file.h"
#include <stddef.h>

typedef struct check_args {
    bool json, tap;
    const char *junit, *only;
    double threads;
} check_args;

static void set_defaults(void *args) { *(check_args *)args = (check_args){.json = false}; }

static void write_junit(evn_kept_drive *drive, const char *path)
{
    evn_out_file file = {0};
    evn_check_story story = evn_kept_drive_story(drive);
    const evn_output output = {"--junit", path};
    if (!evn_outputs_fit(&output, 1, drive->report, &drive->mishap) || !evn_out_open(&file, path, &drive->mishap))
        return;
    evn_check_junit(&story, file.stream);
    evn_out_commit(&file, &drive->mishap);
}

static bool tell(const evn_kept_drive *drive, const check_args *args, evn_status status)
{
    evn_findings findings = evn_kept_drive_findings(drive);
    evn_check_story story = evn_kept_drive_story(drive);
    const evn_console *console = drive->console;
    evn_findings_print(&findings, console->err, &console->err_look);
    if (args->json)
        return evn_check_json(&story, EVN_CHECK_SCHEMA,
                              evn_mishap_happened(&drive->mishap) ? drive->mishap.status : status, &findings,
                              console->out);
    if (drive->check == NULL)
        return true;
    if (args->tap) {
        evn_check_tap(&story, console->out);
        return true;
    }
    return evn_check_text(&story, console->out, &console->out_look);
}

static evn_status run(const evn_console *console, const char *const *operands, const void *self)
{
    const check_args *args = self;
    evn_kept_drive drive = {.console = console, .path = operands[0], .report = evn_report_new()};
    evn_status status = EVN_NO_RESULT;
    bool told = false;
    if (args->json && args->tap)
        evn_mishap_say(&drive.mishap, "usage", EVN_BAD_INPUT,
                       "--json and --tap both want standard output; one of them was "
                       "expected");
    else if (drive.report != NULL && evn_kept_load(operands[0], &drive.kept, drive.report) == EVN_BAD_IO)
        status = EVN_BAD_IO;
    else if (drive.kept != NULL)
        status = evn_kept_drive_all(&drive, args->only, args->threads);
    else if (drive.report != NULL)
        status = evn_report_status(drive.report);
    if (drive.check != NULL && args->junit != NULL)
        write_junit(&drive, args->junit);
    if (drive.report != NULL)
        told = tell(&drive, args, status);
    return evn_kept_drive_end(&drive, told, status);
}

static const evn_operand operands[] = {{"FILE", "a file of kept results (YAML), as evener keep writes it"}};

static const evn_option options[] = {
    {.name = "only",
     .argument = "PATTERN",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(check_args, only),
     .help = "runs whose name holds this, or fits it where it holds * or ?"},
    {.name = "threads",
     .argument = "N",
     .kind = EVN_OPTION_NUMBER,
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
     .help = "besides: the XML that build servers read"},
};

static const char *const notes[] = {
    "Drives the runs of the file again and prints only what moved: each quantity, by how much against its tolerance, "
    "with "
    "the ledger lines that moved it last; and whether truck, cycle or program changed since.",
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
                                       .run = run};
