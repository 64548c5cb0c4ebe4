/* The public calls for charts: handles to what stands behind them. */
#include "api/objects.h"
#include "chart/chart.h"

size_t evn_rig_unit_count(const evn_rig *r) { return r ? r->unit_count : 0; }

const char *evn_rig_unit_name(const evn_rig *r, size_t unit)
{
    return r && unit < r->unit_count ? r->unit[unit].name : NULL;
}

evn_status evn_chart_of_road(const evn_cycle *c, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"cycle", c}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_road(c->file, out, report);
}

evn_status evn_chart_of_limits(const evn_cycle *c, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"cycle", c}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_limits(c->file, out, report);
}

evn_status evn_chart_of_stops(const evn_cycle *c, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"cycle", c}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_stops(c->file, out, report);
}

evn_status evn_chart_of_forces(const evn_rig *r, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_forces(r, out, report);
}

evn_status evn_chart_of_motor(const evn_rig *r, size_t unit, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    if (!evn_chart_unit_is_there(unit, r->unit_count, report))
        return EVN_BAD_INPUT;
    return evn_chart_motor(r, unit, out, report);
}

evn_status evn_chart_of_envelope(const evn_rig *r, size_t unit, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    if (!evn_chart_unit_is_there(unit, r->unit_count, report))
        return EVN_BAD_INPUT;
    return evn_chart_envelope(r, unit, out, report);
}

evn_status evn_chart_of_braking_shares(const evn_rig *r, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_braking_shares(r, out, report);
}

evn_status evn_chart_of_braking_to_rest(const evn_rig *r, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_braking_to_rest(r, out, report);
}

evn_status evn_chart_of_motor_braking(const evn_rig *r, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_motor_braking(r, out, report);
}

evn_status evn_chart_of_heat_limits(const evn_rig *r, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"rig", r}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_heat_limits(r, out, report);
}

evn_status evn_chart_of_adhesion_use(const evn_adhesion_use *use, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"use", use}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_adhesion_use(use, out, report);
}

evn_status evn_chart_of_adhesion_bands(evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"out", out}, {0}}))
        return EVN_BAD_INPUT;
    return evn_chart_adhesion_bands(out, report);
}
