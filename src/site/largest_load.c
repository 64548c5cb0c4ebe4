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

/* For rounding: a kilogram's thousandth of a thousandth. */
static const double HAIR = 1e-6;

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
    if (left_at(limit, count, from_m, to_m, low) < -HAIR)
        low = most_left_at(limit, count, from_m, to_m, most_kg);
    if (left_at(limit, count, from_m, to_m, low) < -HAIR)
        return none;
    for (int k = 0; k < STEPS; k++) {
        double middle = low + (high - low) / 2;
        if (left_at(limit, count, from_m, to_m, middle) >= -HAIR)
            low = middle;
        else
            high = middle;
    }
    band b = band_at(limit, count, from_m, to_m, low);
    evn_largest_load found = {low, low > 0 ? (b.low + b.high) / 2 / low : (double)NAN, NONE, NONE};
    bool by_mass = b.room <= b.high - b.low;
    found.binds = by_mass ? b.room_by : b.high_by != NONE ? b.high_by : b.low_by;
    found.beside = by_mass ? NONE : b.high_by != NONE ? b.low_by : NONE;
    return found;
}
