/* Follows a dotted path down a tree to the place where a value was written. */
#include "read/seat.h"
#include <string.h>

static const evn_node *nth(const evn_node *parent, size_t index)
{
    const evn_node *child = parent->first;
    while (child && index-- > 0)
        child = child->next;
    return child;
}

/* Steps into "[12]"; *path is left behind it. NULL when there is no such item or the path is not one. */
static const evn_node *step_by_index(const evn_node *node, const char **path)
{
    size_t index = 0;
    const char *at = *path + 1;
    while (*at >= '0' && *at <= '9' && index <= EVN_ITEMS_MOST)
        index = index * 10 + (size_t)(*at++ - '0');
    bool whole = *at == ']' && at > *path + 1;
    *path = at + 1;
    return whole ? nth(node, index) : NULL;
}

/* Steps into "key"; a step of a list, a map of one key, is also entered without naming that key. */
static const evn_node *step_by_key(const evn_node *node, const char **path)
{
    size_t length = strcspn(*path, ".[");
    const evn_node *found = evn_node_get(node, *path, length);
    if (!found && !node->key && node->kind == EVN_NODE_MAP && node->count == 1)
        found = evn_node_get(node->first, *path, length);
    *path += length;
    return found;
}

/* The value at the path, or the innermost one on the way to it. */
static const evn_node *follow(const evn_node *node, const char *path)
{
    while (path && *path != '\0') {
        if (*path == '.')
            path++;
        const evn_node *next = *path == '[' ? step_by_index(node, &path) : step_by_key(node, &path);
        if (!next)
            return node;
        node = next;
    }
    return node;
}

static evn_spot spot(const evn_seat *seat, const char *path, evn_spot *used_from)
{
    const evn_tree_seat *self = (const evn_tree_seat *)(const void *)seat;
    const evn_node *node = follow(self->node, path);
    *used_from = node->source->used_from;
    return evn_node_spot(node);
}

evn_tree_seat evn_seat_on(const evn_node *node) { return (evn_tree_seat){{spot}, node}; }
