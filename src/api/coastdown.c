/* Road load from logs of coast-downs behind its public calls. */
#include "evener/coastdown.h"
#include "coastdown/find.h"
#include "core/units.h"
#include <math.h>
#include <stdlib.h>

evn_coastdown_how evn_coastdown_how_default(void)
{
    const double none = (double)NAN;
    return (evn_coastdown_how){.mass_kg = none,
                               .tyres = none,
                               .rotating_kg = none,
                               .gravity_m_s2 = EVN_STANDARD_GRAVITY_M_S2,
                               .from_km_h = none,
                               .to_km_h = 15,
                               .band_km_h = 5,
                               .grade_percent = none,
                               .air_density_kg_m3 = none,
                               .altitude_m = none,
                               .temperature_degc = none,
                               .headwind_m_s = none};
}

/* ------------------------------------------------------------------------------------------------ finding */

/* All logs are read even where one is refused: what is wrong comes out at once. */
static bool gather(evn_coastdown *c, const char *const *logs, size_t count, evn_report *report)
{
    bool all = true;
    for (size_t k = 0; k < count; k++) {
        const evn_log *log = evn_log_read(logs[k], c->how.log, c->arena, report);
        all = log && evn_coast_gather(log, &c->how, &c->pieces, c->arena, report) && all;
    }
    return all;
}

evn_status evn_coastdown_find(const char *const *logs, size_t count, const evn_coastdown_how *how, evn_coastdown **out,
                              evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"logs", logs}, {"how", how}, {"out", out}, {0}}) ||
        !evn_coast_how_fits(how, report))
        return evn_report_status(report);
    for (size_t k = 0; k < count; k++)
        if (!evn_not_null(report, __func__, (const evn_argument[]){{"one of the logs", logs[k]}, {0}}))
            return evn_report_status(report);
    evn_coastdown *c = calloc(1, sizeof *c);
    evn_arena *arena = c ? evn_arena_new() : NULL;
    if (!arena) {
        free(c);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over coast-downs");
        return evn_report_status(report);
    }
    c->arena = arena;
    c->how = *how;
    bool gathered = gather(c, logs, count, report);
    bool found = gathered && evn_coast_find(c, report);
    c->how.log = NULL; /* the caller's, as is the next */
    c->how.back = NULL;
    if (found || (gathered && c->pieces.count > 0))
        *out = c;
    else
        evn_coastdown_free(c);
    return evn_report_status(report);
}

void evn_coastdown_free(evn_coastdown *c)
{
    if (c)
        evn_arena_free(c->arena);
    free(c);
}

/* ------------------------------------------------------------------------------------------------ runs */

static bool is_found(const evn_coastdown *c) { return c && c->runs > 0 && c->regression.there && c->fit.there; }

bool evn_coastdown_run_at(const evn_coastdown *c, size_t index, evn_coastdown_run *out)
{
    if (!c || !out || index >= c->pieces.count)
        return false;
    const evn_coast_piece *p = &c->pieces.at[index];
    *out = (evn_coastdown_run){.file = p->file,
                               .line = p->line,
                               .last_line = p->last_line,
                               .back = p->run.back,
                               .from_km_h = 3.6 * p->from_m_s,
                               .to_km_h = 3.6 * p->to_m_s,
                               .duration_s = p->duration_s,
                               .wind_m_s = p->wind_m_s,
                               .air_density_kg_m3 = p->run.density_kg_m3,
                               .grade_from = p->grade_from,
                               .rolling = (double)NAN,
                               .drag_area_m2 = (double)NAN,
                               .rms_km_h = (double)NAN,
                               .refused = p->reason,
                               .why = p->reason ? p->why : NULL};
    for (size_t r = 0; is_found(c) && r < c->runs; r++)
        if (c->piece_of[r] == index) {
            out->pair = c->run[r].group + 1;
            out->rolling = c->own[r].rolling;
            out->drag_area_m2 = c->own[r].drag_area_m2;
            out->rms_km_h = 3.6 * c->own[r].rms_m_s;
        }
    return true;
}

/* ------------------------------------------------------------------------------------------------ figures */

enum { FIGURES = 6 };
static const evn_quantity figures[FIGURES] = {
    {"rolling_coefficient", "", "rolling resistance over weight; at standstill where a part grows with speed", EVN_REAL,
     5, "rolling coefficient", "rolling coefficient", 0},
    {"drag_area_m2", "m2", "drag coefficient times frontal area", EVN_REAL, 3, "drag area", "drag area", 0},
    {"rolling_coefficient_s_m", "s/m", "by which the rolling coefficient grows with each m/s", EVN_REAL, 6,
     "rolling coefficient per speed", "rolling per speed", 0},
    {"headwind_m_s", "m/s", "wind along the road against the first run, where nothing measured it", EVN_REAL, 2,
     "headwind", "headwind", 0},
    {"rolling_n", "N", "force of rolling resistance at the mass of the test", EVN_REAL, 0, "rolling resistance",
     "rolling resistance", 0},
    {"drag_n_s2_m2", "N s2/m2", "force of air drag over the square of the speed, in the air of the test", EVN_REAL, 3,
     "air drag", "air drag", 0}};

static double mean_density(const evn_coastdown *c)
{
    double sum = 0;
    for (size_t r = 0; r < c->runs; r++)
        sum += c->run[r].density_kg_m3;
    return sum / (double)c->runs;
}

bool evn_coastdown_figure_at(const evn_coastdown *c, evn_coastdown_method method, size_t index,
                             evn_coastdown_figure *out)
{
    static const evn_coast_law law[FIGURES] = {EVN_COAST_ROLLING, EVN_COAST_DRAG,    EVN_COAST_ROLLING_S_M,
                                               EVN_COAST_WIND,    EVN_COAST_ROLLING, EVN_COAST_DRAG};
    if (!is_found(c) || !out || index >= FIGURES || method > EVN_COASTDOWN_REGRESSION)
        return false;
    const evn_coast_found *found = method == EVN_COASTDOWN_FIT ? &c->fit : &c->regression;
    const double scale[FIGURES] = {1, 1, 1, 1, c->vehicle.mass_kg * c->vehicle.gravity_m_s2, 0.5 * mean_density(c)};
    double value = scale[index] * found->load.of[law[index]], half = scale[index] * found->half[law[index]];
    bool there = !isnan(half);
    *out = (evn_coastdown_figure){figures[index], there ? value : (double)NAN, value - half, value + half};
    return true;
}

/* ------------------------------------------------------------------------------------------------ the rest */

/* Air of 98.21 kPa and 20 degC, to which dynamometer coefficients are referred: SAE J1263, from memory. */
static const double TARGET_PA = 98210, TARGET_K = 293.15, AIR_J_KG_K = 287.05287;

bool evn_coastdown_told_of(const evn_coastdown *c, evn_coastdown_told *out)
{
    static const double REGULATION_FROM_M_S = 70 * EVN_M_S_PER_MPH, REGULATION_TO_M_S = 15 * EVN_M_S_PER_MPH;
    if (!is_found(c) || !out)
        return false;
    double from = INFINITY, to = 0, inertia_kg = c->vehicle.mass_kg + c->vehicle.rotating_kg;
    for (size_t r = 0; r < c->runs; r++) {
        from = fmin(from, c->pieces.at[c->piece_of[r]].from_m_s);
        to = fmax(to, c->pieces.at[c->piece_of[r]].to_m_s);
    }
    bool wind_and_speed = c->wind_found && c->how.with_speed;
    *out = (evn_coastdown_told){
        .runs = c->pieces.count,
        .used = c->runs,
        .pairs = c->fit.groups,
        .by_scatter = c->fit.by_scatter,
        .correlation = c->fit.correlation[EVN_COAST_ROLLING][EVN_COAST_DRAG],
        .wind_correlation = wind_and_speed ? c->fit.correlation[EVN_COAST_WIND][EVN_COAST_ROLLING_S_M] : (double)NAN,
        .from_km_h = 3.6 * from,
        .to_km_h = 3.6 * to,
        .range_of_regulation = from >= REGULATION_FROM_M_S && to <= REGULATION_TO_M_S,
        .wind_found = c->wind_found,
        .mass_kg = c->vehicle.mass_kg,
        .rotating_kg = c->vehicle.rotating_kg,
        .air_density_kg_m3 = mean_density(c),
        .rms_km_h = 3.6 * c->fit.rms,
        .rms_n = c->regression.rms,
        .target_a_n = c->vehicle.mass_kg * c->vehicle.gravity_m_s2 * c->regression.load.of[EVN_COAST_ROLLING],
        .target_b_n_s_m = 0,
        .target_c_n_s2_m2 = 0.5 * TARGET_PA / (AIR_J_KG_K * TARGET_K) * c->regression.load.of[EVN_COAST_DRAG],
        .drag_per_mass_percent = c->vehicle.mass_kg / inertia_kg,
    };
    return true;
}

bool evn_coastdown_band_at(const evn_coastdown *c, size_t index, evn_coastdown_band *out)
{
    if (!is_found(c) || !out || index >= c->bands)
        return false;
    const evn_coast_band *b = &c->band[index];
    const evn_coast_road_load *load = &c->fit.load;
    double weight_n = c->vehicle.mass_kg * c->vehicle.gravity_m_s2 * b->slope_cos;
    double rolling = load->of[EVN_COAST_ROLLING] + load->of[EVN_COAST_ROLLING_S_M] * b->speed_m_s;
    *out = (evn_coastdown_band){
        .run = c->piece_of[b->run],
        .speed_km_h = 3.6 * b->speed_m_s,
        .force_n = b->force_n,
        .fitted_n = weight_n * rolling + 0.5 * b->density_kg_m3 * load->of[EVN_COAST_DRAG] * b->speed2_m2_s2,
    };
    return true;
}
