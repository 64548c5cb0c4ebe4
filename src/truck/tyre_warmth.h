/*
 * Rolling resistance over temperature, whole: the keys, how tyres warm up, and what that makes of their resistance. One
 * temperature T stands for all tyres of truck and trailer:
 *   tau dT/dt = T_air + rise(v) - T,   rise(v) = rise_80 (v / (v + v_h)) ((80 km/h + v_h) / 80 km/h)
 * Their heat grows with speed, and so does what the air takes, so that the rise levels out; at rest they cool down with
 * the same time constant (common practice, no source). Warm is T_air + rise_80. Coefficients of files are those of warm
 * tyres at 25 degC; with x the temperature beyond those,
 *   linear     F = F_25 (1 - k x),   as tested   F = F_25 / (1 + K x)   (UN Regulation 117, aligned to ISO 28580),
 * which for warm tyres is the law over the temperature of the air that is published. Held within a half and three
 * times.
 */
#ifndef EVENER_TRUCK_TYRE_WARMTH_H
#define EVENER_TRUCK_TYRE_WARMTH_H
#include "core/field.h"
#include "evener/evener.h"

typedef struct evn_tyre_warmth_file {
    double linear_per_k, tested_per_k;
    double rise_k, half_rise_km_h, time_constant_min;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_tyre_warmth_file;
extern const evn_object evn_tyre_warmth_object;

#define EVN_ROLLING_LAW_SOURCE                                                                                         \
    "UN Regulation 117, aligned to ISO 28580: 0.006 per K for tyres of class C3 with a load index above 121, meant "   \
    "for "                                                                                                             \
    "20 to 30 degC; 1 % per 1.5 to 3 K below that: common practice, from memory"

typedef struct evn_tyre_warmth {
    evn_rolling_resistance_law law;
    double per_k;               /* of the law */
    double air_degc, warm_degc; /* warm: what a long run at 80 km/h brings */
    double start_degc;
    double rise_k, half_m_s, time_constant_s;
} evn_tyre_warmth;

/* NULL: the defaults of the keys. */
evn_tyre_warmth evn_tyre_warmth_of(const evn_tyre_warmth_file *, const evn_load_case *, double air_degc);

/* Times the rolling resistance, of tyres that are so far below warm ones; 1 where temperature does not count. */
double evn_tyre_factor(const evn_tyre_warmth *, double below_warm_k);
double evn_tyre_most_below_k(const evn_tyre_warmth *); /* those as cold as the air */
double evn_tyre_start_degc(const evn_tyre_warmth *);
double evn_tyre_start_below_k(const evn_tyre_warmth *);
double evn_tyre_rise_k(const evn_tyre_warmth *, double speed_m_s); /* above the air, in the end */
double evn_tyre_rate_k_s(const evn_tyre_warmth *, double below_warm_k, double speed_m_s);

#endif
