/*
 * Examples of every kind, invented, each complete: a two-axle tractor with semitrailer whose motor on the chassis
 * drives the rear axle through four gears, a short road with a hill, two rigid trucks to compare on it. A test loads
 * every one, drives truck and cycle, and compares the lineup.
 */
#include "api/patterns.h"
#include <stddef.h>
#include <string.h>

#define TYRE(coefficient) "rolling_resistance_coefficient: " coefficient ", rolling_radius_m: 0.5"

#define DRAG "at: wheel_side, speed_rpm: [0, 600], torque_nm: [12, 20]"
#define AXLE_FRONT                                                                                                     \
    "behind_front_axle_m: 0, support: front, tyres: 2, mass_kg: 620, permitted_kg: 8000, tyre: {" TYRE("0.0055") "}"
#define AXLE_DRIVE                                                                                                     \
    "behind_front_axle_m: 3.8, support: rear, tyres: 4, mass_kg: 820, permitted_kg: 11500, tyre: {" TYRE("0.0058") "}"

/* Shares of the peak power: copper 6.5 % at peak torque, speed 0.22 % and its square 0.26 % at base speed, 0.03 %. */
#define LOSS                                                                                                           \
    "constant_w: 110, speed_w_per_rad_s: 5.3, speed_squared_w_per_rad2_s2: 0.042, torque_squared_w_per_nm2: 0.0041"
#define FIELD_WEAKENING "characteristic_current_share: 0.8"
#define INVERTER_HEAT "resistance_k_per_kw: 2.5, time_constant_s: 15, derate_from_degc: 95, derate_to_degc: 110"
#define INVERTER "constant_w: 360, current_w: 2900, current_squared_w: 2200, mass_kg: 30"
#define WINDING "resistance_k_per_kw: 7.5, time_constant_s: 180, derate_from_degc: 150, derate_to_degc: 175"
#define HOUSING "resistance_k_per_kw: 4, time_constant_s: 300"
#define MOTOR                                                                                                          \
    "peak_torque_nm: 2400, peak_power_kw: 360, top_speed_rpm: 3500, rotor_inertia_kg_m2: 0.65, mass_kg: 250, "         \
    "loss: {" LOSS "}, field_weakening: {" FIELD_WEAKENING "}, inverter: {" INVERTER "}, winding: {" WINDING "}"
#define SHIFT "time_s: 0.6"
#define GEARBOX                                                                                                        \
    "ratios: [5.6, 3.1, 1.75, 1], efficiencies: [0.98, 0.98, 0.98, 0.992], "                                           \
    "drag: {at: motor_side, speed_rpm: [0, 4500], torque_nm: [2.5, 9.5]}, input_inertia_kg_m2: 0.08, mass_kg: 220, "   \
    "shift: {" SHIFT "}"

#define UNIVERSAL_JOINT "angle_deg: 4"
#define PROPELLER_SHAFT "inertia_kg_m2: 0.12, mass_kg: 75"
#define CENTRE_BEARING "drag_nm: 1.5"
#define FINAL_DRIVE                                                                                                    \
    "ratio: 3.7, efficiency: 0.965, inertia_kg_m2: 1.2, mass_kg: 200, "                                                \
    "drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [21, 40]}"
#define WHEEL_END "drag: {" DRAG "}"
#define DRIVE_UNIT                                                                                                     \
    "axles: [2], motors: {a: {" MOTOR "}}, gearbox: {" GEARBOX "}, machine_behind_front_axle_m: 1.6, "                 \
    "path: [universal_joint: {" UNIVERSAL_JOINT "}, propeller_shaft: {" PROPELLER_SHAFT                                \
    "}, centre_bearing: {" CENTRE_BEARING "}, universal_joint: {" UNIVERSAL_JOINT "}, final_drive: {" FINAL_DRIVE      \
    "}, wheel_end: {" WHEEL_END "}]"

#define BODY                                                                                                           \
    "mass_kg: 4200, centre_behind_front_axle_m: 0.9, centre_height_m: 1.1, drag_area_m2: 5.4, "                        \
    "permitted_gross_kg: 42000"
#define FIFTH_WHEEL "behind_front_axle_m: 3.2"
#define TRAILER                                                                                                        \
    "mass_kg: 7000, centre_behind_kingpin_m: 5.2, axles_behind_kingpin_m: 7.7, tyres: 6, permitted_axles_kg: 24000, "  \
    "tyre: {" TYRE("0.005") "}"
#define PAYLOAD "mass_kg: 20000, centre_behind_m: 5.5"

#define OPEN_CIRCUIT "soc: [0, 0.05, 0.2, 0.5, 0.8, 1], voltage_v: [580, 612, 649, 680, 711, 741]"
#define CHARGE_TAPER "soc: [0, 0.85, 0.95, 1], share: [1, 1, 0.3, 0]"
#define BATTERY                                                                                                        \
    "capacity_ah: 750, resistance_ohm: 0.04, open_circuit: {" OPEN_CIRCUIT                                             \
    "}, discharge_limit_kw: 600, charge_limit_kw: 400, charge_taper: {" CHARGE_TAPER                                   \
    "}, minimum_voltage_v: 520, maximum_voltage_v: 780, mass_kg: 3500"
#define AUXILIARIES "power_kw: 5"
#define COOLING                                                                                                        \
    "heat_capacity_kj_per_k: 150, still_kw_per_k: 0.2, at_80_km_h_kw_per_k: 1.6, fan_kw_per_k: 1.4, fan_power_kw: "    \
    "2.5, "                                                                                                            \
    "limit_degc: 70"

#define SPEED "place_m: [0, 800, 4000], limit_km_h: [60, 80, 60]"
#define ROAD "place_m: [1000, 1500, 2500, 3000, 3500, 3700], grade_percent: [0, 4, 4, 0, -2, 0]"
#define STOPS "place_m: [2000], wait_s: [20]"
#define SURFACE "place_m: [4500], rolling_factor: [1.1]"

/* A track of 50 m in steps of a quarter of a metre, with waves of 10 and 1.25 m. */
#define QUARTERS_OF_A_M(metre) metre ", " metre ".25, " metre ".5, " metre ".75, "
#define FIVE_M(tens, a, b, c, d, e)                                                                                    \
    QUARTERS_OF_A_M(tens a)                                                                                            \
    QUARTERS_OF_A_M(tens b) QUARTERS_OF_A_M(tens c) QUARTERS_OF_A_M(tens d) QUARTERS_OF_A_M(tens e)
#define TEN_M(tens) FIVE_M(tens, "0", "1", "2", "3", "4") FIVE_M(tens, "5", "6", "7", "8", "9")
#define FIVE_M_UP                                                                                                      \
    "0, 0.005, 0.006, 0.006, 0.007, 0.012, 0.017, 0.018, 0.018, 0.018, 0.020, 0.024, 0.023, 0.020, 0.016, 0.016, "     \
    "0.017, 0.014, 0.009, 0.004, "
#define FIVE_M_DOWN                                                                                                    \
    "0, 0.002, 0.001, -0.006, -0.013, -0.014, -0.013, -0.014, -0.019, -0.024, -0.020, -0.018, -0.017, -0.020, "        \
    "-0.022, -0.016, -0.012, -0.008, -0.009, -0.010, "
#define WAVE_OF_10_M FIVE_M_UP FIVE_M_DOWN
#define PROFILE                                                                                                        \
    "place_m: [" TEN_M("") TEN_M("1") TEN_M("2") TEN_M("3")                                                            \
        TEN_M("4") "50], height_m: [" WAVE_OF_10_M WAVE_OF_10_M WAVE_OF_10_M WAVE_OF_10_M WAVE_OF_10_M                 \
                   "0], source: invented"

/* One drive unit without shafts: the motor and a gear pair at the axle, one ratio. */
#define DIRECT_UNIT                                                                                                    \
    "axles: [2], motors: {a: {" MOTOR                                                                                  \
    "}}, path: [mesh: {ratio: 8, efficiency: 0.985, mass_kg: 120}, differential: {efficiency: 0.998, mass_kg: 40}, "   \
    "wheel_end: {" WHEEL_END "}]"
/* A truck in a lineup, without a trailer. */
#define IN_LINEUP(truck_name, unit)                                                                                    \
    "{name: " truck_name ", invented: true, body: {" BODY "}, axles: {front: {" AXLE_FRONT "}, drive: {" AXLE_DRIVE    \
    "}}, payload: {mass_kg: 8000, centre_behind_m: 3}, drive_units: {rear: {" unit "}}, battery: {" BATTERY            \
    "}, auxiliaries: {" AUXILIARIES "}}"
#define DEMANDS                                                                                                        \
    "start_grade_percent: 12, start_surface: wet, climb_grade_percent: 3, climb_speed_km_h: 40, "                      \
    "descent_grade_percent: 5"
#define LOAD_CASE "altitude_m: 200, temperature_degc: 15"

#define SHORT_CYCLE                                                                                                    \
    "name: Example road with a hill, invented: true, length_m: 5000, speed: {" SPEED "}, road: {" ROAD                 \
    "}, stops: {" STOPS "}"
#define PART_PRICE "each: 400, per_kw: 12, maintenance_per_km: 0.0005, source: invented"
#define PART_PRICES                                                                                                    \
    "motor: {" PART_PRICE "}, inverter: {per_kw: 9}, gearbox: {per_kg: 18}, battery: {per_kwh: 160}, "                 \
    "axle: {per_kg: 6}, final_drive: {each: 2600}, universal_joint: {each: 120}, propeller_shaft: {each: 350}, "       \
    "centre_bearing: {each: 90}, differential: {each: 900}, mesh: {each: 600}"
#define TARIFF "from_h: [6, 21], price_per_kwh: [0.24, 0.17]"
#define LOG_COLUMN "name: v_gps, unit: km/h"
#define PLACE                                                                                                          \
    "tariff: {" TARIFF "}, charging_from_h: 20, charging_to_h: 5, charger_efficiency: 0.94, connector_kw: 100, "       \
    "demand_charge_per_kw_year: 60, source: invented"
#define TYRE_PRICE "each: 420, life_km: 150000"
#define TYRE_PRICES "steered: {" TYRE_PRICE "}, driven: {" TYRE_PRICE "}, trailer: {" TYRE_PRICE "}"
#define CELL_AGEING "cell_degc: 25, cell_v: 3.7, calendar_factor: 0.5, cycle_factor: 0.3, end_share: 0.75"
#define RESIDUAL "truck_loss_percent: 20, battery_loss_percent: 25, source: invented"
#define RUNNING "maintenance_per_km: 0.06, insurance_percent: 1.5, toll_per_km: 0.1, driver_per_h: 30"
#define SUBSIDY "percent: 10, most: 20000, source: invented"
#define PAYLOAD_VALUE "per_t_km: 0.06, limited_share: 0.3, source: invented"
#define CLAUSE "limits: axle_load, driven: yes, most_kg: 11500, status: own, source: invented"
#define LEG "name: out, cycle: {" SHORT_CYCLE "}, payload_kg: 12000"
#define STOP "name: tip, duration_min: 6, payload_kg: 0"
#define ROUNDS                                                                                                         \
    "times: 2, each: [leg: {" LEG "}, stop: {" STOP "}, leg: {name: back, cycle: {" SHORT_CYCLE "}, direction: back}]"
#define VARIABLE "keys: ['drive_units.rear.path[4].final_drive.ratio'], from: 3, to: 5, step: 0.1"
#define HOUSING_BOX                                                                                                    \
    "behind_m: -0.4, across_m: 0.3, bottom_over_axles_m: -0.18, length_m: 0.36, width_m: 0.28, height_m: 0.36"
#define SIDE_BOX                                                                                                       \
    "behind_m: 1.95, across_m: -0.83, bottom_over_axles_m: -0.15, length_m: 2.5, width_m: 0.74, height_m: 0.68"
#define OUTLINE "from_behind_m: -1.4, length_m: 2.25, bottom_over_axles_m: -0.1, height_m: 3.2, width_m: 2.5"
#define CHARGING "connector_kw: 150, until_soc: 0.9"
#define SEASON "share: 0.25, load_case: {temperature_degc: -5}"

static const struct pattern {
    const char *kind, *text;
} patterns[] = {
    {"truck", "name: Example tractor with semitrailer\ninvented: true\nbody: {" BODY "}\naxles: {front: {" AXLE_FRONT
              "}, drive: {" AXLE_DRIVE "}}\nfifth_wheel: {" FIFTH_WHEEL "}\ntrailer: {" TRAILER "}\npayload: {" PAYLOAD
              "}\ndrive_units: {rear: {" DRIVE_UNIT "}}\nbattery: {" BATTERY "}\nauxiliaries: {" AUXILIARIES "}\n"},
    {"body", BODY},
    {"drag_area_yaw", "yaw_deg: [0, 5, 10, 15], factor: [1, 1.08, 1.22, 1.35]"},
    {"axle", AXLE_DRIVE},
    {"friction_brake", "heat_capacity_kj_per_k: 80, standing_w_per_k: 27, at_80_km_h_w_per_k: 55, limit_degc: 250"},
    {"lifts", "lower_above_load_kg: 11500"},
    {"start_aid", "axle_load_kg: 14000"},
    {"tyre", TYRE("0.0058") ", longitudinal_slip_stiffness: 12"},
    {"fifth_wheel", FIFTH_WHEEL},
    {"drawbar", "behind_front_axle_m: 7.4"},
    {"trailer", TRAILER},
    {"payload", PAYLOAD},
    {"drive_unit", DRIVE_UNIT},
    {"motor", MOTOR},
    {"loss", LOSS},
    {"field_weakening", FIELD_WEAKENING},
    {"map", "speed_rpm: [0, 1000, 2000, 3500], torque_nm: [0, 1200, 2400], "
            "loss_w: [110, 6000, 23700, 1100, 7000, 24700, 3100, 9000, 26700, 7700, 13600, 31300]"},
    {"inverter", INVERTER},
    {"inverter_heat", INVERTER_HEAT},
    {"motor_scale", "torque: 0.8"},
    {"winding", WINDING},
    {"housing", HOUSING},
    {"gearbox", GEARBOX},
    {"drag", DRAG},
    {"oil", "heat_capacity_kj_per_k: 60, standing_w_per_k: 8, at_80_km_h_w_per_k: 30, "
            "temperature_degc: [-20, 0, 40, 80], drag_factor: [4, 2.5, 1.4, 1]"},
    {"hub_drag", "speed_rpm: [0, 600], torque_nm: [12, 20]"},
    {"suspension",
     "natural_frequency_hz: 1.4, damping_kn_s_m: 18, air: true, bump_travel_m: 0.09, rebound_travel_m: 0.11"},
    {"unit_housing", HOUSING_BOX ", on_axle: 2, holds: motor"},
    {"pack_box", SIDE_BOX ", modules: 18"},
    {"module", "length_m: 0.7, width_m: 0.4, height_m: 0.22, mass_kg: 100, energy_kwh: 15"},
    {"frame", "rail_top_over_axles_m: 0.47, rail_depth_m: 0.3, rails_width_m: 0.86, rail_width_m: 0.08, from_behind_m: "
              "-1.3, length_m: 6.1, front_overhang_m: 1.4, front_bottom_over_axles_m: -0.2, rear_overhang_m: 0.95, "
              "rear_bottom_over_axles_m: 0.2, bays: {left: {" SIDE_BOX "}}, cab: {" OUTLINE "}"},
    {"bay", SIDE_BOX},
    {"outline", OUTLINE},
    {"trailer_outline", "ahead_of_kingpin_m: 1.6, behind_kingpin_m: 12, floor_height_m: 1.2, top_height_m: 4, width_m: "
                        "2.55"},
    {"shift", SHIFT},
    {"engagement", "fewest: 1"},
    {"branch", "axle: 2, torque_share: 0.5, path: [final_drive: {" FINAL_DRIVE "}, wheel_end: {" WHEEL_END "}]"},
    {"disconnect", "mass_kg: 12"},
    {"mesh", "ratio: 4, efficiency: 0.988, inertia_kg_m2: 0.4, mass_kg: 60"},
    {"planet_set", "sun_teeth: 24, ring_teeth: 84, basic_efficiency: 0.983, inertia_kg_m2: 0.5, mass_kg: 70"},
    {"universal_joint", UNIVERSAL_JOINT},
    {"propeller_shaft", PROPELLER_SHAFT},
    {"centre_bearing", CENTRE_BEARING},
    {"final_drive", FINAL_DRIVE},
    {"differential", "efficiency: 0.99, mass_kg: 60"},
    {"wheel_end", WHEEL_END},
    {"battery", BATTERY},
    {"open_circuit", OPEN_CIRCUIT},
    {"charge_taper", CHARGE_TAPER},
    {"resistance_factors", "temperature_degc: [-20, 0, 25, 45], factor: [4.5, 2.2, 1, 0.7]"},
    {"power_shares", "temperature_degc: [-20, 0, 20], soc: [0.2, 0.9], share: [0.1, 0.05, 0.5, 0.3, 1, 0.8], "
                     "continuous_share: [0.06, 0.03, 0.3, 0.2, 0.6, 0.5]"},
    {"battery_ageing", "years: [0, 5, 10], capacity_factor: [1, 0.9, 0.8], resistance_factor: [1, 1.2, 1.5]"},
    {"battery_heat", "heat_capacity_kj_per_k: 3000, to_air_w_per_k: 40, limit_degc: 55, cooling: {heat_kw: 8}, "
                     "heating: {heat_kw: 6}"},
    {"battery_cooling", "heat_kw: 8"},
    {"battery_heating", "heat_kw: 6"},
    {"auxiliaries", AUXILIARIES},
    {"consumer", "moving_kw: 0.7"},
    {"power_take_off", "speed_rpm: 1500, stop_kw: 20, stop_s: 60, motor: {" MOTOR "}"},
    {"takeoff", "torque_limit_nm: 600, speed_limit_rpm: 2500"},
    {"brakes", "regeneration: true"},
    {"adhesion", "driving: 0.6"},
    {"cooling", COOLING},
    {"tyre_temperature", "linear_per_k: 0.005, rise_k: 40, time_constant_min: 33"},
    {"retarder", "axle: 2, torque_limit_nm: 16000, power_limit_kw: 400"},
    {"brake_resistor", "power_kw: 200"},
    {"cycle", "name: Example road with a hill\ninvented: true\nlength_m: 5000\nspeed: {" SPEED "}\nroad: {" ROAD
              "}\nstops: {" STOPS "}\nsurface: {" SURFACE "}\n"},
    {"lineup",
     "name: Example of two trucks on a road with a hill\ninvented: true\ncycle: {name: Example road with a hill, "
     "invented: true, length_m: 5000, speed: {" SPEED "}, road: {" ROAD "}, stops: {" STOPS "}}\n"
     "load_case: {" LOAD_CASE "}\ndemands: {" DEMANDS "}\ntrucks:\n"
     "  four_gears: " IN_LINEUP("Example truck with four gears and shafts",
                                DRIVE_UNIT) "\n"
                                            "  one_ratio: " IN_LINEUP("Example truck with one ratio at its axle",
                                                                      DIRECT_UNIT) "\n"},
    {"duty",
     "name: Example of a day of two rounds\ninvented: true\nday:\n  - rounds: {" ROUNDS "}\n  - stop: {name: depot, "
     "duration_min: 30, charging: {" CHARGING "}}\nworking_days_per_year: 220\nseasons: {winter: {" SEASON
     "}, rest: {share: 0.75}}\ndemands: {reserve_soc: 0.1}\n"},
    {"rules",
     "name: Example of rules of one's own\ninvented: true\nclauses: {driven_axle: {" CLAUSE
     "}, gross: {limits: mass, most_kg: 40000, zero_emission_most_kg: 2000, status: own, source: invented}}\n"},
    {"clause", CLAUSE},
    {"prices", "name: Example of prices of one's own\ninvented: true\nsource: invented\ncurrency: "
               "EUR\ninterest_percent: 6\nbase_price: "
               "90000\nparts: {" PART_PRICES "}\nenergy: {depot: {" PLACE "}}\ntyres: {" TYRE_PRICES
               "}\nbattery_ageing: {" CELL_AGEING "}\nresidual: {" RESIDUAL "}\nrunning: {" RUNNING
               "}\nsubsidy: {" SUBSIDY "}\npayload: {" PAYLOAD_VALUE "}\n"},
    {"mapping", "name: Example of a logger's columns\nseparator: semicolon\ndecimal: comma\ncolumns: {time: {name: t, "
                "unit: s}, speed: {" LOG_COLUMN "}, altitude: {name: h_gps, unit: m}}\n"},
    {"log_column", LOG_COLUMN},
    {"part_price", PART_PRICE},
    {"part_prices", PART_PRICES},
    {"tariff", TARIFF},
    {"charging_place", PLACE},
    {"energy_prices", "depot: {" PLACE "}"},
    {"tyre_price", TYRE_PRICE},
    {"tyre_prices", TYRE_PRICES},
    {"cell_ageing", CELL_AGEING},
    {"residual", RESIDUAL},
    {"running", RUNNING},
    {"subsidy", SUBSIDY},
    {"payload_value", PAYLOAD_VALUE},
    {"leg", LEG},
    {"stop", STOP},
    {"rounds", ROUNDS},
    {"charging", CHARGING},
    {"season", SEASON},
    {"duty_demands", "reserve_soc: 0.1"},
    {"ground_demands", "rut_mm: 120\nclearance_mm: 50\nunevenness: D\nspeed_km_h: 20\n"},
    {"load_case", LOAD_CASE},
    {"driving", "driver: exact"},
    {"demands", DEMANDS},
    {"kept", "about: what these runs are kept for\nruns: {tractor_on_hill: {truck: truck.yaml, cycle: cycle.yaml}}\n"},
    {"tolerances", "energy_kwh: {absolute: 0.001}"},
    {"tolerance", "absolute: 0.001, relative: 1e-4"},
    {"kept_run", "truck: truck.yaml, cycle: cycle.yaml, load_case: {" LOAD_CASE "}, set: [payload.mass_kg=12000]"},
    {"uncertainty", "of: [drag_area_m2], relative: 0.06, shape: normal, source: 'common practice, no source'"},
    {"uncertainties",
     "name: Example of what a measurement left open\ninvented: true\nuncertain: {battery_resistance: "
     "{of: [battery.resistance_ohm], relative: 0.05, shape: normal, source: invented}, rolling: {of: "
     "[axles.front.tyre.rolling_resistance_coefficient, "
     "axles.drive.tyre.rolling_resistance_coefficient], half_width: 0.0002, offset: 0.0001, errs_with: "
     "rolling_resistance, source: invented}}\n"},
    {"variable", VARIABLE},
    {"vary", "name: Example of which final drive\ninvented: true\ntruck: {name: Example tractor with semitrailer, "
             "invented: true, body: {" BODY "}, axles: {front: {" AXLE_FRONT "}, drive: {" AXLE_DRIVE
             "}}, fifth_wheel: {" FIFTH_WHEEL "}, trailer: {" TRAILER "}, payload: {" PAYLOAD
             "}, drive_units: {rear: {" DRIVE_UNIT "}}, battery: {" BATTERY "}, auxiliaries: {" AUXILIARIES
             "}}\ncycle: {" SHORT_CYCLE "}\nvariables: {final_drive: {" VARIABLE
             "}}\nconstraints: ['limits.deciding.startability.steepest_percent >= 12']\nleast: [kwh_per_km]\n"},
    {"speed", SPEED},
    {"road", ROAD},
    {"stops", STOPS},
    {"surface", SURFACE},
    {"spectrum", "wave_m1: [0.01, 0.1, 0.3, 3], density_m3: [2e-2, 2e-4, 3e-5, 3e-7]"},
    {"profile", PROFILE},
    {"heading", "place_m: [0, 1000], heading_deg: [45, 90]"},
};

const char *evn_pattern_of(const char *kind)
{
    for (size_t i = 0; i < sizeof patterns / sizeof patterns[0]; i++)
        if (strcmp(patterns[i].kind, kind) == 0)
            return patterns[i].text;
    return NULL;
}
