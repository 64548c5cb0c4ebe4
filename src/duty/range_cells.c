/* One season, payload and age of the table: what is asked of it, and what is told. */
#include "duty/range_made.h"
#include <math.h>
#include <string.h>

evn_day_reach evn_range_ask_of(const evn_range *r, size_t cell)
{
    evn_day_reach a = {.truck = r->truck,
                       .duty = r->duty,
                       .season = cell % r->seasons,
                       .ask = r->ask,
                       .payload_kg = r->payload_kg[cell / (r->seasons * r->ages)],
                       .most_payload_kg = (double)INFINITY,
                       .enough_km = (double)INFINITY,
                       .days_most = r->days_most};
    a.ask.load_case.battery_age_years = r->age_years[cell / r->seasons % r->ages];
    return a;
}

const char *evn_range_season_of(const evn_range *r, size_t cell)
{
    return r->duty->seasons.count > 0 ? r->duty->seasons.name[cell % r->seasons] : NULL;
}

/* ------------------------------------------------------------------------------------------------ calls */

/* What goes on for ever is short of nothing. */
static double more_km(const evn_day_reach *of, double goal_km)
{
    double more = of->distance_km - goal_km;
    return of->sustained ? fmax(more, 0) : more;
}

bool evn_range_cell_at(const evn_range *r, size_t index, evn_range_cell *out)
{
    if (!r || !out || index >= r->cells)
        return false;
    const evn_day_reach *of = &r->reach[index];
    bool finished = strcmp(of->status, "finished") == 0, day = of->days > 0;
    *out = (evn_range_cell){.season = evn_range_season_of(r, index),
                            .payload_kg = of->payload_kg,
                            .age_years = of->ask.load_case.battery_age_years,
                            .begin_soc = of->begin_soc,
                            .floor_soc = of->floor_soc,
                            .does_it = evn_day_reach_does(of, r->goal.distance_km),
                            .distance_km = of->distance_km,
                            .duration_s = of->duration_s,
                            .unlimited = finished,
                            .sustained = of->sustained,
                            .status = of->status,
                            .reserve_soc = day ? of->day_lowest_soc - r->truck->battery->usable_from_soc : (double)NAN,
                            .reserve_kwh = day ? of->day_left_kwh : (double)NAN,
                            .more_km = more_km(of, r->goal.distance_km),
                            .day = finished ? of->days : of->days + 1,
                            .into_km = of->phase_km,
                            .load_case = of->load_case};
    if (of->plan.phase[0].status)
        out->ends_in = evn_day_phase_of(&of->plan, of->phase);
    return true;
}

size_t evn_range_worst(const evn_range *r) { return r ? r->worst : 0; }

bool evn_range_goal_of(const evn_range *r, evn_range_goal *out)
{
    if (!r || !out)
        return false;
    *out = r->goal;
    return true;
}

bool evn_range_load_at(const evn_range *r, size_t index, evn_range_load *out)
{
    if (!r || !out || index >= r->loads)
        return false;
    *out = r->load[index];
    return true;
}

bool evn_range_pack_of(const evn_range *r, evn_range_pack *out)
{
    if (!r || !out)
        return false;
    *out = r->pack;
    return true;
}
