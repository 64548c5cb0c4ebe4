/* Words of how sure a comparison is that terminal and page share. */
#ifndef EVENER_SHOW_SURE_WORDS_H
#define EVENER_SHOW_SURE_WORDS_H
#include "show/compare_sureness.h"

/* Behind "What to measure next: w" and at the head of the page's table: names of two trucks, and where. */
#define EVN_SURE_BRINGS "hat the data bring into the difference of %s against %s at %s, by first order"
/* What the columns of shares hold. */
#define EVN_SURE_SHARE "of the variance of the difference"
#define EVN_SURE_SLOPE "percentage points by which the difference moves for one standard uncertainty up"
#define EVN_SURE_BENDS                                                                                                 \
    "* The effect bends by a fifth of its slope or more over one standard uncertainty: first order is a rough guide "  \
    "to it, and --draws follows it."

const char *evn_basis_words(evn_basis);       /* "the common speed", "own speeds" */
const char *evn_apart_words(evn_apart);       /* "lower", "higher", "cannot be told apart" */
const char *evn_apart_short_words(evn_apart); /* of a narrow column: "not apart" */

/* Where a datum is stated: "gearbox.yaml:12", "usual for the key"; of a text that is safe to print. NULL file: usual.
 */
const char *evn_stated_in(const char *path);
#define EVN_SURE_USUAL "usual for the key"

/* Its half width, by which it may be off: "2.5" of "%" or of its unit; the unit may be "". */
const char *evn_half_width_words(const evn_datum *, char *out, size_t size);

#endif
