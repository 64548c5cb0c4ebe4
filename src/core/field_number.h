/* Numbers of a filled struct by its table: bounds in words, whether all fit, one by its key. */
#ifndef EVENER_CORE_FIELD_NUMBER_H
#define EVENER_CORE_FIELD_NUMBER_H
#include "core/field.h"

/*
 * Says of each number, choice and flag of a struct what its row does not take: out of the hard bounds, or none (NAN)
 * where "not given" is no value of its own. For structs that were not read from a file: nothing is said of a place.
 * True when all fit.
 */
bool evn_object_fits(const evn_object *, const void *self, evn_report *);

/*
 * Puts the number at a key, or the choice of that index, or a flag (0 or 1). False (said) when there is no such key, or
 * it does not fit; a warning when it is unusual.
 */
bool evn_field_number_put(const evn_object *, void *self, const char *key, double value, evn_report *);

/* The number, the index of the choice, or 0 or 1 of a flag, at a key. False: no such key. */
bool evn_field_number_get(const evn_object *, const void *self, const char *key, double *value);

#endif
