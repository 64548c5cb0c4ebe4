/* Who looks at a run: samplers, each with rows at an interval of its own and all with those at events, and who may end
 * it. */
#ifndef EVENER_TRIP_WATCH_H
#define EVENER_TRIP_WATCH_H
#include "evener/traces.h"

typedef struct evn_watch {
    const evn_sampler *sampler;
    size_t samplers; /* how many */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as in evn_watcher; may be NULL */
    evn_collective *collective;                   /* NULL: nobody counts */
} evn_watch;

#endif
