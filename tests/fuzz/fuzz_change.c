/* Any bytes as a number and a path in a truck in memory: changed, or refused and nothing else happens. */
#include "core/change.h"
#include "core/field_copy.h"
#include "core/field_hash.h"
#include "fuzz.h"
#include "read/read.h"
#include "truck/truck.h"
#include <math.h>
#include <string.h>

/* Read once; what is changed are copies of it. */
static const evn_truck_file *shipped(void)
{
    static const evn_truck_file *truck;
    static attempt reading;
    if (!truck) {
        reading = attempt_begin();
        truck = evn_read_file("tests/vehicles/trucks/tractor-4x2-eaxle.yaml", &evn_truck_object, NULL, reading.arena,
                              reading.report);
        must_hold(truck);
    }
    return truck;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    double value, found;
    if (length < sizeof value)
        return 0;
    attempt a = attempt_begin();
    memcpy(&value, bytes, sizeof value);
    const char *path = evn_arena_text(a.arena, (const char *)bytes + sizeof value, length - sizeof value);
    void *copy = evn_object_copy(&evn_truck_object, shipped(), a.arena);
    must_hold(path && copy);
    uint64_t before = evn_object_hash(&evn_truck_object, copy);
    bool set = evn_numbers_set(&evn_truck_object, copy, &(evn_change){path, value}, 1, a.report);
    must_hold(set == !evn_report_failed(a.report));
    if (set) {
        must_hold(evn_number_get(&evn_truck_object, copy, path, &found, a.report));
        must_hold(found == value || (isnan(found) && isnan(value)));
    } else
        must_hold(evn_object_hash(&evn_truck_object, copy) == before);
    attempt_end(&a);
    return 0;
}
