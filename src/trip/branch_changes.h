/* Branches of a through-drive that open and close: what that costs and takes. Changes between settings that differ in
 * their branches alone. */
#ifndef EVENER_TRIP_BRANCH_CHANGES_H
#define EVENER_TRIP_BRANCH_CHANGES_H
#include "trip/trip.h"

double evn_branches_close_s(const evn_unit *, evn_setting from, evn_setting to); /* 0: none closes */
void evn_branches_book(evn_trip *, size_t unit, evn_setting to);  /* what is sped up or comes to rest, at once */
void evn_branches_count(evn_trip *, size_t unit, evn_setting to); /* openings, and the time with one open */

#endif
