/*
 * Results: one row each, in the order in which every medium tells them. The ledger closes between the energy the pack
 * gave (from its charge and open-circuit voltage at both ends) and the sum of all lines, of which the stores (height,
 * motion) come from the states at both ends too.
 */
#include "trip/results.h"
#include "core/units.h"
#include "trip/axle_brakes.h"
#include "trip/friction_causes.h"
#include "trip/hottest.h"
#include "trip/kinetic.h"
#include "trip/moment.h"
#include "trip/peaks.h"
#include "trip/standing.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ energies */

typedef struct sums {
    double line_j[EVN_LINE_COUNT];
    double battery_j, drawn_j, returned_j, terminal_j;
    double distance_km, balance_error;
} sums;

static double grade_j(const evn_trip *t)
{
    double rise = evn_road_height_m(&t->course->road[t->road_at], t->y[EVN_Y_PLACE]) - t->start_height_m;
    return t->rig->mass_kg * t->rig->gravity_m_s2 * rise;
}

/* A line that is kept per drive unit, of one of them. */
static double unit_line_j(const evn_trip *t, size_t unit, int line)
{
    return line == EVN_SHIFTING ? t->shifting_j[unit] : evn_states_unit_line_j(&t->states, t->y, unit, line);
}

static void sum_up(const evn_trip *t, sums *s)
{
    const evn_pack *p = &t->rig->pack;
    const double *y = t->y;
    double all = 0;
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        s->line_j[k] = t->lump_j[k] + evn_states_line_j(&t->states, y, k);
        for (size_t u = 0; k >= EVN_UNIT_LINES && u < t->rig->unit_count; u++)
            s->line_j[k] += unit_line_j(t, u, k);
    }
    s->line_j[EVN_KINETIC] = evn_trip_kinetic_j(t) - t->start_kinetic_j;
    s->line_j[EVN_GRADE] = grade_j(t);
    for (int k = 0; k < EVN_LINE_COUNT; k++)
        all += s->line_j[k];
    s->battery_j = p->capacity_as * evn_curve_integral(&p->open_circuit_v, evn_trip_soc(t, y), t->start_soc);
    s->drawn_j = y[EVN_Y_DRAWN];
    s->returned_j = s->drawn_j - s->battery_j;
    s->terminal_j = y[EVN_Y_TERMINAL];
    s->distance_km = (y[EVN_Y_PLACE] - t->course->begin_m) / 1000;
    double throughput = s->drawn_j + fabs(s->returned_j);
    s->balance_error = throughput > 0 ? fabs(s->battery_j - all) / throughput : 0;
}

/* ------------------------------------------------------------------------------------------------ rows */

typedef struct run {
    const evn_trip *trip;
    const sums *sum;
} run;

static double kwh(double j) { return j / EVN_J_PER_KWH; }
static double per(double a, double b) { return b > 0 ? a / b : (double)NAN; }

static double distance(const run *r) { return r->sum->distance_km; }
static double duration(const run *r) { return r->trip->t; }
static double mean_speed(const run *r) { return per(r->sum->distance_km * 3600, r->trip->t); }
/* Without what a connector put into it. */
static double used_j(const run *r) { return r->sum->battery_j + (r->trip->standing ? r->sum->returned_j : 0); }
static double battery(const run *r) { return kwh(used_j(r)); }
static double discharged(const run *r) { return kwh(r->sum->drawn_j); }
/* At rest nothing is regenerated: what goes into the battery is from a connector. */
static double regenerated(const run *r) { return kwh(r->trip->standing ? 0 : r->sum->returned_j); }
static double regenerative_braking(const run *r) { return kwh(r->trip->y[EVN_Y_HELD]); }
/* NAN: nothing was braked. */
static double motor_braking_share(const run *r)
{
    const double *line_j = r->sum->line_j, held_j = r->trip->y[EVN_Y_HELD];
    return per(held_j, held_j + line_j[EVN_FRICTION_BRAKES] + line_j[EVN_RETARDER]);
}
static double terminal(const run *r) { return kwh(r->sum->terminal_j); }
static double kwh_per_km(const run *r) { return per(kwh(used_j(r)), r->sum->distance_km); }
static double kwh_per_t_km(const run *r)
{
    return per(kwh(used_j(r)), r->sum->distance_km * r->trip->rig->payload_kg / 1000);
}
static double balance_error(const run *r) { return r->sum->balance_error; }
static double below_target(const run *r) { return r->trip->behind_s; }
static double delay(const run *r)
{
    const evn_course *c = r->trip->course;
    double asked_s = r->trip->standing ? r->trip->t : c->clock_end_s - c->clock_begin_s;
    return r->trip->status == EVN_STATUS_FINISHED ? r->trip->t - asked_s : (double)NAN;
}
static double speed_tolerance_met(const run *r)
{
    return r->trip->course->trace_count ? !r->trip->band_broken : (double)NAN;
}
static double gear_changes(const run *r)
{
    double sum = 0;
    for (size_t u = 0; u < r->trip->rig->unit_count; u++)
        sum += r->trip->box[u].shifts;
    return sum;
}
static double gear_changes_per_100_km(const run *r) { return per(100 * gear_changes(r), r->sum->distance_km); }
/* NAN: its temperature is not modelled. */
static double unit_winding(const run *r, size_t unit)
{
    return evn_unit_has_winding(&r->trip->rig->unit[unit]) ? r->trip->hottest[unit].winding_degc[EVN_AS_STATED]
                                                           : (double)NAN;
}
static double peak_winding(const run *r)
{
    double most = (double)NAN;
    for (size_t u = 0; u < r->trip->rig->unit_count; u++)
        most = fmax(most, unit_winding(r, u));
    return most;
}
static double peak_coolant(const run *r) { return r->trip->peak_coolant_temperature_degc; }
static double peak_battery(const run *r) { return r->trip->peak_battery_degc; }
static double final_battery(const run *r) { return evn_states_battery_degc(&r->trip->states, r->trip->y); }
static double discharge_limited(const run *r) { return r->trip->discharge_limited_s; }
static double charge_limited(const run *r) { return r->trip->charge_limited_s; }
static double final_soc(const run *r) { return evn_trip_soc(r->trip, r->trip->y); }
static double gross_mass(const run *r) { return r->trip->rig->mass_kg; }
static double payload(const run *r) { return r->trip->rig->payload_kg; }
static double refused_at_wheels(const run *r) { return kwh(r->trip->refusal.wheels_j); }
static double refused_at_terminals(const run *r) { return kwh(r->trip->refusal.terminals_j); }
static double final_tyres(const run *r) { return evn_states_tyre_degc(&r->trip->states, r->trip->y); }
static double air_density(const run *r) { return r->trip->rig->air_density_kg_m3; }

static double friction_peak(const run *r) { return r->trip->friction.peak_w / 1e3; }
static double friction_mean(const run *r)
{
    return per(r->sum->line_j[EVN_FRICTION_BRAKES] / 1e3, r->trip->friction.braking_s);
}
static double axle_brake_peak(const run *r, size_t axle) { return r->trip->friction.peak_degc[axle]; }
static double peak_brake(const run *r) { return evn_axle_brakes_peak_degc(r->trip); }

static double steady(const run *r) { return kwh(r->trip->rig->loads.auxiliaries_w * r->trip->t); }
static double brake_applications(const run *r) { return (double)r->trip->made_up.applications; }
static double takeoff_s(const run *r) { return r->trip->takeoff.worked_s; }
/* Asked of stops and from start to end, less the work that was done. */
static const double ROUNDING_J = 1;
static double takeoff_missed(const run *r)
{
    const evn_trip *t = r->trip;
    double stops_j = t->takeoff.asked_j, running_j = t->rig->takeoff.running_w * (t->t - t->takeoff.worked_s);
    double missed_j = stops_j + running_j - r->sum->line_j[EVN_PTO];
    return missed_j > ROUNDING_J ? kwh(missed_j) : 0;
}
static double takeoff_gears(const run *r) { return kwh(r->trip->y[r->trip->states.at[EVN_Y_TAKEOFF_GEAR]]); }
static double takeoff_motor(const run *r) { return kwh(r->trip->y[r->trip->states.at[EVN_Y_TAKEOFF_MOTOR]]); }
static double takeoff_inverter(const run *r) { return kwh(r->trip->y[r->trip->states.at[EVN_Y_TAKEOFF_INVERTER]]); }

static bool has_consumers(const evn_rig *r) { return r->loads.consumer_count > 0; }
static bool counts_braking(const evn_rig *r) { return r->loads.after_braking != 0; }
static bool has_takeoff(const evn_rig *r) { return r->takeoff.there; }
static bool has_own_motor(const evn_rig *r) { return r->takeoff.own; }
static bool tells_friction(const evn_rig *r) { return r->tells_friction; }
static bool models_brakes(const evn_rig *r)
{
    bool any = false;
    for (size_t k = 0; k < r->axle_count; k++)
        any = any || r->axle[k].brake.modelled;
    return any;
}
static bool models_brake(const evn_rig *r, size_t axle) { return r->axle[axle].brake.modelled; }

typedef struct row {
    evn_quantity what;
    double (*of)(const run *);
    bool (*applies)(const evn_rig *); /* NULL: to all */
} row;

/* The short list of what a run comes to, in the order in which every medium tells it. */
static const row headline[] = {
    {{"duration_s", "s", "from start to end, stops included", EVN_REAL, 1, "travel time", "travel time"}, duration},
    {{"mean_speed_km_h", "km/h", "distance over travel time", EVN_REAL, 1, "mean speed", "mean speed"}, mean_speed},
    {{"delay_s", "s", "travel time beyond that of the target speed", EVN_REAL, 1, "delay", "delay"}, delay},
    {{"time_below_target_s", "s",
      "time more than 2 mph (3.2 km/h) below the target speed of the place; margin of 40 CFR 1066.425(b)", EVN_REAL, 1,
      "time more than 3.2 km/h below target speed", "time > 3.2 km/h below target"},
     below_target},
    {{"kwh_per_km", "kWh/km", "net battery energy over distance", EVN_REAL, 2, "energy consumption",
      "energy consumption"},
     kwh_per_km},
    {{"kwh_per_t_km", "kWh/(t km)", "net battery energy over distance and payload", EVN_REAL, 3,
      "energy consumption per tonne of payload", "per tonne of payload"},
     kwh_per_t_km},
    {{"battery_kwh", "kWh", "energy out of the battery, discharged less regenerated, before its internal resistance",
      EVN_REAL, 1, "net battery energy", "net battery energy"},
     battery},
    {{"discharged_kwh", "kWh", "energy out of the battery while it discharges, its resistance losses included",
      EVN_REAL, 1, "discharged", "discharged"},
     discharged},
    {{"regenerated_kwh", "kWh",
      "energy into the battery while it is charged, its resistance losses taken off; a positive number", EVN_REAL, 1,
      "regenerated", "regenerated"},
     regenerated},
    {{"regenerative_braking_kwh", "kWh", "braking work that the motors take at the driven tyres", EVN_REAL, 1,
      "regenerative braking work", "regenerative braking"},
     regenerative_braking},
    {{"motor_braking_share", "",
      "the motors' part of all braking work at the tyres, 0 to 1; reports tell it in per cent; none where nothing "
      "braked",
      EVN_SHARE, 1, "motors' share of braking work", "braking by motors"},
     motor_braking_share},
    {{"final_soc", "", "state of charge at the end, 0 to 1; reports tell it in per cent", EVN_SHARE, 1,
      "final state of charge", "final state of charge"},
     final_soc},
    {{"peak_winding_temperature_degc", "degC", "of the hottest winding; none where no file states how windings heat",
      EVN_REAL, 0, "peak winding temperature", "peak winding temp."},
     peak_winding},
    {{"peak_brake_temperature_degc", "degC", "of the hottest friction brakes, where a file states how they heat",
      EVN_REAL, 0, "peak brake temperature", "peak brake temp."},
     peak_brake,
     models_brakes},
    {{"gear_changes", "", "of all drive units", EVN_WHOLE, 0, "gear changes", "gear changes"}, gear_changes},
    {{"gear_changes_per_100_km", "1/100 km", "of all drive units, over distance", EVN_REAL, 0,
      "gear changes per 100 km", "gear changes per 100 km"},
     gear_changes_per_100_km},
    {{"speed_tolerance_met", "",
      "speed within the tolerance around the trace, 40 CFR 1066.425(b); not judged for limits over place", EVN_YES_NO,
      0, "within speed tolerance", "within speed tolerance"},
     speed_tolerance_met},
    {{"gross_mass_kg", "kg", "mass of the whole combination with payload", EVN_REAL, 0, "gross mass", "gross mass"},
     gross_mass},
    {{"payload_kg", "kg", "payload", EVN_REAL, 0, "payload", "payload"}, payload},
};

static bool has_tyre_warmth(const evn_rig *r) { return r->tyres.law != EVN_ROLLING_RESISTANCE_LAW_CONSTANT; }
static bool has_loop(const evn_rig *r) { return r->cooling.modelled; }
static bool has_battery_heat(const evn_rig *r) { return r->pack.heat.modelled; }
static bool limits_differ(const evn_rig *r) { return r->pack.out.share || r->pack.in.share; }

static const row further[] = {
    {{"distance_km", "km", "distance travelled", EVN_REAL, 2, "distance", "distance"}, distance},
    {{"terminal_kwh", "kWh", "net energy at the terminals of the battery", EVN_REAL, 1,
      "net energy at battery terminals", "at battery terminals"},
     terminal},
    {{"air_density_kg_m3", "kg/m3", "density of the air", EVN_REAL, 4, "air density", "air density"}, air_density},
    {{"balance_error", "", "what the energy balance leaves open, of the energy that went through the battery", EVN_REAL,
      9, "balance error", "balance error"},
     balance_error},
    {{"peak_coolant_temperature_degc", "degC", "of the coolant loop; where the file states one (cooling)", EVN_REAL, 1,
      "peak coolant temperature", "peak coolant temp."},
     peak_coolant,
     has_loop},
    {{"peak_battery_temperature_degc", "degC", "of the battery; where its file states how it heats (heat)", EVN_REAL, 1,
      "peak battery temperature", "peak battery temp."},
     peak_battery,
     has_battery_heat},
    {{"final_battery_temperature_degc", "degC", "of the battery at the end; where its file states how it heats",
      EVN_REAL, 1, "final battery temperature", "final battery temp."},
     final_battery,
     has_battery_heat},
    {{"discharge_limited_s", "s",
      "time on the way in which the battery limited the motors' pull; where its file states limits over temperature",
      EVN_REAL, 1, "time at the battery's discharge limit", "at discharge limit"},
     discharge_limited,
     limits_differ},
    {{"charge_limited_s", "s",
      "time on the way in which the battery limited the motors' braking; where its file states limits over "
      "temperature",
      EVN_REAL, 1, "time at the battery's charge limit", "at charge limit"},
     charge_limited,
     limits_differ},
    {{"friction_brakes_peak_kw", "kW", "most power of all friction brakes together, at the ends of steps", EVN_REAL, 0,
      "peak friction braking power", "peak friction power"},
     friction_peak,
     tells_friction},
    {{"friction_brakes_mean_kw", "kW", "friction braking energy over the time in which friction brakes brake", EVN_REAL,
      0, "mean friction braking power", "mean friction power"},
     friction_mean,
     tells_friction},
    {{"auxiliaries_steady_kwh", "kWh",
      "used by the steady power of the auxiliaries; the rest of their line is that of consumers by cause", EVN_REAL, 2,
      "steady auxiliaries", "steady auxiliaries"},
     steady,
     has_consumers},
    {{"brake_applications", "", "times that the friction brakes were applied, those to hold at a stop included",
      EVN_WHOLE, 0, "brake applications", "brake applications"},
     brake_applications,
     counts_braking},
    {{"power_take_off_stop_s", "s", "time in stops in which the power take-off worked", EVN_REAL, 1,
      "work of the power take-off in stops", "take-off in stops"},
     takeoff_s,
     has_takeoff},
    {{"power_take_off_missed_kwh", "kWh",
      "work asked of the power take-off that its motors could not give, by voltage or temperature", EVN_REAL, 2,
      "work of the power take-off not done", "take-off not done"},
     takeoff_missed,
     has_takeoff},
    {{"power_take_off_gear_losses_kwh", "kWh", "gears between the power take-off and a motor of its own", EVN_REAL, 2,
      "gear losses of the power take-off", "take-off gear losses"},
     takeoff_gears,
     has_own_motor},
    {{"power_take_off_motor_losses_kwh", "kWh", "losses of a motor of its own that drives the power take-off", EVN_REAL,
      2, "motor losses of the power take-off", "take-off motor losses"},
     takeoff_motor,
     has_own_motor},
    {{"power_take_off_inverter_losses_kwh", "kWh", "losses of the inverter of that motor", EVN_REAL, 2,
      "inverter losses of the power take-off", "take-off inverter losses"},
     takeoff_inverter,
     has_own_motor},
    {{"final_tyre_temperature_degc", "degC",
      "of the tyres at the end; where the load case asks how rolling resistance goes with temperature", EVN_REAL, 1,
      "final tyre temperature", "final tyre temp."},
     final_tyres,
     has_tyre_warmth},
};

/* Told of runs in which a full pack refused something. */
static const row when_refused[] = {
    {{"refused_at_wheels_kwh", "kWh",
      "braking work at the driven tyres that the motors would have taken had the battery been half full, less what "
      "they "
      "took; friction brakes took it instead; only of runs in which the battery was too full",
      EVN_REAL, 1, "braking work refused, at the wheels", "refused at the wheels"},
     refused_at_wheels},
    {{"refused_at_terminals_kwh", "kWh",
      "energy that the battery would have been charged with had it been half full, less what it was charged with; only "
      "of runs in which the battery was too full",
      EVN_REAL, 1, "charge refused, at battery terminals", "refused at terminals"},
     refused_at_terminals},
};
/* Told of stops that charge. */
static double charged(const run *r) { return 0 - kwh(r->sum->line_j[EVN_CHARGING]); } /* of nothing no -0 */
static double charged_stored(const run *r) { return kwh(r->sum->returned_j); }
static double charged_from_grid(const run *r) { return charged(r) / r->trip->standing->grid_efficiency; }

static const row when_charging[] = {
    {{"charged_kwh", "kWh", "energy from the connector, at the terminals of the battery, what runs meanwhile included",
      EVN_REAL, 1, "charged at stops", "charged"},
     charged},
    {{"charged_stored_kwh", "kWh", "of that, what was stored: losses in the battery and what ran meanwhile taken off",
      EVN_REAL, 1, "charged and stored", "charged and stored"},
     charged_stored},
    {{"charged_from_grid_kwh", "kWh", "the same at the grid, where an efficiency of the charger is stated", EVN_REAL, 1,
      "taken from the grid", "from the grid"},
     charged_from_grid},
};
static bool charges(const evn_trip *t) { return t->standing && t->standing->charges; }

static bool has_refused(const evn_trip *t) { return kwh(t->refusal.wheels_j) > 0.05; } /* else 0.0 is told */

/* ------------------------------------------------------------------------------------------------ rows of each unit */

static double bus(const run *r, size_t unit)
{
    return kwh(r->trip->y[evn_states_unit(&r->trip->states, unit, EVN_U_BUS)]);
}
static double unit_gear_changes(const run *r, size_t unit) { return r->trip->box[unit].shifts; }
static double engagements(const run *r, size_t unit) { return r->trip->box[unit].engagements; }
static double openings(const run *r, size_t unit) { return r->trip->box[unit].openings; }
static double open_s(const run *r, size_t unit) { return r->trip->box[unit].open_s; }
static double branch_openings(const run *r, size_t unit) { return r->trip->box[unit].branch_openings; }
static double branch_s(const run *r, size_t unit) { return r->trip->box[unit].branch_s; }
static double filled_s(const run *r, size_t unit) { return r->trip->filled_map_s[unit]; }

static double winding_low(const run *r, size_t unit) { return evn_hottest_winding_low_degc(&r->trip->hottest[unit]); }
static double winding_high(const run *r, size_t unit) { return evn_hottest_winding_high_degc(&r->trip->hottest[unit]); }
static double gearbox_oil(const run *r, size_t unit) { return r->trip->hottest[unit].oil_degc[EVN_OIL_GEARBOX]; }
static double axle_oil(const run *r, size_t unit) { return r->trip->hottest[unit].oil_degc[EVN_OIL_AXLE]; }
static bool has_gearbox_oil(const evn_unit *u) { return u->oil[EVN_OIL_GEARBOX].there; }
static bool has_axle_oil(const evn_unit *u) { return u->oil[EVN_OIL_AXLE].there; }
static double housing(const run *r, size_t unit) { return r->trip->hottest[unit].housing_degc; }
static double inverter(const run *r, size_t unit) { return r->trip->hottest[unit].inverter_degc; }
static double pulses_off_s(const run *r, size_t unit) { return r->trip->hot[unit].pulses_off_s; }

static double resting_s(const run *r, size_t unit) { return r->trip->box[unit].resting_s; }

static bool is_ranged(const evn_unit *u) { return u->motor[0].heat.ranged; }
static bool has_several(const evn_unit *u) { return u->motor_count > 1; }
static bool disconnects(const evn_unit *u) { return u->can_disconnect; }

#define OF_UNIT "drive_units.NAME" /* its name takes the place of NAME */

typedef struct unit_row {
    evn_quantity what;
    double (*of)(const run *, size_t unit);
    bool (*applies)(const evn_unit *); /* NULL: to all */
} unit_row;

static const unit_row unit_rows_before_ledger[] = {
    {{OF_UNIT ".bus_kwh", "kWh", "energy from the d.c. bus into the unit, net", EVN_REAL, 1, "net energy from d.c. bus",
      "from d.c. bus"},
     bus,
     NULL},
};
static const unit_row unit_rows_after_ledger[] = {
    {{OF_UNIT ".gear_changes", "", "changes of gear", EVN_WHOLE, 0, "gear changes", "gear changes"},
     unit_gear_changes,
     NULL},
    {{OF_UNIT ".engagement_changes", "", "changes of the number of motors engaged", EVN_WHOLE, 0,
      "changes of motors engaged", "motor changes"},
     engagements,
     has_several},
    {{OF_UNIT ".disconnections", "", "how often it disconnected", EVN_WHOLE, 0, "disconnections", "disconnections"},
     openings,
     disconnects},
    {{OF_UNIT ".disconnected_s", "s", "time disconnected", EVN_REAL, 1, "time disconnected", "disconnected"},
     open_s,
     disconnects},
    {{OF_UNIT ".resting_s", "s", "time at rest without pulses: motors and inverters lose nothing", EVN_REAL, 1,
      "time resting", "resting"},
     resting_s,
     NULL},
    {{OF_UNIT ".branch_disconnections", "", "how often a branch of it disconnected", EVN_WHOLE, 0,
      "disconnections of branches", "branch disconnections"},
     branch_openings,
     evn_can_open_branch},
    {{OF_UNIT ".branch_disconnected_s", "s", "time with a branch disconnected", EVN_REAL, 1,
      "time with a branch disconnected", "branch disconnected"},
     branch_s,
     evn_can_open_branch},
    {{OF_UNIT ".filled_map_s", "s", "time where a fit fills the motor's loss map", EVN_REAL, 1,
      "time outside the measured loss map", "outside loss map"},
     filled_s,
     evn_unit_has_map},
    {{OF_UNIT ".peak_winding_temperature_degc", "degC",
      "of its hottest winding; none where its file does not state how it heats", EVN_REAL, 0,
      "peak winding temperature", "peak winding temp."},
     unit_winding,
     NULL},
    {{OF_UNIT ".peak_winding_temperature_low_degc", "degC",
      "of its hottest winding, the lowest over the range of its time constants: short, as stated, long, at the same "
      "losses",
      EVN_REAL, 0, "peak winding temperature, lowest over its time constants", "peak winding temp., lowest"},
     winding_low,
     is_ranged},
    {{OF_UNIT ".peak_winding_temperature_high_degc", "degC", "of its hottest winding, likewise the highest", EVN_REAL,
      0, "peak winding temperature, highest over its time constants", "peak winding temp., highest"},
     winding_high,
     is_ranged},
    {{OF_UNIT ".peak_housing_temperature_degc", "degC", "of the housing of its hottest motor", EVN_REAL, 0,
      "peak housing temperature", "peak housing temp."},
     housing,
     evn_unit_has_housing},
    {{OF_UNIT ".peak_inverter_temperature_degc", "degC", "of its hottest inverter", EVN_REAL, 0,
      "peak inverter temperature", "peak inverter temp."},
     inverter,
     evn_unit_has_inverter_heat},
    {{OF_UNIT ".peak_gearbox_oil_temperature_degc", "degC", "of the oil of its gearbox, where a file states one",
      EVN_REAL, 0, "peak gearbox oil temperature", "peak gearbox oil temp."},
     gearbox_oil,
     has_gearbox_oil},
    {{OF_UNIT ".peak_axle_oil_temperature_degc", "degC", "of the oil of its axle gears, likewise", EVN_REAL, 0,
      "peak axle gear oil temperature", "peak axle oil temp."},
     axle_oil,
     has_axle_oil},
    {{OF_UNIT ".pulses_off_s", "s",
      "time with the motors dragged without current, since losses without torque would have heated them too far",
      EVN_REAL, 1, "time with pulses off", "pulses off"},
     pulses_off_s,
     evn_unit_heat_acts},
};

/* ------------------------------------------------------------------------------------------------ the list */

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Walked twice: once to count, then with room for so many. */
typedef struct listing {
    evn_results *to;
    const run *run;
    bool counting, out_of_memory;
} listing;

static void put(listing *l, const evn_quantity *what, double value)
{
    if (!l->counting)
        l->to->result[l->to->count] = (evn_result){*what, value};
    l->to->count++;
}

/* A result whose key is made of three parts at run time. */
static void put_made(listing *l, const char *group, const char *name, const char *key, evn_quantity what, double value)
{
    char *text = NULL;
    if (!l->counting) {
        size_t bytes = strlen(group) + strlen(name) + strlen(key) + 1;
        text = evn_arena_take(l->to->arena, bytes);
        l->out_of_memory = l->out_of_memory || !text;
        if (text)
            snprintf(text, bytes, "%s%s%s", group, name, key);
    }
    what.key = text;
    put(l, &what, value);
}

static void put_rows(listing *l, const row *of, size_t count, bool ranked)
{
    for (size_t k = 0; k < count; k++) {
        evn_quantity what = of[k].what;
        what.rank = ranked ? (int)k + 1 : 0;
        if (!of[k].applies || of[k].applies(l->run->trip->rig))
            put(l, &what, of[k].of(l->run));
    }
}

static evn_quantity of_line(int line)
{
    const evn_line_row *is = &evn_line_rows[line];
    return (evn_quantity){NULL, "kWh", is->meaning, EVN_REAL, 2, is->label, is->short_label};
}

static void put_ledger(listing *l)
{
    for (int k = 0; k < EVN_LINE_COUNT; k++)
        if (evn_rig_has_line(l->run->trip->rig, k) || (k == EVN_CHARGING && charges(l->run->trip)))
            put_made(l, "energy_balance.", evn_line_rows[k].key, "_kwh", of_line(k), kwh(l->run->sum->line_j[k]));
}

#define OF_CONSUMER "auxiliaries.NAME"

static const evn_quantity of_consumer = {OF_CONSUMER ".used_kwh",
                                         "kWh",
                                         "used by the consumer; with steady auxiliaries they sum up to their line",
                                         EVN_REAL,
                                         2,
                                         "energy used",
                                         "energy used"};

static void put_consumers(listing *l)
{
    const evn_trip *t = l->run->trip;
    for (size_t k = 0; k < t->rig->loads.consumer_count; k++)
        put_made(l, "auxiliaries.", t->rig->loads.consumer[k].name, of_consumer.key + strlen(OF_CONSUMER), of_consumer,
                 kwh(t->y[t->states.consumers_at + k]));
}

#define OF_AXLE "axles.NAME"

static double axle_load(const run *r, size_t axle) { return r->trip->rig->axle[axle].load.cosine_kg; }
static double axle_friction(const run *r, size_t axle) { return kwh(evn_axle_brake_j(r->trip, axle)); }
static bool tells_axle_friction(const evn_rig *r, size_t axle)
{
    (void)axle;
    return r->tells_friction;
}

typedef struct axle_row {
    evn_quantity what;
    double (*of)(const run *, size_t axle);
    bool (*applies)(const evn_rig *, size_t axle); /* NULL: to all */
} axle_row;

static const axle_row axle_rows[] = {
    {{OF_AXLE ".load_kg", "kg", "load on level ground at rest; local regulation decides what is permitted", EVN_REAL, 0,
      "axle load", "load"},
     axle_load,
     NULL},
    {{OF_AXLE ".friction_brakes_kwh", "kWh", "heat in its friction brakes", EVN_REAL, 2, "friction braking",
      "friction braking"},
     axle_friction,
     tells_axle_friction},
    {{OF_AXLE ".peak_brake_temperature_degc", "degC", "of its friction brakes, taken as one body", EVN_REAL, 0,
      "peak brake temperature", "peak brake temp."},
     axle_brake_peak,
     models_brake},
};

static void put_axle(listing *l, size_t axle)
{
    const evn_rig *rig = l->run->trip->rig;
    for (size_t k = 0; k < COUNT(axle_rows); k++) {
        const axle_row *of = &axle_rows[k];
        if (!of->applies || of->applies(rig, axle))
            put_made(l, "axles.", rig->axle[axle].name, of->what.key + strlen(OF_AXLE), of->what, of->of(l->run, axle));
    }
}

static void put_unit_rows(listing *l, const unit_row *of, size_t count, size_t unit)
{
    const evn_unit *u = &l->run->trip->rig->unit[unit];
    for (size_t k = 0; k < count; k++)
        if (!of[k].applies || of[k].applies(u))
            put_made(l, "drive_units.", u->name, of[k].what.key + strlen(OF_UNIT), of[k].what, of[k].of(l->run, unit));
}

static void put_unit(listing *l, size_t unit)
{
    const evn_trip *t = l->run->trip;
    put_unit_rows(l, unit_rows_before_ledger, COUNT(unit_rows_before_ledger), unit);
    for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++) {
        char key[64];
        snprintf(key, sizeof key, ".%s_kwh", evn_line_rows[k].key);
        put_made(l, "drive_units.", t->rig->unit[unit].name, key, of_line(k), kwh(unit_line_j(t, unit, k)));
    }
    put_unit_rows(l, unit_rows_after_ledger, COUNT(unit_rows_after_ledger), unit);
}

static void put_all(listing *l)
{
    const evn_rig *rig = l->run->trip->rig;
    l->to->count = 0;
    put_rows(l, headline, COUNT(headline), true);
    put_rows(l, further, COUNT(further), false);
    if (has_refused(l->run->trip))
        put_rows(l, when_refused, COUNT(when_refused), false);
    if (charges(l->run->trip))
        put_rows(l, when_charging, COUNT(when_charging), false);
    put_ledger(l);
    put_consumers(l);
    for (size_t k = 0; k < rig->axle_count; k++)
        put_axle(l, k);
    for (size_t u = 0; u < rig->unit_count; u++)
        put_unit(l, u);
}

/* ------------------------------------------------------------------------------------------------ limits */

static int longer_first(const void *a, const void *b)
{
    double x = ((const evn_limitation *)a)->duration_s, y = ((const evn_limitation *)b)->duration_s;
    return (x < y) - (x > y);
}

static void put_limitations(evn_results *r, const evn_trip *t)
{
    for (int k = 1; k < EVN_HOLD_COUNT; k++)
        if (t->held[k].seconds > 0)
            r->limitation[r->limitation_count++] =
                (evn_limitation){evn_hold_rows[k].key, evn_hold_rows[k].label, t->held[k].seconds, t->held[k].worst_m,
                                 t->held[k].worst_m_s / EVN_M_S_PER_KM_H};
    qsort(r->limitation, r->limitation_count, sizeof *r->limitation, longer_first);
}

bool evn_limit_at(size_t index, const char **limit, const char **label)
{
    if (!limit || !label || index >= EVN_HOLD_COUNT - 1)
        return false;
    *limit = evn_hold_rows[index + 1].key;
    *label = evn_hold_rows[index + 1].label;
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* False when memory is out. */
static bool fill(evn_results *r, const evn_trip *t)
{
    sums s;
    sum_up(t, &s);
    run at_end = {t, &s};
    listing l = {.to = r, .run = &at_end, .counting = true};
    put_all(&l);
    r->result = calloc(r->count, sizeof *r->result);
    if (!r->result)
        return false;
    l.counting = false;
    put_all(&l);
    put_limitations(r, t);
    r->cause_count = evn_friction_causes_of(t, r->cause);
    return evn_peaks_put(r, t) && !l.out_of_memory;
}

const char *const evn_trip_status_names[EVN_STATUS_COUNT] = {
    [EVN_STATUS_FINISHED] = "finished",           [EVN_STATUS_STALLED] = "stalled",
    [EVN_STATUS_BATTERY_EMPTY] = "battery_empty", [EVN_STATUS_BATTERY_TOO_WEAK] = "battery_too_weak",
    [EVN_STATUS_NOT_CHARGED] = "not_charged",     [EVN_STATUS_INTERRUPTED] = "interrupted",
};

evn_results *evn_results_of(const evn_trip *t)
{
    evn_results *r = calloc(1, sizeof *r);
    if (!r)
        return NULL;
    r->arena = evn_arena_new();
    r->status = evn_trip_status_names[t->status];
    r->steps = t->steps;
    r->events = t->events;
    if (r->arena && fill(r, t))
        return r;
    evn_results_free(r);
    return NULL;
}

void evn_results_free(evn_results *r)
{
    if (!r)
        return;
    evn_arena_free(r->arena);
    free(r->result);
    free(r);
}

const char *evn_results_status(const evn_results *r) { return r ? r->status : NULL; }
size_t evn_results_count(const evn_results *r) { return r ? r->count : 0; }
size_t evn_results_limitation_count(const evn_results *r) { return r ? r->limitation_count : 0; }

bool evn_results_at(const evn_results *r, size_t index, evn_quantity *out, double *value)
{
    if (!r || !out || !value || index >= r->count)
        return false;
    *out = r->result[index].what;
    *value = r->result[index].value;
    return true;
}

bool evn_results_get(const evn_results *r, const char *key, double *value)
{
    for (size_t k = 0; r && key && value && k < r->count; k++)
        if (strcmp(r->result[k].what.key, key) == 0) {
            *value = r->result[k].value;
            return true;
        }
    return false;
}

bool evn_results_limitation_at(const evn_results *r, size_t index, evn_limitation *out)
{
    if (!r || !out || index >= r->limitation_count)
        return false;
    *out = r->limitation[index];
    return true;
}

bool evn_results_friction_cause_at(const evn_results *r, size_t index, evn_friction_cause *out)
{
    if (!r || !out || index >= r->cause_count)
        return false;
    *out = r->cause[index];
    return true;
}

bool evn_results_peak_temperature_at(const evn_results *r, size_t index, evn_peak_temperature *out)
{
    if (!r || !out || index >= r->peak_count)
        return false;
    *out = r->peak[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ without a run */

bool evn_headline_at(size_t index, evn_quantity *out)
{
    if (!out || index >= COUNT(headline))
        return false;
    *out = headline[index].what;
    out->rank = (int)index + 1;
    return true;
}

typedef struct counter { /* which row is asked for, among those that are left */
    size_t left;
    evn_quantity *out;
} counter;

static bool is_next(counter *c, evn_quantity what)
{
    if (c->left-- > 0)
        return false;
    *c->out = what;
    return true;
}

static bool is_among_lines(counter *c, const char *const keys[EVN_LINE_COUNT], int first)
{
    for (int k = first; k < EVN_LINE_COUNT; k++) {
        evn_quantity what = of_line(k);
        what.key = keys[k];
        if (is_next(c, what))
            return true;
    }
    return false;
}

static bool is_among_unit_rows(counter *c, const unit_row *of, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (is_next(c, of[k].what))
            return true;
    return false;
}

static bool is_among_rows(counter *c, const row *of, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (is_next(c, of[k].what))
            return true;
    return false;
}

static bool is_among_axle_rows(counter *c)
{
    for (size_t k = 0; k < COUNT(axle_rows); k++)
        if (is_next(c, axle_rows[k].what))
            return true;
    return false;
}

bool evn_result_row_at(size_t index, evn_quantity *out)
{
#define X(name, key, label, short_label, meaning) "energy_balance." key "_kwh",
    static const char *const line_keys[EVN_LINE_COUNT] = {EVN_LINES(X)};
#undef X
#define X(name, key, label, short_label, meaning) OF_UNIT "." key "_kwh",
    static const char *const unit_line_keys[EVN_LINE_COUNT] = {EVN_LINES(X)};
#undef X
    if (!out || evn_headline_at(index, out))
        return out;
    counter c = {index - COUNT(headline), out};
    return is_among_rows(&c, further, COUNT(further)) || is_among_rows(&c, when_refused, COUNT(when_refused)) ||
           is_among_rows(&c, when_charging, COUNT(when_charging)) || is_among_lines(&c, line_keys, 0) ||
           is_next(&c, of_consumer) || is_among_axle_rows(&c) ||
           is_among_unit_rows(&c, unit_rows_before_ledger, COUNT(unit_rows_before_ledger)) ||
           is_among_lines(&c, unit_line_keys, EVN_UNIT_LINES) ||
           is_among_unit_rows(&c, unit_rows_after_ledger, COUNT(unit_rows_after_ledger));
}
