/*
 * Events within a step: regula falsi for several watches at once. The end that stays twice running is given half its
 * weight (Illinois: Dowell and Jarratt, BIT 11, 1971, from memory). Where three places did not halve what is left, the
 * middle is next, and every second time from then on, until others halve it again.
 */
#include "trip/falls.h"
#include <math.h>
#include <string.h>

enum { MOST_PLACES = 200, PATIENCE = 3 };

/* Above zero at the begin: zero. Otherwise the last event left it there, and it may stay. */
static double level(double begin) { return begin > 0 ? 0 : 2 * EVN_CROSSED; }

static uint64_t falls(const evn_falls *f, const double *from, const double *to)
{
    uint64_t hit = 0;
    for (size_t k = 0; k < f->watches; k++) {
        double at = level(f->begin[k]);
        if (from[k] > at && to[k] <= at)
            hit |= UINT64_C(1) << k;
    }
    return hit;
}

uint64_t evn_falls_seen(const evn_falls *f) { return falls(f, f->begin, f->end); }

typedef struct side { /* an end of what is left of the step */
    double share, weight, g[EVN_WATCHES_MAX];
} side;

typedef struct search {
    side before, after;
    uint64_t hit;  /* watches that fall between the two */
    double wanted; /* what is to be left between them ... */
    int patience;  /* ... after so many places more, or the middle is next */
} search;

/* Where the first of them would fall on its own straight line. */
static double straight(const evn_falls *f, const search *s)
{
    double first = s->after.share, width = s->after.share - s->before.share;
    for (size_t k = 0; k < f->watches; k++) {
        if (!(s->hit >> k & 1u))
            continue;
        double over = s->before.weight * (s->before.g[k] - level(f->begin[k]));
        double under = s->after.weight * (level(f->begin[k]) - s->after.g[k]);
        first = fmin(first, s->before.share + width * over / (over + under));
    }
    return first;
}

/* A place near an end is moved in a little: once the fall is all but known, the next two places enclose it. */
static double next_place(const evn_falls *f, search *s)
{
    double low = s->before.share, high = s->after.share, margin = fmin(0.4 * f->close, 0.5 * (high - low));
    if (high - low <= s->wanted) {
        s->wanted = 0.5 * (high - low);
        s->patience = PATIENCE;
    }
    if (s->patience-- == 0) {
        s->wanted = 0.25 * (high - low);
        s->patience = 1;
        return 0.5 * (low + high);
    }
    return fmin(fmax(straight(f, s), low + margin), high - margin);
}

/* `moves` goes to the place. The other end stays; for the second time running, it counts for half. */
static void narrow(side *moves, side *stays, const side *place, bool again)
{
    *moves = *place;
    stays->weight = again ? 0.5 * stays->weight : 1;
}

double evn_falls_first(const evn_falls *f, uint64_t *hit)
{
    search s = {{0, 1, {0}}, {1, 1, {0}}, *hit, 0.5, PATIENCE};
    int last = 0;
    memcpy(s.before.g, f->begin, f->watches * sizeof *f->begin);
    memcpy(s.after.g, f->end, f->watches * sizeof *f->end);
    for (int places = 0; places < MOST_PLACES && s.after.share - s.before.share > f->close; places++) {
        side place = s.before; /* what is not asked about has not moved */
        place.share = next_place(f, &s);
        place.weight = 1;
        f->watch(f->self, place.share, s.hit, place.g);
        uint64_t fallen = falls(f, s.before.g, place.g);
        if (fallen) {
            narrow(&s.after, &s.before, &place, last > 0);
            s.hit = fallen;
        } else {
            narrow(&s.before, &s.after, &place, last < 0);
        }
        last = fallen ? 1 : -1;
    }
    *hit = s.hit;
    return s.after.share;
}
