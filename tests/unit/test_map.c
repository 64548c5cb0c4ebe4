/* Loss maps of motors: interpolation, conversion of efficiencies, holes, refusals at their lines, and runs with them.
 */
#define _POSIX_C_SOURCE 200809L
#include "core/units.h"
#include "folder.h"
#include "read/read.h"
#include "trip_probe.h"
#include "truck/rig.h"

#define LIST(...) {(const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / sizeof(double)}

/* Its windings are single nodes, as those of the motors that are written here. */
#define PLAIN "tests/trucks/plain/tractor-4x2-central.yaml"

static const double RAD = EVN_RAD_S_PER_RPM;

/* Peak torque 100 Nm, base speed 100 rad/s, top 300 rad/s. */
static const evn_map_machine machine = {100, 1e4, 300, 600};

static const evn_map *made(const evn_map_file *file, evn_arena *arena)
{
    const evn_map *map = evn_map_make(file, &machine, arena);
    ck_assert_ptr_nonnull(map);
    return map;
}

/* A map file of its own with a table; NULL when it is refused. */
static const evn_map_file *read_map(const char *csv, evn_arena *arena, evn_report *report)
{
    char path[PATH_BYTES];
    write_file("m.csv", csv);
    write_file("m.yaml", "table: m.csv\n");
    return evn_read_file(in_folder(path, "m.yaml"), &evn_map_object, NULL, arena, report);
}

static const evn_map *map_of(const char *csv, evn_arena *arena)
{
    evn_report *report = evn_report_new();
    const evn_map_file *file = read_map(csv, arena, report);
    ck_assert_msg(file, "%s", first_finding(report));
    ck_assert_uint_eq(evn_report_count(report), 0);
    evn_report_free(report);
    return made(file, arena);
}

/* ------------------------------------------------------------------------------------------------ interpolation */

/* Closed form: 100 + 40 x + 80 t^2, the law of a motor without field weakening. */
START_TEST(four_corners_that_follow_the_law_give_it_between_them)
{
    evn_arena *arena = evn_arena_new();
    const evn_map_machine unit = {1, 1, 1, 600};
    evn_map_file file = {.speed_rpm = LIST(0, 1 / EVN_RAD_S_PER_RPM),
                         .torque_nm = LIST(0, 1),
                         .loss_w = LIST(100, 180, 140, 220),
                         .winding_degc = 100};
    const evn_map *map = evn_map_make(&file, &unit, arena);
    ck_assert_double_eq_tol(evn_map_loss_w(map, 0.60, 0.25, 600, 1), 138.8, 1e-9);
    ck_assert_double_eq_tol(evn_map_loss_w(map, -0.60, 0.25, 600, 1), 138.8, 1e-9);
    evn_arena_free(arena);
}
END_TEST

START_TEST(what_is_linear_along_both_axes_comes_out_exactly_on_any_grid)
{
    evn_arena *arena = evn_arena_new();
    const double speed[] = {0, 10, 70, 80, 200, 300}, torque[] = {0, 1, 30, 35, 60, 90, 100};
    double rpm[6], loss[42];
    for (size_t k = 0; k < 42; k++) {
        rpm[k / 7] = speed[k / 7] / RAD;
        loss[k] = 100 + 3 * speed[k / 7] + 5 * torque[k % 7] + 0.02 * speed[k / 7] * torque[k % 7];
    }
    evn_map_file file = {.speed_rpm = {rpm, 6}, .torque_nm = {torque, 7}, .loss_w = {loss, 42}, .winding_degc = 100};
    const evn_map *map = made(&file, arena);
    for (double w = 0; w <= 300; w += 7.3)
        for (double t = -100; t <= 100; t += 3.7) {
            double exact = 100 + 3 * w + 5 * fabs(t) + 0.02 * w * fabs(t);
            ck_assert_double_eq_tol(evn_map_loss_w(map, t, w, 600, 1), exact, 1e-12 * exact);
        }
    evn_arena_free(arena);
}
END_TEST

START_TEST(slopes_are_the_same_on_both_sides_of_a_node)
{
    evn_arena *arena = evn_arena_new();
    evn_map_file file = {.speed_rpm = LIST(0, 1000, 2000, 2900),
                         .torque_nm = LIST(-100, -30, 0, 50, 100),
                         .loss_w = LIST(900, 200, 100, 300, 1000, 950, 260, 130, 420, 1400, 1300, 400, 300, 500, 1500,
                                        1800, 700, 650, 800, 1900),
                         .winding_degc = 100};
    const evn_map *map = made(&file, arena);
    const double d = 1e-5, w = 1000 * RAD, t = 50;
    for (double at = -90; at < 100; at += 20) {
        double right = evn_map_loss_w(map, at, w + d, 600, 1) - evn_map_loss_w(map, at, w, 600, 1);
        double left = evn_map_loss_w(map, at, w, 600, 1) - evn_map_loss_w(map, at, w - d, 600, 1);
        ck_assert_double_eq_tol(right / d, left / d, 2e-4);
    }
    for (double at = 5; at < 300; at += 20) {
        double up = evn_map_loss_w(map, t + d, at, 600, 1) - evn_map_loss_w(map, t, at, 600, 1);
        double down = evn_map_loss_w(map, t, at, 600, 1) - evn_map_loss_w(map, t - d, at, 600, 1);
        ck_assert_double_eq_tol(up / d, down / d, 2e-4);
    }
    evn_arena_free(arena);
}
END_TEST

START_TEST(the_order_of_rows_does_not_matter_and_torques_below_zero_are_their_own)
{
    evn_arena *arena = evn_arena_new();
    const evn_map *map = map_of("torque_nm,speed_rpm,loss_kw\n-100,3000,2\n100,0,0.9\n0,3000,0.4\n-100,0,0.8\n"
                                "100,3000,3\n0,0,0.1\n",
                                arena);
    ck_assert(!map->mirrored);
    ck_assert_double_eq_tol(evn_map_loss_w(map, -100, 3000 * RAD, 600, 1), 2000, 1e-9);
    ck_assert_double_eq_tol(evn_map_loss_w(map, 100, 3000 * RAD, 600, 1), 3000, 1e-9);
    ck_assert_double_eq_tol(evn_map_loss_w(map, 0, 0, 600, 1), 100, 1e-9);
    ck_assert(!evn_map_is_filled(map, 40, 100, 600));
    evn_arena_free(arena);
}
END_TEST

START_TEST(between_two_voltages_the_loss_goes_straight_and_outside_it_is_held)
{
    evn_arena *arena = evn_arena_new();
    const evn_map *map = map_of("voltage_v,speed_rpm,torque_nm,loss_w\n"
                                "700,0,0,100\n700,3000,0,300\n700,0,100,500\n700,3000,100,900\n"
                                "500,0,0,200\n500,3000,0,500\n500,0,100,600\n500,3000,100,1100\n",
                                arena);
    ck_assert_uint_eq(map->layers, 2);
    double low = evn_map_loss_w(map, 70, 200, 500, 1), high = evn_map_loss_w(map, 70, 200, 700, 1);
    ck_assert_double_gt(low, high);
    ck_assert_double_eq_tol(evn_map_loss_w(map, 70, 200, 550, 1), 0.75 * low + 0.25 * high, 1e-9);
    ck_assert_double_eq(evn_map_loss_w(map, 70, 200, 400, 1), low);
    ck_assert_double_eq(evn_map_loss_w(map, 70, 200, 800, 1), high);
    evn_arena_free(arena);
}
END_TEST

/* ---------------------------------------------------------------------------------------------- efficiencies, holes */

/* First law: motoring the bus pays P/efficiency, generating it receives |P| x efficiency. */
START_TEST(efficiencies_become_losses_by_the_direction_of_the_power)
{
    evn_arena *arena = evn_arena_new();
    const evn_map *map =
        map_of("speed_rpm,torque_nm,efficiency_percent\n1000,50,80\n1000,100,90\n2000,50,85\n2000,100,92\n"
               "1000,-50,80\n1000,-100,90\n2000,-50,85\n2000,-100,92\n",
               arena);
    double power = 100 * 2000 * RAD;
    ck_assert_double_eq_tol(evn_map_loss_w(map, 100, 2000 * RAD, 600, 1), power * (1 / 0.92 - 1), 1e-9);
    ck_assert_double_eq_tol(evn_map_loss_w(map, -100, 2000 * RAD, 600, 1), power * (1 - 0.92), 1e-9);
    evn_arena_free(arena);
}
END_TEST

/* Losses of the form that the fit has; base speed 100 rad/s as the machine's. */
static double formula_w(double torque_nm, double w)
{
    double x = w / 100, t = torque_nm / 100, id = evn_weakening_share(0.8, t, x);
    return 40 + 60 * x + 50 * x * x + 700 * (t * t + id * id);
}

/* One decimal place more than double holds; a hole where there is no power or more than the motor gives. */
static void write_formula(char *csv, size_t room, size_t speeds, size_t torques)
{
    size_t at = (size_t)snprintf(csv, room, "speed_rpm,torque_nm,efficiency\n");
    for (size_t k = 0; k < speeds * torques; k++) {
        double w = 300.0 * (double)(k / torques) / (double)(speeds - 1);
        double t = 100.0 * (double)(k % torques) / (double)(torques - 1), p = w * t;
        ck_assert_uint_lt(at, room - 100);
        if (p > 1e4 * 1.01)
            continue;
        at += (size_t)snprintf(csv + at, room - at, "%.17g,%.17g,", w / RAD, t);
        at += (size_t)(p > 0 ? snprintf(csv + at, room - at, "%.17g\n", p / (p + formula_w(t, w)))
                             : snprintf(csv + at, room - at, "%s\n", k % 2 ? "0" : ""));
    }
}

START_TEST(holes_are_filled_by_a_fit_of_what_was_measured_and_marked)
{
    static char csv[40000];
    evn_arena *arena = evn_arena_new();
    write_formula(csv, sizeof csv, 16, 11);
    const evn_map *map = map_of(csv, arena);
    const evn_map_fit *fit = &map->layer[0].fit;
    ck_assert_double_eq_tol(fit->characteristic_share, 0.8, 1e-3);
    ck_assert_double_eq_tol(fit->c[0], 40, 0.4);
    ck_assert_double_eq_tol(fit->c[1], 60, 0.6);
    ck_assert_double_eq_tol(fit->c[2], 50, 0.5);
    ck_assert_double_eq_tol(fit->c[3], 700, 7);
    for (double w = 0; w < 301; w += 20) { /* without torque, and at peak torque beyond the envelope */
        ck_assert_double_eq_tol(evn_map_loss_w(map, 0, w, 600, 1), formula_w(0, w), 2e-3 * formula_w(0, w));
        ck_assert_double_eq_tol(evn_map_loss_w(map, 100, w, 600, 1), formula_w(100, w), 2e-3 * formula_w(100, w));
        ck_assert(evn_map_is_filled(map, 0, w, 600));
        ck_assert(evn_map_is_filled(map, 100, w, 600) == (w < 10 || w > 110));
    }
    ck_assert(!evn_map_is_filled(map, 20, 40, 600));
    ck_assert(evn_map_is_filled(map, 20, 400, 600));
    evn_arena_free(arena);
}
END_TEST

START_TEST(filled_cells_are_scaled_to_what_was_measured_beside_them)
{
    evn_arena *arena = evn_arena_new();
    /* half as much again at the highest torque as any fit of the rest would have; its neighbour at 2000 rpm is a hole
     */
    const evn_map *map =
        map_of("speed_rpm,torque_nm,loss_w\n0,0,100\n1000,0,100\n2000,0,100\n2900,0,100\n0,50,200\n"
               "1000,50,200\n2000,50,200\n2900,50,200\n0,100,750\n1000,100,750\n2000,100,\n2900,100,750\n",
               arena);
    double copper_w, fit = evn_map_fit_w(&map->layer[0].fit, 100, 2000 * RAD, &copper_w),
                     filled = evn_map_loss_w(map, 100, 2000 * RAD, 600, 1);
    ck_assert_double_gt(750 / fit, 1.05);
    ck_assert_double_gt(filled / fit, 1.02);
    ck_assert_double_le(filled, 750);
    ck_assert(evn_map_is_filled(map, 100, 2000 * RAD, 600));
    evn_arena_free(arena);
}
END_TEST

START_TEST(beyond_the_grid_the_fit_goes_on_from_its_edge)
{
    evn_arena *arena = evn_arena_new();
    const evn_map *map = map_of("speed_rpm,torque_nm,loss_w\n0,0,50\n3000,0,300\n0,110,900\n3000,110,1500\n", arena);
    double edge = evn_map_loss_w(map, 110, 250, 600, 1), t_step = 1e-6;
    ck_assert_double_eq_tol(evn_map_loss_w(map, 110 + t_step, 250, 600, 1), edge, 1e-3);
    ck_assert_double_ge(evn_map_loss_w(map, 160, 250, 600, 1), edge);
    ck_assert_double_ge(evn_map_loss_w(map, 110, 400, 600, 1), evn_map_loss_w(map, 110, 320, 600, 1));
    evn_arena_free(arena);
}
END_TEST

START_TEST(the_copper_part_follows_the_winding_and_the_rest_does_not)
{
    evn_arena *arena = evn_arena_new();
    evn_map_file file = {.speed_rpm = LIST(0, 3000),
                         .torque_nm = LIST(0, 20, 40, 60, 80, 100),
                         .loss_w = LIST(30, 70, 190, 390, 670, 1030, 30, 70, 190, 390, 670, 1030),
                         .winding_degc = 100};
    const evn_map *map = made(&file, arena); /* 30 + 0.1 T^2 */
    ck_assert_double_eq_tol(evn_map_loss_w(map, 0, 100, 600, 1.2), 30, 1e-9);
    ck_assert_double_eq_tol(evn_map_loss_w(map, 60, 100, 600, 1.2), 30 + 1.2 * 360, 0.01);
    ck_assert_double_eq_tol(evn_map_loss_w(map, 60, 100, 600, 0.8), 30 + 0.8 * 360, 0.01);
    evn_arena_free(arena);
}
END_TEST

START_TEST(a_motor_that_turns_unused_drags_by_what_its_map_loses_without_torque)
{
    evn_arena *arena = evn_arena_new();
    const evn_map *map = map_of("speed_rpm,torque_nm,loss_w\n0,0,50\n1500,0,150\n3000,0,250\n0,100,900\n1500,100,1100\n"
                                "3000,100,1300\n",
                                arena);
    ck_assert_double_eq_tol(evn_map_drag_nm(map, 3000 * RAD), 200 / (3000 * RAD), 1e-9);
    ck_assert_double_eq_tol(evn_map_drag_nm(map, 0), 200 / (3000 * RAD), 1e-6);
    evn_arena_free(arena);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ refusals */

typedef struct refusal {
    const char *csv;
    unsigned line;
    const char *fault, *piece;
} refusal;

#define HEAD "speed_rpm,torque_nm,loss_w\n"
#define REST "2000,10,7\n2000,20,8\n"
#define GRID "1000,10,5\n1000,20,6\n2000,10,7\n2000,20,8\n"
static const refusal refusals[] = {
    {"speed_rpm,torque_nm,loss_w\n" GRID "2000,10,7\n", 6, "disagrees", "a second point at 2000 rpm and 10 Nm"},
    {"speed_rpm,torque_nm,loss_w\n1000,10,5\n1000,20,-6\n2000,10,7\n2000,20,8\n", 3, "out_of_range", "loss of -6"},
    {"speed_rpm,torque_nm,efficiency\n1000,10,0.5\n1000,20,0.6\n2000,10,93\n", 4, "out_of_range", "efficiency_percent"},
    {"speed_rpm,torque_nm,efficiency_percent\n1000,10,50\n1000,20,101\n", 3, "out_of_range", "0 to 100"},
    {"speed_rpm,torque_nm,efficiency\n1000,10,-0.5\n", 2, "out_of_range", "efficiency of -0.5"},
    {"# a comment\nspeed_rpm,torque,loss_w\n" GRID, 2, "unknown_key", "nearest is 'torque_nm'"},
    {"speed_rpm,torque_nm\n1000,10\n", 1, "missing_key", "without losses"},
    {"speed_rpm,loss_w\n1000,10\n", 1, "missing_key", "no column torque_nm"},
    {"speed_rpm,torque_nm,loss_w,loss_kw\n1000,10,5,1\n", 1, "disagrees", "2 kinds of values"},
    {"speed_rpm,torque_nm,loss_w\n-1000,10,5\n", 2, "out_of_range", "torque below 0"},
    {"speed_rpm,torque_nm,loss_w\n1000,10,5\n,20,6\n", 3, "missing_key", "no speed in this row"},
    {"speed_rpm,torque_nm,loss_w\n1000,10,5\n1000,20,6\n", 1, "disagrees", "at least 2 of each"},
    {"speed_rpm,torque_nm,loss_w\n1000,10,5\n1000,20,\n2000,10,7\n2000,20,\n", 1, "disagrees", "2 measured cells"},
    {"speed_rpm,torque_nm,loss_w\n1,11,1\n2,12,1\n3,13,1\n4,14,1\n5,15,1\n6,16,1\n", 1, "disagrees", "expected a grid"},
    {HEAD "1000,10,5\n1e160,20,6\n" REST, 3, "out_of_range", "speed_rpm is 1e+160 rpm; expected 0 to 1000000 rpm"},
    {HEAD "1000,10,5\n1000,1e200,6\n" REST, 3, "out_of_range", "torque_nm is 1e+200 Nm; expected -10000000 to 1"},
    {HEAD "1000,-1e8,5\n1000,20,6\n" REST, 2, "out_of_range", "torque_nm is -100000000 Nm"},
    {HEAD "1000,10,5\n1000,20,2e8\n" REST, 3, "out_of_range", "loss_w of 200000000 is a loss of 200000000 W"},
    {"speed_rpm,torque_nm,loss_kw\n1000,10,2e5\n" REST, 2, "out_of_range", "expected at most 100000000 W"},
    {"speed_rpm,torque_nm,efficiency\n1000,10,1e-9\n", 2, "out_of_range", "efficiency of 1e-09 is a loss of"},
    {"voltage_v,speed_rpm,torque_nm,loss_w\n600,1000,10,5\n1e6,1000,10,5\n", 3, "out_of_range",
     "voltage_v is 1000000 V; expected 10 to 5000 V"},
    {HEAD "1000,10,5\n1000,20,6\n1000.001,10,7\n1000.001,20,8\n" REST, 4, "disagrees",
     "speed_rpm 1000.001 beside 1000; expected the same, or at least 0.1 apart"},
    {HEAD "1000,10,5\n1000,20,6\n1000,20.001,6\n" REST, 4, "disagrees", "at least 0.01 apart"},
    {"voltage_v,speed_rpm,torque_nm,loss_w\n600,1000,10,5\n600.01,1000,10,5\n", 3, "disagrees",
     "voltage_v 600.01 beside 600"},
    {"speed_rpm,torque_nm,loss_w\n1000,10,5\n1000,20,many\n2000,10,7\n2000,20,8\n", 3, "not_a_number", "many"},
};

START_TEST(a_faulty_table_is_refused_at_its_line)
{
    const refusal *of = &refusals[_i];
    evn_arena *arena = evn_arena_new();
    evn_report *report = evn_report_new();
    evn_finding found = {.text = "no finding"};
    ck_assert_ptr_null(read_map(of->csv, arena, report));
    ck_assert(evn_report_at(report, 0, &found));
    ck_assert_msg(found.line == of->line && strcmp(found.fault, of->fault) == 0 && strstr(found.text, of->piece),
                  "line %u, %s: %s", found.line, found.fault, found.text);
    ck_assert_ptr_nonnull(strstr(found.file, "m.csv"));
    evn_report_free(report);
    evn_arena_free(arena);
}
END_TEST

/* A truck whose motor is changed by what is written here; the first finding. */
static const char *refused_truck(const char *motors, char text[400])
{
    char yaml[2000], here[300], path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(yaml, sizeof yaml, "extends: %s/tests/trucks/four-speed.yaml\ndrive_units: {rear: {motors: {%s}}}\n", here,
             motors);
    write_file("t.yaml", yaml);
    evn_truck_load(in_folder(path, "t.yaml"), &truck, report);
    snprintf(text, 400, "%.390s", first_finding(report));
    ck_assert_msg(!truck, "%s", text);
    evn_report_free(report);
    return text;
}

#define SMALL_MAP "map: {speed_rpm: [0, 3500], torque_nm: [0, 2500], loss_w: [100, 9000, 2000, 12000]}"
#define FREE_MOTOR "peak_torque_nm: 2500, peak_power_kw: 380, top_speed_rpm: 3500"

START_TEST(a_map_stands_instead_of_coefficients_and_holds_the_inverter_once)
{
    char text[400];
    ck_assert_ptr_nonnull(strstr(refused_truck("a: {" SMALL_MAP "}", text), "beside a map"));
    ck_assert_ptr_nonnull(
        strstr(refused_truck("b: {" FREE_MOTOR ", map: {speed_rpm: [0, 3500], torque_nm: [0, 2500], "
                             "loss_w: [1, 2, 3, 4], includes_inverter: true}, inverter: {current_w: 9}}",
                             text),
               "a map that includes it"));
    ck_assert_ptr_nonnull(strstr(
        refused_truck("b: {" FREE_MOTOR ", map: {speed_rpm: [0, 3500], torque_nm: [0, 2500], loss_w: [1]}}", text),
        "1 values for 2 speeds and 2 torques"));
    ck_assert_ptr_nonnull(
        strstr(refused_truck("b: {" FREE_MOTOR ", map: {speed_rpm: [0, 3500], torque_nm: [0, 2500]}}", text),
               "without losses"));
}
END_TEST

START_TEST(motors_of_a_unit_must_be_alike)
{
    char text[400];
    refused_truck("b: {use: a}", text);
    const char *said = refused_truck("a: {rotor_inertia_kg_m2: 0.5}, b: {" FREE_MOTOR "}", text);
    ck_assert_msg(strstr(said, "differs from motor a in ") && strstr(said, "drive units of their own"), "%s", said);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

/* The shipped chassis motor with a table for its losses. */
static void write_motor(const char *table)
{
    char text[800];
    snprintf(text, sizeof text,
             "peak_torque_nm: 2500\npeak_power_kw: 380\ntop_speed_rpm: 3500\nrotor_inertia_kg_m2: 0.67\nmass_kg: 255\n"
             "map: {table: %s}\n"
             "inverter: {constant_w: 380, current_w: 3040, current_squared_w: 2280, mass_kg: 30}\n"
             "winding: {coolant_degc: 65, resistance_k_per_kw: 7.5, time_constant_s: 180, derate_from_degc: 150, "
             "derate_to_degc: 175}\n",
             table);
    write_file("motor.yaml", text);
}

/* Loss of the shipped chassis motor from its coefficients. */
static double chassis_w(double t, double w)
{
    double id = evn_weakening_share(0.8, t / 2500, w * 2500 / 380e3);
    return 115 + 5.5 * w + 0.043 * w * w + 0.00395 * (t * t + 2500.0 * 2500.0 * id * id);
}

/*
 * The shipped tractor with a map of n x n points sampled from its motor's coefficients, one of them times `slip`; its
 * path.
 */
static const char *slipped_tractor(char path[PATH_BYTES], size_t n, size_t slipped, double slip)
{
    char name[PATH_BYTES], here[300], yaml[1500];
    FILE *csv = fopen(in_folder(name, "sampled.csv"), "w");
    ck_assert_ptr_nonnull(csv);
    fprintf(csv, "speed_rpm,torque_nm,loss_w\n");
    for (size_t k = 0; k < n * n; k++) {
        double rpm = 3500.0 * (double)(k / n) / (double)(n - 1), t = 2500.0 * (double)(k % n) / (double)(n - 1);
        fprintf(csv, "%.17g,%.17g,%.17g\n", rpm, t, chassis_w(t, rpm * RAD) * (k == slipped ? slip : 1));
    }
    ck_assert_int_eq(fclose(csv), 0);
    write_motor("sampled.csv");
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(yaml, sizeof yaml, "extends: %s/" PLAIN "\ndrive_units: {rear: {motors: {a: {use: motor.yaml}}}}\n", here);
    write_file("sampled.yaml", yaml);
    return in_folder(path, "sampled.yaml");
}

static const char *sampled_tractor(char path[PATH_BYTES], size_t n) { return slipped_tractor(path, n, 0, 1); }

static double energy(const char *truck, double accuracy)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.accuracy = accuracy;
    drive run = drive_whole(truck, URBAN, &ask, NULL);
    double kwh = result(&run, "battery_kwh");
    ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
    drive_end(&run);
    return kwh;
}

START_TEST(a_map_sampled_from_coefficients_drives_as_they_do_and_converges)
{
    char path[PATH_BYTES];
    double coefficients = energy(PLAIN, 1e-8), coarse = energy(sampled_tractor(path, 20), 1e-8);
    ck_assert_double_eq_tol(energy(path, 1e-6), coarse, 5e-5 * coarse);
    double fine = energy(sampled_tractor(path, 60), 1e-8);
    ck_assert_double_eq_tol(energy(path, 1e-6), fine, 5e-5 * fine);
    ck_assert_double_eq_tol(coarse, coefficients, 2e-5 * coefficients); /* measured: 4e-6 */
    ck_assert_double_eq_tol(fine, coefficients, 1e-6 * coefficients);   /* measured: 5e-8 */
}
END_TEST

/* What is told of coarse maps while a truck is read, all in one text. */
static size_t told_of(const char *path, char text[1000])
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding found;
    size_t count = 0, used = 0;
    ck_assert_int_eq(evn_truck_load(path, &truck, report), EVN_DONE);
    text[0] = '\0';
    for (size_t k = 0; evn_report_at(report, k, &found); k++) {
        ck_assert_str_eq(found.fault, "coarse_map");
        ck_assert_int_eq(found.severity, EVN_WARNING);
        ck_assert_ptr_nonnull(strstr(found.file, "motor.yaml"));
        ck_assert_uint_eq(found.line, 6);
        used += (size_t)snprintf(text + used, 1000 - used, "%s\n", found.text);
        count++;
    }
    evn_truck_free(truck);
    evn_report_free(report);
    return count;
}

START_TEST(wide_steps_of_a_map_are_told_once_for_each_axis)
{
    char path[PATH_BYTES], text[1000];
    ck_assert_uint_eq(told_of(sampled_tractor(path, 5), text), 0);
    ck_assert_uint_eq(told_of(sampled_tractor(path, 4), text), 2);
    ck_assert_msg(strstr(text, "up to 1166.67 rpm wide, from ") && strstr(text, "33 % of top speed"), "%s", text);
    ck_assert_msg(strstr(text, "up to 833.333 Nm wide, from ") && strstr(text, "33 % of peak torque"), "%s", text);
}
END_TEST

START_TEST(a_point_far_from_the_law_is_told_with_its_place)
{
    char path[PATH_BYTES], text[1000];
    ck_assert_uint_eq(told_of(slipped_tractor(path, 11, 5 * 11 + 4, 1.15), text), 0);
    ck_assert_uint_eq(told_of(slipped_tractor(path, 11, 5 * 11 + 4, 1.5), text), 1);
    ck_assert_msg(strstr(text, "at 1750 rpm and 1000 Nm, is ") && strstr(text, " % of the loss off"), "%s", text);
}
END_TEST

/* A figure of a truck before it drives; -1 when there is none. */
static double figure(const evn_rig *rig, const char *key)
{
    for (size_t k = 0; k < rig->figure_count; k++)
        if (strcmp(rig->figure[k].what.key, key) == 0)
            return rig->figure[k].value;
    return -1;
}

static evn_rig *rig_at(const char *path)
{
    evn_truck *truck = load_truck(path);
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = NULL;
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_ptr_nonnull(rig);
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

START_TEST(figures_of_a_map_stand_beside_those_of_its_truck)
{
    char path[PATH_BYTES];
    evn_rig *rig = rig_at(slipped_tractor(path, 11, 5 * 11 + 4, 1.15)), *plain = rig_at(TRACTOR);
    ck_assert_double_eq(figure(rig, "maps.rear.points"), 121);
    ck_assert_double_eq_tol(figure(rig, "maps.rear.farthest_percent"), 13, 0.5); /* 0.15/1.15 */
    ck_assert_double_eq_tol(figure(rig, "maps.rear.farthest_rpm"), 1750, 1e-9);
    ck_assert_double_eq_tol(figure(rig, "maps.rear.farthest_nm"), 1000, 1e-9);
    ck_assert_double_eq_tol(figure(rig, "maps.rear.speed_step_percent"), 10, 1e-9);
    ck_assert_double_eq_tol(figure(rig, "maps.rear.torque_step_percent"), 10, 1e-9);
    ck_assert_double_eq(figure(plain, "maps.rear.points"), -1);
    evn_rig_free(rig);
    evn_rig_free(plain);
}
END_TEST

START_TEST(time_in_filled_cells_is_counted_alike_with_and_without_a_trace)
{
    trace keep = {NULL, 0, 0, 0};
    evn_conditions ask = evn_conditions_default();
    drive plain = drive_whole("tests/vehicles/trucks/tractor-4x2-eaxle.yaml", HILL, &ask, NULL);
    drive traced = drive_whole("tests/vehicles/trucks/tractor-4x2-eaxle.yaml", HILL, &ask, &keep);
    double filled_s = result(&plain, "drive_units.rear.filled_map_s");
    ck_assert_double_gt(filled_s, 0);
    ck_assert_double_lt(filled_s, 0.05 * result(&plain, "duration_s"));
    ck_assert(!was_said(&plain, "filled_map"));
    ck_assert_double_eq(result(&traced, "drive_units.rear.filled_map_s"), filled_s);
    ck_assert_double_eq(result(&traced, "battery_kwh"), result(&plain, "battery_kwh"));
    trace_end(&keep);
    drive_end(&plain);
    drive_end(&traced);
}
END_TEST

START_TEST(a_truck_that_runs_much_in_filled_cells_is_warned_of)
{
    char yaml[1500], here[300], path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    write_file("m.csv",
               "speed_rpm,torque_nm,loss_w\n2500,1500,9000\n2500,2500,20000\n3500,1500,12000\n3500,2500,24000\n");
    write_motor("m.csv");
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(yaml, sizeof yaml, "extends: %s/" PLAIN "\ndrive_units: {rear: {motors: {a: {use: motor.yaml}}}}\n", here);
    write_file("filled.yaml", yaml);
    drive run = drive_whole(in_folder(path, "filled.yaml"), CRUISE, &ask, NULL);
    ck_assert(was_said(&run, "filled_map"));
    ck_assert_double_gt(result(&run, "drive_units.rear.filled_map_s"), 0.5 * result(&run, "duration_s"));
    drive_end(&run);
}
END_TEST

START_TEST(two_motors_alike_share_one_map_and_the_torque)
{
    evn_truck *truck = load_truck("tests/vehicles/trucks/tractor-4x2-eaxle.yaml");
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = NULL;
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_ptr_nonnull(rig);
    const evn_unit *u = &rig->unit[0];
    ck_assert_uint_eq(u->motor_count, 2);
    ck_assert_ptr_eq(u->motor[0].map, u->motor[1].map);
    evn_flow flow = {{0}};
    double nm, w = 400, ratio = u->gear[1].total_ratio, voltage_v = 680, degc[EVN_NODES_MAX] = {100};
    evn_shaft wheels = {evn_unit_wheel_nm(u, (evn_setting){1, 3}, 600, w / ratio, 0, degc), w / ratio, 0};
    evn_unit_draw_w(u, (evn_setting){1, 3}, wheels, voltage_v, degc, &flow, &nm);
    ck_assert_double_eq_tol(nm, 600, 1e-9);
    ck_assert_double_eq_tol(flow.w[EVN_MOTOR], 2 * evn_map_loss_w(u->motor[0].map, 300, w, voltage_v, 1), 1e-6);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("map");
    TCase *maps = tcase_create("maps"), *runs = tcase_create("runs");
    tcase_add_checked_fixture(maps, folder_begin, folder_end);
    tcase_add_test(maps, four_corners_that_follow_the_law_give_it_between_them);
    tcase_add_test(maps, what_is_linear_along_both_axes_comes_out_exactly_on_any_grid);
    tcase_add_test(maps, slopes_are_the_same_on_both_sides_of_a_node);
    tcase_add_test(maps, the_order_of_rows_does_not_matter_and_torques_below_zero_are_their_own);
    tcase_add_test(maps, between_two_voltages_the_loss_goes_straight_and_outside_it_is_held);
    tcase_add_test(maps, efficiencies_become_losses_by_the_direction_of_the_power);
    tcase_add_test(maps, holes_are_filled_by_a_fit_of_what_was_measured_and_marked);
    tcase_add_test(maps, filled_cells_are_scaled_to_what_was_measured_beside_them);
    tcase_add_test(maps, beyond_the_grid_the_fit_goes_on_from_its_edge);
    tcase_add_test(maps, the_copper_part_follows_the_winding_and_the_rest_does_not);
    tcase_add_test(maps, a_motor_that_turns_unused_drags_by_what_its_map_loses_without_torque);
    tcase_add_loop_test(maps, a_faulty_table_is_refused_at_its_line, 0, sizeof refusals / sizeof refusals[0]);
    tcase_add_test(maps, a_map_stands_instead_of_coefficients_and_holds_the_inverter_once);
    tcase_add_test(maps, motors_of_a_unit_must_be_alike);
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_test(runs, a_map_sampled_from_coefficients_drives_as_they_do_and_converges);
    tcase_add_test(runs, wide_steps_of_a_map_are_told_once_for_each_axis);
    tcase_add_test(runs, a_point_far_from_the_law_is_told_with_its_place);
    tcase_add_test(runs, figures_of_a_map_stand_beside_those_of_its_truck);
    tcase_add_test(runs, time_in_filled_cells_is_counted_alike_with_and_without_a_trace);
    tcase_add_test(runs, a_truck_that_runs_much_in_filled_cells_is_warned_of);
    tcase_add_test(runs, two_motors_alike_share_one_map_and_the_torque);
    suite_add_tcase(suite, maps);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
