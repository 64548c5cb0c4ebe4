/* Steady temperatures of a drive unit, and what follows from them. */
#include "truck/steady.h"
#include "core/root.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ at a torque */

typedef struct point {
    const evn_unit *unit;
    evn_turning at;
    double motor_nm; /* of all engaged motors */
    evn_parts_that_heat by;
} point;

static const evn_parts_that_heat both_parts = {true, true};

/* Where the losses at a winding temperature would bring both. */
static evn_steady towards(const point *p, double winding_degc)
{
    const evn_heat *h = &p->unit->motor[0].heat;
    const evn_turning *at = &p->at;
    double degc[EVN_NODES_MAX], motors = (double)p->unit->motor_count;
    evn_flow own = {{0}};
    evn_heat_all_at(h, winding_degc, degc);
    evn_unit_motors_w(p->unit, at->setting, p->motor_nm, at->motor_rad_s, at->voltage_v, degc, &own);
    own.w[EVN_MOTOR] += evn_unit_idle_drag_nm(p->unit, at->setting, at->motor_rad_s) * at->motor_rad_s;
    evn_heat_gains g = {own.copper_w / motors, (own.w[EVN_MOTOR] - own.copper_w) / motors, own.w[EVN_INVERTER] / motors,
                        at->coolant_degc};
    evn_steady to = {(double)NAN, (double)NAN};
    if (h->winding)
        to.winding_degc = evn_heat_steady_winding_degc(h, &g);
    g.inverter_w *= h->quick ? motors / fmax((double)evn_engaged_count(at->setting), 1) : 1;
    if (h->inverter)
        to.inverter_degc = evn_heat_steady_inverter_degc(h, &g);
    return to;
}

/* Losses grow straight with the winding's temperature: what they lead to does, and meets it at one. Where it grows
 * faster than the winding they meet nowhere; the inverter's loss has no part in that. */
static evn_steady steady_at(const point *p)
{
    const evn_heat *h = &p->unit->motor[0].heat;
    double low_degc = p->unit->motor[0].reference_degc, high_degc = low_degc + 100;
    evn_steady low = towards(p, low_degc);
    if (!h->winding)
        return low;
    double slope = (towards(p, high_degc).winding_degc - low.winding_degc) / (high_degc - low_degc);
    if (slope >= 1)
        return (evn_steady){(double)INFINITY, low.inverter_degc};
    return towards(p, low_degc + (low.winding_degc - low_degc) / (1 - slope));
}

/* How far above the ends, or the begins, of the two ranges. */
static double past_k(const evn_heat *h, evn_steady s, bool ends, evn_parts_that_heat by)
{
    double winding_k = s.winding_degc - (ends ? h->winding_range.to_degc : h->winding_range.from_degc);
    double inverter_k = s.inverter_degc - (ends ? h->inverter_range.to_degc : h->inverter_range.from_degc);
    return fmax(h->winding && by.winding ? winding_k : -(double)INFINITY,
                h->inverter && by.inverter ? inverter_k : -(double)INFINITY);
}

/* ------------------------------------------------------------------------------------------------ without torque */

evn_steady evn_unit_steady_without_torque(const evn_unit *u, const evn_turning *at)
{
    point p = {u, *at, 0, both_parts};
    return steady_at(&p);
}

double evn_unit_without_torque_past_k(const evn_unit *u, const evn_turning *at)
{
    return past_k(&u->motor[0].heat, evn_unit_steady_without_torque(u, at), true, both_parts);
}

static double past_at_speed_k(void *self, double motor_rad_s)
{
    point *p = self;
    p->at.motor_rad_s = motor_rad_s;
    return fmin(evn_unit_without_torque_past_k(p->unit, &p->at), 1e9); /* a search needs a number */
}

double evn_unit_speed_held_rad_s(const evn_unit *u, const evn_turning *at)
{
    static const evn_between how = {.tolerance = 1e-9, .x_tolerance = 1e-15, .steps = 200};
    point p = {u, *at, 0, both_parts};
    double top = evn_unit_top_rad_s(u);
    evn_known fast = {top, past_at_speed_k(&p, top)}, rest = {0, past_at_speed_k(&p, 0)};
    if (fast.error <= 0)
        return (double)INFINITY;
    return rest.error >= 0 ? 0 : evn_root_between(past_at_speed_k, &p, rest, fast, &how).x;
}

/* Without torque i_d begins where (1 + 1/k^2)/x^2 falls below 1 (map_fit.c). */
double evn_unit_no_load_rad_s(const evn_unit *u)
{
    const evn_motor *m = &u->motor[0];
    double k = m->characteristic_share;
    return k > 0 ? sqrt(1 + 1 / (k * k)) * m->peak_w / m->peak_nm : (double)INFINITY;
}

/* ------------------------------------------------------------------------------------------------ continuous torque */

/* Where losses with the winding at the begin of its derating lead to. */
static evn_steady towards_at_torque(point *p, double motor_nm)
{
    const evn_heat *h = &p->unit->motor[0].heat;
    p->motor_nm = motor_nm;
    return towards(p, h->winding ? h->winding_range.from_degc : p->unit->motor[0].reference_degc);
}

static double past_at_torque_k(void *self, double motor_nm)
{
    point *p = self;
    return past_k(&p->unit->motor[0].heat, towards_at_torque(p, motor_nm), false, p->by);
}

static point at_reference(const evn_unit *u, double motor_rad_s, evn_parts_that_heat by)
{
    return (point){u, {evn_all_engaged(u, 0), motor_rad_s, evn_unit_reference_v(u), (double)NAN}, 0, by};
}

double evn_unit_continuous_by_nm(const evn_unit *u, double motor_rad_s, evn_parts_that_heat by)
{
    static const evn_between how = {.tolerance = 1e-9, .x_tolerance = 1e-15, .steps = 100};
    const evn_heat *h = &u->motor[0].heat;
    if (!h->winding && !h->inverter)
        return (double)NAN;
    point p = at_reference(u, motor_rad_s, by);
    evn_supply supply = {p.at.voltage_v, 1, 1};
    double most_nm = evn_unit_most_motor_nm(u, p.at.setting, motor_rad_s, &supply);
    evn_known none = {0, past_at_torque_k(&p, 0)}, most = {most_nm, past_at_torque_k(&p, most_nm)};
    if (most.error <= 0)
        return most_nm;
    return none.error >= 0 ? 0 : evn_root_between(past_at_torque_k, &p, none, most, &how).x;
}

double evn_unit_continuous_nm(const evn_unit *u, double motor_rad_s)
{
    return evn_unit_continuous_by_nm(u, motor_rad_s, both_parts);
}

bool evn_unit_continuous_by_inverter(const evn_unit *u, double motor_rad_s)
{
    const evn_heat *h = &u->motor[0].heat;
    point p = at_reference(u, motor_rad_s, both_parts);
    if (!h->inverter)
        return false;
    evn_steady at = towards_at_torque(&p, evn_unit_continuous_nm(u, motor_rad_s));
    return !h->winding || at.inverter_degc - h->inverter_range.from_degc > at.winding_degc - h->winding_range.from_degc;
}

double evn_unit_continuous_w(const evn_unit *u)
{
    enum { SPEEDS = 200 };
    double most_w = 0;
    for (int k = 1; k <= SPEEDS; k++) {
        double motor_rad_s = evn_unit_top_rad_s(u) * k / SPEEDS;
        most_w = fmax(most_w, evn_unit_continuous_nm(u, motor_rad_s) * motor_rad_s);
    }
    return most_w;
}
