/* Holds what a day came to against what its duty demands. */
#include "duty/demanded.h"
#include "duty/reach.h"
#include "limits/demands.h"
#include "limits/limits.h"
#include <math.h>
#include <string.h>

static double result(const evn_results *r, const char *key)
{
    double value;
    return evn_results_get(r, key, &value) ? value : (double)NAN;
}

static bool has_finished(const evn_day_season *s) { return s->results && strcmp(s->status, "finished") == 0; }

/* Its reserve is met on the way. */
static bool is_under_reserve(const evn_duty_demands_file *d, const evn_day_season *s)
{
    return s->reserve_soc < d->reserve_soc || s->reserve_kwh < d->reserve_kwh;
}

bool evn_duty_wants_more(const evn_duty_demands_file *d, const evn_day_season *s)
{
    if (isnan(d->distance_km))
        return false;
    if (!has_finished(s)) /* the reserve lies before the place where it runs empty */
        return s->results && strcmp(s->status, "battery_empty") == 0;
    return result(s->results, "distance_km") < d->distance_km - EVN_ALIKE_KM || is_under_reserve(d, s);
}

static void put_demand(evn_duty_verdicts *v, evn_quantity what, double value, double demanded)
{
    if (!isnan(demanded))
        v->demand[v->count++] = (evn_day_demand){what, value, demanded, value >= demanded, true};
}

/* As range judges it. */
static void put_distance(evn_duty_verdicts *v, const evn_day_season *s, const evn_driven_on *is_on, double demanded_km)
{
    evn_quantity day = {"distance_km", "km", "distance of the day", EVN_REAL, 1, "distance of the day", "distance", 0};
    evn_quantity on = {"distance_km", "km", "distance to the reserve, the day driven on from its beginning",
                       EVN_REAL,      1,    "distance to the reserve",
                       "distance",    0};
    double day_km = has_finished(s) ? result(s->results, "distance_km") : (double)NAN;
    put_demand(v, is_on ? on : day, is_on ? is_on->distance_km : day_km, demanded_km);
    if (!isnan(demanded_km))
        v->demand[v->count - 1].met = is_on ? is_on->met : day_km >= demanded_km - EVN_ALIKE_KM;
}

/* The rig that carries most on this day; NULL: it was never made. */
static const evn_rig *heaviest(const evn_day_plan *p)
{
    const evn_rig *most = NULL;
    for (size_t k = 0; k < p->count; k++) {
        const evn_rig *rig = p->phase[k].rig;
        if (rig && (!most || rig->mass_kg > most->mass_kg))
            most = rig;
    }
    return most;
}

/* On which it moves off as it stands in the limits' own answer; NAN: nothing is known. */
static double steepest_start_percent(const evn_rig *rig, const evn_driving *driving, double demanded,
                                     evn_report *report)
{
    evn_demands demands;
    evn_limits *limits = NULL;
    evn_limits_verdict is = {.value = (double)NAN};
    if (!rig || isnan(demanded) || !evn_object_default(&evn_demands_object, &demands, NULL))
        return (double)NAN;
    demands.start_grade_percent = demanded;
    evn_limits_make(rig, driving, &(evn_limits_how){.only_deciding = true, .demands = &demands}, &limits, report);
    if (!evn_limits_demand_at(limits, 0, &is))
        is.value = (double)NAN;
    evn_limits_free(limits);
    return is.value;
}

/* Labels last; those of the limits' own list say more, and go with it. */
static evn_quantity ability(const evn_quantity *of)
{
    static const struct {
        const char *key, *label, *help;
    } rows[] = {{"start", "start on the ground demanded", "grade on which it moves off there with the most it carries"},
                {"change_up", "changing up on that ground", "grade on which it changes up there and goes on pulling"},
                {"climb", "speed on the climb demanded", "highest speed that it holds there with the most it carries"},
                {"descent", "descent held", "steepest descent that motors alone hold with the most it carries"}};
    size_t k = 0;
    while (k + 1 < sizeof rows / sizeof *rows && strcmp(rows[k].key, of->key) != 0)
        k++;
    return (evn_quantity){rows[k].key, of->unit, rows[k].help, EVN_REAL, of->digits, rows[k].label, rows[k].label, 0};
}

static void put_abilities(evn_duty_verdicts *v, const evn_rig *rig, const evn_driving *driving,
                          const evn_demands *demands, evn_report *report)
{
    evn_limits *limits = NULL;
    evn_limits_verdict is;
    if (!rig || !demands)
        return;
    evn_limits_make(rig, driving, &(evn_limits_how){.only_deciding = true, .demands = demands}, &limits, report);
    for (size_t k = 0; evn_limits_demand_at(limits, k, &is); k++)
        v->demand[v->count++] = (evn_day_demand){ability(&is.what), is.value, is.demanded, is.met, true};
    evn_limits_free(limits);
}

/* A day that was stopped says nothing of what it would have come to, nor does one that was stopped when driven on. */
static void take_back(evn_duty_verdicts *v, const evn_day_season *s, const evn_driven_on *on)
{
    bool stopped = strcmp(s->status, "interrupted") == 0;
    for (size_t k = 0; k < v->count; k++) {
        evn_day_demand *d = &v->demand[k];
        bool of_distance = strcmp(d->what.key, "distance_km") == 0;
        d->judged = !stopped && !(of_distance && on && isnan(on->distance_km));
    }
}

void evn_duty_judge(evn_duty_verdicts *v, const evn_duty_demands_file *d, const evn_day_season *s,
                    const evn_day_plan *plan, const evn_driven_on *on, const evn_driving *driving, evn_report *report)
{
    double none = (double)NAN;
    bool finished = has_finished(s);
    v->count = 0;
    put_demand(v,
               (evn_quantity){"reserve_soc", "",
                              "lowest state of charge of the day above the usable window's lower end", EVN_SHARE, 1,
                              "reserve of charge", "reserve of charge", 0},
               finished ? s->reserve_soc : none, d->reserve_soc);
    put_demand(v,
               (evn_quantity){"reserve_kwh", "kWh", "energy that the battery holds above its usable window's lower end",
                              EVN_REAL, 1, "reserve of energy", "reserve of energy", 0},
               finished ? s->reserve_kwh : none, d->reserve_kwh);
    put_distance(v, s, on, d->distance_km);
    take_back(v, s, on);
    put_demand(v,
               (evn_quantity){"steepest_start_percent", "%", "grade on which it moves off with the most it carries",
                              EVN_REAL, 2, "steepest start", "steepest start", 0},
               steepest_start_percent(heaviest(plan), driving, d->steepest_start_percent, report),
               d->steepest_start_percent);
    put_abilities(v, heaviest(plan), driving, d->abilities, report);
}

void evn_duty_say_unmet(const evn_duty_verdicts *v, const char *of, evn_report *report)
{
    for (size_t k = 0; k < v->count; k++) {
        const evn_day_demand *d = &v->demand[k];
        double to_told = d->what.kind == EVN_SHARE ? 100 : 1;
        const char *unit = d->what.kind == EVN_SHARE ? "%" : d->what.unit;
        if (d->judged && !d->met)
            evn_say(report, EVN_FAULT_DEMAND_NOT_MET, evn_nowhere, evn_nowhere,
                    "%s%s%s: %.*f %s; expected at least %.*f %s", of, of[0] ? ", " : "", d->what.label, d->what.digits,
                    to_told * d->value, unit, d->what.digits, to_told * d->demanded, unit);
    }
}
