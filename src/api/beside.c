/* Lineups beside each other, behind evener/beside.h. */
#include "evener/beside.h"
#include "api/objects.h"
#include "core/field_hash.h"
#include "lineup/beside.h"
#include "lineup/lineup.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include <string.h>

static const char *name_of(const evn_lineup *l) { return evn_lineup_name(l) ? evn_lineup_name(l) : "the trucks"; }

/* ------------------------------------------------------------------------------------------------ what must be alike
 */

static bool same_cycle(const evn_lineup *l, const evn_lineup *other, evn_report *report)
{
    const evn_cycle *own = evn_lineup_cycle(l), *beside = evn_lineup_cycle(other);
    if (own && beside &&
        evn_object_hash(&evn_cycle_object, own->file) == evn_object_hash(&evn_cycle_object, beside->file))
        return true;
    if (!own && !beside && evn_lineup_duty_hash(l) == evn_lineup_duty_hash(other))
        return true;
    bool one_name = strcmp(evn_lineup_over(l), evn_lineup_over(other)) == 0;
    evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
            "%s is driven over %s, %s beside it over %s%s; expected the same %s", name_of(l), evn_lineup_over(l),
            name_of(other), evn_lineup_over(other), one_name ? " with other values" : "", own ? "cycle" : "duty");
    return false;
}

static bool same_conditions(const evn_lineup *l, const evn_conditions *ask, const evn_lineup *other,
                            const evn_conditions *beside, evn_report *report)
{
    const char *load = evn_object_differs(&evn_load_case_object, &ask->load_case, &beside->load_case),
               *driving = evn_object_differs(&evn_driving_object, &ask->driving, &beside->driving);
    if (!load && !driving)
        return true;
    evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
            "%s of %s is not that of %s; expected the same load case and driving", load ? load : driving,
            name_of(other), name_of(l));
    return false;
}

/* The place of a name in a lineup; the count: none. */
static size_t place_of(const evn_lineup *l, const char *name)
{
    size_t count = evn_lineup_truck_count(l), place = 0;
    while (place < count && strcmp(evn_lineup_truck_name(l, place), name) != 0)
        place++;
    return place;
}

/* Says which of one lineup's trucks the other does not have. */
static bool has_all(const evn_lineup *l, const evn_lineup *of, evn_report *report)
{
    bool all = true;
    for (size_t i = 0; i < evn_lineup_truck_count(of); i++) {
        const char *name = evn_lineup_truck_name(of, i);
        if (place_of(l, name) < evn_lineup_truck_count(l))
            continue;
        evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                "no truck named '%s' in %s, as in %s; expected the same names in both", name, name_of(l), name_of(of));
        all = false;
    }
    return all;
}

static bool same_trucks(const evn_lineup *l, const evn_lineup *other, evn_report *report)
{
    bool all = has_all(other, l, report), none_more = has_all(l, other, report);
    const char *first = evn_lineup_truck_name(l, 0), *beside = evn_lineup_truck_name(other, 0);
    if (!all || !none_more)
        return false;
    if (strcmp(first, beside) == 0)
        return true;
    evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
            "the first truck of %s is '%s', that of %s '%s'; expected the same, against which the others are held",
            name_of(l), first, name_of(other), beside);
    return false;
}

evn_status evn_beside_fits(const evn_lineup *l, const evn_conditions *ask, const evn_lineup *other,
                           const evn_conditions *of_other, evn_report *report)
{
    if (!evn_not_null(
            report, __func__,
            (const evn_argument[]){{"lineup", l}, {"ask", ask}, {"other", other}, {"of_other", of_other}, {0}}))
        return evn_report_status(report);
    bool cycle = same_cycle(l, other, report), conditions = same_conditions(l, ask, other, of_other, report),
         trucks = same_trucks(l, other, report);
    return cycle && conditions && trucks ? EVN_DONE : EVN_BAD_INPUT;
}

/* ------------------------------------------------------------------------------------------------ holding */

evn_status evn_beside_hold(const evn_lineup *l, const evn_comparison *c, const evn_lineup *other,
                           const evn_comparison *of_other, evn_beside **out, evn_report *report)
{
    size_t place[EVN_LINEUP_MOST], count = evn_lineup_truck_count(l);
    if (out)
        *out = NULL;
    if (!evn_not_null(
            report, __func__,
            (const evn_argument[]){
                {"lineup", l}, {"comparison", c}, {"other", other}, {"of_other", of_other}, {"out", out}, {0}}))
        return evn_report_status(report);
    if (!same_trucks(l, other, report))
        return EVN_BAD_INPUT;
    for (size_t i = 0; i < count; i++)
        place[i] = place_of(other, evn_lineup_truck_name(l, i));
    *out = evn_beside_make(c, of_other, place, count);
    if (*out)
        return EVN_DONE;
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out holding comparisons beside");
    return evn_report_status(report);
}
