/* A line that tells how far a long run is; only where a person sees it, and only after a second. */
#ifndef EVENER_CLI_PROGRESS_H
#define EVENER_CLI_PROGRESS_H
#include "show/look.h"
#include <time.h>

typedef struct evn_progress {
    FILE *to;          /* NULL: nobody to see it */
    const char *whole; /* of which a share is done: "the cycle" */
    struct timespec next;
    bool shown;
} evn_progress;

evn_progress evn_progress_begin(const evn_console *, const char *whole);
void evn_progress_show(evn_progress *, double done_share);
/* The same with words of the caller's own, at most 79 columns. */
void evn_progress_tell(evn_progress *, const char *words);
void evn_progress_end(evn_progress *); /* takes the line away */

#endif
