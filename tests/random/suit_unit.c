/* Drive units: path, gears, motors and their losses. */
#include "suit_unit.h"
#include "api/kinds.h"
#include "suit_curves.h"
#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;

/* ------------------------------------------------------------------------------------------------ path */

static void suit_oil(inventor *i, draft *holder)
{
    draft *oil = draft_get(holder, "oil");
    if (!oil)
        return;
    lot_curve(i, oil, "temperature_degc", -30, 90, "drag_factor", 0.9, 5, SLOPE_FALLS, dice_whole(&i->dice, 2, 6));
    draft_put_number(i->arena, oil, "at_80_km_h_w_per_k",
                     fmin(draft_number(oil, "standing_w_per_k", 10) * dice_between(&i->dice, 1, 4), 2000));
}

/* Speeds up to those that a shaft on that side can have. */
static void suit_drag(inventor *i, draft *holder, double motor_side_rpm)
{
    suit_oil(i, holder);
    draft *drag = draft_get(holder, "drag");
    if (!drag)
        return;
    bool wheel_side = strcmp(draft_get(drag, "at")->word, "wheel_side") == 0;
    double reach = dice_between(&i->dice, 0.5, 1.2) * (wheel_side ? 600 : motor_side_rpm);
    lot_curve(i, drag, "speed_rpm", 0, reach, "torque_nm", 0, wheel_side ? 40 : 5,
              dice_chance(&i->dice, 0.8) ? SLOPE_RISES : SLOPE_ANY, dice_whole(&i->dice, 1, 4));
}

/* Shafts and joints as often as they came; of reductions, of gear sets at the axle, and of all others one. */
static bool excludes(const char *kind, const char *other)
{
    static const char *const pairs[][2] = {{"mesh", "planet_set"}, {"final_drive", "differential"}};
    static const char *const often[] = {"universal_joint", "propeller_shaft", "centre_bearing"};
    for (size_t k = 0; k < 3; k++)
        if (strcmp(kind, often[k]) == 0)
            return false;
    for (size_t k = 0; k < 2; k++)
        if ((strcmp(kind, pairs[k][0]) == 0 && strcmp(other, pairs[k][1]) == 0) ||
            (strcmp(kind, pairs[k][1]) == 0 && strcmp(other, pairs[k][0]) == 0))
            return true;
    return strcmp(kind, other) == 0;
}

static void suit_path(inventor *i, draft *path, bool may_disconnect)
{
    for (draft *d = path->first; d; d = d->next) {
        bool again = false;
        for (const draft *e = path->first; e != d; e = e->next)
            again = again || (!e->dropped && excludes(d->key, e->key));
        d->dropped = again || (!may_disconnect && strcmp(d->key, "disconnect") == 0);
        suit_drag(i, d, 3000);
    }
    if (draft_count(path) == 0 && path->first)
        path->first->dropped = false;
}

static double path_ratio(const draft *path)
{
    double ratio = 1;
    for (const draft *d = path ? path->first : NULL; d; d = d->next) {
        if (d->dropped)
            continue;
        ratio *= draft_number(d, "ratio", 1);
        if (draft_get(d, "sun_teeth"))
            ratio *= 1 + draft_number(d, "ring_teeth", 0) / draft_number(d, "sun_teeth", 1);
    }
    return ratio;
}

/* ------------------------------------------------------------------------------------------------ branches */

/* A branch without a stage would be an empty list, which a file cannot hold. */
static void suit_branches(inventor *i, draft *unit, const unit_place *at)
{
    draft_drop(unit, "branches");
    if (at->axles < 2)
        return;
    draft *made = invent_many(i, evn_kind_object("branch"), "branches", at->axles);
    for (size_t k = 0; k < at->axles; k++) {
        draft *branch = draft_child(made, k), *path = draft_get(branch, "path");
        draft_put_number(i->arena, branch, "axle", at->axle[k]);
        suit_path(i, path, false);
        if (strcmp(draft_child(path, 0)->key, "disconnect") == 0) { /* all that came */
            draft_put(i->arena, branch, "path", DRAFT_STEPS);
            draft_add(draft_get(branch, "path"), invent_object(i, evn_kind_object("wheel_end"), "wheel_end"));
            suit_path(i, draft_get(branch, "path"), false);
        }
    }
    draft *place = draft_put(i->arena, unit, "branches", DRAFT_MAP);
    place->first = made->first;
}

static draft *new_disconnect(inventor *i) { return invent_object(i, evn_kind_object("disconnect"), "disconnect"); }

/* The stages of another path, with up to two disconnects among them. */
static void put_stages_of(inventor *i, draft *path, const draft *other)
{
    bool opens = dice_chance(&i->dice, 0.5);
    path->first = NULL;
    for (const draft *d = other->first; d; d = d->next) {
        draft *stage = draft_new(i->arena, d->kind, d->key);
        if (opens && dice_chance(&i->dice, 0.4))
            draft_add(path, new_disconnect(i));
        *stage = *d;
        stage->next = NULL;
        draft_add(path, stage);
    }
}

/* The ratio of the first branch, and of the others: axles of one unit turn alike. The first has no disconnect, so that
 * one stays closed. */
static double branch_ratio(inventor *i, draft *unit)
{
    draft *branches = draft_get(unit, "branches");
    if (!branches)
        return 1;
    draft *first = draft_get(draft_child(branches, 0), "path");
    for (size_t k = 1; k < draft_count(branches); k++)
        put_stages_of(i, draft_get(draft_child(branches, k), "path"), first);
    return path_ratio(first);
}

/* ------------------------------------------------------------------------------------------------ gearbox */

static void suit_gearbox(inventor *i, draft *box, double top_ratio, double motor_rpm)
{
    double ratio[8], efficiency[8];
    size_t gears = dice_whole(&i->dice, 1, 5);
    double step_most = gears > 1 ? fmin(2.2, pow(20 / top_ratio, 1 / (double)(gears - 1))) : 1;
    for (size_t k = gears; k-- > 0;)
        ratio[k] = k + 1 == gears ? top_ratio : ratio[k + 1] * dice_between(&i->dice, fmin(1.15, step_most), step_most);
    for (size_t k = 0; k < gears; k++)
        efficiency[k] = dice_spread(&i->dice, 0.97, 1);
    draft_put_list(i->arena, box, "ratios", ratio, gears);
    draft_put_list(i->arena, box, "efficiencies", efficiency, gears);
    suit_drag(i, box, motor_rpm);
}

static double first_gear(const draft *box) { return box ? draft_get(box, "ratios")->at[0] : 1; }

/* ------------------------------------------------------------------------------------------------ losses */

typedef struct machine {
    double peak_nm, peak_w, top_rad_s;
} machine;

static double loss_w(const machine *m, double share, double rad_s, double nm)
{
    double w = rad_s / m->top_rad_s, t = nm / m->peak_nm;
    return m->peak_w * share * (0.05 + 0.3 * w + 0.4 * w * w + t * t);
}

static double map_value(inventor *i, const machine *m, bool efficiency, double rpm, double nm)
{
    double rad_s = rpm * PI / 30, power = fabs(rad_s * nm);
    double loss = loss_w(m, 0.06, rad_s, nm) * dice_between(&i->dice, 0.8, 1.2);
    if (!efficiency)
        return loss;
    if (power == 0 || dice_chance(&i->dice, 0.05))
        return 0;
    return power / (power + loss);
}

/* Row by row: speed, torque, value; a table has them as columns, with rows missing and cells empty, now and then at two
 * voltages. */
static void put_map_table(inventor *i, draft *map, const double *rpm, size_t speeds, const double *nm, size_t torques,
                          const machine *m, bool efficiency)
{
    double column[4][2 * AXIS_MOST * AXIS_MOST];
    size_t rows = 0, voltages = dice_chance(&i->dice, 0.3) ? 2 : 1;
    for (size_t v = 0; v < voltages; v++)
        for (size_t k = 0; k < speeds * torques; k++) {
            double value = map_value(i, m, efficiency, rpm[k / torques], nm[k % torques]);
            if (dice_chance(&i->dice, 0.08))
                continue;
            column[0][rows] = v ? 800 : 550;
            column[1][rows] = rpm[k / torques];
            column[2][rows] = nm[k % torques];
            column[3][rows++] = dice_chance(&i->dice, 0.05) ? (double)NAN : value;
        }
    static const char *const keys[] = {"voltage_v", "speed_rpm", "torque_nm", "loss_w"};
    draft *table = draft_put(i->arena, map, "table", DRAFT_TABLE);
    for (size_t k = voltages > 1 ? 0 : 1; k < 4; k++)
        draft_put_list(i->arena, table, k == 3 && efficiency ? "efficiency" : keys[k], column[k], rows);
}

static void put_map_lists(inventor *i, draft *map, const double *rpm, size_t speeds, const double *nm, size_t torques,
                          const machine *m, bool efficiency)
{
    double value[AXIS_MOST * AXIS_MOST];
    for (size_t k = 0; k < speeds * torques; k++)
        value[k] = map_value(i, m, efficiency, rpm[k / torques], nm[k % torques]);
    draft_put_list(i->arena, map, "speed_rpm", rpm, speeds);
    draft_put_list(i->arena, map, "torque_nm", nm, torques);
    draft_put_list(i->arena, map, efficiency ? "efficiency" : "loss_w", value, speeds * torques);
}

static void suit_map(inventor *i, draft *map, const machine *m)
{
    static const char *const keys[] = {"table", "speed_rpm", "torque_nm", "loss_w", "efficiency"};
    double rpm[AXIS_MOST], nm[AXIS_MOST], reach = dice_between(&i->dice, 0.75, 1.2);
    size_t speeds = dice_whole(&i->dice, 3, 8), torques = dice_whole(&i->dice, 3, 8);
    bool efficiency = dice_chance(&i->dice, 0.5), two_sided = dice_chance(&i->dice, 0.4);
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        draft_drop(map, keys[k]);
    lot_axis(&i->dice, rpm, speeds, dice_chance(&i->dice, 0.5) ? 0 : 300, reach * m->top_rad_s * 30 / PI);
    lot_axis(&i->dice, nm, torques, two_sided ? -reach * m->peak_nm : 0, reach * m->peak_nm);
    if (dice_chance(&i->dice, 0.5))
        put_map_table(i, map, rpm, speeds, nm, torques, m, efficiency);
    else
        put_map_lists(i, map, rpm, speeds, nm, torques, m, efficiency);
}

/* Each part at peak torque, or at top speed, as a share of peak power. */
static void suit_coefficients(inventor *i, draft *loss, const machine *m)
{
    double copper = dice_spread(&i->dice, 0.005, 0.1), iron = dice_spread(&i->dice, 0, 0.02);
    double eddy = dice_spread(&i->dice, 0, 0.03);
    draft_put_number(i->arena, loss, "torque_squared_w_per_nm2", copper * m->peak_w / m->peak_nm / m->peak_nm);
    draft_put_number(i->arena, loss, "speed_w_per_rad_s", iron * m->peak_w / m->top_rad_s);
    draft_put_number(i->arena, loss, "speed_squared_w_per_rad2_s2", eddy * m->peak_w / m->top_rad_s / m->top_rad_s);
}

/* A constant efficiency stands alone, and seldom. */
static bool keeps_efficiency(inventor *i, draft *part)
{
    bool kept = part && draft_get(part, "efficiency") && dice_chance(&i->dice, 0.2);
    if (part && !kept)
        draft_drop(part, "efficiency");
    return kept;
}

static void suit_inverter(inventor *i, draft *inverter)
{
    static const char *const losses[] = {"constant_w", "current_w", "current_squared_w"};
    if (keeps_efficiency(i, inverter))
        for (size_t k = 0; k < sizeof losses / sizeof *losses; k++)
            draft_drop(inverter, losses[k]);
}

/* Coefficients or a map, and what stands beside them. */
static void suit_losses(inventor *i, draft *motor, const machine *m)
{
    static const char *const others[] = {"map", "loss", "field_weakening"};
    suit_inverter(i, draft_get(motor, "inverter"));
    if (keeps_efficiency(i, motor))
        for (size_t k = 0; k < sizeof others / sizeof *others; k++)
            draft_drop(motor, others[k]);
    draft *map = draft_get(motor, "map"), *loss = draft_get(motor, "loss");
    if (map && dice_chance(&i->dice, 0.5))
        draft_drop(motor, "map");
    if (draft_get(motor, "map")) {
        draft_drop(motor, "loss");
        draft_drop(motor, "field_weakening");
        draft *includes = draft_get(map, "includes_inverter");
        if (includes && strcmp(includes->word, "true") == 0)
            draft_drop(motor, "inverter");
        else
            draft_drop(map, "inverter_loss_share");
        suit_map(i, map, m);
    } else if (loss)
        suit_coefficients(i, loss, m);
}

/* ------------------------------------------------------------------------------------------------ motor */

/* A time constant within a range on either side, or none of both ends. */
static void suit_range(inventor *i, draft *node)
{
    double stated = draft_number(node, "time_constant_s", 300);
    draft_drop(node, "time_constant_low_s");
    draft_drop(node, "time_constant_high_s");
    if (dice_chance(&i->dice, 0.5))
        return;
    draft_put_number(i->arena, node, "time_constant_low_s", stated * dice_between(&i->dice, 0.2, 1));
    draft_put_number(i->arena, node, "time_constant_high_s", stated * dice_between(&i->dice, 1, 4));
}

static void suit_winding(inventor *i, draft *winding)
{
    double from = draft_number(winding, "derate_from_degc", 150);
    draft_put_number(i->arena, winding, "derate_to_degc",
                     fmax(from + 2, dice_spread(&i->dice, fmin(from + 2, 190), 200)));
    suit_range(i, winding);
}

static void suit_housing(inventor *i, draft *motor)
{
    if (!draft_get(motor, "winding"))
        draft_drop(motor, "housing");
    else
        suit_range(i, draft_get(motor, "housing"));
}

/* Warmer than its coolant where derating begins. */
static void suit_inverter_heat(inventor *i, draft *heat)
{
    draft_put_number(i->arena, heat, "coolant_degc", dice_between(&i->dice, 20, 65));
    double from = dice_between(&i->dice, 80, 150);
    draft_put_number(i->arena, heat, "derate_from_degc", from);
    draft_put_number(i->arena, heat, "derate_to_degc", from + dice_between(&i->dice, 5, 25));
}

/* A torque at rest goes with a speed from which all of it is there, below base speed and top speed. */
static void suit_rest(inventor *i, draft *motor, const machine *m)
{
    if (draft_number(motor, "torque_at_rest_share", 1) >= 1) {
        draft_drop(motor, "full_torque_from_rpm");
        return;
    }
    double least_turns = draft_get(motor, "scale") ? 0.5 : 1; /* of suit_scale */
    double most_rpm = fmin(least_turns * m->peak_w / m->peak_nm, m->top_rad_s) * 30 / PI;
    draft_put_number(i->arena, motor, "full_torque_from_rpm", most_rpm * dice_spread(&i->dice, 0.01, 0.95));
}

static double clamp(double x, double low, double high) { return fmin(fmax(x, low), high); }

/* Other turns not beside a map, and not so few that base speed passes top speed. */
static void suit_scale(inventor *i, draft *motor, const machine *m)
{
    draft *scale = draft_get(motor, "scale");
    double most = m->top_rad_s / (m->peak_w / m->peak_nm);
    if (scale && draft_get(motor, "map"))
        draft_drop(scale, "base_speed");
    else if (scale && draft_get(scale, "base_speed"))
        draft_put_number(i->arena, scale, "base_speed", dice_between(&i->dice, 0.5, fmin(2, 0.95 * most)));
}

/* Within the usual bounds of the keys, whatever the truck would want. */
void suit_motor(inventor *i, draft *motor, double top_rpm, double torque_nm)
{
    top_rpm = clamp(top_rpm, 3000, 18000);
    double nm = clamp(torque_nm, 200, 5000), top_rad_s = top_rpm * PI / 30;
    double kw = clamp(nm * top_rad_s * 1e-3 * dice_between(&i->dice, 0.1, 0.7), 60, 600);
    draft_put_number(i->arena, motor, "top_speed_rpm", top_rpm);
    draft_put_number(i->arena, motor, "peak_torque_nm", nm);
    draft_put_number(i->arena, motor, "peak_power_kw", kw);
    machine m = {nm, kw * 1e3, top_rad_s};
    suit_rest(i, motor, &m);
    suit_losses(i, motor, &m);
    suit_scale(i, motor, &m);
    if (draft_get(motor, "winding"))
        suit_winding(i, draft_get(motor, "winding"));
    if (draft_get(motor, "housing"))
        suit_housing(i, motor);
    draft *inverter = draft_get(motor, "inverter"), *heat = inverter ? draft_get(inverter, "heat") : NULL;
    if (heat)
        suit_inverter_heat(i, heat);
}

/* ------------------------------------------------------------------------------------------------ the unit */

/* Motors of a unit are alike. */
static void suit_motors(inventor *i, draft *unit, double top_rpm, double all_nm)
{
    draft *motors = draft_get(unit, "motors");
    size_t count = draft_count(motors);
    draft *first = draft_child(motors, 0);
    suit_motor(i, first, top_rpm, all_nm / (double)count);
    for (size_t k = 1; k < count; k++)
        draft_child(motors, k)->first = first->first;
    draft *engagement = draft_get(unit, "engagement");
    if (engagement && draft_get(engagement, "fewest"))
        draft_put_number(i->arena, engagement, "fewest", (double)dice_whole(&i->dice, 1, count));
}

void suit_unit(inventor *i, draft *unit, const unit_place *at)
{
    draft_put_list(i->arena, unit, "axles", at->axle, at->axles);
    if (draft_get(unit, "path"))
        suit_path(i, draft_get(unit, "path"), true);
    suit_branches(i, unit, at);
    double behind_box = path_ratio(draft_get(unit, "path")) * branch_ratio(i, unit);
    double wheel_rad_s = dice_between(&i->dice, 60, 120) / 3.6 / at->radius_m;
    double top_rpm = wheel_rad_s * behind_box * 30 / PI, top_ratio = 1;
    draft *box = draft_get(unit, "gearbox");
    if (box) {
        double wanted_rpm = dice_spread(&i->dice, 3000, 14000);
        top_ratio = clamp(wanted_rpm / top_rpm, 0.5, 8);
        suit_gearbox(i, box, top_ratio, wanted_rpm);
    }
    double force_n = at->gross_kg * 9.8 * dice_between(&i->dice, 0.06, 0.3);
    suit_motors(i, unit, top_rpm * top_ratio, force_n * at->radius_m / behind_box / first_gear(box));
}
