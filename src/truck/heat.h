/*
 * The temperatures of a motor and its inverter: their keys (heat_fields.c), their nodes as states of a run, and what
 * follows from them. A further node is a row of `kinds`, its start and its rate in heat.c.
 *
 * A winding gives its heat to the housing where that is stated, else to the coolant; the housing and the inverter to
 * the coolant:
 *   C_w dT_w/dt = P_copper - (T_w - T_h)/R_w,   C_h dT_h/dt = P_other + (T_w - T_h)/R_w - (T_h - T_c)/R_h,
 * each with C = tau/R (textbooks of heat transfer; two nodes of a motor, from memory). Without a housing the winding
 * takes all losses of the motor.
 */
#ifndef EVENER_TRUCK_HEAT_H
#define EVENER_TRUCK_HEAT_H
#include "core/field.h"

typedef struct evn_winding_file {
    double coolant_degc, resistance_k_per_kw, time_constant_s;
    double derate_from_degc, derate_to_degc;
    double start_degc;                                /* NAN: the coolant's */
    double time_constant_low_s, time_constant_high_s; /* its range; both or none, above 0 where stated */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_winding_file;

typedef struct evn_housing_file {
    double resistance_k_per_kw, time_constant_s, start_degc;
    double time_constant_low_s, time_constant_high_s;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_housing_file;

typedef struct evn_inverter_heat_file {
    double coolant_degc; /* NAN: the winding's, where that is stated */
    double resistance_k_per_kw, time_constant_s;
    double derate_from_degc, derate_to_degc, start_degc;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_inverter_heat_file;

extern const evn_object evn_winding_object, evn_housing_object, evn_inverter_heat_object;

/* ---- made ready */
/* Full torque up to one temperature, none from another on, straight between. */
typedef struct evn_derating {
    double from_degc, to_degc;
} evn_derating;

/* Time constants as stated, and at the ends of their range. */
typedef enum evn_heat_pace { EVN_AS_STATED, EVN_AT_LOW, EVN_AT_HIGH, EVN_PACES } evn_heat_pace;

typedef struct evn_node_row {
    const char *name;
    double scale_k; /* an error of this, times the accuracy, is allowed in a step */
} evn_node_row;
enum { EVN_NODES_MAX = 10, EVN_NODE_KINDS = 7 }; /* the first with the oils of a unit, too */

typedef struct evn_heat {
    bool winding, housing, inverter; /* modelled; a winding that is not stays where it starts */
    bool quick;                      /* the inverter follows its loss at once: no node */
    bool ranged;                     /* observers run beside */
    double winding_coolant_degc, inverter_coolant_degc;
    double winding_k_w, housing_k_w, inverter_k_w; /* resistances */
    double winding_s[EVN_PACES], housing_s[EVN_PACES], inverter_s;
    double winding_start_degc, housing_start_degc, inverter_start_degc;
    bool winding_as_coolant, housing_as_coolant, inverter_as_coolant; /* no start temperature of its own is stated */
    evn_derating winding_range, inverter_range;
    size_t nodes, kind[EVN_NODES_MAX], at[EVN_NODE_KINDS]; /* the kind of each node; where a kind stands */
    evn_node_row row[EVN_NODES_MAX];
} evn_heat;

/* A part that is NULL is not modelled: a winding stays at the temperature for which the losses are stated. */
evn_heat evn_heat_of(const evn_winding_file *, const evn_housing_file *, const evn_inverter_heat_file *,
                     double reference_degc);

/* What one motor and its inverter lose, and the temperature of the truck's coolant; NAN: the file's own holds. */
typedef struct evn_heat_gains {
    double copper_w, other_w, inverter_w, coolant_degc;
} evn_heat_gains;

/* ---- nodes: `degc` holds the temperature of each, in their order */
void evn_heat_start(const evn_heat *, double degc[]);
/* The coolant of the truck's loop at the start of a run: parts whose start is not stated begin with it. */
void evn_heat_start_with(evn_heat *, double coolant_degc);
void evn_heat_all_at(const evn_heat *, double value_degc, double degc[]);
void evn_heat_cold(const evn_heat *, double reference_degc, double degc[]); /* each as cold as what cools it */
void evn_heat_rates(const evn_heat *, const double degc[], const evn_heat_gains *, double rate_k_s[]);
/* Of one motor with its inverter; what no node holds goes there at once. */
double evn_heat_to_coolant_w(const evn_heat *, const double degc[], const evn_heat_gains *);

double evn_heat_winding_degc(const evn_heat *, const double degc[], evn_heat_pace); /* where it is hottest */
double evn_heat_housing_degc(const evn_heat *, const double degc[]);                /* NAN: not modelled */
double evn_heat_inverter_degc(const evn_heat *, const double degc[], const evn_heat_gains *);
/* Where these losses bring them in the end. */
double evn_heat_steady_winding_degc(const evn_heat *, const evn_heat_gains *);
double evn_heat_steady_inverter_degc(const evn_heat *, const evn_heat_gains *);

/* ---- derating, copper */
double evn_derating_share(const evn_derating *, double degc); /* of the torque that is left */
double evn_derating_middle_degc(const evn_derating *);
/* Of winding and inverter the least; of a quick inverter nothing is known without the torque. */
double evn_heat_torque_share(const evn_heat *, const double degc[]);
double evn_heat_past_derating_k(const evn_heat *, const double degc[]); /* above zero: one derates; likewise */

/* Factor on the copper loss; 1 where the temperature is not modelled. */
double evn_heat_copper_factor(const evn_heat *, const double degc[], double reference_degc);
/* Copper loss grows with (235 + T)/(235 + T0): IEC 60034-1 (from memory), M4 of the published checks. */
double evn_copper_factor(double winding_degc, double reference_degc);

#endif
