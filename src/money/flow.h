/*
 * Cash flows by year: flow[0] falls due at the beginning, flow[k] at the end of year k; what comes in is above zero.
 * Net present value, rates of return and payback as textbooks of engineering economics have them.
 */
#ifndef EVENER_MONEY_FLOW_H
#define EVENER_MONEY_FLOW_H
#include "money/factors.h"
#include <stdbool.h>
#include <stddef.h>

enum { EVN_FLOW_MOST = EVN_MONEY_YEARS_MOST + 1 };

/* Sum of flow[k] / (1 + rate)^k; rate above -1. */
double evn_net_present_value(const double *flow, size_t count, double rate);

/*
 * Every rate above -1 at which the net present value is zero, rising. There may be none, one or several (at most as
 * many as the flow changes its sign: Descartes); none is left out and none is chosen. Where the value only touches
 * zero, the rate stands once and `touches` says so.
 */
typedef struct evn_rates_of_return {
    size_t count;
    double rate[EVN_MONEY_YEARS_MOST];
    bool touches[EVN_MONEY_YEARS_MOST];
} evn_rates_of_return;
evn_rates_of_return evn_rates_of_return_of(const double *flow, size_t count);

/* How often the flow changes its sign, zeros left out: the most rates of return that there can be. */
size_t evn_flow_sign_changes(const double *flow, size_t count);

/*
 * After how many years the sum of all flows so far, each discounted by the rate (0: simple payback), is no longer below
 * zero; within a year it goes evenly. `years` is when it is so for good, up to the end of the flow; a sum that sinks
 * below zero again (a battery is replaced) has been there before, first after `first_years`. NAN: never. Both 0: it
 * never was below zero.
 */
typedef struct evn_paid_back {
    double years, first_years;
} evn_paid_back;
evn_paid_back evn_paid_back_of(const double *flow, size_t count, double rate);

/* What a year comes to on average, all years alike at the rate: present value times A/P; of at least two flows. */
double evn_equivalent_annual(const double *flow, size_t count, double rate);

#endif
