/* From the end of a run to the beginning of the next. */
#include "trip/carried.h"
#include "trip/drive.h"
#include "trip/held_speed.h"
#include "trip/made_up.h"
#include <math.h>
#include <stdlib.h>

evn_carried *evn_carried_new(void) { return calloc(1, sizeof(evn_carried)); }
void evn_carried_free(evn_carried *c) { free(c); }
void evn_carried_copy(evn_carried *to, const evn_carried *from) { *to = *from; }

double evn_carried_place_m(const evn_carried *c) { return c->there ? c->y[EVN_Y_PLACE] : 0; }

double evn_carried_soc(const evn_carried *c, const evn_rig *r)
{
    return c->there ? r->start_soc - c->y[EVN_Y_CHARGE] / r->pack.capacity_as : r->start_soc;
}

void evn_carried_take(evn_trip *t, const evn_carried *c)
{
    evn_states_carry(&c->states, c->y, &t->states, t->y);
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        const evn_carried_unit *from = &c->unit[u];
        t->box[u].now = from->now;
        t->box[u].dwell_until_s = t->t + from->dwell_left_s;
        t->box[u].fewer_from_s = t->t + from->fewer_left_s;
        t->box[u].open_since_s = t->box[u].branch_since_s = t->t;
        t->hot[u] = from->hot;
        t->hot[u].pulses_off_s = 0;
        t->hot[u].pulses_off_since_s = t->t;
    }
    for (size_t k = 0; k < t->rig->loads.consumer_count; k++)
        if (c->owed_s[k] > 0)
            evn_made_up_go_on(t, k, c->owed_s[k]);
    evn_act_hold_for_heat(t);
}

void evn_carried_leave(const evn_trip *t, evn_carried *c)
{
    c->there = true;
    c->states = t->states;
    for (size_t k = 0; k < t->states.count; k++)
        c->y[k] = t->y[k];
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        const evn_box *box = &t->box[u];
        c->unit[u] = (evn_carried_unit){.now = box->now,
                                        .dwell_left_s = fmax(box->dwell_until_s - t->t, 0),
                                        .fewer_left_s = fmax(box->fewer_from_s - t->t, 0),
                                        .hot = t->hot[u]};
    }
    for (size_t k = 0; k < t->rig->loads.consumer_count; k++)
        c->owed_s[k] = evn_made_up_left_s(t, k);
}
