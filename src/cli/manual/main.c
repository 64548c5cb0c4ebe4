/*
 * usage: evener-manual FOLDER COMPLETION TOUR
 *
 * Writes evener.1, a page for each command, that of results and the tour of the file TOUR into FOLDER, and the
 * completion for bash into the file COMPLETION. Part of the build, never installed.
 */
#define _XOPEN_SOURCE 700
#include "cli/manual/manual.h"
#include <dirent.h>
#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_BYTES = 4096 };

static bool fail(const char *path)
{
    fprintf(stderr, "evener-manual: %s: %s\n", path, strerror(errno));
    return false;
}

static bool finish(FILE *file, const char *path, bool sound)
{
    sound = sound && !ferror(file);
    return (fclose(file) == 0 && sound) || fail(path);
}

static bool write_page(const char *folder, const evn_command *command)
{
    char path[PATH_BYTES];
    int length = !command ? snprintf(path, sizeof path, "%s/evener.1", folder)
                          : snprintf(path, sizeof path, "%s/evener-%s.1", folder, command->name);
    if (length < 0 || length >= PATH_BYTES) {
        errno = ENAMETOOLONG;
        return fail(folder);
    }
    for (char *at = path + strlen(folder); *at != '\0'; at++)
        if (*at == ' ')
            *at = '-';
    FILE *file = fopen(path, "w");
    if (!file)
        return fail(path);
    bool sound = true;
    if (!command)
        evn_manual_of_program(file);
    else
        sound = evn_manual_of_command(command, file);
    return finish(file, path, sound);
}

/* Pages of an earlier build go first: one may be of a command that is no more. */
static bool clear(const char *folder)
{
    DIR *listing = opendir(folder);
    if (!listing)
        return fail(folder);
    bool sound = true;
    for (struct dirent *entry = readdir(listing); entry; entry = readdir(listing))
        if (strncmp(entry->d_name, "evener", 6) == 0 && unlinkat(dirfd(listing), entry->d_name, 0) != 0)
            sound = fail(entry->d_name);
    return closedir(listing) == 0 && sound;
}

static bool write_pages(const char *folder)
{
    if (mkdir(folder, 0777) != 0 && errno != EEXIST)
        return fail(folder);
    bool sound = clear(folder) && write_page(folder, NULL);
    for (size_t i = 0; i < evn_command_count; i++)
        sound = write_page(folder, evn_commands[i]) && sound;
    return sound;
}

static bool write_tour(const char *folder, const char *from_path)
{
    char path[PATH_BYTES];
    snprintf(path, sizeof path, "%.4000s/evener-tour.1", folder);
    FILE *from = fopen(from_path, "r"), *to = from ? fopen(path, "w") : NULL;
    if (!from || !to) {
        bool wrote = fail(from ? path : from_path);
        if (from)
            fclose(from);
        return wrote;
    }
    bool sound = evn_manual_of_tour(from, to);
    fclose(from);
    return finish(to, path, sound);
}

static bool write_results(const char *folder)
{
    char path[PATH_BYTES];
    snprintf(path, sizeof path, "%.4000s/evener-results.1", folder);
    FILE *to = fopen(path, "w");
    if (!to)
        return fail(path);
    evn_manual_of_results(to);
    return finish(to, path, true);
}

static bool write_completion(const char *path)
{
    FILE *file = fopen(path, "w");
    if (!file)
        return fail(path);
    evn_bash_completion(file);
    return finish(file, path, true);
}

int main(int argc, char **argv)
{
    if (argc != 4) {
        fputs("usage: evener-manual FOLDER COMPLETION TOUR\n", stderr);
        return EVN_BAD_INPUT;
    }
    return write_pages(argv[1]) && write_tour(argv[1], argv[3]) && write_results(argv[1]) && write_completion(argv[2])
               ? EVN_DONE
               : EVN_BAD_IO;
}
