/* Figures of several legs, of which each is told of the leg on which it is worst. */
#include "site/ride_worst.h"
#include "site/ride_tell.h"
#include <math.h>
#include <string.h>

struct evn_ride_told {
    evn_site_name name;
    const evn_site_column *column;
    evn_site_answer answer; /* of the leg that it names */
    size_t legs;            /* that have it */
    bool differs;
    const char *doubtful_leg, *doubt; /* another, on which it is not known or not valid; NULL: none */
};

/* ------------------------------------------------------------------------------------------------ which is worse */

static bool begins_with(const char *text, const char *with) { return text && strncmp(text, with, strlen(with)) == 0; }

/* Why a figure says little of its leg; NULL: it holds. */
static const char *doubt_of(const evn_site_answer *a)
{
    return begins_with(a->why, EVN_RIDE_NOT_VALID)               ? EVN_RIDE_NOT_VALID
           : isnan(a->value) && begins_with(a->why, "not known") ? "not known"
                                                                 : NULL;
}

static double left(const evn_site_column *c, const evn_site_answer *a)
{
    return c->at_most ? a->limit - a->value : a->value - a->limit;
}

static bool is_worse(const evn_site_column *c, const evn_site_answer *a, const evn_site_answer *than)
{
    if (isnan(a->value) || isnan(than->value))
        return !isnan(a->value);
    if (!isnan(a->limit) && !isnan(than->limit))
        return left(c, a) < left(c, than);
    return c->at_most ? a->value > than->value : a->value < than->value;
}

static bool are_alike(double a, double b)
{
    static const double HAIR = 1e-9; /* of the larger: what sums in another order leave */
    return (isnan(a) && isnan(b)) || fabs(a - b) <= HAIR * fmax(fabs(a), fabs(b));
}

/* ------------------------------------------------------------------------------------------------ gathering */

static bool is_of_row(const evn_ride_told *t, const evn_site_name *name) { return strcmp(t->name.row, name->row) == 0; }

/* Where a figure is, or else where it belongs: behind the last of its row, or at the end. */
static size_t place_of(const evn_ride_worst *all, const evn_site_name *name, const char *column, bool *there)
{
    size_t behind = all->count;
    for (size_t k = 0; k < all->count; k++) {
        if (!is_of_row(&all->at[k], name))
            continue;
        *there = strcmp(all->at[k].column->key, column) == 0;
        if (*there)
            return k;
        behind = k + 1;
    }
    *there = false;
    return behind;
}

static bool make_room(evn_ride_worst *all)
{
    if (all->count < all->room)
        return true;
    size_t room = all->room ? 2 * all->room : 128;
    evn_ride_told *more = evn_site_take(all->w, room * sizeof *more);
    if (!more)
        return false;
    if (all->count > 0)
        memcpy(more, all->at, all->count * sizeof *more);
    all->at = more;
    all->room = room;
    return true;
}

static void add_beside(evn_ride_told *t, const evn_site_answer *a)
{
    bool worse = is_worse(t->column, a, &t->answer);
    const evn_site_answer *other = worse ? &t->answer : a;
    t->legs++;
    t->differs = t->differs || !are_alike(a->value, t->answer.value);
    if (!t->doubt && doubt_of(other)) {
        t->doubt = doubt_of(other);
        t->doubtful_leg = other->leg;
    }
    if (worse)
        t->answer = *a;
}

void evn_ride_worst_add(evn_ride_worst *all, const evn_site_name *name, const evn_site_column *column,
                        const evn_site_answer *a)
{
    bool there;
    size_t at = place_of(all, name, column->key, &there);
    evn_site_answer of_leg = *a;
    of_leg.leg = all->leg;
    if (there) {
        add_beside(&all->at[at], &of_leg);
        return;
    }
    if (!make_room(all))
        return;
    memmove(&all->at[at + 1], &all->at[at], (all->count - at) * sizeof *all->at);
    all->at[at] = (evn_ride_told){.name = *name, .column = column, .answer = of_leg, .legs = 1};
    all->count++;
}

/* ------------------------------------------------------------------------------------------------ telling */

static const char *joined(evn_site_work *w, const char *words, const char *more)
{
    return words && more ? evn_site_text(w, "%s; %s", words, more) : words ? words : more;
}

void evn_ride_worst_tell(const evn_ride_worst *all)
{
    for (size_t k = 0; k < all->count; k++) {
        const evn_ride_told *t = &all->at[k];
        evn_site_answer a = t->answer;
        bool named = !isnan(a.value) && (t->differs || t->legs < all->legs);
        const char *own = doubt_of(&a), *doubt = t->doubt && (!own || strcmp(own, t->doubt) != 0) ? t->doubt : NULL;
        a.leg = named ? a.leg : NULL;
        a.why = joined(all->w, a.why, a.leg);
        a.why = joined(all->w, a.why, doubt ? evn_site_text(all->w, "%s on %s", doubt, t->doubtful_leg) : NULL);
        evn_site_add(all->w, &t->name, t->column, &a);
    }
}
