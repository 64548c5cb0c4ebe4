/*
 * The shafts of a truck's drive units, from the motor to the wheels, named by the parts at their ends: where each
 * stands in the chains of a unit, and how much torque and speed it can have.
 */
#ifndef EVENER_TRUCK_SHAFTS_H
#define EVENER_TRUCK_SHAFTS_H
#include "truck/rig.h"

/* What a shaft is looked for by. */
typedef enum evn_shaft_of {
    EVN_SHAFT_OF_MOTOR, /* one engaged motor's own */
    EVN_SHAFT_OF_INPUT, /* at the motor side of a gear's chain: of all motors of a unit together */
    EVN_SHAFT_OF_PATH,  /* between the gearbox and the wheels, or the dividing point */
    EVN_SHAFT_OF_BRANCH /* between the dividing point and the wheels of one axle */
} evn_shaft_of;

enum { EVN_SHAFT_TEXT = 48, EVN_UNIT_SHAFTS_MAX = 2 + (1 + EVN_BRANCHES_MAX) * 14 };

typedef struct evn_named_shaft {
    size_t unit;
    evn_shaft_of of;
    size_t branch, place; /* of branch and path: stages of the normal form on its wheel side */
    const char *axle;     /* NULL: it turns for several, or before the path divides */
    char key[EVN_SHAFT_TEXT], label[EVN_SHAFT_TEXT];
    size_t alike; /* so many of it share the torque and turn alike; torque is told of one */
    double peak_nm, top_rad_s;
} evn_named_shaft;

/* Those of all units, unit by unit, from the motor to the wheels; `out` has room for EVN_UNIT_SHAFTS_MAX of each unit.
 * Returns how many there are. */
size_t evn_shafts_name(const evn_rig *, evn_named_shaft *out);

#endif
