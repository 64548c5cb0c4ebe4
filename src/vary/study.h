/*
 * A study as it is written: a truck or a lineup over a cycle or a duty, what varies of it, how variants are chosen, and
 * what is recorded of each (VARY.md).
 */
#ifndef EVENER_VARY_STUDY_H
#define EVENER_VARY_STUDY_H
#include "cycle/cycle.h"
#include "duty/duty.h"
#include "lineup/lineup.h"
#include "truck/truck.h"

enum {
    EVN_VARIABLES_MOST = 16,
    EVN_CHOICES_MOST = 40,  /* of one variable */
    EVN_BASES_MOST = 64,    /* combinations of choices, each of which is read once */
    EVN_STUDY_TEXTS = 200,  /* in one list of texts, ... */
    EVN_FEW_TEXTS = 40,     /* ... of constraints, and of keys of one variable */
    EVN_STUDY_BYTES = 300,  /* of one of them */
    EVN_OBJECTIVES_MOST = 2 /* of a study, in all */
};

/* In the order of the choices of `plan`. */
typedef enum evn_plan_kind { EVN_PLAN_GRID, EVN_PLAN_LATIN, EVN_PLAN_SOBOL, EVN_PLAN_SEARCH } evn_plan_kind;

typedef struct evn_variable_file {
    evn_text_list keys;    /* paths that get its value as it is */
    evn_list values;       /* one of these, ... */
    evn_text_list choices; /* ... of these, ... */
    double from, to;       /* ... or what lies between, ends included; NAN: not given */
    double step, count;    /* of a grid: how far apart, or how many; NAN: not given */
    bool whole;
    double as_is; /* with which the truck is as its file has it; NAN: not given */
} evn_variable_file;

typedef struct evn_study_file {
    const char *name, *source;
    bool invented;
    const evn_lineup_file *lineup; /* NULL: a truck, ... */
    const evn_truck_file *truck;   /* ... which drives a cycle or a duty */
    const evn_cycle_file *cycle;
    const evn_duty_file *duty;
    const char *season;             /* of the truck's duty; NULL: its first */
    const evn_load_case *load_case; /* of the truck; NULL: the usual one, as of the next */
    const evn_driving *driving;
    evn_many variables;        /* evn_variable_file */
    evn_text_list set;         /* "KEY = FORMULA" */
    evn_text_list constraints; /* "RESULT >= NUMBER" */
    evn_text_list record, least, most;
    int plan; /* evn_plan_kind */
    double samples, seed, starts, evaluations, front_points;
} evn_study_file;

extern const evn_object evn_study_object;

bool evn_is_choice(const evn_variable_file *);
const evn_variable_file *evn_study_variable(const evn_study_file *, size_t index);

/* What its runs are asked, with what its lineup asks. */
evn_conditions evn_study_asks(const evn_study_file *);
/* What is driven over: one of both. */
const evn_cycle_file *evn_study_cycle(const evn_study_file *);
const evn_duty_file *evn_study_duty(const evn_study_file *);
/* The place of the season among those of its duty; 0 where there is none. */
size_t evn_study_season(const evn_study_file *);
size_t evn_study_truck_count(const evn_study_file *);
const evn_truck_file *evn_study_truck(const evn_study_file *, size_t index);
const char *evn_study_truck_name(const evn_study_file *, size_t index); /* "" of a truck without a lineup */

/* ------------------------------------------------------------------------------------------------ texts */

/* "KEY = FORMULA" taken apart; both within the text. */
typedef struct evn_set_text {
    size_t key, key_bytes;
    const char *formula;
} evn_set_text;
bool evn_set_text_read(const char *text, evn_set_text *out); /* false: it is none */

/* "KEY >= NUMBER". */
typedef enum evn_sense { EVN_AT_LEAST, EVN_AT_MOST } evn_sense;
typedef struct evn_constraint_text {
    size_t key, key_bytes;
    evn_sense sense;
    double bound;
} evn_constraint_text;
bool evn_constraint_text_read(const char *text, evn_constraint_text *out);

/* What a formula names that is no variable: the value that the key has in the file. */
#define EVN_VALUE_AS_WRITTEN "was"

#endif
