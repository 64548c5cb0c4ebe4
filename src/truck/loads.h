/*
 * What is drawn from the d.c. bus beside the drive units, whole: its keys, and their sum at any instant. A steady
 * power, consumers by cause, and the fan of the radiator. Another law of consumers is a value of evn_consumer_law, its
 * key, its row of `laws` and its power in loads.c.
 */
#ifndef EVENER_TRUCK_LOADS_H
#define EVENER_TRUCK_LOADS_H
#include "core/field.h"
#include "core/ledger.h"
#include "truck/cooling.h"
#include "truck/pack.h"

/* One of a consumer's laws: what makes it draw. */
typedef enum evn_consumer_law {
    EVN_DRAWS_ALWAYS,
    EVN_DRAWS_MOVING,        /* while the truck moves */
    EVN_DRAWS_AFTER_BRAKING, /* a stated energy for each brake application, at a stated power until it is made up for */
    EVN_DRAWS_BY_HEAT,       /* a share of the heat that the radiator carries off */
    EVN_DRAWS_BY_WEATHER,    /* over the temperature of the air */
    EVN_DRAWS_BY_UNITS,      /* for each drive unit that is engaged, while the truck moves */
    EVN_CONSUMER_LAWS
} evn_consumer_law;

enum { EVN_CONSUMERS_MAX = 12 };

typedef struct evn_consumer_file { /* keys of one law; NAN, or an empty list: not of this */
    double constant_kw, moving_kw, brake_application_kj, making_up_kw, heat_rejected_share, engaged_unit_kw;
    evn_list outside_degc, outside_kw;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_consumer_file;
extern const evn_object evn_consumer_object;

typedef struct evn_auxiliaries_file {
    double power_kw;
    evn_many consumers; /* evn_consumer_file */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_auxiliaries_file;
extern const evn_object evn_auxiliaries_object;

typedef struct evn_consumer {
    const char *name;
    evn_consumer_law law;
    double power_w; /* while it draws; of BY_HEAT a share, W per W; of BY_WEATHER at the air of the load case */
    double application_j;
} evn_consumer;

typedef struct evn_loads {
    double auxiliaries_w;  /* steady, all the time */
    evn_fan fan;           /* of the radiator */
    evn_pack_heat battery; /* its cooling and heating */
    evn_consumer consumer[EVN_CONSUMERS_MAX];
    size_t consumer_count;
    unsigned after_braking; /* one bit each: those of that law */
} evn_loads;
/* Names go into the arena. False: memory ran out. Behind the cooling, and for one temperature of the air. */
bool evn_loads_make(const evn_auxiliaries_file *, const evn_cooling *, const evn_pack_heat *, double ambient_degc,
                    struct evn_arena *, evn_loads *);
bool evn_consumers_need_loop(const evn_auxiliaries_file *, size_t *first); /* one goes by the heat rejected */

/* What the laws ask of an instant. */
typedef struct evn_loads_now {
    bool moving;
    unsigned making_up;   /* one bit for each consumer that makes up for brake applications */
    double engaged_units; /* how many are */
    double rejected_w;    /* heat that the radiator carries off */
} evn_loads_now;
double evn_consumer_w(const evn_loads *, size_t consumer, const evn_loads_now *);
/* All consumers by cause together; adds to the line of auxiliaries. */
double evn_consumers_w(const evn_loads *, const evn_loads_now *, evn_flow *);

/* Without them: steady power, fan, and cooling and heating of the battery, W, with the coolant (NAN: no loop) and the
 * battery at a temperature; puts each into its line of the flow. */
double evn_loads_w(const evn_loads *, double coolant_degc, double battery_degc, evn_flow *);

/* What they draw under way, all units engaged, without heat to reject and without braking: for comparing trucks. */
double evn_loads_under_way_w(const evn_loads *, size_t units);

#endif
