/* Use of adhesion while a run brakes, and lines that it may be held against. */
#include "chart/chart.h"
#include "core/units.h"
#include "evener/traces.h"
#include "pull/adhesion_use.h"
#include <math.h>
#include <stdlib.h>

/* ------------------------------------------------------------------------------------------------ points of a run */

enum { POINTS = 300 };
static const double CELL = 0.0025, LEAST_RATE = 0.001; /* finest cell of a point; below that rate nobody brakes */

typedef struct point {
    double place_m, rate, front, driven;
} point;

struct evn_adhesion_use {
    const evn_rig *rig;
    size_t columns, place, speed, grade, accel, friction, force[EVN_UNITS_MAX];
    size_t retarder;     /* where the truck has one */
    point point[POINTS]; /* one in each cell of rate and use */
    size_t points;
    double cell; /* its width */
};

evn_adhesion_use *evn_adhesion_use_new(const evn_rig *r)
{
    evn_adhesion_use *a = r ? calloc(1, sizeof *a) : NULL;
    if (!a)
        return NULL;
    a->rig = r;
    a->cell = CELL;
    a->columns = evn_trace_column_count(r);
    a->place = evn_chart_trace_column(r, NULL, "place_m");
    a->speed = evn_chart_trace_column(r, NULL, "speed_km_h");
    a->grade = evn_chart_trace_column(r, NULL, "grade_percent");
    a->accel = evn_chart_trace_column(r, NULL, "acceleration_m_s2");
    a->friction = evn_chart_trace_column(r, NULL, "friction_brake_force_kn");
    if (r->has_part[EVN_RETARDER])
        a->retarder = evn_chart_trace_column(r, NULL, "retarder_force_kn");
    for (size_t u = 0; u < r->unit_count; u++)
        a->force[u] = r->unit_count > 1 ? evn_chart_trace_column(r, r->unit[u].name, "unit_wheel_force_kn")
                                        : evn_chart_trace_column(r, NULL, "wheel_force_kn");
    return a;
}

void evn_adhesion_use_free(evn_adhesion_use *a) { free(a); }

static bool same_cell(const evn_adhesion_use *a, const point *x, const point *y)
{
    return floor(x->rate / a->cell) == floor(y->rate / a->cell) &&
           floor(x->driven / a->cell) == floor(y->driven / a->cell) &&
           floor(x->front / a->cell) == floor(y->front / a->cell);
}

static void keep(evn_adhesion_use *a, const point *x)
{
    for (size_t k = 0; k < a->points; k++)
        if (same_cell(a, x, &a->point[k]))
            return;
    a->point[a->points++] = *x; /* there is room: see add */
}

/* Where room ends cells grow, and the first point in each stays. */
static void add(evn_adhesion_use *a, const point *x)
{
    while (a->points == POINTS) {
        a->cell *= 2;
        a->points = 0;
        for (size_t k = 0; k < POINTS; k++)
            keep(a, &a->point[k]); /* to a place at or before its own */
    }
    keep(a, x);
}

static double most_driven(const evn_rig *r, const double use[])
{
    double most = -(double)INFINITY;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_unit *unit = &r->unit[u];
        if (unit->branch_count == 0)
            most = fmax(most, use[unit->axle]);
        for (size_t k = 0; k < unit->branch_count; k++)
            most = fmax(most, use[unit->branch[k].axle]);
    }
    return most;
}

/* What forces on axles need of the instant: speed and slope. */
static void set_pull(const evn_adhesion_use *a, const double *row, double degc[][EVN_NODES_MAX], evn_pull *p)
{
    const evn_rig *r = a->rig;
    p->at = (evn_given){.rig = r,
                        .tangent = row[a->grade] / 100,
                        .rolling_factor = 1,
                        .speed_m_s = row[a->speed] * EVN_M_S_PER_KM_H,
                        .soc = r->start_soc,
                        .battery_degc = r->pack.start_degc,
                        .coolant_degc = evn_rig_coolant_degc(r)};
    for (size_t u = 0; u < r->unit_count; u++) {
        evn_unit_coolant_degc(&r->unit[u], degc[u]);
        p->at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&r->unit[u], 0), .degc = degc[u]};
    }
    evn_pull_make(p);
}

void evn_adhesion_use_sample(void *self, const double *row, size_t columns)
{
    evn_adhesion_use *a = self;
    if (!a || !row || columns != a->columns || !(row[a->speed] > 0))
        return;
    evn_pull p;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX], unit_n[EVN_UNITS_MAX], use[EVN_AXLES_MAX];
    evn_forces f = {unit_n, row[a->accel], fmax(row[a->friction] * 1e3, 0), 0}; /* below 0 by round-off */
    if (a->rig->has_part[EVN_RETARDER])
        f.retarder_n = row[a->retarder] * 1e3;
    for (size_t u = 0; u < a->rig->unit_count; u++)
        unit_n[u] = row[a->force[u]] * 1e3;
    set_pull(a, row, degc, &p);
    double rate = evn_pull_braking_rate(&p, &f);
    if (!(rate > LEAST_RATE))
        return;
    evn_pull_adhesion_use(&p, &f, use);
    point x = {row[a->place], rate, use[0], most_driven(a->rig, use)};
    if (isfinite(x.front) && isfinite(x.driven)) /* not of an axle that is lifted off the road */
        add(a, &x);
}

static void add_use_columns(evn_chart *chart, const char *front)
{
    evn_chart_add_column(chart, "place_m", "m", "distance along the route", "where the run braked so", 0);
    evn_chart_add_column(chart, "braking_rate", "", "braking rate z", "all braking forces over the weight", 4);
    evn_chart_add_column(chart, "front_axle_use", "", front, "braking force of the front axle over its load", 4);
    evn_chart_add_column(chart, "driven_axle_use", "", "most used driven axle",
                         "braking force over load of the driven axle where that is most", 4);
}

evn_status evn_chart_adhesion_use(const evn_adhesion_use *a, evn_chart **out, evn_report *report)
{
    evn_chart *chart = evn_chart_begin(4, report);
    if (!chart)
        return EVN_NO_RESULT;
    add_use_columns(chart, "front axle");
    for (size_t k = 0; k < a->points; k++) {
        double *row = evn_chart_add_row(chart);
        if (!row)
            break;
        row[0] = a->point[k].place_m;
        row[1] = a->point[k].rate;
        row[2] = a->point[k].front;
        row[3] = a->point[k].driven;
    }
    return evn_chart_done(chart, out, report);
}

/* ------------------------------------------------------------------------------------------------ the yardstick */

/*
 * Lines of UN R13 Annex 10 for vehicles without anti-lock systems, from memory, use k over braking rate z: between z of
 * 0.15 and 0.30 z = k - 0.08 and z = k + 0.08; from 0.30 on z >= 0.3 + 0.74 (k - 0.38); and for k of 0.2 to 0.8
 * z >= 0.1 + 0.7 (k - 0.2).
 */
static void set_bands(double row[], double z)
{
    row[0] = row[1] = z;
    if (z >= 0.15 && z <= 0.30) {
        row[2] = z - 0.08;
        row[3] = z + 0.08;
    }
    if (z >= 0.30)
        row[4] = 0.38 + (z - 0.3) / 0.74;
    if (z >= 0.1 && z <= 0.52)
        row[5] = 0.2 + (z - 0.1) / 0.7;
}

evn_status evn_chart_adhesion_bands(evn_chart **out, evn_report *report)
{
    enum { PER_CENT = 60 };
    static const char help[] = "UN R13 Annex 10, from memory; binds vehicles without anti-lock systems";
    evn_chart *chart = evn_chart_begin(6, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "braking_rate", "", "braking rate z", "all braking forces over the weight", 2);
    evn_chart_add_column(chart, "ideal_use", "", "ideal: f = z", "every axle uses as much as the whole", 3);
    evn_chart_add_column(chart, "band_low_use", "", "band, low end", help, 3);
    evn_chart_add_column(chart, "band_high_use", "", "band, high end", help, 3);
    evn_chart_add_column(chart, "band_above_use", "", "band above z = 0.3", help, 3);
    evn_chart_add_column(chart, "least_rate_use", "", "least braking rate", help, 3);
    for (int k = 0; k <= PER_CENT; k++) {
        double *row = evn_chart_add_row(chart);
        if (row)
            set_bands(row, k / 100.0);
    }
    return evn_chart_done(chart, out, report);
}
