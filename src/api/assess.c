/* Verdicts behind evener/assess.h. */
#include "assess/assess.h"
#include "api/erring.h"
#include "api/objects.h"
#include "core/field_number.h"
#include "lineup/equal.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include <math.h>
#include <stdint.h>

static bool how_fits(const evn_assess_how *how, evn_report *report)
{
    bool fits = how->energy_percent >= 0 && how->energy_percent <= 50;
    if (!fits)
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "energy_percent is %g; expected 0 to 50",
                how->energy_percent);
    if (!(how->annual_km == 0 || (how->annual_km >= 100 && how->annual_km <= 1e6))) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "annual_km is %g; expected 100 to 1000000, or 0: as the prices say", how->annual_km);
        fits = false;
    }
    if (how->years > EVN_MONEY_YEARS_MOST) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "years is %u; expected 1 to %d, or 0: as the prices say", how->years, EVN_MONEY_YEARS_MOST);
        fits = false;
    }
    return fits;
}

/* Days that were driven of as many trucks, where days are asked. */
static bool is_prepared(const evn_assess_how *how, size_t trucks, evn_report *report)
{
    const evn_assessment *p = how->prepared;
    if (!p || how->only_standing || (p->use && p->count == trucks && !p->payback == !how->prices))
        return true;
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
            "an assessment of %zu trucks %s days and %s prices; expected one with the days of the same %zu trucks and "
            "the same prices",
            p->count, p->use ? "with" : "without", p->payback ? "with" : "without", trucks);
    return false;
}

static bool has_duty(const evn_lineup *lineup, evn_report *report)
{
    if (evn_lineup_duty_file(lineup))
        return true;
    evn_say(report, EVN_FAULT_MISSING_KEY, evn_nowhere, evn_nowhere,
            "the lineup '%.80s' drives a cycle, which demands nothing; expected a lineup with a duty and its demands",
            evn_lineup_name(lineup) ? evn_lineup_name(lineup) : "of trucks");
    return false;
}

/* Trucks that are made equal stand in the arena, which goes with the assessment. */
static evn_assessment *make(const evn_lineup *lineup, const evn_conditions *ask, const evn_assess_how *how,
                            evn_arena *arena, evn_report *report)
{
    size_t count = evn_lineup_truck_count(lineup);
    evn_contender *who = evn_arena_take(arena, count * sizeof *who);
    evn_equalised *given = evn_arena_take(arena, count * sizeof *given);
    const char **title = evn_arena_take(arena, count * sizeof *title);
    evn_equal by = evn_lineup_equal(lineup);
    if (!who || !given || !title) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over verdicts");
        return NULL;
    }
    for (size_t k = 0; k < count; k++) {
        who[k] = (evn_contender){evn_lineup_truck_name(lineup, k), evn_lineup_truck(lineup, k)->file};
        title[k] = evn_lineup_truck_title(lineup, k);
    }
    evn_assess_of of = {.title = title,
                        .who = who,
                        .given = given,
                        .count = count,
                        .duty = evn_lineup_duty_file(lineup),
                        .erring = evn_lineup_states(lineup),
                        .prices = how->prices ? how->prices->file : NULL,
                        .places = how->prices ? &how->prices->places : NULL,
                        .ask = ask};
    if (!evn_lineup_equal_fits(lineup, by, report) || !evn_make_equal(who, count, ask, by, given, arena, report))
        return NULL;
    return evn_assess_make(&of, how, report);
}

evn_status evn_assess(const evn_lineup *lineup, const evn_conditions *ask, const evn_assess_how *how,
                      evn_assessment **out, evn_report *report)
{
    static const evn_assess_how plain = {0};
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"lineup", lineup}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    bool fits = evn_object_fits(&evn_load_case_object, &ask->load_case, report);
    fits = evn_driving_fits(&ask->driving, report) && fits;
    fits = how_fits(how ? how : &plain, report) && fits;
    fits = is_prepared(how ? how : &plain, evn_lineup_truck_count(lineup), report) && fits;
    evn_arena *arena = has_duty(lineup, report) && fits ? evn_arena_new() : NULL;
    if (arena) {
        *out = make(lineup, ask, how ? how : &plain, arena, report);
        evn_arena_free(arena);
    }
    return evn_report_status(report);
}

bool evn_lineup_demands_more(const evn_lineup *lineup)
{
    const evn_duty_file *duty = lineup ? evn_lineup_duty_file(lineup) : NULL;
    const evn_duty_demands_file *d = duty ? duty->demands : NULL;
    return d && (d->ground || d->rules || !isnan(d->payload_kg) || !isnan(d->takeoff_kw));
}

size_t evn_assessment_truck_count(const evn_assessment *a) { return a ? a->count : 0; }

size_t evn_assessment_demand_count(const evn_assessment *a) { return a ? a->demands : 0; }

bool evn_assessed_at(const evn_assessment *a, size_t truck, size_t demand, evn_assessed *out)
{
    if (!a || !out || truck >= a->count || demand >= a->demands)
        return false;
    *out = evn_assess_cell_of(a, truck, demand)->is;
    return true;
}

bool evn_assess_input_at(const evn_assessment *a, size_t truck, size_t demand, size_t index, evn_assess_input *out)
{
    if (!a || !out || truck >= a->count || demand >= a->demands)
        return false;
    const evn_assess_cell *c = evn_assess_cell_of(a, truck, demand);
    if (index >= c->inputs)
        return false;
    *out = c->input[index];
    return true;
}

bool evn_assess_turn_at(const evn_assessment *a, size_t index, evn_assess_turn *out)
{
    if (!a || !out || index >= a->turns)
        return false;
    *out = a->turn[index];
    return true;
}

bool evn_assessment_choice(const evn_assessment *a, evn_assess_choice *out)
{
    if (!a || !out)
        return false;
    *out = a->choice;
    return true;
}
