#include "cli/cmd_show.h"
#include "cli/load_options.h"
#include "show/truck_story.h"
#include <stddef.h>

typedef struct show_args {
    evn_load_args load;
    evn_asked asked;
    bool json, flat, paths;
} show_args;

static void set_defaults(void *args) { *(show_args *)args = (show_args){.json = false}; }

typedef struct show_run {
    const evn_console *console;
    const show_args *args;
    evn_report *report;
    evn_mishap mishap;
    evn_truck *truck;
    evn_rig *rig;
} show_run;

static evn_status load(show_run *run, const char *path)
{
    evn_load how = evn_load_of(&run->args->load);
    evn_conditions ask = evn_conditions_default();
    evn_asked_apply(&run->args->asked, &ask, run->report);
    evn_status status = evn_truck_load_with(path, &how, &run->truck, run->report);
    /* What stands in the files is complete without the figures; but a truck that cannot be prepared is refused. */
    return status == EVN_DONE ? evn_rig_prepare(run->truck, &ask.load_case, &run->rig, run->report) : status;
}

static bool tell(show_run *run, const char *path)
{
    evn_findings findings = {0};
    evn_findings_add_mishap(&findings, &run->mishap);
    evn_findings_add_report(&findings, run->report);
    evn_findings_print(&findings, run->console->err, &run->console->err_look);
    evn_truck_story story = {
        .file = path, .truck = run->truck, .set = run->args->load.set.at, .figures = evn_figures_of_rig(run->rig)};
    if (run->args->json)
        return evn_truck_json(&story, &findings, run->console->out);
    if (run->rig == NULL)
        return true;
    if (run->args->paths) {
        evn_truck_paths(&story, run->console->out);
        return true;
    }
    if (run->args->flat)
        return evn_truck_flat(&story, run->console->out);
    return evn_truck_text(&story, run->console->out, &run->console->out_look);
}

static evn_status show(show_run *run, const char *path)
{
    if (run->args->json + run->args->flat + run->args->paths > 1) {
        evn_mishap_say(&run->mishap, "usage", EVN_BAD_INPUT,
                       "--flat, --json and --paths all want standard output; one of them was expected");
        return EVN_BAD_INPUT;
    }
    return load(run, path);
}

static evn_status run(const evn_console *console, const char *const *operands, const void *args)
{
    show_run run = {.console = console, .args = args, .report = evn_report_new()};
    evn_status status = run.report != NULL ? show(&run, operands[0]) : EVN_NO_RESULT;
    if (run.report == NULL || !tell(&run, operands[0])) {
        evn_mishap mishap = {0};
        evn_mishap_say(&mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
        status = evn_command_mishap(&mishap, console);
    }
    evn_rig_free(run.rig);
    evn_truck_free(run.truck);
    evn_report_free(run.report);
    return status;
}

static const evn_operand operands[] = {{"TRUCK", "a truck file (YAML)"}};

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(show_args, load, "another value than the files'; once for each"),
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, json),
     .help = "one JSON document, also when the truck is refused"},
    {.name = "flat",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, flat),
     .help = "one YAML file of it all, which stands alone and drives the same"},
    {.name = "paths",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, paths),
     .help = "nothing but the paths of its values, a line each, as --set takes them"},
};

static const char *const notes[] = {
    "Shows the truck as it stands once extends, use and --set are put together: every value with the file and line "
    "that "
    "it comes from, or its default; then what follows from it: masses, axle loads, what each gear gives, in the load "
    "case that the options say.",
    EVN_SET_NOTE, NULL};

static const char *const examples[] = {
    "evener show vehicles/trucks/tractor-4x2-central.yaml",
    "evener show TRUCK --payload-kg 0 --json | jq .figures.axle_loads",
    "evener show TRUCK --set 'drive_units.rear.gearbox.ratios[0]=6.2'",
    "evener show TRUCK --set battery.use=vehicles/parts/pack-540.yaml --flat > mine.yaml", NULL};

const evn_command evn_command_show = {.name = "show",
                                      .summary = "a truck with all its values, where they come from, what follows",
                                      .schema = EVN_TRUCK_SCHEMA,
                                      .operands = operands,
                                      .operand_count = 1,
                                      .options = options,
                                      .option_count = sizeof options / sizeof options[0],
                                      .asks = evn_asks_load_case,
                                      .asked_offset = offsetof(show_args, asked),
                                      .notes = notes,
                                      .examples = examples,
                                      .args_size = sizeof(show_args),
                                      .defaults = set_defaults,
                                      .run = run};
