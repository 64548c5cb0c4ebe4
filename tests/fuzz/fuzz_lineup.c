/* Any bytes as a lineup file: read or refused; of what was read each truck is made ready to drive or refused. */
#include "fuzz.h"
#include "lineup/lineup.h"
#include "read/read.h"
#include "truck/layout.h"
#include "truck/rig.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    /* A name beside the shipped lineups, so that the trucks and cycles they use are found. */
    const evn_lineup_file *lineup = evn_read_bytes((const char *)bytes, length, "tests/vehicles/lineups/fuzz.yaml",
                                                   &evn_lineup_object, NULL, a.arena, a.report);
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
    attempt_end(&a);
    return 0;
}
