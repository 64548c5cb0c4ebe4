/* So many cases at once: numbers written, rigs made, driven, judged; those that fell short again, below what they
 * reached. */
#include "uncertainty/cases.h"
#include "lineup/outcome.h"
#include "uncertainty/shape.h"
#include "uncertainty/sobol.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Rows of the speeds that each run reached are kept while it is at hand. */
enum { RUNS_AT_ONCE = 96, CASES_LEAST = 4 };

typedef struct seat { /* of a case that is at hand */
    evn_case *of;
    evn_variant variant;
    evn_ceiling own;    /* once it fell short: instead of the speed of all */
    bool looked_at;     /* its speeds are taken, for one of its own to be made of */
    uint64_t drives;    /* trucks of the next round */
    size_t first, runs; /* of it, in the list of this round */
    evn_rig *made[EVN_LINEUP_MOST];
    evn_reach reach[EVN_LINEUP_MOST];
    evn_sampler sampler[EVN_LINEUP_MOST];
} seat;

typedef struct hand {
    evn_cases *with;
    evn_arena *arena;
    seat *seat;
    size_t seats, count; /* that there are, and that are taken */
    evn_run *run;
    size_t *truck; /* of each run */
    size_t runs;
    double *deviation;
} hand;

size_t evn_count_of(uint64_t trucks)
{
    size_t count = 0;
    for (; trucks != 0; trucks &= trucks - 1)
        count++;
    return count;
}

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    return false;
}

static bool is_common(const hand *h) { return h->with->basis == EVN_BASIS_COMMON; }

static const evn_ceiling *speed_of(const hand *h, const seat *s) { return s->own.count > 0 ? &s->own : h->with->speed; }

/* ------------------------------------------------------------------------------------------------ numbers */

double evn_draw_deviation(uint64_t seed, uint32_t draw, size_t datum, evn_error_shape shape)
{
    return evn_deviation(shape, evn_sobol(seed, draw % EVN_DRAW_GROUPS, draw / EVN_DRAW_GROUPS, (uint32_t)datum));
}

static double deviation_of(const evn_cases *with, const evn_case *c, size_t datum, evn_error_shape shape)
{
    if (c->kind == EVN_CASE_DRAW)
        return evn_draw_deviation(with->seed, c->number, datum, shape);
    bool moves = c->kind != EVN_CASE_MIDDLE && datum == c->number;
    return moves ? (c->kind == EVN_CASE_UP ? 1 : -1) * evn_standard_share(shape) : 0;
}

static void write_numbers(hand *h, seat *s)
{
    const evn_varied *of = h->with->of;
    bool nominal = s->of->kind == EVN_CASE_NOMINAL;
    for (size_t d = 0; !nominal && d < of->data->count; d++)
        for (size_t shape = 0; shape < EVN_ERROR_SHAPES; shape++)
            h->deviation[EVN_ERROR_SHAPES * d + shape] = deviation_of(h->with, s->of, d, (evn_error_shape)shape);
    s->of->held = evn_variant_write(of, &s->variant, nominal ? NULL : h->deviation);
}

/* ------------------------------------------------------------------------------------------------ a round */

/* False when memory is out. */
static bool add_run(hand *h, seat *s, size_t truck)
{
    const evn_varied *of = h->with->of;
    const evn_comparison *compared = h->with->compared;
    bool moved = s->of->moves >> truck & 1;
    evn_load_case given = evn_comparison_load_case(compared, truck);
    evn_run *run = &h->run[h->runs];
    *run = (evn_run){.rig = moved ? s->made[truck] : evn_comparison_rig(compared, truck),
                     .truck = evn_variant_truck(of, &s->variant, truck),
                     .load_case = evn_variant_load_case(of, &s->variant, &given),
                     .cycle = evn_variant_cycle(of, &s->variant),
                     .driving = evn_comparison_asks(compared)->driving,
                     .report = evn_report_new()};
    if (is_common(h))
        evn_common_ask(run, speed_of(h, s));
    h->truck[h->runs++] = truck;
    s->runs++;
    return run->report;
}

static bool add_runs(hand *h)
{
    bool all = true;
    h->runs = 0;
    for (size_t k = 0; k < h->count; k++) {
        seat *s = &h->seat[k];
        s->first = h->runs;
        s->runs = 0;
        for (size_t i = 0; !s->of->done && i < h->with->of->trucks; i++)
            if (s->drives >> i & 1)
                all = add_run(h, s, i) && all;
    }
    return all;
}

/* The truck takes no further part in the case; the others go on. */
static void fail(hand *h, seat *s, size_t truck, const char *why)
{
    char *reason = h->with->reasons->of[truck];
    s->of->failed |= UINT64_C(1) << truck;
    s->of->value[truck] = (double)NAN;
    if (reason[0] == '\0')
        snprintf(reason, EVN_FINDING_BYTES, "%s", why);
}

static bool has_failed(const seat *s, size_t truck) { return s->of->failed >> truck & 1; }

/* Rigs and samplers of the runs of a case. */
static void make_ready(hand *h, seat *s)
{
    for (size_t k = s->first; k < s->first + s->runs; k++) {
        evn_run *run = &h->run[k];
        size_t truck = h->truck[k];
        if (run->made)
            run->rig = s->made[truck] = run->made;
        run->made = NULL;
        if (!run->rig)
            fail(h, s, truck, evn_outcome_why(run->report));
        else if (s->looked_at)
            s->sampler[truck] = evn_reach_sampler(&s->reach[truck], run->rig);
        run->sampler = &s->sampler[truck];
        run->samplers = s->looked_at ? 1 : 0;
    }
}

static void forget(evn_run *run)
{
    evn_run_forget(run);
    evn_report_free(run->report);
}

/* Runs of trucks that could not be made ready are not driven. */
static void leave_out_failed(hand *h)
{
    size_t kept = 0;
    for (size_t k = 0; k < h->count; k++) {
        seat *s = &h->seat[k];
        size_t first = kept;
        for (size_t r = s->first; r < s->first + s->runs; r++) {
            if (!has_failed(s, h->truck[r])) {
                h->truck[kept] = h->truck[r];
                h->run[kept++] = h->run[r];
            } else {
                forget(&h->run[r]);
            }
        }
        s->first = first;
        s->runs = kept - first;
    }
    *h->with->to_come -= h->runs - kept;
    if (kept < h->runs)
        evn_runs_expect(h->with->runs, *h->with->to_come);
    h->runs = kept;
}

/* ------------------------------------------------------------------------------------------------ judging */

static void note_open_balance(hand *h, const evn_run *run)
{
    evn_finding found;
    char *open = h->with->open;
    for (size_t i = 0; open[0] == '\0' && evn_report_at(run->report, i, &found); i++)
        if (strcmp(found.fault, evn_fault_rows[EVN_FAULT_OPEN_BALANCE].name) == 0) {
            snprintf(open, EVN_FINDING_BYTES, "%s", found.text);
            h->with->open_in = h->truck[run - h->run];
        }
}

static bool was_interrupted(const hand *h, const seat *s)
{
    for (size_t k = s->first; k < s->first + s->runs; k++)
        if (strcmp(h->run[k].status, "interrupted") == 0)
            return true;
    return false;
}

/* What the runs of a case came to. */
static void take_values(hand *h, seat *s)
{
    const char *key = evn_comparison_decides(h->with->compared);
    for (size_t k = s->first; k < s->first + s->runs; k++) {
        const evn_run *run = &h->run[k];
        size_t truck = h->truck[k];
        note_open_balance(h, run);
        if (strcmp(run->status, "finished") != 0)
            fail(h, s, truck, evn_outcome_why(run->report));
        else if (!evn_results_get(run->results, key, &s->of->value[truck]))
            fail(h, s, truck, "its runs have no result to be judged by");
    }
}

/* Bit i: truck i did not keep the speed in this round. */
static uint64_t too_slow(const hand *h, const seat *s)
{
    uint64_t slow = 0;
    for (size_t k = s->first; is_common(h) && k < s->first + s->runs; k++) {
        bool keeps = has_failed(s, h->truck[k]) || evn_is_in_time(h->run[k].results, EVN_DRAW_LATE_SHARE);
        slow |= (uint64_t)!keeps << h->truck[k];
    }
    return slow;
}

/* Down to what its trucks have reached; those that are not moved are driven then too. False when memory is out. */
static bool lower(const hand *h, seat *s)
{
    evn_ceiling own = {0};
    bool all = evn_ceiling_lower(&own, speed_of(h, s));
    for (size_t k = s->first; all && k < s->first + s->runs; k++)
        all = has_failed(s, h->truck[k]) || evn_ceiling_lower(&own, &s->reach[h->truck[k]].speeds);
    evn_common_thin(&own);
    evn_ceiling_clear(&s->own);
    s->own = own;
    s->drives = h->with->in & ~s->of->failed;
    return all;
}

/* Those that were too slow once more, their speeds taken; then all of them below what these reached. False when memory
 * is out. */
static bool go_on_lower(const hand *h, seat *s, uint64_t slow)
{
    bool all = true;
    s->of->fell_short = true;
    if (s->looked_at)
        all = lower(h, s);
    else
        s->drives = slow;
    s->looked_at = true;
    *h->with->to_come += evn_count_of(s->drives);
    return all;
}

/* False when memory is out. */
static bool judge(hand *h, seat *s, bool last)
{
    for (size_t k = s->first; k < s->first + s->runs; k++)
        if (s->reach[h->truck[k]].out_of_memory)
            return false;
    if (s->of->done || was_interrupted(h, s))
        return true;
    take_values(h, s);
    uint64_t slow = too_slow(h, s);
    if (slow != 0 && !last)
        return go_on_lower(h, s, slow);
    s->of->done = true;
    return true;
}

/* False when memory is out. */
static bool drive_round(hand *h, bool last)
{
    bool all = add_runs(h);
    if (all)
        evn_runs_prepare(h->with->runs, h->run, h->runs);
    for (size_t k = 0; all && k < h->count; k++)
        make_ready(h, &h->seat[k]);
    if (all) {
        leave_out_failed(h);
        evn_runs_drive(h->with->runs, h->run, h->runs);
        *h->with->to_come -= h->runs;
    }
    for (size_t k = 0; all && k < h->count; k++)
        all = judge(h, &h->seat[k], last);
    for (size_t k = 0; k < h->runs; k++)
        forget(&h->run[k]);
    if (all)
        evn_runs_expect(h->with->runs, *h->with->to_come);
    return all;
}

/* ------------------------------------------------------------------------------------------------ at hand */

static void take_seat(hand *h, evn_case *c)
{
    seat *s = &h->seat[h->count++];
    s->of = c;
    s->looked_at = false;
    s->drives = c->kind == EVN_CASE_NOMINAL || c->kind == EVN_CASE_MIDDLE ? h->with->in : c->moves;
    memcpy(c->value, h->with->middle, sizeof c->value);
    write_numbers(h, s);
}

static void leave_seat(seat *s)
{
    for (size_t i = 0; i < EVN_LINEUP_MOST; i++) {
        evn_rig_free(s->made[i]);
        evn_reach_end(&s->reach[i]);
        s->made[i] = NULL;
        s->reach[i] = (evn_reach){0};
    }
    evn_ceiling_clear(&s->own);
}

static bool any_open(const hand *h)
{
    for (size_t k = 0; k < h->count; k++)
        if (!h->seat[k].of->done)
            return true;
    return false;
}

/* False when memory is out. */
static bool hand_out_speed(const hand *h, evn_ceiling *to)
{
    bool all = true;
    for (size_t k = 0; all && k < h->count; k++)
        all = h->seat[k].own.count == 0 || evn_ceiling_lower(to, &h->seat[k].own);
    evn_common_thin(to);
    return all;
}

/* False when memory is out. */
static bool drive_hand(hand *h, evn_case *c, size_t count, evn_ceiling *speed_out)
{
    bool all = true;
    h->count = 0;
    for (size_t k = 0; k < count; k++)
        take_seat(h, &c[k]);
    for (int round = 1; all && any_open(h) && !evn_runs_stopped(h->with->runs); round++)
        all = drive_round(h, round > EVN_ROUNDS_MOST); /* one more than compare: the first takes no speeds */
    if (all && speed_out)
        all = hand_out_speed(h, speed_out);
    for (size_t k = 0; k < count; k++)
        leave_seat(&h->seat[k]);
    return all;
}

/* False (said) when memory is out. */
static bool hand_begin(hand *h, evn_cases *with, size_t cases, evn_report *report)
{
    size_t trucks = with->of->trucks, usual = RUNS_AT_ONCE / trucks;
    usual = usual > CASES_LEAST ? usual : CASES_LEAST;
    *h = (hand){.with = with, .arena = evn_arena_new(), .seats = cases < usual ? cases : usual};
    if (!h->arena)
        return no_memory(report);
    h->seat = evn_arena_take(h->arena, h->seats * sizeof *h->seat);
    h->run = evn_arena_take(h->arena, h->seats * trucks * sizeof *h->run);
    h->truck = evn_arena_take(h->arena, h->seats * trucks * sizeof *h->truck);
    h->deviation = evn_arena_take(h->arena, (EVN_ERROR_SHAPES * with->of->data->count + 1) * sizeof *h->deviation);
    if (!h->seat || !h->run || !h->truck || !h->deviation)
        return no_memory(report);
    bool all = true;
    for (size_t k = 0; all && k < h->seats; k++)
        all = evn_variant_make(with->of, h->arena, &h->seat[k].variant, report);
    return all;
}

bool evn_cases_drive(evn_cases *with, evn_case *list, size_t count, evn_ceiling *speed_out, evn_report *report)
{
    hand h;
    if (count == 0)
        return true;
    bool begun = hand_begin(&h, with, count, report), all = begun;
    for (size_t done = 0; all && done < count && !evn_runs_stopped(with->runs); done += h.seats) {
        size_t left = count - done;
        all = drive_hand(&h, &list[done], left < h.seats ? left : h.seats, speed_out) || no_memory(report);
    }
    if (h.arena)
        evn_arena_free(h.arena);
    return all;
}
