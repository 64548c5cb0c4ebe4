/* What the load collectives of a run come to, as a table in the terminal. */
#ifndef EVENER_SHOW_COLLECTIVE_TEXT_H
#define EVENER_SHOW_COLLECTIVE_TEXT_H
#include "evener/collectives.h"
#include "show/look.h"

/* False when memory is out. */
bool evn_collective_text(const evn_collective *, const evn_damage *, FILE *, const evn_look *);

#endif
