/* Axle loads and what tyres carry of them, against figures that are published or in closed form. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "plain_truck.h"
#include "pull/launch.h"
#include "pull/limits.h"
#include "pull/member.h"

#define KG_PER_LB 0.45359237
#define M_PER_IN 0.0254
#define N_PER_LBF 4.4482216152605

/* A drive that only serves to have the rig ready: level, slow, without anything in its way. */
static drive ready(const plain_truck *truck)
{
    evn_conditions ask = plain_ask(0);
    return drive_steady(truck, 10, 2, 0, &ask);
}

/* A rigid truck of 18 t with 11.5 t on its driven axle. */
static plain_truck rigid_truck(double centre_height_m)
{
    plain_truck truck = plain_truck_of(18000);
    truck.driven_load_kg = 11500;
    truck.wheelbase_m = 3.8;
    truck.centre_height_m = centre_height_m;
    return truck;
}

/* An instant at a speed on a slope, its room for temperatures beside it. */
typedef struct moment {
    evn_given at;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} moment;

static void moment_of(moment *m, const evn_rig *rig, double speed_m_s, double tangent, double accel_m_s2)
{
    m->at = (evn_given){.rig = rig,
                        .tangent = tangent,
                        .rolling_factor = 1,
                        .speed_m_s = speed_m_s,
                        .asked_m_s2 = accel_m_s2,
                        .soc = 0.5,
                        .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        evn_unit_start_degc(&rig->unit[u], m->degc[u]);
        m->at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&rig->unit[u], 0), .degc = m->degc[u]};
    }
}

/* ------------------------------------------------------------------------------------------------ axle loads */

/* On the level, and the two axles in front together. */
static double load_n(const evn_rig *rig, bool driven, double accel_m_s2, double brake_n)
{
    double sum = 0;
    for (size_t k = driven ? 2 : 0; k < (driven ? 3 : 2); k++)
        sum += evn_axle_load_n(&rig->axle[k].load, 9.81, 1, 0, accel_m_s2, brake_n);
    return sum;
}

START_TEST(braking_shifts_load_from_the_driven_axle_to_the_front)
{
    const published from = {
        "moments about the axles: dN = z m g h/L; 18 t, 11.5 t on the driven axle, L 3.8 m, z 0.5, 9.81 "
        "m/s2",
        CLOSED_FORM};
    const double z = 0.5, braked_n = z * 18000 * 9.81;
    plain_truck low = rigid_truck(1.0), high = rigid_truck(1.1);
    drive d = ready(&low);
    check_value(&from, load_n(d.rig, true, 0, 0) - load_n(d.rig, true, -z * 9.81, braked_n), RELATIVE, 23234.2, 1e-5,
                "N", "load that leaves the driven axle, centre of gravity at 1.0 m");
    drive_end(&d);
    d = ready(&high);
    check_value(&from, load_n(d.rig, false, -z * 9.81, braked_n), RELATIVE, 89323, 1e-5, "N",
                "front axle load, centre of gravity at 1.1 m");
    check_value(&from, load_n(d.rig, true, -z * 9.81, braked_n), RELATIVE, 87257, 1e-5, "N",
                "driven axle load, centre of gravity at 1.1 m");
    drive_end(&d);
}
END_TEST

/*
 * A tractor of 8 t and a semitrailer of 32 t by the balances of two bodies, solved one after another: moments of the
 * trailer about its kingpin and of the tractor about its front axle, at standstill on a slope or while it brakes.
 */
static const char combination[] =
    "name: combination\ninvented: true\n"
    "body: {mass_kg: 8000, centre_behind_front_axle_m: 1.2, centre_height_m: 1.0, drag_area_m2: 0}\n"
    "axles:\n"
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, tyre: {rolling_resistance_coefficient: 0.005, "
    "rolling_radius_m: 0.5}}\n"
    "  driven: {behind_front_axle_m: 3.7, support: rear, tyres: 4, tyre: {rolling_resistance_coefficient: 0.005, "
    "rolling_radius_m: 0.5}}\n"
    "fifth_wheel: {behind_front_axle_m: 3.1, height_m: 1.15}\n"
    "trailer: {mass_kg: 32000, centre_behind_kingpin_m: 5.0, centre_height_m: 1.9, axles_behind_kingpin_m: 7.7, tyres: "
    "6, "
    "tyre: {rolling_resistance_coefficient: 0.005, rolling_radius_m: 0.5}}\n"
    "payload: {centre_behind_m: 5, centre_height_m: 1.9}\n"
    "drive_units: {unit: {axles: [2], motors: {motor: {peak_torque_nm: 1e5, peak_power_kw: 1e4, top_speed_rpm: 1e4}}, "
    "machine_height_m: 0}}\n"
    "battery: {capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, discharge_limit_kw: "
    "1e5, "
    "charge_limit_kw: 1e5, start_soc: 0.5}\n";

typedef struct loads { /* N */
    double front, driven, trailer;
} loads;

/* `push` is what acts along the road on a kilogram: a + g sin; the trailer's brakes hold a part of its own. */
static loads by_balance(double cosine_n_kg, double push_n_kg, double trailer_brake_n)
{
    const double tractor_kg = 8000, trailer_kg = 32000, fifth_m = 1.15;
    double pulled_n = trailer_kg * push_n_kg + trailer_brake_n; /* by the kingpin, forwards */
    loads l;
    l.trailer =
        (trailer_kg * cosine_n_kg * 5.0 + trailer_kg * push_n_kg * (1.9 - fifth_m) - trailer_brake_n * fifth_m) / 7.7;
    double kingpin_n = trailer_kg * cosine_n_kg - l.trailer;
    l.driven =
        (tractor_kg * cosine_n_kg * 1.2 + tractor_kg * push_n_kg * 1.0 + kingpin_n * 3.1 + pulled_n * fifth_m) / 3.7;
    l.front = tractor_kg * cosine_n_kg + kingpin_n - l.driven;
    return l;
}

START_TEST(a_combination_stands_on_its_axles_by_the_balance_of_both_bodies)
{
    const published from = {
        "moments of the semitrailer about its kingpin and of the tractor about its front axle; 8 t and "
        "32 t",
        CLOSED_FORM};
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    evn_conditions ask = plain_ask(0);
    write_file("combination.yaml", combination);
    write_steady("steady.yaml", 10, 2, 0);
    drive d = drive_files(in_folder(truck_path, "combination.yaml"), in_folder(cycle_path, "steady.yaml"), &ask);
    const struct {
        const char *name;
        double tangent, accel_m_s2, brake_n;
    } row[] = {{"level", 0, 0, 0}, {"standing on 12 %", 0.12, 0, 0}, {"braking with 120 kN", 0, -3, 120e3}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        double cosine = 1 / sqrt(1 + row[i].tangent * row[i].tangent), sine = row[i].tangent * cosine, n[3];
        for (size_t k = 0; k < 3; k++)
            n[k] = evn_axle_load_n(&d.rig->axle[k].load, 9.81, cosine, sine, row[i].accel_m_s2, row[i].brake_n);
        /* friction brakes act on all axles in proportion to their loads at rest */
        double on_trailer_n = row[i].brake_n * 32000 * 5.0 / 7.7 / 40000;
        loads expected = by_balance(9.81 * cosine, row[i].accel_m_s2 + 9.81 * sine, on_trailer_n);
        check_value(&from, n[0], RELATIVE, expected.front, 1e-9, "N", "front axle load, %s", row[i].name);
        check_value(&from, n[1], RELATIVE, expected.driven, 1e-9, "N", "driven axle load, %s", row[i].name);
        check_value(&from, n[2], RELATIVE, expected.trailer, 1e-9, "N", "trailer axle load, %s", row[i].name);
    }
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ adhesion, pulling */

/* By how much the driven tyres carry more than what holds the truck on this grade. */
static double left_n(const evn_rig *rig, double tangent)
{
    moment m;
    moment_of(&m, rig, 0, tangent, 0);
    evn_launch_reach l = evn_launch_reach_of(&m.at);
    ck_assert_double_gt(l.motors_n, l.tyres_n);
    return l.both_n - l.need_n;
}

static double steepest_of_rig_percent(const evn_rig *rig)
{
    double low = 0, high = 0.5;
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        *(left_n(rig, middle) > 0 ? &low : &high) = middle;
    }
    return 100 * low;
}

static double steepest_percent(const plain_truck *truck)
{
    drive d = ready(truck);
    double percent = steepest_of_rig_percent(d.rig);
    drive_end(&d);
    return percent;
}

/* What a launch on this grade ends with. */
static bool launches(const plain_truck *truck, double percent)
{
    char cycle[300];
    snprintf(cycle, sizeof cycle,
             "name: start\ninvented: true\nspeed: {time_s: [0, 20, 25], speed_km_h: [0, 5, 5]}\n"
             "road: {place_m: [0, 100], grade_percent: [%.17g, %.17g]}\n",
             percent, percent);
    write_file("start.yaml", cycle);
    evn_conditions ask = plain_ask(0);
    drive d = drive_plain(truck, "start.yaml", &ask);
    bool finished = strcmp(evn_results_status(d.results), "finished") == 0;
    ck_assert(finished || strcmp(evn_results_status(d.results), "stalled") == 0);
    drive_end(&d);
    return finished;
}

START_TEST(a_truck_starts_on_the_grade_that_its_driven_axle_carries)
{
    const published from = {"mu N_driven/W - cr; 40 t, rolling coefficient 0.006", CLOSED_FORM};
    const struct {
        double driven_kg, mu, percent;
    } row[] = {{11500, 0.3, 8.025}, {11500, 0.8, 22.4}, {19000, 0.5, 23.15}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        plain_truck truck = plain_truck_of(40000);
        truck.rolling = 0.006;
        truck.driven_load_kg = row[i].driven_kg;
        truck.driving = row[i].mu;
        check_value(&from, steepest_percent(&truck), RELATIVE, row[i].percent, 1e-9, "%",
                    "steepest start, %g kg driven, adhesion %g", row[i].driven_kg, row[i].mu);
    }
    /* and so it drives */
    plain_truck truck = plain_truck_of(40000);
    truck.rolling = 0.006;
    truck.driven_load_kg = 11500;
    truck.driving = 0.3;
    ck_assert(launches(&truck, 0.99 * 8.025) && !launches(&truck, 1.001 * 8.025));
}
END_TEST

START_TEST(load_that_moves_to_the_driven_axle_lets_a_truck_start_on_a_steeper_grade)
{
    const published from = {
        "(mu a/L - cr)/(1 - mu h/L); 18 t, 11.5 t driven, h 1.1 m, L 3.8 m, rolling coefficient 0.006", CLOSED_FORM};
    const double mu[] = {0.3, 0.5}, percent[] = {20.332373, 36.648889};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = rigid_truck(1.1);
        truck.rolling = 0.006;
        truck.driving = mu[i];
        check_value(&from, steepest_percent(&truck), RELATIVE, percent[i], 1e-7, "%", "steepest start, adhesion %g",
                    mu[i]);
    }
}
END_TEST

/* 40 t with 11 t and 8 t on two driven axles; one motor behind an inter-axle differential, or one at each axle. */
static const char tandem[] =
    "name: tandem\ninvented: true\n"
    "body: {mass_kg: 40000, centre_behind_front_axle_m: 2.18, centre_height_m: 0, drag_area_m2: 0}\n"
    "axles:\n"
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, tyre: {rolling_resistance_coefficient: 0.006, "
    "rolling_radius_m: 0.5}}\n"
    "  first: {behind_front_axle_m: 4, support: rear, load_share: 0.11, tyres: 4, tyre: "
    "{rolling_resistance_coefficient: "
    "0.006, rolling_radius_m: 0.5}}\n"
    "  second: {behind_front_axle_m: 5.4, support: rear, load_share: 0.08, tyres: 4, tyre: "
    "{rolling_resistance_coefficient: "
    "0.006, rolling_radius_m: 0.5}}\n"
    "payload: {centre_behind_m: 1}\n"
    "battery: {capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, discharge_limit_kw: "
    "1e5, "
    "charge_limit_kw: 1e5, start_soc: 0.5}\n"
    "adhesion: {driving: 0.3}\n"
    "drive_units:\n";
#define STRONG "motors: {motor: {peak_torque_nm: 1e6, peak_power_kw: 1e5, top_speed_rpm: 1e5}}"
#define BRANCH(axle) "{axle: " #axle ", torque_share: 0.5, path: [final_drive: {ratio: 3, efficiency: 1}]}"

static double steepest_of_tandem_percent(const char *units)
{
    char text[4000], truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    evn_conditions ask = plain_ask(0);
    int length = snprintf(text, sizeof text, "%s%s", tandem, units);
    ck_assert(length > 0 && (size_t)length < sizeof text);
    write_file("tandem.yaml", text);
    write_steady("steady.yaml", 10, 2, 0);
    drive d = drive_files(in_folder(truck_path, "tandem.yaml"), in_folder(cycle_path, "steady.yaml"), &ask);
    check_near(evn_axle_load_n(&d.rig->axle[1].load, 9.81, 1, 0, 0, 0), 11000 * 9.81, 1e-9);
    check_near(evn_axle_load_n(&d.rig->axle[2].load, 9.81, 1, 0, 0, 0), 8000 * 9.81, 1e-9);
    double percent = steepest_of_rig_percent(d.rig);
    drive_end(&d);
    return percent;
}

START_TEST(behind_a_differential_the_lighter_axle_says_what_both_pull)
{
    const published open = {"equal torques: 2 mu N_lighter/W - cr; 40 t, 11 t and 8 t driven, adhesion 0.3, rolling "
                            "coefficient 0.006",
                            CLOSED_FORM};
    const published apart = {
        "each axle its own: mu (N_1 + N_2)/W - cr; 40 t, 11 t and 8 t driven, adhesion 0.3, rolling "
        "coefficient 0.006",
        CLOSED_FORM};
    check_value(&open,
                steepest_of_tandem_percent("  rear: {axles: [2, 3], " STRONG
                                           ", path: [], branches: {first: " BRANCH(2) ", second: " BRANCH(3) "}}\n"),
                RELATIVE, 11.4, 1e-7, "%", "steepest start, one motor and an inter-axle differential");
    check_value(&apart,
                steepest_of_tandem_percent("  first: {axles: [2], " STRONG ", path: []}\n  second: {axles: [3], " STRONG
                                           ", path: []}\n"),
                RELATIVE, 13.65, 1e-7, "%", "steepest start, a motor at each axle");
}
END_TEST

START_TEST(a_textbook_vehicle_pulls_what_its_driven_axle_carries_while_it_accelerates)
{
    /*
     * 3950 lb, 1850 lb of them at the rear, centre of gravity at 21 in, wheelbase 108 in, adhesion 0.62; a locking
     * differential. With an open one the reaction of the propeller shaft takes load from one wheel, which no axle load
     * here knows: 1201 lb.
     */
    const published from = {"Gillespie, Fundamentals of Vehicle Dynamics (SAE 1992), ch. 2, traction limit, locking "
                            "differential",
                            FROM_MEMORY};
    plain_truck truck = plain_truck_of(3950 * KG_PER_LB);
    truck.driven_load_kg = 1850 * KG_PER_LB;
    truck.wheelbase_m = 108 * M_PER_IN;
    truck.centre_height_m = 21 * M_PER_IN;
    truck.driving = 0.62;
    evn_conditions ask = plain_ask(0);
    ask.load_case.gravity_m_s2 = 9.80665;
    ask.driving.comfort_acceleration_m_s2 = 10;
    write_file("launch.yaml", "name: launch\ninvented: true\nspeed: {time_s: [0, 1, 20], speed_km_h: [0, 50, 50]}\n");
    drive d = drive_plain(&truck, "launch.yaml", &ask);
    ck_assert_double_gt(held_s(&d, "adhesion"), 3);
    check_value(&from, cell_where(&d, "speed_km_h", 25, "wheel_force_kn") * 1e3 / N_PER_LBF, RELATIVE, 1304, 3e-3,
                "lbf", "tyre force at the limit of adhesion");
    check_value(&from, cell_where(&d, "speed_km_h", 25, "acceleration_m_s2") / 9.80665, RELATIVE, 0.330, 3e-3, "g",
                "acceleration at it");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ adhesion, braking */

/* Share of gravity that the driven axle alone can slow the truck with. */
static double most_braking_g(const evn_rig *rig)
{
    double low = 0, high = 1;
    for (int i = 0; i < 60; i++) {
        double z = 0.5 * (low + high);
        moment m;
        moment_of(&m, rig, 20, 0, -z * 9.81);
        evn_pull pull = {.at = m.at};
        evn_pull_make(&pull);
        *(-evn_pull_most_n(&pull, false) > z * 9.81 * rig->mass_kg ? &low : &high) = z;
    }
    return low;
}

/* Braking from 72 km/h with a share of gravity. */
static drive drive_braking(const plain_truck *truck, double z)
{
    char cycle[300];
    double seconds = 15 / (z * 9.81);
    snprintf(cycle, sizeof cycle,
             "name: braking\ninvented: true\nspeed: {time_s: [0, 2, %.17g], speed_km_h: [72, 72, 18]}\n", 2 + seconds);
    write_file("braking.yaml", cycle);
    evn_conditions ask = plain_ask(0);
    ask.driving.trace_interval_s = 0.1;
    return drive_plain(truck, "braking.yaml", &ask);
}

START_TEST(motors_on_one_axle_brake_as_far_as_the_load_that_is_left_on_it)
{
    const published from = {
        "z = mu (a/L)/(1 + mu h/L), and F = mu (a/L - z h/L) m g beyond; 18 t, 11.5 t driven, h 1.1 m, L "
        "3.8 m, level",
        CLOSED_FORM};
    plain_truck truck = rigid_truck(1.1);
    truck.regenerating = 0.3;
    drive d = drive_braking(&truck, 0.175);
    check_value(&from, most_braking_g(d.rig), RELATIVE, 0.1763, 1e-3, "g",
                "most that the driven axle alone brakes with");
    ck_assert(result_of(&d, "energy_balance.friction_brakes_kwh") == 0);
    drive_end(&d);
    /* harder than that: friction brakes do the rest, and leave the driven axle less */
    d = drive_braking(&truck, 0.25);
    check_value(&from, -cell_where(&d, "speed_km_h", 45, "wheel_force_kn"), RELATIVE, 30.010855, 1e-7, "kN",
                "force of the motors braking with 0.25 g");
    check_value(&from, cell_where(&d, "speed_km_h", 45, "friction_brake_force_kn"), RELATIVE, 14.134145, 1e-7, "kN",
                "force of the friction brakes beside it");
    check_value(&from, result_of(&d, "regenerated_kwh") * EVN_J_PER_KWH, RELATIVE,
                30010.855 * 0.5 * (20 * 20 - 5 * 5) / (0.25 * 9.81), 1e-4, "J", "energy returned from 72 to 18 km/h");
    drive_end(&d);
}
END_TEST

START_TEST(a_margin_over_the_front_axle_leaves_to_the_motors_what_keeps_the_driven_axle_within_it)
{
    const published from = {
        "(F + s_d B)/N_d = s_f B/N_f + margin with F + B = z m g, s by loads at rest, N as they are: F = (margin N_d + "
        "k z "
        "m g)/(1 + k), k = s_f N_d/N_f - s_d; 18 t, 11.5 t driven, h 1.1 m, L 3.8 m, level, margin 0.15",
        CLOSED_FORM};
    plain_truck truck = rigid_truck(1.1);
    truck.regenerating_margin = 0.15;
    drive d = drive_braking(&truck, 0.25);
    check_value(&from, -cell_where(&d, "speed_km_h", 45, "wheel_force_kn"), RELATIVE, 9.165716, 1e-7, "kN",
                "force of the motors braking with 0.25 g");
    check_value(&from, cell_where(&d, "speed_km_h", 45, "friction_brake_force_kn"), RELATIVE, 34.979284, 1e-7, "kN",
                "force of the friction brakes beside it");
    const published alone = {
        "without friction brakes: z = margin (a/L)/(1 + margin h/L), as for an adhesion of that much", CLOSED_FORM};
    check_value(&alone, most_braking_g(d.rig), RELATIVE, 0.09184531, 1e-7, "g",
                "most that the driven axle alone brakes with");
    drive_end(&d);
}
END_TEST

START_TEST(motors_with_half_of_the_share_give_half_of_the_force_and_return_half_of_the_energy)
{
    const published from = {"F = z m g/2; 18 t, 0.25 g from 72 to 18 km/h, nothing lost", CLOSED_FORM};
    plain_truck truck = rigid_truck(0);
    truck.motor_share = 0.5;
    drive d = drive_braking(&truck, 0.25);
    check_value(&from, -cell_where(&d, "speed_km_h", 45, "wheel_force_kn"), RELATIVE, 0.5 * 0.25 * 9.81 * 18, 1e-9,
                "kN", "force of the motors braking with 0.25 g");
    check_value(&from, result_of(&d, "regenerated_kwh") * EVN_J_PER_KWH, RELATIVE,
                0.5 * 0.5 * 18000 * (20 * 20 - 5 * 5), 1e-4, "J", "energy returned from 72 to 18 km/h");
    check_value(&from, result_of(&d, "motor_braking_share"), RELATIVE, 0.5, 1e-4, "1",
                "the motors' part of all braking work");
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("adhesion, published");
    TCase *tests = tcase_create("adhesion");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, braking_shifts_load_from_the_driven_axle_to_the_front);
    tcase_add_test(tests, a_combination_stands_on_its_axles_by_the_balance_of_both_bodies);
    tcase_add_test(tests, a_truck_starts_on_the_grade_that_its_driven_axle_carries);
    tcase_add_test(tests, load_that_moves_to_the_driven_axle_lets_a_truck_start_on_a_steeper_grade);
    tcase_add_test(tests, behind_a_differential_the_lighter_axle_says_what_both_pull);
    tcase_add_test(tests, a_textbook_vehicle_pulls_what_its_driven_axle_carries_while_it_accelerates);
    tcase_add_test(tests, motors_on_one_axle_brake_as_far_as_the_load_that_is_left_on_it);
    tcase_add_test(tests, a_margin_over_the_front_axle_leaves_to_the_motors_what_keeps_the_driven_axle_within_it);
    tcase_add_test(tests, motors_with_half_of_the_share_give_half_of_the_force_and_return_half_of_the_energy);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
