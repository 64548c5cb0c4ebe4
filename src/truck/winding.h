/*
 * The temperatures of a motor's winding, whole: its keys, its nodes as states of a run, and what follows from them. A
 * further node is a row of `nodes`, its start and its rate in winding.c.
 */
#ifndef EVENER_TRUCK_WINDING_H
#define EVENER_TRUCK_WINDING_H
#include "core/field.h"

typedef struct evn_winding_file {
    double coolant_degc, resistance_k_per_kw, time_constant_s;
    double derate_from_degc, derate_to_degc;
    double start_degc; /* NAN: the coolant's */
} evn_winding_file;
extern const evn_object evn_winding_object;

/* C dT/dt = loss - (T - coolant)/R, with tau = R C. Not modelled: the temperature stays where it starts. */
typedef struct evn_winding {
    bool modelled, starts_with_coolant;
    double coolant_degc, resistance_k_w, time_constant_s, derate_from_degc, derate_to_degc, start_degc;
} evn_winding;

/* NULL: not modelled, and stays at the temperature for which the losses are stated. */
evn_winding evn_winding_of(const evn_winding_file *, double reference_degc);

/* ---- nodes: `degc` holds the temperature of each, in their order */
enum { EVN_NODES_MAX = 4 };
typedef struct evn_node_row {
    const char *name;
    double scale_k; /* an error of this, times the accuracy, is allowed in a step */
} evn_node_row;
size_t evn_winding_nodes(const evn_winding *, const evn_node_row **rows);
void evn_winding_start(const evn_winding *, double degc[]);
/* The coolant of the truck's loop at the start of a run: where no start temperature is stated it is the winding's too.
 */
void evn_winding_start_with(evn_winding *, double coolant_degc);
/* K/s, from the loss of one motor. coolant_degc: NAN: the winding's own. */
void evn_winding_rates(const evn_winding *, const double degc[], double coolant_degc, double loss_w, double rate_k_s[]);
double evn_winding_to_coolant_w(const evn_winding *, const double degc[], double coolant_degc); /* of one motor */
double evn_winding_degc(const evn_winding *, const double degc[]); /* of the copper where it is hottest */

/* ---- derating: full torque up to one temperature, none from another on, straight between */
double evn_winding_torque_share(const evn_winding *, const double degc[]);
double evn_winding_past_derating_k(const evn_winding *, const double degc[]); /* above zero: it derates */
/* Loss of one motor that the coolant carries off with the winding where derating begins; NAN: not modelled. */
double evn_winding_continuous_w(const evn_winding *);

/* Factor on the copper loss; 1 where the temperature is not modelled. */
double evn_winding_copper_factor(const evn_winding *, const double degc[], double reference_degc);
/* Copper loss grows with (235 + T)/(235 + T0): IEC 60034-1 (from memory), M4 of the published checks. */
double evn_copper_factor(double winding_degc, double reference_degc);

#endif
