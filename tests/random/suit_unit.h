/* A drive unit that hangs together, at the axles that it was given. */
#ifndef EVENER_TESTS_SUIT_UNIT_H
#define EVENER_TESTS_SUIT_UNIT_H
#include "invent.h"

typedef struct unit_place {
    const double *axle; /* numbered from 1 */
    size_t axles;
    double radius_m; /* of its tyres */
    double gross_kg; /* its part of the truck */
} unit_place;

void suit_unit(inventor *, draft *unit, const unit_place *);
/* A motor that turns so fast and gives so much torque, as far as the usual bounds let it. */
void suit_motor(inventor *, draft *motor, double top_rpm, double torque_nm);

#endif
