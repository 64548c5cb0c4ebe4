/* Variants of a study as they are told: what is best of them, how flat it is, which of them none betters. */
#ifndef EVENER_SHOW_VARY_STORY_H
#define EVENER_SHOW_VARY_STORY_H
#include "evener/vary.h"
#include "show/findings.h"
#include "show/look.h"
#include <jansson.h>

#define EVN_VARY_SCHEMA "evener.vary/1"

/* Variants within this share of the best are told as one with it. */
#define EVN_VARY_FLAT_SHARE 1e-3

enum { EVN_VARY_AIMS = 2, EVN_VARY_BEST_ROWS = 10, EVN_VARY_CONSTRAINTS_MOST = 32 };

/* Inputs and aims of all variants, at hand. Choices are told apart by the places of their texts. */
typedef struct evn_vary_table {
    const evn_variants *of;
    size_t trucks, inputs, aims, rows;
    size_t aim_column[EVN_VARY_AIMS]; /* among the columns of the variants */
    evn_variants_column *column;      /* the inputs, then the aims */
    uint64_t *id;
    unsigned char *truck, *state;             /* of each row: which truck; evn_vary_state */
    double *value;                            /* row by row: inputs, then aims */
    size_t broken[EVN_VARY_CONSTRAINTS_MOST]; /* by how many rows each constraint is the first that is broken */
    char *reason;                             /* of the first that came to no end; NULL: all did */
    uint64_t reason_id;
    char **text; /* of choices that came up */
    size_t texts, room;
    bool no_memory;
} evn_vary_table;

typedef enum evn_vary_state { EVN_VARY_FAILED, EVN_VARY_BREAKS, EVN_VARY_MAY_BE } evn_vary_state;

/* False: said in the report, or memory is out. */
bool evn_vary_table_read(evn_vary_table *, const evn_variants *, evn_report *);
void evn_vary_table_free(evn_vary_table *);
static inline double evn_vary_at(const evn_vary_table *t, size_t row, size_t column)
{
    return t->value[row * (t->inputs + t->aims) + column];
}
/* The text of a constraint by its number; NULL: there are no more. */
const char *evn_vary_constraint(const evn_vary_table *, size_t index);
/* Whether the rows are of a search, which asks most often near what is good. */
bool evn_vary_is_searched(const evn_vary_table *);
/* The text of a choice. */
const char *evn_vary_text_at(const evn_vary_table *, size_t row, size_t input);

enum { EVN_VARY_INPUTS_MOST = 16, EVN_VARY_NONE = -1 };

/* Of the first aim, by the variants of one truck that may be. */
typedef struct evn_vary_best {
    long row;                                                             /* of the table; EVN_VARY_NONE: none may be */
    long as_is;                                                           /* likewise; only where it came to its end */
    double as_is_worse_percent;                                           /* of the best; NAN: not told */
    bool low_edge[EVN_VARY_INPUTS_MOST], high_edge[EVN_VARY_INPUTS_MOST]; /* of each number: the best is at its end */
    double flat_low[EVN_VARY_INPUTS_MOST], flat_high[EVN_VARY_INPUTS_MOST]; /* within EVN_VARY_FLAT_SHARE */
    size_t flat_rows;                                                       /* that lie within it, itself among them */
} evn_vary_best;
evn_vary_best evn_vary_best_of(const evn_vary_table *, size_t truck);

/* The best of a truck's variants that may be, the best first, of points that differ by more than a hundredth of what
 * was tried in one number or in a choice; how many. */
size_t evn_vary_best_rows(const evn_vary_table *, size_t truck, size_t out[EVN_VARY_BEST_ROWS]);
/* Hands over these rows of each truck with all of their columns, truck by truck. */
evn_status evn_vary_each_best(const evn_vary_table *, void *self, bool (*row)(void *self, const evn_variant *),
                              evn_report *);

/* By how much the first aim of a truck at its best is above the first truck's at its own, per cent of that; NAN: one of
 * them has none, or it is the first. */
double evn_vary_against_first(const evn_vary_table *, size_t truck);

/* The rows that none of the same truck betters in both aims by more than a millionth, by the first aim; to be freed.
 * NULL: one aim, or memory is out. */
size_t *evn_vary_front(const evn_vary_table *, size_t truck, size_t *count);

/*
 * The share of the variance of an aim that goes with an input alone, over the variants of a truck that came to their
 * end, the truck as it is not among them: Pearson's correlation ratio over the values of the input, or over classes of
 * as many variants each, less what chance alone would give (Kelley, 1935; from memory). NAN: too few, or all alike.
 */
double evn_vary_share(const evn_vary_table *, size_t truck, size_t input, size_t aim);

#define EVN_VARY_SEARCHED_SHARES                                                                                       \
    "A search asks more often near its best: its shares are of where it went, and may add up to more than 100 %."

/* ---- sentences that media share, in lines */
enum { EVN_VARY_CELL = 96, EVN_VARY_SENTENCES = 4000 };
/* "", or the name in the lineup. */
const char *evn_vary_truck_words(const evn_vary_table *, size_t truck);
/* Of an aim with its unit, two decimals finer than runs are told with; what varies of a row, "final_drive 3.9". */
void evn_vary_number_words(const evn_quantity *, bool all_digits, double value, char out[EVN_VARY_CELL]);
/* A number that varies, with so many digits at least, and never fewer than are before its point. */
void evn_vary_value_words(double value, int digits, char out[EVN_VARY_CELL]);
void evn_vary_input_words(const evn_vary_table *, size_t row, size_t input, bool all_digits, char out[EVN_VARY_CELL]);
void evn_vary_inputs_words(const evn_vary_table *, size_t row, bool all_digits, char out[EVN_VARY_SENTENCES]);
void evn_vary_count_sentence(const evn_vary_table *, char out[EVN_VARY_SENTENCES]);
void evn_vary_best_sentences(const evn_vary_table *, size_t truck, bool all_digits, char out[EVN_VARY_SENTENCES]);

typedef struct evn_vary_story {
    const char *status;           /* "finished", "interrupted", "failed" */
    const evn_variants *variants; /* NULL: none */
    const evn_vary_table *table;  /* NULL: likewise */
    const evn_variants_ask *ask;  /* of which rows are told; NULL: the best */
    const char *store;            /* NULL: kept nowhere */
    evn_report *report;           /* for reading rows */
} evn_vary_story;

/* Each false when memory is out. */
bool evn_vary_words(const evn_vary_story *, FILE *, const evn_look *);
bool evn_vary_rows(const evn_vary_story *, FILE *, const evn_look *);
json_t *evn_vary_document(const evn_vary_story *);
bool evn_vary_json(const evn_vary_story *, const evn_findings *, FILE *);
/* A line for each variant that is asked for. False: `error_number` tells why; 0: the report does. */
bool evn_vary_csv(const evn_vary_story *, FILE *, int *error_number);

#endif
