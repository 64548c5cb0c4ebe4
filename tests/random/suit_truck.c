/* Trucks that hang together: axles, masses, battery, who drives which axle. */
#include "api/kinds.h"
#include "suit.h"
#include "suit_curves.h"
#include "suit_unit.h"
#include <string.h>

enum { AXLES_MOST = 5 };

/* ------------------------------------------------------------------------------------------------ axles */

/* Of the wheelbase: from the first axle to the middle of those behind. */
static double suit_axles(inventor *i, draft *axles)
{
    size_t count = draft_count(axles), steered = count > 3 && dice_chance(&i->dice, 0.5) ? 2 : 1;
    double place = 0, sum = 0;
    for (size_t k = 0; k < count; k++) {
        draft *axle = draft_child(axles, k);
        bool front = k < steered;
        if (k > 0)
            place += k == steered ? dice_between(&i->dice, 3, 5) : dice_between(&i->dice, 1.2, 2);
        draft_put_number(i->arena, axle, "behind_front_axle_m", place);
        draft_put_word(i->arena, axle, "support", front ? "front" : "rear");
        sum += front ? 0 : place;
    }
    return sum / (double)(count - steered);
}

/* ------------------------------------------------------------------------------------------------ masses */

static void put_within(inventor *i, draft *map, const char *key, double low, double high)
{
    draft_put_number(i->arena, map, key, dice_between(&i->dice, low, high));
}

/* Both or none; without a trailer the payload stands on the truck. */
static void suit_loads(inventor *i, draft *truck, double base_m)
{
    draft *payload = draft_get(truck, "payload"), *wheel = draft_get(truck, "fifth_wheel");
    draft *trailer = draft_get(truck, "trailer");
    put_within(i, draft_get(truck, "body"), "centre_behind_front_axle_m", 0.15 * base_m, 0.5 * base_m);
    put_within(i, draft_get(truck, "battery"), "centre_behind_front_axle_m", 0.2 * base_m, 0.8 * base_m);
    if (!wheel || !trailer) {
        draft_drop(truck, "fifth_wheel");
        draft_drop(truck, "trailer");
        put_within(i, payload, "mass_kg", 0, 15000);
        put_within(i, payload, "centre_behind_m", 0.5 * base_m, 0.95 * base_m);
        return;
    }
    double axles_m = dice_between(&i->dice, 6, 9);
    put_within(i, wheel, "behind_front_axle_m", 0.7 * base_m, 0.98 * base_m);
    draft_put_number(i->arena, trailer, "axles_behind_kingpin_m", axles_m);
    put_within(i, trailer, "centre_behind_kingpin_m", 0.5 * axles_m, 0.9 * axles_m);
    draft_put_number(i->arena, trailer, "tyres", (double)dice_whole(&i->dice, 4, 12));
    put_within(i, payload, "mass_kg", 0, 26000);
    put_within(i, payload, "centre_behind_m", 0.5 * axles_m, 0.9 * axles_m);
}

static double gross_kg(const draft *truck)
{
    const draft *trailer = draft_get(truck, "trailer");
    return 3000 + draft_number(draft_get(truck, "body"), "mass_kg", 0) +
           draft_number(draft_get(truck, "battery"), "mass_kg", 0) +
           draft_number(draft_get(truck, "payload"), "mass_kg", 0) +
           (trailer ? draft_number(trailer, "mass_kg", 0) : 0);
}

/* ------------------------------------------------------------------------------------------------ keys in pairs */

static void suit_voltages(inventor *i, draft *battery)
{
    draft *curve = draft_get(battery, "open_circuit");
    double low = dice_between(&i->dice, 450, 750), high = low * dice_between(&i->dice, 1.02, 1.3);
    lot_curve(i, curve, "soc", 0, 1, "voltage_v", low, fmin(high, 950), SLOPE_RISES, dice_whole(&i->dice, 1, 6));
    const draft *volts = draft_get(curve, "voltage_v");
    double lowest = volts->at[0], highest = volts->at[volts->count - 1];
    if (draft_get(battery, "minimum_voltage_v"))
        draft_put_number(i->arena, battery, "minimum_voltage_v", lowest * dice_between(&i->dice, 0.7, 0.98));
    if (draft_get(battery, "maximum_voltage_v"))
        draft_put_number(i->arena, battery, "maximum_voltage_v", highest * dice_between(&i->dice, 1.02, 1.2));
}

static void suit_battery(inventor *i, draft *battery)
{
    suit_voltages(i, battery);
    draft *taper = draft_get(battery, "charge_taper");
    if (taper)
        lot_curve(i, taper, "soc", 0, 1, "share", 0, 1, dice_chance(&i->dice, 0.8) ? SLOPE_FALLS : SLOPE_ANY,
                  dice_whole(&i->dice, 1, 5));
    double low = draft_number(battery, "usable_from_soc", 0.05), high = draft_number(battery, "usable_to_soc", 0.95);
    if (draft_get(battery, "start_soc"))
        draft_put_number(i->arena, battery, "start_soc", dice_spread(&i->dice, low, high));
}

static void suit_brakes(inventor *i, draft *brakes)
{
    double from = draft_number(brakes, "fade_from_km_h", 10);
    draft_put_number(i->arena, brakes, "fade_to_km_h", from * dice_spread(&i->dice, 0, 1));
}

static void suit_friction_of(inventor *i, draft *holder, bool stated)
{
    draft *brake = draft_get(holder, "friction_brake");
    if (stated)
        put_within(i, holder, "friction_share", 0.05, 1);
    else
        draft_drop(holder, "friction_share");
    if (brake)
        draft_put_number(i->arena, brake, "at_80_km_h_w_per_k",
                         draft_number(brake, "standing_w_per_k", 20) * dice_between(&i->dice, 1, 3));
}

/* Of one axle, or of the trailer's. */
static void suit_hubs_of(inventor *i, draft *holder)
{
    draft *hubs = draft_get(holder, "hub_drag");
    if (hubs)
        lot_curve(i, hubs, "speed_rpm", 0, dice_between(&i->dice, 100, 900), "torque_nm", 5, 60,
                  dice_chance(&i->dice, 0.5) ? SLOPE_RISES : SLOPE_ANY, dice_whole(&i->dice, 1, 5));
}

static void suit_hubs(inventor *i, draft *truck)
{
    draft *axles = draft_get(truck, "axles"), *trailer = draft_get(truck, "trailer");
    for (size_t k = 0; k < draft_count(axles); k++)
        suit_hubs_of(i, draft_child(axles, k));
    if (trailer)
        suit_hubs_of(i, trailer);
}

/* Bearings and seals of driven wheels stand in the path or at the axle, once. */
static void drop_wheel_end_drags(draft *path)
{
    for (draft *d = path ? path->first : NULL; d; d = d->next)
        if (strcmp(d->key, "wheel_end") == 0)
            draft_drop(d, "drag");
}

static void suit_wheel_ends(draft *unit, draft *axles, const double *axle)
{
    draft *branches = draft_get(unit, "branches");
    for (size_t k = 0; branches && k < draft_count(branches); k++)
        if (draft_get(draft_child(axles, (size_t)axle[k] - 1), "hub_drag"))
            drop_wheel_end_drags(draft_get(draft_child(branches, k), "path"));
    if (!branches && draft_get(draft_child(axles, (size_t)axle[0] - 1), "hub_drag"))
        drop_wheel_end_drags(draft_get(unit, "path"));
}

/* Shares of the friction braking force: all axles and the trailer state them, or none. */
static void suit_friction(inventor *i, draft *truck)
{
    const draft *brakes = draft_get(truck, "brakes"), *how = brakes ? draft_get(brakes, "distribution") : NULL;
    bool stated = how && strcmp(how->word, "stated") == 0;
    draft *axles = draft_get(truck, "axles"), *trailer = draft_get(truck, "trailer");
    for (size_t k = 0; k < draft_count(axles); k++)
        suit_friction_of(i, draft_child(axles, k), stated);
    if (trailer)
        suit_friction_of(i, trailer, stated);
}

/* From the wind from ahead on, which drag_area_m2 stands for. */
static void suit_yaw(inventor *i, draft *yaw)
{
    lot_curve(i, yaw, "yaw_deg", 0, dice_between(&i->dice, 5, 40), "factor", 1, 1.8, SLOPE_RISES,
              dice_whole(&i->dice, 2, 6));
    draft_get(yaw, "factor")->at[0] = 1;
}

static void suit_cooling(inventor *i, draft *cooling)
{
    double from = draft_number(cooling, "fan_from_degc", 55);
    draft_put_number(i->arena, cooling, "fan_full_degc", fmin(from + dice_between(&i->dice, 2, 20), 95));
}

/* ------------------------------------------------------------------------------------------------ driven axles */

/* The last axle is always driven. */
static void suit_retarder(inventor *i, draft *retarder, double last_axle)
{
    double from = draft_number(retarder, "fade_from_km_h", 20);
    draft_put_number(i->arena, retarder, "axle", last_axle);
    draft_put_number(i->arena, retarder, "fade_from_km_h", fmax(from, 1));
    draft_put_number(i->arena, retarder, "fade_to_km_h", fmax(from, 1) * dice_between(&i->dice, 0, 0.9));
    bool by_force = dice_chance(&i->dice, 0.5);
    draft_drop(retarder, by_force ? "torque_limit_nm" : "braking_force_limit_kn");
    if (by_force)
        draft_put_number(i->arena, retarder, "braking_force_limit_kn", dice_between(&i->dice, 5, 60));
    else
        draft_put_number(i->arena, retarder, "torque_limit_nm", dice_between(&i->dice, 2000, 30000));
}

/* The axles, from the rear, that this unit takes of those that are left; the others are left to other units. */
static size_t take_axles(inventor *i, size_t left, size_t units_to_come, double *axle)
{
    size_t spare = left - units_to_come;
    size_t count = spare > 1 && dice_chance(&i->dice, 0.3) ? 2 : 1;
    for (size_t k = 0; k < count; k++)
        axle[k] = (double)(left - count + 1 + k);
    return count;
}

static double radius_m(const draft *axles, double axle)
{
    return draft_number(draft_get(draft_child(axles, (size_t)axle - 1), "tyre"), "rolling_radius_m", 0.5);
}

/* The first axle that is not driven and has another behind it in its group; the others stay on the ground. */
static void suit_lifting(inventor *i, draft *axles, size_t not_driven)
{
    bool lifts = false;
    for (size_t k = 0; k < draft_count(axles); k++) {
        draft *axle = draft_child(axles, k), *keys = draft_get(axle, "lifts");
        bool rear = strcmp(draft_get(axle, "support")->word, "rear") == 0;
        if (lifts || k >= not_driven || !rear)
            draft_drop(axle, "lifts");
        else if (keys)
            put_within(i, keys, "lower_above_load_kg", 5000, 16000);
        lifts = lifts || draft_get(axle, "lifts");
    }
}

static void suit_units(inventor *i, draft *truck)
{
    draft *axles = draft_get(truck, "axles"), *units = draft_get(truck, "drive_units");
    size_t left = draft_count(axles), most = left - 1 < 3 ? left - 1 : 3;
    if (draft_count(units) > most)
        draft_cut(units, most);
    size_t count = draft_count(units);
    double part_kg = gross_kg(truck) / (double)count;
    for (size_t k = 0; k < count; k++) {
        double axle[2];
        size_t taken = take_axles(i, left, count - k - 1, axle);
        unit_place at = {axle, taken, radius_m(axles, axle[0]), part_kg};
        suit_unit(i, draft_child(units, k), &at);
        suit_wheel_ends(draft_child(units, k), axles, axle);
        if (taken == 1)
            draft_drop(draft_child(units, k), "inter_axle_lock");
        left -= taken;
    }
    suit_lifting(i, axles, left);
}

/* ------------------------------------------------------------------------------------------------ the whole */

void suit_truck(inventor *i, draft *truck)
{
    double base_m = suit_axles(i, draft_get(truck, "axles"));
    draft_put_word(i->arena, truck, "invented", "true");
    suit_loads(i, truck, base_m);
    suit_battery(i, draft_get(truck, "battery"));
    if (draft_get(truck, "brakes"))
        suit_brakes(i, draft_get(truck, "brakes"));
    suit_friction(i, truck);
    suit_hubs(i, truck);
    if (draft_get(truck, "cooling"))
        suit_cooling(i, draft_get(truck, "cooling"));
    if (draft_get(draft_get(truck, "body"), "drag_area_yaw"))
        suit_yaw(i, draft_get(draft_get(truck, "body"), "drag_area_yaw"));
    suit_units(i, truck);
    if (draft_get(truck, "retarder"))
        suit_retarder(i, draft_get(truck, "retarder"), (double)draft_count(draft_get(truck, "axles")));
}

/* The charge within the window of the truck's pack. */
void suit_load_case(inventor *i, draft *load_case, const draft *truck)
{
    const draft *battery = draft_get(truck, "battery");
    double low = draft_number(battery, "usable_from_soc", 0.05), high = draft_number(battery, "usable_to_soc", 0.95);
    if (draft_get(load_case, "start_soc"))
        draft_put_number(i->arena, load_case, "start_soc", dice_spread(&i->dice, low, high));
}

/* A set speed is set. */
void suit_driving(inventor *i, draft *driving)
{
    const draft *endurance = draft_get(driving, "endurance");
    if (endurance && strcmp(endurance->word, "set_speed") == 0 && !draft_get(driving, "endurance_speed_km_h"))
        draft_put_number(i->arena, driving, "endurance_speed_km_h", dice_spread(&i->dice, 15, 70));
}
