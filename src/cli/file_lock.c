/* Takes the system's lock on a file, or on the folder in which it is to be. */
#define _DEFAULT_SOURCE /* flock */
#include "cli/file_lock.h"
#include "show/text.h"
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

/* On some network file systems only a handle that may write can be locked; a pipe is not waited for. */
static int open_file(const char *path)
{
    int handle = open(path, O_RDWR | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    bool refused = handle < 0 && (errno == EACCES || errno == EROFS || errno == EPERM || errno == EISDIR);
    return refused ? open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC) : handle;
}

static int open_folder(const char *path)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash ? strndup(path, (size_t)(slash - path) + 1) : strdup(".");
    int handle = folder ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    free(folder);
    return handle;
}

static bool open_handle(evn_file_lock *lock, const char *path)
{
    lock->handle = open_file(path);
    lock->there = lock->handle >= 0;
    if (lock->there)
        return fstat(lock->handle, &lock->found) == 0;
    if (errno == ENOENT)
        lock->handle = open_folder(path);
    return lock->handle >= 0;
}

static void say_waiting(const char *path, FILE *err)
{
    fputs("evener: waiting for another evener that works on, or beside, '", err);
    evn_put_safe(err, path);
    fputs("'\n", err);
    fflush(err);
}

static bool lock_handle(int handle, const char *path, FILE *err)
{
    if (flock(handle, LOCK_EX | LOCK_NB) == 0)
        return true;
    if (errno != EWOULDBLOCK)
        return false;
    say_waiting(path, err);
    return flock(handle, LOCK_EX) == 0;
}

static void say_unlocked(const char *path, int error_number, FILE *err)
{
    fputs("evener: warning: '", err);
    evn_put_safe(err, path);
    fprintf(err, "' cannot be locked: %s; let no other evener keep work on it meanwhile\n", strerror(error_number));
}

/* While the lock was waited for the file may have been replaced, or one may have come to be there. */
static bool is_the_file(const evn_file_lock *lock, const char *path)
{
    struct stat now;
    bool there = stat(path, &now) == 0;
    return there == lock->there && (!there || (now.st_dev == lock->found.st_dev && now.st_ino == lock->found.st_ino));
}

bool evn_file_lock_take(evn_file_lock *lock, const char *path, FILE *err, evn_mishap *mishap)
{
    for (;; evn_file_lock_end(lock)) {
        *lock = (evn_file_lock){.handle = -1};
        if (!open_handle(lock, path)) {
            evn_mishap_say(mishap, "cannot_write", EVN_BAD_IO, "cannot write '%s': %s", path, strerror(errno));
            evn_file_lock_end(lock);
            return false;
        }
        if (lock->there && !S_ISREG(lock->found.st_mode)) {
            evn_file_lock_end(lock);
            return true;
        }
        if (!lock_handle(lock->handle, path, err)) {
            say_unlocked(path, errno, err);
            return true;
        }
        /* Taken anew, for whoever held it may have written into the file. */
        if (is_the_file(lock, path) && (!lock->there || fstat(lock->handle, &lock->found) == 0))
            return true;
    }
}

bool evn_file_lock_unchanged(const evn_file_lock *lock, const char *path)
{
    struct stat now;
    if (lock->there && !S_ISREG(lock->found.st_mode))
        return true;
    if (!is_the_file(lock, path))
        return false;
    return !lock->there ||
           (stat(path, &now) == 0 && now.st_size == lock->found.st_size &&
            now.st_mtim.tv_sec == lock->found.st_mtim.tv_sec && now.st_mtim.tv_nsec == lock->found.st_mtim.tv_nsec);
}

void evn_file_lock_end(evn_file_lock *lock)
{
    if (lock->handle >= 0)
        close(lock->handle);
    lock->handle = -1;
}
