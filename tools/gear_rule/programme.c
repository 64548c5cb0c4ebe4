/* A dynamic programme over the settings of drive units: legs forward, each joint setting with the best way to it. */
#include "programme.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct way {  /* the best one to a joint setting */
    double weighed_j; /* its cost, and so much more for each change */
    evn_account account;
} way;

/* Between legs, of one unit. */
static void add_change(evn_account *a, const evn_programme_change *c, const evn_leg *leg)
{
    double energy_j = c->energy_j_s2_m2 * leg->v2;
    a->energy_j += energy_j;
    a->cost_j += energy_j + c->wear_j;
    a->standing_j += leg->standing ? c->wear_j : 0;
    a->gears += c->gears;
    a->others += c->others;
}

static void add_leg(evn_account *a, const evn_leg *leg, double energy_j)
{
    a->energy_j += energy_j;
    a->cost_j += energy_j;
    a->standing_j += leg->standing ? energy_j : 0;
}

evn_account evn_programme_driven(const evn_programme *p)
{
    evn_account a = {0};
    for (size_t i = 0; i < p->legs; i++) {
        size_t from = i > 0 ? p->leg[i - 1].driven : p->leg[0].driven, to = p->leg[i].driven;
        for (size_t u = 0; u < p->units; u++) {
            size_t n = p->settings[u], f = from % n, t = to % n;
            if (f != t)
                add_change(&a, &p->change[u][f * n + t], &p->leg[i]);
            from /= n;
            to /= n;
        }
        add_leg(&a, &p->leg[i], p->leg_j[i * p->joint + p->leg[i].driven]);
    }
    return a;
}

/* Changes of one unit, the others as they are: from[] to to[]. */
static void change_unit(const evn_programme *p, size_t unit, size_t stride, const evn_leg *leg, double per_change_j,
                        const way from[], way to[])
{
    size_t n = p->settings[unit];
    for (size_t s = 0; s < p->joint; s++) {
        size_t at = s / stride % n, base = s - at * stride, best = at;
        double least_j = from[s].weighed_j;
        for (size_t k = 0; k < n; k++) {
            const evn_programme_change *c = &p->change[unit][k * n + at];
            double j = from[base + k * stride].weighed_j + c->energy_j_s2_m2 * leg->v2 + c->wear_j +
                       per_change_j * (c->gears + c->others);
            if (k != at && j < least_j) {
                least_j = j;
                best = k;
            }
        }
        to[s] = from[base + best * stride];
        to[s].weighed_j = least_j;
        if (best != at)
            add_change(&to[s].account, &p->change[unit][best * n + at], leg);
    }
}

bool evn_programme_least(const evn_programme *p, double per_change_j, evn_account *out)
{
    way *room = malloc(2 * p->joint * sizeof *room), *now = room, *next = room + p->joint;
    if (!room)
        return false;
    for (size_t s = 0; s < p->joint; s++)
        now[s] = (way){s == p->leg[0].driven ? 0 : EVN_PROGRAMME_NEVER_J, {0}};
    for (size_t i = 0; i < p->legs; i++) {
        size_t stride = 1;
        for (size_t u = 0; u < p->units; u++) {
            change_unit(p, u, stride, &p->leg[i], per_change_j, now, next);
            way *spare = now;
            now = next;
            next = spare;
            stride *= p->settings[u];
        }
        for (size_t s = 0; s < p->joint; s++) {
            double j = p->leg_j[i * p->joint + s];
            now[s].weighed_j = fmin(now[s].weighed_j + j, EVN_PROGRAMME_NEVER_J);
            add_leg(&now[s].account, &p->leg[i], j);
        }
    }
    size_t best = 0;
    for (size_t s = 1; s < p->joint; s++)
        if (now[s].weighed_j < now[best].weighed_j)
            best = s;
    *out = now[best].account;
    free(room);
    return true;
}

bool evn_programme_within(const evn_programme *p, unsigned long changes, evn_account *best, double *bound_j)
{
    enum { HALVINGS = 24 };
    double low_j = 0, high_j = 1e3;
    evn_account a;
    if (!evn_programme_least(p, 0, best))
        return false;
    *bound_j = best->cost_j;
    if (evn_changes_of(best) <= changes)
        return true;
    do { /* a multiplier that is high enough: no change but those that must be */
        high_j *= 10;
        if (!evn_programme_least(p, high_j, best))
            return false;
        *bound_j = fmax(*bound_j, best->cost_j + high_j * ((double)evn_changes_of(best) - (double)changes));
    } while (evn_changes_of(best) > changes && high_j < 1e9);
    for (int k = 0; k < HALVINGS && evn_changes_of(best) != changes; k++) {
        double middle_j = 0.5 * (low_j + high_j), more;
        if (!evn_programme_least(p, middle_j, &a))
            return false;
        more = (double)evn_changes_of(&a) - (double)changes;
        *bound_j = fmax(*bound_j, a.cost_j + middle_j * more);
        if (more > 0) {
            low_j = middle_j;
        } else {
            high_j = middle_j;
            *best = a;
        }
    }
    return true;
}
