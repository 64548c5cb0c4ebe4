/* evener explain: how numbers of a run come about, down to files and lines. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_explain.h"
#include "cli/call.h"
#include "cli/load_options.h"
#include "cli/look_options.h"
#include "evener/likeness.h"
#include "show/explain_story.h"
#include "show/names.h"
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

enum { DEPTH_USUAL = 2, DEPTH_MOST = 99 };

typedef struct explain_args {
    evn_load_args load;
    evn_asked asked;
    const char *lineup; /* NULL: a run by itself */
    int basis;          /* evn_basis; of a lineup */
    int equal;          /* likewise, in what its trucks are made equal; -1: as the lineup says */
    size_t depth;
    bool json, digits;
} explain_args;

static void set_defaults(void *args)
{
    *(explain_args *)args = (explain_args){.basis = EVN_BASIS_OWN, .equal = -1, .depth = DEPTH_USUAL};
}

typedef struct explain_run {
    evn_call call;
    const explain_args *args;
    evn_conditions ask;
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_results *results;
    evn_lineup *lineup;
    evn_comparison *comparison;
    double torque_scale;  /* of a comparison that makes trucks equal in power; 1: as files hold it */
    evn_causes *causes;   /* NULL: no key asks for one of them */
    size_t place;         /* of the truck in the lineup */
    evn_limits *limits;   /* NULL: no key asks for one of its figures */
    evn_explained_run of; /* what is explained; belongs to those above */
    evn_explanation **explanation;
    size_t asked, count; /* keys that were asked for, and those that are explained */
} explain_run;

static bool go_on(void *self, double done_share)
{
    explain_run *run = self;
    return evn_call_go_on(&run->call, done_share);
}

/* ------------------------------------------------------------------------------------------------ a run by itself */

static evn_status drive(explain_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    evn_report *report = run->call.report;
    run->ask = evn_conditions_default();
    bool asked = evn_asked_apply(&run->args->asked, &run->ask, report);
    bool truck = evn_truck_load_with(run->call.operands[0], &how, &run->truck, report) == EVN_DONE;
    bool cycle = evn_cycle_load_with(run->call.operands[1], &how, &run->cycle, report) == EVN_DONE;
    if (!asked || !truck || !cycle || evn_rig_prepare(run->truck, &run->ask.load_case, &run->rig, report) != EVN_DONE)
        return evn_report_status(report);
    evn_watcher watcher = {.self = run, .go_on = go_on};
    run->call.progress = evn_progress_begin(run->call.console, "the cycle");
    evn_status status = evn_drive(run->rig, run->cycle, &run->ask.driving, &watcher, &run->results, report);
    evn_progress_end(&run->call.progress);
    run->of = (evn_explained_run){run->truck, run->cycle, run->rig, &run->ask, run->results};
    return status;
}

/* ------------------------------------------------------------------------------------------------ of a comparison */

static void say_no_truck(explain_run *run)
{
    const char *name;
    char list[512] = "";
    for (size_t i = 0; (name = evn_lineup_truck_name(run->lineup, i)); i++)
        snprintf(list + strlen(list), sizeof list - strlen(list), "%s%s", i > 0 ? ", " : "", name);
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "no truck '%s' in the lineup; one of %s was expected",
                   run->call.operands[0], list);
}

/* Its place in the lineup; false (said): it has none of that name. */
static bool find_truck(explain_run *run, size_t *out)
{
    const char *name;
    for (*out = 0; (name = evn_lineup_truck_name(run->lineup, *out)); (*out)++)
        if (strcmp(name, run->call.operands[0]) == 0)
            return true;
    say_no_truck(run);
    return false;
}

/* A truck that has no run to explain says why it has none. */
static void say_no_run(explain_run *run, const evn_outcome *outcome)
{
    evn_finding found;
    const char *why = evn_outcome_status(outcome);
    for (size_t i = 0; evn_report_at(evn_outcome_report(outcome), i, &found); i++)
        if (found.severity == EVN_ERROR)
            why = found.text;
    evn_mishap_say(&run->call.mishap, "not_finished", EVN_ANSWER_NO, "%s has no run at %s to explain: %s",
                   run->call.operands[0], run->args->basis == EVN_BASIS_COMMON ? "the common speed" : "its own speed",
                   why);
}

/* What the truck was given to be equal to the first. */
static void take_equalised(explain_run *run, size_t truck)
{
    evn_equalised given;
    run->torque_scale = 1;
    if (!evn_comparison_equalised(run->comparison, truck, &given))
        return;
    run->torque_scale = given.torque_scale;
    if (!isnan(given.payload_kg))
        run->ask.load_case.payload_kg = given.payload_kg;
}

/* A result of a day is a sum over its legs and stops. */
static bool is_over_cycle(explain_run *run)
{
    if (!evn_lineup_has_duty(run->lineup))
        return true;
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                   "--lineup '%s' drives the duty '%s', whose results are put together of those of its legs; a lineup "
                   "over a cycle was expected, or one of the legs' cycles with its payload: evener explain TRUCK CYCLE "
                   "KEY --payload-kg X",
                   run->args->lineup, evn_lineup_over(run->lineup));
    return false;
}

static evn_status compare(explain_run *run)
{
    evn_load how = evn_load_of(&run->args->load);
    evn_report *report = run->call.report;
    size_t index;
    if (evn_lineup_load_with(run->args->lineup, &how, &run->lineup, report) != EVN_DONE)
        return evn_report_status(report);
    if (!is_over_cycle(run) || !find_truck(run, &index))
        return EVN_BAD_INPUT;
    run->ask = evn_lineup_ask(run->lineup);
    if (!evn_asked_apply(&run->args->asked, &run->ask, report))
        return evn_report_status(report);
    evn_compare_how comparing = {
        .self = run, .go_on = go_on, .equal = (evn_equal)(run->args->equal + EVN_EQUAL_PAYLOAD)};
    run->call.progress = evn_progress_begin(run->call.console, "all runs");
    evn_status status = evn_compare(run->lineup, &run->ask, &comparing, &run->comparison, report);
    evn_progress_end(&run->call.progress);
    run->place = index;
    take_equalised(run, index);
    const evn_outcome *outcome = evn_comparison_outcome(run->comparison, index, (evn_basis)run->args->basis);
    if (run->args->basis == EVN_BASIS_COMMON)
        run->ask.driving.driver = EVN_DRIVER_EXACT;
    run->of = (evn_explained_run){evn_lineup_truck(run->lineup, index), evn_lineup_cycle(run->lineup),
                                  evn_comparison_rig(run->comparison, index), &run->ask, evn_outcome_results(outcome)};
    if (run->comparison && !run->call.stopped && !run->of.results)
        say_no_run(run, outcome);
    return status;
}

/* ------------------------------------------------------------------------------------------------ explaining */

/* Whether a key is that of a figure of limits: it begins with a group of them. */
static bool is_ability(const char *key)
{
    const char *group, *title, *help;
    for (size_t i = 0; evn_limits_group_at(i, &group, &title, &help); i++) {
        size_t length = strlen(group);
        if (strncmp(key, group, length) == 0 && key[length] == '.')
            return true;
    }
    return false;
}

/* What the truck can, where a key asks for it. */
static evn_status find_limits(explain_run *run, const char *const *keys)
{
    bool any = false;
    for (size_t i = 0; keys[i]; i++)
        any = any || is_ability(keys[i]);
    if (!any)
        return EVN_DONE;
    evn_limits_how how = {.self = run, .go_on = go_on};
    run->call.progress = evn_progress_begin(run->call.console, "all limits");
    evn_status status = evn_limits_find(run->of.rig, &run->ask.driving, &how, &run->limits, run->call.report);
    evn_progress_end(&run->call.progress);
    run->of.limits = run->limits;
    return status;
}

/* Whether a key is one of why trucks differ. */
static bool is_cause(const char *key)
{
    char is[EVN_WHY_KEY_BYTES];
    for (size_t i = 0; evn_explain_why_at(i, is); i++)
        if (strcmp(is, key) == 0)
            return true;
    return false;
}

/* Why the truck differs from the one that all are held against, where a key asks for it. */
static evn_status find_causes(explain_run *run, const char *const *keys)
{
    bool any = false;
    for (size_t i = 0; keys[i]; i++)
        any = any || is_cause(keys[i]);
    if (!any || !run->comparison)
        return EVN_DONE;
    evn_causes_how how = {.one_alone = true, .truck = run->place, .self = run, .go_on = go_on};
    run->call.progress = evn_progress_begin(run->call.console, "all hybrids");
    evn_status status = evn_causes_find(run->comparison, &how, &run->causes, run->call.report);
    evn_progress_end(&run->call.progress);
    run->of.causes = run->causes;
    run->of.place = run->place;
    run->of.called[0] = evn_lineup_truck_name(run->lineup, evn_causes_against(run->causes));
    run->of.called[1] = evn_lineup_truck_name(run->lineup, run->place);
    return run->causes ? EVN_DONE : status;
}

/* All keys, also where one is refused: all that is wrong comes out at once. */
static evn_status explain(explain_run *run)
{
    static const char *const usual[] = {"kwh_per_km", NULL};
    const char *const *keys = run->call.operands + (run->args->lineup ? 1 : 2);
    size_t count = 0;
    keys = keys[0] ? keys : usual;
    while (keys[count])
        count++;
    run->asked = count;
    if (find_limits(run, keys) > EVN_ANSWER_NO || find_causes(run, keys) != EVN_DONE)
        return evn_report_status(run->call.report);
    run->explanation = calloc(count, sizeof(evn_explanation *));
    if (!run->explanation) {
        evn_mishap_no_memory(&run->call.mishap);
        return EVN_NO_RESULT;
    }
    for (size_t i = 0; i < count; i++) {
        evn_explanation *made = NULL;
        evn_explain(&run->of, keys[i], &made, run->call.report);
        if (made)
            run->explanation[run->count++] = made;
    }
    return evn_report_status(run->call.report);
}

static bool arguments_fit(explain_run *run)
{
    bool basis_alone = run->args->basis == EVN_BASIS_COMMON && !run->args->lineup;
    if (basis_alone)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--basis common without --lineup; a truck by itself is driven at its own speed");
    bool equal_alone = run->args->equal >= 0 && !run->args->lineup;
    if (equal_alone)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--equal without --lineup; a truck by itself is equal to none");
    bool no_cycle = !run->args->lineup && !run->call.operands[1];
    if (no_cycle)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "CYCLE is missing; a cycle was expected, or --lineup; 'evener help explain' tells more");
    return !basis_alone && !equal_alone && !no_cycle;
}

static evn_status work(void *self)
{
    explain_run *run = self;
    run->args = run->call.args;
    evn_load_begin(&run->args->load, run->call.report);
    if (!arguments_fit(run))
        return EVN_BAD_INPUT;
    evn_interrupt_begin(&run->call.interrupt);
    evn_status status = run->args->lineup ? compare(run) : drive(run), explained = EVN_DONE;
    if (!run->call.stopped && run->of.results)
        explained = explain(run);
    evn_interrupt_end(&run->call.interrupt);
    if (run->call.stopped)
        return EVN_NO_RESULT;
    return explained > status ? explained : status;
}

/* ------------------------------------------------------------------------------------------------ telling it */

static bool asked_by_option(const void *asked, const char *kind, const char *key)
{
    return evn_asked_given(asked, kind, key);
}

static const char *status_name(const explain_run *run)
{
    if (run->call.stopped)
        return "interrupted";
    bool whole =
        run->of.results && run->count > 0 && run->count == run->asked && !evn_mishap_happened(&run->call.mishap);
    return whole ? evn_results_status(run->of.results) : "failed";
}

static bool tell(void *self)
{
    const explain_run *run = self;
    const explain_args *args = run->args;
    static const char *const bases[] = {[EVN_BASIS_OWN] = "own", [EVN_BASIS_COMMON] = "common"};
    evn_look look = evn_look_with(&run->call.console->out_look, args->digits);
    evn_explain_story story = {.status = status_name(run),
                               .truck = run->of.truck ? evn_truck_name(run->of.truck) : NULL,
                               .cycle = run->of.cycle ? evn_cycle_name(run->of.cycle) : NULL,
                               .basis = args->lineup ? bases[args->basis] : NULL,
                               .torque_scale = args->lineup ? run->torque_scale : 1,
                               .explanation = (const evn_explanation *const *)run->explanation,
                               .count = run->count,
                               .depth = args->depth,
                               .asked = &args->asked,
                               .asked_by_option = asked_by_option};
    if (args->json)
        return evn_explain_json(&story, &run->call.findings, run->call.console->out);
    return run->count == 0 || evn_explain_text(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    explain_run *run = self;
    for (size_t i = 0; i < run->count; i++)
        evn_explanation_free(run->explanation[i]);
    free(run->explanation);
    evn_causes_free(run->causes);
    evn_limits_free(run->limits);
    evn_comparison_free(run->comparison);
    evn_lineup_free(run->lineup);
    evn_results_free(run->results);
    evn_rig_free(run->rig);
    evn_truck_free(run->truck);
    evn_cycle_free(run->cycle);
}

/* ------------------------------------------------------------------------------------------------ tables */

static const char *const basis_choices[] = {"own", "common", NULL}; /* in the order of evn_basis */

static const evn_operand operands[] = {
    {"TRUCK",
     "a truck: its file (YAML), or its name as 'evener list' shows it; with --lineup its name there",
     {EVN_TAKES_INPUT, "truck", NULL}},
    {"CYCLE", "a cycle, likewise; none with --lineup", {EVN_TAKES_INPUT, "cycle", NULL}},
    {"KEY",
     "a result as --json of drive has it; limited_by.motor_power, the time that a limit bound; a mass of show, "
     "masses.machines_kg; a figure of limits, start.dry.once_percent; with --lineup why.drivetrain, a cause of "
     "its difference from the truck that all are held against; kwh_per_km where none is given",
     {EVN_TAKES_RESULT, NULL, NULL}},
};

static const evn_option options[] = {
    EVN_LOAD_OPTIONS(explain_args, load, "truck", "another value than the files', for this time; once for each"),
    {.name = "lineup",
     .argument = "LINEUP",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(explain_args, lineup),
     .takes = {EVN_TAKES_INPUT, "lineup", NULL},
     .help = "the run of this truck in the comparison of a lineup, which says cycle, load case and driving"},
    {.name = "basis",
     .argument = "own|common",
     .kind = EVN_OPTION_CHOICE,
     .offset = offsetof(explain_args, basis),
     .choices = basis_choices,
     .help = "with --lineup: its run at its own speed, or at the speed that all trucks drive"},
    {.name = "equal",
     .argument = "payload|gross|power",
     .kind = EVN_OPTION_CHOICE,
     .choices = evn_equal_names,
     .offset = offsetof(explain_args, equal),
     .help = "with --lineup: what the other trucks are made equal to the first in, as compare takes it"},
    {.name = "depth",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(explain_args, depth),
     .most = DEPTH_MOST,
     .help = "how many levels of inputs are told in words"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(explain_args, json),
     .help = "one JSON document with all levels, also when something fails"},
    EVN_DIGITS_OPTION(explain_args, digits),
};

static const char *const notes[] = {
    "Drives the truck over the cycle and tells how a number of the run comes about: its formula, or what is "
    "integrated, "
    "counted or watched over the run, then its inputs in the same way, down to the values of the parts. A value of a "
    "file stands with file and line, with the part that it came with, and with what the part's key 'source' says where "
    "it has it from; others with their default, or the option that asked for them.",
    "What is a formula of other results is worked out with the values told and held against the result; so are sums "
    "that must give the same (the lines of the energy balance and the net battery energy, drive units and the whole). "
    "How far both are apart is told, and must be no more than rounding, or the accuracy of the integration. In "
    "formulas "
    "first(a, b) is a where it is given, else b; '*' stands for any name.",
    "With --lineup why.BLOCK tells a part of what compare --why finds, for this truck against the one that all are "
    "held "
    "against: each exchange of the block behind others, with its share of all orders and what the two hybrids take, "
    "which sum up to the part. Blocks are body, auxiliaries, driven_axles, hub_drag, drivetrain, switching; alike ones "
    "are "
    "left out of the orders, for they change nothing. why.speed is what own speeds make of the difference against the "
    "common one, why.lowered_speed what the lower speed of the hybrids makes. All are at the speeds that they tell, "
    "whatever --basis says.",
    EVN_SET_NOTE, NULL};

static const char *const examples[] = {"evener explain tractor-4x2-central hill",
                                       "evener explain TRUCK CYCLE energy_balance.air_drag_kwh --altitude-m 800",
                                       "evener explain TRUCK CYCLE drive_units.rear.motor_losses_kwh --depth 3",
                                       "evener explain TRUCK CYCLE gross_mass_kg --depth 3",
                                       "evener explain TRUCK CYCLE start.dry.once_percent limited_by.motor_power",
                                       "evener explain central kwh_per_km --lineup demo --basis common",
                                       "evener explain electric_axle why.drivetrain --lineup demo",
                                       "evener explain TRUCK CYCLE --json | jq '.explained[0].checks'",
                                       NULL};

const evn_command evn_command_explain = {.name = "explain",
                                         .summary = "how a number of a run comes about, down to files and lines",
                                         .schema = EVN_EXPLAIN_SCHEMA,
                                         .operands = operands,
                                         .operand_count = 3,
                                         .without_with = "lineup",
                                         .without = 1,
                                         .operands_optional = 2,
                                         .operands_many = true,
                                         .kind_option = "lineup",
                                         .options = options,
                                         .option_count = sizeof options / sizeof options[0],
                                         .asks = evn_ask_kinds,
                                         .asked_offset = offsetof(explain_args, asked),
                                         .notes = notes,
                                         .examples = examples,
                                         .args_size = sizeof(explain_args),
                                         .defaults = set_defaults,
                                         .run_size = sizeof(explain_run),
                                         .work = work,
                                         .tell = tell,
                                         .forget = forget};
