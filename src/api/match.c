/* A truck held against a log, behind its public calls. */
#include "match/match.h"
#include "api/objects.h"
#include "core/units.h"
#include <math.h>
#include <stdlib.h>

evn_match_how evn_match_how_default(void)
{
    return (evn_match_how){.import = evn_import_default(),
                           .block_s = 60,
                           .explain = 1u << EVN_MATCH_ROLLING | 1u << EVN_MATCH_DRAG | 1u << EVN_MATCH_AUXILIARIES |
                                      1u << EVN_MATCH_REGENERATION};
}

const char *evn_match_word(evn_match_parameter parameter)
{
    return (size_t)parameter < EVN_MATCH_PARAMETERS ? evn_match_words[parameter] : NULL;
}

evn_status evn_match_find(const evn_truck *truck, const char *log, const evn_conditions *ask, const evn_match_how *how,
                          evn_match **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){
                          {"truck", truck}, {"log", log}, {"conditions", ask}, {"how", how}, {"out", out}, {0}}) ||
        !evn_match_how_fits(how, report))
        return evn_report_status(report);
    evn_match *m = calloc(1, sizeof *m);
    evn_arena *arena = m ? evn_arena_new() : NULL;
    if (!arena) {
        free(m);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
        return evn_report_status(report);
    }
    m->arena = arena;
    evn_match_make(m, truck->file, log, ask, how, report);
    if (m->results)
        *out = m;
    else
        evn_match_free(m);
    return evn_report_status(report);
}

void evn_match_free(evn_match *m)
{
    if (!m)
        return;
    evn_modelled_free(&m->run);
    evn_modelled_free(&m->fit.run);
    evn_results_free(m->results);
    evn_rig_free(m->rig);
    evn_arena_free(m->arena);
    free(m);
}

const evn_import_told *evn_match_import(const evn_match *m) { return m ? &m->import.told : NULL; }
const evn_results *evn_match_results(const evn_match *m) { return m ? m->results : NULL; }
evn_conditions evn_match_conditions(const evn_match *m) { return m ? m->ask : evn_conditions_default(); }

/* ------------------------------------------------------------------------------------------------ quantity by quantity
 */

typedef struct held {
    evn_quantity what;
    const double *log;
    double factor; /* from the log's unit to that of what is told */
    int column;    /* of a run */
    double run_factor;
    double least_speed_km_h; /* of the run: below it nothing is held */
} held;

enum { HELD = 4 };

static held held_at(const evn_match *m, size_t index)
{
    const held list[HELD] = {
        {{"speed_km_h", "km/h", "speed; what differs is the smoothing of the log, and what the truck could not follow",
          EVN_REAL, 2, "speed", "speed", 0},
         m->log.speed_m_s,
         3.6,
         EVN_MODELLED_SPEED,
         1,
         -1},
        {{"power_kw", "kW", "power at the battery's terminals", EVN_REAL, 1, "battery power", "power", 0},
         m->log.power_w,
         1e-3,
         EVN_MODELLED_POWER,
         1,
         -1},
        {{"soc_percent", "%", "state of charge", EVN_REAL, 2, "state of charge", "charge", 0},
         m->log.soc,
         100,
         EVN_MODELLED_SOC,
         100,
         -1},
        {{"motor_speed_rpm", "1/min", "speed of the motor of the first drive unit, above 5 km/h", EVN_REAL, 0,
          "motor speed", "motor speed", 0},
         m->log.motor_rad_s,
         1 / EVN_RAD_S_PER_RPM,
         EVN_MODELLED_MOTOR,
         1,
         5}};
    return list[index];
}

/* When the run is where the log is in a row. */
static double when(const evn_match *m, const evn_modelled *run, size_t row, size_t *near)
{
    return evn_modelled_when(run, m->log.place_m[row], m->log.time_s[row] - m->log.arrived_s[row], near);
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Of all rows: log over run in the middle. NAN when memory is out. */
static double middle_ratio(const evn_match *m, const held *h)
{
    double *ratio = malloc((m->log.count + 1) * sizeof *ratio), middle = (double)NAN;
    size_t near = 0, near_place = 0, count = 0;
    for (size_t i = 0; ratio && i < m->log.count; i++) {
        double t = when(m, &m->run, i, &near_place);
        double run = h->run_factor * evn_modelled_at(&m->run, h->column, t, &near);
        double speed = evn_modelled_at(&m->run, EVN_MODELLED_SPEED, t, &near);
        double log = h->factor * h->log[i];
        if (!isnan(log) && speed > h->least_speed_km_h && run > 0)
            ratio[count++] = log / run;
    }
    if (count > 0) {
        qsort(ratio, count, sizeof *ratio, by_size);
        middle = ratio[count / 2];
    }
    free(ratio);
    return middle;
}

static void add_row(evn_match_error *e, double time_s, double log, double run)
{
    double off = run - log;
    e->rows++;
    e->mean_log += log;
    e->mean_run += run;
    e->bias += off;
    e->rms += off * off;
    if (fabs(off) > fabs(e->most) || e->rows == 1) {
        e->most = off;
        e->most_at_s = time_s;
    }
}

static void sum_up(const evn_match *m, const held *h, evn_match_error *e)
{
    size_t near = 0, near_place = 0, near_fitted = 0, near_fitted_place = 0;
    double fitted = 0, fitted2 = 0;
    for (size_t i = 0; i < m->log.count; i++) {
        double t = when(m, &m->run, i, &near_place), log = h->factor * h->log[i];
        double run = h->run_factor * evn_modelled_at(&m->run, h->column, t, &near);
        if (isnan(log) || evn_modelled_at(&m->run, EVN_MODELLED_SPEED, t, &near) <= h->least_speed_km_h)
            continue;
        double fitted_t = m->fit.found ? when(m, &m->fit.run, i, &near_fitted_place) : 0;
        double off = h->run_factor * evn_modelled_at(&m->fit.run, h->column, fitted_t, &near_fitted) - log;
        add_row(e, m->log.time_s[i], log, run);
        fitted += off;
        fitted2 += off * off;
    }
    double rows = (double)e->rows;
    e->mean_log /= rows;
    e->mean_run /= rows;
    e->bias /= rows;
    e->rms = sqrt(e->rms / rows);
    e->fitted_bias = m->fit.found ? fitted / rows : (double)NAN;
    e->fitted_rms = m->fit.found ? sqrt(fitted2 / rows) : (double)NAN;
}

bool evn_match_error_at(const evn_match *m, size_t index, evn_match_error *out)
{
    for (size_t k = 0; m && out && k < HELD; k++) {
        held h = held_at(m, k);
        if (!h.log || index-- > 0)
            continue;
        *out = (evn_match_error){.what = h.what, .middle_ratio = (double)NAN};
        sum_up(m, &h, out);
        if (h.column == EVN_MODELLED_MOTOR)
            out->middle_ratio = middle_ratio(m, &h);
        return true;
    }
    return false;
}

/* ------------------------------------------------------------------------------------------------ energy */

static double sum_of(const double *of, size_t count)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += of[i];
    return sum;
}

static double rms_of(const evn_match *m, const double *run_j)
{
    double sum = 0;
    for (size_t b = 0; b < m->blocks.count; b++)
        sum += pow(run_j[b] - m->blocks.log_j[b], 2);
    return sqrt(sum / (double)m->blocks.held) / EVN_J_PER_KWH;
}

/* Half of the interval of the sum of differences: parts of the log differ by chance as much as they are seen to. */
static double half_j(const evn_match *m)
{
    const evn_match_blocks *b = &m->blocks;
    double part[EVN_MATCH_PARTS] = {0}, mean = 0, squares = 0;
    if (b->parts < 3)
        return (double)NAN;
    for (size_t k = 0; k < b->count; k++)
        if (!b->lost[k])
            part[evn_match_part(b, k)] += m->run_j[k] - b->log_j[k];
    for (size_t p = 0; p < b->parts; p++)
        mean += part[p] / (double)b->parts;
    for (size_t p = 0; p < b->parts; p++)
        squares += (part[p] - mean) * (part[p] - mean);
    return evn_student_95(b->parts - 1) * sqrt((double)b->parts / (double)(b->parts - 1) * squares);
}

static void put_fitted(const evn_match *m, evn_match_energy *e)
{
    double *run_j = malloc((m->blocks.count + 1) * sizeof *run_j);
    if (run_j) {
        evn_match_blocks_run(&m->blocks, &m->fit.run, run_j);
        e->fitted_kwh = sum_of(run_j, m->blocks.count) / EVN_J_PER_KWH;
        e->fitted_rms_kwh = rms_of(m, run_j);
    }
    free(run_j);
}

bool evn_match_energy_of(const evn_match *m, evn_match_energy *out)
{
    if (!m || !out)
        return false;
    const evn_match_blocks *b = &m->blocks;
    *out = (evn_match_energy){.there = b->held > 0, .fitted_kwh = (double)NAN, .fitted_rms_kwh = (double)NAN};
    if (b->held == 0)
        return true;
    double log_j = sum_of(b->log_j, b->count), run_j = sum_of(m->run_j, b->count), half = half_j(m);
    out->from = m->log.energy_from;
    out->log_kwh = log_j / EVN_J_PER_KWH;
    out->run_kwh = run_j / EVN_J_PER_KWH;
    out->percent = 100 * (run_j - log_j) / fabs(log_j);
    out->low_percent = out->percent - 100 * half / fabs(log_j);
    out->high_percent = out->percent + 100 * half / fabs(log_j);
    out->blocks = b->held;
    out->blocks_lost = b->count - b->held;
    out->parts = b->parts;
    out->block_s = b->block_s;
    out->rms_kwh = rms_of(m, m->run_j);
    if (m->fit.found)
        put_fitted(m, out);
    return true;
}

/* ------------------------------------------------------------------------------------------------ what explains */

/* Of a value about zero: of a step. */
static bool is_vague(const evn_match_fit *f, size_t i, const evn_rig *rig)
{
    static const double STEPS = 50;
    return !(f->half[i] < STEPS * evn_match_step(f->parameter[i], rig));
}

bool evn_match_found_at(const evn_match *m, size_t index, evn_match_found *out)
{
    if (!m || !out || !m->fit.found || index >= m->fit.count)
        return false;
    const evn_match_fit *f = &m->fit;
    double value = f->value[index], half = f->half[index];
    evn_match_bounds bounds = evn_match_bounds_of(f->parameter[index], m->rig);
    *out = (evn_match_found){.parameter = f->parameter[index],
                             .what = evn_match_quantities[f->parameter[index]],
                             .stated = f->stated[index],
                             .value = value,
                             .low = fmax(value - half, fmin(bounds.least, value)),
                             .high = fmin(value + half, fmax(bounds.most, value)),
                             .alone_share = f->alone_share[index],
                             .differs = fabs(f->stated[index] - value) > half,
                             .not_told_apart = is_vague(f, index, m->rig),
                             .at_bound = f->at_bound[index]};
    for (size_t j = 0; j < f->count; j++)
        if (j != index && fabs(f->correlation[index][j]) > EVN_MATCH_APART_MOST)
            out->not_told_apart = true;
    return true;
}

double evn_match_correlation(const evn_match *m, size_t one, size_t other)
{
    bool there = m && m->fit.found && one < m->fit.count && other < m->fit.count;
    return there ? m->fit.correlation[one][other] : (double)NAN;
}

bool evn_match_explained_of(const evn_match *m, evn_match_explained *out)
{
    if (!m || !out)
        return false;
    const evn_match_fit *f = &m->fit;
    bool asked = f->which != 0 && m->blocks.held > 0;
    *out = (evn_match_explained){.asked = asked,
                                 .found = f->found,
                                 .why_not = asked && !f->found ? f->why_not : NULL,
                                 .share = f->found ? f->share : (double)NAN,
                                 .condition = f->condition,
                                 .by_scatter = f->by_scatter,
                                 .runs = f->runs};
    return true;
}

/* ------------------------------------------------------------------------------------------------ rows */

static double of(const double *column, size_t row, double factor)
{
    return column ? factor * column[row] : (double)NAN;
}

bool evn_match_row_at(const evn_match *m, size_t index, evn_match_row *out)
{
    if (!m || !out || index >= m->log.count)
        return false;
    const evn_measured_rows *log = &m->log;
    size_t near = m->run.count * index / log->count, fitted_near = m->fit.run.count * index / log->count;
    double t = when(m, &m->run, index, &near);
    double fitted_t = m->fit.found ? when(m, &m->fit.run, index, &fitted_near) : (double)NAN;
    const evn_modelled *run = &m->run, *fitted = &m->fit.run;
    *out = (evn_match_row){
        .time_s = log->time_s[index],
        .place_m = log->place_m[index],
        .speed_km_h = of(log->speed_m_s, index, 3.6),
        .run_speed_km_h = evn_modelled_at(run, EVN_MODELLED_SPEED, t, &near),
        .power_kw = of(log->power_w, index, 1e-3),
        .run_power_kw = evn_modelled_at(run, EVN_MODELLED_POWER, t, &near),
        .energy_kwh = of(log->energy_j, index, 1 / EVN_J_PER_KWH),
        .run_energy_kwh = evn_modelled_at(run, EVN_MODELLED_ENERGY, t, &near) / EVN_J_PER_KWH,
        .soc = of(log->soc, index, 1),
        .run_soc = evn_modelled_at(run, EVN_MODELLED_SOC, t, &near),
        .motor_rpm = of(log->motor_rad_s, index, 1 / EVN_RAD_S_PER_RPM),
        .run_motor_rpm = evn_modelled_at(run, EVN_MODELLED_MOTOR, t, &near),
        .fitted_power_kw = (double)NAN,
        .fitted_energy_kwh = (double)NAN,
        .fitted_soc = (double)NAN,
    };
    if (!m->fit.found)
        return true;
    out->fitted_power_kw = evn_modelled_at(fitted, EVN_MODELLED_POWER, fitted_t, &fitted_near);
    out->fitted_energy_kwh = evn_modelled_at(fitted, EVN_MODELLED_ENERGY, fitted_t, &fitted_near) / EVN_J_PER_KWH;
    out->fitted_soc = evn_modelled_at(fitted, EVN_MODELLED_SOC, fitted_t, &fitted_near);
    return true;
}
