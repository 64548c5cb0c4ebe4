/* A folder of its own for each test, removed after it. The includer asks for POSIX 2008. */
#ifndef EVENER_TESTS_FOLDER_H
#define EVENER_TESTS_FOLDER_H
#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_BYTES = 300 };
static char test_folder[100];

static inline const char *in_folder(char path[PATH_BYTES], const char *name)
{
    snprintf(path, PATH_BYTES, "%.90s/%.200s", test_folder, name);
    return path;
}

static inline void write_file(const char *name, const char *text)
{
    char path[PATH_BYTES];
    FILE *file = fopen(in_folder(path, name), "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

static inline void make_folder(const char *name)
{
    char path[PATH_BYTES];
    ck_assert_int_eq(mkdir(in_folder(path, name), 0700), 0);
}

static inline void folder_begin(void)
{
    const char *base = getenv("TMPDIR");
    snprintf(test_folder, sizeof test_folder, "%.70s/evener-test-XXXXXX", !base ? "/tmp" : base);
    ck_assert_ptr_nonnull(mkdtemp(test_folder));
}

/* Removes what is in a folder, one level of folders below it included. */
static inline void empty_folder(const char *path, int levels)
{
    DIR *folder = opendir(path);
    ck_assert_ptr_nonnull(folder);
    for (const struct dirent *entry; (entry = readdir(folder));) {
        char inner[PATH_BYTES * 2];
        struct stat state;
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        snprintf(inner, sizeof inner, "%.290s/%.250s", path, entry->d_name);
        ck_assert_int_eq(lstat(inner, &state), 0);
        if (S_ISDIR(state.st_mode) && levels > 0)
            empty_folder(inner, levels - 1);
        ck_assert_int_eq(remove(inner), 0);
    }
    closedir(folder);
}

static inline void folder_end(void)
{
    empty_folder(test_folder, 1);
    ck_assert_int_eq(rmdir(test_folder), 0);
}

#endif
