/* What came of one truck on one basis. */
#ifndef EVENER_LINEUP_OUTCOME_H
#define EVENER_LINEUP_OUTCOME_H
#include "trip/drive.h"

/* The status of a truck that takes no part in a basis; the others are those of runs. */
#define EVN_OUTCOME_LEFT_OUT "left_out"

struct evn_outcome {
    const char *status;
    evn_results *results; /* NULL: none */
    evn_report *report;   /* of this run, and of preparing its truck */
    evn_result *difference;
    size_t difference_count;
};

/* Its report is strict or not. False when memory is out. */
bool evn_outcome_begin(evn_outcome *, bool strict);
void evn_outcome_end(evn_outcome *);

bool evn_outcome_finished(const evn_outcome *);

/* Its first error, in words: why a run did not finish. Of the report, and as long as it. */
const char *evn_outcome_why(const evn_report *);

/* Says of the report of the whole that a truck did not finish, and why: all its errors, each at its place. */
void evn_outcome_say_why(const evn_report *of, const char *name, evn_report *whole);

/* Lines of the energy balance that any of the finished outcomes on a basis has. */
typedef struct evn_balance_lines {
    bool told[EVN_LINE_COUNT];
} evn_balance_lines;

void evn_balance_lines_add(evn_balance_lines *, const evn_outcome *);

/*
 * Makes the differences against another outcome; none unless both finished. Of lines of parts that one of them does not
 * have it is 0, so that the differences of all lines add up. Keys are kept in the arena.
 */
bool evn_outcome_hold_against(evn_outcome *, const evn_outcome *first, const evn_balance_lines *, evn_arena *);

/* Adds the differences of masses, which are known before anything drives. NULL rigs: none. */
bool evn_outcome_weigh_against(evn_outcome *, const evn_rig *, const evn_rig *first, evn_arena *);

#endif
