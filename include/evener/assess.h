/*
 * assess.h: each truck of a lineup held against every demand of its duty: pass, marginal, fail or not known, with
 * margin, reason and place, each to be followed down to its inputs; which layout that advises, and what would turn it.
 * The rule of the verdict stands in src/assess/ASSESS.md of the source tree.
 */
#ifndef EVENER_ASSESS_H
#define EVENER_ASSESS_H

#include "evener/evener.h"
#include "evener/payback.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The worse the later: that of a truck is the worst of its demands. */
typedef enum evn_verdict {
    EVN_VERDICT_NOT_ASKED, /* not of this truck, as a payback of the first */
    EVN_VERDICT_PASS,
    EVN_VERDICT_MARGINAL, /* within its uncertainty, or kept without the spare that is asked */
    EVN_VERDICT_NOT_KNOWN,
    EVN_VERDICT_FAIL
} evn_verdict;
EVN_API const char *evn_verdict_name(evn_verdict); /* "not_asked", "pass", "marginal", "not_known", "fail" */

typedef struct evn_assessment evn_assessment;

#define EVN_ASSESS_ENERGY_PERCENT 4.0

/* All zero does. */
typedef struct evn_assess_how {
    const evn_prices *prices;       /* NULL: no costs; a payback that is demanded is not known then. Must outlive it */
    double energy_percent;          /* by which the energy of a day may be off, half width of a normal distribution (two
                                       standard uncertainties), 0 to 50; 0: EVN_ASSESS_ENERGY_PERCENT */
    double annual_km;               /* as of evn_payback_how */
    unsigned years;                 /* likewise */
    bool only_standing;             /* what needs no day; demands of the day, and payback, are not asked */
    const evn_assessment *prepared; /* NULL, or one of the same lineup, conditions and prices: its days are taken, and
                                       nothing is driven. Only the trucks' days are its own; it must outlive this one */
    size_t threads;                 /* as in evn_compare_how */
    void *self;
    bool (*go_on)(void *self, double done_share); /* likewise */
} evn_assess_how;

/*
 * Judges them all. `how` may be NULL. EVN_DONE: a truck passes all that is demanded; EVN_ANSWER_NO ("demand_not_met"):
 * none does. NULL in `out` otherwise: the lineup drives no duty or the duty demands nothing ("missing_key"), something
 * of the ask is out of its bounds, trucks cannot be made equal, stood or priced, the work was stopped ("interrupted"),
 * or memory is out. The lineup must outlive it.
 *
 * The verdicts are for comparing layouts. Local regulation, approved testing and licensed practice decide on braking,
 * loads and stability.
 */
EVN_API evn_status evn_assess(const evn_lineup *, const evn_conditions *, const evn_assess_how *how,
                              evn_assessment **out, evn_report *);
EVN_API void evn_assessment_free(evn_assessment *);

/* Whether the duty of a lineup demands what comparisons and costs do not judge by themselves: ground, rules, payload, a
 * power take-off. They tell it by an assessment of what stands alone. */
EVN_API bool evn_lineup_demands_more(const evn_lineup *);

EVN_API size_t evn_assessment_truck_count(const evn_assessment *);
EVN_API size_t evn_assessment_demand_count(const evn_assessment *); /* that are asked; the same of all trucks */
EVN_API evn_verdict evn_assessment_of(const evn_assessment *, size_t truck); /* the worst of its verdicts */

/* A truck held against a demand. Texts are NULL where there is nothing to say, and live as long as the assessment. */
typedef struct evn_assessed {
    evn_quantity what; /* key "start", unit of all values, label "start on 15 %, soil" */
    evn_verdict verdict;
    bool at_most;         /* demanded at most, else at least */
    double demanded;      /* of rules: the limit of the clause that is told */
    double value;         /* NAN: none; why says whether it cannot, missing what is not known */
    double margin;        /* below 0: not kept */
    double uncertainty;   /* half width of the 90 % interval of the margin to the side of what is demanded; NAN: not
                             found; 0: no datum that errs moves it */
    double probability;   /* that the demand is kept, of draws; NAN: judged by the interval */
    double spare;         /* that is asked beyond the demand */
    const char *left_out; /* what the uncertainty does not hold, in words: the range of a class of roughness */
    const char *why;      /* what decides: the limit that binds, the part, the clause */
    const char *where;    /* the season, or with what payload */
    const char *missing;  /* of what is not known: the datum, as a key or an option */
    const char *formula;  /* of the margin, with names of inputs in braces */
    const char *value_formula; /* likewise of the value, where it follows from inputs: years to payback; NULL: found
                                  tells how */
    const char *source;        /* of the law or the limit */
    const char *found;         /* how the value is found, and the command that tells it further */
} evn_assessed;
EVN_API bool evn_assessed_at(const evn_assessment *, size_t truck, size_t demand, evn_assessed *out);

/* What a verdict is made of. */
typedef struct evn_assess_input {
    const char *key;  /* as in the formula, or "payload_kg" */
    const char *unit; /* "" for a pure number */
    double value;
    const char *from; /* "cycles/duties/tipper-site.yaml:6", or what it is found by */
} evn_assess_input;
EVN_API bool evn_assess_input_at(const evn_assessment *, size_t truck, size_t demand, size_t index,
                                 evn_assess_input *out);

/* The smallest change of one datum that would turn a fail, or the choice; each by itself, the rest as it is. */
typedef struct evn_assess_turn {
    size_t truck, demand; /* truck SIZE_MAX: of the choice; then the demand that is changed, or SIZE_MAX */
    size_t about;         /* of the choice by a demand: whose verdict that turns; else SIZE_MAX */
    const char *datum;    /* "demanded", "payload", "ratios of all gears, factor" */
    const char *unit;
    double from;
    double to;      /* it is just kept, which is marginal where its value is not sure; of the choice: it turns. NAN:
                       not within reach */
    double reach;   /* up to where it was looked for, as the distance that a truck drives in a year; NAN: not told */
    double to_pass; /* it is kept surely, with the spare that is asked; NAN: not within the range, or not found */
} evn_assess_turn;
EVN_API bool evn_assess_turn_at(const evn_assessment *, size_t index, evn_assess_turn *out);

/*
 * Which layout: of those that pass all the one of least cost per km, without prices of least energy per km. Where none
 * passes, of the marginal ones (`marginal`). A next one that differs by no more than `uncertainty` cannot be told
 * apart.
 */
typedef struct evn_assess_choice {
    size_t advised; /* SIZE_MAX: none */
    size_t next;    /* SIZE_MAX: no other */
    bool marginal, apart, by_cost;
    bool open;                             /* a truck without a fail is not known whole: it may be that one */
    bool unpriced;                         /* a payback is demanded and there are no prices: the first truck, of which
                                              none is asked, is not named for that */
    unsigned alike;                        /* 1u << truck of each that cannot be told apart from the advised, itself
                                              among them; 0: it stands alone */
    double value, next_value, uncertainty; /* by cost: per km; else kWh/km. NAN: no day was driven */
} evn_assess_choice;
EVN_API bool evn_assessment_choice(const evn_assessment *, evn_assess_choice *out);

#ifdef __cplusplus
}
#endif
#endif
