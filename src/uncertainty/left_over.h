/*
 * What is left of a label when its values are stated anew: those that fall where the others rise. A motor's thermal
 * resistances fall with its losses, since its continuous power was tested; when its losses err otherwise, or by another
 * label, the old label's resistances would err by themselves, as if a datum that is no longer there moved them.
 */
#ifndef EVENER_UNCERTAINTY_LEFT_OVER_H
#define EVENER_UNCERTAINTY_LEFT_OVER_H
#include "uncertainty/claims.h"

/*
 * Of the claims that count, drops (warned of once for a label in a truck) those of a label, in one truck, of which all
 * have a half width below zero while claims above zero of that label there were stated anew. False: memory is out.
 */
bool evn_left_over_drop(evn_claims *, evn_claim **list, size_t *count);

#endif
