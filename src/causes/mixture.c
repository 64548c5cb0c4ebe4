/* Makes hybrids, finds the same ones by their hashes, and drives what is wanted of them. */
#include "causes/mixture.h"
#include "core/field_hash.h"
#include "lineup/outcome.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ which there are */

static bool same(const evn_mixed *a, const evn_mixed *b)
{
    double x = a->load_case.payload_kg, y = b->load_case.payload_kg;
    return a->hybrid.sound && b->hybrid.sound && a->hash == b->hash && (x == y || (isnan(x) && isnan(y)));
}

static size_t place_of(const evn_mixture *m, const evn_mixed *is)
{
    size_t k = 0;
    while (k < m->count && !same(&m->one[k], is))
        k++;
    return k;
}

bool evn_mixture_make(const evn_two *two, evn_arena *arena, evn_mixture *m)
{
    const evn_donors from = {two->truck[0], two->truck[1], arena};
    *m = (evn_mixture){.count = 0};
    for (unsigned set = 0; set < EVN_HYBRIDS_MOST; set++) {
        evn_mixed *is = &m->one[m->count];
        *is = (evn_mixed){.value = (double)NAN, .load_case = two->load_case[set >> EVN_CAUSE_BODY & 1u]};
        if (!evn_hybrid_make(&from, set, &is->hybrid))
            return false;
        is->hash = is->hybrid.sound ? evn_object_hash(&evn_truck_object, &is->hybrid.truck) : 0;
        m->place[set] = place_of(m, is);
        m->count += m->place[set] == m->count;
    }
    return true;
}

void evn_mixture_end(evn_mixture *m)
{
    for (size_t k = 0; k < m->count; k++) {
        evn_rig_free(m->one[k].rig);
        evn_reach_end(&m->one[k].reach);
        m->one[k].rig = NULL;
    }
    m->count = 0;
}

static bool goes_together(unsigned set, const unsigned group[EVN_CAUSE_COUNT])
{
    for (unsigned a = 0; a < EVN_CAUSE_COUNT; a++)
        for (unsigned b = 0; b < a; b++)
            if (group[a] == group[b] && (set >> a & 1u) != (set >> b & 1u))
                return false;
    return true;
}

size_t evn_mixture_want(evn_mixture *m, const unsigned group[EVN_CAUSE_COUNT])
{
    size_t count = 0;
    for (size_t k = 0; k < m->count; k++)
        m->one[k].wanted = false;
    for (unsigned set = 0; set < EVN_HYBRIDS_MOST; set++)
        if (goes_together(set, group) && !m->one[m->place[set]].wanted) {
            m->one[m->place[set]].wanted = true;
            count++;
        }
    return count;
}

/* ------------------------------------------------------------------------------------------------ what they take */

bool evn_mixed_take(const evn_results *results, const char *decides, double *value, double line[EVN_CAUSE_LINES])
{
    double battery_kwh, sum = 0;
    char key[96];
    if (!evn_results_get(results, decides, value) || !evn_results_get(results, "battery_kwh", &battery_kwh) ||
        battery_kwh == 0)
        return false;
    double per_kwh = *value / battery_kwh; /* over distance, and payload where that is judged */
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        snprintf(key, sizeof key, "energy_balance.%s_kwh", evn_line_rows[k].key);
        double kwh = 0; /* of a part that the truck does not have */
        evn_results_get(results, key, &kwh);
        line[k] = kwh * per_kwh;
        sum += line[k];
    }
    line[EVN_LINE_COUNT] = *value - sum;
    return true;
}

static void fail(evn_mixed *is, const char *why)
{
    is->value = (double)NAN;
    snprintf(is->reason, sizeof is->reason, "%s", why ? why : "it could not be driven");
}

static void take(evn_mixed *is, const evn_run *run, const evn_mixing *how, double late_share)
{
    is->late = is->slow = false;
    is->reason[0] = '\0';
    if (strcmp(run->status, "interrupted") == 0)
        return;
    if (strcmp(run->status, "finished") != 0 || !evn_mixed_take(run->results, how->decides, &is->value, is->line)) {
        fail(is, evn_outcome_why(run->report));
        return;
    }
    evn_results_get(run->results, "duration_s", &is->duration_s);
    evn_results_get(run->results, "mean_speed_km_h", &is->mean_km_h);
    is->late = late_share > 0 ? !evn_is_in_time(run->results, late_share) : !evn_reach_keeps(&is->reach, run->results);
    is->slow = !evn_is_in_time(run->results, EVN_HYBRID_SLOW_SHARE);
}

/* ------------------------------------------------------------------------------------------------ a round */

static evn_run run_of(evn_mixed *is, const evn_mixing *how)
{
    return (evn_run){.rig = is->rig,
                     .truck = &is->hybrid.truck,
                     .load_case = is->load_case,
                     .cycle = how->cycle,
                     .driving = how->driving,
                     .report = evn_report_new()};
}

/* Those whose rig could not be made have said why. */
static size_t make_ready(evn_mixture *m, evn_run *run, size_t *of, size_t count)
{
    size_t kept = 0;
    for (size_t k = 0; k < count; k++) {
        evn_mixed *is = &m->one[of[k]];
        if (run[k].made) {
            is->rig = run[k].made;
            run[k].made = NULL;
        }
        if (!is->rig) {
            fail(is, evn_outcome_why(run[k].report));
            evn_report_free(run[k].report);
            continue;
        }
        is->sampler = evn_reach_sampler(&is->reach, is->rig);
        run[k].rig = is->rig;
        run[k].sampler = &is->sampler;
        run[k].samplers = 1;
        of[kept] = of[k];
        run[kept++] = run[k];
    }
    return kept;
}

static bool drive_round(evn_mixture *m, const evn_mixing *how, const evn_ceiling *speed, double late_share,
                        evn_run *run, size_t *of)
{
    size_t count = 0;
    bool all = true;
    for (size_t k = 0; k < m->count; k++)
        if (m->one[k].wanted) {
            of[count] = k;
            run[count] = run_of(&m->one[k], how);
            evn_common_ask(&run[count], speed);
            all = run[count++].report && all;
        }
    if (all) {
        evn_runs_prepare(how->runs, run, count);
        size_t asked = count;
        count = make_ready(m, run, of, count);
        evn_runs_drive(how->runs, run, count);
        *how->to_come -= asked < *how->to_come ? asked : *how->to_come;
        evn_runs_expect(how->runs, *how->to_come);
    }
    for (size_t k = 0; k < count; k++) {
        evn_mixed *is = &m->one[of[k]];
        if (all)
            take(is, &run[k], how, late_share);
        all = all && !is->reach.out_of_memory;
        evn_run_forget(&run[k]);
        evn_report_free(run[k].report);
    }
    return all;
}

bool evn_mixture_drive(evn_mixture *m, const evn_mixing *how, const evn_ceiling *speed, double late_share)
{
    evn_run *run = calloc(EVN_HYBRIDS_MOST, sizeof *run);
    size_t *of = calloc(EVN_HYBRIDS_MOST, sizeof *of);
    bool all = run && of && drive_round(m, how, speed, late_share, run, of);
    free(run);
    free(of);
    return all;
}

bool evn_mixture_lower(const evn_mixture *m, evn_ceiling *speed)
{
    bool all = true;
    for (size_t k = 0; all && k < m->count; k++)
        if (m->one[k].wanted)
            all = evn_ceiling_lower(speed, &m->one[k].reach.speeds);
    evn_common_thin(speed);
    return all;
}
