/*
 * Where a unit's torques stand between its tyres and its motors. An instant passes through chains as maps (chain.h),
 * which are exact and know nothing of the places between: here the stages are walked, from the same torque at the hubs
 * and at the same acceleration.
 */
#include "pull/shafts.h"
#include "pull/branches.h"
#include "pull/tyres.h"

/* Nothing hangs at a free end, whatever rounding leaves there: its sign would count as pulling or braking. */
static void set_free(evn_place *end) { end->nm = 0; }

/* From the wheel side on; returns what is at the motor side. */
static evn_shaft walk(const evn_stage *stage, size_t count, evn_shaft at, double rad_m, const double degc[],
                      evn_place *place)
{
    evn_flow unbooked = {{0}};
    place[0] = (evn_place){at.torque_nm, rad_m};
    for (size_t i = 0; i < count; i++) {
        at = evn_stage_up(&stage[i], at, degc, &unbooked);
        rad_m *= stage[i].ratio;
        place[i + 1] = (evn_place){at.torque_nm, rad_m};
    }
    return at;
}

/* What lies between an opening and the wheels turns with the wheels, what lies above it with the dividing point. */
static void walk_open(const evn_pull *p, size_t unit, size_t k, double rad_m, double accel, evn_place *place)
{
    const evn_branch *b = &p->at.rig->unit[unit].branch[k];
    const evn_opening *o = &b->opening;
    const double *degc = p->at.unit[unit].degc;
    double v = p->at.speed_m_s, radius_m = p->at.rig->axle[b->axle].radius_m, above_rad_m = rad_m / o->above_ratio;
    double hub_nm = evn_opening_below_nm(o, b->stage, b->speed_ratio, v / radius_m, accel / radius_m, degc, NULL);
    walk(b->stage, o->below, (evn_shaft){hub_nm, v / radius_m, accel / radius_m}, 1 / radius_m, degc, place);
    set_free(&place[o->below]);
    walk(b->stage + o->above_from, b->count - o->above_from, (evn_shaft){0, v * above_rad_m, accel * above_rad_m},
         above_rad_m, degc, place + o->above_from);
}

static void walk_branches(const evn_pull *p, size_t unit, const evn_member *m, const double force_n[], double accel,
                          evn_unit_places *out)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double radius_m = p->at.rig->axle[b->axle].radius_m;
        if (evn_is_branch_open(m->setting, k)) {
            walk_open(p, unit, k, m->rad_m, accel, out->branch[k]);
            continue;
        }
        double hub_nm = evn_tyres_hub_n(p, b->axle, force_n[k], accel) * radius_m;
        walk(b->stage, b->count, (evn_shaft){hub_nm, p->at.speed_m_s / radius_m, accel / radius_m}, 1 / radius_m,
             p->at.unit[unit].degc, out->branch[k]);
    }
}

/* Motors are alike. What idle ones take, which turn along, is not of an engaged one's shaft; with pulses off all that
 * turn are alike idle. */
static double one_motor_nm(const evn_unit *u, evn_setting s, evn_shaft input)
{
    double engaged = (double)evn_engaged_count(s);
    if (s.pulses_off)
        return input.torque_nm / (u->idle_stands_still ? engaged : (double)u->motor_count);
    double idle_kg_m2 = evn_unit_rotors_kg_m2(u, s) - engaged * u->motor[0].inertia_kg_m2;
    double idle_nm = evn_unit_idle_drag_nm(u, s, input.speed_rad_s) + idle_kg_m2 * input.accel_rad_s2;
    return (input.torque_nm + idle_nm) / engaged;
}

static void connected(const evn_instant *is, size_t unit, evn_unit_places *out)
{
    const evn_pull *p = &is->pull;
    const evn_unit *u = &p->at.rig->unit[unit];
    const evn_member *m = &p->team.unit[unit];
    const evn_gear *g = &u->gear[m->setting.gear];
    double accel = is->accel_m_s2, each_n[EVN_BRANCHES_MAX];
    evn_flow unbooked = {{0}};
    evn_shaft at = {0, p->at.speed_m_s * m->rad_m, accel * m->rad_m};
    if (u->branch_count) {
        evn_branches_divide(p, unit, m, is->force_n[unit], accel, each_n);
        walk_branches(p, unit, m, each_n, accel, out);
        at = evn_branches_up(p, unit, m, each_n, accel, &unbooked);
    } else {
        at.torque_nm = evn_tyres_hub_n(p, u->axle, is->force_n[unit], accel) * p->at.rig->axle[u->axle].radius_m;
    }
    evn_shaft input = walk(g->stage, g->count, at, m->rad_m, p->at.unit[unit].degc, out->path);
    out->input = out->path[g->count];
    out->motor = (evn_place){one_motor_nm(u, m->setting, input), out->input.rad_m};
}

/* In neutral, or with its disconnect open: what still turns is dragged by the wheels, without slip as in the instant.
 */
static void dragged(const evn_instant *is, size_t unit, evn_unit_places *out)
{
    const evn_pull *p = &is->pull;
    const evn_unit *u = &p->at.rig->unit[unit];
    const evn_member *m = &p->team.unit[unit];
    const double *degc = p->at.unit[unit].degc;
    double accel = is->accel_m_s2, each_n[EVN_BRANCHES_MAX], slope;
    evn_shaft at = {0, p->at.speed_m_s * m->rad_m, accel * m->rad_m};
    at.torque_nm = evn_unit_dragged_nm(u, m->turning, at.speed_rad_s, at.accel_rad_s2, degc, NULL);
    walk(u->gear[0].stage, m->turning, at, m->rad_m, degc, out->path);
    set_free(&out->path[m->turning]);
    if (u->branch_count == 0)
        return;
    evn_branches_forces(p, unit, m, at.torque_nm, accel, each_n, &slope);
    walk_branches(p, unit, m, each_n, accel, out);
}

void evn_instant_places(const evn_instant *is, size_t unit, evn_unit_places *out)
{
    *out = (evn_unit_places){.path = {{0, 0}}};
    if (is->pull.team.unit[unit].connected)
        connected(is, unit, out);
    else
        dragged(is, unit, out);
}
