/*
 * The physics of a truck a second time, for test_quasi_static.c: axle loads, resistances, driveline, motor, battery and
 * what limits braking, each straight from its formula. No code of the program is used; every number is typed in.
 *
 * Conventions (above zero: forces that pull, power out of the battery):
 *   - Shafts turn as the tyre rolls, without its slip: the slip appears as hub force over tyre force.
 *   - A stage's inertia and its drag at the wheel side load its mesh; a drag at the motor side does not.
 *   - Motor and gearbox hang at one point; parts of the path ride at the driven axle's centre.
 *   - Friction brakes share by the axle loads at rest.
 */
#ifndef EVENER_TESTS_PLAIN_TRUCK_H
#define EVENER_TESTS_PLAIN_TRUCK_H
#include <math.h>
#include <stdbool.h>
#include <stddef.h>

static const double GRAVITY = 9.80665, PI = 3.14159265358979323846, J_PER_KWH = 3.6e6;

/* ------------------------------------------------------------------------------------------------ trucks */

typedef struct lump {
    double kg, x_m, z_m;
} lump;

typedef struct stage { /* from the wheels to the motor */
    double ratio, efficiency, drag_nm, drag_nm_s, inertia_kg_m2;
} stage;

typedef struct truck {
    lump lumps[8];
    double base_m, fifth_x_m, fifth_z_m;
    lump trailer[2];
    double group_m; /* trailer axles behind the kingpin */
    double rolling[3], rolling_s_m[3];
    double wheels_kg; /* inertia of all wheels as a mass */
    double drag_area_m2, radius_m, slip_stiffness;
    stage path[8];
    size_t path_count, gears;
    double ratio[4], efficiency[4], box_drag_nm, box_drag_nm_s, input_inertia_kg_m2, synchronising_loss_share;
    double peak_nm, peak_w, reference_v, rotor_kg_m2, constant_w, speed_w_s, speed2_w_s2, copper_w_nm2;
    double characteristic_share, inverter_constant_w, inverter_current_w, inverter_current2_w;
    bool heats;
    double coolant_degc, resistance_k_w, time_constant_s, derate_from_degc, derate_to_degc;
    double capacity_as, resistance_ohm, empty_v, full_v, start_soc, charge_limit_w, auxiliaries_w;
    double fade_from_m_s, fade_to_m_s, adhesion_regenerating;
} truck;

static inline double joint_efficiency(double angle_deg) { return 1 - 4 / PI * 0.05 * 0.35 * tan(angle_deg * PI / 180); }

/* Slope of a drag between two speeds in rpm, per rad/s. */
static inline double per_rad_s(double nm, double rpm) { return nm / (rpm * PI / 30); }

/* tests/trucks/single-speed.yaml */
static inline truck single_speed(void)
{
    truck it = {
        .lumps =
            {{4000, 1.0, 1.1}, {600, 0, 0.49}, {900, 3.8, 0.5}, {3500, 1.8, 0.8}, {335, 1.7, 0.8}, {393, 3.8, 0.5}},
        .base_m = 3.8,
        .fifth_x_m = 3.2,
        .fifth_z_m = 1.2,
        .trailer = {{6800, 5.0, 1.3}, {20000, 5.4, 1.8}},
        .group_m = 7.6,
        .rolling = {0.0056, 0.0062, 0.0049},
        .rolling_s_m = {2e-5, 3e-5, 0},
        .wheels_kg = 2 * 13 / (0.49 * 0.49) + 4 * 15 / (0.5 * 0.5) + 6 * 17 / (0.51 * 0.51),
        .drag_area_m2 = 5.5,
        .radius_m = 0.5,
        .slip_stiffness = 14,
        .path = {{1, 1, 12, per_rad_s(8, 600), 0},
                 {5, 0.965, 20, per_rad_s(18, 600), 1.1},
                 {1, 1, 1.2, 0, 0},
                 {1, 1, 0, 0, 0.1},
                 {1, joint_efficiency(4), 0, 0, 0},
                 {4, 0.985, 0, 0, 0.05},
                 {1, 1, 1, per_rad_s(3, 6000), 0}},
        .path_count = 7,
        .gears = 1,
        .ratio = {1},
        .efficiency = {1},
        .peak_nm = 2600,
        .peak_w = 1200e3,
        .reference_v = 600,
        .rotor_kg_m2 = 0.4,
        .constant_w = 150,
        .speed_w_s = 6,
        .speed2_w_s2 = 0.03,
        .copper_w_nm2 = 0.004,
        .characteristic_share = 0.8,
        .inverter_constant_w = 400,
        .inverter_current_w = 4000,
        .inverter_current2_w = 3000,
        .capacity_as = 800 * 3600,
        .resistance_ohm = 0.02,
        .empty_v = 600,
        .full_v = 760,
        .start_soc = 0.7,
        .charge_limit_w = 2000e3,
        .auxiliaries_w = 4000,
        .adhesion_regenerating = 3,
    };
    return it;
}

/* tests/trucks/four-speed.yaml, with a straight line of open-circuit voltage. */
static inline truck four_speed(void)
{
    truck it = {
        .lumps = {{4150, 0.9, 1.1},
                  {620, 0, 0.492},
                  {820, 3.9, 0.492},
                  {3600, 1.75, 0.8},
                  {510, 1.6, 0.75},
                  {275, 3.9, 0.492}},
        .base_m = 3.9,
        .fifth_x_m = 3.3,
        .fifth_z_m = 1.15,
        .trailer = {{7000, 5.2, 1.2}, {22800, 5.55, 1.9}},
        .group_m = 7.7,
        .rolling = {0.0055, 0.0058, 0.005},
        .rolling_s_m = {0, 0, 0},
        .wheels_kg = 6 * 14 / (0.492 * 0.492) + 6 * 16 / (0.515 * 0.515),
        .drag_area_m2 = 5.4,
        .radius_m = 0.492,
        .slip_stiffness = 12,
        .path = {{1, 1, 12, per_rad_s(8, 600), 0},
                 {3.7, 0.965, 21, per_rad_s(19, 600), 1.2},
                 {1, joint_efficiency(5), 0, 0, 0},
                 {1, 1, 1.5, 0, 0},
                 {1, 1, 0, 0, 0.12},
                 {1, joint_efficiency(3), 0, 0, 0}},
        .path_count = 6,
        .gears = 4,
        .ratio = {5.6, 3.1, 1.75, 1},
        .efficiency = {0.98, 0.98, 0.98, 0.992},
        .box_drag_nm = 2.5,
        .box_drag_nm_s = per_rad_s(7, 4500),
        .input_inertia_kg_m2 = 0.08,
        .synchronising_loss_share = 0.15,
        .peak_nm = 2500,
        .peak_w = 380e3,
        .reference_v = 680,
        .rotor_kg_m2 = 0.67,
        .constant_w = 115,
        .speed_w_s = 5.5,
        .speed2_w_s2 = 0.043,
        .copper_w_nm2 = 0.00395,
        .characteristic_share = 0.8,
        .inverter_constant_w = 380,
        .inverter_current_w = 3040,
        .inverter_current2_w = 2280,
        .heats = true,
        .coolant_degc = 65,
        .resistance_k_w = 7.5e-3,
        .time_constant_s = 180,
        .derate_from_degc = 150,
        .derate_to_degc = 175,
        .capacity_as = 790 * 3600,
        .resistance_ohm = 0.038,
        .empty_v = 590,
        .full_v = 741,
        .start_soc = 0.8,
        .charge_limit_w = 430e3,
        .auxiliaries_w = 5000,
        .fade_from_m_s = 10 / 3.6,
        .fade_to_m_s = 5 / 3.6,
        .adhesion_regenerating = 0.25,
    };
    return it;
}

/* ------------------------------------------------------------------------------------------------ road load */

typedef struct instant { /* what the truck does at one time */
    double speed_m_s, accel_m_s2, tangent, surface, headwind_m_s, air_density_kg_m3;
    size_t gear;
} instant;

static inline lump joined(const lump *of, size_t count)
{
    lump sum = {0, 0, 0};
    for (size_t k = 0; k < count; k++) {
        sum.kg += of[k].kg;
        sum.x_m += of[k].kg * of[k].x_m;
        sum.z_m += of[k].kg * of[k].z_m;
    }
    return (lump){sum.kg, sum.x_m / sum.kg, sum.z_m / sum.kg};
}

/* Normal loads of front axle, driven axle and trailer group, by the moments about their points of contact. */
static inline void axle_loads(const truck *it, const instant *now, double brake_n, double load_n[3])
{
    lump front = joined(it->lumps, 8), rear = joined(it->trailer, 2);
    double cosine = 1 / sqrt(1 + now->tangent * now->tangent), sine = now->tangent * cosine;
    double along = now->accel_m_s2 + GRAVITY * sine, down = GRAVITY * cosine;
    double group_kg = rear.kg * rear.x_m / it->group_m;
    double trailer_brake_n = brake_n * group_kg / (front.kg + rear.kg); /* brakes share by the loads at rest */
    double pull_n = rear.kg * along + trailer_brake_n;
    double press_n =
        (rear.kg * down * (it->group_m - rear.x_m) - rear.kg * along * rear.z_m + pull_n * it->fifth_z_m) / it->group_m;
    load_n[0] = (front.kg * down * (it->base_m - front.x_m) - front.kg * along * front.z_m +
                 press_n * (it->base_m - it->fifth_x_m) - pull_n * it->fifth_z_m) /
                it->base_m;
    load_n[1] = front.kg * down + press_n - load_n[0];
    load_n[2] = rear.kg * down - press_n;
}

static inline double rolling_n(const truck *it, const instant *now, double brake_n)
{
    double load_n[3], sum_n = 0;
    axle_loads(it, now, brake_n, load_n);
    for (size_t k = 0; k < 3; k++)
        sum_n += now->surface * (it->rolling[k] + it->rolling_s_m[k] * now->speed_m_s) * load_n[k];
    return sum_n;
}

static inline double air_n(const truck *it, const instant *now)
{
    double wind_m_s = now->speed_m_s + now->headwind_m_s;
    return 0.5 * now->air_density_kg_m3 * it->drag_area_m2 * wind_m_s * fabs(wind_m_s);
}

/* All but rolling resistance and brakes. */
static inline double other_forces_n(const truck *it, const instant *now)
{
    double kg = joined(it->lumps, 8).kg + joined(it->trailer, 2).kg;
    double sine = now->tangent / sqrt(1 + now->tangent * now->tangent);
    return air_n(it, now) + kg * GRAVITY * sine + (kg + it->wheels_kg) * now->accel_m_s2;
}

/* Friction brakes that remain where the motors give this tyre force; rolling resistance is linear in them. */
static inline double brakes_n(const truck *it, const instant *now, double tyre_n)
{
    double without_n = rolling_n(it, now, 0), more = (rolling_n(it, now, 1e4) - without_n) / 1e4;
    return (tyre_n - without_n - other_forces_n(it, now)) / (1 + more);
}

/* ------------------------------------------------------------------------------------------------ driveline */

typedef struct powers { /* at one time, W; torque in Nm */
    double tyre_n, brake_n, slip_w, driveline_w, motor_w, inverter_w, bus_w, torque_nm, motor_rad_s;
} powers;

typedef struct shaft {
    double torque_nm, speed_rad_s, accel_rad_s2;
} shaft;

static inline shaft through(const stage *it, shaft wheel_side, double *loss_w)
{
    double drag_nm = it->drag_nm + it->drag_nm_s * wheel_side.speed_rad_s;
    double load_nm = wheel_side.torque_nm + it->inertia_kg_m2 * wheel_side.accel_rad_s2 + drag_nm;
    double carried_nm = load_nm > 0 ? load_nm / it->efficiency : load_nm * it->efficiency;
    *loss_w += (drag_nm + carried_nm - load_nm) * wheel_side.speed_rad_s;
    return (shaft){carried_nm / it->ratio, wheel_side.speed_rad_s * it->ratio, wheel_side.accel_rad_s2 * it->ratio};
}

static inline double copper_factor(const truck *it, double winding_degc)
{
    return it->heats ? (235 + winding_degc) / (235 + 100) : 1;
}

/* Current that weakens the field, from the voltage circle of a machine without saliency. */
static inline double weakening_share(const truck *it, double torque_share, double motor_rad_s)
{
    double k = it->characteristic_share, over = motor_rad_s / (it->peak_w / it->peak_nm);
    double flux2 = (1 + 1 / (k * k)) / (over * over) - torque_share * torque_share / (k * k);
    return flux2 >= 1 ? 0 : k * (1 - sqrt(fmax(flux2, 0)));
}

static inline void motor(const truck *it, double winding_degc, powers *p)
{
    double share = p->torque_nm / it->peak_nm, w = p->motor_rad_s;
    double weakening = w > 0 ? weakening_share(it, share, w) : 0, current2 = share * share + weakening * weakening;
    double copper_w = it->copper_w_nm2 * it->peak_nm * it->peak_nm * current2 * copper_factor(it, winding_degc);
    p->motor_w = it->constant_w + it->speed_w_s * w + it->speed2_w_s2 * w * w + copper_w;
    p->inverter_w =
        it->inverter_constant_w + it->inverter_current_w * sqrt(current2) + it->inverter_current2_w * current2;
    p->bus_w = p->torque_nm * w + p->motor_w + p->inverter_w;
}

/* What the motors do for a tyre force. */
static inline powers drive_train(const truck *it, const instant *now, double tyre_n, double winding_degc)
{
    powers p = {.tyre_n = tyre_n, .brake_n = brakes_n(it, now, tyre_n)};
    instant unbraked = *now;
    double load_n[3];
    axle_loads(it, &unbraked, 0, load_n); /* slip goes by the driven axle's load without the brakes' load transfer */
    double slip = fabs(tyre_n) / (it->slip_stiffness * load_n[1]);
    double hub_n = tyre_n > 0 ? tyre_n / (1 - slip) : tyre_n * (1 - slip);
    shaft at = {hub_n * it->radius_m, now->speed_m_s / it->radius_m, now->accel_m_s2 / it->radius_m};
    p.slip_w = (hub_n - tyre_n) * now->speed_m_s;
    for (size_t k = 0; k < it->path_count; k++)
        at = through(&it->path[k], at, &p.driveline_w);
    stage gear = {it->ratio[now->gear], it->efficiency[now->gear], 0, 0, 0};
    stage input = {1, 1, it->box_drag_nm, it->box_drag_nm_s, it->input_inertia_kg_m2};
    at = through(&gear, at, &p.driveline_w);
    at = through(&input, at, &p.driveline_w);
    p.torque_nm = at.torque_nm + it->rotor_kg_m2 * at.accel_rad_s2;
    p.motor_rad_s = at.speed_rad_s;
    motor(it, winding_degc, &p);
    return p;
}

/* ------------------------------------------------------------------------------------------------ battery, limits */

typedef struct battery {
    double soc, energy_j, pack_j;
} battery;

static inline double open_circuit_v(const truck *it, double soc)
{
    return it->empty_v + (it->full_v - it->empty_v) * soc;
}

static inline double current_a(const truck *it, double open_v, double terminal_w)
{
    return (open_v - sqrt(open_v * open_v - 4 * it->resistance_ohm * terminal_w)) / (2 * it->resistance_ohm);
}

static inline void draw(const truck *it, battery *from, double terminal_w, double time_s)
{
    double open_v = open_circuit_v(it, from->soc), amperes = current_a(it, open_v, terminal_w);
    from->energy_j += open_v * amperes * time_s;
    from->pack_j += amperes * amperes * it->resistance_ohm * time_s;
    from->soc -= amperes * time_s / it->capacity_as;
}

static inline double fade(const truck *it, double speed_m_s)
{
    if (it->fade_from_m_s <= it->fade_to_m_s)
        return 1;
    return fmax(0, fmin((speed_m_s - it->fade_to_m_s) / (it->fade_from_m_s - it->fade_to_m_s), 1));
}

/* Whether the motors may brake like this: their own limit, the pack's, and what the driven axle's load allows. */
static inline bool may_brake(const truck *it, const instant *now, const powers *p, double soc, double winding_degc)
{
    double load_n[3], open_v = open_circuit_v(it, soc);
    double limit_v = open_v - it->resistance_ohm * current_a(it, open_v, -it->charge_limit_w);
    double most_nm = fmin(it->peak_nm, it->peak_w * limit_v / it->reference_v / fmax(p->motor_rad_s, 1e-9));
    if (it->heats)
        most_nm *= fmax(0, fmin((it->derate_to_degc - winding_degc) / (it->derate_to_degc - it->derate_from_degc), 1));
    axle_loads(it, now, p->brake_n, load_n);
    return p->torque_nm >= -fade(it, now->speed_m_s) * most_nm && p->bus_w + it->auxiliaries_w >= -it->charge_limit_w &&
           p->tyre_n >= -it->adhesion_regenerating * load_n[1];
}

/* Motors first, friction brakes for what the motors may not take. */
static inline powers share(const truck *it, const instant *now, double soc, double winding_degc)
{
    double need_n = rolling_n(it, now, 0) + other_forces_n(it, now);
    powers p = drive_train(it, now, need_n, winding_degc);
    if (p.torque_nm >= 0 || may_brake(it, now, &p, soc, winding_degc))
        return p;
    double low_n = need_n, high_n = 1e5;
    for (int k = 0; k < 50; k++) {
        double middle_n = 0.5 * (low_n + high_n);
        p = drive_train(it, now, middle_n, winding_degc);
        if (may_brake(it, now, &p, soc, winding_degc))
            high_n = middle_n;
        else
            low_n = middle_n;
    }
    return drive_train(it, now, high_n, winding_degc);
}

#endif
