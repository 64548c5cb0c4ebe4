/* Driveline, tyre slip and the ledger against figures that are published or in closed form. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "plain_truck.h"
#include "truck/rig.h"
#include "truck/universal_joint.h"

#define ANY_DENSITY 1.2

/* Power at the motor over power at the tyres on a steady climb, or descent. A lossless pack: all of it shows there. */
static double power_ratio(const char *path, double grade_percent)
{
    plain_truck truck = plain_truck_of(20000);
    truck.path = path;
    evn_conditions ask = plain_ask(ANY_DENSITY);
    drive d = drive_steady(&truck, 50, 20, grade_percent, &ask);
    double tyre_kw = cell(&d, 1, "wheel_force_kn") * cell(&d, 1, "speed_km_h") / 3.6;
    double ratio = cell(&d, 1, "terminal_kw") / tyre_kw;
    ck_assert(tyre_kw * grade_percent > 0);
    /* the same over the whole way */
    double height_kwh = result_of(&d, "energy_balance.potential_kwh");
    check_near(result_of(&d, "battery_kwh") / height_kwh, ratio, 1e-9);
    drive_end(&d);
    return ratio;
}

static double pull_efficiency(const char *path) { return 1 / power_ratio(path, 4); }

static double push_efficiency(const char *path) { return power_ratio(path, -4); }

/* ------------------------------------------------------------------------------------------------ planet sets */

/* Ring held, sun in, carrier out. */
static const published willis = {"carrier speed over sun speed 1/(1 + z_ring/z_sun): Willis equation, novasolver.jp, "
                                 "epicyclic gear",
                                 RECOMPUTED};
static const published rolling = {"power balance: of the power only i0/(1 + i0), i0 = z_ring/z_sun, rolls through the "
                                  "meshes and loses 1 - eta0 there",
                                  CLOSED_FORM};

START_TEST(a_planet_set_has_the_ratio_and_efficiency_of_willis)
{
    const struct {
        double sun, ring, ratio, basic, pull;
    } row[] = {{30, 90, 4, 0.97, 0.9775}, {30, 90, 4, 0.98, 0.985}, {20, 80, 5, 0.97, 0.976}, {20, 80, 5, 0.98, 0.984}};
    for (size_t i = 0; i < 4; i++) {
        char path[200];
        snprintf(path, sizeof path, "planet_set: {sun_teeth: %g, ring_teeth: %g, basic_efficiency: %g}", row[i].sun,
                 row[i].ring, row[i].basic);
        double teeth = row[i].ring / row[i].sun;
        check_value(&willis, evn_planet_set_ratio(row[i].sun, row[i].ring), RELATIVE, row[i].ratio, 1e-12, "1",
                    "ratio, %g and %g teeth", row[i].sun, row[i].ring);
        check_value(&rolling, evn_planet_set_pull_efficiency(teeth, row[i].basic), RELATIVE, row[i].pull, 1e-5, "1",
                    "efficiency, ring/sun %g, basic %g", teeth, row[i].basic);
        check_value(&rolling, pull_efficiency(path), RELATIVE, row[i].pull, 1e-5, "1",
                    "efficiency of a drive, ring/sun %g, basic %g", teeth, row[i].basic);
    }
}
END_TEST

START_TEST(a_planet_set_driven_backwards_loses_a_little_more)
{
    const struct {
        double teeth, push;
        const char *path;
    } row[] = {{3, 0.98492, "planet_set: {sun_teeth: 30, ring_teeth: 90, basic_efficiency: 0.98}"},
               {4, 0.98394, "planet_set: {sun_teeth: 20, ring_teeth: 80, basic_efficiency: 0.98}"}};
    for (size_t i = 0; i < 2; i++) {
        check_value(&rolling, evn_planet_set_push_efficiency(row[i].teeth, 0.98), RELATIVE, row[i].push, 1e-5, "1",
                    "efficiency backwards, ring/sun %g, basic 0.98", row[i].teeth);
        check_value(&rolling, push_efficiency(row[i].path), RELATIVE, row[i].push, 1e-5, "1",
                    "efficiency of a drive backwards, ring/sun %g, basic 0.98", row[i].teeth);
    }
}
END_TEST

START_TEST(a_planet_set_multiplies_torque_by_ratio_and_efficiency)
{
    plain_truck truck = plain_truck_of(20000);
    truck.path = "planet_set: {sun_teeth: 30, ring_teeth: 90, basic_efficiency: 0.97}";
    evn_conditions ask = plain_ask(ANY_DENSITY);
    drive d = drive_steady(&truck, 50, 20, 4, &ask);
    double carrier_nm = cell(&d, 1, "wheel_force_kn") * 1e3 * truck.radius_m;
    check_value(&rolling, carrier_nm / cell(&d, 1, "motor_torque_nm"), RELATIVE, 4 * 0.9775, 1e-5, "1",
                "torque at the carrier over torque at the sun, ring/sun 3");
    check_value(&willis, cell(&d, 1, "motor_speed_rpm"), RELATIVE, 4 * 50 / 3.6 / truck.radius_m / EVN_RAD_S_PER_RPM,
                1e-9, "rpm", "speed of the sun at 50 km/h, ring/sun 3");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ chains */

/*
 * Two gear meshes of 0.97, two joints of 0.995, a hypoid set of 0.96; values chosen within published ranges: 94 to 98 %
 * helical gears and 80 to 95 % hypoid for complete units (meadinfo.org, 2008/11), 98 to 99 % joints (Ehsani et al.,
 * Modern Electric, Hybrid Electric and Fuel Cell Vehicles, from memory). A joint is written by its friction, so that it
 * loses just 0.005.
 */
static const char *central_drive(char path[600])
{
    double angle_deg = 3, radius_ratio = 0.35;
    double friction = 0.005 * EVN_PI / 4 / (radius_ratio * tan(angle_deg * EVN_PI / 180));
    char joint[200];
    snprintf(joint, sizeof joint, "universal_joint: {angle_deg: %g, radius_ratio: %g, friction_coefficient: %.17g}",
             angle_deg, radius_ratio, friction);
    snprintf(path, 600,
             "mesh: {ratio: 1.5, efficiency: 0.97}, mesh: {ratio: 2, efficiency: 0.97}, %s, %s, "
             "final_drive: {ratio: 3.7, efficiency: 0.96}",
             joint, joint);
    return path;
}

static const published product = {"product of the efficiencies of a chain, chosen within published ranges",
                                  CLOSED_FORM};
static const published balance = {"energy balance: pulling P_wheel = eta P_motor, pushing P_motor = eta P_wheel",
                                  CLOSED_FORM};

static const char *const two_meshes = "mesh: {ratio: 4, efficiency: 0.985}, mesh: {ratio: 5, efficiency: 0.985}";
static const char *const three_meshes =
    "mesh: {ratio: 2, efficiency: 0.985}, mesh: {ratio: 4, efficiency: 0.985}, mesh: {ratio: 3, efficiency: 0.985}";

START_TEST(a_chain_has_the_product_of_its_efficiencies)
{
    char path[600];
    check_value(&product, pull_efficiency(central_drive(path)), RELATIVE, 0.8942539416, 1e-12, "1",
                "two meshes of 0.97, two joints of 0.995, final drive of 0.96");
    check_value(&product, pull_efficiency(two_meshes), RELATIVE, 0.970225, 1e-12, "1", "two meshes of 0.985");
    check_value(&product, pull_efficiency(three_meshes), RELATIVE, 0.955671625, 1e-12, "1", "three meshes of 0.985");
}
END_TEST

START_TEST(losses_change_sides_when_the_truck_pushes_the_motor)
{
    char path[600];
    central_drive(path);
    check_value(&balance, push_efficiency(path), RELATIVE, 0.8942539416, 1e-12, "1", "central drive, pushing");
    check_value(&balance, pull_efficiency(path) * push_efficiency(path), RELATIVE, 0.7996901, 1e-7, "1",
                "central drive, there and back");
    check_value(&balance, push_efficiency(two_meshes), RELATIVE, 0.970225, 1e-12, "1", "two meshes, pushing");
    check_value(&balance, push_efficiency(three_meshes), RELATIVE, 0.955671625, 1e-12, "1", "three meshes, pushing");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ universal joints */

/* A figure of a joint at this angle, as `show` gives it. */
static double joint_figure(double angle_deg, const char *key)
{
    char truck_path[PATH_BYTES], path[100], wanted[100];
    plain_truck truck = plain_truck_of(20000);
    snprintf(path, sizeof path, "universal_joint: {angle_deg: %.17g}", angle_deg);
    truck.path = path;
    write_plain_truck(&truck, "joint.yaml");
    evn_conditions ask = plain_ask(ANY_DENSITY);
    evn_report *report = evn_report_new();
    evn_truck *read = NULL;
    evn_rig *rig = NULL;
    ck_assert(evn_truck_load(in_folder(truck_path, "joint.yaml"), &read, report) == EVN_DONE);
    ck_assert(evn_rig_prepare(read, &ask.load_case, &rig, report) == EVN_DONE);
    snprintf(wanted, sizeof wanted, "joints.unit.path[0].%s", key);
    evn_quantity what;
    double value, found = (double)NAN;
    for (size_t i = 0; evn_rig_figure_at(rig, i, &what, &value); i++)
        found = strcmp(what.key, wanted) == 0 ? value : found;
    ck_assert_msg(!isnan(found), "no figure %s", wanted);
    evn_rig_free(rig);
    evn_truck_free(read);
    evn_report_free(report);
    return found;
}

START_TEST(a_universal_joint_has_its_published_extremes)
{
    const published from = {
        "speed ratio between cos b and 1/cos b twice in each turn: novasolver.jp, universal joint; 30 "
        "degrees at mechanics.stackexchange.com 30314",
        RECOMPUTED};
    const struct {
        double angle_deg, greatest, least;
    } row[] = {{3, 1.00137, 0.99863},
               {6, 1.00551, 0.99452},
               {10, 1.01543, 0.98481},
               {15, 1.03528, 0.96593},
               {30, 1.15470, 0.86603}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        double greatest = joint_figure(row[i].angle_deg, "greatest_speed_ratio");
        double least = greatest - joint_figure(row[i].angle_deg, "non_uniformity");
        check_value(&from, greatest, RELATIVE, row[i].greatest, 1e-5, "1", "greatest speed ratio at %g degrees",
                    row[i].angle_deg);
        check_value(&from, least, RELATIVE, row[i].least, 1e-5, "1", "least speed ratio at %g degrees",
                    row[i].angle_deg);
    }
}
END_TEST

START_TEST(a_universal_joint_has_its_published_non_uniformity)
{
    const published formula = {"1/cos b - cos b from the extremes of the speed ratio: novasolver.jp, universal joint",
                               RECOMPUTED};
    const published limit = {"elbe-group.de, technical notes: at most 0.0027 (2.977 degrees, recomputed)",
                             READ_IN_SOURCE};
    const struct {
        double angle_deg, non_uniformity;
    } row[] = {{3, 0.00274281}, {5, 0.00762514}, {6, 0.01098638}, {10, 0.03061886}, {15, 0.06935035}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        check_value(&formula, joint_figure(row[i].angle_deg, "non_uniformity"), ABSOLUTE, row[i].non_uniformity, 1e-8,
                    "1", "non-uniformity at %g degrees", row[i].angle_deg);
    }
    check_value(&limit, joint_figure(2.976, "non_uniformity"), BELOW, 0.0027, 0, "1",
                "non-uniformity at 2.976 degrees");
    check_value(&limit, joint_figure(2.978, "non_uniformity"), ABOVE, 0.0027, 0, "1",
                "non-uniformity at 2.978 degrees");
}
END_TEST

/* Angle of the output: tan a2 = tan a1 / cos b (GWB, Driveshafts for Industrial Applications, p. 38); within a quarter
 * turn. */
static double output_rad(double input_rad, double angle_rad) { return atan(tan(input_rad) / cos(angle_rad)); }

START_TEST(the_extremes_of_a_joint_are_those_of_its_motion)
{
    const published motion = {
        "w2/w1 = cos b/(1 - sin^2 b cos^2 a), ticalc.org, universal joint; tan a2 = tan a1/cos b, "
        "GWB, Driveshafts for Industrial Applications, p. 38",
        RECOMPUTED};
    const double degrees[] = {3, 10, 30}, step_rad = 1e-4;
    for (size_t i = 0; i < 3; i++) {
        double b = degrees[i] * EVN_PI / 180, greatest = 0, least = 2;
        for (double a = -1.57; a < 1.57; a += 1e-3) {
            double ratio = (output_rad(a + step_rad, b) - output_rad(a - step_rad, b)) / (2 * step_rad);
            check_near(ratio, cos(b) / (1 - pow(sin(b) * cos(a), 2)), 1e-7);
            greatest = fmax(greatest, ratio);
            least = fmin(least, ratio);
        }
        check_value(&motion, joint_figure(degrees[i], "greatest_speed_ratio"), RELATIVE, greatest, 1e-6, "1",
                    "greatest speed ratio over a turn at %g degrees", degrees[i]);
        check_value(&motion, joint_figure(degrees[i], "non_uniformity"), ABSOLUTE, greatest - least, 1e-6, "1",
                    "greatest less least speed ratio over a turn at %g degrees", degrees[i]);
    }
}
END_TEST

START_TEST(a_universal_joint_turns_its_output_ahead_by_the_published_angle)
{
    const published from = {"greatest a2 - a1 of tan a2 = tan a1/cos b, tan e = (1 - cos b)/(2 sqrt(cos b)): motion of "
                            "GWB, Driveshafts for Industrial Applications, p. 38",
                            RECOMPUTED};
    const struct {
        double angle_deg, error_deg;
    } row[] = {{6, 0.1574}, {10, 0.4386}, {20, 1.7817}, {30, 4.117}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        double b = row[i].angle_deg * EVN_PI / 180, furthest = 0;
        check_value(&from, joint_figure(row[i].angle_deg, "angle_error_deg"), RELATIVE, row[i].error_deg, 1e-3,
                    "degrees", "angle error at %g degrees", row[i].angle_deg);
        for (double a = 0; a < 1.57; a += 1e-4)
            furthest = fmax(furthest, fabs(evn_universal_joint_output_rad(b, a) - a));
        check_near(evn_universal_joint_angle_error_rad(b), furthest, 1e-6);
    }
}
END_TEST

START_TEST(two_joints_of_equal_angle_set_across_turn_evenly)
{
    const published even = {"novasolver.jp, universal joint; ASME paper on double cardan joints (scribd 311506199)",
                            READ_IN_SOURCE};
    const published rule = {"unequal joints: as one of sqrt(b1^2 - b2^2), for small angles", COMMON_PRACTICE};
    const double degrees[] = {3, 6, 15, 30};
    for (size_t i = 0; i < sizeof degrees / sizeof *degrees; i++) {
        double b = degrees[i] * EVN_PI / 180, pair[] = {b, b}, unequal[] = {b, 0.5 * b};
        check_value(&even, evn_universal_joints_non_uniformity(pair, 2), ABSOLUTE, 0, 1e-12, "1",
                    "non-uniformity of a pair at %g degrees", degrees[i]);
        check_near(evn_universal_joints_non_uniformity(pair, 1), evn_universal_joint_non_uniformity(b), 1e-12);
        double left = b * sqrt(0.75);
        check_value(&rule, evn_universal_joints_non_uniformity(unequal, 2), RELATIVE, left * left, 0.03 + b * b, "1",
                    "non-uniformity of a joint at %g degrees and one at half of it", degrees[i]);
        for (double a = -4; a < 4; a += 0.1)
            ck_assert_double_eq_tol(
                evn_universal_joint_output_rad(b, evn_universal_joint_output_rad(b, a) + EVN_PI / 2) - EVN_PI / 2, a,
                1e-12);
    }
}
END_TEST

START_TEST(the_friction_of_a_joint_loses_its_published_share)
{
    const published from = {"(4/pi) mu (r/R) tan b: Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts",
                            FROM_MEMORY};
    const double degrees[] = {3, 6, 10}, percent[] = {0.11677, 0.23419, 0.39289};
    for (size_t i = 0; i < 3; i++) {
        char path[200];
        snprintf(path, sizeof path, "universal_joint: {angle_deg: %g, radius_ratio: 0.35, friction_coefficient: 0.05}",
                 degrees[i]);
        check_value(&from, 100 * (1 - pull_efficiency(path)), RELATIVE, percent[i], 1e-4, "%",
                    "loss of a joint at %g degrees", degrees[i]);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ tyre slip */

START_TEST(a_slipping_tyre_loses_the_power_of_its_slip)
{
    /* Over v instead of w r it would be 4444.444 W. The force is an air drag of 20 kN; slip stiffness times load is 2e6
     * N. */
    const published from = {"F v s/(1 - s) with s = (w r - v)/(w r); 20 kN at 80 km/h, slip 0.01", CLOSED_FORM};
    plain_truck truck = plain_truck_of(40000);
    truck.drag_area_m2 = 20.25;
    truck.driven_load_kg = 1e5 / 9.81;
    truck.driven_tyre = ", longitudinal_slip_stiffness: 20";
    evn_conditions ask = plain_ask(4);
    drive d = drive_steady(&truck, 80, 100, 0, &ask);
    check_near(cell(&d, 1, "wheel_force_kn"), 20, 1e-12);
    check_value(&from, result_of(&d, "energy_balance.tyre_slip_losses_kwh") * EVN_J_PER_KWH / 100, RELATIVE, 4489.338,
                1e-6, "W", "power of slip in the energy balance");
    check_value(&from, cell(&d, 1, "terminal_kw") * 1e3, RELATIVE, 20e3 * 80 / 3.6 + 4489.338, 1e-6, "W",
                "power with that of slip");
    drive_end(&d);
    check_value(&from, (evn_slip_hub_n(20e3, 2e6) - 20e3) * 80 / 3.6, RELATIVE, 4489.338, 1e-6, "W", "power of slip");
    check_near(evn_slip_tyre_n(evn_slip_hub_n(20e3, 2e6), 2e6), 20e3, 1e-12);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ balance_error */

static double sum_of_lines(const drive *d)
{
    evn_quantity what;
    double sum = 0, value;
    size_t lines = 0;
    for (size_t i = 0; evn_results_at(d->results, i, &what, &value); i++) {
        if (strncmp(what.key, "energy_balance.", 15) == 0) {
            sum += value;
            lines++;
        }
    }
    ck_assert_uint_ge(lines, 14);
    return sum;
}

static const char *const closing_cycles[] = {"cycles/scenarios/hill.yaml", "cycles/reference/urban-schedule.yaml"};

START_TEST(the_energy_balance_closes)
{
    /* What the integrator allows itself stays open too, so that this takes an accuracy to match. */
    const published from = {"first law: out of the battery = every line listed + change of height + change of motion",
                            CLOSED_FORM};
    evn_conditions ask = evn_conditions_default();
    ask.driving.accuracy = 1e-11;
    ask.driving.driver = _i % 2 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
    drive d = drive_files("tests/vehicles/trucks/tractor-4x2-central.yaml", closing_cycles[_i / 2], &ask);
    double out_kwh = result_of(&d, "discharged_kwh") - result_of(&d, "regenerated_kwh");
    double through_kwh = result_of(&d, "discharged_kwh") + result_of(&d, "regenerated_kwh");
    ck_assert_str_eq(evn_results_status(d.results), "finished");
    ck_assert_double_gt(result_of(&d, "regenerated_kwh"), 1);
    check_near(result_of(&d, "battery_kwh"), out_kwh, 1e-12);
    check_value(&from, sum_of_lines(&d), ABSOLUTE, out_kwh, 1e-9 * through_kwh, "kWh",
                "sum of the energy balance, %s, %s driver", closing_cycles[_i / 2],
                ask.driving.driver == EVN_DRIVER_EXACT ? "exact" : "human");
    check_value(&from, result_of(&d, "balance_error"), BELOW, 1e-9, 0, "1", "left open, of what went through");
    drive_end(&d);
}
END_TEST

START_TEST(what_the_energy_balance_leaves_open_shrinks_with_the_accuracy_asked_for)
{
    /* A loss that is not booked would leave the same open however accurate the integration. */
    evn_conditions ask = evn_conditions_default();
    double open[3];
    for (int i = 0; i < 3; i++) {
        ask.driving.accuracy = pow(10, -6 - 2 * i);
        drive d = drive_files("tests/vehicles/trucks/tractor-4x2-central.yaml", closing_cycles[_i], &ask);
        open[i] = result_of(&d, "balance_error");
        drive_end(&d);
    }
    /* errors of both signs may nearly cancel at one accuracy: hence bounds at each, and a ratio of the ends alone */
    ck_assert_double_lt(open[0], 2e-5);
    ck_assert_double_lt(open[1], 2e-7);
    ck_assert_double_lt(open[2], 2e-9);
    ck_assert_double_lt(open[2], open[0] / 100);
}
END_TEST

/* Integral over the rows of the trace of force times speed, kWh. */
static double work_kwh(const drive *d, const char *force_kn)
{
    size_t t = column_of(d, "time_s"), v = column_of(d, "speed_km_h"), f = column_of(d, force_kn);
    double sum_kj = 0;
    for (size_t i = 1; i < d->rows; i++) {
        const double *a = d->cell + (i - 1) * d->columns, *b = a + d->columns;
        sum_kj += 0.5 * (a[f] * a[v] + b[f] * b[v]) / 3.6 * (b[t] - a[t]);
    }
    return sum_kj / 3600;
}

START_TEST(the_energy_balance_closes_at_the_tyres_too)
{
    /* Rows 0.01 s apart, where the tyre force jumps at a few instants: within 1e-4, the smooth ones within 1e-6. */
    const published from = {
        "first law at the road, from rest to rest: work of the motors' tyre force = rolling + air + "
        "friction brakes + height",
        CLOSED_FORM};
    evn_conditions ask = evn_conditions_default();
    ask.driving.trace_interval_s = 0.01;
    ask.driving.accuracy = 1e-8;
    drive d = drive_files("tests/vehicles/trucks/tractor-4x2-central.yaml", "cycles/scenarios/hill.yaml", &ask);
    double road_kwh =
        result_of(&d, "energy_balance.rolling_resistance_kwh") + result_of(&d, "energy_balance.air_drag_kwh") +
        result_of(&d, "energy_balance.friction_brakes_kwh") + result_of(&d, "energy_balance.potential_kwh");
    check_value(&from, work_kwh(&d, "wheel_force_kn"), RELATIVE, road_kwh, 1e-4, "kWh", "work of the tyre force");
    check_value(&from, work_kwh(&d, "rolling_resistance_kn"), RELATIVE,
                result_of(&d, "energy_balance.rolling_resistance_kwh"), 1e-6, "kWh", "work of rolling resistance");
    check_value(&from, work_kwh(&d, "air_drag_kn"), RELATIVE, result_of(&d, "energy_balance.air_drag_kwh"), 1e-6, "kWh",
                "work of air drag");
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("driveline, published");
    TCase *tests = tcase_create("driveline");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_planet_set_has_the_ratio_and_efficiency_of_willis);
    tcase_add_test(tests, a_planet_set_driven_backwards_loses_a_little_more);
    tcase_add_test(tests, a_planet_set_multiplies_torque_by_ratio_and_efficiency);
    tcase_add_test(tests, a_chain_has_the_product_of_its_efficiencies);
    tcase_add_test(tests, losses_change_sides_when_the_truck_pushes_the_motor);
    tcase_add_test(tests, a_universal_joint_has_its_published_extremes);
    tcase_add_test(tests, a_universal_joint_has_its_published_non_uniformity);
    tcase_add_test(tests, a_universal_joint_turns_its_output_ahead_by_the_published_angle);
    tcase_add_test(tests, two_joints_of_equal_angle_set_across_turn_evenly);
    tcase_add_test(tests, the_extremes_of_a_joint_are_those_of_its_motion);
    tcase_add_test(tests, the_friction_of_a_joint_loses_its_published_share);
    tcase_add_test(tests, a_slipping_tyre_loses_the_power_of_its_slip);
    tcase_add_loop_test(tests, the_energy_balance_closes, 0, 4);
    tcase_add_loop_test(tests, what_the_energy_balance_leaves_open_shrinks_with_the_accuracy_asked_for, 0, 2);
    tcase_add_test(tests, the_energy_balance_closes_at_the_tyres_too);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
