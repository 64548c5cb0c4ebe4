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
    evn_chain_map m = {.usable = true, .ratio = 1};
    m.pull.motor_nm.torque = m.push.motor_nm.torque = 1;
    for (size_t i = 0; m.usable && i < count; i++) {
        const evn_stage *s = &stage[i];
        size_t line;
        /* what the bounds take for granted: drags and inertia that are none below zero, and no torque turned round */
        bool plain = !s->drag_curve && !s->oil_factor && s->ratio > 0 && s->push_share < 1 && s->drag_nm >= 0 &&
                     s->drag_nm_s >= 0;
        m.usable = plain && place_of(&m, s->line, &line);
        if (!m.usable)
            break;
        add_stage(&m.pull, s, speed_ratio[i], s->pull_share, line);
        add_stage(&m.push, s, speed_ratio[i], -s->push_share, line);
        m.inertia_kg_m2 += s->inertia_kg_m2 * speed_ratio[i] * speed_ratio[i];
        m.ratio *= s->ratio;
    }
    return m;
}
