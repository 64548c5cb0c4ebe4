/* evener vary tune: each truck of a lineup at its best. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_vary.h"
#include "cli/look_options.h"
#include "cli/page_file.h"
#include "cli/vary_files.h"
#include "cli/vary_run.h"
#include <stddef.h>

typedef struct tune_args {
    evn_vary_args vary;
    bool motors, study;
    evn_texts constraints;
    const char *least; /* NULL: not given */
    size_t evaluations;
} tune_args;

static void set_defaults(void *args) { *(tune_args *)args = (tune_args){.evaluations = 40}; }

typedef struct tune_run {
    evn_vary_run vary;
    const tune_args *args;
} tune_run;

static evn_status work(void *self)
{
    tune_run *run = self;
    evn_vary_run *vary = &run->vary;
    run->args = vary->call.args;
    vary->args = &run->args->vary;
    evn_load how = evn_load_of(&vary->args->load);
    evn_tune_how tune = {.motors = run->args->motors,
                         .constraints = run->args->constraints.at,
                         .least = run->args->least,
                         .evaluations = (unsigned)run->args->evaluations};
    vary->ask = evn_conditions_default();
    evn_load_begin(&vary->args->load, vary->call.report);
    if (!evn_vary_arguments_fit(vary))
        return EVN_BAD_INPUT;
    if (evn_study_tune(vary->call.operands[0], &how, &tune, &vary->study, vary->call.report) != EVN_DONE ||
        !vary->study || run->args->study)
        return evn_report_status(vary->call.report);
    vary->ask = evn_study_ask(vary->study);
    return evn_vary_drive(vary);
}

static bool tell(void *self)
{
    const tune_run *run = self;
    const char *text = evn_study_text(run->vary.study);
    if (!run->args->study)
        return evn_vary_tell(self);
    if (text)
        fputs(text, run->vary.call.console->out);
    return true;
}

static const evn_option options[] = {
    {.name = "motors",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(tune_args, motors),
     .help = "the active length of the motors is tuned too, half to one and a half times: torque, power, losses, mass "
             "and inertia go with it"},
    {.name = "constraint",
     .argument = "TEXT",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(tune_args, constraints),
     .takes = {EVN_TAKES_ANYTHING, NULL, NULL},
     .help = "what else must hold: 'RESULT >= NUMBER' or 'RESULT <= NUMBER', such as 'delay_s <= 30' or "
             "'limits.climb.level.peak_km_h >= 100'; once for each"},
    {.name = "least",
     .argument = "KEY",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(tune_args, least),
     .takes = {EVN_TAKES_RESULT, NULL, NULL},
     .help = "the result that is to be least; not given: kwh_per_km"},
    {.name = "evaluations",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(tune_args, evaluations),
     .least = 4,
     .most = 10000,
     .help = "variants that a local search drives at most, of two for each truck"},
    {.name = "study",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(tune_args, study),
     .help = "drives nothing, and prints the study that would be driven, to be changed and given to 'evener vary'"},
    EVN_LOAD_OPTIONS(tune_args, vary.load, "vary",
                     "another value than that study's, for this time: lineup.driving.driver=exact; once for each"),
    EVN_VARY_OPTIONS(tune_args, vary),
};

static const evn_operand operands[] = {
    {"LINEUP", "a lineup: its file (YAML), or its name as 'evener list' shows it", {EVN_TAKES_INPUT, "lineup", NULL}}};

static const char *const notes[] = {
    "A layout is compared fairly at its best. Of each truck a factor on the last reductions (where it has none but "
    "planet sets, on all gears) and one on the step from gear to gear, whose top gear stays, are searched for; 1 is as "
    "its file has it. Told are the best of each truck, how far its file is from that, how flat it is, whether it is at "
    "an edge, and how far each at its best is from the first at its own.",
    "What the lineup demands (starting, climbing, descending) has to be met, and no more: a top speed, or keeping up, "
    "is a --constraint. Each truck drives at its own speeds; the exact driver makes these alike.",
    "Efficiency, drag, inertia and mass of gears stay those of the files whatever their ratios: what a part can be "
    "built like is for its maker.",
    "Stores, parts and pages are those of 'evener vary'.", NULL};

static const char *const examples[] = {
    "evener vary tune motorway --driver exact --integrator arkode --accuracy 1e-5",
    "evener vary tune motorway --motors --constraint 'delay_s <= 30' --store best.sqlite --page best.html",
    "evener vary tune LINEUP --study >best.yaml", NULL};

const evn_command evn_command_vary_tune = {.name = "vary tune",
                                           .summary = "each truck of a lineup at its best",
                                           .schema = EVN_VARY_SCHEMA,
                                           .operands = operands,
                                           .operand_count = 1,
                                           .options = options,
                                           .option_count = sizeof options / sizeof options[0],
                                           .asks = evn_ask_kinds,
                                           .asked_offset = offsetof(tune_args, vary.asked),
                                           .notes = notes,
                                           .examples = examples,
                                           .args_size = sizeof(tune_args),
                                           .defaults = set_defaults,
                                           .run_size = sizeof(tune_run),
                                           .work = work,
                                           .tell = tell,
                                           .forget = evn_vary_forget};
