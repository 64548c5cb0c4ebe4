/* The answer put together from cases, and its calls. */
#include "uncertainty/answer.h"
#include "uncertainty/measure.h"
#include "uncertainty/spread.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ pairs */

static evn_pair *pair_of(const evn_uncertainty *u, size_t truck, size_t other)
{
    return &u->pair[truck * u->trucks + other];
}

static bool take_part(const evn_uncertainty *u, int basis, size_t truck, size_t other)
{
    return truck != other && (u->in[basis] >> truck & 1) && (u->in[basis] >> other & 1);
}

/* Of all that two trucks came to on a basis. */
static bool all_above_zero(const evn_case *c, size_t count, size_t truck, size_t other)
{
    for (size_t k = 0; k < count; k++)
        if (c[k].done && (c[k].value[truck] <= 0 || c[k].value[other] <= 0)) /* NAN: one that did not finish */
            return false;
    return true;
}

static evn_measure measure_of(const evn_uncertainty *u, int basis, size_t truck, size_t other)
{
    const double *compared = u->compared[basis], *nominal = u->nominal[basis], *middle = u->middle[basis];
    bool as_they_are = fmin(compared[truck], compared[other]) > 0 && fmin(nominal[truck], nominal[other]) > 0 &&
                       fmin(middle[truck], middle[other]) > 0;
    bool drawn = basis != EVN_BASIS_COMMON || u->draws == 0 ||
                 (fmin(u->drawn[truck], u->drawn[other]) > 0 && all_above_zero(u->draw, u->draws, truck, other));
    return (evn_measure){.of_ratio =
                             as_they_are && drawn && all_above_zero(u->single[basis], 2 * u->data.count, truck, other),
                         .value = compared[truck],
                         .other = compared[other]};
}

/* Room of one pair after another. */
typedef struct room {
    double *number, *sorted; /* of data or draws, whichever are more */
} room;

/* Whether there is an interval: of some data alone it would claim too much. */
static bool add_first_order(const evn_uncertainty *u, int basis, const evn_measure *m, size_t truck, size_t other,
                            const room *with)
{
    evn_pair *p = pair_of(u, truck, other);
    const evn_singles of = {u->single[basis], u->data.count, u->middle[basis]};
    const double *middle = u->middle[basis], *nominal = u->nominal[basis];
    evn_sureness *sure = &p->sure[basis][EVN_UNCERTAINTY_FIRST_ORDER];
    evn_share *s = p->share[basis];
    size_t count = evn_slopes(&of, m, truck, other, s);
    for (size_t k = 0; k < count; k++)
        with->number[k] = s[k].slope_percent;
    /* What the middle of all ranges moves at one speed is put about the difference as compared. */
    double compared = evn_measured(m, m->value, m->other);
    double moved = evn_measured(m, middle[truck], middle[other]) - evn_measured(m, nominal[truck], nominal[other]);
    evn_spread_of_slopes(compared + moved, with->number, count, sure);
    evn_spread_about(compared, sure);
    evn_shares(s, count);
    p->shares[basis] = count;
    return count == u->data.count;
}

/*
 * Whether there is an interval. What draws deviate by from the trucks as they are at the speed of the draws is put
 * about the difference as compared, as slopes are: so the lower speed does not move it.
 */
static bool add_draws(const evn_uncertainty *u, const evn_measure *m, size_t truck, size_t other, const room *with)
{
    evn_sureness *sure = &pair_of(u, truck, other)->sure[EVN_BASIS_COMMON][EVN_UNCERTAINTY_DRAWS];
    double moved = evn_measured(m, m->value, m->other) - evn_measured(m, u->drawn[truck], u->drawn[other]);
    size_t failed = 0;
    for (size_t k = 0; k < u->draws; k++) {
        with->number[k] = moved + evn_measured(m, u->draw[k].value[truck], u->draw[k].value[other]);
        failed += isnan(with->number[k]) ? 1 : 0;
    }
    if (u->draws == 0 || !evn_spread_of_draws(with->number, u->draws, with->sorted, sure))
        return false;
    evn_spread_about(evn_measured(m, m->value, m->other), sure);
    sure->failed = failed;
    sure->fails_often = (double)failed > EVN_FAILS_OFTEN * (double)u->draws;
    return true;
}

/* On a basis, on the scale. */
static void add_basis(const evn_uncertainty *u, int basis, const evn_measure *m, size_t truck, size_t other,
                      const room *with)
{
    evn_pair *p = pair_of(u, truck, other);
    bool *there = p->there[basis];
    there[EVN_UNCERTAINTY_FIRST_ORDER] = add_first_order(u, basis, m, truck, other, with);
    there[EVN_UNCERTAINTY_DRAWS] = basis == EVN_BASIS_COMMON && add_draws(u, m, truck, other, with);
    evn_uncertainty_method told = there[EVN_UNCERTAINTY_DRAWS] ? EVN_UNCERTAINTY_DRAWS : EVN_UNCERTAINTY_FIRST_ORDER;
    evn_halves(p->share[basis], p->shares[basis], there[told] ? &p->sure[basis][told] : NULL);
}

/* From the scale to per cent. */
static void tell(evn_pair *p, int basis, const evn_measure *m)
{
    for (int by = EVN_UNCERTAINTY_FIRST_ORDER; by <= EVN_UNCERTAINTY_DRAWS; by++)
        evn_measured_sureness(m, &p->sure[basis][by]);
    for (size_t k = 0; k < p->shares[basis]; k++)
        evn_measured_share(m, &p->share[basis][k]);
}

/* From the one way round, on the scale, the other. */
static void turn(const evn_pair *from, evn_pair *to, int basis)
{
    memcpy(to->there[basis], from->there[basis], sizeof to->there[basis]);
    memcpy(to->sure[basis], from->sure[basis], sizeof to->sure[basis]);
    memcpy(to->share[basis], from->share[basis], from->shares[basis] * sizeof *to->share[basis]);
    to->shares[basis] = from->shares[basis];
    for (int by = EVN_UNCERTAINTY_FIRST_ORDER; by <= EVN_UNCERTAINTY_DRAWS; by++)
        evn_sureness_turn(&to->sure[basis][by]);
    for (size_t k = 0; k < to->shares[basis]; k++)
        evn_share_turn(&to->share[basis][k]);
}

/* Both ways round. False when memory is out. */
static bool add_pair(const evn_uncertainty *u, int basis, size_t truck, size_t other, const room *with)
{
    evn_pair *p = pair_of(u, truck, other), *turned = pair_of(u, other, truck);
    evn_measure m = measure_of(u, basis, truck, other), turned_m = evn_measure_turned(&m);
    p->share[basis] = evn_arena_take(u->arena, (u->data.count + 1) * sizeof(evn_share));
    turned->share[basis] = evn_arena_take(u->arena, (u->data.count + 1) * sizeof(evn_share));
    if (!p->share[basis] || !turned->share[basis])
        return false;
    add_basis(u, basis, &m, truck, other, with);
    turn(p, turned, basis);
    tell(p, basis, &m);
    tell(turned, basis, &turned_m);
    return true;
}

/* False when memory is out. */
static bool add_pairs(const evn_uncertainty *u, const room *with)
{
    bool all = true;
    for (int basis = 0; basis < EVN_BASES; basis++)
        for (size_t i = 0; i < u->trucks; i++)
            for (size_t k = 0; all && k < i; k++)
                all = !take_part(u, basis, i, k) || add_pair(u, basis, i, k, with);
    return all;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void rank(evn_uncertainty *u)
{
    const double *value = u->compared[EVN_BASIS_COMMON];
    for (size_t i = 0; i < u->trucks; i++) {
        if (!(u->in[EVN_BASIS_COMMON] >> i & 1))
            continue;
        size_t at = u->ranked++;
        for (; at > 0 && value[u->rank[at - 1]] > value[i]; at--)
            u->rank[at] = u->rank[at - 1];
        u->rank[at] = i;
    }
}

/*
 * Up to the first that is not whole. When it was stopped, those behind it that are whole are those that kept the speed
 * at once, while those that fell short wait for their next round: they would be a sample of light trucks and low
 * losses.
 */
static void leave_out_behind_open(evn_uncertainty *u)
{
    size_t whole = 0;
    while (whole < u->draws && u->draw[whole].done)
        whole++;
    u->draws = whole;
}

/* By how much the difference of any two as they are is another at the speed of the draws than as compared. */
static double moved_by_speed(const evn_uncertainty *u)
{
    const double *compared = u->compared[EVN_BASIS_COMMON];
    const double *driven = u->draws > 0 ? u->drawn : u->nominal[EVN_BASIS_COMMON];
    double most = 0;
    for (size_t i = 0; i < u->trucks; i++)
        for (size_t k = 0; k < i; k++)
            if (take_part(u, EVN_BASIS_COMMON, i, k))
                most = fmax(most, 100 * fabs((compared[i] - compared[k]) / fabs(compared[k]) -
                                             (driven[i] - driven[k]) / fabs(driven[k])));
    return most;
}

static void count_draws(evn_uncertainty *u)
{
    u->facts.speed_moved_percent = moved_by_speed(u);
    for (size_t k = 0; k < u->draws; k++) {
        const evn_case *c = &u->draw[k];
        u->facts.draws_done += c->failed == 0;
        u->facts.failed += c->failed != 0;
        u->facts.fell_short += c->fell_short;
        u->facts.held_at_bounds += c->held;
    }
}

bool evn_answer_make(evn_uncertainty *u)
{
    size_t most = u->data.count > u->draws ? u->data.count : u->draws;
    room with = {evn_arena_take(u->arena, (most + 1) * sizeof(double)),
                 evn_arena_take(u->arena, (most + 1) * sizeof(double))};
    u->pair = evn_arena_take(u->arena, u->trucks * u->trucks * sizeof *u->pair);
    bool all = with.number && with.sorted && u->pair;
    rank(u);
    leave_out_behind_open(u);
    count_draws(u);
    return all && add_pairs(u, &with);
}

/* ------------------------------------------------------------------------------------------------ calls */

void evn_uncertainty_free(evn_uncertainty *u)
{
    if (u)
        evn_arena_free(u->arena);
}

const char *evn_uncertainty_key(const evn_uncertainty *u) { return u ? evn_comparison_decides(u->of) : NULL; }

/* NULL: no such. */
static const evn_pair *pair_at(const evn_uncertainty *u, size_t truck, size_t other, evn_basis basis)
{
    bool there = u && truck < u->trucks && other < u->trucks && (basis == EVN_BASIS_OWN || basis == EVN_BASIS_COMMON);
    return there ? pair_of(u, truck, other) : NULL;
}

/* A truck that often does not get through is called neither lower nor higher, by whatever way and on whatever basis:
 * intervals are those of trucks that do. */
static void take_word_of_failing(const evn_pair *p, evn_sureness *out)
{
    if (!p->there[EVN_BASIS_COMMON][EVN_UNCERTAINTY_DRAWS] ||
        !p->sure[EVN_BASIS_COMMON][EVN_UNCERTAINTY_DRAWS].fails_often)
        return;
    out->fails_often = true;
    out->apart = EVN_CANNOT_BE_TOLD_APART;
    out->hangs_on_draws = false;
}

bool evn_uncertainty_between(const evn_uncertainty *u, size_t truck, size_t other, evn_basis basis,
                             evn_uncertainty_method by, evn_sureness *out)
{
    const evn_pair *p = pair_at(u, truck, other, basis);
    if (!p || !out || (by != EVN_UNCERTAINTY_FIRST_ORDER && by != EVN_UNCERTAINTY_DRAWS) || !p->there[basis][by])
        return false;
    *out = p->sure[basis][by];
    take_word_of_failing(p, out);
    return true;
}

bool evn_uncertainty_of(const evn_uncertainty *u, size_t truck, size_t other, evn_basis basis, evn_sureness *out)
{
    return evn_uncertainty_between(u, truck, other, basis, EVN_UNCERTAINTY_DRAWS, out) ||
           evn_uncertainty_between(u, truck, other, basis, EVN_UNCERTAINTY_FIRST_ORDER, out);
}

size_t evn_uncertainty_ranked(const evn_uncertainty *u, size_t rank)
{
    return u && rank < u->ranked ? u->rank[rank] : SIZE_MAX;
}

evn_uncertainty_facts evn_uncertainty_how_found(const evn_uncertainty *u)
{
    return u ? u->facts : (evn_uncertainty_facts){0};
}

bool evn_uncertainty_datum_at(const evn_uncertainty *u, size_t index, evn_datum *out)
{
    if (!u || !out || index >= u->data.count)
        return false;
    *out = u->data.datum[index];
    return true;
}

bool evn_uncertainty_number_at(const evn_uncertainty *u, size_t index, evn_datum_number *out)
{
    if (!u || !out || index >= u->data.moved_count)
        return false;
    const evn_moved *moved = &u->data.moved[index];
    *out = (evn_datum_number){moved->datum,      moved->whole_path, moved->nominal,
                              moved->half_width, moved->shape,      moved->offset};
    return true;
}

bool evn_uncertainty_share_at(const evn_uncertainty *u, size_t truck, size_t other, evn_basis basis, size_t index,
                              evn_share *out)
{
    const evn_pair *p = pair_at(u, truck, other, basis);
    if (!p || !out || index >= p->shares[basis])
        return false;
    *out = p->share[basis][index];
    return true;
}

bool evn_uncertainty_failed_at(const evn_uncertainty *u, size_t truck, evn_failed_draws *out)
{
    if (!u || !out || truck >= u->trucks)
        return false;
    *out = (evn_failed_draws){.reason = u->draw_reasons.of[truck]};
    for (size_t k = 0; k < u->draws; k++)
        out->draws += u->draw[k].failed >> truck & 1;
    return out->draws > 0;
}

bool evn_uncertainty_draw_at(const evn_uncertainty *u, size_t draw, size_t truck, double *value)
{
    if (!u || !value || draw >= u->draws || truck >= u->trucks || !(u->in[EVN_BASIS_COMMON] >> truck & 1) ||
        (u->draw[draw].failed >> truck & 1))
        return false;
    *value = u->draw[draw].value[truck];
    return true;
}
