/* A working day as it is told, in words, JSON or CSV. */
#ifndef EVENER_SHOW_DAY_STORY_H
#define EVENER_SHOW_DAY_STORY_H
#include "evener/duty.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

#define EVN_DAY_SCHEMA "evener.day/2"

typedef struct evn_day_story {
    const char *status;                     /* of the worst season's day, or "failed" */
    const char *truck, *duty, *duty_source; /* NULL: not read */
    bool truck_invented;
    double working_days_per_year; /* NAN: not stated */
    evn_conditions ask;
    const evn_duty *driven; /* NULL: not read */
    const evn_day *day;     /* NULL: none was driven */
} evn_day_story;

/* For a day that was driven. False when memory is out. */
bool evn_day_text(const evn_day_story *, const evn_findings *, FILE *, const evn_look *);
/* What it begins and ends with, each paragraph on a line of its own, for other media. False when memory is out. */
bool evn_day_answer_lines(const evn_day_story *, const evn_findings *, FILE *);
bool evn_day_trust_lines(const evn_day_story *, FILE *);
/* With or without. The document, without findings; NULL when memory is out. */
json_t *evn_day_document(const evn_day_story *);
bool evn_day_json(const evn_day_story *, const evn_findings *, FILE *);
/* A line for each leg, or part of one, and stop of each season. False: `error_number` tells why. */
bool evn_day_csv(const evn_day_story *, FILE *, int *error_number);

/* "out, round 2", "over the pass, back (2)": a phase as tables name it. Returns `out`. */
enum { EVN_PHASE_NAME_BYTES = 200 };
const char *evn_phase_name(char out[EVN_PHASE_NAME_BYTES], const evn_day_phase *);

/* "the battery is empty": why a day that did not finish ended, by its status. */
const char *evn_day_end_words(const char *status);

#endif
