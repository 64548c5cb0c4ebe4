/* A log made a cycle: its files, and what was done to it in words or in JSON. */
#ifndef EVENER_SHOW_IMPORT_STORY_H
#define EVENER_SHOW_IMPORT_STORY_H
#include "evener/logs.h"
#include "show/findings.h"

#define EVN_IMPORT_SCHEMA "evener.import/1"

typedef struct evn_import_story {
    const evn_import *import;              /* NULL: refused */
    const char *name;                      /* of the cycle; NULL: the log's */
    const char *cycle, *speed, *grade;     /* the files, as they were written; grade NULL: level */
    const char *speed_table, *grade_table; /* as the cycle file names them */
} evn_import_story;

/* All false when memory is out. */
bool evn_import_text(const evn_import_story *, FILE *, const evn_look *);
bool evn_import_json(const evn_import_story *, const evn_findings *, FILE *);
bool evn_import_yaml(const evn_import_story *, FILE *);

/* Lines of tables; what could not be written stays with the stream. */
void evn_import_speed_csv(const evn_import_cycle *, FILE *);
void evn_import_grade_csv(const evn_import_cycle *, FILE *);

/* "40 t, rolling resistance 0.006, drag area 5.5 m2": the truck of a few figures. Returns `out`. */
enum { EVN_IMPORT_TRUCK_BYTES = 120 };
const char *evn_import_truck(char out[EVN_IMPORT_TRUCK_BYTES], const evn_import_told *);

#endif
