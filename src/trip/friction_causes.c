/* What made the friction brakes brake. */
#include "trip/friction_causes.h"
#include "core/units.h"
#include <stdlib.h>

static const struct {
    const char *key, *label;
} causes[EVN_RUBS_COUNT] = {
#define X(name, key, label) {key, label},
    EVN_FRICTION_CAUSES(X)
#undef X
};

/* Of one unit that is hot, or past the corner of its envelope, all of them are said to be. */
static evn_rubs by_motors(const evn_trip *t)
{
    bool hot = false, past_base = false, changing = false;
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        hot = hot || (evn_connected(t, u) && t->derating[u]) || t->hot[u].now != EVN_HEAT_BORNE;
        past_base = past_base || (evn_connected(t, u) && t->base_passed[u]);
        changing = changing || t->box[u].shifting;
    }
    if (!t->rig->regeneration)
        return EVN_RUBS_BY_REGENERATION_OFF;
    if (t->fade_side != EVN_FADE_ABOVE)
        return EVN_RUBS_BY_LOW_SPEED;
    if (changing)
        return EVN_RUBS_BY_SHIFT;
    return hot ? EVN_RUBS_BY_TEMPERATURE : past_base ? EVN_RUBS_BY_MOTOR_POWER : EVN_RUBS_BY_MOTOR_TORQUE;
}

static evn_rubs cause_now(const evn_trip *t)
{
    if (t->motion != EVN_MOVING)
        return EVN_RUBS_BY_OTHER;
    switch (t->push) {
    case EVN_BY_MOTOR:
        return by_motors(t);
    case EVN_BY_PACK:
        return EVN_RUBS_BY_PACK;
    case EVN_BY_ADHESION:
        return EVN_RUBS_BY_ADHESION;
    case EVN_BY_SHIFT:
        return EVN_RUBS_BY_SHIFT;
    case EVN_FREE:
        break;
    }
    return t->rig->motor_share < 1 ? EVN_RUBS_BY_MOTOR_SHARE : EVN_RUBS_BY_OTHER;
}

void evn_friction_causes_book(evn_trip *t)
{
    double all_j = t->y[EVN_Y_BRAKES] + t->lump_j[EVN_FRICTION_BRAKES];
    t->rubbing.by_j[t->rubbing.now] += all_j - t->rubbing.booked_j;
    t->rubbing.booked_j = all_j;
}

void evn_friction_causes_next(evn_trip *t) { t->rubbing.now = cause_now(t); }

static int more_first(const void *a, const void *b)
{
    double x = ((const evn_friction_cause *)a)->kwh, y = ((const evn_friction_cause *)b)->kwh;
    return (x < y) - (x > y);
}

size_t evn_friction_causes_of(const evn_trip *t, evn_friction_cause out[])
{
    static const double NOTHING_J = 1; /* round-off where brakes end, and nothing to anybody */
    size_t count = 0;
    for (int k = 0; k < EVN_RUBS_COUNT; k++)
        if (t->rubbing.by_j[k] > NOTHING_J)
            out[count++] = (evn_friction_cause){causes[k].key, causes[k].label, t->rubbing.by_j[k] / EVN_J_PER_KWH};
    qsort(out, count, sizeof *out, more_first);
    return count;
}
