/* What holds the figures and verdicts of a truck. Private to limits.c, which makes it, and list.c, which fills it. */
#ifndef EVENER_LIMITS_LIST_H
#define EVENER_LIMITS_LIST_H
#include "limits/limits.h"

enum { EVN_DEMANDS = 4 };

struct evn_limits {
    evn_arena *arena;
    evn_limits_figure *figure;
    size_t count, room;
    evn_limits_verdict verdict[EVN_DEMANDS];
    size_t verdict_count;
    bool short_of_memory;
};

#endif
