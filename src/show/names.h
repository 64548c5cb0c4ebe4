/* The library's values by the names that every medium writes. */
#ifndef EVENER_SHOW_NAMES_H
#define EVENER_SHOW_NAMES_H
#include "evener/catalogue.h"
#include "evener/kept.h"

const char *evn_driver_name(evn_driver); /* "human", "exact" */
const char *evn_basis_name(evn_basis);
extern const char *const evn_unevenness_names[]; /* "as_route", "A"; ends with NULL */
/* What trucks are made equal in, from EVN_EQUAL_PAYLOAD on; ends with NULL. */
extern const char *const evn_equal_names[]; /* "own", "common" */
const char *evn_group_name(evn_item_group); /* "truck", "cycle", "duty", "lineup", "rules", "prices", "part", ... */
const char *evn_checked_state_name(evn_checked_state); /* "same", "moved", "not_recorded", "not_driven" */

#endif
