/* Any bytes as a truck file: read or refused; what was read is made ready to drive or refused. */
#include "fuzz.h"
#include "read/read.h"
#include "truck/rig.h"
#include "truck/truck.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    /* A name beside the shipped trucks, so that the parts they use are found. */
    const evn_truck_file *truck = evn_read_bytes((const char *)bytes, length, "tests/vehicles/trucks/fuzz.yaml",
                                                 &evn_truck_object, NULL, a.arena, a.report);
    must_hold((truck != NULL) == !evn_report_failed(a.report));
    if (truck) {
        evn_conditions ask = evn_conditions_default();
        evn_rig *rig = NULL;
        bool made = evn_rig_make(truck, &ask.load_case, &rig, a.report);
        must_hold(made == !evn_report_failed(a.report) && made == (rig != NULL));
        evn_rig_free(rig);
    }
    attempt_end(&a);
    return 0;
}
