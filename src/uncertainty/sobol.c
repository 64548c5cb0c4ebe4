/* Sobol points by their direction numbers, and nested uniform scrambling by a hash. */
#include "uncertainty/sobol.h"
#include "uncertainty/directions.h"
#include <math.h>

enum { BITS = 32 };

/*
 * Direction numbers v_1 to v_count in units of 2^-32, from m_k = 2 a_1 m_(k-1) ^ 4 a_2 m_(k-2) ^ ... ^ 2^s m_(k-s) ^
 * m_(k-s), the polynomial being x^s + a_1 x^(s-1) + ... + 1 (Bratley and Fox, ACM TOMS 659, 1988; from memory).
 */
static void directions(const evn_directions *of, int count, uint32_t v[BITS])
{
    int s = of->degree;
    for (int k = 0; k < count; k++) {
        if (k < s || s == 0) {
            v[k] = (s == 0 ? 1U : of->first[k]) << (BITS - 1 - k);
            continue;
        }
        v[k] = v[k - s] ^ (v[k - s] >> s);
        for (int i = 1; i < s; i++)
            v[k] ^= (of->polynomial >> (s - i) & 1U) ? v[k - i] : 0;
    }
}

static int bits_of(uint32_t number)
{
    int bits = 0;
    for (; number; number >>= 1)
        bits++;
    return bits;
}

uint32_t evn_sobol_plain(uint32_t index, uint32_t dimension)
{
    uint32_t v[BITS], gray = index ^ (index >> 1), x = 0;
    int count = bits_of(gray);
    directions(&evn_sobol_directions[dimension], count, v);
    for (int k = 0; k < count; k++)
        x ^= (gray >> k & 1U) ? v[k] : 0;
    return x;
}

/* A bijection of 64 bits in which each bit of what goes in turns half of those that come out (the finaliser of
 * SplitMix64: Steele, Lea and Flood, 2014; constants from memory). */
static uint64_t mixed(uint64_t z)
{
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
}

static uint64_t joined(uint64_t key, uint64_t with) { return mixed(mixed(key + 0x9e3779b97f4a7c15U) ^ mixed(with)); }

/*
 * Each bit turned or not by a coin of its own for all that stands above it: a node of the binary tree, the bits above
 * behind a leading 1.
 */
static uint32_t scrambled(uint64_t key, uint32_t x)
{
    uint32_t turned = 0;
    for (int bit = 0; bit < BITS; bit++) {
        uint64_t node = (1ULL << bit) | ((uint64_t)x >> (BITS - bit));
        turned |= (uint32_t)(joined(key, node) >> 63) << (BITS - 1 - bit);
    }
    return x ^ turned;
}

double evn_sobol(uint64_t seed, uint32_t group, uint32_t index, uint32_t dimension)
{
    uint64_t key = joined(joined(mixed(seed), group), dimension);
    uint32_t x = evn_sobol_plain(index, dimension);
    /* Below the 32 bits 20 more, and half of the last: 53 bits in all, never 0 and never 1. */
    uint64_t below = joined(key, (1ULL << BITS) | x) >> 44;
    return ldexp((double)((uint64_t)scrambled(key, x) << 20 | below) + 0.5, -52);
}
