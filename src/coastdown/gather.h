/* Coast-downs as they are found in logs: where one begins and ends, its direction, grade, wind and air; and which of
 * them are no good, and why. */
#ifndef EVENER_COASTDOWN_GATHER_H
#define EVENER_COASTDOWN_GATHER_H
#include "coastdown/coastdown.h"
#include "evener/coastdown.h"
#include "log/log.h"

enum { EVN_COAST_PIECES_MOST = 64, EVN_COAST_WHY_BYTES = 200 };

typedef struct evn_coast_piece {
    const char *file;
    unsigned line, last_line;
    evn_coast_run run;
    evn_coast_sample *sample; /* the run's, in the arena */
    double from_m_s, to_m_s, duration_s;
    double course_deg;                              /* clockwise from north; NAN: not known */
    double wind_m_s, wind_peak_m_s, cross_wind_m_s; /* over ground, mean, highest, and mean across; NAN: not measured */
    bool wind_along;                                /* samples know the wind along the road */
    const char *grade_from;                         /* "grade", "altitude", "given", "level" */
    const char *reason;                             /* NULL: it is used; else one of those of evn_coastdown_run */
    char why[EVN_COAST_WHY_BYTES];
} evn_coast_piece;

typedef struct evn_coast_pieces {
    evn_coast_piece at[EVN_COAST_PIECES_MOST];
    size_t count;
} evn_coast_pieces;

/* Adds those of a log. False (said) when something is wrong. */
bool evn_coast_gather(const evn_log *, const evn_coastdown_how *, evn_coast_pieces *, evn_arena *, evn_report *);

/* Leaves a run out. */
void evn_coast_refuse(evn_coast_piece *, const char *reason, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

#endif
