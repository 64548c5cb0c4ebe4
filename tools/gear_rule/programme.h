/*
 * A dynamic programme over the settings of drive units (Bellman 1957, Dynamic Programming; from memory): a way is cut
 * into legs, on each of which every joint setting takes a known energy; between two legs settings may change, each
 * unit's at a known cost. The least cost of all sequences, with any number of changes or at most so many.
 *
 * A joint setting is numbered by that of each unit: unit 0 counts fastest.
 */
#ifndef EVENER_GEAR_RULE_PROGRAMME_H
#define EVENER_GEAR_RULE_PROGRAMME_H
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define EVN_PROGRAMME_NEVER_J 1e18 /* a setting that a leg cannot be driven in */
enum { EVN_PROGRAMME_UNITS = 4 };

/* What a change from one setting of a unit to another takes: from the battery, beside the square of the speed (below
 * zero: it gives), and what is charged for wear. */
typedef struct evn_programme_change {
    double energy_j_s2_m2, wear_j;
    uint8_t gears, others; /* how many it counts as; see evn_account */
} evn_programme_change;

typedef struct evn_leg {
    double v2;     /* where it begins */
    bool standing; /* throughout */
    size_t driven; /* the joint setting that the rule had */
} evn_leg;

typedef struct evn_programme {
    size_t units, settings[EVN_PROGRAMME_UNITS];
    size_t joint;                                            /* their product */
    const evn_programme_change *change[EVN_PROGRAMME_UNITS]; /* [from * settings + to] */
    size_t legs;
    const evn_leg *leg;
    const double *leg_j; /* [leg * joint + setting] */
} evn_programme;

/* What a sequence comes to. Cost: energy and wear. Changes of gear, and others (engaged motors, disconnects). */
typedef struct evn_account {
    double cost_j, energy_j, standing_j; /* standing: the part of the cost at rest */
    unsigned long gears, others;
} evn_account;

static inline unsigned long evn_changes_of(const evn_account *a) { return a->gears + a->others; }

/* The rule's own sequence. */
evn_account evn_programme_driven(const evn_programme *);

/* The least cost where each change costs so much more (which the account leaves out). Begins as the rule does, after a
 * change where that pays. False: memory ran out. */
bool evn_programme_least(const evn_programme *, double per_change_j, evn_account *);

/*
 * The least with at most so many changes, by a multiplier on their number: the best sequence found, and a bound below
 * which none is (weak duality: for any multiplier, the least with it less the multiplier times the number).
 */
bool evn_programme_within(const evn_programme *, unsigned long changes, evn_account *, double *bound_j);

#endif
