/* The public call for limits: its checks, then the work. */
#include "limits/limits.h"
#include "trip/driving.h"

evn_status evn_limits_find(const evn_rig *r, const evn_driving *driving, const evn_limits_how *how, evn_limits **out,
                           evn_report *report)
{
    static const evn_limits_how as_usual = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"driving", driving}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    if (!evn_driving_fits(driving, report))
        return EVN_BAD_INPUT;
    return evn_limits_make(r, driving, how ? how : &as_usual, out, report);
}
