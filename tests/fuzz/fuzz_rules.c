/* Any bytes as a set of rules: read or refused; what was read is held against vehicles with a trailer and without,
 * known and not, and no clause is told twice of the same. */
#include "fuzz.h"
#include "read/read.h"
#include "site/rules_judge.h"
#include <math.h>

static evn_rule_verdict verdict[EVN_VERDICTS_MOST];

static void judge(const evn_rules_file *rules, size_t motor, size_t trailer, bool stated)
{
    evn_weighed s = {.motor_axles = motor,
                     .count = motor + (stated ? trailer : 0),
                     .has_trailer = trailer > 0,
                     .axles_stated = stated,
                     .spacing_stated = stated,
                     .trailer_kg = 7000 * (double)trailer,
                     .motor_kg = 8000 * (double)motor,
                     .extra_kg = stated ? 1500 : (double)NAN};
    for (size_t k = 0; k < s.count; k++)
        s.axle[k] = (evn_weighed_axle){
            "axle", 1.3 * (double)k, 8000, k >= motor, k == 1, k == 1, stated ? EVN_IS : EVN_IS_NOT_KNOWN};
    for (int how = EVN_AT_MOST_AS_LOADED; how <= EVN_AT_MOST_ALL; how++) {
        size_t count = evn_rules_judge(rules, &s, (evn_at_most)how, verdict);
        must_hold(count <= EVN_VERDICTS_MOST);
        for (size_t k = 0; k < count; k++) {
            must_hold(verdict[k].clause < rules->clauses.count);
            must_hold(verdict[k].met != EVN_IS_NOT_KNOWN || verdict[k].missing);
            must_hold(verdict[k].first + verdict[k].axles <= s.count);
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    const evn_rules_file *rules = evn_read_bytes((const char *)bytes, length, "vehicles/rules/fuzz.yaml",
                                                 &evn_rules_object, NULL, a.arena, a.report);
    must_hold((rules != NULL) == !evn_report_failed(a.report));
    for (size_t motor = 2; rules && motor <= 5; motor++)
        for (size_t trailer = 0; trailer <= 3; trailer++) {
            judge(rules, motor, trailer, true);
            judge(rules, motor, trailer, false);
        }
    attempt_end(&a);
    return 0;
}
