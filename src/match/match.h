/* A truck held against a log: what the log tells, what runs tell at the same times, and what explains the difference.
 */
#ifndef EVENER_MATCH_MATCH_H
#define EVENER_MATCH_MATCH_H
#include "coastdown/normal.h"
#include "evener/match.h"
#include "log/import.h"
#include "runs/runs.h"

/* ------------------------------------------------------------------------------------------ the log (measured.c) */

/* Rows of the log on the clock of the cycle, from its beginning to its end. Columns are NULL where the log lacks them.
 */
typedef struct evn_measured_rows {
    size_t count;
    const double *time_s;
    const double *speed_m_s, *power_w, *soc, *motor_rad_s;
    const double *energy_j; /* from the battery since the beginning; never NAN */
    const double *lost_s;   /* of that time the log tells no power; NULL: none */
    /* By the cycle: where it is then, and since when: earlier than its time only where it rests, and -INFINITY where it
     * has just left from a rest. */
    const double *place_m, *arrived_s;
    const char *energy_from;
} evn_measured_rows;

/* So near behind a rest it has just left: places of log and run are the same by no more than that. */
#define EVN_JUST_LEFT_M 0.2

/* False (said) when memory is out, or a counter of energy jumps. Where power is missing for longer than a gap, that is
 * said. */
bool evn_match_measure(const evn_import *, const evn_match_how *, evn_measured_rows *, evn_arena *, evn_report *);

/* The cycle over time that an import holds, as a file would. NULL when memory is out. */
const evn_cycle_file *evn_match_cycle(const evn_import *, evn_arena *);

/* ------------------------------------------------------------------------------------------ a run (modelled.c) */

/* What a run tells, at its own times. */
typedef struct evn_modelled {
    size_t count, room;
    double *row; /* [count][EVN_MODELLED_COLUMNS] */
    size_t column[12];
    bool out_of_memory;
} evn_modelled;

enum {
    EVN_MODELLED_TIME,
    EVN_MODELLED_PLACE,
    EVN_MODELLED_SPEED, /* km/h */
    EVN_MODELLED_POWER, /* kW, at the terminals */
    EVN_MODELLED_SOC,
    EVN_MODELLED_MOTOR, /* 1/min, of the first drive unit */
    /* kN: of tyres, air and grade; of the drive units; of the friction brakes, above zero. */
    EVN_MODELLED_ROLLING,
    EVN_MODELLED_AIR,
    EVN_MODELLED_GRADE,
    EVN_MODELLED_PULL,
    EVN_MODELLED_FRICTION,
    EVN_MODELLED_ENERGY, /* J from the terminals since the beginning */
    EVN_MODELLED_COLUMNS
};

/* Takes the rows of a run of this rig. */
evn_sampler evn_modelled_sampler(evn_modelled *, const evn_rig *);
/*
 * Sums up its energy, behind the run; with a battery of so much energy instead by its charge, 0: by its power, where
 * what braking returns counts times `regeneration`.
 */
void evn_modelled_end(evn_modelled *, double charge_j, double regeneration);
void evn_modelled_free(evn_modelled *);
/* Straight between its rows; `near` is where the last was found, 0 at first. */
double evn_modelled_at(const evn_modelled *, int column, double time_s, size_t *near);
/*
 * When the run is where the log is at a time: the run may be late or early. Where the log rests, as long behind the
 * run's arrival as behind its own, while the run rests; INFINITY: until it leaves.
 */
double evn_modelled_when(const evn_modelled *, double place_m, double rested_s, size_t *near);

/* ------------------------------------------------------------------------------------------ parameters (change.c) */

/* What they are as stated, in their units. */
double evn_match_stated(evn_match_parameter, const evn_rig *);
/* How far each is moved to see what it does. */
double evn_match_step(evn_match_parameter, const evn_rig *);
/* Between which it is looked for, in its unit. */
typedef struct evn_match_bounds {
    double least, most;
} evn_match_bounds;
evn_match_bounds evn_match_bounds_of(evn_match_parameter, const evn_rig *);
extern const evn_quantity evn_match_quantities[EVN_MATCH_PARAMETERS];
extern const char *const evn_match_words[EVN_MATCH_PARAMETERS];

/* A rig with parameters of other values, which borrows from the one it was made of; a new mass makes a new one. */
typedef struct evn_match_variant {
    evn_rig rig;
    evn_rig *made; /* NULL: none */
} evn_match_variant;
/* False (said): no rig with such a payload. `stated` is the rig as it is, `value` one of each parameter. */
bool evn_match_vary(evn_match_variant *, const evn_truck_file *, const evn_load_case *, const evn_rig *stated,
                    unsigned which, const double value[EVN_MATCH_PARAMETERS], evn_report *);
void evn_match_variant_free(evn_match_variant *);

/* ------------------------------------------------------------------------------------------ blocks (blocks.c) */

enum { EVN_MATCH_PARTS = 10 };

/* What is held against each other: energy from the battery in each block, or the charge's part of it. */
typedef struct evn_match_blocks {
    size_t count;
    double block_s;
    const double *end_s;              /* [count] */
    const double *place_m, *rested_s; /* [count], there */
    const double *log_j;              /* [count]; of the charge as the truck's battery would have it */
    const bool *lost;   /* [count]: the log does not tell all of its power: 0 of log and run, and no row */
    const size_t *rank; /* [count]: blocks before it that are not lost */
    size_t held;        /* blocks that are not */
    size_t parts;       /* each of consecutive blocks */
} evn_match_blocks;
bool evn_match_blocks_of(const evn_measured_rows *, double block_s, evn_match_blocks *, evn_arena *);
/* The same of a run. */
void evn_match_blocks_run(const evn_match_blocks *, const evn_modelled *, double *run_j);
/* The part that a block is of. */
size_t evn_match_part(const evn_match_blocks *, size_t block);

/* ------------------------------------------------------------------------------------------ sense (sense.c) */

/*
 * False, and said, where the energies of the log cannot be what they are called: below zero where the run, which drives
 * the same way, is above, or so many times larger or smaller that the unit is another.
 */
bool evn_match_makes_sense(const evn_measured_rows *, const evn_log *, const evn_modelled *, evn_arena *, evn_report *);

/* --------------------------------------------------------------------------------------- derivatives (derive.c) */

/*
 * What a step of each parameter does to the energy of each block, J, by the powers of a run along the way as it was
 * driven: [blocks][EVN_MATCH_PARAMETERS], those of `parameter` in its order. False when memory is out.
 */
bool evn_match_derive(const evn_match_blocks *, const evn_modelled *, const evn_rig *,
                      const evn_match_parameter *parameter, size_t count, double *out);

/* ------------------------------------------------------------------------------------ what explains (explain.c) */

/* Drives a variant. */
typedef struct evn_match_drive {
    const evn_truck_file *truck;
    const evn_cycle_file *cycle;
    const evn_load_case *load_case;
    const evn_driving *driving;
    const evn_rig *rig; /* as stated */
    evn_runs *runs;
    size_t driven;   /* for what explains, so far */
    double charge_j; /* the battery's, where the log tells the charge alone; 0: it tells energy */
} evn_match_drive;

typedef struct evn_match_fit {
    unsigned which;
    size_t count;
    evn_match_parameter parameter[EVN_MATCH_PARAMETERS];
    bool found, by_scatter;
    const char *why_not;
    double stated[EVN_MATCH_PARAMETERS], value[EVN_MATCH_PARAMETERS], half[EVN_MATCH_PARAMETERS];
    bool at_bound[EVN_MATCH_PARAMETERS];
    double alone_share[EVN_MATCH_PARAMETERS];
    double correlation[EVN_MATCH_PARAMETERS][EVN_MATCH_PARAMETERS];
    double share, condition;
    size_t runs;
    evn_modelled run; /* with what explains it */
} evn_match_fit;

enum { EVN_MATCH_ROUNDS = 4 };

/* `stated`: the run as stated. False when memory is out or the runs were stopped. */
bool evn_match_explain(evn_match_drive *, const evn_match_blocks *, const evn_modelled *stated, evn_match_fit *);

/* ------------------------------------------------------------------------------------------ the whole (find.c) */

struct evn_match {
    evn_arena *arena;
    evn_import import;
    evn_conditions ask;
    evn_measured_rows log;
    evn_rig *rig;
    evn_results *results;
    evn_modelled run;
    evn_match_blocks blocks;
    double *run_j; /* [blocks] */
    evn_match_fit fit;
};

bool evn_match_how_fits(const evn_match_how *, evn_report *);

/* Fills a match whose arena is there. False: said. */
bool evn_match_make(evn_match *, const evn_truck_file *, const char *log, const evn_conditions *, const evn_match_how *,
                    evn_report *);

#endif
