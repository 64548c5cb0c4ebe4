/* Distances to the reserve and the battery that a day takes, as they are told in words, JSON or CSV. */
#ifndef EVENER_SHOW_RANGE_STORY_H
#define EVENER_SHOW_RANGE_STORY_H
#include "evener/range.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_RANGE_SCHEMA "evener.range/1"

typedef struct evn_range_story {
    const char *status;                     /* "finished", or "failed" */
    const char *truck, *duty, *duty_source; /* NULL: not read */
    bool truck_invented;
    bool is_cycle; /* the duty is one cycle */
    bool ages_given;
    evn_conditions ask;
    const evn_duty *day;    /* NULL: not read */
    const evn_range *range; /* NULL: nothing was found */
} evn_range_story;

/* Of what was found. False when memory is out. */
bool evn_range_text(const evn_range_story *, FILE *, const evn_look *);
/* With or without. */
bool evn_range_json(const evn_range_story *, const evn_findings *, FILE *);
/* A line for each payload, age and season. False: `error_number` tells why. */
bool evn_range_csv(const evn_range_story *, FILE *, int *error_number);

#endif
