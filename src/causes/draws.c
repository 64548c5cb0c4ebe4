/*
 * Intervals of the parts: in each draw both trucks get the numbers of the draw, the hybrids are made of them anew and
 * driven at a speed of their own where they fall short of that of the hybrids as they are.
 */
#include "causes/average.h"
#include "causes/find.h"
#include "uncertainty/spread.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct drawing {
    evn_parting *of;
    const evn_uncertainty *sure;
    size_t truck[2], draws;
    evn_mixing how;
    evn_variant variant;
    evn_mixture *mixture;
    evn_arena *arena; /* of the hybrids of one draw */
    double *deviation;
    double *percent; /* [group][draw] */
} drawing;

size_t evn_causes_draws_of(const evn_uncertainty *u)
{
    if (!u || u->facts.method != EVN_UNCERTAINTY_DRAWS)
        return 0;
    return u->facts.draws_done < EVN_CAUSES_DRAWS_MOST ? u->facts.draws_done : EVN_CAUSES_DRAWS_MOST;
}

static evn_two two_of_draw(drawing *d, size_t draw)
{
    const evn_varied *varied = &d->sure->varied;
    evn_two two;
    for (size_t k = 0; k < d->sure->data.count; k++)
        for (size_t shape = 0; shape < EVN_ERROR_SHAPES; shape++)
            d->deviation[EVN_ERROR_SHAPES * k + shape] =
                evn_draw_deviation(d->sure->facts.seed, (uint32_t)draw, k, (evn_error_shape)shape);
    evn_variant_write(varied, &d->variant, d->deviation);
    for (int i = 0; i < 2; i++) {
        two.truck[i] = evn_variant_truck(varied, &d->variant, d->truck[i]);
        evn_load_case given = evn_comparison_load_case(d->sure->of, d->truck[i]);
        two.load_case[i] = evn_variant_load_case(varied, &d->variant, &given);
    }
    d->how.cycle = evn_variant_cycle(varied, &d->variant);
    return two;
}

/* ------------------------------------------------------------------------------------------------ one draw */

static bool any_late(const evn_mixture *m)
{
    for (size_t k = 0; k < m->count; k++)
        if (m->one[k].wanted && m->one[k].late)
            return true;
    return false;
}

static bool all_driven(const evn_mixture *m)
{
    for (size_t k = 0; k < m->count; k++)
        if (m->one[k].wanted && isnan(m->one[k].value))
            return false;
    return true;
}

/* Down to what all of them reach, where any is late. */
static bool drive_draw(drawing *d)
{
    evn_ceiling speed = {0};
    bool all = evn_ceiling_lower(&speed, &d->of->speed), on = true;
    for (int round = 0; all && on && round < EVN_ROUNDS_MOST; round++) {
        all = (round == 0 || evn_mixture_lower(d->mixture, &speed)) &&
              evn_mixture_drive(d->mixture, &d->how, &speed, EVN_DRAW_LATE_SHARE);
        on = all && !evn_runs_stopped(d->how.runs) && all_driven(d->mixture) && any_late(d->mixture);
        if (on)
            *d->how.to_come += evn_mixture_want(d->mixture, d->of->group);
    }
    evn_ceiling_clear(&speed);
    return all;
}

static void take_parts(drawing *d, size_t draw)
{
    double value[EVN_HYBRIDS_MOST], part[EVN_CAUSE_COUNT];
    const evn_mixture *m = d->mixture;
    for (unsigned groups = 0; groups < 1u << d->of->groups; groups++)
        value[groups] = m->one[m->place[evn_parting_set(d->of, groups)]].value;
    evn_average_over_orders(value, d->of->groups, part);
    for (size_t g = 0; g < d->of->groups; g++)
        d->percent[g * d->draws + draw] = 100 * part[g] / fabs(value[0]);
}

/* A draw with a hybrid that cannot be driven counts nowhere; one with a hybrid that is late still when rounds ran out
 * counts, and is told. */
static bool take_draw(drawing *d, size_t draw)
{
    evn_arena_clear(d->arena);
    const evn_two two = two_of_draw(d, draw);
    bool all = evn_mixture_make(&two, d->arena, d->mixture);
    if (all) {
        evn_mixture_want(d->mixture, d->of->group);
        all = drive_draw(d);
    }
    bool whole = all && !evn_runs_stopped(d->how.runs), counts = whole && all_driven(d->mixture);
    if (counts)
        take_parts(d, draw);
    d->of->facts.draws_done += whole;
    d->of->facts.draws_failed += whole && !counts;
    d->of->facts.draws_late += counts && any_late(d->mixture);
    evn_mixture_end(d->mixture);
    return all;
}

/* ------------------------------------------------------------------------------------------------ all of them */

/* Exactly nothing in all draws that count. */
static bool is_nothing(const double *percent, size_t draws)
{
    for (size_t k = 0; k < draws; k++)
        if (!isnan(percent[k]) && percent[k] != 0)
            return false;
    return true;
}

/* What is alike as written is nothing by construction: where its data err apart all the same, no interval is told. */
static void tell_intervals(drawing *d, double *sorted)
{
    for (size_t g = 0; g < d->of->groups; g++) {
        evn_sureness is;
        evn_part_sure *to = &d->of->sure[g];
        if (d->of->alike[g] && !is_nothing(&d->percent[g * d->draws], d->draws))
            continue;
        to->there = evn_spread_of_draws(&d->percent[g * d->draws], d->draws, sorted, &is);
        if (to->there) {
            to->low_percent = d->of->alike[g] ? 0 : is.low_percent; /* no zero with a sign */
            to->high_percent = d->of->alike[g] ? 0 : is.high_percent;
        }
    }
}

static bool take_all(drawing *d)
{
    bool all = true;
    for (size_t k = 0; k < d->of->groups * d->draws; k++)
        d->percent[k] = (double)NAN;
    for (size_t draw = 0; all && draw < d->draws && !evn_runs_stopped(d->how.runs); draw++)
        all = take_draw(d, draw);
    return all;
}

bool evn_parting_draws(evn_parting *p, const evn_uncertainty *u, const size_t truck[2], const evn_mixing *how,
                       evn_report *report)
{
    drawing d = {.of = p, .sure = u, .truck = {truck[0], truck[1]}, .draws = evn_causes_draws_of(u), .how = *how};
    evn_arena *own = evn_arena_new();
    p->facts.draws_asked = d.draws;
    d.arena = own ? evn_arena_within(own) : NULL;
    d.mixture = calloc(1, sizeof *d.mixture);
    d.deviation = own ? evn_arena_take(own, (EVN_ERROR_SHAPES * u->data.count + 1) * sizeof(double)) : NULL;
    d.percent = own ? evn_arena_take(own, (EVN_CAUSE_COUNT + 1) * d.draws * sizeof(double)) : NULL;
    bool all = d.arena && d.mixture && d.deviation && d.percent &&
               evn_variant_make(&u->varied, own, &d.variant, report) && take_all(&d);
    if (all)
        tell_intervals(&d, &d.percent[EVN_CAUSE_COUNT * d.draws]);
    free(d.mixture);
    if (own)
        evn_arena_free(own);
    return all;
}
