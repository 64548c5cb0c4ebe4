/* The files there are: trucks, cycles, lineups, parts. */
#ifndef EVENER_SHOW_LIST_STORY_H
#define EVENER_SHOW_LIST_STORY_H
#include "evener/catalogue.h"
#include "show/findings.h"

#define EVN_LIST_SCHEMA "evener.list/1"

typedef struct evn_list_story {
    const evn_catalogue *catalogue;
    bool wanted[EVN_ITEM_OTHER + 1]; /* by group */
    const char *kind;                /* of these only files of this kind; NULL: all */
} evn_list_story;

/* Whether the file is one of those that are told. */
bool evn_list_wants(const evn_list_story *, const evn_item *);

/* Names, a line each. */
void evn_list_names(const evn_list_story *, FILE *);

/* Both false when memory is out. */
bool evn_list_text(const evn_list_story *, FILE *, const evn_look *);
bool evn_list_json(const evn_list_story *, evn_status, const evn_findings *, FILE *);

#endif
