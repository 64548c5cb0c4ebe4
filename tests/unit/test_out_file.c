/* Output files and traces: whole or not at all. */
#define _XOPEN_SOURCE 700
#include "show/csv/trace_csv.h"
#include "show/out_file.h"
#include <check.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ------------------------------------------------------------------------------------------------ capturing output */

typedef struct capture {
    FILE *to;
    char *text;
    size_t size;
} capture;

static void capture_begin(capture *here)
{
    *here = (capture){0};
    here->to = open_memstream(&here->text, &here->size);
    ck_assert_ptr_nonnull(here->to);
}

static const char *captured(capture *here)
{
    ck_assert_int_eq(fflush(here->to), 0);
    return here->text;
}

static void capture_end(capture *here)
{
    fclose(here->to);
    free(here->text);
}

static void assert_holds(const char *text, const char *part)
{
    ck_assert_msg(strstr(text, part), "'%s' was expected in:\n%s", part, text);
}

/* ------------------------------------------------------------------------------------------------ trace */

START_TEST(trace_rows_have_ten_digits_and_empty_fields_for_what_is_not_finite)
{
    capture shown;
    capture_begin(&shown);
    evn_trace_csv csv = {.stream = shown.to};
    evn_trace_csv_key(&csv, "time_s", true);
    evn_trace_csv_key(&csv, "drive_units.rear.torque_nm", false);
    evn_trace_csv_key(&csv, "odd\"name,here", false);
    evn_trace_csv_end_line(&csv);
    evn_trace_csv_row(&csv, (const double[]){1.0 / 3, (double)NAN, -2e20}, 3);
    ck_assert_str_eq(captured(&shown),
                     "time_s,drive_units_rear_torque_nm,\"odd\"\"name,here\"\n0.3333333333,,-2e+20\n");
    ck_assert_int_eq(csv.error_number, 0);
    capture_end(&shown);
}
END_TEST

START_TEST(a_trace_that_cannot_be_written_says_so)
{
    evn_trace_csv csv = {.stream = fopen("/dev/full", "w")};
    ck_assert_ptr_nonnull(csv.stream);
    const double values[] = {1, 2, 3};
    for (int i = 0; i < 100000 && csv.error_number == 0; i++)
        evn_trace_csv_row(&csv, values, 3);
    ck_assert_int_eq(csv.error_number, ENOSPC);
    fclose(csv.stream);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ output files */

static char folder[] = "/tmp/evener-show-XXXXXX";
static char path[128];

static void enter_folder(void)
{
    strcpy(folder + strlen(folder) - 6, "XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/out.csv", folder);
}

/* Removes what lies in the folder; returns how many entries there were. */
static size_t empty_folder(void)
{
    size_t entries = 0;
    DIR *list = opendir(folder);
    ck_assert_ptr_nonnull(list);
    for (struct dirent *entry; (entry = readdir(list));) {
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        char name[512];
        snprintf(name, sizeof name, "%s/%s", folder, entry->d_name);
        ck_assert_int_eq(remove(name), 0);
        entries++;
    }
    closedir(list);
    return entries;
}

static void leave_folder(void)
{
    empty_folder();
    rmdir(folder);
}

static void write_file(const char *name, const char *text)
{
    FILE *file = fopen(name, "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

static void assert_file(const char *name, const char *text)
{
    char found[64] = "";
    FILE *file = fopen(name, "r");
    ck_assert_msg(file, "%s is not there", name);
    found[fread(found, 1, sizeof found - 1, file)] = '\0';
    fclose(file);
    ck_assert_str_eq(found, text);
}

START_TEST(a_file_takes_its_name_only_when_it_is_whole)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    write_file(path, "old");
    ck_assert_int_eq(chmod(path, 0640), 0);
    ck_assert(evn_out_open(&out, path, &mishap));
    fputs("new", out.stream);
    fflush(out.stream);
    assert_file(path, "old");
    ck_assert(evn_out_commit(&out, &mishap));
    assert_file(path, "new");
    struct stat now;
    ck_assert_int_eq(stat(path, &now), 0);
    ck_assert_uint_eq(now.st_mode & 0777, 0640);
    ck_assert_uint_eq(empty_folder(), 1);
    ck_assert(!evn_mishap_happened(&mishap));
}
END_TEST

START_TEST(a_file_that_is_begun_anew_holds_what_is_written_after_that)
{
    evn_out_file out, device;
    evn_mishap mishap = {0};
    ck_assert(evn_out_open(&out, path, &mishap));
    fputs("a long text of before", out.stream);
    ck_assert(evn_out_begin_anew(&out));
    fputs("half", out.stream);
    fflush(out.stream);
    ck_assert(evn_out_begin_anew(&out));
    fputs("new", out.stream);
    ck_assert(evn_out_commit(&out, &mishap));
    assert_file(path, "new");
    ck_assert(evn_out_open(&device, "/dev/null", &mishap));
    ck_assert(!evn_out_begin_anew(&device));
    evn_out_drop(&device);
    ck_assert(!evn_mishap_happened(&mishap));
}
END_TEST

START_TEST(a_dropped_file_leaves_nothing)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    ck_assert(evn_out_open(&out, path, &mishap));
    fputs("new", out.stream);
    evn_out_drop(&out);
    ck_assert_uint_eq(empty_folder(), 0);
    ck_assert_ptr_null(out.stream);
    evn_out_drop(&out);
}
END_TEST

START_TEST(a_partial_file_never_bears_the_name_of_the_whole)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    write_file(path, "old");
    ck_assert(evn_out_open(&out, path, &mishap));
    fputs("half", out.stream);
    ck_assert(evn_out_keep_partial(&out, &mishap));
    char partial[160];
    snprintf(partial, sizeof partial, "%s.partial", path);
    assert_file(path, "old");
    assert_file(partial, "half");
    ck_assert_uint_eq(empty_folder(), 2);
}
END_TEST

static const char *beside(char *name, const char *ending)
{
    snprintf(name, 160, "%s%s", path, ending);
    return name;
}

START_TEST(files_that_are_ended_together_all_take_their_names)
{
    char other[160];
    evn_out_file one, two, never = {0};
    evn_mishap mishap = {0};
    write_file(path, "old");
    ck_assert(evn_out_open(&one, path, &mishap) && evn_out_open(&two, beside(other, "2"), &mishap));
    fputs("first", one.stream);
    fputs("second", two.stream);
    ck_assert(evn_out_commit_all((evn_out_file *const[]){&one, &never, &two}, 3, &mishap));
    assert_file(path, "first");
    assert_file(other, "second");
    ck_assert_uint_eq(empty_folder(), 2);
    ck_assert(!evn_mishap_happened(&mishap));
}
END_TEST

START_TEST(where_one_of_several_cannot_be_written_all_old_files_stay)
{
    for (int bad_first = 0; bad_first < 2; bad_first++) {
        char other[160];
        evn_out_file one, two, full;
        evn_mishap mishap = {0};
        write_file(path, "old");
        write_file(beside(other, "2"), "older");
        ck_assert(evn_out_open(&one, path, &mishap) && evn_out_open(&two, other, &mishap) &&
                  evn_out_open(&full, "/dev/full", &mishap));
        fputs("first", one.stream);
        fputs("second", two.stream);
        fputs("lost", full.stream);
        evn_out_file *const all[] = {bad_first ? &full : &one, &two, bad_first ? &one : &full};
        ck_assert(!evn_out_commit_all(all, 3, &mishap));
        assert_holds(mishap.text, strerror(ENOSPC));
        assert_file(path, "old");
        assert_file(other, "older");
        ck_assert_uint_eq(empty_folder(), 2);
    }
}
END_TEST

START_TEST(a_file_that_had_a_failed_write_before_is_not_whole)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    write_file(path, "old");
    ck_assert(evn_out_open(&out, path, &mishap));
    int handle = fileno(out.stream), spare = dup(handle), full = open("/dev/full", O_WRONLY);
    ck_assert(spare >= 0 && full >= 0 && dup2(full, handle) == handle);
    fputs("lost", out.stream);
    ck_assert_int_eq(fflush(out.stream), EOF);
    ck_assert_int_eq(dup2(spare, handle), handle);
    ck_assert(!evn_out_commit(&out, &mishap));
    assert_holds(mishap.text, strerror(EIO));
    assert_file(path, "old");
    ck_assert_uint_eq(empty_folder(), 1);
    close(spare);
    close(full);
}
END_TEST

START_TEST(a_stream_is_unread_only_where_it_is_a_pipe_whose_reader_went_away)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    FILE *into = fdopen(ends[1], "w"), *full = fopen("/dev/full", "w");
    ck_assert(into && full && signal(SIGPIPE, SIG_IGN) != SIG_ERR);
    fputs("x", into);
    ck_assert_int_eq(fflush(into), 0);
    ck_assert(!evn_stream_unread(into));
    close(ends[0]);
    ck_assert(!evn_stream_unread(into)); /* nothing was lost yet */
    fputs("x", into);
    ck_assert_int_eq(fflush(into), EOF);
    ck_assert(evn_stream_unread(into));
    fputs("x", full);
    ck_assert_int_eq(fflush(full), EOF);
    ck_assert(!evn_stream_unread(full));
    fclose(into);
    fclose(full);
}
END_TEST

START_TEST(links_are_followed_and_stay)
{
    char link[160];
    evn_out_file out;
    evn_mishap mishap = {0};
    snprintf(link, sizeof link, "%s/link", folder);
    ck_assert_int_eq(symlink(path, link), 0);
    ck_assert(!evn_out_open(&out, link, &mishap));
    assert_holds(mishap.text, "leads nowhere");
    mishap = (evn_mishap){0};
    write_file(path, "old");
    ck_assert(evn_out_open(&out, link, &mishap));
    fputs("new", out.stream);
    ck_assert(evn_out_commit(&out, &mishap));
    assert_file(path, "new");
    struct stat now;
    ck_assert_int_eq(lstat(link, &now), 0);
    ck_assert(S_ISLNK(now.st_mode));
}
END_TEST

START_TEST(folders_and_places_that_are_not_there_are_refused)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    ck_assert(!evn_out_open(&out, folder, &mishap));
    assert_holds(mishap.text, "it is a folder; a file name was expected");
    ck_assert_int_eq(mishap.status, EVN_BAD_IO);
    mishap = (evn_mishap){0};
    snprintf(path, sizeof path, "%s/none/out.csv", folder);
    ck_assert(!evn_out_open(&out, path, &mishap));
    assert_holds(mishap.text, strerror(ENOENT));
    mishap = (evn_mishap){0};
    snprintf(path, sizeof path, "%s/none/", folder);
    ck_assert(!evn_out_open(&out, path, &mishap));
    assert_holds(mishap.text, "a file name was expected");
    ck_assert_uint_eq(empty_folder(), 0);
}
END_TEST

START_TEST(a_name_that_was_taken_meanwhile_fails_without_a_trace_of_it)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    ck_assert(evn_out_open(&out, path, &mishap));
    fputs("new", out.stream);
    ck_assert_int_eq(mkdir(path, 0777), 0);
    ck_assert(!evn_out_commit(&out, &mishap));
    assert_holds(mishap.text, "nothing was left behind");
    ck_assert_uint_eq(empty_folder(), 1);
}
END_TEST

START_TEST(devices_are_written_straight_through_and_stay_devices)
{
    evn_out_file out;
    evn_mishap mishap = {0};
    ck_assert(evn_out_open(&out, "/dev/full", &mishap));
    ck_assert_ptr_null(out.temp);
    fputs("x", out.stream);
    ck_assert(!evn_out_commit(&out, &mishap));
    assert_holds(mishap.text, strerror(ENOSPC));
    struct stat now;
    ck_assert_int_eq(stat("/dev/full", &now), 0);
    ck_assert(S_ISCHR(now.st_mode));
}
END_TEST

START_TEST(a_stream_that_could_not_be_written_is_noticed)
{
    evn_mishap mishap = {0};
    FILE *full = fopen("/dev/full", "w");
    ck_assert_ptr_nonnull(full);
    ck_assert(evn_stream_finish(full, "standard output", &mishap));
    fputs("x", full);
    ck_assert(!evn_stream_finish(full, "standard output", &mishap));
    assert_holds(mishap.text, "cannot write standard output");
    fclose(full);
}
END_TEST

START_TEST(two_names_are_one_target_where_they_end_in_one_ordinary_file)
{
    ck_assert(evn_out_same_target("new.csv", "./new.csv"));
    ck_assert(!evn_out_same_target("new.csv", "other.csv"));
    ck_assert_int_eq(mkdir("inner", 0777), 0);
    ck_assert(!evn_out_same_target("inner/new.csv", "new.csv"));
    ck_assert(evn_out_same_target("inner/new.csv", "./inner/../inner/new.csv"));
    ck_assert(!evn_out_same_target("/dev/null", "/dev/null"));
    fclose(fopen("there.csv", "w"));
    ck_assert_int_eq(symlink("there.csv", "link.csv"), 0);
    ck_assert(evn_out_same_target("there.csv", "link.csv"));
    ck_assert(!evn_out_same_target("there.csv", "new.csv"));
    ck_assert_int_eq(unlink("link.csv") + unlink("there.csv") + rmdir("inner"), 0);
}
END_TEST

static void add_files(Suite *suite)
{
    TCase *tests = tcase_create("files");
    tcase_add_checked_fixture(tests, enter_folder, leave_folder);
    tcase_add_test(tests, trace_rows_have_ten_digits_and_empty_fields_for_what_is_not_finite);
    tcase_add_test(tests, a_trace_that_cannot_be_written_says_so);
    tcase_add_test(tests, a_file_takes_its_name_only_when_it_is_whole);
    tcase_add_test(tests, a_file_that_is_begun_anew_holds_what_is_written_after_that);
    tcase_add_test(tests, a_dropped_file_leaves_nothing);
    tcase_add_test(tests, a_partial_file_never_bears_the_name_of_the_whole);
    tcase_add_test(tests, files_that_are_ended_together_all_take_their_names);
    tcase_add_test(tests, where_one_of_several_cannot_be_written_all_old_files_stay);
    tcase_add_test(tests, a_file_that_had_a_failed_write_before_is_not_whole);
    tcase_add_test(tests, a_stream_is_unread_only_where_it_is_a_pipe_whose_reader_went_away);
    tcase_add_test(tests, links_are_followed_and_stay);
    tcase_add_test(tests, folders_and_places_that_are_not_there_are_refused);
    tcase_add_test(tests, a_name_that_was_taken_meanwhile_fails_without_a_trace_of_it);
    tcase_add_test(tests, devices_are_written_straight_through_and_stay_devices);
    tcase_add_test(tests, two_names_are_one_target_where_they_end_in_one_ordinary_file);
    tcase_add_test(tests, a_stream_that_could_not_be_written_is_noticed);
    suite_add_tcase(suite, tests);
}

/* ------------------------------------------------------------------------------------------------ suite */

int main(void)
{
    Suite *suite = suite_create("out_file");
    add_files(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
