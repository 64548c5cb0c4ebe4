/* Lists that belong together: axis and values, from the dice. */
#ifndef EVENER_TESTS_SUIT_CURVES_H
#define EVENER_TESTS_SUIT_CURVES_H
#include "invent.h"

enum { AXIS_MOST = 12 };

typedef enum slope { SLOPE_FALLS, SLOPE_RISES, SLOPE_ANY } slope;

/* So many values from low to high (both ends exact), rising. */
void lot_axis(dice *, double *at, size_t count, double low, double high);

/* An axis and values over it, as two lists of the map. */
void lot_curve(inventor *, draft *map, const char *axis, double from, double to, const char *value, double low,
               double high, slope, size_t count);

#endif
