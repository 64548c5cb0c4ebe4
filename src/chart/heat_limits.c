/* The temperatures that the files state as limits, for lines beside those of a run. */
#include "chart/chart.h"
#include <math.h>
#include <stdio.h>

enum { OF_UNIT = 4, KEY_BYTES = 4200 }; /* names may be as long as the reader's longest text */

static void add_column(evn_chart *chart, const char *group, const char *name, const char *what, const char *label,
                       const char *help)
{
    char key[KEY_BYTES];
    snprintf(key, sizeof key, "%s%s%s%s", group, name, *name ? "." : "", what);
    evn_chart_add_column(chart, key, "degC", label, help, 0);
}

static void add_columns(evn_chart *chart, const evn_rig *r)
{
    static const char full[] = "full torque up to here", none[] = "no torque from here";
    for (size_t k = 0; k < r->unit_count; k++) {
        const char *name = r->unit[k].name;
        add_column(chart, "drive_units.", name, "winding_derate_from_degc", "winding: derating begins", full);
        add_column(chart, "drive_units.", name, "winding_derate_to_degc", "winding: derating ends", none);
        add_column(chart, "drive_units.", name, "inverter_derate_from_degc", "inverter: derating begins", full);
        add_column(chart, "drive_units.", name, "inverter_derate_to_degc", "inverter: derating ends", none);
    }
    add_column(chart, "", "", "coolant_limit_degc", "limit of the coolant", "that a run is held against");
    for (size_t k = 0; k < r->axle_count; k++)
        add_column(chart, "axles.", r->axle[k].name, "brake_limit_degc", "limit of the friction brakes",
                   "that a run is held against");
}

static void put_range(double at[2], const evn_derating *range)
{
    at[0] = range->from_degc;
    at[1] = range->to_degc;
}

static double stated(double limit_degc) { return isfinite(limit_degc) ? limit_degc : (double)NAN; }

static void fill(double *row, const evn_rig *r)
{
    for (size_t k = 0; k < r->unit_count; k++, row += OF_UNIT) {
        const evn_heat *heat = &r->unit[k].motor[0].heat; /* motors of a unit are alike */
        if (heat->winding)
            put_range(row, &heat->winding_range);
        if (heat->inverter)
            put_range(row + 2, &heat->inverter_range);
    }
    *row++ = r->cooling.modelled ? stated(r->cooling.limit_degc) : (double)NAN;
    for (size_t k = 0; k < r->axle_count; k++)
        row[k] = r->axle[k].brake.modelled ? stated(r->axle[k].brake.limit_degc) : (double)NAN;
}

evn_status evn_chart_heat_limits(const evn_rig *r, evn_chart **out, evn_report *report)
{
    evn_chart *chart = evn_chart_begin(OF_UNIT * r->unit_count + 1 + r->axle_count, report);
    if (!chart)
        return EVN_NO_RESULT;
    add_columns(chart, r);
    double *row = evn_chart_add_row(chart);
    if (row)
        fill(row, r);
    return evn_chart_done(chart, out, report);
}
