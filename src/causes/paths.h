/* Paths as written, and the driven axles that they lead to. Private to hybrids. */
#ifndef EVENER_CAUSES_PATHS_H
#define EVENER_CAUSES_PATHS_H
#include "causes/hybrid.h"
#include "truck/unit.h"

enum { EVN_DRIVEN_MOST = EVN_UNITS_MAX * EVN_BRANCHES_MAX, EVN_WITHOUT_BRANCH = EVN_BRANCHES_MAX };

/* An axle that is driven: by which unit, and by which of its branches (EVN_WITHOUT_BRANCH: it has none). */
typedef struct evn_driven {
    double axle;
    size_t unit, branch;
} evn_driven;

typedef struct evn_driven_axles {
    evn_driven at[EVN_DRIVEN_MOST]; /* from the front */
    size_t count;
} evn_driven_axles;

evn_driven_axles evn_driven_axles_of(const evn_unit_file *, size_t count);

/* The path from where an axle's own begins: its branch's, or its unit's. */
const evn_steps *evn_driven_path(const evn_unit_file *, const evn_driven *);

bool evn_is_disconnect(const evn_step *);
const evn_step *evn_first_disconnect(const evn_steps *); /* NULL: none */

/* Where the drive of the axle itself begins: behind the last shaft, joint or bearing between gearbox and axle. */
size_t evn_axle_drive_at(const evn_steps *);

/* Steps of one path, then of another, from and to places of each. False when memory is out. */
typedef struct evn_stretch {
    const evn_steps *of;
    size_t from, to;
    bool without_disconnects;
} evn_stretch;
bool evn_steps_join(const evn_stretch *, size_t count, evn_arena *, evn_steps *out);

/* A copy of structs that may be written. NULL when memory is out. */
void *evn_copied(const void *, size_t bytes, evn_arena *);

#endif
