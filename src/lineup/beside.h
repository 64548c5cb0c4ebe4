/* Two comparisons of the same trucks: what evener/beside.h tells, made of their outcomes. */
#ifndef EVENER_LINEUP_BESIDE_H
#define EVENER_LINEUP_BESIDE_H
#include "evener/beside.h"
#include <stddef.h>

/* `place`: of each truck of the first comparison in the other. NULL when memory is out. */
evn_beside *evn_beside_make(const evn_comparison *, const evn_comparison *other, const size_t *place, size_t count);

#endif
