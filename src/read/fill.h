/* From a tree to the struct of any object that has a field table. */
#ifndef EVENER_READ_FILL_H
#define EVENER_READ_FILL_H
#include "core/field.h"
#include "read/tree.h"

/*
 * Fills the struct from a map whose `use` and `extends` are resolved. Keys that are absent take their fallback. The
 * object's own check runs last, and only when all inside it is sound. False when an error was said.
 */
bool evn_fill_object(evn_reading *, const evn_object *, const evn_node *map, void *self);

#endif
