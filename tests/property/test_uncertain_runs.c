/*
 * Cases of uncertain data as they are driven: what a draw comes to is what the trucks with its numbers come to when
 * they are compared by themselves; the same bytes at any number of threads; what fell short, failed, was stopped.
 */
#define _XOPEN_SOURCE 700
#include "../unit/trip_probe.h"
#include "api/objects.h"
#include "core/report.h"
#include "lineup/common.h"
#include "uncertainty/answer.h"
#include "uncertainty/find.h"
#include "uncertainty/shape.h"
#include "uncertainty/sobol.h"
#include "uncertainty/speed.h"
#include "uncertainty/spread.h"

/* For what hangs on no particular road: a quarter of the hill, and of its cost. */
#define HUMP "tests/vehicles/routes/hump.yaml"
#define EAXLE "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"
#define POWER "auxiliaries.power_kw"

enum { DRAWS = 16, ROWS_MOST = 8 };

/* ------------------------------------------------------------------------------------------------ a comparison */

typedef struct meeting {
    evn_truck *truck[2];
    evn_cycle *cycle;
    evn_conditions ask;
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_report *report;
} meeting;

static void compare(meeting *m, evn_equal equal)
{
    const evn_compare_how how = {.equal = equal};
    m->report = evn_report_new();
    evn_lineup_of((const evn_truck *const *)m->truck, (const char *const[]){"central", "axle"}, 2, m->cycle, &m->lineup,
                  m->report);
    evn_compare(m->lineup, &m->ask, &how, &m->comparison, m->report);
    ck_assert_msg(m->comparison, "%s", first_finding(m->report));
}

/* Fast, as an ask of many runs is. */
static evn_conditions quick(void)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.integrator = EVN_INTEGRATOR_ARKODE;
    ask.driving.accuracy = 1e-5;
    return ask;
}

static meeting meet_on(const char *cycle, evn_conditions ask, evn_equal equal)
{
    meeting m = {.truck = {load_truck(TRACTOR), load_truck(EAXLE)}, .cycle = load_cycle(cycle), .ask = ask};
    compare(&m, equal);
    return m;
}

static void meeting_end(meeting *m)
{
    evn_comparison_free(m->comparison);
    evn_lineup_free(m->lineup);
    evn_report_free(m->report);
    for (size_t i = 0; i < 2; i++)
        evn_truck_free(m->truck[i]);
    evn_cycle_free(m->cycle);
}

/* A road that neither truck is held back on: limited they are nowhere, and the common speed is the plan. */
static evn_conditions easy(void)
{
    evn_conditions ask = quick();
    ask.load_case.payload_kg = 2000;
    ask.driving.comfort_acceleration_m_s2 = 0.2;
    return ask;
}

static double result_of(const evn_comparison *c, size_t truck, evn_basis basis, const char *key)
{
    double value = (double)NAN;
    const evn_outcome *o = evn_comparison_outcome(c, truck, basis);
    ck_assert_str_eq(evn_outcome_status(o), "finished");
    ck_assert(evn_results_get(evn_outcome_results(o), key, &value));
    return value;
}

/* ------------------------------------------------------------------------------------------------ data by hand */

typedef struct hand_data {
    evn_datum datum[ROWS_MOST];
    evn_moved moved[ROWS_MOST];
    evn_data all;
} hand_data;

/* A number of a truck, or of what is not a truck's; the rows must come sorted. */
static void add(hand_data *d, size_t datum, evn_erring_in in, size_t truck, const char *path, double nominal,
                double half)
{
    d->moved[d->all.moved_count++] = (evn_moved){.datum = datum,
                                                 .in = in,
                                                 .truck = truck,
                                                 .path = path,
                                                 .nominal = nominal,
                                                 .half_width = half,
                                                 .shape = EVN_RECTANGULAR,
                                                 .least = 0,
                                                 .most = 1e9};
    evn_datum *of = &d->datum[datum];
    of->label = path;
    of->shape = EVN_RECTANGULAR;
    of->trucks |= in == EVN_IN_TRUCK ? UINT64_C(1) << truck : UINT64_C(3);
    of->values++;
    d->all.datum = d->datum;
    d->all.moved = d->moved;
    d->all.count = d->all.count > datum ? d->all.count : datum + 1;
}

static double number_of(const evn_truck *truck, const char *path)
{
    double value = (double)NAN;
    evn_report *report = evn_report_new();
    evn_truck_number(truck, path, &value, report);
    ck_assert_msg(!isnan(value), "%s", first_finding(report));
    evn_report_free(report);
    return value;
}

static void add_share(hand_data *d, size_t datum, const meeting *m, size_t truck, const char *path, double share)
{
    double nominal = number_of(m->truck[truck], path);
    add(d, datum, EVN_IN_TRUCK, truck, path, nominal, share * nominal);
}

/* Resistance and consumers of the one, drag area of both as one, the other's resistance. */
static void usual(hand_data *d, const meeting *m)
{
    add_share(d, 0, m, 0, "auxiliaries.power_kw", 0.3);
    add_share(d, 1, m, 0, "battery.resistance_ohm", 0.2);
    add_share(d, 2, m, 0, "body.drag_area_m2", 0.06);
    add_share(d, 3, m, 1, "battery.resistance_ohm", 0.2);
    add_share(d, 2, m, 1, "body.drag_area_m2", 0.06);
}

/* The load of the one by so much that on a climb some draws fall short; as many data. */
static void heavy(hand_data *d, const meeting *m)
{
    add_share(d, 0, m, 0, "battery.resistance_ohm", 0.2);
    add_share(d, 1, m, 0, "body.drag_area_m2", 0.06);
    add_share(d, 2, m, 0, "payload.mass_kg", 0.2);
    add_share(d, 3, m, 1, "battery.resistance_ohm", 0.2);
    add_share(d, 1, m, 1, "body.drag_area_m2", 0.06);
}

/* ------------------------------------------------------------------------------------------------ finding */

typedef struct found {
    evn_uncertainty *answer;
    evn_report *report;
    evn_status status;
} found;

static found find(const meeting *m, const hand_data *d, const evn_uncertainty_how *how)
{
    found f = {.report = evn_report_new()};
    evn_arena *arena = evn_arena_new();
    ck_assert(f.report && arena);
    f.answer = evn_uncertainty_make(m->comparison, arena, &d->all, how, f.report);
    f.status = evn_report_status(f.report);
    return f;
}

static void found_end(found *f)
{
    evn_uncertainty_free(f->answer);
    evn_report_free(f->report);
}

static const evn_measure ratio = {.of_ratio = true, .value = 1, .other = 1};
static const evn_uncertainty_how many = {.method = EVN_UNCERTAINTY_DRAWS, .draws = 128, .seed = 7};
static const evn_uncertainty_how sixteen = {.method = EVN_UNCERTAINTY_DRAWS, .draws = DRAWS, .seed = 7};

static size_t count_findings(const evn_report *report, const char *fault)
{
    evn_finding is;
    size_t count = 0;
    for (size_t i = 0; evn_report_at(report, i, &is); i++)
        count += strcmp(is.fault, fault) == 0;
    return count;
}

/* ------------------------------------------------------------------------------------------------ what a draw is */

static double deviation(uint64_t seed, size_t draw, size_t datum)
{
    return evn_deviation(EVN_RECTANGULAR,
                         evn_sobol(seed, draw % EVN_DRAW_GROUPS, (uint32_t)(draw / EVN_DRAW_GROUPS), (uint32_t)datum));
}

/* The same numbers by the calls that change trucks and cycles, rules between keys included, compared anew. */
static meeting meet_changed(const meeting *m, const hand_data *d, const double *by, evn_conditions ask)
{
    meeting changed = {.ask = ask};
    evn_report *report = evn_report_new();
    for (size_t i = 0; i < 2; i++)
        evn_truck_copy(m->truck[i], &changed.truck[i], report);
    evn_cycle_copy(m->cycle, &changed.cycle, report);
    for (size_t k = 0; k < d->all.moved_count; k++) {
        const evn_moved *row = &d->moved[k];
        evn_change one = {row->path, row->nominal + row->offset + row->half_width * by[row->datum]};
        if (row->in == EVN_IN_TRUCK)
            evn_truck_set_numbers(changed.truck[row->truck], &one, 1, report);
        else if (row->in == EVN_IN_CYCLE)
            evn_cycle_set_numbers(changed.cycle, &one, 1, report);
        else
            evn_load_case_set(&changed.ask.load_case, row->path, one.value, report);
    }
    ck_assert_msg(evn_report_status(report) == EVN_DONE, "%s", first_finding(report));
    evn_report_free(report);
    compare(&changed, EVN_EQUAL_PAYLOAD);
    return changed;
}

static void must_be_the_changed_trucks(const meeting *m, const hand_data *d, size_t draws_held)
{
    found f = find(m, d, &sixteen);
    ck_assert_ptr_nonnull(f.answer);
    ck_assert_uint_eq(evn_uncertainty_how_found(f.answer).fell_short, 0);
    for (size_t draw = 0; draw < draws_held; draw++) {
        double by[ROWS_MOST], value;
        for (size_t k = 0; k < d->all.count; k++)
            by[k] = deviation(sixteen.seed, draw, k);
        meeting changed = meet_changed(m, d, by, m->ask);
        for (size_t i = 0; i < 2; i++) {
            ck_assert(evn_uncertainty_draw_at(f.answer, draw, i, &value));
            double expected = result_of(changed.comparison, i, EVN_BASIS_COMMON, "kwh_per_km");
            ck_assert_double_eq_tol(value / expected, 1, 1e-9);
        }
        meeting_end(&changed);
    }
    found_end(&f);
}

START_TEST(a_draw_is_the_trucks_with_its_numbers_compared_by_themselves)
{
    meeting m = meet_on(HUMP, easy(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    usual(&d, &m);
    must_be_the_changed_trucks(&m, &d, 5);
    meeting_end(&m);
}
END_TEST

/* Of one datum in both trucks, and of one that only one has. */
static void make_uneven(hand_data *d, size_t one, size_t other)
{
    for (size_t k = 0; k < d->all.moved_count; k++)
        if (d->moved[k].datum == one || d->moved[k].datum == other)
            d->moved[k].offset = 0.6 * d->moved[k].half_width;
}

START_TEST(a_draw_of_uneven_ranges_is_the_trucks_with_its_numbers)
{
    meeting m = meet_on(HUMP, easy(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    usual(&d, &m);
    make_uneven(&d, 0, 2);
    must_be_the_changed_trucks(&m, &d, 3);
    meeting_end(&m);
}
END_TEST

/* A grade of the last hump, and the load. */
START_TEST(what_is_not_a_trucks_own_moves_all_of_them)
{
    meeting m = meet_on(HILL, easy(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    add(&d, 0, EVN_IN_CYCLE, 0, "road.grade_percent[21]", 3, 0.2);
    add(&d, 1, EVN_IN_LOAD_CASE, 0, "headwind_m_s", m.ask.load_case.headwind_m_s, 1);
    add(&d, 2, EVN_IN_LOAD_CASE, 0, "payload_kg", m.ask.load_case.payload_kg, 300);
    d.moved[0].least = d.moved[1].least = -100;
    must_be_the_changed_trucks(&m, &d, 3);
    meeting_end(&m);
}
END_TEST

/* Rows of one number add up, and are held within the bounds of its key, which is counted. */
START_TEST(deviations_of_one_number_add_and_are_held_at_its_bounds)
{
    meeting m = meet_on(HILL, easy(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    double power_kw = number_of(m.truck[0], POWER);
    add(&d, 0, EVN_IN_TRUCK, 0, POWER, power_kw, 0.2 * power_kw);
    add(&d, 1, EVN_IN_TRUCK, 0, POWER, power_kw, 0.1 * power_kw);
    d.moved[0].most = d.moved[1].most = 1.15 * power_kw;
    found f = find(&m, &d, &sixteen);
    size_t held = 0;
    double value, least = result_of(m.comparison, 0, EVN_BASIS_COMMON, "kwh_per_km"), km = 12;
    double hours = result_of(m.comparison, 0, EVN_BASIS_COMMON, "duration_s") / 3600;
    for (size_t draw = 0; draw < DRAWS; draw++) {
        double more_kw = power_kw * (0.2 * deviation(7, draw, 0) + 0.1 * deviation(7, draw, 1));
        held += more_kw > 0.15 * power_kw;
        ck_assert(evn_uncertainty_draw_at(f.answer, draw, 0, &value));
        /* Consumers take their energy from the battery: what they take more, and its losses in the battery. */
        double more = fmin(more_kw, 0.15 * power_kw) * hours / km;
        ck_assert_double_eq_tol(value - least, more, 0.1 * fabs(more));
    }
    ck_assert_uint_gt(held, 0);
    ck_assert_uint_eq(evn_uncertainty_how_found(f.answer).held_at_bounds, held);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

START_TEST(a_truck_that_nothing_moves_stays_as_it_is)
{
    meeting m = meet_on(HUMP, easy(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    add_share(&d, 0, &m, 0, POWER, 0.3);
    found f = find(&m, &d, &sixteen);
    double value, first = (double)NAN;
    for (size_t draw = 0; draw < DRAWS; draw++) {
        ck_assert(evn_uncertainty_draw_at(f.answer, draw, 1, &value));
        first = draw == 0 ? value : first;
        ck_assert_double_eq(value, first);
    }
    ck_assert_double_eq_tol(first / result_of(m.comparison, 1, EVN_BASIS_COMMON, "kwh_per_km"), 1, 1e-9);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* The payload that makes gross masses equal errs by what the asked one does; judged is the energy of a tonne. */
START_TEST(a_payload_that_makes_gross_masses_equal_errs_by_as_much)
{
    meeting m = meet_on(HUMP, easy(), EVN_EQUAL_GROSS);
    hand_data d = {0};
    add(&d, 0, EVN_IN_LOAD_CASE, 0, "payload_kg", m.ask.load_case.payload_kg, 300);
    found f = find(&m, &d, &(evn_uncertainty_how){.method = EVN_UNCERTAINTY_FIRST_ORDER});
    ck_assert_str_eq(evn_uncertainty_key(f.answer), "kwh_per_t_km");
    const evn_varied *of = &f.answer->varied;
    evn_variant v = {.load_case = m.ask.load_case};
    v.load_case.payload_kg += 100;
    for (size_t i = 0; i < 2; i++) {
        evn_load_case given = evn_comparison_load_case(m.comparison, i);
        ck_assert_double_eq_tol(evn_variant_load_case(of, &v, &given).payload_kg, given.payload_kg + 100, 1e-9);
    }
    ck_assert(evn_comparison_load_case(m.comparison, 1).payload_kg != m.ask.load_case.payload_kg);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ first order */

static double percent_of(const evn_comparison *c, evn_basis basis)
{
    double first = result_of(c, 0, basis, "kwh_per_km"), other = result_of(c, 1, basis, "kwh_per_km");
    return 100 * (other - first) / first;
}

/* At their own speeds, to the bit what the changed trucks differ by. */
START_TEST(a_slope_is_half_the_difference_between_the_changed_trucks)
{
    meeting m = meet_on(HUMP, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    usual(&d, &m);
    found f = find(&m, &d, &(evn_uncertainty_how){.method = EVN_UNCERTAINTY_FIRST_ORDER});
    double nominal = percent_of(m.comparison, EVN_BASIS_OWN), squares = 0, shares = 0;
    evn_share share;
    evn_sureness sure;
    for (size_t k = 0; evn_uncertainty_share_at(f.answer, 1, 0, EVN_BASIS_OWN, k, &share); k++) {
        double side[2];
        for (int up = 0; up < 2; up++) {
            double by[ROWS_MOST] = {0};
            by[share.datum] = (up ? 1 : -1) / sqrt(3);
            meeting changed = meet_changed(&m, &d, by, m.ask);
            side[up] = percent_of(changed.comparison, EVN_BASIS_OWN);
            meeting_end(&changed);
        }
        double is = 1 + nominal / 100, up = log1p(side[1] / 100), down = log1p(side[0] / 100);
        ck_assert_double_eq_tol(share.slope_percent, 100 * is * (up - down) / 2, 1e-10);
        ck_assert_double_eq_tol(share.second_percent, 100 * is * ((up + down) / 2 - log(is)), 1e-10);
        squares += share.slope_percent * share.slope_percent;
        shares += share.share;
    }
    ck_assert(evn_uncertainty_of(f.answer, 1, 0, EVN_BASIS_OWN, &sure));
    ck_assert_int_eq(sure.by, EVN_UNCERTAINTY_FIRST_ORDER);
    ck_assert_double_eq(sure.nominal_percent, nominal);
    ck_assert_double_eq_tol(sure.standard_percent, sqrt(squares), 1e-12);
    ck_assert_double_eq_tol(shares, 1, 1e-12);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* First order about the trucks with all data in the middle of their ranges: at own speeds to the bit; at the common
 * speed, which trucks limit here and the heavier ones more, within what these speeds differ by. */
START_TEST(the_mean_is_that_of_the_trucks_in_the_middle_of_their_ranges)
{
    meeting m = meet_on(HILL, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    const double by[ROWS_MOST] = {0};
    heavy(&d, &m);
    make_uneven(&d, 0, 2);
    found f = find(&m, &d, &(evn_uncertainty_how){.method = EVN_UNCERTAINTY_FIRST_ORDER});
    meeting middle = meet_changed(&m, &d, by, m.ask);
    ck_assert_uint_eq(evn_uncertainty_how_found(f.answer).uneven, 2);
    for (int basis = 0; basis < EVN_BASES; basis++) {
        evn_sureness sure;
        ck_assert(evn_uncertainty_of(f.answer, 1, 0, (evn_basis)basis, &sure));
        double nominal = percent_of(m.comparison, (evn_basis)basis),
               mean = percent_of(middle.comparison, (evn_basis)basis);
        ck_assert_double_eq(sure.nominal_percent, nominal);
        /* The ratio of the mean is moved by what the middle moves at one speed, that of the draws. */
        const double *slower = f.answer->nominal[basis];
        double moved = (1 + sure.mean_percent / 100) / (1 + nominal / 100) * slower[1] / slower[0];
        ck_assert_double_eq_tol(100 * (moved - 1), mean, basis == EVN_BASIS_OWN ? 1e-9 : 0.05);
        ck_assert_double_gt(fabs(mean - nominal), 0.5);
    }
    meeting_end(&middle);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* Draws and slopes of what hardly bends tell the same; 256 draws find a standard deviation to about 2 %. */
START_TEST(draws_and_first_order_agree_where_nothing_bends)
{
    meeting m = meet_on(HUMP, easy(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    usual(&d, &m);
    found f = find(&m, &d, &(evn_uncertainty_how){.method = EVN_UNCERTAINTY_DRAWS, .draws = 256});
    evn_sureness by[2];
    ck_assert(evn_uncertainty_between(f.answer, 1, 0, EVN_BASIS_COMMON, EVN_UNCERTAINTY_FIRST_ORDER, &by[0]));
    ck_assert(evn_uncertainty_between(f.answer, 1, 0, EVN_BASIS_COMMON, EVN_UNCERTAINTY_DRAWS, &by[1]));
    ck_assert_double_eq_tol(by[1].standard_percent / by[0].standard_percent, 1, 0.02);
    ck_assert_double_eq_tol(by[1].mean_percent, by[0].nominal_percent, 0.05 * by[0].standard_percent);
    ck_assert(by[0].standard_percent > 0.1);
    ck_assert(!evn_uncertainty_between(f.answer, 1, 0, EVN_BASIS_OWN, EVN_UNCERTAINTY_DRAWS, &by[1]));
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ threads, stop */

static void must_be_the_same(const evn_uncertainty *a, const evn_uncertainty *b)
{
    for (size_t draw = 0; draw < DRAWS; draw++)
        for (size_t i = 0; i < 2; i++) {
            double one, other;
            ck_assert(evn_uncertainty_draw_at(a, draw, i, &one) && evn_uncertainty_draw_at(b, draw, i, &other));
            ck_assert(memcmp(&one, &other, sizeof one) == 0);
        }
    for (int basis = 0; basis < EVN_BASES; basis++) {
        evn_share one, other;
        size_t k = 0;
        for (; evn_uncertainty_share_at(a, 1, 0, (evn_basis)basis, k, &one); k++) {
            ck_assert(evn_uncertainty_share_at(b, 1, 0, (evn_basis)basis, k, &other));
            ck_assert_uint_eq(one.datum, other.datum);
            ck_assert(memcmp(&one.slope_percent, &other.slope_percent, sizeof one.slope_percent) == 0);
        }
        ck_assert_uint_eq(k, 4);
    }
}

/* On a road on which some draws fall short, so that these rounds are among what must be the same. */
START_TEST(the_same_bytes_at_any_number_of_threads)
{
    static const size_t threads[] = {1, 2, 7};
    meeting m = meet_on(HILL, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    found f[3];
    heavy(&d, &m);
    for (size_t k = 0; k < 3; k++) {
        evn_uncertainty_how how = sixteen;
        how.threads = threads[k];
        f[k] = find(&m, &d, &how);
        ck_assert_ptr_nonnull(f[k].answer);
        must_be_the_same(f[0].answer, f[k].answer);
        ck_assert(f[k].answer->drawn[1] < f[k].answer->nominal[EVN_BASIS_COMMON][1]); /* as the first of them did */
    }
    for (size_t k = 0; k < 3; k++)
        found_end(&f[k]);
    meeting_end(&m);
}
END_TEST

typedef struct patience {
    double until, last;
    bool fell;
} patience;

static bool until(void *self, double share)
{
    patience *p = self;
    p->fell = p->fell || share < p->last;
    p->last = share;
    return share < p->until;
}

START_TEST(progress_never_falls_and_ends_at_one)
{
    meeting m = meet_on(HUMP, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    patience p = {.until = 2};
    evn_uncertainty_how how = sixteen;
    usual(&d, &m);
    how.self = &p;
    how.go_on = until;
    found f = find(&m, &d, &how);
    ck_assert_int_eq(f.status, EVN_DONE);
    ck_assert(!p.fell);
    ck_assert_double_eq(p.last, 1);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* What was whole by then is what the whole has at its place, up to the first draw that was not: those behind it that
 * are whole would be those that did not fall short. */
START_TEST(an_interrupt_leaves_whole_draws_and_whole_data_marked_as_a_part)
{
    meeting m = meet_on(HILL, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    evn_uncertainty_how how = {.method = EVN_UNCERTAINTY_DRAWS, .draws = 128, .seed = 7, .threads = 2};
    heavy(&d, &m);
    found whole = find(&m, &d, &how);
    patience p = {.until = 0.7};
    how.self = &p;
    how.go_on = until;
    found part = find(&m, &d, &how);
    evn_uncertainty_facts facts = evn_uncertainty_how_found(part.answer);
    ck_assert_int_eq(part.status, EVN_NO_RESULT);
    ck_assert_uint_eq(count_findings(part.report, "interrupted"), 1);
    ck_assert(facts.partial && facts.draws_done > 16 && facts.draws_done < 128);
    size_t there = 0;
    for (size_t k = 0; k < 128; k++) {
        double one, other;
        if (!evn_uncertainty_draw_at(part.answer, k, 1, &one))
            continue;
        ck_assert(evn_uncertainty_draw_at(whole.answer, k, 1, &other));
        ck_assert(memcmp(&one, &other, sizeof one) == 0);
        ck_assert_uint_eq(k, there);
        there++;
    }
    ck_assert_uint_eq(there, facts.draws_done);
    ck_assert_uint_gt(evn_uncertainty_how_found(whole.answer).fell_short, 0);
    evn_sureness sure;
    ck_assert(evn_uncertainty_of(part.answer, 1, 0, EVN_BASIS_COMMON, &sure));
    ck_assert_uint_eq(sure.draws, there);
    found_end(&part);
    found_end(&whole);
    meeting_end(&m);
}
END_TEST

/* Of some data alone an interval would be too narrow: there is none; nor is there anything before the first case. */
START_TEST(an_early_interrupt_claims_nothing)
{
    static const double early[] = {0, 0.1, 0.3};
    meeting m = meet_on(HUMP, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    usual(&d, &m);
    for (size_t k = 0; k < 3; k++) {
        patience p = {.until = early[k]};
        found f = find(
            &m, &d,
            &(evn_uncertainty_how){.method = EVN_UNCERTAINTY_FIRST_ORDER, .threads = 2, .self = &p, .go_on = until});
        evn_sureness sure;
        ck_assert_int_eq(f.status, EVN_NO_RESULT);
        ck_assert_ptr_nonnull(f.answer);
        ck_assert(evn_uncertainty_how_found(f.answer).partial);
        ck_assert(!evn_uncertainty_of(f.answer, 1, 0, EVN_BASIS_OWN, &sure));
        found_end(&f);
    }
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ short, failed */

/* Trucks up to 12 % heavier on an 8 % climb: beyond the margin some cannot follow, and all are given their speed. */
START_TEST(draws_that_fall_short_are_counted_and_get_a_speed_of_their_own)
{
    meeting m = meet_on(HILL, quick(), EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    double drawn, value, heaviest = -1;
    add_share(&d, 0, &m, 0, "payload.mass_kg", 0.2);
    found f = find(&m, &d, &many);
    evn_uncertainty_facts facts = evn_uncertainty_how_found(f.answer);
    ck_assert_uint_gt(facts.fell_short, 0);
    ck_assert_uint_eq(facts.draws_done, many.draws);
    drawn = f.answer->drawn[1];
    ck_assert(drawn <
              f.answer->nominal[EVN_BASIS_COMMON][1]); /* at a lower speed, and that at one below the compared */
    ck_assert(f.answer->nominal[EVN_BASIS_COMMON][1] < result_of(m.comparison, 1, EVN_BASIS_COMMON, "kwh_per_km"));
    for (size_t draw = 0; draw < EVN_PILOT_DRAWS; draw++)
        heaviest = fmax(heaviest, deviation(7, draw, 0));
    for (size_t draw = 0; draw < many.draws; draw++) {
        const evn_case *c = &f.answer->draw[draw];
        ck_assert(evn_uncertainty_draw_at(f.answer, draw, 1, &value));
        ck_assert(c->fell_short ? value != drawn : value == drawn); /* nothing of the second truck errs */
        ck_assert(!c->fell_short || deviation(7, draw, 0) > heaviest);
        ck_assert(c->fell_short || deviation(7, draw, 0) < heaviest + 0.02); /* late by 2e-4 are those 1 % heavier */
    }
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* At the crest 7.5 % of the charge are gone, and 9 % can be used: of a smaller battery more, which then ends there. */
START_TEST(draws_that_cannot_be_driven_count_nowhere_and_the_first_reason_is_told_once)
{
    evn_conditions ask = quick();
    ask.load_case.start_soc = 0.15;
    meeting m = meet_on(HILL, ask, EVN_EQUAL_PAYLOAD);
    hand_data d = {0};
    add_share(&d, 0, &m, 0, "battery.capacity_ah", 0.5);
    found f = find(&m, &d, &sixteen);
    ck_assert_msg(f.answer, "%s", first_finding(f.report));
    evn_uncertainty_facts facts = evn_uncertainty_how_found(f.answer);
    ck_assert(facts.failed > 0 && facts.failed < DRAWS);
    ck_assert_uint_eq(facts.failed + facts.draws_done, DRAWS);
    ck_assert_uint_eq(count_findings(f.report, "draws_failed"), 3); /* of single changes on both bases, of draws */
    ck_assert_int_eq(f.status, EVN_DONE);
    evn_share share;
    evn_sureness sure;
    evn_failed_draws of_truck;
    ck_assert(evn_uncertainty_failed_at(f.answer, 0, &of_truck) && of_truck.draws == facts.failed);
    ck_assert_msg(strstr(of_truck.reason, "charge"), "%s", of_truck.reason);
    ck_assert(!evn_uncertainty_failed_at(f.answer, 1, &of_truck));
    ck_assert(evn_uncertainty_share_at(f.answer, 1, 0, EVN_BASIS_OWN, 0, &share) && share.bends);
    ck_assert(evn_uncertainty_of(f.answer, 1, 0, EVN_BASIS_COMMON, &sure) && sure.draws == facts.draws_done);
    ck_assert(sure.failed == facts.failed && sure.fails_often);
    for (size_t draw = 0; draw < DRAWS; draw++) {
        double value;
        bool small = deviation(7, draw, 0) < -0.6, large = deviation(7, draw, 0) > 0;
        if (small || large)
            ck_assert_int_eq(evn_uncertainty_draw_at(f.answer, draw, 0, &value), large);
        ck_assert(evn_uncertainty_draw_at(f.answer, draw, 1, &value));
    }
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* One side of a datum cannot be driven: the slope is the other's, and it is one that bends. */
START_TEST(a_datum_with_one_side_counts_from_that_side_and_bends)
{
    evn_case single[2] = {{.kind = EVN_CASE_UP, .done = true, .failed = 1, .value = {(double)NAN, 0.98}},
                          {.kind = EVN_CASE_DOWN, .done = true, .value = {1, 0.97}}};
    const double nominal[] = {1, 0.98};
    const evn_singles of = {single, 1, nominal};
    evn_share s[1];
    ck_assert_uint_eq(evn_slopes(&of, &ratio, 1, 0, s), 1);
    evn_shares(s, 1);
    ck_assert_double_eq_tol(s[0].slope_percent, 100 * log(0.98 / 0.97), 1e-12);
    ck_assert(isnan(s[0].second_percent) && s[0].bends && s[0].share == 1);
    single[1].done = false;
    ck_assert_uint_eq(evn_slopes(&of, &ratio, 1, 0, s), 0);
}
END_TEST

START_TEST(a_second_difference_of_a_fifth_of_the_slope_bends_where_it_matters)
{
    static const struct {
        double up, down;
        bool bends;
    } rows[] = {{1.25, -0.8, true}, {1.15, -0.9, false}, {0.003, 0.003, false}, {0.2, 0.2, true}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        const evn_case single[4] = {{.done = true, .value = {1, 1 + rows[k].up / 100}},
                                    {.done = true, .value = {1, 1 + rows[k].down / 100}},
                                    {.done = true, .value = {1, 1.02}},
                                    {.done = true, .value = {1, 0.98}}};
        const double nominal[] = {1, 1};
        const evn_singles of = {single, 2, nominal};
        evn_share s[2];
        ck_assert_uint_eq(evn_slopes(&of, &ratio, 1, 0, s), 2);
        evn_shares(s, 2);
        ck_assert_uint_eq(s[0].datum, 1); /* the largest share first */
        ck_assert(s[1].bends == rows[k].bends && !s[0].bends);
    }
}
END_TEST

/* Of one of two alike sqrt(1 + 1/4) of one is left; of the only one half. Draws' ends move towards their mean. */
START_TEST(half_of_a_half_width_narrows_the_interval_by_its_share)
{
    const double slopes[] = {1, -1};
    evn_share s[2] = {{.datum = 0, .slope_percent = 1}, {.datum = 1, .slope_percent = -1}};
    evn_sureness first_order, draws = {.mean_percent = 2, .low_percent = 1, .high_percent = 6};
    evn_spread_of_slopes(3, slopes, 2, &first_order);
    evn_shares(s, 2);
    evn_halves(s, 2, &first_order);
    ck_assert_double_eq_tol(s[0].half_high_percent - 3, 1.6448536269514722 * sqrt(1.25), 1e-9);
    ck_assert_double_eq_tol(3 - s[1].half_low_percent, 1.6448536269514722 * sqrt(1.25), 1e-9);
    evn_halves(s, 2, NULL);
    ck_assert(isnan(s[0].half_low_percent));
    evn_shares(s, 1);
    evn_halves(s, 1, &draws);
    ck_assert_double_eq_tol(s[0].half_low_percent, 1.5, 1e-15);
    ck_assert_double_eq_tol(s[0].half_high_percent, 4, 1e-15);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is refused */

START_TEST(an_ask_that_does_not_fit_is_refused)
{
    static const evn_uncertainty_how asks[] = {{.method = EVN_UNCERTAINTY_OFF},
                                               {.method = EVN_UNCERTAINTY_DRAWS, .draws = 12},
                                               {.method = EVN_UNCERTAINTY_DRAWS, .draws = 18},
                                               {.method = EVN_UNCERTAINTY_DRAWS, .draws = 65540}};
    meeting m = meet_on(HUMP, easy(), EVN_EQUAL_PAYLOAD);
    for (size_t k = 0; k < sizeof asks / sizeof *asks; k++) {
        evn_report *report = evn_report_new();
        evn_uncertainty *none;
        ck_assert_int_eq(evn_uncertainty_find(m.lineup, m.comparison, &asks[k], &none, report), EVN_BAD_INPUT);
        ck_assert_ptr_null(none);
        ck_assert_uint_eq(count_findings(report, "usage"), 1);
        evn_report_free(report);
    }
    hand_data nothing = {0};
    found f = find(&m, &nothing, &sixteen);
    ck_assert(!f.answer && f.status == EVN_BAD_INPUT);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

START_TEST(one_truck_alone_has_nothing_to_be_held_against)
{
    evn_conditions ask = quick();
    ask.load_case.start_soc = 0.07;
    meeting m = {.truck = {load_truck(TRACTOR), load_truck(EAXLE)}, .cycle = load_cycle(HILL), .ask = ask};
    hand_data d = {0};
    evn_report *report = evn_report_new();
    evn_truck_set_numbers(m.truck[0], &(evn_change){"battery.usable_from_soc", 0.01}, 1, report);
    evn_report_free(report);
    compare(&m, EVN_EQUAL_PAYLOAD);
    add_share(&d, 0, &m, 0, POWER, 0.3);
    found f = find(&m, &d, &sixteen);
    ck_assert(!f.answer && f.status == EVN_ANSWER_NO);
    ck_assert_uint_eq(count_findings(f.report, "not_finished"), 1);
    found_end(&f);
    meeting_end(&m);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ suite */

int main(void)
{
    Suite *suite = suite_create("uncertain runs");
    TCase *tests = tcase_create("uncertain runs");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_draw_is_the_trucks_with_its_numbers_compared_by_themselves);
    tcase_add_test(tests, a_draw_of_uneven_ranges_is_the_trucks_with_its_numbers);
    tcase_add_test(tests, the_mean_is_that_of_the_trucks_in_the_middle_of_their_ranges);
    tcase_add_test(tests, what_is_not_a_trucks_own_moves_all_of_them);
    tcase_add_test(tests, deviations_of_one_number_add_and_are_held_at_its_bounds);
    tcase_add_test(tests, a_truck_that_nothing_moves_stays_as_it_is);
    tcase_add_test(tests, a_payload_that_makes_gross_masses_equal_errs_by_as_much);
    tcase_add_test(tests, a_slope_is_half_the_difference_between_the_changed_trucks);
    tcase_add_test(tests, draws_and_first_order_agree_where_nothing_bends);
    tcase_add_test(tests, the_same_bytes_at_any_number_of_threads);
    tcase_add_test(tests, progress_never_falls_and_ends_at_one);
    tcase_add_test(tests, an_interrupt_leaves_whole_draws_and_whole_data_marked_as_a_part);
    tcase_add_test(tests, an_early_interrupt_claims_nothing);
    tcase_add_test(tests, draws_that_fall_short_are_counted_and_get_a_speed_of_their_own);
    tcase_add_test(tests, draws_that_cannot_be_driven_count_nowhere_and_the_first_reason_is_told_once);
    tcase_add_test(tests, a_datum_with_one_side_counts_from_that_side_and_bends);
    tcase_add_test(tests, a_second_difference_of_a_fifth_of_the_slope_bends_where_it_matters);
    tcase_add_test(tests, half_of_a_half_width_narrows_the_interval_by_its_share);
    tcase_add_test(tests, an_ask_that_does_not_fit_is_refused);
    tcase_add_test(tests, one_truck_alone_has_nothing_to_be_held_against);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
