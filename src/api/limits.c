/* Demands, and the public call for limits: its checks, then the work. */
#include "limits/limits.h"
#include "core/field_number.h"
#include "limits/demands.h"
#include "trip/driving.h"

evn_demands evn_demands_default(void)
{
    evn_demands d;
    evn_object_default(&evn_demands_object, &d, NULL);
    return d;
}

bool evn_demands_set(evn_demands *d, const char *key, double value, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"demands", d}, {"key", key}, {0}}))
        return false;
    return evn_field_number_put(&evn_demands_object, d, key, value, report);
}

bool evn_demands_get(const evn_demands *d, const char *key, double *value)
{
    return d && key && value && evn_field_number_get(&evn_demands_object, d, key, value);
}

evn_status evn_limits_find(const evn_rig *r, const evn_driving *driving, const evn_limits_how *how, evn_limits **out,
                           evn_report *report)
{
    static const evn_limits_how as_usual = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"driving", driving}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    bool fits = evn_driving_fits(driving, report);
    if (how && how->demands)
        fits = evn_demands_fit(how->demands, report) && fits;
    if (!fits)
        return EVN_BAD_INPUT;
    return evn_limits_make(r, driving, how ? how : &as_usual, out, report);
}
