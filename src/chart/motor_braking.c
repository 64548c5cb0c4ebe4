/*
 * Braking by motors alone over speed, on the level, and what it may be held against: what the driven tyres carry on
 * each kind of ground, and what the driven axles would have of a braking rate z in the ideal distribution, T = z N of
 * each axle (UN R13 Annex 10, from memory). As loaded, at the state of charge and the temperatures of the start.
 */
#include "chart/chart.h"
#include "core/units.h"
#include "cycle/surface.h"
#include "pull/best.h"
#include "pull/limits.h"
#include <math.h>
#include <stdio.h>

enum { SPEEDS = 121, FIRST_GROUND = 2, FIRST_RATE = FIRST_GROUND + EVN_SURFACE_KINDS };
static const double rates[] = {0.1, 0.2, 0.3, 0.4, 0.5};
enum { RATES = sizeof rates / sizeof *rates };
static const double ANY_ADHESION = 50; /* what tyres carry are lines of their own */

/* What motors and battery do; and the road's resistances at that speed. */
static void set_pull(evn_pull *p, const evn_rig *r, double speed_m_s, double degc[][EVN_NODES_MAX])
{
    p->at = (evn_given){.rig = r,
                        .rolling_factor = 1,
                        .adhesion = ANY_ADHESION,
                        .adhesion_other_side = ANY_ADHESION,
                        .start_aid = r->start_aid.there && speed_m_s < r->start_aid.below_m_s,
                        .speed_m_s = speed_m_s,
                        .soc = r->start_soc,
                        .battery_degc = r->pack.start_degc,
                        .coolant_degc = evn_rig_coolant_degc(r),
                        .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < r->unit_count; u++) {
        evn_unit_start_degc(&r->unit[u], degc[u]);
        p->at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&r->unit[u], 0), .degc = degc[u]};
    }
    evn_pull_make(p);
    evn_pull_take_best(p, false);
}

/* Load on the driven axles, N, over the acceleration: where it is held, and what each m/s2 adds. */
typedef struct driven {
    double held_n, by_accel_kg;
} driven;

static driven driven_axles(const evn_pull *p)
{
    const evn_rig *r = p->at.rig;
    driven d = {0, 0};
    for (size_t k = 0; k < r->axle_count; k++)
        if (r->axle[k].driven_by < r->unit_count) {
            d.held_n += evn_load_of(&p->at, k)->cosine_kg * r->gravity_m_s2;
            d.by_accel_kg += evn_load_of(&p->at, k)->along_kg;
        }
    return d;
}

/*
 * What they carry where they alone brake: F = u N, N = N_0 - k d, and M d = F + resistances, whose solution is
 * F = u (N_0 - k R/M)/(1 + u k/M). For a truck without resistances B12 of the reference: z = u (a/L)/(1 + u h/L).
 */
static double carried_n(const evn_pull *p, const driven *d, double use)
{
    double shift = d->by_accel_kg / p->road.mass_kg;
    return fmax(use * (d->held_n - shift * p->road.base_n) / (1 + use * shift), 0);
}

/* All braking forces are z of the weight, and slow the truck by nearly z g. */
static double ideal_n(const evn_pull *p, const driven *d, double rate)
{
    const evn_rig *r = p->at.rig;
    double braking_n = rate * r->mass_kg * r->gravity_m_s2, accel = -(braking_n + p->road.base_n) / p->road.mass_kg;
    return rate * (d->held_n + d->by_accel_kg * accel);
}

static void add_columns(evn_chart *chart)
{
    char key[64], label[96];
    evn_chart_add_column(chart, "speed_km_h", "km/h", "speed", "on the level", 1);
    evn_chart_add_column(chart, "motors_kn", "kN", "motors",
                         "braking force of the motors that motors and battery allow, above zero", 2);
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++) {
        snprintf(key, sizeof key, "driven_tyres.%s_kn", evn_surface_kinds[k].name);
        snprintf(label, sizeof label, "driven tyres, %s", evn_surface_kinds[k].name);
        evn_chart_add_column(chart, key, "kN", label,
                             "that the driven tyres carry of it there, of the share of adhesion that regenerating may "
                             "use",
                             2);
    }
    for (int k = 0; k < RATES; k++) {
        snprintf(key, sizeof key, "ideal.z_%.1f_kn", rates[k]);
        snprintf(label, sizeof label, "ideal at z = %.1f", rates[k]);
        evn_chart_add_column(chart, key, "kN", label,
                             "braking force of the driven axles where every axle brakes in proportion to its load", 2);
    }
}

static void add_speed(evn_chart *chart, const evn_rig *r, double speed_m_s)
{
    evn_pull p;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX], *row = evn_chart_add_row(chart);
    if (!row)
        return;
    set_pull(&p, r, speed_m_s, degc);
    driven d = driven_axles(&p);
    row[0] = speed_m_s / EVN_M_S_PER_KM_H;
    row[1] = fmax(-evn_pull_brake_alone_n(&p), 0) / 1e3;
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++)
        row[FIRST_GROUND + k] = carried_n(&p, &d, evn_surface_kinds[k].adhesion * r->adhesion_regenerating_share) / 1e3;
    for (int k = 0; k < RATES; k++)
        row[FIRST_RATE + k] = ideal_n(&p, &d, rates[k]) / 1e3;
}

evn_status evn_chart_motor_braking(const evn_rig *r, evn_chart **out, evn_report *report)
{
    evn_chart *chart = evn_chart_begin(FIRST_RATE + RATES, report);
    if (!chart)
        return EVN_NO_RESULT;
    add_columns(chart);
    double top_m_s = fmin(r->top_speed_m_s, 200 * EVN_M_S_PER_KM_H);
    for (int k = 0; k < SPEEDS; k++)
        add_speed(chart, r, top_m_s * k / (SPEEDS - 1));
    return evn_chart_done(chart, out, report);
}
