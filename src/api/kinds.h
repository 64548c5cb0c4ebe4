/* All kinds of object that a file can hold: truck, cycle, lineup, and what their tables lead to. */
#ifndef EVENER_API_KINDS_H
#define EVENER_API_KINDS_H
#include "core/field_walk.h"

/* The truck first. */
evn_objects evn_all_kinds(void);

/* NULL: no such kind. */
const evn_object *evn_kind_object(const char *name);

#endif
