/* Any bytes as a cycle file: read or refused; what was read has statistics, and becomes a course or is refused. */
#include "cycle/course.h"
#include "fuzz.h"
#include "read/read.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    /* A name beside the shipped cycles, so that the tables they name are found. */
    const evn_cycle_file *cycle = evn_read_bytes((const char *)bytes, length, "cycles/reference/fuzz.yaml",
                                                 &evn_cycle_object, NULL, a.arena, a.report);
    must_hold((cycle != NULL) == !evn_report_failed(a.report));
    if (cycle) {
        for (size_t i = 0; i < evn_cycle_figures_count; i++)
            evn_cycle_figures[i].of(cycle);
        evn_conditions ask = evn_conditions_default();
        evn_course_ask how = {.comfort_acceleration_m_s2 = ask.driving.comfort_acceleration_m_s2,
                              .comfort_braking_m_s2 = ask.driving.comfort_braking_m_s2,
                              .top_speed_m_s = 25};
        evn_course *course = evn_course_prepare(cycle, &how, a.report);
        must_hold((course != NULL) == !evn_report_failed(a.report));
        evn_course_free(course);
    }
    attempt_end(&a);
    return 0;
}
