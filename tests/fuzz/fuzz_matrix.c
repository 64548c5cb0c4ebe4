/* Any bytes as a matrix of a map: read or refused; what was read is finite, at speeds of 0 or more. */
#include "fuzz.h"
#include "log/matrix.h"
#include <math.h>

static void read_matrix(const uint8_t *bytes, size_t length, const char *values)
{
    attempt a = attempt_begin();
    evn_matrix m = {.arena = a.arena};
    const evn_matrix_ask ask = {.values = values};
    bool sound = evn_matrix_add(&m, (const char *)bytes, length, "fuzz.csv", (double)NAN, &ask, a.report);
    must_hold(sound == !evn_report_failed(a.report));
    for (size_t k = 0; sound && k < m.count; k++)
        must_hold(isfinite(m.cell[k].value) && isfinite(m.cell[k].torque_nm) && m.cell[k].value >= 0 &&
                  m.cell[k].speed_rpm >= 0);
    attempt_end(&a);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    read_matrix(bytes, length, "efficiency [%]");
    read_matrix(bytes, length, "loss [kW]");
    return 0;
}
