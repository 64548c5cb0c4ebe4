/* Walking and changing trees, and speaking about their nodes. */
#include "read/tree.h"
#include <stdarg.h>
#include <string.h>

uint32_t evn_key_hash(const char *key, size_t length)
{
    uint32_t hash = 2166136261U; /* FNV-1a, 32 bit */
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ (unsigned char)key[i]) * 16777619U;
    return hash;
}

evn_node *evn_node_get(const evn_node *node, const char *key, size_t length)
{
    if (node->kind != EVN_NODE_MAP)
        return NULL;
    uint32_t hash = evn_key_hash(key, length);
    for (evn_node *child = node->first; child; child = child->next)
        if (child->key_hash == hash && strncmp(child->key, key, length) == 0 && child->key[length] == '\0')
            return child;
    return NULL;
}

void evn_node_append(evn_node *parent, evn_node *child)
{
    child->next = NULL;
    if (!parent->last)
        parent->first = child;
    else
        parent->last->next = child;
    parent->last = child;
    parent->count++;
}

void evn_node_remove(evn_node *parent, const evn_node *child)
{
    evn_node *before = NULL;
    for (evn_node *at = parent->first; at; before = at, at = at->next) {
        if (at != child)
            continue;
        if (!before)
            parent->first = at->next;
        else
            before->next = at->next;
        if (parent->last == at)
            parent->last = before;
        parent->count--;
        return;
    }
}

evn_spot evn_node_spot(const evn_node *node) { return evn_source_spot(node->source, node->line, node->column); }

evn_spot evn_node_key_spot(const evn_node *node)
{
    if (!node->key)
        return evn_node_spot(node);
    return evn_source_spot(node->key_source, node->key_line, node->key_column);
}

void evn_say_value(evn_reading *reading, const evn_node *node, evn_fault fault, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(reading->report, fault, evn_node_spot(node), node->source->used_from, format, values);
    va_end(values);
}

void evn_say_key(evn_reading *reading, const evn_node *node, evn_fault fault, const char *format, ...)
{
    const evn_source *source = !node->key ? node->source : node->key_source;
    va_list values;
    va_start(values, format);
    evn_vsay(reading->report, fault, evn_node_key_spot(node), source->used_from, format, values);
    va_end(values);
}
