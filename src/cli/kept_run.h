/* What evener check and evener keep share: driving the runs of a kept file, with progress and Ctrl-C. */
#ifndef EVENER_CLI_KEPT_RUN_H
#define EVENER_CLI_KEPT_RUN_H
#include "cli/call.h"
#include "evener/kept.h"
#include "show/check_story.h"

typedef struct evn_kept_drive {
    evn_call call; /* its first operand is the file */
    evn_kept *kept;
    evn_check *check;
} evn_kept_drive;

/* Drives what is in `kept`, while signals are held; the status is the check's. */
evn_status evn_kept_drive_all(evn_kept_drive *, const char *only, size_t threads);

evn_check_story evn_kept_drive_story(const evn_kept_drive *);

/* Frees what it holds: of an evn_kept_drive, or of a struct that begins with one. */
void evn_kept_drive_forget(void *);

#endif
