/* A YAML file as a tree of maps, lists and scalars, each with its place. Lives in the scratch arena of a reading. */
#ifndef EVENER_READ_TREE_H
#define EVENER_READ_TREE_H
#include "read/reading.h"

typedef enum evn_node_kind {
    EVN_NODE_BROKEN, /* a fault has been said about it; nothing more is said */
    EVN_NODE_SCALAR,
    EVN_NODE_MAP,
    EVN_NODE_LIST
} evn_node_kind;

typedef struct evn_node evn_node;
struct evn_node {
    evn_node *next;         /* in the map or list that holds this one */
    evn_node *first, *last; /* what it holds, in the order of the file */
    size_t count;
    const char *key;              /* NULL for the root and for the items of a list */
    const evn_source *key_source; /* after merging a key and its value may stand in different files */
    const char *text;             /* of a scalar; holds no zero byte */
    const evn_source *source;
    uint32_t key_line, key_column;
    uint32_t line, column; /* of the value; a block map or list begins at its key */
    uint32_t key_hash;
    const evn_node *use; /* of a map: the `use` that brought in what it holds, once it is resolved */
    unsigned char kind;
    bool plain;      /* a scalar without quotes */
    bool repeats;    /* a map with a key twice, the first of which it holds: how many it holds is not judged */
    bool incomplete; /* a map that misses what a fault kept from it: its missing keys are not said */
};

/* NULL when the file does not end as YAML (said). Faults of single values are said and leave broken nodes. */
evn_node *evn_tree_parse(evn_reading *, const evn_source *, const char *bytes, size_t length);

/* The value of a key; NULL when the node is no map or does not have it. */
evn_node *evn_node_get(const evn_node *, const char *key, size_t length);

/* Takes a child out of a map or list. */
void evn_node_remove(evn_node *parent, const evn_node *child);
void evn_node_append(evn_node *parent, evn_node *child);

evn_spot evn_node_spot(const evn_node *);
evn_spot evn_node_key_spot(const evn_node *);

/* Says a fault at the value, or at its key. */
void evn_say_value(evn_reading *, const evn_node *, evn_fault, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void evn_say_key(evn_reading *, const evn_node *, evn_fault, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

uint32_t evn_key_hash(const char *key, size_t length);

#endif
