/* What a full pack refused over a run, and what is said of it. */
#include "trip/refusal.h"
#include "core/units.h"
#include "pull/refused.h"
#include "trip/moment.h"
#include <math.h>
#include <stdio.h>

/* ------------------------------------------------------------------------------------------------ summing up */

static const double NOTHING_W = 1; /* round-off of searches, and nothing to anybody */

static void note_at(evn_trip *t, double time_s, double weight_s)
{
    double y[EVN_Y_MOST];
    evn_instant is;
    t->kind->look_back(t->solver, time_s, y);
    evn_instant_at(t, time_s, y, &is);
    evn_refused refused = evn_instant_refused(&is);
    if (refused.wheels_w < NOTHING_W)
        return;
    if (t->refusal.wheels_j <= 0) {
        t->refusal.first_m = evn_trip_place_m(t, time_s, y);
        t->refusal.first_soc = is.pull.at.soc;
    }
    t->refusal.most_soc = fmax(t->refusal.most_soc, is.pull.at.soc);
    t->refusal.most_w = fmax(t->refusal.most_w, refused.charged_w);
    t->refusal.wheels_j += weight_s * refused.wheels_w;
    t->refusal.terminals_j += weight_s * refused.terminals_w;
}

/* Gauss's two points, exact for a cubic: an integrator's step is short against what changes in it. */
void evn_refusal_note(evn_trip *t, double from_s, double to_s)
{
    double half = 0.5 * (to_s - from_s), middle = 0.5 * (to_s + from_s), off = half / sqrt(3);
    if (t->motion != EVN_MOVING || t->push != EVN_BY_PACK)
        return;
    note_at(t, middle - off, half);
    note_at(t, middle + off, half);
}

/* ------------------------------------------------------------------------------------------------ saying */

static const double TOLD_SHARE = 0.01, TOLD_J = 0.5 * EVN_J_PER_KWH; /* of the braking work; our own, no source */

static double braking_work_j(const evn_trip *t)
{
    return t->y[EVN_Y_HELD] + t->y[EVN_Y_BRAKES] + evn_states_line_j(&t->states, t->y, EVN_RETARDER);
}

/* The fullest state in which the pack takes the most that it was offered. */
static double roomy_soc(const evn_trip *t)
{
    const evn_pack *p = &t->rig->pack;
    double low = 0.5 * (p->usable_from + p->usable_to), high = p->usable_to;
    evn_pack_now now = evn_trip_pack(t, t->y);
    for (int k = 0; k < 40; k++) {
        double middle = now.soc = 0.5 * (low + high);
        bool takes = evn_pack_at(p, &now).charge_w >= t->refusal.most_w;
        *(takes ? &low : &high) = middle;
    }
    return low;
}

/* State of charge by which the start would have to be lower, so that with all that was refused the pack is still roomy.
 */
static double lower_soc(const evn_trip *t)
{
    const evn_pack *p = &t->rig->pack;
    double refused = t->refusal.terminals_j / (p->capacity_as * evn_curve_at(&p->open_circuit_v, t->refusal.first_soc));
    return fmax(t->refusal.most_soc + refused - roomy_soc(t), 0);
}

static void format_brakes(char *out, size_t size, double hottest_degc)
{
    out[0] = '\0';
    if (!isnan(hottest_degc))
        snprintf(out, size, ", the hottest of which reached %.0f degC", hottest_degc);
}

static void format_advice(char *out, size_t size, const evn_trip *t)
{
    const evn_pack *p = &t->rig->pack;
    double percent = floor(1000 * (t->start_soc - lower_soc(t))) / 10; /* to the safe side */
    if (percent > 100 * p->usable_from)
        snprintf(out, size, "start below %.1f %%, %.1f points below the top of the usable charge, for this route",
                 percent, 100 * p->usable_to - percent);
    else
        snprintf(out, size,
                 "no start within the usable charge leaves room for it: a larger battery would, or more that "
                 "takes braking energy elsewhere");
}

static bool friction_took(const evn_trip *t)
{
    return t->y[EVN_Y_BRAKES] > TOLD_SHARE * evn_states_line_j(&t->states, t->y, EVN_RETARDER);
}

static const char *takers(const evn_trip *t)
{
    if (evn_states_line_j(&t->states, t->y, EVN_RETARDER) <= 0)
        return "friction brakes";
    return friction_took(t) ? "retarder and friction brakes" : "the retarder";
}

void evn_refusal_say(const evn_trip *t, double hottest_brake_degc)
{
    char brakes[80], advice[160];
    const evn_refusal *r = &t->refusal;
    if (!(r->wheels_j > TOLD_J && r->wheels_j > TOLD_SHARE * braking_work_j(t)))
        return;
    format_brakes(brakes, sizeof brakes, friction_took(t) ? hottest_brake_degc : (double)NAN);
    format_advice(advice, sizeof advice, t);
    evn_say(
        t->report, EVN_FAULT_BATTERY_FULL, evn_nowhere, evn_nowhere,
        "the battery of %s refused %.1f kWh of braking work at the wheels, from %.3f km on, at a state of charge of "
        "%.1f %%; %s took it instead%s; expected at most %g %% of the braking work and %g kWh; %s; "
        "whether a loaded vehicle may be braked so is for local regulation, approved testing and licensed practice",
        t->rig->truck_name, r->wheels_j / EVN_J_PER_KWH, r->first_m / 1000, 100 * r->first_soc, takers(t), brakes,
        100 * TOLD_SHARE, TOLD_J / EVN_J_PER_KWH, advice);
}
