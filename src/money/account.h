/*
 * What a truck costs: everything that it is bought for, takes in a year and leaves behind, from prices, what it is
 * bought of and what it takes on its day. Structs in, numbers out: nothing is driven here (MONEY.md).
 */
#ifndef EVENER_MONEY_ACCOUNT_H
#define EVENER_MONEY_ACCOUNT_H
#include "money/ageing.h"
#include "money/flow.h"
#include "money/turning.h"
#include "money/use.h"

/* Rows of the breakdown of costs per km, in the order in which they are told. */
typedef enum evn_cost {
    EVN_COST_BASE, /* base and axles, tax and subsidy, less what is left of the truck */
    EVN_COST_DRIVE,
    EVN_COST_BATTERY, /* with replacements, less what is left of it */
    EVN_COST_ENERGY,
    EVN_COST_DEMAND,
    EVN_COST_MAINTENANCE,
    EVN_COST_TYRES,
    EVN_COST_INSURANCE,
    EVN_COST_TAX_AND_TOLL,
    EVN_COST_DRIVER,
    EVN_COST_PAYLOAD,
    EVN_COST_COUNT
} evn_cost;
extern const char *const evn_cost_labels[EVN_COST_COUNT];
extern const char *const evn_cost_keys[EVN_COST_COUNT]; /* behind "per_km." */

typedef struct evn_account_ask {
    const evn_prices_file *prices;
    const char *name; /* of the truck in the lineup */
    const evn_bought *bought;
    const evn_use *use;
    double annual_km;
    unsigned years;
    double may_carry_most_t;    /* of all trucks */
    double price_more;          /* added to the price of its drive, for what turns an answer */
    double energy_price_factor; /* times all prices of energy; 1: as they are */
} evn_account_ask;

typedef struct evn_account {
    double rate;
    double class_price[EVN_CLASS_COUNT], base_price;
    double drive_price, battery_price, price; /* of all but base, axles and battery; of that; of all */
    double tax, subsidy, invested;

    double days;                                          /* of the duty that a year's distance comes to */
    double pack_efficiency, depot_day_kwh, stops_day_kwh; /* from the grid */
    double depot_price_per_kwh, stops_price_per_kwh;
    double energy, demand_kw, demand, maintenance_per_km, maintenance, tyres_per_km, tyres, insurance, vehicle_tax,
        toll, driver, lost_t, payload;
    double yearly; /* all of them */
    double hours;  /* of a year: days with their stops, and charging at the depot where its power is stated */

    double full_cycles, capacity_end, years_to_replacement; /* INFINITY: never; of a battery when new */
    unsigned replacements, replaced[EVN_FLOW_MOST];         /* all; paid for at the end of each year */
    double last_replaced;                                   /* after so many years; 0: never */
    double lowest_capacity, lowest_after; /* the least that any battery comes to, and after how many years of it */
    double replacement;                   /* price of one */
    double residual_truck, residual_battery;

    double flow[EVN_FLOW_MOST];            /* what is paid: below zero */
    double present_cost, per_km, per_t_km; /* the last NAN: nothing is carried */
    double part_per_km[EVN_COST_COUNT];
} evn_account;

void evn_account_of(const evn_account_ask *, evn_account *out);

/* Whether its subsidy is at its most, so that no dearer truck has more. */
bool evn_account_subsidy_at_most(const evn_account *, const evn_prices_file *);
/* What the present value of all its costs gains with each unit of price: tax, subsidy, insurance and what is left. */
double evn_account_per_price(const evn_account *, const evn_prices_file *, unsigned years);

/* Mean price of energy over the hours of charging. */
double evn_place_price(const evn_prices_file *, const evn_charging_place_file *);
double evn_place_hours(const evn_charging_place_file *); /* of charging a day */

/* Energy within the battery over that at its terminals while it is charged with so much power: from P = E I + R I^2. */
double evn_pack_charging_efficiency(double open_circuit_v, double resistance_ohm, double terminal_kw);

/* ------------------------------------------------------------------------------------------------ against the first */

typedef struct evn_against {
    double invested;            /* more than the first */
    double flow[EVN_FLOW_MOST]; /* the first's costs less these: what is saved is above zero */
    evn_paid_back simple, discounted;
    double present_value;
    evn_rates_of_return rates;
    double turns_at_price;        /* extra price; NAN: none */
    double turns_at_energy_price; /* of the depot, all prices of energy in proportion; NAN: none, below 0: at none */
    evn_turns turns_at_km;        /* a year */
} evn_against;

void evn_account_against(const evn_account_ask *first, const evn_account_ask *, evn_against *out);

/* Of it the net present value alone; and the factor on all prices of energy at which that is 0, straight in it. NAN: no
 * factor does; below 0: at no price. */
double evn_account_value_against(const evn_account_ask *first, const evn_account_ask *);
double evn_account_turning_factor(const evn_account_ask *first, const evn_account_ask *);
/* By how much the price of the second would have to rise for that to be 0; NAN: no price does. */
double evn_account_turning_rise(const evn_account_ask *first, const evn_account_ask *);

/* By how much a truck's price may rise where so much is `saved` within some years, so that nothing of it is left:
 * price, tax, insurance of these years and subsidy. The last meets its most on the way, or comes down from it, at
 * `to_most` (as evn_account_price_to_most); NAN: it does not. */
double evn_account_rise_for(const evn_account *, const evn_prices_file *, double saved, unsigned years,
                            double *to_most);
/* By how much the price has to rise for the subsidy to meet its most; below zero: it is there. NAN: it has none, or
 * does not go by the price. */
double evn_account_price_to_most(const evn_account *, const evn_prices_file *);

/* The extra price with which the second pays back simply in so many years, fewer than it is kept; NAN: not fewer. */
double evn_account_price_for(const evn_account_ask *first, const evn_account_ask *, unsigned years);

/* Whether two costs per km are alike within what their digits deserve. */
bool evn_costs_alike(double per_km, double other_per_km);

/* Distances a year between which turns are looked for. */
#define EVN_TURNS_FROM_KM 1000
#define EVN_TURNS_TO_KM 400000

#endif
