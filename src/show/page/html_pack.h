/* Columns of whole numbers in as few bytes of text as they need, which the page unpacks (assets/data.js). */
#ifndef EVENER_SHOW_HTML_PACK_H
#define EVENER_SHOW_HTML_PACK_H
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * Numbers as differences from row to row (order 1) or as differences of those (order 2); zigzag (0, -1, 1, -2 as 0, 1,
 * 2, 3), seven bits a byte with the lowest first, the eighth set where more follow. Behind a 0 stands how many more of
 * them follow, in the same bytes. Begins as {.order = 1} or {.order = 2}.
 */
typedef struct evn_packed {
    int order;
    int64_t last, last_change;
    uint64_t zeros; /* not written yet */
    unsigned char *bytes;
    size_t count, room;
    bool short_of_memory;
} evn_packed;

void evn_packed_add(evn_packed *, int64_t);
void evn_packed_end(evn_packed *); /* behind the last number; may be called again */
void evn_packed_free(evn_packed *);

/* Bytes as base64, RFC 4648, piece by piece. */
typedef struct evn_base64 {
    char *text;
    size_t used, held;
    unsigned char group[3];
} evn_base64;

bool evn_base64_begin(evn_base64 *, size_t bytes); /* as many as will come; false when memory is out */
void evn_base64_put(evn_base64 *, const unsigned char *, size_t bytes);
char *evn_base64_end(evn_base64 *); /* the text, to be freed */

#endif
