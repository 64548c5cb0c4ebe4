/* Values given beside the files, as `--set KEY=VALUE` does. */
#ifndef EVENER_READ_SET_H
#define EVENER_READ_SET_H
#include "core/field.h"
#include "read/read.h"
#include "read/tree.h"

/*
 * Puts the values on the tree of an object, whose `extends` is merged and whose `use` keys still stand; they are
 * resolved where a path leads through them. Faults are said at "--set N" and the column; those of the values themselves
 * come out when the object is filled.
 */
void evn_sets_apply(evn_reading *, const evn_object *, evn_node *root, const evn_read_more *);

#endif
