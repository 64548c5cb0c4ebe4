/* What motors, inverters, gears, bearings and joints lose, against figures that are published or in closed form. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "evener/charts.h"
#include "plain_truck.h"
#include "pull/prices.h"

/* ------------------------------------------------------------------------------------------------ a motor on a bench
 */

/* What the chart of a motor says: 41 speeds up to the top one, 41 torques between the peaks. */
enum { STEPS = 40 };

typedef struct bench {
    evn_truck *truck;
    evn_rig *rig;
    evn_chart *chart;
    evn_report *report;
} bench;

static bench bench_of(const char *motor)
{
    char path[PATH_BYTES];
    plain_truck truck = plain_truck_of(20000);
    evn_conditions ask = plain_ask(0);
    bench b = {.report = evn_report_new()};
    truck.motor = motor;
    write_plain_truck(&truck, "bench.yaml");
    ck_assert(evn_truck_load(in_folder(path, "bench.yaml"), &b.truck, b.report) == EVN_DONE);
    ck_assert(evn_rig_prepare(b.truck, &ask.load_case, &b.rig, b.report) == EVN_DONE);
    ck_assert(evn_chart_of_motor(b.rig, 0, &b.chart, b.report) == EVN_DONE);
    return b;
}

static void bench_end(bench *b)
{
    evn_chart_free(b->chart);
    evn_rig_free(b->rig);
    evn_truck_free(b->truck);
    evn_report_free(b->report);
}

/* The row at shares of the top speed and of the peak torque that lie on the chart's grid. */
static const double *bench_row(const bench *b, double speed_share, double torque_share)
{
    double speed = speed_share * STEPS, torque = (torque_share + 1) * STEPS / 2;
    ck_assert_double_eq_tol(speed, round(speed), 1e-9);
    ck_assert_double_eq_tol(torque, round(torque), 1e-9);
    const double *row = evn_chart_row(b->chart, (size_t)round(speed) * (STEPS + 1) + (size_t)round(torque));
    ck_assert_ptr_nonnull(row);
    return row;
}

static double bench_loss_w(const bench *b, double speed_share, double torque_share)
{
    return bench_row(b, speed_share, torque_share)[2] * 1e3;
}

static double bench_efficiency(const bench *b, double speed_share, double torque_share)
{
    return bench_row(b, speed_share, torque_share)[3];
}

/* ------------------------------------------------------------------------------------------------ motors */

/*
 * Loss of a machine with its inverter, in units of T_max w_rated: the sum of k_mn t^m w^n over t = T/T_max and w =
 * n/n_rated, up to w = 4.
 */
typedef struct term {
    double k;
    int by_torque, by_speed;
} term;
enum { TERMS = 8 };
static const term magnets[TERMS] = {{0.018, 2, 0}, {0.001, 2, 1},  {0.03, 2, 2}, {0.0067, 1, 0},
                                    {0.005, 0, 1}, {0.0025, 0, 2}, {0.003, 0, 3}};
static const term others[TERMS] = {{0.1, 2, 0},   {0.03, 2, 1},  {0.03, 2, 2},  {0.01, 1, 0},
                                   {0.001, 1, 2}, {0.003, 0, 0}, {0.001, 0, 2}, {0.001, 0, 3}};
static const published standard_losses = {
    "Regulation (EU) 2022/1379, Annex Xb, Appendix 8: standard losses of electric machines", RECOMPUTED};

static const double rated_nm = 1000, rated_rpm = 1500, top_share = 4;

static double standard_loss_w(const term *law, double t, double w)
{
    double sum = 0;
    for (int i = 0; i < TERMS; i++)
        sum += law[i].k * pow(t, law[i].by_torque) * pow(w, law[i].by_speed);
    return sum * rated_nm * rated_rpm * EVN_RAD_S_PER_RPM;
}

/* A motor with the law as a map; what is checked lies between its points, or at their edge. */
static const char *standard_motor(const term *law, char text[8000])
{
    static const double speeds[] = {0, 0.1, 0.3, 0.6, 0.9, 1.2, 1.6, 2.2, 2.8, 3.4, 4},
                        torques[] = {0, 0.05, 0.15, 0.3, 0.4, 0.6, 0.8, 1};
    char rpm[300] = "", nm[300] = "", loss[6000] = "";
    for (size_t i = 0; i < sizeof speeds / sizeof *speeds; i++) {
        snprintf(rpm + strlen(rpm), sizeof rpm - strlen(rpm), "%s%g", i ? ", " : "", speeds[i] * rated_rpm);
        for (size_t k = 0; k < sizeof torques / sizeof *torques; k++)
            snprintf(loss + strlen(loss), sizeof loss - strlen(loss), "%s%.17g", i + k ? ", " : "",
                     standard_loss_w(law, torques[k], speeds[i]));
    }
    for (size_t k = 0; k < sizeof torques / sizeof *torques; k++)
        snprintf(nm + strlen(nm), sizeof nm - strlen(nm), "%s%g", k ? ", " : "", torques[k] * rated_nm);
    int length =
        snprintf(text, 8000,
                 "peak_torque_nm: %g, peak_power_kw: %.17g, top_speed_rpm: %g, reference_voltage_v: 700, map: "
                 "{speed_rpm: [%s], torque_nm: [%s], loss_w: [%s], includes_inverter: true}",
                 rated_nm, rated_nm * rated_rpm * EVN_RAD_S_PER_RPM / 1e3, top_share * rated_rpm, rpm, nm, loss);
    ck_assert(length > 0 && length < 8000);
    return text;
}

START_TEST(a_map_of_the_standard_losses_has_their_efficiency_between_its_points)
{
    static const struct {
        double w, t, efficiency;
    } of_magnets[] = {{0.2, 0.25, 0.92573}, {0.2, 1, 0.88019}, {1, 0.1, 0.89558}, {1, 0.25, 0.94255},
                      {1, 0.5, 0.95039},    {1, 1, 0.93791},   {2, 0.1, 0.81278}, {2, 0.5, 0.92392},
                      {4, 0.1, 0.60819},    {4, 0.25, 0.77818}},
      of_others[] = {{0.2, 0.25, 0.80311}, {1, 0.1, 0.92851}, {1, 1, 0.85034}, {4, 0.1, 0.81202}};
    char text[8000];
    bench b = bench_of(standard_motor(magnets, text));
    for (size_t i = 0; i < sizeof of_magnets / sizeof *of_magnets; i++)
        check_value(&standard_losses, bench_efficiency(&b, of_magnets[i].w / top_share, of_magnets[i].t), ABSOLUTE,
                    of_magnets[i].efficiency, 1e-3, "1", "permanent magnets, %g of the rated speed, %g of the torque",
                    of_magnets[i].w, of_magnets[i].t);
    /* near rest with little torque the loss bends most between two points: 2.7 % of it are missing */
    check_value(&standard_losses, bench_efficiency(&b, 0.2 / top_share, 0.1), ABSOLUTE, 0.90959, 2.5e-3, "1",
                "permanent magnets, 0.2 of the rated speed, 0.1 of the torque");
    bench_end(&b);
    b = bench_of(standard_motor(others, text));
    for (size_t i = 0; i < sizeof of_others / sizeof *of_others; i++)
        check_value(&standard_losses, bench_efficiency(&b, of_others[i].w / top_share, of_others[i].t), ABSOLUTE,
                    of_others[i].efficiency, 1e-3, "1", "other machines, %g of the rated speed, %g of the torque",
                    of_others[i].w, of_others[i].t);
    bench_end(&b);
}
END_TEST

/* Power at the wheels of a path and at its motor, on a climb or a descent that asks for this torque at the wheels. */
typedef struct passage {
    double motor_nm, motor_rad_s, wheel_w, terminal_w;
    double line_w; /* of one line of the ledger */
} passage;

static passage pass(plain_truck *truck, const char *line, double wheel_nm, double wheel_rad_s)
{
    evn_conditions ask = plain_ask(0);
    const double seconds = 20;
    double sine = wheel_nm / (truck->radius_m * truck->mass_kg * ask.load_case.gravity_m_s2);
    char key[60];
    drive d =
        drive_steady(truck, wheel_rad_s * truck->radius_m * 3.6, seconds, 100 * sine / sqrt(1 - sine * sine), &ask);
    snprintf(key, sizeof key, "energy_balance.%s_kwh", line);
    passage p = {.motor_nm = cell(&d, 1, "motor_torque_nm"),
                 .motor_rad_s = cell(&d, 1, "motor_speed_rpm") * EVN_RAD_S_PER_RPM,
                 .wheel_w = cell(&d, 1, "wheel_force_kn") * 1e3 * wheel_rad_s * truck->radius_m,
                 .terminal_w = cell(&d, 1, "terminal_kw") * 1e3,
                 .line_w = result_of(&d, key) * EVN_J_PER_KWH / seconds};
    ck_assert_double_eq_tol(p.wheel_w, wheel_nm * wheel_rad_s, 1e-9 * (1 + fabs(p.wheel_w)));
    drive_end(&d);
    return p;
}

START_TEST(a_drive_loses_the_standard_losses_pulling_and_pushing)
{
    /* at rated speed and half the torque: 0.02609 of T_max w_rated, motoring and generating */
    char text[8000];
    plain_truck truck = plain_truck_of(20000);
    double rated_rad_s = rated_rpm * EVN_RAD_S_PER_RPM;
    truck.motor = standard_motor(magnets, text);
    truck.path = "mesh: {ratio: 10, efficiency: 1}";
    passage pull = pass(&truck, "motor_losses", 5 * rated_nm, rated_rad_s / 10);
    passage push = pass(&truck, "motor_losses", -5 * rated_nm, rated_rad_s / 10);
    check_value(&standard_losses, pull.wheel_w / pull.terminal_w, ABSOLUTE, 0.95039, 1e-4, "1",
                "permanent magnets, efficiency of a climb at rated speed and half the torque");
    check_value(&standard_losses, push.terminal_w / push.wheel_w, ABSOLUTE, 0.9478, 1e-4, "1",
                "permanent magnets, efficiency of a descent at rated speed and half the torque");
    check_value(&standard_losses, push.line_w, RELATIVE, 0.0261 * rated_nm * rated_rad_s, 1e-3, "W",
                "permanent magnets, loss in the energy balance on that descent");
}
END_TEST

/* A machine with so much iron at a flux density; 4 pole pairs, so that 6000 rpm are 400 Hz. */
START_TEST(iron_loss_grows_with_frequency_as_hysteresis_and_eddy_currents_do)
{
    const published from = {"k_h f B^2 + k_e f^2 B^2 with 143 W/(m3 T2 Hz) and 0.530 W/(m3 T2 Hz2): validation of the "
                            "losses of a permanent magnet motor of 2004, github.com/Eomys/pyleecan",
                            RECOMPUTED};
    const double iron_m3 = 0.01, pole_pairs = 4, hysteresis = 143, eddy = 0.530;
    const struct {
        double tesla, hertz, w_m3;
    } row[] = {{1.5, 50, 19068.75}, {1, 400, 142000}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        double hz_s = pole_pairs / (2 * EVN_PI), b2_m3 = row[i].tesla * row[i].tesla * iron_m3;
        char motor[400];
        snprintf(motor, sizeof motor,
                 "peak_torque_nm: 400, peak_power_kw: 50, top_speed_rpm: 6000, reference_voltage_v: 500, loss: "
                 "{speed_w_per_rad_s: %.17g, speed_squared_w_per_rad2_s2: %.17g}",
                 hysteresis * b2_m3 * hz_s, eddy * b2_m3 * hz_s * hz_s);
        bench b = bench_of(motor);
        check_value(&from, bench_loss_w(&b, row[i].hertz / 400, 0) / iron_m3, RELATIVE, row[i].w_m3, 1e-9, "W/m3",
                    "iron loss at %g T and %g Hz", row[i].tesla, row[i].hertz);
        bench_end(&b);
    }
}
END_TEST

START_TEST(a_motor_is_best_where_its_fixed_loss_is_that_of_its_torque)
{
    const published from = {
        "losses a + c T^2 at constant speed: d eta/dT = 0 at a = c T^2; 360 W, 0.004 W/Nm2, 100 rad/s", CLOSED_FORM};
    double best_share = 0, best = 0;
    bench b = bench_of("peak_torque_nm: 1000, peak_power_kw: 100, top_speed_rpm: 954.92965855137, reference_voltage_v: "
                       "700, loss: {constant_w: 360, torque_squared_w_per_nm2: 0.004}");
    for (int k = 1; k <= STEPS / 2; k++) {
        double efficiency = bench_efficiency(&b, 1, k / 20.0);
        if (efficiency > best)
            best_share = k / 20.0;
        best = fmax(best, efficiency);
    }
    check_value(&from, best_share * 1000, ABSOLUTE, 300, 1e-9, "Nm", "torque of the greatest efficiency");
    check_value(&from, best, RELATIVE, 30000.0 / 30720, 1e-9, "1", "greatest efficiency");
    bench_end(&b);
}
END_TEST

/* How much two engaged motors lose less than one of them at a torque of both together; level, at 10 m/s. */
static double second_motor_saves_w(const evn_rig *rig, double motor_nm, double radius_m)
{
    double degc[EVN_NODES_MAX];
    evn_setting one = {0, 1};
    evn_instant is = {.pull.at = {.rig = rig,
                                  .rolling_factor = 1,
                                  .speed_m_s = 10,
                                  .asked_m_s2 = motor_nm / radius_m / rig->effective_kg,
                                  .soc = 0.5,
                                  .fade = EVN_FADE_BY_SPEED}};
    evn_unit_start_degc(&rig->unit[0], degc);
    is.pull.at.unit[0] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[0], 0), .degc = degc};
    evn_instant_make(&is);
    check_near(is.motor_nm, motor_nm, 1e-9);
    return -evn_instant_forgone_w(&is, 0, one);
}

START_TEST(a_second_motor_pays_from_the_torque_of_the_closed_form_on)
{
    const published from = {"two alike of 800 W + 0.004 W/Nm2 T^2, nothing while one is off: one loses what both do at "
                            "sqrt(2 a/c)",
                            CLOSED_FORM};
    plain_truck truck = plain_truck_of(20000);
    truck.motor =
        "peak_torque_nm: 1000, peak_power_kw: 1e4, top_speed_rpm: 1e4, loss: {constant_w: 800, "
        "torque_squared_w_per_nm2: 0.004}}, second: {peak_torque_nm: 1000, peak_power_kw: 1e4, top_speed_rpm: "
        "1e4, loss: {constant_w: 800, torque_squared_w_per_nm2: 0.004}";
    evn_conditions ask = plain_ask(0);
    drive d = drive_steady(&truck, 36, 10, 0, &ask);
    double low_nm = 500, high_nm = 800;
    ck_assert(second_motor_saves_w(d.rig, low_nm, truck.radius_m) < 0);
    ck_assert(second_motor_saves_w(d.rig, high_nm, truck.radius_m) > 0);
    for (int i = 0; i < 50; i++) {
        double middle_nm = 0.5 * (low_nm + high_nm);
        *(second_motor_saves_w(d.rig, middle_nm, truck.radius_m) < 0 ? &low_nm : &high_nm) = middle_nm;
    }
    check_value(&from, high_nm, RELATIVE, 632.455532, 1e-8, "Nm", "torque from which on two motors lose less than one");
    check_value(&from, second_motor_saves_w(d.rig, 900, truck.radius_m), RELATIVE, 4040 - 3220, 1e-9, "W",
                "what the second motor saves at 900 Nm");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ field weakening */

/*
 * Permanent magnets without saliency: 0.12 V s, 0.2 mH, 4 pole pairs, 400 A, 650 V of direct voltage: 375.278 V of a
 * phase. Full current gives 1.5 x 4 x 0.12 x 400 = 288 Nm; the voltage is reached at 650.52 rad/s with it, and at
 * 781.83 rad/s without current. Windings of 10 mohm: 3/2 R I^2. The inverter loses 1000 W at 400 A, with the current.
 */
static const double linkage_vs = 0.12, inductance_h = 0.2e-3, pole_pairs = 4, most_a = 400, phase_ohm = 0.01;
static const double full_nm = 288, base_rad_s = 650.5206248, no_load_rad_s = 781.8284895;
static const published voltage_limit = {
    "(w L iq)^2 + (w (psi - L id))^2 = U^2, permanent magnets without saliency: 0.12 V s, 0.2 mH, 4 pole pairs, "
    "650/sqrt(3) V, 10 mohm",
    CLOSED_FORM};

static bench bench_of_magnets(double top_rad_s)
{
    char motor[600];
    snprintf(motor, sizeof motor,
             "peak_torque_nm: %g, peak_power_kw: %.17g, top_speed_rpm: %.17g, reference_voltage_v: 650, loss: "
             "{torque_squared_w_per_nm2: %.17g}, field_weakening: {characteristic_current_share: %.17g}, inverter: "
             "{current_w: 1000}",
             full_nm, full_nm * base_rad_s / 1e3, top_rad_s / EVN_RAD_S_PER_RPM,
             1.5 * phase_ohm * most_a * most_a / (full_nm * full_nm), linkage_vs / (inductance_h * most_a));
    return bench_of(motor);
}

/* The least weakening current that keeps within the voltage, by halving; and what windings and inverter lose of both.
 */
static double loss_by_volts_w(double motor_rad_s, double torque_share, double *weakening_a)
{
    double w = motor_rad_s * pole_pairs, iq = torque_share * most_a, low = 0, high = linkage_vs / inductance_h;
    for (int i = 0; i < 100; i++) {
        double id = 0.5 * (low + high);
        bool over = hypot(w * inductance_h * iq, w * (linkage_vs - inductance_h * id)) > 650 / sqrt(3);
        *(over ? &low : &high) = id;
    }
    *weakening_a = low;
    return 1.5 * phase_ohm * (iq * iq + low * low) + 1000 * hypot(iq, low) / most_a;
}

START_TEST(weakening_the_field_costs_the_current_that_the_voltage_asks_for)
{
    static const double speeds[] = {1.5, 2, 2, 3}, torques[] = {0.5, 0.25, 0.5, 0.3};
    bench b = bench_of_magnets(4 * base_rad_s);
    for (size_t i = 0; i < 4; i++) {
        double weakening_a, expected_w = loss_by_volts_w(speeds[i] * base_rad_s, torques[i], &weakening_a);
        ck_assert_double_gt(weakening_a, 100);
        check_value(&voltage_limit, bench_loss_w(&b, speeds[i] / 4, torques[i]), RELATIVE, expected_w, 1e-8, "W",
                    "loss at %g times base speed and %g of peak torque", speeds[i], torques[i]);
    }
    bench_end(&b);
}
END_TEST

START_TEST(without_torque_the_field_is_weakened_from_where_the_magnets_reach_the_voltage)
{
    /* at twice that speed half the characteristic current of 600 A */
    bench b = bench_of_magnets(2.5 * no_load_rad_s);
    check_value(&voltage_limit, bench_loss_w(&b, 0.4, 0), ABSOLUTE, 0, 1e-3, "W",
                "loss without torque at 781.83 rad/s");
    check_value(&voltage_limit, bench_loss_w(&b, 0.8, 0), RELATIVE, 1.5 * 0.01 * 300 * 300 + 750, 1e-8, "W",
                "loss without torque at twice that speed, 300 A");
    bench_end(&b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ inverters */

/* Six switches: 650 V, modulation 0.9, power factor 0.85, 149.175 kW at 400 A; the current goes with the torque. */
static const double bridge_v = 650, modulation = 0.9, bridge_w = 149175;

static bench bench_of_bridge(double constant_w, double current_w, double current_squared_w)
{
    char motor[400];
    snprintf(motor, sizeof motor,
             "peak_torque_nm: 1000, peak_power_kw: %.17g, top_speed_rpm: %.17g, reference_voltage_v: 650, inverter: "
             "{constant_w: %.17g, current_w: %.17g, current_squared_w: %.17g}",
             bridge_w / 1e3, bridge_w / 1e3 / EVN_RAD_S_PER_RPM, constant_w, current_w, current_squared_w);
    return bench_of(motor);
}

typedef struct valve { /* threshold and resistance of what conducts; cosine: above zero for a switch, below for a diode
                        */
    double v0, ohm, cosine;
} valve;
static const valve transistor = {0.9, 1.2e-3, 0.85}, diode = {1.0, 0.9e-3, -0.85};

/* Of six: parts that grow with the current and with its square, at 400 A. */
static double linear_w(const valve *of) { return 6 * of->v0 * most_a * (0.5 / EVN_PI + modulation * of->cosine / 8); }

static double square_w(const valve *of)
{
    return 6 * of->ohm * most_a * most_a * (0.125 + modulation * of->cosine / (3 * EVN_PI));
}

/* Of six: a switching energy at the rated current and voltage, over the half sine that each switches. */
static double switching_w(double hertz, double joule, double volt_exponent)
{
    return 6 * hertz * joule / EVN_PI * pow(bridge_v / 600, volt_exponent);
}

static void check_bridge(const bench *b, const published *from, const char *name, double w_400, double w_100,
                         double efficiency_400)
{
    check_value(from, bench_loss_w(b, 1, 1), ABSOLUTE, w_400, 1, "W", "%s, loss at 400 A", name);
    check_value(from, bench_loss_w(b, 1, 0.25), ABSOLUTE, w_100, 1, "W", "%s, loss at 100 A", name);
    check_value(from, bench_efficiency(b, 1, 1), ABSOLUTE, efficiency_400, 1e-4, "1", "%s, efficiency at 400 A", name);
}

START_TEST(an_inverter_loses_what_its_bridge_does)
{
    const published silicon = {
        "bridge of IGBTs, 8 kHz, 60 mJ and 25 mJ of recovery at 400 A and 600 V: conduction over a "
        "sine, switching with (U/Ur)^1.3, recovery with the power 0.6 of both",
        FROM_MEMORY};
    const published carbide = {
        "bridge of MOSFETs, 2.5 mohm, 10 kHz, 14 mJ at 400 A and 600 V, 21 W without current: 3/2 R "
        "I^2, switching with (U/Ur)^1.3",
        FROM_MEMORY};
    /* the recovery, 174 W at 100 A and 401 W at 400 A, as a straight line */
    double recovery_w = switching_w(8e3, 25e-3, 0.6), low_w = recovery_w * pow(0.25, 0.6);
    double slope_w = (recovery_w - low_w) / 0.75;
    bench b = bench_of_bridge(recovery_w - slope_w,
                              linear_w(&transistor) + linear_w(&diode) + switching_w(8e3, 60e-3, 1.3) + slope_w,
                              square_w(&transistor) + square_w(&diode));
    check_bridge(&b, &silicon, "IGBTs", 2396, 622, 0.9842);
    bench_end(&b);
    b = bench_of_bridge(21, switching_w(10e3, 14e-3, 1.3), 1.5 * 2.5e-3 * most_a * most_a);
    check_bridge(&b, &carbide, "MOSFETs", 918, 133, 0.9939);
    bench_end(&b);
}
END_TEST

/* Mean power of one valve over a period, by small steps: it conducts a share (1 + m sin)/2 of the half sine. */
static double conduction_w(const valve *of, double ampere)
{
    enum { ANGLES = 20000 };
    double sum = 0, phi = acos(of->cosine);
    for (int i = 0; i < ANGLES; i++) {
        double angle = EVN_PI * (i + 0.5) / ANGLES, now_a = ampere * sin(angle);
        sum += (of->v0 + of->ohm * now_a) * now_a * 0.5 * (1 + modulation * sin(angle + phi));
    }
    return sum / (2 * ANGLES);
}

START_TEST(conduction_grows_with_the_current_and_its_square)
{
    const published from = {
        "mean of (v0 + r i) i (1 + m sin)/2 over a half sine, six switches and six diodes, by small "
        "steps",
        CLOSED_FORM};
    const published both_ways = {"3/2 R I^2: each phase always passes one switch of 2.5 mohm", CLOSED_FORM};
    bench b = bench_of_bridge(0, linear_w(&transistor) + linear_w(&diode), square_w(&transistor) + square_w(&diode));
    const double amperes[] = {40, 240};
    for (size_t i = 0; i < 2; i++)
        check_value(&from, bench_loss_w(&b, 1, amperes[i] / most_a), RELATIVE,
                    6 * (conduction_w(&transistor, amperes[i]) + conduction_w(&diode, amperes[i])), 1e-7, "W",
                    "conduction of IGBTs and diodes at %g A", amperes[i]);
    bench_end(&b);
    b = bench_of_bridge(0, 0, 600);
    check_value(&both_ways, bench_loss_w(&b, 1, -0.5), RELATIVE, 150, 1e-12, "W",
                "conduction of MOSFETs at 200 A, generating");
    bench_end(&b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ gears */

static passage pass_path(const char *path, const char *line, double wheel_nm, double wheel_rad_s)
{
    plain_truck truck = plain_truck_of(20000);
    truck.path = path;
    return pass(&truck, line, wheel_nm, wheel_rad_s);
}

/* A pair that loses this share of what enters it, turned down tenfold without loss so that a truck can drive it. */
static passage pass_pair(double ratio, double lost, double wheel_nm, double wheel_rad_s)
{
    char path[200];
    snprintf(path, sizeof path, "mesh: {ratio: %.17g, efficiency: %.17g}, mesh: {ratio: 10, efficiency: 1}", ratio,
             1 - lost);
    return pass_path(path, "gearbox_losses", 10 * wheel_nm, wheel_rad_s / 10);
}

START_TEST(a_mesh_loses_its_friction_times_its_loss_factor)
{
    /* FZG C14: 200 Nm at 1500 rpm, 16 and 24 teeth; H501: 100 Nm at 1000 rpm, 20 and 30 teeth */
    const published printed = {
        "GEARpie (github.com/cfernandesFEUP/GEARpie), REPORT: mu_m H_VL of the power that enters", READ_IN_SOURCE};
    const published ohlendorf = {"mu_m H_V of the power that enters, H_V of Ohlendorf: inputs of GEARpie "
                                 "(github.com/cfernandesFEUP/GEARpie), REPORT",
                                 RECOMPUTED};
    const double in_w = 200 * 1500 * EVN_RAD_S_PER_RPM, friction = 0.04487;
    const struct {
        const published *from;
        const char *name;
        double in_nm, in_rpm, lost, expected_w, tolerance_w;
    } row[] = {{&printed, "FZG C14, numeric H_VL 0.1946", 200, 1500, friction * 0.1946, 274.37, 0.1},
               {&ohlendorf, "FZG C14, H_V 0.19862", 200, 1500, friction * 0.19862, 280.0, 0.1},
               {&printed, "helical H501, numeric H_VL 0.1869", 100, 1000, 0.0420 * 0.1869, 82.2, 0.1}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        double in_rad_s = row[i].in_rpm * EVN_RAD_S_PER_RPM;
        passage p = pass_pair(1.5, row[i].lost, 1.5 * row[i].in_nm * (1 - row[i].lost), in_rad_s / 1.5);
        check_near(p.motor_nm, row[i].in_nm, 1e-9);
        check_near(p.motor_rad_s, in_rad_s, 1e-9);
        check_value(row[i].from, p.line_w, ABSOLUTE, row[i].expected_w, row[i].tolerance_w, "W", "%s", row[i].name);
    }
    /* the same power enters at the wheel: the same is lost, and reaches the motor less */
    passage back = pass_pair(1.5, friction * 0.19862, -300, 100 * EVN_PI / 3);
    check_near(-back.wheel_w, in_w, 1e-9);
    check_value(&ohlendorf, back.line_w, ABSOLUTE, 280.0, 0.1, "W", "FZG C14, H_V 0.19862, driven from the wheel");
    check_value(&ohlendorf, -back.terminal_w, ABSOLUTE, 31415.9 - 280.0, 0.1, "W",
                "FZG C14, what reaches the motor, driven from the wheel");
}
END_TEST

START_TEST(chains_of_standard_efficiencies_lose_their_product)
{
    const published from = {
        "Regulation (EU) 2017/2400, Annex VI 3.1.1: external mesh 0.986, internal 0.993, bearings 0.995 "
        "of a gearbox; Annex VII, Appendix 3: single reduction axle 0.98",
        RECOMPUTED};
    passage central =
        pass_path("mesh: {ratio: 1.5, efficiency: 0.986}, mesh: {ratio: 1, efficiency: 0.986}, mesh: {ratio: "
                  "1, efficiency: 0.995}, final_drive: {ratio: 3, efficiency: 0.98}",
                  "gearbox_losses", 9000, 20);
    passage axle = pass_path("mesh: {ratio: 4, efficiency: 0.98107}, mesh: {ratio: 3, efficiency: 0.98107}",
                             "gearbox_losses", 9000, 20);
    passage planets = pass_path("planet_set: {sun_teeth: 30, ring_teeth: 90, basic_efficiency: 0.979098}",
                                "gearbox_losses", 9000, 20);
    check_value(&from, central.wheel_w / central.terminal_w, ABSOLUTE, 0.94799, 5e-6, "1",
                "two meshes with bearings and an axle");
    check_value(&from, axle.wheel_w / axle.terminal_w, ABSOLUTE, 0.96250, 5e-6, "1",
                "electric axle of two meshes with bearings");
    check_value(&from, planets.wheel_w / planets.terminal_w, ABSOLUTE, 0.984324, 5e-6, "1",
                "planet set, 0.986 x 0.993 on the power that rolls, ring/sun 3");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ drag */

START_TEST(an_axle_loses_the_standard_losses)
{
    /* 130 Nm at the wheel without load; under load what the efficiency takes of the output comes on top */
    const published drag = {"Regulation (EU) 2017/2400, Annex VII, Appendix 3: single reduction axle, 70 Nm + 20 Nm i",
                            RECOMPUTED};
    const published sum = {
        "Regulation (EU) 2017/2400, Annex VII, Appendix 3: single reduction axle, 0.98 and 70 Nm + 20 Nm "
        "i; form of the sum from memory, T_d0 + T_out (1/eta - 1)",
        FROM_MEMORY};
    const char *axle = "final_drive: {ratio: 3, efficiency: 0.98, drag: {at: motor_side, speed_rpm: [0], torque_nm: "
                       "[43.333333333333333]}}";
    passage level = pass_path(axle, "final_drive_losses", 0, 40),
            climb = pass_path(axle, "final_drive_losses", 8000, 15);
    check_value(&drag, 3 * level.motor_nm, RELATIVE, 130, 1e-12, "Nm", "drag at the wheel, ratio 3");
    check_value(&drag, level.line_w, RELATIVE, 130 * 40, 1e-9, "W",
                "power of the drag at 40 rad/s, in the energy balance");
    check_value(&sum, climb.line_w / 15, RELATIVE, 293.2653, 1e-6, "Nm", "loss at the wheel at 8000 Nm, ratio 3");
}
END_TEST

START_TEST(an_electric_axle_loses_the_standard_losses)
{
    /* T_l,in of 1000 Nm that enter */
    const published differential = {"Regulation (EU) 2022/1379, Annex Xb, Appendix 9: T_l,in = eta T_d0/i + (1 - eta) "
                                    "T_in, T_d0 = 25 Nm + 5 Nm i of spur gears, 25 Nm + 15 Nm i of bevel gears",
                                    RECOMPUTED};
    passage bevel =
        pass_path("final_drive: {ratio: 3, efficiency: 0.98, drag: {at: motor_side, speed_rpm: [0], torque_nm: "
                  "[23.333333333333333]}}",
                  "final_drive_losses", 2871.4, 30);
    passage spur = pass_path("mesh: {ratio: 3, efficiency: 0.986, drag: {at: motor_side, speed_rpm: [0], torque_nm: "
                             "[13.333333333333333]}}",
                             "gearbox_losses", 2918.56, 30);
    check_value(&differential, bevel.motor_nm - 2871.4 / 3, ABSOLUTE, 42.8667, 1e-4, "Nm",
                "loss of a bevel mesh of 0.98 at its input, ratio 3");
    check_value(&differential, spur.motor_nm - 2918.56 / 3, ABSOLUTE, 27.1467, 1e-4, "Nm",
                "loss of a spur mesh of 0.986 at its input, ratio 3");
    check_value(&differential, spur.line_w, RELATIVE, 27.1467 * 90, 1e-5, "W",
                "power of it at 90 rad/s, in the energy balance");
    /* a gear of one external mesh: f_T = 1 - 0.995 x 0.986, T_d0 = T_d1000 = 0.0025 x 1000 Nm, at the input */
    const published gear = {
        "Regulation (EU) 2022/1379, Annex Xb, Appendix 9: T_l,in = T_d0 + T_d1000 n/1000 + f_T T_in, "
        "each T_d 0.0025 T_max",
        RECOMPUTED};
    const double rpm[] = {1500, 3000}, lost_nm[] = {21.394, 25.144};
    for (size_t i = 0; i < 2; i++) {
        double out_nm = 5 * (800 - lost_nm[i]);
        passage p =
            pass_path("mesh: {ratio: 5, efficiency: 0.98107, drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: "
                      "[12.5, 50]}}",
                      "gearbox_losses", out_nm, rpm[i] * EVN_RAD_S_PER_RPM / 5);
        check_value(&gear, p.motor_nm - out_nm / 5, ABSOLUTE, lost_nm[i], 1e-3, "Nm",
                    "loss of a gear at its input, 800 Nm at %g rpm", rpm[i]);
    }
}
END_TEST

/*
 * Cylindrical roller bearing NJ 406, 30 x 90 mm, 2956 N, 15.12 mm2/s: friction torque in N mm, rolling and sliding.
 */
static double bearing_nmm(double rpm)
{
    const double viscosity = 15.12, middle_mm = 60, sum_mm = 120, difference_mm = 60, load_n = 2956;
    double rolling = 1e-6 * pow(middle_mm, 2.41) * pow(load_n, 0.31), sliding = 0.0015 * middle_mm * load_n;
    double inlet = 1 / (1 + 1.84e-9 * pow(rpm * middle_mm, 1.28) * pow(viscosity, 0.64));
    double starved = exp(-3e-8 * viscosity * rpm * sum_mm * sqrt(5.1 / (2 * difference_mm)));
    double dry = exp(-2.6e-8 * pow(rpm * viscosity, 1.4) * middle_mm);
    return inlet * starved * rolling * pow(viscosity * rpm, 0.6) + sliding * (dry * 0.15 + (1 - dry) * 0.02);
}

START_TEST(a_bearing_drags_as_its_maker_says_between_the_points_of_its_curve)
{
    const published from = {"SKF, Rolling bearings: rolling and sliding friction, worked out for NJ 406 with 2956 N "
                            "and 15.12 mm2/s: 90.67 + 10.22 N mm at 1500 rpm",
                            RECOMPUTED};
    char path[400];
    check_near(bearing_nmm(1500), 90.67 + 10.22, 1e-3);
    snprintf(
        path, sizeof path,
        "mesh: {ratio: 1, efficiency: 1, drag: {at: wheel_side, speed_rpm: [500, 1000, 2000, 3000], torque_nm: [%.17g, "
        "%.17g, %.17g, %.17g]}}, mesh: {ratio: 30, efficiency: 1}",
        1e-3 * bearing_nmm(500), 1e-3 * bearing_nmm(1000), 1e-3 * bearing_nmm(2000), 1e-3 * bearing_nmm(3000));
    passage p = pass_path(path, "gearbox_losses", 0, 50 * EVN_RAD_S_PER_RPM);
    check_value(&from, 1e3 * p.motor_nm, RELATIVE, 90.67 + 10.22, 5e-3, "N mm",
                "drag at 1500 rpm of a curve with points at 1000 and 2000 rpm");
    check_value(&from, p.line_w, RELATIVE, 0.10089 * 1500 * EVN_RAD_S_PER_RPM, 5e-3, "W",
                "its power, in the energy balance");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ joints */

START_TEST(a_joint_loses_the_friction_of_its_swinging_bearings)
{
    /* The program takes the tangent of the angle, which is 0.16 % more than the angle itself. */
    const published from = {
        "(4/pi) mu (r/R) b: four bearings that each swing through 4 b in a turn; mu 0.05, r/R 16/60, b 4 "
        "degrees",
        CLOSED_FORM};
    passage p =
        pass_path("universal_joint: {angle_deg: 4, friction_coefficient: 0.05, radius_ratio: 0.2666666666666667}",
                  "propeller_shaft_losses", 4000, 20);
    check_value(&from, 100 * p.line_w / p.terminal_w, RELATIVE, 0.118517, 2e-3, "%", "loss of a joint at 4 degrees");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ shipped parts */

/* The parts with default losses of public law, by their kind: "motor-", "final-drive-". */
enum { SHIPPED_MOST = 40, SHIPPED_BYTES = 400 };
typedef struct shipped {
    char path[SHIPPED_MOST][SHIPPED_BYTES], name[SHIPPED_MOST][100];
    size_t count;
} shipped;

static shipped shipped_of(const char *kind)
{
    shipped found = {.count = 0};
    char here[200];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    DIR *folder = opendir("vehicles/parts/defaults");
    ck_assert_ptr_nonnull(folder);
    for (const struct dirent *entry; (entry = readdir(folder));) {
        size_t length = strlen(entry->d_name);
        if (strncmp(entry->d_name, kind, strlen(kind)) != 0 || strcmp(entry->d_name + length - 5, ".yaml") != 0)
            continue;
        ck_assert_uint_lt(found.count, SHIPPED_MOST);
        snprintf(found.name[found.count], sizeof found.name[0], "%.90s", entry->d_name);
        snprintf(found.path[found.count++], SHIPPED_BYTES, "%s/vehicles/parts/defaults/%.150s", here, entry->d_name);
    }
    closedir(folder);
    ck_assert_uint_gt(found.count, 0);
    return found;
}

/* A number at a key of the first level of a file. */
static double number_in(const char *path, const char *key)
{
    char line[400];
    double value = (double)NAN;
    size_t length = strlen(key);
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    while (fgets(line, sizeof line, file))
        if (strncmp(line, key, length) == 0 && line[length] == ':')
            value = strtod(line + length + 1, NULL);
    fclose(file);
    ck_assert_msg(!isnan(value), "no %s in %s", key, path);
    return value;
}

/* Up to twice the rated speed, so that it and what is rated lie on the bench's grid. */
START_TEST(shipped_default_motors_lose_the_standard_losses)
{
    static const struct {
        double w, t, efficiency;
    } of_magnets[] = {{0.2, 0.25, 0.92573}, {1, 0.1, 0.89558}, {1, 1, 0.93791}, {2, 0.1, 0.81278}, {2, 0.5, 0.92392}};
    shipped motors = shipped_of("motor-");
    for (size_t i = 0; i < motors.count; i++) {
        char text[600];
        double rated = number_in(motors.path[i], "peak_power_kw") * 1e3 / number_in(motors.path[i], "peak_torque_nm");
        snprintf(text, sizeof text, "use: %s, top_speed_rpm: %.17g", motors.path[i], 2 * rated / EVN_RAD_S_PER_RPM);
        bench b = bench_of(text);
        for (size_t k = 0; k < sizeof of_magnets / sizeof *of_magnets; k++)
            check_value(&standard_losses, bench_efficiency(&b, of_magnets[k].w / 2, of_magnets[k].t), ABSOLUTE,
                        of_magnets[k].efficiency, 2e-5, "1", "%s, %g of the rated speed, %g of the torque",
                        motors.name[i], of_magnets[k].w, of_magnets[k].t);
        bench_end(&b);
    }
}
END_TEST

START_TEST(shipped_default_axles_lose_the_standard_losses)
{
    const published plain = {"Regulation (EU) 2017/2400, Annex VII, Appendix 3: single reduction axle, 0.98, 70 Nm + "
                             "20 Nm i; form of the sum from memory, T_d0 + T_out (1/eta - 1)",
                             FROM_MEMORY};
    const published through = {"Regulation (EU) 2017/2400, Annex VII, Appendix 3: through-drive of a single reduction "
                               "axle, 0.96, 80 Nm + 20 Nm i; form of the sum from memory, T_d0 + T_out (1/eta - 1)",
                               FROM_MEMORY};
    shipped axles = shipped_of("final-drive-");
    for (size_t i = 0; i < axles.count; i++) {
        char path[600];
        bool passes = strstr(axles.name[i], "-through-");
        double ratio = number_in(axles.path[i], "ratio"), efficiency = passes ? 0.96 : 0.98;
        double drag_nm = (passes ? 80 : 70) + 20 * ratio;
        snprintf(path, sizeof path, "final_drive: {use: %s, mass_kg: 0}", axles.path[i]);
        passage level = pass_path(path, "final_drive_losses", 0, 40),
                climb = pass_path(path, "final_drive_losses", 8000, 15);
        const published *from = passes ? &through : &plain;
        check_value(from, ratio * level.motor_nm, RELATIVE, drag_nm, 5e-5, "Nm", "%s, drag at the wheel",
                    axles.name[i]);
        check_value(from, climb.line_w / 15, RELATIVE, drag_nm + 8000 * (1 / efficiency - 1), 5e-5, "Nm",
                    "%s, loss at the wheel at 8000 Nm", axles.name[i]);
    }
}
END_TEST

START_TEST(shipped_default_planet_sets_lose_the_standard_losses)
{
    const published rolls = {
        "Regulation (EU) 2017/2400, Annex VI, 3.1.1: meshes 0.986 and 0.993 of the power that "
        "rolls; Regulation (EU) 2022/1379, Annex Xb, Appendix 9: T_d0 = 25 Nm + 5 Nm i at the wheel",
        RECOMPUTED};
    shipped sets = shipped_of("planet-set-");
    for (size_t i = 0; i < sets.count; i++) {
        char path[600];
        double i0 = number_in(sets.path[i], "ring_teeth") / number_in(sets.path[i], "sun_teeth");
        double efficiency = (1 + i0 * 0.986 * 0.993) / (1 + i0), drag_nm = 25 + 5 * (1 + i0);
        snprintf(path, sizeof path, "planet_set: {use: %s, mass_kg: 0}", sets.path[i]);
        passage climb = pass_path(path, "gearbox_losses", 8000, 15);
        check_value(&rolls, climb.motor_nm * (1 + i0), RELATIVE, 8000 / efficiency + drag_nm, 5e-5, "Nm",
                    "%s, torque that enters, times its ratio, at 8000 Nm", sets.name[i]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("losses, published");
    TCase *tests = tcase_create("losses");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_map_of_the_standard_losses_has_their_efficiency_between_its_points);
    tcase_add_test(tests, a_drive_loses_the_standard_losses_pulling_and_pushing);
    tcase_add_test(tests, iron_loss_grows_with_frequency_as_hysteresis_and_eddy_currents_do);
    tcase_add_test(tests, a_motor_is_best_where_its_fixed_loss_is_that_of_its_torque);
    tcase_add_test(tests, a_second_motor_pays_from_the_torque_of_the_closed_form_on);
    tcase_add_test(tests, weakening_the_field_costs_the_current_that_the_voltage_asks_for);
    tcase_add_test(tests, without_torque_the_field_is_weakened_from_where_the_magnets_reach_the_voltage);
    tcase_add_test(tests, an_inverter_loses_what_its_bridge_does);
    tcase_add_test(tests, conduction_grows_with_the_current_and_its_square);
    tcase_add_test(tests, a_mesh_loses_its_friction_times_its_loss_factor);
    tcase_add_test(tests, chains_of_standard_efficiencies_lose_their_product);
    tcase_add_test(tests, an_axle_loses_the_standard_losses);
    tcase_add_test(tests, an_electric_axle_loses_the_standard_losses);
    tcase_add_test(tests, a_bearing_drags_as_its_maker_says_between_the_points_of_its_curve);
    tcase_add_test(tests, a_joint_loses_the_friction_of_its_swinging_bearings);
    tcase_add_test(tests, shipped_default_motors_lose_the_standard_losses);
    tcase_add_test(tests, shipped_default_axles_lose_the_standard_losses);
    tcase_add_test(tests, shipped_default_planet_sets_lose_the_standard_losses);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
