/*
 * Cases: the trucks of a comparison with their numbers moved in one way or another, driven at a common speed that each
 * case may lower for itself, or as was asked. Many at once, in the order of their list, whatever the number of threads.
 */
#ifndef EVENER_UNCERTAINTY_CASES_H
#define EVENER_UNCERTAINTY_CASES_H
#include "lineup/common.h"
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

typedef struct evn_case {
    evn_case_kind kind;
    uint32_t number;               /* of the datum, or of the draw */
    uint64_t moves;                /* bit i: truck i has other numbers, and is driven */
    bool done;                     /* false: not driven yet, or stopped */
    uint64_t failed;               /* bit i: truck i did not finish */
    bool fell_short;               /* a truck did not keep the common speed, and all got a lower one */
    size_t held;                   /* numbers held at their bounds */
    double value[EVN_LINEUP_MOST]; /* NAN of trucks that failed */
} evn_case;

/* Of each truck why it did not finish in the first case in which it did not; "": it always did. */
typedef struct evn_case_reasons {
    char of[EVN_LINEUP_MOST][EVN_FINDING_BYTES];
} evn_case_reasons;

/* How cases are driven. */
typedef struct evn_cases {
    const evn_comparison *compared;
    const evn_varied *of; /* of its trucks */
    evn_basis basis;
    const evn_ceiling *speed; /* of the common basis */
    uint64_t seed;
    uint64_t in;                    /* trucks that take part */
    double middle[EVN_LINEUP_MOST]; /* of trucks that are not moved */
    evn_runs *runs;
    size_t *to_come;              /* runs of all lists */
    evn_case_reasons *reasons;    /* begin empty */
    char open[EVN_FINDING_BYTES]; /* what is said of the first energy balance that does not close; "": all do */
    size_t open_in;               /* the truck that it is of */
} evn_cases;

/*
 * Drives them, until stopped. `speed_out` (may be NULL; begins without points) comes to the lowest of what those that
 * fell short were driven at; without points where none did. False (said) when memory is out.
 */
bool evn_cases_drive(evn_cases *, evn_case *, size_t count, evn_ceiling *speed_out, evn_report *);

size_t evn_count_of(uint64_t trucks);

/* The share of its half width by which a datum of a shape errs in a draw. */
double evn_draw_deviation(uint64_t seed, uint32_t draw, size_t datum, evn_error_shape);

#endif
