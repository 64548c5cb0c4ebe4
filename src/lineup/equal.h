/* Making the trucks of a comparison equal, before anything drives: in gross mass, or in peak wheel power. */
#ifndef EVENER_LINEUP_EQUAL_H
#define EVENER_LINEUP_EQUAL_H
#include "core/arena.h"
#include "lineup/lineup.h"

/*
 * What each truck is given (`out`), and the truck that it is with that: its own, or a copy in the arena. `by` is not
 * EVN_EQUAL_AS_LINEUP. A truck that cannot be made ready is left as it is, which is told where it is prepared. False
 * (said) where they cannot be made equal, or memory is out.
 */
bool evn_make_equal(evn_contender *, size_t count, const evn_conditions *, evn_equal by, evn_equalised out[],
                    evn_arena *, evn_report *);

#endif
