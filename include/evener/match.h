/*
 * match.h: a truck held against a log: the logged speed and grade are driven, and power, energy, charge and motor speed
 * of the run are held against the log where it has them; and which of a few parameters would explain what differs. How
 * stands in src/match/MATCH.md of the source tree.
 */
#ifndef EVENER_MATCH_H
#define EVENER_MATCH_H

#include "evener/logs.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What may explain a difference. */
typedef enum evn_match_parameter {
    EVN_MATCH_ROLLING,      /* rolling resistance of all tyres, as a mean coefficient */
    EVN_MATCH_DRAG,         /* drag area, m2 */
    EVN_MATCH_MASS,         /* gross mass, by the payload, kg */
    EVN_MATCH_AUXILIARIES,  /* steady power of the auxiliaries, kW */
    EVN_MATCH_HEADWIND,     /* m/s, the same all the way: for a way in one direction */
    EVN_MATCH_REGENERATION, /* what braking returns to the battery, over what the run returns: drivers brake unlike */
    EVN_MATCH_PARAMETERS
} evn_match_parameter;

/* evn_match_how_default gives the defaults. */
typedef struct evn_match_how {
    evn_import_how import;  /* how the log is read and made a cycle over time */
    double block_s;         /* 5 to 3600; default 60; energies are held against each other in blocks of so long */
    bool charging_positive; /* power, current and energy of the log are above 0 while the battery is charged */
    unsigned explain;       /* bits 1 << evn_match_parameter; default all but mass and headwind; 0: none */
    size_t threads;         /* 0: as many as processors; the results are the same bytes */
    void *self;
    bool (*go_on)(void *self, double done_share); /* as in evn_compare_how */
} evn_match_how;
EVN_API evn_match_how evn_match_how_default(void);

/* The word of a parameter, "drag_area"; NULL: no such. */
EVN_API const char *evn_match_word(evn_match_parameter);

typedef struct evn_match evn_match;

/*
 * Reads the log, makes a cycle over time of it, drives it, and holds the run against the log. Where the conditions do
 * not say otherwise (NAN) the charge at the start and the temperature of the air are those of the log, where it has
 * them. EVN_DONE; EVN_BAD_INPUT: the log cannot be read, or tells nothing to hold a run against, or energies that
 * cannot be what they are called ("disagrees"), or a member is out of its bounds; EVN_ANSWER_NO: the run did not
 * finish, as of evn_drive; EVN_NO_RESULT: stopped. There is an object wherever the truck was driven and the log was not
 * refused.
 */
EVN_API evn_status evn_match_find(const evn_truck *, const char *log, const evn_conditions *, const evn_match_how *,
                                  evn_match **out, evn_report *);
EVN_API void evn_match_free(evn_match *);

/* The log as it was made a cycle; and the run as it is, before anything is explained. Belong to the match. */
EVN_API const evn_import_told *evn_match_import(const evn_match *);
EVN_API const evn_results *evn_match_results(const evn_match *);
/* As asked, with what the log gave. */
EVN_API evn_conditions evn_match_conditions(const evn_match *);

/* What is held against the log, row by row: "speed", "power", "charge", "motor_speed". The run less the log. */
typedef struct evn_match_error {
    evn_quantity what;                    /* in the unit of what follows */
    size_t rows;                          /* of the log that have it */
    double mean_log, mean_run, bias, rms; /* rms: of the differences */
    double most, most_at_s;               /* largest difference by size, with its sign, and when */
    double fitted_bias, fitted_rms;       /* with what explains it; NAN: nothing was explained */
    double middle_ratio;                  /* of motor speed, log over run, the middle of all rows; NAN else */
} evn_match_error;
EVN_API bool evn_match_error_at(const evn_match *, size_t index, evn_match_error *out);

/* Energy from the battery over the whole log; the interval is of 95 %, by the scatter between parts of the log. */
typedef struct evn_match_energy {
    bool there;       /* the log tells power, voltage and current, energy, or charge */
    const char *from; /* "power", "voltage and current", "energy", "charge" */
    double log_kwh, run_kwh;
    double percent, low_percent, high_percent; /* run less log, of the log's; NAN: too few blocks for an interval */
    double fitted_kwh;                         /* of the run with what explains it; NAN: nothing was */
    size_t blocks, parts;                      /* into which the log was divided */
    size_t blocks_lost; /* more of them, in which the log does not tell all of its power: they count nowhere */
    double block_s, rms_kwh, fitted_rms_kwh; /* of blocks */
} evn_match_energy;
EVN_API bool evn_match_energy_of(const evn_match *, evn_match_energy *out);

/* A parameter that was looked for. */
typedef struct evn_match_found {
    evn_match_parameter parameter;
    evn_quantity what;
    double stated; /* of the truck's file and the load case */
    /* That explain the log best, with the interval of 95 %: within bounds that no truck goes beyond (MATCH.md). */
    double value, low, high;
    double alone_share;  /* of the squares of blocks' differences that it explains if nothing else is changed */
    bool differs;        /* what is stated lies outside the interval */
    bool not_told_apart; /* from one of the others; or the log says next to nothing about it */
    bool at_bound;       /* the value is a bound: the log asks for one that no truck has */
} evn_match_found;
EVN_API bool evn_match_found_at(const evn_match *, size_t index, evn_match_found *out);

/* Of two of those, by index; NAN: no such. */
EVN_API double evn_match_correlation(const evn_match *, size_t one, size_t other);

/* How the explanation came about. */
typedef struct evn_match_explained {
    bool asked, found;
    const char *why_not; /* asked and not found; NULL else */
    double share;        /* of the squares of blocks' differences that is explained; above 0, to 1 */
    double condition;    /* of the parameters: 1 is best; some ten and more, and some cannot be told apart */
    bool by_scatter;     /* intervals tell the scatter between parts of the log; else the noise of blocks alone */
    size_t runs;         /* that were driven for it */
} evn_match_explained;
EVN_API bool evn_match_explained_of(const evn_match *, evn_match_explained *out);
/* Beyond that correlation two parameters are told as not told apart. */
#define EVN_MATCH_APART_MOST 0.95

/* A row of the log beside the run; NAN: the log does not have it. Powers at the battery's terminals. */
typedef struct evn_match_row {
    double time_s, place_m, speed_km_h, run_speed_km_h;
    double power_kw, run_power_kw, fitted_power_kw;
    double energy_kwh, run_energy_kwh, fitted_energy_kwh; /* since the beginning */
    double soc, run_soc, fitted_soc;
    double motor_rpm, run_motor_rpm;
} evn_match_row;
EVN_API bool evn_match_row_at(const evn_match *, size_t index, evn_match_row *out);

#ifdef __cplusplus
}
#endif
#endif
