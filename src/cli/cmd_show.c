/* evener show: a truck with all its values and what follows from them. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_show.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "show/truck_story.h"
#include <stddef.h>

typedef struct show_args {
    evn_load_args load;
    evn_asked asked;
    bool json, flat, paths, uncertain, digits;
} show_args;

static void set_defaults(void *args) { *(show_args *)args = (show_args){.json = false}; }

typedef struct show_run {
    evn_call call;
    evn_truck *truck;
    evn_rig *rig;
    evn_truck_data *data;
} show_run;

/* False (said): two of them want standard output, or what is asked would make no difference. */
static bool arguments_fit(show_run *run)
{
    const show_args *args = run->call.args;
    char asked[EVN_ASK_NAME_BYTES];
    const char *of_files = args->flat ? "flat" : args->paths ? "paths" : args->uncertain ? "uncertain" : NULL;
    if (args->json + args->flat + args->paths + args->uncertain > 1)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--flat, --json, --paths and --uncertain all want standard output; one of them was expected");
    else if (of_files && evn_asked_first(&args->asked, asked))
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--%s beside --%s, which tells what the files hold and no load case; expected one of them",
                       asked, of_files);
    return !evn_mishap_happened(&run->call.mishap);
}

static evn_status work(void *self)
{
    show_run *run = self;
    const show_args *args = run->call.args;
    if (!arguments_fit(run))
        return EVN_BAD_INPUT;
    evn_load_begin(&args->load, run->call.report);
    evn_load how = evn_load_of(&args->load);
    evn_conditions ask = evn_conditions_default();
    evn_asked_apply(&args->asked, &ask, run->call.report);
    evn_status status = evn_truck_load_with(run->call.operands[0], &how, &run->truck, run->call.report);
    if (status == EVN_DONE)
        status = evn_truck_data_find(run->truck, &run->data, run->call.report);
    /* What stands in the files is complete without the figures; but a truck that cannot be prepared is refused. */
    return status == EVN_DONE ? evn_rig_prepare(run->truck, &ask.load_case, &run->rig, run->call.report) : status;
}

static bool tell(void *self)
{
    const show_run *run = self;
    const show_args *args = run->call.args;
    FILE *out = run->call.console->out;
    evn_look look = evn_look_with(&run->call.console->out_look, args->digits);
    evn_truck_story story = {.file = run->call.operands[0],
                             .truck = run->truck,
                             .set = args->load.set.at,
                             .figures = evn_figures_of_rig(run->rig),
                             .data = run->data};
    if (args->json)
        return evn_truck_json(&story, &run->call.findings, out);
    if (!run->rig)
        return true;
    if (args->flat)
        return evn_truck_flat(&story, out);
    if (args->uncertain)
        return evn_truck_data_text(&story, out, &look);
    if (!args->paths)
        return evn_truck_text(&story, out, &look);
    evn_truck_paths(&story, out);
    return true;
}

static void forget(void *self)
{
    show_run *run = self;
    evn_truck_data_free(run->data);
    evn_rig_free(run->rig);
    evn_truck_free(run->truck);
}

static const evn_operand operands[] = {
    {"TRUCK", "a truck: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "truck", NULL}}};

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(show_args, load, "truck", "another value than the files'; once for each"),
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
    {.name = "uncertain",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(show_args, uncertain),
     .help = "what of its values may be off, by which half width, and where that is stated"},
    EVN_DIGITS_OPTION(show_args, digits),
};

static const char *const notes[] = {
    "Shows the truck as it stands once extends, use and --set are put together: every value with the file and line "
    "that "
    "it comes from, or its default; then what follows from it: masses, axle loads, what each gear gives, in the load "
    "case that the options say.",
    "How far values may be off stands in 'uncertain', beside them or further out, else in the defaults of their keys "
    "('evener keys uncertainty').",
    EVN_SET_NOTE, NULL};

static const char *const examples[] = {"evener show tractor-4x2-central",
                                       "evener show TRUCK --payload-kg 0 --json | jq .figures.axle_loads",
                                       "evener show TRUCK --set 'drive_units.rear.path[4].final_drive.ratio=4.1'",
                                       "evener show TRUCK --set battery.use=my-battery.yaml --flat > mine.yaml",
                                       "evener show TRUCK --uncertain",
                                       NULL};

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
                                      .run_size = sizeof(show_run),
                                      .work = work,
                                      .tell = tell,
                                      .forget = forget};
