/*
 * The rows of a comparison: one list, in one order, from which terminal, page (by way of the JSON document) and CSV
 * file take theirs. The short list of results (evn_headline_at) with what is known of a truck before it drives, and
 * what limited it. Ten of them are told first, over a day up to two more, in an order of their own; the others where
 * they are asked for.
 */
#ifndef EVENER_SHOW_COMPARE_ROWS_H
#define EVENER_SHOW_COMPARE_ROWS_H
#include "show/compare_held.h"

typedef enum evn_row_source {
    EVN_ROW_RESULT,      /* of the run on the row's basis */
    EVN_ROW_MASS,        /* of the rig, known before anything drives */
    EVN_ROW_FORMULA,     /* a text: the axle configuration */
    EVN_ROW_LIMITED_BY,  /* a text: the limit that bound it longest */
    EVN_ROW_LIMITED_FOR, /* how long that did, s */
    EVN_ROW_ABILITY,     /* what the truck can, known before anything drives */
    EVN_ROW_ABILITY_BY,  /* a text: what binds that */
    EVN_ROW_ALIKE,       /* yes or no: alike in all that is judged */
    EVN_ROW_LIKENESS,    /* one row of likeness; told where a truck is not alike in it */
    EVN_ROW_SCALE        /* of the motors, where trucks were made equal in power */
} evn_row_source;

/* How the difference against the first truck is told. */
typedef enum evn_row_change { EVN_CHANGE_NONE, EVN_CHANGE_PERCENT, EVN_CHANGE_DIFFERENCE } evn_row_change;

typedef struct evn_compare_row {
    evn_quantity what; /* as the row is told: label, unit, decimals */
    evn_row_source source;
    evn_row_change change;
    evn_basis basis;
    const char *value_key; /* among the results, the figures of the rig, or those of its limits */
    size_t likeness;       /* index of its evn_likeness_row */
    char path[64];         /* of the value in the document of a truck: "own.duration_s" */
    const char *behind;    /* label of the result of the short list behind which it stands; NULL: is one of that list */
    unsigned main;         /* place among those told first, from 1; 0: one of the others */
    bool of_day;           /* told over the day of a duty alone, where it is anything but 0; no column of its own */
} evn_compare_row;

enum { EVN_COMPARE_COLUMN = 64, EVN_COMPARE_MAIN_ROWS = 12 }; /* two of them of a day alone: ten over a cycle */

/* False: no more. The second gives those that stand beside the short list, from *index on, which goes behind the row.
 */
bool evn_compare_row_at(size_t index, evn_compare_row *out);
bool evn_compare_row_beside(size_t *index, evn_compare_row *out);

/* As they are told: those that come first in their order, then the others in that of the list. False: no more. */
bool evn_compare_told_row_at(size_t index, evn_compare_row *out);

/* Puts the ground, the speed and the charge that are demanded into the label of a row. */
void evn_compare_row_tell(evn_compare_row *, const evn_compare_story *);

/* True for a row of words: a limit, an axle configuration. */
bool evn_compare_row_is_text(const evn_compare_row *);

/* The heading of its column in a CSV file. */
void evn_compare_row_column(const evn_compare_row *, char *out, size_t size);

/*
 * What the first truck must have for a change in per cent to be told: ten times the last decimal that the row shows.
 * Per cent of less would be made of digits that nobody sees. NAN: the row tells no per cent.
 */
double evn_compare_percent_from(const evn_compare_row *);

/* The value of a truck in a row, and its difference against the one that all are held against (compare_held.h) as the
 * row tells it; NAN: none, or a text. */
double evn_compare_row_value(const evn_compare_row *, const evn_compare_story *, size_t truck);
double evn_compare_row_change(const evn_compare_row *, const evn_compare_story *, size_t truck);

/* That difference where it may be told: both did what the row tells of, and the one held against finished. NAN: none.
 */
double evn_compare_row_told_change(const evn_compare_row *, const evn_compare_story *, size_t truck);

/* By how much a truck takes more of a line of the energy balance, kWh, than the one that all are held against; a line
 * that one of them has not is 0. NAN: not told. */
double evn_compare_line_change(const evn_compare_story *, size_t truck, evn_basis, const char *key);

/* The text of a row that is one; NULL: none. */
const char *evn_compare_row_text(const evn_compare_row *, const evn_compare_story *, size_t truck);

/* False: the row tells of a run that the truck did not finish, which is no value to be held against others'. */
bool evn_compare_row_counts(const evn_compare_row *, const evn_compare_story *, size_t truck);

/* True when a truck has a value in the row, or a text. */
bool evn_compare_row_is_told(const evn_compare_row *, const evn_compare_story *);

/* What limited a truck longest. False: nothing did, or it has no results. */
bool evn_compare_limitation(const evn_compare_story *, size_t truck, evn_basis, evn_limitation *);

/* True for the row of that limit where it is in doubt (compare_held.h). */
bool evn_compare_row_in_doubt(const evn_compare_row *, const evn_compare_story *, size_t truck);

/* The limit of temperature that bound it longest, where another limit bound it longer still. False: none. */
bool evn_compare_heat_beside(const evn_compare_story *, size_t truck, evn_basis, evn_limitation *);

/* What a truck can in a row of the two kinds of ability. False: none. */
bool evn_compare_ability(const evn_compare_row *, const evn_compare_story *, size_t truck, evn_limits_figure *out);

/* "percent", "difference"; NULL: none. */
const char *evn_row_change_name(evn_row_change);

#endif
