/* Two documents of results, as evener drive --json writes them, held against each other. */
#ifndef EVENER_SHOW_DIFF_STORY_H
#define EVENER_SHOW_DIFF_STORY_H
#include "evener/kept.h"
#include "show/findings.h"

typedef struct evn_differing_word {
    char *key, *first, *second;
} evn_differing_word;

typedef struct evn_documents {
    evn_moved_quantity *moved;
    size_t moved_count, moved_room;
    evn_differing_word *word; /* texts that differ */
    size_t word_count, word_room;
    size_t compared;
    bool out_of_memory;
} evn_documents;

/* Reads both; NULL, with a mishap, where one is no such document. */
evn_documents *evn_documents_read(const char *first, const char *second, evn_mishap *);
void evn_documents_free(evn_documents *);

/* Holds all numbers of the first against the second's; what else differs counts too. */
size_t evn_documents_moved(const evn_documents *);

/* Both false when memory is out. */
bool evn_documents_text(const evn_documents *, FILE *, const evn_look *);
bool evn_documents_json(const evn_documents *, const char *schema, evn_status, const evn_findings *, FILE *);

#endif
