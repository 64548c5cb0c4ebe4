/* How sure a comparison is, behind evener/uncertainty.h. */
#include "api/erring.h"
#include "lineup/common.h"
#include "uncertainty/find.h"
#include <string.h>

/* What states uncertainties in the trucks as they were compared. */
static evn_erring erring_of(const evn_lineup *l, const evn_comparison *c, const evn_uncertainties *beside)
{
    evn_erring e = evn_lineup_erring(l, beside);
    e.who = evn_comparison_contenders(c, &e.count);
    e.cycle = evn_comparison_cycle(c);
    e.load_case = &evn_comparison_asks(c)->load_case;
    return e;
}

/* False (said): the comparison is of other trucks. */
static bool is_of(const evn_lineup *l, const evn_comparison *c, evn_report *report)
{
    size_t count;
    const evn_contender *who = evn_comparison_contenders(c, &count);
    bool same = count == evn_lineup_truck_count(l);
    for (size_t i = 0; same && i < count; i++)
        same = strcmp(who[i].name, evn_lineup_truck_name(l, i)) == 0;
    if (!same)
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                "the comparison given to evn_uncertainty_find is of other trucks than its lineup; expected that of the "
                "lineup");
    return same;
}

/* What is drawn is driven over one cycle. */
static bool is_over_cycle(const evn_lineup *l, evn_report *report)
{
    if (evn_lineup_cycle(l))
        return true;
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
            "how sure differences over a duty are is not found; expected a lineup over a cycle");
    return false;
}

/* Whether the data of a lineup as it was read can be gathered and drawn. */
static bool data_fit(const evn_lineup *l, const evn_uncertainties *beside, evn_report *report)
{
    evn_arena *arena = evn_arena_new();
    evn_erring erring = evn_lineup_erring(l, beside);
    evn_data data;
    if (!arena)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    bool fit = arena && evn_data_gather(&erring, arena, &data, report) && evn_uncertainty_data_fit(&data, report);
    evn_arena_free(arena);
    return fit;
}

evn_status evn_uncertainty_check(const evn_lineup *l, const evn_uncertainties *beside, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"lineup", l}, {0}}) || !is_over_cycle(l, report))
        return evn_report_status(report);
    evn_report *aside = evn_report_new(); /* what is no error is said once, by who finds it */
    if (!aside || !data_fit(l, beside, aside))
        data_fit(l, beside, report);
    evn_report_free(aside);
    return evn_report_status(report);
}

evn_status evn_uncertainty_find(const evn_lineup *l, const evn_comparison *c, const evn_uncertainty_how *how,
                                evn_uncertainty **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"lineup", l}, {"comparison", c}, {"how", how}, {"out", out}, {0}}) ||
        !evn_uncertainty_fits(how, report) || !is_of(l, c, report) || !is_over_cycle(l, report))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    evn_erring erring = erring_of(l, c, how->beside);
    evn_data data;
    if (!arena)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    else if (evn_data_gather(&erring, arena, &data, report))
        *out = evn_uncertainty_make(c, arena, &data, how, report);
    else
        evn_arena_free(arena);
    return evn_report_status(report);
}
