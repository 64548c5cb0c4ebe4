/*
 * Clauses of a set held against a vehicle as it stands. A clause applies to each axle, group or vehicle that meets its
 * conditions; one that stands instead of another takes its place where it applies and allows more.
 */
#ifndef EVENER_SITE_RULES_JUDGE_H
#define EVENER_SITE_RULES_JUDGE_H
#include "site/weighed.h"
#include "truck/rules.h"

enum { EVN_VERDICTS_MOST = EVN_CLAUSES_MOST * EVN_WEIGHED_AXLES_MOST };

typedef struct evn_rule_verdict {
    size_t clause;        /* of the set */
    size_t first, axles;  /* what it is held against: so many axles from this one; 0: a vehicle, or all */
    double actual, limit; /* kg, per cent or kg/m, as the clause limits; NAN: not known */
    double allowance_kg;  /* within the limit, for the zero-emission drivetrain */
    evn_known_as met;
    const char *missing; /* key that is not stated, without which it, or one instead of it, cannot be judged; NULL */
} evn_rule_verdict;

/* How clauses with axle_at_most_kg are taken. */
typedef enum evn_at_most { EVN_AT_MOST_AS_LOADED, EVN_AT_MOST_NONE, EVN_AT_MOST_ALL } evn_at_most;

/* In the order of clauses, then of axles. Room for EVN_VERDICTS_MOST. */
size_t evn_rules_judge(const evn_rules_file *, const evn_weighed *, evn_at_most, evn_rule_verdict out[]);

/*
 * What a verdict limits as a quantity that goes linearly with the loads, of the same vehicle under other loads, and the
 * most that it may be: kg. Of a driven share: so much of all less what is driven, which must not be above 0.
 */
double evn_rule_linear_kg(const evn_rules_file *, const evn_rule_verdict *, const evn_weighed *, double *limit_kg);

/*
 * Most that a row of so many axles may carry whose outermost stand so far apart, kg: 23 CFR 658.17(e),
 * W = 500 (L N/(N - 1) + 12 N + 36) lb with L in whole feet, to the nearest 500 lb.
 */
double evn_bridge_formula_kg(double row_m, size_t axles);
/* The same for axles of a vehicle, with what two tandems in a row may bear. */
double evn_bridge_row_kg(const evn_weighed *, size_t first, size_t axles);

#endif
