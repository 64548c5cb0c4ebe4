/* From a log to a cycle: a part of it, in order, its speed, its place, its road; then the same with other smoothing. */
#include "log/import.h"
#include "cycle/cycle_checks.h"
#include "log/plausible.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What straight lines may differ from the smoothed grade. */
#define SIMPLE_GRADE 5e-4
#define HALF 0.5
#define TWICE 2.0

evn_import_how evn_import_default(void)
{
    return (evn_import_how){.gap_s = 5,
                            .bridge_s = 60,
                            .rest_km_h = 2,
                            .rest_s = 3,
                            .limit_step_km_h = 5,
                            .mass_kg = 40000,
                            .rolling_resistance = 0.006,
                            .drag_area_m2 = 5.5};
}

bool evn_import_how_fits(const evn_import_how *h, evn_report *report)
{
    const struct {
        const char *name;
        double value, least, most;
        bool or_zero;
    } rows[] = {{"from_s", h->from_s, 0, EVN_TIME_MOST_S, false},
                {"to_s", h->to_s, 0, EVN_TIME_MOST_S, true},
                {"speed_width_s", h->speed_width_s, 0.5, 120, true},
                {"grade_width_m", h->grade_width_m, 20, 5000, true},
                {"gap_s", h->gap_s, 0.5, 600, false},
                {"bridge_s", h->bridge_s, 0, 86400, false},
                {"rest_km_h", h->rest_km_h, 0.1, 10, false},
                {"rest_s", h->rest_s, 0.5, 600, false},
                {"limit_step_km_h", h->limit_step_km_h, 1, 50, false},
                {"mass_kg", h->mass_kg, 500, 200000, false},
                {"rolling_resistance", h->rolling_resistance, 0.001, 0.1, false},
                {"drag_area_m2", h->drag_area_m2, 0.1, 20, false}};
    bool fit = true;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        if ((rows[k].value >= rows[k].least && rows[k].value <= rows[k].most) ||
            (rows[k].or_zero && rows[k].value == 0))
            continue;
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "%s is %.10g; expected %g to %g%s",
                rows[k].name, rows[k].value, rows[k].least, rows[k].most, rows[k].or_zero ? ", or 0" : "");
        fit = false;
    }
    return fit;
}

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    return false;
}

/* ------------------------------------------------------------------------------------------------ a part of the log */

static evn_log part_of(const evn_log *log, const evn_import_how *how)
{
    evn_log part = *log;
    const double *t = log->column[EVN_LOG_TIME];
    double begin = log->rows > 0 ? t[0] + how->from_s : 0;
    double end = how->to_s > 0 && log->rows > 0 ? t[0] + how->to_s : (double)INFINITY;
    size_t first = 0, last = log->rows;
    while (first < last && t[first] < begin)
        first++;
    while (last > first && t[last - 1] > end)
        last--;
    for (int q = 0; q < EVN_LOG_QUANTITY_COUNT; q++)
        part.column[q] = log->column[q] ? log->column[q] + first : NULL;
    part.line += first;
    part.segment = log->segment ? log->segment + first : NULL;
    part.rows = last - first;
    return part;
}

static void tell_log(evn_import *im, const evn_log *part, const evn_log_order *order)
{
    const evn_log *log = im->log;
    evn_import_told *t = &im->told;
    t->form = log->form == EVN_LOG_GPX ? "GPX" : "CSV";
    t->path = log->file;
    t->unread = log->unread;
    t->rows = log->rows;
    t->empty_cells = log->empty_cells;
    t->cut_short = log->cut_short;
    t->local_time = log->local_time;
    t->begin_unix_s = log->begin_unix_s + (part->rows > 0 ? part->column[EVN_LOG_TIME][0] : 0);
    t->separator = log->separator;
    t->decimal = log->decimal;
    t->repeated = order->repeated;
    t->backward = order->backward;
    t->no_time = order->no_time;
    t->step_s = order->median_s;
}

/* ------------------------------------------------------------------------------------------------ heights */

typedef struct heights {
    evn_log_quantity by; /* EVN_LOG_QUANTITY_COUNT: none, level */
    evn_points value;
} heights;

static bool take_heights(const evn_log *log, evn_log_quantity q, heights *h, evn_arena *arena)
{
    const double *t = log->column[EVN_LOG_TIME], *y = log->column[q];
    if (!y)
        return true;
    h->value.x = evn_arena_take(arena, (log->rows + 1) * sizeof *h->value.x);
    h->value.y = evn_arena_take(arena, (log->rows + 1) * sizeof *h->value.y);
    h->value.count = 0;
    if (!h->value.x || !h->value.y)
        return false;
    for (size_t k = 0; k < log->rows; k++)
        if (!isnan(y[k])) {
            h->value.x[h->value.count] = t[k];
            h->value.y[h->value.count++] = y[k];
        }
    if (h->value.count >= 3)
        h->by = q;
    return true;
}

static bool find_heights(const evn_log *log, heights *h, evn_arena *arena)
{
    *h = (heights){.by = EVN_LOG_QUANTITY_COUNT};
    return take_heights(log, EVN_LOG_ALTITUDE, h, arena) &&
           (h->by != EVN_LOG_QUANTITY_COUNT || take_heights(log, EVN_LOG_GRADE, h, arena));
}

static double rises_m(const heights *h)
{
    double sum = 0;
    for (size_t i = 1; i < h->value.count; i++)
        sum += fmax(h->value.y[i] - h->value.y[i - 1], 0);
    return h->by == EVN_LOG_ALTITUDE ? sum : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ making */

typedef struct desk {
    const evn_import_how *how;
    evn_log part;
    evn_measured measured;
    heights heights;
    double speed_width_s, grade_width_m; /* as chosen */
} desk;

typedef struct made {
    evn_motion motion;
    evn_elevation profile;
    evn_import_work work;
} made;

static bool make_with(desk *d, double scale, double grade_width_m, made *out, evn_arena *arena)
{
    evn_points speed;
    evn_measured measured = d->measured;
    evn_rest_rule rest = {d->how->rest_km_h / 3.6, d->how->rest_s};
    if (!evn_motion_smooth(&measured, scale, &speed, arena) || !evn_motion_make(&speed, rest, &out->motion, arena))
        return false;
    d->measured.off = measured.off;
    if (d->heights.by != EVN_LOG_QUANTITY_COUNT &&
        !evn_elevation_make(d->heights.by, &d->heights.value, &out->motion, grade_width_m, scale, &out->profile, arena))
        return false;
    evn_work_of(&out->motion, &out->profile, d->how, &out->work);
    out->work.speed_width_s = scale * d->measured.width_s;
    out->work.grade_width_m = out->profile.width_m;
    return true;
}

/* Another scale in memory of its own, of which the work alone stays. */
static bool work_with(desk *d, double scale, double grade_width_m, evn_import_work *work)
{
    made other = {0};
    evn_arena *own = evn_arena_new();
    size_t off = d->measured.off;
    bool there = own && make_with(d, scale, grade_width_m, &other, own);
    d->measured.off = off;
    *work = other.work;
    if (own)
        evn_arena_free(own);
    return there;
}

static void tell_motion(evn_import *im, const desk *d, const evn_motion *m)
{
    evn_import_told *t = &im->told;
    t->speed_width_s = d->measured.width_s;
    t->speeds_off = d->measured.off;
    t->duration_s = m->time_s[m->count - 1] - m->time_s[0];
    t->distance_m = m->place_m[m->count - 1];
    for (size_t i = 0; i < m->count; i++) {
        t->speed_most_m_s = fmax(t->speed_most_m_s, m->speed_m_s[i]);
        bool rests = m->speed_m_s[i] == 0 && i + 1 < m->count && m->speed_m_s[i + 1] == 0;
        bool new_one = i == 0 || m->speed_m_s[i - 1] > 0;
        t->stops += rests && new_one;
        t->stopped_s += rests ? m->time_s[i + 1] - m->time_s[i] : 0;
    }
}

static void tell_profile(evn_import *im, const desk *d, const evn_elevation *p)
{
    evn_import_told *t = &im->told;
    bool altitudes = d->heights.by == EVN_LOG_ALTITUDE;
    bool level = d->heights.by == EVN_LOG_QUANTITY_COUNT;
    t->grade_from = level ? NULL : evn_log_word(d->heights.by);
    t->altitude_noise_m = altitudes ? p->noise : (double)NAN;
    t->grade_width_m = level ? (double)NAN : p->width_m;
    t->altitudes_off = p->off;
    t->altitude_gaps = p->gaps;
    t->climb_before_m = rises_m(&d->heights);
    t->climb_m = p->climb_m;
    t->descent_m = p->descent_m;
}

static bool put_grades(evn_import_cycle *c, const evn_elevation *p, evn_arena *arena)
{
    if (p->count < 2)
        return true;
    bool *keep = evn_arena_take(arena, p->count);
    double *place = evn_arena_take(arena, p->count * sizeof *place);
    double *grade = evn_arena_take(arena, p->count * sizeof *grade);
    if (!keep || !place || !grade)
        return false;
    evn_simplify(p->place_m, p->tangent, 0, p->count - 1, SIMPLE_GRADE, keep);
    for (size_t i = 0; i < p->count; i++)
        if (keep[i]) {
            place[c->grades] = p->place_m[i];
            grade[c->grades++] = p->tangent[i];
        }
    c->grade_place_m = place;
    c->grade_ratio = grade;
    return true;
}

/* Grades do not err by more in any sense: it is speed that smoothing changes. */
#define HALF_WIDTH_MOST 0.5

/*
 * What the work changes by 1 % of all grades, and by that half of the distance between the least and the most work, and
 * how far their middle lies from the work as made.
 */
static void tell_grade_factor(const desk *d, const made *of, evn_import_told *told)
{
    const double STEP = 0.01;
    evn_elevation steeper = of->profile;
    evn_import_work work;
    double *tangent = malloc((steeper.count + 1) * sizeof *tangent), slope_kwh = 0;
    if (tangent && steeper.count > 0) {
        for (size_t i = 0; i < steeper.count; i++)
            tangent[i] = (1 + STEP) * of->profile.tangent[i];
        steeper.tangent = tangent;
        evn_work_of(&of->motion, &steeper, d->how, &work);
        slope_kwh = (work.traction_kwh - of->work.traction_kwh) / STEP;
    }
    free(tangent);
    double half_kwh = (told->traction_most_kwh - told->traction_least_kwh) / 2;
    double off_kwh = (told->traction_most_kwh + told->traction_least_kwh) / 2 - of->work.traction_kwh;
    bool moves = slope_kwh > 0 && half_kwh <= HALF_WIDTH_MOST * slope_kwh;
    told->grade_factor_half_width = moves ? half_kwh / slope_kwh : (double)NAN;
    told->grade_factor_offset = moves ? off_kwh / slope_kwh : (double)NAN;
}

static bool put_cycle(evn_import *im, const desk *d, const made *of)
{
    evn_import_cycle *c = &im->cycle;
    c->over = d->how->over;
    c->length_m = im->told.distance_m;
    if (!put_grades(c, &of->profile, im->arena))
        return false;
    if (c->over == EVN_OVER_PLACE)
        return evn_limits_of_motion(&of->motion, d->how->limit_step_km_h / 3.6, c, im->arena);
    double *t = of->motion.time_s, begin = t[0];
    for (size_t i = 0; i < of->motion.count; i++)
        t[i] -= begin;
    c->time_s = t;
    c->speed_m_s = of->motion.speed_m_s;
    c->times = of->motion.count;
    return true;
}

static bool moved(const evn_import *im, evn_report *report)
{
    const double LEAST_M = 10;
    if (im->told.distance_m >= LEAST_M)
        return true;
    evn_say(
        report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, im->log->file), 0, 0}, evn_nowhere,
        "a vehicle that moved %.3g m; expected a drive of %g m or more; --rest-km-h says below which speed it stands",
        im->told.distance_m, LEAST_M);
    return false;
}

static bool enough_left(const desk *d, const evn_motion *m, evn_report *report)
{
    if (m->count >= 2)
        return true;
    evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, d->part.file), 0, 0}, evn_nowhere,
            "%zu rows that tell the speed, once those that stand off are left out; expected 2 at least", m->count);
    return false;
}

static bool make(evn_import *im, desk *d, evn_report *report)
{
    made of = {0};
    double asked_m = d->how->grade_width_m;
    if (!find_heights(&d->part, &d->heights, im->arena) || !make_with(d, 1, asked_m, &of, im->arena))
        return no_memory(report);
    if (!enough_left(d, &of.motion, report))
        return false;
    tell_motion(im, d, &of.motion);
    tell_profile(im, d, &of.profile);
    if (!moved(im, report) || !evn_distances_agree(&d->part, &d->measured, &im->told, report) ||
        !evn_odometer_keeps_pace(&d->part, &of.motion, &im->told, report) ||
        !evn_motion_is_a_trucks(&d->part, &of.motion, &im->told, report) ||
        !evn_road_is_a_road(&d->part, &of.motion, &of.profile, &im->told, report))
        return false;
    evn_import_work *work = im->told.work;
    work[0] = of.work;
    double chosen_m = of.profile.width_m;
    if (!work_with(d, HALF, chosen_m, &work[1]) || !work_with(d, TWICE, chosen_m, &work[2]) || !put_cycle(im, d, &of))
        return no_memory(report);
    im->told.traction_least_kwh = fmin(work[0].traction_kwh, fmin(work[1].traction_kwh, work[2].traction_kwh));
    im->told.traction_most_kwh = fmax(work[0].traction_kwh, fmax(work[1].traction_kwh, work[2].traction_kwh));
    tell_grade_factor(d, &of, &im->told);
    return true;
}

static bool length_fits(const evn_log *part, evn_report *report)
{
    const double *t = part->column[EVN_LOG_TIME];
    if (part->rows == 0) {
        evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, part->file), 0, 0}, evn_nowhere,
                "no row with a time in the part that is taken; expected some; --from-s and --to-s count from the log's "
                "first time");
        return false;
    }
    if (t[part->rows - 1] - t[0] <= EVN_TIME_MOST_S)
        return true;
    evn_say(report, EVN_FAULT_TOO_LARGE, evn_log_row(part, part->rows - 1, report), evn_nowhere,
            "a log over %.4g s; expected at most %g; --from-s and --to-s take a part of it", t[part->rows - 1] - t[0],
            EVN_TIME_MOST_S);
    return false;
}

bool evn_import_of_log(evn_import *im, const evn_log *log, const evn_import_how *how, evn_report *report)
{
    evn_log_order order;
    im->log = log;
    const evn_log *ordered = evn_log_ordered(log, how->gap_s, &order, im->arena, report);
    if (!ordered)
        return false;
    desk d = {.how = how, .part = part_of(ordered, how)};
    tell_log(im, &d.part, &order);
    im->told.mass_kg = how->mass_kg;
    im->told.rolling_resistance = how->rolling_resistance;
    im->told.drag_area_m2 = how->drag_area_m2;
    return length_fits(&d.part, report) && evn_speeds_keep_their_unit(&d.part, how->gap_s, report) &&
           evn_measured_find(&d.part, how, &d.measured, &im->told, im->arena, report) && make(im, &d, report);
}
