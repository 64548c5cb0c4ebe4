/*
 * Data of trucks that err over a day: first order against days that are driven with the numbers of draws; two trucks of
 * the same data; one datum against days that are driven with it by hand.
 */
#define _XOPEN_SOURCE 700
#include "../unit/trip_probe.h"
#include "api/erring.h"
#include "api/objects.h"
#include "duty/day.h"
#include "evener/payback.h"
#include "money/physics.h"
#include "uncertainty/cases.h"
#include "uncertainty/shape.h"
#include <limits.h>
#include <stdlib.h>
#include <unistd.h>

enum { DRAWS = 8, TRUCKS = 2 };

static const char duty_text[] = "name: A day\n"
                                "invented: true\n"
                                "day:\n"
                                "  - rounds:\n"
                                "      times: %2$s\n"
                                "      each:\n"
                                "        - stop: {name: loading, duration_min: 5, payload_kg: 10000}\n"
                                "        - leg: {name: out, cycle: {use: %1$s/tests/vehicles/routes/hump.yaml}}\n"
                                "        - stop: {name: rest, duration_min: 5, payload_kg: 2000}\n"
                                "        - leg: {name: home, cycle: {use: %1$s/tests/vehicles/routes/hump.yaml}, "
                                "direction: back}\n";
static const char lineup_text[] = "name: Pair\n"
                                  "invented: true\n"
                                  "duty: {use: day.yaml}\n"
                                  "driving: {integrator: arkode, accuracy: 1e-5}\n"
                                  "load_case: {payload_kg: 10000}\n"
                                  "trucks:\n"
                                  "  central: {use: %1$s/tests/vehicles/trucks/tractor-4x2-central.yaml}\n"
                                  "  other: {use: %1$s/tests/vehicles/trucks/%2$s}\n";

static char folder[64];
static evn_report *report;
static evn_lineup *lineup;
static evn_prices *prices;
static evn_conditions ask;

static void write_file(char path[PATH_MAX], const char *name, const char *format, const char *what)
{
    char root[PATH_MAX];
    ck_assert(realpath(".", root));
    ck_assert(snprintf(path, PATH_MAX, "%s/%s", folder, name) < PATH_MAX);
    FILE *file = fopen(path, "w");
    ck_assert(file);
    fprintf(file, format, root, what);
    fclose(file);
}

/* The pair over a day of so many rounds, the second truck from a file of its own. */
static void load_pair(const char *other, const char *rounds)
{
    char duty[PATH_MAX], pair[PATH_MAX];
    snprintf(folder, sizeof folder, "/tmp/evener-physics-XXXXXX");
    ck_assert(mkdtemp(folder));
    write_file(duty, "day.yaml", duty_text, rounds);
    write_file(pair, "pair.yaml", lineup_text, other);
    report = evn_report_new();
    evn_lineup_load(pair, &lineup, report);
    ck_assert_msg(lineup, "%s", first_finding(report));
    evn_prices_load("vehicles/prices/fleet.yaml", &prices, report);
    ck_assert_msg(prices, "%s", first_finding(report));
    ask = evn_lineup_ask(lineup);
    unlink(pair);
    unlink(duty);
    rmdir(folder);
}

static void tear_down(void)
{
    evn_prices_free(prices);
    evn_lineup_free(lineup);
    evn_report_free(report);
}

static evn_payback *pay(size_t threads)
{
    const evn_payback_how how = {
        .annual_km = 100000, .only_as_lineup = true, .draws = 64, .physics = true, .threads = threads};
    evn_payback *b = NULL;
    evn_payback_find(lineup, prices, &ask, &how, &b, report);
    ck_assert_msg(b, "%s", first_finding(report));
    return b;
}

/* ------------------------------------------------------------------------------------------------ draws */

static double battery_kwh(const evn_truck_file *t, const evn_conditions *with)
{
    const evn_day_how how = {0};
    evn_report *aside = evn_report_new();
    evn_day_season season;
    double kwh = (double)NAN;
    evn_day *day = evn_day_drive(t, evn_lineup_duty_file(lineup), with, &how, aside);
    ck_assert(day && evn_day_season_at(day, 0, &season) && season.results);
    ck_assert_str_eq(season.status, "finished");
    ck_assert(evn_results_get(season.results, "battery_kwh", &kwh));
    evn_day_free(day);
    evn_report_free(aside);
    return kwh;
}

/* By how much the day of each truck differs from that as it is, driven whole with the numbers of a draw; and by first
 * order. */
typedef struct drawn {
    double driven[TRUCKS], told[TRUCKS];
} drawn;

typedef struct second_way {
    evn_arena *arena;
    evn_data data;
    evn_varied varied;
    evn_variant variant;
    double *deviation, *standards;
    double is[TRUCKS];
} second_way;

static void begin(second_way *w)
{
    evn_erring erring = evn_lineup_erring(lineup, NULL);
    w->arena = evn_arena_new();
    erring.load_case = &ask.load_case;
    const evn_nominal nominal = {erring.who, erring.count, NULL, &ask.load_case};
    ck_assert(evn_data_gather(&erring, w->arena, &w->data, report));
    ck_assert(evn_varied_of(&nominal, &w->data, w->arena, &w->varied));
    ck_assert(evn_variant_make(&w->varied, w->arena, &w->variant, report));
    w->deviation = evn_arena_take(w->arena, EVN_ERROR_SHAPES * w->data.count * sizeof *w->deviation);
    w->standards = evn_arena_take(w->arena, w->data.count * sizeof *w->standards);
    for (size_t t = 0; t < TRUCKS; t++)
        w->is[t] = battery_kwh(erring.who[t].truck, &ask);
}

static drawn drive_draw(second_way *w, uint32_t draw, const evn_physics *p)
{
    drawn out;
    for (size_t d = 0; d < w->data.count; d++) {
        for (size_t s = 0; s < EVN_ERROR_SHAPES; s++)
            w->deviation[EVN_ERROR_SHAPES * d + s] = evn_draw_deviation(5, draw, d, (evn_error_shape)s);
        w->standards[d] = w->deviation[EVN_ERROR_SHAPES * d + (size_t)p->shape[d]] / evn_standard_share(p->shape[d]);
    }
    evn_variant_write(&w->varied, &w->variant, w->deviation);
    for (size_t t = 0; t < TRUCKS; t++) {
        evn_conditions with = ask;
        with.load_case = evn_variant_load_case(&w->varied, &w->variant, &ask.load_case);
        out.driven[t] = battery_kwh(evn_variant_truck(&w->varied, &w->variant, t), &with) - w->is[t];
        out.told[t] = evn_physics_moved(p, t, w->standards).of[EVN_DAY_BATTERY_KWH];
    }
    return out;
}

static void is_the_same(const evn_payback *one, size_t threads)
{
    evn_payback *other = pay(threads);
    evn_payback_sure s[2];
    evn_payback_energy e[2];
    const evn_payback *both[] = {one, other};
    for (size_t k = 0; k < 2; k++)
        ck_assert(evn_payback_sure_of(both[k], 1, EVN_PAYBACK_AS_LINEUP, &s[k]) &&
                  evn_payback_energy_of(both[k], 1, &e[k]));
    ck_assert(s[0].low == s[1].low && s[0].high == s[1].high && e[0].standard_percent == e[1].standard_percent);
    ck_assert(e[0].standard_percent > 0.1 && s[0].high > s[0].low);
    evn_payback_free(other);
}

/* The second way is told apart from the first by all that the first leaves out: bends, what data do together, heat and
 * charge of later rounds. */
START_TEST(first_order_is_what_days_driven_with_drawn_numbers_come_to_at_any_number_of_threads)
{
    double off[TRUCKS + 1] = {0}, size[TRUCKS + 1] = {0};
    second_way w;
    load_pair("tractor-4x2-eaxle.yaml", "2");
    evn_payback *b = pay(1);
    evn_payback_energy e;
    begin(&w);
    is_the_same(b, 3);
    ck_assert(b->physics->facts.data == w.data.count && w.data.count > 20);
    for (uint32_t k = 0; k < DRAWS; k++) {
        drawn is = drive_draw(&w, k, b->physics);
        for (size_t t = 0; t <= TRUCKS; t++) { /* the last: of one against the other */
            double driven = t < TRUCKS ? is.driven[t] : is.driven[1] - is.driven[0] * w.is[1] / w.is[0];
            double told = t < TRUCKS ? is.told[t] : is.told[1] - is.told[0] * w.is[1] / w.is[0];
            off[t] += (told - driven) * (told - driven) / DRAWS;
            size[t] += driven * driven / DRAWS;
        }
    }
    for (size_t t = 0; t < TRUCKS; t++)
        ck_assert_msg(sqrt(off[t] / size[t]) < 0.1, "truck %zu: %g of %g kWh", t, sqrt(off[t]), sqrt(size[t]));
    ck_assert_msg(sqrt(off[TRUCKS] / size[TRUCKS]) < 0.2, "%g of %g kWh", sqrt(off[TRUCKS]), sqrt(size[TRUCKS]));
    ck_assert(evn_payback_energy_of(b, 1, &e));
    double root = hypot(e.standard_percent, e.mean_percent - e.is_percent);
    ck_assert_double_eq_tol(root, 100 * sqrt(size[TRUCKS]) / w.is[0], 0.3 * root); /* of so few draws */
    ck_assert_double_eq_tol(e.is_percent, 100 * (w.is[1] / w.is[0] - 1), 0.02);
    evn_arena_free(w.arena);
    evn_payback_free(b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the same data */

START_TEST(two_trucks_of_the_same_data_have_no_spread_in_their_difference)
{
    evn_payback_energy e;
    evn_payback_sure s;
    evn_payback_physics p;
    load_pair("tractor-4x2-central.yaml", "1");
    evn_payback *b = pay(0);
    ck_assert(evn_payback_energy_of(b, 1, &e) && evn_payback_physics_of(b, &p));
    ck_assert_msg(fabs(e.is_percent) < 1e-9 && e.standard_percent < 1e-9, "%g, %g %%", e.is_percent,
                  e.standard_percent);
    ck_assert_msg(p.data > 10 && p.lost == 0, "%zu data, %zu runs lost", p.data, p.lost);
    ck_assert_uint_eq(p.runs, evn_payback_physics_runs(lineup, NULL));
    ck_assert(evn_payback_sure_of(b, 1, EVN_PAYBACK_AS_LINEUP, &s));
    ck_assert(fabs(s.low) < 1e-6 && fabs(s.high) < 1e-6);
    evn_payback_free(b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ once more */

static void is_alike(const evn_payback *one, const evn_payback *other)
{
    for (int basis = EVN_PAYBACK_AS_LINEUP; basis <= EVN_PAYBACK_LEAST_BATTERY; basis++)
        for (size_t t = 0; t < TRUCKS; t++) {
            evn_payback_figure a, b;
            size_t count = 0;
            ck_assert_str_eq(evn_payback_status(one, t, (evn_payback_basis)basis),
                             evn_payback_status(other, t, (evn_payback_basis)basis));
            for (; evn_payback_figure_at(one, t, (evn_payback_basis)basis, count, &a); count++) {
                ck_assert(evn_payback_figure_at(other, t, (evn_payback_basis)basis, count, &b));
                ck_assert_str_eq(a.what.key, b.what.key);
                ck_assert_msg(a.value == b.value || (isnan(a.value) && isnan(b.value)), "%s", a.what.key);
            }
            ck_assert(!evn_payback_figure_at(other, t, (evn_payback_basis)basis, count, &b));
        }
}

START_TEST(trucks_that_were_driven_have_the_same_figures_without_being_driven_again)
{
    const evn_payback_how first = {.annual_km = 60000}, asked = {.annual_km = 90000, .years = 6, .draws = 64},
                          other = {.annual_km = 90000, .years = 6, .draws = 64, .only_as_lineup = true};
    evn_payback *driven = NULL, *again = NULL, *anew = NULL;
    evn_payback_sure s[2];
    load_pair("tractor-4x2-eaxle.yaml", "1");
    ck_assert_msg(evn_payback_find(lineup, prices, &ask, &first, &driven, report) == EVN_DONE, "%s",
                  first_finding(report));
    ck_assert_int_eq(evn_payback_again(driven, prices, &first, &again, report), EVN_DONE);
    is_alike(driven, again);
    ck_assert_str_eq(evn_payback_status(again, 1, EVN_PAYBACK_LEAST_BATTERY), "finished");
    evn_payback_free(again);
    ck_assert_int_eq(evn_payback_again(driven, prices, &asked, &again, report), EVN_DONE);
    ck_assert_int_eq(evn_payback_find(lineup, prices, &ask, &other, &anew, report), EVN_DONE);
    for (size_t k = 0; k < 2; k++)
        ck_assert(evn_payback_sure_of(k == 0 ? again : anew, 1, EVN_PAYBACK_AS_LINEUP, &s[k]));
    ck_assert(s[0].low == s[1].low && s[0].pays == s[1].pays);
    evn_payback_free(again);
    ck_assert_int_eq(evn_payback_again(driven, prices, &other, &again, report), EVN_DONE);
    is_alike(anew, again);
    evn_payback_free(again);
    evn_payback_free(anew);
    evn_payback_free(driven);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ stopped */

/* Soon after the trucks as they are: in the physics, which comes last. */
static bool stop_there(void *self, double done_share)
{
    (void)self;
    return done_share < 0.1;
}

static bool tells(const evn_report *of, const char *text)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(of, i, &found); i++)
        if (strcmp(found.text, text) == 0)
            return true;
    return false;
}

START_TEST(stopped_in_the_physics_costs_are_there_and_nothing_of_how_sure_they_are)
{
    const evn_payback_how how = {
        .annual_km = 100000, .only_as_lineup = true, .draws = 64, .physics = true, .go_on = stop_there};
    evn_payback *b = NULL;
    evn_payback_physics p;
    evn_payback_sure s;
    double value;
    load_pair("tractor-4x2-central.yaml", "1");
    ck_assert_int_eq(evn_payback_find(lineup, prices, &ask, &how, &b, report), EVN_NO_RESULT);
    ck_assert(b && evn_payback_partial(b));
    ck_assert(tells(report, "interrupted; the accounts of trucks that had come to the end of their day are told"));
    ck_assert(evn_payback_get(b, 1, EVN_PAYBACK_AS_LINEUP, "extra.present_value", &value));
    ck_assert(!evn_payback_physics_of(b, &p) && !evn_payback_sure_of(b, 1, EVN_PAYBACK_AS_LINEUP, &s));
    evn_payback_free(b);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("payback physics");
    TCase *physics = tcase_create("physics"), *again = tcase_create("again");
    tcase_add_checked_fixture(physics, NULL, tear_down);
    tcase_add_checked_fixture(again, NULL, tear_down);
    tcase_add_test(physics, first_order_is_what_days_driven_with_drawn_numbers_come_to_at_any_number_of_threads);
    tcase_add_test(physics, two_trucks_of_the_same_data_have_no_spread_in_their_difference);
    tcase_add_test(physics, stopped_in_the_physics_costs_are_there_and_nothing_of_how_sure_they_are);
    tcase_add_test(again, trucks_that_were_driven_have_the_same_figures_without_being_driven_again);
    suite_add_tcase(suite, physics);
    suite_add_tcase(suite, again);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
