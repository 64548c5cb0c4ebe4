/* Trucks where they work, as it is told: in words, in JSON, as CSV. */
#ifndef EVENER_SHOW_SITE_STORY_H
#define EVENER_SHOW_SITE_STORY_H
#include "evener/site.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_SITE_SCHEMA "evener.site/1"

enum { EVN_SITE_TRUCKS_MOST = 12 };

typedef struct evn_site_truck {
    const char *name;       /* for columns and files */
    const char *title;      /* where others bear the same short name; NULL: it is the short name, else the name */
    const evn_truck *truck; /* NULL: not read */
    const evn_site *site;   /* NULL: not found */
    double kwh_per_km;      /* energy use for its range, as given or driven; NAN: none */
    bool unfinished;        /* the run for that use did not get to its end: the answer is no */
} evn_site_truck;

typedef struct evn_site_story {
    const char *status; /* "finished", "failed"; of a run for the energy use that was not: as evn_results_status */
    const evn_site_truck *truck;
    size_t count;
    evn_conditions ask;
    evn_site_ask site_ask;
    const char *const *groups; /* that are told, ends with NULL; none: all */
    bool brief;                /* where no group is asked for: in words, the figures that matter most */
} evn_site_story;

/* For trucks of which all were found. All false when memory is out. */
bool evn_site_words(const evn_site_story *, FILE *, const evn_look *);
/* What it begins with, a line for each truck and for what it misses, for other media. */
bool evn_site_answer_lines(const evn_site_story *, FILE *);
bool evn_site_csv(const evn_site_story *, FILE *); /* a row for each truck and figure */
json_t *evn_site_document(const evn_site_story *); /* with or without figures, without findings */
bool evn_site_json(const evn_site_story *, const evn_findings *, FILE *);

/* As it is called in sentences and columns: its short name, else that of its file. */
const char *evn_site_title(const evn_site_truck *);
bool evn_site_tells(const evn_site_story *, const char *group);
/* Whether words that are brief tell a figure: those that matter most, and any whose limit is not kept. */
bool evn_site_is_brief(const evn_site_story *, const evn_site_figure *row);

/* The figures that any of the trucks has, each once, in the order of the groups: of each the first truck's that has it,
 * of which names, label and unit count. */
typedef struct evn_site_rows {
    evn_site_figure *at;
    size_t count;
} evn_site_rows;
bool evn_site_rows_of(const evn_site_story *, evn_site_rows *out); /* false when memory is out */
void evn_site_rows_free(evn_site_rows *);

/* What ends every report on a site. */
#define EVN_SITE_CAUTION                                                                                               \
    "The figures are for comparing layouts. Loads on axles, stability, heights over the ground and what may drive on " \
    "a road are for local regulation, approved testing and licensed practice to decide."

#endif
