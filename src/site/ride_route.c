/* Speeds and unevenness of a route, and what follows of them. */
#include "site/ride_route.h"
#include "cycle/course.h"
#include "cycle/plan.h"
#include "cycle/surface.h"
#include "evener/evener.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ classes */

static void add(evn_ride_route *r, double unevenness_m3, double way_m, double time_s)
{
    double speed_m_s = way_m / time_s;
    size_t k = (size_t)fmin(speed_m_s / EVN_RIDE_CLASS_M_S, EVN_RIDE_CLASSES - 1);
    evn_ride_class *c = &r->at[k];
    double all_s = c->time_s + time_s;
    c->speed_m_s = (c->speed_m_s * c->time_s + way_m) / all_s;
    c->mean_m3 = (c->mean_m3 * c->time_s + unevenness_m3 * time_s) / all_s;
    c->time_s = all_s;
    if (unevenness_m3 > c->roughest_m3) {
        c->roughest_m3 = unevenness_m3;
        c->rough_time_s = 0;
    }
    if (unevenness_m3 == c->roughest_m3)
        c->rough_time_s += time_s;
    r->roughest_m3 = fmax(r->roughest_m3, unevenness_m3);
    r->time_s += time_s;
    r->way_m += way_m;
}

evn_ride_route evn_ride_track(double unevenness_m3, double speed_m_s, double time_s)
{
    evn_ride_route r = {0};
    add(&r, unevenness_m3, speed_m_s * time_s, time_s);
    return r;
}

/* A part of constant acceleration on one surface, in pieces within which the speed hardly changes. */
static void add_part(evn_ride_route *r, double unevenness_m3, double way_m, double v2_begin, double v2_end)
{
    static const double MOST_CHANGE_M_S = 0.3;
    double from = sqrt(v2_begin), to = sqrt(v2_end), pieces = fmax(1, ceil(fabs(to - from) / MOST_CHANGE_M_S));
    for (double i = 0; i < pieces; i++) {
        double a = from + (to - from) * i / pieces, b = from + (to - from) * (i + 1) / pieces;
        double piece_m = from == to ? way_m / pieces : way_m * (b * b - a * a) / (v2_end - v2_begin);
        if (piece_m > 0 && a + b > 0)
            add(r, unevenness_m3, piece_m, evn_plan_duration_s(piece_m, a * a, b * b));
    }
}

static void add_stretch(evn_ride_route *r, const evn_surface_file *surface, const evn_plan_stretch *s)
{
    double from_m = s->begin_m, to_m;
    for (size_t k = 0; from_m < s->end_m; from_m = to_m) {
        while (surface && k < surface->place_m.count && surface->place_m.at[k] <= from_m)
            k++;
        to_m = surface && k < surface->place_m.count ? fmin(surface->place_m.at[k], s->end_m) : s->end_m;
        double a = s->v2_begin + 2 * s->accel_m_s2 * (from_m - s->begin_m),
               b = s->v2_begin + 2 * s->accel_m_s2 * (to_m - s->begin_m);
        add_part(r, r->spectrum.count > 0 ? 1 : evn_unevenness_at_m3(surface, from_m), to_m - from_m, fmax(a, 0),
                 fmax(b, 0));
    }
}

bool evn_ride_route_of(const evn_cycle_file *cycle, const evn_spectrum *lines, evn_ride_route *out, evn_report *report)
{
    evn_conditions ask = evn_conditions_default();
    evn_course_ask how = {ask.driving.comfort_acceleration_m_s2, ask.driving.comfort_braking_m_s2, (double)INFINITY};
    evn_course *course = evn_course_prepare(cycle, &how, report);
    const evn_spectrum_file *measured = cycle->surface ? cycle->surface->spectrum : NULL;
    *out = (evn_ride_route){0};
    if (lines)
        out->spectrum = *lines;
    else if (measured)
        out->spectrum = (evn_spectrum){measured->wave_m1.at, measured->density_m3.at, measured->wave_m1.count, NULL};
    for (size_t k = 0; course && k < course->plan_count; k++)
        add_stretch(out, cycle->surface, &course->plan[k]);
    evn_course_free(course);
    return course;
}

/* ------------------------------------------------------------------------------------------------ what follows */

evn_ride_result evn_ride_along(const evn_ride_route *r, const evn_quarter *q, double to_hz)
{
    evn_ride_result out = {0};
    for (size_t k = 0; k < EVN_RIDE_CLASSES; k++) {
        const evn_ride_class *c = &r->at[k];
        if (c->time_s <= 0)
            continue;
        evn_band band = evn_band_of_road(c->speed_m_s);
        evn_moments m[EVN_RIDES];
        band.to_hz = fmin(band.to_hz, to_hz);
        evn_quarter_on_spectrum(q, evn_ride_spectrum(r), c->mean_m3, c->speed_m_s, band, m);
        double rougher = sqrt(c->roughest_m3 / c->mean_m3);
        for (int i = 0; i < EVN_RIDES; i++) {
            out.rms[i] += m[i].rms * m[i].rms * c->time_s / r->time_s;
            m[i].rms *= rougher;
            out.peak[i] = fmax(out.peak[i], evn_expected_peak(&m[i], c->rough_time_s));
        }
        if (m[EVN_RIDE_TYRE].rms > out.worst_tyre_n) {
            out.worst_tyre_n = m[EVN_RIDE_TYRE].rms;
            out.worst_speed_m_s = c->speed_m_s;
            out.worst_m3 = c->roughest_m3;
        }
    }
    for (int i = 0; i < EVN_RIDES; i++)
        out.rms[i] = sqrt(out.rms[i]);
    return out;
}

evn_ride_shaken evn_ride_between(const evn_ride_route *r, const evn_quarter *q, double share, double to_hz)
{
    evn_ride_shaken out = {0, 0};
    for (size_t k = 0; k < EVN_RIDE_CLASSES; k++) {
        const evn_ride_class *c = &r->at[k];
        if (c->time_s <= 0)
            continue;
        evn_band band = evn_band_of_road(c->speed_m_s);
        band.to_hz = fmin(band.to_hz, to_hz);
        evn_moments m = evn_quarter_between(q, share, evn_ride_spectrum(r), c->mean_m3, c->speed_m_s, band);
        out.rms += m.rms * m.rms * c->time_s / r->time_s;
        m.rms *= sqrt(c->roughest_m3 / c->mean_m3);
        out.peak = fmax(out.peak, evn_expected_peak(&m, c->rough_time_s));
    }
    out.rms = sqrt(out.rms);
    return out;
}
