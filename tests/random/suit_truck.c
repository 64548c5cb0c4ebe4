/* Trucks that hang together: axles, masses, battery, who drives which axle. */
#include "api/kinds.h"
#include "suit.h"
#include "suit_curves.h"
#include "suit_unit.h"
#include <string.h>

enum { AXLES_MOST = 5 };

/* ------------------------------------------------------------------------------------------------ axles */

/* One of the keys that say how stiff it is. */
static void suit_suspension(inventor *i, draft *suspension)
{
    bool by_frequency = dice_chance(&i->dice, 0.5);
    draft_drop(suspension, by_frequency ? "stiffness_kn_m" : "natural_frequency_hz");
    if (by_frequency && !draft_get(suspension, "natural_frequency_hz"))
        draft_put_number(i->arena, suspension, "natural_frequency_hz", dice_between(&i->dice, 0.9, 2.8));
    if (!by_frequency && !draft_get(suspension, "stiffness_kn_m"))
        draft_put_number(i->arena, suspension, "stiffness_kn_m", dice_between(&i->dice, 150, 1500));
}

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
        if (draft_get(axle, "suspension"))
            suit_suspension(i, draft_get(axle, "suspension"));
        sum += front ? 0 : place;
    }
    return sum / (double)(count - steered);
}

/* ------------------------------------------------------------------------------------------------ masses */

static void put_within(inventor *i, draft *map, const char *key, double low, double high)
{
    draft_put_number(i->arena, map, key, dice_between(&i->dice, low, high));
}

/* Both ends of where the payload may be, or none. */
static void suit_payload_ends(inventor *i, draft *payload)
{
    if (!draft_get(payload, "centre_from_m") || !draft_get(payload, "centre_to_m")) {
        draft_drop(payload, "centre_from_m");
        draft_drop(payload, "centre_to_m");
        return;
    }
    double from_m = dice_between(&i->dice, 1, 5);
    draft_put_number(i->arena, payload, "centre_from_m", from_m);
    put_within(i, payload, "centre_to_m", from_m, from_m + 3);
}

/* What is behind the fifth wheel, or behind the eye of a drawbar. */
static void suit_trailer(inventor *i, draft *trailer, bool drawbar)
{
    double axles_m = dice_between(&i->dice, 6, 9);
    size_t tyres = dice_whole(&i->dice, 4, 12);
    bool hinged = drawbar && draft_get(trailer, "front_axles_behind_kingpin_m");
    draft_put_number(i->arena, trailer, "axles_behind_kingpin_m", axles_m);
    draft_put_number(i->arena, trailer, "tyres", (double)tyres);
    if (draft_get(trailer, "axles"))
        draft_put_number(i->arena, trailer, "axles", (double)dice_whole(&i->dice, 2, tyres / 2));
    if (hinged)
        put_within(i, trailer, "front_axles_behind_kingpin_m", 0.2 * axles_m, 0.4 * axles_m);
    else
        draft_drop(trailer, "front_axles_behind_kingpin_m");
    bool rigid = drawbar && !hinged;
    put_within(i, trailer, "centre_behind_kingpin_m", (rigid ? 0.9 : 0.5) * axles_m, (rigid ? 0.99 : 0.9) * axles_m);
}

/* The truck carries the payload, and its trailer a part of it. */
static void suit_drawbar(inventor *i, draft *truck, double base_m)
{
    draft *payload = draft_get(truck, "payload"), *trailer = draft_get(truck, "trailer");
    draft_drop(truck, "fifth_wheel");
    put_within(i, draft_get(truck, "drawbar"), "behind_front_axle_m", 1.2 * base_m, 1.5 * base_m);
    suit_trailer(i, trailer, true);
    double axles_m = draft_number(trailer, "axles_behind_kingpin_m", 7);
    put_within(i, payload, "mass_kg", 0, 15000);
    put_within(i, payload, "centre_behind_m", 0.5 * base_m, 0.8 * base_m);
    put_within(i, payload, "trailer_share", 0.1, 0.6);
    put_within(i, payload, "trailer_centre_behind_m", 0.85 * axles_m, 0.99 * axles_m);
}

/* A coupling with a trailer, or neither; without a trailer the payload stands on the truck. */
static void suit_loads(inventor *i, draft *truck, double base_m)
{
    draft *payload = draft_get(truck, "payload"), *wheel = draft_get(truck, "fifth_wheel");
    draft *trailer = draft_get(truck, "trailer");
    put_within(i, draft_get(truck, "body"), "centre_behind_front_axle_m", 0.15 * base_m, 0.5 * base_m);
    put_within(i, draft_get(truck, "battery"), "centre_behind_front_axle_m", 0.2 * base_m, 0.8 * base_m);
    suit_payload_ends(i, payload);
    if (trailer && draft_get(truck, "drawbar")) {
        suit_drawbar(i, truck, base_m);
        return;
    }
    draft_drop(truck, "drawbar");
    draft_drop(payload, "trailer_share");
    draft_drop(payload, "trailer_centre_behind_m");
    if (!wheel || !trailer) {
        draft_drop(truck, "fifth_wheel");
        draft_drop(truck, "trailer");
        put_within(i, payload, "mass_kg", 0, 15000);
        put_within(i, payload, "centre_behind_m", 0.5 * base_m, 0.95 * base_m);
        return;
    }
    put_within(i, wheel, "behind_front_axle_m", 0.7 * base_m, 0.98 * base_m);
    suit_trailer(i, trailer, false);
    double axles_m = draft_number(trailer, "axles_behind_kingpin_m", 7);
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

/* A value for each temperature and, where that axis is there, each state of charge; a share of those of `under`, which
 * may be NULL. */
static void lot_table(inventor *i, draft *table, const char *key, double low, double high, const draft *under)
{
    enum { ROWS = 5, COLUMNS = 4 };
    double value[ROWS * COLUMNS];
    size_t rows = draft_get(table, "temperature_degc")->count;
    const draft *soc = draft_get(table, "soc");
    size_t count = rows * (soc ? soc->count : 1);
    for (size_t k = 0; k < count; k++)
        value[k] = under ? under->at[k] * dice_spread(&i->dice, low, high) : dice_spread(&i->dice, low, high);
    draft_put_list(i->arena, table, key, value, count);
}

static void lot_axes(inventor *i, draft *table)
{
    double degc[5], soc[4];
    size_t rows = dice_whole(&i->dice, 1, 5), columns = dice_whole(&i->dice, 1, 4);
    lot_axis(&i->dice, degc, rows, dice_between(&i->dice, -40, -10), dice_between(&i->dice, 15, 60));
    lot_axis(&i->dice, soc, columns, 0, 1);
    draft_put_list(i->arena, table, "temperature_degc", degc, rows);
    if (draft_get(table, "soc"))
        draft_put_list(i->arena, table, "soc", soc, columns);
}

static void suit_shares(inventor *i, draft *shares)
{
    if (!shares)
        return;
    lot_axes(i, shares);
    lot_table(i, shares, "share", 0.2, 1, NULL);
    if (draft_get(shares, "continuous_share"))
        lot_table(i, shares, "continuous_share", 0, 1, draft_get(shares, "share"));
}

static void suit_ageing(inventor *i, draft *ageing)
{
    double years[5], capacity[5], resistance[5];
    size_t count = dice_whole(&i->dice, 2, 5);
    lot_axis(&i->dice, years, count, 0, dice_between(&i->dice, 5, 30));
    for (size_t k = 0; k < count; k++) {
        capacity[k] = 1 - 0.012 * years[k] * dice_share(&i->dice);
        resistance[k] = 1 + 0.05 * years[k] * dice_share(&i->dice);
    }
    draft_put_list(i->arena, ageing, "years", years, count);
    draft_put_list(i->arena, ageing, "capacity_factor", capacity, count);
    draft_put_list(i->arena, ageing, "resistance_factor", resistance, count);
}

/* A body that is slow beside what cools and heats it, and no heating into the cooling. */
static void suit_battery_heat(inventor *i, draft *heat)
{
    draft *cooling = draft_get(heat, "cooling"), *heating = draft_get(heat, "heating");
    double from = dice_between(&i->dice, 15, 35);
    if (cooling) {
        draft_put_number(i->arena, cooling, "from_degc", from);
        draft_put_number(i->arena, cooling, "full_degc", from + dice_between(&i->dice, 4, 15));
    }
    if (heating) {
        double to = from - dice_between(&i->dice, 1, 20);
        draft_put_number(i->arena, heating, "to_degc", to);
        draft_put_number(i->arena, heating, "full_degc", to - dice_between(&i->dice, 4, 15));
    }
    draft_put_number(i->arena, heat, "heat_capacity_kj_per_k", dice_spread(&i->dice, 1500, 8000));
}

static void suit_battery(inventor *i, draft *battery)
{
    suit_voltages(i, battery);
    suit_shares(i, draft_get(battery, "discharge_shares"));
    suit_shares(i, draft_get(battery, "charge_shares"));
    draft *factors = draft_get(battery, "resistance_factors");
    if (factors) {
        lot_axes(i, factors);
        lot_table(i, factors, "factor", 0.5, 8, NULL);
    }
    if (draft_get(battery, "ageing"))
        suit_ageing(i, draft_get(battery, "ageing"));
    if (draft_get(battery, "heat"))
        suit_battery_heat(i, draft_get(battery, "heat"));
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

/* ------------------------------------------------------------------------------------------------ consumers, take-off
 */

/* One law of those that there are; that by heat needs a loop. */
static void suit_consumer(inventor *i, draft *consumer, bool loop)
{
    static const char *const laws[] = {"constant_kw",          "moving_kw",
                                       "brake_application_kj", "outside_temperature_degc",
                                       "engaged_unit_kw",      "heat_rejected_share"};
    size_t law = dice_whole(&i->dice, 0, loop ? 5 : 4);
    for (size_t k = 0; k < sizeof laws / sizeof *laws; k++)
        draft_drop(consumer, laws[k]);
    draft_drop(consumer, "making_up_kw");
    draft_drop(consumer, "outside_power_kw");
    if (law == 3)
        lot_curve(i, consumer, "outside_temperature_degc", -30, 40, "outside_power_kw", 0, 8, SLOPE_ANY,
                  dice_whole(&i->dice, 1, 5));
    else
        put_within(i, consumer, laws[law], 0, law == 2 ? 60 : law == 5 ? 0.1 : 2);
    if (law == 2)
        put_within(i, consumer, "making_up_kw", 1, 8);
}

static void suit_consumers(inventor *i, draft *auxiliaries, bool loop)
{
    draft *consumers = draft_get(auxiliaries, "consumers");
    for (size_t k = 0; consumers && k < draft_count(consumers); k++)
        suit_consumer(i, draft_child(consumers, k), loop);
}

static bool has_step(const draft *path, const char *kind)
{
    for (const draft *d = path ? path->first : NULL; d; d = d->next)
        if (strcmp(d->key, kind) == 0)
            return true;
    return false;
}

/* What units offer needs a gearbox or a disconnect. True: one of them does. */
static bool suit_takeoffs(inventor *i, draft *units)
{
    bool any = false;
    for (size_t k = 0; k < draft_count(units); k++) {
        draft *unit = draft_child(units, k), *offer = draft_get(unit, "takeoff");
        if (!offer)
            continue;
        if (!draft_get(unit, "gearbox"))
            draft_put_word(i->arena, offer, "at", "motor");
        put_within(i, offer, "torque_limit_nm", 300, 2000);
        put_within(i, offer, "speed_limit_rpm", 2000, 4000);
        put_within(i, offer, "ratio", 0.5, 1.5);
        if (!draft_get(unit, "gearbox") && !has_step(draft_get(unit, "path"), "disconnect"))
            draft_drop(unit, "takeoff");
        else
            any = true;
    }
    return any;
}

/* Work that any motor can do: 2 to 15 kW at 1200 to 2000 rpm. */
static void suit_power_take_off(inventor *i, draft *truck, bool offered)
{
    draft *work = draft_get(truck, "power_take_off"), *motor = work ? draft_get(work, "motor") : NULL;
    if (work && !motor && !offered)
        draft_drop(truck, "power_take_off");
    if (!work || (!motor && !offered))
        return;
    draft_put_word(i->arena, work, "driven_by", motor && dice_chance(&i->dice, 0.5) ? "motor" : "either");
    put_within(i, work, "speed_rpm", 1200, 2000);
    put_within(i, work, "stop_kw", 2, 15);
    put_within(i, work, "stop_s", 2, 20);
    put_within(i, work, "motor_ratio", 0.6, 1.5);
    if (draft_get(work, "running_kw"))
        put_within(i, work, "running_kw", 0, 8);
    if (!motor)
        draft_drop(work, "running_kw");
    else
        suit_motor(i, motor, dice_between(&i->dice, 3000, 8000), dice_between(&i->dice, 200, 400));
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
    if (draft_get(truck, "auxiliaries"))
        suit_consumers(i, draft_get(truck, "auxiliaries"), draft_get(truck, "cooling"));
    suit_power_take_off(i, truck, suit_takeoffs(i, draft_get(truck, "drive_units")));
}

static double last_of(const draft *list) { return list->at[list->count - 1]; }

static bool feels_heat(const draft *battery)
{
    return draft_get(battery, "heat") || draft_get(battery, "resistance_factors") ||
           draft_get(battery, "discharge_shares") || draft_get(battery, "charge_shares");
}

/* The charge within the window of the truck's pack; of age and temperature only what its battery knows. */
void suit_load_case(inventor *i, draft *load_case, const draft *truck)
{
    const draft *battery = draft_get(truck, "battery");
    double low = draft_number(battery, "usable_from_soc", 0.05), high = draft_number(battery, "usable_to_soc", 0.95);
    if (draft_get(load_case, "start_soc"))
        draft_put_number(i->arena, load_case, "start_soc", dice_spread(&i->dice, low, high));
    const draft *ageing = draft_get(battery, "ageing");
    if (!ageing)
        draft_drop(load_case, "battery_age_years");
    else if (draft_get(load_case, "battery_age_years"))
        draft_put_number(i->arena, load_case, "battery_age_years",
                         last_of(draft_get(ageing, "years")) * dice_share(&i->dice));
    if (!feels_heat(battery))
        draft_drop(load_case, "battery_start_degc");
}

/* A set speed is set. */
void suit_driving(inventor *i, draft *driving)
{
    const draft *endurance = draft_get(driving, "endurance");
    if (endurance && strcmp(endurance->word, "set_speed") == 0 && !draft_get(driving, "endurance_speed_km_h"))
        draft_put_number(i->arena, driving, "endurance_speed_km_h", dice_spread(&i->dice, 15, 70));
}
