/* Which runs do not do. */
#include "coastdown/judge.h"
#include "core/units.h"
#include <math.h>
#include <stdlib.h>

/* Of a normal distribution the standard deviation over the median of what lies off the middle. */
static const double MAD_TO_DEVIATION = 1.4826;

/* ------------------------------------------------------------------------------------------------ directions */

static bool directions_given(evn_coastdown *c, evn_report *report)
{
    for (size_t k = 0; k < c->how.backs; k++) {
        size_t number = c->how.back[k];
        if (number < 1 || number > c->pieces.count) {
            evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                    "run %zu is to go back; 1 to %zu were expected, the coast-downs that the logs hold", number,
                    c->pieces.count);
            return false;
        }
        c->pieces.at[number - 1].run.back = true;
    }
    return true;
}

static double apart_deg(double a, double b)
{
    double apart = fabs(a - b) - 360 * floor(fabs(a - b) / 360);
    return fmin(apart, 360 - apart);
}

bool evn_coast_directions(evn_coastdown *c, evn_report *report)
{
    static const double ALONG_DEG = 30;
    double first = (double)NAN;
    if (c->how.back)
        return directions_given(c, report);
    for (size_t k = 0; k < c->pieces.count; k++) {
        evn_coast_piece *p = &c->pieces.at[k];
        if (isnan(p->course_deg)) {
            evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, p->file), p->line, 1}, evn_nowhere,
                    "where this coast-down goes to is not known; a column of heading, or latitude and longitude, was "
                    "expected, or the numbers of runs that go back");
            return false;
        }
        first = isnan(first) ? p->course_deg : first;
        double apart = apart_deg(first, p->course_deg);
        p->run.back = apart > 90;
        if (apart > ALONG_DEG && apart < 180 - ALONG_DEG)
            evn_coast_refuse(p, "other_road", "it goes %.0f degrees off the first run; the same road was expected",
                             apart);
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ uneven runs */

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *value, size_t count)
{
    qsort(value, count, sizeof *value, by_size);
    return count == 0 ? (double)NAN : (value[(count - 1) / 2] + value[count / 2]) / 2;
}

static double fitted_n(const evn_coastdown *c, const evn_coast_band *b, const evn_coast_road_load *load)
{
    return c->vehicle.mass_kg * c->vehicle.gravity_m_s2 * b->slope_cos * load->of[EVN_COAST_ROLLING] +
           0.5 * b->density_kg_m3 * load->of[EVN_COAST_DRAG] * b->speed2_m2_s2;
}

/*
 * A band whose force lies further off the line through all bands than six times their scatter, and than a quarter of
 * the force: a brake, a pull, a gust, a lorry in front. The line is the regression's, and the worst run goes first,
 * after which there is another line.
 */
bool evn_coast_refuse_uneven(evn_coastdown *c)
{
    static const double DEVIATIONS = 6, SHARE = 0.25;
    double *off = malloc(c->bands * sizeof *off), worst = 0;
    const evn_coast_band *at = NULL;
    if (!off)
        return false;
    for (size_t b = 0; b < c->bands; b++)
        off[b] = fabs(c->band[b].force_n - fitted_n(c, &c->band[b], &c->regression.load));
    double most = DEVIATIONS * MAD_TO_DEVIATION * median(off, c->bands);
    for (size_t b = 0; b < c->bands; b++) {
        double fitted = fitted_n(c, &c->band[b], &c->regression.load), apart = fabs(c->band[b].force_n - fitted);
        if (apart > fmax(most, SHARE * fabs(fitted)) && apart > worst) {
            worst = apart;
            at = &c->band[b];
        }
    }
    free(off);
    if (!at)
        return false;
    double more = at->force_n - fitted_n(c, at, &c->regression.load);
    evn_coast_refuse(&c->pieces.at[c->piece_of[at->run]], "uneven",
                     "at %.0f km/h it is slowed by %.0f N %s than the others; a brake, a pull or a gust",
                     3.6 * at->speed_m_s, fabs(more), more > 0 ? "more" : "less");
    return true;
}

/* ------------------------------------------------------------------------------------------------ outliers */

/* Force of a run's own coefficients in the middle of its speeds. */
static double own_n(const evn_coastdown *c, size_t run, double speed_m_s)
{
    return c->vehicle.mass_kg * c->vehicle.gravity_m_s2 * c->own[run].rolling +
           0.5 * c->run[run].density_kg_m3 * c->own[run].drag_area_m2 * speed_m_s * speed_m_s;
}

static double middle_m_s(const evn_coastdown *c)
{
    double sum = 0;
    for (size_t r = 0; r < c->runs; r++)
        sum += (c->run[r].at[0].speed_m_s + c->run[r].at[c->run[r].count - 1].speed_m_s) / 2;
    return sum / (double)c->runs;
}

/* A run whose own force lies further from the median than four times the scatter of runs, and than 8 % of it. */
bool evn_coast_refuse_outlier(evn_coastdown *c)
{
    enum { RUNS_LEAST = 5 };
    static const double DEVIATIONS = 4, SHARE = 0.08;
    double value[EVN_COAST_PIECES_MOST], off[EVN_COAST_PIECES_MOST], speed_m_s = middle_m_s(c), worst = 0;
    size_t at = c->runs;
    for (size_t r = 0; r < c->runs; r++)
        value[r] = own_n(c, r, speed_m_s);
    double middle = median(value, c->runs);
    for (size_t r = 0; r < c->runs; r++)
        off[r] = fabs(own_n(c, r, speed_m_s) - middle);
    double most = fmax(DEVIATIONS * MAD_TO_DEVIATION * median(off, c->runs), SHARE * middle);
    for (size_t r = 0; r < c->runs && c->runs >= RUNS_LEAST; r++) {
        double apart = fabs(own_n(c, r, speed_m_s) - middle);
        if (apart > most && apart > worst) {
            worst = apart;
            at = r;
        }
    }
    if (at == c->runs)
        return false;
    evn_coast_refuse(&c->pieces.at[c->piece_of[at]], "outlier",
                     "by itself it tells %.0f N at %.0f km/h, where the middle of all is %.0f N",
                     own_n(c, at, speed_m_s), 3.6 * speed_m_s, middle);
    return true;
}

/* ------------------------------------------------------------------------------------------------ the same twice */

static bool is_same(const evn_coast_piece *a, const evn_coast_piece *b)
{
    bool apart = a->run.count != b->run.count || (a->course_deg != b->course_deg && !isnan(a->course_deg));
    for (size_t i = 0; !apart && i < a->run.count; i++)
        apart = a->run.at[i].time_s != b->run.at[i].time_s || a->run.at[i].speed_m_s != b->run.at[i].speed_m_s;
    return !apart;
}

bool evn_coast_all_differ(const evn_coastdown *c, evn_report *report)
{
    for (size_t k = 1; k < c->pieces.count; k++)
        for (size_t j = 0; j < k; j++)
            if (is_same(&c->pieces.at[j], &c->pieces.at[k])) {
                const evn_coast_piece *p = &c->pieces.at[k], *before = &c->pieces.at[j];
                evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, p->file), p->line, 1},
                        evn_nowhere,
                        "run %zu has the times and speeds of run %zu (%s:%u); runs of their own were expected, as one "
                        "that counts twice narrows the intervals for nothing",
                        k + 1, j + 1, before->file, before->line);
                return false;
            }
    return true;
}

/* ------------------------------------------------------------------------------------------------ possible */

/*
 * Common practice, no source: tyres on rails and on loose ground; a small van and twice a high truck; wind as it may be
 * given.
 */
bool evn_coast_is_possible(const evn_coastdown *c, evn_report *report)
{
    const struct {
        const evn_coast_found *found;
        const char *by, *what;
        size_t law;
        double least, most;
    } bounds[] = {{&c->fit, "the fit", "a rolling coefficient", EVN_COAST_ROLLING, 0.001, 0.05},
                  {&c->fit, "the fit", "a drag area in m2", EVN_COAST_DRAG, 1, 20},
                  {&c->fit, "the fit", "a wind along the road in m/s", EVN_COAST_WIND, -20, 20},
                  {&c->regression, "the regression", "a rolling coefficient", EVN_COAST_ROLLING, 0.001, 0.05},
                  {&c->regression, "the regression", "a drag area in m2", EVN_COAST_DRAG, 1, 20}};
    for (size_t k = 0; k < sizeof bounds / sizeof *bounds; k++) {
        double value = bounds[k].found->load.of[bounds[k].law];
        if (value >= bounds[k].least && value <= bounds[k].most)
            continue;
        evn_say(report, EVN_FAULT_NO_COASTING, evn_nowhere, evn_nowhere,
                "nothing comes of these runs: %s tells %s of %.4g; %g to %g was expected. Grade, mass, directions or "
                "units are not what they are called, or brakes and motors were at work",
                bounds[k].by, bounds[k].what, value, bounds[k].least, bounds[k].most);
        return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ pairs */

void evn_coast_pair(evn_coastdown *c)
{
    size_t each[2] = {0}, group[2] = {0};
    for (size_t k = 0; k < c->pieces.count; k++)
        each[c->pieces.at[k].run.back] += !c->pieces.at[k].reason;
    size_t pairs = each[0] < each[1] ? each[0] : each[1];
    c->runs = 0;
    for (size_t k = 0; k < c->pieces.count; k++) {
        evn_coast_piece *p = &c->pieces.at[k];
        if (p->reason)
            continue;
        p->run.group = group[p->run.back]++;
        if (p->run.group >= pairs) {
            evn_coast_refuse(p, "no_partner", "no run the other way is left to go with it");
            continue;
        }
        c->piece_of[c->runs] = k;
        c->run[c->runs++] = p->run;
    }
}
