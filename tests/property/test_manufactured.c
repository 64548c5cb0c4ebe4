/*
 * Motion that is prescribed, and the energy of every ledger line worked out by hand for a simple truck: constant
 * efficiency, loss coefficients, no resistance in the pack. The speed is straight over time, so that all powers are
 * polynomials of the speed; their integrals are written out below.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"

/* Of the truck below. */
static const double MASS_KG = 18000, WHEELS_KG = 6 * 10 / 0.25, RADIUS_M = 0.5, RATIO = 10, ROTOR_KG_M2 = 0.5;
static const double ROLLING = 0.006, HALF_RHO_CDA = 0.5 * 1.2 * 6, G_M_S2 = 9.80665;
static const double EFFICIENCY = 0.96, PEAK_NM = 20000;
static const double C0_W = 300, C1_W_S = 4, C2_W_S2 = 0.03, C3_W_NM2 = 0.004;
static const double INVERTER0_W = 250, INVERTER2_W = 9e5, AUXILIARIES_W = 4000;

#define TRUCK                                                                                                          \
    "body: {mass_kg: 5000}\n"                                                                                          \
    "auxiliaries: {power_kw: 4}\n"                                                                                     \
    "drive_units:\n"                                                                                                   \
    "  rear:\n"                                                                                                        \
    "    motors:\n"                                                                                                    \
    "      a:\n"                                                                                                       \
    "        loss: {constant_w: 300, speed_w_per_rad_s: 4, speed_squared_w_per_rad2_s2: 0.03, "                        \
    "torque_squared_w_per_nm2: 0.004}\n"                                                                               \
    "        inverter: {constant_w: 250, current_w: 0, current_squared_w: 9e5}\n"                                      \
    "    path: [final_drive: {ratio: 10, efficiency: 0.96}]\n"

typedef struct lines { /* J */
    double rolling, air, grade, mesh, motor, inverter, auxiliaries;
    double held; /* of no line: work that the motors took at the tyres while they slowed the truck */
} lines;

static void add(lines *to, lines more)
{
    to->rolling += more.rolling;
    to->air += more.air;
    to->grade += more.grade;
    to->mesh += more.mesh;
    to->motor += more.motor;
    to->inverter += more.inverter;
    to->auxiliaries += more.auxiliaries;
    to->held += more.held;
}

static double sum(const lines *l)
{
    return l->rolling + l->air + l->grade + l->mesh + l->motor + l->inverter + l->auxiliaries;
}

/* Motor torque is K0 + K1 F for a tyre force F: the mesh loses its share of the load, the rotor is beyond it. */
static double torque_per_newton(bool pulling) { return RADIUS_M / RATIO * (pulling ? 1 / EFFICIENCY : EFFICIENCY); }

/* ----------------------------------------------------------------------------------------------- straight over time */

/* Integral of v^n over the time in which v runs from v0 to v1 at an acceleration; at rest over a time. */
static double power_integral(int n, double v0, double v1, double accel, double time_s)
{
    return accel != 0 ? (pow(v1, n + 1) - pow(v0, n + 1)) / ((n + 1) * accel) : pow(v0, n) * time_s;
}

/* One piece of the trace on a level road. F = A + B v^2 with A of one sign. At rest for 30 s the motor rests: nothing.
 */
static lines piece(double v0, double v1, double time_s)
{
    double a = (v1 - v0) / time_s, I[6];
    for (int n = 0; n < 6; n++)
        I[n] = power_integral(n, v0, v1, a, time_s);
    bool moves = v0 > 0 || v1 > 0;
    double roll_n = moves ? ROLLING * MASS_KG * G_M_S2 : 0, A = (MASS_KG + WHEELS_KG) * a + roll_n, B = HALF_RHO_CDA;
    bool pulling = A > 0;
    double k1 = torque_per_newton(pulling), spin_nm = ROTOR_KG_M2 * a * RATIO / RADIUS_M;
    double K0 = spin_nm + k1 * A, K2 = k1 * B; /* torque = K0 + K2 v^2 */
    double torque2 = K0 * K0 * I[0] + 2 * K0 * K2 * I[2] + K2 * K2 * I[4], w = RATIO / RADIUS_M; /* motor speed / v */
    double mesh_share = pulling ? 1 / EFFICIENCY - 1 : -(1 - EFFICIENCY);
    lines out = {.rolling = roll_n * I[1],
                 .air = B * I[3],
                 .mesh = moves ? mesh_share * (A * I[1] + B * I[3]) : 0,
                 .motor = moves ? C0_W * time_s + C1_W_S * w * I[1] + C2_W_S2 * w * w * I[2] + C3_W_NM2 * torque2 : 0,
                 .inverter = moves ? INVERTER0_W * time_s + INVERTER2_W / (PEAK_NM * PEAK_NM) * torque2 : 0,
                 .auxiliaries = AUXILIARIES_W * time_s,
                 .held = moves && !pulling ? -(A * I[1] + B * I[3]) : 0};
    return out;
}

static const double times_s[] = {0, 25, 65, 80, 95, 100, 130, 160}, speeds_km_h[] = {0, 54, 54, 72, 72, 54, 0, 0};
#define TRACE "speed: {time_s: [0, 25, 65, 80, 95, 100, 130, 160], speed_km_h: [0, 54, 54, 72, 72, 54, 0, 0]}\n"

static lines by_hand_of_trace(void)
{
    lines all = {0};
    for (size_t k = 1; k < sizeof times_s / sizeof *times_s; k++)
        add(&all, piece(speeds_km_h[k - 1] / 3.6, speeds_km_h[k] / 3.6, times_s[k] - times_s[k - 1]));
    return all;
}

/* ------------------------------------------------------------------------------------------------ driving */

typedef struct driven {
    lines of;
    double battery_j, balance_error;
} driven;

static driven drive_at(const char *cycle, double accuracy)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], text[2000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/tests/trucks/ideal.yaml\n" TRUCK, here);
    write_file("truck.yaml", text);
    snprintf(text, sizeof text, "name: prescribed\ninvented: true\n%s", cycle);
    write_file("cycle.yaml", text);
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.accuracy = accuracy;
    ask.load_case.air_density_kg_m3 = 1.2;
    drive run = drive_whole(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask, NULL);
    const double j = 3.6e6;
    driven out = {
        {result(&run, "energy_balance.rolling_resistance_kwh") * j, result(&run, "energy_balance.air_drag_kwh") * j,
         result(&run, "energy_balance.potential_kwh") * j, result(&run, "energy_balance.final_drive_losses_kwh") * j,
         result(&run, "energy_balance.motor_losses_kwh") * j, result(&run, "energy_balance.inverter_losses_kwh") * j,
         result(&run, "energy_balance.auxiliaries_kwh") * j, result(&run, "regenerative_braking_kwh") * j},
        result(&run, "battery_kwh") * j,
        result(&run, "balance_error")};
    ck_assert_double_eq_tol(result(&run, "energy_balance.friction_brakes_kwh"), 0, 1e-9);
    ck_assert_double_eq_tol(result(&run, "energy_balance.kinetic_kwh"), 0, 1e-9);
    ck_assert_double_eq_tol(result(&run, "gross_mass_kg"), MASS_KG, 1e-9);
    drive_end(&run);
    return out;
}

static double error_j(const lines *a, const lines *b)
{
    return fabs(a->rolling - b->rolling) + fabs(a->air - b->air) + fabs(a->grade - b->grade) + fabs(a->mesh - b->mesh) +
           fabs(a->motor - b->motor) + fabs(a->inverter - b->inverter) + fabs(a->auxiliaries - b->auxiliaries);
}

static void must_agree(const lines *hand, const driven *run, double relative)
{
    double all = sum(hand);
    const double by_hand[] = {hand->rolling, hand->air,      hand->grade,       hand->mesh,
                              hand->motor,   hand->inverter, hand->auxiliaries, hand->held};
    const double by_run[] = {run->of.rolling, run->of.air,      run->of.grade,       run->of.mesh,
                             run->of.motor,   run->of.inverter, run->of.auxiliaries, run->of.held};
    for (size_t k = 0; k < 8; k++)
        ck_assert_msg(fabs(by_run[k] - by_hand[k]) <= relative * all, "line %zu: %.9g J, by hand %.9g J", k, by_run[k],
                      by_hand[k]);
    ck_assert_double_eq_tol(run->battery_j, all, 7 * relative * all);
}

START_TEST(every_ledger_line_of_a_prescribed_motion_is_that_worked_out_by_hand)
{
    lines hand = by_hand_of_trace();
    driven run = drive_at(TRACE, 1e-9);
    must_agree(&hand, &run, 1e-8);
}
END_TEST

/* Slope of log error over log accuracy, by least squares. */
static double slope(const char *cycle, const lines *hand, double from, double to)
{
    double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
    for (double accuracy = from; accuracy >= 0.99 * to; accuracy /= 10, n++) {
        driven run = drive_at(cycle, accuracy);
        double error = error_j(&run.of, hand), x = log10(accuracy), y = log10(error);
        ck_assert_msg(error < 3 * accuracy * sum(hand), "%g J off at an accuracy of %g", error, accuracy);
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
    }
    return (n * sxy - sx * sy) / (n * sxx - sx * sx);
}

START_TEST(the_error_falls_as_the_tolerance_does)
{
    lines hand = by_hand_of_trace();
    double of_trace = slope(TRACE, &hand, 1e-4, 1e-9);
    ck_assert_msg(of_trace > 0.6 && of_trace < 1.3, "slope %.3f", of_trace);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bends in the road */

/*
 * At a constant speed over a road of straight grade lines. On each the powers are smooth over the place; ten points of
 * Gauss and Legendre integrate them to round-off. Bends that are left to the integrator show: with the ends of road
 * stretches watched but not stopped at, the rolling line is off by 9e-5 of itself at accuracy 1e-9, and this test
 * fails.
 */
static const double place_m[] = {0, 400, 500, 520, 900, 1000, 1300, 1330, 1500, 2000},
                    grade[] = {0, 0, 0.04, 0.04, -0.035, 0, 0, 0.05, 0, 0};
#define ROAD                                                                                                           \
    "road: {place_m: [0, 400, 500, 520, 900, 1000, 1300, 1330, 1500, 2000], grade_percent: [0, 0, 4, 4, -3.5, 0, 0, "  \
    "5, 0, 0]}\n"
#define CONSTANT "speed: {time_s: [0, 100], speed_km_h: [72, 72]}\n" ROAD

static lines at_constant_speed(double v, double tangent, double over_m)
{
    double cosine = 1 / sqrt(1 + tangent * tangent), sine = tangent * cosine, time_s = over_m / v;
    double roll_n = ROLLING * MASS_KG * G_M_S2 * cosine, grade_n = MASS_KG * G_M_S2 * sine;
    double air_n = HALF_RHO_CDA * v * v, force_n = roll_n + grade_n + air_n;
    double nm = force_n * torque_per_newton(force_n > 0), w = RATIO / RADIUS_M * v;
    double mesh = force_n > 0 ? 1 / EFFICIENCY - 1 : -(1 - EFFICIENCY);
    lines out = {roll_n * over_m,
                 air_n * over_m,
                 grade_n * over_m,
                 mesh * force_n * over_m,
                 (C0_W + C1_W_S * w + C2_W_S2 * w * w + C3_W_NM2 * nm * nm) * time_s,
                 (INVERTER0_W + INVERTER2_W * nm * nm / (PEAK_NM * PEAK_NM)) * time_s,
                 AUXILIARIES_W * time_s,
                 fmax(-force_n, 0) * over_m};
    return out;
}

/* Abramowitz and Stegun, table 25.4, n = 10 (from memory; they integrate x^18 exactly, as is tested below). */
static const double gauss_x[] = {0.1488743389816312, 0.4333953941292472, 0.6794095682990244, 0.8650633666889845,
                                 0.9739065285171717},
                    gauss_w[] = {0.2955242247147529, 0.2692667193099963, 0.2190863625159820, 0.1494513491505806,
                                 0.0666713443086881};

/* Where the force changes its sign the mesh bends its share: the two sides are integrated apart. */
static double zero_force_grade(double v)
{
    double roll = ROLLING * MASS_KG * G_M_S2, weight = MASS_KG * G_M_S2, air = HALF_RHO_CDA * v * v, tangent = 0;
    for (int i = 0; i < 50; i++)
        tangent = -(roll + air * sqrt(1 + tangent * tangent)) / weight;
    return tangent;
}

static void add_straight(lines *to, double v, double from_m, double to_m, double begin, double end)
{
    for (int i = 0; i < 5; i++)
        for (int side = -1; side <= 1; side += 2) {
            double at = 0.5 * (1 + side * gauss_x[i]);
            add(to, at_constant_speed(v, begin + at * (end - begin), 0.5 * gauss_w[i] * (to_m - from_m)));
        }
}

static lines by_hand_of_road(void)
{
    lines all = {0};
    double v = 20, flat = zero_force_grade(v);
    for (size_t k = 1; k < sizeof place_m / sizeof *place_m; k++) {
        double a = grade[k - 1], b = grade[k], from = place_m[k - 1], to = place_m[k];
        bool bends = (a > flat) != (b > flat);
        double middle = bends ? from + (to - from) * (flat - a) / (b - a) : to;
        add_straight(&all, v, from, middle, a, bends ? flat : b);
        if (bends)
            add_straight(&all, v, middle, to, flat, b);
    }
    return all;
}

START_TEST(a_road_with_bends_costs_what_is_worked_out_by_hand)
{
    double tenth = 0;
    for (int i = 0; i < 5; i++)
        tenth += 2 * gauss_w[i] * pow(gauss_x[i], 18);
    ck_assert_double_eq_tol(tenth, 2.0 / 19, 1e-14);
    lines hand = by_hand_of_road();
    driven run = drive_at(CONSTANT, 1e-9);
    must_agree(&hand, &run, 2e-7);
    driven rough = drive_at(CONSTANT, 1e-6);
    must_agree(&hand, &rough, 2e-5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("manufactured");
    TCase *motion = tcase_create("motion");
    tcase_add_checked_fixture(motion, folder_begin, folder_end);
    tcase_add_test(motion, every_ledger_line_of_a_prescribed_motion_is_that_worked_out_by_hand);
    tcase_add_test(motion, the_error_falls_as_the_tolerance_does);
    tcase_add_test(motion, a_road_with_bends_costs_what_is_worked_out_by_hand);
    suite_add_tcase(suite, motion);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
