/* From pieces of logs to what held the truck back. */
#ifndef EVENER_COASTDOWN_FIND_H
#define EVENER_COASTDOWN_FIND_H
#include "coastdown/gather.h"

struct evn_coastdown {
    evn_arena *arena;
    evn_coastdown_how how;
    evn_coast_vehicle vehicle;
    evn_coast_pieces pieces;
    /* Runs that are used, in the order of pieces, and what is found of each. */
    evn_coast_run run[EVN_COAST_PIECES_MOST];
    evn_coast_own own[EVN_COAST_PIECES_MOST];
    size_t piece_of[EVN_COAST_PIECES_MOST];
    size_t runs;
    bool wind_found; /* sought by the fit */
    evn_coast_found fit, regression;
    evn_coast_band *band; /* of the runs that are used */
    size_t bands;
};

/* False (said): a member is out of its bounds. */
bool evn_coast_how_fits(const evn_coastdown_how *, evn_report *);

/* Of pieces that were gathered: directions, which do not do, pairs, fit and regression. False (said) when nothing comes
 * of it. */
bool evn_coast_find(evn_coastdown *, evn_report *);

#endif
