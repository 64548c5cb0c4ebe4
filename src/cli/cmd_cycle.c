#include "cli/cmd_cycle.h"
#include "cli/load_options.h"
#include "show/cycle_story.h"
#include <stddef.h>

typedef struct cycle_args {
    evn_load_args load;
    bool json;
} cycle_args;

static void set_defaults(void *args) { *(cycle_args *)args = (cycle_args){.json = false}; }

static bool tell(const evn_cycle *cycle, const evn_report *report, bool json, const evn_console *console)
{
    evn_findings findings = {0};
    evn_findings_add_report(&findings, report);
    evn_findings_print(&findings, console->err, &console->err_look);
    if (json)
        return evn_cycle_json(cycle, &findings, console->out);
    return cycle == NULL || evn_cycle_text(cycle, console->out, &console->out_look);
}

static evn_status run(const evn_console *console, const char *const *operands, const void *args)
{
    evn_mishap mishap = {0};
    evn_cycle *cycle = NULL;
    evn_status status = EVN_NO_RESULT;
    evn_report *report = evn_report_new();
    if (report != NULL) {
        evn_load how = evn_load_of(&((const cycle_args *)args)->load);
        how.only_cycle = true;
        status = evn_cycle_load_with(operands[0], &how, &cycle, report);
        if (status != EVN_DONE) {
            evn_cycle_free(cycle);
            cycle = NULL;
        }
    }
    if (report == NULL || !tell(cycle, report, ((const cycle_args *)args)->json, console)) {
        evn_mishap_say(&mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        status = evn_command_mishap(&mishap, console);
    }
    evn_cycle_free(cycle);
    evn_report_free(report);
    return status;
}

static const evn_operand operands[] = {{"CYCLE", "a cycle file (YAML)"}};

static const evn_option options[] = {
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(cycle_args, json),
     .help = "one JSON document, also when the cycle is refused"},
    EVN_LOAD_OPTIONS(cycle_args, load, "another value than the file's; once for each"),
};

static const char *const notes[] = {
    "Shows the cycle as it is written, before any truck drives it: length, time, speeds, stops, climbs.", EVN_SET_NOTE,
    NULL};

static const char *const examples[] = {
    "evener cycle info cycles/reference/urban-schedule.yaml", "evener cycle info cycles/scenarios/hill.yaml --json",
    "evener cycle info cycles/scenarios/hill.yaml --set 'speed.limit_km_h[0]=30'", NULL};

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
                                            .run = run};
