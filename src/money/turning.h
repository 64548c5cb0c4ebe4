/* Where a difference of costs turns: the value of one price, distance or investment at which two trucks cost the same.
 */
#ifndef EVENER_MONEY_TURNING_H
#define EVENER_MONEY_TURNING_H
#include <stdbool.h>
#include <stddef.h>

/* Of a difference that is straight in x, known at two places: closed form. NAN: it is level (at 0 too), and turns
 * nowhere.
 */
double evn_turns_straight(double x0, double at_x0, double x1, double at_x1);

enum { EVN_TURNS_MOST = 32 };
typedef double evn_difference(void *self, double x);

/*
 * Of any difference between two places, looked at in so many even steps (at least 1): every change of sign from one to
 * the next, rising. Where it jumps over zero (a battery is replaced once more) the place of the jump, and `jumps` says
 * so. More than there is room for: `more`. What turns twice within one step is not seen. A stretch of looks at which it
 * is 0 turns where it ends, if it has another sign behind than before it; one that is 0 all the way turns nowhere.
 */
typedef struct evn_turns {
    size_t count;
    double at[EVN_TURNS_MOST];
    bool jumps[EVN_TURNS_MOST];
    bool more;
} evn_turns;
evn_turns evn_turns_between(evn_difference *, void *self, double low, double high, size_t steps);

/*
 * Levelised cost: capital spread evenly over the years by the annuity A/P, and what each year costs, over the distance
 * (the form of a simple levelised cost of energy, with km in place of kWh).
 */
typedef struct evn_levelised {
    double capital;             /* at the beginning */
    double rate;                /* share a year, above -1 */
    unsigned years;             /* at least 1 */
    double yearly;              /* what a year costs whatever is driven */
    double annual_km;           /* above 0 */
    double kwh_per_km, per_kwh; /* energy and its price */
    double others_per_km;       /* what each km costs beside energy */
} evn_levelised;
double evn_levelised_per_km(const evn_levelised *);
/* The same over the tonnes that are carried, above 0. */
double evn_levelised_per_t_km(const evn_levelised *, double payload_t);

#endif
