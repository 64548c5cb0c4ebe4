/*
 * The largest payload of a truck: under its gross mass, what is permitted on its axles, every axle on the ground, and
 * the clauses of a set of rules. Placed as stated, or wherever its centre may be loaded. Loads at rest are linear in
 * it; a lifting axle is on the ground.
 */
#ifndef EVENER_SITE_PAYLOAD_LEFT_H
#define EVENER_SITE_PAYLOAD_LEFT_H
#include "core/arena.h"
#include "site/largest_load.h"
#include "site/rules_judge.h"

typedef struct evn_payload_left {
    double kg;           /* NAN: none is within all limits, or not known */
    double at_m;         /* where its centre is then */
    const char *binds;   /* what holds it down, in words; NULL: nothing */
    const char *missing; /* a key that is not stated, without which a clause cannot be judged; NULL: none */
} evn_payload_left;

typedef struct evn_payload_ask {
    const evn_rules_file *rules; /* NULL: what the truck's file permits alone */
    bool intermodal;
    bool anywhere; /* from centre_from_m to centre_to_m; else as stated */
} evn_payload_ask;

/* False: memory ran out. Words are in the arena. */
bool evn_payload_left_of(const evn_truck_file *, const evn_unit_masses masses[], const evn_payload_ask *, evn_arena *,
                         evn_payload_left *out);

/* What a verdict is held against, in words: "axle drive", "axles leading and trailing", "the trailer's axles", "all".
 */
enum { EVN_SUBJECT_BYTES = 160 };
const char *evn_rule_subject(char out[EVN_SUBJECT_BYTES], const evn_rules_file *, const evn_weighed *,
                             const evn_rule_verdict *);

#endif
