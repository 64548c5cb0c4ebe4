/* A comparison beside another: verdicts of both, and what the lines of the energy balance moved between them. */
#include "lineup/beside.h"
#include "core/ledger.h"
#include "lineup/common.h"
#include "lineup/likeness.h"
#include "lineup/lineup.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct side { /* a truck in both */
    evn_beside_truck told;
    evn_beside_line line[EVN_LINE_COUNT];
    size_t lines;
} side;

struct evn_beside {
    size_t count;
    side truck[EVN_LINEUP_MOST];
    bool decided[2];
    evn_beside_verdict verdict[2];
    evn_beside_data data[EVN_LIKENESS_COUNT];
    size_t data_count;
};

/* NULL: it did not finish. */
static const evn_results *finished(const evn_comparison *c, size_t truck)
{
    const evn_outcome *outcome = evn_comparison_outcome(c, truck, EVN_BASIS_COMMON);
    return outcome && strcmp(evn_outcome_status(outcome), "finished") == 0 ? evn_outcome_results(outcome) : NULL;
}

static double result_of(const evn_results *results, const char *key)
{
    double value;
    return results && evn_results_get(results, key, &value) ? value : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ trucks */

static void set_truck(evn_beside_truck *told, evn_beside_side at, const evn_comparison *c, size_t place)
{
    const evn_results *own = finished(c, place), *first = finished(c, 0);
    double use = result_of(own, evn_comparison_decides(c)), of_first = result_of(first, evn_comparison_decides(c));
    told->kwh_per_km[at] = result_of(own, "kwh_per_km");
    told->use[at] = use;
    told->alike[at] = evn_comparison_is_alike(c, place);
    evn_comparison_equalised(c, place, &told->given[at]);
    told->percent[at] = place == 0 && first ? 0 : 100 * (use - of_first) / fabs(of_first);
}

/* By how much a truck uses more than another, here and there, in points of the first truck's use. */
static evn_beside_answer answer_of(double here_points, double there_points)
{
    if (isnan(here_points) || isnan(there_points))
        return EVN_BESIDE_UNKNOWN;
    if ((here_points < 0) == (there_points < 0))
        return EVN_BESIDE_SAME;
    bool close = fmin(fabs(here_points), fabs(there_points)) < EVN_BESIDE_CLOSE_POINTS;
    return close ? EVN_BESIDE_OPEN : EVN_BESIDE_OTHER;
}

/* ------------------------------------------------------------------------------------------------ data */

/* Of one truck. */
static evn_beside_data data_of(const evn_comparison *const c[2], size_t truck, size_t place, size_t row)
{
    evn_likeness here = {.value = (double)NAN}, there = {.value = (double)NAN};
    evn_beside_data data = {.truck = truck};
    evn_comparison_likeness_at(c[0], truck, row, &here);
    evn_comparison_likeness_at(c[1], place, row, &there);
    evn_likeness_row_at(row, &data.row);
    data.value[EVN_BESIDE_HERE] = here.value;
    data.value[EVN_BESIDE_THERE] = there.value;
    data.alike = evn_likeness_within(&data.row, there.value, here.value);
    return data;
}

static bool is_judged(const evn_comparison *c, size_t row)
{
    evn_likeness is;
    return evn_comparison_likeness_at(c, 0, row, &is) && is.judged;
}

/* Of the first truck that differs; else of the first. */
static void set_data(evn_beside *b, const evn_comparison *const c[2], const size_t place[])
{
    for (size_t row = 0; row < EVN_LIKENESS_COUNT; row++) {
        if (!is_judged(c[0], row))
            continue;
        evn_beside_data told = data_of(c, 0, place[0], row);
        for (size_t i = 1; told.alike && i < b->count; i++) {
            evn_beside_data other = data_of(c, i, place[i], row);
            told = other.alike ? told : other;
        }
        b->data[b->data_count++] = told;
    }
}

/* ------------------------------------------------------------------------------------------------ lines */

/* The next line of the energy balance from *row on; false: no more. */
static bool next_line(size_t *row, evn_quantity *what)
{
    static const char balance[] = "energy_balance.";
    while (evn_result_row_at((*row)++, what))
        if (strncmp(what->key, balance, sizeof balance - 1) == 0)
            return true;
    return false;
}

/* Per km of its own way; 0 where it has no such part. */
static double per_km(const evn_results *of, const char *key)
{
    double kwh = result_of(of, key);
    return isnan(kwh) ? 0 : kwh / result_of(of, "distance_km");
}

static int by_move(const void *left, const void *right)
{
    const evn_beside_line *a = left, *b = right;
    double more = fabs(b->moved_kwh_km) - fabs(a->moved_kwh_km);
    return more != 0 ? (more > 0) - (more < 0) : strcmp(a->what.key, b->what.key);
}

static bool has(const evn_results *of, const char *key) { return !isnan(result_of(of, key)); }

/* None where one of the four runs did not finish. */
static void set_lines(side *s, const evn_comparison *const c[2], const size_t place[2])
{
    const evn_results *own[2], *first[2];
    for (int k = 0; k < 2; k++) {
        own[k] = finished(c[k], place[k]);
        first[k] = finished(c[k], 0);
        if (!own[k] || !first[k])
            return;
    }
    size_t row = 0;
    evn_quantity what;
    while (next_line(&row, &what)) {
        evn_beside_line line = {.what = what};
        bool told = false;
        line.what.unit = "kWh/km";
        line.what.digits = 3;
        for (int k = 0; k < 2; k++) {
            told = told || has(own[k], what.key) || has(first[k], what.key);
            line.difference_kwh_km[k] = per_km(own[k], what.key) - per_km(first[k], what.key);
        }
        line.moved_kwh_km = line.difference_kwh_km[EVN_BESIDE_THERE] - line.difference_kwh_km[EVN_BESIDE_HERE];
        if (told)
            s->line[s->lines++] = line;
    }
    qsort(s->line, s->lines, sizeof s->line[0], by_move);
}

/* ------------------------------------------------------------------------------------------------ verdicts */

/* The truck that uses least but for one; count: none. */
static size_t least(const evn_beside *b, evn_beside_side at, size_t but)
{
    size_t best = b->count;
    for (size_t i = 0; i < b->count; i++) {
        double percent = b->truck[i].told.percent[at];
        if (i != but && !isnan(percent) && (best == b->count || percent < b->truck[best].told.percent[at]))
            best = i;
    }
    return best;
}

static void decide(evn_beside *b, evn_beside_side at)
{
    evn_beside_verdict *v = &b->verdict[at];
    v->lowest = least(b, at, b->count);
    v->next = least(b, at, v->lowest);
    b->decided[at] = v->lowest < b->count && v->next < b->count;
    if (!b->decided[at])
        return;
    v->lead_points = b->truck[v->next].told.percent[at] - b->truck[v->lowest].told.percent[at];
    v->close = v->lead_points < EVN_BESIDE_CLOSE_POINTS;
}

evn_beside *evn_beside_make(const evn_comparison *here, const evn_comparison *there, const size_t *place, size_t count)
{
    evn_beside *b = calloc(1, sizeof *b);
    const evn_comparison *const both[2] = {here, there};
    for (size_t i = 0; b && i < count; i++) {
        const size_t places[2] = {i, place[i]};
        b->truck[i].told.place_there = place[i];
        set_truck(&b->truck[i].told, EVN_BESIDE_HERE, here, i);
        set_truck(&b->truck[i].told, EVN_BESIDE_THERE, there, place[i]);
        b->truck[i].told.against_first =
            answer_of(b->truck[i].told.percent[EVN_BESIDE_HERE], b->truck[i].told.percent[EVN_BESIDE_THERE]);
        set_lines(&b->truck[i], both, places);
    }
    if (b) {
        b->count = count;
        set_data(b, both, place);
        decide(b, EVN_BESIDE_HERE);
        decide(b, EVN_BESIDE_THERE);
    }
    return b;
}

/* ------------------------------------------------------------------------------------------------ calls */

void evn_beside_free(evn_beside *b) { free(b); }

bool evn_beside_truck_at(const evn_beside *b, size_t truck, evn_beside_truck *out)
{
    if (!b || !out || truck >= b->count)
        return false;
    *out = b->truck[truck].told;
    return true;
}

bool evn_beside_line_at(const evn_beside *b, size_t truck, size_t index, evn_beside_line *out)
{
    if (!b || !out || truck >= b->count || index >= b->truck[truck].lines)
        return false;
    *out = b->truck[truck].line[index];
    return true;
}

bool evn_beside_verdict_of(const evn_beside *b, evn_beside_side at, evn_beside_verdict *out)
{
    if (!b || !out || (at != EVN_BESIDE_HERE && at != EVN_BESIDE_THERE) || !b->decided[at])
        return false;
    *out = b->verdict[at];
    return true;
}

bool evn_beside_data_at(const evn_beside *b, size_t index, evn_beside_data *out)
{
    if (!b || !out || index >= b->data_count)
        return false;
    *out = b->data[index];
    return true;
}

static double gap_points(const evn_beside *b, evn_beside_side at, size_t truck, size_t other)
{
    return b->truck[truck].told.percent[at] - b->truck[other].told.percent[at];
}

evn_beside_answer evn_beside_answers(const evn_beside *b)
{
    if (!b || !b->decided[EVN_BESIDE_HERE] || !b->decided[EVN_BESIDE_THERE])
        return EVN_BESIDE_UNKNOWN;
    size_t here = b->verdict[EVN_BESIDE_HERE].lowest, there = b->verdict[EVN_BESIDE_THERE].lowest;
    return answer_of(gap_points(b, EVN_BESIDE_HERE, here, there), gap_points(b, EVN_BESIDE_THERE, here, there));
}
