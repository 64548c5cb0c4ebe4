/* Energies in blocks of time: noise of single rows, and whatever a moment is late or early, goes out in them. */
#include "match/match.h"
#include <math.h>

enum { BLOCKS_MOST = 20000, BLOCKS_OF_A_PART = 3 };

/* Energy of the log up to a time, and where it is then. */
static double energy_at(const evn_measured_rows *log, double time_s, size_t *near, double *place_m, double *rested_s)
{
    size_t i = *near;
    while (i + 1 < log->count && log->time_s[i + 1] <= time_s)
        i++;
    *near = i;
    *place_m = log->place_m[i];
    *rested_s = time_s - log->arrived_s[i];
    if (i + 1 == log->count)
        return log->energy_j[i];
    double share = (time_s - log->time_s[i]) / (log->time_s[i + 1] - log->time_s[i]);
    bool rests = log->arrived_s[i + 1] < log->time_s[i + 1] && log->arrived_s[i] < log->time_s[i];
    *rested_s = rests || share == 0 ? *rested_s : 0;
    *place_m += share * (log->place_m[i + 1] - log->place_m[i]);
    return log->energy_j[i] + share * (log->energy_j[i + 1] - log->energy_j[i]);
}

/* Time without power up to then; row `i` is the last up to that time. */
static double lost_at(const evn_measured_rows *log, double time_s, size_t i)
{
    if (!log->lost_s || i + 1 == log->count)
        return log->lost_s ? log->lost_s[i] : 0;
    double share = (time_s - log->time_s[i]) / (log->time_s[i + 1] - log->time_s[i]);
    return log->lost_s[i] + share * (log->lost_s[i + 1] - log->lost_s[i]);
}

bool evn_match_blocks_of(const evn_measured_rows *log, double block_s, evn_match_blocks *out, evn_arena *arena)
{
    double all_s = log->count > 0 ? log->time_s[log->count - 1] : 0, before_j = 0, before_lost_s = 0;
    size_t count = (size_t)fmin(floor(all_s / block_s + 1e-9), BLOCKS_MOST), near = 0;
    double *end_s = evn_arena_take(arena, (count + 1) * sizeof *end_s);
    double *log_j = evn_arena_take(arena, (count + 1) * sizeof *log_j);
    double *place_m = evn_arena_take(arena, (count + 1) * sizeof *place_m);
    double *rested_s = evn_arena_take(arena, (count + 1) * sizeof *rested_s);
    bool *lost = evn_arena_take(arena, (count + 1) * sizeof *lost);
    size_t *rank = evn_arena_take(arena, (count + 1) * sizeof *rank);
    if (!end_s || !log_j || !place_m || !rested_s || !lost || !rank)
        return false;
    *out = (evn_match_blocks){.block_s = block_s,
                              .end_s = end_s,
                              .place_m = place_m,
                              .rested_s = rested_s,
                              .log_j = log_j,
                              .lost = lost,
                              .rank = rank};
    if (!log->energy_j)
        return true;
    if (count == 0 && log->count > 1)
        count = 1;
    for (size_t k = 0; k < count; k++) {
        end_s[k] = k + 1 < count ? (double)(k + 1) * block_s : all_s; /* what is left over is the last one's */
        double now_j = energy_at(log, end_s[k], &near, &place_m[k], &rested_s[k]);
        double now_lost_s = lost_at(log, end_s[k], near);
        lost[k] = now_lost_s > before_lost_s;
        log_j[k] = lost[k] ? 0 : now_j - before_j;
        rank[k] = out->held;
        out->held += !lost[k];
        before_j = now_j;
        before_lost_s = now_lost_s;
    }
    out->count = count;
    out->parts = out->held / BLOCKS_OF_A_PART < EVN_MATCH_PARTS ? out->held / BLOCKS_OF_A_PART : EVN_MATCH_PARTS;
    return true;
}

void evn_match_blocks_run(const evn_match_blocks *b, const evn_modelled *run, double *run_j)
{
    size_t near = 0, near_place = 0;
    double before_j = 0;
    for (size_t k = 0; k < b->count; k++) {
        double when_s = evn_modelled_when(run, b->place_m[k], b->rested_s[k], &near_place);
        double now_j = evn_modelled_at(run, EVN_MODELLED_ENERGY, when_s, &near);
        run_j[k] = b->lost[k] ? 0 : now_j - before_j;
        before_j = now_j;
    }
}

size_t evn_match_part(const evn_match_blocks *b, size_t block) { return b->rank[block] * b->parts / b->held; }
