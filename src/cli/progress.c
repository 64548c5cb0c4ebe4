/* One line on a terminal that is written over while a long run goes on. */
#define _POSIX_C_SOURCE 200809L
#include "cli/progress.h"
#include <math.h>

enum { INTERVAL_NS = 200000000, SECOND_NS = 1000000000 };

evn_progress evn_progress_begin(const evn_console *console, const char *whole)
{
    evn_progress progress = {.to = NULL, .whole = whole};
    if (console->err_is_terminal && clock_gettime(CLOCK_MONOTONIC, &progress.next) == 0) {
        progress.to = console->err;
        progress.next.tv_sec += 1;
    }
    return progress;
}

static bool is_before(const struct timespec *a, const struct timespec *b)
{
    return a->tv_sec < b->tv_sec || (a->tv_sec == b->tv_sec && a->tv_nsec < b->tv_nsec);
}

/* Whether it is time to write the line anew. */
static bool is_due(evn_progress *progress)
{
    struct timespec now;
    if (!progress->to || clock_gettime(CLOCK_MONOTONIC, &now) != 0 || is_before(&now, &progress->next))
        return false;
    progress->next = now;
    progress->next.tv_nsec += INTERVAL_NS;
    if (progress->next.tv_nsec >= SECOND_NS) {
        progress->next.tv_nsec -= SECOND_NS;
        progress->next.tv_sec += 1;
    }
    return true;
}

void evn_progress_tell(evn_progress *progress, const char *words)
{
    if (!is_due(progress))
        return;
    fprintf(progress->to, "\r%-79.79s", words);
    fflush(progress->to);
    progress->shown = true;
}

void evn_progress_show(evn_progress *progress, double done_share)
{
    if (!is_due(progress))
        return;
    fprintf(progress->to, "\r%3.0f %% of %s; Ctrl-C stops ", floor(100 * done_share), progress->whole);
    fflush(progress->to);
    progress->shown = true;
}

void evn_progress_end(evn_progress *progress)
{
    if (progress->shown)
        fprintf(progress->to, "\r%79s\r", "");
    progress->shown = false;
}
