/* Which trucks of a comparison are held against which, and what each came to. */
#include "show/compare_held.h"
#include "evener/duty.h"
#include <math.h>
#include <string.h>

enum { TRUCKS_MOST = 12 };

/* ------------------------------------------------------------------------------------------------ by what */

evn_equal evn_compare_equal_by(const evn_compare_story *story)
{
    evn_equalised given;
    return evn_comparison_equalised(story->comparison, 0, &given) ? given.by : EVN_EQUAL_PAYLOAD;
}

/* Trucks of one gross mass carry what their layouts leave them. */
const evn_compare_decides *evn_compare_decides_by(const evn_compare_story *story)
{
    static const evn_compare_decides by_way = {"kwh_per_km", "energy consumption", "kWh/km", 2},
                                     by_load = {"kwh_per_t_km", "energy consumption per tonne of payload", "kWh/(t km)",
                                                3};
    return evn_compare_equal_by(story) == EVN_EQUAL_GROSS ? &by_load : &by_way;
}

/* ------------------------------------------------------------------------------------------------ ends */

static bool finished(const evn_outcome *outcome) { return strcmp(evn_outcome_status(outcome), "finished") == 0; }

size_t evn_compare_finished_count(const evn_compare_story *story, evn_basis basis)
{
    size_t count = 0;
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        count += finished(evn_comparison_outcome(story->comparison, i, basis));
    return count;
}

bool evn_compare_has_finished(const evn_compare_story *story, size_t truck, evn_basis basis)
{
    return finished(evn_comparison_outcome(story->comparison, truck, basis));
}

/* What is found of whether a winding derates, where that is not decided. NULL: nothing. */
static const char *undecided(const evn_report *report)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        if (strcmp(found.fault, "not_decided") == 0)
            return found.text;
    return NULL;
}

bool evn_compare_limit_in_doubt(const evn_compare_story *story, size_t truck, evn_basis basis, const evn_limitation *is)
{
    return strcmp(is->limit, "winding_temperature") == 0 &&
           undecided(evn_outcome_report(evn_comparison_outcome(story->comparison, truck, basis)));
}

/* What stopped a truck, by its status and, of one that stalled, by what the run says that it lacked. */
static const char *cause_of(const char *status, const char *reason)
{
    static const char *const of_status[][2] = {{"battery_empty", "battery empty"},
                                               {"battery_too_weak", "battery power"}};
    static const char *const of_lack[][2] = {{"the inverter of drive unit", "inverter temperature"},
                                             {"its inverter is at", "inverter temperature"},
                                             {"the winding of drive unit", "winding temperature"},
                                             {"its winding is at", "winding temperature"},
                                             {"its driven tyres carry", "adhesion"},
                                             {"its motors give", "motor torque"},
                                             {"comes to rest again at once", "power"}};
    const char *lacks = reason ? strstr(reason, "%: it needs ") : NULL; /* behind the name, which says anything */
    for (size_t k = 0; k < sizeof of_status / sizeof *of_status; k++)
        if (strcmp(status, of_status[k][0]) == 0)
            return of_status[k][1];
    for (size_t k = 0; lacks && k < sizeof of_lack / sizeof *of_lack; k++)
        if (strstr(lacks, of_lack[k][0]))
            return of_lack[k][1];
    return NULL;
}

evn_compare_reached evn_compare_reached_by(const evn_compare_story *story, size_t truck)
{
    const evn_outcome *own = evn_comparison_outcome(story->comparison, truck, EVN_BASIS_OWN);
    const evn_outcome *common = evn_comparison_outcome(story->comparison, truck, EVN_BASIS_COMMON);
    evn_figures results = evn_figures_of_results(evn_outcome_results(own));
    evn_figures cycle = evn_figures_of_cycle(evn_lineup_cycle(story->lineup));
    evn_compare_reached reached = {.status = evn_outcome_status(own),
                                   .finished = finished(own),
                                   .distance_km = evn_figures_value(&results, "distance_km"),
                                   .of_km = evn_figures_value(&cycle, "distance_km")};
    reached.own_only = reached.finished && !finished(common) && evn_compare_finished_count(story, EVN_BASIS_OWN) > 1;
    reached.common_only = !reached.finished && finished(common) && evn_compare_told_basis(story) == EVN_BASIS_COMMON;
    if (!reached.finished || reached.own_only)
        reached.reason = evn_report_first_error(evn_outcome_report(reached.finished ? common : own));
    if (!reached.finished)
        reached.cause = cause_of(reached.status, reached.reason);
    if (reached.reason && strstr(reached.reason, "derating leaves")) /* else it is not what stopped it */
        reached.doubt = undecided(evn_outcome_report(reached.finished ? common : own));
    return reached;
}

/* ------------------------------------------------------------------------------------------------ demands */

bool evn_compare_demands(const evn_compare_story *story)
{
    evn_limits_verdict is;
    evn_day_demand of_day;
    const char *season;
    if (story->standing)
        return true;
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_limits_demand_at(evn_comparison_limits(story->comparison, i), 0, &is) ||
            evn_comparison_day_demand_at(story->comparison, i, 0, &season, &of_day))
            return true;
    return false;
}

bool evn_compare_meets(const evn_compare_story *story, size_t truck)
{
    const evn_limits *limits = evn_comparison_limits(story->comparison, truck);
    evn_limits_verdict is;
    for (size_t k = 0; evn_limits_demand_at(limits, k, &is); k++)
        if (!is.met)
            return false;
    evn_day_demand of_day;
    const char *season;
    for (size_t k = 0; evn_comparison_day_demand_at(story->comparison, truck, k, &season, &of_day); k++)
        if (!of_day.met)
            return false;
    if (story->standing && evn_assessment_of(story->standing, truck) == EVN_VERDICT_FAIL)
        return false;
    return limits;
}

size_t evn_compare_lowest(const evn_compare_story *story, evn_basis basis, const char *key, bool meeting)
{
    size_t count = evn_lineup_truck_count(story->lineup), best = count;
    double best_value = (double)INFINITY, value;
    for (size_t i = 0; i < count; i++) {
        const evn_outcome *outcome = evn_comparison_outcome(story->comparison, i, basis);
        bool counts = strcmp(evn_outcome_status(outcome), "finished") == 0 && (!meeting || evn_compare_meets(story, i));
        if (counts && evn_results_get(evn_outcome_results(outcome), key, &value) && value < best_value) {
            best = i;
            best_value = value;
        }
    }
    return best;
}

/* ------------------------------------------------------------------------------------------------ ranks */

double evn_compare_use(const evn_compare_story *story, size_t truck, evn_basis basis)
{
    const evn_outcome *outcome = evn_comparison_outcome(story->comparison, truck, basis);
    double value;
    bool there = outcome && strcmp(evn_outcome_status(outcome), "finished") == 0 &&
                 evn_results_get(evn_outcome_results(outcome), evn_compare_decides_by(story)->key, &value);
    return there ? value : (double)NAN;
}

size_t evn_compare_rank(const evn_compare_story *story, evn_basis basis, bool meeting, size_t *truck)
{
    size_t count = evn_lineup_truck_count(story->lineup), ranked = 0;
    for (size_t i = 0; i < count; i++) {
        double use = evn_compare_use(story, i, basis);
        if (isnan(use) || (meeting && !evn_compare_meets(story, i)))
            continue;
        size_t k = ranked++;
        for (; k > 0 && evn_compare_use(story, truck[k - 1], basis) > use; k--)
            truck[k] = truck[k - 1];
        truck[k] = i;
    }
    return ranked;
}

size_t evn_compare_held_against(const evn_compare_story *story, evn_basis basis)
{
    size_t truck[TRUCKS_MOST];
    if (!isnan(evn_compare_use(story, 0, basis)))
        return 0;
    return evn_compare_rank(story, basis, false, truck) > 0 ? truck[0] : evn_lineup_truck_count(story->lineup);
}

evn_basis evn_compare_told_basis(const evn_compare_story *story)
{
    size_t truck[TRUCKS_MOST];
    return evn_compare_rank(story, EVN_BASIS_COMMON, false, truck) >= 2 ? EVN_BASIS_COMMON : EVN_BASIS_OWN;
}

/* ------------------------------------------------------------------------------------------------ likeness */

size_t evn_compare_alike_against(const evn_compare_story *story)
{
    size_t against = evn_compare_held_against(story, evn_compare_told_basis(story));
    return against < evn_lineup_truck_count(story->lineup) ? against : 0;
}

bool evn_compare_likeness(const evn_compare_story *story, size_t truck, size_t row, evn_likeness *out)
{
    return evn_comparison_likeness_between(story->comparison, truck, evn_compare_alike_against(story), row, out);
}

bool evn_compare_is_held(const evn_compare_story *story, size_t truck)
{
    evn_likeness is;
    return evn_compare_likeness(story, truck, 0, &is);
}

bool evn_compare_all_alike(const evn_compare_story *story)
{
    size_t against = evn_compare_alike_against(story);
    for (size_t i = 0; i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_compare_is_held(story, i) && !evn_compare_alike_with(story, i, against))
            return false;
    return true;
}

size_t evn_compare_told_truck(const evn_compare_story *story)
{
    size_t ranked[TRUCKS_MOST];
    if (evn_compare_rank(story, evn_compare_told_basis(story), false, ranked) < 2)
        return evn_lineup_truck_count(story->lineup);
    return ranked[0] == evn_compare_alike_against(story) ? ranked[1] : ranked[0];
}

bool evn_compare_like_for_like(const evn_compare_story *story)
{
    size_t told = evn_compare_told_truck(story);
    return told == evn_lineup_truck_count(story->lineup) ||
           evn_compare_alike_with(story, told, evn_compare_alike_against(story));
}

bool evn_compare_unlike(const evn_compare_story *story, size_t truck, size_t other, size_t row, evn_likeness *out)
{
    return evn_comparison_likeness_between(story->comparison, truck, other, row, out) && !out->alike;
}

bool evn_compare_alike_with(const evn_compare_story *story, size_t truck, size_t other)
{
    evn_likeness is;
    size_t row = 0;
    while (evn_comparison_likeness_between(story->comparison, truck, other, row, &is)) {
        if (!is.alike)
            return false;
        row++;
    }
    return row > 0;
}
