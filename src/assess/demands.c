/* The kinds of demands: what each is called, where the duty states it, and who finds what a truck comes to. */
#include "assess/assess.h"
#include <math.h>

static const char no_law[] = "";

const evn_demand_row evn_demand_rows[EVN_DEMAND_KINDS] = {
    [EVN_DEMAND_DAY] = {"day_km", "km", "end of the day", 1, false, false, EVN_OF_DAY, "day", no_law,
                        "the day of the duty, driven in every season; 'evener drive TRUCK --cycle DUTY'"},
    [EVN_DEMAND_RESERVE_SOC] = {"reserve_soc", "", "reserve of charge", 1, true, false, EVN_OF_DAY,
                                "demands.reserve_soc", no_law,
                                "lowest state of charge of the driven day above the usable window's lower end; 'evener "
                                "drive TRUCK --cycle DUTY' tells it leg by leg, 'evener explain' its energies"},
    [EVN_DEMAND_RESERVE_KWH] = {"reserve_kwh", "kWh", "reserve of energy", 1, false, false, EVN_OF_DAY,
                                "demands.reserve_kwh", no_law,
                                "energy at the lowest state of charge of the driven day above the usable window's "
                                "lower end; 'evener drive TRUCK --cycle DUTY' tells it leg by leg"},
    [EVN_DEMAND_DISTANCE] = {"distance_km", "km", "distance per charge", 1, false, false, EVN_OF_DAY,
                             "demands.distance_km", no_law,
                             "the day, driven on from its beginning where more is demanded; 'evener range'"},
    [EVN_DEMAND_STEEPEST_START] = {"steepest_start_percent", "%", "start, ground as the truck states", 2, false, false,
                                   EVN_OF_LIMITS, "demands.steepest_start_percent", no_law,
                                   "steepest grade on which the forces at the wheels still move it off; 'evener "
                                   "limits TRUCK --group start'"},
    [EVN_DEMAND_START] = {"start", "%", "start", 2, false, false, EVN_OF_LIMITS,
                          "demands.abilities.start_grade_percent", "ranges of adhesion: common practice, from memory",
                          "steepest grade on which the forces at the wheels still move it off; 'evener limits TRUCK "
                          "--group start'"},
    [EVN_DEMAND_CHANGE_UP] = {"change_up", "%", "changing up", 2, false, false, EVN_OF_LIMITS,
                              "demands.abilities.start_grade_percent", no_law,
                              "steepest grade on which it starts, changes up and goes on pulling; 'evener limits TRUCK "
                              "--group going'"},
    [EVN_DEMAND_CLIMB] = {"climb", "km/h", "climb", 1, false, false, EVN_OF_LIMITS,
                          "demands.abilities.climb_speed_km_h", no_law,
                          "highest speed at which force at the wheels meets resistance on that grade; 'evener limits "
                          "TRUCK --group climb'"},
    [EVN_DEMAND_DESCENT] = {"descent", "%", "descent", 2, false, false, EVN_OF_LIMITS,
                            "demands.abilities.descent_grade_percent", no_law,
                            "steepest descent that motors alone hold; 'evener limits TRUCK --group descent'"},
    [EVN_DEMAND_CLEARANCE] = {"clearance_mm", "mm", "ground clearance", 0, false, false, EVN_OF_SITE,
                              "demands.ground.clearance_mm", "ISO 612, from memory",
                              "lowest part over the ground with its ruts; 'evener site TRUCK --group clearance'"},
    [EVN_DEMAND_TRACK] = {"track_km_h", "km/h", "speed on the track", 1, false, false, EVN_OF_SITE,
                          "demands.ground.speed_km_h", "ISO 8608, from memory",
                          "speed at which the RMS tyre load reaches a third of that at rest; 'evener site TRUCK "
                          "--group ride'"},
    [EVN_DEMAND_TRACK_EMPTY] = {"track_empty_km_h", "km/h", "speed on the track, empty", 1, false, false, EVN_OF_SITE,
                                "demands.ground.empty_speed_km_h", "ISO 8608, from memory",
                                "speed at which the RMS tyre load reaches a third of that at rest, without payload; "
                                "'evener site TRUCK --group ride'"},
    [EVN_DEMAND_SHAKEN] = {"shaken_m_s2", "m/s2", "machine shaken", 2, false, true, EVN_OF_SITE,
                           "demands.ground.shaken_m_s2", "ISO 8608, from memory",
                           "two masses on the spectrum of the track, by frequency; 'evener site TRUCK --group ride'"},
    [EVN_DEMAND_RULES] = {"rules", "kg", "rules on loads", 0, false, true, EVN_OF_SITE, "demands.rules", no_law,
                          "clause with the least margin in proportion; 'evener site TRUCK --group rules'"},
    [EVN_DEMAND_PAYLOAD] = {"payload_kg", "kg", "payload", 0, false, false, EVN_OF_SITE, "demands.payload_kg", no_law,
                            "largest payload, placed as stated, that keeps axles, gross mass and rules; 'evener site "
                            "TRUCK --group payload'"},
    [EVN_DEMAND_TAKEOFF] = {"takeoff_kw", "kW", "power take-off", 1, false, false, EVN_OF_RIG, "demands.takeoff_kw",
                            no_law, "most that what drives it gives at the speed of its shaft; 'evener drive'"},
    [EVN_DEMAND_PAYBACK] = {"payback_years", "a", "years to payback", 1, false, true, EVN_OF_COSTS,
                            "demands.payback_years", no_law,
                            "years until the sum of what is saved against the first truck meets what it costs more; "
                            "'evener payback LINEUP --prices PRICES --json' has each figure with its formula"},
};

double evn_demanded(const evn_duty_demands_file *d, evn_demand_kind kind)
{
    static const evn_ground_demands_file no_ground = {.clearance_mm = (double)NAN,
                                                      .speed_km_h = (double)NAN,
                                                      .empty_speed_km_h = (double)NAN,
                                                      .shaken_m_s2 = (double)NAN};
    const evn_ground_demands_file *g = d->ground ? d->ground : &no_ground;
    const evn_demands *a = d->abilities;
    double none = (double)NAN;
    switch (kind) {
    case EVN_DEMAND_RESERVE_SOC:
        return d->reserve_soc;
    case EVN_DEMAND_RESERVE_KWH:
        return d->reserve_kwh;
    case EVN_DEMAND_DISTANCE:
        return d->distance_km;
    case EVN_DEMAND_STEEPEST_START:
        return d->steepest_start_percent;
    case EVN_DEMAND_START:
        return a ? a->start_grade_percent : none;
    case EVN_DEMAND_CHANGE_UP:
        return a && a->change_up ? a->start_grade_percent : none;
    case EVN_DEMAND_CLIMB:
        return a ? a->climb_speed_km_h : none;
    case EVN_DEMAND_DESCENT:
        return a ? a->descent_grade_percent : none;
    case EVN_DEMAND_CLEARANCE:
        return g->clearance_mm;
    case EVN_DEMAND_TRACK:
        return g->speed_km_h;
    case EVN_DEMAND_TRACK_EMPTY:
        return g->empty_speed_km_h;
    case EVN_DEMAND_SHAKEN:
        return g->shaken_m_s2;
    case EVN_DEMAND_RULES:
        return d->rules ? 0 : none;
    case EVN_DEMAND_PAYLOAD:
        return d->payload_kg;
    case EVN_DEMAND_TAKEOFF:
        return d->takeoff_kw;
    case EVN_DEMAND_PAYBACK:
        return d->payback_years;
    default:
        return none;
    }
}
