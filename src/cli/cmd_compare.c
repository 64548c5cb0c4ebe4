/* evener compare: several trucks side by side over one cycle. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_compare.h"
#include "cli/compare_run.h"
#include "cli/look_options.h"
#include "cli/page_file.h"
#include "show/names.h"
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

static void set_defaults(void *args) { *(evn_compare_args *)args = (evn_compare_args){.equal = -1}; }

/* ------------------------------------------------------------------------------------------------ loading */

static size_t operand_count(const evn_compare_run *run)
{
    size_t count = 0;
    while (run->call.operands[count])
        count++;
    return count;
}

/* All files are read even if the first is refused: all that is wrong comes out at once. */
static bool load_trucks(evn_compare_run *run)
{
    size_t count = operand_count(run);
    evn_load how = evn_load_of(&run->args->load);
    run->truck = calloc(count, sizeof(evn_truck *));
    if (!run->truck || !evn_lineup_names_make(&run->names, run->call.operands, count)) {
        evn_mishap_no_memory(&run->call.mishap);
        return false;
    }
    if (!evn_lineup_names_fit(&run->names, run->args->load.set.at, &run->call.mishap))
        return false;
    bool all = true;
    for (size_t i = 0; i < count; i++) {
        how.truck_name = run->names.at[i];
        all = evn_truck_load_with(run->call.operands[i], &how, &run->truck[i], run->call.report) == EVN_DONE && all;
    }
    all = evn_cycle_load_with(run->args->cycle, &how, &run->cycle, run->call.report) == EVN_DONE && all;
    return all && evn_lineup_of((const evn_truck *const *)run->truck, (const char *const *)run->names.at, count,
                                run->cycle, &run->lineup, run->call.report) == EVN_DONE;
}

/* What is set beside the files is set in the first lineup. */
static bool load_lineups(evn_compare_run *run)
{
    evn_load how = evn_load_of(&run->args->load), as_written = {.strict = run->args->load.strict};
    bool loaded = evn_lineup_load_with(run->call.operands[0], &how, &run->lineup, run->call.report) == EVN_DONE;
    if (!run->args->beside)
        return loaded;
    return evn_lineup_load_with(run->args->beside, &as_written, &run->beside_lineup, run->call.report) == EVN_DONE &&
           loaded;
}

static bool load(evn_compare_run *run)
{
    bool loaded = run->args->cycle ? load_trucks(run) : load_lineups(run);
    if (!loaded || !run->args->uncertain)
        return loaded;
    return evn_uncertainties_load(run->args->uncertain, &run->uncertain, run->call.report) == EVN_DONE;
}

/* ------------------------------------------------------------------------------------------------ comparing */

static bool go_on(void *self, double done_share)
{
    evn_compare_run *run = self;
    return evn_call_go_on(&run->call, done_share);
}

static evn_status compare(evn_compare_run *run)
{
    evn_compare_how how = {.threads = run->args->threads,
                           .self = run,
                           .go_on = go_on,
                           .samplers = evn_compare_samplers,
                           .phase_samplers = evn_compare_phase_samplers,
                           .all_seasons = run->args->seasons,
                           .demands = &run->demands,
                           .equal = (evn_equal)(run->args->equal + EVN_EQUAL_PAYLOAD)};
    run->call.progress = evn_progress_begin(run->call.console, "all runs");
    evn_status status = evn_compare(run->lineup, &run->ask, &how, &run->comparison, run->call.report);
    evn_progress_end(&run->call.progress);
    return status;
}

/* The other lineup, driven and made equal alike; what is demanded is asked of the first lineup's trucks. The worse of
 * both statuses. */
static evn_status compare_beside(evn_compare_run *run, evn_status status)
{
    evn_demands none = evn_demands_default();
    evn_equalised given = {.by = EVN_EQUAL_PAYLOAD};
    if (!run->beside_lineup || !run->comparison || run->call.stopped)
        return status;
    evn_comparison_equalised(run->comparison, 0, &given);
    evn_compare_how how = {.threads = run->args->threads,
                           .self = run,
                           .go_on = go_on,
                           .demands = &none,
                           .equal = given.by,
                           .called = evn_lineup_name(run->beside_lineup)};
    run->call.progress = evn_progress_begin(run->call.console, "all runs beside them");
    evn_status beside = evn_compare(run->beside_lineup, &run->ask, &how, &run->beside_comparison, run->call.report);
    evn_progress_end(&run->call.progress);
    if (run->beside_comparison && !run->call.stopped)
        evn_beside_hold(run->lineup, run->comparison, run->beside_lineup, run->beside_comparison, &run->beside,
                        run->call.report);
    return beside > status ? beside : status;
}

/* ------------------------------------------------------------------------------------------------ how sure */

/* The words of --uncertainty, in their order. */
enum { UNCERTAINTY_AUTO, UNCERTAINTY_OFF, UNCERTAINTY_FIRST_ORDER, UNCERTAINTY_DRAWS };
static const char *const uncertainty_choices[] = {"auto", "off", "first-order", "draws", NULL};

/* Unasked only where it is little work: counted, so that the same is told on every machine. Where the data are refused
 * it cannot be counted, and finding says why. */
static evn_uncertainty_method method_of(const evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    if (args->uncertainty == UNCERTAINTY_DRAWS || args->draws > 0)
        return EVN_UNCERTAINTY_DRAWS;
    bool asked = args->uncertainty == UNCERTAINTY_FIRST_ORDER || run->uncertain;
    bool little = !(run->uncertainty_work > EVN_UNCERTAINTY_WORK_USUAL);
    if (asked || (args->uncertainty == UNCERTAINTY_AUTO && little))
        return EVN_UNCERTAINTY_FIRST_ORDER;
    return EVN_UNCERTAINTY_OFF;
}

static evn_uncertainty *find_of(evn_compare_run *run, const evn_lineup *lineup, const evn_comparison *comparison,
                                const evn_uncertainties *stated, evn_uncertainty_method method)
{
    evn_uncertainty *found = NULL;
    evn_uncertainty_how how = {.method = method,
                               .draws = run->args->draws,
                               .seed = run->args->seed,
                               .beside = stated,
                               .threads = run->args->threads,
                               .self = run,
                               .go_on = go_on};
    if (!comparison || run->call.stopped)
        return NULL;
    run->call.progress =
        evn_progress_begin(run->call.console, method == EVN_UNCERTAINTY_DRAWS ? "all draws" : "all uncertain data");
    evn_uncertainty_find(lineup, comparison, &how, &found, run->call.report);
    evn_progress_end(&run->call.progress);
    return found;
}

/* Why it was not found: of what was found so far, what came after the runs. */
static const char *why_not_found(const evn_compare_run *run, size_t found_before)
{
    evn_finding finding;
    if (run->call.stopped)
        return "it was interrupted";
    for (size_t i = found_before; evn_report_at(run->call.report, i, &finding); i++)
        if (finding.severity == EVN_ERROR)
            return finding.text;
    return "fewer than two trucks finished at the common speed";
}

/* Draws and first order are driven over a cycle. */
static const char over_duty[] = "it is found over a cycle, not over the day of a duty";

/* What is of one cycle is not of a day of many. */
static bool duty_fits(evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    const char *lone = args->why                                                ? "--why"
                       : args->draws > 0 || args->uncertainty > UNCERTAINTY_OFF ? "--uncertainty"
                       : run->uncertain                                         ? "--uncertain"
                                                                                : NULL;
    if (!evn_lineup_has_duty(run->lineup) && args->seasons)
        evn_mishap_say(
            &run->call.mishap, "usage", EVN_BAD_INPUT,
            "--seasons with '%s', a lineup over a cycle; one over a duty was expected, whose seasons they are",
            run->call.operands[0]);
    if (!evn_lineup_has_duty(run->lineup) || !lone)
        return evn_lineup_has_duty(run->lineup) || !args->seasons;
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                   "%s with a lineup over a duty: '%s' drives '%s'; a lineup over a cycle was expected, such as one of "
                   "a leg's cycle with its payload in load_case",
                   lone, run->call.operands[0], evn_lineup_over(run->lineup));
    return false;
}

/* Of both comparisons, where there is another beside. What a file of its own states is so of the first lineup. */
static evn_status find_uncertainty(evn_compare_run *run, evn_status status)
{
    if (!run->comparison)
        return status;
    if (evn_lineup_has_duty(run->lineup)) {
        bool off = run->args->uncertainty == UNCERTAINTY_OFF;
        run->sure = off ? EVN_SURE_OFF : EVN_SURE_NOT_FOUND;
        run->sure_why = off ? NULL : over_duty;
        return status;
    }
    run->uncertainty_work = evn_uncertainty_work(run->lineup);
    if (run->beside_lineup)
        run->uncertainty_work += evn_uncertainty_work(run->beside_lineup);
    evn_uncertainty_method method = method_of(run);
    if (method == EVN_UNCERTAINTY_OFF) {
        run->sure = run->args->uncertainty == UNCERTAINTY_OFF ? EVN_SURE_OFF : EVN_SURE_TOO_MUCH;
        return status;
    }
    size_t found_before = evn_report_count(run->call.report);
    run->uncertainty = find_of(run, run->lineup, run->comparison, run->uncertain, method);
    if (run->beside_lineup)
        run->beside_uncertainty = find_of(run, run->beside_lineup, run->beside_comparison, NULL, method);
    run->sure = run->uncertainty ? EVN_SURE_FOUND : EVN_SURE_NOT_FOUND;
    run->sure_why = run->uncertainty ? NULL : why_not_found(run, found_before);
    evn_status said = evn_report_status(run->call.report);
    return said > status ? said : status;
}

/* ------------------------------------------------------------------------------------------------ why */

static evn_causes_how how_of(evn_compare_run *run, const evn_uncertainty *sure)
{
    bool drawn = sure && evn_uncertainty_how_found(sure).method == EVN_UNCERTAINTY_DRAWS;
    return (evn_causes_how){.draws = drawn ? sure : NULL, .threads = run->args->threads, .self = run, .go_on = go_on};
}

/* How many runs it takes is told before it is begun, where draws make it many. How many draws will fall short and are
 * driven again nobody knows before. */
static void tell_runs(const evn_compare_run *run, const evn_causes_how *how, const evn_causes_how *beside)
{
    size_t runs = evn_causes_runs(run->comparison, how);
    if (run->beside_comparison)
        runs += evn_causes_runs(run->beside_comparison, beside);
    if (how->draws || beside->draws)
        fprintf(run->call.console->err,
                "evener: intervals of the causes take about %zu runs, more where draws fall short of the speed\n",
                runs);
}

static void find_causes_of(evn_compare_run *run, const evn_comparison *of, const evn_causes_how *how, evn_causes **out)
{
    if (!of || run->call.stopped)
        return;
    run->call.progress = evn_progress_begin(run->call.console, "all hybrids");
    evn_causes_find(of, how, out, run->call.report);
    evn_progress_end(&run->call.progress);
}

/* Of both comparisons, where there is another beside: where a difference turns round, its causes are what is asked. */
static evn_status find_causes(evn_compare_run *run, evn_status status)
{
    if (!run->args->why || !run->comparison || run->call.stopped)
        return status;
    evn_causes_how how = how_of(run, run->uncertainty), beside = how_of(run, run->beside_uncertainty);
    tell_runs(run, &how, &beside);
    find_causes_of(run, run->comparison, &how, &run->causes);
    find_causes_of(run, run->beside_comparison, &beside, &run->beside_causes);
    evn_status said = evn_report_status(run->call.report);
    return said > status ? said : status;
}

/* ------------------------------------------------------------------------------------------------ other demands */

/* What the duty demands of ground, loads and take-off, by what needs no day. */
static evn_status find_standing(evn_compare_run *run, evn_status status)
{
    if (!run->comparison || run->call.stopped || !evn_lineup_demands_more(run->lineup))
        return status;
    evn_assess_how how = {.only_standing = true, .threads = run->args->threads};
    evn_status said = evn_assess(run->lineup, &run->ask, &how, &run->standing, run->call.report);
    return said > status ? said : status;
}

/* ------------------------------------------------------------------------------------------------ telling it */

/* Of the seasons that were asked for. */
static bool finished_seasons(const evn_comparison *of, size_t truck)
{
    evn_day_season season;
    for (size_t k = 0; evn_comparison_season_at(of, truck, k, &season); k++)
        if (strcmp(season.status, "finished") != 0)
            return false;
    return true;
}

/* A truck that drove but cannot do what is demanded has finished. */
static bool all_finished(const evn_comparison *of)
{
    const evn_outcome *outcome;
    for (size_t i = 0; evn_comparison_outcome(of, i, EVN_BASIS_OWN); i++) {
        if (!finished_seasons(of, i))
            return false;
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
            outcome = evn_comparison_outcome(of, i, (evn_basis)basis);
            if (strcmp(evn_outcome_status(outcome), "finished") != 0)
                return false;
        }
    }
    return true;
}

static const char *status_name(const evn_compare_run *run)
{
    if (!run->comparison || evn_mishap_happened(&run->call.mishap))
        return "failed";
    if (run->call.stopped)
        return "interrupted";
    bool beside = !run->beside_lineup || (run->beside && all_finished(run->beside_comparison));
    return beside && all_finished(run->comparison) ? "finished" : "incomplete";
}

static evn_compare_story story_of(const evn_compare_run *run)
{
    return (evn_compare_story){.status = status_name(run),
                               .lineup = run->lineup,
                               .comparison = run->comparison,
                               .ask = evn_lineup_in_season(run->lineup, &run->ask),
                               .demands = run->demands,
                               .beside_lineup = run->beside_lineup,
                               .beside = run->beside,
                               .all_rows = run->args->all_rows,
                               .sure = run->sure,
                               .sure_why = run->sure_why,
                               .uncertainty_work = run->uncertainty_work,
                               .uncertainty = run->uncertainty,
                               .beside_uncertainty = run->beside_uncertainty,
                               .why_asked = run->args->why,
                               .causes = run->causes,
                               .standing = run->standing,
                               .beside_comparison = run->beside_comparison,
                               .beside_causes = run->beside_causes};
}

static bool tell(void *self)
{
    const evn_compare_run *run = self;
    const evn_console *console = run->call.console;
    evn_compare_story story = story_of(run);
    evn_look look = evn_look_with(&console->out_look, run->args->digits);
    if (run->args->json)
        return evn_compare_json(&story, &run->call.findings, console->out);
    evn_compare_drawing drawing = {evn_compare_ranked_picture, run};
    bool drawn = run->args->plot && !run->call.stopped;
    return !run->comparison || (evn_compare_text(&story, drawn ? &drawing : NULL, console->out, &look) &&
                                (!drawn || evn_compare_pictures(run, &story)));
}

/* ------------------------------------------------------------------------------------------------ the command */

static bool arguments_fit(evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    if (args->plot && args->json) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--plot and --json both want standard output; one of them was expected");
        return false;
    }
    if (!args->cycle && run->call.operands[1]) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "several files without --cycle; one lineup, or trucks with --cycle CYCLE, were expected");
        return false;
    }
    if (args->cycle && args->beside) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--beside with --cycle; another lineup stands beside a lineup");
        return false;
    }
    return true;
}

/* What is asked of uncertainties fits together. */
static bool uncertainty_fits(evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    bool draws = args->uncertainty == UNCERTAINTY_DRAWS || args->draws > 0;
    const char *what = NULL;
    if (args->draws > 0 && (args->uncertainty == UNCERTAINTY_OFF || args->uncertainty == UNCERTAINTY_FIRST_ORDER))
        what = "--draws with another --uncertainty than draws; one of them was expected";
    else if (args->draws % EVN_DRAW_GROUPS != 0)
        what = "--draws is no multiple of 4; draws are taken in four groups of as many";
    else if (args->seed > 0 && !draws)
        what = "--seed without draws; --draws N was expected beside it";
    else if (args->uncertain && args->uncertainty == UNCERTAINTY_OFF)
        what = "--uncertain with --uncertainty off; one of them was expected";
    if (what)
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, "%s", what);
    return !what;
}

/* Over what either lineup asks, what the options say. */
static bool ask_fits(evn_compare_run *run)
{
    run->ask = evn_lineup_ask(run->lineup);
    run->demands = evn_lineup_demands(run->lineup);
    if (!evn_asked_apply(&run->args->asked, &run->ask, run->call.report) ||
        !evn_asked_demand(&run->args->asked, &run->demands, run->call.report))
        return false;
    if (!run->beside_lineup)
        return true;
    evn_conditions beside = evn_lineup_ask(run->beside_lineup);
    return evn_asked_apply(&run->args->asked, &beside, run->call.report) &&
           evn_beside_fits(run->lineup, &run->ask, run->beside_lineup, &beside, run->call.report) == EVN_DONE;
}

/* What the files state of uncertainties, where they are asked for: before anything is driven. */
static bool stated_fits(const evn_compare_run *run)
{
    const evn_compare_args *args = run->args;
    bool asked = args->draws > 0 || run->uncertain || args->uncertainty == UNCERTAINTY_FIRST_ORDER ||
                 args->uncertainty == UNCERTAINTY_DRAWS;
    evn_report *report = run->call.report;
    return !asked || (evn_uncertainty_check(run->lineup, run->uncertain, report) == EVN_DONE &&
                      (!run->beside_lineup || evn_uncertainty_check(run->beside_lineup, NULL, report) == EVN_DONE));
}

static evn_status compare_and_write(evn_compare_run *run)
{
    if (!evn_compare_open(run)) {
        evn_compare_drop(run);
        return EVN_BAD_IO;
    }
    evn_status status = find_standing(run, find_causes(run, find_uncertainty(run, compare_beside(run, compare(run)))));
    evn_compare_story story = story_of(run);
    evn_compare_write(run, &story);
    return status;
}

static evn_status work(void *self)
{
    evn_compare_run *run = self;
    run->args = run->call.args;
    evn_load_begin(&run->args->load, run->call.report);
    if (!arguments_fit(run) || !uncertainty_fits(run) || !load(run) || !duty_fits(run) || !ask_fits(run) ||
        !stated_fits(run))
        return evn_report_status(run->call.report);
    evn_interrupt_begin(&run->call.interrupt);
    evn_status status = compare_and_write(run);
    evn_interrupt_end(&run->call.interrupt);
    return run->call.stopped ? EVN_NO_RESULT : status;
}

static void forget(void *self)
{
    evn_compare_run *run = self;
    evn_compare_forget_runs(run);
    evn_assessment_free(run->standing);
    evn_causes_free(run->beside_causes);
    evn_causes_free(run->causes);
    evn_uncertainty_free(run->beside_uncertainty);
    evn_uncertainty_free(run->uncertainty);
    evn_uncertainties_free(run->uncertain);
    evn_beside_free(run->beside);
    evn_comparison_free(run->beside_comparison);
    evn_lineup_free(run->beside_lineup);
    evn_comparison_free(run->comparison);
    evn_lineup_free(run->lineup);
    for (size_t i = 0; run->truck && run->call.operands[i]; i++)
        evn_truck_free(run->truck[i]);
    free(run->truck);
    evn_lineup_names_free(&run->names);
    evn_cycle_free(run->cycle);
}

/* ------------------------------------------------------------------------------------------------ tables */

#define TEXT(option_name, sign, member, taken, of_kind, meaning)                                                       \
    {.name = (option_name),                                                                                            \
     .argument = (sign),                                                                                               \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(evn_compare_args, member),                                                                     \
     .takes = {(taken), (of_kind), NULL},                                                                              \
     .help = (meaning)}

#define SEED_MOST 9007199254740991.0 /* whole numbers up to here are exact, 2^53 - 1 */

static const evn_option options[] = {
    TEXT("cycle", "CYCLE", cycle, EVN_TAKES_INPUT, "cycle", "a cycle, by file or name: the operands are trucks then"),
    EVN_LOAD_OPTIONS(evn_compare_args, load, "lineup", "another value than the files', for this time; once for each"),
    TEXT("beside", "LINEUP", beside, EVN_TAKES_INPUT, "lineup",
         "another lineup, by file or name, whose trucks bear the same names and have other data: driven and made equal "
         "alike, and held against this one"),
    {.name = "equal",
     .argument = "payload|gross|power",
     .kind = EVN_OPTION_CHOICE,
     .choices = evn_equal_names,
     .offset = offsetof(evn_compare_args, equal),
     .help = "make the other trucks equal to the first: in gross mass by their payloads, or in peak wheel power by "
             "scaling their motors; payload: as they are loaded"},
    {.name = "uncertainty",
     .argument = "auto|off|first-order|draws",
     .kind = EVN_OPTION_CHOICE,
     .choices = uncertainty_choices,
     .offset = offsetof(evn_compare_args, uncertainty),
     .help = "how sure the differences are, from what is not known of the data; auto: by first order where that is "
             "little work"},
    {.name = "draws",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .least = EVN_DRAWS_LEAST,
     .most = EVN_DRAWS_MOST,
     .offset = offsetof(evn_compare_args, draws),
     .facts = "256; 16 to 65536",
     .help = "so many draws of the uncertain data, a multiple of 4; asks for draws"},
    {.name = "seed",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .most = SEED_MOST,
     .offset = offsetof(evn_compare_args, seed),
     .help = "other draws, with another number"},
    TEXT("uncertain", "FILE", uncertain, EVN_TAKES_INPUT, "uncertainties",
         "what is not known of the data, by file or name: goes before what trucks and lineup state"),
    {.name = "why",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, why),
     .help = "the difference of each other truck against the first at the common speed, parted by causes; with "
             "--draws with intervals of the parts, in the first 64 of the same draws"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "plot",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, plot),
     .help = "the trucks ranked, the route with the runs over it (of a duty: the charge over the day), and the energy "
             "balance, as pictures in the terminal"},
    {.name = "all-rows",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, all_rows),
     .help = "every row of the comparison in the terminal, not only the ten that are told first; behind '>' stands the "
             "bound up to which a figure was sought, which the truck reaches: it can do that and more"},
    {.name = "seasons",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(evn_compare_args, seasons),
     .help = "of a duty: what each truck uses and leaves in each of its seasons, at own speeds, and the worst of them; "
             "compared they are in that of the lineup alone"},
    EVN_DIGITS_OPTION(evn_compare_args, digits),
    TEXT("csv", "FILE.csv", csv, EVN_TAKES_FILE, NULL, "all results, a row for each truck and basis"),
    TEXT("page", "FILE.html", page, EVN_TAKES_FILE, NULL, "the comparison with charts, to be opened in a browser"),
    TEXT(
        "trace-dir", "FOLDER", trace_dir, EVN_TAKES_FILE, NULL,
        "the runs over time, a CSV file for each truck and basis; of a duty with leg or stop and the clock of the day"),
    {.name = "threads",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(evn_compare_args, threads),
     .most = 64,
     .help = "runs at a time; 0: as many as there are processors"},
};

#undef TEXT

static const evn_operand operands[] = {
    {"FILE",
     "a lineup: its file (YAML), or its name as 'evener list' shows it; with --cycle two to twelve trucks, the "
     "first held against the others",
     {EVN_TAKES_INPUT, "lineup", NULL}}};

static const char *const notes[] = {
    "Drives all trucks over one cycle and holds the others against the first: energy consumption, "
    "travel time, what limited them, and the energy balance line by line.",
    "A truck that climbs slower saves air drag. So there are two bases: each truck at its own speeds, and all at one "
    "common speed, the lowest that any of them reaches at each place when it is driven exactly. A truck that cannot "
    "finish does not stop the others: its column says so, and the exit code is 1.",
    "With any percentage the report says whether the trucks are like for like: power at the wheels, tyres, body, "
    "battery and load, each within a tolerance, and names with both values what is not; kerb mass, gears and ratios "
    "are "
    "the layout's own. A percentage is called the layouts' doing only where nothing else differs. --equal makes them "
    "equal in one thing: gross gives each other truck the payload with which it weighs what the first does, and then "
    "energy per tonne of payload decides; power scales the motors of each other truck in torque (scale.torque of a "
    "motor, their active length) until its peak wheel power is the first's. What a truck may carry, axle by axle, is "
    "for "
    "local regulation and licensed practice.",
    "What errs in the data of the parts of one truck does not drop out of a difference. --beside drives another lineup "
    "with trucks of the same names over the same cycle, loaded, driven and made equal alike, and says whether the same "
    "truck is lowest at the common speed; of each truck against the first which lines of the energy balance moved; and "
    "what else is other there than losses: power, battery, auxiliaries, tyres and the other rows of likeness. The "
    "lineups that end in -defaults have the default losses of public law in their motors, inverters, gearboxes, axles "
    "and battery, auxiliaries of 1.7 to 1.9 kW and no temperatures; joints lose nothing; tyres, hubs and drag area are "
    "the "
    "same. With --uncertainty off trucks less than 0.5 percentage points apart are not told apart (common practice, "
    "no source). What is set with --set or demanded is so of the first lineup.",
    "What is not known of the data of the trucks moves a difference between them. Part files state it (uncertain), "
    "keys "
    "have a usual one; what errs as one, in one truck or in several, moves together. --uncertainty first-order moves "
    "each by one standard uncertainty (JCGM 100); --draws N draws all of them at once, for all trucks alike, and "
    "drives the trucks at the common speed (JCGM 101). Told are the 90 % interval of each difference and the "
    "probability that a truck takes less: trucks whose interval contains zero cannot be told apart, and none of them "
    "is called the lowest. Which datum to measure next stands behind, the largest share of the variance first. An "
    "interval is that of the data stated; it does not hold what the model leaves out. Without being asked it is found "
    "where uncertain data times trucks times km are at most 1000; above that no truck is called the lowest unless it "
    "is asked for.",
    "--why parts the difference of each other truck against the first (where that did not finish at the common speed: "
    "against the one that takes least) by causes: body, tyres and mass, with battery, brakes, trailer and payload; "
    "auxiliaries; driven axles; hub drag, but for that of axles that only one of them has; the drivetrain; disconnects "
    "and changes. Each is a block of keys that is exchanged whole "
    "between the two trucks. All trucks that come of it are driven at one speed that all of them drive, and the part "
    "of a cause is what its exchange changes, averaged over all orders of exchange (Shapley 1953): parts add up to the "
    "difference, and what is alike makes nothing. Blocks that cannot be parted, since a truck between them is none or "
    "cannot follow, are told as one. Inside the drivetrain stand the lines of the energy balance, and one loss law at "
    "a time put into the first truck at its own ratios. With --beside both lineups are parted; what is told of the one "
    "beside stands in the report, in --json and on the page, for a CSV file has rows of the first lineup only.",
    "A lineup may demand what each truck must be able to do beside the cycle, and so may the options: starting on a "
    "grade, changing up on it, a speed uphill, a descent that motors hold alone. Each demand is answered by forces "
    "for each truck, with what limits it; a truck that cannot do all of it is not told as the best of anything without "
    "that, and the exit code is 1. What a loaded vehicle may start on and be driven down is for local regulation, "
    "approved testing and licensed practice.",
    EVN_SET_NOTE
    " Keys are those of the lineup: trucks.central.battery.capacity_ah, cycle.name, load_case.payload_kg. With "
    "--cycle trucks are named by their files without the ending, and a key that begins with neither "
    "'trucks.' nor 'cycle.' is for all trucks.",
    "Over a duty the trucks are compared in one season. --seasons drives each truck's day in the others too, at its "
    "own "
    "speeds: a truck that does not come to the end of the day in any of them, or not to what the duty demands, is an "
    "answer, and the exit code is 1.",
    "What the command line says of the load case and of the driving goes before what a season of the duty states, and "
    "that before what the lineup says; the defaults in brackets hold where none says. At the common speed the driver "
    "is always exact. Files are written whole, all "
    "of them or none; those in the folder of traces are NAME-own.csv and NAME-common.csv. Ctrl-C ends the runs "
    "that have not finished and reports those that have; files are not written then, and those that were there stay.",
    EVN_PAGE_NOTE,
    NULL};

static const char *const examples[] = {"evener compare demo",
                                       "evener compare LINEUP --driver exact --payload-kg 12000",
                                       "evener compare LINEUP --set trucks.central.body.drag_area_m2=5.0",
                                       "evener compare vehicles/trucks/tractor-4x2-*.yaml --cycle hill",
                                       "evener compare LINEUP --equal power",
                                       "evener compare motorway --beside motorway-defaults",
                                       "evener compare LINEUP --draws 256",
                                       "evener compare LINEUP --uncertainty first-order --json | jq .uncertainty",
                                       "evener compare motorway --why",
                                       "evener compare LINEUP --plot",
                                       "evener compare LINEUP --page comparison.html",
                                       "evener compare LINEUP --csv results.csv --trace-dir traces",
                                       "evener compare LINEUP --json | jq '.trucks[].common.percent.kwh_per_km'",
                                       NULL};

const evn_command evn_command_compare = {.name = "compare",
                                         .summary = "several trucks side by side over one cycle",
                                         .schema = EVN_COMPARE_SCHEMA,
                                         .operands = operands,
                                         .operand_count = 1,
                                         .operands_many = true,
                                         .kind_option = "cycle",
                                         .kind_with = "truck",
                                         .options = options,
                                         .option_count = sizeof options / sizeof options[0],
                                         .asks = evn_asks_and_demands,
                                         .asked_offset = offsetof(evn_compare_args, asked),
                                         .notes = notes,
                                         .examples = examples,
                                         .args_size = sizeof(evn_compare_args),
                                         .defaults = set_defaults,
                                         .run_size = sizeof(evn_compare_run),
                                         .work = work,
                                         .tell = tell,
                                         .forget = forget};
