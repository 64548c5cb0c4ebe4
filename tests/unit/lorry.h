/*
 * A rigid truck of 26 t whose last axle lifts, and one with two driven axles behind a differential: YAML for tests of
 * grip. Nothing is lost but rolling resistance; motors stronger than any tyre.
 */
#ifndef EVENER_TESTS_LORRY_H
#define EVENER_TESTS_LORRY_H

#define LORRY_MOTORS                                                                                                   \
    "motors: {motor: {peak_torque_nm: 1e6, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700}}, "       \
    "machine_height_m: 0"
#define LORRY_PACK                                                                                                     \
    "battery: {capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, "                    \
    "discharge_limit_kw: 1e5, charge_limit_kw: 1e5, start_soc: 0.5}\n"                                                 \
    "brakes: {fade_from_km_h: 0, fade_to_km_h: 0}\n"
#define LORRY_TYRE(coefficient)                                                                                        \
    "tyre: {rolling_resistance_coefficient: " coefficient ", rolling_radius_m: 0.5, longitudinal_slip_stiffness: 20}"

/* 6.5, 11 and 8.5 t on its axles at rest with all of them down; `lifts` and more keys of the last, after a comma. */
#define LORRY_6X2(height, tag_tyre, lifts)                                                                             \
    "name: lorry\ninvented: true\n"                                                                                    \
    "body: {mass_kg: 26000, centre_behind_front_axle_m: 3.5, centre_height_m: " height ", drag_area_m2: 0}\n"          \
    "axles:\n"                                                                                                         \
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, " LORRY_TYRE(                                         \
        "0.006") "}\n"                                                                                                 \
                 "  driven: {behind_front_axle_m: 4, support: rear, load_share: 0.55, tyres: 4, permitted_kg: "        \
                 "11500, " LORRY_TYRE("0.006") "}\n"                                                                   \
                                               "  tag: {behind_front_axle_m: 5.35, support: rear, load_share: 0.45, "  \
                                               "tyres: 2, " LORRY_TYRE(tag_tyre) lifts                                 \
        "}\n"                                                                                                          \
        "payload: {mass_kg: 0, centre_behind_m: 3, centre_height_m: 0}\n" LORRY_PACK

#define LORRY_DRIVES_ONE(more) "drive_units: {rear: {axles: [2], " LORRY_MOTORS ", path: []" more "}}\n"

/* 40 t with 11 t and 8 t on two driven axles. */
#define LORRY_TANDEM(height)                                                                                           \
    "name: tandem\ninvented: true\n"                                                                                   \
    "body: {mass_kg: 40000, centre_behind_front_axle_m: 2.18, centre_height_m: " height ", drag_area_m2: 0}\n"         \
    "axles:\n"                                                                                                         \
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, " LORRY_TYRE(                                         \
        "0.006") "}\n"                                                                                                 \
                 "  first: {behind_front_axle_m: 4, support: rear, load_share: 0.11, tyres: 4, " LORRY_TYRE(           \
                     "0.006") "}\n"                                                                                    \
                              "  second: {behind_front_axle_m: 5.4, support: rear, load_share: 0.08, tyres: "          \
                              "4, " LORRY_TYRE("0.006") "}\n"                                                          \
                                                        "payload: {centre_behind_m: 1}\n" LORRY_PACK

#define LORRY_BRANCH(axle)                                                                                             \
    "{axle: " axle ", torque_share: 0.5, path: [final_drive: {ratio: 3, efficiency: 0.96, drag: {at: motor_side, "     \
    "speed_rpm: [0], torque_nm: [8]}}]}"
#define LORRY_DRIVES_BOTH(more)                                                                                        \
    "drive_units: {rear: {axles: [2, 3], " LORRY_MOTORS ", path: []" more                                              \
    ", branches: {first: " LORRY_BRANCH("2") ", second: " LORRY_BRANCH("3") "}}}\n"

#endif
