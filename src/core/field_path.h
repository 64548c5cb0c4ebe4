/* Dotted paths to values: keys and names with dots between them, places in lists in brackets from 0: "ratios[1]". */
#ifndef EVENER_CORE_FIELD_PATH_H
#define EVENER_CORE_FIELD_PATH_H
#include "core/words.h"

enum { EVN_PATH_STEPS_MOST = 40, EVN_PATH_INDEX_MOST = 2000000, EVN_PATH_PHRASE_BYTES = 120 };

typedef struct evn_path_step { /* "gearbox" or "[2]" */
    const char *key;           /* within the text, not ended by a zero byte; NULL: by index */
    size_t length, index;
    size_t byte; /* where it stands in the text */
} evn_path_step;

typedef struct evn_path {
    const char *text;
    size_t end, count;
    evn_path_step step[EVN_PATH_STEPS_MOST];
} evn_path;

typedef struct evn_path_trouble { /* why a text is no path */
    evn_fault fault;
    size_t byte; /* where */
    char words[EVN_PATH_PHRASE_BYTES];
} evn_path_trouble;

/* Takes the text from `begin` to before `end` apart. False, with the trouble, when it is no path. */
bool evn_path_read(const char *text, size_t begin, size_t end, evn_path *, evn_path_trouble *);

/* The path up to a step, as messages name a place; `top` for what the path begins in. Returns `out`. */
const char *evn_path_shown(const evn_path *, size_t steps, const char *top, char out[EVN_QUOTE_BYTES]);

/* The column of a byte of a line of UTF-8, from 1. */
uint32_t evn_column_of(const char *text, size_t byte);

#endif
