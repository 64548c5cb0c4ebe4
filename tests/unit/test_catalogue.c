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

static void told_as(const char *bytes, const char *title)
{
    evn_report *report = evn_report_new();
    evn_catalogue *all = NULL;
    evn_item item;
    write_file("one.yaml", bytes);
    const char *const folders[] = {test_folder, NULL};
    evn_catalogue_open(folders, &all, report);
    ck_assert(evn_catalogue_at(all, 0, &item));
    ck_assert_str_eq(item.title, title);
    evn_catalogue_free(all);
    evn_report_free(report);
}

/* A wrapped comment is told to the end of the sentence in which its first line breaks off. */
START_TEST(a_file_is_told_by_whole_sentences_of_its_comment)
{
    char bytes[1000], title[900];
    told_as("# A motor of 4.9 kg. Its losses\n# are made up. What follows is not told.\na: 1\n",
            "A motor of 4.9 kg. Its losses are made up.");
    told_as("# Whole. And this one too.\n# Not this.\na: 1\n", "Whole. And this one too.");
    told_as("# Breaks off\r\n# here.\r\na: 1\r\n", "Breaks off here.");
    told_as("# no full stop\n# anywhere\na: 1\n", "no full stop");
    told_as("# Breaks off\n\n# Another comment.\na: 1\n", "Breaks off");
    told_as("\xEF\xBB\xBF# With a mark\n# of order.\na: 1\n", "With a mark of order.");
    told_as("#\n# Behind an empty line.\na: 1\n", "");
    memset(title, 'x', sizeof title - 1);
    title[sizeof title - 1] = '\0';
    snprintf(bytes, sizeof bytes, "# %s\n# more.\na: 1\n", title);
    told_as(bytes, title);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("catalogue");
    TCase *tests = tcase_create("names");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, files_of_one_name_are_those_of_the_whole_catalogue_and_no_other_is_opened);
    tcase_add_test(tests, a_file_is_told_by_whole_sentences_of_its_comment);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
