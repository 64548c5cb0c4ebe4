/* Makes the affine map of a chain. */
#include "truck/chain.h"
#include <math.h>

static evn_affine plus(evn_affine a, double factor, evn_affine b)
{
    return (evn_affine){a.torque + factor * b.torque, a.constant + factor * b.constant, a.speed + factor * b.speed,
                        a.accel + factor * b.accel};
}

static evn_affine times(double factor, evn_affine of) { return plus((evn_affine){0, 0, 0, 0}, factor, of); }

/* The place of a ledger line among those of the map; false: there is no room for it. */
static bool place_of(evn_chain_map *m, evn_line line, size_t *at)
{
    for (*at = 0; *at < m->lines; ++*at)
        if (m->pull.line[*at].line == line)
            return true;
    if (m->lines == EVN_CHAIN_LINES)
        return false;
    m->pull.line[m->lines].line = m->push.line[m->lines].line = line;
    m->lines++;
    return true;
}

/* The load of a stage on one side, and what is lost of it, seen at the wheel side of the chain. */
static void add_stage(evn_chain_side *side, const evn_stage *s, double speed_ratio, double share, size_t line)
{
    evn_affine drag = {0, s->drag_nm, s->drag_nm_s * speed_ratio, 0};
    evn_affine spin = {0, 0, 0, s->inertia_kg_m2 * speed_ratio};
    evn_affine load = plus(plus(side->motor_nm, 1, drag), 1, spin);
    evn_affine lost = plus(drag, share, load);
    side->line[line].loss_nm = plus(side->line[line].loss_nm, speed_ratio, lost);
    side->motor_nm = times(1 / s->ratio, plus(load, share, load));
    evn_chain_bound *b = &side->bound;
    b->constant = fmax(b->constant, load.constant / load.torque);
    b->speed = fmax(b->speed, load.speed / load.torque);
    b->accel = fmax(b->accel, load.accel / load.torque);
}

evn_chain_map evn_chain_map_of(const evn_stage *stage, const double speed_ratio[], size_t count)
{
    evn_chain_map m = {.usable = true, .usable_at_speed = true, .ratio = 1};
    m.pull.motor_nm.torque = m.push.motor_nm.torque = 1;
    for (size_t i = 0; i < count; i++) {
        const evn_stage *s = &stage[i];
        size_t line;
        /* what the bounds take for granted: drags and inertia that are none below zero, and no torque turned round */
        m.usable_at_speed =
            s->ratio > 0 && s->push_share < 1 && s->drag_nm >= 0 && s->drag_nm_s >= 0 && place_of(&m, s->line, &line);
        m.usable = m.usable && m.usable_at_speed && !s->drag_curve && !s->oil_factor;
        if (!m.usable_at_speed)
            break;
        add_stage(&m.pull, s, speed_ratio[i], s->pull_share, line);
        add_stage(&m.push, s, speed_ratio[i], -s->push_share, line);
        m.inertia_kg_m2 += s->inertia_kg_m2 * speed_ratio[i] * speed_ratio[i];
        m.ratio *= s->ratio;
    }
    return m;
}

/* Only the drags hang on anything but torque and acceleration: constants of the map at this speed. They are put in
 * where the map does not hold, too: searches that walk the stages begin where it would lead them. */
evn_chain_at evn_chain_at_stages(const evn_chain_map *m, const evn_stage *stage, const double speed_ratio[],
                                 size_t count, double speed, const double degc[])
{
    evn_chain_at at = {.usable = m->usable_at_speed && speed >= 0,
                       .pull = {m->pull.motor_nm.torque, 0, m->pull.motor_nm.accel},
                       .push = {m->push.motor_nm.torque, 0, m->push.motor_nm.accel},
                       .pull_accel = m->pull.bound.accel,
                       .push_accel = m->push.bound.accel};
    double push_torque = 1; /* of the stages so far */
    for (size_t i = 0; i < count; i++) {
        const evn_stage *s = &stage[i];
        double drag = evn_stage_drag_nm(s, speed * speed_ratio[i], degc), push = (1 - s->push_share) / s->ratio;
        at.usable = at.usable && drag >= 0;
        at.push_constant = fmax(at.push_constant, (at.push.constant + drag) / push_torque);
        at.pull.constant = (at.pull.constant + drag) * (1 + s->pull_share) / s->ratio;
        at.push.constant = (at.push.constant + drag) * push;
        push_torque *= push;
    }
    return at;
}
