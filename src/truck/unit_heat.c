/* Temperatures of a drive unit: those of its motors and inverters, which are alike. */
#include "core/root.h"
#include "truck/unit.h"
#include <math.h>

static const evn_heat *heat_of(const evn_unit *u) { return &u->motor[0].heat; }

/* The losses of a unit as those of one of so many motors. */
static evn_heat_gains gains_of(const evn_flow *own, double motors, double coolant_degc)
{
    return (evn_heat_gains){.copper_w = own->copper_w / motors,
                            .other_w = (own->w[EVN_MOTOR] - own->copper_w) / motors,
                            .inverter_w = own->w[EVN_INVERTER] / motors,
                            .coolant_degc = coolant_degc};
}

/* Where nothing asks for copper apart, all losses of a motor heat its winding. */
static evn_heat_gains gains(const evn_unit *u, const evn_flow *own, double coolant_degc)
{
    evn_heat_gains g = gains_of(own, (double)u->motor_count, coolant_degc);
    if (!heat_of(u)->housing) {
        g.copper_w = 0;
        g.other_w = own->w[EVN_MOTOR] / (double)u->motor_count;
    }
    return g;
}

size_t evn_unit_nodes(const evn_unit *u, const evn_node_row **rows)
{
    *rows = u->node_row;
    return u->nodes;
}

void evn_unit_start_with(evn_unit *u, double coolant_degc)
{
    for (size_t i = 0; i < u->motor_count; i++)
        evn_heat_start_with(&u->motor[i].heat, coolant_degc);
}

void evn_unit_start_oil_cold(evn_unit *u, double ambient_degc)
{
    for (size_t k = 0; k < EVN_OILS; k++)
        u->oil[k].start_degc = ambient_degc;
}

static void start_oil(const evn_unit *u, double degc[])
{
    for (size_t k = 0; k < EVN_OILS; k++)
        if (u->oil[k].there)
            degc[u->oil_at[k]] = u->oil[k].start_degc;
}

void evn_unit_start_degc(const evn_unit *u, double degc[])
{
    evn_heat_start(heat_of(u), degc);
    start_oil(u, degc);
}

void evn_unit_reference_degc(const evn_unit *u, double degc[])
{
    evn_heat_all_at(heat_of(u), u->motor[0].reference_degc, degc);
    start_oil(u, degc);
}

void evn_unit_coolant_degc(const evn_unit *u, double degc[])
{
    evn_heat_cold(heat_of(u), u->motor[0].reference_degc, degc);
    start_oil(u, degc);
}

void evn_unit_oil_rates(const evn_unit *u, const double degc[], double ambient_degc, double speed_m_s,
                        const evn_flow *own, double rate_k_s[])
{
    static const evn_line warms[EVN_OILS] = {EVN_GEARBOX, EVN_FINAL_DRIVE};
    for (size_t k = 0; k < EVN_OILS; k++)
        if (u->oil[k].there)
            rate_k_s[u->oil_at[k]] =
                evn_oil_rate_k_s(&u->oil[k], degc[u->oil_at[k]], ambient_degc, speed_m_s, own->w[warms[k]]);
}

double evn_unit_oil_degc(const evn_unit *u, evn_oil_place place, const double degc[])
{
    return u->oil[place].there ? degc[u->oil_at[place]] : (double)NAN;
}

void evn_unit_heat_rates(const evn_unit *u, const double degc[], double coolant_degc, const evn_flow *own,
                         double rate_k_s[])
{
    evn_heat_gains g = gains(u, own, coolant_degc);
    evn_heat_rates(heat_of(u), degc, &g, rate_k_s);
}

double evn_unit_to_coolant_w(const evn_unit *u, const double degc[], double coolant_degc, const evn_flow *own)
{
    evn_heat_gains g = gains(u, own, coolant_degc);
    return (double)u->motor_count * evn_heat_to_coolant_w(heat_of(u), degc, &g);
}

double evn_unit_winding_degc(const evn_unit *u, const double degc[])
{
    return evn_heat_winding_degc(heat_of(u), degc, EVN_AS_STATED);
}

double evn_unit_winding_limit_degc(const evn_unit *u)
{
    return heat_of(u)->winding ? heat_of(u)->winding_range.to_degc : (double)INFINITY;
}

double evn_unit_housing_degc(const evn_unit *u, const double degc[]) { return evn_heat_housing_degc(heat_of(u), degc); }

/* A quick one is that of a motor that works; slow ones take turns. */
double evn_unit_inverter_degc(const evn_unit *u, evn_setting s, const double degc[], double coolant_degc,
                              const evn_flow *own)
{
    size_t working = heat_of(u)->quick ? evn_engaged_count(s) : u->motor_count;
    evn_heat_gains g = gains_of(own, working ? (double)working : (double)u->motor_count, coolant_degc);
    return evn_heat_inverter_degc(heat_of(u), degc, &g);
}

double evn_unit_inverter_limit_degc(const evn_unit *u)
{
    return heat_of(u)->inverter ? heat_of(u)->inverter_range.to_degc : (double)INFINITY;
}

double evn_unit_torque_share(const evn_unit *u, const double degc[]) { return evn_heat_torque_share(heat_of(u), degc); }

double evn_unit_past_derating_k(const evn_unit *u, const double degc[])
{
    return evn_heat_past_derating_k(heat_of(u), degc);
}

bool evn_unit_has_winding(const evn_unit *u) { return heat_of(u)->winding; }
bool evn_unit_has_housing(const evn_unit *u) { return heat_of(u)->housing; }
bool evn_unit_has_inverter_heat(const evn_unit *u) { return heat_of(u)->inverter; }
bool evn_unit_has_quick_inverter(const evn_unit *u) { return heat_of(u)->quick; }
bool evn_unit_heat_acts(const evn_unit *u) { return heat_of(u)->housing || heat_of(u)->inverter; }

/* ------------------------------------------------------------------------------------------------ quick inverters */

typedef struct loading { /* a share of a torque, and the inverter's temperature there */
    const evn_unit *unit;
    const evn_turning *at;
    const double *degc;
    double full_nm;
} loading;

static double loaded_degc(const loading *l, double share)
{
    const evn_turning *at = l->at;
    size_t working = evn_engaged_count(at->setting);
    double lost_w =
        evn_unit_inverters_w(l->unit, at->setting, share * l->full_nm, at->motor_rad_s, at->voltage_v, l->degc);
    evn_heat_gains each = {.inverter_w = lost_w / (double)(working ? working : l->unit->motor_count),
                           .coolant_degc = at->coolant_degc};
    return evn_heat_steady_inverter_degc(heat_of(l->unit), &each);
}

static double share_over_left(void *self, double share)
{
    const loading *l = self;
    return share - evn_derating_share(&heat_of(l->unit)->inverter_range, loaded_degc(l, share));
}

double evn_unit_quick_share(const evn_unit *u, const evn_turning *at, double full_nm, const double degc[],
                            double *full_degc)
{
    static const evn_between how = {.tolerance = 1e-13, .x_tolerance = 1e-15, .steps = 100};
    const evn_derating *range = &heat_of(u)->inverter_range;
    loading l = {u, at, degc, full_nm};
    *full_degc = loaded_degc(&l, 1);
    if (*full_degc <= range->from_degc)
        return 1;
    evn_known none = {0, share_over_left(&l, 0)}, full = {1, 1 - evn_derating_share(range, *full_degc)};
    return none.error >= 0 ? 0 : evn_root_between(share_over_left, &l, none, full, &how).x;
}
