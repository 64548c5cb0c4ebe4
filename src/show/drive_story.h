/* One run as it is told, in words or in JSON. */
#ifndef EVENER_SHOW_DRIVE_STORY_H
#define EVENER_SHOW_DRIVE_STORY_H
#include "evener/charts.h"
#include "evener/collectives.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_DRIVE_SCHEMA "evener.drive/3"

typedef struct evn_drive_story {
    const char *status;                       /* of the results, or "failed" */
    const char *truck, *cycle, *cycle_source; /* NULL: not read */
    bool truck_invented;
    evn_conditions ask;
    evn_figures figures; /* none when the run gave no results */
    const evn_limitation *limitation;
    size_t limitation_count;
    const evn_results *results;       /* for causes of friction braking and peak temperatures; NULL: none */
    const evn_chart *stops;           /* of evn_chart_of_braking_to_rest; NULL: none */
    const evn_collective *collective; /* NULL: not asked for */
    evn_damage damage;
} evn_drive_story;

/* For a run that gave results. False when memory is out. */
bool evn_drive_text(const evn_drive_story *, const evn_findings *, FILE *, const evn_look *);

/* What it begins and ends with, each paragraph on a line of its own, for other media. False when memory is out. */
bool evn_drive_answer_lines(const evn_drive_story *, const evn_findings *, FILE *);
void evn_drive_trust_lines(const evn_drive_story *, FILE *);

/* What load collectives come to, as `load_collectives`. False when memory is out. */
bool evn_collective_put(json_t *document, const evn_collective *, const evn_damage *);

/* With or without results. The document, without findings; NULL when memory is out. */
json_t *evn_drive_document(const evn_drive_story *);
bool evn_drive_json(const evn_drive_story *, const evn_findings *, FILE *);

#endif
