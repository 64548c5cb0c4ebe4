/* Which trucks of a comparison can be told apart. */
#include "show/compare_sureness.h"
#include <math.h>
#include <string.h>

enum { TRUCKS_MOST = 12, MORE_DRAWS = 4 };

/* ------------------------------------------------------------------------------------------------ the rule */

bool evn_compare_sure_between(const evn_uncertainty *of, size_t truck, size_t other, evn_basis basis,
                              evn_uncertainty_method by, evn_sureness *out)
{
    return by == EVN_UNCERTAINTY_OFF ? evn_uncertainty_of(of, truck, other, basis, out)
                                     : evn_uncertainty_between(of, truck, other, basis, by, out);
}

/* Less than so many percentage points of the first truck's use are too little to tell: common practice, no source. Only
 * for data that are taken as they are stated; what is not known of them moves a difference by more (is_open). */
static evn_apart by_points(double points)
{
    if (!(fabs(points) >= EVN_BESIDE_CLOSE_POINTS))
        return EVN_CANNOT_BE_TOLD_APART;
    return points < 0 ? EVN_IS_LOWER : EVN_IS_HIGHER;
}

/* Not found, though nobody went without: too much to find unasked, or stopped or failed before it was. No width stands
 * in for it: the ends of the intervals of shipped lineups lie up to 5 points from the difference
 * (tools/benchmark/sureness.csv), and what files state of their own data may move it further. */
static bool is_open(const evn_compare_story *story)
{
    return story->sure == EVN_SURE_NOT_FOUND || story->sure == EVN_SURE_TOO_MUCH ||
           (story->uncertainty && evn_uncertainty_how_found(story->uncertainty).partial);
}

bool evn_compare_tell_apart(const evn_compare_story *story, size_t truck, size_t other, evn_basis basis,
                            evn_compare_apart *out)
{
    double use = evn_compare_use(story, truck, basis), of_other = evn_compare_use(story, other, basis);
    double of_first = evn_compare_use(story, 0, basis);
    if (isnan(use) || isnan(of_other))
        return false;
    *out = (evn_compare_apart){.percent = 100 * (use - of_other) / fabs(of_other)};
    out->sure = evn_compare_sure_between(story->uncertainty, truck, other, basis, EVN_UNCERTAINTY_OFF, &out->sureness);
    out->open = !out->sure && is_open(story);
    out->is = out->sure   ? out->sureness.apart
              : out->open ? EVN_CANNOT_BE_TOLD_APART
                          : by_points(100 * (use - of_other) / fabs(isnan(of_first) ? of_other : of_first));
    return true;
}

/* ------------------------------------------------------------------------------------------------ which lead */

/* Whether a truck cannot be told apart from any of some others. */
static bool joins(const evn_compare_story *story, size_t truck, evn_basis basis, const size_t *other, size_t count)
{
    evn_compare_apart apart;
    for (size_t k = 0; k < count; k++)
        if (!evn_compare_tell_apart(story, truck, other[k], basis, &apart) || apart.is != EVN_CANNOT_BE_TOLD_APART)
            return false;
    return true;
}

size_t evn_compare_leading(const evn_compare_story *story, evn_basis basis, bool meeting, size_t *truck)
{
    size_t ranked = evn_compare_rank(story, basis, meeting, truck), leading = 0;
    for (size_t k = 0; k < ranked; k++)
        if (joins(story, truck[k], basis, truck, leading))
            truck[leading++] = truck[k];
    return leading;
}

bool evn_compare_best_pair(const evn_compare_story *story, evn_compare_pair *out)
{
    size_t truck[TRUCKS_MOST];
    for (int meeting = evn_compare_demands(story); meeting >= 0; meeting--)
        for (int basis = EVN_BASIS_COMMON; basis >= EVN_BASIS_OWN; basis--)
            if (evn_compare_rank(story, (evn_basis)basis, meeting == 1, truck) >= 2) {
                *out = (evn_compare_pair){truck[0], truck[1]};
                return true;
            }
    return false;
}

bool evn_compare_deciding_pair(const evn_compare_story *story, evn_compare_pair *out)
{
    size_t against = evn_compare_held_against(story, evn_compare_told_basis(story));
    bool there = evn_compare_best_pair(story, out);
    if (there && out->truck == against)
        *out = (evn_compare_pair){out->other, against};
    return there;
}

bool evn_compare_pair_at(const evn_compare_story *story, size_t index, evn_compare_pair *out)
{
    size_t count = evn_lineup_truck_count(story->lineup);
    size_t against = evn_compare_held_against(story, evn_compare_told_basis(story));
    against = against < count ? against : 0;
    if (index + 1 < count) {
        *out = (evn_compare_pair){index < against ? index : index + 1, against};
        return true;
    }
    return index + 1 == count && evn_compare_best_pair(story, out) && out->truck != against && out->other != against;
}

bool evn_compare_shares_basis(const evn_compare_story *story, const evn_compare_pair *pair, evn_basis *out)
{
    evn_share share;
    for (int basis = EVN_BASIS_COMMON; basis >= EVN_BASIS_OWN; basis--)
        if (evn_uncertainty_share_at(story->uncertainty, pair->truck, pair->other, (evn_basis)basis, 0, &share)) {
            *out = (evn_basis)basis;
            return true;
        }
    return false;
}

/* Whether the word of a truck against another hangs on the draws; others it cannot turn. */
static bool hangs(const evn_compare_story *story, size_t truck, size_t other, evn_compare_pair *out)
{
    evn_sureness is;
    *out = (evn_compare_pair){truck, other};
    return truck != other &&
           evn_compare_sure_between(story->uncertainty, truck, other, EVN_BASIS_COMMON, EVN_UNCERTAINTY_DRAWS, &is) &&
           is.hangs_on_draws;
}

bool evn_compare_hangs(const evn_compare_story *story, evn_compare_pair *out)
{
    size_t truck[TRUCKS_MOST], count = evn_lineup_truck_count(story->lineup);
    for (size_t k = 0; evn_compare_pair_at(story, k, out); k++)
        if (hangs(story, out->truck, out->other, out))
            return true;
    for (int meeting = 0; meeting <= 1; meeting++) {
        size_t leading = evn_compare_leading(story, EVN_BASIS_COMMON, meeting == 1, truck);
        for (size_t k = 0; k < leading; k++)
            for (size_t i = 0; i < count; i++)
                if (hangs(story, truck[k], i, out))
                    return true;
    }
    return false;
}

size_t evn_compare_more_draws(const evn_compare_story *story)
{
    size_t more = MORE_DRAWS * evn_uncertainty_how_found(story->uncertainty).draws_asked;
    return more < EVN_DRAWS_MOST ? more : EVN_DRAWS_MOST;
}

/* ------------------------------------------------------------------------------------------------ beside */

evn_compare_story evn_compare_story_there(const evn_compare_story *story)
{
    evn_compare_story there = *story;
    there.lineup = story->beside_lineup;
    there.comparison = story->beside_comparison;
    there.uncertainty = story->beside_uncertainty;
    there.causes = story->beside_causes;
    there.beside_lineup = NULL;
    there.beside = NULL;
    there.beside_comparison = NULL;
    there.beside_uncertainty = NULL;
    there.beside_causes = NULL;
    return there;
}

bool evn_compare_beside_sure(const evn_compare_story *story, evn_beside_side side, size_t truck,
                             const evn_beside_truck *is, evn_sureness *out)
{
    bool there = side == EVN_BESIDE_THERE;
    return truck > 0 &&
           evn_compare_sure_between(there ? story->beside_uncertainty : story->uncertainty,
                                    there ? is->place_there : truck, 0, EVN_BASIS_COMMON, EVN_UNCERTAINTY_OFF, out);
}

/* Whether two trucks, by their places here, lie too close on a side. */
static bool too_close(const evn_compare_story *story, evn_beside_side side, size_t truck, size_t other)
{
    const evn_uncertainty *of = side == EVN_BESIDE_HERE ? story->uncertainty : story->beside_uncertainty;
    evn_beside_truck one, two;
    evn_sureness sure;
    if (!evn_beside_truck_at(story->beside, truck, &one) || !evn_beside_truck_at(story->beside, other, &two))
        return true;
    bool there = side == EVN_BESIDE_THERE;
    if (evn_compare_sure_between(of, there ? one.place_there : truck, there ? two.place_there : other, EVN_BASIS_COMMON,
                                 EVN_UNCERTAINTY_OFF, &sure))
        return sure.apart == EVN_CANNOT_BE_TOLD_APART;
    return is_open(story) || by_points(one.percent[side] - two.percent[side]) == EVN_CANNOT_BE_TOLD_APART;
}

bool evn_compare_beside_close(const evn_compare_story *story, evn_beside_side side, const evn_beside_verdict *is)
{
    return too_close(story, side, is->lowest, is->next);
}

/* Where both sides name another truck, it is another one in truth only where both can tell the two apart. */
static evn_beside_answer by_the_rule(const evn_compare_story *story, evn_beside_answer answer, size_t truck,
                                     size_t other)
{
    if (answer != EVN_BESIDE_OPEN && answer != EVN_BESIDE_OTHER)
        return answer;
    bool open = too_close(story, EVN_BESIDE_HERE, truck, other) || too_close(story, EVN_BESIDE_THERE, truck, other);
    return open ? EVN_BESIDE_OPEN : EVN_BESIDE_OTHER;
}

evn_beside_answer evn_compare_beside_answer(const evn_compare_story *story)
{
    evn_beside_verdict here, there;
    if (!evn_beside_verdict_of(story->beside, EVN_BESIDE_HERE, &here) ||
        !evn_beside_verdict_of(story->beside, EVN_BESIDE_THERE, &there))
        return EVN_BESIDE_UNKNOWN;
    return by_the_rule(story, evn_beside_answers(story->beside), here.lowest, there.lowest);
}

evn_beside_answer evn_compare_beside_of_first(const evn_compare_story *story, size_t truck, const evn_beside_truck *is)
{
    return by_the_rule(story, is->against_first, truck, 0);
}

/* ------------------------------------------------------------------------------------------------ names */

const char *evn_apart_name(evn_apart is)
{
    static const char *const names[] = {
        [EVN_CANNOT_BE_TOLD_APART] = "cannot_be_told_apart", [EVN_IS_LOWER] = "lower", [EVN_IS_HIGHER] = "higher"};
    return names[is];
}

const char *evn_method_name(evn_uncertainty_method method)
{
    static const char *const names[] = {[EVN_UNCERTAINTY_OFF] = "off",
                                        [EVN_UNCERTAINTY_FIRST_ORDER] = "first_order",
                                        [EVN_UNCERTAINTY_DRAWS] = "draws"};
    return names[method];
}

void evn_method_words(const evn_sureness *is, char *out, size_t size)
{
    if (is->by == EVN_UNCERTAINTY_DRAWS)
        snprintf(out, size, "by %zu draws", is->draws);
    else
        snprintf(out, size, "by first order");
}

const char *evn_shape_name(evn_error_shape shape)
{
    static const char *const names[] = {
        [EVN_RECTANGULAR] = "rectangular", [EVN_TRIANGULAR] = "triangular", [EVN_NORMAL] = "normal"};
    return names[shape];
}

const char *evn_sure_name(evn_sure_state is)
{
    static const char *const names[] = {[EVN_SURE_OFF] = "off",
                                        [EVN_SURE_TOO_MUCH] = "too_much",
                                        [EVN_SURE_NOT_FOUND] = "not_found",
                                        [EVN_SURE_FOUND] = "found"};
    return names[is];
}
