/* Rides over rough roads against published figures and closed forms: classes of roads, the golden car, two masses. */
#include "checked.h"
#include "cycle/surface.h"
#include "site/ride_golden.h"
#include "site/ride_quarter.h"
#include "site/ride_road.h"

static const double PI = 3.14159265358979323846;
#define G_M_S2 9.81

/* ------------------------------------------------------------------------------------------------ roads */

START_TEST(classes_of_roads_have_their_middles)
{
    static const published read = {"ISO 8608:2016, annex; A and B as read in a public text on it", READ_IN_SOURCE};
    static const published memory = {"ISO 8608:2016, annex", FROM_MEMORY};
    static const double middle_m3[] = {16e-6, 64e-6, 256e-6, 1024e-6, 4096e-6, 16384e-6, 65536e-6, 262144e-6};
    for (size_t k = 0; k < sizeof middle_m3 / sizeof *middle_m3; k++) {
        char name = EVN_UNEVENNESS_CLASSES[k];
        check_value(k < 2 ? &read : &memory, evn_unevenness_of_class_m3(name), RELATIVE, middle_m3[k], 1e-12, "m3",
                    "unevenness of class %c", name);
    }
    ck_assert(isnan(evn_unevenness_of_class_m3('I')) && isnan(evn_unevenness_of_class_m3('\0')));
}
END_TEST

/* A below 32, B 32 to 128, C 128 to 512 and so on, in 1e-6 m3: each middle is the geometric mean of its limits. */
START_TEST(classes_of_roads_reach_from_half_to_twice_their_middles)
{
    static const published from = {"ISO 8608:2016, annex: limits of the classes", FROM_MEMORY};
    static const double limit_m3[] = {32e-6, 128e-6, 512e-6, 2048e-6, 8192e-6, 32768e-6, 131072e-6};
    for (size_t k = 0; k < sizeof limit_m3 / sizeof *limit_m3; k++) {
        char below = EVN_UNEVENNESS_CLASSES[k], above = EVN_UNEVENNESS_CLASSES[k + 1];
        double mean_m3 = sqrt(evn_unevenness_of_class_m3(below) * evn_unevenness_of_class_m3(above));
        check_value(&from, mean_m3, RELATIVE, limit_m3[k], 1e-12, "m3", "limit between classes %c and %c", below,
                    above);
        ck_assert_int_eq(evn_class_of_unevenness(limit_m3[k] * (1 - 1e-9)), below);
        ck_assert_int_eq(evn_class_of_unevenness(limit_m3[k] * (1 + 1e-9)), above);
        ck_assert_int_eq(evn_class_of_unevenness(evn_unevenness_of_class_m3(below)), below);
    }
    ck_assert(evn_class_of_unevenness(1e-9) == 'A' && evn_class_of_unevenness(10) == 'H');
}
END_TEST

START_TEST(rms_height_within_the_band_is_that_printed_with_the_classes)
{
    static const published from = {"column sigma_q of the class table (GB/T 7031, ISO 8608)", FROM_MEMORY};
    static const double rms_mm[] = {3.81, 7.61, 15.23, 30.45, 60.90, 121.81, 243.61, 487.22};
    for (size_t k = 0; k < sizeof rms_mm / sizeof *rms_mm; k++) {
        char name = EVN_UNEVENNESS_CLASSES[k];
        double m = evn_road_band_rms_m(evn_unevenness_of_class_m3(name), EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1);
        check_value(&from, 1000 * m, RELATIVE, rms_mm[k], 1e-3, "mm", "RMS height of class %c", name);
    }
}
END_TEST

START_TEST(slope_density_is_flat)
{
    static const published from = {"4 pi2 n0^2 Gd", CLOSED_FORM};
    check_value(&from, evn_road_slope_density_m(16e-6), RELATIVE, 6.317e-6, 1e-4, "m", "slope density of class A");
    check_value(&from, evn_road_slope_density_m(256e-6), RELATIVE, 1.0107e-4, 1e-4, "m", "slope density of class C");
    for (double n = 0.01; n < 5; n *= 3)
        ck_assert_double_eq_tol(4 * PI * PI * n * n * evn_road_density_m3(16e-6, n), evn_road_slope_density_m(16e-6),
                                1e-15);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the golden car */

static const published sayers = {"Sayers, Gillespie, Queiroz, World Bank TP-45 and TP-46, 1986, as read in public code",
                                 READ_IN_SOURCE};
static const published golden_numbers = {"golden car of ASTM E1926", RECOMPUTED};

START_TEST(the_golden_car_has_its_numbers)
{
    const evn_quarter *q = &evn_golden_car;
    static const published from = {"ASTM E1926, as read in a public explanation of the index", READ_IN_SOURCE};
    check_value(&from, q->tyre_n_m / q->sprung_kg, RELATIVE, 653, 1e-12, "1/s2", "golden car: tyre over sprung mass");
    check_value(&from, q->spring_n_m / q->sprung_kg, RELATIVE, 63.3, 1e-12, "1/s2", "golden car: spring");
    check_value(&from, q->damper_n_s_m / q->sprung_kg, RELATIVE, 6, 1e-12, "1/s", "golden car: damper");
    check_value(&from, q->unsprung_kg / q->sprung_kg, RELATIVE, 0.15, 1e-12, "1", "golden car: unsprung mass");
    check_value(&from, EVN_GOLDEN_SPEED_M_S * 3.6, RELATIVE, 80, 1e-12, "km/h", "golden car: speed");
}
END_TEST

typedef struct printed {
    double apart_m, transition[4][4], response[4], tolerance, first_response_tolerance;
} printed;

static void check_step(const printed *p)
{
    evn_quarter_step step = evn_quarter_step_of(&evn_golden_car, p->apart_m / EVN_GOLDEN_SPEED_M_S);
    for (int i = 0; i < 4; i++) {
        for (int j = 0; j < 4; j++)
            check_value(&sayers, step.transition[i][j], RELATIVE, p->transition[i][j], p->tolerance, "1",
                        "golden car, %g m: transition %d,%d", p->apart_m, i + 1, j + 1);
        check_value(&sayers, step.response[i], RELATIVE, p->response[i],
                    i == 0 ? p->first_response_tolerance : p->tolerance, "1", "golden car, %g m: response %d",
                    p->apart_m, i + 1);
    }
}

START_TEST(the_golden_car_steps_250_mm_as_printed)
{
    check_step(&(printed){0.25,
                          {{.9966071, .01091514, -.002083274, .0003190145},
                           {-.5563044, .9438768, -.8324718, .05064701},
                           {.02153176, .002126763, .7508714, .008221888},
                           {3.335013, .3376467, -39.12762, .4347564}},
                          {.005476107, 1.388776, .2275968, 35.79262},
                          1e-6,
                          2e-5});
}
END_TEST

START_TEST(the_golden_car_steps_100_mm_as_printed)
{
    check_step(&(printed){0.1,
                          {{.9994014, .004442351, .0002188854, 5.72179e-5},
                           {-.2570548, .975036, .007966216, .02458427},
                           {.003960378, .0003814527, .9548048, .004055587},
                           {1.687312, .1638951, -19.34264, .7948701}},
                          {.0003793992, .2490886, .04123478, 17.65532},
                          2e-6,
                          8e-4});
}
END_TEST

START_TEST(the_golden_car_has_its_modes)
{
    static const published from = {"roots of mu w4 - (k1 + k2 + mu k2) w2 + k1 k2", CLOSED_FORM};
    double body_hz, wheel_hz;
    evn_quarter_modes_hz(&evn_golden_car, &body_hz, &wheel_hz);
    check_value(&from, body_hz, RELATIVE, 1.2083, 1e-4, "Hz", "golden car: mode of the body");
    check_value(&from, wheel_hz, RELATIVE, 11.0047, 1e-4, "Hz", "golden car: mode of the wheel");
}
END_TEST

/* Rate of the travel over the slope of a sine road: that of the travel over its height. */
static double slope_gain(double wave_m)
{
    double gain2[EVN_RIDES];
    evn_quarter_gain2(&evn_golden_car, EVN_GOLDEN_SPEED_M_S / wave_m, gain2);
    return sqrt(gain2[EVN_RIDE_TRAVEL]);
}

static double wave_of_most_gain(double from_m, double to_m)
{
    double best_m = from_m;
    for (double wave_m = from_m; wave_m < to_m; wave_m *= 1.0001)
        if (slope_gain(wave_m) > slope_gain(best_m))
            best_m = wave_m;
    return best_m;
}

START_TEST(the_golden_car_answers_waves_of_2_and_16_m_most)
{
    double shorter = wave_of_most_gain(1, 5), longer = wave_of_most_gain(8, 40);
    check_value(&golden_numbers, slope_gain(shorter), RELATIVE, 1.6765, 1e-3, "1", "slope gain, first maximum");
    check_value(&golden_numbers, slope_gain(longer), RELATIVE, 1.5376, 1e-3, "1", "slope gain, second maximum");
    check_value(&golden_numbers, shorter, RELATIVE, 2.292337, 1e-2, "m", "wave of the first maximum");
    check_value(&golden_numbers, longer, RELATIVE, 15.776871, 1e-2, "m", "wave of the second maximum");
}
END_TEST

enum { SINE_POINTS = 60000 };
static double iri_of_sine(double wave_m, double apart_m)
{
    static double height_m[SINE_POINTS];
    for (size_t i = 0; i < SINE_POINTS; i++)
        height_m[i] = 0.001 * sin(2 * PI * (double)i * apart_m / wave_m);
    return evn_iri_m_km(height_m, SINE_POINTS, apart_m, SINE_POINTS / 2);
}

START_TEST(the_index_of_sines_is_that_of_their_gain)
{
    static const double wave_m[] = {2, 5, 10, 15, 20, 30}, iri[] = {3.0671, 0.9357, 0.5039, 0.4073, 0.2468, 0.0606};
    for (size_t k = 0; k < sizeof wave_m / sizeof *wave_m; k++) {
        double by_gain = 1000 * (2 / PI) * (2 * PI * 0.001 / wave_m[k]) * slope_gain(wave_m[k]);
        check_value(&golden_numbers, by_gain, RELATIVE, iri[k], 1e-3, "m/km", "index of a sine of %g m by its gain",
                    wave_m[k]);
        check_value(&golden_numbers, iri_of_sine(wave_m[k], 0.02), RELATIVE, iri[k], 1e-3, "m/km",
                    "index of a sine of %g m, step by step", wave_m[k]);
    }
}
END_TEST

START_TEST(the_index_of_classes_is_the_published_relation)
{
    static const published from = {"Kropac and Mucka: IRI = 2.21 sqrt(C), C in 1e-6 m3 at 1 rad/m", FROM_MEMORY};
    static const double iri[] = {2.219, 4.438, 8.876, 17.75};
    for (size_t k = 0; k < sizeof iri / sizeof *iri; k++) {
        char name = EVN_UNEVENNESS_CLASSES[k];
        check_value(&from, evn_road_iri_m_km(evn_unevenness_of_class_m3(name)), RELATIVE, iri[k], 2e-2, "m/km",
                    "index of class %c", name);
    }
}
END_TEST

START_TEST(a_measured_spectrum_that_is_a_class_has_its_index_and_its_rides)
{
    static const published from = {"index of white slope, by the spectrum of the travel rate", CLOSED_FORM};
    static const double wave_m1[] = {1e-4, 0.1, 90}, density_m3[] = {64, 64e-6, 64e-6 / 810000};
    const evn_spectrum as_class = {wave_m1, density_m3, 3, NULL};
    const evn_quarter truck = {4500, 450, 600e3, 25e3, 2e6, 500};
    evn_moments measured[EVN_RIDES], of_class[EVN_RIDES];
    check_value(&from, evn_spectrum_iri_m_km(&as_class), RELATIVE, evn_road_iri_m_km(64e-6), 1e-3, "m/km",
                "index of class B as if measured");
    evn_quarter_on_spectrum(&truck, &as_class, 1, 20, evn_band_of_road(20), measured);
    evn_quarter_on_road(&truck, 64e-6, 20, evn_band_of_road(20), of_class);
    for (int r = 0; r < EVN_RIDES; r++)
        ck_assert_double_eq_tol(measured[r].rms / of_class[r].rms, 1, 1e-9);
    ck_assert(evn_spectrum_density_m3(&as_class, 5e-5) == 0 && evn_spectrum_density_m3(&as_class, 91) == 0);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ two masses */

static const published two_masses = {
    "quarter car on white noise: Hedrick; Scheibe and Smith, Veh. Syst. Dyn. 47, 2009; "
    "Turkay and Akcay, J. Sound Vib. 282, 2005",
    RECOMPUTED};
static const evn_quarter car = {240, 36, 16e3, 980, 160e3, 0};
static const evn_band all_frequencies = {1e-4, 2e5};

START_TEST(a_car_on_class_b_has_the_published_forms)
{
    double rms[EVN_RIDES];
    evn_quarter_white_rms(&car, 64e-6, 20, rms);
    check_value(&two_masses, rms[EVN_RIDE_BODY], RELATIVE, 0.70854, 1e-4, "m/s2", "car: body acceleration");
    check_value(&two_masses, 1000 * rms[EVN_RIDE_TRAVEL], RELATIVE, 5.9648, 1e-4, "mm", "car: suspension travel");
    check_value(&two_masses, rms[EVN_RIDE_TYRE], RELATIVE, 360.17, 1e-4, "N", "car: dynamic tyre load");
    check_value(&two_masses, rms[EVN_RIDE_TYRE] / (G_M_S2 * 276), RELATIVE, 0.1330229, 1e-4, "1",
                "car: dynamic load coefficient");
}
END_TEST

START_TEST(integrals_of_the_spectra_agree_with_the_closed_forms)
{
    static const char *const names[] = {"body acceleration", "suspension travel", "dynamic tyre load"};
    evn_moments by_frequency[EVN_RIDES], cut[EVN_RIDES];
    double rms[EVN_RIDES];
    evn_quarter_white_rms(&car, 64e-6, 20, rms);
    evn_quarter_on_road(&car, 64e-6, 20, all_frequencies, by_frequency);
    evn_quarter_on_road(&car, 64e-6, 20, (evn_band){1e-3, 2000}, cut);
    for (int r = EVN_RIDE_BODY; r <= EVN_RIDE_TYRE; r++) {
        check_value(&two_masses, by_frequency[r].rms, RELATIVE, rms[r], 1e-5, "SI", "car: %s, integral", names[r]);
        check_value(&two_masses, cut[r].rms, RELATIVE, rms[r], 1e-3, "SI", "car: %s, integral to 2 kHz", names[r]);
    }
}
END_TEST

START_TEST(more_unsprung_mass_raises_the_dynamic_tyre_load_of_a_truck_as_recomputed)
{
    static const struct {
        double unsprung_kg, body_m_s2, travel_mm, tyre_n, dlc;
    } expected[] = {{450, 0.8698, 5.001, 4651, 0.0957787}, {650, 0.8801, 5.101, 4966, 0.0982935}};
    double tyre_n[2], body[2];
    for (int k = 0; k < 2; k++) {
        const evn_quarter q = {4500, expected[k].unsprung_kg, 600e3, 25e3, 2e6, 0};
        double rms[EVN_RIDES], kg = expected[k].unsprung_kg;
        evn_quarter_white_rms(&q, 64e-6, 20, rms);
        check_value(&two_masses, rms[EVN_RIDE_BODY], RELATIVE, expected[k].body_m_s2, 1e-4, "m/s2",
                    "truck, %g kg unsprung: body acceleration", kg);
        check_value(&two_masses, 1000 * rms[EVN_RIDE_TRAVEL], RELATIVE, expected[k].travel_mm, 1e-4, "mm",
                    "truck, %g kg unsprung: suspension travel", kg);
        check_value(&two_masses, rms[EVN_RIDE_TYRE], RELATIVE, expected[k].tyre_n, 1e-4, "N",
                    "truck, %g kg unsprung: dynamic tyre load", kg);
        check_value(&two_masses, rms[EVN_RIDE_TYRE] / (G_M_S2 * (4500 + kg)), RELATIVE, expected[k].dlc, 1e-4, "1",
                    "truck, %g kg unsprung: dynamic load coefficient", kg);
        tyre_n[k] = rms[EVN_RIDE_TYRE];
        body[k] = rms[EVN_RIDE_BODY];
    }
    check_value(&two_masses, 100 * (tyre_n[1] / tyre_n[0] - 1), ABSOLUTE, 6.8, 0.05, "%", "200 kg more: tyre load");
    check_value(&two_masses, 100 * (body[1] / body[0] - 1), ABSOLUTE, 1.2, 0.05, "%", "200 kg more: body");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ wear, springs */

START_TEST(road_stress_factor_is_eisenmanns)
{
    static const published from = {"Eisenmann; OECD DIVINE report: 1 + 6 s2 + 3 s4", FROM_MEMORY};
    check_value(&from, evn_road_stress_factor(0.1), RELATIVE, 1.0603, 1e-6, "1", "road-stress factor of 0.1");
    check_value(&from, evn_road_stress_factor(0.2), RELATIVE, 1.2448, 1e-6, "1", "road-stress factor of 0.2");
    check_value(&from, evn_road_stress_factor(0.3), RELATIVE, 1.5643, 1e-6, "1", "road-stress factor of 0.3");
}
END_TEST

START_TEST(axle_damage_goes_with_the_fourth_power)
{
    static const published from = {"AASHO road test, rule of the fourth power", FROM_MEMORY};
    check_value(&from, evn_axle_damage(11.5, 10), RELATIVE, 1.749, 1e-4, "1", "11.5 t over 10 t");
    check_value(&from, evn_axle_damage(11.5, 8.164663), RELATIVE, 3.93585, 1e-4, "1", "11.5 t over 18 000 lb");
}
END_TEST

/* On a wheel that is hardly there and a tyre that hardly gives. */
static double peak_ratio(double damping_ratio)
{
    double hz, by_peaks, omega = 2 * PI * 1.5;
    const evn_quarter q = {1000, 1e-3, 1000 * omega * omega, 2 * damping_ratio * omega * 1000, 1e12, 0};
    ck_assert(evn_quarter_body_free(&q, &hz, &by_peaks));
    return exp(2 * PI * by_peaks);
}

START_TEST(what_is_as_good_as_air_follows_the_directive)
{
    static const published read = {"Directive 96/53/EC, Annex II, points 2.1 to 2.5", READ_IN_SOURCE};
    static const published worked = {"Directive 96/53/EC, Annex II: D = ln(A1/A2)/2 pi", RECOMPUTED};
    check_value(&read, EVN_LIKE_AIR_MOST_HZ, ABSOLUTE, 2.0, 0, "Hz", "as good as air: highest frequency");
    check_value(&read, EVN_LIKE_AIR_LEAST_DAMPING, ABSOLUTE, 0.2, 0, "1", "as good as air: damping above");
    check_value(&read, EVN_LIKE_AIR_MOST_WITHOUT, ABSOLUTE, 0.5, 0, "1", "as good as air: damping without dampers");
    check_value(&worked, peak_ratio(0.2 / sqrt(1 + 0.04)), RELATIVE, 3.5136, 1e-5, "1",
                "first peaks at D = 0.2 of the directive");
    check_value(&worked, peak_ratio(0.2), RELATIVE, 3.6058, 1e-4, "1", "first peaks at 0.2 of critical damping");
}
END_TEST

/* By the directive's figures: of one mass on a stiff tyre the damping goes with what damps. */
START_TEST(springs_are_as_good_as_air_by_all_three_figures)
{
    static const published worked = {"one mass on a damped spring: D = zeta/sqrt(1 - zeta^2)", CLOSED_FORM};
    const double omega = 2 * PI * 1.5, zeta = 0.25;
    const evn_quarter q = {1000, 1e-3, 1000 * omega * omega, 2 * zeta * omega * 1000, 1e12, 0};
    double right = 0.4 * sqrt((1 - zeta * zeta) / (1 - 0.16 * zeta * zeta));
    check_value(&worked, evn_quarter_damping_without(&q, 0.6), RELATIVE, right, 1e-5, "1",
                "damping without dampers that bring 0.6, over that with them");
    ck_assert_double_eq_tol(evn_quarter_damping_without(&q, 1), 0, 1e-9);
    ck_assert_double_eq_tol(evn_quarter_damping_without(&q, 0), 1, 1e-9);
    ck_assert(isnan(evn_quarter_damping_without(&q, (double)NAN)));
    ck_assert_int_eq(evn_springs_like_air(2.0, 0.21, 0.5), EVN_LIKE_AIR_YES);
    ck_assert_int_eq(evn_springs_like_air(2.01, 0.21, 0.5), EVN_LIKE_AIR_NO);
    ck_assert_int_eq(evn_springs_like_air(2.0, 0.2, 0.5), EVN_LIKE_AIR_NO);
    ck_assert_int_eq(evn_springs_like_air(2.0, 0.21, 0.51), EVN_LIKE_AIR_NO);
    ck_assert_int_eq(evn_springs_like_air(2.0, 0.21, (double)NAN), EVN_LIKE_AIR_UNKNOWN);
    ck_assert_int_eq(evn_springs_like_air(2.01, 0.21, (double)NAN), EVN_LIKE_AIR_NO);
}
END_TEST

/* Davenport's approximation of the mean of the largest of N passings, against that mean by integration. */
static double mean_of_largest(double passings)
{
    double mean = 0, last = exp(-passings), step = 1e-4;
    for (double u = step; u < 12; u += step) {
        double below = exp(-passings * exp(-u * u / 2)); /* Poisson passings of a level (Rice) */
        mean += (u - step / 2) * (below - last);
        last = below;
    }
    return mean;
}

START_TEST(expected_peaks_are_those_of_poisson_passings)
{
    static const published from = {"Rice, Bell Syst. Tech. J. 23, 1944; Davenport, Proc. ICE 28, 1964: mean of largest",
                                   FROM_MEMORY};
    static const double time_s[] = {10, 60, 3600};
    for (size_t k = 0; k < sizeof time_s / sizeof *time_s; k++) {
        evn_moments m = {1, 10};
        check_value(&from, evn_expected_peak(&m, time_s[k]), RELATIVE, mean_of_largest(2 * 10 * time_s[k]), 0.01, "1",
                    "expected peak over RMS, 10 Hz, %g s", time_s[k]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride");
    TCase *roads = tcase_create("roads"), *golden = tcase_create("the golden car"),
          *masses = tcase_create("two masses"), *wear = tcase_create("wear and springs");
    tcase_add_test(roads, classes_of_roads_have_their_middles);
    tcase_add_test(roads, classes_of_roads_reach_from_half_to_twice_their_middles);
    tcase_add_test(roads, rms_height_within_the_band_is_that_printed_with_the_classes);
    tcase_add_test(roads, slope_density_is_flat);
    tcase_add_test(golden, the_golden_car_has_its_numbers);
    tcase_add_test(golden, the_golden_car_steps_250_mm_as_printed);
    tcase_add_test(golden, the_golden_car_steps_100_mm_as_printed);
    tcase_add_test(golden, the_golden_car_has_its_modes);
    tcase_add_test(golden, the_golden_car_answers_waves_of_2_and_16_m_most);
    tcase_add_test(golden, the_index_of_sines_is_that_of_their_gain);
    tcase_add_test(golden, a_measured_spectrum_that_is_a_class_has_its_index_and_its_rides);
    tcase_add_test(golden, the_index_of_classes_is_the_published_relation);
    tcase_add_test(masses, a_car_on_class_b_has_the_published_forms);
    tcase_add_test(masses, integrals_of_the_spectra_agree_with_the_closed_forms);
    tcase_add_test(masses, more_unsprung_mass_raises_the_dynamic_tyre_load_of_a_truck_as_recomputed);
    tcase_add_test(wear, road_stress_factor_is_eisenmanns);
    tcase_add_test(wear, axle_damage_goes_with_the_fourth_power);
    tcase_add_test(wear, what_is_as_good_as_air_follows_the_directive);
    tcase_add_test(wear, springs_are_as_good_as_air_by_all_three_figures);
    tcase_add_test(wear, expected_peaks_are_those_of_poisson_passings);
    suite_add_tcase(suite, roads);
    suite_add_tcase(suite, golden);
    suite_add_tcase(suite, masses);
    suite_add_tcase(suite, wear);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
