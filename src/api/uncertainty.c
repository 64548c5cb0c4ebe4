/* How sure a comparison is, behind evener/uncertainty.h. */
#include "api/erring.h"
#include "lineup/common.h"
#include "uncertainty/find.h"

/* What states uncertainties in the trucks as they were compared. */
static evn_erring erring_of(const evn_lineup *l, const evn_comparison *c, const evn_uncertainties *beside)
{
    evn_erring e = evn_lineup_erring(l, beside);
    e.who = evn_comparison_contenders(c, &e.count);
    e.cycle = evn_comparison_cycle(c);
    e.load_case = &evn_comparison_asks(c)->load_case;
    return e;
}

evn_status evn_uncertainty_find(const evn_lineup *l, const evn_comparison *c, const evn_uncertainty_how *how,
                                evn_uncertainty **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"lineup", l}, {"comparison", c}, {"how", how}, {"out", out}, {0}}) ||
        !evn_uncertainty_fits(how, report))
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
