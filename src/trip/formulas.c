/* The table of how results come about. tests/unit/test_explain.c holds every formula against every run's results. */
#include "trip/formulas.h"

/* ------------------------------------------------------------------------------------------------ what things hang on
 */

#define THE_DRIVER "driving:driver driving:look_ahead_s driving:comfort_acceleration_m_s2 driving:comfort_braking_m_s2 "
#define THE_ROUTE "cycle:length_m cycle:speed cycle:road cycle:stops cycle:surface "
#define THE_BATTERY "truck:battery "
#define MOTORS_OF(unit) "truck:drive_units." unit ".motors.* "
#define STAGES_OF(unit, kind)                                                                                          \
    "truck:drive_units." unit ".path[*]." kind " truck:drive_units." unit ".branches.*.path[*]." kind " "
#define THE_RATIOS                                                                                                     \
    "truck:drive_units.*.gearbox.ratios truck:drive_units.*.path[*].*.ratio "                                          \
    "truck:drive_units.*.branches.*.path[*].*.ratio truck:drive_units.*.path[*].planet_set.sun_teeth "                 \
    "truck:drive_units.*.path[*].planet_set.ring_teeth truck:axles.*.tyre.rolling_radius_m"
#define PLACES                                                                                                         \
    "truck:body truck:axles.*.behind_front_axle_m truck:axles.*.mass_kg truck:axles.*.tyre.rolling_radius_m "          \
    "truck:payload truck:fifth_wheel truck:drawbar truck:trailer "                                                     \
    "truck:battery.mass_kg truck:battery.centre_behind_front_axle_m truck:battery.centre_height_m "                    \
    "truck:drive_units.*.machine_behind_front_axle_m "

#define RATIO(of, over) .by = EVN_KNOWN_BY_FORMULA, .formula = of " / " over, .within = EVN_ROUNDING
#define FORMULA(text) .by = EVN_KNOWN_BY_FORMULA, .formula = text, .within = EVN_ROUNDING
#define INTEGRATED(text) .by = EVN_KNOWN_OVER_RUN, .formula = text
#define COUNTED(text) .by = EVN_KNOWN_BY_COUNT, .formula = text
#define THE_MOST(text) .by = EVN_KNOWN_AS_MOST, .formula = text
#define JUDGED(text) .by = EVN_KNOWN_AS_JUDGED, .formula = text
#define FROM_ENDS(text) .by = EVN_KNOWN_FROM_ENDS, .formula = text
#define LIMIT(text) .by = EVN_KNOWN_AS_LIMIT, .formula = text
#define FROM_TRUCK(text) .by = EVN_KNOWN_FROM_TRUCK, .formula = text

/* ------------------------------------------------------------------------------------------------ of the whole run */

#define SUM_OF_MASSES                                                                                                  \
    "{masses.body_kg} + {masses.axles_kg} + {masses.battery_kg} + {masses.machines_kg} + {masses.driveline_kg} + "     \
    "sum{masses.trailer_kg} + sum{masses.power_take_off_kg}"

/* ISO 2533: geopotential altitude, temperature and pressure of the standard atmosphere, density of the ideal gas. */
#define STANDARD_K "(288.15 - 0.0065 * 6356766 * {load_case:altitude_m} / (6356766 + {load_case:altitude_m}))"
#define GAS "(8.31432 / 0.0289644)"
#define STANDARD_DENSITY                                                                                               \
    "101325 * (" STANDARD_K " / 288.15) ^ (9.80665 / " GAS " / 0.0065) / " GAS                                         \
    " / first({load_case:temperature_degc} + 273.15, " STANDARD_K ")"

/* ------------------------------------------------------------------------------------------------ lines and units */

/* Beside the units' a motor of its own of the power take-off. */
#define OF_ALL_UNITS_AND_TAKEOFF(line, of)                                                                             \
    {.key = "energy_balance." line "_kwh",                                                                             \
     FORMULA("sum{drive_units.*." line "_kwh} + sum{power_take_off_" of "_losses_kwh}")}
#define OF_ALL_UNITS(line) {.key = "energy_balance." line "_kwh", FORMULA("sum{drive_units.*." line "_kwh}")}

#define BATTERY_HEAT "conductance to the air * (T - air temperature) - cooling + heating"
#define LOAD_LOSS "torque passed * speed * (1 / efficiency - 1) where it pulls, * (1 - efficiency) where it pushes"

static const evn_result_way ways[] = {
    {.key = "duration_s",
     INTEGRATED("one second a second, from start to end, waiting and pauses included"),
     .inputs = THE_ROUTE THE_DRIVER},
    {.key = "mean_speed_km_h", FORMULA("3600 * {distance_km} / {duration_s}")},
    {.key = "delay_s",
     FROM_ENDS("travel time less the time that the target speed takes over the same route"),
     .inputs = "duration_s cycle:speed cycle:stops"},
    {.key = "time_below_target_s",
     INTEGRATED("one second a second while the speed is more than 2 mph (3.2 km/h) "
                "below the target speed of the place"),
     .inputs = "cycle:speed " THE_DRIVER,
     .source = "margin of 40 CFR 1066.425(b)"},
    {.key = "kwh_per_km", RATIO("{battery_kwh}", "{distance_km}")},
    {.key = "kwh_per_t_km", RATIO("{battery_kwh}", "({distance_km} * {payload_kg} / 1000)")},
    {.key = "battery_kwh",
     FORMULA("{discharged_kwh} - {regenerated_kwh}"),
     .agrees = "sum{energy_balance.*_kwh}",
     .inputs = "energy_balance.*_kwh",
     .agrees_within = EVN_INTEGRATED},
    {.key = "discharged_kwh",
     INTEGRATED("open-circuit voltage * current while the battery discharges"),
     .inputs = THE_BATTERY "truck:auxiliaries"},
    {.key = "regenerated_kwh",
     INTEGRATED("open-circuit voltage * current while the battery is charged"),
     .inputs = THE_BATTERY "truck:brakes truck:adhesion"},
    {.key = "regenerative_braking_kwh",
     INTEGRATED("braking force of the motors at the driven tyres * speed"),
     .inputs = "truck:brakes truck:adhesion truck:drive_units.*.motors.*"},
    {.key = "motor_braking_share",
     RATIO("{regenerative_braking_kwh}",
           "({regenerative_braking_kwh} + {energy_balance.friction_brakes_kwh} + sum{energy_balance.retarder_kwh})")},
    {.key = "final_soc",
     FROM_ENDS("state of charge at the start less integral of current over capacity"),
     .inputs = "load_case:start_soc truck:battery.start_soc truck:battery.capacity_ah truck:battery.ageing "
               "load_case:battery_age_years battery_kwh"},
    {.key = "peak_winding_temperature_degc", FORMULA("greatest{drive_units.*.peak_winding_temperature_degc}")},
    {.key = "peak_brake_temperature_degc", FORMULA("greatest{axles.*.peak_brake_temperature_degc}")},
    {.key = "gear_changes", FORMULA("sum{drive_units.*.gear_changes}")},
    {.key = "gear_changes_per_100_km", RATIO("100 * {gear_changes}", "{distance_km}")},
    {.key = "speed_tolerance_met",
     JUDGED("speed within the tolerance around the trace at every instant"),
     .inputs = "cycle:speed " THE_DRIVER,
     .source = "40 CFR 1066.425(b)"},
    {.key = "gross_mass_kg",
     FORMULA(SUM_OF_MASSES " + {payload_kg}"),
     .agrees = "sum{axles.*.load_kg}",
     .agrees_within = EVN_ROUNDING},
    {.key = "payload_kg", FORMULA("first({load_case:payload_kg}, {truck:payload.mass_kg})")},
    {.key = "distance_km", INTEGRATED("speed"), .inputs = THE_ROUTE},
    {.key = "terminal_kwh",
     INTEGRATED("(open-circuit voltage - resistance * current) * current"),
     .agrees = "{battery_kwh} - {energy_balance.battery_losses_kwh}",
     .agrees_within = EVN_INTEGRATED,
     .inputs = THE_BATTERY},
    {.key = "air_density_kg_m3",
     FORMULA("first({load_case:air_density_kg_m3}, " STANDARD_DENSITY ")"),
     .source = "ISO 2533"},
    {.key = "balance_error",
     RATIO("abs({battery_kwh} - sum{energy_balance.*_kwh})", "({discharged_kwh} + abs({regenerated_kwh}))")},
    {.key = "peak_coolant_temperature_degc", THE_MOST("temperature of the coolant loop"), .inputs = "truck:cooling"},
    {.key = "peak_battery_temperature_degc",
     THE_MOST("temperature T of the battery as one body: heat capacity * dT/dt = current^2 * internal resistance "
              "- " BATTERY_HEAT),
     .inputs = "energy_balance.battery_losses_kwh truck:battery.heat load_case:temperature_degc "
               "load_case:battery_start_degc"},
    {.key = "final_battery_temperature_degc",
     INTEGRATED("rate of its temperature T: heat capacity * dT/dt = current^2 * internal resistance - " BATTERY_HEAT),
     .inputs = "energy_balance.battery_losses_kwh truck:battery.heat load_case:temperature_degc "
               "load_case:battery_start_degc"},
    {.key = "discharge_limited_s",
     INTEGRATED("one second a second while the battery's discharge limit or lowest voltage binds"),
     .inputs = "limit.battery_power"},
    {.key = "charge_limited_s",
     INTEGRATED("one second a second while the battery's charge limit or highest voltage binds"),
     .inputs = "limit.battery_power"},
    {.key = "friction_brakes_peak_kw",
     THE_MOST("power of all friction brakes, at the ends of steps"),
     .inputs = "truck:brakes"},
    {.key = "friction_brakes_mean_kw",
     FROM_ENDS("friction braking energy over the time in which friction brakes brake"),
     .inputs = "energy_balance.friction_brakes_kwh truck:brakes"},
    {.key = "final_tyre_temperature_degc",
     FROM_ENDS("time constant * dT/dt = temperature of the air + rise at this speed - T"),
     .inputs = "truck:tyre_temperature load_case:tyres_at_start load_case:temperature_degc"},
    {.key = "refused_at_wheels_kwh",
     INTEGRATED("braking power at the driven tyres that the motors would take with the battery half full, less what "
                "they take"),
     .inputs = THE_BATTERY "truck:brakes"},
    {.key = "refused_at_terminals_kwh",
     INTEGRATED("power that the battery would be charged with half full, less what it is charged with"),
     .inputs = THE_BATTERY},

    {.key = "charged_kwh",
     INTEGRATED("power of the connector at stops, at the terminals of the battery"),
     .inputs = THE_BATTERY "truck:auxiliaries"},
    {.key = "charged_stored_kwh",
     INTEGRATED("open-circuit voltage * current while the battery is charged at stops"),
     .inputs = THE_BATTERY "charged_kwh"},
    {.key = "charged_from_grid_kwh",
     FROM_ENDS("energy from the connector over the efficiency from the grid to the terminals"),
     .inputs = "charged_kwh"},

    {.key = "energy_balance.potential_kwh",
     FROM_ENDS("gross mass * gravity * elevation gained from start to end"),
     .inputs = "gross_mass_kg load_case:gravity_m_s2 cycle:road"},
    {.key = "energy_balance.kinetic_kwh",
     FROM_ENDS("(gross mass + equivalent mass of all that turns) / 2 * speed^2, at the end less at the start"),
     .inputs = "gross_mass_kg masses.wheels_rotating_kg"},
    {.key = "energy_balance.rolling_resistance_kwh",
     INTEGRATED("sum over the axles of rolling resistance coefficient * axle load, * rolling factor of the surface * "
                "factor of the tyres' temperature (1 by the law constant) * speed"),
     .inputs = "truck:axles.*.tyre.rolling_resistance_coefficient truck:trailer.tyre.rolling_resistance_coefficient "
               "gross_mass_kg load_case:gravity_m_s2 cycle:surface load_case:rolling_resistance_law "
               "load_case:tyres_at_start load_case:temperature_degc"},
    {.key = "energy_balance.air_drag_kwh",
     INTEGRATED(
         "air density / 2 * drag area * (speed + headwind)^2, against the truck, * speed; with wind_m_s: air density "
         "/ 2 * drag area * factor of the yaw angle * (relative wind)^2, or its mean over all directions of the wind"),
     .inputs = "air_density_kg_m3 truck:body.drag_area_m2 truck:body.drag_area_yaw load_case:headwind_m_s "
               "load_case:wind_m_s load_case:wind_from_deg cycle:heading"},
    {.key = "energy_balance.battery_losses_kwh",
     INTEGRATED("current^2 * internal resistance"),
     .agrees = "{battery_kwh} - {terminal_kwh}",
     .agrees_within = EVN_INTEGRATED,
     .inputs = "truck:battery.resistance_ohm truck:battery.resistance_factors truck:battery.ageing "
               "load_case:battery_age_years"},
    {.key = "energy_balance.auxiliaries_kwh",
     .by = EVN_KNOWN_BY_FORMULA,
     .formula = "{truck:auxiliaries.power_kw} * {duration_s} / 3600 + sum{auxiliaries.*.used_kwh}",
     .within = EVN_INTEGRATED},
    {.key = "energy_balance.power_take_off_kwh",
     INTEGRATED("power at the shaft: what each stop asks, for as long as it asks, and what is asked from start to end"),
     .inputs = "truck:power_take_off cycle:stops"},
    {.key = "auxiliaries_steady_kwh", FORMULA("{truck:auxiliaries.power_kw} * {duration_s} / 3600")},
    {.key = "brake_applications",
     COUNTED("times that friction brakes begin to brake, on the way or to hold at a stop, after a second without"),
     .inputs = "truck:brakes cycle:speed cycle:stops"},
    {.key = "power_take_off_stop_s",
     INTEGRATED("one second a second while a stop asks work"),
     .inputs = "truck:power_take_off cycle:stops"},
    {.key = "power_take_off_missed_kwh",
     INTEGRATED("power asked less power at the shaft"),
     .inputs = "truck:power_take_off energy_balance.power_take_off_kwh"},
    {.key = "power_take_off_gear_losses_kwh",
     INTEGRATED("power at the shaft * (1 / efficiency - 1)"),
     .inputs = "truck:power_take_off"},
    {.key = "power_take_off_motor_losses_kwh",
     INTEGRATED("losses of its motor at its speed and torque"),
     .inputs = "truck:power_take_off.motor"},
    {.key = "power_take_off_inverter_losses_kwh",
     INTEGRATED("losses of its inverter at the current of its motor"),
     .inputs = "truck:power_take_off.motor"},
    {.key = "auxiliaries.NAME.used_kwh",
     INTEGRATED("power of the consumer, by its law"),
     .inputs = "truck:auxiliaries.consumers.NAME"},
    {.key = "energy_balance.cooling_fan_kwh",
     INTEGRATED("power of the fan at full speed * (share of full speed by the coolant's temperature)^3"),
     .inputs = "truck:cooling"},
    {.key = "energy_balance.battery_conditioning_kwh",
     INTEGRATED("cooling / coefficient of performance + heating / efficiency, by the battery's temperature"),
     .inputs = "truck:battery.heat.cooling truck:battery.heat.heating load_case:temperature_degc"},
    {.key = "energy_balance.charging_kwh",
     INTEGRATED("power of the connector at stops, below zero"),
     .inputs = THE_BATTERY "truck:auxiliaries"},
    {.key = "energy_balance.brake_resistor_kwh",
     INTEGRATED("braking power of the motors that the battery does not take, as far as the resistor does"),
     .inputs = "truck:brake_resistor"},
    {.key = "energy_balance.retarder_kwh",
     INTEGRATED("braking force of the retarder * speed"),
     .inputs = "truck:retarder"},
    {.key = "energy_balance.friction_brakes_kwh",
     INTEGRATED(
         "braking force wanted beyond that of motors and retarder, * speed; and what is left of a stop below its "
         "last speed"),
     .agrees = "sum{axles.*.friction_brakes_kwh}",
     .agrees_within = EVN_INTEGRATED,
     .inputs = "truck:brakes truck:adhesion"},
    OF_ALL_UNITS("tyre_slip_losses"),
    {.key = "energy_balance.hub_losses_kwh",
     INTEGRATED("drag torque of the hubs * wheel speed, of all axles that turn, and losses of the drive units' wheel "
                "ends"),
     .inputs = "truck:axles.*.hub_drag truck:trailer.hub_drag drive_units.*.hub_losses_kwh"},
    OF_ALL_UNITS("final_drive_losses"),
    OF_ALL_UNITS("propeller_shaft_losses"),
    OF_ALL_UNITS_AND_TAKEOFF("gearbox_losses", "gear"),
    OF_ALL_UNITS("gear_change_losses"),
    OF_ALL_UNITS_AND_TAKEOFF("motor_losses", "motor"),
    OF_ALL_UNITS_AND_TAKEOFF("inverter_losses", "inverter"),

    {.key = "axles.NAME.load_kg",
     FROM_TRUCK("moments of all masses about the supports, level, at rest, over the distance of the supports"),
     .inputs = PLACES},
    {.key = "axles.NAME.friction_brakes_kwh",
     INTEGRATED("share of the axle in the friction braking force * speed"),
     .inputs = "energy_balance.friction_brakes_kwh truck:axles.NAME.friction_share truck:brakes.distribution"},
    {.key = "axles.NAME.peak_brake_temperature_degc",
     THE_MOST(
         "temperature T of its brakes as one body: heat capacity * dT/dt = friction braking power - cooling * (T - "
         "air temperature)"),
     .inputs = "axles.NAME.friction_brakes_kwh truck:axles.NAME.friction_brake truck:NAME.friction_brake "
               "load_case:temperature_degc"},

    {.key = "drive_units.NAME.bus_kwh",
     INTEGRATED("torque * speed of the motors, with the losses of motors and inverters, from the d.c. bus"),
     .inputs = "drive_units.NAME.motor_losses_kwh drive_units.NAME.inverter_losses_kwh"},
    {.key = "drive_units.NAME.tyre_slip_losses_kwh",
     INTEGRATED("tyre force * speed * slip / (1 - slip), slip = tyre force / (longitudinal slip stiffness * load)"),
     .inputs = "truck:drive_units.NAME.axles truck:axles.*.tyre.longitudinal_slip_stiffness axles.*.load_kg"},
    {.key = "drive_units.NAME.hub_losses_kwh",
     INTEGRATED("drag torque * wheel speed of its wheel ends, and " LOAD_LOSS),
     .inputs = STAGES_OF("NAME", "wheel_end")},
    {.key = "drive_units.NAME.final_drive_losses_kwh",
     INTEGRATED("of each final drive and differential: drag torque * speed, and " LOAD_LOSS),
     .inputs = STAGES_OF("NAME", "final_drive") STAGES_OF("NAME", "differential")},
    {.key = "drive_units.NAME.propeller_shaft_losses_kwh",
     INTEGRATED("of each universal joint, propeller shaft and centre bearing: drag torque * speed, and " LOAD_LOSS),
     .inputs =
         STAGES_OF("NAME", "universal_joint") STAGES_OF("NAME", "propeller_shaft") STAGES_OF("NAME", "centre_bearing")},
    {.key = "drive_units.NAME.gearbox_losses_kwh",
     INTEGRATED(
         "of the gearbox in its gear and of each pair of gears and planet set: drag torque * speed, and " LOAD_LOSS),
     .inputs = "truck:drive_units.NAME.gearbox " STAGES_OF("NAME", "mesh") STAGES_OF("NAME", "planet_set")},
    {.key = "drive_units.NAME.gear_change_losses_kwh",
     COUNTED("sum over the changes of what synchronising turns into heat"),
     .inputs = "drive_units.NAME.gear_changes truck:drive_units.NAME.gearbox.shift "
               "truck:drive_units.NAME.motors.*.rotor_inertia_kg_m2"},
    {.key = "drive_units.NAME.motor_losses_kwh",
     INTEGRATED("losses of the motors that work, by coefficients or map at their torque, speed, voltage and winding "
                "temperature, and drag of those that idle"),
     .inputs = MOTORS_OF("NAME")},
    {.key = "drive_units.NAME.inverter_losses_kwh",
     INTEGRATED("losses of the inverters that work, by coefficients at their current, or as the motor's map includes "
                "them"),
     .inputs = "truck:drive_units.NAME.motors.*.inverter "},
    {.key = "drive_units.NAME.gear_changes",
     COUNTED("changes of gear, due where what is forgone exceeds their price"),
     .inputs = "truck:drive_units.NAME.gearbox.shift"},
    {.key = "drive_units.NAME.engagement_changes",
     COUNTED("changes of the number of motors engaged, due where what is forgone exceeds their price"),
     .inputs = "truck:drive_units.NAME.engagement"},
    {.key = "drive_units.NAME.disconnections",
     COUNTED("openings of the unit's disconnect"),
     .inputs = STAGES_OF("NAME", "disconnect")},
    {.key = "drive_units.NAME.disconnected_s",
     INTEGRATED("one second a second while the disconnect is open"),
     .inputs = STAGES_OF("NAME", "disconnect")},
    {.key = "drive_units.NAME.resting_s",
     INTEGRATED("one second a second while motors and inverters have no pulses at standstill")},
    {.key = "drive_units.NAME.branch_disconnections",
     COUNTED("openings of the disconnects of a branch"),
     .inputs = STAGES_OF("NAME", "disconnect")},
    {.key = "drive_units.NAME.branch_disconnected_s",
     INTEGRATED("one second a second while a branch is open"),
     .inputs = STAGES_OF("NAME", "disconnect")},
    {.key = "drive_units.NAME.filled_map_s",
     INTEGRATED("one second a second where the loss map was not measured around torque and speed"),
     .inputs = "truck:drive_units.NAME.motors.*.map"},
    {.key = "drive_units.NAME.peak_winding_temperature_degc",
     THE_MOST(
         "temperature of the winding: time constant * dT/dt = thermal resistance * its losses - (T - temperature of "
         "housing or coolant)"),
     .inputs = "truck:drive_units.NAME.motors.*.winding truck:drive_units.NAME.motors.*.housing "
               "drive_units.NAME.motor_losses_kwh"},
    {.key = "drive_units.NAME.peak_winding_temperature_low_degc",
     THE_MOST(
         "the same, the lowest with all time constants as stated, at the low and at the high ends of their ranges"),
     .inputs = "truck:drive_units.NAME.motors.*.winding truck:drive_units.NAME.motors.*.housing"},
    {.key = "drive_units.NAME.peak_winding_temperature_high_degc",
     THE_MOST(
         "the same, the highest with all time constants as stated, at the low and at the high ends of their ranges"),
     .inputs = "truck:drive_units.NAME.motors.*.winding truck:drive_units.NAME.motors.*.housing"},
    {.key = "drive_units.NAME.peak_housing_temperature_degc",
     THE_MOST(
         "temperature of the housing: time constant * dT/dt = thermal resistance * heat into it - (T - temperature "
         "of the coolant)"),
     .inputs = "truck:drive_units.NAME.motors.*.housing"},
    {.key = "drive_units.NAME.peak_inverter_temperature_degc",
     THE_MOST("temperature of the inverter: time constant * dT/dt = thermal resistance * its losses - (T - temperature "
              "of the coolant)"),
     .inputs = "truck:drive_units.NAME.motors.*.inverter.heat drive_units.NAME.inverter_losses_kwh"},
    {.key = "drive_units.NAME.peak_gearbox_oil_temperature_degc",
     THE_MOST(
         "temperature of the oil: heat capacity * dT/dt = gearbox losses - (W/K at rest + W/K per m/s * speed) * (T "
         "- temperature of the air)"),
     .inputs = "truck:drive_units.NAME.gearbox drive_units.NAME.gearbox_losses_kwh load_case:oil_at_start "
               "load_case:temperature_degc"},
    {.key = "drive_units.NAME.peak_axle_oil_temperature_degc",
     THE_MOST(
         "temperature of the oil: heat capacity * dT/dt = final drive losses - (W/K at rest + W/K per m/s * speed) * "
         "(T - temperature of the air)"),
     .inputs = "drive_units.NAME.final_drive_losses_kwh load_case:oil_at_start load_case:temperature_degc"},
    {.key = "drive_units.NAME.pulses_off_s",
     INTEGRATED("one second a second while motors are dragged without current, since losses without torque would heat "
                "them too far"),
     .inputs = "truck:drive_units.NAME.motors.*.winding"},

    {.key = "limited_by.NAME",
     INTEGRATED("one second a second while this limit keeps the truck below its target speed"),
     .inputs = "limit.NAME time_below_target_s cycle:surface"},

    /* limits, of a run and of what a truck can */
    {.key = "limit.motor_torque",
     LIMIT("peak torque of the motors engaged * total ratio, less losses, / rolling radius"),
     .inputs = "truck:drive_units.*.motors.*.peak_torque_nm truck:drive_units.*.motors.*.torque_at_rest_share "
               "truck:drive_units.*.motors.*.scale " THE_RATIOS},
    {.key = "limit.motor_power",
     LIMIT("peak power of the motors engaged at the voltage of the moment, less losses, / speed"),
     .inputs = "truck:drive_units.*.motors.*.peak_power_kw truck:drive_units.*.motors.*.reference_voltage_v "
               "truck:drive_units.*.motors.*.scale truck:battery.open_circuit truck:battery.resistance_ohm"},
    {.key = "limit.motor_speed",
     LIMIT("top speed of the motors / total ratio * rolling radius"),
     .inputs = "truck:drive_units.*.motors.*.top_speed_rpm " THE_RATIOS},
    {.key = "limit.top_speed",
     LIMIT("top speed of the motors / total ratio of the highest gear * rolling radius"),
     .inputs = "truck:drive_units.*.motors.*.top_speed_rpm " THE_RATIOS},
    {.key = "limit.winding_temperature",
     LIMIT("torque that is left between the temperatures where derating begins and ends"),
     .inputs = "truck:drive_units.*.motors.*.winding truck:drive_units.*.motors.*.housing truck:cooling"},
    {.key = "limit.inverter_temperature",
     LIMIT("torque that is left between the temperatures where derating begins and ends"),
     .inputs = "truck:drive_units.*.motors.*.inverter.heat truck:cooling"},
    {.key = "limit.brake_temperature",
     LIMIT("limit of the friction brakes' temperature that the file states"),
     .inputs = "truck:axles.*.friction_brake truck:trailer.friction_brake"},
    {.key = "limit.battery_power",
     LIMIT("power that battery limits, voltages and state of charge leave beside the auxiliaries"),
     .inputs = THE_BATTERY "truck:auxiliaries truck:brake_resistor"},
    {.key = "limit.battery_charge",
     LIMIT("charge between the state of charge and the end of the usable window"),
     .inputs = "truck:battery.capacity_ah truck:battery.usable_from_soc truck:battery.usable_to_soc "
               "load_case:start_soc truck:battery.start_soc"},
    {.key = "limit.adhesion",
     LIMIT("adhesion that motors may use, of the truck, or a share of that of the ground, * load of the driven axles"),
     .inputs = "truck:adhesion axles.*.load_kg load_case:gravity_m_s2 truck:drive_units.*.axles"},
    {.key = "limit.gear_change",
     LIMIT("no torque for the time of a change"),
     .inputs = "truck:drive_units.*.gearbox.shift truck:drive_units.*.gearbox.ratios"},
    {.key = "limit.endurance_braking",
     LIMIT("speed that is held on a descent so that friction brakes rest"),
     .inputs = "driving:endurance driving:endurance_speed_km_h driving:endurance_from_percent "
               "driving:endurance_least_km_h"},
    {.key = "limit.no_drive", LIMIT("no drive unit is left that could"), .inputs = "truck:drive_units.*.axles"},
    {.key = "limit.off", LIMIT("regeneration is switched off"), .inputs = "truck:brakes.regeneration"},
    {.key = "limit.low_speed", LIMIT("braking of the motors fades out at low speed"), .inputs = "truck:brakes"},
    {.key = "limit.motor_share", LIMIT("motors do a stated share of all braking"), .inputs = "truck:brakes"},
    {.key = "limit.no_heat_data", LIMIT("no file states how the part heats"), .inputs = "truck:drive_units.*.axles"},

    /* figures of the truck that results are made of */
    {.key = "masses.gross_kg", FORMULA(SUM_OF_MASSES " + {masses.payload_kg}")},
    {.key = "masses.kerb_kg", FORMULA(SUM_OF_MASSES)},
    {.key = "masses.payload_kg", FORMULA("first({load_case:payload_kg}, {truck:payload.mass_kg})")},
    {.key = "masses.body_kg", FORMULA("{truck:body.mass_kg}")},
    {.key = "masses.axles_kg", FORMULA("sum{truck:axles.*.mass_kg}")},
    {.key = "masses.battery_kg", FORMULA("{truck:battery.mass_kg}")},
    {.key = "masses.trailer_kg", FORMULA("{truck:trailer.mass_kg}")},
    {.key = "masses.power_take_off_kg",
     FORMULA("{truck:power_take_off.motor.mass_kg} + {truck:power_take_off.motor.inverter.mass_kg}")},
    {.key = "masses.machines_kg",
     FORMULA("sum{truck:drive_units.*.motors.*.mass_kg} + sum{truck:drive_units.*.motors.*.inverter.mass_kg} + "
             "sum{truck:drive_units.*.gearbox.mass_kg}"),
     .unless = "motors.*.mass_kg"},
    {.key = "masses.machines_kg",
     FROM_TRUCK("masses of motors and inverters as scaled, and of gearboxes"),
     .inputs = "truck:drive_units.*.motors.*.scale truck:drive_units.*.motors.*.mass_kg "
               "truck:drive_units.*.motors.*.inverter.mass_kg truck:drive_units.*.gearbox.mass_kg"},
    {.key = "masses.driveline_kg",
     FORMULA("sum{truck:drive_units.*.path[*].*.mass_kg} + sum{truck:drive_units.*.branches.*.path[*].*.mass_kg}")},
    {.key = "masses.wheels_rotating_kg",
     FROM_TRUCK("sum over the tyres of moment of inertia / rolling radius^2"),
     .inputs = "truck:axles.*.tyres truck:axles.*.tyre.inertia_kg_m2 truck:axles.*.tyre.rolling_radius_m "
               "truck:trailer.tyres truck:trailer.tyre.inertia_kg_m2 truck:trailer.tyre.rolling_radius_m"},
};

const evn_result_way *evn_result_way_at(size_t index)
{
    return index < sizeof ways / sizeof *ways ? &ways[index] : NULL;
}
