/* What went wrong, in one list: findings of the library, and mishaps of the program itself (usage, output files). */
#ifndef EVENER_SHOW_FINDINGS_H
#define EVENER_SHOW_FINDINGS_H
#include "evener/evener.h"
#include "show/look.h"

/* The first thing that the program itself could not do. Starts as {0}: nothing happened. */
typedef struct evn_mishap {
    evn_status status;
    const char *fault; /* named as the library names its faults: "usage", "cannot_write", "out_of_memory" */
    char text[4608];   /* room for a path of the longest kind */
} evn_mishap;

/* Keeps the first mishap only: what follows it is mostly its consequence. */
void evn_mishap_say(evn_mishap *, const char *fault, evn_status, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
bool evn_mishap_no_memory(evn_mishap *); /* says so; false */
bool evn_mishap_happened(const evn_mishap *);

enum { EVN_FINDINGS_MOST = 24 };

/* Texts belong to the report and the mishap, which must outlive the list. */
typedef struct evn_findings {
    size_t count, left_out;
    evn_finding at[EVN_FINDINGS_MOST];
} evn_findings;

void evn_findings_add(evn_findings *, const evn_finding *);
void evn_findings_add_mishap(evn_findings *, const evn_mishap *);
void evn_findings_add_report(evn_findings *, const evn_report *);

/* The text of the first error, of a list or of a report; NULL when there is none. */
const char *evn_findings_first_error(const evn_findings *);
const char *evn_report_first_error(const evn_report *);

/* One line each, `path:line:col: error: text` (on a terminal broken to its width), and a count of those left out. */
void evn_findings_print(const evn_findings *, FILE *, const evn_look *);

const char *evn_severity_name(evn_severity);

#endif
