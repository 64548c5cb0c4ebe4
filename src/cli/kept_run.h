/* What evener check and evener keep share: loading a kept file and driving its runs, with progress and Ctrl-C. */
#ifndef EVENER_CLI_KEPT_RUN_H
#define EVENER_CLI_KEPT_RUN_H
#include "cli/interrupt.h"
#include "cli/progress.h"
#include "show/check_story.h"

typedef struct evn_kept_drive {
    const evn_console *console;
    const char *path;
    evn_report *report;
    evn_mishap mishap;
    evn_kept *kept;
    evn_check *check;
    evn_interrupt interrupt;
    evn_progress progress;
} evn_kept_drive;

/* Drives what is in `kept`; the status is the check's. */
evn_status evn_kept_drive_all(evn_kept_drive *, const char *only, double threads);

evn_check_story evn_kept_drive_story(const evn_kept_drive *);
evn_findings evn_kept_drive_findings(const evn_kept_drive *);
/* The status that the whole ends with: a mishap's, else that of what was computed. */
evn_status evn_kept_drive_end(evn_kept_drive *, bool told, evn_status);

#endif
