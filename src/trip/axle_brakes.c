/* The friction brakes of the axles over a run: states, lumps, peaks. */
#include "trip/axle_brakes.h"
#include "pull/friction.h"
#include <math.h>
#include <stdio.h>

/* ------------------------------------------------------------------------------------------------ states */

void evn_axle_brakes_place(evn_states *s)
{
    const evn_rig *r = s->rig;
    s->axle_brakes_at = s->count;
    for (size_t k = 0; k < EVN_AXLES_MAX; k++) {
        bool there = k < r->axle_count;
        s->axle_brake_j_at[k] = there && r->friction_ideal ? s->count++ : EVN_Y_MOST;
        s->axle_brake_degc_at[k] = there && r->axle[k].brake.modelled ? s->count++ : EVN_Y_MOST;
    }
}

void evn_axle_brakes_tolerance(const evn_states *s, double accuracy, double energy_j, double tolerance[])
{
    for (size_t k = 0; k < s->rig->axle_count; k++) {
        if (s->axle_brake_j_at[k] < EVN_Y_MOST)
            tolerance[s->axle_brake_j_at[k]] = energy_j;
        if (s->axle_brake_degc_at[k] < EVN_Y_MOST)
            tolerance[s->axle_brake_degc_at[k]] = accuracy * EVN_AXLE_BRAKE_SCALE_K;
    }
}

void evn_axle_brakes_start(const evn_states *s, double y[])
{
    for (size_t k = 0; k < s->rig->axle_count; k++)
        if (s->axle_brake_degc_at[k] < EVN_Y_MOST)
            y[s->axle_brake_degc_at[k]] = s->rig->axle[k].brake.start_degc;
}

void evn_axle_brakes_carry(const evn_states *from, const double *y, const evn_states *to, double *then)
{
    for (size_t k = 0; k < to->rig->axle_count; k++)
        if (to->axle_brake_degc_at[k] < EVN_Y_MOST)
            then[to->axle_brake_degc_at[k]] = y[from->axle_brake_degc_at[k]];
}

void evn_axle_brakes_rates(const evn_states *s, const evn_instant *is, const double *y, double *dy)
{
    const evn_rig *r = s->rig;
    double force_n[EVN_AXLES_MAX], v = is->pull.at.speed_m_s;
    if (s->axle_brakes_at == s->count)
        return;
    evn_friction_forces(is, force_n);
    for (size_t k = 0; k < r->axle_count; k++) {
        size_t j_at = s->axle_brake_j_at[k], degc_at = s->axle_brake_degc_at[k];
        if (j_at < EVN_Y_MOST)
            dy[j_at] = force_n[k] * v;
        if (degc_at < EVN_Y_MOST)
            dy[degc_at] = evn_axle_brake_rate_k_s(&r->axle[k].brake, y[degc_at], r->ambient_degc, v, force_n[k] * v);
    }
}

const char *evn_axle_brakes_name(const evn_states *s, size_t at, char out[EVN_STATE_NAME_BYTES])
{
    for (size_t k = 0; k < s->rig->axle_count; k++) {
        bool energy = s->axle_brake_j_at[k] == at;
        if (!energy && s->axle_brake_degc_at[k] != at)
            continue;
        snprintf(out, EVN_STATE_NAME_BYTES, energy ? "%.60s.friction braking, J" : "%.60s.friction brakes, degC",
                 s->rig->axle[k].name);
        return out;
    }
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ what they say */

double evn_axle_brake_degc(const evn_states *s, const double *y, size_t axle)
{
    size_t at = s->axle_brake_degc_at[axle];
    return at < EVN_Y_MOST ? y[at] : (double)NAN;
}

double evn_axle_brakes_peak_degc(const evn_trip *t)
{
    double most = (double)NAN;
    for (size_t k = 0; k < t->rig->axle_count; k++)
        most = fmax(most, t->friction.peak_degc[k]);
    return most;
}

double evn_axle_brake_j(const evn_trip *t, size_t axle)
{
    size_t at = t->states.axle_brake_j_at[axle];
    if (at < EVN_Y_MOST)
        return t->y[at];
    return t->rig->axle[axle].friction_share * (t->lump_j[EVN_FRICTION_BRAKES] + t->y[EVN_Y_BRAKES]);
}

void evn_axle_brakes_lump(evn_trip *t, double lump_j)
{
    const evn_states *s = &t->states;
    for (size_t k = 0; k < t->rig->axle_count; k++) {
        const evn_axle *axle = &t->rig->axle[k];
        double own_j = axle->friction_share * lump_j;
        if (s->axle_brake_j_at[k] < EVN_Y_MOST)
            t->y[s->axle_brake_j_at[k]] += own_j;
        if (s->axle_brake_degc_at[k] < EVN_Y_MOST)
            t->y[s->axle_brake_degc_at[k]] += own_j / axle->brake.capacity_j_k;
    }
}

/* ------------------------------------------------------------------------------------------------ accounting */

static void note_peaks(evn_trip *t, const double *y)
{
    for (size_t k = 0; k < t->rig->axle_count; k++)
        t->friction.peak_degc[k] = fmax(t->friction.peak_degc[k], evn_axle_brake_degc(&t->states, y, k));
}

void evn_axle_brakes_begin(evn_trip *t)
{
    for (size_t k = 0; k < EVN_AXLES_MAX; k++)
        t->friction.peak_degc[k] = (double)NAN;
    note_peaks(t, t->y);
}

void evn_axle_brakes_see(evn_trip *t, double friction_w) { t->friction.peak_w = fmax(t->friction.peak_w, friction_w); }

/* A step counts whole where the friction brakes took any energy in it: they begin and end at events. */
void evn_axle_brakes_step(evn_trip *t, double from, double to, const double *y)
{
    evn_axle_brakes_see(t, t->seen.friction_w);
    if (y[EVN_Y_BRAKES] > t->friction.seen_j)
        t->friction.braking_s += to - from;
    t->friction.seen_j = y[EVN_Y_BRAKES];
    note_peaks(t, y);
}
