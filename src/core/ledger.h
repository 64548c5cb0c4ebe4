/* The ledger: where every joule went. A line is one row of EVN_LINES. */
#ifndef EVENER_CORE_LEDGER_H
#define EVENER_CORE_LEDGER_H

/*
 * X(enum name, key, meaning). Lines of the truck come first, lines kept per drive unit last, from EVN_UNIT_LINES on.
 * Kinetic and grade are stores: they are computed from the states at both ends of a run and may be negative.
 */
#define EVN_LINES(X)                                                                                                   \
    X(GRADE, "grade", "height gained, weight times rise; a store")                                                     \
    X(KINETIC, "kinetic", "motion of the truck and of all that turns with it; a store")                                \
    X(ROLLING, "rolling", "rolling resistance of all tyres")                                                           \
    X(AIR, "air", "air drag")                                                                                          \
    X(PACK, "pack", "heat in the pack's resistance")                                                                   \
    X(AUXILIARIES, "auxiliaries", "steady consumers: steering, compressor, pumps, cab")                                \
    X(PTO, "pto", "power take-off for the body")                                                                       \
    X(FRICTION_BRAKES, "friction_brakes", "heat in the friction brakes")                                               \
    X(TYRE_SLIP, "tyre_slip", "longitudinal slip of the driven tyres")                                                 \
    X(WHEEL_END, "wheel_end", "wheel bearings, seals and hub reduction")                                               \
    X(FINAL_DRIVE, "final_drive", "final drive and differential")                                                      \
    X(SHAFTS, "shafts", "propeller shafts, universal joints, centre bearings")                                         \
    X(GEARBOX, "gearbox", "gearbox and reduction stages")                                                              \
    X(SHIFTING, "shifting", "loss of synchronising at gear changes")                                                   \
    X(MOTOR, "motor", "electric machines, drag included")                                                              \
    X(INVERTER, "inverter", "inverters")

typedef enum evn_line {
#define X(name, key, meaning) EVN_##name,
    EVN_LINES(X)
#undef X
        EVN_LINE_COUNT
} evn_line;

enum { EVN_UNIT_LINES = EVN_TYRE_SLIP, EVN_UNIT_LINE_COUNT = EVN_LINE_COUNT - EVN_UNIT_LINES };

/* Power into each line now, W. */
typedef struct evn_flow {
    double w[EVN_LINE_COUNT];
} evn_flow;

typedef struct evn_line_row {
    const char *key, *meaning;
} evn_line_row;
extern const evn_line_row evn_line_rows[EVN_LINE_COUNT];

#endif
