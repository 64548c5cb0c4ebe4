/*
 * Prices of trucks, of what they take and of what is earned with them, as they are written (MONEY.md): a kind of file
 * of its own. All amounts are in one currency, whose label is the file's; those of another are turned into it by a rate
 * that the file states.
 */
#ifndef EVENER_MONEY_PRICES_H
#define EVENER_MONEY_PRICES_H
#include "core/arena.h"
#include "core/field.h"
#include "evener/payback.h"

/* Classes of parts that a truck is bought of beside its base: X(key, what it is). Steps of a path bear the names that
 * they have there. */
#define EVN_PART_CLASSES(X)                                                                                            \
    X(motor, "motors without their inverters; per_kw of peak power")                                                   \
    X(inverter, "inverters, one of each motor; per_kw of its peak power")                                              \
    X(gearbox, "gearboxes; per_kw of the motors before them")                                                          \
    X(mesh, "pairs of gears; per_kw of the motors before them, as of all parts of a path")                             \
    X(planet_set, "planet sets")                                                                                       \
    X(universal_joint, "universal joints")                                                                             \
    X(propeller_shaft, "propeller shafts")                                                                             \
    X(centre_bearing, "centre bearings")                                                                               \
    X(final_drive, "final drives with their differential")                                                             \
    X(differential, "differentials, alone or with gears")                                                              \
    X(disconnect, "disconnects")                                                                                       \
    X(takeoff, "what drive units offer to power take-offs")                                                            \
    X(axle, "axles of the truck without gears: beam, hubs, brakes, suspension")                                        \
    X(battery, "the battery; per_kwh between 0 and 1 of state of charge, new")                                         \
    X(cooling, "the coolant loop, where a truck states one")                                                           \
    X(retarder, "retarders; per_kw of their power limit")                                                              \
    X(brake_resistor, "brake resistors; per_kw of their power")

typedef enum evn_part_class {
#define X(key, what) EVN_CLASS_##key,
    EVN_PART_CLASSES(X)
#undef X
        EVN_CLASS_COUNT
} evn_part_class;
extern const char *const evn_part_class_names[]; /* as the keys of `parts`; ends with NULL */

typedef struct evn_part_price_file {      /* of one part; what is stated adds up */
    double each, per_kw, per_kwh, per_kg; /* NAN: not stated; at least one is */
    double maintenance_per_km;
    const char *currency; /* NULL: the file's */
    const char *source;
} evn_part_price_file;

typedef struct evn_part_prices_file {
    const evn_part_price_file *of[EVN_CLASS_COUNT]; /* NULL: not stated */
} evn_part_prices_file;

typedef struct evn_tariff_file { /* from each hour of the day to the next, the last on to the first */
    evn_list from_h, price_per_kwh;
} evn_tariff_file;

typedef struct evn_charging_place_file {
    double price_per_kwh;          /* NAN: the tariff's */
    const evn_tariff_file *tariff; /* NULL: one price all day */
    double charging_from_h, charging_to_h;
    double charger_efficiency;
    double connector_kw; /* at the battery's terminals; NAN: not stated, the battery's loss is left out */
    double demand_charge_per_kw_year;
    const char *currency, *source;
} evn_charging_place_file;

typedef struct evn_energy_prices_file {
    const evn_charging_place_file *depot, *stops; /* the second NULL: none */
} evn_energy_prices_file;

typedef struct evn_tyre_price_file {
    double each, life_km;
    const char *currency, *source;
} evn_tyre_price_file;

typedef enum evn_tyre_place {                    /* where a truck has tyres */
                              EVN_TYRES_STEERED, /* the front axle, where it is not driven */
                              EVN_TYRES_DRIVEN,
                              EVN_TYRES_CARRYING, /* every other axle of the truck */
                              EVN_TYRES_TRAILER,
                              EVN_TYRE_PLACES
} evn_tyre_place;
extern const char *const evn_tyre_place_names[];

typedef struct evn_tyre_prices_file {
    const evn_tyre_price_file *of[EVN_TYRE_PLACES]; /* NULL: not stated */
} evn_tyre_prices_file;

typedef struct evn_cell_ageing_file {
    double cell_degc, cell_v;
    double calendar_factor, cycle_factor;
    double end_share;           /* of the new capacity, at which it is replaced */
    double replacement_per_kwh; /* NAN: as the battery is bought */
    const char *source;
} evn_cell_ageing_file;

typedef struct evn_residual_file { /* loss of value a year, of what is left */
    double truck_loss_percent, battery_loss_percent;
    const char *source;
} evn_residual_file;

typedef struct evn_running_file {
    double maintenance_per_km; /* of what all trucks have */
    double insurance_per_year, insurance_percent;
    double vehicle_tax_per_year, toll_per_km, driver_per_h;
    const char *source;
} evn_running_file;

typedef struct evn_subsidy_file {
    double amount, percent, most; /* the last NAN: as much as comes out */
    const char *source;
} evn_subsidy_file;

typedef struct evn_payload_value_file {
    double per_t_km, limited_share;
    const char *source;
} evn_payload_value_file;

typedef struct evn_prices_file {
    const char *name, *source;
    bool invented;
    const char *currency;
    evn_numbers exchange_rates; /* what one unit of another currency is worth */
    double interest_percent, years;
    double annual_km;             /* NAN: the duty's working days times its day */
    double working_days_per_year; /* where the duty states none */
    double base_price;
    evn_numbers base_prices; /* by the names of trucks in the lineup, instead of it */
    double purchase_tax_percent;
    const evn_subsidy_file *subsidy; /* defaulted */
    const evn_part_prices_file *parts;
    const evn_energy_prices_file *energy;
    const evn_tyre_prices_file *tyres;
    const evn_cell_ageing_file *battery_ageing; /* NULL: never replaced */
    const evn_residual_file *residual;          /* NULL: nothing is left */
    const evn_running_file *running;
    const evn_payload_value_file *payload; /* NULL: what is not carried costs nothing */
    evn_many uncertain;                    /* evn_uncertain_file */
} evn_prices_file;

extern const evn_object evn_prices_object;
/* As they are read to be held against trucks, which may miss a price that `uncertain` names: what is absent of that is
 * said by evn_prices_uncertain_fit, once no truck misses any. */
extern const evn_object evn_prices_for_trucks_object;

/* Rows of where its values stand, for what is wrong with it beside a lineup. */
typedef struct evn_price_places {
    const struct evn_value *at;
    size_t count;
} evn_price_places;

struct evn_prices { /* behind the public handle */
    evn_arena *arena;
    const evn_prices_file *file;
    evn_price_places places;
};

/* What an amount is to be multiplied with; 1 for the file's own (NULL or its label), NAN: no rate for it. */
double evn_exchange_rate(const evn_prices_file *, const char *currency);

/* Says what is wrong at a key; where it is not written, at what holds it. */
void evn_prices_say(const evn_price_places *, const char *path, evn_fault, evn_report *, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* All that `uncertain` names is there. False: said. */
bool evn_prices_uncertain_fit(const evn_prices_file *, const evn_price_places *, evn_report *);

#endif
