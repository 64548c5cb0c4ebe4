/* A matrix made a table: its lines, and what was read in words or in JSON. */
#ifndef EVENER_SHOW_MATRIX_STORY_H
#define EVENER_SHOW_MATRIX_STORY_H
#include "evener/matrices.h"
#include "show/findings.h"

#define EVN_MATRIX_SCHEMA "evener.matrix/1"

typedef struct evn_matrix_story {
    const evn_matrix *matrix; /* NULL: refused */
    const char *table;        /* the file that was written; NULL: none */
    const char *values;       /* as they were asked: "efficiency [%]" */
} evn_matrix_story;

/* Both false when memory is out. */
bool evn_matrix_text(const evn_matrix_story *, FILE *, const evn_look *);
bool evn_matrix_json(const evn_matrix_story *, const evn_findings *, FILE *);

/* What could not be written stays with the stream. */
void evn_matrix_csv(const evn_matrix *, FILE *);

#endif
