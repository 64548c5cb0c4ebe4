/* Loss laws of one rig put into another at its own ratios and ratings. */
#ifndef EVENER_CAUSES_LAWS_H
#define EVENER_CAUSES_LAWS_H
#include "core/arena.h"
#include "truck/rig.h"

/* X(enum name, key, label) */
#define EVN_LAWS(X)                                                                                                    \
    X(MOTORS, "motor_losses", "losses of motors")                                                                      \
    X(INVERTERS, "inverter_losses", "losses of inverters")                                                             \
    X(LOAD, "load_losses", "load losses of gears and shafts")                                                          \
    X(DRAG, "drags", "drags of gears and shafts")                                                                      \
    X(MASS, "mass", "mass of the drivetrain")

typedef enum evn_law {
#define X(name, key, label) EVN_LAW_##name,
    EVN_LAWS(X)
#undef X
        EVN_LAW_COUNT
} evn_law;

extern const char *const evn_law_keys[EVN_LAW_COUNT], *const evn_law_labels[EVN_LAW_COUNT];

/*
 * `rig` is a copy of a rig, to be written; `from` what it gets one law of. NULL: done; else why it cannot be exchanged.
 *
 *   motors, inverters  coefficients as shares of peak power, over shares of peak torque and of base speed
 *   load               (1 - loss) of every stage to the power that makes the whole way in top gear lose as much
 *   drag               of every stage by one factor, that makes the way in top gear at 80 km/h resist as much
 *   mass               the masses alone, in the places of the copy
 */
const char *evn_law_put(evn_law, evn_rig *rig, const evn_rig *from, evn_arena *);

/* Of all units of a rig in top gear: load loss as -ln(efficiency), pulling, the mean by the motors' peak powers; and
 * drag at 80 km/h, as a force at the tyres. */
double evn_rig_load_exponent(const evn_rig *);
double evn_rig_drag_n(const evn_rig *);

#endif
