/*
 * payback.h: what the dearer of several trucks earns, year by year: prices as files, and trucks of a lineup held
 * against its first with them. How costs, ageing and values are worked out stands in src/money/MONEY.md of the source
 * tree.
 */
#ifndef EVENER_PAYBACK_H
#define EVENER_PAYBACK_H

#include "evener/duty.h"
#include "evener/evener.h"
#include "evener/likeness.h"
#include "evener/uncertainty.h"
#include "evener/values.h"

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct evn_prices evn_prices; /* as read, checked */

/* As evn_truck_load; values set beside the files are for trucks. NULL in `out` where the file does not do (said). */
EVN_API evn_status evn_prices_load(const char *path, evn_prices **out, evn_report *);
EVN_API void evn_prices_free(evn_prices *);

EVN_API const char *evn_prices_name(const evn_prices *);
EVN_API const char *evn_prices_source(const evn_prices *);   /* where they come from; NULL: not said */
EVN_API bool evn_prices_invented(const evn_prices *);        /* the file marks them as invented */
EVN_API const char *evn_prices_currency(const evn_prices *); /* label of the currency of all amounts */

/* On which battery trucks are held against each other. */
typedef enum evn_payback_basis {
    EVN_PAYBACK_AS_LINEUP,    /* each with the battery that its file states */
    EVN_PAYBACK_LEAST_BATTERY /* each with the smallest that does the day in every season in its own worst state */
} evn_payback_basis;

enum { EVN_PAYBACK_TRIES_MOST = 4 };

/* All zero does. */
typedef struct evn_payback_how {
    double annual_km;    /* 100 to 1000000; 0: as the prices say, else the duty's days */
    unsigned years;      /* 1 to 40; 0: as the prices say */
    bool only_as_lineup; /* no other battery is looked for */
    /* How sure it is: so many draws of what errs in the prices, 16 to 65536; 0: none. The same seed gives the same. */
    size_t draws;
    uint64_t seed;
    double energy_percent; /* by which the energy of each other truck may be off against the first, 0 to 50: half width
                              of a normal distribution (two standard uncertainties), of its own energy; not beside
                              `physics` */
    /* For draws: what trucks, lineup and `beside` state of how far their values may be off counts too, by first order
     * of each truck's day in the lineup's season. Takes evn_payback_physics_runs. */
    bool physics;
    const evn_uncertainties *beside; /* goes before what trucks and lineup state; NULL: none. For `physics` */
    /* For the least battery: so many ways in which the duty's charging stops are tried beside as they are stated,
     * longer by so many minutes (above 0 to 600) and with connectors of so many kW (1 to 10000), all together. Each
     * truck's is that of least cost per km, its driver's time and a battery for it counted. */
    const double *longer_min, *stop_kw;
    size_t longer_count, power_count; /* up to EVN_PAYBACK_TRIES_MOST each; 0: as stated */
    size_t threads;                   /* the results are the same bytes; 0: as many as processors */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as in evn_compare_how */
} evn_payback_how;

typedef struct evn_payback evn_payback;

/*
 * Drives the day of the lineup's duty, or its cycle, with each of its trucks, made equal as the lineup says, in all
 * seasons, and works out what each costs. `how` may be NULL. EVN_DONE, or EVN_ANSWER_NO where a truck does not come to
 * the end of its day or no battery of another size does it ("not_finished"), or its day does not come to what the duty
 * demands ("demand_not_met"), the others being there none the less; EVN_NO_RESULT ("interrupted") with what is there in
 * `out`, and what is not of status "interrupted". NULL in `out` only where prices, ask or duty do not do (a part
 * without a price: "missing_key"), trucks cannot be made equal, the work was stopped before a truck had come to the end
 * of its day, or memory is out. Lineup and prices must outlive it.
 */
EVN_API evn_status evn_payback_find(const evn_lineup *, const evn_prices *, const evn_conditions *,
                                    const evn_payback_how *how, evn_payback **out, evn_report *);
/*
 * The same trucks over the same days with other prices, another distance or other years: nothing is driven, so that it
 * takes some milliseconds. `driven` must outlive it, beside what that needs. Batteries of another size are those that
 * were found; where law of ageing, years or distance would have had others of a truck, it is "not_asked" on that basis.
 * Draws with `physics` take what was found of it, and are refused ("usage") where nothing was; `beside` and `threads`
 * mean nothing. EVN_DONE, or what does not do: NULL in `out` then.
 */
EVN_API evn_status evn_payback_again(const evn_payback *driven, const evn_prices *, const evn_payback_how *how,
                                     evn_payback **out, evn_report *);
/*
 * The same at one of the distances of advice, or any from 100 to 1000000 km: same trucks, days, batteries and prices,
 * no draws. So each figure of an advice can be audited too. `driven` and all that it needs must outlive it. EVN_DONE,
 * or what does not do: NULL in `out` then.
 */
EVN_API evn_status evn_payback_at_distance(const evn_payback *driven, double annual_km, evn_payback **out,
                                           evn_report *);
/*
 * The same with another of the ways of stopping that were tried for a truck's least battery (evn_payback_try_at), what
 * is not carried counted against the same payload: so each figure of its cost can be audited too. `driven` and all that
 * it needs must outlive it. EVN_DONE, or NULL in `out` where there is no such way or it has no costs ("out_of_range").
 */
EVN_API evn_status evn_payback_with_stops(const evn_payback *driven, size_t truck, size_t tried, evn_payback **out,
                                          evn_report *);
EVN_API void evn_payback_free(evn_payback *);

/* How many runs over the distinct legs and stops of the day (all of them where stops charge) the physics takes; 0 where
 * what the files state cannot be (evn_payback_find says why) or memory is out. `beside` may be NULL. */
EVN_API size_t evn_payback_physics_runs(const evn_lineup *, const evn_uncertainties *beside);

EVN_API size_t evn_payback_truck_count(const evn_payback *);
EVN_API double evn_payback_annual_km(const evn_payback *); /* that was reckoned with */
EVN_API unsigned evn_payback_years(const evn_payback *);

EVN_API bool evn_payback_partial(const evn_payback *); /* stopped before all was done */

/* The stops of the day at which it charges, as the duty states them; for the least battery they may be others where
 * such are tried (evn_payback_try_at). False: no more. */
typedef struct evn_payback_stop {
    const char *name;
    size_t times;        /* a day */
    double duration_min; /* NAN: until it has charged so much */
    double connector_kw; /* the most over the state of charge */
    double until_soc;    /* NAN: as far as the battery allows */
} evn_payback_stop;
EVN_API bool evn_payback_stop_at(const evn_payback *, size_t index, evn_payback_stop *out);

/* A way of stopping that was tried for a truck's least battery, "how" having asked for such. False: no more. */
typedef struct evn_payback_try {
    double longer_min;          /* than the duty states, of each stop that charges */
    double connector_kw;        /* NAN: as the duty states */
    const char *status;         /* as evn_payback_status */
    double battery_kwh, per_km; /* NAN: no costs */
    bool chosen;                /* it costs least */
} evn_payback_try;
EVN_API bool evn_payback_try_at(const evn_payback *, size_t truck, size_t index, evn_payback_try *out);

/* What a truck was given to be equal to the first. False: no such truck, or it was not driven. */
EVN_API bool evn_payback_equalised(const evn_payback *, size_t truck, evn_equalised *out);

/* What came of a truck on a basis: "finished", or why there are no costs of it: as evn_results_status of its day; of
 * batteries "no_battery", "a_cycle" (which is no day) or "not_asked". NULL: no such truck. */
EVN_API const char *evn_payback_status(const evn_payback *, size_t truck, evn_payback_basis);

/* What the duty demands of its day, in the season in which that is least kept. False: no more. */
EVN_API bool evn_payback_demand_at(const evn_payback *, size_t truck, evn_payback_basis, size_t index,
                                   evn_day_demand *out);
EVN_API bool evn_payback_meets_demands(const evn_payback *, size_t truck, evn_payback_basis); /* all of them */

/*
 * Every figure of a truck on a basis, in the order in which one follows from others; of all but the first truck also
 * those against the first ("extra.", in which "first." is the first truck's), and of the best those against the next
 * ("advice.", in which "next." is that one's). Each can be audited: by a formula of
 * other figures, as src/core/formula.h has it, or by what it comes from.
 */
typedef struct evn_payback_figure {
    evn_quantity what;   /* unit with the currency's label where it is an amount */
    double value;        /* NAN: there is none, as of a payback that never is */
    const char *formula; /* "{energy.depot.day_kwh} * {days}"; NULL: none */
    const char *from;    /* without a formula: where it comes from, or how it is found; else NULL */
} evn_payback_figure;
EVN_API bool evn_payback_figure_at(const evn_payback *, size_t truck, evn_payback_basis, size_t index,
                                   evn_payback_figure *out);
EVN_API bool evn_payback_get(const evn_payback *, size_t truck, evn_payback_basis, const char *key, double *value);
enum { EVN_PAYBACK_KEY_BYTES = 128 };
/* The index-th value that the formula of a figure names, each once, with its key. False: no more. */
EVN_API bool evn_payback_input_at(const evn_payback *, size_t truck, evn_payback_basis, size_t figure, size_t index,
                                  char key[EVN_PAYBACK_KEY_BYTES], double *value);

/* How sure it is that a truck pays against the first, of the draws: the net present value that 5, 50 and 95 % of them
 * lie below, and the share of them in which it is above zero. False: no draws, or no such truck. */
typedef struct evn_payback_sure {
    size_t draws;
    double low, median, high;
    double pays;
} evn_payback_sure;
EVN_API bool evn_payback_sure_of(const evn_payback *, size_t truck, evn_payback_basis, evn_payback_sure *out);
/* Share of the draws in which it has paid back, simply and for good, after so many years, 0 to those looked at. */
EVN_API bool evn_payback_within(const evn_payback *, size_t truck, evn_payback_basis, unsigned years, double *share);
/* What has been saved against the first by the end of a year, each flow discounted at the interest of the prices: what
 * 5, 50 and 95 % of the draws lie below; 0: at the beginning. That of the last year is the net present value. */
typedef struct evn_payback_band {
    double low, median, high;
} evn_payback_band;
EVN_API bool evn_payback_band_at(const evn_payback *, size_t truck, evn_payback_basis, unsigned year,
                                 evn_payback_band *out);
/* The physics, where it counts. False: it does not, or it was stopped before it was done. */
typedef struct evn_payback_physics {
    size_t data;        /* of the trucks that err */
    size_t runs;        /* that it took */
    size_t lost;        /* of them in which a truck did not come to the end of its day: the other side counts alone */
    const char *season; /* of the duty in which they were; NULL: it has none */
} evn_payback_physics;
EVN_API bool evn_payback_physics_of(const evn_payback *, evn_payback_physics *out);

/* By how much the battery energy of a truck's day in that season differs from the first's, in per cent of that: as they
 * are, and its expectation, standard uncertainty and 90 % interval by first order, of a normal distribution. False:
 * without the physics, of the first truck, or where the first takes none. */
typedef struct evn_payback_energy {
    double is_percent, mean_percent, standard_percent, low_percent, high_percent;
} evn_payback_energy;
EVN_API bool evn_payback_energy_of(const evn_payback *, size_t truck, evn_payback_energy *out);

/* What errs, the largest share first. */
typedef struct evn_payback_cause {
    const char *label; /* of the prices' `uncertain`, "energy use": how far a truck's may be off, or of a datum of the
                          trucks */
    double value;      /* by which one standard uncertainty moves the net present value */
    double share;      /* of the variance, by first order */
} evn_payback_cause;
EVN_API bool evn_payback_cause_at(const evn_payback *, size_t truck, evn_payback_basis, size_t index,
                                  evn_payback_cause *out);

/* Which to buy at a distance a year: 60 000, 120 000, 250 000 km and that which was reckoned with, rising. Trucks that
 * do not meet what the duty demands are out of it. */
typedef struct evn_payback_advice {
    double annual_km;
    size_t best;   /* the truck of least cost per km, of those whose battery suffices and that do the year alone */
    double per_km; /* its cost */
    size_t next;   /* the one after it; SIZE_MAX: none */
    double next_per_km;
    /* How many others cost as much as the best, within what the digits of a cost deserve: 0.00005 of it, at least
     * 0.00005 per km. The best is then the first of them in the lineup's order, and none is to be preferred. */
    size_t alike;
    /* What the best is bought for beyond the next, and at which of that the answer turns to the next; NAN: none. */
    double extra_price, turns_at_extra_price;
    /* Of the best, mean of all days of a calendar year: its days of the duty with stops, and charging at the depot
     * where the prices state a power. More than 24: one truck cannot, and `trucks` says how many do it; 1 otherwise.
     * What a kilometre costs is then that of a truck that could. */
    double hours_a_day;
    double trucks;
    /* Its least battery was found for the distance of the answer and comes to less here than it was sized for: it does
     * not do the day at its end, and none is to be bought so. Only where no other suffices. */
    bool battery_short;
} evn_payback_advice;
EVN_API bool evn_payback_advice_at(const evn_payback *, evn_payback_basis, size_t index, evn_payback_advice *out);

/* Why: by how much the cost of the best is below that of the next (above: less than 0), by what it is for; the largest
 * first. All of them add up to the difference. False: no more. */
typedef struct evn_payback_reason {
    const char *label; /* "energy" */
    double per_km;
} evn_payback_reason;
EVN_API bool evn_payback_reason_at(const evn_payback *, evn_payback_basis, size_t advice, size_t index,
                                   evn_payback_reason *out);

/* Of a truck against the first at one of these distances: its cost, and by which extra price (of what it is bought for
 * beyond the first, battery included) the answer turns. False: no such, or one of them has no costs. */
typedef struct evn_payback_turn {
    double per_km, extra_price; /* as it is */
    double turns_at_extra_price;
    double payback_years;         /* simple; NAN: not within the years */
    double energy_price;          /* of the depot, as it is */
    double turns_at_energy_price; /* all prices of energy in proportion; NAN, or below 0: at none */
} evn_payback_turn;
EVN_API bool evn_payback_turn_at(const evn_payback *, evn_payback_basis, size_t index, size_t truck,
                                 evn_payback_turn *out);

/*
 * A saying of the trade beside it, as a view and no target (common practice, no source): a fleet of 150 000 km a year
 * or more recovers an electric axle's extra price in one to two years. Of a truck against the first at that distance:
 * its extra price, and those with which it would pay back simply in one year and in two; NAN: the years are not more.
 * False: no such, or one of them has no costs.
 */
typedef struct evn_payback_saying {
    double annual_km, extra_price;
    double in_one_year, in_two_years;
} evn_payback_saying;
EVN_API bool evn_payback_saying_of(const evn_payback *, size_t truck, evn_payback_basis, evn_payback_saying *out);

/* The field of distances a year and prices of energy: 20 000 to 300 000 km in even steps, and 0.25 to 2 times the price
 * at the depot as it is, all prices of energy in proportion. Which truck costs least in each cell of it; trucks that do
 * not meet what the duty demands are out of it. False: no such cell, energy costs nothing as it is, or no two trucks
 * have costs. */
enum { EVN_PAYBACK_FIELD_DISTANCES = 15, EVN_PAYBACK_FIELD_PRICES = 8 };
typedef struct evn_payback_cell {
    double annual_km, energy_price; /* of the depot */
    size_t best;                    /* SIZE_MAX: no truck does what the duty demands */
    double per_km;                  /* its cost; NAN: none */
    bool alike;                     /* another costs as much, as in advice */
    double hours_a_day;             /* of the best, as in advice; NAN: none */
    double trucks;                  /* likewise: more than 1 where one cannot do it */
    bool battery_short;             /* likewise: no battery suffices there */
} evn_payback_cell;
EVN_API bool evn_payback_cell_at(const evn_payback *, evn_payback_basis, size_t distance, size_t price,
                                 evn_payback_cell *out);
/* Net present value there of a truck against the first. False: no such, or one of them has no costs. */
EVN_API bool evn_payback_cell_value(const evn_payback *, evn_payback_basis, size_t distance, size_t price, size_t truck,
                                    double *out);
/* Where in the field one truck of least cost takes over from another: the index-th such price of energy of a distance,
 * rising, from half a step below the first to as much beyond the last, of those that do what the duty demands. Below it
 * `below` costs least, above it `above`. False: no more. */
typedef struct evn_payback_border {
    double energy_price;
    size_t below, above;
} evn_payback_border;
EVN_API bool evn_payback_border_at(const evn_payback *, evn_payback_basis, size_t distance, size_t index,
                                   evn_payback_border *out);
/* The line in the field where that is zero: the price of energy of each distance. NAN, or below 0: at none. */
EVN_API bool evn_payback_line_at(const evn_payback *, evn_payback_basis, size_t distance, size_t truck, double *out);

#ifdef __cplusplus
}
#endif
#endif
