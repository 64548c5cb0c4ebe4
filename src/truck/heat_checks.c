/* Whether what a file says of a motor's heat goes with its losses, and with what it is rated for. */
#include "core/units.h"
#include "truck/map.h"
#include "truck/steady.h"
#include <math.h>

/* A unit of this one motor, without a chain. NULL: memory ran out. */
static const evn_unit *bench_of(const evn_motor_file *m, evn_arena *arena)
{
    evn_unit *u = evn_arena_take(arena, sizeof *u);
    if (!u)
        return NULL;
    *u = (evn_unit){.motor_count = 1};
    return evn_motor_prepare(m, arena, &u->motor[0]) ? u : NULL;
}

/* Beyond this something is at another coolant temperature, another cooling, or another motor: common practice, no
 * source. */
static const double APART = 0.25;

static void check_rated(const evn_seat *seat, const char *key, const char *unit, double rated, double modelled,
                        evn_report *report)
{
    if (!(fabs(modelled - rated) > APART * rated))
        return;
    evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, key,
               "rated for %g %s; by its losses and temperatures it holds %.4g %s for ever; usual is within %.0f %% of "
               "each other",
               rated, unit, modelled, unit, 100 * APART);
}

/* Derating takes the torque, not the losses that go on without it. */
static void check_idle(const evn_motor_file *m, const evn_unit *u, const evn_seat *seat, evn_report *report)
{
    evn_turning fast = {evn_all_engaged(u, 0), evn_unit_top_rad_s(u), evn_unit_reference_v(u), (double)NAN};
    evn_steady idle = evn_unit_steady_without_torque(u, &fast);
    if (m->housing && idle.winding_degc > m->winding->derate_to_degc)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "winding",
                   "losses without torque at top speed bring the winding to %.0f degC; usual is that derating holds it "
                   "below derate_to_degc, %g",
                   idle.winding_degc, m->winding->derate_to_degc);
    if (m->inverter->heat && idle.inverter_degc > m->inverter->heat->derate_to_degc)
        evn_say_at(
            report, seat, EVN_FAULT_UNUSUAL_VALUE, "inverter.heat",
            "losses without torque at top speed bring the inverter to %.0f degC; usual is that derating holds it "
            "below derate_to_degc, %g",
            idle.inverter_degc, m->inverter->heat->derate_to_degc);
}

static void check_bench(const evn_motor_file *m, const evn_unit *u, const evn_seat *seat, evn_report *report)
{
    double base_rad_s = fmin(u->motor[0].peak_w / u->motor[0].peak_nm, u->motor[0].top_rad_s);
    if (evn_unit_heat_acts(u))
        check_idle(m, u, seat, report);
    if (!isnan(u->motor[0].rated_nm))
        check_rated(seat, "rated_continuous_torque_nm", "Nm", u->motor[0].rated_nm,
                    evn_unit_continuous_nm(u, base_rad_s), report);
    if (!isnan(u->motor[0].rated_w))
        check_rated(seat, "rated_continuous_power_kw", "kW", u->motor[0].rated_w / 1e3, evn_unit_continuous_w(u) / 1e3,
                    report);
}

/* What a housing or a share of the inverter needs beside it. False: a part is missing. */
static bool is_whole(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    if (m->housing && !m->winding)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "housing", "a housing without a winding; expected both");
    if (m->housing && m->winding && !(m->winding->resistance_k_per_kw > 0))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "winding.resistance_k_per_kw",
                   "no resistance between winding and housing; expected above 0");
    if (m->map && m->map->includes_inverter && m->winding && isnan(m->map->inverter_loss_share))
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "map.includes_inverter",
                   "the winding is heated with the inverter's losses too, which the map includes; usual is an "
                   "inverter_loss_share that parts them");
    return !m->housing || (m->winding && m->winding->resistance_k_per_kw > 0);
}

void evn_heat_check(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    bool asked =
        m->housing || m->inverter->heat || m->rated_continuous_torque_nm > 0 || m->rated_continuous_power_kw > 0;
    if (!is_whole(m, seat, report) || !asked)
        return;
    evn_arena *scratch = evn_arena_new();
    const evn_unit *u = scratch ? bench_of(m, scratch) : NULL;
    if (u)
        check_bench(m, u, seat, report);
    evn_arena_free(scratch);
}
