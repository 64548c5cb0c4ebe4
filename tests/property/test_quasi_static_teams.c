/*
 * The physics of a truck with two driven axles worked out a second time, by plain steps in time: once behind one motor
 * and an inter-axle differential with unequal shares, once with an unlike motor at each. No code of the program is
 * used; the truck's numbers stand here twice, in its file and in the model.
 *
 * Conventions: shafts turn as the tyres roll; slip raises the torque at the hub, F/(1 - s) pulling and F (1 - s)
 * pushing; a stage's inertia and drag load its mesh; two units work at one share of the torque that they can reach.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"

static const double GRAVITY = 9.80665, PI = 3.14159265358979323846, J_PER_KWH = 3.6e6;

/* ------------------------------------------------------------------------------------------------ the truck */

#define COMMON                                                                                                         \
    "name: rigid\ninvented: true\n"                                                                                    \
    "body: {mass_kg: 9000, centre_behind_front_axle_m: 1.9, centre_height_m: 1.1, drag_area_m2: 5.8, "                 \
    "permitted_gross_kg: 30000}\n"                                                                                     \
    "axles:\n"                                                                                                         \
    "  front: {behind_front_axle_m: 0, support: front, tyres: 2, mass_kg: 0, tyre: {rolling_resistance_coefficient: "  \
    "0.0054, rolling_radius_m: 0.5, inertia_kg_m2: 13}}\n"                                                             \
    "  first: {behind_front_axle_m: 4, support: rear, load_share: 0.6, tyres: 4, mass_kg: 0, tyre: "                   \
    "{rolling_resistance_coefficient: 0.006, rolling_radius_m: 0.5, inertia_kg_m2: 14, longitudinal_slip_stiffness: "  \
    "11}}\n"                                                                                                           \
    "  second: {behind_front_axle_m: 5.5, support: rear, load_share: 0.4, tyres: 2, mass_kg: 0, tyre: "                \
    "{rolling_resistance_coefficient: 0.0065, rolling_radius_m: 0.48, inertia_kg_m2: 12, "                             \
    "longitudinal_slip_stiffness: 15}}\n"                                                                              \
    "payload: {mass_kg: 12000, centre_behind_m: 3.6, centre_height_m: 1.7}\n"                                          \
    "battery: {capacity_ah: 500, resistance_ohm: 0.06, open_circuit: {soc: [0, 1], voltage_v: [600, 740]}, "           \
    "discharge_limit_kw: 600, charge_limit_kw: 600, start_soc: 0.7, mass_kg: 0, centre_behind_front_axle_m: 2, "       \
    "centre_height_m: 1}\n"                                                                                            \
    "auxiliaries: {power_kw: 4}\n"                                                                                     \
    "brakes: {fade_from_km_h: 0, fade_to_km_h: 0}\n"                                                                   \
    "adhesion: {driving: 2, regenerating: 2}\n"

#define LARGE_MOTOR                                                                                                    \
    "{peak_torque_nm: 3000, peak_power_kw: 600, top_speed_rpm: 4000, reference_voltage_v: 650, rotor_inertia_kg_m2: "  \
    "0.8, loss: {constant_w: 140, speed_w_per_rad_s: 5, speed_squared_w_per_rad2_s2: 0.03, torque_squared_w_per_nm2: " \
    "0.004}, inverter: {constant_w: 350, current_w: 3000, current_squared_w: 2000}}"
#define SMALL_MOTOR                                                                                                    \
    "{peak_torque_nm: 900, peak_power_kw: 260, top_speed_rpm: 9000, reference_voltage_v: 650, rotor_inertia_kg_m2: "   \
    "0.09, loss: {constant_w: 60, speed_w_per_rad_s: 1.5, speed_squared_w_per_rad2_s2: 0.005, "                        \
    "torque_squared_w_per_nm2: 0.03}, inverter: {constant_w: 200, current_w: 1500, current_squared_w: 1200}}"

static const char tandem_file[] = COMMON
    "drive_units:\n"
    "  rear:\n"
    "    axles: [2, 3]\n"
    "    motors: {a: " LARGE_MOTOR "}\n"
    "    path: [mesh: {ratio: 2.5, efficiency: 0.98, inertia_kg_m2: 0.2, drag: {at: wheel_side, speed_rpm: [0, "
    "3000], torque_nm: [2, 5]}}]\n"
    "    branches:\n"
    "      first: {axle: 2, torque_share: 0.6, path: [final_drive: {ratio: 3.8, efficiency: 0.96, inertia_kg_m2: "
    "1.1, drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [18, 36]}}]}\n"
    "      second: {axle: 3, torque_share: 0.4, path: [mesh: {ratio: 1, efficiency: 0.985, inertia_kg_m2: 0.05}, "
    "final_drive: {ratio: 3.8, efficiency: 0.95, inertia_kg_m2: 0.9, drag: {at: wheel_side, speed_rpm: [0, "
    "600], torque_nm: [14, 30]}}]}\n";

static const char units_file[] =
    COMMON "drive_units:\n"
           "  one:\n"
           "    axles: [2]\n"
           "    motors: {a: " LARGE_MOTOR "}\n"
           "    path: [mesh: {ratio: 9, efficiency: 0.97, inertia_kg_m2: 1.3, drag: {at: wheel_side, speed_rpm: [0, "
           "600], torque_nm: [20, 40]}}]\n"
           "  other:\n"
           "    axles: [3]\n"
           "    motors: {a: " SMALL_MOTOR "}\n"
           "    path: [mesh: {ratio: 21, efficiency: 0.955, inertia_kg_m2: 0.9, drag: {at: wheel_side, speed_rpm: [0, "
           "600], torque_nm: [12, 25]}}]\n";

typedef struct stage { /* wheel side first */
    double ratio, efficiency, inertia_kg_m2, drag_nm, drag_at_nm, drag_at_rpm;
} stage;

typedef struct motor {
    double peak_nm, peak_w, rotor_kg_m2, constant_w, speed_w_s, speed2_w_s2, copper_w_nm2;
    double inverter_w, current_w, current2_w;
} motor;

static const motor large = {3000, 600e3, 0.8, 140, 5, 0.03, 0.004, 350, 3000, 2000};
static const motor small = {900, 260e3, 0.09, 60, 1.5, 0.005, 0.03, 200, 1500, 1200};

static const double radius_m[2] = {0.5, 0.48}, stiffness[2] = {11, 15}, axle_share[2] = {0.6, 0.4};
static const stage branches[2][2] = {{{3.8, 0.96, 1.1, 18, 36, 600}, {1, 1, 0, 0, 0, 1}},
                                     {{3.8, 0.95, 0.9, 14, 30, 600}, {1, 0.985, 0.05, 0, 0, 1}}};
static const double torque_share[2] = {0.6, 0.4};
static const stage before = {2.5, 0.98, 0.2, 2, 5, 3000};
static const stage own_gear[2] = {{9, 0.97, 1.3, 20, 40, 600}, {21, 0.955, 0.9, 12, 25, 600}};

static const double wheels_kg = 2 * 13 / (0.5 * 0.5) + 4 * 14 / (0.5 * 0.5) + 2 * 12 / (0.48 * 0.48);

/* ------------------------------------------------------------------------------------------------ at one time */

typedef struct instant {
    double speed_m_s, accel_m_s2, tangent, open_v;
} instant;

typedef struct powers { /* W */
    double rolling, air, slip, driveline, motor, inverter, bus;
} powers;

typedef struct shaft {
    double nm, rad_s, rad_s2;
} shaft;

/* Loads of front axle and the two rear ones, by moments about their points of contact. */
static void loads(const instant *now, double load_n[3])
{
    double kg = 21000, x = (9000 * 1.9 + 12000 * 3.6) / kg, z = (9000 * 1.1 + 12000 * 1.7) / kg;
    double rear_m = 0.6 * 4 + 0.4 * 5.5, cosine = 1 / sqrt(1 + now->tangent * now->tangent);
    double along = now->accel_m_s2 + GRAVITY * now->tangent * cosine;
    double rear_n = kg * (GRAVITY * cosine * x + along * z) / rear_m;
    load_n[0] = kg * GRAVITY * cosine - rear_n;
    load_n[1] = axle_share[0] * rear_n;
    load_n[2] = axle_share[1] * rear_n;
}

static double rolling_n(const instant *now)
{
    double load_n[3];
    loads(now, load_n);
    return 0.0054 * load_n[0] + 0.006 * load_n[1] + 0.0065 * load_n[2];
}

static double air_n(const instant *now) { return 0.5 * 1.2 * 5.8 * now->speed_m_s * now->speed_m_s; }

static shaft through(const stage *it, shaft at, double *loss_w)
{
    double drag = it->drag_nm + (it->drag_at_nm - it->drag_nm) * at.rad_s / (it->drag_at_rpm * PI / 30);
    double load = at.nm + drag + it->inertia_kg_m2 * at.rad_s2;
    double carried = load > 0 ? load / it->efficiency : load * it->efficiency;
    *loss_w += (drag + carried - load) * at.rad_s;
    return (shaft){carried / it->ratio, at.rad_s * it->ratio, at.rad_s2 * it->ratio};
}

/* From the tyre force of a rear axle to its hub. */
static shaft hub(const instant *now, int axle, double force_n, powers *p)
{
    double load_n[3];
    loads(now, load_n);
    double slip = fabs(force_n) / (stiffness[axle] * load_n[1 + axle]);
    double hub_n = force_n > 0 ? force_n / (1 - slip) : force_n * (1 - slip), radius = radius_m[axle];
    p->slip += (hub_n - force_n) * now->speed_m_s;
    return (shaft){hub_n * radius, now->speed_m_s / radius, now->accel_m_s2 / radius};
}

/* Adds the motor's losses; its torque. */
static double at_motor(const motor *it, shaft at, powers *p)
{
    double nm = at.nm + it->rotor_kg_m2 * at.rad_s2, share = fabs(nm) / it->peak_nm;
    double motor_w =
        it->constant_w + it->speed_w_s * at.rad_s + it->speed2_w_s2 * at.rad_s * at.rad_s + it->copper_w_nm2 * nm * nm;
    double inverter_w = it->inverter_w + it->current_w * share + it->current2_w * share * share;
    p->motor += motor_w;
    p->inverter += inverter_w;
    p->bus += nm * at.rad_s + motor_w + inverter_w;
    return nm;
}

static shaft branch(const instant *now, int k, double force_n, powers *p)
{
    shaft at = hub(now, k, force_n, p);
    at = through(&branches[k][0], at, &p->driveline);
    return through(&branches[k][1], at, &p->driveline);
}

/* ------------------------------------------------------------------------------------------------ both layouts */

/* The forces of two axles that sum up to one and leave `difference` at zero, which rises with the first. */
static powers balanced(const instant *now, double total_n,
                       double (*difference)(const instant *, double, double, powers *))
{
    double low = -2e5, high = 2e5;
    powers p = {.bus = 0};
    for (int k = 0; k < 70; k++) {
        double middle = 0.5 * (low + high);
        p = (powers){.bus = 0};
        *(difference(now, middle, total_n - middle, &p) > 0 ? &high : &low) = middle;
    }
    return p;
}

/* The differential gives each branch its share of the torque, and turns at the mean of their speeds. */
static double off_shares(const instant *now, double first_n, double second_n, powers *p)
{
    shaft a = branch(now, 0, first_n, p), b = branch(now, 1, second_n, p);
    shaft at = {a.nm + b.nm, torque_share[0] * a.rad_s + torque_share[1] * b.rad_s,
                torque_share[0] * a.rad_s2 + torque_share[1] * b.rad_s2};
    at_motor(&large, through(&before, at, &p->driveline), p);
    return a.nm / torque_share[0] - b.nm / torque_share[1];
}

/* The bus voltage that limits power: at the pack's limit, discharging or charging. */
static double limit_v(const instant *now, bool pulling)
{
    double watt = pulling ? 600e3 : -600e3, r = 0.06, e = now->open_v;
    return e - (e - sqrt(e * e - 4 * r * watt)) / 2;
}

static double reach_nm(const motor *it, double rad_s, double volt)
{
    return fmin(it->peak_nm, it->peak_w * volt / 650 / fmax(rad_s, 1e-9));
}

static double off_reach(const instant *now, double first_n, double second_n, powers *p)
{
    shaft a = through(&own_gear[0], hub(now, 0, first_n, p), &p->driveline);
    shaft b = through(&own_gear[1], hub(now, 1, second_n, p), &p->driveline);
    double a_nm = at_motor(&large, a, p), b_nm = at_motor(&small, b, p), volt = limit_v(now, a_nm > 0);
    return a_nm / reach_nm(&large, a.rad_s, volt) - b_nm / reach_nm(&small, b.rad_s, volt);
}

/* ------------------------------------------------------------------------------------------------ the trip */

static const double road_m[] = {250, 500, 1100, 1400, 1900, 2200, 2900, 3200};
static const double road_percent[] = {0, 4, 4, -2, -2, -4, -4, 0};
static const double trace_s[] = {0, 4, 40, 110, 150, 200, 260, 290, 340, 360, 370};
static const double trace_km_h[] = {0, 0, 50, 75, 75, 40, 70, 70, 30, 0, 0};
enum { ROAD = sizeof road_m / sizeof *road_m, TRACE = sizeof trace_s / sizeof *trace_s, SLICES = 4000 };

static double tangent_at(double place_m)
{
    size_t k = 1;
    if (place_m <= road_m[0] || place_m >= road_m[ROAD - 1])
        return 0;
    while (place_m > road_m[k])
        k++;
    double part = (place_m - road_m[k - 1]) / (road_m[k] - road_m[k - 1]);
    return (road_percent[k - 1] + part * (road_percent[k] - road_percent[k - 1])) / 100;
}

typedef struct sums { /* J */
    double battery, pack, rolling, air, slip, driveline, motor, inverter, soc;
} sums;

static void draw(sums *to, double terminal_w, double time_s)
{
    double e = 600 + 140 * to->soc, amperes = (e - sqrt(e * e - 4 * 0.06 * terminal_w)) / (2 * 0.06);
    to->battery += e * amperes * time_s;
    to->pack += amperes * amperes * 0.06 * time_s;
    to->soc -= amperes * time_s / (500 * 3600);
}

static void step(sums *to, const instant *now, double time_s,
                 double (*difference)(const instant *, double, double, powers *))
{
    double sine = now->tangent / sqrt(1 + now->tangent * now->tangent);
    double total_n = rolling_n(now) + air_n(now) + 21000 * GRAVITY * sine + (21000 + wheels_kg) * now->accel_m_s2;
    powers p = balanced(now, total_n, difference);
    draw(to, p.bus + 4000, time_s);
    to->rolling += rolling_n(now) * now->speed_m_s * time_s;
    to->air += air_n(now) * now->speed_m_s * time_s;
    to->slip += p.slip * time_s;
    to->driveline += p.driveline * time_s;
    to->motor += p.motor * time_s;
    to->inverter += p.inverter * time_s;
}

/* In stops longer than three seconds, as all here, the motors rest: an exact driver knows. */
static void wait(sums *to, double time_s) { draw(to, 4000, time_s); }

static sums plain_steps(bool units, double *place_m)
{
    sums own = {.soc = 0.7};
    *place_m = 0;
    for (size_t k = 1; k < TRACE; k++) {
        double from = trace_km_h[k - 1] / 3.6, to = trace_km_h[k] / 3.6, time_s = trace_s[k] - trace_s[k - 1];
        double accel = (to - from) / time_s, slice_s = time_s / SLICES;
        if (from == 0 && to == 0) {
            wait(&own, time_s);
            continue;
        }
        for (int i = 0; i < SLICES; i++) {
            double after_s = (i + 0.5) * slice_s;
            instant now = {from + accel * after_s, accel,
                           tangent_at(*place_m + (from + 0.5 * accel * after_s) * after_s), 600 + 140 * own.soc};
            step(&own, &now, slice_s, units ? off_reach : off_shares);
        }
        *place_m += 0.5 * (from + to) * time_s;
    }
    return own;
}

/* ------------------------------------------------------------------------------------------------ the comparison */

static size_t print_list(char *to, size_t room, const char *key, const double *at, size_t count)
{
    size_t used = (size_t)snprintf(to, room, "  %s: [", key);
    for (size_t k = 0; k < count; k++)
        used += (size_t)snprintf(to + used, room - used, "%s%g", k > 0 ? ", " : "", at[k]);
    return used + (size_t)snprintf(to + used, room - used, "]\n");
}

static void write_cycle(void)
{
    char text[1000];
    size_t used = (size_t)snprintf(text, sizeof text, "name: hills\ninvented: true\nspeed:\n");
    used += print_list(text + used, sizeof text - used, "time_s", trace_s, TRACE);
    used += print_list(text + used, sizeof text - used, "speed_km_h", trace_km_h, TRACE);
    used += (size_t)snprintf(text + used, sizeof text - used, "road:\n");
    used += print_list(text + used, sizeof text - used, "place_m", road_m, ROAD);
    print_list(text + used, sizeof text - used, "grade_percent", road_percent, ROAD);
    write_file("hills.yaml", text);
}

static void must_agree(const char *what, double kwh, double own_j, double whole_j)
{
    ck_assert_msg(fabs(kwh * J_PER_KWH - own_j) <= 2e-5 * whole_j, "%s: %.9g kWh; here %.9g kWh", what, kwh,
                  own_j / J_PER_KWH);
}

START_TEST(two_driven_axles_take_what_plain_steps_in_time_say)
{
    char truck[PATH_BYTES], cycle[PATH_BYTES];
    bool units = _i == 1;
    double place_m;
    write_file("truck.yaml", units ? units_file : tandem_file);
    write_cycle();
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.accuracy = 1e-8;
    ask.load_case.air_density_kg_m3 = 1.2;
    drive run = drive_whole(in_folder(truck, "truck.yaml"), in_folder(cycle, "hills.yaml"), &ask, NULL);
    ck_assert_uint_eq(evn_results_limitation_count(run.results), 0);
    sums own = plain_steps(units, &place_m);
    ck_assert_double_eq_tol(result(&run, "gross_mass_kg"), 21000, 1e-9);
    ck_assert_double_eq_tol(result(&run, "distance_km"), place_m / 1000, 1e-9);
    ck_assert_double_eq(result(&run, "energy_balance.friction_brakes_kwh"), 0);
    must_agree("battery", result(&run, "battery_kwh"), own.battery, own.battery);
    must_agree("pack", result(&run, "energy_balance.battery_losses_kwh"), own.pack, own.battery);
    must_agree("rolling", result(&run, "energy_balance.rolling_resistance_kwh"), own.rolling, own.battery);
    must_agree("air", result(&run, "energy_balance.air_drag_kwh"), own.air, own.battery);
    must_agree("tyre slip", result(&run, "energy_balance.tyre_slip_losses_kwh"), own.slip, own.battery);
    must_agree("motors", result(&run, "energy_balance.motor_losses_kwh"), own.motor, own.battery);
    must_agree("inverters", result(&run, "energy_balance.inverter_losses_kwh"), own.inverter, own.battery);
    double driveline_kwh =
        result(&run, "energy_balance.hub_losses_kwh") + result(&run, "energy_balance.final_drive_losses_kwh") +
        result(&run, "energy_balance.propeller_shaft_losses_kwh") + result(&run, "energy_balance.gearbox_losses_kwh");
    must_agree("driveline", driveline_kwh, own.driveline, own.battery);
    drive_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("quasi-static teams");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(runs, two_driven_axles_take_what_plain_steps_in_time_say, 0, 2);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
