/* What Sobol points are made of: a polynomial and the first direction numbers of each dimension. */
#ifndef EVENER_UNCERTAINTY_DIRECTIONS_H
#define EVENER_UNCERTAINTY_DIRECTIONS_H
#include "uncertainty/sobol.h"

enum { EVN_SOBOL_DEGREE_MOST = 13 };

/*
 * Bit i of the polynomial is the coefficient of x^i; `first` holds as many direction numbers m_1, m_2, ... as its
 * degree (m_k odd, below 2^k). The first dimension has degree 0: all its direction numbers are 1.
 */
typedef struct evn_directions {
    uint16_t degree, polynomial;
    uint16_t first[EVN_SOBOL_DEGREE_MOST];
} evn_directions;

extern const evn_directions evn_sobol_directions[EVN_SOBOL_DIMENSIONS_MOST];

#endif
