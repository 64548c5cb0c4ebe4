/* A case driven in a process of its own, so that one that falls over or does not end is told like the others. */
#define _XOPEN_SOURCE 700
#include "trial.h"
#include "core/ledger.h"
#include "evener/kept.h"
#include "limits.h"
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define X(name, meaning) #name,
const char *const trial_fault_names[TRIAL_FAULT_COUNT] = {TRIAL_FAULTS(X)};
#undef X
#define X(name, meaning) meaning,
const char *const trial_fault_meanings[TRIAL_FAULT_COUNT] = {TRIAL_FAULTS(X)};
const char *const trial_end_names[TRIAL_END_COUNT] = {TRIAL_ENDS(X)};
#undef X

static void fail(trial_verdict *v, trial_fault fault, const char *why)
{
    if (!v->fault[fault])
        snprintf(v->why[fault], TRIAL_WHY_BYTES, "%s", why);
    v->fault[fault] = true;
}

bool trial_failed(const trial_verdict *v)
{
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        if (v->fault[k])
            return true;
    return false;
}

/* ------------------------------------------------------------------------------------------------ refusals */

static void first_error(const evn_report *report, evn_finding *out)
{
    *out = (evn_finding){.fault = "", .text = "no finding"};
    for (size_t k = 0; evn_report_at(report, k, out) && out->severity != EVN_ERROR; k++)
        ;
}

/* Every error about a file says where in it; one about load case and truck together has no place. */
static void judge_refusal(trial_verdict *v, trial_end end, const evn_report *report)
{
    evn_finding finding;
    size_t errors = 0;
    v->end = end;
    for (size_t k = 0; evn_report_at(report, k, &finding); k++) {
        errors += finding.severity == EVN_ERROR;
        if (end == TRIAL_REFUSED_FILE && finding.severity == EVN_ERROR && (!finding.file || finding.line == 0))
            fail(v, TRIAL_UNPLACED, finding.text);
    }
    if (errors == 0 || evn_report_status(report) != EVN_BAD_INPUT)
        fail(v, TRIAL_UNPLACED, "refused without an error in the report");
    first_error(report, &finding);
    snprintf(v->refusal, TRIAL_WHY_BYTES, "%s: %.150s", finding.fault, finding.text);
}

/* ------------------------------------------------------------------------------------------------ results */

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text), most = strlen(end);
    return length >= most && strcmp(text + length - most, end) == 0;
}

/* The two stores of the ledger may be negative, and air drag where the wind pushes; all else is lost or used. */
static bool is_loss(const char *key, bool wind_from_behind)
{
    char end[64];
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        snprintf(end, sizeof end, ".%s_kwh", evn_line_rows[k].key);
        if (k != EVN_GRADE && k != EVN_KINETIC && !(k == EVN_AIR && wind_from_behind) && ends_with(key, end))
            return true;
    }
    return false;
}

/* Not even a millionth of its unit. */
static bool is_nothing(const evn_results *r, const char *key)
{
    double value;
    return !evn_results_get(r, key, &value) || fabs(value) < 1e-6;
}

static bool is_none_of_each_unit(const evn_results *r)
{
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_results_at(r, k, &what, &value); k++)
        if (ends_with(what.key, ".peak_winding_temperature_degc") && !isnan(value))
            return false;
    return true;
}

/* What evener.h and the help of the results say may be none. */
static bool may_be_none(const evn_results *r, const char *key)
{
    if (ends_with(key, "peak_winding_temperature_degc")) /* of the truck only where that of no unit is modelled */
        return strchr(key, '.') || is_none_of_each_unit(r);
    if (strcmp(key, "speed_tolerance_met") == 0)
        return true;
    if (strcmp(key, "delay_s") == 0)
        return strcmp(evn_results_status(r), "finished") != 0;
    if (strcmp(key, "motor_braking_share") == 0)
        return is_nothing(r, "regenerative_braking_kwh") && is_nothing(r, "energy_balance.friction_brakes_kwh") &&
               is_nothing(r, "energy_balance.retarder_kwh");
    if (strcmp(key, "mean_speed_km_h") == 0)
        return is_nothing(r, "duration_s");
    if (strcmp(key, "friction_brakes_mean_kw") == 0)
        return is_nothing(r, "friction_brakes_peak_kw");
    if (strcmp(key, "kwh_per_t_km") == 0 && is_nothing(r, "payload_kg"))
        return true;
    return ends_with(key, "km") && is_nothing(r, "distance_km");
}

static double result(const evn_results *r, const char *key)
{
    double value = (double)NAN;
    evn_results_get(r, key, &value);
    return value;
}

/* All that the pack gave or took, or what the ledger lists where most came and went without the pack: every joule of it
 * stands there twice, where it came from and where it went. */
static double moved_kwh(const evn_results *r)
{
    evn_quantity what;
    double value, listed = fabs(result(r, "battery_kwh"));
    for (size_t k = 0; evn_results_at(r, k, &what, &value); k++)
        if (strncmp(what.key, "energy_balance.", 15) == 0)
            listed += fabs(value);
    return fmax(result(r, "discharged_kwh") + fabs(result(r, "regenerated_kwh")), listed / 2);
}

static void judge_balance(trial_verdict *v, const evn_results *r, double accuracy)
{
    char why[TRIAL_WHY_BYTES];
    double through_pack = result(r, "discharged_kwh") + fabs(result(r, "regenerated_kwh")), moved = moved_kwh(r);
    double open = result(r, "balance_error") * through_pack;
    snprintf(why, sizeof why, "%.3g kWh of %.6g, %.3g of it; through the battery went %.6g", open, moved, open / moved,
             through_pack);
    if (!(open <=
          2e-5 * fmax(accuracy / 1e-6, 1) * fmax(moved, 1e-6))) /* a truck that never moves may have moved nothing */
        fail(v, TRIAL_BALANCE, why);
}

/* Told of each axle where the file says more of friction brakes than the default. */
static void judge_axles(trial_verdict *v, const evn_results *r)
{
    evn_quantity what;
    char why[TRIAL_WHY_BYTES];
    double value, sum = 0, all = result(r, "energy_balance.friction_brakes_kwh");
    bool told = false;
    for (size_t k = 0; evn_results_at(r, k, &what, &value); k++)
        if (strncmp(what.key, "axles.", 6) == 0 && ends_with(what.key, ".friction_brakes_kwh")) {
            told = true;
            sum += value;
        }
    snprintf(why, sizeof why, "%.9g kWh of the axles, %.9g of the balance", sum, all);
    if (told && !(fabs(sum - all) <= 1e-6 * fmax(fabs(all), 0.01)))
        fail(v, TRIAL_AXLES, why);
}

/* Integrated at a tolerance of 1e-6 and less of the energy that moves, a line that stays near nothing may end just
 * below it. */
static void judge_results(trial_verdict *v, const evn_results *r, bool wind_from_behind, double accuracy)
{
    evn_quantity what;
    double value, let_pass = 1e-6 * fmax(moved_kwh(r), 0.01);
    char why[TRIAL_WHY_BYTES];
    for (size_t k = 0; evn_results_at(r, k, &what, &value); k++) {
        snprintf(why, sizeof why, "%s is %.6g", what.key, value);
        if (isinf(value) || (isnan(value) && !may_be_none(r, what.key)))
            fail(v, TRIAL_NOT_FINITE, why);
        if (is_loss(what.key, wind_from_behind) && value < -let_pass)
            fail(v, TRIAL_LOSS_NEGATIVE, why);
    }
    judge_balance(v, r, accuracy);
    judge_axles(v, r);
}

static trial_end end_of(const char *status)
{
    if (strcmp(status, "finished") == 0)
        return TRIAL_FINISHED;
    return strcmp(status, "stalled") == 0 ? TRIAL_STALLED : TRIAL_BATTERY_EMPTY;
}

static void judge_run(trial_verdict *v, const evn_results *r, const evn_conditions *ask, limits_watch *limits,
                      const evn_report *report)
{
    evn_finding finding;
    first_error(report, &finding);
    v->end = TRIAL_NO_RESULT;
    if (strcmp(finding.fault, "interrupted") == 0)
        fail(v, TRIAL_NOT_ENDED, finding.text);
    else if (evn_report_status(report) >= EVN_NO_RESULT || (!r && finding.severity != EVN_ERROR)) {
        char why[TRIAL_WHY_BYTES];
        snprintf(why, sizeof why, "%s: %.150s", finding.fault, finding.text);
        fail(v, TRIAL_GAVE_UP, why);
    } else if (!r)
        judge_refusal(v, TRIAL_REFUSED_RIG, report);
    else {
        v->end = end_of(evn_results_status(r));
        judge_results(v, r, ask->load_case.headwind_m_s < 0 || ask->load_case.wind_m_s > 0, ask->driving.accuracy);
    }
    limits_end(limits, report);
}

/* ------------------------------------------------------------------------------------------------ one run */

static bool in_time(void *self, double done_share)
{
    const limits_watch *limits = self;
    (void)done_share;
    return clock() < (clock_t)limits->verdict->within_s * CLOCKS_PER_SEC;
}

static void drive(trial_verdict *v, const evn_truck *truck, const evn_rig *rig, const evn_cycle *cycle,
                  const evn_conditions *ask)
{
    evn_report *report = evn_report_new();
    evn_results *results = NULL;
    /* The watcher samples for the limits, so that they are what it is handed. */
    limits_watch limits;
    limits_begin(&limits, truck, rig, v);
    evn_watcher watcher = {&limits, limits_sample, in_time};
    evn_drive(rig, cycle, &ask->driving, &watcher, &results, report);
    judge_run(v, results, ask, &limits, report);
    evn_results_free(results);
    evn_report_free(report);
}

static void prepare(trial_verdict *v, const evn_truck *truck, const evn_cycle *cycle, const evn_conditions *ask)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_rig_prepare(truck, &ask->load_case, &rig, report);
    if (rig)
        drive(v, truck, rig, cycle, ask);
    else
        judge_refusal(v, TRIAL_REFUSED_RIG, report);
    evn_rig_free(rig);
    evn_report_free(report);
}

static void load(trial_verdict *v, const char *folder)
{
    char path[3][1000];
    static const char *const names[] = {"truck.yaml", "cycle.yaml", "kept.yaml"};
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_cycle *cycle = NULL;
    evn_kept *kept = NULL;
    evn_kept_run run;
    for (int k = 0; k < 3; k++)
        snprintf(path[k], sizeof path[k], "%s/%s", folder, names[k]);
    if (evn_truck_load(path[0], &truck, report) == EVN_DONE && evn_cycle_load(path[1], &cycle, report) == EVN_DONE &&
        evn_kept_load(path[2], &kept, report) == EVN_DONE && evn_kept_at(kept, 0, &run))
        prepare(v, truck, cycle, &run.ask);
    else
        judge_refusal(v, TRIAL_REFUSED_FILE, report);
    evn_kept_free(kept);
    evn_cycle_free(cycle);
    evn_truck_free(truck);
    evn_report_free(report);
}

/* ------------------------------------------------------------------------------------------------ its own process */

/* The run is asked to end, and tells where it is then; one that asks nobody is ended half as much later. */
static void in_child(const char *folder, int within_s, int to)
{
    rlim_t killed_after_s = (rlim_t)(within_s + within_s / 2 + 1);
    struct rlimit most = {killed_after_s, killed_after_s + 1};
    trial_verdict v = {.end = TRIAL_NO_RESULT, .within_s = within_s};
    setrlimit(RLIMIT_CPU, &most);
    load(&v, folder);
    v.processor_s = (double)clock() / CLOCKS_PER_SEC;
    _exit(write(to, &v, sizeof v) == (ssize_t)sizeof v ? 0 : 1);
}

static trial_verdict of_child(pid_t child, int from)
{
    trial_verdict v = {.end = TRIAL_NO_RESULT};
    char why[TRIAL_WHY_BYTES];
    size_t had = 0;
    ssize_t more;
    int status = 0;
    while (had < sizeof v && (more = read(from, (char *)&v + had, sizeof v - had)) > 0)
        had += (size_t)more;
    waitpid(child, &status, 0);
    if (had == sizeof v)
        return v;
    v = (trial_verdict){.end = TRIAL_NO_RESULT};
    bool too_long = WIFSIGNALED(status) && WTERMSIG(status) == SIGXCPU;
    snprintf(why, sizeof why, WIFSIGNALED(status) ? "ended by signal %d" : "exit status %d",
             WIFSIGNALED(status) ? WTERMSIG(status) : WEXITSTATUS(status));
    fail(&v, too_long ? TRIAL_NOT_ENDED : TRIAL_CRASHED, too_long ? "ended from outside: it asked nobody" : why);
    return v;
}

trial_verdict trial_drive(const char *folder, int within_s)
{
    int ends[2];
    if (pipe(ends) != 0)
        abort();
    fflush(NULL);
    pid_t child = fork();
    if (child < 0)
        abort();
    if (child == 0) {
        close(ends[0]);
        in_child(folder, within_s, ends[1]);
    }
    close(ends[1]);
    trial_verdict v = of_child(child, ends[0]);
    close(ends[0]);
    return v;
}
