/* Which claims are one datum, and what it is called. */
#ifndef EVENER_UNCERTAINTY_IDENTITY_H
#define EVENER_UNCERTAINTY_IDENTITY_H
#include "uncertainty/claims.h"

/*
 * Gives each claim of the list, in their order, its datum (`datum_of`, as long as the list), and makes the data: all of
 * evn_datum but `values` and `trucks`. False: memory is out (said).
 */
bool evn_data_identify(evn_claims *, evn_claim *const *, size_t count, size_t *datum_of, evn_data *);

#endif
