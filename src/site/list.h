/* What holds the figures of a truck. Private to site.c, which makes it, and list.c, which fills it. */
#ifndef EVENER_SITE_LIST_H
#define EVENER_SITE_LIST_H
#include "site/site.h"

struct evn_site {
    evn_arena *arena;
    evn_site_figure *figure;
    size_t count, room;
    bool short_of_memory;
};

#endif
