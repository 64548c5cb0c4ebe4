/* Any bytes as a duty file: read or refused; of what was read the day is written out or refused, and each of its legs
 * has a course or is refused. */
#include "cycle/part.h"
#include "duty/duty.h"
#include "fuzz.h"
#include "read/read.h"

static void prepare(const evn_phase *p, const attempt *a)
{
    evn_course_ask how = {.comfort_acceleration_m_s2 = 0.6, .comfort_braking_m_s2 = 0.7, .top_speed_m_s = 25};
    size_t before = evn_report_errors(a->report);
    how.reversed = p->reversed;
    evn_course *course = evn_course_prepare(p->cycle, &how, a->report);
    bool taken = course && evn_course_take_part(course, &p->part, a->report);
    must_hold(taken == (evn_report_errors(a->report) == before));
    must_hold(!taken || (course->plan_count > 0 && course->begin_m < course->length_m));
    evn_course_free(course);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    /* A name beside the shipped duties, so that the cycles they use are found. */
    const evn_duty_file *duty = evn_read_bytes((const char *)bytes, length, "cycles/duties/fuzz.yaml", &evn_duty_object,
                                               NULL, a.arena, a.report);
    evn_day_plan plan = {0};
    must_hold((duty != NULL) == !evn_report_failed(a.report));
    if (duty && evn_day_plan_make(&plan, duty, 5000, a.arena, a.report)) {
        must_hold(plan.count > 0 && plan.count == evn_duty_phase_count(duty));
        for (size_t k = 0; k < plan.count && k < 20; k++)
            if (plan.phase[k].cycle)
                prepare(&plan.phase[k], &a);
    }
    attempt_end(&a);
    return 0;
}
