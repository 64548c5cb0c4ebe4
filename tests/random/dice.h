/* Random numbers for the invented trucks: the same stream for the same seed, on every machine. */
#ifndef EVENER_TESTS_DICE_H
#define EVENER_TESTS_DICE_H
#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct dice {
    uint64_t state;
} dice;

/* Steele, Lea and Flood, Fast splittable pseudorandom number generators (2014): splitmix64, from memory. */
static inline uint64_t dice_roll(dice *d)
{
    uint64_t z = d->state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

/* A stream of its own for each case of a seed. */
static inline dice dice_of(uint64_t seed, uint64_t index)
{
    dice d = {seed};
    d.state = dice_roll(&d) ^ (index * 0xd1342543de82ef95u);
    return d;
}

static inline double dice_share(dice *d) { return (double)(dice_roll(d) >> 11) * 0x1p-53; }
static inline bool dice_chance(dice *d, double share) { return dice_share(d) < share; }
static inline double dice_between(dice *d, double low, double high) { return low + (high - low) * dice_share(d); }

/* From low to high, both included. */
static inline size_t dice_whole(dice *d, size_t low, size_t high)
{
    return low + (size_t)(dice_roll(d) % (high - low + 1));
}

/* A wide range is drawn by its order of magnitude; now and then it is an end of the range itself. */
static inline double dice_spread(dice *d, double low, double high)
{
    if (dice_chance(d, 0.06))
        return dice_chance(d, 0.5) ? low : high;
    if (low > 0 && high > 20 * low)
        return low * pow(high / low, dice_share(d));
    return dice_between(d, low, high);
}

#endif
