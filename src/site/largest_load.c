/* A load and its moment within half planes. */
#include "site/largest_load.h"
#include <math.h>

enum { STEPS = 200 };
static const size_t NONE = EVN_NO_LIMIT;

typedef struct band { /* moments that a load may have, with the limits at both ends; and the least room of the others */
    double low, high, room;
    size_t low_by, high_by, room_by;
} band;

/* Below this a limit does not ask for the place: per kg of what it asks of the mass, over a metre. */
static bool asks_for_place(const evn_load_limit *l) { return fabs(l->per_kg_m) > 1e-12 * (1 + fabs(l->per_kg)); }

static band band_at(const evn_load_limit limit[], size_t count, double from_m, double to_m, double kg)
{
    band b = {from_m * kg, to_m * kg, (double)INFINITY, NONE, NONE, NONE};
    for (size_t k = 0; k < count; k++) {
        const evn_load_limit *l = &limit[k];
        double room_kg = l->limit_kg - l->base_kg - l->per_kg * kg;
        bool placed = asks_for_place(l);
        double moment = placed ? room_kg / l->per_kg_m : 0;
        if (placed && l->per_kg_m > 0 && moment < b.high) {
            b.high = moment;
            b.high_by = k;
        }
        if (placed && l->per_kg_m < 0 && moment > b.low) {
            b.low = moment;
            b.low_by = k;
        }
        if (!placed && room_kg < b.room) {
            b.room = room_kg;
            b.room_by = k;
        }
    }
    return b;
}

/* What is left at a load, kg or kg m: below 0 it is not allowed. Concave in the load. */
static double left_at(const evn_load_limit limit[], size_t count, double from_m, double to_m, double kg)
{
    band b = band_at(limit, count, from_m, to_m, kg);
    return fmin(b.high - b.low, b.room);
}

/* The load with most left. */
static double most_left_at(const evn_load_limit limit[], size_t count, double from_m, double to_m, double most_kg)
{
    double low = 0, high = most_kg;
    for (int k = 0; k < STEPS; k++) {
        double a = low + (high - low) / 3, b = high - (high - low) / 3;
        if (left_at(limit, count, from_m, to_m, a) < left_at(limit, count, from_m, to_m, b))
            low = a;
        else
            high = b;
    }
    return low;
}

evn_largest_load evn_largest_load_of(const evn_load_limit limit[], size_t count, double from_m, double to_m,
                                     double most_kg)
{
    evn_largest_load none = {(double)NAN, (double)NAN, NONE, NONE};
    double low = 0, high = most_kg;
    if (left_at(limit, count, from_m, to_m, low) < 0)
        low = most_left_at(limit, count, from_m, to_m, most_kg);
    if (left_at(limit, count, from_m, to_m, low) < 0)
        return none;
    for (int k = 0; k < STEPS; k++) {
        double middle = low + (high - low) / 2;
        if (left_at(limit, count, from_m, to_m, middle) >= 0)
            low = middle;
        else
            high = middle;
    }
    band in = band_at(limit, count, from_m, to_m, low), beyond = band_at(limit, count, from_m, to_m, high);
    evn_largest_load found = {low, low > 0 ? (in.low + in.high) / 2 / low : (double)NAN, NONE, NONE};
    if (beyond.room < 0) {
        found.binds = beyond.room_by;
    } else if (beyond.high < beyond.low) {
        found.binds = beyond.high_by != NONE ? beyond.high_by : beyond.low_by;
        found.beside = beyond.high_by != NONE ? beyond.low_by : NONE;
    }
    return found;
}
