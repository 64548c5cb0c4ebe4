/*
 * Likeness: what of two trucks must be the same for their difference to be the layout's (LIKENESS.md). One table of
 * rows with tolerances; what a truck has in each; the verdict.
 */
#ifndef EVENER_LINEUP_LIKENESS_H
#define EVENER_LINEUP_LIKENESS_H
#include "evener/likeness.h"
#include "limits/limits.h"
#include "truck/truck.h"

/* X(enum name). The rows in their order; their table stands in likeness.c. */
#define EVN_LIKENESS_ROWS(X)                                                                                           \
    X(PEAK_WHEEL_POWER)                                                                                                \
    X(CONTINUOUS_WHEEL_POWER)                                                                                          \
    X(FORCE_FROM_REST)                                                                                                 \
    X(SPEED_ON_3_PERCENT)                                                                                              \
    X(INSTALLED_POWER)                                                                                                 \
    X(DRIVEN_AXLES)                                                                                                    \
    X(AXLES)                                                                                                           \
    X(ROLLING_RESISTANCE)                                                                                              \
    X(ROLLING_RADIUS)                                                                                                  \
    X(HUB_DRAG)                                                                                                        \
    X(DRAG_AREA)                                                                                                       \
    X(AUXILIARIES)                                                                                                     \
    X(TAKE_OFF)                                                                                                        \
    X(USABLE_ENERGY)                                                                                                   \
    X(BATTERY_RESISTANCE)                                                                                              \
    X(DISCHARGE_LIMIT)                                                                                                 \
    X(CHARGE_LIMIT)                                                                                                    \
    X(PAYLOAD)                                                                                                         \
    X(GROSS_MASS)
typedef enum evn_likeness_place {
#define X(name) EVN_LIKENESS_##name,
    EVN_LIKENESS_ROWS(X)
#undef X
        EVN_LIKENESS_COUNT
} evn_likeness_place;

/* What a truck has in each row, in its unit; NAN: not known. */
typedef struct evn_likeness_of_truck {
    double value[EVN_LIKENESS_COUNT], at_km_h[EVN_LIKENESS_COUNT];
} evn_likeness_of_truck;

/* Of a truck as it is made ready; its limits hold the group "deciding". */
evn_likeness_of_truck evn_likeness_measure(const evn_truck_file *, const evn_rig *, evn_surface, const evn_limits *);

/* Most power at the wheels, W, as the first row tells it. */
double evn_likeness_peak_wheel_w(const evn_rig *, evn_surface);

/* By a row's tolerance; both not known: true, one of them: false. */
bool evn_likeness_within(const evn_likeness_row *, double value, double first);

/* A row of a truck held against the first, where the comparison is made equal in something. */
evn_likeness evn_likeness_judge(size_t row, const evn_likeness_of_truck *, const evn_likeness_of_truck *first,
                                evn_equal);

#endif
