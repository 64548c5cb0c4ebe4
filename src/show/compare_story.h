/* Several trucks side by side as they are told: in words, in JSON, as CSV. */
#ifndef EVENER_SHOW_COMPARE_STORY_H
#define EVENER_SHOW_COMPARE_STORY_H
#include "evener/assess.h"
#include "evener/beside.h"
#include "evener/causes.h"
#include "evener/likeness.h"
#include "evener/limits.h"
#include "evener/uncertainty.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_COMPARE_SCHEMA "evener.compare/4"

/* How it stands with what is not known of the data. */
typedef enum evn_sure_state {
    EVN_SURE_OFF,      /* not asked: --uncertainty off */
    EVN_SURE_TOO_MUCH, /* nor asked for, and more work than is done unasked */
    EVN_SURE_NOT_FOUND,
    EVN_SURE_FOUND
} evn_sure_state;

typedef struct evn_compare_story {
    const char *status;               /* "finished", "incomplete", "interrupted", "failed" */
    const evn_lineup *lineup;         /* NULL: not read */
    const evn_comparison *comparison; /* NULL: none */
    evn_conditions ask;
    evn_demands demands;
    const evn_lineup *beside_lineup; /* NULL: none is held beside it */
    const evn_beside *beside;        /* NULL: likewise, or it did not come to that */
    bool all_rows;                   /* told in the terminal, not only those that come first */
    evn_sure_state sure;
    const char *sure_why;                      /* it was not found; else NULL */
    double uncertainty_work;                   /* evn_uncertainty_work of all that would be asked */
    const evn_uncertainty *uncertainty;        /* NULL: not found */
    const evn_uncertainty *beside_uncertainty; /* of the other lineup, likewise */
    bool why_asked;
    const evn_causes *causes;                /* NULL: not asked why, or not found */
    const evn_assessment *standing;          /* what needs no day of the duty's other demands; NULL: there are none */
    const evn_comparison *beside_comparison; /* of the other lineup, likewise */
    const evn_causes *beside_causes;
} evn_compare_story;

/* The other lineup's comparison by itself, told like the first: its trucks in its own order. */
evn_compare_story evn_compare_story_there(const evn_compare_story *);

/* What is drawn among the words, behind the ranking; NULL: nothing. */
typedef struct evn_compare_drawing {
    bool (*ranking)(const void *self, const evn_compare_story *); /* false when memory is out */
    const void *self;
} evn_compare_drawing;

/* For a comparison that is there. All false when memory is out. */
bool evn_compare_text(const evn_compare_story *, const evn_compare_drawing *, FILE *, const evn_look *);
/* Parts of it for other media, each paragraph on a line of its own. */
typedef enum evn_compare_part {
    EVN_PART_SENTENCES, /* the three that answer */
    EVN_PART_BRIEF,     /* the same in short, how sure in one of its own */
    EVN_PART_NOTES,     /* what bounds them: how sure, made equal, beside other data, conditions */
    EVN_PART_ENDS,      /* who did not finish; the first line of this and the next four is a heading */
    EVN_PART_ALIKE,     /* what is not alike */
    EVN_PART_LOADS,     /* what is loaded beyond what is permitted */
    EVN_PART_WHY,       /* a sentence for each other truck */
    EVN_PART_CHANGE,    /* what would change the answer */
    EVN_PART_CAUSES,    /* how the causes were found */
    EVN_PART_SURE,
    EVN_PART_TRUST,
    EVN_PART_COUNT
} evn_compare_part;
bool evn_compare_lines(const evn_compare_story *, evn_compare_part, FILE *);
bool evn_compare_unheaded_lines(const evn_compare_story *, evn_compare_part, FILE *); /* the same without headings */
bool evn_compare_csv(const evn_compare_story *, FILE *); /* a row for each truck and basis */

/* With or without a comparison. The document, without findings; NULL when memory is out. */
json_t *evn_compare_document(const evn_compare_story *);
bool evn_compare_json(const evn_compare_story *, const evn_findings *, FILE *);

#endif
