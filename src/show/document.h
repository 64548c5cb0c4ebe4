/* The frame of every JSON document: schema, version, status first, findings last. */
#ifndef EVENER_SHOW_DOCUMENT_H
#define EVENER_SHOW_DOCUMENT_H
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

/* Differences below this are none to speak of, per cent. */
#define EVN_ALIKE_PERCENT 0.05

/* NULL when memory is out. */
json_t *evn_document_begin(const char *schema, const char *status);

/* All figures at their dotted keys, in their own order. False when memory is out. */
bool evn_document_figures(json_t *document, const evn_figures *);

/* The short list in its order, a row {key, name, unit} each, and the bounds that the words speak of: `headline` and
 * `thresholds`. False when memory is out. */
bool evn_document_headline(json_t *document);

/* One limit that held a truck back. NULL when memory is out. */
json_t *evn_held_json(const evn_held *);

/* Adds the findings. False when memory is out. */
bool evn_document_findings(json_t *document, const evn_findings *);

/* Adds the findings, prints, frees the document (which may be NULL). False when memory is out. */
bool evn_document_end(json_t *document, const evn_findings *, FILE *);

/* The whole document of a command that did not come to a result. */
bool evn_document_failure(const char *schema, const evn_findings *, FILE *);

#endif
