/*
 * Output files, whole or not at all: the bytes go to a temporary file in the folder of the target, which takes the
 * target's name only when all is on the disk. What is no ordinary file (a pipe, a device) is written straight through.
 */
#ifndef EVENER_SHOW_OUT_FILE_H
#define EVENER_SHOW_OUT_FILE_H
#include "show/findings.h"

typedef struct evn_out_file {
    FILE *stream;     /* NULL: not open */
    const char *path; /* as it was given; it must outlive the file */
    char *target;     /* links followed */
    char *temp;       /* NULL: written straight through */
    int mode;         /* permissions of the file that is replaced; -1: there was none */
} evn_out_file;

/* True when both paths lead to one file that is there. */
bool evn_out_is_file(const char *path, const char *other);

/* True when what is written to both would end in one ordinary file, whether it is there already or not. */
bool evn_out_same_target(const char *path, const char *other);

/* False, with a mishap, when the file cannot be written there. */
bool evn_out_open(evn_out_file *, const char *path, evn_mishap *);

/* Takes back all that was written. False, with the reason in errno, where that cannot be: a pipe, a device. */
bool evn_out_begin_anew(evn_out_file *);

/* Each of these ends the file, whatever it returns; where it is false nothing is left of it. */
bool evn_out_commit(evn_out_file *, evn_mishap *);       /* under its name */
bool evn_out_commit_new(evn_out_file *, evn_mishap *);   /* the same, but not where a file is by now */
bool evn_out_keep_partial(evn_out_file *, evn_mishap *); /* under its name with ".partial" behind it */
void evn_out_drop(evn_out_file *);                       /* not at all */

/*
 * Ends so many files together: all are on the disk before the first takes its name, and where one cannot be written no
 * name is taken. Those that are not open count as nothing.
 */
bool evn_out_commit_all(evn_out_file *const *, size_t count, evn_mishap *);

/* Says that writing failed, with the reason in errno; for the writers of rows. */
void evn_out_failed(const evn_out_file *, evn_mishap *, int error_number);

/* Flushes a standard stream and says what could not be written. */
bool evn_stream_finish(FILE *, const char *name, evn_mishap *);

/* True when a write to the stream failed and it is a pipe whose reader went away. */
bool evn_stream_unread(FILE *);

#endif
