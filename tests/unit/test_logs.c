/* The reader of logs: what each form and writing is read as, and the exact place of each refusal. */
#define _POSIX_C_SOURCE 200809L
#include "log/log.h"
#include "log/spline.h"
#include "log/values.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct outcome {
    evn_report *report;
    evn_arena *arena;
    const evn_log *log;
} outcome;

static outcome read_as(const char *text, const evn_log_ask *ask)
{
    outcome out = {evn_report_new(), evn_arena_new(), NULL};
    ck_assert(out.report && out.arena);
    out.log = evn_log_read_bytes(text, strlen(text), "drive.log", ask, out.arena, out.report);
    ck_assert_int_eq(!out.log, evn_report_failed(out.report));
    return out;
}

static outcome sound_as(const char *text, const evn_log_ask *ask)
{
    outcome out = read_as(text, ask);
    evn_finding found;
    if (evn_report_at(out.report, 0, &found))
        ck_abort_msg("%s:%u:%u: %s", found.file, found.line, found.column, found.text);
    return out;
}

static void end(outcome *out)
{
    evn_arena_free(out->arena);
    evn_report_free(out->report);
}

static void holds(const outcome *out, evn_log_quantity q, size_t count, const double *expected)
{
    ck_assert_uint_eq(out->log->rows, count);
    ck_assert_msg(out->log->column[q] != NULL, "no %s", evn_log_word(q));
    for (size_t k = 0; k < count; k++)
        if (isnan(expected[k]))
            ck_assert(isnan(out->log->column[q][k]));
        else
            ck_assert_double_eq_tol(out->log->column[q][k], expected[k], 1e-9);
}
#define HOLDS(out, quantity, ...)                                                                                      \
    do {                                                                                                               \
        const double expected_[] = {__VA_ARGS__};                                                                      \
        holds(out, EVN_LOG_##quantity, sizeof expected_ / sizeof *expected_, expected_);                               \
    } while (0)

/* The first finding is of that fault, at that place, and says these words. */
static void refused_as(const char *text, const evn_log_ask *ask, const char *fault, unsigned line, unsigned column,
                       const char *words)
{
    outcome out = read_as(text, ask);
    evn_finding found;
    ck_assert(evn_report_at(out.report, 0, &found));
    ck_assert_msg(strcmp(found.fault, fault) == 0 && found.line == line && found.column == column &&
                      strstr(found.text, words),
                  "%s at %u:%u: %s", found.fault, found.line, found.column, found.text);
    end(&out);
}

START_TEST(names_of_the_house_say_unit_and_quantity)
{
    outcome out = sound_as("# a comment\ntime_s,speed_km_h,altitude_m,note\n0,36,100,a\n0.5,72,101.5,b\n", NULL);
    HOLDS(&out, TIME, 0, 0.5);
    HOLDS(&out, SPEED, 10, 20);
    HOLDS(&out, ALTITUDE, 100, 101.5);
    ck_assert_int_eq(out.log->separator, ',');
    ck_assert_uint_eq(out.log->line[1], 4);
    ck_assert_str_eq(out.log->origin[EVN_LOG_SPEED].unit, "km/h");
    end(&out);
}
END_TEST

START_TEST(semicolons_decimal_commas_a_mark_and_brackets)
{
    outcome out = sound_as("\xef\xbb\xbf"
                           "Time [s];Speed (km/h);Gradient [%];Elevation [m];SOC [%];Motor_speed [1/min]\r\n"
                           "0,0;36,00;-2,5;12;80;3000\r\n0,1;37;;12,5;79,5;NaN\r\n",
                           NULL);
    HOLDS(&out, TIME, 0, 0.1);
    HOLDS(&out, SPEED, 10, 37 / 3.6);
    HOLDS(&out, GRADE, -0.025, (double)NAN);
    HOLDS(&out, CHARGE, 0.8, 0.795);
    HOLDS(&out, MOTOR_SPEED, 100 * 3.14159265358979323846, (double)NAN);
    ck_assert_int_eq(out.log->separator, ';');
    ck_assert_int_eq(out.log->decimal, ',');
    ck_assert_uint_eq(out.log->empty_cells, 2);
    end(&out);
}
END_TEST

START_TEST(tabs_bars_and_quotes)
{
    outcome out = sound_as("time_s\tspeed [m/s]\n1\t\"2,5\"\n2\t3\n", NULL);
    HOLDS(&out, SPEED, 2.5, 3);
    end(&out);
    out = sound_as("time_s|speed [m/s]|name\n1|2.5|x\n2|3|y\n", NULL);
    HOLDS(&out, SPEED, 2.5, 3);
    end(&out);
    out = sound_as("time_s,speed [m/s]\n\"1,5\",\"2,5\"\n", NULL);
    HOLDS(&out, TIME, 1.5);
    end(&out);
}
END_TEST

START_TEST(a_row_of_units_below_the_names)
{
    outcome out = sound_as("time;speed;altitude\ns;km/h;[ft]\n0;36;10\n1;72;20\n", NULL);
    HOLDS(&out, SPEED, 10, 20);
    HOLDS(&out, ALTITUDE, 3.048, 6.096);
    end(&out);
}
END_TEST

START_TEST(dates_and_zones)
{
    outcome out = sound_as("timestamp;lat;lon\n2024-02-28T23:59:59.5Z;50;8\n2024-02-29T00:00:01+00:00;50.1;8.1\n"
                           "2024-02-29 02:00:02,25+02:00;50.1;8.1\n20240229T000003Z;1;-2\n",
                           NULL);
    HOLDS(&out, TIME, 0.5, 2, 3.25, 4);
    HOLDS(&out, LATITUDE, 50, 50.1, 50.1, 1);
    ck_assert_double_eq(out.log->begin_unix_s, 1709164799.0); /* date -u -d 2024-02-28T23:59:59 +%s */
    ck_assert(!out.log->local_time);
    end(&out);
    out = sound_as("time;speed_m_s\n2026-01-01T00:00:00;1\n2026-01-01T00:01:00;2\n", NULL);
    HOLDS(&out, TIME, 0, 60);
    ck_assert(out.log->local_time);
    end(&out);
}
END_TEST

START_TEST(options_and_names_of_a_logger)
{
    const char *const columns[] = {"speed=v_gps [km/h]", "time=t [s]", "altitude=hoehe ueber NN", "grade=", NULL};
    evn_log_ask ask = {.columns = columns, .header_line = 3};
    outcome out = sound_as("logger;7\nserial;8\nt;v_gps;hoehe ueber NN [m];grade\n0;36;5;x\n1;36;6;x\n", &ask);
    HOLDS(&out, TIME, 0, 1);
    HOLDS(&out, SPEED, 10, 10);
    HOLDS(&out, ALTITUDE, 5, 6);
    ck_assert(!out.log->column[EVN_LOG_GRADE]);
    end(&out);
}
END_TEST

START_TEST(a_last_line_that_is_cut_off_is_left_out_and_told)
{
    outcome out = sound_as("time_s,speed_m_s,altitude_m\n0,1,2\n1,2", NULL);
    HOLDS(&out, SPEED, 1);
    ck_assert(out.log->cut_short);
    end(&out);
    out = sound_as("time_s,speed_m_s,altitude_m\n0,1,2\n1,2,3", NULL);
    ck_assert(!out.log->cut_short);
    end(&out);
    refused_as("time_s,speed_m_s,altitude_m\n0,1,2\n1,2\n", NULL, "wrong_shape", 3, 1, "2 cells; expected 3");
}
END_TEST

START_TEST(bad_logs_are_refused_where_they_are_bad)
{
    refused_as("", NULL, "syntax", 1, 1, "without lines");
    refused_as("time_s,speed_m_s\n", NULL, "syntax", 1, 1, "without rows");
    refused_as("speed_m_s\n1\n", NULL, "syntax", 1, 1, "no separator");
    refused_as("PK\x03\x04", NULL, "syntax", 1, 3, "control character");
    refused_as("t,v\n0,1\n", NULL, "missing_key", 1, 1, "no column");
    refused_as("time_s,speed\n0,1\n", NULL, "missing_key", 1, 8, "no unit for speed");
    refused_as("time,speed_m_s\n0,1\n", NULL, "missing_key", 1, 1, "no unit for time");
    refused_as("time_s,speed [furlong]\n0,1\n", NULL, "unknown_choice", 1, 8, "no unit of it; expected one of m/s");
    refused_as("time_s,speed_m_s,velocity [km/h]\n0,1,2\n", NULL, "disagrees", 1, 18, "both hold speed");
    refused_as("time_s,speed_m_s\n0,1\n1,fast\n", NULL, "not_a_number", 3, 3, "'fast'");
    refused_as("time_s,speed_m_s\n0,80\n", NULL, "out_of_range", 2, 3, "expected -10 to 60 m/s");
    refused_as("time_s;speed_km_h\n0,5;1\n1.5;2\n", NULL, "not_a_number", 3, 1, "a comma before the decimals");
    refused_as("time_s;speed_km_h\n0;1.000,5\n", NULL, "not_a_number", 2, 3, "nothing parts thousands");
    refused_as("time_s,speed_km_h\n0,5,1,5\n", NULL, "wrong_shape", 2, 1, "decimal commas");
    refused_as("time_s,speed_m_s\n0,\"1\n", NULL, "syntax", 2, 3, "quote");
    refused_as("time;lat;lon\n2024-02-30T00:00:00Z;1;2\n", NULL, "not_a_number", 2, 1, "a day that the month has");
    refused_as("time;lat;lon\n2024-02-20T00:00:00Z;1;2\n2024-02-20T00:00:01;1;2\n", NULL, "not_a_number", 3, 1,
               "those above have it");
    refused_as("time_s;place_m;speed_m_s\n0;1,2;3\n", &(evn_log_ask){.separator = "colon"}, "usage", 0, 0, "colon");
    const char *const unknown[] = {"sped=v [m/s]", NULL};
    refused_as("time_s,v\n0,1\n", &(evn_log_ask){.columns = unknown}, "usage", 0, 0, "nearest is 'speed'");
    const char *const absent[] = {"speed=v_gsp [m/s]", NULL};
    refused_as("time_s,v_gps\n0,1\n", &(evn_log_ask){.columns = absent}, "unknown_key", 1, 1, "v_gps");
}
END_TEST

#define GPX_HEAD "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"

START_TEST(tracks_of_gpx)
{
    outcome out = sound_as(GPX_HEAD "<wpt lat=\"1\" lon=\"2\"><ele>9</ele></wpt><trk><name>a</name><trkseg>\n"
                                    "<trkpt lat=\"47.5\" lon=\"-8.25\"><ele> 400.5 </ele>"
                                    "<time>2026-05-04T08:00:00Z</time></trkpt>\n"
                                    "<trkpt lat=\"47.6\" lon=\"8\"><extensions><ele>1</ele></extensions></trkpt>"
                                    "</trkseg><trkseg>\n<trkpt lat=\"47.7\" lon=\"8\">"
                                    "<time>2026-05-04T08:00:10.5Z</time><ele>401</ele></trkpt>"
                                    "</trkseg></trk></gpx>",
                           NULL);
    HOLDS(&out, LATITUDE, 47.5, 47.6, 47.7);
    HOLDS(&out, LONGITUDE, -8.25, 8, 8);
    HOLDS(&out, ALTITUDE, 400.5, (double)NAN, 401);
    HOLDS(&out, TIME, 0, (double)NAN, 10.5);
    ck_assert_int_eq(out.log->form, EVN_LOG_GPX);
    ck_assert_uint_eq(out.log->segment[1], 0);
    ck_assert_uint_eq(out.log->segment[2], 1);
    ck_assert_uint_eq(out.log->line[1], 5);
    ck_assert_uint_eq(out.log->empty_cells, 2);
    end(&out);
}
END_TEST

START_TEST(bad_gpx_is_refused_where_it_is_bad)
{
    refused_as("<html></html>", NULL, "syntax", 1, 1, "not GPX 1.1");
    refused_as("<gpx xmlns=\"http://www.topografix.com/GPX/1/0\"></gpx>", NULL, "syntax", 1, 1, "another version");
    refused_as("<!DOCTYPE gpx [<!ENTITY a \"b\">]><gpx/>", NULL, "syntax", 1, 15, "document type");
    refused_as(GPX_HEAD "</gpx>", NULL, "syntax", 1, 1, "without track points");
    refused_as(GPX_HEAD "<trk><trkseg>\n  <trkpt lat=\"91\" lon=\"2\"/></trkseg></trk></gpx>", NULL, "out_of_range", 4,
               3, "latitude is 91");
    refused_as(GPX_HEAD "<trk><trkseg><trkpt lon=\"2\"/></trkseg></trk></gpx>", NULL, "missing_key", 3, 14,
               "without lat");
    refused_as(GPX_HEAD "<trk><trkseg><trkpt lat=\"1\" lon=\"2\"><ele>high</ele></trkpt></trkseg></trk></gpx>", NULL,
               "not_a_number", 3, 46, "'high' as ele");
    refused_as(GPX_HEAD "<trk><trkseg><trkpt lat=\"1\" lon=\"2\">", NULL, "syntax", 3, 37, "XML that does not fit");
}
END_TEST

/* strtod of the C library is what the short road of exact digits is held against. */
START_TEST(numbers_are_those_of_the_library)
{
    static const char *const texts[] = {"0",
                                        "-0",
                                        "007.25",
                                        ".5",
                                        "5.",
                                        "+3.75",
                                        "123456789012345",
                                        "1234567890123456789",
                                        "1e22",
                                        "1.5e-22",
                                        "9e-30",
                                        "0.1",
                                        "0.3",
                                        "299792.458",
                                        "-8.854e-12",
                                        "1.7976931348623157e308",
                                        "4.9e-324",
                                        "0000000000000000000000.125"};
    for (size_t k = 0; k < sizeof texts / sizeof *texts; k++) {
        char decimal = 0;
        double value = (double)NAN;
        ck_assert_msg(!evn_log_number(texts[k], strlen(texts[k]), &decimal, &value), "%s", texts[k]);
        ck_assert_msg(value == strtod(texts[k], NULL), "%s is %.17g", texts[k], value);
    }
    static const char *const wrong[] = {"", "-", ".", "1e", "0x10", "1 m", "1,2,3", "inf", "1.2.3", "1e999", "--1"};
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char decimal = 0;
        double value;
        ck_assert_msg(evn_log_number(wrong[k], strlen(wrong[k]), &decimal, &value) != NULL, "%s", wrong[k]);
    }
    unsigned state = 1;
    for (int k = 0; k < 20000; k++) {
        char text[40], decimal = 0;
        state = state * 1664525U + 1013904223U;
        snprintf(text, sizeof text, "%.*f", (int)(state >> 28), (double)(int)state / 4099.0);
        double value;
        ck_assert(!evn_log_number(text, strlen(text), &decimal, &value));
        ck_assert_msg(value == strtod(text, NULL), "%s is %.17g", text, value);
    }
}
END_TEST

START_TEST(times_are_put_in_order)
{
    outcome out = sound_as("time_s,speed_m_s\n0,0\n1,1\n1,2\n2,3\n3,4\n2.5,5\n4,6\n,7\n20,8\n21,9\n22,9\n23,9\n", NULL);
    evn_log_order order;
    const evn_log *sorted = evn_log_ordered(out.log, 5, &order, out.arena, out.report);
    ck_assert(sorted);
    ck_assert_uint_eq(sorted->rows, 9);
    ck_assert_uint_eq(order.repeated, 1);
    ck_assert_uint_eq(order.backward, 1);
    ck_assert_uint_eq(order.no_time, 1);
    ck_assert_uint_eq(order.gaps, 1);
    ck_assert_double_eq(order.longest_s, 16);
    ck_assert_double_eq(order.median_s, 1);
    ck_assert_double_eq(sorted->column[EVN_LOG_SPEED][2], 3);
    ck_assert_uint_eq(sorted->line[5], 10);
    ck_assert_double_eq(out.log->column[EVN_LOG_SPEED][2], 2);
    end(&out);
    out = sound_as("time_s,speed_m_s\n5,0\n6,1\n0,2\n1,3\n2,4\n", NULL);
    ck_assert(!evn_log_ordered(out.log, 5, &order, out.arena, out.report));
    evn_finding found;
    ck_assert(evn_report_at(out.report, 0, &found));
    ck_assert_uint_eq(found.line, 4);
    end(&out);
}
END_TEST

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

START_TEST(the_middle_is_that_of_sorted_numbers)
{
    enum { MOST = 400 };
    double x[MOST], sorted[MOST];
    unsigned state = 3;
    for (size_t count = 1; count < MOST; count += 7)
        for (unsigned kinds = 2; kinds < 1000; kinds *= 5) {
            for (size_t k = 0; k < count; k++) {
                state = state * 1664525U + 1013904223U;
                x[k] = sorted[k] = kinds == 50 ? (double)k : (double)(state % kinds);
            }
            qsort(sorted, count, sizeof *sorted, rising);
            ck_assert_double_eq(evn_median_of(x, count), sorted[count / 2]);
        }
    ck_assert_double_eq(evn_median_of(x, 0), 0);
}
END_TEST

int main(void)
{
    TCase *of_reader = tcase_create("logs");
    tcase_add_test(of_reader, names_of_the_house_say_unit_and_quantity);
    tcase_add_test(of_reader, semicolons_decimal_commas_a_mark_and_brackets);
    tcase_add_test(of_reader, tabs_bars_and_quotes);
    tcase_add_test(of_reader, a_row_of_units_below_the_names);
    tcase_add_test(of_reader, dates_and_zones);
    tcase_add_test(of_reader, options_and_names_of_a_logger);
    tcase_add_test(of_reader, a_last_line_that_is_cut_off_is_left_out_and_told);
    tcase_add_test(of_reader, bad_logs_are_refused_where_they_are_bad);
    tcase_add_test(of_reader, tracks_of_gpx);
    tcase_add_test(of_reader, bad_gpx_is_refused_where_it_is_bad);
    tcase_add_test(of_reader, numbers_are_those_of_the_library);
    tcase_add_test(of_reader, times_are_put_in_order);
    tcase_add_test(of_reader, the_middle_is_that_of_sorted_numbers);
    Suite *suite = suite_create("logs");
    suite_add_tcase(suite, of_reader);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
