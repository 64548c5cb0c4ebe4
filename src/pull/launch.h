/* What a truck has to move off with: the tyre force that it needs at rest, and what motors and tyres give of it. */
#ifndef EVENER_PULL_LAUNCH_H
#define EVENER_PULL_LAUNCH_H
#include "pull/pull.h"

typedef struct evn_launch_reach {
    double need_n;              /* holds the truck on its grade, against rolling resistance and wind */
    double tyres_n;             /* most that the driven tyres carry */
    double motors_n, cold_n;    /* most that the motors give, and would give if no winding were hot */
    double both_n, both_cold_n; /* of each unit what its motors give and its tyres carry, all together; likewise */
    double open_n, locked_n;    /* what the tyres would carry with all differentials open, and with all locked */
} evn_launch_reach;

/* At rest where `at` stands, in the settings that it tells; a change that is under way is done. */
evn_launch_reach evn_launch_reach_of(const evn_given *at);

#endif
