/* Kept results held against new ones: in words, as JSON, as TAP, as JUnit's XML; and the file that holds them. */
#ifndef EVENER_SHOW_CHECK_STORY_H
#define EVENER_SHOW_CHECK_STORY_H
#include "evener/kept.h"
#include "show/figures.h"
#include "show/findings.h"

#define EVN_CHECK_SCHEMA "evener.check/2"
#define EVN_KEEP_SCHEMA "evener.keep/2"
#define EVN_DIFF_SCHEMA "evener.diff/2"

typedef struct evn_check_story {
    const evn_kept *kept;
    const evn_check *check; /* NULL: there was none */
    const char *file;
} evn_check_story;

/* Only what moved, and a line that sums up. False when memory is out. */
bool evn_check_text(const evn_check_story *, FILE *, const evn_look *);
bool evn_check_json(const evn_check_story *, const char *schema, evn_status, const evn_findings *, FILE *);
/* Test Anything Protocol, version 13. */
void evn_check_tap(const evn_check_story *, FILE *);
/* The XML that build servers read as JUnit's. */
void evn_check_junit(const evn_check_story *, FILE *);

/* The kept file as it is to be: runs that were driven with their new results, others as they were. `all`: the results
 * of units and axles too. */
void evn_kept_file_put(const evn_check_story *, bool all, FILE *);

/* The record of a run by the name it has in the file; false: it was not driven. */
bool evn_check_find(const evn_check *, const char *name, size_t *index, evn_checked *);

/* One table of quantities that moved. False when memory is out. */
bool evn_moved_table(const evn_moved_quantity *, size_t count, FILE *, const evn_look *);

#endif
