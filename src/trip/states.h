/*
 * The states of a run as a table: where each stands, what error it may have, where it starts, its rate. A new state is
 * a name in the list below and a row in states.c; optional ones come last in theirs and leave other runs as they are.
 */
#ifndef EVENER_TRIP_STATES_H
#define EVENER_TRIP_STATES_H
#include "truck/rig.h"

/* Of the truck; energies in J, counted from the start. */
enum {
    EVN_Y_PLACE,    /* m */
    EVN_Y_SPEED,    /* m/s */
    EVN_Y_CHARGE,   /* As taken from the pack */
    EVN_Y_DRAWN,    /* energy out of the pack, inside its resistance, while it discharges */
    EVN_Y_TERMINAL, /* energy at the terminals */
    EVN_Y_ROLLING,
    EVN_Y_AIR,
    EVN_Y_PACK,
    EVN_Y_AUXILIARIES,
    EVN_Y_BRAKES,
    EVN_Y_HELD,    /* work that the motors took at the driven tyres while they slowed the truck */
    EVN_Y_FORGONE, /* loss forgone since a better setting appeared */
    EVN_Y_COOLANT, /* degC; where the truck has a loop */
    EVN_Y_FAN,
    EVN_Y_RETARDER,
    EVN_Y_RESISTOR,
    EVN_Y_HUBS,           /* what the hubs of axles take; not the wheel ends of units */
    EVN_Y_BATTERY,        /* degC; where the file states how the battery heats */
    EVN_Y_DISCHARGE_USED, /* used up of its power for 10 s (truck/pack.h), where that and the continuous one differ */
    EVN_Y_CHARGE_USED,
    EVN_Y_CONDITIONING, /* cooling and heating of the battery */
    EVN_Y_TAKEOFF,
    EVN_Y_TAKEOFF_GEAR, /* of one with a motor of its own: what gears, motor and inverter lose */
    EVN_Y_TAKEOFF_MOTOR,
    EVN_Y_TAKEOFF_INVERTER,
    EVN_Y_TYRES,    /* degC; where the load case asks how rolling resistance goes with temperature */
    EVN_Y_CHARGING, /* energy from a connector, below zero; in stops that charge */
    EVN_Y_COUNT
};
/* Of each drive unit, behind the temperatures of its nodes (truck/unit.h). */
enum {
    EVN_U_BUS, /* energy the unit took from the bus */
    EVN_U_SLIP,
    EVN_U_WHEEL_END,
    EVN_U_FINAL_DRIVE,
    EVN_U_SHAFTS,
    EVN_U_GEARBOX,
    EVN_U_MOTOR,
    EVN_U_INVERTER,
    EVN_U_COUNT
};
enum {
    EVN_Y_MOST = EVN_Y_COUNT + EVN_UNITS_MAX * (EVN_NODES_MAX + EVN_U_COUNT) + 2 * EVN_AXLES_MAX + EVN_CONSUMERS_MAX
};

struct evn_trip;
struct evn_instant;
/* One of the truck that applies: where it stands, and its rate: of a line of the ledger where there is no function. */
typedef struct evn_truck_state {
    size_t at, row;
    int line;
    double (*rate)(const struct evn_trip *, const struct evn_instant *);
} evn_truck_state;

/* Where the states of a rig's runs stand. */
typedef struct evn_states {
    const evn_rig *rig;
    size_t count;
    size_t at[EVN_Y_COUNT]; /* EVN_Y_MOST: it does not apply to this rig; those that always do stand at their number */
    evn_truck_state truck[EVN_Y_COUNT];
    size_t trucks;
    size_t nodes_at[EVN_UNITS_MAX]; /* the temperatures of a unit */
    size_t unit_at[EVN_UNITS_MAX];  /* its other states */
    /* Of the axles' friction brakes (axle_brakes.h), the first of them; EVN_Y_MOST: the axle has none. */
    size_t axle_brakes_at, axle_brake_j_at[EVN_AXLES_MAX], axle_brake_degc_at[EVN_AXLES_MAX];
    size_t consumers_at; /* energies of consumers by cause, one each */
} evn_states;
evn_states evn_states_of(const evn_rig *);
evn_states evn_states_of_charging(const evn_rig *); /* of a stop that charges */

/*
 * What one run leaves to the next, of the same truck with whatever payload: the charge, and all that is no energy, way
 * or speed, as temperatures are. The others stay as they are.
 */
void evn_states_carry(const evn_states *from, const double *y, const evn_states *to, double *then);

/*
 * Error that a step may have in each; of energies and charge only a share of what it may be later on, while little
 * energy has moved: so that the ledger of a short run closes as well as that of a long one. And where they begin.
 */
void evn_states_tolerance(const evn_states *, double accuracy, double energy_share, double tolerance[]);
double evn_states_energy_share(const double *y); /* above 0, at most 1 */
void evn_states_start(const evn_states *, double y[]);

/* Which of them an integrator may sum up beside the others, without holding their errors against bounds. */
void evn_states_aside(const evn_states *, bool aside[]);

/* The temperatures of a unit, in the order of its nodes. */
static inline const double *evn_states_degc(const evn_states *s, const double *y, size_t unit)
{
    return y + s->nodes_at[unit];
}
/* That of the coolant; NAN: the truck has no loop. */
static inline double evn_states_coolant_degc(const evn_states *s, const double *y)
{
    return s->at[EVN_Y_COOLANT] < EVN_Y_MOST ? y[s->at[EVN_Y_COOLANT]] : (double)NAN;
}
/* A state that not every truck has; 0: this one has not. */
static inline double evn_states_if_there(const evn_states *s, const double *y, int state)
{
    return s->at[state] < EVN_Y_MOST ? y[s->at[state]] : 0;
}
/* That of the battery; where it is not modelled that of the start. */
static inline double evn_states_battery_degc(const evn_states *s, const double *y)
{
    return s->at[EVN_Y_BATTERY] < EVN_Y_MOST ? y[s->at[EVN_Y_BATTERY]] : s->rig->pack.start_degc;
}
/* That of the tyres; NAN: not modelled. And how far they are below warm ones, 0 where they are not. */
static inline double evn_states_tyre_degc(const evn_states *s, const double *y)
{
    return s->at[EVN_Y_TYRES] < EVN_Y_MOST ? y[s->at[EVN_Y_TYRES]] : (double)NAN;
}
static inline double evn_states_tyres_below_k(const evn_states *s, const double *y)
{
    return s->at[EVN_Y_TYRES] < EVN_Y_MOST ? s->rig->tyres.warm_degc - y[s->at[EVN_Y_TYRES]] : 0;
}
static inline size_t evn_states_unit(const evn_states *s, size_t unit, size_t state)
{
    return s->unit_at[unit] + state;
}

/* What the states hold of a line of the ledger, J: of the truck's own, and of one of a unit's. */
double evn_states_line_j(const evn_states *, const double *y, int line);
double evn_states_unit_line_j(const evn_states *, const double *y, size_t unit, int line);

/* "speed, m/s", "rear.winding, degC": the name of a place in the vector, and its unit. Returns `out`. */
enum { EVN_STATE_NAME_BYTES = 120 };
const char *evn_states_name(const evn_states *, size_t at, char out[EVN_STATE_NAME_BYTES]);

/* The right-hand side; `trip` is an evn_trip. False: one is not finite; trip->lost_state is the first of
 * those in the vector. */
bool evn_trip_rate(double t, const double *y, double *dy, void *trip);

#endif
