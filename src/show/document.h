/* The frame of every JSON document: schema, version, status first, findings last. */
#ifndef EVENER_SHOW_DOCUMENT_H
#define EVENER_SHOW_DOCUMENT_H
#include "show/compare_rows.h"
#include "show/figures.h"
#include "show/findings.h"
#include <jansson.h>

/* Differences below this are none to speak of, per cent. */
#define EVN_ALIKE_PERCENT 0.05

/* NULL when memory is out. */
json_t *evn_document_begin(const char *schema, const char *status);

/* All figures at their dotted keys, in their own order. False when memory is out. */
bool evn_document_figures(json_t *document, const evn_figures *);

/* A row as every medium heads it: its key in the document, label, short label, unit, kind, digits, help. NULL when
 * memory is out. */
json_t *evn_document_row(const char *key, const evn_quantity *);

/* The same of a row of a comparison, with how its change is told, from which value of the first truck on per cent, and
 * whether it is one of those told first. */
json_t *evn_document_compare_row(const evn_compare_row *);

/* The short list in its order, as `headline`; the bounds that the words speak of, as `thresholds`. False when memory is
 * out. */
bool evn_document_headline(json_t *document);
bool evn_document_thresholds(json_t *document);

/* One limit that kept a truck below its target speed. NULL when memory is out. */
json_t *evn_limitation_json(const evn_limitation *);

/* Causes of friction braking, and peak temperatures, of a run; NULL results: nothing. False when memory is out. */
bool evn_document_brakes(json_t *, const evn_results *);

/* A comparison beside another lineup's; null without one. NULL when memory is out. */
json_t *evn_document_beside(const evn_compare_story *);

/* How sure the differences of a comparison are; of that only how it stands where it was not found. And the trucks that
 * lead on a basis: the lowest and those that cannot be told apart from it. NULL when memory is out. */
json_t *evn_document_sure(const evn_compare_story *);

/* Why the trucks differ; null where it was not asked. */
json_t *evn_document_why(const evn_compare_story *);
json_t *evn_document_leading(const evn_compare_story *, evn_basis, bool meeting);

/* Adds the findings. False when memory is out. */
bool evn_document_findings(json_t *document, const evn_findings *);

/* Adds the findings, prints, frees the document (which may be NULL). False when memory is out. */
bool evn_document_end(json_t *document, const evn_findings *, FILE *);

/* The whole document of a command that did not come to a result. */
bool evn_document_failure(const char *schema, const evn_findings *, FILE *);

#endif
