/* Causes as all media tell them: their names, and their order. */
#ifndef EVENER_SHOW_COMPARE_CAUSES_H
#define EVENER_SHOW_COMPARE_CAUSES_H
#include "show/compare_rows.h"

enum { EVN_CAUSE_NAME_BYTES = 160 };

/* "drivetrain"; of merged ones "driven axles + drivetrain". Returns `out`. */
const char *evn_cause_name(unsigned causes, char out[EVN_CAUSE_NAME_BYTES]);

/* Whether a part is of what a layout is; of merged ones whether all of them are, or none. */
typedef enum evn_cause_kind { EVN_CAUSE_OF_LAYOUT, EVN_CAUSE_OF_REST, EVN_CAUSE_OF_BOTH } evn_cause_kind;
evn_cause_kind evn_cause_kind_of(unsigned causes);

/* The part that holds the drivetrain. False: nothing was parted. */
bool evn_compare_drivetrain_part(const evn_causes *, size_t truck, size_t *index, evn_cause_part *out);

/* Lines of a part, the largest first, so many at most. How many. */
size_t evn_compare_largest_lines(const evn_causes *, size_t truck, size_t part, evn_cause_line *out, size_t most);

/*
 * Whether a part hangs on the order of exchange: from the least to the most is further than the part is large, and than
 * what is told apart unasked (half a point). Then the sign, or most of the size, is that of the average alone, and the
 * part tells only together with the others that hang so.
 */
bool evn_cause_part_hangs(const evn_cause_part *);

/* Digits of energies: two more than the ranking tells, for parts are small against the whole. */
int evn_compare_part_digits(const evn_compare_story *);

/* What the lower speed of the hybrids moves the difference by: that of the comparison less that of the parts. */
double evn_compare_lowered(const evn_causes_pair *);

#endif
