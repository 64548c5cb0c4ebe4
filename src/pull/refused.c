/* What a full pack refuses, by asking the same instant again with the pack half full. */
#include "pull/refused.h"
#include "pull/best.h"
#include "pull/limits.h"
#include <math.h>

/* What motors are wanted to do, whatever the pack takes. */
static double wanted_n(const evn_instant *n) { return n->want_n; }

static double half_full(const evn_pack *p) { return 0.5 * (p->usable_from + p->usable_to); }

/* All motors of a unit in the gear that it is in, or goes to; the present number of them may be that of a full pack. */
static evn_setting all_in_gear(const evn_unit *u, evn_setting now)
{
    return evn_is_open(now) ? now : evn_all_engaged(u, now.gear);
}

/*
 * Of what is wanted, what motors, tyres and a pack half full give: in the gears as they are, and where their motors are
 * not enough in those that push most. Where the pack holds other gears would only lose more.
 */
static double given_n(evn_pull *p, double want_n)
{
    bool by_pack;
    double force_n = evn_pull_given_n(p, want_n, &by_pack);
    if (force_n > want_n && !by_pack) {
        evn_pull_take_best(p, false);
        force_n = evn_pull_given_n(p, want_n, &by_pack);
    }
    return force_n;
}

evn_refused evn_instant_refused(const evn_instant *n)
{
    const evn_rig *r = n->pull.at.rig;
    double soc = half_full(&r->pack);
    if (n->pull.at.push != EVN_BY_PACK || n->pull.at.soc <= soc)
        return (evn_refused){0, 0, 0};
    evn_pull half = {.at = n->pull.at};
    half.at.soc = soc;
    half.at.push = EVN_FREE;
    for (size_t u = 0; u < r->unit_count; u++)
        half.at.unit[u].setting = all_in_gear(&r->unit[u], half.at.unit[u].setting);
    evn_pull_make(&half);
    double force_n = given_n(&half, wanted_n(n));
    double offered_w = fmax(-evn_pull_terminals_w(&half, force_n, false), 0), charges_w = fmax(-n->load_w, 0);
    double charged_w = fmin(offered_w, half.feed.charge_w); /* a brake resistor takes the rest */
    return (evn_refused){fmax(n->limited.unit_n - force_n, 0) * n->pull.at.speed_m_s, fmax(charged_w - charges_w, 0),
                         charged_w};
}
