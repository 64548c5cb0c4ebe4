/*
 * Runs of trucks with several drive units and several driven axles: disconnects, the number of motors at work, gear
 * changes in turn, layouts that must be equal, convergence, and files that are refused.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "trip/drive.h"

#define TWO "tests/trucks/two-units.yaml"
#define TANDEM "tests/trucks/tandem.yaml"
#define FOUR "tests/trucks/four-speed.yaml"

static const double PI = 3.14159265358979323846, J_PER_KWH = 3.6e6;
static const evn_driver drivers[] = {EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT};

/* Both units of two-units.yaml without a choice of gears. */
#define ONE_GEAR "gearbox: {ratios: [1], efficiencies: [0.99]}"

static double shown(const scene *of, const drive *run, size_t row, const char *key)
{
    return at_row(&of->rows, row, column(run, key));
}

/* ------------------------------------------------------------------------------------------------ open */

/* What still turns behind the open disconnect of two-units.yaml, by hand: gear, differential, wheel end. */
static double dragged_n(double speed_m_s, double accel_m_s2)
{
    double radius = 0.492, rpm = speed_m_s / radius * 30 / PI, accel = accel_m_s2 / radius;
    double gear_nm = -(15 + 9 * rpm / 600) - 1.0 * accel;
    double carried_nm = gear_nm < 0 ? gear_nm / 0.998 : gear_nm * 0.998;
    return (carried_nm - 0.3 * accel - (12 + 8 * rpm / 600)) / radius;
}

START_TEST(an_open_disconnect_leaves_only_the_drag_of_what_still_turns)
{
    trace rows = {NULL, 0, 0, 0};
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT; /* closes in no time: what does not work is open */
    drive run = drive_whole(TWO, HILL, &ask, &rows);
    scene of = {.rows = rows};
    size_t open = 0;
    for (size_t k = 0; k < rows.rows; k++) {
        double speed = shown(&of, &run, k, "speed_km_h") / 3.6;
        if (shown(&of, &run, k, "trailing.motors_engaged") > 0 || speed < 0.1)
            continue;
        open++;
        ck_assert_double_eq_tol(shown(&of, &run, k, "trailing.unit_wheel_force_kn") * 1e3,
                                dragged_n(speed, shown(&of, &run, k, "acceleration_m_s2")), 1e-6);
        ck_assert_double_eq(shown(&of, &run, k, "trailing.bus_kw"), 0);
        ck_assert_double_eq(shown(&of, &run, k, "trailing.motor_speed_rpm"), 0);
    }
    ck_assert_uint_gt(open, 50);
    trace_end(&rows);
    drive_end(&run);
}
END_TEST

/* Behind the disconnect: rotor and input shaft at 2.4 times 2.2, the first mesh at 2.2 times the wheels' speed. */
static double freed_j(double speed_m_s)
{
    double w = speed_m_s / 0.492, inertia = (0.07 + 0.01) * pow(2.2 * 2.4, 2) + 0.15 * 2.2 * 2.2;
    return 0.5 * inertia * w * w;
}

START_TEST(opening_and_closing_cost_their_share_of_the_energy_of_what_they_free_once)
{
    scene it = scene_of(TWO, "drive_units: {leading: {" ONE_GEAR "}, trailing: {" ONE_GEAR "}}",
                        "length_m: 7000\nspeed: {place_m: [0], limit_km_h: [70]}\n"
                        "road: {place_m: [1500, 1600, 2000, 2100, 4500, 4600, 5000, 5100], "
                        "grade_percent: [0, 5, 5, 0, 0, 5, 5, 0]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&it);
    must_finish(&run);
    double lost_j = 0;
    size_t changes = 0;
    for (size_t k = 1; k < it.rows.rows; k++) {
        double before = shown(&it, &run, k - 1, "trailing.motors_engaged");
        if (before != shown(&it, &run, k, "trailing.motors_engaged")) {
            lost_j += 0.15 * freed_j(shown(&it, &run, k, "speed_km_h") / 3.6);
            changes++;
        }
    }
    ck_assert_uint_ge(changes, 4);
    ck_assert_double_eq_tol(result(&run, "drive_units.trailing.gear_change_losses_kwh") * J_PER_KWH, lost_j,
                            1e-6 * lost_j);
    ck_assert_double_eq(result(&run, "drive_units.leading.gear_change_losses_kwh"), 0);
    scene_end(&it, &run);
}
END_TEST

/* When the disconnect opens first at speed (INFINITY: never), what the terminals give before and after, and how long
 * the speed is held. */
typedef struct opening {
    double at_s, saved_w, held_from_s, held_to_s;
} opening;

static bool is_open(const scene *it, const drive *run, size_t k)
{
    return shown(it, run, k, "trailing.motors_engaged") == 0;
}

static opening opening_of(const char *price, evn_driver driver)
{
    char changes[400];
    snprintf(changes, sizeof changes,
             "drive_units: {leading: {" ONE_GEAR ", engagement: {fewest: 2}}, trailing: {" ONE_GEAR ", path: ["
             "disconnect: {price_kj: %s}, mesh: {ratio: 5.28, efficiency: 0.98, mass_kg: 145}]}}",
             price);
    scene it = scene_of(TWO, changes, "length_m: 6000\nspeed: {place_m: [0], limit_km_h: [50]}");
    opening o = {.at_s = (double)INFINITY, .saved_w = (double)NAN, .held_from_s = (double)NAN};
    it.ask.driving.driver = driver;
    it.ask.driving.accuracy = 1e-8;
    drive run = play(&it);
    must_finish(&run);
    for (size_t k = 1; k < it.rows.rows; k++) {
        bool held = fabs(shown(&it, &run, k, "acceleration_m_s2")) < 1e-8 && shown(&it, &run, k, "speed_km_h") > 49;
        if (held && isnan(o.held_from_s))
            o.held_from_s = shown(&it, &run, k, "time_s");
        if (held)
            o.held_to_s = shown(&it, &run, k, "time_s");
        if (held && isinf(o.at_s) && is_open(&it, &run, k) && !is_open(&it, &run, k - 1)) {
            o.at_s = shown(&it, &run, k, "time_s");
            o.saved_w = 1e3 * (shown(&it, &run, k - 1, "terminal_kw") - shown(&it, &run, k, "terminal_kw"));
        }
    }
    scene_end(&it, &run);
    return o;
}

START_TEST(a_disconnect_of_a_human_driver_opens_once_it_would_have_saved_its_price)
{
    opening early = opening_of("40", EVN_DRIVER_HUMAN), late = opening_of("90", EVN_DRIVER_HUMAN);
    ck_assert_double_gt(early.saved_w, 200);
    /* the windings cool a little in between: hence the mean of what is saved at the begin and at the end */
    ck_assert_double_eq_tol((late.at_s - early.at_s) * 0.5 * (early.saved_w + late.saved_w), 50e3, 250);
}
END_TEST

/* What it saves over the way on which the speed is held, against prices of one opening and of two. */
START_TEST(who_knows_the_way_opens_a_disconnect_at_once_where_that_pays_and_never_where_it_does_not)
{
    opening waits = opening_of("40", EVN_DRIVER_HUMAN), o;
    char price[40];
    double saves_j = waits.saved_w * fmin(waits.held_to_s - waits.held_from_s, 300); /* as far as he looks ahead */
    snprintf(price, sizeof price, "%.6f", 0.4e-3 * saves_j);
    o = opening_of(price, EVN_DRIVER_EXACT);
    ck_assert_double_lt(o.at_s, o.held_from_s + 1);
    snprintf(price, sizeof price, "%.6f", 1.1e-3 * waits.saved_w * (waits.held_to_s - waits.held_from_s));
    o = opening_of(price, EVN_DRIVER_EXACT);
    ck_assert_double_eq(o.at_s, (double)INFINITY);
}
END_TEST

START_TEST(on_a_rolling_road_a_disconnect_does_not_chatter)
{
    static const char cycle[] = "length_m: 8000\nspeed: {place_m: [0], limit_km_h: [70]}\n"
                                "road: {place_m: [0, 200, 400], grade_percent: [1.8, -1.8, 1.8], repeat: true}";
    double kwh[2], openings[2], price_kj[2] = {5, 10000};
    for (int k = 0; k < 2; k++) {
        char changes[300];
        snprintf(changes, sizeof changes,
                 "drive_units: {trailing: {path: [mesh: {ratio: 2.4, efficiency: 0.989}, disconnect: {price_kj: %g}, "
                 "mesh: {ratio: 2.2, efficiency: 0.989}]}}",
                 price_kj[k]);
        scene it = scene_of(TWO, changes, cycle);
        it.ask.driving.driver = drivers[_i];
        it.ask.driving.comfort_braking_m_s2 = 0.25; /* so that the leading unit alone can do it */
        drive run = play(&it);
        must_finish(&run);
        kwh[k] = result(&run, "battery_kwh");
        openings[k] = result(&run, "drive_units.trailing.disconnections");
        scene_end(&it, &run);
    }
    ck_assert_double_ge(openings[0], 1);
    ck_assert_double_le(openings[0], 21); /* once for each of the twenty dips, and once more */
    ck_assert_double_eq(openings[1], 0);
    ck_assert_double_lt(kwh[0], kwh[1] + 2 * openings[0] * price_kj[0] * 1e3 / J_PER_KWH);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ closing */

/* Onto a climb that the leading unit alone cannot take: for how long it is at its peak torque alone. */
static double alone_s(evn_driver driver, const char *time_s)
{
    char changes[400];
    double sum = 0;
    snprintf(changes, sizeof changes,
             "drive_units: {leading: {" ONE_GEAR "}, trailing: {" ONE_GEAR ", path: [mesh: {ratio: 2.4, efficiency: "
             "0.989}, disconnect: {time_s: %s}, mesh: {ratio: 2.2, efficiency: 0.989}]}}",
             time_s);
    scene it = scene_of(TWO, changes,
                        "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [50]}\n"
                        "road: {place_m: [1500, 1501, 2900, 2901], grade_percent: [0, 6, 6, 0]}");
    it.ask.driving.driver = driver;
    it.ask.driving.trace_interval_s = 0.05;
    drive run = play(&it);
    ck_assert_ptr_nonnull(run.results);
    bool opened = false, closed = false;
    for (size_t k = 0; k + 1 < it.rows.rows; k++) {
        bool working = shown(&it, &run, k, "trailing.motors_engaged") > 0;
        bool full = shown(&it, &run, k, "leading.motor_torque_nm") > 1299;
        opened = opened || (!working && shown(&it, &run, k, "place_m") > 500);
        closed = closed || (working && opened);
        double step_s = shown(&it, &run, k + 1, "time_s") - shown(&it, &run, k, "time_s");
        sum += opened && full && !working ? step_s : 0;
    }
    ck_assert(opened && closed);
    scene_end(&it, &run);
    return sum;
}

START_TEST(who_is_asked_for_more_than_the_closed_units_give_closes_in_the_stated_time)
{
    ck_assert_double_eq_tol(alone_s(EVN_DRIVER_HUMAN, "0.5"), 0.5, 0.051);
    ck_assert_double_eq_tol(alone_s(EVN_DRIVER_HUMAN, "2"), 2, 0.051);
    ck_assert_double_eq_tol(alone_s(EVN_DRIVER_EXACT, "2"), 0, 1e-6);
}
END_TEST

/* Slowing harder than the leading unit alone can brake: what motors can take must not go to the friction brakes. */
START_TEST(who_brakes_harder_than_the_closed_units_can_closes_at_once)
{
    scene it = scene_of(TWO, "drive_units: {leading: {" ONE_GEAR "}, trailing: {" ONE_GEAR "}}",
                        "length_m: 3000\nspeed: {place_m: [0, 2000], limit_km_h: [50, 10]}\n");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.trace_interval_s = 0.05;
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_ge(result(&run, "drive_units.trailing.disconnections"), 1);
    size_t open = 0;
    for (size_t k = 0; k < it.rows.rows; k++) {
        if (shown(&it, &run, k, "place_m") < 1500 || shown(&it, &run, k, "speed_km_h") < 20)
            continue;
        bool brakes = shown(&it, &run, k, "friction_brake_force_kn") > 0.01;
        open += brakes && !(shown(&it, &run, k, "trailing.motors_engaged") > 0);
    }
    ck_assert_uint_eq(open, 0);
    scene_end(&it, &run);
}
END_TEST

/* The trailing unit turns too fast beyond 55 km/h: it opens there, and a climb at full power does not close it. */
START_TEST(a_unit_that_would_turn_too_fast_opens_and_stays_open_at_the_limit_of_the_others)
{
    scene it = scene_of(TWO,
                        "drive_units: {trailing: {" ONE_GEAR ", path: [disconnect: {}, mesh: {ratio: 34, efficiency: "
                        "0.98}]}}",
                        "length_m: 6000\nspeed: {place_m: [0], limit_km_h: [85]}\n"
                        "road: {place_m: [2000, 2200, 5800, 5900], grade_percent: [0, 3, 3, 0]}");
    it.ask.driving.driver = drivers[_i];
    drive run = play(&it);
    must_finish(&run);
    double top_rpm = 0;
    for (size_t k = 0; k < it.rows.rows; k++)
        top_rpm = fmax(top_rpm, shown(&it, &run, k, "trailing.motor_speed_rpm"));
    ck_assert_double_gt(result(&run, "drive_units.trailing.disconnections"), 0);
    ck_assert_double_lt(top_rpm, 10500);
    ck_assert_double_lt(result(&run, "drive_units.trailing.disconnections"), 10);
    scene_end(&it, &run);
}
END_TEST

/* Both units can disconnect, and the leading one turns too fast beyond 65 km/h: there the other one has to stay. */
START_TEST(the_unit_that_is_good_for_the_top_speed_does_not_disconnect)
{
    scene it = scene_of(TWO,
                        "drive_units: {leading: {" ONE_GEAR ", path: [disconnect: {price_kj: 0.1}, mesh: {ratio: 30, "
                        "efficiency: 0.99}]}, trailing: {" ONE_GEAR ", path: [disconnect: {price_kj: 0.1}, mesh: "
                        "{ratio: 12, efficiency: 0.94}]}}",
                        "length_m: 4000\nspeed: {place_m: [0, 1500], limit_km_h: [50, 85]}");
    it.ask.driving.driver = drivers[_i];
    drive run = play(&it);
    must_finish(&run);
    double fastest_km_h = 0;
    for (size_t k = 0; k < it.rows.rows; k++) {
        ck_assert_double_lt(shown(&it, &run, k, "leading.motor_speed_rpm"), 10500);
        fastest_km_h = fmax(fastest_km_h, shown(&it, &run, k, "speed_km_h"));
    }
    ck_assert_double_gt(fastest_km_h, 80);
    scene_end(&it, &run);
}
END_TEST

/* Too hot to give anything, a unit's engaged motors cannot be told apart by round-off. */
START_TEST(a_unit_at_the_end_of_its_derating_does_not_change_its_mind_without_end)
{
    scene it = scene_of(TWO,
                        "drive_units: {leading: {motors: {a: {winding: {start_degc: 400, time_constant_s: 100000}}, b: "
                        "{winding: {start_degc: 400, time_constant_s: 100000}}}}}",
                        "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [50]}");
    it.ask.driving.driver = drivers[_i];
    it.ask.driving.accuracy = 1e-8;
    drive run = play(&it);
    must_finish(&run);
    ck_assert_uint_lt(run.results->events, 400);
    scene_end(&it, &run);
}
END_TEST

/* Motors that may not brake at all, by the tyres: the brakes do it, and units are not set against each other. */
START_TEST(without_adhesion_for_regenerating_the_friction_brakes_do_all)
{
    scene it = scene_of(TWO, "adhesion: {regenerating: 0}\nbattery: {discharge_limit_kw: 250}",
                        "length_m: 4000\nspeed: {place_m: [0, 1500, 2500], limit_km_h: [80, 40, 70]}\n"
                        "road: {place_m: [500, 700], grade_percent: [0, -3]}");
    it.ask.driving.driver = drivers[_i];
    drive run = play(&it);
    must_finish(&run);
    for (size_t k = 0; k < it.rows.rows; k++) {
        ck_assert_double_gt(shown(&it, &run, k, "leading.unit_wheel_force_kn"), -0.5); /* drag while a gear changes */
        ck_assert_double_gt(shown(&it, &run, k, "trailing.unit_wheel_force_kn"), -0.5);
    }
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ how many motors */

/* Two of the motor of four-speed.yaml, each with a clutch; of the losses what is a constant times current is left out.
 */
#define MOTOR                                                                                                          \
    "{peak_torque_nm: 2500, peak_power_kw: 380, top_speed_rpm: 3500, rotor_inertia_kg_m2: 0.67, mass_kg: 255, loss: "  \
    "{constant_w: 115, speed_w_per_rad_s: 5.5, speed_squared_w_per_rad2_s2: 0.043, torque_squared_w_per_nm2: "         \
    "0.00395}, field_weakening: {characteristic_current_share: 0.8}, inverter: {constant_w: 380, current_w: 0, "       \
    "current_squared_w: 0, mass_kg: 30}, winding: {coolant_degc: 65, resistance_k_per_kw: 7.5, time_constant_s: 180, " \
    "derate_from_degc: 150, derate_to_degc: 175}}"

/*
 * One motor loses P + c3 T^2, two lose 2 P + c3 T^2/2: one as long as T^2 < 2 P/c3, with P what lets itself be switched
 * off (common practice, no source).
 */
START_TEST(as_many_motors_work_as_lose_least)
{
    static const double percent[] = {-0.2, 0.2, 0.5, 0.8, 1.2, 1.6, 2};
    char cycle[300];
    snprintf(cycle, sizeof cycle,
             "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [60]}\n"
             "road: {place_m: [600, 700, 2990, 3000], grade_percent: [0, %g, %g, 0]}",
             percent[_i], percent[_i]);
    scene it = scene_of(FOUR,
                        "drive_units: {rear: {idle_motors_stand_still: true, gearbox: {ratios: [1], efficiencies: "
                        "[0.99]}, motors: {a: " MOTOR ", b: " MOTOR "}}}",
                        cycle);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&it);
    must_finish(&run);
    size_t k = 0;
    while (shown(&it, &run, k, "place_m") < 2500)
        k++;
    double w = shown(&it, &run, k, "motor_speed_rpm") * PI / 30, nm = shown(&it, &run, k, "motor_torque_nm");
    double fixed_w = 115 + 5.5 * w + 0.043 * w * w + 380;
    double copper = 0.00395 * (235 + shown(&it, &run, k, "winding_temperature_degc")) / (235 + 100);
    double over = nm * nm / (2 * fixed_w / copper);
    ck_assert_double_gt(fabs(over - 1), 0.03); /* none of the grades is a tie */
    ck_assert_double_eq(shown(&it, &run, k, "motors_engaged"), over < 1 ? 1 : 2);
    scene_end(&it, &run);
}
END_TEST

START_TEST(choosing_how_many_motors_work_costs_no_more_than_its_price)
{
    static const char *const engagement[] = {"{price_kj: 2}", "{fewest: 2}"};
    double kwh[2], changes = 0;
    for (int k = 0; k < 2; k++) {
        char text[1200];
        snprintf(text, sizeof text,
                 "drive_units: {rear: {engagement: %s, gearbox: {ratios: [1], efficiencies: [0.99]}, motors: {a: " MOTOR
                 ", b: " MOTOR "}}}",
                 engagement[k]);
        scene it = scene_of(FOUR, text,
                            "length_m: 4000\nspeed: {place_m: [0, 2000], limit_km_h: [60, 75]}\n"
                            "road: {place_m: [500, 700, 1500, 1700], grade_percent: [0, 2, -2, 0]}");
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        drive run = play(&it);
        must_finish(&run);
        kwh[k] = result(&run, "battery_kwh");
        changes += k == 0 ? result(&run, "drive_units.rear.engagement_changes") : 0;
        scene_end(&it, &run);
    }
    ck_assert_double_gt(changes, 0);
    ck_assert_double_le(kwh[0], kwh[1] + changes * 2e3 / J_PER_KWH);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ in turn */

/* Without a disconnect one of the two always pulls; at the begin of a pause the other takes over what it can. */
START_TEST(units_shift_in_turn_and_the_other_fills_in)
{
    static const char *const names[] = {"leading", "trailing"};
    scene it = scene_of(TWO,
                        "drive_units: {trailing: {path: [mesh: {ratio: 2.4, efficiency: 0.989}, mesh: {ratio: 2.2, "
                        "efficiency: 0.989}]}}",
                        "length_m: 6000\nspeed: {place_m: [0], limit_km_h: [80]}\n"
                        "road: {place_m: [2000, 2200, 3500, 3700], grade_percent: [0, 4, 4, 0]}");
    drive run = play(&it);
    must_finish(&run);
    size_t pauses = 0, filled = 0;
    for (size_t k = 1; k < it.rows.rows; k++) {
        double gears[2][2];
        for (size_t u = 0; u < 2; u++) {
            char key[40];
            snprintf(key, sizeof key, "%s.gear", names[u]);
            gears[0][u] = shown(&it, &run, k - 1, key);
            gears[1][u] = shown(&it, &run, k, key);
        }
        ck_assert_msg(gears[1][0] > 0 || gears[1][1] > 0, "both out of gear at %g s", shown(&it, &run, k, "time_s"));
        for (size_t u = 0; u < 2; u++) {
            double before_kn = shown(&it, &run, k - 1, "wheel_force_kn");
            if (gears[0][u] == 0 || gears[1][u] > 0 || before_kn < 2)
                continue;
            char key[40];
            snprintf(key, sizeof key, "%s.unit_wheel_force_kn", names[1 - u]);
            ck_assert_double_gt(shown(&it, &run, k, key), shown(&it, &run, k - 1, key));
            pauses++;
            filled += fabs(shown(&it, &run, k, "wheel_force_kn") - before_kn) < 0.02 * before_kn;
        }
    }
    ck_assert_uint_ge(pauses, 2);
    ck_assert_uint_ge(filled, 1);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ equal layouts */

/* Of tandem.yaml without its axles and drive units: lines of one of these keys up to the next key. */
static void write_bare(void)
{
    char line[2000], path[PATH_BYTES];
    bool keep = true;
    FILE *from = fopen(TANDEM, "r"), *to = fopen(in_folder(path, "bare.yaml"), "w");
    ck_assert(from && to);
    while (fgets(line, sizeof line, from)) {
        if (line[0] != ' ')
            keep = strncmp(line, "axles:", 6) != 0 && strncmp(line, "drive_units:", 12) != 0;
        ck_assert(!keep || fputs(line, to) >= 0);
    }
    fclose(from);
    ck_assert_int_eq(fclose(to), 0);
}

/* Energy and time of the rest of that file with axles and drive units of its own. */
static double energy_of(const char *parts, evn_driver driver, double *time_s)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], text[6000];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = driver;
    ask.driving.accuracy = 1e-8;
    write_bare();
    snprintf(text, sizeof text, "extends: bare.yaml\n%s\n", parts);
    write_file("truck.yaml", text);
    write_file("cycle.yaml",
               "name: a scene\ninvented: true\nlength_m: 5000\nspeed: {place_m: [0, 2500], limit_km_h: [60, 80]}\n"
               "road: {place_m: [800, 1000, 1600, 1800, 3000, 3200], grade_percent: [0, 5, 5, 0, 0, -4]}\n");
    drive run = drive_whole(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask, NULL);
    ck_assert_double_lt(result(&run, "balance_error"), 1e-6);
    double kwh = result(&run, "battery_kwh");
    *time_s = result(&run, "duration_s");
    drive_end(&run);
    return kwh;
}

static void must_be_equal(const char *one, const char *other, evn_driver driver, double tolerance)
{
    double time_a, time_b, a = energy_of(one, driver, &time_a), b = energy_of(other, driver, &time_b);
    ck_assert_msg(fabs(a - b) <= tolerance * fabs(a), "%.10g and %.10g kWh", a, b);
    ck_assert_msg(fabs(time_a - time_b) <= tolerance * time_a, "%.10g and %.10g s", time_a, time_b);
}

#define TYRE                                                                                                           \
    "tyre: {rolling_resistance_coefficient: 0.0058, rolling_radius_m: 0.492, inertia_kg_m2: 14, "                      \
    "longitudinal_slip_stiffness: 12}}"
#define FRONT "axles:\n  front: {behind_front_axle_m: 0, support: front, tyres: 2, mass_kg: 620, " TYRE "\n"
#define TWO_AXLES                                                                                                      \
    FRONT "  first: {behind_front_axle_m: 3.9, support: rear, tyres: 2, mass_kg: 820, " TYRE "\n"                      \
          "  second: {behind_front_axle_m: 5.25, support: rear, tyres: 2, mass_kg: 820, " TYRE "\n"
#define ONE_AXLE FRONT "  only: {behind_front_axle_m: 4.575, support: rear, tyres: 4, mass_kg: 1640, " TYRE "\n"

/* A motor, and the gear of an axle; what is needed of it once by both axles, or by each. */
#define SMALL                                                                                                          \
    "{peak_torque_nm: 700, peak_power_kw: 220, top_speed_rpm: 9000, rotor_inertia_kg_m2: 0.1, loss: {constant_w: 90, " \
    "speed_w_per_rad_s: 1.4, torque_squared_w_per_nm2: 0.034}, inverter: {constant_w: 200, current_w: 1500}}"
#define TWO_MOTORS "motors: {a: " SMALL ", b: " SMALL "}, engagement: {fewest: 2}"
#define PLACE "machine_behind_front_axle_m: 4.575, "
#define EACH                                                                                                           \
    "{ratio: 15, efficiency: 0.965, drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [21, 40]}, inertia_kg_m2: " \
    "1.2, mass_kg: 200}"
#define BOTH                                                                                                           \
    "{ratio: 15, efficiency: 0.965, drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [42, 80]}, inertia_kg_m2: " \
    "2.4, mass_kg: 400}"
#define TANDEM_UNIT                                                                                                    \
    TWO_AXLES "drive_units: {rear: {axles: [2, 3], " PLACE TWO_MOTORS                                                  \
              ", branches: {first: {axle: 2, path: [mesh: " EACH "]}, second: {axle: 3, path: [mesh: " EACH "]}}}}"

START_TEST(a_tandem_without_a_through_drive_is_an_axle_that_drags_and_carries_twice_as_much)
{
    must_be_equal(TANDEM_UNIT,
                  ONE_AXLE "drive_units: {rear: {axles: [2], " PLACE TWO_MOTORS ", path: [mesh: " BOTH "]}}",
                  drivers[_i], 1e-6);
}
END_TEST

/* Two motors on one shaft that divides without loss, or one at each axle: each carries half of everything. */
START_TEST(two_alike_units_are_one_unit_that_divides_without_loss)
{
    must_be_equal(TANDEM_UNIT,
                  TWO_AXLES "drive_units: {one: {axles: [2], " PLACE "motors: {a: " SMALL "}, path: [mesh: " EACH
                            "]}, other: {axles: [3], " PLACE "motors: {a: " SMALL "}, path: [mesh: " EACH "]}}",
                  drivers[_i], 1e-6);
}
END_TEST

/* The tyres' slip power goes with the square of their force: unequal shares p and q of it take p^2 + q^2, not a half.
 */
START_TEST(all_torque_on_one_of_two_axles_takes_nearly_twice_the_slip)
{
    double slip_kwh[2];
    static const char *const shares[] = {"1", "0.05"};
    for (int k = 0; k < 2; k++) {
        char changes[200];
        snprintf(changes, sizeof changes,
                 "drive_units: {rear: {branches: {trailing: {torque_share: %s}, leading: "
                 "{torque_share: 1}}}}",
                 shares[k]);
        scene it = scene_of(TANDEM, changes,
                            "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [40]}\n"
                            "road: {place_m: [500, 501, 2900, 2901], grade_percent: [0, 2, 2, 0]}");
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        it.ask.driving.comfort_acceleration_m_s2 = it.ask.driving.comfort_braking_m_s2 = 0.2;
        drive run = play(&it);
        must_finish(&run);
        slip_kwh[k] = result(&run, "energy_balance.tyre_slip_losses_kwh");
        scene_end(&it, &run);
    }
    double p = 1 / 1.05, q = 0.05 / 1.05;
    /* not to the digit: through-drive and drags take their part of each share, and slip adds to the torque */
    ck_assert_double_eq_tol(slip_kwh[1] / slip_kwh[0], (p * p + q * q) / 0.5, 0.06);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ convergence */

static const struct {
    const char *truck, *cycle;
    evn_driver driver;
} settings[] = {
    {TWO, HILL, EVN_DRIVER_HUMAN},     {TWO, HILL, EVN_DRIVER_EXACT},     {TANDEM, HILL, EVN_DRIVER_HUMAN},
    {TANDEM, HILL, EVN_DRIVER_EXACT},  {TWO, URBAN, EVN_DRIVER_HUMAN},    {TWO, URBAN, EVN_DRIVER_EXACT},
    {TANDEM, URBAN, EVN_DRIVER_HUMAN}, {TANDEM, URBAN, EVN_DRIVER_EXACT},
};
enum { SETTINGS = sizeof settings / sizeof *settings };

START_TEST(energy_and_closure_converge_with_the_accuracy)
{
    double reference_kwh = 0, reference_shifts = 0;
    for (int digits = 9; digits >= 5; digits--) {
        evn_conditions ask = evn_conditions_default();
        ask.driving.driver = settings[_i].driver;
        ask.driving.accuracy = pow(10, -digits);
        drive run = drive_whole(settings[_i].truck, settings[_i].cycle, &ask, NULL);
        double kwh = result(&run, "battery_kwh"), shifts = result(&run, "gear_changes");
        reference_kwh = digits == 9 ? kwh : reference_kwh;
        reference_shifts = digits == 9 ? shifts : reference_shifts;
        ck_assert_msg(fabs(kwh / reference_kwh - 1) <= 60 * ask.driving.accuracy + 2e-7,
                      "%.10g kWh at 1e-%d, %.10g at 1e-9", kwh, digits, reference_kwh);
        ck_assert_double_eq(shifts, reference_shifts);
        ck_assert_msg(result(&run, "balance_error") <= 20 * ask.driving.accuracy + 1e-9, "balance_error %g at 1e-%d",
                      result(&run, "balance_error"), digits);
        drive_end(&run);
    }
}
END_TEST

/*
 * Braking from speed the pack's limit binds first; as the truck slows the motors' own does, and fades out before rest.
 * None of it may be stepped over, whatever the accuracy.
 */
START_TEST(braking_the_packs_limit_gives_way_to_the_motors)
{
    static const char *const units[] = {"rear", "leading"};
    double reference_kwh = 0;
    for (int digits = 9; digits >= 5; digits--) {
        char changes[200];
        snprintf(changes, sizeof changes, "battery: {charge_limit_kw: 120}\ndrive_units: {%s: {" ONE_GEAR "}}",
                 units[_i]);
        scene it =
            scene_of(_i == 0 ? FOUR : TWO, changes, "length_m: 1500\nspeed: {place_m: [0, 900], limit_km_h: [80, 60]}");
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        it.ask.driving.comfort_braking_m_s2 = 1.2;
        it.ask.driving.accuracy = pow(10, -digits);
        drive run = play(&it);
        ck_assert_msg(run.status == EVN_DONE, "%s", first_finding(run.report));
        double kwh = result(&run, "battery_kwh");
        reference_kwh = digits == 9 ? kwh : reference_kwh;
        ck_assert_msg(fabs(kwh / reference_kwh - 1) <= 60 * it.ask.driving.accuracy,
                      "%.10g kWh at 1e-%d, %.10g at 1e-9", kwh, digits, reference_kwh);
        scene_end(&it, &run);
    }
}
END_TEST

/* Up a long climb, slower and slower: held by the pack first, then by the motor's torque. */
START_TEST(climbing_the_packs_limit_gives_way_to_the_motors)
{
    scene it = scene_of(FOUR, "battery: {discharge_limit_kw: 220}\ndrive_units: {rear: {" ONE_GEAR "}}",
                        "speed: {time_s: [0, 60, 90], speed_km_h: [60, 60, 60]}\n"
                        "road: {place_m: [0, 1, 1500], grade_percent: [7, 7, 7]}");
    it.ask.driving.driver = drivers[_i];
    drive run = play(&it);
    ck_assert_ptr_nonnull(run.results);
    double pack_s = 0, motor_s = 0;
    evn_limitation held;
    for (size_t k = 0; evn_results_limitation_at(run.results, k, &held); k++) {
        pack_s += strcmp(held.limit, "battery_power") == 0 ? held.duration_s : 0;
        motor_s += strcmp(held.limit, "motor_torque") == 0 ? held.duration_s : 0;
    }
    ck_assert_double_gt(pack_s, 1);
    ck_assert_double_gt(motor_s, 1);
    scene_end(&it, &run);
}
END_TEST

static void must_be_the_same_bytes(const drive *a, const drive *b)
{
    evn_quantity what_a, what_b;
    double of_a, of_b;
    ck_assert_uint_eq(evn_results_count(a->results), evn_results_count(b->results));
    for (size_t k = 0; evn_results_at(a->results, k, &what_a, &of_a); k++) {
        ck_assert(evn_results_at(b->results, k, &what_b, &of_b));
        ck_assert_str_eq(what_a.key, what_b.key);
        ck_assert_msg(memcmp(&of_a, &of_b, sizeof of_a) == 0, "%s: %.17g and %.17g", what_a.key, of_a, of_b);
    }
    ck_assert_uint_eq(a->results->steps, b->results->steps);
}

START_TEST(a_run_gives_the_same_bytes_twice_and_with_a_trace)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = settings[_i].driver;
    ask.driving.trace_interval_s = 0.3;
    trace rows = {NULL, 0, 0, 0};
    drive bare = drive_whole(settings[_i].truck, settings[_i].cycle, &ask, NULL);
    drive again = drive_whole(settings[_i].truck, settings[_i].cycle, &ask, NULL);
    drive watched = drive_whole(settings[_i].truck, settings[_i].cycle, &ask, &rows);
    must_be_the_same_bytes(&bare, &again);
    must_be_the_same_bytes(&bare, &watched);
    trace_end(&rows);
    drive_end(&bare);
    drive_end(&again);
    drive_end(&watched);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ refusals */

#define STEP "mesh: {ratio: 2, efficiency: 1}"
#define ENDS "differential: {efficiency: 1}, wheel_end: {}"
/* Lines of the file that was changed, or of what it builds on. */
static const struct {
    const char *base, *changes;
    unsigned line;
    const char *fault, *piece;
} refused[] = {
    {FOUR, "drive_units:\n  rear:\n    branches:\n      a: {axle: 2, path: [" STEP "]}", 4, "disagrees", "branches"},
    {TANDEM, "drive_units:\n  rear:\n    axles: [2]", 63, "disagrees", "2 branches"},
    {TANDEM, "drive_units:\n  rear:\n    axles: [2, 9]", 4, "out_of_range", "9"},
    {TANDEM, "drive_units:\n  rear:\n    branches:\n      trailing: {axle: 2}", 5, "disagrees", "axle 2 again"},
    {TANDEM, "drive_units:\n  rear:\n    axles: [2, 1]", 69, "disagrees", "axle 3"},
    {TWO, "drive_units:\n  trailing:\n    axles: [2]", 4, "disagrees", "axle"},
    {TANDEM,
     "drive_units:\n  rear:\n    branches:\n      leading: {path: [" STEP ", " ENDS ", disconnect: {}]}\n"
     "      trailing: {path: [" STEP ", disconnect: {}, " ENDS "]}",
     6, "disagrees", "a disconnect in every branch"},
    {TWO, "drive_units:\n  trailing:\n    path: [disconnect: {}, " STEP ", disconnect: {}, " ENDS "]", 4, "disagrees",
     "a second disconnect"},
    {TWO, "drive_units:\n  leading:\n    motors:\n      b: {peak_torque_nm: 651}", 5, "disagrees",
     "differs from motor a"},
    {TANDEM, "drive_units:\n  rear:\n    branches:\n      trailing: {torque_share: 0}", 5, "out_of_range", "0.05"},
};

START_TEST(what_does_not_fit_together_is_refused_where_it_stands)
{
    char text[1000], here[300], path[PATH_BYTES];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, refused[_i].base, refused[_i].changes);
    write_file("truck.yaml", text);
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding finding = {.text = "nothing", .fault = "none"};
    evn_truck_load(in_folder(path, "truck.yaml"), &truck, report);
    evn_report_at(report, 0, &finding);
    ck_assert_msg(!truck && strcmp(finding.fault, refused[_i].fault) == 0 && finding.line == refused[_i].line &&
                      strstr(finding.text, refused[_i].piece),
                  "%s in line %u: %s", finding.fault, finding.line, finding.text);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("team runs");
    TCase *disconnects = tcase_create("disconnects");
    tcase_add_checked_fixture(disconnects, folder_begin, folder_end);
    tcase_add_test(disconnects, an_open_disconnect_leaves_only_the_drag_of_what_still_turns);
    tcase_add_test(disconnects, opening_and_closing_cost_their_share_of_the_energy_of_what_they_free_once);
    tcase_add_test(disconnects, a_disconnect_of_a_human_driver_opens_once_it_would_have_saved_its_price);
    tcase_add_test(disconnects,
                   who_knows_the_way_opens_a_disconnect_at_once_where_that_pays_and_never_where_it_does_not);
    tcase_add_loop_test(disconnects, on_a_rolling_road_a_disconnect_does_not_chatter, 0, 2);
    tcase_add_test(disconnects, who_is_asked_for_more_than_the_closed_units_give_closes_in_the_stated_time);
    tcase_add_test(disconnects, who_brakes_harder_than_the_closed_units_can_closes_at_once);
    tcase_add_loop_test(disconnects, a_unit_that_would_turn_too_fast_opens_and_stays_open_at_the_limit_of_the_others, 0,
                        2);
    tcase_add_loop_test(disconnects, the_unit_that_is_good_for_the_top_speed_does_not_disconnect, 0, 2);
    tcase_add_loop_test(disconnects, a_unit_at_the_end_of_its_derating_does_not_change_its_mind_without_end, 0, 2);
    tcase_add_loop_test(disconnects, without_adhesion_for_regenerating_the_friction_brakes_do_all, 0, 2);
    suite_add_tcase(suite, disconnects);
    TCase *choices = tcase_create("choices");
    tcase_add_checked_fixture(choices, folder_begin, folder_end);
    tcase_add_loop_test(choices, as_many_motors_work_as_lose_least, 0, 7);
    tcase_add_test(choices, choosing_how_many_motors_work_costs_no_more_than_its_price);
    tcase_add_test(choices, units_shift_in_turn_and_the_other_fills_in);
    tcase_add_loop_test(choices, a_tandem_without_a_through_drive_is_an_axle_that_drags_and_carries_twice_as_much, 0,
                        2);
    tcase_add_loop_test(choices, two_alike_units_are_one_unit_that_divides_without_loss, 0, 2);
    tcase_add_test(choices, all_torque_on_one_of_two_axles_takes_nearly_twice_the_slip);
    suite_add_tcase(suite, choices);
    TCase *numerics = tcase_create("numerics");
    tcase_add_checked_fixture(numerics, folder_begin, folder_end);
    tcase_add_loop_test(numerics, energy_and_closure_converge_with_the_accuracy, 0, SETTINGS);
    tcase_add_loop_test(numerics, braking_the_packs_limit_gives_way_to_the_motors, 0, 2);
    tcase_add_loop_test(numerics, climbing_the_packs_limit_gives_way_to_the_motors, 0, 2);
    tcase_add_loop_test(numerics, a_run_gives_the_same_bytes_twice_and_with_a_trace, 0, SETTINGS);
    tcase_add_loop_test(numerics, what_does_not_fit_together_is_refused_where_it_stands, 0,
                        (int)(sizeof refused / sizeof *refused));
    suite_add_tcase(suite, numerics);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
