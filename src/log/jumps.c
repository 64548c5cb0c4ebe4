/* Pieces of altitudes that a receiver lost: they begin and end with a jump that no road makes. */
#include "log/elevation.h"
#include <math.h>

/* A jump is higher than that, than six times the scatter of a difference, and steeper than half. */
#define JUMP_M 20.0
#define SCATTERS 6.0
#define STEEPER 0.5

typedef struct desk {
    const evn_points *p;
    double jump_m;
    bool *off;
} desk;

static bool jumps(const desk *d, size_t from, size_t to)
{
    double way = fabs(d->p->x[to] - d->p->x[from]);
    return fabs(d->p->y[to] - d->p->y[from]) > d->jump_m + STEEPER * way;
}

/* The longest piece without a jump: there the heights are taken as true. */
static void longest_piece(const desk *d, size_t *first, size_t *last)
{
    *first = *last = 0;
    for (size_t i = 0, begin = 0; i < d->p->count; i++) {
        if (i > 0 && jumps(d, i - 1, i))
            begin = i;
        if (i - begin >= *last - *first) {
            *first = begin;
            *last = i;
        }
    }
}

/* From there on a piece is kept as a whole where its first point does not jump off the last that was kept. */
static void walk(const desk *d, size_t from, bool ahead)
{
    size_t kept = from, end = ahead ? d->p->count - 1 : 0;
    bool off = false;
    for (size_t i = from; i != end;) {
        size_t before = i;
        i = ahead ? i + 1 : i - 1;
        if (jumps(d, before, i))
            off = jumps(d, kept, i);
        d->off[i] = off;
        kept = off ? kept : i;
    }
}

static void drop(evn_points *p, const bool *off, evn_elevation *told, const double *time_s)
{
    size_t kept = 0, count = p->count;
    for (size_t i = 0; i < count; i++) {
        if (off[i]) {
            told->jump_s = told->jumped == 0 ? time_s[i] : told->jump_s;
            told->jumped++;
            continue;
        }
        p->x[kept] = p->x[i];
        p->y[kept++] = p->y[i];
    }
    p->count = kept;
}

bool evn_altitudes_without_jumps(evn_points *p, const double *time_s, evn_elevation *told, evn_arena *arena)
{
    double noise;
    told->measured = p->count;
    if (p->count < 3)
        return true;
    desk d = {.p = p, .off = evn_arena_take(arena, p->count)};
    if (!d.off || !evn_points_noise(p, &noise))
        return false;
    for (size_t i = 0; i < p->count; i++)
        d.off[i] = false;
    d.jump_m = fmax(JUMP_M, SCATTERS * sqrt(2.0) * noise);
    size_t first, last;
    longest_piece(&d, &first, &last);
    walk(&d, last, true);
    walk(&d, first, false);
    drop(p, d.off, told, time_s);
    told->off += told->jumped;
    return true;
}
