/* Whether the heat of a unit's motors goes with their losses, and with what they are rated for. */
#include "core/units.h"
#include "truck/map.h"
#include "truck/steady.h"
#include <math.h>
#include <stdio.h>

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

/* Of the first motor: all are alike. */
typedef struct place {
    const evn_seat *unit;
    const char *motor;
    evn_report *report;
} place;

enum { PATH_BYTES = 200 };
static const char *path_of(const place *at, const char *key, char out[PATH_BYTES])
{
    snprintf(out, PATH_BYTES, "motors.%.100s.%.60s", at->motor, key);
    return out;
}

static void check_rated(const place *at, const char *key, const char *unit, double rated, double modelled)
{
    char path[PATH_BYTES];
    if (!(fabs(modelled - rated) > APART * rated))
        return;
    evn_say_at(at->report, at->unit, EVN_FAULT_UNUSUAL_VALUE, path_of(at, key, path),
               "rated for %g %s; by its losses and temperatures it holds %.4g %s for ever; usual is within %.0f %% of "
               "each other",
               rated, unit, modelled, unit, 100 * APART);
}

/* Derating takes the torque, not the losses that go on without it. */
static void check_idle(const evn_motor_file *m, const evn_unit *u, const place *at)
{
    char path[PATH_BYTES];
    evn_turning fast = {evn_all_engaged(u, 0), evn_unit_top_rad_s(u), evn_unit_reference_v(u), (double)NAN};
    evn_steady idle = evn_unit_steady_without_torque(u, &fast);
    if (m->housing && idle.winding_degc > m->winding->derate_to_degc)
        evn_say_at(at->report, at->unit, EVN_FAULT_UNUSUAL_VALUE, path_of(at, "winding", path),
                   "losses without torque at top speed bring the winding to %.0f degC; usual is that derating holds it "
                   "below derate_to_degc, %g",
                   idle.winding_degc, m->winding->derate_to_degc);
    if (m->inverter->heat && idle.inverter_degc > m->inverter->heat->derate_to_degc)
        evn_say_at(
            at->report, at->unit, EVN_FAULT_UNUSUAL_VALUE, path_of(at, "inverter.heat", path),
            "losses without torque at top speed bring the inverter to %.0f degC; usual is that derating holds it "
            "below derate_to_degc, %g",
            idle.inverter_degc, m->inverter->heat->derate_to_degc);
}

static void check_bench(const evn_motor_file *m, const evn_unit *u, const place *at)
{
    double base_rad_s = fmin(u->motor[0].peak_w / u->motor[0].peak_nm, u->motor[0].top_rad_s);
    if (evn_unit_heat_acts(u))
        check_idle(m, u, at);
    if (!isnan(u->motor[0].rated_nm))
        check_rated(at, "rated_continuous_torque_nm", "Nm", u->motor[0].rated_nm,
                    evn_unit_continuous_nm(u, base_rad_s));
    if (!isnan(u->motor[0].rated_w))
        check_rated(at, "rated_continuous_power_kw", "kW", u->motor[0].rated_w / 1e3, evn_unit_continuous_w(u) / 1e3);
}

/* What would stop the making has been said of the motor itself. */
static bool is_sound(const evn_motor_file *m)
{
    bool turns = m->peak_torque_nm > 0 && m->peak_power_kw > 0 && m->top_speed_rpm > 0;
    return turns && (!m->housing || (m->winding && m->winding->resistance_k_per_kw > 0));
}

void evn_heat_check(const evn_unit_file *f, const evn_seat *seat, evn_report *report)
{
    const evn_motor_file *m = f->motors.item;
    if (f->motors.count == 0 || !is_sound(m))
        return;
    bool rated = m->rated_continuous_torque_nm > 0 || m->rated_continuous_power_kw > 0;
    if (!rated && !m->housing && !m->inverter->heat)
        return;
    evn_arena *scratch = evn_arena_new();
    const evn_unit *u = scratch ? bench_of(m, scratch) : NULL;
    if (u)
        check_bench(m, u, &(place){seat, f->motors.name[0], report});
    evn_arena_free(scratch);
}
