/* Puts it together: days and costs, what stands, verdicts with their inputs. */
#include "assess/assess.h"
#include "core/pool.h"
#include "core/report.h"
#include "cycle/resolve.h"
#include "cycle/surface.h"
#include "duty/reach.h"
#include "evener/uncertainty.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { INPUTS_MOST = 16 };

/* ------------------------------------------------------------------------------------------------ progress */

typedef struct steps {
    const evn_assess_how *how;
    double from, span;
    bool stopped;
} steps;

static bool go_on(void *self, double share)
{
    steps *s = self;
    if (s->how->go_on && !s->how->go_on(s->how->self, fmin(s->from + s->span * share, 1)))
        s->stopped = true;
    return !s->stopped;
}

/* ------------------------------------------------------------------------------------------------ days */

/* What makes a day or an account impossible is said; that a day is not done is a verdict. */
static bool hand_on(const evn_report *aside, const char *truck, evn_report *report)
{
    evn_finding f;
    bool sound = true;
    for (size_t k = 0; evn_report_at(aside, k, &f); k++) {
        evn_fault fault = evn_fault_named(f.fault);
        if (f.severity != EVN_ERROR || evn_fault_rows[fault].status == EVN_ANSWER_NO)
            continue;
        evn_spot at = evn_nowhere;
        if (f.file)
            at = (evn_spot){evn_report_file(report, f.file), f.line, f.column};
        evn_say(report, fault, at, evn_nowhere, "%s%s%s", truck, truck[0] ? ": " : "", f.text);
        sound = false;
    }
    return sound;
}

static bool drive_days(evn_assessment *a, const evn_assess_of *of, steps *s, evn_report *report)
{
    bool sound = true;
    a->use = evn_arena_take(a->arena, a->count * sizeof *a->use);
    for (size_t k = 0; a->use && k < a->count && !s->stopped; k++) {
        evn_day_how how = {.threads = s->how->threads, .self = s, .go_on = go_on};
        evn_report *aside = evn_report_new();
        s->from = (double)k / (double)a->count;
        s->span = 1 / (double)a->count;
        if (!aside)
            return false;
        evn_use_find(of->who[k].truck, of->duty, &a->ask[k], &how, &a->use[k], aside);
        if (!s->stopped)
            sound = hand_on(aside, of->who[k].name, report) && sound;
        evn_report_free(aside);
    }
    return a->use && sound && !s->stopped;
}

static bool find_costs(evn_assessment *a, const evn_assess_of *of, steps *s, evn_report *report)
{
    evn_payback_of costs = {.title = of->title,
                            .who = of->who,
                            .given = of->given,
                            .count = of->count,
                            .duty = of->duty,
                            .prices = of->prices,
                            .places = of->places,
                            .ask = of->ask};
    evn_payback_how how = {.annual_km = s->how->annual_km,
                           .years = s->how->years,
                           .only_as_lineup = true,
                           .draws = EVN_DRAWS_USUAL,
                           .seed = 1,
                           .energy_percent = a->energy_percent,
                           .threads = s->how->threads,
                           .self = s,
                           .go_on = go_on};
    evn_report *aside = evn_report_new();
    s->from = 0;
    s->span = 1;
    if (!aside)
        return false;
    a->own_payback = evn_payback_make(&costs, &how, aside);
    a->payback = a->own_payback;
    bool sound = s->stopped || hand_on(aside, "", report);
    evn_report_free(aside);
    a->use = evn_arena_take(a->arena, a->count * sizeof *a->use);
    for (size_t k = 0; a->use && a->payback && k < a->count; k++)
        a->use[k] = a->payback->paying[EVN_PAYBACK_AS_LINEUP][k].use;
    /* without a first truck that comes to the end of its day there are no costs: days are told alone */
    if (sound && !a->payback && !s->stopped)
        return drive_days(a, of, s, report);
    return a->use && sound && !s->stopped;
}

static bool find_days(evn_assessment *a, const evn_assess_of *of, const evn_assess_how *how, evn_report *report)
{
    steps s = {.how = how};
    if (how->only_standing)
        return true;
    if (how->prepared) {
        a->use = how->prepared->use;
        a->payback = how->prepared->payback;
        return true;
    }
    bool found = of->prices ? find_costs(a, of, &s, report) : drive_days(a, of, &s, report);
    if (s.stopped)
        evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere, "interrupted before all days were driven");
    return found;
}

/* ------------------------------------------------------------------------------------------------ inputs */

static void add_input(evn_assess_cell *c, const char *key, const char *unit, double value, const char *from)
{
    if (!c->input)
        c->input = evn_arena_take(c->arena, INPUTS_MOST * sizeof *c->input);
    if (c->input && c->inputs < INPUTS_MOST && !isnan(value))
        c->input[c->inputs++] = (evn_assess_input){key, unit, value, from};
}

/* "cycles/duties/tipper-site.yaml:6", where the duty states a path. */
static const char *duty_place(const evn_assess_cell *c, const evn_assess_of *of, const char *path)
{
    const evn_value *v = evn_duty_value_at(&of->duty->places, path, strlen(path));
    return v && v->file ? evn_assess_text(c->arena, "%s:%u", v->file, v->line) : "of the duty";
}

/* Where a value of a truck stands. */
static const char *truck_place(const evn_assess_cell *c, const evn_assess_of *of, size_t truck, const char *path)
{
    const char *name = of->who[truck].name;
    size_t length = strlen(name);
    for (size_t k = 0; k < of->erring.values.count; k++) {
        const evn_value *v = &of->erring.values.at[k];
        if (strncmp(v->path, "trucks.", 7) == 0 && strncmp(v->path + 7, name, length) == 0 &&
            v->path[7 + length] == '.' && strcmp(v->path + 8 + length, path) == 0)
            return v->file ? evn_assess_text(c->arena, "%s:%u", v->file, v->line) : "default of its key";
    }
    return "of the truck";
}

static void add_limits_inputs(evn_assessment *a, const evn_assess_of *of, size_t truck, evn_assess_cell *c,
                              evn_demand_kind kind)
{
    const evn_truck_file *t = of->who[truck].truck;
    const evn_demands *d = of->duty->demands->abilities;
    add_input(c, "payload_kg", "kg", a->payload_kg[truck], "heaviest payload of the day");
    add_input(c, "body.mass_kg", "kg", t->body->mass_kg, truck_place(c, of, truck, "body.mass_kg"));
    if ((kind == EVN_DEMAND_START || kind == EVN_DEMAND_CHANGE_UP) && d->start_surface != EVN_SURFACE_AS_CYCLE)
        add_input(c, "adhesion", "", evn_surface_kinds[d->start_surface - 1].adhesion,
                  evn_assess_text(c->arena, "%s, as its kind has it; common practice, from memory",
                                  evn_surface_kinds[d->start_surface - 1].name));
    if (kind == EVN_DEMAND_CLIMB)
        add_input(c, "climb_grade_percent", "%", d->climb_grade_percent,
                  duty_place(c, of, "demands.abilities.climb_grade_percent"));
    if (kind == EVN_DEMAND_DESCENT)
        add_input(c, "descent_speed_km_h", "km/h", d->descent_speed_km_h,
                  duty_place(c, of, "demands.abilities.descent_speed_km_h"));
}

static void add_site_inputs(evn_assessment *a, const evn_assess_of *of, size_t truck, evn_assess_cell *c,
                            evn_demand_kind kind)
{
    const evn_ground_demands_file *g = of->duty->demands->ground;
    if (kind != EVN_DEMAND_TRACK_EMPTY && kind != EVN_DEMAND_PAYLOAD)
        add_input(c, "payload_kg", "kg", a->payload_kg[truck], "heaviest payload of the day");
    if (kind == EVN_DEMAND_CLEARANCE) {
        add_input(c, "rut_mm", "mm", g->rut_mm, duty_place(c, of, "demands.ground.rut_mm"));
        add_input(c, "crown_mm", "mm", g->crown_mm, duty_place(c, of, "demands.ground.crown_mm"));
    }
    if (kind == EVN_DEMAND_TRACK || kind == EVN_DEMAND_TRACK_EMPTY || kind == EVN_DEMAND_SHAKEN) {
        bool by_class = isnan(g->unevenness_m3);
        double m3 = by_class ? evn_unevenness_of_class_m3(EVN_UNEVENNESS_CLASSES[g->unevenness - 1]) : g->unevenness_m3;
        add_input(c, "unevenness_m3", "m3", m3,
                  duty_place(c, of, by_class ? "demands.ground.unevenness" : "demands.ground.unevenness_m3"));
    }
    if (kind == EVN_DEMAND_SHAKEN)
        add_input(c, "speed_km_h", "km/h", g->speed_km_h, duty_place(c, of, "demands.ground.speed_km_h"));
}

/* The year within which what it costs more comes back for good; 0: there is none. */
static unsigned year_of_return(const evn_paying *p)
{
    double years = p->against.simple.years;
    return isnan(years) || years <= 0 ? 0 : (unsigned)ceil(years);
}

/* What has been saved up to the end of a year, less what it costs more. */
static double saved_by(const evn_paying *p, unsigned year)
{
    double sum = 0;
    for (unsigned k = 0; k <= year; k++)
        sum += p->against.flow[k];
    return sum;
}

static double more_left(const evn_account *is, const evn_account *first)
{
    return is->residual_truck + is->residual_battery - first->residual_truck - first->residual_battery;
}

/* Within a year it goes evenly; what both leave behind falls due at the end of the last. */
static void add_costs_inputs(const evn_payback *b, size_t truck, evn_assess_cell *c)
{
    const evn_paying *p = &b->paying[EVN_PAYBACK_AS_LINEUP][truck], *first = b->paying[EVN_PAYBACK_AS_LINEUP];
    const evn_account *is = &p->account, *of = &first->account;
    const char *money = b->prices->currency;
    unsigned year = year_of_return(p), told = year > 0 ? year : b->years;
    add_input(c, "extra_invested", money, p->against.invested,
              "prices of its parts; extra.invested of 'evener payback'");
    add_input(c, "annual_km", "km", b->annual_km, b->annual_km_from);
    add_input(c, "yearly", money, is->yearly, "costs of a year; yearly of 'evener payback'");
    add_input(c, "first.yearly", money, of->yearly, "costs of a year of the first truck");
    add_input(c, "replaced_in_year", money, is->replaced[told] * is->replacement - of->replaced[told] * of->replacement,
              evn_assess_text(c->arena, "batteries at the end of year %u, more than the first's", told));
    add_input(c, "left_in_year", money, told == b->years ? more_left(is, of) : 0,
              told == b->years ? "what is left of truck and battery at the end of the last year, more than the first's"
                               : "what is left of truck and battery falls due at the end of the last year");
    add_input(c, "saved_in_year", money, p->against.flow[told],
              evn_assess_text(c->arena,
                              "{first.yearly} - {yearly} - {replaced_in_year} + {left_in_year}; extra.flow.%u of "
                              "'evener payback'",
                              told));
    if (year == 0)
        add_input(c, "saved_in_all", money, saved_by(p, b->years),
                  evn_assess_text(c->arena, "by the end of year %u, less what it costs more; extra.sum.%u", b->years,
                                  b->years));
    else {
        add_input(c, "full_years", "a", year - 1, "whole years before that year");
        add_input(c, "not_yet_back", money, -saved_by(p, year - 1),
                  evn_assess_text(c->arena, "at its beginning; -extra.sum.%u of 'evener payback'", year - 1));
        c->is.value_formula = "{full_years} + {not_yet_back} / {saved_in_year}";
    }
}

static void add_inputs(evn_assessment *a, const evn_assess_of *of, size_t truck, evn_assess_cell *c,
                       evn_demand_kind kind)
{
    const evn_demand_row *row = &evn_demand_rows[kind];
    add_input(c, "value", c->is.what.unit, c->is.value, c->is.found);
    add_input(c, "demanded", c->is.what.unit, c->is.demanded,
              kind == EVN_DEMAND_RULES ? c->is.why : duty_place(c, of, row->path));
    if (row->of == EVN_OF_LIMITS)
        add_limits_inputs(a, of, truck, c, kind);
    if (row->of == EVN_OF_SITE)
        add_site_inputs(a, of, truck, c, kind);
    if (row->of == EVN_OF_DAY && a->use) {
        add_input(c, "discharge_depth", "", a->use[truck].depth, "largest of any season, of the driven day");
        add_input(c, "drawn_of_charge", "", a->use[truck].drawn,
                  "largest of any season, with what is charged on the way");
        add_input(c, "battery_kwh", "kWh", a->use[truck].pack_kwh, truck_place(c, of, truck, "battery.capacity_ah"));
        add_input(c, "kwh_per_km", "kWh/km", a->use[truck].battery_kwh / a->use[truck].km,
                  "out of the battery, mean over the seasons, as far as they were driven");
        add_input(c, "day_km", "km", a->day_km, "legs of the duty as they are written");
        add_input(c, "stopped_after_km", "km", a->use[truck].stopped_km, "in the season that gets least far");
    }
    if (row->of == EVN_OF_COSTS && a->payback && a->payback->paying[EVN_PAYBACK_AS_LINEUP][truck].held_against)
        add_costs_inputs(a->payback, truck, c);
}

/* ------------------------------------------------------------------------------------------------ verdicts */

static const char *label_of(evn_arena *arena, const evn_duty_demands_file *d, evn_demand_kind kind)
{
    const char *label = evn_demand_rows[kind].label;
    const evn_demands *of = d->abilities;
    const evn_ground_demands_file *g = d->ground;
    bool named = of && of->start_surface != EVN_SURFACE_AS_CYCLE;
    const char *ground = named ? evn_surface_kinds[of->start_surface - 1].name : "ground as stated";
    switch (kind) {
    case EVN_DEMAND_START:
    case EVN_DEMAND_CHANGE_UP:
        return evn_assess_text(arena, "%s, %s", label, ground);
    case EVN_DEMAND_CLIMB:
        return evn_assess_text(arena, "%s of %.4g %%%s", label, of->climb_grade_percent,
                               of->climb_continuous ? ", continuous" : "");
    case EVN_DEMAND_DESCENT:
        return evn_assess_text(arena, "%s at %.4g km/h", label, of->descent_speed_km_h);
    case EVN_DEMAND_CLEARANCE:
        return g->rut_mm > 0 ? evn_assess_text(arena, "%s, ruts of %.4g mm", label, g->rut_mm) : label;
    case EVN_DEMAND_TRACK:
    case EVN_DEMAND_TRACK_EMPTY:
    case EVN_DEMAND_SHAKEN:
        return isnan(g->unevenness_m3)
                   ? evn_assess_text(arena, "%s, class %c", label, EVN_UNEVENNESS_CLASSES[g->unevenness - 1])
                   : label;
    default:
        return label;
    }
}

static void begin_cell(const evn_assess_of *of, evn_assess_cell *c, evn_demand_kind kind)
{
    const evn_demand_row *row = &evn_demand_rows[kind];
    const char *label = label_of(c->arena, of->duty->demands, kind);
    c->is = (evn_assessed){
        .what = {row->key, row->unit, row->label, row->share ? EVN_SHARE : EVN_REAL, row->digits, label, label},
        .at_most = row->at_most,
        .probability = (double)NAN,
        .source = row->source[0] ? row->source : NULL,
        .found = row->found};
}

/* What of the day the energy's own uncertainty moves. */
static double day_half_width(const evn_assessment *a, const evn_use *u, evn_demand_kind kind, const evn_day_demand *d)
{
    double share = EVN_ASSESS_90_PERCENT / 2 * a->energy_percent / 100;
    if (kind == EVN_DEMAND_RESERVE_SOC)
        return share * u->drawn;
    if (kind == EVN_DEMAND_RESERVE_KWH)
        return share * u->drawn * u->end_kwh;
    return strcmp(d->what.label, "distance of the day") == 0 ? 0 : share * d->value;
}

static const evn_day_demand *of_day(const evn_use *u, const char *key, size_t *index)
{
    for (*index = 0; *index < u->demanded.count; ++*index)
        if (strcmp(u->demanded.demand[*index].what.key, key) == 0)
            return &u->demanded.demand[*index];
    return NULL;
}

/* "battery_empty" as "battery empty after 212.4 of 256.8 km of the day". */
static const char *stopped_words(const evn_assessment *a, const evn_use *u, const evn_assess_cell *c)
{
    char text[80];
    snprintf(text, sizeof text, "%s", u->status);
    for (char *at = text; *at; at++)
        *at = *at == '_' ? ' ' : *at;
    if (isnan(u->stopped_km))
        return evn_assess_text(c->arena, "%s on the day", text);
    return evn_assess_text(c->arena, "%s after %.1f of %.1f km of the day", text, u->stopped_km, a->day_km);
}

/* By how many km it would stop short were its energy higher by what that may be off; 0: not at all. */
static double short_km(const evn_assessment *a, const evn_use *u)
{
    double more = EVN_ASSESS_90_PERCENT / 2 * a->energy_percent / 100 * u->drawn;
    return u->drawn > 0 ? fmax(more - u->reserve_soc, 0) / u->drawn * a->day_km : 0;
}

/* A day that is not done is none: how near its end it stopped makes no verdict milder. */
static void judge_end(evn_assessment *a, size_t truck, evn_assess_cell *c)
{
    const evn_use *u = &a->use[truck];
    double none = (double)NAN;
    bool done = strcmp(u->status, "finished") == 0;
    evn_spread spread = {{done ? short_km(a, u) : 0, 0}, false};
    evn_found f = {.known = strcmp(u->status, "failed") != 0, .value = none, .demanded = a->day_km, .margin = none};
    if (!f.known)
        f.missing = "the day, which could not be driven";
    else if (done) {
        f.value = a->day_km;
        f.margin = 0;
        f.why = spread.half_width.worse > 0 ? "it ends, but not with as much more energy as may be"
                                            : "it ends in every season";
    } else {
        f.why = stopped_words(a, u, c);
        if (u->stopped_km < a->day_km) { /* else it stands at its end, and is not charged there */
            f.value = u->stopped_km;
            f.margin = u->stopped_km - a->day_km;
        }
    }
    evn_assess_judge(c, &f, 0, &spread);
    if (!done && f.known) /* within a hair of its end, too */
        c->is.verdict = EVN_VERDICT_FAIL;
}

/* A distance that the day itself comes to leaves no spare to ask for: its reserve does. */
static void judge_day(evn_assessment *a, const evn_assess_of *of, size_t truck, evn_assess_cell *c,
                      evn_demand_kind kind)
{
    size_t index;
    const evn_use *u = &a->use[truck];
    const evn_day_demand *d = of_day(u, evn_demand_rows[kind].key, &index);
    double demanded = evn_demanded(of->duty->demands, kind), none = (double)NAN, half = 0;
    double spare = of->duty->demands->spare_percent;
    evn_found f = {.known = d && d->judged, .value = none, .demanded = demanded, .margin = none};
    if (!f.known)
        f.missing = "the day, which could not be driven";
    else {
        half = day_half_width(a, u, kind, d);
        f.value = d->value;
        if (kind == EVN_DEMAND_DISTANCE && isnan(f.value))
            f.value = u->stopped_km;
        f.margin = f.value - demanded;
        f.where = u->worst[index] ? evn_assess_text(c->arena, "season %s", u->worst[index]) : NULL;
        f.why = strcmp(u->status, "finished") != 0 ? stopped_words(a, u, c)
                : kind == EVN_DEMAND_DISTANCE && half == 0
                    ? "distance of the day, which it comes to as it is driven; how surely, its reserve tells"
                    : d->what.label;
        if (d->met && f.margin < 0) /* as the day is judged: to within rounding */
            f.margin = 0;
        if (kind == EVN_DEMAND_DISTANCE && half == 0)
            spare = 0;
    }
    evn_assess_judge(c, &f, spare, &(evn_spread){{half, half}, false});
}

/* Without what both leave behind it would not come back in that year. */
static bool is_back_by_resale(const evn_paying *p, const evn_paying *first, unsigned years)
{
    double left = more_left(&p->account, &first->account);
    return year_of_return(p) == years && saved_by(p, years) - left < 0;
}

static const char *why_paid(const evn_paying *p, const evn_paying *first, unsigned years)
{
    if (isnan(p->against.simple.years))
        return "what it costs more does not come back within the years";
    if (p->against.invested <= 0)
        return "it costs no more than the first";
    return is_back_by_resale(p, first, years) ? "it comes back in the last year alone, with what is left of both trucks"
                                              : "saved in a year against what it costs more";
}

/* Whose day there is that has no costs. */
static const char *without_costs(const evn_assessment *a, const evn_assess_of *of, size_t truck, evn_assess_cell *c)
{
    size_t who = strcmp(a->use[0].status, "finished") != 0 ? 0 : truck;
    if (strcmp(a->use[who].status, "finished") == 0)
        return "costs of it and of the first truck";
    return evn_assess_text(c->arena, "costs of %.80s%s: %s", of->who[who].name, who == 0 ? ", the first truck" : "",
                           stopped_words(a, &a->use[who], c));
}

static void judge_costs(evn_assessment *a, const evn_assess_of *of, size_t truck, evn_assess_cell *c)
{
    double demanded = of->duty->demands->payback_years, none = (double)NAN;
    evn_found f = {.value = none, .demanded = demanded, .margin = none};
    const evn_paying *p = a->payback ? &a->payback->paying[EVN_PAYBACK_AS_LINEUP][truck] : NULL;
    if (!of->prices)
        f.missing = "prices (--prices)";
    else if (!p || !p->held_against)
        f.missing = without_costs(a, of, truck, c);
    else {
        double years = p->against.simple.years;
        f.known = true;
        f.value = years;
        f.margin = demanded - years;
        f.why = why_paid(p, a->payback->paying[EVN_PAYBACK_AS_LINEUP], a->payback->years);
        double within = fmin(demanded, a->payback->years);
        if (p->sure.draws > 0)
            c->is.probability = p->sure.within[(size_t)within];
        /* what comes back within the years that are counted does within more; what does not may */
        if (demanded > within && !(c->is.probability >= EVN_ASSESS_SURE)) {
            f.known = false;
            f.missing = evn_assess_text(c->arena, "costs of more than %u years (--years, or years of the prices)",
                                        a->payback->years);
            c->is.probability = none;
        }
    }
    evn_assess_judge(c, &f, of->duty->demands->spare_percent, &(evn_spread){{none, none}, false});
    if (truck == 0) {
        c->is.verdict = EVN_VERDICT_NOT_ASKED;
        c->is.missing = NULL;
        c->is.why = "what the others are held against";
    }
}

static void judge_standing(evn_assess_cell *c, evn_demand_kind kind, const evn_found *f, double spare,
                           const evn_spread *spread)
{
    evn_assess_judge(c, f, spare, spread);
    if (kind == EVN_DEMAND_CLIMB)
        c->is.found = evn_assess_text(c->arena, "%s; sure by %d draws of the truck's data, of each season",
                                      evn_demand_rows[kind].found, EVN_ASSESS_DRAWS);
    else if (spread->steps)
        c->is.found = evn_assess_text(c->arena,
                                      "%s; data that err move it in a step, whose width to the side of what is "
                                      "demanded is what it is sure to",
                                      evn_demand_rows[kind].found);
}

/* Where nothing that moves it is known to err, sure to 0 would say too much. */
static void put_left_out(evn_assess_cell *c, evn_demand_kind kind)
{
    evn_assessed *is = &c->is;
    bool day = evn_demand_rows[kind].of == EVN_OF_DAY;
    if (is->verdict == EVN_VERDICT_NOT_KNOWN || isnan(is->value) || isnan(is->uncertainty))
        return;
    if (day && is->uncertainty > 0)
        is->left_out = "what the battery itself holds is left out, as its file and age have it";
    else if (!day && is->uncertainty == 0 && evn_demand_rows[kind].of != EVN_OF_COSTS)
        is->left_out = is->left_out && kind != EVN_DEMAND_RULES && kind != EVN_DEMAND_PAYLOAD
                           ? evn_assess_text(c->arena,
                                             "nothing of the truck that moves it states how far off it may "
                                             "be; %s",
                                             is->left_out)
                           : "nothing that moves it states how far off it may be";
}

static bool judge_truck(evn_assessment *a, const evn_assess_of *of, const evn_data *data, size_t truck,
                        evn_report *report)
{
    evn_stand_ask ask;
    evn_found found[EVN_DEMAND_KINDS] = {{0}};
    evn_spread spread[EVN_DEMAND_KINDS] = {{{0, 0}, false}};
    double spare = of->duty->demands->spare_percent;
    evn_assess_stand_ask(a, of, truck, &ask);
    if (!evn_stand_surely(&ask, of->who[truck].truck, data, truck, found, spread, report))
        return false;
    for (size_t k = 0; k < a->demands; k++) {
        evn_demand_kind kind = a->kind[k];
        evn_assess_cell *c = evn_assess_cell_of(a, truck, k);
        c->arena = a->own[truck];
        begin_cell(of, c, kind);
        if (kind == EVN_DEMAND_DAY)
            judge_end(a, truck, c);
        else if (evn_demand_rows[kind].of == EVN_OF_DAY)
            judge_day(a, of, truck, c, kind);
        else if (evn_demand_rows[kind].of == EVN_OF_COSTS)
            judge_costs(a, of, truck, c);
        else {
            judge_standing(c, kind, &found[kind], spare, &spread[kind]);
            c->is.left_out = evn_stand_left_out(&ask, of->who[truck].truck, kind, &found[kind], report);
        }
        put_left_out(c, kind);
        add_inputs(a, of, truck, c, kind);
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void list_demands(evn_assessment *a, const evn_duty_demands_file *d)
{
    for (int k = 0; k < EVN_DEMAND_KINDS; k++) {
        bool stands = evn_demand_rows[k].of != EVN_OF_DAY && evn_demand_rows[k].of != EVN_OF_COSTS;
        if (!isnan(evn_demanded(d, (evn_demand_kind)k)) && (stands || !a->only_standing))
            a->kind[a->demands++] = (evn_demand_kind)k;
    }
    if (a->only_standing || a->demands == 0)
        return;
    memmove(&a->kind[1], a->kind, a->demands++ * sizeof *a->kind); /* there is one fewer than kinds */
    a->kind[0] = EVN_DEMAND_DAY;
}

static double length_km(const evn_day_plan *p)
{
    double sum_m = 0;
    for (size_t k = 0; k < p->count; k++) {
        const evn_phase *of = &p->phase[k];
        if (!of->cycle)
            continue;
        double to_m = isnan(of->part.to_m) ? evn_cycle_length_m(of->cycle) : of->part.to_m;
        sum_m += to_m - (isnan(of->part.from_m) ? 0 : of->part.from_m);
    }
    return sum_m / 1000;
}

static bool take_payloads(evn_assessment *a, const evn_assess_of *of, evn_report *report)
{
    for (size_t k = 0; k < a->count; k++) {
        evn_day_plan plan;
        double given = of->given[k].payload_kg, own = of->who[k].truck->payload->mass_kg;
        a->ask[k] = *of->ask;
        if (!isnan(given))
            a->ask[k].load_case.payload_kg = given;
        double asked = a->ask[k].load_case.payload_kg;
        if (!evn_day_plan_make(&plan, of->duty, isnan(asked) ? own : asked, a->arena, report))
            return false;
        a->day_km = length_km(&plan);
        a->payload_kg[k] = evn_day_reach_heaviest_kg(&plan);
    }
    return evn_duty_takes_payload(of->duty, &of->ask->load_case, report);
}

static evn_assessment *room_for(const evn_assess_of *of, const evn_assess_how *how)
{
    evn_arena *arena = evn_arena_new();
    evn_assessment *a = arena ? evn_arena_take(arena, sizeof *a) : NULL;
    if (!a) {
        if (arena)
            evn_arena_free(arena);
        return NULL;
    }
    a->arena = arena;
    a->count = of->count;
    a->only_standing = how->only_standing;
    a->priced = of->prices;
    a->energy_percent = how->energy_percent > 0 ? how->energy_percent : EVN_ASSESS_ENERGY_PERCENT;
    list_demands(a, of->duty->demands);
    a->cell = evn_arena_take(arena, (a->count * a->demands + 1) * sizeof *a->cell);
    a->payload_kg = evn_arena_take(arena, a->count * sizeof *a->payload_kg);
    a->ask = evn_arena_take(arena, a->count * sizeof *a->ask);
    if (a->cell && a->payload_kg && a->ask)
        return a;
    evn_arena_free(arena);
    return NULL;
}

/* Trucks at the same time, each with an arena and a report of its own. */
typedef struct judging {
    evn_assessment *a;
    const evn_assess_of *of;
    evn_data data;
    evn_report *aside[EVN_LINEUP_MOST];
    bool judged[EVN_LINEUP_MOST];
} judging;

static void judge_one(void *self, size_t truck)
{
    judging *j = self;
    j->judged[truck] = judge_truck(j->a, j->of, &j->data, truck, j->aside[truck]);
}

static bool judge_all(evn_assessment *a, const evn_assess_of *of, size_t threads, evn_report *report)
{
    judging j = {.a = a, .of = of};
    evn_erring erring = of->erring;
    bool all = true;
    erring.who = of->who;
    if (!evn_data_gather(&erring, a->arena, &j.data, report))
        return false;
    for (size_t k = 0; k < a->count; k++) {
        a->own[k] = evn_arena_within(a->arena);
        j.aside[k] = evn_report_new();
        all = all && a->own[k] && j.aside[k];
    }
    if (all)
        evn_pool_run(threads, a->count, judge_one, &j);
    for (size_t k = 0; k < a->count; k++) {
        all = (!j.aside[k] || hand_on(j.aside[k], of->who[k].name, report)) && all && j.judged[k];
        evn_report_free(j.aside[k]);
    }
    if (!all)
        return false;
    evn_assess_choose(a);
    return evn_assess_find_turns(a, of);
}

static void say_unmet(const evn_assessment *a, evn_report *report)
{
    for (size_t k = 0; k < a->count; k++)
        if (evn_assessment_of(a, k) == EVN_VERDICT_PASS)
            return;
    evn_say(report, EVN_FAULT_DEMAND_NOT_MET, evn_nowhere, evn_nowhere,
            "none of the trucks passes all that is demanded; expected one at least");
}

static void say_nothing_to_judge(const evn_assessment *a, const evn_duty_file *duty, evn_report *report)
{
    evn_duty_say(duty, "", "demands", EVN_FAULT_MISSING_KEY, report,
                 "the duty '%.80s' demands nothing that could be judged%s; expected demands", duty->name,
                 a->only_standing ? " without days, which --only-standing leaves out" : "");
}

evn_assessment *evn_assess_make(const evn_assess_of *of, const evn_assess_how *how, evn_report *report)
{
    evn_assessment *a = room_for(of, how);
    if (a && a->demands == 0) {
        say_nothing_to_judge(a, of->duty, report);
        evn_arena_free(a->arena);
        return NULL;
    }
    if (a && take_payloads(a, of, report) && find_days(a, of, how, report) && judge_all(a, of, how->threads, report)) {
        say_unmet(a, report);
        return a;
    }
    if (evn_report_errors(report) == 0)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over verdicts");
    evn_assessment_free(a);
    return NULL;
}
