/* What the parts of the report on a comparison share. Private to compare_*.c. */
#ifndef EVENER_SHOW_COMPARE_REPORT_H
#define EVENER_SHOW_COMPARE_REPORT_H
#include "show/compare_rows.h"
#include "show/compare_sureness.h"
#include "show/report/wide_table.h"

enum { EVN_COMPARE_CELL = 192, EVN_COMPARE_TRUCKS_MOST = 12 };

typedef struct evn_compare_report {
    const evn_compare_story *story;
    const evn_compare_drawing *drawing; /* NULL: none */
    FILE *to;
    const evn_look *look;
    size_t width;                        /* of tables */
    size_t count;                        /* trucks */
    char *name[EVN_COMPARE_TRUCKS_MOST]; /* as trucks are called in sentences, made safe */
    bool unbroken;                       /* each paragraph on a line of its own, as other media break lines */
    bool there;                          /* it tells of the lineup beside, of which the report itself is not */
    bool headed;                         /* then too with headings */
    bool brief;                          /* in short sentences: intervals have one of their own */
} evn_compare_report;

/* Results of a truck on a basis, and its differences against the first; none where there are none. */
evn_figures evn_compare_results(const evn_compare_report *, size_t truck, evn_basis);
evn_figures evn_compare_differences(const evn_compare_report *, size_t truck, evn_basis);
bool evn_compare_finished(const evn_compare_report *, size_t truck, evn_basis);
double evn_compare_result(const evn_compare_report *, size_t truck, evn_basis, const char *key);  /* NAN: none */
double evn_compare_percent(const evn_compare_report *, size_t truck, evn_basis, const char *key); /* NAN: none */

/* The truck with the least or the most of a result among those that finished; the first of several; count: none. */
size_t evn_compare_least(const evn_compare_report *, evn_basis, const char *key);
size_t evn_compare_most(const evn_compare_report *, evn_basis, const char *key);

/* A paragraph in its style. */
void evn_compare_paragraph(const evn_compare_report *, evn_style, const char *indent, const char *text);

void evn_compare_heading(const evn_compare_report *, const char *text);

/* The name, its middle left out where it is wider than so many columns (at least 8). */
void evn_compare_short_name(const evn_compare_report *, size_t truck, size_t columns, char out[EVN_COMPARE_CELL]);

/* With the sign in front: "+1.25", "-3", "0". */
void evn_format_change(char *out, size_t size, int digits, double value);

/* A bar around a zero line, from -1 to 1, so many columns on each side of it. `size` >= 4 * (2 * columns + 1) + 1. */
void evn_format_change_bar(char *out, size_t size, const evn_look *, double share, unsigned columns);

/* One of the three sentences that answer, from 0 on: nothing where there is none to be told. False when memory is out.
 */
enum { EVN_COMPARE_SENTENCES = 3 };
bool evn_compare_put_sentence(const evn_compare_report *, size_t index, FILE *);

/* Of short ones the second: how sure that is, what own speeds say, and whether it is like for like. */
void evn_compare_put_doubt(const evn_compare_report *, FILE *);
/* The two whose difference the first sentence tells, on the basis that it speaks of. False: it tells of none. */
bool evn_compare_answer_pair(const evn_compare_report *, evn_basis, evn_compare_pair *out);
/* The lowest and the next, where the first sentence tells their difference beside that pair's. False: it does not. */
bool evn_compare_answer_next(const evn_compare_report *, evn_basis, evn_compare_pair *out);
/* What own speeds say beside the common one, behind a semicolon; nothing where they say nothing. */
void evn_compare_put_own(const evn_compare_report *, FILE *);

/* Something is demanded, and the truck cannot do all of it. */
bool evn_compare_falls_short(const evn_compare_report *, size_t truck);

/* The truck with which the others are alike, or not: the one that all are held against. */
size_t evn_compare_alike_of(const evn_compare_report *);

/* What sets a truck apart from it, of so many rows at most, behind `before` and its name. False: nothing. */
bool evn_compare_put_unlike(const evn_compare_report *, FILE *, const char *before, size_t truck, size_t most);

/* "stalled at 6.01 of 12.00 km": how a truck ended that did not finish. False: it did. */
bool evn_compare_put_end(const evn_compare_report *, FILE *, size_t truck);

/* The parts of the report. False when memory is out. */
bool evn_compare_title(const evn_compare_report *);
bool evn_compare_ranking(const evn_compare_report *);
bool evn_compare_answer(const evn_compare_report *);
bool evn_compare_notes(const evn_compare_report *); /* of it what stands behind the three sentences */
bool evn_compare_ends(const evn_compare_report *);  /* who did not finish; nothing where all did */
bool evn_compare_alike(const evn_compare_report *);
bool evn_compare_loads(const evn_compare_report *);  /* nothing where all are loaded as is permitted */
bool evn_compare_change(const evn_compare_report *); /* what would change the answer; nothing where it was not found */
bool evn_compare_demanded(const evn_compare_report *); /* nothing where nothing is */
bool evn_compare_side_by_side(const evn_compare_report *);
bool evn_compare_balance(const evn_compare_report *, evn_basis);
bool evn_compare_legs(const evn_compare_report *);    /* of a day; nothing over a cycle */
bool evn_compare_seasons(const evn_compare_report *); /* nothing where they were not driven */
bool evn_compare_trust(const evn_compare_report *);
bool evn_compare_sure(const evn_compare_report *);   /* nothing where it was not found */
bool evn_compare_beside(const evn_compare_report *); /* nothing without another lineup */
bool evn_compare_why(const evn_compare_report *);    /* nothing where it was not asked */

/* The same in one sentence for each truck. */
bool evn_compare_why_sentences(const evn_compare_report *);
bool evn_compare_mostly(const evn_compare_report *); /* where nobody asked: the line in which most of it lies */

/* The sentences on it. */
void evn_compare_put_beside(const evn_compare_report *, FILE *);

/* How sure the differences are: " (90 % interval -7.9 to -4.5 by first order; probability that it is lower 99.8 %)";
 * and what there is to be said beside the verdicts: that nobody asked, that more draws are needed, that it was stopped.
 */
void evn_compare_put_interval(const evn_compare_report *, FILE *, size_t truck, size_t other, const evn_sureness *);
void evn_compare_put_sureness(const evn_compare_report *, FILE *, size_t truck, size_t other,
                              const evn_sureness *); /* the same without brackets */
void evn_compare_format_interval(char out[EVN_COMPARE_CELL], const evn_compare_report *, double low, double high);
void evn_compare_format_probability(char out[EVN_COMPARE_CELL], const evn_compare_report *, const evn_sureness *);
/* What would change it: the datum that brings most into the difference. Nothing where there is none. */
void evn_compare_put_change(const evn_compare_report *, FILE *);
void evn_compare_put_sure(const evn_compare_report *, FILE *);
/* A sentence where the nominal difference lies outside of the middle half of its interval; else nothing. */
void evn_compare_put_aside(const evn_compare_report *, FILE *);

/* What a truck was given to be equal, behind `before`: "payload of electric axle 22927 kg", "motors of electric axle
 * scaled by 0.781 in torque (their active length)". False: nothing to speak of. */
bool evn_compare_put_given(const evn_compare_report *, FILE *, const char *before, size_t truck, const evn_equalised *);

#endif
