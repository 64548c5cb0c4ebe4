/* What limits the tyre force of all motors together, and how much is left to it. Forces in N, above zero pulling. */
#ifndef EVENER_PULL_LIMITS_H
#define EVENER_PULL_LIMITS_H
#include "pull/pull.h"

/* Total pulling force at a share of what each unit can reach, at the acceleration that it gives. */
double evn_team_pull_n(const evn_pull *, const evn_team *, double share);
/* Total pushing force at a share (below zero), at the asked acceleration, where friction brakes do the rest. */
double evn_team_push_n(const evn_pull *, const evn_team *, double share);

/* The tyre force that the binding limit leaves; the one that is wanted of the motors where none binds. */
typedef struct evn_limited {
    double unit_n;
    double beyond_pack_w; /* at the pack's limit: what the motors could do beyond it; below zero: they bind first */
} evn_limited;
evn_limited evn_pull_limited(const evn_pull *, double want_n);

/* Force at which the terminals give, or take, just the pack's limit; see evn_limited.beyond_pack_w. */
double evn_pack_limit_n(const evn_pull *, bool pulling, double *beyond_w);

/* Power at the terminals, W, above zero out of the pack, when the units give a tyre force together. */
double evn_pull_terminals_w(const evn_pull *, double total_n, bool pulling);

/*
 * Pushing: of a wanted force (below zero) what motors, tyres and pack give together, no limit being known to bind, and
 * whether the pack holds it. The search for the pack's limit is gone into only then.
 */
double evn_pull_given_n(const evn_pull *, double want_n, bool *by_pack);

/* Most that motors, tyres and pack give together, pulling or (below zero) pushing, no limit being known to bind. */
double evn_pull_most_n(const evn_pull *, bool pulling);

/* Motors brake alone, as hard as all these let them, while the road's resistances help: sets the acceleration that is
 * asked for to the one that this gives, and returns their force, below zero. */
double evn_pull_brake_alone_n(evn_pull *);

/*
 * What is left to the force. Of a single unit on one axle: most_n and least_n are what its tyres allow, pulling and
 * pushing; apart_n is 0. Where adhesion cuts the force of each unit or axle: what all give together, each at what its
 * motors or its tyres allow; apart_n, at a limit: by how much the adhesion limit is above what the motors can, for the
 * unit where that is most (below zero: adhesion holds all of them). Not worked out far from both: no limit is near.
 */
typedef struct evn_reach {
    double most_n, least_n, apart_n;
} evn_reach;
typedef struct evn_reached_now {           /* what the units do now */
    double accel_m_s2, brake_n, limited_n; /* brake_n: all that motors leave; limited_n: as evn_pull_limited gave */
    const double *force_n, *motor_nm;      /* of each unit */
} evn_reached_now;
evn_reach evn_pull_reach(const evn_pull *, const evn_reached_now *);

#endif
