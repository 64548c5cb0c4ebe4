/*
 * vary.h: studies: thousands of variants of a truck or of the trucks of a lineup, driven, and kept in a file that
 * survives whatever ends the program. How variants are chosen, searched for and kept stands in src/vary/VARY.md of the
 * source tree.
 */
#ifndef EVENER_VARY_H
#define EVENER_VARY_H

#include "evener/evener.h"
#include "evener/values.h"

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ------------------------------------------------------------------------------------------------ studies */

typedef struct evn_study evn_study; /* as read, checked */

/*
 * As evn_truck_load; values set beside the file are its own keys, "truck.KEY", "lineup.trucks.NAME.KEY", "samples".
 * Texts of `how` must last as long as the study, which is read again with each combination of choices. NULL in `out`
 * where the file does not do (said).
 */
EVN_API evn_status evn_study_load(const char *path, evn_study **out, evn_report *);
EVN_API evn_status evn_study_load_with(const char *path, const evn_load *, evn_study **out, evn_report *);
EVN_API void evn_study_free(evn_study *);

/*
 * The study that puts each truck of a lineup at its best: a search over a factor on its last reductions (where it has
 * none but planet sets, on all gears), one on the step from gear to gear, whose top gear stays, and, if asked, one on
 * the active length of its motors; 1 is as the files have it. What the lineup demands has to be met.
 */
typedef struct evn_tune_how { /* all zero does */
    bool motors;
    const char *const *constraints; /* further ones; ends with NULL; may be NULL */
    const char *least;              /* what is to be least; NULL: kwh_per_km */
    unsigned evaluations;           /* of a local search; 0: 40 */
} evn_tune_how;
EVN_API evn_status evn_study_tune(const char *lineup_path, const evn_load *, const evn_tune_how *, evn_study **out,
                                  evn_report *);
/* What such a study says, as a file would hold it; NULL of one that was read from a file. */
EVN_API const char *evn_study_text(const evn_study *);

EVN_API const char *evn_study_name(const evn_study *);
EVN_API const char *evn_study_source(const evn_study *); /* where its data come from, or "invented" */
EVN_API evn_conditions evn_study_ask(const evn_study *); /* what it asks of its runs */
EVN_API bool evn_study_searches(const evn_study *);      /* for the best, so that its variants are not known before */

/* ------------------------------------------------------------------------------------------------ driving */

/* How far a study is. */
typedef struct evn_vary_progress {
    uint64_t done, of; /* variants, those driven before included; of 0: not known */
    uint64_t failed;   /* of them: refused, or without results to their end */
    uint64_t driven;   /* in this call */
} evn_vary_progress;

/* All zero does. */
typedef struct evn_vary_how {
    /*
     * The file where variants are kept: made, or gone on with where it is of the same study, asked the same, by the
     * same version: what it holds is not driven again. Each batch of variants is whole in it or not there. NULL: they
     * are kept in memory.
     */
    const char *store;
    unsigned part, parts; /* this part of so many, from 1: every parts-th variant, of a search every parts-th of its
                             local searches; 0 and 0: all */
    size_t threads;       /* 0: as many as processors online. The rows are the same */
    void *self;
    bool (*go_on)(void *self, const evn_vary_progress *); /* may be NULL; called by one thread at a time; false stops */
} evn_vary_how;

typedef struct evn_variants evn_variants; /* a file of variants, open to be read */

/*
 * Drives what is not driven yet. `how` may be NULL. EVN_DONE, also where variants failed, which are rows with their
 * reasons; EVN_ANSWER_NO: none of them may be ("no_variant"); EVN_NO_RESULT: stopped ("interrupted"), what was whole
 * being kept; EVN_BAD_INPUT: a key that the study names is not there, or the file is of another study
 * ("other_study"); EVN_BAD_IO: the file could not be written, as when no room is left ("cannot_write"), what was whole
 * being kept too.
 */
EVN_API evn_status evn_vary(const evn_study *, const evn_conditions *, const evn_vary_how *how, evn_variants **out,
                            evn_report *);

/*
 * Joins files of parts of one study into a new one, whole or not at all. Rows that several hold must be the same.
 * EVN_BAD_INPUT: they do not belong together ("other_study"), or hold a variant with different values.
 */
EVN_API evn_status evn_vary_merge(const char *const *paths, size_t count, const char *out_path, evn_report *);

/* ------------------------------------------------------------------------------------------------ reading */

EVN_API evn_status evn_variants_open(const char *path, evn_variants **out, evn_report *);
EVN_API void evn_variants_free(evn_variants *);

/* "study", "version", "study_hash", "over", "over_hash", "trucks", "truck.NAME" (its hash) and others; NULL: none. */
EVN_API const char *evn_variants_fact(const evn_variants *, const char *key);
EVN_API bool evn_variants_fact_at(const evn_variants *, size_t index, const char **key, const char **value);

EVN_API uint64_t evn_variants_count(const evn_variants *);    /* that are there */
EVN_API uint64_t evn_variants_expected(const evn_variants *); /* of the whole study; 0: it searches */
EVN_API uint64_t evn_variants_failed(const evn_variants *);
EVN_API size_t evn_variants_truck_count(const evn_variants *);             /* 1 of a study of one truck */
EVN_API const char *evn_variants_truck_name(const evn_variants *, size_t); /* "" of a study of one truck */

typedef enum evn_aimed { EVN_AIMED_NOT, EVN_AIMED_LEAST, EVN_AIMED_MOST } evn_aimed;

/* Columns of all variants: first what varies, in the order of the study, then what is recorded. */
typedef struct evn_variants_column {
    evn_quantity what; /* its key is the name of the variable, or the key of the result */
    bool varies;
    bool is_text;    /* of choices: the text chosen */
    evn_aimed aimed; /* the study wants it so */
    double from, to; /* of what varies between ends; else NAN */
    double as_is;    /* with which trucks are as their files have them; NAN: not stated */
} evn_variants_column;
EVN_API size_t evn_variants_column_count(const evn_variants *);
EVN_API bool evn_variants_column_at(const evn_variants *, size_t index, evn_variants_column *out);

typedef struct evn_variant {
    uint64_t id;             /* the same in any file of the study */
    bool is_as_is;           /* trucks as their files have them */
    const char *truck;       /* "" of a study of one truck */
    const char *status;      /* as of results; "refused": a value, or the truck with it, cannot be */
    const char *fault;       /* of the first finding about it; NULL: none */
    const char *finding;     /* its text; NULL: none */
    bool may_be;             /* it finished and breaks no constraint */
    const char *unmet;       /* the first that it breaks; NULL: none */
    const double *value;     /* of each column; NAN: none */
    const char *const *text; /* of columns of texts; NULL elsewhere */
} evn_variant;

/* All zero: all of them in the order of their ids. */
typedef struct evn_variants_ask {
    const char *const *where; /* "COLUMN >= NUMBER", "<=", "=" and a number or text; also of truck, status, may_be; ends
                                 with NULL; may be NULL */
    const char *by;           /* column to sort by, least first; NULL: id. Those without a value come last */
    bool most_first;
    bool only_may_be;
    size_t most; /* so many; 0: all */
} evn_variants_ask;

/* Hands over one after another; `row` returns false to stop. EVN_BAD_INPUT: no such column ("unknown_key") or no
 * condition ("syntax"). */
EVN_API evn_status evn_variants_each(const evn_variants *, const evn_variants_ask *, void *self,
                                     bool (*row)(void *self, const evn_variant *), evn_report *);

#ifdef __cplusplus
}
#endif
#endif
