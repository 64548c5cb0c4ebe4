/* Brings in the files that `extends` and `use` name. */
#ifndef EVENER_READ_MERGE_H
#define EVENER_READ_MERGE_H
#include "read/bytes.h"
#include "read/tree.h"

/*
 * Reads a file's bytes into a tree; its own `extends` is merged in, its `use` keys still stand. NULL when a fault keeps
 * it from being a map (said).
 */
evn_node *evn_tree_of_file(evn_reading *, evn_source *, const char *bytes, size_t length);

/*
 * Replaces each `use` in the tree by what the file holds. This comes after all merging, so that a `use` that stands in
 * the naming file replaces the one it builds on, like any scalar.
 */
void evn_tree_resolve(evn_reading *, evn_node *root);

/* The same for one map, and not for those inside it. */
void evn_map_resolve(evn_reading *, evn_node *map);

/* Puts what stands in `over` on `base`: maps merge, everything else replaces. The result is in `base`. */
void evn_node_merge(evn_node *base, evn_node *over);

/* Takes the value of `by`, with its key and place, but stays where it is. */
void evn_node_replace(evn_node *old, const evn_node *by);

/* The file that a value led to, with its path as it was opened; NULL when it led to none. */
const evn_source *evn_opened_by(const evn_reading *, const evn_node *named);

/* The file beside a path that leads to none whose name is nearest, as it is named from here; NULL: none is near. */
const char *evn_near_file(evn_reading *, const char *path);

/*
 * Loads the file that a value names, beside the file where the value stands or in the search path. NULL (said at the
 * value) when there is none. The caller frees the bytes.
 */
evn_source *evn_load_named(evn_reading *, const evn_node *named, evn_bytes *out);

#endif
