/* A duty with other charging stops: copies of what changes, the rest shared with the duty as it is written. */
#include "duty/charging_stops.h"
#include <math.h>

typedef struct change {
    double longer_min, connector_kw;
    evn_arena *arena;
} change;

static const evn_charging_file *charging_of(const evn_charging_file *is, const change *c)
{
    evn_charging_file *other = evn_arena_take(c->arena, sizeof *other);
    double *power_kw = other ? evn_arena_take(c->arena, (is->power_kw.count + 1) * sizeof *power_kw) : NULL;
    if (!power_kw)
        return NULL;
    *other = *is;
    other->connector_kw = c->connector_kw;
    for (size_t k = 0; k < is->power_kw.count; k++)
        power_kw[k] = is->power_kw.at[k] * c->connector_kw / is->connector_kw;
    other->power_kw.at = power_kw;
    return other;
}

static const evn_stop_file *stop_of(const evn_stop_file *is, const change *c)
{
    if (!is->charging)
        return is;
    evn_stop_file *other = evn_arena_take(c->arena, sizeof *other);
    if (!other)
        return NULL;
    *other = *is;
    other->duration_min += c->longer_min; /* none stays none */
    if (!isnan(c->connector_kw))
        other->charging = charging_of(is->charging, c);
    return other->charging ? other : NULL;
}

static bool put_stops(evn_steps *steps, const change *c)
{
    evn_step *at = evn_arena_take(c->arena, (steps->count + 1) * sizeof *at);
    bool made = at;
    for (size_t k = 0; made && k < steps->count; k++) {
        at[k] = (evn_step){steps->at[k].kind, stop_of(steps->at[k].item, c)};
        made = at[k].item;
    }
    steps->at = at;
    return made;
}

static const evn_leg_file *leg_of(const evn_leg_file *is, const change *c)
{
    evn_leg_file *other = evn_arena_take(c->arena, sizeof *other);
    if (!other)
        return NULL;
    *other = *is;
    return put_stops(&other->stops, c) ? other : NULL;
}

static bool put_step(evn_step *step, const change *c)
{
    if (step->kind == EVN_DAY_LEG)
        step->item = leg_of(step->item, c);
    else if (step->kind == EVN_DAY_STOP)
        step->item = stop_of(step->item, c);
    return step->item;
}

/* Legs and stops; rounds are with those who have them. */
static bool put_steps(evn_steps *steps, const change *c)
{
    evn_step *at = evn_arena_take(c->arena, (steps->count + 1) * sizeof *at);
    bool made = at;
    for (size_t k = 0; made && k < steps->count; k++) {
        at[k] = steps->at[k];
        made = put_step(&at[k], c);
    }
    steps->at = at;
    return made;
}

static const evn_rounds_file *rounds_of(const evn_rounds_file *is, const change *c)
{
    evn_rounds_file *other = evn_arena_take(c->arena, sizeof *other);
    if (!other)
        return NULL;
    *other = *is;
    return put_steps(&other->each, c) ? other : NULL;
}

const evn_duty_file *evn_duty_with_stops(const evn_duty_file *is, double longer_min, double connector_kw,
                                         evn_arena *arena)
{
    const change c = {longer_min, connector_kw, arena};
    evn_duty_file *other = evn_arena_take(arena, sizeof *other);
    evn_step *at = other ? evn_arena_take(arena, (is->day.count + 1) * sizeof *at) : NULL;
    bool made = at;
    for (size_t k = 0; made && k < is->day.count; k++) {
        at[k] = is->day.at[k];
        if (at[k].kind == EVN_DAY_ROUNDS)
            at[k].item = rounds_of(at[k].item, &c);
        made = at[k].kind == EVN_DAY_ROUNDS ? at[k].item != NULL : put_step(&at[k], &c);
    }
    if (!made)
        return NULL;
    *other = *is;
    other->day.at = at;
    return other;
}
