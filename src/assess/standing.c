/* What a truck comes to before any day: asked of the rooms limits and site, and of its rig. */
#include "assess/assess.h"
#include "cycle/surface.h"
#include "limits/demands.h"
#include "site/ride_tell.h"
#include "site/site.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *evn_assess_text(evn_arena *arena, const char *format, ...)
{
    char text[1200];
    va_list values;
    if (!arena)
        return NULL;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return evn_arena_text(arena, text, strlen(text));
}

static const char *kept(evn_arena *arena, const char *text) { return text ? evn_assess_text(arena, "%s", text) : NULL; }

double evn_margin(evn_demand_kind kind, double value, double demanded)
{
    return evn_demand_rows[kind].at_most ? demanded - value : value - demanded;
}

static bool wants(const evn_stand_ask *s, evn_demand_kind kind) { return s->wanted >> kind & 1u; }

static bool wants_any(const evn_stand_ask *s, int of)
{
    for (int k = 0; k < EVN_DEMAND_KINDS; k++)
        if (wants(s, (evn_demand_kind)k) && evn_demand_rows[k].of == of)
            return true;
    return false;
}

/* ------------------------------------------------------------------------------------------------ forces */

/* What is worse: a truck that cannot at all, else the smaller margin. */
static bool is_worse(const evn_found *f, const evn_found *than)
{
    if (isnan(than->margin))
        return false;
    return isnan(f->margin) || f->margin < than->margin;
}

static void put_worst(evn_found found[], evn_demand_kind kind, const evn_found *f, bool first)
{
    if (first || is_worse(f, &found[kind]))
        found[kind] = *f;
}

static const char *season_words(const evn_stand_ask *s, size_t season)
{
    const evn_many *all = &s->duty->seasons;
    return all->count > 0 ? evn_assess_text(s->arena, "season %s, %.0f kg of payload", all->name[season], s->payload_kg)
                          : evn_assess_text(s->arena, "%.0f kg of payload", s->payload_kg);
}

static const char *limit_words(const evn_stand_ask *s, const evn_limits_verdict *v)
{
    if (!v->limit_label)
        return NULL;
    if (!v->next_label || isnan(v->next_value))
        return evn_assess_text(s->arena, "%s binds", v->limit_label);
    return evn_assess_text(s->arena, "%s binds; next %s at %.4g %s", v->limit_label, v->next_label, v->next_value,
                           v->what.unit);
}

static evn_found found_of(const evn_stand_ask *s, const evn_limits_verdict *v, size_t season)
{
    bool no_data = isnan(v->value) && (!v->limit || strcmp(v->limit, "no_heat_data") == 0);
    evn_found f = {.known = !no_data,
                   .value = v->value,
                   .demanded = v->demanded,
                   .margin = v->value - v->demanded,
                   .season = season,
                   .by_adhesion = v->limit && strcmp(v->limit, "adhesion") == 0,
                   .why = limit_words(s, v),
                   .where = season_words(s, season)};
    if (no_data)
        f.missing = "what heats of the motors and inverters (heat, cooling)";
    return f;
}

/*
 * Standard uncertainty of the grade by the range of the ground's adhesion: a rectangle, to each side as far as its end
 * reaches, as torque may cap the upper one.
 */
static evn_sides adhesion_range(const evn_limits_verdict *v)
{
    double low = isnan(v->low) && !isnan(v->high) ? 0 : v->low; /* not even on the level */
    if (isnan(low) || isnan(v->high) || isnan(v->value))
        return (evn_sides){0, 0};
    return (evn_sides){fmax(v->value - low, 0) / sqrt(3), fmax(v->high - v->value, 0) / sqrt(3)};
}

static evn_demand_kind kind_of(const char *key)
{
    int k = EVN_DEMAND_START;
    while (k < EVN_DEMAND_DESCENT && strcmp(evn_demand_rows[k].key, key) != 0)
        k++;
    return (evn_demand_kind)k;
}

/* With what binds where texts are made of it. */
static evn_limits_how limits_how(const evn_stand_ask *s, const evn_demands *demands)
{
    return (evn_limits_how){.only_deciding = s->arena, .only_demands = !s->arena, .demands = demands};
}

static void put_abilities(const evn_stand_ask *s, const evn_rig *rig, size_t season, bool first, evn_found found[],
                          evn_report *report)
{
    evn_limits *limits = NULL;
    evn_limits_verdict v;
    evn_limits_how how = limits_how(s, &s->abilities);
    evn_limits_make(rig, &s->ask->driving, &how, &limits, report);
    for (size_t k = 0; evn_limits_demand_at(limits, k, &v); k++) {
        evn_found f = found_of(s, &v, season);
        evn_demand_kind kind = kind_of(v.what.key);
        f.range = adhesion_range(&v);
        if (wants(s, kind))
            put_worst(found, kind, &f, first);
    }
    evn_limits_free(limits);
}

static void put_steepest(const evn_stand_ask *s, const evn_rig *rig, size_t season, bool first, evn_found found[],
                         evn_report *report)
{
    evn_limits *limits = NULL;
    evn_limits_verdict v;
    evn_demands demands;
    evn_object_default(&evn_demands_object, &demands, NULL);
    demands.start_grade_percent = s->demands.steepest_start_percent;
    evn_limits_how how = limits_how(s, &demands);
    evn_limits_make(rig, &s->ask->driving, &how, &limits, report);
    if (evn_limits_demand_at(limits, 0, &v)) {
        evn_found f = found_of(s, &v, season);
        put_worst(found, EVN_DEMAND_STEEPEST_START, &f, first);
    }
    evn_limits_free(limits);
}

static void put_takeoff(const evn_stand_ask *s, const evn_rig *rig, evn_found *found)
{
    double kw = rig->takeoff.there ? rig->takeoff.most_w / 1000 : 0, asked = s->demands.takeoff_kw;
    *found = (evn_found){.known = true, .value = kw, .demanded = asked, .margin = kw - asked};
    found->why = rig->takeoff.there ? evn_assess_text(s->arena, "%s binds", rig->takeoff.limit) : "it has none";
}

static bool stand_by_forces(const evn_stand_ask *s, const evn_truck_file *truck, evn_found found[], evn_report *report)
{
    size_t seasons = s->duty->seasons.count > 0 ? s->duty->seasons.count : 1;
    bool first = true, abilities = false;
    for (int k = EVN_DEMAND_START; k <= EVN_DEMAND_DESCENT; k++)
        abilities = abilities || wants(s, (evn_demand_kind)k);
    for (size_t k = 0; k < seasons; k++) {
        if (s->only_season != SIZE_MAX && k != s->only_season)
            continue;
        evn_load_case c = evn_duty_load_case(s->duty, k, s->ask);
        evn_rig *rig = NULL;
        c.payload_kg = s->payload_kg;
        if (s->still)
            c.wind_m_s = 0;
        if (!evn_rig_make_untold(truck, &c, &rig, report))
            return false;
        if (abilities)
            put_abilities(s, rig, k, first, found, report);
        if (wants(s, EVN_DEMAND_STEEPEST_START))
            put_steepest(s, rig, k, first, found, report);
        if (wants(s, EVN_DEMAND_TAKEOFF) && first)
            put_takeoff(s, rig, &found[EVN_DEMAND_TAKEOFF]);
        evn_rig_free(rig);
        first = false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ the site */

static const char *site_why(const evn_stand_ask *s, const evn_site_figure *f)
{
    const char *source = f->source ? f->source : "";
    if (f->why && strcmp(f->why, EVN_RIDE_NOT_VALID) == 0)
        return evn_assess_text(s->arena, "%s; its tyre leaves the road there, where linear figures do not hold",
                               f->row_label);
    return f->why ? evn_assess_text(s->arena, "%s, %s", f->row_label, f->why)
                  : evn_assess_text(s->arena, "%s%s%s", f->row_label, source[0] ? ", " : "", source);
}

/* A payload that no limit leaves room for is none; the figure still has what it is held against. */
static bool is_none(evn_demand_kind kind, const evn_site_figure *f)
{
    return kind == EVN_DEMAND_PAYLOAD && isnan(f->value) && !isnan(f->limit);
}

static evn_found of_figure(const evn_stand_ask *s, evn_demand_kind kind, const evn_site_figure *f, double demanded)
{
    evn_found out = {.known = !isnan(f->value) || is_none(kind, f),
                     .value = f->value,
                     .demanded = demanded,
                     .margin = evn_margin(kind, f->value, demanded),
                     .why = site_why(s, f),
                     .where = evn_assess_text(s->arena, "%.0f kg of payload", s->payload_kg),
                     .site_key = kept(s->arena, f->what.key)};
    if (!out.known)
        out.missing = kept(s->arena, f->why ? f->why : f->what.key);
    return out;
}

static void put_by_key(const evn_stand_ask *s, const evn_site *site, evn_demand_kind kind, const char *key,
                       double demanded, evn_found found[])
{
    evn_site_figure f;
    if (!wants(s, kind))
        return;
    if (evn_site_get(site, key, &f))
        found[kind] = of_figure(s, kind, &f, demanded);
    else
        found[kind] = (evn_found){.known = false, .value = (double)NAN, .margin = (double)NAN, .missing = key};
}

/* The machine that is shaken most; one of which nothing is known hides none that is shaken too much. */
static void put_shaken(const evn_stand_ask *s, const evn_site *site, evn_found *found)
{
    static const char column[] = "shake_m_s2";
    evn_site_figure f;
    evn_found unknown = {.known = false, .value = (double)NAN, .margin = (double)NAN, .missing = "axles.*.suspension"};
    bool lacks = false;
    *found = unknown;
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (strcmp(f.group, "ride") != 0 || strcmp(f.column, column) != 0)
            continue;
        evn_found is = of_figure(s, EVN_DEMAND_SHAKEN, &f, s->ground.shaken_m_s2);
        if (isnan(is.value)) {
            unknown = is;
            lacks = true;
        } else if (!found->known || is.value > found->value)
            *found = is;
    }
    if (!found->known || (lacks && found->margin >= 0))
        *found = unknown;
}

/* A clause is told in its own unit and direction: a share of the mass is one of at least. */
static evn_found of_clause(const evn_stand_ask *s, const evn_site_figure *f)
{
    evn_found is = of_figure(s, EVN_DEMAND_RULES, f, f->limit);
    is.unit = f->what.unit;
    is.digits = f->what.digits;
    is.at_most = !(f->margin == f->value - f->limit && f->margin != f->limit - f->value);
    is.margin = f->margin;
    return is;
}

/* The clause with the least margin in proportion; one that cannot be judged counts where no other is broken. */
static void put_rules(const evn_stand_ask *s, const evn_site *site, evn_found *found)
{
    double least = (double)INFINITY;
    evn_site_figure f;
    evn_found unknown = {.known = true};
    *found =
        (evn_found){.known = false, .value = (double)NAN, .margin = (double)NAN, .missing = "a clause that applies"};
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (strcmp(f.group, "rules") != 0 || !f.demanded || strcmp(f.row, "set") == 0)
            continue;
        if (s->rules_key && strcmp(f.what.key, s->rules_key) != 0)
            continue;
        if (isnan(f.margin)) {
            unknown = of_clause(s, &f);
            unknown.known = false;
            continue;
        }
        double share = f.margin / f.limit;
        if (share >= least)
            continue;
        least = share;
        *found = of_clause(s, &f);
        found->why = evn_assess_text(s->arena, "%s: %s; %s", f.row_label, f.column_label, f.source ? f.source : "");
    }
    if (!unknown.known && !(least < 0))
        *found = unknown;
}

static evn_site_ask site_ask_of(const evn_stand_ask *s, const evn_rules *rules)
{
    const evn_ground_demands_file *g = &s->ground;
    evn_site_ask a = {.rules = NULL};
    evn_object_default(&evn_site_ask_object, &a, NULL);
    a.rut_mm = g->rut_mm;
    a.crown_mm = g->crown_mm;
    a.unevenness = (evn_unevenness)g->unevenness;
    a.unevenness_m3 = g->unevenness_m3;
    if (!isnan(g->speed_km_h))
        a.speed_km_h = g->speed_km_h;
    else if (!isnan(g->empty_speed_km_h))
        a.speed_km_h = g->empty_speed_km_h;
    a.rules = rules->file ? rules : NULL;
    return a;
}

static bool stand_on_site(const evn_stand_ask *s, const evn_truck_file *truck, evn_found found[], evn_report *report)
{
    evn_rules rules = {NULL, s->demands.rules};
    evn_site_ask ask = site_ask_of(s, &rules);
    evn_load_case c = s->ask->load_case;
    evn_site *site = NULL;
    c.payload_kg = s->payload_kg;
    if (evn_site_make(truck, &c, &ask, NULL, NULL, &site, report) != EVN_DONE)
        return false;
    put_by_key(s, site, EVN_DEMAND_CLEARANCE, "clearance.truck.laden_mm", s->ground.clearance_mm, found);
    put_by_key(s, site, EVN_DEMAND_TRACK, "ride.truck.fastest_km_h", s->ground.speed_km_h, found);
    put_by_key(s, site, EVN_DEMAND_TRACK_EMPTY, "ride.truck.fastest_empty_km_h", s->ground.empty_speed_km_h, found);
    put_by_key(s, site, EVN_DEMAND_PAYLOAD,
               s->demands.rules ? "payload.rules.as_placed_kg" : "payload.permitted.as_placed_kg",
               s->demands.payload_kg, found);
    if (wants(s, EVN_DEMAND_SHAKEN))
        put_shaken(s, site, &found[EVN_DEMAND_SHAKEN]);
    if (wants(s, EVN_DEMAND_RULES))
        put_rules(s, site, &found[EVN_DEMAND_RULES]);
    if (wants(s, EVN_DEMAND_TRACK_EMPTY))
        found[EVN_DEMAND_TRACK_EMPTY].where = "without payload";
    evn_site_free(site);
    return true;
}

bool evn_stand(const evn_stand_ask *s, const evn_truck_file *truck, evn_found found[EVN_DEMAND_KINDS],
               evn_report *report)
{
    bool forces = wants_any(s, EVN_OF_LIMITS) || wants_any(s, EVN_OF_RIG);
    return (!forces || stand_by_forces(s, truck, found, report)) &&
           (!wants_any(s, EVN_OF_SITE) || stand_on_site(s, truck, found, report));
}

/* ------------------------------------------------------------------------------------------------ left out */

/* A class is as wide as from half to double the unevenness that it is taken at (ISO 8608, from memory). */
static double at_unevenness(const evn_stand_ask *s, const evn_truck_file *truck, evn_demand_kind kind, double m3,
                            evn_report *report)
{
    evn_found found[EVN_DEMAND_KINDS] = {{0}};
    evn_stand_ask ask = *s;
    ask.arena = NULL;
    ask.wanted = 1u << kind;
    ask.ground.unevenness_m3 = m3;
    ask.ground.unevenness = EVN_UNEVENNESS_AS_ROUTE;
    return evn_stand(&ask, truck, found, report) && found[kind].known ? found[kind].value : (double)NAN;
}

static const char *class_range(const evn_stand_ask *s, const evn_truck_file *truck, evn_demand_kind kind,
                               evn_report *report)
{
    const evn_demand_row *row = &evn_demand_rows[kind];
    char name = EVN_UNEVENNESS_CLASSES[s->ground.unevenness - EVN_UNEVENNESS_A];
    double m3 = evn_unevenness_of_class_m3(name);
    double smooth = at_unevenness(s, truck, kind, m3 / 2, report),
           rough = at_unevenness(s, truck, kind, 2 * m3, report);
    return evn_assess_text(s->arena, "how wide class %c is, is left out: %.*f to %.*f %s at its ends", name,
                           row->digits, fmin(smooth, rough), row->digits, fmax(smooth, rough), row->unit);
}

const char *evn_stand_left_out(const evn_stand_ask *s, const evn_truck_file *truck, evn_demand_kind kind,
                               const evn_found *f, evn_report *report)
{
    bool rides = kind == EVN_DEMAND_TRACK || kind == EVN_DEMAND_TRACK_EMPTY || kind == EVN_DEMAND_SHAKEN;
    if (!f->known || isnan(f->value))
        return NULL;
    if (rides && isnan(s->ground.unevenness_m3) && s->ground.unevenness != EVN_UNEVENNESS_AS_ROUTE)
        return class_range(s, truck, kind, report);
    bool as_stated = kind == EVN_DEMAND_STEEPEST_START || s->abilities.start_surface == EVN_SURFACE_AS_CYCLE;
    if (f->by_adhesion && as_stated)
        return "no range of the ground's adhesion goes in: it is as the truck states it";
    return kind == EVN_DEMAND_RULES || kind == EVN_DEMAND_PAYLOAD
               ? "where the payload lies is left out, as the file states it"
               : NULL;
}

/* ------------------------------------------------------------------------------------------------ what is asked */

void evn_assess_stand_ask(const evn_assessment *a, const evn_assess_of *of, size_t truck, evn_stand_ask *out)
{
    const evn_duty_demands_file *d = of->duty->demands;
    *out = (evn_stand_ask){.duty = of->duty,
                           .ask = &a->ask[truck],
                           .payload_kg = a->payload_kg[truck],
                           .demands = *d,
                           .only_season = SIZE_MAX,
                           .arena = a->own[truck]};
    if (d->ground)
        out->ground = *d->ground;
    else
        out->ground = (evn_ground_demands_file){
            .unevenness_m3 = (double)NAN, .speed_km_h = (double)NAN, .empty_speed_km_h = (double)NAN};
    if (d->abilities)
        out->abilities = *d->abilities;
    else
        evn_object_default(&evn_demands_object, &out->abilities, NULL);
    for (size_t k = 0; k < a->demands; k++)
        if (evn_demand_rows[a->kind[k]].of != EVN_OF_DAY && evn_demand_rows[a->kind[k]].of != EVN_OF_COSTS)
            out->wanted |= 1u << a->kind[k];
}
