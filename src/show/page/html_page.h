/*
 * The page: one HTML file that opens from the disk, asks for nothing from any network, and tells a run, a
 * comparison or limits with charts, a site or verdicts without. Its frame, style and script come from
 * src/show/page/assets/; here its data are put together.
 */
#ifndef EVENER_SHOW_HTML_PAGE_H
#define EVENER_SHOW_HTML_PAGE_H
#include "evener/evener.h"
#include "show/assess_story.h"
#include "show/coastdown_story.h"
#include "show/compare_story.h"
#include "show/day_story.h"
#include "show/day_strip.h"
#include "show/match_story.h"
#include "show/page/html_trace.h"
#include "show/payback_story.h"
#include "show/site_story.h"
#include "show/vary_story.h"
#include <jansson.h>
#include <stdio.h>

/* What the page tells of one run over time: give it the rows of its trace. */
typedef struct evn_html_run evn_html_run;
/* The rig, whose columns its rows have, must outlive it; NULL when memory is out. */
evn_html_run *evn_html_run_new(const evn_rig *, evn_html_detail);
void evn_html_run_free(evn_html_run *);
void evn_html_run_sample(void *run, const double *row, size_t columns); /* as evn_watcher.sample wants it */
/* False: it was given rows of another rig, of which no page is made. */
bool evn_html_run_fits(const evn_html_run *);
/* Who takes the rows of all legs and stops of a day, one after another: time and way go on from each to the next. */
evn_sampler evn_html_run_of_day(evn_html_run *, double interval_s);

typedef struct evn_html_truck {
    const char *name;  /* for columns and files */
    const char *title; /* for sentences and charts */
    const evn_truck *truck;
    const evn_rig *rig;               /* NULL: it could not be prepared */
    const evn_html_run *run;          /* NULL: it was not driven */
    const evn_results *results;       /* likewise */
    const evn_collective *collective; /* NULL: not asked for */
} evn_html_truck;

/* A day that was driven in place of a cycle. */
typedef struct evn_html_day {
    const char *duty, *source, *season; /* the last NULL: of none */
    const char *hash;                   /* of the duty, in that season; NULL: not told */
    const evn_day_story *story;         /* of one truck in all seasons; NULL: of a comparison */
    const evn_day_strip *strip;         /* of each truck, so many */
    size_t strips;
} evn_html_day;

typedef struct evn_html_page {
    const char *kind;           /* "drive", "day", "compare", "limits", "site", "payback",
                                   "assess" or "vary" */
    const char *title;          /* as the files have it */
    json_t *result;             /* the document that --json prints */
    const char *answer, *trust; /* paragraphs, one on each line */
    const char *notes;          /* likewise: what bounds the answer, and how to have more; NULL: none */
    const evn_cycle *cycle;     /* NULL: of no route, or ... */
    const evn_html_day *day;    /* ... over a day; NULL: of none */
    const evn_html_truck *truck;
    size_t truck_count;
    const char *const *command;           /* the words that made it; ends with NULL */
    const evn_compare_story *comparison;  /* NULL: it is of none; else with ... */
    const char *const *part;              /* ... its parts in words, by evn_compare_part */
    const evn_site_story *site;           /* NULL: it is of none */
    const evn_payback_story *payback;     /* NULL: it is of none */
    const evn_assess_story *assess;       /* NULL: it is of none */
    const evn_coastdown_story *coastdown; /* NULL: it is of none */
    const evn_match_story *match;         /* NULL: it is of none */
    const evn_vary_story *vary;           /* NULL: it is of none */
} evn_html_page;

/* Why this program cannot write pages; NULL: it can. */
const char *evn_html_missing(void);

/* Errors of the stream stay with it. EVN_NO_RESULT when memory is out; what the report says otherwise. */
evn_status evn_html_write(const evn_html_page *, FILE *, evn_report *);

#endif
