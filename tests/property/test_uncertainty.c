/*
 * How sure a difference is, on trucks whose answer is known: one value that errs, against the straight line or the
 * curve that it moves the energy along; values that err alike, apart, together on one number, or cancel.
 */
#define _XOPEN_SOURCE 700
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "evener/uncertainty.h"
#include <stdarg.h>

#define STRONG "tests/trucks/single-speed.yaml"

enum { TEXT_BYTES = 20000, DRAWS = 256, BOTH = 3 };

typedef struct answer {
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_uncertainty *of;
    evn_report *report;
} answer;

/* ------------------------------------------------------------------------------------------------ asking */

__attribute__((format(printf, 2, 3))) static void add(char text[TEXT_BYTES], const char *format, ...)
{
    va_list values;
    size_t used = strlen(text);
    va_start(values, format);
    int more = vsnprintf(text + used, TEXT_BYTES - used, format, values);
    va_end(values);
    ck_assert(more >= 0 && used + (size_t)more < TEXT_BYTES);
}

/* Two trucks of one file, the second with something else; their battery keeps its voltage, so that energy adds up. */
static void add_lineup(char text[TEXT_BYTES], const char *road, const char *other)
{
    char here[PATH_BYTES];
    const char *battery = "battery: {resistance_ohm: 0, open_circuit: {soc: [0, 1], voltage_v: [700, 700]}}";
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    add(text, "name: a test\ninvented: true\ncycle: {use: %s}\ndriving: {driver: exact, accuracy: 1e-8}\n", road);
    add(text, "trucks:\n  a: {use: %s/" STRONG ", %s}\n  b: {use: %s/" STRONG ", %s%s%s}\nuncertain:\n", here, battery,
        here, battery, other[0] != '\0' ? ", " : "", other);
}

static void write_lineup(const char *text)
{
    write_file("road.yaml", "name: a road\ninvented: true\nlength_m: 2500\n"
                            "speed: {place_m: [0, 1200], limit_km_h: [50, 70]}\n"
                            "road: {place_m: [0, 600, 1200, 1800, 2400], grade_percent: [0, 2, 0, -2, 0]}\n");
    write_file("soon.yaml", "name: soon driven\ninvented: true\nspeed: {place_m: [0, 50], limit_km_h: [20, 20]}\n");
    write_file("lineup.yaml", text);
}

/* The lineup as written, with what is set beside it (NULL: nothing), compared. */
static answer compare(const char *set)
{
    char path[PATH_BYTES];
    const char *sets[] = {set, NULL};
    answer a = {.report = evn_report_new()};
    evn_lineup_load_with(in_folder(path, "lineup.yaml"), &(evn_load){.set = sets}, &a.lineup, a.report);
    ck_assert_msg(a.lineup, "%s", first_finding(a.report));
    evn_conditions ask = evn_lineup_ask(a.lineup);
    evn_compare(a.lineup, &ask, NULL, &a.comparison, a.report);
    ck_assert_msg(a.comparison, "%s", first_finding(a.report));
    return a;
}

static answer ask(const char *text, evn_uncertainty_method method)
{
    write_lineup(text);
    answer a = compare(NULL);
    const evn_uncertainty_how how = {.method = method, .draws = DRAWS, .seed = 3};
    evn_uncertainty_find(a.lineup, a.comparison, &how, &a.of, a.report);
    ck_assert_msg(a.of, "%s", first_finding(a.report));
    return a;
}

static void answer_end(answer a)
{
    evn_uncertainty_free(a.of);
    evn_comparison_free(a.comparison);
    evn_lineup_free(a.lineup);
    evn_report_free(a.report);
}

/* Adds an entry for each number of the lineup that would err by itself: it does not. */
static void silence(char text[TEXT_BYTES], const char *other)
{
    char with_all[TEXT_BYTES] = "";
    add_lineup(with_all, "soon.yaml", other);
    add(with_all, "  one: {of: [auxiliaries.power_kw], half_width: 0.1}\n");
    answer a = ask(with_all, EVN_UNCERTAINTY_FIRST_ORDER);
    evn_datum_number number;
    size_t k = 0;
    for (; evn_uncertainty_number_at(a.of, k, &number); k++)
        add(text, "  silent_%zu: {of: ['%s'], half_width: 0}\n", k, number.path);
    ck_assert_uint_gt(k, 20);
    answer_end(a);
}

/* The lineup with nothing that errs but the entries. */
static answer ask_of(const char *other, const char *entries)
{
    char text[TEXT_BYTES] = "";
    add_lineup(text, "road.yaml", other);
    silence(text, other);
    add(text, "%s", entries);
    return ask(text, EVN_UNCERTAINTY_DRAWS);
}

static evn_sureness sure(const answer *a, evn_uncertainty_method method)
{
    evn_sureness is;
    ck_assert(evn_uncertainty_between(a->of, 1, 0, EVN_BASIS_COMMON, method, &is));
    return is;
}

static evn_share share_at(const answer *a, size_t index)
{
    evn_share is;
    ck_assert(evn_uncertainty_share_at(a->of, 1, 0, EVN_BASIS_COMMON, index, &is));
    return is;
}

static double figure(const answer *a, size_t truck, const char *key)
{
    double value = (double)NAN;
    const evn_outcome *outcome = evn_comparison_outcome(a->comparison, truck, EVN_BASIS_COMMON);
    ck_assert(evn_results_get(evn_outcome_results(outcome), key, &value));
    return value;
}

static double percent_of(const answer *a)
{
    double held_against = figure(a, 0, "kwh_per_km");
    return 100 * (figure(a, 1, "kwh_per_km") - held_against) / held_against;
}

/* On the scale that differences are reckoned on (measure.h). */
static double logged(double percent) { return 100 * log1p(percent / 100); }

/* ------------------------------------------------------------------------------------------------ a straight line */

/* Consumers take their power all the way: by hand, percentage points for each kW of truck b. */
static double percent_per_kw(const answer *a)
{
    double length_km = 2.5;
    return 100 * figure(a, 1, "duration_s") / 3600 / (figure(a, 0, "kwh_per_km") * length_km);
}

START_TEST(consumers_of_one_truck_give_the_rectangle_that_is_worked_out_by_hand)
{
    answer a = ask_of("", "  power: {of: [trucks.b.auxiliaries.power_kw], half_width: 2}\n");
    double half = 2 * percent_per_kw(&a);
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS);
    ck_assert_uint_eq(evn_uncertainty_how_found(a.of).data, 1);
    /* The mean of the logarithm of a rectangle about 1, by its integral. */
    double h = half / 100, mean = ((1 + h) * log1p(h) - (1 - h) * log1p(-h)) / (2 * h) - 1;
    ck_assert(fabs(by.nominal_percent) < 1e-9 && fabs(by.mean_percent - 100 * mean) < 0.002 * half);
    /* 90 % of a rectangle; draws are evenly spread, to a few parts in their number. */
    ck_assert_double_eq_tol(by.low_percent, -0.9 * half, 0.015 * half);
    ck_assert_double_eq_tol(by.high_percent, 0.9 * half, 0.015 * half);
    ck_assert_double_eq_tol(by.standard_percent, half / sqrt(3), 0.005 * half);
    ck_assert_double_eq_tol(by.probability_lower, 0.5, 0.01);
    ck_assert(by.apart == EVN_CANNOT_BE_TOLD_APART && by.draws == DRAWS);
    by = sure(&a, EVN_UNCERTAINTY_FIRST_ORDER);
    double slope = atanh(h / sqrt(3)); /* half the difference of the logarithms of both sides */
    ck_assert_double_eq_tol(by.standard_percent, 100 * slope, 1e-5 * half);
    ck_assert_double_eq_tol(logged(by.high_percent), 1.6448536269514722 * 100 * slope, 1e-5 * half);
    answer_end(a);
}
END_TEST

START_TEST(shapes_have_their_standard_uncertainties_and_intervals)
{
    static const struct {
        const char *shape;
        double standard, end; /* in half widths; 95 % lie below the end */
    } row[] = {{"rectangular", 0.57735027, 0.9},
               {"triangular", 0.40824829, 0.68377223}, /* 1 - sqrt(0.1) */
               {"normal", 0.5, 0.82242681}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char entry[200];
        snprintf(entry, sizeof entry, "  power: {of: [trucks.b.auxiliaries.power_kw], half_width: 1, shape: %s}\n",
                 row[i].shape);
        answer a = ask_of("", entry);
        double half = percent_per_kw(&a);
        evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS), straight = sure(&a, EVN_UNCERTAINTY_FIRST_ORDER);
        ck_assert_double_eq_tol(straight.standard_percent, 100 * atanh(row[i].standard * half / 100), 1e-5 * half);
        ck_assert_double_eq_tol(by.standard_percent, row[i].standard * half, 0.01 * half);
        ck_assert_double_eq_tol(by.high_percent, row[i].end * half, 0.03 * half);
        ck_assert_double_eq_tol(by.low_percent, -row[i].end * half, 0.03 * half);
        answer_end(a);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a curve */

/* The difference where truck b's final drive has this efficiency, as a comparison of its own. */
static double driven_at(double efficiency)
{
    char text[TEXT_BYTES] = "";
    add_lineup(text, "road.yaml", "auxiliaries: {power_kw: 4}");
    add(text, "  one: {of: [auxiliaries.power_kw], half_width: 0.1}\n");
    char set[100];
    snprintf(set, sizeof set, "trucks.b.drive_units.rear.path[4].final_drive.efficiency=%.17g", efficiency);
    write_lineup(text);
    answer a = compare(set);
    double percent = percent_of(&a);
    answer_end(a);
    return percent;
}

START_TEST(a_final_drive_gives_the_quantiles_of_the_curve_that_is_driven)
{
    const double at = 0.965, half = 0.03;
    answer a =
        ask_of("", "  gears: {of: ['trucks.b.drive_units.rear.path[4].final_drive.efficiency'], half_width: 0.03}\n");
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS);
    /* The better the gears the less is drawn: the upper end of one is the lower end of the other. */
    double least = driven_at(at + 0.9 * half), most = driven_at(at - 0.9 * half);
    ck_assert(least < -1 && most > 1);
    ck_assert_double_eq_tol(by.low_percent, least, 0.01 * (most - least));
    ck_assert_double_eq_tol(by.high_percent, most, 0.01 * (most - least));
    /* Slope and bend by the ends of one standard uncertainty. */
    double up = logged(driven_at(at + half / sqrt(3))), down = logged(driven_at(at - half / sqrt(3)));
    evn_share share = share_at(&a, 0);
    ck_assert_double_eq_tol(share.slope_percent, 0.5 * (up - down), 1e-5);
    ck_assert_double_eq_tol(share.second_percent, 0.5 * (up + down), 1e-5); /* the nominal difference is zero */
    ck_assert(!share.bends && share.share == 1);
    answer_end(a);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ uneven ranges */

/*
 * From 0.935 to 0.985 of 0.965, by exact driving of both ends: a rectangle between two ends (JCGM 101:2008, 6.4.2, from
 * memory), of which a twentieth lies beyond each quantile; the mean of first order is the curve at the middle.
 */
START_TEST(a_range_that_is_uneven_gives_the_quantiles_between_its_ends)
{
    const double low = 0.935, high = 0.985;
    answer a = ask_of("", "  gears: {of: ['trucks.b.drive_units.rear.path[4].final_drive.efficiency'], half_width: "
                          "0.025, offset: -0.005}\n");
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS), straight = sure(&a, EVN_UNCERTAINTY_FIRST_ORDER);
    double least = driven_at(high - 0.05 * (high - low)), most = driven_at(low + 0.05 * (high - low));
    ck_assert_double_eq_tol(by.low_percent, least, 0.01 * (most - least));
    ck_assert_double_eq_tol(by.high_percent, most, 0.01 * (most - least));
    double middle = (low + high) / 2, one = (high - low) / 2 / sqrt(3);
    ck_assert_double_eq_tol(straight.mean_percent, driven_at(middle), 1e-5);
    double above = logged(driven_at(middle - one)), below = logged(driven_at(middle + one));
    ck_assert_double_eq_tol(straight.standard_percent, 0.5 * (above - below) * (1 + straight.mean_percent / 100), 1e-5);
    ck_assert_double_eq_tol(straight.nominal_percent, 0, 1e-9);
    ck_assert_double_eq_tol(share_at(&a, 0).second_percent, 0.5 * (above + below) - logged(driven_at(middle)), 1e-5);
    ck_assert(!straight.nominal_aside && !by.nominal_aside);
    ck_assert_uint_eq(evn_uncertainty_how_found(a.of).uneven, 1);
    answer_end(a);
}
END_TEST

/*
 * Consumers of 4 kW from 3.5 to 8.5 and, of the other truck, from 3 to 5: the mean moves by 2 kW, variances add as ever
 * (JCGM 100:2008, 4.3.8, from memory). Zero stands at 2 of the standard uncertainty's 1.55: outside of the middle half.
 */
START_TEST(uneven_ranges_move_the_mean_and_add_in_quadrature)
{
    answer a = ask_of("", "  b: {of: [trucks.b.auxiliaries.power_kw], half_width: 2.5, offset: 2}\n"
                          "  a: {of: [trucks.a.auxiliaries.power_kw], half_width: 1}\n");
    double kw = percent_per_kw(&a);
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS), straight = sure(&a, EVN_UNCERTAINTY_FIRST_ORDER), own;
    double standard = kw * sqrt(7.25 / 3);
    ck_assert_double_eq_tol(straight.mean_percent, 2 * kw, 1e-4 * kw);
    ck_assert_double_eq_tol(by.mean_percent, 2 * kw, 0.02 * kw);
    /* The other truck's share falls with what it takes itself: 1e-2 covers that. */
    ck_assert_double_eq_tol(straight.standard_percent, standard, 1e-2 * standard);
    ck_assert_double_eq_tol(by.standard_percent, standard, 3e-2 * standard);
    ck_assert(straight.nominal_aside && by.nominal_aside);
    ck_assert_double_eq_tol(logged(straight.low_percent) + logged(straight.high_percent),
                            2 * logged(straight.mean_percent), 1e-9);
    ck_assert(evn_uncertainty_between(a.of, 1, 0, EVN_BASIS_OWN, EVN_UNCERTAINTY_FIRST_ORDER, &own));
    ck_assert_double_eq_tol(own.mean_percent, 2 * kw, 0.02 * kw);
    ck_assert_uint_eq(evn_uncertainty_how_found(a.of).uneven, 1);
    answer_end(a);
}
END_TEST

/* A rise of the other truck's mean lowers the difference, relative to more; both alike cancel. */
START_TEST(uneven_ranges_that_err_alike_cancel)
{
    answer a = ask_of("", "  both: {of: [auxiliaries.power_kw], half_width: 1, offset: 0.8}\n");
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS), straight = sure(&a, EVN_UNCERTAINTY_FIRST_ORDER);
    ck_assert_double_lt(fabs(by.mean_percent) + fabs(straight.mean_percent), 1e-9);
    answer_end(a);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what errs with what
 */

static answer of_two(const char *first, const char *second)
{
    char entries[400];
    snprintf(entries, sizeof entries,
             "  first: {of: [trucks.a.auxiliaries.power_kw], half_width: 1%s}\n"
             "  second: {of: [trucks.b.auxiliaries.power_kw], half_width: 1%s}\n",
             first, second);
    return ask_of("", entries);
}

START_TEST(values_of_their_own_add_in_quadrature)
{
    answer a = of_two("", "");
    double one = percent_per_kw(&a) / sqrt(3);
    ck_assert_uint_eq(evn_uncertainty_how_found(a.of).data, 2);
    ck_assert_double_eq_tol(sure(&a, EVN_UNCERTAINTY_FIRST_ORDER).standard_percent, sqrt(2) * one, 1e-4 * one);
    ck_assert_double_eq_tol(sure(&a, EVN_UNCERTAINTY_DRAWS).standard_percent, sqrt(2) * one, 0.03 * one);
    /* Of two alike each has half of the variance; half of one leaves the root of 5/8 of the end by draws, which is that
     * of a triangle, 1 - sqrt(0.1) of its half width. */
    double end = 2 * sqrt(3) * (1 - sqrt(0.1)) * sqrt(0.625) * one;
    for (size_t k = 0; k < 2; k++) {
        evn_share share = share_at(&a, k);
        ck_assert_double_eq_tol(share.share, 0.5, 1e-3);
        ck_assert_double_eq_tol(logged(share.half_high_percent), end, 0.03 * one);
    }
    answer_end(a);
}
END_TEST

/* What stays of the difference, in standard uncertainties of one truck's consumers. */
static double left_over(answer a)
{
    double one = percent_per_kw(&a) / sqrt(3);
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS), straight = sure(&a, EVN_UNCERTAINTY_FIRST_ORDER);
    ck_assert_uint_eq(evn_uncertainty_how_found(a.of).data, 1);
    ck_assert(by.apart == EVN_CANNOT_BE_TOLD_APART && !by.hangs_on_draws);
    double most = fmax(by.standard_percent, straight.standard_percent) / one;
    evn_share share = share_at(&a, 0);
    ck_assert(share.share == 0 || most > 1e-6);
    answer_end(a);
    return most;
}

START_TEST(values_that_err_alike_cancel_between_trucks_that_are_alike)
{
    ck_assert_double_lt(left_over(of_two(", errs_with: consumers", ", errs_with: consumers")), 1e-9);
    ck_assert_double_lt(left_over(ask_of("", "  both: {of: [auxiliaries.power_kw], half_width: 1}\n")), 1e-9);
}
END_TEST

/* One falls where the other rises: twice as much as one, not the root of two. */
START_TEST(values_that_err_against_each_other_add_up)
{
    char against[400];
    snprintf(against, sizeof against,
             "  first: {of: [trucks.a.auxiliaries.power_kw], half_width: -1, errs_with: c}\n"
             "  second: {of: [trucks.b.auxiliaries.power_kw], half_width: 1, errs_with: c}\n");
    ck_assert_double_eq_tol(left_over(ask_of("", against)), 2, 0.02);
}
END_TEST

START_TEST(what_trucks_have_in_common_has_no_share)
{
    answer a = ask_of("", "  rolling: {of: [axles.drive.tyre.rolling_resistance_coefficient], relative: 0.2}\n"
                          "  power: {of: [trucks.b.auxiliaries.power_kw], half_width: 1}\n");
    evn_share first = share_at(&a, 0), second = share_at(&a, 1);
    evn_datum is;
    ck_assert(evn_uncertainty_datum_at(a.of, second.datum, &is) && strstr(is.path, "rolling"));
    ck_assert(is.trucks == BOTH);
    ck_assert(first.share > 1 - 1e-6 && second.share < 1e-6);
    /* It moves both trucks by more than the consumers do, all the same. */
    ck_assert_double_lt(fabs(second.slope_percent), 0.02 * fabs(first.slope_percent));
    answer_end(a);
}
END_TEST

START_TEST(entries_on_one_number_add)
{
    answer a = ask_of("", "  law: {of: [trucks.b.auxiliaries.power_kw], half_width: 1.2}\n"
                          "  own: {of: [trucks.b.auxiliaries.power_kw], half_width: 0.9}\n");
    double half = percent_per_kw(&a);
    evn_sureness by = sure(&a, EVN_UNCERTAINTY_DRAWS);
    ck_assert_uint_eq(evn_uncertainty_how_found(a.of).data, 2);
    ck_assert_double_eq_tol(sure(&a, EVN_UNCERTAINTY_FIRST_ORDER).standard_percent, 1.5 * half / sqrt(3), 1e-4 * half);
    ck_assert_double_eq_tol(by.standard_percent, 1.5 * half / sqrt(3), 0.02 * half);
    /* Of a rectangle of 1.2 and one of 0.9 a twentieth lies beyond 1.2 + 0.9 - sqrt(2 * 0.05 * 2.4 * 1.8). */
    ck_assert_double_eq_tol(by.high_percent, (2.1 - sqrt(0.432)) * half, 0.04 * half);
    /* Shares as 1.44 to 0.81; with half of the one, the root of 0.36 + 0.81 is left of 2.25, of the other, of 1.44 +
     * 0.2025, of the ends by draws. */
    evn_share law = share_at(&a, 0), own = share_at(&a, 1);
    double end = (2.1 - sqrt(0.432)) * half;
    ck_assert_double_eq_tol(law.share, 0.64, 1e-4);
    ck_assert_double_eq_tol(own.share, 0.36, 1e-4);
    ck_assert_double_eq_tol(logged(law.half_high_percent), sqrt(1.17 / 2.25) * end, 0.03 * half);
    ck_assert_double_eq_tol(logged(own.half_low_percent), -sqrt(1.6425 / 2.25) * end, 0.03 * half);
    answer_end(a);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the word */

/* Truck b draws 1 kW more: told apart while the half width leaves zero outside of 90 % of the rectangle. */
START_TEST(the_word_turns_where_a_twentieth_lies_beyond_zero)
{
    answer narrow =
        ask_of("auxiliaries: {power_kw: 5}", "  p: {of: [trucks.b.auxiliaries.power_kw], half_width: 1.05}\n");
    answer wide = ask_of("auxiliaries: {power_kw: 5}", "  p: {of: [trucks.b.auxiliaries.power_kw], half_width: 1.2}\n");
    evn_sureness is = sure(&narrow, EVN_UNCERTAINTY_DRAWS), not_so = sure(&wide, EVN_UNCERTAINTY_DRAWS);
    ck_assert(is.apart == EVN_IS_HIGHER && not_so.apart == EVN_CANNOT_BE_TOLD_APART);
    ck_assert_double_eq_tol(is.probability_lower, 0.05 / 2.1, 0.006);
    ck_assert_double_eq_tol(not_so.probability_lower, 0.2 / 2.4, 0.006);
    answer_end(narrow);
    answer_end(wide);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("uncertainty");
    TCase *tests = tcase_create("known answers");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, consumers_of_one_truck_give_the_rectangle_that_is_worked_out_by_hand);
    tcase_add_test(tests, shapes_have_their_standard_uncertainties_and_intervals);
    tcase_add_test(tests, a_final_drive_gives_the_quantiles_of_the_curve_that_is_driven);
    tcase_add_test(tests, a_range_that_is_uneven_gives_the_quantiles_between_its_ends);
    tcase_add_test(tests, uneven_ranges_move_the_mean_and_add_in_quadrature);
    tcase_add_test(tests, uneven_ranges_that_err_alike_cancel);
    tcase_add_test(tests, values_of_their_own_add_in_quadrature);
    tcase_add_test(tests, values_that_err_alike_cancel_between_trucks_that_are_alike);
    tcase_add_test(tests, values_that_err_against_each_other_add_up);
    tcase_add_test(tests, what_trucks_have_in_common_has_no_share);
    tcase_add_test(tests, entries_on_one_number_add);
    tcase_add_test(tests, the_word_turns_where_a_twentieth_lies_beyond_zero);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
