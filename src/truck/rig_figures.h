/* What follows from a truck before it drives, as a list of figures. */
#ifndef EVENER_TRUCK_RIG_FIGURES_H
#define EVENER_TRUCK_RIG_FIGURES_H
#include "truck/rig.h"

/* Puts the list on the rig, all else of which is made. False when memory is out. */
bool evn_rig_figures_make(evn_rig *, const evn_truck_file *, const evn_unit_masses masses[]);

/* Key and label of a mass that only some trucks have, as figures of those bear it. False: no more. */
bool evn_mass_row_at(size_t index, const char **key, const char **label);

#endif
