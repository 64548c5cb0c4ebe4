/* Rides of trucks: their masses by hand, their figures against closed forms, routes, and how fast they may go. */
#define _POSIX_C_SOURCE 200809L
#include "api/objects.h"
#include "cycle/surface.h"
#include "evener/site.h"
#include "site/ride_axle.h"
#include "site/ride_road.h"
#include "site/ride_route.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TRUCKS "tests/vehicles/trucks/"
static const char *const sprung[] = {
    "axles.front.suspension={stiffness_kn_m: 260, damping_kn_s_m: 12, bump_travel_m: 0.08}",
    "axles.drive.suspension={natural_frequency_hz: 1.4, damping_kn_s_m: 20, air: true}",
    "axles.front.tyre.vertical_stiffness_kn_m=950", "axles.drive.tyre.vertical_stiffness_kn_m=900", NULL};
enum { SETS_MOST = 12 };

typedef struct scene {
    evn_report *report;
    evn_truck *truck;
    evn_rig *rig;
    evn_load_case load_case;
    evn_site_ask ask;
    evn_site *site;
} scene;

static void end(scene *s)
{
    evn_site_free(s->site);
    evn_rig_free(s->rig);
    evn_truck_free(s->truck);
    evn_report_free(s->report);
}

/* A truck with suspensions, another value set where there is one (NULL: none). */
static scene loaded(const char *file, const char *other)
{
    const char *set[SETS_MOST] = {NULL}, *root = getenv("EVENER_SOURCE");
    char path[1024];
    scene s = {.report = evn_report_new()};
    size_t count = 0;
    for (; sprung[count]; count++)
        set[count] = sprung[count];
    set[count] = other;
    snprintf(path, sizeof path, "%s/" TRUCKS "%s", root ? root : ".", file);
    ck_assert_int_eq(evn_truck_load_with(path, &(evn_load){.set = set}, &s.truck, s.report), EVN_DONE);
    s.load_case = evn_conditions_default().load_case;
    s.ask = evn_site_ask_default();
    evn_rig_prepare(s.truck, &s.load_case, &s.rig, s.report);
    ck_assert(s.rig);
    return s;
}

static void find(scene *s)
{
    evn_site_free(s->site);
    ck_assert_int_eq(evn_site_find(s->truck, &s->load_case, &s->ask, &s->site, s->report), EVN_DONE);
}

static evn_site_figure figure(const scene *s, const char *key)
{
    evn_site_figure f;
    ck_assert_msg(evn_site_get(s->site, key, &f), "no figure %s", key);
    return f;
}
static double value(const scene *s, const char *key) { return figure(s, key).value; }

/* ------------------------------------------------------------------------------------------------ masses */

START_TEST(an_electric_axle_bears_motors_inverters_gearbox_and_gears)
{
    scene s = loaded("tractor-4x2-eaxle.yaml", NULL);
    find(&s);
    double machine = 2 * (80 + 14) + 240, gears = 60 + 85 + 65;
    ck_assert_double_eq_tol(value(&s, "ride.unit_rear.machine_kg"), machine, 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.unit_rear.machine_unsprung_kg"), machine, 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.drive.drive_kg"), machine + gears, 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.drive.unsprung_kg"), 840 + machine + gears, 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.front.unsprung_kg"), 620, 1e-9);
    end(&s);
}
END_TEST

START_TEST(a_chassis_motor_is_sprung_and_its_propeller_shaft_half)
{
    scene s = loaded("tractor-4x2-central.yaml", NULL);
    find(&s);
    ck_assert_double_eq_tol(value(&s, "ride.unit_rear.machine_unsprung_kg"), 0, 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.drive.drive_kg"), 75 / 2.0 + 200, 1e-9);
    end(&s);
}
END_TEST

START_TEST(the_stated_share_of_the_machine_is_unsprung)
{
    scene s = loaded("tractor-4x2-eaxle.yaml", "drive_units.rear.unsprung_share=0.85");
    find(&s);
    ck_assert_double_eq_tol(value(&s, "ride.unit_rear.machine_unsprung_kg"), 0.85 * 428, 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.drive.drive_kg"), 0.85 * 428 + 210, 1e-9);
    end(&s);
}
END_TEST

START_TEST(sprung_and_unsprung_are_what_the_axle_carries)
{
    scene s = loaded("tractor-4x2-eaxle.yaml", NULL);
    find(&s);
    ck_assert_double_eq_tol(value(&s, "ride.drive.sprung_kg") + value(&s, "ride.drive.unsprung_kg"),
                            s.rig->axle[1].load.cosine_kg, 1e-6);
    ck_assert_double_eq_tol(value(&s, "ride.front.sprung_kg") + value(&s, "ride.front.unsprung_kg"),
                            s.rig->axle[0].load.cosine_kg, 1e-6);
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ figures */

/* Written anew, without the law of the program: white noise in closed form, which counts what lies above the band. */
START_TEST(figures_are_those_of_white_noise_but_for_what_lies_beyond_the_band)
{
    scene s = loaded("tractor-4x2-eaxle.yaml", NULL);
    s.ask.unevenness = EVN_UNEVENNESS_B;
    s.ask.speed_km_h = 90;
    find(&s);
    const double pi = acos(-1);
    double load = s.rig->axle[1].load.cosine_kg, mu = (840 + 428 + 210) / 2.0, ms = load / 2 - mu, all = ms + mu;
    double k = ms * pow(2 * pi * 1.4, 2), c = 20e3, kt = 2 * 900e3, half = pi * pi * 64e-6 * 0.01 * 25;
    double body = sqrt(half / (ms * ms) * (k * k * all / c + c * kt)), travel = sqrt(half * all / c);
    double tyre = sqrt(half * (k * k * pow(all, 3) / (c * ms * ms) - 2 * mu * kt * k * all / (c * ms) +
                               mu * kt * kt / c + kt * c * all * all / (ms * ms)));
    ck_assert_double_eq_tol(value(&s, "ride.drive.body_m_s2") / body, 1, 0.02);
    ck_assert_double_eq_tol(value(&s, "ride.drive.travel_mm") / (1000 * travel), 1, 0.02);
    ck_assert_double_eq_tol(value(&s, "ride.drive.tyre_kn") / (2 * tyre / 1000), 1, 0.02);
    double dlc = value(&s, "ride.drive.load_coefficient");
    ck_assert_double_eq_tol(dlc, value(&s, "ride.drive.tyre_kn") * 1000 / (load * s.rig->gravity_m_s2), 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.drive.stress_factor"), 1 + 6 * dlc * dlc + 3 * pow(dlc, 4), 1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.drive.wear"), pow(load / 10000, 4) * value(&s, "ride.drive.stress_factor"),
                            1e-9);
    ck_assert_double_eq_tol(value(&s, "ride.unit_rear.mounting_kn"), 428 * value(&s, "ride.drive.own_m_s2") / 1000,
                            1e-9);
    end(&s);
}
END_TEST

START_TEST(a_machine_at_the_frame_is_shaken_as_the_body_above_its_axle)
{
    scene s = loaded("tractor-4x2-central.yaml", NULL);
    find(&s);
    ck_assert_double_eq(value(&s, "ride.unit_rear.shake_m_s2"), value(&s, "ride.drive.body_m_s2"));
    ck_assert_double_lt(value(&s, "ride.unit_rear.shake_m_s2"), 0.5 * value(&s, "ride.drive.own_m_s2"));
    end(&s);
}
END_TEST

/* Of what moves as body and wheel do at one frequency: by complex amplitudes, written anew. */
START_TEST(what_hangs_between_wheel_and_body_moves_as_their_sum_with_its_phase)
{
    const evn_quarter q = {4500, 450, 600e3, 25e3, 2e6, 600};
    for (double hz = 0.3; hz < 60; hz *= 1.7) {
        double gain2[EVN_RIDES];
        evn_quarter_gain2(&q, hz, gain2);
        double w4 = pow(2 * 3.14159265358979323846 * hz, 4);
        ck_assert_double_eq_tol(evn_quarter_between_gain2(&q, 0, hz) / gain2[EVN_RIDE_BODY], 1, 1e-12);
        ck_assert_double_eq_tol(evn_quarter_between_gain2(&q, 1, hz) / gain2[EVN_RIDE_WHEEL], 1, 1e-12);
        for (double share = 0.1; share < 1; share += 0.2) {
            /* |s a + (1 - s) b|^2 = s |a|^2 + (1 - s) |b|^2 - s (1 - s) |a - b|^2; a - b is the travel's */
            double right = share * gain2[EVN_RIDE_WHEEL] + (1 - share) * gain2[EVN_RIDE_BODY] -
                           share * (1 - share) * w4 * gain2[EVN_RIDE_TRAVEL];
            ck_assert_double_eq_tol(evn_quarter_between_gain2(&q, share, hz) / right, 1, 1e-9);
        }
    }
}
END_TEST

START_TEST(the_force_on_a_mounting_goes_evenly_from_the_frame_to_the_axle)
{
    static const char *const set[] = {"drive_units.rear.unsprung_share=0", "drive_units.rear.unsprung_share=0.01",
                                      "drive_units.rear.unsprung_share=0.99", "drive_units.rear.unsprung_share=1"};
    double kn[4];
    for (size_t k = 0; k < 4; k++) {
        scene s = loaded("tractor-4x2-eaxle.yaml", set[k]);
        find(&s);
        double machine_kg = value(&s, "ride.unit_rear.machine_kg");
        kn[k] = value(&s, "ride.unit_rear.mounting_kn");
        ck_assert_double_eq_tol(kn[k], machine_kg * value(&s, "ride.unit_rear.shake_m_s2") / 1e3, 1e-9);
        if (k == 0)
            ck_assert_double_eq_tol(kn[k], machine_kg * value(&s, "ride.drive.body_m_s2") / 1e3, 1e-9);
        end(&s);
    }
    ck_assert_double_eq_tol(kn[1] / kn[0], 1, 0.05);
    ck_assert_double_eq_tol(kn[2] / kn[3], 1, 0.05);
    ck_assert_double_gt(kn[3], 3 * kn[0]);
}
END_TEST

START_TEST(more_unsprung_mass_of_a_truck_raises_its_tyre_load_and_calms_its_axle)
{
    double tyre_kn = 0, own_m_s2 = (double)INFINITY;
    for (int share = 0; share <= 4; share++) {
        char set[80];
        snprintf(set, sizeof set, "drive_units.rear.unsprung_share=%g", share / 4.0);
        scene s = loaded("tractor-4x2-eaxle.yaml", set);
        find(&s);
        ck_assert_double_gt(value(&s, "ride.drive.tyre_kn"), tyre_kn);
        ck_assert_double_lt(value(&s, "ride.drive.own_m_s2"), own_m_s2);
        tyre_kn = value(&s, "ride.drive.tyre_kn");
        own_m_s2 = value(&s, "ride.drive.own_m_s2");
        ck_assert_double_gt(value(&s, "ride.drive.drive_tyre_percent"), 0);
        ck_assert_double_lt(value(&s, "ride.drive.drive_own_percent"), 0);
        end(&s);
    }
}
END_TEST

START_TEST(at_the_fastest_speed_the_tyre_load_is_a_third_and_beyond_it_figures_are_marked)
{
    scene s = loaded("tractor-4x2-central.yaml", NULL);
    s.ask.unevenness = EVN_UNEVENNESS_E;
    s.ask.ride_to_hz = 1000;
    find(&s);
    double fastest = value(&s, "ride.drive.fastest_km_h");
    ck_assert(fastest > 1 && fastest < 149);
    s.ask.speed_km_h = fastest;
    find(&s);
    ck_assert_double_eq_tol(value(&s, "ride.drive.load_coefficient"), 1.0 / 3, 1e-6);
    s.ask.speed_km_h = 1.05 * fastest;
    find(&s);
    ck_assert_ptr_nonnull(strstr(figure(&s, "ride.drive.load_coefficient").why, "not valid"));
    ck_assert_str_eq(figure(&s, "ride.drive.body_m_s2").why, "not valid");
    s.ask.speed_km_h = 0.95 * fastest;
    find(&s);
    ck_assert_ptr_null(figure(&s, "ride.drive.load_coefficient").why);
    ck_assert_double_eq_tol(value(&s, "ride.drive.fastest_km_h"), fastest, 1e-6);
    double front = value(&s, "ride.front.fastest_km_h");
    ck_assert_double_eq(value(&s, "ride.truck.fastest_km_h"), fmin(front, value(&s, "ride.drive.fastest_km_h")));
    end(&s);
}
END_TEST

START_TEST(without_a_suspension_the_key_is_named_and_masses_still_come)
{
    scene s = loaded("tractor-4x2-eaxle.yaml", NULL);
    evn_truck_free(s.truck);
    s.truck = NULL;
    char path[1024];
    snprintf(path, sizeof path, "%s/" TRUCKS "tractor-4x2-eaxle.yaml",
             getenv("EVENER_SOURCE") ? getenv("EVENER_SOURCE") : ".");
    ck_assert_int_eq(evn_truck_load(path, &s.truck, s.report), EVN_DONE);
    find(&s);
    ck_assert(isnan(value(&s, "ride.drive.body_m_s2")) && isnan(value(&s, "ride.truck.fastest_km_h")));
    ck_assert_str_eq(figure(&s, "ride.drive.body_m_s2").why, "not known: axles.drive.suspension is not stated");
    ck_assert_double_gt(value(&s, "ride.drive.unsprung_kg"), 840);
    end(&s);
}
END_TEST

START_TEST(over_time_the_linear_figures_come_again_where_nothing_leaves_its_range)
{
    scene s = loaded("tractor-4x2-central.yaml", NULL);
    s.ask.unevenness = EVN_UNEVENNESS_B;
    s.ask.speed_km_h = 60;
    s.ask.ride_to_hz = 1000;
    s.ask.over_time = true;
    find(&s);
    ck_assert_double_eq(value(&s, "ride.drive_over_time.off_ground_percent"), 0);
    ck_assert_double_eq_tol(value(&s, "ride.drive_over_time.body_time_m_s2") / value(&s, "ride.drive.body_m_s2"), 1,
                            0.005);
    ck_assert_double_eq_tol(value(&s, "ride.drive_over_time.own_time_m_s2") / value(&s, "ride.drive.own_m_s2"), 1,
                            0.005);
    s.ask.unevenness = EVN_UNEVENNESS_F;
    find(&s);
    ck_assert_double_gt(value(&s, "ride.drive_over_time.off_ground_percent"), 1);
    end(&s);
}
END_TEST

/* Slow rides over a good road, where the waves that shake the axle are small beside those that it follows. */
START_TEST(over_time_an_axle_is_shaken_as_by_frequency_at_low_speed_too)
{
    static const double speeds_km_h[] = {10, 20, 40};
    static const char *const axles[] = {"front", "drive"}, *const of[] = {"body", "own"};
    scene s = loaded("tractor-4x2-central.yaml", NULL);
    s.ask.unevenness = EVN_UNEVENNESS_A;
    s.ask.ride_to_hz = 1000;
    s.ask.over_time = true;
    for (int k = 0; k < 3; k++) {
        s.ask.speed_km_h = speeds_km_h[k];
        find(&s);
        for (int i = 0; i < 4; i++) {
            char by_time[64], linear[64];
            snprintf(by_time, sizeof by_time, "ride.%s_over_time.%s_time_m_s2", axles[i / 2], of[i % 2]);
            snprintf(linear, sizeof linear, "ride.%s.%s_m_s2", axles[i / 2], of[i % 2]);
            double share = value(&s, by_time) / value(&s, linear) - 1;
            ck_assert_msg(fabs(share) < 0.005, "%s at %g km/h: %+.2f %%", by_time, speeds_km_h[k], 100 * share);
        }
    }
    end(&s);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ routes */

static evn_list list_of(const double *at, size_t count) { return (evn_list){at, count}; }

START_TEST(a_route_is_its_times_on_its_surfaces)
{
    static const double time_s[] = {0, 100}, speed_km_h[] = {72, 72}, place_m[] = {1000};
    static const char *const classes[] = {"E", NULL};
    const evn_speed_file speed = {.time_s = list_of(time_s, 2), .speed_km_h = list_of(speed_km_h, 2)};
    const evn_surface_file surface = {.place_m = list_of(place_m, 1), .unevenness = {classes, 1}};
    const evn_cycle_file cycle = {
        .name = "two surfaces", .length_m = (double)NAN, .speed = &speed, .surface = &surface};
    const evn_quarter q = {4500, 450, 600e3, 25e3, 2e6, 0};
    evn_report *report = evn_report_new();
    evn_ride_route r;
    ck_assert(evn_ride_route_of(&cycle, NULL, &r, report));
    ck_assert_double_eq_tol(r.time_s, 100, 1e-6);
    ck_assert_double_eq_tol(r.way_m, 2000, 1e-6);
    ck_assert_double_eq_tol(r.roughest_m3, 4096e-6, 1e-12);
    evn_ride_route smooth = evn_ride_track(64e-6, 20, 50), rough = evn_ride_track(4096e-6, 20, 50);
    evn_ride_result all = evn_ride_along(&r, &q, 80), of_smooth = evn_ride_along(&smooth, &q, 80),
                    of_rough = evn_ride_along(&rough, &q, 80);
    for (int k = 0; k < EVN_RIDES; k++) {
        double mean = sqrt((pow(of_smooth.rms[k], 2) + pow(of_rough.rms[k], 2)) / 2);
        ck_assert_double_eq_tol(all.rms[k] / mean, 1, 1e-9);
        ck_assert_double_eq_tol(all.peak[k] / of_rough.peak[k], 1, 1e-6);
    }
    ck_assert_double_eq_tol(all.worst_tyre_n, of_rough.rms[EVN_RIDE_TYRE], 1e-6 * all.worst_tyre_n);
    evn_report_free(report);
}
END_TEST

START_TEST(a_measured_spectrum_counts_instead_of_classes)
{
    static const double time_s[] = {0, 100}, speed_km_h[] = {72, 72}, place_m[] = {0}, wave_m1[] = {0.001, 10},
                        density_m3[] = {1.28, 1.28e-8};
    const evn_speed_file speed = {.time_s = list_of(time_s, 2), .speed_km_h = list_of(speed_km_h, 2)};
    const evn_spectrum_file spectrum = {.wave_m1 = list_of(wave_m1, 2), .density_m3 = list_of(density_m3, 2)};
    const evn_surface_file surface = {.place_m = list_of(place_m, 1), .spectrum = &spectrum};
    const evn_cycle_file cycle = {.name = "measured", .length_m = (double)NAN, .speed = &speed, .surface = &surface};
    const evn_quarter q = {4500, 450, 600e3, 25e3, 2e6, 0};
    evn_report *report = evn_report_new();
    evn_ride_route r, twice_b = evn_ride_track(128e-6, 20, 100);
    ck_assert(evn_ride_route_of(&cycle, NULL, &r, report));
    evn_ride_result measured = evn_ride_along(&r, &q, 80), right = evn_ride_along(&twice_b, &q, 80);
    for (int k = 0; k < EVN_RIDES; k++)
        ck_assert_double_eq_tol(measured.rms[k] / right.rms[k], 1, 1e-6);
    double fast = evn_quarter_fastest_m_s(&q, 10000, evn_ride_spectrum(&r), r.roughest_m3);
    ck_assert_double_eq_tol(fast, evn_quarter_fastest_m_s(&q, 10000, NULL, 128e-6), 1e-6);
    evn_report_free(report);
}
END_TEST

START_TEST(speeds_weigh_by_the_time_that_they_last)
{
    const evn_quarter q = {4500, 450, 600e3, 25e3, 2e6, 0};
    evn_ride_route slow = evn_ride_track(64e-6, 8, 300), fast = evn_ride_track(64e-6, 24, 100), both = slow;
    for (size_t k = 0; k < EVN_RIDE_CLASSES; k++)
        if (fast.at[k].time_s > 0)
            both.at[k] = fast.at[k];
    both.time_s += fast.time_s;
    both.way_m += fast.way_m;
    evn_ride_result of_slow = evn_ride_along(&slow, &q, 80), of_fast = evn_ride_along(&fast, &q, 80),
                    all = evn_ride_along(&both, &q, 80);
    for (int k = 0; k < EVN_RIDES; k++) {
        double mean = sqrt(0.75 * pow(of_slow.rms[k], 2) + 0.25 * pow(of_fast.rms[k], 2));
        ck_assert_double_eq_tol(all.rms[k] / mean, 1, 1e-9);
    }
}
END_TEST

START_TEST(a_route_that_speeds_up_from_rest_keeps_its_time_and_way)
{
    static const double time_s[] = {0, 10, 50, 60, 90}, speed_km_h[] = {0, 0, 72, 72, 0};
    const evn_speed_file speed = {.time_s = list_of(time_s, 5), .speed_km_h = list_of(speed_km_h, 5)};
    const evn_cycle_file cycle = {.name = "from rest to rest", .length_m = (double)NAN, .speed = &speed};
    evn_report *report = evn_report_new();
    evn_ride_route r;
    ck_assert(evn_ride_route_of(&cycle, NULL, &r, report));
    ck_assert_double_eq_tol(r.time_s, 80, 1e-6);
    ck_assert_double_eq_tol(r.way_m, 400 + 200 + 300, 1e-6);
    ck_assert_double_eq_tol(r.roughest_m3, 64e-6, 1e-12);
    evn_report_free(report);
}
END_TEST

START_TEST(unevenness_is_that_stated_else_that_of_the_kind)
{
    static const double place_m[] = {0, 100, 200}, stated_m3[] = {1e-5, 2e-5, 3e-5};
    static const char *const kinds[] = {"gravel", "soil", "dry", NULL}, *const classes[] = {"A", "H", "C", NULL};
    evn_surface_file f = {.place_m = list_of(place_m, 3), .kind = {kinds, 3}};
    ck_assert_double_eq_tol(evn_unevenness_at_m3(&f, 50), 256e-6, 1e-12);
    ck_assert_double_eq_tol(evn_unevenness_at_m3(&f, 100), 1024e-6, 1e-12);
    ck_assert_double_eq_tol(evn_unevenness_at_m3(&f, 1e4), 64e-6, 1e-12);
    f.unevenness = (evn_text_list){classes, 3};
    ck_assert_double_eq_tol(evn_unevenness_at_m3(&f, 150), 262144e-6, 1e-12);
    f.unevenness_m3 = list_of(stated_m3, 3);
    ck_assert_double_eq_tol(evn_unevenness_at_m3(&f, 150), 2e-5, 1e-15);
    ck_assert_double_eq_tol(evn_unevenness_at_m3(NULL, 0), 64e-6, 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("site ride");
    TCase *masses = tcase_create("masses"), *figures = tcase_create("figures"), *routes = tcase_create("routes");
    tcase_add_test(masses, an_electric_axle_bears_motors_inverters_gearbox_and_gears);
    tcase_add_test(masses, a_chassis_motor_is_sprung_and_its_propeller_shaft_half);
    tcase_add_test(masses, the_stated_share_of_the_machine_is_unsprung);
    tcase_add_test(masses, sprung_and_unsprung_are_what_the_axle_carries);
    tcase_add_test(figures, figures_are_those_of_white_noise_but_for_what_lies_beyond_the_band);
    tcase_add_test(figures, a_machine_at_the_frame_is_shaken_as_the_body_above_its_axle);
    tcase_add_test(figures, what_hangs_between_wheel_and_body_moves_as_their_sum_with_its_phase);
    tcase_add_test(figures, the_force_on_a_mounting_goes_evenly_from_the_frame_to_the_axle);
    tcase_add_test(figures, over_time_an_axle_is_shaken_as_by_frequency_at_low_speed_too);
    tcase_add_test(figures, more_unsprung_mass_of_a_truck_raises_its_tyre_load_and_calms_its_axle);
    tcase_add_test(figures, at_the_fastest_speed_the_tyre_load_is_a_third_and_beyond_it_figures_are_marked);
    tcase_add_test(figures, without_a_suspension_the_key_is_named_and_masses_still_come);
    tcase_add_test(figures, over_time_the_linear_figures_come_again_where_nothing_leaves_its_range);
    tcase_add_test(routes, a_route_is_its_times_on_its_surfaces);
    tcase_add_test(routes, a_measured_spectrum_counts_instead_of_classes);
    tcase_add_test(routes, speeds_weigh_by_the_time_that_they_last);
    tcase_add_test(routes, a_route_that_speeds_up_from_rest_keeps_its_time_and_way);
    tcase_add_test(routes, unevenness_is_that_stated_else_that_of_the_kind);
    suite_add_tcase(suite, masses);
    suite_add_tcase(suite, figures);
    suite_add_tcase(suite, routes);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
