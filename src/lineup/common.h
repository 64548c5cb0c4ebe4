/*
 * The common speed, found and driven for any list of trucks: rounds at the lowest speed that any of them reaches. What
 * compare does once, and what is done for each draw of uncertain data (COMMON-SPEED.md).
 */
#ifndef EVENER_LINEUP_COMMON_H
#define EVENER_LINEUP_COMMON_H
#include "cycle/ceiling.h"
#include "evener/evener.h"

/* The common speed that a comparison came to; NULL: it came to none. Belongs to the comparison. */
const evn_ceiling *evn_comparison_ceiling(const evn_comparison *);

#endif
