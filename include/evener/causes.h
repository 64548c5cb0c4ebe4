/*
 * causes.h: why two trucks of a comparison differ: the difference at one common speed parted by causes.
 *
 * A cause is a block of keys that is exchanged whole between the first truck A and another one B, on the trucks as they
 * are written. All trucks that come of it (hybrids: each block from A or from B) are driven at one speed that all of
 * them drive, by the exact driver. What a block makes is what its exchange changes, averaged over all orders in which
 * the blocks can be exchanged (L. S. Shapley, "A value for n-person games", Contributions to the Theory of Games II,
 * Princeton 1953): parts add up to the difference, a block that is alike makes nothing, and two that do the same make
 * the same.
 */
#ifndef EVENER_CAUSES_H
#define EVENER_CAUSES_H

#include "evener/uncertainty.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum evn_cause {
    EVN_CAUSE_BODY,         /* body, axles, tyres, trailer, payload, battery, brakes; their masses */
    EVN_CAUSE_AUXILIARIES,  /* consumers, power take-off, coolant loop with its fan */
    EVN_CAUSE_DRIVEN_AXLES, /* which axles are driven; through-drive where their number differs; locks */
    EVN_CAUSE_HUBS,         /* drag of the hubs of all wheels */
    EVN_CAUSE_DRIVETRAIN,   /* motors, inverters, gearboxes, shafts, axle drives; their ratios and masses */
    EVN_CAUSE_SWITCHING,    /* disconnects, how many motors work, how a gearbox changes, and the price of it */
    EVN_CAUSE_COUNT
} evn_cause;

typedef struct evn_cause_row {
    const char *key;     /* "driven_axles" */
    const char *label;   /* "driven axles" */
    const char *meaning; /* what it holds */
    bool of_layout;      /* what a layout is; else what any layout could have */
} evn_cause_row;
EVN_API bool evn_cause_row_at(size_t cause, evn_cause_row *out); /* false: no more */

/* ------------------------------------------------------------------------------------------------ finding it */

enum { EVN_CAUSES_DRAWS_MOST = 64 };

typedef struct evn_causes_how {
    /* Found by draws of the same comparison: intervals of the parts come of its first draws, EVN_CAUSES_DRAWS_MOST at
     * most. NULL: no intervals. Need not live on. */
    const evn_uncertainty *draws;
    /* That truck alone is parted from the one that all are held against; false: every other one. */
    bool one_alone;
    size_t truck;
    size_t threads; /* as of evn_compare_how */
    void *self;
    bool (*go_on)(void *self, double done_share); /* likewise; false: what is there by then is marked partial */
} evn_causes_how;

typedef struct evn_causes evn_causes;

/*
 * Runs that finding would take where no hybrid falls short of the speed: as many as there are different hybrids, once
 * and once for each draw, and a few more. Those that fall short are driven again, some rounds at most, so it is no
 * upper bound; nor a lower one, since blocks that cannot be parted leave fewer hybrids. 0 where memory is out, or an
 * argument is NULL.
 */
EVN_API size_t evn_causes_runs(const evn_comparison *, const evn_causes_how *);

/*
 * Parts the difference of each other truck against the first, or where that did not finish at the common speed against
 * the one that takes least; the comparison and its lineup must outlive it. EVN_DONE, or EVN_NO_RESULT ("interrupted")
 * with what is there in `out`. NULL in `out` where neither the first truck nor two others finished at the common speed
 * ("not_finished"), or memory is out.
 */
EVN_API evn_status evn_causes_find(const evn_comparison *, const evn_causes_how *, evn_causes **out, evn_report *);
EVN_API void evn_causes_free(evn_causes *);
EVN_API bool evn_causes_partial(const evn_causes *);    /* stopped before all was done */
EVN_API const char *evn_causes_key(const evn_causes *); /* of the result that is parted: "kwh_per_km" */
/* The truck that all others are parted from, and which is called the first below: the lineup's first, or, where that
 * did not finish at the common speed, the one that takes least of those that did. 0 where the argument is NULL. */
EVN_API size_t evn_causes_against(const evn_causes *);

/* ------------------------------------------------------------------------------------------------ the answer */

typedef enum evn_causes_state {
    EVN_CAUSES_FOUND,
    EVN_CAUSES_NOT_DRIVEN, /* the truck did not finish at the common speed */
    EVN_CAUSES_STOPPED     /* interrupted before its hybrids were driven, or another truck was asked alone */
} evn_causes_state;

/* Of one other truck against the first. Energies in the unit of what is judged: kWh/km, or kWh/(t km). */
typedef struct evn_causes_pair {
    evn_causes_state state;            /* not FOUND: all below is NAN or 0 */
    double first, other;               /* of the comparison, at its common speed */
    double first_parted, other_parted; /* at the speed that all hybrids drive; the parts add up to their difference */
    double duration_s;                 /* travel time at that speed */
    double slower_km_h;                /* by how much the mean of that speed lies under the comparison's */
    double below_pair_km_h;      /* and under that of the speed that the two alone have in common; NAN: not found */
    double first_own, other_own; /* of the comparison, each at its own speed; NAN: not finished */
    double own_speed;            /* difference at own speeds less that at the common speed; NAN: not finished */
    double layout, rest,
        mixed; /* sums of the parts of what a layout is, of the others, and of what was merged of both */
    bool
        laid_out_alike; /* one layout: as many units, motors, gears, the same kinds of stages; `layout` is other data */
    size_t hybrids;     /* different ones that were driven */
    unsigned rounds;    /* until all of them kept the speed */
    bool kept;          /* they did; false: rounds ran out before, and some are late by a little */
    size_t draws_asked, draws_done; /* for intervals of the parts */
    size_t draws_failed;            /* of them: a hybrid could not be driven; they count nowhere */
    size_t draws_late;              /* of those that count: a hybrid was late still when rounds ran out */
} evn_causes_pair;
/* False: no such truck, or the one that all are parted from. */
EVN_API bool evn_causes_pair_at(const evn_causes *, size_t truck, evn_causes_pair *out);

/* One part: of a block, or of several that had to be merged. */
typedef struct evn_cause_part {
    unsigned causes;    /* one bit for each */
    double part;        /* in the unit of what is judged */
    double percent;     /* of the first truck's at the same speed */
    double least, most; /* that the exchange changes in any order, percent */
    bool alike;         /* nothing of it differs: exactly 0 */
    bool sure; /* the ends of its 90 % interval are found, percent; of an alike one both exactly 0, or not found
                  where its data err apart in the two trucks */
    double low_percent, high_percent;
} evn_cause_part;
EVN_API bool evn_causes_part_at(const evn_causes *, size_t truck, size_t index, evn_cause_part *out);

/*
 * One exchange of a part's blocks, behind others that were exchanged before: the part is the sum of weight * (with -
 * without) over all of them. Blocks that are alike in both trucks change nothing, wherever in the order they stand, and
 * are left out: the sets that are told, and their weights, are those of the blocks that differ, and of the part's own.
 */
typedef struct evn_cause_exchange {
    unsigned before; /* causes that were exchanged before, one bit for each */
    double weight;   /* |S|! (n - |S| - 1)! / n!, S what was exchanged before, n all that count, merged ones as one */
    double without, with; /* what the two hybrids take, in the unit of what is judged */
} evn_cause_exchange;
EVN_API bool evn_causes_exchange_at(const evn_causes *, size_t truck, size_t part, size_t index,
                                    evn_cause_exchange *out);

/* How parts are averaged, and where that is published. */
EVN_API const char *evn_causes_source(void);

/*
 * Paths of keys in which the two trucks differ, of a cause that is no part of the drive units (body, auxiliaries, hub
 * drag): "battery.capacity_ah", "axles.drive.tyre"; "axles" where one has more. Of a payload that was given, too.
 * False: no more.
 */
EVN_API bool evn_causes_differing_at(const evn_causes *, size_t truck, evn_cause, size_t index, const char **path);

/* A line of the energy balance within a part: averaged over the same orders, so that lines add up to the part. The last
 * is what the balances do not close. */
typedef struct evn_cause_line {
    evn_quantity what; /* key "motor_losses" */
    double part, percent;
} evn_cause_line;
EVN_API bool evn_causes_line_at(const evn_causes *, size_t truck, size_t part, size_t index, evn_cause_line *out);

/* Within the part that holds the drivetrain: one law of the other truck at a time, put into the first at its own
 * ratios. The last is what is left of the part: ratios, number of gears and of motors, and what the laws do together.
 */
typedef struct evn_cause_law {
    const char *key, *label;
    bool found; /* false: it could not be exchanged, and is part of the remainder */
    const char *why_not;
    double part, percent;
} evn_cause_law;
EVN_API bool evn_causes_law_at(const evn_causes *, size_t truck, size_t index, evn_cause_law *out);

/* Causes that were merged, since a hybrid that parts them is no valid truck or cannot follow. */
typedef struct evn_cause_merge {
    evn_cause one, other;
    const char *reason; /* of the first such hybrid */
} evn_cause_merge;
EVN_API bool evn_causes_merge_at(const evn_causes *, size_t truck, size_t index, evn_cause_merge *out);

#ifdef __cplusplus
}
#endif
#endif
