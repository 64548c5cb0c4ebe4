/* What a truck takes on its day. */
#include "money/use.h"
#include "core/units.h"
#include "duty/day.h"
#include "duty/pack_size.h"
#include "truck/rig.h"
#include <math.h>
#include <string.h>

/* More than any truck carries on a road. */
static const double CARRIES_MOST_KG = 100000;

static double value_of(const evn_results *r, const char *key, double otherwise)
{
    double value;
    return r && evn_results_get(r, key, &value) ? value : otherwise;
}

void evn_use_charged(const evn_results *r, double *from_grid_kwh, double *unstated_kwh)
{
    double from_grid = value_of(r, "charged_from_grid_kwh", (double)NAN);
    *from_grid_kwh = isnan(from_grid) ? 0 : from_grid;
    *unstated_kwh = isnan(from_grid) ? value_of(r, "charged_kwh", 0) : 0;
}

/* Stop by stop: the day's sum has no energy from the grid where one of them states no efficiency. */
static void add_charged(evn_use *u, const evn_day *day, size_t season, double share)
{
    double from_grid = 0, unstated = 0;
    evn_day_phase p;
    for (size_t k = 0; evn_day_phase_at(day, season, k, &p); k++) {
        double grid_kwh, unstated_kwh;
        evn_use_charged(p.results, &grid_kwh, &unstated_kwh);
        from_grid += grid_kwh;
        unstated += unstated_kwh;
    }
    u->charged_from_grid_kwh += share * from_grid;
    u->charged_unstated_kwh += share * unstated;
}

static void add_season(evn_use *u, const evn_day_season *s, double share)
{
    const evn_results *r = s->results;
    double battery = value_of(r, "battery_kwh", (double)NAN), stored = value_of(r, "charged_stored_kwh", 0);
    u->km += share * value_of(r, "distance_km", (double)NAN);
    u->h += share * value_of(r, "duration_s", (double)NAN) / 3600;
    u->t_km += share * battery / value_of(r, "kwh_per_t_km", (double)NAN);
    u->battery_kwh += share * battery;
    u->stored_kwh += share * stored;
    u->charged_kwh += share * value_of(r, "charged_kwh", 0);
    u->discharged_kwh += share * value_of(r, "discharged_kwh", (double)NAN);
    u->surplus_kwh += share * fmax(stored - battery, 0);
    u->worst_depot_kwh = fmax(u->worst_depot_kwh, battery - stored);
    u->depth = fmax(u->depth, s->begin_soc - s->lowest_soc);
}

/* What is drawn of the charge until it is lowest: more than the depth where stops put some back on the way. */
static double drawn_of(const evn_day *day, size_t season, const evn_day_season *s)
{
    evn_day_phase p, next;
    double back = 0;
    for (size_t k = 0; evn_day_phase_at(day, season, k, &p) && evn_day_phase_at(day, season, k + 1, &next); k++) {
        if (isnan(next.begin_soc) || (k > 0 && p.begin_soc <= s->lowest_soc))
            break;
        if (p.stop)
            back += fmax(next.begin_soc - p.begin_soc, 0);
    }
    return s->begin_soc - s->lowest_soc + back;
}

/* A unit of charge holds less the emptier the battery is: its energy at the lowest charge of the day. */
static void add_reserve(evn_use *u, const evn_day_season *s, const evn_rig *rig)
{
    if (isnan(s->reserve_soc) || s->reserve_soc >= u->reserve_soc)
        return;
    u->reserve_soc = s->reserve_soc;
    if (rig)
        u->end_kwh = rig->pack.capacity_as * evn_curve_at(&rig->pack.open_circuit_v, s->lowest_soc) / EVN_J_PER_KWH;
}

static double margin_of(const evn_day_demand *d) { return d->value - d->demanded; }

static void add_demands(evn_use *u, const evn_day *day, size_t season, const char *name)
{
    evn_day_demand is;
    for (size_t k = 0; k < EVN_DUTY_DEMANDS_MOST && evn_day_demand_at(day, season, k, &is); k++) {
        evn_day_demand *least = &u->demanded.demand[k];
        bool is_new = k >= u->demanded.count;
        u->meets = u->meets && is.met;
        if (is_new || (least->met && !is.met) || (least->met == is.met && margin_of(&is) < margin_of(least))) {
            *least = is;
            u->worst[k] = name;
        }
        u->demanded.count += is_new;
    }
}

/* A day that ends before its end: that which gets least far. */
static void add_stopped(evn_use *u, const evn_day_season *s)
{
    double km = value_of(s->results, "distance_km", (double)NAN);
    if (strcmp(s->status, "finished") == 0 || isnan(km) || km >= u->stopped_km)
        return;
    u->stopped_km = km;
    u->stopped_drawn = s->begin_soc - s->lowest_soc;
}

static bool add_seasons(evn_use *u, const evn_day *day)
{
    evn_day_season s;
    double shares = 0;
    for (size_t k = 0; evn_day_season_at(day, k, &s); k++)
        shares += s.name ? s.share : 1;
    u->status = "finished";
    for (size_t k = 0; evn_day_season_at(day, k, &s); k++) {
        if (strcmp(s.status, "finished") != 0)
            u->status = s.status;
        add_stopped(u, &s);
        add_reserve(u, &s, evn_day_rig(day, k));
        add_demands(u, day, k, s.name);
        if (s.results) {
            add_season(u, &s, (s.name ? s.share : 1) / shares);
            add_charged(u, day, k, (s.name ? s.share : 1) / shares);
            u->drawn = fmax(u->drawn, drawn_of(day, k, &s));
        } else if (strcmp(u->status, "finished") == 0)
            u->status = "failed";
    }
    return strcmp(u->status, "finished") == 0;
}

static void put_battery(evn_use *u, const evn_battery_file *b)
{
    u->pack_kwh = evn_battery_kwh(b);
    u->pack_v = u->pack_kwh * 1000 / b->capacity_ah;
    u->pack_ohm = b->resistance_ohm;
}

/* As it stands with what it carries, in what is asked beside the seasons. */
static bool put_masses(evn_use *u, const evn_truck_file *t, const evn_load_case *c, evn_report *report)
{
    evn_permitted permitted;
    const char *bound_by;
    double payload_kg = isnan(c->payload_kg) ? t->payload->mass_kg : c->payload_kg;
    evn_rig *rig = NULL;
    if (!evn_permitted_make(&permitted, t, c, payload_kg, report) || !evn_rig_make(t, c, &rig, report))
        return false;
    u->kerb_kg = rig->mass_kg - rig->payload_kg;
    evn_rig_free(rig);
    u->payload_t = payload_kg / 1000;
    u->may_carry_t = fmax(evn_payload_left_kg(t, c, CARRIES_MOST_KG, &permitted, &bound_by), 0) / 1000;
    return true;
}

bool evn_use_find(const evn_truck_file *t, const evn_duty_file *d, const evn_conditions *ask, const evn_day_how *how,
                  evn_use *u, evn_report *report)
{
    *u = (evn_use){.status = "failed",
                   .meets = true,
                   .stopped_km = (double)NAN,
                   .stopped_drawn = (double)NAN,
                   .reserve_soc = (double)NAN,
                   .end_kwh = (double)NAN};
    evn_day *day = evn_day_drive(t, d, ask, how, report);
    if (!day)
        return false;
    add_seasons(u, day);
    evn_day_free(day);
    put_battery(u, t->battery);
    return put_masses(u, t, &ask->load_case, report);
}
