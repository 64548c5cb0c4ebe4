/*
 * The physics worked out a second time, by nothing but the public header and plain steps in time: power needed at the
 * tyres, up the driveline, through motor and inverter into the battery. Every number of the trucks is typed in here.
 *
 * Conventions (above zero: forces that pull, power out of the battery):
 *   - Shafts turn as the tyre rolls, without its slip: the slip appears as hub force over tyre force.
 *   - A stage's inertia and its drag at the wheel side load its mesh; a drag at the motor side does not.
 *   - Motor and gearbox hang at one point; parts of the path ride at the driven axle's centre.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"

#define SINGLE "tests/trucks/single-speed.yaml"
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

static double joint_efficiency(double angle_deg)
{
    return 1 - 4 / PI * 0.05 * 0.35 * tan(angle_deg * PI / 180);
}

/* Slope of a drag between two speeds in rpm, per rad/s. */
static double per_rad_s(double nm, double rpm)
{
    return nm / (rpm * PI / 30);
}

/* tests/trucks/single-speed.yaml */
static truck single_speed(void)
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

/* vehicles/trucks/tractor-4x2-central.yaml and its parts, with a straight line of open-circuit voltage. */
static truck four_speed(void)
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

static lump joined(const lump *of, size_t count)
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
static void axle_loads(const truck *it, const instant *now, double brake_n, double load_n[3])
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

static double rolling_n(const truck *it, const instant *now, double brake_n)
{
    double load_n[3], sum_n = 0;
    axle_loads(it, now, brake_n, load_n);
    for (size_t k = 0; k < 3; k++) {
        sum_n += now->surface * (it->rolling[k] + it->rolling_s_m[k] * now->speed_m_s) * load_n[k];
    }
    return sum_n;
}

static double air_n(const truck *it, const instant *now)
{
    double wind_m_s = now->speed_m_s + now->headwind_m_s;
    return 0.5 * now->air_density_kg_m3 * it->drag_area_m2 * wind_m_s * fabs(wind_m_s);
}

/* All but rolling resistance and brakes. */
static double other_forces_n(const truck *it, const instant *now)
{
    double kg = joined(it->lumps, 8).kg + joined(it->trailer, 2).kg;
    double sine = now->tangent / sqrt(1 + now->tangent * now->tangent);
    return air_n(it, now) + kg * GRAVITY * sine + (kg + it->wheels_kg) * now->accel_m_s2;
}

/* Friction brakes that remain where the motors give this tyre force; rolling resistance is linear in them. */
static double brakes_n(const truck *it, const instant *now, double tyre_n)
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

static shaft through(const stage *it, shaft wheel_side, double *loss_w)
{
    double drag_nm = it->drag_nm + it->drag_nm_s * wheel_side.speed_rad_s;
    double load_nm = wheel_side.torque_nm + it->inertia_kg_m2 * wheel_side.accel_rad_s2 + drag_nm;
    double carried_nm = load_nm > 0 ? load_nm / it->efficiency : load_nm * it->efficiency;
    *loss_w += (drag_nm + carried_nm - load_nm) * wheel_side.speed_rad_s;
    return (shaft){carried_nm / it->ratio, wheel_side.speed_rad_s * it->ratio, wheel_side.accel_rad_s2 * it->ratio};
}

static double copper_factor(const truck *it, double winding_degc)
{
    return it->heats ? (235 + winding_degc) / (235 + 100) : 1;
}

/* Current that weakens the field, from the voltage circle of a machine without saliency. */
static double weakening_share(const truck *it, double torque_share, double motor_rad_s)
{
    double k = it->characteristic_share, over = motor_rad_s / (it->peak_w / it->peak_nm);
    double flux2 = (1 + 1 / (k * k)) / (over * over) - torque_share * torque_share / (k * k);
    return flux2 >= 1 ? 0 : k * (1 - sqrt(fmax(flux2, 0)));
}

static void motor(const truck *it, double winding_degc, powers *p)
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
static powers drive_train(const truck *it, const instant *now, double tyre_n, double winding_degc)
{
    powers p = {.tyre_n = tyre_n, .brake_n = brakes_n(it, now, tyre_n)};
    instant unbraked = *now;
    double load_n[3];
    axle_loads(it, &unbraked, 0, load_n); /* slip goes by the driven axle's load without the brakes' load transfer */
    double slip = fabs(tyre_n) / (it->slip_stiffness * load_n[1]);
    double hub_n = tyre_n > 0 ? tyre_n / (1 - slip) : tyre_n * (1 - slip);
    shaft at = {hub_n * it->radius_m, now->speed_m_s / it->radius_m, now->accel_m_s2 / it->radius_m};
    p.slip_w = (hub_n - tyre_n) * now->speed_m_s;
    for (size_t k = 0; k < it->path_count; k++) {
        at = through(&it->path[k], at, &p.driveline_w);
    }
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

static double open_circuit_v(const truck *it, double soc)
{
    return it->empty_v + (it->full_v - it->empty_v) * soc;
}

static double current_a(const truck *it, double open_v, double terminal_w)
{
    return (open_v - sqrt(open_v * open_v - 4 * it->resistance_ohm * terminal_w)) / (2 * it->resistance_ohm);
}

static void draw(const truck *it, battery *from, double terminal_w, double time_s)
{
    double open_v = open_circuit_v(it, from->soc), amperes = current_a(it, open_v, terminal_w);
    from->energy_j += open_v * amperes * time_s;
    from->pack_j += amperes * amperes * it->resistance_ohm * time_s;
    from->soc -= amperes * time_s / it->capacity_as;
}

static double fade(const truck *it, double speed_m_s)
{
    if (it->fade_from_m_s <= it->fade_to_m_s) {
        return 1;
    }
    return fmax(0, fmin((speed_m_s - it->fade_to_m_s) / (it->fade_from_m_s - it->fade_to_m_s), 1));
}

/* Whether the motors may brake like this: their own limit, the pack's, and what the driven axle's load allows. */
static bool may_brake(const truck *it, const instant *now, const powers *p, double soc, double winding_degc)
{
    double load_n[3], open_v = open_circuit_v(it, soc);
    double limit_v = open_v - it->resistance_ohm * current_a(it, open_v, -it->charge_limit_w);
    double most_nm = fmin(it->peak_nm, it->peak_w * limit_v / it->reference_v / fmax(p->motor_rad_s, 1e-9));
    if (it->heats) {
        most_nm *= fmax(0, fmin((it->derate_to_degc - winding_degc) / (it->derate_to_degc - it->derate_from_degc), 1));
    }
    axle_loads(it, now, p->brake_n, load_n);
    return p->torque_nm >= -fade(it, now->speed_m_s) * most_nm && p->bus_w + it->auxiliaries_w >= -it->charge_limit_w &&
           p->tyre_n >= -it->adhesion_regenerating * load_n[1];
}

/* Motors first, friction brakes for what the motors may not take. */
static powers share(const truck *it, const instant *now, double soc, double winding_degc)
{
    double need_n = rolling_n(it, now, 0) + other_forces_n(it, now);
    powers p = drive_train(it, now, need_n, winding_degc);
    if (p.torque_nm >= 0 || may_brake(it, now, &p, soc, winding_degc)) {
        return p;
    }
    double low_n = need_n, high_n = 1e5;
    for (int k = 0; k < 50; k++) {
        double middle_n = 0.5 * (low_n + high_n);
        p = drive_train(it, now, middle_n, winding_degc);
        if (may_brake(it, now, &p, soc, winding_degc)) {
            high_n = middle_n;
        } else {
            low_n = middle_n;
        }
    }
    return drive_train(it, now, high_n, winding_degc);
}

/* ------------------------------------------------------------------------------------------------ stepping */

typedef struct sums { /* J */
    battery pack;
    double winding_degc, hottest_degc;
    double rolling_j, air_j, brakes_j, slip_j, driveline_j, motor_j, inverter_j, shifting_j, time_s;
} sums;

static sums sums_begin(const truck *it)
{
    return (sums){.pack = {it->start_soc, 0, 0}, .winding_degc = it->coolant_degc, .hottest_degc = it->coolant_degc};
}

static void warm(const truck *it, sums *to, double motor_w, double time_s)
{
    if (it->heats) {
        double rate = (it->resistance_k_w * motor_w - (to->winding_degc - it->coolant_degc)) / it->time_constant_s;
        to->winding_degc += rate * time_s;
        to->hottest_degc = fmax(to->hottest_degc, to->winding_degc);
    }
}

/* Motors that turn nothing, at rest or between two gears, are ready and cost what that costs. */
static void step_ready(const truck *it, sums *to, double time_s)
{
    draw(it, &to->pack, it->constant_w + it->inverter_constant_w + it->auxiliaries_w, time_s);
    warm(it, to, it->constant_w, time_s);
    to->motor_j += it->constant_w * time_s;
    to->inverter_j += it->inverter_constant_w * time_s;
    to->time_s += time_s;
}

static void step_moving(const truck *it, sums *to, const instant *now, double time_s)
{
    powers p = share(it, now, to->pack.soc, to->winding_degc);
    draw(it, &to->pack, p.bus_w + it->auxiliaries_w, time_s);
    warm(it, to, p.motor_w, time_s);
    to->rolling_j += rolling_n(it, now, p.brake_n) * now->speed_m_s * time_s;
    to->air_j += air_n(it, now) * now->speed_m_s * time_s;
    to->brakes_j += p.brake_n * now->speed_m_s * time_s;
    to->slip_j += p.slip_w * time_s;
    to->driveline_j += p.driveline_w * time_s;
    to->motor_j += p.motor_w * time_s;
    to->inverter_j += p.inverter_w * time_s;
    to->time_s += time_s;
}

/* Tyre force of the path alone, which the truck drags along while no gear is engaged; it does not slip. */
static double coasting_n(const truck *it, const instant *now, double *loss_w)
{
    double low_n = -1e5, high_n = 1e5;
    for (int k = 0; k < 60; k++) {
        double middle_n = 0.5 * (low_n + high_n);
        shaft at = {middle_n * it->radius_m, now->speed_m_s / it->radius_m, now->accel_m_s2 / it->radius_m};
        *loss_w = 0;
        for (size_t of = 0; of < it->path_count; of++) {
            at = through(&it->path[of], at, loss_w);
        }
        *(at.torque_nm > 0 ? &high_n : &low_n) = middle_n;
    }
    return low_n;
}

/* Between two gears the truck rolls on, and its friction brakes do what the driver still wants done. */
static void step_between_gears(const truck *it, sums *to, const instant *now, double time_s)
{
    double loss_w, brake_n = brakes_n(it, now, coasting_n(it, now, &loss_w));
    to->rolling_j += rolling_n(it, now, brake_n) * now->speed_m_s * time_s;
    to->air_j += air_n(it, now) * now->speed_m_s * time_s;
    to->brakes_j += brake_n * now->speed_m_s * time_s;
    to->driveline_j += loss_w * time_s;
    step_ready(it, to, time_s);
}

/* The motor brings its rotor and the gearbox's input to another speed, past the pack's resistance. */
static void synchronise(const truck *it, sums *to, double from_rad_s, double to_rad_s)
{
    double gain_j = 0.5 * (it->rotor_kg_m2 + it->input_inertia_kg_m2) * (to_rad_s * to_rad_s - from_rad_s * from_rad_s);
    double loss_j = it->synchronising_loss_share * fabs(gain_j);
    to->shifting_j += loss_j;
    to->pack.energy_j += gain_j + loss_j;
    to->pack.soc -= (gain_j + loss_j) / open_circuit_v(it, to->pack.soc) / it->capacity_as;
}

static void must_agree(const drive *run, const char *key, double joule, double tolerance_j)
{
    double result_j = result(run, key) * J_PER_KWH;
    ck_assert_msg(fabs(result_j - joule) <= tolerance_j, "%s: %.8g kWh; here %.8g kWh", key, result_j / J_PER_KWH,
                  joule / J_PER_KWH);
}

/* Battery energy within two parts in a hundred thousand, and no line off by more than that of the whole. */
static void compare(const drive *run, const sums *own)
{
    double tolerance_j = 2e-5 * own->pack.energy_j;
    must_agree(run, "battery_kwh", own->pack.energy_j, tolerance_j);
    must_agree(run, "ledger.rolling_kwh", own->rolling_j, tolerance_j);
    must_agree(run, "ledger.air_kwh", own->air_j, tolerance_j);
    must_agree(run, "ledger.friction_brakes_kwh", own->brakes_j, tolerance_j);
    must_agree(run, "ledger.tyre_slip_kwh", own->slip_j, tolerance_j);
    must_agree(run, "ledger.pack_kwh", own->pack.pack_j, tolerance_j);
    must_agree(run, "ledger.motor_kwh", own->motor_j, tolerance_j);
    must_agree(run, "ledger.inverter_kwh", own->inverter_j, tolerance_j);
    must_agree(run, "ledger.shifting_kwh", own->shifting_j, tolerance_j);
    double driveline_kwh = result(run, "ledger.wheel_end_kwh") + result(run, "ledger.final_drive_kwh") +
                           result(run, "ledger.shafts_kwh") + result(run, "ledger.gearbox_kwh");
    ck_assert_double_eq_tol(driveline_kwh * J_PER_KWH, own->driveline_j, tolerance_j);
    ck_assert_double_eq_tol(result(run, "duration_s"), own->time_s, 1e-3);
    ck_assert_double_eq_tol(result(run, "final_soc"), own->pack.soc, 1e-5);
}

/* ------------------------------------------------------------------------------------------------ from the cycle */

/* Between two points of a trace the speed is a straight line; thin slices, each by its middle. */
static void drive_line(const truck *it, sums *to, double time_s, double from_m_s, double to_m_s, double *place_m,
                       const instant *road, double (*tangent_at)(double place_m))
{
    enum { SLICES = 200 };
    double slice_s = time_s / SLICES, accel = (to_m_s - from_m_s) / time_s;
    if (from_m_s == 0 && to_m_s == 0) {
        step_ready(it, to, time_s);
        return;
    }
    for (int k = 0; k < SLICES; k++) {
        double after_s = (k + 0.5) * slice_s;
        instant now = *road;
        now.speed_m_s = from_m_s + accel * after_s;
        now.accel_m_s2 = accel;
        now.tangent = tangent_at(*place_m + (from_m_s + 0.5 * accel * after_s) * after_s);
        step_moving(it, to, &now, slice_s);
    }
    *place_m += 0.5 * (from_m_s + to_m_s) * time_s;
}

static double level(double place_m)
{
    (void)place_m;
    return 0;
}

START_TEST(the_urban_schedule_takes_from_the_battery_what_plain_steps_in_time_say)
{
    truck it = single_speed();
    sums own = sums_begin(&it);
    instant road = {.surface = 1, .air_density_kg_m3 = 1.2};
    FILE *file = fopen("cycles/reference/urban-schedule.csv", "r");
    ck_assert_ptr_nonnull(file);
    char line[200];
    double time_s, mph, last_s = 0, last_m_s = 0, place_m = 0;
    size_t points = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        if (sscanf(line, "%lf,%lf", &time_s, &mph) == 2) {
            if (points++ > 0) {
                drive_line(&it, &own, time_s - last_s, last_m_s, mph * 0.44704, &place_m, &road, level);
            }
            last_s = time_s;
            last_m_s = mph * 0.44704;
        }
    }
    fclose(file);
    ck_assert_uint_eq(points, 1370);
    evn_ask ask = evn_ask_default();
    ask.driver = EVN_DRIVER_EXACT;
    ask.accuracy = 1e-8;
    ask.conditions.air_density_kg_m3 = 1.2;
    drive run = drive_whole(SINGLE, URBAN, &ask, NULL);
    ck_assert_uint_eq(evn_results_held_count(run.results), 0);
    ck_assert_double_eq_tol(result(&run, "distance_km"), place_m / 1000, 1e-9);
    compare(&run, &own);
    drive_end(&run);
}
END_TEST

/* A trace over hills: straight lines of grade, and one of each kind of change of speed. */
static const double hill_m[] = {300, 700, 1500, 1900, 2400, 2800, 3600, 4000};
static const double hill_percent[] = {0, 5, 5, -1, -1, -6, -6, 0};
static const double trace_s[] = {0, 5, 35, 100, 130, 180, 240, 260, 300, 330, 345, 360};
static const double trace_km_h[] = {0, 0, 50, 80, 80, 30, 70, 70, 40, 0, 0, 0};
enum { HILL_POINTS = sizeof hill_m / sizeof *hill_m, TRACE_POINTS = sizeof trace_s / sizeof *trace_s };

static double line_through(const double *x, const double *y, size_t count, double at)
{
    if (at <= x[0] || at >= x[count - 1]) {
        return at <= x[0] ? y[0] : y[count - 1];
    }
    size_t k = 1;
    while (at > x[k]) {
        k++;
    }
    return y[k - 1] + (y[k] - y[k - 1]) * (at - x[k - 1]) / (x[k] - x[k - 1]);
}

static double hills(double place_m)
{
    return line_through(hill_m, hill_percent, HILL_POINTS, place_m) / 100;
}

static size_t print_list(char *to, size_t room, const char *key, const double *at, size_t count)
{
    size_t used = (size_t)snprintf(to, room, "  %s: [", key);
    for (size_t k = 0; k < count; k++) {
        used += (size_t)snprintf(to + used, room - used, "%s%.10g", k > 0 ? ", " : "", at[k]);
    }
    return used + (size_t)snprintf(to + used, room - used, "]\n");
}

START_TEST(hills_wind_and_rough_asphalt_take_what_plain_steps_in_time_say)
{
    char text[1000], path[PATH_BYTES];
    size_t used = (size_t)snprintf(text, sizeof text, "name: hills\ninvented: true\nspeed:\n");
    used += print_list(text + used, sizeof text - used, "time_s", trace_s, TRACE_POINTS);
    used += print_list(text + used, sizeof text - used, "speed_km_h", trace_km_h, TRACE_POINTS);
    used += (size_t)snprintf(text + used, sizeof text - used, "road:\n");
    used += print_list(text + used, sizeof text - used, "place_m", hill_m, HILL_POINTS);
    used += print_list(text + used, sizeof text - used, "grade_percent", hill_percent, HILL_POINTS);
    snprintf(text + used, sizeof text - used, "surface: {place_m: [0], rolling_factor: [1.3]}\n");
    write_file("hills.yaml", text);
    truck it = single_speed();
    sums own = sums_begin(&it);
    instant road = {.surface = 1.3, .headwind_m_s = 4, .air_density_kg_m3 = 1.15};
    double place_m = 0;
    for (size_t k = 1; k < TRACE_POINTS; k++) {
        double time_s = trace_s[k] - trace_s[k - 1], from = trace_km_h[k - 1] / 3.6, to = trace_km_h[k] / 3.6;
        for (int part = 0; part < 20; part++) {
            drive_line(&it, &own, time_s / 20, from + (to - from) * part / 20, from + (to - from) * (part + 1) / 20,
                       &place_m, &road, hills);
        }
    }
    evn_ask ask = evn_ask_default();
    ask.driver = EVN_DRIVER_EXACT;
    ask.accuracy = 1e-8;
    ask.conditions.air_density_kg_m3 = 1.15;
    ask.conditions.headwind_m_s = 4;
    drive run = drive_whole(SINGLE, in_folder(path, "hills.yaml"), &ask, NULL);
    ck_assert_uint_eq(evn_results_held_count(run.results), 0);
    compare(&run, &own);
    drive_end(&run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ from a driven run */

/* The hill road that the program comes with. */
static const double road_m[] = {600,  800,  1400, 1600, 2000, 2200, 2800, 3000,  3700,  4000,  4600,  4900,  6400,
                                6700, 6900, 7200, 8700, 9000, 9600, 9900, 10200, 10400, 10600, 10700, 10900, 11100};
static const double road_percent[] = {0, 4, 4,  0,  0,  -4, -4, 0, 0, 5, 5, 8,  8,
                                      0, 0, -8, -8, -5, -5, 0,  0, 3, 0, 0, -3, 0};

static double hill_road(double place_m)
{
    return line_through(road_m, road_percent, sizeof road_m / sizeof *road_m, place_m) / 100;
}

typedef struct replay { /* of a trace */
    const drive *run;
    const trace *rows;
    size_t time, place, speed, gear; /* columns */
    double (*tangent_at)(double place_m);
    bool rough; /* 1.1 times the rolling resistance from 3700 to 9900 m */
} replay;

static double motor_speed(const truck *it, double gear, double speed_m_s)
{
    double ratio = it->ratio[(size_t)gear - 1];
    for (size_t k = 0; k < it->path_count; k++) {
        ratio *= it->path[k].ratio;
    }
    return speed_m_s / it->radius_m * ratio;
}

static void replay_step(const truck *it, const replay *of, size_t row, sums *to)
{
    double time_s = at_row(of->rows, row + 1, of->time) - at_row(of->rows, row, of->time);
    double gear = at_row(of->rows, row, of->gear); /* a row at an event shows what holds from there on */
    double from = at_row(of->rows, row, of->speed) / 3.6, after = at_row(of->rows, row + 1, of->speed) / 3.6;
    double place_m = 0.5 * (at_row(of->rows, row, of->place) + at_row(of->rows, row + 1, of->place));
    if (time_s <= 1e-9) {
        return;
    }
    if (from == 0 && after == 0) {
        step_ready(it, to, time_s);
        return;
    }
    instant now = {.speed_m_s = 0.5 * (from + after),
                   .accel_m_s2 = (after - from) / time_s,
                   .tangent = of->tangent_at(place_m),
                   .surface = of->rough && place_m > 3700 && place_m < 9900 ? 1.1 : 1,
                   .air_density_kg_m3 = 1.2,
                   .gear = gear > 0 ? (size_t)gear - 1 : 0};
    if (gear > 0) {
        step_moving(it, to, &now, time_s);
    } else {
        step_between_gears(it, to, &now, time_s);
    }
}

/* Steps from row to row; a change of gear brings the rotor from the speed it had to the speed of the new gear. */
static sums replay_all(const truck *it, const replay *of)
{
    sums own = sums_begin(it);
    double gear = 0, rotor_rad_s = 0;
    for (size_t row = 0; row + 1 < of->rows->rows; row++) {
        double now = at_row(of->rows, row, of->gear), speed_m_s = at_row(of->rows, row, of->speed) / 3.6;
        if (now > 0 && gear > 0 && now != gear) {
            synchronise(it, &own, rotor_rad_s, motor_speed(it, now, speed_m_s));
        }
        if (now > 0) {
            gear = now;
            rotor_rad_s = motor_speed(it, now, speed_m_s);
        }
        replay_step(it, of, row, &own);
    }
    return own;
}

static const struct {
    const char *cycle;
    evn_driver driver;
    double (*tangent_at)(double place_m);
} driven[] = {{URBAN, EVN_DRIVER_HUMAN, level},
              {URBAN, EVN_DRIVER_EXACT, level},
              {HILL, EVN_DRIVER_HUMAN, hill_road},
              {HILL, EVN_DRIVER_EXACT, hill_road}};

START_TEST(a_driven_run_takes_what_plain_steps_through_its_speeds_and_gears_say)
{
    char text[600], path[PATH_BYTES], here[300];
    trace rows = {NULL, 0, 0, 0};
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "extends: %s/" TRACTOR "\nbattery: {open_circuit: {soc: [0, 1], voltage_v: [590, 741]}, start_soc: 0.8}\n",
             here);
    write_file("tractor.yaml", text);
    evn_ask ask = evn_ask_default();
    ask.driver = driven[_i].driver;
    ask.accuracy = 1e-8;
    ask.trace_interval_s = 0.02;
    ask.conditions.air_density_kg_m3 = 1.2;
    drive run = drive_whole(in_folder(path, "tractor.yaml"), driven[_i].cycle, &ask, &rows);
    truck it = four_speed();
    replay of = {&run,
                 &rows,
                 column(&run, "time_s"),
                 column(&run, "place_m"),
                 column(&run, "speed_km_h"),
                 column(&run, "gear"),
                 driven[_i].tangent_at,
                 driven[_i].tangent_at == hill_road};
    sums own = replay_all(&it, &of);
    compare(&run, &own);
    ck_assert_double_eq_tol(result(&run, "peak_winding_degc"), own.hottest_degc, 0.05);
    ck_assert_double_gt(result(&run, "shifts"), 5);
    trace_end(&rows);
    drive_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("quasi-static");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_test(runs, the_urban_schedule_takes_from_the_battery_what_plain_steps_in_time_say);
    tcase_add_test(runs, hills_wind_and_rough_asphalt_take_what_plain_steps_in_time_say);
    tcase_add_loop_test(runs, a_driven_run_takes_what_plain_steps_through_its_speeds_and_gears_say, 0, 4);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
