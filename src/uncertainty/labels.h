/* Labels that are borne by one entry alone and look like another: mistyped, they would err by themselves unseen. */
#ifndef EVENER_UNCERTAINTY_LABELS_H
#define EVENER_UNCERTAINTY_LABELS_H
#include "uncertainty/claims.h"

/* Warns of each at the first entry that bears it. Memory that runs out marks the claims. */
void evn_labels_look(evn_claims *, evn_claim *const *, size_t count);

#endif
