/* What held a truck back, out of the pieces of its logs. */
#include "coastdown/find.h"
#include "coastdown/judge.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

typedef struct bound {
    const char *name;
    double value, least, most;
    bool may_be_absent;
} bound;

bool evn_coast_how_fits(const evn_coastdown_how *how, evn_report *report)
{
    const bound bounds[] = {{"mass_kg", how->mass_kg, 500, 500000, false},
                            {"tyres", how->tyres, 2, 64, true},
                            {"rotating_kg", how->rotating_kg, 0, 50000, true},
                            {"gravity_m_s2", how->gravity_m_s2, 9.7, 9.9, false},
                            {"from_km_h", how->from_km_h, 20, 200, true},
                            {"to_km_h", how->to_km_h, 1, 150, false},
                            {"band_km_h", how->band_km_h, 1, 30, false},
                            {"grade_percent", how->grade_percent, -10, 10, true},
                            {"air_density_kg_m3", how->air_density_kg_m3, 0.5, 2, true},
                            {"altitude_m", how->altitude_m, -500, 9000, true},
                            {"temperature_degc", how->temperature_degc, -60, 60, true},
                            {"headwind_m_s", how->headwind_m_s, -20, 20, true}};
    bool fit = true;
    for (size_t k = 0; k < sizeof bounds / sizeof bounds[0]; k++) {
        const bound *b = &bounds[k];
        if ((b->may_be_absent && isnan(b->value)) || (b->value >= b->least && b->value <= b->most))
            continue;
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "%s is %g; %g to %g was expected", b->name,
                b->value, b->least, b->most);
        fit = false;
    }
    return fit;
}

/* ------------------------------------------------------------------------------------------------ given */

/* What turns with a wheel weighs as much as 56.7 kg on top for each tyre: 40 CFR 1066.310(b)(7)(ii)(B). */
static const double TYRE_KG = 56.7;

static void put_grade(evn_coast_piece *p, double percent)
{
    for (size_t i = 0; i < p->run.count && !isnan(percent); i++)
        p->sample[i].grade = (p->run.back ? -0.01 : 0.01) * percent;
}

/* Wind counts as measured where every run knows it; where one does not, it is sought for all. */
static void put_given(evn_coastdown *c)
{
    const evn_coastdown_how *how = &c->how;
    double rotating = isnan(how->rotating_kg) ? how->tyres * TYRE_KG : how->rotating_kg;
    c->vehicle = (evn_coast_vehicle){how->mass_kg, isnan(rotating) ? 0 : rotating, how->gravity_m_s2};
    for (size_t k = 0; k < c->pieces.count; k++) {
        put_grade(&c->pieces.at[k], how->grade_percent);
        c->wind_found = c->wind_found || !c->pieces.at[k].wind_along;
    }
    c->wind_found = c->wind_found && isnan(how->headwind_m_s);
    for (size_t k = 0; k < c->pieces.count && c->wind_found; k++)
        for (size_t i = 0; i < c->pieces.at[k].run.count; i++)
            c->pieces.at[k].sample[i].headwind_m_s = 0;
}

/* ------------------------------------------------------------------------------------------------ finding */

static bool out_of_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over coast-downs");
    return false;
}

static bool regress(evn_coastdown *c, double wind_m_s)
{
    double width_m_s = c->how.band_km_h * EVN_M_S_PER_KM_H;
    size_t bands = evn_coast_bands(&c->vehicle, c->run, c->runs, width_m_s, wind_m_s, NULL, 0);
    c->band = evn_arena_take(c->arena, (bands + 1) * sizeof *c->band);
    if (!c->band)
        return false;
    c->bands = evn_coast_bands(&c->vehicle, c->run, c->runs, width_m_s, wind_m_s, c->band, bands);
    evn_coast_regress(&c->vehicle, c->run, c->runs, c->band, c->bands, &c->regression);
    return true;
}

static double wind_given(const evn_coastdown *c) { return isnan(c->how.headwind_m_s) ? 0 : c->how.headwind_m_s; }

static bool fit(evn_coastdown *c)
{
    evn_coast_road_load begin = c->regression.load;
    evn_coast_sought sought = 1u << EVN_COAST_ROLLING | 1u << EVN_COAST_DRAG;
    begin.of[EVN_COAST_WIND] = wind_given(c);
    begin.of[EVN_COAST_ROLLING_S_M] = 0;
    sought |= c->wind_found ? 1u << EVN_COAST_WIND : 0;
    sought |= c->how.with_speed ? 1u << EVN_COAST_ROLLING_S_M : 0;
    return evn_coast_fit(&c->vehicle, c->run, c->runs, sought, &begin, c->own, &c->fit);
}

/* Pairs, regression, fit, and once more where one of them showed a run that does not do. */
static bool find_round(evn_coastdown *c, bool *again)
{
    *again = false;
    evn_coast_pair(c);
    if (c->runs == 0)
        return true;
    if (!regress(c, wind_given(c)))
        return false;
    *again = c->regression.there && evn_coast_refuse_uneven(c);
    if (*again || !c->regression.there)
        return true;
    if (!fit(c))
        return false;
    *again = c->fit.there && evn_coast_refuse_outlier(c);
    return true;
}

/* Those that have no partner may have one once others are left out. */
static void forget_partners(evn_coastdown *c)
{
    static const char no_partner[] = "no_partner";
    for (size_t k = 0; k < c->pieces.count; k++) {
        evn_coast_piece *p = &c->pieces.at[k];
        bool lone = p->reason && strcmp(p->reason, no_partner) == 0;
        p->reason = lone ? NULL : p->reason;
    }
}

static void tell_refused(const evn_coastdown *c, evn_report *report)
{
    for (size_t k = 0; k < c->pieces.count; k++) {
        const evn_coast_piece *p = &c->pieces.at[k];
        if (p->reason)
            evn_say(report, EVN_FAULT_RUN_REFUSED, (evn_spot){evn_report_file(report, p->file), p->line, 1},
                    evn_nowhere, "run %zu is left out: %s", k + 1, p->why);
    }
}

static bool nothing_came(const evn_coastdown *c, evn_report *report)
{
    const char *why = c->regression.there ? c->fit.why_not : c->regression.why_not;
    if (c->runs == 0)
        evn_say(report, EVN_FAULT_NO_COASTING, evn_nowhere, evn_nowhere,
                "%zu coast-downs were found in these logs, and no two are left that go opposite ways; one out and one "
                "back at least were expected, each over 30 km/h or more",
                c->pieces.count);
    else
        evn_say(report, EVN_FAULT_NO_COASTING, evn_nowhere, evn_nowhere, "nothing comes of these runs: %s", why);
    return false;
}

bool evn_coast_find(evn_coastdown *c, evn_report *report)
{
    bool again = true;
    if (!evn_coast_all_differ(c, report) || !evn_coast_directions(c, report))
        return false;
    put_given(c);
    while (again) {
        forget_partners(c);
        if (!find_round(c, &again))
            return out_of_memory(report);
    }
    tell_refused(c, report);
    if (c->runs == 0 || !c->regression.there || !c->fit.there)
        return nothing_came(c, report);
    /* Once more with the wind that the fit found, so that the regression's intercept is free of it. */
    if (c->wind_found && !regress(c, c->fit.load.of[EVN_COAST_WIND]))
        return out_of_memory(report);
    c->fit.there = evn_coast_is_possible(c, report);
    return c->fit.there;
}
