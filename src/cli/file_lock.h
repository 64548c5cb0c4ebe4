/* A file that is read, worked on and written again, for one program at a time. */
#ifndef EVENER_CLI_FILE_LOCK_H
#define EVENER_CLI_FILE_LOCK_H
#include "show/findings.h"
#include <sys/stat.h>

typedef struct evn_file_lock {
    int handle;        /* of the file, or of its folder while there is no such file; -1: none is held */
    bool there;        /* the file was there when the lock was taken, */
    struct stat found; /* and was this */
} evn_file_lock;

/*
 * Waits until no other program has taken the lock, which it says on `err`. To be taken before the file is read, and
 * held until it is written. The lock is the system's (flock): it makes no file, and ends with the program, however that
 * ends. Where the file system has no locks, a warning on `err` says so, and none is held; nor is one of what is no
 * ordinary file. False, with a mishap, where the file or its folder cannot be opened.
 */
bool evn_file_lock_take(evn_file_lock *, const char *path, FILE *err, evn_mishap *);

/* True when the file is still the one that was there when the lock was taken, or there is none as there was none. */
bool evn_file_lock_unchanged(const evn_file_lock *, const char *path);

void evn_file_lock_end(evn_file_lock *);

#endif
