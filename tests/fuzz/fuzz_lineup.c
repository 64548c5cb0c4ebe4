/*
 * Any bytes as a lineup file: read or refused; of what was read each truck is made ready to drive or refused, and what
 * may be off is gathered or refused.
 */
#include "fuzz.h"
#include "lineup/lineup.h"
#include "read/read.h"
#include "truck/layout.h"
#include "truck/rig.h"
#include "uncertainty/data.h"
#include <math.h>

static void gather(const evn_lineup_file *lineup, const evn_value_list *values, const attempt *a)
{
    evn_contender who[EVN_LINEUP_MOST];
    for (size_t i = 0; i < lineup->trucks.count; i++)
        who[i] = (evn_contender){lineup->trucks.name[i], (const evn_truck_file *)lineup->trucks.item + i};
    evn_erring erring = {.who = who,
                         .count = lineup->trucks.count,
                         .cycle = lineup->cycle,
                         .load_case = lineup->load_case,
                         .uncertain = &lineup->uncertain,
                         .values = {values->at, values->count}};
    evn_data data;
    size_t before = evn_report_errors(a->report);
    bool gathered = evn_data_gather(&erring, a->arena, &data, a->report);
    must_hold(gathered == (evn_report_errors(a->report) == before));
    for (size_t k = 0; gathered && k < data.moved_count; k++) {
        const evn_moved *m = &data.moved[k];
        must_hold(m->datum < data.count && isfinite(m->half_width) && m->half_width != 0);
        must_hold(m->nominal >= m->least && m->nominal <= m->most);
        double half = fabs(m->half_width) * (1 - 1e-9) - 1e-9 * fabs(m->nominal); /* but for rounding */
        must_hold(isfinite(m->offset) && fabs(m->offset) <= fabs(m->half_width) * (1 + 1e-9));
        must_hold(m->nominal + m->offset - half >= m->least && m->nominal + m->offset + half <= m->most);
    }
    for (size_t k = 0; gathered && k < data.count; k++)
        must_hold(data.datum[k].label && data.datum[k].path && data.datum[k].values > 0 && data.datum[k].trucks);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    /* A name beside the shipped lineups, so that the trucks and cycles they use are found. */
    evn_value_list values = {0};
    evn_read_more more = {.values = &values};
    const evn_lineup_file *lineup = evn_read_bytes_with((const char *)bytes, length, "tests/vehicles/lineups/fuzz.yaml",
                                                        &evn_lineup_object, &more, a.arena, a.report);
    must_hold((lineup != NULL) == !evn_report_failed(a.report));
    const evn_truck_file *truck = lineup ? lineup->trucks.item : NULL;
    for (size_t i = 0; lineup && i < lineup->trucks.count; i++) {
        evn_conditions ask = evn_lineup_asks(lineup);
        evn_rig *rig = NULL;
        char formula[EVN_WHEEL_FORMULA_BYTES];
        size_t before = evn_report_errors(a.report);
        bool made = evn_rig_make(&truck[i], &ask.load_case, &rig, a.report);
        must_hold(made == (evn_report_errors(a.report) == before) && made == (rig != NULL));
        must_hold(evn_axle_configuration(formula, &truck[i])[0] != '\0');
        must_hold(evn_lineup_name_fits(lineup->trucks.name[i]));
        evn_rig_free(rig);
    }
    if (lineup)
        gather(lineup, &values, &a);
    attempt_end(&a);
    return 0;
}
