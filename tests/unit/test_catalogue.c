/* The files that there are: all, and those of one name. */
#define _POSIX_C_SOURCE 200809L
#include "evener/catalogue.h"
#include "folder.h"

START_TEST(files_of_one_name_are_those_of_the_whole_catalogue_and_no_other_is_opened)
{
    evn_report *report = evn_report_new();
    evn_catalogue *all = NULL, *named = NULL;
    evn_item item, alone;
    size_t count = 0;
    write_file("sound.yaml", "# A part\nvalue: 1\n");
    write_file("broken.yaml", "a: [\n");
    make_folder("below");
    write_file("below/sound.yaml", "other: 1\n");
    const char *const folders[] = {test_folder, NULL};
    evn_catalogue_open(folders, &all, report);
    ck_assert_uint_gt(evn_report_count(report), 0); /* of the broken one */
    evn_report_free(report);
    report = evn_report_new();
    ck_assert_int_eq(evn_catalogue_open_named(folders, "sound", &named, report), EVN_DONE);
    ck_assert_uint_eq(evn_report_count(report), 0);
    for (size_t i = 0; evn_catalogue_at(all, i, &item); i++)
        if (strcmp(item.name, "sound") == 0) {
            ck_assert(evn_catalogue_at(named, count++, &alone));
            ck_assert_str_eq(alone.path, item.path);
            ck_assert_str_eq(alone.title, item.title);
        }
    ck_assert_uint_eq(count, 2);
    ck_assert(!evn_catalogue_at(named, count, &alone));
    evn_catalogue_free(named);
    evn_catalogue_free(all);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("catalogue");
    TCase *tests = tcase_create("names");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, files_of_one_name_are_those_of_the_whole_catalogue_and_no_other_is_opened);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
