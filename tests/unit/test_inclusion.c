/* Files that extend and use other files: merging, places in both files, circles, and what is no regular file. */
#define _POSIX_C_SOURCE 200809L
#include "folder.h"
#include "wagon.h"
#include <stdlib.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>

#define HEAD "name: w\nmass_kg: 1000\n"

static outcome read_with(const char *name, const char *const *search)
{
    char path[PATH_BYTES];
    outcome out = outcome_begin();
    out.wagon = evn_read_file(in_folder(path, name), &wagon_object, search, out.arena, out.report);
    ck_assert_int_eq(!out.wagon, evn_report_failed(out.report));
    return out;
}

static outcome read_named(const char *name) { return read_with(name, NULL); }

static void expect_file(const char *found, const char *name)
{
    char path[PATH_BYTES];
    ck_assert_str_eq(found, in_folder(path, name));
}

static outcome expect_sound(const char *name)
{
    outcome out = read_named(name);
    if (evn_report_count(out.report) > 0) {
        evn_finding found = finding_at(&out, 0);
        ck_abort_msg("%s:%u:%u: %s", found.file, found.line, found.column, found.text);
    }
    return out;
}

/* One finding in `file`, used from `line`:`column` of w.yaml (0: not used). */
static void expect_one(const char *fault, const char *file, unsigned line, unsigned column, const char *piece,
                       unsigned used_line, unsigned used_column)
{
    outcome out = read_named("w.yaml");
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, fault, line, column, piece);
    expect_file(found.file, file);
    ck_assert_uint_eq(found.used_from_line, used_line);
    ck_assert_uint_eq(found.used_from_column, used_column);
    if (used_line == 0)
        ck_assert_ptr_null(found.used_from_file);
    else
        expect_file(found.used_from_file, "w.yaml");
    outcome_end(&out);
}

/* ---------------------------------------------------------------------------------------------------- merging */

START_TEST(extends_merges_maps_and_replaces_lists_and_scalars)
{
    write_file("base.yaml", "name: base\nmass_kg: 2000\nslopes_percent: [1, 2, 3]\n"
                            "coupling: {height_m: 1, brake: {force_n: 7, fade_km_h: 9}}\n");
    write_file("w.yaml", "extends: base.yaml\nname: w\nslopes_percent: [4]\ncoupling: {brake: {force_n: 8}}\n");
    outcome out = expect_sound("w.yaml");
    ck_assert_str_eq(out.wagon->name, "w");
    ck_assert_double_eq(out.wagon->mass_kg, 2000);
    ck_assert_uint_eq(out.wagon->slopes_percent.count, 1);
    ck_assert_double_eq(out.wagon->coupling->height_m, 1);
    ck_assert_double_eq(out.wagon->coupling->brake->force_n, 8);
    ck_assert_double_eq(out.wagon->coupling->brake->fade_km_h, 9);
    outcome_end(&out);
}
END_TEST

START_TEST(extends_goes_on_from_file_to_file)
{
    make_folder("sub");
    write_file("sub/first.yaml", HEAD "colour: red\nwheels: 8\npermitted_kg: 9000\n");
    write_file("second.yaml", "extends: sub/first.yaml\nwheels: 10\npermitted_kg: 9001\n");
    write_file("w.yaml", "permitted_kg: 9002\nextends: second.yaml\n");
    outcome out = expect_sound("w.yaml");
    ck_assert_int_eq(out.wagon->colour, 0);
    ck_assert_double_eq(out.wagon->wheels, 10);
    ck_assert_double_eq(out.wagon->permitted_kg, 9002);
    outcome_end(&out);
}
END_TEST

START_TEST(use_brings_in_a_part_wherever_a_map_stands)
{
    make_folder("parts");
    write_file("parts/brake.yaml", "force_n: 5\n");
    write_file("parts/coupling.yaml", "height_m: 1.5\nbrake: {use: brake.yaml}\n"); /* beside the part, not the wagon */
    write_file("parts/loads.yaml", "sand: {mass_kg: 3}\n");
    write_file("parts/spring.yaml", "stiffness_n_m: 6\n");
    write_file("parts/step.yaml", "damper: {share: 0.5}\n");
    write_file("w.yaml", HEAD "coupling: {use: parts/coupling.yaml, height_m: 1.25}\n"
                              "loads: {use: parts/loads.yaml, gravel: {mass_kg: 4}}\n"
                              "path:\n"
                              "  - spring: {use: parts/spring.yaml}\n"
                              "  - use: parts/step.yaml\n");
    outcome out = expect_sound("w.yaml");
    const wagon *w = out.wagon;
    ck_assert_double_eq(w->coupling->height_m, 1.25);
    ck_assert_double_eq(w->coupling->brake->force_n, 5);
    ck_assert_uint_eq(w->loads.count, 2);
    ck_assert_str_eq(w->loads.name[0], "sand");
    ck_assert_str_eq(w->loads.name[1], "gravel");
    ck_assert_double_eq(((const spring *)w->path.at[0].item)->stiffness_n_m, 6);
    ck_assert_double_eq(((const damper *)w->path.at[1].item)->share, 0.5);
    outcome_end(&out);
}
END_TEST

START_TEST(a_used_file_may_use_and_extend_at_its_top)
{
    write_file("c.yaml", "height_m: 1\n");
    write_file("b.yaml", "use: c.yaml\nbrake: {force_n: 3}\n");
    write_file("a.yaml", "extends: b.yaml\nbrake: {fade_km_h: 4}\n");
    write_file("w.yaml", HEAD "coupling: {use: a.yaml}\n");
    outcome out = expect_sound("w.yaml");
    ck_assert_double_eq(out.wagon->coupling->height_m, 1);
    ck_assert_double_eq(out.wagon->coupling->brake->force_n, 3);
    ck_assert_double_eq(out.wagon->coupling->brake->fade_km_h, 4);
    outcome_end(&out);
}
END_TEST

START_TEST(a_use_replaces_the_use_it_builds_on)
{
    write_file("soft.yaml", "force_n: 1\nfade_km_h: 50\n");
    write_file("hard.yaml", "force_n: 2\n");
    write_file("base.yaml", HEAD "brake: {use: soft.yaml}\n");
    write_file("w.yaml", "extends: base.yaml\nbrake: {use: hard.yaml}\n");
    outcome out = expect_sound("w.yaml");
    ck_assert_double_eq(out.wagon->brake->force_n, 2);
    ck_assert_double_nan(out.wagon->brake->fade_km_h); /* nothing of the part that was replaced */
    outcome_end(&out);
}
END_TEST

START_TEST(one_part_may_be_used_many_times)
{
    write_file("load.yaml", "mass_kg: 5\n");
    write_file("w.yaml", HEAD "loads: {a: {use: load.yaml}, b: {use: load.yaml}, c: {use: load.yaml}}\n");
    outcome out = expect_sound("w.yaml");
    ck_assert_uint_eq(out.wagon->loads.count, 3);
    outcome_end(&out);
}
END_TEST

START_TEST(the_search_path_comes_after_the_folder_of_the_file)
{
    char first[PATH_BYTES], second[PATH_BYTES];
    make_folder("one");
    make_folder("two");
    write_file("brake.yaml", "force_n: 1\n");
    write_file("one/brake.yaml", "force_n: 2\n");
    write_file("two/coupling.yaml", "height_m: 0.5\n");
    write_file("two/brake.yaml", "force_n: 3\n");
    write_file("w.yaml", HEAD "brake: {use: brake.yaml}\ncoupling: {use: coupling.yaml, brake: {use: ./brake.yaml}}\n");
    const char *search[] = {in_folder(first, "one"), in_folder(second, "two"), NULL};
    outcome out = read_with("w.yaml", search);
    ck_assert_double_eq(out.wagon->brake->force_n, 1);
    ck_assert_double_eq(out.wagon->coupling->height_m, 0.5);
    outcome_end(&out);
}
END_TEST

START_TEST(a_path_from_the_root_is_taken_as_it_is)
{
    char path[PATH_BYTES], text[PATH_BYTES + 100];
    write_file("brake.yaml", "force_n: 1\n");
    snprintf(text, sizeof text, HEAD "brake: {use: %s}\n", in_folder(path, "brake.yaml"));
    write_file("w.yaml", text);
    outcome out = expect_sound("w.yaml");
    ck_assert_double_eq(out.wagon->brake->force_n, 1);
    outcome_end(&out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- places */

START_TEST(a_fault_in_a_used_file_shows_both_places)
{
    write_file("part.yaml", "# a part\nheight_m: 9\n");
    write_file("w.yaml", HEAD "coupling: {use: part.yaml}\n");
    expect_one("out_of_range", "part.yaml", 2, 11, "height_m is 9 m", 3, 17);
}
END_TEST

START_TEST(a_fault_in_an_extended_file_shows_both_places)
{
    write_file("base.yaml", "mass_kg: 1_0\n");
    write_file("w.yaml", "name: w\nextends: base.yaml\n");
    expect_one("not_a_number", "base.yaml", 1, 10, "no underscores", 2, 10);
}
END_TEST

START_TEST(an_unknown_key_in_a_used_file_shows_both_places)
{
    write_file("part.yaml", "height_m: 1\nbrakes: {}\n");
    write_file("w.yaml", HEAD "coupling: {use: part.yaml}\n");
    expect_one("unknown_key", "part.yaml", 2, 1, "nearest is 'brake'", 3, 17);
}
END_TEST

START_TEST(a_key_missing_in_a_used_file_is_named_there)
{
    write_file("part.yaml", "brake: {}\n");
    write_file("w.yaml", HEAD "coupling: {use: part.yaml}\n");
    expect_one("missing_key", "part.yaml", 1, 1, "no key 'height_m' in coupling", 3, 17);
}
END_TEST

START_TEST(a_key_missing_in_both_is_named_where_more_was_written)
{
    write_file("part.yaml", "brake: {force_n: 1}\n");
    write_file("w.yaml", HEAD "coupling:\n  use: part.yaml\n  brake: {force_n: 2}\n");
    expect_one("missing_key", "w.yaml", 3, 1, "no key 'height_m' in coupling", 0, 0);
}
END_TEST

START_TEST(a_value_that_replaces_is_located_where_it_stands)
{
    write_file("part.yaml", "height_m: 1\n");
    write_file("w.yaml", HEAD "coupling: {use: part.yaml, height_m: 9}\n");
    expect_one("out_of_range", "w.yaml", 3, 38, "height_m is 9 m", 0, 0);
}
END_TEST

START_TEST(a_rule_over_both_files_shows_the_value_s_own_place)
{
    write_file("part.yaml", "speed_km_h: [0, 9]\nshare: [1]\n");
    write_file("w.yaml", HEAD "brake: {use: part.yaml}\n");
    expect_one("disagrees", "part.yaml", 2, 8, "share has 1 values", 3, 14);
}
END_TEST

START_TEST(syntax_in_a_used_file_shows_both_places_and_nothing_else)
{
    write_file("part.yaml", "height_m: [1\n");
    write_file("w.yaml", HEAD "coupling: {use: part.yaml}\n");
    expect_one("syntax", "part.yaml", 2, 1, "expected ',' or ']'", 3, 17);
}
END_TEST

START_TEST(a_used_file_that_is_a_list_is_refused)
{
    write_file("part.yaml", "- 1\n");
    write_file("w.yaml", HEAD "coupling: {use: part.yaml}\n");
    expect_one("wrong_shape", "part.yaml", 1, 1, "a list as the whole file", 3, 17);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- not found */

START_TEST(a_file_that_is_not_there_is_located_where_it_is_named)
{
    write_file("w.yaml", HEAD "coupling: {use: part.yaml}\n");
    expect_one("not_found", "w.yaml", 3, 17, "'part.yaml' is not there", 0, 0);
}
END_TEST

START_TEST(an_extended_file_that_is_not_there_leaves_no_keys_missing)
{
    write_file("w.yaml", "extends: base\nname: w\n");
    expect_one("not_found", "w.yaml", 1, 10, "the ending is part of the name", 0, 0);
}
END_TEST

START_TEST(use_without_a_path_is_refused)
{
    write_file("w.yaml", HEAD "coupling: {use: [a.yaml]}\n");
    expect_one("wrong_shape", "w.yaml", 3, 17, "use without a path", 0, 0);
}
END_TEST

START_TEST(a_path_with_a_line_break_is_refused)
{
    write_file("w.yaml", HEAD "coupling: {use: \"a\\nb\"}\n");
    expect_one("wrong_shape", "w.yaml", 3, 17, "on one line", 0, 0);
}
END_TEST

START_TEST(a_file_that_is_not_there_is_said)
{
    outcome out = read_named("none.yaml");
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "cannot_read", 0, 0, "there is no such file");
    ck_assert_int_eq(evn_report_status(out.report), EVN_BAD_IO);
    outcome_end(&out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- circles */

START_TEST(a_file_that_extends_itself_is_a_circle)
{
    write_file("w.yaml", HEAD "extends: ./w.yaml\n");
    expect_one("inclusion_loop", "w.yaml", 3, 10, "in a circle", 0, 0);
}
END_TEST

START_TEST(a_circle_of_two_files_shows_both_places)
{
    write_file("a.yaml", "extends: w.yaml\n");
    write_file("w.yaml", HEAD "extends: a.yaml\n");
    expect_one("inclusion_loop", "a.yaml", 1, 10, "'w.yaml' leads back", 3, 10);
}
END_TEST

START_TEST(a_circle_of_uses_is_found)
{
    write_file("a.yaml", "height_m: 1\nbrake: {use: b.yaml}\n");
    write_file("b.yaml", "use: a.yaml\n");
    write_file("w.yaml", HEAD "coupling: {use: a.yaml}\n");
    outcome out = read_named("w.yaml");
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "inclusion_loop", 1, 6, "'a.yaml' leads back");
    expect_file(found.file, "b.yaml");
    expect_file(found.used_from_file, "a.yaml");
    outcome_end(&out);
}
END_TEST

START_TEST(a_circle_through_a_symbolic_link_is_found)
{
    char path[PATH_BYTES];
    write_file("w.yaml", HEAD "extends: link.yaml\n");
    ck_assert_int_eq(symlink("w.yaml", in_folder(path, "link.yaml")), 0);
    expect_one("inclusion_loop", "w.yaml", 3, 10, "'link.yaml' leads back", 0, 0);
}
END_TEST

START_TEST(a_long_row_of_files_is_refused)
{
    for (int i = 0; i < 30; i++) {
        char name[20], text[40];
        snprintf(name, sizeof name, "f%d.yaml", i);
        snprintf(text, sizeof text, "extends: f%d.yaml\n", i + 1);
        write_file(name, text);
    }
    write_file("w.yaml", HEAD "extends: f0.yaml\n");
    outcome out = read_named("w.yaml");
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "too_large", 1, 10, "more than 16 files");
    expect_file(found.file, "f15.yaml");
    outcome_end(&out);
}
END_TEST

START_TEST(files_that_multiply_are_refused)
{
    for (int i = 0; i < 15; i++) { /* each uses the next one three times: 3^15 files without a limit */
        char name[20], text[120];
        snprintf(name, sizeof name, "f%d.yaml", i);
        snprintf(text, sizeof text, "a: {use: f%d.yaml}\nb: {use: f%d.yaml}\nc: {use: f%d.yaml}\n", i + 1, i + 1,
                 i + 1);
        write_file(name, text);
    }
    write_file("f15.yaml", "height_m: 1\n");
    write_file("w.yaml", HEAD "coupling: {use: f0.yaml}\n");
    outcome out = read_named("w.yaml");
    evn_finding found = finding_at(&out, 0);
    ck_assert_str_eq(found.fault, "too_large");
    ck_assert_ptr_nonnull(strstr(found.text, "more than 1000 files"));
    outcome_end(&out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- odd files */

static void expect_unreadable(const char *name, const char *piece)
{
    char text[100];
    outcome out = read_named(name); /* itself */
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "cannot_read", 0, 0, piece);
    expect_file(found.file, name);
    outcome_end(&out);
    snprintf(text, sizeof text, HEAD "coupling: {use: %s}\n", name); /* and named by another */
    write_file("w.yaml", text);
    expect_one("cannot_read", "w.yaml", 3, 17, piece, 0, 0);
}

START_TEST(a_directory_is_no_file)
{
    make_folder("parts");
    expect_unreadable("parts", "a directory");
}
END_TEST

START_TEST(a_named_pipe_is_refused_without_waiting)
{
    char path[PATH_BYTES];
    ck_assert_int_eq(mkfifo(in_folder(path, "pipe"), 0600), 0);
    expect_unreadable("pipe", "a named pipe");
}
END_TEST

START_TEST(a_socket_is_refused)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    char path[PATH_BYTES];
    in_folder(path, "socket");
    ck_assert_uint_lt(strlen(path), sizeof address.sun_path);
    strcpy(address.sun_path, path);
    int descriptor = socket(AF_UNIX, SOCK_STREAM, 0);
    ck_assert_int_ge(descriptor, 0);
    ck_assert_int_eq(bind(descriptor, (const struct sockaddr *)&address, sizeof address), 0);
    expect_unreadable("socket", "a socket or device");
    close(descriptor);
}
END_TEST

START_TEST(a_device_is_refused)
{
    char path[PATH_BYTES];
    ck_assert_int_eq(symlink("/dev/zero", in_folder(path, "zero")), 0);
    expect_unreadable("zero", "a device");
}
END_TEST

START_TEST(links_in_a_circle_are_refused)
{
    char path[PATH_BYTES];
    ck_assert_int_eq(symlink("loop", in_folder(path, "loop")), 0);
    expect_unreadable("loop", "symbolic links in a circle");
}
END_TEST

START_TEST(a_file_without_permission_is_said)
{
    char path[PATH_BYTES];
    write_file("shut", "name: w\n");
    ck_assert_int_eq(chmod(in_folder(path, "shut"), 0), 0);
    if (access(path, R_OK) != 0) /* whoever may read everything cannot be refused */
        expect_unreadable("shut", "permission denied");
}
END_TEST

START_TEST(a_file_beyond_the_limit_is_refused_unread)
{
    char path[PATH_BYTES];
    write_file("huge.yaml", "");
    ck_assert_int_eq(truncate(in_folder(path, "huge.yaml"), (off_t)1 << 40), 0);
    outcome out = read_named("huge.yaml");
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "too_large", 0, 0, "more than 64 MiB");
    outcome_end(&out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- the suite */

static void add_merging(Suite *suite)
{
    TCase *tests = tcase_create("merging");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, extends_merges_maps_and_replaces_lists_and_scalars);
    tcase_add_test(tests, extends_goes_on_from_file_to_file);
    tcase_add_test(tests, use_brings_in_a_part_wherever_a_map_stands);
    tcase_add_test(tests, a_used_file_may_use_and_extend_at_its_top);
    tcase_add_test(tests, a_use_replaces_the_use_it_builds_on);
    tcase_add_test(tests, one_part_may_be_used_many_times);
    tcase_add_test(tests, the_search_path_comes_after_the_folder_of_the_file);
    tcase_add_test(tests, a_path_from_the_root_is_taken_as_it_is);
    suite_add_tcase(suite, tests);
}

static void add_places(Suite *suite)
{
    TCase *tests = tcase_create("places");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_fault_in_a_used_file_shows_both_places);
    tcase_add_test(tests, a_fault_in_an_extended_file_shows_both_places);
    tcase_add_test(tests, an_unknown_key_in_a_used_file_shows_both_places);
    tcase_add_test(tests, a_key_missing_in_a_used_file_is_named_there);
    tcase_add_test(tests, a_key_missing_in_both_is_named_where_more_was_written);
    tcase_add_test(tests, a_value_that_replaces_is_located_where_it_stands);
    tcase_add_test(tests, a_rule_over_both_files_shows_the_value_s_own_place);
    tcase_add_test(tests, syntax_in_a_used_file_shows_both_places_and_nothing_else);
    tcase_add_test(tests, a_used_file_that_is_a_list_is_refused);
    tcase_add_test(tests, a_file_that_is_not_there_is_located_where_it_is_named);
    tcase_add_test(tests, an_extended_file_that_is_not_there_leaves_no_keys_missing);
    tcase_add_test(tests, use_without_a_path_is_refused);
    tcase_add_test(tests, a_path_with_a_line_break_is_refused);
    tcase_add_test(tests, a_file_that_is_not_there_is_said);
    suite_add_tcase(suite, tests);
}

static void add_hostile(Suite *suite)
{
    TCase *tests = tcase_create("hostile files");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_file_that_extends_itself_is_a_circle);
    tcase_add_test(tests, a_circle_of_two_files_shows_both_places);
    tcase_add_test(tests, a_circle_of_uses_is_found);
    tcase_add_test(tests, a_circle_through_a_symbolic_link_is_found);
    tcase_add_test(tests, a_long_row_of_files_is_refused);
    tcase_add_test(tests, files_that_multiply_are_refused);
    tcase_add_test(tests, a_directory_is_no_file);
    tcase_add_test(tests, a_named_pipe_is_refused_without_waiting);
    tcase_add_test(tests, a_socket_is_refused);
    tcase_add_test(tests, a_device_is_refused);
    tcase_add_test(tests, links_in_a_circle_are_refused);
    tcase_add_test(tests, a_file_without_permission_is_said);
    tcase_add_test(tests, a_file_beyond_the_limit_is_refused_unread);
    suite_add_tcase(suite, tests);
}

int main(void)
{
    Suite *suite = suite_create("inclusion");
    add_merging(suite);
    add_places(suite);
    add_hostile(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
