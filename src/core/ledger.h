/* The ledger: where every joule went. A line is one row of EVN_LINES. */
#ifndef EVENER_CORE_LEDGER_H
#define EVENER_CORE_LEDGER_H
#include <stdbool.h>

/*
 * X(enum name, key, label, short label, meaning). Lines of the truck come first, lines kept per drive unit last, from
 * EVN_UNIT_LINES on. Kinetic and grade are stores: they are computed from the states at both ends of a run and may be
 * negative.
 */
#define EVN_LINES(X)                                                                                                   \
    X(GRADE, "potential", "potential energy", "potential energy", "weight times elevation gained; a store")            \
    X(KINETIC, "kinetic", "kinetic energy", "kinetic energy",                                                          \
      "motion of the truck and of all that turns with it; a store")                                                    \
    X(ROLLING, "rolling_resistance", "rolling resistance", "rolling", "rolling resistance of all tyres")               \
    X(AIR, "air_drag", "air drag", "air drag", "aerodynamic drag")                                                     \
    X(PACK, "battery_losses", "battery losses", "battery losses", "heat in the battery's internal resistance")         \
    X(AUXILIARIES, "auxiliaries", "auxiliaries", "auxiliaries", "steady consumers: steering, compressor, pumps, cab")  \
    X(PTO, "power_take_off", "power take-off", "take-off", "power take-off for the body")                              \
    X(CHARGING, "charging", "charging at stops", "charging",                                                           \
      "energy from a connector, at the terminals of the battery; below zero: it comes in")                             \
    X(COOLING_FAN, "cooling_fan", "cooling fan", "cooling fan", "fan of the radiator")                                 \
    X(BATTERY_CONDITIONING, "battery_conditioning", "battery cooling and heating", "battery cooling",                  \
      "electric power that cools and heats the battery")                                                               \
    X(BRAKE_RESISTOR, "brake_resistor", "brake resistor", "brake resistor",                                            \
      "braking energy of the motors that a resistor at the d.c. bus turns into heat")                                  \
    X(RETARDER, "retarder", "retarder", "retarder", "braking work of the retarder")                                    \
    X(FRICTION_BRAKES, "friction_brakes", "friction braking", "friction braking", "heat in the friction brakes")       \
    X(TYRE_SLIP, "tyre_slip_losses", "tyre slip losses", "tyre slip", "longitudinal slip of the driven tyres")         \
    X(WHEEL_END, "hub_losses", "hub losses", "hubs", "wheel bearings, seals and hub reduction")                        \
    X(FINAL_DRIVE, "final_drive_losses", "final drive losses", "final drive", "final drive and differential")          \
    X(SHAFTS, "propeller_shaft_losses", "propeller shaft losses", "shafts",                                            \
      "propeller shafts, universal joints, centre bearings")                                                           \
    X(GEARBOX, "gearbox_losses", "gearbox losses", "gearboxes", "gearbox and reduction stages")                        \
    X(SHIFTING, "gear_change_losses", "gear change losses", "gear change loss", "synchronising at gear changes")       \
    X(MOTOR, "motor_losses", "motor losses", "motor losses", "electric machines, drag included")                       \
    X(INVERTER, "inverter_losses", "inverter losses", "inverters", "inverters")

typedef enum evn_line {
#define X(name, key, label, short_label, meaning) EVN_##name,
    EVN_LINES(X)
#undef X
        EVN_LINE_COUNT
} evn_line;

enum { EVN_UNIT_LINES = EVN_TYRE_SLIP, EVN_UNIT_LINE_COUNT = EVN_LINE_COUNT - EVN_UNIT_LINES };

/* Of parts that most trucks do not have, and of what is done at few stops: what is told leaves them out where they are
 * missing. */
static inline bool evn_is_line_of_a_part(int line)
{
    return line == EVN_CHARGING || line == EVN_COOLING_FAN || line == EVN_BATTERY_CONDITIONING ||
           line == EVN_BRAKE_RESISTOR || line == EVN_RETARDER;
}

/* Power into each line now, W; and what of the motors' is lost in their windings, where a housing asks for it. */
typedef struct evn_flow {
    double w[EVN_LINE_COUNT], copper_w;
} evn_flow;

typedef struct evn_line_row {
    const char *key, *label, *short_label, *meaning;
} evn_line_row;
extern const evn_line_row evn_line_rows[EVN_LINE_COUNT];

#endif
