/* A truck held against a log, from the log to what explains the difference. */
#include "match/match.h"
#include <math.h>
#include <string.h>

bool evn_match_how_fits(const evn_match_how *how, evn_report *report)
{
    bool fit = how->block_s >= 5 && how->block_s <= 3600;
    if (!fit)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "block_s is %g; 5 to 3600 was expected",
                how->block_s);
    if (how->explain >> EVN_MATCH_PARAMETERS != 0)
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "explain holds bits that are no parameter's");
    return evn_import_how_fits(&how->import, report) && fit && how->explain >> EVN_MATCH_PARAMETERS == 0;
}

static bool out_of_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    return false;
}

/* ------------------------------------------------------------------------------------------------ conditions */

static double first_of(const double *column, size_t count)
{
    for (size_t i = 0; column && i < count; i++)
        if (!isnan(column[i]))
            return column[i];
    return (double)NAN;
}

/* Per cent brought to shares have digits behind those of the log. */
static const double DIGITS = 1e9;

/* What the log knows and nobody asked otherwise. */
static void put_conditions(evn_match *m)
{
    const double *degc = m->import.log->column[EVN_LOG_AIR_TEMPERATURE];
    if (isnan(m->ask.load_case.start_soc))
        m->ask.load_case.start_soc = rint(first_of(m->log.soc, m->log.count) * DIGITS) / DIGITS;
    if (isnan(m->ask.load_case.temperature_degc))
        m->ask.load_case.temperature_degc = first_of(degc, m->import.log->rows);
}

/* ------------------------------------------------------------------------------------------------ the run as stated */

static bool drive(evn_match *m, evn_match_drive *d, size_t rounds, evn_report *report)
{
    evn_sampler sampler = evn_modelled_sampler(&m->run, m->rig);
    evn_run run = {.rig = m->rig,
                   .cycle = d->cycle,
                   .driving = m->ask.driving,
                   .sampler = &sampler,
                   .samplers = 1,
                   .report = report};
    evn_runs_expect(d->runs, 1 + rounds);
    evn_runs_drive(d->runs, &run, 1);
    m->results = run.results;
    run.results = NULL;
    evn_run_forget(&run);
    if (m->run.out_of_memory)
        return out_of_memory(report);
    evn_modelled_end(&m->run, d->charge_j, 1);
    return m->results && strcmp(evn_results_status(m->results), "finished") == 0;
}

static const double HALF_CHARGE = 0.5;
/* Where the log tells the charge alone, its energy is the charge over what the battery holds, in log and run alike. */
static bool put_charge(evn_match *m, evn_match_drive *d)
{
    if (m->log.energy_j || !m->log.soc)
        return true;
    double *energy_j = evn_arena_take(m->arena, (m->log.count + 1) * sizeof *energy_j);
    double first = first_of(m->log.soc, m->log.count);
    if (!energy_j)
        return false;
    d->charge_j = m->rig->pack.capacity_as * evn_curve_at(&m->rig->pack.open_circuit_v, HALF_CHARGE);
    for (size_t i = 0; i < m->log.count; i++) {
        double soc = m->log.soc[i];
        energy_j[i] = !isnan(soc) ? d->charge_j * (first - soc) : i > 0 ? energy_j[i - 1] : 0;
    }
    m->log.energy_j = energy_j;
    m->log.energy_from = "charge";
    return true;
}

static bool hold(evn_match *m, evn_match_drive *d, const evn_match_how *how, evn_report *report)
{
    if (!put_charge(m, d) || !evn_match_blocks_of(&m->log, how->block_s, &m->blocks, m->arena))
        return out_of_memory(report);
    m->run_j = evn_arena_take(m->arena, (m->blocks.count + 1) * sizeof *m->run_j);
    if (!m->run_j)
        return out_of_memory(report);
    if (!drive(m, d, how->explain && m->blocks.held > 0 ? EVN_MATCH_ROUNDS : 0, report))
        return false;
    if (!evn_match_makes_sense(&m->log, m->import.log, &m->run, m->arena, report)) {
        evn_results_free(m->results);
        m->results = NULL;
        return false;
    }
    evn_match_blocks_run(&m->blocks, &m->run, m->run_j);
    m->fit.which = how->explain;
    if (how->explain == 0 || m->blocks.held == 0)
        return true;
    if (evn_match_explain(d, &m->blocks, &m->run, &m->fit))
        return true;
    if (!evn_runs_stopped(d->runs))
        return out_of_memory(report);
    evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
            "stopped before it was found what explains the log; the run as stated is there");
    return false;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool tells_something(const evn_match *m, evn_report *report)
{
    if (m->log.energy_j || m->log.power_w || m->log.soc || m->log.motor_rad_s)
        return true;
    evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, m->import.log->file), 0, 0}, evn_nowhere,
            "nothing in this log to hold a run against; expected one of power, voltage and current, energy, charge, "
            "motor_speed");
    return false;
}

bool evn_match_make(evn_match *m, const evn_truck_file *truck, const char *log, const evn_conditions *ask,
                    const evn_match_how *how, evn_report *report)
{
    m->ask = *ask;
    m->import.arena = m->arena;
    const evn_log *read = evn_log_read(log, &how->import.log, m->arena, report);
    if (!read || !evn_import_of_log(&m->import, read, &how->import, report) ||
        !evn_match_measure(&m->import, how, &m->log, m->arena, report) || !tells_something(m, report))
        return false;
    put_conditions(m);
    const evn_cycle_file *cycle = evn_match_cycle(&m->import, m->arena);
    if (!cycle)
        return out_of_memory(report);
    if (!evn_rig_make(truck, &m->ask.load_case, &m->rig, report))
        return false;
    evn_runs runs;
    evn_runs_begin(&runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    evn_match_drive d = {.truck = truck,
                         .cycle = cycle,
                         .load_case = &m->ask.load_case,
                         .driving = &m->ask.driving,
                         .rig = m->rig,
                         .runs = &runs};
    bool held = hold(m, &d, how, report);
    evn_runs_end(&runs);
    return held;
}
