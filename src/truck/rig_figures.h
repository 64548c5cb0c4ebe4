/* What follows from a truck before it drives, as a list of figures. */
#ifndef EVENER_TRUCK_RIG_FIGURES_H
#define EVENER_TRUCK_RIG_FIGURES_H
#include "truck/rig.h"

/* Puts the list on the rig, all else of which is made. False when memory is out. */
bool evn_rig_figures_make(evn_rig *, const evn_truck_file *, const evn_unit_masses masses[]);

/* Greatest speed ratio within a turn of a universal joint: the output runs between cos b and 1/cos b of the input's
 * speed (kinematics of the joint; Seherr-Thoss, Schmelz and Aucktor, from memory). */
double evn_universal_joint_unevenness(double angle_rad);

/* Greatest less least speed ratio within a turn of such a joint, 1/cos b - cos b (the same source). */
double evn_universal_joint_non_uniformity(double angle_rad);

#endif
