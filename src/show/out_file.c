/* Opens, commits and drops output files by way of a temporary one beside the target. */
#define _XOPEN_SOURCE 700
#include "show/out_file.h"
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { BUFFER_BYTES = 1 << 16, NAMES_TRIED = 100, PAUSES = 100 };

static bool refuse(evn_mishap *mishap, const char *path, const char *why)
{
    evn_mishap_say(mishap, "cannot_write", EVN_BAD_IO, "cannot write '%s': %s", path, why);
    return false;
}

void evn_out_failed(const evn_out_file *out, evn_mishap *mishap, int error_number)
{
    evn_mishap_say(mishap, "cannot_write", EVN_BAD_IO, "cannot write '%s': %s%s", out->path, strerror(error_number),
                   out->temp ? "; nothing was left behind" : "");
}

static void close_and_forget(evn_out_file *out)
{
    if (out->stream)
        fclose(out->stream);
    free(out->target);
    free(out->temp);
    *out = (evn_out_file){.mode = -1};
}

void evn_out_drop(evn_out_file *out)
{
    if (out->temp)
        unlink(out->temp);
    close_and_forget(out);
}

/* Length of the folder's name, the slash included; 0: the current folder. */
static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return !slash ? 0 : (size_t)(slash - path) + 1;
}

/* Opens a file of a name that nobody has, in the folder of the target. */
static int open_temp(evn_out_file *out)
{
    size_t folder = folder_length(out->target), size = folder + 64;
    out->temp = malloc(size);
    if (!out->temp)
        return -1;
    int handle = -1;
    for (unsigned i = 0; handle < 0 && i < NAMES_TRIED; i++) {
        snprintf(out->temp, size, "%.*s.evener-%ld-%u.part", (int)folder, out->target, (long)getpid(), i);
        handle = open(out->temp, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (handle < 0 && errno != EEXIST)
            break;
    }
    if (handle < 0) { /* what stands there under the last name is not ours to remove */
        int error_number = errno;
        free(out->temp);
        out->temp = NULL;
        errno = error_number;
    }
    return handle;
}

/* A pipe's reader may just be starting: it is waited for, but not for ever. */
static int open_straight(const char *path)
{
    static const struct timespec pause = {.tv_nsec = 20000000};
    struct stat there;
    bool pipe = stat(path, &there) == 0 && S_ISFIFO(there.st_mode);
    int handle = open(path, O_WRONLY | O_NOCTTY | O_CLOEXEC | O_NONBLOCK);
    for (unsigned i = 0; pipe && handle < 0 && errno == ENXIO && i < PAUSES; i++) {
        nanosleep(&pause, NULL);
        handle = open(path, O_WRONLY | O_NOCTTY | O_CLOEXEC | O_NONBLOCK);
    }
    if (handle < 0 || fcntl(handle, F_SETFL, fcntl(handle, F_GETFL) & ~O_NONBLOCK) == 0)
        return handle;
    int error_number = errno;
    close(handle);
    errno = error_number;
    return -1;
}

/* Where the bytes go: a new file beside the target, or the pipe or device itself. */
static int open_handle(evn_out_file *out, bool straight)
{
    if (straight)
        return open_straight(out->target);
    int handle = open_temp(out);
    if (handle >= 0 && out->mode >= 0 && fchmod(handle, (mode_t)out->mode) != 0) {
        int error_number = errno;
        close(handle);
        errno = error_number;
        return -1;
    }
    return handle;
}

static bool open_stream(evn_out_file *out, bool straight, evn_mishap *mishap)
{
    int handle = open_handle(out, straight);
    if (handle < 0) {
        if (straight && errno == ENXIO)
            return refuse(mishap, out->path, "nobody reads there");
        evn_out_failed(out, mishap, errno);
        return false;
    }
    out->stream = fdopen(handle, "w");
    if (!out->stream) {
        close(handle);
        return evn_mishap_no_memory(mishap);
    }
    if (setvbuf(out->stream, NULL, _IOFBF, BUFFER_BYTES) != 0)
        return evn_mishap_no_memory(mishap);
    return true;
}

/* In a folder such as /tmp a file of somebody else may be written, and yet not be replaced. The path is absolute. */
static bool may_be_replaced(const char *path, const struct stat *file)
{
    char *folder = strndup(path, folder_length(path));
    struct stat there;
    bool sticky = folder && stat(folder, &there) == 0 && (there.st_mode & S_ISVTX);
    free(folder);
    uid_t self = geteuid();
    return !sticky || self == 0 || self == file->st_uid || self == there.st_uid;
}

/* Finds what stands at the path now. `straight`: it is neither a file nor nothing. */
static bool look_at_target(evn_out_file *out, const char *path, bool *straight, evn_mishap *mishap)
{
    struct stat now;
    bool there = stat(path, &now) == 0;
    if (!there && errno != ENOENT)
        return refuse(mishap, path, strerror(errno));
    if (!there && lstat(path, &now) == 0)
        return refuse(mishap, path, "it is a link that leads nowhere");
    if (there && S_ISDIR(now.st_mode))
        return refuse(mishap, path, "it is a folder; a file name was expected");
    if (!there && path[folder_length(path)] == '\0')
        return refuse(mishap, path, "a file name was expected");
    *straight = there && !S_ISREG(now.st_mode);
    if (there && !*straight) {
        if (faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) != 0)
            return refuse(mishap, path, strerror(errno));
        out->mode = (int)(now.st_mode & 0777);
    }
    out->target = there && !*straight ? realpath(path, NULL) : strdup(path);
    if (!out->target)
        return refuse(mishap, path, strerror(errno));
    if (there && !*straight && !may_be_replaced(out->target, &now))
        return refuse(mishap, path, "it is somebody else's, in a folder where only its owner may replace it");
    return true;
}

bool evn_out_is_file(const char *path, const char *other)
{
    struct stat a, b;
    return stat(path, &a) == 0 && stat(other, &b) == 0 && a.st_dev == b.st_dev && a.st_ino == b.st_ino;
}

static bool in_one_folder(const char *path, const char *other)
{
    size_t a_length = folder_length(path), b_length = folder_length(other);
    char *a = a_length > 0 ? strndup(path, a_length) : strdup(".");
    char *b = b_length > 0 ? strndup(other, b_length) : strdup(".");
    bool same = a && b && evn_out_is_file(a, b);
    free(a);
    free(b);
    return same;
}

bool evn_out_same_target(const char *path, const char *other)
{
    struct stat there;
    if (stat(path, &there) == 0)
        return S_ISREG(there.st_mode) && evn_out_is_file(path, other);
    return strcmp(path + folder_length(path), other + folder_length(other)) == 0 && in_one_folder(path, other);
}

bool evn_out_open(evn_out_file *out, const char *path, evn_mishap *mishap)
{
    *out = (evn_out_file){.path = path, .mode = -1};
    bool straight = false;
    if (look_at_target(out, path, &straight, mishap) && open_stream(out, straight, mishap))
        return true;
    evn_out_drop(out);
    return false;
}

bool evn_out_begin_anew(evn_out_file *out)
{
    clearerr(out->stream);
    return fseek(out->stream, 0, SEEK_SET) == 0 && ftruncate(fileno(out->stream), 0) == 0;
}

/* Brings all bytes to the disk; the reason of a failure is left in errno. */
static bool settle(evn_out_file *out)
{
    errno = 0;
    bool written = fflush(out->stream) == 0 && ferror(out->stream) == 0;
    if (written && out->temp)
        written = fsync(fileno(out->stream)) == 0;
    int error_number = errno != 0 ? errno : EIO; /* an earlier write failed, and told it then */
    bool closed = fclose(out->stream) == 0;
    out->stream = NULL;
    if (!written)
        errno = error_number;
    return written && closed;
}

/* What is in the file and on the disk takes its name. Behind it nothing is left to remove. */
static bool take_name(evn_out_file *out, const char *name)
{
    if (!out->temp)
        return true;
    if (rename(out->temp, name) != 0)
        return false;
    free(out->temp);
    out->temp = NULL;
    return true;
}

/* A link, unlike a new name, never takes the place of a file. Where there are no links, the name must be free now. */
static bool take_free_name(evn_out_file *out)
{
    struct stat there;
    if (!out->temp)
        return true;
    if (link(out->temp, out->target) == 0)
        return true; /* the temporary one is a second name, which is dropped */
    if (errno != EPERM && errno != ENOTSUP && errno != ENOSYS)
        return false;
    if (lstat(out->target, &there) == 0) {
        errno = EEXIST;
        return false;
    }
    return take_name(out, out->target);
}

static bool end_as(evn_out_file *out, bool kept, evn_mishap *mishap)
{
    if (!kept)
        evn_out_failed(out, mishap, errno);
    evn_out_drop(out);
    return kept;
}

/*
 * What is left: the names are taken one after another, and no system call takes several at once. Whether the folders
 * may be written was seen when the files were opened; where one of the later names cannot be taken all the same (its
 * folder was removed meanwhile, a folder took the name), the files before it are new. And what went to a pipe or a
 * device went there before.
 */
bool evn_out_commit_all(evn_out_file *const *out, size_t count, evn_mishap *mishap)
{
    bool whole = true;
    for (size_t i = 0; whole && i < count; i++)
        if (out[i]->stream && !settle(out[i])) {
            evn_out_failed(out[i], mishap, errno);
            whole = false;
        }
    for (size_t i = 0; whole && i < count; i++)
        if (out[i]->target && !take_name(out[i], out[i]->target)) {
            evn_out_failed(out[i], mishap, errno);
            whole = false;
        }
    for (size_t i = 0; i < count; i++)
        evn_out_drop(out[i]);
    return whole;
}

bool evn_out_commit(evn_out_file *out, evn_mishap *mishap)
{
    return evn_out_commit_all((evn_out_file *const[]){out}, 1, mishap);
}

bool evn_out_commit_new(evn_out_file *out, evn_mishap *mishap)
{
    return end_as(out, settle(out) && take_free_name(out), mishap);
}

bool evn_out_keep_partial(evn_out_file *out, evn_mishap *mishap)
{
    static const char ending[] = ".partial";
    size_t size = strlen(out->target) + sizeof ending;
    char *name = malloc(size);
    if (!name) {
        evn_out_drop(out);
        return evn_mishap_no_memory(mishap);
    }
    snprintf(name, size, "%s%s", out->target, ending);
    bool kept = end_as(out, settle(out) && take_name(out, name), mishap);
    free(name);
    return kept;
}

bool evn_stream_finish(FILE *stream, const char *name, evn_mishap *mishap)
{
    errno = 0;
    bool flushed = fflush(stream) == 0;
    if (flushed && ferror(stream) == 0)
        return true;
    evn_mishap_say(mishap, "cannot_write", EVN_BAD_IO, "cannot write %s: %s", name,
                   errno != 0 ? strerror(errno) : "an earlier write failed");
    return false;
}

/* A write that failed tells it only at that time; the pipe itself tells it for good. */
bool evn_stream_unread(FILE *stream)
{
    struct pollfd pipe = {.fd = fileno(stream), .events = POLLOUT};
    return ferror(stream) && poll(&pipe, 1, 0) == 1 && (pipe.revents & (POLLERR | POLLHUP));
}
