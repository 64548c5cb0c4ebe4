/* The tables of all kinds of object: their defaults, their bounds, their room, an example of each. */
#include "api/kinds.h"
#include "core/arena.h"
#include "core/uncertain.h"
#include "evener/keys.h"
#include "evener/values.h"
#include "lineup/lineup.h"
#include "truck/load_case.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool same(double a, double b) { return a == b || (isnan(a) && isnan(b)); }

/* The member of a struct made by evn_object_default, as a number; NAN for shapes that hold none. */
static double member_of(const evn_field *field, const char *self)
{
    double number;
    bool flag;
    int choice;
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        memcpy(&number, self + field->offset, sizeof number);
        return number;
    case EVN_FLAG:
        memcpy(&flag, self + field->offset, sizeof flag);
        return flag;
    case EVN_CHOICE:
        memcpy(&choice, self + field->offset, sizeof choice);
        return choice;
    default:
        return (double)NAN;
    }
}

static bool holds_number(const evn_field *field)
{
    return field->shape == EVN_NUMBER || field->shape == EVN_COUNT || field->shape == EVN_FLAG ||
           field->shape == EVN_CHOICE;
}

START_TEST(a_struct_made_of_defaults_holds_those_of_its_table)
{
    evn_objects all = evn_all_kinds();
    size_t compared = 0;
    for (size_t i = 0; i < all.count; i++) {
        const evn_object *object = all.at[i];
        evn_arena *arena = evn_arena_new();
        char *self = calloc(1, object->size);
        ck_assert(arena && self);
        ck_assert(evn_object_default(object, self, arena));
        for (size_t k = 0; k < object->field_count; k++) {
            const evn_field *field = &object->fields[k];
            if (!holds_number(field))
                continue;
            ck_assert_msg(same(member_of(field, self), field->fallback), "%s.%s", object->name, field->key);
            compared++;
        }
        free(self);
        evn_arena_free(arena);
    }
    ck_assert_uint_gt(compared, 80);
}
END_TEST

START_TEST(a_lineup_that_says_nothing_asks_what_a_command_without_options_asks)
{
    evn_arena *arena = evn_arena_new();
    evn_lineup_file lineup;
    ck_assert(arena && evn_object_default(&evn_lineup_object, &lineup, arena));
    evn_conditions plain = evn_conditions_default(), asked = evn_lineup_asks(&lineup);
    ck_assert_ptr_null(evn_object_differs(&evn_load_case_object, &asked.load_case, &plain.load_case));
    ck_assert_ptr_null(evn_object_differs(&evn_driving_object, &asked.driving, &plain.driving));
    evn_arena_free(arena);
}
END_TEST

START_TEST(what_a_table_gives_as_default_and_as_usual_is_within_its_bounds)
{
    evn_objects all = evn_all_kinds();
    for (size_t i = 0; i < all.count; i++)
        for (size_t k = 0; k < all.at[i]->field_count; k++) {
            const evn_field *f = &all.at[i]->fields[k];
            bool number = f->shape == EVN_NUMBER || f->shape == EVN_COUNT, list = f->shape == EVN_LIST;
            bool has_default = number && f->presence == EVN_OPTIONAL && !isnan(f->fallback);
            ck_assert_msg(f->help && f->help[0] != '\0', "%s.%s says nothing", all.at[i]->name, f->key);
            if (number || list)
                ck_assert_msg(f->least <= f->most, "%s.%s: bounds", all.at[i]->name, f->key);
            if (has_default)
                ck_assert_msg(f->fallback >= f->least && f->fallback <= f->most, "%s.%s: default", all.at[i]->name,
                              f->key);
            if ((number || list) && (f->usual_low != 0 || f->usual_high != 0))
                ck_assert_msg(f->usual_low < f->usual_high && f->usual_low >= f->least && f->usual_high <= f->most,
                              "%s.%s: usual", all.at[i]->name, f->key);
        }
}
END_TEST

/* A half width is one of a number, in its unit or as a share, with the words for it and where it comes from. */
START_TEST(usual_half_widths_are_stated_whole)
{
    evn_objects all = evn_all_kinds();
    size_t stated = 0;
    for (size_t i = 0; i < all.count; i++)
        for (size_t k = 0; k < all.at[i]->field_count; k++) {
            const evn_field *f = &all.at[i]->fields[k];
            const evn_usual_uncertainty *u = f->uncertain;
            if (!u)
                continue;
            bool relative = !isnan(u->relative);
            stated++;
            ck_assert_msg(f->shape == EVN_NUMBER || f->shape == EVN_LIST, "%s.%s", all.at[i]->name, f->key);
            ck_assert_msg(isnan(u->half_width) == relative, "%s.%s: one of both", all.at[i]->name, f->key);
            ck_assert_msg((relative ? u->relative : u->half_width) > 0, "%s.%s", all.at[i]->name, f->key);
            ck_assert_msg(!relative || u->relative <= 0.5, "%s.%s: half of it and more", all.at[i]->name, f->key);
            ck_assert_msg(u->what && u->what[0] && u->source && u->source[0], "%s.%s", all.at[i]->name, f->key);
            ck_assert_msg(relative || u->half_width < f->most - f->least, "%s.%s", all.at[i]->name, f->key);
            ck_assert_msg(!u->errs_with || u->errs_with[strspn(u->errs_with, "abcdefghijklmnopqrstuvwxyz_")] == '\0',
                          "%s.%s: label", all.at[i]->name, f->key);
        }
    ck_assert_uint_gt(stated, 20);
}
END_TEST

static bool has_source(const evn_object *kind)
{
    for (size_t k = 0; k < kind->field_count; k++)
        if (strcmp(kind->fields[k].key, "source") == 0)
            return kind->fields[k].shape == EVN_TEXT;
    return false;
}

/* Within a part: figures that are often from another paper than the part's. */
static const char *const within[] = {"drag",    "loss",  "open_circuit", "charge_taper",  "field_weakening",
                                     "winding", "shift", "housing",      "inverter_heat", "hub_drag"};

START_TEST(figures_within_a_part_may_say_where_they_come_from)
{
    evn_objects all = evn_all_kinds();
    size_t k = 0;
    while (k < all.count && strcmp(all.at[k]->name, within[_i]) != 0)
        k++;
    ck_assert_msg(k < all.count, "no kind %s", within[_i]);
    ck_assert_msg(has_source(all.at[k]), "%s", within[_i]);
}
END_TEST

START_TEST(all_kinds_have_room_and_names_of_their_own)
{
    evn_objects all = evn_all_kinds();
    ck_assert_msg(all.count < EVN_OBJECTS_MOST,
                  "kinds are left out: EVN_OBJECTS_MOST (core/field_walk.h) is too small");
    for (size_t i = 0; i < all.count; i++)
        for (size_t k = 0; k < i; k++)
            ck_assert_str_ne(all.at[i]->name, all.at[k]->name);
}
END_TEST

START_TEST(every_kind_has_an_example_that_is_read)
{
    for (size_t i = 0; i < evn_kind_count(); i++) {
        evn_kind kind;
        evn_report *report = evn_report_new();
        evn_part *part = NULL;
        evn_value value;
        ck_assert(evn_kind_at(i, &kind));
        evn_status status = evn_part_example(kind.name, &part, report);
        evn_finding finding = {.text = ""};
        evn_report_at(report, 0, &finding);
        ck_assert_msg(status == EVN_DONE && evn_report_count(report) == 0, "%s: %s", kind.name, finding.text);
        ck_assert(evn_part_value_at(part, 0, &value));
        evn_part_free(part);
        evn_report_free(report);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("kinds");
    TCase *tables = tcase_create("tables");
    tcase_add_test(tables, a_struct_made_of_defaults_holds_those_of_its_table);
    tcase_add_test(tables, a_lineup_that_says_nothing_asks_what_a_command_without_options_asks);
    tcase_add_test(tables, what_a_table_gives_as_default_and_as_usual_is_within_its_bounds);
    tcase_add_test(tables, usual_half_widths_are_stated_whole);
    tcase_add_loop_test(tables, figures_within_a_part_may_say_where_they_come_from, 0,
                        (int)(sizeof within / sizeof *within));
    tcase_add_test(tables, all_kinds_have_room_and_names_of_their_own);
    tcase_add_test(tables, every_kind_has_an_example_that_is_read);
    suite_add_tcase(suite, tables);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
