/* What stands behind an evn_assessment, and its making (ASSESS.md). */
#ifndef EVENER_ASSESS_ASSESS_H
#define EVENER_ASSESS_ASSESS_H
#include "core/arena.h"
#include "evener/assess.h"
#include "lineup/lineup.h"
#include "money/payback.h"
#include "uncertainty/data.h"

/* Each kind of demand, in the order in which they are told. */
typedef enum evn_demand_kind {
    EVN_DEMAND_DAY, /* no key of the duty's demands: asked of every day that is driven */
    EVN_DEMAND_RESERVE_SOC,
    EVN_DEMAND_RESERVE_KWH,
    EVN_DEMAND_DISTANCE,
    EVN_DEMAND_STEEPEST_START,
    EVN_DEMAND_START,
    EVN_DEMAND_CHANGE_UP,
    EVN_DEMAND_CLIMB,
    EVN_DEMAND_DESCENT,
    EVN_DEMAND_CLEARANCE,
    EVN_DEMAND_TRACK,
    EVN_DEMAND_TRACK_EMPTY,
    EVN_DEMAND_SHAKEN,
    EVN_DEMAND_RULES,
    EVN_DEMAND_PAYLOAD,
    EVN_DEMAND_TAKEOFF,
    EVN_DEMAND_PAYBACK,
    EVN_DEMAND_KINDS
} evn_demand_kind;

/* Who finds what a truck comes to. */
typedef enum evn_demand_of { EVN_OF_DAY, EVN_OF_LIMITS, EVN_OF_SITE, EVN_OF_RIG, EVN_OF_COSTS } evn_demand_of;

typedef struct evn_demand_row {
    const char *key, *unit, *label;
    int digits;
    bool share, at_most;
    int of;           /* evn_demand_of */
    const char *path; /* of what is demanded, in the duty */
    const char *source, *found;
} evn_demand_row;
extern const evn_demand_row evn_demand_rows[EVN_DEMAND_KINDS];

/* NAN: not asked; of rules 0 where they are. */
double evn_demanded(const evn_duty_demands_file *, evn_demand_kind);

/* ---- what a truck comes to */

typedef struct evn_sides { /* towards less margin, and towards more; neither below 0 */
    double worse, better;
} evn_sides;

typedef struct evn_found {
    bool known;   /* else `missing` is not stated */
    double value; /* NAN of what is known: it cannot, and why */
    double demanded, margin;
    evn_sides range;  /* standard uncertainty of what goes in beside the truck's data: adhesion; 0: none */
    const char *unit; /* of a clause; NULL: that of the kind, with its digits and its direction */
    int digits;
    bool at_most;
    bool by_adhesion; /* of the ground, which binds */
    size_t season;
    const char *why, *where, *missing, *site_key;
} evn_found;

typedef struct evn_stand_ask { /* what needs no day */
    const evn_duty_file *duty;
    const evn_conditions *ask;
    double payload_kg;             /* the heaviest of the day */
    evn_duty_demands_file demands; /* those of the duty, or others for what would turn it */
    evn_ground_demands_file ground;
    evn_demands abilities;
    unsigned wanted;       /* 1u << kind */
    size_t only_season;    /* SIZE_MAX: the worst of all */
    evn_arena *arena;      /* of texts; NULL: none are made */
    bool still;            /* in still air, not of a climb: for what a datum moves, which wind hardly changes */
    const char *rules_key; /* of the clause that is asked; NULL: that with the least margin */
} evn_stand_ask;

/* Those that need no day, of what is wanted. False (said): it does not stand, or memory is out. */
bool evn_stand(const evn_stand_ask *, const evn_truck_file *, evn_found[EVN_DEMAND_KINDS], evn_report *);
double evn_margin(evn_demand_kind, double value, double demanded);

/* What is told of what an uncertainty does not hold: of a ride by a class of unevenness the value at its ends. NULL:
 * nothing. */
const char *evn_stand_left_out(const evn_stand_ask *, const evn_truck_file *, evn_demand_kind, const evn_found *,
                               evn_report *);

#define EVN_ASSESS_SURE 0.95                     /* the rule by which comparisons tell trucks apart */
#define EVN_ASSESS_90_PERCENT 1.6448536269514722 /* standard deviations of a normal distribution */
typedef struct evn_spread {
    evn_sides half_width; /* of the 90 % interval of a margin, to either side */
    bool steps;           /* a datum moves it in a step */
} evn_spread;
enum { EVN_ASSESS_DRAWS = 60 };

/* Of what is found in one season, over the truck's data that err: by first order, of a climb by draws. False: memory is
 * out. */
bool evn_stand_spread(const evn_stand_ask *, const evn_truck_file *, const evn_data *, size_t truck,
                      const evn_found[EVN_DEMAND_KINDS], evn_spread[EVN_DEMAND_KINDS]);
/* Of each demand that season in which it is least kept, its spread taken off. False (said): as evn_stand, and above. */
bool evn_stand_surely(const evn_stand_ask *, const evn_truck_file *, const evn_data *, size_t truck,
                      evn_found[EVN_DEMAND_KINDS], evn_spread[EVN_DEMAND_KINDS], evn_report *);
bool evn_is_failed(const evn_found *, const evn_spread *);

/* ---- the whole */

typedef struct evn_assess_cell {
    evn_arena *arena; /* of its texts */
    evn_assessed is;
    evn_found found;
    evn_spread spread;
    evn_assess_input *input;
    size_t inputs;
} evn_assess_cell;

enum { EVN_ASSESS_TURNS_MOST = EVN_LINEUP_MOST * 24 };
struct evn_assessment {
    evn_arena *arena;
    size_t count, demands;
    evn_demand_kind kind[EVN_DEMAND_KINDS]; /* of each demand */
    evn_assess_cell *cell;                  /* [count][demands] */
    bool only_standing, priced;             /* prices were given */
    double energy_percent;
    evn_arena *own[EVN_LINEUP_MOST]; /* of what is told of each truck */
    evn_use *use;                    /* of each; NULL: no days */
    const evn_payback *payback;      /* NULL: no prices */
    evn_payback *own_payback;        /* NULL: it is the prepared one's */
    double *payload_kg;              /* the heaviest, of each */
    double day_km;                   /* as the duty is written */
    evn_conditions *ask;             /* of each, with the payload that it was given */
    evn_assess_turn turn[EVN_ASSESS_TURNS_MOST];
    size_t turns;
    evn_assess_choice choice;
};

typedef struct evn_assess_of {
    const evn_contender *who;
    const char *const *title; /* what the trucks are called in words */
    const evn_equalised *given;
    size_t count;
    const evn_duty_file *duty;
    evn_erring erring;
    const evn_prices_file *prices; /* NULL: none */
    const evn_price_places *places;
    const evn_conditions *ask;
} evn_assess_of;

/* NULL (said). */
evn_assessment *evn_assess_make(const evn_assess_of *, const evn_assess_how *, evn_report *);

evn_assess_cell *evn_assess_cell_of(const evn_assessment *, size_t truck, size_t demand);
void evn_assess_judge(evn_assess_cell *, const evn_found *, double spare_percent, const evn_spread *);
void evn_assess_choose(evn_assessment *);
/* False: memory is out. */
bool evn_assess_find_turns(evn_assessment *, const evn_assess_of *);
const char *evn_assess_text(evn_arena *, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Asks what needs no day of a truck of it. */
void evn_assess_stand_ask(const evn_assessment *, const evn_assess_of *, size_t truck, evn_stand_ask *);

#endif
