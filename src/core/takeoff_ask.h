/* What a stop asks of a power take-off. The rooms truck, cycle and trip speak of it, and none of them includes the
 * others. */
#ifndef EVENER_CORE_TAKEOFF_ASK_H
#define EVENER_CORE_TAKEOFF_ASK_H

typedef struct evn_takeoff_ask {
    double power_w, seconds; /* mechanical, at its shaft; both 0: nothing is asked */
} evn_takeoff_ask;

#endif
