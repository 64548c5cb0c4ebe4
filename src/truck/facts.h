/* What a truck is, as it is read: the few facts that tell one layout from another. */
#ifndef EVENER_TRUCK_FACTS_H
#define EVENER_TRUCK_FACTS_H
#include "truck/rig.h"

/* Puts the list on the rig, all else of which is made. False when memory is out. */
bool evn_rig_facts_make(evn_rig *, const evn_truck_file *);

#endif
