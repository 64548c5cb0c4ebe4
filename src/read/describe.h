/* What a tree holds once all is merged, as a list of values with places. */
#ifndef EVENER_READ_DESCRIBE_H
#define EVENER_READ_DESCRIBE_H
#include "core/field.h"
#include "read/read.h"
#include "read/tree.h"

/* For a tree that has filled its object without a fault. False (said) when memory is out. */
bool evn_describe(evn_reading *, const evn_object *, const evn_node *root, evn_value_list *out);

#endif
