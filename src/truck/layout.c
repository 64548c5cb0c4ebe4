/* The axle configuration of a truck, and how many of its axles are driven. */
#include "truck/layout.h"
#include <stdio.h>

size_t evn_truck_axles_of(const evn_truck_file *truck) { return truck->axles.count; }

/* Axles are numbered from the front, from 1. */
static bool drives(const evn_truck_file *truck, size_t axle)
{
    const evn_unit_file *unit = truck->drive_units.item;
    for (size_t u = 0; u < truck->drive_units.count; u++)
        for (size_t k = 0; k < unit[u].axles.count; k++)
            if (unit[u].axles.at[k] == (double)axle)
                return true;
    return false;
}

size_t evn_truck_driven_axles_of(const evn_truck_file *truck)
{
    size_t count = 0;
    for (size_t axle = 1; axle <= truck->axles.count; axle++)
        count += drives(truck, axle);
    return count;
}

const char *evn_axle_configuration(char out[EVN_WHEEL_FORMULA_BYTES], const evn_truck_file *truck)
{
    snprintf(out, EVN_WHEEL_FORMULA_BYTES, "%zux%zu", 2 * evn_truck_axles_of(truck),
             2 * evn_truck_driven_axles_of(truck));
    return out;
}
