/*
 * The pack, as the traction battery is called here: what its file may say beyond capacity, resistance and limits
 * (resistance over temperature, limits over temperature and duration, ageing, heat), and all of it made ready.
 *
 * At the terminals P = E I - R I^2. R is what is stated times a factor of temperature and state of charge, and of age.
 *
 * Limits of power. For a short time the pack gives P_s, for any time P_c, both over temperature and state of charge.
 * What has gone beyond P_c is a state u, the share that is used up of what a pulse of 10 s at P_s takes beyond it:
 *   du/dt = (P - P_c)/((P_s - P_c) 10 s) above P_c,   du/dt = -u (1 - P/P_c)/tau below it, at 0 and the other way
 * -u/tau, and it gives P_c + (P_s - P_c) g(u), where g is 1 until four fifths are used up and falls to 0 in a straight
 * line. So a fresh pack gives P_s for 8 s and then ever less, with a time constant of 2 s, but never more beyond P_c in
 * all than the stated pulse does; the limit has no jump, and nothing to rattle about. Common practice, no source:
 * makers state pulses of 10 s, and how a control unit comes back from one differs.
 *
 * One temperature stands for all of it:
 *   C dT/dt = R I^2 - G (T - T_air) - cooling + heating.
 * Left out: heat of reaction (small beside R I^2 at the currents of a truck), heat from the cells' own ageing, and that
 * the cells are not all alike.
 */
#ifndef EVENER_TRUCK_PACK_H
#define EVENER_TRUCK_PACK_H
#include "core/field.h"
#include "core/grid.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ as written */

#define EVN_BATTERY_YEARS_MOST 40 /* of what its file states, and of the condition */

typedef struct evn_resistance_factors_file {
    evn_list temperature_degc, soc; /* soc empty: alike at each */
    evn_list factor;                /* of resistance_ohm; temperature by temperature */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_resistance_factors_file;

typedef struct evn_power_shares_file {
    evn_list temperature_degc, soc; /* soc empty: alike at each */
    evn_list share;                 /* of the limit, for 10 s; temperature by temperature */
    evn_list continuous_share;      /* for any time; empty: as share */
    double recovery_s;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_power_shares_file;

typedef struct evn_battery_ageing_file {
    evn_list years, capacity_factor, resistance_factor;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_battery_ageing_file;

typedef struct evn_battery_cooling_file {
    double heat_kw, coefficient_of_performance, from_degc, full_degc;
} evn_battery_cooling_file;
typedef struct evn_battery_heating_file {
    double heat_kw, efficiency, to_degc, full_degc;
} evn_battery_heating_file;
typedef struct evn_battery_heat_file {
    double heat_capacity_kj_per_k, to_air_w_per_k;
    const evn_battery_cooling_file *cooling; /* NULL: none */
    const evn_battery_heating_file *heating; /* NULL: none */
    double limit_degc, start_degc;           /* NAN: none stated; the air's */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_battery_heat_file;

extern const evn_object evn_resistance_factors_object, evn_power_shares_object, evn_battery_ageing_object,
    evn_battery_heat_object;

/* ------------------------------------------------------------------------------------------------ made ready */

typedef struct evn_pack_limit { /* one direction */
    double limit_w;
    const evn_grid *share, *continuous; /* of limit_w, over state of charge and temperature; NULL: all; as share */
    double recovery_s;
    bool tires; /* what it gives for a short time it does not give for any: there is a state u */
} evn_pack_limit;

/* Cooling or heating, rising smoothly between two temperatures from nothing to the most. */
typedef struct evn_pack_temper {
    double heat_w, from_degc, full_degc; /* heat_w 0: there is none */
    double per_w;                        /* electric power for a watt of it */
} evn_pack_temper;

typedef struct evn_pack_heat {
    bool modelled; /* else it stays at the temperature of the start */
    double capacity_j_k, air_w_k;
    evn_pack_temper cooling, heating;
    double limit_degc; /* INFINITY: none stated */
} evn_pack_heat;

typedef struct evn_pack {
    double capacity_as, resistance_ohm; /* aged; resistance without the factor of temperature and charge */
    evn_curve open_circuit_v;           /* over state of charge */
    evn_curve charge_share;
    evn_pack_limit out, in;
    double minimum_v, maximum_v; /* 0 and INFINITY: none */
    double usable_from, usable_to;
    const evn_grid *resistance; /* logarithm of the factor; see evn_pack_ohm; NULL: 1 */
    evn_pack_heat heat;
    double start_degc;
} evn_pack;

typedef struct evn_battery_file evn_battery_file; /* truck.h */
struct evn_arena;
typedef struct evn_pack_ask {
    double age_years, start_degc, ambient_degc; /* start_degc NAN: the file's own, else the air's */
} evn_pack_ask;
/* False: memory ran out. The age must lie within what the file states (evn_pack_ages_to). */
bool evn_pack_make(evn_pack *, const evn_battery_file *, const evn_pack_ask *, struct evn_arena *);
double evn_pack_ages_to(const evn_battery_file *);  /* years; 0: no ageing is stated */
bool evn_pack_feels_heat(const evn_battery_file *); /* anything of it hangs on its temperature */

/* ------------------------------------------------------------------------------------------------ at an instant */

typedef struct evn_pack_now {
    double soc, degc;
    double out_used, in_used; /* u, discharging and charging; 0 where the pack has no such state */
} evn_pack_now;

/* Power at the terminals in one direction, above zero: for a short time, for any, and now. Voltages are left out. */
typedef struct evn_pack_power {
    double short_w, continuous_w, now_w;
} evn_pack_power;

typedef struct evn_pack_able {
    double open_circuit_v, resistance_ohm;
    evn_pack_power out, in;
    double most_w, charge_w; /* with voltages and the brink: most out, and (above zero) most in */
} evn_pack_able;
evn_pack_able evn_pack_at(const evn_pack *, const evn_pack_now *);

/*
 * Between temperatures the logarithm of the factor follows a curve over -1/T, so that resistance by Arrhenius's law,
 * exp(E/(R_gas T)), is exact with two points.
 */
double evn_pack_ohm(const evn_pack *, double soc, double degc);

/* Power at the terminals above zero: out of the pack. Current for it: I = 2 P/(E + sqrt(E^2 - 4 R P)); NAN beyond
 * E^2/4R. */
double evn_pack_current_a(double resistance_ohm, double open_circuit_v, double terminal_w);
double evn_pack_brink_w(double resistance_ohm, double open_circuit_v); /* the most any load can draw; or INFINITY */

/* du/dt of one direction, with so much power at the terminals in it (below zero: the other way). */
double evn_pack_used_rate_1_s(const evn_pack_limit *, const evn_pack_power *, double used, double power_w);

/* Heat that cooling takes and heating brings, W, and the electric power for both. */
double evn_pack_cooled_w(const evn_pack_heat *, double degc);
double evn_pack_heated_w(const evn_pack_heat *, double degc);
double evn_pack_conditioning_w(const evn_pack_heat *, double degc);
double evn_pack_heat_rate_k_s(const evn_pack_heat *, double degc, double ambient_degc, double loss_w);

/*
 * The law of a charger at a stop: power into the terminals as the least of what is offered there (the connector's limit
 * less what the truck consumes meanwhile), what its current allows, what the pack takes for any time at this charge and
 * temperature, and what keeps the terminals at or below the maximum voltage. Above zero; 0 where nothing is taken.
 */
typedef enum evn_charged_by {
    EVN_CHARGED_BY_OFFER,
    EVN_CHARGED_BY_CURRENT,
    EVN_CHARGED_BY_PACK,
    EVN_CHARGED_BY_VOLTAGE
} evn_charged_by;
typedef struct evn_charging {
    double terminal_w, current_a, terminal_v; /* above zero: into the pack */
    evn_charged_by by;
} evn_charging;
/* offered_a INFINITY: no limit of current. Offers below zero count as none. */
evn_charging evn_pack_charging(const evn_pack *, const evn_pack_now *, double offered_w, double offered_a);

#endif
