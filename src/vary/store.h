/* Variants in a file of SQLite: the only place that knows it. */
#ifndef EVENER_VARY_STORE_H
#define EVENER_VARY_STORE_H
#include "evener/vary.h"
#include "vary/drive.h"

enum { EVN_FACTS_MOST = 64 };

typedef struct evn_fact_of { /* of a store */
    const char *key, *value;
    bool same; /* stores with another value do not belong together */
} evn_store_fact;

typedef struct evn_store_is { /* what is written at its beginning */
    const evn_study_file *study;
    const evn_columns *columns;
    evn_store_fact fact[EVN_FACTS_MOST];
    size_t facts;
} evn_store_is;

typedef struct evn_store evn_store;

/* Makes the file, or opens it where it is there and of the same facts. NULL (said). Path NULL: in memory. */
evn_store *evn_store_begin(const char *path, const evn_store_is *, evn_report *);
void evn_store_end(evn_store *);

/* Whether a variant is there. */
bool evn_store_has(evn_store *, uint64_t id);
/* Its values, those of results without texts; false: it is not there. */
bool evn_store_get(evn_store *, const evn_store_is *, uint64_t id, evn_row *);
/* So many rows, all or none. False (said). */
bool evn_store_put(evn_store *, const evn_store_is *, const evn_row *, size_t count, evn_report *);
uint64_t evn_store_count(evn_store *);
uint64_t evn_store_failed(evn_store *);

/* Opens it to be read; takes over the store of what was kept in memory. NULL: said. */
evn_variants *evn_variants_of_store(evn_store *, evn_report *);

#endif
