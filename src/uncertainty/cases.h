/*
 * Cases: the trucks of a comparison with their numbers moved in one way or another, driven at a common speed that each
 * case may lower for itself, or as was asked. Many at once, in the order of their list, whatever the number of threads.
 */
#ifndef EVENER_UNCERTAINTY_CASES_H
#define EVENER_UNCERTAINTY_CASES_H
#include "uncertainty/variant.h"

/*
 * A case keeps the common speed where no truck is late by more than this share of its duration. Five times what a
 * comparison allows: energy goes with it by the same share at most, a fiftieth of a point, and losses that reach a
 * derating for some seconds need no further rounds (UNCERTAINTY.md).
 */
#define EVN_DRAW_LATE_SHARE 2e-4

typedef enum evn_case_kind {
    EVN_CASE_NOMINAL,
    EVN_CASE_MIDDLE, /* all in the middle of their ranges, about which the following lie */
    EVN_CASE_UP,     /* a datum by one standard uncertainty */
    EVN_CASE_DOWN,   /* likewise */
    EVN_CASE_DRAW
} evn_case_kind;

typedef enum evn_case_end {
    EVN_CASE_OPEN, /* not driven yet, or stopped */
    EVN_CASE_DONE,
    EVN_CASE_FAILED /* a truck did not finish */
} evn_case_end;

typedef struct evn_case {
    evn_case_kind kind;
    uint32_t number; /* of the datum, or of the draw */
    uint64_t moves;  /* bit i: truck i has other numbers, and is driven */
    evn_case_end end;
    bool fell_short; /* a truck did not keep the common speed, and all got a lower one */
    size_t held;     /* numbers held at their bounds */
    double value[EVN_LINEUP_MOST];
} evn_case;

enum { EVN_REASON_BYTES = 320 };

/* How cases are driven. */
typedef struct evn_cases {
    const evn_varied *of;
    evn_basis basis;
    const evn_ceiling *speed; /* of the common basis */
    uint64_t seed;
    uint64_t in;                    /* trucks that take part */
    double middle[EVN_LINEUP_MOST]; /* of trucks that are not moved */
    evn_runs *runs;
    size_t *to_come;               /* runs of all lists */
    char reason[EVN_REASON_BYTES]; /* of the first that failed; "": none did */
    char open[EVN_REASON_BYTES];   /* of the first whose energy balance does not close */
} evn_cases;

/*
 * Drives them, until stopped. `speed_out` (may be NULL) is the ceiling of the last of them that fell short. False
 * (said) when memory is out.
 */
bool evn_cases_drive(evn_cases *, evn_case *, size_t count, evn_ceiling *speed_out, evn_report *);

size_t evn_count_of(uint64_t trucks);

#endif
