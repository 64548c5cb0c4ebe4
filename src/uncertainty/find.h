/* Finds how sure the differences of a comparison are. */
#ifndef EVENER_UNCERTAINTY_FIND_H
#define EVENER_UNCERTAINTY_FIND_H
#include "core/arena.h"
#include "uncertainty/data.h"

/* Whether what is asked fits; said where it does not. */
bool evn_uncertainty_fits(const evn_uncertainty_how *, evn_report *);

/* Whether the data can be drawn; said where they cannot. */
bool evn_uncertainty_data_fit(const evn_data *, evn_report *);

/*
 * Takes over the arena, in which the data are. The how fits. NULL (said) where there are no data, no two trucks take
 * part, they cannot be driven as they are, or memory is out.
 */
evn_uncertainty *evn_uncertainty_make(const evn_comparison *, evn_arena *, const evn_data *,
                                      const evn_uncertainty_how *, evn_report *);

#endif
