/* Which keys two trucks differ in, cause by cause, as paths of their files. */
#ifndef EVENER_CAUSES_DIFFERING_H
#define EVENER_CAUSES_DIFFERING_H
#include "causes/mixture.h"

enum { EVN_DIFFERING_MOST = 128 }; /* of one cause; further ones are not named */

typedef struct evn_differing {
    const char *path[EVN_DIFFERING_MOST];
    size_t count;
} evn_differing;

/* Of each cause; of those whose keys stand within the drive units none. NULL when memory is out. */
evn_differing *evn_differing_of(const evn_two *, evn_arena *);

#endif
