/*
 * Results of several runs put together: ways, times, energies and counts add up, of peaks the highest counts, masses
 * are means over the way, and what is a quotient is made anew of the sums.
 */
#include "core/arena.h"
#include "core/units.h"
#include "duty/duty.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

typedef struct together {
    const evn_share_of *of;
    size_t count;
    bool one_after_another;
    evn_results *out;
} together;

static bool is(const char *a, const char *b) { return strcmp(a, b) == 0; }

/* ------------------------------------------------------------------------------------------------ rows */

static size_t row_of(const evn_results *r, const char *key, size_t hint)
{
    if (hint < r->count && is(r->result[hint].what.key, key))
        return hint;
    size_t k = 0;
    while (k < r->count && !is(r->result[k].what.key, key))
        k++;
    return k;
}

/* Behind the row before it there, so that rows which only some runs have stand where they stand in those. */
static void add_row(evn_results *to, const evn_result *row, size_t behind)
{
    memmove(to->result + behind + 1, to->result + behind, (to->count - behind) * sizeof *to->result);
    to->result[behind] = *row;
    to->count++;
}

static bool take_rows(evn_results *to, const evn_results *from)
{
    evn_result *larger = realloc(to->result, (to->count + from->count + 1) * sizeof *larger);
    if (!larger)
        return false;
    to->result = larger;
    for (size_t k = 0, at = 0; k < from->count; k++) {
        size_t there = row_of(to, from->result[k].what.key, at);
        if (there == to->count)
            add_row(to, &from->result[k], there = at);
        at = there + 1;
    }
    return true;
}

/* Keys outlive the runs that they are taken from. */
static bool own_keys(evn_results *to)
{
    bool all = true;
    for (size_t k = 0; all && k < to->count; k++) {
        const char *key = to->result[k].what.key;
        to->result[k].what.key = evn_arena_text(to->arena, key, strlen(key));
        all = to->result[k].what.key;
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ values */

/* 0 where a run has no such row. */
static double value_of(const evn_results *r, const char *key)
{
    size_t k = row_of(r, key, 0);
    return k < r->count ? r->result[k].value : 0;
}

static double sum(const together *t, const char *key)
{
    double all = 0;
    for (size_t i = 0; i < t->count; i++)
        all += t->of[i].times * value_of(t->of[i].results, key);
    return all;
}

static double most(const together *t, const char *key)
{
    double highest = (double)NAN;
    for (size_t i = 0; i < t->count; i++) {
        size_t k = row_of(t->of[i].results, key, 0);
        if (k < t->of[i].results->count)
            highest = fmax(highest, t->of[i].results->result[k].value);
    }
    return highest;
}

static double per(double a, double b) { return b > 0 ? a / b : (double)NAN; }

/* Of runs without a way, over their time. */
static double mean_over(const together *t, const char *key, const char *over)
{
    double weight = 0, all = 0;
    for (size_t i = 0; i < t->count; i++) {
        const evn_results *r = t->of[i].results;
        double w = t->of[i].times * value_of(r, over), value = value_of(r, key);
        if (w > 0 && isfinite(value)) {
            weight += w;
            all += w * value;
        }
    }
    return per(all, weight);
}

static double mean(const together *t, const char *key)
{
    return mean_over(t, key, sum(t, "distance_km") > 0 ? "distance_km" : "duration_s");
}

static double all_of_it(const together *t, const char *key)
{
    double judged = (double)NAN;
    for (size_t i = 0; i < t->count; i++) {
        double one = value_of(t->of[i].results, key);
        if (value_of(t->of[i].results, "distance_km") > 0 && !isnan(one))
            judged = isnan(judged) ? one : fmin(judged, one);
    }
    return judged;
}

/* ------------------------------------------------------------------------------------------------ rules of their own
 */

static double mean_speed(const together *t) { return per(3600 * sum(t, "distance_km"), sum(t, "duration_s")); }
static double kwh_per_km(const together *t) { return per(sum(t, "battery_kwh"), sum(t, "distance_km")); }

static double kwh_per_t_km(const together *t)
{
    double t_km = 0;
    for (size_t i = 0; i < t->count; i++) {
        const evn_results *r = t->of[i].results;
        t_km += t->of[i].times * value_of(r, "distance_km") * value_of(r, "payload_kg") / 1000;
    }
    return per(sum(t, "battery_kwh"), t_km);
}

static double motor_braking_share(const together *t)
{
    double motors = sum(t, "regenerative_braking_kwh");
    return per(motors, motors + sum(t, "energy_balance.friction_brakes_kwh") + sum(t, "energy_balance.retarder_kwh"));
}

static double gear_changes_per_100_km(const together *t)
{
    return per(100 * sum(t, "gear_changes"), sum(t, "distance_km"));
}

/* The last of phases, the lowest of days. */
static double final_soc(const together *t)
{
    double lowest = value_of(t->of[t->count - 1].results, "final_soc");
    for (size_t i = 0; !t->one_after_another && i < t->count; i++)
        lowest = fmin(lowest, value_of(t->of[i].results, "final_soc"));
    return lowest;
}

static double balance_error(const together *t)
{
    static const char balance[] = "energy_balance.";
    double lines = 0, stored = sum(t, "charged_stored_kwh");
    for (size_t k = 0; k < t->out->count; k++)
        if (strncmp(t->out->result[k].what.key, balance, sizeof balance - 1) == 0)
            lines += sum(t, t->out->result[k].what.key);
    return per(fabs(sum(t, "battery_kwh") - stored - lines),
               sum(t, "discharged_kwh") + sum(t, "regenerated_kwh") + stored);
}

/* By the time in which they braked, which each run's mean tells. */
static double friction_mean(const together *t)
{
    double hours = 0;
    for (size_t i = 0; i < t->count; i++) {
        double mean_kw = value_of(t->of[i].results, "friction_brakes_mean_kw");
        if (mean_kw > 0)
            hours += t->of[i].times * value_of(t->of[i].results, "energy_balance.friction_brakes_kwh") / mean_kw;
    }
    return per(sum(t, "energy_balance.friction_brakes_kwh"), hours);
}

static const struct own_rule {
    const char *key;
    double (*of)(const together *);
} own_rules[] = {
    {"mean_speed_km_h", mean_speed},
    {"kwh_per_km", kwh_per_km},
    {"kwh_per_t_km", kwh_per_t_km},
    {"motor_braking_share", motor_braking_share},
    {"gear_changes_per_100_km", gear_changes_per_100_km},
    {"final_soc", final_soc},
    {"balance_error", balance_error},
    {"friction_brakes_mean_kw", friction_mean},
};

/* By its unit, unless it has a rule of its own. */
static double put_together(const together *t, const evn_quantity *what)
{
    for (size_t k = 0; k < COUNT(own_rules); k++)
        if (is(what->key, own_rules[k].key))
            return own_rules[k].of(t);
    if (what->kind == EVN_YES_NO)
        return all_of_it(t, what->key);
    if (is(what->unit, "kWh") || is(what->unit, "s") || is(what->unit, "km") || what->kind == EVN_WHOLE)
        return sum(t, what->key);
    return is(what->unit, "degC") || is(what->unit, "kW") ? most(t, what->key) : mean(t, what->key);
}

/* ------------------------------------------------------------------------------------------------ lists */

static int longer_first(const void *a, const void *b)
{
    double x = ((const evn_limitation *)a)->duration_s, y = ((const evn_limitation *)b)->duration_s;
    return (x < y) - (x > y);
}

static void add_limitation(evn_results *to, const evn_limitation *l, double times)
{
    size_t k = 0;
    while (k < to->limitation_count && !is(to->limitation[k].limit, l->limit))
        k++;
    if (k == COUNT(to->limitation))
        return;
    evn_limitation *at = &to->limitation[k];
    if (k == to->limitation_count) {
        *at = *l;
        at->duration_s = times * l->duration_s;
        to->limitation_count++;
        return;
    }
    double so_far_s = at->duration_s + times * l->duration_s;
    if (l->below_target_km_h > at->below_target_km_h)
        *at = *l;
    at->duration_s = so_far_s;
}

static int more_first(const void *a, const void *b)
{
    double x = ((const evn_friction_cause *)a)->kwh, y = ((const evn_friction_cause *)b)->kwh;
    return (x < y) - (x > y);
}

static void add_cause(evn_results *to, const evn_friction_cause *c, double times)
{
    size_t k = 0;
    while (k < to->cause_count && !is(to->cause[k].cause, c->cause))
        k++;
    if (k == COUNT(to->cause))
        return;
    if (k == to->cause_count) {
        to->cause[k] = (evn_friction_cause){c->cause, c->label, 0};
        to->cause_count++;
    }
    to->cause[k].kwh += times * c->kwh;
}

/* The same parts in all runs of one truck, in one order. False when memory is out. */
static bool add_peaks(evn_results *to, const evn_results *from)
{
    if (!to->peak && from->peak_count > 0) {
        to->peak = evn_arena_take(to->arena, from->peak_count * sizeof *to->peak);
        for (size_t k = 0; to->peak && k < from->peak_count; k++) {
            evn_peak_temperature *at = &to->peak[k];
            *at = from->peak[k];
            at->of = at->of ? evn_arena_text(to->arena, at->of, strlen(at->of)) : NULL;
            if (from->peak[k].of && !at->of)
                return false;
        }
        to->peak_count = to->peak ? from->peak_count : 0;
        return to->peak;
    }
    for (size_t k = 0; k < to->peak_count && k < from->peak_count; k++) {
        to->peak[k].peak_degc = fmax(to->peak[k].peak_degc, from->peak[k].peak_degc);
        to->peak[k].low_degc = fmax(to->peak[k].low_degc, from->peak[k].low_degc);
        to->peak[k].high_degc = fmax(to->peak[k].high_degc, from->peak[k].high_degc);
    }
    return true;
}

static bool add_lists(evn_results *to, const evn_share_of *of)
{
    const evn_results *from = of->results;
    for (size_t k = 0; k < from->limitation_count; k++)
        add_limitation(to, &from->limitation[k], of->times);
    for (size_t k = 0; k < from->cause_count; k++)
        add_cause(to, &from->cause[k], of->times);
    to->steps += from->steps;
    to->events += from->events;
    return add_peaks(to, from);
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* Masses change along the day: what is told of all of it is told as what it is. */
static void name_means(evn_quantity *what)
{
    bool payload = is(what->key, "payload_kg");
    if (!payload && !is(what->key, "gross_mass_kg"))
        return;
    what->label = payload ? "mean payload" : "mean gross mass";
    what->short_label = what->label;
    what->help = payload ? "payload, its mean over the distance"
                         : "mass of the whole combination with payload, its mean over the distance";
}

static bool fill(together *t)
{
    evn_results *out = t->out;
    bool all = true;
    for (size_t i = 0; all && i < t->count; i++)
        all = take_rows(out, t->of[i].results) && add_lists(out, &t->of[i]);
    if (!all)
        return false;
    for (size_t k = 0; k < out->count; k++)
        out->result[k].value = put_together(t, &out->result[k].what);
    for (size_t k = 0; k < out->count; k++)
        name_means(&out->result[k].what);
    qsort(out->limitation, out->limitation_count, sizeof *out->limitation, longer_first);
    qsort(out->cause, out->cause_count, sizeof *out->cause, more_first);
    return own_keys(out);
}

evn_results *evn_results_together(const evn_share_of *of, size_t count, bool one_after_another, const char *status)
{
    evn_results *out = calloc(1, sizeof *out);
    if (!out || count == 0) {
        free(out);
        return NULL;
    }
    out->arena = evn_arena_new();
    out->status = status;
    together t = {of, count, one_after_another, out};
    if (out->arena && fill(&t))
        return out;
    evn_results_free(out);
    return NULL;
}
