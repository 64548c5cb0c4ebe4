/*
 * The loop that cools motors and inverters, whole: its keys, the capacity of its radiator, its fan. One temperature
 * stands for all of it.
 */
#ifndef EVENER_TRUCK_COOLING_H
#define EVENER_TRUCK_COOLING_H
#include "core/field.h"

typedef struct evn_cooling_file {
    double heat_capacity_kj_per_k;
    double still_kw_per_k, at_80_km_h_kw_per_k, fan_kw_per_k; /* heat carried off, per kelvin above the air */
    double fan_power_kw, fan_from_degc, fan_full_degc;
    double limit_degc; /* NAN: none stated */
    double start_degc; /* NAN: that of the air */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_cooling_file;
extern const evn_object evn_cooling_object;

/* Its speed follows the temperature of the coolant, in a straight line; its power the cube of that. */
typedef struct evn_fan {
    double full_w, from_degc, full_degc; /* full_w 0: there is none */
} evn_fan;
double evn_fan_share(const evn_fan *, double coolant_degc); /* of its full speed, 0 to 1; 0 without a loop */
double evn_fan_w(const evn_fan *, double coolant_degc);

typedef struct evn_cooling {
    bool modelled;
    double heat_capacity_j_k, still_w_k;
    double by_air_s2_m2, by_fan; /* see evn_cooling_w_k */
    evn_fan fan;
    double limit_degc; /* INFINITY: none stated */
    double start_degc; /* NAN: no loop */
} evn_cooling;

/* NULL: not modelled. */
evn_cooling evn_cooling_of(const evn_cooling_file *, double ambient_degc);

/* Heat that the radiator carries off per kelvin of the coolant above the air, W/K; air_m_s: past the truck. */
double evn_cooling_w_k(const evn_cooling *, double air_m_s, double coolant_degc);

/* K/s, from all the heat that comes into the loop. */
double evn_cooling_rate_k_s(const evn_cooling *, double coolant_degc, double ambient_degc, double air_m_s,
                            double heat_w);

#endif
