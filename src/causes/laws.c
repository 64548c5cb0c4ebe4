/* Writes laws into the copy of a rig: into its motors, and into the stages of its chains, whose maps are made anew. */
#include "causes/laws.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

const char *const evn_law_keys[EVN_LAW_COUNT] = {
#define X(name, key, label) key,
    EVN_LAWS(X)
#undef X
};
const char *const evn_law_labels[EVN_LAW_COUNT] = {
#define X(name, key, label) label,
    EVN_LAWS(X)
#undef X
};

static const double DRAG_M_S = 80 * EVN_M_S_PER_KM_H;

/* ------------------------------------------------------------------------------------------------ motors */

/* Shares of the other's peaks are shares of its own. */
static bool put_motor(evn_motor *m, const evn_motor *from, evn_arena *arena)
{
    double power = m->peak_w / from->peak_w, torque = m->peak_nm / from->peak_nm, speed = power / torque;
    m->constant_w = from->constant_w * power;
    m->speed_w_s = from->speed_w_s * power / speed;
    m->speed2_w_s2 = from->speed2_w_s2 * power / (speed * speed);
    m->copper_w_nm2 = from->copper_w_nm2 * power / (torque * torque);
    m->reference_degc = from->reference_degc;
    m->characteristic_share = from->characteristic_share;
    m->loss_share = from->loss_share;
    m->push_loss_share = from->push_loss_share;
    m->map_inverter_share = from->map_inverter_share;
    m->map = from->map ? evn_map_stretched(from->map, (evn_map_stretch){power, torque, speed}, arena) : NULL;
    return m->map || !from->map;
}

static bool put_inverter(evn_motor *m, const evn_motor *from, evn_arena *arena)
{
    double power = m->peak_w / from->peak_w;
    (void)arena;
    m->inverter_constant_w = from->inverter_constant_w * power;
    m->inverter_current_w = from->inverter_current_w * power;
    m->inverter_current2_w = from->inverter_current2_w * power;
    m->inverter_loss_share = from->inverter_loss_share;
    m->inverter_push_loss_share = from->inverter_push_loss_share;
    return true;
}

static bool put_both(evn_motor *m, const evn_motor *from, evn_arena *arena)
{
    return put_inverter(m, from, arena) && put_motor(m, from, arena);
}

/* A map that holds the losses of the inverter too. */
static bool has_whole_map(const evn_rig *rig)
{
    for (size_t u = 0; u < rig->unit_count; u++)
        if (evn_unit_has_map(&rig->unit[u]) && rig->unit[u].motor[0].map->includes_inverter)
            return true;
    return false;
}

static const char no_memory[] = "memory is out";

static const char *put_motors(evn_rig *rig, const evn_rig *from, bool inverters, evn_arena *arena)
{
    bool whole = has_whole_map(rig) || has_whole_map(from), all = true;
    if (whole && inverters)
        return "a loss map holds them with those of the motor: exchanged with those";
    for (size_t u = 0; u < rig->unit_count; u++) {
        const evn_motor *like = from->unit[u < from->unit_count ? u : from->unit_count - 1].motor;
        for (size_t k = 0; all && k < rig->unit[u].motor_count; k++)
            all = (whole ? put_both : inverters ? put_inverter : put_motor)(&rig->unit[u].motor[k], like, arena);
    }
    return all ? NULL : no_memory;
}

/* ------------------------------------------------------------------------------------------------ ways to the wheels
 */

static double load_of(const evn_stage *stage, size_t count)
{
    double sum = 0;
    for (size_t k = 0; k < count; k++)
        sum += log1p(stage[k].pull_share);
    return sum;
}

static const evn_gear *top_gear(const evn_unit *u) { return &u->gear[u->gear_count - 1]; }

static double peak_w(const evn_unit *u)
{
    double sum = 0;
    for (size_t k = 0; k < u->motor_count; k++)
        sum += u->motor[k].peak_w;
    return sum;
}

double evn_rig_load_exponent(const evn_rig *rig)
{
    double sum = 0, all_w = 0;
    for (size_t u = 0; u < rig->unit_count; u++) {
        const evn_unit *unit = &rig->unit[u];
        double own = load_of(top_gear(unit)->stage, top_gear(unit)->count);
        for (size_t b = 0; b < unit->branch_count; b++)
            own += unit->branch[b].share * load_of(unit->branch[b].stage, unit->branch[b].count);
        sum += own * peak_w(unit);
        all_w += peak_w(unit);
    }
    return sum / all_w;
}

/* With oil as it begins. */
static double drag_w(const evn_unit *u, const evn_stage *stage, const double speed_ratio[], size_t count, double rad_s)
{
    double degc[EVN_NODES_MAX], w = 0;
    evn_unit_start_degc(u, degc);
    for (size_t k = 0; k < count; k++)
        w += evn_stage_drag_nm(&stage[k], rad_s * speed_ratio[k], degc) * rad_s * speed_ratio[k];
    return w;
}

double evn_rig_drag_n(const evn_rig *rig)
{
    double w = 0;
    for (size_t u = 0; u < rig->unit_count; u++) {
        const evn_unit *unit = &rig->unit[u];
        const evn_gear *top = top_gear(unit);
        w += drag_w(unit, top->stage, top->speed_ratio, top->count, DRAG_M_S * rig->unit_rad_m[u]);
        for (size_t b = 0; b < unit->branch_count; b++) {
            const evn_branch *is = &unit->branch[b];
            w += drag_w(unit, is->stage, is->speed_ratio, is->count, DRAG_M_S / rig->axle[is->axle].radius_m);
        }
    }
    return w / DRAG_M_S;
}

/* ------------------------------------------------------------------------------------------------ stages */

typedef struct writing {
    double load_power, drag_factor; /* 1: as it is */
    evn_arena *arena;
    bool out_of_memory;
} writing;

static const evn_curve *times(const evn_curve *curve, writing *w)
{
    evn_curve *made = evn_arena_take(w->arena, sizeof *made);
    if (!made) {
        w->out_of_memory = true;
        return curve;
    }
    *made = *curve;
    for (size_t k = 0; k < made->count; k++) {
        made->y[k] *= w->drag_factor;
        made->slope[k] *= w->drag_factor;
        made->integral[k] *= w->drag_factor;
    }
    return made;
}

static void write_stages(evn_stage *stage, size_t count, writing *w)
{
    for (size_t k = 0; k < count; k++) {
        evn_stage *s = &stage[k];
        s->pull_share = expm1(w->load_power * log1p(s->pull_share));
        s->push_share = -expm1(w->load_power * log1p(-s->push_share));
        s->drag_nm *= w->drag_factor;
        s->drag_nm_s *= w->drag_factor;
        if (s->drag_curve)
            s->drag_curve = times(s->drag_curve, w);
    }
}

static void write_unit(evn_unit *u, writing *w)
{
    for (size_t k = 0; k < u->gear_count; k++) {
        evn_gear *g = &u->gear[k];
        write_stages(g->stage, g->count, w);
        g->map = evn_chain_map_of(g->stage, g->speed_ratio, g->count);
    }
    for (size_t k = 0; k < u->branch_count; k++) {
        evn_branch *b = &u->branch[k];
        write_stages(b->stage, b->count, w);
        b->map = evn_chain_map_of(b->stage, b->speed_ratio, b->count);
        evn_opening_make(&b->opening, b->stage, b->speed_ratio, b->count, b->ratio);
    }
}

static const char *write_all(evn_rig *rig, writing w)
{
    for (size_t u = 0; u < rig->unit_count; u++)
        write_unit(&rig->unit[u], &w);
    return w.out_of_memory ? no_memory : NULL;
}

static const char *put_load(evn_rig *rig, const evn_rig *from, evn_arena *arena)
{
    double own = evn_rig_load_exponent(rig);
    if (!(own > 0))
        return "the first truck has no load losses to be changed";
    return write_all(rig, (writing){evn_rig_load_exponent(from) / own, 1, arena, false});
}

static const char *put_drag(evn_rig *rig, const evn_rig *from, evn_arena *arena)
{
    double own = evn_rig_drag_n(rig);
    if (!(own > 0))
        return "the first truck has no drags to be changed";
    return write_all(rig, (writing){1, evn_rig_drag_n(from) / own, arena, false});
}

/* ------------------------------------------------------------------------------------------------ mass */

static void scale_load(evn_axle_load *load, double factor)
{
    load->cosine_kg *= factor;
    load->along_kg *= factor;
}

static void scale_stance(evn_stance *stance, size_t axles, double factor)
{
    scale_load(&stance->rolling, factor);
    scale_load(&stance->rolling_s_m, factor);
    for (size_t k = 0; k < axles; k++)
        scale_load(&stance->load[k], factor);
}

/* Never what else is heavier in the other, where its drivetrain could not be exchanged without its body. */
static double drivetrain_kg(const evn_rig *rig)
{
    double sum = 0;
    for (size_t k = 0; k < rig->figure_count; k++) {
        const char *key = rig->figure[k].what.key;
        if (strcmp(key, "masses.machines_kg") == 0 || strcmp(key, "masses.driveline_kg") == 0)
            sum += rig->figure[k].value;
    }
    return sum;
}

static const char *put_mass(evn_rig *rig, const evn_rig *from)
{
    double more_kg = drivetrain_kg(from) - drivetrain_kg(rig), factor = 1 + more_kg / rig->mass_kg;
    rig->effective_kg += more_kg;
    rig->mass_kg += more_kg;
    scale_load(&rig->rolling, factor);
    scale_load(&rig->rolling_s_m, factor);
    for (size_t k = 0; k < rig->axle_count; k++)
        scale_load(&rig->axle[k].load, factor);
    if (rig->start_aid.there)
        scale_stance(&rig->start_aid, rig->axle_count, factor);
    return NULL;
}

const char *evn_law_put(evn_law law, evn_rig *rig, const evn_rig *from, evn_arena *arena)
{
    switch (law) {
    case EVN_LAW_MOTORS:
        return put_motors(rig, from, false, arena);
    case EVN_LAW_INVERTERS:
        return put_motors(rig, from, true, arena);
    case EVN_LAW_LOAD:
        return put_load(rig, from, arena);
    case EVN_LAW_DRAG:
        return put_drag(rig, from, arena);
    case EVN_LAW_MASS:
        return put_mass(rig, from);
    case EVN_LAW_COUNT:
        break;
    }
    return "no such law";
}
