/* Losses of gears as measured, fitted by the law of parts; LOSSES.md. */
#ifndef EVENER_LOG_LOSS_FIT_H
#define EVENER_LOG_LOSS_FIT_H
#include "core/arena.h"
#include "core/report.h"
#include "evener/matrices.h"

struct evn_loss_fit {
    evn_arena *arena;
    evn_loss_told told;
};

/* Fills a fit whose arena is there. False: said. */
bool evn_loss_fit_make(evn_loss_fit *, const char *path, const evn_loss_ask *, evn_report *);

#endif
