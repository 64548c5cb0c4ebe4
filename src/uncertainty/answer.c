/* The answer put together from cases, and its calls. */
#include "uncertainty/answer.h"
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

/* Room of one pair after another. */
typedef struct room {
    double *number, *sorted; /* of data or draws, whichever are more */
} room;

/* False when memory is out. */
static bool add_first_order(evn_uncertainty *u, int basis, size_t truck, size_t other, const room *with)
{
    evn_pair *p = pair_of(u, truck, other);
    const evn_singles of = {u->single[basis], u->data.count, u->middle[basis]};
    double nominal = evn_percent_between(u->compared[basis], truck, other);
    double mean = nominal + (evn_percent_between(u->middle[basis], truck, other) -
                             evn_percent_between(u->nominal[basis], truck, other));
    evn_share *s = evn_arena_take(u->arena, (u->data.count + 1) * sizeof *s);
    if (!s)
        return false;
    size_t count = evn_slopes(&of, truck, other, s);
    bool all = count == u->data.count;
    for (size_t k = 0; k < count; k++)
        with->number[k] = s[k].slope_percent;
    evn_sureness *sure = &p->sure[basis][EVN_UNCERTAINTY_FIRST_ORDER];
    evn_spread_of_slopes(mean, with->number, count, sure);
    evn_spread_about(nominal, sure);
    p->there[basis][EVN_UNCERTAINTY_FIRST_ORDER] = all; /* of some data alone it would claim too much */
    evn_shares(s, count, mean, all, with->number);
    p->share[basis] = s;
    p->shares[basis] = count;
    return true;
}

static void add_draws(evn_uncertainty *u, size_t truck, size_t other, const room *with)
{
    evn_pair *p = pair_of(u, truck, other);
    evn_sureness *sure = &p->sure[EVN_BASIS_COMMON][EVN_UNCERTAINTY_DRAWS];
    for (size_t k = 0; k < u->draws; k++)
        with->number[k] =
            u->draw[k].end == EVN_CASE_DONE ? evn_percent_between(u->draw[k].value, truck, other) : (double)NAN;
    p->there[EVN_BASIS_COMMON][EVN_UNCERTAINTY_DRAWS] =
        u->draws > 0 && evn_spread_of_draws(with->number, u->draws, with->sorted, sure);
    evn_spread_about(evn_percent_between(u->compared[EVN_BASIS_COMMON], truck, other), sure);
}

/* False when memory is out. */
static bool add_pair(evn_uncertainty *u, size_t truck, size_t other, const room *with)
{
    bool all = true;
    for (int basis = 0; all && basis < EVN_BASES; basis++)
        if (take_part(u, basis, truck, other))
            all = add_first_order(u, basis, truck, other, with);
    if (all && take_part(u, EVN_BASIS_COMMON, truck, other))
        add_draws(u, truck, other, with);
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
    while (whole < u->draws && u->draw[whole].end != EVN_CASE_OPEN)
        whole++;
    u->draws = whole;
}

static void count_draws(evn_uncertainty *u)
{
    for (size_t k = 0; k < u->draws; k++) {
        const evn_case *c = &u->draw[k];
        u->facts.draws_done += c->end == EVN_CASE_DONE;
        u->facts.failed += c->end == EVN_CASE_FAILED;
        u->facts.fell_short += c->fell_short;
        u->facts.held_at_bounds += c->end == EVN_CASE_DONE ? c->held : 0;
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
    for (size_t i = 0; all && i < u->trucks; i++)
        for (size_t k = 0; all && k < u->trucks; k++)
            all = add_pair(u, i, k, &with);
    return all;
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

bool evn_uncertainty_between(const evn_uncertainty *u, size_t truck, size_t other, evn_basis basis,
                             evn_uncertainty_method by, evn_sureness *out)
{
    const evn_pair *p = pair_at(u, truck, other, basis);
    if (!p || !out || (by != EVN_UNCERTAINTY_FIRST_ORDER && by != EVN_UNCERTAINTY_DRAWS) || !p->there[basis][by])
        return false;
    *out = p->sure[basis][by];
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

bool evn_uncertainty_draw_at(const evn_uncertainty *u, size_t draw, size_t truck, double *value)
{
    if (!u || !value || draw >= u->draws || truck >= u->trucks || u->draw[draw].end != EVN_CASE_DONE ||
        !(u->in[EVN_BASIS_COMMON] >> truck & 1))
        return false;
    *value = u->draw[draw].value[truck];
    return true;
}
