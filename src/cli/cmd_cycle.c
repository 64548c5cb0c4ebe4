/* evener cycle info: a cycle as it is written. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_cycle.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "show/cycle_story.h"
#include <stddef.h>

typedef struct cycle_args {
    evn_load_args load;
    bool json, digits;
} cycle_args;

static void set_defaults(void *args) { *(cycle_args *)args = (cycle_args){.json = false}; }

typedef struct cycle_run {
    evn_call call;
    evn_cycle *cycle; /* NULL: refused */
} cycle_run;

static evn_status work(void *self)
{
    cycle_run *run = self;
    const cycle_args *args = run->call.args;
    evn_load_begin(&args->load, run->call.report);
    evn_load how = evn_load_of(&args->load);
    how.only_cycle = true;
    evn_status status = evn_cycle_load_with(run->call.operands[0], &how, &run->cycle, run->call.report);
    if (status != EVN_DONE) {
        evn_cycle_free(run->cycle);
        run->cycle = NULL;
    }
    return status;
}

static bool tell(void *self)
{
    const cycle_run *run = self;
    const cycle_args *args = run->call.args;
    const evn_console *console = run->call.console;
    if (run->call.json)
        return evn_cycle_json(run->cycle, &run->call.findings, console->out);
    evn_look look = evn_look_with(&console->out_look, args->digits);
    return !run->cycle || evn_cycle_text(run->cycle, console->out, &look);
}

static void forget(void *self) { evn_cycle_free(((cycle_run *)self)->cycle); }

static const evn_operand operands[] = {
    {"CYCLE", "a cycle: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "cycle", NULL}}};

static const evn_option options[] = {
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(cycle_args, json),
     .help = "one JSON document, also when the cycle is refused"},
    EVN_DIGITS_OPTION(cycle_args, digits),
    EVN_LOAD_OPTIONS(cycle_args, load, "cycle", "another value than the file's; once for each"),
};

static const char *const notes[] = {
    "Shows the cycle as it is written, before any truck drives it: length, time, speeds, stops, climbs.", EVN_SET_NOTE,
    NULL};

static const char *const examples[] = {"evener cycle info urban-schedule-heavy",
                                       "evener cycle info cycles/scenarios/hill.yaml --json",
                                       "evener cycle info hill --set 'speed.limit_km_h[0]=30'", NULL};

const evn_command evn_command_cycle_info = {.name = "cycle info",
                                            .summary = "statistics of a cycle",
                                            .schema = EVN_CYCLE_SCHEMA,
                                            .operands = operands,
                                            .operand_count = 1,
                                            .options = options,
                                            .option_count = sizeof options / sizeof options[0],
                                            .notes = notes,
                                            .examples = examples,
                                            .args_size = sizeof(cycle_args),
                                            .defaults = set_defaults,
                                            .run_size = sizeof(cycle_run),
                                            .work = work,
                                            .tell = tell,
                                            .forget = forget};
