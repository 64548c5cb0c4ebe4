/* Any drive unit at any state: what the bus gives is work at the wheels and losses, and every limit can be reached. */
#include "../unit/course_probe.h"
#include "core/arena.h"
#include "truck/unit.h"
#include <stdlib.h>
#include <string.h>

enum { UNITS = 10000, STATES = 100, STEPS_MAX = 12, ITEM_BYTES = 256 };

/* Millions of checks: only one that fails is told to the framework, which writes down every one it is told of. */
#define MUST(condition, ...)                                                                                           \
    do {                                                                                                               \
        if (!(condition)) {                                                                                            \
            ck_abort_msg(__VA_ARGS__);                                                                                 \
        }                                                                                                              \
    } while (0)

/* ------------------------------------------------------------------------------------------------ random units */

typedef struct sample { /* a unit as read, and what it came to */
    evn_unit_file file;
    double axle;
    evn_engagement_file engagement;
    evn_motor_file motor[EVN_MOTORS_MAX];
    evn_motor_loss_file loss[EVN_MOTORS_MAX];
    evn_field_weakening_file weakening[EVN_MOTORS_MAX];
    evn_inverter_file inverter[EVN_MOTORS_MAX];
    evn_winding_file winding[EVN_MOTORS_MAX];
    evn_map_file map[EVN_MOTORS_MAX];
    double map_w[EVN_MOTORS_MAX][9];
    evn_gearbox_file gearbox;
    evn_shift_file shift;
    double ratio[EVN_GEARS_MAX], efficiency[EVN_GEARS_MAX];
    evn_step step[STEPS_MAX];
    _Alignas(16) unsigned char item[STEPS_MAX][ITEM_BYTES];
    evn_drag_file drag[STEPS_MAX + 1];
    double drag_rpm[STEPS_MAX + 1][4], drag_nm[STEPS_MAX + 1][4];
    evn_arena *arena;
    evn_unit unit;
} sample;

static bool near(double a, double b, double tolerance) { return fabs(a - b) <= tolerance; }

static bool toss(dice *with) { return roll(with, 0, 1) < 0.5; }

static const evn_drag_file *roll_drag(sample *to, size_t at, dice *with)
{
    size_t points = roll_count(with, 1, 4);
    for (size_t k = 0; k < points; k++) {
        to->drag_rpm[at][k] = 500.0 * (double)k + roll(with, 0, 400);
        to->drag_nm[at][k] = roll(with, 0, 40);
    }
    to->drag[at] = (evn_drag_file){.at = toss(with) ? EVN_MOTOR_SIDE : EVN_WHEEL_SIDE,
                                   .speed_rpm = {to->drag_rpm[at], points},
                                   .torque_nm = {to->drag_nm[at], points}};
    return toss(with) ? &to->drag[at] : NULL;
}

/* A number that suits a key of a stage. */
static double roll_value(const char *key, dice *with)
{
    if (strcmp(key, "ratio") == 0)
        return roll(with, 0.7, 2.5);
    if (strcmp(key, "sun_teeth") == 0)
        return floor(roll(with, 15, 40));
    if (strcmp(key, "ring_teeth") == 0)
        return floor(roll(with, 45, 120));
    if (strcmp(key, "angle_deg") == 0)
        return roll(with, 0, 10);
    return strstr(key, "efficiency") ? roll(with, 0.9, 1) : roll(with, 0, 1);
}

/* Any kind of stage, filled through its own table of keys, as the reader does. */
static void roll_step(sample *to, size_t at, dice *with)
{
    size_t kind = roll_count(with, 0, evn_stage_kinds_count - 1);
    const evn_object *object = evn_stage_kinds[kind].object;
    ck_assert_uint_le(object->size, ITEM_BYTES);
    memset(to->item[at], 0, ITEM_BYTES);
    for (size_t k = 0; k < object->field_count; k++) {
        const evn_field *field = &object->fields[k];
        unsigned char *member = to->item[at] + field->offset;
        if (field->of == &evn_oil_object) {
            static const double degc[] = {-20, 0, 40, 80}, factor[] = {4, 2.5, 1.4, 1};
            static const evn_oil_file oil = {.heat_capacity_kj_per_k = 60,
                                             .standing_w_per_k = 8,
                                             .at_80_km_h_w_per_k = 30,
                                             .temperature_degc = {degc, 4},
                                             .drag_factor = {factor, 4},
                                             .warm_degc = 70};
            const evn_oil_file *stated = toss(with) ? &oil : NULL;
            memcpy(member, &stated, sizeof stated);
        } else if (field->shape == EVN_ONE) {
            const evn_drag_file *drag = roll_drag(to, at, with);
            memcpy(member, &drag, sizeof drag);
        } else {
            double value = fmax(field->least, fmin(roll_value(field->key, with), field->most));
            memcpy(member, &value, sizeof value);
        }
    }
    to->step[at] = (evn_step){kind, to->item[at]};
}

/* Losses that follow no law. */
static const evn_map_file *roll_map(sample *to, size_t at, dice *with)
{
    static const double speed_rpm[] = {0, 3000, 9000}, torque_nm[] = {-1000, 50, 800};
    for (size_t k = 0; k < 9; k++)
        to->map_w[at][k] = toss(with) ? roll(with, 0, 100) : roll(with, 0, 5e4);
    to->map[at] = (evn_map_file){.speed_rpm = {speed_rpm, 3},
                                 .torque_nm = {torque_nm, 3},
                                 .loss_w = {to->map_w[at], 9},
                                 .includes_inverter = toss(with),
                                 .winding_degc = roll(with, 20, 120)};
    return &to->map[at];
}

static void roll_motor(sample *to, size_t at, dice *with)
{
    to->loss[at] = (evn_motor_loss_file){.constant_w = roll(with, 0, 200),
                                         .speed_w_per_rad_s = roll(with, 0, 6),
                                         .speed_squared_w_per_rad2_s2 = roll(with, 0, 0.05),
                                         .torque_squared_w_per_nm2 = roll(with, 0, 0.05),
                                         .winding_degc = roll(with, 20, 120)};
    to->weakening[at].characteristic_current_share = roll(with, 0.1, 1.5);
    to->inverter[at] = (evn_inverter_file){
        .constant_w = roll(with, 0, 400), .current_w = roll(with, 0, 3000), .current_squared_w = roll(with, 0, 3000)};
    to->winding[at] = (evn_winding_file){.coolant_degc = 65,
                                         .resistance_k_per_kw = 8,
                                         .time_constant_s = 200,
                                         .derate_from_degc = 150,
                                         .derate_to_degc = 175,
                                         .start_degc = (double)NAN};
    to->motor[at] = (evn_motor_file){.peak_torque_nm = roll(with, 200, 3000),
                                     .peak_power_kw = roll(with, 60, 500),
                                     .top_speed_rpm = 1e5,
                                     .reference_voltage_v = 680,
                                     .rotor_inertia_kg_m2 = roll(with, 0, 1),
                                     .loss = &to->loss[at],
                                     .field_weakening = toss(with) ? &to->weakening[at] : NULL,
                                     .inverter = &to->inverter[at],
                                     .winding = toss(with) ? &to->winding[at] : NULL};
}

/* Its losses as a map instead. */
static void roll_mapped_motor(sample *to, size_t at, dice *with)
{
    to->motor[at].map = roll_map(to, at, with);
    to->motor[at].loss = NULL;
    to->motor[at].field_weakening = NULL;
}

static void roll_gearbox(sample *to, dice *with)
{
    size_t gears = roll_count(with, 1, EVN_GEARS_MAX);
    double ratio = roll(with, 1, 10);
    for (size_t k = 0; k < gears; k++) {
        to->ratio[k] = ratio;
        to->efficiency[k] = roll(with, 0.95, 1);
        ratio *= roll(with, 0.5, 0.9);
    }
    to->gearbox = (evn_gearbox_file){.ratios = {to->ratio, gears},
                                     .efficiencies = {to->efficiency, gears},
                                     .drag = roll_drag(to, STEPS_MAX, with),
                                     .input_inertia_kg_m2 = toss(with) ? roll(with, 0, 0.3) : 0,
                                     .shift = &to->shift};
}

static void roll_unit(sample *to, dice *with)
{
    size_t steps = toss(with) ? roll_count(with, 0, 6) : roll_count(with, 0, STEPS_MAX),
           motors = roll_count(with, 1, EVN_MOTORS_MAX);
    evn_unit_masses masses;
    for (size_t k = 0; k < steps; k++)
        roll_step(to, k, with);
    roll_motor(to, 0, with);
    if (roll(with, 0, 1) < 0.3)
        roll_mapped_motor(to, 0, with);
    for (size_t k = 1; k < motors; k++)
        to->motor[k] = to->motor[0]; /* those of a unit are alike: a file with others is refused */
    roll_gearbox(to, with);
    to->axle = 2;
    to->engagement = (evn_engagement_file){1, 0.5, 2};
    to->file = (evn_unit_file){.axles = {&to->axle, 1},
                               .motors = {NULL, to->motor, motors},
                               .idle_motors_stand_still = toss(with),
                               .engagement = &to->engagement,
                               .gearbox = toss(with) ? &to->gearbox : NULL,
                               .path = {to->step, steps}};
    to->arena = evn_arena_new();
    ck_assert_ptr_nonnull(to->arena);
    ck_assert(evn_unit_prepare(&to->file, "any", to->arena, &to->unit, &masses));
}

static void sample_end(sample *of) { evn_arena_free(of->arena); }

/* ------------------------------------------------------------------------------------------------ random states */

typedef struct state {
    evn_setting setting;
    evn_shaft wheels;
    double voltage_v, degc[EVN_NODES_MAX];
} state;

/* The motors stay within twice their peak torque and 1500 rad/s; one state in ten stands, one in ten coasts. */
static state roll_state(const evn_unit *unit, dice *with)
{
    state it = {.voltage_v = roll(with, 400, 900), .degc = {roll(with, -20, 200)}};
    for (size_t k = 0; k < EVN_OILS; k++)
        if (unit->oil[k].there)
            it.degc[unit->oil_at[k]] = roll(with, -30, 100);
    it.setting.gear = (uint8_t)roll_count(with, 0, unit->gear_count - 1);
    it.setting.engaged = (uint8_t)roll_count(with, 1, (1u << unit->motor_count) - 1);
    double ratio = unit->gear[it.setting.gear].total_ratio, peak_nm = 0;
    for (size_t k = 0; k < unit->motor_count; k++)
        peak_nm += it.setting.engaged >> k & 1u ? unit->motor[k].peak_nm : 0;
    it.wheels.speed_rad_s = roll(with, 0, 1) < 0.1 ? 0 : roll(with, 0, 1500) / ratio;
    it.wheels.accel_rad_s2 = roll(with, -3, 3);
    it.wheels.torque_nm = roll(with, 0, 1) < 0.1 ? 0 : roll(with, -2, 2) * peak_nm * ratio;
    return it;
}

/* ------------------------------------------------------------------------------------------------ balance */

static void check_balance(const evn_unit *unit, const state *at)
{
    evn_flow flow = {{0}};
    double motor_nm, bus_w = evn_unit_draw_w(unit, at->setting, at->wheels, at->voltage_v, at->degc, &flow, &motor_nm);
    double work_w = at->wheels.torque_nm * at->wheels.speed_rad_s, sum_w = work_w, through_w = fabs(work_w);
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        sum_w += flow.w[k];
        through_w += fabs(flow.w[k]);
        MUST(k == EVN_KINETIC || flow.w[k] >= 0, "%s: %g W", evn_line_rows[k].key, flow.w[k]);
    }
    MUST(fabs(bus_w - sum_w) <= 1e-12 * through_w, "bus %.17g W, lines %.17g W", bus_w, sum_w);
    double torque_nm =
        evn_unit_wheel_nm(unit, at->setting, motor_nm, at->wheels.speed_rad_s, at->wheels.accel_rad_s2, at->degc);
    double load_nm = fabs(motor_nm) * unit->gear[at->setting.gear].total_ratio;
    double loads_nm = load_nm + fabs(at->wheels.torque_nm) + 1e5; /* drags and inertia, which cancel on the way */
    MUST(fabs(torque_nm - at->wheels.torque_nm) <= 1e-13 * loads_nm, "%.17g Nm went up, %.17g Nm came down",
         at->wheels.torque_nm, torque_nm);
}

/* What turns in the chain and in all motors is the inertia that the unit states. */
static void check_inertia(const evn_unit *unit, const state *at)
{
    evn_flow flow = {{0}};
    evn_setting all = {at->setting.gear, (uint8_t)((1u << unit->motor_count) - 1)};
    evn_unit_draw_w(unit, all, at->wheels, at->voltage_v, at->degc, &flow, NULL);
    double spin_w = unit->gear[all.gear].inertia_kg_m2 * at->wheels.accel_rad_s2 * at->wheels.speed_rad_s;
    MUST(near(flow.w[EVN_KINETIC], spin_w, 1e-12 * fabs(spin_w)), "the chain spins up %g W, its inertia %g W",
         flow.w[EVN_KINETIC], spin_w);
}

static void check_neutral(const evn_unit *unit, const state *at)
{
    evn_flow flow = {{0}};
    double speed_rad_s = at->wheels.speed_rad_s, accel_rad_s2 = at->wheels.accel_rad_s2;
    double torque_nm = evn_unit_dragged_nm(unit, unit->path_count, speed_rad_s, accel_rad_s2, at->degc, &flow),
           sum_w = 0, through_w = 0;
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        sum_w += flow.w[k];
        through_w += fabs(flow.w[k]);
        MUST(k == EVN_KINETIC || flow.w[k] >= 0, "%s in neutral: %g W", evn_line_rows[k].key, flow.w[k]);
    }
    MUST(near(flow.w[EVN_KINETIC], unit->path_inertia_kg_m2 * accel_rad_s2 * speed_rad_s, 1e-12 * through_w),
         "in neutral the path spins up %g W", flow.w[EVN_KINETIC]);
    MUST(near(torque_nm * speed_rad_s, -sum_w, 1e-12 * through_w),
         "in neutral the wheels give %g W, the lines take %g W", -torque_nm * speed_rad_s, sum_w);
    MUST(flow.w[EVN_MOTOR] == 0 && flow.w[EVN_INVERTER] == 0, "in neutral the motors lose");
}

START_TEST(what_the_bus_gives_is_work_at_the_wheels_and_losses_for_any_unit_at_any_state)
{
    dice with = {8817 + (uint64_t)_i};
    static sample it;
    for (int unit = 0; unit < UNITS / 10; unit++) {
        roll_unit(&it, &with);
        for (int k = 0; k < STATES; k++) {
            state at = roll_state(&it.unit, &with);
            check_balance(&it.unit, &at);
            check_inertia(&it.unit, &at);
            check_neutral(&it.unit, &at);
        }
        sample_end(&it);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ continuity */

typedef struct answer {
    double bus_w, motor_nm;
    evn_flow flow;
} answer;

static answer answer_at(const evn_unit *unit, const state *at, double torque_nm)
{
    answer it = {.flow = {{0}}};
    evn_shaft wheels = {torque_nm, at->wheels.speed_rad_s, at->wheels.accel_rad_s2};
    it.bus_w = evn_unit_draw_w(unit, at->setting, wheels, at->voltage_v, at->degc, &it.flow, &it.motor_nm);
    return it;
}

/* Torque at the wheels at which stage `last` passes from pulling to pushing. */
static double torque_of_no_load(const evn_gear *gear, const state *at, size_t last)
{
    double speed[EVN_CHAIN_MAX], accel[EVN_CHAIN_MAX], nm = 0;
    double speed_rad_s = at->wheels.speed_rad_s, accel_rad_s2 = at->wheels.accel_rad_s2;
    for (size_t k = 0; k <= last; k++) {
        speed[k] = speed_rad_s;
        accel[k] = accel_rad_s2;
        speed_rad_s *= gear->stage[k].ratio;
        accel_rad_s2 *= gear->stage[k].ratio;
    }
    for (size_t k = last + 1; k-- > 0;)
        nm = evn_stage_down(&gear->stage[k], nm, speed[k], accel[k], at->degc);
    return nm;
}

/*
 * A step a thousand times smaller must change this at least a hundred times less, or by no more than the `share` of it
 * that goes through the shaft; a jump would stay what it is.
 */
static void must_not_jump(const char *what, double wide, double narrow, double share, double size)
{
    MUST(fabs(narrow) <= 0.01 * fabs(wide) + share + 1e-11 * size, "%s changes by %g over 2 Nm and by %g over 2 mNm",
         what, wide, narrow);
}

static void check_continuity(const evn_unit *unit, const state *at, double torque_nm)
{
    static const double WIDE_NM = 1, NARROW_NM = 1e-3;
    /* what goes through the shaft, and the inverter's 3000 W over at least 200 Nm */
    double share_w = 10 * NARROW_NM * (at->wheels.speed_rad_s + 15 / unit->gear[at->setting.gear].total_ratio);
    answer low = answer_at(unit, at, torque_nm - WIDE_NM), high = answer_at(unit, at, torque_nm + WIDE_NM);
    answer below = answer_at(unit, at, torque_nm - NARROW_NM), above = answer_at(unit, at, torque_nm + NARROW_NM);
    must_not_jump("motor torque", high.motor_nm - low.motor_nm, above.motor_nm - below.motor_nm, NARROW_NM,
                  fabs(high.motor_nm) + fabs(torque_nm) + 1e3);
    must_not_jump("bus power", high.bus_w - low.bus_w, above.bus_w - below.bus_w, share_w, fabs(high.bus_w) + 1e5);
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        must_not_jump(evn_line_rows[k].key, high.flow.w[k] - low.flow.w[k], above.flow.w[k] - below.flow.w[k], share_w,
                      fabs(high.flow.w[k]) + 1e5);
    }
}

START_TEST(torque_and_losses_do_not_jump_where_a_load_changes_its_direction)
{
    dice with = {771};
    static sample it;
    for (int unit = 0; unit < UNITS / 5; unit++) {
        roll_unit(&it, &with);
        for (int k = 0; k < 5; k++) {
            state at = roll_state(&it.unit, &with);
            const evn_gear *gear = &it.unit.gear[at.setting.gear];
            check_continuity(&it.unit, &at, 0);
            for (size_t stage = 0; stage < gear->count; stage++)
                check_continuity(&it.unit, &at, torque_of_no_load(gear, &at, stage));
        }
        sample_end(&it);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ idle motors */

/* What the idle motors of a setting put on the shaft, from the coefficients as written; no map among them. */
static double idle_nm(const sample *of, const state *at, double w, double accel)
{
    double sum = 0;
    for (size_t k = 0; k < of->unit.motor_count; k++) {
        const evn_motor_loss_file *loss = of->motor[k].loss;
        if (!(at->setting.engaged >> k & 1u)) {
            sum += loss->speed_w_per_rad_s + loss->speed_squared_w_per_rad2_s2 * w +
                   of->motor[k].rotor_inertia_kg_m2 * accel;
        }
    }
    return sum;
}

static bool has_map(const sample *of)
{
    for (size_t k = 0; k < of->unit.motor_count; k++)
        if (of->unit.motor[k].map)
            return true;
    return false;
}

START_TEST(a_motor_that_turns_unused_is_dragged_and_spun_up_by_those_that_work)
{
    dice with = {31337};
    static sample it;
    size_t compared = 0;
    for (int unit = 0; unit < UNITS / 5; unit++) {
        roll_unit(&it, &with);
        for (int k = 0; k < STATES / 10 && !has_map(&it); k++) {
            state at = roll_state(&it.unit, &with);
            bool stands_still = it.unit.idle_stands_still;
            it.unit.idle_stands_still = false;
            double turning_nm = answer_at(&it.unit, &at, at.wheels.torque_nm).motor_nm;
            it.unit.idle_stands_still = true;
            double resting_nm = answer_at(&it.unit, &at, at.wheels.torque_nm).motor_nm;
            it.unit.idle_stands_still = stands_still;
            double ratio = it.unit.gear[at.setting.gear].total_ratio;
            double wanted = idle_nm(&it, &at, at.wheels.speed_rad_s * ratio, at.wheels.accel_rad_s2 * ratio);
            MUST(near(turning_nm - resting_nm, wanted, 1e-11 * (fabs(turning_nm) + 1e3)), "%.12g Nm, by hand %.12g Nm",
                 turning_nm - resting_nm, wanted);
            compared += wanted != 0;
        }
        sample_end(&it);
    }
    ck_assert_uint_gt(compared, 1000);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

/* Some have less torque at rest, pulling and pushing, and all of it from a speed below that of peak power. */
static void roll_rest(sample *to, dice *with)
{
    double short_at_rest = toss(with) ? roll(with, 0, 0.95) : 0,
           base = to->unit.motor[0].peak_w / to->unit.motor[0].peak_nm;
    double from_rad_s = base * roll(with, 0.01, 0.99);
    for (size_t k = 0; k < to->unit.motor_count; k++) {
        to->unit.motor[k].short_at_rest = short_at_rest;
        to->unit.motor[k].full_torque_rad_s = from_rad_s;
    }
}

/* s + (1 - s) (3 x^2 - 2 x^3). */
static double turning_share(const evn_motor *m, double motor_rad_s)
{
    double x = fmin(motor_rad_s / m->full_torque_rad_s, 1), s = 1 - m->short_at_rest;
    return s + (1 - s) * (3 * x * x - 2 * x * x * x);
}

/* The motors' limit by this test's own words: each its torque, or its power at this voltage, less what heat takes. */
static double most_nm(const sample *of, const state *at, double motor_rad_s, const evn_supply *supply)
{
    double sum_nm = 0;
    for (size_t k = 0; k < of->unit.motor_count; k++) {
        const evn_motor_file *motor = &of->motor[k];
        double power_w = motor->peak_power_kw * 1000 * supply->voltage_v / 680, share = 1;
        double turning = of->unit.motor[0].short_at_rest > 0 ? turning_share(&of->unit.motor[0], motor_rad_s) : 1;
        if (of->motor[0].winding) /* its motors are alike and share one */
            share = fmax(0, fmin((175 - at->degc[0]) / 25, 1));
        if (at->setting.engaged >> k & 1u)
            sum_nm += turning * share *
                      fmin(motor->peak_torque_nm, motor_rad_s > 0 ? power_w / motor_rad_s : (double)INFINITY);
    }
    return sum_nm;
}

static void check_limits(const sample *of, const state *at, dice *with)
{
    const evn_unit *unit = &of->unit;
    evn_supply supply = {roll(with, 400, 900), evn_unit_torque_share(unit, at->degc), roll(with, 0, 1)};
    double motor_rad_s = at->wheels.speed_rad_s * unit->gear[at->setting.gear].total_ratio;
    double most = evn_unit_most_motor_nm(unit, at->setting, motor_rad_s, &supply);
    double least = evn_unit_least_motor_nm(unit, at->setting, motor_rad_s, &supply);
    double wanted = most_nm(of, at, motor_rad_s, &supply);
    MUST(near(most, wanted, 1e-12 * wanted), "most %.17g Nm, wanted %.17g Nm", most, wanted);
    MUST(near(least, -supply.fade * wanted, 1e-12 * wanted), "least %.17g Nm, wanted %.17g Nm", least,
         -supply.fade * wanted);
    /* at the torque that the wheels reach by a limit, the motors give just that limit */
    for (int pulls = 0; pulls < 2; pulls++) {
        double limit = pulls ? most : least;
        double torque_nm =
            evn_unit_wheel_nm(unit, at->setting, limit, at->wheels.speed_rad_s, at->wheels.accel_rad_s2, at->degc);
        answer reached = answer_at(unit, at, torque_nm);
        MUST(near(reached.motor_nm, limit, 1e-12 * (fabs(torque_nm) + wanted + 1e4)),
             "limit %.17g Nm, reached %.17g Nm", limit, reached.motor_nm);
    }
}

START_TEST(a_unit_reaches_its_limit_and_no_more)
{
    dice with = {4242};
    static sample it;
    for (int unit = 0; unit < UNITS / 5; unit++) {
        roll_unit(&it, &with);
        roll_rest(&it, &with);
        for (int k = 0; k < STATES; k++) {
            state at = roll_state(&it.unit, &with);
            if (k % 2)
                at.wheels.speed_rad_s *= 0.02;
            check_limits(&it, &at, &with);
        }
        sample_end(&it);
    }
}
END_TEST

START_TEST(below_its_base_speed_a_unit_gives_its_torque_and_above_it_its_power)
{
    dice with = {99};
    static sample it;
    for (int unit = 0; unit < UNITS / 5; unit++) {
        roll_unit(&it, &with);
        evn_setting one = {0, 1};
        evn_supply supply = {roll(&with, 400, 900), 1, 1};
        double base = evn_unit_base_rad_s(&it.unit, one, supply.voltage_v);
        double power_w = it.unit.motor[0].peak_w * supply.voltage_v / 680, peak = it.unit.motor[0].peak_nm;
        ck_assert(near(base * peak, power_w, 1e-12 * power_w));
        ck_assert(near(evn_unit_most_motor_nm(&it.unit, one, base * (1 - 1e-12), &supply), peak, 1e-9 * peak));
        ck_assert(near(evn_unit_most_motor_nm(&it.unit, one, base * (1 + 1e-12), &supply), peak, 1e-9 * peak));
        ck_assert(evn_unit_most_motor_nm(&it.unit, one, 0, &supply) == peak);
        double fast = base * roll(&with, 1, 10);
        ck_assert(near(evn_unit_most_motor_nm(&it.unit, one, fast, &supply) * fast, power_w, 1e-12 * power_w));
        sample_end(&it);
    }
}
END_TEST

/* Level at rest and where the whole torque begins, so that no step of an integrator meets a bend there; it rises. */
START_TEST(torque_at_rest_grows_to_its_peak_without_a_bend)
{
    dice with = {7};
    for (int k = 0; k < 200; k++) {
        evn_motor m = {.short_at_rest = roll(&with, 0.01, 0.95), .full_torque_rad_s = roll(&with, 0.1, 500)};
        double full = m.full_torque_rad_s, hair = 1e-4 * full;
        ck_assert(near(evn_motor_turning_share(&m, 0), 1 - m.short_at_rest, 1e-15));
        ck_assert(evn_motor_turning_share(&m, -hair) == evn_motor_turning_share(&m, 0));
        ck_assert(evn_motor_turning_share(&m, full) == 1 && evn_motor_turning_share(&m, 10 * full) == 1);
        /* three times the square of a hair, next to a level place */
        ck_assert(near(evn_motor_turning_share(&m, hair), 1 - m.short_at_rest, 4e-8));
        ck_assert(near(evn_motor_turning_share(&m, full - hair), 1, 4e-8));
        for (int i = 0; i < 100; i++)
            ck_assert(evn_motor_turning_share(&m, full * i / 100) < evn_motor_turning_share(&m, full * (i + 1) / 100));
        m.short_at_rest = 0;
        ck_assert(evn_motor_turning_share(&m, 0) == 1 && evn_motor_turning_share(&m, 0.5 * full) == 1);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("units");
    TCase *any = tcase_create("any");
    tcase_add_loop_test(any, what_the_bus_gives_is_work_at_the_wheels_and_losses_for_any_unit_at_any_state, 0, 10);
    tcase_add_test(any, torque_and_losses_do_not_jump_where_a_load_changes_its_direction);
    tcase_add_test(any, a_motor_that_turns_unused_is_dragged_and_spun_up_by_those_that_work);
    tcase_add_test(any, a_unit_reaches_its_limit_and_no_more);
    tcase_add_test(any, below_its_base_speed_a_unit_gives_its_torque_and_above_it_its_power);
    tcase_add_test(any, torque_at_rest_grows_to_its_peak_without_a_bend);
    suite_add_tcase(suite, any);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
