/* Cycles that hang together: a trace over time or limits over place, with a road. */
#include "suit.h"
#include "suit_curves.h"
#include <string.h>

/* The lists as they are, or as columns of a CSV file. */
static void put_in_table(inventor *i, draft *map, bool as_table, const char *a, const char *b)
{
    if (!as_table)
        return;
    const draft *lists[] = {draft_get(map, a), draft_get(map, b)};
    draft *table = draft_put(i->arena, map, "table", DRAFT_TABLE);
    for (size_t k = 0; k < 2; k++)
        draft_put_list(i->arena, table, lists[k]->key, lists[k]->at, lists[k]->count);
    draft_drop(map, a);
    draft_drop(map, b);
}

/* The keys of all forms, of which one is put anew; keys beside them stay as they were invented. */
static void drop_forms(draft *map)
{
    static const char *const keys[] = {"table",   "time_s",     "speed_km_h",    "speed_mph",
                                       "place_m", "limit_km_h", "grade_percent", "elevation_m"};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        draft_drop(map, keys[k]);
}

/* ------------------------------------------------------------------------------------------------ speed */

static void put_limits(inventor *i, draft *speed, double length_m)
{
    size_t count = dice_whole(&i->dice, 1, 6);
    lot_curve(i, speed, "place_m", 0, 0.9 * length_m, "limit_km_h", 5, 95, SLOPE_ANY, count);
    put_in_table(i, speed, dice_chance(&i->dice, 0.2), "place_m", "limit_km_h");
}

/* Up, along, down and a rest, a few times. */
static void put_trace(inventor *i, draft *speed)
{
    enum { HUMPS_MOST = 5 };
    double time[4 * HUMPS_MOST + 1] = {0}, km_h[4 * HUMPS_MOST + 1] = {0};
    size_t humps = dice_whole(&i->dice, 1, HUMPS_MOST), at = 1;
    bool in_miles = dice_chance(&i->dice, 0.3);
    const char *key = in_miles ? "speed_mph" : "speed_km_h";
    if (dice_chance(&i->dice, 0.2))
        km_h[0] = dice_between(&i->dice, 5, 30); /* begins moving */
    for (size_t k = 0; k < humps; k++) {
        double v = dice_spread(&i->dice, 5, in_miles ? 55 : 90);
        double low = dice_chance(&i->dice, 0.6) ? 0 : v * dice_between(&i->dice, 0.2, 0.9);
        double steps[] = {v / dice_between(&i->dice, 1, 4), dice_between(&i->dice, 5, 60),
                          v / dice_between(&i->dice, 1, 5), dice_between(&i->dice, 2, 20)};
        double ends[] = {v, v * dice_between(&i->dice, 0.9, 1.1), low, low};
        for (size_t s = 0; s < 4; s++, at++) {
            time[at] = time[at - 1] + steps[s];
            km_h[at] = ends[s];
        }
    }
    draft_put_list(i->arena, speed, "time_s", time, at);
    draft_put_list(i->arena, speed, key, km_h, at);
    put_in_table(i, speed, dice_chance(&i->dice, 0.2), "time_s", key);
}

/* ------------------------------------------------------------------------------------------------ road, stops */

static void suit_road(inventor *i, draft *road, double length_m)
{
    draft *repeat = draft_get(road, "repeat");
    bool repeats = repeat && strcmp(repeat->word, "true") == 0;
    double most = dice_chance(&i->dice, 0.15) ? 16 : dice_chance(&i->dice, 0.5) ? 6 : 2;
    double end_m = length_m * (repeats ? 0.3 : dice_between(&i->dice, 0.6, 1.1));
    size_t count = dice_whole(&i->dice, 2, 10);
    drop_forms(road);
    if (dice_chance(&i->dice, 0.25)) {
        double way_m = end_m / (double)(count - 1) * 0.3;
        lot_curve(i, road, "place_m", 0, end_m, "elevation_m", 100, 100 + way_m * most / 100, SLOPE_ANY, count);
        put_in_table(i, road, dice_chance(&i->dice, 0.3), "place_m", "elevation_m");
    } else {
        lot_curve(i, road, "place_m", 0, end_m, "grade_percent", -most, most, SLOPE_ANY, count);
        put_in_table(i, road, dice_chance(&i->dice, 0.3), "place_m", "grade_percent");
    }
}

/* Work within each wait, of trucks that can do it; there is none where the truck does not stand for long. */
static void suit_takeoff(inventor *i, draft *stops, bool has_takeoff)
{
    double kw[8] = {0}, s[8] = {0};
    const draft *wait = draft_get(stops, "wait_s");
    draft_drop(stops, "takeoff_kw");
    draft_drop(stops, "takeoff_s");
    if (!has_takeoff || dice_chance(&i->dice, 0.5))
        return;
    for (size_t k = 0; k < wait->count; k++)
        if (wait->at[k] > 2) {
            kw[k] = dice_between(&i->dice, 2, 15);
            s[k] = wait->at[k] * dice_between(&i->dice, 0.1, 1);
        }
    draft_put_list(i->arena, stops, "takeoff_kw", kw, wait->count);
    draft_put_list(i->arena, stops, "takeoff_s", s, wait->count);
}

/* Well inside the course, and so few that they stand more than 1 m apart. */
static void suit_stops(inventor *i, draft *stops, double length_m, bool has_takeoff)
{
    size_t count = dice_whole(&i->dice, 1, 4);
    lot_curve(i, stops, "place_m", 0.05 * length_m, 0.95 * length_m, "wait_s", 0, 40, SLOPE_ANY, count);
    suit_takeoff(i, stops, has_takeoff);
}

/* Each of the lists that is drawn has a value for each place; kinds are drawn here, since texts are not invented. */
static void suit_adhesion(inventor *i, draft *surface, size_t count)
{
    static const char *const keys[] = {"adhesion", "adhesion_other_side"};
    static const char *const names[] = {"dry", "wet", "gravel", "soil", "snow"};
    double at[4];
    char kinds[64] = "[";
    for (size_t k = 0; k < 2; k++) {
        for (size_t n = 0; n < count; n++)
            at[n] = dice_between(&i->dice, 0.15, 0.9);
        if (draft_get(surface, keys[k]))
            draft_put_list(i->arena, surface, keys[k], at, count);
    }
    for (size_t n = 0; n < count; n++) {
        strcat(kinds, n > 0 ? ", " : "");
        strcat(kinds, names[dice_whole(&i->dice, 0, 4)]);
    }
    bool split = draft_get(surface, "adhesion_other_side");
    if ((split && !draft_get(surface, "adhesion")) || dice_chance(&i->dice, 0.3))
        draft_put_word(i->arena, surface, "kind", strcat(kinds, "]"));
}

/* The shortest track that is taken, at its widest step. */
static void suit_profile(inventor *i, draft *profile)
{
    enum { POINTS = 201 };
    double place_m[POINTS], height_m[POINTS];
    for (size_t k = 0; k < POINTS; k++) {
        place_m[k] = 0.25 * (double)k;
        height_m[k] = dice_between(&i->dice, -0.05, 0.05);
    }
    draft_drop(profile, "table");
    draft_put_list(i->arena, profile, "place_m", place_m, POINTS);
    draft_put_list(i->arena, profile, "height_m", height_m, POINTS);
    put_in_table(i, profile, dice_chance(&i->dice, 0.5), "place_m", "height_m");
}

/* Classes or numbers or one of what was measured; a profile gives way now and then, so that all of them are drawn. */
static void suit_unevenness(inventor *i, draft *surface, size_t count)
{
    double at[4];
    char classes[32] = "[";
    for (size_t n = 0; n < count; n++) {
        char one[] = {"ABCDEFGH"[dice_whole(&i->dice, 0, 7)], '\0'};
        at[n] = dice_between(&i->dice, 1e-5, 5e-3);
        strcat(strcat(classes, n > 0 ? ", " : ""), one);
    }
    if (dice_chance(&i->dice, 0.5))
        draft_drop(surface, "profile");
    draft *spectrum = draft_get(surface, "spectrum"), *profile = draft_get(surface, "profile");
    if (profile) {
        draft_drop(surface, "unevenness_m3");
        draft_drop(surface, "spectrum");
        suit_profile(i, profile);
    } else if (spectrum) {
        draft_drop(surface, "unevenness_m3");
        lot_curve(i, spectrum, "wave_m1", 0.01, 5, "density_m3", 1e-8, 1e-4, SLOPE_ANY, 3);
    } else if (draft_get(surface, "unevenness_m3"))
        draft_put_list(i->arena, surface, "unevenness_m3", at, count);
    else if (dice_chance(&i->dice, 0.3))
        draft_put_word(i->arena, surface, "unevenness", strcat(classes, "]"));
}

static void suit_surface(inventor *i, draft *surface, double length_m)
{
    size_t count = dice_whole(&i->dice, 1, 4);
    suit_adhesion(i, surface, count);
    suit_unevenness(i, surface, count);
    lot_curve(i, surface, "place_m", 0, 0.9 * length_m, "rolling_factor", 0.8, dice_chance(&i->dice, 0.2) ? 15 : 3,
              SLOPE_ANY, count);
}

static void suit_heading(inventor *i, draft *heading, double length_m)
{
    lot_curve(i, heading, "place_m", 0, 0.9 * length_m, "heading_deg", 0, 360, SLOPE_ANY, dice_whole(&i->dice, 1, 5));
}

/* ------------------------------------------------------------------------------------------------ the whole */

void suit_cycle(inventor *i, draft *cycle, const draft *truck)
{
    double length_m = dice_spread(&i->dice, 200, 4000);
    bool over_time = dice_chance(&i->dice, 0.4);
    draft *speed = draft_get(cycle, "speed");
    drop_forms(speed);
    draft_put_word(i->arena, cycle, "invented", "true");
    draft_put_number(i->arena, cycle, "length_m", length_m);
    if (over_time) {
        draft_drop(cycle, "stops");
        draft_drop(cycle, "length_m");
        put_trace(i, speed);
    } else
        put_limits(i, speed, length_m);
    if (draft_get(cycle, "road"))
        suit_road(i, draft_get(cycle, "road"), length_m);
    if (draft_get(cycle, "stops"))
        suit_stops(i, draft_get(cycle, "stops"), length_m, draft_get(truck, "power_take_off"));
    if (draft_get(cycle, "surface"))
        suit_surface(i, draft_get(cycle, "surface"), length_m);
    if (draft_get(cycle, "heading"))
        suit_heading(i, draft_get(cycle, "heading"), length_m);
}
