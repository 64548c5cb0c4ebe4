/*
 * Any truck of several drive units, or of several axles behind one, at any instant: forces and powers balance, units
 * share as they should, and at a limit each gives what its motors or its tyres can. Nothing is integrated.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/course_probe.h"
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "pull/instant.h"
#include <stdarg.h>

enum { RIGS = 30, INSTANTS = 60 };

/* Only a check that fails is told to the framework, which writes down every one it is told of. */
#define MUST(condition, ...)                                                                                           \
    do {                                                                                                               \
        if (!(condition)) {                                                                                            \
            ck_abort_msg(__VA_ARGS__);                                                                                 \
        }                                                                                                              \
    } while (0)

/* ------------------------------------------------------------------------------------------------ random trucks */

typedef struct sheet { /* a truck file as it is written */
    char text[30000];
    size_t used;
} sheet;

static void put(sheet *to, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void put(sheet *to, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    to->used += (size_t)vsnprintf(to->text + to->used, sizeof to->text - to->used, format, arguments);
    va_end(arguments);
    ck_assert_uint_lt(to->used, sizeof to->text);
}

static bool toss(dice *with) { return roll(with, 0, 1) < 0.5; }

/* Nothing, one time in four. */
static double or_none(dice *with, double low, double high)
{
    return roll(with, 0, 1) < 0.25 ? 0 : roll(with, low, high);
}

static double share_or_one(dice *with) { return roll(with, 0, 1) < 0.25 ? 1 : roll(with, 0.93, 1); }

static void put_axle(sheet *to, dice *with, const char *name, double place_m, bool front)
{
    put(to, "  %s: {behind_front_axle_m: %g, support: %s, tyres: 4, mass_kg: 700, tyre: {", name, place_m,
        front ? "front" : "rear");
    put(to, "rolling_resistance_coefficient: %g, rolling_radius_m: %g, inertia_kg_m2: %g", roll(with, 0.004, 0.008),
        toss(with) ? 0.492 : roll(with, 0.42, 0.53), or_none(with, 5, 20));
    if (toss(with))
        put(to, ", longitudinal_slip_stiffness: %g", roll(with, 8, 25));
    put(to, "}%s}\n", "");
}

static void put_drag(sheet *to, dice *with, double rpm, double nm)
{
    if (toss(with)) {
        put(to, ", drag: {at: %s, speed_rpm: [0, %g], torque_nm: [%g, %g]}", toss(with) ? "wheel_side" : "motor_side",
            rpm, roll(with, 0, nm), roll(with, nm, 2 * nm));
    }
}

static void put_mesh(sheet *to, dice *with, double ratio, double rpm, double nm)
{
    put(to, "      - mesh: {ratio: %g, efficiency: %g, inertia_kg_m2: %g", ratio, share_or_one(with),
        or_none(with, 0.05, 1));
    put_drag(to, with, rpm, nm);
    put(to, "}\n");
}

/* A loss map with a value at each of nine points that follow no law, or coefficients. */
static void put_losses(sheet *to, dice *with, double nm, double watt, double rpm)
{
    if (toss(with)) {
        put(to, ", map: {speed_rpm: [0, %g, %g], torque_nm: [%g, %g, %g], includes_inverter: %s, loss_w: [", 0.4 * rpm,
            rpm, -nm, 0.1 * nm, nm, toss(with) ? "true" : "false");
        for (int k = 0; k < 9; k++)
            put(to, "%s%g", k > 0 ? ", " : "", toss(with) ? roll(with, 0, 0.01 * watt) : roll(with, 0, 0.1 * watt));
        put(to, "]}");
        return;
    }
    put(to, ", loss: {constant_w: %g, speed_w_per_rad_s: %g, torque_squared_w_per_nm2: %g}", or_none(with, 50, 300),
        or_none(with, 0.1, 5), or_none(with, 0.02, 0.08) * watt / nm / nm);
    if (toss(with))
        put(to, ", field_weakening: {characteristic_current_share: %g}", roll(with, 0.5, 1.2));
    put(to, ", inverter: {constant_w: %g, current_w: %g}", or_none(with, 50, 400), or_none(with, 500, 3000));
}

static void put_motors(sheet *to, dice *with, double nm, double watt, double rpm, size_t count)
{
    sheet one = {.used = 0};
    put(&one, "{peak_torque_nm: %g, peak_power_kw: %g, top_speed_rpm: %g, rotor_inertia_kg_m2: %g", nm, watt / 1e3, rpm,
        or_none(with, 0.01, 0.0003 * nm));
    put_losses(&one, with, nm, watt, rpm);
    if (toss(with)) {
        put(&one, ", winding: {resistance_k_per_kw: 10, time_constant_s: 200, derate_from_degc: 150, derate_to_degc: "
                  "175}");
    }
    put(to, "    motors:\n");
    for (size_t k = 0; k < count; k++)
        put(to, "      m%zu: %s}\n", k, one.text);
    put(to, "    idle_motors_stand_still: %s\n", toss(with) ? "true" : "false");
}

static void put_branch_path(sheet *to, dice *with, double ratio, bool opens)
{
    static const char disconnect[] = "      - disconnect: {time_s: 0.3, price_kj: 5}\n";
    if (opens && toss(with)) /* what is between the two stands still */
        put(to, "%s", disconnect);
    put_mesh(to, with, ratio, 600, 20);
    if (opens)
        put(to, "%s", disconnect);
    if (toss(with))
        put_mesh(to, with, 1, 600, 10);
}

/* Path, and branches where there are several axles; `ratio` from wheels to gearbox. */
static void put_path(sheet *to, dice *with, const size_t axles[], size_t count, double ratio)
{
    bool disconnects = toss(with);
    put(to, "    path:\n");
    put_mesh(to, with, 0.5 * ratio, 4000, 2);
    if (disconnects)
        put(to, "      - disconnect: {time_s: 0.3, price_kj: 5}\n");
    put_mesh(to, with, count == 1 ? 2 : 1, 600, 20);
    if (count == 1)
        return;
    double last = toss(with) ? 2 : roll(with, 1.8, 2.2);
    put(to, "    branches:\n");
    for (size_t k = 0; k < count; k++) {
        put(to, "     b%zu:\n      axle: %zu\n      torque_share: %g\n      path:\n", k, axles[k],
            toss(with) ? 0.5 : roll(with, 0.05, 1));
        put_branch_path(to, with, last, k > 0 && toss(with));
    }
}

static void put_unit(sheet *to, dice *with, size_t number, const size_t axles[], size_t count)
{
    double watt = toss(with) ? roll(with, 10e3, 80e3) : roll(with, 80e3, 400e3), base_rpm = roll(with, 800, 4000);
    double nm = watt / (base_rpm * 3.14159 / 30), rpm = base_rpm * roll(with, 1.5, 4);
    double ratio = rpm * 3.14159 / 30 * 0.49 / (120 / 3.6) * roll(with, 0.9, 1.2); /* top speed at 100 to 133 km/h */
    put(to, "  u%zu:\n    axles: [", number);
    for (size_t k = 0; k < count; k++)
        put(to, "%s%zu", k > 0 ? ", " : "", axles[k]);
    put(to, "]\n");
    put_motors(to, with, nm, watt, rpm, roll_count(with, 1, 4));
    if (toss(with)) {
        put(to, "    gearbox: {ratios: [%g, 1], efficiencies: [%g, %g], input_inertia_kg_m2: %g", roll(with, 1.5, 3.5),
            share_or_one(with), share_or_one(with), or_none(with, 0.01, 0.1));
        put_drag(to, with, 6000, 1);
        put(to, "}\n");
    }
    put_path(to, with, axles, count, ratio);
}

/* Up to four rear axles, each driven, alone or with its neighbours behind one unit; at least one of the two. */
static void put_units(sheet *to, dice *with, size_t rear)
{
    size_t unit = 0;
    for (size_t done = 0; done < rear;) {
        size_t left = rear - done, many = roll_count(with, 1, left < 3 ? left : 3), axles[4];
        if (rear == 1 || (done == 0 && many == left && toss(with) && left > 1))
            many = left > 1 ? left - 1 : 1;
        for (size_t k = 0; k < many; k++)
            axles[k] = 2 + done + k;
        put_unit(to, with, unit++, axles, many);
        done += many;
    }
}

static void write_truck(dice *with)
{
    static sheet to;
    static const char *const names[] = {"first", "second", "third", "fourth"};
    size_t rear = roll_count(with, 2, 4);
    to.used = 0;
    put(&to, "name: any\ninvented: true\nbody: {mass_kg: 4000, centre_behind_front_axle_m: 1, centre_height_m: 1, "
             "drag_area_m2: 5.5, permitted_gross_kg: 60000}\naxles:\n");
    put_axle(&to, with, "front", 0, true);
    for (size_t k = 0; k < rear; k++)
        put_axle(&to, with, names[k], 3.5 + 1.3 * (double)k, false);
    put(&to, "fifth_wheel: {behind_front_axle_m: 3.4, height_m: 1.15}\ntrailer: {mass_kg: 7000, "
             "centre_behind_kingpin_m: 5.2, centre_height_m: 1.2, axles_behind_kingpin_m: 7.7, tyres: 6, tyre: "
             "{rolling_resistance_coefficient: 0.005, rolling_radius_m: 0.515}}\n");
    put(&to, "payload: {mass_kg: %g, centre_behind_m: 5.5, centre_height_m: 1.6}\n", roll(with, 0, 25000));
    put(&to,
        "battery: {capacity_ah: 800, resistance_ohm: %g, open_circuit: {soc: [0, 1], voltage_v: [600, 740]}, "
        "discharge_limit_kw: %g, charge_limit_kw: %g, mass_kg: 3000, centre_behind_front_axle_m: 1.7, "
        "centre_height_m: 0.8}\n",
        or_none(with, 0.01, 0.08), roll(with, 150, 900), roll(with, 50, 600));
    put(&to, "adhesion: {driving: %g, regenerating: %g}\n", toss(with) ? 0.6 : roll(with, 0.05, 0.4),
        toss(with) ? 0.25 : roll(with, 0.05, 0.2));
    put(&to, "auxiliaries: {power_kw: 5}\ndrive_units:\n");
    put_units(&to, with, rear);
    write_file("any.yaml", to.text);
}

static evn_rig *roll_rig(dice *with)
{
    char path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    write_truck(with);
    evn_truck *truck = load_truck(in_folder(path, "any.yaml"));
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ random instants */

typedef struct moment {
    evn_given at;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} moment;

static bool within_speed(const evn_rig *rig, size_t unit, evn_setting s, double speed_m_s)
{
    const evn_unit *u = &rig->unit[unit];
    return evn_is_open(s) ||
           speed_m_s * evn_rig_setting_rad_m(rig, unit, s) * u->gear[s.gear].total_ratio <= evn_unit_top_rad_s(u);
}

/* Any setting that does not turn the motors too fast; the last gear if all do. */
static evn_setting roll_setting(const evn_rig *rig, size_t unit, double speed_m_s, dice *with)
{
    const evn_unit *u = &rig->unit[unit];
    for (int tries = 0; tries < 20; tries++) {
        evn_setting s = u->setting[roll_count(with, 0, u->setting_count - 1)];
        if (within_speed(rig, unit, s, speed_m_s))
            return s;
    }
    return (evn_setting){(uint8_t)(u->gear_count - 1), 1};
}

static size_t connected_count(const evn_given *at)
{
    size_t count = 0;
    for (size_t u = 0; u < at->rig->unit_count; u++)
        count += !at->unit[u].shifting && !evn_is_open(at->unit[u].setting);
    return count;
}

static void roll_moment(moment *to, const evn_rig *rig, dice *with)
{
    double speed_m_s = roll(with, 0.5, 24);
    to->at = (evn_given){.rig = rig,
                         .speed_m_s = speed_m_s,
                         .tangent = roll(with, -0.08, 0.08),
                         .rolling_factor = 1,
                         .asked_m_s2 = roll(with, -2, 1.5),
                         .soc = rig->start_soc,
                         .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < rig->unit_count; u++) {
        to->degc[u][0] = roll(with, 60, 165);
        to->at.unit[u] = (evn_unit_given){.degc = to->degc[u]};
        to->at.unit[u].setting = roll_setting(rig, u, speed_m_s, with);
        to->at.unit[u].shifting = roll(with, 0, 1) < 0.15;
    }
    if (connected_count(&to->at) == 0) { /* one always pulls; the pause without any is tested below */
        to->at.unit[0].setting = (evn_setting){(uint8_t)(rig->unit[0].gear_count - 1), 1};
        to->at.unit[0].shifting = false;
    }
}

static void now_of(const moment *of, evn_instant *n)
{
    n->pull.at = of->at;
    evn_instant_make(n);
}

/* ------------------------------------------------------------------------------------------------ by other ways */

static double closed_shares(const evn_unit *u, evn_setting s)
{
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += s.open >> k & 1 ? 0 : u->branch[k].share;
    return sum;
}

/* Closed branches alone count: each with its share of what they all get. */
static double own_rad_m(const evn_rig *rig, const evn_unit *u, evn_setting s)
{
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        double ratio = 1;
        for (size_t i = 0; i < u->branch[k].count; i++)
            ratio *= u->branch[k].stage[i].ratio;
        if (!(s.open >> k & 1))
            sum += u->branch[k].share / closed_shares(u, s) * ratio / rig->axle[u->branch[k].axle].radius_m;
    }
    return u->branch_count > 0 ? sum : 1 / rig->axle[u->axle].radius_m;
}

/* Torque at the wheels of some stages behind which nothing is. */
static double dragged_nm(const evn_stage *stage, size_t count, double rad_s, double accel_rad_s2)
{
    if (count == 0)
        return 0;
    double ratio = stage->ratio;
    double rest_nm = dragged_nm(stage + 1, count - 1, rad_s * ratio, accel_rad_s2 * ratio);
    return evn_stage_down(stage, rest_nm, rad_s, accel_rad_s2, NULL);
}

/* Torque at the dividing point for the stages above the disconnects, which turn with it. */
static double above_nm(const evn_branch *b, double split_rad_s, double split_accel_rad_s2)
{
    double ratio = 1;
    evn_flow unbooked = {{0}};
    for (size_t i = b->opening.above_from; i < b->count; i++)
        ratio *= b->stage[i].ratio;
    evn_shaft at = {0, split_rad_s / ratio, split_accel_rad_s2 / ratio};
    for (size_t i = b->opening.above_from; i < b->count; i++)
        at = evn_stage_up(&b->stage[i], at, NULL, &unbooked);
    return at.torque_nm;
}

static double load_of(const evn_rig *rig, const evn_instant *n, size_t axle, double brake_n)
{
    return fmax(evn_axle_load_n(&rig->axle[axle].load, rig->gravity_m_s2, n->pull.road.slope_cos,
                                n->pull.road.slope_sin, n->accel_m_s2, brake_n),
                0);
}

static double tyre_of(const evn_rig *rig, const evn_instant *n, size_t axle, double hub_n)
{
    double stiffness = rig->axle[axle].slip_stiffness;
    return isinf(stiffness) ? hub_n : evn_slip_tyre_n(hub_n, stiffness * load_of(rig, n, axle, 0));
}

/* Forces of the branches for a torque at the dividing point. */
static double split_forces(const evn_rig *rig, const evn_instant *n, size_t unit, double split_nm, double each_n[])
{
    const evn_unit *u = &rig->unit[unit];
    evn_setting s = n->pull.team.unit[unit].setting;
    double sum = 0, shared_nm = split_nm, v = n->pull.at.speed_m_s, a = n->accel_m_s2, rad_m = own_rad_m(rig, u, s);
    for (size_t k = 0; k < u->branch_count; k++)
        shared_nm -= s.open >> k & 1 ? above_nm(&u->branch[k], v * rad_m, a * rad_m) : 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double radius = rig->axle[b->axle].radius_m, share = b->share / closed_shares(u, s);
        if (s.open >> k & 1)
            each_n[k] = dragged_nm(b->stage, b->opening.below, v / radius, a / radius) / radius;
        else
            each_n[k] = tyre_of(
                rig, n, b->axle,
                evn_branch_wheel_nm(b, share * shared_nm, v / radius, a / radius, n->pull.at.unit[unit].degc) / radius);
        sum += each_n[k];
    }
    return sum;
}

/* By halving: the torque at the dividing point whose shares give a total, and the force of each axle of a unit. */
static double axle_forces(const evn_rig *rig, const evn_instant *n, size_t unit, double each_n[])
{
    const evn_unit *u = &rig->unit[unit];
    double low = -1e7, high = 1e7;
    each_n[0] = n->force_n[unit];
    for (int k = 0; k < 90 && u->branch_count > 0; k++) {
        double middle = 0.5 * (low + high);
        *(split_forces(rig, n, unit, middle, each_n) > n->force_n[unit] ? &high : &low) = middle;
    }
    return low;
}

static size_t axle_of(const evn_unit *u, size_t k) { return u->branch_count > 0 ? u->branch[k].axle : u->axle; }

/* Force over what the tyres may carry, of the axle of a unit where that is most; of those that pull or push. */
static double carried(const evn_rig *rig, const evn_instant *n, size_t unit, bool pulling)
{
    const evn_unit *u = &rig->unit[unit];
    double each_n[EVN_BRANCHES_MAX], mu = pulling ? rig->adhesion_driving : rig->adhesion_regenerating, most = 0;
    axle_forces(rig, n, unit, each_n);
    for (size_t k = 0; k < (u->branch_count > 0 ? u->branch_count : 1); k++) {
        if (n->pull.team.unit[unit].setting.open >> k & 1)
            continue; /* dragged, whatever the motors do */
        double force_n = pulling ? each_n[k] : -each_n[k];
        most = fmax(most, force_n / (mu * load_of(rig, n, axle_of(u, k), n->brake_n)));
    }
    return most;
}

/* Torque over what the motors can give now. */
static double used(const evn_instant *n, size_t unit)
{
    const evn_member *m = &n->pull.team.unit[unit];
    double nm = n->unit_motor_nm[unit], can = nm >= 0 ? m->most_nm : -m->least_nm;
    return can > 0 ? nm / can : nm == 0 ? 0 : copysign((double)INFINITY, nm);
}

/* ------------------------------------------------------------------------------------------------ balance */

static void check_unit_power(const evn_instant *n, size_t unit)
{
    const evn_flow *f = &n->unit_flow[unit];
    double sum = n->force_n[unit] * n->pull.at.speed_m_s + f->w[EVN_KINETIC],
           through = fabs(sum) + fabs(n->unit_bus_w[unit]);
    for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++) {
        sum += f->w[k];
        through += fabs(f->w[k]);
        MUST(f->w[k] >= -1e-12 * through - 1e-12, "unit %zu loses %g W in %s", unit, f->w[k], evn_line_rows[k].key);
    }
    MUST(fabs(sum - n->unit_bus_w[unit]) <= 1e-10 * (1 + through), "unit %zu: bus %.12g W, lines and work %.12g W",
         unit, n->unit_bus_w[unit], sum);
}

static void check_balance(const evn_rig *rig, const evn_instant *n)
{
    double forces_n = 0, size_n = 1e3, bus_w = 0, size_w = 1e3;
    for (size_t u = 0; u < rig->unit_count; u++) {
        forces_n += n->force_n[u];
        size_n += fabs(n->force_n[u]);
        bus_w += n->unit_bus_w[u];
        size_w += fabs(n->unit_bus_w[u]);
        check_unit_power(n, u);
    }
    MUST(fabs(forces_n - n->limited.unit_n) <= 1e-10 * size_n, "units %.12g N, all %.12g N", forces_n,
         n->limited.unit_n);
    double needs_n =
        n->pull.road.base_n + n->pull.road.mass_kg * n->accel_m_s2 + n->pull.road.brake_factor * n->brake_n;
    MUST(fabs(needs_n - n->limited.unit_n) <= 1e-9 * (size_n + fabs(n->brake_n)), "pulled %.12g N, taken %.12g N",
         n->limited.unit_n, needs_n);
    MUST(fabs(bus_w - n->bus_w) <= 1e-10 * size_w, "units %.12g W, bus %.12g W", bus_w, n->bus_w);
}

/* The torque that the shares of the axles make at the dividing point, and what it comes to at the motors. */
static void check_branches(const moment *at, const evn_instant *n, size_t unit)
{
    const evn_rig *rig = at->at.rig;
    const evn_unit *u = &rig->unit[unit];
    double each_n[EVN_BRANCHES_MAX], split_nm = axle_forces(rig, n, unit, each_n), motor_nm;
    double rad_m = own_rad_m(rig, u, n->pull.team.unit[unit].setting);
    evn_flow flow = {{0}};
    evn_unit_draw_w(u, n->pull.team.unit[unit].setting,
                    (evn_shaft){split_nm, n->pull.at.speed_m_s * rad_m, n->accel_m_s2 * rad_m},
                    n->pull.feed.open_circuit_v, at->at.unit[unit].degc, &flow, &motor_nm);
    MUST(fabs(motor_nm - n->unit_motor_nm[unit]) <= 1e-7 * (100 + fabs(motor_nm)),
         "unit %zu: %.10g Nm at its motors; by the shares of its axles %.10g Nm", unit, n->unit_motor_nm[unit],
         motor_nm);
}

/* ------------------------------------------------------------------------------------------------ sharing */

/* Units whose tyres let them work at the same share of what their motors can; those cut by adhesion at less. */
static void check_shares(const evn_rig *rig, const evn_instant *n)
{
    double least = (double)INFINITY, most = -(double)INFINITY;
    bool pulling = n->motor_nm >= 0;
    for (size_t u = 0; u < rig->unit_count; u++) {
        if (n->pull.team.unit[u].connected && fabs(carried(rig, n, u, pulling)) < 1 - 1e-6) {
            least = fmin(least, used(n, u));
            most = fmax(most, used(n, u));
        }
    }
    if (!(most >= least) || fabs(most) > 1 || fabs(least) > 1)
        return; /* all are cut, or more is asked than the motors can */
    MUST(most - least <= 1e-5, "units at %.9g and at %.9g of what they can", least, most);
    for (size_t u = 0; u < rig->unit_count; u++) {
        MUST(!n->pull.team.unit[u].connected || fabs(used(n, u)) <= fmax(fabs(most), fabs(least)) + 1e-5,
             "a unit held by its tyres at %g, the others at %g", used(n, u), most);
    }
}

START_TEST(forces_and_powers_balance_and_units_share_as_they_can)
{
    static moment at;
    dice with = {4711 + (uint64_t)_i};
    evn_instant n;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        for (size_t u = 0; u < rig->unit_count; u++)
            ck_assert_double_eq_tol(rig->unit_rad_m[u], own_rad_m(rig, &rig->unit[u], (evn_setting){0}), 1e-12);
        for (int i = 0; i < INSTANTS; i++) {
            roll_moment(&at, rig, &with);
            now_of(&at, &n);
            check_balance(rig, &n);
            check_shares(rig, &n);
            for (size_t u = 0; u < rig->unit_count; u++)
                if (rig->unit[u].branch_count > 0 && n.pull.team.unit[u].connected)
                    check_branches(&at, &n, u);
        }
        evn_rig_free(rig);
    }
}
END_TEST

/*
 * In the moment before a limit is found to bind, more is asked than the units give: what is missing is handed out, but
 * does not set one against another. Without adhesion to brake with their own drags alone may point either way.
 */
START_TEST(what_is_beyond_the_units_does_not_drive_them_apart)
{
    static moment at;
    dice with = {2718 + (uint64_t)_i};
    evn_instant n;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        rig->adhesion_regenerating = 0;
        for (int i = 0; i < INSTANTS; i++) {
            roll_moment(&at, rig, &with);
            at.at.asked_m_s2 = -fabs(at.at.asked_m_s2);
            now_of(&at, &n);
            check_balance(rig, &n);
            for (size_t u = 0; u < rig->unit_count; u++) {
                MUST(fabs(n.force_n[u]) <= fabs(n.limited.unit_n) + 1e4, "a unit at %g N, of %g N in all", n.force_n[u],
                     n.limited.unit_n);
            }
        }
        evn_rig_free(rig);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

/* Inertia and drags alone push, or hold back, by more than tyres carry: motors leave that, and add nothing. */
static bool adds_nothing(const evn_member *m, double motor_nm)
{
    return fabs(motor_nm) <= 1e-6 * (100 + m->most_nm - m->least_nm);
}

/* At a limit every connected unit is at what its motors can or at what its tyres carry, and beyond neither. */
static void check_limit(const evn_rig *rig, const evn_instant *n, bool pulling)
{
    for (size_t u = 0; u < rig->unit_count; u++) {
        const evn_member *m = &n->pull.team.unit[u];
        if (!m->connected)
            continue;
        double can = pulling ? m->most_nm : -m->least_nm, nm = pulling ? n->unit_motor_nm[u] : -n->unit_motor_nm[u];
        double tyres = carried(rig, n, u, pulling);
        MUST(nm <= can + 1e-6 * (100 + can), "unit %zu: %.9g Nm, at most %.9g Nm", u, nm, can);
        MUST(tyres <= 1 + 1e-6 || n->force_n[u] * nm < 0 || adds_nothing(m, nm),
             "unit %zu: %.9g of what its tyres carry", u, tyres);
        MUST(nm >= can - 1e-6 * (100 + can) || tyres >= 1 - 1e-6,
             "unit %zu: %.9g of %.9g Nm, %.9g of what its tyres carry", u, nm, can, tyres);
    }
}

START_TEST(at_a_limit_each_unit_gives_what_its_motors_or_its_tyres_can)
{
    static moment at;
    dice with = {977 + (uint64_t)_i};
    evn_instant n;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        for (int i = 0; i < INSTANTS; i++) {
            bool pulling = toss(&with);
            roll_moment(&at, rig, &with);
            now_of(&at, &n);
            double need_n = n.need_n;
            *(pulling ? &at.at.pull : &at.at.push) = EVN_BY_MOTOR;
            now_of(&at, &n);
            if (!pulling && n.brake_n < 0)
                continue; /* less braking is asked than the motors do: this limit would not bind */
            check_balance(rig, &n);
            check_limit(rig, &n, pulling);
            MUST(pulling || fabs(n.need_n - need_n) <= 1e-9 * fabs(need_n), "pushed, the asked acceleration holds");
        }
        evn_rig_free(rig);
    }
}
END_TEST

/* Nearly all that they give together is level over the share where tyres hold all but one: a thing to find, too. */
START_TEST(just_below_the_limit_of_all_none_is_beyond_its_own)
{
    static const double below_n[] = {0, 1e-3, 1e-2, 1, 100};
    static moment at;
    dice with = {1618 + (uint64_t)_i};
    evn_instant n;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        rig->adhesion_driving *= 0.3;
        for (int i = 0; i < INSTANTS; i++) {
            roll_moment(&at, rig, &with);
            at.at.pull = EVN_BY_MOTOR;
            now_of(&at, &n);
            at.at.pull = EVN_FREE;
            at.at.asked_m_s2 = n.accel_m_s2 - below_n[i % 5] / n.pull.road.mass_kg;
            now_of(&at, &n);
            check_balance(rig, &n);
            for (size_t u = 0; u < rig->unit_count && n.motor_nm > 0; u++) {
                const evn_member *m = &n.pull.team.unit[u];
                double tyres = carried(rig, &n, u, true);
                MUST(!m->connected || n.unit_motor_nm[u] <= m->most_nm + 1e-5 * (100 + m->most_nm),
                     "unit %zu: %.9g Nm, at most %.9g Nm", u, n.unit_motor_nm[u], m->most_nm);
                MUST(!m->connected || n.unit_motor_nm[u] >= m->least_nm - 1e-5 * (100 - m->least_nm),
                     "unit %zu: %.9g Nm, at least %.9g Nm", u, n.unit_motor_nm[u], m->least_nm);
                MUST(!m->connected || tyres <= 1 + 1e-4 || adds_nothing(m, n.unit_motor_nm[u]),
                     "unit %zu: %.9g of what its tyres carry", u, tyres);
            }
        }
        evn_rig_free(rig);
    }
}
END_TEST

/* How often it held. Slippery: tyres carry little, the truck slows hard, and the pack takes hardly anything. */
static int check_pack(dice with, bool slippery)
{
    static moment at;
    evn_instant n;
    int held = 0;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        rig->adhesion_driving *= slippery ? 0.02 : 1;
        rig->pack.in.limit_w *= slippery ? 0.02 : 1;
        for (int i = 0; i < INSTANTS; i++) {
            bool pulling = toss(&with) && !slippery;
            roll_moment(&at, rig, &with);
            at.at.asked_m_s2 -= slippery ? 2 : 0;
            *(pulling ? &at.at.pull : &at.at.push) = EVN_BY_MOTOR;
            now_of(&at, &n);
            bool binds = pulling ? n.load_w > n.pull.feed.most_w : n.load_w < -n.pull.feed.charge_w && n.brake_n >= 0;
            if (!binds)
                continue;
            held++;
            *(pulling ? &at.at.pull : &at.at.push) = EVN_BY_PACK;
            now_of(&at, &n);
            check_balance(rig, &n);
            double limit_w = pulling ? n.pull.feed.most_w : -n.pull.feed.charge_w;
            MUST(fabs(n.load_w - limit_w) <= 1e-6 * (1e5 + fabs(limit_w)), "%.9g W, limit %.9g W", n.load_w, limit_w);
            for (size_t u = 0; u < rig->unit_count; u++)
                MUST(!n.pull.team.unit[u].connected || fabs(used(&n, u)) <= 1 + 1e-6, "a unit at %g", used(&n, u));
        }
        evn_rig_free(rig);
    }
    return held;
}

START_TEST(at_the_packs_limit_the_terminals_give_or_take_just_that)
{
    ck_assert_int_gt(check_pack((dice){31337 + (uint64_t)_i}, false), 20);
}
END_TEST

START_TEST(where_inertia_alone_pushes_more_than_tyres_carry_the_packs_limit_holds_too)
{
    ck_assert_int_gt(check_pack((dice){60221 + (uint64_t)_i}, true), 20);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ continuity */

/* Acceleration at which the motors neither pull nor push, by halving; INFINITY: not between these. */
static double accel_of_no_torque(moment *at)
{
    double low = -4, high = 4;
    evn_instant n;
    for (int k = 0; k < 80; k++) {
        at->at.asked_m_s2 = 0.5 * (low + high);
        now_of(at, &n);
        *(n.motor_nm > 0 ? &high : &low) = at->at.asked_m_s2;
    }
    return low > -3.9 && high < 3.9 ? low : (double)INFINITY;
}

static void both_sides(moment *at, double middle, double step, evn_instant n[2])
{
    for (int k = 0; k < 2; k++) {
        at->at.asked_m_s2 = middle + (k == 0 ? -step : step);
        now_of(at, &n[k]);
    }
}

/* Ten thousand times smaller a step must change this at least a hundred times less; a jump would stay what it is. */
static void must_not_jump(const char *what, double wide, double narrow, double size)
{
    MUST(fabs(narrow) <= 0.01 * fabs(wide) + 1e-7 * size, "%s changes by %g, and by %g over ten thousandth of it", what,
         wide, narrow);
}

static bool is_held_by_its_tyres(const evn_rig *rig, const evn_instant *n)
{
    bool held = false;
    for (size_t u = 0; u < rig->unit_count; u++)
        held = held || (n->pull.team.unit[u].connected && carried(rig, n, u, true) >= 1 - 1e-6);
    return held;
}

/* In how many of the turns the tyres of a unit carried no more, pulling; `slippery`: so much is left of that. */
static int check_turns(dice with, double slippery)
{
    static moment at;
    int held = 0;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        rig->adhesion_driving *= slippery;
        rig->adhesion_regenerating *= slippery;
        for (int i = 0; i < INSTANTS / 4; i++) {
            evn_instant wide[2], narrow[2];
            roll_moment(&at, rig, &with);
            double middle = accel_of_no_torque(&at);
            if (isinf(middle))
                continue;
            both_sides(&at, middle, 1e-2, wide);
            both_sides(&at, middle, 1e-6, narrow);
            held += is_held_by_its_tyres(rig, &narrow[0]);
            must_not_jump("the power", wide[1].bus_w - wide[0].bus_w, narrow[1].bus_w - narrow[0].bus_w, 1e4);
            for (size_t u = 0; u < rig->unit_count; u++) {
                must_not_jump("a unit's force", wide[1].force_n[u] - wide[0].force_n[u],
                              narrow[1].force_n[u] - narrow[0].force_n[u], 1e3);
            }
        }
        evn_rig_free(rig);
    }
    return held;
}

START_TEST(forces_and_power_do_not_jump_where_pulling_turns_to_pushing)
{
    check_turns((dice){65537 + (uint64_t)_i}, 1);
}
END_TEST

START_TEST(nor_do_they_where_inertia_or_drags_alone_are_more_than_tyres_carry)
{
    int held = 0;
    for (uint64_t k = 0; k < 4; k++)
        held += check_turns((dice){14142 + k}, 0.02);
    ck_assert_int_gt(held, 10);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the pause */

START_TEST(with_nothing_connected_the_truck_drags_its_drivelines_and_no_power_turns_the_motors)
{
    static moment at;
    dice with = {123 + (uint64_t)_i};
    evn_instant n;
    for (int k = 0; k < RIGS; k++) {
        evn_rig *rig = roll_rig(&with);
        for (int i = 0; i < INSTANTS; i++) {
            roll_moment(&at, rig, &with);
            at.at.pull = EVN_BY_SHIFT;
            for (size_t u = 0; u < rig->unit_count; u++)
                at.at.unit[u].shifting = true;
            now_of(&at, &n);
            check_balance(rig, &n);
            for (size_t u = 0; u < rig->unit_count; u++) {
                const evn_unit *unit = &rig->unit[u];
                double ready_w = 0;
                for (size_t m = 0; m < unit->motor_count; m++) {
                    bool engaged = at.at.unit[u].setting.engaged >> m & 1u;
                    ready_w += engaged ? unit->motor[m].constant_w + unit->motor[m].inverter_constant_w : 0;
                }
                MUST(n.unit_motor_nm[u] == 0 && fabs(n.unit_bus_w[u] - ready_w) <= 1e-9 * (1 + ready_w),
                     "unit %zu takes %g W, ready %g W", u, n.unit_bus_w[u], ready_w);
            }
        }
        evn_rig_free(rig);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("teams");
    TCase *any = tcase_create("any truck at any instant");
    tcase_add_checked_fixture(any, folder_begin, folder_end);
    tcase_add_loop_test(any, forces_and_powers_balance_and_units_share_as_they_can, 0, 4);
    tcase_add_loop_test(any, what_is_beyond_the_units_does_not_drive_them_apart, 0, 4);
    tcase_add_loop_test(any, at_a_limit_each_unit_gives_what_its_motors_or_its_tyres_can, 0, 4);
    tcase_add_loop_test(any, just_below_the_limit_of_all_none_is_beyond_its_own, 0, 4);
    tcase_add_loop_test(any, at_the_packs_limit_the_terminals_give_or_take_just_that, 0, 4);
    tcase_add_loop_test(any, where_inertia_alone_pushes_more_than_tyres_carry_the_packs_limit_holds_too, 0, 4);
    tcase_add_loop_test(any, forces_and_power_do_not_jump_where_pulling_turns_to_pushing, 0, 4);
    tcase_add_test(any, nor_do_they_where_inertia_or_drags_alone_are_more_than_tyres_carry);
    tcase_add_loop_test(any, with_nothing_connected_the_truck_drags_its_drivelines_and_no_power_turns_the_motors, 0, 2);
    suite_add_tcase(suite, any);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
